//! What lies in the concrete: how much steel runs through each section, and how much concrete lies over it.

use crate::{
    compile::Compiled,
    reports::{Column, Paper, Part, Row, Rows, Table, Words, measures::Measures, words},
    standards::cover::Exposure,
    steel::{self, Asks, JobPlace, Judged, SteelIn},
    units::{Length, System, show},
};

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    if !compiled.works.steel_in.is_empty() {
        paper.push(Part::Heading(2, Words::from("Steel in each section")));
        paper.push(Part::Text(Words::from(
            "Steel as a part of the whole section, where there is least of it; apart is the widest from centre to centre. Something is asked only of a section that says steel wall or steel shrinkage in the file; of the others this states what there is.",
        )));
        paper.push(Part::Table(sections(compiled)));
    }
    if !compiled.works.covers.is_empty() {
        paper.push(Part::Heading(2, Words::from("Concrete over the steel")));
        paper.push(Part::Text(Words::from(
            "The least from a bar's surface to each sort of face of the section it lies in, and the place of it on the bar: along the leg, out from the old face, and its level. Asked by the file, where it says cover, or radius for what is kept clear; by the rule for clear distances (spacing); else by the table of least covers for concrete that is cast on ground, meets weather or ground, or stays dry.",
        )));
        if compiled.job.system() == System::Metric {
            paper.push(Part::Text(Words::from(
                "The table is that of ACI 318-19 with its own metric figures; covers by other standards, such as EN 1992-1-1 4.4.1, hang on exposure classes the file does not know. Where they ask for more, write cover in the section.",
            )));
        }
        paper.push(Part::Table(covers(compiled)));
    }
}

fn sections(compiled: &Compiled) -> Table<'_> {
    let job = &compiled.job;
    let measures = Measures(job.system());
    let columns = vec![
        Column::text("section", "Section"),
        Column::text("runs", "Bars run"),
        Column::count("bars", "Bars").number("bars"),
        Column::text("size", "Size"),
        measures.ratios("ratio", "Steel").number(""),
        measures.ratios("asked", "Asked").number("asked"),
        measures.lengths("apart", "Apart").number("spacing"),
        measures.lengths("widest", "At most").number("widest"),
    ];
    Table::new(
        "section-steel",
        columns,
        Rows::formula(move |lines| {
            for steel in &compiled.works.steel_in {
                lines.item(|row| {
                    row.of(steel::number_name(job, steel))
                        .text(job.name(steel.section))
                        .text(steel.axis.word())
                        .count(i64::try_from(steel.least.count()).unwrap_or(i64::MAX))
                        .text(sizes(compiled, steel));
                    measures.ratio(row, steel.least.ratio());
                    match &steel.asked {
                        Some(asked) => measures.ratio(row, asked.ratio.value),
                        None => _ = row.text("–"),
                    }
                    match &steel.widest {
                        Some(gap) if steel.least.count() > 0 => measures.place(row, gap.far),
                        _ => _ = row.text("–"),
                    }
                    match &steel.asked {
                        Some(asked) => measures.length(row, asked.apart.value),
                        None => _ = row.text("–"),
                    }
                })?;
            }
            Ok(())
        }),
    )
}

/// The sizes of the bars, each once.
fn sizes(compiled: &Compiled, steel: &SteelIn) -> String {
    let mut names: Vec<&str> = Vec::new();
    for (_, steel, _) in &steel.least.bars {
        let name = compiled.job.name(steel.id);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names.join(", ")
}

fn covers(compiled: &Compiled) -> Table<'_> {
    let job = &compiled.job;
    let measures = Measures(job.system());
    let columns = vec![
        Column::text("bars", "Bars"),
        Column::text("section", "Section"),
        Column::text("face", "To the"),
        measures.lengths("cover", "Least").number(""),
        measures.lengths("wanted", "Wanted").number("wanted"),
        Column::text("asked", "By"),
        Column::text("along", "Along"),
        Column::text("out", "Out"),
        Column::text("level", "Level"),
    ];
    Table::new(
        "covers",
        columns,
        Rows::formula(move |lines| {
            for judged in compiled.works.covers.iter().filter(|judged| matters(compiled, judged)) {
                let cover = &judged.cover;
                lines.item(|row| {
                    row.of(steel::cover_name(job, cover))
                        .text(job.name(cover.bar.bars))
                        .text(job.name(cover.section))
                        .text(words::face(cover.class));
                    measures.place(row, cover.clear);
                    measures.length(row, judged.wanted);
                    row.text(asked_by(judged.asks));
                    place(compiled, row, &cover.at);
                })?;
            }
            for near in &compiled.works.clearances.kept_clear {
                lines.item(|row| {
                    row.of(steel::kept_clear_name(job, near)).text(job.name(near.bar.bars)).empty();
                    row.text(job.name(near.thing));
                    measures.place(row, near.clear);
                    measures.length(row, near.radius);
                    row.text("file");
                    place(compiled, row, &near.at);
                })?;
            }
            Ok(())
        }),
    )
}

/// Whether a cover is told on paper: the bar lies in that section there, or the cover is short. What a bar in the next section
/// has is more than its own.
fn matters(compiled: &Compiled, judged: &Judged) -> bool {
    let (works, at) = (&compiled.works, &judged.cover.at);
    // What lies in the old face, as the mouth of a hole, is seen from a little before it.
    let little = Length::MILLIMETRE;
    let inside = || {
        let placed = works.sections.find(judged.cover.section)?;
        let run = &works.standing.chain(at.on)?.run;
        let plan = |offset| run.point(usize::from(at.on.leg), at.station, offset);
        let (here, before) = (plan(at.offset)?, plan(at.offset + little)?);
        let within = (placed.bottom..=placed.top).contains(&at.height);
        Some(within && placed.outlines.iter().any(|outline| outline.contains(here) || outline.contains(before)))
    };
    judged.missing() > Length::ZERO || inside() != Some(false)
}

fn asked_by(asks: Asks) -> &'static str {
    match asks {
        Asks::Job => "file",
        Asks::Table(Exposure::CastAgainstGround) => "ground",
        Asks::Table(Exposure::WeatherOrGround) => "weather",
        Asks::Table(Exposure::Dry) => "dry",
        Asks::Spacing => "spacing",
    }
}

/// Where a place is: "back 2'-4"", "4"" out, at level "3"".
fn place(compiled: &Compiled, row: &mut Row, at: &JobPlace) {
    let system = compiled.job.system();
    let leg = words::leg(&compiled.job, &compiled.works.standing, at.on);
    row.text(format_args!("{leg} {}", show::place(at.station, system)));
    row.text(show::place(at.offset, system)).text(show::place(at.height, system));
}

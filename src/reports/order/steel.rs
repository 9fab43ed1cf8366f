//! The bar list: cut lengths and bends by mark, and where each bar goes.

use crate::{
    compile::Compiled,
    drawings::ids,
    holes::Level,
    reports::{Column, Paper, Part, Rows, Table, Words, quantities, words},
    schema::BlockId,
    steel::{self, BarsMade, Group, Place},
    units::show,
};

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    if compiled.works.bars.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("Bar list")));
    paper.push(Part::Text(Words::from(
        "Legs are measured out to out. Cut lengths follow the centre line and are rounded up; bend before anything is set. Nothing bent goes into a drilled hole.",
    )));
    paper.push(Part::Table(quantities::marks::table(compiled)));
    if let Some(bends) = quantities::marks::bends(compiled) {
        paper.push(Part::Text(Words::from(
            "To bend by marks on the straight bar: the straight parts and the bends between them make the cut length. Each is rounded by itself, so those printed may come to a little more or less: the last part takes the difference.",
        )));
        paper.push(Part::Table(bends));
    }
    super::cuts::add(compiled, paper);
    paper.push(Part::Heading(3, Words::from("Where the bars go")));
    paper.push(Part::Table(places(compiled)));
    tying(compiled, paper);
}

/// How often bars are tied, and what holds them in place until the concrete does.
fn tying<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    let tying = &compiled.works.tying;
    let table = quantities::tying::table(compiled);
    if table.is_some() || !tying.unheld.is_empty() {
        paper.push(Part::Heading(3, Words::from("Tying")));
    }
    if let Some(table) = table {
        paper.push(Part::Text(Words::from(
            "Ties, chairs and spacers hold the bars where they are drawn until the concrete does; they add nothing to strength.",
        )));
        paper.push(Part::Table(table));
    }
    if !tying.tied_to.is_empty() {
        let job = &compiled.job;
        let by = |(bars, to): &(BlockId, Vec<BlockId>)| {
            format!("{} by {}", job.name(*bars), words::names(job, to.iter().copied()))
        };
        let held: Vec<String> = tying.tied_to.iter().map(by).collect();
        paper.push(Part::Text(Words::from(format!(
            "Bars that do not run along the wall are held by those they cross or stand beside: {}.",
            held.join("; ")
        ))));
    }
    if !tying.unheld.is_empty() {
        let (job, standing) = (&compiled.job, &compiled.works.standing);
        let system = job.system();
        let named = |unheld: &steel::Unheld| {
            let levels: Vec<String> =
                unheld.levels.iter().map(|level| show::place(*level, system).to_string()).collect();
            let name = compiled.job.name(unheld.bars);
            let legs: Vec<String> = unheld.legs.iter().map(|leg| words::leg(job, standing, *leg)).collect();
            match (levels.as_slice(), legs.as_slice()) {
                ([], []) => name.to_owned(),
                ([], legs) => format!("{name} on {}", legs.join(", ")),
                (levels, _) => format!("{name} at level {}", levels.join(", ")),
            }
        };
        let names: Vec<String> = tying.unheld.iter().map(named).collect();
        paper.push(Part::Text(Words::default().strong(format_args!("Held by nothing: {}.", names.join(", "))).plain(
            " No bar that is there when it is cast goes past within reach of a tie, and no chair stands under it. Hang it from the forms where it is drawn, or ask whether bars that cross it are wanted.",
        )));
        if tying.unheld.iter().any(|unheld| unheld.upright) {
            paper.push(Part::Text(Words::from(
                "Those that stand upright are tied to a board across the forms, and to one near their foot, until the concrete holds them (common practice, no source).",
            )));
        }
    }
    for wall in &tying.uncounted {
        let wall = compiled.job.name(*wall);
        paper.push(Part::Text(Words::from(format!(
            "Along {wall} so many bars lie near each other that where they cross was not counted."
        ))));
    }
}

fn places(compiled: &Compiled) -> Table<'_> {
    let columns = vec![
        Column::text("bars", "Bars"),
        Column::count("mark", "Mark").written(),
        Column::count("pieces", "Pieces").number("count"),
        Column::text("where", "Where"),
        Column::mark("placed", "In"),
    ];
    Table::new(
        "bar-places",
        columns,
        Rows::formula(move |lines| {
            for made in &compiled.works.bars {
                let names = steel::place_names(&compiled.job, &compiled.works.standing, made);
                for (at, (group, name)) in made.groups.iter().zip(&names).enumerate() {
                    lines.item(|row| {
                        row.draws(ids::bar(compiled.job.name(made.id), made.first_of(at)));
                        row.of(name)
                            .text(compiled.job.name(made.id))
                            .count(i64::from(group.mark))
                            .count(i64::try_from(group.count).unwrap_or(i64::MAX))
                            .text(place(compiled, made, group))
                            .tick();
                    })?;
                }
            }
            Ok(())
        }),
    )
}

fn place(compiled: &Compiled, made: &BarsMade, group: &Group) -> String {
    let job = &compiled.job;
    let standing = &compiled.works.standing;
    let system = job.system();
    let say = job.bars_of(made.id).map(|bars| &bars.say);
    match &group.place {
        Place::Holes(holes) => {
            let out = say
                .and_then(|say| say.out)
                .map_or_else(String::new, |out| format!(", {} standing out", show::exact(out.value.0, system)));
            let empty = compiled.works.holes_done.of(*holes).iter().filter(|one| one.now.is_none());
            let empty: Vec<String> = empty.map(|one| one.hole.number.to_string()).collect();
            let none_in = match empty.as_slice() {
                [] => String::new(),
                [one] => format!("; none in hole {one}, which is left empty, as recorded"),
                all => format!("; none in holes {}, which are left empty, as recorded", all.join(", ")),
            };
            format!("one in each hole of {}{out}{none_in}", job.name(*holes))
        }
        Place::Long { level, from, to, .. } => {
            let offset = say.and_then(|say| say.offset).map_or_else(String::new, |offset| {
                format!(", centre {} out from the face", show::exact(offset.value, system))
            });
            let lapped = if group.lapped_with.is_empty() { "" } else { ", lapped with the next piece" };
            let stretch = words::stretch(job, standing, *from, *to);
            format!("{stretch}, level {}{offset}{lapped}", show::place(*level, system))
        }
        Place::Side(row) => {
            let leg = words::leg(job, standing, row.on);
            let count = row.places.count();
            // A handful of stations is written out; a long row by its ends and its gap.
            let stations = if count <= 12 {
                let all: Vec<String> =
                    (0..count).map(|at| show::place(row.places.at(at), system).to_string()).collect();
                all.join(", ")
            } else {
                let gap =
                    row.places.gap().map_or_else(String::new, |gap| format!(", every {}", show::place(gap, system)));
                format!(
                    "{} to {}{gap}",
                    show::place(row.places.at(0), system),
                    show::place(row.places.at(count - 1), system)
                )
            };
            let level = match row.level {
                Level::Height(level) | Level::Offset(level) => show::place(level, system),
            };
            let offset = say.and_then(|say| say.from.as_ref()).map_or_else(String::new, |from| {
                format!(", centre {} out from the face", show::exact(from.value.offset, system))
            });
            format!("{leg} at {stations}; bar end at level {level}{offset}")
        }
    }
}

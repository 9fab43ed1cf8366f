//! The hole sheet: every hole with its number and place, and room for what was really drilled.

use crate::{
    compile::Compiled,
    concrete::LegAt,
    holes::{Axis, Level, RowNames, Set},
    reports::{Column, Paper, Part, Rows, Table, Words, measures::Measures, words},
    schema::Curve,
    units::{Duration, Temperature, show},
};

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    if compiled.works.sets.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("Hole sheet")));
    paper.push(Part::Text(Words::from(
        "Measure every station from the left end of its leg with a running tape, never from hole to hole. A hole keeps its number even if it is not drilled.",
    )));
    for set in compiled.works.sets.values() {
        one(compiled, set, paper);
    }
}

fn one<'w>(compiled: &'w Compiled, set: &'w Set, paper: &mut Paper<'w>) {
    let job = &compiled.job;
    let system = job.system();
    let measures = Measures(system);
    let name = job.name(set.id);
    paper.push(Part::Heading(
        3,
        Words::from(format!("{name}: {} holes into {}", set.count, words::target(job, set.into))),
    ));
    let mut facts = vec![(
        Words::from("Bore"),
        Words::from(format!("{} wide, {} deep", show::exact(set.wide, system), show::exact(set.deep, system))),
    )];
    if let Some(fill) = compiled.works.fills.iter().find(|fill| fill.holes == set.id) {
        let resin = job.name(fill.resin);
        facts.push((
            Words::from("Fill"),
            Words::from(format!(
                "{resin}: {} in each hole round its bar, {} in all, {} with waste",
                show::small_volume(fill.each, system),
                show::small_volume(fill.net, system),
                show::fluid(fill.wanted, system)
            )),
        ));
        if let Some(resin) = job.resin(fill.resin) {
            let mut fact = |label: &str, curve: &Option<Vec<Curve<crate::schema::Above<Duration>, Temperature>>>| {
                if let Some(curve) = curve {
                    facts.push((Words::from(label), Words::from(at_temperatures(curve, system))));
                }
            };
            fact("Can be worked for", &resin.say.works);
            fact("Not to be touched or loaded for", &resin.say.cures);
        }
        facts.push((
            Words::from("Clean"),
            Words::from(
                "blow out from the back, brush, blow again until no dust comes; fill from the back; push the bar in turning it until resin shows (trade practice, no source; what is printed on the cartridge goes before this)",
            ),
        ));
    }
    paper.push(Part::Facts(facts));
    let is_face = set.axis == Axis::Face;
    let columns = vec![
        Column::count("hole", "Hole").written(),
        Column::text("leg", "Leg"),
        Column::count("row", "Row").written(),
        measures.lengths("station", "From the left end").number("first"),
        measures
            .lengths(if is_face { "level" } else { "offset" }, if is_face { "Level" } else { "Out from the face" })
            .written(),
        Column::text("drilled", "Depth drilled"),
        Column::mark("cleaned", "Cleaned"),
        Column::mark("filled", "Filled"),
        Column::text("note", "Note"),
    ];
    let rows = Rows::formula(move |lines| {
        let mut leg: Option<(LegAt, String)> = None;
        let standing = &compiled.works.standing;
        let mut names = RowNames::new(name);
        let rows = set.rows.iter().map(|row| (row.first_number, names.next(standing, row.on, row.row)));
        let mut rows = rows.collect::<Vec<_>>().into_iter().peekable();
        let mut of = String::new();
        for hole in set.each() {
            if leg.as_ref().is_none_or(|(at, _)| *at != hole.on) {
                leg = Some((hole.on, words::leg(job, &compiled.works.standing, hole.on)));
            }
            if let Some((_, name)) = rows.next_if(|(first, _)| *first <= hole.number) {
                of = name;
            }
            lines.item(|row| {
                row.of(&of).count(i64::try_from(hole.number).unwrap_or(i64::MAX));
                row.text(leg.as_ref().map_or("", |(_, name)| name.as_str())).count(i64::from(hole.row));
                measures.place(row, hole.station);
                match hole.level {
                    Level::Height(level) | Level::Offset(level) => measures.place(row, level),
                }
                row.blank().tick().tick().blank();
            })?;
        }
        Ok(())
    });
    paper.push(Part::Table(Table::new("holes", columns, rows).caption(format!("Holes {name}"))));
}

/// "15 min at 70 degF, 40 min at 50 degF".
pub(in crate::reports) fn at_temperatures(
    curve: &[Curve<crate::schema::Above<Duration>, Temperature>],
    system: crate::units::System,
) -> String {
    let points: Vec<String> = curve
        .iter()
        .map(|point| format!("{} at {}", show::time(point.value.0), show::temperature(point.at, system)))
        .collect();
    points.join(", ")
}

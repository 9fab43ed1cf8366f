//! The hole sheet: every hole with its number and place, how far it may be moved, and room for what was really drilled; and
//! the fill sheet, nozzle by nozzle.

use crate::{
    compile::Compiled,
    concrete::LegAt,
    drawings::ids,
    holes::{Axis, Fill, Level, RowNames, Set},
    reports::{Column, Lines, Paper, Part, Row, Rows, Table, Words, measures::Measures, words},
    schema::{Above, Asked, Curve},
    units::{Duration, Length, System, Temperature, show},
};

/// Rows left empty for holes nobody planned.
const SPARE: usize = 3;

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    if compiled.works.sets.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("Hole sheet")));
    paper.push(Part::Text(Words::from(
        "Hook the tape at the left end of the leg and read every station from there, never from hole to hole. A hole keeps its number even if it is not drilled.",
    )));
    paper.push(Part::Text(Words::from(
        "A hole that meets steel, a stone or a void is left empty and marked. It may be drilled again beside it, three bores away at least, and no farther to the left or right than its line says; where its line says less than that, ask. One lost hole here and there is borne; two neighbours of a row, or a second one in the same row: stop and ask (a rule of this paper; common practice, no source).",
    )));
    if !compiled.works.fills.is_empty() {
        paper.push(Part::Text(
            Words::default()
                .strong("Cleaning and filling, hole by hole")
                .plain(" (trade practice, no source; what is printed with the resin goes before this):"),
        ));
        paper.push(Part::Bullets(
            [
                "Drill with a hammer drill, to the depth stop; cored holes are too smooth.",
                "Blow out from the back with oil-free air until no dust comes, brush the full depth turning the brush, blow again. Twice each, if the cartridge says nothing else.",
                "The hole is dry, unless the resin is made for damp.",
                "With each new nozzle squeeze the first of it out beside the work until the colour is even.",
                "Fill from the back, half to two thirds, drawing the nozzle out so that no air stays.",
                "Push the straight, clean bar in, turning it, to its mark; resin shows all round the mouth, or the hole is done again.",
                "Do not touch the bar until the time below; do not load or bend it before.",
            ]
            .map(Words::from)
            .to_vec(),
        ));
    }
    for set in compiled.works.sets.values() {
        one(compiled, set, paper);
    }
}

fn one<'w>(compiled: &'w Compiled, set: &'w Set, paper: &mut Paper<'w>) {
    let job = &compiled.job;
    let name = job.name(set.id);
    paper.push(Part::Heading(
        3,
        Words::from(format!("{name}: {} holes into {}", set.count, words::target(job, set.into))),
    ));
    let fill = compiled.works.fills.iter().find(|fill| fill.holes == set.id);
    paper.push(Part::Facts(facts(compiled, set, fill)));
    paper.push(Part::Table(drilling(compiled, set).caption(format!("Holes {name}. Left, right: how far it may go"))));
    if let Some(fill) = fill {
        paper.push(Part::Table(filling(name, set, fill).caption(format!("Filling {name}"))));
    }
}

fn facts(compiled: &Compiled, set: &Set, fill: Option<&Fill>) -> Vec<(Words, Words)> {
    let job = &compiled.job;
    let system = job.system();
    let mut facts: Vec<(Words, Words)> = Vec::new();
    let mut fact = |label: &str, value: String| facts.push((Words::from(label), Words::from(value)));
    fact("Bore", format!("{} wide, {} deep", show::exact(set.wide, system), show::exact(set.deep, system)));
    if let Some(tilt) = set.tilt {
        fact(
            "Leans",
            format!(
                "{} degrees from square, going {} on its way in; the depth is along the drill",
                show::decimal(tilt.degrees, 1),
                tilt.way.word()
            ),
        );
    }
    let Some(fill) = fill else { return facts };
    fact(
        "Fill",
        format!(
            "{}: {} in each hole round its bar, {} in all{}; {} with waste",
            job.name(fill.resin),
            show::small_volume(fill.each, system),
            show::small_volume(fill.net, system),
            match system {
                System::Feet => format!(", {}", show::fluid(fill.net, system)),
                System::Metric => String::new(),
            },
            show::fluid(fill.wanted, system)
        ),
    );
    let Some(resin) = job.resin(fill.resin) else { return facts };
    let air = job.air();
    if let Some(works) = &resin.say.works {
        let mut text = at_temperatures(works, system);
        if let (Some(Asked::Within(time)), Some(air)) = (fill.works, air) {
            text = format!(
                "{} at {}, the warmest reckoned with ({text})",
                show::time(time),
                show::temperature(air.to.value, system)
            );
        }
        fact("Can be worked for", text);
    }
    if let Some(cures) = &resin.say.cures {
        let mut text = at_temperatures(cures, system);
        if let (Some(Asked::Within(time)), Some(air)) = (fill.cures, air) {
            text = format!(
                "{} at {}, the coldest reckoned with ({text})",
                show::time(time),
                show::temperature(air.from.value, system)
            );
        }
        fact("Not to be touched or loaded for", text);
    }
    let purge = show::fluid(fill.purge, system);
    fact(
        "Nozzles",
        match fill.per_nozzle {
            Some(1) => format!(
                "{}: one for each hole at {}, before it hardens; {purge} thrown away with each",
                fill.nozzles,
                show::time(fill.takes)
            ),
            Some(per) => format!(
                "{}: one for every {per} holes at {} each, before it hardens; {purge} thrown away with each",
                fill.nozzles,
                show::time(fill.takes)
            ),
            None => format!(
                "{}, one for each cartridge, and a new one whenever work stops for longer than the resin can be worked; {purge} thrown away with each",
                fill.nozzles
            ),
        },
    );
    facts
}

/// Where each hole is, how far it may go, what became of it.
fn drilling<'w>(compiled: &'w Compiled, set: &'w Set) -> Table<'w> {
    let job = &compiled.job;
    let works = &compiled.works;
    let measures = Measures(job.system());
    let is_face = matches!(set.axis, Axis::Face);
    let any_moved = set.rows.iter().any(|row| row.places.moved(0).is_some());
    let mut columns = vec![
        Column::count("hole", "Hole").written(),
        Column::text("leg", "Leg"),
        Column::count("row", "Row").written(),
        measures.lengths("station", "From the left end").number("first"),
        measures
            .lengths(if is_face { "level" } else { "offset" }, if is_face { "Level" } else { "Out from the face" })
            .written(),
    ];
    if any_moved {
        columns.push(Column::text("moved", "Moved"));
    }
    columns.extend([
        Column::text("left", "Left"),
        Column::text("right", "Right"),
        Column::text("drilled", "Depth"),
        Column::text("note", "Note"),
    ]);
    let rows = Rows::formula(move |lines| {
        let mut leg: Option<(LegAt, String)> = None;
        let mut names = RowNames::new(job.name(set.id));
        for row in &set.rows {
            let of = names.next(&works.standing, row.on, row.row);
            let shifts = set.shifts(job, &works.standing, &works.obstacles, row);
            for at in 0..row.places.count() {
                let Some(hole) = row.hole(at) else { continue };
                if leg.as_ref().is_none_or(|(at, _)| *at != hole.on) {
                    leg = Some((hole.on, words::leg(job, &works.standing, hole.on)));
                }
                let shift = shifts.at(at);
                lines.item(|cells| {
                    cells.of(&of).draws(ids::hole(job.name(set.id), hole.number));
                    cells.count(i64::try_from(hole.number).unwrap_or(i64::MAX));
                    cells.text(leg.as_ref().map_or("", |(_, name)| name.as_str())).count(i64::from(hole.row));
                    measures.place(cells, hole.station);
                    let (Level::Height(level) | Level::Offset(level)) = hole.level;
                    measures.place(cells, level);
                    if any_moved {
                        moved(cells, row.places.moved(at), measures.0);
                    }
                    let may = |way| show::place(step_down(way, measures.0), measures.0);
                    cells.text(may(shift.left)).text(may(shift.right)).blank().blank();
                })?;
            }
        }
        for _ in 0..SPARE {
            blanks(lines, if any_moved { 10 } else { 9 })?;
        }
        Ok(())
    });
    Table::new("holes", columns, rows)
}

/// A row to be filled in by hand.
fn blanks(lines: &mut Lines<'_>, count: usize) -> std::io::Result<()> {
    lines.item(|cells| {
        for _ in 0..count {
            cells.blank();
        }
    })
}

/// How far a hole was moved out of the way, and to which side.
fn moved(cells: &mut Row, by: Option<Length>, system: System) {
    match by {
        // Less than is marked on the wall is not told.
        Some(by) if by.abs() * 32 >= Length::INCH => {
            let side = if by > Length::ZERO { "right" } else { "left" };
            cells.text(format_args!("{} {side}", show::place(by.abs(), system)));
        }
        _ => {
            cells.empty();
        }
    }
}

/// Rounded down to what is marked on the wall: 1/16 in or a millimetre.
fn step_down(length: Length, system: System) -> Length {
    let step = match system {
        System::Feet => Length::INCH.nm() / 16,
        System::Metric => Length::MILLIMETRE.nm(),
    };
    Length::from_nm(length.nm().div_euclid(step) * step)
}

/// What is done to each hole and when, with a line where a new nozzle goes on.
fn filling<'w>(name: &'w str, set: &'w Set, fill: &'w Fill) -> Table<'w> {
    let columns = vec![
        Column::text("hole", "Hole"),
        Column::mark("blown", "Blown"),
        Column::mark("brushed", "Brushed"),
        Column::mark("blown_again", "Blown again"),
        Column::mark("filled", "Filled"),
        Column::text("set_at", "Set at"),
        Column::text("until", "Not to be touched until"),
    ];
    let rows = Rows::formula(move |lines| {
        for (done, hole) in (0_u64..).zip(set.each()) {
            if let Some(per) = fill.per_nozzle.filter(|per| done.is_multiple_of(*per)) {
                lines.item(|cells| {
                    cells
                        .text(format_args!("nozzle {}", done / per + 1))
                        .empty()
                        .empty()
                        .empty()
                        .empty()
                        .blank()
                        .empty();
                })?;
            }
            lines.item(|cells| {
                cells.draws(ids::hole(name, hole.number)).text(hole.number).tick().tick().tick().tick().blank().blank();
            })?;
        }
        for _ in 0..SPARE {
            lines.item(|cells| {
                cells.blank().tick().tick().tick().tick().blank().blank();
            })?;
        }
        Ok(())
    });
    Table::new("fills", columns, rows)
}

/// "15 min at 70 degF, 40 min at 50 degF".
pub(in crate::reports) fn at_temperatures(curve: &[Curve<Above<Duration>, Temperature>], system: System) -> String {
    let points: Vec<String> = curve
        .iter()
        .map(|point| format!("{} at {}", show::time(point.value.0), show::temperature(point.at, system)))
        .collect();
    points.join(", ")
}

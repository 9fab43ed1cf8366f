//! The hole sheet: every hole with its number and place, how far it may be moved, and room for what was really drilled; and
//! the fill sheet, nozzle by nozzle. What was recorded is laid over both: a hole stands where it is, and what is left empty is not
//! filled.

use crate::{
    compile::Compiled,
    concrete::LegAt,
    drawings::ids,
    holes::{Axis, Drilled, Fill, Level, RowNames, Set},
    problem::count,
    reports::{Column, Lines, Paper, Part, Row, Rows, Table, Words, measures::Measures, record, words},
    schema::{Above, Asked, Curve},
    units::{Date, Duration, Length, System, Temperature, show},
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
        paper.push(Part::Table(filling(compiled, set, fill).caption(format!("Filling {name}"))));
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
    let done = &compiled.works.holes_done;
    let lost = done.lost(set.id);
    if !done.of(set.id).is_empty() {
        fact("As recorded", recorded(done.of(set.id), lost));
    }
    let Some(fill) = fill else { return facts };
    // What is bought stays what was planned; what is filled are the holes as they are.
    let as_is = match done.resin.get(&set.id) {
        Some(resin) => {
            format!("; {} in the {} as they are", show::small_volume(*resin, system), holes(set.count - lost))
        }
        None => String::new(),
    };
    fact(
        "Fill",
        format!(
            "{}: {} in each hole round its bar, {} in all{}; {} with waste{as_is}",
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
    let air = fill.air;
    let (warmest, coldest) = if fill.by_day {
        ("the warmest of the days it is set on", "the coldest of the days it cures on")
    } else {
        ("the warmest reckoned with", "the coldest reckoned with")
    };
    if let Some(works) = &resin.say.works {
        let mut text = at_temperatures(works, system);
        if let (Some(Asked::Within(time)), Some(air)) = (fill.works, air) {
            text = format!(
                "{} at {}, {warmest} ({text})",
                show::time_within(time),
                show::temperature(air.to.value, system)
            );
        }
        fact("Can be worked for", text);
    }
    if let Some(cures) = &resin.say.cures {
        let mut text = at_temperatures(cures, system);
        if let (Some(Asked::Within(time)), Some(air)) = (fill.cures, air) {
            text = format!(
                "{} at {}, {coldest} ({text})",
                show::time_at_least(time),
                show::temperature(air.from.value, system)
            );
        }
        fact("Not to be touched or loaded for", text);
    }
    let purge = show::fluid(fill.purge, system);
    let nozzles = fill.per_nozzle.map_or(fill.nozzles, |per| (set.count - lost).div_ceil(per));
    let nozzles =
        if nozzles == fill.nozzles { nozzles.to_string() } else { format!("{nozzles} ({} planned)", fill.nozzles) };
    fact(
        "Nozzles",
        match fill.per_nozzle {
            Some(1) => format!(
                "{nozzles}: one for each hole at {}, before it hardens; {purge} thrown away with each",
                show::time(fill.takes)
            ),
            Some(per) => format!(
                "{nozzles}: one for every {per} holes at {} each, before it hardens; {purge} thrown away with each",
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

fn holes(number: u64) -> String {
    count(usize::try_from(number).unwrap_or(usize::MAX), "hole", "holes")
}

/// What became of the holes that are not as planned, and what the sheets below show of it.
fn recorded(mine: &[Drilled], lost: u64) -> String {
    let moved = mine.iter().filter(|one| one.now.is_some_and(|now| now != one.hole)).count();
    let mut said = Vec::new();
    match lost {
        0 => {}
        1 => said.push("1 hole is left empty: nothing fills it, and no bar goes in".to_owned()),
        _ => said.push(format!("{lost} holes are left empty: nothing fills them, and no bars go in")),
    }
    match moved {
        0 => {}
        1 => said.push("1 hole is somewhere else than planned, and stands where it is now".to_owned()),
        _ => said.push(format!("{moved} holes are somewhere else than planned, and stand where they are now")),
    }
    let others = mine.iter().filter(|one| one.now == Some(one.hole)).count();
    match others {
        0 => {}
        1 => said.push("1 hole has another width or depth than planned".to_owned()),
        _ => said.push(format!("{others} holes have another width or depth than planned")),
    }
    said.join("; ")
}

/// The day the holes of a set were all drilled, as recorded.
fn drilled_on(compiled: &Compiled, set: &Set) -> Option<Date> {
    let job = &compiled.job;
    let drills = job.steps.iter().filter(|step| {
        let works = step.say.work.0.iter().filter(|work| work.verb == "drill");
        works.flat_map(|work| &work.things).any(|thing| thing.value == set.id)
    });
    let days: Option<Vec<Date>> = drills.map(|step| Some(compiled.works.facts.done(step.id)?.day)).collect();
    days?.into_iter().max()
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
    let drilled = drilled_on(compiled, set);
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
                let done = works.holes_done.find(set.id, hole.number);
                lines.item(|cells| {
                    let now = done.and_then(|one| one.now).unwrap_or(hole);
                    cells.of(&of).draws(ids::hole(job.name(set.id), hole.number));
                    cells.count(i64::try_from(hole.number).unwrap_or(i64::MAX));
                    cells.text(leg.as_ref().map_or("", |(_, name)| name.as_str())).count(i64::from(hole.row));
                    measures.place(cells, now.station);
                    let (Level::Height(level) | Level::Offset(level)) = now.level;
                    measures.place(cells, level);
                    if any_moved {
                        moved(cells, row.places.moved(at), measures.0);
                    }
                    let may = |way| show::place(step_down(way, measures.0), measures.0);
                    let Some(done) = done else {
                        cells.text(may(shift.left)).text(may(shift.right));
                        // Of what is not as planned something is said; all others are.
                        match drilled {
                            Some(day) => {
                                cells.text(show::exact(set.deep, measures.0)).text(format_args!("as planned, {day}"))
                            }
                            None => cells.blank().blank(),
                        };
                        return;
                    };
                    // How far it might go is told of the planned place alone.
                    if now == hole && done.now.is_some() {
                        cells.text(may(shift.left)).text(may(shift.right));
                    } else {
                        cells.empty().empty();
                    }
                    match done.now {
                        Some(_) => cells.text(show::exact(done.deep, measures.0)),
                        None => cells.empty(),
                    };
                    cells.text(record::what(compiled, set, done));
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
fn filling<'w>(compiled: &'w Compiled, set: &'w Set, fill: &'w Fill) -> Table<'w> {
    let name = compiled.job.name(set.id);
    // Nothing goes into what is left empty.
    let set = compiled.works.holes_done.set(set.id).unwrap_or(set);
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

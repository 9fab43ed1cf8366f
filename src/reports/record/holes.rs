//! Holes and bars: every hole with its depth as planned and as drilled; bars planned, left out and there.

use crate::{
    compile::Compiled,
    holes::{Drilled, Hole, Set},
    reports::{Column, Paper, Part, Row, Rows, Table, Weight, Words, measures::Measures},
    schema::BlockId,
    units::{Length, show},
};

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    let (job, works) = (&compiled.job, &compiled.works);
    let measures = Measures(job.system());
    if works.sets.values().any(|set| set.count > 0) {
        paper.push(Part::Heading(2, Words::from("Holes")));
        let columns = vec![
            Column::text("holes", "Holes"),
            Column::count("hole", "Hole").written(),
            measures.lengths("planned", "Planned deep").written(),
            measures.lengths("done", "Drilled deep").written(),
            measures.lengths("less", "Less").number("less"),
            Column::text("what", "What came of it"),
        ];
        let rows = Rows::formula(move |lines| {
            for set in works.sets.values() {
                let drilled = is_drilled(compiled, set.id);
                for hole in set.each() {
                    lines.item(|row| put(compiled, set, &hole, drilled, row))?;
                }
            }
            Ok(())
        });
        paper.push(Part::Table(Table::new("holes_done", columns, rows)));
    }
    let bars: Vec<Row> = works.bars.iter().map(|made| bars(compiled, made.id, made.count)).collect();
    if !bars.is_empty() {
        paper.push(Part::Heading(2, Words::from("Bars")));
        let columns = vec![
            Column::text("bars", "Bars"),
            Column::count("planned", "Planned").number("count"),
            Column::count("left_out", "Left out").number("left-out"),
            Column::text("done", "Done on"),
        ];
        paper.push(Part::Table(Table::new("bars_done", columns, bars)));
    }
}

/// The day all steps that do this to a thing were done, where there are any and they are.
pub(super) fn handled(compiled: &Compiled, thing: BlockId, verbs: &[&str]) -> Option<crate::units::Date> {
    let does =
        |work: &crate::schema::Work| verbs.contains(&work.verb) && work.things.iter().any(|named| named.value == thing);
    let steps = compiled.job.steps.iter().filter(|step| step.say.work.0.iter().any(does));
    let days: Option<Vec<_>> = steps.map(|step| compiled.works.facts.done(step.id).map(|on| on.day)).collect();
    days?.into_iter().max()
}

pub(super) fn is_drilled(compiled: &Compiled, set: BlockId) -> bool {
    handled(compiled, set, &["drill"]).is_some()
}

/// Whether something is written of a hole, or the step that drills it is done.
pub(super) fn is_known(compiled: &Compiled, set: BlockId, number: u64, drilled: bool) -> bool {
    drilled || compiled.works.facts.holes.get(&set).is_some_and(|holes| holes.contains_key(&number))
}

fn put(compiled: &Compiled, set: &Set, hole: &Hole, drilled: bool, row: &mut Row) {
    let job = &compiled.job;
    let measures = Measures(job.system());
    let name = job.name(set.id);
    row.of(format_args!("{name}.{}.depth", hole.number)).text(name);
    row.count(i64::try_from(hole.number).unwrap_or(i64::MAX));
    measures.length(row, set.deep);
    match compiled.works.holes_done.find(set.id, hole.number) {
        _ if !is_known(compiled, set.id, hole.number, drilled) => {
            row.blank().empty().blank();
        }
        None => {
            measures.length(row, set.deep);
            row.empty().text("as planned");
        }
        Some(one) => {
            if one.now.is_some() {
                measures.length(row, one.deep);
                if one.deep == set.deep {
                    row.empty();
                } else {
                    measures.length(row, set.deep - one.deep);
                }
            } else {
                row.empty().empty();
            }
            row.text(what(compiled, set, one));
        }
    }
}

/// What came of a hole, in a few words.
pub(in crate::reports) fn what(compiled: &Compiled, set: &Set, one: &Drilled) -> String {
    let system = compiled.job.system();
    let shown = |length: Length| show::exact(length, system);
    let mut said = Vec::new();
    if let Some(hit) = one.fact.hit {
        said.push(format!("met steel or a void at {}", shown(hit)));
    }
    if one.now.is_none() {
        said.push("left empty".to_owned());
    }
    for step in one.fact.moved.iter().filter(|_| one.now.is_some()) {
        let anew = if one.fact.hit.is_some() { "drilled anew" } else { "moved" };
        said.push(format!("{anew} {} {}", step.direction.word(), shown(step.length)));
    }
    if one.now.is_some() && one.wide != set.wide {
        said.push(format!("{} wide", shown(one.wide)));
    }
    if one.now.is_some() && one.deep < set.deep {
        said.push("shallower".to_owned());
    } else if one.now.is_some() && one.deep > set.deep {
        said.push("deeper".to_owned());
    }
    said.join(", ")
}

fn bars(compiled: &Compiled, id: BlockId, count: u64) -> Row {
    let (job, works) = (&compiled.job, &compiled.works);
    Row::new(Weight::Item, |row| {
        row.of(job.name(id)).text(job.name(id)).count(i64::try_from(count).unwrap_or(i64::MAX));
        match works.facts.left_out.get(&id) {
            Some(left_out) => row.count(i64::try_from(left_out.count).unwrap_or(i64::MAX)),
            None => row.empty(),
        };
        match handled(compiled, id, &["set", "place"]) {
            Some(day) => row.text(day),
            None => row.blank(),
        };
    })
}

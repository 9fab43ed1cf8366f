//! Steps and looks: when they were planned and done, how long they took.

use crate::{
    compile::Compiled,
    outcome::{planned_time, time_taken},
    placing::Placing,
    reports::{Column, Paper, Part, Row, Table, Weight, Words},
    schema::{BlockId, KindId},
    units::{Duration, show},
};

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    let (job, works) = (&compiled.job, &compiled.works);
    let order: Vec<BlockId> = works.plan.order.clone();
    let steps: Vec<Row> =
        order.iter().filter(|node| job.kind(**node) == Some(KindId::Step)).map(|node| step(compiled, *node)).collect();
    if !steps.is_empty() {
        paper.push(Part::Heading(2, Words::from("Steps")));
        let columns = vec![
            Column::text("step", "Step"),
            Column::text("planned_day", "Planned for"),
            Column::text("done", "Done on"),
            Column::text("planned_time", "Planned"),
            Column::figure("took", "Took", "min").number("time.done"),
            Column::figure("more", "More than planned", "min").number("time.more"),
        ];
        paper.push(Part::Table(Table::new("steps_done", columns, steps)));
    }
    let looks: Vec<Row> = order
        .iter()
        .filter(|node| job.kind(**node) == Some(KindId::Look))
        .flat_map(|node| look(compiled, *node))
        .collect();
    if !looks.is_empty() {
        paper.push(Part::Heading(2, Words::from("Looks")));
        let columns = vec![
            Column::text("look", "Look"),
            Column::text("planned_day", "Planned for"),
            Column::text("day", "Looked at on"),
            Column::text("by", "By"),
            Column::text("result", "Result"),
            Column::text("said", "Said"),
        ];
        paper.push(Part::Table(Table::new("looks_done", columns, looks)));
    }
}

/// The day something was planned for.
pub(super) fn planned_day(compiled: &Compiled, node: BlockId) -> String {
    let works = &compiled.works;
    let days = works.planned_days.as_ref().or(works.days.as_ref());
    let day = days.and_then(|days| days.date(days.of(node)?.placed.finish));
    day.map_or_else(String::new, |day| day.to_string())
}

/// How long a step was planned to take.
pub(in crate::reports) fn planned(compiled: &Compiled, step: BlockId) -> Option<Duration> {
    let works = &compiled.works;
    let sheet = |pour: BlockId| works.placings.iter().find(|placing| placing.pour == pour).map(Placing::lasts);
    planned_time(&compiled.job, &works.plan, &sheet, step)
}

fn step(compiled: &Compiled, id: BlockId) -> Row {
    let (job, facts) = (&compiled.job, &compiled.works.facts);
    let planned = planned(compiled, id);
    let took = time_taken(job, facts, id);
    Row::new(Weight::Item, |row| {
        row.of(job.name(id)).text(format_args!("{} ({})", job.step(id).map_or("", |step| &step.title), job.name(id)));
        row.text(planned_day(compiled, id));
        match (facts.done(id), facts.steps.get(&id).and_then(|step| step.days)) {
            (Some(on), _) => row.text(on.day),
            (None, Some((_, last))) => row.text(format_args!("begun, last on {last}")),
            (None, None) => row.blank(),
        };
        match planned {
            Some(time) => row.text(show::time(time)),
            None => row.text("not said"),
        };
        match took {
            Some(time) => row.figure(show::time(time), time.minutes()),
            None => row.blank(),
        };
        match took.zip(planned) {
            Some((took, planned)) => {
                let more = took - planned;
                row.figure(show::time(more), more.seconds().round() / 60.0)
            }
            None => row.empty(),
        };
    })
}

fn look(compiled: &Compiled, id: BlockId) -> Vec<Row> {
    let job = &compiled.job;
    let name = format!("{} ({})", job.look(id).map_or("", |look| &look.title), job.name(id));
    let looked = compiled.works.facts.looks.get(&id).map(Vec::as_slice).unwrap_or_default();
    if looked.is_empty() {
        let row = Row::new(Weight::Item, |row| {
            row.text(&name).text(planned_day(compiled, id)).blank().blank().blank().blank();
        });
        return vec![row];
    }
    let each = looked.iter().map(|one| {
        Row::new(Weight::Item, |row| {
            row.text(&name).text(planned_day(compiled, id)).text(one.on.day);
            row.text(one.by.as_deref().unwrap_or(""));
            row.text(if one.passed { "passed" } else { "refused: to be seen again" });
            row.text(one.said.as_deref().unwrap_or(""));
        })
    });
    each.collect()
}

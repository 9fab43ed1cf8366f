//! Sizes: sections as they were measured, beside what was planned and how far they may be off.

use crate::{
    compile::Compiled,
    outcome::{Size, SizeOf},
    reports::{Column, Paper, Part, Row, Table, Weight, Words, measures::Measures, words},
    units::{Length, System, show},
};

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    let sizes = &compiled.works.sizes.sizes;
    if sizes.is_empty() {
        return;
    }
    let measures = Measures(compiled.job.system());
    paper.push(Part::Heading(2, Words::from("Sizes")));
    paper.push(Part::Text(Words::from(
        "Allowed by ACI 117-90 as reprinted in UFGS 03700, p. 26; for more than 12 in (305 mm) of thickness from memory, for undersides on the ground by common practice. All other figures stay those of the plan.",
    )));
    let columns = vec![
        Column::text("section", "Section"),
        Column::text("day", "Measured on"),
        Column::text("place", "Place"),
        Column::text("what", "What"),
        measures.lengths("planned", "Planned").number("planned"),
        measures.lengths("measured", "Measured").number("done"),
        measures.lengths("more", "More than planned").number("more"),
        Column::text("allowed", "Allowed"),
        Column::text("said", "Said"),
    ];
    let rows: Vec<Row> = sizes.iter().map(|size| line(compiled, size)).collect();
    paper.push(Part::Table(Table::new("sizes_done", columns, rows)));
}

fn line(compiled: &Compiled, size: &Size) -> Row {
    let job = &compiled.job;
    let measures = Measures(job.system());
    Row::new(Weight::Item, |row| {
        row.of(size.name(job)).text(job.name(size.section)).text(size.on.day).text(place(compiled, size));
        row.text(what(size.what));
        measures.length(row, size.planned.value);
        measures.length(row, size.measured.value);
        measures.length(row, size.more());
        row.text(allowed(size, job.system()));
        let again = size.again.map(|day| format!("measured again on {day}"));
        let said = size.said.as_deref().into_iter().chain(again.as_deref());
        row.text(said.collect::<Vec<_>>().join("; "));
    })
}

/// Where it was measured: "back 6'"; "all along" where no place is said.
pub(in crate::reports) fn place(compiled: &Compiled, size: &Size) -> String {
    let job = &compiled.job;
    match size.at {
        Some((leg, station)) => {
            format!("{} {}", words::leg(job, &compiled.works.standing, leg), show::place(station, job.system()))
        }
        None => "all along".to_owned(),
    }
}

/// What was measured, in a word.
pub(in crate::reports) const fn what(what: SizeOf) -> &'static str {
    match what {
        SizeOf::Thick => "thickness",
        SizeOf::Top => "top",
        SizeOf::Bottom => "bottom",
        SizeOf::Plumb => "out of plumb",
    }
}

/// `3/8" more, 1/4" less`; one figure where there is only one way.
fn allowed(size: &Size, system: System) -> String {
    let allowed = size.allowed.value;
    let shown = |length: Length| show::exact(length, system);
    match allowed.less {
        Length::ZERO => shown(allowed.more).to_string(),
        less => format!("{} more, {} less", shown(allowed.more), shown(less)),
    }
}

//! The buy list, with what it comes to where prices are written.

use crate::{
    buying::Line,
    compile::Compiled,
    problem,
    reports::{Paper, Part, Words, bill, quantities},
    units::show,
};

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    if compiled.works.buying.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("Buy and carry in")));
    paper.push(Part::Table(quantities::buy::table(compiled)));
    let unplanned = |line: &Line| matches!(line, Line::Bars { bought: None, .. });
    if compiled.works.buying.iter().any(unplanned) {
        paper.push(Part::Text(Words::from(
            "Where no count of bars stands, no plan could be made of what they are cut from; the length is that of the pieces.",
        )));
    }
    if let Some(words) = bill::total_in_words(compiled, "With what is hired and paid it comes to") {
        paper.push(Part::Text(words + " By stage and by supplier it is shown by: batterboard buy FILE."));
    }
    trips(compiled, paper);
}

/// How often the truck goes.
fn trips(compiled: &Compiled, paper: &mut Paper) {
    let (job, loads) = (&compiled.job, &compiled.works.bill.loads);
    let Some(truck) = job.trucks.first().filter(|_| !loads.fetched.is_empty()) else { return };
    let trips = loads.fetched.iter().map(|fetched| fetched.trips).sum::<u64>();
    let trips = problem::count(usize::try_from(trips).unwrap_or(usize::MAX), "trip", "trips");
    paper.push(Part::Text(Words::from(format!(
        "{trips} with {}, which takes {} at once.",
        truck.name,
        show::mass(truck.say.carries.0, job.system())
    ))));
}

//! The days: which step is done when, by the hours that are worked.

use crate::{
    compile::Compiled,
    reports::{Paper, Part, Words, dayplan},
};

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    // Where no order of work is printed, no day of it is.
    if compiled.works.digs.iter().any(|dig| dig.under) {
        return;
    }
    let Some(days) = &compiled.works.days else { return };
    paper.push(Part::Heading(2, Words::from("Days")));
    paper.push(Part::Text(Words::from(dayplan::opening(compiled, days))));
    if let Some(never) = dayplan::never(compiled, days) {
        paper.push(Part::Caution(Words::from(never)));
    }
    dayplan::add_table(compiled, days, paper);
}

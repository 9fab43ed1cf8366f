//! The buy list: whole packs, no prices yet.

use crate::{
    buying::Line,
    compile::Compiled,
    reports::{Paper, Part, Words, quantities},
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
}

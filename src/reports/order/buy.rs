//! The buy list: whole packs, no prices yet.

use crate::{
    compile::Compiled,
    reports::{Paper, Part, Words, quantities},
};

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    if compiled.works.buying.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("Buy and carry in")));
    paper.push(Part::Table(quantities::buy::table(compiled)));
    if compiled.works.bars.iter().any(|bars| bars.count > 0) {
        paper.push(Part::Text(Words::from(
            "Bars are listed by their cut lengths in all; how many stock bars they come from depends on the lengths the yard keeps.",
        )));
    }
}

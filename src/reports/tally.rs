//! The tally: all quantities of a job.

use super::{Paper, Part, Words, quantities};
use crate::compile::Compiled;

/// The tally of a job.
#[must_use]
pub fn tally(compiled: &Compiled) -> Paper<'_> {
    let title = match compiled.job.title.as_str() {
        "" => "untitled job",
        title => title,
    };
    let mut paper = Paper::new(format!("Tally: {title}"));
    if compiled.has_errors() {
        paper.stamp = Some(Words::from("DRAFT: what the errors touch is left out, or wrong"));
    }
    quantities::add(compiled, &mut paper);
    if !compiled.works.buying.is_empty() {
        paper.push(Part::Heading(2, Words::from("To buy")));
        paper.push(Part::Table(quantities::buy::table(compiled)));
    }
    if let Some(table) = quantities::usual::table(compiled) {
        paper.push(Part::Heading(2, Words::from("Taken as usual")));
        paper.push(Part::Table(table));
    }
    paper
}

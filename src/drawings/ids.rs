//! Ids of what is drawn: what links lead to. They are made of names of the job, and each thing has its id in one drawing.

use super::Of;
use crate::schema::BlockId;

/// A hole: `hole-pins-3`.
#[must_use]
pub fn hole(set: &str, number: u64) -> String {
    format!("hole-{set}-{number}")
}

/// A bar, counted through its block: `bar-rises-3`.
#[must_use]
pub fn bar(bars: &str, number: u64) -> String {
    format!("bar-{bars}-{number}")
}

/// A bar where it passes before another leg than the one it begins on: `bar-rails-1-on-old-side`.
#[must_use]
pub fn bar_on(bars: &str, number: u64, leg: &str) -> String {
    format!("bar-{bars}-{number}-on-{leg}")
}

/// A form before a section: `forms-boxing-before-low`.
#[must_use]
pub fn form_before(forms: &str, section: &str) -> String {
    format!("forms-{forms}-before-{section}")
}

/// The bulkheads of a form at the ends of a section: `forms-boxing-ends-low`.
#[must_use]
pub fn form_ends(forms: &str, section: &str) -> String {
    format!("forms-{forms}-ends-{section}")
}

/// A mark, where it is drawn as it is bent: `mark-3`.
#[must_use]
pub fn mark(mark: u32) -> String {
    format!("mark-{mark}")
}

/// A layer of a pour, from 1: `layer-wall-2`.
#[must_use]
pub fn layer(pour: &str, layer: usize) -> String {
    format!("layer-{pour}-{layer}")
}

/// The line of a table that tells of what is drawn.
#[must_use]
pub fn line(id: &str) -> String {
    format!("line-{id}")
}

/// A finding by its number.
#[must_use]
pub fn finding(number: usize) -> String {
    format!("finding-{number}")
}

impl Of<'_> {
    /// A thing that is one: `body-low`, `clear-bolts`.
    pub(super) fn id(&self, word: &str, id: BlockId) -> String {
        format!("{word}-{}", self.job.name(id))
    }
}

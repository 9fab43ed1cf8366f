//! The work order: the paper a job is built from, in the order it is used.

use super::Paper;
use crate::compile::Compiled;

/// The work order of a job.
#[must_use]
pub fn order(compiled: &Compiled) -> Paper<'_> {
    let title = compiled.job.head.as_ref().map_or("", |head| head.title.as_str());
    Paper::new(title)
}

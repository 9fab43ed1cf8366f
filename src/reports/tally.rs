//! The tally: all quantities of a job.

use super::Paper;
use crate::compile::Compiled;

/// The tally of a job.
#[must_use]
pub fn tally(compiled: &Compiled) -> Paper<'_> {
    let title = compiled.job.head.as_ref().map_or("", |head| head.title.as_str());
    Paper::new(title)
}

//! The language reference, written from the tables.

use super::shape::Kind;

/// What the reference needs of the library: each file's name and text.
pub type Library<'l> = &'l [(&'l str, &'l str)];

/// The reference in Markdown.
#[must_use]
pub fn reference(kinds: &[Kind], library: Library) -> String {
    let _ = (kinds, library);
    String::new()
}

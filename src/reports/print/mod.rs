//! The printers, one a file; each prints any [`Paper`](super::Paper) to a writer and keeps no row.
//!
//! A printer writes line by line: hand it a `BufWriter`.

mod characters;
mod csv;
mod markdown;
#[cfg(test)]
mod sample;
mod terminal;

pub use csv::{csv, csv_all};
pub use markdown::markdown;
pub use terminal::terminal;

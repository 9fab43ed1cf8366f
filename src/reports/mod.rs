//! What is printed: a report turns works into a neutral [`Paper`], and a printer in [`mod@print`] puts any paper into
//! Markdown, terminal text or CSV.
//!
//! A report chooses words and shown figures and computes no quantity; a printer knows no trade. Table rows are formulas
//! until they are printed, so a paper of 200,000 rows takes no more memory than one of ten.

mod dayplan;
mod figures;
pub mod json;
mod learn;
mod measures;
mod order;
mod paper;
pub mod print;
mod quantities;
mod record;
mod table;
mod tally;
mod why;
mod words;

pub use dayplan::{calendar, day_plan};
pub use learn::learn;
pub use order::order;
pub use paper::{BoxLine, Paper, Part, Words};
pub use record::record;
pub use table::{Align, Cell, Column, Figures, Lines, Row, Rows, Table, Weight};
pub use tally::tally;
pub use why::{numbers, why};

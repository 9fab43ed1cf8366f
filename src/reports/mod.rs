//! What is printed: a report turns works into a neutral [`Paper`], and a printer in [`mod@print`] puts any paper into
//! Markdown, terminal text or CSV.
//!
//! A report chooses words and shown figures and computes no quantity; a printer knows no trade. Table rows are formulas
//! until they are printed, so a paper of 200,000 rows takes no more memory than one of ten.

mod bill;
mod changes;
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
mod together;
mod why;
mod words;

pub use bill::buy;
pub use changes::{Sides, changes};
pub use dayplan::{calendar, day_plan};
pub use learn::learn;
pub use order::{flags, order, order_page};
pub use paper::{BoxLine, FindingLine, Paper, Part, Picture, Words};
pub use record::record;
pub use table::{Align, Cell, Column, Figures, Lines, Row, Rows, Table, Weight};
pub use tally::tally;
pub use together::{Indexed, findings, index, together};
pub use why::{numbers, why};

//! Holes in rows: where each is, how they are numbered, which meet, which come out at the back, and the resin that fills
//! them.
//!
//! A row is kept as a formula (first place, gap, count); a hole is worked out when it is asked for.

mod layout;
mod meet;
mod numbers;
mod resin;

pub use layout::{Axis, Hole, Level, Places, Row, RowTrouble, Set, Spaced, Spacer, lay_out, stretches};
pub use meet::{Meeting, meetings};
pub use numbers::{RowNames, SaidSpacing, enter, enter_fills, enter_row};
pub use resin::{Fill, USUAL_WASTE, annulus, fill};

//! Holes in rows: where each is, how they are numbered, which meet, which come out at the back, and the resin that fills
//! them.
//!
//! A row is kept as a formula (first place, gap, count); a hole is worked out when it is asked for. Only a row that is moved
//! out of the way of something is kept hole by hole.

mod around;
mod avoid;
mod done;
mod layout;
mod meet;
mod numbers;
mod obstacles;
mod places;
mod resin;
mod shift;

pub use around::{Around, Back, Edge, Rim, Tight, USUAL_DRILL, around, drill_of};
pub use done::{Beside, DoneTrouble, Drilled, HolesDone, Near, RowGap, as_done, enter_done};
pub use layout::{
    AvoidFails, Axis, Hole, Level, Row, RowTrouble, STEEPEST, Set, Tilt, bar_spacing, bars_set, lay_out, stretches,
};
pub use meet::{Close, Meeting, Meetings, meetings};
pub use numbers::{RowNames, SaidSpacing, enter, enter_fills, enter_row};
pub use obstacles::{Footprint, Lies, Obstacle, Obstacles, obstacles};
pub use places::{Places, Spaced, Spacer};
pub use resin::{Fill, Order, USUAL_PURGE, USUAL_SET_MINUTES, USUAL_WASTE, annulus, fill, orders, set_times};
pub use shift::{Shift, Shifts};

//! Reinforcing bars: dowels in holes, long bars that follow the wall, bent bars side by side; their shapes, marks, cut
//! lengths and weight.

mod bars;
mod clearance;
mod cover;
mod lines;
mod numbers;
mod shape;

pub use bars::{BarTrouble, BarsMade, Group, Place, USUAL_ENDS, bars, mark};
pub use clearance::{BarAt, Clearances, Cover, JobPlace, Near, Outside, REACH, clearances};
pub use cover::{Asks, Judged, clear_spacing, exposure, judge, stone};
pub use lines::{Line, lines};
pub use numbers::{enter, of_mark, place_names};
pub use shape::{Shape, Steel, steel};

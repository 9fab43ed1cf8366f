//! Reinforcing bars: dowels in holes, long bars that follow the wall, bent bars side by side; their shapes, marks, cut
//! lengths and weight.

mod bars;
mod clearance;
mod lines;
mod shape;

pub use bars::{BarTrouble, BarsMade, Group, Place, USUAL_ENDS, bars, mark};
pub use clearance::{BarAt, Clearances, Cover, JobPlace, Near, Outside, REACH, clearances};
pub use lines::{Line, lines};
pub use shape::{Shape, Steel, steel};

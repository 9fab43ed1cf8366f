//! Reinforcing bars: dowels in holes, long bars that follow the wall, bent bars side by side; their shapes, marks, cut
//! lengths and weight.

mod bars;
mod bent;
mod course;
mod hooks;
mod lines;
mod long;
mod shape;
mod way;

pub use bars::{BarTrouble, BarsMade, Group, Place, bars, mark};
pub use hooks::{Hook, least_tail};
pub use lines::{Line, lines};
pub use long::{USUAL_ENDS, USUAL_LAP_DIAMETERS};
pub use shape::{Arc, Shape, Steel, steel};

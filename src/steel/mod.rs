//! Reinforcing bars: dowels in holes, long bars that follow the wall, bent bars side by side; their shapes, marks, cut
//! lengths and weight.

mod anchorage;
mod bars;
mod bent;
mod choice;
mod clearance;
mod course;
mod cover;
mod cuts;
mod hooks;
mod joint_shear;
mod lap_rule;
mod laps;
mod lines;
mod long;
mod numbers;
mod shape;
mod stock;
mod touches;
mod tying;
mod tying_numbers;
mod way;
mod way_in;

pub use anchorage::{Anchored, Governs, Uncovered, anchored, usual_strength};
pub use bars::{BarTrouble, BarsMade, Group, Place, bars, mark};
pub use choice::choose_laps;
pub use clearance::{BarAt, Clearances, Cover, JobPlace, Near, Outside, REACH, clearances};
pub use cover::{Asks, Judged, clear_spacing, exposure, judge, stone};
pub use cuts::{Cut, CutPlan, Source, cut_plans, enter_cuts};
pub use hooks::{Hook, least_tail};
pub use joint_shear::{Friction, JointShear, joints, surface_word};
pub use lap_rule::{Lap, USUAL_LAP_DIAMETERS, lap_rules, yields_at};
pub use laps::{Layout, least_steel, pick, stagger};
pub use lines::{Line, lines};
pub use long::{LongRow, USUAL_ENDS};
pub use numbers::{enter, of_mark, place_names};
pub use shape::{Arc, Shape, Steel, steel};
pub use stock::{longest_stock, usual_stock};
pub use touches::Crossing;
pub use tying::{Held, LapTies, PourTies, TieSort, TieWire, Tying, USUAL_COIL, tying, usual_supports};
pub use tying_numbers::enter_tying;
pub use way_in::{Blocked, WaysIn, ways_in};

//! Reinforcing bars: dowels in holes, long bars that follow the wall, bent bars side by side; their shapes, marks, cut
//! lengths and weight.

mod bars;
mod bent;
mod choice;
mod clearance;
mod course;
mod cover;
mod cuts;
mod hooks;
mod kept_clear;
mod lap_rule;
mod laps;
mod lines;
mod long;
mod numbers;
mod ratio;
mod ratio_numbers;
mod shape;
mod stock;
mod sweep;
mod way;
mod way_in;

pub use bars::{BarTrouble, BarsMade, Group, Place, bars, mark};
pub use choice::choose_laps;
pub use clearance::{BarAt, Beside, Clearances, Cover, JobPlace, Near, Outside, REACH, clearances};
pub use cover::{Asks, Judged, clear_spacing, cover_name, exposure, judge, stone};
pub use cuts::{Cut, CutPlan, Source, cut_plans, enter_cuts};
pub use hooks::{Hook, least_tail};
pub use kept_clear::{KeptClear, enter_kept_clear, kept_clear_name};
pub use lap_rule::{Lap, USUAL_LAP_DIAMETERS, lap_rules, yields_at};
pub use laps::{Layout, least_steel, pick, stagger};
pub use lines::{Line, lines};
pub use long::{LongRow, USUAL_ENDS};
pub use numbers::{enter, of_mark, place_names};
pub use ratio::{Asked, Axis, CutAt, Gap, Gross, InCut, Least, SteelIn, WouldDo, steel_in};
pub use ratio_numbers::{enter_steel, number_name};
pub use shape::{Arc, Shape, Steel, steel};
pub use stock::{longest_stock, usual_stock};
pub use way_in::{Blocked, WaysIn, ways_in};

//! Dry mix, water and aggregate: what a bag yields, what too much water costs, how large a stone may be.

mod aggregate;
mod bags;
mod water;

pub use aggregate::{Room, largest_aggregate};
pub use bags::{bags_in_a_load, bucket_weight, implied_water, yield_by_mass, yield_by_rule};
pub use water::{StrengthByWater, change, strength_at, water_cement};

use super::{Part, Unanswered, Worked, pressure::some_number, some_length};
use crate::ledger::Figure;

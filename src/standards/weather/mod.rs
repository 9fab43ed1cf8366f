//! What the weather does to fresh concrete: how fast its surface dries, and when it is too hot or too cold.

mod cold;
mod drying;

pub use cold::{
    COLD_BELOW, Cement, FREEZE_PROOF, HOTTEST, Section, ServiceCategory, as_mixed, as_placed, greatest_drop,
    is_cold_weather, protection, removal,
};
pub use drying::{Air, DryingFormula, DryingRisk, drying};

use super::{Part, Unanswered, Worked, edition, mils};
use crate::units::Length;

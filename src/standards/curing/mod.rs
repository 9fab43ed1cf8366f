//! How concrete hardens: its age by its temperature, the strength that comes of it, when the forms may come off, how long it
//! is kept wet, and how long fresh concrete still knits with fresh.
//!
//! Everything here is a function of a start and of temperatures in time. Strength by a model is a plan's figure: bags vary,
//! and nothing is loaded by it alone.

mod age;
mod gain;
mod knitting;
mod stripping;

#[cfg(test)]
mod tests;

pub use age::{Ageing, C1074, EUROPEAN, FROZEN, MODEL_CODE, Spell, Temperatures, aged, until_aged};
pub use gain::{Gain, time_to_part};
pub use knitting::{DISCHARGE_LIMIT, GREATEST_DROP, HAND_LAYER, Knitting, USUAL_KNITTING, VIBRATED_LAYER, still_knits};
pub use stripping::{
    BACKFILL_PART, Binder, COUNTS_FROM, CureRule, Formed, SIDE_FORMS, earliest_strip, moist_curing, strip_time,
};

use super::{Part, Unanswered, Worked, forms::Setting, mm, pressure::some_number};

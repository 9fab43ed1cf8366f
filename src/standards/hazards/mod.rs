//! What the work does to those who do it: dust, lifting, noise, vibration, and holes in the ground.
//!
//! Rules for employers are given as the recognised control. Nothing here clears anybody of anything.

pub mod digging;
mod lifting;
mod noise;
mod silica;
mod vibration;

pub use lifting::{Coupling, Lift, Lifting, Spell, lifting, multipliers};
pub use noise::{Exchange, noise_dose, permitted};
pub use silica::{Dusty, Respirator, SILICA_ROWS, SilicaRow, silica};
pub use vibration::{ACTION, LIMIT, Vibration, until, vibration};

use super::{Part, Unanswered, Worked, pressure::some_number, some_length};
use crate::ledger::Figure;

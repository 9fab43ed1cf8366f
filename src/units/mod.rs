//! Exact lengths and the other quantities: reading, arithmetic, tolerances, and how they are shown.
//!
//! The room knows nothing of a file's text and places: it takes a number's characters and a unit's word, and gives
//! typed quantities; the other way it turns quantities into digits.

mod count;
mod date;
mod dimension;
mod exact;
mod length;
mod marks;
mod measure;
mod money;
mod quantity;
mod read;
pub mod show;
mod table;

pub use count::{COUNT_AT_MOST, COUNT_TOLERANCE, gaps, whole_up};
pub use date::Date;
pub use dimension::Dimension;
pub use exact::{DIGITS_AT_MOST, Exact};
pub use length::{Area, Length, Volume};
pub use measure::{
    Acceleration, Angle, Density, Drying, Duration, Force, LineLoad, Mass, Moment, Ratio, Sound, Speed, Stress,
    Temperature, TemperatureDifference, WorkingDays,
};
pub use money::{Currency, Money};
pub use quantity::{Amount, Misfit, Quantity};
pub use read::{Misread, MisreadKind, Reading, What, either_day, number, on_a_tape};
pub use table::{System, UNITS, Unit, of_dimension, two_words, unit};

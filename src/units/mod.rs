//! Exact lengths and the other quantities: reading, arithmetic, tolerances, and how they are shown.
//!
//! The room knows nothing of a file's text and places: it takes a number's characters and a unit's word, and gives
//! typed quantities; the other way it turns quantities into digits.

mod date;
mod dimension;
mod exact;
mod length;
mod marks;
mod read;
mod table;

pub use date::Date;
pub use dimension::Dimension;
pub use exact::{DIGITS_AT_MOST, Exact};
pub use length::{Area, Length, Volume};
pub use read::{Misread, MisreadKind, Reading, What, number, on_a_tape};
pub use table::{System, UNITS, Unit, of_dimension, two_words, unit};

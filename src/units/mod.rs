//! Exact lengths and the other quantities: reading, arithmetic, tolerances, and how they are shown.

mod length;

pub use length::{Area, Length, Volume};

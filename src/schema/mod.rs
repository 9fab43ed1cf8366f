//! Every kind of block and every clause, once: what it is called, what it takes, what it means, an example, the
//! properties that may be asked of it and the verbs it needs from the steps.
//!
//! Reader, spelling suggestions and the language reference all walk [`KINDS`]. This room knows no text: it says what is
//! wanted as a [`Shape`] and takes what was read as a [`Value`]; the two meet in `job`.

mod curve;
mod kinds;
mod reference;
mod shape;
mod value;
mod words;

pub use curve::{Asked, asked};
pub use kinds::*;
pub use reference::{BASE, Library, Limit, UNUSUAL, chapters_on, reference, takes};
pub use shape::{
    Choice, Field, Head, Kind, KindId, Need, Part, Property, Shape, Sign, Verb, VerbNeed, reserved, reserved_words,
};
pub use value::{
    Above, Ahead, BlockId, Clock, Curve, Days, HoleRef, Hook, LegRef, Levels, Many, Named, OnLeg, Pack, Parts, Per,
    PerLoad, PerTime, Percent, Range, RowLevel, Said, Slot, Spacing, Spot, Spots, Stretch, StretchPart, Strong, Take,
    Target, Text, Then, Unsigned, Value, Walk, WalkMove, Word, Work,
};
pub use words::*;

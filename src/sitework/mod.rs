//! What is done to the old work before anything is added: slabs sawn and broken out, what is carted off, cracks filled,
//! broken surfaces patched; and what must not be done without an engineer.

mod cracks;
mod cuts;
mod debris;
mod dig;
mod numbers;
mod spalls;

use crate::{
    concrete::{Piece, Removed, Solids},
    schema::BlockId,
    units::{Area, Length, Volume},
};

pub use cracks::{Injection, injections};
pub use cuts::{Saw, saws};
pub use debris::{Debris, debris, weighs};
pub use dig::{Dig, Propped, digs, propped};
pub use numbers::{enter, enter_debris, enter_mending, enter_saws};
pub use spalls::{Patch, patches};

/// A strip of slab that is broken out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Strip {
    /// The strip.
    pub id: BlockId,
    /// Where it runs.
    pub runs: Vec<Piece>,
    /// How far it reaches out from the old face.
    pub out: Length,
    /// Its plan area.
    pub area: Area,
    /// The thickness of the slab.
    pub thick: Length,
    /// Its volume as it lies in the slab.
    pub volume: Volume,
}

/// All strips that are broken out, in the order they are written.
#[must_use]
pub fn strips(solids: &Solids) -> Vec<Strip> {
    let strip = |removed: &Removed| Strip {
        id: removed.id,
        runs: removed.runs.clone(),
        out: removed.out,
        area: removed.area,
        thick: removed.thick,
        volume: removed.area * removed.thick,
    };
    solids.removed.iter().map(strip).collect()
}

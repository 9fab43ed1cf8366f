//! What is taken away before anything is added: strips of slab broken out, and what they amount to.

use crate::{
    concrete::Solids,
    schema::BlockId,
    units::{Area, Length, Volume},
};

/// A strip of slab that is broken out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Strip {
    /// The strip.
    pub id: BlockId,
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
    let strip = |(id, area, thick): &(BlockId, Area, Length)| Strip {
        id: *id,
        area: *area,
        thick: *thick,
        volume: *area * *thick,
    };
    solids.removed.iter().map(strip).collect()
}

//! Places where the old surface has broken away, and what fills them.

use crate::{
    concrete::Standing,
    job::Job,
    schema::BlockId,
    standards::mending::{PATCH_LOSS, patch},
    units::{Area, Length, Volume},
};

/// A broken place.
#[derive(Debug, Clone, PartialEq)]
pub struct Patch {
    /// The place.
    pub spall: BlockId,
    /// The pour that fills it; none where it is patched by hand.
    pub pour: Option<BlockId>,
    /// Its length along the face.
    pub length: Length,
    /// Its area.
    pub area: Area,
    /// How deep.
    pub deep: Length,
    /// What fills it.
    pub volume: Volume,
}

/// All broken places, as they are written.
#[must_use]
pub fn patches(job: &Job, standing: &mut Standing) -> Vec<Patch> {
    let each = job.spalls.iter().filter_map(|spall| {
        let say = &spall.say;
        let runs = standing.resolve(job, &say.on);
        let length: Length = standing.intervals(&runs).iter().map(|part| part.end - part.start).sum();
        let area = length * (say.height.to - say.height.from);
        let deep = say.deep.0;
        let volume = patch(area, deep, PATCH_LOSS.value).ok()?.value;
        Some(Patch { spall: spall.id, pour: say.with.map(|pour| pour.0), length, area, deep, volume })
    });
    each.collect()
}

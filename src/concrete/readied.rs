//! Which joints with concrete of other pours a `prepare` makes ready.

use std::collections::{BTreeMap, BTreeSet};

use super::pours::{Joint, Solids};
use crate::{
    job::{Job, Thing},
    schema::{BlockId, Prepare, Said, SectionName},
};

/// A joint that is made ready.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Readied {
    /// The `prepare` that does.
    pub face: BlockId,
    /// The pour that is cast against it.
    pub pour: BlockId,
    /// The joint, as that pour has it.
    pub joint: Joint,
}

/// The joints that each `prepare` makes ready, in written order, of both sides as long as the order of work does not tell which
/// is there first.
///
/// One that says what its sections meet makes ready those joints alone. Any other makes ready all joints of its sections but
/// those of which it names both sides, since nobody reaches between them, and those that another names.
pub(super) fn readied(job: &Job, solids: &Solids) -> Vec<Readied> {
    if job.prepares.is_empty() {
        return Vec::new();
    }
    let mut joints: BTreeMap<BlockId, Vec<(BlockId, Joint)>> = BTreeMap::new();
    for solid in &solids.pours {
        for joint in &solid.joints {
            joints.entry(joint.section).or_default().push((solid.pour, *joint));
        }
    }
    if joints.is_empty() {
        return Vec::new();
    }
    let pours_of = |sections: &[Said<SectionName>]| -> BTreeSet<BlockId> {
        let solids = sections.iter().filter_map(|section| solids.with(section.value.0));
        solids.map(|(solid, _)| solid.pour).collect()
    };
    let of = |face: &Thing<Prepare>, wanted: &dyn Fn(&Joint) -> bool| -> Vec<Readied> {
        let mine = face.say.of.iter().filter_map(|section| joints.get(&section.value.0)).flatten();
        let mine = mine.filter(|(_, joint)| wanted(joint));
        mine.map(|(pour, joint)| Readied { face: face.id, pour: *pour, joint: *joint }).collect()
    };
    let mut out: BTreeMap<BlockId, Vec<Readied>> = BTreeMap::new();
    let mut named: BTreeSet<(BlockId, BlockId)> = BTreeSet::new();
    for face in &job.prepares {
        let Some(meets) = &face.say.meets else { continue };
        let others = pours_of(meets);
        let all = of(face, &|joint| others.contains(&joint.other));
        named.extend(all.iter().map(|one| (one.joint.section, one.joint.other)));
        out.insert(face.id, all);
    }
    for face in job.prepares.iter().filter(|face| face.say.meets.is_none()) {
        let own = pours_of(&face.say.of);
        let free = |joint: &Joint| !own.contains(&joint.other) && !named.contains(&(joint.section, joint.other));
        out.insert(face.id, of(face, &free));
    }
    job.prepares.iter().filter_map(|face| out.remove(&face.id)).flatten().collect()
}

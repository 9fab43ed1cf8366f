//! What comes in turn because concrete of one pour lies against that of another, or because forms are in the way.
//!
//! - What stands on another pour is poured after it.
//! - A joint is made ready when there is concrete on its other side.
//! - Bars and forms of what stands on another pour wait for its concrete.
//! - The bulkhead at the end of one pour is gone before the next is cast, or made ready, against that end.
//! - What is filled in against is out of its forms.
//! - What is written before the bars or the forms of a narrow section is done before these stand in front of it.
//!
//! Which of two pours that lie beside each other is first, the order without all this says. Someone may have written it otherwise,
//! and mean it: then these waits give way, and what was written is told of.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    Nodes, Reason,
    graph::Graph,
    handled::Handled,
    waits::{Waits, is_narrow, pours_of_sections},
    yielding::{Early, Soft, give_way, stuck},
};
use crate::{
    concrete::{Meets, Solids},
    job::Job,
    schema::{BlockId, KindId},
};

/// So many things and what stands in front of them are kept in turn; they are a help, and more would take long.
const MOST_REACHED: usize = 10_000;

/// Adds the waits there are, and gives those that what is written does not leave room for; none where steps go round in a
/// circle without them.
pub(super) fn in_turn(
    job: &Job,
    nodes: &Nodes,
    handled: &Handled,
    solids: &Solids,
    misplaced: &dyn Fn(BlockId) -> bool,
    waits: &mut Waits,
) -> Vec<Early> {
    if stuck(nodes.written.len(), waits) > 0 {
        return Vec::new();
    }
    let mut early = give_way(nodes, waits, 0, stacked(handled, solids));
    let turn = turn(job, nodes, handled, waits);
    early.extend(give_way(nodes, waits, 0, cleared(job, handled, solids, &turn)));
    early.extend(give_way(nodes, waits, 0, borne(job, handled, solids, misplaced, &waits.lies)));
    // One reaches between bars and forms, if less well: whoever has written it so is not told.
    give_way(nodes, waits, 0, reached(job, handled, &waits.lies));
    early
}

/// Adds only what says which pour comes first.
pub(super) fn stack(nodes: &Nodes, handled: &Handled, solids: &Solids, waits: &mut Waits) {
    let stacked = stacked(handled, solids);
    if !stacked.is_empty() {
        let circling = stuck(nodes.written.len(), waits);
        give_way(nodes, waits, circling, stacked);
    }
}

/// The place of each pour among them, by its first step; those that no step pours come last, as written.
pub(super) fn turn(job: &Job, nodes: &Nodes, handled: &Handled, waits: &Waits) -> BTreeMap<BlockId, usize> {
    let (order, stuck) = Graph::new(nodes.written.len(), &waits.arcs).order();
    let place: BTreeMap<u32, usize> = order.into_iter().chain(stuck).zip(0..).collect();
    let first = |pour: BlockId| {
        let doers = handled.doers(pour, "pour").iter();
        doers.filter_map(|doer| place.get(&doer.node)).min().copied().unwrap_or(usize::MAX)
    };
    let mut pours: Vec<BlockId> = job.pours.iter().map(|pour| pour.id).collect();
    pours.sort_by_cached_key(|pour| (first(*pour), *pour));
    pours.into_iter().zip(0..).collect()
}

/// What stands on another pour.
fn stacked(handled: &Handled, solids: &Solids) -> Vec<Soft> {
    let mut out = Vec::new();
    for solid in &solids.pours {
        let below: BTreeSet<BlockId> =
            solid.joints.iter().filter(|joint| joint.meets == Meets::On).map(|joint| joint.other).collect();
        for other in below {
            let reason = Reason::Joined { pour: other, thing: solid.pour };
            link(handled, (other, "pour"), (solid.pour, "pour"), reason, &mut out);
        }
    }
    out
}

/// Bars and forms of what stands on another pour. Bars that reach down into it, and forms that hold it too, are there before.
fn borne(
    job: &Job,
    handled: &Handled,
    solids: &Solids,
    misplaced: &dyn Fn(BlockId) -> bool,
    lies: &[(BlockId, BlockId)],
) -> Vec<Soft> {
    let mut below: BTreeMap<BlockId, BTreeSet<BlockId>> = BTreeMap::new();
    for joint in solids.pours.iter().flat_map(|solid| &solid.joints).filter(|joint| joint.meets == Meets::On) {
        below.entry(joint.section).or_default().insert(joint.other);
    }
    if below.is_empty() {
        return Vec::new();
    }
    let poured_by = |section: BlockId| solids.with(section).map(|(solid, _)| solid.pour);
    let mut waits: BTreeSet<(BlockId, &'static str, BlockId)> = BTreeSet::new();
    let mut of = |thing: BlockId, verb: &'static str, sections: &mut dyn Iterator<Item = BlockId>| {
        let sections: BTreeSet<BlockId> = sections.collect();
        let own: BTreeSet<BlockId> = sections.iter().filter_map(|section| poured_by(*section)).collect();
        let others = sections.iter().filter_map(|section| below.get(section)).flatten();
        waits.extend(others.filter(|other| !own.contains(other)).map(|other| (thing, verb, *other)));
    };
    for forms in &job.forms {
        of(forms.id, "form", &mut forms.say.against.iter().map(|section| section.value.0));
    }
    for bars in lies.chunk_by(|one, other| one.0 == other.0) {
        let placed = bars.first().filter(|(thing, _)| job.bars_of(*thing).is_some() && !misplaced(*thing));
        if let Some((thing, _)) = placed {
            of(*thing, "place", &mut bars.iter().map(|(_, section)| *section));
        }
    }
    let mut out = Vec::new();
    for (thing, verb, pour) in waits {
        link(handled, (pour, "pour"), (thing, verb), Reason::Borne { pour, thing }, &mut out);
    }
    out
}

/// What is written before the bars or the forms that will stand in front of it, in narrow sections.
fn reached(job: &Job, handled: &Handled, lies: &[(BlockId, BlockId)]) -> Vec<Soft> {
    let mut covers: BTreeMap<BlockId, Vec<(BlockId, &'static str)>> = BTreeMap::new();
    for forms in &job.forms {
        for section in forms.say.against.iter().filter(|section| is_narrow(job, section.value.0)) {
            covers.entry(section.value.0).or_default().push((forms.id, "form"));
        }
    }
    let placed = |thing: BlockId| job.bars_of(thing).is_some_and(|bars| bars.say.holes.is_none());
    for (thing, section) in lies.iter().filter(|(thing, section)| placed(*thing) && is_narrow(job, *section)) {
        covers.entry(*section).or_default().push((*thing, "place"));
    }
    let mut pairs: BTreeSet<(BlockId, BlockId)> = BTreeSet::new();
    let mut out = Vec::new();
    for (thing, section) in lies {
        let done = match job.kind(*thing) {
            Some(KindId::Bars) if placed(*thing) => "place",
            Some(KindId::Bars) => "set",
            Some(KindId::Holes) => "drill",
            Some(KindId::Prepare) => "prepare",
            Some(KindId::Crack) => "inject",
            Some(KindId::Spall) => "patch",
            _ => continue,
        };
        for (cover, verb) in covers.get(section).into_iter().flatten() {
            // Which bars are tied first is for whoever ties them.
            let alike = done == "place" && *verb == "place";
            if !alike && pairs.insert((*thing, *cover)) {
                let reason = Reason::Reached { thing: *thing, cover: *cover };
                link(handled, (*thing, done), (*cover, verb), reason, &mut out);
            }
            if pairs.len() >= MOST_REACHED {
                break;
            }
        }
    }
    out.retain(|(first, then, ..)| first < then);
    out
}

/// Joints and what is filled in against.
fn cleared(job: &Job, handled: &Handled, solids: &Solids, turn: &BTreeMap<BlockId, usize>) -> Vec<Soft> {
    let mut out = Vec::new();
    let mut readied: BTreeMap<(BlockId, BlockId), BTreeSet<BlockId>> = BTreeMap::new();
    for one in &solids.readied {
        readied.entry((one.joint.section, one.joint.other)).or_default().insert(one.face);
    }
    let mut formed: BTreeMap<BlockId, Vec<BlockId>> = BTreeMap::new();
    for forms in &job.forms {
        for section in &forms.say.against {
            formed.entry(section.value.0).or_default().push(forms.id);
        }
    }
    let poured_by = |section: BlockId| solids.with(section).map(|(solid, _)| solid.pour);
    let holds = |forms: BlockId, pour: BlockId| {
        let against = job.forms_of(forms).into_iter().flat_map(|forms| &forms.say.against);
        against.into_iter().any(|section| poured_by(section.value.0) == Some(pour))
    };
    for solid in &solids.pours {
        let own = solid.pour;
        let mut faces: BTreeSet<(BlockId, BlockId)> = BTreeSet::new();
        let mut beside: BTreeSet<BlockId> = BTreeSet::new();
        for joint in solid.joints.iter().filter(|joint| joint.is_cast_against(own, turn)) {
            let by = readied.get(&(joint.section, joint.other)).into_iter().flatten();
            faces.extend(by.map(|face| (joint.other, *face)));
            if joint.meets == Meets::Beside {
                beside.insert(joint.other);
            }
        }
        for (other, face) in &faces {
            let reason = Reason::Joined { pour: *other, thing: *face };
            link(handled, (*other, "pour"), (*face, "prepare"), reason, &mut out);
        }
        for other in beside {
            let ends = solids.of(other).into_iter().flat_map(|solid| &solid.joints);
            let ends = ends.filter(|joint| joint.other == own && joint.meets == Meets::Beside);
            let bulkheads: BTreeSet<BlockId> =
                ends.filter_map(|joint| formed.get(&joint.section)).flatten().copied().collect();
            for forms in bulkheads.into_iter().filter(|forms| !holds(*forms, own)) {
                let reason = |thing| Reason::Cleared { forms, thing };
                link(handled, (forms, "strip"), (own, "pour"), reason(own), &mut out);
                for (_, face) in faces.iter().filter(|(of, _)| *of == other) {
                    link(handled, (forms, "strip"), (*face, "prepare"), reason(*face), &mut out);
                }
            }
        }
    }
    let pours = pours_of_sections(job);
    let filled_in = job.cures.iter().filter(|cure| !handled.doers(cure.id, "backfill").is_empty());
    let filled_in: BTreeMap<BlockId, BlockId> = filled_in.map(|cure| (cure.say.of.value.0, cure.id)).collect();
    if filled_in.is_empty() {
        return out;
    }
    let mut against: BTreeSet<(BlockId, BlockId)> = BTreeSet::new();
    for (section, pour) in pours {
        let Some(cure) = filled_in.get(&pour) else { continue };
        against.extend(formed.get(&section).into_iter().flatten().map(|forms| (*forms, *cure)));
    }
    for (forms, cure) in against {
        let reason = Reason::Cleared { forms, thing: cure };
        link(handled, (forms, "strip"), (cure, "backfill"), reason, &mut out);
    }
    out
}

/// Each step that does the one before each that does the other.
fn link(
    handled: &Handled,
    (thing, does): (BlockId, &'static str),
    (then, done): (BlockId, &'static str),
    reason: Reason,
    out: &mut Vec<Soft>,
) {
    for first in handled.doers(thing, does) {
        let later = handled.doers(then, done).iter().filter(|later| later.node != first.node);
        out.extend(later.map(|later| (first.node, later.node, reason, first.at)));
    }
}

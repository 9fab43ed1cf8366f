//! What comes in turn because concrete of one pour lies against that of another, or because forms are in the way.
//!
//! - What stands on another pour is poured after it.
//! - A joint is made ready when there is concrete on its other side; where one block makes both sides ready, it is left alone.
//! - The bulkhead at the end of one pour is gone before the next is cast, or made ready, against that end.
//! - What is filled in against is out of its forms.
//!
//! Which of two pours that lie beside each other is first, the order without all this says. Someone may have written it otherwise,
//! and mean it: then these waits give way, and what was written is told of.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    Edge, Nodes, Reason,
    graph::Graph,
    handled::Handled,
    waits::{Waits, pours_of_sections},
};
use crate::{
    concrete::{Joint, Meets, Solids},
    job::Job,
    schema::BlockId,
    source::Span,
};

/// So many of these waits are tried one by one where all of them together would go round in a circle.
const TRIED: usize = 256;

/// A wait that gives way: its nodes, and why.
type Soft = (u32, u32, Reason, Span);

/// Adds the waits there are, and gives those that what is written does not leave room for.
pub(super) fn in_turn(job: &Job, nodes: &Nodes, handled: &Handled, solids: &Solids, waits: &mut Waits) -> Vec<Edge> {
    let stacked = stacked(handled, solids);
    let mut early = give_way(nodes, waits, stacked);
    let turn = turn(job, nodes, handled, waits);
    early.extend(give_way(nodes, waits, cleared(job, handled, solids, &turn)));
    early
}

/// Adds only what says which pour comes first.
pub(super) fn stack(nodes: &Nodes, handled: &Handled, solids: &Solids, waits: &mut Waits) {
    give_way(nodes, waits, stacked(handled, solids));
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

/// Joints and what is filled in against.
fn cleared(job: &Job, handled: &Handled, solids: &Solids, turn: &BTreeMap<BlockId, usize>) -> Vec<Soft> {
    let mut out = Vec::new();
    let mut readied: BTreeMap<BlockId, Vec<BlockId>> = BTreeMap::new();
    for face in &job.prepares {
        for section in &face.say.of {
            readied.entry(section.value.0).or_default().push(face.id);
        }
    }
    let mut formed: BTreeMap<BlockId, Vec<BlockId>> = BTreeMap::new();
    for forms in &job.forms {
        for section in &forms.say.against {
            formed.entry(section.value.0).or_default().push(forms.id);
        }
    }
    let poured_by = |section: BlockId| solids.with(section).map(|(solid, _)| solid.pour);
    let makes_ready = |face: BlockId, pour: BlockId| {
        let of = job.prepare(face).into_iter().flat_map(|face| &face.say.of);
        of.into_iter().any(|section| poured_by(section.value.0) == Some(pour))
    };
    let holds = |forms: BlockId, pour: BlockId| {
        let against = job.forms_of(forms).into_iter().flat_map(|forms| &forms.say.against);
        against.into_iter().any(|section| poured_by(section.value.0) == Some(pour))
    };
    for solid in &solids.pours {
        let own = solid.pour;
        let first = |joint: &&Joint| match joint.meets {
            Meets::On => true,
            Meets::Under => false,
            Meets::Beside => turn.get(&joint.other) < turn.get(&own),
        };
        let mut faces: BTreeSet<(BlockId, BlockId)> = BTreeSet::new();
        let mut beside: BTreeSet<BlockId> = BTreeSet::new();
        for joint in solid.joints.iter().filter(first) {
            let of = readied.get(&joint.section).into_iter().flatten();
            faces.extend(of.map(|face| (joint.other, *face)).filter(|(other, face)| !makes_ready(*face, *other)));
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

/// Adds those waits that leave no more steps in circles than there are, and gives the others.
fn give_way(nodes: &Nodes, waits: &mut Waits, soft: Vec<Soft>) -> Vec<Edge> {
    let Some(soft) = soft.get(..soft.len().min(waits.left)).filter(|soft| !soft.is_empty()) else { return Vec::new() };
    waits.left -= soft.len();
    let count = nodes.written.len();
    let stuck = |arcs: &[(u32, u32)]| Graph::new(count, arcs).order().1.len();
    let before = (waits.arcs.len(), waits.edges.len(), stuck(&waits.arcs));
    soft.iter().for_each(|(from, to, reason, at)| waits.push(nodes, *from, *to, *reason, *at));
    if stuck(&waits.arcs) == before.2 {
        return Vec::new();
    }
    waits.arcs.truncate(before.0);
    waits.edges.truncate(before.1);
    let mut early = Vec::new();
    for (from, to, reason, at) in soft.iter().take(TRIED) {
        waits.push(nodes, *from, *to, *reason, *at);
        if stuck(&waits.arcs) > before.2 {
            waits.arcs.pop();
            early.extend(waits.edges.pop());
        }
    }
    early
}

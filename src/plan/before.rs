//! What is known before old work is drilled or broken, and how long set bars rest before they are loaded.

use std::collections::{BTreeMap, BTreeSet};

use super::{Edge, Nodes, Reason, handled::Handled};
use crate::{
    job::Job,
    schema::{BlockId, KindId, Topic},
    source::Span,
    units::Duration,
};

/// Old work drilled or broken that no step scans.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Unscanned {
    /// The holes or the strip.
    pub thing: BlockId,
    /// The wall or slab.
    pub place: BlockId,
    /// Where the step that drills or breaks names the thing.
    pub at: Span,
}

/// Set bars, and a step that loads them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rest {
    /// The bars.
    pub bars: BlockId,
    /// The step that sets them.
    pub set: BlockId,
    /// The step that loads them: ties other bars to them, or pours.
    pub load: BlockId,
    /// The longest time that is waited between.
    pub waited: Duration,
    /// The last wait on that way.
    pub wait: Option<BlockId>,
}

/// The steps that drill into old work, saw it or break it out: each with the thing, its place, and where it is named. New concrete
/// holds what the job itself put there.
fn into_old(job: &Job, handled: &Handled) -> Vec<(u32, Unscanned)> {
    let mut out = Vec::new();
    let mut add = |thing: BlockId, place: BlockId, verb: &'static str| {
        out.extend(handled.doers(thing, verb).iter().map(|doer| (doer.node, Unscanned { thing, place, at: doer.at })));
    };
    for holes in &job.holes {
        let place = holes.say.into.value.block;
        if job.kind(place) != Some(KindId::Section) {
            add(holes.id, place, "drill");
        }
    }
    for strip in &job.removes {
        add(strip.id, strip.say.slab.0, "remove");
    }
    for cut in &job.cuts {
        add(cut.id, cut.say.slab.0, "cut");
    }
    out
}

/// What is drilled or broken without a scan. A step that could not be read may be the one that scans.
pub(super) fn unscanned(job: &Job, handled: &Handled) -> Vec<Unscanned> {
    if job.broken.iter().any(|id| matches!(job.kind(*id), None | Some(KindId::Step))) {
        return Vec::new();
    }
    let scanned = |thing: BlockId| !handled.doers(thing, "scan").is_empty();
    let blind = into_old(job, handled).into_iter().map(|(_, blind)| blind);
    let mut seen = BTreeSet::new();
    blind.filter(|blind| !scanned(blind.thing) && !scanned(blind.place) && seen.insert(blind.thing)).collect()
}

/// The steps that drill into old work or break it out before anyone was asked about lines.
pub(super) fn unasked(job: &Job, nodes: &Nodes, handled: &Handled, arcs: &[(u32, u32)]) -> Vec<(BlockId, Span)> {
    if job.broken.iter().any(|id| matches!(job.kind(*id), None | Some(KindId::Ask))) {
        return Vec::new();
    }
    let steps = into_old(job, handled);
    if steps.is_empty() {
        return Vec::new();
    }
    let after = Fan::new(arcs);
    let mut asked: BTreeSet<u32> = BTreeSet::new();
    let mut open: Vec<u32> = Vec::new();
    for ask in job.asks.iter().filter(|ask| ask.say.about == Some(Topic::Lines)) {
        // One that is answered no longer holds anything up, and still comes before what it says.
        let before = ask.say.before.iter().flatten().filter_map(|name| nodes.node(name.value.0));
        open.extend(before.chain(nodes.node(ask.id)));
        if ask.say.answered.is_some() && ask.say.before.is_none() {
            open.extend(steps.iter().map(|(node, _)| *node));
        }
    }
    while let Some(node) = open.pop() {
        if asked.insert(node) {
            open.extend(after.of(node));
        }
    }
    let mut seen = BTreeSet::new();
    let unasked = steps.into_iter().filter(|(node, _)| !asked.contains(node) && seen.insert(*node));
    unasked.map(|(node, blind)| (nodes.block(node), blind.at)).collect()
}

/// How long set bars rest before each step that loads them: one that pours over them, or ties bars that the same pour
/// hides. Of each set of bars only the first loading step whose rest is the shortest is given. The search ends after
/// `most` steps looked at.
pub(super) fn rests(
    job: &Job,
    nodes: &Nodes,
    handled: &Handled,
    order: &[u32],
    edges: &[Edge],
    most: usize,
) -> Vec<Rest> {
    let arcs: Vec<(u32, u32)> =
        edges.iter().filter_map(|edge| Some((nodes.node(edge.before)?, nodes.node(edge.after)?))).collect();
    let after = Fan::new(&arcs);
    let place: BTreeMap<u32, usize> = order.iter().enumerate().map(|(at, node)| (*node, at)).collect();
    // Which step places bars, and which pours over what.
    let mut hides: BTreeMap<u32, BTreeSet<u32>> = BTreeMap::new();
    for (edge, (before, then)) in edges.iter().zip(&arcs) {
        if matches!(edge.reason, Reason::Hides { cover, .. } if job.kind(cover) == Some(KindId::Pour)) {
            hides.entry(*before).or_default().insert(*then);
        }
    }
    let places = |id: BlockId| job.step(id).is_some_and(|step| step.say.work.0.iter().any(|work| work.verb == "place"));
    let mut left = most;
    let mut out = Vec::new();
    for bars in job.bars.iter().filter(|bars| bars.say.holes.is_some()) {
        for doer in handled.doers(bars.id, "set") {
            let Some(pours) = hides.get(&doer.node) else { continue };
            let mut best: BTreeMap<u32, (Duration, Option<BlockId>)> = BTreeMap::new();
            best.insert(doer.node, (Duration::from_seconds(0.0), None));
            let mut open: BTreeSet<(usize, u32)> =
                place.get(&doer.node).map(|at| (*at, doer.node)).into_iter().collect();
            let mut found: Option<Rest> = None;
            while let Some((_, node)) = open.pop_first() {
                let Some(fewer) = left.checked_sub(1) else { return out };
                left = fewer;
                let Some(&(mut waited, mut wait)) = best.get(&node) else { continue };
                let id = nodes.block(node);
                let loads = pours.contains(&node)
                    || (node != doer.node
                        && places(id)
                        && hides.get(&node).is_some_and(|over| !over.is_disjoint(pours)));
                if loads && found.is_none_or(|found| waited.seconds() < found.waited.seconds()) {
                    found = Some(Rest { bars: bars.id, set: nodes.block(doer.node), load: id, waited, wait });
                }
                if let Some(block) = job.wait(id) {
                    waited = Duration::from_seconds(waited.seconds() + block.say.takes.time.0.seconds());
                    wait = Some(id);
                }
                for next in after.of(node) {
                    let Some(at) = place.get(&next) else { continue };
                    let longer = best.get(&next).is_none_or(|(known, _)| waited.seconds() > known.seconds());
                    if longer {
                        best.insert(next, (waited, wait));
                    }
                    open.insert((*at, next));
                }
            }
            out.extend(found);
        }
    }
    out
}

/// What follows each node.
struct Fan {
    arcs: Vec<(u32, u32)>,
}

impl Fan {
    fn new(arcs: &[(u32, u32)]) -> Fan {
        let mut arcs = arcs.to_vec();
        arcs.sort_unstable();
        arcs.dedup();
        Fan { arcs }
    }

    fn of(&self, node: u32) -> impl Iterator<Item = u32> + '_ {
        let from = self.arcs.partition_point(|(before, _)| *before < node);
        self.arcs
            .get(from..)
            .unwrap_or(&[])
            .iter()
            .take_while(move |(before, _)| *before == node)
            .map(|(_, after)| *after)
    }
}

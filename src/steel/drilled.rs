//! Holes drilled into new concrete, and the bars that lie in their way there.

use std::collections::{BTreeMap, BTreeSet};

use super::{bars::BarsMade, lines::pieces};
use crate::{
    concrete::{LegAt, Standing},
    geometry::{
        Bounds, BoxTree,
        distance::{Segment, nearest},
    },
    holes::{Hole, Set},
    job::Job,
    schema::{BlockId, KindId},
    units::Length,
};

/// How far a drawn arc may leave the true one: a tenth of a millimetre.
const ARC: f64 = 100_000.0;

/// Bars that holes are drilled into.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnBar {
    /// The holes.
    pub holes: BlockId,
    /// The bars.
    pub bars: BlockId,
    /// The first hole that meets one.
    pub first: Hole,
    /// How many holes do.
    pub count: u64,
}

/// The holes of each block drilled into a section that meet bars cast in it, by block of bars.
#[must_use]
pub fn drilled_into(job: &Job, standing: &Standing, sets: &BTreeMap<BlockId, Set>, all: &[BarsMade]) -> Vec<OnBar> {
    let new: Vec<&Set> = sets.values().filter(|set| job.kind(set.into.block) == Some(KindId::Section)).collect();
    if new.is_empty() {
        return Vec::new();
    }
    let wall = |on: LegAt| standing.leg_ref(on).map(|leg| leg.wall);
    // Walls are not placed to each other: only what is along the same one can meet.
    let mut bars: Vec<(BlockId, Option<BlockId>, f64, Segment)> = Vec::new();
    for made in all {
        let radius = made.steel.diameter.nm() as f64 / 2.0;
        let pieces = pieces(made, sets, standing, ARC);
        bars.extend(pieces.map(|(on, segment)| (made.id, wall(on), radius, segment)));
    }
    let around = |segment: &Segment| Bounds::around([segment.from, segment.to]);
    let boxes: Vec<Bounds> = bars.iter().map(|(.., radius, segment)| around(segment).grown(*radius)).collect();
    let tree = BoxTree::new(&boxes);
    let mut out = Vec::new();
    let mut near = Vec::new();
    for set in new {
        let half = set.wide.nm() as f64 / 2.0;
        // What is set in these holes is meant to lie in them.
        let own: BTreeSet<BlockId> = job
            .bars
            .iter()
            .filter(|bars| bars.say.holes.is_some_and(|of| of.value.0 == set.id))
            .map(|bars| bars.id)
            .collect();
        let mut met: BTreeMap<BlockId, (Hole, u64)> = BTreeMap::new();
        for hole in set.each() {
            let Some(axis) = set.segment(&hole, standing) else { continue };
            tree.touching(&around(&axis).grown(half), &mut near);
            let hit: BTreeSet<BlockId> = near
                .iter()
                .filter_map(|at| bars.get(*at as usize))
                .filter(|(id, along, radius, bar)| {
                    let apart = Length::round_nm(nearest(&axis, bar).distance - radius - half);
                    !own.contains(id) && *along == wall(hole.on) && apart < Length::ZERO
                })
                .map(|(id, ..)| *id)
                .collect();
            for bars in hit {
                met.entry(bars).or_insert((hole, 0)).1 += 1;
            }
        }
        out.extend(met.into_iter().map(|(bars, (first, count))| OnBar { holes: set.id, bars, first, count }));
    }
    out
}

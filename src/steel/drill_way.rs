//! Bars that are there already where a drill is to stand before its hole.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    bars::{BarsMade, Place},
    lines::{CHORD, lines},
};
use crate::{
    concrete::{LegAt, Standing},
    geometry::{
        Bounds, BoxTree,
        distance::{Segment, nearest},
    },
    holes::{Hole, Set, drill_of},
    job::Job,
    schema::BlockId,
    units::Length,
};

/// Bars before holes that are drilled when these are there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BeforeDrill {
    /// The holes.
    pub holes: BlockId,
    /// The bars.
    pub bars: BlockId,
    /// The hole with the least room before it; of several the first.
    pub hole: Hole,
    /// How far out of its mouth the bar is.
    pub room: Length,
    /// How much straight room the drill wants.
    pub wants: Length,
    /// How many holes have such a bar before them.
    pub count: u64,
}

/// A straight piece of a bar that is there.
struct There {
    bars: BlockId,
    /// Its place in the order of work.
    rank: usize,
    radius: f64,
    segment: Segment,
}

/// Finds, for each block of holes, the bars that are placed before it is drilled and stand where the drill does. Both by their place
/// in the order of work; what has none is left out.
#[must_use]
pub fn before_drills(
    job: &Job,
    standing: &Standing,
    sets: &BTreeMap<BlockId, Set>,
    all: &[BarsMade],
    placed: &BTreeMap<BlockId, usize>,
    drilled: &BTreeMap<BlockId, usize>,
) -> Vec<BeforeDrill> {
    let first = placed.values().min().copied().unwrap_or(usize::MAX);
    let wall = |on: LegAt| standing.leg_ref(on).map(|leg| leg.wall);
    // Walls are not placed to each other: only what is along the same one is before its holes. The last that is drilled along each.
    let mut last: BTreeMap<BlockId, usize> = BTreeMap::new();
    for set in sets.values() {
        let Some(rank) = drilled.get(&set.id).filter(|rank| **rank > first) else { continue };
        for along in set.rows.iter().filter_map(|row| wall(row.on)) {
            let known = last.entry(along).or_default();
            *known = (*rank).max(*known);
        }
    }
    if last.is_empty() {
        return Vec::new();
    }
    let mut bars: BTreeMap<BlockId, Vec<There>> = BTreeMap::new();
    for made in all {
        let Some(rank) = placed.get(&made.id).copied() else { continue };
        let radius = made.steel.diameter.nm() as f64 / 2.0;
        for group in &made.groups {
            let set = match &group.place {
                Place::Holes(set) => sets.get(set),
                Place::Long { .. } | Place::Side(_) => None,
            };
            for line in lines(made, group, set, standing) {
                let Some(along) = wall(line.on).filter(|along| last.get(along).is_some_and(|last| rank < *last)) else {
                    continue;
                };
                let pieces = line.walk.segments(CHORD).into_iter();
                let there = pieces.map(|segment| There { bars: made.id, rank, radius, segment });
                bars.entry(along).or_default().extend(there);
            }
        }
    }
    let around = |segment: &Segment| Bounds::around([segment.from, segment.to]);
    let with_tree = |there: Vec<There>| {
        let boxes: Vec<Bounds> = there.iter().map(|one| around(&one.segment).grown(one.radius)).collect();
        (there, BoxTree::new(&boxes))
    };
    let bars: BTreeMap<BlockId, (Vec<There>, BoxTree)> =
        bars.into_iter().map(|(along, there)| (along, with_tree(there))).collect();
    let (mut out, mut near) = (Vec::new(), Vec::new());
    for set in sets.values() {
        let Some(rank) = drilled.get(&set.id).filter(|rank| **rank > first) else { continue };
        let (long, wide) = drill_of(job, set.id);
        let (wants, half) = (long + set.deep, wide.nm() as f64 / 2.0);
        let mut found: BTreeMap<BlockId, BeforeDrill> = BTreeMap::new();
        for hole in set.each() {
            let Some((there, tree)) = wall(hole.on).and_then(|along| bars.get(&along)) else { continue };
            let Some((mouth, way)) = set.aim(&hole, standing) else { continue };
            let end = [0, 1, 2].map(|axis: usize| mouth[axis] - way[axis] * wants.nm() as f64);
            let drill = Segment { from: mouth, to: end };
            tree.touching(&around(&drill).grown(half), &mut near);
            let mut counted: BTreeSet<BlockId> = BTreeSet::new();
            for bar in near.iter().filter_map(|at| there.get(*at as usize)).filter(|bar| bar.rank < *rank) {
                let meets = nearest(&drill, &bar.segment);
                if Length::round_nm(meets.distance - bar.radius - half) >= Length::ZERO {
                    continue;
                }
                let out_of_it: f64 = (0..3).map(|axis: usize| (mouth[axis] - meets.on_first[axis]) * way[axis]).sum();
                let room = Length::round_nm(out_of_it.max(0.0));
                let is_new = counted.insert(bar.bars);
                let known = found.entry(bar.bars).or_insert(BeforeDrill {
                    holes: set.id,
                    bars: bar.bars,
                    hole,
                    room,
                    wants,
                    count: 0,
                });
                known.count += u64::from(is_new);
                if room < known.room {
                    (known.hole, known.room) = (hole, room);
                }
            }
        }
        out.extend(found.into_values());
    }
    out
}

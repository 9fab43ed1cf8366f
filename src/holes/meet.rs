//! Holes that run into each other inside the old work.

use std::collections::BTreeMap;

use super::layout::{Hole, Set};
use crate::{
    concrete::Standing,
    geometry::distance::{Segment, near_pairs},
    schema::BlockId,
    units::Length,
};

/// Two holes that run into each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meeting {
    /// The set and the hole of one.
    pub first: (BlockId, Hole),
    /// The set and the hole of the other.
    pub second: (BlockId, Hole),
    /// How near their axes come.
    pub apart: Length,
    /// How near they may come: half the width of both.
    pub reach: Length,
}

/// All pairs of holes, of one wall, whose bores meet.
#[must_use]
pub fn meetings(sets: &BTreeMap<BlockId, Set>, standing: &Standing) -> Vec<Meeting> {
    // Walls are not placed to each other, so each is looked at for itself.
    let mut walls: Vec<(BlockId, BlockId, Hole)> = Vec::new();
    for (at, set) in sets {
        for hole in set.each() {
            if let Some(leg) = standing.leg_ref(hole.on) {
                walls.push((leg.wall, *at, hole));
            }
        }
    }
    walls.sort_by_key(|(wall, at, hole)| (*wall, *at, hole.number));
    let mut out = Vec::new();
    let mut rest = walls.as_slice();
    let mut segments: Vec<Segment> = Vec::new();
    while let Some((wall, ..)) = rest.first() {
        let end = rest.iter().position(|(other, ..)| other != wall).unwrap_or(rest.len());
        let (mine, others) = rest.split_at(end);
        rest = others;
        segments.clear();
        segments.extend(
            mine.iter()
                .map(|(_, at, hole)| sets.get(at).and_then(|set| set.segment(hole, standing)).unwrap_or_default()),
        );
        let widest = mine.iter().filter_map(|(_, at, _)| sets.get(at)).map(|set| set.wide).max().unwrap_or_default();
        for pair in near_pairs(&segments, widest.nm() as f64) {
            let (Some((_, one, first)), Some((_, two, second))) =
                (mine.get(pair.first as usize), mine.get(pair.second as usize))
            else {
                continue;
            };
            let (Some(one), Some(two)) = (sets.get(one), sets.get(two)) else { continue };
            let reach = (one.wide + two.wide) / 2;
            let apart = Length::round_nm(pair.nearest.distance);
            if apart < reach {
                out.push(Meeting { first: (one.id, *first), second: (two.id, *second), apart, reach });
            }
        }
    }
    out
}

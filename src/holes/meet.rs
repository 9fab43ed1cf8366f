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
///
/// Walls are not placed to each other, so each is looked at for itself; holes are worked out one wall at a time.
#[must_use]
pub fn meetings(sets: &BTreeMap<BlockId, Set>, standing: &Standing) -> Vec<Meeting> {
    let mut walls: BTreeMap<BlockId, Vec<&Set>> = BTreeMap::new();
    for set in sets.values() {
        for row in &set.rows {
            let Some(leg) = standing.leg_ref(row.on) else { continue };
            let of_wall = walls.entry(leg.wall).or_default();
            if of_wall.last().is_none_or(|last| last.id != set.id) {
                of_wall.push(set);
            }
        }
    }
    let mut out = Vec::new();
    for (wall, of_wall) in walls {
        on_wall(wall, &of_wall, standing, &mut out);
    }
    out
}

fn on_wall(wall: BlockId, sets: &[&Set], standing: &Standing, out: &mut Vec<Meeting>) {
    let mine = |hole: &Hole| standing.leg_ref(hole.on).is_some_and(|leg| leg.wall == wall);
    let holes: Vec<(&Set, Hole)> =
        sets.iter().flat_map(|set| set.each().filter(mine).map(|hole| (*set, hole))).collect();
    let segments: Vec<Segment> =
        holes.iter().map(|(set, hole)| set.segment(hole, standing).unwrap_or_default()).collect();
    let widest = sets.iter().map(|set| set.wide).max().unwrap_or_default();
    for pair in near_pairs(&segments, widest.nm() as f64) {
        let (Some((one, first)), Some((two, second))) =
            (holes.get(pair.first as usize), holes.get(pair.second as usize))
        else {
            continue;
        };
        let reach = (one.wide + two.wide) / 2;
        let apart = Length::round_nm(pair.nearest.distance);
        if apart < reach {
            out.push(Meeting { first: (one.id, *first), second: (two.id, *second), apart, reach });
        }
    }
}

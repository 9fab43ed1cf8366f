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
    // A row whose gap is less than its bore is one long slot: it is told once, not hole by hole.
    let (crowded, sets): (Vec<&Set>, Vec<&Set>) = sets.iter().partition(|set| slot(set).is_some());
    out.extend(crowded.iter().filter_map(|set| slot(set)));
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

/// The first two holes of a row that leaves nothing between its bores.
fn slot(set: &Set) -> Option<Meeting> {
    let row = set.rows.iter().find(|row| row.places.gap().is_some_and(|gap| gap < set.wide))?;
    let hole = |at: u64| Hole {
        number: row.first_number + at,
        on: row.on,
        row: row.row,
        station: row.places.at(at),
        level: row.level,
    };
    let apart = row.places.gap()?;
    Some(Meeting { first: (set.id, hole(0)), second: (set.id, hole(1)), apart, reach: set.wide })
}

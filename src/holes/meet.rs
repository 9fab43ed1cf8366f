//! Holes that run into each other inside the old work.

use std::collections::BTreeMap;

use super::layout::{Hole, Set, bar_spacing};
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

/// Holes nearer to each other than bars in them may stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Close {
    /// The set and the hole of one, of the nearest pair.
    pub first: (BlockId, Hole),
    /// The set and the hole of the other.
    pub second: (BlockId, Hole),
    /// How near their axes come.
    pub apart: Length,
    /// How far apart they should be.
    pub wanted: Length,
    /// How many pairs of these two sets are too near; none where a whole row is spaced so.
    pub pairs: Option<u64>,
}

/// What holes do to each other.
#[derive(Debug, Default)]
pub struct Meetings {
    /// Pairs whose bores meet.
    pub meet: Vec<Meeting>,
    /// The nearest pair of each two sets, where it is too near for the bars in them.
    pub close: Vec<Close>,
    /// Walls along which so many holes lie near each other that not all were compared.
    pub crowded: Vec<BlockId>,
}

/// All pairs of holes, of one wall, whose bores meet, and those too near each other for the bars in them.
///
/// Walls are not placed to each other, so each is looked at for itself; holes are worked out one wall at a time. Of a wall
/// with more than `most` pairs near each other none is told but that.
#[must_use]
pub fn meetings(sets: &BTreeMap<BlockId, Set>, standing: &Standing, most: u64) -> Meetings {
    let most = usize::try_from(most).unwrap_or(usize::MAX);
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
    let mut out = Meetings::default();
    for (wall, of_wall) in walls {
        if (Wall { wall, standing, most }.look(&of_wall, &mut out)).is_none() {
            out.crowded.push(wall);
        }
    }
    out
}

/// What pairs are looked for.
#[derive(Clone, Copy)]
struct Look {
    meet: bool,
    close: bool,
}

struct Wall<'w> {
    wall: BlockId,
    standing: &'w Standing,
    most: usize,
}

impl Wall<'_> {
    /// Nothing if there are too many pairs.
    fn look(&self, sets: &[&Set], out: &mut Meetings) -> Option<()> {
        // A row that is spaced too near for its bars is told once, not hole by hole: its pairs are as many as its holes.
        let (crowds, loose): (Vec<&Set>, Vec<&Set>) =
            sets.iter().partition(|set| crowded(set, self.room(set)).is_some());
        out.close.extend(crowds.iter().filter_map(|set| {
            let (first, second, apart) = crowded(set, self.room(set))?;
            let wanted = self.room(set);
            Some(Close { first: (set.id, first), second: (set.id, second), apart, wanted, pairs: None })
        }));
        if crowds.is_empty() {
            self.pairs(sets, Look { meet: true, close: true }, out)
        } else {
            self.pairs(sets, Look { meet: true, close: false }, out)?;
            self.pairs(&loose, Look { meet: false, close: true }, out)
        }
    }

    /// How far apart the holes of a set should be for its bars; nothing without bars.
    fn room(&self, set: &Set) -> Length {
        set.bar.map_or(Length::ZERO, bar_spacing)
    }

    fn pairs(&self, sets: &[&Set], look: Look, out: &mut Meetings) -> Option<()> {
        let mine = |hole: &Hole| self.standing.leg_ref(hole.on).is_some_and(|leg| leg.wall == self.wall);
        let holes: Vec<(&Set, Hole)> =
            sets.iter().flat_map(|set| set.each().filter(mine).map(|hole| (*set, hole))).collect();
        let segments: Vec<Segment> =
            holes.iter().map(|(set, hole)| set.segment(hole, self.standing).unwrap_or_default()).collect();
        let widest = sets.iter().map(|set| set.wide).max().unwrap_or_default();
        let room = sets.iter().map(|set| self.room(set)).max().filter(|_| look.close).unwrap_or_default();
        let mut close: BTreeMap<(BlockId, BlockId), Close> = BTreeMap::new();
        for pair in near_pairs(&segments, widest.max(room).nm() as f64, self.most)? {
            let (Some((one, first)), Some((two, second))) =
                (holes.get(pair.first as usize), holes.get(pair.second as usize))
            else {
                continue;
            };
            let reach = (one.wide + two.wide) / 2;
            let apart = Length::round_nm(pair.nearest.distance);
            let (first, second) = ((one.id, *first), (two.id, *second));
            let wanted = self.room(one).max(self.room(two));
            if apart < reach {
                if look.meet {
                    out.meet.push(Meeting { first, second, apart, reach });
                }
            } else if look.close && apart < wanted {
                let new = Close { first, second, apart, wanted, pairs: Some(0) };
                let kept = close.entry((one.id, two.id)).or_insert(new);
                let pairs = kept.pairs.map(|pairs| pairs + 1);
                if apart < kept.apart {
                    *kept = new;
                }
                kept.pairs = pairs;
            }
        }
        out.close.extend(close.into_values());
        Some(())
    }
}

/// The first two holes of a row that stand nearer to each other than this, in a row of equal gaps.
fn crowded(set: &Set, wanted: Length) -> Option<(Hole, Hole, Length)> {
    let row = set.rows.iter().find(|row| row.places.gap().is_some_and(|gap| gap < wanted))?;
    Some((row.hole(0)?, row.hole(1)?, row.places.gap()?))
}

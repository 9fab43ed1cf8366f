//! Where to cut: the stretches of a leg that look alike all along, and what is seen where one is cut.

use std::collections::BTreeMap;

use crate::{
    drawings::seen::{self, BarSeen, SectionSeen, Seen, nm},
    holes::{Hole, Set},
    schema::BlockId,
    steel::Place,
    units::Length,
};

/// A stretch of a leg that looks alike all along, and where it is cut.
pub(super) struct Alike<'s, 'w> {
    pub(super) seen: &'s Seen<'w>,
    pub(super) from: f64,
    pub(super) to: f64,
    pub(super) at: f64,
    pub(super) also: Vec<String>,
}

/// The station within a stretch that shows most: at the hole nearest to its middle, or the bar, or the middle itself.
pub(super) fn nicest(seen: &Seen, from: f64, to: f64) -> f64 {
    let middle = (from + to) / 2.0;
    let holes = seen.holes.iter().map(|(_, hole)| nm(hole.station));
    let sides = seen.bars.iter().filter(|bar| matches!(bar.group.place, Place::Side(_)));
    let nearest = |all: &mut dyn Iterator<Item = f64>| {
        all.filter(|at| from <= *at && *at <= to).min_by(|a, b| (a - middle).abs().total_cmp(&(b - middle).abs()))
    };
    nearest(&mut holes.into_iter()).or_else(|| nearest(&mut sides.map(|bar| nm(bar.line.station)))).unwrap_or(middle)
}

/// What makes two cuts look different.
pub(super) type Looks =
    (Vec<(BlockId, [i64; 4])>, Vec<(BlockId, [i64; 2])>, Vec<Option<i64>>, Vec<BlockId>, [Option<Length>; 3]);

pub(super) fn looks(cut: &Alike) -> Looks {
    let seen = cut.seen;
    let whole = |at: f64| at.round() as i64;
    let sections = cut
        .sections()
        .map(|section| (section.id, [section.levels.0, section.levels.1, section.depth.0, section.depth.1].map(whole)));
    let voids = cut.voids().map(|(id, levels)| (id, [whole(levels.0), whole(levels.1)]));
    let slabs = seen.slabs.iter().map(|slab| cut.removed(slab).map(whole));
    let mut bars: Vec<BlockId> = cut.bars().iter().map(|bar| bar.made.id).collect();
    bars.sort_unstable();
    bars.dedup();
    (
        sections.collect(),
        voids.collect(),
        slabs.collect(),
        bars,
        [seen.wall.map(|wall| wall.0), seen.wall.map(|wall| wall.1), seen.thick],
    )
}

impl<'w> Alike<'_, 'w> {
    pub(super) fn sections(&self) -> impl Iterator<Item = &SectionSeen> {
        self.seen.sections.iter().filter(|section| section.face.0 <= self.at && self.at <= section.face.1).filter(
            |section| section.face.0 <= (self.from + self.to) / 2.0 && (self.from + self.to) / 2.0 <= section.face.1,
        )
    }

    pub(super) fn voids(&self) -> impl Iterator<Item = (BlockId, seen::Span)> {
        let middle = (self.from + self.to) / 2.0;
        let here = self.seen.voids.iter().filter(move |(_, along, _)| along.0 <= middle && middle <= along.1);
        here.map(|(id, _, levels)| (*id, *levels))
    }

    /// How far out a slab is broken out here.
    pub(super) fn removed(&self, slab: &seen::SlabSeen) -> Option<f64> {
        let middle = (self.from + self.to) / 2.0;
        slab.removed.iter().find(|(span, _)| span.0 <= middle && middle <= span.1).map(|(_, out)| *out)
    }

    /// The bars that are cut or lie nearest within this stretch: each long one that comes through, of the others one a row.
    pub(super) fn bars(&self) -> Vec<&BarSeen<'w>> {
        let mut out: Vec<&BarSeen> = Vec::new();
        let mut nearest: BTreeMap<(BlockId, [i64; 2]), &BarSeen> = BTreeMap::new();
        for bar in &self.seen.bars {
            let station = nm(bar.line.station);
            let row = match &bar.group.place {
                Place::Long { .. } => {
                    let comes_through = bar.chains.iter().any(|chain| crossing(chain, self.at).is_some());
                    if comes_through {
                        out.push(bar);
                    }
                    continue;
                }
                Place::Side(_) => [0; 2],
                // Rows of holes in a face differ in level, rows in a top or a floor in how far out they are: to a tenth of a
                // millimetre, as what is turned is not exact.
                Place::Holes(_) => {
                    let foot = bar.chains.first().and_then(|chain| chain.first());
                    foot.map_or([0; 2], |[_, out, level]| [out, level].map(|at| (at / 1e5).round() as i64))
                }
            };
            if station < self.from || station > self.to {
                continue;
            }
            let best = nearest.entry((bar.made.id, row)).or_insert(bar);
            if (station - self.at).abs() < (nm(best.line.station) - self.at).abs() {
                *best = bar;
            }
        }
        out.extend(nearest.into_values());
        out
    }

    /// Of each row of holes the one nearest to the cut.
    pub(super) fn holes(&self) -> Vec<(&'w Set, Hole)> {
        let mut nearest: BTreeMap<(BlockId, u16), (&'w Set, Hole)> = BTreeMap::new();
        for (set, hole) in &self.seen.holes {
            let station = nm(hole.station);
            if station < self.from || station > self.to {
                continue;
            }
            let best = nearest.entry((set.id, hole.row)).or_insert((*set, *hole));
            if (station - self.at).abs() < (nm(best.1.station) - self.at).abs() {
                *best = (*set, *hole);
            }
        }
        nearest.into_values().collect()
    }
}

/// Where a chain comes through a station: its offset and its level there.
pub(super) fn crossing(chain: &[[f64; 3]], station: f64) -> Option<(f64, f64)> {
    chain.windows(2).find_map(|pair| {
        let &[a, b] = pair else { return None };
        let (low, high) = (a[0].min(b[0]), a[0].max(b[0]));
        if station < low || station > high || high - low < 1.0 {
            return None;
        }
        let share = (station - a[0]) / (b[0] - a[0]);
        Some((a[1] + (b[1] - a[1]) * share, a[2] + (b[2] - a[2]) * share))
    })
}

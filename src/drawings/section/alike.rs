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

/// A bar as a cut shows it.
pub(super) struct BarCut<'b, 'w> {
    pub(super) bar: &'b BarSeen<'w>,
    /// Where what runs along the wall is cut, as offsets and levels.
    pub(super) through: Vec<(f64, f64)>,
    /// The chains of it that lie across the wall there, or nearest to there.
    pub(super) across: Vec<Vec<[f64; 3]>>,
}

/// The station within a stretch that shows most: at the hole nearest to its middle, or the bar that lies across there, or
/// the middle of a leg that runs along, or the middle itself.
pub(super) fn nicest(seen: &Seen, from: f64, to: f64) -> f64 {
    let middle = (from + to) / 2.0;
    let holes = seen.holes.iter().map(|(_, hole)| nm(hole.station));
    let sides = || seen.bars.iter().filter(|bar| matches!(bar.group.place, Place::Side(_)));
    let across = sides().flat_map(|bar| pieces(bar).into_iter().map(|piece| piece.station));
    let legs = sides().flat_map(along).map(|leg| (leg.0.max(from), leg.1.min(to)));
    let legs = legs.filter(|leg| leg.0 < leg.1).map(|leg| (leg.0 + leg.1) / 2.0);
    let nearest = |all: &mut dyn Iterator<Item = f64>| {
        all.filter(|at| from <= *at && *at <= to).min_by(|a, b| (a - middle).abs().total_cmp(&(b - middle).abs()))
    };
    let nicest = nearest(&mut holes.into_iter()).or_else(|| nearest(&mut across.into_iter()));
    nicest.or_else(|| nearest(&mut legs.into_iter())).unwrap_or(middle)
}

/// What of a bar lies across the wall, in one piece, and at which station that stands.
struct Piece {
    station: f64,
    chain: Vec<[f64; 3]>,
}

/// Whether a straight of a bar runs along the wall: of a bend only what is as good as straight.
fn is_along(a: &[f64; 3], b: &[f64; 3]) -> bool {
    a[0] != b[0] && (b[1] - a[1]).hypot(b[2] - a[2]) <= 0.05 * (b[0] - a[0]).abs()
}

/// The pieces of a bent bar that lie across the wall: between its legs that run along it, or all of it.
fn pieces(bar: &BarSeen) -> Vec<Piece> {
    let mut out: Vec<Piece> = Vec::new();
    let is_flat = along(bar).next().is_none();
    for chain in &bar.chains {
        let parts = chain.windows(2).filter_map(|pair| match pair {
            [a, b] => Some((a, b)),
            _ => None,
        });
        let mut longest = 0.0;
        let mut before = true;
        for (a, b) in parts {
            if is_along(a, b) {
                before = true;
                continue;
            }
            if std::mem::take(&mut before) {
                out.push(Piece { station: nm(bar.line.station), chain: vec![*a] });
                longest = 0.0;
            }
            let Some(piece) = out.last_mut() else { continue };
            piece.chain.push(*b);
            // A bend beside it lies partly along the wall: it stands where most of it does.
            let length = (b[1] - a[1]).hypot(b[2] - a[2]);
            if !is_flat && length > longest {
                longest = length;
                piece.station = (a[0] + b[0]) / 2.0;
            }
        }
    }
    out
}

/// From where to where legs of a bar run along the wall.
fn along(bar: &BarSeen) -> impl Iterator<Item = (f64, f64)> {
    bar.chains.iter().flat_map(|chain| chain.windows(2)).filter_map(|pair| match pair {
        [a, b] if is_along(a, b) => Some((a[0].min(b[0]), a[0].max(b[0]))),
        _ => None,
    })
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
    let mut bars: Vec<BlockId> = cut.bars().iter().map(|cut| cut.bar.made.id).collect();
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

    /// The bars that are cut or lie nearest within this stretch: each that runs along the wall and comes through, and of what
    /// lies across it one a row.
    pub(super) fn bars(&self) -> Vec<BarCut<'_, 'w>> {
        let mut out: Vec<BarCut> = Vec::new();
        let mut nearest: BTreeMap<(BlockId, [i64; 2]), (&BarSeen, Piece)> = BTreeMap::new();
        for bar in &self.seen.bars {
            let across = match &bar.group.place {
                Place::Long { .. } => Vec::new(),
                Place::Side(_) => {
                    let numbered = (0..).zip(pieces(bar));
                    numbered.map(|(number, piece)| ([number, 0], piece)).collect()
                }
                // Rows of holes in a face differ in level, rows in a top or a floor in how far out they are: to a tenth of a
                // millimetre, as what is turned is not exact.
                Place::Holes(_) => {
                    let foot = bar.chains.first().and_then(|chain| chain.first());
                    let row = foot.map_or([0; 2], |[_, out, level]| [out, level].map(|at| (at / 1e5).round() as i64));
                    let station = nm(bar.line.station);
                    bar.chains.iter().map(|chain| (row, Piece { station, chain: chain.clone() })).collect()
                }
            };
            for (row, piece) in across {
                if piece.station < self.from || piece.station > self.to {
                    continue;
                }
                let far = |piece: &Piece| (piece.station - self.at).abs();
                let key = (bar.made.id, row);
                if nearest.get(&key).is_none_or(|(_, best)| far(&piece) < far(best)) {
                    nearest.insert(key, (bar, piece));
                }
            }
            let through = match &bar.group.place {
                Place::Holes(_) => Vec::new(),
                Place::Long { .. } => {
                    bar.chains.iter().find_map(|chain| crossing(chain, self.at)).into_iter().collect()
                }
                Place::Side(_) => {
                    let legs = bar.chains.iter().flat_map(|chain| chain.windows(2));
                    let legs = legs.filter(|pair| matches!(pair, [a, b] if is_along(a, b)));
                    legs.filter_map(|pair| crossing(pair, self.at)).collect()
                }
            };
            if !through.is_empty() {
                out.push(BarCut { bar, through, across: Vec::new() });
            }
        }
        for (bar, piece) in nearest.into_values() {
            match out.iter_mut().find(|cut| std::ptr::eq(cut.bar, bar)) {
                Some(cut) => cut.across.push(piece.chain),
                None => out.push(BarCut { bar, through: Vec::new(), across: vec![piece.chain] }),
            }
        }
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
fn crossing(chain: &[[f64; 3]], station: f64) -> Option<(f64, f64)> {
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

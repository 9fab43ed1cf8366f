//! Where to cut: the stretches of a leg that look alike all along, and what is seen where one is cut.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    drawings::{
        Of,
        seen::{self, BarSeen, SectionSeen, Seen, Span, nm},
    },
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
    pub(super) but: BTreeSet<But>,
}

/// What changes along a stretch without another cut for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum But {
    /// Two pieces of a bar lie beside each other.
    Laps,
    /// Bars of this block begin or end.
    Ends(BlockId),
}

/// No stretch is cut for less of a bar than this, in nanometres: it ends so far before its concrete for its cover.
const HAIR: f64 = 150e6;

/// Where bars begin and end at more places than this along a leg, the cuts say so in words.
const MOST: usize = 12;

/// Where bars run along a leg.
pub(super) struct Runs {
    /// Long bars and those lapped with them as one.
    long: Vec<(BlockId, Span)>,
    /// Legs of bent bars.
    legs: Vec<(BlockId, Span)>,
    laps: Vec<Span>,
    /// From where to where nothing of another leg's concrete lies before this one.
    free: Span,
}

impl Runs {
    pub(super) fn new(of: &Of, seen: &Seen) -> Runs {
        let mut rows: BTreeMap<(BlockId, [i64; 2]), Vec<Span>> = BTreeMap::new();
        let mut legs = Vec::new();
        for bar in &seen.bars {
            match &bar.group.place {
                Place::Side(_) => {
                    let long = along(bar).filter(|span| span.1 - span.0 > HAIR);
                    legs.extend(long.map(|span| (bar.made.id, span)));
                }
                Place::Long { .. } => {
                    for [a, b] in bar.chains.iter().flat_map(|chain| straights(chain)).filter(|[a, b]| is_along(a, b)) {
                        rows.entry((bar.made.id, whole([a[1], a[2]])))
                            .or_default()
                            .push((a[0].min(b[0]), a[0].max(b[0])));
                    }
                }
                Place::Holes(_) => {}
            }
        }
        let (mut long, mut laps) = (Vec::new(), Vec::new());
        for ((id, _), mut spans) in rows {
            spans.sort_by(|a, b| a.0.total_cmp(&b.0));
            let mut run: Option<Span> = None;
            for (from, to) in spans {
                match &mut run {
                    Some((_, end)) if from <= *end + HAIR => {
                        if from + HAIR < end.min(to) {
                            laps.push((from, end.min(to)));
                        }
                        *end = end.max(to);
                    }
                    _ => long.extend(run.replace((from, to)).map(|run| (id, run))),
                }
            }
            long.extend(run.map(|run| (id, run)));
        }
        let deepest = seen.sections.iter().map(|section| section.depth.1).fold(0.0, f64::max);
        let run = of.works.standing.chain(seen.on).map(|chain| &chain.run);
        let leg = usize::from(seen.on.leg);
        let hidden = |turn: Option<f64>| if turn.is_some_and(|turn| turn < -0.5) { deepest } else { 0.0 };
        let before = hidden(run.and_then(|run| run.turn_before(leg)));
        let after = hidden(run.and_then(|run| run.turn_after(leg)));
        Runs { long, legs, laps, free: (before, nm(seen.length) - after) }
    }

    /// Adds to where the concrete changes where long bars begin or end.
    pub(super) fn split(&self, breaks: &mut Vec<f64>) {
        let mut ends: Vec<f64> = self.long.iter().flat_map(|(_, run)| [run.0, run.1]).collect();
        ends.retain(|at| self.free.0 + HAIR < *at && *at < self.free.1 - HAIR);
        ends.sort_by(f64::total_cmp);
        let mut all: Vec<f64> = Vec::new();
        for at in ends {
            let next = breaks.partition_point(|other| *other < at);
            let near = [next.checked_sub(1).and_then(|before| breaks.get(before)), breaks.get(next), all.last()];
            if near.into_iter().flatten().all(|other| (at - other).abs() > HAIR) {
                all.push(at);
            }
        }
        if all.len() <= MOST {
            breaks.extend(all);
            breaks.sort_by(f64::total_cmp);
        }
    }

    /// What changes between two stations.
    pub(super) fn but(&self, (from, to): Span) -> BTreeSet<But> {
        let (low, high) = (from.max(self.free.0) + HAIR, to.min(self.free.1) - HAIR);
        let is_here = |span: &Span| span.0 < high && low < span.1;
        let long = self.long.iter().filter(|(_, run)| is_here(run));
        let legs = self.legs.iter().filter(|(_, run)| run.0 < to && from < run.1);
        let ends = long.chain(legs).filter(|(_, run)| run.0 > low || run.1 < high).map(|(id, _)| But::Ends(*id));
        ends.chain(self.laps.iter().any(is_here).then_some(But::Laps)).collect()
    }
}

/// The straights of a chain.
fn straights(chain: &[[f64; 3]]) -> impl Iterator<Item = [[f64; 3]; 2]> + '_ {
    chain.windows(2).filter_map(|pair| <[[f64; 3]; 2]>::try_from(pair).ok())
}

/// An offset and a level in whole millimetres: what is turned is not exact.
fn whole(at: [f64; 2]) -> [i64; 2] {
    at.map(|at| (at / 1e6).round() as i64)
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
        let mut longest = 0.0;
        let mut before = true;
        for [a, b] in straights(chain) {
            if is_along(&a, &b) {
                before = true;
                continue;
            }
            if std::mem::take(&mut before) {
                out.push(Piece { station: nm(bar.line.station), chain: vec![a] });
                longest = 0.0;
            }
            let Some(piece) = out.last_mut() else { continue };
            piece.chain.push(b);
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
    let legs = bar.chains.iter().flat_map(|chain| straights(chain)).filter(|[a, b]| is_along(a, b));
    legs.map(|[a, b]| (a[0].min(b[0]), a[0].max(b[0])))
}

/// What makes two cuts look different.
pub(super) type Looks =
    (Vec<(BlockId, [i64; 4])>, Vec<(BlockId, [i64; 2])>, Vec<Option<i64>>, Vec<BarLooks>, [Option<Length>; 3]);

/// A block of bars, and where one of them comes through.
type BarLooks = (BlockId, Option<[i64; 2]>);

pub(super) fn looks(cut: &Alike) -> Looks {
    let seen = cut.seen;
    let exact = |at: f64| at.round() as i64;
    let sections = cut
        .sections()
        .map(|section| (section.id, [section.levels.0, section.levels.1, section.depth.0, section.depth.1].map(exact)));
    let voids = cut.voids().map(|(id, levels)| (id, [exact(levels.0), exact(levels.1)]));
    let slabs = seen.slabs.iter().map(|slab| cut.removed(slab).map(exact));
    let shown = |cut: BarCut| -> Vec<BarLooks> {
        let id = cut.bar.made.id;
        let through = cut.through.iter().map(|(out, level)| (id, Some(whole([*out, *level]))));
        through.chain((!cut.across.is_empty()).then_some((id, None))).collect()
    };
    let mut bars: Vec<BarLooks> = cut.bars().into_iter().flat_map(shown).collect();
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
        slab.removed.iter().find(|gone| gone.along.0 <= middle && middle <= gone.along.1).map(|gone| gone.out)
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
                    let legs = bar.chains.iter().flat_map(|chain| straights(chain)).filter(|[a, b]| is_along(a, b));
                    legs.filter_map(|leg| crossing(&leg, self.at)).collect()
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

//! Where ties go: beside studs, off the joints of sheets, clear of holes and bars, and never farther apart than the file says.

use super::{
    Around, Formwork, Panel, Use,
    design::{Hold, Unheld},
    sheets::sheathing,
};
use crate::{
    concrete::depth,
    geometry::{Bounds, BoxTree, Frame, Point, distance::Segment},
    job::{Job, Thing},
    schema::{BlockId, Forms},
    units::{Length, System},
};

/// A tie and its hole reach so far to either side: 10 mm, for rods up to 20 mm; common practice, no source.
const HALF: Length = Length::from_nm(10_000_000);
/// From a joint of the sheathing to a tie: 1 in at least; common practice, no source.
const FROM_JOINT: Length = Length::INCH;
/// From an end of the old wall to a tie: 2 in at least; common practice, no source.
const FROM_END: Length = Length::from_nm(2 * Length::INCH.nm());
/// Places that are tried for a tie, the nearest to the middle of its share first.
const TRIED: usize = 16;
/// So many more ties than the spacing asks for are tried where there is no room for those.
const MORE: usize = 8;
/// A bar that crosses a row for longer than so many times what it keeps clear runs along it.
const ALONG: f64 = 6.0;

/// What ties keep clear of: a hole or a thing kept clear in the old wall, or a piece of a bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rod {
    of: BlockId,
    segment: Segment,
    /// How near the axis of a tie may come to its own, in nanometres.
    clear: f64,
    /// How far it reaches over and under its axis, in nanometres.
    tall: f64,
    /// Nothing may come near it, and nothing passes it.
    kept_clear: bool,
}

impl Rod {
    /// A hole: three bores from axis to axis, as beside a hole that met steel (common practice, no source).
    #[must_use]
    pub fn hole(of: BlockId, segment: Segment, wide: Length) -> Rod {
        Rod { of, segment, clear: (wide * 3).nm() as f64, tall: 0.0, kept_clear: false }
    }

    /// A bar of this diameter: the tie passes it.
    #[must_use]
    pub fn bar(of: BlockId, segment: Segment, diameter: Length) -> Rod {
        Rod { of, segment, clear: (HALF + diameter / 2).nm() as f64, tall: 0.0, kept_clear: false }
    }

    fn bounds(&self) -> Bounds {
        let Segment { from: [ax, ay, az], to: [bx, by, bz] } = self.segment;
        Bounds::around([
            [ax, ay, az - self.tall],
            [bx, by, bz + self.tall],
            [ax, ay, az + self.tall],
            [bx, by, bz - self.tall],
        ])
    }

    /// What is kept clear in the face of the old wall so far around it: over this stretch, and as high as that to either side.
    #[must_use]
    pub fn thing(of: BlockId, segment: Segment, radius: Length, tall: f64) -> Rod {
        Rod { of, segment, clear: (HALF + radius).nm() as f64, tall, kept_clear: true }
    }
}

/// A row of ties before a face of a form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TieRow {
    /// The panel, by its place among those of the form.
    pub panel: usize,
    /// Which of the rows that are written, from 0.
    pub row: usize,
    /// Its level.
    pub level: Length,
    /// Where its ties stand along the panel, from its left end.
    pub at: Vec<Length>,
    /// Each of them stands clear; else there is no room for that, and they stand in the middle of equal shares.
    pub is_clear: bool,
    /// Bars that lie along the row at its own level, which no place along it keeps clear of.
    pub bars_along: Vec<BlockId>,
    /// What is to be kept clear in the old wall, and is not: no place along the row does.
    pub into: Vec<BlockId>,
}

/// How deep a tie goes into an old wall: 100 mm, or a third of a thinner one; common practice, no source.
#[must_use]
pub fn tie_depth(thick: Length) -> Length {
    (thick / 3).min(Length::from_nm(100_000_000))
}

/// The middles of the studs along a face, from its left end; those at its ends stand within it.
#[must_use]
pub fn studs(panel: &Panel, spacing: Length, thick: Length) -> Vec<Length> {
    let half = thick / 2;
    let (from, to) = panel.reach.studs.along(panel.width);
    panel.studs(spacing).into_iter().map(|at| at.min(to - half).max(from + half)).collect()
}

/// All rows of ties of a form, and those at levels where the old wall they go into does not stand.
pub(super) fn ties(
    job: &Job,
    around: Around,
    forms: &Thing<Forms>,
    out: &Formwork,
) -> (Vec<TieRow>, Vec<(BlockId, Unheld)>) {
    let mut off = Vec::new();
    let Some(say) = &forms.say.ties else { return (Vec::new(), off) };
    let space = say.value.space.value.0;
    let boxes: Vec<Bounds> = around.rods.iter().map(Rod::bounds).collect();
    let tree = BoxTree::new(&boxes);
    let mut rows = Vec::new();
    for (panel_at, panel) in out.panels.iter().enumerate().filter(|(_, panel)| panel.closes == Use::Face) {
        let Some(design) = out.designs.iter().find(|design| design.section == panel.section) else { continue };
        let face = Face::of(job, around, &forms.say, panel, space);
        let mut mine: Vec<(TieRow, Crossed)> = Vec::new();
        for (hold, height) in design.holds(panel, job.system()) {
            let Hold::Tie(row) = hold else { continue };
            let level = panel.bottom + height;
            let misses = |(bottom, top): &(Length, Length)| level - HALF < *bottom || *top < level + HALF;
            if let Some(wall) = face.wall.filter(misses).filter(|_| !goes_through(&out.panels, panel, level)) {
                off.push((panel.section, Unheld::OffWall(level, wall)));
            }
            let mut crossed = face.crossed(level, around.rods, &tree);
            let bars_along = std::mem::take(&mut crossed.along);
            let (at, into) = (Vec::new(), Vec::new());
            mine.push((TieRow { panel: panel_at, row, level, at, is_clear: true, bars_along, into }, crossed));
        }
        // One above the other where there is room for that.
        let all: Vec<Barrier> = mine.iter().flat_map(|(_, crossed)| &crossed.barriers).copied().collect();
        let in_line = face.placed(all, face.count);
        for (mut row, crossed) in mine {
            let found = in_line.clone().or_else(|| {
                (face.count..=face.count + MORE).find_map(|count| face.placed(crossed.barriers.clone(), count))
            });
            row.is_clear = found.is_some();
            row.at = found.unwrap_or_else(|| panel.middles(space, face.within));
            let hit = |(_, (from, to)): &&(BlockId, Barrier)| row.at.iter().any(|at| *from < at.nm() && at.nm() < *to);
            row.into = crossed.things.iter().filter(hit).map(|(thing, _)| *thing).collect();
            row.into.dedup();
            rows.push(row);
        }
    }
    (rows, off)
}

/// Whether another face of the same concrete is formed on its other side there: what ties them goes through both.
fn goes_through(panels: &[Panel], one: &Panel, level: Length) -> bool {
    panels.iter().any(|panel| {
        let here = panel.section == one.section && panel.closes == Use::Face;
        here && panel.bottom + HALF <= level && level <= panel.top && one.turn(panel).1 < -0.99
    })
}

/// The open interval of places a tie keeps out of, in nanometres from the left end of a face.
type Barrier = (i64, i64);

/// What is met at the level of a row.
#[derive(Default)]
struct Crossed {
    barriers: Vec<Barrier>,
    /// Those among them of things kept clear.
    things: Vec<(BlockId, Barrier)>,
    /// The blocks of bars that lie along it.
    along: Vec<BlockId>,
}

/// A face with what stands on it already.
struct Face {
    frame: Frame,
    width: Length,
    /// How far behind the face ties reach.
    deep: Length,
    /// Where the old wall lies behind it.
    within: (Length, Length),
    /// From which level to which it stands, with the footing under it.
    wall: Option<(Length, Length)>,
    /// Where its left end lies on the tape.
    station: Length,
    step: Length,
    space: Length,
    count: usize,
    fixed: Vec<Barrier>,
}

impl Face {
    fn of(job: &Job, around: Around, say: &Forms, panel: &Panel, space: Length) -> Face {
        let frame = panel.frame();
        let step = match job.system() {
            System::Feet => Length::INCH / 2,
            System::Metric => Length::from_nm(5_000_000),
        };
        let mut out = Face {
            frame,
            width: panel.width,
            deep: Length::ZERO,
            // In a corner of the form the other one stands in the way.
            within: panel.reach.brace.along(panel.width),
            wall: None,
            station: Length::ZERO,
            step,
            space,
            count: panel.middles(space, (Length::ZERO, panel.width)).len(),
            fixed: Vec::new(),
        };
        out.find_wall(job, around, panel);
        let board = |size: BlockId| job.lumber_of(size).and_then(|lumber| lumber.say.size.as_ref());
        let thick = board(say.studs.value.size.0).map_or(Length::ZERO, |size| size.thick.0);
        out.fixed.extend([(i64::MIN, out.within.0.nm()), (out.within.1.nm(), i64::MAX)]);
        let mut keep = |at: Length, off: Length| out.fixed.push(((at - off).nm(), (at + off).nm()));
        for at in studs(panel, say.studs.value.space.value.0, thick) {
            keep(at, thick / 2 + HALF);
        }
        if let [_, joints @ .., _] = sheathing(job, say, panel).as_slice() {
            for at in joints {
                keep(*at, FROM_JOINT);
            }
        }
        out
    }

    /// The leg it stands before: how far behind the face the old wall is, and from where to where it goes.
    fn find_wall(&mut self, job: &Job, around: Around, panel: &Panel) {
        const NEAR: f64 = 1_000_000.0;
        let (Some(placed), Some(section)) = (around.sections.find(panel.section), job.section(panel.section)) else {
            return;
        };
        for on in placed.intervals.iter().map(|interval| interval.on) {
            let Some(frame) = around.standing.chain(on).and_then(|chain| chain.run.frame(usize::from(on.leg))) else {
                continue;
            };
            let (_, outer) = depth(section, around.standing, on);
            let [a, b] = panel.ends().map(|end| frame.local(end));
            let off = outer.nm() as f64;
            if (a.1 - off).abs() > NEAR || (b.1 - off).abs() > NEAR {
                continue;
            }
            self.station = Length::round_nm(a.0);
            self.deep = outer;
            self.wall = around.standing.heights(on).map(|(bottom, top)| {
                let footings = job.footings.iter().filter(|footing| footing.say.under.0 == placed.wall);
                (bottom - footings.map(|footing| footing.say.thick.0).max().unwrap_or(Length::ZERO), top)
            });
            if let Some(thick) = around.standing.thickness(on) {
                self.deep += tie_depth(thick);
                let (low, high) = (-self.station, around.standing.length(on) - self.station);
                let within = (low.max(self.within.0), high.min(self.within.1));
                if within.0 < within.1 {
                    self.within = within;
                    self.fixed.push((i64::MIN, (low + FROM_END).nm()));
                    self.fixed.push(((high - FROM_END).nm(), i64::MAX));
                }
            }
            return;
        }
    }

    /// What crosses a row at a level, and what lies along it.
    fn crossed(&self, level: Length, rods: &[Rod], tree: &BoxTree) -> Crossed {
        let (width, deep, level) = (self.width.nm() as f64, self.deep.nm() as f64, level.nm() as f64);
        let most = rods.iter().map(|rod| rod.clear).fold(0.0, f64::max);
        let corners = [(0.0, 0.0), (width, 0.0), (0.0, -deep), (width, -deep)].map(|(along, out)| {
            let at = self.frame.at(along, out);
            [at.x, at.y, level]
        });
        let mut near = Vec::new();
        tree.touching(&Bounds::around(corners).grown(most), &mut near);
        let mut out = Crossed::default();
        for rod in near.iter().filter_map(|at| rods.get(*at as usize)) {
            let [from, to] = [rod.segment.from, rod.segment.to].map(|[x, y, z]| {
                let (station, offset) = self.frame.local(Point::new(x, y));
                [station, offset, z - level]
            });
            // The piece of it that lies beside the row, between the face and where ties end.
            let tall = rod.clear + rod.tall;
            let Some(share) = within(from[2], to[2], (-tall, tall), (0.0, 1.0)) else { continue };
            let Some(share) = within(from[1], to[1], (-deep - rod.clear, 0.0), share) else { continue };
            let at = |share: f64| from[0] + (to[0] - from[0]) * share;
            let (low, high) = (at(share.0).min(at(share.1)), at(share.0).max(at(share.1)));
            let barrier = ((low - rod.clear) as i64, (high + rod.clear) as i64);
            if rod.kept_clear {
                out.things.push((rod.of, barrier));
            }
            if rod.kept_clear || high - low <= ALONG * rod.clear {
                out.barriers.push(barrier);
            } else if !out.along.contains(&rod.of) && high > 0.0 && low < width {
                out.along.push(rod.of);
            }
        }
        out
    }

    /// Places for so many ties, each clear of these and of what is fixed, as near to the middle of its share as may be and on
    /// the marks of a tape; none where they would stand too far apart. Each carries no more of the form than the spacing.
    fn placed(&self, mut barriers: Vec<Barrier>, count: usize) -> Option<Vec<Length>> {
        barriers.extend(&self.fixed);
        let barriers = united(barriers);
        let (low, high) = (self.within.0.nm(), self.within.1.nm());
        let (space, share) = (self.space.nm(), (high - low) / i64::try_from(2 * count).ok()?.max(1));
        let tried: Vec<Vec<(i64, i64)>> = (0..count)
            .map(|tie| {
                let middle = low + share * (2 * i64::try_from(tie).unwrap_or(0) + 1);
                self.free_near(&barriers, middle)
            })
            .collect();
        // The least way from the middles, tie by tie: what it comes to up to each place, and the place before.
        let mut best: Vec<Vec<Option<(i64, usize)>>> = Vec::with_capacity(count);
        for (tie, places) in tried.iter().enumerate() {
            let before = tie.checked_sub(1).map(|before| (&tried[before], &best[before]));
            let row = places.iter().map(|&(place, off)| {
                let Some((before, reached)) = before else { return (place - low <= space / 2).then_some((off, 0)) };
                if tie + 1 == count && high - place > space / 2 {
                    return None;
                }
                let steps = before.iter().zip(reached).enumerate().filter_map(|(at, ((other, _), reached))| {
                    let gap = place - other;
                    let first = if tie == 1 { other + gap / 2 } else { 0 };
                    let last = if tie + 1 == count { self.width.nm() - place + gap / 2 } else { 0 };
                    let holds = gap >= self.step.nm() && gap.max(first).max(last) <= space;
                    reached.filter(|_| holds).map(|(so_far, _)| (so_far + off, at))
                });
                steps.min()
            });
            let row: Vec<Option<(i64, usize)>> = row.collect();
            if row.iter().all(Option::is_none) {
                return None;
            }
            best.push(row);
        }
        let (mut at, _) = best
            .last()?
            .iter()
            .enumerate()
            .filter_map(|(at, found)| Some((at, (*found)?)))
            .min_by_key(|(_, found)| *found)?;
        let mut out = Vec::with_capacity(count);
        for (places, row) in tried.iter().zip(&best).rev() {
            out.push(Length::from_nm(places.get(at)?.0));
            at = row.get(at).copied().flatten()?.1;
        }
        out.reverse();
        Some(out)
    }

    /// The marks of the tape nearest to a place that no barrier takes, and how far off each is, in the order of the tape.
    fn free_near(&self, barriers: &[Barrier], middle: i64) -> Vec<(i64, i64)> {
        let (step, reach) = (self.step.nm(), self.space.nm());
        let first = (middle + self.station.nm()).div_euclid(step) * step - self.station.nm();
        let free = |place: i64| {
            let at = barriers.partition_point(|(_, end)| *end <= place);
            barriers.get(at).is_none_or(|(begin, _)| *begin >= place)
        };
        let up = (1..=reach / step).map(|at| first + at * step).filter(|place| free(*place)).take(TRIED);
        let down = (0..=reach / step).map(|at| first - at * step).filter(|place| free(*place)).take(TRIED);
        let inside = |place: &i64| (0..=self.width.nm()).contains(place);
        let mut out: Vec<(i64, i64)> =
            up.chain(down).filter(inside).map(|place| (place, (place - middle).abs())).collect();
        out.sort_unstable();
        out
    }
}

/// The shares of a way, within those given, on which it lies between two bounds.
fn within(from: f64, to: f64, (low, high): (f64, f64), (begin, end): (f64, f64)) -> Option<(f64, f64)> {
    let way = to - from;
    if way.abs() < 1.0 {
        return (low..=high).contains(&from).then_some((begin, end));
    }
    let (one, other) = ((low - from) / way, (high - from) / way);
    let (begin, end) = (begin.max(one.min(other)), end.min(one.max(other)));
    (begin <= end).then_some((begin, end))
}

/// Barriers that reach into each other made one, in order.
fn united(mut all: Vec<Barrier>) -> Vec<Barrier> {
    all.sort_unstable();
    let mut out: Vec<Barrier> = Vec::with_capacity(all.len());
    for (begin, end) in all {
        match out.last_mut() {
            Some(last) if begin < last.1 => last.1 = last.1.max(end),
            _ => out.push((begin, end)),
        }
    }
    out
}

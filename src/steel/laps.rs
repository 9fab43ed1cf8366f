//! Laps: how a long bar is cut into pieces that are not longer than the stock, and where the pieces lap.
//!
//! A lap lies wholly on one straight of the bar: from the bend of a corner, arc and all, it stays one bar diameter away
//! (common practice, no source). Laps of neighbouring rows are staggered where that can be: their middles at least 1.3 laps
//! apart (EN 1992-1-1 8.7.2, from memory: 0.3 laps clear between them). Every row has a small set of layouts to choose
//! from, and [`pick`] chooses by a cost: by default that with the fewest pieces, since each piece more is a lap more.

use super::way::Way;
use crate::{concrete::LegAt, geometry::Run, units::Length};

/// What the pieces of a bar must keep to.
#[derive(Debug, Clone, Copy)]
pub struct Rule {
    /// How far two pieces run beside each other.
    pub lap: Length,
    /// The longest piece, as it is cut.
    pub most: Length,
    /// Radius of the bends, along the centre line.
    pub radius: Length,
    /// Diameter of the bar.
    pub diameter: Length,
}

/// From a leg and station to another.
pub type Span = ((LegAt, Length), (LegAt, Length));

/// One way to cut a bar into pieces.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Layout {
    /// From where to where each piece reaches; neighbours lap.
    pub spans: Vec<Span>,
    /// The cut length of each piece, corners rounded.
    pub cuts: Vec<Length>,
    /// The middle of each lap, as a distance along the wall's face, in order.
    pub laps: Vec<Length>,
}

impl Layout {
    /// All pieces together.
    #[must_use]
    pub fn total(&self) -> Length {
        self.cuts.iter().copied().sum()
    }
}

/// No lap fits where one is needed: the longest piece that begins here ends before the next straight that could hold one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NoRoom {
    /// A longest piece that would do; none if no straight is as long as the lap.
    pub would_do: Option<Length>,
}

/// A way with what is needed to cut it, in nanometres along it.
struct Line<'w> {
    rule: Rule,
    length: i64,
    /// Corners: their place, and how much shorter the bend makes the bar.
    corners: Vec<(i64, i64)>,
    /// Where no lap may be.
    closed: Vec<(i64, i64)>,
    way: &'w Way,
}

impl<'w> Line<'w> {
    fn new(way: &'w Way, rule: Rule) -> Line<'w> {
        let radius = rule.radius.nm() as f64;
        let mut corners = Vec::new();
        let mut closed = Vec::new();
        for corner in way.corners() {
            let angle = corner.turn.to_radians();
            let tangent = radius * (angle / 2.0).tan();
            let saved = Length::round_nm(2.0 * tangent - radius * angle).nm();
            let beside = Length::round_nm(tangent).nm() + rule.diameter.nm();
            corners.push((corner.at.nm(), saved));
            closed.push((corner.at.nm() - beside, corner.at.nm() + beside));
        }
        Line { rule, length: way.length().nm(), corners, closed, way }
    }

    fn cut(&self, from: i64, to: i64) -> i64 {
        let first = self.corners.partition_point(|(at, _)| *at <= from);
        let inside = self.corners.iter().skip(first).take_while(|(at, _)| *at < to);
        to - from - inside.map(|(_, saved)| saved).sum::<i64>()
    }

    /// How far a piece of this cut length reaches from here.
    fn reach(&self, from: i64, most: i64) -> i64 {
        let first = self.corners.partition_point(|(at, _)| *at <= from);
        let mut to = from.saturating_add(most);
        for (at, saved) in self.corners.iter().skip(first) {
            if *at >= to {
                break;
            }
            to = to.saturating_add(*saved);
        }
        to
    }

    /// The last place up to here that a lap may end at.
    fn end_before(&self, end: i64) -> i64 {
        let mut end = end;
        for (from, to) in self.closed.iter().rev() {
            if *to > end - self.rule.lap.nm() && *from < end {
                end = *from;
            }
        }
        end
    }

    /// The first place from here on that a lap may end at.
    fn end_after(&self, end: i64) -> i64 {
        let mut end = end;
        for (from, to) in &self.closed {
            if *to > end - self.rule.lap.nm() && *from < end {
                end = *to + self.rule.lap.nm();
            }
        }
        end
    }

    /// Where the laps end, each as far from the last as the stock allows; the first piece no longer than `first`.
    fn fill(&self, first: i64) -> Result<Vec<i64>, NoRoom> {
        let lap = self.rule.lap.nm();
        let most = self.rule.most.nm();
        let (mut from, mut ends) = (0, Vec::new());
        while self.cut(from, self.length) > most
            || (ends.is_empty() && first < most && self.cut(0, self.length) > first)
        {
            let longest = if ends.is_empty() { first.min(most) } else { most };
            let end = self.end_before(self.reach(from, longest).min(self.length - 1));
            // The next piece must begin further on, and its own laps may not meet.
            if end - lap <= from || (!ends.is_empty() && end - 2 * lap < from) {
                let next = self.end_after((from + 2 * lap).max(self.reach(from, longest))).min(self.length);
                return Err(NoRoom { would_do: Some(Length::from_nm(self.cut(from, next))) });
            }
            ends.push(end);
            from = end - lap;
        }
        Ok(ends)
    }

    /// Equal pieces, so many of them, their laps moved out of the corners; all moved by `shift`.
    fn equal(&self, pieces: i64, shift: i64) -> Vec<i64> {
        let lap = self.rule.lap.nm();
        let each = (self.length + (pieces - 1) * lap) / pieces.max(1);
        let ends = (1..pieces).map(|number| {
            let end = number * (each - lap) + lap + shift;
            let (before, after) = (self.end_before(end), self.end_after(end));
            if end - before <= after - end { before } else { after }
        });
        ends.collect()
    }

    /// The layout with laps that end here, if it keeps to the rule. The ends of a ring lap too.
    fn layout(&self, ends: &[i64], ring: bool, run_of: &dyn Fn((LegAt, Length)) -> Length) -> Option<Layout> {
        let lap = self.rule.lap.nm();
        let mut spans = Vec::with_capacity(ends.len() + 1);
        let mut from = 0;
        if ring && ends.is_empty() {
            return None;
        }
        for end in ends.iter().copied().chain([self.length]) {
            let whole = ends.is_empty();
            let fits = (whole || end - from > lap) && end <= self.length && self.cut(from, end) <= self.rule.most.nm();
            // The laps at the two ends of a piece do not meet, and each lies on one straight.
            let apart = end - from > 2 * lap || (!ring && (spans.is_empty() || end == self.length));
            let straight = end == self.length || self.end_before(end) == end;
            if !fits || !apart || !straight {
                return None;
            }
            spans.push((from, end));
            from = end - lap;
        }
        let cuts = spans.iter().map(|(from, end)| Length::from_nm(self.cut(*from, *end))).collect();
        let at = |along: i64| self.way.at(Length::from_nm(along));
        let seam = ring.then_some(lap);
        let middles = ends.iter().copied().chain(seam).map(|end| run_of(at(end - lap / 2)));
        let mut laps: Vec<Length> = middles.collect();
        laps.sort_unstable();
        Some(Layout { spans: spans.into_iter().map(|(from, end)| (at(from), at(end))).collect(), cuts, laps })
    }
}

/// How far apart the middles of laps of neighbouring rows are to be.
#[must_use]
pub fn stagger(lap: Length) -> Length {
    lap * 13 / 10
}

/// So many pieces and more are laid out in one way only.
const MANY: usize = 200;

/// The layouts to choose from for a bar along this way, each once; those with the fewest pieces first. `run_of` gives the
/// distance along the wall of a place, by which laps of neighbouring rows are compared.
///
/// One piece where that is short enough; else equal pieces, whole stock from either end with the rest at the other, and each
/// of these with its laps moved by a stagger, or with one piece more.
///
/// # Errors
/// [`NoRoom`] where a lap is needed and none fits.
pub fn layouts(way: &Way, rule: Rule, run_of: &dyn Fn((LegAt, Length)) -> Length) -> Result<Vec<Layout>, NoRoom> {
    let mut out = Vec::new();
    lay(way, rule, false, run_of, &mut out)?;
    out.sort_by_key(|layout| layout.spans.len());
    Ok(out)
}

/// The layouts of a bar that runs all the way round a closed plan, which is lapped too where it meets itself: on the middle of
/// any straight that is long enough, or a stagger beside it. A ring has two pieces at least, so that it can be laid.
///
/// # Errors
/// [`NoRoom`] where none fits.
pub fn ring_layouts(
    run: &Run,
    chain: u32,
    offset: Length,
    rule: Rule,
    run_of: &dyn Fn((LegAt, Length)) -> Length,
) -> Result<Vec<Layout>, NoRoom> {
    let mut out = Vec::new();
    let mut refused = NoRoom { would_do: None };
    // A few straights are choice enough.
    let mut straights: Vec<(Length, LegAt)> = (0..run.legs().len())
        .filter_map(|leg| Some((run.length(leg), LegAt { chain, leg: u16::try_from(leg).ok()? })))
        .collect();
    straights.sort_by_key(|(length, on)| (std::cmp::Reverse(*length), *on));
    for (length, on) in straights.into_iter().take(4) {
        for shift in [Length::ZERO, stagger(rule.lap) / 2, -stagger(rule.lap) / 2] {
            let seam = (on, (length - rule.lap) / 2 + shift);
            let Some(way) = Way::ring(run, seam, rule.lap, offset) else { continue };
            // The seam's lap lies on its straight, away from the corners at its ends.
            let line = Line::new(&way, rule);
            let back = way.reversed();
            let behind = Line::new(&back, rule);
            let lap = rule.lap.nm();
            if line.end_before(lap) != lap || behind.end_before(lap) != lap {
                continue;
            }
            if let Err(no_room) = lay(&way, rule, true, run_of, &mut out) {
                refused = no_room;
            }
        }
    }
    if out.is_empty() {
        return Err(refused);
    }
    out.sort_by_key(|layout| layout.spans.len());
    Ok(out)
}

fn lay(
    way: &Way,
    rule: Rule,
    ring: bool,
    run_of: &dyn Fn((LegAt, Length)) -> Length,
    out: &mut Vec<Layout>,
) -> Result<(), NoRoom> {
    let line = Line::new(way, rule);
    let half = if ring { (line.cut(0, line.length) + rule.lap.nm()) / 2 } else { i64::MAX };
    let mut ends = line.fill(i64::MAX)?;
    if ends.is_empty() && ring {
        ends = line.fill(half)?;
    }
    let before = out.len();
    let mut add = |ends: &[i64]| {
        if let Some(layout) = line.layout(ends, ring, run_of)
            && !out.contains(&layout)
        {
            out.push(layout);
        }
    };
    add(&ends);
    if !ends.is_empty() && ends.len() < MANY {
        let pieces = i64::try_from(ends.len()).unwrap_or(i64::MAX - 2) + 1;
        let shift = stagger(rule.lap).nm();
        for pieces in [pieces, pieces + 1] {
            for shift in [0, shift / 2, -shift / 2, shift] {
                add(&line.equal(pieces, shift));
            }
        }
        // Whole stock from the other end: the same line seen backwards.
        let back = way.reversed();
        let behind = Line::new(&back, rule);
        for first in [i64::MAX, rule.most.nm() - shift, rule.most.nm() / 2] {
            if let Ok(ends) = line.fill(first) {
                add(&ends);
            }
            if let Ok(ends) = behind.fill(first) {
                let ends: Vec<i64> = ends.iter().rev().map(|end| line.length - end + rule.lap.nm()).collect();
                add(&ends);
            }
        }
    }
    if out.len() > before || ring { Ok(()) } else { Err(NoRoom { would_do: None }) }
}

/// What a layout costs when nothing else is known: its steel, then its pieces. Each piece more is a lap more of steel.
#[must_use]
pub fn least_steel(layout: &Layout) -> i64 {
    layout.total().nm().saturating_add(i64::try_from(layout.spans.len()).unwrap_or(i64::MAX))
}

/// Chooses a layout for each row: of all choices that keep the laps of neighbouring rows `apart` (as many of them as can be)
/// the one that costs least; of equals the first. Rows stand in the order they lie in, each beside the next.
#[must_use]
pub fn pick(rows: &[&[Layout]], apart: Length, cost: &dyn Fn(&Layout) -> i64) -> Vec<usize> {
    // For each layout of the row: how many neighbours are too near and what it costs up to here, and where it came from.
    let mut steps: Vec<Vec<((u64, i64), usize)>> = Vec::with_capacity(rows.len());
    for (number, row) in rows.iter().enumerate() {
        let before = number.checked_sub(1).and_then(|before| Some((*rows.get(before)?, steps.get(before)?)));
        let step = row.iter().map(|layout| {
            let own = cost(layout);
            let Some((layouts, sums)) = before else { return ((0, own), 0) };
            let ways = layouts.iter().zip(sums).enumerate().map(|(at, (other, ((count, sum), _)))| {
                ((count + u64::from(near(other, layout, apart)), sum.saturating_add(own)), at)
            });
            ways.min().unwrap_or(((0, own), 0))
        });
        steps.push(step.collect());
    }
    let mut out = vec![0; rows.len()];
    let mut at = steps.last().and_then(|last| (0..last.len()).min_by_key(|at| last.get(*at).map(|step| step.0)));
    for (slot, step) in out.iter_mut().zip(&steps).rev() {
        let Some(chosen) = at else { break };
        *slot = chosen;
        at = step.get(chosen).map(|(_, from)| *from);
    }
    out
}

/// Whether some lap of one is nearer than this to some lap of the other.
pub(super) fn near(one: &Layout, other: &Layout, apart: Length) -> bool {
    let mut beside = other.laps.iter().peekable();
    one.laps.iter().any(|lap| {
        while beside.next_if(|other| **other + apart <= *lap).is_some() {}
        beside.peek().is_some_and(|other| **other - *lap < apart)
    })
}

//! Ends of bars that stand free until they are in concrete: those that stand out of a wall, and those that point up.

use std::collections::BTreeMap;

use foldhash::HashMap;

use crate::{
    concrete::{LegAt, Sections, Standing},
    geometry::{
        Spot,
        distance::{Segment, nearest},
    },
    holes::Set,
    job::Job,
    plan::Plan,
    schema::BlockId,
    steel::{BarsMade, Line, lines},
    units::Length,
};

/// An end points up where it rises by more than half of the way it goes: more than 30 degrees.
const UP: f64 = 0.5;

/// What is nearer than two bars of usual size lies beside it: 40 mm, in nanometres.
const BESIDE: f64 = 40e6;

/// The free ends of the bars of one block.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ends {
    /// The bars.
    pub bars: BlockId,
    /// How many ends.
    pub count: u64,
    /// They point up; else they stand out of a wall.
    pub up: bool,
    /// Level of the lowest.
    pub low: Length,
    /// Level of the highest.
    pub high: Length,
    /// The steps that set or place them.
    pub from: Vec<BlockId>,
    /// The step after which all of them are in concrete; none where one of them stays out.
    pub until: Option<BlockId>,
}

/// What is known of ends of one sort while they are counted.
#[derive(Debug, Clone, Copy)]
struct Found {
    count: u64,
    low: Length,
    high: Length,
    /// The place in the order of work of the last step that pours over one; none where one stays out.
    until: Option<usize>,
}

/// All free ends, in the order the bars are written; the ends that point up and those that stand out apart.
#[must_use]
pub fn ends(
    job: &Job,
    standing: &Standing,
    sections: &Sections,
    sets: &BTreeMap<BlockId, Set>,
    bars: &[BarsMade],
    plan: &Plan,
) -> Vec<Ends> {
    let pouring = Pouring::new(job, sections, plan);
    let mut out = Vec::new();
    for made in bars {
        let set = job.bars_of(made.id).and_then(|bars| bars.say.holes).and_then(|holes| sets.get(&holes.value.0));
        let mut found: [Option<Found>; 2] = [None, None];
        for line in made.groups.iter().flat_map(|group| lines(made, group, set, standing)) {
            for (up, level) in open(&line, set.is_some()) {
                let until = pouring.over(line.on, line.station, level);
                let one = found[usize::from(up)].get_or_insert(Found { count: 0, low: level, high: level, until });
                one.count = one.count.saturating_add(1);
                (one.low, one.high) = (one.low.min(level), one.high.max(level));
                one.until = one.until.zip(until).map(|(one, other)| one.max(other));
            }
        }
        for (up, found) in [false, true].into_iter().zip(found) {
            let Some(Found { count, low, high, until }) = found else { continue };
            let from = pouring.handled.get(&made.id).cloned().unwrap_or_default();
            let until = until.and_then(|place| plan.order.get(place)).copied();
            out.push(Ends { bars: made.id, count, up, low, high, from, until });
        }
    }
    out
}

/// The free ends of a bar: whether each points up, and its level. The other end of a dowel is in its hole, and the tail of a closed
/// tie lies under its own top: nobody falls on it.
fn open(line: &Line, dowel: bool) -> impl Iterator<Item = (bool, Length)> {
    let vertices = &line.walk.vertices;
    let last = vertices.len().checked_sub(2).and_then(|at| Some((vertices.get(at)?, vertices.last()?)));
    let first = vertices.get(1).zip(vertices.first()).filter(|_| !dowel);
    let ends = [last, first].into_iter().flatten().filter(|(_, end)| !is_under(end, vertices));
    let all = ends.map(|(before, end)| (rise(before, end) > UP, Length::round_nm(end.height)));
    let all: Vec<(bool, Length)> = all.filter(|(up, _)| dowel || *up).collect();
    all.into_iter()
}

/// Whether the bar itself passes over its end.
fn is_under(end: &Spot, vertices: &[Spot]) -> bool {
    let place = |spot: &Spot| [spot.plan.x, spot.plan.y, spot.height];
    let above = |height: f64| [end.plan.x, end.plan.y, height];
    let highest = vertices.iter().map(|spot| spot.height).fold(end.height, f64::max);
    let up = Segment { from: above(end.height + BESIDE), to: above(highest) };
    let passes = |pair: &[Spot]| match pair {
        [one, other] => nearest(&up, &Segment { from: place(one), to: place(other) }).distance < BESIDE,
        _ => false,
    };
    up.from[2] < up.to[2] && vertices.windows(2).any(passes)
}

/// How much of the way from one spot to the other goes up.
fn rise(from: &Spot, to: &Spot) -> f64 {
    let (x, y, up) = (to.plan.x - from.plan.x, to.plan.y - from.plan.y, to.height - from.height);
    let way = (x * x + y * y + up * up).sqrt();
    if way > 0.0 { up / way } else { 0.0 }
}

/// A section on one leg: where it is, and when it is poured.
#[derive(Debug, Clone, Copy)]
struct Poured {
    start: Length,
    end: Length,
    bottom: Length,
    top: Length,
    /// The place in the order of work of the step that pours it.
    place: usize,
    /// The farthest end of this one and of all before it.
    farthest: Length,
}

/// Which step pours concrete where, and which ones handle which bars.
struct Pouring {
    /// The sections on each leg, by where they start.
    on: HashMap<LegAt, Vec<Poured>>,
    /// The steps that set or place each block of bars, in order.
    handled: HashMap<BlockId, Vec<BlockId>>,
}

impl Pouring {
    fn new(job: &Job, sections: &Sections, plan: &Plan) -> Pouring {
        let mut handled: HashMap<BlockId, Vec<BlockId>> = HashMap::default();
        let mut poured: HashMap<BlockId, usize> = HashMap::default();
        for (place, id) in plan.order.iter().enumerate() {
            for work in job.step(*id).into_iter().flat_map(|step| &step.say.work.0) {
                for thing in &work.things {
                    match work.verb {
                        "set" | "place" => {
                            let steps = handled.entry(thing.value).or_default();
                            if steps.last() != Some(id) {
                                steps.push(*id);
                            }
                        }
                        "pour" => _ = poured.insert(thing.value, place),
                        _ => {}
                    }
                }
            }
        }
        let fills = job.pours.iter().filter_map(|pour| Some((&pour.say.fill, *poured.get(&pour.id)?)));
        let filled: HashMap<BlockId, usize> =
            fills.flat_map(|(fill, place)| fill.iter().map(move |section| (section.value.0, place))).collect();
        let mut on: HashMap<LegAt, Vec<Poured>> = HashMap::default();
        for placed in &sections.placed {
            let Some(place) = filled.get(&placed.id) else { continue };
            for part in &placed.intervals {
                let (bottom, top, place) = (placed.bottom, placed.top, *place);
                let one = Poured { start: part.start, end: part.end, bottom, top, place, farthest: part.end };
                on.entry(part.on).or_default().push(one);
            }
        }
        for all in on.values_mut() {
            all.sort_unstable_by_key(|one| (one.start, one.end, one.bottom, one.top, one.place));
            let mut farthest = Length::ZERO;
            for one in all {
                farthest = farthest.max(one.end);
                one.farthest = farthest;
            }
        }
        Pouring { on, handled }
    }

    /// The place in the order of work of the step that pours over this place; none where nothing is poured there.
    fn over(&self, on: LegAt, station: Length, level: Length) -> Option<usize> {
        let all = self.on.get(&on)?;
        let before = all.get(..all.partition_point(|one| one.start <= station))?;
        let near = before.iter().rev().take_while(|one| station <= one.farthest);
        let here = near.filter(|one| station <= one.end && one.bottom <= level && level <= one.top);
        here.map(|one| one.place).min()
    }
}

//! Holes as they were really drilled: what is around those that came out otherwise, what they come too near, and how wide the
//! gaps of their rows are. A hole that is as planned is not looked at again, and no hole's number ever changes.

mod as_is;
mod numbers;

use std::collections::BTreeMap;

use super::{
    Around, Obstacles,
    around::around_each,
    layout::{Axis, Hole, Level, Row, Set, bar_spacing},
    resin::annulus,
};
use crate::{
    concrete::{Sections, Standing},
    facts::{DoneHole, Facts},
    geometry::distance::{Segment, near_pairs_between, nearest},
    job::Job,
    schema::{BlockId, Direction, Spacing},
    source::Span,
    units::{Length, System, Volume},
};

pub use numbers::enter_done;

/// A hole that is not as it was planned.
#[derive(Debug, Clone)]
pub struct Drilled {
    /// Its block.
    pub set: BlockId,
    /// As planned.
    pub hole: Hole,
    /// What was recorded.
    pub fact: DoneHole,
    /// As it is: where the bar goes in; none if it is left empty.
    pub now: Option<Hole>,
    /// How wide it is.
    pub wide: Length,
    /// How deep it is.
    pub deep: Length,
    /// What is around it as it is; none if it is left empty.
    pub around: Option<Around>,
    /// The hole it comes too near, where it was not so planned.
    pub near: Option<Near>,
    /// What it was to keep away from and does not any more.
    pub in_the_way: Option<BlockId>,
    /// Of one left empty, with a bar planned in it: where another may be drilled, in its row.
    pub beside: Option<Beside>,
}

/// The nearest of the holes a hole comes too near.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Near {
    /// The other hole, as planned.
    pub other: (BlockId, Hole),
    /// The other is left empty.
    pub empty: bool,
    /// How near their axes come.
    pub apart: Length,
    /// How far apart they should be.
    pub wanted: Length,
    /// Half the width of both: nearer than that they run into each other.
    pub reach: Length,
}

/// Where a hole may be drilled in place of one that is left empty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beside {
    /// How far from the empty one at least.
    pub least: Length,
    /// A place that is far enough from all of its row and leaves no gap too wide: which way, and how far.
    pub place: Option<(Direction, Length)>,
}

/// Two holes of a row that are further apart than its `space` lets them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RowGap {
    /// The block.
    pub set: BlockId,
    /// The hole before the gap, as planned.
    pub from: Hole,
    /// The hole after it.
    pub to: Hole,
    /// How wide it is.
    pub gap: Length,
    /// How wide it may be.
    pub widest: Length,
    /// Where the hole is recorded that made it.
    pub at: Span,
}

/// What cannot be of a recorded hole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DoneTrouble {
    /// There is no hole of this number.
    NotThere {
        /// The block.
        set: BlockId,
        /// The number.
        number: u64,
        /// How many it has.
        count: u64,
        /// Where.
        at: Span,
    },
    /// A hole in a face moves left, right, up or down; one in a top left, right, out or in.
    WrongWay {
        /// It goes into a face.
        face: bool,
        /// Where the way is written.
        at: Span,
    },
}

/// What came of the holes.
#[derive(Debug, Clone, Default)]
pub struct HolesDone {
    /// Those that are not as planned, by block and number.
    pub drilled: Vec<Drilled>,
    /// Gaps wider than planned.
    pub gaps: Vec<RowGap>,
    /// What cannot be.
    pub troubles: Vec<DoneTrouble>,
    /// The resin that fills the holes as they are, nothing wasted, by block; only where it differs from the plan.
    pub resin: BTreeMap<BlockId, Volume>,
    /// The holes as they are, by block; only where some are left empty or were moved.
    sets: BTreeMap<BlockId, Set>,
}

impl HolesDone {
    /// What came of one hole, if it is not as planned.
    #[must_use]
    pub fn find(&self, set: BlockId, number: u64) -> Option<&Drilled> {
        let at = self.drilled.binary_search_by_key(&(set, number), |one| (one.set, one.hole.number)).ok()?;
        self.drilled.get(at)
    }
}

/// What came of the holes of a job.
#[must_use]
pub fn as_done(
    job: &Job,
    standing: &Standing,
    sections: &Sections,
    obstacles: &Obstacles,
    sets: &BTreeMap<BlockId, Set>,
    facts: &Facts,
) -> HolesDone {
    let mut out = HolesDone::default();
    for (id, holes) in &facts.holes {
        // Why rows have no holes at all is told where they are laid out.
        let Some(set) = sets.get(id).filter(|set| set.count > 0) else { continue };
        for (number, fact) in holes {
            let Some(hole) = set.hole(*number) else {
                let (set, count) = (*id, set.count);
                out.troubles.push(DoneTrouble::NotThere { set, number: *number, count, at: fact.on.at });
                continue;
            };
            out.drilled.extend(drilled(set, hole, fact, &mut out.troubles));
        }
    }
    if out.drilled.is_empty() {
        return out;
    }
    let alone: Vec<Option<Set>> = out.drilled.iter().map(|one| sets.get(&one.set)?.as_drilled(one)).collect();
    let mut around = around_each(job, standing, sections, alone.iter().flatten()).into_iter();
    for (one, alone) in out.drilled.iter_mut().zip(&alone) {
        let Some(alone) = alone else { continue };
        one.around = around.next();
        one.in_the_way = in_the_way(job, obstacles, sets, one, alone);
    }
    near(standing, sets, &alone, &mut out.drilled);
    let rows = touched(job, sets, &out);
    out.gaps = rows.values().flat_map(Touched::gaps).collect();
    for one in &mut out.drilled {
        let first = sets.get(&one.set).and_then(|set| set.row_of(one.hole.number)).map(|row| row.first_number);
        let in_row = first.and_then(|first| rows.get(&(one.set, first)));
        one.beside = in_row.and_then(|in_row| beside(job, obstacles, in_row, one));
    }
    for mine in out.drilled.chunk_by(|one, other| one.set == other.set) {
        let Some((id, set)) = mine.first().and_then(|one| sets.get_key_value(&one.set)) else { continue };
        out.sets.extend(as_is::as_is(set, mine).map(|set| (*id, set)));
        let Some(bar) = set.bar else { continue };
        let as_planned = set.count.saturating_sub(mine.len() as u64);
        let planned = annulus(set.wide, bar, set.deep) * i64::try_from(as_planned).unwrap_or(i64::MAX);
        let there = mine.iter().filter(|one| one.now.is_some());
        let other: Volume = there.map(|one| annulus(one.wide, bar, one.deep)).sum();
        out.resin.insert(*id, planned + other);
    }
    out
}

/// A hole that is not as planned; nothing if it is.
fn drilled(set: &Set, hole: Hole, fact: &DoneHole, troubles: &mut Vec<DoneTrouble>) -> Option<Drilled> {
    let (wide, deep) = (fact.wide.unwrap_or(set.wide), fact.deep.unwrap_or(set.deep));
    let mut now = hole;
    for step in &fact.moved {
        let face = set.axis == Axis::Face;
        match (step.direction, &mut now.level) {
            (Direction::Right, _) => now.station += step.length,
            (Direction::Left, _) => now.station = now.station - step.length,
            (Direction::Up, Level::Height(level)) | (Direction::Out, Level::Offset(level)) => *level += step.length,
            (Direction::Down, Level::Height(level)) | (Direction::In, Level::Offset(level)) => {
                *level = *level - step.length;
            }
            _ => {
                troubles.push(DoneTrouble::WrongWay { face, at: step.span });
                return None;
            }
        }
    }
    let lost = fact.is_lost();
    if !lost && fact.hit.is_none() && now == hole && (wide, deep) == (set.wide, set.deep) {
        return None;
    }
    Some(Drilled {
        set: set.id,
        hole,
        fact: fact.clone(),
        now: (!lost).then_some(now),
        wide,
        // A hole left empty is as deep as it went.
        deep: if lost { fact.hit.or(fact.deep).unwrap_or(Length::ZERO) } else { deep },
        around: None,
        near: None,
        in_the_way: None,
        beside: None,
    })
}

impl Set {
    /// The hole of this number.
    #[must_use]
    pub fn hole(&self, number: u64) -> Option<Hole> {
        self.row_of(number).and_then(|row| row.hole(number - row.first_number))
    }

    /// The row the hole of this number is in.
    fn row_of(&self, number: u64) -> Option<&Row> {
        let after = self.rows.partition_point(|row| row.first_number <= number);
        let row = self.rows.get(after.checked_sub(1)?)?;
        (number - row.first_number < row.places.count()).then_some(row)
    }

    /// A set of this one hole, as it is; none if it is left empty.
    fn as_drilled(&self, one: &Drilled) -> Option<Set> {
        Some(self.alone(one.now?, one.wide, one.deep, self.row_of(one.hole.number)?))
    }

    fn alone(&self, hole: Hole, wide: Length, deep: Length, row: &Row) -> Set {
        Set {
            id: self.id,
            into: self.into,
            axis: self.axis,
            tilt: self.tilt,
            wide,
            deep,
            bar: self.bar,
            rows: vec![as_is::alone(row, hole)],
            count: 1,
        }
    }
}

/// What a hole was to keep away from and does not any more.
fn in_the_way(
    job: &Job,
    obstacles: &Obstacles,
    sets: &BTreeMap<BlockId, Set>,
    one: &Drilled,
    alone: &Set,
) -> Option<BlockId> {
    let set = sets.get(&one.set)?;
    let (planned, row) = (set.row_of(one.hole.number)?, alone.rows.first()?);
    let station = one.now?.station;
    let avoids = &job.holes_of(one.set)?.say.avoid.0;
    let hits = |set: &Set, row: &Row, at: Length, thing: BlockId, by: Length| {
        let here = obstacles.on(row.on).iter().filter(|obstacle| obstacle.thing == thing);
        here.filter_map(|obstacle| set.barrier(row, obstacle, by)).any(|(from, to)| from < at && at < to)
    };
    let things = avoids.iter().flat_map(|avoid| avoid.things.iter().map(|thing| (thing.value.0, avoid.by.value.0)));
    things
        .filter(|(thing, by)| hits(alone, row, station, *thing, *by))
        .find(|(thing, by)| !hits(set, planned, one.hole.station, *thing, *by))
        .map(|(thing, _)| thing)
}

/// All holes of all sets of the old work, as they are: the set, the hole as planned, its axis, its width, whether it is empty.
struct Axes<'s> {
    holes: Vec<(&'s Set, Hole, Length, bool)>,
    segments: Vec<Segment>,
}

impl<'s> Axes<'s> {
    fn push(&mut self, standing: &Standing, set: &'s Set, hole: Hole, as_is: &Set, empty: bool) {
        let Some(axis) = as_is.rows.first().and_then(|row| as_is.segment(&row.hole(0)?, standing)) else { return };
        self.holes.push((set, hole, as_is.wide, empty));
        self.segments.push(axis);
    }
}

/// Finds for each hole the nearest it comes too near.
fn near(standing: &Standing, sets: &BTreeMap<BlockId, Set>, alone: &[Option<Set>], drilled: &mut [Drilled]) {
    let mut others = Axes { holes: Vec::new(), segments: Vec::new() };
    for (id, set) in sets {
        let changed = |number: u64| drilled.binary_search_by_key(&(*id, number), |one| (one.set, one.hole.number)).ok();
        for hole in set.each() {
            let Some(at) = changed(hole.number) else {
                if let Some(axis) = set.segment(&hole, standing) {
                    others.holes.push((set, hole, set.wide, false));
                    others.segments.push(axis);
                }
                continue;
            };
            let (Some(one), Some(alone), Some(row)) = (drilled.get(at), alone.get(at), set.row_of(hole.number)) else {
                continue;
            };
            if let Some(alone) = alone {
                others.push(standing, set, hole, alone, false);
            }
            // What was begun and left stays a hole.
            let begun = one.fact.hit.or(alone.is_none().then_some(one.deep)).filter(|deep| *deep > Length::ZERO);
            if let Some(deep) = begun {
                others.push(standing, set, hole, &set.alone(one.hole, one.wide, deep, row), true);
            }
        }
    }
    let room = |set: &Set| set.bar.map_or(Length::ZERO, bar_spacing);
    let widest = sets.values().map(|set| room(set).max(empty_room(set.wide))).max().unwrap_or_default();
    let widest = drilled.iter().map(|one| empty_room(one.wide)).max().unwrap_or_default().max(widest);
    let mine: Vec<(usize, Segment)> = alone
        .iter()
        .enumerate()
        .filter_map(|(at, set)| {
            let set = set.as_ref()?;
            Some((at, set.segment(&set.rows.first()?.hole(0)?, standing)?))
        })
        .collect();
    let segments: Vec<Segment> = mine.iter().map(|(_, segment)| *segment).collect();
    for pair in near_pairs_between(&segments, &others.segments, widest.nm() as f64) {
        let Some((at, segment)) = mine.get(pair.first as usize) else { continue };
        let (Some(one), Some((set, other, wide, empty))) =
            (drilled.get_mut(*at), others.holes.get(pair.second as usize))
        else {
            continue;
        };
        let Some(own) = sets.get(&one.set) else { continue };
        let same = (set.id, other.number) == (one.set, one.hole.number);
        if (same && !*empty) || !same_wall(standing, &one.hole, other) {
            continue;
        }
        let reach = (one.wide + *wide) / 2;
        let wanted =
            if *empty { empty_room(*wide).max(empty_room(one.wide)) } else { room(own).max(room(set)).max(reach) };
        let apart =
            Length::round_nm(nearest(segment, others.segments.get(pair.second as usize).unwrap_or(segment)).distance);
        let planned = own.segment(&one.hole, standing).zip(set.segment(other, standing));
        let was = planned.map(|(one, other)| Length::round_nm(nearest(&one, &other).distance));
        let new = *empty || was.is_none_or(|was| apart < was);
        if apart < wanted && new && one.near.is_none_or(|best| apart - best.wanted < best.apart - wanted) {
            one.near = Some(Near { other: (set.id, *other), empty: *empty, apart, wanted, reach });
        }
    }
}

/// How far a new hole stays from an empty one, from axis to axis: three bores (common practice, no source).
fn empty_room(wide: Length) -> Length {
    wide * 3
}

fn same_wall(standing: &Standing, one: &Hole, other: &Hole) -> bool {
    let wall = |hole: &Hole| standing.leg_ref(hole.on).map(|leg| leg.wall);
    wall(one) == wall(other)
}

/// A row with holes that are not as planned.
struct Touched<'s> {
    set: &'s Set,
    row: &'s Row,
    /// The widest gap its spacing allows, or its plan has; none where places are listed.
    widest: Option<Length>,
    /// The holes that are there, by where they are: as planned, and the station.
    there: Vec<(Hole, Length)>,
    /// Where recorded holes are and were, and where that is written.
    recorded: Vec<(Length, Span)>,
}

/// The rows that holes not as planned are in, by block and place in it.
fn touched<'s>(job: &Job, sets: &'s BTreeMap<BlockId, Set>, done: &HolesDone) -> BTreeMap<(BlockId, u64), Touched<'s>> {
    let mut out = BTreeMap::new();
    for one in &done.drilled {
        let Some((set, row)) = sets.get(&one.set).and_then(|set| Some((set, set.row_of(one.hole.number)?))) else {
            continue;
        };
        out.entry((set.id, row.first_number)).or_insert_with(|| Touched::new(job, set, row, done));
    }
    out
}

impl<'s> Touched<'s> {
    fn new(job: &Job, set: &'s Set, row: &'s Row, done: &HolesDone) -> Touched<'s> {
        let said = job.holes_of(set.id).and_then(|holes| match &holes.say.space {
            Spacing::AtMost(widest) | Spacing::Every(widest) => Some(widest.value),
            Spacing::At(_) => None,
        });
        let planned = (1..row.places.count()).map(|at| row.places.at(at) - row.places.at(at - 1)).max();
        let widest = said.map(|said| planned.map_or(said, |planned| planned.max(said)));
        let (mut there, mut recorded) = (Vec::new(), Vec::new());
        for hole in (0..row.places.count()).filter_map(|at| row.hole(at)) {
            let Some(one) = done.find(set.id, hole.number) else {
                there.push((hole, hole.station));
                continue;
            };
            recorded.push((hole.station, one.fact.on.at));
            if let Some(now) = one.now {
                recorded.push((now.station, one.fact.on.at));
                there.push((hole, now.station));
            }
        }
        there.sort_by_key(|(hole, station)| (*station, hole.number));
        recorded.sort_unstable();
        Touched { set, row, widest, there, recorded }
    }

    /// The gaps that holes left empty or moved have made too wide.
    fn gaps(&self) -> impl Iterator<Item = RowGap> {
        self.there.windows(2).filter_map(|pair| {
            let [(from, start), (to, end)] = pair else { return None };
            let (gap, widest) = (*end - *start, self.widest?);
            let first = self.recorded.partition_point(|(station, _)| station < start);
            let (_, at) = self.recorded.get(first).filter(|(station, _)| station <= end)?;
            (gap > widest).then_some(RowGap { set: self.set.id, from: *from, to: *to, gap, widest, at: *at })
        })
    }

    /// The holes on both sides of a station.
    fn neighbours(&self, station: Length) -> [Option<Length>; 2] {
        let after = self.there.partition_point(|(_, at)| *at <= station);
        let before = self.there.partition_point(|(_, at)| *at < station).checked_sub(1);
        [before.and_then(|before| self.there.get(before)), self.there.get(after)].map(|hole| hole.map(|(_, at)| *at))
    }
}

/// Where another hole may be drilled in place of one that is left empty.
fn beside(job: &Job, obstacles: &Obstacles, in_row: &Touched, one: &Drilled) -> Option<Beside> {
    if one.now.is_some() {
        return None;
    }
    let (set, row) = (in_row.set, in_row.row);
    let room = bar_spacing(set.bar?);
    let step = match job.system() {
        System::Feet => Length::INCH / 4,
        System::Metric => Length::MILLIMETRE * 5,
    };
    let whole = empty_room(one.wide).nm().saturating_add(step.nm() - 1).div_euclid(step.nm());
    let least = step * whole;
    let at = one.hole.station;
    let neighbours = in_row.neighbours(at);
    let clear = |place: Length| {
        let here = obstacles.on(row.on);
        let avoids = job.holes_of(one.set).into_iter().flat_map(|holes| &holes.say.avoid.0);
        let mut barriers = avoids.flat_map(|avoid| {
            let things = here.iter().filter(|it| avoid.things.iter().any(|name| name.value.0 == it.thing));
            things.filter_map(|obstacle| set.barrier(row, obstacle, avoid.by.value.0))
        });
        !barriers.any(|(from, to)| from < place && place < to)
    };
    let fits = |place: Length| {
        let inside = row.stretch.start <= place && place <= row.stretch.end;
        let fits = neighbours.iter().flatten().all(|other| {
            let apart = (*other - place).abs();
            apart >= room && in_row.widest.is_none_or(|widest| apart <= widest)
        });
        inside && fits && clear(place)
    };
    let place = [(Direction::Right, at + least), (Direction::Left, at - least)].into_iter().find(|(_, at)| fits(*at));
    Some(Beside { least, place: place.map(|(way, _)| (way, least)) })
}

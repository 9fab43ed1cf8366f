//! Rows along stretches, and where their holes lie.

use std::collections::BTreeMap;

use super::{
    avoid::{Wanted, nearest, united},
    obstacles::{Footprint, Obstacle, Obstacles, Surface, half_up},
    places::{Places, Spaced},
};
use crate::{
    concrete::{Interval, LegAt, Sections, Standing},
    geometry::distance::{Place, Segment},
    job::{Job, Thing},
    schema::{BlockId, Direction, Holes, KindId, Said, Spacing, Stretch, StretchPart, Target},
    source::Span,
    standards::anchors,
    units::Length,
};

/// Which way holes are drilled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Axis {
    /// Into a face, level.
    Face,
    /// Into a top or a floor, downwards from this level.
    Down(Length),
}

/// A row's own measure: a level on a face, a distance from the face in a top.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// A level.
    Height(Length),
    /// A distance out of the old face.
    Offset(Length),
}

/// How a hole leans from square to the surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tilt {
    /// By how many degrees.
    pub degrees: f64,
    /// Which way it goes on its way in.
    pub way: Direction,
}

/// The steepest a hole may lean: beyond that a drill only slides over the surface (common practice, no source).
pub const STEEPEST: f64 = 60.0;

/// One row on one stretch.
#[derive(Debug, Clone)]
pub struct Row {
    /// The leg it is on.
    pub on: LegAt,
    /// Which row of its block, from 1.
    pub row: u16,
    /// Its level or offset.
    pub level: Level,
    /// Its stretch.
    pub stretch: Interval,
    /// Its places.
    pub places: Places,
    /// The number of its first hole in its set, from 1.
    pub first_number: u64,
}

impl Row {
    /// The hole at this place of the row, from 0.
    #[must_use]
    pub fn hole(&self, at: u64) -> Option<Hole> {
        (at < self.places.count()).then(|| Hole {
            number: self.first_number + at,
            on: self.on,
            row: self.row,
            station: self.places.at(at),
            level: self.level,
        })
    }
}

/// All holes of one block.
#[derive(Debug, Clone)]
pub struct Set {
    /// The block.
    pub id: BlockId,
    /// What they go into.
    pub into: Target,
    /// Which way.
    pub axis: Axis,
    /// How they lean.
    pub tilt: Option<Tilt>,
    /// Width of each.
    pub wide: Length,
    /// Depth of each, along its axis.
    pub deep: Length,
    /// Nominal diameter of the bars set in them.
    pub bar: Option<Length>,
    /// The rows, by leg, row and station.
    pub rows: Vec<Row>,
    /// How many holes.
    pub count: u64,
}

/// One hole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hole {
    /// Its number in its set, from 1.
    pub number: u64,
    /// The leg.
    pub on: LegAt,
    /// The row, from 1.
    pub row: u16,
    /// The station on the leg.
    pub station: Length,
    /// The level or offset.
    pub level: Level,
}

impl Set {
    /// The holes in the order of their numbers.
    pub fn each(&self) -> impl Iterator<Item = Hole> + '_ {
        self.rows.iter().flat_map(|row| (0..row.places.count()).filter_map(|at| row.hole(at)))
    }

    /// The axis of a hole in plan space, from its mouth to its bottom.
    #[must_use]
    pub fn segment(&self, hole: &Hole, standing: &Standing) -> Option<Segment> {
        let (mouth, way) = self.aim(hole, standing)?;
        let deep = self.deep.nm() as f64;
        let [x, y, z] = mouth;
        Some(Segment { from: mouth, to: [x + way[0] * deep, y + way[1] * deep, z + way[2] * deep] })
    }

    /// The mouth of a hole in plan space, and the unit vector that goes into it.
    #[must_use]
    pub fn aim(&self, hole: &Hole, standing: &Standing) -> Option<(Place, Place)> {
        let frame = standing.chain(hole.on)?.run.frame(hole.on.leg as usize)?;
        let station = hole.station.nm() as f64;
        let (along, out) = (frame.along, frame.outward());
        let (mouth, square): (Place, Place) = match (self.axis, hole.level) {
            (Axis::Face, Level::Height(height)) => {
                let mouth = frame.at(station, 0.0);
                ([mouth.x, mouth.y, height.nm() as f64], [-out.x, -out.y, 0.0])
            }
            (Axis::Down(top), Level::Offset(offset)) => {
                let mouth = frame.at(station, offset.nm() as f64);
                ([mouth.x, mouth.y, top.nm() as f64], [0.0, 0.0, -1.0])
            }
            _ => return None,
        };
        let Some(tilt) = self.tilt else { return Some((mouth, square)) };
        let aside: Place = match tilt.way {
            Direction::Up => [0.0, 0.0, 1.0],
            Direction::Down => [0.0, 0.0, -1.0],
            Direction::Left => [-along.x, -along.y, 0.0],
            Direction::Right => [along.x, along.y, 0.0],
            Direction::Out => [out.x, out.y, 0.0],
            Direction::In => [-out.x, -out.y, 0.0],
        };
        let (sin, cos) = tilt.degrees.to_radians().sin_cos();
        let way = [0, 1, 2].map(|at: usize| square[at] * cos + aside[at] * sin);
        Some((mouth, way))
    }

    /// What the axis of a hole takes up on the surface beside its mouth.
    #[must_use]
    pub fn footprint(&self) -> Footprint {
        let Some(tilt) = self.tilt else { return Footprint::default() };
        let aside = (self.deep.nm() as f64 * tilt.degrees.to_radians().sin()).ceil() as i64;
        match tilt.way {
            Direction::Right => Footprint { along: (0, aside), ..Footprint::default() },
            Direction::Left => Footprint { along: (-aside, 0), ..Footprint::default() },
            Direction::Up | Direction::Out => Footprint { across: (0, aside), ..Footprint::default() },
            Direction::Down | Direction::In => Footprint { across: (-aside, 0), ..Footprint::default() },
        }
    }

    /// The stations of a row at which the bore would come nearer than `by` to what is kept clear round an obstacle: from and
    /// to, neither with them. None if the obstacle is at no station too near.
    #[must_use]
    pub fn barrier(&self, row: &Row, obstacle: &Obstacle, by: Length) -> Option<(Length, Length)> {
        let (Level::Height(level) | Level::Offset(level)) = row.level;
        let reach = obstacle.radius + by + half_up(self.wide);
        let (from, to) = obstacle.barrier(self.surface(), level, self.footprint(), reach.nm())?;
        Some((Length::from_nm(from), Length::from_nm(to)))
    }

    fn surface(&self) -> Surface {
        match self.axis {
            Axis::Face => Surface::Face,
            Axis::Down(_) => Surface::Top,
        }
    }
}

/// What is wrong with rows.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs)]
pub enum RowTrouble {
    /// A row lies outside all of the sections named.
    Outside { at: Span, level: Level, along: Span },
    /// The insets of a stretch cross.
    InsetsCross { at: Span, leg: String, length: Length, insets: Length },
    /// What stands at one place of a row reaches into the next.
    Crowded { at: Span, gap: Length, wide: Length },
    /// A listed place is on no stretch of the row.
    PlaceOff { at: Span, station: Length },
    /// A face takes heights, a top takes offsets.
    WrongMeasure { at: Span, wants: &'static str },
    /// No rows at all.
    NoRows { block: BlockId },
    /// More parts than a job may have.
    TooMany { at: Span, count: u64, limit: u64 },
    /// A row of holes is not in the old work at that level.
    NotInWall { at: Span, leg: String, level: Length, bottom: Length, top: Length },
    /// Holes go into one wall and run along another.
    OtherWall { at: Span },
    /// Holes cannot lean this way, or not by so much.
    Leans { at: Span, face: bool },
    /// A row, or a place that was listed, cannot keep away from something.
    AvoidFails(AvoidFails),
}

/// What a row cannot keep away from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AvoidFails {
    /// Where it is written.
    pub at: Span,
    /// What is in the way.
    pub thing: BlockId,
    /// The leg.
    pub on: LegAt,
    /// The row's level or offset.
    pub level: Level,
    /// The stretch of stations without a place for a hole.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// The widest gap there may be; none for a listed place.
    pub widest: Option<Length>,
}

/// The stretches of a row: the unbroken lengths, on one leg, of the named sections that exist at the row's level; legs
/// that are named themselves exist at every level.
#[must_use]
pub fn stretches(
    job: &Job,
    standing: &mut Standing,
    sections: &Sections,
    along: &Stretch,
    level: Level,
) -> Vec<Interval> {
    let mut all: Vec<Interval> = Vec::new();
    for part in &along.0 {
        if let StretchPart::All(block) = part.value
            && job.section(block).is_some()
        {
            let Some(placed) = sections.find(block) else { continue };
            let there = match level {
                Level::Height(height) => placed.bottom < height && height < placed.top,
                Level::Offset(_) => true,
            };
            if there {
                all.extend(placed.intervals.iter().copied());
            }
            continue;
        }
        let one = Stretch(vec![*part]);
        let runs = standing.resolve(job, &one);
        all.extend(standing.intervals(&runs));
    }
    all.sort_unstable();
    let mut merged: Vec<Interval> = Vec::with_capacity(all.len());
    for next in all {
        match merged.last_mut() {
            Some(last) if last.on == next.on && next.start <= last.end => last.end = last.end.max(next.end),
            _ => merged.push(next),
        }
    }
    merged
}

/// The levels a block's rows are at, or the trouble with them.
fn levels<'j>(holes: &'j Thing<Holes>, axis: Axis, troubles: &mut Vec<RowTrouble>) -> &'j [Said<Length>] {
    let rows = &holes.say.rows;
    let at = holes.said(KindId::Holes, "rows");
    let (wanted, other, wants) = match axis {
        Axis::Face => (&rows.heights, &rows.offsets, "height"),
        Axis::Down(_) => (&rows.offsets, &rows.heights, "offset"),
    };
    match (wanted, other) {
        (_, Some(_)) => {
            troubles.push(RowTrouble::WrongMeasure { at, wants });
            &[]
        }
        (Some(levels), None) => levels,
        (None, None) => {
            troubles.push(RowTrouble::NoRows { block: holes.id });
            &[]
        }
    }
}

/// The nominal diameter of the bars set in each block of holes; of several, the one written first.
#[must_use]
pub fn bars_set(job: &Job) -> BTreeMap<BlockId, Length> {
    let mut set = BTreeMap::new();
    for bars in &job.bars {
        if let (Some(holes), Some(steel)) = (bars.say.holes, job.steel(bars.say.size.0)) {
            set.entry(holes.value.0).or_insert(steel.say.diameter.0);
        }
    }
    set
}

/// Lays out the holes of one block; none if its target is not known. `bar` is the nominal diameter of the bars set in them.
#[expect(clippy::too_many_arguments, reason = "a hole hangs on all that stands before it")]
pub fn lay_out(
    job: &Job,
    standing: &mut Standing,
    sections: &Sections,
    obstacles: &Obstacles,
    holes: &Thing<Holes>,
    bar: Option<Length>,
    limit: u64,
    troubles: &mut Vec<RowTrouble>,
) -> Option<Set> {
    let into = holes.say.into.value;
    let axis = axis(job, standing, into)?;
    let inset_at = holes.said(KindId::Holes, "inset");
    let along_at = holes.said(KindId::Holes, "along");
    let space_at = holes.said(KindId::Holes, "space");
    let mut set = Set {
        id: holes.id,
        into,
        axis,
        tilt: tilt(holes, axis, troubles),
        wide: holes.say.bore.wide.0,
        deep: holes.say.bore.deep.value.0,
        bar,
        rows: Vec::new(),
        count: 0,
    };
    for (number, said) in levels(holes, axis, troubles).iter().enumerate() {
        let level = match axis {
            Axis::Face => Level::Height(said.value),
            Axis::Down(_) => Level::Offset(said.value),
        };
        let mut all = stretches(job, standing, sections, &holes.say.along, level);
        if !into.top {
            let wall = all.iter().any(|one| standing.leg_ref(one.on).map(|leg| leg.wall) != Some(into.block));
            if wall {
                troubles.push(RowTrouble::OtherWall { at: along_at });
                return None;
            }
        }
        if let (Some(leg), false) = (into.leg, into.top) {
            all.retain(|one| standing.leg_ref(one.on).is_some_and(|at| at.leg == leg));
        }
        if all.is_empty() {
            troubles.push(RowTrouble::Outside { at: said.span, level, along: along_at });
            continue;
        }
        let by =
            Spaced { space: &holes.say.space, inset: holes.say.inset.as_ref(), wide: set.wide, space_at, inset_at };
        let row = u16::try_from(number + 1).unwrap_or(u16::MAX);
        let staggered = holes.say.rows.staggered.is_some() && number % 2 == 1;
        let mut spacer = by.row();
        for stretch in all {
            if !in_old_work(standing, &set, stretch, said, troubles) {
                continue;
            }
            let Some(places) = spacer.places(standing, stretch, staggered, troubles) else { continue };
            let mut made = Row { on: stretch.on, row, level, stretch, places, first_number: 0 };
            if set.count.saturating_add(made.places.count()) <= limit {
                made = Nominal { holes, row: made }.out_of_the_way(&set, obstacles, troubles);
            }
            set.count = set.count.saturating_add(made.places.count());
            if set.count > limit {
                troubles.push(RowTrouble::TooMany { at: space_at, count: set.count, limit });
                return None;
            }
            set.rows.push(made);
        }
        spacer.finish(troubles);
    }
    // Numbers run by leg, row, station, whatever order the rows were written in.
    set.rows.sort_by_key(|row| (row.on, row.row, row.stretch.start));
    let mut next = 1;
    for row in &mut set.rows {
        row.first_number = next;
        next += row.places.count();
    }
    Some(set)
}

/// How the holes of a block lean; not at all, with a trouble, if they cannot.
fn tilt(holes: &Thing<Holes>, axis: Axis, troubles: &mut Vec<RowTrouble>) -> Option<Tilt> {
    let said = holes.say.tilt?;
    let tilt = Tilt { degrees: said.value.value.0.degrees(), way: said.value.word };
    let face = axis == Axis::Face;
    let fits = match tilt.way {
        Direction::Left | Direction::Right => true,
        Direction::Up | Direction::Down => face,
        Direction::Out | Direction::In => !face,
    };
    if fits && tilt.degrees <= STEEPEST {
        return Some(tilt);
    }
    troubles.push(RowTrouble::Leans { at: said.span, face });
    None
}

/// A row as it is spaced, before anything is moved out of the way.
struct Nominal<'j> {
    holes: &'j Thing<Holes>,
    row: Row,
}

impl Nominal<'_> {
    /// The row with its holes moved away from what they avoid; as it is, with a trouble, where that cannot be.
    fn out_of_the_way(self, set: &Set, obstacles: &Obstacles, troubles: &mut Vec<RowTrouble>) -> Row {
        let barriers = self.barriers(set, obstacles);
        if barriers.is_empty() {
            return self.row;
        }
        let merged = united(barriers.iter().map(|(interval, ..)| *interval).collect());
        let fails = |at: Span, (from, to): (i64, i64), widest: Option<Length>| {
            let in_the_way = barriers.iter().find(|((start, end), ..)| *start < to && *end > from);
            in_the_way.map(|(_, obstacle, by_at)| {
                RowTrouble::AvoidFails(AvoidFails {
                    at: if widest.is_some() { *by_at } else { at },
                    thing: obstacle.thing,
                    on: self.row.on,
                    level: self.row.level,
                    from: Length::from_nm(from),
                    to: Length::from_nm(to),
                    widest,
                })
            })
        };
        let inside = |at: Length| merged.iter().find(|(from, to)| *from < at.nm() && at.nm() < *to).copied();
        let widest = match &self.holes.say.space {
            Spacing::At(said) => {
                let places = &self.row.places;
                let here = said.iter().filter(|said| {
                    let at = places.first_from(said.value);
                    at < places.count() && places.at(at) == said.value
                });
                troubles.extend(here.filter_map(|said| fails(said.span, inside(said.value)?, None)));
                return self.row;
            }
            Spacing::AtMost(widest) | Spacing::Every(widest) => widest.value,
        };
        let hit = merged.iter().any(|(from, to)| {
            let first = self.row.places.first_from(Length::from_nm(from.saturating_add(1)));
            first < self.row.places.count() && self.row.places.at(first).nm() < *to
        });
        if !hit {
            return self.row;
        }
        let nominal: Vec<i64> = (0..self.row.places.count()).map(|at| self.row.places.at(at).nm()).collect();
        // A gap as it is written may be a nanometre off on paper already.
        let gaps = || nominal.windows(2).filter_map(|pair| Some(pair.last()? - pair.first()?));
        let least = least_gap(set).nm().min(gaps().min().unwrap_or(i64::MAX)).max(1);
        let most = widest.nm().max(gaps().max().unwrap_or(0));
        match (Wanted { nominal: &nominal, widest: most, least, barriers: &merged }).row() {
            Ok(row) => {
                let from = row.iter().map(|at| Length::from_nm(nearest(&nominal, *at).unwrap_or(*at))).collect();
                let places = Places::Moved { at: row.into_iter().map(Length::from_nm).collect(), from };
                Row { places, ..self.row }
            }
            Err(barrier) => {
                troubles.extend(fails(self.holes.at, barrier, Some(widest)));
                self.row
            }
        }
    }

    /// What is in the way: the open interval of stations, the obstacle, and where it is said to be avoided.
    fn barriers<'o>(&self, set: &Set, obstacles: &'o Obstacles) -> Vec<((i64, i64), &'o Obstacle, Span)> {
        let here = obstacles.on(self.row.on);
        let mut out = Vec::new();
        for avoid in &self.holes.say.avoid.0 {
            for obstacle in here.iter().filter(|it| avoid.things.iter().any(|name| name.value.0 == it.thing)) {
                let barrier = set.barrier(&self.row, obstacle, avoid.by.value.0);
                out.extend(barrier.map(|(from, to)| ((from.nm(), to.nm()), obstacle, avoid.by.span)));
            }
        }
        out
    }
}

/// How far apart bars of this diameter in drilled holes should be, from centre to centre.
#[must_use]
pub fn bar_spacing(bar: Length) -> Length {
    anchors::least_spacing(bar).map_or(Length::ZERO, |worked| worked.value)
}

/// How near to each other holes of a row are moved at most: as near as their bars may stand; without a bar, three bores
/// (common practice, no source).
fn least_gap(set: &Set) -> Length {
    set.bar.map_or(set.wide * 3, bar_spacing)
}

/// Which way holes go into a target.
fn axis(job: &Job, standing: &Standing, into: Target) -> Option<Axis> {
    if !into.top {
        return Some(Axis::Face);
    }
    if let Some(slab) = job.slab(into.block) {
        return Some(Axis::Down(slab.say.top));
    }
    if let Some(section) = job.section(into.block) {
        return Some(Axis::Down(section.say.height.value.to));
    }
    if let Some(wall) = job.wall(into.block) {
        return wall.say.height.map(|height| Axis::Down(height.to));
    }
    let footing = job.footing(into.block)?;
    let wall = standing.chains_of(footing.say.under.0).next()?;
    let leg = LegAt { chain: u32::try_from(wall).ok()?, leg: 0 };
    standing.heights(leg).map(|(bottom, _)| Axis::Down(bottom))
}

/// Whether holes in a face have wall in front of them: the whole bore between the wall's bottom and top.
fn in_old_work(
    standing: &Standing,
    set: &Set,
    stretch: Interval,
    said: &Said<Length>,
    troubles: &mut Vec<RowTrouble>,
) -> bool {
    if set.axis != Axis::Face {
        return true;
    }
    let Some((bottom, top)) = standing.heights(stretch.on) else { return true };
    let half = set.wide / 2;
    if said.value - half >= bottom && said.value + half <= top {
        return true;
    }
    let leg = standing.leg_name(stretch.on).to_owned();
    troubles.push(RowTrouble::NotInWall { at: said.span, leg, level: said.value, bottom, top });
    false
}

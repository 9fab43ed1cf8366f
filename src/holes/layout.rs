//! Rows along stretches: how places are spaced, and where holes lie.

use crate::{
    concrete::{Interval, LegAt, Sections, Standing},
    geometry::distance::Segment,
    job::{Job, Thing},
    schema::{BlockId, Holes, Inset, KindId, Said, Spacing, Stretch, StretchPart, Target},
    source::Span,
    units::{Length, gaps},
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

/// Places in a row: the first, and equal gaps after it; or places that were listed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Places {
    /// `first + k * over / gaps`, for k from 0; halves when staggered.
    Even {
        /// The first place, before any stagger.
        first: Length,
        /// The length the gaps share.
        over: Length,
        /// How many gaps share it.
        gaps: u64,
        /// How many places.
        count: u64,
        /// Half a gap further on.
        staggered: bool,
    },
    /// As listed.
    Listed(Box<[Length]>),
}

impl Places {
    /// How many places.
    #[must_use]
    pub fn count(&self) -> u64 {
        match self {
            Places::Even { count, .. } => *count,
            Places::Listed(all) => all.len() as u64,
        }
    }

    /// The place of this number, from 0: exact, rounded once to whole nanometres.
    #[must_use]
    pub fn at(&self, number: u64) -> Length {
        match self {
            Places::Even { first, over, gaps, staggered, .. } => {
                let half = i128::from(*staggered);
                let twice = i128::from(over.nm()) * (2 * i128::from(number) + half);
                let under = 2 * i128::from((*gaps).max(1));
                let rounded = (2 * twice + under).div_euclid(2 * under);
                *first + Length::from_nm(i64::try_from(rounded).unwrap_or(i64::MAX))
            }
            Places::Listed(all) => usize::try_from(number).ok().and_then(|at| all.get(at)).copied().unwrap_or_default(),
        }
    }

    /// The gap between two neighbours, to the nearest nanometre; none for a list or a single place.
    #[must_use]
    pub fn gap(&self) -> Option<Length> {
        match self {
            Places::Even { over, gaps, count, .. } if *count > 1 => Some(*over / i64::try_from(*gaps).ok()?),
            _ => None,
        }
    }
}

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

/// All holes of one block.
#[derive(Debug)]
pub struct Set {
    /// The block.
    pub id: BlockId,
    /// What they go into.
    pub into: Target,
    /// Which way.
    pub axis: Axis,
    /// Width of each.
    pub wide: Length,
    /// Depth of each.
    pub deep: Length,
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
        self.rows.iter().flat_map(|row| {
            (0..row.places.count()).map(move |at| Hole {
                number: row.first_number + at,
                on: row.on,
                row: row.row,
                station: row.places.at(at),
                level: row.level,
            })
        })
    }

    /// The axis of a hole in plan space, from its mouth to its bottom.
    #[must_use]
    pub fn segment(&self, hole: &Hole, standing: &Standing) -> Option<Segment> {
        let frame = standing.chain(hole.on)?.run.frame(hole.on.leg as usize)?;
        let station = hole.station.nm() as f64;
        let deep = self.deep.nm() as f64;
        Some(match (self.axis, hole.level) {
            (Axis::Face, Level::Height(height)) => {
                let (mouth, bottom) = (frame.at(station, 0.0), frame.at(station, -deep));
                let height = height.nm() as f64;
                Segment { from: [mouth.x, mouth.y, height], to: [bottom.x, bottom.y, height] }
            }
            (Axis::Down(top), Level::Offset(offset)) => {
                let mouth = frame.at(station, offset.nm() as f64);
                let top = top.nm() as f64;
                Segment { from: [mouth.x, mouth.y, top], to: [mouth.x, mouth.y, top - deep] }
            }
            _ => return None,
        })
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
}

/// How one block's places are spaced.
#[derive(Debug, Clone, Copy)]
pub struct Spaced<'j> {
    /// The spacing.
    pub space: &'j Spacing,
    /// The insets.
    pub inset: Option<&'j Inset>,
    /// Where the insets stand, for findings.
    pub at: Span,
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

impl<'j> Spaced<'j> {
    /// The spacing of one row, stretch by stretch.
    pub fn row(self) -> Spacer<'j> {
        Spacer { by: self, used: vec![false; listed(self.space).len()] }
    }
}

/// Spaces one row, and knows which of its listed places no stretch took.
#[derive(Debug)]
pub struct Spacer<'j> {
    by: Spaced<'j>,
    used: Vec<bool>,
}

impl Spacer<'_> {
    /// The places of the row on one stretch; none if there are none, with a trouble if that is a fault.
    pub fn places(
        &mut self,
        standing: &Standing,
        stretch: Interval,
        staggered: bool,
        troubles: &mut Vec<RowTrouble>,
    ) -> Option<Places> {
        let Spacing::At(stations) = self.by.space else {
            return spaced(standing, stretch, self.by, staggered, troubles);
        };
        let mut on = Vec::new();
        for (station, used) in stations.iter().zip(&mut self.used) {
            if (stretch.start..=stretch.end).contains(&station.value) {
                *used = true;
                on.push(station.value);
            }
        }
        (!on.is_empty()).then(|| Places::Listed(on.into()))
    }

    /// Says which of the listed places are on no stretch of the row.
    pub fn finish(self, troubles: &mut Vec<RowTrouble>) {
        for (station, _) in listed(self.by.space).iter().zip(&self.used).filter(|(_, used)| !**used) {
            troubles.push(RowTrouble::PlaceOff { at: station.span, station: station.value });
        }
    }
}

/// Places on one stretch, reckoned from its ends. None, with a trouble, if the insets cross.
///
/// `at most X` takes the least number of equal gaps none of which is larger, `every X` steps from the first.
fn spaced(
    standing: &Standing,
    stretch: Interval,
    by: Spaced,
    staggered: bool,
    troubles: &mut Vec<RowTrouble>,
) -> Option<Places> {
    let (before, after) = insets(standing, stretch, by.inset);
    let (first, last) = (stretch.start + before, stretch.end - after);
    if first > last {
        troubles.push(RowTrouble::InsetsCross {
            at: by.at,
            leg: standing.leg_name(stretch.on).to_owned(),
            length: stretch.end - stretch.start,
            insets: before + after,
        });
        return None;
    }
    let clear = last - first;
    let (over, count_of_gaps) = match by.space {
        Spacing::AtMost(most) => (clear, gaps(clear, most.value)?),
        Spacing::Every(gap) => {
            let whole = u64::try_from(clear.nm().checked_div(gap.value.nm())?).ok()?;
            (gap.value * i64::try_from(whole).ok()?, whole)
        }
        Spacing::At(_) => return None,
    };
    let staggered = staggered && count_of_gaps > 0;
    let count = if staggered { count_of_gaps } else { count_of_gaps + 1 };
    Some(Places::Even { first, over, gaps: count_of_gaps, count, staggered })
}

/// How far the first and the last place stay from the ends of a stretch.
pub(super) fn insets(standing: &Standing, stretch: Interval, inset: Option<&Inset>) -> (Length, Length) {
    let Some(inset) = inset else { return (Length::ZERO, Length::ZERO) };
    let both = inset.both.map(|both| both.value.0);
    let corner = |end: bool| {
        let at_end = if end { stretch.end == standing.length(stretch.on) } else { stretch.start == Length::ZERO };
        (at_end && standing.at_corner(stretch.on, end)).then(|| inset.at_corners.map(|corner| corner.value.0)).flatten()
    };
    let side = |end: bool, own: Option<Length>| corner(end).or(own).or(both).unwrap_or(Length::ZERO);
    (side(false, inset.at_start.map(|start| start.value.0)), side(true, inset.at_end.map(|end| end.value.0)))
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

/// Lays out the holes of one block; none if its target is not known.
pub fn lay_out(
    job: &Job,
    standing: &mut Standing,
    sections: &Sections,
    holes: &Thing<Holes>,
    limit: u64,
    troubles: &mut Vec<RowTrouble>,
) -> Option<Set> {
    let into = holes.say.into.value;
    let axis = axis(job, standing, into)?;
    let inset_at = holes.said(KindId::Holes, "inset");
    let along_at = holes.said(KindId::Holes, "along");
    let mut set = Set {
        id: holes.id,
        into,
        axis,
        wide: holes.say.bore.wide.0,
        deep: holes.say.bore.deep.value.0,
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
        let by = Spaced { space: &holes.say.space, inset: holes.say.inset.as_ref(), at: inset_at };
        let row = u16::try_from(number + 1).unwrap_or(u16::MAX);
        let staggered = holes.say.rows.staggered.is_some() && number % 2 == 1;
        let mut spacer = by.row();
        for stretch in all {
            if !in_old_work(standing, &set, stretch, said, troubles) {
                continue;
            }
            let Some(places) = spacer.places(standing, stretch, staggered, troubles) else { continue };
            set.count = set.count.saturating_add(places.count());
            if set.count > limit {
                let at = holes.said(KindId::Holes, "space");
                troubles.push(RowTrouble::TooMany { at, count: set.count, limit });
                return None;
            }
            set.rows.push(Row { on: stretch.on, row, level, stretch, places, first_number: 0 });
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

fn listed(space: &Spacing) -> &[Said<Length>] {
    match space {
        Spacing::At(stations) => stations,
        Spacing::AtMost(_) | Spacing::Every(_) => &[],
    }
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

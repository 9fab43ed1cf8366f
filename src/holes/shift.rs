//! How far each hole may be moved to one side or the other, if the drill meets steel or a stone, before a rule breaks.
//!
//! Held to: half the gap to the neighbour; the widest gap there may be; the insets of the row; the spacing of the bars in
//! the row and in the rows above and below it; what is avoided, or kept clear at all; and near an outside corner, where
//! holes of the other leg may lie inside, nothing towards it.

use super::{
    avoid::united,
    layout::{Level, Row, Set, bar_spacing},
    obstacles::Obstacles,
};
use crate::{concrete::Standing, job::Job, schema::Spacing, units::Length};

/// How far a hole may go to either side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shift {
    /// To the left.
    pub left: Length,
    /// To the right.
    pub right: Length,
}

/// What the holes of one row are held to.
#[derive(Debug)]
pub struct Shifts<'s> {
    set: &'s Set,
    row: &'s Row,
    /// Open intervals no hole may go into, ascending.
    barriers: Vec<(i64, i64)>,
    /// The widest gap, if there is one.
    widest: Option<Length>,
    /// How far apart bars must be.
    apart: Length,
    /// No hole nearer than this to an end of the leg may go towards it.
    reach: Length,
    /// Whether the leg's start and end are outside corners.
    outside: (bool, bool),
    length: Length,
}

impl Set {
    /// What the holes of a row are held to when one is moved.
    #[must_use]
    pub fn shifts<'s>(&'s self, job: &Job, standing: &Standing, obstacles: &Obstacles, row: &'s Row) -> Shifts<'s> {
        let holes = job.holes_of(self.id);
        let widest = match holes.map(|holes| &holes.say.space) {
            Some(Spacing::AtMost(widest)) => Some(widest.value),
            _ => None,
        };
        let mut barriers = Vec::new();
        for obstacle in obstacles.on(row.on) {
            let avoids = holes.into_iter().flat_map(|holes| &holes.say.avoid.0);
            let avoided = avoids.filter(|avoid| avoid.things.iter().any(|it| it.value.0 == obstacle.thing));
            let by = avoided.map(|avoid| avoid.by.value.0).max().unwrap_or(Length::ZERO);
            barriers.extend(self.barrier(row, obstacle, by).map(|(from, to)| (from.nm(), to.nm())));
        }
        let apart = self.bar.map_or(self.wide * 2, bar_spacing);
        let outside = |end: bool| {
            let chain = standing.chain(row.on);
            let leg = row.on.leg as usize;
            let turn = chain.and_then(|chain| if end { chain.run.turn_after(leg) } else { chain.run.turn_before(leg) });
            turn.is_some_and(|turn| turn > 0.5)
        };
        Shifts {
            set: self,
            row,
            barriers: united(barriers),
            widest,
            apart,
            reach: self.deep + apart,
            outside: (outside(false), outside(true)),
            length: standing.length(row.on),
        }
    }
}

impl Shifts<'_> {
    /// How far the hole at this place of the row may be moved.
    #[must_use]
    pub fn at(&self, at: u64) -> Shift {
        let row = self.row;
        let here = row.places.at(at);
        let count = row.places.count();
        let before = at.checked_sub(1).map(|before| row.places.at(before));
        let after = (at + 1 < count).then(|| row.places.at(at + 1));
        let (mut low, mut high) = (row.places.at(0), row.places.at(count.saturating_sub(1)));
        if let Some(before) = before {
            low = low.max(here - (here - before) / 2);
        }
        if let Some(after) = after {
            high = high.min(here + (after - here) / 2);
        }
        if let Some(widest) = self.widest {
            if let Some(before) = before {
                high = high.min(before + widest);
            }
            if let Some(after) = after {
                low = low.max(after - widest);
            }
        }
        if let Some(before) = before {
            low = low.max(before + self.apart);
        }
        if let Some(after) = after {
            high = high.min(after - self.apart);
        }
        self.rows_beside(here, (&mut low, &mut high));
        self.in_the_way(here, (&mut low, &mut high));
        if here < self.reach && self.outside.0 {
            low = here;
        }
        if self.length - here < self.reach && self.outside.1 {
            high = here;
        }
        Shift { left: (here - low).max(Length::ZERO), right: (high - here).max(Length::ZERO) }
    }

    /// The rows of the set on the same leg so near above or below that bars must keep apart sideways.
    fn rows_beside(&self, here: Length, (low, high): (&mut Length, &mut Length)) {
        let level = |row: &Row| {
            let (Level::Height(level) | Level::Offset(level)) = row.level;
            level
        };
        let others = self.set.rows.iter().filter(|other| other.on == self.row.on && other.row != self.row.row);
        for other in others {
            let rise = (level(other) - level(self.row)).abs();
            if rise >= self.apart {
                continue;
            }
            let (apart, rise) = (self.apart.nm() as f64, rise.nm() as f64);
            let aside = Length::from_nm((apart * apart - rise * rise).max(0.0).sqrt().ceil() as i64);
            let next = other.places.first_from(here);
            if next < other.places.count() {
                *high = (*high).min((other.places.at(next) - aside).max(here));
            }
            if let Some(before) = next.checked_sub(1) {
                *low = (*low).max((other.places.at(before) + aside).min(here));
            }
        }
    }

    fn in_the_way(&self, here: Length, (low, high): (&mut Length, &mut Length)) {
        let here = here.nm();
        let next = self.barriers.partition_point(|(_, to)| *to <= here);
        if let Some((_, to)) = next.checked_sub(1).and_then(|before| self.barriers.get(before)) {
            *low = (*low).max(Length::from_nm(*to));
        }
        if let Some((from, _)) = self.barriers.get(next) {
            // A hole that stands in the way already goes nowhere on its own.
            *high = (*high).min(Length::from_nm((*from).max(here)));
            if *from < here {
                *low = (*low).max(Length::from_nm(here));
            }
        }
    }
}

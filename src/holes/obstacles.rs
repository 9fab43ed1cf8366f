//! What holes keep away from: things kept clear and cracks, where they lie on each leg, and the stretch of a row that each
//! takes.

use std::collections::BTreeMap;

use crate::{
    concrete::{Interval, LegAt, Standing},
    geometry::{
        Point,
        distance::{Place, Segment, nearest},
    },
    job::Job,
    schema::{BlockId, Levels, Spots, Stretch},
    units::Length,
};

/// Where a thing lies beside its stations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lies {
    /// At every level of the face, and everywhere in a floor before it.
    Anywhere,
    /// In the face, from one level to another.
    Heights(Levels),
    /// In a floor or a top, from one distance out of the face to another.
    Offsets(Levels),
}

/// One place, or one stretch on one leg, of a thing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Obstacle {
    /// The thing.
    pub thing: BlockId,
    /// The leg.
    pub on: LegAt,
    /// Its first station.
    pub from: Length,
    /// Its last station; the same for a place.
    pub to: Length,
    /// Its levels, or its distances from the face.
    pub lies: Lies,
    /// How far around it nothing may come; half its width for a crack.
    pub radius: Length,
    /// It is a crack.
    pub crack: bool,
}

impl Obstacle {
    /// How near it comes to the axis of a hole drilled from another leg, down or into the face, in nanometres; none where it lies in
    /// the floor and the hole in the face, or the other way round. What is in the face at one place goes straight through the wall.
    #[must_use]
    pub fn apart(&self, standing: &Standing, hole: &Segment, down: bool) -> Option<f64> {
        let frame = standing.chain(self.on)?.run.frame(usize::from(self.on.leg))?;
        let [x, y, z] = hole.from;
        if down {
            let (near, far) = match self.lies {
                Lies::Heights(_) => return None,
                Lies::Offsets(levels) => (levels.from.nm() as f64, levels.to.nm() as f64),
                Lies::Anywhere => (0.0, f64::INFINITY),
            };
            let (station, offset) = frame.local(Point::new(x, y));
            let beside = |at: f64, from: f64, to: f64| (from - at).max(at - to).max(0.0);
            let along = beside(station, self.from.nm() as f64, self.to.nm() as f64);
            return Some(along.hypot(beside(offset, near, far)));
        }
        let (Segment { from, to }, tall) = self.in_face(standing)?;
        let over = ((z - from[2]).abs() - tall).max(0.0);
        let level = |[x, y, _]: Place| [x, y, z];
        let through = if self.from == self.to { standing.thickness(self.on)?.nm() as f64 } else { 0.0 };
        let out = frame.outward();
        let [tx, ty, tz] = level(to);
        let body = Segment { from: level(from), to: [tx - out.x * through, ty - out.y * through, tz] };
        Some(nearest(&body, hole).distance.hypot(over))
    }

    /// Where it lies in the face: along which line, and how far over and under it, in nanometres; none where it lies in a floor or a
    /// top. Of a thing without levels any level is taken.
    #[must_use]
    pub fn in_face(&self, standing: &Standing) -> Option<(Segment, f64)> {
        const ANY: f64 = 1e12;
        let (middle, tall) = match self.lies {
            Lies::Offsets(_) => return None,
            Lies::Heights(levels) => {
                let (from, to) = (levels.from.nm() as f64, levels.to.nm() as f64);
                ((from + to) / 2.0, (to - from).abs() / 2.0)
            }
            Lies::Anywhere => (0.0, ANY),
        };
        let frame = standing.chain(self.on)?.run.frame(usize::from(self.on.leg))?;
        let at = |station: Length| {
            let at = frame.at(station.nm() as f64, 0.0);
            [at.x, at.y, middle]
        };
        Some((Segment { from: at(self.from), to: at(self.to) }, tall))
    }
}

/// All obstacles, leg by leg.
#[derive(Debug, Default)]
pub struct Obstacles {
    by_leg: BTreeMap<LegAt, Vec<Obstacle>>,
    by_thing: BTreeMap<BlockId, Vec<Obstacle>>,
    /// Things of which it is not said where they are.
    pub nowhere: Vec<BlockId>,
}

impl Obstacles {
    /// Those on one leg, in the order they are written.
    #[must_use]
    pub fn on(&self, leg: LegAt) -> &[Obstacle] {
        self.by_leg.get(&leg).map_or(&[], Vec::as_slice)
    }

    /// Those of one thing, in the order they are written.
    #[must_use]
    pub fn of(&self, thing: BlockId) -> &[Obstacle] {
        self.by_thing.get(&thing).map_or(&[], Vec::as_slice)
    }
}

/// Finds where the things kept clear and the cracks of a job lie. Stations off their legs are kept as troubles.
pub fn obstacles(job: &Job, standing: &mut Standing) -> Obstacles {
    let mut out = Obstacles::default();
    for clear in &job.clears {
        let say = &clear.say;
        let lies = match (say.height, say.offset) {
            (Some(heights), _) => Lies::Heights(heights),
            (None, Some(offsets)) => Lies::Offsets(offsets),
            (None, None) => Lies::Anywhere,
        };
        let one = |place: Interval| Obstacle {
            thing: clear.id,
            on: place.on,
            from: place.start,
            to: place.end,
            lies,
            radius: say.radius.0,
            crack: false,
        };
        out.add(job, standing, clear.id, (say.on.as_ref(), say.along.as_ref()), one);
    }
    for crack in &job.cracks {
        let say = &crack.say;
        let one = |place: Interval| Obstacle {
            thing: crack.id,
            on: place.on,
            from: place.start,
            to: place.end,
            lies: Lies::Heights(say.height.value),
            radius: half_up(say.gap.0),
            crack: true,
        };
        out.add(job, standing, crack.id, (say.on.as_ref(), say.along.as_ref()), one);
    }
    out
}

impl Obstacles {
    fn add(
        &mut self,
        job: &Job,
        standing: &mut Standing,
        thing: BlockId,
        (on, along): (Option<&Spots>, Option<&Stretch>),
        one: impl Fn(Interval) -> Obstacle,
    ) {
        let mut places: Vec<Interval> = Vec::new();
        for spot in on.into_iter().flat_map(|on| &on.0) {
            let Some(leg) = standing.place(spot.value.leg) else { continue };
            for at in &spot.value.at {
                if standing.on_leg(leg, at.value, at.span) {
                    places.push(Interval { on: leg, start: at.value, end: at.value });
                }
            }
        }
        if let Some(along) = along {
            let pieces = standing.resolve(job, along);
            places.extend(standing.intervals(&pieces));
        }
        if on.is_none() && along.is_none() {
            self.nowhere.push(thing);
        }
        for place in places {
            self.by_leg.entry(place.on).or_default().push(one(place));
            self.by_thing.entry(thing).or_default().push(one(place));
        }
    }
}

/// What a hole takes up on the surface it goes into, beyond the point of its mouth: from where to where its axis runs
/// along the leg and across it, all in nanometres from its mouth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Footprint {
    /// Along the leg: least and most.
    pub along: (i64, i64),
    /// Across: up a face, or out of it in a floor.
    pub across: (i64, i64),
}

/// Whether a row lies in a face or in a floor or top.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Surface {
    Face,
    Top,
}

impl Obstacle {
    /// The stations at which the mouth of a hole at this level may not be, lest the axis come nearer than `reach` to the
    /// thing: an open interval in nanometres, rounded outwards. None if no station is too near.
    pub(super) fn barrier(&self, surface: Surface, level: Length, foot: Footprint, reach: i64) -> Option<(i64, i64)> {
        let levels = match (self.lies, surface) {
            (Lies::Anywhere, _) => None,
            (Lies::Heights(levels), Surface::Face) | (Lies::Offsets(levels), Surface::Top) => Some(levels),
            (Lies::Heights(_), Surface::Top) | (Lies::Offsets(_), Surface::Face) => return None,
        };
        let apart = levels.map_or(0, |levels| {
            let (low, high) = (level.nm().saturating_add(foot.across.0), level.nm().saturating_add(foot.across.1));
            (levels.from.nm().saturating_sub(high)).max(low.saturating_sub(levels.to.nm())).max(0)
        });
        if apart >= reach {
            return None;
        }
        let (reach, apart) = (i128::from(reach), i128::from(apart));
        let half = root_up(reach * reach - apart * apart);
        let from = self.from.nm().saturating_sub(half).saturating_sub(foot.along.1);
        let to = self.to.nm().saturating_add(half).saturating_sub(foot.along.0);
        Some((from, to))
    }
}

/// Half of a length, rounded up to whole nanometres.
pub(super) fn half_up(length: Length) -> Length {
    Length::from_nm(length.nm().saturating_add(1).div_euclid(2))
}

/// The square root, rounded up.
fn root_up(square: i128) -> i64 {
    let root = square.max(0).unsigned_abs().isqrt();
    let up = u128::from(root * root < square.max(0).unsigned_abs());
    i64::try_from(root + up).unwrap_or(i64::MAX)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn bolt(station: i64, level: i64, radius: i64) -> Obstacle {
        let level = Length::from_nm(level);
        Obstacle {
            thing: BlockId(0),
            on: LegAt { chain: 0, leg: 0 },
            from: Length::from_nm(station),
            to: Length::from_nm(station),
            lies: Lies::Heights(Levels { from: level, to: level }),
            radius: Length::from_nm(radius),
            crack: false,
        }
    }

    #[test]
    fn a_chord_of_three_four_five() {
        let bolt = bolt(1000, 40, 10);
        let at = |level: i64| bolt.barrier(Surface::Face, Length::from_nm(level), Footprint::default(), 50);
        assert_eq!(at(10), Some((960, 1040)));
        assert_eq!(at(40), Some((950, 1050)));
        assert_eq!(at(-10), None);
        // Not a whole number: outwards.
        assert_eq!(at(39), Some((950, 1050)));
        assert_eq!(bolt.barrier(Surface::Top, Length::ZERO, Footprint::default(), 50), None);
        // An axis that runs down past the bolt's level and to the right of its mouth.
        let leaning = Footprint { along: (0, 7), across: (-30, 0) };
        assert_eq!(bolt.barrier(Surface::Face, Length::from_nm(60), leaning, 50), Some((943, 1050)));
    }

    proptest! {
        #[test]
        fn whoever_stands_at_the_edge_is_clear_and_a_step_inside_is_not(
            level in -2_000_000_000_i64..2_000_000_000, reach in 1_i64..2_000_000_000,
        ) {
            let bolt = bolt(0, 0, 1);
            if let Some((from, to)) = bolt.barrier(Surface::Face, Length::from_nm(level), Footprint::default(), reach) {
                let far = |at: i64| i128::from(at) * i128::from(at) + i128::from(level) * i128::from(level);
                let square = i128::from(reach) * i128::from(reach);
                prop_assert!(far(from) >= square && far(to) >= square);
                prop_assert!(far(to - 1) < square);
            } else {
                prop_assert!(level.abs() >= reach);
            }
        }
    }
}

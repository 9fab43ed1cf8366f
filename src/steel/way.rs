//! The way of a long bar along a wall at its offset: its straights from corner to corner of the centre line, and places
//! measured along it.

use crate::{concrete::LegAt, geometry::Run, units::Length};

/// One straight of a way.
#[derive(Debug, Clone, Copy)]
struct Part {
    on: LegAt,
    /// The station it begins at; outside a corner that may be off the leg's own ends.
    from: f64,
    /// How far along the way it begins and ends.
    start: f64,
    end: f64,
    /// The turn after it, in degrees; 0 for the last.
    turn: f64,
}

/// A way from one place to another.
#[derive(Debug, Clone)]
pub struct Way {
    parts: Vec<Part>,
    /// It runs from left to right.
    onwards: bool,
}

/// A corner on a way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corner {
    /// How far along the way its point is.
    pub at: Length,
    /// The turn, in degrees, without its sign.
    pub turn: f64,
}

impl Way {
    /// The way from one leg and station to another, to the right (`onwards`) or to the left; on a closed plan it may go
    /// round the closing corner. Where both are on one leg and the second does not come after the first, the way goes all
    /// the way round. None where no way leads there.
    #[must_use]
    pub fn new(run: &Run, from: (LegAt, Length), to: (LegAt, Length), onwards: bool, offset: Length) -> Option<Way> {
        let count = run.legs().len();
        if from.0.chain != to.0.chain || usize::from(from.0.leg.max(to.0.leg)) >= count {
            return None;
        }
        let out = offset.nm() as f64;
        // Outside a corner the offset line is longer than the face by this, inside shorter.
        let longer = |turn: Option<f64>| turn.map_or(0.0, |turn| out * (turn.to_radians() / 2.0).tan());
        let mut parts = Vec::new();
        let (mut leg, mut along, mut station) = (usize::from(from.0.leg), 0.0, from.1.nm() as f64);
        let target = to.1.nm() as f64;
        for step in 0..=count {
            let arrives = leg == usize::from(to.0.leg)
                && if onwards { target > station } else { target < station }
                && (step > 0 || from.0 == to.0);
            let (turn, edge) = if onwards {
                let turn = run.turn_after(leg);
                (turn, run.length(leg).nm() as f64 + longer(turn))
            } else {
                let turn = run.turn_before(leg);
                (turn, -longer(turn))
            };
            let end = if arrives { target } else { edge };
            let length = if onwards { end - station } else { station - end };
            let on = LegAt { leg: u16::try_from(leg).ok()?, ..from.0 };
            let turned = if arrives { 0.0 } else { turn.unwrap_or(0.0).abs() };
            parts.push(Part { on, from: station, start: along, end: along + length, turn: turned });
            if arrives {
                return Some(Way { parts, onwards });
            }
            turn?;
            along += length;
            if onwards {
                leg = (leg + 1) % count;
                station = -longer(turn);
            } else {
                leg = (leg + count - 1) % count;
                station = run.length(leg).nm() as f64 + longer(turn);
            }
        }
        None
    }

    /// The way all the way round a closed plan from a place back to it, and on by so much; the place and what follows lie on
    /// one leg.
    #[must_use]
    pub fn ring(run: &Run, from: (LegAt, Length), on: Length, offset: Length) -> Option<Way> {
        let mut way = Way::new(run, from, from, true, offset)?;
        way.parts.last_mut()?.end += on.nm() as f64;
        Some(way)
    }

    /// The same way from its other end.
    #[must_use]
    pub fn reversed(&self) -> Way {
        let length = self.parts.last().map_or(0.0, |part| part.end);
        let parts = self.parts.iter().enumerate().rev().map(|(at, part)| {
            let by = part.end - part.start;
            let turn = at.checked_sub(1).and_then(|before| self.parts.get(before)).map_or(0.0, |part| part.turn);
            Part {
                on: part.on,
                from: if self.onwards { part.from + by } else { part.from - by },
                start: length - part.end,
                end: length - part.start,
                turn,
            }
        });
        Way { parts: parts.collect(), onwards: !self.onwards }
    }

    /// How long it is, from corner to corner.
    #[must_use]
    pub fn length(&self) -> Length {
        Length::round_nm(self.parts.last().map_or(0.0, |part| part.end))
    }

    /// The place so far along it.
    #[must_use]
    pub fn at(&self, along: Length) -> (LegAt, Length) {
        let along = along.nm() as f64;
        let part = self.parts.iter().find(|part| along <= part.end).or(self.parts.last());
        part.map_or((LegAt { chain: 0, leg: 0 }, Length::ZERO), |part| {
            let by = along - part.start;
            (part.on, Length::round_nm(if self.onwards { part.from + by } else { part.from - by }))
        })
    }

    /// Its corners; where two legs go straight on there is none.
    pub fn corners(&self) -> impl Iterator<Item = Corner> + '_ {
        self.parts
            .iter()
            .filter(|part| part.turn >= 0.5)
            .map(|part| Corner { at: Length::round_nm(part.end), turn: part.turn })
    }
}

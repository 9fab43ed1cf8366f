//! Runs: chains of legs in plan.

use super::{Frame, Point, point::nm};
use crate::units::Length;

/// A straight stretch of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Leg {
    /// Along the face.
    pub length: Length,
}

/// A chain of legs in plan, seen from the front.
///
/// Stations run left to right from 0 on each leg, offsets grow out of the face towards the viewer. A turn is in
/// degrees: positive at an outside corner (the run turns away from the viewer, counter-clockwise in plan), negative
/// at an inside corner.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    legs: Vec<Leg>,
    turns: Vec<f64>,
    frames: Vec<Frame>,
    headings: Vec<f64>,
    closed: bool,
}

impl Run {
    /// The run that starts at a point with a heading (degrees, counter-clockwise from the x axis) and turns by
    /// `turns` after each leg. A closed run takes one more turn, back into the first leg. A turn that is left out or
    /// is no number is straight on.
    #[must_use]
    pub fn new(origin: Point, heading: f64, legs: Vec<Leg>, turns: Vec<f64>, closed: bool) -> Run {
        let mut frames = Vec::with_capacity(legs.len());
        let mut headings = Vec::with_capacity(legs.len());
        let (mut origin, mut heading) = (origin, heading);
        for (index, leg) in legs.iter().enumerate() {
            let frame = Frame::new(origin, heading);
            frames.push(frame);
            headings.push(heading);
            origin = frame.at(nm(leg.length), 0.0);
            heading += turns.get(index).copied().filter(|turn| turn.is_finite()).unwrap_or(0.0);
        }
        Run { legs, turns, frames, headings, closed }
    }

    /// Its legs, left to right.
    #[must_use]
    pub fn legs(&self) -> &[Leg] {
        &self.legs
    }

    /// Whether the last leg turns back into the first.
    #[must_use]
    pub fn closed(&self) -> bool {
        self.closed && !self.legs.is_empty()
    }

    /// The length of a leg; 0 for one it does not have.
    #[must_use]
    pub fn length(&self, leg: usize) -> Length {
        self.legs.get(leg).map_or(Length::ZERO, |leg| leg.length)
    }

    /// The length of all legs.
    #[must_use]
    pub fn total(&self) -> Length {
        self.legs.iter().map(|leg| leg.length).sum()
    }

    /// The turn after a leg in degrees, positive outside; none where the run ends.
    #[must_use]
    pub fn turn_after(&self, leg: usize) -> Option<f64> {
        if leg >= self.legs.len() || (leg + 1 == self.legs.len() && !self.closed) {
            return None;
        }
        Some(self.turns.get(leg).copied().filter(|turn| turn.is_finite()).unwrap_or(0.0))
    }

    /// The turn before a leg in degrees, positive outside; none where the run starts.
    #[must_use]
    pub fn turn_before(&self, leg: usize) -> Option<f64> {
        match leg {
            0 if self.closed => self.turn_after(self.legs.len().saturating_sub(1)),
            0 => None,
            _ => self.turn_after(leg - 1),
        }
    }

    /// The frame of a leg.
    #[must_use]
    pub fn frame(&self, leg: usize) -> Option<Frame> {
        self.frames.get(leg).copied()
    }

    /// The heading of a leg in degrees, counter-clockwise from the x axis.
    #[must_use]
    pub fn heading(&self, leg: usize) -> Option<f64> {
        self.headings.get(leg).copied()
    }

    /// The plan point at a station and an offset of a leg.
    #[must_use]
    pub fn point(&self, leg: usize, station: Length, offset: Length) -> Option<Point> {
        self.frame(leg).map(|frame| frame.at(nm(station), nm(offset)))
    }

    /// The leg and its station at a distance along the whole chain; a distance past an end stays on the end leg, and
    /// a corner belongs to the leg after it.
    #[must_use]
    pub fn locate(&self, distance: Length) -> Option<(usize, Length)> {
        let mut left = distance;
        for (index, leg) in self.legs.iter().enumerate() {
            if left < leg.length || index + 1 == self.legs.len() {
                return Some((index, left));
            }
            left = left - leg.length;
        }
        None
    }

    /// The distance along the whole chain of a station on a leg.
    #[must_use]
    pub fn distance(&self, leg: usize, station: Length) -> Length {
        self.legs.iter().take(leg).map(|leg| leg.length).sum::<Length>() + station
    }

    /// The plan point at a distance along the whole chain and an offset.
    #[must_use]
    pub fn chain_point(&self, distance: Length, offset: Length) -> Option<Point> {
        let (leg, station) = self.locate(distance)?;
        self.point(leg, station, offset)
    }

    /// How far the end of the last leg is from the start of the first, in nanometres: what a closed run ought to
    /// make 0.
    #[must_use]
    pub fn gap(&self) -> f64 {
        let (Some(first), Some(last), Some(leg)) = (self.frames.first(), self.frames.last(), self.legs.last()) else {
            return 0.0;
        };
        first.origin.distance(last.at(nm(leg.length), 0.0))
    }

    /// Where the far face of a leg starts and its heading in degrees: at the right end of the leg seen from the
    /// front, one thickness behind it, running the other way.
    #[must_use]
    pub fn far(&self, leg: usize, thickness: Length) -> Option<(Point, f64)> {
        let from = self.point(leg, self.length(leg), -thickness)?;
        Some((from, (self.heading(leg)? + 180.0).rem_euclid(360.0)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inches(value: f64) -> Length {
        Length::round_nm(value * 25.4e6)
    }

    fn run(legs: &[f64], turns: &[f64], closed: bool) -> Run {
        let legs = legs.iter().map(|&length| Leg { length: inches(length) }).collect();
        Run::new(Point::default(), 0.0, legs, turns.to_vec(), closed)
    }

    #[test]
    fn the_far_face_runs_back_behind_the_leg() {
        let front = run(&[120.0, 36.0], &[90.0], false);
        let (origin, heading) = front.far(0, inches(10.0)).unwrap();
        assert_eq!((origin, heading), (Point::new(120.0 * 25.4e6, 10.0 * 25.4e6), 180.0));
        let back = Run::new(origin, heading, vec![Leg { length: inches(120.0) }], vec![], false);
        assert_eq!(back.point(0, inches(120.0), inches(2.0)), Some(Point::new(0.0, 12.0 * 25.4e6)));
    }

    #[test]
    fn places_along_the_chain() {
        let bent = run(&[120.0, 36.0], &[90.0], false);
        assert_eq!(bent.total(), inches(156.0));
        assert_eq!(bent.locate(inches(119.0)), Some((0, inches(119.0))));
        assert_eq!(bent.locate(inches(120.0)), Some((1, Length::ZERO)));
        assert_eq!(bent.distance(1, inches(6.0)), inches(126.0));
        assert_eq!(bent.chain_point(inches(126.0), inches(2.0)), bent.point(1, inches(6.0), inches(2.0)));
        assert_eq!(bent.chain_point(inches(126.0), inches(2.0)), Some(Point::new(122.0 * 25.4e6, 6.0 * 25.4e6)));
    }
}

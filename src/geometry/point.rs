//! Points of the plan and the frames they are measured in.

use crate::units::Length;

/// How far from a whole nanometre a computed coordinate may lie and still be that whole nanometre: the noise of
/// `f64` at a kilometre is some ten-thousandths of one.
const WHOLE: f64 = 0.02;

/// The farthest a local coordinate is believed, 10 km, so that no product of two can overflow.
const FARTHEST: f64 = 1e13;

/// A point of the plan, in nanometres.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Point {
    /// Eastwards, say: along the heading 0.
    pub x: f64,
    /// Northwards: along the heading 90.
    pub y: f64,
}

impl Point {
    /// The point at these coordinates, in nanometres.
    #[must_use]
    pub const fn new(x: f64, y: f64) -> Point {
        Point { x, y }
    }

    /// The distance to another point, in nanometres.
    #[must_use]
    pub fn distance(self, other: Point) -> f64 {
        let (x, y) = (other.x - self.x, other.y - self.y);
        (x * x + y * y).sqrt()
    }
}

/// An origin and a direction in plan: the frame of a leg.
///
/// A station runs along the direction; an offset grows along the outward normal, which is the direction turned
/// clockwise by 90 degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Where station and offset are 0.
    pub origin: Point,
    /// The direction, a unit vector.
    pub along: Point,
}

impl Frame {
    /// The frame at an origin with a heading in degrees, counter-clockwise from the x axis; right angles are exact.
    #[must_use]
    pub fn new(origin: Point, heading: f64) -> Frame {
        let (sin, cos) = sin_cos_degrees(heading);
        Frame { origin, along: Point::new(cos, sin) }
    }

    /// The outward normal, a unit vector.
    #[must_use]
    pub fn outward(&self) -> Point {
        Point::new(self.along.y, -self.along.x)
    }

    /// The plan point at a station and an offset, both in nanometres.
    #[must_use]
    pub fn at(&self, station: f64, offset: f64) -> Point {
        Point::new(
            self.origin.x + station * self.along.x + offset * self.along.y,
            self.origin.y + station * self.along.y - offset * self.along.x,
        )
    }

    /// The station and the offset of a plan point, in nanometres; whole where they are meant to be whole.
    #[must_use]
    pub fn local(&self, point: Point) -> (f64, f64) {
        let (x, y) = (point.x - self.origin.x, point.y - self.origin.y);
        (settle(x * self.along.x + y * self.along.y), settle(x * self.along.y - y * self.along.x))
    }
}

/// A computed coordinate, made whole if it differs from a whole one by noise only, and bounded.
pub(super) fn settle(value: f64) -> f64 {
    let whole = rounded(value);
    let settled = if (value - whole).abs() <= WHOLE { whole } else { value };
    if settled.is_nan() { 0.0 } else { settled.clamp(-FARTHEST, FARTHEST) }
}

/// A settled coordinate as a whole number of nanometres, and whether nothing was lost.
pub(super) fn whole(value: f64) -> (i64, bool) {
    let rounded = rounded(value);
    (rounded as i64, rounded == value)
}

/// The nearest whole number; far from the bounds of `i64` this is quicker than `round` on a plain processor.
fn rounded(value: f64) -> f64 {
    (value + 0.5_f64.copysign(value)) as i64 as f64
}

/// A length for reckoning with plan points.
pub(super) fn nm(length: Length) -> f64 {
    length.nm() as f64
}

/// Sine and cosine of an angle in degrees, exact for whole right angles; an angle that is no number counts as 0.
pub(super) fn sin_cos_degrees(degrees: f64) -> (f64, f64) {
    if !degrees.is_finite() {
        return (0.0, 1.0);
    }
    let turned = degrees.rem_euclid(360.0);
    if turned == 0.0 || turned == 360.0 {
        (0.0, 1.0)
    } else if turned == 90.0 {
        (1.0, 0.0)
    } else if turned == 180.0 {
        (0.0, -1.0)
    } else if turned == 270.0 {
        (-1.0, 0.0)
    } else {
        turned.to_radians().sin_cos()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_frame_gives_back_what_it_places() {
        for heading in [0.0, 17.0, 90.0, 123.4, 270.0, -45.0] {
            let frame = Frame::new(Point::new(4.0e11, -7.0e11), heading);
            assert_eq!(frame.local(frame.at(2_540_000_000.0, -203_200_000.0)), (2_540_000_000.0, -203_200_000.0));
        }
    }

    #[test]
    fn outward_is_towards_the_viewer() {
        assert_eq!(Frame::new(Point::default(), 0.0).outward(), Point::new(0.0, -1.0));
        assert_eq!(Frame::new(Point::default(), 90.0).outward(), Point::new(1.0, 0.0));
    }
}

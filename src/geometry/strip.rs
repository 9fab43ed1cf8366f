//! Strips: what stands along a run between two stations and two offsets.

use std::ops::ControlFlow;

use super::{
    Bounds, BoxTree, Edge, Flank, Outline, Point, Ring, Run, Side,
    carve::TOUCH,
    point::{nm, sin_cos_degrees},
};
use crate::units::{Area, Length};

/// The sharpest turn a strip goes round, in degrees: beyond it the mitre runs away.
pub const SHARPEST: f64 = 135.0;

/// Below this turn, in degrees, faces at unlike offsets meet with a step across the corner instead of at a point far
/// down the leg.
const MEET_SQUARELY: f64 = 30.0;

/// Shorter than this, in nanometres, an edge is noise.
const NO_LENGTH: f64 = 0.5;

/// What stands along a run between two stations and two offsets.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// The plan outline; each edge says which side it is and on which leg.
    pub outline: Outline,
    /// Its area.
    pub area: Area,
}

/// Why there is no strip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Refusal {
    /// The run has no such leg.
    NoSuchLeg {
        /// The leg, counted from 0.
        leg: usize,
    },
    /// The strip has no length, or no thickness on this leg.
    Empty {
        /// The leg, counted from 0.
        leg: usize,
    },
    /// The run turns by more than 135 degrees after this leg.
    TurnTooSharp {
        /// The leg before the corner, counted from 0.
        leg: usize,
        /// The turn.
        degrees: f64,
    },
    /// The corners (or the ends) of the strip use up more than its stretch of this leg.
    LegTooShort {
        /// The leg, counted from 0.
        leg: usize,
        /// How long the stretch on this leg has to be, at least.
        least: Length,
    },
    /// The run comes back on itself so near that the strip runs into itself.
    CrossesItself {
        /// Two legs of the strip that run into each other, counted from 0.
        legs: (usize, usize),
    },
}

/// How the faces of a strip end on one leg: stations of the left and right end of its inner and outer face.
#[derive(Debug, Clone, Copy, Default)]
struct Reach {
    leg: usize,
    inner: f64,
    outer: f64,
    inner_from: f64,
    inner_to: f64,
    outer_from: f64,
    outer_to: f64,
}

/// How two faces meet at a corner: distances from the corner along the leg before and the leg after.
struct Meeting {
    before: f64,
    after: f64,
    /// Both distances lead to one point.
    at_one_point: bool,
}

impl Run {
    /// The strip between two offsets per leg, from one station (leg, along it) to another.
    ///
    /// Corners are mitred to the meeting point of the outer and of the inner faces; ends are square. Where an end
    /// stands beside an inside corner of more than 90 degrees it is cut by the face of the other leg. On a closed run
    /// a strip whose end lies before its start goes round by the closing corner, and the strip from the very start to
    /// the very end is a whole ring.
    ///
    /// # Errors
    ///
    /// A [`Refusal`] where there is no such strip.
    pub fn strip(
        &self,
        from: (usize, Length),
        to: (usize, Length),
        inner: &dyn Fn(usize) -> Length,
        outer: &dyn Fn(usize) -> Length,
    ) -> Result<Strip, Refusal> {
        let count = self.legs().len();
        for leg in [from.0, to.0] {
            if leg >= count {
                return Err(Refusal::NoSuchLeg { leg });
            }
        }
        let whole = self.closed() && from == (0, Length::ZERO) && to == (count - 1, self.length(count - 1));
        let onwards = from.0 < to.0 || (from.0 == to.0 && from.1 < to.1);
        if from == to || !(onwards || self.closed()) {
            return Err(Refusal::Empty { leg: to.0 });
        }
        let legs = if onwards { to.0 - from.0 + 1 } else { count - from.0 + to.0 + 1 };

        let mut reaches: Vec<Reach> = Vec::with_capacity(legs);
        for step in 0..legs {
            let leg = (from.0 + step) % count;
            let (inner, outer) = (inner(leg), outer(leg));
            if outer <= inner {
                return Err(Refusal::Empty { leg });
            }
            let (inner, outer, length) = (nm(inner), nm(outer), nm(self.length(leg)));
            reaches.push(Reach {
                leg,
                inner,
                outer,
                inner_from: 0.0,
                inner_to: length,
                outer_from: 0.0,
                outer_to: length,
            });
        }
        let mut joined = Vec::with_capacity(legs);
        for step in 0..if whole { legs } else { legs - 1 } {
            joined.push(self.corner(&mut reaches, step, (step + 1) % legs)?);
        }
        if !whole {
            self.ends(&mut reaches, nm(from.1), nm(to.1));
        }
        for (step, reach) in reaches.iter().enumerate() {
            let start = if step == 0 { nm(from.1) } else { 0.0 };
            let end = if step + 1 == legs { nm(to.1) } else { nm(self.length(reach.leg)) };
            let lacking = (reach.outer_from - reach.outer_to).max(reach.inner_from - reach.inner_to);
            if lacking > NO_LENGTH {
                // To the next whole nanometre, so that the least length is itself enough.
                let least = Length::from_nm((end - start + lacking - NO_LENGTH).ceil() as i64);
                return Err(Refusal::LegTooShort { leg: reach.leg, least });
            }
        }
        let outline =
            if whole { self.ring(&reaches, &joined) } else { self.open(&reaches, &joined, nm(from.1), nm(to.1)) };
        if let Some(legs) = crossing(&outline) {
            return Err(Refusal::CrossesItself { legs });
        }
        let area = outline.area();
        if area <= Area::ZERO {
            return Err(Refusal::Empty { leg: from.0 });
        }
        Ok(Strip { outline, area })
    }

    /// Lets the faces of two neighbouring legs meet; tells whether the inner and the outer ones do at one point.
    fn corner(&self, reaches: &mut [Reach], before: usize, after: usize) -> Result<(bool, bool), Refusal> {
        let (Some(&one), Some(&two)) = (reaches.get(before), reaches.get(after)) else { return Ok((true, true)) };
        let degrees = self.turn_after(one.leg).unwrap_or(0.0);
        if degrees.abs() > SHARPEST {
            return Err(Refusal::TurnTooSharp { leg: one.leg, degrees });
        }
        let inner = meeting(degrees, one.inner, two.inner);
        let outer = meeting(degrees, one.outer, two.outer);
        if let Some(one) = reaches.get_mut(before) {
            one.inner_to += inner.before;
            one.outer_to += outer.before;
        }
        if let Some(two) = reaches.get_mut(after) {
            two.inner_from += inner.after;
            two.outer_from += outer.after;
        }
        Ok((inner.at_one_point, outer.at_one_point))
    }

    /// Ends the first and the last leg of a strip squarely, or at the face of the leg round an inside corner.
    fn ends(&self, reaches: &mut [Reach], start: f64, end: f64) {
        if let Some(first) = reaches.first_mut() {
            let lean = self.turn_before(first.leg).map_or(0.0, lean);
            first.inner_from = if lean > 0.0 { start.max(lean * first.inner.max(0.0)) } else { start };
            first.outer_from = if lean > 0.0 { start.max(lean * first.outer.max(0.0)) } else { start };
        }
        if let Some(last) = reaches.last_mut() {
            let length = nm(self.length(last.leg));
            let lean = self.turn_after(last.leg).map_or(0.0, lean);
            last.inner_to = if lean > 0.0 { end.min(length - lean * last.inner.max(0.0)) } else { end };
            last.outer_to = if lean > 0.0 { end.min(length - lean * last.outer.max(0.0)) } else { end };
        }
    }

    /// The outline of a strip with two ends.
    fn open(&self, reaches: &[Reach], joined: &[(bool, bool)], start: f64, end: f64) -> Outline {
        let mut ring = Ring::with_capacity(2 * reaches.len() + 4);
        for (step, reach) in reaches.iter().enumerate() {
            self.push(&mut ring, reach, reach.outer_from, reach.outer, Side::Outer);
            if let Some(next) = reaches.get(step + 1)
                && joined.get(step).is_some_and(|joined| !joined.1)
            {
                self.push_step(
                    &mut ring,
                    (reach, reach.outer_to, reach.outer),
                    (reach, next),
                    reach.outer > next.outer,
                );
            }
        }
        if let Some(last) = reaches.last() {
            self.push(&mut ring, last, last.outer_to, last.outer, Side::End);
            let lean = self.turn_after(last.leg).map_or(0.0, lean);
            let kink = (nm(self.length(last.leg)) - end) / lean;
            if lean > 0.0 && kink > last.inner && kink < last.outer {
                self.push(&mut ring, last, end, kink, Side::End);
            }
        }
        for (step, reach) in reaches.iter().enumerate().rev() {
            self.push(&mut ring, reach, reach.inner_to, reach.inner, Side::Inner);
            if let Some(previous) = step.checked_sub(1).and_then(|step| reaches.get(step))
                && joined.get(step - 1).is_some_and(|joined| !joined.0)
            {
                let sticks_out = previous.inner < reach.inner;
                self.push_step(&mut ring, (reach, reach.inner_from, reach.inner), (previous, reach), sticks_out);
            }
        }
        if let Some(first) = reaches.first() {
            self.push(&mut ring, first, first.inner_from, first.inner, Side::Start);
            let lean = self.turn_before(first.leg).map_or(0.0, lean);
            let kink = start / lean;
            if lean > 0.0 && kink > first.inner && kink < first.outer {
                self.push(&mut ring, first, start, kink, Side::Start);
            }
        }
        Outline::new(without_noise(ring), Vec::new())
    }

    /// The outline of a strip all the way round a closed run.
    fn ring(&self, reaches: &[Reach], joined: &[(bool, bool)]) -> Outline {
        let (mut outer, mut inner) = (Ring::new(), Ring::new());
        let followed = reaches.iter().zip(reaches.iter().cycle().skip(1)).zip(joined);
        for ((reach, next), &(inner_joined, outer_joined)) in followed {
            self.push(&mut outer, reach, reach.outer_from, reach.outer, Side::Outer);
            if !outer_joined {
                self.push_step(
                    &mut outer,
                    (reach, reach.outer_to, reach.outer),
                    (reach, next),
                    reach.outer > next.outer,
                );
            }
            self.push(&mut inner, reach, reach.inner_from, reach.inner, Side::Inner);
            if !inner_joined {
                self.push_step(
                    &mut inner,
                    (reach, reach.inner_to, reach.inner),
                    (reach, next),
                    reach.inner < next.inner,
                );
            }
        }
        let (outer, inner) = (without_noise(outer), without_noise(inner));
        let size = |ring: &Ring| Outline::new(ring.clone(), Vec::new()).area();
        // Seen from inside a room the outer face is the smaller ring.
        if size(&outer) >= size(&inner) { Outline::new(outer, vec![inner]) } else { Outline::new(inner, vec![outer]) }
    }

    fn push(&self, ring: &mut Ring, reach: &Reach, station: f64, offset: f64, side: Side) {
        if let Some(frame) = self.frame(reach.leg) {
            ring.push(Edge { from: frame.at(station, offset), flank: Some(Flank { side, leg: reach.leg }) });
        }
    }

    /// The edge across a corner between faces at unlike offsets: the end of the leg before, if that one stands
    /// proud, else the start of the leg after.
    fn push_step(&self, ring: &mut Ring, at: (&Reach, f64, f64), legs: (&Reach, &Reach), proud: bool) {
        let flank = if proud {
            Flank { side: Side::End, leg: legs.0.leg }
        } else {
            Flank { side: Side::Start, leg: legs.1.leg }
        };
        if let Some(frame) = self.frame(at.0.leg) {
            ring.push(Edge { from: frame.at(at.1, at.2), flank: Some(flank) });
        }
    }
}

/// Where the faces at two offsets meet round a turn. With outward normals n and directions u of the two legs,
/// u1.n2 = sin and n1.n2 = cos of the turn.
fn meeting(degrees: f64, before: f64, after: f64) -> Meeting {
    let (sin, cos) = sin_cos_degrees(degrees);
    let half = sin / (1.0 + cos);
    if before == after || degrees.abs() < MEET_SQUARELY {
        return Meeting { before: before * half, after: -after * half, at_one_point: before == after };
    }
    Meeting { before: (after - before * cos) / sin, after: (after * cos - before) / sin, at_one_point: true }
}

/// How much station per offset the face of the leg round an inside corner leans over this one; 0 up to 90 degrees.
fn lean(degrees: f64) -> f64 {
    if degrees >= -90.0 {
        return 0.0;
    }
    let (sin, cos) = sin_cos_degrees(-degrees);
    (-cos / sin).max(0.0)
}

/// Two legs whose edges cross: the first such pair.
fn crossing(outline: &Outline) -> Option<(usize, usize)> {
    let edges: Vec<(Point, Point, usize)> =
        outline.edges().map(|(from, to, flank)| (from, to, flank.map_or(0, |flank| flank.leg))).collect();
    // A quadrilateral strip has two parallel sides whose lengths are not less than nothing.
    if edges.len() <= 4 {
        return None;
    }
    let boxes: Vec<Bounds> =
        edges.iter().map(|(from, to, _)| Bounds::around([[from.x, from.y, 0.0], [to.x, to.y, 0.0]])).collect();
    let mut first: Option<(usize, usize)> = None;
    BoxTree::new(&boxes).near_each_other(0.0, |a, b| {
        if let (Some(&(a, b, one)), Some(&(c, d, two))) = (edges.get(a as usize), edges.get(b as usize)) {
            let (ends, others) = (sides(a, b, c, d), sides(c, d, a, b));
            if ends && others {
                let legs = (one.min(two), one.max(two));
                first = Some(first.map_or(legs, |first| first.min(legs)));
            }
        }
        ControlFlow::Continue(())
    });
    first
}

/// Whether two points lie clearly on both sides of a line.
fn sides(from: Point, to: Point, one: Point, other: Point) -> bool {
    let length = from.distance(to);
    let left = |at: Point| ((to.x - from.x) * (at.y - from.y) - (to.y - from.y) * (at.x - from.x)) / length;
    let (one, other) = (left(one), left(other));
    one.min(other) < -TOUCH && one.max(other) > TOUCH
}

/// The ring without edges that have no length.
fn without_noise(ring: Ring) -> Ring {
    let Some(first) = ring.first().map(|edge| edge.from) else { return ring };
    let next: Vec<Point> = ring.iter().skip(1).map(|edge| edge.from).chain([first]).collect();
    ring.into_iter()
        .zip(next)
        .filter(|(edge, next)| edge.from.distance(*next) > NO_LENGTH)
        .map(|(edge, _)| edge)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Leg;

    fn inches(value: f64) -> Length {
        Length::round_nm(value * 25.4e6)
    }

    fn run(legs: &[f64], turns: &[f64], closed: bool) -> Run {
        let legs = legs.iter().map(|&length| Leg { length: inches(length) }).collect();
        Run::new(Point::default(), 0.0, legs, turns.to_vec(), closed)
    }

    fn strip(run: &Run, from: (usize, f64), to: (usize, f64), t: f64) -> Result<Strip, Refusal> {
        run.strip((from.0, inches(from.1)), (to.0, inches(to.1)), &|_| Length::ZERO, &|_| inches(t))
    }

    fn square_inches(strip: &Strip) -> f64 {
        strip.area.nm2() as f64 / 25.4e6 / 25.4e6
    }

    fn sides(strip: &Strip, side: Side) -> f64 {
        strip
            .outline
            .edges()
            .filter(|(_, _, flank)| flank.is_some_and(|flank| flank.side == side))
            .map(|(a, b, _)| a.distance(b) / 25.4e6)
            .sum()
    }

    #[test]
    fn a_square_corner_is_exact() {
        let both = strip(&run(&[120.0, 36.0], &[90.0], false), (0, 72.0), (1, 36.0), 8.0).unwrap();
        let expected: i128 = (48 * 8 + 36 * 8 + 64) * 25_400_000 * 25_400_000;
        assert_eq!(both.area, Area::from_nm2(expected));
        assert_eq!(sides(&both, Side::Inner), 84.0);
        assert_eq!(sides(&both, Side::Outer), 100.0);
        assert_eq!(sides(&both, Side::End), 8.0);
    }

    #[test]
    fn the_plan_area_is_the_closed_form() {
        for turn in [-135.0_f64, -90.0, -45.0, -10.0, 0.0, 10.0, 60.0, 90.0, 120.0, 135.0] {
            let made = strip(&run(&[90.0, 70.0], &[turn], false), (0, 0.0), (1, 70.0), 9.0).unwrap();
            let expected = 9.0 * 160.0 + 81.0 * (turn / 2.0).to_radians().tan();
            assert!((square_inches(&made) / expected - 1.0).abs() < 1e-12, "{turn}");
        }
    }

    #[test]
    fn legs_too_short_for_their_corners_are_named_with_the_least_length() {
        let u = |middle| strip(&run(&[60.0, middle, 60.0], &[-90.0, -90.0], false), (0, 0.0), (2, 60.0), 8.0);
        assert_eq!(u(10.0), Err(Refusal::LegTooShort { leg: 1, least: inches(16.0) }));
        assert!(u(16.0).is_ok());
        let short = strip(&run(&[60.0, 60.0], &[-90.0], false), (0, 0.0), (1, 3.0), 8.0);
        assert_eq!(short, Err(Refusal::LegTooShort { leg: 1, least: inches(8.0) }));
    }

    #[test]
    fn a_run_that_comes_back_on_itself_is_refused() {
        let back = run(&[100.0, 40.0, 40.0, 40.0], &[90.0; 3], false);
        assert!(strip(&back, (0, 0.0), (3, 30.0), 8.0).is_ok());
        assert_eq!(
            strip(&back, (0, 0.0), (3, 40.0), 8.0).map(|strip| strip.area),
            Ok(square(220.0 * 8.0 + 3.0 * 64.0))
        );
        let past = run(&[100.0, 40.0, 40.0, 60.0], &[90.0; 3], false);
        assert_eq!(strip(&past, (0, 0.0), (3, 60.0), 8.0), Err(Refusal::CrossesItself { legs: (0, 3) }));
    }

    fn square(inches: f64) -> Area {
        Area::from_nm2(inches as i128 * 25_400_000 * 25_400_000)
    }

    #[test]
    fn an_end_may_stand_past_the_leg() {
        let made = strip(&run(&[60.0], &[], false), (0, -6.0), (0, 66.0), 8.0).unwrap();
        assert_eq!(square_inches(&made), 72.0 * 8.0);
    }

    #[test]
    fn sharp_turns_and_nothing_are_refused() {
        let bent = run(&[60.0, 60.0], &[136.0], false);
        assert_eq!(strip(&bent, (0, 0.0), (1, 60.0), 8.0), Err(Refusal::TurnTooSharp { leg: 0, degrees: 136.0 }));
        assert!(strip(&bent, (0, 0.0), (0, 60.0), 8.0).is_ok());
        assert_eq!(strip(&bent, (0, 9.0), (0, 9.0), 8.0), Err(Refusal::Empty { leg: 0 }));
        assert_eq!(strip(&bent, (0, 9.0), (0, 3.0), 8.0), Err(Refusal::Empty { leg: 0 }));
        assert_eq!(strip(&bent, (0, 0.0), (0, 9.0), 0.0), Err(Refusal::Empty { leg: 0 }));
        assert_eq!(strip(&bent, (0, 0.0), (2, 9.0), 8.0), Err(Refusal::NoSuchLeg { leg: 2 }));
    }

    #[test]
    fn an_end_at_a_sharp_inside_corner_stops_at_the_other_face() {
        let bent = run(&[60.0, 60.0], &[-120.0], false);
        let cot = 1.0 / 3.0_f64.sqrt();
        let first = strip(&bent, (0, 0.0), (0, 60.0), 8.0).unwrap();
        assert!((square_inches(&first) - (480.0 - 32.0 * cot)).abs() < 1e-9);
        let second = strip(&bent, (1, 0.0), (1, 60.0), 8.0).unwrap();
        assert!((square_inches(&second) - (480.0 - 32.0 * cot)).abs() < 1e-9);
        let near = strip(&bent, (0, 0.0), (0, 58.0), 8.0).unwrap();
        let past = 8.0 - 2.0 / cot;
        assert!((square_inches(&near) - (464.0 - past * past * cot / 2.0)).abs() < 1e-9);
        let square = strip(&run(&[60.0, 60.0], &[-90.0], false), (0, 0.0), (0, 60.0), 8.0).unwrap();
        assert_eq!(square_inches(&square), 480.0);
    }

    #[test]
    fn unlike_thicknesses_meet_at_a_point_or_with_a_step() {
        let made = |turn: f64| {
            run(&[100.0, 50.0], &[turn], false)
                .strip((0, inches(0.0)), (1, inches(50.0)), &|_| Length::ZERO, &|leg| inches([6.0, 10.0][leg]))
                .unwrap()
        };
        assert_eq!(square_inches(&made(90.0)), 1160.0);
        let straight = made(0.0);
        assert_eq!(square_inches(&straight), 1100.0);
        assert_eq!(sides(&straight, Side::Start), 6.0 + 4.0);
        let slight = made(20.0);
        let expected = 1100.0 + (36.0 + 100.0) / 2.0 * 10.0_f64.to_radians().tan();
        assert!((square_inches(&slight) - expected).abs() < 1e-9);
    }

    #[test]
    fn a_closed_run_is_a_ring_seen_from_outside_or_inside() {
        let outside = run(&[60.0, 40.0, 60.0, 40.0], &[90.0; 4], true);
        assert_eq!(outside.gap(), 0.0);
        let made = strip(&outside, (0, 0.0), (3, 40.0), 8.0).unwrap();
        assert_eq!(made.outline.rings.len(), 2);
        assert_eq!(square_inches(&made), 76.0 * 56.0 - 2400.0);
        let room = run(&[60.0, 40.0, 60.0, 40.0], &[-90.0; 4], true);
        let made = strip(&room, (0, 0.0), (3, 40.0), 8.0).unwrap();
        assert_eq!(square_inches(&made), 2400.0 - 44.0 * 24.0);
        let round = strip(&outside, (3, 10.0), (0, 20.0), 8.0).unwrap();
        assert_eq!(square_inches(&round), 50.0 * 8.0 + 64.0);
    }
}

//! Plan outlines: rings of edges that know which side of what they are.

use super::{
    Bounds, Frame, Point,
    point::{settle, whole},
};
use crate::units::Area;

/// Along by aside from which on two edges are the same but for rounding: 2 nm of it on an edge of 200 micrometres.
const PARALLEL: f64 = 1e5;

/// Which side of a strip an edge is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// Along the run, nearer to it: against the old face if the inner offset is 0.
    Inner,
    /// Along the run, on the viewer's side.
    Outer,
    /// Across the run, at the left end seen from the front.
    Start,
    /// Across the run, at the right end seen from the front.
    End,
}

/// A side of a strip on one of its legs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Flank {
    /// The side.
    pub side: Side,
    /// The leg, counted from 0 along the run.
    pub leg: usize,
}

/// An edge of a ring: from its point to the point of the next edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edge {
    /// Where the edge starts.
    pub from: Point,
    /// Which side it is, where it is one of a strip's.
    pub flank: Option<Flank>,
}

/// A closed chain of edges; the last one returns to the first.
pub type Ring = Vec<Edge>;

/// An area of the plan. The first ring runs counter-clockwise round it, the others clockwise round holes in it, so
/// that the inside is always on the left.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outline {
    /// The rings.
    pub rings: Vec<Ring>,
}

impl Outline {
    /// The outline round these points, in either sense; none of its edges is a flank.
    #[must_use]
    pub fn polygon(points: &[Point]) -> Outline {
        let ring = points.iter().map(|&from| Edge { from, flank: None }).collect();
        Outline { rings: vec![turned(ring, true)] }
    }

    /// The outline round a ring of edges and rings that are holes in it, each in either sense.
    #[must_use]
    pub fn new(outer: Ring, holes: Vec<Ring>) -> Outline {
        let mut rings = Vec::with_capacity(1 + holes.len());
        rings.push(turned(outer, true));
        rings.extend(holes.into_iter().map(|hole| turned(hole, false)));
        Outline { rings }
    }

    /// Each edge with its two ends.
    pub fn edges(&self) -> impl Iterator<Item = (Point, Point, Option<Flank>)> + '_ {
        self.rings.iter().flat_map(|ring| {
            let after = ring.iter().skip(1).chain(ring.first());
            ring.iter().zip(after).map(|(edge, next)| (edge.from, next.from, edge.flank))
        })
    }

    /// The area: exact where every corner lies on whole nanometres of the outline's own frame, which holds for all
    /// that is square to its legs; else from the outline in `f64`, to the nearest square nanometre it can tell apart.
    #[must_use]
    pub fn area(&self) -> Area {
        area_in(self, &self.frame())
    }

    /// Whether a point lies inside it; of one on its edge nothing is said.
    #[must_use]
    pub fn contains(&self, point: Point) -> bool {
        self.edges().fold(false, |inside, (from, to, _)| {
            if (from.y > point.y) == (to.y > point.y) {
                return inside;
            }
            let crossing = from.x + (to.x - from.x) * (point.y - from.y) / (to.y - from.y);
            inside != (point.x < crossing)
        })
    }

    /// Whether a point lies inside it, or no farther from its edge than so much, in nanometres.
    #[must_use]
    pub fn holds(&self, point: Point, within: f64) -> bool {
        let beside = |from: Point, to: Point| {
            let (x, y) = (to.x - from.x, to.y - from.y);
            let square = (x * x + y * y).max(f64::MIN_POSITIVE);
            let share = (((point.x - from.x) * x + (point.y - from.y) * y) / square).clamp(0.0, 1.0);
            point.distance(Point::new(from.x + x * share, from.y + y * share)) <= within
        };
        self.contains(point) || self.edges().any(|(from, to, _)| beside(from, to))
    }

    /// What of it lies to the right of the line from one point to another, farther from it than `off`, in nanometres; of two
    /// points that are one, nothing.
    #[must_use]
    pub fn right_of(&self, from: Point, to: Point, off: f64) -> Outline {
        let length = from.distance(to);
        let right = |at: Point| {
            ((at.x - from.x) * (to.y - from.y) - (at.y - from.y) * (to.x - from.x)) / length.max(f64::MIN_POSITIVE)
                - off
        };
        let mut rings = Vec::with_capacity(self.rings.len());
        for ring in &self.rings {
            let mut kept = Ring::with_capacity(ring.len() + 2);
            for (edge, next) in ring.iter().zip(ring.iter().skip(1).chain(ring.first())) {
                let (a, b) = (right(edge.from), right(next.from));
                if a > 0.0 {
                    kept.push(*edge);
                }
                if (a > 0.0) != (b > 0.0) {
                    let share = a / (a - b);
                    let (dx, dy) = (next.from.x - edge.from.x, next.from.y - edge.from.y);
                    let at = Point::new(edge.from.x + dx * share, edge.from.y + dy * share);
                    kept.push(Edge { from: at, flank: if a > 0.0 { None } else { edge.flank } });
                }
            }
            if kept.len() > 2 {
                rings.push(kept);
            }
        }
        Outline { rings }
    }

    /// The smallest box round it.
    #[must_use]
    pub fn bounds(&self) -> Bounds {
        let mut bounds = Bounds::EMPTY;
        for (from, _, _) in self.edges() {
            bounds.take_in([from.x, from.y, 0.0]);
        }
        bounds
    }

    /// The frame it is measured in: at the start of its longest edge and along it.
    pub(super) fn frame(&self) -> Frame {
        let mut best = (0.0, Frame::new(Point::default(), 0.0));
        for (from, to, _) in self.edges() {
            let length = from.distance(to);
            // Equal edges differ by noise: the first of them stays.
            if length > best.0 * (1.0 + 1e-9) && length.is_finite() {
                let along = Point::new((to.x - from.x) / length, (to.y - from.y) / length);
                best = (length, Frame { origin: from, along });
            }
        }
        best.1
    }

    /// Whether its edges are a rectangle of whole nanometres along this frame: (x from, y from, x to, y to), with y
    /// to the left of the frame's direction.
    pub(super) fn rectangle(&self, frame: &Frame) -> Option<[i64; 4]> {
        let [ring] = self.rings.as_slice() else { return None };
        let [a, b, c, d] = ring.as_slice() else { return None };
        let mut corners = [(0, 0); 4];
        for (corner, edge) in corners.iter_mut().zip([a, b, c, d]) {
            let (station, offset) = frame.local(edge.from);
            let ((x, on_x), (y, on_y)) = (whole(station), whole(-offset));
            if !(on_x && on_y) {
                return None;
            }
            *corner = (x, y);
        }
        let [a, b, c, d] = corners;
        let square = (a.1 == b.1 && b.0 == c.0 && c.1 == d.1 && d.0 == a.0)
            || (a.0 == b.0 && b.1 == c.1 && c.0 == d.0 && d.1 == a.1);
        square.then(|| [a.0.min(c.0), a.1.min(c.1), a.0.max(c.0), a.1.max(c.1)])
    }

    /// Over which parts of a straight line, `length` from `from` along the unit vector `along`, this outline lies
    /// `depth` to its right: pairs of distances, ascending, appended to `spans`. `crossings` is scratch room.
    ///
    /// An edge that crosses at that depth counts from where it reaches the line itself, or its end nearest to it, so
    /// that what leans away from a corner is not cut short.
    pub(super) fn chords(
        &self,
        (from, along, length): (Point, Point, f64),
        depth: f64,
        crossings: &mut Vec<(f64, f64)>,
        spans: &mut Vec<(f64, f64)>,
    ) {
        crossings.clear();
        for (a, b, _) in self.edges() {
            let (ax, ay) = (a.x - from.x, a.y - from.y);
            let (bx, by) = (b.x - from.x, b.y - from.y);
            let left_a = along.x * ay - along.y * ax;
            let left_b = along.x * by - along.y * bx;
            if (left_a + depth >= 0.0) != (left_b + depth >= 0.0) {
                let (at_a, at_b) = (along.x * ax + along.y * ay, along.x * bx + along.y * by);
                let at = |share: f64| at_a + (at_b - at_a) * share.clamp(0.0, 1.0);
                let apart = left_a - left_b;
                let crossing = at((left_a + depth) / apart);
                let parallel = (at_b - at_a).abs() > PARALLEL * apart.abs();
                crossings.push((crossing, settle(if parallel { crossing } else { at(left_a / apart) })));
            }
        }
        crossings.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        for pair in crossings.chunks_exact(2) {
            if let [(_, enter), (_, leave)] = *pair {
                let (enter, leave) = (enter.max(0.0), leave.min(length));
                if leave > enter {
                    spans.push((enter, leave));
                }
            }
        }
    }
}

/// The area of an outline measured in a frame.
pub(super) fn area_in(outline: &Outline, frame: &Frame) -> Area {
    let (mut exact, mut all_whole, mut rough) = (0_i128, true, 0.0);
    for (from, to, _) in outline.edges() {
        let (a, b) = (frame.local(from), frame.local(to));
        rough += a.0 * b.1 - b.0 * a.1;
        if all_whole {
            let [(ax, w1), (ay, w2), (bx, w3), (by, w4)] = [whole(a.0), whole(a.1), whole(b.0), whole(b.1)];
            all_whole = w1 && w2 && w3 && w4;
            exact += i128::from(ax) * i128::from(by) - i128::from(bx) * i128::from(ay);
        }
    }
    // Offsets grow clockwise of stations, which turns the sign over.
    if all_whole { Area::from_nm2(-exact / 2) } else { Area::from_nm2((-rough / 2.0).round() as i128) }
}

/// Twice the area inside a ring, positive if it runs counter-clockwise; measured from its first point, so that a
/// small ring far from the origin keeps its sign.
fn doubled(ring: &[Edge]) -> f64 {
    let Some(first) = ring.first().map(|edge| edge.from) else { return 0.0 };
    ring.iter()
        .zip(ring.iter().skip(1).chain(ring.first()))
        .map(|(a, b)| {
            let (ax, ay) = (a.from.x - first.x, a.from.y - first.y);
            let (bx, by) = (b.from.x - first.x, b.from.y - first.y);
            ax * by - bx * ay
        })
        .sum()
}

/// The ring running the way asked for, each edge keeping its flank.
fn turned(ring: Ring, counter_clockwise: bool) -> Ring {
    let twice = doubled(&ring);
    if twice == 0.0 || (twice > 0.0) == counter_clockwise {
        return ring;
    }
    let points: Vec<Point> = ring.iter().map(|edge| edge.from).collect();
    let count = points.len();
    let at = |index: usize| points.get(index % count.max(1)).copied().unwrap_or_default();
    (0..count)
        .rev()
        .map(|index| Edge { from: at(index + 1), flank: ring.get(index).and_then(|edge| edge.flank) })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(side: f64) -> Vec<Point> {
        vec![Point::new(0.0, 0.0), Point::new(side, 0.0), Point::new(side, side), Point::new(0.0, side)]
    }

    #[test]
    fn either_sense_gives_the_same_area() {
        let mut points = square(1_000_001.0);
        assert_eq!(Outline::polygon(&points).area(), Area::from_nm2(1_000_001 * 1_000_001));
        points.reverse();
        assert_eq!(Outline::polygon(&points).area(), Area::from_nm2(1_000_001 * 1_000_001));
    }

    #[test]
    fn a_hole_is_taken_out() {
        let ring = |points: Vec<Point>| points.into_iter().map(|from| Edge { from, flank: None }).collect::<Ring>();
        let hole = square(100.0).into_iter().map(|p| Point::new(p.x + 10.0, p.y + 10.0)).collect();
        let outline = Outline::new(ring(square(1000.0)), vec![ring(hole)]);
        assert_eq!(outline.area(), Area::from_nm2(1_000_000 - 10_000));
        let held = [(5.0, 50.0), (50.0, 50.0), (500.0, 110.0), (1001.0, 50.0), (-1.0, 0.5)];
        assert_eq!(held.map(|(x, y)| outline.contains(Point::new(x, y))), [true, false, true, false, false]);
        let (mut room, mut spans) = (Vec::new(), Vec::new());
        let line = (Point::new(-50.0, 50.0), Point::new(1.0, 0.0), 2000.0);
        outline.chords(line, 10.0, &mut room, &mut spans);
        assert_eq!(spans, [(50.0, 60.0), (160.0, 1050.0)]);
    }

    #[test]
    fn turning_a_ring_keeps_each_edge_with_its_flank() {
        let flank = |leg| Some(Flank { side: Side::Outer, leg });
        let mut points = square(10.0);
        points.reverse();
        let ring: Ring = points.iter().enumerate().map(|(leg, &from)| Edge { from, flank: flank(leg) }).collect();
        let before: Vec<_> = Outline { rings: vec![ring.clone()] }.edges().collect();
        let after: Vec<_> = Outline::new(ring, vec![]).edges().collect();
        for (from, to, flank) in before {
            assert!(after.contains(&(to, from, flank)));
        }
    }

    #[test]
    fn nothing_has_no_area() {
        assert_eq!(Outline::default().area(), Area::ZERO);
        assert_eq!(Outline::polygon(&[]).area(), Area::ZERO);
        assert_eq!(Outline::polygon(&[Point::default(); 5]).area(), Area::ZERO);
    }
}

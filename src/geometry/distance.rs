//! How near straight things in space come to each other: bars, holes, and what is to be kept clear of.
//!
//! Holes are checked by their axes: the axes of two holes drilled from two legs of a wall may meet inside a corner.

use std::ops::{ControlFlow, Range};

use super::{Bounds, BoxTree};

/// Segments of one bar that are looked at together.
pub(super) const PARCEL: usize = 12;

/// A place in space: two plan coordinates and a height, in nanometres.
pub type Place = [f64; 3];

/// A straight stretch in space. It may have no length.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Segment {
    /// One end.
    pub from: Place,
    /// The other end.
    pub to: Place,
}

/// Where two segments come nearest, and how near.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nearest {
    /// The least distance, in nanometres.
    pub distance: f64,
    /// The place on the first.
    pub on_first: Place,
    /// The place on the second.
    pub on_second: Place,
}

/// Two segments that come near each other, by their places in the slices they came in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NearPair {
    /// The first.
    pub first: u32,
    /// The second.
    pub second: u32,
    /// Where and how near.
    pub nearest: Nearest,
}

/// The least distance of two segments.
///
/// It is reached either from an end of one of them or between the feet of their common perpendicular; parallel
/// segments have no single perpendicular, but then an end does as well.
#[must_use]
pub fn nearest(first: &Segment, second: &Segment) -> Nearest {
    let (u, v) = (minus(first.to, first.from), minus(second.to, second.from));
    let apart = minus(second.from, first.from);
    let (uu, vv, uv) = (dot(u, u), dot(v, v), dot(u, v));
    let mut best = Nearest { distance: f64::INFINITY, on_first: first.from, on_second: second.from };
    // Shares along the two segments; distances are taken from places, so that noise in a share costs nothing.
    let mut offer = |s: f64, t: f64| {
        let (on_first, on_second) = (along(first, u, s), along(second, v, t));
        let way = minus(on_second, on_first);
        let distance = dot(way, way).sqrt();
        if distance < best.distance {
            best = Nearest { distance, on_first, on_second };
        }
    };
    offer(0.0, share(-dot(apart, v), vv));
    offer(1.0, share(uv - dot(apart, v), vv));
    offer(share(dot(apart, u), uu), 0.0);
    offer(share(dot(apart, u) + uv, uu), 1.0);
    let crossed = uu * vv - uv * uv;
    if crossed > 0.0 {
        let s = share(dot(apart, u) * vv - dot(apart, v) * uv, crossed);
        offer(s, share(s * uv - dot(apart, v), vv));
    }
    best
}

/// The least distance of a segment and a triangle, which may be a line or a point: from an end of the segment
/// square to the triangle, or to an edge of it, or none where the segment passes through.
#[must_use]
pub fn nearest_to_triangle(segment: &Segment, corners: &[Place; 3]) -> Nearest {
    let [a, b, c] = *corners;
    let edges = [Segment { from: a, to: b }, Segment { from: b, to: c }, Segment { from: c, to: a }];
    let mut best = Nearest { distance: f64::INFINITY, on_first: segment.from, on_second: a };
    for edge in &edges {
        let found = nearest(segment, edge);
        if found.distance < best.distance {
            best = found;
        }
    }
    let normal = cross(minus(b, a), minus(c, a));
    let size = dot(normal, normal);
    if size <= 0.0 {
        return best;
    }
    let above = |at: Place| dot(minus(at, a), normal);
    let inside =
        |at: Place| edges.iter().all(|edge| dot(cross(minus(edge.to, edge.from), minus(at, edge.from)), normal) >= 0.0);
    for end in [segment.from, segment.to] {
        let down = above(end) / size;
        let foot = minus(end, normal.map(|way| way * down));
        let distance = down.abs() * size.sqrt();
        if distance < best.distance && inside(foot) {
            best = Nearest { distance, on_first: end, on_second: foot };
        }
    }
    let (from, to) = (above(segment.from), above(segment.to));
    if (from < 0.0) != (to < 0.0) {
        let through = along(segment, minus(segment.to, segment.from), share(from.abs(), (from - to).abs()));
        if inside(through) {
            best = Nearest { distance: 0.0, on_first: through, on_second: through };
        }
    }
    best
}

/// All pairs of segments that come nearer to each other than the reach (nanometres), by first and second, the first
/// being the earlier; none if there are more than `most`.
#[must_use]
pub fn near_pairs(segments: &[Segment], reach: f64, most: usize) -> Option<Vec<NearPair>> {
    let boxes = Boxes::new(segments.iter());
    let bounds: Vec<Bounds> = segments.iter().map(|segment| boxes.around(segment)).collect();
    let tree = BoxTree::new(&bounds);
    let mut pairs = Vec::new();
    tree.near_each_other(reach + boxes.noise, |a, b| {
        let (first, second) = (a.min(b), a.max(b));
        if let (Some(one), Some(two)) = (segments.get(first as usize), segments.get(second as usize)) {
            let nearest = nearest(one, two);
            if nearest.distance < reach {
                pairs.push(NearPair { first, second, nearest });
            }
        }
        if pairs.len() > most { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    });
    pairs.sort_unstable_by_key(|pair| (pair.first, pair.second));
    (pairs.len() <= most).then_some(pairs)
}

/// Calls back with each two segments of unlike owners that come nearer to each other than the reach (nanometres), once each,
/// the earlier first, in no order that means anything. `owners` stands beside `segments`.
///
/// Looks at `most` pairs at the most; whether that was enough for all.
pub fn near_of_others(
    segments: &[Segment],
    owners: &[u32],
    reach: f64,
    most: u64,
    mut found: impl FnMut(u32, u32, Nearest),
) -> bool {
    let boxes = Boxes::new(segments.iter());
    let bounds: Vec<Bounds> = segments.iter().map(|segment| boxes.around(segment)).collect();
    let parcels = parcels(owners);
    let around: Vec<Bounds> = parcels.iter().map(|parcel| Bounds::holding(&bounds, parcel)).collect();
    let tree = BoxTree::new(&around);
    let margin = reach + boxes.noise;
    let (mut left, mut enough) = (most, true);
    tree.near_each_other(margin, |one, two| {
        let (Some(firsts), Some(seconds)) = (parcels.get(one.min(two) as usize), parcels.get(one.max(two) as usize))
        else {
            return ControlFlow::Continue(());
        };
        if owners.get(firsts.start as usize) == owners.get(seconds.start as usize) {
            return ControlFlow::Continue(());
        }
        for first in firsts.clone() {
            let (Some(segment), Some(own)) = (segments.get(first as usize), bounds.get(first as usize)) else {
                continue;
            };
            let own = own.grown(margin);
            for second in seconds.clone() {
                let (Some(other), Some(its)) = (segments.get(second as usize), bounds.get(second as usize)) else {
                    continue;
                };
                if !own.touches(its) {
                    continue;
                }
                let Some(after) = left.checked_sub(1) else {
                    enough = false;
                    return ControlFlow::Break(());
                };
                left = after;
                let nearest = nearest(segment, other);
                if nearest.distance < reach {
                    found(first, second, nearest);
                }
            }
        }
        ControlFlow::Continue(())
    });
    enough
}

/// Segments that follow each other and have one owner, so many at most: most of them come near nothing together.
fn parcels(owners: &[u32]) -> Vec<Range<u32>> {
    let mut out = Vec::new();
    let mut start = 0;
    for same in owners.chunk_by(|one, other| one == other) {
        for part in same.chunks(PARCEL) {
            let end = start + part.len() as u32;
            out.push(start..end);
            start = end;
        }
    }
    out
}

/// All pairs of one segment of the first and one of the second slice that come nearer to each other than the reach
/// (nanometres), by first and second.
#[must_use]
pub fn near_pairs_between(firsts: &[Segment], seconds: &[Segment], reach: f64) -> Vec<NearPair> {
    let boxes = Boxes::new(firsts.iter().chain(seconds));
    let bounds: Vec<Bounds> = seconds.iter().map(|segment| boxes.around(segment)).collect();
    let tree = BoxTree::new(&bounds);
    let mut pairs = Vec::new();
    let mut found = Vec::new();
    for (first, segment) in firsts.iter().enumerate() {
        tree.touching(&boxes.around(segment).grown(reach + boxes.noise), &mut found);
        for &second in &found {
            let Some(other) = seconds.get(second as usize) else { continue };
            let nearest = nearest(segment, other);
            if nearest.distance < reach {
                pairs.push(NearPair { first: first as u32, second, nearest });
            }
        }
    }
    pairs
}

/// The axes boxes are drawn along: turned in plan into the direction most of the length runs in or across, because
/// the box round a slanting bar holds much that is not near it.
pub(super) struct Boxes {
    cos: f64,
    sin: f64,
    /// More than turning can move a place.
    pub noise: f64,
}

impl Boxes {
    pub fn new<'a>(segments: impl Iterator<Item = &'a Segment>) -> Boxes {
        // Directions a right angle apart are the same direction after the fourth power.
        let (mut real, mut imaginary, mut farthest) = (0.0, 0.0, 0.0_f64);
        for segment in segments {
            let [x, y, _] = minus(segment.to, segment.from);
            // No coordinate is so large that its square were not a number.
            let length = (x * x + y * y).sqrt();
            if length > 0.0 {
                let (cos, sin) = (x / length, y / length);
                let (cos, sin) = (cos * cos - sin * sin, 2.0 * cos * sin);
                real += length * (cos * cos - sin * sin);
                imaginary += length * 2.0 * cos * sin;
            }
            for end in [segment.from, segment.to] {
                for at in end {
                    farthest = farthest.max(at.abs());
                }
            }
        }
        let (sin, cos) = (imaginary.atan2(real) / 4.0).sin_cos();
        Boxes { cos, sin, noise: farthest * 1e-14 }
    }

    pub fn around(&self, segment: &Segment) -> Bounds {
        Bounds::around([self.turned(segment.from), self.turned(segment.to)])
    }

    pub fn turned(&self, [x, y, z]: Place) -> Place {
        [x * self.cos + y * self.sin, y * self.cos - x * self.sin, z]
    }
}

/// A share from 0 to 1; of nothing, none.
fn share(part: f64, whole: f64) -> f64 {
    if whole > 0.0 { (part / whole).clamp(0.0, 1.0) } else { 0.0 }
}

fn along(segment: &Segment, way: Place, share: f64) -> Place {
    if share >= 1.0 {
        return segment.to;
    }
    let ([x, y, z], [dx, dy, dz]) = (segment.from, way);
    [x + share * dx, y + share * dy, z + share * dz]
}

fn minus([ax, ay, az]: Place, [bx, by, bz]: Place) -> Place {
    [ax - bx, ay - by, az - bz]
}

fn cross([ax, ay, az]: Place, [bx, by, bz]: Place) -> Place {
    [ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx]
}

fn dot([ax, ay, az]: Place, [bx, by, bz]: Place) -> f64 {
    ax * bx + ay * by + az * bz
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{
        geometry::{Leg, Point, Run},
        units::Length,
    };

    const INCH: f64 = 25.4e6;

    fn segment(from: Place, to: Place) -> Segment {
        Segment { from, to }
    }

    #[test]
    fn known_distances() {
        let x = segment([0.0, 0.0, 0.0], [10.0, 0.0, 0.0]);
        let across = segment([5.0, -5.0, 3.0], [5.0, 5.0, 3.0]);
        let found = nearest(&x, &across);
        assert_eq!(found, Nearest { distance: 3.0, on_first: [5.0, 0.0, 0.0], on_second: [5.0, 0.0, 3.0] });
        let beside = segment([3.0, 4.0, 0.0], [30.0, 4.0, 0.0]);
        assert_eq!(nearest(&x, &beside).distance, 4.0);
        let beyond = segment([13.0, 4.0, 0.0], [30.0, 4.0, 0.0]);
        assert_eq!(nearest(&x, &beyond).distance, 5.0);
        let point = segment([4.0, 0.0, 2.0], [4.0, 0.0, 2.0]);
        assert_eq!(nearest(&x, &point).distance, 2.0);
        assert_eq!(nearest(&point, &x).on_second, [4.0, 0.0, 0.0]);
        assert_eq!(nearest(&point, &point).distance, 0.0);
        let triangle = [[0.0, 0.0, 0.0], [0.0, 10.0, 0.0], [0.0, 0.0, 10.0]];
        assert_eq!(nearest_to_triangle(&segment([3.0, 2.0, 2.0], [9.0, 2.0, 2.0]), &triangle).distance, 3.0);
        assert_eq!(nearest_to_triangle(&segment([-3.0, 2.0, 2.0], [9.0, 2.0, 2.0]), &triangle).distance, 0.0);
        assert_eq!(nearest_to_triangle(&segment([-3.0, 2.0, -4.0], [9.0, 2.0, -4.0]), &triangle).distance, 4.0);
    }

    /// An axis of a hole 6 in deep, square into the old wall.
    fn hole(run: &Run, leg: usize, station: f64) -> Segment {
        let station = Length::round_nm(station * INCH);
        let at = |depth: f64| {
            let point = run.point(leg, station, Length::round_nm(-depth * INCH)).unwrap();
            [point.x, point.y, 0.0]
        };
        segment(at(0.0), at(6.0))
    }

    #[test]
    fn holes_of_two_legs_pass_or_cross_inside_the_corner() {
        let legs = [120.0, 36.0].map(|length| Leg { length: Length::round_nm(length * INCH) }).to_vec();
        let run = Run::new(Point::default(), 20.0, legs, vec![90.0], false);
        let passing = nearest(&hole(&run, 0, 111.0), &hole(&run, 1, 9.0)).distance / INCH;
        assert!((passing - 18.0_f64.sqrt()).abs() < 1e-9);
        let crossing = nearest(&hole(&run, 0, 115.0), &hole(&run, 1, 5.0)).distance / INCH;
        assert!(crossing < 1e-9);
        let all: Vec<Segment> = [111.0, 115.0]
            .map(|at| hole(&run, 0, at))
            .into_iter()
            .chain([5.0, 9.0].map(|at| hole(&run, 1, at)))
            .collect();
        let near: Vec<(u32, u32)> =
            near_pairs(&all, 2.0 * INCH, 9).unwrap().iter().map(|pair| (pair.first, pair.second)).collect();
        assert_eq!(near, [(1, 2)]);
    }

    fn place() -> impl Strategy<Value = Place> {
        [-1000.0..1000.0_f64, -1000.0..1000.0, -200.0..200.0]
    }

    /// Short, long, parallel and zero-length segments.
    fn scene(count: usize) -> impl Strategy<Value = Vec<Segment>> {
        let way = prop_oneof![
            [-60.0..60.0_f64, -60.0..60.0, -60.0..60.0],
            Just([80.0, 0.0, 0.0]),
            Just([0.0, 900.0, 0.0]),
            Just([0.0; 3]),
        ];
        let one = (place(), way).prop_map(|(from, [x, y, z])| segment(from, [from[0] + x, from[1] + y, from[2] + z]));
        prop::collection::vec(one, 0..count)
    }

    /// The least distance by search: how far a place on the first is from the second is a convex function of the
    /// share along the first, and so is how far it is from a place on the second.
    fn by_search(a: &Segment, b: &Segment) -> f64 {
        fn least(of: impl Fn(f64) -> f64) -> f64 {
            let (mut low, mut high) = (0.0, 1.0);
            for _ in 0..100 {
                let third = (high - low) / 3.0;
                if of(low + third) <= of(high - third) {
                    high -= third;
                } else {
                    low += third;
                }
            }
            of(low).min(of(high))
        }
        let (u, v) = (minus(a.to, a.from), minus(b.to, b.from));
        least(|s| {
            least(|t| {
                let way = minus(along(a, u, s), along(b, v, t));
                dot(way, way).sqrt()
            })
        })
    }

    fn naive(segments: &[Segment], reach: f64) -> Vec<NearPair> {
        let mut pairs = Vec::new();
        for (first, a) in segments.iter().enumerate() {
            for (second, b) in segments.iter().enumerate().skip(first + 1) {
                let nearest = nearest(a, b);
                if nearest.distance < reach {
                    pairs.push(NearPair { first: first as u32, second: second as u32, nearest });
                }
            }
        }
        pairs
    }

    proptest! {
        #[test]
        fn the_distance_is_the_least_there_is(segments in scene(8)) {
            for pair in segments.windows(2) {
                let found = nearest(&pair[0], &pair[1]);
                let way = minus(found.on_first, found.on_second);
                prop_assert!((dot(way, way).sqrt() - found.distance).abs() < 1e-9);
                prop_assert!((found.distance - by_search(&pair[0], &pair[1])).abs() < 1e-4);
                prop_assert!((found.distance - nearest(&pair[1], &pair[0]).distance).abs() < 1e-9);
            }
        }

        #[test]
        fn the_distance_to_a_triangle_is_the_least_to_its_fans(
            segment in scene(2), corners in [place(), place(), place()], flat in any::<bool>(),
        ) {
            let Some(segment) = segment.first() else { return Ok(()) };
            let [a, b, mut c] = corners;
            if flat {
                c = along(&Segment { from: a, to: b }, minus(b, a), 0.4);
            }
            let found = nearest_to_triangle(segment, &[a, b, c]);
            let way = minus(found.on_first, found.on_second);
            prop_assert!((dot(way, way).sqrt() - found.distance).abs() < 1e-6);
            // The triangle as a fan of segments from a corner: never nearer, and as near as the fan is fine.
            let edge = Segment { from: b, to: c };
            let fan = (0..=2000).map(|rib| Segment { from: a, to: along(&edge, minus(c, b), f64::from(rib) / 2000.0) });
            let least = fan.map(|rib| nearest(segment, &rib).distance).fold(f64::INFINITY, f64::min);
            prop_assert!(found.distance <= least + 1e-6);
            prop_assert!(least - found.distance < 2.0, "{} {least}", found.distance);
        }

        #[test]
        fn near_pairs_are_those_of_asking_all(segments in scene(150), reach in 0.0..100.0) {
            let all = naive(&segments, reach);
            if let Some(fewer) = all.len().checked_sub(1) {
                prop_assert_eq!(near_pairs(&segments, reach, fewer), None);
            }
            prop_assert_eq!(near_pairs(&segments, reach, all.len()), Some(all));
            let owners: Vec<u32> = (0..segments.len() as u32).map(|at| at / 3).collect();
            let mut of_others = Vec::new();
            let all = near_of_others(&segments, &owners, reach, u64::MAX, |first, second, nearest| {
                of_others.push(NearPair { first, second, nearest });
            });
            prop_assert!(all);
            of_others.sort_by_key(|pair| (pair.first, pair.second));
            let wanted: Vec<NearPair> =
                naive(&segments, reach).into_iter().filter(|pair| pair.first / 3 != pair.second / 3).collect();
            prop_assert_eq!(of_others, wanted);
            let (some, others) = segments.split_at(segments.len() / 3);
            let across: Vec<(u32, u32)> = naive(&segments, reach)
                .iter()
                .filter(|pair| (pair.first as usize) < some.len() && pair.second as usize >= some.len())
                .map(|pair| (pair.first, pair.second - some.len() as u32))
                .collect();
            let found: Vec<(u32, u32)> =
                near_pairs_between(some, others, reach).iter().map(|pair| (pair.first, pair.second)).collect();
            prop_assert_eq!(found, across);
        }

        #[test]
        fn moving_and_turning_the_scene_changes_no_pair(
            segments in scene(60),
            turned in 0.0..360.0_f64,
            by in place(),
            reach in 1.0..100.0_f64,
        ) {
            let (sin, cos) = turned.to_radians().sin_cos();
            let moved = |[x, y, z]: Place| [x * cos - y * sin + by[0], x * sin + y * cos + by[1], z + by[2]];
            let there: Vec<Segment> = segments.iter().map(|s| segment(moved(s.from), moved(s.to))).collect();
            // A pair just at the reach may fall to either side by noise.
            let clear = naive(&segments, reach * 2.0).iter().all(|pair| (pair.nearest.distance - reach).abs() > 1e-6);
            prop_assume!(clear);
            let all = |segments: &[Segment]| near_pairs(segments, reach, usize::MAX).unwrap();
            let (here, there) = (all(&segments), all(&there));
            prop_assert_eq!(here.len(), there.len());
            for (a, b) in here.iter().zip(&there) {
                prop_assert_eq!((a.first, a.second), (b.first, b.second));
                prop_assert!((a.nearest.distance - b.nearest.distance).abs() < 1e-6);
            }
        }
    }

    #[test]
    fn what_is_no_place_is_near_nothing() {
        let odd = [
            segment([f64::NAN; 3], [0.0; 3]),
            segment([f64::INFINITY, 0.0, 0.0], [0.0; 3]),
            segment([0.0; 3], [1.0, 0.0, 0.0]),
        ];
        assert!(near_pairs(&odd, 0.5, 0).unwrap().is_empty());
        assert!(near_pairs(&[], 1.0, 0).unwrap().is_empty());
        assert!(near_pairs(&odd, -1.0, 0).unwrap().is_empty());
    }
}

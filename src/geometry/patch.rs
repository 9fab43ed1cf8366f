//! Plane patches of a surface in space, and how near straight things come to them.

use super::{
    Bounds, BoxTree, Outline, Point,
    distance::{Boxes, Nearest, PARCEL, Place, Segment, nearest},
    point::nm,
};
use crate::units::Length;

/// A plane part of a surface.
#[derive(Debug, Clone, PartialEq)]
pub enum Patch {
    /// A rectangle that stands on a plan edge.
    Upright {
        /// Where the edge starts.
        from: Point,
        /// Where it ends.
        to: Point,
        /// Its lower edge.
        bottom: Length,
        /// Its upper edge.
        top: Length,
    },
    /// An area of the plan at a height.
    Level {
        /// The area.
        plan: Outline,
        /// The height.
        height: Length,
    },
}

impl Patch {
    /// The smallest box round it, in the frame turned by these.
    fn bounds(&self, boxes: &Boxes) -> Bounds {
        let mut bounds = Bounds::EMPTY;
        match self {
            Patch::Upright { from, to, bottom, top } => {
                bounds.take_in(boxes.turned([from.x, from.y, nm(*bottom)]));
                bounds.take_in(boxes.turned([to.x, to.y, nm(*top)]));
            }
            Patch::Level { plan, height } => {
                for (from, _, _) in plan.edges() {
                    bounds.take_in(boxes.turned([from.x, from.y, nm(*height)]));
                }
            }
        }
        bounds
    }

    /// How far a place lies from the plane of this patch, in nanometres.
    #[must_use]
    pub fn off_plane(&self, [x, y, z]: Place) -> f64 {
        match self {
            Patch::Upright { from, to, .. } => {
                let length = from.distance(*to).max(f64::MIN_POSITIVE);
                (((x - from.x) * (to.y - from.y) - (y - from.y) * (to.x - from.x)) / length).abs()
            }
            Patch::Level { height, .. } => (z - nm(*height)).abs(),
        }
    }

    /// The least distance of a segment and this patch: from an end of the segment square to the patch, or to an edge of
    /// it, or none where the segment passes through.
    #[must_use]
    pub fn nearest(&self, segment: &Segment) -> Nearest {
        match self {
            Patch::Upright { from, to, bottom, top } => upright(segment, (*from, *to), nm(*bottom), nm(*top)),
            Patch::Level { plan, height } => level(segment, plan, nm(*height)),
        }
    }
}

/// What a patch is as seen from a segment: how far each place is before it, and what lies over it.
struct Plane<A, I> {
    above: A,
    inside: I,
    /// Square to the patch, a unit vector.
    normal: Place,
}

impl<A: Fn(Place) -> f64, I: Fn(Place) -> bool> Plane<A, I> {
    /// The distance that is not to an edge, and whether edges can be any nearer: not if the segment stays on one side and
    /// its end nearer to the plane lies over the patch.
    fn nearest(&self, segment: &Segment) -> (Nearest, bool) {
        let mut best = Nearest { distance: f64::INFINITY, on_first: segment.from, on_second: segment.from };
        let (from, to) = ((self.above)(segment.from), (self.above)(segment.to));
        for (end, above) in [(segment.from, from), (segment.to, to)] {
            if above.abs() < best.distance && (self.inside)(end) {
                let ([x, y, z], [nx, ny, nz]) = (end, self.normal);
                let foot = [x - nx * above, y - ny * above, z - nz * above];
                best = Nearest { distance: above.abs(), on_first: end, on_second: foot };
            }
        }
        if (from < 0.0) != (to < 0.0) {
            let share = if from == to { 0.0 } else { from / (from - to) };
            let at = |axis: usize| {
                let (a, b) = (segment.from.get(axis), segment.to.get(axis));
                a.zip(b).map_or(0.0, |(a, b)| a + (b - a) * share)
            };
            let through = [at(0), at(1), at(2)];
            if (self.inside)(through) {
                return (Nearest { distance: 0.0, on_first: through, on_second: through }, false);
            }
        }
        (best, (from < 0.0) != (to < 0.0) || best.distance > from.abs().min(to.abs()))
    }
}

fn upright(segment: &Segment, (from, to): (Point, Point), bottom: f64, top: f64) -> Nearest {
    let length = from.distance(to).max(f64::MIN_POSITIVE);
    let (ux, uy) = ((to.x - from.x) / length, (to.y - from.y) / length);
    let plane = Plane {
        above: |[x, y, _]: Place| (x - from.x) * uy - (y - from.y) * ux,
        inside: |[x, y, z]: Place| {
            let along = (x - from.x) * ux + (y - from.y) * uy;
            (0.0..=length).contains(&along) && (bottom..=top).contains(&z)
        },
        normal: [uy, -ux, 0.0],
    };
    let (mut best, edges) = plane.nearest(segment);
    if edges {
        let corner = |point: Point, height: f64| [point.x, point.y, height];
        let corners = [corner(from, bottom), corner(to, bottom), corner(to, top), corner(from, top)];
        for (at, start) in corners.iter().enumerate() {
            let end = corners.get((at + 1) % 4).copied().unwrap_or(*start);
            nearer(&mut best, nearest(segment, &Segment { from: *start, to: end }));
        }
    }
    best
}

fn level(segment: &Segment, plan: &Outline, height: f64) -> Nearest {
    let plane = Plane {
        above: |[_, _, z]: Place| z - height,
        inside: |[x, y, _]: Place| plan.contains(Point::new(x, y)),
        normal: [0.0, 0.0, 1.0],
    };
    let (mut best, edges) = plane.nearest(segment);
    if edges {
        for (from, to, _) in plan.edges() {
            let edge = Segment { from: [from.x, from.y, height], to: [to.x, to.y, height] };
            nearer(&mut best, nearest(segment, &edge));
        }
    }
    best
}

fn nearer(best: &mut Nearest, found: Nearest) {
    if found.distance < best.distance {
        *best = found;
    }
}

/// Calls back with each segment and patch that come no farther apart than the reach (nanometres), by their places in the
/// slices, segment by segment, with the nearest places on both.
pub fn near_patches(segments: &[Segment], patches: &[Patch], reach: f64, mut found: impl FnMut(u32, u32, Nearest)) {
    patches_about(segments, patches, reach, |first, second, _| {
        let (Some(segment), Some(patch)) = (segments.get(first as usize), patches.get(second as usize)) else { return };
        let nearest = patch.nearest(segment);
        if nearest.distance <= reach {
            found(first, second, nearest);
        }
    });
}

/// Calls back with each segment and patch whose boxes are no farther apart than the reach (nanometres) along every axis, by
/// their places in the slices, segment by segment, with how far apart they are at least: for callers who need not know exactly
/// how near what is surely too far is.
pub fn patches_about(segments: &[Segment], patches: &[Patch], reach: f64, mut found: impl FnMut(u32, u32, f64)) {
    let edges: Vec<Segment> = patches
        .iter()
        .filter_map(|patch| match patch {
            Patch::Upright { from, to, .. } => Some(Segment { from: [from.x, from.y, 0.0], to: [to.x, to.y, 0.0] }),
            Patch::Level { .. } => None,
        })
        .collect();
    let boxes = Boxes::new(segments.iter().chain(&edges));
    let bounds: Vec<Bounds> = patches.iter().map(|patch| patch.bounds(&boxes)).collect();
    let tree = BoxTree::new(&bounds);
    let mut near = Vec::new();
    let margin = reach + boxes.noise;
    let mut start = 0;
    for chain in segments.chunk_by(|one, next| one.to == next.from).flat_map(|chain| chain.chunks(PARCEL)) {
        // The parts of a bend lie so near each other that they are looked for together.
        let mut all = Bounds::EMPTY;
        chain.iter().for_each(|segment| all.join(&boxes.around(segment)));
        tree.touching(&all.grown(margin), &mut near);
        for (first, segment) in (start..).zip(chain) {
            let own = boxes.around(segment);
            let grown = own.grown(margin);
            for &second in &near {
                let Some(other) = bounds.get(second as usize).filter(|other| grown.touches(other)) else { continue };
                found(first, second, own.apart(other) - boxes.noise);
            }
        }
        start += chain.len() as u32;
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::geometry::distance::nearest_to_triangle;

    fn place() -> impl Strategy<Value = Place> {
        [-100.0..100.0_f64, -100.0..100.0, -100.0..100.0]
    }

    fn turned(x: f64, y: f64, by: f64) -> Point {
        let (sin, cos) = by.to_radians().sin_cos();
        Point::new(x * cos - y * sin, x * sin + y * cos)
    }

    /// An upright rectangle, and the two triangles it is made of.
    fn standing(width: f64, (bottom, top): (i64, i64), by: f64) -> (Patch, [[Place; 3]; 2]) {
        let (from, to) = (turned(-20.0, 5.0, by), turned(-20.0 + width, 5.0, by));
        let corner = |point: Point, height: i64| [point.x, point.y, height as f64];
        let [a, b, c, d] = [corner(from, bottom), corner(to, bottom), corner(to, top), corner(from, top)];
        let patch = Patch::Upright { from, to, bottom: Length::from_nm(bottom), top: Length::from_nm(top) };
        (patch, [[a, b, c], [a, c, d]])
    }

    /// A level L, and the triangles it is made of.
    fn lying(height: i64, by: f64) -> (Patch, Vec<[Place; 3]>) {
        let ring = [(0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (20.0, 20.0), (20.0, 70.0), (0.0, 70.0)];
        let plan: Vec<Point> = ring.iter().map(|&(x, y)| turned(x, y, by)).collect();
        let at = |index: usize| [plan[index].x, plan[index].y, height as f64];
        let triangles = [[0, 1, 2], [0, 2, 3], [0, 3, 4], [0, 4, 5]].map(|corners| corners.map(at)).to_vec();
        (Patch::Level { plan: Outline::polygon(&plan), height: Length::from_nm(height) }, triangles)
    }

    proptest! {
        #[test]
        fn a_patch_is_as_near_as_its_triangles(
            from in place(), to in place(), width in 1.0..90.0_f64, bottom in -60..0_i64, top in 1..60_i64,
            height in -50..50_i64, by in 0.0..360.0_f64, short in any::<bool>(),
        ) {
            let to = if short { from } else { to };
            let segment = Segment { from, to };
            let (wall, two) = standing(width, (bottom, top), by);
            let (floor, four) = lying(height, by);
            for (patch, triangles) in [(wall, two.to_vec()), (floor, four)] {
                let found = patch.nearest(&segment);
                let wanted = triangles
                    .iter()
                    .map(|triangle| nearest_to_triangle(&segment, triangle).distance)
                    .fold(f64::INFINITY, f64::min);
                prop_assert!((found.distance - wanted).abs() < 1e-6, "{} {wanted}", found.distance);
                prop_assert!(patch.off_plane(found.on_second) < 1e-6);
                let end = Segment { from, to: from };
                prop_assert!(patch.off_plane(from) <= patch.nearest(&end).distance + 1e-6);
                let way: f64 = (0..3).map(|at| (found.on_first[at] - found.on_second[at]).powi(2)).sum();
                prop_assert!((way.sqrt() - found.distance).abs() < 1e-6);
            }
        }

        #[test]
        fn what_is_near_is_what_asking_all_finds(
            ends in prop::collection::vec((place(), place()), 1..20), by in 0.0..360.0_f64, reach in 0.0..60.0_f64,
        ) {
            let segments: Vec<Segment> = ends.into_iter().map(|(from, to)| Segment { from, to }).collect();
            let patches = [
                standing(30.0, (-40, 5), by).0,
                standing(80.0, (10, 50), by + 90.0).0,
                lying(-30, by).0,
                lying(45, by + 30.0).0,
            ];
            let mut found = Vec::new();
            near_patches(&segments, &patches, reach, |segment, patch, nearest| {
                found.push((segment, patch, nearest.distance));
            });
            let mut all = Vec::new();
            for (first, segment) in segments.iter().enumerate() {
                for (second, patch) in patches.iter().enumerate() {
                    let distance = patch.nearest(segment).distance;
                    if distance <= reach {
                        all.push((first as u32, second as u32, distance));
                    }
                }
            }
            let all_near = all.len();
            prop_assert_eq!(found, all);
            // How far apart they are at least is never more than how far apart they are.
            let mut looked = 0;
            let mut far = Vec::new();
            patches_about(&segments, &patches, reach, |segment, patch, least| {
                looked += 1;
                let distance = patches[patch as usize].nearest(&segments[segment as usize]).distance;
                if least > distance {
                    far.push((segment, patch, least, distance));
                }
            });
            prop_assert!(far.is_empty(), "{far:?}");
            prop_assert!(looked >= all_near);
        }
    }

    #[test]
    fn a_segment_moved_towards_a_flat_face_comes_nearer_by_as_much() {
        let (wall, _) = standing(90.0, (-50, 50), 0.0);
        let far = Segment { from: [0.0, -30.0, 0.0], to: [40.0, -30.0, 10.0] };
        let near = Segment { from: [0.0, -29.0, 0.0], to: [40.0, -29.0, 10.0] };
        assert_eq!(wall.nearest(&far).distance - wall.nearest(&near).distance, 1.0);
    }
}

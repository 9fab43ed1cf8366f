//! Upright bodies looked at slantwise from above, parallel lines parallel: what is seen of them, and what they hide.

use crate::geometry::{Outline, Point};

/// How far above the level one looks from, in degrees.
const ABOVE: f64 = 28.0;
/// What lies less than this behind a body touches it, in nanometres.
const HAIR: f64 = 20_000.0;

/// An upright prism, in nanometres.
#[derive(Debug, Clone, Copy)]
pub struct Prism<'p> {
    /// Its plan.
    pub outline: &'p Outline,
    /// The level of its underside.
    pub bottom: f64,
    /// The level of its top.
    pub top: f64,
}

impl Prism<'_> {
    /// Its edges: round its foot, round its top, and those that stand.
    pub fn edges(&self) -> impl Iterator<Item = [[f64; 3]; 2]> + '_ {
        let (low, high) = (self.bottom, self.top);
        self.outline.edges().flat_map(move |(a, b, _)| {
            [
                [[a.x, a.y, low], [b.x, b.y, low]],
                [[a.x, a.y, high], [b.x, b.y, high]],
                [[a.x, a.y, low], [a.x, a.y, high]],
            ]
        })
    }
}

/// The place so far on from one to another.
#[must_use]
pub fn between(from: [f64; 3], to: [f64; 3], share: f64) -> [f64; 3] {
    let [x, y, z] = from;
    [x + (to[0] - x) * share, y + (to[1] - y) * share, z + (to[2] - z) * share]
}

/// Where a face of a prism lies.
enum Plane {
    /// A top at this level.
    Level(f64),
    /// A side over this edge of the plan, its outside to the right.
    Upright(Point, Point),
}

/// The way one looks.
#[derive(Debug, Clone, Copy)]
pub struct Slant {
    /// Towards the viewer, in plan; a unit vector.
    pub towards: (f64, f64),
}

impl Slant {
    /// To the right and up as it is seen, in nanometres.
    #[must_use]
    pub fn project(&self, [x, y, height]: [f64; 3]) -> (f64, f64) {
        let (sin, cos) = ABOVE.to_radians().sin_cos();
        let right = -x * self.towards.1 + y * self.towards.0;
        let near = x * self.towards.0 + y * self.towards.1;
        (right, height * cos - near * sin)
    }

    fn spot(&self, at: Point, level: f64) -> Point {
        let (right, up) = self.project([at.x, at.y, level]);
        Point::new(right, up)
    }

    /// The faces one sees of a body alone, its top and its sides towards the viewer, each as it is projected.
    fn faces(&self, body: &Prism) -> Vec<(Plane, Outline)> {
        let mut top = body.outline.clone();
        for edge in top.rings.iter_mut().flatten() {
            edge.from = self.spot(edge.from, body.top);
        }
        let mut out = vec![(Plane::Level(body.top), top)];
        for (a, b, _) in body.outline.edges() {
            // The outside is to the right of every edge.
            if (b.y - a.y) * self.towards.0 - (b.x - a.x) * self.towards.1 > 0.0 {
                let corners = [(a, body.bottom), (b, body.bottom), (b, body.top), (a, body.top)];
                let side = Outline::polygon(&corners.map(|(at, level)| self.spot(at, level)));
                out.push((Plane::Upright(a, b), side));
            }
        }
        out
    }

    /// What is seen of the faces of a body past opaque ones, as it is projected: nothing nearer to the viewer lies before it.
    #[must_use]
    pub fn seen(&self, body: &Prism, opaque: &[Prism]) -> Vec<Outline> {
        let mut out = Vec::new();
        for (plane, face) in self.faces(body) {
            let bounds = face.bounds();
            let covers: Vec<Outline> = opaque
                .iter()
                .filter_map(|other| before(other, &plane))
                .flat_map(|(outline, bottom, top)| self.faces(&Prism { outline: &outline, bottom, top }))
                .map(|(_, cover)| cover)
                .filter(|cover| cover.bounds().touches(&bounds))
                .collect();
            if covers.is_empty() {
                out.push(face);
            } else {
                out.extend(face.less(&covers));
            }
        }
        out
    }

    /// The pieces of a line that are seen and those that bodies hide, by their shares of it. A line changes only where it
    /// crosses an edge as it is seen.
    #[must_use]
    pub fn pieces(&self, [from, to]: [[f64; 3]; 2], bodies: &[Prism]) -> Vec<(f64, f64, bool)> {
        let (a, b) = (self.project(from), self.project(to));
        let along = (b.0 - a.0, b.1 - a.1);
        let mut cuts = vec![0.0, 1.0];
        for [c, d] in bodies.iter().flat_map(Prism::edges) {
            let (c, d) = (self.project(c), self.project(d));
            let across = (d.0 - c.0, d.1 - c.1);
            let turn = along.0 * across.1 - along.1 * across.0;
            if turn.abs() < 1.0 {
                continue;
            }
            let off = (c.0 - a.0, c.1 - a.1);
            let share = (off.0 * across.1 - off.1 * across.0) / turn;
            let on_other = (off.0 * along.1 - off.1 * along.0) / turn;
            if (1e-6..=1.0 - 1e-6).contains(&share) && (-1e-6..=1.0 + 1e-6).contains(&on_other) {
                cuts.push(share);
            }
        }
        cuts.sort_by(f64::total_cmp);
        let mut out: Vec<(f64, f64, bool)> = Vec::new();
        for pair in cuts.windows(2) {
            let &[begin, end] = pair else { continue };
            if end - begin < 1e-6 {
                continue;
            }
            let middle = between(from, to, (begin + end) / 2.0);
            let is_hidden = bodies.iter().any(|body| self.hides(body, middle));
            match out.last_mut() {
                Some(last) if last.2 == is_hidden => last.1 = end,
                _ => out.push((begin, end, is_hidden)),
            }
        }
        out
    }

    /// Whether a body lies between a place and the viewer: the way there runs through it for more than a hair's breadth.
    #[must_use]
    pub fn hides(&self, body: &Prism, [x, y, z]: [f64; 3]) -> bool {
        let rise = ABOVE.to_radians().tan();
        let (low, high) = ((body.bottom - z) / rise, (body.top - z) / rise);
        let (low, high) = (low.max(0.0), high);
        if high - low < HAIR {
            return false;
        }
        // Where the way crosses the outline in plan; inside between every second pair.
        let (tx, ty) = self.towards;
        let mut crossed: Vec<f64> = Vec::new();
        for (a, b, _) in body.outline.edges() {
            let (side_a, side_b) = ((a.x - x) * ty - (a.y - y) * tx, (b.x - x) * ty - (b.y - y) * tx);
            if (side_a > 0.0) != (side_b > 0.0) {
                let share = side_a / (side_a - side_b);
                let (cx, cy) = (a.x + (b.x - a.x) * share - x, a.y + (b.y - a.y) * share - y);
                crossed.push(cx * tx + cy * ty);
            }
        }
        crossed.sort_by(f64::total_cmp);
        crossed.chunks(2).any(|pair| match pair {
            [enters, leaves] => leaves.min(high) - enters.max(low) > HAIR,
            _ => false,
        })
    }
}

/// What of a body lies before a plane, towards the viewer: its plan, its bottom and its top. All of it that is seen at a place
/// of the plane is nearer than that place.
fn before(body: &Prism, plane: &Plane) -> Option<(Outline, f64, f64)> {
    match plane {
        Plane::Level(level) => {
            let bottom = body.bottom.max(level + HAIR);
            (bottom < body.top).then(|| (body.outline.clone(), bottom, body.top))
        }
        Plane::Upright(from, to) => {
            let outline = body.outline.right_of(*from, *to, HAIR);
            (!outline.rings.is_empty()).then_some((outline, body.bottom, body.top))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FROM_SOUTH: Slant = Slant { towards: (0.0, -1.0) };

    fn square(from: (f64, f64), to: (f64, f64)) -> Outline {
        let point = |x: f64, y: f64| Point::new(x * 1e9, y * 1e9);
        Outline::polygon(&[point(from.0, from.1), point(to.0, from.1), point(to.0, to.1), point(from.0, to.1)])
    }

    /// A wall of two metres, seen from before and above, and a block behind its left half.
    #[test]
    fn what_is_behind_another_body_is_hidden_just_so_far() {
        let (wall, block) = (square((0.0, 0.0), (2.0, 0.2)), square((-1.0, 1.0), (1.0, 1.5)));
        let bodies =
            [Prism { outline: &wall, bottom: 0.0, top: 2e9 }, Prism { outline: &block, bottom: 0.0, top: 0.5e9 }];
        // The lower front edge of the block: free left of the wall, hidden behind it.
        let pieces = FROM_SOUTH.pieces([[-1e9, 1e9, 0.0], [1e9, 1e9, 0.0]], &bodies);
        assert_eq!(pieces.len(), 2, "{pieces:?}");
        assert!(!pieces[0].2 && pieces[1].2 && (pieces[0].1 - 0.5).abs() < 1e-9, "{pieces:?}");
        // The wall's own: its foot before is seen, its foot behind is not, its top is.
        let foot = |y: f64, z: f64| FROM_SOUTH.pieces([[0.0, y, z], [2e9, y, z]], &bodies);
        assert_eq!(foot(0.0, 0.0), [(0.0, 1.0, false)]);
        assert_eq!(foot(0.2e9, 0.0), [(0.0, 1.0, true)]);
        assert_eq!(foot(0.2e9, 2e9), [(0.0, 1.0, false)]);
    }

    /// The same with their faces: as large as what of them can be seen, however the bodies are listed.
    #[test]
    fn of_faces_is_seen_what_no_opaque_body_stands_before() {
        let (wall, block) = (square((0.0, 0.0), (2.0, 0.2)), square((-1.0, 1.0), (1.0, 1.5)));
        let wall = Prism { outline: &wall, bottom: 0.0, top: 2e9 };
        let block = Prism { outline: &block, bottom: 0.0, top: 0.5e9 };
        let (sin, cos) = ABOVE.to_radians().sin_cos();
        let area = |body: &Prism, opaque: &[Prism]| -> f64 {
            FROM_SOUTH.seen(body, opaque).iter().map(|part| part.area().square_metres()).sum()
        };
        let whole = 2.0 * 0.5 * sin + 2.0 * 0.5 * cos;
        assert!((area(&block, &[]) - whole).abs() < 1e-6);
        // The wall hides its right half: it stands up to 2 m, and the block is seen up to 0.5 m and 1.5 m back.
        assert!((area(&block, &[wall]) - whole / 2.0).abs() < 1e-4, "{} {whole}", area(&block, &[wall]));
        // Nothing stands before the wall, and what touches a face hides none of it.
        let all = 2.0 * 0.2 * sin + 2.0 * 2.0 * cos;
        assert!((area(&wall, &[block, wall]) - all).abs() < 1e-6);
        let low = square((0.0, 0.2), (2.0, 1.0));
        let low = Prism { outline: &low, bottom: 0.0, top: 2e9 };
        assert!((area(&wall, &[low]) - all).abs() < 1e-6);
        // A low kerb hides the foot of the block only.
        let kerb = square((-1.0, 0.5), (1.0, 0.9));
        let kerb = Prism { outline: &kerb, bottom: 0.0, top: 0.2e9 };
        let hidden = 2.0 * (0.2 * cos - 0.1 * sin);
        assert!((area(&block, &[kerb]) - (whole - hidden)).abs() < 1e-4, "{}", whole - area(&block, &[kerb]) - hidden);
    }
}

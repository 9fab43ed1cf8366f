//! Polygon booleans, on whole nanometres of a frame: how much two outlines share, and one outline less others.
//!
//! The only file that knows the overlay crate. What is square to its frame lies on the grid already, so its
//! booleans are exact; what is oblique moves by half a nanometre at most.

use foldhash::HashMap;

use i_overlay::{
    core::{
        edge_data::{EdgeDataMerge, OverlayEdgeData},
        edge_overlay::{EdgeOverlay, InputEdge},
        fill_rule::FillRule,
        overlay::{Overlay, ShapeType},
        overlay_rule::OverlayRule,
        solver::Solver,
    },
    i_float::int::point::IntPoint,
    segm::boolean::ShapeCountBoolean,
};

use super::{Bounds, BoxTree, Edge, Flank, Frame, Outline, Point, Ring, outline::area_in, point::whole};
use crate::units::Area;

/// Outlines that reach into each other by less than this, in nanometres, only touch.
pub(super) const TOUCH: f64 = 50.0;

/// Roundings of one place lie no farther apart than this, in nanometres.
const NEARLY: i64 = 4;

/// Shapes, each an outer contour and its holes, on the grid.
type Contours = Vec<Vec<Vec<IntPoint<i64>>>>;

/// An outline with what is asked of it again and again.
#[derive(Debug, Clone)]
pub(super) struct Shape<'a> {
    pub outline: &'a Outline,
    pub frame: Frame,
    pub bounds: Bounds,
    pub area: Area,
    rectangle: Option<[i64; 4]>,
}

impl<'a> Shape<'a> {
    pub fn new(outline: &'a Outline) -> Shape<'a> {
        let frame = outline.frame();
        let rectangle = outline.rectangle(&frame);
        let area = match rectangle {
            Some(sides) => rectangle_area(sides),
            None => area_in(outline, &frame),
        };
        Shape { outline, frame, bounds: outline.bounds(), area, rectangle }
    }

    fn size(&self) -> f64 {
        let ([x, y, _], [to_x, to_y, _]) = (self.bounds.least, self.bounds.most);
        (to_x - x) + (to_y - y)
    }

    /// The area below which what is left of this outline is noise.
    pub fn noise(&self) -> Area {
        Area::from_nm2((self.size() * TOUCH) as i128)
    }
}

fn rectangle_area([x, y, to_x, to_y]: [i64; 4]) -> Area {
    if to_x <= x || to_y <= y {
        return Area::ZERO;
    }
    Area::from_nm2(i128::from(to_x - x) * i128::from(to_y - y))
}

/// The area two outlines share; none where they only touch.
pub(super) fn shared(a: &Shape, b: &Shape) -> Area {
    if !a.bounds.touches(&b.bounds) {
        return Area::ZERO;
    }
    // The larger one's frame is the steadier one, and whichever comes first must not matter.
    let (a, b) = if b.size() > a.size() { (b, a) } else { (a, b) };
    if let Some([ax, ay, ato_x, ato_y]) = a.rectangle
        && let Some([bx, by, bto_x, bto_y]) = b.outline.rectangle(&a.frame)
    {
        return rectangle_area([ax.max(bx), ay.max(by), ato_x.min(bto_x), ato_y.min(bto_y)]);
    }
    if parted(a.outline, b.outline) || parted(b.outline, a.outline) {
        return Area::ZERO;
    }
    let mut table = Table::new(a.frame);
    table.lay(a.outline, ShapeType::Subject, None);
    table.lay(b.outline, ShapeType::Clip, None);
    let area = region_area(&table.overlay(OverlayRule::Intersect));
    if area <= a.noise().min(b.noise()) { Area::ZERO } else { area }
}

/// Whether an edge of the first outline has all of it on its left and all of the second on its right.
fn parted(one: &Outline, two: &Outline) -> bool {
    one.edges().any(|(from, to, _)| {
        let length = from.distance(to);
        if length < 1.0 {
            return false;
        }
        let left = |p: Point| ((to.x - from.x) * (p.y - from.y) - (to.y - from.y) * (p.x - from.x)) / length;
        two.edges().all(|(p, _, _)| left(p) <= TOUCH) && one.edges().all(|(p, _, _)| left(p) >= -TOUCH)
    })
}

impl Outline {
    /// These made one where they lie over each other or meet.
    #[must_use]
    pub fn united(all: &[Outline]) -> Vec<Outline> {
        let [first, rest @ ..] = all else { return Vec::new() };
        if rest.is_empty() {
            return all.to_vec();
        }
        let frame = first.frame();
        let mut table = Table::new(frame);
        for outline in all {
            table.lay(outline, ShapeType::Subject, None);
        }
        Region { frame, contours: table.overlay(OverlayRule::Subject) }.outlines()
    }

    /// What is left of it when these are taken away; slivers that rounding leaves are not.
    #[must_use]
    pub fn less(&self, others: &[Outline]) -> Vec<Outline> {
        let shape = Shape::new(self);
        let left = Region::less(&shape, others.iter()).outlines();
        left.into_iter().filter(|part| area_in(part, &shape.frame) > shape.noise()).collect()
    }
}

/// A part of the plan that is taken from: what is left of a face under or over others.
pub(super) struct Region {
    frame: Frame,
    contours: Contours,
}

impl Region {
    /// An outline less these others.
    pub fn less<'a>(shape: &Shape, others: impl Iterator<Item = &'a Outline>) -> Region {
        let mut table = Table::new(shape.frame);
        table.lay(shape.outline, ShapeType::Subject, None);
        for other in others {
            table.lay(other, ShapeType::Clip, None);
        }
        Region { frame: shape.frame, contours: table.overlay(OverlayRule::Difference) }
    }

    /// Takes away what lies within an outline; gives its area.
    pub fn take(&mut self, outline: &Outline) -> Area {
        let before = self.area();
        let mut table = self.table();
        table.lay(outline, ShapeType::Clip, None);
        self.contours = table.overlay(OverlayRule::Difference);
        before - self.area()
    }

    /// The parts that lie within an outline.
    pub fn within(&self, outline: &Outline) -> Vec<Outline> {
        let mut table = self.table();
        table.lay(outline, ShapeType::Clip, None);
        self.drawn(&table.overlay(OverlayRule::Intersect))
    }

    /// The parts left.
    pub fn outlines(&self) -> Vec<Outline> {
        self.drawn(&self.contours)
    }

    fn drawn(&self, shapes: &Contours) -> Vec<Outline> {
        let ring = |contour: &Vec<IntPoint<i64>>| -> Ring {
            let from = |point: &IntPoint<i64>| self.frame.at(point.x as f64, -(point.y as f64));
            contour.iter().map(|point| Edge { from: from(point), flank: None }).collect()
        };
        shapes.iter().map(|contours| Outline { rings: contours.iter().map(ring).collect() }).collect()
    }

    fn table(&self) -> Table {
        let mut table = Table::new(self.frame);
        for contour in self.contours.iter().flatten() {
            let edges = contour.iter().map(|point| (*point, Source::Own(None))).collect();
            table.rings.push((edges, ShapeType::Subject));
        }
        table
    }

    /// The area left.
    pub fn area(&self) -> Area {
        region_area(&self.contours)
    }
}

fn region_area(shapes: &Contours) -> Area {
    let mut twice = 0_i128;
    for contour in shapes.iter().flatten() {
        for (a, b) in contour.iter().zip(contour.iter().skip(1).chain(contour.first())) {
            twice += i128::from(a.x) * i128::from(b.y) - i128::from(b.x) * i128::from(a.y);
        }
    }
    Area::from_nm2(twice / 2)
}

/// Where an edge of a carved outline comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Source {
    /// The outline that was carved.
    Own(Option<Flank>),
    /// A void.
    Void,
    /// Another piece, which is there in its stead.
    Piece,
}

impl OverlayEdgeData for Source {
    type Store = ();

    fn merge(both: EdgeDataMerge<ShapeCountBoolean, Self>, _: &mut ()) -> Self {
        match (both.lhs_data, both.rhs_data) {
            // An edge with a flank says more than one without.
            (Source::Own(Some(flank)), _) | (_, Source::Own(Some(flank))) => Source::Own(Some(flank)),
            (Source::Own(None), _) | (_, Source::Own(None)) => Source::Own(None),
            (Source::Void, _) | (_, Source::Void) => Source::Void,
            (Source::Piece, Source::Piece) => Source::Piece,
        }
    }
}

/// A carved outline, and for each edge (in the order of [`Outline::edges`]) whether a void made it.
pub(super) struct Carved {
    pub outline: Outline,
    pub voids: Vec<bool>,
}

/// What is left of an outline when others are taken from it; each is a void or another piece.
pub(super) fn carve<'a>(shape: &Shape, others: impl Iterator<Item = (&'a Outline, bool)>) -> Vec<Carved> {
    let frame = &shape.frame;
    let mut table = Table::new(*frame);
    table.lay(shape.outline, ShapeType::Subject, None);
    for (other, void) in others {
        table.lay(other, ShapeType::Clip, Some(if void { Source::Void } else { Source::Piece }));
    }
    table.knit();
    let mut overlay: EdgeOverlay<i64, Source> = EdgeOverlay::new(16);
    overlay.solver = solver();
    for (ring, kind) in &table.rings {
        for (&(a, data), &(b, _)) in ring.iter().zip(ring.iter().skip(1).chain(ring.first())) {
            overlay.add_edge(InputEdge { a, b, data }, *kind);
        }
    }
    let mut left = Vec::new();
    for contours in overlay.build_vector_shapes(OverlayRule::Difference, FillRule::NonZero) {
        let mut voids = Vec::new();
        let mut rings = Vec::with_capacity(contours.len());
        for contour in contours {
            let mut ring = Ring::with_capacity(contour.len());
            for edge in contour {
                let flank = match edge.data {
                    Source::Own(flank) => flank,
                    Source::Void | Source::Piece => None,
                };
                voids.push(edge.data == Source::Void);
                ring.push(Edge { from: frame.at(edge.a.x as f64, -(edge.a.y as f64)), flank });
            }
            rings.push(ring);
        }
        // The overlay gives outer contours counter-clockwise and holes clockwise, as an outline wants them.
        let outline = Outline { rings };
        if area_in(&outline, frame) > shape.noise() {
            left.push(Carved { outline, voids });
        }
    }
    left
}

/// A corner on the grid, and where the edge that leaves it comes from.
type Corner = (IntPoint<i64>, Source);

/// Outlines laid on the same grid.
struct Table {
    frame: Frame,
    rings: Vec<(Vec<Corner>, ShapeType)>,
    /// Some corner had to be moved to the grid.
    rounded: bool,
}

impl Table {
    fn new(frame: Frame) -> Table {
        Table { frame, rings: Vec::with_capacity(2), rounded: false }
    }

    /// Lays an outline down; its edges are its own unless told otherwise.
    fn lay(&mut self, outline: &Outline, kind: ShapeType, source: Option<Source>) {
        for ring in &outline.rings {
            let mut points = Vec::with_capacity(ring.len());
            for edge in ring {
                let (station, offset) = self.frame.local(edge.from);
                let ((x, on_x), (y, on_y)) = (whole(station), whole(-offset));
                self.rounded |= !(on_x && on_y);
                points.push((IntPoint::new(x, y), source.unwrap_or(Source::Own(edge.flank))));
            }
            self.rings.push((points, kind));
        }
    }

    /// Makes corners that are nearly one, one, and leads edges through the corners they nearly pass: what was
    /// rounded apart would leave slivers as long as a wall and a nanometre wide.
    fn knit(&mut self) {
        if !self.rounded {
            return;
        }
        let mut corners: Vec<IntPoint<i64>> = Vec::new();
        // Cells as wide as corners may be apart: one that is nearly another is in its cell or a neighbour.
        let mut cells: HashMap<(i64, i64), IntPoint<i64>> = HashMap::default();
        let cell = |point: &IntPoint<i64>| (point.x.div_euclid(NEARLY), point.y.div_euclid(NEARLY));
        for (point, _) in self.rings.iter_mut().flat_map(|(ring, _)| ring) {
            let (column, row) = cell(point);
            let near = (-1..=1)
                .flat_map(|x| (-1..=1).map(move |y| (column + x, row + y)))
                .filter_map(|key| cells.get(&key))
                .find(|corner| (corner.x - point.x).abs().max((corner.y - point.y).abs()) <= NEARLY);
            if let Some(corner) = near {
                *point = *corner;
            } else {
                cells.insert((column, row), *point);
                corners.push(*point);
            }
        }
        let spot = |point: &IntPoint<i64>| [point.x as f64, point.y as f64, 0.0];
        let boxes: Vec<Bounds> = corners.iter().map(|corner| Bounds::around([spot(corner)])).collect();
        let tree = BoxTree::new(&boxes);
        let mut near = Vec::new();
        let mut passed: Vec<(f64, IntPoint<i64>)> = Vec::new();
        for (ring, _) in &mut self.rings {
            let mut led = Vec::with_capacity(ring.len());
            for (&(a, source), &(b, _)) in ring.iter().zip(ring.iter().skip(1).chain(ring.first())) {
                led.push((a, source));
                let (dx, dy) = ((b.x - a.x) as f64, (b.y - a.y) as f64);
                let length = dx.hypot(dy);
                passed.clear();
                tree.touching(&Bounds::around([spot(&a), spot(&b)]).grown(NEARLY as f64), &mut near);
                for corner in near.iter().filter_map(|&corner| corners.get(corner as usize)) {
                    let (x, y) = ((corner.x - a.x) as f64, (corner.y - a.y) as f64);
                    let (along, aside) = ((x * dx + y * dy) / length, (x * dy - y * dx) / length);
                    // Corners are farther apart than that, so the ends of the edge are not among them.
                    if aside.abs() <= NEARLY as f64 && along > 0.5 && along < length - 0.5 {
                        passed.push((along, *corner));
                    }
                }
                passed.sort_by(|a, b| a.0.total_cmp(&b.0));
                led.extend(passed.iter().map(|&(_, corner)| (corner, source)));
            }
            *ring = led;
        }
    }

    fn overlay(mut self, rule: OverlayRule) -> Contours {
        self.knit();
        let mut overlay = Overlay::new_custom(16, Default::default(), solver());
        let mut contour: Vec<IntPoint<i64>> = Vec::new();
        for (ring, kind) in &self.rings {
            contour.clear();
            contour.extend(ring.iter().map(|(point, _)| *point));
            overlay.add_contour(&contour, *kind);
        }
        overlay.overlay(rule, FillRule::NonZero)
    }
}

/// One thread, whatever the size: the result is the same, and jobs are small.
fn solver() -> Solver {
    Solver { multithreading: None, ..Solver::AUTO }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(x: f64, y: f64, side: f64, turned: f64) -> Outline {
        let frame = Frame::new(Point::new(3.0e10, -2.0e10), turned);
        Outline::polygon(&[
            frame.at(x, -y),
            frame.at(x + side, -y),
            frame.at(x + side, -y - side),
            frame.at(x, -y - side),
        ])
    }

    #[test]
    fn outlines_that_meet_are_made_one_without_a_seam() {
        for turned in [0.0, 30.0, 77.7] {
            let side = 1.0e9;
            let all =
                [square(0.0, 0.0, side, turned), square(side, 0.0, side, turned), square(0.5e9, 0.0, side, turned)];
            let one = Outline::united(&all);
            assert_eq!(one.len(), 1, "{turned}");
            assert_eq!(one[0].rings.len(), 1);
            let area = one[0].area().square_metres();
            assert!((area - 2.0).abs() < 1e-6 && one[0].edges().count() == 4, "{turned}: {one:?}");
            let apart = [square(0.0, 0.0, side, turned), square(3.0 * side, 0.0, side, turned)];
            assert_eq!(Outline::united(&apart).len(), 2, "{turned}");
        }
    }

    #[test]
    fn shares_are_exact_when_square_to_each_other_at_any_angle() {
        for turned in [0.0, 30.0, 77.7] {
            let (a, b) = (square(0.0, 0.0, 1e9, turned), square(4e8, 7e8, 1e9, turned));
            assert_eq!(shared(&Shape::new(&a), &Shape::new(&b)), Area::from_nm2(600_000_000 * 300_000_000));
            let touching = square(1e9, 0.0, 1e9, turned);
            assert_eq!(shared(&Shape::new(&a), &Shape::new(&touching)), Area::ZERO);
        }
    }

    #[test]
    fn what_is_left_knows_where_its_edges_come_from() {
        let (a, void) = (square(0.0, 0.0, 1000.0, 0.0), square(400.0, -100.0, 300.0, 0.0));
        let left = carve(&Shape::new(&a), [(&void, true)].into_iter());
        let [carved] = left.as_slice() else { panic!("one part") };
        assert_eq!(carved.outline.area(), Area::from_nm2(1_000_000 - 300 * 200));
        let made: f64 = carved
            .outline
            .edges()
            .zip(&carved.voids)
            .filter(|(_, void)| **void)
            .map(|((from, to, _), _)| from.distance(to))
            .sum();
        assert_eq!(made, 200.0 + 300.0 + 200.0);
    }

    #[test]
    fn a_region_is_taken_once() {
        let (a, b, c) = (square(0.0, 0.0, 1000.0, 0.0), square(0.0, 0.0, 500.0, 0.0), square(250.0, 0.0, 500.0, 0.0));
        let mut region = Region::less(&Shape::new(&a), [&b].into_iter());
        assert_eq!(region.area(), Area::from_nm2(750_000));
        let drawn = |parts: Vec<Outline>| parts.iter().map(Outline::area).sum::<Area>();
        assert_eq!(drawn(region.within(&c)), Area::from_nm2(125_000));
        assert_eq!(drawn(region.outlines()), Area::from_nm2(750_000));
        assert_eq!(region.take(&c), Area::from_nm2(125_000));
        assert_eq!(region.take(&c), Area::ZERO);
        assert_eq!(region.area(), Area::from_nm2(625_000));
    }
}

//! Where each bar lies: its centre line in plan space.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    bars::{BarsMade, Group, Place},
    hooks::{Hook, vector},
    shape::Shape,
};
use crate::{
    concrete::{LegAt, Standing},
    geometry::{Frame, Spot, Walk, distance::Segment},
    holes::{Hole, Set},
    schema::{BlockId, Direction},
    units::Length,
};

/// Chords leave the arcs of bends by no more than this, in nanometres, where a millimetre is near enough.
pub const CHORD: f64 = 1_000_000.0;

/// One bar: where it is counted from, and its centre line.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Its number in its group, from 1; for a dowel that of its hole.
    pub number: u64,
    /// The leg it stands on or begins on.
    pub on: LegAt,
    /// The station it stands at or begins at.
    pub station: Length,
    /// The centre line.
    pub walk: Walk,
}

/// The walls and lines a group's bars stand on or begin on; those of its holes, where they are set in holes.
pub(super) fn walls_of(group: &Group, set: Option<&Set>, standing: &Standing) -> BTreeSet<BlockId> {
    let wall = |on: LegAt| standing.leg_ref(on).map(|leg| leg.wall);
    match &group.place {
        Place::Holes(_) => set.into_iter().flat_map(|set| &set.rows).filter_map(|row| wall(row.on)).collect(),
        Place::Long { from, .. } => wall(from.0).into_iter().collect(),
        Place::Side(row) => wall(row.on).into_iter().collect(),
    }
}

/// The straight pieces of all bars of a block, each with the leg its bar stands on; chords leave the arcs of bends by no more than
/// `within`, in nanometres. `sets` are all holes.
pub fn pieces<'a>(
    made: &'a BarsMade,
    sets: &'a BTreeMap<BlockId, Set>,
    standing: &'a Standing,
    within: f64,
) -> impl Iterator<Item = (LegAt, Segment)> + 'a {
    made.groups.iter().flat_map(move |group| {
        let set = match &group.place {
            Place::Holes(set) => sets.get(set),
            Place::Long { .. } | Place::Side(_) => None,
        };
        lines(made, group, set, standing)
            .flat_map(move |line| line.walk.segments(within).into_iter().map(move |segment| (line.on, segment)))
    })
}

/// The centre lines of a group's bars, in the order of their numbers. `set` is the holes dowels are set in.
///
/// A bar whose leg is not known is left out.
pub fn lines<'a>(
    made: &'a BarsMade,
    group: &'a Group,
    set: Option<&'a Set>,
    standing: &'a Standing,
) -> Box<dyn Iterator<Item = Line> + 'a> {
    match &group.place {
        Place::Holes(_) => match set {
            Some(set) => Box::new(set.each().filter_map(move |hole| dowel(made, group, set, &hole, standing))),
            None => Box::new(std::iter::empty()),
        },
        Place::Long { level, from, to, .. } => {
            let spots = long(group, (*from, *to), *level, standing);
            Box::new(spots.into_iter().map(move |vertices| Line {
                number: 1,
                on: from.0,
                station: from.1,
                walk: walk(made, &group.shape, vertices),
            }))
        }
        Place::Side(row) => Box::new((0..row.places.count()).filter_map(move |at| {
            let station = row.places.at(at);
            let frame = standing.chain(row.on)?.run.frame(row.on.leg as usize)?;
            let vertices = side(&group.shape, &frame, station, group.from?);
            Some(Line { number: row.first_number + at, on: row.on, station, walk: walk(made, &group.shape, vertices) })
        })),
    }
}

fn walk(made: &BarsMade, shape: &Shape, vertices: Vec<Spot>) -> Walk {
    Walk { vertices, inside_radius: shape.inside / 2, diameter: made.steel.diameter }
}

/// From the bottom of its hole to its end out of it.
fn dowel(made: &BarsMade, group: &Group, set: &Set, hole: &Hole, standing: &Standing) -> Option<Line> {
    let axis = set.segment(hole, standing)?;
    let deep = set.deep.nm() as f64;
    let share = (group.shape.cut - set.deep).nm() as f64 / deep.max(1.0);
    let end = |at: usize| axis.from[at] + (axis.from[at] - axis.to[at]) * share;
    let spot = |[x, y, height]: [f64; 3]| Spot { plan: crate::geometry::Point::new(x, y), height };
    let vertices = vec![spot(axis.to), spot([end(0), end(1), end(2)])];
    Some(Line { number: hole.number, on: hole.on, station: hole.station, walk: walk(made, &group.shape, vertices) })
}

/// Along a run at its offset, from corner to corner.
fn long(
    group: &Group,
    (from, to): ((LegAt, Length), (LegAt, Length)),
    level: Length,
    standing: &Standing,
) -> Option<Vec<Spot>> {
    let run = &standing.chain(from.0)?.run;
    let offset = group.from?.0;
    let count = run.legs().len().max(1);
    let onwards = (from.0.leg, from.1) < (to.0.leg, to.1);
    let legs = usize::from(to.0.leg) + if onwards { 0 } else { count } - usize::from(from.0.leg);
    let mut vertices = vec![Spot::new(run.point(from.0.leg as usize, from.1, offset)?, level)];
    for step in 0..legs {
        let leg = (usize::from(from.0.leg) + step) % count;
        let turn = run.turn_after(leg).unwrap_or(0.0);
        // Where two legs go straight on there is no corner in the bar.
        if turn.abs() >= 0.5 {
            let lengthened = run.length(leg).nm() as f64 + offset.nm() as f64 * (turn.to_radians() / 2.0).tan();
            vertices.push(Spot::new(run.frame(leg)?.at(lengthened, offset.nm() as f64), level));
        }
    }
    vertices.push(Spot::new(run.point(to.0.leg as usize, to.1, offset)?, level));
    Some(vertices)
}

/// Leg by leg in the frame of the wall's leg.
fn side(shape: &Shape, frame: &Frame, station: Length, (offset, height): (Length, Length)) -> Vec<Spot> {
    let local = corners(shape, [station.nm() as f64, offset.nm() as f64, height.nm() as f64]);
    local.into_iter().map(|[along, out, up]| Spot { plan: frame.at(along, out), height: up }).collect()
}

/// The ends and corners of the centre line of a bar whose legs were written as directions and whose first leg begins here,
/// along, out and up.
///
/// Legs are out to out: each ends half a diameter past the corner of the centre line, on the outside of the bend, and at a
/// hook at the outer tangent of its bend. A hook of more than 90 degrees has two corners, so that it can turn right back.
pub(super) fn corners(shape: &Shape, begin: [f64; 3]) -> Vec<[f64; 3]> {
    let half = shape.diameter.nm() as f64 / 2.0;
    let apex = |turn: Option<&f64>| turn.map_or(0.0, |turn| half * (turn.to_radians() / 2.0).tan());
    let mut at = begin;
    let mut out = Vec::with_capacity(shape.legs.len() + 5);
    let [start, end] = shape.hooks;
    match (start, shape.directions.first()) {
        (Some(hook), Some(direction)) => {
            out = hooked(shape, &hook, at, direction.opposite());
            out.reverse();
        }
        _ => out.push(at),
    }
    for (number, (leg, direction)) in shape.legs.iter().zip(&shape.directions).enumerate() {
        let before = number.checked_sub(1).and_then(|before| shape.turns.get(before));
        let length = leg.nm() as f64 - apex(before) - apex(shape.turns.get(number));
        at = moved(at, vector(*direction), length);
        match (end, number + 1 == shape.legs.len()) {
            (Some(hook), true) => out.extend(hooked(shape, &hook, at, *direction)),
            _ => out.push(at),
        }
    }
    out
}

/// The corners of a hook and its end, as the bar runs towards its outer tangent `at` in this direction.
fn hooked(shape: &Shape, hook: &Hook, at: [f64; 3], direction: Direction) -> Vec<[f64; 3]> {
    let radius = (shape.inside.nm() + shape.diameter.nm()) as f64 / 2.0;
    let (ahead, across) = (vector(direction), vector(hook.way));
    let steps = if hook.turn > 90.5 { 2 } else { 1 };
    let each = hook.turn.to_radians() / f64::from(steps);
    let eaten = radius * (each / 2.0).tan();
    // The bend begins where its middle is beside the leg.
    let begins = -(radius + shape.diameter.nm() as f64 / 2.0);
    let mut at = moved(at, ahead, begins);
    let mut out = Vec::new();
    for step in 0..=steps {
        let (sin, cos) = (each * f64::from(step)).sin_cos();
        let length = match step {
            0 => eaten,
            _ if step == steps => eaten + hook.tail.nm() as f64,
            _ => 2.0 * eaten,
        };
        at = moved(moved(at, ahead, length * cos), across, length * sin);
        out.push(at);
    }
    out
}

fn moved([x, y, z]: [f64; 3], [dx, dy, dz]: [f64; 3], by: f64) -> [f64; 3] {
    [x + dx * by, y + dy * by, z + dz * by]
}

//! Whether each bar can be brought to its place: past the bars that were placed before it, and the old wall.
//!
//! A bar is pulled back out in a straight line: straight out from the old face, up, or along its longest part either way; a
//! dowel along itself out of its hole. Each of its straights (and chords of its arcs) sweeps a parallelogram, which is
//! exact, and nothing that is there already may come nearer to it than the two radii, less the little that bars give. What
//! is too near where it lies is no matter of bringing it there, and is left to the clearances. Walls are not placed to each
//! other, so each is looked at for itself.

use std::collections::BTreeMap;

use super::{
    bars::{BarsMade, Place, is_heavy},
    clearance::{BarAt, NOISE},
    lines::{Line, lines, walls_of},
};
use crate::{
    concrete::{LegAt, Standing},
    cores,
    geometry::{
        Bounds, BoxTree,
        distance::{Segment, nearest, nearest_to_triangle},
    },
    holes::Set,
    job::Job,
    schema::BlockId,
    units::Length,
};

/// How far a drawn arc may leave the true one, in nanometres: a millimetre.
const ARC: f64 = 1e6;

/// Bars may be pressed past each other by this: 1/16 in, common practice, no source.
const GIVES: f64 = Length::INCH.nm() as f64 / 16.0;

/// Bars that cannot go in for the same reason.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blocked {
    /// The first of them.
    pub bar: BarAt,
    /// A bar placed earlier that is in the way, on the way straight out (of a dowel: out of its hole).
    pub by: BarAt,
    /// How many bars of the block they are.
    pub bars: u64,
}

/// Which bars cannot go in.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct WaysIn {
    /// By block and by what is in the way.
    pub blocked: Vec<Blocked>,
    /// Walls with so many bars that not all were looked at.
    pub crowded: Vec<BlockId>,
}

/// A bar in its place.
struct Bar {
    at: BarAt,
    rank: usize,
    radius: f64,
    dowel: bool,
    segments: Vec<Segment>,
}

/// A group of bars, and the place of its step in the order of work.
struct Ranked<'w> {
    made: &'w BarsMade,
    number: u32,
    rank: usize,
}

/// Finds the bars that cannot go in. `rank` gives the place in the order of work of the step that places a block's bars;
/// bars without one are left out. Along one wall parts of two bars are held against each other `most` times.
#[must_use]
pub fn ways_in(
    job: &Job,
    standing: &Standing,
    sets: &BTreeMap<BlockId, Set>,
    all: &[BarsMade],
    rank: &BTreeMap<BlockId, usize>,
    most: u64,
) -> WaysIn {
    let mut out = WaysIn::default();
    let mut ranks: Vec<usize> = all.iter().filter_map(|made| rank.get(&made.id).copied()).collect();
    ranks.dedup();
    if ranks.len() < 2 {
        return out;
    }
    let mut walls: BTreeMap<BlockId, Vec<Ranked>> = BTreeMap::new();
    let set_of = |made: &BarsMade| job.bars_of(made.id).and_then(|bars| sets.get(&bars.say.holes?.value.0));
    for made in all {
        let Some(rank) = rank.get(&made.id) else { continue };
        for (number, group) in (0..).zip(&made.groups) {
            for wall in walls_of(group, set_of(made), standing) {
                walls.entry(wall).or_default().push(Ranked { made, number, rank: *rank });
            }
        }
    }
    let walls: Vec<(BlockId, Vec<Ranked>)> = walls.into_iter().collect();
    let along = |(wall, groups): &(BlockId, Vec<Ranked>)| {
        let mut found = WaysIn::default();
        let mut bars = Vec::new();
        for Ranked { made, number, rank } in groups {
            let Some(group) = made.groups.get(*number as usize) else { continue };
            let dowel = matches!(group.place, Place::Holes(_));
            let here = |line: &Line| standing.leg_ref(line.on).is_some_and(|leg| leg.wall == *wall);
            let lines = lines(made, group, set_of(made), standing).filter(here);
            bars.extend(lines.map(|line| bar(made, *number, *rank, dowel, &line)));
        }
        if !Scene::new(bars, most).look(standing, &mut found) {
            found.crowded.push(*wall);
        }
        found
    };
    for mut found in cores::each(&walls, is_heavy(all), along) {
        out.blocked.append(&mut found.blocked);
        out.crowded.append(&mut found.crowded);
    }
    out
}

fn bar(made: &BarsMade, group: u32, rank: usize, dowel: bool, line: &Line) -> Bar {
    Bar {
        at: BarAt { bars: made.id, group, number: line.number, on: line.on, station: line.station },
        rank,
        radius: made.steel.diameter.nm() as f64 / 2.0,
        dowel,
        segments: line.walk.segments(ARC),
    }
}

struct Scene {
    bars: Vec<Bar>,
    /// The bar each box of the tree is a part of, and which part.
    parts: Vec<(u32, u32)>,
    tree: BoxTree,
    /// Farther than all bars reach.
    far: f64,
    thickest: f64,
    looks_left: u64,
}

/// Of a wall of many legs only the first faces are tried.
const FACES_AT_MOST: usize = 16;

/// What stands in one way out.
enum Met {
    Nothing,
    Bar(u32),
    Wall,
}

impl Scene {
    fn new(bars: Vec<Bar>, most: u64) -> Scene {
        let mut parts = Vec::new();
        let mut boxes = Vec::new();
        let mut whole = Bounds::EMPTY;
        for (owner, bar) in (0..).zip(&bars) {
            for (part, segment) in (0..).zip(&bar.segments) {
                parts.push((owner, part));
                boxes.push(Bounds::around([segment.from, segment.to]));
                whole.take_in(segment.from);
                whole.take_in(segment.to);
            }
        }
        let wide: f64 = whole.most.iter().zip(&whole.least).map(|(most, least)| (most - least).max(0.0)).sum();
        let thickest = bars.iter().map(|bar| bar.radius).fold(0.0, f64::max);
        let tree = BoxTree::new(&boxes);
        Scene { bars, parts, tree, far: wide + 1e9, thickest, looks_left: most }
    }

    /// Looks at each bar; false if there are too many.
    fn look(&mut self, standing: &Standing, out: &mut WaysIn) -> bool {
        let mut blocked: BTreeMap<(BlockId, BlockId), Blocked> = BTreeMap::new();
        let first_rank = self.bars.iter().map(|bar| bar.rank).min();
        for at in 0..self.bars.len() {
            let Some(bar) = self.bars.get(at) else { break };
            if Some(bar.rank) == first_rank {
                continue;
            }
            let (own, dowel, on) = (bar.at, bar.dowel, bar.at.on);
            let mut in_the_way = None;
            let mut free = false;
            for way in ways(bar, standing) {
                match self.met(at, way, standing, on, dowel) {
                    Some(Met::Nothing) => {
                        free = true;
                        break;
                    }
                    Some(Met::Bar(by)) => in_the_way = in_the_way.or(Some(by)),
                    Some(Met::Wall) => {}
                    None => {
                        out.blocked.extend(blocked.into_values());
                        return false;
                    }
                }
            }
            if let (false, Some(by)) = (free, in_the_way.and_then(|by| self.bars.get(by as usize))) {
                let entry = blocked.entry((own.bars, by.at.bars)).or_insert(Blocked { bar: own, by: by.at, bars: 0 });
                entry.bars += 1;
            }
        }
        out.blocked.extend(blocked.into_values());
        true
    }

    /// What a bar meets when it is pulled this way; none if too much has been looked at.
    fn met(&mut self, at: usize, way: [f64; 3], standing: &Standing, on: LegAt, dowel: bool) -> Option<Met> {
        let bar = self.bars.get(at)?;
        let by = way.map(|part| part * self.far);
        let moved = |[x, y, z]: [f64; 3]| [x + by[0], y + by[1], z + by[2]];
        let mut found = Vec::new();
        let mut least: Option<u32> = None;
        for segment in &bar.segments {
            let (from, to) = (moved(segment.from), moved(segment.to));
            let swept = [[segment.from, segment.to, to], [segment.from, to, from]];
            let (seen, reached) = (flattened(segment, way), extent(segment, way));
            found.clear();
            let bounds = Bounds::around([segment.from, segment.to, from, to]).grown(bar.radius + self.thickest);
            self.tree.touching(&bounds, &mut found);
            for part in &found {
                let Some((owner, part)) = self.parts.get(*part as usize) else { continue };
                let Some(other) = self.bars.get(*owner as usize).filter(|other| other.rank < bar.rank) else {
                    continue;
                };
                let Some(beside) = other.segments.get(*part as usize) else { continue };
                self.looks_left = self.looks_left.checked_sub(1)?;
                let room = bar.radius + other.radius - GIVES;
                // Seen along the way what is swept is no more than the segment: what is not near it so is not near it at all.
                let apart = nearest(&seen, &flattened(beside, way)).distance;
                if apart > room + NOISE {
                    continue;
                }
                let (begins, ends) = extent(beside, way);
                let in_sweep = if begins >= reached.1 {
                    // All of it lies ahead: it is as far from what is swept as it is seen to be.
                    apart < room
                } else {
                    ends > reached.0 - room
                        && swept.iter().any(|corners| nearest_to_triangle(beside, corners).distance < room)
                };
                if in_sweep && !bar.segments.iter().any(|own| nearest(own, beside).distance < room) {
                    least = Some(least.map_or(*owner, |least| least.min(*owner)));
                }
            }
        }
        if let Some(by) = least {
            return Some(Met::Bar(by));
        }
        // A way level along the wall may end at a leg that comes towards you.
        if !dowel && way[2].abs() < 0.5 && self.meets_wall(bar, by, standing, on)? {
            return Some(Met::Wall);
        }
        Some(Met::Nothing)
    }

    /// Whether a bar that is moved by so much in plan runs into a face of its wall.
    fn meets_wall(&self, bar: &Bar, by: [f64; 3], standing: &Standing, on: LegAt) -> Option<bool> {
        if standing.thickness(on).is_none() {
            return Some(false);
        }
        let chain = standing.chain(on)?;
        let lowest = bar.segments.iter().map(|part| part.from[2].min(part.to[2])).fold(f64::INFINITY, f64::min);
        let flat = |[x, y, _]: [f64; 3]| [x, y, 0.0];
        let moved = |[x, y, _]: [f64; 3]| [x + by[0], y + by[1], 0.0];
        let size = by[0].hypot(by[1]);
        if size <= 0.0 {
            return Some(false);
        }
        let way = [by[0] / size, by[1] / size, 0.0];
        let aside = [-way[1], way[0], 0.0];
        for leg in 0..chain.run.legs().len() {
            let at = LegAt { leg: u16::try_from(leg).ok()?, ..on };
            let top = standing.heights(at).map_or(f64::INFINITY, |(_, top)| top.nm() as f64);
            if lowest >= top {
                continue;
            }
            let end = |station| chain.run.point(leg, station, Length::ZERO).map(|point| [point.x, point.y, 0.0]);
            let face = Segment { from: end(Length::ZERO)?, to: end(chain.run.length(leg))? };
            let ((_, end), across) = (extent(&face, way), extent(&face, aside));
            for part in &bar.segments {
                let (begins, own) = (extent(part, way).0, extent(part, aside));
                // Most faces lie behind it, or to one side of where it goes.
                if end + bar.radius < begins || own.0.max(across.0) - own.1.min(across.1) > bar.radius {
                    continue;
                }
                let (a, b) = (flat(part.from), flat(part.to));
                let swept = [[a, b, moved(part.to)], [a, moved(part.to), moved(part.from)]];
                if swept.iter().any(|corners| nearest_to_triangle(&face, corners).distance < bar.radius) {
                    return Some(true);
                }
            }
        }
        Some(false)
    }
}

/// A segment as it is seen along a way, which is a unit vector.
fn flattened(segment: &Segment, [wx, wy, wz]: [f64; 3]) -> Segment {
    let flat = |[x, y, z]: [f64; 3]| {
        let along = x * wx + y * wy + z * wz;
        [x - along * wx, y - along * wy, z - along * wz]
    };
    Segment { from: flat(segment.from), to: flat(segment.to) }
}

/// From where to where a segment reaches along a way.
fn extent(segment: &Segment, [wx, wy, wz]: [f64; 3]) -> (f64, f64) {
    let along = |[x, y, z]: [f64; 3]| x * wx + y * wy + z * wz;
    let (from, to) = (along(segment.from), along(segment.to));
    (from.min(to), from.max(to))
}

/// The ways a bar may be pulled out, the plainest first.
fn ways(bar: &Bar, standing: &Standing) -> Vec<[f64; 3]> {
    let unit = |segment: &Segment| {
        let [ax, ay, az] = segment.from;
        let [bx, by, bz] = segment.to;
        let way = [bx - ax, by - ay, bz - az];
        let size = way.iter().map(|part| part * part).sum::<f64>().sqrt();
        (size, way.map(|part| if size > 0.0 { part / size } else { 0.0 }))
    };
    let longest = bar.segments.iter().map(unit).max_by(|one, other| one.0.total_cmp(&other.0));
    let Some((_, along)) = longest else { return Vec::new() };
    if bar.dowel {
        // Its line runs from the bottom of its hole outwards.
        return vec![along];
    }
    let mut out = Vec::with_capacity(4);
    // A bar that goes round corners may come in towards any of the faces, the one it begins on first.
    if let Some(chain) = standing.chain(bar.at.on) {
        let own = usize::from(bar.at.on.leg);
        let legs = if bar.segments.len() > 1 { chain.run.legs().len().min(FACES_AT_MOST) } else { 0 };
        for leg in std::iter::once(own).chain(0..legs) {
            let Some(outward) = chain.run.frame(leg).map(|frame| frame.outward()) else { continue };
            let way = [outward.x, outward.y, 0.0];
            let known = |other: &[f64; 3]| other.iter().zip(&way).all(|(a, b)| (a - b).abs() < 1e-6);
            if !out.iter().any(known) {
                out.push(way);
            }
        }
    }
    out.push([0.0, 0.0, 1.0]);
    // Nothing is brought in from below.
    if along[2].abs() < 0.5 {
        out.extend([along, along.map(|part| -part)]);
    }
    out
}

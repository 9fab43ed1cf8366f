//! How near bars come to the faces of the concrete and to each other, and which come out of it.
//!
//! A bar is a chain of capsules: straights and chords of its arcs, both ends drawn back by half the diameter, so that the
//! round end of the capsule reaches as far as the bar. Cover and spacing use the nominal diameter. Walls are not placed to
//! each other, so each is looked at for itself.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    bars::{BarsMade, Group, is_heavy},
    kept_clear::KeptClear,
    lines::{Line, lines, walls_of},
    touches::{Crossing, MOST, Touch, crossings},
    voids::VoidsOn,
};
use crate::{
    concrete::{Class, LegAt, Placed, Sections, Skin, Solids, Standing},
    cores,
    geometry::{
        Patch, Point,
        distance::{Nearest, Segment, near_of_others},
        patches_about,
    },
    holes::{Obstacles, Set},
    job::Job,
    schema::BlockId,
    units::Length,
};

/// Faces farther from a bar than this are not told apart: no cover asked for is more.
pub const REACH: Length = Length::from_nm(12 * Length::INCH.nm());

/// How far a drawn arc may leave the true one: a tenth of a millimetre, less than anyone can bend to.
const ARC: f64 = 100_000.0;

/// Bars as little as this into each other may still be laid: 1/16 in, common practice, no source.
pub(super) const GIVES: Length = Length::from_nm(Length::INCH.nm() / 16);

/// Crossing bars whose surfaces are no farther apart than this, or than half the thicker one, are tied to each other: 10 mm,
/// common practice, no source.
pub(super) const TIED: f64 = 10e6;

/// Bars that differ by less than this in direction are parallel, and are to be spaced.
const PARALLEL_DEGREES: f64 = 15.0;

/// Of so many pairs of blocks the nearest bars are told, and of no more.
const TOLD: usize = 50_000;

/// So many pairs that run into each other are counted along one wall, and no more.
const COUNTED: usize = 10_000;

/// Nearer than this, in nanometres, an axis passes through a face.
const THROUGH: f64 = 1000.0;

/// What is looked for farther out than asked, in nanometres: what lies just as far as asked falls to either side by noise, and
/// is judged when its distance has been rounded.
pub(super) const NOISE: f64 = 1.0;

/// A bar among those of its block.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct BarAt {
    /// Its block.
    pub bars: BlockId,
    /// Its group in the block, from 0.
    pub group: u32,
    /// Its number in the group, from 1; for a dowel that of its hole.
    pub number: u64,
    /// The leg it stands on or begins on.
    pub on: LegAt,
    /// The station it stands at or begins at.
    pub station: Length,
}

/// A place on the job, measured from the leg of the old face that is nearest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct JobPlace {
    /// The leg.
    pub on: LegAt,
    /// Along it.
    pub station: Length,
    /// Out of its face.
    pub offset: Length,
    /// How high.
    pub height: Length,
}

/// The least cover the bars of one block have to the faces of one class of one section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cover {
    /// The bar that has it.
    pub bar: BarAt,
    /// The section.
    pub section: BlockId,
    /// The class of the faces.
    pub class: Class,
    /// From the bar's surface to the face.
    pub clear: Length,
    /// Where on the bar.
    pub at: JobPlace,
    /// Where on the face, as seen from the same leg.
    pub to: JobPlace,
}

/// Two bars, and how near they come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Near {
    /// The bar of the block written first, or the lower number.
    pub first: BarAt,
    /// The other.
    pub second: BarAt,
    /// From surface to surface; less than nothing where they would run into each other.
    pub clear: Length,
    /// Where on the first.
    pub at: JobPlace,
    /// Where on the other, as seen from the same leg.
    pub to: JobPlace,
    /// How many pairs of bars of the two blocks run into each other; of parallel bars they are not counted.
    pub pairs: u64,
    /// They lie side by side there, and are to be spaced; bars that cross may touch.
    pub beside: bool,
}

/// A bar that comes out of the concrete, or does not lie in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outside {
    /// The bar.
    pub bar: BarAt,
    /// Where it comes out; where it begins, if all of it is outside.
    pub at: JobPlace,
    /// All of it is outside.
    pub whole: bool,
    /// The void it runs into; none where it comes out elsewhere.
    pub void: Option<BlockId>,
    /// How many bars of the block do, there.
    pub bars: u64,
}

/// What is near what.
#[derive(Debug, Clone, Default)]
pub struct Clearances {
    /// By block of bars, section and class: the least cover.
    pub covers: Vec<Cover>,
    /// Parallel bars of each two blocks: the nearest of those that are near at all.
    pub parallel: Vec<Near>,
    /// Bars of each two blocks that run into each other: the worst pair.
    pub clashes: Vec<Near>,
    /// By block, and by the void they come out into: bars that come out of the concrete.
    pub outside: Vec<Outside>,
    /// By block and thing: the bar that comes nearest to what is kept clear.
    pub kept_clear: Vec<KeptClear>,
    /// Walls with so many bars near each other that not all pairs were looked at.
    pub crowded: Vec<BlockId>,
    /// Where bars cross within reach of a tie, and dowels that stand beside a bar; by wall.
    pub crossings: BTreeMap<BlockId, Vec<Crossing>>,
}

/// Bars of one wall as capsules.
#[derive(Default)]
pub(super) struct Scene {
    pub(super) bars: Vec<(BarAt, f64)>,
    pub(super) segments: Vec<Segment>,
    /// The bar each segment belongs to.
    owners: Vec<u32>,
    /// How far along its bar each segment begins.
    begins: Vec<f64>,
    /// The course each group of a block is a piece of, by its first group, where it is not a course of its own.
    courses: BTreeMap<(BlockId, u32), u32>,
    /// The groups of a block whose bars are lapped with each other: they lie side by side on purpose.
    lapped: BTreeSet<(BlockId, u32, u32)>,
    /// Where dowels leave their holes, by bar.
    mouths: BTreeMap<u32, [f64; 3]>,
}

/// What bars lie in, and what lies beside them.
#[derive(Debug, Clone, Copy)]
pub struct Beside<'w> {
    /// Walls and lines in plan.
    pub standing: &'w Standing,
    /// The sections.
    pub sections: &'w Sections,
    /// The faces of what is poured.
    pub solids: &'w Solids,
    /// The holes that dowels are set in.
    pub sets: &'w BTreeMap<BlockId, Set>,
    /// What is kept clear.
    pub obstacles: &'w Obstacles,
}

/// A group of bars, or what of it stands on one wall.
struct Piece<'w> {
    made: &'w BarsMade,
    number: u32,
    group: &'w Group,
    set: Option<&'w Set>,
    /// The first group of the course it is a piece of, where it is not a course of its own.
    course: Option<u32>,
}

/// The groups of bars on each wall, in their order. One whose bars stand on several walls is told of with each.
fn by_wall<'w>(job: &Job, beside: Beside<'w>, all: &'w [BarsMade]) -> Vec<(BlockId, Vec<Piece<'w>>)> {
    let mut walls: BTreeMap<BlockId, Vec<Piece>> = BTreeMap::new();
    for made in all {
        let set = job.bars_of(made.id).and_then(|bars| beside.sets.get(&bars.say.holes?.value.0));
        // Pieces that are lapped with each other follow each other, so that the first of a course is known before the others.
        let mut courses: BTreeMap<u32, u32> = BTreeMap::new();
        for (number, group) in (0..).zip(&made.groups) {
            if let Some(before) = group.lapped_with.iter().copied().find(|with| *with < number) {
                courses.insert(number, courses.get(&before).copied().unwrap_or(before));
            }
            for wall in walls_of(group, set, beside.standing) {
                let course = courses.get(&number).copied();
                walls.entry(wall).or_default().push(Piece { made, number, group, set, course });
            }
        }
    }
    walls.into_iter().collect()
}

/// Finds what is near what. Along one wall `most` pairs of bars, or of parts of them, are compared.
#[must_use]
pub fn clearances(job: &Job, beside: Beside, all: &[BarsMade], most: u64) -> Clearances {
    let Beside { standing, sections, solids, obstacles, .. } = beside;
    let stone = job.mixes.iter().filter_map(|mix| mix.say.stone).map(|stone| stone.0).max().unwrap_or_default();
    let along = |(wall, pieces): &(BlockId, Vec<Piece>)| {
        let mut out = Clearances::default();
        let scene = Scene::new(*wall, pieces, standing);
        scene.against_faces(*wall, standing, sections, solids, &mut out);
        scene.against_each_other(*wall, standing, (stone, most), &mut out);
        scene.against_things(*wall, standing, sections, obstacles, &mut out.kept_clear);
        out
    };
    let mut out = Clearances::default();
    let found = cores::each(&by_wall(job, beside, all), is_heavy(all), along);
    // Grown bit by bit it would take up to twice the room.
    out.covers.reserve_exact(found.iter().map(|found| found.covers.len()).sum());
    for mut found in found {
        out.covers.append(&mut found.covers);
        out.parallel.append(&mut found.parallel);
        out.clashes.append(&mut found.clashes);
        out.outside.append(&mut found.outside);
        out.kept_clear.append(&mut found.kept_clear);
        out.crowded.append(&mut found.crowded);
        // Not appended: that builds the whole map anew for each wall.
        out.crossings.extend(found.crossings);
    }
    out
}

impl Scene {
    /// The bars of one wall.
    fn new(wall: BlockId, pieces: &[Piece], standing: &Standing) -> Scene {
        let mut scene = Scene::default();
        for Piece { made, number, group, set, course } in pieces {
            let deep = set.map_or(Length::ZERO, |set| set.deep);
            if let Some(course) = course {
                scene.courses.insert((made.id, *number), *course);
            }
            scene
                .lapped
                .extend(group.lapped_with.iter().map(|with| (made.id, (*number).min(*with), (*number).max(*with))));
            let here = |line: &Line| standing.leg_ref(line.on).is_some_and(|leg| leg.wall == wall);
            for line in lines(made, group, *set, standing).filter(here) {
                scene.take_in(made, *number, &line, deep);
            }
        }
        scene
    }

    fn take_in(&mut self, made: &BarsMade, group: u32, line: &Line, deep: Length) {
        let owner = u32::try_from(self.bars.len()).unwrap_or(u32::MAX);
        let radius = made.steel.diameter.nm() as f64 / 2.0;
        let bar = BarAt { bars: made.id, group, number: line.number, on: line.on, station: line.station };
        let mut segments = line.walk.segments(ARC);
        if let (Some(first), true) = (segments.first_mut(), deep > Length::ZERO) {
            // What is in the hole is out of the way; the mouth is as far from the bottom as the hole is deep.
            first.from = drawn(first.from, first.to, deep.nm() as f64);
            self.mouths.insert(owner, first.from);
        } else if let Some(first) = segments.first_mut() {
            first.from = drawn(first.from, first.to, radius);
        }
        if let Some(last) = segments.last_mut() {
            last.to = drawn(last.to, last.from, radius);
        }
        self.owners.extend(std::iter::repeat_n(owner, segments.len()));
        let mut along = 0.0;
        self.begins.extend(segments.iter().map(|segment| {
            let begins = along;
            let part = way(segment.from, segment.to);
            along += dot(part, part).sqrt();
            begins
        }));
        self.segments.extend(segments);
        self.bars.push((bar, radius));
    }

    pub(super) fn bar(&self, segment: u32) -> Option<(u32, BarAt, f64)> {
        let owner = *self.owners.get(segment as usize)?;
        let (bar, radius) = *self.bars.get(owner as usize)?;
        Some((owner, bar, radius))
    }

    /// Two parts of bars within reach of a tie: they cross, or one is a dowel that stands beside the other.
    fn touch(&self, (a, u): (u32, &Segment), (b, v): (u32, &Segment), nearest: &Nearest) -> Option<Touch> {
        let bars = [*self.owners.get(a as usize)?, *self.owners.get(b as usize)?];
        let ways = [way(u.from, u.to), way(v.from, v.to)];
        // What is no longer than this has no direction.
        if ways.iter().any(|way| dot(*way, *way).sqrt() < THROUGH) {
            return None;
        }
        let beside = is_along(ways[0], ways[1], PARALLEL_DEGREES);
        let dowels = bars.map(|bar| self.mouths.contains_key(&bar));
        if beside && (dowels[0] == dowels[1] || !abreast(u, v, nearest)) {
            return None;
        }
        let far = |part: u32, segment: &Segment, at: [f64; 3]| {
            let from = way(segment.from, at);
            self.begins.get(part as usize).copied().unwrap_or(0.0) + dot(from, from).sqrt()
        };
        let along = [far(a, u, nearest.on_first), far(b, v, nearest.on_second)];
        let at = drawn(nearest.on_first, nearest.on_second, nearest.distance / 2.0);
        let upright = ways.iter().any(|way| is_along(*way, [0.0, 0.0, 1.0], 45.0));
        Some(Touch { bars, parts: [a, b], along, at, beside, upright })
    }

    fn against_faces(
        &self,
        wall: BlockId,
        standing: &Standing,
        sections: &Sections,
        solids: &Solids,
        out: &mut Clearances,
    ) {
        let here: Vec<&Placed> = sections.along(wall).collect();
        let pours: BTreeSet<BlockId> =
            here.iter().filter_map(|placed| solids.with(placed.id)).map(|(solid, _)| solid.pour).collect();
        let skins: Vec<&Skin> = pours
            .iter()
            .filter_map(|pour| solids.of(*pour))
            .flat_map(|pour| &pour.skins)
            .filter(|skin| skin.wall == wall)
            .collect();
        // What no pour fills has no faces: a bar in it is told of with the section.
        if skins.is_empty() || !here.iter().all(|placed| solids.with(placed.id).is_some()) {
            return;
        }
        let patches: Vec<Patch> = skins.iter().map(|skin| skin.patch.clone()).collect();
        let widest = self.bars.iter().map(|(_, radius)| *radius).fold(0.0, f64::max);
        let mut faces: Vec<(BlockId, Class)> = skins.iter().map(|skin| (skin.section, skin.class)).collect();
        faces.sort_unstable();
        faces.dedup();
        let face_of: Vec<usize> =
            skins.iter().map(|skin| faces.binary_search(&(skin.section, skin.class)).unwrap_or(0)).collect();
        // Of the block at hand, by faces: bars come block by block.
        let mut least: Vec<Option<(Length, BarAt, Nearest)>> = vec![None; faces.len()];
        let mut block = None;
        let mut covers = |least: &mut [Option<(Length, BarAt, Nearest)>]| {
            for ((section, class), kept) in faces.iter().zip(least) {
                let Some((clear, bar, nearest)) = kept.take() else { continue };
                let Some(at) = job_place(standing, bar.on, nearest.on_first) else { continue };
                let Some(to) = from_leg(standing, at.on, nearest.on_second) else { continue };
                out.covers.push(Cover { bar, section: *section, class: *class, clear, at, to });
            }
        };
        // The first place each bar that comes out does so.
        let mut leaves: BTreeMap<u32, Nearest> = BTreeMap::new();
        patches_about(&self.segments, &patches, REACH.nm() as f64 + widest + NOISE, |segment, patch, apart| {
            let (Some((owner, bar, radius)), Some(skin)) = (self.bar(segment), skins.get(patch as usize)) else {
                return;
            };
            if block != Some(bar.bars) {
                covers(&mut least);
                block = Some(bar.bars);
            }
            let Some(kept) = face_of.get(patch as usize).and_then(|face| least.get_mut(*face)) else { return };
            // What surely betters nothing that is known, and passes through nothing, need not be measured.
            let no_better = kept.is_some_and(|(clear, first, _)| {
                let known = clear.nm() as f64 + radius;
                apart > if bar < first { known + 2.0 * NOISE } else { known - NOISE / 4.0 }
            });
            if skin.class == Class::Joint || (apart > THROUGH && no_better) {
                return;
            }
            let Some(segment) = self.segments.get(segment as usize) else { return };
            // A dowel comes out of the face its hole is in, which may be against several sections; one that lies in the plane of
            // a face all along does not come out of that.
            let leaves_by = |mouth: &[f64; 3]| {
                let off = [segment.from, segment.to].map(|end| skin.patch.off_plane(end));
                skin.patch.off_plane(*mouth) <= THROUGH && off.into_iter().any(|off| off > THROUGH)
            };
            if self.mouths.get(&owner).is_some_and(leaves_by) {
                return;
            }
            let nearest = skin.patch.nearest(segment);
            if nearest.distance <= THROUGH {
                leaves.entry(owner).or_insert(nearest);
            }
            // Equal covers differ by noise: rounded they do not, and the first bar that has the least counts.
            let clear = Length::round_nm(nearest.distance - radius);
            if clear > REACH {
                return;
            }
            // To what lies beyond its own section a bar has no cover there: it is nearer to a face of its own.
            if kept.is_none_or(|kept| (clear, bar) < (kept.0, kept.1))
                && sections.find(skin.section).is_some_and(|placed| holds(placed, nearest.on_first))
            {
                *kept = Some((clear, bar, nearest));
            }
        });
        covers(&mut least);
        self.outside(standing, sections, &here, &leaves, out);
    }

    /// Bars that pass through a face, and those of which all lies outside.
    fn outside(
        &self,
        standing: &Standing,
        sections: &Sections,
        here: &[&Placed],
        leaves: &BTreeMap<u32, Nearest>,
        out: &mut Clearances,
    ) {
        let voids = VoidsOn::new(standing, sections, here);
        let mut by_block: BTreeMap<(BlockId, Option<BlockId>), Outside> = BTreeMap::new();
        let mut segments = self.owners.iter().zip(&self.segments).peekable();
        for (owner, (bar, _)) in (0..).zip(&self.bars) {
            let mut end = None;
            while let Some((_, segment)) = segments.next_if(|(of, _)| **of == owner) {
                end = Some(segment.to);
            }
            let Some(end) = end else { continue };
            let left = leaves.get(&owner).map(|nearest| nearest.on_first);
            let whole = left.is_none() && !inside(sections, here, end);
            let Some(place) = left.or(whole.then_some(end)) else { continue };
            let Some(at) = job_place(standing, bar.on, place) else { continue };
            let void = voids.at(&at);
            let entry = by_block.entry((bar.bars, void)).or_insert(Outside { bar: *bar, at, whole, void, bars: 0 });
            entry.bars += 1;
            if *bar < entry.bar {
                *entry = Outside { bar: *bar, at, whole, void, bars: entry.bars };
            }
        }
        out.outside.extend(by_block.into_values());
    }

    fn against_each_other(
        &self,
        wall: BlockId,
        standing: &Standing,
        (stone, most): (Length, u64),
        out: &mut Clearances,
    ) {
        let thickest = self.bars.iter().map(|(_, radius)| radius * 2.0).fold(0.0, f64::max);
        // No rule for clear spacing asks for more than an inch, a diameter, or four thirds of the largest stone.
        let asked = (Length::INCH.nm() as f64).max(thickest).max(stone.nm() as f64 * 4.0 / 3.0);
        let reach = asked + thickest + NOISE;
        let (mut parallel, mut clashes) = (BTreeMap::new(), BTreeMap::new());
        let mut clashing = BTreeSet::new();
        let mut touches: Vec<Touch> = Vec::new();
        let enough = near_of_others(&self.segments, &self.owners, reach, most, |a, b, nearest| {
            let (Some((one, first, r)), Some((two, second, s))) = (self.bar(a), self.bar(b)) else { return };
            let pair = (first.group.min(second.group), first.group.max(second.group));
            if first.bars == second.bars && self.lapped.contains(&(first.bars, pair.0, pair.1)) {
                return;
            }
            // Rounded first: bars drawn just so far into each other as gives would clash or not by the noise of where the
            // levels are counted from.
            let clear = Length::round_nm(nearest.distance - r - s);
            let runs_into = clear < -GIVES;
            let (Some(u), Some(v)) = (self.segments.get(a as usize), self.segments.get(b as usize)) else { return };
            if clear.nm() as f64 <= r.max(s).max(TIED) && touches.len() <= MOST {
                touches.extend(self.touch((a, u), (b, v), &nearest));
            }
            if !(runs_into || abreast(u, v, &nearest)) || clear.nm() as f64 > asked {
                return;
            }
            if clashes.len() + parallel.len() > TOLD {
                return;
            }
            let (place, other) = match second < first {
                true => (nearest.on_second, nearest.on_first),
                false => (nearest.on_first, nearest.on_second),
            };
            // Where axes meet, the way out is square to both.
            let other = if nearest.distance < THROUGH { square(u, v, place) } else { other };
            let (first, second) = (first.min(second), first.max(second));
            let Some(at) = job_place(standing, first.on, place) else { return };
            let Some(to) = from_leg(standing, at.on, other) else { return };
            let near = Near { first, second, clear, at, to, pairs: 0, beside: abreast(u, v, &nearest) };
            let into = if runs_into { &mut clashes } else { &mut parallel };
            let kept: &mut Near = into.entry((first.bars, second.bars)).or_insert(near);
            let new = runs_into && clashing.len() < COUNTED && clashing.insert((one.min(two), one.max(two)));
            let pairs = kept.pairs + u64::from(new);
            let key = |near: &Near| (near.clear, near.first, near.second, near.at);
            if key(&near) < key(kept) {
                *kept = near;
            }
            kept.pairs = pairs;
        });
        if !enough || clashes.len() + parallel.len() > TOLD {
            // What lies over each other by the thousand is one slip, told once.
            out.crowded.push(wall);
            return;
        }
        if touches.len() > MOST {
            out.crowded.push(wall);
            return;
        }
        let found = crossings(touches, &self.bars, &self.courses);
        if !found.is_empty() {
            out.crossings.insert(wall, found);
        }
        out.parallel.extend(parallel.into_values());
        out.clashes.extend(clashes.into_values());
    }
}

/// A place moved towards another by so much, at most all the way.
fn drawn(from: [f64; 3], to: [f64; 3], by: f64) -> [f64; 3] {
    let ([ax, ay, az], [bx, by_, bz]) = (from, to);
    let way = [bx - ax, by_ - ay, bz - az];
    let length = way.iter().map(|part| part * part).sum::<f64>().sqrt();
    let share = if length > 0.0 { (by / length).min(1.0) } else { 0.0 };
    let [wx, wy, wz] = way;
    [ax + wx * share, ay + wy * share, az + wz * share]
}

fn way([ax, ay, az]: [f64; 3], [bx, by, bz]: [f64; 3]) -> [f64; 3] {
    [bx - ax, by - ay, bz - az]
}

fn dot([ax, ay, az]: [f64; 3], [bx, by, bz]: [f64; 3]) -> f64 {
    ax * bx + ay * by + az * bz
}

/// Whether two bars run side by side: within 15 degrees of parallel, and nearest to each other across, not end to end.
pub(super) fn abreast(u: &Segment, v: &Segment, nearest: &Nearest) -> bool {
    let (u, v) = (way(u.from, u.to), way(v.from, v.to));
    let across = way(nearest.on_first, nearest.on_second);
    is_along(u, v, PARALLEL_DEGREES) && !is_along(u, across, 45.0)
}

/// Whether two ways are within so many degrees of parallel.
fn is_along(one: [f64; 3], other: [f64; 3], degrees: f64) -> bool {
    let size = (dot(one, one) * dot(other, other)).sqrt();
    size > 0.0 && dot(one, other).abs() >= size * degrees.to_radians().cos()
}

/// A place just off this one, square to two segments; this one, if they are parallel.
fn square(u: &Segment, v: &Segment, [x, y, z]: [f64; 3]) -> [f64; 3] {
    let ([ux, uy, uz], [vx, vy, vz]) = (way(u.from, u.to), way(v.from, v.to));
    let normal = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
    let size = dot(normal, normal).sqrt();
    let step = if size > 0.0 { THROUGH / 2.0 / size } else { 0.0 };
    let [nx, ny, nz] = normal;
    [x + nx * step, y + ny * step, z + nz * step]
}

/// Whether a place lies in the concrete of some section here, and in no void.
fn inside(sections: &Sections, here: &[&Placed], [x, y, height]: [f64; 3]) -> bool {
    let point = Point::new(x, y);
    let between = |bottom: Length, top: Length| (bottom.nm() as f64..=top.nm() as f64).contains(&height);
    let held = here.iter().find(|placed| {
        between(placed.bottom, placed.top) && placed.outlines.iter().any(|outline| outline.contains(point))
    });
    held.is_some()
        && !sections.voids.iter().any(|void| {
            here.iter().any(|placed| placed.id == void.section)
                && between(void.bottom, void.top)
                && void.outlines.iter().any(|outline| outline.contains(point))
        })
}

/// Whether a place lies in a section, or at its surface.
fn holds(placed: &Placed, [x, y, height]: [f64; 3]) -> bool {
    let (bottom, top) = (placed.bottom.nm() as f64 - THROUGH, placed.top.nm() as f64 + THROUGH);
    (bottom..=top).contains(&height) && placed.outlines.iter().any(|outline| outline.holds(Point::new(x, y), THROUGH))
}

/// A place measured from the leg of the old face it is nearest to, among the legs of one chain.
pub(super) fn job_place(standing: &Standing, on: LegAt, [x, y, height]: [f64; 3]) -> Option<JobPlace> {
    let chain = standing.chain(on)?;
    let mut best: Option<(f64, u16)> = None;
    for leg in 0..chain.run.legs().len() {
        let (station, offset) = chain.run.frame(leg)?.local(Point::new(x, y));
        let length = chain.run.length(leg).nm() as f64;
        let far = (station - station.clamp(0.0, length)).hypot(offset);
        if best.as_ref().is_none_or(|(least, _)| far < *least) {
            best = Some((far, u16::try_from(leg).ok()?));
        }
    }
    from_leg(standing, LegAt { leg: best?.1, ..on }, [x, y, height])
}

/// A place measured from a leg of the old face.
pub(super) fn from_leg(standing: &Standing, on: LegAt, [x, y, height]: [f64; 3]) -> Option<JobPlace> {
    let (station, offset) = standing.chain(on)?.run.frame(on.leg as usize)?.local(Point::new(x, y));
    let [station, offset, height] = [station, offset, height].map(Length::round_nm);
    Some(JobPlace { on, station, offset, height })
}

//! What is around the holes of a set in what they go into: the nearest edge, what is left behind them, and the room a drill
//! has before their mouths. All in plan space, along the true axes, against every upright face of the solid.
//!
//! How far a hole is from a flat face is a convex function of its station, so that the nearest hole of a row is found by
//! search and a long row costs no more than a short one.

use std::collections::BTreeMap;

use foldhash::HashMap;

use super::layout::{Axis, Hole, Level, Row, Set, bar_spacing};
use crate::{
    concrete::{Sections, Standing},
    cores,
    geometry::{
        Bounds, FaceKind, Old, Patch, Piece, Point, Side,
        distance::{Place, Segment},
        solid,
    },
    job::Job,
    schema::{BlockId, KindId},
    units::Length,
};

/// The drill's body when nothing is said: common practice, no source.
pub const USUAL_DRILL: (Length, Length) =
    (Length::from_nm(14 * Length::INCH.nm()), Length::from_nm(4 * Length::INCH.nm()));

/// Faces this much turned against the way of the hole, or more, are on the side of its mouth (the cosine).
const MOUTH_SIDE: f64 = -0.9;
/// Faces this much along the way of the hole, or more, are behind it (the cosine of 60 degrees).
const BEHIND: f64 = 0.5;
/// How far round a row one looks at all: more than any edge or back is asked about. Two feet, and what the drill wants.
const AROUND: Length = Length::from_nm(2 * Length::FOOT.nm());
/// A mouth as near as this to a face's plane lies in it: 1 mm, in nanometres.
const IN_PLANE: f64 = 1e6;

/// From so many holes on, the sets are shared among the cores: starting a thread takes as long as some hundred holes.
const MANY: u64 = 1_000;
/// So many sets are looked at together.
const TOGETHER: usize = 32;

/// What an edge is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rim {
    /// The top of what is drilled into.
    Top,
    /// Its bottom.
    Bottom,
    /// Where it ends.
    End,
    /// Of a slab: where it meets the wall.
    Wall,
    /// Another face, such as that of the leg round a corner.
    Face,
}

/// The nearest edge to the axis of any hole of a set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edge {
    /// The hole.
    pub hole: Hole,
    /// How far the edge is from its axis.
    pub apart: Length,
    /// What edge it is.
    pub rim: Rim,
}

/// What is left behind the hole that goes furthest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Back {
    /// The hole.
    pub hole: Hole,
    /// How much is left; nothing or less if it comes out.
    pub left: Length,
    /// How thick the work is there, along the axis.
    pub thick: Length,
}

/// Where a drill has no room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tight {
    /// The hole.
    pub hole: Hole,
    /// How much straight room there is before the mouth.
    pub room: Length,
    /// A slab below is in the way; else another face.
    pub slab: Option<BlockId>,
}

/// What is around the holes of one set.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Around {
    /// The nearest edge.
    pub edge: Option<Edge>,
    /// The thinnest back.
    pub back: Option<Back>,
    /// Where the drill has least room, if it has too little.
    pub tight: Option<Tight>,
    /// How much room it wants: its body and the depth of the hole.
    pub wants: Length,
}

/// An upright face: a rectangle on a plan edge.
#[derive(Debug, Clone)]
struct Rect {
    corners: [Place; 4],
    patch: Patch,
    /// Which way it looks.
    normal: Point,
    end: bool,
    bounds: Bounds,
}

impl Rect {
    fn new(from: Point, to: Point, bottom: Length, top: Length, end: bool) -> Option<Rect> {
        let length = from.distance(to);
        let (low, high) = (bottom.nm() as f64, top.nm() as f64);
        // The solid is on the left of the edge.
        let normal = Point::new((to.y - from.y) / length, (from.x - to.x) / length);
        let corners = [[from.x, from.y, low], [to.x, to.y, low], [to.x, to.y, high], [from.x, from.y, high]];
        let mut bounds = Bounds::EMPTY;
        corners.iter().for_each(|corner| bounds.take_in(*corner));
        let patch = Patch::Upright { from, to, bottom, top };
        (length > 0.0).then_some(Rect { corners, patch, normal, end, bounds })
    }

    /// How far before the plane of the face a place is.
    fn before(&self, at: Place) -> f64 {
        let [corner, ..] = self.corners;
        (at[0] - corner[0]) * self.normal.x + (at[1] - corner[1]) * self.normal.y
    }

    fn distance(&self, segment: &Segment) -> f64 {
        self.patch.nearest(segment).distance
    }

    /// How far along a way from a place the face is met, if the line meets it.
    fn met(&self, from: Place, way: Place) -> Option<f64> {
        let towards = way[0] * self.normal.x + way[1] * self.normal.y;
        let far = -self.before(from) / towards;
        let at: Place = [0, 1, 2].map(|axis: usize| from[axis] + way[axis] * far);
        let [a, b, c, _] = self.corners;
        let (x, y) = (b[0] - a[0], b[1] - a[1]);
        let share = ((at[0] - a[0]) * x + (at[1] - a[1]) * y) / (x * x + y * y);
        let inside = (0.0..=1.0).contains(&share) && at[2] >= a[2] && at[2] <= c[2];
        (far.is_finite() && inside).then_some(far)
    }
}

/// The upright faces of walls and of new concrete, made as they are asked for.
#[derive(Default)]
struct Bodies {
    old: HashMap<BlockId, Vec<Rect>>,
    new: HashMap<BlockId, Vec<Rect>>,
}

impl Bodies {
    fn old(&mut self, job: &Job, standing: &Standing, wall: BlockId) -> &[Rect] {
        self.old.entry(wall).or_insert_with(|| {
            let pieces = (0..).zip(standing.old(job, wall, &[]));
            let pieces: Vec<Piece> =
                pieces.map(|(id, old)| Piece { outline: old.outline, bottom: old.bottom, top: old.top, id }).collect();
            rects(&pieces, &[])
        })
    }

    fn added(&mut self, job: &Job, standing: &Standing, sections: &Sections, wall: BlockId) -> &[Rect] {
        self.new.entry(wall).or_insert_with(|| {
            let placed = sections.along(wall);
            let outlines = placed.flat_map(|placed| placed.outlines.iter().map(move |outline| (placed, outline)));
            let pieces: Vec<Piece> = (0..)
                .zip(outlines)
                .map(|(id, (placed, outline))| Piece {
                    outline: outline.clone(),
                    bottom: placed.bottom,
                    top: placed.top,
                    id,
                })
                .collect();
            let old = standing.old(job, wall, &[]);
            let old: Vec<Old<()>> = old
                .into_iter()
                .map(|old| Old { outline: old.outline, bottom: old.bottom, top: old.top, tag: () })
                .collect();
            rects(&pieces, &old)
        })
    }
}

/// The upright faces of the solid that pieces make, save those against what lies behind them.
fn rects(pieces: &[Piece], behind: &[Old<()>]) -> Vec<Rect> {
    let made = solid(pieces, &[], behind, false);
    let open = made.faces.iter().filter(|face| face.behind.is_none());
    open.filter_map(|face| {
        let FaceKind::Upright { from, to, bottom, top } = face.kind else { return None };
        let end = face.flank.is_some_and(|flank| matches!(flank.side, Side::Start | Side::End));
        Rect::new(from, to, bottom, top, end)
    })
    .collect()
}

/// What is around the holes of each set; edges and backs that are nowhere near are left out.
#[must_use]
pub fn around(
    job: &Job,
    standing: &Standing,
    sections: &Sections,
    sets: &BTreeMap<BlockId, Set>,
) -> BTreeMap<BlockId, Around> {
    let found = around_each(job, standing, sections, sets.values());
    sets.keys().copied().zip(found).collect()
}

/// What is around the holes of each set, in their order; several may be of one block.
pub(super) fn around_each<'s>(
    job: &Job,
    standing: &Standing,
    sections: &Sections,
    sets: impl Iterator<Item = &'s Set>,
) -> Vec<Around> {
    let sets: Vec<&Set> = sets.collect();
    // What stands along a wall is worked out once for sets that follow each other.
    let parts: Vec<&[&Set]> = sets.chunks(TOGETHER).collect();
    let holes = sets.iter().map(|set| set.count).fold(0, u64::saturating_add);
    let found = cores::each(&parts, holes > MANY, |sets| {
        let mut bodies = Bodies::default();
        sets.iter().map(|set| around_one(job, standing, sections, set, &mut bodies)).collect::<Vec<_>>()
    });
    found.into_iter().flatten().collect()
}

/// The length and the width of the drill's body for a block of holes.
#[must_use]
pub fn drill_of(job: &Job, holes: BlockId) -> (Length, Length) {
    let drill = job.holes_of(holes).and_then(|holes| holes.say.drill.as_ref());
    let long = drill.map_or(USUAL_DRILL.0, |drill| drill.long.0);
    (long, drill.and_then(|drill| drill.wide).map_or(USUAL_DRILL.1, |wide| wide.0))
}

fn around_one<'l>(
    job: &'l Job,
    standing: &'l Standing,
    sections: &Sections,
    set: &'l Set,
    bodies: &mut Bodies,
) -> Around {
    let (long, wide) = drill_of(job, set.id);
    let mut looker = Looker {
        job,
        standing,
        set,
        found: Around { wants: long + set.deep, ..Around::default() },
        half: wide.nm() as f64 / 2.0,
    };
    for row in &set.rows {
        let Some(wall) = standing.leg_ref(row.on).map(|leg| leg.wall) else { continue };
        let rects = match job.kind(set.into.block) {
            Some(KindId::Section) => bodies.added(job, standing, sections, wall),
            _ => bodies.old(job, standing, wall),
        };
        looker.look(row, rects);
    }
    looker.found
}

struct Looker<'l> {
    job: &'l Job,
    standing: &'l Standing,
    set: &'l Set,
    found: Around,
    /// Half the width of the drill.
    half: f64,
}

impl Looker<'_> {
    fn look(&mut self, row: &Row, rects: &[Rect]) {
        let Some(first) = row.hole(0) else { return };
        let Some((_, way)) = self.set.aim(&first, self.standing) else { return };
        let near = self.near(row, rects, way);
        if job_slab(self.job, self.set).is_none() {
            for rect in &near {
                self.face(row, rect, way);
            }
        }
        self.levels(row, first);
        self.room(row, &near, way);
    }

    /// The faces near a row and its drill.
    fn near<'r>(&self, row: &Row, rects: &'r [Rect], way: Place) -> Vec<&'r Rect> {
        let mut bounds = Bounds::EMPTY;
        let wants = self.found.wants.nm() as f64;
        for hole in
            row.places.count().checked_sub(1).into_iter().flat_map(|last| [row.hole(0), row.hole(last)]).flatten()
        {
            let Some(axis) = self.set.segment(&hole, self.standing) else { continue };
            let end = [0, 1, 2].map(|at: usize| axis.from[at] - way[at] * wants);
            [axis.from, axis.to, end].into_iter().for_each(|at| bounds.take_in(at));
        }
        let far = AROUND.max(self.set.bar.map_or(Length::ZERO, bar_spacing)).max(self.set.wide * 3);
        let bounds = bounds.grown(far.nm() as f64 + self.half);
        rects.iter().filter(|rect| bounds.touches(&rect.bounds)).collect()
    }

    /// An upright face: an edge beside the holes, or the back behind them.
    fn face(&mut self, row: &Row, rect: &Rect, way: Place) {
        let along = rect.normal.x * way[0] + rect.normal.y * way[1];
        if along <= MOUTH_SIDE {
            return;
        }
        let axis = |hole: &Hole| self.set.segment(hole, self.standing).unwrap_or_default();
        if along < BEHIND {
            let inside = |hole: &Hole| rect.before(axis(hole).from) < -IN_PLANE;
            let Some((hole, apart)) = least(row, |hole| rect.distance(&axis(hole))) else { return };
            if inside(&hole) {
                self.edge(Edge {
                    hole,
                    apart: Length::round_nm(apart),
                    rim: if rect.end { Rim::End } else { Rim::Face },
                });
            }
            return;
        }
        let deep = self.set.deep.nm() as f64;
        let left = |hole: &Hole| {
            let segment = axis(hole);
            match rect.met(segment.from, way) {
                // What comes out has the less left the further it comes.
                Some(far) if far >= 0.0 => (far - deep) * along,
                _ => rect.distance(&Segment { from: segment.to, to: segment.to }),
            }
        };
        if let Some((hole, left)) = least(row, left) {
            let left = Length::round_nm(left);
            let thick = Length::round_nm(left.nm() as f64 / along + deep);
            self.back(Back { hole, left, thick });
        }
    }

    fn edge(&mut self, edge: Edge) {
        if self.found.edge.is_none_or(|best| (edge.apart, edge.hole.number) < (best.apart, best.hole.number)) {
            self.found.edge = Some(edge);
        }
    }

    fn back(&mut self, back: Back) {
        if self.found.back.is_none_or(|best| (back.left, back.hole.number) < (best.left, best.hole.number)) {
            self.found.back = Some(back);
        }
    }

    /// The level faces: top and bottom of a wall beside level holes, the underside below holes in a top or a floor.
    fn levels(&mut self, row: &Row, hole: Hole) {
        let Some(segment) = self.set.segment(&hole, self.standing) else { return };
        let (low, high) = (segment.from[2].min(segment.to[2]), segment.from[2].max(segment.to[2]));
        match (self.set.axis, row.level) {
            (Axis::Face, Level::Height(_)) => {
                let Some((bottom, top)) = self.standing.heights(row.on) else { return };
                let wall = self.standing.leg_ref(row.on).map(|leg| leg.wall);
                self.edge(Edge { hole, apart: Length::round_nm(top.nm() as f64 - high), rim: Rim::Top });
                // On a footing a wall goes on.
                if !self.job.footings.iter().any(|footing| Some(footing.say.under.0) == wall) {
                    self.edge(Edge { hole, apart: Length::round_nm(low - bottom.nm() as f64), rim: Rim::Bottom });
                }
            }
            (Axis::Down(top), Level::Offset(offset)) => {
                let Some(thick) = self.thick_below(row) else { return };
                let left = Length::round_nm(low - (top - thick).nm() as f64);
                self.back(Back { hole, left, thick });
                if job_slab(self.job, self.set).is_some() {
                    // A slab ends at the face of the wall.
                    let out = |at: Place| {
                        self.standing.chain(row.on).and_then(|chain| {
                            let frame = chain.run.frame(row.on.leg as usize)?;
                            Some(frame.local(Point::new(at[0], at[1])).1)
                        })
                    };
                    let apart = out(segment.to).map_or(offset, |out| offset.min(Length::round_nm(out)));
                    self.edge(Edge { hole, apart, rim: Rim::Wall });
                }
            }
            _ => {}
        }
    }

    /// How thick the work is below holes in a top or a floor.
    fn thick_below(&self, row: &Row) -> Option<Length> {
        let into = self.set.into.block;
        if let Some(slab) = self.job.slab(into) {
            return Some(slab.say.thick.0);
        }
        if let Some(footing) = self.job.footing(into) {
            return Some(footing.say.thick.0);
        }
        if let Some(section) = self.job.section(into) {
            return Some(section.say.height.value.to - section.say.height.value.from);
        }
        self.standing.heights(row.on).map(|(bottom, top)| top - bottom)
    }

    /// The room before the mouths: the drill stands straight out of the hole, its body behind the bit.
    fn room(&mut self, row: &Row, rects: &[&Rect], way: Place) {
        let wants = self.found.wants.nm() as f64;
        let out = way.map(|part| -part);
        let drill = |hole: &Hole| {
            let mouth = self.set.segment(hole, self.standing).unwrap_or_default().from;
            Segment { from: mouth, to: [0, 1, 2].map(|axis: usize| mouth[axis] + out[axis] * wants) }
        };
        // A row is straight: all its drills stand between the first and the last.
        let ends = [0, row.places.count().saturating_sub(1)].map(|at| row.hole(at).map(|hole| drill(&hole)));
        let mut all = Bounds::EMPTY;
        ends.iter().flatten().for_each(|end| [end.from, end.to].into_iter().for_each(|at| all.take_in(at)));
        let all = all.grown(self.half);
        for rect in rects.iter().filter(|rect| all.touches(&rect.bounds)) {
            let Some((hole, apart)) = least(row, |hole| rect.distance(&drill(hole))) else { continue };
            if apart >= self.half || rect.before(drill(&hole).from) <= IN_PLANE {
                continue;
            }
            let room = rect.met(drill(&hole).from, out).filter(|far| *far >= 0.0).unwrap_or(0.0);
            self.tight(Tight { hole, room: Length::round_nm(room), slab: None });
        }
        let (Axis::Face, Level::Height(level), Some(leg)) = (self.set.axis, row.level, self.standing.leg_ref(row.on))
        else {
            return;
        };
        for slab in &self.job.slabs {
            let meets = slab.say.against.0.iter().any(|part| part.value.names(leg));
            let clear = (level - slab.say.top).nm() as f64;
            if !meets || clear >= self.half {
                continue;
            }
            // Where a strip is broken out there is room as far as it reaches.
            let strips = self.job.removes.iter().filter(|strip| strip.say.slab.0 == slab.id);
            let out = strips
                .filter(|strip| strip.say.along.0.iter().any(|part| part.value.names(leg)))
                .map(|strip| strip.say.out.value.0)
                .max()
                .unwrap_or(Length::ZERO);
            if let Some(hole) = row.hole(0).filter(|_| out < self.found.wants) {
                self.tight(Tight { hole, room: out, slab: Some(slab.id) });
            }
        }
    }

    fn tight(&mut self, tight: Tight) {
        if self.found.tight.is_none_or(|best| (tight.room, tight.hole.number) < (best.room, best.hole.number)) {
            self.found.tight = Some(tight);
        }
    }
}

/// The slab a set goes into.
fn job_slab(job: &Job, set: &Set) -> Option<BlockId> {
    job.slab(set.into.block).map(|slab| slab.id)
}

/// The hole of a row where a convex function of the station is least.
fn least(row: &Row, of: impl Fn(&Hole) -> f64) -> Option<(Hole, f64)> {
    let (mut low, mut high) = (0, row.places.count().checked_sub(1)?);
    let at = |number: u64| row.hole(number).map(|hole| (hole, of(&hole)));
    while high - low > 2 {
        let third = (high - low) / 3;
        let (left, right) = (low + third, high - third);
        if at(left)?.1 <= at(right)?.1 {
            high = right;
        } else {
            low = left;
        }
    }
    (low..=high).filter_map(at).min_by(|one, other| one.1.total_cmp(&other.1))
}

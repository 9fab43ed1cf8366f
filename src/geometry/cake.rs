//! Layered solids: pieces with level bottoms and tops, united, with volume and faces.
//!
//! Overlaps and voids are cut out first, so that what is left are bodies that at most touch. Then nothing needs a
//! union: a body's wall is a face wherever no other body stands at once before it, and its top wherever none stands
//! on it.

use std::borrow::Cow;

use super::{
    Bounds, BoxTree, Face, FaceKind, Outline,
    carve::{Region, Shape, carve, shared},
    face::{BEHIND, Divider, Wall},
};
use crate::units::{Area, Length, Volume};

/// A piece of a solid: an outline between two heights.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// Its plan.
    pub outline: Outline,
    /// Where it starts.
    pub bottom: Length,
    /// Where it ends.
    pub top: Length,
    /// What the caller knows it by.
    pub id: u32,
}

/// What is left out of all pieces.
#[derive(Debug, Clone, PartialEq)]
pub struct Void {
    /// Its plan.
    pub outline: Outline,
    /// Where it starts.
    pub bottom: Length,
    /// Where it ends.
    pub top: Length,
}

/// Something solid near the pieces that faces may lie against; the first of several counts.
#[derive(Debug, Clone, PartialEq)]
pub struct Old<T> {
    /// Its plan.
    pub outline: Outline,
    /// Where it starts.
    pub bottom: Length,
    /// Where it ends.
    pub top: Length,
    /// What it is to the caller.
    pub tag: T,
}

/// The union of pieces less voids.
#[derive(Debug, Clone, PartialEq)]
pub struct Solid<T> {
    /// Its volume; what pieces share counts once.
    pub volume: Volume,
    /// The volume of each piece, in the order given; what two share is counted with the earlier.
    pub pieces: Vec<Volume>,
    /// Its surface, closed.
    pub faces: Vec<Face<T>>,
    /// The plans of its level faces, if they were asked for: a face's place in `faces`, and an outline of its plan.
    pub plans: Vec<(u32, Outline)>,
    /// The ids of two pieces and what they share, before voids are taken out.
    pub overlap: Vec<(u32, u32, Volume)>,
}

/// A part of a piece that shares nothing with any other part.
struct Body<'a> {
    piece: usize,
    id: u32,
    outline: Cow<'a, Outline>,
    /// Which edges a void made; empty if none.
    voids: Vec<bool>,
    bottom: Length,
    top: Length,
    /// Its bottom or top is not the piece's own, but a void's or another piece's.
    cut_below: bool,
    cut_above: bool,
}

/// Something that is taken out of a piece.
#[derive(Clone, Copy)]
struct Cutter<'a> {
    outline: &'a Outline,
    bottom: Length,
    top: Length,
    void: bool,
}

/// The solid that pieces make together, less the voids, among its surroundings.
///
/// The plans of level faces take time and are made only if `plans` asks for them.
///
/// A piece that has no height or no area makes nothing. The result does not depend on the order of the pieces, save
/// that of two which overlap the earlier keeps what they share.
#[must_use]
pub fn solid<T: Copy>(pieces: &[Piece], voids: &[Void], surroundings: &[Old<T>], plans: bool) -> Solid<T> {
    let shapes: Vec<Shape> = pieces.iter().map(|piece| Shape::new(&piece.outline)).collect();
    let boxes: Vec<Bounds> =
        pieces.iter().zip(&shapes).map(|(piece, shape)| upright(&shape.bounds, piece.bottom, piece.top)).collect();
    let tree = BoxTree::new(&boxes);
    let (overlap, cutters) = conflicts(pieces, voids, &shapes, &boxes, &tree);
    let pieces_empty = vec![Volume::ZERO; pieces.len()];
    let mut made = Solid { volume: Volume::ZERO, pieces: pieces_empty, faces: Vec::new(), plans: Vec::new(), overlap };
    let untouched = cutters.is_empty();
    let bodies = bodies(pieces, &shapes, cutters);
    if untouched {
        surface(&mut made, &bodies, &shapes, (&boxes, &tree), surroundings, plans);
    } else {
        let shapes: Vec<Shape> = bodies.iter().map(|body| Shape::new(&body.outline)).collect();
        let boxes: Vec<Bounds> =
            bodies.iter().zip(&shapes).map(|(body, shape)| upright(&shape.bounds, body.bottom, body.top)).collect();
        let tree = BoxTree::new(&boxes);
        surface(&mut made, &bodies, &shapes, (&boxes, &tree), surroundings, plans);
    }
    made
}

fn upright(plan: &Bounds, bottom: Length, top: Length) -> Bounds {
    let (mut least, mut most) = (plan.least, plan.most);
    least[2] = bottom.nm() as f64;
    most[2] = top.nm() as f64;
    // Touching plans of oblique pieces differ by noise and by the rounding of what was carved.
    Bounds { least, most }.grown(5.0)
}

/// Which pieces overlap and by how much, and what has to be taken out of each piece.
#[expect(clippy::type_complexity, reason = "the two halves of one look at all pairs")]
fn conflicts<'a>(
    pieces: &'a [Piece],
    voids: &'a [Void],
    shapes: &[Shape],
    boxes: &[Bounds],
    tree: &BoxTree,
) -> (Vec<(u32, u32, Volume)>, Vec<(usize, Cutter<'a>)>) {
    let (mut overlap, mut cutters, mut near) = (Vec::new(), Vec::new(), Vec::new());
    for (later, ((piece, shape), bounds)) in pieces.iter().zip(shapes).zip(boxes).enumerate() {
        tree.touching(bounds, &mut near);
        for earlier in near.iter().map(|&index| index as usize).take_while(|&index| index < later) {
            let (Some(other), Some(its)) = (pieces.get(earlier), shapes.get(earlier)) else { continue };
            let height = piece.top.min(other.top) - piece.bottom.max(other.bottom);
            if height <= Length::ZERO {
                continue;
            }
            let area = shared(its, shape);
            if area > Area::ZERO {
                overlap.push((other.id, piece.id, area * height));
                let cutter = Cutter { outline: &other.outline, bottom: other.bottom, top: other.top, void: false };
                cutters.push((later, cutter));
            }
        }
    }
    for void in voids {
        let its = Shape::new(&void.outline);
        tree.touching(&upright(&its.bounds, void.bottom, void.top), &mut near);
        for index in near.iter().map(|&index| index as usize) {
            let (Some(piece), Some(shape)) = (pieces.get(index), shapes.get(index)) else { continue };
            if piece.top.min(void.top) > piece.bottom.max(void.bottom) && shared(&its, shape) > Area::ZERO {
                let cutter = Cutter { outline: &void.outline, bottom: void.bottom, top: void.top, void: true };
                cutters.push((index, cutter));
            }
        }
    }
    cutters.sort_by_key(|(piece, _)| *piece);
    (overlap, cutters)
}

/// The pieces, each cut into what is left of it when the cutters (sorted by piece) are taken out.
fn bodies<'a>(pieces: &'a [Piece], shapes: &[Shape], cutters: Vec<(usize, Cutter<'a>)>) -> Vec<Body<'a>> {
    let mut bodies = Vec::with_capacity(pieces.len());
    let mut rest = cutters.as_slice();
    for (index, (piece, shape)) in pieces.iter().zip(shapes).enumerate() {
        let count = rest.iter().take_while(|(of, _)| *of == index).count();
        let (mine, others) = rest.split_at(count);
        rest = others;
        let whole = |bottom: Length, top: Length| Body {
            piece: index,
            id: piece.id,
            outline: Cow::Borrowed(&piece.outline),
            voids: Vec::new(),
            bottom,
            top,
            cut_below: bottom > piece.bottom,
            cut_above: top < piece.top,
        };
        if mine.is_empty() {
            bodies.push(whole(piece.bottom, piece.top));
            continue;
        }
        let mut heights = vec![piece.bottom, piece.top];
        let within = |height: &Length| *height > piece.bottom && *height < piece.top;
        heights.extend(mine.iter().flat_map(|(_, cutter)| [cutter.bottom, cutter.top]).filter(within));
        heights.sort_unstable();
        heights.dedup();
        for pair in heights.windows(2) {
            let &[bottom, top] = pair else { continue };
            let alive = || {
                mine.iter()
                    .filter(move |(_, cutter)| cutter.bottom <= bottom && cutter.top >= top)
                    .map(|(_, cutter)| (cutter.outline, cutter.void))
            };
            if alive().next().is_none() {
                bodies.push(whole(bottom, top));
                continue;
            }
            bodies.extend(carve(shape, alive()).into_iter().map(|carved| Body {
                outline: Cow::Owned(carved.outline),
                voids: carved.voids,
                ..whole(bottom, top)
            }));
        }
    }
    bodies
}

/// Measures bodies and finds their faces.
fn surface<T: Copy>(
    made: &mut Solid<T>,
    bodies: &[Body],
    shapes: &[Shape],
    (boxes, tree): (&[Bounds], &BoxTree),
    surroundings: &[Old<T>],
    plans: bool,
) {
    let old_shapes: Vec<Shape> = surroundings.iter().map(|old| Shape::new(&old.outline)).collect();
    let old_boxes: Vec<Bounds> = surroundings
        .iter()
        .zip(&old_shapes)
        .map(|(old, shape)| upright(&shape.bounds, old.bottom, old.top).grown(BEHIND))
        .collect();
    let old_tree = BoxTree::new(&old_boxes);
    let tag = |index: u32| surroundings.get(index as usize).map(|old| old.tag);
    let (mut near, mut near_old, mut divider) = (Vec::new(), Vec::new(), Divider::default());
    made.faces.reserve(6 * bodies.len());
    for (index, ((body, shape), bounds)) in bodies.iter().zip(shapes).zip(boxes).enumerate() {
        if body.top <= body.bottom || shape.area <= Area::ZERO {
            continue;
        }
        let volume = shape.area * (body.top - body.bottom);
        made.volume += volume;
        if let Some(own) = made.pieces.get_mut(body.piece) {
            *own += volume;
        }
        tree.touching(bounds, &mut near);
        near.retain(|&other| other as usize != index);
        old_tree.touching(bounds, &mut near_old);
        for (at, (from, to, flank)) in shape.outline.edges().enumerate() {
            let wall = Wall {
                from,
                to,
                bottom: body.bottom.nm(),
                top: body.top.nm(),
                piece: body.id,
                flank,
                void: body.voids.get(at).copied().unwrap_or(false),
            };
            let ends = [[from.x, from.y, bounds.least[2]], [to.x, to.y, bounds.most[2]]];
            // A little more than the probe stands outside the edge.
            let edge = Bounds::around(ends).grown(20.0);
            divider.start();
            for &other in &near {
                let other = other as usize;
                if let (Some(other), Some(its)) = (bodies.get(other), boxes.get(other))
                    && its.touches(&edge)
                {
                    divider.body(&wall, &other.outline, other.bottom, other.top);
                }
            }
            for &other in &near_old {
                if let (Some(old), Some(its)) = (surroundings.get(other as usize), old_boxes.get(other as usize))
                    && its.touches(&edge)
                {
                    divider.old(&wall, &old.outline, old.bottom, old.top, other);
                }
            }
            divider.divide(&wall, tag, &mut made.faces);
        }
        let level = Level { bodies, shapes, surroundings, old_shapes: &old_shapes, near: &near, near_old: &near_old };
        for up in [true, false] {
            let first = u32::try_from(made.faces.len()).unwrap_or(u32::MAX);
            level.face(index, up, &mut made.faces);
            if plans {
                let after = u32::try_from(made.faces.len()).unwrap_or(u32::MAX);
                level.plans(index, up, (first, after - first), &mut made.plans);
            }
        }
    }
}

/// What the level faces of a body need to know.
struct Level<'a, 'b, T> {
    bodies: &'a [Body<'b>],
    shapes: &'a [Shape<'a>],
    surroundings: &'a [Old<T>],
    old_shapes: &'a [Shape<'a>],
    near: &'a [u32],
    near_old: &'a [u32],
}

impl<T: Copy> Level<'_, '_, T> {
    /// The top or the underside of a body: its plan less what of the same solid lies on it.
    fn face(&self, index: usize, up: bool, faces: &mut Vec<Face<T>>) {
        let (Some(body), Some(shape)) = (self.bodies.get(index), self.shapes.get(index)) else { return };
        let height = if up { body.top } else { body.bottom };
        let mut hidden: Vec<&Outline> = Vec::new();
        let mut free = shape.area;
        for (its, area) in self.upon(index, up) {
            free = free - area;
            hidden.push(its);
        }
        let noise = shape.noise();
        let mut push = |area: Area, behind: Option<T>| {
            if area > noise {
                let kind = if up { FaceKind::Top { height } } else { FaceKind::Under { height } };
                let void = if up { body.cut_above } else { body.cut_below };
                faces.push(Face { kind, area, piece: body.id, flank: None, behind, riser: false, void });
            }
        };
        if free <= noise {
            return;
        }
        let mut found = self.before(index, up);
        match (found.next(), found.next()) {
            (None, _) => push(free, None),
            (Some((tag, _, area)), None) if hidden.is_empty() => {
                push(area, Some(tag));
                push(free - area, None);
            }
            _ => {
                let mut region = Region::less(shape, hidden.into_iter());
                for (tag, its, _) in self.before(index, up) {
                    push(region.take(its), Some(tag));
                }
                push(region.area(), None);
            }
        }
    }

    /// The plans of the faces [`Level::face`] made, which stand in the same order.
    fn plans(&self, index: usize, up: bool, (first, count): (u32, u32), plans: &mut Vec<(u32, Outline)>) {
        let Some(shape) = self.shapes.get(index) else { return };
        let mut region = Region::less(shape, self.upon(index, up).map(|(its, _)| its));
        let noise = shape.noise();
        let mut places = first..first.saturating_add(count);
        let mut give = |area: Area, parts: Vec<Outline>| {
            if area > noise
                && let Some(place) = places.next()
            {
                plans.extend(parts.into_iter().map(|part| (place, part)));
            }
        };
        for (_, its, _) in self.before(index, up) {
            let within = region.within(its);
            give(region.take(its), within);
        }
        give(region.area(), region.outlines());
    }

    /// The bodies that lie on a body's top (or under its bottom), and the area they hide.
    fn upon(&self, index: usize, up: bool) -> impl Iterator<Item = (&Outline, Area)> {
        let here = self.bodies.get(index).zip(self.shapes.get(index));
        here.into_iter().flat_map(move |(body, shape)| {
            self.near.iter().filter_map(move |&other| {
                let (other, its) = (self.bodies.get(other as usize)?, self.shapes.get(other as usize)?);
                let meets = if up { other.bottom == body.top } else { other.top == body.bottom };
                let area = if meets { shared(shape, its) } else { Area::ZERO };
                (area > Area::ZERO).then_some((its.outline, area))
            })
        })
    }

    /// What stands within 1 mm over a body's top (or under its bottom), and the area it takes in.
    fn before(&self, index: usize, up: bool) -> impl Iterator<Item = (T, &Outline, Area)> {
        let reach = Length::from_nm(BEHIND as i64);
        let here = self.bodies.get(index).zip(self.shapes.get(index));
        here.into_iter().flat_map(move |(body, shape)| {
            self.near_old.iter().filter_map(move |&other| {
                let (old, its) = (self.surroundings.get(other as usize)?, self.old_shapes.get(other as usize)?);
                let faces = if up {
                    old.bottom < body.top + reach && old.top > body.top
                } else {
                    old.top > body.bottom - reach && old.bottom < body.bottom
                };
                let area = if faces { shared(shape, its) } else { Area::ZERO };
                (area > Area::ZERO).then_some((old.tag, its.outline, area))
            })
        })
    }
}

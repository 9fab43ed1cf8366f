//! Faces of a solid, and how an upright one is divided by what stands before it.

use super::{Flank, Outline, Point, Side, point::settle};
use crate::units::{Area, Length};

/// How far outside an edge, in nanometres, one looks for what touches it.
const AT_ONCE: f64 = 10.0;

/// How far behind a face, in nanometres, what lies there still counts as being behind it: 1 mm.
pub(super) const BEHIND: f64 = 1_000_000.0;

/// Divisions nearer to each other than this, in nanometres, are one.
const SAME: f64 = 60.0;

/// A plane face of a solid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Face<T> {
    /// Which way it looks, and where it is.
    pub kind: FaceKind,
    /// Its area.
    pub area: Area,
    /// The id of the piece it belongs to.
    pub piece: u32,
    /// Which side of the piece's strip it is, where it is one.
    pub flank: Option<Flank>,
    /// What lies within 1 mm behind it.
    pub behind: Option<T>,
    /// An end face below the bottom of the piece that goes on in front of it: the riser of a stepped bottom.
    pub riser: bool,
    /// A void made it.
    pub void: bool,
}

/// Which way a face looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FaceKind {
    /// A rectangle standing on the plan edge from one point to the other, with the solid on the left.
    Upright {
        /// Where the edge starts.
        from: Point,
        /// Where the edge ends.
        to: Point,
        /// Its lower edge.
        bottom: Length,
        /// Its upper edge.
        top: Length,
    },
    /// Level, looking up.
    Top {
        /// Where it is.
        height: Length,
    },
    /// Level, looking down.
    Under {
        /// Where it is.
        height: Length,
    },
}

/// A standing rectangle of a body: a plan edge, the heights, and what its face is to be called.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wall {
    pub from: Point,
    pub to: Point,
    pub bottom: i64,
    pub top: i64,
    pub piece: u32,
    pub flank: Option<Flank>,
    pub void: bool,
}

/// What stands before a part of a wall.
#[derive(Debug, Clone, Copy)]
struct Cover {
    from: f64,
    to: f64,
    bottom: i64,
    top: i64,
    /// The surrounding it is, or none for a body of the same solid.
    old: Option<u32>,
}

/// A part of a wall's column and what it is; the same solid before it hides it.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Cell {
    bottom: i64,
    top: i64,
    behind: Option<u32>,
    riser: bool,
}

/// Divides walls into faces; keeps its scratch room from one to the next.
#[derive(Debug, Default)]
pub(super) struct Divider {
    covers: Vec<Cover>,
    crossings: Vec<(f64, f64)>,
    spans: Vec<(f64, f64)>,
    stations: Vec<f64>,
    active: Vec<usize>,
    heights: Vec<i64>,
    column: Vec<Cell>,
    previous: Vec<Cell>,
}

impl Divider {
    /// Starts on another wall.
    pub fn start(&mut self) {
        self.covers.clear();
    }

    /// A body of the same solid near the wall.
    pub fn body(&mut self, wall: &Wall, outline: &Outline, bottom: Length, top: Length) {
        self.look(wall, outline, AT_ONCE);
        self.cover(wall, bottom.nm(), top.nm(), None);
    }

    /// A surrounding near the wall.
    pub fn old(&mut self, wall: &Wall, outline: &Outline, bottom: Length, top: Length, index: u32) {
        self.look(wall, outline, AT_ONCE);
        let length = wall.from.distance(wall.to);
        let all = matches!(self.spans.as_slice(), [(from, to)] if *from <= SAME && *to >= length - SAME);
        self.cover(wall, bottom.nm(), top.nm(), Some(index));
        if !all {
            self.look(wall, outline, BEHIND);
            self.cover(wall, bottom.nm(), top.nm(), Some(index));
        }
    }

    fn look(&mut self, wall: &Wall, outline: &Outline, depth: f64) {
        self.spans.clear();
        let length = wall.from.distance(wall.to);
        if length <= 0.0 {
            return;
        }
        let along = Point::new((wall.to.x - wall.from.x) / length, (wall.to.y - wall.from.y) / length);
        outline.chords((wall.from, along, length), depth, &mut self.crossings, &mut self.spans);
    }

    fn cover(&mut self, wall: &Wall, bottom: i64, top: i64, old: Option<u32>) {
        let length = wall.from.distance(wall.to);
        for &(from, to) in &self.spans {
            let from = if from <= SAME { 0.0 } else { from };
            let to = if to >= length - SAME { length } else { to };
            if to - from > SAME {
                self.covers.push(Cover { from, to, bottom, top, old });
            }
        }
    }

    /// The faces that are left of the wall.
    pub fn divide<T: Copy>(&mut self, wall: &Wall, tag: impl Fn(u32) -> Option<T>, faces: &mut Vec<Face<T>>) {
        let length = settle(wall.from.distance(wall.to));
        if length <= 0.0 || wall.top <= wall.bottom {
            return;
        }
        if self.covers.is_empty() {
            faces.push(face(wall, (0.0, length, length), (wall.bottom, wall.top), None, false));
            return;
        }
        self.covers.sort_by(|a, b| a.from.total_cmp(&b.from));
        self.stations.clear();
        self.stations.extend([0.0, length]);
        self.stations.extend(self.covers.iter().flat_map(|cover| [cover.from, cover.to.min(length)]));
        self.stations.sort_unstable_by(f64::total_cmp);
        self.stations.dedup_by(|later, earlier| *later - *earlier <= SAME);
        if let Some(last) = self.stations.last_mut() {
            *last = length;
        }
        self.previous.clear();
        self.active.clear();
        let (mut next, mut since) = (0, 0.0);
        for index in 1..self.stations.len() {
            let from = self.stations.get(index - 1).copied().unwrap_or(0.0);
            let to = self.stations.get(index).copied().unwrap_or(length);
            let middle = f64::midpoint(from, to);
            while self.covers.get(next).is_some_and(|cover| cover.from < middle) {
                self.active.push(next);
                next += 1;
            }
            let covers = &self.covers;
            self.active.retain(|&cover| covers.get(cover).is_some_and(|cover| cover.to > middle));
            self.stand(wall);
            if self.column != self.previous {
                for cell in &self.previous {
                    let behind = cell.behind.and_then(&tag);
                    faces.push(face(wall, (since, from, length), (cell.bottom, cell.top), behind, cell.riser));
                }
                since = from;
                std::mem::swap(&mut self.column, &mut self.previous);
            }
        }
        for cell in &self.previous {
            let behind = cell.behind.and_then(&tag);
            faces.push(face(wall, (since, length, length), (cell.bottom, cell.top), behind, cell.riser));
        }
    }

    /// What one column of the wall is, from its bottom to its top.
    fn stand(&mut self, wall: &Wall) {
        let covers = &self.covers;
        let active = || self.active.iter().filter_map(|&cover| covers.get(cover));
        self.heights.clear();
        self.heights.extend([wall.bottom, wall.top]);
        let inside = |height: &i64| (wall.bottom..=wall.top).contains(height);
        self.heights.extend(active().flat_map(|cover| [cover.bottom, cover.top]).filter(inside));
        self.heights.sort_unstable();
        self.heights.dedup();
        self.column.clear();
        let end = wall.flank.is_some_and(|flank| matches!(flank.side, Side::Start | Side::End));
        for pair in self.heights.windows(2) {
            let &[bottom, top] = pair else { continue };
            let here = || active().filter(move |cover| cover.bottom <= bottom && cover.top >= top);
            if here().any(|cover| cover.old.is_none()) {
                continue;
            }
            let behind = here().filter_map(|cover| cover.old).min();
            let riser = end && active().any(|cover| cover.old.is_none() && cover.bottom >= top);
            match self.column.last_mut() {
                Some(cell) if cell.top == bottom && cell.behind == behind && cell.riser == riser => cell.top = top,
                _ => self.column.push(Cell { bottom, top, behind, riser }),
            }
        }
    }
}

/// The face over a part of a wall, from one distance along it to another (and its length), between two heights.
fn face<T>(wall: &Wall, along: (f64, f64, f64), heights: (i64, i64), behind: Option<T>, riser: bool) -> Face<T> {
    let (start, end, length) = along;
    let at = |distance: f64| {
        let share = distance / length;
        Point::new(wall.from.x + (wall.to.x - wall.from.x) * share, wall.from.y + (wall.to.y - wall.from.y) * share)
    };
    let (bottom, top) = (Length::from_nm(heights.0), Length::from_nm(heights.1));
    let kind = FaceKind::Upright {
        from: if start <= 0.0 { wall.from } else { at(start) },
        to: if end >= length { wall.to } else { at(end) },
        bottom,
        top,
    };
    let area = rectangle(settle(end) - settle(start), top - bottom);
    Face { kind, area, piece: wall.piece, flank: wall.flank, behind, riser, void: wall.void }
}

/// Width times height: exact if the width is a whole number of nanometres.
fn rectangle(width: f64, height: Length) -> Area {
    let whole = width.round();
    if whole == width {
        Length::from_nm(whole as i64) * height
    } else {
        Area::from_nm2((width * height.nm() as f64).round() as i128)
    }
}

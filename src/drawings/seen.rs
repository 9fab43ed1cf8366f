//! What is seen of the works on one leg of a face: everything in stations and levels of that leg, in nanometres.

use super::Of;
use crate::{
    concrete::{Interval, LegAt, Piece, depth},
    formwork::Panel,
    geometry::{Flank, Outline, Point, Side},
    holes::{Axis, Hole, Set},
    schema::BlockId,
    steel::{BarsMade, Group, Line, Place, lines},
    units::Length,
};

/// From where to where, in nanometres.
pub type Span = (f64, f64);

/// A section on a leg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionSeen {
    /// The section.
    pub id: BlockId,
    /// Where it runs along the old face.
    pub face: Span,
    /// Where its outer side runs: past corners that turn away.
    pub outer: Span,
    /// The same of its inner side.
    pub inner: Span,
    /// Its bottom and its top.
    pub levels: Span,
    /// From where to where it reaches out of the face.
    pub depth: Span,
}

impl SectionSeen {
    /// Whether a face of a form stands against this side of it: its ends, from left to right as one stands before it, as
    /// stations and offsets.
    #[must_use]
    pub fn has_form(&self, panel: &Panel, (left, right): ((f64, f64), (f64, f64)), side: Side) -> bool {
        let (off, span, from, to) = match side {
            Side::Inner => (self.depth.0, self.inner, right.0, left.0),
            _ => (self.depth.1, self.outer, left.0, right.0),
        };
        let along = (left.1 - off).abs() < NEAR && (right.1 - off).abs() < NEAR;
        self.id == panel.section && along && from < to && span.0 - NEAR < from && to < span.1 + NEAR
    }
}

/// Which faces of its section a void opens in, and how deep it is across the wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Opens {
    /// In the outer face.
    pub outer: bool,
    /// In the inner face, or against the old wall.
    pub inner: bool,
    /// How deep.
    pub deep: Length,
}

/// A slab that meets a leg.
#[derive(Debug, Clone, PartialEq)]
pub struct SlabSeen {
    /// The slab.
    pub id: BlockId,
    /// Where it meets the leg.
    pub along: Span,
    /// Its underside and its top.
    pub levels: Span,
    /// Where strips of it are broken out.
    pub removed: Vec<Removed>,
}

/// A strip of a slab that is broken out before a leg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Removed {
    /// Where it runs along the old face.
    pub along: Span,
    /// From where to where anything of it is gone: past a corner too, where it goes round that.
    pub gone: Span,
    /// How far out.
    pub out: f64,
}

/// A bar as it is seen: its centre line as stations, offsets and levels.
pub struct BarSeen<'w> {
    /// Its block.
    pub made: &'w BarsMade,
    /// Its group in the block, from 0.
    pub group_at: usize,
    /// Its group.
    pub group: &'w Group,
    /// Itself.
    pub line: Line,
    /// The chains of its centre line that lie before this leg.
    pub chains: Vec<Vec<[f64; 3]>>,
}

/// A length in nanometres, for reckoning on the sheet.
#[must_use]
pub fn nm(length: Length) -> f64 {
    length.nm() as f64
}

/// Everything on one leg.
pub struct Seen<'w> {
    /// The leg.
    pub on: LegAt,
    /// Its length.
    pub length: Length,
    /// Bottom and top of the old wall; none before a line.
    pub wall: Option<(Length, Length)>,
    /// How thick it is.
    pub thick: Option<Length>,
    /// Bottoms and tops of footings, and how far they stand out.
    pub footings: Vec<(BlockId, Span, f64)>,
    /// The sections, as they are written.
    pub sections: Vec<SectionSeen>,
    /// Voids in them: which, along, levels.
    pub voids: Vec<(BlockId, Span, Span)>,
    /// Broken places of the old face: which, along, levels.
    pub spalls: Vec<(BlockId, Span, Span)>,
    /// Slabs.
    pub slabs: Vec<SlabSeen>,
    /// The bars.
    pub bars: Vec<BarSeen<'w>>,
    /// The holes, where they are.
    pub holes: Vec<(&'w Set, Hole)>,
    /// Those that are left empty, where they were planned.
    pub empty: Vec<(&'w Set, Hole)>,
}

/// All legs with something new on them, or something to mend.
#[must_use]
pub fn legs<'w>(of: &Of<'w>) -> Vec<Seen<'w>> {
    let mut out = Vec::new();
    for (chain_at, chain) in of.works.standing.chains.iter().enumerate() {
        for leg in 0..chain.legs.len() {
            let on = LegAt {
                chain: u32::try_from(chain_at).unwrap_or(u32::MAX),
                leg: u16::try_from(leg).unwrap_or(u16::MAX),
            };
            let seen = Seen::new(of, on);
            if !(seen.sections.is_empty() && seen.holes.is_empty() && seen.empty.is_empty() && seen.spalls.is_empty()) {
                out.push(seen);
            }
        }
    }
    out
}

impl<'w> Seen<'w> {
    /// What distances out are measured from.
    #[must_use]
    pub fn base(&self) -> &'static str {
        if self.wall.is_some() { "the old face" } else { "the line" }
    }

    /// Where a void opens.
    #[must_use]
    pub fn opens(&self, of: &Of, void: BlockId) -> Opens {
        let say = of.job.void(void).map(|void| &void.say);
        let section = say.and_then(|say| self.sections.iter().find(|section| section.id == say.section.value.0));
        let depth = section.map_or((0.0, 0.0), |section| section.depth);
        match say.and_then(|say| say.offset.as_ref()) {
            Some(offset) => {
                let (from, to) = (nm(offset.value.from), nm(offset.value.to));
                Opens {
                    outer: to > depth.1 - NEAR,
                    inner: from < depth.0 + NEAR,
                    deep: Length::round_nm(to.min(depth.1) - from.max(depth.0)),
                }
            }
            None => Opens { outer: true, inner: true, deep: Length::round_nm(depth.1 - depth.0) },
        }
    }

    /// Everything on this leg.
    #[must_use]
    pub fn new(of: &Of<'w>, on: LegAt) -> Seen<'w> {
        let standing = &of.works.standing;
        let wall = standing.heights(on);
        let mut seen = Seen {
            on,
            length: standing.length(on),
            wall,
            thick: standing.thickness(on),
            footings: Vec::new(),
            sections: Vec::new(),
            voids: Vec::new(),
            spalls: Vec::new(),
            slabs: Vec::new(),
            bars: Vec::new(),
            holes: Vec::new(),
            empty: Vec::new(),
        };
        if let (Some(chain), Some((bottom, _))) = (standing.chain(on), wall) {
            for footing in of.job.footings.iter().filter(|footing| footing.say.under.0 == chain.wall) {
                let thick = footing.say.thick.0;
                seen.footings.push((footing.id, (nm(bottom - thick), nm(bottom)), nm(footing.say.out.0)));
            }
        }
        seen.find_sections(of);
        seen.find_old(of);
        for set in of.sets() {
            seen.holes.extend(set.each().filter(|hole| hole.on == on).map(|hole| (set, hole)));
            seen.empty.extend(of.left_empty(set.id).filter(|hole| hole.on == on).map(|hole| (set, hole)));
        }
        seen.find_bars(of);
        seen
    }

    fn find_sections(&mut self, of: &Of) {
        let (standing, on) = (&of.works.standing, self.on);
        for placed in &of.works.sections.placed {
            let Some(section) = of.job.section(placed.id) else { continue };
            let (inner, outer) = depth(section, standing, on);
            for (run, outline) in placed.runs.iter().zip(&placed.outlines) {
                for interval in standing.intervals(&[*run]).into_iter().filter(|interval| interval.on == on) {
                    let face = (nm(interval.start), nm(interval.end));
                    let along = |side: Side| self.flank(of, outline, side).unwrap_or(face);
                    self.sections.push(SectionSeen {
                        id: placed.id,
                        face,
                        outer: along(Side::Outer),
                        inner: along(Side::Inner),
                        levels: (nm(placed.bottom), nm(placed.top)),
                        depth: (nm(inner), nm(outer)),
                    });
                }
            }
        }
        for void in &of.works.sections.voids {
            for interval in standing.intervals(&void.runs).into_iter().filter(|interval| interval.on == on) {
                let along = (nm(interval.start), nm(interval.end));
                self.voids.push((void.id, along, (nm(void.bottom), nm(void.top))));
            }
        }
    }

    /// From where to where a side of what runs along this leg goes.
    fn flank(&self, of: &Of, outline: &Outline, side: Side) -> Option<Span> {
        let flank = Flank { side, leg: usize::from(self.on.leg) };
        let edges = outline.edges().filter(|(_, _, at)| *at == Some(flank));
        let stations = edges.flat_map(|(from, to, _)| [self.station(of, from), self.station(of, to)]);
        let span =
            stations.flatten().fold((f64::INFINITY, f64::NEG_INFINITY), |span, at| (span.0.min(at), span.1.max(at)));
        (span.0 < span.1).then_some(span)
    }

    /// The strips of a slab that are broken out before this leg.
    fn removed(&self, of: &Of, slab: BlockId) -> Vec<Removed> {
        let standing = &of.works.standing;
        let mut out = Vec::new();
        for strip in of.job.removes.iter().filter(|strip| strip.say.slab.0 == slab) {
            let wide = strip.say.out.value.0;
            for piece in standing.pieces(of.job, &strip.say.along, &mut Vec::new()) {
                let outer = outline(of, &piece, wide).and_then(|strip| self.flank(of, &strip, Side::Outer));
                for interval in standing.intervals(&[piece]).into_iter().filter(|interval| interval.on == self.on) {
                    let along = (nm(interval.start), nm(interval.end));
                    let gone = outer.map_or(along, |outer| (along.0.min(outer.0), along.1.max(outer.1)));
                    out.push(Removed { along, gone, out: nm(wide) });
                }
            }
        }
        out
    }

    /// Slabs and broken places.
    fn find_old(&mut self, of: &Of) {
        let (standing, on) = (&of.works.standing, self.on);
        let along = |stretch: &crate::schema::Stretch| -> Vec<Interval> {
            let pieces = standing.pieces(of.job, stretch, &mut Vec::new());
            standing.intervals(&pieces).into_iter().filter(|interval| interval.on == on).collect()
        };
        for spall in &of.job.spalls {
            let levels = (nm(spall.say.height.from), nm(spall.say.height.to));
            self.spalls
                .extend(along(&spall.say.on).into_iter().map(|at| (spall.id, (nm(at.start), nm(at.end)), levels)));
        }
        for slab in &of.job.slabs {
            let (top, thick) = (slab.say.top, slab.say.thick.0);
            let removed = self.removed(of, slab.id);
            for interval in along(&slab.say.against) {
                self.slabs.push(SlabSeen {
                    id: slab.id,
                    along: (nm(interval.start), nm(interval.end)),
                    levels: (nm(top - thick), nm(top)),
                    removed: removed.clone(),
                });
            }
        }
    }

    fn find_bars(&mut self, of: &Of<'w>) {
        let works = of.works;
        let Some(frame) = works.standing.chain(self.on).and_then(|chain| chain.run.frame(usize::from(self.on.leg)))
        else {
            return;
        };
        let deepest = self.sections.iter().map(|section| section.depth.1).fold(0.0, f64::max);
        for made in &works.bars {
            for (group_at, group) in made.groups.iter().enumerate() {
                let set = match &group.place {
                    Place::Holes(set) => of.set(*set),
                    Place::Side(row) if row.on != self.on => continue,
                    Place::Long { from, .. } if from.0.chain != self.on.chain => continue,
                    Place::Side(_) | Place::Long { .. } => None,
                };
                let long = matches!(group.place, Place::Long { .. });
                for line in lines(made, group, set, &works.standing) {
                    if !long && line.on != self.on {
                        continue;
                    }
                    let local = |[x, y, height]: [f64; 3]| {
                        let (station, offset) = frame.local(Point::new(x, y));
                        [station, offset, height]
                    };
                    let mut chains: Vec<Vec<[f64; 3]>> = Vec::new();
                    for segment in line.walk.segments(ARC) {
                        let (from, to) = (local(segment.from), local(segment.to));
                        // Of a bar that goes round corners only what lies before this leg.
                        let here = |at: [f64; 3]| (-NEAR..=deepest + NEAR).contains(&at[1]);
                        if long && !(here(from) && here(to)) {
                            continue;
                        }
                        match chains.last_mut() {
                            Some(chain) if chain.last() == Some(&from) => chain.push(to),
                            _ => chains.push(vec![from, to]),
                        }
                    }
                    if !chains.is_empty() {
                        self.bars.push(BarSeen { made, group_at, group, line, chains });
                    }
                }
            }
        }
    }

    fn station(&self, of: &Of, point: Point) -> Option<f64> {
        let frame = of.works.standing.chain(self.on)?.run.frame(usize::from(self.on.leg))?;
        Some(frame.local(point).0)
    }

    /// The level of holes and of whatever is highest and lowest.
    #[must_use]
    pub fn levels(&self) -> Span {
        let walls = self.wall.map(|(bottom, top)| (nm(bottom), nm(top)));
        let footings = self.footings.iter().map(|(_, levels, _)| *levels);
        let sections = self.sections.iter().map(|section| section.levels);
        let slabs = self.slabs.iter().map(|slab| slab.levels);
        let all = walls.into_iter().chain(footings).chain(sections).chain(slabs);
        all.fold((f64::INFINITY, f64::NEG_INFINITY), |span, at| (span.0.min(at.0), span.1.max(at.1)))
    }
}

/// The outline in plan of what runs along a piece of the face, so far out of it.
#[must_use]
pub fn outline(of: &Of, ((first, start), (last, end)): &Piece, out: Length) -> Option<Outline> {
    let run = &of.works.standing.chain(*first)?.run;
    let ends = ((usize::from(first.leg), *start), (usize::from(last.leg), *end));
    run.strip(ends.0, ends.1, &|_| Length::ZERO, &|_| out).ok().map(|strip| strip.outline)
}

/// Bars and forms count as before a face within this, in nanometres.
const NEAR: f64 = 1_000_000.0;

/// Chords leave the arcs of bends by no more than this, in nanometres.
const ARC: f64 = 100_000.0;

/// Whether the holes of a set are seen end-on in an elevation.
#[must_use]
pub fn into_face(set: &Set) -> bool {
    set.axis == Axis::Face
}

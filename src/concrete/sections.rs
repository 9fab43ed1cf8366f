//! Sections and voids as prisms along the old face.

use super::standing::{Interval, LegAt, Piece, Standing};
use foldhash::HashMap;

use crate::{
    geometry::{Outline, Refusal},
    job::{Job, Thing},
    schema::{BlockId, KindId, Section},
    source::Span,
    units::Length,
};

/// A section put into plan.
#[derive(Debug)]
pub struct Placed {
    /// The section.
    pub id: BlockId,
    /// The wall or line it runs along.
    pub wall: BlockId,
    /// Where it runs, from left to right.
    pub runs: Vec<Piece>,
    /// The same by single legs.
    pub intervals: Vec<Interval>,
    /// Its plan, one outline a run.
    pub outlines: Vec<Outline>,
    /// Its bottom.
    pub bottom: Length,
    /// Its top.
    pub top: Length,
}

/// A void put into plan.
#[derive(Debug)]
pub struct PlacedVoid {
    /// The void.
    pub id: BlockId,
    /// The section it is in.
    pub section: BlockId,
    /// Where it runs.
    pub runs: Vec<Piece>,
    /// Its plan, one outline a run.
    pub outlines: Vec<Outline>,
    /// Its bottom.
    pub bottom: Length,
    /// Its top.
    pub top: Length,
}

/// What is wrong with a section, a void, or a strip that is removed.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs)]
pub enum SectionTrouble {
    /// A section has neither `thick` nor `offset`.
    NoThickness { section: BlockId },
    /// A section stands inside the old face.
    InsideFace { at: Span, offset: Length },
    /// A stretch along two walls.
    TwoWalls { at: Span },
    /// A leg is too short for the corners on it.
    LegTooShort { at: Span, leg: String, length: Length, least: Length },
    /// A strip that runs into itself.
    IntoItself { at: Span },
    /// A void that does not lie in its section.
    VoidOutside { void: BlockId, section: BlockId },
    /// A strip is removed where its slab does not meet the face.
    StripElsewhere { at: Span, leg: String, slab: BlockId },
    /// A section where a slab lies, or under it, that nobody breaks out, or not as far as the section reaches.
    InSlab {
        /// The section.
        section: BlockId,
        /// The slab.
        slab: BlockId,
        /// All of it lies under the slab.
        under: bool,
        /// How far out from the old face the section reaches.
        out: Length,
        /// A strip of the slab that runs there and is not wide enough.
        strip: Option<BlockId>,
    },
    /// A thickness on a leg the section does not touch.
    ThickElsewhere { at: Span, leg: String },
}

/// Everything that runs along the old face.
#[derive(Debug, Default)]
pub struct Sections {
    /// The sections that could be placed, in the order they are written.
    pub placed: Vec<Placed>,
    /// The voids that lie in their sections.
    pub voids: Vec<PlacedVoid>,
    /// What is wrong.
    pub troubles: Vec<SectionTrouble>,
    /// Which of those placed run along each wall.
    by_wall: HashMap<BlockId, Vec<usize>>,
}

impl Sections {
    /// The sections placed along a wall or line, in the order they are written.
    pub fn along(&self, wall: BlockId) -> impl Iterator<Item = &Placed> {
        self.by_wall.get(&wall).into_iter().flatten().filter_map(|at| self.placed.get(*at))
    }

    /// The placed section of this number. They stand in the order of their numbers.
    #[must_use]
    pub fn find(&self, id: BlockId) -> Option<&Placed> {
        let at = self.placed.binary_search_by_key(&id, |placed| placed.id).ok()?;
        self.placed.get(at)
    }
}

/// How thick a section is at a leg, and how far off the face.
struct Depth<'j> {
    section: &'j Thing<Section>,
}

impl Depth<'_> {
    fn inner(&self) -> Length {
        self.section.say.offset.map_or(Length::ZERO, |offset| offset.value.from)
    }

    fn outer(&self, standing: &Standing, at: LegAt) -> Length {
        if let Some(offset) = self.section.say.offset {
            return offset.value.to;
        }
        let Some(thick) = &self.section.say.thick else { return Length::ZERO };
        let other = thick.value.on.0.iter().find(|other| standing.place(other.leg.value) == Some(at));
        other.map_or(thick.value.thick.0, |other| other.value.0)
    }
}

/// From where to where a section reaches at a leg, measured out of the old face.
#[must_use]
pub fn depth(section: &Thing<Section>, standing: &Standing, at: LegAt) -> (Length, Length) {
    let depth = Depth { section };
    (depth.inner(), depth.outer(standing, at))
}

/// Puts all sections and voids into plan.
pub fn sections(job: &Job, standing: &mut Standing) -> Sections {
    let mut out = Sections::default();
    for section in &job.sections {
        if let Some(placed) = place(job, section, standing, &mut out.troubles) {
            out.by_wall.entry(placed.wall).or_default().push(out.placed.len());
            out.placed.push(placed);
        }
    }
    voids(job, standing, &mut out);
    out
}

fn place(
    job: &Job,
    section: &Thing<Section>,
    standing: &mut Standing,
    troubles: &mut Vec<SectionTrouble>,
) -> Option<Placed> {
    match (&section.say.thick, &section.say.offset) {
        (None, None) => {
            troubles.push(SectionTrouble::NoThickness { section: section.id });
            return None;
        }
        (None, Some(offset)) if offset.value.from < Length::ZERO => {
            troubles.push(SectionTrouble::InsideFace { at: offset.span, offset: offset.value.from });
            return None;
        }
        _ => {}
    }
    let runs = standing.resolve(job, &section.say.along);
    let at = section.said(KindId::Section, "along");
    let wall = standing.chain(runs.first()?.0.0)?.wall;
    if runs.iter().any(|((leg, _), _)| standing.chain(*leg).map(|chain| chain.wall) != Some(wall)) {
        troubles.push(SectionTrouble::TwoWalls { at });
        return None;
    }
    let depth = Depth { section };
    let intervals = standing.intervals(&runs);
    if let Some(thick) = &section.say.thick {
        for other in &thick.value.on.0 {
            let leg = standing.place(other.leg.value);
            let touched = intervals.iter().any(|interval| Some(interval.on) == leg);
            if let Some(leg) = leg
                && !touched
            {
                let leg = standing.leg_name(leg).to_owned();
                troubles.push(SectionTrouble::ThickElsewhere { at: other.leg.span, leg });
            }
        }
    }
    let outlines = outlines(&runs, at, standing, &|_| depth.inner(), &|leg| depth.outer(standing, leg), troubles)?;
    let (bottom, top) = (section.say.height.value.from, section.say.height.value.to);
    Some(Placed { id: section.id, wall, runs, intervals, outlines, bottom, top })
}

/// The outlines of strips along runs; none, with a trouble, if one cannot be.
pub(super) fn outlines(
    runs: &[Piece],
    at: Span,
    standing: &Standing,
    inner: &dyn Fn(LegAt) -> Length,
    outer: &dyn Fn(LegAt) -> Length,
    troubles: &mut Vec<SectionTrouble>,
) -> Option<Vec<Outline>> {
    let mut out = Vec::with_capacity(runs.len());
    for ((first, start), (last, end)) in runs {
        let chain = standing.chain(*first)?;
        let leg_at = |leg: usize| LegAt { chain: first.chain, leg: u16::try_from(leg).unwrap_or(u16::MAX) };
        let strip = chain.run.strip(
            (first.leg as usize, *start),
            (last.leg as usize, *end),
            &|leg| inner(leg_at(leg)),
            &|leg| outer(leg_at(leg)),
        );
        match strip {
            Ok(strip) => out.push(strip.outline),
            Err(Refusal::LegTooShort { leg, least }) => {
                let leg = leg_at(leg);
                let length = standing.length(leg);
                let leg = standing.leg_name(leg).to_owned();
                troubles.push(SectionTrouble::LegTooShort { at, leg, length, least });
                return None;
            }
            Err(Refusal::CrossesItself { .. }) => {
                troubles.push(SectionTrouble::IntoItself { at });
                return None;
            }
            // A corner too sharp is said once, at the corner; an empty strip cannot come from a range that was read.
            Err(Refusal::TurnTooSharp { .. } | Refusal::Empty { .. } | Refusal::NoSuchLeg { .. }) => return None,
        }
    }
    Some(out)
}

fn voids(job: &Job, standing: &mut Standing, out: &mut Sections) {
    for void in &job.voids {
        let id = void.say.section.value.0;
        let Some(section) = job.section(id) else { continue };
        let runs = standing.resolve(job, &void.say.on);
        let Some(placed) = out.find(id) else { continue };
        let depth = Depth { section };
        let (bottom, top) = (void.say.height.value.from, void.say.height.value.to);
        let inner = |_: LegAt| void.say.offset.map_or(depth.inner(), |offset| offset.value.from.max(depth.inner()));
        let outer = |leg: LegAt| {
            let outer = depth.outer(standing, leg);
            void.say.offset.map_or(outer, |offset| offset.value.to.min(outer))
        };
        let inside = standing.intervals(&runs).iter().all(|part| {
            let holds = |whole: &Interval| whole.on == part.on && whole.start <= part.start && whole.end >= part.end;
            placed.intervals.iter().any(holds)
        }) && top > placed.bottom
            && bottom < placed.top;
        let fits = runs.iter().all(|((leg, _), _)| inner(*leg) < outer(*leg));
        if !inside || !fits || runs.is_empty() {
            out.troubles.push(SectionTrouble::VoidOutside { void: void.id, section: id });
            continue;
        }
        let at = void.said(KindId::Void, "on");
        let mut troubles = Vec::new();
        if let Some(outlines) = outlines(&runs, at, standing, &inner, &outer, &mut troubles) {
            out.voids.push(PlacedVoid { id: void.id, section: id, runs, outlines, bottom, top });
        }
        out.troubles.append(&mut troubles);
    }
}

//! What each face of new concrete is against.

use super::{sections::Placed, standing::OldPart};
use crate::{
    geometry::{Bounds, BoxTree, Face, FaceKind, Outline, Point, Side},
    job::{Job, Thing},
    schema::{Base, BlockId, CastSide, Section},
    units::{Area, Length},
};

/// What a face of new concrete is against.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Class {
    /// Upright, against the old wall or footing.
    Old,
    /// Upright, against the edge of a slab.
    SlabEdge,
    /// Against concrete of another pour.
    Joint,
    /// Upright, against the side of a trench.
    Earth,
    /// Upright, against a form.
    Formed,
    /// Upright, an end or step closed by a bulkhead.
    End,
    /// Upright, a riser under a stepped bottom.
    Riser,
    /// Round a void.
    Void,
    /// Underneath, on the ground.
    Ground,
    /// Underneath, on a slab.
    OnSlab,
    /// Underneath, on old concrete.
    OnOld,
    /// Underneath, over a form.
    Soffit,
    /// On top, open.
    Top,
}

/// The classes in the order they are listed.
#[must_use]
pub fn classes_in_order() -> [Class; 13] {
    [
        Class::Old,
        Class::SlabEdge,
        Class::Joint,
        Class::Earth,
        Class::Formed,
        Class::End,
        Class::Riser,
        Class::Void,
        Class::Ground,
        Class::OnSlab,
        Class::OnOld,
        Class::Soffit,
        Class::Top,
    ]
}

/// The areas of a solid by class.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Areas([Area; 13]);

impl Areas {
    /// The area of one class.
    #[must_use]
    pub fn of(&self, class: Class) -> Area {
        self.0.get(class as usize).copied().unwrap_or_default()
    }

    pub(super) fn add(&mut self, class: Class, area: Area) {
        if let Some(sum) = self.0.get_mut(class as usize) {
            *sum += area;
        }
    }

    /// Takes in those of another part.
    pub(super) fn join(&mut self, other: Areas) {
        for (sum, area) in self.0.iter_mut().zip(other.0) {
            *sum += area;
        }
    }

    /// All upright faces that need a form: formed, ends, risers.
    #[must_use]
    pub fn forms(&self) -> Area {
        self.of(Class::Formed) + self.of(Class::End) + self.of(Class::Riser)
    }

    /// All undersides.
    #[must_use]
    pub fn undersides(&self) -> Area {
        self.of(Class::Ground) + self.of(Class::OnSlab) + self.of(Class::OnOld) + self.of(Class::Soffit)
    }
}

/// What a face is against.
#[must_use]
pub fn class(face: &Face<OldPart>, base: Option<Base>, side: Option<CastSide>) -> Class {
    let behind = face.behind.filter(|part| *part != OldPart::Removed);
    match (face.kind, behind) {
        (_, Some(OldPart::New(_))) => Class::Joint,
        (FaceKind::Upright { .. }, Some(OldPart::Wall | OldPart::Footing)) => Class::Old,
        (FaceKind::Upright { .. }, Some(OldPart::Slab)) => Class::SlabEdge,
        (FaceKind::Under { .. }, Some(OldPart::Slab)) => Class::OnSlab,
        (FaceKind::Under { .. }, Some(OldPart::Wall | OldPart::Footing)) => Class::OnOld,
        (FaceKind::Upright { .. } | FaceKind::Under { .. }, _) if face.void => Class::Void,
        (FaceKind::Under { .. }, _) => match base {
            Some(Base::Form) => Class::Soffit,
            Some(Base::Soil | Base::Gravel) | None => Class::Ground,
        },
        (FaceKind::Upright { .. }, _) => match face.flank.map(|flank| flank.side) {
            Some(Side::Outer) if side == Some(CastSide::Earth) => Class::Earth,
            _ if face.riser && side == Some(CastSide::Earth) => Class::Earth,
            _ if face.riser => Class::Riser,
            Some(Side::Start | Side::End) => Class::End,
            _ => Class::Formed,
        },
        (FaceKind::Top { .. }, _) if face.void => Class::Void,
        (FaceKind::Top { .. }, _) => Class::Top,
    }
}

/// The sections of a pour along a wall that lie on ground, by where they are in plan.
pub(super) struct OnGround<'p> {
    outlines: Vec<(&'p Outline, &'p Placed)>,
    tree: BoxTree,
    /// The highest of their undersides.
    highest: Length,
}

impl<'p> OnGround<'p> {
    pub(super) fn new(job: &Job, mine: &[&'p Placed]) -> OnGround<'p> {
        let lies =
            |placed: &&Placed| job.section(placed.id).is_some_and(|section| section.say.base != Some(Base::Form));
        let lowest = mine.iter().map(|placed| placed.bottom).min();
        // What lies as low as any has nothing lower beside it.
        let above = mine.iter().copied().filter(lies).filter(|placed| Some(placed.bottom) > lowest);
        let outlines: Vec<(&Outline, &Placed)> =
            above.flat_map(|placed| placed.outlines.iter().map(move |outline| (outline, placed))).collect();
        let boxes: Vec<Bounds> = outlines.iter().map(|(outline, _)| outline.bounds()).collect();
        let highest = outlines.iter().map(|(_, placed)| placed.bottom).max().unwrap_or(Length::from_nm(i64::MIN));
        OnGround { outlines, tree: BoxTree::new(&boxes), highest }
    }

    /// What a face is against: the ground on which one section lies reaches up to it, and what stands lower beside that ground is
    /// cast against it.
    pub(super) fn class(
        &self,
        own: BlockId,
        face: &Face<OldPart>,
        section: &Thing<Section>,
        found: &mut Vec<u32>,
    ) -> Class {
        let class = class(face, section.say.base, section.say.side);
        let FaceKind::Upright { from, to, top, .. } = face.kind else { return class };
        // Along its length; the steps of a footing are bulkheads, unless they are said to be cast against earth.
        if top > self.highest || class != Class::Formed {
            return class;
        }
        // A hair's breadth outside of the face: the solid lies on its left.
        let (x, y, long) = (to.x - from.x, to.y - from.y, from.distance(to).max(1.0));
        let middle = Point::new(f64::midpoint(from.x, to.x), f64::midpoint(from.y, to.y));
        let beside = Point::new(middle.x + y / long * BESIDE, middle.y - x / long * BESIDE);
        self.tree.touching(&Bounds::around([[beside.x, beside.y, 0.0]]), found);
        let over = found.iter().filter_map(|at| self.outlines.get(*at as usize));
        let is_under =
            |(outline, other): &(&Outline, &Placed)| other.id != own && other.bottom >= top && outline.contains(beside);
        if over.copied().any(|one| is_under(&one)) { Class::Earth } else { class }
    }
}

/// How far outside of a face it is asked what lies there: 1 mm.
const BESIDE: f64 = 1e6;

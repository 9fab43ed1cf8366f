//! Undersides that are to lie on soil or gravel, and lie over all ground there.

use std::collections::BTreeMap;

use super::{classes::Class, sections::Placed};
use crate::{
    geometry::Outline,
    job::{Job, Thing},
    schema::{Base, BlockId, Section, StretchPart},
    units::{Area, Length},
};

/// What stands out past the concrete below by no more than this, the form of that carries on its edge: common practice, no source.
const LEDGE: f64 = 25_400_000.0;

/// Gravel is filled up under a section by no more than this; common practice, no source.
const FILLED: Length = Length::from_nm(12 * Length::INCH.nm());

/// The levels of the ground a job tells of.
#[derive(Debug)]
pub(super) struct Grounds {
    inside: Option<Length>,
    outside: Option<Length>,
    /// What lies under the slabs that meet each wall or line.
    slabs: BTreeMap<BlockId, Length>,
}

impl Grounds {
    /// Takes them from the file.
    pub fn new(job: &Job) -> Grounds {
        let mut slabs: BTreeMap<BlockId, Length> = BTreeMap::new();
        for slab in &job.slabs {
            let under = slab.say.top - slab.say.thick.0;
            for part in &slab.say.against.0 {
                let wall = match part.value {
                    StretchPart::All(wall) => wall,
                    StretchPart::Legs { from, .. } => from.wall,
                };
                slabs.entry(wall).and_modify(|level| *level = under.max(*level)).or_insert(under);
            }
        }
        Grounds {
            inside: job.grounds.iter().filter_map(|ground| ground.say.inside).max(),
            outside: job.grounds.iter().filter_map(|ground| Some(ground.say.outside.as_ref()?.level)).max(),
            slabs,
        }
    }

    /// The highest there is where new concrete stands along a wall or line: before an old wall inside, if that is said; on either
    /// side of what stands free.
    fn along(&self, job: &Job, wall: BlockId) -> Option<Length> {
        // Along the far face of a wall it stands outside.
        let is_inside = job.wall(wall).is_some_and(|wall| wall.say.legs.0.iter().all(|leg| leg.behind.is_none()));
        let ground = self.inside.filter(|_| is_inside).or(self.inside.max(self.outside))?;
        Some(self.slabs.get(&wall).map_or(ground, |slab| ground.max(*slab)))
    }
}

/// The ground under the sections of a pour along a wall.
#[derive(Debug, Clone, Copy)]
pub(super) struct Under {
    /// The highest there is.
    pub ground: Length,
}

impl Under {
    /// The ground there; none where none of these sections hangs over it, or where the file says nothing of any.
    pub fn new(job: &Job, grounds: &Grounds, wall: BlockId, mine: &[&Placed]) -> Option<Under> {
        let under = Under { ground: grounds.along(job, wall)? };
        let lies_over = |placed: &&Placed| job.section(placed.id).is_some_and(|one| under.is_under(one, placed.bottom));
        mine.iter().any(lies_over).then_some(under)
    }

    /// Whether a section lies over the ground at a level, and no form is said to close it below.
    fn is_under(self, section: &Thing<Section>, level: Length) -> bool {
        match section.say.base {
            Some(Base::Form) => false,
            Some(Base::Gravel) => level > self.ground + FILLED,
            Some(Base::Soil) | None => level > self.ground,
        }
    }

    /// How much of a part of an underside hangs; nothing where the edge of a form below carries it.
    pub fn hangs(self, section: &Thing<Section>, class: Class, level: Length, plan: &Outline) -> Option<Area> {
        (class == Class::Ground && self.is_under(section, level) && wide(plan) > LEDGE).then(|| plan.area())
    }
}

/// How wide an area of the plan is: as a rectangle of its area and with an edge as long.
fn wide(plan: &Outline) -> f64 {
    let half = plan.edges().map(|(from, to, _)| from.distance(to)).sum::<f64>() / 2.0;
    let area = plan.area().nm2() as f64;
    (half - (half * half - 4.0 * area).max(0.0).sqrt()) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;

    #[test]
    fn a_strip_round_a_corner_is_as_wide_as_a_straight_one() {
        let points =
            |all: &[(f64, f64)]| -> Vec<Point> { all.iter().map(|(x, y)| Point::new(x * 1e6, y * 1e6)).collect() };
        let straight = Outline::polygon(&points(&[(0.0, 0.0), (900.0, 0.0), (900.0, 120.0), (0.0, 120.0)]));
        let corner = [(0.0, 0.0), (900.0, 0.0), (900.0, 700.0), (780.0, 700.0), (780.0, 120.0), (0.0, 120.0)];
        for plan in [straight, Outline::polygon(&points(&corner))] {
            assert!((wide(&plan) - 120e6).abs() < 1.0, "{}", wide(&plan));
        }
    }
}

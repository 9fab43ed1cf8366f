//! How deep it is dug for what is new, and what that asks for.

use crate::{
    concrete::{Class, Placed, Sections, Solids, Standing, depth as depth_of},
    job::Job,
    schema::{BlockId, CastSide},
    standards::{
        Worked,
        hazards::digging::{PROTECTED_FROM, Soil, width_at_top},
    },
    units::Length,
};

/// A dig for a section.
#[derive(Debug, Clone, PartialEq)]
pub struct Pit {
    /// The section.
    pub section: BlockId,
    /// The level of the ground in front of the wall; none where the section is cast against earth and the ground is as high
    /// as its top.
    pub ground: Option<Length>,
    /// The section's bottom.
    pub bottom: Length,
    /// How deep.
    pub depth: Length,
    /// How wide it is at the top with sloped sides, where sides are sloped or held.
    pub at_top: Option<Worked<Length>>,
}

/// The digs for sections below the ground in front of their wall or on either side of their line, and for those cast against
/// earth.
#[must_use]
pub fn pits(job: &Job, standing: &Standing, sections: &Sections, solids: &Solids) -> Vec<Pit> {
    let inside = job.grounds.iter().filter_map(|ground| ground.say.inside).max();
    let outside =
        job.grounds.iter().filter_map(|ground| ground.say.outside.as_ref()).map(|outside| outside.level).max();
    let mut out = Vec::new();
    for placed in &sections.placed {
        let Some(section) = job.section(placed.id) else { continue };
        // What lies on other new concrete lies in the dig for that.
        let rests =
            solids.with(placed.id).map(|(pour, _)| pour.rests.iter().filter(|(section, _)| *section == placed.id));
        if rests.is_some_and(|mut rests| rests.all(|(_, class)| *class == Class::Joint)) {
            continue;
        }
        // Before a line there is ground on both sides of it.
        let ground = if job.wall(placed.wall).is_some() { inside } else { inside.max(outside) };
        let level = ground.or_else(|| top_in_earth(job, sections, placed));
        let Some(depth) = level.map(|level| level - placed.bottom).filter(|depth| *depth > Length::ZERO) else {
            continue;
        };
        let widths = placed.intervals.iter().map(|part| {
            let (inner, outer) = depth_of(section, standing, part.on);
            outer - inner
        });
        let width = widths.max().unwrap_or(Length::ZERO);
        let at_top = (depth >= PROTECTED_FROM).then(|| width_at_top(width, depth, Soil::C).ok()).flatten();
        out.push(Pit { section: placed.id, ground, bottom: placed.bottom, depth, at_top });
    }
    out
}

/// The top of what is cast against earth here: of a section, or of what stands on it.
fn top_in_earth(job: &Job, sections: &Sections, here: &Placed) -> Option<Length> {
    let over = |other: &&Placed| {
        other.intervals.iter().any(|one| here.intervals.iter().any(|other| one.shared(other).is_some()))
    };
    let earth =
        |placed: &&Placed| job.section(placed.id).is_some_and(|section| section.say.side == Some(CastSide::Earth));
    let all = sections.along(here.wall).filter(over).filter(earth);
    all.filter(|placed| placed.top >= here.top).map(|placed| placed.top).max()
}

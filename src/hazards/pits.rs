//! How deep it is dug for what is new, and what that asks for.

use crate::{
    concrete::{Sections, Standing, depth as depth_of},
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

/// The digs for sections below the ground in front of their wall, and for those cast against earth.
#[must_use]
pub fn pits(job: &Job, standing: &Standing, sections: &Sections) -> Vec<Pit> {
    let inside = job.grounds.iter().filter_map(|ground| ground.say.inside).max();
    let mut out = Vec::new();
    for placed in &sections.placed {
        let Some(section) = job.section(placed.id) else { continue };
        let ground = inside.filter(|_| job.wall(placed.wall).is_some());
        let earth = section.say.side == Some(CastSide::Earth);
        let level = ground.or(earth.then_some(placed.top));
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

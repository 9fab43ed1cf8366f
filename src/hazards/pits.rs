//! How deep it is dug for what is new, and what that asks for.

use crate::{
    concrete::{Class, Interval, Placed, Sections, Solids, Standing, depth as depth_of},
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
    let earth = InEarth::new(job, sections);
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
        let level = ground.or_else(|| earth.top(placed));
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

/// Sections cast against earth, leg by leg along it, so that those at one place are found without a look at all of them.
struct InEarth {
    /// Each stretch of one with its top, by leg and start.
    stretches: Vec<(Interval, Length)>,
    /// How far any stretch of the same leg reaches up to each.
    reach: Vec<Length>,
}

impl InEarth {
    fn new(job: &Job, sections: &Sections) -> InEarth {
        let earth =
            |placed: &&Placed| job.section(placed.id).is_some_and(|section| section.say.side == Some(CastSide::Earth));
        let all = sections.placed.iter().filter(earth);
        let mut stretches: Vec<(Interval, Length)> =
            all.flat_map(|placed| placed.intervals.iter().map(|interval| (*interval, placed.top))).collect();
        stretches.sort_unstable_by_key(|(interval, top)| (interval.on, interval.start, interval.end, *top));
        let mut reach: Vec<Length> = Vec::with_capacity(stretches.len());
        for (at, (interval, _)) in stretches.iter().enumerate() {
            let before = at.checked_sub(1).and_then(|before| Some((stretches.get(before)?, *reach.get(before)?)));
            let same = before.filter(|((other, _), _)| other.on == interval.on);
            reach.push(same.map_or(interval.end, |(_, before)| before.max(interval.end)));
        }
        InEarth { stretches, reach }
    }

    /// The top of what is cast against earth here: of this section, or of what stands on it.
    fn top(&self, here: &Placed) -> Option<Length> {
        let over = |interval: &Interval| {
            let until =
                self.stretches.partition_point(|(other, _)| (other.on, other.start) < (interval.on, interval.end));
            let back = (0..until).rev().map_while(|at| {
                let ((other, top), reach) = (self.stretches.get(at)?, self.reach.get(at)?);
                (other.on == interval.on && *reach > interval.start).then_some((other, *top))
            });
            back.filter(|(other, _)| other.shared(interval).is_some()).map(|(_, top)| top).max()
        };
        here.intervals.iter().filter_map(over).max().filter(|top| *top >= here.top)
    }
}

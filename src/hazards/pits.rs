//! How deep it is dug for what is new, and what that asks for.

use std::collections::BTreeMap;

use crate::{
    concrete::{Class, Interval, Placed, Sections, Solids, Standing, depth as depth_of},
    formwork::{Foot, Formwork},
    job::Job,
    schema::{BlockId, CastSide},
    standards::{
        Worked,
        hazards::digging::{PROTECTED_FROM, Soil, width_at_top},
    },
    units::Length,
};

impl Pit {
    /// How wide it is at the bottom: the concrete with its forms, without room to work in.
    #[must_use]
    pub fn wide(&self) -> Length {
        self.thick + self.forms
    }
}

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
    /// How thick the concrete is, where that differs at its thickest.
    pub thick: Length,
    /// How much room its forms want beside it down there, on both sides together.
    pub forms: Length,
    /// How wide it is at the top with sloped sides, where sides are sloped or held.
    pub at_top: Option<Worked<Length>>,
}

/// The digs for sections below the ground in front of their wall or on either side of their line, and for those cast against
/// earth.
#[must_use]
pub fn pits(job: &Job, standing: &Standing, sections: &Sections, solids: &Solids, forms: &[Formwork]) -> Vec<Pit> {
    let mut feet: BTreeMap<BlockId, Vec<&Foot>> = BTreeMap::new();
    for foot in forms.iter().flat_map(|forms| &forms.feet) {
        feet.entry(foot.section).or_default().push(foot);
    }
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
        let Some(level) = level.filter(|level| *level > placed.bottom) else { continue };
        let depth = level - placed.bottom;
        let widths = placed.intervals.iter().map(|part| {
            let (inner, outer) = depth_of(section, standing, part.on);
            outer - inner
        });
        let thick = widths.max().unwrap_or(Length::ZERO);
        let beside = feet.get(&placed.id).map_or(&[][..], |feet| feet);
        let forms = room(beside, level, true) + room(beside, level, false);
        let mut pit = Pit { section: placed.id, ground, bottom: placed.bottom, depth, thick, forms, at_top: None };
        if depth >= PROTECTED_FROM {
            pit.at_top = width_at_top(pit.wide(), depth, Soil::C).ok();
        }
        out.push(pit);
    }
    out
}

/// How far the forms on one side of a section reach out of it below the level of the ground, with those braces that stand below it
/// too.
fn room(feet: &[&Foot], ground: Length, outer: bool) -> Length {
    let below = feet.iter().filter(|foot| foot.outer == outer && foot.level < ground);
    let reach = below.map(|foot| {
        let braces = foot.braced.filter(|(level, _)| *level < ground).map_or(Length::ZERO, |(_, out)| out);
        foot.out.max(braces)
    });
    reach.max().unwrap_or(Length::ZERO)
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

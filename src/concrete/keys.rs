//! Voids that another pour fills: keys in the top of a footing, or what is boxed out and closed later.

use foldhash::HashMap;

use super::{LegAt, Placed, PlacedVoid, Sections, Solids, Standing, depth};
use crate::{job::Job, schema::BlockId, units::Length};

/// What becomes of a void that does not stay empty.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Key {
    /// A section lies in it and fills it.
    Filled(BlockId),
    /// It is open at its top, and a section of another pour stands on it: its concrete runs in, and nothing reckons with that.
    RunsIn(BlockId),
}

/// A section on one leg.
struct Part<'k> {
    start: Length,
    end: Length,
    placed: &'k Placed,
    /// The farthest end of this one and of all before it.
    farthest: Length,
}

/// The sections of a job by leg, to be asked what lies in or over a void.
pub struct Keys<'k> {
    job: &'k Job,
    standing: &'k Standing,
    sections: &'k Sections,
    solids: &'k Solids,
    on: HashMap<LegAt, Vec<Part<'k>>>,
}

impl<'k> Keys<'k> {
    /// Of all sections; of none where there is no void to ask for.
    #[must_use]
    pub fn new(job: &'k Job, standing: &'k Standing, sections: &'k Sections, solids: &'k Solids) -> Keys<'k> {
        let mut on: HashMap<LegAt, Vec<Part>> = HashMap::default();
        for placed in sections.placed.iter().filter(|_| !sections.voids.is_empty()) {
            for at in &placed.intervals {
                let part = Part { start: at.start, end: at.end, placed, farthest: at.end };
                on.entry(at.on).or_default().push(part);
            }
        }
        for all in on.values_mut() {
            all.sort_by_key(|part| (part.start, part.end, part.placed.id));
            let mut farthest = Length::ZERO;
            for part in all {
                farthest = farthest.max(part.end);
                part.farthest = farthest;
            }
        }
        Keys { job, standing, sections, solids, on }
    }

    /// What becomes of a void, by what lies at its middle; none where it stays empty.
    #[must_use]
    pub fn of(&self, void: &PlacedVoid) -> Option<Key> {
        let middle = self.standing.intervals(&void.runs).into_iter().next()?;
        let station = middle.start + (middle.end - middle.start) / 2;
        let out = |section: BlockId| Some(depth(self.job.section(section)?, self.standing, middle.on));
        let said = self.job.void(void.id)?.say.offset.as_ref().map(|offset| (offset.value.from, offset.value.to));
        let (from, to) = said.or_else(|| out(void.section))?;
        let offset = from + (to - from) / 2;
        let all = self.on.get(&middle.on)?;
        let before = all.get(..all.partition_point(|part| part.start < station))?;
        let near = before.iter().rev().take_while(|part| station < part.farthest);
        let here = near.filter(|part| {
            let (inner, outer) = out(part.placed.id).unwrap_or((Length::ZERO, Length::ZERO));
            part.placed.id != void.section && station < part.end && inner < offset && offset < outer
        });
        let here: Vec<&Placed> = here.map(|part| part.placed).collect();
        let first =
            |is: &dyn Fn(&Placed) -> bool| here.iter().filter(|placed| is(placed)).map(|placed| placed.id).min();
        let fills = |placed: &Placed| placed.bottom <= void.bottom && void.top <= placed.top;
        let open = self.sections.find(void.section).is_some_and(|own| own.top == void.top);
        let pour = |section: BlockId| self.solids.with(section).map(|(solid, _)| solid.pour);
        let stands = |placed: &Placed| {
            open && placed.bottom == void.top && pour(placed.id).is_some_and(|it| Some(it) != pour(void.section))
        };
        first(&fills).map(Key::Filled).or_else(|| first(&stands).map(Key::RunsIn))
    }
}

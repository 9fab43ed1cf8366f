//! Which void lies at a place of a leg.

use foldhash::HashMap;

use super::clearance::JobPlace;
use crate::{
    concrete::{LegAt, Placed, Sections, Standing},
    schema::BlockId,
    units::Length,
};

/// A place no farther from a void than this lies in it: a bar comes out into it at its face.
const NEAR: Length = Length::INCH;

/// A void on one leg.
struct Part {
    start: Length,
    end: Length,
    bottom: Length,
    top: Length,
    void: BlockId,
    /// The farthest end of this one and of all before it.
    farthest: Length,
}

/// The voids of some sections, by leg and by where they begin.
pub(super) struct VoidsOn(HashMap<LegAt, Vec<Part>>);

impl VoidsOn {
    /// The voids in these sections.
    pub(super) fn new(standing: &Standing, sections: &Sections, here: &[&Placed]) -> VoidsOn {
        let mut mine: Vec<BlockId> = here.iter().map(|placed| placed.id).collect();
        mine.sort_unstable();
        let mut on: HashMap<LegAt, Vec<Part>> = HashMap::default();
        for void in sections.voids.iter().filter(|void| mine.binary_search(&void.section).is_ok()) {
            for at in standing.intervals(&void.runs) {
                let (start, end, bottom, top) = (at.start, at.end, void.bottom, void.top);
                on.entry(at.on).or_default().push(Part { start, end, bottom, top, void: void.id, farthest: end });
            }
        }
        for all in on.values_mut() {
            all.sort_unstable_by_key(|part| (part.start, part.end, part.void));
            let mut farthest = Length::ZERO;
            for part in all {
                farthest = farthest.max(part.end);
                part.farthest = farthest;
            }
        }
        VoidsOn(on)
    }

    /// The void at a place, or one that ends there; of several the one written first.
    pub(super) fn at(&self, at: &JobPlace) -> Option<BlockId> {
        let all = self.0.get(&at.on)?;
        let before = all.get(..all.partition_point(|part| part.start <= at.station + NEAR))?;
        let near = before.iter().rev().take_while(|part| at.station <= part.farthest + NEAR);
        let here = |part: &&Part| at.station <= part.end + NEAR && part.bottom <= at.height && at.height <= part.top;
        near.filter(here).map(|part| part.void).min()
    }
}

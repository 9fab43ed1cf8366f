//! How large the stones of a pour's mix may be, between its forms and round its bars.

use std::collections::BTreeSet;

use super::{clearance::Clearances, cover::Judged};
use crate::{
    concrete::{Class, Sections, Solids, Standing, depth},
    job::Job,
    ledger::{Entry, Figure, Ledger},
    schema::BlockId,
    standards::{
        Worked,
        mixing::{Room, largest_aggregate},
    },
    units::Length,
};

/// The stones of a pour.
#[derive(Debug, Clone, PartialEq)]
pub struct Stones {
    /// The pour.
    pub pour: BlockId,
    /// Its mix.
    pub mix: BlockId,
    /// The largest in the mix.
    pub has: Length,
    /// The largest that get everywhere.
    pub most: Worked<Length>,
    /// The largest that get between the forms, and between them and bars that have the cover they should: what is too near is
    /// told of the bars.
    pub judged: Length,
}

/// The stones of each pour whose mix says how large they are.
#[must_use]
pub fn stones(
    job: &Job,
    standing: &Standing,
    sections: &Sections,
    solids: &Solids,
    clearances: &Clearances,
    judged: &[Judged],
) -> Vec<Stones> {
    let each = solids.pours.iter().filter_map(|solid| {
        let mix = job.mix(job.pour(solid.pour)?.say.mix.0)?;
        let has = mix.say.stone?.0;
        let mine: BTreeSet<BlockId> = solid.sections.iter().map(|(id, _)| *id).collect();
        let placed = mine.iter().filter_map(|id| Some((job.section(*id)?, sections.find(*id)?)));
        let thick = placed.flat_map(|(section, placed)| {
            placed.intervals.iter().map(move |part| {
                let (inner, outer) = depth(section, standing, part.on);
                outer - inner
            })
        });
        let covers: Vec<_> = clearances.covers.iter().filter(|cover| mine.contains(&cover.section)).collect();
        let bars: BTreeSet<BlockId> = covers.iter().map(|cover| cover.bar.bars).collect();
        let both = |near: &&super::Near| bars.contains(&near.first.bars) && bars.contains(&near.second.bars);
        // What touches is tied on purpose, or told elsewhere.
        let between = clearances.parallel.iter().filter(both).map(|near| near.clear);
        let is_formed = |class| matches!(class, Class::Formed | Class::End | Class::Riser);
        let formed = covers.iter().filter(|cover| is_formed(cover.class));
        let enough = judged.iter().filter(|one| {
            mine.contains(&one.cover.section) && is_formed(one.cover.class) && one.missing() <= Length::ZERO
        });
        let some = |length: &Length| *length > Length::ZERO;
        let room = Room {
            between_forms: thick.filter(some).min()?,
            slab: None,
            between_bars: between.filter(some).min(),
            cover: formed.map(|cover| cover.clear).filter(some).min(),
        };
        let cover = enough.map(|one| one.cover.clear).filter(some).min();
        let judged = largest_aggregate(&Room { between_bars: None, cover, ..room }).ok()?.value;
        Some(Stones { pour: solid.pour, mix: mix.id, has, most: largest_aggregate(&room).ok()?, judged })
    });
    each.collect()
}

/// Enters the largest stones of each pour: `POUR.stones`.
pub fn enter_stones(job: &Job, all: &[Stones], ledger: &mut Ledger) {
    for stones in all {
        ledger.enter(|| Entry {
            name: format!("{}.stones", job.name(stones.pour)),
            value: Figure::Length(stones.most.value),
            formula: stones.most.formula,
            source: stones.most.source,
            inputs: stones.most.inputs().collect(),
        });
    }
}

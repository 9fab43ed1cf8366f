//! How large the stones of a pour's mix may be, between its forms and round its bars.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    clearance::{Clearances, Cover},
    cover::Judged,
};
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
    if job.mixes.iter().all(|mix| mix.say.stone.is_none()) {
        return Vec::new();
    }
    let covers_of = by(&clearances.covers, |cover| cover.section);
    let judged_of = by(judged, |one| one.cover.section);
    let parallel_of = by(&clearances.parallel, |near| near.first.bars);
    let each = solids.pours.iter().filter_map(|solid| {
        let mix = job.mix(job.pour(solid.pour)?.say.mix.0)?;
        let has = mix.say.stone?.0;
        let mine: BTreeSet<BlockId> = solid.sections.iter().map(|(id, _)| *id).collect();
        let placed = mine.iter().filter_map(|id| Some((job.section(*id)?, sections.find(*id)?)));
        let sides: Vec<(Length, Length)> = placed
            .flat_map(|(section, placed)| {
                placed.intervals.iter().map(move |part| {
                    let (inner, outer) = depth(section, standing, part.on);
                    (outer - inner, placed.top - placed.bottom)
                })
            })
            .collect();
        let thick = sides.iter().map(|(across, _)| *across);
        // What is wider than high lies as a slab does.
        let slab = sides.iter().filter(|(across, high)| high < across).map(|(_, high)| *high);
        let covers: Vec<&Cover> = mine.iter().filter_map(|id| covers_of.get(id)).flatten().copied().collect();
        let bars: BTreeSet<BlockId> = covers.iter().map(|cover| cover.bar.bars).collect();
        // What touches is tied on purpose, or told elsewhere.
        let between = bars.iter().filter_map(|block| parallel_of.get(block)).flatten();
        let between = between.filter(|near| bars.contains(&near.second.bars)).map(|near| near.clear);
        let is_formed = |class| matches!(class, Class::Formed | Class::End | Class::Riser);
        let formed = covers.iter().filter(|cover| is_formed(cover.class));
        let enough = mine.iter().filter_map(|id| judged_of.get(id)).flatten();
        let enough = enough.filter(|one| is_formed(one.cover.class) && one.missing() <= Length::ZERO);
        let some = |length: &Length| *length > Length::ZERO;
        let room = Room {
            between_forms: thick.filter(some).min()?,
            slab: slab.filter(some).min(),
            between_bars: between.filter(some).min(),
            cover: formed.map(|cover| cover.clear).filter(some).min(),
        };
        let cover = enough.map(|one| one.cover.clear).filter(some).min();
        let judged = largest_aggregate(&Room { between_bars: None, cover, ..room }).ok()?.value;
        Some(Stones { pour: solid.pour, mix: mix.id, has, most: largest_aggregate(&room).ok()?, judged })
    });
    each.collect()
}

/// What there is of each block.
fn by<T>(all: &[T], of: impl Fn(&T) -> BlockId) -> BTreeMap<BlockId, Vec<&T>> {
    let mut out: BTreeMap<BlockId, Vec<&T>> = BTreeMap::new();
    for one in all {
        out.entry(of(one)).or_default().push(one);
    }
    out
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

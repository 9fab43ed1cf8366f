//! The worked numbers of holes as they were drilled.

use super::{HolesDone, Set};
use crate::{
    job::Job,
    ledger::{Entry, Figure, Input, Ledger},
    schema::{BlockId, KindId},
    units::Length,
};
use std::collections::BTreeMap;

/// Enters `HOLES.NUMBER.depth.done` and `HOLES.NUMBER.depth.less` for each hole that is not as planned, `HOLES.left-empty` and
/// `HOLES.resin.done` for each row with such holes.
pub fn enter_done(job: &Job, sets: &BTreeMap<BlockId, Set>, done: &HolesDone, ledger: &mut Ledger) {
    if !ledger.is_on() {
        return;
    }
    for one in &done.drilled {
        let (Some(set), Some(holes)) = (sets.get(&one.set), job.holes_of(one.set)) else { continue };
        if one.now.is_none() || one.deep == set.deep {
            continue;
        }
        let name = format!("{}.{}.depth", holes.name, one.hole.number);
        let at = one.fact.on.at;
        let depth = ledger.enter(|| Entry {
            name: format!("{name}.done"),
            value: Figure::Length(one.deep),
            formula: "as recorded",
            source: "",
            inputs: vec![Input::said("recorded", at, Figure::Length(one.deep))],
        });
        let planned = Input::said("planned", holes.said(KindId::Holes, "bore"), Figure::Length(set.deep));
        ledger.enter(|| Entry {
            name: format!("{name}.less"),
            value: Figure::Length(set.deep - one.deep),
            formula: "planned - done",
            source: "",
            inputs: [planned].into_iter().chain(Input::worked("done", depth)).collect(),
        });
    }
    for mine in done.drilled.chunk_by(|one, other| one.set == other.set) {
        let Some((id, set)) = mine.first().and_then(|one| sets.get_key_value(&one.set)) else { continue };
        let name = job.name(*id);
        let empty: Vec<Input> = mine
            .iter()
            .filter(|one| one.now.is_none())
            .map(|one| Input::said("part", one.fact.on.at, Figure::Count(1)))
            .collect();
        if !empty.is_empty() {
            ledger.enter(|| Entry {
                name: format!("{name}.left-empty"),
                value: Figure::Count(empty.len() as u64),
                formula: "sum of the parts",
                source: "",
                inputs: empty,
            });
        }
        let Some(resin) = done.resin.get(id) else { continue };
        let deep: Length = mine.iter().filter(|one| one.now.is_some()).map(|one| one.deep).sum();
        let others = set.count.saturating_sub(mine.len() as u64);
        let rest = set.deep * i64::try_from(others).unwrap_or(i64::MAX);
        ledger.enter(|| Entry {
            name: format!("{name}.resin.done"),
            value: Figure::Fluid(*resin),
            formula: "by the width of each hole, its bar's diameter and its depth, summed over the holes that are filled",
            source: "",
            inputs: vec![
                Input::given("deep", Figure::Length(deep + rest), "all holes that are filled, end to end, as they are recorded"),
            ],
        });
    }
}

//! Findings that speak of something drawn: a flag with the finding's number stands at its place.
//!
//! A finding names the holes or bars it is about, or a block, or points at a place in a text; what that comes to in the
//! drawings is worked out here, by ids. What is not drawn has no flag.

use std::collections::BTreeMap;

use super::ids;
use crate::{
    job::Job,
    problem::Problem,
    schema::{BlockId, KindId},
    steel,
    works::Works,
};

/// Findings by what they speak of.
#[derive(Debug, Default)]
pub struct Flags {
    told: Vec<Told>,
    at: BTreeMap<String, Vec<usize>>,
}

/// A finding as a drawing tells of it.
#[derive(Debug)]
pub struct Told {
    /// "warning", "accepted".
    pub word: &'static str,
    /// Its headline.
    pub says: String,
}

impl Flags {
    /// The flags of findings, each with the word for how it stands; they are numbered from 1 as they come.
    #[must_use]
    pub fn new<'p>(job: &Job, works: &Works, findings: impl IntoIterator<Item = (&'p Problem, &'static str)>) -> Flags {
        let mut flags = Flags::default();
        for (problem, word) in findings {
            flags.told.push(Told { word, says: super::svg::shown(&problem.says(job.system())) });
            let number = flags.told.len();
            for id in places(job, works, problem) {
                let here = flags.at.entry(id).or_default();
                if !here.contains(&number) {
                    here.push(number);
                }
            }
        }
        flags
    }

    /// The numbers of the findings that speak of what has this id.
    #[must_use]
    pub fn of(&self, id: &str) -> &[usize] {
        self.at.get(id).map_or(&[], Vec::as_slice)
    }

    /// A finding by its number.
    #[must_use]
    pub fn told(&self, number: usize) -> Option<&Told> {
        self.told.get(number.checked_sub(1)?)
    }
}

/// The ids of what a finding speaks of: the holes or bars it names, or else the first of its blocks that is drawn.
fn places(job: &Job, works: &Works, problem: &Problem) -> Vec<String> {
    let ones = problem.ones.iter().filter_map(|one| match job.kind(job.named(&one.block)?) {
        Some(KindId::Holes) => Some(ids::hole(&one.block, one.number)),
        Some(KindId::Bars) => Some(ids::bar(&one.block, one.number)),
        _ => None,
    });
    let ones: Vec<String> = ones.collect();
    if !ones.is_empty() {
        return ones;
    }
    let thing = problem.thing.as_deref().and_then(|name| job.named(name));
    let blocks = thing.into_iter().chain(problem.labels.iter().filter_map(|label| job.around(label.span)));
    blocks.into_iter().find_map(|block| of_block(job, works, block)).into_iter().collect()
}

/// The id of a block, or of the first thing it makes.
fn of_block(job: &Job, works: &Works, block: BlockId) -> Option<String> {
    let name = job.name(block);
    let word = match job.kind(block)? {
        KindId::Holes => {
            let set = works.sets.get(&block)?;
            return Some(ids::hole(name, set.each().next()?.number));
        }
        KindId::Bars => {
            return Some(ids::bar(name, steel::made(&works.bars, block)?.first_of(0)));
        }
        KindId::Section => "body",
        KindId::Void => "void",
        KindId::Wall => "wall",
        KindId::Footing => "footing",
        KindId::Slab => "slab",
        KindId::Remove => "strip",
        KindId::Clear => "clear",
        KindId::Crack => "crack",
        KindId::Spall => "spall",
        KindId::Forms => "forms",
        KindId::Pour => "pour",
        KindId::Step | KindId::Look | KindId::Wait | KindId::Ask => "day",
        _ => return None,
    };
    Some(format!("{word}-{name}"))
}

//! Findings that speak of something drawn: a flag with the finding's number stands at its place.
//!
//! A finding names the holes or bars it is about, or a block, or points at a place in a text; what that comes to in the
//! drawings is worked out here, by ids. What is not drawn has no flag.

use std::collections::BTreeMap;

use super::ids;
use crate::{
    formwork::Use,
    job::Job,
    problem::{Problem, Spot},
    schema::{BlockId, KindId},
    steel,
    units::Length,
    works::Works,
};

/// Findings by what they speak of.
#[derive(Debug, Default)]
pub struct Flags {
    told: Vec<Told>,
    at: BTreeMap<String, Vec<usize>>,
    /// Where on a thing it is that a finding speaks of: station and height.
    spots: BTreeMap<(String, usize), (Length, Length)>,
}

/// A finding as a drawing tells of it.
#[derive(Debug)]
pub struct Told {
    /// "error", "warning", "accepted".
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
            for (id, spot) in places(job, works, problem) {
                if let Some(spot) = spot {
                    flags.spots.entry((id.clone(), number)).or_insert((spot.station, spot.height));
                }
                let here = flags.at.entry(id).or_default();
                if !here.contains(&number) {
                    here.push(number);
                }
            }
        }
        flags
    }

    /// Whether errors are among them: what is drawn is not to be built from.
    #[must_use]
    pub fn has_errors(&self) -> bool {
        self.told.iter().any(|told| told.word == "error")
    }

    /// The numbers of the findings that speak of what has this id.
    #[must_use]
    pub fn of(&self, id: &str) -> &[usize] {
        self.at.get(id).map_or(&[], Vec::as_slice)
    }

    /// Where on what has this id a finding speaks of it, as station and height of the leg it is drawn on.
    #[must_use]
    pub fn spot(&self, id: &str, number: usize) -> Option<(Length, Length)> {
        self.spots.get(&(id.to_owned(), number)).copied()
    }

    /// A finding by its number.
    #[must_use]
    pub fn told(&self, number: usize) -> Option<&Told> {
        self.told.get(number.checked_sub(1)?)
    }
}

/// The ids of what a finding speaks of: the holes or bars it names, or else the first of its blocks that is drawn.
fn places<'p>(job: &Job, works: &Works, problem: &'p Problem) -> Vec<(String, Option<&'p Spot>)> {
    let ones = problem.ones.iter().filter_map(|one| {
        let id = match (job.kind(job.named(&one.block)?)?, one.spot.as_ref().and_then(|spot| spot.leg.as_deref())) {
            (KindId::Holes, _) => ids::hole(&one.block, one.number),
            (KindId::Bars, Some(leg)) => ids::bar_on(&one.block, one.number, &leg.replace('.', "-")),
            (KindId::Bars, None) => ids::bar(&one.block, one.number),
            _ => return None,
        };
        Some((id, one.spot.as_ref()))
    });
    let ones: Vec<_> = ones.collect();
    if !ones.is_empty() {
        return ones;
    }
    let thing = problem.thing.as_deref().and_then(|name| job.named(name));
    if let Some((forms, part)) = thing.zip(problem.part.as_deref())
        && let Some(section) = job.named(part)
        && stands(works, forms, section, Use::Face)
    {
        let is_end = problem.at_ends && stands(works, forms, section, Use::Bulkhead);
        let id = if is_end { ids::form_ends } else { ids::form_before };
        return vec![(id(job.name(forms), part), None)];
    }
    let blocks = thing.into_iter().chain(problem.labels.iter().filter_map(|label| job.around(label.span)));
    blocks.into_iter().find_map(|block| of_block(job, works, block)).map(|id| (id, None)).into_iter().collect()
}

/// Whether such panels of the forms stand at a section: where there are bulkheads only, there is no picture.
fn stands(works: &Works, forms: BlockId, section: BlockId, closes: Use) -> bool {
    let made = works.forms.iter().filter(|made| made.forms == forms);
    made.flat_map(|made| &made.panels).any(|panel| panel.section == section && panel.closes == closes)
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

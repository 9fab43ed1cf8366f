//! What is cut from what, and why nothing costs less.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::{Measure, Units};
use crate::{compile::Compiled, cutting::Proof, steel::CutPlan, units::show};

/// The cutting plan of one size.
#[derive(Serialize, JsonSchema)]
pub(super) struct PlanTally<'c> {
    size: &'c str,
    kerf: Measure,
    bars: Vec<CutTally>,
    bought: u64,
    #[serde(skip_serializing_if = "Option::is_none")]
    cost: Option<String>,
    /// How many bars first fit takes, longest piece first.
    #[serde(skip_serializing_if = "Option::is_none")]
    first_fit: Option<u64>,
    /// Why nothing costs less: `material`, `worth`, `search`, or `open` where it is not known.
    proof: &'static str,
    /// Of the proof by worth: what a piece of each mark is worth.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    worth: BTreeMap<u32, i64>,
    /// Of the proof by worth: what no bar of each source holds more of.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    fullest: Vec<FullestTally>,
}

/// Bars cut alike.
#[derive(Serialize, JsonSchema)]
struct CutTally {
    bars: u64,
    from: Measure,
    at_hand: bool,
    pieces: Vec<PieceTally>,
    left: Measure,
}

#[derive(Serialize, JsonSchema)]
struct PieceTally {
    mark: u32,
    count: u64,
    cut: Measure,
}

#[derive(Serialize, JsonSchema)]
struct FullestTally {
    from: Measure,
    at_hand: bool,
    worth: i64,
}

/// All plans.
pub(super) fn all(compiled: &Compiled, units: Units) -> Vec<PlanTally<'_>> {
    compiled.works.cuts.iter().map(|plan| tally(compiled, units, plan)).collect()
}

fn tally<'c>(compiled: &'c Compiled, units: Units, plan: &CutPlan) -> PlanTally<'c> {
    let (mut worth, mut fullest) = (BTreeMap::new(), Vec::new());
    let proof = match &plan.proof {
        Proof::Material => "material",
        Proof::Search => "search",
        Proof::NotProven => "open",
        Proof::Certificate(certificate) => {
            worth = plan.pieces.keys().copied().zip(certificate.worth.iter().copied()).collect();
            let sources = plan.sources.iter().zip(&certificate.fullest);
            fullest = sources
                .map(|(source, worth)| FullestTally {
                    from: units.length(source.length),
                    at_hand: source.at_hand,
                    worth: *worth,
                })
                .collect();
            "worth"
        }
    };
    let cuts = plan.cuts.iter().filter_map(|cut| {
        let source = plan.sources.get(cut.source)?;
        let pieces = cut.pieces.iter().filter_map(|(mark, count)| {
            let (length, _) = plan.pieces.get(mark)?;
            Some(PieceTally { mark: *mark, count: *count, cut: units.cut(*length) })
        });
        Some(CutTally {
            bars: cut.times,
            from: units.length(source.length),
            at_hand: source.at_hand,
            pieces: pieces.collect(),
            left: units.length(cut.left),
        })
    });
    PlanTally {
        size: compiled.job.name(plan.steel),
        kerf: units.length(plan.kerf),
        bars: cuts.collect(),
        bought: plan.bought().map(|(_, count)| count).sum(),
        cost: plan.cost.map(|cost| show::money(cost).to_string()),
        first_fit: plan.first_fit,
        proof,
        worth,
        fullest,
    }
}

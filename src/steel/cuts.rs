//! Which piece is cut from which bar: one cutting plan for each size, and what is bought for it.

use std::collections::BTreeMap;

use super::{bars::BarsMade, stock::yard};
use crate::{
    cutting::{Proof, Solved},
    job::Job,
    ledger::{Entry, Figure, Input, Ledger},
    schema::{BlockId, KindId},
    units::{Length, Money, show},
    yard::{Shops, Source},
};

/// Bars cut alike.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cut {
    /// How many.
    pub times: u64,
    /// From which of the plan's sources.
    pub source: usize,
    /// Mark and how many, in the order they are cut: longest first.
    pub pieces: Vec<(u32, u64)>,
    /// What is left of each.
    pub left: Length,
}

/// The cutting plan of one size.
#[derive(Debug, Clone, PartialEq)]
pub struct CutPlan {
    /// The size.
    pub steel: BlockId,
    /// What it is cut from.
    pub sources: Vec<Source>,
    /// The cut length of each mark, rounded up as it is printed, and how many there are.
    pub pieces: BTreeMap<u32, (Length, u64)>,
    /// What one cut takes.
    pub kerf: Length,
    /// The bars.
    pub cuts: Vec<Cut>,
    /// What they cost, where all stock has a price of one currency.
    pub cost: Option<Money>,
    /// No plan costs less than this, in the unit of `cost_units`.
    pub bound: i64,
    /// What this plan costs: in the smallest unit of the currency, or in nanometres of bought bars where no price is known.
    pub cost_units: i64,
    /// Why nothing costs less.
    pub proof: Proof,
    /// How many bars first fit would take, longest piece first.
    pub first_fit: Option<u64>,
}

impl CutPlan {
    /// How many bars of each source are bought, in the order of the sources; none that lie at hand.
    pub fn bought(&self) -> impl Iterator<Item = (&Source, u64)> {
        self.sources.iter().enumerate().filter(|(_, source)| !source.at_hand).filter_map(|(at, source)| {
            let count = self.cuts.iter().filter(|cut| cut.source == at).map(|cut| cut.times).sum();
            (count > 0).then_some((source, count))
        })
    }
}

/// What is cut of a size: by mark, how long and how many.
type Pieces = BTreeMap<u32, (Length, u64)>;

/// The plans of all sizes, thinnest first. A size with a piece that no bar is long enough for has none: that is told of with
/// the piece.
#[must_use]
pub fn cut_plans(job: &Job, all: &[BarsMade], shops: Shops, solved: &Solved) -> Vec<CutPlan> {
    let mut sizes: BTreeMap<(Length, &str, BlockId), Pieces> = BTreeMap::new();
    for made in all {
        let size = sizes.entry((made.steel.diameter, job.name(made.steel.id), made.steel.id)).or_default();
        gather(job, made, size);
    }
    sizes.into_iter().filter_map(|((_, _, steel), pieces)| plan(job, steel, pieces, shops, solved)).collect()
}

/// The plan of one size with these shops' stock.
#[must_use]
pub fn cut_plan(job: &Job, all: &[BarsMade], steel: BlockId, shops: Shops, solved: &Solved) -> Option<CutPlan> {
    let mut pieces = Pieces::new();
    all.iter().filter(|made| made.steel.id == steel).for_each(|made| gather(job, made, &mut pieces));
    plan(job, steel, pieces, shops, solved)
}

fn gather(job: &Job, made: &BarsMade, pieces: &mut Pieces) {
    for group in &made.groups {
        let cut = show::cut_length(group.shape.cut, job.system());
        pieces.entry(group.mark).or_insert((cut, 0)).1 += group.count;
    }
}

fn plan(job: &Job, steel: BlockId, pieces: Pieces, shops: Shops, solved: &Solved) -> Option<CutPlan> {
    let yard = yard(job, steel, shops)?;
    let plan = solved.plan(yard.problem(pieces.values().copied())).ok()?;
    let marks: Vec<u32> = pieces.keys().copied().collect();
    let cuts: Vec<Cut> = plan
        .bars
        .iter()
        .map(|bars| Cut {
            times: bars.times,
            source: bars.stock,
            pieces: bars.pieces.iter().filter_map(|(kind, count)| Some((*marks.get(*kind)?, *count))).collect(),
            left: Length::from_nm(bars.leftover),
        })
        .collect();
    let cost = yard.cost(plan.cost);
    Some(CutPlan {
        steel,
        cuts,
        sources: yard.sources().to_vec(),
        pieces,
        kerf: yard.kerf(),
        cost,
        bound: plan.bound,
        cost_units: plan.cost,
        proof: plan.proof,
        first_fit: plan.first_fit.map(|quick| quick.bars),
    })
}

/// Enters how many bars are bought of each size.
pub fn enter_cuts(job: &Job, plans: &[CutPlan], ledger: &mut Ledger) {
    for plan in plans {
        let name = |quantity: &str| format!("buy.{}.{quantity}", job.name(plan.steel));
        let marks: Vec<Input> =
            plan.pieces.keys().filter_map(|mark| ledger.number("piece", &format!("job.mark.{mark}.cut"))).collect();
        let length = |source: &Source| match source.stock.and_then(|id| job.stock(id)) {
            Some(stock) => Input::said("stock", stock.said(KindId::Stock, "length"), Figure::Length(source.length)),
            None => Input::given("stock", Figure::Length(source.length), "usual length: common practice, no source"),
        };
        for (number, (source, count)) in plan.bought().enumerate() {
            ledger.enter(|| Entry {
                name: name(&format!("from.{}", number + 1)),
                value: Figure::Length(source.length * i64::try_from(count).unwrap_or(i64::MAX)),
                formula: "bars * stock",
                source: "",
                inputs: vec![
                    Input::given("bars", Figure::Count(count), "bars of this length that the cutting plan buys"),
                    length(source),
                ],
            });
        }
        let count = plan.bought().map(|(_, count)| count).sum();
        let parts = |ledger: &mut Ledger| {
            (1..=plan.bought().count())
                .filter_map(|number| ledger.number("part", &name(&format!("from.{number}"))))
                .collect()
        };
        let inputs: Vec<Input> = marks.into_iter().chain(plan.sources.iter().map(length)).collect();
        ledger.enter(|| Entry {
            name: name("packs"),
            value: Figure::Count(count),
            formula: "bars of the cutting plan that are bought: the least cost for all pieces and the cuts between them",
            source: "cutting plan of this program, with its proof beside it",
            inputs,
        });
        let bought: Vec<Input> = parts(ledger);
        ledger.enter(|| Entry {
            name: name("bought"),
            value: Figure::Length(
                plan.bought().map(|(source, count)| source.length * i64::try_from(count).unwrap_or(i64::MAX)).sum(),
            ),
            formula: "sum of the parts",
            source: "",
            inputs: bought,
        });
    }
}

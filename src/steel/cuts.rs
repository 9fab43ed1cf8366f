//! Which piece is cut from which bar: one cutting plan for each size.

use std::collections::BTreeMap;

use super::{bars::BarsMade, stock::usual_stock};
use crate::{
    cutting::{self, Proof},
    job::Job,
    ledger::{Entry, Figure, Input, Ledger},
    schema::{BlockId, KindId},
    units::{Exact, Length, Money, show},
};

/// Bars a size is cut from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Source {
    /// The `stock` that says so; none for the usual length.
    pub stock: Option<BlockId>,
    /// How long each is.
    pub length: Length,
    /// They lie at hand and are not bought.
    pub at_hand: bool,
}

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
    /// How many bars are bought.
    pub bought: u64,
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

/// The plans of all sizes, thinnest first. A size with a piece that no bar is long enough for has none: that is told of with
/// the piece.
#[must_use]
pub fn cut_plans(job: &Job, all: &[BarsMade]) -> Vec<CutPlan> {
    let mut sizes: BTreeMap<(Length, &str, BlockId), BTreeMap<u32, (Length, u64)>> = BTreeMap::new();
    for made in all {
        let size = sizes.entry((made.steel.diameter, job.name(made.steel.id), made.steel.id)).or_default();
        for group in &made.groups {
            let cut = show::cut_length(group.shape.cut, job.system());
            size.entry(group.mark).or_insert((cut, 0)).1 += group.count;
        }
    }
    sizes.into_iter().filter_map(|((_, _, steel), pieces)| plan(job, steel, pieces)).collect()
}

fn plan(job: &Job, steel: BlockId, pieces: BTreeMap<u32, (Length, u64)>) -> Option<CutPlan> {
    let stocks: Vec<_> = job.stocks.iter().filter(|stock| stock.say.item.0 == steel).collect();
    let kerf = stocks.iter().filter_map(|stock| stock.say.kerf).map(|kerf| kerf.0).max().unwrap_or_default();
    let (mut sources, mut limits, mut prices) = (Vec::new(), Vec::new(), Vec::new());
    for stock in &stocks {
        let length = stock.say.length.0;
        let mut add = |at_hand: bool, limit: Option<u64>, price: Option<Money>| {
            sources.push(Source { stock: Some(stock.id), length, at_hand });
            limits.push(limit);
            prices.push(price);
        };
        let price = stock.say.price.map(|price| price.0);
        if let Some(on_hand) = stock.say.on_hand {
            add(true, u64::try_from(on_hand.0).ok(), None);
        }
        if stock.say.on_hand.is_none() || price.is_some() {
            add(false, None, price);
        }
    }
    if sources.iter().all(|source| source.at_hand) {
        sources.push(Source {
            stock: None,
            length: usual_stock(
                job.steel(steel).and_then(|size| size.say.hooks).unwrap_or(crate::schema::HookRule::Aci),
            ),
            at_hand: false,
        });
        limits.push(None);
        prices.push(None);
    }
    // Prices decide where all that is bought has one, in one currency; else the length that is bought.
    let currency = prices.iter().flatten().map(|price| price.currency).next();
    let bought = || sources.iter().zip(&prices).filter(|(source, _)| !source.at_hand);
    let currency = currency.filter(|one| bought().all(|(_, price)| price.is_some_and(|price| price.currency == *one)));
    let smallest = currency.map_or(1, |currency| 10_i64.pow(currency.decimals()));
    let units = |source: &Source, price: &Option<Money>| match (source.at_hand, currency, price) {
        (true, ..) => Some(0),
        (false, Some(_), Some(price)) => {
            i64::try_from(price.amount.times(Exact::whole(smallest.into()))?.to_nearest_i128()).ok()
        }
        _ => Some(source.length.nm()),
    };
    let stock = sources.iter().zip(&prices).zip(&limits);
    let stock: Option<Vec<cutting::Stock>> = stock
        .map(|((source, price), limit)| {
            Some(cutting::Stock { length: source.length.nm(), price: units(source, price)?, limit: *limit })
        })
        .collect();
    let marks: Vec<u32> = pieces.keys().copied().collect();
    let wanted = pieces.values().map(|(length, count)| cutting::Piece { length: length.nm(), count: *count }).collect();
    let solved = cutting::Problem { pieces: wanted, stock: stock?, kerf: kerf.nm() }.solve().ok()?;
    let cuts: Vec<Cut> = solved
        .bars
        .iter()
        .map(|bars| Cut {
            times: bars.times,
            source: bars.stock,
            pieces: bars.pieces.iter().filter_map(|(kind, count)| Some((*marks.get(*kind)?, *count))).collect(),
            left: Length::from_nm(bars.leftover),
        })
        .collect();
    let is_bought = |cut: &&Cut| sources.get(cut.source).is_some_and(|source| !source.at_hand);
    let cost = currency.and_then(|currency| {
        let amount = Exact::new(i128::from(solved.cost), i128::from(smallest))?;
        Some(Money { amount, currency })
    });
    Some(CutPlan {
        steel,
        bought: cuts.iter().filter(is_bought).map(|cut| cut.times).sum(),
        cuts,
        sources,
        pieces,
        kerf,
        cost,
        bound: solved.bound,
        cost_units: solved.cost,
        proof: solved.proof,
        first_fit: solved.first_fit.map(|quick| quick.bars),
    })
}

/// Enters how many bars are bought of each size.
pub fn enter_cuts(job: &Job, plans: &[CutPlan], ledger: &mut Ledger) {
    for plan in plans {
        let marks: Vec<Input> =
            plan.pieces.keys().filter_map(|mark| ledger.number("piece", &format!("job.mark.{mark}.cut"))).collect();
        let stocks = plan.sources.iter().map(|source| match source.stock {
            Some(id) => {
                let at = job.stock(id).map(|stock| stock.said(KindId::Stock, "length"));
                at.map(|at| Input::said("stock", at, Figure::Length(source.length)))
            }
            None => {
                Some(Input::given("stock", Figure::Length(source.length), "usual length: common practice, no source"))
            }
        });
        let inputs: Vec<Input> = marks.into_iter().chain(stocks.flatten()).collect();
        ledger.enter(|| Entry {
            name: format!("buy.{}.packs", job.name(plan.steel)),
            value: Figure::Count(plan.bought),
            formula: "bars of the cutting plan that are bought: the least cost for all pieces and the cuts between them",
            source: "cutting plan of this program, with its proof beside it",
            inputs,
        });
    }
}

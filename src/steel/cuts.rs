//! Which piece is cut from which bar: one cutting plan for each size, and what is bought for it.

use std::collections::BTreeMap;

use super::{bars::BarsMade, stock::usual_stock};
use crate::{
    cutting::{self, Proof},
    job::Job,
    ledger::{Entry, Figure, Input, Ledger},
    schema::{BlockId, HookRule, KindId},
    units::{Currency, Exact, Length, Money, show},
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

/// Pieces by mark: how long, how many.
type Pieces = BTreeMap<u32, (Length, u64)>;

/// The plans of all sizes, thinnest first. A size with a piece that no bar is long enough for has none: that is told of with
/// the piece.
#[must_use]
pub fn cut_plans(job: &Job, all: &[BarsMade]) -> Vec<CutPlan> {
    let mut sizes: BTreeMap<(Length, &str, BlockId), Pieces> = BTreeMap::new();
    for made in all {
        let size = sizes.entry((made.steel.diameter, job.name(made.steel.id), made.steel.id)).or_default();
        for group in &made.groups {
            let cut = show::cut_length(group.shape.cut, job.system());
            size.entry(group.mark).or_insert((cut, 0)).1 += group.count;
        }
    }
    sizes.into_iter().filter_map(|((_, _, steel), pieces)| plan(job, steel, pieces)).collect()
}

/// What bars of a size are cut from, and what that costs.
#[derive(Debug, Clone)]
pub(super) struct Yard {
    sources: Vec<Source>,
    stock: Vec<cutting::Stock>,
    kerf: Length,
    /// Prices decide where all that is bought has one, in one currency; else the length that is bought.
    currency: Option<Currency>,
}

impl Yard {
    /// What the job says of a size; the usual length where it says nothing that can be bought.
    pub fn new(job: &Job, steel: BlockId) -> Option<Self> {
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
            let hooks = job.steel(steel).and_then(|size| size.say.hooks).unwrap_or(HookRule::Aci);
            sources.push(Source { stock: None, length: usual_stock(hooks), at_hand: false });
            limits.push(None);
            prices.push(None);
        }
        let currency = prices.iter().flatten().map(|price| price.currency).next();
        let bought = || sources.iter().zip(&prices).filter(|(source, _)| !source.at_hand);
        let currency = currency.filter(|one| bought().all(|(_, price)| price.is_some_and(|it| it.currency == *one)));
        let units = |source: &Source, price: &Option<Money>| match (source.at_hand, currency, price) {
            (true, ..) => Some(0),
            (false, Some(currency), Some(price)) => {
                let smallest = Exact::whole(10_i128.pow(currency.decimals()));
                i64::try_from(price.amount.times(smallest)?.to_nearest_i128()).ok()
            }
            _ => Some(source.length.nm()),
        };
        let all = sources.iter().zip(&prices).zip(&limits);
        let stock: Option<Vec<cutting::Stock>> = all
            .map(|((source, price), limit)| {
                Some(cutting::Stock { length: source.length.nm(), price: units(source, price)?, limit: *limit })
            })
            .collect();
        Some(Self { stock: stock?, sources, kerf, currency })
    }

    /// These pieces, to be cut from what there is.
    pub fn problem(&self, pieces: impl Iterator<Item = (Length, u64)>) -> cutting::Problem {
        let pieces = pieces.map(|(length, count)| cutting::Piece { length: length.nm(), count }).collect();
        cutting::Problem { pieces, stock: self.stock.clone(), kerf: self.kerf.nm() }
    }

    /// The most pieces of a length that one bar gives, for each sort of bar that is bought, and what the bar costs.
    pub fn out_of_one(&self, length: Length) -> impl Iterator<Item = (i64, i64)> + '_ {
        let bought = self.sources.iter().zip(&self.stock).filter(|(source, _)| !source.at_hand);
        let each = (length + self.kerf).nm().max(1);
        bought.map(move |(_, stock)| ((stock.length + self.kerf.nm()) / each, stock.price))
    }
}

fn plan(job: &Job, steel: BlockId, pieces: BTreeMap<u32, (Length, u64)>) -> Option<CutPlan> {
    let yard = Yard::new(job, steel)?;
    let solved = yard.problem(pieces.values().copied()).solve().ok()?;
    let marks: Vec<u32> = pieces.keys().copied().collect();
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
    let cost = yard.currency.and_then(|currency| {
        let amount = Exact::new(i128::from(solved.cost), 10_i128.pow(currency.decimals()))?;
        Some(Money { amount, currency })
    });
    Some(CutPlan {
        steel,
        cuts,
        sources: yard.sources,
        pieces,
        kerf: yard.kerf,
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

//! Which suppliers are bought from, where the job wants the cheapest split: every set of those that matter is reckoned, with
//! the deliveries of those that sell something, and the cheapest is taken; of equal ones the fewest, then those written first.

use std::collections::{BTreeMap, BTreeSet};

use super::{Bought, Line, packs, purchase};
use crate::{
    cutting::Solved,
    formwork::{self, Formwork},
    job::{Job, Thing},
    schema::{BlockId, Stock},
    steel::{self, BarsMade},
    units::{Currency, Exact},
    yard::{Shops, Source},
};

/// Beyond so many suppliers each thing is bought where it is cheapest by itself.
const SUPPLIERS_AT_MOST: usize = 8;

/// Who is bought from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Split {
    /// Those who may sell: stock of nobody said is always bought.
    pub from: BTreeSet<BlockId>,
    /// Those who were weighed.
    pub weighed: Vec<BlockId>,
    /// What it comes to, deliveries with it; only what has prices of several.
    pub cost: Exact,
    /// What each of them alone would come to, where one sells all of it.
    pub alone: Vec<(BlockId, Exact)>,
    /// How many sets were reckoned.
    pub tried: u64,
    /// No other set costs less.
    pub proven: bool,
}

/// What is cut to length: what it costs is known when it is known how it is cut.
#[derive(Debug, Clone, Copy)]
pub struct CutOf<'w> {
    /// The bars.
    pub bars: &'w [BarsMade],
    /// The forms, for their boards.
    pub forms: &'w [Formwork],
    /// Plans made so far.
    pub solved: &'w Solved,
}

/// The cheapest split of what has several sellers; nothing where it is not asked for, or there is nothing to choose.
#[must_use]
pub fn split(job: &Job, lines: &[Line], cut: CutOf) -> Option<Split> {
    job.budgets.first()?.say.cheapest?;
    let currency = purchase::currency(job)?;
    let mut items = Vec::new();
    let mut weighed: BTreeSet<BlockId> = BTreeSet::new();
    for line in lines {
        let Some(item) = line.block(job) else { continue };
        let priced = |stock: &&Thing<Stock>| stock.say.price.is_some_and(|price| price.value.0.currency == currency);
        let sellers: BTreeSet<Option<BlockId>> = Shops::All
            .sell(job, item)
            .into_iter()
            .filter(priced)
            .map(|stock| stock.say.from.map(|from| from.0))
            .collect();
        if sellers.iter().any(Option::is_some) {
            weighed.extend(sellers.iter().flatten());
            items.push((line, item, sellers.into_iter().flatten().collect::<BTreeSet<BlockId>>()));
        }
    }
    let weighed: Vec<BlockId> = job.suppliers.iter().map(|one| one.id).filter(|id| weighed.contains(id)).collect();
    if weighed.is_empty() {
        return None;
    }
    let mut known: BTreeMap<(BlockId, BTreeSet<BlockId>), Option<Exact>> = BTreeMap::new();
    let mut reckon = |set: &BTreeSet<BlockId>| -> Option<Exact> {
        let mut sum = Exact::ZERO;
        for (line, item, sellers) in &items {
            let key = (*item, sellers.intersection(set).copied().collect::<BTreeSet<_>>());
            let cost = match known.get(&key) {
                Some(cost) => *cost,
                None => {
                    let cost = least(job, line, *item, &key.1, currency, cut);
                    known.insert(key, cost);
                    cost
                }
            };
            sum = sum.plus(cost?)?;
        }
        set.iter().try_fold(sum, |sum, id| sum.plus(delivery(job, *id, currency)))
    };
    let alone = weighed.iter().filter_map(|id| Some((*id, reckon(&BTreeSet::from([*id]))?))).collect();
    let mut best: Option<(Exact, usize, BTreeSet<BlockId>)> = None;
    let mut tried = 0;
    if weighed.len() > SUPPLIERS_AT_MOST {
        let all: BTreeSet<BlockId> = weighed.iter().copied().collect();
        best = reckon(&all).map(|cost| (cost, all.len(), all));
    } else {
        for mask in 0_u32..1 << weighed.len() {
            let chosen = weighed.iter().enumerate().filter(|(at, _)| mask & (1 << at) != 0);
            let set: BTreeSet<BlockId> = chosen.map(|(_, id)| *id).collect();
            tried += 1;
            let Some(cost) = reckon(&set) else { continue };
            let better = best.as_ref().is_none_or(|(least, size, _)| (cost, set.len()) < (*least, *size));
            if better {
                best = Some((cost, set.len(), set));
            }
        }
    }
    let (cost, _, from) = best?;
    Some(Split { from, cost, alone, tried, proven: weighed.len() <= SUPPLIERS_AT_MOST, weighed })
}

/// What a supplier's delivery costs, in this currency; one that is fetched from costs nothing here.
fn delivery(job: &Job, supplier: BlockId, currency: Currency) -> Exact {
    let said = job.supplier(supplier).and_then(|supplier| supplier.say.delivery);
    said.filter(|price| price.0.currency == currency).map_or(Exact::ZERO, |price| price.0.amount)
}

/// The least a line costs with these suppliers; nothing where they do not sell it all, or not at a price.
fn least(
    job: &Job,
    line: &Line,
    item: BlockId,
    set: &BTreeSet<BlockId>,
    currency: Currency,
    of: CutOf,
) -> Option<Exact> {
    let shops = Shops::Among(set);
    let cut = |bought: Vec<(Source, u64)>| {
        bought.iter().try_fold(Exact::ZERO, |sum, (source, count)| {
            let price = job.stock(source.stock?)?.say.price?.value.0;
            let price = (price.currency == currency).then_some(price.amount)?;
            sum.plus(price.times(Exact::whole(i128::from(*count)))?)
        })
    };
    match line.bought() {
        Bought::Bars => {
            let plan = steel::cut_plan(job, of.bars, item, shops, of.solved)?;
            cut(plan.bought().map(|(source, count)| (*source, count)).collect())
        }
        Bought::Boards => cut(formwork::boards_of(job, of.forms, item, shops, of.solved)?.sources_bought()),
        Bought::Packs => {
            let (need, offers, _) = purchase::offers(job, line, item, shops, Some(currency))?;
            if offers.iter().any(|offer| offer.price.is_none()) {
                return None;
            }
            let offers: Vec<packs::Offer> = offers
                .iter()
                .filter_map(|offer| Some(packs::Offer { holds: offer.holds, price: offer.price?.amount }))
                .collect();
            Some(packs::cover(need, &offers)?.cost)
        }
    }
}

//! Whose stock is bought from.

use std::collections::BTreeSet;

use crate::{
    job::{Job, Thing},
    schema::{BlockId, Stock},
};

/// Whose stock is bought from.
#[derive(Debug, Clone, Copy)]
pub enum Shops<'s> {
    /// Of each thing, whoever sells the stock of it that is written first.
    First,
    /// All of them.
    All,
    /// These, and stock of which nobody says who sells it.
    Among(&'s BTreeSet<BlockId>),
}

impl Shops<'_> {
    /// As the job asks: all are weighed where it wants the cheapest split.
    #[must_use]
    pub fn of(job: &Job) -> Self {
        let cheapest = job.budgets.first().is_some_and(|budget| budget.say.cheapest.is_some());
        if cheapest { Shops::All } else { Shops::First }
    }

    /// The stock of a thing that is bought from, as it is written.
    #[must_use]
    pub fn sell(self, job: &Job, item: BlockId) -> Vec<&Thing<Stock>> {
        let mut all: Vec<_> = job.stock_of(item).collect();
        match self {
            Shops::First => {
                // What only lies at hand says nothing of who is gone to.
                let sold = |stock: &&&Thing<Stock>| stock.say.on_hand.is_none() || stock.say.price.is_some();
                let first = all.iter().find(sold).or(all.first()).map(|stock| stock.say.from);
                all.retain(|stock| Some(stock.say.from) == first || !sold(&stock));
            }
            Shops::All => {}
            Shops::Among(shops) => all.retain(|stock| stock.say.from.is_none_or(|from| shops.contains(&from.0))),
        }
        all
    }
}

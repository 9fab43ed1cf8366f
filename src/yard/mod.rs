//! What pieces are cut from: the stock the job says, or usual lengths, with what each costs and what a cut takes. Bars and
//! boards alike.

mod shops;

use crate::{
    cutting,
    job::Job,
    schema::BlockId,
    units::{Currency, Exact, Length, Money},
};

pub use shops::Shops;

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

/// What bars of a size are cut from, and what that costs.
#[derive(Debug, Clone)]
pub struct Yard {
    sources: Vec<Source>,
    stock: Vec<cutting::Stock>,
    kerf: Length,
    /// Prices decide where all that is bought has one, in one currency; else the length that is bought.
    currency: Option<Currency>,
}

impl Yard {
    /// What the job says of a size, of these shops' stock; usual lengths where it says nothing that can be bought, and what a cut takes where that is
    /// not said.
    #[must_use]
    pub fn new(job: &Job, size: BlockId, usual: &[Length], kerf: Length, shops: Shops) -> Option<Self> {
        let stocks = shops.sell(job, size);
        let kerf = stocks.iter().filter_map(|stock| stock.say.kerf).map(|kerf| kerf.0).max().unwrap_or(kerf);
        let (mut sources, mut limits, mut prices) = (Vec::new(), Vec::new(), Vec::new());
        for stock in &stocks {
            // A piece without a length is told of in the checks.
            let Some(length) = stock.say.length.map(|length| length.0) else { continue };
            let mut add = |at_hand: bool, limit: Option<u64>, price: Option<Money>| {
                sources.push(Source { stock: Some(stock.id), length, at_hand });
                limits.push(limit);
                prices.push(price);
            };
            let price = stock.say.price.map(|price| price.value.0);
            if let Some(on_hand) = stock.say.on_hand {
                add(true, u64::try_from(on_hand.0).ok(), None);
            }
            if stock.say.on_hand.is_none() || price.is_some() {
                add(false, None, price);
            }
        }
        if sources.iter().all(|source| source.at_hand) {
            for length in usual {
                sources.push(Source { stock: None, length: *length, at_hand: false });
                limits.push(None);
                prices.push(None);
            }
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

    /// What it is cut from.
    #[must_use]
    pub fn sources(&self) -> &[Source] {
        &self.sources
    }

    /// What a cut takes.
    #[must_use]
    pub fn kerf(&self) -> Length {
        self.kerf
    }

    /// The longest that is bought; nothing if nothing is.
    #[must_use]
    pub fn longest(&self) -> Length {
        let bought = self.sources.iter().filter(|source| !source.at_hand);
        bought.map(|source| source.length).max().unwrap_or_default()
    }

    /// A plan's cost in money, where prices decide.
    #[must_use]
    pub fn cost(&self, units: i64) -> Option<Money> {
        let currency = self.currency?;
        let amount = Exact::new(i128::from(units), 10_i128.pow(currency.decimals()))?;
        Some(Money { amount, currency })
    }

    /// These pieces, to be cut from what there is.
    #[must_use]
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

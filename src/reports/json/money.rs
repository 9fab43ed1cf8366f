//! Money in JSON: what is bought, hired and paid, by line, by stage and by supplier. Amounts are exact and stand as decimals
//! between quotes; nothing that is not priced has a cost.

use std::io::{self, Write};

use foldhash::HashMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::{MassMeasure, SCHEMA_VERSION, Units, title, write};
use crate::{
    buying::{Of, Purchase, Share},
    compile::Compiled,
    reports::words,
    schema::BlockId,
    units::{self, show},
};

#[derive(Serialize, JsonSchema)]
pub(super) struct BuyFile<'c> {
    schema_version: u32,
    jobs: Vec<JobMoney<'c>>,
    /// Of several jobs: what they come to.
    #[serde(skip_serializing_if = "Option::is_none")]
    together: Option<super::many::Together>,
}

#[derive(Serialize, JsonSchema)]
struct JobMoney<'c> {
    file: &'c str,
    title: &'c str,
    /// Something is left out because of errors.
    draft: bool,
    buy: Vec<super::BuyTally<'c>>,
    money: Money<'c>,
}

/// The bill.
#[derive(Serialize, JsonSchema)]
pub(super) struct Money<'c> {
    #[serde(skip_serializing_if = "Option::is_none")]
    currency: Option<&'static str>,
    purchases: Vec<Bought<'c>>,
    hired: Vec<Hired<'c>>,
    paid: Vec<Paid<'c>>,
    deliveries: Vec<Delivered<'c>>,
    stages: Vec<Part<'c>>,
    suppliers: Vec<Part<'c>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    split: Option<Split<'c>>,
    trips: Vec<Trip<'c>>,
    left: Vec<Left<'c>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    sum: Option<Amount>,
    #[serde(skip_serializing_if = "Option::is_none")]
    tax: Option<Amount>,
    #[serde(skip_serializing_if = "Option::is_none")]
    contingency: Option<Amount>,
    #[serde(skip_serializing_if = "Option::is_none")]
    total: Option<Amount>,
    /// Lines without a price; they are in no sum.
    not_priced: usize,
}

#[derive(Serialize, JsonSchema)]
pub(super) struct Amount {
    amount: String,
    currency: &'static str,
}

#[derive(Serialize, JsonSchema)]
struct Bought<'c> {
    item: &'c str,
    #[serde(skip_serializing_if = "Option::is_none")]
    stock: Option<&'c str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    packs: Option<u64>,
    #[serde(skip_serializing_if = "is_zero")]
    at_hand: u64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pack: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    each_weighs: Option<MassMeasure>,
    #[serde(skip_serializing_if = "Option::is_none")]
    supplier: Option<&'c str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    stage: Option<&'c str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    price: Option<Amount>,
    #[serde(skip_serializing_if = "Option::is_none")]
    cost: Option<Amount>,
}

#[derive(Serialize, JsonSchema)]
struct Hired<'c> {
    hire: &'c str,
    #[serde(skip_serializing_if = "Option::is_none")]
    days: Option<u64>,
    count: u64,
    #[serde(skip_serializing_if = "Option::is_none")]
    cost: Option<Amount>,
}

#[derive(Serialize, JsonSchema)]
struct Paid<'c> {
    fee: &'c str,
    #[serde(skip_serializing_if = "Option::is_none")]
    trips: Option<u64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    cost: Option<Amount>,
}

#[derive(Serialize, JsonSchema)]
struct Delivered<'c> {
    of: &'c str,
    #[serde(skip_serializing_if = "Option::is_none")]
    cost: Option<Amount>,
}

#[derive(Serialize, JsonSchema)]
struct Part<'c> {
    #[serde(skip_serializing_if = "Option::is_none")]
    of: Option<&'c str>,
    cost: Amount,
    not_priced: usize,
}

#[derive(Serialize, JsonSchema)]
struct Split<'c> {
    suppliers: Vec<&'c str>,
    sets_reckoned: u64,
    proven: bool,
}

#[derive(Serialize, JsonSchema)]
struct Trip<'c> {
    #[serde(skip_serializing_if = "Option::is_none")]
    supplier: Option<&'c str>,
    weight: MassMeasure,
    trips: u64,
}

#[derive(Serialize, JsonSchema)]
struct Left<'c> {
    item: &'c str,
    left: String,
}

#[allow(clippy::trivially_copy_pass_by_ref)] // serde asks by reference
pub(super) fn is_zero(count: &u64) -> bool {
    *count == 0
}

/// Writes the bills of jobs.
///
/// # Errors
/// When `out` does.
pub fn buy(jobs: &[(&str, &Compiled)], out: &mut dyn Write) -> io::Result<()> {
    let each = jobs.iter().map(|(file, compiled)| one(file, compiled));
    let together = super::many::of(jobs);
    write(&BuyFile { schema_version: SCHEMA_VERSION, jobs: each.collect(), together }, out)
}

/// What one job adds to the bills of many.
///
/// # Errors
/// When it cannot be put into JSON.
pub fn buy_part(file: &str, compiled: &Compiled) -> io::Result<Vec<u8>> {
    Ok(serde_json::to_vec_pretty(&one(file, compiled))?)
}

fn one<'c>(file: &'c str, compiled: &'c Compiled) -> JobMoney<'c> {
    let units = Units(compiled.job.system());
    JobMoney {
        file,
        title: title(compiled),
        draft: compiled.has_errors(),
        buy: compiled.works.buying.iter().map(|line| super::buy(compiled, units, line)).collect(),
        money: of(compiled, units),
    }
}

pub(super) fn amount(money: units::Money) -> Amount {
    let shown = show::money(money).to_string();
    let digits = shown.split(' ').next().unwrap_or_default().to_owned();
    Amount { amount: digits, currency: money.currency.code() }
}

pub(super) fn of(compiled: &Compiled, units: Units) -> Money<'_> {
    let (job, bill, lines) = (&compiled.job, &compiled.works.bill, &compiled.works.buying);
    let stages: HashMap<usize, BlockId> = bill
        .posts
        .iter()
        .filter_map(|post| match post.of {
            Of::Purchase(at) => Some((at, post.stage?)),
            _ => None,
        })
        .collect();
    let bought = |(at, purchase): (usize, &Purchase)| Bought {
        item: lines.get(purchase.line).map_or("", |line| line.item(job)),
        stock: purchase.stock.map(|stock| job.name(stock)),
        packs: purchase.packs,
        at_hand: purchase.at_hand,
        pack: purchase.holds.map(|(pack, ..)| words::pack(pack, units.0)),
        each_weighs: purchase.weighs.map(|mass| units.mass(mass)),
        supplier: purchase.from.map(|from| job.name(from)),
        stage: stages.get(&at).map(|stage| job.name(*stage)),
        price: purchase.price.map(amount),
        cost: purchase.cost.map(amount),
    };
    let part = |share: &Share| Part {
        of: share.of.map(|id| job.name(id)),
        cost: amount(share.cost),
        not_priced: share.unpriced,
    };
    let delivered = bill.posts.iter().filter_map(|post| {
        let of = match post.of {
            Of::Delivery(supplier) => job.name(supplier),
            Of::HireDelivery(at) => job.name(bill.hires.get(at)?.hire),
            Of::Purchase(_) | Of::Hire(_) | Of::Fee(_) => return None,
        };
        Some(Delivered { of, cost: post.cost.map(amount) })
    });
    Money {
        currency: bill.currency.map(units::Currency::code),
        purchases: bill.purchases.iter().enumerate().map(bought).collect(),
        hired: bill
            .hires
            .iter()
            .map(|hired| Hired {
                hire: job.name(hired.hire),
                days: hired.days,
                count: hired.count,
                cost: hired.cost.map(amount),
            })
            .collect(),
        paid: bill
            .paid
            .iter()
            .map(|paid| Paid {
                fee: job.name(paid.fee),
                trips: paid.rubble.as_ref().and_then(|rubble| rubble.trips),
                cost: paid.cost.map(amount),
            })
            .collect(),
        deliveries: delivered.collect(),
        stages: bill.stages.iter().map(part).collect(),
        suppliers: bill.suppliers.iter().map(part).collect(),
        split: bill.split.as_ref().map(|split| Split {
            suppliers: split.weighed.iter().filter(|id| split.from.contains(id)).map(|id| job.name(*id)).collect(),
            sets_reckoned: split.tried,
            proven: split.proven,
        }),
        trips: bill
            .loads
            .fetched
            .iter()
            .map(|fetched| Trip {
                supplier: fetched.from.map(|from| job.name(from)),
                weight: units.mass(fetched.weight),
                trips: fetched.trips,
            })
            .collect(),
        left: bill
            .left
            .iter()
            .filter_map(|(at, left)| Some(Left { item: lines.get(*at)?.item(job), left: words::left(left, units.0) }))
            .collect(),
        sum: bill.sum.map(amount),
        tax: bill.tax.map(|(_, tax)| amount(tax)),
        contingency: bill.contingency.map(amount),
        total: bill.total.map(amount),
        not_priced: bill.unpriced,
    }
}

//! What bars are cut from.

use crate::{
    job::Job,
    schema::BlockId,
    units::{Length, System},
};

/// How long the bars of a size are that can be bought, when no `stock` of it is written: common practice, no source.
#[must_use]
pub fn usual_stock(system: System) -> Length {
    match system {
        System::Feet => Length::INCH * (20 * 12),
        System::Metric => Length::METRE * 6,
    }
}

/// The longest bars of this size that can be bought, and whether that is only what is usual. What merely lies at hand, in
/// some number and without a price, is no measure for all bars.
#[must_use]
pub fn longest_stock(job: &Job, size: BlockId) -> (Length, bool) {
    let of_size = job.stocks.iter().filter(|stock| stock.say.item.0 == size);
    let bought = of_size.filter(|stock| stock.say.on_hand.is_none() || stock.say.price.is_some());
    match bought.map(|stock| stock.say.length.0).max() {
        Some(length) => (length, false),
        None => (usual_stock(job.system()), true),
    }
}

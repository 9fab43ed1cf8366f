//! What bars are cut from.

use crate::{
    job::Job,
    schema::{BlockId, HookRule},
    units::Length,
    yard::{Shops, Yard},
};

/// How long the bars of a size are that can be bought, when no `stock` of it is written: 20 ft, and 6 m for sizes whose hooks
/// follow EN 1992-1-1; common practice, no source.
#[must_use]
pub fn usual_stock(hooks: HookRule) -> Length {
    match hooks {
        HookRule::Aci => Length::INCH * (20 * 12),
        HookRule::En => Length::METRE * 6,
    }
}

/// What bars of a size are cut from: as the job says, else of the usual length; a shear takes nothing.
pub(super) fn yard(job: &Job, steel: BlockId, shops: Shops) -> Option<Yard> {
    let hooks = job.steel(steel).and_then(|size| size.say.hooks).unwrap_or(HookRule::Aci);
    Yard::new(job, steel, &[usual_stock(hooks)], Length::ZERO, shops)
}

/// The longest bars of this size that can be bought, and whether that is only what is usual. What merely lies at hand, in
/// some number and without a price, is no measure for all bars.
#[must_use]
pub fn longest_stock(job: &Job, size: BlockId) -> (Length, bool) {
    let of_size = Shops::of(job).sell(job, size).into_iter();
    let bought = of_size.filter(|stock| stock.say.on_hand.is_none() || stock.say.price.is_some());
    match bought.filter_map(|stock| stock.say.length).map(|length| length.0).max() {
        Some(length) => (length, false),
        None => {
            let hooks = job.steel(size).and_then(|steel| steel.say.hooks);
            (usual_stock(hooks.unwrap_or(HookRule::Aci)), true)
        }
    }
}

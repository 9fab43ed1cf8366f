//! Money: what a job costs in all, by stage and by supplier; and what its bars and boards cost where nothing else is priced.

use crate::{compile::Compiled, units::Money};

/// The totals: what each is for, and how much.
pub(super) fn totals(compiled: &Compiled) -> Vec<(String, Money)> {
    let works = &compiled.works;
    let bill = &works.bill;
    let name = |id| compiled.job.name(id).to_owned();
    let bars = works.cuts.iter().filter_map(|plan| Some((name(plan.steel), plan.cost?)));
    let boards = works.boards.iter().filter_map(|plan| Some((name(plan.size), plan.cost?)));
    let stages = bill.stages.iter().filter_map(|share| Some((format!("stage {}", name(share.of?)), share.cost)));
    let suppliers = bill.suppliers.iter().filter_map(|share| Some((format!("from {}", name(share.of?)), share.cost)));
    let total = bill.total.map(|total| ("all of it".to_owned(), total));
    bars.chain(boards).chain(stages).chain(suppliers).chain(total).collect()
}

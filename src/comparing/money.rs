//! Money: every total a job comes to, by what it is for. Further totals join in here.

use crate::{compile::Compiled, units::Money};

/// The totals: what each is for, and how much.
pub(super) fn totals(compiled: &Compiled) -> Vec<(String, Money)> {
    let works = &compiled.works;
    let bars = works.cuts.iter().filter_map(|plan| Some((plan.steel, plan.cost?)));
    let boards = works.boards.iter().filter_map(|plan| Some((plan.size, plan.cost?)));
    bars.chain(boards).map(|(of, cost)| (compiled.job.name(of).to_owned(), cost)).collect()
}

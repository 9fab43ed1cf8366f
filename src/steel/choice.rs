//! Which of their ways long bars are cut in: laps chosen together with the cutting plan.
//!
//! A bar that is longer than its stock can be lapped in several ways ([`super::laps`]), and what is bought hangs on all of
//! them at once. So the rows of one size are chosen together: of the choices that keep the laps of neighbouring rows apart,
//! the one whose cutting plan costs least, and of equals the one with the least steel. The choices tried are those of a few
//! prices for a piece, of any two ways taken in turns, and of one row changed by itself, again as long as that betters
//! anything. A plan is made only of choices that lengths and prices do not rule out; work is counted, never timed. The plan
//! is proved best for the pieces that were chosen; that no other choice costs less is not.

use std::collections::BTreeMap;

use super::{
    bars::BarsMade,
    laps::{self, Layout},
    long::LongRow,
    stock::yard,
};
use crate::{
    job::Job,
    schema::BlockId,
    units::{Length, show},
    yard::{Shops, Yard},
};

/// Sorts of pieces the plans that are tried may have in all, so that a job with many of them ends as soon as one with few.
const WORK: u64 = 1_500;
/// Rows the choices that are looked at may have in all.
const LOOKS: u64 = 200_000;

/// The layout of each row of each block, for those blocks where another than the first choice costs less.
#[must_use]
pub fn choose_laps(job: &Job, all: &[BarsMade]) -> BTreeMap<BlockId, Vec<usize>> {
    let mut sizes: BTreeMap<(Length, &str, BlockId), Vec<&BarsMade>> = BTreeMap::new();
    for made in all {
        sizes.entry((made.steel.diameter, job.name(made.steel.id), made.steel.id)).or_default().push(made);
    }
    let mut out = BTreeMap::new();
    for ((_, _, steel), blocks) in sizes {
        if blocks.iter().all(|made| made.rows.is_empty()) {
            continue;
        }
        let Some(yard) = yard(job, steel, Shops::of(job)) else { continue };
        let mut search = Search::new(job, &yard, &blocks);
        search.run();
        for (made, (chosen, first)) in blocks.iter().zip(search.best.into_iter().zip(search.first)) {
            if chosen != first {
                out.insert(made.id, chosen);
            }
        }
    }
    out
}

/// The layout of each row, block by block.
type Choice = Vec<Vec<usize>>;

/// How good a choice is: laps of neighbours too near each other, cost of the plan, steel. Less is better.
type Worth = (u64, i64, Length);

struct Search<'s> {
    job: &'s Job,
    yard: &'s Yard,
    blocks: &'s [&'s BarsMade],
    /// The pieces no choice changes, by cut length.
    fixed: BTreeMap<Length, u64>,
    first: Choice,
    best: Choice,
    worth: Option<Worth>,
    work: u64,
    looks: u64,
}

impl<'s> Search<'s> {
    fn new(job: &'s Job, yard: &'s Yard, blocks: &'s [&'s BarsMade]) -> Self {
        let first: Choice = blocks.iter().map(|made| made.rows.iter().map(|row| row.chosen).collect()).collect();
        let mut search = Self {
            job,
            yard,
            blocks,
            fixed: BTreeMap::new(),
            best: first.clone(),
            first,
            worth: None,
            work: WORK,
            looks: LOOKS,
        };
        // What is made now, less what was chosen for the rows.
        let mut chosen = BTreeMap::new();
        search.add_rows(&search.first, &mut chosen);
        for made in blocks {
            for group in &made.groups {
                let length = show::cut_length(group.shape.cut, job.system());
                *search.fixed.entry(length).or_insert(0) += group.count;
            }
        }
        for (length, count) in chosen {
            if let Some(all) = search.fixed.get_mut(&length) {
                *all = all.saturating_sub(count);
            }
        }
        search.fixed.retain(|_, count| *count > 0);
        search
    }

    /// The pieces of the rows, as they are cut.
    fn add_rows(&self, choice: &Choice, pieces: &mut BTreeMap<Length, u64>) {
        for (made, chosen) in self.blocks.iter().zip(choice) {
            for layout in made.rows.iter().zip(chosen).filter_map(|(row, at)| row.layouts.get(*at)) {
                for cut in &layout.cuts {
                    *pieces.entry(show::cut_length(*cut, self.job.system())).or_insert(0) += 1;
                }
            }
        }
    }

    fn run(&mut self) {
        self.offer(self.first.clone());
        let steel = |layout: &Layout| laps::least_steel(layout);
        let share = |layout: &Layout| self.share(layout);
        let priced: Vec<Choice> = [&steel as &dyn Fn(&Layout) -> i64, &share]
            .into_iter()
            .map(|cost| self.blocks.iter().map(|made| pick(made, cost)).collect())
            .collect();
        for choice in priced {
            self.offer(choice);
        }
        let mut bettered = true;
        while bettered && !self.spent() {
            let before = self.worth;
            for block in 0..self.blocks.len() {
                self.take_turns(block);
            }
            for block in 0..self.blocks.len() {
                self.change_one(block);
            }
            bettered = self.worth < before;
        }
    }

    fn spent(&self) -> bool {
        self.work == 0 || self.looks == 0
    }

    /// What a layout costs if whole stock bars were cut into each of its pieces.
    fn share(&self, layout: &Layout) -> i64 {
        let share = |cut: &Length| {
            let ways = self.yard.out_of_one(show::cut_length(*cut, self.job.system()));
            ways.filter(|(count, _)| *count > 0).map(|(count, price)| price / count).min().unwrap_or(i64::MAX / 1024)
        };
        layout.cuts.iter().map(share).fold(0, i64::saturating_add)
    }

    /// Any two ways, the rows of the block taking turns in the order they lie in.
    fn take_turns(&mut self, block: usize) {
        let Some(made) = self.blocks.get(block) else { return };
        let most = made.rows.iter().map(|row| row.layouts.len()).max().unwrap_or(0);
        let order = in_order(&made.rows);
        for one in 0..most {
            for other in 0..most {
                let mut choice = self.best.clone();
                let Some(rows) = choice.get_mut(block) else { return };
                for (turn, row) in order.iter().enumerate() {
                    let wanted = if turn % 2 == 0 { one } else { other };
                    let there = made.rows.get(*row).is_some_and(|row| wanted < row.layouts.len());
                    if let Some(slot) = rows.get_mut(*row).filter(|_| there) {
                        *slot = wanted;
                    }
                }
                self.offer(choice);
                if self.spent() {
                    return;
                }
            }
        }
    }

    /// Any one row of the block in any other way.
    fn change_one(&mut self, block: usize) {
        let Some(made) = self.blocks.get(block) else { return };
        for (number, row) in made.rows.iter().enumerate() {
            for layout in 0..row.layouts.len() {
                let mut choice = self.best.clone();
                let Some(slot) = choice.get_mut(block).and_then(|rows| rows.get_mut(number)) else { continue };
                *slot = layout;
                self.offer(choice);
                if self.spent() {
                    return;
                }
            }
        }
    }

    /// Takes a choice over if it is better. A plan is made only where lengths and prices alone do not rule it out.
    fn offer(&mut self, choice: Choice) {
        if self.worth.is_some() && choice == self.best || self.spent() {
            return;
        }
        let rows: usize = choice.iter().map(Vec::len).sum();
        self.looks = self.looks.saturating_sub(u64::try_from(rows).unwrap_or(LOOKS));
        let near: u64 = self.blocks.iter().zip(&choice).map(|(made, chosen)| too_near(made, chosen)).sum();
        let steel = self.steel(&choice);
        let mut pieces = self.fixed.clone();
        self.add_rows(&choice, &mut pieces);
        let problem = self.yard.problem(pieces.into_iter());
        if let Some(worth) = self.worth {
            let least = problem.least().unwrap_or(i64::MAX);
            if (near, least, steel) >= worth {
                return;
            }
        }
        self.work = self.work.saturating_sub(u64::try_from(problem.pieces.len()).unwrap_or(WORK).max(1));
        let Ok(plan) = problem.solve() else { return };
        let worth = (near, plan.cost, steel);
        if self.worth.is_none_or(|best| worth < best) {
            self.worth = Some(worth);
            self.best = choice;
        }
    }

    fn steel(&self, choice: &Choice) -> Length {
        let rows = self.blocks.iter().zip(choice).flat_map(|(made, chosen)| made.rows.iter().zip(chosen));
        rows.filter_map(|(row, at)| row.layouts.get(*at)).map(Layout::total).sum()
    }
}

/// The rows in the order they lie in, each beside the next.
fn in_order(rows: &[LongRow]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..rows.len()).collect();
    order.sort_by_key(|at| rows.get(*at).map(LongRow::place));
    order
}

/// The choice of least cost by a price for layouts.
fn pick(made: &BarsMade, cost: &dyn Fn(&Layout) -> i64) -> Vec<usize> {
    let order = in_order(&made.rows);
    let rows: Vec<&[Layout]> = order.iter().filter_map(|at| made.rows.get(*at)).map(|row| &row.layouts[..]).collect();
    let mut out = vec![0; made.rows.len()];
    for (at, chosen) in order.iter().zip(laps::pick(&rows, made.apart, cost)) {
        if let Some(slot) = out.get_mut(*at) {
            *slot = chosen;
        }
    }
    out
}

/// How many rows have a lap too near to one of the row before.
fn too_near(made: &BarsMade, chosen: &[usize]) -> u64 {
    let layout = |at: &usize| made.rows.get(*at)?.layouts.get(*chosen.get(*at)?);
    let layouts: Vec<&Layout> = in_order(&made.rows).iter().filter_map(layout).collect();
    let near = |pair: &[&Layout]| matches!(pair, [one, other] if laps::near(one, other, made.apart));
    layouts.windows(2).map(|pair| u64::from(near(pair))).sum()
}

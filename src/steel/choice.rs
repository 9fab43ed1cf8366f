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
        for block in &search.blocks {
            let rows = block.rows();
            if let (Some(best), Some(first)) = (search.best.get(rows.clone()), search.first.get(rows))
                && best != first
            {
                out.insert(block.made.id, best.to_vec());
            }
        }
    }
    out
}

/// The layout of each row, block after block.
type Choice = Vec<usize>;

/// How good a choice is: laps of neighbours too near each other, cost of the plan, steel. Less is better.
type Worth = (u64, i64, Length);

/// A block with rows to choose for.
struct Block<'s> {
    made: &'s BarsMade,
    /// Which of all rows is its first.
    from: usize,
    /// Its rows in the order they lie in, each beside the next.
    order: Vec<usize>,
}

impl Block<'_> {
    fn rows(&self) -> std::ops::Range<usize> {
        self.from..self.from + self.made.rows.len()
    }

    fn layout(&self, choice: &[usize], row: usize) -> Option<&Layout> {
        self.made.rows.get(row)?.layouts.get(*choice.get(self.from + row)?)
    }

    /// How many rows have a lap too near to one of the row before.
    fn too_near(&self, choice: &[usize]) -> u64 {
        let mut before = None;
        let layouts = self.order.iter().filter_map(|row| self.layout(choice, *row));
        let near = layouts
            .filter(|layout| before.replace(*layout).is_some_and(|before| laps::near(before, layout, self.made.apart)));
        near.count() as u64
    }
}

/// What a layout is cut into: lengths by their number, and their sum.
struct Pieces {
    cuts: Vec<usize>,
    total: Length,
}

struct Search<'s> {
    job: &'s Job,
    yard: &'s Yard,
    blocks: Vec<Block<'s>>,
    /// Of each row, what each of its layouts is cut into.
    rows: Vec<Vec<Pieces>>,
    /// All lengths that are cut, as they are measured off, the shortest first.
    lengths: Vec<Length>,
    /// How many pieces of each length no choice changes.
    fixed: Vec<u64>,
    first: Choice,
    best: Choice,
    worth: Option<Worth>,
    work: u64,
    looks: u64,
}

impl<'s> Search<'s> {
    fn new(job: &'s Job, yard: &'s Yard, all: &[&'s BarsMade]) -> Self {
        let measured = |cut: Length| show::cut_length(cut, job.system());
        let mut blocks: Vec<Block> = Vec::new();
        let mut first: Choice = Vec::new();
        for made in all.iter().copied().filter(|made| !made.rows.is_empty()) {
            blocks.push(Block { made, from: first.len(), order: in_order(&made.rows) });
            first.extend(made.rows.iter().map(|row| row.chosen));
        }
        let layouts = || blocks.iter().flat_map(|block| &block.made.rows).map(|row| &row.layouts);
        let groups = || all.iter().flat_map(|made| &made.groups);
        let mut lengths: Vec<Length> = groups().map(|group| measured(group.shape.cut)).collect();
        lengths.extend(layouts().flatten().flat_map(|layout| &layout.cuts).map(|cut| measured(*cut)));
        lengths.sort_unstable();
        lengths.dedup();
        let number = |cut: Length| lengths.binary_search(&measured(cut)).unwrap_or(0);
        let pieces = |layout: &Layout| Pieces {
            cuts: layout.cuts.iter().map(|cut| number(*cut)).collect(),
            total: layout.total(),
        };
        let rows: Vec<Vec<Pieces>> = layouts().map(|row| row.iter().map(pieces).collect()).collect();
        let mut fixed = vec![0; lengths.len()];
        for group in groups() {
            if let Some(count) = fixed.get_mut(number(group.shape.cut)) {
                *count += group.count;
            }
        }
        let mut search = Self {
            job,
            yard,
            blocks,
            rows,
            lengths,
            fixed,
            best: first.clone(),
            first,
            worth: None,
            work: WORK,
            looks: LOOKS,
        };
        // What is made now, less what was chosen for the rows.
        let mut chosen = vec![0; search.lengths.len()];
        search.add_rows(&search.first, &mut chosen);
        for (all, chosen) in search.fixed.iter_mut().zip(chosen) {
            *all = all.saturating_sub(chosen);
        }
        search
    }

    /// What the rows are cut into.
    fn pieces<'c>(&'c self, choice: &'c [usize]) -> impl Iterator<Item = &'c Pieces> {
        self.rows.iter().zip(choice).filter_map(|(row, at)| row.get(*at))
    }

    /// Counts the pieces of the rows, by length.
    fn add_rows(&self, choice: &[usize], counts: &mut [u64]) {
        for cut in self.pieces(choice).flat_map(|pieces| &pieces.cuts) {
            if let Some(count) = counts.get_mut(*cut) {
                *count += 1;
            }
        }
    }

    fn run(&mut self) {
        self.offer(self.first.clone());
        let steel = |layout: &Layout| laps::least_steel(layout);
        let share = |layout: &Layout| self.share(layout);
        let priced: Vec<Choice> = [&steel as &dyn Fn(&Layout) -> i64, &share]
            .into_iter()
            .map(|cost| self.blocks.iter().flat_map(|block| pick(block, cost)).collect())
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
            for row in 0..self.rows.len() {
                self.change_one(row);
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
        let Some(Block { made, from, .. }) = self.blocks.get(block) else { return };
        let (from, most) = (*from, made.rows.iter().map(|row| row.layouts.len()).max().unwrap_or(0));
        for one in 0..most {
            for other in 0..most {
                let mut choice = self.best.clone();
                let order = self.blocks.get(block).map(|block| &block.order);
                for (turn, row) in order.into_iter().flatten().enumerate() {
                    let wanted = if turn % 2 == 0 { one } else { other };
                    let there = self.rows.get(from + row).is_some_and(|row| wanted < row.len());
                    if let Some(slot) = choice.get_mut(from + row).filter(|_| there) {
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

    /// One row in any other way.
    fn change_one(&mut self, row: usize) {
        for layout in 0..self.rows.get(row).map_or(0, Vec::len) {
            let mut choice = self.best.clone();
            let Some(slot) = choice.get_mut(row) else { return };
            *slot = layout;
            self.offer(choice);
            if self.spent() {
                return;
            }
        }
    }

    /// Takes a choice over if it is better. A plan is made only where lengths and prices alone do not rule it out.
    fn offer(&mut self, choice: Choice) {
        if self.worth.is_some() && choice == self.best || self.spent() {
            return;
        }
        self.looks = self.looks.saturating_sub(u64::try_from(choice.len()).unwrap_or(LOOKS));
        let near: u64 = self.blocks.iter().map(|block| block.too_near(&choice)).sum();
        let steel: Length = self.pieces(&choice).map(|pieces| pieces.total).sum();
        let mut counts = self.fixed.clone();
        self.add_rows(&choice, &mut counts);
        let wanted = self.lengths.iter().copied().zip(counts).filter(|(_, count)| *count > 0);
        let problem = self.yard.problem(wanted);
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
}

/// The rows in the order they lie in, each beside the next.
fn in_order(rows: &[LongRow]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..rows.len()).collect();
    order.sort_by_key(|at| rows.get(*at).map(LongRow::place));
    order
}

/// The choice of least cost by a price for layouts.
fn pick(block: &Block, cost: &dyn Fn(&Layout) -> i64) -> Vec<usize> {
    let rows: Vec<&[Layout]> =
        block.order.iter().filter_map(|at| block.made.rows.get(*at)).map(|row| &row.layouts[..]).collect();
    let mut out = vec![0; block.made.rows.len()];
    for (at, chosen) in block.order.iter().zip(laps::pick(&rows, block.made.apart, cost)) {
        if let Some(slot) = out.get_mut(*at) {
            *slot = chosen;
        }
    }
    out
}

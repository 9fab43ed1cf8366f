//! Among cuts of one cost: one long leftover rather than several short ones.

use super::{
    measure::Measure,
    order::{Bar, Cut, Order},
    packing::{Packed, Packing},
};

/// Bars that are cut anew: those with the most left over.
const BARS: u64 = 12;
/// Nodes of one try.
const NODES: u64 = 2_000;

/// Cuts for the same pieces from the same bars, with the longest leftover that the work finds. With no more than a dozen
/// bars of one stock, and work enough, none is longer.
pub(super) fn gather(order: &Order, cuts: Vec<Cut>, mut work: u64) -> Vec<Cut> {
    let mut cuts = cuts;
    cuts.sort_by_key(|cut| (-room(order, cut), cut.bar));
    let (loose, kept) = split(&cuts);
    let mut kinds: Vec<usize> = loose.iter().map(|cut| cut.bar).collect();
    kinds.dedup();
    kinds.sort_unstable();
    kinds.dedup();
    let mut best = loose;
    for bar in kinds {
        best = emptied(order, best, bar, &mut work);
    }
    merged(kept.into_iter().chain(best).collect())
}

/// What is left of each bar of a cut.
fn room(order: &Order, cut: &Cut) -> i64 {
    order.capacity(cut.bar) - order.filled(&cut.pieces)
}

/// The bars that are cut anew, and the others.
fn split(cuts: &[Cut]) -> (Vec<Cut>, Vec<Cut>) {
    let mut wanted = BARS;
    let (mut loose, mut kept) = (Vec::new(), Vec::new());
    for cut in cuts {
        let times = cut.times.min(wanted);
        wanted -= times;
        for (some, out) in [(times, &mut loose), (cut.times - times, &mut kept)] {
            if some > 0 {
                out.push(Cut { times: some, ..cut.clone() });
            }
        }
    }
    (loose, kept)
}

/// The same cuts with one bar of a kind as empty as can be, if that leaves more of it than is left of any bar so far.
fn emptied(order: &Order, mut cuts: Vec<Cut>, bar: usize, work: &mut u64) -> Vec<Cut> {
    let longest = cuts.iter().map(|cut| room(order, cut)).max().unwrap_or(0);
    let mut counts = vec![0; order.sizes.len()];
    let mut numbers = vec![0; order.bars.len() + 1];
    for cut in &cuts {
        numbers[cut.bar] += cut.times;
        for &(kind, count) in &cut.pieces {
            counts[kind] += count * cut.times;
        }
    }
    // Bars that cost nothing may have been left whole on the way, and then there is none of the kind to empty.
    if numbers[bar] == 0 {
        return cuts;
    }
    let capacity = order.capacity(bar);
    let filled: i64 = cuts.iter().map(|cut| order.filled(&cut.pieces) * i64::try_from(cut.times).unwrap_or(0)).sum();
    numbers[bar] -= 1;
    let others: i64 =
        numbers.iter().enumerate().map(|(bar, &number)| order.capacity(bar) * i64::try_from(number).unwrap_or(0)).sum();
    let least = order.sizes.iter().zip(&counts).filter(|(_, count)| **count > 0).map(|(size, _)| *size).min();
    // The bar has to hold what the others cannot, and one piece at least.
    let mut low = (filled - others).max(least.unwrap_or(0));
    let mut high = capacity - longest - 1;
    if let Some(one) = numbers.last_mut() {
        *one = 1;
    }
    let mut next = low;
    while low <= high && *work > 0 {
        let mut shorter = order.clone();
        shorter.bars.push(Bar { capacity: next, rest: 0, price: 0, limit: 1, endless: false, stock: None });
        shorter.counts.clone_from(&counts);
        let measures = [Measure::material(&shorter)];
        let mut nodes = NODES.min(*work);
        *work -= nodes;
        let packing = Packing { order: &shorter, measures: &measures, breadth: 60 };
        let packed = packing.search(&counts, &numbers, &mut nodes);
        *work += nodes;
        if let Packed::Found(found) = packed {
            let short = order.bars.len();
            let held = found.iter().filter(|cut| cut.bar == short).map(|cut| order.filled(&cut.pieces)).max();
            high = held.unwrap_or(next).min(next) - 1;
            cuts =
                found.into_iter().map(|cut| Cut { bar: if cut.bar == short { bar } else { cut.bar }, ..cut }).collect();
        } else {
            low = next + 1;
        }
        next = low + (high - low) / 2;
    }
    cuts
}

/// Like cuts together.
fn merged(mut cuts: Vec<Cut>) -> Vec<Cut> {
    cuts.sort_by(|a, b| (a.bar, &a.pieces).cmp(&(b.bar, &b.pieces)));
    let mut out: Vec<Cut> = Vec::new();
    for cut in cuts {
        match out.last_mut() {
            Some(last) if last.bar == cut.bar && last.pieces == cut.pieces => last.times += cut.times,
            _ => out.push(cut),
        }
    }
    out
}

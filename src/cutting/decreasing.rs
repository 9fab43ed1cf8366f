//! First fit, best fit and fullest fit, longest piece first: quick plans, with bars cut alike kept together, so that a
//! million like pieces are no more work than one.

use super::{
    knapsack::Knapsack,
    order::{Cut, Order},
};

/// Into which open bar a piece goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fit {
    /// The one opened first.
    First,
    /// The one with the least room left.
    Best,
}

/// Bars opened and filled alike.
#[derive(Clone, Debug)]
struct Open {
    cut: Cut,
    room: i64,
}

/// In which order bars are opened, for each bar that could be the usual one: what costs less for its length than the
/// usual one goes first, the shortest that holds the piece; then the usual one; then the rest.
pub(super) fn preferences(order: &Order) -> Vec<Vec<usize>> {
    let all: Vec<usize> = (0..order.bars.len()).collect();
    let rate = |bar: usize| f64_of(order.price(bar)) / f64_of(order.capacity(bar)).max(1.0);
    let pieces = order.pieces();
    let usual = all.iter().copied().filter(|&bar| {
        let bar = &order.bars[bar];
        bar.stock.is_some() && bar.limit == pieces
    });
    let with = |usual: Option<usize>| {
        let key = |&bar: &usize| {
            let made_up = order.bars[bar].stock.is_none();
            let dearer =
                usual.is_some_and(|usual| rate(bar) > rate(usual) || (rate(bar) == rate(usual) && bar > usual));
            (made_up, usual != Some(bar) && dearer, usual == Some(bar), order.capacity(bar), bar)
        };
        let mut sorted = all.clone();
        sorted.sort_by(|a, b| {
            let (x, y) = (key(a), key(b));
            (x.0, x.1, x.2).cmp(&(y.0, y.1, y.2)).then(rate(*a).total_cmp(&rate(*b))).then((x.3, x.4).cmp(&(y.3, y.4)))
        });
        sorted
    };
    let mut out: Vec<Vec<usize>> = usual.map(|bar| with(Some(bar))).collect();
    if out.is_empty() {
        out.push(with(None));
    }
    out
}

/// Places every piece, longest first, and opens a bar when none open holds it.
pub(super) fn decreasing(
    order: &Order,
    counts: &[u64],
    left: &[u64],
    preference: &[usize],
    fit: Fit,
) -> Option<Vec<Cut>> {
    let mut open: Vec<Open> = Vec::new();
    let mut left = left.to_vec();
    for (kind, &count) in counts.iter().enumerate() {
        let size = order.size(kind);
        let mut rest = count;
        if fit == Fit::Best {
            open.sort_by_key(|bars| bars.room);
        }
        let mut next = Vec::with_capacity(open.len() + 2);
        for bars in open {
            // A bar stays the first that fits, and the one with the least room, until it is full for this kind.
            let each = u64::try_from(bars.room / size).unwrap_or(0);
            if rest == 0 || each == 0 {
                next.push(bars);
                continue;
            }
            let full = (rest / each).min(bars.cut.times);
            rest -= full * each;
            let mut others = bars.cut.times - full;
            if full > 0 {
                next.push(bars.with(kind, each, size, full));
            }
            if rest > 0 && rest < each && others > 0 {
                next.push(bars.with(kind, rest, size, 1));
                rest = 0;
                others -= 1;
            }
            if others > 0 {
                next.push(Open { cut: Cut { times: others, ..bars.cut }, room: bars.room });
            }
        }
        for &bar in preference {
            let capacity = order.capacity(bar);
            let each = u64::try_from(capacity / size).unwrap_or(0);
            if rest == 0 || each == 0 || left[bar] == 0 {
                continue;
            }
            let empty = Open { cut: Cut { times: 1, bar, pieces: Vec::new() }, room: capacity };
            let full = (rest / each).min(left[bar]);
            if full > 0 {
                next.push(empty.with(kind, each, size, full));
                rest -= full * each;
                left[bar] -= full;
            }
            if rest > 0 && rest < each && left[bar] > 0 {
                next.push(empty.with(kind, rest, size, 1));
                rest = 0;
                left[bar] -= 1;
            }
        }
        if rest > 0 {
            return None;
        }
        open = next;
    }
    Some(open.into_iter().map(|bars| bars.cut).collect())
}

impl Open {
    /// So many of them, each with pieces of one more kind.
    fn with(&self, kind: usize, each: u64, size: i64, times: u64) -> Self {
        let mut pieces = self.cut.pieces.clone();
        pieces.push((kind, each));
        let taken = size * i64::try_from(each).unwrap_or(0);
        Self { cut: Cut { times, bar: self.cut.bar, pieces }, room: self.room - taken }
    }
}

/// Fills one bar after the other as full as it can be with the longest piece left in it. Gives up when the bars are not
/// filled within the work, which makes it a plan for the last few bars.
pub(super) fn fullest(
    order: &Order,
    counts: &[u64],
    left: &[u64],
    preference: &[usize],
    work: &mut u64,
) -> Option<Vec<Cut>> {
    let mut counts = counts.to_vec();
    let mut left = left.to_vec();
    let mut cuts: Vec<Cut> = Vec::new();
    while let Some(kind) = counts.iter().position(|&count| count > 0) {
        let size = order.size(kind);
        let bar = preference.iter().copied().find(|&bar| left[bar] > 0 && order.capacity(bar) >= size)?;
        counts[kind] -= 1;
        let knapsack = Knapsack { sizes: &order.sizes, worth: &order.sizes, counts: &counts };
        let mut nodes = 2_000.min(*work);
        *work -= nodes;
        let full = knapsack.fullest(order.capacity(bar) - size, &mut nodes, 0);
        *work += nodes;
        counts[kind] += 1;
        let mut pieces = full.pieces;
        match pieces.first_mut() {
            Some((first, count)) if *first == kind => *count += 1,
            _ => pieces.insert(0, (kind, 1)),
        }
        let times = pieces.iter().map(|&(kind, count)| counts[kind] / count).min()?.min(left[bar]);
        for &(kind, count) in &pieces {
            counts[kind] -= count * times;
        }
        left[bar] -= times;
        cuts.push(Cut { times, bar, pieces });
        *work = work.checked_sub(1)?;
    }
    Some(cuts)
}

/// For comparing only: a length or price as a float.
#[allow(clippy::cast_precision_loss)] // An order of preference needs no more.
fn f64_of(value: i64) -> f64 {
    value as f64
}

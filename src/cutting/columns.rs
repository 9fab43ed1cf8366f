//! Column generation: the linear programme over all ways to fill a bar, of which only those worth having are ever written
//! down (Gilmore and Gomory, 1961). No pattern holds more of a kind than is wanted, which makes the bound sharper.

use super::{
    knapsack::Knapsack,
    measure::Measure,
    order::{Order, Pieces},
    simplex::{Column, Simplex},
};

/// The price of the dearest bar, in the whole numbers prices of pieces are rounded to.
const SCALE: f64 = 1_099_511_627_776.0;
/// By how much of its price a bar has to be worth more than it costs before it comes in.
const GAIN: f64 = 1e-8;
/// No kind is worth so much that a bar of it would not fit 64 bits.
const CEILING: i64 = 1 << 54;

/// Nodes of one search for the fullest bar, and length of the list where they do not do.
pub(super) type Limits = (u64, usize);
/// Enough for nearly every list.
pub(super) const QUICK: &[Limits] = &[(20_000, 1 << 15)];
/// Enough for a sharp bound where nothing less has found anything.
pub(super) const PATIENT: &[Limits] = &[(20_000, 1 << 15), (200_000, 1 << 18)];

/// A pivot counts one, and one more for so many entries of the inverse.
const WORK: u64 = 4_096;

/// One way to fill one bar.
#[derive(Clone, Debug)]
pub(super) struct Pattern {
    /// Which bar of the order.
    pub bar: usize,
    /// What comes out of it.
    pub pieces: Pieces,
}

/// All patterns met so far.
#[derive(Clone, Debug, Default)]
pub(super) struct Patterns {
    all: Vec<Pattern>,
}

/// The answer of the linear programme.
#[derive(Clone, Debug)]
pub(super) struct Relaxed {
    /// Its cost; the least only if the pivots lasted.
    pub cost: f64,
    /// The price of a piece of each kind, not below zero, in money.
    pub prices: Vec<f64>,
    /// Patterns and how often each is used, the most used first.
    pub used: Vec<(Pattern, f64)>,
}

/// What a column stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Id {
    Pattern(usize),
    /// More pieces than wanted, or fewer bars than there are, in this row.
    Slack(usize),
}

impl Patterns {
    /// Adds a pattern.
    pub fn add(&mut self, bar: usize, pieces: Pieces) {
        self.all.push(Pattern { bar, pieces });
    }

    /// Solves the linear programme for the pieces still wanted and the bars still left, and keeps the patterns it met.
    pub fn relax(
        &mut self,
        order: &Order,
        counts: &[u64],
        left: &[u64],
        limits: &[Limits],
        pivots: &mut u64,
    ) -> Relaxed {
        let rows = Rows::new(order, counts, left);
        let start = self.start(order, &rows, counts);
        let mut ids: Vec<Id> = start.iter().map(|&(id, _, _)| id).collect();
        let numbered: Vec<(usize, f64, f64)> =
            start.iter().enumerate().map(|(at, &(_, cost, entry))| (at, cost, entry)).collect();
        let mut simplex = Simplex::new(&numbered, &rows.wanted);
        // A pattern that holds more of a kind than is still wanted would make the bound blunter.
        let mut proper: Vec<(usize, f64, Column)> = Vec::new();
        let mut seen = 0;
        while *pivots > 0 {
            *pivots = pivots.saturating_sub(1 + u64::try_from(rows.wanted.len().pow(2)).unwrap_or(0) / WORK);
            for (at, pattern) in self.all.iter().enumerate().skip(seen) {
                if let Some(column) = rows.column(pattern, counts) {
                    proper.push((at, cost_of(order, pattern.bar), column));
                }
            }
            seen = self.all.len();
            let prices = simplex.prices();
            let entered = match self.best(order, &rows, &proper, &prices) {
                Some((id, cost, column)) => {
                    ids.push(id);
                    simplex.enter(ids.len() - 1, cost, &column)
                }
                None => {
                    let mut limits = limits.iter();
                    if limits.any(|&limits| self.price(order, &rows, counts, &prices, limits)) {
                        continue;
                    }
                    false
                }
            };
            if !entered {
                break;
            }
        }
        let prices = simplex.prices();
        let mut used: Vec<(Pattern, f64)> = Vec::new();
        for (id, level) in simplex.levels() {
            if let Some(Id::Pattern(at)) = ids.get(id)
                && level > 1e-6
            {
                used.push((self.all[*at].clone(), level));
            }
        }
        used.sort_by(|(a, x), (b, y)| y.total_cmp(x).then_with(|| (a.bar, &a.pieces).cmp(&(b.bar, &b.pieces))));
        let mut of_kind = vec![0.0; order.sizes.len()];
        for (&kind, price) in rows.kinds.iter().zip(&prices) {
            of_kind[kind] = price.max(0.0);
        }
        Relaxed { cost: simplex.cost(), prices: of_kind, used }
    }

    /// One column for every row: the bar that is cheapest filled with that kind alone, and bars not used.
    fn start(&mut self, order: &Order, rows: &Rows, counts: &[u64]) -> Vec<(Id, f64, f64)> {
        let mut out = Vec::with_capacity(rows.wanted.len());
        for &kind in &rows.kinds {
            let each =
                |bar: usize| u64::try_from(order.capacity(bar) / order.size(kind)).unwrap_or(0).min(counts[kind]);
            let rate = |bar: usize| cost_of(order, bar) / float(each(bar));
            let bar = (0..order.bars.len())
                .filter(|&bar| rows.of_bar[bar].is_none() && each(bar) > 0)
                .min_by(|&a, &b| rate(a).total_cmp(&rate(b)))
                .unwrap_or(0);
            let count = each(bar).max(1);
            self.add(bar, vec![(kind, count)]);
            out.push((Id::Pattern(self.all.len() - 1), cost_of(order, bar), float(count)));
        }
        for row in rows.kinds.len()..rows.wanted.len() {
            out.push((Id::Slack(row), 0.0, 1.0));
        }
        out
    }

    /// The known column that saves most, if one saves anything.
    fn best(
        &self,
        order: &Order,
        rows: &Rows,
        proper: &[(usize, f64, Column)],
        prices: &[f64],
    ) -> Option<(Id, f64, Column)> {
        let least = GAIN * scale_cost(order);
        let mut best: Option<(usize, f64)> = None;
        for (at, (_, cost, column)) in proper.iter().enumerate() {
            let gain = column.iter().map(|&(row, entry)| entry * prices[row]).sum::<f64>() - cost;
            if gain > least && best.is_none_or(|(_, most)| gain > most) {
                best = Some((at, gain));
            }
        }
        let kinds = rows.kinds.len();
        // A piece of a price below zero: make more of them than are wanted. A bar at hand that costs: leave it.
        let slack = prices.iter().enumerate().map(|(row, &price)| (row, if row < kinds { -price } else { price }));
        let slack = slack.filter(|&(_, gain)| gain > least).max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
        match (best, slack) {
            (best, Some((row, gain))) if best.is_none_or(|(_, most)| gain > most) => {
                Some((Id::Slack(row), 0.0, vec![(row, if row < kinds { -1.0 } else { 1.0 })]))
            }
            (Some((at, _)), _) => {
                let (pattern, cost, column) = proper.get(at)?;
                Some((Id::Pattern(*pattern), *cost, column.clone()))
            }
            (None, _) => None,
        }
    }

    /// Looks for patterns worth more than their bar costs, and adds the best one of each bar. Whether there was any.
    fn price(&mut self, order: &Order, rows: &Rows, counts: &[u64], prices: &[f64], limits: Limits) -> bool {
        let highest = scale_cost(order);
        let mut worth = vec![0; order.sizes.len()];
        for (&kind, &price) in rows.kinds.iter().zip(prices) {
            let most = CEILING / (order.capacity(0) / order.size(kind)).max(1);
            worth[kind] = whole(price / highest * SCALE).clamp(0, most);
        }
        let before = self.all.len();
        let knapsack = Knapsack { sizes: &order.sizes, worth: &worth, counts };
        for bar in 0..order.bars.len() {
            let due = rows.of_bar[bar].map_or(0.0, |row| -prices[row]);
            let cost = cost_of(order, bar) + due.max(0.0);
            if rows.left[bar] == 0 {
                continue;
            }
            let full = knapsack.fullest(order.capacity(bar), &mut limits.0.clone(), limits.1);
            if float(u64::try_from(full.worth).unwrap_or(0)) / SCALE * highest > cost + GAIN * highest {
                self.add(bar, full.pieces);
            }
        }
        self.all.len() > before
    }
}

impl Relaxed {
    /// Its prices in whole numbers, so many to the price of the dearest bar, as a measure of these pieces.
    pub fn measure(&self, order: &Order, counts: &[u64], scale: Option<i64>) -> Measure {
        let scale = scale.map_or(SCALE, |scale| float(u64::try_from(scale).unwrap_or(0)));
        let highest = scale_cost(order);
        let worth = self.prices.iter().zip(&order.sizes).map(|(&price, &size)| {
            let most = CEILING / (order.capacity(0) / size).max(1);
            whole(price / highest * scale).clamp(0, most)
        });
        Measure::of(order, counts, worth.collect())
    }
}

/// The rows of the programme: the kinds still wanted, then the bars that may run out.
struct Rows {
    kinds: Vec<usize>,
    wanted: Vec<f64>,
    of_kind: Vec<Option<usize>>,
    of_bar: Vec<Option<usize>>,
    left: Vec<u64>,
}

impl Rows {
    fn new(order: &Order, counts: &[u64], left: &[u64]) -> Self {
        let kinds: Vec<usize> = (0..counts.len()).filter(|&kind| counts[kind] > 0).collect();
        let pieces = order.pieces();
        let mut wanted: Vec<f64> = Vec::new();
        let mut of_kind = vec![None; counts.len()];
        for (row, &kind) in kinds.iter().enumerate() {
            of_kind[kind] = Some(row);
            // A little more than wanted, by a different part for each kind: no two rows then tie for long.
            let part = (float(u64::try_from(row).unwrap_or(0)) * 0.618_033_988_749_895).fract();
            wanted.push(float(counts[kind]) + 1e-7 * (1.0 + part));
        }
        let mut of_bar = vec![None; order.bars.len()];
        for (at, bar) in order.bars.iter().enumerate() {
            if bar.limit < pieces {
                of_bar[at] = Some(wanted.len());
                wanted.push(float(left[at]));
            }
        }
        Self { kinds, wanted, of_kind, of_bar, left: left.to_vec() }
    }

    /// The column of a pattern, if it holds only what is still wanted and its bar is still left.
    fn column(&self, pattern: &Pattern, counts: &[u64]) -> Option<Column> {
        if self.left[pattern.bar] == 0 || pattern.pieces.iter().any(|&(kind, count)| count > counts[kind]) {
            return None;
        }
        let mut column: Column = Vec::with_capacity(pattern.pieces.len() + 1);
        for &(kind, count) in &pattern.pieces {
            column.push((self.of_kind[kind]?, float(count)));
        }
        column.extend(self.of_bar[pattern.bar].map(|row| (row, 1.0)));
        Some(column)
    }
}

/// The price of a bar as a float.
#[allow(clippy::cast_precision_loss)] // The programme is a guide; what comes of it is checked in integers.
fn cost_of(order: &Order, bar: usize) -> f64 {
    order.price(bar) as f64
}

/// The price of the dearest bar.
fn scale_cost(order: &Order) -> f64 {
    (0..order.bars.len()).map(|bar| cost_of(order, bar)).fold(0.0, f64::max).max(1.0)
}

#[allow(clippy::cast_precision_loss)] // As above.
fn float(count: u64) -> f64 {
    count as f64
}

#[allow(clippy::cast_possible_truncation)] // A float beyond 64 bits becomes the largest number, and is clamped.
fn whole(value: f64) -> i64 {
    value.round() as i64
}

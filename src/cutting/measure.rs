//! Lower bounds in whole numbers: what every piece is worth, and what no bar holds more of. The length of a piece is such a
//! worth; the prices the linear programme puts on pieces are the sharpest one.

use super::{
    knapsack::Knapsack,
    order::{Cut, Order, common_divisor},
};

/// Nodes of the search for a fullest bar, and length of the list where they do not do.
const NODES: u64 = 200_000;
const LIST: usize = 1 << 18;
/// Most sets of bars looked at between two costs.
const SETS: usize = 20_000;
/// Most steps taken to list them.
const STEPS: usize = 400_000;

/// A worth for every kind, and the most that any filling of each bar is worth.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Measure {
    /// Of one piece of each kind of the order.
    pub worth: Vec<i64>,
    /// Of the fullest of each bar of the order, or more.
    pub fullest: Vec<i64>,
}

impl Measure {
    /// By length, kerf included.
    pub fn lengths(order: &Order) -> Self {
        let length = |size: &i64| size * order.divisor;
        Self {
            worth: order.sizes.iter().map(length).collect(),
            fullest: order.bars.iter().map(|bar| bar.capacity * order.divisor + bar.rest).collect(),
        }
    }

    /// By what pieces take of a bar, less what the common divisor leaves of it: as sharp as lengths, or sharper.
    pub fn material(order: &Order) -> Self {
        Self { worth: order.sizes.clone(), fullest: order.bars.iter().map(|bar| bar.capacity).collect() }
    }

    /// Any worth, with the fullest bars of these pieces worked out for it.
    pub fn of(order: &Order, counts: &[u64], worth: Vec<i64>) -> Self {
        let knapsack = Knapsack { sizes: &order.sizes, worth: &worth, counts };
        let mut last: Option<(i64, i64)> = None;
        let mut fullest = Vec::with_capacity(order.bars.len());
        for bar in &order.bars {
            let bound = match last {
                Some((capacity, bound)) if capacity == bar.capacity => bound,
                _ => knapsack.fullest(bar.capacity, &mut NODES.clone(), LIST).bound,
            };
            last = Some((bar.capacity, bound));
            fullest.push(bound);
        }
        Self { worth, fullest }
    }

    /// The measures behind Martello and Toth's bound L2 (Knapsack Problems, 1990, chapter 8), for bars of one length. For a
    /// threshold K, a piece above C − K counts as a whole bar, one below K as nothing, any other by its length; and, since
    /// no bar holds two of them, a piece above half a bar counts one and any other nothing.
    pub fn thresholds(order: &Order) -> Vec<Self> {
        let Some(capacity) = order.bars.first().map(|bar| bar.capacity) else { return Vec::new() };
        if order.bars.iter().any(|bar| bar.capacity != capacity) {
            return Vec::new();
        }
        let measure = |fullest: i64, worth: &dyn Fn(i64) -> i64| Self {
            worth: order.sizes.iter().map(|&size| worth(size)).collect(),
            fullest: vec![fullest; order.bars.len()],
        };
        let mut out = vec![measure(1, &|size| i64::from(2 * size > capacity))];
        for &threshold in order.sizes.iter().filter(|&&size| 2 * size <= capacity) {
            out.push(measure(capacity, &|size| match size {
                _ if size > capacity - threshold => capacity,
                _ if size < threshold => 0,
                _ => size,
            }));
        }
        out
    }

    /// The same for an order with one more bar, as long as the longest.
    pub fn with_another_of_the_longest(&self) -> Self {
        let mut more = self.clone();
        more.fullest.extend(self.fullest.first());
        more
    }

    /// What pieces are worth together.
    pub fn total(&self, counts: &[u64]) -> i128 {
        self.worth.iter().zip(counts).map(|(&worth, &count)| i128::from(worth) * i128::from(count)).sum()
    }

    /// What so many of each bar are worth at their fullest.
    pub fn hold(&self, numbers: &[u64]) -> i128 {
        self.fullest.iter().zip(numbers).map(|(&worth, &number)| i128::from(worth) * i128::from(number)).sum()
    }

    /// The least cost of bars that could hold the worth, parts of bars allowed. `None` when the numbers grow too large.
    ///
    /// One unit of cost buys at most as much worth as the best endless bar gives; a bar at hand that gives more gives that
    /// much more, as often as there is one.
    pub fn bound(&self, order: &Order) -> Option<i64> {
        let bars = || order.bars.iter().zip(&self.fullest);
        let rate = bars()
            .filter(|(bar, _)| bar.endless)
            .map(|(bar, &worth)| (worth, bar.price))
            .reduce(|a, b| if i128::from(b.0) * i128::from(a.1) > i128::from(a.0) * i128::from(b.1) { b } else { a });
        let (most, price) = rate.unwrap_or((1, 1));
        if most <= 0 {
            return Some(0);
        }
        let mut rest = self.total(&order.counts).checked_mul(price.into())?;
        for (bar, &worth) in bars() {
            let gain = i128::from(worth) * i128::from(price) - i128::from(most) * i128::from(bar.price);
            rest = rest.checked_sub(gain.max(0).checked_mul(bar.limit.into())?)?;
        }
        let most = i128::from(most);
        i64::try_from(rest.max(0).checked_add(most - 1)? / most).ok()
    }
}

/// The bound of each measure, rounded up to a cost that bars can come to at all.
pub(super) fn bound(order: &Order, measures: &[Measure]) -> i64 {
    let step = order.bars.iter().fold(0, |a, bar| common_divisor(a, bar.price)).max(1);
    let least = measures.iter().filter_map(|measure| measure.bound(order)).max().unwrap_or(0);
    (least + step - 1) / step * step
}

/// Sets of bars: how many of each.
pub(super) type Numbers = Vec<u64>;

/// All sets of bars that cost no less than one cost and less than another and could hold the worth by every measure, by
/// rising cost. Bars that cost nothing are all in. `None` when there are too many to list.
pub(super) fn sets(order: &Order, measures: &[Measure], from: i64, below: i64) -> Option<Vec<(i64, Numbers)>> {
    let bars = order.bars.len();
    let mut base: Numbers = vec![0; bars];
    let mut paid: Vec<usize> = Vec::new();
    for (at, bar) in order.bars.iter().enumerate() {
        if bar.price == 0 {
            base[at] = bar.limit;
        } else {
            paid.push(at);
        }
    }
    // The dearest last: it is the one whose number follows from the others.
    paid.sort_by_key(|&at| (order.price(at), at));
    let need: Vec<i128> = measures.iter().map(|measure| measure.total(&order.counts) - measure.hold(&base)).collect();
    let Some(&last) = paid.last() else {
        let fits = from <= 0 && below > 0 && need.iter().all(|&need| need <= 0);
        return Some(if fits { vec![(0, base)] } else { Vec::new() });
    };
    let others = &paid[..paid.len() - 1];
    let mut out = Vec::new();
    let mut numbers = base;
    let (mut cost, mut steps) = (0_i64, 0_usize);
    loop {
        steps += 1;
        if steps > STEPS {
            return None;
        }
        // The last bar makes up what is missing.
        let lacking = |numbers: &Numbers| {
            measures
                .iter()
                .zip(&need)
                .map(|(measure, need)| {
                    let held: i128 =
                        others.iter().map(|&at| i128::from(measure.fullest[at]) * i128::from(numbers[at])).sum();
                    let rest = need - held;
                    match i128::from(measure.fullest[last]) {
                        _ if rest <= 0 => Some(0),
                        0 => None,
                        each => u64::try_from((rest + each - 1) / each).ok(),
                    }
                })
                .try_fold(0_u64, |most, one| one.map(|one| most.max(one)))
        };
        if let Some(least) = lacking(&numbers) {
            let price = order.price(last);
            let short = from.saturating_sub(cost).max(0);
            let least = least.max(u64::try_from((short + price - 1) / price).unwrap_or(0));
            let mut number = least;
            while number <= order.bars[last].limit {
                let total = i128::from(cost) + i128::from(price) * i128::from(number);
                if total >= i128::from(below) {
                    break;
                }
                let mut set = numbers.clone();
                set[last] = number;
                out.push((i64::try_from(total).ok()?, set));
                if out.len() > SETS {
                    return None;
                }
                number += 1;
            }
        }
        // Count on, like figures on a wheel, as long as the cost allows.
        let mut turned = false;
        for &at in others {
            if numbers[at] < order.bars[at].limit && cost + order.price(at) < below {
                numbers[at] += 1;
                cost += order.price(at);
                turned = true;
                break;
            }
            cost -= order.price(at) * i64::try_from(numbers[at]).unwrap_or(0);
            numbers[at] = 0;
        }
        if !turned {
            break;
        }
    }
    out.sort();
    Some(out)
}

/// How many of each bar cuts use.
pub(super) fn used(order: &Order, cuts: &[Cut]) -> Numbers {
    let mut numbers = vec![0; order.bars.len()];
    for cut in cuts {
        numbers[cut.bar] += cut.times;
    }
    numbers
}

//! Ways down from the linear programme to whole bars.

use super::{
    columns::{QUICK, Relaxed},
    decreasing::{Fit, decreasing, fullest},
    measure::{Measure, Numbers, sets, used},
    order::Cut,
    packing::{Packed, Packing},
    search::Search,
};

/// With so few bars to go, they are searched for.
const FEW: f64 = 16.0;
/// So many different amounts are left for the rest.
const LEAVES: u32 = 3;
/// What counts as whole in the programme, and as no dearer.
const NEARLY: f64 = 1e-4;
/// Parts tried at each step of a way down.
const PARTS: usize = 6;

impl Search<'_> {
    /// Rounds the linear programme down, again and again, each time another way.
    pub fn improve(&mut self, relaxed: &Relaxed, ways: u32) {
        for way in 0..ways {
            self.dive(relaxed, way);
            if self.closed() || self.effort.pivots == 0 {
                return;
            }
        }
    }

    /// One way down. The first way takes whole patterns as often as the programme does, then a part of one, and so on. It
    /// is quick, and now and then spoils the rest: what is left of a list is a list of its own, with a bound of its own. The
    /// other ways leave more for the rest and go pattern by pattern; of the next ones, the first is taken that does not make
    /// the rest too dear. The figures of a way say how much it leaves, and at which steps it takes the second one.
    fn dive(&mut self, relaxed: &Relaxed, way: u32) {
        let order = self.order;
        let mut rest = Rest { counts: order.counts.clone(), left: order.limits(), cuts: Vec::new() };
        let left_over = f64::from(way % LEAVES);
        for (pattern, level) in &relaxed.used {
            rest.take(pattern.bar, &pattern.pieces, level - left_over + NEARLY);
        }
        let mut next = self.patterns.relax(order, &rest.counts, &rest.left, QUICK, &mut self.effort.pivots);
        let mut packed = false;
        for depth in 0_u32.. {
            self.finish(&rest);
            if self.closed() || rest.is_done() || self.effort.pivots == 0 {
                return;
            }
            let few = next.used.iter().map(|(_, level)| level).sum::<f64>() <= FEW;
            if few && !packed {
                packed = true;
                let sharp = [Measure::material(order), next.measure(order, &rest.counts, None)];
                self.pack_rest(&rest, &sharp);
                if self.closed() {
                    return;
                }
            }
            let mut parts = next.used;
            parts.sort_by(|a, b| b.1.min(1.0).total_cmp(&a.1.min(1.0)));
            let skipped = usize::from(depth < 6 && (way / LEAVES) >> depth & 1 == 1 && parts.len() > 1);
            let mut found = None;
            for (pattern, level) in parts.into_iter().skip(skipped).take(PARTS) {
                let mut tried = rest.clone();
                tried.take(pattern.bar, &pattern.pieces, (level - left_over).max(1.0) + NEARLY);
                let after = self.patterns.relax(order, &tried.counts, &tried.left, QUICK, &mut self.effort.pivots);
                let dearest = to_float(self.cost - self.step - order.cost(&tried.cuts));
                if after.cost - NEARLY <= dearest {
                    found = Some((tried, after));
                    break;
                }
            }
            let Some((tried, after)) = found else { return };
            (rest, next) = (tried, after);
            if way == 0 {
                for (pattern, level) in &next.used {
                    rest.take(pattern.bar, &pattern.pieces, level + NEARLY);
                }
                next = self.patterns.relax(order, &rest.counts, &rest.left, QUICK, &mut self.effort.pivots);
            }
        }
    }

    /// Cuts the rest in the quick ways.
    fn finish(&mut self, rest: &Rest) {
        let order = self.order;
        let Rest { counts, left, cuts } = rest;
        for preference in self.preferences.clone() {
            let first = decreasing(order, counts, left, &preference, Fit::First);
            let best = decreasing(order, counts, left, &preference, Fit::Best);
            let full = fullest(order, counts, left, &preference, &mut self.effort.nodes);
            for rest in [first, best, full].into_iter().flatten() {
                self.offer(cuts.iter().cloned().chain(rest).collect());
            }
        }
    }

    /// Looks for the rest in the bars that the cheapest sets have left.
    fn pack_rest(&mut self, rest: &Rest, measures: &[Measure]) {
        let Rest { counts, cuts, .. } = rest;
        let taken = used(self.order, cuts);
        let Some(sets) = sets(self.order, &self.measures, self.bound, self.cost) else { return };
        for (_, numbers) in sets.iter().take(8) {
            let rest: Option<Numbers> =
                numbers.iter().zip(&taken).map(|(all, taken)| all.checked_sub(*taken)).collect();
            let Some(rest) = rest else { continue };
            let packing = Packing { order: self.order, measures, breadth: 200 };
            let mut work = self.effort.nodes.min(100_000);
            self.effort.nodes -= work;
            let packed = packing.search(counts, &rest, &mut work);
            self.effort.nodes += work;
            if let Packed::Found(rest) = packed {
                self.offer(cuts.iter().cloned().chain(rest).collect());
                return;
            }
        }
    }
}

/// What is still to be cut, on the way down.
#[derive(Clone, Debug)]
struct Rest {
    counts: Vec<u64>,
    left: Numbers,
    /// What has been cut.
    cuts: Vec<Cut>,
}

impl Rest {
    fn is_done(&self) -> bool {
        self.counts.iter().all(|&count| count == 0)
    }

    /// Takes a pattern as often as its level says and pieces and bars allow.
    fn take(&mut self, bar: usize, pieces: &[(usize, u64)], level: f64) {
        let allowed = pieces.iter().map(|&(kind, count)| self.counts[kind] / count.max(1)).min().unwrap_or(0);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // Rounding down is what is wanted.
        let times = (level as u64).min(allowed).min(self.left[bar]);
        if times == 0 {
            return;
        }
        for &(kind, count) in pieces {
            self.counts[kind] -= count * times;
        }
        self.left[bar] -= times;
        self.cuts.push(Cut { times, bar, pieces: pieces.to_vec() });
    }
}

#[allow(clippy::cast_precision_loss)] // Only decides whether to go on looking.
fn to_float(cost: i64) -> f64 {
    cost as f64
}

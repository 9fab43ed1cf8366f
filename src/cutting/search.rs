//! The way from a quick plan to the best one: bounds from below, better plans from above, until they meet or the work is done.

use super::{
    columns::{PATIENT, Patterns, QUICK, Relaxed},
    decreasing::{Fit, decreasing, fullest, preferences},
    leftover::gather,
    measure::{Measure, Numbers, bound, sets, used},
    order::{Cut, Order, common_divisor},
    packing::{Packed, Packing},
};

/// How much work is done at most. Counted, not timed, so that every machine comes to the same plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Pivots of the linear programme.
    pub pivots: u64,
    /// Fillings looked at in searching.
    pub nodes: u64,
}

impl Default for Effort {
    fn default() -> Self {
        Self { pivots: 60_000, nodes: 12_000_000 }
    }
}

/// What ended the search.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Ended {
    /// The cost is the bound by material.
    Material,
    /// The cost is the bound by this measure, with material beside it.
    Measured(Measure),
    /// Every set of bars that costs less was tried.
    Searched,
    /// The work.
    Worked,
}

/// The best cuts found, and what is known about them.
#[derive(Clone, Debug)]
pub(super) struct Best {
    pub cuts: Vec<Cut>,
    /// No cuts cost less than this.
    pub bound: i64,
    pub ended: Ended,
    /// What first fit, longest piece first, comes to.
    pub quick: Vec<Cut>,
}

/// Ways down.
const WAYS: u32 = 24;
/// With so few bars to go, they are searched for.
const FEW: f64 = 16.0;
/// So many different amounts are left for the rest.
const LEAVES: u32 = 3;
/// What counts as whole in the programme, and as no dearer.
const NEARLY: f64 = 1e-4;
/// Parts tried at each step of a way down.
const PARTS: usize = 6;

/// The search.
pub(super) struct Search<'a> {
    order: &'a Order,
    preferences: Vec<Vec<usize>>,
    best: Vec<Cut>,
    cost: i64,
    bound: i64,
    measures: Vec<Measure>,
    patterns: Patterns,
    effort: Effort,
    /// What all prices are whole multiples of.
    step: i64,
}

impl<'a> Search<'a> {
    /// Cuts for an order.
    pub fn run(order: &'a Order, effort: Effort) -> Best {
        let mut search = Self {
            order,
            preferences: preferences(order),
            best: Vec::new(),
            cost: i64::MAX,
            bound: 0,
            measures: vec![Measure::material(order)],
            patterns: Patterns::default(),
            effort,
            step: order.bars.iter().fold(0, |a, bar| common_divisor(a, bar.price)).max(1),
        };
        let quick = search.start();
        let ended = search.close();
        let cuts = gather(order, search.best, search.effort.nodes.min(30_000));
        Best { cuts, bound: search.bound, ended, quick }
    }

    /// First fit and best fit; the cheapest cuts of first fit.
    fn start(&mut self) -> Vec<Cut> {
        let limits = self.order.limits();
        let mut quick: Option<Vec<Cut>> = None;
        for fit in [Fit::First, Fit::Best] {
            for preference in self.preferences.clone() {
                let Some(cuts) = decreasing(self.order, &self.order.counts, &limits, &preference, fit) else {
                    continue;
                };
                let cheaper = quick.as_ref().is_none_or(|quick| self.order.cost(&cuts) < self.order.cost(quick));
                if fit == Fit::First && cheaper {
                    quick = Some(cuts.clone());
                }
                self.offer(cuts);
            }
        }
        quick.unwrap_or_default()
    }

    /// Takes cuts over if they are cheaper, or as cheap and simpler.
    fn offer(&mut self, cuts: Vec<Cut>) {
        let cost = self.order.cost(&cuts);
        // One setting of the saw less is worth having where it costs nothing.
        if cost < self.cost || cost == self.cost && cuts.len() < self.best.len() {
            self.cost = cost;
            self.best = cuts;
        }
    }

    fn closed(&self) -> bool {
        self.cost <= self.bound
    }

    /// Raises the bound to the cheapest set of bars that could do by the measures.
    fn measure(&mut self) {
        self.bound = bound(self.order, &self.measures).max(self.bound);
        if self.order.bars.len() > 1
            && self.bound < self.cost
            && let Some(sets) = sets(self.order, &self.measures, self.bound, self.cost)
        {
            self.bound = sets.first().map_or(self.cost, |(cost, _)| *cost);
        }
    }

    fn close(&mut self) -> Ended {
        self.measure();
        if self.closed() {
            return Ended::Material;
        }
        let by_material = self.bound;
        let sharper = Measure::thresholds(self.order).into_iter().map(|measure| (measure.bound(self.order), measure));
        let sharpest = sharper.reduce(|a, b| if b.0 > a.0 { b } else { a });
        if let Some((Some(bound), measure)) = sharpest
            && bound > self.bound
        {
            self.measures.push(measure.clone());
            self.measure();
            if self.closed() {
                return Ended::Measured(measure);
            }
        }
        for cut in self.best.clone() {
            self.patterns.add(cut.bar, cut.pieces);
        }
        let relaxed =
            self.patterns.relax(self.order, &self.order.counts, &self.order.limits(), PATIENT, &mut self.effort.pivots);
        let sharp = relaxed.measure(self.order, &self.order.counts, None);
        self.measures.push(sharp.clone());
        self.measure();
        let measured = self.bound;
        if !self.closed() {
            self.improve(&relaxed);
        }
        let unknown = !self.closed() && !self.exhaust();
        if unknown {
            return Ended::Worked;
        }
        match self.cost {
            cost if cost <= by_material => Ended::Material,
            cost if cost <= measured => Ended::Measured(self.plain(&relaxed).unwrap_or(sharp)),
            _ => Ended::Searched,
        }
    }

    /// The same bound with smaller numbers, if there are any.
    fn plain(&self, relaxed: &Relaxed) -> Option<Measure> {
        let material = self.measures.first()?;
        [1, 2, 3, 4, 5, 6, 8, 10, 12, 24, 60, 100, 1_000, 10_000, 1_000_000].into_iter().find_map(|scale| {
            let measures = [material.clone(), relaxed.measure(self.order, &self.order.counts, Some(scale))];
            let reached = bound(self.order, &measures);
            let proves = reached >= self.cost
                || self.order.bars.len() > 1
                    && sets(self.order, &measures, reached, self.cost).is_some_and(|sets| sets.is_empty());
            let [_, measure] = measures;
            proves.then_some(measure)
        })
    }

    /// Rounds the linear programme down, again and again, each time another way.
    fn improve(&mut self, relaxed: &Relaxed) {
        for way in 0..WAYS {
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

    /// Tries all cheaper sets of bars, cheapest first. Whether none is left open.
    fn exhaust(&mut self) -> bool {
        let Some(sets) = sets(self.order, &self.measures, self.bound, self.cost) else { return false };
        let mut open = false;
        let share = self.effort.nodes / u64::try_from(sets.len()).unwrap_or(1).max(1);
        for (cost, numbers) in sets {
            if cost >= self.cost {
                break;
            }
            if !open {
                self.bound = cost;
            }
            let packing = Packing { order: self.order, measures: &self.measures, breadth: 20_000 };
            match packing.search(&self.order.counts, &numbers, &mut share.clone()) {
                Packed::Found(cuts) => {
                    self.offer(cuts);
                }
                Packed::Never => {}
                Packed::Unknown => open = true,
            }
        }
        if !open {
            self.bound = self.cost;
        }
        !open
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

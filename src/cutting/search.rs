//! The way from a quick plan to the best one: bounds from below, better plans from above, until they meet or the work is done.

use super::{
    columns::{PATIENT, Patterns, QUICK, Relaxed},
    decreasing::{Fit, decreasing, preferences},
    leftover::gather,
    measure::{Measure, Numbers, bound, sets},
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
        Self { pivots: 120_000, nodes: 8_000_000 }
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

/// What the price of the dearest bar is rounded to, small numbers first.
const SCALES: [i64; 15] = [1, 2, 3, 4, 5, 6, 8, 10, 12, 24, 60, 100, 1_000, 10_000, 1_000_000];
/// Ways down from the linear programme.
const WAYS: u32 = 24;
/// The same where there are several bars to choose from, or all are given.
const FEW_WAYS: u32 = 4;

/// So many sets of bars may stay open before the others are left.
const OPEN: u64 = 6;
/// Into so many parts the work for sets of bars is divided at most.
const SHARES: u64 = 40;

/// The search.
pub(super) struct Search<'a> {
    pub order: &'a Order,
    pub preferences: Vec<Vec<usize>>,
    pub best: Vec<Cut>,
    pub cost: i64,
    pub bound: i64,
    pub measures: Vec<Measure>,
    pub patterns: Patterns,
    pub effort: Effort,
    /// What all prices are whole multiples of.
    pub step: i64,
    /// Whether it only asks if given bars hold the pieces.
    fixed: bool,
}

impl<'a> Search<'a> {
    /// Cuts for an order.
    pub fn run(order: &'a Order, effort: Effort) -> Best {
        let mut search = Self::new(order, effort);
        let quick = search.start();
        let ended = search.close();
        let cuts = gather(order, search.best, search.effort.nodes.min(10_000));
        Best { cuts, bound: search.bound, ended, quick }
    }

    fn new(order: &'a Order, effort: Effort) -> Self {
        Self {
            order,
            preferences: preferences(order),
            best: Vec::new(),
            cost: i64::MAX,
            bound: 0,
            measures: vec![Measure::lengths(order)],
            patterns: Patterns::default(),
            effort,
            step: order.bars.iter().fold(0, |a, bar| common_divisor(a, bar.price)).max(1),
            fixed: false,
        }
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
    pub fn offer(&mut self, cuts: Vec<Cut>) {
        let cost = self.order.cost(&cuts);
        // One setting of the saw less is worth having where it costs nothing.
        if cost < self.cost || cost == self.cost && cuts.len() < self.best.len() {
            self.cost = cost;
            self.best = cuts;
        }
    }

    pub fn closed(&self) -> bool {
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
        let by_length = self.bound;
        let mut sharper = Measure::thresholds(self.order);
        sharper.push(Measure::material(self.order));
        let sharper = sharper.into_iter().map(|measure| (measure.bound(self.order), measure));
        let sharpest = sharper.reduce(|a, b| if b.0 > a.0 { b } else { a });
        if let Some((_, measure)) = sharpest {
            self.measures.push(measure.clone());
            self.measure();
            if self.closed() {
                return Ended::Measured(measure);
            }
        }
        // The search needs what is lost of a bar as exactly as it can be known.
        self.measures.push(Measure::material(self.order));
        for cut in self.best.clone() {
            self.patterns.add(cut.bar, cut.pieces);
        }
        let relaxed =
            self.patterns.relax(self.order, &self.order.counts, &self.order.limits(), PATIENT, &mut self.effort.pivots);
        let sharp = relaxed.measure(self.order, &self.order.counts, None);
        self.measures.push(sharp);
        self.measure();
        let measured = self.bound;
        if !self.closed() {
            // With several prices the bound is seldom met, and every way would be gone.
            let ways = if self.order.bars.len() == 1 { WAYS } else { FEW_WAYS };
            self.improve(&relaxed, ways);
        }
        let unknown = !self.closed() && !self.exhaust();
        if unknown {
            return Ended::Worked;
        }
        match self.cost {
            cost if cost <= by_length => Ended::Material,
            cost if cost <= measured => self.plain(&relaxed).map_or(Ended::Searched, Ended::Measured),
            _ => Ended::Searched,
        }
    }

    /// The measure that with the lengths alone proves the cost, in the smallest numbers it can be told in.
    fn plain(&self, relaxed: &Relaxed) -> Option<Measure> {
        let lengths = self.measures.first()?;
        let scaled = SCALES.iter().map(|&scale| relaxed.measure(self.order, &self.order.counts, Some(scale)));
        scaled.chain(self.measures.iter().cloned()).find(|measure| {
            let measures = [lengths.clone(), measure.clone()];
            let reached = bound(self.order, &measures);
            reached >= self.cost
                || self.order.bars.len() > 1
                    && sets(self.order, &measures, reached, self.cost).is_some_and(|sets| sets.is_empty())
        })
    }

    /// Tries all cheaper sets of bars, cheapest first. Whether none is left open.
    fn exhaust(&mut self) -> bool {
        let Some(sets) = sets(self.order, &self.measures, self.bound, self.cost) else { return false };
        let mut open = false;
        let mut unknown = 0;
        let mut to_go = u64::try_from(sets.len()).unwrap_or(u64::MAX).clamp(1, SHARES);
        for (cost, numbers) in sets {
            if cost >= self.cost || unknown > OPEN {
                break;
            }
            if !open {
                self.bound = cost;
            }
            let mut share = Effort { pivots: self.effort.pivots / to_go, nodes: self.effort.nodes / to_go };
            to_go = (to_go - 1).max(1);
            let given = share;
            match self.holds(&numbers, &mut share) {
                Packed::Found(cuts) => self.offer(cuts),
                Packed::Never => {}
                Packed::Unknown => {
                    open = true;
                    unknown += 1;
                }
            }
            self.effort.pivots -= given.pivots - share.pivots;
            self.effort.nodes -= given.nodes - share.nodes;
        }
        if !open {
            self.bound = self.cost;
        }
        !open
    }

    /// Whether a set of bars holds all the pieces.
    fn holds(&self, numbers: &Numbers, effort: &mut Effort) -> Packed {
        if self.order.bars.len() == 1 || self.fixed {
            let packing = Packing { order: self.order, measures: &self.measures, breadth: 20_000 };
            return packing.search(&self.order.counts, numbers, &mut effort.nodes);
        }
        // With several bars, a set of them is an order of its own: its bars cost nothing, and one more costs one.
        let order = self.order.with(numbers);
        let mut search = Search { fixed: true, patterns: self.patterns.clone(), ..Search::new(&order, *effort) };
        search.measures = self.measures.iter().map(Measure::with_another_of_the_longest).collect();
        search.start();
        if !search.closed() {
            let limits = order.limits();
            let relaxed = search.patterns.relax(&order, &order.counts, &limits, QUICK, &mut search.effort.pivots);
            search.measures.push(relaxed.measure(&order, &order.counts, None));
            search.measure();
            if search.bound == 0 {
                search.improve(&relaxed, FEW_WAYS);
            }
            if !search.closed() && search.bound == 0 {
                search.exhaust();
            }
        }
        *effort = search.effort;
        match (search.cost, search.bound) {
            (0, _) => Packed::Found(search.best),
            (_, 0) => Packed::Unknown,
            _ => Packed::Never,
        }
    }
}

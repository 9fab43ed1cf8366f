//! A problem in the form the solver works on: each length once, longest first, the kerf taken up into lengths and bars.

use std::cmp::Reverse;

use super::problem::{Problem, Refusal};

/// Pieces of one bar: kind and count, by rising kind, no count zero.
pub(super) type Pieces = Vec<(usize, u64)>;

/// One stock, as the solver sees it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bar {
    /// What it holds of sizes.
    pub capacity: i64,
    /// What the common divisor leaves over of its length: no piece can use it.
    pub rest: i64,
    /// Price of one.
    pub price: i64,
    /// How many can ever be used.
    pub limit: u64,
    /// Whether the limit is no limit: as many can be had as there are pieces, and it is not free.
    pub endless: bool,
    /// Which stock of the problem; none for a bar that nobody has, put in so that there always is a plan.
    pub stock: Option<usize>,
}

/// The pieces wanted and the bars there are.
#[derive(Clone, Debug)]
pub(super) struct Order {
    /// Length and kerf of each kind, falling, each once, their common divisor taken out.
    pub sizes: Vec<i64>,
    /// How many of each are wanted.
    pub counts: Vec<u64>,
    /// The common divisor.
    pub divisor: i64,
    /// The kinds of piece of the problem behind each.
    pub members: Vec<Vec<usize>>,
    /// By falling capacity.
    pub bars: Vec<Bar>,
    /// Stock of the problem that is left out, and the stock that is no shorter, costs no more and never runs out.
    pub beaten: Vec<(usize, usize)>,
}

/// Bars cut alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Cut {
    /// How many.
    pub times: u64,
    /// Which bar of the order.
    pub bar: usize,
    /// What comes out of each.
    pub pieces: Pieces,
}

impl Order {
    /// Brings a problem that has passed its check into order.
    pub fn new(problem: &Problem) -> Result<Self, Refusal> {
        let mut kinds: Vec<usize> = (0..problem.pieces.len()).collect();
        kinds.retain(|&kind| problem.pieces.get(kind).is_some_and(|piece| piece.count > 0));
        let length = |kind: usize| problem.pieces.get(kind).map_or(0, |piece| piece.length);
        kinds.sort_by_key(|&kind| (-length(kind), kind));
        let mut order = Self {
            sizes: Vec::new(),
            counts: Vec::new(),
            divisor: 1,
            members: Vec::new(),
            bars: Vec::new(),
            beaten: Vec::new(),
        };
        for kind in kinds {
            let size = length(kind) + problem.kerf;
            let count = problem.pieces.get(kind).map_or(0, |piece| piece.count);
            match (order.sizes.last(), order.counts.last_mut(), order.members.last_mut()) {
                (Some(&last), Some(sum), Some(members)) if last == size => {
                    *sum += count;
                    members.push(kind);
                }
                _ => {
                    order.sizes.push(size);
                    order.counts.push(count);
                    order.members.push(vec![kind]);
                }
            }
        }
        let divisor = order.sizes.iter().fold(0, |a, &b| common_divisor(a, b)).max(1);
        for size in &mut order.sizes {
            *size /= divisor;
        }
        order.divisor = divisor;
        order.stock(problem)?;
        Ok(order)
    }

    fn stock(&mut self, problem: &Problem) -> Result<(), Refusal> {
        let pieces = self.pieces();
        let shortest = self.sizes.last().copied().unwrap_or(0);
        for (at, stock) in problem.stock.iter().enumerate() {
            let length = stock.length + problem.kerf;
            let (capacity, rest) = (length / self.divisor, length % self.divisor);
            let limit = stock.limit.unwrap_or(pieces).min(pieces);
            let endless = limit == pieces && stock.price > 0;
            if capacity >= shortest && limit > 0 {
                self.bars.push(Bar { capacity, rest, price: stock.price, limit, endless, stock: Some(at) });
            }
        }
        self.bars.sort_by_key(|bar| (-bar.capacity, -bar.rest, bar.price, Reverse(bar.limit), bar.stock));
        // Of bars for less and as long, there is always one to take instead.
        let mut kept: Vec<Bar> = Vec::with_capacity(self.bars.len());
        for bar in self.bars.drain(..) {
            match kept.iter().find(|other| other.limit == pieces && other.price <= bar.price) {
                Some(other) => self.beaten.extend(bar.stock.zip(other.stock)),
                None => kept.push(bar),
            }
        }
        self.bars = kept;
        let longest = self.sizes.first().copied().unwrap_or(0);
        let holds_all = |bar: &Bar| bar.limit == pieces && bar.capacity >= longest;
        if pieces > 0 && !self.bars.iter().any(holds_all) {
            // Dearer than everything else together: it is used only where nothing else does.
            let all: i128 = self.bars.iter().map(|bar| i128::from(bar.price) * i128::from(bar.limit)).sum();
            let price = i64::try_from(all + 1).map_err(|_| Refusal::TooLarge)?;
            let (capacity, rest) = self.bars.first().map_or((0, 0), |bar| (bar.capacity, bar.rest));
            self.bars.insert(0, Bar { capacity, rest, price, limit: pieces, endless: true, stock: None });
        }
        let dearest: i128 = self.bars.iter().map(|bar| i128::from(bar.price)).max().unwrap_or(0);
        if dearest * i128::from(pieces) > i128::from(i64::MAX / 4) {
            return Err(Refusal::TooLarge);
        }
        Ok(())
    }

    /// The same pieces, and so many of each bar, all for nothing; last, a bar as long as the longest that costs one.
    pub fn with(&self, numbers: &[u64]) -> Self {
        let mut order = self.clone();
        for (bar, &number) in order.bars.iter_mut().zip(numbers) {
            *bar = Bar { price: 0, limit: number, endless: false, ..*bar };
        }
        let (capacity, rest) = self.bars.first().map_or((0, 0), |bar| (bar.capacity, bar.rest));
        order.bars.push(Bar { capacity, rest, price: 1, limit: self.pieces(), endless: true, stock: None });
        order
    }

    /// How many pieces are wanted.
    pub fn pieces(&self) -> u64 {
        self.counts.iter().sum()
    }

    /// The size of a kind.
    pub fn size(&self, kind: usize) -> i64 {
        self.sizes.get(kind).copied().unwrap_or(0)
    }

    /// What pieces take of a bar.
    pub fn filled(&self, pieces: &[(usize, u64)]) -> i64 {
        pieces.iter().map(|&(kind, count)| self.size(kind) * i64::try_from(count).unwrap_or(0)).sum()
    }

    /// The price of a bar.
    pub fn price(&self, bar: usize) -> i64 {
        self.bars.get(bar).map_or(0, |bar| bar.price)
    }

    /// What a bar holds.
    pub fn capacity(&self, bar: usize) -> i64 {
        self.bars.get(bar).map_or(0, |bar| bar.capacity)
    }

    /// What cuts cost together.
    pub fn cost(&self, cuts: &[Cut]) -> i64 {
        cuts.iter().map(|cut| self.price(cut.bar) * i64::try_from(cut.times).unwrap_or(0)).sum()
    }

    /// How many of each bar there are.
    pub fn limits(&self) -> Vec<u64> {
        self.bars.iter().map(|bar| bar.limit).collect()
    }
}

/// The greatest whole number that divides both; zero is divided by all.
pub(super) fn common_divisor(mut a: i64, mut b: i64) -> i64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

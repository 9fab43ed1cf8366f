//! Whether a set of bars holds all the pieces: a search that knows how much every bar may waste.
//!
//! The bars hold so much at most, by every measure, and the pieces come to so much; the difference is all that may be lost.
//! The longest piece left has to lie in some bar, and it may as well be one that no further piece fits into; so the search
//! tries all such bars that lose no more than is left to lose, and remembers what it has found not to fit.

use std::collections::HashSet;

use super::{
    measure::{Measure, Numbers},
    order::{Cut, Order, Pieces},
};

/// Most numbers kept to remember what does not fit.
const REMEMBERED: usize = 8 << 20;

/// What a step of the search counts, next to a look at one kind in one filling.
const STEP: u64 = 10;

/// What came of a search.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Packed {
    /// It fits, in this way.
    Found(Vec<Cut>),
    /// It does not fit: everything was tried.
    Never,
    /// The work ran out.
    Unknown,
}

/// A search for a packing.
pub(super) struct Packing<'a> {
    /// Sizes and bars.
    pub order: &'a Order,
    /// Measures that hold for all the pieces of the order, material among them.
    pub measures: &'a [Measure],
    /// Most fillings of one bar that are tried; more are left out, and then nothing is proved.
    pub breadth: usize,
}

/// One bar on the way, and the fillings of it still to be tried.
#[derive(Debug)]
struct Frame {
    fillings: Vec<Filling>,
    next: usize,
    whole: bool,
}

#[derive(Clone, Debug)]
struct Filling {
    bar: usize,
    pieces: Pieces,
    /// What it loses by each measure.
    loss: Vec<i64>,
}

/// Where the search stands.
struct State {
    counts: Vec<u64>,
    numbers: Numbers,
    spare: Vec<i128>,
}

impl Packing<'_> {
    /// Looks for a way to get the pieces out of so many of each bar.
    pub fn search(&self, counts: &[u64], numbers: &[u64], work: &mut u64) -> Packed {
        let spare = self.measures.iter().map(|measure| measure.hold(numbers) - measure.total(counts)).collect();
        let mut state = State { counts: counts.to_vec(), numbers: numbers.to_vec(), spare };
        if state.spare.iter().any(|&spare| spare < 0) {
            return Packed::Never;
        }
        let mut failed: HashSet<Vec<u64>> = HashSet::new();
        let mut kept = 0;
        let mut proves = true;
        let mut frames: Vec<Frame> = Vec::new();
        if state.counts.iter().all(|&count| count == 0) {
            return Packed::Found(Vec::new());
        }
        frames.push(self.frame(&state, work));
        while let Some(frame) = frames.last_mut() {
            if *work == 0 {
                return Packed::Unknown;
            }
            *work = work.saturating_sub(STEP);
            let Some(filling) = frame.fillings.get(frame.next).cloned() else {
                proves &= frame.whole;
                frames.pop();
                let key = state.key();
                kept += key.len();
                if kept <= REMEMBERED {
                    failed.insert(key);
                }
                if let Some(last) = frames.last_mut() {
                    if let Some(undone) = last.fillings.get(last.next) {
                        state.give_back(undone);
                    }
                    last.next += 1;
                }
                continue;
            };
            state.take(&filling);
            if state.counts.iter().all(|&count| count == 0) {
                return Packed::Found(grouped(&frames));
            }
            if failed.contains(&state.key()) {
                state.give_back(&filling);
                frame.next += 1;
                continue;
            }
            let next = self.frame(&state, work);
            frames.push(next);
        }
        if proves { Packed::Never } else { Packed::Unknown }
    }

    /// The fillings of a bar that takes the longest piece left, those that lose least first.
    fn frame(&self, state: &State, work: &mut u64) -> Frame {
        let mut frame = Frame { fillings: Vec::new(), next: 0, whole: true };
        let Some(kind) = state.counts.iter().position(|&count| count > 0) else { return frame };
        let mut last = 0;
        for (bar, &number) in state.numbers.iter().enumerate() {
            let capacity = self.order.capacity(bar);
            // Bars of one length hold the same: which of them is used does not matter.
            if number > 0 && capacity != last && capacity >= self.order.size(kind) {
                last = capacity;
                self.fill(state, bar, kind, &mut frame, work);
            }
        }
        frame.fillings.sort_by(|a, b| {
            // The last measure is the sharpest. Long pieces first: short ones fit anywhere later.
            a.loss.iter().rev().cmp(b.loss.iter().rev()).then_with(|| a.pieces.cmp(&b.pieces))
        });
        frame
    }

    /// Adds every filling of one bar with that kind in it, nothing further fitting, that loses no more than may be lost.
    fn fill(&self, state: &State, bar: usize, first: usize, frame: &mut Frame, work: &mut u64) {
        let kinds: Vec<usize> = (first..state.counts.len()).filter(|&kind| state.counts[kind] > 0).collect();
        let shelf = Shelf::new(self, state, bar, &kinds);
        let mut taken = vec![0_u64; kinds.len()];
        let mut worth = vec![0_i64; self.measures.len()];
        let (mut room, mut at) = (self.order.capacity(bar), 0);
        loop {
            while at < kinds.len() && room >= shelf.least {
                if *work == 0 {
                    frame.whole = false;
                    return;
                }
                *work -= 1;
                if shelf.loses_too_much(at, room, &worth) {
                    break;
                }
                let size = shelf.sizes[at];
                let count = state.counts[kinds[at]].min(u64::try_from(room / size).unwrap_or(0));
                taken[at] = count;
                room -= shelf.shift(at, count, &mut worth);
                at += 1;
            }
            if shelf.is_full(&taken, room, &state.counts, &kinds) {
                let loss: Vec<i64> = shelf.fullest.iter().zip(&worth).map(|(most, worth)| most - worth).collect();
                if loss.iter().zip(&state.spare).all(|(&loss, &spare)| i128::from(loss) <= spare) {
                    if frame.fillings.len() >= self.breadth {
                        frame.whole = false;
                        return;
                    }
                    let pieces = kinds.iter().copied().zip(taken.iter().copied()).filter(|&(_, count)| count > 0);
                    frame.fillings.push(Filling { bar, pieces: pieces.collect(), loss });
                }
            }
            let Some(last) = taken[..at].iter().rposition(|&count| count > 0) else { return };
            if last == 0 && taken[0] == 1 {
                return;
            }
            taken[last] -= 1;
            room += shelf.sizes[last];
            for (worth, of) in worth.iter_mut().zip(&shelf.worth) {
                *worth -= of[last];
            }
            at = last + 1;
        }
    }
}

/// What the filling of one bar looks up again and again.
struct Shelf {
    sizes: Vec<i64>,
    least: i64,
    /// By measure, of each kind.
    worth: Vec<Vec<i64>>,
    /// By measure: the most a unit of room is worth from a kind on, rounded up.
    rate: Vec<Vec<f64>>,
    /// By measure: what all pieces from a kind on are worth.
    rest: Vec<Vec<f64>>,
    /// By measure: what this bar holds at most.
    fullest: Vec<i64>,
    /// By measure: what it has to hold at least.
    wanted: Vec<f64>,
}

impl Shelf {
    fn new(packing: &Packing, state: &State, bar: usize, kinds: &[usize]) -> Self {
        let sizes: Vec<i64> = kinds.iter().map(|&kind| packing.order.size(kind)).collect();
        let least = sizes.iter().copied().min().unwrap_or(i64::MAX);
        let mut shelf =
            Self { sizes, least, worth: vec![], rate: vec![], rest: vec![], fullest: vec![], wanted: vec![] };
        for (measure, &spare) in packing.measures.iter().zip(&state.spare) {
            let worth: Vec<i64> = kinds.iter().map(|&kind| measure.worth[kind]).collect();
            let mut rate = vec![0.0; kinds.len() + 1];
            let mut rest = vec![0.0; kinds.len() + 1];
            for at in (0..kinds.len()).rev() {
                // Rounded up by far more than a float can be wrong.
                let own = float(worth[at]) / float(shelf.sizes[at]) * (1.0 + 1e-9);
                rate[at] = own.max(rate[at + 1]);
                rest[at] = rest[at + 1] + float(worth[at]) * many(state.counts[kinds[at]]);
            }
            shelf.worth.push(worth);
            shelf.rate.push(rate);
            shelf.rest.push(rest);
            shelf.fullest.push(measure.fullest[bar]);
            let spare = i64::try_from(spare).unwrap_or(i64::MAX / 4).min(i64::MAX / 4);
            shelf.wanted.push(float(measure.fullest[bar] - spare));
        }
        shelf
    }

    /// Whether a bar filled so far cannot become worth enough by some measure.
    fn loses_too_much(&self, at: usize, room: i64, worth: &[i64]) -> bool {
        let room = float(room);
        let measures = self.rate.iter().zip(&self.rest).zip(worth).zip(&self.wanted);
        measures.into_iter().any(|(((rate, rest), &worth), &wanted)| {
            let most = float(worth) + (room * rate[at]).min(rest[at]);
            most + most.abs() * 1e-9 + 1.0 < wanted
        })
    }

    /// Adds the worth of some more pieces; the room they take.
    fn shift(&self, at: usize, count: u64, worth: &mut [i64]) -> i64 {
        let count = i64::try_from(count).unwrap_or(0);
        for (sum, of) in worth.iter_mut().zip(&self.worth) {
            *sum += of[at] * count;
        }
        self.sizes[at] * count
    }

    /// Whether no piece that is left fits as well.
    fn is_full(&self, taken: &[u64], room: i64, counts: &[u64], kinds: &[usize]) -> bool {
        let fits = |at: &usize| self.sizes[*at] <= room;
        !(0..kinds.len()).rev().take_while(fits).any(|at| taken[at] < counts[kinds[at]])
    }
}

impl State {
    fn key(&self) -> Vec<u64> {
        self.counts.iter().chain(&self.numbers).copied().collect()
    }

    fn take(&mut self, filling: &Filling) {
        for &(kind, count) in &filling.pieces {
            self.counts[kind] -= count;
        }
        self.numbers[filling.bar] -= 1;
        for (spare, &loss) in self.spare.iter_mut().zip(&filling.loss) {
            *spare -= i128::from(loss);
        }
    }

    fn give_back(&mut self, filling: &Filling) {
        for &(kind, count) in &filling.pieces {
            self.counts[kind] += count;
        }
        self.numbers[filling.bar] += 1;
        for (spare, &loss) in self.spare.iter_mut().zip(&filling.loss) {
            *spare += i128::from(loss);
        }
    }
}

/// The bars on the way, like ones together.
fn grouped(frames: &[Frame]) -> Vec<Cut> {
    let mut cuts: Vec<Cut> = Vec::new();
    for filling in frames.iter().filter_map(|frame| frame.fillings.get(frame.next)) {
        match cuts.last_mut() {
            Some(cut) if cut.bar == filling.bar && cut.pieces == filling.pieces => cut.times += 1,
            _ => cuts.push(Cut { times: 1, bar: filling.bar, pieces: filling.pieces.clone() }),
        }
    }
    cuts
}

/// For bounds that are rounded the safe way.
#[allow(clippy::cast_precision_loss)]
fn float(value: i64) -> f64 {
    value as f64
}

/// As above.
#[allow(clippy::cast_precision_loss)]
fn many(count: u64) -> f64 {
    count as f64
}

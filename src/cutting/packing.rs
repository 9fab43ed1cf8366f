//! Whether a set of bars holds all the pieces: a search that knows how much every bar may waste.
//!
//! The bars hold so much at most, by every measure, and the pieces come to so much; the difference is all that may be lost.
//! The longest piece left has to lie in some bar, and it may as well be one that no further piece fits into; so the search
//! tries all such bars that lose no more than is left to lose, and remembers what it has found not to fit.

use foldhash::HashSet;

use super::{
    measure::{Measure, Numbers},
    order::{Cut, Order},
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

/// One bar on the way, and the fillings of it still to be tried. What the fillings hold stands in one list, so that a bar more
/// on the way costs no memory of its own: frames are used again.
#[derive(Debug, Default)]
struct Frame {
    fillings: Vec<Filling>,
    /// Of all fillings, one behind the other.
    pieces: Vec<(usize, u64)>,
    /// Of all fillings, what each loses by each measure.
    losses: Vec<i64>,
    next: usize,
    whole: bool,
}

#[derive(Clone, Copy, Debug)]
struct Filling {
    bar: usize,
    /// Where its pieces begin, and where they end.
    pieces: (usize, usize),
    /// Where its losses begin.
    losses: usize,
}

impl Frame {
    fn clear(&mut self) {
        self.fillings.clear();
        self.pieces.clear();
        self.losses.clear();
        self.next = 0;
        self.whole = true;
    }

    fn pieces(&self, filling: Filling) -> &[(usize, u64)] {
        &self.pieces[filling.pieces.0..filling.pieces.1]
    }

    fn losses(&self, filling: Filling, measures: usize) -> &[i64] {
        &self.losses[filling.losses..filling.losses + measures]
    }
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
        let mut failed: HashSet<Vec<u64>> = HashSet::default();
        let mut kept = 0;
        let mut proves = true;
        let mut shelf = Shelf::default();
        let mut key = Vec::new();
        // The bars on the way, and frames behind them that are not in use.
        let mut frames: Vec<Frame> = vec![Frame::default()];
        let mut depth = 1;
        if state.counts.iter().all(|&count| count == 0) {
            return Packed::Found(Vec::new());
        }
        self.frame(&state, &mut frames[0], &mut shelf, work);
        while depth > 0 {
            if *work == 0 {
                return Packed::Unknown;
            }
            *work = work.saturating_sub(STEP);
            let frame = &mut frames[depth - 1];
            let Some(filling) = frame.fillings.get(frame.next).copied() else {
                proves &= frame.whole;
                depth -= 1;
                state.key(&mut key);
                kept += key.len();
                if kept <= REMEMBERED {
                    failed.insert(key.clone());
                }
                if let Some(last) = depth.checked_sub(1).and_then(|last| frames.get_mut(last)) {
                    if let Some(undone) = last.fillings.get(last.next) {
                        state.give_back(last, *undone);
                    }
                    last.next += 1;
                }
                continue;
            };
            state.take(frame, filling);
            if state.counts.iter().all(|&count| count == 0) {
                return Packed::Found(grouped(&frames[..depth]));
            }
            state.key(&mut key);
            if failed.contains(key.as_slice()) {
                state.give_back(frame, filling);
                frame.next += 1;
                continue;
            }
            if frames.len() == depth {
                frames.push(Frame::default());
            }
            self.frame(&state, &mut frames[depth], &mut shelf, work);
            depth += 1;
        }
        if proves { Packed::Never } else { Packed::Unknown }
    }

    /// The fillings of a bar that takes the longest piece left, those that lose least first.
    fn frame(&self, state: &State, frame: &mut Frame, shelf: &mut Shelf, work: &mut u64) {
        frame.clear();
        let Some(kind) = state.counts.iter().position(|&count| count > 0) else { return };
        let mut last = 0;
        for (bar, &number) in state.numbers.iter().enumerate() {
            let capacity = self.order.capacity(bar);
            // Bars of one length hold the same: which of them is used does not matter.
            if number > 0 && capacity != last && capacity >= self.order.size(kind) {
                last = capacity;
                self.fill(state, bar, kind, frame, shelf, work);
            }
        }
        let mut fillings = std::mem::take(&mut frame.fillings);
        let measures = self.measures.len();
        fillings.sort_by(|&a, &b| {
            // The last measure is the sharpest. Long pieces first: short ones fit anywhere later.
            let losses = frame.losses(a, measures).iter().rev().cmp(frame.losses(b, measures).iter().rev());
            losses.then_with(|| frame.pieces(a).cmp(frame.pieces(b)))
        });
        frame.fillings = fillings;
    }

    /// Adds every filling of one bar with that kind in it, nothing further fitting, that loses no more than may be lost.
    fn fill(&self, state: &State, bar: usize, first: usize, frame: &mut Frame, shelf: &mut Shelf, work: &mut u64) {
        shelf.set(self, state, bar, first);
        let kinds = shelf.sizes.len();
        let (mut room, mut at) = (self.order.capacity(bar), 0);
        loop {
            while at < kinds && room >= shelf.least {
                if *work == 0 {
                    frame.whole = false;
                    return;
                }
                *work -= 1;
                if shelf.loses_too_much(at, room) {
                    break;
                }
                let count = shelf.counts[at].min(u64::try_from(room / shelf.sizes[at]).unwrap_or(0));
                shelf.taken[at] = count;
                room -= shelf.add(at, count);
                at += 1;
            }
            if shelf.is_full(room) {
                let losses = frame.losses.len();
                let loss = shelf.measures.iter().map(|measure| measure.fullest - measure.held);
                frame.losses.extend(loss);
                let too_much = |(&loss, &spare): (&i64, &i128)| i128::from(loss) > spare;
                if frame.losses[losses..].iter().zip(&state.spare).any(too_much) {
                    frame.losses.truncate(losses);
                } else if frame.fillings.len() >= self.breadth {
                    frame.whole = false;
                    return;
                } else {
                    let from = frame.pieces.len();
                    let pieces = shelf.kinds.iter().copied().zip(shelf.taken.iter().copied());
                    frame.pieces.extend(pieces.filter(|&(_, count)| count > 0));
                    frame.fillings.push(Filling { bar, pieces: (from, frame.pieces.len()), losses });
                }
            }
            let Some(last) = shelf.taken[..at].iter().rposition(|&count| count > 0) else { return };
            if last == 0 && shelf.taken[0] == 1 {
                return;
            }
            shelf.taken[last] -= 1;
            room += shelf.sizes[last];
            shelf.remove_one(last);
            at = last + 1;
        }
    }
}

/// What the filling of one bar looks up again and again. Used again for the next.
#[derive(Debug, Default)]
struct Shelf {
    /// The kinds that may go in, longest first.
    kinds: Vec<usize>,
    /// How many of each there are.
    counts: Vec<u64>,
    /// How many of each are in.
    taken: Vec<u64>,
    sizes: Vec<i64>,
    least: i64,
    measures: Vec<Gauge>,
}

/// A measure of what one bar is filled with.
#[derive(Debug, Default)]
struct Gauge {
    /// Of each kind.
    worth: Vec<i64>,
    /// The most a unit of room is worth from a kind on, rounded up.
    rate: Vec<f64>,
    /// What all pieces from a kind on are worth.
    rest: Vec<f64>,
    /// What this bar holds at most.
    fullest: i64,
    /// What it has to hold at least.
    wanted: f64,
    /// What is in.
    held: i64,
}

impl Shelf {
    fn set(&mut self, packing: &Packing, state: &State, bar: usize, first: usize) {
        let order = packing.order;
        self.kinds.clear();
        self.kinds.extend((first..state.counts.len()).filter(|&kind| state.counts[kind] > 0));
        let kinds = &self.kinds;
        self.counts.clear();
        self.counts.extend(kinds.iter().map(|&kind| state.counts[kind]));
        self.sizes.clear();
        self.sizes.extend(kinds.iter().map(|&kind| order.size(kind)));
        self.taken.clear();
        self.taken.resize(kinds.len(), 0);
        self.least = self.sizes.iter().copied().min().unwrap_or(i64::MAX);
        self.measures.resize_with(packing.measures.len(), Gauge::default);
        for ((gauge, measure), &spare) in self.measures.iter_mut().zip(packing.measures).zip(&state.spare) {
            gauge.worth.clear();
            gauge.worth.extend(kinds.iter().map(|&kind| measure.worth[kind]));
            for of in [&mut gauge.rate, &mut gauge.rest] {
                of.clear();
                of.resize(kinds.len() + 1, 0.0);
            }
            for at in (0..kinds.len()).rev() {
                // Rounded up by far more than a float can be wrong.
                let own = float(gauge.worth[at]) / float(self.sizes[at]) * (1.0 + 1e-9);
                gauge.rate[at] = own.max(gauge.rate[at + 1]);
                gauge.rest[at] = gauge.rest[at + 1] + float(gauge.worth[at]) * many(self.counts[at]);
            }
            let spare = i64::try_from(spare).unwrap_or(i64::MAX / 4).min(i64::MAX / 4);
            gauge.fullest = measure.fullest[bar];
            gauge.wanted = float(gauge.fullest - spare);
            gauge.held = 0;
        }
    }

    /// Whether a bar filled so far cannot become worth enough by some measure.
    fn loses_too_much(&self, at: usize, room: i64) -> bool {
        let room = float(room);
        self.measures.iter().any(|gauge| {
            let most = float(gauge.held) + (room * gauge.rate[at]).min(gauge.rest[at]);
            most + most.abs() * 1e-9 + 1.0 < gauge.wanted
        })
    }

    /// Adds some pieces of a kind; the room they take.
    fn add(&mut self, at: usize, count: u64) -> i64 {
        let count = i64::try_from(count).unwrap_or(0);
        for gauge in &mut self.measures {
            gauge.held += gauge.worth[at] * count;
        }
        self.sizes[at] * count
    }

    fn remove_one(&mut self, at: usize) {
        for gauge in &mut self.measures {
            gauge.held -= gauge.worth[at];
        }
    }

    /// Whether no piece that is left fits as well.
    fn is_full(&self, room: i64) -> bool {
        let shorter = self.sizes.iter().rev().take_while(|&&size| size <= room).count();
        let from = self.sizes.len() - shorter;
        self.taken[from..].iter().zip(&self.counts[from..]).all(|(taken, count)| taken >= count)
    }
}

impl State {
    fn key(&self, key: &mut Vec<u64>) {
        key.clear();
        key.extend(self.counts.iter().chain(&self.numbers));
    }

    fn take(&mut self, frame: &Frame, filling: Filling) {
        for &(kind, count) in frame.pieces(filling) {
            self.counts[kind] -= count;
        }
        self.numbers[filling.bar] -= 1;
        for (spare, &loss) in self.spare.iter_mut().zip(&frame.losses[filling.losses..]) {
            *spare -= i128::from(loss);
        }
    }

    fn give_back(&mut self, frame: &Frame, filling: Filling) {
        for &(kind, count) in frame.pieces(filling) {
            self.counts[kind] += count;
        }
        self.numbers[filling.bar] += 1;
        for (spare, &loss) in self.spare.iter_mut().zip(&frame.losses[filling.losses..]) {
            *spare += i128::from(loss);
        }
    }
}

/// The bars on the way, like ones together.
fn grouped(frames: &[Frame]) -> Vec<Cut> {
    let mut cuts: Vec<Cut> = Vec::new();
    for frame in frames {
        let Some(&filling) = frame.fillings.get(frame.next) else { continue };
        let pieces = frame.pieces(filling);
        match cuts.last_mut() {
            Some(cut) if cut.bar == filling.bar && cut.pieces == pieces => cut.times += 1,
            _ => cuts.push(Cut { times: 1, bar: filling.bar, pieces: pieces.to_vec() }),
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

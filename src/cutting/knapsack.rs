//! The fullest bar: which pieces, no more of a kind than are wanted, are worth most together in one bar. Exact, in integers.

use super::order::Pieces;

/// What can be put into a bar.
pub(super) struct Knapsack<'a> {
    /// Size of each kind, above zero.
    pub sizes: &'a [i64],
    /// What one piece of each is worth; what is worth nothing is left out.
    pub worth: &'a [i64],
    /// How many there are of each.
    pub counts: &'a [u64],
}

/// The answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Fullest {
    /// What the pieces are worth.
    pub worth: i64,
    /// What no filling is worth more than: `worth`, if the work did.
    pub bound: i64,
    /// The pieces.
    pub pieces: Pieces,
}

/// A kind, as it stands in the order of worth for size.
#[derive(Clone, Copy, Debug)]
struct Item {
    kind: usize,
    size: i64,
    worth: i64,
    count: i64,
}

impl Knapsack<'_> {
    /// The worth of the fullest bar of that capacity. Works by branch and bound as long as the nodes last, then by the
    /// list of all fillings that no other beats, as long as it is no longer than allowed.
    pub fn fullest(&self, capacity: i64, nodes: &mut u64, list: usize) -> Fullest {
        let items = self.items(capacity);
        let mut found = Branches::new(&items, capacity);
        if !found.run(nodes) {
            match List::new(&items, capacity, found.best).run(list) {
                Ok(Some((worth, taken))) => {
                    found.best = worth;
                    found.best_taken = taken;
                    found.bound = worth;
                }
                Ok(None) => found.bound = found.best,
                Err(TooLong) => {}
            }
        }
        let mut pieces: Pieces = Vec::new();
        for (item, &taken) in items.iter().zip(&found.best_taken) {
            if taken > 0 {
                pieces.push((item.kind, u64::try_from(taken).unwrap_or(0)));
            }
        }
        pieces.sort_unstable();
        Fullest { worth: found.best, bound: found.bound, pieces }
    }

    fn items(&self, capacity: i64) -> Vec<Item> {
        let mut items = Vec::new();
        for (kind, ((&size, &worth), &count)) in self.sizes.iter().zip(self.worth).zip(self.counts).enumerate() {
            let count = i64::try_from(count).unwrap_or(i64::MAX).min(capacity / size.max(1));
            if worth > 0 && count > 0 {
                items.push(Item { kind, size, worth, count });
            }
        }
        items.sort_by(|a, b| {
            let left = i128::from(b.worth) * i128::from(a.size);
            let right = i128::from(a.worth) * i128::from(b.size);
            left.cmp(&right).then(b.size.cmp(&a.size)).then(a.kind.cmp(&b.kind))
        });
        items
    }
}

/// What the items from one on are worth at most in a room: whole ones by worth for size, and a part of the first that
/// does not go in whole.
fn at_most(items: &[Item], mut room: i64) -> i64 {
    let mut worth = 0;
    for item in items {
        let whole = item.count.min(room / item.size);
        worth += whole * item.worth;
        room -= whole * item.size;
        if whole < item.count {
            let part = match room.checked_mul(item.worth) {
                Some(part) => part / item.size,
                None => i64::try_from(i128::from(room) * i128::from(item.worth) / i128::from(item.size))
                    .unwrap_or(i64::MAX / 2),
            };
            return worth + part;
        }
    }
    worth
}

/// Depth first, the most of each item first.
struct Branches<'a> {
    items: &'a [Item],
    /// The least size among the items from one on.
    least: Vec<i64>,
    capacity: i64,
    best: i64,
    best_taken: Vec<i64>,
    bound: i64,
}

impl<'a> Branches<'a> {
    fn new(items: &'a [Item], capacity: i64) -> Self {
        let mut least = vec![i64::MAX; items.len() + 1];
        for (at, item) in items.iter().enumerate().rev() {
            least[at] = item.size.min(least[at + 1]);
        }
        let bound = at_most(items, capacity);
        Self { items, least, capacity, best: 0, best_taken: vec![0; items.len()], bound }
    }

    /// Whether the nodes lasted.
    fn run(&mut self, nodes: &mut u64) -> bool {
        let items = self.items;
        let mut taken = vec![0_i64; items.len()];
        let (mut room, mut worth, mut at) = (self.capacity, 0_i64, 0_usize);
        loop {
            // Down: take the most of each as long as something better can still come of it.
            while at < items.len() && room >= self.least[at] {
                if *nodes == 0 {
                    return false;
                }
                *nodes -= 1;
                if worth + at_most(&items[at..], room) <= self.best {
                    break;
                }
                let item = items[at];
                taken[at] = item.count.min(room / item.size);
                room -= taken[at] * item.size;
                worth += taken[at] * item.worth;
                at += 1;
            }
            if worth > self.best {
                self.best = worth;
                self.best_taken.copy_from_slice(&taken);
                if self.best == self.bound {
                    return true;
                }
            }
            // Up: one less of the last one taken.
            let Some(last) = taken[..at].iter().rposition(|&count| count > 0) else {
                self.bound = self.best;
                return true;
            };
            taken[last] -= 1;
            room += items[last].size;
            worth -= items[last].worth;
            at = last + 1;
        }
    }
}

/// A filling, as a step from another one.
#[derive(Clone, Copy, Debug)]
struct Step {
    room: i64,
    worth: i64,
    from: u32,
    item: u32,
    copies: i64,
}

/// The list would grow beyond its limit.
struct TooLong;

/// All fillings that no other beats in both room and worth, item by item.
struct List<'a> {
    items: &'a [Item],
    /// The worth to beat.
    floor: i64,
    steps: Vec<Step>,
    front: Vec<u32>,
}

impl<'a> List<'a> {
    fn new(items: &'a [Item], capacity: i64, floor: i64) -> Self {
        let empty = Step { room: capacity, worth: 0, from: 0, item: u32::MAX, copies: 0 };
        Self { items, floor, steps: vec![empty], front: vec![0] }
    }

    /// The best filling above the floor, if there is one.
    fn run(&mut self, limit: usize) -> Result<Option<(i64, Vec<i64>)>, TooLong> {
        for (at, item) in self.items.iter().enumerate() {
            let mut rest = item.count;
            let mut copies = 1;
            while rest > 0 {
                let these = copies.min(rest);
                self.widen(at, *item, these);
                if self.steps.len() > limit {
                    return Err(TooLong);
                }
                rest -= these;
                copies *= 2;
            }
            self.prune(at + 1);
        }
        let best = self.front.iter().copied().max_by_key(|&step| self.steps[step as usize].worth);
        let Some(best) = best else { return Ok(None) };
        let worth = self.steps[best as usize].worth;
        let mut taken = vec![0; self.items.len()];
        let mut step = self.steps[best as usize];
        while let Some(count) = taken.get_mut(step.item as usize) {
            *count += step.copies;
            step = self.steps[step.from as usize];
        }
        Ok(Some((worth, taken)))
    }

    /// Every filling also with so many copies of an item. The front stands by falling room and rising worth.
    fn widen(&mut self, at: usize, item: Item, copies: i64) {
        let (size, worth) = (item.size * copies, item.worth * copies);
        let mut next = Vec::with_capacity(self.front.len() * 2);
        let (mut old, mut new) = (0, 0);
        let mut highest = -1;
        loop {
            let kept = self.front.get(old).map(|&step| (step, self.steps[step as usize]));
            let grown =
                self.front.get(new).map(|&step| (step, self.steps[step as usize])).filter(|(_, s)| s.room >= size);
            let first = match (kept, grown) {
                (None, None) => break,
                (Some((step, k)), Some((_, g))) if (k.room, k.worth) >= (g.room - size, g.worth + worth) => {
                    Ok((step, k))
                }
                (Some((step, k)), None) => Ok((step, k)),
                (_, Some((from, g))) => Err((from, g)),
            };
            match first {
                Ok((step, kept)) => {
                    old += 1;
                    if kept.worth > highest {
                        highest = kept.worth;
                        next.push(step);
                    }
                }
                Err((from, grown)) => {
                    new += 1;
                    if grown.worth + worth > highest {
                        highest = grown.worth + worth;
                        let item = u32::try_from(at).unwrap_or(u32::MAX);
                        next.push(u32::try_from(self.steps.len()).unwrap_or(0));
                        self.steps.push(Step { room: grown.room - size, worth: highest, from, item, copies });
                    }
                }
            }
        }
        self.front = next;
    }

    /// Leaves out what can no longer beat the floor.
    fn prune(&mut self, at: usize) {
        let (items, steps, floor) = (&self.items[at..], &self.steps, self.floor);
        self.front.retain(|&step| {
            let step = steps[step as usize];
            step.worth + at_most(items, step.room) > floor
        });
    }
}

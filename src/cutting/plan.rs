//! The answer: bars and what is cut from each, what it costs, and how sure it is that nothing costs less.

use std::cell::RefCell;

use foldhash::HashMap;

use super::{
    measure::{Measure, bound},
    order::{Cut, Order},
    problem::{Problem, Refusal},
    search::{Best, Effort, Ended, Search},
};

/// Bars cut alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bars {
    /// How many.
    pub times: u64,
    /// From which stock of the problem.
    pub stock: usize,
    /// Kind of piece and how many, in the order they are cut: longest first.
    pub pieces: Vec<(usize, u64)>,
    /// What is left of each bar after the last cut; nothing when no more than the cut itself was left.
    pub leftover: i64,
}

/// What a quick plan needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Quick {
    /// Bars.
    pub bars: u64,
    /// Their price.
    pub cost: i64,
}

/// A worth for every piece by which no cheaper bars can hold them all. Anyone can check it: fill one bar of each stock
/// with pieces, no more of a kind than are wanted, worth as much as possible, and it is never more than `fullest`. So bars
/// for all the pieces must, at their fullest, come to the worth of all the pieces, and must be as long together as the
/// pieces are; and no bars that cost less do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Certificate {
    /// Worth of one piece of each kind of the problem.
    pub worth: Vec<i64>,
    /// Worth of the fullest bar of each stock of the problem; zero if it is too short for any piece, or there is none.
    pub fullest: Vec<i64>,
}

/// Why no plan costs less.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Proof {
    /// Cheaper bars are not as long together as the pieces and their cuts: those too short for any piece left out, and of each only
    /// so much as what all pieces take can be a whole multiple of.
    Material,
    /// Cheaper bars do not hold the worth of the pieces.
    Certificate(Certificate),
    /// Every cheaper set of bars was tried.
    Search,
    /// It is not known. Nothing costs less than the bound.
    NotProven,
}

/// A cutting plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    /// What is cut from what. Exactly the pieces wanted come of it.
    pub bars: Vec<Bars>,
    /// Price of the bars.
    pub cost: i64,
    /// No plan costs less than this; the cost itself when it is proved.
    pub bound: i64,
    /// Why.
    pub proof: Proof,
    /// What first fit, longest piece first, needs; nothing when the stock at hand does not do for it.
    pub first_fit: Option<Quick>,
}

/// What was solved so far. One list of pieces is cut for several questions: what it comes to with each set of suppliers, and
/// at last what is sawn.
#[derive(Debug, Default)]
pub struct Solved {
    known: RefCell<HashMap<Problem, Result<Plan, Refusal>>>,
}

impl Solved {
    /// The plan of a problem, worked out where it is met for the first time.
    ///
    /// # Errors
    /// As [`Problem::solve`].
    pub fn plan(&self, problem: Problem) -> Result<Plan, Refusal> {
        if let Some(known) = self.known.borrow().get(&problem) {
            return known.clone();
        }
        let plan = problem.solve();
        self.known.borrow_mut().insert(problem, plan.clone());
        plan
    }

    /// Takes in what was solved elsewhere.
    pub fn know(&self, solved: impl IntoIterator<Item = (Problem, Result<Plan, Refusal>)>) {
        self.known.borrow_mut().extend(solved);
    }
}

impl Problem {
    /// The plan of least cost that the usual effort finds; among plans of one cost, one with a long leftover.
    pub fn solve(&self) -> Result<Plan, Refusal> {
        self.solve_within(Effort::default())
    }

    /// The plan of least cost that an effort finds. Never dearer than first fit, longest piece first.
    pub fn solve_within(&self, effort: Effort) -> Result<Plan, Refusal> {
        self.check()?;
        let order = Order::new(self)?;
        let best = Search::run(&order, effort);
        let missing: u64 = made_up(&order, &best.cuts);
        if missing > 0 {
            return Err(Refusal::StockShort { missing, proven: best.ended != Ended::Worked });
        }
        Ok(self.plan(&order, best))
    }

    /// A cost that no plan is below, by lengths and prices alone: what can be said without a search.
    pub fn least(&self) -> Result<i64, Refusal> {
        self.check()?;
        let order = Order::new(self)?;
        Ok(bound(&order, &[Measure::lengths(&order), Measure::material(&order)]))
    }

    fn plan(&self, order: &Order, best: Best) -> Plan {
        let first_fit = (made_up(order, &best.quick) == 0)
            .then(|| Quick { bars: best.quick.iter().map(|cut| cut.times).sum(), cost: order.cost(&best.quick) });
        let proof = match best.ended {
            Ended::Material => Proof::Material,
            Ended::Measured(measure) => Proof::Certificate(self.certificate(order, &measure)),
            Ended::Searched => Proof::Search,
            Ended::Worked => Proof::NotProven,
        };
        Plan { bars: self.bars(order, &best.cuts), cost: order.cost(&best.cuts), bound: best.bound, proof, first_fit }
    }

    fn certificate(&self, order: &Order, measure: &Measure) -> Certificate {
        let mut out = Certificate { worth: vec![0; self.pieces.len()], fullest: vec![0; self.stock.len()] };
        for (members, &worth) in order.members.iter().zip(&measure.worth) {
            for &kind in members {
                out.worth[kind] = worth;
            }
        }
        for (bar, &fullest) in order.bars.iter().zip(&measure.fullest) {
            if let Some(stock) = bar.stock {
                out.fullest[stock] = fullest;
            }
        }
        for &(stock, by) in &order.beaten {
            out.fullest[stock] = out.fullest[by];
        }
        out
    }

    /// Cuts with the kinds of the problem in them: where several kinds have one length, the first is used up first.
    fn bars(&self, order: &Order, cuts: &[Cut]) -> Vec<Bars> {
        let mut sorted: Vec<&Cut> = cuts.iter().collect();
        sorted.sort_by(|a, b| (a.bar, &a.pieces).cmp(&(b.bar, &b.pieces)));
        let mut left: Vec<u64> = self.pieces.iter().map(|piece| piece.count).collect();
        let mut out: Vec<Bars> = Vec::new();
        for cut in sorted {
            let Some(stock) = order.bars.get(cut.bar).and_then(|bar| bar.stock) else { continue };
            let mut times = cut.times;
            while times > 0 {
                let mut pieces: Vec<(usize, u64)> = Vec::new();
                for &(size, count) in &cut.pieces {
                    let mut rest = count;
                    for &kind in &order.members[size] {
                        let some = rest.min(left[kind]);
                        if some > 0 {
                            pieces.push((kind, some));
                            rest -= some;
                        }
                    }
                }
                let alike = pieces.iter().map(|&(kind, count)| left[kind] / count).min().unwrap_or(0).clamp(1, times);
                for &(kind, count) in &pieces {
                    left[kind] -= (count * alike).min(left[kind]);
                }
                let leftover = self.leftover(stock, &pieces);
                match out.last_mut() {
                    Some(last) if last.stock == stock && last.pieces == pieces => last.times += alike,
                    _ => out.push(Bars { times: alike, stock, pieces, leftover }),
                }
                times -= alike;
            }
        }
        out
    }

    /// What stays of a bar on the shelf.
    fn leftover(&self, stock: usize, pieces: &[(usize, u64)]) -> i64 {
        let of =
            |&(kind, count): &(usize, u64)| (self.pieces[kind].length + self.kerf) * i64::try_from(count).unwrap_or(0);
        (self.stock[stock].length - pieces.iter().map(of).sum::<i64>()).max(0)
    }
}

/// How many bars that nobody has are cut.
fn made_up(order: &Order, cuts: &[Cut]) -> u64 {
    cuts.iter().filter(|cut| order.bars.get(cut.bar).is_some_and(|bar| bar.stock.is_none())).map(|cut| cut.times).sum()
}

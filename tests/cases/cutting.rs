//! Cutting plans against known answers: lists with a proved optimum, a linear solver, and every way there is to cut a few
//! pieces. Every plan is checked for what it promises, every certificate with arithmetic of its own.

mod known;
mod oracle;
mod properties;

use std::collections::BTreeMap;

use batterboard::cutting::{Certificate, Piece, Plan, Problem, Proof, Stock};

/// Pieces from bars of one length, priced by the bar.
fn bars(stock: i64, kerf: i64, items: &[(i64, u64)]) -> Problem {
    let pieces = items.iter().map(|&(length, count)| Piece { length, count }).collect();
    Problem { pieces, stock: vec![Stock { length: stock, price: 1, limit: None }], kerf }
}

/// The plan of a problem, checked.
#[track_caller]
fn solved(problem: &Problem) -> Plan {
    let plan = problem.solve().unwrap();
    check(problem, &plan);
    plan
}

/// What every plan keeps.
#[track_caller]
fn check(problem: &Problem, plan: &Plan) {
    let mut made = vec![0; problem.pieces.len()];
    let mut used = vec![0; problem.stock.len()];
    let mut cost = 0;
    for bar in &plan.bars {
        let stock = &problem.stock[bar.stock];
        assert!(bar.times > 0 && !bar.pieces.is_empty());
        let (mut length, mut count) = (0, 0);
        for &(kind, number) in &bar.pieces {
            assert!(number > 0);
            made[kind] += number * bar.times;
            length += problem.pieces[kind].length * number as i64;
            count += number as i64;
        }
        let lengths: Vec<i64> = bar.pieces.iter().map(|&(kind, _)| problem.pieces[kind].length).collect();
        assert!(lengths.is_sorted_by(|a, b| a >= b), "longest first: {lengths:?}");
        let cut = length + (count - 1) * problem.kerf;
        assert!(cut <= stock.length, "{cut} out of {}", stock.length);
        assert_eq!(bar.leftover, (stock.length - cut - problem.kerf).max(0));
        used[bar.stock] += bar.times;
        cost += stock.price * bar.times as i64;
    }
    let wanted: Vec<u64> = problem.pieces.iter().map(|piece| piece.count).collect();
    assert_eq!(made, wanted, "neither more nor fewer");
    for (used, stock) in used.iter().zip(&problem.stock) {
        assert!(stock.limit.is_none_or(|limit| *used <= limit));
    }
    assert_eq!(plan.cost, cost);
    assert!(plan.bound <= plan.cost && problem.least().unwrap() <= plan.cost);
    assert!(plan.first_fit.is_none_or(|quick| plan.cost <= quick.cost), "dearer than first fit");
    assert_eq!(plan.proof == Proof::NotProven, plan.bound < plan.cost);
    match &plan.proof {
        Proof::Material => {
            let none = Certificate { worth: vec![0; made.len()], fullest: vec![0; used.len()] };
            assert!(!cheaper(problem, &none, plan.cost), "cheaper bars are as long");
        }
        Proof::Certificate(certificate) => check_certificate(problem, certificate, plan.cost),
        Proof::Search | Proof::NotProven => {}
    }
}

/// A certificate, worked out anew: no bar holds more, and no cheaper bars hold all.
#[track_caller]
fn check_certificate(problem: &Problem, certificate: &Certificate, cost: i64) {
    for (stock, &fullest) in problem.stock.iter().zip(&certificate.fullest) {
        if stock.limit == Some(0) {
            continue;
        }
        // The most worth for every length that can be cut off.
        let mut best: BTreeMap<i64, i64> = BTreeMap::from([(0, 0)]);
        for (piece, &worth) in problem.pieces.iter().zip(&certificate.worth) {
            assert!(worth >= 0);
            for _ in 0..piece.count.min(((stock.length + problem.kerf) / (piece.length + problem.kerf)) as u64) {
                if worth == 0 {
                    break;
                }
                for (at, value) in best.clone() {
                    let next = at + piece.length + problem.kerf;
                    if next <= stock.length + problem.kerf {
                        let most = best.entry(next).or_insert(0);
                        *most = (*most).max(value + worth);
                    }
                }
            }
        }
        let most = best.values().max().unwrap();
        assert!(*most <= fullest, "a bar holds {most}, not {fullest}");
    }
    assert!(!cheaper(problem, certificate, cost), "{certificate:?} proves no {cost}");
}

/// The greatest common divisor.
fn divisor(one: i64, other: i64) -> i64 {
    if other == 0 { one } else { divisor(other, one % other) }
}

/// Whether bars of less than a cost are long enough and can hold the worth of all the pieces.
fn cheaper(problem: &Problem, certificate: &Certificate, cost: i64) -> bool {
    fn from(problem: &Problem, fullest: &[i64], at: usize, cost: i64, length: i128, worth: i128) -> bool {
        let Some(stock) = problem.stock.get(at) else { return length <= 0 && worth <= 0 };
        let all: u64 = problem.pieces.iter().map(|piece| piece.count).sum();
        // There are never more bars needed than pieces: where so many of another are there, as long and no dearer, this one
        // is no help.
        let beats = |(other_at, other): (usize, &Stock)| {
            let is_enough = other.limit.is_none_or(|limit| limit >= all);
            let is_other = (other.length, other.price) != (stock.length, stock.price) || other_at < at;
            is_enough && is_other && other.length >= stock.length && other.price <= stock.price
        };
        let is_beaten = problem.stock.iter().enumerate().any(beats);
        let limit = if is_beaten { 0 } else { stock.limit.unwrap_or(all).min(all) };
        // Of what is free, and of the last, as many as there may be: more never hold less.
        let most = if stock.price == 0 { limit } else { limit.min(((cost - 1) / stock.price) as u64) };
        let last = stock.price == 0 || at + 1 == problem.stock.len();
        let numbers = if last { most..=most } else { 0..=most };
        for number in numbers {
            let rest = cost - stock.price * number as i64;
            // A bar too short for any piece is no help, however long it is; nor is what no sum of pieces ends at.
            let wanted = || problem.pieces.iter().filter(|piece| piece.count > 0);
            let step = wanted().fold(0, |step, piece| divisor(step, piece.length + problem.kerf)).max(1);
            let some = wanted().any(|piece| piece.length <= stock.length);
            let useful = if some { (stock.length + problem.kerf) / step * step } else { 0 };
            let length = length - i128::from(useful) * i128::from(number);
            let worth = worth - i128::from(fullest[at]) * i128::from(number);
            if from(problem, fullest, at + 1, rest, length, worth) {
                return true;
            }
        }
        false
    }
    let pieces = || problem.pieces.iter().map(|piece| i128::from(piece.count));
    let length = problem.pieces.iter().zip(pieces()).map(|(p, n)| i128::from(p.length + problem.kerf) * n).sum();
    let worth = certificate.worth.iter().zip(pieces()).map(|(&worth, count)| i128::from(worth) * count).sum();
    cost > 0 && from(problem, &certificate.fullest, 0, cost, length, worth)
}

#[test]
fn a_bar_counts_only_so_far_as_sums_of_pieces_can_end() {
    // 54 to cut, 54 at hand for nothing; but all pieces are whole sixes, of which 21 holds three: 48 in all.
    let free = |length: i64, limit: u64| Stock { length, price: 0, limit: Some(limit) };
    let problem = Problem {
        pieces: vec![Piece { length: 6, count: 1 }, Piece { length: 48, count: 1 }],
        stock: vec![Stock { length: 60, price: 3, limit: None }, free(21, 2), free(12, 1)],
        kerf: 0,
    };
    let plan = solved(&problem);
    assert_eq!((plan.cost, plan.proof), (3, Proof::Material));
}

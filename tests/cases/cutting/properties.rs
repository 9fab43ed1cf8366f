//! What holds for every list, and every way there is to cut a few pieces.

use std::collections::HashMap;

use batterboard::cutting::{Effort, Piece, Problem, Proof, Refusal, Stock};
use proptest::prelude::*;

use super::{bars, check, solved};

/// Lists of up to eight pieces, some stock lengths at odd prices, perhaps offcuts.
fn small() -> impl Strategy<Value = Problem> {
    let piece = (4_i64..60, 1_u64..4).prop_map(|(length, count)| Piece { length, count });
    let stock = (60_i64..120, 1_i64..40).prop_map(|(length, price)| Stock { length, price, limit: None });
    let offcut = (10_i64..90, 0_i64..4, 0_u64..3);
    let offcut = offcut.prop_map(|(length, price, limit)| Stock { length, price, limit: Some(limit) });
    let stock = (prop::collection::vec(stock, 1..4), prop::collection::vec(offcut, 0..3));
    (prop::collection::vec(piece, 1..6), stock, 0_i64..3).prop_map(|(mut pieces, (mut stock, offcuts), kerf)| {
        let mut left = 8;
        for piece in &mut pieces {
            piece.count = piece.count.min(left);
            left -= piece.count;
        }
        stock.extend(offcuts);
        Problem { pieces, stock, kerf }
    })
}

/// Longer lists from one length of bar.
fn long() -> impl Strategy<Value = Problem> {
    let item = (5_i64..240, 1_u64..30);
    (prop::collection::vec(item, 1..14), 0_i64..4).prop_map(|(items, kerf)| bars(240, kerf, &items))
}

/// Lengths and prices, mostly fit for use.
fn lengths() -> impl Strategy<Value = i64> {
    prop_oneof![20 => 0_i64..90, 3 => (1_i64 << 38)..(1 << 40), 2 => Just(1 << 50), 1 => any::<i64>()]
}

/// Counts, mostly fit for use.
fn counts() -> impl Strategy<Value = u64> {
    prop_oneof![20 => 0_u64..12, 2 => Just(1 << 20), 1 => Just(1 << 30), 1 => any::<u64>()]
}

/// The least cost, by trying everything: the first piece left lies in some bar together with some of the others.
fn least(problem: &Problem) -> i64 {
    struct All<'a> {
        problem: &'a Problem,
        sizes: Vec<i64>,
        seen: HashMap<(u32, Vec<u64>), i64>,
    }
    impl All<'_> {
        fn from(&mut self, done: u32, left: &[u64]) -> i64 {
            let rest = !done & ((1 << self.sizes.len()) - 1);
            if rest == 0 {
                return 0;
            }
            let key = (done, left.to_vec());
            if let Some(&cost) = self.seen.get(&key) {
                return cost;
            }
            let first = 1 << rest.trailing_zeros();
            let mut best = i64::MAX / 2;
            let mut set = rest;
            while set > 0 {
                if set & first != 0 {
                    let size: i64 =
                        (0..self.sizes.len()).filter(|at| set >> at & 1 == 1).map(|at| self.sizes[at]).sum();
                    for (at, stock) in self.problem.stock.iter().enumerate() {
                        if left[at] > 0 && size <= stock.length + self.problem.kerf {
                            let mut left = left.to_vec();
                            left[at] -= 1;
                            best = best.min(stock.price + self.from(done | set, &left));
                        }
                    }
                }
                set = (set - 1) & rest;
            }
            self.seen.insert(key, best);
            best
        }
    }
    let sizes = sizes(problem);
    let left: Vec<u64> = problem.stock.iter().map(|stock| stock.limit.unwrap_or(8)).collect();
    All { problem, sizes, seen: HashMap::new() }.from(0, &left)
}

/// Every piece with its kerf.
fn sizes(problem: &Problem) -> Vec<i64> {
    let of = |piece: &Piece| vec![piece.length + problem.kerf; piece.count as usize];
    problem.pieces.iter().flat_map(of).collect()
}

/// The longest leftover there is with the fewest bars of one length.
fn longest_leftover(problem: &Problem) -> i64 {
    let sizes = sizes(problem);
    let all = (1_usize << sizes.len()) - 1;
    let capacity = problem.stock[0].length + problem.kerf;
    let size = |set: usize| -> i64 { (0..sizes.len()).filter(|at| set >> at & 1 == 1).map(|at| sizes[at]).sum() };
    let mut fewest = vec![i64::MAX / 2; all + 1];
    fewest[0] = 0;
    for set in 1..=all {
        let mut part = set;
        while part > 0 {
            if size(part) <= capacity {
                fewest[set] = fewest[set].min(1 + fewest[set ^ part]);
            }
            part = (part - 1) & set;
        }
    }
    let last = (1..=all).filter(|&set| size(set) <= capacity && fewest[all ^ set] + 1 == fewest[all]);
    last.map(|set| (problem.stock[0].length - size(set)).max(0)).max().unwrap_or(0)
}

/// Three free bars are as long as the two pieces, and hold them no better than two of them would.
#[test]
fn more_bars_than_pieces_are_no_help() {
    let piece = |length| Piece { length, count: 1 };
    let stock = |length, price, limit| Stock { length, price, limit: Some(limit) };
    let stock = vec![stock(60, 1, 2), stock(20, 0, 2), stock(10, 0, 1)];
    let plan = solved(&Problem { pieces: vec![piece(40), piece(10)], stock, kerf: 0 });
    assert_eq!((plan.cost, plan.proof), (1, Proof::Material));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn a_few_pieces_are_cut_as_cheaply_as_they_can_be(problem in small()) {
        let plan = solved(&problem);
        prop_assert_ne!(&plan.proof, &Proof::NotProven);
        prop_assert_eq!(plan.cost, least(&problem));
    }

    #[test]
    fn stock_at_hand_does_or_is_short(mut problem in small()) {
        for stock in &mut problem.stock {
            stock.limit = Some(stock.limit.unwrap_or(2));
        }
        let cost = least(&problem);
        match problem.solve() {
            Ok(plan) => {
                check(&problem, &plan);
                prop_assert_ne!(&plan.proof, &Proof::NotProven);
                prop_assert_eq!(plan.cost, cost);
            }
            Err(Refusal::StockShort { missing, proven }) => {
                prop_assert!(cost >= i64::MAX / 2 && proven);
                let length = problem.stock.iter().filter(|s| s.limit != Some(0)).map(|s| s.length).max().unwrap();
                for (more, does) in [(missing, true), (missing - 1, false)] {
                    let mut problem = problem.clone();
                    problem.stock.push(Stock { length, price: 1, limit: Some(more) });
                    prop_assert_eq!(least(&problem) < i64::MAX / 2, does);
                }
            }
            Err(other) => prop_assert!(false, "{other:?}"),
        }
    }

    #[test]
    fn of_the_fewest_bars_the_longest_leftover_is_kept(mut problem in small()) {
        problem.stock.truncate(1);
        let plan = solved(&problem);
        let longest = plan.bars.iter().map(|bars| bars.leftover).max().unwrap_or(0);
        prop_assert_eq!(longest, longest_leftover(&problem));
    }

    #[test]
    fn the_order_of_the_list_changes_nothing((problem, shuffled) in long().prop_flat_map(|problem| {
        let pieces = Just(problem.pieces.clone()).prop_shuffle();
        (Just(problem), pieces)
    })) {
        let plan = solved(&problem);
        let other = solved(&Problem { pieces: shuffled.clone(), ..problem.clone() });
        prop_assert_eq!((plan.cost, plan.bound), (other.cost, other.bound));
        let lengths = |pieces: &[Piece], plan: &batterboard::cutting::Plan| {
            let mut bars: Vec<i64> = Vec::new();
            for bar in &plan.bars {
                for _ in 0..bar.times {
                    bars.push(bar.pieces.iter().map(|&(kind, count)| pieces[kind].length * count as i64).sum());
                }
            }
            bars.sort_unstable();
            bars
        };
        prop_assert_eq!(lengths(&problem.pieces, &plan), lengths(&shuffled, &other));
    }

    #[test]
    fn the_unit_changes_nothing(problem in long(), scale in 2_i64..1_000_000) {
        let mut scaled = problem.clone();
        scaled.kerf *= scale;
        scaled.pieces.iter_mut().for_each(|piece| piece.length *= scale);
        scaled.stock.iter_mut().for_each(|stock| stock.length *= scale);
        let (plan, mut other) = (solved(&problem), solved(&scaled));
        other.bars.iter_mut().for_each(|bar| bar.leftover /= scale);
        prop_assert_eq!(plan.bars, other.bars);
        prop_assert_eq!(plan.bound, other.bound);
    }

    #[test]
    fn more_to_choose_from_never_costs_more(problem in small(), length in 20_i64..150, price in 0_i64..60, limit in 0_u64..3) {
        let plan = solved(&problem);
        let mut more = problem;
        more.stock.push(Stock { length, price, limit: Some(limit) });
        prop_assert!(solved(&more).cost <= plan.cost);
    }

    #[test]
    fn a_shorter_bar_for_no_less_is_never_cut(problem in small(), shorter in 0_i64..30, dearer in 0_i64..20) {
        let plan = solved(&problem);
        let mut more = problem.clone();
        let Stock { length, price, .. } = problem.stock[0];
        more.stock.push(Stock { length: length - shorter, price: price + dearer, limit: None });
        let other = solved(&more);
        prop_assert_eq!(other.cost, plan.cost);
        prop_assert!(other.bars.iter().all(|bars| bars.stock != problem.stock.len()));
    }

    #[test]
    fn one_piece_more_never_costs_less(problem in long(), kind in any::<prop::sample::Index>()) {
        let plan = solved(&problem);
        let mut more = problem;
        let kind = kind.index(more.pieces.len());
        more.pieces[kind].count += 1;
        let more = solved(&more);
        prop_assert!(more.cost >= plan.bound && more.bound <= plan.cost + 1);
        // About one such list in thirty thousand is left open (see the known lists), never by more than a bar.
        prop_assert!(plan.cost - plan.bound <= 1 && more.cost - more.bound <= 1);
    }

    #[test]
    fn the_same_list_gives_the_same_plan(problem in long()) {
        prop_assert_eq!(problem.solve(), problem.clone().solve());
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Whatever the numbers, there is a plan that keeps its promises, or a refusal.
    #[test]
    fn no_numbers_make_it_fail(
        pieces in prop::collection::vec((lengths(), counts()), 0..5),
        stock in prop::collection::vec((lengths(), lengths(), prop::option::of(counts())), 0..4),
        kerf in lengths(),
    ) {
        let pieces: Vec<Piece> = pieces.into_iter().map(|(length, count)| Piece { length, count }).collect();
        let stock = stock.into_iter().map(|(length, price, limit)| Stock { length, price, limit }).collect();
        let problem = Problem { pieces, stock, kerf };
        if let Ok(plan) = problem.solve_within(Effort { pivots: 2_000, nodes: 20_000 }) {
            let made: u64 = plan.bars.iter().flat_map(|bar| bar.pieces.iter().map(|(_, count)| count * bar.times)).sum();
            prop_assert_eq!(made, problem.pieces.iter().map(|piece| piece.count).sum::<u64>());
            prop_assert!(plan.bound <= plan.cost);
        }
    }
}

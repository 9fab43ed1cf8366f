//! Bounds against published values, the knapsack against every filling.

use proptest::prelude::*;

use super::{
    columns::{PATIENT, Patterns},
    knapsack::Knapsack,
    measure::Measure,
    order::Order,
    problem::{Piece, Problem, Stock},
};

fn order(stock: i64, kerf: i64, items: &[(i64, u64)]) -> Order {
    let pieces = items.iter().map(|&(length, count)| Piece { length, count }).collect();
    let problem = Problem { pieces, stock: vec![Stock { length: stock, price: 1, limit: None }], kerf };
    problem.check().unwrap();
    Order::new(&problem).unwrap()
}

/// Name, stock, kerf, pieces, bounds.
type Case<'a> = (&'a str, i64, i64, &'a [(i64, u64)], [i64; 3]);

/// L1, L2 (Martello and Toth 1990, chapter 8) and the rounded bound of the linear programme over patterns that hold no more
/// than is wanted. The values were worked out by other programs: L1 and L2 from their definitions, the programme from a
/// full list of patterns.
#[test]
fn bounds_have_their_published_values() {
    let w13 = [
        (1380, 22),
        (1520, 25),
        (1560, 12),
        (1710, 14),
        (1820, 18),
        (1880, 18),
        (1930, 20),
        (2000, 10),
        (2050, 12),
        (2100, 14),
        (2140, 16),
        (2150, 18),
        (2200, 20),
    ];
    let cases: &[Case] = &[
        ("W13", 5600, 0, &w13, [73, 73, 73]),
        ("C4", 100, 0, &[(45, 97), (36, 610), (31, 395), (14, 211)], [416, 416, 453]),
        ("E132", 132, 0, &[(44, 2), (33, 3), (12, 6)], [2, 2, 3]),
        ("N18", 18, 0, &[(10, 2), (9, 1), (6, 3), (4, 1)], [3, 3, 4]),
        ("N30", 30, 0, &[(14, 2), (10, 2), (8, 1), (3, 1)], [2, 2, 3]),
        ("H51", 100, 0, &[(51, 7)], [4, 7, 7]),
        ("RB7", 240, 0, &[(112, 1), (100, 1), (74, 1), (46, 3), (40, 1)], [2, 2, 2]),
        ("RB11", 240, 0, &[(100, 2), (88, 4), (74, 4), (46, 1)], [4, 4, 4]),
        ("RB56", 240, 0, &[(118, 8), (94, 5), (62, 9), (46, 10), (23, 24)], [13, 13, 13]),
        ("RM54", 6000, 0, &[(2350, 4), (1450, 9), (1130, 14), (875, 11), (620, 16)], [10, 10, 10]),
        // In fortieths of an inch.
        ("K0", 9600, 0, &[(2400, 8)], [2, 2, 2]),
        ("K8", 9600, 5, &[(2400, 8)], [3, 3, 3]),
        ("K8b", 9600, 5, &[(2396, 8)], [2, 2, 2]),
    ];
    for &(name, stock, kerf, items, wanted) in cases {
        let order = order(stock, kerf, items);
        let l1 = Measure::lengths(&order).bound(&order).unwrap();
        let l2 = Measure::thresholds(&order).iter().filter_map(|measure| measure.bound(&order)).max().unwrap();
        let mut pivots = 10_000;
        let relaxed = Patterns::default().relax(&order, &order.counts, &order.limits(), PATIENT, &mut pivots);
        let programme = relaxed.measure(&order, &order.counts, None).bound(&order).unwrap();
        assert_eq!([l1, l2.max(l1), programme], wanted, "{name}");
    }
}

proptest! {
    /// By branches, and by the list that takes over when the nodes are spent.
    #[test]
    fn the_fullest_bar_is_the_fullest_of_all(
        kinds in prop::collection::vec((1_i64..40, 0_i64..50, 0_u64..4), 1..6),
        capacity in 1_i64..120,
    ) {
        let sizes: Vec<i64> = kinds.iter().map(|kind| kind.0).collect();
        let worth: Vec<i64> = kinds.iter().map(|kind| kind.1).collect();
        let counts: Vec<u64> = kinds.iter().map(|kind| kind.2).collect();
        let mut all = vec![(0, 0)];
        for &(size, worth, count) in &kinds {
            all = all.iter().flat_map(|&(s, w)| (0..=count as i64).map(move |n| (s + n * size, w + n * worth))).collect();
        }
        let most = all.iter().filter(|filling| filling.0 <= capacity).map(|filling| filling.1).max().unwrap();
        let knapsack = Knapsack { sizes: &sizes, worth: &worth, counts: &counts };
        for nodes in [100_000, 3, 0] {
            let full = knapsack.fullest(capacity, &mut nodes.clone(), 100_000);
            prop_assert_eq!((full.worth, full.bound), (most, most));
            let of = |by: &[i64]| -> i64 { full.pieces.iter().map(|&(kind, count)| by[kind] * count as i64).sum() };
            prop_assert_eq!(of(&worth), most);
            prop_assert!(of(&sizes) <= capacity);
            prop_assert!(full.pieces.iter().all(|&(kind, count)| count <= counts[kind]));
        }
        // Without work for either, the bound still holds.
        let full = knapsack.fullest(capacity, &mut 0, 0);
        prop_assert!(full.worth <= most && most <= full.bound);
    }
}

//! Small lists once more, by an integer programme over every way to fill a bar, in a solver of other hands.

use batterboard::cutting::{Problem, Proof, Stock};
use microlp::{ComparisonOp, OptimizationDirection, Problem as Programme};

use super::{bars, solved};

/// The least cost of a small list.
fn least(problem: &Problem) -> i64 {
    let mut programme = Programme::new(OptimizationDirection::Minimize);
    let mut rows = vec![Vec::new(); problem.pieces.len()];
    for stock in &problem.stock {
        let mut uses = Vec::new();
        for pattern in patterns(problem, stock.length) {
            let most = problem.pieces.iter().map(|piece| piece.count).sum::<u64>() as i32;
            let variable = programme.add_integer_var(stock.price as f64, (0, most));
            uses.push((variable, 1.0));
            for (row, count) in rows.iter_mut().zip(pattern) {
                if count > 0 {
                    row.push((variable, count as f64));
                }
            }
        }
        if let Some(limit) = stock.limit {
            programme.add_constraint(&uses, ComparisonOp::Le, limit as f64);
        }
    }
    for (row, piece) in rows.iter().zip(&problem.pieces) {
        programme.add_constraint(row, ComparisonOp::Ge, piece.count as f64);
    }
    programme.solve().unwrap().into_solution().unwrap().objective().round() as i64
}

/// Every filling of a bar that no further piece fits into, no more of a kind than are wanted.
fn patterns(problem: &Problem, length: i64) -> Vec<Vec<u64>> {
    let mut out = Vec::new();
    let mut open = vec![(Vec::new(), length + problem.kerf)];
    while let Some((counts, room)) = open.pop() {
        let Some(piece) = problem.pieces.get(counts.len()) else {
            let fits = |(piece, &count): (&batterboard::cutting::Piece, &u64)| {
                count < piece.count && piece.length + problem.kerf <= room
            };
            if !problem.pieces.iter().zip(&counts).any(fits) {
                out.push(counts);
            }
            continue;
        };
        for count in 0..=piece.count {
            let rest = room - (piece.length + problem.kerf) * count as i64;
            if rest >= 0 {
                open.push(([counts.clone(), vec![count]].concat(), rest));
            }
        }
    }
    out
}

#[test]
fn another_solver_comes_to_the_same_cost() {
    let stock = |length: i64, price: i64, limit: Option<u64>| Stock { length, price, limit };
    let with = |mut problem: Problem, stock: &[Stock]| {
        problem.stock = stock.to_vec();
        problem
    };
    let feet = |feet: i64, price: i64| stock(feet * 192, price, None);
    let boards = [feet(8, 699), feet(10, 929), feet(12, 1149), feet(16, 1629)];
    let cases = [
        bars(240, 0, &[(118, 8), (94, 5), (62, 9), (46, 10)]),
        bars(132, 0, &[(44, 2), (33, 3), (12, 6)]),
        bars(30, 0, &[(15, 1), (10, 2), (6, 4)]),
        bars(6000, 3, &[(2350, 4), (1450, 9), (1130, 14), (875, 11)]),
        bars(3840, 2, &[(2496, 1), (1700, 1), (1660, 1), (1028, 16), (720, 1)]),
        bars(150, 0, &[(98, 1), (81, 2), (77, 1), (62, 3), (49, 2), (44, 1), (37, 4)]),
        with(bars(0, 2, &[(1300, 5), (900, 4), (620, 7), (410, 6)]), &boards),
        with(bars(0, 2, &[(1500, 3), (1100, 4), (770, 5), (350, 3)]), &boards),
        with(bars(0, 0, &[(156, 4), (108, 2), (84, 3)]), &[stock(240, 240, None), stock(480, 480, None)]),
        with(
            bars(0, 1, &[(100, 6), (70, 5), (45, 4)]),
            &[stock(240, 11, None), stock(180, 0, Some(2)), stock(90, 0, Some(1))],
        ),
        with(
            bars(0, 1, &[(100, 6), (70, 5), (45, 4)]),
            &[stock(240, 11, None), stock(360, 15, Some(2)), stock(95, 1, Some(3))],
        ),
        with(
            bars(0, 3, &[(230, 3), (110, 7), (65, 6), (31, 5)]),
            &[stock(240, 1140, None), stock(480, 2390, Some(3)), stock(150, 0, Some(2))],
        ),
    ];
    for problem in cases {
        let plan = solved(&problem);
        assert_eq!(plan.cost, least(&problem), "{problem:?}");
        assert_ne!(plan.proof, Proof::NotProven, "{problem:?}");
    }
}

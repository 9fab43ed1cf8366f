//! Lists with a known optimum, refusals, large counts.

use batterboard::cutting::{Certificate, Effort, Piece, Problem, Proof, Refusal, Stock};

use super::{bars, solved};

#[derive(serde::Deserialize)]
struct Instance {
    name: String,
    stock: i64,
    kerf: i64,
    items: Vec<(i64, u64)>,
    opt: i64,
    ffd: u64,
}

/// Lists made for this purpose: bar lists, triplets, uniform draws, and lists whose optimum lies above the rounded bound
/// of the linear programme. Each optimum was proved by two other programs, or follows from how the list was built.
#[test]
fn every_known_optimum_is_reached_and_proved() {
    let instances: Vec<Instance> = serde_json::from_str(include_str!("instances.json")).unwrap();
    assert_eq!(instances.len(), 55);
    for instance in instances {
        let plan = solved(&bars(instance.stock, instance.kerf, &instance.items));
        assert_eq!(plan.cost, instance.opt, "{}", instance.name);
        assert_ne!(plan.proof, Proof::NotProven, "{}", instance.name);
        assert_eq!(plan.first_fit.unwrap().bars, instance.ffd, "{}", instance.name);
    }
}

/// The edges of the Petersen graph as lengths: three bars without waste would colour it with three colours, which cannot
/// be done, yet by the linear programme three bars would do.
#[test]
fn what_the_bound_does_not_exclude_is_excluded_by_search() {
    let edges = [5, 20, 80, 320, 257, 1025, 4100, 16400, 65600, 262_400, 17408, 69632, 278_528, 66560, 266_240];
    let items: Vec<(i64, u64)> = edges.iter().map(|&length| (length, 1)).collect();
    let problem = bars(349_525, 0, &items);
    let plan = solved(&problem);
    assert_eq!((plan.cost, plan.bound, plan.proof), (4, 4, Proof::Search));
    // Without the work for it, the gap is admitted.
    let plan = problem.solve_within(Effort { pivots: 1_000, nodes: 50 }).unwrap();
    assert_eq!((plan.cost, plan.bound, plan.proof), (4, 3, Proof::NotProven));
}

/// The best plan is found at once, and that no better one is there only after more work than is usually done.
#[test]
fn a_proof_may_take_more_work_than_is_done() {
    let items = [(115, 3), (156, 13), (65, 7), (134, 30), (20, 38), (36, 25), (179, 2), (43, 21), (84, 24)];
    let problem = bars(240, 3, &items);
    let plan = solved(&problem);
    assert_eq!((plan.cost, plan.bound, plan.proof), (54, 53, Proof::NotProven));
    let plan = problem.solve_within(Effort { nodes: 80_000_000, ..Effort::default() }).unwrap();
    assert_eq!((plan.cost, plan.bound, plan.proof), (54, 54, Proof::Search));
}

/// The offcut costs nothing. Emptying a bar of the dearer kind leaves it whole, and then no offcut is there to be emptied.
#[test]
fn an_offcut_for_nothing_may_stay_whole() {
    let pieces = [(36, 2), (35, 3), (52, 2), (13, 1)].map(|(length, count)| Piece { length, count });
    let stock = [(109, 3, 2), (102, 1, 2), (13, 0, 1)];
    let stock = stock.map(|(length, price, limit)| Stock { length, price, limit: Some(limit) });
    let problem = Problem { pieces: pieces.to_vec(), stock: stock.to_vec(), kerf: 1 };
    let plan = solved(&problem);
    assert_eq!(plan.cost, 5);
    assert!(plan.bars.iter().all(|bars| bars.stock != 2));
}

/// Name, stock, kerf, pieces, optimum, bars of first fit.
type Case = (&'static str, i64, i64, Vec<(i64, u64)>, i64, u64);

/// Lists with optimum and first fit from the literature and of our own. W13: the cutting-stock example of an encyclopedia
/// article (73 rolls). C4: the paper-roll example of a textbook. T60: Falkenauer's triplet t60_00, lengths times ten.
/// E132: a list of the literature without the round-up property. A43, A44: a longer piece, and first fit does better.
#[test]
fn lists_of_the_literature() {
    let t60 = [
        366, 268, 366, 430, 263, 307, 414, 287, 299, 495, 251, 254, 474, 252, 274, 370, 269, 361, 473, 252, 275, 472,
        259, 269, 444, 258, 298, 439, 273, 288, 445, 272, 283, 419, 261, 320, 363, 271, 366, 355, 273, 372, 466, 262,
        272, 357, 292, 351, 395, 255, 350, 350, 303, 347, 450, 252, 298, 410, 275, 315,
    ];
    let tr12 = [488, 443, 412, 397, 330, 316, 287, 282, 275, 261, 258, 251];
    let tr24 = [
        263, 251, 316, 443, 463, 287, 392, 412, 275, 274, 282, 282, 266, 261, 480, 488, 258, 330, 297, 326, 254, 266,
        437, 397,
    ];
    let single = |lengths: &[i64]| -> Vec<(i64, u64)> { lengths.iter().map(|&length| (length, 1)).collect() };
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
        ("W13", 5600, 0, w13.to_vec(), 73, 82),
        ("C4", 100, 0, vec![(45, 97), (36, 610), (31, 395), (14, 211)], 453, 485),
        ("T60", 1000, 0, single(&t60), 20, 23),
        ("TR12", 1000, 0, single(&tr12), 4, 5),
        ("TR24", 1000, 0, single(&tr24), 8, 10),
        ("E132", 132, 0, vec![(44, 2), (33, 3), (12, 6)], 3, 3),
        ("N18", 18, 0, vec![(10, 2), (9, 1), (6, 3), (4, 1)], 4, 4),
        ("N30", 30, 0, vec![(14, 2), (10, 2), (8, 1), (3, 1)], 3, 3),
        ("A43", 60, 0, single(&[43, 24, 24, 22, 21, 17, 8, 8, 6, 6]), 3, 4),
        ("A44", 60, 0, single(&[44, 24, 24, 22, 21, 17, 8, 8, 6, 6]), 3, 3),
        ("H51", 100, 0, vec![(51, 7)], 7, 7),
        ("RB7", 240, 0, vec![(112, 1), (100, 1), (74, 1), (46, 3), (40, 1)], 2, 3),
        ("RB11", 240, 0, vec![(100, 2), (88, 4), (74, 4), (46, 1)], 4, 5),
        ("RB56", 240, 0, vec![(118, 8), (94, 5), (62, 9), (46, 10), (23, 24)], 13, 13),
        ("RM54", 6000, 0, vec![(2350, 4), (1450, 9), (1130, 14), (875, 11), (620, 16)], 10, 10),
        // In fortieths of an inch, so that 1/8 in and 59.9 in are whole.
        ("K0", 9600, 0, vec![(2400, 8)], 2, 2),
        ("K8", 9600, 5, vec![(2400, 8)], 3, 3),
        ("K8b", 9600, 5, vec![(2396, 8)], 2, 2),
    ];
    for (name, stock, kerf, items, optimum, first_fit) in cases {
        let plan = solved(&bars(*stock, *kerf, items));
        assert_eq!(plan.cost, *optimum, "{name}");
        assert_ne!(plan.proof, Proof::NotProven, "{name}");
        assert_eq!(plan.first_fit.unwrap().bars, *first_fit, "{name}");
    }
}

/// M1: two stock lengths priced by length.
#[test]
fn several_stock_lengths() {
    let stock = |length: i64| Stock { length, price: length, limit: None };
    let pieces: Vec<Piece> =
        [(156, 4), (108, 2), (84, 3)].into_iter().map(|(length, count)| Piece { length, count }).collect();
    for (stocks, cost) in [(vec![240, 480], 1200), (vec![240], 1200), (vec![480], 1440)] {
        let stock = stocks.iter().map(|&length| stock(length)).collect();
        let plan = solved(&Problem { pieces: pieces.clone(), stock, kerf: 0 });
        assert_eq!(plan.cost, cost, "{stocks:?}");
        assert_ne!(plan.proof, Proof::NotProven);
    }
}

#[test]
fn offcuts_at_hand_are_used_and_not_more_often_than_there_are() {
    let mut problem = bars(240, 0, &[(100, 4)]);
    problem.stock.push(Stock { length: 110, price: 0, limit: Some(1) });
    problem.stock.push(Stock { length: 100, price: 0, limit: Some(1) });
    let plan = solved(&problem);
    assert_eq!((plan.cost, plan.bound), (1, 1));
    problem.pieces[0].count = 5;
    assert_eq!(solved(&problem).cost, 2);
}

#[test]
fn one_long_leftover_is_kept_rather_than_two_short_ones() {
    // First fit cuts 6 and 5 from one bar, 5 and 4 from the other, and leaves 3 and 5.
    let plan = solved(&bars(14, 0, &[(6, 1), (5, 2), (4, 1)]));
    let leftovers: Vec<i64> = plan.bars.iter().map(|bar| bar.leftover).collect();
    assert_eq!(leftovers, [8, 0]);
}

#[test]
fn a_certificate_is_told_in_small_numbers() {
    let plan = solved(&bars(132, 0, &[(44, 2), (33, 3), (12, 6)]));
    // Two of 4, three of 3 and six of 1 are worth 23; no bar holds more than 11; so two bars are too few.
    assert_eq!(plan.proof, Proof::Certificate(Certificate { worth: vec![4, 3, 1], fullest: vec![11] }));
}

#[test]
fn a_million_pieces_are_no_more_work_than_a_few() {
    let plan = solved(&bars(6_096_000_000, 3_175_000, &[(1_219_200_000, 1_000_000)]));
    // Four of 48 in in 240 in with a kerf of 1/8 in: the fifth lacks 1/2 in of kerfs.
    assert_eq!((plan.cost, plan.bars.len()), (250_000, 1));
    let lengths: Vec<(i64, u64)> = (1..=40).map(|kind| (101 + 23 * kind, 25_000 + 7 * kind as u64)).collect();
    let plan = solved(&bars(2400, 1, &lengths));
    assert_ne!(plan.proof, Proof::NotProven);
}

#[test]
fn nothing_wanted_costs_nothing() {
    let plan = solved(&Problem::default());
    assert_eq!((plan.bars.len(), plan.cost, plan.proof), (0, 0, Proof::Material));
    assert_eq!(solved(&bars(240, 0, &[(300, 0)])).cost, 0);
}

#[test]
fn what_cannot_be_cut_is_refused() {
    let piece = |length: i64, count: u64| Piece { length, count };
    let stock = |length: i64, price: i64, limit: Option<u64>| Stock { length, price, limit };
    let refused = |pieces: &[Piece], stock: &[Stock], kerf: i64| {
        let problem = Problem { pieces: pieces.to_vec(), stock: stock.to_vec(), kerf };
        problem.solve().unwrap_err()
    };
    let bar = stock(240, 1, None);
    assert_eq!(refused(&[piece(10, 1), piece(0, 1)], &[bar], 0), Refusal::PieceLength { piece: 1 });
    assert_eq!(refused(&[piece(-5, 1)], &[bar], 0), Refusal::PieceLength { piece: 0 });
    assert_eq!(refused(&[piece(5, 1)], &[bar, stock(0, 1, None)], 0), Refusal::StockLength { stock: 1 });
    assert_eq!(refused(&[piece(5, 1)], &[stock(9, -1, None)], 0), Refusal::Price { stock: 0 });
    assert_eq!(refused(&[piece(5, 1)], &[bar], -1), Refusal::Kerf);
    assert_eq!(refused(&[piece(5, 1)], &[], 0), Refusal::NoStock);
    assert_eq!(refused(&[piece(5, 1)], &[stock(9, 1, Some(0))], 0), Refusal::NoStock);
    assert_eq!(refused(&[piece(241, 1), piece(250, 1), piece(250, 2)], &[bar], 0), Refusal::TooLong { piece: 1 });
    for (length, count) in [(i64::MAX, 1), (5, u64::MAX), (1 << 51, 1), (5, (1 << 30) + 1)] {
        assert_eq!(refused(&[piece(length, count)], &[stock(i64::MAX, 1, None)], 0), Refusal::TooLarge);
    }
    assert_eq!(refused(&[piece(5, 1)], &[stock(9, i64::MAX, None)], 0), Refusal::TooLarge);
    assert_eq!(refused(&[piece(5, 1)], &[bar], i64::MAX), Refusal::TooLarge);
    assert_eq!(refused(&[piece(5, 1 << 30)], &[stock(9, 1 << 40, None)], 0), Refusal::TooLarge);
    let short = Refusal::StockShort { missing: 2, proven: true };
    assert_eq!(refused(&[piece(100, 7)], &[stock(240, 1, Some(2))], 0), short);
}

#[test]
fn the_largest_numbers_taken_are_reckoned_right() {
    let long = 1 << 50;
    let plan = solved(&bars(long, long, &[(long, 1 << 20), (1, 3)]));
    assert_eq!(plan.cost, (1 << 20) + 3);
    let plan = solved(&bars(long, 0, &[(long / 2, 1 << 30)]));
    assert_eq!(plan.cost, 1 << 29);
    let mut problem = bars(long, 0, &[(1, 1 << 30)]);
    problem.stock[0].price = 1 << 30;
    assert_eq!(solved(&problem).cost, 1 << 30);
}

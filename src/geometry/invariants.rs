//! What must hold for every solid.

use std::collections::BTreeMap;

use proptest::prelude::*;

use super::{
    cases::{Block, INCH, Job, WALL, assert_closed, is_top, is_under, is_upright, sum},
    *,
};
use crate::units::{Length, Volume};

#[test]
fn edges_that_lie_nearly_on_each_other_close_the_surface() {
    // An oblique edge of one piece along an edge of the other, rounded apart by a nanometre; an edge that leaves
    // another by a fifth of a degree; a short edge on a long one.
    let cases: [([Block; 2], [f64; 2]); 3] = [
        ([((0, 0.0), (1, 59.0), 2.0, 0.0, 1.0), ((1, 26.0), (2, 35.0), 2.0, 0.0, 1.0)], [90.0, 60.0]),
        ([((1, 0.0), (1, 5.0), 2.0, 0.0, 4.0), ((0, 0.0), (1, 7.0), 2.0, 0.0, 1.0)], [-89.804_043_008_877_27, 90.0]),
        ([((0, 0.0), (1, 15.0), 4.0, 0.0, 7.0), ((0, 0.0), (0, 57.0), 5.0, 0.0, 1.0)], [-78.944_659_240_816_34, 90.0]),
    ];
    for (blocks, turns) in cases {
        let made = possible(0.0, &turns, &blocks).solid();
        assert_eq!(made.overlap.len(), 1);
    }
}

fn spans() -> impl Strategy<Value = Vec<Block>> {
    // Whole inches, so that touching and overlapping are both common.
    let at = (0_usize..3, 0_u8..60);
    let block = (at.clone(), at, 2_u8..9, -10_i8..10, 1_u8..20);
    prop::collection::vec(block, 1..6).prop_map(|blocks| {
        blocks
            .into_iter()
            .map(|(a, b, t, bottom, height)| {
                let (from, to) = if a <= b { (a, b) } else { (b, a) };
                let to = if from == to { (to.0, to.1 + 5) } else { to };
                let bottom = f64::from(bottom);
                let (from, to) = ((from.0, f64::from(from.1)), (to.0, f64::from(to.1)));
                (from, to, f64::from(t), bottom, bottom + f64::from(height))
            })
            .collect()
    })
}

/// The job of these blocks, less those there is no strip for.
fn possible(heading: f64, turns: &[f64], blocks: &[Block]) -> Job {
    let mut job = Job::new(INCH, heading, &[60.0, 60.0, 60.0], turns, &[]);
    for (index, &(from, to, t, bottom, top)) in blocks.iter().enumerate() {
        let (from, to) = ((from.0, job.length(from.1)), (to.0, job.length(to.1)));
        let made = job.run.strip(from, to, &|_| Length::ZERO, &|_| Length::round_nm(t * INCH));
        if let Ok(made) = made {
            let (bottom, top) = (job.length(bottom), job.length(top));
            job.pieces.push(Piece { outline: made.outline, bottom, top, id: index as u32 });
        }
    }
    job
}

fn turns() -> impl Strategy<Value = Vec<f64>> {
    let turn = prop_oneof![Just(90.0), Just(-90.0), Just(60.0), Just(0.0), -130.0..130.0];
    prop::collection::vec(turn, 2)
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-7 * a.abs().max(b.abs()) + 1e6
}

fn measures(made: &Solid<u8>) -> [f64; 5] {
    [
        made.volume.nm3() as f64 / 1e9,
        sum(made, is_upright),
        sum(made, is_top),
        sum(made, is_under),
        sum(made, |face| face.behind == Some(WALL)),
    ]
}

/// Sums of face areas scatter by the rounding of oblique corners: 1 nm over a height of some metres.
const ROUNDED: f64 = 1e11;

/// The order decides which of two edges that cross at a small angle keeps the stretch on which they lie within `TOUCH` of each
/// other: a thousand times that long at a thousandth of a turn, over a height of some inches.
const SHARP: f64 = 1000.0 * carve::TOUCH * 20.0 * INCH;

fn assert_same(one: &Solid<u8>, two: &Solid<u8>, off: f64) {
    for (a, b) in measures(one).into_iter().zip(measures(two)) {
        assert!((a - b).abs() <= 1e-7 * a.abs() + off, "{:?} and {:?}", measures(one), measures(two));
    }
}

#[test]
fn edges_that_cross_at_a_small_angle_are_one_in_either_order() {
    let blocks: [Block; 3] = [
        ((0, 0.0), (2, 15.0), 2.0, 0.0, 9.0),
        ((0, 0.0), (1, 55.0), 7.0, 0.0, 9.0),
        ((2, 0.0), (2, 8.0), 2.0, 0.0, 1.0),
    ];
    let mut job = possible(0.0, &[90.0, -128.601_209_971_604_13], &blocks);
    let one = job.solid();
    job.pieces.reverse();
    assert_same(&one, &job.solid(), SHARP);
}

/// What turned up once: of a triangle of 0.4 mm by 2 mm the plan is off by more than half of what carving may move.
#[test]
fn a_small_triangle_is_drawn_as_exactly_as_its_edges_lie() {
    let blocks = [((0, 5.0), (2, 53.0), 6.0, 0.0, 1.0), ((0, 3.0), (0, 6.0), 2.0, 0.0, 2.0)];
    possible(0.0, &[-126.769_637_821_754_06, -111.170_666_244_584_92], &blocks).solid();
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn the_surface_is_closed(blocks in spans(), turns in turns(), heading in 0.0..360.0) {
        possible(heading, &turns, &blocks).solid();
    }

    #[test]
    fn turning_the_job_changes_nothing(blocks in spans(), turns in turns(), heading in 0.0..360.0) {
        let (one, two) = (possible(0.0, &turns, &blocks).solid(), possible(heading, &turns, &blocks).solid());
        assert_same(&one, &two, ROUNDED);
        if turns.iter().all(|turn| turn % 90.0 == 0.0) {
            prop_assert_eq!(one.volume, two.volume);
        }
    }

    #[test]
    fn the_order_of_pieces_changes_nothing(blocks in spans(), turns in turns()) {
        let mut job = possible(0.0, &turns, &blocks);
        let one = job.solid();
        job.pieces.reverse();
        let two = job.solid();
        assert_same(&one, &two, SHARP);
        if turns.iter().all(|turn| turn % 90.0 == 0.0) {
            prop_assert_eq!(one.volume, two.volume);
        }
    }

    #[test]
    fn the_datum_changes_nothing(blocks in spans(), turns in turns(), shift in -5000_i64..5000) {
        let mut job = possible(0.0, &turns, &blocks);
        let one = job.solid();
        let shift = Length::from_nm(shift * 396_875);
        for piece in &mut job.pieces {
            piece.bottom += shift;
            piece.top += shift;
        }
        let two = job.solid();
        prop_assert_eq!(one.volume, two.volume);
        prop_assert_eq!(one.faces.len(), two.faces.len());
        prop_assert_eq!(sum(&one, is_upright), sum(&two, is_upright));
    }

    #[test]
    fn splitting_a_piece_at_a_station_changes_nothing(
        turn in prop_oneof![Just(90.0), Just(-90.0), -60.0..60.0],
        heading in 0.0..360.0,
        at in (0_usize..2, 12.0..48.0),
    ) {
        let whole = possible(heading, &[turn, 0.0], &[((0, 0.0), (1, 60.0), 8.0, 0.0, 20.0)]).solid();
        let halves = [((0, 0.0), at, 8.0, 0.0, 20.0), (at, (1, 60.0), 8.0, 0.0, 20.0)];
        let halves = possible(heading, &[turn, 0.0], &halves).solid();
        prop_assert!(halves.overlap.is_empty());
        prop_assert!(near(whole.volume.nm3() as f64, halves.volume.nm3() as f64));
        for (a, b) in measures(&whole).into_iter().zip(measures(&halves)) {
            prop_assert!((a - b).abs() <= 1e-7 * a.abs(), "{:?} {:?}", measures(&whole), measures(&halves));
        }
    }

    #[test]
    fn whatever_the_outlines_nothing_panics(
        rings in prop::collection::vec(prop::collection::vec((-6_i8..7, -6_i8..7), 0..9), 1..9),
        scale in prop_oneof![Just(0.3), Just(1.0), Just(40.0), Just(1e7), Just(1e11), Just(1e200)],
        heading in 0.0..360.0,
    ) {
        let frame = Frame::new(Point::default(), heading);
        let outline = |ring: &Vec<(i8, i8)>| {
            let points: Vec<Point> = ring.iter().map(|&(x, y)| frame.at(f64::from(x) * scale, f64::from(y) * scale)).collect();
            Outline::polygon(&points)
        };
        let (mut pieces, mut voids, mut olds) = (Vec::new(), Vec::new(), Vec::new());
        for (index, ring) in rings.iter().enumerate() {
            let (outline, bottom, top) = (outline(ring), Length::INCH * (index as i64 % 2), Length::FOOT);
            match index % 4 {
                0 | 1 => pieces.push(Piece { outline, bottom, top, id: index as u32 }),
                2 => voids.push(Void { outline, bottom, top: Length::INCH * 4 }),
                _ => olds.push(Old { outline, bottom, top: Length::INCH * 6, tag: 3_u8 }),
            }
        }
        let made = solid(&pieces, &voids, &olds, true);
        prop_assert!(made.faces.iter().all(|face| face.area > crate::units::Area::ZERO));
        prop_assert_eq!(made.pieces.iter().copied().sum::<Volume>(), made.volume);
    }

    #[test]
    fn boxes_on_a_line_agree_with_counting_cubes(blocks in spans(), voids in spans(), olds in spans(), heading in 0.0..360.0) {
        let [blocks, voids, olds] = [blocks, voids, olds].map(|blocks| straightened(&blocks));
        let mut job = possible(heading, &[0.0, 0.0], &blocks);
        let strips = |blocks: &[Block]| possible(heading, &[0.0, 0.0], blocks).pieces;
        let voids_there: Vec<Void> = strips(&voids)
            .into_iter()
            .map(|piece| Void { outline: piece.outline, bottom: piece.bottom, top: piece.top })
            .collect();
        let of_old = |piece: Piece| Old { outline: piece.outline, bottom: piece.bottom, top: piece.top, tag: piece.id as u8 };
        job.surroundings = strips(&olds).into_iter().map(of_old).collect();
        let made = solid(&job.pieces, &voids_there, &job.surroundings, true);
        assert_closed(&made);

        let counted = count_cubes(&blocks, &voids, &olds);
        let cubic_inch: i128 = 25_400_000 * 25_400_000 * 25_400_000;
        prop_assert_eq!(made.volume, Volume::from_nm3(counted.cubes * cubic_inch));
        for tag in (0..=olds.len()).map(|index| (index < olds.len()).then_some(index as u8)) {
            let count = |kind: usize| counted.faces.get(&(kind, tag)).copied().unwrap_or(0) as f64;
            let measured = |kind: fn(&Face<u8>) -> bool| sum(&made, |face| kind(face) && face.behind == tag) / INCH / INCH;
            prop_assert_eq!(measured(is_upright), count(0));
            prop_assert_eq!(measured(is_top), count(1));
            prop_assert_eq!(measured(is_under), count(2));
        }
    }
}

/// The blocks on the first leg alone, as far as they have length there.
fn straightened(blocks: &[Block]) -> Vec<Block> {
    let on_first = blocks.iter().map(|&(a, b, t, z, top)| ((0, a.1.min(b.1)), (0, a.1.max(b.1)), t, z, top));
    on_first.filter(|(from, to, ..)| from.1 < to.1).collect()
}

/// What [`count_cubes`] counts.
struct Counted {
    cubes: i128,
    /// Squares of upright (0), top (1) and under (2) faces by what lies behind them.
    faces: BTreeMap<(usize, Option<u8>), i64>,
}

/// Blocks less voids among old things, by cubic inches and their six neighbours.
fn count_cubes(blocks: &[Block], voids: &[Block], olds: &[Block]) -> Counted {
    let inside = |block: &Block, [x, y, z]: [i32; 3]| {
        let [x, y, z] = [x, y, z].map(|at| f64::from(at) + 0.5);
        x > block.0.1 && x < block.1.1 && y > 0.0 && y < block.2 && z > block.3 && z < block.4
    };
    let solid_at =
        |at: [i32; 3]| blocks.iter().any(|block| inside(block, at)) && !voids.iter().any(|void| inside(void, at));
    let mut counted = Counted { cubes: 0, faces: BTreeMap::new() };
    for x in 0..70 {
        for y in 0..10 {
            for z in -11..31 {
                if !solid_at([x, y, z]) {
                    continue;
                }
                counted.cubes += 1;
                let uprights = [[x - 1, y, z], [x + 1, y, z], [x, y - 1, z], [x, y + 1, z]];
                let level = [(1, [x, y, z + 1]), (2, [x, y, z - 1])];
                for (kind, at) in uprights.into_iter().map(|at| (0, at)).chain(level) {
                    if !solid_at(at) {
                        let behind = olds.iter().position(|old| inside(old, at)).map(|index| index as u8);
                        *counted.faces.entry((kind, behind)).or_insert(0) += 1;
                    }
                }
            }
        }
    }
    counted
}

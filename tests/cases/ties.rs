//! Closed ties and hooks: cut lengths against figures worked out elsewhere, and where they lie.

use batterboard::{
    compile::Compiled,
    schema::Direction,
    steel::{Shape, lines},
};
use proptest::prelude::*;

use super::{compiled, fine, found, near};

fn text(size: &str, legs: &str) -> String {
    format!(
        "line edge {{ leg a 20' }}
section s {{ along edge; thick 4'; height -4' to 4' }}
bars b {{ size {size}; along s; space at 5'; from offset 2\", height 1\"; legs {legs} }}
pour p {{ fill s; mix bag-80-lb }}"
    )
}

fn shape(size: &str, legs: &str) -> Shape {
    fine(&text(size, legs)).works.bars[0].groups[0].shape.clone()
}

fn cut(size: &str, legs: &str) -> f64 {
    shape(size, legs).cut.inches()
}

#[test]
fn cut_lengths_of_hooked_bars() {
    // Tails of ACI 318-19 Table 25.3.1, least inside diameters.
    near(cut("#4", "up 36\", hook at end 180 deg right"), 41.9978, 5e-5); // BND-5
    near(cut("#4", "up 30\", hook at end 90 deg right"), 36.7489, 5e-5); // BND-6
    near(cut("#4", "up 30\", hook at start 90 deg out"), 36.7489, 5e-5);
    // What a hook of 180 and of 90 degrees adds, by size (table of section 2.5 of the basis, worked out there by script).
    for (size, square, back) in [
        ("#3", 5.062, 5.123),
        ("#4", 6.749, 5.998),
        ("#5", 8.436, 6.872),
        ("#6", 10.123, 8.247),
        ("#7", 11.811, 9.621),
        ("#8", 13.498, 10.996),
        ("#9", 15.869, 14.819),
        ("#10", 17.867, 16.684),
        ("#11", 19.837, 18.523),
    ] {
        near(cut(size, "up 40\", hook at end 90 deg right") - 40.0, square, 6e-4);
        near(cut(size, "up 40\", hook 180 deg right") - 40.0, 2.0 * back, 1.2e-3);
    }
    // A longer tail is added as it is.
    near(cut("#4", "up 36\", hook at end 180 deg right, tail 6\""), 41.9978 + 3.5, 5e-5);
}

#[test]
fn cut_lengths_of_closed_ties() {
    // Table 25.3.2: inside diameter 4 d, tails 6 d or 3 in.
    near(cut("#3", "up 12\", out 8\", down 12\", in 8\", hook 135 deg"), 45.8357, 5e-5); // BND-7
    near(cut("#4", "up 16\", out 10\", down 16\", in 10\", hook 135 deg"), 57.7810, 5e-5); // BND-8
    near(cut("#3", "up 12\", out 8\", down 12\", in 8\", hook 90 deg"), 44.3631, 5e-5); // BND-9
    // Tails of 10 d (EN 1992-1-1 Figure 8.5), so that the end projects r + d + 10 d = 130 mm: BND-16.
    near(cut("10mm", "up 400 mm, out 250 mm, down 400 mm, in 250 mm, hook 90 deg") * 25.4, 1456.35, 5e-3);
    // What a hook of 135 degrees adds, by size: a tie is 2 (w + h) - 3 D90 + 2 add.
    for (size, bend, add) in [("#3", 0.777, 4.084), ("#4", 1.037, 4.445), ("#5", 1.296, 5.557), ("#6", 1.877, 7.685)] {
        let tie = cut(size, "up 20\", out 20\", down 20\", in 20\", hook 135 deg");
        near(tie, 80.0 - 3.0 * bend + 2.0 * add, 3e-3);
    }
    let tie = shape("#4", "up 16\", out 10\", down 16\", in 10\", hook 135 deg");
    near(tie.inside.inches(), 2.0, 1e-9);
    // Legs less r + d at a hook and at a bend: 16 - 3 and 10 - 3.
    let straights: Vec<f64> = tie.straights().iter().map(|part| part.inches()).collect();
    for (part, wanted) in straights.iter().zip([3.0, 13.0, 7.0, 13.0, 7.0, 3.0]) {
        near(*part, wanted, 1e-6);
    }
    // Arcs at a centre-line radius of 1.25 in.
    let arcs: Vec<f64> = tie.arcs().iter().map(|arc| arc.length.inches() / 1.25).collect();
    for (arc, degrees) in arcs.iter().zip([135.0_f64, 90.0, 90.0, 90.0, 135.0]) {
        near(*arc, degrees.to_radians(), 1e-6);
    }
}

#[test]
fn only_a_tie_is_bent_as_tightly_as_one() {
    let inside = |legs: &str| shape("#4", legs).inside.inches();
    near(inside("up 16\", out 10\", down 16\", in 10\", hook 90 deg"), 2.0, 1e-9);
    near(inside("up 16\", out 10\", down 16\", hook 135 deg"), 2.0, 1e-9);
    near(inside("up 16\", out 20\", down 16\", hook 90 deg"), 3.0, 1e-9);
    // With the legs nearer to each other the hooks would run through each other.
    assert_eq!(found(&text("#4", "up 16\", out 10\", down 16\", hook 90 deg")), ["bar-crosses-itself"]);
    near(inside("up 16\", out 10\", down 16\""), 3.0, 1e-9);
    near(inside("up 16\", out 10\", down 16\", in 10\", hook 135 deg, bend 2 1/2\""), 2.5, 1e-9);
    assert_eq!(found(&text("#4", "up 16\", out 10\", down 16\", in 10\", hook 135 deg, bend 1 1/2\"")), ["bend-tight"]);
    // Above #5 a tie is bent as other bars are; ISO sizes likewise.
    near(shape("#6", "up 16\", out 16\", down 16\", in 16\", hook 135 deg").inside.inches(), 4.5, 1e-9);
    near(shape("12mm", "up 400 mm, out 300 mm, down 400 mm, in 300 mm, hook 135 deg").inside.metres(), 0.048, 1e-12);
}

/// The corners of the first bar's centre line: out of the face and up, in inches.
fn corners(job: &Compiled) -> Vec<(f64, f64)> {
    let made = &job.works.bars[0];
    let line = lines(made, &made.groups[0], None, &job.works.standing).next().unwrap();
    line.walk.vertices.iter().map(|spot| (-spot.plan.y / 25.4e6, spot.height / 25.4e6)).collect()
}

#[test]
fn a_tie_lies_where_its_legs_say_with_both_tails_in_its_core() {
    // By hand: d = 3/8, r = 3/4, centre-line radius 15/16. Both bends are round (2 15/16, 2 1/8); the arcs of 135 degrees
    // end beside it at 315 and at 135 degrees, and the tails go on 3 in up and out at 45 degrees.
    let job = fine(&text("#3", "up 12\", out 6\", down 12\", in 6\", hook 135 deg"));
    let all = corners(&job);
    assert_eq!(all.len(), 9);
    let diagonal = std::f64::consts::FRAC_1_SQRT_2;
    let ends = |sign: f64| {
        let along = 0.9375 * diagonal * sign;
        (2.9375 + along + 3.0 * diagonal, 2.125 - along + 3.0 * diagonal)
    };
    let wanted = [(0, ends(1.0)), (3, (2.0, 12.8125)), (4, (7.625, 12.8125)), (5, (7.625, 1.1875)), (8, ends(-1.0))];
    for (at, (out, up)) in wanted {
        near(all[at].0, out, 1e-6);
        near(all[at].1, up, 1e-6);
    }
    // On the way the leg and its hook are on one line.
    near(all[2].0, 2.0, 1e-6);
    near(all[6].1, 1.1875, 1e-6);
}

#[test]
fn hooks_turn_to_the_inside_unless_a_direction_is_said() {
    let ways = |legs: &str| shape("#4", legs).hooks.map(|hook| hook.map(|hook| hook.way));
    let up = "up 18\", out 12\"";
    assert_eq!(ways(&format!("{up}, hook 90 deg")), [Some(Direction::Out), Some(Direction::Down)]);
    assert_eq!(ways(&format!("{up}, hook at end 180 deg up")), [None, Some(Direction::Up)]);
    assert_eq!(ways(&format!("{up}, hook at start 90 deg right")), [Some(Direction::Right), None]);
    // Both: the one said for an end goes before the one for both.
    let job = fine(&text("#4", &format!("{up}, hook 90 deg, hook at end 180 deg")));
    let turns = job.works.bars[0].groups[0].shape.hooks.map(|hook| hook.unwrap().turn);
    assert_eq!(turns, [90.0, 180.0]);
    for legs in ["up 18\", hook 90 deg", "up 18\", hook 90 deg down", "up 18\", out 12\", hook 100 deg"] {
        let found = found(&text("#4", legs));
        assert!(found.iter().all(|name| *name == "hook-unclear") && !found.is_empty(), "{legs} {found:?}");
    }
}

#[test]
fn tails_bends_and_crossings_that_cannot_be_are_said() {
    let found = |size: &str, legs: &str| found(&text(size, legs));
    assert_eq!(found("#4", "up 36\", hook at end 180 deg right, tail 2\""), ["tail-short"]);
    assert_eq!(found("#4", "up 36\", hook at end 180 deg right, tail 2 1/2\""), [""; 0]);
    assert_eq!(found("#6", "up 20\", out 20\", down 20\", in 20\", hook 90 deg, tail 8\""), ["tail-short"]);
    assert_eq!(found("#6", "up 20\", out 20\", down 20\", in 20\", hook 90 deg, tail 9\""), [""; 0]);
    // A hook of 180 degrees takes r + d = 2 in of its leg; with the bend at the other end 4 in are used.
    assert_eq!(found("#4", "up 36\", out 3 3/4\", hook at end 180 deg up"), ["leg-bends"]);
    assert_eq!(found("#4", "up 36\", out 4\", hook at end 180 deg up"), [""; 0]);
    assert_eq!(found("#3", "up 12\", out 6\", down 12\", in 6\""), ["bar-crosses-itself"]);
    assert_eq!(found("#3", "up 12\", out 6\", down 12\", in 6\", hook at start 135 deg"), ["bar-crosses-itself"]);
    assert_eq!(found("12mm", "up 300 mm, out 119 mm, up 300 mm"), ["leg-straight"]);
    // 4 d = 48 mm between bends that take r + d = 36 mm each.
    assert_eq!(found("12mm", "up 300 mm, out 120 mm, up 300 mm"), [""; 0]);
    assert_eq!(found("#4", "up 12\", out 4 1/2\", up 12\""), [""; 0]);
}

/// The same legs from the other end.
fn reversed(legs: &[(Direction, u32)]) -> Vec<(Direction, u32)> {
    legs.iter().rev().map(|(direction, length)| (direction.opposite(), *length)).collect()
}

fn written(legs: &[(Direction, u32)], hooks: &str) -> String {
    let legs: Vec<String> =
        legs.iter().map(|(direction, length)| format!("{} {}\"", direction.word(), f64::from(*length) / 8.0)).collect();
    format!("{}{hooks}", legs.join(", "))
}

const WAYS: [Direction; 6] =
    [Direction::Up, Direction::Out, Direction::Right, Direction::Down, Direction::In, Direction::Left];

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]
    #[test]
    fn a_bar_is_as_long_as_its_line_and_from_either_end(
        steps in prop::collection::vec((0..4_usize, 60..200_u32), 2..6),
        hooks in prop::sample::select(vec!["", ", hook 90 deg", ", hook 135 deg", ", hook 180 deg"]),
        size in prop::sample::select(vec!["#3", "#4", "#5"]),
    ) {
        let mut legs: Vec<(Direction, u32)> = Vec::new();
        for (pick, length) in steps {
            let along = |way: &Direction| legs.last().is_some_and(|(last, _)| way == last || *way == last.opposite());
            let fit: Vec<Direction> = WAYS.into_iter().filter(|way| !along(way)).collect();
            legs.push((fit[pick % fit.len()], length));
        }
        let job = compiled(&text(size, &written(&legs, hooks)));
        prop_assume!(!job.works.bars.is_empty());
        let made = &job.works.bars[0];
        let shape = &made.groups[0].shape;
        let line = lines(made, &made.groups[0], None, &job.works.standing).next().unwrap();
        // Fine chords all along the line: as long as the cut, to a hundred thousandth.
        let chords: f64 = line.walk.segments(1000.0).iter().map(|chord| {
            (0..3).map(|at| (chord.to[at] - chord.from[at]).powi(2)).sum::<f64>().sqrt()
        }).sum();
        let cut = shape.cut.nm() as f64;
        prop_assert!((chords - cut).abs() < cut * 2e-5, "{chords} {cut}");
        let parts: f64 = shape.straights().iter().map(|part| part.nm() as f64).sum::<f64>()
            + shape.arcs().iter().map(|arc| arc.length.nm() as f64).sum::<f64>();
        prop_assert!((parts - cut).abs() < 20.0, "{parts} {cut}");
        let back = compiled(&text(size, &written(&reversed(&legs), hooks)));
        prop_assert_eq!(back.works.bars[0].groups[0].shape.cut, shape.cut);
        // In a mirror nothing gets longer.
        let mirrored: Vec<_> = legs.iter().map(|(way, length)| match way {
            Direction::Left | Direction::Right => (way.opposite(), *length),
            _ => (*way, *length),
        }).collect();
        let mirrored = compiled(&text(size, &written(&mirrored, hooks)));
        prop_assert_eq!(mirrored.works.bars[0].groups[0].shape.cut, shape.cut);
    }
}

//! How near bars come to faces and to each other, against distances worked out by hand.

use batterboard::{
    compile::Compiled,
    concrete::Class,
    steel::{Near, Outside},
    units::Length,
};
use proptest::prelude::*;

use super::{fine, found, near};

fn inches(length: Length) -> f64 {
    length.nm() as f64 / 25.4e6
}

/// The least cover of the bars of one block to one class of faces, in inches.
#[track_caller]
fn cover(job: &Compiled, bars: &str, class: Class) -> f64 {
    let covers = job.works.clearances.covers.iter();
    let mine = covers.filter(|cover| job.job.name(cover.bar.bars) == bars && cover.class == class);
    let least = mine.map(|cover| cover.clear).min();
    inches(least.unwrap_or_else(|| panic!("{bars} have no cover to {class:?}")))
}

fn of<'n>(job: &Compiled, all: &'n [Near], one: &str, other: &str) -> Option<&'n Near> {
    let name = |near: &Near| {
        let mut names = [job.job.name(near.first.bars), job.job.name(near.second.bars)];
        names.sort_unstable();
        names.map(str::to_owned)
    };
    let mut wanted = [one, other];
    wanted.sort_unstable();
    all.iter().find(|near| name(near) == wanted)
}

/// The old wall of these cases: 8 in thick, its leg 10 ft, round an outside corner a leg of 3 ft.
const WALL: &str = r#"
wall old { leg back 10'; corner outside; leg side 3'; thick 8"; height -12" to 26"; of concrete }
"#;

const ADDED: &str = r#"
section low { along old.back 0 to 6'; thick 8"; height -4" to 12" }
section high { along old.back 6' to old.side 3'; thick 8"; height -4" to 20" }
mix bagged { bag 80 lb, yields 0.60 ft3; stone 1/2" }
pour all { fill low, high; mix bagged }
"#;

fn with(bars: &str) -> Compiled {
    fine(&format!("{WALL}{ADDED}{bars}"))
}

#[test]
fn covers_are_of_the_section_a_bar_lies_in() {
    let job = with(r#"bars crown { size #4; along low, high; rows height top - 3"; offset 4 1/2" }"#);
    // The crown of the higher section begins 2 in behind the step, and is no crown of the lower one.
    let tops = job.works.clearances.covers.iter().filter(|cover| cover.class == Class::Top);
    let tops: Vec<(&str, f64)> = tops.map(|cover| (job.job.name(cover.section), inches(cover.clear))).collect();
    assert_eq!(tops.len(), 2);
    for ((section, clear), wanted) in tops.into_iter().zip(["low", "high"]) {
        assert_eq!(section, wanted);
        near(clear, 2.75, 1e-6);
    }
    let job = with(r#"bars crown { size #4; along high; rows height 13"; offset 4 1/2" }"#);
    let tops = job.works.clearances.covers.iter().filter(|cover| cover.class == Class::Top);
    let tops: Vec<&str> = tops.map(|cover| job.job.name(cover.section)).collect();
    assert_eq!(tops, ["high"]);
}

#[test]
fn covers_of_a_long_bar() {
    let job = with(r#"bars rails { size #4; along low, high; rows height 3 1/2", 9 1/2"; offset 4 1/2" }"#);
    // 8 - 4 1/2 - 1/4 to the form, 4 1/2 - 1/4 to the old face, 3 1/2 + 4 - 1/4 to the ground, 12 - 9 1/2 - 1/4 to the top
    // of the lower section, 2 at the ends.
    near(cover(&job, "rails", Class::Formed), 3.25, 1e-6);
    near(cover(&job, "rails", Class::Old), 4.25, 1e-6);
    near(cover(&job, "rails", Class::Ground), 7.25, 1e-6);
    near(cover(&job, "rails", Class::Top), 2.25, 1e-6);
    near(cover(&job, "rails", Class::End), 2.0, 1e-6);
    assert!(job.works.clearances.outside.is_empty());
    let parallel = &job.works.clearances.parallel;
    assert!(of(&job, parallel, "rails", "rails").is_none(), "6 in apart: farther than any rule asks for");
}

/// How near the bars of one block come to a thing that is kept clear, in inches, and how many come too near.
#[track_caller]
fn to_thing(job: &Compiled, bars: &str, thing: &str) -> (f64, u64) {
    let all = &job.works.clearances.kept_clear;
    let found = all.iter().find(|near| job.job.name(near.bar.bars) == bars && job.job.name(near.thing) == thing);
    let found = found.unwrap_or_else(|| panic!("{bars} are not near {thing}"));
    (inches(found.clear), found.bars)
}

#[test]
fn bars_against_what_is_kept_clear() {
    let job = with(
        r#"
clear vent { on old.back at 3'; height 6 1/2"; radius 5" }
clear pipe { along old.back 1' to 5'; height -1" to 2"; radius 1" }
clear strap { on old.back at 8'; radius 4" }
clear tube { along old.back 1' to 5'; offset 5"; radius 2" }
crack split { on old.back at 4'; height 0 to 10"; gap 1/16" }
bars rails { size #4; along low, high; rows height 3 1/2", 9 1/2"; offset 4 1/2" }
bars rises { size #4; along high; space at 7', 8', 9'; from offset 4", height -3/4"; legs up 18" }
"#,
    );
    // Both rows are 3 in above or below the vent and 4 1/2 in out.
    let (clear, bars) = to_thing(&job, "rails", "vent");
    near(clear, 4.5_f64.hypot(3.0) - 0.25, 1e-6);
    assert_eq!(bars, 0);
    // The pipe reaches up to 2 in: 1 1/2 in below the lower row.
    near(to_thing(&job, "rails", "pipe").0, 4.5_f64.hypot(1.5) - 0.25, 1e-6);
    // Without a level it is at every level: one upright stands right before it, less than 4 in from it.
    assert_eq!(to_thing(&job, "rises", "strap"), (3.75, 1));
    near(to_thing(&job, "rails", "strap").0, 4.25, 1e-6);
    let things = |name: &str| job.works.clearances.kept_clear.iter().any(|near| job.job.name(near.thing) == name);
    assert!(!things("tube"), "it is not said how deep it lies");
    assert!(!things("split"), "a crack is no hindrance to bars before it");
    let told: Vec<String> = job
        .problems
        .iter()
        .filter(|problem| problem.rule.name == "bar-in-clear")
        .map(|problem| problem.says(batterboard::units::System::Feet))
        .collect();
    assert_eq!(told, ["`rises` comes within 3 3/4\" of `strap`; 4\" round it is to be kept clear"]);
}

#[test]
fn a_bar_bent_round_a_corner_is_nearest_at_its_arc_or_not_at_all() {
    // Round an inside corner the bar's arc cuts the corner on the face's side; to the form it is as far as on the legs.
    let job = fine(
        r#"
wall nook { leg a 6'; corner inside; leg b 6'; thick 8"; height -12" to 30"; of concrete }
section whole { along nook; thick 8"; height 0 to 20" }
mix bagged { bag 80 lb, yields 0.60 ft3 }
pour all { fill whole; mix bagged }
bars long { size #4; along whole; rows height 6"; offset 4" }
"#,
    );
    near(cover(&job, "long", Class::Formed), 8.0 - 4.0 - 0.25, 1e-6);
    near(cover(&job, "long", Class::Old), 4.0 - 0.25, 1e-6);
    // Round the outside corner the arc lies nearer to the corner of the old wall than the corner of the bar would:
    // (4 - 1.75) sqrt 2 + 1.75 - 1/4 = 4.68, still more than 3.75 on the legs.
    let job = with(r#"bars crown { size #4; along high; rows height 6"; offset 4" }"#);
    near(cover(&job, "crown", Class::Old), 3.75, 1e-6);
}

#[test]
fn a_tight_arc_comes_nearer_than_its_legs() {
    // A bar with bends of 20 in inside diameter round the outside corner: its arc has its centre 10.25 in inside both legs of
    // the bar, 4.5 in out of each face: 5.75 in behind each face. The corner of the old wall is 5.75 sqrt 2 = 8.13 in from
    // the centre; the arc passes 10.25 - 8.13 - 0.25 = 1.868 in before it.
    let job = with(
        r#"
steel stiff { diameter 1/2"; area 0.20 in2; weight 0.668 lb, per ft; bend 20" }
bars crown { size stiff; along high; rows height 6"; offset 4 1/2" }"#,
    );
    near(cover(&job, "crown", Class::Old), 10.25 - 5.75 * 2.0_f64.sqrt() - 0.25, 0.005);
}

#[test]
fn parallel_bars_are_measured_across_and_crossing_ones_only_where_they_meet() {
    let job = with(
        r#"
bars rails { size #4; along low; rows height 4", 5 1/4"; offset 4 1/2" }
bars ties { size #4; along low; space at most 12"; inset 6"; from offset 4", height -1/2"; legs up 10" }"#,
    );
    let clear = &job.works.clearances;
    // Axes 1 1/4 in apart, less two radii; crossing bars touch: 4 1/2 - 4 = 1/2, two radii.
    near(inches(of(&job, &clear.parallel, "rails", "rails").expect("near").clear), 0.75, 1e-6);
    assert!(clear.clashes.is_empty() && of(&job, &clear.parallel, "rails", "ties").is_none());
    let job = with(
        r#"
bars rails { size #4; along low; rows height 4", 6"; offset 4 1/4" }
bars ties { size #4; along low; space at most 12"; inset 6"; from offset 4", height -1/2"; legs up 10" }"#,
    );
    let clash = of(&job, &job.works.clearances.clashes, "rails", "ties").expect("a clash");
    near(inches(clash.clear), -0.25, 1e-6);
    assert_eq!(clash.pairs, 2 * 6, "every tie and both rails");
}

#[test]
fn bars_that_end_before_each_other_are_not_side_by_side() {
    let job = with(
        r#"
bars one { size #4; along old.back 0 to 3'; rows height 4"; offset 4"; ends 1/4" }
bars two { size #4; along old.back 3' to 6'; rows height 4"; offset 4"; ends 1/4" }"#,
    );
    let clear = &job.works.clearances;
    assert!(of(&job, &clear.parallel, "one", "two").is_none() && clear.clashes.is_empty());
}

fn outside(job: &Compiled) -> Vec<(&str, bool, u64)> {
    let of = |one: &Outside| (job.job.name(one.bar.bars).to_owned(), one.whole, one.bars);
    let all = &job.works.clearances.outside;
    all.iter().map(|one| (job.job.name(one.bar.bars), of(one).1, of(one).2)).collect()
}

#[test]
fn bars_that_come_out_are_told_from_bars_that_lie_outside() {
    let job = with(
        r#"
holes pins { into old; along low; rows height 4"; inset 6"; space at most 12"; bore 5/8" by 6" }
bars long-pegs { size #4; in pins; out 9" }
bars off { size #4; along low; rows height 4"; offset 12" }
bars high-up { size #4; along low; space at most 12"; inset 6"; from offset 4", height 0; legs up 20" }"#,
    );
    assert_eq!(outside(&job), [("long-pegs", false, 6), ("off", true, 1), ("high-up", false, 6)]);
    let place = job.works.clearances.outside[0].at;
    // Through the form, 8 in out, where the first dowel is.
    near(inches(place.offset), 8.0, 1e-6);
    near(inches(place.station), 6.0, 1e-6);
    near(inches(place.height), 4.0, 1e-6);
}

#[test]
fn a_bar_through_a_void_comes_out_and_one_over_it_has_its_cover() {
    let job = with(
        r#"
void vent { in low; on old.back 2' to 3'; height 0 to 6" }
bars through { size #4; along low; rows height 4"; offset 4" }
bars over { size #4; along low; rows height 8"; offset 4" }"#,
    );
    assert_eq!(outside(&job), [("through", false, 1)]);
    near(cover(&job, "over", Class::Void), 2.0 - 0.25, 1e-6);
}

#[test]
fn under_a_wall_on_a_footing_only_the_free_part_of_the_top_counts() {
    let job = fine(
        r#"
line run { leg a 10' }
section foot { along run; thick 20"; height 0 to 8" }
section stem { along run; offset 6" to 14"; height 8" to 24"; base soil }
mix bagged { bag 80 lb, yields 0.60 ft3 }
pour all { fill foot, stem; mix bagged }
bars mid { size #4; along foot; rows height 5"; offset 10" }
bars edge { size #4; along foot; rows height 5"; offset 3" }
"#,
    );
    // The middle bar lies under the stem: to the free top it is 4 in across and 3 in up.
    near(cover(&job, "mid", Class::Top), 5.0 - 0.25, 1e-6);
    near(cover(&job, "edge", Class::Top), 3.0 - 0.25, 1e-6);
}

#[test]
fn where_a_slab_or_another_pour_lies_there_is_no_cover_to_it() {
    let job = fine(
        r#"
line run { leg a 10' }
section foot { along run; thick 20"; height 0 to 8" }
section stem { along run; offset 6" to 14"; height 8" to 24" }
mix bagged { bag 80 lb, yields 0.60 ft3 }
pour one { fill foot; mix bagged }
pour two { fill stem; mix bagged }
bars up { size #4; along foot; space at most 16"; inset 4"; from offset 10", height 3 1/4"; legs up 17" }
"#,
    );
    // The bars pass from one pour to the next; that is no coming out.
    assert_eq!(outside(&job), []);
    near(cover(&job, "up", Class::Top), 3.75, 1e-6);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]

    /// A long bar anywhere in a straight wall: moved by a millimetre towards a flat face it loses a millimetre of cover, and
    /// gains it on the other side.
    #[test]
    fn a_millimetre_towards_a_face_is_a_millimetre_of_cover(offset in 30..170i64, height in -40..190i64, turn in -90..90i32) {
        let at = |offset: i64, height: i64| {
            let corner = match turn {
                -9..9 => "straight".to_owned(),
                9.. => format!("inside, turning {turn} deg"),
                _ => format!("outside, turning {} deg", -turn),
            };
            fine(&format!(
                r#"
wall old {{ leg lead 4 m; corner {corner}; leg back 3 m; thick 200 mm; height -300 mm to 600 mm; of concrete }}
section all {{ along old.back 1 m to 3 m; thick 200 mm; height -100 mm to 250 mm }}
mix bagged {{ bag 80 lb, yields 0.60 ft3 }}
pour whole {{ fill all; mix bagged }}
bars long {{ size 12mm; along all; rows height {height} mm; offset {offset} mm }}
"#
            ))
        };
        let here = at(offset, height);
        let there = at(offset + 1, height + 1);
        let mm = |job: &Compiled, class| cover(job, "long", class) * 25.4;
        near(mm(&here, Class::Formed), 200.0 - offset as f64 - 6.0, 1e-4);
        for (class, moved) in [(Class::Formed, -1.0), (Class::Old, 1.0), (Class::Top, -1.0), (Class::Ground, 1.0)] {
            near(mm(&there, class) - mm(&here, class), moved, 1e-4);
        }
        // The walk turned with its wall, and nothing else changed.
        near(mm(&here, Class::End), 50.8, 1e-4);
    }

    /// The same bars seen in a mirror are as near to everything.
    #[test]
    fn a_mirrored_job_has_the_same_clearances(
        step in 20..70i64, offset in 8..24i64, level in 2..9i64, inset in 3..20i64, out in 3..7i64,
    ) {
        let write = |mirrored: bool| {
            let span = |from: i64, to: i64| if mirrored { format!("{}\" to {}\"", 100 - to, 100 - from) } else { format!("{from}\" to {to}\"") };
            let (start, end) = if mirrored { (7, inset) } else { (inset, 7) };
            let way = if mirrored { "left" } else { "right" };
            fine(&format!(
                r#"
wall old {{ leg back 100"; thick 8"; height -12" to 26"; of concrete }}
section low {{ along old.back {}; thick 8"; height -4" to 12" }}
section high {{ along old.back {}; thick 8"; height -4" to 20" }}
mix bagged {{ bag 80 lb, yields 0.60 ft3 }}
pour all {{ fill low, high; mix bagged }}
bars rails {{ size #4; along low, high; rows height {level}"; offset {offset}" / 4 }}
bars rises {{ size #4; along low, high; space at most 11"; inset at start {start}", at end {end}"; from offset 4", height -1"; legs up 9", {way} {out}" }}
"#,
                span(0, step),
                span(step, 100),
            ))
        };
        let (one, two) = (write(false), write(true));
        let sum = |job: &Compiled| {
            let clear = &job.works.clearances;
            let round = |length: Length| (length.nm() as f64 / 10_000.0).round() as i64;
            let mut covers: Vec<_> = clear.covers.iter().map(|one| (job.job.name(one.bar.bars).to_owned(), one.class, round(one.clear))).collect();
            covers.sort();
            let mut pairs: Vec<_> = clear.clashes.iter().chain(&clear.parallel).map(|near| (round(near.clear), near.pairs)).collect();
            pairs.sort_unstable();
            (covers, pairs, clear.outside.iter().map(|one| (one.whole, one.bars)).collect::<Vec<_>>())
        };
        prop_assert_eq!(sum(&one), sum(&two));
    }
}

#[test]
fn blocks_that_lie_over_each_other_by_the_hundred_are_told_once() {
    let rules = |blocks: usize| {
        let mut text = "wall old { leg a 10'; thick 12\"; height -24\" to 40\" }
section s { along old.a; thick 8\"; height 0 to 40\" }\n"
            .to_owned();
        for block in 0..blocks {
            text.push_str(&format!("bars b{block} {{ size #4; along s; rows height 6\"; offset 4\" }}\n"));
        }
        let found = found(&text);
        let of = |name: &str| found.iter().filter(|rule| **rule == name).count();
        (of("bars-clash"), of("pairs-too-many"))
    };
    // Each two of 20 blocks run into each other; of 320 that makes 51,040 pairs.
    assert_eq!(rules(20), (190, 0));
    assert_eq!(rules(320), (0, 1));
}

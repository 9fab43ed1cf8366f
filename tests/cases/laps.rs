//! Long bars cut into pieces that lap: how many, how long, and where the laps lie.

use batterboard::{
    compile::{Compiled, compile_text},
    concrete::LegAt,
    language::Limits,
    source::Shelf,
    steel::{BarsMade, Place},
    units::{Length, System},
};
use proptest::prelude::*;

use super::{fine, found, near};

fn edge(length: &str, bars: &str) -> Compiled {
    fine(&format!(
        "line edge {{ leg a {length} }}
section s {{ along edge; thick 8\"; height 0 to 40\" }}
bars b {{ size #4; along s; offset 4\"; ends 0; lap 2'; {bars} }}"
    ))
}

/// The cut lengths of a block's pieces, in inches.
fn cuts(made: &BarsMade) -> Vec<f64> {
    made.groups.iter().map(|group| group.shape.cut.inches()).collect()
}

type End = (LegAt, Length);

fn ends(made: &BarsMade) -> Vec<(u16, End, End)> {
    let each = made.groups.iter().map(|group| match &group.place {
        Place::Long { row, from, to, .. } => (*row, *from, *to),
        _ => panic!("not a long bar"),
    });
    each.collect()
}

#[test]
fn whole_stock_and_a_rest() {
    // 45 ft from 20 ft stock with a lap of 2 ft: three pieces and 49 ft.
    let job = edge("45'", "rows height 4\"");
    assert_eq!(cuts(&job.works.bars[0]), [240.0, 240.0, 108.0]);
    near(job.works.bars[0].length.inches(), 49.0 * 12.0, 1e-9);
    let lapped: Vec<&[u32]> = job.works.bars[0].groups.iter().map(|group| group.lapped_with.as_slice()).collect();
    assert_eq!(lapped, [&[1][..], &[0, 2], &[1]]);
    // 38 ft needs two, a hair more needs three.
    assert_eq!(edge("38'", "rows height 4\"").works.bars[0].count, 2);
    assert_eq!(edge("38.1 ft", "rows height 4\"").works.bars[0].count, 3);
    let one = edge("20'", "rows height 4\"");
    assert_eq!(cuts(&one.works.bars[0]), [240.0]);
    assert_eq!(one.works.bars[0].usual_lap, None);
    assert_eq!(edge("20'", "rows height 4\"; pieces at most 12'").works.bars[0].count, 2);
}

#[test]
fn pieces_come_from_the_longest_stock() {
    let count = |stock: &str| {
        let job = fine(&format!(
            "line edge {{ leg a 45' }}\n{stock}\nsection s {{ along edge; thick 8\"; height 0 to 40\" }}
bars b {{ size #4; along s; offset 4\"; ends 0; lap 2'; rows height 4\" }}"
        ));
        job.works.bars[0].count
    };
    assert_eq!(count(""), 3);
    assert_eq!(count("stock a { for #4; length 30' }"), 2);
    assert_eq!(count("stock a { for #4; length 30' }\nstock c { for #4; length 10'; price 4 USD }"), 2);
    assert_eq!(count("stock a { for #5; length 60' }"), 3);
    // One that lies at hand is no measure for all; with a price there are more of it.
    assert_eq!(count("stock a { for #4; length 60'; on-hand 1 }"), 3);
    assert_eq!(count("stock a { for #4; length 60'; on-hand 1; price 40 USD }"), 1);
    let metric = fine(
        "job \"Case\" { show metric }\nline edge { leg a 7 m }\nsection s { along edge; thick 200 mm; height 0 to 1 m }
bars b { size 12mm; along s; offset 100 mm; rows height 100 mm }",
    );
    // 6 m unless said; 2 in off either end.
    let made = &metric.works.bars[0];
    let all: Vec<f64> = made.groups.iter().map(|group| group.shape.cut.metres()).collect();
    near(all[0], 6.0, 1e-9);
    let lap = made.usual_lap.unwrap().length.metres();
    near(all[1], 7.0 - 2.0 * 0.0508 + lap - 6.0, 1e-9);
    assert!(lap > 0.4 && lap < 1.2, "{lap}");
}

#[test]
fn a_lap_that_is_not_said_is_that_of_the_rule() {
    let lap = |size: &str, strength: &str, bars: &str| {
        let job = fine(&format!(
            "line edge {{ leg a 45' }}\nsection s {{ along edge; thick 8\"; height 0 to 40\" }}
mix m {{ bag 80 lb, yields 0.60 ft3; {strength} }}\npour p {{ fill s; mix m }}
bars b {{ size {size}; along s; {bars} }}"
        ));
        job.works.bars[0].usual_lap.unwrap().length.inches()
    };
    // ACI 318-19 Table 25.4.2.3, favourable row, lap of class B, Grade 60: 24.67 in for #4 and 30.83 in for #5 in concrete of
    // 4000 psi, 31.20 in for #4 in 2500 psi (worked out by script from the published formula); up to the next inch.
    near(lap("#4", "strength 4000 psi", "rows height 6\"; offset 4\""), 25.0, 1e-9);
    near(lap("#5", "strength 4000 psi", "rows height 6\"; offset 4\""), 31.0, 1e-9);
    near(lap("#4", "", "rows height 6\"; offset 4\""), 32.0, 1e-9);
    // 1.3 times as much over more than 12 in of fresh concrete, 1.5 times where rows or faces are too near.
    near(lap("#4", "strength 4000 psi", "rows height top - 6\"; offset 4\""), (24.6658_f64 * 1.3).ceil(), 1e-9);
    near(lap("#4", "strength 4000 psi", "rows height 6\", 7\"; offset 4\""), (24.6658_f64 * 1.5).ceil(), 1e-9);
    near(lap("#4", "strength 4000 psi", "rows height 6\"; offset 1/2\""), (24.6658_f64 * 1.5).ceil(), 1e-9);
}

#[test]
fn the_job_declares_whose_rules_answer_and_how_strong_the_steel_is() {
    let lap = |head: &str, bars: &str| {
        let job = fine(&format!(
            "job \"Case\" {{ show feet; {head} }}\nline edge {{ leg a 45' }}
section s {{ along edge; thick 8\"; height 0 to 40\" }}\nmix m {{ bag 80 lb, yields 0.60 ft3; strength 4000 psi }}
pour p {{ fill s; mix m }}\nbars b {{ along s; rows height 6\"; offset 4\"; {bars} }}"
        ));
        job.works.bars[0].laps_by.unwrap().inches()
    };
    // IRC Table R608.5.4(1): #4 of Grade 60 laps by 30 in, #5 of Grade 40 by 25 in.
    near(lap("laps irc", "size #4"), 30.0, 1e-9);
    near(lap("laps irc", "size #5; yield 40000 psi"), 25.0, 1e-9);
    // ACI 318-19 Table 25.4.2.3 goes with the yield strength: 24.6658 in · 40 / 60.
    near(lap("", "size #4; yield 40000 psi"), (24.6658_f64 * 40.0 / 60.0).ceil(), 1e-9);
    // The declared rules answer alone: the IRC has no #8, so it is 40 diameters, not ACI's lap.
    near(lap("laps irc", "size #8"), 40.0, 1e-9);
}

#[test]
fn laps_of_rows_beside_each_other_are_staggered() {
    let job = edge("50'", "rows height 4\", 12\", 20\", 28\"");
    let made = &job.works.bars[0];
    let mut laps: Vec<Vec<f64>> = vec![Vec::new(); 4];
    for (row, _, (_, end)) in ends(made) {
        if end.inches() < 600.0 {
            laps[usize::from(row) - 1].push(end.inches() - 12.0);
        }
    }
    for pair in laps.windows(2) {
        assert!(!pair[0].is_empty());
        let near = pair[0].iter().any(|one| pair[1].iter().any(|other| (one - other).abs() < 1.3 * 24.0 - 1e-6));
        assert!(!near, "{laps:?}");
    }
    // Three pieces a row are all over 10 ft: 12 bars. Two rows of four pieces, 54 + 54 + 56 + 56 ft, come out of 11.
    assert_eq!(made.count, 14);
    assert_eq!(made.length, Length::INCH * (12 * 220));
    let bought: u64 = job.works.cuts[0].bought().map(|(_, count)| count).sum();
    assert_eq!(bought, 11);
    assert!(made.rows.iter().all(|row| row.layouts.len() > 2));
}

#[test]
fn a_ring_is_lapped_where_it_closes() {
    // By hand: at 4 in off the faces the legs are 104 and 80 in; four bends at a centre-line radius of 1.75 in take
    // (2 - pi / 2) · 1.75 each; two pieces lap twice by 24 in.
    let job = fine(
        "line pad { leg a 8'; corner outside; leg b 6'; corner outside; leg c 8'; corner outside; leg d 6'; corner outside }
section s { along pad; thick 8\"; height 0 to 40\" }
bars b { size #4; along s; offset 4\"; lap 2'; rows height 4\", 14\" }",
    );
    let made = &job.works.bars[0];
    let ring = 2.0 * (104.0 + 80.0) - 4.0 * (2.0 - std::f64::consts::FRAC_PI_2) * 1.75;
    assert_eq!(made.count, 4);
    near(made.length.inches(), 2.0 * (ring + 2.0 * 24.0), 1e-6);
    assert!(cuts(made).iter().all(|cut| *cut <= 240.0));
    let lapped: Vec<&[u32]> = made.groups.iter().map(|group| group.lapped_with.as_slice()).collect();
    assert_eq!(lapped, [&[1][..], &[0], &[3], &[2]]);
    for pair in ends(made).chunks(2) {
        for (one, other) in [(&pair[0], &pair[1]), (&pair[1], &pair[0])] {
            assert_eq!(one.2.0, other.1.0, "a lap lies on one leg");
            near((one.2.1 - other.1.1).inches(), 24.0, 1e-6);
            // Clear of the bends: 1.75 in of tangent less the 4 in the corner stands out, and one diameter.
            let length = job.works.standing.length(one.2.0).inches();
            assert!(other.1.1.inches() >= -4.0 + 1.75 + 0.5 && one.2.1.inches() <= length + 4.0 - 1.75 - 0.5);
        }
    }
}

#[test]
fn where_no_lap_fits_that_is_said() {
    let corner = |bars: &str| {
        format!(
            "wall old {{ leg a 4'; corner outside; leg b 4'; thick 8\"; height -12\" to 26\" }}
section s {{ along old; thick 8\"; height 0 to 12\" }}
bars b {{ size #4; along s; rows height 6\"; offset 4\"; {bars} }}"
        )
    };
    assert_eq!(found(&corner("lap 2'; pieces at most 4'")), ["no-room-for-lap"]);
    assert_eq!(found(&corner("lap 2'; pieces at most 7'")), ["lap-short"]);
    assert_eq!(found(&corner("lap 8\"; pieces at most 5'")), ["lap-short"]);
    assert_eq!(found(&corner("lap 2'; pieces at most 1'")), ["no-room-for-lap"]);
    assert_eq!(
        found(
            "line edge { leg a 30' }\nbars b { size #4; along edge; space at 2'; from offset 4\", height 0; legs right 21' }"
        ),
        ["bar-too-long"]
    );
    // As many pieces as a job may have parts, and no more, however short they are.
    let text = format!("job \"Case\" {{ show feet }}\n{}", corner("lap 1/64\"; pieces at most 1/16\""));
    let limits = Limits { parts: 100, ..Limits::default() };
    let job = compile_text(&Shelf::default(), "case.job", &text, &limits);
    assert!(job.problems.iter().any(|problem| problem.rule.name == "parts-too-many"));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]
    #[test]
    fn pieces_cover_the_bar_and_keep_to_their_rule(
        legs in prop::collection::vec((40..600_u32, prop::bool::ANY), 1..5),
        lap in 8..40_u32,
        most in 90..240_u32,
        rows in 1..4_usize,
    ) {
        let mut wall = String::new();
        for (at, (length, outside)) in legs.iter().enumerate() {
            if at > 0 {
                wall.push_str(if *outside { "corner outside; " } else { "corner inside; " });
            }
            wall.push_str(&format!("leg l{at} {length}\"; "));
        }
        let levels: Vec<String> = (0..rows).map(|row| format!("{}\"", 6 + row * 8)).collect();
        let text = |most: &str| format!(
            "job \"Case\" {{ show feet }}\nline edge {{ {wall} }}
bars b {{ size #4; along edge; rows height {}; offset 6\"; lap {lap}\"; {most} }}
stock long {{ for #4; length 900' }}", levels.join(", ")
        );
        let compiled = |most: &str| compile_text(&Shelf::default(), "case.job", &text(most), &Limits::default());
        let job = compiled(&format!("pieces at most {most}\""));
        prop_assume!(!job.problems.iter().any(|problem| problem.rule.name == "no-room-for-lap"));
        prop_assume!(!job.works.bars.is_empty());
        let made = &job.works.bars[0];
        let whole = compiled("");
        let whole = &whole.works.bars[0];
        prop_assert_eq!(whole.count, rows as u64);
        let laps = i64::try_from(made.count - whole.count).unwrap();
        let wanted = whole.length + Length::INCH * (laps * i64::from(lap));
        prop_assert!((made.length - wanted).nm().abs() <= 20 * (laps + 1), "{:?} {:?}", made.length, wanted);
        prop_assert!(cuts(made).iter().all(|cut| *cut <= f64::from(most) + 1e-6));
        for pair in ends(made).windows(2) {
            if pair[0].0 != pair[1].0 {
                continue;
            }
            // One lap, on one leg, clear of the bend at either end: 1.75 in of tangent and a diameter from the corner of the
            // bar, which is 6 in out of the leg's end outside and 6 in inside it inside.
            let ((_, _, (on, end)), (_, (from, start), _)) = (pair[0], pair[1]);
            prop_assert_eq!(on, from);
            prop_assert!(((end - start).inches() - f64::from(lap)).abs() < 1e-6);
            let corner = |leg: usize| if legs[leg].1 { 6.0 } else { -6.0 };
            let leg = usize::from(on.leg);
            if leg > 0 {
                prop_assert!(start.inches() >= -corner(leg) + 2.25 - 1e-6);
            }
            if leg + 1 < legs.len() {
                prop_assert!(end.inches() <= f64::from(legs[leg].0) + corner(leg + 1) - 2.25 + 1e-6);
            }
        }
    }
}

/// The lap that is taken for a block, in inches.
fn taken(job: &Compiled, name: &str) -> f64 {
    let id = job.job.bars.iter().find(|bars| bars.name == name).unwrap().id;
    let made = job.works.bars.iter().find(|made| made.id == id).unwrap();
    made.usual_lap.unwrap().length.inches()
}

#[test]
fn fresh_concrete_below_a_bar_is_that_of_its_pour() {
    let stood = |sections: &str, along: &str, pours: &str| {
        fine(&format!(
            "mix m {{ bag 80 lb, yields 0.60 ft3; strength 3000 psi }}
wall old {{ leg a 30'; thick 12\"; height -24\" to 60\"; of concrete }}
{sections}
bars rails {{ size #4; along {along}; rows height 6\"; offset 4\" }}
{pours}"
        ))
    };
    let foot = "section foot { along old.a; thick 16\"; height -12\" to 0 }
section stem { along old.a; thick 8\"; height 0 to 12\" }";
    // ACI 318-19 25.4.2.3: 60000 / (25 sqrt 3000) 1/2 in = 21.91 in; a class B lap is 1.3 times as long, and with more than 12 in
    // of fresh concrete below (Table 25.4.2.5) 1.3 times again: 28.48 and 37.03 in.
    let together = stood(foot, "stem", "pour p { fill foot, stem; mix m }");
    near(taken(&together, "rails"), 38.0, 1e-9);
    let on_two_days = stood(foot, "stem", "pour p { fill foot; mix m }\npour q { fill stem; mix m }");
    near(taken(&on_two_days, "rails"), 29.0, 1e-9);
    let one = "section stem { along old.a; thick 8\"; height -12\" to 12\" }";
    near(taken(&stood(one, "stem", "pour p { fill stem; mix m }"), "rails"), 38.0, 1e-9);
    // What stands beside it, on another part of the leg or nearer to the wall, is not below it.
    let beside = "section foot { along old.a 0 to 4'; thick 16\"; height -12\" to 0 }
section stem { along old.a 4' to 30'; thick 8\"; height 0 to 12\" }";
    near(taken(&stood(beside, "stem", "pour p { fill foot, stem; mix m }"), "rails"), 29.0, 1e-9);
    let nearer = foot.replace("thick 16\"", "thick 3\"");
    near(taken(&stood(&nearer, "stem", "pour p { fill foot, stem; mix m }"), "rails"), 29.0, 1e-9);
}

#[test]
fn bars_of_other_blocks_are_beside_a_lap_too() {
    let two = |bars: &str| {
        fine(&format!(
            "mix m {{ bag 80 lb, yields 0.60 ft3; strength 4000 psi }}
wall old {{ leg a 30'; thick 12\"; height -24\" to 60\"; of concrete }}
section s {{ along old.a; thick 16\"; height 0 to 12\" }}
{bars}
pour p {{ fill s; mix m }}"
        ))
    };
    // 1 1/2 in clear is less than two diameters: ACI 318-19 Table 25.4.2.3, "other cases", is half as long again. Of a #8:
    // 60000 / (20 sqrt 4000) 1 in = 47.43 in, a class B lap 61.66 in; in other cases 92.50 in.
    let apart = |offset: &str| {
        let job = two(&format!(
            "bars one {{ size #8; along s; rows height 5\"; offset 5\" }}
bars two {{ size #8; along s; rows height 5\"; offset {offset} }}"
        ));
        [taken(&job, "one"), taken(&job, "two")]
    };
    assert_eq!(apart("7 1/2\""), [93.0, 93.0]);
    assert_eq!(apart("8 1/2\""), [62.0, 62.0]);
    let rows = two("bars one { size #8; along s; rows height 5\", 7 1/2\"; offset 5\" }");
    near(taken(&rows, "one"), 93.0, 1e-9);
    // Rows that are measured from the bottom and from the top of a section are beside each other as well.
    let both = two("bars one { size #8; along s; rows height bottom + 4\", top - 5 1/2\"; offset 5\" }");
    near(taken(&both, "one"), 93.0, 1e-9);
    // One that ends before the other begins is not beside it.
    let after = two("bars one { size #8; along old.a 0 to 24'; rows height 5\"; offset 5\" }
bars two { size #8; along old.a 24' to 30'; rows height 5\"; offset 5\" }");
    near(taken(&after, "one"), 62.0, 1e-9);
}

#[test]
fn at_a_step_two_bars_run_beside_each_other_for_their_lap() {
    let job = |high: &str, ends: &str| {
        fine(&format!(
            "mix m {{ bag 80 lb, yields 0.60 ft3; strength 4000 psi }}
wall old {{ leg a 12'; thick 12\"; height -24\" to 60\"; of concrete }}
section low {{ along old.a 0 to 6'; thick 8\"; height 0 to 12\" }}
section high {{ along old.a 6' to {high}; thick 8\"; height 0 to 16\" }}
bars t {{ size #4; along low, high; rows height top - 3\"; offset 4\"; {ends} }}
pour p {{ fill low, high; mix m }}"
        ))
    };
    for (says, stops) in [("ends 6\"", 6.0), ("", 2.0), ("ends 0", 0.0)] {
        let job = job("12'", says);
        let made = &job.works.bars[0];
        let lap = made.laps_by.unwrap().inches();
        let [(_, _, lower), (_, upper, _)] = ends(made)[..] else { panic!("{:?}", ends(made)) };
        near(upper.1.inches(), 72.0 + stops, 1e-9);
        near(lower.1.inches() - upper.1.inches(), lap, 1e-9);
    }
    // 33 in and twice 6 in take 45 in past the step: 44 in are an inch short.
    assert!(!found_in(&job("9'-9\"", "ends 6\"")).contains(&"lap-short"));
    let short = job("9'-8\"", "ends 6\"");
    let says = short.problems.iter().find(|problem| problem.rule.name == "lap-short").unwrap();
    assert_eq!(says.says(System::Feet), "past the step there is room for 32\" of this bar; its lap is 33\"");
}

#[test]
fn past_a_step_the_next_bar_is_near_enough_to_lap_with() {
    let apart = |top: &str, rows: &str, more: &str| {
        let job = fine(&format!(
            "mix m {{ bag 80 lb, yields 0.60 ft3; strength 4000 psi }}
wall old {{ leg a 20'; thick 12\"; height -24\" to 60\"; of concrete }}
section low {{ along old.a 0 to 10'; thick 8\"; height 0 to 12\" }}
section high {{ along old.a 10' to 20'; thick 8\"; height 0 to {top} }}
bars t {{ size #4; along low, high; rows height {rows}; offset 4\" }}
{more}
pour p {{ fill low, high; mix m }}"
        ));
        let found = job.problems.iter().filter(|problem| problem.rule.name == "lap-apart");
        found.map(|problem| problem.says(System::Feet)).collect::<Vec<_>>()
    };
    // A lap of 33 in: a fifth is 6.6 in, and 6 in the most. Bars of half an inch 6 1/2 in apart are 6 in clear.
    assert_eq!(apart("18 1/2\"", "top - 3\"", ""), [""; 0]);
    let told = "past the step the next bar is 6 1/8\" clear of this one, too far to lap with it";
    assert_eq!(apart("18 5/8\"", "top - 3\"", ""), [told]);
    // The upper of two rows finds the lower one of the higher part 4 in above it, the lower finds it 8 in above; a bar of
    // another block does as well.
    let told = "past the step the next bar is 7 1/2\" clear of this one, too far to lap with it";
    assert_eq!(apart("20\"", "top - 3\", top - 7\"", ""), [told]);
    assert_eq!(apart("20\"", "top - 3\"", "bars u { size #4; along high; rows height 6\"; offset 4\" }"), [""; 0]);
    assert_eq!(apart("20\"", "top - 3\"", "bars u { size #4; along low; rows height 6\"; offset 4\" }").len(), 1);
    assert_eq!(apart("20\"", "9\"", ""), [""; 0]);
    assert_eq!(apart("60\"", "top - 3\"", ""), ["past the step no bar is near that this one could lap with"]);
}

#[test]
fn by_the_eurocode_a_longer_lap_makes_up_for_what_is_clear_between_the_bars() {
    let job = |lap: &str| {
        compile_text(
            &Shelf::default(),
            "case.job",
            &format!(
                "job \"Wharf\" {{ show metric }}
mix m {{ bag 25 kg, yields 12 L; strength 30 MPa }}
wall old {{ leg a 8 m; thick 300 mm; height -500 mm to 1200 mm; of concrete }}
section low {{ along old.a 0 to 4 m; thick 200 mm; height 0 to 300 mm }}
section high {{ along old.a 4 m to 8 m; thick 200 mm; height 0 to 450 mm }}
bars t {{ size 12mm; along low, high; rows height top - 80 mm; offset 100 mm; {lap} }}
pour p {{ fill low, high; mix m }}"
            ),
            &Limits::default(),
        )
    };
    let found = |lap: &str| found_in(&job(lap)).contains(&"lap-apart");
    let usual = job("").works.bars[0].laps_by.unwrap();
    // 150 mm apart, 138 mm clear.
    let longer = |by: i64| format!("lap {} mm", usual.nm() / 1_000_000 + by);
    let usually = job("");
    let told = usually.problems.iter().find(|problem| problem.rule.name == "lap-apart").unwrap();
    assert!(told.helps(System::Metric).unwrap().contains(&format!("; or `{}`", longer(138))));
    assert!(found(&longer(137)));
    assert!(!found(&longer(138)));
}

fn found_in(job: &Compiled) -> Vec<&'static str> {
    job.problems.iter().map(|problem| problem.rule.name).collect()
}

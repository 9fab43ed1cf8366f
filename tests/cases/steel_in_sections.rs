//! How much steel runs through sections, and how far apart, against figures worked out by hand; what the rules ask against
//! ACI 318-19 Table 11.6.1, 11.7 and 24.4.3 (seen in a digest).

use batterboard::{
    compile::{Compiled, check, compile},
    language::Limits,
    source::Shelf,
    steel::{Axis, CutAt, SteelIn},
    units::Length,
};

use super::{compiled, fine, near};

const WALL: &str = r#"
wall old { leg back 40'; corner outside; leg side 10'; thick 8"; height 0 to 120"; of concrete }
mix bagged { bag 80 lb, yields 0.60 ft3; stone 1/2" }
"#;

fn with(rest: &str) -> Compiled {
    fine(&format!("{WALL}{rest}"))
}

#[track_caller]
fn of<'c>(job: &'c Compiled, section: &str, axis: Axis) -> &'c SteelIn {
    let found = job.works.steel_in.iter().find(|steel| job.job.name(steel.section) == section && steel.axis == axis);
    found.unwrap_or_else(|| panic!("nothing {axis:?} in {section}"))
}

fn percent(steel: &SteelIn) -> f64 {
    steel.least.ratio().percent()
}

fn inches(length: Length) -> f64 {
    length.nm() as f64 / 25.4e6
}

fn gap(steel: &SteelIn) -> f64 {
    inches(steel.widest.unwrap().far)
}

/// The findings about too little steel and too wide spacing.
fn told(job: &Compiled) -> Vec<(&'static str, String)> {
    let problems = job.problems.iter().filter(|problem| problem.rule.name.starts_with("steel-"));
    problems.map(|problem| (problem.rule.name, problem.says(job.job.system()))).collect()
}

#[test]
fn a_wall_with_rows_and_uprights() {
    let job = with(
        r#"
section s { along old.back 0 to 10'; thick 8"; height 0 to 40"; steel wall }
pour p { fill s; mix bagged }
bars rails { size #4; along s; rows height 6", 16", 30"; offset 4 1/2" }
bars rises { size #4; along s; space at most 12"; inset 6"; from offset 4", height 3 1/2"; legs up 34" }
"#,
    );
    // 3 * 0.20 / (8 * 40); 14 in from the second row to the third, 10 in from the third to the top.
    let rails = of(&job, "s", Axis::Lengthwise);
    assert_eq!(rails.least.count(), 3);
    near(percent(rails), 100.0 * 0.6 / 320.0, 1e-9);
    near(gap(rails), 14.0, 1e-9);
    near(inches(rails.bare.unwrap().far), 10.0, 1e-9);
    // (120 - 12) / 12 and one: 10 bars; 10 * 0.20 / (120 * 8).
    let rises = of(&job, "s", Axis::Upright);
    assert_eq!(rises.least.count(), 10);
    near(percent(rises), 100.0 * 2.0 / 960.0, 1e-9);
    near(gap(rises), 12.0, 1e-6);
    near(inches(rises.bare.unwrap().far), 6.0, 1e-6);
    // #4 of Grade 60: 0.0020 level, 0.0012 upright; 18 in, less than three times 8.
    let asked = |steel: &SteelIn| steel.asked.as_ref().map(|asked| (asked.ratio.value.fraction(), asked.apart.value));
    assert_eq!(asked(rails), Some((0.0020, Length::INCH * 18)));
    assert_eq!(asked(rises), Some((0.0012, Length::INCH * 18)));
    assert_eq!(
        told(&job),
        [("steel-little", "steel running lengthwise in `s` comes to 0.188% of its section; 0.2% is wanted".to_owned())]
    );
}

#[test]
fn number_four_at_12_1_2_in_is_just_enough_in_8_in_of_wall() {
    // ACI 318-19 Table 11.6.1 by hand: 0.20 / (0.0020 * 8) = 12.50 in.
    let tall = |height: &str| {
        with(&format!(
            r#"
section s {{ along old.back 0 to 10'; thick 8"; height 0 to {height}; steel wall }}
pour p {{ fill s; mix bagged }}
bars rails {{ size #4; along s; rows height 6 1/4", 18 3/4", 31 1/4", 43 3/4"; offset 4 1/2" }}
bars rises {{ size #4; along s; space at most 18"; inset 6"; from offset 4", height 4"; legs up 40" }}
"#
        ))
    };
    let just = tall("50\"");
    near(percent(of(&just, "s", Axis::Lengthwise)), 0.2, 1e-12);
    assert_eq!(told(&just), []);
    let more = tall("50 1/4\"");
    let would = of(&more, "s", Axis::Lengthwise).would_do().unwrap();
    assert_eq!((would.count, inches(would.apart)), (5, 12.5));
    assert_eq!(told(&more).len(), 1, "{:?}", told(&more));
}

#[test]
fn grade_40_and_large_bars_are_asked_for_more() {
    let asked = |bars: &str| {
        let job = with(&format!(
            r#"
section s {{ along old.back 0 to 10'; thick 8"; height 0 to 40"; steel wall }}
pour p {{ fill s; mix bagged }}
bars rails {{ {bars}; along s; rows height 6", 16", 30"; offset 4 1/2" }}
"#
        ));
        [Axis::Lengthwise, Axis::Upright].map(|axis| of(&job, "s", axis).asked.clone().unwrap().ratio.value.fraction())
    };
    assert_eq!(asked("size #5"), [0.0020, 0.0012]);
    assert_eq!(asked("size #6"), [0.0025, 0.0015]);
    assert_eq!(asked("size #4; yield 40000 psi"), [0.0025, 0.0015]);
}

#[test]
fn lapped_pieces_count_once() {
    let job = with(
        r#"
section s { along old.back; thick 8"; height 0 to 24" }
pour p { fill s; mix bagged }
stock sticks { for #4; length 10' }
bars rails { size #4; along s; rows height 6", 18"; offset 4 1/2" }
"#,
    );
    assert!(job.works.bars[0].count > 8, "pieces of 10 ft along 40 ft in two rows");
    let rails = of(&job, "s", Axis::Lengthwise);
    assert_eq!(rails.least.count(), 2);
    near(percent(rails), 100.0 * 0.4 / 192.0, 1e-9);
    near(gap(rails), 12.0, 1e-9);
    // No rule is named: what there is is stated, and nothing told.
    assert!(rails.asked.is_none());
    assert_eq!(of(&job, "s", Axis::Upright).least.count(), 0);
    assert_eq!(told(&job), []);
}

#[test]
fn a_row_along_half_the_section_leaves_the_other_half_without() {
    let job = with(
        r#"
section s { along old.back 0 to 20'; thick 8"; height 0 to 24"; steel shrinkage }
pour p { fill s; mix bagged }
bars rails { size #4; along s; rows height 6"; offset 4 1/2" }
bars half { size #4; along old.back 0 to 10'; rows height 18"; offset 4 1/2" }
"#,
    );
    let rails = of(&job, "s", Axis::Lengthwise);
    assert_eq!(rails.least.count(), 1);
    near(percent(rails), 100.0 * 0.2 / 192.0, 1e-9);
    let CutAt::Station(_, at) = rails.least.at else { panic!() };
    assert!(at > Length::FOOT * 9, "{at:?}");
    // In the half that has both they lie 12 in apart; in the other the top is 18 in from the only one.
    near(gap(rails), 12.0, 1e-9);
    near(inches(rails.bare.unwrap().far), 18.0, 1e-9);
    // 0.0018 * 8 * 24 = 0.3456 in2: two bars; at 0.20 / (0.0018 * 8) = 13.89 in or less.
    let would = rails.would_do().unwrap();
    assert_eq!(would.count, 2);
    near(inches(would.apart), 13.89, 0.005);
}

#[test]
fn uprights_round_an_outside_corner() {
    let job = with(
        r#"
section s { along old.back 36' to old.side 4'; thick 8"; height 0 to 40" }
pour p { fill s; mix bagged }
bars rises { size #4; along s; space at most 20"; inset 10"; from offset 4", height 4"; legs up 34" }
"#,
    );
    let rises = of(&job, "s", Axis::Upright);
    // (48 - 20) / 20: two gaps of 14 in on each leg, 3 bars; the plan is 2 * 48 * 8 and the corner's 8 * 8.
    assert_eq!(rises.least.count(), 6);
    near(percent(rises), 100.0 * 6.0 * 0.2 / (2.0 * 48.0 * 8.0 + 64.0), 1e-6);
    // Ten inches before and behind the corner, 4 in out of either face: 14 in along and 14 in across.
    near(gap(rises), 14.0 * 2.0_f64.sqrt(), 1e-5);
}

#[test]
fn legs_of_unlike_thickness_are_reckoned_alone_too() {
    let legs = |along: &str, thick: &str| {
        let job = with(&format!(
            r#"
section s {{ along {along}; thick {thick}; height 0 to 40"; steel wall }}
pour p {{ fill s; mix bagged }}
bars rises {{ size #4; along s; space at most 10"; inset 4"; from offset 4", height 3 1/2"; legs up 34" }}
"#
        ));
        let rises = of(&job, "s", Axis::Upright).clone();
        let says = told(&job).into_iter().map(|(_, says)| says).find(|says| says.contains("upright"));
        (rises, says)
    };
    // On each leg (48 - 8) / 10 and one: 5 bars. On the thick one alone 5 * 0.20 / (48 * 20), and its part of the corner, 20 by 6: too
    // little, though over both it would be enough.
    let (rises, says) = legs("old.back 36' to old.side 4'", "6\", on old.side 20\"");
    near(percent(&rises), 100.0 * 5.0 * 0.2 / (48.0 * 20.0 + 20.0 * 6.0), 1e-6);
    assert!(rises.least.leg.is_some());
    let whole = 100.0 * 10.0 * 0.2 / (48.0 * 6.0 + 48.0 * 20.0 + 20.0 * 6.0);
    assert!(whole > 0.12 && percent(&rises) < 0.12);
    assert_eq!(says.unwrap(), "steel standing upright in `s` comes to 0.093% of its section; 0.12% is wanted");
    // Of one thickness they are one wall.
    let (rises, _) = legs("old.back 36' to old.side 4'", "8\"");
    near(percent(&rises), 100.0 * 10.0 * 0.2 / (2.0 * 48.0 * 8.0 + 64.0), 1e-6);
    assert!(rises.least.leg.is_none());
}

#[test]
fn both_legs_of_a_tie_are_cut() {
    let job = with(
        r#"
section s { along old.back 0 to 10'; thick 12"; height 0 to 40" }
pour p { fill s; mix bagged }
bars ties { size #3; along s; space at most 18"; inset 6"; from offset 3", height 4"; legs up 32", out 6", down 32", in 6", hook 135 deg }
"#,
    );
    let ties = of(&job, "s", Axis::Upright);
    // 108 / 18 and one: 7 ties, 14 legs of 0.11 in 12 by 120.
    assert_eq!(ties.least.count(), 14);
    near(percent(ties), 100.0 * 14.0 * 0.11 / 1440.0, 1e-6);
    near(gap(ties), 18.0, 1e-5);
    assert!(job.works.steel_in.iter().all(|steel| steel.axis != Axis::Across), "it is a wall");
}

#[test]
fn a_pad_has_bars_lengthwise_and_across() {
    let job = with(
        r#"
section pad { along old.back 4' to 10'; thick 4'; height 0 to 10"; steel shrinkage }
pour p { fill pad; mix bagged }
bars one { size #3; along pad; rows height 4"; offset 6"; ends 3" }
bars two { size #3; along pad; rows height 4"; offset 18"; ends 3" }
bars three { size #3; along pad; rows height 4"; offset 30"; ends 3" }
bars four { size #3; along pad; rows height 4"; offset 42"; ends 3" }
bars cross { size #3; along pad; space at most 12"; inset 6"; from offset 3", height 3 1/2"; legs out 42" }
"#,
    );
    let lengthwise = of(&job, "pad", Axis::Lengthwise);
    // 4 * 0.11 / (48 * 10), 12 in apart; 6 * 0.11 / (72 * 10).
    near(percent(lengthwise), 100.0 * 0.44 / 480.0, 1e-9);
    near(gap(lengthwise), 12.0, 1e-9);
    near(inches(lengthwise.bare.unwrap().far), 6.0, 1e-9);
    let across = of(&job, "pad", Axis::Across);
    assert_eq!(across.least.count(), 6);
    near(percent(across), 100.0 * 0.66 / 720.0, 1e-6);
    // ACI 318-19 24.4.3.2 of the gross section: 0.0018 * 72 * 10 = 1.296 in2, 12 bars of 0.11; 0.11 / 0.018 = 6.11 in.
    let would = across.would_do().unwrap();
    assert_eq!(would.count, 12);
    near(inches(would.apart), 6.11, 0.005);
    // 5 times 10 in is more than the Code's most.
    assert_eq!(across.asked.as_ref().unwrap().apart.value, Length::INCH * 18);
}

#[test]
fn a_wall_of_200_mm_takes_10_mm_bars_at_196_mm() {
    let job = |height: &str| {
        fine(&format!(
            r#"
job "Case" {{ show metric }}
wall old {{ leg back 5 m; thick 200 mm; height 0 to 3 m; of concrete }}
mix bagged {{ bag 25 kg, yields 12 L }}
section s {{ along old.back; thick 200 mm; height 0 to {height}; steel wall }}
pour p {{ fill s; mix bagged }}
bars rails {{ size 10mm; along s; rows height 100 mm, 295 mm, 490 mm, 685 mm, 880 mm, 1075 mm, 1270 mm, 1465 mm; offset 100 mm }}
"#
        ))
    };
    // By hand: 8 * 78.5 of 1570 * 200 is 0.2%; of 1580 * 200 less.
    let lengthwise = |job: &Compiled| of(job, "s", Axis::Lengthwise).is_little();
    assert!(!lengthwise(&job("1565 mm")));
    assert!(lengthwise(&job("1580 mm")));
    let more = job("1600 mm");
    let would = of(&more, "s", Axis::Lengthwise).would_do().unwrap();
    assert_eq!(would.count, 9, "640 mm2 by 78.5");
    near(would.apart.nm() as f64 / 1e6, 196.25, 0.2);
    // Three times 200 mm is more than 450 mm.
    assert_eq!(of(&more, "s", Axis::Lengthwise).asked.as_ref().unwrap().apart.value, Length::MILLIMETRE * 450);
}

#[test]
fn what_is_suggested_is_enough() {
    let mut mended = 0;
    for height in (20..=100).step_by(8) {
        for (size, space) in [("#3", 24), ("#4", 30), ("#5", 20)] {
            let mut text = format!(
                r#"{WALL}
section s {{ along old.back 0 to 10'; thick 8"; height 0 to {height}"; steel wall }}
pour p {{ fill s; mix bagged }}
bars rails {{ size {size}; along s; rows height 5", {}"; offset 4 3/4" }}
bars rises {{ size {size}; along s; space at most {space}"; inset 6"; from offset 4", height 4"; legs up {}" }}
"#,
                height - 5,
                height - 8,
            );
            let steel = |text: &str| {
                let job = compiled(text);
                let fixes = job.problems.iter().filter(|problem| problem.rule.name.starts_with("steel-"));
                let head = job.sources.get(batterboard::source::SourceId(0)).text.len() - text.len();
                let fixes = fixes
                    .filter_map(|problem| problem.fix.clone())
                    .map(|fix| (fix.span.start as usize - head, fix.span.end as usize - head, fix.text));
                (told(&job), fixes.collect::<Vec<_>>())
            };
            for _ in 0..4 {
                let (_, fixes) = steel(&text);
                let Some((start, end, mend)) = fixes.into_iter().next() else { break };
                text.replace_range(start..end, &mend);
                mended += 1;
            }
            let (left, _) = steel(&text);
            assert_eq!(left, [], "{text}");
        }
    }
    assert!(mended > 30, "{mended}");
}

#[test]
fn a_mere_check_works_out_the_sections_a_rule_is_asked_for_and_finds_the_same() {
    let text = format!(
        r#"job "Case" {{ show feet }}
{WALL}
section s {{ along old.back 0 to 10'; thick 8"; height 0 to 40"; steel wall }}
section t {{ along old.back 10' to 20'; thick 8"; height 0 to 40" }}
pour p {{ fill s, t; mix bagged }}
bars rails {{ size #4; along s, t; rows height 6", 16", 30"; offset 4 1/2" }}
"#
    );
    let (files, limits) = (Shelf::new([("case.job", text)]), Limits::default());
    let whole = compile(&files, "case.job", &limits).unwrap();
    let mere = check(&files, "case.job", &limits).unwrap();
    let section = |steel: &&SteelIn| whole.job.name(steel.section) == "s";
    assert_eq!(whole.works.steel_in.len(), 4, "lengthwise and upright of both");
    assert_eq!(
        mere.works.steel_in.iter().collect::<Vec<_>>(),
        whole.works.steel_in.iter().filter(section).collect::<Vec<_>>()
    );
    assert_eq!(told(&mere), told(&whole));
    assert_eq!(told(&mere).len(), 2);
}

#[test]
fn it_can_be_accepted() {
    let text = format!(
        r#"{WALL}
section s {{ along old.back 0 to 10'; thick 8"; height 0 to 40"; steel wall }}
pour p {{ fill s; mix bagged }}
bars rails {{ size #4; along s; rows height 6", 16", 30"; offset 4 1/2" }}
accept steel-little on s because "no load but its own, agreed with the engineer"
"#
    );
    let job = compiled(&text);
    assert_eq!(told(&job), []);
    assert_eq!(job.accepted.len(), 2, "lengthwise and upright");
}

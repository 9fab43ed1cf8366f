//! What the work does to those who do it: the published check values through the language, and what must only grow.

use batterboard::{
    compile::Compiled,
    hazards::{AtStep, DustRule, Harm, Lifted, Load},
    ledger::Figure,
    reports,
    reports::print,
    standards::hazards::Respirator,
};
use proptest::prelude::*;

use super::{compiled, fine, found, near};

const WALL: &str = "wall old { leg a 10'; thick 8\"; height -12\" to 26\" }
slab floor { against old; thick 4\"; top 0 }
cut edge { in floor; along old; out 10\"; deep 4\" }
remove strip { in floor; along old; out 12\" }
section s { along old; thick 8\"; height 0 to 12\" }
prepare face { of s; roughen 1/4\" }
holes pins { into old; along s; rows height 6\"; inset 6\"; space at most 12\"; bore 5/8\" by 5\" }
";

fn at<'j>(job: &'j Compiled, step: &str) -> &'j AtStep {
    job.works.at_steps.iter().find(|at| job.job.name(at.step) == step).unwrap()
}

fn order(job: &Compiled) -> String {
    let mut out = Vec::new();
    print::markdown(&reports::order(job), &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

/// A pour of 50 bags (5% waste of 10 ft by 8 in by 12 in is 7 ft3) in so many hours.
fn bags(weight: f64, hours: f64, lifts: &str) -> Compiled {
    fine(&format!(
        "job \"Bags\" {{ show feet; {lifts} }}
mix dry {{ bag {weight} lb, yields 0.14 ft3 }}
wall old {{ leg a 10'; thick 8\"; height -12\" to 26\" }}
section s {{ along old; thick 8\"; height 0 to 12\" }}
pour p {{ fill s; mix dry }}
step cast \"Cast it\" {{ work pour p; takes {hours} h }}"
    ))
}

fn bag(job: &Compiled) -> &Lifted {
    at(job, "cast").lifted.iter().find(|lifted| lifted.load == Load::Bag).unwrap()
}

#[test]
fn bags_have_the_index_of_the_worked_lifts() {
    // Basis of the check: hands from 10 in to 40 in, 12 in away, fair hold, one lift a minute for up to an hour: 28.4 lb, and
    // 2.82, 2.11, 1.76 for bags of 80, 60 and 50 lb (revised NIOSH equation, reckoned by hand).
    for (weight, index) in [(80.0, 2.82), (60.0, 2.11), (50.0, 1.76)] {
        let job = bags(weight, 50.0 / 60.0, "");
        let bag = bag(&job);
        assert_eq!(bag.times, 50);
        near(bag.worked.value.limit.lb(), 28.4, 0.05);
        near(bag.worked.value.index.unwrap(), index, 0.005);
        let ledger = &job.works.ledger;
        let Some(Figure::Number(told)) = ledger.find("cast.dry.lifting").map(|entry| entry.value) else { panic!() };
        near(told, index, 0.005);
        assert_eq!(ledger.find("cast.lifting").map(|entry| entry.value), Some(Figure::Number(told)));
    }
    // The best there is, 51 lb: hands at 30 in, 10 in away. An 80 lb bag is never below 1.
    let best = bags(80.0, 50.0 / 60.0, "lifts 30\" to 30 1/16\", out by 10\"");
    near(bag(&best).worked.value.limit.lb(), 51.0 * 0.94, 0.03);
    assert!(bag(&best).worked.value.index.unwrap() > 1.57);
}

#[test]
fn metric_jobs_have_the_metric_constants() {
    // By hand: 23 kg · 25/30 · (1 - 0.003 · 50) · (0.82 + 4.5/75) · 0.85 · 0.95 is 11.58 kg; 25 kg of it 2.16.
    let job = fine(
        "job \"Bags\" { show metric }
wall old { leg a 3 m; thick 200 mm; height -300 mm to 700 mm }
section s { along old; thick 200 mm; height 0 to 300 mm }
pour p { fill s; mix bag-25-kg }
step cast \"Cast it\" { work pour p; takes 5 h }",
    );
    near(bag(&job).worked.value.limit.kg(), 11.58, 0.005);
    near(bag(&job).worked.value.index.unwrap(), 2.16, 0.005);
}

#[test]
fn hands_too_far_out_lift_nothing() {
    let job = bags(20.0, 4.0, "lifts 10\" to 40\", out by 26\"");
    assert_eq!(bag(&job).worked.value.index, None);
    assert!(order(&job).contains("no load so often, or so far out"));
    assert!(job.problems.iter().any(|problem| problem.rule.name == "lift-heavy"));
}

#[test]
fn levels_that_are_none_are_found() {
    let found = |clause: &str| -> Vec<&'static str> {
        sawn(clause, 1.0).problems.iter().map(|problem| problem.rule.name).collect()
    };
    let plain = found("noise 90 dB");
    for (clause, name) in [
        ("noise 200 dB", "too-large"),
        ("noise 98", "unit-missing"),
        ("noise 98 m/s2", "dimension-wrong"),
        ("shakes 4.5 m/s", "dimension-wrong"),
        ("shakes 0 m/s2", "sign-wrong"),
        ("noise 2 * 90 dB", "dimension-wrong"),
    ] {
        let names: Vec<&str> = found(clause).into_iter().filter(|name| !plain.contains(name)).collect();
        assert_eq!(names, [name], "{clause}");
    }
}

#[test]
fn a_bucket_of_five_gallons_is_ninety_seven_pounds() {
    let job = |carry: &str| {
        fine(&format!(
            "{WALL}mix dry {{ bag 60 lb, yields 0.45 ft3 }}
pour p {{ fill s; mix dry; carry {carry} }}\nstep cast \"Cast it\" {{ work pour p; takes 2 h }}"
        ))
    };
    let bucket = |job: &Compiled| at(job, "cast").lifted.iter().find(|one| one.load == Load::Bucket).cloned();
    // 5 gal at 145 lb/ft3 is 96.9 lb, and 2 lb for the bucket.
    near(bucket(&job("5 gal")).unwrap().weight.lb(), 98.9, 0.05);
    assert!(job("5 gal").problems.iter().any(|problem| problem.rule.name == "lift-heavy"));
    assert!(job("2 1/2 gal").problems.iter().all(|problem| problem.rule.name != "lift-heavy"));
    // A barrow is rolled.
    assert!(bucket(&job("2 ft3")).is_none());
    assert!(job("2 ft3").problems.iter().all(|problem| problem.rule.name != "lift-heavy"));
}

#[test]
fn a_bag_is_warned_about_where_it_is_said_how_it_is_lifted() {
    let warned = |job: Compiled| job.problems.iter().any(|problem| problem.rule.name == "lift-heavy");
    assert!(!warned(bags(94.0, 4.0, "")));
    assert!(warned(bags(94.0, 4.0, "lifts 10\" to 40\"")));
    assert!(!warned(bags(60.0, 4.0, "lifts 20\" to 40\", out by 10\"")));
}

#[test]
fn a_bucket_of_debris_weighs_what_is_in_it() {
    // 3 gal of broken concrete that takes half as much room again: 0.401 ft3 / 1.5 at 150 lb/ft3 is 40.1 lb, and 2 lb.
    let job = fine(&format!("{WALL}step break \"Break it out\" {{ work remove strip; takes 4 h }}"));
    let debris = &at(&job, "break").lifted[0];
    near(debris.weight.lb(), 42.1, 0.05);
    assert_eq!(debris.times, job.works.debris[0].trips);
}

#[test]
fn rows_of_table_1_by_place_and_hours() {
    // 29 CFR 1926.1153 Table 1: rows (ii), (vii), (x); up to 4 hours and over, in the open and under a roof.
    let masks = |place: &str, hours: &str| -> Vec<(&'static str, Respirator)> {
        let job = compiled(&format!(
            "job \"Dust\" {{ {place} }}\n{WALL}step saw \"Saw\" {{ work cut edge; {hours} }}
step break \"Break\" {{ work remove strip; {hours} }}\nstep drill \"Drill\" {{ work drill pins; {hours} }}
step face \"Face\" {{ work prepare face; {hours} }}"
        ));
        let rules = ["saw", "break", "drill", "face"].map(|step| at(&job, step).dust[0].rule);
        let rows = rules.map(|rule| match rule {
            DustRule::Row { row, mask, kept: false } => (row.row, mask),
            other => panic!("{other:?}"),
        });
        rows.to_vec()
    };
    let (no, ten) = (Respirator::None, Respirator::Factor10);
    let rows = |saw, break_, face| vec![("(ii)", saw), ("(x)", break_), ("(vii)", no), ("(x)", face)];
    assert_eq!(masks("place outdoors", "takes 4 h"), rows(no, no, no));
    assert_eq!(masks("place outdoors", "takes 4.5 h"), rows(ten, ten, ten));
    assert_eq!(masks("place indoors", "takes 1 h"), rows(ten, ten, ten));
    // What is not said counts as the worse.
    assert_eq!(masks("", "takes 1 h"), rows(ten, ten, ten));
    assert_eq!(masks("place outdoors", ""), rows(ten, ten, ten));
}

#[test]
fn the_table_is_not_claimed_for_what_it_does_not_cover() {
    let rule = |work: &str, tool: &str| {
        let job = compiled(&format!(
            "{WALL}pour p {{ fill s; mix bag-60-lb; mixer 1 bag }}\n{tool}\nstep one \"One\" {{ work {work}; takes 1 h }}"
        ));
        at(&job, "one").dust.first().map(|dust| dust.rule)
    };
    assert_eq!(rule("pour p", ""), Some(DustRule::NoRow));
    let dry = rule("cut edge", "tool t { is handheld-saw; for cut; dust dry }");
    assert!(matches!(dry, Some(DustRule::Misses(row)) if row.row == "(ii)"), "{dry:?}");
    let wet = rule("cut edge", "tool t { is walk-saw; for cut; dust water }");
    assert!(matches!(wet, Some(DustRule::Row { row, kept: true, .. }) if row.row == "(iv)"), "{wet:?}");
    // A row for a shroud is not one for water.
    let drilled = rule("drill pins", "tool t { is hammer-drill; for drill; dust water }");
    assert!(matches!(drilled, Some(DustRule::Misses(row)) if row.row == "(vii)"), "{drilled:?}");
    assert_eq!(rule("remove strip", "tool t { is hand-tool; for remove }"), Some(DustRule::NoRow));
    // A brush and water have no dust to tell of.
    assert_eq!(rule("prepare face", "tool t { is hand-tool; for prepare }"), None);
}

fn sawn(tool: &str, hours: f64) -> Compiled {
    compiled(&format!(
        "{WALL}tool t {{ is handheld-saw; for cut; dust water; {tool} }}\nstep saw \"Saw\" {{ work cut edge; takes {hours} h }}"
    ))
}

#[test]
fn noise_and_shaking_come_out_as_published() {
    let dose = |tool: &str, hours| at(&sawn(tool, hours), "saw").noise.clone().unwrap().dose.unwrap().value.percent();
    // 29 CFR 1926.52, Table D-2: 8 h at 90 dBA, 2 h at 100, half an hour at 110.
    near(dose("noise 90 dB", 8.0), 100.0, 1e-9);
    near(dose("noise 100 dB", 2.0), 100.0, 1e-9);
    near(dose("noise 110 dBA", 0.5), 100.0, 1e-9);
    near(dose("noise 110 dB; muffs 20 dB", 8.0), 100.0, 1e-9);
    near(dose("noise 100 dB; runs 50%", 4.0), 100.0, 1e-9);
    let daily = |tool: &str, hours| at(&sawn(tool, hours), "saw").shaking.clone().unwrap().dose.unwrap().value.daily;
    // Directive 2002/44/EC: 5 m/s2 for 2 h is the action value, for 8 h the limit; 15 m/s2 for half an hour is 225 points.
    near(daily("shakes 5 m/s2", 2.0), 2.5, 1e-9);
    near(daily("shakes 5 m/s2", 8.0), 5.0, 1e-9);
    near(at(&sawn("shakes 15 m/s2", 0.5), "saw").shaking.clone().unwrap().dose.unwrap().value.points, 225.0, 1e-9);
    let names = |tool: &str, hours: f64| -> Vec<&'static str> {
        let job = sawn(tool, hours);
        job.problems.iter().map(|one| one.rule.name).filter(|name| name.ends_with("-long")).collect()
    };
    assert_eq!(names("noise 100 dB; shakes 5 m/s2", 2.0), Vec::<&str>::new());
    assert_eq!(names("noise 100 dB; shakes 5 m/s2", 2.1), ["noise-long"]);
    assert_eq!(names("noise 80 dB; shakes 5 m/s2", 8.1), ["shake-long"]);
    // What is from memory is stated and not judged.
    assert_eq!(names("", 8.0), Vec::<&str>::new());
}

#[test]
fn ends_that_stand_free_are_counted() {
    let job = fine(&format!(
        "{WALL}section t {{ along old; thick 8\"; height 12\" to 24\" }}
bars pegs {{ size #4; in pins; out 5\" }}
bars starters {{ size #4; along s; space at most 12\"; inset 6\"; from offset 4\", height 3\"; legs out 3\", up 18\" }}
bars hoops {{ size #3; along s; space at 5'; from offset 2\", height 3\"; legs up 5\", out 4\", down 5\" }}
pour p {{ fill s; mix bag-60-lb }}\npour q {{ fill t; mix bag-60-lb }}
step drill \"Drill\" {{ work drill pins }}\nstep peg \"Set\" {{ work set pegs }}
step cage \"Place\" {{ work place starters, hoops; after peg }}\nstep low \"Low\" {{ work pour p; after cage }}
step high \"High\" {{ work pour q; after low }}"
    ));
    let ends = job.works.ends.iter().map(|ends| {
        let until = ends.until.map(|step| job.job.name(step));
        (job.job.name(ends.bars), ends.count, ends.up, ends.low.inches(), ends.high.inches(), until)
    });
    let ends: Vec<_> = ends.collect();
    // 10 ft less 6 in at both ends, at most 12 in apart: 10 of each. Starters: 3 in and out to out 18 in, half a bar above
    // the centre of the lower leg less: the end is at 3 - 1/4 + 18.
    assert_eq!(ends, [("pegs", 10, false, 6.0, 6.0, Some("low")), ("starters", 10, true, 20.75, 20.75, Some("high"))]);
    assert!(at(&job, "peg").harms.contains(&Harm::BarEnds));
}

#[test]
fn steps_of_one_day_add_up() {
    let job = |start: &str, drill: &str| {
        fine(&format!(
            "job \"Days\" {{ place outdoors; {start} }}
hours day {{ work mon to fri, from 8:00 to 16:00 }}
tool hammer {{ is hammer-drill; for drill; noise 100 dB; shakes 10 m/s2; runs 50%; dust vacuum }}
tool chisel {{ is chipper; for prepare; noise 110 dB; shakes 12 m/s2; runs 50%; dust water }}
{WALL}step drill \"Drill\" {{ work drill pins; takes {drill} }}
step rough \"Roughen\" {{ work prepare face; takes 1 h; after drill }}"
        ))
    };
    // 2 h at a time half run: 1 h of 100 dB of the 2 h permitted; half an hour of 110 dB of half an hour: 50% and 100%.
    let one = job("start 2027-08-02", "2 h");
    let day = &one.works.day_doses[0];
    assert_eq!((one.works.day_doses.len(), day.date.to_string().as_str(), day.steps.len()), (1, "2027-08-02", 2));
    near(day.noise.as_ref().unwrap().value.percent(), 150.0, 1e-9);
    // The root of the sum of the squares, each by its time over 8 h.
    let daily = ((100.0 * 1.0 + 144.0 * 0.5) / 8.0_f64).sqrt();
    near(day.shaking.as_ref().unwrap().value.daily, daily, 1e-9);
    let ledger = &one.works.ledger;
    let Some(Figure::Ratio(told)) = ledger.find("job.2027-08-02.noise").map(|entry| entry.value) else { panic!() };
    near(told.percent(), 150.0, 1e-9);
    assert!(order(&one).contains("| 2027-08-02 | drill and rough |"), "{}", order(&one));
    // Ten hours of drilling: eight on the first day, two of them on the second, with the roughening.
    let two = job("start 2027-08-02", "10 h");
    assert_eq!(two.works.day_doses.len(), 1);
    near(two.works.day_doses[0].noise.as_ref().unwrap().value.percent(), 150.0, 1e-9);
    // Without a day nothing is added.
    let none = job("show feet", "2 h");
    assert!(none.works.day_doses.is_empty() && order(&none).contains("where the job says when it starts"));
}

#[test]
fn digs_ask_for_what_their_depth_asks() {
    let pit = |bottom: i64| {
        let job = fine(&format!(
            "line run {{ leg a 10' }}\nsection s {{ along run; thick 2'; height {bottom}' to 0; side earth }}"
        ));
        let pit = job.works.pits[0].clone();
        (pit.depth.inches() / 12.0, pit.at_top.map(|worked| worked.value.inches() / 12.0), order(&job))
    };
    let (depth, at_top, text) = pit(-3);
    assert_eq!((depth, at_top), (3.0, None));
    assert!(text.contains("Shallow sides cave in too") && !text.contains("A ladder"));
    let (_, at_top, text) = pit(-4);
    assert!(at_top.is_none() && text.contains("A ladder in it"));
    // 5 ft of type C ground, 2 ft at the bottom: 2 + 2 · 5 · 1.5 = 17 ft.
    assert_eq!(pit(-5).1, Some(17.0));
    assert!(pit(-5).2.contains("1 1/2 to 1, 17' wide at the top"));
    assert!(pit(-21).2.contains("So deep an engineer plans it"));
}

#[test]
fn digs_go_down_from_the_ground_and_are_told_once() {
    let depths = |text: &str| -> Vec<(String, i64)> {
        let job = fine(text);
        let depth =
            |pit: &batterboard::hazards::Pit| (job.job.name(pit.section).to_owned(), pit.depth.nm() / 1_000_000);
        job.works.pits.iter().map(depth).collect()
    };
    let one = |name: &str, depth: i64| vec![(name.to_owned(), depth)];
    let foot = "section foot { along run; thick 400 mm; height -400 mm to -200 mm; side earth }\npour a { fill foot; mix bag-25-kg }\n";
    let line = format!("line run {{ leg a 2 m }}\n{foot}");
    // Before a line there is ground on both sides of it; without it the ground is as high as what is cast against it.
    assert_eq!(depths(&line), one("foot", 200));
    assert_eq!(depths(&(line.clone() + "ground { outside 0; inside -100 mm }")), one("foot", 400));
    let wall = format!("wall run {{ leg a 2 m; thick 300 mm; height -400 mm to 1 m }}\n{foot}");
    assert_eq!(depths(&(wall.clone() + "ground { outside 0; inside -100 mm }")), one("foot", 300));
    // What stands on new concrete lies in its dig; what is cast against earth above it makes that deeper.
    let stem =
        "section stem { along run; thick 200 mm; height -200 mm to 600 mm }\npour b { fill stem; mix bag-25-kg }\n";
    assert_eq!(depths(&(wall + stem + "ground { inside 0 }")), one("foot", 400));
    let deep = "section stem { along run; thick 200 mm; height -200 mm to 100 mm; side earth }\npour b { fill stem; mix bag-25-kg }\n";
    assert_eq!(depths(&(line + deep)), one("foot", 500));
}

#[test]
fn digs_leave_room_for_forms() {
    let pit = |heights: &str, kick: &str| {
        let job = compiled(&format!(
            "line run {{ leg a 10' }}\nground {{ inside 0; outside 0 }}
section s {{ along run; thick 12\"; height {heights} }}\npour p {{ fill s; mix bag-80-lb }}
forms f {{ against s; sheath ply-3/4; studs 2x4, space at most 12\"; brace 2x4, space at most 2', on stakes, holds 400 lbf; kick 2x4, {kick} }}"
        ));
        (job.works.pits[0].wide().inches(), order(&job))
    };
    // 12 in of concrete; on both sides 3/4 in of sheathing, 3 1/2 in of studs and 1 1/2 in of kicker: 12 + 2 * 5 3/4.
    let (wide, text) = pit("-12\" to 24\"", "on bank");
    assert_eq!(wide, 23.5);
    assert!(text.contains("(s 12\" deep and 23 1/2\" wide with its forms; room to work in comes to that)"), "{text}");
    // Stakes behind the kicker, 40 mm.
    assert_eq!(pit("-12\" to 24\"", "on stakes, holds 400 lbf").0, 23.5 + 2.0 * 40.0 / 25.4);
    // Where the braces stand down there too: sheathing, studs and walers, 7 3/4 in; as far out as they rise, 18 in at 45 degrees; half
    // a brace along the ground, a cleat twice as thick as a brace, and a stake; up to a sixteenth.
    let out = 7.75 + 18.0 + 0.75 * 2.0_f64.sqrt() + 3.0 + 40.0 / 25.4;
    assert_eq!(pit("-24\" to 0", "on bank").0, 12.0 + 2.0 * (out * 16.0).ceil() / 16.0);
    // Above the ground nothing is dug for.
    let free = "ground { inside 0 }\nline run { leg a 10' }\nsection s { along run; thick 12\"; height 0 to 2' }";
    assert!(fine(free).works.pits.is_empty());
}

#[test]
fn what_is_made_ready_along_a_line_is_no_old_face() {
    let text = |standing: &str, curb: &str| {
        format!(
            "{standing}
section pad {{ along run; thick 4'; height -6\" to 0; side earth }}
section curb {{ along run; {curb}; height 0 to 12\" }}
prepare joint {{ of curb; wet 12 h }}
pour one {{ fill pad; mix bag-80-lb }}
pour two {{ fill curb; mix bag-80-lb }}
step a \"x\" {{ work pour one }}
step b \"x\" {{ work prepare joint; after a }}
step c \"x\" {{ work pour two; after b }}"
        )
    };
    let line = order(&fine(&text("line run { leg a 8' }", "offset 1' to 20\"")));
    assert!(line.contains("the hardened concrete under or behind curb") && !line.contains("old face"));
    // Before a wall it stands on the pad as well, or on the pad alone.
    let before = |curb: &str| order(&fine(&text("wall run { leg a 8'; thick 8\"; height -12\" to 40\" }", curb)));
    assert!(before("thick 8\"").contains("the old face and the hardened concrete behind or under curb"));
    assert!(before("offset 1' to 20\"").contains("the hardened concrete under or behind curb"));
}

#[test]
fn undermining_prints_no_order_here_either() {
    let job = compiled(&format!(
        "{}step dig \"Dig\" {{ work cut edge; takes 1 h }}",
        WALL.replace("height 0 to 12", "height -30\" to 0").replace("to 0\"", "to 0")
    ));
    assert!(job.problems.iter().any(|problem| problem.rule.name == "undermines"), "{:?}", job.problems);
    let text = order(&job);
    assert!(text.contains("STOP: s would take the ground from under old."), "{text}");
    assert!(!text.contains("(dig)") && !text.contains("Wear, have at hand") && !text.contains("### Loads"));
}

#[test]
fn old_buildings_are_asked_about() {
    let names = |year: i64, more: &str| -> Vec<&'static str> {
        let text = format!(
            "job \"Old\" {{ built {year} }}\n{WALL}{more}
step saw \"Saw\" {{ work cut edge }}\nstep face \"Face\" {{ work prepare face }}"
        );
        found(&text).into_iter().filter(|name| name.ends_with("-unasked") && *name != "lines-unasked").collect()
    };
    assert_eq!(names(1977, ""), ["asbestos-unasked", "lead-unasked"]);
    assert_eq!(names(1978, ""), ["asbestos-unasked"]);
    assert_eq!(names(1981, ""), Vec::<&str>::new());
    assert_eq!(names(1900, "ask a \"Lead?\" { about lead }\nask b \"Tar?\" { about asbestos }\n"), Vec::<&str>::new());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_heavier_bag_never_has_a_lower_index(pounds in 10..120_u32, more in 1..60_u32, hours in 1..9_u32) {
        let index = |pounds: u32| bag(&bags(f64::from(pounds), f64::from(hours), "")).worked.value.index.unwrap();
        prop_assert!(index(pounds + more) > index(pounds));
    }

    #[test]
    fn a_longer_step_never_has_a_lower_dose(tenths in 1..90_u32, more in 1..60_u32, level in 60..120_u32, shakes in 1..20_u32) {
        let tool = format!("noise {level} dB; shakes {shakes} m/s2");
        let dose = |tenths: u32| {
            let job = sawn(&tool, f64::from(tenths) / 10.0);
            let at = at(&job, "saw");
            let noise = at.noise.as_ref().unwrap().dose.as_ref().unwrap().value.fraction();
            (noise, at.shaking.as_ref().unwrap().dose.as_ref().unwrap().value.daily)
        };
        let (shorter, longer) = (dose(tenths), dose(tenths + more));
        prop_assert!(longer.0 > shorter.0 && longer.1 > shorter.1);
    }
}

#[test]
fn the_tail_of_a_closed_tie_lies_under_its_own_top() {
    let text = |legs: &str| {
        format!(
            "line run {{ leg a 8' }}
section foot {{ along run; thick 24\"; height 0 to 24\" }}
bars ties {{ size #3; along foot; space at most 18\"; inset 6\"; from offset 3\", height 3\"; legs {legs} }}
pour one {{ fill foot; mix bag-80-lb }}
step a \"x\" {{ work place ties }}
step b \"x\" {{ work pour one }}"
        )
    };
    // Two uprights joined below stick up; closed above, and hooked in below, nothing does.
    assert!(
        compiled(&text("down 18\", out 18\", up 18\"").replace("height 3\"", "height 21\""))
            .works
            .ends
            .iter()
            .any(|ends| ends.up)
    );
    let closed = compiled(&text("up 18\", out 18\", down 18\", in 18\", hook 135 deg"));
    assert_eq!(closed.works.bars[0].count, 6);
    assert!(closed.works.ends.is_empty(), "{:?}", closed.works.ends);
}

#[test]
fn what_does_not_hang_on_a_start_that_cannot_be_read_is_told_beside_it() {
    let text =
        |start: &str, weather: &str| format!("job \"Cooper's shed\" {{ show feet; start {start}; weather {weather} }}");
    let plain = "55 degF to 70 degF";
    let later = "55 degF to 70 degF, humidity 60%; weather 40 degF to 50 degF, from 2027-05-20";
    assert_eq!(found(&text("03.05.2027", plain)), ["date-unreadable"]);
    assert_eq!(found(&text("03.05.2027", later)), ["date-unreadable"]);
    assert_eq!(found(&text("03.05.2027", "55 degF to 70 degF, humidity 160%")), ["date-unreadable", "weather-odd"]);
    assert_eq!(found(&text("2027-05-03", later)), [""; 0]);
    assert_eq!(found(&text("2027-05-03", later).replace("start 2027-05-03; ", "")), ["weather-odd"]);
}

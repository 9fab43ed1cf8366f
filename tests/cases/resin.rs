//! Cartridges, nozzles and curing at the temperatures of the job, worked out by hand.

use batterboard::{compile::Compiled, ledger::Figure, schema::Asked};

use super::{fine, found, near};

/// 24 holes with #4 bars, 4 minutes each, and what the resin and the weather say.
fn job(weather: &str, resin: &str) -> String {
    format!(
        "job \"Case\" {{ show feet; {weather} }}
wall old {{ leg a 50'; thick 12\"; height -12\" to 40\" }}
section s {{ along old; thick 8\"; height 0 to 20\" }}
prepare f {{ of s; wet 12 h }}
holes h {{ into old; along old.a 2' to 48'; rows height 4\"; space every 2'; bore 5/8\" by 6\"; fill r }}
bars d {{ size #4; in h; out 5\" }}
resin r {{ {resin} }}
pour p {{ fill s; mix bag-80-lb }}
ask lines \"Are there lines?\" {{ about lines; before drill }}
step scan \"Look\" {{ work scan old }}
step drill \"Drill\" {{ work drill h }}
step wash \"Wash\" {{ work prepare f; after drill }}
step peg \"Set\" {{ work set d; takes 4 min each }}
wait harden \"Rest\" {{ takes 24 h; after peg; before cast }}
step cast \"Cast\" {{ work pour p }}"
    )
}

const CURVES: &str = "works 15 min at 70 degF, 40 min at 50 degF; cures 6 h at 70 degF, 24 h at 50 degF";

fn number(job: &Compiled, name: &str) -> Figure {
    job.works.ledger.find(name).unwrap_or_else(|| panic!("no `{name}`")).value
}

#[test]
fn nozzles_and_cartridges_of_a_day_between_52_and_66() {
    let job =
        fine(&job("weather 52 degF to 66 degF", &format!("cartridge 9 fl-oz, purge 1/2 fl-oz, nozzles 2; {CURVES}")));
    let fill = job.works.fills[0];
    // At 66 degF it can be worked for 40 - 0.8 * 25 = 20 min: 5 holes of 4 min, 24 holes in 5 goes.
    let Some(Asked::Within(works)) = fill.works else { panic!("{:?}", fill.works) };
    near(works.minutes(), 20.0, 1e-9);
    assert_eq!((fill.per_nozzle, fill.nozzles), (Some(5), 5));
    // 15.904313 in3 and a quarter more are 11.015974 fl-oz; 2.5 fl-oz go with the nozzles: two cartridges of 9.
    near(fill.order.cubic_inches() / 231.0 * 128.0, 11.015974 + 2.5, 1e-5);
    let order = job.works.resins[0];
    assert_eq!((order.cartridges, order.nozzles, order.packed), (Some(2), 5, Some(4)));
    // At 52 degF it cures in 24 - 0.1 * 18 = 22.2 h.
    near(fill.cure().unwrap().hours(), 22.2, 1e-9);
    assert_eq!(number(&job, "h.nozzles"), Figure::Whole { count: 5, of: 4.8 });
    assert!(matches!(number(&job, "buy.r.packs"), Figure::Whole { count: 2, .. }));
    assert_eq!(number(&job, "buy.r.nozzles"), Figure::Count(5));
    assert_eq!(number(&job, "h.resin-order"), Figure::Fluid(fill.order));
    let Figure::Duration(cure) = number(&job, "h.cure") else { panic!() };
    near(cure.hours(), 22.2, 1e-9);
}

#[test]
fn beyond_the_temperatures_given_nothing_is_guessed() {
    let hot = fine(&job("weather 52 degF to 80 degF", &format!("cartridge 9 fl-oz; {CURVES}")));
    let fill = hot.works.fills[0];
    assert!(matches!(fill.works, Some(Asked::Warmer(_))));
    // A nozzle for each cartridge: 11.02 fl-oz are two of 9.
    assert_eq!((fill.per_nozzle, fill.nozzles), (None, 2));
    assert_eq!(found(&job("weather 52 degF to 80 degF", &format!("cartridge 9 fl-oz; {CURVES}"))), ["resin-hot"]);
    let cold = job("weather 42 degF to 66 degF", &format!("cartridge 9 fl-oz; {CURVES}"));
    assert_eq!(fine(&cold).works.fills[0].cure(), None);
    assert_eq!(found(&cold), ["resin-cold"]);
    // Without weather there is nothing to ask at.
    let none = fine(&job("place indoors", &format!("cartridge 9 fl-oz; {CURVES}")));
    assert_eq!((none.works.fills[0].works, none.works.fills[0].cure()), (None, None));
}

#[test]
fn bars_rest_until_their_resin_has_cured() {
    let text = |wait: &str| {
        job("weather 52 degF to 66 degF", &format!("cartridge 9 fl-oz; {CURVES}"))
            .replace("wait harden \"Rest\" { takes 24 h; after peg; before cast }", wait)
    };
    let enough = "wait harden \"Rest\" { takes 24 h; after peg; before cast }";
    assert_eq!(found(&text(enough)), [""; 0]);
    // 22 h 12 min, to the minute.
    assert_eq!(found(&text("wait harden \"Rest\" { takes 1332 min; after peg; before cast }")), [""; 0]);
    assert_eq!(found(&text("wait harden \"Rest\" { takes 1331 min; after peg; before cast }")), ["wait-short"]);
    assert_eq!(found(&text("")), ["wait-short"]);
    // Two waits one after the other count together; one beside the way does not count.
    let two = "wait one \"Rest\" { takes 12 h; after peg; before two }\nwait two \"Rest\" { takes 12 h; before cast }";
    assert_eq!(found(&text(two)), [""; 0]);
    assert_eq!(found(&text("wait other \"Rest\" { takes 48 h; after scan; before cast }")), ["wait-short"]);
}

#[test]
fn an_eighth_of_an_inch_more_is_the_usual_bore() {
    for (size, bore) in
        [("#3", "1/2\""), ("#4", "5/8\""), ("#5", "3/4\""), ("#6", "7/8\""), ("#8", "1 1/8\""), ("12mm", "16 mm")]
    {
        let text = |bore: &str| {
            format!(
                "wall old {{ leg a 12'; thick 24\"; height -24\" to 60\" }}
holes h {{ into old; along old; rows height 12\"; inset 2'; space every 2'; bore {bore} by 8\" }}
bars d {{ size {size}; in h; out 5\" }}"
            )
        };
        assert!(!found(&text(bore)).contains(&"bore-odd"), "{size} in {bore}");
        assert!(found(&text("1 5/8\"")).contains(&"bore-odd"), "{size}");
    }
}

#[test]
fn resin_is_judged_by_the_weather_of_the_days_it_is_set_and_cures_on() {
    let text = |later: &str| {
        let weather = format!("start 2027-05-03; weather 52 degF to 66 degF; weather {later}");
        job(&weather, &format!("cartridge 9 fl-oz; {CURVES}"))
    };
    let resin = |text: &str| -> Vec<&str> {
        let mut rules: Vec<&str> = found(text).into_iter().filter(|rule| rule.starts_with("resin")).collect();
        rules.sort_unstable();
        rules
    };
    // Set on the first day, cured on the second: 2 weeks later it may freeze, or be hot.
    let far = text("30 degF to 90 degF, from 2027-05-17");
    assert_eq!(resin(&far), [""; 0]);
    let fill = fine(&far).works.fills[0];
    near(fill.cure().unwrap().hours(), 22.2, 1e-9);
    assert_eq!((fill.per_nozzle, fill.by_day), (Some(5), true));
    // It still cures on the second day: the heat of that does not shorten the time it can be worked, its cold counts.
    assert_eq!(resin(&text("30 degF to 90 degF, from 2027-05-04")), ["resin-cold"]);
    // Without a day nobody knows which weather it is set in.
    assert_eq!(resin(&far.replace("start 2027-05-03; ", "")), ["resin-cold", "resin-hot"]);
    // Set on a later day, the weather of that counts.
    let late = far.replace("takes 4 min each", "takes 4 min each; not-before 2027-05-18");
    assert_eq!(resin(&late), ["resin-cold", "resin-hot"]);
}

/// What is told to be written has a name that nothing has, and a wait that is there is not written again.
#[test]
fn a_wait_that_is_missing_gets_a_name_of_its_own() {
    let helps = |from: &str, to: &str| {
        let text = job("weather 52 degF to 66 degF", &format!("cartridge 9 fl-oz; {CURVES}"));
        assert!(text.contains(from), "{from}");
        let job = super::compiled(&text.replace(from, to));
        let short = job.problems.iter().filter(|problem| problem.rule.name == "wait-short");
        short.map(|problem| problem.helps(job.job.system()).unwrap()).collect::<Vec<_>>()
    };
    let wait = "wait harden \"Rest\" { takes 24 h; after peg; before cast }\n";
    let new = |name: &str| {
        format!("let them rest: `wait {name} \"Let the resin harden\" {{ takes 23 h; after peg; before cast }}`")
    };
    assert_eq!(helps(wait, ""), [new("harden")]);
    assert_eq!(helps(wait, &wait.replace("after peg; before cast", "after drill; before peg")), [new("harden-2")]);
    let taken = format!("{}let harden-2 = 4\"\n", wait.replace("after peg; before cast", "after drill; before peg"));
    assert_eq!(helps(wait, &taken), [new("harden-3")]);
    assert_eq!(helps("takes 24 h", "takes 12 h"), ["let that wait take longer: `takes 23 h` in `harden`"]);
    assert_eq!(helps("takes 24 h", "takes 23 h"), Vec::<String>::new());
}

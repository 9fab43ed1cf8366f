//! Slips of the hand in a job that is in order: each is told once, and what it says to write does away with it.

use batterboard::{
    compile::{Compiled, compile_text},
    language::Limits,
    source::Shelf,
    units::System,
};

const WEATHER: &str = "weather 52 degF to 66 degF, humidity 60%, wind 5 mph";

fn rules(job: &Compiled) -> Vec<&'static str> {
    job.problems.iter().map(|problem| problem.rule.name).collect()
}

/// The boathouse with a change in it.
fn with(from: &str, to: &str) -> String {
    let text = std::fs::read_to_string("examples/boathouse/boathouse.job").unwrap();
    assert_eq!(text.matches(from).count(), 1, "{from}");
    text.replace(from, to)
}

/// A boathouse of this text; in its shop the evenings begin as is said here.
fn job(text: &str, evening: &str) -> Compiled {
    let shop = std::fs::read_to_string("examples/boathouse/shop.job").unwrap();
    let shelf = Shelf::new([("shop.job", shop.replace("from 16:30 to", evening))]);
    compile_text(&shelf, "boathouse.job", text, &Limits::default())
}

/// What is found of a slip beyond what is found without it, the help of the first, and what is found once its mend is made.
fn told(from: &str, right: &str, wrong: &str) -> (Vec<&'static str>, String, Option<Vec<&'static str>>) {
    const EVENING: &str = "from 16:30 to";
    let before = rules(&job(&with(from, right), EVENING));
    let new = |found: Vec<&'static str>| found.into_iter().filter(|name| !before.contains(name)).collect::<Vec<_>>();
    let text = with(from, wrong);
    let slipped = job(&text, EVENING);
    let first = slipped.problems.iter().find(|problem| !before.contains(&problem.rule.name));
    let help = first.and_then(|problem| problem.helps(System::Feet)).unwrap_or_default();
    let mended = first.and_then(|problem| problem.fix.as_ref()).map(|fix| {
        let mut text = text.clone();
        text.replace_range(fix.span.start as usize..fix.span.end as usize, &fix.text);
        new(rules(&job(&text, EVENING)))
    });
    (new(rules(&slipped)), help, mended)
}

#[test]
fn a_slip_is_told_once() {
    let resin = "after peg; before cage; takes 24 h";
    assert_eq!(told(resin, resin, "after peg; before cage").0, ["clause-missing"]);
    let crown = "rows height top - 4 1/2\"; offset";
    assert_eq!(told(crown, crown, "rows height top-4 1/2\"; offset").0, ["name-unknown"]);
    let later = format!("{WEATHER}\n    weather 50 degF to 60 degF, humidity 60%, wind 5 mph, from 2027-05-20");
    assert_eq!(told(WEATHER, &later, &later.replacen("60%", "0.6", 1)).0, ["unit-missing"]);
    // By day it is poured earlier, in the cold. With hours that cannot be read nobody knows when, and nobody says so.
    let text =
        with(WEATHER, &format!("weather 30 degF to 45 degF, humidity 60%, wind 5 mph\n    {WEATHER}, from 2027-05-18"))
            .replace("place indoors", "place outdoors");
    let (right, wrong) = (rules(&job(&text, "from 16:30 to")), rules(&job(&text, "from 16 to")));
    let usual = rules(&job(&text, "from 9:00 to"));
    assert!(!right.contains(&"strip-soon") && usual.contains(&"strip-soon"), "{right:?} {usual:?}");
    assert_eq!(wrong.into_iter().filter(|name| !right.contains(name)).collect::<Vec<_>>(), ["value-misfit"]);
}

#[test]
fn what_is_meant_is_offered() {
    let humid = |percent: &str| WEATHER.replace("60%", percent);
    for (from, right, wrong, rule, help) in [
        ("height top - 4 1/2\"", "height top - 4 1/2\"", "height top-4 1/2\"", "name-unknown", "`top - 4`"),
        (WEATHER, WEATHER, humid("0.6").as_str(), "unit-missing", "write `60%`"),
        (WEATHER, WEATHER, humid("0.55").as_str(), "unit-missing", "write `55%`"),
        ("bore 5/8\" by 6\"", "bore 5/8\" by 6\"", "bore 5/8\" by 6\"; bit last 60'", "clause-unknown", "`lasts`"),
        ("strip after 3 days", "strip after 3 days", "strip in 3 days", "clause-unknown", "`after`"),
        (
            "inset 5\", at corners 9\"",
            "inset 5\", at corners 9\"",
            "inset 5\", corners 9\"",
            "clause-unknown",
            "`at corners`",
        ),
        ("size #4; in pins", "size #4; in pins", "size 4; in pins", "value-misfit", "`#4`"),
        ("price 32 USD per trip", "price 32 USD per trip", "price 32 USD each trip", "value-extra", "`per trip`"),
        (
            "clear bolts",
            "hire drum { for cast; price 55 USD per day }\nclear bolts",
            "hire drum { for cast; price 55 USD a day }\nclear bolts",
            "value-extra",
            "`per day`",
        ),
        (
            "clear bolts",
            "hire drum { for cast; price 9 USD per h }\nclear bolts",
            "hire drum { for cast; price 9 USD per hour }\nclear bolts",
            "unit-unknown",
            "`h`",
        ),
        (
            "clear bolts",
            "record 2027-05-20 { poured wall from 9:00 to 12:00 }\nclear bolts",
            "record 2027-05-20 { pour wall from 9:00 to 12:00 }\nclear bolts",
            "clause-unknown",
            "`poured`",
        ),
        (
            "clear bolts",
            "record 2027-05-20 { used 2 of resin }\nclear bolts",
            "record 2027-05-20 { used 2 resin }\nclear bolts",
            "value-extra",
            "`2 of resin`",
        ),
    ] {
        let (rules, says, mended) = told(from, right, wrong);
        assert_eq!(rules.first(), Some(&rule), "{wrong}: {rules:?}");
        assert!(says.contains(help), "{wrong}: {says}");
        assert_eq!(mended, Some(Vec::new()), "{wrong}");
    }
}

#[test]
fn air_is_never_so_dry() {
    assert_eq!(told(WEATHER, WEATHER, &WEATHER.replace("60%", "0.55%")).0, ["weather-odd"]);
    assert!(told(WEATHER, WEATHER, &WEATHER.replace("60%", "12%")).0.iter().all(|name| *name != "weather-odd"));
}

//! What was surely meant is told with what to write, and writing exactly that makes it right.

use std::fmt::Write as _;

use batterboard::{
    compile::Compiled,
    problem::{Level, Problem},
    units::System,
};

use super::compiled;

const JOB: &str = r#"job "Net shed" {
    site "Alder Landing"
    start 2027-05-13
    datum "top of the floor slab"
    weather 54 degF to 70 degF, humidity 60%, wind 5 mph
}
let bore-depth = 5"
let skin = 8"
hours usual { work mon to sat from 8:00 to 17:00 }
wall old { leg yard 16'; thick 8"; height -12" to 26"; of concrete, strength 2500 psi, assumed }
slab floor { against old.yard; thick 4"; top 0 }
remove strip { in floor; along old.yard; out 18" }
section low { along old.yard 0 to 8'; thick 8"; height -4" to 12" }
section high { along old.yard 8' to 13'; offset 0 to 8"; height -4" to low.top + 8" }
section apart { along old.yard 13' to 16'; offset 9" to 17"; height -4" to 12"; base gravel }
void vent { in high; on old.yard 10' to 11'; height 14" to 18" }
holes pins { into old; along low, high; rows height 4"; inset 5"; space at most 14"; bore 5/8" by 5"; fill resin }
bars pegs { size #4; in pins; out 5 1/2" }
bars rails { size #4; along low, high; rows height 8"; offset 4 1/2" }
bars runs { size #4; along low; rows height top - 3"; offset 4 1/2" }
mix bagged { bag 80 lb, yields 0.60 ft3 }
stock sticks { for 2x4; length 20'; price 11.40 USD }
resin resin { cartridge 22 fl-oz }
forms boxing {
    against low, high
    sheath ply-3/4
    studs 2x4, space at most 12"
    brace 2x4, space at most 30", angle 30 deg, on floor, holds 500 lbf
    kick 2x4, on floor, holds 300 lbf
}
pour fill-up { fill low, high, apart; mix bag-80-lb }
step cage "Place the bars" { work place rails, runs; after drill }
step drill "Drill" { work drill pins; takes 6 min each }
record 2027-05-20 { hole pins.3 bore 3/4" by 4" }
"#;

fn errors(job: &Compiled) -> Vec<&Problem> {
    job.problems.iter().filter(|problem| problem.rule.level == Level::Error).collect()
}

fn told(problems: &[&Problem]) -> String {
    problems.iter().fold(String::new(), |mut out, problem| {
        let _ = writeln!(
            out,
            "    {}: {}; {:?}",
            problem.rule.name,
            problem.says(System::Feet),
            problem.helps(System::Feet)
        );
        out
    })
}

fn changed(from: &str, to: &str) -> String {
    assert_eq!(JOB.matches(from).count(), 1, "{from}");
    JOB.replace(from, to)
}

/// What stands there, what is written in its place, and what the mends make of it. Each is told once.
const MENDED: [(&str, &str, &str); 57] = [
    ("70 degF, humidity 60%", "70 degF, humidty 60%", "70 degF, humidity 60%"),
    (r#"out 5 1/2""#, r#"out 5 1/2","#, r#"out 5 1/2""#),
    ("22 fl-oz", "22 fl oz", "22 fl-oz"),
    ("work place rails, runs", "work place rails, place runs", "work place rails; work place runs"),
    ("ply-3/4", "ply-3/4\"", "ply-3/4"),
    ("takes 6 min each", "takes 6 min a hole", "takes 6 min each"),
    ("price 11.40 USD", "price 11.40 USD per piece", "price 11.40 USD"),
    ("from 8:00 to 17:00", "from 8:00 to 5:00", "from 8:00 to 17:00"),
    ("along old.yard 0 to 8'", "along old.yard 0 - 8'", "along old.yard 0 to 8'"),
    ("along old.yard 0 to 8'", "along old.yard 0-8'", "along old.yard 0 to 8'"),
    ("along old.yard 8' to 13'", "along old.yard 8-13'", "along old.yard 8' to 13'"),
    (r#"-4" to 12"; base"#, r#"-4" to low.top-2"; base"#, r#"-4" to low.top - 2"; base"#),
    (r#"height -4" to low.top + 8""#, r#"height low.top-4" to 20""#, r#"height low.top - 4" to 20""#),
    (r#"height top - 3""#, r#"height top-3""#, r#"height top - 3""#),
    (r#"space at most 14""#, r#"space max 14""#, r#"space at most 14""#),
    (r#"offset 9" to 17""#, r#"offset -9" to -17""#, r#"offset 9" to 17""#),
    ("studs 2x4", r#"studs 2"x4""#, "studs 2x4"),
    ("studs 2x4", r#"studs 2" x 4""#, "studs 2x4"),
    ("studs 2x4", "studs 2 x 4", "studs 2x4"),
    (r#"5/8" by 5""#, r#"5/8"x5""#, r#"5/8" by 5""#),
    ("section high { along old.yard 8'", "section high { on old.yard 8'", "section high { along old.yard 8'"),
    ("void vent { in high", "void vent { of high", "void vent { in high"),
    ("leg yard 16'", "leg yard: 16'", "leg yard 16'"),
    ("leg yard 16'", "leg yard:16'", "leg yard 16'"),
    (r#"out 5 1/2""#, r#"out 5 1 / 2""#, r#"out 5 1/2""#),
    ("price 11.40 USD", "price 0.57 USD per ft", "price 11.40 USD"),
    ("price 11.40 USD", "price 0.57 USD / foot", "price 11.40 USD"),
    ("rails { size #4; along low, high;", "rails { size #4; along low high;", "rails { size #4; along low, high;"),
    ("against low, high", "against low and high", "against low, high"),
    ("fill low, high, apart", "fill low, high and apart", "fill low, high, apart"),
    ("fill low, high, apart", "fill low high apart", "fill low, high, apart"),
    ("place rails, runs; after", "place rails runs after", "place rails, runs; after"),
    ("place rails, runs; after", "place rails, runs, after", "place rails, runs; after"),
    (r#"0 to 8'; thick 8"; height"#, "0 to 8' thick skin; height", "0 to 8'; thick skin; height"),
    (r#"0 to 8'; thick 8"; height"#, "0 to 8'; thick skin height", "0 to 8'; thick skin; height"),
    ("fill low, high, apart; mix", "fill low, high, apart mix", "fill low, high, apart; mix"),
    (r#"5/8" by 5""#, r#"5/8", bore-depth"#, r#"5/8" by bore-depth"#),
    (r#"5/8" by 5""#, r#"5/8" x bore-depth"#, r#"5/8" by bore-depth"#),
    ("mon to sat from 8:00", "mon to sat 8:00", "mon to sat from 8:00"),
    ("along old.yard 8' to 13'", "along old.yard from 8' to 13'", "along old.yard 8' to 13'"),
    ("mix bag-80-lb", "mix 80 lb", "mix bag-80-lb"),
    ("54 degF to", "54°F to", "54 degF to"),
    ("54 degF to", "54 ° F to", "54 degF to"),
    ("angle 30 deg", "angle 30°", "angle 30 deg"),
    (r#"-4" to 12"; base"#, r#"–20" to –12"; base"#, r#"-20" to -12"; base"#),
    (r#"height 14" to 18""#, r#"height 14 " to 18""#, r#"height 14" to 18""#),
    (
        "8\"; height -4\" to 12\" }\nsection high",
        "8 \"; height -4\" to 12\" }\nsection high",
        "8\"; height -4\" to 12\" }\nsection high",
    ),
    (r#""top of the floor slab""#, "'top of the floor slab'", r#""top of the floor slab""#),
    (r#""top of the floor slab""#, "„top of the floor slab“", r#""top of the floor slab""#),
    (r#""top of the floor slab""#, r#"„top of the floor slab""#, r#""top of the floor slab""#),
    ("hole pins.3", "hole pins.#3", "hole pins.3"),
    (r#"out 18""#, r#"out 18"."#, r#"out 18""#),
    ("mix bagged {", "# one more\nmix bagged {", "// one more\nmix bagged {"),
    ("mix bagged {", "mix bagged {\n-- one more\n", "mix bagged {\n// one more\n"),
    ("mix bagged {", "/* one more */\nmix bagged {", "// one more\nmix bagged {"),
    ("mix bagged {", "/*\n * one\n * more\n */\nmix bagged {", "// one\n// more\nmix bagged {"),
    ("takes 6 min each", "takes 6 min per hole", "takes 6 min each"),
];

/// What stands there, what is written in its place, and what is said to write: no single thing was surely meant.
const TOLD: [(&str, &str, &str); 8] = [
    ("from 8:00 to 17:00", "from 22:00 to 6:00", "two times of one day"),
    ("along old.yard 0 to 8'", "along old.yard 0 – 8'", "or `to` for a range"),
    (r#"out 5 1/2""#, r#"out ~5""#, "take it out"),
    ("price 11.40 USD", "price 0.57 USD per m2", "write what one piece or pack costs, without `per m2`"),
    (
        "hours usual {",
        "weather { wind 5 mph }\nhours usual {",
        "`weather` is a clause of `job`: write it inside that block",
    ),
    ("section apart {", "section apart front {", "write `apart-front`, or `apart` alone"),
    ("size #4; in pins", r#"size #4; bore 5/8" by 5"; in pins"#, "it belongs to `holes`"),
    ("start 2027-05-13", "start 12/6/2027", "`2027-12-06` if the month stands first, `2027-06-12` if the day does"),
];

#[test]
fn the_job_of_these_cases_has_no_errors() {
    let job = compiled(JOB);
    assert!(errors(&job).is_empty(), "\n{}", told(&errors(&job)));
}

/// So many findings as mends are wanted; together they give the text that was meant.
#[test]
fn mends_give_what_was_meant() {
    let mut wrong = String::new();
    for (was, written, meant) in MENDED {
        let (text, wanted) = (changed(was, written), changed(was, meant));
        let before = compiled(&text);
        let mut mended = text.clone();
        let mut fixes: Vec<_> = errors(&before).into_iter().map(|problem| problem.fix.as_ref()).collect();
        fixes.sort_by_key(|fix| std::cmp::Reverse(fix.map(|fix| fix.span.start)));
        let is_whole = fixes.iter().all(Option::is_some) && !fixes.is_empty();
        for fix in fixes.into_iter().flatten() {
            let (start, end) = (fix.span.start as usize, fix.span.end as usize);
            mended.replace_range(start..end, &fix.text);
        }
        let after = compiled(&mended);
        if !is_whole || mended != wanted || !errors(&after).is_empty() {
            let left = mended.lines().find(|line| !JOB.contains(*line) && !wanted.contains(*line)).unwrap_or("");
            let _ = writeln!(wrong, "{written}\n{}  mended: {left}\n{}", told(&errors(&before)), told(&errors(&after)));
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

#[test]
fn helps_say_what_to_write() {
    let mut wrong = String::new();
    for (was, written, says) in TOLD {
        let job = compiled(&changed(was, written));
        let found = errors(&job);
        let helps = found.first().and_then(|problem| problem.helps(System::Feet)).unwrap_or_default();
        if found.len() != 1 || !helps.contains(says) {
            let _ = writeln!(wrong, "{written}: {says}\n{}", told(&found));
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

//! `not-scanned` and `lines-unasked`: what must be known before old work is drilled into or broken out.
//!
//! Common practice, no source: a cable in a slab kills, a heating tube floods, a cut bar weakens what stands there. One
//! looks with a detector, and one asks.

use crate::{
    job::Job,
    problem::{Problem, Rule},
    rule,
    schema::Topic,
    works::Works,
};

rule!(
    NOT_SCANNED,
    "not-scanned",
    Warning,
    "old work that is drilled or broken before anyone looked for steel and lines"
);
rule!(LINES_UNASKED, "lines-unasked", Warning, "drilling or breaking before anyone was asked about cables and pipes");

pub(super) static RULES: &[&Rule] = &[&NOT_SCANNED, &LINES_UNASKED];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for blind in &works.plan.unscanned {
        let name = job.name(blind.thing);
        problems.push(
            Problem::new(&NOT_SCANNED, blind.at, "no step scans `{0}` or `{1}` before this")
                .arg(name)
                .arg(job.name(blind.place))
                .thing(name)
                .help("write a step that looks first: `step scan \"Look for steel and lines\" { work scan {1} }`"),
        );
    }
    let steps: Vec<&str> = works.plan.unasked.iter().map(|(step, _)| job.name(*step)).collect();
    let asked = job.asks.iter().find(|ask| ask.say.about == Some(Topic::Lines)).map(|ask| ask.name.as_str());
    let free = |name: &&str| job.named(name).is_none();
    let new = ["lines-there", "lines-here", "ask-lines"].into_iter().find(free).unwrap_or("lines-asked");
    for (at, (step, place)) in works.plan.unasked.iter().enumerate() {
        let name = job.name(*step);
        problems.push(
            Problem::new(&LINES_UNASKED, *place, "before `{0}` nobody is asked about cables and pipes")
                .arg(name)
                .arg(asked.unwrap_or(new))
                .arg(steps.join(", "))
                .thing(name)
                .help(match (asked, at) {
                    (Some(_), _) => "let `{1}` come before it too: name `{0}` in its `before`",
                    (None, 0) => "write the question: `ask {1} \"Are there cables, pipes or heating tubes?\" { about lines; before {2} }`, or `about lines` and `before {2}` into the one there is",
                    (None, _) => "one question does for all: `about lines` and `before {2}` in it",
                }),
        );
    }
}

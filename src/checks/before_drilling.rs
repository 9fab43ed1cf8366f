//! `not-scanned` and `lines-unasked`: what must be known before old work is drilled into or broken out.
//!
//! Common practice, no source: a cable in a slab kills, a heating tube floods, a cut bar weakens what stands there. One
//! looks with a detector, and one asks.

use crate::{
    job::Job,
    problem::{Problem, Rule},
    rule,
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
    for (step, at) in &works.plan.unasked {
        let name = job.name(*step);
        problems.push(
            Problem::new(&LINES_UNASKED, *at, "before `{0}` nobody is asked about cables and pipes")
                .arg(name)
                .thing(name)
                .help("write the question: `ask lines-there \"Are there cables, pipes or heating tubes?\" { about lines; before {0} }`, or `about lines` and `before {0}` into the one there is"),
        );
    }
}

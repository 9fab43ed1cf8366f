//! `undermines`, `digs-near`, `toe-propped`: what no one digs or breaks without an engineer.
//!
//! 29 CFR 1926.651(i)(2): no digging below the base of a footing unless it is held, stands on stable rock, or a registered
//! professional engineer says so. The line of 45 degrees in firm soil, half of that in sand or soft soil: common practice,
//! no source.

use crate::{
    job::Job,
    problem::{Problem, Rule},
    rule,
    schema::{KindId, Topic},
    works::Works,
};

rule!(UNDERMINES, "undermines", Error, "a dig that takes the ground from under the old work");
rule!(DIGS_NEAR, "digs-near", Warning, "a dig below the old base that only firm soil stands");
rule!(TOE_PROPPED, "toe-propped", Error, "a slab broken out that may hold the foot of the wall");

pub(super) static RULES: &[&Rule] = &[&UNDERMINES, &DIGS_NEAR, &TOE_PROPPED];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for dig in &works.digs {
        let Some(section) = job.section(dig.section) else { continue };
        let at = section.said(KindId::Section, "height");
        let problem = |rule, headline| {
            Problem::new(rule, at, headline)
                .arg(section.name.as_str())
                .arg(dig.base - dig.bottom)
                .arg(job.name(dig.old))
                .arg(dig.away)
                .thing(&section.name)
                .measure(dig.away)
        };
        problems.push(if dig.under {
            problem(&UNDERMINES, "`{0}` is dug {1} below the base of `{2}`, {3} away from it")
                .help("raise its bottom to the old base, keep as far away as it is deeper, or have a licensed engineer plan the underpinning: no order of work is printed for this")
        } else {
            problem(&DIGS_NEAR, "`{0}` is dug {1} below the base of `{2}`, {3} away: sand or soft soil slides")
                .help("keep twice as far away as it is deeper, or ask an engineer and accept this with the answer")
        });
    }
    let unreadable = job.broken.iter().any(|id| matches!(job.kind(*id), None | Some(KindId::Ask)));
    let answered = job.asks.iter().any(|ask| ask.say.about == Some(Topic::Toe) && ask.say.answered.is_some());
    if unreadable || answered {
        return;
    }
    for propped in &works.propped {
        let Some(strip) = job.remove(propped.strip) else { continue };
        problems.push(
            Problem::new(&TOE_PROPPED, strip.at, "ground stands at {1} behind the wall that `{0}` is broken out in front of")
                .arg(strip.name.as_str())
                .arg(propped.ground)
                .thing(&strip.name)
                .help("the slab may be what holds the wall's foot: ask an engineer, and write the question and the answer: `ask toe \"Does the slab hold the wall?\" { about toe; answered 2027-04-12 \"…\" }`"),
        );
    }
}

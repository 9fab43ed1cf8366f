//! Records against each other and against the order of work: days that cannot be, the same thing told twice, work that went on
//! past a look, forms off and loads on before the concrete bears them, bars left out.

use crate::{
    curing::Act,
    facts::{FactTrouble, Facts, On},
    job::Job,
    outcome::act_done,
    plan::DoneTrouble,
    problem::{Arg, Problem, Rule},
    rule,
    schema::{BlockId, Clock},
    steel,
    units::{Date, Duration, show},
    works::Works,
};

rule!(RECORD_EARLY, "record-early", Warning, "a record of a day before the job begins");
rule!(RECORD_TWICE, "record-twice", Error, "the same thing recorded otherwise");
rule!(VERDICT_MISSING, "verdict-missing", Error, "a look that is neither passed nor refused, or both");
rule!(MEASURED_NOTHING, "measured-nothing", Error, "a section that was measured, and not what");
rule!(RECORD_ORDER, "record-order", Warning, "something recorded before what must come first");
rule!(LOOK_MISSED, "look-missed", Warning, "work that went on past a look nobody passed");
rule!(ASK_PASSED, "ask-passed", Warning, "work that went on past a question nobody answered");
rule!(LOOK_REFUSED, "look-refused", Warning, "a look that was refused and must be seen again");
rule!(STRIP_EARLY, "strip-early", Warning, "forms that came off before the concrete could stand without them");
rule!(LOAD_EARLY, "load-early", Warning, "concrete that was loaded before it was strong enough");
rule!(BARS_SHORT, "bars-short", Warning, "bars that were left out");

pub(super) static RULES: &[&Rule] = &[
    &RECORD_EARLY,
    &RECORD_TWICE,
    &VERDICT_MISSING,
    &MEASURED_NOTHING,
    &RECORD_ORDER,
    &LOOK_MISSED,
    &ASK_PASSED,
    &LOOK_REFUSED,
    &STRIP_EARLY,
    &LOAD_EARLY,
    &BARS_SHORT,
];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    let told = |trouble: &&FactTrouble| {
        !matches!(trouble, FactTrouble::PouredOtherwise { done, poured, .. }
        if is_before_start(job, *done) || is_before_start(job, *poured))
    };
    problems.extend(works.facts.troubles.iter().filter(told).map(|trouble| cannot_be(job, *trouble)));
    let days_are_wrong = |trouble: &&DoneTrouble| match trouble {
        DoneTrouble::Before { first: (_, on), then: (_, then) } => {
            is_before_start(job, *on) || is_before_start(job, *then)
        }
        DoneTrouble::Unseen { then: (_, on), .. } | DoneTrouble::Unasked { then: (_, on), .. } => {
            is_before_start(job, *on)
        }
        DoneTrouble::Over { .. } | DoneTrouble::Refused { .. } => false,
    };
    let done = works.done.troubles.iter().filter(|trouble| !days_are_wrong(trouble));
    problems.extend(done.filter_map(|trouble| order(job, &works.facts, *trouble)));
    measured_early(job, works, problems);
    early(job, works, problems);
    for (bars, left_out) in &works.facts.left_out {
        let made = steel::made(&works.bars, *bars).map(|made| made.count);
        let (Some(made), Some(part)) = (made, left_out.parts.first()) else { continue };
        let said = works.facts.too_many.get(bars);
        let too_many = said.is_some();
        // The bars of holes that are left empty are told with the holes.
        let holes = job.bars_of(*bars).and_then(|bars| bars.say.holes);
        if !too_many && holes.is_some_and(|holes| left_out.count <= works.holes_done.lost(holes.value.0)) {
            continue;
        }
        let headline = if too_many && made == 1 {
            "`{0}` is one bar; {1} cannot be missing"
        } else if too_many {
            "`{0}` has {2} bars; {1} of them cannot be missing"
        } else if left_out.count == 1 {
            "{1} of the {2} bars of `{0}` is left out"
        } else {
            "{1} of the {2} bars of `{0}` are left out"
        };
        problems.push(
            Problem::new(&BARS_SHORT, part.span, headline)
                .arg(job.name(*bars))
                .arg(count(said.copied().unwrap_or(left_out.count)))
                .arg(count(made))
                .thing(job.name(*bars))
                .help(if too_many {
                    "write how many of them are missing: `short {0} by {2}` at most"
                } else {
                    "ask the engineer before the concrete hides it, and write what was said: `accept bars-short on {0} because \"…\"`"
                }),
        );
    }
}

/// A record of a day before the job is told as that: nothing is said of what its day is held against.
fn is_before_start(job: &Job, on: On) -> bool {
    job.head.as_ref().and_then(|head| head.say.start).is_some_and(|start| on.day < start)
}

fn count(number: u64) -> Arg {
    Arg::Count(i64::try_from(number).unwrap_or(i64::MAX))
}

fn cannot_be(job: &Job, trouble: FactTrouble) -> Problem {
    match trouble {
        FactTrouble::Otherwise { thing, number, at, first } => {
            let name = match number {
                Some(number) => format!("{}.{number}", job.name(thing)),
                None => job.name(thing).to_owned(),
            };
            Problem::new(&RECORD_TWICE, at, "`{0}` is recorded otherwise already")
                .arg(name)
                .here("otherwise here")
                .label(first, "recorded here")
                .help(if job.look(thing).is_some() {
                    "keep what was said last on this day; what was seen again on another day goes into the record of that day"
                } else if job.pour(thing).is_some() {
                    "keep the one that is true; if it was cut short, what came later is a pour of its own: let a section end where the first one stopped, another go on from there, and `prepare` the joint between them"
                } else {
                    "keep the one that is true; what was drilled or measured on another day goes into the record of that day"
                })
        }
        FactTrouble::PouredOtherwise { step, done, pour, poured } => Problem::new(
            &RECORD_TWICE,
            done.at,
            "`{0}` is recorded as done on {1}, and `{2}`, which it pours, on {3}",
        )
        .arg(job.name(step))
        .arg(done.day.to_string())
        .arg(job.name(pour))
        .arg(poured.day.to_string())
        .here("done here")
        .label(poured.at, "poured here")
        .help("put both into the record of the day it was poured"),
        FactTrouble::NoVerdict { look, at } => Problem::new(&VERDICT_MISSING, at, "it is not said what came of `{0}`")
            .arg(job.name(look))
            .help("write `passed` or `refused`, one of the two, and what was said between quotes"),
        FactTrouble::NothingMeasured { section, at } => {
            Problem::new(&MEASURED_NOTHING, at, "it is not said what was measured of `{0}`")
                .arg(job.name(section))
                .help("write what the tape showed: `thick {8 1/8\"|205 mm}`, or the level of its `top` or `bottom`, or how far its face `leans`")
        }
        FactTrouble::BeforeStart { on, start } => {
            Problem::new(&RECORD_EARLY, on.at, "this record is of {0}, and the job starts on {1}")
                .arg(on.day.to_string())
                .arg(start.to_string())
                .help("check the year and the day, or let the job `start` on {0}")
        }
    }
}

fn order(job: &Job, facts: &Facts, trouble: DoneTrouble) -> Option<Problem> {
    let contradicted = |id: BlockId| {
        facts.troubles.iter().any(|trouble| match trouble {
            FactTrouble::Otherwise { thing, .. } => *thing == id,
            FactTrouble::PouredOtherwise { step, .. } => *step == id,
            FactTrouble::NoVerdict { look, .. } => *look == id,
            _ => false,
        })
    };
    Some(match trouble {
        // Of what is recorded in two ways nobody knows when it was.
        DoneTrouble::Unseen { look, .. } | DoneTrouble::Refused { look, .. } if contradicted(look) => return None,
        DoneTrouble::Before { first: (first, _), then: (then, _) } if contradicted(first) || contradicted(then) => {
            return None;
        }
        DoneTrouble::Over { first: (first, until), then: (then, from) } => Problem::new(
            &RECORD_ORDER,
            from.span,
            "`{0}` was begun at {1}, and `{2}`, which must come first, was finished at {3} of that day",
        )
        .arg(job.name(then))
        .arg(clock(from.value.from))
        .arg(job.name(first))
        .arg(clock(until.value.to))
        .thing(job.name(then))
        .label(until.span, "what must come first")
        .help("check the hours; if it was so, say why it could be: `accept record-order on {0} because \"…\"`"),
        DoneTrouble::Before { first: (first, on), then: (then, then_on) } => Problem::new(
            &RECORD_ORDER,
            then_on.at,
            "`{0}` is recorded on {1}, and `{2}`, which must come first, on {3}",
        )
        .arg(job.name(then))
        .arg(then_on.day.to_string())
        .arg(job.name(first))
        .arg(on.day.to_string())
        .thing(job.name(then))
        .label(on.at, "what must come first")
        .help("check the days; if it was so, say why it could be: `accept record-order on {0} because \"…\"`"),
        DoneTrouble::Unseen { look, passed, then: (then, on) } => {
            let refused =
                facts.looks.get(&look).into_iter().flatten().rfind(|seen| !seen.passed && seen.on.day <= on.day);
            let headline = match (passed, refused) {
                (Some(_), _) => "`{0}` went on on {1}, and `{2}` was passed on {3} only",
                (None, Some(_)) => "`{0}` went on on {1}, and `{2}` was refused on {4}{5}",
                (None, None) => "`{0}` went on on {1}, and nothing says that `{2}` was passed",
            };
            let found = refused.map(|seen| {
                let parts: Vec<&str> = [seen.by.as_deref(), seen.said.as_deref()].into_iter().flatten().collect();
                if parts.is_empty() { String::new() } else { format!(" ({})", parts.join(": ")) }
            });
            let problem = Problem::new(&LOOK_MISSED, on.at, headline)
                .arg(job.name(then))
                .arg(on.day.to_string())
                .arg(job.name(look))
                .arg(passed.map_or_else(String::new, |passed| passed.day.to_string()))
                .arg(refused.map_or_else(String::new, |seen| seen.on.day.to_string()))
                .arg(found.unwrap_or_default())
                .thing(job.name(look));
            let problem = match refused {
                Some(seen) => problem.label(seen.on.at, "refused here"),
                None => problem,
            };
            let problem = match passed {
                Some(passed) => problem.label(passed.at, "passed here"),
                None => problem,
            };
            problem.help(match (passed, refused) {
                (None, Some(_)) => "stop, mend what was found and have it seen again before more hides it; then write `looked {2} passed` into the record of the day it is seen again",
                _ => "call the one who looks before more hides it; if it was seen in time, write so: `looked {2} passed` in the record of that day",
            })
        }
        DoneTrouble::Unasked { ask, answered, then: (then, on) } => {
            let headline = match answered {
                Some(_) => "`{0}` went on on {1}, and `{2}` was answered on {3} only",
                None => "`{0}` went on on {1}, and nobody has answered `{2}`",
            };
            let problem = Problem::new(&ASK_PASSED, on.at, headline)
                .arg(job.name(then))
                .arg(on.day.to_string())
                .arg(job.name(ask))
                .arg(answered.map_or_else(String::new, |answered| answered.to_string()))
                .thing(job.name(ask));
            let problem = match job.at(ask) {
                Some(at) => problem.label(at, "asked here"),
                None => problem,
            };
            problem.help(match answered {
                Some(_) => "see that what was answered is kept to in what is done already; if it was there in time, write its day: `answered {1} \"…\"` in the question",
                None => "stop and get the answer before more is done; if it was there in time, write it: `answered {1} \"…\"` in the question",
            })
        }
        DoneTrouble::Refused { look, on, next } => {
            let problem = Problem::new(&LOOK_REFUSED, on.at, "`{0}` was refused on {1} and not passed since")
                .arg(job.name(look))
                .arg(on.day.to_string())
                .arg(next.map_or("", |next| job.name(next)))
                .thing(job.name(look));
            problem.help(if next.is_some() {
                "mend what was found and have it seen again before `{2}`"
            } else {
                "mend what was found and have it seen again"
            })
        }
    })
}

/// Hours and minutes.
fn clock(clock: Clock) -> String {
    show::clock(u16::try_from(clock.0.minutes().round() as i64).unwrap_or_default()).to_string()
}

/// Sections that were measured before what fills them was poured.
fn measured_early(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for (section, sizes) in &works.facts.sizes {
        let poured: Option<Vec<_>> =
            job.pours_of(*section).map(|pour| Some((pour.id, works.facts.pours.get(&pour.id)?.on))).collect();
        let first = poured.into_iter().flatten().min_by_key(|(_, on)| on.day);
        let Some(((pour, on), size)) =
            first.zip(sizes.first()).filter(|((_, on), size)| size.on.day < on.day && !is_before_start(job, size.on))
        else {
            continue;
        };
        problems.push(
            Problem::new(
                &RECORD_ORDER,
                size.on.at,
                "`{0}` was measured on {1}, and `{2}`, which fills it, is recorded on {3}",
            )
            .arg(job.name(*section))
            .arg(size.on.day.to_string())
            .arg(job.name(pour))
            .arg(on.day.to_string())
            .thing(job.name(*section))
            .label(on.at, "poured here")
            .help(
                "check the days; what is measured of forms is no size of the concrete: take it out, or measure again",
            ),
        );
    }
}

/// What was done to young concrete before it may be.
fn early(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for cured in &works.cures {
        let Some(poured) = works.facts.pours.get(&cured.pour) else { continue };
        for ready in &cured.readies {
            let known = !ready.strong.is_empty() || ready.counted.is_some();
            let earliest = match (ready.earliest, ready.planned) {
                (Some(earliest), _) => Some(earliest),
                // It never hardens in this weather.
                (None, _) if known => None,
                (None, Some(planned)) => Some(planned),
                (None, None) => continue,
            };
            let until = poured.hours.map_or(Duration::from_minutes(720.0), |hours| hours.value.to.0);
            let day = earliest.and_then(|earliest| day_after(poured.on.day, until + earliest));
            for on in act_done(&works.plan, &works.facts, cured.pour, ready.act) {
                if day.is_some_and(|day| on.day >= day) || is_before_start(job, on) {
                    continue;
                }
                let (rule, headline) = match (ready.act, day) {
                    (Act::Strip, Some(_)) => {
                        (&STRIP_EARLY, "the forms of `{0}` came off on {1}; {2} is the earliest, {3} after the pour")
                    }
                    (Act::Strip, None) => (
                        &STRIP_EARLY,
                        "the forms of `{0}` came off on {1}; in this weather it is not strong enough within a year",
                    ),
                    (Act::Backfill, Some(_)) => {
                        (&LOAD_EARLY, "`{0}` was filled in against on {1}; {2} is the earliest, {3} after the pour")
                    }
                    (Act::Backfill, None) => (
                        &LOAD_EARLY,
                        "`{0}` was filled in against on {1}; in this weather it is not strong enough within a year",
                    ),
                    (_, Some(_)) => (&LOAD_EARLY, "`{0}` was loaded on {1}; {2} is the earliest, {3} after the pour"),
                    (_, None) => {
                        (&LOAD_EARLY, "`{0}` was loaded on {1}; in this weather it is not strong enough within a year")
                    }
                };
                let help = match ready.act {
                    Act::Strip => {
                        "look along its edges for sags and cracks, prop what overhangs, keep it wet; ask the engineer if anything moved"
                    }
                    Act::Backfill => {
                        "dig it free again if that can be, and look for cracks; ask the engineer before more comes against it"
                    }
                    Act::Load => {
                        "take the load off again if it can be, or set the props again, and look for cracks; ask the engineer before more comes on it"
                    }
                };
                problems.push(
                    Problem::new(rule, on.at, headline)
                        .arg(job.name(cured.pour))
                        .arg(on.day.to_string())
                        .arg(day.map_or_else(String::new, |day| day.to_string()))
                        .arg(earliest.map_or_else(String::new, |time| show::time(hours_up(time)).to_string()))
                        .thing(job.name(cured.pour))
                        .label(poured.on.at, "the pour")
                        .help(help),
                );
            }
        }
    }
}

fn hours_up(time: Duration) -> Duration {
    Duration::from_hours(crate::units::whole_up(time.hours()) as f64)
}

/// The day so long after midnight of another.
pub(crate) fn day_after(day: Date, time: Duration) -> Option<Date> {
    day.plus_days(time.days().floor() as i64)
}

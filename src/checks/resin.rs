//! `resin-cold`, `resin-hot`, `wait-short`, `holes-empty`: resin at temperatures it was not told for, bars loaded before it has
//! cured, and bars in holes that nothing fills.
//!
//! The default bond figures of ACI 318-19 17.6.5.2.5 hold from 50 degF up; what is printed with the resin goes before them.
//! Times between two temperatures are taken in a straight line, beyond the outermost they are not guessed.

use std::{collections::BTreeSet, ops::RangeFrom};

use crate::{
    holes::Fill,
    job::{Job, Thing},
    problem::{Arg, Problem, Rule},
    rule,
    schema::{Asked, Bars, BlockId, KindId, Said},
    standards::anchors::COLDEST,
    units::{self, Temperature, show},
    works::Works,
};

rule!(RESIN_COLD, "resin-cold", Warning, "resin colder than its times are told for, or than 50 degF");
rule!(RESIN_HOT, "resin-hot", Warning, "resin warmer than its working time is told for");
rule!(WAIT_SHORT, "wait-short", Warning, "set bars that are loaded before their resin has cured");
rule!(HOLES_EMPTY, "holes-empty", Warning, "bars that are set in holes which nothing fills");

pub(super) static RULES: &[&Rule] = &[&RESIN_COLD, &RESIN_HOT, &WAIT_SHORT, &HOLES_EMPTY];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for fill in &works.fills {
        if let Some(air) = fill.air {
            problems.extend(cold(job, fill, air.from));
            problems.extend(hot(job, fill, air.to));
        }
    }
    short(job, works, problems);
    problems.extend(job.bars.iter().filter_map(|bars| empty(job, bars)));
}

/// Bars that would lie loose. A job without steps says nothing yet of how they are set.
fn empty(job: &Job, bars: &Thing<Bars>) -> Option<Problem> {
    let set = bars.say.holes.filter(|_| !job.steps.is_empty())?;
    let holes = job.holes_of(set.value.0).filter(|holes| holes.say.fill.is_none())?;
    let problem = Problem::new(&HOLES_EMPTY, set.span, "`{0}` are set in `{1}`, and nothing fills these holes")
        .arg(bars.name.as_str())
        .arg(holes.name.as_str())
        .thing(bars.name.as_str());
    Some(match job.resins.iter().find(|resin| !resin.usual) {
        Some(resin) => problem.arg(resin.name.as_str()).help("write in `{1}` what they are set with: `fill {2}`"),
        None => problem.help("write in `{1}` what they are set with: `fill` and the name of a `resin` block"),
    })
}

fn degrees(job: &Job, at: Temperature) -> Arg {
    Arg::Text(show::temperature(at, job.system()).to_string())
}

fn cold(job: &Job, fill: &Fill, air: Said<Temperature>) -> Option<Problem> {
    let resin = job.resin(fill.resin)?;
    let (lowest, weather) = (air.value, air.span);
    if let Some(Asked::Colder(_)) = fill.cures {
        return Some(
            Problem::new(&RESIN_COLD, resin.said(KindId::Resin, "cures"), if fill.by_day {
                "it goes down to {0} on the days `{1}` is set and cures, colder than any time of it is told for"
            } else {
                "the job goes down to {0}, colder than any time of `{1}` is told for"
            })
                .arg(degrees(job, lowest))
                .arg(resin.name.as_str())
                .thing(resin.name.as_str())
                .label(weather, "the lowest of the day")
                .help("write the time at {0} or below, as printed with the resin; or keep wall and resin warmer, and write that in `weather`"),
        );
    }
    // Two ways of writing one temperature differ by noise.
    let under = lowest.deg_f() < COLDEST.deg_f() - 1e-6;
    under.then(|| {
        Problem::new(
            &RESIN_COLD,
            weather,
            if fill.by_day {
                "it goes down to {0} on the days `{1}` is set and cures; the bond it is reckoned with holds from {2} up"
            } else {
                "the job goes down to {0}; the bond `{1}` is reckoned with holds from {2} up"
            },
        )
        .arg(degrees(job, lowest))
        .arg(resin.name.as_str())
        .arg(degrees(job, COLDEST))
        .thing(resin.name.as_str())
        .help("set the bars when the old concrete is at {2} or warmer, and write in `weather` how warm it is then; times for the cold say nothing of the bond: if the maker of `{1}` gives figures of it for the cold, accept this with them: `accept resin-cold on {1} because \"where they stand\"`")
    })
}

fn hot(job: &Job, fill: &Fill, air: Said<Temperature>) -> Option<Problem> {
    let Some(Asked::Warmer(_)) = fill.works else { return None };
    let resin = job.resin(fill.resin)?;
    let (highest, weather) = (air.value, air.span);
    Some(
        Problem::new(
            &RESIN_HOT,
            resin.said(KindId::Resin, "works"),
            if fill.by_day {
                "it goes up to {0} on the days `{1}` is set, warmer than any working time of it is told for"
            } else {
                "the job goes up to {0}, warmer than any working time of `{1}` is told for"
            },
        )
        .arg(degrees(job, highest))
        .arg(resin.name.as_str())
        .thing(resin.name.as_str())
        .label(weather, "the highest of the day")
        .help("write the working time at {0} or above, as printed with the resin: it is shorter"),
    )
}

/// Names a mend may give: a word, or the word and a number, each given once and to nothing in the job.
struct Free<'j> {
    word: &'static str,
    taken: BTreeSet<&'j str>,
    numbers: RangeFrom<usize>,
}

impl<'j> Free<'j> {
    fn of(job: &'j Job, word: &'static str) -> Free<'j> {
        let names = (0..).map(BlockId).take_while(|id| job.at(*id).is_some()).map(|id| job.name(id));
        Free { word, taken: names.filter(|name| name.starts_with(word)).collect(), numbers: 1.. }
    }

    fn name(&mut self) -> String {
        let numbered = |number| if number == 1 { self.word.to_owned() } else { format!("{}-{number}", self.word) };
        let mut names = self.numbers.by_ref().map(numbered);
        names.find(|name| !self.taken.contains(name.as_str())).unwrap_or_default()
    }
}

fn short(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    // What cannot be read may be the wait, or hold up what would come too soon.
    let orders = |id: &BlockId| match job.kind(*id) {
        None => true,
        Some(KindId::Wait | KindId::Step | KindId::Look | KindId::Ask) => true,
        Some(KindId::Bars | KindId::Holes | KindId::Forms | KindId::Section | KindId::Pour) => true,
        Some(_) => false,
    };
    if job.broken.iter().any(orders) {
        return;
    }
    let mut free = Free::of(job, "harden");
    for rest in &works.plan.rests {
        let fill = job.bars_of(rest.bars).and_then(|bars| bars.say.holes).map(|holes| holes.value.0);
        let Some(fill) = works.fills.iter().find(|other| Some(other.holes) == fill) else { continue };
        let Some(cure) = fill.cure() else { continue };
        // Times on the clock are told to the minute.
        if rest.waited.seconds() + 30.0 >= cure.seconds() {
            continue;
        }
        let Some(at) = job.at(rest.wait.unwrap_or(rest.load)) else { continue };
        let headline = if rest.wait.is_some() {
            "`{0}` waits {1} for the resin of `{2}`, which cures in {3}"
        } else {
            "`{0}` comes after `{2}` are set, and nothing waits for their resin, which cures in {3}"
        };
        let mut problem = Problem::new(&WAIT_SHORT, at, headline)
            .arg(job.name(rest.load))
            .arg(Arg::Text(show::time(rest.waited).to_string()))
            .arg(job.name(rest.bars))
            .arg(Arg::Text(show::time(cure).to_string()))
            .arg(job.name(rest.set))
            .arg(i64::try_from(units::whole_up(cure.hours())).unwrap_or(i64::MAX))
            .thing(job.name(rest.bars));
        problem = match rest.wait.and_then(|wait| job.wait(wait)) {
            Some(wait) => {
                let takes = &wait.say.takes;
                let problem = problem.arg(wait.name.as_str()).help("let that wait take longer: `takes {5} h` in `{6}`");
                // One of several waits on the way is not the whole rest.
                let alone =
                    takes.time.0.seconds() == rest.waited.seconds() && takes.each.is_none() && takes.per.is_none();
                if alone {
                    problem.fix(wait.said(KindId::Wait, "takes"), format!("takes {} h", units::whole_up(cure.hours())))
                } else {
                    problem
                }
            }
            None => problem
                .arg(free.name())
                .help("let them rest: `wait {6} \"Let the resin harden\" { takes {5} h; after {4}; before {0} }`"),
        };
        if let Some(resin) = job.resin(fill.resin) {
            problem = problem.label(resin.said(KindId::Resin, "cures"), "how long it cures");
        }
        problems.push(problem);
    }
}

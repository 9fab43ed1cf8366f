//! Plans by days: steps that go into no shift, too few people, hours nobody works, and hours that are written twice.

use crate::{
    job::Job,
    plan::DayTrouble,
    problem::{Arg, Problem, Rule},
    rule,
    schema::{BlockId, KindId},
    units::{Duration, show},
    works::Works,
};

rule!(DAY_TOO_LONG, "day-too-long", Warning, "a step that is not cut by the night, and longer than any shift");
rule!(PEOPLE_FEW, "people-few", Warning, "a step that needs more people than are there");
rule!(HOURS_EMPTY, "hours-empty", Warning, "hours in which the work is never done");
rule!(HOURS_TWICE, "hours-twice", Error, "hours that are written twice");

pub(super) static RULES: &[&Rule] = &[&DAY_TOO_LONG, &PEOPLE_FEW, &HOURS_EMPTY, &HOURS_TWICE];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    if let [first, second, ..] = job.hours.as_slice() {
        problems.push(
            Problem::new(&HOURS_TWICE, second.at, "hours are written twice")
                .here("again here")
                .label(first.at, "here already")
                .help("put all hours into one block"),
        );
    }
    for trouble in &works.day_troubles {
        problems.extend(told(job, *trouble));
    }
}

fn time(seconds: i64) -> Arg {
    Arg::Text(show::time(Duration::from_seconds(seconds as f64)).to_string())
}

fn step_at(job: &Job, step: BlockId, clause: &str) -> crate::source::Span {
    let nowhere = crate::source::Span { source: crate::source::SourceId(0), start: 0, end: 0 };
    job.step(step).map(|step| step.said(KindId::Step, clause)).or_else(|| job.at(step)).unwrap_or(nowhere)
}

fn told(job: &Job, trouble: DayTrouble) -> Option<Problem> {
    match trouble {
        DayTrouble::TooLong { step, lasts, longest } => Some(
            Problem::new(&DAY_TOO_LONG, step_at(job, step, "takes"), "`{0}` takes {1} in one go, and no shift has more than {2}")
                .arg(job.name(step))
                .arg(time(lasts))
                .arg(time(longest))
                .help("give it a longer day (`also 2027-05-16, from 8:00 to 17:00` in `hours`), more people, or pour in two goes; until then no days are planned")
                .thing(job.name(step)),
        ),
        DayTrouble::FewPeople { step, needs, crew } => Some(
            Problem::new(&PEOPLE_FEW, step_at(job, step, "people"), "`{0}` needs {1} people, and {2} are there")
                .arg(job.name(step))
                .arg(Arg::Count(i64::from(needs)))
                .arg(Arg::Count(i64::from(crew)))
                .help("write `crew {1}` in `hours`, or plan the step with fewer; until then no days are planned")
                .thing(job.name(step)),
        ),
        // `strip-soon` tells it at the cure.
        DayTrouble::NeverHard { .. } => None,
        DayTrouble::NoHours | DayTrouble::NoRoom => {
            let hours = job.hours.first()?;
            Some(
                Problem::new(&HOURS_EMPTY, hours.at, "in the hours of `{0}` the work is never done")
                    .arg(hours.name.as_str())
                    .help("write hours of some days, as `work mon to fri, from 16:30 to 20:00`; loud work must fit between the hours of `loud`")
                    .thing(hours.name.as_str()),
            )
        }
    }
}

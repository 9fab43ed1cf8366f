//! Plans by days: steps that go into no shift, too few people, hours nobody works, and hours that are written twice.

use std::collections::BTreeSet;

use crate::{
    job::{Job, Thing},
    plan::{DayTrouble, Lasts, Late},
    problem::{Arg, Problem, Rule, count},
    rule,
    schema::{BlockId, KindId, Measure, Pour, Step},
    units::{Duration, show},
    works::Works,
};

rule!(DAY_TOO_LONG, "day-too-long", Warning, "a step that is not cut by the night, and longer than any shift");
rule!(PEOPLE_FEW, "people-few", Warning, "a step that needs more people than are there");
rule!(HOURS_EMPTY, "hours-empty", Warning, "hours in which the work is never done");
rule!(DONE_LATE, "done-late", Warning, "a step, or the job, done later than it is said to be");
rule!(LOOK_TOO_LATE, "look-too-late", Warning, "a look that comes later than it is said to");
rule!(TIME_UNCOUNTED, "time-uncounted", Warning, "a time by a measure of which the work has none");
rule!(AWAY_BACKWARDS, "away-backwards", Error, "days away that end before they begin");
rule!(HOURS_TWICE, "hours-twice", Error, "hours that are written twice");

pub(super) static RULES: &[&Rule] = &[
    &DAY_TOO_LONG,
    &PEOPLE_FEW,
    &HOURS_EMPTY,
    &DONE_LATE,
    &LOOK_TOO_LATE,
    &TIME_UNCOUNTED,
    &AWAY_BACKWARDS,
    &HOURS_TWICE,
];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    if let [first, second, ..] = job.hours.as_slice() {
        problems.push(
            Problem::new(&HOURS_TWICE, second.at, "hours are written twice")
                .here("again here")
                .label(first.at, "here already")
                .help("put all hours into one block"),
        );
    }
    for away in job.hours.iter().flat_map(|hours| &hours.say.away.0).filter(|away| away.value.to < away.value.from) {
        let (from, to) = (away.value.from.to_string(), away.value.to.to_string());
        problems.push(
            Problem::new(&AWAY_BACKWARDS, away.span, "these days end before they begin")
                .arg(Arg::Text(to.clone()))
                .arg(Arg::Text(from.clone()))
                .help("write the earlier day first: `away {0} to {1}`")
                .fix(away.span, format!("away {to} to {from}")),
        );
    }
    for trouble in &works.day_troubles {
        problems.extend(told(job, *trouble));
    }
    problems.extend(job.steps.iter().filter_map(|step| few_for_pour(job, works, step)));
    problems.extend(nobody_else(job, works));
    for late in works.days.iter().flat_map(|days| &days.late) {
        problems.push(late_by(job, late));
    }
    for (node, lasts) in &works.plan.durations {
        if let Lasts::Uncounted { measure: Some(measure), .. } = lasts {
            problems.extend(uncounted(job, works, *node, *measure));
        }
    }
}

/// The pour of a step with the largest crew, and that.
fn largest_crew<'j>(job: &'j Job, step: &Thing<Step>) -> Option<(&'j Thing<Pour>, i64)> {
    let poured = step.say.work.0.iter().filter(|work| work.verb == "pour").flat_map(|work| &work.things);
    let crews = poured.filter_map(|thing| job.pour(thing.value).and_then(|pour| Some((pour, pour.say.crew?.0))));
    crews.max_by_key(|(_, crew)| *crew)
}

/// The step whose pour has the largest crew of those still to come, where nothing says how many are there: one is usual, and the
/// days are those of one. A step that says how many it needs says that they come for it.
fn nobody_else(job: &Job, works: &Works) -> Option<Problem> {
    let days = works.days.as_ref()?;
    let hours = job.hours.first();
    if hours.is_some_and(|hours| hours.say.crew.is_some()) {
        return None;
    }
    let to_come: BTreeSet<BlockId> =
        days.done.iter().filter(|dated| dated.past.is_none()).map(|dated| dated.node).collect();
    let steps = job.steps.iter().filter(|step| step.say.people.is_none() && to_come.contains(&step.id));
    let crews = steps.filter_map(|step| largest_crew(job, step).map(|(pour, crew)| (step, pour, crew)));
    let (step, pour, crew) =
        crews.filter(|(.., crew)| *crew > 1).reduce(|most, one| if one.2 > most.2 { one } else { most })?;
    let problem = Problem::new(
        &PEOPLE_FEW,
        pour.said(KindId::Pour, "crew"),
        "`{0}` needs {1} people, and nothing says that more than one is there",
    )
    .arg(step.name.as_str())
    .arg(crew)
    .thing(step.name.as_str());
    Some(match hours {
        Some(hours) => problem
            .arg(hours.name.as_str())
            .label(hours.at, "how many are there is 1 unless said")
            .help("write `crew {1}` in `{2}`; or, if they come for this alone, `people {1}` in `{0}`"),
        None => problem.help(
            "say who is there, as in `hours week { work mon to fri, from 8:00 to 16:00; crew {1} }`; or, if they come for this alone, `people {1}` in `{0}`",
        ),
    })
}

/// A step with fewer people than its pour is reckoned with; without `people` the pour's crew does it.
fn few_for_pour(job: &Job, works: &Works, step: &Thing<Step>) -> Option<Problem> {
    let people = step.say.people?;
    let (pour, crew) = largest_crew(job, step)?;
    let told = works
        .day_troubles
        .iter()
        .any(|trouble| matches!(trouble, DayTrouble::FewPeople { step: other, .. } if *other == step.id));
    (people.value.0 < crew && !told).then(|| {
        Problem::new(
            &PEOPLE_FEW,
            people.span,
            if people.value.0 == 1 {
                "`{0}` is done by one, and `{2}` is poured by {3}"
            } else {
                "`{0}` is done by {1} people, and `{2}` is poured by {3}"
            },
        )
        .arg(step.name.as_str())
        .arg(people.value.0)
        .arg(pour.name.as_str())
        .arg(crew)
        .label(pour.said(KindId::Pour, "crew"), "the times of the pour are those of so many")
        .help("write `people {3}`, or `crew {1}` in `{2}`: then the pour takes longer")
        .thing(step.name.as_str())
        .fix(people.span, format!("people {crew}"))
    })
}

fn late_by(job: &Job, late: &Late) -> Problem {
    let (rule, headline, name) = match late.node {
        None => (&DONE_LATE, "all is done on {0}, {2} later than said", ""),
        Some(node) if job.kind(node) == Some(KindId::Look) => {
            (&LOOK_TOO_LATE, "`{1}` is seen on {0}, {2} later than said", job.name(node))
        }
        Some(node) => (&DONE_LATE, "`{1}` is done on {0}, {2} later than said", job.name(node)),
    };
    let days = usize::try_from(late.latest.days_until(late.done)).unwrap_or(0);
    let problem = Problem::new(rule, late.at, headline)
        .arg(Arg::Text(late.done.to_string()))
        .arg(name)
        .arg(Arg::Text(count(days, "day", "days")))
        .help("begin earlier (`start`), work more hours or with more people, ask sooner, or let it be later");
    match late.node {
        Some(node) => problem.thing(job.name(node)),
        None => problem.thing(job.title.as_str()),
    }
}

/// Where what is worked on has none of the measure: broken things are silent, and pours that are not worked out.
fn uncounted(job: &Job, works: &Works, node: BlockId, measure: Measure) -> Option<Problem> {
    let step = job.step(node)?;
    let at = step.say.takes.as_ref()?.per.as_ref()?.span;
    let things: Vec<BlockId> = step.say.work.0.iter().flat_map(|work| &work.things).map(|thing| thing.value).collect();
    let unmixed = |thing: &BlockId| works.unmixed.iter().any(|(pour, _)| pour == thing);
    if things.iter().any(|thing| job.broken.contains(thing) || unmixed(thing)) {
        return None;
    }
    let fits = match measure {
        Measure::Foot | Measure::Metre => "holes, bars, saw cuts and cracks have a length",
        Measure::SquareFoot | Measure::SquareMetre => "faces made ready, forms, strips and patches have an area",
        Measure::CubicFoot | Measure::CubicMetre => "pours, strips and patches have a volume",
        Measure::Bag | Measure::Batch => "pours are mixed from bags in batches",
        Measure::Trip => {
            "pours and strips that are broken out are carried in trips, where their file says what is carried"
        }
    };
    Some(
        Problem::new(&TIME_UNCOUNTED, at, "what `{0}` works on is not measured by `{1}`")
            .arg(step.name.as_str())
            .arg(Arg::Word(measure.word()))
            .arg(Arg::Word(fits))
            .help("{2}; write `each` for a time by the piece, or the time for all of it")
            .thing(step.name.as_str()),
    )
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
                .help("give it a longer day (`also 2027-05-16, from 8:00 to 17:00` in `hours`, on a day when all it waits for is done), more people, or pour in two goes; until then no days are planned")
                .thing(job.name(step)),
        ),
        DayTrouble::FewPeople { step, needs, crew } => Some(
            Problem::new(
                &PEOPLE_FEW,
                step_at(job, step, "people"),
                match crew {
                    1 => "`{0}` needs {1} people, and one is there",
                    _ => "`{0}` needs {1} people, and {2} are there",
                },
            )
                .arg(job.name(step))
                .arg(Arg::Count(i64::from(needs)))
                .arg(Arg::Count(i64::from(crew)))
                .help("write `crew {1}` in `hours`, or plan the step with fewer; until then no days are planned")
                .thing(job.name(step)),
        ),
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

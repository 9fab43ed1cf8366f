//! What came of the work in figures: steps, pours, sizes and what was used up, planned, done, and the difference. Every number
//! of it stands in the ledger beside the planned one: `wall.bags` and `wall.bags.done`.

mod numbers;
mod sizes;

use crate::{
    concrete::Mixing,
    curing::Act,
    facts::{Facts, On},
    job::Job,
    plan::{Lasts, Plan, Reason},
    schema::BlockId,
    units::{Duration, Ratio, Volume},
};

pub use numbers::enter;
pub use sizes::{Size, SizeOf, SizeTrouble, Sizes, sizes};

/// How long a step was planned to take, where that is known; of a pour that is planned minute by minute, what its sheet says.
#[must_use]
pub fn planned_time(
    job: &Job,
    plan: &Plan,
    sheet: &dyn Fn(BlockId) -> Option<Duration>,
    step: BlockId,
) -> Option<Duration> {
    match plan.durations.iter().find(|(node, _)| *node == step)?.1 {
        Lasts::For(time) | Lasts::Each { all: time, .. } | Lasts::Per { all: time, .. } => Some(time),
        Lasts::Uncounted { .. } => None,
        Lasts::Unsaid => {
            let pours =
                || job.step(step).into_iter().flat_map(|step| &step.say.work.0).filter(|work| work.verb == "pour");
            let times: Option<Vec<Duration>> =
                pours().flat_map(|work| &work.things).map(|thing| sheet(thing.value)).collect();
            times.filter(|times| !times.is_empty()).map(|times| times.into_iter().sum())
        }
    }
}

/// How long a step took: as written, or the hours of what it poured.
#[must_use]
pub fn time_taken(job: &Job, facts: &Facts, step: BlockId) -> Option<Duration> {
    if let Some(time) = facts.steps.get(&step).and_then(|done| done.time()) {
        return Some(time);
    }
    let works = &job.step(step)?.say.work.0;
    if works.is_empty() || works.iter().any(|work| work.verb != "pour") {
        return None;
    }
    let times: Option<Vec<Duration>> = works
        .iter()
        .flat_map(|work| &work.things)
        .map(|thing| {
            let hours = facts.pours.get(&thing.value)?.hours?.value;
            Some(hours.to.0 - hours.from.0)
        })
        .collect();
    Some(times?.into_iter().sum())
}

/// What was mixed beyond what the form holds, as a part of it; less than nothing where bags yield more than they say.
#[must_use]
pub fn waste_done(mixing: &Mixing, bags: u64) -> Option<Ratio> {
    let placed = (mixing.placed + mixing.patches).cubic_metres();
    let mixed: Volume = mixing.yields * i64::try_from(bags).ok()?;
    (placed > 0.0).then(|| Ratio::from_fraction(mixed.cubic_metres() / placed - 1.0))
}

/// When forms of a pour came off, it was loaded or filled in against: as recorded, or the steps that do it; the first first.
#[must_use]
pub fn act_done(plan: &Plan, facts: &Facts, pour: BlockId, act: Act) -> Vec<On> {
    let recorded = match act {
        Act::Strip => None,
        Act::Load => facts.loaded.get(&pour),
        Act::Backfill => facts.backfilled.get(&pour),
    };
    let steps = plan.edges.iter().filter(|edge| match edge.reason {
        Reason::Stripped { pour: of, .. } => (of, Act::Strip) == (pour, act),
        Reason::Loaded { pour: of, act: done, .. } => (of, done) == (pour, act),
        // What the props carried comes upon it.
        Reason::Carried { pour: of, .. } => (of, Act::Load) == (pour, act),
        _ => false,
    });
    let mut days: Vec<On> =
        recorded.copied().into_iter().chain(steps.filter_map(|edge| facts.done(edge.after))).collect();
    days.sort_by_key(|on| (on.day, on.at));
    days.dedup();
    days
}

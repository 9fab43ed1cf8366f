//! What of the plan is done already: what was recorded, and what must have been done before it.

use foldhash::{HashMap, HashSet};

use super::{
    Plan,
    days::{FAR, Past},
    done::gone_on,
};
use crate::{
    facts::Facts,
    job::Job,
    scheduling::{Calendar, DAY, Task},
    schema::{BlockId, KindId},
    units::{Date, Duration},
};

/// What of the plan is done already.
pub(super) struct Record<'k> {
    facts: &'k Facts,
    start: Date,
    /// What is done, and the day.
    done: HashMap<BlockId, (Past, Date)>,
    /// Questions that were not answered when something that waits for them was recorded.
    pub(super) passed_by: HashSet<BlockId>,
    /// The rest goes on from here: the day after the last record.
    pub(super) goes_on: i64,
}

impl Record<'_> {
    pub(super) fn new<'k>(job: &Job, plan: &Plan, facts: &'k Facts, start: Date) -> Record<'k> {
        let mut done: HashMap<BlockId, (Past, Date)> = HashMap::default();
        if facts.is_empty() {
            return Record { facts, start, done, passed_by: HashSet::default(), goes_on: 0 };
        }
        let recorded = plan.order.iter().filter_map(|node| Some((*node, facts.done(*node)?.day)));
        done.extend(recorded.map(|(node, day)| (node, (Past::Recorded, day))));
        // What something recorded waits for was done by then, whether it was written or not; a look is only passed, and a
        // question only answered, where it says so.
        let mut passed_by = HashSet::default();
        for (node, (_, on)) in gone_on(plan, facts) {
            match job.kind(node) {
                Some(KindId::Step | KindId::Wait) => _ = done.entry(node).or_insert((Past::Assumed, on.day)),
                Some(KindId::Ask) => _ = passed_by.insert(node),
                _ => {}
            }
        }
        let last = facts.days.map_or(-1, |(_, last)| start.days_until(last));
        Record { facts, start, done, passed_by, goes_on: (last.clamp(-1, FAR) + 1) * DAY }
    }

    pub(super) fn of(&self, node: BlockId) -> Option<Past> {
        self.done.get(&node).map(|(past, _)| *past)
    }

    /// What is done, as a task that waits for nothing: the whole shift of its day, a pour for its hours.
    pub(super) fn task(&self, job: &Job, node: BlockId, hours: &Calendar) -> Task {
        let Some((_, day)) = self.done.get(&node) else { return Task::default() };
        let day = self.start.days_until(*day).clamp(-FAR, FAR);
        let poured = job.step(node).into_iter().flat_map(|step| &step.say.work.0).filter(|work| work.verb == "pour");
        let poured =
            poured.flat_map(|work| &work.things).filter_map(|thing| self.facts.poured(thing.value, self.start));
        let poured = poured.map(|hours| (seconds_from(hours.from), seconds_from(hours.to)));
        let shifts = hours.day(day);
        let shift = shifts.first().zip(shifts.last()).map_or((0, DAY), |(first, last)| (first.from, last.to));
        let (from, to) = poured
            .reduce(|one, other| (one.0.min(other.0), one.1.max(other.1)))
            .unwrap_or((day * DAY + shift.0, day * DAY + shift.1));
        Task { lasts: to - from, not_before: from, ..Task::default() }
    }

    /// A wait that is over: it ran through nights from when what it comes after was recorded, as long as was planned, and no
    /// longer than until something went on after it.
    pub(super) fn wait(lasts: i64, done: Task, from: Option<i64>) -> Task {
        let over = done.not_before + done.lasts;
        let Some(from) = from.filter(|from| *from < over) else { return done };
        Task { lasts: lasts.min(over - from), not_before: from, ..done }
    }
}

/// Whole seconds of a time that may lie before the start.
fn seconds_from(time: Duration) -> i64 {
    time.seconds().round().clamp(-4e9, 4e9) as i64
}

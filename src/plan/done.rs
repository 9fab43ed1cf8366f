//! What the records say of the order of work: what was done before what must come first, what went on past a look that nobody
//! passed, and what must be seen again.

use foldhash::HashMap;

use super::Plan;
use crate::{
    facts::{Facts, On},
    job::Job,
    schema::{BlockId, Clock, Range, Said},
    units::Date,
};

/// What cannot have been in order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DoneTrouble {
    /// One is recorded before the one it waits for.
    Before {
        /// What must come first.
        first: (BlockId, On),
        /// What waits for it.
        then: (BlockId, On),
    },
    /// A pour began before one that must come first was finished the same day.
    Over {
        /// What must come first, and its hours.
        first: (BlockId, Said<Range<Clock>>),
        /// What waits for it, and its hours.
        then: (BlockId, Said<Range<Clock>>),
    },
    /// Work went on past a look that was not passed by then.
    Unseen {
        /// The look.
        look: BlockId,
        /// When it was passed after all; none if never.
        passed: Option<On>,
        /// The first that went on.
        then: (BlockId, On),
    },
    /// Work went on past a question that nobody had answered by then.
    Unasked {
        /// The question.
        ask: BlockId,
        /// The day it was answered after all; none if it is open.
        answered: Option<Date>,
        /// The first that went on.
        then: (BlockId, On),
    },
    /// A look was refused and not passed since, and nothing has gone on past it yet.
    Refused {
        /// The look.
        look: BlockId,
        /// When it was refused.
        on: On,
        /// The first that waits for it.
        next: Option<BlockId>,
    },
}

/// What came of the order of work.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Done {
    /// What cannot have been in order.
    pub troubles: Vec<DoneTrouble>,
}

/// For each of the plan the first that waits for it, near or far, and was recorded: of one day the one that comes first.
pub(super) fn gone_on(plan: &Plan, facts: &Facts) -> HashMap<BlockId, (BlockId, On)> {
    let place: HashMap<BlockId, usize> = plan.order.iter().enumerate().map(|(at, node)| (*node, at)).collect();
    let mut before: HashMap<BlockId, Vec<BlockId>> = HashMap::default();
    for edge in plan.edges.iter().filter(|edge| edge.reason.is_sure()) {
        before.entry(edge.after).or_default().push(edge.before);
    }
    let mut found: HashMap<BlockId, (BlockId, On)> = HashMap::default();
    // What waits stands behind what it waits for: seen from the end, each is known when it is asked.
    for node in plan.order.iter().rev() {
        let own = facts.done(*node).map(|on| (*node, on));
        let key = |(node, on): &(BlockId, On)| (on.day, place.get(node).copied());
        let Some(best) = own.into_iter().chain(found.get(node).copied()).min_by_key(key) else { continue };
        for other in before.get(node).into_iter().flatten() {
            let known = found.entry(*other).or_insert(best);
            if key(&best) < key(known) {
                *known = best;
            }
        }
    }
    found
}

/// What the records say of the order of work; nothing where steps go round in a circle.
#[must_use]
pub fn done(job: &Job, plan: &Plan, facts: &Facts) -> Done {
    let mut out = Done::default();
    if facts.is_empty() || !plan.circles.is_empty() || !plan.undone.is_empty() {
        return out;
    }
    let gone_on = gone_on(plan, facts);
    for node in &plan.order {
        let then = gone_on.get(node).copied();
        if job.look(*node).is_some() {
            out.troubles.extend(seen(plan, facts, *node, then));
        } else if let Some(ask) = job.ask(*node) {
            let answered = ask.say.answered.as_ref().map(|answer| answer.on);
            let open = then.filter(|(_, on)| answered.is_none_or(|answered| answered > on.day));
            out.troubles.extend(open.map(|then| DoneTrouble::Unasked { ask: *node, answered, then }));
        } else if let (Some(on), Some(then)) = (facts.done(*node), then)
            && then.1.day < on.day
        {
            out.troubles.push(DoneTrouble::Before { first: (*node, on), then });
        }
    }
    out.troubles.extend(over(job, plan, facts));
    out
}

/// A pour with its day and hours.
type Hours = (Date, BlockId, Said<Range<Clock>>);

/// Pours that began before one they wait for was finished, on one day: each is held against the first that was begun of all
/// that wait for it, near or far.
fn over(job: &Job, plan: &Plan, facts: &Facts) -> Vec<DoneTrouble> {
    let hours = |node: BlockId| {
        let works = job.step(node).into_iter().flat_map(|step| &step.say.work.0).filter(|work| work.verb == "pour");
        works.flat_map(|work| &work.things).filter_map(|thing| {
            let done = facts.pours.get(&thing.value)?;
            Some((done.on.day, thing.value, done.hours?))
        })
    };
    let begun = |(day, _, hours): &Hours| (*day, minutes(hours.value.from));
    let mut before: HashMap<BlockId, Vec<BlockId>> = HashMap::default();
    for edge in plan.edges.iter().filter(|edge| edge.reason.is_sure()) {
        before.entry(edge.after).or_default().push(edge.before);
    }
    let mut waits: HashMap<BlockId, Hours> = HashMap::default();
    let mut out = Vec::new();
    for node in plan.order.iter().rev() {
        let last = waits.get(node).copied();
        for (day, pour, own) in hours(*node) {
            let early =
                last.filter(|(other, _, then)| *other == day && minutes(then.value.from) < minutes(own.value.to));
            out.extend(early.map(|(_, id, then)| DoneTrouble::Over { first: (pour, own), then: (id, then) }));
        }
        let Some(best) = hours(*node).chain(last).min_by_key(begun) else { continue };
        for other in before.get(node).into_iter().flatten() {
            let known = waits.entry(*other).or_insert(best);
            if begun(&best) < begun(known) {
                *known = best;
            }
        }
    }
    out.reverse();
    out
}

/// Whole minutes after midnight.
fn minutes(clock: Clock) -> i64 {
    clock.0.minutes().round() as i64
}

/// Whether work went on past a look that was not passed, or waits for one that was refused.
fn seen(plan: &Plan, facts: &Facts, look: BlockId, then: Option<(BlockId, On)>) -> Option<DoneTrouble> {
    let passed = facts.first_passed(look);
    if let Some(then) = then.filter(|(_, on)| passed.is_none_or(|passed| passed.day > on.day)) {
        return Some(DoneTrouble::Unseen { look, passed, then });
    }
    let last = facts.looks.get(&look)?.last().filter(|last| !last.passed)?;
    let waits = |node: &&BlockId| plan.edges.iter().any(|edge| edge.before == look && edge.after == **node);
    Some(DoneTrouble::Refused { look, on: last.on, next: plan.order.iter().find(waits).copied() })
}

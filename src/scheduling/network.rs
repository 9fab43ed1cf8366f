//! Critical path and floats.

use super::{Calendar, Task};

/// One task begins only when another has ended, and a wait has passed that runs day and night.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Link {
    /// What comes first.
    pub before: u32,
    /// What comes after it.
    pub after: u32,
    /// The wait between them, in seconds.
    pub lag: i64,
}

/// When a task may be done, and how far it may slip.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Times {
    /// The earliest it begins.
    pub early_start: i64,
    /// The earliest it ends.
    pub early_finish: i64,
    /// The latest it begins without making the whole longer.
    pub late_start: i64,
    /// The latest it ends.
    pub late_finish: i64,
    /// How far it may slip without making the whole longer, in seconds of its own calendar.
    pub total: i64,
    /// How far it may slip without moving any other task.
    pub free: i64,
}

impl Times {
    /// It may not slip at all.
    #[must_use]
    pub const fn is_critical(&self) -> bool {
        self.total <= 0
    }
}

/// A network with its times.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Network {
    /// By task.
    pub times: Vec<Times>,
    /// When all is done.
    pub ends: i64,
}

/// The links that leave each task, by task. Waits stand apart, and only where some link holds one: of a large network memory
/// is what its times cost.
struct Fan {
    ends: Vec<u32>,
    after: Vec<u32>,
    lags: Vec<i64>,
}

impl Fan {
    /// None if a link names a task that is not there.
    fn new(count: usize, links: &[Link]) -> Option<Fan> {
        let mut ends = vec![0_u32; count];
        for link in links {
            ends.get(link.after as usize)?;
            *ends.get_mut(link.before as usize)? += 1;
        }
        // Where the links of each task begin; each link put in its place moves it on, so that at last it is where they end.
        let mut sum = 0;
        for end in &mut ends {
            sum += std::mem::replace(end, sum);
        }
        let mut after = vec![0_u32; links.len()];
        let mut lags = vec![0_i64; if links.iter().any(|link| link.lag != 0) { links.len() } else { 0 }];
        for link in links {
            let end = ends.get_mut(link.before as usize)?;
            *after.get_mut(*end as usize)? = link.after;
            if let Some(lag) = lags.get_mut(*end as usize) {
                *lag = link.lag;
            }
            *end += 1;
        }
        Some(Fan { ends, after, lags })
    }

    /// The tasks after this one, each with the wait between.
    fn at(&self, task: usize) -> impl Iterator<Item = (usize, i64)> {
        let from = task.checked_sub(1).and_then(|before| self.ends.get(before)).map_or(0, |end| *end as usize);
        let to = self.ends.get(task).map_or(0, |end| *end as usize);
        let lags = self.lags.get(from..to).unwrap_or(&[]);
        let lags = lags.iter().copied().chain(std::iter::repeat(0));
        self.after.get(from..to).unwrap_or(&[]).iter().map(|after| *after as usize).zip(lags)
    }
}

/// Tasks so that each stands after what it waits for; none if some wait for each other in a circle.
fn in_order(count: usize, links: &[Link], out: &Fan) -> Option<Vec<u32>> {
    // Most are written down in the order they are done.
    if links.iter().all(|link| link.before < link.after) {
        return Some((0..).take(count).collect());
    }
    let mut waits = vec![0_u32; count];
    for link in links {
        *waits.get_mut(link.after as usize)? += 1;
    }
    let mut order: Vec<u32> = (0..).zip(&waits).filter(|(_, waits)| **waits == 0).map(|(task, _)| task).collect();
    let mut at = 0;
    while let Some(task) = order.get(at).copied() {
        at += 1;
        for (after, _) in out.at(task as usize) {
            let left = waits.get_mut(after)?;
            *left -= 1;
            if *left == 0 {
                order.push(after as u32);
            }
        }
    }
    (order.len() == count).then_some(order)
}

/// Early and late times of tasks that take so long, on a clock that never stops; none if some wait for each other in a circle.
#[must_use]
pub fn critical_path(lasts: &[i64], links: &[Link]) -> Option<Network> {
    walk(lasts.len(), links, Clock { lasts })
}

/// Early and late times of tasks on the calendars they are worked by; none if some wait for each other in a circle, or there
/// is no room for a task within ten years.
#[must_use]
pub fn on_calendars(tasks: &[Task], links: &[Link], calendars: &[Calendar]) -> Option<Network> {
    walk(tasks.len(), links, Worked { tasks, calendars })
}

/// How a task lies in time.
trait Lies {
    fn earliest(&self, task: usize, from: i64) -> Option<(i64, i64)>;
    fn latest(&self, task: usize, until: i64) -> Option<(i64, i64)>;
    fn between(&self, task: usize, from: i64, to: i64) -> i64;
}

struct Clock<'t> {
    lasts: &'t [i64],
}

impl Lies for Clock<'_> {
    fn earliest(&self, task: usize, from: i64) -> Option<(i64, i64)> {
        Some((from, from + self.lasts.get(task)?))
    }

    fn latest(&self, task: usize, until: i64) -> Option<(i64, i64)> {
        Some((until - self.lasts.get(task)?, until))
    }

    fn between(&self, _: usize, from: i64, to: i64) -> i64 {
        to - from
    }
}

struct Worked<'t> {
    tasks: &'t [Task],
    calendars: &'t [Calendar],
}

impl Worked<'_> {
    fn calendar(&self, task: &Task) -> Option<&Calendar> {
        self.calendars.get(task.calendar? as usize)
    }
}

impl Lies for Worked<'_> {
    fn earliest(&self, task: usize, from: i64) -> Option<(i64, i64)> {
        let task = self.tasks.get(task)?;
        let from = from.max(task.not_before);
        match self.calendar(task) {
            Some(calendar) => calendar.earliest(from, task.lasts, task.whole),
            None => Some((from, from + task.lasts)),
        }
    }

    fn latest(&self, task: usize, until: i64) -> Option<(i64, i64)> {
        let task = self.tasks.get(task)?;
        match self.calendar(task) {
            Some(calendar) => calendar.latest(until, task.lasts, task.whole),
            None => Some((until - task.lasts, until)),
        }
    }

    fn between(&self, task: usize, from: i64, to: i64) -> i64 {
        match self.tasks.get(task).and_then(|task| self.calendar(task)) {
            Some(calendar) => calendar.worked(from, to),
            None => to - from,
        }
    }
}

fn walk(count: usize, links: &[Link], lies: impl Lies) -> Option<Network> {
    let out = Fan::new(count, links)?;
    let order = in_order(count, links, &out)?;
    let mut times = vec![Times::default(); count];
    let mut ends = 0;
    for task in &order {
        let task = *task as usize;
        // Until it is reached, what stands here is when all it waits for is done.
        let ready = times.get(task)?.early_start;
        let (start, finish) = lies.earliest(task, ready)?;
        let here = times.get_mut(task)?;
        (here.early_start, here.early_finish) = (start, finish);
        ends = ends.max(finish);
        for (after, lag) in out.at(task) {
            let ready = &mut times.get_mut(after)?.early_start;
            *ready = (*ready).max(finish + lag);
        }
    }
    for task in order.iter().rev() {
        let task = *task as usize;
        let (mut until, mut next) = (ends, ends);
        for (after, lag) in out.at(task) {
            let after = times.get(after)?;
            until = until.min(after.late_start - lag);
            next = next.min(after.early_start - lag);
        }
        let (start, finish) = lies.latest(task, until)?;
        let here = times.get_mut(task)?;
        // A calendar may have no room between: what cannot be earlier than its earliest is not late.
        (here.late_start, here.late_finish) = (start.max(here.early_start), finish.max(here.early_finish));
        here.total = lies.between(task, here.early_start, here.late_start);
        here.free = lies.between(task, here.early_finish, next).max(0);
    }
    Some(Network { times, ends })
}

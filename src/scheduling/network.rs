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

/// The links at each task, by task.
struct Fan {
    starts: Vec<u32>,
    links: Vec<(u32, i64)>,
}

impl Fan {
    fn new(count: usize, links: &[Link], end: impl Fn(&Link) -> (u32, u32)) -> Fan {
        let mut starts = vec![0_u32; count + 1];
        for link in links {
            if let Some(start) = starts.get_mut(end(link).0 as usize + 1) {
                *start += 1;
            }
        }
        let mut sum = 0;
        for start in &mut starts {
            sum += *start;
            *start = sum;
        }
        let mut next = starts.clone();
        let mut sorted = vec![(0, 0); links.len()];
        for link in links {
            let (here, there) = end(link);
            if let Some(at) = next.get_mut(here as usize) {
                if let Some(place) = sorted.get_mut(*at as usize) {
                    *place = (there, link.lag);
                }
                *at += 1;
            }
        }
        Fan { starts, links: sorted }
    }

    fn at(&self, task: usize) -> &[(u32, i64)] {
        match (self.starts.get(task), self.starts.get(task + 1)) {
            (Some(from), Some(to)) => self.links.get(*from as usize..*to as usize).unwrap_or(&[]),
            _ => &[],
        }
    }
}

/// Tasks so that each stands after what it waits for; none if some wait for each other in a circle, or a link names a task
/// that is not there.
fn in_order(count: usize, links: &[Link], out: &Fan) -> Option<Vec<u32>> {
    let mut waits = vec![0_u32; count];
    for link in links {
        if link.before as usize >= count {
            return None;
        }
        *waits.get_mut(link.after as usize)? += 1;
    }
    let mut order: Vec<u32> = (0..).zip(&waits).filter(|(_, waits)| **waits == 0).map(|(task, _)| task).collect();
    let mut at = 0;
    while let Some(task) = order.get(at).copied() {
        at += 1;
        for (after, _) in out.at(task as usize) {
            if let Some(left) = waits.get_mut(*after as usize) {
                *left -= 1;
                if *left == 0 {
                    order.push(*after);
                }
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
    let out = Fan::new(count, links, |link| (link.before, link.after));
    let order = in_order(count, links, &out)?;
    let mut times = vec![Times::default(); count];
    let mut ready = vec![0_i64; count];
    let mut ends = 0;
    for task in &order {
        let task = *task as usize;
        let (start, finish) = lies.earliest(task, *ready.get(task)?)?;
        let here = times.get_mut(task)?;
        (here.early_start, here.early_finish) = (start, finish);
        ends = ends.max(finish);
        for (after, lag) in out.at(task) {
            let at = ready.get_mut(*after as usize)?;
            *at = (*at).max(finish + lag);
        }
    }
    for task in order.iter().rev() {
        let task = *task as usize;
        let (mut until, mut next) = (ends, ends);
        for (after, lag) in out.at(task) {
            let after = times.get(*after as usize)?;
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

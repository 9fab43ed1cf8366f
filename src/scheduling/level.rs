//! A serial schedule for those who are there.

use std::collections::BinaryHeap;

use super::{Calendar, Link, Network, Task};

/// A task as it is placed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Placed {
    /// When it begins.
    pub start: i64,
    /// When it ends.
    pub finish: i64,
    /// The pieces of time it is worked in; none of a wait.
    pub pieces: Vec<(i64, i64)>,
}

/// What is in use, by stretches of time: from, to, people.
#[derive(Default)]
struct Busy(Vec<(i64, i64, u32)>);

impl Busy {
    /// The end of what stands in the way of so many people in these pieces, with `crew` people in all; none if nothing does.
    fn in_the_way(&self, pieces: &[(i64, i64)], people: u32, crew: u32) -> Option<i64> {
        for (from, to) in pieces {
            let over: Vec<&(i64, i64, u32)> =
                self.0.iter().filter(|(start, end, _)| start < to && end > from).collect();
            // People are counted where each stretch begins: in between they only get fewer.
            let at = over.iter().map(|(start, ..)| (*start).max(*from));
            for time in at {
                let here = over.iter().filter(|(start, end, _)| *start <= time && *end > time);
                let used: u32 = here.clone().map(|(.., used)| used).sum();
                if used.saturating_add(people) > crew {
                    return here.map(|(_, end, _)| *end).min();
                }
            }
        }
        None
    }
}

/// Places tasks one after the other, each at the earliest where what it waits for is done and people are free: of those that
/// may be placed the one with the earliest late finish, then the least float, then the longest, then the first. None where
/// tasks wait for each other in a circle, one needs more people than there are, or there is no room within ten years.
#[must_use]
pub fn level(
    tasks: &[Task],
    links: &[Link],
    calendars: &[Calendar],
    network: &Network,
    crew: u32,
) -> Option<Vec<Placed>> {
    let mut out = vec![Placed::default(); tasks.len()];
    let mut waits = vec![0_u32; tasks.len()];
    let mut after: Vec<Vec<(u32, i64)>> = vec![Vec::new(); tasks.len()];
    for link in links {
        *waits.get_mut(link.after as usize)? += 1;
        after.get_mut(link.before as usize)?.push((link.after, link.lag));
    }
    let key = |task: u32| {
        let times = network.times.get(task as usize)?;
        let lasts = tasks.get(task as usize)?.lasts;
        Some(std::cmp::Reverse((times.late_finish, times.total, -lasts, task)))
    };
    let mut free: BinaryHeap<_> = BinaryHeap::new();
    for (task, waits) in (0_u32..).zip(&waits) {
        if *waits == 0 {
            free.push(key(task)?);
        }
    }
    let mut ready = vec![0_i64; tasks.len()];
    let mut busy = Busy::default();
    let mut placed = 0;
    while let Some(std::cmp::Reverse((.., at))) = free.pop() {
        let task = tasks.get(at as usize)?;
        let here = place(task, *ready.get(at as usize)?, calendars, &mut busy, crew)?;
        let finish = here.finish;
        *out.get_mut(at as usize)? = here;
        placed += 1;
        for (next, lag) in after.get(at as usize)? {
            let from = ready.get_mut(*next as usize)?;
            *from = (*from).max(finish + lag);
            let left = waits.get_mut(*next as usize)?;
            *left -= 1;
            if *left == 0 {
                free.push(key(*next)?);
            }
        }
    }
    (placed == tasks.len()).then_some(out)
}

fn place(task: &Task, ready: i64, calendars: &[Calendar], busy: &mut Busy, crew: u32) -> Option<Placed> {
    let mut from = ready.max(task.not_before);
    let Some(calendar) = task.calendar.and_then(|at| calendars.get(at as usize)) else {
        return Some(Placed { start: from, finish: from + task.lasts, pieces: Vec::new() });
    };
    if task.people > crew {
        return None;
    }
    loop {
        let (start, finish) = calendar.earliest(from, task.lasts, task.whole)?;
        let pieces = calendar.pieces(start, task.lasts);
        if let [(first, end), _, ..] = pieces.as_slice() {
            let begins = |shift: &super::Shift| shift.from == first.rem_euclid(super::DAY);
            let fresh = calendar.day(first.div_euclid(super::DAY)).iter().any(begins);
            // A whole shift is never too short to begin with.
            if end - first < task.least && !fresh {
                from = *end;
                continue;
            }
        }
        match busy.in_the_way(&pieces, task.people, crew) {
            Some(end) => from = end.max(from + 1),
            None => {
                if task.people > 0 {
                    busy.0.extend(pieces.iter().map(|(from, to)| (*from, *to, task.people)));
                }
                return Some(Placed { start, finish, pieces });
            }
        }
    }
}

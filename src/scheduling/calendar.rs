//! Hours that are worked.

use std::collections::BTreeMap;

/// A day, in seconds.
pub const DAY: i64 = 86_400;

/// How many days ahead or back one looks for an hour that is worked: ten years.
const FAR: i64 = 3660;

/// Hours from and to, in seconds of the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Shift {
    /// When it begins.
    pub from: i64,
    /// When it ends.
    pub to: i64,
}

/// The shifts of each day of the week, and of days that are unlike their week.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Calendar {
    week: [Vec<Shift>; 7],
    unlike: BTreeMap<i64, Vec<Shift>>,
    /// The day of the week of day 0, 0 for Monday.
    first: usize,
}

impl Calendar {
    /// A calendar whose day 0 is this day of the week, 0 for Monday. Shifts that overlap or touch are united; what lies
    /// outside the day, or is no time at all, is left out.
    #[must_use]
    pub fn new(first: usize, week: [Vec<Shift>; 7]) -> Calendar {
        Calendar { week: week.map(united), unlike: BTreeMap::new(), first: first % 7 }
    }

    /// A calendar of all hours.
    #[must_use]
    pub fn always() -> Calendar {
        Calendar::new(0, std::array::from_fn(|_| vec![Shift { from: 0, to: DAY }]))
    }

    /// One day has other shifts, or none.
    pub fn set_day(&mut self, day: i64, shifts: Vec<Shift>) {
        self.unlike.insert(day, united(shifts));
    }

    /// The shifts of a day.
    #[must_use]
    pub fn day(&self, day: i64) -> &[Shift] {
        if let Some(shifts) = self.unlike.get(&day) {
            return shifts;
        }
        let weekday = (day + self.first as i64).rem_euclid(7) as usize;
        self.week.get(weekday).map_or(&[], Vec::as_slice)
    }

    /// The longest shift of any week; nothing if none is worked.
    #[must_use]
    pub fn longest_of_week(&self) -> i64 {
        self.week.iter().flatten().map(|shift| shift.to - shift.from).max().unwrap_or(0)
    }

    /// The longest shift of any day from day 0 on, also of those unlike their week; nothing if none is worked.
    #[must_use]
    pub fn longest_shift(&self) -> i64 {
        let unlike = self.unlike.range(0..).flat_map(|(_, shifts)| shifts);
        unlike.map(|shift| shift.to - shift.from).max().unwrap_or(0).max(self.longest_of_week())
    }

    /// Shifts from a time on, in order, the first cut off before it. Two that meet at midnight are one.
    fn from(&self, time: i64) -> impl Iterator<Item = (i64, i64)> + '_ {
        let today = time.div_euclid(DAY);
        let all = (today - 1..today + FAR)
            .flat_map(move |day| self.day(day).iter().map(move |shift| (day * DAY + shift.from, day * DAY + shift.to)));
        joined(all).filter(move |(_, to)| *to > time).map(move |(from, to)| (from.max(time), to))
    }

    /// Shifts up to a time, the last first, that one cut off behind it.
    fn up_to(&self, time: i64) -> impl Iterator<Item = (i64, i64)> + '_ {
        let today = time.div_euclid(DAY);
        let all = (today - FAR..=today).rev().flat_map(move |day| {
            self.day(day).iter().rev().map(move |shift| (-(day * DAY + shift.to), -(day * DAY + shift.from)))
        });
        joined(all)
            .map(|(to, from)| (-from, -to))
            .filter(move |(from, _)| *from < time)
            .map(move |(from, to)| (from, to.min(time)))
    }

    /// The earliest that work of this length begins and ends, not before a time; none if there is no room within ten years.
    ///
    /// What takes no time is done at that very time if it is worked, or work just ends; else as work begins again.
    #[must_use]
    pub fn earliest(&self, time: i64, lasts: i64, whole: bool) -> Option<(i64, i64)> {
        if lasts <= 0 {
            let ends = self.up_to(time).next().is_some_and(|(_, to)| to == time);
            let time = if ends { time } else { self.from(time).next()?.0 };
            return Some((time, time));
        }
        let mut begun = None;
        let mut left = lasts;
        for (from, to) in self.from(time) {
            if whole {
                if to - from >= lasts {
                    return Some((from, from + lasts));
                }
                continue;
            }
            let begin = *begun.get_or_insert(from);
            if to - from >= left {
                return Some((begin, from + left));
            }
            left -= to - from;
        }
        None
    }

    /// The latest that work of this length begins and ends, not after a time; none if there is no room within ten years.
    ///
    /// What takes no time is done at that very time if it is worked, or work just begins; else as work ended before.
    #[must_use]
    pub fn latest(&self, time: i64, lasts: i64, whole: bool) -> Option<(i64, i64)> {
        if lasts <= 0 {
            let begins = self.from(time).next().is_some_and(|(from, _)| from == time);
            let time = if begins { time } else { self.up_to(time).next()?.1 };
            return Some((time, time));
        }
        let mut ended = None;
        let mut left = lasts;
        for (from, to) in self.up_to(time) {
            if whole {
                if to - from >= lasts {
                    return Some((to - lasts, to));
                }
                continue;
            }
            let end = *ended.get_or_insert(to);
            if to - from >= left {
                return Some((to - left, end));
            }
            left -= to - from;
        }
        None
    }

    /// The pieces of time a task is worked in, from when it begins until so much is done.
    #[must_use]
    pub fn pieces(&self, begin: i64, lasts: i64) -> Vec<(i64, i64)> {
        let mut out = Vec::new();
        let mut left = lasts;
        for (from, to) in self.from(begin) {
            if left <= 0 {
                break;
            }
            let to = to.min(from + left);
            out.push((from, to));
            left -= to - from;
        }
        out
    }

    /// How many seconds are worked between two times; less than nothing if the second lies before the first.
    #[must_use]
    pub fn worked(&self, from: i64, to: i64) -> i64 {
        if to < from {
            return -self.worked(to, from);
        }
        let days = from.div_euclid(DAY)..=to.div_euclid(DAY);
        let within =
            |day: i64, shift: &Shift| ((day * DAY + shift.to).min(to) - (day * DAY + shift.from).max(from)).max(0);
        days.map(|day| self.day(day).iter().map(|shift| within(day, shift)).sum::<i64>()).sum()
    }
}

/// In order, what overlaps or touches united, what is no time left out.
fn united(shifts: Vec<Shift>) -> Vec<Shift> {
    let cut = |shift: Shift| Shift { from: shift.from.max(0), to: shift.to.min(DAY) };
    let mut shifts: Vec<Shift> = shifts.into_iter().map(cut).filter(|shift| shift.from < shift.to).collect();
    shifts.sort_unstable();
    let mut out: Vec<Shift> = Vec::with_capacity(shifts.len());
    for shift in shifts {
        match out.last_mut() {
            Some(last) if shift.from <= last.to => last.to = last.to.max(shift.to),
            _ => out.push(shift),
        }
    }
    out
}

/// Stretches of time in order, those that touch made one.
fn joined(all: impl Iterator<Item = (i64, i64)>) -> impl Iterator<Item = (i64, i64)> {
    let mut all = all.peekable();
    std::iter::from_fn(move || {
        let (from, mut to) = all.next()?;
        // Work round the clock has no end: a piece of ten years is as good as all of it.
        while let Some((_, next)) = all.next_if(|(next, _)| *next == to) {
            to = next;
        }
        Some((from, to))
    })
}

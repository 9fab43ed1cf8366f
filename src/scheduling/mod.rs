//! When what is done: critical path and floats, a calendar of hours that are worked, and a serial schedule for those who are
//! there. Knows tasks, links and seconds only.
//!
//! Two kinds of time: work uses up only hours that are worked; a wait runs through nights and days off. Times are whole
//! seconds from midnight at the beginning of day 0, in local civil time: a day has 24 hours here, so that across a change of
//! the clocks a wait is an hour out on the wall clock. A link may hold a wait of its own.
//!
//! Sources: critical path method, activity on node, as in C. Hendrickson and T. Au, Project Management for Construction,
//! chapter 10; serial schedule generation by latest finish: common practice in levelling.

mod calendar;
mod level;
mod network;

#[cfg(test)]
mod tests;

pub use calendar::{Calendar, DAY, Shift};
pub use level::{Placed, level};
pub use network::{Link, Network, Times, critical_path, on_calendars};

/// A task.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Task {
    /// How long it takes, in seconds.
    pub lasts: i64,
    /// Which calendar it is worked by; none is a wait, which runs day and night.
    pub calendar: Option<u32>,
    /// It is not cut by the end of a shift: it goes into one, or waits for one that is long enough.
    pub whole: bool,
    /// How many people it needs.
    pub people: u32,
    /// It does not begin before this, in seconds.
    pub not_before: i64,
    /// It is not begun for less than this, in seconds: where a shift has less left, it begins with the next.
    pub least: i64,
}

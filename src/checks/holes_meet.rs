//! `holes-meet`: two holes run into each other inside the old work.
//!
//! All holes of a wall against all, as axes in plan space: holes of two legs can meet inside a corner where nobody sees it.

use super::words;
use crate::{
    job::Job,
    problem::{Problem, Rule},
    rule,
    schema::KindId,
    units::Length,
    works::Works,
};

rule!(HOLES_MEET, "holes-meet", Error, "two holes that run into each other inside the old work");

pub(super) static RULES: &[&Rule] = &[&HOLES_MEET];

/// How many pairs of the same two blocks are named before the rest are only counted.
const NAMED: usize = 3;

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    let mut rest = works.meetings.as_slice();
    while let Some(meeting) = rest.first() {
        let key = (meeting.first.0, meeting.second.0);
        let end = rest.iter().position(|other| (other.first.0, other.second.0) != key).unwrap_or(rest.len());
        let (mine, others) = rest.split_at(end);
        rest = others;
        for meeting in mine.iter().take(NAMED) {
            let Some(set) = works.sets.get(&meeting.second.0) else { continue };
            let Some(block) = job.holes_of(meeting.second.0) else { continue };
            let (one, two) = (job.name(meeting.first.0), job.name(meeting.second.0));
            let first = words::hole(job, &works.standing, one, &meeting.first.1);
            let second = words::hole(job, &works.standing, two, &meeting.second.1);
            let headline = if meeting.apart == Length::ZERO {
                "holes run into each other: their axes cross"
            } else {
                "holes run into each other: their axes come within {0}, and half of both bores is {1}"
            };
            let mut problem = Problem::new(&HOLES_MEET, block.said(KindId::Holes, "bore"), headline)
                .arg(meeting.apart)
                .arg(meeting.reach)
                .arg(mine.len())
                .arg(set.deep)
                .thing(two)
                .place(format!("{first}\n{second}"))
                .one(one, meeting.first.1.number)
                .one(two, meeting.second.1.number);
            problem = if mine.len() > NAMED {
                problem.here("{2} pairs meet, three of them are told")
            } else {
                problem.here("these meet others")
            };
            if let Some(other) = job.holes_of(key.0).filter(|_| key.0 != key.1) {
                problem = problem.label(other.said(KindId::Holes, "bore"), "these others");
            }
            problems.push(problem.help(if meeting.first.1.on == meeting.second.1.on {
                "move one of them along or to another level, more than {1} from the other"
            } else {
                "move one of the rows, drill less deep, or keep holes further from the corner: `inset …, at corners` more than the depth, {3}"
            }));
        }
    }
}

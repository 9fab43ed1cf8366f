//! `holes-meet`: two holes run into each other inside the old work.
//!
//! All holes of a wall against all, as axes in plan space: holes of two legs can meet inside a corner where nobody sees it.

use super::words;
use crate::{
    geometry::distance::nearest,
    holes::{Hole, Meeting, Set, bar_spacing},
    job::Job,
    problem::{Problem, Rule},
    rule,
    schema::{BlockId, KindId},
    units::{Length, System},
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
            let far = far_enough(job, works, [meeting.first, meeting.second], room(works, meeting));
            problems.push(match far {
                _ if meeting.first.1.on == meeting.second.1.on => {
                    problem.help("move one of them along or to another level, more than {1} from the other")
                }
                Some(far) => problem.arg(far).help("move one of the rows, drill less deep, or keep holes further from the corner: `at corners {4}` in `inset` would do"),
                None => problem.help("move one of the rows to another level, or drill less deep"),
            });
        }
    }
}

/// How far apart the axes are to be: clear of each other, and as far as bars in them want, where bars are set.
fn room(works: &Works, meeting: &Meeting) -> Length {
    let bar = |set| works.sets.get(&set).and_then(|set: &Set| set.bar);
    let bars = bar(meeting.first.0).zip(bar(meeting.second.0));
    // Just as far is far enough for bars.
    let wanted = bars.map_or(Length::ZERO, |(one, two)| bar_spacing(one.max(two)) - Length::from_nm(1));
    meeting.reach.max(wanted)
}

/// How far from the corner the axes of two holes of two legs are further apart than `room`: found along both as they lie, up
/// to a tidy figure; none where no corner is between them or half a leg does not do.
pub(super) fn far_enough(job: &Job, works: &Works, pair: [(BlockId, Hole); 2], room: Length) -> Option<Length> {
    let standing = &works.standing;
    let step = match job.system() {
        System::Feet => Length::INCH / 2,
        System::Metric => Length::MILLIMETRE * 10,
    };
    let holes = pair.map(|(set, hole)| (works.sets.get(&set), hole, standing.length(hole.on)));
    let most = holes.iter().map(|(.., long)| *long / 2).min()?;
    let from_end = |hole: &Hole, long: Length| hole.station.min(long - hole.station);
    let now = holes.iter().map(|(_, hole, long)| from_end(hole, *long)).max()?;
    let first = step * (now.nm().div_euclid(step.nm()) + 1);
    let tries = (0..MOST_TRIES).map(|at| first + step * at).take_while(|far| *far <= most);
    tries.into_iter().find(|far| {
        let axis = |(set, hole, long): &(Option<&Set>, Hole, Length)| {
            let station = if hole.station * 2 > *long { *long - *far } else { *far };
            set.as_ref()?.segment(&Hole { station, ..*hole }, standing)
        };
        let [one, two] = &holes;
        let apart = axis(one).zip(axis(two)).map(|(one, two)| Length::round_nm(nearest(&one, &two).distance));
        apart.is_some_and(|apart| apart > room)
    })
}

/// So many places are looked at: 10 ft or 2.4 m from a hole.
const MOST_TRIES: i64 = 240;

//! Where long bars run: for each row the unbroken runs at its level, and where relative rows step.

use std::collections::BTreeMap;

use super::way::Way;
use crate::{
    concrete::{Interval, LegAt, Placed, Sections, Standing},
    holes::{Level, stretches},
    job::Job,
    schema::{BlockId, RowLevel, Stretch, StretchPart},
    units::Length,
};

/// One bar's run, before it is cut into pieces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Course {
    /// Its level.
    pub level: Length,
    /// Where the bar begins.
    pub from: (LegAt, Length),
    /// Where it ends.
    pub to: (LegAt, Length),
    /// It runs all the way round a closed plan: begin and end are the same corner.
    pub ring: bool,
    /// Where it goes on past a step by its lap: what it laps there on the leg of the step.
    pub goes_on: Option<Interval>,
}

/// What keeps a run from having its bar as it should.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CourseTrouble {
    /// The ends leave nothing of it.
    NothingLeft {
        /// How long the run is.
        length: Length,
    },
    /// Past a step there is less room than the lap.
    LapShort {
        /// The lap wanted.
        lap: Length,
        /// The room there is.
        room: Length,
    },
}

/// An unbroken run along a chain, from the first interval to the last.
#[derive(Debug, Clone, Copy)]
struct Reach {
    first: Interval,
    last: Interval,
    ring: bool,
}

/// A part of a leg on which the sections' outermost top and bottom do not change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Even {
    on: Interval,
    bottom: Length,
    top: Length,
}

/// What a block of long bars says of all its rows.
#[derive(Debug, Clone, Copy)]
pub struct Said<'j> {
    /// Where they run.
    pub along: &'j Stretch,
    /// Distance of their centres from the old face.
    pub offset: Length,
    /// How far they stop short of an end.
    pub ends: Length,
    /// How far they go on past a step.
    pub lap: Length,
}

/// The courses of one row. None at all means that the row lies outside what it runs along.
pub fn courses(
    job: &Job,
    standing: &mut Standing,
    sections: &Sections,
    said: Said,
    level: RowLevel,
    troubles: &mut Vec<CourseTrouble>,
) -> Option<Vec<Course>> {
    match level {
        RowLevel::At(level) => {
            let pieces = stretches(job, standing, sections, said.along, Level::Height(level));
            if pieces.is_empty() {
                return None;
            }
            let mut out = Vec::new();
            for reach in joined(standing, &pieces, &|_, _| true) {
                out.extend(course(standing, said.ends, level, &reach, troubles));
            }
            Some(out)
        }
        RowLevel::Top(by) => relative(job, standing, sections, said, by, true, troubles),
        RowLevel::Bottom(by) => relative(job, standing, sections, said, by, false, troubles),
    }
}

/// The run less its ends.
fn course(
    standing: &Standing,
    ends: Length,
    level: Length,
    reach: &Reach,
    troubles: &mut Vec<CourseTrouble>,
) -> Option<Course> {
    let Reach { first, last, ring } = *reach;
    if ring {
        let (from, to) = ((first.on, first.start), (last.on, last.end));
        return Some(Course { level, from, to, ring, goes_on: None });
    }
    let from = (first.on, first.start + ends);
    let to = (last.on, last.end - ends);
    let single = first.on == last.on && first.start <= last.start;
    if single && from.1 >= to.1 {
        troubles.push(CourseTrouble::NothingLeft { length: last.end - first.start });
        return None;
    }
    standing.chain(first.on)?;
    Some(Course { level, from, to, ring, goes_on: None })
}

/// Whether the second goes on where the first ends: on the same leg or round a corner.
fn follows(standing: &Standing, last: &Interval, next: &Interval) -> bool {
    (last.on == next.on && last.end == next.start)
        || (last.end == standing.length(last.on)
            && next.start == Length::ZERO
            && standing.next_leg(last.on) == Some(next.on))
}

/// Joins intervals, sorted by leg and station, that follow each other and are `alike` into runs; on a closed plan also
/// round the closing corner.
fn joined(standing: &Standing, pieces: &[Interval], alike: &dyn Fn(&Interval, &Interval) -> bool) -> Vec<Reach> {
    let goes_on = |last: &Interval, next: &Interval| follows(standing, last, next) && alike(last, next);
    let mut out: Vec<Reach> = Vec::new();
    for piece in pieces {
        match out.last_mut() {
            Some(reach) if reach.last.on <= piece.on && goes_on(&reach.last, piece) => reach.last = *piece,
            _ => out.push(Reach { first: *piece, last: *piece, ring: false }),
        }
    }
    let mut at = 0;
    while let Some(reach) = out.get(at).copied() {
        let chain = reach.first.on.chain;
        let end = out.iter().skip(at).position(|other| other.first.on.chain != chain).map_or(out.len(), |to| at + to);
        let Some(last) = out.get(end.saturating_sub(1)).copied() else { break };
        if goes_on(&last.last, &reach.first) {
            if end - at > 1 {
                if let Some(last) = out.get_mut(end - 1) {
                    last.last = reach.last;
                }
                out.remove(at);
                at = end - 1;
                continue;
            }
            if let Some(reach) = out.get_mut(at) {
                reach.ring = true;
            }
        }
        at = end;
    }
    out
}

/// A row measured from the sections' own tops (or bottoms): one bar for each run of equal section height.
fn relative(
    job: &Job,
    standing: &mut Standing,
    sections: &Sections,
    said: Said,
    by: Length,
    from_top: bool,
    troubles: &mut Vec<CourseTrouble>,
) -> Option<Vec<Course>> {
    let evens = evens(job, standing, sections, said);
    if evens.is_empty() {
        return None;
    }
    let measured = |even: &Even| if from_top { even.top } else { even.bottom };
    // Parts of equal height are told apart by nothing but their intervals from here on.
    let mut merged: Vec<(Interval, Length)> = Vec::new();
    for even in &evens {
        match merged.last_mut() {
            Some((on, from)) if on.on == even.on.on && on.end == even.on.start && *from == measured(even) => {
                on.end = even.on.end;
            }
            _ => merged.push((even.on, measured(even))),
        }
    }
    let heights: BTreeMap<Interval, Length> = merged.iter().copied().collect();
    let height = |interval: &Interval| heights.get(interval).copied().unwrap_or_default();
    let intervals: Vec<Interval> = merged.iter().map(|(on, _)| *on).collect();
    let reaches = joined(standing, &intervals, &|one, other| height(one) == height(other));
    let mut courses: Vec<Option<Course>> =
        reaches.iter().map(|reach| course(standing, said.ends, height(&reach.first) + by, reach, troubles)).collect();
    let whole = courses.clone();
    // At each step one of the two bars goes on into the other's section, if its level lies in the concrete there.
    let mut first_of_chain = 0;
    for (at, before) in reaches.iter().enumerate() {
        if reaches.get(first_of_chain).is_some_and(|first| first.first.on.chain != before.first.on.chain) {
            first_of_chain = at;
        }
        // The next one to the right; on a closed plan that may be the first.
        let next = [at + 1, first_of_chain].into_iter().filter(|next| *next != at);
        let follower = next.filter_map(|next| Some((next, reaches.get(next)?)));
        let Some((next, after)) = { follower }.find(|(_, after)| follows(standing, &before.last, &after.first)) else {
            continue;
        };
        // Under the tops the lower bar goes on, over the bottoms the higher: into the section that has more there.
        let onwards = if from_top {
            height(&before.first) < height(&after.first)
        } else {
            height(&before.first) > height(&after.first)
        };
        let (goer, stayer, step) = if onwards {
            (at, next, (after.first.on, after.first.start))
        } else {
            (next, at, (before.last.on, before.last.end))
        };
        let of = |at: usize| whole.get(at).copied().flatten();
        let (Some(own), Some(other)) = (of(goer), of(stayer)) else { continue };
        let beyond = beside(&evens, step, onwards);
        let Some(beyond) = beyond.filter(|even| even.bottom < own.level && own.level < even.top) else { continue };
        let farthest = if onwards { other.to } else { other.from };
        let way = standing.chain(step.0).and_then(|chain| Way::new(&chain.run, step, farthest, onwards, said.offset));
        let Some(way) = way else { continue };
        // The bar it laps with begins its end distance past the step.
        let wanted = said.lap + said.ends;
        let room = way.length();
        if room < wanted {
            let room = (room - said.ends).max(Length::ZERO);
            troubles.push(CourseTrouble::LapShort { lap: said.lap, room });
        }
        if let Some(course) = courses.get_mut(goer).and_then(Option::as_mut) {
            let (on, at) = step;
            course.goes_on = Some(if onwards {
                Interval { on, start: at + said.ends, end: (at + wanted).min(beyond.on.end) }
            } else {
                Interval { on, start: (at - wanted).max(beyond.on.start), end: at - said.ends }
            });
            *if onwards { &mut course.to } else { &mut course.from } = way.at(wanted.min(room));
        }
    }
    Some(courses.into_iter().flatten().collect())
}

/// The part that begins at a place (`after`), or the one that ends there.
fn beside(evens: &[Even], (on, station): (LegAt, Length), after: bool) -> Option<&Even> {
    let at = evens.partition_point(|even| (even.on.on, even.on.start) < (on, station));
    let even = if after { evens.get(at) } else { at.checked_sub(1).and_then(|at| evens.get(at)) }?;
    let meets = if after { even.on.start } else { even.on.end };
    (even.on.on == on && meets == station).then_some(even)
}

/// The parts of the stretch on which the outermost top and bottom of its sections stay the same, by leg and station. Where
/// some of the sections reach as far out as the bar, only those count.
fn evens(job: &Job, standing: &mut Standing, sections: &Sections, said: Said) -> Vec<Even> {
    let mut all: Vec<(Interval, &Placed)> = Vec::new();
    for part in &said.along.0 {
        if let StretchPart::All(block) = part.value
            && let Some(placed) = sections.find(block)
        {
            all.extend(placed.intervals.iter().map(|interval| (*interval, placed)));
            continue;
        }
        let runs = standing.resolve(job, &Stretch(vec![*part]));
        for wanted in standing.intervals(&runs) {
            for placed in &sections.placed {
                for interval in placed.intervals.iter().filter(|interval| interval.on == wanted.on) {
                    let (start, end) = (interval.start.max(wanted.start), interval.end.min(wanted.end));
                    if start < end {
                        all.push((Interval { on: wanted.on, start, end }, placed));
                    }
                }
            }
        }
    }
    all.sort_unstable_by_key(|(interval, placed)| (*interval, placed.id));
    let mut out = Vec::new();
    for leg in all.chunk_by(|(one, _), (other, _)| one.on == other.on) {
        let holding: Vec<&(Interval, &Placed)> =
            leg.iter().filter(|(interval, placed)| holds(job, standing, placed.id, interval.on, said.offset)).collect();
        if holding.is_empty() {
            even_parts(&leg.iter().collect::<Vec<_>>(), &mut out);
        } else {
            even_parts(&holding, &mut out);
        }
    }
    out
}

/// Whether a section's thickness on a leg takes in this distance from the old face.
fn holds(job: &Job, standing: &Standing, section: BlockId, on: LegAt, offset: Length) -> bool {
    let Some(section) = job.section(section) else { return false };
    let (inner, outer) = match (&section.say.offset, &section.say.thick) {
        (Some(offset), _) => (offset.value.from, offset.value.to),
        (None, Some(thick)) => {
            let other = thick.value.on.0.iter().find(|other| standing.place(other.leg.value) == Some(on));
            (Length::ZERO, other.map_or(thick.value.thick.0, |other| other.value.0))
        }
        (None, None) => return false,
    };
    inner <= offset && offset <= outer
}

/// Cuts one leg's sections at every end of one and takes the highest top and the lowest bottom between.
fn even_parts(leg: &[&(Interval, &Placed)], out: &mut Vec<Even>) {
    let Some(on) = leg.first().map(|(interval, _)| interval.on) else { return };
    // Where a section begins (true) or ends, by station.
    let mut events: Vec<(Length, bool, Length, Length)> = Vec::with_capacity(leg.len() * 2);
    for (interval, placed) in leg {
        events.push((interval.start, true, placed.bottom, placed.top));
        events.push((interval.end, false, placed.bottom, placed.top));
    }
    events.sort_unstable();
    let (mut bottoms, mut tops): (BTreeMap<Length, u32>, BTreeMap<Length, u32>) = Default::default();
    let mut at = Length::ZERO;
    for (station, begins, bottom, top) in events {
        if station > at
            && let (Some((bottom, _)), Some((top, _))) = (bottoms.first_key_value(), tops.last_key_value())
        {
            let even = Even { on: Interval { on, start: at, end: station }, bottom: *bottom, top: *top };
            match out.last_mut() {
                Some(last) if last.on.on == on && last.on.end == at && last.bottom == *bottom && last.top == *top => {
                    last.on.end = station;
                }
                _ => out.push(even),
            }
        }
        at = station;
        for (level, count) in [(bottom, &mut bottoms), (top, &mut tops)] {
            if begins {
                *count.entry(level).or_insert(0) += 1;
            } else if let Some(number) = count.get_mut(&level) {
                *number -= 1;
                if *number == 0 {
                    count.remove(&level);
                }
            }
        }
    }
}

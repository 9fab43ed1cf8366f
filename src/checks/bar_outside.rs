//! `bar-outside`: a bar that comes out of the concrete, or does not lie in it. Plane geometry, no source needed.

use std::collections::BTreeMap;

use super::words;
use crate::{
    concrete::{Interval, depth},
    job::Job,
    problem::{Problem, Rule},
    rule,
    schema::{BlockId, From, KindId},
    steel::{self, JobPlace},
    units::Length,
    works::Works,
};

rule!(BAR_OUTSIDE, "bar-outside", Error, "a bar that comes out of the concrete");

pub(super) static RULES: &[&Rule] = &[&BAR_OUTSIDE];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    // Where a section is missing, what was to lie in it is no mistake of its own.
    if job.broken.iter().any(|id| job.kind(*id) == Some(KindId::Section)) || !works.sections.troubles.is_empty() {
        return;
    }
    // How many bars of each block are outside, wherever they come out.
    let mut out: BTreeMap<BlockId, u64> = BTreeMap::new();
    for outside in &works.clearances.outside {
        *out.entry(outside.bar.bars).or_default() += outside.bars;
    }
    for outside in &works.clearances.outside {
        let Some(bars) = job.bars_of(outside.bar.bars) else { continue };
        let void = outside.void.map(|void| job.name(void));
        // Dowels that stand wholly free are studs for something else, unless only those in a void do.
        let all = || steel::made(&works.bars, outside.bar.bars).map_or(0, |made| made.count);
        if outside.whole && bars.say.holes.is_some() && (void.is_none() || out.get(&outside.bar.bars) == Some(&all())) {
            continue;
        }
        let headline = match (outside.whole, outside.bars) {
            (false, 1) => "`{0}` comes out of the concrete",
            (false, _) => "{1} bars of `{0}` come out of the concrete",
            (true, 1) => "`{0}` does not lie in the concrete",
            (true, _) => "{1} bars of `{0}` do not lie in the concrete",
        };
        let long = bars.say.holes.is_none() && bars.say.legs.is_none() && !outside.whole;
        let ends = long.then(|| run_ends(works, &outside.at)).flatten();
        let first: &[&str] = match &bars.say.from {
            _ if ends.is_some() => &["along"],
            // What begins in the concrete comes out by one of its legs.
            Some(from) if !outside.whole && !begins_at(&from.value, &outside.at) => &["legs"],
            _ => &["offset", "from", "out", "legs"],
        };
        let said = first.iter().map(|clause| bars.said(KindId::Bars, clause));
        let at = said.into_iter().find(|at| *at != bars.at).unwrap_or(bars.at);
        let shallow =
            if long && bars.say.offset.is_some() { never_held(job, works, bars.id, &outside.at) } else { None };
        let help = if void.is_some() && bars.say.holes.is_some() && outside.whole {
            "it stands in the void `{2}`: name the stations of the holes, as in `space at 1', 4'`, without those before the void, or give the row another level"
        } else if void.is_some() {
            "it runs through the void `{2}`: end the bars before it and begin them again behind, or lead them round it"
        } else if bars.say.holes.is_some() {
            "let the dowels stand out less, or make the section thicker"
        } else if let Some(ends) = ends {
            if ends {
                "the run is too long: the concrete ends at {3}; let `along` end there, and the bars stop short of it by their `ends`"
            } else {
                "the run begins too early: the concrete begins at {3}; let `along` begin there, and the bars stop short of it by their `ends`"
            }
        } else if shallow.is_some() {
            "offsets are measured out of the old face to the bar's centre, and nowhere at this level does the concrete hold it so: here it lies from {4} to {5}, and the bar wants its cover inside of that"
        } else if long {
            "here the concrete is thinner or lower than elsewhere on its way: end the run before this, or move it where all sections hold it"
        } else if outside.whole {
            "offsets are measured out of the old face to the bar's centre, heights from the datum: read both again"
        } else {
            "shorten the leg that comes out, or move the bar back: cover is measured from its surface"
        };
        let (inner, outer) = shallow.unwrap_or_default();
        problems.push(
            Problem::new(&BAR_OUTSIDE, at, headline)
                .arg(bars.name.as_str())
                .arg(usize::try_from(outside.bars).unwrap_or(usize::MAX))
                .arg(void.unwrap_or(""))
                .arg(words::station(job, works, &outside.at))
                .arg(inner)
                .arg(outer)
                .place(words::bar(job, works, &outside.bar, &outside.at))
                .one_at(words::bar_at(job, works, &outside.bar, &outside.at))
                .thing(bars.name.as_str())
                .help(help),
        );
    }
}

/// Whether the concrete ends at a place where a bar runs along it; false where it begins there, none where it does neither.
fn run_ends(works: &Works, at: &JobPlace) -> Option<bool> {
    let there = |station: Length| {
        works.sections.placed.iter().filter(|placed| (placed.bottom..=placed.top).contains(&at.height)).any(|placed| {
            let here = |interval: &Interval| interval.on == at.on && interval.start < station && station < interval.end;
            placed.intervals.iter().any(here)
        })
    };
    match (there(at.station - Length::INCH), there(at.station + Length::INCH)) {
        (true, false) => Some(true),
        (false, true) => Some(false),
        _ => None,
    }
}

/// From where to where the concrete lies out of the old face where a long bar comes out, if no section of its wall at its level
/// holds it at its offset: then it is not thinner here than elsewhere.
fn never_held(job: &Job, works: &Works, bars: BlockId, at: &JobPlace) -> Option<(Length, Length)> {
    let half = steel::made(&works.bars, bars)?.steel.diameter / 2;
    let mut here = None;
    for placed in &works.sections.placed {
        let level = (placed.bottom..=placed.top).contains(&at.height);
        let Some(section) = job.section(placed.id).filter(|_| level) else { continue };
        for interval in placed.intervals.iter().filter(|interval| interval.on.chain == at.on.chain) {
            let (inner, outer) = depth(section, &works.standing, interval.on);
            if inner + half <= at.offset && at.offset + half <= outer {
                return None;
            }
            if interval.on == at.on && interval.start <= at.station && at.station <= interval.end {
                here = Some((inner, outer));
            }
        }
    }
    here
}

/// Whether a bar comes out where it begins.
fn begins_at(from: &From, at: &JobPlace) -> bool {
    let near = Length::MILLIMETRE;
    (from.offset - at.offset).abs() <= near && (from.height - at.height).abs() <= near
}

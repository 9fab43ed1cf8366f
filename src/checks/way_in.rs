//! Bars that cannot be brought to their place past those that are placed before them. Plane geometry; that a bar is brought
//! in along a straight line is common practice, no source.

use super::words;
use crate::{
    job::Job,
    problem::{Problem, Rule, count},
    rule,
    units::show,
    works::Works,
};

rule!(BAR_CANNOT_GO_IN, "bar-cannot-go-in", Warning, "a bar that cannot get past the bars placed before it");

pub(super) static RULES: &[&Rule] = &[&BAR_CANNOT_GO_IN];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for blocked in &works.ways_in.blocked {
        let (Some(bars), Some(by)) = (job.bars_of(blocked.bar.bars), job.bars_of(blocked.by.bars)) else { continue };
        let number = usize::try_from(blocked.bars).unwrap_or(usize::MAX);
        let dowel = bars.say.holes.is_some();
        let problem = Problem::new(
            &BAR_CANNOT_GO_IN,
            bars.at,
            if dowel {
                "{2} of `{0}` cannot go into the hole: `{1}`, placed before, are in front of it"
            } else {
                "{2} of `{0}` cannot go in, neither from in front nor from above nor lengthwise: `{1}`, placed before, are in the way"
            },
        )
        .arg(bars.name.as_str())
        .arg(by.name.as_str())
        .arg(count(number, "bar", "bars"))
        .here("these bars")
        .label(by.at, "placed before them")
        .help(if dowel {
            "set `{0}` in an earlier step than `{1}`, or move one of the two"
        } else {
            "place `{0}` in an earlier step than `{1}`, or both in one step, or move one of the two"
        })
        .place(format!(
            "bar {} of {}, at {} on {}",
            blocked.bar.number,
            bars.name,
            show::place(blocked.bar.station, job.system()),
            words::leg(job, &works.standing, blocked.bar.on)
        ))
        .one(bars.name.as_str(), words::counted(works, &blocked.bar))
        .thing(bars.name.as_str());
        problems.push(problem);
    }
}

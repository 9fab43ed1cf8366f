//! `too-long-for-way`: bars that do not get in.
//!
//! What gets round the corners of a way in is measured by whoever writes it; no source.

use crate::{
    job::Job,
    problem::{Problem, Rule},
    rule,
    units::show,
    works::Works,
};

rule!(TOO_LONG_FOR_WAY, "too-long-for-way", Warning, "a bar longer than the way in lets through");

pub(super) static RULES: &[&Rule] = &[&TOO_LONG_FOR_WAY];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    let longest = job.routes.iter().filter_map(|route| Some((route.say.longest?.0, &route.name)));
    let Some((most, route)) = longest.min() else { return };
    for made in &works.bars {
        let Some(bars) = job.bars_of(made.id) else { continue };
        let Some(cut) = made.groups.iter().map(|group| group.shape.cut).max().filter(|cut| *cut > most) else {
            continue;
        };
        problems.push(
            Problem::new(&TOO_LONG_FOR_WAY, bars.at, "the longest of `{0}` is {1}, and `{2}` lets {3} through")
                .arg(bars.name.as_str())
                .arg(show::cut(cut, job.system()).to_string())
                .arg(route.as_str())
                .arg(most)
                .thing(&bars.name)
                .measure(cut)
                .help("cut it into pieces that lap (`pieces at most {3}`), bend it inside, or measure the way again"),
        );
    }
}

//! The checks: what the rooms below found, put into findings; the registry of all rules; and acceptances.
//!
//! A check that reckons has a file of its own. What a room below refused comes as typed troubles and is worded here, one
//! file a room.

mod accepted;
mod anchors;
mod back_thin;
mod bar_in_clear;
mod bar_outside;
mod bars;
mod bars_near;
mod before_drilling;
mod bond;
mod causes;
mod cover_short;
mod curing;
mod days;
mod dig;
mod drill_room;
mod drilled;
mod forms;
mod holes_meet;
mod in_the_way;
mod joint;
mod money;
mod order;
mod placed;
mod placing;
mod pours;
mod recorded;
mod resin;
mod rows;
mod sawing;
mod sections;
mod sizes;
mod standing;
mod steel_little;
mod waste_odd;
mod way_in;
mod way_through;
mod whole;
mod words;
mod yield_odd;

use std::collections::BTreeSet;

use crate::{
    job::{self, Job},
    language,
    problem::{Level, Problem, Rule},
    schema::KindId,
    works::Works,
};

pub use accepted::{Accepted, accepted};
pub(crate) use anchors::unlike_concrete;
pub(crate) use recorded::day_after;

/// Whether a rule is about what was recorded.
#[must_use]
pub fn of_records(name: &str) -> bool {
    [drilled::RULES, placed::RULES, recorded::RULES, sizes::RULES].into_iter().flatten().any(|rule| rule.name == name)
}

/// Every rule there is, by name.
#[must_use]
pub fn rules() -> Vec<&'static Rule> {
    let own: [&[&Rule]; 37] = [
        anchors::RULES,
        back_thin::RULES,
        bar_in_clear::RULES,
        bar_outside::RULES,
        bars::RULES,
        bars_near::RULES,
        before_drilling::RULES,
        bond::RULES,
        causes::RULES,
        cover_short::RULES,
        curing::RULES,
        days::RULES,
        dig::RULES,
        drill_room::RULES,
        drilled::RULES,
        forms::RULES,
        holes_meet::RULES,
        in_the_way::RULES,
        joint::RULES,
        money::RULES,
        order::RULES,
        placed::RULES,
        placing::RULES,
        pours::RULES,
        recorded::RULES,
        resin::RULES,
        rows::RULES,
        sawing::RULES,
        sections::RULES,
        sizes::RULES,
        standing::RULES,
        steel_little::RULES,
        waste_odd::RULES,
        way_in::RULES,
        way_through::RULES,
        whole::RULES,
        yield_odd::RULES,
    ];
    let mut all: Vec<&Rule> = own.concat();
    all.extend(language::rules::ALL);
    all.extend(job::rules::ALL);
    all.sort_by_key(|rule| rule.name);
    all
}

/// The rule of this name.
#[must_use]
pub fn rule(name: &str) -> Option<&'static Rule> {
    rules().into_iter().find(|rule| rule.name == name)
}

/// What hangs on a clause of the `job` block: where that cannot be read, something usual is reckoned with in its place, and
/// what is found with that is not told.
const HANGS: [(&str, &[&str]); 5] = [
    (
        "weather",
        &[
            "batch-old",
            "cold-joint",
            "day-too-long",
            "form-brace",
            "form-foot",
            "form-lift",
            "form-sheath",
            "form-stud",
            "form-tie",
            "form-waler",
            "knits-unsaid",
            "load-early",
            "load-soon",
            "pour-long",
            "pour-unplanned",
            "step-boils-up",
            "strip-early",
            "strip-soon",
            "wait-short",
            "wet-short",
        ],
    ),
    ("show", &["back-thin", "bars-close", "cover-short", "lift-heavy"]),
    ("place", &["cover-short", "weather-cold"]),
    ("laps", &["lap-apart", "lap-short", "no-room-for-lap"]),
    ("lifts", &["lift-heavy"]),
];

/// What hangs on which day something is done: where the hours that are worked cannot be read, the days are others.
const BY_DAYS: [&str; 10] = [
    "day-too-long",
    "done-late",
    "load-soon",
    "look-too-late",
    "people-few",
    "strip-soon",
    "weather-cold",
    "weather-dry",
    "weather-hot",
    "wet-short",
];

/// What stands on what: where a thing of one of these kinds, or of a kind nobody knows, cannot be read, what it would be is
/// missing beside others, and what is found of these without it is not told.
const BY_THINGS: [(&[KindId], &[&str]); 6] = [
    (
        &[
            KindId::Wall,
            KindId::Line,
            KindId::Footing,
            KindId::Ground,
            KindId::Slab,
            KindId::Remove,
            KindId::Section,
            KindId::Void,
            KindId::Pour,
        ],
        &["cover-short", "form-foot", "form-hung", "form-lift", "form-tight", "form-unheld"],
    ),
    (&[KindId::Remove], &["in-slab", "under-slab"]),
    (&[KindId::Wall, KindId::Slab], &["not-scanned"]),
    (&[KindId::Cut, KindId::Remove, KindId::Step], &["lines-unasked"]),
    (&[KindId::Prepare], &["lead-unasked"]),
    (&[KindId::Bars, KindId::Wait, KindId::Step], &["drill-room", "joint-nowhere"]),
];

/// Checks a job's works.
pub fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    let before = problems.len();
    look(job, works, problems);
    let mut hanging: Vec<&str> =
        HANGS.iter().filter(|(clause, _)| job.unread(clause)).flat_map(|(_, rules)| *rules).copied().collect();
    if job.broken.iter().any(|id| job.kind(*id) == Some(KindId::Hours)) {
        hanging.extend(BY_DAYS);
    }
    // A section that is understood and left out all the same is missing too.
    let left_out = (!works.sections.troubles.is_empty()).then_some(KindId::Section);
    let broken: BTreeSet<Option<KindId>> =
        job.broken.iter().map(|id| job.kind(*id)).chain(left_out.map(Some)).collect();
    for (kinds, rules) in BY_THINGS {
        if broken.contains(&None) || kinds.iter().any(|kind| broken.contains(&Some(*kind))) {
            hanging.extend(rules);
        }
    }
    if !hanging.is_empty() || job.lacks {
        // What is in a file that could not be included may do away with any warning.
        let counts = |problem: &Problem| {
            !hanging.contains(&problem.rule.name) && (!job.lacks || problem.rule.level == Level::Error)
        };
        let told = problems.split_off(before);
        problems.extend(told.into_iter().filter(counts));
    }
}

fn look(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    standing::check(job, works, problems);
    sections::check(job, works, problems);
    pours::check(job, works, problems);
    waste_odd::check(job, works, problems);
    placing::check(job, works, problems);
    forms::check(job, works, problems);
    rows::check(job, works, problems);
    holes_meet::check(job, works, problems);
    back_thin::check(job, works, problems);
    anchors::check(job, works, problems);
    in_the_way::check(job, works, problems);
    drill_room::check(job, works, problems);
    bars::check(job, works, problems);
    bar_in_clear::check(job, works, problems);
    bar_outside::check(job, works, problems);
    cover_short::check(job, works, problems);
    bars_near::check(job, works, problems);
    steel_little::check(job, works, problems);
    way_in::check(job, works, problems);
    yield_odd::check(job, problems);
    resin::check(job, works, problems);
    order::check(job, works, problems);
    before_drilling::check(job, works, problems);
    bond::check(job, works, problems);
    joint::check(job, works, problems);
    causes::check(job, works, problems);
    curing::check(job, works, problems);
    days::check(job, works, problems);
    money::check(job, works, problems);
    dig::check(job, works, problems);
    sawing::check(job, works, problems);
    way_through::check(job, works, problems);
    whole::check(job, works, problems);
    drilled::check(job, works, problems);
    recorded::check(job, works, problems);
    placed::check(job, works, problems);
    sizes::check(job, works, problems);
}

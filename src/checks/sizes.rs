//! New concrete as it was measured, against what was planned: too thin or too thick, too high or too low, out of plumb; and
//! bars that have less concrete over them for it. What is cast cannot be mended in the file, so all of it can be accepted,
//! with the reason.
//!
//! Of each section the worst of a sort is told, the others are counted. How far concrete may be off: ACI 117-90 as reprinted
//! in UFGS 03700, p. 26; above 12 in of thickness from memory. Covers are those of `cover-short`: ACI 318-19 Table
//! 20.5.1.3.1, or what the section itself asks for.

use std::collections::BTreeMap;

use super::{cover_short, words};
use crate::{
    concrete::{Class, LegAt, depth},
    job::Job,
    outcome::{Size, SizeOf, SizeTrouble},
    problem::{Arg, Problem, Rule},
    rule,
    schema::{BlockId, Stretch},
    steel::Judged,
    units::{Length, System, show},
    works::Works,
};

rule!(
    MEASURED_WHERE,
    "measured-where",
    Error,
    "a measure of a place where the section is not, or of nobody knows where"
);
rule!(MEASURED_ODD, "measured-odd", Warning, "a measured top below the section's bottom, or a bottom above its top");
rule!(SIZE_OFF, "size-off", Warning, "new concrete thinner or thicker than it may be");
rule!(TOP_OFF, "top-off", Warning, "the top or bottom of new concrete higher or lower than it may be");
rule!(LEAN_OFF, "lean-off", Warning, "a face further out of plumb than it may be");
rule!(COVER_LOST, "cover-lost", Warning, "too little concrete left over steel where less came out than planned");

pub(super) static RULES: &[&Rule] = &[&MEASURED_WHERE, &MEASURED_ODD, &SIZE_OFF, &TOP_OFF, &LEAN_OFF, &COVER_LOST];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    problems.extend(works.sizes.troubles.iter().map(|trouble| nowhere(job, works, trouble)));
    // Of one section, what is off one way: the furthest, and how many others are.
    let mut worst: BTreeMap<(BlockId, SizeOf, bool), (&Size, usize)> = BTreeMap::new();
    for size in works.sizes.sizes.iter().filter(|size| size.is_off()) {
        let way = (size.section, size.what, size.more() < Length::ZERO);
        let (kept, _) = worst.entry(way).and_modify(|(_, others)| *others += 1).or_insert((size, 0));
        if size.more().abs() > kept.more().abs() {
            *kept = size;
        }
    }
    problems.extend(worst.into_values().map(|(size, others)| off(job, works, size, others)));
    let mut lost: BTreeMap<(BlockId, BlockId, Class), (Length, &Judged, &Size)> = BTreeMap::new();
    for (left, judged, size) in works.sizes.sizes.iter().flat_map(|size| thinner(job, works, size)) {
        let of = (judged.cover.bar.bars, judged.cover.section, judged.cover.class);
        let kept = lost.entry(of).or_insert((left, judged, size));
        if left < kept.0 {
            *kept = (left, judged, size);
        }
    }
    problems.extend(lost.into_values().filter_map(|(left, judged, size)| bare(job, works, left, judged, size)));
}

fn nowhere(job: &Job, works: &Works, trouble: &SizeTrouble) -> Problem {
    let system = job.system();
    match trouble {
        SizeTrouble::Elsewhere { section, at } => {
            let runs = works.sections.find(*section).map(|placed| placed.intervals.as_slice()).unwrap_or_default();
            let each = runs.iter().map(|run| {
                let (from, to) = (show::place(run.start, system), show::place(run.end, system));
                format!("{} {from} to {to}", words::leg(job, &works.standing, run.on))
            });
            Problem::new(&MEASURED_WHERE, *at, "`{0}` is not there")
                .arg(job.name(*section))
                .arg(each.collect::<Vec<_>>().join(", "))
                .here("there is nothing of it here")
                .help("it runs along {1}, but for what is left empty in it; write a place on it, or the section that was measured there")
        }
        SizeTrouble::Upside { section, what, measured, other } => {
            let (headline, help) = match what {
                SizeOf::Top => (
                    "the top of `{0}` is written at {1}, and its bottom is at {2}",
                    "measure again: a level is counted from the datum, up, not from the top of the form down",
                ),
                _ => (
                    "the bottom of `{0}` is written at {1}, and its top is at {2}",
                    "measure again: a level is counted from the datum; below it, it is written with a minus",
                ),
            };
            Problem::new(&MEASURED_ODD, measured.span, headline)
                .arg(job.name(*section))
                .arg(measured.value)
                .arg(*other)
                .thing(job.name(*section))
                .help(help)
        }
        SizeTrouble::Unlike { section, what, planned, at } => {
            let all: Vec<String> = planned.iter().map(|one| show::exact(one.value, system).to_string()).collect();
            let first = works.sections.find(*section).and_then(|placed| placed.intervals.first());
            let some = first.map_or_else(String::new, |run| {
                format!("{} {}", words::leg(job, &works.standing, run.on), show::exact(run.start, system))
            });
            let headline = match what {
                SizeOf::Thick => "`{0}` is not of one thickness: it is planned {1} thick",
                SizeOf::Top => "`{0}` has not one top: it is planned at {1}",
                SizeOf::Bottom | SizeOf::Plumb => "`{0}` has not one bottom: it is planned at {1}",
            };
            let mut problem = Problem::new(&MEASURED_WHERE, *at, headline)
                .arg(job.name(*section))
                .arg(all.join(" or "))
                .arg(some)
                .help("say where it was measured, as in `measured {0} at {2}, …`");
            for one in planned {
                problem = problem.label(one.said, "planned here");
            }
            problem
        }
    }
}

/// "at 6' on old.back".
fn place(job: &Job, works: &Works, at: (LegAt, Length)) -> String {
    format!("at {} on {}", show::place(at.1, job.system()), words::leg(job, &works.standing, at.0))
}

/// What is further off than it may be.
fn off(job: &Job, works: &Works, size: &Size, others: usize) -> Problem {
    let less = size.more() < Length::ZERO;
    let allowed = size.allowed.value;
    let (rule, headline, help) = match (size.what, less) {
        (SizeOf::Thick, true) => (
            &SIZE_OFF,
            "`{0}` is {1} thick, {2} was planned; {3} less is allowed",
            "measure beside it; ask the engineer whether it may stay, and write what was said: `accept size-off on {0} down to {1} because \"…\"`",
        ),
        (SizeOf::Thick, false) => (
            &SIZE_OFF,
            "`{0}` is {1} thick, {2} was planned; {3} more is allowed",
            "see that what comes in front of it still has its room, and write why it may stay: `accept size-off on {0} because \"…\"`",
        ),
        (SizeOf::Top, true) => (
            &TOP_OFF,
            "the top of `{0}` is at {1}, {2} was planned; {3} lower is allowed",
            "what is to rest on it must be packed up: ask the engineer with what, and write what was said: `accept top-off on {0} down to {1} because \"…\"`",
        ),
        (SizeOf::Top, false) => (
            &TOP_OFF,
            "the top of `{0}` is at {1}, {2} was planned; {3} higher is allowed",
            "see that what is to rest on it still fits, and write why it may stay: `accept top-off on {0} because \"…\"`",
        ),
        (SizeOf::Bottom, true) => (
            &TOP_OFF,
            "the bottom of `{0}` is at {1}, {2} was planned; {3} lower is allowed",
            "see that nothing beside it stands undermined, ask the engineer, and write what was said: `accept top-off on {0} down to {1} because \"…\"`",
        ),
        (SizeOf::Bottom, false) => (
            &TOP_OFF,
            "the bottom of `{0}` is at {1}, {2} was planned; {3} higher is allowed",
            "ask the engineer whether it goes deep enough for the ground and the frost, and write what was said: `accept top-off on {0} because \"…\"`",
        ),
        (SizeOf::Plumb, _) => (
            &LEAN_OFF,
            "the face of `{0}` leans {1} over its height; {3} is allowed",
            "hold the plumb line against it again; ask the engineer whether it may stay, and write what was said: `accept lean-off on {0} because \"…\"`",
        ),
    };
    let mut problem = Problem::new(rule, size.measured.span, headline)
        .arg(job.name(size.section))
        .arg(size.measured.value)
        .arg(size.planned.value)
        .arg(if less { allowed.less } else { allowed.more })
        .arg(others)
        .thing(job.name(size.section))
        .help(help);
    if size.what != SizeOf::Plumb {
        problem = problem.label(size.planned.said, "planned here");
    }
    if less {
        problem = problem.measure(size.measured.value);
    }
    if let Some(at) = size.at {
        problem = problem.place(place(job, works, at));
    }
    match others {
        0 => problem,
        1 => problem.here("and 1 other measure of this section, less bad"),
        _ => problem.here("and {4} other measures of this section, less bad"),
    }
}

/// The covers that are less than wanted because less concrete came out than planned, and what is left of them; not those that
/// were planned too small.
fn thinner<'w>(job: &'w Job, works: &'w Works, size: &'w Size) -> impl Iterator<Item = (Length, &'w Judged, &'w Size)> {
    // A bottom that is higher takes concrete away.
    let gone = if size.what == SizeOf::Bottom { size.more() } else { Length::ZERO - size.more() };
    let counts = gone > Length::ZERO && size.again.is_none();
    let section = job.section(size.section).filter(|_| counts);
    works.covers.iter().filter_map(move |judged| {
        let cover = &judged.cover;
        let faces = match size.what {
            SizeOf::Thick => matches!(cover.class, Class::Formed | Class::Earth),
            SizeOf::Top => cover.class == Class::Top,
            SizeOf::Bottom => matches!(cover.class, Class::Ground | Class::Soffit),
            SizeOf::Plumb => false,
        };
        if cover.section != size.section || !faces || judged.missing() > cover_short::NOISE {
            return None;
        }
        // Bars keep their distance from the old face: where the section is planned thicker they have more in front of them.
        let planned = if size.what == SizeOf::Thick {
            let (inner, outer) = depth(section?, &works.standing, cover.to.on);
            cover.clear + size.planned.value - (outer - inner)
        } else {
            section?;
            cover.clear
        };
        let left = planned - gone;
        let there = size.at.is_none_or(|at| runs_past(job, works, cover.bar.bars, at));
        (judged.wanted - left > cover_short::NOISE && there).then_some((left, judged, size))
    })
}

/// Whether the bars of a block are laid along a place.
fn runs_past(job: &Job, works: &Works, bars: BlockId, (leg, station): (LegAt, Length)) -> bool {
    let along: Option<&Stretch> = job.bars_of(bars).and_then(|bars| match &bars.say.holes {
        Some(holes) => Some(&job.holes_of(holes.value.0)?.say.along),
        None => bars.say.along.as_ref(),
    });
    along.is_some_and(|along| {
        let pieces = works.standing.pieces(job, along, &mut Vec::new());
        let intervals = works.standing.intervals(&pieces);
        intervals.iter().any(|one| one.on == leg && (one.start..=one.end).contains(&station))
    })
}

/// What is left, down to what a tape shows, so that an acceptance of what is told holds.
fn on_a_tape(left: Length, system: System) -> Length {
    let step = match system {
        System::Feet => Length::INCH / 64,
        System::Metric => Length::MILLIMETRE / 10,
    };
    step * (left + cover_short::NOISE).nm().div_euclid(step.nm())
}

/// Bars with too little left over them.
fn bare(job: &Job, works: &Works, left: Length, judged: &Judged, size: &Size) -> Option<Problem> {
    let bars = job.bars_of(judged.cover.bar.bars)?;
    let left = on_a_tape(left, job.system());
    let headline = if left > Length::ZERO {
        "{0} of cover is left over `{2}` at {3}; {1} is wanted there"
    } else {
        "nothing is left over `{2}` at {3}; {1} of cover is wanted there"
    };
    let mut problem = Problem::new(&COVER_LOST, size.measured.span, headline)
        .arg(left)
        .arg(judged.wanted)
        .arg(bars.name.as_str())
        .arg(Arg::Word(cover_short::face(judged.cover.class)))
        .arg(size.more().abs())
        .here("{4} of concrete is missing here")
        .label(cover_short::place_of(bars), "its bars lie here")
        .thing(bars.name.as_str())
        .measure(left);
    if let Some(at) = size.at {
        problem = problem.place(place(job, works, at));
    }
    Some(problem.help(if left > Length::ZERO {
        "ask the engineer what may cover them instead, before this face is hidden, and write what was said: `accept cover-lost on {2} down to {0} because \"…\"`"
    } else {
        "look whether steel shows; ask the engineer what may cover it, before this face is hidden, and write what was said: `accept cover-lost on {2} because \"…\"`"
    }))
}

//! `hole-hits` and `hole-near`: holes that run into what is kept clear, or into a crack, or come very near to it; `tie-hits`: the same
//! of the ties of forms, which find their places by themselves and are told of where there is none, and of what fixes forms to floors.
//!
//! What a block of holes avoids is not looked at here: its holes are moved away, or it is told that they cannot. An inch
//! from what is kept clear, and three bores from a crack, are common practice without a source: a drill wanders, and a
//! tape in a dark corner is off by half an inch.

use super::words;
use crate::{
    formwork::Hold,
    holes::{Level, Lies, Obstacle, Row, Set},
    job::{Job, Thing},
    problem::{Problem, Rule},
    rule,
    schema::{BlockId, Holes, KindId, Spacing},
    units::{Length, System, show},
    works::Works,
};

rule!(HOLE_HITS, "hole-hits", Error, "a hole that runs into what is to be kept clear, or into a crack");
rule!(HOLE_NEAR, "hole-near", Warning, "a hole very near to what is to be kept clear, or to a crack");

rule!(
    TIE_HITS,
    "tie-hits",
    Error,
    "ties of a form, or what it is fixed to a floor with, that run into what is to be kept clear"
);

rule!(HOLE_ON_BAR, "hole-on-bar", Warning, "holes drilled into new concrete where a bar lies in it");

pub(super) static RULES: &[&Rule] = &[&HOLE_HITS, &HOLE_NEAR, &TIE_HITS, &HOLE_ON_BAR];

/// How far a bore should stay from an obstacle beyond what is kept clear round it.
fn wanted(obstacle: &Obstacle, set: &Set) -> Length {
    if obstacle.crack { set.wide * 3 } else { Length::INCH }
}

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    ties(job, works, problems);
    fixings(job, works, problems);
    on_bars(job, works, problems);
    for holes in &job.holes {
        let Some(set) = works.sets.get(&holes.id) else { continue };
        let avoided = |obstacle: &Obstacle| {
            holes.say.avoid.0.iter().any(|avoid| avoid.things.iter().any(|thing| thing.value.0 == obstacle.thing))
        };
        // Of each thing the first hole that is hit, or else the first that is near, is told; the others are counted.
        let mut told: Vec<Met> = Vec::new();
        for row in &set.rows {
            for obstacle in works.obstacles.on(row.on).iter().filter(|obstacle| !avoided(obstacle)) {
                let hits = holes_in(set, row, obstacle, Length::ZERO);
                let near = holes_in(set, row, obstacle, wanted(obstacle, set));
                for (hit, (first, count)) in [(true, hits), (false, near)] {
                    if count == 0 {
                        continue;
                    }
                    met(&mut told, Met { obstacle, hit, row, first, count, round: false });
                }
            }
            // Round the corner holes cannot be told to keep away by themselves.
            for obstacle in round_the_corner(job, works, row) {
                let (first, count) = holes_beside(works, set, row, obstacle);
                if count > 0 {
                    met(&mut told, Met { obstacle, hit: true, row, first, count, round: true });
                }
            }
        }
        for met in &told {
            let hit_too = told.iter().any(|other| other.hit && other.obstacle.thing == met.obstacle.thing);
            if met.hit || !hit_too {
                problems.extend(word(job, works, holes, set, met));
            }
        }
    }
}

/// Holes drilled into what was cast round bars.
fn on_bars(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for met in &works.on_bars {
        let (Some(holes), Some(bars)) = (job.holes_of(met.holes), job.at(met.bars)) else { continue };
        let headline = if met.count > 1 {
            "{1} holes are drilled where bars of `{0}` lie"
        } else {
            "a hole is drilled where a bar of `{0}` lies"
        };
        problems.push(
            Problem::new(&HOLE_ON_BAR, holes.said(KindId::Holes, "rows"), headline)
                .arg(job.name(met.bars))
                .arg(i64::try_from(met.count).unwrap_or(i64::MAX))
                .thing(holes.name.as_str())
                .place(words::hole(job, &works.standing, &holes.name, &met.first))
                .one(holes.name.as_str(), met.first.number)
                .label(bars, "these are in the way")
                .help("move the row, or space the holes so that they fall between the bars; or set what goes into them before the pour"),
        );
    }
}

/// Rows of ties for which no place was found beside a thing; of each form and thing the first.
fn ties(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for formwork in &works.forms {
        let Some(forms) = job.forms_of(formwork.forms) else { continue };
        let mut told: Vec<BlockId> = Vec::new();
        for (row, thing) in formwork.ties.iter().flat_map(|row| row.into.iter().map(move |thing| (row, *thing))) {
            if told.contains(&thing) {
                continue;
            }
            told.push(thing);
            let radius = works.obstacles.of(thing).iter().map(|place| place.radius).max().unwrap_or_default();
            let problem = Problem::new(
                &TIE_HITS,
                forms.said(KindId::Forms, "ties"),
                "ties of `{0}` {1} run into what is kept clear round `{2}`",
            )
            .arg(forms.name.as_str())
            .arg(words::level(Level::Height(row.level), job.system()))
            .arg(job.name(thing))
            .arg(radius)
            .thing(forms.name.as_str())
            .here("{3} round `{2}` nothing may come")
            .help(if works.obstacles.of(thing).iter().any(|place| place.from < place.to) {
                "give the row another level: it runs along the wall, and ties find no place beside it"
            } else {
                "give the row another level, or let `space` be less, so that ties find places beside it"
            });
            problems.push(match job.at(thing) {
                Some(at) => problem.label(at, "this is in the way"),
                None => problem,
            });
        }
    }
}

/// Kickers and cleats that are fixed to a floor over what is kept clear in it; each form and thing once.
fn fixings(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for formwork in &works.forms {
        let Some(forms) = job.forms_of(formwork.forms) else { continue };
        for (hold, thing) in &formwork.over {
            let (clause, headline, help) = match hold {
                Hold::Kick => (
                    "kick",
                    "the kicker of `{0}` is fixed to the floor over what is kept clear round `{1}`",
                    "hold the foot of the form with ties instead (`ties rows …`), or let the kicker stand against what does not move (`on bank`)",
                ),
                Hold::Brace | Hold::Tie(_) => (
                    "brace",
                    "the feet of the braces of `{0}` are fixed to the floor over what is kept clear round `{1}`",
                    "let the braces meet the form at another height (`height`) or angle (`angle`), so that their feet come down beside it",
                ),
            };
            let radius = works.obstacles.of(*thing).iter().map(|place| place.radius).max().unwrap_or_default();
            let problem = Problem::new(&TIE_HITS, forms.said(KindId::Forms, clause), headline)
                .arg(forms.name.as_str())
                .arg(job.name(*thing))
                .arg(radius)
                .thing(forms.name.as_str())
                .here("{2} round `{1}` nothing may come")
                .help(help);
            problems.push(match job.at(*thing) {
                Some(at) => problem.label(at, "this is in the way"),
                None => problem,
            });
        }
    }
}

/// Holes that meet a thing.
struct Met<'w> {
    obstacle: &'w Obstacle,
    hit: bool,
    row: &'w Row,
    first: u64,
    count: u64,
    /// It lies on another leg than the row.
    round: bool,
}

fn met<'w>(told: &mut Vec<Met<'w>>, new: Met<'w>) {
    match told.iter_mut().find(|met| met.obstacle.thing == new.obstacle.thing && met.hit == new.hit) {
        Some(met) => met.count += new.count,
        None => told.push(new),
    }
}

/// What is kept clear on the other legs of a row's wall.
fn round_the_corner<'w>(job: &Job, works: &'w Works, row: &Row) -> impl Iterator<Item = &'w Obstacle> {
    let (standing, on) = (&works.standing, row.on);
    let wall = standing.leg_ref(on).map(|leg| leg.wall);
    let all = job.clears.iter().flat_map(|clear| works.obstacles.of(clear.id));
    all.filter(move |obstacle| obstacle.on != on && standing.leg_ref(obstacle.on).map(|leg| leg.wall) == wall)
}

/// The first hole of a row that runs into an obstacle on another leg, and how many do. How near they come to it is a convex function
/// of their place in the row.
fn holes_beside(works: &Works, set: &Set, row: &Row, obstacle: &Obstacle) -> (u64, u64) {
    let down = matches!(row.level, Level::Offset(_));
    let apart = |at: u64| {
        let hole = row.hole(at).and_then(|hole| set.segment(&hole, &works.standing));
        hole.and_then(|hole| obstacle.apart(&works.standing, &hole, down)).unwrap_or(f64::INFINITY)
    };
    let limit = (obstacle.radius + set.wide / 2).nm() as f64;
    let (mut low, mut high) = (0, row.places.count().saturating_sub(1));
    while low < high {
        let middle = low + (high - low) / 2;
        if apart(middle) <= apart(middle + 1) { high = middle } else { low = middle + 1 }
    }
    if row.places.count() == 0 || apart(low) >= limit {
        return (0, 0);
    }
    let (nearest, last) = (low, row.places.count() - 1);
    let edge = |mut inside: u64, mut outside: u64| {
        if apart(outside) < limit {
            return outside;
        }
        while inside.abs_diff(outside) > 1 {
            let middle = inside.midpoint(outside);
            if apart(middle) < limit { inside = middle } else { outside = middle }
        }
        inside
    };
    let (first, end) = (edge(nearest, 0), edge(nearest, last));
    (first, end - first + 1)
}

/// The first hole of a row nearer to an obstacle than this, and how many there are.
fn holes_in(set: &Set, row: &Row, obstacle: &Obstacle, by: Length) -> (u64, u64) {
    let Some((from, to)) = set.barrier(row, obstacle, by) else { return (0, 0) };
    let first = row.places.first_from(from + Length::from_nm(1));
    (first, row.places.first_from(to).saturating_sub(first))
}

/// Whether a thing lies along a row for more than the widest gap between its holes: no hole can be moved past it.
fn runs_along(holes: &Thing<Holes>, set: &Set, met: &Met) -> bool {
    let (Spacing::AtMost(widest) | Spacing::Every(widest)) = &holes.say.space else { return false };
    let barrier = set.barrier(met.row, met.obstacle, wanted(met.obstacle, set));
    barrier.is_some_and(|(from, to)| to - from > widest.value)
}

/// The levels below and above a thing, or the offsets before and behind it, at which a row of holes that do not lean is clear
/// of it; before the face there is none.
fn clear_of(set: &Set, met: &Met, system: System) -> Option<(Option<Length>, Length)> {
    let (Lies::Heights(levels) | Lies::Offsets(levels)) = met.obstacle.lies else { return None };
    if set.tilt.is_some() {
        return None;
    }
    let reach = met.obstacle.radius + wanted(met.obstacle, set) + set.wide;
    let high = show::cut_length(levels.from.max(levels.to) + reach, system);
    // Down to what a tape shows is up from the other side.
    let low = Length::ZERO - show::cut_length(reach - levels.from.min(levels.to), system);
    let is_level = matches!(met.obstacle.lies, Lies::Heights(_));
    Some((Some(low).filter(|low| is_level || *low > Length::ZERO), high))
}

fn word(job: &Job, works: &Works, holes: &Thing<Holes>, set: &Set, met: &Met) -> Option<Problem> {
    let (rule, headline) = match (met.hit, met.obstacle.crack) {
        (true, false) => (&HOLE_HITS, "holes run into what is kept clear round `{0}`"),
        (true, true) => (&HOLE_HITS, "holes run into the crack `{0}`"),
        (false, false) => (&HOLE_NEAR, "holes come within {1} of what is kept clear round `{0}`"),
        (false, true) => (&HOLE_NEAR, "holes come within {1} of the crack `{0}`"),
    };
    let hole = met.row.hole(met.first)?;
    let problem = Problem::new(rule, holes.said(KindId::Holes, "space"), headline)
        .arg(job.name(met.obstacle.thing))
        .arg(wanted(met.obstacle, set))
        .arg(i64::try_from(met.count).unwrap_or(i64::MAX))
        .thing(holes.name.as_str())
        .place(words::hole(job, &works.standing, &holes.name, &hole))
        .one(holes.name.as_str(), hole.number)
        .label(job.at(met.obstacle.thing)?, "this is in the way");
    let problem = if met.round {
        problem.help("it lies on another leg, where `avoid` does not look: let the row begin farther from the corner, or give it another level")
    } else if !runs_along(holes, set, met) {
        problem.help("write `avoid {0} by {1}`: the holes are then moved along the wall")
    } else if let Some((low, high)) = clear_of(set, met, job.system()) {
        let problem = problem.arg(high).arg(low.unwrap_or_default());
        problem.help(match (hole.level, low.is_some()) {
            (Level::Offset(_), true) => "it runs along these holes, and they cannot be moved past it along the wall: move the row in `rows`; {4} or {3} out from the face would be clear of it",
            (Level::Offset(_), false) => "it runs along these holes, and they cannot be moved past it along the wall: move the row in `rows`; {3} out from the face would be clear of it",
            (Level::Height(_), _) => "it runs along these holes, and they cannot be moved past it along the wall: move the row in `rows`; level {4} or {3} would be clear of it",
        })
    } else {
        problem.help("it runs along these holes, and they cannot be moved past it along the wall: move the row in `rows`, out or up")
    };
    Some(if met.count > 1 { problem.here("{2} holes; the first is told") } else { problem })
}

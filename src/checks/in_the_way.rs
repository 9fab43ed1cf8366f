//! `hole-hits` and `hole-near`: holes that run into what is kept clear, or into a crack, or come very near to it.
//!
//! What a block of holes avoids is not looked at here: its holes are moved away, or it is told that they cannot. An inch
//! from what is kept clear, and three bores from a crack, are common practice without a source: a drill wanders, and a
//! tape in a dark corner is off by half an inch.

use super::words;
use crate::{
    holes::{Obstacle, Row, Set},
    job::{Job, Thing},
    problem::{Problem, Rule},
    rule,
    schema::{Holes, KindId},
    units::Length,
    works::Works,
};

rule!(HOLE_HITS, "hole-hits", Error, "a hole that runs into what is to be kept clear, or into a crack");
rule!(HOLE_NEAR, "hole-near", Warning, "a hole very near to what is to be kept clear, or to a crack");

pub(super) static RULES: &[&Rule] = &[&HOLE_HITS, &HOLE_NEAR];

/// How far a bore should stay from an obstacle beyond what is kept clear round it.
fn wanted(obstacle: &Obstacle, set: &Set) -> Length {
    if obstacle.crack { set.wide * 3 } else { Length::INCH }
}

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
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
                    match told.iter_mut().find(|met| met.obstacle.thing == obstacle.thing && met.hit == hit) {
                        Some(met) => met.count += count,
                        None => told.push(Met { obstacle, hit, row, first, count }),
                    }
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

/// Holes that meet a thing.
struct Met<'w> {
    obstacle: &'w Obstacle,
    hit: bool,
    row: &'w Row,
    first: u64,
    count: u64,
}

/// The first hole of a row nearer to an obstacle than this, and how many there are.
fn holes_in(set: &Set, row: &Row, obstacle: &Obstacle, by: Length) -> (u64, u64) {
    let Some((from, to)) = set.barrier(row, obstacle, by) else { return (0, 0) };
    let first = row.places.first_from(from + Length::from_nm(1));
    (first, row.places.first_from(to).saturating_sub(first))
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
        .label(job.at(met.obstacle.thing)?, "this is in the way")
        .help("write `avoid {0} by {1}`: the holes are then moved along the wall");
    Some(if met.count > 1 { problem.here("{2} holes; the first is told") } else { problem })
}

//! `drill-room`: no straight room for the drill before a hole.
//!
//! The drill stands straight out of the hole with its body behind the bit: it wants the length of its body and the depth
//! of the hole, and half its width to every side. Looked at are the other faces of the wall and the slab below; the ground
//! is not, for it is dug away where new concrete comes. So are bars that are there before the holes are drilled, by the order of
//! work. A body of 14 in by 4 in is common practice, no source.

use super::words;
use crate::{
    job::Job,
    problem::{Problem, Rule},
    rule,
    schema::KindId,
    works::Works,
};

rule!(DRILL_ROOM, "drill-room", Warning, "no straight room for the drill before a hole");

pub(super) static RULES: &[&Rule] = &[&DRILL_ROOM];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for holes in &job.holes {
        let Some(around) = works.around.get(&holes.id) else { continue };
        let Some(tight) = around.tight else { continue };
        let headline = match tight.slab {
            Some(_) => "the drill has {0} of straight room over the slab before these holes; body and bit want {1}",
            None => "the drill has {0} of straight room before a hole; body and bit want {1}",
        };
        let mut problem = Problem::new(&DRILL_ROOM, holes.said(KindId::Holes, "bore"), headline)
            .arg(tight.room)
            .arg(around.wants)
            .thing(holes.name.as_str())
            .place(words::hole(job, &works.standing, &holes.name, &tight.hole))
            .one(holes.name.as_str(), tight.hole.number)
            .measure(tight.room)
            .help("move the holes, lean them with `tilt`, break out more, or write the drill there is: `drill {9\", wide 3\"|230 mm, wide 80 mm}`");
        if let Some(at) = tight.slab.and_then(|slab| job.at(slab)) {
            problem = problem.label(at, "this is below them");
        }
        problems.push(problem);
    }
    bars(job, works, problems);
}

/// Bars that are there already where the drill stands.
fn bars(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for tight in &works.before_drills {
        let (Some(holes), Some(bars)) = (job.holes_of(tight.holes), job.at(tight.bars)) else { continue };
        let headline = if tight.count > 1 {
            "bars of `{2}` stand before {3} holes when these are drilled; the nearest leaves {0}, body and bit want {1}"
        } else {
            "a bar of `{2}` stands before a hole when it is drilled and leaves {0}; body and bit want {1}"
        };
        problems.push(
            Problem::new(&DRILL_ROOM, holes.said(KindId::Holes, "bore"), headline)
                .arg(tight.room)
                .arg(tight.wants)
                .arg(job.name(tight.bars))
                .arg(usize::try_from(tight.count).unwrap_or(usize::MAX))
                .thing(holes.name.as_str())
                .place(words::hole(job, &works.standing, &holes.name, &tight.hole))
                .one(holes.name.as_str(), tight.hole.number)
                .measure(tight.room)
                .label(bars, "these are there by then")
                .help("drill first, in a step before the one that places `{2}`, or move the holes or the bars aside; or write the drill there is: `drill {9\", wide 3\"|230 mm, wide 80 mm}`"),
        );
    }
}

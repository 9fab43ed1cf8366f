//! `drill-room`: no straight room for the drill before a hole.
//!
//! The drill stands straight out of the hole with its body behind the bit: it wants the length of its body and the depth
//! of the hole, and half its width to every side. Looked at are the other faces of the wall and the slab below; the ground
//! is not, for it is dug away where new concrete comes. A body of 14 in by 4 in is common practice, no source.

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
}

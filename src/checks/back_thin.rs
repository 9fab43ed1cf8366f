//! `hole-through` and `back-thin`: what is left of the old wall behind a hole.
//!
//! The code names no least thickness behind an adhesive anchor (ACI 318-19 17.9.4 speaks of other anchors). Two inches or
//! two bores, whichever is more, is common practice without a source.

use super::words;
use crate::{
    concrete::LegAt,
    holes::{Axis, Row, Set},
    job::{Job, Thing},
    problem::{Problem, Rule},
    rule,
    schema::{Holes, KindId},
    units::Length,
    works::Works,
};

rule!(HOLE_THROUGH, "hole-through", Error, "a hole that comes out at the back of the wall");
rule!(BACK_THIN, "back-thin", Warning, "little concrete left behind a hole");

pub(super) static RULES: &[&Rule] = &[&HOLE_THROUGH, &BACK_THIN];

/// What should be left behind a hole: 2 in, or two bores if that is more (common practice, no source).
fn wanted(wide: Length) -> Length {
    (Length::INCH * 2).max(wide * 2)
}

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for holes in &job.holes {
        let Some(set) = works.sets.get(&holes.id) else { continue };
        // The thinnest place of the set is the one worth a finding.
        let thinnest = set
            .rows
            .iter()
            .filter_map(|row| there(job, works, set, row.on).map(|thick| (thick, row)))
            .min_by_key(|(thick, row)| (*thick, row.first_number));
        let Some((thick, row)) = thinnest else { continue };
        let left = thick - set.deep;
        if left <= Length::ZERO {
            problems.push(through(job, works, holes, set, row, thick));
        } else if left < wanted(set.wide) {
            problems.push(thin(job, works, holes, set, row, thick));
        }
    }
}

/// How thick the old work is where holes go in.
fn there(job: &Job, works: &Works, set: &Set, on: LegAt) -> Option<Length> {
    match set.axis {
        Axis::Face => works.standing.thickness(on),
        Axis::Down(_) => {
            let into = set.into.block;
            if let Some(slab) = job.slab(into) {
                return Some(slab.say.thick.0);
            }
            if let Some(footing) = job.footing(into) {
                return Some(footing.say.thick.0);
            }
            if let Some(section) = job.section(into) {
                return Some(section.say.height.value.to - section.say.height.value.from);
            }
            works.standing.heights(on).map(|(bottom, top)| top - bottom)
        }
    }
}

fn first_hole(job: &Job, works: &Works, holes: &Thing<Holes>, set: &Set, row: &Row) -> Option<String> {
    let hole = set.each().find(|hole| hole.number == row.first_number)?;
    Some(words::hole(job, &works.standing, &holes.name, &hole))
}

fn through(job: &Job, works: &Works, holes: &Thing<Holes>, set: &Set, row: &Row, thick: Length) -> Problem {
    let most = thick - wanted(set.wide);
    let mut problem = Problem::new(
        &HOLE_THROUGH,
        holes.say.bore.deep.span,
        "these holes are {0} deep; what they go into is {1} thick",
    )
    .arg(set.deep)
    .arg(thick)
    .arg(most)
    .thing(holes.name.as_str());
    if let Some(place) = first_hole(job, works, holes, set, row) {
        problem = problem.place(place);
    }
    if most > Length::ZERO {
        problem.help("{2} would leave enough behind them").fix(holes.say.bore.deep.span, shown(job, most))
    } else {
        problem.help("this is too thin for holes of this width; ask an engineer how else to tie in")
    }
}

fn thin(job: &Job, works: &Works, holes: &Thing<Holes>, set: &Set, row: &Row, thick: Length) -> Problem {
    let left = thick - set.deep;
    let most = thick - wanted(set.wide);
    let mut problem = Problem::new(
        &BACK_THIN,
        holes.said(KindId::Holes, "bore"),
        "{0} of the old work is left behind these holes; {1} is usual",
    )
    .arg(left)
    .arg(wanted(set.wide))
    .arg(most)
    .thing(holes.name.as_str())
    .measure(left);
    if let Some(place) = first_hole(job, works, holes, set, row) {
        problem = problem.place(place);
    }
    if most > Length::ZERO {
        problem
            .help("holes of {2} would leave it; a thin back breaks out while drilling, and resin is lost through it")
            .fix(holes.say.bore.deep.span, shown(job, most))
    } else {
        problem.help("a thin back breaks out while drilling, and resin is lost through it")
    }
}

/// A length as it is typed.
fn shown(job: &Job, length: Length) -> String {
    crate::units::show::exact(length, job.system()).to_string()
}

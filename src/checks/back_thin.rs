//! `hole-through` and `back-thin`: what is left of the old wall behind a hole; `bore-swapped`: holes wider than deep.
//!
//! The code names no least thickness behind an adhesive anchor (ACI 318-19 17.9.4 speaks of other anchors). Two inches or
//! two bores, whichever is more, is common practice without a source.

use super::words;
use crate::{
    holes::{Back, Set},
    job::{Job, Thing},
    problem::{Problem, Rule},
    rule,
    schema::{Holes, KindId},
    standards,
    units::Length,
    works::Works,
};

rule!(HOLE_THROUGH, "hole-through", Error, "a hole that comes out at the back of the wall");
rule!(BACK_THIN, "back-thin", Warning, "little concrete left behind a hole");

rule!(BORE_SWAPPED, "bore-swapped", Warning, "holes that are wider than they are deep");

pub(super) static RULES: &[&Rule] = &[&HOLE_THROUGH, &BACK_THIN, &BORE_SWAPPED];

/// What should be left behind a hole.
fn wanted(job: &Job, wide: Length) -> Length {
    standards::anchors::behind(wide, job.system()).map_or(Length::ZERO, |worked| worked.value)
}

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for holes in &job.holes {
        // The thinnest place of the set is the one worth a finding.
        let (Some(set), Some(around)) = (works.sets.get(&holes.id), works.around.get(&holes.id)) else { continue };
        if is_swapped(set) {
            problems.push(swapped(job, holes, set));
            continue;
        }
        let Some(back) = around.back else { continue };
        if back.left <= Length::ZERO {
            problems.push(through(job, works, holes, set, &back));
        } else if back.left < wanted(job, set.wide) {
            problems.push(thin(job, works, holes, set, &back));
        }
    }
}

/// Whether holes are wider than deep: their figures are likely swapped, and all that hangs on them means little.
pub(super) fn is_swapped(set: &Set) -> bool {
    set.wide > set.deep
}

fn swapped(job: &Job, holes: &Thing<Holes>, set: &Set) -> Problem {
    let at = holes.said(KindId::Holes, "bore");
    Problem::new(&BORE_SWAPPED, at, "these holes are {0} wide and {1} deep")
        .arg(set.wide)
        .arg(set.deep)
        .arg(format!("bore {} by {}", shown(job, set.deep), shown(job, set.wide)))
        .thing(holes.name.as_str())
        .help("the width comes first, then the depth: is `{2}` meant?")
        .fix(at, format!("bore {} by {}", shown(job, set.deep), shown(job, set.wide)))
}

/// The deepest these holes may be with enough left behind them, in steps a builder would write.
fn deepest(job: &Job, set: &Set, back: &Back) -> Length {
    let most = set.deep - (wanted(job, set.wide) - back.left);
    if set.tilt.is_none() {
        return most;
    }
    // Along a leaning axis what is left shrinks slower than the depth grows: this is on the safe side.
    let step = Length::INCH.nm() / 4;
    Length::from_nm(most.nm().div_euclid(step) * step)
}

fn through(job: &Job, works: &Works, holes: &Thing<Holes>, set: &Set, back: &Back) -> Problem {
    let most = deepest(job, set, back);
    let problem = Problem::new(
        &HOLE_THROUGH,
        holes.say.bore.deep.span,
        "these holes are {0} deep; what they go into is {1} thick",
    )
    .arg(set.deep)
    .arg(back.thick)
    .arg(most)
    .thing(holes.name.as_str())
    .place(words::hole(job, &works.standing, &holes.name, &back.hole))
    .one(holes.name.as_str(), back.hole.number);
    if most > Length::ZERO {
        problem.help("{2} would leave enough behind them").fix(holes.say.bore.deep.span, shown(job, most))
    } else {
        problem.help("this is too thin for holes of this width; ask an engineer how else to tie in")
    }
}

fn thin(job: &Job, works: &Works, holes: &Thing<Holes>, set: &Set, back: &Back) -> Problem {
    let most = deepest(job, set, back);
    let problem = Problem::new(
        &BACK_THIN,
        holes.said(KindId::Holes, "bore"),
        "{0} of the old work is left behind these holes; {1} is usual",
    )
    .arg(back.left)
    .arg(wanted(job, set.wide))
    .arg(most)
    .thing(holes.name.as_str())
    .measure(back.left)
    .place(words::hole(job, &works.standing, &holes.name, &back.hole))
    .one(holes.name.as_str(), back.hole.number);
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

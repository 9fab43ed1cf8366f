//! `face-not-prepared`, `rests-on-slab`, `anchor-loose`, `spall-open`, `crack-width`: what new concrete holds on to and stands on.
//!
//! A face roughened to a full amplitude of about 1/4 in carries shear by friction with 1.0 instead of 0.6: ACI 318-19 Table
//! 22.9.4.2 (from memory). That old faces are cleaned, wetted and dry on top when concrete comes: common practice, seen in
//! guide specifications. Which cracks resin bonds: ACI 224.1R for the finest (from memory), common practice for the widest.

use std::collections::BTreeSet;

use crate::{
    concrete::Class,
    job::Job,
    problem::{Problem, Rule},
    rule,
    schema::{BlockId, KindId},
    standards::mending::{FINEST_CRACK, WIDEST_CRACK},
    works::Works,
};

rule!(FACE_NOT_PREPARED, "face-not-prepared", Warning, "new concrete against an old face nobody makes ready");
rule!(RESTS_ON_SLAB, "rests-on-slab", Warning, "new concrete that stands on a floor slab");
rule!(ANCHOR_LOOSE, "anchor-loose", Error, "holes for bars in a wall that is loose");
rule!(SPALL_OPEN, "spall-open", Warning, "a broken place that nothing fills");
rule!(CRACK_WIDTH, "crack-width", Warning, "a crack too wide or too fine to be filled with resin");

pub(super) static RULES: &[&Rule] = &[&FACE_NOT_PREPARED, &RESTS_ON_SLAB, &ANCHOR_LOOSE, &SPALL_OPEN, &CRACK_WIDTH];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    unprepared(job, works, problems);
    not_for_resin(job, problems);
    for solid in &works.solids.pours {
        for (section, _) in solid.rests.iter().filter(|(_, class)| *class == Class::OnSlab) {
            let Some(section) = job.section(*section) else { continue };
            problems.push(
                Problem::new(&RESTS_ON_SLAB, section.said(KindId::Section, "height"), "`{0}` stands on a floor slab")
                    .arg(section.name.as_str())
                    .thing(&section.name)
                    .help("a floor slab is no footing: break it out under the section (`remove`), go down to the footing, or accept this with the reason it carries"),
            );
        }
    }
    for wall in &job.walls {
        if wall.say.of.as_ref().is_none_or(|made| made.loose.is_none()) {
            continue;
        }
        for holes in job.holes.iter().filter(|holes| holes.say.into.value.block == wall.id) {
            problems.push(
                Problem::new(&ANCHOR_LOOSE, holes.say.into.span, "`{0}` is loose: nothing can be tied into it")
                    .arg(wall.name.as_str())
                    .thing(&holes.name)
                    .help("tie into what stands fast, or have the loose piece held first and take `loose` out"),
            );
        }
    }
    if job.broken.iter().any(|id| matches!(job.kind(*id), None | Some(KindId::Step))) || job.steps.is_empty() {
        return;
    }
    let patched: BTreeSet<BlockId> = done(job, "patch");
    for spall in job.spalls.iter().filter(|spall| spall.say.with.is_none() && !patched.contains(&spall.id)) {
        problems.push(
            Problem::new(&SPALL_OPEN, spall.at, "nothing fills `{0}`")
                .arg(spall.name.as_str())
                .thing(&spall.name)
                .help("write `with` and the pour that fills it, or a step that patches it: `step mend \"Patch it\" { work patch {0} }`"),
        );
    }
}

/// Cracks that are to be filled with resin and are too wide or too fine for it.
fn not_for_resin(job: &Job, problems: &mut Vec<Problem>) {
    for crack in job.cracks.iter().filter(|crack| crack.say.fill.is_some()) {
        let gap = crack.say.gap.0;
        let (headline, limit, help) = if gap > WIDEST_CRACK {
            (
                "`{0}` stands {1} open: resin is for cracks up to {2}",
                WIDEST_CRACK,
                "a crack so wide has moved, and may move again: have an engineer look at it, and take `fill` out",
            )
        } else if gap < FINEST_CRACK {
            (
                "`{0}` is {1} wide: resin does not run into cracks finer than {2}",
                FINEST_CRACK,
                "leave it as it is and take `fill` out, or measure its `gap` again",
            )
        } else {
            continue;
        };
        problems.push(
            Problem::new(&CRACK_WIDTH, crack.said(KindId::Crack, "gap"), headline)
                .arg(crack.name.as_str())
                .arg(gap)
                .arg(limit)
                .thing(&crack.name)
                .help(help),
        );
    }
}

/// What steps do this to.
fn done(job: &Job, verb: &str) -> BTreeSet<BlockId> {
    let works = job.steps.iter().flat_map(|step| &step.say.work.0);
    works.filter(|work| work.verb == verb).flat_map(|work| work.things.iter().map(|thing| thing.value)).collect()
}

/// The walls bars are set into: what is tied to them is meant to work with them.
fn tied_into(job: &Job) -> BTreeSet<BlockId> {
    let sets = job.bars.iter().filter_map(|bars| job.holes_of(bars.say.holes?.value.0));
    sets.map(|holes| holes.say.into.value.block).collect()
}

fn unprepared(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    if job.steps.is_empty() || job.broken.iter().any(|id| matches!(job.kind(*id), None | Some(KindId::Prepare))) {
        return;
    }
    let ready = job.prepares.iter().filter(|prepare| prepare.say.meets.is_none()).flat_map(|prepare| &prepare.say.of);
    let ready: BTreeSet<BlockId> = ready.map(|section| section.value.0).collect();
    let tied = tied_into(job);
    for solid in &works.solids.pours {
        if solid.areas.of(Class::Old) <= crate::units::Area::ZERO {
            continue;
        }
        for (section, _) in &solid.sections {
            let Some(section) = job.section(*section) else { continue };
            // What stands off the face, or along nothing, has no old face behind it.
            let off = section.say.offset.as_ref().is_some_and(|offset| offset.value.from > crate::units::Length::ZERO);
            let tied = works
                .sections
                .find(section.id)
                .is_some_and(|placed| job.wall(placed.wall).is_some() && tied.contains(&placed.wall));
            if off || !tied || ready.contains(&section.id) {
                continue;
            }
            problems.push(
                Problem::new(&FACE_NOT_PREPARED, section.at, "the old face behind `{0}` is not made ready")
                    .arg(section.name.as_str())
                    .thing(&section.name)
                    .help("write how it is: `prepare old-face { of {0}; roughen {1/4\"|6 mm}; wet 12 h }`, and a step that does it: `work prepare old-face`"),
            );
        }
    }
}

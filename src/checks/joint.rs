//! `joint-not-ready`, `joint-nowhere`: joints between what is poured one after the other.
//!
//! That a construction joint is cleaned, laitance removed, and wetted before new concrete is placed against it: ACI 318-19
//! 26.5.6.2 (from memory).

use std::collections::BTreeSet;

use crate::{
    job::{Job, Thing},
    problem::{Problem, Rule},
    rule,
    schema::{BlockId, KindId, Prepare},
    works::Works,
};

rule!(JOINT_NOT_READY, "joint-not-ready", Warning, "new concrete against that of an earlier pour nobody makes ready");
rule!(JOINT_NOWHERE, "joint-nowhere", Warning, "a joint made ready where there is none");

pub(super) static RULES: &[&Rule] = &[&JOINT_NOT_READY, &JOINT_NOWHERE];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    nowhere(job, works, problems);
    let unread = |id: &BlockId| matches!(job.kind(*id), None | Some(KindId::Prepare | KindId::Step | KindId::Pour));
    if job.steps.is_empty() || job.broken.iter().any(unread) {
        return;
    }
    not_ready(job, works, problems);
}

fn not_ready(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    let solids = &works.solids;
    let ready: BTreeSet<(BlockId, BlockId)> =
        solids.readied.iter().map(|one| (one.joint.section, one.joint.other)).collect();
    // What one step pours in one go has no joint.
    let mut at_once: BTreeSet<(BlockId, BlockId)> = BTreeSet::new();
    for step in &job.steps {
        let poured = step.say.work.0.iter().filter(|work| work.verb == "pour").flat_map(|work| &work.things);
        let poured: BTreeSet<BlockId> = poured.map(|thing| thing.value).collect();
        if poured.len() > 1 {
            at_once.extend(poured.iter().map(|pour| (step.id, *pour)));
        }
    }
    let goes = |pour: BlockId| at_once.iter().filter(move |(_, poured)| *poured == pour).map(|(step, _)| *step);
    for solid in &solids.pours {
        let mut told: BTreeSet<(BlockId, BlockId)> = BTreeSet::new();
        for joint in solid.joints.iter().filter(|joint| joint.is_cast_against(solid.pour, &works.turn)) {
            let together = goes(solid.pour).any(|step| at_once.contains(&(step, joint.other)));
            let key = (joint.section, joint.other);
            if together || ready.contains(&key) || !told.insert(key) {
                continue;
            }
            let Some(section) = job.section(joint.section) else { continue };
            let touching = solids.of(joint.other).into_iter().flat_map(|other| &other.joints);
            let Some(touching) = touching.filter(|back| back.other == solid.pour).map(|back| back.section).next()
            else {
                continue;
            };
            let mut problem = Problem::new(&JOINT_NOT_READY, section.at, "the joint of `{0}` with `{1}` is not made ready")
                .arg(section.name.as_str())
                .arg(job.name(joint.other))
                .arg(job.name(touching))
                .thing(&section.name)
                .help("write how it is: `prepare joint { of {0}; meets {2}; roughen {1/4\"|6 mm}; wet 12 h }`, and a step that does it when `{1}` has set: `work prepare joint`");
            let names = |face: &&Thing<Prepare>, wanted: BlockId| face.say.of.iter().any(|of| of.value.0 == wanted);
            let both = job.prepares.iter().find(|face| names(face, joint.section) && names(face, touching));
            if let Some(both) = both {
                problem = problem.label(both.said(KindId::Prepare, "of"), "both sides: the old faces alone");
            }
            problems.push(problem);
        }
    }
}

fn nowhere(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    let solids = &works.solids;
    let pour_of = |section: BlockId| solids.with(section).map(|(solid, _)| solid.pour);
    for face in &job.prepares {
        let own: BTreeSet<BlockId> = face.say.of.iter().filter_map(|of| pour_of(of.value.0)).collect();
        for meets in face.say.meets.iter().flatten() {
            let Some(other) = pour_of(meets.value.0).filter(|_| !own.is_empty()) else { continue };
            let mut found =
                solids.readied.iter().filter(|one| one.face == face.id && one.joint.other == other).peekable();
            let turned = found.peek().is_some();
            if found.any(|one| one.joint.is_cast_against(one.pour, &works.turn)) {
                continue;
            }
            let (headline, help) = if own.contains(&other) {
                (
                    "`{0}` is part of the same pour: there is no joint with it",
                    "name a section that another pour fills, or take `meets` out",
                )
            } else if turned {
                (
                    "`{0}` is cast after what `{1}` is for: its side of the joint is not there yet",
                    "turn it round: `of {0}`, and in `meets` what is there first",
                )
            } else {
                ("`{0}` touches nothing that `{1}` is for", "name the section it is cast against, or take `meets` out")
            };
            problems.push(
                Problem::new(&JOINT_NOWHERE, meets.span, headline)
                    .arg(job.name(meets.value.0))
                    .arg(face.name.as_str())
                    .thing(&face.name)
                    .help(help),
            );
        }
    }
}

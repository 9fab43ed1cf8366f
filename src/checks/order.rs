//! The order of work: circles, work that would be hidden before it is done, things no step handles.

use std::collections::BTreeSet;

use crate::{
    job::{Job, rules::VERB_MISFIT},
    plan::{Circle, Edge, Reason},
    problem::{Problem, Rule, and},
    rule,
    schema::{BlockId, KindId},
    works::Works,
};

rule!(STEPS_CIRCLE, "steps-circle", Error, "steps that wait for each other in a circle");
rule!(COVERED_UNDONE, "covered-undone", Error, "work that would be hidden before it is done or seen");
rule!(STEP_EARLY, "step-early", Warning, "a step before the one that makes room for it");
rule!(NOT_IN_STEPS, "not-in-steps", Warning, "a thing no step handles");
rule!(NO_STEPS, "no-steps", Advice, "a job without steps");
rule!(DONE_TWICE, "done-twice", Warning, "a thing two steps do the same to");
rule!(WAITS_TOO_MANY, "waits-too-many", Error, "more waits between steps than are followed");

pub(super) static RULES: &[&Rule] =
    &[&STEPS_CIRCLE, &COVERED_UNDONE, &STEP_EARLY, &NOT_IN_STEPS, &NO_STEPS, &DONE_TWICE, &WAITS_TOO_MANY];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    let plan = &works.plan;
    // A section that is filled or formed twice makes steps wait for what is not theirs: one slip, one finding.
    let twice = problems.iter().any(|problem| ["formed-twice", "poured-twice"].contains(&problem.rule.name));
    let written =
        |circle: &&Circle| circle.edges.iter().all(|edge| matches!(edge.reason, Reason::After | Reason::Before));
    for circle in plan.circles.iter().filter(|circle| !twice || written(circle)) {
        problems.extend(circle_of(job, circle));
    }
    for undone in &plan.undone {
        let Some(late) = job.at(undone.late) else { continue };
        let things: Vec<&str> = undone.things.iter().take(4).map(|(thing, _)| job.name(*thing)).collect();
        let mut problem = Problem::new(&COVERED_UNDONE, late, "`{0}` comes after `{1}`, which hides {2}")
            .arg(job.name(undone.late))
            .arg(job.name(undone.cover))
            .arg(and(&things))
            .arg(chain(job, &undone.circle))
            .help("let `{0}` come before `{1}`; as written: {3}");
        if let Some(cover) = job.at(undone.cover) {
            problem = problem.here("this comes too late").label(cover, "this hides it");
        }
        problems.push(problem);
    }
    early(job, works, problems);
    handled(job, works, problems);
    for misfit in &plan.misfits {
        problems.push(
            Problem::new(&VERB_MISFIT, misfit.at, "`{0}` cannot be handled with `{1}`")
                .arg(job.name(misfit.thing))
                .arg(misfit.verb)
                .arg(misfit.wanted)
                .help("write `work {2} {0}`: dowels are set in their holes, all other bars are placed and tied"),
        );
    }
    for double in &plan.doubles {
        let (headline, help) = if double.first.0 == double.again.0 {
            ("one step has `work {1} {0}` twice", "keep one of the two")
        } else {
            ("two steps have `work {1} {0}`", "keep it in one of the two steps")
        };
        problems.push(
            Problem::new(&DONE_TWICE, double.again.1, headline)
                .arg(job.name(double.thing))
                .arg(double.verb)
                .thing(job.name(double.thing))
                .here("again here")
                .label(double.first.1, "here first")
                .help(help),
        );
    }
    if let Some(thing) = plan.cut.and_then(|thing| job.at(thing)) {
        problems.push(
            Problem::new(&WAITS_TOO_MANY, thing, "more than {0} waits between steps follow from this job")
                .arg(works.waits)
                .here("the waits of this thing are not followed any more")
                .help("split the job, or let fewer steps handle many things each; the limit is set with `--limit waits=NUMBER`"),
        );
    }
}

/// Steps whose written order leaves concrete without what it stands on, a joint without concrete, or forms in the way.
fn early(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    let mut told: BTreeSet<(BlockId, BlockId)> = BTreeSet::new();
    for edge in &works.plan.early {
        let (Some(late), Some(early)) = (job.at(edge.before), job.at(edge.after)) else { continue };
        // A joint that is made ready before there is any is not told to wait for its bulkhead too.
        let is_face = |thing| job.kind(thing) == Some(KindId::Prepare);
        let bare = |other: &Edge| {
            other.after == edge.after && matches!(other.reason, Reason::Joined { thing, .. } if is_face(thing))
        };
        let echo =
            matches!(edge.reason, Reason::Cleared { thing, .. } if is_face(thing) && works.plan.early.iter().any(bare));
        if echo || !told.insert((edge.before, edge.after)) {
            continue;
        }
        let headline = match edge.reason {
            Reason::Joined { thing, .. } if job.kind(thing) == Some(KindId::Pour) => {
                "`{0}` comes before `{1}`, on whose concrete it stands"
            }
            Reason::Joined { .. } => "`{0}` makes a joint ready before `{1}` brings the concrete for it",
            Reason::Cleared { thing, .. } if job.kind(thing) == Some(KindId::Cure) => {
                "`{0}` fills in the earth before `{1}` takes the forms out"
            }
            _ => "`{0}` comes before `{1}` takes the bulkhead out of its way",
        };
        problems.push(
            Problem::new(&STEP_EARLY, early, headline)
                .arg(job.name(edge.after))
                .arg(job.name(edge.before))
                .thing(job.name(edge.after))
                .here("this comes too early")
                .label(late, "this ought to come first")
                .help("let `{1}` come before `{0}`; where one of the two does several things, make two steps of it"),
        );
    }
}

fn handled(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    let plan = &works.plan;
    if plan.no_steps {
        if !plan.unhandled.is_empty()
            && let Some(head) = job.head.as_ref().filter(|head| !job.broken.contains(&head.id))
        {
            problems.push(
                Problem::new(&NO_STEPS, head.at, "this job has no steps")
                    .thing("job")
                    .help("write them, as in `step drill \"Drill the holes\" { work drill pins }`, and the work order says what comes when"),
            );
        }
        return;
    }
    for unhandled in &plan.unhandled {
        let Some(at) = job.at(unhandled.thing) else { continue };
        let name = job.name(unhandled.thing);
        problems.push(
            Problem::new(&NOT_IN_STEPS, at, "no step has `work {1} {0}`")
                .arg(name)
                .arg(unhandled.verb)
                .thing(name)
                .help("add `work {1} {0}` to the step that does it, or write a step for it"),
        );
    }
}

fn circle_of(job: &Job, circle: &Circle) -> Option<Problem> {
    let first = circle.edges.first()?;
    let alone = circle.edges.len() == 1;
    let headline = if alone { "it waits for itself: {0}" } else { "these wait for each other in a circle: {0}" };
    let mut problem = Problem::new(&STEPS_CIRCLE, first.at, headline)
        .arg(chain(job, circle))
        .here(if alone { "take this out" } else { "here it closes" })
        .help(if alone { "name the step that comes before it" } else { "take one of the waits out" });
    for edge in circle.edges.iter().skip(1).take(3) {
        if edge.at != first.at {
            problem = problem.label(edge.at, "and here");
        }
    }
    Some(problem)
}

/// "drill before peg (dowels stand in drilled holes), peg before drill (written)".
fn chain(job: &Job, circle: &Circle) -> String {
    let mut parts: Vec<String> = circle
        .edges
        .iter()
        .take(6)
        .map(|edge| {
            format!("`{}` before `{}` ({})", job.name(edge.before), job.name(edge.after), reason(job, edge.reason))
        })
        .collect();
    if circle.edges.len() > 6 {
        parts.push(format!("and {} more", circle.edges.len() - 6));
    }
    parts.join(", ")
}

/// Why one thing comes before another.
pub(crate) fn reason(job: &Job, reason: Reason) -> String {
    match reason {
        Reason::After => "`after` is written".to_owned(),
        Reason::Before => "`before` is written".to_owned(),
        Reason::Marked { holes } => format!("`{}` is marked before it is drilled", job.name(holes)),
        Reason::Scanned { place, thing } => {
            format!("`{}` is scanned before `{}` is worked on", job.name(place), job.name(thing))
        }
        Reason::Sawn { cut, strip } => {
            format!("`{}` is sawn before `{}` is broken out", job.name(cut), job.name(strip))
        }
        Reason::Propped { props, thing } => {
            format!("`{}` stands before `{}` is taken away", job.name(props), job.name(thing))
        }
        Reason::Carried { pour, props } => {
            format!("`{}` stays until `{}` is poured", job.name(props), job.name(pour))
        }
        Reason::Drilled { holes, bars } => {
            format!("`{}` is drilled before `{}` is set in it", job.name(holes), job.name(bars))
        }
        Reason::Hardened { pour, thing } => {
            format!("`{}` is poured before `{}` is drilled into it", job.name(pour), job.name(thing))
        }
        Reason::Formed { forms, pour } => {
            format!("the forms `{}` stand before `{}` is poured", job.name(forms), job.name(pour))
        }
        Reason::Stripped { pour, forms } => {
            format!("`{}` is poured before the forms `{}` come off", job.name(pour), job.name(forms))
        }
        Reason::Loaded { pour, act, .. } => {
            let done = if act == crate::curing::Act::Load { "loaded" } else { "filled in against" };
            format!("`{}` hardens before it is {done}", job.name(pour))
        }
        Reason::Cured { pour, cure } => {
            format!("`{}` is poured before `{}` keeps it wet", job.name(pour), job.name(cure))
        }
        Reason::Made { thing } => match job.kind(thing) {
            Some(KindId::Pour) => format!("`{}` is looked at once it is poured", job.name(thing)),
            _ => format!("`{}` is looked at once it is there", job.name(thing)),
        },
        Reason::Bared { strip, thing } => {
            format!("`{}` is broken out before `{}` can be worked on", job.name(strip), job.name(thing))
        }
        Reason::Joined { pour, thing } => match job.kind(thing) {
            Some(KindId::Pour) => format!("`{}` stands on `{}`", job.name(thing), job.name(pour)),
            _ => format!("`{}` is poured before the joint with it is made ready", job.name(pour)),
        },
        Reason::Cleared { forms, thing } => match job.kind(thing) {
            Some(KindId::Cure) => {
                format!("the forms `{}` come off before the earth is filled in", job.name(forms))
            }
            Some(KindId::Pour) => {
                format!(
                    "the bulkhead of the forms `{}` is gone before `{}` is cast against it",
                    job.name(forms),
                    job.name(thing)
                )
            }
            _ => format!("the bulkhead of the forms `{}` covers the joint until it is gone", job.name(forms)),
        },
        Reason::Hides { thing, cover } => format!("`{}` hides `{}`", job.name(cover), job.name(thing)),
    }
}

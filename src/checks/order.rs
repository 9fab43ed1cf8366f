//! The order of work: circles, work that would be hidden before it is done, things no step handles.

use std::collections::BTreeSet;

use crate::{
    job::{Job, rules::VERB_MISFIT},
    plan::{Circle, Early, Edge, Reason},
    problem::{Problem, Rule, and},
    rule,
    schema::{BlockId, KindId},
    source::Span,
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
    let told = |circle: &&Circle| (!twice || written(circle)) && !hangs_on_trouble(circle, works);
    for circle in plan.circles.iter().filter(told) {
        problems.extend(circle_of(job, circle));
    }
    for undone in &plan.undone {
        let Some(late) = job.at(undone.late) else { continue };
        let things: Vec<&str> = undone.things.iter().take(4).map(|(thing, _)| job.name(*thing)).collect();
        let mut problem = Problem::new(&COVERED_UNDONE, late, "`{0}` comes after `{1}`, which hides {2}")
            .arg(job.name(undone.late))
            .arg(job.name(undone.cover))
            .arg(and(&things))
            .arg(chain(job, &undone.circle.edges))
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

/// Steps whose written order leaves concrete, bars or forms without what they stand on, a joint without concrete, or forms in
/// the way: one finding for each clause that does.
fn early(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    let mut told: BTreeSet<(Span, BlockId)> = BTreeSet::new();
    // What one clause alone has come too early says most plainly which.
    let mut all: Vec<&Early> = works.plan.early.iter().collect();
    all.sort_by_key(|early| early.way.iter().filter(|edge| edge.reason.is_written()).count());
    for Early { wait, way } in all {
        let (Some(first), Some(early)) = (job.at(wait.before), job.at(wait.after)) else { continue };
        let written: Vec<&Edge> = way.iter().filter(|edge| edge.reason.is_written()).collect();
        // What one step does in too many ways is told of that step once; and with a clause gone, all ways through it are.
        let clause = written.first().copied();
        let slip = |edge: &Edge| (edge.at, edge.after);
        if written.iter().any(|edge| told.contains(&slip(edge)))
            || !told.insert(clause.map_or((early, wait.after), slip))
        {
            continue;
        }
        let kind = |thing| job.kind(thing);
        let headline = match wait.reason {
            Reason::Joined { thing, .. } if kind(thing) == Some(KindId::Pour) => {
                "`{0}` comes before `{1}`, on whose concrete it stands"
            }
            Reason::Joined { .. } => "`{0}` makes a joint ready before `{1}` brings the concrete for it",
            Reason::Borne { thing, .. } if kind(thing) == Some(KindId::Forms) => {
                "`{0}` builds forms before `{1}` brings the concrete they stand on"
            }
            Reason::Borne { .. } => "`{0}` places bars before `{1}` brings the concrete they stand on",
            Reason::Cleared { thing, .. } if kind(thing) == Some(KindId::Cure) => {
                "`{0}` fills in the earth before `{1}` takes the forms out"
            }
            _ => "`{0}` comes before `{1}` takes the bulkhead out of its way",
        };
        let help = match (written.len(), way.len()) {
            (0, _) => "where one step does several things, make two steps of it; as it is: {2}",
            (1, 1) => "take that out: by itself `{1}` comes before `{0}`",
            _ => "take out what is written the other way round, and `{1}` comes before `{0}` by itself; as it is: {2}",
        };
        let mut problem = Problem::new(&STEP_EARLY, clause.map_or(early, |edge| edge.at), headline)
            .arg(job.name(wait.after))
            .arg(job.name(wait.before))
            .arg(chain(job, way))
            .thing(job.name(wait.after))
            .here(if clause.is_some() { "written here" } else { "this comes too early" })
            .label(first, "this ought to come first");
        if clause.is_some() {
            problem = problem.label(early, "this comes too early");
        }
        problems.push(problem.help(help));
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

/// Whether one of its waits hangs on holes that cannot be where they are written: that is told of, and mended first.
fn hangs_on_trouble(circle: &Circle, works: &Works) -> bool {
    circle.edges.iter().any(|edge| match edge.reason {
        Reason::Hardened { thing, .. } => works.row_troubles.iter().any(|(holes, _)| *holes == thing),
        _ => false,
    })
}

fn circle_of(job: &Job, circle: &Circle) -> Option<Problem> {
    let first = circle.edges.first()?;
    let alone = circle.edges.len() == 1;
    let headline = if alone { "it waits for itself: {0}" } else { "these wait for each other in a circle: {0}" };
    let mut problem = Problem::new(&STEPS_CIRCLE, first.at, headline)
        .arg(chain(job, &circle.edges))
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
fn chain(job: &Job, edges: &[Edge]) -> String {
    let mut parts: Vec<String> = edges
        .iter()
        .take(6)
        .map(|edge| {
            format!("`{}` before `{}` ({})", job.name(edge.before), job.name(edge.after), reason(job, edge.reason))
        })
        .collect();
    if edges.len() > 6 {
        parts.push(format!("and {} more", edges.len() - 6));
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
            format!("`{}` stays until `{}` has hardened", job.name(props), job.name(pour))
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
        Reason::Borne { pour, thing } => match job.kind(thing) {
            Some(KindId::Forms) => {
                format!("`{}` is poured before the forms `{}` stand on it", job.name(pour), job.name(thing))
            }
            _ => format!("`{}` is poured before `{}` stands on it", job.name(pour), job.name(thing)),
        },
        Reason::Reached { thing, cover } => {
            format!("`{}` is reached before `{}` stands in front of it", job.name(thing), job.name(cover))
        }
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

//! `lift-heavy`, `noise-long`, `shake-long`, `dust-dry`, `engine-indoors`, `lead-unasked`, `asbestos-unasked`: what the work
//! does to those who do it, where the file can be changed so that it does less.
//!
//! Lifting index over 3: revised NIOSH lifting equation, seen in a textbook. Noise: 29 CFR 1926.52, Table D-2. Shaking: daily
//! limit value of Directive 2002/44/EC. Dust: 29 CFR 1926.1153 Table 1. Lead and asbestos: 40 CFR 745 and 29 CFR 1926.1101,
//! years from memory. What rests on figures nobody wrote is stated on the order of work and is no finding.

use crate::{
    hazards::{ASBESTOS_BEFORE, AtStep, LEAD_BEFORE, Load, Used, built_before, outdoors},
    job::Job,
    problem::{Problem, Rule},
    rule,
    schema::{Driven, DustKept, KindId, ToolWork, Topic},
    source::Span,
    standards::hazards::{LIMIT, until},
    units::{Acceleration, Duration, show, whole_up},
    works::Works,
};

rule!(LIFT_HEAVY, "lift-heavy", Warning, "a bag or bucket far too heavy for one person");
rule!(NOISE_LONG, "noise-long", Warning, "a step with more noise at the ear than a day may have");
rule!(SHAKE_LONG, "shake-long", Warning, "a step that shakes the hands for longer than a day may");
rule!(DUST_DRY, "dust-dry", Warning, "concrete sawn, broken or drilled dry under a roof");
rule!(ENGINE_INDOORS, "engine-indoors", Warning, "an engine where its fumes stay");
rule!(LEAD_UNASKED, "lead-unasked", Warning, "an old face ground or chipped, and nobody asks about lead");
rule!(ASBESTOS_UNASKED, "asbestos-unasked", Warning, "an old floor cut or broken, and nobody asks about asbestos");

pub(super) static RULES: &[&Rule] =
    &[&LIFT_HEAVY, &NOISE_LONG, &SHAKE_LONG, &DUST_DRY, &ENGINE_INDOORS, &LEAD_UNASKED, &ASBESTOS_UNASKED];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for at in &works.at_steps {
        heavy(job, at, problems);
        loud(job, at, problems);
        shaking(job, at, problems);
        dry(job, at, problems);
        engines(job, at, problems);
    }
    unasked(job, works, problems);
}

fn heavy(job: &Job, at: &AtStep, problems: &mut Vec<Problem>) {
    let system = job.system();
    let hands = job.head.as_ref().is_some_and(|head| head.say.lifts.is_some());
    for lifted in &at.lifted {
        let over = lifted.worked.value.index.is_none_or(|index| index > 3.0);
        let thing = job.name(lifted.thing);
        // A bag is as heavy as it is sold; where nobody said how it is lifted, its index is stated and no more.
        let place = match lifted.load {
            Load::Bag if hands => {
                job.mix(lifted.thing).filter(|mix| !mix.usual).map(|mix| mix.said(KindId::Mix, "bag"))
            }
            Load::Bucket => job.pour(lifted.thing).map(|pour| pour.said(KindId::Pour, "carry")),
            Load::Debris => job.remove(lifted.thing).map(|strip| strip.said(KindId::Remove, "carry")),
            Load::Bag | Load::Bar => None,
        };
        let step = || job.step(at.step).map(|step| step.at);
        let place = place.or_else(|| (lifted.load == Load::Bag && hands).then(step).flatten());
        let Some(place) = place.filter(|_| over) else { continue };
        let weight = show::mass(lifted.weight, system).to_string();
        let most = show::mass_at_most(lifted.worked.value.limit * 3.0, system).to_string();
        let limit = show::mass_at_most(lifted.worked.value.limit, system).to_string();
        let problem = match lifted.worked.value.index {
            Some(index) => {
                let headline = match lifted.load {
                    Load::Bag => "a bag of {0} weighs {1}: lifting index {2} at `{3}`",
                    _ => "a bucket of {0} weighs {1}: lifting index {2} at `{3}`",
                };
                Problem::new(&LIFT_HEAVY, place, headline)
                    .arg(thing)
                    .arg(weight)
                    .arg(show::decimal(index, 2).to_string())
            }
            None => Problem::new(
                &LIFT_HEAVY,
                place,
                "{0}, {1} each, is lifted {2} times at `{3}`: no load so often, or so far out, is right",
            )
            .arg(thing)
            .arg(weight)
            .arg(lifted.times.to_string()),
        };
        let help = match lifted.load {
            Load::Bag => {
                "over 3 is a high risk: so often, {4} is the most, and {5} has an index of 1; take lighter or half bags, put them down higher (`lifts`), or lift in twos and accept this"
            }
            _ => {
                "over 3 is a high risk: so often, {4} with the bucket is the most, and {5} has an index of 1; write less after `carry`, or lift in twos and accept this"
            }
        };
        problems.push(problem.arg(job.name(at.step)).arg(most).arg(limit).thing(thing).help(help));
    }
}

/// The tool, if its figure is written.
fn written(at: &AtStep, place: usize, usual: impl Fn(&Used) -> bool) -> Option<&Used> {
    at.used.get(place).filter(|used| used.tool.is_some() && !usual(used))
}

/// Where a step says how long it takes.
fn takes(job: &Job, at: &AtStep) -> Option<Span> {
    Some(job.step(at.step)?.said(KindId::Step, "takes"))
}

/// Down to whole minutes.
fn minutes(time: Duration) -> String {
    show::time(Duration::from_minutes((time.minutes() + 1e-9).floor())).to_string()
}

fn loud(job: &Job, at: &AtStep, problems: &mut Vec<Problem>) {
    let Some(noise) = &at.noise else { return };
    let (Some(used), Some(lasts), Some(dose)) =
        (written(at, noise.used, |used| used.usual_noise), noise.lasts, &noise.dose)
    else {
        return;
    };
    let (Some(place), Some(tool)) = (takes(job, at), used.tool) else { return };
    let share = dose.value.fraction();
    if share <= 1.0 + 1e-9 {
        return;
    }
    problems.push(
        Problem::new(&NOISE_LONG, place, "`{0}` is {1} at the ear for {2}, and {3} a day is what it may be")
            .arg(job.name(tool))
            .arg(show::sound(noise.level).to_string())
            .arg(minutes(lasts))
            .arg(minutes(noise.permitted))
            .arg(whole_up(share).to_string())
            .thing(job.name(at.step))
            .help("cover the ears and write into the tool what that takes off, as it is worn (`muffs 20 dB`), or do it over {4} days"),
    );
}

fn shaking(job: &Job, at: &AtStep, problems: &mut Vec<Problem>) {
    let Some(shaking) = &at.shaking else { return };
    let (Some(used), Some(held), Some(dose)) =
        (written(at, shaking.used, |used| used.usual_shakes), shaking.held, &shaking.dose)
    else {
        return;
    };
    let (Some(place), Some(tool)) = (takes(job, at), used.tool) else { return };
    let daily = dose.value.daily;
    let Ok(most) = until(shaking.shakes.m_s2(), LIMIT) else { return };
    if daily <= LIMIT + 1e-9 {
        return;
    }
    problems.push(
        Problem::new(&SHAKE_LONG, place, "`{0}` shakes the hands for {1}: {2} over the day, and {3} is the limit")
            .arg(job.name(tool))
            .arg(minutes(held))
            .arg(show::acceleration(Acceleration::from_m_s2(daily)).to_string())
            .arg(show::acceleration(Acceleration::from_m_s2(LIMIT)).to_string())
            .arg(minutes(most))
            .arg(whole_up(held / most).to_string())
            .thing(job.name(at.step))
            .help("{4} a day for each pair of hands: do it over {5} days, take turns, or a tool that shakes less; say for how much of the time it runs (`runs 60%`)"),
    );
}

fn dry(job: &Job, at: &AtStep, problems: &mut Vec<Problem>) {
    if outdoors(job) != Some(false) {
        return;
    }
    for used in at.used.iter().filter(|used| used.dust == Some(DustKept::Dry)) {
        let Some(tool) = used.tool.and_then(|tool| job.tool(tool)) else { continue };
        problems.push(
            Problem::new(&DUST_DRY, tool.said(KindId::Tool, "dust"), "`{0}` runs dry at `{1}`, under a roof")
                .arg(tool.name.as_str())
                .arg(job.name(at.step))
                .thing(&tool.name)
                .help("feed water to it or pull the dust off at it: `dust water` or `dust vacuum`"),
        );
    }
    let Some(step) = job.step(at.step) else { return };
    // A tool that could not be read may be the saw.
    let unread = job.broken.iter().any(|id| matches!(job.kind(*id), None | Some(KindId::Tool)));
    let wet = unread || at.used.iter().any(|used| used.verb == ToolWork::Cut && used.dust.is_some());
    let cuts = step.say.work.0.iter().filter(|work| work.verb == "cut").flat_map(|work| &work.things);
    for cut in cuts.filter(|_| !wet) {
        let name = job.name(cut.value);
        problems.push(
            Problem::new(&DUST_DRY, cut.span, "`{0}` is sawn under a roof, and nothing says with water")
                .arg(name)
                .thing(name)
                .help("write the saw as it is: `tool saw-at-hand { is handheld-saw; for cut; dust water }`"),
        );
    }
}

fn engines(job: &Job, at: &AtStep, problems: &mut Vec<Problem>) {
    if outdoors(job) != Some(false) {
        return;
    }
    for used in at.used.iter().filter(|used| used.power == Some(Driven::Engine)) {
        let Some(tool) = used.tool.and_then(|tool| job.tool(tool)) else { continue };
        problems.push(
            Problem::new(&ENGINE_INDOORS, tool.said(KindId::Tool, "power"), "`{0}` has an engine, and `{1}` is under a roof")
                .arg(tool.name.as_str())
                .arg(job.name(at.step))
                .thing(&tool.name)
                .help("take one with a cord, a battery or air: carbon monoxide kills before it is noticed. An engine that stands in the open, with its hose led in, is accepted with that reason"),
        );
    }
}

fn unasked(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    if job.broken.iter().any(|id| matches!(job.kind(*id), None | Some(KindId::Ask))) {
        return;
    }
    let asked = |topic| job.asks.iter().any(|ask| ask.say.about == Some(topic));
    let built = job.head.as_ref().and_then(|head| head.say.built).map_or(0, |built| built.0);
    let steps = || works.at_steps.iter().filter_map(|at| job.step(at.step)).flat_map(|step| &step.say.work.0);
    let works_on = |verbs: &'static [&'static str]| {
        steps().filter(move |work| verbs.contains(&work.verb)).flat_map(|work| &work.things)
    };
    if built_before(job, LEAD_BEFORE) && !asked(Topic::Lead) {
        // A face that is only washed keeps its paint.
        let rough = |thing| job.prepare(thing).is_none_or(|prepare| prepare.say.roughen.is_some());
        if let Some(thing) = works_on(&["prepare", "patch"]).find(|thing| rough(thing.value)) {
            problems.push(
                Problem::new(&LEAD_UNASKED, thing.span, "`{0}` of {1} is ground or chipped, and nobody asks about lead")
                    .arg(job.name(thing.value))
                    .arg(built.to_string())
                    .thing(job.name(thing.value))
                    .help("write the question, and the answer when there is one: `ask paint \"Is there lead in the old paint?\" { about lead }`"),
            );
        }
    }
    if built_before(job, ASBESTOS_BEFORE)
        && !asked(Topic::Asbestos)
        && let Some(thing) = works_on(&["cut", "remove"]).next()
    {
        problems.push(
            Problem::new(&ASBESTOS_UNASKED, thing.span, "`{0}` of {1} is cut or broken, and nobody asks about asbestos")
                .arg(job.name(thing.value))
                .arg(built.to_string())
                .thing(job.name(thing.value))
                .help("write the question, and the answer when there is one: `ask flooring \"Is there asbestos in the flooring?\" { about asbestos }`"),
        );
    }
}

//! The record and what jobs teach, as JSON.

use std::io::{self, Write};

use schemars::JsonSchema;
use serde::Serialize;

use super::{Measure, SCHEMA_VERSION, Units, VolumeMeasure, rounded, title, write};
use crate::{
    compile::Compiled,
    learning::{Lesson, Subject, lessons},
    outcome::{Size, time_taken, waste_done},
    reports::{learn as taught, record as done, words},
    units::{Date, System},
};

#[derive(Serialize, JsonSchema)]
pub(super) struct RecordFile<'c> {
    schema_version: u32,
    jobs: Vec<JobRecord<'c>>,
}

#[derive(Serialize, JsonSchema)]
struct JobRecord<'c> {
    file: &'c str,
    title: &'c str,
    /// Something is left out because of errors.
    draft: bool,
    first_day: Option<String>,
    last_day: Option<String>,
    steps: Vec<StepDone<'c>>,
    looks: Vec<LookDone<'c>>,
    /// Holes that are not as planned.
    holes: Vec<HoleDone<'c>>,
    bars_left_out: Vec<Counted<'c>>,
    pours: Vec<PourDone<'c>>,
    used: Vec<Counted<'c>>,
    /// Sections as they were measured, beside what was planned.
    sizes: Vec<SizeDone<'c>>,
    /// What nobody has written down yet, and the clause that would say it.
    blank: Vec<Blank>,
}

#[derive(Serialize, JsonSchema)]
struct StepDone<'c> {
    step: &'c str,
    done: Option<String>,
    planned_minutes: Option<f64>,
    took_minutes: Option<f64>,
}

#[derive(Serialize, JsonSchema)]
struct LookDone<'c> {
    look: &'c str,
    day: String,
    by: Option<&'c str>,
    passed: bool,
    said: Option<&'c str>,
}

#[derive(Serialize, JsonSchema)]
struct HoleDone<'c> {
    holes: &'c str,
    number: u64,
    day: String,
    left_empty: bool,
    planned_depth: Measure,
    depth: Measure,
    what: String,
}

#[derive(Serialize, JsonSchema)]
struct Counted<'c> {
    of: &'c str,
    count: u64,
}

#[derive(Serialize, JsonSchema)]
struct PourDone<'c> {
    pour: &'c str,
    day: String,
    planned_bags: u64,
    bags: Option<u64>,
    planned_waste: f64,
    waste: Option<f64>,
    water_per_bag: Option<VolumeMeasure>,
    air_deg_c: Option<f64>,
    concrete_deg_c: Option<f64>,
    minutes: Option<f64>,
}

#[derive(Serialize, JsonSchema)]
struct SizeDone<'c> {
    section: &'c str,
    day: String,
    /// The leg and the station on it; neither where it is alike all along.
    leg: Option<String>,
    station: Option<Measure>,
    /// `thick`, `top`, `bottom` or `leans`, as in the record.
    what: &'static str,
    planned: Measure,
    measured: Measure,
    /// How much more than planned it may be.
    allowed_more: Measure,
    /// How much less.
    allowed_less: Measure,
    within: bool,
    /// The day it was measured again at the same place.
    again: Option<String>,
    said: Option<&'c str>,
}

#[derive(Serialize, JsonSchema)]
struct Blank {
    what: String,
    clause: String,
}

fn day(day: Date) -> String {
    day.to_string()
}

/// Writes the records of jobs (shown name and job).
///
/// # Errors
/// When `out` does.
pub fn record(jobs: &[(&str, &Compiled)], out: &mut dyn Write) -> io::Result<()> {
    let jobs = jobs.iter().map(|(file, compiled)| one(file, compiled)).collect();
    write(&RecordFile { schema_version: SCHEMA_VERSION, jobs }, out)
}

/// What one job adds to the records of many.
///
/// # Errors
/// When it cannot be put into JSON.
pub fn record_part(file: &str, compiled: &Compiled) -> io::Result<Vec<u8>> {
    Ok(serde_json::to_vec_pretty(&one(file, compiled))?)
}

fn one<'c>(file: &'c str, compiled: &'c Compiled) -> JobRecord<'c> {
    let (job, works) = (&compiled.job, &compiled.works);
    let facts = &works.facts;
    let units = Units(job.system());
    let counted = |all: &'c std::collections::BTreeMap<_, crate::facts::Used>| -> Vec<Counted<'c>> {
        all.iter().map(|(id, used)| Counted { of: job.name(*id), count: used.count }).collect()
    };
    let looks = facts.looks.iter().flat_map(|(id, all)| all.iter().map(move |look| (*id, look)));
    let drilled = works.holes_done.drilled.iter().filter_map(|one| Some((works.sets.get(&one.set)?, one)));
    let pours = works.mixings.iter().filter_map(|mixing| Some((mixing, facts.pours.get(&mixing.pour)?)));
    JobRecord {
        file,
        title: title(compiled),
        draft: compiled.has_errors(),
        first_day: facts.days.map(|(first, _)| day(first)),
        last_day: facts.days.map(|(_, last)| day(last)),
        steps: job
            .steps
            .iter()
            .map(|step| StepDone {
                step: &step.name,
                done: facts.done(step.id).map(|on| day(on.day)),
                planned_minutes: done::planned(compiled, step.id).map(|time| rounded(time.minutes(), 3)),
                took_minutes: time_taken(job, facts, step.id).map(|time| rounded(time.minutes(), 3)),
            })
            .collect(),
        looks: looks
            .map(|(id, look)| LookDone {
                look: job.name(id),
                day: day(look.on.day),
                by: look.by.as_deref(),
                passed: look.passed,
                said: look.said.as_deref(),
            })
            .collect(),
        holes: drilled
            .map(|(set, one)| HoleDone {
                holes: job.name(one.set),
                number: one.hole.number,
                day: day(one.fact.on.day),
                left_empty: one.now.is_none(),
                planned_depth: units.length(set.deep),
                depth: units.length(one.deep),
                what: done::what(compiled, set, one),
            })
            .collect(),
        bars_left_out: counted(&facts.left_out),
        pours: pours
            .map(|(mixing, done)| PourDone {
                pour: job.name(mixing.pour),
                day: day(done.on.day),
                planned_bags: mixing.bags,
                bags: done.bags.map(|bags| bags.value),
                planned_waste: rounded(mixing.waste.fraction(), 9),
                waste: done
                    .bags
                    .and_then(|bags| waste_done(mixing, bags.value))
                    .map(|waste| rounded(waste.fraction(), 9)),
                water_per_bag: done.water.map(|water| units.volume(water.value)),
                air_deg_c: done.air.map(|air| rounded(air.value.deg_c(), 3)),
                concrete_deg_c: done.concrete.map(|concrete| rounded(concrete.value.deg_c(), 3)),
                minutes: done.hours.map(|hours| rounded((hours.value.to.0 - hours.value.from.0).minutes(), 3)),
            })
            .collect(),
        used: counted(&facts.used),
        sizes: works.sizes.sizes.iter().map(|size| size_done(compiled, size)).collect(),
        blank: done::blanks(compiled).into_iter().map(|(what, clause)| Blank { what, clause }).collect(),
    }
}

fn size_done<'c>(compiled: &'c Compiled, size: &'c Size) -> SizeDone<'c> {
    let job = &compiled.job;
    let units = Units(job.system());
    let allowed = size.allowed.value;
    SizeDone {
        section: job.name(size.section),
        day: day(size.on.day),
        leg: size.at.map(|(leg, _)| words::leg(job, &compiled.works.standing, leg)),
        station: size.at.map(|(_, station)| units.length(station)),
        what: size.what.clause(),
        planned: units.length(size.planned.value),
        measured: units.length(size.measured.value),
        allowed_more: units.length(allowed.more),
        allowed_less: units.length(allowed.less),
        within: allowed.holds(size.more()),
        again: size.again.map(day),
        said: size.said.as_deref(),
    }
}

#[derive(Serialize, JsonSchema)]
pub(super) struct LessonsFile<'c> {
    schema_version: u32,
    /// The jobs that were learnt from.
    jobs: Vec<&'c str>,
    /// Jobs with errors.
    left_out: Vec<&'c str>,
    lessons: Vec<LessonOut<'c>>,
}

#[derive(Serialize, JsonSchema)]
struct LessonOut<'c> {
    what: String,
    /// What the figures are in: minutes, parts of a whole, or metres.
    unit: &'static str,
    things: u64,
    least: f64,
    median: f64,
    most: f64,
    /// It rests on enough jobs.
    enough: bool,
    clause: Option<String>,
    seen: Vec<SeenOut<'c>>,
}

#[derive(Serialize, JsonSchema)]
struct SeenOut<'c> {
    job: &'c str,
    things: u64,
    value: f64,
}

/// Writes what finished jobs teach (shown name and job).
///
/// # Errors
/// When `out` does.
pub fn learn(jobs: &[(&str, &Compiled)], out: &mut dyn Write) -> io::Result<()> {
    let (fit, unfit): (Vec<_>, Vec<_>) = jobs.iter().copied().partition(|(_, job)| !job.has_errors());
    let system = fit.first().map_or(System::Feet, |(_, job)| job.job.system());
    let all = lessons(&fit.iter().map(|(_, job)| (&job.job, &job.works)).collect::<Vec<_>>());
    let file = LessonsFile {
        schema_version: SCHEMA_VERSION,
        jobs: fit.iter().map(|(name, _)| *name).collect(),
        left_out: unfit.iter().map(|(name, _)| *name).collect(),
        lessons: all.iter().map(|lesson| lesson_out(lesson, &fit, system)).collect(),
    };
    write(&file, out)
}

fn lesson_out<'c>(lesson: &Lesson, jobs: &[(&'c str, &Compiled)], system: System) -> LessonOut<'c> {
    let (unit, of) = match lesson.subject {
        Subject::Drill(_) | Subject::Set(_) | Subject::Place(_) | Subject::Batch(_) => ("min", 60.0),
        Subject::ConcreteWaste | Subject::ResinWaste(_) => ("", 1.0),
        Subject::Blade(_) => ("m", 1e9),
    };
    let value = |rate: crate::learning::Rate| rounded(rate.value() / of, 6);
    let [least, median, most] = lesson.range.map(value);
    LessonOut {
        what: taught::what(&lesson.subject, system),
        unit,
        things: lesson.things,
        least,
        median,
        most,
        enough: lesson.is_enough(),
        clause: taught::clause(lesson, system).filter(|_| lesson.is_enough()),
        seen: lesson
            .seen
            .iter()
            .map(|seen| SeenOut {
                job: jobs.get(seen.job).map_or("", |(name, _)| *name),
                things: seen.things,
                value: value(seen.rate),
            })
            .collect(),
    }
}

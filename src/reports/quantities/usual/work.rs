//! What is taken of hours, looks, tools and loads.

use super::Rows;
use crate::{
    compile::Compiled,
    hazards::{Load, PAIL, USUAL_HANDS, USUAL_RATE, usual_hands, usual_noise, usual_shaking},
    plan::USUAL_LOOK,
    standards::PRACTICE,
    units::show,
};

/// Hours of work, and how long a look takes.
pub(super) fn days(compiled: &Compiled, rows: &mut Rows) {
    let (job, works) = (&compiled.job, &compiled.works);
    if works.days.is_some() {
        if job.hours.is_empty() {
            rows.add("hours".to_owned(), "Monday to Friday from 8:00 to 16:00".to_owned(), PRACTICE);
        }
        for look in job.looks.iter().filter(|look| look.say.takes.is_none()) {
            rows.add(format!("{}: takes", look.name), show::time(USUAL_LOOK).to_string(), PRACTICE);
        }
    }
}

/// What is taken of tools and loads.
pub(super) fn tools_and_loads(compiled: &Compiled, rows: &mut Rows) {
    let (job, works) = (&compiled.job, &compiled.works);
    let system = job.system();
    let memory = "from memory, for this sort of tool and not for yours";
    for used in works.at_steps.iter().flat_map(|at| &at.used) {
        let name = match used.tool {
            Some(tool) => job.name(tool).to_owned(),
            None => {
                let verb = used.verb.word();
                rows.once(format!("{verb}: tool"), used.sort.word().to_owned(), PRACTICE);
                used.sort.word().to_owned()
            }
        };
        if let Some((level, within)) = usual_noise(used.sort).filter(|_| used.usual_noise) {
            rows.once(format!("{name}: noise"), format!("{}, of {within}", show::sound(level)), memory);
        }
        if let Some((shakes, within)) = usual_shaking(used.sort).filter(|_| used.usual_shakes) {
            rows.once(format!("{name}: shakes"), format!("{}, of {within}", show::acceleration(shakes)), memory);
        }
        if used.usual_runs && (used.noise.is_some() || used.shakes.is_some()) {
            rows.once(format!("{name}: runs"), "all of the step's time".to_owned(), "the most there can be");
        }
    }
    let lifted = || works.at_steps.iter().flat_map(|at| &at.lifted);
    let lifts = job.head.as_ref().and_then(|head| head.say.lifts.as_ref());
    let [from, to, out] = usual_hands(system).map(|length| show::exact(length, system).to_string());
    if lifted().next().is_some() && lifts.is_none() {
        rows.once("job: lifts".to_owned(), format!("hands from {from} to {to}"), USUAL_HANDS);
    }
    if lifted().next().is_some() && lifts.is_none_or(|lifts| lifts.out_by.is_none()) {
        rows.once("job: lifts, out by".to_owned(), format!("hands {out} out from the ankles"), USUAL_HANDS);
    }
    if lifted().any(|lifted| lifted.usual_time) {
        let taken = format!("{} bags, trips or bars an hour", show::decimal(USUAL_RATE.value, 0));
        rows.once("steps without a time: lifts".to_owned(), taken, USUAL_RATE.source);
    }
    if lifted().any(|lifted| matches!(lifted.load, Load::Bucket | Load::Debris)) {
        rows.once("bucket: weight".to_owned(), show::mass(PAIL.value, system).to_string(), PAIL.source);
    }
}

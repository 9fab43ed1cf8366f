//! Concrete as it was recorded to go in: too hot, or too cold for the weather of the day.
//!
//! What is cast cannot be mended in the file, so it can be accepted, with the reason. Limits are those of `weather-hot` and
//! `weather-cold`: ACI 305.1 and ACI 306R.

use crate::{
    facts::DonePour,
    job::{Job, Thing},
    problem::{Problem, Rule},
    rule,
    schema::{Cure, Pour},
    standards::weather::{COLD_BELOW, HOTTEST},
    units::{Temperature, show},
    works::Works,
};

rule!(PLACED_HOT, "placed-hot", Warning, "concrete that was recorded too hot as it went in");
rule!(
    PLACED_COLD,
    "placed-cold",
    Warning,
    "concrete that was recorded to go in too cold, or in the cold with nothing to keep it warm"
);

pub(super) static RULES: &[&Rule] = &[&PLACED_HOT, &PLACED_COLD];

/// Two editions of a rule are whole degrees of their own scale.
const SCALES: f64 = 0.3;

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for pour in &job.pours {
        let Some(done) = works.facts.pours.get(&pour.id) else { continue };
        let cure = job.cures.iter().find(|cure| cure.say.of.value.0 == pour.id);
        problems.extend(hot(job, pour, done));
        problems.extend(cold(job, works, pour, cure, done));
    }
}

fn hot(job: &Job, pour: &Thing<Pour>, done: &DonePour) -> Option<Problem> {
    let concrete = done.concrete.filter(|concrete| concrete.value.deg_c() > HOTTEST.deg_c() + SCALES)?;
    Some(
        Problem::new(&PLACED_HOT, concrete.span, "`{0}` went in at {1}, and more than {2} is too hot")
            .arg(pour.name.as_str())
            .arg(degrees(job, concrete.value))
            .arg(degrees(job, HOTTEST))
            .thing(pour.name.as_str())
            .help("keep it wet at once and for longer, look for cracks in the first days, and tell the engineer if one was asked"),
    )
}

fn cold(job: &Job, works: &Works, pour: &Thing<Pour>, cure: Option<&Thing<Cure>>, done: &DonePour) -> Option<Problem> {
    let air = done.air.filter(|air| air.value.deg_c() < COLD_BELOW.deg_c() - SCALES)?;
    let cured = works.cures.iter().find(|cured| cured.pour == pour.id);
    let least = cured.and_then(|cured| cured.cold.as_ref()).map(|cold| cold.as_placed.value);
    let concrete = done.concrete.zip(least).filter(|(said, least)| said.value.deg_c() < least.deg_c() - SCALES);
    if let Some((concrete, least)) = concrete {
        return Some(
            Problem::new(&PLACED_COLD, concrete.span, "`{0}` went in at {1} in air of {2}, and it should at {3} or warmer")
                .arg(pour.name.as_str())
                .arg(degrees(job, concrete.value))
                .arg(degrees(job, air.value))
                .arg(degrees(job, least))
                .thing(pour.name.as_str())
                .help("cover it and warm it at once: what freezes before it is strong enough is lost; have it looked at before anything rests on it"),
        );
    }
    if cure.is_some_and(|cure| cure.say.warm.is_some()) {
        return None;
    }
    let problem = Problem::new(&PLACED_COLD, air.span, "the air was at {1} as `{0}` went in, and nothing keeps it warm")
        .arg(pour.name.as_str())
        .arg(degrees(job, air.value))
        .thing(pour.name.as_str())
        .help("cover it and keep it warm at once, and write so in its cure, as in `warm for 3 days`; have it looked at before anything rests on it");
    Some(match cure {
        Some(cure) => problem.label(cure.at, "this cure does not say `warm`"),
        None => problem,
    })
}

fn degrees(job: &Job, temperature: Temperature) -> String {
    show::temperature(temperature, job.system()).to_string()
}

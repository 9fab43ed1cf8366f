//! Concrete as it was recorded to go in: too hot, too cold for the weather of the day, too wet, or of so many bags that they
//! cannot all be in the form, or too few to fill it.
//!
//! What is cast cannot be mended in the file, so it can be accepted, with the reason. Limits are those of `weather-hot` and
//! `weather-cold`: ACI 305.1 and ACI 306R; of water, those of the mix. How far bags may be off is common practice, no source.

use crate::{
    facts::DonePour,
    job::{Job, Thing},
    problem::{Problem, Rule, count},
    rule,
    schema::{Cure, Pour},
    standards::weather::{COLD_BELOW, HOTTEST},
    units::{Temperature, Volume, show},
    works::Works,
};

rule!(PLACED_HOT, "placed-hot", Warning, "concrete that was recorded too hot as it went in");
rule!(
    PLACED_COLD,
    "placed-cold",
    Warning,
    "concrete that was recorded to go in too cold, or in the cold with nothing to keep it warm"
);

rule!(PLACED_WET, "placed-wet", Warning, "concrete that was recorded with more water than its mix may have");
rule!(BAGS_ODD, "bags-odd", Warning, "a record of far more or far fewer bags than the form holds");

pub(super) static RULES: &[&Rule] = &[&PLACED_HOT, &PLACED_COLD, &PLACED_WET, &BAGS_ODD];

/// Bags may come to so much less than the form holds, beside one bag: they yield more than they say.
const FEWER: f64 = 0.15;

/// And to so much more, beside one bag: what is spilt, left over, or pressed into the ground.
const MORE: f64 = 0.5;

/// Two editions of a rule are whole degrees of their own scale.
const SCALES: f64 = 0.3;

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for pour in &job.pours {
        let Some(done) = works.facts.pours.get(&pour.id) else { continue };
        let cure = job.cures.iter().find(|cure| cure.say.of.value.0 == pour.id);
        problems.extend(hot(job, pour, done));
        problems.extend(cold(job, works, pour, cure, done));
        problems.extend(wet(job, pour, done));
        problems.extend(bags(job, works, pour, done));
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

fn wet(job: &Job, pour: &Thing<Pour>, done: &DonePour) -> Option<Problem> {
    let most = job.mix(pour.say.mix.0)?.say.water?.to.0;
    // Half a percent is a drop.
    let water = done.water.filter(|water| water.value.cubic_metres() > most.cubic_metres() * 1.005)?;
    Some(
        Problem::new(&PLACED_WET, water.span, "`{0}` went in with {1} of water in a bag, and {2} is the most")
            .arg(pour.name.as_str())
            .arg(show::water(water.value, job.system()).to_string())
            .arg(show::water_at_most(most, job.system()).to_string())
            .label(job.at(pour.say.mix.0)?, "this mix says how much it takes")
            .thing(pour.name.as_str())
            .help("it hardens weaker and shrinks more: keep it wet for longer, load it later, tell the engineer if one was asked, and write what was said: `accept placed-wet on {0} because \"…\"`"),
    )
}

fn bags(job: &Job, works: &Works, pour: &Thing<Pour>, done: &DonePour) -> Option<Problem> {
    let mixing = works.mixings.iter().find(|mixing| mixing.pour == pour.id)?;
    let bags = done.bags?;
    let (holds, one) = ((mixing.placed + mixing.patches).cubic_metres(), mixing.yields.cubic_metres());
    let mixed = one * bags.value as f64;
    let (headline, help) = if mixed - one > holds * (1.0 + MORE) {
        (
            "{1} of `{0}` yield {2}, and the form holds {3}",
            "count again; if so many went in, the form gave way, the hole is larger than planned, or the bags yield otherwise: say which, `accept bags-odd on {0} because \"…\"`",
        )
    } else if mixed + one < holds * (1.0 - FEWER) {
        (
            "{1} of `{0}` yield {2}, which does not fill the form: it holds {3}",
            "count again; if the pour was cut short, its end is a joint: leave it rough, keep it wet, ask before more is cast against it, and say so: `accept bags-odd on {0} because \"…\"`",
        )
    } else {
        return None;
    };
    Some(
        Problem::new(&BAGS_ODD, bags.span, headline)
            .arg(pour.name.as_str())
            .arg(count(usize::try_from(bags.value).unwrap_or(usize::MAX), "bag", "bags"))
            .arg(show::volume(Volume::round_cubic_metres(mixed), job.system()).to_string())
            .arg(show::volume(mixing.placed + mixing.patches, job.system()).to_string())
            .thing(pour.name.as_str())
            .help(help),
    )
}

fn degrees(job: &Job, temperature: Temperature) -> String {
    show::temperature(temperature, job.system()).to_string()
}

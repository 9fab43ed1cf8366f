//! `yield-odd`, `water-odd`: a bag that yields much more or less than its weight can make, or takes water that no bag takes.
//!
//! The trade's rule is 0.15 ft3 of concrete from 20 lb of dry mix, as several published yield tables give it: 0.0075 ft3 a
//! pound. A bag that is off by more than a quarter has its figures from another bag. Bags of concrete print some 8 to 12 percent of their weight as water,
//! grouts up to a fifth; common practice, no source.

use crate::{
    job::{Job, Thing},
    problem::{Arg, Problem, Rule},
    rule,
    schema::{KindId, Mix},
    units::{Volume, show},
};

rule!(YIELD_ODD, "yield-odd", Warning, "a bag that yields much more or less than its weight can make");

rule!(WATER_ODD, "water-odd", Warning, "a bag that takes much more or less water than bags take");

pub(super) static RULES: &[&Rule] = &[&YIELD_ODD, &WATER_ODD];

/// Cubic feet of concrete from a pound of dry mix.
const FT3_A_POUND: f64 = 0.15 / 20.0;

/// Parts of a bag's weight that its water weighs.
const WATER: std::ops::RangeInclusive<f64> = 0.04..=0.25;
/// A litre of water weighs so many kilograms.
const KG_A_LITRE: f64 = 1.0;

/// Water of which a bag would become soup, or stay dry.
fn water(job: &Job, mix: &Thing<Mix>) -> Option<Problem> {
    let water = mix.say.water.as_ref()?;
    let bag = mix.say.bag.value.weighs.0;
    let share = |volume: Volume| volume.cubic_metres() * 1000.0 * KG_A_LITRE / bag.kg();
    if WATER.contains(&share(water.from.0)) && WATER.contains(&share(water.to.0)) {
        return None;
    }
    let of = |part: f64| Volume::round_cubic_metres(bag.kg() * part / KG_A_LITRE / 1000.0);
    Some(
        Problem::new(
            &WATER_ODD,
            mix.said(KindId::Mix, "water"),
            "a bag of {0} is said to take {1} to {2} of water; {3} to {4} is usual",
        )
        .arg(Arg::Text(show::mass(bag, job.system()).to_string()))
        .arg(Arg::Text(show::water(water.from.0, job.system()).to_string()))
        .arg(Arg::Text(show::water(water.to.0, job.system()).to_string()))
        .arg(Arg::Text(show::water(of(0.08), job.system()).to_string()))
        .arg(Arg::Text(show::water(of(0.12), job.system()).to_string()))
        .thing(mix.name.as_str())
        .help("read the bag again: the water is for one bag"),
    )
}

pub(super) fn check(job: &Job, problems: &mut Vec<Problem>) {
    problems.extend(job.mixes.iter().filter(|mix| !mix.usual).filter_map(|mix| water(job, mix)));
    for mix in job.mixes.iter().filter(|mix| !mix.usual) {
        let bag = &mix.say.bag.value;
        let usual = bag.weighs.0.lb() * FT3_A_POUND;
        let share = bag.yields.0.cubic_feet() / usual;
        if (0.75..=1.25).contains(&share) {
            continue;
        }
        let usual = Volume::round_cubic_metres(usual * 0.028_316_846_592);
        problems.push(
            Problem::new(&YIELD_ODD, mix.said(KindId::Mix, "bag"), "a bag of {0} is said to yield {1}; {2} is usual")
                .arg(Arg::Text(show::mass(bag.weighs.0, job.system()).to_string()))
                .arg(bag.yields.0)
                .arg(usual)
                .thing(mix.name.as_str())
                .help("read the bag again: weight and yield must be of the same bag"),
        );
    }
}

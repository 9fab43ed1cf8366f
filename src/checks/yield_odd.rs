//! `yield-odd`: a bag that yields much more or less than its weight can make.
//!
//! The trade's rule is 0.15 ft3 of concrete from 20 lb of dry mix, as several published yield tables give it: 0.0075 ft3 a
//! pound. A bag that is off by more than a quarter has its figures from another bag.

use crate::{
    job::Job,
    problem::{Arg, Problem, Rule},
    rule,
    schema::KindId,
    units::{Volume, show},
};

rule!(YIELD_ODD, "yield-odd", Warning, "a bag that yields much more or less than its weight can make");

pub(super) static RULES: &[&Rule] = &[&YIELD_ODD];

/// Cubic feet of concrete from a pound of dry mix.
const FT3_A_POUND: f64 = 0.15 / 20.0;

pub(super) fn check(job: &Job, problems: &mut Vec<Problem>) {
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

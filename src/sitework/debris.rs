//! What is carted off: how much room it takes when it is broken, what it weighs, how often one goes.

use super::Strip;
use crate::{
    job::Job,
    schema::BlockId,
    standards::mending::{BULKING, rubble},
    units::{Density, Mass, Ratio, System, Volume, whole_up},
};

/// The debris of one strip.
#[derive(Debug, Clone, PartialEq)]
pub struct Debris {
    /// The strip.
    pub strip: BlockId,
    /// How much more room it takes.
    pub bulks: Ratio,
    /// Its room when it is broken.
    pub loose: Volume,
    /// Its weight.
    pub weight: Mass,
    /// What is carried at once.
    pub carry: Volume,
    /// How often one goes.
    pub trips: u64,
}

/// What old concrete weighs: 150 lb/ft3; common practice, no source.
#[must_use]
pub fn weighs() -> Density {
    Density::from_pcf(150.0)
}

/// What is carried at once when it is not said: 3 gal, or 11 L; common practice, no source.
#[must_use]
pub fn carried(system: System) -> Volume {
    match system {
        System::Feet => Volume::from_nm3(3 * 231 * 16_387_064_000_000_000_000_000),
        System::Metric => Volume::round_cubic_metres(0.011),
    }
}

/// The debris of all strips.
#[must_use]
pub fn debris(job: &Job, strips: &[Strip]) -> Vec<Debris> {
    let each = strips.iter().filter_map(|strip| {
        let say = &job.remove(strip.id)?.say;
        let bulks = say.bulks.map_or(Ratio::from_fraction(BULKING.value - 1.0), |bulks| bulks.0);
        let loose = rubble(strip.volume, 1.0 + bulks.fraction()).ok()?.value;
        let carry = say.carry.map_or(carried(job.system()), |carry| carry.0);
        Some(Debris {
            strip: strip.id,
            bulks,
            loose,
            weight: weighs() * strip.volume,
            carry,
            trips: whole_up(loose.cubic_metres() / carry.cubic_metres()),
        })
    });
    each.collect()
}

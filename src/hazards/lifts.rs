//! Loads: what is lifted at a step, how often, and the lifting index.
//!
//! The equation is for lifts with both hands. It does not cover carrying, one-handed lifts of a bucket, and two people at one
//! load; what is rolled in a barrow is not lifted at all.

use super::Beside;
use crate::{
    job::{Job, Thing},
    schema::{BlockId, Step},
    sitework::weighs,
    standards::{
        PRACTICE, Worked,
        forms::Setting,
        hazards::{Coupling, Lift, Lifting, Spell, lifting},
    },
    units::{Duration, Length, Mass, System, Volume},
};

/// How many bags, trips or bars an hour, where a step's time is not said: a person with a barrow mixes and places 6 to 10
/// bags.
pub const USUAL_RATE: Setting<f64> = Setting { name: "bags, trips or bars an hour", value: 10.0, source: PRACTICE };

/// What an empty bucket weighs: 2 lb.
pub const PAIL: Setting<Mass> = Setting { name: "an empty bucket", value: Mass::from_lb(2.0), source: PRACTICE };

/// More than this at once is rolled in a barrow: 1 ft3.
pub const ROLLED: Setting<Volume> = Setting {
    name: "more than this is rolled, not lifted",
    value: Volume::from_nm3(Length::FOOT.nm() as i128 * Length::FOOT.nm() as i128 * Length::FOOT.nm() as i128),
    source: PRACTICE,
};

/// Where hands are when nothing is said.
pub const USUAL_HANDS: &str = PRACTICE;

/// Hands when nothing is said: taken up, set down, and away from the ankles.
#[must_use]
pub fn usual_hands(system: System) -> [Length; 3] {
    match system {
        System::Feet => [10, 40, 12].map(|inches| Length::INCH * inches),
        System::Metric => [250, 1000, 300].map(|millimetres| Length::MILLIMETRE * millimetres),
    }
}

/// What is lifted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Load {
    /// A bag of a mix.
    Bag,
    /// A bucket of fresh concrete.
    Bucket,
    /// A bucket of debris.
    Debris,
    /// The heaviest bar.
    Bar,
}

/// A load that is lifted at a step.
#[derive(Debug, Clone, PartialEq)]
pub struct Lifted {
    /// What it is.
    pub load: Load,
    /// The mix, the pour, the strip, the bars.
    pub thing: BlockId,
    /// What it weighs, with its bucket.
    pub weight: Mass,
    /// What it weighs without it.
    pub bare: Mass,
    /// How often it is lifted.
    pub times: u64,
    /// In what time.
    pub over: Duration,
    /// The step's time is not said: it is reckoned by [`USUAL_RATE`].
    pub usual_time: bool,
    /// Limit and index.
    pub worked: Worked<Lifting>,
}

/// What is lifted at a step; the same load of two works is one.
pub(super) fn lifted(job: &Job, beside: &Beside, step: &Thing<Step>, time: Option<Duration>) -> Vec<Lifted> {
    let mut loads: Vec<(Load, BlockId, Mass, u64)> = Vec::new();
    let mut add = |load: Load, thing: BlockId, weight: Mass, times: u64| match loads
        .iter_mut()
        .find(|one| (one.0, one.1) == (load, thing))
    {
        Some(one) => one.3 = one.3.saturating_add(times),
        None => loads.push((load, thing, weight, times)),
    };
    let mut bags = 0_u64;
    let mut bars: Option<(BlockId, Mass, u64)> = None;
    let mut seen: Vec<(&str, BlockId)> = Vec::new();
    for work in &step.say.work.0 {
        for thing in &work.things {
            if seen.contains(&(work.verb, thing.value)) {
                continue;
            }
            seen.push((work.verb, thing.value));
            match work.verb {
                "pour" => {
                    let Some(mixing) = beside.mixings.get(&thing.value) else { continue };
                    let Some(mix) = job.mix(mixing.mix) else { continue };
                    bags = bags.saturating_add(mixing.bags);
                    add(Load::Bag, mix.id, mix.say.bag.value.weighs.0, mixing.bags);
                    if let (Some(weight), Some(trips), Some(carry)) = (mixing.carry_weight, mixing.trips, mixing.carry)
                        && carry <= ROLLED.value
                    {
                        add(Load::Bucket, mixing.pour, weight, trips);
                    }
                }
                "remove" => {
                    let Some(debris) = beside.debris.get(&thing.value) else { continue };
                    if debris.carry <= ROLLED.value {
                        let solid = debris.carry.cubic_metres() / (1.0 + debris.bulks.fraction());
                        let weight = weighs() * Volume::round_cubic_metres(solid);
                        add(Load::Debris, debris.strip, weight, debris.trips);
                    }
                }
                "place" => {
                    let Some(made) = beside.bars.get(&thing.value) else { continue };
                    let longest = made.groups.iter().map(|group| group.shape.cut).max();
                    let Some(weight) = longest.map(|longest| made.steel.weight(longest)) else { continue };
                    let (heaviest, most, count) = bars.unwrap_or((made.id, weight, 0));
                    let (heaviest, most) = if weight > most { (made.id, weight) } else { (heaviest, most) };
                    bars = Some((heaviest, most, count.saturating_add(made.count)));
                }
                _ => {}
            }
        }
    }
    // Of all bars the heaviest is told, as if each were as heavy.
    loads.extend(bars.map(|(thing, weight, count)| (Load::Bar, thing, weight, count)));
    let each = loads.into_iter().filter_map(|(load, thing, bare, times)| {
        // A bucket is lifted as often as it is filled, in the time the bags take.
        let counted = if load == Load::Bucket { bags } else { times };
        let over = time.unwrap_or(Duration::from_hours(counted as f64 / USUAL_RATE.value));
        let weight = match load {
            Load::Bucket | Load::Debris => bare + PAIL.value,
            Load::Bag | Load::Bar => bare,
        };
        let worked = lifting(&lift(job, weight, times, over)).ok()?;
        Some(Lifted { load, thing, weight, bare, times, over, usual_time: time.is_none(), worked })
    });
    each.collect()
}

fn lift(job: &Job, load: Mass, times: u64, over: Duration) -> Lift {
    let system = job.system();
    let [from, to, reach] = usual_hands(system);
    let said = job.head.as_ref().and_then(|head| head.say.lifts.as_ref());
    let spell = match over.hours() {
        hours if hours <= 1.0 => Spell::Hour,
        hours if hours <= 2.0 => Spell::TwoHours,
        _ => Spell::Day,
    };
    Lift {
        system,
        load,
        reach: said.and_then(|lifts| lifts.out_by).map_or(reach, |out| out.0),
        from: said.map_or(from, |lifts| lifts.hands.from.0),
        to: said.map_or(to, |lifts| lifts.hands.to.0),
        twist: 0.0,
        a_minute: times as f64 / over.minutes(),
        spell,
        coupling: Coupling::Fair,
    }
}

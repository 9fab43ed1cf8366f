//! Batches: what goes into each, where it goes, and when.

use super::{
    Plan, Refusal, Spot,
    scheme::{BATCHES_AT_MOST, Break},
};
use crate::units::Volume;

/// What of a batch goes to one place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Portion {
    /// Where.
    pub spot: Spot,
    /// How much, waste included.
    pub volume: Volume,
    /// When the first of it is placed, in seconds.
    pub from: u64,
    /// When the last of it is placed, in seconds.
    pub to: u64,
}

/// A batch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Batch {
    /// Its number, from 1.
    pub number: u64,
    /// How much is mixed.
    pub volume: Volume,
    /// When it is begun, in seconds: from here on its water works.
    pub begun: u64,
    /// When it is mixed, in seconds.
    pub mixed: u64,
    /// When carrying begins, in seconds.
    pub placed_from: u64,
    /// When all of it is placed and rodded, in seconds.
    pub placed_to: u64,
    /// Where it goes, in order.
    pub portions: Vec<Portion>,
    /// Loads carried.
    pub loads: u64,
}

impl Batch {
    /// How long its last concrete has been wet when it is placed, in seconds.
    #[must_use]
    pub const fn age_when_placed(&self) -> u64 {
        self.placed_to.saturating_sub(self.begun)
    }
}

/// What is to be mixed together: volumes by spot, and how long is waited before it.
struct Filling {
    volume: Volume,
    parts: Vec<(Spot, Volume)>,
    hold: u64,
}

/// All batches of a plan that was looked over.
pub(super) fn all(plan: &Plan, gross: &[Vec<Volume>]) -> Result<Vec<Batch>, Refusal> {
    let mut breaks: Vec<Break> = plan.breaks.clone();
    breaks.sort_by_key(|rest| (rest.due, rest.lasts));
    let mut breaks = breaks.into_iter().peekable();
    let alone = plan.crew.people == 1;
    let mut batches: Vec<Batch> = Vec::new();
    for (filling, number) in fillings(plan, gross)?.into_iter().zip(1..) {
        // Nothing before the first batch.
        let (mut begun, free) = batches
            .last()
            .map_or((0, 0), |last| (if alone { last.placed_to } else { last.placed_from }, last.placed_to));
        while let Some(rest) = breaks.next_if(|rest| rest.due <= begun) {
            begun = begun.max(free).saturating_add(rest.lasts);
        }
        // What waits is waited for unmixed.
        let after_hold = if filling.hold == 0 { 0 } else { free.saturating_add(filling.hold) };
        begun = begun.max(after_hold.saturating_sub(plan.mixing));
        let mixed = begun.saturating_add(plan.mixing);
        let placed_from = mixed.max(free).max(after_hold);
        batches.push(place(plan, &filling, number, begun, placed_from));
    }
    Ok(batches)
}

/// Cuts the places into batches: full ones, save the last and those before a wait.
fn fillings(plan: &Plan, gross: &[Vec<Volume>]) -> Result<Vec<Filling>, Refusal> {
    let mut out: Vec<Filling> = Vec::new();
    let mut room = Volume::ZERO;
    for (lift, (layer, volumes)) in plan.lifts.iter().zip(gross).enumerate() {
        // The lowest lift has nothing to wait for.
        let hold = if out.is_empty() { 0 } else { layer.hold };
        let mut waits = hold > 0 && !volumes.is_empty();
        for (place, volume) in volumes.iter().enumerate() {
            let spot = Spot { lift, place };
            let mut left = *volume;
            let needs = left.nm3() / plan.batch.nm3();
            if needs > i128::from(BATCHES_AT_MOST) {
                return Err(Refusal::TooManyBatches(BATCHES_AT_MOST));
            }
            while left > Volume::ZERO {
                if waits || room == Volume::ZERO {
                    let hold = if waits { hold } else { 0 };
                    out.push(Filling { volume: Volume::ZERO, parts: Vec::new(), hold });
                    room = plan.batch;
                    waits = false;
                }
                if out.len() as u64 > BATCHES_AT_MOST {
                    return Err(Refusal::TooManyBatches(BATCHES_AT_MOST));
                }
                let here = left.min(room);
                if let Some(filling) = out.last_mut() {
                    filling.volume += here;
                    filling.parts.push((spot, here));
                }
                left = left - here;
                room = room - here;
            }
        }
    }
    Ok(out)
}

/// Carries and rods one batch.
fn place(plan: &Plan, filling: &Filling, number: u64, begun: u64, placed_from: u64) -> Batch {
    let carriers = u64::from(plan.crew.people.saturating_sub(1).max(1));
    let mut at = placed_from;
    let mut all_loads = 0_u64;
    let mut portions = Vec::with_capacity(filling.parts.len());
    for (spot, volume) in &filling.parts {
        let trip = plan.lifts.get(spot.lift).and_then(|lift| lift.places.get(spot.place)).map_or(0, |place| place.trip);
        // A load goes to one place.
        let loads = up(volume.nm3(), plan.crew.carry.nm3());
        let carrying = loads.div_ceil(carriers).saturating_mul(trip);
        let rodding = up(volume.nm3().saturating_mul(i128::from(plan.rodding)), plan.batch.nm3()).div_ceil(carriers);
        let to = at.saturating_add(carrying).saturating_add(rodding);
        portions.push(Portion { spot: *spot, volume: *volume, from: at, to });
        all_loads = all_loads.saturating_add(loads);
        at = to;
    }
    Batch {
        number,
        volume: filling.volume,
        begun,
        mixed: begun.saturating_add(plan.mixing),
        placed_from,
        placed_to: at,
        portions,
        loads: all_loads,
    }
}

/// A quotient of two numbers above nothing, rounded up.
fn up(number: i128, by: i128) -> u64 {
    let (number, by) = (number.unsigned_abs(), by.unsigned_abs().max(1));
    u64::try_from(number.div_ceil(by)).unwrap_or(u64::MAX)
}

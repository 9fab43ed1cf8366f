//! What a pour is made of, and whether it can be carried out.

use crate::units::{Duration, Length, Ratio, Speed, Volume};

/// A place of a lift: which lift, and which of its places, both from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Spot {
    /// The lift, from the bottom.
    pub lift: usize,
    /// The place in it, in the order of placing.
    pub place: usize,
}

/// Where concrete is placed in one go.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// Its volume in the solid.
    pub volume: Volume,
    /// From the mixer there, tipped out and back again: seconds for one load.
    pub trip: u64,
    /// What it comes on or against: places that are placed before it.
    pub on: Vec<Spot>,
    /// Places with an open top that its weight pushes up, as a step below it does.
    pub pushes_up: Vec<Spot>,
}

/// A layer of the whole pour.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lift {
    /// Its height.
    pub height: Length,
    /// How long is waited before it is begun, in seconds; then no batch is shared with the lift below.
    pub hold: u64,
    /// Its places, in the order of placing.
    pub places: Vec<Place>,
}

/// Who does it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Crew {
    /// How many people.
    pub people: u32,
    /// What one carries at a time.
    pub carry: Volume,
}

/// A rest that is due at a time. It is taken when what is mixed is placed, before the next batch is begun.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Break {
    /// When it is due, in seconds from the start.
    pub due: u64,
    /// How long it is, in seconds.
    pub lasts: u64,
}

/// A pour as it is meant.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Its lifts, the lowest first.
    pub lifts: Vec<Lift>,
    /// The concrete of one full batch.
    pub batch: Volume,
    /// From opening the bags to mixed, for one batch, in seconds.
    pub mixing: u64,
    /// Rodding and spading one full batch, in seconds; less for a smaller one.
    pub rodding: u64,
    /// What is mixed beside the solid, as a part of it; to the nearest millionth.
    pub waste: Ratio,
    /// Who does it.
    pub crew: Crew,
    /// Rests, in any order.
    pub breaks: Vec<Break>,
}

/// Why a pour cannot be carried out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refusal {
    /// Nothing is poured.
    NothingToPour,
    /// A place has no volume.
    NoVolume(Spot),
    /// A place comes on one that is not placed before it.
    NotBefore(Spot, Spot),
    /// A batch has no volume.
    NoBatch,
    /// Nobody is there.
    NoCrew,
    /// Nothing is carried at a time.
    NoCarry,
    /// Waste is less than nothing, or more than the solid.
    Waste,
    /// More batches than are looked at.
    TooManyBatches(u64),
    /// Volumes or times larger than can be reckoned.
    TooLarge,
}

/// The most batches that are looked at.
pub(super) const BATCHES_AT_MOST: u64 = 100_000;

/// The longest any of the times may be: a year.
const LONGEST: u64 = 366 * 86_400;

/// 5000 m3: a volume that can still be multiplied by a million, and by the seconds of a year.
const LARGEST: Volume = Volume::from_nm3(5 * 10_i128.pow(30));

impl Plan {
    pub(super) fn look_over(&self) -> Result<(), Refusal> {
        if self.lifts.iter().all(|lift| lift.places.is_empty()) {
            return Err(Refusal::NothingToPour);
        }
        if self.batch <= Volume::ZERO {
            return Err(Refusal::NoBatch);
        }
        if self.crew.people == 0 {
            return Err(Refusal::NoCrew);
        }
        if self.crew.carry <= Volume::ZERO {
            return Err(Refusal::NoCarry);
        }
        if !(0.0..=1.0).contains(&self.waste.fraction()) {
            return Err(Refusal::Waste);
        }
        let mut longest = self.mixing.max(self.rodding);
        for Break { due, lasts } in &self.breaks {
            longest = longest.max(*due).max(*lasts);
        }
        let mut whole = Volume::ZERO;
        for (lift, layer) in self.lifts.iter().enumerate() {
            longest = longest.max(layer.hold);
            for (place, here) in layer.places.iter().enumerate() {
                let spot = Spot { lift, place };
                if here.volume <= Volume::ZERO {
                    return Err(Refusal::NoVolume(spot));
                }
                for under in here.on.iter().chain(&here.pushes_up) {
                    let is_there = self.lifts.get(under.lift).is_some_and(|lift| under.place < lift.places.len());
                    if *under >= spot || !is_there {
                        return Err(Refusal::NotBefore(spot, *under));
                    }
                }
                longest = longest.max(here.trip);
                whole += here.volume;
            }
        }
        if longest > LONGEST || whole > LARGEST || self.batch > LARGEST {
            return Err(Refusal::TooLarge);
        }
        Ok(())
    }

    /// What is mixed for every place: its volume and its part of the waste, each to the cubic nanometre.
    pub(super) fn gross(&self) -> Result<Vec<Vec<Volume>>, Refusal> {
        let millionths = (self.waste.fraction() * 1e6).round() as i128;
        let of = |place: &Place| {
            let waste = place.volume.nm3().checked_mul(millionths).ok_or(Refusal::TooLarge)? / 1_000_000;
            Ok(place.volume + Volume::from_nm3(waste))
        };
        self.lifts.iter().map(|lift| lift.places.iter().map(of).collect()).collect()
    }
}

/// A time in whole seconds, the next one up; nothing for what is no time.
#[must_use]
pub fn whole_seconds(time: Duration) -> u64 {
    // A hair's breadth for figures that come from another unit.
    (time.seconds() - 1e-6).ceil().clamp(0.0, 1e15) as u64
}

/// One load there and back, in whole seconds: twice the way at a walking speed, and the time to fill and tip it. None for no
/// speed.
#[must_use]
pub fn round_trip(way: Length, speed: Speed, tipping: Duration) -> Option<u64> {
    let walk = 2.0 * way.metres().max(0.0) / speed.m_s();
    (speed.m_s() > 0.0).then(|| whole_seconds(Duration::from_seconds(walk) + tipping))
}

//! A pour batch by batch: when each is mixed and placed, and how long every place lies until fresh concrete comes on it.
//!
//! The room knows volumes and times only. Volumes are whole cubic nanometres and nothing of them is lost: what the batches
//! hold is the solid and its waste to the last one. Times are whole seconds from the moment the first batch is begun.
//!
//! A lift is placed over the whole pour before the next one is begun, place after place in the order given. Alone, one
//! mixes, carries and places a batch and then begins the next. From two people on one mixes, the others carry and place; a
//! mixed batch waits for them in the mixer, and the mixer is free again when they begin with it.

mod batches;
mod scheme;
mod waits;

#[cfg(test)]
mod tests;

pub use batches::{Batch, Portion};
pub use scheme::{Break, Crew, Lift, Place, Plan, Refusal, Spot, round_trip, whole_seconds};
pub use waits::{Front, Laid, LiftTimes, Wait};

use crate::units::{Speed, Volume};

/// A pour as it goes.
#[derive(Debug, Clone, PartialEq)]
pub struct Pour {
    /// Every batch, in order.
    pub batches: Vec<Batch>,
    /// Every place, lift by lift in the order of the plan.
    pub laid: Vec<Vec<Laid>>,
    /// Every lift.
    pub lifts: Vec<LiftTimes>,
    /// When the last concrete is placed, in seconds.
    pub lasts: u64,
    /// The longest any face lies until fresh concrete comes on it or against it; the first of equals.
    pub longest: Option<Wait>,
    /// The longest the end of a batch lies within its layer until the next is laid against it; the first of equals.
    pub longest_front: Option<Front>,
    /// The shortest time between an open top and concrete that pushes it up; the first of equals.
    pub shortest_above_open: Option<Wait>,
    /// Volume of the solid.
    pub solid: Volume,
    /// What is mixed beside it.
    pub waste: Volume,
}

impl Pour {
    /// Everything that is mixed: solid and waste.
    #[must_use]
    pub fn mixed(&self) -> Volume {
        self.solid + self.waste
    }

    /// The fastest rise of any lift; none without a lift that has a height and takes time.
    #[must_use]
    pub fn fastest_rise(&self) -> Option<Speed> {
        self.lifts.iter().filter_map(LiftTimes::rise).reduce(Speed::max)
    }

    /// The longest any concrete has been wet when it is placed, in seconds.
    #[must_use]
    pub fn oldest_when_placed(&self) -> u64 {
        self.batches.iter().map(Batch::age_when_placed).max().unwrap_or(0)
    }

    /// How long a place lies, at most, until it is covered; none for a place nothing comes on, and outside of the plan.
    #[must_use]
    pub fn lies(&self, spot: Spot) -> Option<u64> {
        self.laid.get(spot.lift)?.get(spot.place)?.longest
    }
}

impl Plan {
    /// Goes through the pour.
    ///
    /// # Errors
    ///
    /// [`Refusal`] where the plan cannot be carried out.
    pub fn pour(&self) -> Result<Pour, Refusal> {
        self.look_over()?;
        let gross = self.gross()?;
        let batches = batches::all(self, &gross)?;
        let laid = waits::laid(self, &batches);
        let lifts = waits::lifts(self, &laid);
        let lasts = batches.last().map_or(0, |batch| batch.placed_to);
        let (longest, shortest_above_open) = waits::extremes(self, &laid);
        let longest_front = waits::longest_front(&batches);
        let solid = self.lifts.iter().flat_map(|lift| &lift.places).map(|place| place.volume).sum();
        let mixed: Volume = gross.iter().flatten().copied().sum();
        let waste = mixed - solid;
        Ok(Pour { batches, laid, lifts, lasts, longest, longest_front, shortest_above_open, solid, waste })
    }
}

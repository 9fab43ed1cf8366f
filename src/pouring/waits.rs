//! When every place is filled, and how long it lies.

use super::{Batch, Plan, Spot};
use crate::units::{Duration, Length, Speed};

/// A place as it is filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Laid {
    /// When its first concrete is placed, in seconds.
    pub from: u64,
    /// When its last is placed, in seconds.
    pub to: u64,
    /// When fresh concrete first comes on it or against it; none for a place nothing comes on.
    pub covered: Option<u64>,
    /// The longest any part of it lies until what first comes on it covers that part, in seconds: what was placed first is
    /// covered first.
    pub longest: Option<u64>,
}

/// A lift as it is placed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LiftTimes {
    /// Its height.
    pub height: Length,
    /// When it is begun, in seconds.
    pub from: u64,
    /// When it is done, in seconds.
    pub to: u64,
}

impl LiftTimes {
    /// How fast it rises; none for a lift without height or time.
    #[must_use]
    pub fn rise(&self) -> Option<Speed> {
        let seconds = self.to.saturating_sub(self.from);
        let some = seconds > 0 && self.height > Length::ZERO;
        some.then(|| self.height / Duration::from_seconds(seconds as f64))
    }
}

/// A wait of one place for another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wait {
    /// What lies and waits.
    pub lying: Spot,
    /// What comes on it, or above it.
    pub comes: Spot,
    /// How long, in seconds.
    pub lasts: u64,
}

/// The end of what a batch brought to a place, which the next goes on from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Front {
    /// Where.
    pub spot: Spot,
    /// The batch that lies and waits.
    pub batch: u64,
    /// When the last of it is placed there, in seconds.
    pub placed: u64,
    /// When the first of the next is laid against it, in seconds.
    pub comes: u64,
}

impl Front {
    /// How long it lies open, in seconds.
    #[must_use]
    pub fn lasts(&self) -> u64 {
        self.comes.saturating_sub(self.placed)
    }
}

/// Every place with its times.
pub(super) fn laid(plan: &Plan, batches: &[Batch]) -> Vec<Vec<Laid>> {
    let none = Laid { from: 0, to: 0, covered: None, longest: None };
    let mut out: Vec<Vec<Laid>> = plan.lifts.iter().map(|lift| vec![none; lift.places.len()]).collect();
    let mut begun: Vec<Vec<bool>> = plan.lifts.iter().map(|lift| vec![false; lift.places.len()]).collect();
    for portion in batches.iter().flat_map(|batch| &batch.portions) {
        let Spot { lift, place } = portion.spot;
        let (Some(laid), Some(begun)) = (at_mut(&mut out, lift, place), at_mut(&mut begun, lift, place)) else {
            continue;
        };
        if !*begun {
            (*begun, laid.from) = (true, portion.from);
        }
        laid.to = portion.to;
    }
    for (comes, lying) in pairs(plan, |place| &place.on) {
        let Some(over) = at(&out, comes) else { continue };
        let Some(under) = at_mut(&mut out, lying.lift, lying.place) else { continue };
        // Places are gone through in the order of placing: the first that comes covers it, others come on other parts.
        under.covered = Some(under.covered.map_or(over.from, |covered| covered.min(over.from)));
        let wait = lies(under, &over);
        under.longest = Some(under.longest.map_or(wait, |longest| longest.max(wait)));
    }
    out
}

/// Every lift with its times.
pub(super) fn lifts(plan: &Plan, laid: &[Vec<Laid>]) -> Vec<LiftTimes> {
    plan.lifts
        .iter()
        .zip(laid)
        .map(|(lift, places)| LiftTimes {
            height: lift.height,
            from: places.iter().map(|place| place.from).min().unwrap_or(0),
            to: places.iter().map(|place| place.to).max().unwrap_or(0),
        })
        .collect()
}

/// The longest wait of any face, and the shortest above an open top.
pub(super) fn extremes(plan: &Plan, laid: &[Vec<Laid>]) -> (Option<Wait>, Option<Wait>) {
    let mut longest: Option<Wait> = None;
    for (comes, lying) in pairs(plan, |place| &place.on) {
        let (Some(over), Some(under)) = (at(laid, comes), at(laid, lying)) else { continue };
        let lasts = lies(&under, &over);
        if longest.is_none_or(|longest| lasts > longest.lasts) {
            longest = Some(Wait { lying, comes, lasts });
        }
    }
    let mut shortest: Option<Wait> = None;
    for (comes, lying) in pairs(plan, |place| &place.pushes_up) {
        let (Some(over), Some(under)) = (at(laid, comes), at(laid, lying)) else { continue };
        let lasts = over.from.saturating_sub(under.to);
        if shortest.is_none_or(|shortest| lasts < shortest.lasts) {
            shortest = Some(Wait { lying, comes, lasts });
        }
    }
    (longest, shortest)
}

/// The longest that the end of what one batch brought to a place lies until more is laid against it there; the first of equals. Its
/// time is from the last of the one to the first of the other.
pub(super) fn longest_front(batches: &[Batch]) -> Option<Front> {
    let mut longest: Option<Front> = None;
    let portions =
        || batches.iter().flat_map(|batch| batch.portions.iter().map(move |portion| (batch.number, portion)));
    for ((batch, lying), (_, comes)) in portions().zip(portions().skip(1)) {
        if lying.spot != comes.spot {
            continue;
        }
        let front = Front { spot: lying.spot, batch, placed: lying.to, comes: comes.from };
        if longest.is_none_or(|longest| front.lasts() > longest.lasts()) {
            longest = Some(front);
        }
    }
    longest
}

/// How long a place lies until another is over it: its first part until the first comes, its last until the last does.
fn lies(under: &Laid, over: &Laid) -> u64 {
    over.from.saturating_sub(under.from).max(over.to.saturating_sub(under.to))
}

/// What comes and what it comes on, in the order of placing.
fn pairs<'p>(
    plan: &'p Plan,
    under: impl Fn(&'p super::Place) -> &'p Vec<Spot> + 'p,
) -> impl Iterator<Item = (Spot, Spot)> + 'p {
    plan.lifts
        .iter()
        .enumerate()
        .flat_map(|(lift, layer)| layer.places.iter().enumerate().map(move |at| (lift, at)))
        .flat_map(move |(lift, (place, here))| under(here).iter().map(move |lying| (Spot { lift, place }, *lying)))
}

fn at(laid: &[Vec<Laid>], spot: Spot) -> Option<Laid> {
    laid.get(spot.lift)?.get(spot.place).copied()
}

fn at_mut<T>(rows: &mut [Vec<T>], lift: usize, place: usize) -> Option<&mut T> {
    rows.get_mut(lift)?.get_mut(place)
}

//! A form seen from its end: how far out of the concrete its boards and braces reach. What is checked and what is drawn of it are this
//! one reckoning.

use super::{Hold, design::USUAL_ANGLE, waler_size};
use crate::{
    job::Job,
    schema::{BlockId, Forms},
    units::{Angle, Length},
};

/// How thick a stake is as it is drawn, and as it wants its place: 40 mm; common practice, no source.
pub const STAKE_THICK: Length = Length::from_nm(40_000_000);

/// How far out of the concrete the boards of a form reach, as they are bought.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Profile {
    /// To the back of the studs.
    pub studs: Length,
    /// To the back of the walers, where braces begin.
    pub walers: Length,
    /// To the back of the kicker; to the back of the studs where there is none.
    pub kicker: Length,
    /// How thick a brace is.
    pub brace: Length,
}

impl Profile {
    /// Of a block of forms.
    #[must_use]
    pub fn of(job: &Job, forms: &Forms) -> Profile {
        let board = |size: BlockId| {
            let size = job.lumber_of(size).and_then(|lumber| lumber.say.size.as_ref());
            size.map_or((Length::ZERO, Length::ZERO), |size| (size.thick.0, size.wide.0))
        };
        let studs = sheath_size(job, forms.sheath.value.0) + board(forms.studs.value.size.0).1;
        let kick = forms.kick.as_ref().map_or(Length::ZERO, |kick| board(kick.value.size.0).0);
        let brace = forms.brace.as_ref().map_or(Length::ZERO, |brace| board(brace.value.size.0).0);
        Profile { studs, walers: studs + board(waler_size(forms)).1, kicker: studs + kick, brace }
    }

    /// From where to where out of the concrete lies what the foot of a brace is fixed with, its cleat included, where the brace rises
    /// so far.
    #[must_use]
    pub fn foot(&self, forms: &Forms, rises: Length) -> (Length, Length) {
        let lean = Lean::new(rises.nm() as f64, self.brace.nm() as f64, angle(forms));
        (self.walers + Length::round_nm(lean.lower), self.walers + Length::round_nm(lean.cleat))
    }

    /// From where to where out of the concrete the cleat behind such a foot lies.
    pub(super) fn cleat(&self, forms: &Forms, rises: Length) -> (Length, Length) {
        let lean = Lean::new(rises.nm() as f64, self.brace.nm() as f64, angle(forms));
        (self.walers + Length::round_nm(lean.upper), self.walers + Length::round_nm(lean.cleat))
    }
}

/// How thick a sheet or a board of the sheathing is, as it is bought.
pub(super) fn sheath_size(job: &Job, size: BlockId) -> Length {
    let Some(say) = job.lumber_of(size).map(|lumber| &lumber.say) else { return Length::ZERO };
    let board = say.size.as_ref().map(|size| size.thick.0);
    board.or(say.sheet.as_ref().map(|sheet| sheet.thick.0)).unwrap_or_default()
}

/// How steep the braces of a form are.
#[must_use]
pub(super) fn angle(forms: &Forms) -> Angle {
    forms.brace.as_ref().and_then(|brace| brace.value.angle).map_or(USUAL_ANGLE, |angle| angle.value.0)
}

/// How much a brace rises for each length it reaches out.
pub(super) fn steep(angle: Angle) -> f64 {
    angle.radians().tan().abs().max(0.05)
}

/// A brace, sawn plumb at the form and level at its foot, with the cleat behind it: how far off the form it meets what it stands on,
/// in the unit of what it is made from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lean {
    /// How far its edges are above and below its middle line.
    pub half: f64,
    /// Its middle line.
    pub run: f64,
    /// Its upper edge.
    pub upper: f64,
    /// Its lower edge.
    pub lower: f64,
    /// The far side of the cleat.
    pub cleat: f64,
}

impl Lean {
    /// Of a brace that rises so far, so thick and so steep.
    #[must_use]
    pub fn new(rises: f64, thick: f64, angle: Angle) -> Lean {
        let steep = steep(angle);
        let (run, half) = (rises / steep, thick / 2.0 * (1.0 + steep * steep).sqrt());
        let upper = run + half / steep;
        Lean { half, run, upper, lower: (run - half / steep).max(0.0), cleat: upper + 2.0 * thick }
    }
}

/// The boards of the walers at a level, each from where to where, by their thickness: one in the middle, or two with room for ties.
#[must_use]
pub fn waler_boards(say: &Forms, level: f64, thick: f64) -> Vec<(f64, f64)> {
    if say.walers.as_ref().is_some_and(|walers| walers.value.double.is_some()) {
        vec![(level + thick * 0.4, level + thick * 1.4), (level - thick * 1.4, level - thick * 0.4)]
    } else {
        vec![(level - thick * 0.5, level + thick * 0.5)]
    }
}

/// From where to where the boards lie along the studs at a level that is held so, measured from that level.
pub(super) fn band(job: &Job, forms: &Forms, hold: Hold) -> (Length, Length) {
    let size = |size: BlockId| job.lumber_of(size).and_then(|lumber| lumber.say.size.as_ref());
    if hold == Hold::Kick {
        let kick = forms.kick.as_ref().and_then(|kick| size(kick.value.size.0));
        return (Length::ZERO, kick.map_or(Length::ZERO, |size| size.wide.0));
    }
    let thick = size(waler_size(forms)).map_or(Length::ZERO, |size| size.thick.0);
    let boards = waler_boards(forms, 0.0, thick.nm() as f64);
    let low = boards.iter().map(|(low, _)| *low).fold(0.0, f64::min);
    let high = boards.iter().map(|(_, high)| *high).fold(0.0, f64::max);
    (Length::round_nm(low), Length::round_nm(high))
}

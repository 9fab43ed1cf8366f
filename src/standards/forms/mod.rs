//! What a form is made of and whether it holds: sheathing, studs, walers, ties, braces, stakes and nails, by allowable
//! stresses.
//!
//! The load is the pressure of [`super::pressure`]; statics are exact, strengths are data that is passed in. Where a
//! strength is from memory or a habit of the trade it is offered as a [`Setting`] that says so, and never used unasked.
//! Panels carry stresses that already hold for forms: no factor of duration or moisture comes on top of them.

mod beam;
mod braces;
mod members;
mod nails;
mod panels;
mod spans;
mod ties;
mod timber;

#[cfg(test)]
mod tests;

pub use beam::{Coefficients, Inertia, Rectangle, Spans};
pub use braces::{
    Brace, BraceForces, LEAST_ALONG_THE_TOP, LEAST_WIND, STAKE, Strut, StrutForces, column, held, least_at,
    least_top_load, one_sided, strut,
};
pub use members::{Framing, Member, Stiffness, beam, bearing, sheathing};
pub use nails::{Nail, NailFactors, Nailed, USUAL_NAILS, lateral, nails_needed, withdrawal};
pub use panels::{Grain, PANEL_STRESSES, PANELS, Panel, PanelGrade, PanelRow, PanelStress, panel};
pub use spans::{at_bending, at_cap, at_part_of_span, at_rolling_shear, at_shear};
pub use ties::{TIE_FACTOR, WIRES, Wire, tie_load, working_load};
pub use timber::{
    Adjusted, BOARD, BeamStress, Factors, LoadDuration, MODULES, S4S, SPECIES, Species, Timber, module_below,
    studs_along,
};

use super::{Part, Unanswered, Worked, pressure::some_number, some_length, some_stress};
use crate::{ledger::Figure, units::Length};

/// A value to take where nobody says another, and how sure it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting<T> {
    /// What it is for.
    pub name: &'static str,
    /// The value.
    pub value: T,
    /// Where it comes from: "from memory" and "common practice, no source" are no evidence.
    pub source: &'static str,
}

/// How a member may fail.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Limit {
    /// It breaks by bending.
    Bending,
    /// It splits along its grain.
    Shear,
    /// The plies of a panel roll on each other.
    RollingShear,
    /// It sags by more than a part of its span.
    Sag,
    /// It sags by more than so much.
    SagCap,
    /// It is crushed where it bears.
    Bearing,
    /// A strut buckles or is crushed.
    Compression,
    /// What holds it gives way: tie, anchor, kicker, stake, nail.
    Hold,
}

/// One member looked at for one way to fail.
#[derive(Debug, Clone, PartialEq)]
pub struct Checked {
    /// Which way.
    pub limit: Limit,
    /// What comes on it.
    pub load: Figure,
    /// What it can take.
    pub capacity: Figure,
    /// Load over capacity: it holds up to 1.
    pub ratio: f64,
    /// The widest spacing of what supports it that would just do, with all else as it is; none where no spacing does.
    pub widest: Option<Length>,
    /// How the load is made, in signs.
    pub formula: &'static str,
    /// Where the formula comes from, and how sure that is.
    pub source: &'static str,
    /// What went in.
    pub parts: Vec<Part>,
}

impl Checked {
    /// Whether it holds.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.ratio <= 1.0
    }

    /// How wide a strip of form it could carry, given how wide the strip is that it carries: every ratio grows in step with
    /// the width. A hair less, so that the width given back holds.
    #[must_use]
    pub fn widest_strip(&self, carried: Length) -> Option<Length> {
        let most = carried.nm() as f64 / self.ratio * (1.0 - 1e-12);
        (self.ratio > 0.0).then(|| Length::from_nm((most.floor() as i64).min(Length::LIMIT.nm())))
    }
}

/// The check that is nearest to failing; the first of equals.
#[must_use]
pub fn weakest(checks: &[Checked]) -> Option<&Checked> {
    checks.iter().reduce(|worst, check| if check.ratio > worst.ratio { check } else { worst })
}

/// The longest length at which a ratio that grows with it is 1 at most, to the nanometre.
fn widest(ratio: impl Fn(Length) -> f64) -> Option<Length> {
    let (mut holds, mut fails) = (0_i64, Length::LIMIT.nm());
    if ratio(Length::LIMIT) <= 1.0 {
        return Some(Length::LIMIT);
    }
    while fails - holds > 1 {
        let middle = holds + (fails - holds) / 2;
        if ratio(Length::from_nm(middle)) <= 1.0 {
            holds = middle;
        } else {
            fails = middle;
        }
    }
    (holds > 0).then_some(Length::from_nm(holds))
}

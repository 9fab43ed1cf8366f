//! How fresh concrete presses on a form: ACI 347R-14, CIRIA Report 108, and the thrust that comes of it.
//!
//! Temperatures are those of the concrete as it is placed, never of the air. Every answer lies between nothing and the
//! full head of the concrete, as if it were a liquid; a low pour is a liquid.

mod aci;
mod ciria;
mod thrust;

#[cfg(test)]
mod tests;

pub use aci::{Chemistry, HEAVIEST_ORDINARY, Pour, aci, aci_column, chemistry_factor, weight_factor};
pub use ciria::{CIRIA_COLUMN, CiriaPour, ciria};
pub use thrust::{Thrust, lean_uplift, shares, thrust};

use super::{Part, Unanswered, Worked, mils, mm, some_length};
use crate::units::{Area, Density, Duration, Length, Speed, Stress, Temperature, Volume};

/// Standard gravity in metres per second squared: NIST Special Publication 811 (2008), Appendix B.
pub const GRAVITY: f64 = 9.806_65;

/// The weight form loads are usually reckoned with, 150 lb/ft3 (2400 kg/m3): common practice, no source. Bags yield by
/// what they weigh, which is a little less: the two densities are kept apart.
pub const USUAL_DENSITY: Density = Density::from_pcf(150.0);

/// What is in the form, as the two rules tell it apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Element {
    /// A wall.
    Wall,
    /// A column or pier.
    Column,
}

/// How the concrete is compacted and how it comes into the form.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Placing {
    /// From above, rodded by hand or vibrated no deeper than 4 ft (1.2 m).
    #[default]
    Shallow,
    /// Vibrated deeper, or vibrated again later.
    Deep,
    /// Vibrated from outside the form.
    Outside,
    /// Pumped in from below.
    FromBelow,
}

/// What decided the pressure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Decided {
    /// The formula of the rate of rise.
    Rate,
    /// The least pressure of the rule.
    Least,
    /// The full head, as of a liquid.
    FullHead,
}

/// Pressure over the height of a form: that of a liquid down to `full_head_to` below the top, `peak` from there on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Envelope {
    /// What the concrete weighs.
    pub density: Density,
    /// From the top of the fresh concrete to the foot of the form.
    pub height: Length,
    /// How high the form is: less, where a lid closes it and concrete stands higher beside it.
    pub form: Length,
    /// The greatest pressure.
    pub peak: Stress,
    /// What decided it.
    pub decided: Decided,
}

impl Envelope {
    /// The pressure of a liquid: `density * g * height` at the foot.
    #[must_use]
    pub fn liquid(density: Density, height: Length) -> Envelope {
        Envelope { density, height, form: height, peak: head(density, height), decided: Decided::FullHead }
    }

    /// The same on a form no higher than this.
    #[must_use]
    pub fn on_form(self, high: Length) -> Envelope {
        Envelope { form: self.form.min(high), ..self }
    }

    /// How far down from the top it grows like that of a liquid; never below the foot.
    #[must_use]
    pub fn full_head_to(&self) -> Length {
        let per_metre = head(self.density, Length::METRE);
        if per_metre > Stress::ZERO {
            Length::round_nm(self.peak / per_metre * 1e9).min(self.height)
        } else {
            self.height
        }
    }

    /// The pressure so far below the top; nothing above it.
    #[must_use]
    pub fn at(&self, depth: Length) -> Stress {
        head(self.density, depth.max(Length::ZERO)).min(self.peak)
    }
}

/// The pressure of a liquid at a depth.
#[must_use]
pub fn head(density: Density, depth: Length) -> Stress {
    Stress::from_pa(density.kg_m3() * GRAVITY * depth.metres())
}

/// How fast the concrete rises in the form: what is placed in a time, over the plan area that is raised together.
///
/// # Errors
///
/// [`Unanswered`] for no volume, area or time.
pub fn rate_of_rise(placed: Volume, time: Duration, plan: Area) -> Result<Worked<Speed>, Unanswered> {
    if placed <= Volume::ZERO {
        return Err(Unanswered::Nothing("placed"));
    }
    if plan <= Area::ZERO {
        return Err(Unanswered::Nothing("plan"));
    }
    let seconds = some_number("time", time.seconds())?;
    Ok(Worked {
        value: Speed::from_m_s(placed.cubic_metres() / plan.square_metres() / seconds),
        formula: "placed / plan / time",
        source: "",
        parts: vec![
            Part::volume("placed", placed, "concrete placed in the time"),
            Part::area("plan", plan, "plan area raised together"),
            Part::duration("time", time, "time it takes"),
        ],
    })
}

/// Metres an hour.
pub(super) fn metres_an_hour(rate: Speed) -> f64 {
    rate.m_s() * 3600.0
}

/// Feet an hour.
pub(super) fn feet_an_hour(rate: Speed) -> f64 {
    metres_an_hour(rate) / Length::FOOT.metres()
}

/// The number, if it is more than nothing and finite.
pub(in crate::standards) fn some_number(symbol: &'static str, number: f64) -> Result<f64, Unanswered> {
    if number > 0.0 && number.is_finite() { Ok(number) } else { Err(Unanswered::Nothing(symbol)) }
}

fn some_density(density: Density) -> Result<Density, Unanswered> {
    some_number("w", density.kg_m3()).map(|_| density)
}

fn some_rate(rate: Speed) -> Result<Speed, Unanswered> {
    if rate.m_s() >= 0.0 && rate.m_s().is_finite() { Ok(rate) } else { Err(Unanswered::Nothing("R")) }
}

fn some_temperature(temperature: Temperature) -> Result<Temperature, Unanswered> {
    if temperature.deg_c().is_finite() { Ok(temperature) } else { Err(Unanswered::Nothing("T")) }
}

/// A liquid, and why.
fn full_head(density: Density, height: Length, source: &'static str, why: &'static str) -> Worked<Envelope> {
    Worked {
        value: Envelope::liquid(density, height),
        formula: "w * h",
        source,
        parts: vec![Part::density("w", density, "weight of the fresh concrete"), Part::length("h", height, why)],
    }
}

//! Pressure by CIRIA Report 108 (1985), in SI: the formula and the values of its coefficients were seen in secondary
//! sources, the wording of the groups of binders is from memory.

use super::{
    Chemistry, Decided, Element, Envelope, GRAVITY, Part, Unanswered, Worked, full_head, head, metres_an_hour, mm,
    some_density, some_length, some_rate, some_temperature,
};
use crate::units::{Density, Length, Speed, Stress, Temperature};

/// A pour against one form, as CIRIA 108 asks for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CiriaPour {
    /// A wall, or a column: both sides in plan no more than 2 m.
    pub element: Element,
    /// What the fresh concrete weighs; 25 kN/m3 is usual.
    pub density: Density,
    /// Height of the form.
    pub form: Length,
    /// Height of the pour, no more than that of the form.
    pub height: Length,
    /// How fast it rises.
    pub rate: Speed,
    /// The concrete's temperature as it is placed.
    pub temperature: Temperature,
    /// The binder.
    pub chemistry: Chemistry,
}

/// Both sides of a column in plan are no longer: 2 m.
pub const CIRIA_COLUMN: Length = mm(2000);

const SOURCE: &str = "CIRIA Report 108, seen in secondary sources";

/// The pressure on a form. Concrete warmer than 30 degrees Celsius counts as 30, colder than 5 presses with its full head:
/// the coefficients are for the range between, and so colder never means less.
///
/// # Errors
///
/// [`Unanswered`] for no weight or height, for a form lower than the pour, and for a rate or temperature that is none.
pub fn ciria(pour: &CiriaPour) -> Result<Worked<Envelope>, Unanswered> {
    let density = some_density(pour.density)?;
    let h = some_length("h", pour.height)?;
    let form = some_length("H", pour.form)?;
    let rate = metres_an_hour(some_rate(pour.rate)?);
    let temperature = some_temperature(pour.temperature)?.deg_c();
    if form < h {
        return Err(Unanswered::Outside("H", "the form is as high as the pour at least"));
    }
    let liquid = |why| Ok(full_head(density, h, SOURCE, why));
    if temperature < 5.0 - 1e-9 {
        return liquid("height of the pour; colder than 5 degC");
    }
    let warmth = temperature.min(30.0);
    let (c1, of_shape) = match pour.element {
        Element::Wall => (1.0, "a wall: a side in plan over 2 m"),
        Element::Column => (1.5, "a column: both sides in plan up to 2 m"),
    };
    let (c2, of_binder) = coefficient(pour.chemistry);
    let k = (36.0 / (warmth + 16.0)).powi(2);
    let left = form.metres() - c1 * rate.sqrt();
    if left < 0.0 {
        return liquid("height of the pour; C1 * R^0.5 is more than the form is high");
    }
    let weight = density.kg_m3() * GRAVITY;
    let peak = Stress::from_pa(weight * (c1 * rate.sqrt() + c2 * k * left.sqrt()));
    if head(density, h) <= peak {
        return liquid("height of the pour");
    }
    Ok(Worked {
        value: Envelope { density, height: h, form: h, peak, decided: Decided::Rate },
        formula: "D * (C1 * R^0.5 + C2 * K * Hx^0.5), kN/m2",
        source: SOURCE,
        parts: vec![
            Part::number("D", weight / 1000.0, "weight of the fresh concrete, kN/m3"),
            Part::number("C1", c1, of_shape),
            Part::number("R", rate, "rate of rise, m an hour"),
            Part::number("C2", c2, of_binder),
            Part::number("K", k, "(36 / (T + 16))^2, T the concrete's temperature in degC, not above 30"),
            Part::number("Hx", left, "height of the form less C1 * R^0.5, m"),
        ],
    })
}

const fn coefficient(chemistry: Chemistry) -> (f64, &'static str) {
    match chemistry {
        Chemistry::Ordinary => (0.30, "ordinary cement, no retarder"),
        Chemistry::OrdinaryRetarded => (0.45, "ordinary cement with a retarder"),
        Chemistry::Blend => (0.45, "blends below 70% slag or 40% fly ash"),
        Chemistry::BlendRetarded => (0.60, "blends below 70% slag or 40% fly ash, with a retarder"),
        Chemistry::RichBlend => (0.60, "blends above 70% slag or 40% fly ash"),
        Chemistry::RichBlendRetarded => (0.60, "blends above 70% slag or 40% fly ash, with a retarder"),
    }
}

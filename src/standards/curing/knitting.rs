//! How long fresh concrete still knits with fresh.

use super::{Part, Setting, Unanswered, Worked, mm, some_number};
use crate::units::{Duration, Length, Temperature};

/// A model of how long a layer may lie: engineering judgement, no standard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Knitting {
    /// How long at the reference temperature.
    pub reference: Duration,
    /// The reference temperature.
    pub at: Temperature,
    /// How it hangs on temperature, in kelvins.
    pub q: f64,
    /// Never longer than this.
    pub most: Duration,
}

/// An hour at 21 degrees Celsius for layers rodded by hand, never more than 90 minutes: common practice, no source.
pub const USUAL_KNITTING: Setting<Knitting> = Setting {
    name: "time a layer still knits",
    value: Knitting {
        reference: Duration::from_minutes(60.0),
        at: Temperature::from_deg_c(21.0),
        q: 5000.0,
        most: Duration::from_minutes(90.0),
    },
    source: "common practice, no source; engineering judgement",
};

/// How long after water meets cement a load may be placed: 90 minutes, ASTM C94 in its long-standing form (seen in a
/// secondary source).
pub const DISCHARGE_LIMIT: Setting<Duration> = Setting {
    name: "time from water to placing",
    value: Duration::from_minutes(90.0),
    source: "ASTM C94, long-standing clause, seen in a secondary source",
};

/// How far fresh concrete may fall: 5 ft, from guide specifications (seen).
pub const GREATEST_DROP: Setting<Length> = Setting {
    name: "free fall",
    value: Length::from_nm(5 * Length::FOOT.nm()),
    source: "Unified Facilities Guide Specifications, seen",
};

/// How thick a layer rodded by hand is: 8 in, between 6 and 12.
pub const HAND_LAYER: Setting<Length> = Setting {
    name: "layer rodded by hand",
    value: Length::from_nm(8 * Length::INCH.nm()),
    source: "ACI 309R, from memory, and common practice",
};

/// How thick a layer vibrated from inside is at most: 20 in (500 mm).
pub const VIBRATED_LAYER: Setting<Length> =
    Setting { name: "vibrated layer", value: mm(500), source: "ACI 309R, from memory" };

/// How long a layer may lie before fresh concrete comes on it: `reference * exp(q * (1 / T - 1 / Tr))` in kelvins, and never
/// more than the cap.
///
/// # Errors
///
/// [`Unanswered`] for times, a `q` or temperatures that are none.
pub fn still_knits(model: &Knitting, temperature: Temperature) -> Result<Worked<Duration>, Unanswered> {
    const KELVIN: f64 = 273.15;
    some_number("reference", model.reference.seconds())?;
    some_number("most", model.most.seconds())?;
    let q = some_number("q", model.q)?;
    let t = some_number("T", temperature.deg_c() + KELVIN)?;
    let tr = some_number("Tr", model.at.deg_c() + KELVIN)?;
    let free = model.reference * (q * (1.0 / t - 1.0 / tr)).exp();
    Ok(Worked {
        value: free.min(model.most),
        formula: if free > model.most { "most" } else { "reference * exp(q * (1 / T - 1 / Tr)), in kelvins" },
        source: "engineering judgement, common practice, no source",
        parts: if free > model.most {
            vec![Part::duration("most", model.most, "never longer; it would be, at this temperature")]
        } else {
            vec![
                Part::duration("reference", model.reference, "at the reference temperature"),
                Part::number("q", q, "how it hangs on temperature, kelvins"),
                Part::temperature("T", temperature, "temperature of the concrete"),
                Part::temperature("Tr", model.at, "reference temperature"),
            ]
        },
    })
}

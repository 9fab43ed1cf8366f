//! Pressure by ACI 347R-14.
//!
//! Nobody here had the guide at hand: the US equations were seen in a course notebook, the limits of 7 and 15 ft an hour,
//! 14 ft of height and 7 in of slump in a trade journal's note on the edition of 2004, the first SI equation in a
//! secondary source; the second SI equation, the least pressures, the factors of weight and chemistry and the range of
//! temperatures are from memory, though published worked examples agree with them.

use super::{
    Decided, Element, Envelope, Part, Placing, Unanswered, Worked, feet_an_hour, full_head, head, metres_an_hour, mils,
    mm, some_density, some_length, some_rate, some_temperature,
};
use crate::{
    standards::edition,
    units::{Density, Length, Speed, Stress, System, Temperature},
};

/// The binder, as the factor of chemistry tells it apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Chemistry {
    /// Cement of Type I, II or III, no retarder.
    Ordinary,
    /// The same with a retarder: any admixture that delays setting, water reducers that retard included.
    OrdinaryRetarded,
    /// Other types, or blends with less than 70% slag or 40% fly ash, no retarder.
    Blend,
    /// Those with a retarder.
    BlendRetarded,
    /// Blends with more slag or fly ash, no retarder.
    RichBlend,
    /// Those with a retarder.
    RichBlendRetarded,
}

/// A pour against one form.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pour {
    /// Whose constants: psf, feet and degrees Fahrenheit, or kPa, metres and degrees Celsius.
    pub system: System,
    /// A wall or a column.
    pub element: Element,
    /// What the fresh concrete weighs.
    pub density: Density,
    /// From the top of the fresh concrete to the foot of the form: all that is placed before the first of it is hard.
    pub height: Length,
    /// How fast it rises.
    pub rate: Speed,
    /// The concrete's temperature as it is placed.
    pub temperature: Temperature,
    /// The binder.
    pub chemistry: Chemistry,
    /// Its slump.
    pub slump: Length,
    /// How it is placed and compacted.
    pub placing: Placing,
}

/// The heaviest concrete that needs no factor: 150 lb/ft3 (2400 kg/m3), from memory.
pub const HEAVIEST_ORDINARY: Density = Density::from_pcf(150.0);

/// The factor of weight, from memory: 1 from 140 to 150 lb/ft3 (2240 to 2400 kg/m3), less for lighter, more for heavier
/// concrete.
#[must_use]
pub fn weight_factor(density: Density, system: System) -> Part {
    let (weight, light, heavy, unit) = match system {
        System::Feet => (density.pcf(), 140.0, HEAVIEST_ORDINARY.pcf(), 145.0),
        System::Metric => (density.kg_m3(), 2240.0, 2400.0, 2320.0),
    };
    // A hair's breadth for figures that come from another unit.
    if weight < light * (1.0 - 1e-9) {
        Part::number("Cw", (0.5 * (1.0 + weight / unit)).max(0.8), "concrete lighter than ordinary, not under 0.8")
    } else if weight <= heavy * (1.0 + 2e-3) {
        // 150 lb/ft3 are 2403 kg/m3: both are the same ordinary concrete.
        Part::number("Cw", 1.0, "ordinary weight")
    } else {
        Part::number("Cw", weight / unit, "concrete heavier than ordinary")
    }
}

/// The factor of chemistry, from memory; 1.0 for Types I to III without retarder was seen in a course notebook.
#[must_use]
pub const fn chemistry_factor(chemistry: Chemistry) -> Part {
    let (factor, why) = match chemistry {
        Chemistry::Ordinary => (1.0, "cement of Type I, II or III, no retarder"),
        Chemistry::OrdinaryRetarded => (1.2, "cement of Type I, II or III with a retarder"),
        Chemistry::Blend => (1.2, "other types, or blends below 70% slag or 40% fly ash"),
        Chemistry::BlendRetarded => (1.4, "other types, or blends below 70% slag or 40% fly ash, with a retarder"),
        Chemistry::RichBlend => (1.4, "blends above 70% slag or 40% fly ash"),
        Chemistry::RichBlendRetarded => (1.5, "blends above 70% slag or 40% fly ash, with a retarder"),
    };
    Part::number("Cc", factor, why)
}

/// No side of a column in plan is longer: 6.5 ft (2 m), ACI 347R-14, from memory.
#[must_use]
pub const fn aci_column(system: System) -> Length {
    match system {
        System::Feet => Length::from_nm(78 * Length::INCH.nm()),
        System::Metric => mm(2000),
    }
}

const SOURCE: &str = "ACI 347R-14, walls; equation seen in a course notebook, factors and least pressure from memory";
const SOURCE_SI: &str = "ACI 347R-14, SI; first equation seen in a secondary source, the rest from memory";
const COLUMN: &str = "ACI 347R-14, columns: the first equation of walls at any height and rate, from memory";
const LIQUID: &str = "ACI 347R-14, full liquid head, seen in a course notebook";

/// The pressure on a form.
///
/// Concrete warmer than 90 degrees Fahrenheit (32 degrees Celsius) counts as 90, colder than 40 (5) presses with its full
/// head: the equations are for the range between, and so colder never means less.
///
/// # Errors
///
/// [`Unanswered`] for no weight or height, and for a rate, slump or temperature that is none.
pub fn aci(pour: &Pour) -> Result<Worked<Envelope>, Unanswered> {
    let density = some_density(pour.density)?;
    let h = some_length("h", pour.height)?;
    let rate = some_rate(pour.rate)?;
    let temperature = some_temperature(pour.temperature)?;
    if pour.slump < Length::ZERO {
        return Err(Unanswered::Nothing("slump"));
    }
    let source = match pour.system {
        _ if pour.element == Element::Column => COLUMN,
        System::Feet => SOURCE,
        System::Metric => SOURCE_SI,
    };
    let liquid = |why| Ok(full_head(density, h, LIQUID, why));
    if pour.slump > edition(pour.system, mils(7000), mm(175)) {
        return liquid("height of fresh concrete; slump above 7 in (175 mm)");
    }
    match pour.placing {
        Placing::Shallow => {}
        Placing::Deep => return liquid("height of fresh concrete; vibrated deeper than 4 ft, or again later"),
        Placing::Outside => return liquid("height of fresh concrete; vibrated from outside"),
        Placing::FromBelow => return liquid("height of fresh concrete; pumped in from below"),
    }
    let numbers = Numbers::of(pour.system, rate, temperature);
    if numbers.rate > numbers.fastest {
        return liquid("height of fresh concrete; rises faster than 15 ft (4.5 m) an hour");
    }
    if temperature.deg_f() < COLDEST.deg_f() - 1e-9 {
        return liquid("height of fresh concrete; colder than 40 degF (5 degC)");
    }
    let (cw, cc) = (weight_factor(density, pour.system), chemistry_factor(pour.chemistry));
    let whole = head(density, h);
    let high = h > edition(pour.system, Length::FOOT * 14, mm(4200));
    // A column keeps the first equation however high it is and however fast it is filled: from 7 ft an hour on it gives more.
    let slow = pour.element == Element::Column || numbers.rate < numbers.slow && !high;
    let pressure = if slow { numbers.first() } else { numbers.second() };
    let by_rate = of_pressure(pour.system, number(cw) * number(cc) * pressure);
    let least = of_pressure(pour.system, number(cw) * numbers.least);
    if whole <= by_rate.max(least) {
        let why = if whole <= least { "height; a low pour is a liquid" } else { "height of fresh concrete" };
        return liquid(why);
    }
    let worked = |peak, decided, formula, parts| {
        Ok(Worked { value: Envelope { density, height: h, form: h, peak, decided }, formula, source, parts })
    };
    if least >= by_rate {
        let why = "least pressure of the rule where the full head is more, from memory";
        return worked(
            least,
            Decided::Least,
            "Cw * least",
            vec![cw, Part::stress("least", of_pressure(pour.system, numbers.least), why)],
        );
    }
    let formula = match (slow, pour.system) {
        (true, System::Feet) => "Cw * Cc * (150 + 9000 * R / T), lb/ft2",
        (false, System::Feet) => "Cw * Cc * (150 + (43400 + 2800 * R) / T), lb/ft2",
        (true, System::Metric) => "Cw * Cc * (7.2 + 785 * R / (T + 17.8)), kPa",
        (false, System::Metric) => "Cw * Cc * (7.2 + (1156 + 244 * R) / (T + 17.8)), kPa",
    };
    let (of_rate, of_warmth) = match pour.system {
        System::Feet => ("rate of rise, ft an hour", "temperature of the concrete, degF, not above 90"),
        System::Metric => ("rate of rise, m an hour", "temperature of the concrete, degC, not above 32"),
    };
    worked(
        by_rate,
        Decided::Rate,
        formula,
        vec![cw, cc, Part::number("R", numbers.rate, of_rate), Part::number("T", numbers.warmth, of_warmth)],
    )
}

/// The range the equations are for, from memory.
const COLDEST: Temperature = Temperature::from_deg_f(40.0);
const WARMEST: Temperature = Temperature::from_deg_f(90.0);

/// The bare numbers of one edition.
struct Numbers {
    system: System,
    rate: f64,
    warmth: f64,
    slow: f64,
    fastest: f64,
    least: f64,
}

impl Numbers {
    fn of(system: System, rate: Speed, temperature: Temperature) -> Numbers {
        let warm = temperature.min(WARMEST);
        match system {
            System::Feet => Numbers {
                system,
                rate: feet_an_hour(rate),
                warmth: warm.deg_f(),
                slow: 7.0,
                fastest: 15.0 * (1.0 + 1e-12),
                least: 600.0,
            },
            System::Metric => Numbers {
                system,
                rate: metres_an_hour(rate),
                warmth: warm.deg_c(),
                slow: 2.1,
                fastest: 4.5 * (1.0 + 1e-12),
                least: 30.0,
            },
        }
    }

    fn first(&self) -> f64 {
        match self.system {
            System::Feet => 150.0 + 9000.0 * self.rate / self.warmth,
            System::Metric => 7.2 + 785.0 * self.rate / (self.warmth + 17.8),
        }
    }

    fn second(&self) -> f64 {
        match self.system {
            System::Feet => 150.0 + (43_400.0 + 2800.0 * self.rate) / self.warmth,
            System::Metric => 7.2 + (1156.0 + 244.0 * self.rate) / (self.warmth + 17.8),
        }
    }
}

fn of_pressure(system: System, number: f64) -> Stress {
    match system {
        System::Feet => Stress::from_psf(number),
        System::Metric => Stress::from_kpa(number),
    }
}

fn number(part: Part) -> f64 {
    match part.value {
        crate::ledger::Figure::Number(number) => number,
        _ => 1.0,
    }
}

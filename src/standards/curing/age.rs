//! Age by temperature: maturity, equivalent age, and hours that count.

use super::{Part, Unanswered, Worked, some_number};
use crate::units::{Duration, Temperature};

/// A time at one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spell {
    /// How long.
    pub lasts: Duration,
    /// How warm.
    pub temperature: Temperature,
}

/// Temperatures in time.
#[derive(Debug, Clone, PartialEq)]
pub enum Temperatures {
    /// Always the same.
    Constant(Temperature),
    /// Spells one after the other, from the moment from which a start is counted. Nothing is known after the last.
    Spells(Vec<Spell>),
}

impl Temperatures {
    /// What is left of them after a start; spells that last less than nothing are left out.
    fn from(&self, start: Duration) -> Vec<Spell> {
        match self {
            Temperatures::Constant(temperature) => {
                vec![Spell { lasts: Duration::from_days(f64::INFINITY), temperature: *temperature }]
            }
            Temperatures::Spells(spells) => {
                let mut skip = start.max(Duration::ZERO);
                let mut left = Vec::new();
                for spell in spells.iter().filter(|spell| spell.lasts > Duration::ZERO) {
                    if skip >= spell.lasts {
                        skip = skip - spell.lasts;
                    } else {
                        left.push(Spell { lasts: spell.lasts - skip, ..*spell });
                        skip = Duration::ZERO;
                    }
                }
                left
            }
        }
    }
}

/// How fast concrete ages at a temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ageing {
    /// The temperature-time factor of ASTM C1074: in proportion to the temperature above a datum, and not at all below it. Ages are
    /// kelvin times hours; datum 0 degrees Celsius for Type I between 0 and 40 (seen in a secondary source), -10 in old books and
    /// -5 for other mixes (from memory).
    TimesTemperature(Temperature),
    /// Arrhenius: `exp(-q * (1 / T - 1 / Ts))` in kelvins, ages are hours at the reference temperature, and nothing at [`FROZEN`]
    /// or colder. ASTM C1074.
    Arrhenius {
        /// Activation energy over the gas constant, in kelvins.
        q: f64,
        /// The temperature at which an hour is an hour.
        reference: Temperature,
    },
    /// `exp(13.65 - 4000 / (273 + T))`, and nothing at [`FROZEN`] or colder: EN 13670 and the Model Code (4000 seen in a secondary
    /// source, the rest from memory).
    ModelCode,
    /// Hours count in full from a temperature on, and not at all below it.
    CountedFrom(Temperature),
}

/// ASTM C1074: 5000 K (from memory), at 23 degrees Celsius.
pub const C1074: Ageing = Ageing::Arrhenius { q: 5000.0, reference: Temperature::from_deg_c(23.0) };

/// The same at 20 degrees Celsius, the reference in Europe.
pub const EUROPEAN: Ageing = Ageing::Arrhenius { q: 5000.0, reference: Temperature::from_deg_c(20.0) };

/// The form of EN 13670 and the Model Code.
pub const MODEL_CODE: Ageing = Ageing::ModelCode;

const KELVIN: f64 = 273.15;

/// At this and colder no strength is gained: the datum of ASTM C1074 for Type I, 0 degrees Celsius, and the lower end of the
/// temperatures for which EN 1992-1-1 Annex B, (B.10), gives an equivalent age, 0 to 80 degrees Celsius (from memory).
pub const FROZEN: Temperature = Temperature::from_deg_c(0.0);

impl Ageing {
    /// How many hours of age an hour at this temperature gives; for [`Ageing::TimesTemperature`] how many kelvins count.
    #[must_use]
    pub fn rate(&self, at: Temperature) -> f64 {
        let celsius = at.deg_c();
        if celsius <= -KELVIN || !celsius.is_finite() {
            return 0.0;
        }
        // Two ways of writing one temperature differ by noise.
        let frozen = celsius <= FROZEN.deg_c() + 1e-9;
        match self {
            Ageing::Arrhenius { .. } | Ageing::ModelCode if frozen => 0.0,
            Ageing::TimesTemperature(datum) => (at - *datum).kelvins().max(0.0),
            Ageing::Arrhenius { q, reference } => {
                (-q * (1.0 / (celsius + KELVIN) - 1.0 / (reference.deg_c() + KELVIN))).exp()
            }
            Ageing::ModelCode => (13.65 - 4000.0 / (273.0 + celsius)).exp(),
            Ageing::CountedFrom(least) => f64::from(u8::from(celsius >= least.deg_c() - 1e-9)),
        }
    }

    fn words(&self) -> (&'static str, &'static str) {
        match self {
            Ageing::TimesTemperature(_) => {
                ("sum of (T - T0) * hours, nothing below T0", "ASTM C1074, temperature-time factor")
            }
            Ageing::Arrhenius { .. } => (
                "sum of exp(-q * (1 / T - 1 / Ts)) * hours, in kelvins, nothing at 0 degC or colder",
                "equivalent age, ASTM C1074, q from memory",
            ),
            Ageing::ModelCode => (
                "sum of exp(13.65 - 4000 / (273 + T)) * hours, nothing at 0 degC or colder",
                "EN 13670 and Model Code, from memory",
            ),
            Ageing::CountedFrom(_) => ("sum of hours not colder than T0", "hours counted by temperature, ACI 347R"),
        }
    }

    fn part(&self) -> Part {
        match self {
            Ageing::TimesTemperature(datum) => Part::temperature("T0", *datum, "at which nothing hardens"),
            Ageing::Arrhenius { q, .. } => Part::number("q", *q, "activation energy over the gas constant, kelvins"),
            Ageing::ModelCode => Part::number("q", 4000.0, "activation energy over the gas constant, kelvins"),
            Ageing::CountedFrom(least) => Part::temperature("T0", *least, "from which hours count"),
        }
    }
}

/// What it has aged a time after a start, in hours of age (kelvin hours for [`Ageing::TimesTemperature`]).
///
/// # Errors
///
/// [`Unanswered`] for a time less than nothing, and where the temperatures end before it.
pub fn aged(
    ageing: Ageing,
    temperatures: &Temperatures,
    start: Duration,
    after: Duration,
) -> Result<Worked<f64>, Unanswered> {
    if !(after >= Duration::ZERO && after.seconds().is_finite() && start.seconds().is_finite()) {
        return Err(Unanswered::Nothing("after"));
    }
    let mut left = after;
    let mut age = 0.0;
    for spell in temperatures.from(start) {
        let here = left.min(spell.lasts);
        age += ageing.rate(spell.temperature) * here.hours();
        left = left - here;
        if left <= Duration::ZERO {
            break;
        }
    }
    if left.seconds() > 1e-6 {
        return Err(ENDS);
    }
    let (formula, source) = ageing.words();
    Ok(Worked {
        value: age,
        formula,
        source,
        parts: vec![ageing.part(), Part::duration("after", after, "time since the start")],
    })
}

const ENDS: Unanswered = Unanswered::Outside("weather", "the temperatures given end before it");

/// How long after a start it has aged so much, in hours of age (kelvin hours for [`Ageing::TimesTemperature`]).
///
/// # Errors
///
/// [`Unanswered`] for no age, and where the temperatures end before it or it never gets there.
pub fn until_aged(
    ageing: Ageing,
    temperatures: &Temperatures,
    start: Duration,
    age: f64,
) -> Result<Worked<Duration>, Unanswered> {
    let wanted = some_number("age", age)?;
    if !start.seconds().is_finite() {
        return Err(Unanswered::Nothing("start"));
    }
    let mut left = wanted;
    let mut time = Duration::ZERO;
    for spell in temperatures.from(start) {
        let rate = ageing.rate(spell.temperature);
        let takes = if rate > 0.0 { Duration::from_hours(left / rate) } else { Duration::from_days(f64::INFINITY) };
        // A hair's breadth: a sum of rounded hours that just fills a spell ends with it.
        if takes <= spell.lasts + Duration::from_seconds(1e-6) && takes.seconds().is_finite() {
            let (formula, source) = ageing.words();
            let parts = vec![ageing.part(), Part::number("age", wanted, "age wanted, hours")];
            return Ok(Worked { value: time + takes, formula, source, parts });
        }
        if !spell.lasts.seconds().is_finite() {
            return Err(Unanswered::Outside("T", "too cold: it never gets there"));
        }
        left -= rate * spell.lasts.hours();
        time += spell.lasts;
    }
    Err(ENDS)
}

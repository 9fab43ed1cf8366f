//! What the published standards and guides say about bars, their cover and spacing, about anchors, and about the forms,
//! the weather, the curing, the hazards and the tolerances of concrete work: formulas and tables as pure functions of typed
//! quantities.
//!
//! The room knows nothing of a job: it is asked with lengths and stresses and answers with lengths, forces and counts.
//! Nobody here had a printed standard at hand. Every item says how sure it is: "seen in a reproduction" is a digest,
//! transcription or worked sheet that prints the clause; "from memory" wants a look at the printed standard before
//! anything hangs on it; "common practice, no source" is a habit of the trade. All of it is advice on quantities and
//! detailing, and no structural design.
//!
//! Where a standard has an inch-pound and an SI edition, the two are two sets of round figures, not a conversion:
//! functions that need to know take a [`System`].

pub mod anchors;
pub mod basis;
pub mod bends;
pub mod cover;
pub mod curing;
pub mod development;
pub mod eurocode;
pub mod footings;
pub mod forms;
pub mod friction;
pub mod handwork;
pub mod hazards;
pub mod mending;
pub mod minimum_steel;
pub mod mixing;
pub mod pressure;
pub mod residential;
pub mod runs;
pub mod sizes;
pub mod spacing;
pub mod ties;
pub mod tolerances;
pub mod weather;

pub use basis::Basis;
pub use sizes::Size;

use crate::{
    ledger::{Figure, Input},
    units::{Area, Density, Duration, Force, Length, LineLoad, Ratio, Stress, System, Temperature, Volume},
};

/// The source of a habit of the trade that nobody prints.
pub const PRACTICE: &str = "common practice, no source";

/// A number with its working.
#[derive(Debug, Clone, PartialEq)]
pub struct Worked<T> {
    /// What came out.
    pub value: T,
    /// How it is made, in signs.
    pub formula: &'static str,
    /// The standard and its clause, and how sure that is.
    pub source: &'static str,
    /// What went in, in the order of the formula.
    pub parts: Vec<Part>,
}

/// One letter of a formula.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// Its letter.
    pub symbol: &'static str,
    /// What it is.
    pub value: Figure,
    /// Where it comes from.
    pub why: &'static str,
}

impl<T> Worked<T> {
    /// Its parts as the ledger takes them.
    pub fn inputs(&self) -> impl Iterator<Item = Input> + '_ {
        self.parts.iter().map(|part| Input::given(part.symbol, part.value, part.why))
    }

    /// The part of this letter.
    #[must_use]
    pub fn part(&self, symbol: &str) -> Option<Figure> {
        self.parts.iter().find(|part| part.symbol == symbol).map(|part| part.value)
    }
}

impl Part {
    /// A length.
    #[must_use]
    pub const fn length(symbol: &'static str, value: Length, why: &'static str) -> Part {
        Part { symbol, value: Figure::Length(value), why }
    }

    /// An area.
    #[must_use]
    pub const fn area(symbol: &'static str, value: Area, why: &'static str) -> Part {
        Part { symbol, value: Figure::Area(value), why }
    }

    /// A stress.
    #[must_use]
    pub const fn stress(symbol: &'static str, value: Stress, why: &'static str) -> Part {
        Part { symbol, value: Figure::Stress(value), why }
    }

    /// A force.
    #[must_use]
    pub const fn force(symbol: &'static str, value: Force, why: &'static str) -> Part {
        Part { symbol, value: Figure::Force(value), why }
    }

    /// A volume.
    #[must_use]
    pub const fn volume(symbol: &'static str, value: Volume, why: &'static str) -> Part {
        Part { symbol, value: Figure::Volume(value), why }
    }

    /// A force along a line.
    #[must_use]
    pub const fn line_load(symbol: &'static str, value: LineLoad, why: &'static str) -> Part {
        Part { symbol, value: Figure::LineLoad(value), why }
    }

    /// A mass per volume.
    #[must_use]
    pub const fn density(symbol: &'static str, value: Density, why: &'static str) -> Part {
        Part { symbol, value: Figure::Density(value), why }
    }

    /// A time.
    #[must_use]
    pub const fn duration(symbol: &'static str, value: Duration, why: &'static str) -> Part {
        Part { symbol, value: Figure::Duration(value), why }
    }

    /// A temperature.
    #[must_use]
    pub const fn temperature(symbol: &'static str, value: Temperature, why: &'static str) -> Part {
        Part { symbol, value: Figure::Temperature(value), why }
    }

    /// A part of something.
    #[must_use]
    pub const fn ratio(symbol: &'static str, value: Ratio, why: &'static str) -> Part {
        Part { symbol, value: Figure::Ratio(value), why }
    }

    /// A plain number.
    #[must_use]
    pub const fn number(symbol: &'static str, value: f64, why: &'static str) -> Part {
        Part { symbol, value: Figure::Number(value), why }
    }

    /// A count.
    #[must_use]
    pub const fn count(symbol: &'static str, value: u64, why: &'static str) -> Part {
        Part { symbol, value: Figure::Count(value), why }
    }
}

/// Why a rule gives no answer. The letter is that of the formula.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unanswered {
    /// What is asked with is nothing, less than nothing or no number.
    Nothing(&'static str),
    /// What is asked with lies outside of what the rule covers, and what it covers.
    Outside(&'static str, &'static str),
}

/// What the aggregate of a concrete weighs; it decides the factor lambda.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ConcreteWeight {
    /// Ordinary concrete.
    #[default]
    Normal,
    /// Lightweight concrete.
    Light,
}

impl ConcreteWeight {
    /// Lambda of ACI 318-19 Tables 25.4.2.5 and 25.4.3.2 and 22.9.4: 1.0 for normalweight, 0.75 for lightweight concrete
    /// (seen in a reproduction; sand-lightweight concrete may take up to 0.85, which is not used here).
    #[must_use]
    pub const fn lambda(self) -> f64 {
        match self {
            ConcreteWeight::Normal => 1.0,
            ConcreteWeight::Light => 0.75,
        }
    }

    /// Lambda with where it comes from.
    #[must_use]
    pub(crate) const fn part(self) -> Part {
        let why = match self {
            ConcreteWeight::Normal => "normalweight concrete",
            ConcreteWeight::Light => "lightweight concrete",
        };
        Part::number("lambda", self.lambda(), why)
    }
}

/// The figure of one of the two editions of a standard.
pub(crate) const fn edition(system: System, inches: Length, metric: Length) -> Length {
    match system {
        System::Feet => inches,
        System::Metric => metric,
    }
}

/// So many thousandths of an inch.
pub(crate) const fn mils(thousandths: i64) -> Length {
    Length::from_nm(thousandths * 25_400)
}

/// So many millimetres.
pub(crate) const fn mm(millimetres: i64) -> Length {
    Length::from_nm(millimetres * 1_000_000)
}

/// So many times a length, to the nearest nanometre.
pub(crate) fn times(length: Length, factor: f64) -> Length {
    Length::round_nm(length.nm() as f64 * factor)
}

/// The length, if it is more than nothing.
pub(crate) fn some_length(symbol: &'static str, length: Length) -> Result<Length, Unanswered> {
    if length > Length::ZERO { Ok(length) } else { Err(Unanswered::Nothing(symbol)) }
}

/// The stress, if it is more than nothing and finite.
pub(crate) fn some_stress(symbol: &'static str, stress: Stress) -> Result<Stress, Unanswered> {
    if stress > Stress::ZERO && stress.pa().is_finite() { Ok(stress) } else { Err(Unanswered::Nothing(symbol)) }
}

/// A stress as the bare number of an edition's formulas: psi or MPa.
pub(crate) fn in_edition(system: System, stress: Stress) -> f64 {
    match system {
        System::Feet => stress.psi(),
        System::Metric => stress.mpa(),
    }
}

/// The other way.
pub(crate) fn of_edition(system: System, number: f64) -> Stress {
    match system {
        System::Feet => Stress::from_psi(number),
        System::Metric => Stress::from_mpa(number),
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    /// Nominal diameters and areas of ASTM A615: size, thousandths of an inch, hundredths of a square inch.
    pub(crate) const A615: [(&str, i64, i64); 9] = [
        ("#3", 375, 11),
        ("#4", 500, 20),
        ("#5", 625, 31),
        ("#6", 750, 44),
        ("#7", 875, 60),
        ("#8", 1000, 79),
        ("#9", 1128, 100),
        ("#10", 1270, 127),
        ("#11", 1410, 156),
    ];

    /// Diameter of a US size.
    pub(crate) fn no(size: usize) -> Length {
        mils(A615[size - 3].1)
    }

    /// Tabulated area of a US size.
    pub(crate) fn area_of(size: usize) -> Area {
        Area::from_nm2(i128::from(A615[size - 3].2) * 25_400_000 * 254_000)
    }

    pub(crate) fn inches(value: f64) -> Length {
        Length::round_nm(value * 25.4e6)
    }

    pub(crate) fn square_inches(area: Area) -> f64 {
        area.nm2() as f64 / (25.4e6 * 25.4e6)
    }

    /// Equal to the digits printed: half a unit of the last place, and a little for the two roundings on the way.
    #[track_caller]
    pub(crate) fn printed(found: f64, expected: f64, places: i32) {
        let half = 0.5 * 10_f64.powi(-places);
        assert!((found - expected).abs() <= half * 1.02 + 1e-9, "{found}, not {expected}");
    }

    #[test]
    fn working_goes_into_the_ledger_part_by_part() {
        let worked = Worked {
            value: Length::INCH,
            formula: "d * n",
            source: "made up",
            parts: vec![Part::length("d", Length::INCH, "said"), Part::count("n", 1, "counted")],
        };
        let inputs: Vec<Input> = worked.inputs().collect();
        assert_eq!(inputs[0], Input::given("d", Figure::Length(Length::INCH), "said"));
        assert_eq!(inputs[1], Input::given("n", Figure::Count(1), "counted"));
        assert_eq!(worked.part("n"), Some(Figure::Count(1)));
        assert_eq!(worked.part("x"), None);
    }

    #[test]
    fn what_is_nothing_is_refused() {
        assert_eq!(some_length("db", Length::ZERO), Err(Unanswered::Nothing("db")));
        assert_eq!(some_stress("fy", Stress::from_psi(f64::NAN)), Err(Unanswered::Nothing("fy")));
        assert_eq!(some_stress("fy", Stress::from_psi(f64::INFINITY)), Err(Unanswered::Nothing("fy")));
        assert_eq!(some_stress("fy", Stress::from_psi(-1.0)), Err(Unanswered::Nothing("fy")));
        assert!(some_stress("fy", Stress::from_psi(1.0)).is_ok());
    }
}

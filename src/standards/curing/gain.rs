//! Strength by age: ACI 209R and EN 1992-1-1.

use super::{Ageing, Part, Temperatures, Unanswered, Worked, age::until_aged, some_number};
use crate::units::{Duration, Ratio};

/// How strength grows with age at the reference temperature, as a part of that at 28 days.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Gain {
    /// ACI 209R: `t / (a + b t)`, t in days.
    Aci {
        /// In days.
        a: f64,
        /// A plain number. At 28 days the part is not quite 1.
        b: f64,
    },
    /// EN 1992-1-1 3.1.2(6): `exp(s (1 - (28 / t)^0.5))`, t in days.
    Ec2 {
        /// 0.20 for cement of class R, 0.25 for N, 0.38 for S.
        s: f64,
    },
}

impl Gain {
    /// Type I, moist cured: seen in a secondary source.
    pub const TYPE_I: Gain = Gain::Aci { a: 4.0, b: 0.85 };
    /// Type III, moist cured: seen in a secondary source.
    pub const TYPE_III: Gain = Gain::Aci { a: 2.3, b: 0.92 };
    /// Cement of class R.
    pub const CLASS_R: Gain = Gain::Ec2 { s: 0.20 };
    /// Cement of class N.
    pub const CLASS_N: Gain = Gain::Ec2 { s: 0.25 };
    /// Cement of class S.
    pub const CLASS_S: Gain = Gain::Ec2 { s: 0.38 };

    /// The part of the strength at 28 days that is there at an age.
    ///
    /// # Errors
    ///
    /// [`Unanswered`] for no age.
    pub fn part_at(self, age: Duration) -> Result<Worked<Ratio>, Unanswered> {
        let t = some_number("t", age.days())?;
        let value = match self {
            Gain::Aci { a, b } => t / (a + b * t),
            Gain::Ec2 { s } => (s * (1.0 - (28.0 / t).sqrt())).exp(),
        };
        let (formula, source) = match self {
            Gain::Aci { .. } => ("t / (a + b * t)", ACI),
            Gain::Ec2 { .. } => ("exp(s * (1 - (28 / t)^0.5))", EC2),
        };
        let mut parts = vec![Part::number("t", t, "age at the reference temperature, days")];
        parts.extend(self.parts());
        Ok(Worked { value: Ratio::from_fraction(value), formula, source, parts })
    }

    /// The part that is there at no age: none. Both forms come to it as the age goes to nothing, and EN 1992-1-1 divides by it.
    #[must_use]
    pub fn none_yet(self) -> Worked<Ratio> {
        let (formula, source) = match self {
            Gain::Aci { .. } => ("t / (a + b * t)", ACI),
            Gain::Ec2 { .. } => ("t, nothing while it has not aged", EC2),
        };
        let mut parts = vec![Part::number("t", 0.0, "age at the reference temperature, days")];
        parts.extend(self.parts());
        Worked { value: Ratio::from_fraction(0.0), formula, source, parts }
    }

    /// The age at which a part of the strength at 28 days is there.
    ///
    /// # Errors
    ///
    /// [`Unanswered`] for no part, and for one that is never reached.
    pub fn age_of(self, part: Ratio) -> Result<Worked<Duration>, Unanswered> {
        const NEVER: Unanswered = Unanswered::Outside("part", "more than the strength ever grows to");
        let wanted = some_number("part", part.fraction())?;
        let (days, formula, source) = match self {
            Gain::Aci { a, b } => {
                let left = 1.0 - b * wanted;
                if left <= 0.0 {
                    return Err(NEVER);
                }
                (a * wanted / left, "a * part / (1 - b * part)", ACI)
            }
            Gain::Ec2 { s } => {
                let root = 1.0 - wanted.ln() / s;
                if root <= 0.0 {
                    return Err(NEVER);
                }
                (28.0 / (root * root), "28 / (1 - ln(part) / s)^2", EC2)
            }
        };
        let mut parts = vec![Part::ratio("part", part, "wanted of the strength at 28 days")];
        parts.extend(self.parts());
        Ok(Worked { value: Duration::from_days(days), formula, source, parts })
    }

    fn parts(self) -> Vec<Part> {
        match self {
            Gain::Aci { a, b } => {
                vec![Part::number("a", a, "of the cement, days"), Part::number("b", b, "of the cement")]
            }
            Gain::Ec2 { s } => vec![Part::number("s", s, "of the cement's class")],
        }
    }
}

const ACI: &str = "ACI 209R, seen in a secondary source";
const EC2: &str = "EN 1992-1-1 3.1.2(6), meant for 3 days and more";

/// How long after a start a part of the strength at 28 days is there: the age of [`Gain::age_of`] by the temperatures.
///
/// # Errors
///
/// [`Unanswered`] for a part that is none or never reached, for an ageing in kelvin hours, and where the temperatures end
/// before it.
pub fn time_to_part(
    gain: Gain,
    part: Ratio,
    ageing: Ageing,
    temperatures: &Temperatures,
    start: Duration,
) -> Result<Worked<Duration>, Unanswered> {
    match ageing {
        Ageing::Arrhenius { .. } | Ageing::ModelCode => {}
        Ageing::TimesTemperature(_) | Ageing::CountedFrom(_) => {
            return Err(Unanswered::Outside("ageing", "strength wants an equivalent age"));
        }
    }
    let age = gain.age_of(part)?;
    let time = until_aged(ageing, temperatures, start, age.value.hours())?;
    let mut parts = age.parts;
    parts.push(Part::duration("t", age.value, "age wanted at the reference temperature"));
    parts.extend(time.parts.into_iter().filter(|part| part.symbol != "age"));
    Ok(Worked { value: time.value, formula: time.formula, source: age.source, parts })
}

//! How long a bar must run in concrete to take its yield stress, and how far two bars must lap: ACI 318-19 25.4 and 25.5.
//!
//! The formulas are those of 2019: hooks grow with the diameter to the power of 1.5, and no factor of an older edition is
//! mixed in. Reduction for more steel than needed (25.4.10) is left out: it is never allowed for laps.

mod hooks;
mod laps;

pub use hooks::{Hooked, hooked};
pub use laps::{Class, apart_in_a_lap, compression_lap, lap, lap_of_two_sizes};

use super::{
    ConcreteWeight, Part, Size, Unanswered, Worked, edition, in_edition, mils, mm, of_edition, some_length,
    some_stress, times,
};
use crate::units::{Length, Stress, System};

/// What is on the bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Coating {
    /// Nothing, or zinc.
    #[default]
    Bare,
    /// Epoxy, or zinc and epoxy.
    Epoxy,
}

/// A straight bar in tension and the concrete round it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Straight {
    /// Whose constants: psi and inches, or MPa and millimetres.
    pub system: System,
    /// Nominal diameter.
    pub diameter: Length,
    /// Yield strength.
    pub fy: Stress,
    /// Specified strength of the concrete.
    pub fc: Stress,
    /// Its weight.
    pub weight: ConcreteWeight,
    /// What is on the bar.
    pub coating: Coating,
    /// From the face of the bar to the nearest face of the concrete.
    pub cover: Length,
    /// Clear distance to the next bar developed at the same place.
    pub clear_spacing: Length,
    /// Stirrups or ties along the length, at least the least of the Code.
    pub ties: bool,
    /// What they hold it together with in the general equation: 40 Atr / (s n); nothing is always permitted.
    pub ktr: Length,
    /// Fresh concrete below a level bar, in one pour; `None` for a bar that does not lie level.
    pub fresh_below: Option<Length>,
}

/// Which of the two ways of 25.4.2.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Method {
    /// Table 25.4.2.3.
    Simplified,
    /// Equation 25.4.2.4a.
    General,
}

/// More fresh concrete than this below a level bar makes it a top bar: 12 in (300 mm), ACI 318-19 Table 25.4.2.5 (from
/// memory).
#[must_use]
pub const fn top_bar_above(system: System) -> Length {
    edition(system, mils(12_000), mm(300))
}

/// The least development length and the least tension lap: 12 in (300 mm), ACI 318-19 25.4.2.1 and 25.5.2.1 (seen in a
/// reproduction).
#[must_use]
pub const fn least_length(system: System) -> Length {
    edition(system, mils(12_000), mm(300))
}

/// The development length by its formula alone, without the floor of 12 in: what laps are made of. The coefficients were
/// seen in reproductions; in MPa 2.1 was confirmed by a worked sheet and the rest is from memory, as are most factors of
/// Table 25.4.2.5.
///
/// # Errors
///
/// [`Unanswered`] where a figure is none, for steel above Grade 100, and for high-strength steel closer than 25.4.2.2
/// allows.
pub fn formula_length(bar: &Straight, method: Method) -> Result<Worked<Length>, Unanswered> {
    let db = some_length("db", bar.diameter)?;
    some_stress("fy", bar.fy)?;
    some_stress("f'c", bar.fc)?;
    if bar.cover < Length::ZERO {
        return Err(Unanswered::Nothing("cover"));
    }
    if bar.ktr < Length::ZERO {
        return Err(Unanswered::Nothing("Ktr"));
    }
    let apart = some_length("spacing", bar.clear_spacing + db)?;
    let size = Size::of(db).ok_or(Unanswered::Outside("db", "bars are tabulated up to #18"))?;
    let grade = grade(bar.fy)?;
    // 25.4.2.2, from memory.
    if bar.fy >= Stress::from_mpa(550.0) && apart < edition(bar.system, mils(6000), mm(150)) && times(db, 0.5) > bar.ktr
    {
        const CLOSE: &str = "Grade 80 and above closer than 6 in wants Ktr of at least db / 2 (25.4.2.2, from memory)";
        return Err(Unanswered::Outside("Ktr", CLOSE));
    }
    let (top, coated) = (top(bar), coated(bar));
    let mut parts = vec![Part::stress("fy", bar.fy, "yield strength of the bar")];
    let both = number(top) * number(coated);
    if both > TOP_AND_COATED {
        parts.push(Part::number("psi_t psi_e", TOP_AND_COATED, "the product need not exceed 1.7, from memory"));
    } else {
        parts.extend([top, coated]);
    }
    let factors = both.min(TOP_AND_COATED) * number(grade);
    parts.push(grade);
    let root = root(bar.system, bar.fc);
    let strength = in_edition(bar.system, bar.fy) / (bar.weight.lambda() * in_edition(bar.system, root));
    let (formula, source, factor) = match method {
        Method::Simplified => {
            let (k, why) = divisor(bar, size);
            parts.push(Part::number("k", k, why));
            (SIMPLIFIED, simplified_source(bar.system), factors / k)
        }
        Method::General => {
            let small = small(size);
            let cb = (bar.cover + db / 2).min(apart / 2);
            let ratio = ((cb + bar.ktr).nm() as f64 / db.nm() as f64).min(2.5);
            let k = match bar.system {
                System::Feet => 40.0 / 3.0,
                System::Metric => 1.1,
            };
            parts.extend([
                small,
                Part::number("k", k, "constant of the equation"),
                Part::length("cb", cb, "lesser of bar centre to the nearest face and half the spacing of centres"),
                Part::length("Ktr", bar.ktr, "what ties add; none is always permitted"),
                Part::number("(cb + Ktr) / db", ratio, "not more than 2.5"),
            ]);
            (GENERAL, general_source(bar.system), factors * number(small) / (k * ratio))
        }
    };
    parts.extend([
        bar.weight.part(),
        Part::stress("sqrt(f'c)", root, why_root(bar.system, bar.fc)),
        Part::length("db", db, "nominal diameter of the bar"),
    ]);
    Ok(Worked { value: times(db, strength * factor), formula, source, parts })
}

const SIMPLIFIED: &str = "fy * psi_t * psi_e * psi_g / (k * lambda * sqrt(f'c)) * db";
const GENERAL: &str = "fy * psi_t * psi_e * psi_s * psi_g / (k * lambda * sqrt(f'c) * (cb + Ktr) / db) * db";
const TOP_AND_COATED: f64 = 1.7;

const fn simplified_source(system: System) -> &'static str {
    match system {
        System::Feet => "ACI 318-19 Table 25.4.2.3, seen in reproductions",
        System::Metric => "ACI 318M-19 Table 25.4.2.3, 2.1 confirmed by a worked sheet, other divisors from memory",
    }
}

const fn general_source(system: System) -> &'static str {
    match system {
        System::Feet => "ACI 318-19 Eq. 25.4.2.4a, seen in a reproduction",
        System::Metric => "ACI 318M-19 Eq. 25.4.2.4a, from memory",
    }
}

/// The development length of a straight bar in tension: [`formula_length`], and not less than 12 in (300 mm).
///
/// # Errors
///
/// Those of [`formula_length`].
pub fn straight(bar: &Straight, method: Method) -> Result<Worked<Length>, Unanswered> {
    let formula = formula_length(bar, method)?;
    let least = least_length(bar.system);
    Ok(Worked {
        value: formula.value.max(least),
        formula: "greater of l and least",
        source: "ACI 318-19 25.4.2.1, seen in a reproduction",
        parts: vec![
            Part::length("l", formula.value, "the formula's length"),
            Part::length("least", least, "the Code's least for any straight bar in tension"),
        ],
    })
}

fn number(part: Part) -> f64 {
    match part.value {
        crate::ledger::Figure::Number(number) => number,
        _ => 1.0,
    }
}

fn root(system: System, fc: Stress) -> Stress {
    let most: f64 = match system {
        System::Feet => 100.0,
        System::Metric => 8.3,
    };
    of_edition(system, in_edition(system, fc).sqrt().min(most))
}

fn why_root(system: System, fc: Stress) -> &'static str {
    match system {
        System::Feet if fc.psi() > 10_000.0 => "capped at 100 psi (25.4.1.4, from memory)",
        System::Feet => "square root of the strength in psi",
        System::Metric if fc.mpa() > 8.3 * 8.3 => "capped at 8.3 MPa (25.4.1.4, from memory)",
        System::Metric => "square root of the strength in MPa",
    }
}

/// The strongest steel of Grade 60 by either name: 420 MPa is a little more than 60 000 psi. Likewise Grade 80 and 100.
const GRADE_60: Stress = Stress::from_mpa(420.0);
const GRADE_80: Stress = Stress::from_psi(80_000.0);
const GRADE_100: Stress = Stress::from_mpa(690.0);

fn grade(fy: Stress) -> Result<Part, Unanswered> {
    if fy <= GRADE_60 {
        Ok(Part::number("psi_g", 1.0, "steel up to Grade 60"))
    } else if fy <= GRADE_80 {
        Ok(Part::number("psi_g", 1.15, "steel up to Grade 80, from memory"))
    } else if fy <= GRADE_100 {
        Ok(Part::number("psi_g", 1.3, "steel up to Grade 100, from memory"))
    } else {
        Err(Unanswered::Outside("fy", "steel is covered up to Grade 100 (690 MPa)"))
    }
}

fn top(bar: &Straight) -> Part {
    match (bar.fresh_below, bar.system) {
        (None, _) => Part::number("psi_t", 1.0, "not a level bar"),
        (Some(below), System::Feet) if below > top_bar_above(System::Feet) => {
            Part::number("psi_t", 1.3, "more than 12 in of fresh concrete below a level bar, from memory")
        }
        (Some(below), System::Metric) if below > top_bar_above(System::Metric) => {
            Part::number("psi_t", 1.3, "more than 300 mm of fresh concrete below a level bar, from memory")
        }
        (Some(_), System::Feet) => Part::number("psi_t", 1.0, "no more than 12 in of fresh concrete below"),
        (Some(_), System::Metric) => Part::number("psi_t", 1.0, "no more than 300 mm of fresh concrete below"),
    }
}

fn coated(bar: &Straight) -> Part {
    let db = bar.diameter;
    match bar.coating {
        Coating::Bare => Part::number("psi_e", 1.0, "uncoated or zinc-coated"),
        Coating::Epoxy if bar.cover < db * 3 || bar.clear_spacing < db * 6 => {
            Part::number("psi_e", 1.5, "epoxy, cover below 3 db or clear spacing below 6 db")
        }
        Coating::Epoxy => Part::number("psi_e", 1.2, "epoxy, cover and spacing wide, from memory"),
    }
}

fn small(size: Size) -> Part {
    if size <= Size::No6 {
        Part::number("psi_s", 0.8, "#6 and smaller, from memory")
    } else {
        Part::number("psi_s", 1.0, "#7 and larger, from memory")
    }
}

/// The divisor of Table 25.4.2.3. The size factor of the general equation is inside it already.
fn divisor(bar: &Straight, size: Size) -> (f64, &'static str) {
    let db = bar.diameter;
    let wide = bar.cover >= db && (bar.clear_spacing >= db * 2 || (bar.ties && bar.clear_spacing >= db));
    let psi = bar.system == System::Feet;
    match (wide, size <= Size::No6) {
        (true, true) => {
            (if psi { 25.0 } else { 2.1 }, "#6 and smaller; cover of db, and clear spacing of 2 db or of db with ties")
        }
        (true, false) => {
            (if psi { 20.0 } else { 1.7 }, "#7 and larger; cover of db, and clear spacing of 2 db or of db with ties")
        }
        (false, true) => (if psi { 50.0 / 3.0 } else { 1.4 }, "#6 and smaller; other cases"),
        (false, false) => (if psi { 40.0 / 3.0 } else { 1.1 }, "#7 and larger; other cases"),
    }
}

#[cfg(test)]
mod tests;

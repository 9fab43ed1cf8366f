//! Lap splices: ACI 318-19 25.5.

use super::{GRADE_60, Method, Straight, formula_length, least_length};
use crate::{
    standards::{Part, Size, Unanswered, Worked, edition, in_edition, mils, mm, some_length, some_stress, times},
    units::{Length, Ratio, Stress, System},
};

/// Which class a tension lap is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    /// Twice the steel that is needed, and half of it or less spliced within a lap length.
    A,
    /// Every other lap.
    B,
}

impl Class {
    /// The class of ACI 318-19 Table 25.5.2.1 (rule from memory): how often the steel provided holds the steel required
    /// along the lap, and what part of it is spliced within one lap length.
    #[must_use]
    pub fn of(provided_over_required: f64, spliced: Ratio) -> Class {
        if provided_over_required >= 2.0 && spliced.fraction() <= 0.5 { Class::A } else { Class::B }
    }

    /// The factor on the development length.
    #[must_use]
    pub const fn factor(self) -> f64 {
        match self {
            Class::A => 1.0,
            Class::B => 1.3,
        }
    }
}

/// The tension lap of two equal bars: ACI 318-19 Table 25.5.2.1 (class B seen in a worked sheet, the rule from memory).
/// The factor goes on the formula's length before any floor, and then the lap is at least 12 in (300 mm).
///
/// # Errors
///
/// Those of [`formula_length`], and for bars above #11, which are not lapped (25.5.1.1, from memory).
pub fn lap(bar: &Straight, method: Method, class: Class) -> Result<Worked<Length>, Unanswered> {
    lappable(bar.diameter)?;
    let formula = formula_length(bar, method)?;
    let least = least_length(bar.system);
    let why = match class {
        Class::A => "class A: twice the steel needed, half of it or less spliced at one place",
        Class::B => "class B: more than half spliced at one place, or less than twice the steel needed",
    };
    Ok(Worked {
        value: times(formula.value, class.factor()).max(least),
        formula: "greater of c * l and least",
        source: "ACI 318-19 Table 25.5.2.1, seen in a worked sheet",
        parts: vec![
            Part::number("c", class.factor(), why),
            Part::length("l", formula.value, "development length by its formula, without its own least"),
            Part::length("least", least, "the Code's least for any lap in tension"),
        ],
    })
}

fn lappable(diameter: Length) -> Result<(), Unanswered> {
    match Size::of(diameter) {
        Some(size) if size <= Size::No11 => Ok(()),
        _ => Err(Unanswered::Outside("db", "bars above #11 are not lapped (25.5.1.1, from memory)")),
    }
}

/// The lap of two sizes: the greater of the development length of the thicker and the lap of the thinner bar, ACI 318-19
/// 25.5.2.2 (from memory).
#[must_use]
pub fn lap_of_two_sizes(ld_of_thicker: Length, lap_of_thinner: Length) -> Worked<Length> {
    Worked {
        value: ld_of_thicker.max(lap_of_thinner),
        formula: "greater of ld and lap",
        source: "ACI 318-19 25.5.2.2, from memory",
        parts: vec![
            Part::length("ld", ld_of_thicker, "development length of the thicker bar"),
            Part::length("lap", lap_of_thinner, "lap of the thinner bar"),
        ],
    }
}

/// How far lapped bars that do not touch may lie apart: the lesser of a fifth of the lap and 6 in (150 mm), ACI 318-19
/// 25.5.1.3 (from memory).
#[must_use]
pub fn apart_in_a_lap(lap: Length, system: System) -> Worked<Length> {
    let most = edition(system, mils(6000), mm(150));
    Worked {
        value: (lap / 5).min(most),
        formula: "lesser of lap / 5 and most",
        source: "ACI 318-19 25.5.1.3, from memory",
        parts: vec![
            Part::length("lap", lap, "length of the lap"),
            Part::length("most", most, "the Code's most for laps that do not touch"),
        ],
    }
}

/// The lap of bars in compression: 0.0005 fy db (psi) or 0.071 fy db (MPa), not less than 12 in (300 mm), a third more
/// below 3000 psi (21 MPa): ACI 318-19 25.5.5 (from memory; 30 db at 420 MPa seen in a worked sheet).
///
/// # Errors
///
/// [`Unanswered`] for figures that are none, steel above Grade 60, bars above #11.
pub fn compression_lap(diameter: Length, fy: Stress, fc: Stress, system: System) -> Result<Worked<Length>, Unanswered> {
    let db = some_length("db", diameter)?;
    some_stress("fy", fy)?;
    some_stress("f'c", fc)?;
    lappable(db)?;
    if fy > GRADE_60 {
        return Err(Unanswered::Outside("fy", "covered up to Grade 60"));
    }
    let (k, weak) = match system {
        System::Feet => (0.0005, fc < Stress::from_psi(3000.0)),
        System::Metric => (0.071, fc < Stress::from_mpa(21.0)),
    };
    let least = least_length(system);
    let (more, why) = if weak {
        (4.0 / 3.0, "concrete below 3000 psi (21 MPa)")
    } else {
        (1.0, "concrete of 3000 psi (21 MPa) or more")
    };
    Ok(Worked {
        value: times(times(db, k * in_edition(system, fy)).max(least), more),
        formula: "m * (greater of k * fy * db and least)",
        source: "ACI 318-19 25.5.5, from memory",
        parts: vec![
            Part::number("m", more, why),
            Part::number("k", k, "constant of the formula, for steel up to Grade 60"),
            Part::stress("fy", fy, "yield strength of the bar"),
            Part::length("db", db, "nominal diameter of the bar"),
            Part::length("least", least, "the Code's least for any lap"),
        ],
    })
}

//! Standard hooks in tension: ACI 318-19 25.4.3.

use super::{Coating, grade, number, root, why_root};
use crate::{
    standards::{
        ConcreteWeight, Part, Size, Unanswered, Worked, edition, in_edition, mils, mm, some_length, some_stress, times,
    },
    units::{Length, Stress, System},
};

/// A bar that ends in a standard hook, in tension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hooked {
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
    /// From centre to centre of the hooked bars.
    pub spacing: Length,
    /// Ties along the hook of at least 0.4 of the area of the hooked bars.
    pub confined: bool,
    /// Cover beside the hook, square to its plane.
    pub side_cover: Length,
    /// The hook ends inside the core of a column.
    pub in_column_core: bool,
}

/// The development length of a standard hook in tension, from the critical section to the *outside* of the hook: ACI
/// 318-19 25.4.3 (the form and the factors 1.6, 1.25 and psi_c confirmed by a worked sheet; the conditions of Table
/// 25.4.3.2 and 1.2 for epoxy from memory).
///
/// # Errors
///
/// [`Unanswered`] for figures that are none, and beyond #18 and Grade 100.
pub fn hooked(bar: &Hooked) -> Result<Worked<Length>, Unanswered> {
    let db = some_length("db", bar.diameter)?;
    some_stress("fy", bar.fy)?;
    some_stress("f'c", bar.fc)?;
    grade(bar.fy)?;
    let size = Size::of(db).ok_or(Unanswered::Outside("db", "bars are tabulated up to #18"))?;
    let coated = match bar.coating {
        Coating::Bare => Part::number("psi_e", 1.0, "uncoated or zinc-coated"),
        Coating::Epoxy => Part::number("psi_e", 1.2, "epoxy, from memory"),
    };
    let slender = size <= Size::No11;
    let confining = if slender && bar.confined {
        Part::number("psi_r", 1.0, "ties along the hook")
    } else if slender && bar.spacing >= db * 6 {
        Part::number("psi_r", 1.0, "hooks at least 6 db apart, centre to centre")
    } else {
        Part::number("psi_r", 1.6, "hooks closer than 6 db without ties, or bars above #11")
    };
    let core = edition(bar.system, mils(2500), mm(65));
    let placed = if slender && bar.in_column_core && bar.side_cover >= core {
        Part::number("psi_o", 1.0, "inside a column core, side cover at least 2.5 in (65 mm)")
    } else if slender && bar.side_cover >= db * 6 {
        Part::number("psi_o", 1.0, "side cover at least 6 db")
    } else {
        Part::number("psi_o", 1.25, "side cover below 6 db, or bars above #11")
    };
    let strength = strength_factor(bar.system, bar.fc);
    let root = root(bar.system, bar.fc);
    let (k, unit, least) = match bar.system {
        System::Feet => (55.0, Length::INCH, mils(6000)),
        System::Metric => (23.0, Length::MILLIMETRE, mm(150)),
    };
    let factors = number(coated) * number(confining) * number(placed) * number(strength);
    let stress = in_edition(bar.system, bar.fy) / (k * bar.weight.lambda() * in_edition(bar.system, root));
    let by_formula = times(unit, stress * factors * (db.nm() as f64 / unit.nm() as f64).powf(1.5));
    Ok(Worked {
        value: by_formula.max(db * 8).max(least),
        formula: "greatest of fy * psi_e * psi_r * psi_o * psi_c / (k * lambda * sqrt(f'c)) * db^1.5, 8 db and least",
        source: "ACI 318-19 25.4.3.1, confirmed by a worked sheet; conditions from memory",
        parts: vec![
            Part::stress("fy", bar.fy, "yield strength of the bar"),
            coated,
            confining,
            placed,
            strength,
            Part::number("k", k, "constant of the formula"),
            bar.weight.part(),
            Part::stress("sqrt(f'c)", root, why_root(bar.system, bar.fc)),
            Part::length("db", db, "nominal diameter of the bar"),
            Part::length("least", least, "the Code's least for any hook"),
        ],
    })
}

fn strength_factor(system: System, fc: Stress) -> Part {
    let (part, of_full) = match system {
        System::Feet => (fc.psi() / 15_000.0 + 0.6, fc.psi() >= 6000.0),
        System::Metric => (fc.mpa() / 105.0 + 0.6, fc.mpa() >= 42.0),
    };
    if of_full {
        Part::number("psi_c", 1.0, "concrete of 6000 psi (42 MPa) or more")
    } else {
        Part::number("psi_c", part, "f'c / 15 000 psi (105 MPa) + 0.6")
    }
}

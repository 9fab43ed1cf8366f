//! What water does to strength. The forms are not to be mixed; each is asked twice and the change is what counts, for the
//! cement in a bag is seldom printed.

use super::{Figure, Part, Unanswered, Worked, some_number};
use crate::units::{Mass, Ratio, Stress};

/// A published form of strength at 28 days by the ratio of water to cement.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum StrengthByWater {
    /// Portland Cement Association, Table 9-3 (metric), not air-entrained: seen in a secondary copy.
    Pca,
    /// The same, air-entrained.
    PcaAir,
    /// ACI 211.1 in psi, not air-entrained: end points seen in a secondary copy, between them from memory.
    Aci211,
    /// The same, air-entrained.
    Aci211Air,
    /// Abrams as later textbooks have it: `14000 psi / 4^(1.5 x)`; 14000 and 4 seen in a secondary source, 1.5 from memory.
    AbramsTextbook,
    /// Abrams 1918: `14000 psi / 7^(1.5064 x)`, his ratio of volumes turned into one of masses (from memory).
    Abrams1918,
}

/// A cubic foot of bulk cement, 94 lb, over one of water, 62.4 lb.
const BULK: f64 = 94.0 / 62.4;

const PCA: [(f64, f64); 7] =
    [(0.38, 45.0), (0.42, 40.0), (0.47, 35.0), (0.54, 30.0), (0.61, 25.0), (0.69, 20.0), (0.79, 15.0)];
const PCA_AIR: [(f64, f64); 7] =
    [(0.30, 45.0), (0.34, 40.0), (0.39, 35.0), (0.45, 30.0), (0.52, 25.0), (0.60, 20.0), (0.70, 15.0)];
const ACI: [(f64, f64); 5] = [(0.41, 6000.0), (0.48, 5000.0), (0.57, 4000.0), (0.68, 3000.0), (0.82, 2000.0)];
const ACI_AIR: [(f64, f64); 4] = [(0.40, 5000.0), (0.48, 4000.0), (0.59, 3000.0), (0.74, 2000.0)];

/// The ratio of water to cement, by mass: all the water over all the cement.
///
/// # Errors
///
/// [`Unanswered`] for no water or cement.
pub fn water_cement(water: Mass, cement: Mass) -> Result<Worked<Ratio>, Unanswered> {
    some_number("water", water.kg())?;
    some_number("cement", cement.kg())?;
    let mass = |symbol, value, why| Part { symbol, value: Figure::Mass(value), why };
    Ok(Worked {
        value: Ratio::from_fraction(water / cement),
        formula: "water / cement",
        source: "",
        parts: vec![mass("water", water, "all water of the batch"), mass("cement", cement, "all cement of the batch")],
    })
}

/// The strength at 28 days by a form.
///
/// # Errors
///
/// [`Unanswered`] for a ratio the form does not cover: nothing is drawn out past a table.
pub fn strength_at(form: StrengthByWater, ratio: Ratio) -> Result<Worked<Stress>, Unanswered> {
    let x = some_number("x", ratio.fraction())?;
    let power = |base: f64, times: f64| {
        // Validity seen in a secondary source.
        if (0.30..=1.20).contains(&x) {
            Ok(Stress::from_psi(14_000.0 / base.powf(times * x)))
        } else {
            Err(Unanswered::Outside("x", "water over cement of 0.30 to 1.20"))
        }
    };
    let (value, formula, source) = match form {
        StrengthByWater::Pca => (Stress::from_mpa(between(&PCA, x)?), TABLE, "PCA Table 9-3, seen in a secondary copy"),
        StrengthByWater::PcaAir => {
            (Stress::from_mpa(between(&PCA_AIR, x)?), TABLE, "PCA Table 9-3, air-entrained, seen in a secondary copy")
        }
        StrengthByWater::Aci211 => {
            (Stress::from_psi(between(&ACI, x)?), TABLE, "ACI 211.1, between its ends from memory")
        }
        StrengthByWater::Aci211Air => {
            (Stress::from_psi(between(&ACI_AIR, x)?), TABLE, "ACI 211.1, air-entrained, between its ends from memory")
        }
        StrengthByWater::AbramsTextbook => {
            (power(4.0, 1.5)?, "14000 / 4^(1.5 * x), psi", "Abrams as in textbooks, the factor 1.5 from memory")
        }
        StrengthByWater::Abrams1918 => (power(7.0, BULK)?, "14000 / 7^(1.5064 * x), psi", "Abrams 1918, from memory"),
    };
    Ok(Worked { value, formula, source, parts: vec![Part::number("x", x, "water over cement, by mass")] })
}

const TABLE: &str = "table, in a straight line between its rows";

fn between(table: &[(f64, f64)], x: f64) -> Result<f64, Unanswered> {
    table
        .windows(2)
        .find_map(|pair| match pair {
            &[(x0, f0), (x1, f1)] if (x0..=x1).contains(&x) => Some(f0 + (f1 - f0) * (x - x0) / (x1 - x0)),
            _ => None,
        })
        .ok_or(Unanswered::Outside("x", "water over cement within the table"))
}

/// How the strength changes from one ratio of water to cement to another: below nothing for a loss.
///
/// # Errors
///
/// Those of [`strength_at`], for either.
pub fn change(form: StrengthByWater, from: Ratio, to: Ratio) -> Result<Worked<Ratio>, Unanswered> {
    let (before, after) = (strength_at(form, from)?, strength_at(form, to)?);
    Ok(Worked {
        value: Ratio::from_fraction(after.value / before.value - 1.0),
        formula: "after / before - 1",
        source: after.source,
        parts: vec![
            Part::stress("after", after.value, "strength with the water that is in it"),
            Part::stress("before", before.value, "strength with the water that was meant"),
        ],
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::tests::printed;
    use proptest::prelude::*;

    fn at(form: StrengthByWater, x: f64) -> Stress {
        strength_at(form, Ratio::from_fraction(x)).unwrap().value
    }

    #[test]
    fn strength_by_water() {
        // Our own arithmetic: the table in a straight line, and both forms of Abrams.
        printed(at(StrengthByWater::Pca, 0.5).mpa(), 32.86, 2);
        printed(at(StrengthByWater::AbramsTextbook, 0.5).psi(), 4950.0, 0);
        printed(at(StrengthByWater::Abrams1918, 0.5).psi(), 3233.0, 0);
        // Without the factor of the exponent it would be 7000 psi.
        assert!(at(StrengthByWater::AbramsTextbook, 0.5).psi() < 5000.0);
        // Portland Cement Association, Table 9-3 (metric), as a secondary copy prints it: without and with air.
        for (mpa, plain, air) in [
            (45.0, 0.38, 0.30),
            (40.0, 0.42, 0.34),
            (35.0, 0.47, 0.39),
            (30.0, 0.54, 0.45),
            (25.0, 0.61, 0.52),
            (20.0, 0.69, 0.60),
            (15.0, 0.79, 0.70),
        ] {
            printed(at(StrengthByWater::Pca, plain).mpa(), mpa, 9);
            printed(at(StrengthByWater::PcaAir, air).mpa(), mpa, 9);
        }
        // ACI 211.1, the ends of its table.
        for (form, x, psi) in [
            (StrengthByWater::Aci211, 0.41, 6000.0),
            (StrengthByWater::Aci211, 0.82, 2000.0),
            (StrengthByWater::Aci211Air, 0.40, 5000.0),
            (StrengthByWater::Aci211Air, 0.74, 2000.0),
        ] {
            printed(at(form, x).psi(), psi, 6);
        }
    }

    #[test]
    fn one_quart_too_much() {
        // Our own arithmetic: an 80 lb bag with 14 lb of cement and 7 lb of water, and one quart more.
        let cement = Mass::from_lb(14.0);
        let quart = Mass::from_lb(2.083);
        let of = |water: Mass| water_cement(water, cement).unwrap().value;
        let (meant, wet) = (of(Mass::from_lb(7.0)), of(Mass::from_lb(7.0) + quart));
        printed(meant.fraction(), 0.5, 9);
        printed(wet.fraction(), 0.649, 3);
        let of = |form| strength_at(form, wet).unwrap().value;
        printed(of(StrengthByWater::Pca).mpa(), 22.58, 2);
        printed(of(StrengthByWater::AbramsTextbook).psi(), 3633.0, 0);
        let lost = |form| change(form, meant, wet).unwrap().value.percent();
        printed(lost(StrengthByWater::Pca), -31.0, 0);
        printed(lost(StrengthByWater::AbramsTextbook), -27.0, 0);
        let two = water_cement(Mass::from_lb(7.0) + quart * 2.0, cement).unwrap().value;
        // 0.7976: off the table, which ends at 0.79.
        printed(two.fraction(), 0.798, 3);
        assert!(strength_at(StrengthByWater::Pca, two).is_err());
        assert!(strength_at(StrengthByWater::Abrams1918, Ratio::from_fraction(1.3)).is_err());
    }

    proptest! {
        #[test]
        fn more_water_never_makes_it_stronger(x in 0.25..1.3_f64, more in 0.0..0.3_f64) {
            for form in [
                StrengthByWater::Pca, StrengthByWater::PcaAir, StrengthByWater::Aci211, StrengthByWater::Aci211Air,
                StrengthByWater::AbramsTextbook, StrengthByWater::Abrams1918,
            ] {
                if let Ok(change) = change(form, Ratio::from_fraction(x), Ratio::from_fraction(x + more)) {
                    prop_assert!(change.value.fraction() <= 0.0);
                }
            }
        }
    }
}

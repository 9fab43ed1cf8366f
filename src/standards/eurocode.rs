//! Anchorage and laps by EN 1992-1-1:2004, 8.4 and 8.7.
//!
//! The formulas of 8.4 were seen on public pages with a worked calculation; the lap part and the bond conditions are from
//! memory. Recommended values, no national annex.

use super::{Part, Unanswered, Worked, mm, some_length, some_stress, times};
use crate::units::{Length, Ratio, Stress};

/// How well the concrete holds on to the bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bond {
    /// Good conditions.
    Good,
    /// All other conditions.
    Poor,
}

impl Bond {
    /// The conditions of Figure 8.2 (from memory), on the safe side: a level bar with more than 250 mm of fresh concrete
    /// below it in one pour is poorly held. The figure calls some of these good in members higher than 600 mm.
    #[must_use]
    pub fn of(fresh_below: Option<Length>) -> Bond {
        if fresh_below.is_some_and(|below| below > mm(250)) { Bond::Poor } else { Bond::Good }
    }

    fn part(self) -> Part {
        match self {
            Bond::Good => Part::number("eta_1", 1.0, "good bond conditions"),
            Bond::Poor => Part::number("eta_1", 0.7, "poor bond conditions"),
        }
    }

    const fn factor(self) -> f64 {
        match self {
            Bond::Good => 1.0,
            Bond::Poor => 0.7,
        }
    }
}

/// Partial factor of concrete, alpha_ct being 1.0.
const GAMMA_C: f64 = 1.5;
/// Partial factor of steel.
const GAMMA_S: f64 = 1.15;

/// A straight bar in tension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Anchored {
    /// Nominal diameter.
    pub diameter: Length,
    /// Characteristic cylinder strength of the concrete.
    pub fck: Stress,
    /// Characteristic yield strength of the bar, which it is to take in full.
    pub fyk: Stress,
    /// How well it is held.
    pub bond: Bond,
    /// The least of cover, side cover and half the clear spacing.
    pub cd: Length,
}

/// Mean tensile strength, 0.30 fck^(2/3) in MPa up to C50/60: EN 1992-1-1 Table 3.1 (seen in a reproduction).
///
/// # Errors
///
/// [`Unanswered`] for no strength and above C50/60.
pub fn tensile_strength(fck: Stress) -> Result<Worked<Stress>, Unanswered> {
    let mpa = some_stress("fck", fck)?.mpa();
    if mpa > 50.0 + 1e-9 {
        return Err(Unanswered::Outside("fck", "covered up to C50/60"));
    }
    Ok(Worked {
        value: Stress::from_mpa(0.30 * mpa.powf(2.0 / 3.0)),
        formula: "0.30 * fck^(2/3), in MPa",
        source: "EN 1992-1-1 Table 3.1, seen in a reproduction",
        parts: vec![Part::stress("fck", fck, "characteristic cylinder strength")],
    })
}

/// Design bond stress, 2.25 eta_1 eta_2 fctd: EN 1992-1-1 (8.2) (seen in a worked calculation).
///
/// # Errors
///
/// [`Unanswered`] for figures that are none and above C50/60.
pub fn bond_stress(diameter: Length, fck: Stress, bond: Bond) -> Result<Worked<Stress>, Unanswered> {
    let db = some_length("phi", diameter)?;
    let fctd = tensile_strength(fck)?.value * 0.7 / GAMMA_C;
    let eta_2 = if db > mm(32) {
        let thick = (132.0 - db.metres() * 1e3) / 100.0;
        if thick <= 0.0 {
            return Err(Unanswered::Outside("phi", "bars thicker than 132 mm are no bars"));
        }
        Part::number("eta_2", thick, "(132 mm - phi) / 100 mm above 32 mm")
    } else {
        Part::number("eta_2", 1.0, "bars up to 32 mm")
    };
    let thin = if db > mm(32) { (132.0 - db.metres() * 1e3) / 100.0 } else { 1.0 };
    Ok(Worked {
        value: fctd * (2.25 * bond.factor() * thin),
        formula: "2.25 * eta_1 * eta_2 * fctd",
        source: "EN 1992-1-1 (8.2), seen in a worked calculation",
        parts: vec![
            bond.part(),
            eta_2,
            Part::stress("fctd", fctd, "0.7 fctm / 1.5, the design tensile strength of the concrete"),
        ],
    })
}

/// Basic required anchorage length, phi / 4 sigma_sd / fbd with the full design stress fyk / 1.15: EN 1992-1-1 (8.3)
/// (seen in a worked calculation).
///
/// # Errors
///
/// Those of [`bond_stress`].
pub fn basic_length(bar: &Anchored) -> Result<Worked<Length>, Unanswered> {
    let fbd = bond_stress(bar.diameter, bar.fck, bar.bond)?.value;
    let stress = some_stress("fyk", bar.fyk)? / GAMMA_S;
    Ok(Worked {
        value: times(bar.diameter, stress / fbd / 4.0),
        formula: "phi / 4 * sigma_sd / fbd",
        source: "EN 1992-1-1 (8.3), seen in a worked calculation",
        parts: vec![
            Part::length("phi", bar.diameter, "nominal diameter of the bar"),
            Part::stress("sigma_sd", stress, "fyk / 1.15, the bar fully stressed"),
            Part::stress("fbd", fbd, "2.25 eta_1 eta_2 fctd, design bond stress"),
        ],
    })
}

/// What a length rests on beside its own factors, for whoever works it out again.
fn rests_on(bar: &Anchored) -> Result<Vec<Part>, Unanswered> {
    let mut parts = vec![Part::length("cd", bar.cd, "least of cover, side cover and half the clear spacing")];
    parts.extend(basic_length(bar)?.parts);
    parts.extend(bond_stress(bar.diameter, bar.fck, bar.bond)?.parts);
    parts.push(Part::stress("fyk", bar.fyk, "yield strength of the bar"));
    parts.push(Part::stress("fck", bar.fck, "cylinder strength of the concrete; fctm = 0.30 fck^(2/3) in MPa"));
    Ok(parts)
}

/// What cover does for a straight bar in tension, alpha_2 = 1 - 0.15 (cd - phi) / phi between 0.7 and 1.0: EN 1992-1-1
/// Table 8.2 (seen in a worked calculation).
fn cover_factor(bar: &Anchored) -> f64 {
    let (cd, phi) = (bar.cd.nm() as f64, bar.diameter.nm() as f64);
    (1.0 - 0.15 * (cd - phi) / phi).clamp(0.7, 1.0)
}

/// Design anchorage length of a straight bar in tension, alpha_1, alpha_3, alpha_4 and alpha_5 being 1.0: EN 1992-1-1
/// (8.4) and (8.6) (seen in a worked calculation).
///
/// # Errors
///
/// Those of [`basic_length`].
pub fn straight(bar: &Anchored) -> Result<Worked<Length>, Unanswered> {
    let basic = basic_length(bar)?.value;
    let alpha_2 = cover_factor(bar);
    let least = times(basic, 0.3).max(bar.diameter * 10).max(mm(100));
    Ok(Worked {
        value: times(basic, alpha_2).max(least),
        formula: "greater of alpha_2 * lb,rqd and lb,min",
        source: "EN 1992-1-1 (8.4) and (8.6), seen in a worked calculation",
        parts: [
            Part::number("alpha_2", alpha_2, "1 - 0.15 (cd - phi) / phi, between 0.7 and 1.0"),
            Part::length("lb,rqd", basic, "phi / 4 * sigma_sd / fbd, basic required anchorage length"),
            Part::length("lb,min", least, "greatest of 0.3 lb,rqd, 10 phi and 100 mm"),
        ]
        .into_iter()
        .chain(rests_on(bar)?)
        .collect(),
    })
}

/// Anchorage length of a bar in compression, which no cover shortens: not less than 0.6 lb,rqd, 10 phi and 100 mm, EN
/// 1992-1-1 (8.4) and (8.7) (seen on public pages).
///
/// # Errors
///
/// Those of [`basic_length`].
pub fn compressed(bar: &Anchored) -> Result<Worked<Length>, Unanswered> {
    let basic = basic_length(bar)?.value;
    let least = times(basic, 0.6).max(bar.diameter * 10).max(mm(100));
    Ok(Worked {
        value: basic.max(least),
        formula: "greater of lb,rqd and lb,min",
        source: "EN 1992-1-1 (8.4) and (8.7), seen on public pages",
        parts: vec![
            Part::length("lb,rqd", basic, "phi / 4 * sigma_sd / fbd, basic required anchorage length"),
            Part::length("lb,min", least, "greatest of 0.6 lb,rqd, 10 phi and 100 mm"),
        ],
    })
}

/// Design lap length in tension: EN 1992-1-1 (8.10) and (8.11), with what part of the bars is lapped within 0.65 lap
/// lengths of the middle (from memory). Above one half alpha_6 is taken as 1.5, where its formula and its table disagree.
///
/// # Errors
///
/// Those of [`basic_length`], and for a part that is none.
pub fn lap(bar: &Anchored, lapped: Ratio) -> Result<Worked<Length>, Unanswered> {
    let basic = basic_length(bar)?.value;
    let percent = lapped.percent();
    if !(percent > 0.0 && percent <= 100.0 + 1e-9) {
        return Err(Unanswered::Nothing("rho_1"));
    }
    let (alpha_6, why) = if percent > 50.0 + 1e-9 {
        (1.5, "more than half of the bars lapped at one place")
    } else {
        ((percent / 25.0).sqrt().max(1.0), "sqrt(rho_1 / 25), half of the bars or less lapped at one place")
    };
    let alpha_2 = cover_factor(bar);
    let least = times(basic, 0.3 * alpha_6).max(bar.diameter * 15).max(mm(200));
    Ok(Worked {
        value: times(basic, alpha_2 * alpha_6).max(least),
        formula: "greater of alpha_2 * alpha_6 * lb,rqd and l0,min",
        source: "EN 1992-1-1 (8.10) and (8.11), from memory",
        parts: [
            Part::number("alpha_2", alpha_2, "1 - 0.15 (cd - phi) / phi, between 0.7 and 1.0"),
            Part::number("alpha_6", alpha_6, why),
            Part::length("lb,rqd", basic, "phi / 4 * sigma_sd / fbd, basic required anchorage length"),
            Part::length("l0,min", least, "greatest of 0.3 alpha_6 lb,rqd, 15 phi and 200 mm"),
        ]
        .into_iter()
        .chain(rests_on(bar)?)
        .collect(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{ledger::Figure, standards::tests::printed};
    use proptest::prelude::*;

    fn bar(phi: i64, fck: f64, bond: Bond) -> Anchored {
        Anchored { diameter: mm(phi), fck: Stress::from_mpa(fck), fyk: Stress::from_mpa(500.0), bond, cd: mm(35) }
    }

    fn millimetres(worked: Result<Worked<Length>, Unanswered>) -> f64 {
        worked.unwrap().value.metres() * 1e3
    }

    #[test]
    fn basic_lengths_of_b500_by_en_1992_1_1() {
        // Computed from (8.3), whole millimetres: C20/25, C25/30, C30/37 good, then poor.
        for (phi, row) in [
            (8, [375, 323, 286, 535, 461, 408]),
            (10, [468, 404, 357, 669, 577, 511]),
            (12, [562, 484, 429, 803, 692, 613]),
            (16, [749, 646, 572, 1070, 922, 817]),
            (20, [937, 807, 715, 1338, 1153, 1021]),
            (25, [1171, 1009, 893, 1673, 1441, 1276]),
            (32, [1499, 1291, 1144, 2141, 1845, 1634]),
        ] {
            let conditions = [Bond::Good, Bond::Poor]
                .into_iter()
                .flat_map(|bond| [20.0, 25.0, 30.0].map(|fck| millimetres(basic_length(&bar(phi, fck, bond)))));
            for (found, expected) in conditions.zip(row) {
                printed(found, f64::from(expected), 0);
            }
        }
    }

    #[test]
    fn dev_13_to_15_a_published_worked_calculation_for_12_mm_in_c25_30() {
        let good = bar(12, 25.0, Bond::Good);
        printed(bond_stress(mm(12), good.fck, Bond::Good).unwrap().value.mpa(), 2.693, 3);
        printed(millimetres(basic_length(&good)), 484.0, 0);
        let anchored = straight(&good).unwrap();
        assert_eq!(anchored.part("alpha_2"), Some(Figure::Number(0.7125)));
        printed(millimetres(Ok(anchored)), 345.0, 0);
        let poor = bar(12, 25.0, Bond::Poor);
        printed(millimetres(basic_length(&poor)), 692.0, 0);
        printed(millimetres(straight(&poor)), 493.0, 0);
        let pressed = compressed(&good).unwrap();
        let Some(Figure::Length(least)) = pressed.part("lb,min") else { panic!() };
        printed(least.metres() * 1e3, 290.6, 1);
        printed(millimetres(Ok(pressed)), 484.0, 0);
    }

    #[test]
    fn floors_and_ends() {
        let thin = Anchored { fyk: Stress::from_mpa(50.0), ..bar(8, 50.0, Bond::Good) };
        assert_eq!(straight(&thin).unwrap().value, mm(100));
        assert_eq!(lap(&thin, Ratio::from_percent(20.0)).unwrap().value, mm(200));
        let thick = Anchored { fyk: Stress::from_mpa(50.0), ..bar(20, 50.0, Bond::Good) };
        assert_eq!(straight(&thick).unwrap().value, mm(200));
        assert_eq!(lap(&thick, Ratio::from_percent(20.0)).unwrap().value, mm(300));
        assert!(tensile_strength(Stress::from_mpa(50.0)).is_ok());
        assert!(matches!(tensile_strength(Stress::from_mpa(55.0)), Err(Unanswered::Outside("fck", _))));
        let forty = bond_stress(mm(40), Stress::from_mpa(25.0), Bond::Good).unwrap();
        assert_eq!(forty.part("eta_2"), Some(Figure::Number(0.92)));
        assert!(bond_stress(mm(140), Stress::from_mpa(25.0), Bond::Good).is_err());
        assert_eq!(straight(&Anchored { fyk: Stress::ZERO, ..thin }), Err(Unanswered::Nothing("fyk")));
    }

    #[test]
    fn laps_by_the_part_of_bars_at_one_place() {
        let bar = bar(12, 25.0, Bond::Good);
        let factor = |percent: f64| match lap(&bar, Ratio::from_percent(percent)).unwrap().part("alpha_6") {
            Some(Figure::Number(found)) => found,
            other => panic!("{other:?}"),
        };
        // EN 1992-1-1 Table 8.3: 1, 1.15, 1.4, 1.5.
        for (percent, printed_as, places) in
            [(10.0, 1.0, 3), (25.0, 1.0, 3), (33.0, 1.15, 2), (50.0, 1.4, 1), (51.0, 1.5, 3), (100.0, 1.5, 3)]
        {
            printed(factor(percent), printed_as, places);
        }
        for none in [0.0, -1.0, 101.0, f64::NAN] {
            assert_eq!(lap(&bar, Ratio::from_percent(none)), Err(Unanswered::Nothing("rho_1")));
        }
    }

    #[test]
    fn upright_and_low_bars_are_held_well() {
        assert_eq!(Bond::of(None), Bond::Good);
        assert_eq!(Bond::of(Some(mm(250))), Bond::Good);
        assert_eq!(Bond::of(Some(mm(251))), Bond::Poor);
    }

    proptest! {
        #[test]
        fn laps_are_no_shorter_than_anchorages_and_both_shrink_with_strength_and_cover(
            phi in 6_i64..40, fck in 12.0..45.0_f64, poor: bool, cd in 5_i64..100, percent in 1.0..100.0_f64,
        ) {
            let bond = if poor { Bond::Poor } else { Bond::Good };
            let bar = Anchored { cd: mm(cd), ..bar(phi, fck, bond) };
            let (anchored, lapped) = (straight(&bar).unwrap().value, lap(&bar, Ratio::from_percent(percent)).unwrap().value);
            prop_assert!(lapped >= anchored);
            let stronger = Anchored { fck: bar.fck * 1.1, ..bar };
            prop_assert!(straight(&stronger).unwrap().value <= anchored);
            let covered = Anchored { cd: bar.cd + mm(5), ..bar };
            prop_assert!(straight(&covered).unwrap().value <= anchored);
            let thicker = Anchored { diameter: bar.diameter + mm(1), ..bar };
            prop_assert!(straight(&thicker).unwrap().value >= anchored);
        }
    }
}

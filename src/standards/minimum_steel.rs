//! The least steel in walls and slabs, and the spacing that just gives it.
//!
//! Ratios are of the gross section, h wide, never of the effective depth. Steel areas are the tabulated ones of the bars,
//! not pi d^2 / 4.

use super::{Part, Size, Unanswered, Worked, edition, mils, mm, some_length, some_stress};
use crate::{
    ledger::Figure,
    units::{Area, Length, Ratio, Stress, System},
};

/// Shrinkage and temperature steel, 0.0018 of the gross section for every grade: ACI 318-19 24.4.3.2 (seen in a digest). For
/// structural one-way slabs; slabs on ground are not meant. Footings and one-way slabs take the same as their least
/// flexural steel (7.6.1.1, from memory).
pub const SHRINKAGE: Ratio = Ratio::from_fraction(0.0018);

/// What a wall is reinforced with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WallSteel {
    /// Deformed bars of this diameter and yield strength.
    Bars(Length, Stress),
    /// Welded wire up to W31 or D31.
    Wire,
}

/// The least ratios of a wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WallRatios {
    /// Of upright steel.
    pub upright: Ratio,
    /// Of level steel.
    pub level: Ratio,
}

/// Least ratios of cast-in-place walls with low in-plane shear: ACI 318-19 Table 11.6.1 (seen in a digest). Under more shear
/// both are at least 0.0025 (11.6.2), which is not reckoned here.
///
/// # Errors
///
/// [`Unanswered`] for no bar, above #18 and for no yield strength.
pub fn wall_ratios(steel: WallSteel) -> Result<Worked<WallRatios>, Unanswered> {
    let light = |why| (0.0012, 0.0020, why);
    let (upright, level, part) = match steel {
        WallSteel::Wire => {
            let (upright, level, why) = light("welded wire up to W31 or D31");
            (upright, level, Part::number("rho", level, why))
        }
        WallSteel::Bars(diameter, fy) => {
            let size = Size::of(some_length("db", diameter)?);
            let size = size.ok_or(Unanswered::Outside("db", "bars are tabulated up to #18"))?;
            let strong = some_stress("fy", fy)? >= Stress::from_psi(59_999.9);
            let (upright, level, why) = if size > Size::No5 {
                (0.0015, 0.0025, "bars larger than #5")
            } else if strong {
                light("bars up to #5 of Grade 60 or more")
            } else {
                (0.0015, 0.0025, "bars up to #5 below Grade 60")
            };
            (upright, level, Part::length("db", diameter, why))
        }
    };
    Ok(Worked {
        value: WallRatios { upright: Ratio::from_fraction(upright), level: Ratio::from_fraction(level) },
        formula: "table, by size and grade",
        source: "ACI 318-19 Table 11.6.1, seen in a digest",
        parts: vec![part],
    })
}

/// The least steel in a width of a member: rho h b. The ratio is taken to the nearest millionth, the area is exact.
///
/// # Errors
///
/// [`Unanswered`] for no ratio, thickness or width.
pub fn least_area(ratio: Ratio, thickness: Length, width: Length) -> Result<Worked<Area>, Unanswered> {
    let (h, b) = (some_length("h", thickness)?, some_length("b", width)?);
    let gross = (h * b).nm2();
    let area = gross
        .checked_mul(millionths(ratio)?)
        .map(|area| Area::from_nm2(area / 1_000_000))
        .ok_or(Unanswered::Outside("h", "larger than can be reckoned"))?;
    Ok(Worked {
        value: area,
        formula: "rho * h * b",
        source: "",
        parts: vec![
            Part { symbol: "rho", value: Figure::Ratio(ratio), why: "least ratio of the gross section" },
            Part::length("h", h, "thickness"),
            Part::length("b", b, "width looked at"),
        ],
    })
}

fn millionths(ratio: Ratio) -> Result<i128, Unanswered> {
    let millionths = (ratio.fraction() * 1e6).round();
    if (1.0..=1e6).contains(&millionths) { Ok(millionths as i128) } else { Err(Unanswered::Nothing("rho")) }
}

/// The steel that bars at a spacing give in a width: Ab b / s, with the tabulated area of the bar. Rounded down.
///
/// # Errors
///
/// [`Unanswered`] for no area, spacing or width.
pub fn area_at(bar: Area, spacing: Length, width: Length) -> Result<Worked<Area>, Unanswered> {
    let (s, b) = (some_length("s", spacing)?, some_length("b", width)?);
    let area = some_area(bar)?
        .nm2()
        .checked_mul(i128::from(b.nm()))
        .map(|area| Area::from_nm2(area / i128::from(s.nm())))
        .ok_or(Unanswered::Outside("b", "larger than can be reckoned"))?;
    Ok(Worked {
        value: area,
        formula: "Ab * b / s",
        source: "",
        parts: vec![
            Part::area("Ab", bar, "tabulated area of one bar"),
            Part::length("b", b, "width looked at"),
            Part::length("s", s, "spacing of the bars"),
        ],
    })
}

fn some_area(area: Area) -> Result<Area, Unanswered> {
    if area > Area::ZERO { Ok(area) } else { Err(Unanswered::Nothing("Ab")) }
}

/// The widest spacing of bars that still gives the least steel: Ab / (rho h), rounded down to the nanometre. Take the
/// lesser of it and [`super::spacing::greatest`].
///
/// # Errors
///
/// [`Unanswered`] for no area, ratio or thickness.
pub fn widest_spacing(bar: Area, ratio: Ratio, thickness: Length) -> Result<Worked<Length>, Unanswered> {
    let h = some_length("h", thickness)?;
    let per = millionths(ratio)?.saturating_mul(i128::from(h.nm()));
    let spacing = some_area(bar)?.nm2().checked_mul(1_000_000).map(|area| area / per.max(1));
    let spacing = spacing.and_then(|nm| i64::try_from(nm).ok()).filter(|nm| *nm <= Length::LIMIT.nm());
    Ok(Worked {
        value: Length::from_nm(spacing.ok_or(Unanswered::Outside("Ab", "larger than can be reckoned"))?),
        formula: "Ab / (rho * h)",
        source: "",
        parts: vec![
            Part::area("Ab", bar, "tabulated area of one bar"),
            Part { symbol: "rho", value: Figure::Ratio(ratio), why: "least ratio of the gross section" },
            Part::length("h", h, "thickness"),
        ],
    })
}

/// A wall, for its least thickness.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WallUse {
    /// A bearing wall of this height and length between supports.
    Bearing(Length, Length),
    /// An exterior basement or foundation wall.
    Foundation,
}

/// Least thickness of a wall by the simplified method: ACI 318-19 Table 11.3.1.1 (seen in a digest): 7 1/2 in (190 mm) for
/// exterior basement and foundation walls, the greater of 4 in (100 mm, from memory) and 1/25 of the lesser of height and
/// length for bearing walls.
#[must_use]
pub fn wall_thickness(wall: WallUse, system: System) -> Worked<Length> {
    let source = "ACI 318-19 Table 11.3.1.1, seen in a digest";
    match wall {
        WallUse::Foundation => {
            let least = edition(system, mils(7500), mm(190));
            let parts = vec![Part::length("least", least, "exterior basement and foundation walls")];
            Worked { value: least, formula: "least", source, parts }
        }
        WallUse::Bearing(height, length) => {
            let (least, span) = (edition(system, mils(4000), mm(100)), height.min(length));
            let parts = vec![
                Part::length("least", least, "bearing walls"),
                Part::length("l", span, "lesser of height and length"),
            ];
            Worked { value: least.max(span / 25), formula: "greater of least and l / 25", source, parts }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::{
        spacing::{Spread, greatest},
        tests::{area_of, inches, no, printed, square_inches},
    };
    use proptest::prelude::*;

    const LEVEL: f64 = 0.0020;
    const UPRIGHT: f64 = 0.0012;

    fn per_foot(ratio: f64, h: i64) -> f64 {
        square_inches(least_area(Ratio::from_fraction(ratio), Length::INCH * h, Length::FOOT).unwrap().value)
    }

    fn at(size: usize, ratio: f64, h: i64) -> f64 {
        widest_spacing(area_of(size), Ratio::from_fraction(ratio), Length::INCH * h).unwrap().value.inches()
    }

    #[test]
    fn required_steel_and_its_spacing_by_aci_318_table_11_6_1_and_24_4_3_2() {
        // h; per foot and #4, #5 at: level 0.0020; per foot 0.0025; upright 0.0012; per foot 0.0015; shrinkage 0.0018.
        for (h, level, more, upright, more_upright, shrinkage) in [
            (6, [0.1440, 16.67, 25.83], 0.1800, [0.0864, 27.78, 43.06], 0.1080, [0.1296, 18.52, 28.70]),
            (8, [0.1920, 12.50, 19.38], 0.2400, [0.1152, 20.83, 32.29], 0.1440, [0.1728, 13.89, 21.53]),
            (10, [0.2400, 10.00, 15.50], 0.3000, [0.1440, 16.67, 25.83], 0.1800, [0.2160, 11.11, 17.22]),
            (12, [0.2880, 8.33, 12.92], 0.3600, [0.1728, 13.89, 21.53], 0.2160, [0.2592, 9.26, 14.35]),
        ] {
            for (ratio, [area, four, five]) in [(LEVEL, level), (UPRIGHT, upright), (0.0018, shrinkage)] {
                printed(per_foot(ratio, h), area, 4);
                printed(at(4, ratio, h), four, 2);
                printed(at(5, ratio, h), five, 2);
            }
            printed(per_foot(0.0025, h), more, 4);
            printed(per_foot(0.0015, h), more_upright, 4);
            assert_eq!(greatest(Spread::Wall, Length::INCH * h, System::Feet).unwrap().value, inches(18.0));
        }
    }

    #[test]
    fn a_wall_of_200_mm() {
        let per_metre = |ratio| {
            let area = least_area(Ratio::from_fraction(ratio), mm(200), Length::METRE).unwrap().value;
            area.square_metres() * 1e6
        };
        printed(per_metre(LEVEL), 400.0, 6);
        printed(per_metre(UPRIGHT), 240.0, 6);
        // 78.5 mm2 of a 10 mm bar.
        let bar = Area::from_nm2(78_500_000_000_000);
        let spacing = widest_spacing(bar, Ratio::from_fraction(LEVEL), mm(200)).unwrap().value;
        printed(spacing.metres() * 1e3, 196.0, 0);
    }

    #[test]
    fn ratios_by_size_and_grade() {
        let of = |size, psi| {
            let ratios = wall_ratios(WallSteel::Bars(no(size), Stress::from_psi(psi))).unwrap().value;
            (ratios.upright.fraction(), ratios.level.fraction())
        };
        assert_eq!(of(5, 60_000.0), (0.0012, 0.0020));
        assert_eq!(of(6, 60_000.0), (0.0015, 0.0025));
        // The ratios of Grade 60 are not for Grade 40.
        assert_eq!(of(5, 40_000.0), (0.0015, 0.0025));
        let wire = wall_ratios(WallSteel::Wire).unwrap().value;
        assert_eq!((wire.upright.fraction(), wire.level.fraction()), (0.0012, 0.0020));
        assert!(wall_ratios(WallSteel::Bars(mm(70), Stress::from_mpa(420.0))).is_err());
        assert!(wall_ratios(WallSteel::Bars(no(4), Stress::ZERO)).is_err());
    }

    fn given(size: usize, spacing: i64) -> Area {
        area_at(area_of(size), Length::INCH * spacing, Length::FOOT).unwrap().value
    }

    fn needed(ratio: f64) -> Area {
        least_area(Ratio::from_fraction(ratio), Length::INCH * 8, Length::FOOT).unwrap().value
    }

    #[test]
    fn min_1_and_2_number_four_in_an_8_in_wall() {
        printed(square_inches(given(4, 12)), 0.20, 9);
        assert!(given(4, 12) >= needed(LEVEL));
        printed(square_inches(given(4, 13)), 0.1846, 4);
        assert!(given(4, 13) < needed(LEVEL));
        printed(square_inches(given(4, 18)), 0.1333, 4);
        assert!(given(4, 18) >= needed(UPRIGHT));
        assert!(inches(24.0) > greatest(Spread::Wall, inches(8.0), System::Feet).unwrap().value);
    }

    #[test]
    fn min_3_grade_40_needs_10_in_exactly() {
        printed(square_inches(needed(0.0025)), 0.24, 9);
        assert_eq!(widest_spacing(area_of(4), Ratio::from_fraction(0.0025), inches(8.0)).unwrap().value, inches(10.0));
        assert!(given(4, 10) >= needed(0.0025));
        assert!(given(4, 11) < needed(0.0025));
    }

    #[test]
    fn min_4_a_pad_12_in_thick() {
        printed(per_foot(SHRINKAGE.fraction(), 12), 0.2592, 4);
        printed(at(4, SHRINKAGE.fraction(), 12), 9.26, 2);
        printed(at(5, SHRINKAGE.fraction(), 12), 14.35, 2);
    }

    #[test]
    fn the_tabulated_area_of_number_four_is_not_that_of_its_circle() {
        let circle = std::f64::consts::PI / 4.0 * no(4).inches() * no(4).inches();
        printed(circle, 0.1963, 4);
        printed(square_inches(area_of(4)), 0.20, 9);
    }

    #[test]
    fn thickness_of_walls() {
        assert_eq!(wall_thickness(WallUse::Foundation, System::Feet).value, inches(7.5));
        let bearing = |height: i64, length: i64| {
            wall_thickness(WallUse::Bearing(Length::INCH * height, Length::INCH * length), System::Feet).value
        };
        assert_eq!((bearing(96, 240), bearing(150, 240), bearing(240, 125)), (inches(4.0), inches(6.0), inches(5.0)));
    }

    #[test]
    fn nothing_and_far_too_much() {
        let ratio = SHRINKAGE;
        let far = Length::from_nm(i64::MAX);
        assert_eq!(least_area(ratio, Length::ZERO, Length::FOOT), Err(Unanswered::Nothing("h")));
        assert_eq!(least_area(Ratio::from_fraction(f64::NAN), far, far), Err(Unanswered::Nothing("rho")));
        assert!(least_area(ratio, far, far).is_err());
        assert!(area_at(Area::from_nm2(i128::MAX), far, far).is_err());
        assert!(widest_spacing(Area::from_nm2(i128::MAX), ratio, far).is_err());
        assert_eq!(area_at(Area::ZERO, far, far), Err(Unanswered::Nothing("Ab")));
    }

    proptest! {
        #[test]
        fn the_widest_spacing_gives_the_least_steel_and_no_wider_one_does(
            bar in 20_i64..2000, ratio in 10_i64..100, h in 50_i64..1000,
        ) {
            let bar = Area::from_nm2(i128::from(bar) * 1_000_000_000_000);
            let ratio = Ratio::from_fraction(ratio as f64 / 1e4);
            let widest = widest_spacing(bar, ratio, mm(h)).unwrap().value;
            let least = least_area(ratio, mm(h), Length::METRE).unwrap().value;
            prop_assert!(area_at(bar, widest, Length::METRE).unwrap().value >= least);
            prop_assert!(area_at(bar, widest + Length::from_nm(10), Length::METRE).unwrap().value <= least);
        }
    }
}

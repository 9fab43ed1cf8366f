//! How close bars may lie, and how far apart.
//!
//! Distances between bars are clear; the rules are written on nominal diameters.

use super::{Part, Unanswered, Worked, edition, mils, mm, some_length};
use crate::units::{Length, System, gaps};

/// Where parallel bars lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lie {
    /// Side by side in one level layer.
    Layer,
    /// Upright, in a column, pedestal or boundary element.
    Column,
}

/// Least clear distance of parallel bars: ACI 318-19 25.2.1 in a layer, the greatest of 1 in (25 mm), db and 4/3 of the
/// aggregate; 25.2.3 in columns and pedestals, the greatest of 1 1/2 in (40 mm), 1.5 db and 4/3 of the aggregate (seen in
/// an explanation; the aggregate's part from memory).
///
/// # Errors
///
/// [`Unanswered`] for no bar and for an aggregate less than nothing.
pub fn aci_clear(lie: Lie, diameter: Length, aggregate: Length, system: System) -> Result<Worked<Length>, Unanswered> {
    let db = some_length("db", diameter)?;
    if aggregate < Length::ZERO {
        return Err(Unanswered::Nothing("dagg"));
    }
    let (least, of_bar, why, formula, source) = match lie {
        Lie::Layer => (
            edition(system, mils(1000), mm(25)),
            db,
            "least in a layer",
            "greatest of least, db and 4/3 dagg",
            "ACI 318-19 25.2.1, seen in an explanation",
        ),
        Lie::Column => (
            edition(system, mils(1500), mm(40)),
            db * 3 / 2,
            "least in columns and pedestals",
            "greatest of least, 1.5 db and 4/3 dagg",
            "ACI 318-19 25.2.3, seen in an explanation",
        ),
    };
    Ok(Worked {
        value: least.max(of_bar).max(aggregate * 4 / 3),
        formula,
        source,
        parts: vec![
            Part::length("least", least, why),
            Part::length("db", db, "nominal diameter of the bar"),
            Part::length("dagg", aggregate, "largest aggregate; 4/3 from memory"),
        ],
    })
}

/// Least clear distance of layers, the bars of the upper straight above those of the lower: 1 in (25 mm), ACI 318-19
/// 25.2.2 (seen in an explanation).
#[must_use]
pub const fn between_layers(system: System) -> Length {
    edition(system, mils(1000), mm(25))
}

/// Least clear distance: the greatest of the diameter, the aggregate and 5 mm more, and 20 mm; EN 1992-1-1 8.2 (seen on
/// training slides).
///
/// # Errors
///
/// [`Unanswered`] for no bar and for an aggregate less than nothing.
pub fn en_clear(diameter: Length, aggregate: Length) -> Result<Worked<Length>, Unanswered> {
    let db = some_length("phi", diameter)?;
    if aggregate < Length::ZERO {
        return Err(Unanswered::Nothing("dg"));
    }
    Ok(Worked {
        value: db.max(aggregate + mm(5)).max(mm(20)),
        formula: "greatest of phi, dg + 5 mm and 20 mm",
        source: "EN 1992-1-1 8.2, seen on training slides",
        parts: vec![
            Part::length("phi", db, "nominal diameter of the bar"),
            Part::length("dg", aggregate, "largest aggregate"),
        ],
    })
}

/// What bars are spread over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spread {
    /// A wall, both ways: the lesser of 3 h and 18 in (450 mm), ACI 318-19 11.7.2.1 and 11.7.3.1 (seen in a digest).
    Wall,
    /// A slab or a footing: the lesser of 3 h and 18 in (450 mm) (from memory).
    Slab,
    /// Shrinkage and temperature steel: the lesser of 5 h and 18 in (450 mm), ACI 318-19 24.4.3.3 (seen in a digest).
    Shrinkage,
}

/// Greatest distance from centre to centre: see [`Spread`].
///
/// # Errors
///
/// [`Unanswered`] for no thickness.
pub fn greatest(spread: Spread, thickness: Length, system: System) -> Result<Worked<Length>, Unanswered> {
    let h = some_length("h", thickness)?;
    let (n, why, source) = match spread {
        Spread::Wall => (3, "walls, both ways", "ACI 318-19 11.7.2.1 and 11.7.3.1, seen in a digest"),
        Spread::Slab => (3, "slabs and footings", "ACI 318-19 7.7.2.3, from memory"),
        Spread::Shrinkage => (5, "shrinkage and temperature steel", "ACI 318-19 24.4.3.3, seen in a digest"),
    };
    let most = edition(system, mils(18_000), mm(450));
    Ok(Worked {
        value: (h * n).min(most),
        formula: "lesser of n * h and most",
        source,
        parts: vec![
            Part::number("n", n as f64, why),
            Part::length("h", h, "thickness"),
            Part::length("most", most, "the Code's most"),
        ],
    })
}

/// How many layers of bars a wall has at least: two above 10 in (250 mm), save in single-storey basement walls and
/// cantilever retaining walls; ACI 318-19 11.7.2.3 (seen in a digest).
#[must_use]
pub fn wall_layers(thickness: Length, basement_or_retaining: bool, system: System) -> Worked<u64> {
    let limit = edition(system, mils(10_000), mm(250));
    let (value, why) = if basement_or_retaining {
        (1, "single-storey basement wall or cantilever retaining wall")
    } else if thickness > limit {
        (2, "thicker than 10 in (250 mm)")
    } else {
        (1, "up to 10 in (250 mm)")
    };
    Worked {
        value,
        formula: "by thickness and sort of wall",
        source: "ACI 318-19 11.7.2.3, seen in a digest",
        parts: vec![Part::length("h", thickness, why)],
    }
}

/// Bars side by side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Across {
    /// How many.
    pub count: u64,
    /// From centre to centre; nothing for a single bar.
    pub spacing: Length,
}

/// The fewest bars over a width, the first and the last so far from its ends, with no more than `at_most` between two:
/// n = (W - 2 e) / s rounded up, and one more. Counted in whole nanometres.
///
/// # Errors
///
/// [`Unanswered`] where the ends leave no width or nothing is allowed between two.
pub fn over_width(width: Length, end: Length, at_most: Length) -> Result<Worked<Across>, Unanswered> {
    let clear = width - end * 2;
    if clear < Length::ZERO {
        return Err(Unanswered::Nothing("W - 2 e"));
    }
    let gaps = gaps(clear, at_most).ok_or(Unanswered::Nothing("s"))?;
    let spacing = i64::try_from(gaps).map_or(Length::ZERO, |gaps| clear / gaps);
    Ok(Worked {
        value: Across { count: gaps.saturating_add(1), spacing },
        formula: "(W - 2 e) / s rounded up, and one more",
        source: "",
        parts: vec![
            Part::length("W", width, "width"),
            Part::length("e", end, "from each end to the first bar"),
            Part::length("s", at_most, "greatest spacing"),
        ],
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::tests::{inches, no};
    use proptest::prelude::*;

    const FEET: System = System::Feet;

    #[test]
    fn spc_1_and_2_aggregate_and_bar() {
        let clear = |size, aggregate| aci_clear(Lie::Layer, no(size), inches(aggregate), FEET).unwrap().value;
        assert_eq!(clear(8, 0.75), inches(1.0));
        assert_eq!(clear(5, 1.5), inches(2.0));
        assert_eq!(clear(9, 0.75), inches(1.128));
        let column = |size, aggregate| aci_clear(Lie::Column, no(size), inches(aggregate), FEET).unwrap().value;
        assert_eq!((column(4, 0.75), column(9, 0.75), column(4, 1.5)), (inches(1.5), inches(1.692), inches(2.0)));
        assert_eq!(aci_clear(Lie::Layer, mm(12), mm(16), System::Metric).unwrap().value, mm(25));
        assert_eq!(aci_clear(Lie::Column, mm(12), mm(16), System::Metric).unwrap().value, mm(40));
        assert!(aci_clear(Lie::Layer, mm(12), mm(-1), FEET).is_err());
        assert_eq!((between_layers(FEET), between_layers(System::Metric)), (inches(1.0), mm(25)));
    }

    #[test]
    fn clear_by_en_1992_1_1() {
        let clear = |d, dg| en_clear(mm(d), mm(dg)).unwrap().value;
        assert_eq!((clear(12, 8), clear(12, 20), clear(32, 20)), (mm(20), mm(25), mm(32)));
        assert!(en_clear(mm(0), mm(20)).is_err() && en_clear(mm(12), mm(-1)).is_err());
    }

    #[test]
    fn spc_3_to_5_bars_over_a_width() {
        for (width, at_most, count, spacing) in [(240, 16, 16, 15.6), (240, 12, 21, 11.7), (96, 16, 7, 15.0)] {
            let across = over_width(Length::INCH * width, Length::INCH * 3, Length::INCH * at_most).unwrap().value;
            assert_eq!(across, Across { count, spacing: inches(spacing) });
        }
        // 2.1 / 0.7 is a little more than 3 in floating numbers, and 0.7 / 0.1 a little less than 7.
        let tenth = Length::METRE / 10;
        assert_eq!(over_width(tenth * 21, Length::ZERO, tenth * 7).unwrap().value.count, 4);
        assert_eq!(over_width(tenth * 42, Length::ZERO, tenth * 6).unwrap().value.count, 8);
        assert_eq!(over_width(tenth * 7, Length::ZERO, tenth).unwrap().value.count, 8);
        let single = over_width(tenth * 2, tenth, tenth).unwrap().value;
        assert_eq!(single, Across { count: 1, spacing: Length::ZERO });
        assert_eq!(over_width(tenth, tenth, tenth), Err(Unanswered::Nothing("W - 2 e")));
        assert_eq!(over_width(tenth, Length::ZERO, Length::ZERO), Err(Unanswered::Nothing("s")));
    }

    #[test]
    fn spc_6_greatest_spacing() {
        let at = |spread, h: f64| greatest(spread, inches(h), FEET).unwrap().value;
        assert_eq!(at(Spread::Wall, 6.0), inches(18.0));
        assert_eq!(at(Spread::Wall, 5.0), inches(15.0));
        assert_eq!(at(Spread::Slab, 4.0), inches(12.0));
        assert_eq!(at(Spread::Shrinkage, 3.0), inches(15.0));
        assert_eq!(at(Spread::Shrinkage, 4.0), inches(18.0));
        assert_eq!(greatest(Spread::Wall, mm(200), System::Metric).unwrap().value, mm(450));
        assert!(greatest(Spread::Wall, Length::ZERO, FEET).is_err());
    }

    #[test]
    fn layers_of_walls() {
        assert_eq!(wall_layers(inches(10.0), false, FEET).value, 1);
        assert_eq!(wall_layers(inches(10.1), false, FEET).value, 2);
        assert_eq!(wall_layers(inches(12.0), true, FEET).value, 1);
        assert_eq!(wall_layers(mm(251), false, System::Metric).value, 2);
    }

    proptest! {
        #[test]
        fn bars_fill_the_width_and_one_less_would_not(
            width in 1_i64..100_000, end in 0_i64..200, at_most in 1_i64..2000,
        ) {
            let (width, end, at_most) = (mm(width), mm(end), mm(at_most));
            if let Ok(across) = over_width(width, end, at_most) {
                let (count, spacing) = (i64::try_from(across.value.count).unwrap(), across.value.spacing);
                prop_assert!(spacing <= at_most + Length::from_nm(1));
                prop_assert!((spacing * (count - 1) - (width - end * 2)).abs().nm() <= count);
                prop_assert!(count < 2 || at_most * (count - 2) < width - end * 2);
            }
        }
    }
}

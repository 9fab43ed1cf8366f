//! How far finished concrete may be off in size, level and plumb.
//!
//! ACI 117-90 as the guide specification UFGS 03700 reprints it in its table of tolerances (p. 26, seen): vertical alignment
//! (4.1.1), level alignment (4.3), cross-sectional dimensions (4.4.1). The reprint leaves the clauses' numbers out: they are
//! from memory. Its page ends within the cross-sections: what is thicker than 12 in is from memory too. All of it is inch
//! figures; the SI edition was not seen, so that metric jobs take the same lengths exactly.

use super::{PRACTICE, Part, Unanswered, Worked, mils, some_length};
use crate::units::Length;

/// How far something may be off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tolerance {
    /// How much more than planned it may be: thicker, higher, further out.
    pub more: Length,
    /// How much less.
    pub less: Length,
}

impl Tolerance {
    /// So much either way.
    const fn either(way: Length) -> Tolerance {
        Tolerance { more: way, less: way }
    }

    /// Whether something that is off by so much, less than nothing where it is less than planned, is within it. At the
    /// limit it is.
    #[must_use]
    pub fn holds(self, off: Length) -> bool {
        off <= self.more && Length::ZERO - off <= self.less
    }
}

/// The table, as far as the page goes.
const TABLE: &str = "ACI 117-90, as reprinted in UFGS 03700, p. 26";

/// How thick a wall or slab may come out: ACI 117-90 4.4.1, +3/8 in and -1/4 in up to 12 in (seen), +1/2 in and -3/8 in up to
/// 3 ft, +1 in and -3/4 in above (both from memory).
///
/// # Errors
///
/// [`Unanswered`] for no thickness.
pub fn thickness(planned: Length) -> Result<Worked<Tolerance>, Unanswered> {
    let planned = some_length("thick", planned)?;
    let (more, less, why, source) = if planned <= Length::FOOT {
        (375, 250, "planned; 12 in or less", TABLE)
    } else if planned <= Length::FOOT * 3 {
        (500, 375, "planned; more than 12 in, not over 3 ft", "ACI 117-90 4.4.1, above 12 in from memory")
    } else {
        (1000, 750, "planned; over 3 ft", "ACI 117-90 4.4.1, above 12 in from memory")
    };
    Ok(Worked {
        value: Tolerance { more: mils(more), less: mils(less) },
        formula: "table, by thickness",
        source,
        parts: vec![Part::length("thick", planned, why)],
    })
}

/// How far the top of a wall may be off its level: ACI 117-90 4.3.3, 1/2 in for lines exposed to view (seen).
#[must_use]
pub fn top() -> Worked<Tolerance> {
    let way = mils(500);
    Worked {
        value: Tolerance::either(way),
        formula: "way, either way",
        source: TABLE,
        parts: vec![Part::length("way", way, "sills, parapets and other lines exposed to view")],
    }
}

/// How far an underside may be off its level: ACI 117-90 4.3.2, 3/4 in for formed surfaces before shores are removed (seen).
/// What is cast on the ground stands in no row: the same is taken, common practice, no source.
#[must_use]
pub fn underside(formed: bool) -> Worked<Tolerance> {
    let way = mils(750);
    let (why, source) = if formed {
        ("formed surfaces, before shores are removed", TABLE)
    } else {
        ("on the ground, taken as formed undersides are", PRACTICE)
    };
    Worked {
        value: Tolerance::either(way),
        formula: "way, either way",
        source,
        parts: vec![Part::length("way", way, why)],
    }
}

/// How far a face so high may be out of plumb: ACI 117-90 4.1.1, 1 in up to 100 ft, above that a thousandth of the height and
/// no more than 6 in (seen).
///
/// # Errors
///
/// [`Unanswered`] for no height.
pub fn plumb(height: Length) -> Result<Worked<Tolerance>, Unanswered> {
    let height = some_length("height", height)?;
    let (more, formula, why) = if height <= Length::FOOT * 100 {
        (mils(1000), "table, by height", "planned; 100 ft or less")
    } else {
        ((height / 1000).min(mils(6000)), "lesser of height / 1000 and 6 in", "planned; more than 100 ft")
    };
    Ok(Worked {
        // Out of plumb is told without a way: there is no less.
        value: Tolerance { more, less: Length::ZERO },
        formula,
        source: TABLE,
        parts: vec![Part::length("height", height, why)],
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::standards::tests::inches;

    /// The least a tape shows beyond a limit.
    const BEYOND: f64 = 1.0 / 16.0;

    /// Holds at both limits, and no further.
    #[track_caller]
    fn limits(tolerance: Tolerance, more: f64, less: f64) {
        for off in [0.0, more, -less] {
            assert!(tolerance.holds(inches(off)), "{off}");
        }
        for off in [more + BEYOND, -less - BEYOND] {
            assert!(!tolerance.holds(inches(off)), "{off}");
        }
    }

    /// The published figures: UFGS 03700, p. 26; above 12 in from memory.
    #[test]
    fn the_table_holds_at_its_limits_and_not_a_sixteenth_beyond() {
        for (thick, more, less) in [
            (0.5, 0.375, 0.25),
            (8.0, 0.375, 0.25),
            (12.0, 0.375, 0.25),
            (12.0625, 0.5, 0.375),
            (36.0, 0.5, 0.375),
            (36.0625, 1.0, 0.75),
        ] {
            limits(thickness(inches(thick)).unwrap().value, more, less);
        }
        limits(top().value, 0.5, 0.5);
        limits(underside(true).value, 0.75, 0.75);
        limits(underside(false).value, 0.75, 0.75);
        assert_ne!(underside(true).source, underside(false).source);
        for (feet, most) in [(3.0, 1.0), (100.0, 1.0), (200.0, 2.4), (600.0, 6.0)] {
            limits(plumb(inches(feet * 12.0)).unwrap().value, most, 0.0);
        }
        assert_eq!(thickness(Length::ZERO), Err(Unanswered::Nothing("thick")));
        assert_eq!(plumb(Length::ZERO), Err(Unanswered::Nothing("height")));
    }

    proptest! {
        #[test]
        fn what_is_nearer_holds_as_well_and_thicker_never_less(
            thick in 1_i64..2_000,
            thicker in 0_i64..2_000,
            off in -64_i64..64,
        ) {
            let sixteenth = Length::INCH / 16;
            let (one, other) = (thickness(sixteenth * thick).unwrap(), thickness(sixteenth * (thick + thicker)).unwrap());
            if one.value.holds(sixteenth * off) {
                prop_assert!(one.value.holds(sixteenth * (off - off.signum())));
                prop_assert!(other.value.holds(sixteenth * off));
            }
        }
    }
}

//! Holes beside a foundation: what may be dug beside a footing, and how wide a sloped cut opens.
//!
//! Below an existing footing nothing is answered but that an engineer decides: 29 CFR 1926.651(i)(2) (seen).

use super::{Figure, Part, Unanswered, Worked, some_length};
use crate::{standards::PRACTICE, units::Length};

/// Soil by its class: what has been dug before is never A, and backfill along a house is C more often than B. Ratios seen in
/// a course notebook.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Soil {
    /// Stable rock: upright.
    Rock,
    /// Type A: 3/4 to 1.
    A,
    /// Type B: 1 to 1.
    B,
    /// Type C: 1 1/2 to 1, no benches.
    C,
}

/// The deepest cut the slopes are for: 20 ft (seen); deeper ones are designed by an engineer.
pub const DEEPEST: Length = Length::from_nm(20 * Length::FOOT.nm());

/// From this depth on a way out is needed: 4 ft, 1926.651(c)(2) (seen).
pub const LADDER_FROM: Length = Length::from_nm(4 * Length::FOOT.nm());

/// From this depth on the sides are held or sloped; under it a competent person looks for signs of a cave-in: 5 ft,
/// 1926.652(a)(1) (seen in a secondary source).
pub const PROTECTED_FROM: Length = Length::from_nm(5 * Length::FOOT.nm());

/// How far spoil and gear stay from the edge: 2 ft, 1926.651(j)(2) (seen).
pub const SPOIL_BACK: Length = Length::from_nm(2 * Length::FOOT.nm());

/// How wide a cut with both sides sloped is at the top.
///
/// # Errors
///
/// [`Unanswered`] for no depth, a bottom less than nothing, and a depth over [`DEEPEST`].
pub fn width_at_top(bottom: Length, depth: Length, soil: Soil) -> Result<Worked<Length>, Unanswered> {
    let d = some_length("d", depth)?;
    if bottom < Length::ZERO {
        return Err(Unanswered::Nothing("bottom"));
    }
    if d > DEEPEST {
        return Err(Unanswered::Outside("d", "sloped cuts are covered down to 20 ft"));
    }
    let quarters = match soil {
        Soil::Rock => 0,
        Soil::A => 3,
        Soil::B => 4,
        Soil::C => 6,
    };
    Ok(Worked {
        value: bottom + d * 2 * quarters / 4,
        formula: "bottom + 2 * d * ratio",
        source: "29 CFR 1926 Subpart P, Appendix B, ratios seen in a course notebook",
        parts: vec![
            Part::length("bottom", bottom, "width at the bottom"),
            Part::length("d", d, "depth"),
            Part {
                symbol: "ratio",
                value: Figure::Number(quarters as f64 / 4.0),
                why: "how far the side leans, for each unit of depth",
            },
        ],
    })
}

/// How deep one may dig below the base of a footing at a distance from its edge before the ground under it is touched: 1 in 1
/// in firm soil, 1 in 2 in sand or soft ground (common practice, no source).
///
/// # Errors
///
/// [`Unanswered`] for a distance less than nothing: under the footing itself an engineer decides.
pub fn deepest_beside(distance: Length, firm: bool) -> Result<Worked<Length>, Unanswered> {
    if distance < Length::ZERO {
        return Err(Unanswered::Outside("x", "under the footing itself a licensed engineer decides"));
    }
    Ok(Worked {
        value: if firm { distance } else { distance / 2 },
        formula: if firm { "x" } else { "x / 2" },
        source: PRACTICE,
        parts: vec![Part::length("x", distance, "from the edge of the footing, level")],
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::tests::inches;

    #[test]
    fn slopes_and_influence() {
        // 29 CFR 1926 Subpart P, Appendix B; the 65 ft as a course on excavation of the University of Florida works it.
        let top =
            |bottom, depth, soil| width_at_top(Length::FOOT * bottom, Length::FOOT * depth, soil).map(|w| w.value);
        assert_eq!(top(2, 4, Soil::C), Ok(Length::FOOT * 14));
        assert_eq!(top(5, 20, Soil::C), Ok(Length::FOOT * 65));
        assert_eq!(top(2, 4, Soil::A), Ok(Length::FOOT * 8));
        assert_eq!(top(2, 4, Soil::Rock), Ok(Length::FOOT * 2));
        assert!(top(5, 21, Soil::B).is_err());
        let may = |x: f64, y: f64, firm| deepest_beside(inches(x * 12.0), firm).unwrap().value >= inches(y * 12.0);
        assert_eq!((may(2.0, 1.0, true), may(2.0, 1.0, false)), (true, true));
        assert_eq!((may(1.5, 1.0, true), may(1.5, 1.0, false)), (true, false));
        assert!(deepest_beside(-Length::INCH, true).is_err());
    }
}

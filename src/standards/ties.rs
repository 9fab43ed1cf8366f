//! How often bars are tied where they cross, and the wire it takes. Ties hold bars in place and add nothing to strength.
//!
//! Patterns are common practice; trade magazines print that a tie at every fourth or fifth crossing is usually enough,
//! and for mats carried to their place, every crossing of the rim and every other one inside.

use super::{PRACTICE, Part, Size, Worked, edition, mils, mm};
use crate::units::{Length, Mass, System};

/// Which crossings are tied.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pattern {
    /// Every one.
    Every,
    /// Every other one, as the black fields of a chess board.
    Alternate,
    /// All round the rim, and every other one inside.
    RimAndAlternate,
    /// One in so many.
    OneIn(u64),
}

/// How many ties a grid of so many upright and level bars takes. Saturates.
#[must_use]
pub fn on_a_grid(pattern: Pattern, upright: u64, level: u64) -> Worked<u64> {
    let crossings = upright.saturating_mul(level);
    let (value, formula) = match pattern {
        Pattern::Every => (crossings, "n * m"),
        Pattern::Alternate => (crossings.div_ceil(2), "n * m / 2 rounded up"),
        Pattern::RimAndAlternate => {
            let inside = upright.saturating_sub(2).saturating_mul(level.saturating_sub(2));
            (crossings - inside + inside.div_ceil(2), "rim, and (n - 2) * (m - 2) / 2 rounded up")
        }
        // One in none is no pattern: every crossing is tied then.
        Pattern::OneIn(every) => (crossings.div_ceil(every.max(1)), "n * m / k rounded up"),
    };
    let mut parts = vec![Part::count("n", upright, "bars one way"), Part::count("m", level, "bars the other way")];
    if let Pattern::OneIn(every) = pattern {
        parts.push(Part::count("k", every, "one tie in so many crossings"));
    }
    Worked { value, formula, source: PRACTICE, parts }
}

/// Ties of one lap: three up to 3 ft, then one a foot, rounded up (common practice, no source).
#[must_use]
pub fn in_a_lap(lap: Length) -> Worked<u64> {
    let feet = u64::try_from(lap.nm()).unwrap_or(0).div_ceil(Length::FOOT.nm().unsigned_abs());
    Worked {
        value: feet.max(3),
        formula: "3, or one a foot where that is more",
        source: PRACTICE,
        parts: vec![Part::length("lap", lap, "length of the lap")],
    }
}

/// Ties of a dowel to the bar it stands at: two (common practice, no source).
pub const OF_A_DOWEL: u64 = 2;

/// Ties of one corner of a stirrup or closed tie: one (common practice, no source).
pub const OF_A_CORNER: u64 = 1;

/// How a tie is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Twist {
    /// Once round both bars.
    Snap,
    /// Once and a half round the upright bar, as in walls.
    Wrap,
    /// A saddle that holds a bar in both directions.
    Saddle,
}

/// The wire one tie takes: 10 in (250 mm) for a snap tie up to #5, 12 in (300 mm) from #6 on and for a wrap, 16 in (400 mm)
/// for a saddle (common practice, no source). 10 in at every crossing agrees with the 12 lb of wire for a ton of bars of a
/// military training text within a tenth.
#[must_use]
pub fn wire_of_a_tie(twist: Twist, thicker: Length, system: System) -> Length {
    let large = Size::of(thicker).is_none_or(|size| size >= Size::No6);
    match (twist, large) {
        (Twist::Saddle, _) => edition(system, mils(16_000), mm(400)),
        (Twist::Snap, false) => edition(system, mils(10_000), mm(250)),
        (Twist::Snap, true) | (Twist::Wrap, _) => edition(system, mils(12_000), mm(300)),
    }
}

/// The wire of so many ties.
#[must_use]
pub fn wire(ties: u64, each: Length) -> Worked<Length> {
    Worked {
        value: each * i64::try_from(ties).unwrap_or(i64::MAX),
        formula: "ties * each",
        source: "",
        parts: vec![Part::count("ties", ties, "as counted"), Part::length("each", each, "wire of one tie")],
    }
}

/// The weight of so much wire, from the weight of one metre of it.
#[must_use]
pub fn weight(wire: Length, per_metre: Mass) -> Mass {
    per_metre * wire.metres()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::tests::{inches, no, printed};
    use proptest::prelude::*;

    /// 16 gauge by the steel wire gauge, 0.0625 in, at 490 lb a cubic foot: 0.01044 lb a foot.
    fn gauge_16() -> Mass {
        Mass::from_lb(0.01044 / 0.3048)
    }

    #[test]
    fn tie_1_to_4_grids() {
        for (n, m, every, alternate, rim, fourth) in
            [(15, 5, 75, 38, 56, 19), (21, 4, 84, 42, 65, 21), (9, 9, 81, 41, 57, 21), (31, 7, 217, 109, 145, 55)]
        {
            let patterns = [Pattern::Every, Pattern::Alternate, Pattern::RimAndAlternate, Pattern::OneIn(4)];
            let found = patterns.map(|pattern| on_a_grid(pattern, n, m).value);
            assert_eq!(found, [every, alternate, rim, fourth]);
        }
    }

    #[test]
    fn tie_5_wire_of_a_grid() {
        let each = wire_of_a_tie(Twist::Snap, no(4), System::Feet);
        let wire = wire(on_a_grid(Pattern::Every, 15, 5).value, each).value;
        printed(wire.inches() / 12.0, 62.5, 9);
        // 0.6525 lb, printed as 0.652.
        printed(weight(wire, gauge_16()).lb(), 0.6525, 4);
    }

    #[test]
    fn tie_6_a_ton_of_mats() {
        // #4 at 12 in both ways: 1.336 lb of bars at each crossing.
        let ties = (2000.0_f64 / (2.0 * 0.668)).floor() as u64;
        assert_eq!(ties, 1497);
        let wire = wire(ties, inches(10.0)).value;
        printed(wire.inches() / 12.0, 1247.5, 0);
        let pounds = weight(wire, gauge_16()).lb();
        printed(pounds, 13.0, 1);
        // The training text's 12 lb a ton.
        assert!((pounds / 12.0 - 1.0).abs() < 0.1);
    }

    #[test]
    fn the_gauge_of_steel_wire_is_not_that_of_electric_wire() {
        let by_gauge = |diameter: f64| std::f64::consts::PI / 4.0 * diameter * diameter / 144.0 * 490.0;
        printed(by_gauge(0.0625), 0.01044, 5);
        // 16 AWG is 0.0508 in: half as much again would be missing.
        printed(by_gauge(0.0625) / by_gauge(0.0508), 1.51, 2);
    }

    #[test]
    fn narrow_grids_are_all_rim() {
        assert_eq!(on_a_grid(Pattern::RimAndAlternate, 30, 2).value, 60);
        assert_eq!(on_a_grid(Pattern::RimAndAlternate, 30, 1).value, 30);
        assert_eq!(on_a_grid(Pattern::RimAndAlternate, 0, 5).value, 0);
        assert_eq!(on_a_grid(Pattern::OneIn(0), 3, 4).value, 12);
        assert_eq!(on_a_grid(Pattern::Every, u64::MAX, u64::MAX).value, u64::MAX);
    }

    #[test]
    fn ties_of_laps_and_wire_by_twist() {
        assert_eq!([24.0, 36.0, 36.1, 48.0, 60.0].map(|lap| in_a_lap(inches(lap)).value), [3, 3, 4, 4, 5]);
        assert_eq!(in_a_lap(-inches(5.0)).value, 3);
        let each = |twist, size| wire_of_a_tie(twist, no(size), System::Feet);
        assert_eq!((each(Twist::Snap, 5), each(Twist::Snap, 6)), (inches(10.0), inches(12.0)));
        assert_eq!((each(Twist::Wrap, 4), each(Twist::Saddle, 4)), (inches(12.0), inches(16.0)));
        assert_eq!(wire_of_a_tie(Twist::Snap, mm(12), System::Metric), mm(250));
    }

    proptest! {
        #[test]
        fn no_pattern_ties_more_than_every_crossing(n in 0_u64..500, m in 0_u64..500, k in 1_u64..9) {
            let of = |pattern| on_a_grid(pattern, n, m).value;
            let every = of(Pattern::Every);
            prop_assert!(of(Pattern::Alternate) <= of(Pattern::RimAndAlternate));
            prop_assert!(of(Pattern::RimAndAlternate) <= every);
            prop_assert!(of(Pattern::OneIn(k + 1)) <= of(Pattern::OneIn(k)));
            prop_assert_eq!(of(Pattern::RimAndAlternate), on_a_grid(Pattern::RimAndAlternate, m, n).value);
        }
    }
}

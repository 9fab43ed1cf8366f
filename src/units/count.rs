//! Counts taken from measured amounts, with tolerances that are stated.

use super::Length;

/// The largest count that is answered.
pub const COUNT_AT_MOST: u64 = 1_000_000_000;

/// How far above a whole number an amount may lie and still be that number, as a part of the amount (below 1: of 1).
pub const COUNT_TOLERANCE: f64 = 1e-9;

/// The whole packs an amount fills, the last one perhaps in part.
///
/// An amount within [`COUNT_TOLERANCE`] above a whole number is that number; nothing, less than nothing and what is not
/// a number are 0; more than [`COUNT_AT_MOST`] is that limit.
#[must_use]
pub fn whole_up(amount: f64) -> u64 {
    if amount.is_nan() || amount <= 0.0 {
        return 0;
    }
    if amount >= COUNT_AT_MOST as f64 {
        return COUNT_AT_MOST;
    }
    let packs = (amount - COUNT_TOLERANCE * amount.max(1.0)).ceil();
    packs.max(0.0) as u64
}

/// The fewest equal gaps that fill a clear length when none may be wider than `at_most`.
///
/// A gap may be one nanometre over, which is what a length loses when it is rounded. No gap fills no length; `None`
/// where `at_most` is nothing or less.
#[must_use]
pub fn gaps(clear: Length, at_most: Length) -> Option<u64> {
    if at_most <= Length::ZERO {
        return None;
    }
    let clear = u64::try_from(clear.nm()).unwrap_or(0);
    let widest = at_most.nm().unsigned_abs() + 1;
    Some(clear.div_ceil(widest))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn packs() {
        for (amount, packs) in [
            (28.0, 28),
            (28.000_000_000_000_004, 28),
            (28.0001, 29),
            (0.1 + 0.2, 1),
            (0.0, 0),
            (1e-17, 0),
            (0.001, 1),
            (-3.0, 0),
            (f64::NAN, 0),
            (f64::INFINITY, COUNT_AT_MOST),
            (1e300, COUNT_AT_MOST),
            (f64::NEG_INFINITY, 0),
            (1e9, COUNT_AT_MOST),
        ] {
            assert_eq!(whole_up(amount), packs, "{amount}");
        }
    }

    #[test]
    fn gap_counts() {
        let (inch, foot) = (Length::INCH, Length::FOOT);
        assert_eq!(gaps(foot * 10, inch * 14), Some(9));
        assert_eq!(gaps(foot * 7, inch * 14), Some(6));
        assert_eq!(gaps(foot * 7 + Length::from_nm(6), inch * 14), Some(6));
        assert_eq!(gaps(foot * 7 + Length::from_nm(7), inch * 14), Some(7));
        assert_eq!(gaps(Length::ZERO, inch), Some(0));
        assert_eq!(gaps(-foot, inch), Some(0));
        assert_eq!(gaps(foot, Length::ZERO), None);
        assert_eq!(gaps(foot, -inch), None);
        assert_eq!(gaps(Length::from_nm(i64::MAX), Length::from_nm(i64::MAX)), Some(1));
    }

    proptest! {
        #[test]
        fn gaps_fill_the_length_and_one_less_would_not(clear in 1_i64..1_000_000_000_000, at_most in 1_i64..1_000_000_000_000) {
            let n = i128::from(gaps(Length::from_nm(clear), Length::from_nm(at_most)).unwrap());
            let widest = i128::from(at_most) + 1;
            prop_assert!(n * widest >= i128::from(clear));
            prop_assert!((n - 1) * widest < i128::from(clear));
        }

        #[test]
        fn packs_hold_the_amount(amount in 0.0..1e9_f64) {
            let packs = whole_up(amount) as f64;
            prop_assert!(packs >= amount - COUNT_TOLERANCE * amount.max(1.0));
            prop_assert!(packs < amount + 1.0);
        }
    }
}

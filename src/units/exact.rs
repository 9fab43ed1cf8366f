//! Exact fractions: what a written number is before it is rounded to anything.

use std::cmp::Ordering;

/// The most digits a written number may have.
pub const DIGITS_AT_MOST: usize = 18;

/// A fraction of two whole numbers, reduced, its denominator above zero.
///
/// Arithmetic answers `None` where a result does not fit 128 bits; nothing wraps and nothing is rounded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Exact {
    num: i128,
    den: i128,
}

impl Exact {
    /// Nothing.
    pub const ZERO: Exact = Exact::whole(0);
    /// One.
    pub const ONE: Exact = Exact::whole(1);

    /// A whole number.
    #[must_use]
    pub const fn whole(n: i128) -> Exact {
        Exact { num: n, den: 1 }
    }

    /// The fraction `num / den`, reduced; `None` for a zero denominator or a number too large.
    #[must_use]
    pub fn new(num: i128, den: i128) -> Option<Exact> {
        if den == 0 {
            return None;
        }
        // Most numbers are whole: there is nothing to reduce.
        if den == 1 && num != i128::MIN {
            return Some(Exact::whole(num));
        }
        let common = common_divisor(num.unsigned_abs(), den.unsigned_abs());
        let over = i128::try_from(num.unsigned_abs() / common).ok()?;
        let under = i128::try_from(den.unsigned_abs() / common).ok()?;
        Some(Exact { num: if (num < 0) == (den < 0) { over } else { -over }, den: under })
    }

    /// From `digits`, `digits.digits` or `digits/digits`, with a leading hyphen or none.
    ///
    /// `None` for any other text, for a zero denominator and for more than [`DIGITS_AT_MOST`] digits.
    #[must_use]
    pub fn from_text(text: &str) -> Option<Exact> {
        let (negative, body) = match text.strip_prefix('-') {
            Some(rest) => (true, rest),
            None => (false, text),
        };
        let value = match (body.split_once('/'), body.split_once('.')) {
            (Some((over, under)), None) => Exact::new(digits(over)?, digits(under)?)?,
            (None, Some((before, after))) => {
                if before.len() + after.len() > DIGITS_AT_MOST {
                    return None;
                }
                let scale = 10_i128.checked_pow(u32::try_from(after.len()).ok()?)?;
                Exact::new(digits(before)?.checked_mul(scale)?.checked_add(digits(after)?)?, scale)?
            }
            (None, None) => Exact::whole(digits(body)?),
            (Some(_), Some(_)) => return None,
        };
        if negative { value.negated() } else { Some(value) }
    }

    /// The number above the line; it carries the sign.
    #[must_use]
    pub const fn numerator(self) -> i128 {
        self.num
    }

    /// The number below the line, above zero.
    #[must_use]
    pub const fn denominator(self) -> i128 {
        self.den
    }

    /// Whether it is below zero.
    #[must_use]
    pub const fn is_negative(self) -> bool {
        self.num < 0
    }

    /// Whether it is zero.
    #[must_use]
    pub const fn is_zero(self) -> bool {
        self.num == 0
    }

    /// Whether it has no fraction.
    #[must_use]
    pub const fn is_whole(self) -> bool {
        self.den == 1
    }

    /// The sum.
    #[must_use]
    pub fn plus(self, other: Exact) -> Option<Exact> {
        if other.is_zero() {
            return Some(self);
        }
        if self.is_whole() && other.is_whole() {
            return Exact::new(self.num.checked_add(other.num)?, 1);
        }
        let common = i128::try_from(common_divisor(self.den.unsigned_abs(), other.den.unsigned_abs())).ok()?;
        let (left, right) = (other.den / common, self.den / common);
        let num = self.num.checked_mul(left)?.checked_add(other.num.checked_mul(right)?)?;
        Exact::new(num, self.den.checked_mul(left)?)
    }

    /// The difference.
    #[must_use]
    pub fn minus(self, other: Exact) -> Option<Exact> {
        self.plus(other.negated()?)
    }

    /// The product.
    #[must_use]
    pub fn times(self, other: Exact) -> Option<Exact> {
        // Crosswise reduction first: the product of two reduced fractions overflows only if the result does.
        let a = Exact::new(self.num, other.den)?;
        let b = Exact::new(other.num, self.den)?;
        Some(Exact { num: a.num.checked_mul(b.num)?, den: a.den.checked_mul(b.den)? })
    }

    /// The quotient; `None` also for a division by zero.
    #[must_use]
    pub fn over(self, other: Exact) -> Option<Exact> {
        self.times(Exact::new(other.den, other.num)?)
    }

    /// With the other sign.
    #[must_use]
    pub fn negated(self) -> Option<Exact> {
        Some(Exact { num: self.num.checked_neg()?, den: self.den })
    }

    /// As a floating number: the nearest one where both parts are below 2^53, else within a few units in its last place.
    #[must_use]
    pub fn to_f64(self) -> f64 {
        self.num as f64 / self.den as f64
    }

    /// The nearest whole number, half away from zero.
    #[must_use]
    pub fn to_nearest_i128(self) -> i128 {
        let left = self.num % self.den;
        let away = i128::from(left.unsigned_abs() >= (self.den.unsigned_abs() - left.unsigned_abs()));
        // The quotient only reaches the ends of the range when the denominator is 1, and then nothing is left over.
        (self.num / self.den).saturating_add(if self.num < 0 { -away } else { away })
    }
}

impl From<i64> for Exact {
    fn from(n: i64) -> Exact {
        Exact::whole(i128::from(n))
    }
}

impl PartialOrd for Exact {
    fn partial_cmp(&self, other: &Exact) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Exact {
    /// By whole parts and then by what is left over, turned upside down, so that no product can overflow.
    fn cmp(&self, other: &Exact) -> Ordering {
        if self.den == other.den {
            return self.num.cmp(&other.num);
        }
        let (mut a, mut b, mut turned) = (*self, *other, false);
        loop {
            let by_whole = a.num.div_euclid(a.den).cmp(&b.num.div_euclid(b.den));
            let (left_a, left_b) = (a.num.rem_euclid(a.den), b.num.rem_euclid(b.den));
            let order = match (by_whole, left_a, left_b) {
                (Ordering::Equal, 0, 0) => Ordering::Equal,
                (Ordering::Equal, 0, _) => Ordering::Less,
                (Ordering::Equal, _, 0) => Ordering::Greater,
                (Ordering::Equal, _, _) => {
                    a = Exact { num: a.den, den: left_a };
                    b = Exact { num: b.den, den: left_b };
                    turned = !turned;
                    continue;
                }
                (unlike, _, _) => unlike,
            };
            return if turned { order.reverse() } else { order };
        }
    }
}

/// One to eighteen decimal digits as a number.
fn digits(text: &str) -> Option<i128> {
    if text.is_empty() || text.len() > DIGITS_AT_MOST || !text.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    text.parse().ok()
}

/// The greatest common divisor; 1 where both are zero.
fn common_divisor(mut a: u128, mut b: u128) -> u128 {
    while b != 0 {
        // Small numbers are divided some ten times as fast.
        if let (Ok(mut a), Ok(mut b)) = (u64::try_from(a), u64::try_from(b)) {
            while b != 0 {
                (a, b) = (b, a % b);
            }
            return u128::from(a.max(1));
        }
        (a, b) = (b, a % b);
    }
    a.max(1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn exact(text: &str) -> Exact {
        Exact::from_text(text).unwrap()
    }

    #[test]
    fn reads_decimals_and_fractions() {
        assert_eq!(exact("0.60"), Exact::new(3, 5).unwrap());
        assert_eq!(exact("12.54"), Exact::new(627, 50).unwrap());
        assert_eq!(exact("-1/8"), Exact::new(-1, 8).unwrap());
        assert_eq!(exact("0005"), Exact::whole(5));
        assert_eq!(exact("-0"), Exact::ZERO);
        assert_eq!(exact("999999999999999999"), Exact::whole(999_999_999_999_999_999));
        for text in
            ["", ".", "5.", ".5", "1.2.3", "1/0", "1/2/3", "1.5/2", "+5", "--5", "1e3", "٣", "0000000000000000000"]
        {
            assert_eq!(Exact::from_text(text), None, "{text}");
        }
    }

    #[test]
    fn a_million_digits_are_too_many() {
        assert_eq!(Exact::from_text(&"9".repeat(1_000_000)), None);
        assert_eq!(Exact::from_text(&format!("0.{}", "9".repeat(1_000_000))), None);
    }

    #[test]
    fn rounds_half_away_from_zero() {
        for (text, nearest) in
            [("1/2", 1), ("-1/2", -1), ("5/2", 3), ("-5/2", -3), ("1.4999", 1), ("-7/3", -2), ("8/3", 3)]
        {
            assert_eq!(exact(text).to_nearest_i128(), nearest, "{text}");
        }
        assert_eq!(Exact::whole(i128::MIN).to_nearest_i128(), i128::MIN);
        assert_eq!(Exact::new(i128::MAX, 2).unwrap().to_nearest_i128(), i128::MAX / 2 + 1);
    }

    #[test]
    fn too_large_is_none_and_never_wraps() {
        let huge = Exact::whole(i128::MAX);
        assert_eq!(huge.plus(Exact::ONE), None);
        assert_eq!(huge.times(Exact::whole(2)), None);
        assert_eq!(Exact::whole(i128::MIN).negated(), None);
        assert_eq!(Exact::ONE.over(Exact::ZERO), None);
        assert_eq!(Exact::new(1, i128::MAX).unwrap().plus(Exact::new(1, i128::MAX - 1).unwrap()), None);
        assert_eq!(huge.times(Exact::new(1, i128::MAX).unwrap()), Some(Exact::ONE));
    }

    fn small() -> impl Strategy<Value = Exact> {
        (-1_000_000_000_i128..1_000_000_000, 1_i128..100_000).prop_map(|(n, d)| Exact::new(n, d).unwrap())
    }

    proptest! {
        #[test]
        fn the_laws_of_fractions_hold(a in small(), b in small(), c in small()) {
            prop_assert_eq!(a.plus(b), b.plus(a));
            prop_assert_eq!(a.times(b), b.times(a));
            prop_assert_eq!(a.plus(b).unwrap().plus(c), b.plus(c).unwrap().plus(a));
            prop_assert_eq!(a.plus(b).unwrap().times(c), a.times(c).unwrap().plus(b.times(c).unwrap()));
            prop_assert_eq!(a.minus(b).unwrap().plus(b), Some(a));
            if !b.is_zero() {
                prop_assert_eq!(a.over(b).unwrap().times(b), Some(a));
            }
        }

        #[test]
        fn the_order_is_that_of_the_difference(a in small(), b in small()) {
            prop_assert_eq!(a.cmp(&b), a.minus(b).unwrap().numerator().cmp(&0));
        }

        #[test]
        fn any_pair_can_be_compared(n: i128, d: i128, m: i128, e: i128) {
            if let (Some(a), Some(b)) = (Exact::new(n, d), Exact::new(m, e)) {
                prop_assert_eq!(a.cmp(&b), b.cmp(&a).reverse());
                prop_assert_eq!(a == b, a.cmp(&b) == Ordering::Equal);
            }
        }

        #[test]
        fn any_text_is_answered(text in ".*") {
            if let Some(number) = Exact::from_text(&text) {
                prop_assert_eq!(Exact::new(number.numerator(), number.denominator()), Some(number));
            }
        }
    }
}

//! Exact rates.

use std::cmp::Ordering;

/// So much for so many: a fraction of whole numbers, the lower one above zero.
#[derive(Debug, Clone, Copy)]
pub struct Rate {
    top: i128,
    bottom: i128,
}

impl Rate {
    /// So much for so many; none for no things.
    #[must_use]
    pub fn new(top: i128, bottom: i128) -> Option<Rate> {
        (bottom > 0).then(|| Rate { top, bottom }.least())
    }

    /// In lowest terms, so that sums of two stay small.
    fn least(self) -> Rate {
        let (mut one, mut other) = (self.top.unsigned_abs(), self.bottom.unsigned_abs());
        while other != 0 {
            (one, other) = (other, one % other);
        }
        let shared = i128::try_from(one.max(1)).unwrap_or(1);
        Rate { top: self.top / shared, bottom: self.bottom / shared }
    }

    /// Halfway between two.
    #[must_use]
    pub fn mean(self, other: Rate) -> Rate {
        let sum = self.top.saturating_mul(other.bottom).saturating_add(other.top.saturating_mul(self.bottom));
        Rate { top: sum, bottom: self.bottom.saturating_mul(other.bottom).saturating_mul(2) }.least()
    }

    /// The number, rounded once.
    #[must_use]
    pub fn value(self) -> f64 {
        self.top as f64 / self.bottom as f64
    }

    /// So many times this, up to the next whole number.
    #[must_use]
    pub fn up(self, times: i128, over: i128) -> i128 {
        let (top, bottom) = (self.top.saturating_mul(times), self.bottom.saturating_mul(over.max(1)));
        top.div_euclid(bottom) + i128::from(top.rem_euclid(bottom) > 0)
    }

    /// So many times this, down to the last whole number.
    #[must_use]
    pub fn down(self, times: i128, over: i128) -> i128 {
        self.top.saturating_mul(times).div_euclid(self.bottom.saturating_mul(over.max(1)))
    }
}

impl Ord for Rate {
    fn cmp(&self, other: &Rate) -> Ordering {
        self.top.saturating_mul(other.bottom).cmp(&other.top.saturating_mul(self.bottom))
    }
}

impl PartialOrd for Rate {
    fn partial_cmp(&self, other: &Rate) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Rate {
    fn eq(&self, other: &Rate) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Rate {}

#[cfg(test)]
mod tests {
    use super::Rate;

    #[test]
    fn rates_are_exact() {
        let rate = |top, bottom| Rate::new(top, bottom).unwrap();
        assert_eq!(rate(10, 4), rate(5, 2));
        assert!(rate(1, 3) < rate(34, 100) && rate(-1, 3) < rate(0, 7));
        assert_eq!(rate(1, 3).mean(rate(1, 2)), rate(5, 12));
        assert_eq!((rate(125, 1000).up(100, 1), rate(10, 100).up(100, 1), rate(-1, 8).up(100, 1)), (13, 10, -12));
        assert_eq!((rate(125, 1000).down(100, 1), rate(-1, 8).down(100, 1)), (12, -13));
        assert_eq!(Rate::new(1, 0), None);
    }
}

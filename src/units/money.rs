//! Money, exact and each in its own currency.

use std::fmt;

use super::{Exact, Unit, unit};

/// A currency of the unit table, by its ISO 4217 code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Currency(&'static str);

impl Currency {
    /// The currency a code names, if the table has it.
    #[must_use]
    pub fn from_code(code: &str) -> Option<Currency> {
        unit(code).and_then(Currency::of_unit)
    }

    /// The currency of a unit, if it is one.
    #[must_use]
    pub fn of_unit(unit: &Unit) -> Option<Currency> {
        unit.is_currency().then_some(Currency(unit.word))
    }

    /// Its code: three capitals.
    #[must_use]
    pub const fn code(self) -> &'static str {
        self.0
    }

    /// The decimals of its amounts on paper, by ISO 4217 (from memory).
    #[must_use]
    pub fn decimals(self) -> u32 {
        if matches!(self.0, "JPY" | "KRW" | "CLP" | "ISK") { 0 } else { 2 }
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0)
    }
}

/// An exact amount of money in one currency. The order is only for lists: there is none between currencies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Money {
    /// The amount in the currency's main unit.
    pub amount: Exact,
    /// The currency.
    pub currency: Currency,
}

impl Money {
    /// The sum; `None` for unlike currencies and for what is too large.
    #[must_use]
    pub fn plus(self, other: Money) -> Option<Money> {
        if self.currency != other.currency {
            return None;
        }
        Some(Money { amount: self.amount.plus(other.amount)?, ..self })
    }

    /// So many times as much; `None` for what is too large.
    #[must_use]
    pub fn times(self, number: Exact) -> Option<Money> {
        Some(Money { amount: self.amount.times(number)?, ..self })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn adds_only_its_own_currency() {
        let (usd, eur) = (Currency::from_code("USD").unwrap(), Currency::from_code("EUR").unwrap());
        let price = Money { amount: Exact::from_text("6.80").unwrap(), currency: usd };
        let thrice = price.times(Exact::whole(3)).unwrap();
        assert_eq!(thrice.amount, Exact::from_text("20.4").unwrap());
        assert_eq!(price.plus(price).and_then(|two| two.plus(price)), Some(thrice));
        assert_eq!(price.plus(Money { currency: eur, ..price }), None);
        assert_eq!(Currency::from_code("lb"), None);
        assert_eq!(Currency::from_code("JPY").unwrap().decimals(), 0);
    }
}

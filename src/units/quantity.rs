//! A number with what it measures, and arithmetic that minds it.

use std::cmp::Ordering;

use super::{
    Acceleration, Angle, Area, Currency, Density, Dimension, Duration, Exact, Force, Length, Mass, Money, Ratio,
    Reading, Sound, Speed, Stress, Temperature, TemperatureDifference, Unit, Volume, What, WorkingDays,
};

/// How much of something: exact as long as only exact numbers went into it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// An exact fraction.
    Exact(Exact),
    /// A floating number.
    Float(f64),
}

impl Amount {
    /// As a floating number.
    #[must_use]
    pub fn to_f64(self) -> f64 {
        match self {
            Amount::Exact(exact) => exact.to_f64(),
            Amount::Float(float) => float,
        }
    }

    /// Whether it is zero.
    #[must_use]
    pub fn is_zero(self) -> bool {
        match self {
            Amount::Exact(exact) => exact.is_zero(),
            Amount::Float(float) => float == 0.0,
        }
    }

    fn compare(self, other: Amount) -> Ordering {
        match (self, other) {
            (Amount::Exact(a), Amount::Exact(b)) => a.cmp(&b),
            _ => self.to_f64().total_cmp(&other.to_f64()),
        }
    }

    /// The exact operation where both are exact, else the floating one.
    fn combined(
        self,
        other: Amount,
        exact: impl Fn(Exact, Exact) -> Option<Exact>,
        float: impl Fn(f64, f64) -> f64,
    ) -> Result<Amount, Misfit> {
        match (self, other) {
            (Amount::Exact(a), Amount::Exact(b)) => exact(a, b).map(Amount::Exact).ok_or(Misfit::TooLarge),
            _ => Amount::finite(float(self.to_f64(), other.to_f64())),
        }
    }

    fn finite(float: f64) -> Result<Amount, Misfit> {
        if float.is_finite() { Ok(Amount::Float(float)) } else { Err(Misfit::TooLarge) }
    }

    /// The nearest whole number no further from zero than `limit`.
    fn nearest(self, limit: i128) -> Option<i128> {
        let whole = match self {
            Amount::Exact(exact) => exact.to_nearest_i128(),
            // A cast cannot wrap: what lies outside ends at the limits, which are refused below.
            Amount::Float(float) if float.is_finite() => float.round() as i128,
            Amount::Float(_) => return None,
        };
        (whole.unsigned_abs() <= limit.unsigned_abs()).then_some(whole)
    }
}

/// Why two quantities cannot be reckoned together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Misfit {
    /// They measure unlike things and were added, subtracted or compared.
    Unlike(Dimension, Dimension),
    /// They have no product here.
    NoProduct(Dimension, Dimension),
    /// They have no quotient here.
    NoQuotient(Dimension, Dimension),
    /// They are money of two currencies.
    Currencies(Currency, Currency),
    /// A division by zero.
    ByZero,
    /// The result is too large to be held.
    TooLarge,
}

/// An amount of something, in the scale its [`Dimension`] names.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantity {
    dimension: Dimension,
    amount: Amount,
    currency: Option<Currency>,
}

impl Quantity {
    /// So much of a dimension, in its own scale. Money comes from [`Quantity::of`] or a [`Money`], which know the currency.
    #[must_use]
    pub const fn new(dimension: Dimension, amount: Amount) -> Quantity {
        Quantity { dimension, amount, currency: None }
    }

    /// A plain number.
    #[must_use]
    pub const fn number(number: Exact) -> Quantity {
        Quantity::new(Dimension::Number, Amount::Exact(number))
    }

    /// So many of a unit. Numbers, lengths, areas, volumes, percentages and money stay exact.
    ///
    /// # Errors
    /// [`Misfit::TooLarge`].
    pub fn of(number: Exact, unit: &Unit) -> Result<Quantity, Misfit> {
        let exact = unit.of(number).ok_or(Misfit::TooLarge)?;
        let amount = if is_exact(unit.dimension) { Amount::Exact(exact) } else { Amount::Float(exact.to_f64()) };
        Ok(Quantity { dimension: unit.dimension, amount, currency: Currency::of_unit(unit) })
    }

    /// The quantity a number's text says by itself; `None` for a date or a time of day, which are no quantities.
    #[must_use]
    pub fn read(reading: &Reading) -> Option<Quantity> {
        match reading.what {
            What::Plain(value) => Some(Quantity::number(value)),
            What::Length(nm) => Some(Quantity::new(Dimension::Length, Amount::Exact(nm))),
            What::Percent(value) => Some(Quantity::new(Dimension::Ratio, Amount::Exact(value))),
            What::Date(_) | What::Clock(_) => None,
        }
    }

    /// What it measures.
    #[must_use]
    pub const fn dimension(&self) -> Dimension {
        self.dimension
    }

    /// How much, in the dimension's own scale.
    #[must_use]
    pub const fn amount(&self) -> Amount {
        self.amount
    }

    /// The sum. Like adds to like; a difference adds to a temperature.
    ///
    /// # Errors
    /// A [`Misfit`] where there is no such sum.
    pub fn plus(self, other: Quantity) -> Result<Quantity, Misfit> {
        use Dimension::{Temperature, TemperatureDifference};
        let dimension = match (self.dimension, other.dimension) {
            (Temperature, TemperatureDifference) | (TemperatureDifference, Temperature) => Temperature,
            (Temperature, Temperature) => return Err(Misfit::Unlike(Temperature, Temperature)),
            _ => self.like(&other)?,
        };
        let amount = self.amount.combined(other.amount, Exact::plus, |a, b| a + b)?;
        Ok(Quantity { dimension, amount, currency: self.currency })
    }

    /// The difference. Two temperatures have a temperature difference.
    ///
    /// # Errors
    /// A [`Misfit`] where there is no such difference.
    pub fn minus(self, other: Quantity) -> Result<Quantity, Misfit> {
        use Dimension::{Temperature, TemperatureDifference};
        let dimension = match (self.dimension, other.dimension) {
            (Temperature, TemperatureDifference) => Temperature,
            (Temperature, Temperature) => TemperatureDifference,
            _ => self.like(&other)?,
        };
        let amount = self.amount.combined(other.amount, Exact::minus, |a, b| a - b)?;
        Ok(Quantity { dimension, amount, currency: self.currency })
    }

    /// The product.
    ///
    /// # Errors
    /// A [`Misfit`] where there is no such product.
    pub fn times(self, other: Quantity) -> Result<Quantity, Misfit> {
        let (dimension, scale) = product(self.dimension, other.dimension)
            .or_else(|| product(other.dimension, self.dimension))
            .ok_or(Misfit::NoProduct(self.dimension, other.dimension))?;
        let amount = self.amount.combined(other.amount, Exact::times, |a, b| a * b)?;
        Ok(Quantity { dimension, amount: scaled(amount, scale)?, currency: self.currency.or(other.currency) })
    }

    /// The quotient; like over like is a plain number.
    ///
    /// # Errors
    /// A [`Misfit`] where there is no such quotient.
    pub fn over(self, other: Quantity) -> Result<Quantity, Misfit> {
        let (dimension, scale) =
            quotient(self.dimension, other.dimension).ok_or(Misfit::NoQuotient(self.dimension, other.dimension))?;
        let currency = match (self.currency, other.currency) {
            (Some(a), Some(b)) if a != b => return Err(Misfit::Currencies(a, b)),
            (currency, _) => currency.filter(|_| dimension == Dimension::Money),
        };
        if other.amount.is_zero() {
            return Err(Misfit::ByZero);
        }
        let amount = self.amount.combined(other.amount, Exact::over, |a, b| a / b)?;
        Ok(Quantity { dimension, amount: scaled(amount, scale)?, currency })
    }

    /// With the other sign; a point on the temperature scale has none.
    ///
    /// # Errors
    /// A [`Misfit`] where there is no such thing.
    pub fn negated(self) -> Result<Quantity, Misfit> {
        Quantity::number(Exact::whole(-1)).times(self)
    }

    /// The smaller of the two.
    ///
    /// # Errors
    /// A [`Misfit`] where they cannot be compared.
    pub fn min(self, other: Quantity) -> Result<Quantity, Misfit> {
        Ok(if self.compare(&other)?.is_le() { self } else { other })
    }

    /// The larger of the two.
    ///
    /// # Errors
    /// A [`Misfit`] where they cannot be compared.
    pub fn max(self, other: Quantity) -> Result<Quantity, Misfit> {
        Ok(if self.compare(&other)?.is_ge() { self } else { other })
    }

    /// Which of two like quantities is larger.
    ///
    /// # Errors
    /// A [`Misfit`] where they cannot be compared.
    pub fn compare(&self, other: &Quantity) -> Result<Ordering, Misfit> {
        self.like(other)?;
        Ok(self.amount.compare(other.amount))
    }

    fn like(&self, other: &Quantity) -> Result<Dimension, Misfit> {
        match (self.currency, other.currency) {
            _ if self.dimension != other.dimension || self.dimension == Dimension::Date => {
                Err(Misfit::Unlike(self.dimension, other.dimension))
            }
            (Some(a), Some(b)) if a != b => Err(Misfit::Currencies(a, b)),
            _ => Ok(self.dimension),
        }
    }

    fn amount_of(&self, dimension: Dimension) -> Option<Amount> {
        (self.dimension == dimension).then_some(self.amount)
    }

    /// As a whole count, if it is a plain number without a fraction.
    #[must_use]
    pub fn count(&self) -> Option<i64> {
        match self.amount_of(Dimension::Number)? {
            Amount::Exact(exact) if exact.is_whole() => i64::try_from(exact.numerator()).ok(),
            Amount::Exact(_) => None,
            Amount::Float(float) => (float.fract() == 0.0 && float.abs() < 9e15).then_some(float as i64),
        }
    }

    /// As a plain number.
    #[must_use]
    pub fn plain(&self) -> Option<f64> {
        self.amount_of(Dimension::Number).map(Amount::to_f64)
    }

    /// As a length to the nearest nanometre; `None` if it is no length or longer than [`Length::LIMIT`].
    #[must_use]
    pub fn length(&self) -> Option<Length> {
        let nm = self.amount_of(Dimension::Length)?.nearest(LENGTH_LIMIT)?;
        i64::try_from(nm).ok().map(Length::from_nm)
    }

    /// As an area to the nearest square nanometre; `None` if it is no area or larger than the square of [`Length::LIMIT`].
    #[must_use]
    pub fn area(&self) -> Option<Area> {
        self.amount_of(Dimension::Area)?.nearest(LENGTH_LIMIT.pow(2)).map(Area::from_nm2)
    }

    /// As a volume to the nearest cubic nanometre; `None` if it is no volume or larger than the cube of [`Length::LIMIT`].
    #[must_use]
    pub fn volume(&self) -> Option<Volume> {
        self.amount_of(Dimension::Volume)?.nearest(LENGTH_LIMIT.pow(3)).map(Volume::from_nm3)
    }

    /// As an exact amount of money.
    #[must_use]
    pub fn money(&self) -> Option<Money> {
        match (self.amount_of(Dimension::Money)?, self.currency) {
            (Amount::Exact(amount), Some(currency)) => Some(Money { amount, currency }),
            _ => None,
        }
    }
}

/// The getters for what is held as a floating number, and the way back.
macro_rules! floating {
    ($($what:literal $get:ident $name:ident $dimension:ident $from:ident $scale:ident),+ $(,)?) => {
        impl Quantity {$(
            #[doc = concat!("As ", $what, ", if it is one.")]
            #[must_use]
            pub fn $get(&self) -> Option<$name> {
                self.amount_of(Dimension::$dimension).map(|amount| $name::$from(amount.to_f64()))
            }
        )+}

        $(impl From<$name> for Quantity {
            fn from(value: $name) -> Quantity {
                Quantity::new(Dimension::$dimension, Amount::Float(value.$scale()))
            }
        })+
    };
}

floating! {
    "a mass" mass Mass Mass from_kg kg,
    "a force" force Force Force from_newtons newtons,
    "a stress" stress Stress Stress from_pa pa,
    "a density" density Density Density from_kg_m3 kg_m3,
    "a temperature" temperature Temperature Temperature from_deg_c deg_c,
    "a temperature difference" temperature_difference TemperatureDifference TemperatureDifference from_kelvins kelvins,
    "a time on the clock" duration Duration Time from_seconds seconds,
    "a number of working days" working_days WorkingDays WorkingTime from_working_days working_days,
    "a speed" speed Speed Speed from_m_s m_s,
    "an acceleration" acceleration Acceleration Acceleration from_m_s2 m_s2,
    "a sound level" sound Sound Sound from_dba dba,
    "an angle" angle Angle Angle from_degrees degrees,
    "a percentage" ratio Ratio Ratio from_fraction fraction,
}

impl From<Length> for Quantity {
    fn from(length: Length) -> Quantity {
        Quantity::new(Dimension::Length, Amount::Exact(Exact::from(length.nm())))
    }
}

impl From<Area> for Quantity {
    fn from(area: Area) -> Quantity {
        Quantity::new(Dimension::Area, Amount::Exact(Exact::whole(area.nm2())))
    }
}

impl From<Volume> for Quantity {
    fn from(volume: Volume) -> Quantity {
        Quantity::new(Dimension::Volume, Amount::Exact(Exact::whole(volume.nm3())))
    }
}

impl From<Money> for Quantity {
    fn from(money: Money) -> Quantity {
        Quantity { dimension: Dimension::Money, amount: Amount::Exact(money.amount), currency: Some(money.currency) }
    }
}

const LENGTH_LIMIT: i128 = Length::LIMIT.nm() as i128;

/// Whether what is typed in this dimension is held as an exact fraction.
const fn is_exact(dimension: Dimension) -> bool {
    use Dimension as D;
    matches!(dimension, D::Number | D::Length | D::Area | D::Volume | D::Ratio | D::Money)
}

/// What has no multiples: a point on a scale.
const fn is_point(dimension: Dimension) -> bool {
    matches!(dimension, Dimension::Temperature | Dimension::Sound | Dimension::Date)
}

/// The dimension of a product, and what the product of the two scales is worth in it.
fn product(a: Dimension, b: Dimension) -> Option<(Dimension, f64)> {
    use Dimension as D;
    Some(match (a, b) {
        (D::Number, D::Ratio) | (D::Ratio, D::Number) => (D::Number, 1.0),
        (D::Number | D::Ratio, other) if !is_point(other) => (other, 1.0),
        (D::Length, D::Length) => (D::Area, 1.0),
        (D::Length, D::Area) => (D::Volume, 1.0),
        (D::Density, D::Volume) => (D::Mass, 1e-27),
        (D::Stress, D::Area) => (D::Force, 1e-18),
        _ => return None,
    })
}

/// The dimension of a quotient, and what the quotient of the two scales is worth in it.
fn quotient(a: Dimension, b: Dimension) -> Option<(Dimension, f64)> {
    use Dimension as D;
    Some(match (a, b) {
        (same, other) if same == other && !is_point(same) => (D::Number, 1.0),
        (other, D::Number | D::Ratio) if !is_point(other) => (other, 1.0),
        (D::Area, D::Length) => (D::Length, 1.0),
        (D::Volume, D::Area) => (D::Length, 1.0),
        (D::Volume, D::Length) => (D::Area, 1.0),
        (D::Mass, D::Volume) => (D::Density, 1e27),
        (D::Force, D::Area) => (D::Stress, 1e18),
        (D::Length, D::Time) => (D::Speed, 1e-9),
        _ => return None,
    })
}

fn scaled(amount: Amount, scale: f64) -> Result<Amount, Misfit> {
    if scale == 1.0 { Ok(amount) } else { Amount::finite(amount.to_f64() * scale) }
}

#[cfg(test)]
mod tests;

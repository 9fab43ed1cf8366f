//! Lengths as whole nanometres, and the areas and volumes made of them.
//!
//! 1/64 in is 396 875 nm and 1 mm is 1 000 000 nm: whatever a tape measure shows is exact, and sums do not depend on
//! their order.

use std::{
    iter::Sum,
    ops::{Add, AddAssign, Div, Mul, Neg, Sub},
};

/// A length in whole nanometres.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Length(i64);

impl Length {
    /// No length.
    pub const ZERO: Length = Length(0);
    /// One inch, 25.4 mm exactly.
    pub const INCH: Length = Length(25_400_000);
    /// One foot.
    pub const FOOT: Length = Length(304_800_000);
    /// One millimetre.
    pub const MILLIMETRE: Length = Length(1_000_000);
    /// One metre.
    pub const METRE: Length = Length(1_000_000_000);

    /// The longest length a job may hold, one kilometre.
    pub const LIMIT: Length = Length(1_000_000_000_000);

    /// From whole nanometres.
    #[must_use]
    pub const fn from_nm(nm: i64) -> Length {
        Length(nm)
    }

    /// In whole nanometres.
    #[must_use]
    pub const fn nm(self) -> i64 {
        self.0
    }

    /// From a number of nanometres, to the nearest whole one (half away from zero).
    #[must_use]
    pub fn round_nm(nm: f64) -> Length {
        Length(nm.round() as i64)
    }

    /// In metres.
    #[must_use]
    pub fn metres(self) -> f64 {
        self.0 as f64 / 1e9
    }

    /// In inches.
    #[must_use]
    pub fn inches(self) -> f64 {
        self.0 as f64 / 25_400_000.0
    }

    /// Without its sign.
    #[must_use]
    pub const fn abs(self) -> Length {
        Length(self.0.saturating_abs())
    }
}

impl Add for Length {
    type Output = Length;
    fn add(self, other: Length) -> Length {
        Length(self.0.saturating_add(other.0))
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Length) {
        *self = *self + other;
    }
}

impl Sub for Length {
    type Output = Length;
    fn sub(self, other: Length) -> Length {
        Length(self.0.saturating_sub(other.0))
    }
}

impl Neg for Length {
    type Output = Length;
    fn neg(self) -> Length {
        Length(self.0.saturating_neg())
    }
}

impl Mul<i64> for Length {
    type Output = Length;
    fn mul(self, times: i64) -> Length {
        Length(self.0.saturating_mul(times))
    }
}

impl Div<i64> for Length {
    type Output = Length;
    /// To the nearest nanometre, half away from zero; a division by zero gives zero.
    fn div(self, by: i64) -> Length {
        if by == 0 {
            return Length::ZERO;
        }
        let (n, d) = (i128::from(self.0), i128::from(by));
        let sign = if (n < 0) == (d < 0) { 1 } else { -1 };
        let whole = (2 * n.abs() + d.abs()) / (2 * d.abs());
        Length(i64::try_from(sign * whole).unwrap_or(i64::MAX))
    }
}

impl Mul<Length> for Length {
    type Output = Area;
    fn mul(self, other: Length) -> Area {
        Area(i128::from(self.0) * i128::from(other.0))
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Length>>(all: I) -> Length {
        all.fold(Length::ZERO, Add::add)
    }
}

/// An area in whole square nanometres.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Area(i128);

impl Area {
    /// No area.
    pub const ZERO: Area = Area(0);

    /// From whole square nanometres.
    #[must_use]
    pub const fn from_nm2(nm2: i128) -> Area {
        Area(nm2)
    }

    /// In whole square nanometres.
    #[must_use]
    pub const fn nm2(self) -> i128 {
        self.0
    }

    /// In square metres.
    #[must_use]
    pub fn square_metres(self) -> f64 {
        self.0 as f64 / 1e18
    }

    /// In square feet.
    #[must_use]
    pub fn square_feet(self) -> f64 {
        self.0 as f64 / 92_903_040_000_000_000.0
    }
}

impl Add for Area {
    type Output = Area;
    fn add(self, other: Area) -> Area {
        Area(self.0.saturating_add(other.0))
    }
}

impl AddAssign for Area {
    fn add_assign(&mut self, other: Area) {
        *self = *self + other;
    }
}

impl Sub for Area {
    type Output = Area;
    fn sub(self, other: Area) -> Area {
        Area(self.0.saturating_sub(other.0))
    }
}

impl Mul<Length> for Area {
    type Output = Volume;
    fn mul(self, height: Length) -> Volume {
        Volume(self.0.saturating_mul(i128::from(height.0)))
    }
}

impl Sum for Area {
    fn sum<I: Iterator<Item = Area>>(all: I) -> Area {
        all.fold(Area::ZERO, Add::add)
    }
}

/// A volume in whole cubic nanometres.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Volume(i128);

impl Volume {
    /// No volume.
    pub const ZERO: Volume = Volume(0);

    /// From whole cubic nanometres.
    #[must_use]
    pub const fn from_nm3(nm3: i128) -> Volume {
        Volume(nm3)
    }

    /// In whole cubic nanometres.
    #[must_use]
    pub const fn nm3(self) -> i128 {
        self.0
    }

    /// In cubic metres.
    #[must_use]
    pub fn cubic_metres(self) -> f64 {
        self.0 as f64 / 1e27
    }

    /// In cubic feet.
    #[must_use]
    pub fn cubic_feet(self) -> f64 {
        self.0 as f64 / 28_316_846_592_000_000_000_000_000.0
    }

    /// In cubic inches.
    #[must_use]
    pub fn cubic_inches(self) -> f64 {
        self.0 as f64 / 16_387_064_000_000_000_000_000.0
    }

    /// From a number of cubic metres, to the nearest cubic nanometre the number can tell apart.
    #[must_use]
    pub fn round_cubic_metres(m3: f64) -> Volume {
        Volume((m3 * 1e27).round() as i128)
    }
}

impl Add for Volume {
    type Output = Volume;
    fn add(self, other: Volume) -> Volume {
        Volume(self.0.saturating_add(other.0))
    }
}

impl AddAssign for Volume {
    fn add_assign(&mut self, other: Volume) {
        *self = *self + other;
    }
}

impl Sub for Volume {
    type Output = Volume;
    fn sub(self, other: Volume) -> Volume {
        Volume(self.0.saturating_sub(other.0))
    }
}

impl Mul<i64> for Volume {
    type Output = Volume;
    fn mul(self, times: i64) -> Volume {
        Volume(self.0.saturating_mul(i128::from(times)))
    }
}

impl Sum for Volume {
    fn sum<I: Iterator<Item = Volume>>(all: I) -> Volume {
        all.fold(Volume::ZERO, Add::add)
    }
}

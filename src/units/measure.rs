//! The quantities that are not counted in nanometres: floating numbers in one SI unit each, with getters by unit.
//!
//! Factors: NIST Special Publication 811 (2008), Appendix B; the tests hold them to the unit table.

use std::{
    iter::Sum,
    ops::{Add, AddAssign, Div, Mul, Sub},
};

use super::{Area, Length, Volume};

const POUND: f64 = 0.453_592_37; // kg
const POUND_FORCE: f64 = 4.448_221_615_260_5; // N
const PSI: f64 = 144.0 * 44_482_216_152_605.0 / 929_030_400_000.0; // Pa
const PSF: f64 = 44_482_216_152_605.0 / 929_030_400_000.0; // Pa
const PLF: f64 = POUND_FORCE / 0.304_8; // N/m
const PSF_AN_HOUR: f64 = POUND / 0.092_903_04; // kg/m2/h
const PCF: f64 = 453_592_370_000.0 / 28_316_846_592.0; // kg/m3

/// A quantity in one SI unit, made and read by the units named.
macro_rules! measure {
    ($(#[$about:meta])* $name:ident: $($from:ident $get:ident $unit:literal = $worth:expr),+ $(,)?) => {
        $(#[$about])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            $(
                #[doc = concat!("From ", $unit, ".")]
                #[must_use]
                pub const fn $from(amount: f64) -> $name {
                    $name(amount * $worth)
                }

                #[doc = concat!("In ", $unit, ".")]
                #[must_use]
                pub const fn $get(self) -> f64 {
                    self.0 / $worth
                }
            )+

            /// The smaller of the two.
            #[must_use]
            pub const fn min(self, other: $name) -> $name {
                $name(self.0.min(other.0))
            }

            /// The larger of the two.
            #[must_use]
            pub const fn max(self, other: $name) -> $name {
                $name(self.0.max(other.0))
            }
        }
    };
}

/// What can be summed, scaled and compared as a multiple.
macro_rules! summed {
    ($($name:ident),+) => {$(
        impl $name {
            /// None of it.
            pub const ZERO: $name = $name(0.0);
        }

        impl Add for $name {
            type Output = $name;
            fn add(self, other: $name) -> $name {
                $name(self.0 + other.0)
            }
        }

        impl AddAssign for $name {
            fn add_assign(&mut self, other: $name) {
                self.0 += other.0;
            }
        }

        impl Sub for $name {
            type Output = $name;
            fn sub(self, other: $name) -> $name {
                $name(self.0 - other.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = $name;
            fn mul(self, times: f64) -> $name {
                $name(self.0 * times)
            }
        }

        impl Div<f64> for $name {
            type Output = $name;
            fn div(self, by: f64) -> $name {
                $name(self.0 / by)
            }
        }

        impl Div for $name {
            type Output = f64;
            fn div(self, other: $name) -> f64 {
                self.0 / other.0
            }
        }

        impl Sum for $name {
            fn sum<I: Iterator<Item = $name>>(all: I) -> $name {
                all.fold($name::ZERO, Add::add)
            }
        }
    )+};
}

measure! {
    /// A mass, held in kilograms.
    Mass: from_kg kg "kilograms" = 1.0, from_lb lb "pounds" = POUND
}

measure! {
    /// A force, held in newtons.
    Force: from_newtons newtons "newtons" = 1.0, from_kn kn "kilonewtons" = 1000.0,
        from_lbf lbf "pounds of force" = POUND_FORCE
}

measure! {
    /// A force per area, held in pascals.
    Stress: from_pa pa "pascals" = 1.0, from_kpa kpa "kilopascals" = 1000.0, from_mpa mpa "megapascals" = 1e6,
        from_psi psi "pounds of force per square inch" = PSI, from_psf psf "pounds of force per square foot" = PSF
}

measure! {
    /// A force along a line, held in newtons per metre.
    LineLoad: from_n_m n_m "newtons per metre" = 1.0, from_plf plf "pounds of force per foot" = PLF
}

measure! {
    /// A bending or overturning moment, held in newton metres.
    Moment: from_newton_metres newton_metres "newton metres" = 1.0,
        from_lbf_ft lbf_ft "pound-feet" = (POUND_FORCE * 0.304_8)
}

measure! {
    /// Water that dries off a surface, held in kilograms per square metre and hour.
    Drying: from_kg_m2_h kg_m2_h "kilograms per square metre and hour" = 1.0,
        from_psf_h psf_h "pounds per square foot and hour" = PSF_AN_HOUR
}

measure! {
    /// A mass per volume, held in kilograms per cubic metre.
    Density: from_kg_m3 kg_m3 "kilograms per cubic metre" = 1.0, from_pcf pcf "pounds per cubic foot" = PCF
}

measure! {
    /// How far two temperatures are apart, held in kelvins.
    TemperatureDifference: from_kelvins kelvins "kelvins" = 1.0,
        from_deg_f deg_f "degrees Fahrenheit of difference" = (5.0 / 9.0)
}

measure! {
    /// Time on the clock, held in seconds.
    Duration: from_seconds seconds "seconds" = 1.0, from_minutes minutes "minutes" = 60.0,
        from_hours hours "hours" = 3600.0, from_days days "days of 24 hours" = 86_400.0
}

measure! {
    /// Time on the days that are worked, held in working days.
    WorkingDays: from_working_days working_days "working days" = 1.0
}

measure! {
    /// A speed, held in metres per second.
    Speed: from_m_s m_s "metres per second" = 1.0, from_mph mph "miles per hour" = 0.447_04,
        from_kph kph "kilometres per hour" = (1.0 / 3.6), from_ft_h ft_h "feet an hour" = (0.304_8 / 3600.0),
        from_m_h m_h "metres an hour" = (1.0 / 3600.0)
}

measure! {
    /// An acceleration, held in metres per second squared.
    Acceleration: from_m_s2 m_s2 "metres per second squared" = 1.0
}

measure! {
    /// A sound level, held in A-weighted decibels: it is a logarithm, so that there are no sums of it.
    Sound: from_dba dba "A-weighted decibels" = 1.0
}

measure! {
    /// An angle, held in degrees.
    Angle: from_degrees degrees "degrees" = 1.0, from_radians radians "radians" = (180.0 / std::f64::consts::PI)
}

measure! {
    /// A part of something, held as a plain number: 8% is 0.08.
    Ratio: from_fraction fraction "a plain number" = 1.0, from_percent percent "hundredths" = 0.01
}

summed!(Mass, Force, Stress, LineLoad, Moment, TemperatureDifference, Duration, WorkingDays, Angle);

impl Sound {
    /// The loudest that is reckoned with: no tool comes near it.
    pub const LOUDEST: Sound = Sound::from_dba(160.0);
}

/// A point on the temperature scale, held in degrees Celsius.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Temperature(f64);

impl Temperature {
    /// From degrees Celsius.
    #[must_use]
    pub const fn from_deg_c(deg_c: f64) -> Temperature {
        Temperature(deg_c)
    }

    /// From degrees Fahrenheit.
    #[must_use]
    pub const fn from_deg_f(deg_f: f64) -> Temperature {
        Temperature((deg_f - 32.0) * 5.0 / 9.0)
    }

    /// In degrees Celsius.
    #[must_use]
    pub const fn deg_c(self) -> f64 {
        self.0
    }

    /// In degrees Fahrenheit.
    #[must_use]
    pub const fn deg_f(self) -> f64 {
        self.0 * 9.0 / 5.0 + 32.0
    }

    /// The colder of the two.
    #[must_use]
    pub const fn min(self, other: Temperature) -> Temperature {
        Temperature(self.0.min(other.0))
    }

    /// The warmer of the two.
    #[must_use]
    pub const fn max(self, other: Temperature) -> Temperature {
        Temperature(self.0.max(other.0))
    }
}

impl Sub for Temperature {
    type Output = TemperatureDifference;
    fn sub(self, other: Temperature) -> TemperatureDifference {
        TemperatureDifference(self.0 - other.0)
    }
}

impl Add<TemperatureDifference> for Temperature {
    type Output = Temperature;
    fn add(self, warmer: TemperatureDifference) -> Temperature {
        Temperature(self.0 + warmer.0)
    }
}

impl Sub<TemperatureDifference> for Temperature {
    type Output = Temperature;
    fn sub(self, colder: TemperatureDifference) -> Temperature {
        Temperature(self.0 - colder.0)
    }
}

impl Div<Volume> for Mass {
    type Output = Density;
    fn div(self, volume: Volume) -> Density {
        Density(self.0 / volume.cubic_metres())
    }
}

impl Mul<Volume> for Density {
    type Output = Mass;
    fn mul(self, volume: Volume) -> Mass {
        Mass(self.0 * volume.cubic_metres())
    }
}

impl Div<Area> for Force {
    type Output = Stress;
    fn div(self, area: Area) -> Stress {
        Stress(self.0 / area.square_metres())
    }
}

impl Mul<Area> for Stress {
    type Output = Force;
    fn mul(self, area: Area) -> Force {
        Force(self.0 * area.square_metres())
    }
}

impl Mul<Length> for Stress {
    type Output = LineLoad;
    fn mul(self, width: Length) -> LineLoad {
        LineLoad(self.0 * width.metres())
    }
}

impl Mul<Length> for LineLoad {
    type Output = Force;
    fn mul(self, length: Length) -> Force {
        Force(self.0 * length.metres())
    }
}

impl Mul<Length> for Force {
    type Output = Moment;
    fn mul(self, arm: Length) -> Moment {
        Moment(self.0 * arm.metres())
    }
}

impl Div<Duration> for Length {
    type Output = Speed;
    fn div(self, time: Duration) -> Speed {
        Speed(self.metres() / time.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::unit;

    #[test]
    fn factors_are_those_of_the_table() {
        for (word, here) in [
            ("lb", Mass::from_lb(1.0).kg()),
            ("lbf", Force::from_lbf(1.0).newtons()),
            ("kN", Force::from_kn(1.0).newtons()),
            ("psi", Stress::from_psi(1.0).pa()),
            ("psf", Stress::from_psf(1.0).pa()),
            ("MPa", Stress::from_mpa(1.0).pa()),
            ("pcf", Density::from_pcf(1.0).kg_m3()),
            ("h", Duration::from_hours(1.0).seconds()),
            ("days", Duration::from_days(1.0).seconds()),
            ("mph", Speed::from_mph(1.0).m_s()),
            ("kph", Speed::from_kph(1.0).m_s()),
            ("m/s", 1.0),
            ("%", Ratio::from_percent(1.0).fraction()),
        ] {
            let table = unit(word).unwrap().factor().to_f64();
            assert!((here / table - 1.0).abs() < 1e-15, "{word}: {here} {table}");
        }
        assert!((Stress::from_psi(4000.0).mpa() - 27.579_029_172_672).abs() < 1e-10);
    }

    #[test]
    fn factors_to_the_digits_of_the_handbooks() {
        // NIST SP 811 (2008), Appendix B, and NIST Handbook 44, Appendix C; ten figures by our own arithmetic.
        let same = |found: f64, expected: f64| {
            assert!((found / expected - 1.0).abs() < 1e-9, "{found}, not {expected}");
        };
        same(Density::from_pcf(1.0).kg_m3(), 16.018_463_374);
        same(Stress::from_psf(1.0).pa(), 47.880_258_980);
        same(Stress::from_psi(1.0).pa(), 6_894.757_293_168);
        same(LineLoad::from_plf(1.0).n_m(), 14.593_902_937);
        same(Drying::from_psf_h(1.0).kg_m2_h(), 4.882_427_636);
        same(Speed::from_mph(1.0).kph(), 1.609_344);
        same(Temperature::from_deg_f(70.0).deg_c(), 38.0 / 1.8);
        same(TemperatureDifference::from_deg_f(50.0).kelvins(), 50.0 / 1.8);
        let one = |word: &str| unit(word).unwrap().factor().to_f64() / 1e27;
        same(one("gal"), 0.003_785_411_784);
        same(one("qt"), 0.000_946_352_946);
        same(one("pt") / one("in3"), 28.875);
        same(one("fl-oz") / one("in3"), 1.804_687_5);
        same(one("ft3"), 0.028_316_846_592);
        same(one("yd3"), 0.764_554_857_984);
        assert!((one("gal") / one("ft3") - 0.133_680_556).abs() < 5e-10);
        assert!((one("yd3") / one("gal") - 201.974).abs() < 5e-4);
    }

    #[test]
    fn temperatures_are_points_and_their_differences_are_not() {
        let (cold, warm) = (Temperature::from_deg_f(52.0), Temperature::from_deg_f(66.0));
        assert!(((warm - cold).deg_f() - 14.0).abs() < 1e-12);
        assert!(((cold + TemperatureDifference::from_deg_f(14.0)).deg_f() - 66.0).abs() < 1e-12);
        assert!((Temperature::from_deg_f(-40.0).deg_c() + 40.0).abs() < 1e-12);
        assert_eq!(cold.max(warm), warm);
    }

    #[test]
    fn derived_quantities() {
        let foot2 = Length::FOOT * Length::FOOT;
        let foot3 = foot2 * Length::FOOT;
        assert!(((Mass::from_lb(145.0) / foot3).pcf() - 145.0).abs() < 1e-11);
        assert!(((Density::from_pcf(145.0) * foot3).lb() - 145.0).abs() < 1e-11);
        assert!(((Force::from_lbf(600.0) / foot2).psf() - 600.0).abs() < 1e-10);
        assert!(((Stress::from_psi(1.0) * foot2).lbf() - 144.0).abs() < 1e-11);
        assert!(((Length::FOOT / Duration::from_hours(1.0)).m_s() - 0.3048 / 3600.0).abs() < 1e-18);
        assert!(((Stress::from_psf(450.0) * Length::FOOT).plf() - 450.0).abs() < 1e-10);
        assert!(((LineLoad::from_plf(675.0) * (Length::FOOT * 3)).lbf() - 2025.0).abs() < 1e-9);
        assert!(((Force::from_lbf(675.0) * Length::FOOT).lbf_ft() - 675.0).abs() < 1e-10);
        assert!((Drying::from_psf_h(1.0).kg_m2_h() - 4.882_427_636).abs() < 1e-9);
        let day: Duration = [Duration::from_hours(20.0), Duration::from_minutes(240.0)].into_iter().sum();
        assert_eq!(day, Duration::from_days(1.0));
        assert!((Angle::from_radians(std::f64::consts::PI).degrees() - 180.0).abs() < 1e-12);
    }
}

//! How quantities are turned into digits on paper.
//!
//! Everything is rounded half away from zero, once, from the exact number where there is one; cut lengths are rounded
//! up. A zero has no sign. Units are the words of the unit table; only `kg/m3` and that of drying, which are no words, are
//! not in it.

use std::fmt;

use super::{
    Acceleration, Amount, Angle, Area, Density, Dimension, Drying, Duration, Exact, Force, Length, Mass, Money,
    Quantity, Ratio, Sound, Speed, Stress, System, Temperature, TemperatureDifference, Volume, WorkingDays,
};

/// Digits and a unit, ready to be written; it owns nothing and allocates nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shown(Form);

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    /// `count` parts of an inch, `under` to the inch; from `feet_from` inches on in feet and inches.
    Tape {
        count: i128,
        under: i128,
        feet_from: i128,
        bare_feet: bool,
    },
    /// `scaled` over ten to the `places`, and a unit with its blank.
    Decimal {
        scaled: i128,
        places: u32,
        trimmed: bool,
        unit: &'static str,
    },
    /// Two amounts of time: `2 h 30 min`.
    Time {
        negative: bool,
        large: (u64, &'static str),
        small: (u64, &'static str),
    },
    Clock(u16),
    Money {
        scaled: i128,
        places: u32,
        code: &'static str,
    },
    /// A floating number that is none.
    Unknown,
}

/// Set-out positions on paper are to 1/16 in.
const PLACE_STEP: Length = Length::from_nm(Length::INCH.nm() / 16);
const BOARD_STEP: Length = Length::from_nm(Length::INCH.nm() / 8);
const STEEL_STEP: Length = Length::from_nm(Length::INCH.nm() / 4);
const STEEL_STEP_METRIC: Length = Length::from_nm(5 * Length::MILLIMETRE.nm());
/// What a cut length may lie over a step of the tape and still be that step: a thousandth of a millimetre, which
/// floating arithmetic on the way leaves and no saw sees.
const CUT_TOLERANCE: Length = Length::from_nm(1000);
/// Inches are counted in feet from here on where a length is given for itself.
const FEET_FROM: i128 = 48;

fn steel_step(system: System) -> Length {
    match system {
        System::Feet => STEEL_STEP,
        System::Metric => STEEL_STEP_METRIC,
    }
}

/// A length rounded up to what steel is cut to: 1/4 in, or 5 mm; [`cut`] shows it.
#[must_use]
pub fn cut_length(length: Length, system: System) -> Length {
    let (nm, step) = (length.nm().saturating_sub(CUT_TOLERANCE.nm()), steel_step(system).nm());
    let up = i64::from(nm.rem_euclid(step) > 0);
    Length::from_nm(nm.div_euclid(step).saturating_add(up).saturating_mul(step))
}

/// A set-out position: to 1/16 in as `9'-3 1/4"`, or in whole millimetres.
#[must_use]
pub fn place(length: Length, system: System) -> Shown {
    stepped(length, PLACE_STEP, system)
}

/// A cut length of steel: up to 1/4 in, or up to 5 mm.
#[must_use]
pub fn cut(length: Length, system: System) -> Shown {
    stepped(cut_length(length, system), steel_step(system), system)
}

/// A leg of a bent bar: to the nearest 1/4 in, or 5 mm.
#[must_use]
pub fn bend(length: Length, system: System) -> Shown {
    let step = steel_step(system);
    stepped(Length::from_nm(nearest(length, step).saturating_mul(step.nm())), step, system)
}

/// A length of board: to 1/8 in, or in whole millimetres.
#[must_use]
pub fn board(length: Length, system: System) -> Shown {
    stepped(length, BOARD_STEP, system)
}

/// A length as short as it can be written without loss: `1 3/4"`, `9'-6"`, `12.5 mm`. What no tape shows is given in
/// decimals, and rounded to four of an inch or two of a millimetre where even four do not hold it.
#[must_use]
pub fn exact(length: Length, system: System) -> Shown {
    let (nm, inch) = (i128::from(length.nm()), i128::from(Length::INCH.nm()));
    match system {
        System::Feet if 64 * nm % inch == 0 => {
            Shown(Form::Tape { count: 64 * nm / inch, under: 64, feet_from: FEET_FROM, bare_feet: true })
        }
        System::Feet => decimal_of(nm, inch, 4, true, "\""),
        System::Metric => decimal_of(nm, 1_000_000, if nm % 100 == 0 { 4 } else { 2 }, true, " mm"),
    }
}

/// A length as a finding tells it: [`exact`], but where that would take four decimals of an inch, which nobody can measure,
/// to the nearest 1/64 in: `2 63/64"`; or to a tenth of a millimetre. What is less than 1/8 in or 1 mm stays as it is: `0.0197"`.
#[must_use]
pub fn told(length: Length, system: System) -> Shown {
    let inch = Length::INCH.nm();
    let is_short = length.nm().abs() < inch / 8 || 1000 * i128::from(length.nm()) % i128::from(inch) == 0;
    match system {
        System::Feet if !is_short => {
            let sixty_fourth = Length::from_nm(inch / 64);
            exact(Length::from_nm(nearest(length, sixty_fourth).saturating_mul(sixty_fourth.nm())), system)
        }
        System::Metric if length.nm().abs() >= Length::MILLIMETRE.nm() => {
            let tenth = Length::MILLIMETRE.nm() / 10;
            exact(Length::from_nm(nearest(length, Length::from_nm(tenth)).saturating_mul(tenth)), system)
        }
        _ => exact(length, system),
    }
}

/// An area: `12.50 ft2` or `1.161 m2`.
#[must_use]
pub fn area(area: Area, system: System) -> Shown {
    match system {
        System::Feet => decimal_of(area.nm2(), square(Length::FOOT), 2, false, " ft2"),
        System::Metric => decimal_of(area.nm2(), square(Length::METRE), 3, false, " m2"),
    }
}

/// A small area, such as a bar's: `0.20 in2` or `129 mm2`.
#[must_use]
pub fn small_area(area: Area, system: System) -> Shown {
    match system {
        System::Feet => decimal_of(area.nm2(), square(Length::INCH), 2, false, " in2"),
        System::Metric => decimal_of(area.nm2(), square(Length::MILLIMETRE), 0, false, " mm2"),
    }
}

/// A volume of concrete: `12.50 ft3` or `0.354 m3`.
#[must_use]
pub fn volume(volume: Volume, system: System) -> Shown {
    match system {
        System::Feet => decimal_of(volume.nm3(), cube(Length::FOOT), 2, false, " ft3"),
        System::Metric => decimal_of(volume.nm3(), cube(Length::METRE), 3, false, " m3"),
    }
}

/// A volume in cubic yards, as ready-mixed concrete is ordered: `1.25 yd3`.
#[must_use]
pub fn yards(volume: Volume) -> Shown {
    decimal_of(volume.nm3(), 27 * cube(Length::FOOT), 2, false, " yd3")
}

/// A small volume, such as a hole's: `3.1 in3` or `50.8 mL`.
#[must_use]
pub fn small_volume(volume: Volume, system: System) -> Shown {
    match system {
        System::Feet => decimal_of(volume.nm3(), cube(Length::INCH), 1, false, " in3"),
        System::Metric => millilitres(volume),
    }
}

/// A volume of adhesive: `22.0 fl-oz` or `650.6 mL`.
#[must_use]
pub fn fluid(volume: Volume, system: System) -> Shown {
    match system {
        System::Feet => decimal_of(volume.nm3(), 231 * cube(Length::INCH) / 128, 1, false, " fl-oz"),
        System::Metric => millilitres(volume),
    }
}

/// A volume that is carried: `2.5 gal` or `9.5 L`.
#[must_use]
pub fn carried(volume: Volume, system: System) -> Shown {
    match system {
        System::Feet => decimal_of(volume.nm3(), 231 * cube(Length::INCH), 1, true, " gal"),
        System::Metric => decimal_of(volume.nm3(), cube(Length::MILLIMETRE * 100), 1, true, " L"),
    }
}

/// A volume of water as it is poured out by a marked jug: `3.0 qt` or `9.5 L`; a tenth of a gallon would be too coarse.
#[must_use]
pub fn water(volume: Volume, system: System) -> Shown {
    match system {
        // A quart is a quarter of 231 in3.
        System::Feet => decimal_of(volume.nm3() * 4, 231 * cube(Length::INCH), 1, false, " qt"),
        System::Metric => decimal_of(volume.nm3(), cube(Length::MILLIMETRE * 100), 1, false, " L"),
    }
}

/// The most water there may be, never rounded up: 2.86 L is told as `2.8 L`.
#[must_use]
pub fn water_at_most(volume: Volume, system: System) -> Shown {
    let (number, per, unit) = match system {
        System::Feet => (volume.nm3() * 4, 231 * cube(Length::INCH), " qt"),
        System::Metric => (volume.nm3(), cube(Length::MILLIMETRE * 100), " L"),
    };
    // Tenths, whole ones alone; what was written is told as it was, whatever a unit's noise.
    let number = number.saturating_add(per / 1_000_000);
    let tenths =
        number.div_euclid(per).saturating_mul(10).saturating_add((number.rem_euclid(per) * 10).div_euclid(per));
    Shown(Form::Decimal { scaled: tenths, places: 1, trimmed: false, unit })
}

/// A mass: `1400 lb`, `9.5 lb` or `635 kg`.
#[must_use]
pub fn mass(mass: Mass, system: System) -> Shown {
    match system {
        System::Feet => few_digits(mass.lb(), " lb"),
        System::Metric => few_digits(mass.kg(), " kg"),
    }
}

/// The most that may be lifted, never rounded up: 25.7 lb is told as `25 lb`.
#[must_use]
pub fn mass_at_most(mass: Mass, system: System) -> Shown {
    let (number, unit) = match system {
        System::Feet => (mass.lb(), " lb"),
        System::Metric => (mass.kg(), " kg"),
    };
    // What was written is told as it was, whatever a unit's noise.
    let places = u32::from(number < 10.0);
    let shift = 10_f64.powi(places.cast_signed());
    decimal_float((number * shift + 1e-6).floor() / shift, places, false, unit)
}

/// A force: `600 lbf` or `2.67 kN`.
#[must_use]
pub fn force(force: Force, system: System) -> Shown {
    match system {
        System::Feet => decimal_float(force.lbf(), 0, false, " lbf"),
        System::Metric => decimal_float(force.kn(), 2, false, " kN"),
    }
}

/// A strength or stress: `4000 psi` or `27.6 MPa`.
#[must_use]
pub fn stress(stress: Stress, system: System) -> Shown {
    match system {
        // What fresh concrete presses with is little next to what it holds when it is hard.
        System::Feet if stress.psi() < 10.0 => decimal_float(stress.psi(), 2, true, " psi"),
        System::Feet => decimal_float(stress.psi(), 0, false, " psi"),
        System::Metric if stress.mpa() < 0.1 => decimal_float(stress.mpa(), 4, true, " MPa"),
        System::Metric => decimal_float(stress.mpa(), 1, false, " MPa"),
    }
}

/// A pressure on a form: `300 psf` or `14.4 kPa`.
#[must_use]
pub fn pressure(pressure: Stress, system: System) -> Shown {
    match system {
        System::Feet => decimal_float(pressure.psf(), 0, false, " psf"),
        System::Metric => decimal_float(pressure.kpa(), 1, false, " kPa"),
    }
}

/// A density: `145 pcf` or `2323 kg/m3`.
#[must_use]
pub fn density(density: Density, system: System) -> Shown {
    match system {
        System::Feet => decimal_float(density.pcf(), 0, false, " pcf"),
        System::Metric => decimal_float(density.kg_m3(), 0, false, " kg/m3"),
    }
}

/// A temperature: `52 degF` or `11 degC`.
#[must_use]
pub fn temperature(temperature: Temperature, system: System) -> Shown {
    match system {
        System::Feet => decimal_float(temperature.deg_f(), 0, false, " degF"),
        System::Metric => decimal_float(temperature.deg_c(), 0, false, " degC"),
    }
}

/// A temperature difference: `20 degF` or `11 degC`.
#[must_use]
pub fn temperature_difference(difference: TemperatureDifference, system: System) -> Shown {
    match system {
        System::Feet => decimal_float(difference.deg_f(), 0, false, " degF"),
        System::Metric => decimal_float(difference.kelvins(), 0, false, " degC"),
    }
}

/// How fast a surface dries: `0.04 lb/ft2/h` or `0.21 kg/m2/h`.
#[must_use]
pub fn drying(drying: Drying, system: System) -> Shown {
    match system {
        System::Feet => decimal_float(drying.psf_h(), 2, false, " lb/ft2/h"),
        System::Metric => decimal_float(drying.kg_m2_h(), 2, false, " kg/m2/h"),
    }
}

/// A speed: `5 mph` or `8 kph`.
#[must_use]
pub fn speed(speed: Speed, system: System) -> Shown {
    match system {
        System::Feet => decimal_float(speed.mph(), 0, false, " mph"),
        System::Metric => decimal_float(speed.kph(), 0, false, " kph"),
    }
}

/// How fast fresh concrete rises: `1.50 ft/h` or `0.45 m/h`.
#[must_use]
pub fn rise(speed: Speed, system: System) -> Shown {
    match system {
        System::Feet => decimal_float(speed.ft_h(), 2, true, " ft/h"),
        System::Metric => decimal_float(speed.m_h(), 2, true, " m/h"),
    }
}

/// An acceleration, as the shaking of a tool is told: `4.5 m/s2`.
#[must_use]
pub fn acceleration(acceleration: Acceleration) -> Shown {
    decimal_float(acceleration.m_s2(), 1, true, " m/s2")
}

/// A sound level: `98 dB`.
#[must_use]
pub fn sound(level: Sound) -> Shown {
    decimal_float(level.dba(), 1, true, " dB")
}

/// Time on the clock: `45 s`, `40 min`, `2 h 30 min`, `24 h`, and from 48 hours on `3 days`, `3 days 4 h`.
///
/// Below two minutes to the second, below 48 hours to the minute, from there on to the hour.
#[must_use]
pub fn time(time: Duration) -> Shown {
    timed(time, f64::round)
}

/// A time something must be done within, never rounded up: 17.5 min are `17 min`.
#[must_use]
pub fn time_within(time: Duration) -> Shown {
    timed(time, |units| (units + SLIVER).floor())
}

/// A time something waits for at least, never rounded down: 17.5 min are `18 min`.
#[must_use]
pub fn time_at_least(time: Duration) -> Shown {
    timed(time, |units| (units - SLIVER).ceil())
}

/// What noise makes of whole units of time.
const SLIVER: f64 = 1e-6;

fn timed(time: Duration, rounded: fn(f64) -> f64) -> Shown {
    let seconds = time.seconds();
    if !seconds.is_finite() {
        return Shown(Form::Unknown);
    }
    // A cast ends at its limits.
    let to = |unit: f64| rounded(seconds.abs() / unit) as u64;
    let (large, small) = match (to(1.0), to(60.0), to(3600.0)) {
        (s, ..) if s < 120 && s != 60 => ((0, "h"), (s, "s")),
        (_, min, _) if min < 48 * 60 => ((min / 60, "h"), (min % 60, "min")),
        (_, _, h) => ((h / 24, if h / 24 == 1 { "day" } else { "days" }), (h % 24, "h")),
    };
    Shown(Form::Time { negative: seconds < 0.0, large, small })
}

/// Time on the days that are worked: `1 working day`, `2.5 working days`.
#[must_use]
pub fn working_days(time: WorkingDays) -> Shown {
    match decimal_float(time.working_days(), 1, true, " working days") {
        Shown(Form::Decimal { scaled: 10, places, trimmed, .. }) => {
            Shown(Form::Decimal { scaled: 10, places, trimmed, unit: " working day" })
        }
        many => many,
    }
}

/// A time of day from the minutes after midnight: `16:30`, `8:00`.
#[must_use]
pub const fn clock(minutes: u16) -> Shown {
    Shown(Form::Clock(minutes))
}

/// A percentage: `8%`, `12.5%`; below one to three decimals, as a part of steel is told: `0.156%`.
#[must_use]
pub fn percent(ratio: Ratio) -> Shown {
    let places = if ratio.percent().abs() < 1.0 { 3 } else { 1 };
    decimal_float(ratio.percent(), places, true, "%")
}

/// A percentage that was written, such as a tax: `8%`, `7.25%`, `8.875%`.
#[must_use]
pub fn percent_said(ratio: Ratio) -> Shown {
    decimal_float(ratio.percent(), 3, true, "%")
}

/// An angle: `45 deg`, `22.5 deg`.
#[must_use]
pub fn angle(angle: Angle) -> Shown {
    decimal_float(angle.degrees(), 1, true, " deg")
}

/// An amount of money to its currency's decimals: `6.80 USD`, `850 JPY`.
#[must_use]
pub fn money(money: Money) -> Shown {
    let places = money.currency.decimals();
    let scaled = scaled(money.amount.numerator(), money.amount.denominator(), places);
    Shown(Form::Money { scaled, places, code: money.currency.code() })
}

/// A number with at most so many decimals, without zeros at its end: `2.5`, `3`.
#[must_use]
pub fn decimal(number: f64, places: u32) -> Shown {
    decimal_float(number, places, true, "")
}

/// An exact number with at most so many decimals, without zeros at its end.
#[must_use]
pub fn exact_decimal(number: Exact, places: u32) -> Shown {
    decimal_of(number.numerator(), number.denominator(), places, true, "")
}

/// Any quantity, lengths as [`exact`] shows them and plain numbers to three decimals; areas below 0.1 ft2 and volumes
/// below 0.1 ft3 in the small units.
#[must_use]
pub fn quantity(quantity: &Quantity, system: System) -> Shown {
    let shown = match quantity.dimension() {
        Dimension::Number => match quantity.amount() {
            Amount::Exact(number) => Some(exact_decimal(number, 3)),
            Amount::Float(number) => Some(decimal(number, 3)),
        },
        Dimension::Length => quantity.length().map(|length| exact(length, system)),
        Dimension::Area => quantity.area().map(|value| {
            let small = value.nm2().unsigned_abs() < square(Length::FOOT).unsigned_abs() / 10;
            if small { small_area(value, system) } else { area(value, system) }
        }),
        Dimension::Volume => quantity.volume().map(|value| {
            let small = value.nm3().unsigned_abs() < cube(Length::FOOT).unsigned_abs() / 10;
            if small { small_volume(value, system) } else { volume(value, system) }
        }),
        Dimension::Mass => quantity.mass().map(|value| mass(value, system)),
        Dimension::Force => quantity.force().map(|value| force(value, system)),
        Dimension::Stress => quantity.stress().map(|value| stress(value, system)),
        Dimension::Density => quantity.density().map(|value| density(value, system)),
        Dimension::Temperature => quantity.temperature().map(|value| temperature(value, system)),
        Dimension::TemperatureDifference => {
            quantity.temperature_difference().map(|value| temperature_difference(value, system))
        }
        Dimension::Time => quantity.duration().map(time),
        Dimension::WorkingTime => quantity.working_days().map(working_days),
        Dimension::Speed => quantity.speed().map(|value| speed(value, system)),
        Dimension::Acceleration => quantity.acceleration().map(acceleration),
        Dimension::Sound => quantity.sound().map(sound),
        Dimension::Angle => quantity.angle().map(angle),
        Dimension::Ratio => quantity.ratio().map(percent),
        Dimension::Money => quantity.money().map(money),
        Dimension::Date => None,
    };
    shown.unwrap_or(Shown(Form::Unknown))
}

fn square(length: Length) -> i128 {
    i128::from(length.nm()).pow(2)
}

fn cube(length: Length) -> i128 {
    i128::from(length.nm()).pow(3)
}

fn millilitres(volume: Volume) -> Shown {
    decimal_of(volume.nm3(), cube(Length::MILLIMETRE * 10), 1, false, " mL")
}

/// The whole steps nearest to a length, half away from zero.
fn nearest(length: Length, step: Length) -> i64 {
    i64::try_from(scaled(length.nm().into(), step.nm().into(), 0)).unwrap_or(i64::MAX)
}

/// A length to a step of the tape, or in whole millimetres.
fn stepped(length: Length, step: Length, system: System) -> Shown {
    match system {
        System::Feet => Shown(Form::Tape {
            count: nearest(length, step).into(),
            under: i128::from(Length::INCH.nm() / step.nm()),
            feet_from: 12,
            bare_feet: false,
        }),
        System::Metric => decimal_of(length.nm().into(), 1_000_000, 0, false, " mm"),
    }
}

/// In whole numbers, below ten with one decimal.
fn few_digits(number: f64, unit: &'static str) -> Shown {
    // What rounds to ten has no decimal either.
    decimal_float(number, u32::from(number.abs() < 9.95), false, unit)
}

fn decimal_of(number: i128, per: i128, places: u32, trimmed: bool, unit: &'static str) -> Shown {
    Shown(Form::Decimal { scaled: scaled(number, per, places), places, trimmed, unit })
}

fn decimal_float(number: f64, places: u32, trimmed: bool, unit: &'static str) -> Shown {
    let places = places.min(15);
    let scaled = number * 10_f64.powi(places.cast_signed());
    if scaled.is_finite() {
        Shown(Form::Decimal { scaled: scaled.round() as i128, places, trimmed, unit })
    } else {
        Shown(Form::Unknown)
    }
}

/// `number / per` times ten to the `places`, to the nearest whole number, half away from zero; `per` is above zero.
fn scaled(number: i128, per: i128, places: u32) -> i128 {
    let shift = 10_i128.saturating_pow(places);
    let part = Exact::new(number % per, per).and_then(|part| part.times(Exact::whole(shift)));
    let part = part.map_or(0, Exact::to_nearest_i128);
    (number / per).saturating_mul(shift).saturating_add(part)
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            Form::Tape { count, under, feet_from, bare_feet } => tape(f, count, under, feet_from, bare_feet),
            Form::Decimal { scaled, places, trimmed, unit } => {
                digits(f, scaled, places, trimmed)?;
                f.write_str(unit)
            }
            Form::Time { negative, large, small } => {
                if negative && (large.0, small.0) != (0, 0) {
                    f.write_str("-")?;
                }
                match (large, small) {
                    ((0, _), (n, unit)) | ((n, unit), (0, _)) => write!(f, "{n} {unit}"),
                    ((n, unit), (m, part)) => write!(f, "{n} {unit} {m} {part}"),
                }
            }
            Form::Clock(minutes) => write!(f, "{}:{:02}", minutes / 60, minutes % 60),
            Form::Money { scaled, places, code } => {
                digits(f, scaled, places, false)?;
                write!(f, " {code}")
            }
            Form::Unknown => f.write_str("not known"),
        }
    }
}

fn tape(f: &mut fmt::Formatter<'_>, count: i128, under: i128, feet_from: i128, bare_feet: bool) -> fmt::Result {
    let (whole, parts) = (count.unsigned_abs() / under.unsigned_abs(), count % under);
    if count < 0 {
        f.write_str("-")?;
    }
    let mut inches = whole;
    if whole >= feet_from.unsigned_abs() {
        inches = whole % 12;
        if bare_feet && inches == 0 && parts == 0 {
            return write!(f, "{}'", whole / 12);
        }
        write!(f, "{}'-", whole / 12)?;
    }
    let fraction = Exact::new(parts, under).filter(|part| !part.is_zero());
    match fraction.map(|part| (part.numerator().unsigned_abs(), part.denominator())) {
        None => write!(f, "{inches}\""),
        Some((over, under)) if whole == 0 => write!(f, "{over}/{under}\""),
        Some((over, under)) => write!(f, "{inches} {over}/{under}\""),
    }
}

fn digits(f: &mut fmt::Formatter<'_>, mut scaled: i128, mut places: u32, trimmed: bool) -> fmt::Result {
    while trimmed && places > 0 && scaled % 10 == 0 {
        (scaled, places) = (scaled / 10, places - 1);
    }
    if scaled < 0 {
        f.write_str("-")?;
    }
    let shift = 10_u128.saturating_pow(places);
    let (whole, rest) = (scaled.unsigned_abs() / shift, scaled.unsigned_abs() % shift);
    write!(f, "{whole}")?;
    if places > 0 {
        let width = usize::try_from(places).unwrap_or(0);
        write!(f, ".{rest:0width$}")?;
    }
    Ok(())
}

#[cfg(test)]
mod tests;

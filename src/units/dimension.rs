//! What kind of thing a number measures.

use std::fmt;

/// What a number measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// A count or plain number.
    Number,
    /// A length, in nanometres.
    Length,
    /// An area, in square nanometres.
    Area,
    /// A volume, in cubic nanometres.
    Volume,
    /// A mass, in kilograms.
    Mass,
    /// A force, in newtons.
    Force,
    /// A force per area, in pascals.
    Stress,
    /// A mass per volume, in kilograms per cubic metre.
    Density,
    /// A point on the temperature scale, in degrees Celsius.
    Temperature,
    /// How far two temperatures are apart, in kelvins.
    TemperatureDifference,
    /// Time that runs on the clock, in seconds.
    Time,
    /// Time that runs only on days that are worked, in working days.
    WorkingTime,
    /// A speed, in metres per second.
    Speed,
    /// An acceleration, in metres per second squared.
    Acceleration,
    /// A sound level, in A-weighted decibels.
    Sound,
    /// An angle, in degrees.
    Angle,
    /// A part of something, as a plain number: 8% is 0.08.
    Ratio,
    /// An amount of money, in the currency's main unit.
    Money,
    /// A day of the calendar; there is no arithmetic with it.
    Date,
}

impl Dimension {
    /// Every dimension, in the order they are explained.
    pub const ALL: [Dimension; 19] = [
        Dimension::Number,
        Dimension::Length,
        Dimension::Area,
        Dimension::Volume,
        Dimension::Mass,
        Dimension::Force,
        Dimension::Stress,
        Dimension::Density,
        Dimension::Temperature,
        Dimension::TemperatureDifference,
        Dimension::Time,
        Dimension::WorkingTime,
        Dimension::Speed,
        Dimension::Acceleration,
        Dimension::Sound,
        Dimension::Angle,
        Dimension::Ratio,
        Dimension::Money,
        Dimension::Date,
    ];

    /// Its name with an article, as a sentence wants it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Dimension::Number => "a count or plain number",
            Dimension::Length => "a length",
            Dimension::Area => "an area",
            Dimension::Volume => "a volume",
            Dimension::Mass => "a mass",
            Dimension::Force => "a force",
            Dimension::Stress => "a stress",
            Dimension::Density => "a density",
            Dimension::Temperature => "a temperature",
            Dimension::TemperatureDifference => "a temperature difference",
            Dimension::Time => "a time",
            Dimension::WorkingTime => "a number of working days",
            Dimension::Speed => "a speed",
            Dimension::Acceleration => "an acceleration",
            Dimension::Sound => "a sound level",
            Dimension::Angle => "an angle",
            Dimension::Ratio => "a percentage",
            Dimension::Money => "an amount of money",
            Dimension::Date => "a date",
        }
    }

    /// What one may type for it.
    #[must_use]
    pub const fn example(self) -> &'static str {
        match self {
            Dimension::Number => "3",
            Dimension::Length => "8\" or 200 mm",
            Dimension::Area => "6 ft2 or 0.5 m2",
            Dimension::Volume => "3 gal or 12 L",
            Dimension::Mass => "80 lb or 36 kg",
            Dimension::Force => "600 lbf or 2.5 kN",
            Dimension::Stress => "4000 psi or 28 MPa",
            Dimension::Density => "145 pcf",
            Dimension::Temperature => "52 degF or 11 degC",
            Dimension::TemperatureDifference => "20 degF or 11 degC",
            Dimension::Time => "45 min or 3 days",
            Dimension::WorkingTime => "2 working days",
            Dimension::Speed => "5 mph or 8 kph",
            Dimension::Acceleration => "4.5 m/s2",
            Dimension::Sound => "98 dB",
            Dimension::Angle => "45 deg",
            Dimension::Ratio => "8%",
            Dimension::Money => "6.80 USD",
            Dimension::Date => "2027-05-03",
        }
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

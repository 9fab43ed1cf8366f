//! How long the work of hands takes where nobody says it, and how soon an open top no longer rises: habits of the trade, to be
//! put right by the first pour.

use super::{PRACTICE, curing::Knitting, forms::Setting, mm};
use crate::units::{Duration, Length, Speed, System, Temperature, Volume};

/// From the mixer to the form, tipped out and back, where no way is known: 2 minutes.
pub const TRIP: Setting<Duration> = Setting { name: "a trip", value: Duration::from_minutes(2.0), source: PRACTICE };

/// Walking with a full bucket: 3 ft a second, 0.9 m/s.
pub const WALKING: Setting<Speed> =
    Setting { name: "walking with a load", value: Speed::from_m_s(0.9144), source: PRACTICE };

/// Filling a bucket and tipping it out: 1 minute.
pub const TIPPING: Setting<Duration> =
    Setting { name: "filling and tipping a bucket", value: Duration::from_minutes(1.0), source: PRACTICE };

/// Rodding and spading one batch: 3 minutes.
pub const RODDING: Setting<Duration> =
    Setting { name: "rodding a batch", value: Duration::from_minutes(3.0), source: PRACTICE };

/// A working day: 8 hours.
pub const DAY: Setting<Duration> =
    Setting { name: "a working day", value: Duration::from_hours(8.0), source: PRACTICE };

/// How long an open top needs until concrete that is laid higher beside it no longer lifts it: half an hour at 21 degrees
/// Celsius, longer when it is colder, as setting is.
pub const STIFFENING: Setting<Knitting> = Setting {
    name: "time until an open top holds",
    value: Knitting {
        reference: Duration::from_minutes(30.0),
        at: Temperature::from_deg_c(21.0),
        q: 5000.0,
        most: Duration::from_hours(24.0),
    },
    source: "common practice, no source; engineering judgement",
};

/// How long concrete of plain cement takes to set, so that one may build on it or mark and scan its face: six hours at 21 degrees
/// Celsius (from memory), longer when it is colder, as knitting is.
pub const SETTING: Setting<Knitting> = Setting {
    name: "time until it has set",
    value: Knitting {
        reference: Duration::from_hours(6.0),
        at: Temperature::from_deg_c(21.0),
        q: 5000.0,
        most: Duration::from_hours(72.0),
    },
    source: "from memory, common practice; engineering judgement",
};

/// The room over a form it takes to tip a bucket: 16 in.
pub const BUCKET_ROOM: Setting<Length> =
    Setting { name: "room to tip a bucket", value: Length::from_nm(16 * Length::INCH.nm()), source: PRACTICE };

/// The room over a form that a chute and the hand behind it take: 8 in.
pub const CHUTE_ROOM: Setting<Length> =
    Setting { name: "room for a chute", value: Length::from_nm(8 * Length::INCH.nm()), source: PRACTICE };

/// The room over a form that a scoop and a rod held flat take: 4 in.
pub const SCOOP_ROOM: Setting<Length> =
    Setting { name: "room for a scoop", value: Length::from_nm(4 * Length::INCH.nm()), source: PRACTICE };

/// What is carried at once: 3 gallons, or 10 litres, which one person still lifts.
#[must_use]
pub fn carried(system: System) -> Setting<Volume> {
    let value = match system {
        System::Feet => Volume::from_nm3(3 * 231 * 16_387_064_000_000_000_000_000),
        System::Metric => Volume::from_nm3(10_i128.pow(25)),
    };
    Setting { name: "a bucket", value, source: PRACTICE }
}

/// A layer rodded by hand: 8 in, or 200 mm.
#[must_use]
pub fn layer(system: System) -> Length {
    match system {
        System::Feet => super::curing::HAND_LAYER.value,
        System::Metric => mm(200),
    }
}

/// The highest layer that is still rodded through by hand: 12 in (ACI 309R, from memory), or 300 mm.
#[must_use]
pub fn highest_layer(system: System) -> Length {
    match system {
        System::Feet => Length::FOOT,
        System::Metric => mm(300),
    }
}

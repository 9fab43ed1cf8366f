//! How long a layer knits, and how long an open top needs until it holds, by what the mix says and the weather.

use crate::{
    schema::{Above, Asked, Curve, Mix, asked},
    standards::{
        curing::{Knitting, USUAL_KNITTING, still_knits},
        handwork::{SETTING, STIFFENING},
    },
    units::{Duration, Temperature},
};

/// Taken where no weather is said: 21 degrees Celsius, 70 degrees Fahrenheit, as times on bags are told at.
pub(super) const ROOM: Temperature = Temperature::from_deg_c(21.0);

/// How a time was found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Way {
    /// In a straight line between the times the mix gives at two temperatures, or at one.
    Said(Duration),
    /// From the nearest time the mix gives, as setting goes faster and slower with temperature.
    From(Knitting),
    /// The mix gives none: as usual.
    Usual(Knitting),
}

/// A time that holds at a temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Holds {
    /// The time.
    pub time: Duration,
    /// The temperature.
    pub at: Temperature,
    /// How it was found.
    pub way: Way,
}

impl Holds {
    /// The mix does not say it.
    #[must_use]
    pub fn is_usual(&self) -> bool {
        matches!(self.way, Way::Usual(_))
    }
}

/// How long a layer knits.
pub(super) fn knits(mix: &Mix, at: Temperature) -> Holds {
    holds(mix.knits.as_deref().unwrap_or_default(), USUAL_KNITTING.value, at)
}

/// How long an open top needs until it holds.
pub(super) fn stiffens(mix: &Mix, at: Temperature) -> Holds {
    holds(mix.stiffens.as_deref().unwrap_or_default(), STIFFENING.value, at)
}

/// How long a mix takes to set: the colder it is, the longer. Where no temperature is known, the longest that is said, or as is
/// usual in a warm room.
#[must_use]
pub fn sets(mix: &Mix, at: Option<Temperature>) -> Duration {
    let curve = mix.sets.as_deref().unwrap_or_default();
    match at {
        Some(at) => holds(curve, SETTING.value, at).time,
        None => curve.iter().map(|point| point.value.0).reduce(Duration::max).unwrap_or(SETTING.value.reference),
    }
}

fn holds(curve: &[Curve<Above<Duration>, Temperature>], usual: Knitting, at: Temperature) -> Holds {
    let nearest = |least: bool| {
        let points = curve.iter().map(|point| (point.at, point.value.0));
        let by =
            |one: &(Temperature, Duration), other: &(Temperature, Duration)| one.0.deg_c().total_cmp(&other.0.deg_c());
        if least { points.min_by(by) } else { points.max_by(by) }
    };
    let (way, model) = match asked(curve, at) {
        Some(Asked::Within(time)) => return Holds { time, at, way: Way::Said(time) },
        Some(Asked::Colder(_) | Asked::Warmer(_)) => {
            let colder = matches!(asked(curve, at), Some(Asked::Colder(_)));
            let (known, reference) = nearest(colder).unwrap_or((usual.at, usual.reference));
            // Longer than the longest that is usual, only if the mix itself says longer.
            let model = Knitting { reference, at: known, q: usual.q, most: usual.most.max(reference) };
            (Way::From(model), model)
        }
        None => (Way::Usual(usual), usual),
    };
    let time = still_knits(&model, at).map_or(model.reference, |worked| worked.value);
    Holds { time, at, way }
}

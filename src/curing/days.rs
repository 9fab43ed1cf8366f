//! The weather of a job day by day: what is written holds until the next begins. Times count from the job's start.

use crate::{
    job::Job,
    schema::{Range, Said, Weather},
    source::Span,
    standards::curing::{COUNTS_FROM, Spell, Temperatures},
    units::{Date, Duration, Ratio, Temperature},
};

/// How far the counting of hours looks ahead: a year and a day.
pub(super) const AHEAD: i64 = 366;

/// What is wrong with weather that begins on a day, or cannot be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WeatherTrouble {
    /// A further one does not say when it begins.
    Undated {
        /// Where it is written.
        at: Span,
        /// Where the first one is.
        first: Span,
    },
    /// It says when it begins, and the job does not.
    NoStart {
        /// Where the day is written.
        at: Span,
    },
    /// It begins before the job does.
    BeforeStart {
        /// Where the day is written.
        at: Span,
        /// The day the job begins.
        start: Date,
    },
    /// It does not begin after the one before it.
    NotLater {
        /// Where the day is written.
        at: Span,
        /// The day the one before it begins.
        than: Date,
        /// Where that is written.
        before: Span,
    },
    /// The first one begins after the job does.
    Gap {
        /// Where the day is written.
        at: Span,
        /// The day the job begins.
        start: Date,
    },
    /// A humidity no air has.
    Humidity {
        /// Where the weather is written.
        at: Span,
    },
    /// A humidity no air has where people work.
    HumidityLow {
        /// Where the weather is written.
        at: Span,
        /// How little.
        said: Ratio,
    },
}

/// The weather of a job, in the order it comes; it may be empty.
#[derive(Debug, Default, Clone)]
pub struct Weathers<'j> {
    spans: Vec<(i64, &'j Said<Weather>)>,
}

/// Drier air is a slip: a part of one written as a percentage. Common practice, no source.
const DRIEST: f64 = 0.05;

/// Concrete kept no colder than this for a time after it is poured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Warmth {
    /// How warm.
    pub at: Temperature,
    /// How long.
    pub lasts: Duration,
}

impl<'j> Weathers<'j> {
    /// The weather of a job, and what is wrong with it; what is wrong is left out.
    #[must_use]
    pub fn of(job: &'j Job) -> (Weathers<'j>, Vec<WeatherTrouble>) {
        let (mut weathers, mut troubles) = (Weathers::default(), Vec::new());
        let Some(head) = &job.head else { return (weathers, troubles) };
        let start = head.say.start;
        let mut last: Option<(Option<Date>, Span)> = None;
        for weather in &head.say.weather.0 {
            match weather.value.humidity {
                Some(humidity) if !(0.0..=1.0).contains(&humidity.fraction()) => {
                    troubles.push(WeatherTrouble::Humidity { at: weather.span });
                }
                Some(said) if said.fraction() < DRIEST => {
                    troubles.push(WeatherTrouble::HumidityLow { at: weather.span, said });
                }
                _ => {}
            }
            let from = weather.value.from;
            let day = match (from, start) {
                (None, _) => last.map_or(Ok(0), |(_, first)| Err(WeatherTrouble::Undated { at: weather.span, first })),
                (Some(from), None) => Err(WeatherTrouble::NoStart { at: from.span }),
                (Some(from), Some(start)) => begins(from, start, last),
            };
            match day {
                // What comes first holds from the start, whatever is wrong with its day.
                Ok(day) => weathers.spans.push((if weathers.spans.is_empty() { 0 } else { day }, weather)),
                // Without a start no day fits: that is told once.
                Err(WeatherTrouble::NoStart { .. })
                    if troubles.iter().any(|known| matches!(known, WeatherTrouble::NoStart { .. })) => {}
                Err(trouble) => troubles.push(trouble),
            }
            let day = from.map(|from| from.value).or(start);
            if last.is_none_or(|(before, _)| before < day) {
                last = Some((day, from.map_or(weather.span, |from| from.span)));
            }
        }
        (weathers, troubles)
    }

    /// The weather a time after the job's start.
    #[must_use]
    pub fn at(&self, time: Duration) -> Option<&'j Said<Weather>> {
        self.spans.get(self.begun(time)).map(|(_, weather)| *weather)
    }

    /// Which weather has begun last.
    fn begun(&self, time: Duration) -> usize {
        self.spans.partition_point(|(day, _)| *day as f64 <= time.days() + 1e-9).saturating_sub(1)
    }

    /// The weather from a time to another, each after the job's start.
    pub fn between(&self, from: Duration, to: Duration) -> impl Iterator<Item = &'j Said<Weather>> {
        self.spans
            .iter()
            .skip(self.begun(from))
            .take_while(move |(day, _)| (*day as f64) < to.days())
            .map(|(_, weather)| *weather)
    }

    /// All of it, with the day it begins on, counted from 0 at the job's start.
    pub fn each(&self) -> impl Iterator<Item = (i64, &'j Said<Weather>)> {
        self.spans.iter().copied()
    }

    /// The numbers, from 1, of those that may hold from a time on and a year ahead.
    pub fn numbers(&self, from: Duration) -> impl Iterator<Item = usize> + use<> {
        let ends = self.spans.partition_point(|(day, _)| *day as f64 <= from.days() + AHEAD as f64);
        self.begun(from) + 1..ends + 1
    }

    /// The temperatures of concrete poured at a time: the mean of each day's lowest and highest, or the warmth it is
    /// kept at, if that is more.
    #[must_use]
    pub fn of_concrete(&self, poured: Duration, warmth: Option<Warmth>) -> Option<Temperatures> {
        // What holds at the pour counts from the job's start, what begins more than a year after it does not come.
        let begun = self.begun(poured);
        let ends = self.spans.partition_point(|(day, _)| *day as f64 <= poured.days() + AHEAD as f64);
        let mut spells = Vec::new();
        for (at, (day, weather)) in self.spans.iter().enumerate().take(ends).skip(begun) {
            let day = if at == begun { 0 } else { *day };
            let next = self.spans.get(at + 1).filter(|_| at + 1 < ends);
            let lasts = next.map_or(f64::INFINITY, |(next, _)| (next - day) as f64);
            spells.push(Spell { lasts: Duration::from_days(lasts), temperature: mean(weather.value.air) });
        }
        (!spells.is_empty()).then(|| Temperatures::Spells(warmed(spells, poured, warmth)))
    }

    /// The temperatures of the air around it, for hours that count from a temperature on: each day's cold hours, then
    /// its warm ones. They end a year after the pour.
    #[must_use]
    pub fn of_air(&self, poured: Duration, warmth: Option<Warmth>) -> Option<Temperatures> {
        let first = poured.days().floor().max(0.0);
        let mut spells = vec![Spell { lasts: Duration::from_days(first), temperature: COUNTS_FROM }];
        let mut put = |days: f64, temperature: Temperature| match spells.last_mut() {
            // Days that are warm all through are one spell.
            Some(last) if last.temperature == temperature => last.lasts += Duration::from_days(days),
            _ if days == 0.0 => {}
            _ => spells.push(Spell { lasts: Duration::from_days(days), temperature }),
        };
        let mut day = first as i64;
        let ends = day.saturating_add(AHEAD);
        while day < ends {
            let at = self.begun(Duration::from_days(day as f64));
            let air = self.spans.get(at)?.1.value.air;
            let next = self.spans.get(at + 1).map_or(ends, |(next, _)| (*next).clamp(day + 1, ends));
            let warm = warm_share(air).fraction();
            if warm == 0.0 || warm == 1.0 {
                put((next - day) as f64, if warm == 0.0 { air.from } else { air.to });
            } else {
                for _ in day..next {
                    put(1.0 - warm, air.from);
                    put(warm, air.to);
                }
            }
            day = next;
        }
        Some(Temperatures::Spells(warmed(spells, poured, warmth)))
    }
}

/// The day a dated weather begins on.
fn begins(from: Said<Date>, start: Date, last: Option<(Option<Date>, Span)>) -> Result<i64, WeatherTrouble> {
    let at = from.span;
    if from.value < start {
        return Err(WeatherTrouble::BeforeStart { at, start });
    }
    match last {
        None if from.value > start => Err(WeatherTrouble::Gap { at, start }),
        Some((Some(than), before)) if from.value <= than => Err(WeatherTrouble::NotLater { at, than, before }),
        _ => Ok(start.days_until(from.value)),
    }
}

/// The mean of a day: half of its lowest and its highest.
#[must_use]
pub fn mean(air: Range<Temperature>) -> Temperature {
    Temperature::from_deg_c((air.from.deg_c() + air.to.deg_c()) / 2.0)
}

/// What part of a day is no colder than hours count from, where the air warms and cools in straight lines.
#[must_use]
pub fn warm_share(air: Range<Temperature>) -> Ratio {
    // Two ways of writing one temperature differ by noise.
    let least = COUNTS_FROM.deg_c() - 1e-9;
    let (low, high) = (air.from.deg_c(), air.to.deg_c());
    Ratio::from_fraction(if low >= least {
        1.0
    } else if high < least {
        0.0
    } else {
        (high - least) / (high - low)
    })
}

/// The same, no colder than the warmth while it lasts.
fn warmed(spells: Vec<Spell>, poured: Duration, warmth: Option<Warmth>) -> Vec<Spell> {
    let Some(warmth) = warmth else { return spells };
    let ends = poured + warmth.lasts;
    let mut out = Vec::with_capacity(spells.len() + 2);
    let mut begun = Duration::ZERO;
    for mut spell in spells {
        for edge in [poured, ends] {
            if begun < edge && edge < begun + spell.lasts {
                out.push(kept(Spell { lasts: edge - begun, ..spell }, begun, poured, ends, warmth));
                spell.lasts = spell.lasts - (edge - begun);
                begun = edge;
            }
        }
        out.push(kept(spell, begun, poured, ends, warmth));
        begun += spell.lasts;
    }
    out
}

fn kept(spell: Spell, begun: Duration, poured: Duration, ends: Duration, warmth: Warmth) -> Spell {
    if begun >= poured && begun < ends {
        Spell { temperature: spell.temperature.max(warmth.at), ..spell }
    } else {
        spell
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::curing::{Ageing, EUROPEAN, aged};
    use proptest::prelude::*;

    const C: fn(f64) -> Temperature = Temperature::from_deg_c;

    fn air(low: f64, high: f64) -> Said<Weather> {
        let span = Span { source: crate::source::SourceId(0), start: 0, end: 0 };
        let air = Range { from: C(low), to: C(high) };
        Said { value: Weather { air, humidity: None, wind: None, from: None }, span }
    }

    fn counted(weathers: &Weathers, start: f64, after: f64, warmth: Option<Warmth>) -> f64 {
        let (start, after) = (Duration::from_days(start), Duration::from_days(after));
        let air = weathers.of_air(start, warmth).unwrap();
        aged(Ageing::CountedFrom(COUNTS_FROM), &air, start, after).unwrap().value
    }

    #[test]
    fn half_of_a_day_that_swings_round_ten_degrees_counts() {
        let said = air(5.0, 15.0);
        let weathers = Weathers { spans: vec![(0, &said)] };
        assert!((warm_share(said.value.air).fraction() - 0.5).abs() < 1e-9);
        // The night comes first.
        assert!(counted(&weathers, 0.0, 0.5, None).abs() < 1e-6);
        assert!((counted(&weathers, 0.0, 2.0, None) - 24.0).abs() < 1e-6);
        // Kept warm, all hours count.
        let warmth = Some(Warmth { at: C(12.0), lasts: Duration::from_days(3.0) });
        assert!((counted(&weathers, 0.0, 4.0, warmth) - 84.0).abs() < 1e-6);
        assert!((counted(&weathers, 2.25, 2.0, warmth) - 48.0).abs() < 1e-6);
    }

    proptest! {
        #[test]
        fn weather_by_day_is_constant_weather_where_all_days_are_alike(
            low in -20.0..30.0_f64, swing in 0.0..20.0_f64, days in prop::collection::btree_set(1..60_i64, 0..6),
            start in 0.0..40.0_f64, after in 0.01..80.0_f64, warm in 0.0..10.0_f64,
        ) {
            let said = air(low, low + swing);
            let one = Weathers { spans: vec![(0, &said)] };
            let many = Weathers { spans: [0].into_iter().chain(days).map(|day| (day, &said)).collect() };
            let warmth = Some(Warmth { at: C(13.0), lasts: Duration::from_days(warm) });
            let from = Duration::from_days(start);
            let age = |weathers: &Weathers| {
                let all = weathers.of_concrete(from, warmth).unwrap();
                aged(EUROPEAN, &all, from, Duration::from_days(after)).unwrap().value
            };
            prop_assert!((age(&one) - age(&many)).abs() < 1e-6 * age(&one).max(1.0));
            let hours = |weathers| counted(weathers, start, after, warmth);
            prop_assert!((hours(&one) - hours(&many)).abs() < 1e-6 * hours(&one).max(1.0));
            let plain = Weathers { spans: vec![(0, &said)] }.of_concrete(from, None).unwrap();
            let constant = aged(EUROPEAN, &Temperatures::Constant(mean(said.value.air)), from, Duration::from_days(after));
            let spelt = aged(EUROPEAN, &plain, from, Duration::from_days(after)).unwrap().value;
            prop_assert!((constant.unwrap().value - spelt).abs() < 1e-6 * spelt.max(1.0));
        }
    }
}

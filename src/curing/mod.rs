//! How a pour hardens and what the weather does to it: how fast it dries, whether it is too hot or too cold, how strong
//! it is when, how long it is kept moist, when its forms may come off and when it may be loaded.
//!
//! Everything is a function of the time it is poured, counted from the job's start, and of the weather: [`cured`] may
//! be asked with any start. Where no day of a pour is planned, it is on the job's first.

mod cement;
mod days;
mod numbers;

use std::sync::OnceLock;

use crate::{
    concrete::{Sections, Standing, depth},
    facts::Facts,
    job::{Job, Thing},
    schema::{BlockId, CementKind, Cure, KindId, Range, Ready, Said, Strong, Surroundings, Weather},
    source::Span,
    standards::{
        Unanswered, Worked,
        curing::{
            Ageing, BACKFILL_PART, COUNTS_FROM, CureRule, FROZEN, SIDE_FORMS, Temperatures, aged, earliest_strip,
            moist_curing, time_to_part, until_aged,
        },
        weather::{
            Air, COLD_BELOW, Cement, DryingFormula, FREEZE_PROOF, HOTTEST, Section, ServiceCategory, as_mixed,
            as_placed, drying, greatest_drop, is_cold_weather, protection, removal,
        },
    },
    units::{Drying, Duration, Length, Ratio, Stress, System, Temperature, TemperatureDifference},
};

pub use cement::{Form, cement, chemistry, forms, usual_cement};
pub use days::{Warmth, WeatherTrouble, Weathers, mean, warm_share};
pub(crate) use numbers::{AS_AIR, MEAN_OF_DAY, STRAIGHT_DAY, STRIP_STRENGTH};
pub use numbers::{enter, label};

/// At which nothing hardens: 0 degrees Celsius, ASTM C1074 for Type I between 0 and 40.
pub const DATUM: Temperature = FROZEN;

/// From which strength on it lives through one freeze, in the round figures of the job's units: ACI 306R.
#[must_use]
pub const fn freeze_proof(system: System) -> Stress {
    match system {
        System::Feet => FREEZE_PROOF,
        System::Metric => Stress::from_mpa(3.5),
    }
}

/// The ages at which strength is told, in days.
const AGES: [f64; 5] = [1.0, 3.0, 7.0, 14.0, 28.0];

/// A second: times that are nearer than this are the same.
const HAIR: f64 = 1.0;

/// How a pour is cured, and what comes of it.
#[derive(Debug, Clone)]
pub struct Cured {
    /// The cure.
    pub cure: BlockId,
    /// The pour.
    pub pour: BlockId,
    /// The cement of its mix.
    pub cement: CementKind,
    /// When it is poured, after the job's start.
    pub start: Duration,
    /// How warm it goes in, and whether that was said.
    pub fresh: Option<(Temperature, bool)>,
    /// How warm the air was when it was placed, as recorded.
    pub air: Option<Said<Temperature>>,
    /// How fast its surface dries on the day of the pour, by each formula; nothing where humidity or wind is not known.
    pub drying: Vec<Result<Worked<Drying>, Unanswered>>,
    /// Warmer than concrete may be as it is placed.
    pub is_hot: bool,
    /// What cold asks for, by its thinnest part; nothing if that is not known.
    pub cold: Option<Cold>,
    /// The warmth it is kept at.
    pub warmth: Option<Warmth>,
    /// When its forms come off, when it is loaded and filled in against.
    pub readies: Vec<Readiness>,
    /// How long it is kept moist.
    pub moist: Moist,
    course: Course,
    /// Worked out when they are asked for: only papers tell them.
    ages: OnceLock<Vec<Age>>,
}

impl Cured {
    /// Maturity and strength at each age, the youngest first; empty without weather.
    #[must_use]
    pub fn ages(&self) -> &[Age] {
        self.ages.get_or_init(|| {
            let mut ages: Vec<Duration> = AGES.map(Duration::from_days).to_vec();
            ages.extend(self.readies.iter().filter_map(|ready| ready.planned));
            ages.sort_by(|one, two| one.seconds().total_cmp(&two.seconds()));
            ages.dedup_by_key(|after| label(*after));
            ages.into_iter().filter_map(|after| self.course.age(after)).collect()
        })
    }
}

/// What cold weather asks for: ACI 306R.
#[derive(Debug, Clone, PartialEq)]
pub struct Cold {
    /// The thinnest part.
    pub thick: Length,
    /// It will be cold while it must be protected.
    pub is_cold: bool,
    /// The coldest air in that time.
    pub lowest: Temperature,
    /// The coldest it may be as placed and while it is protected.
    pub as_placed: Worked<Temperature>,
    /// The coldest it may be as mixed.
    pub as_mixed: Worked<Temperature>,
    /// How long it is protected.
    pub protection: Worked<Duration>,
    /// How far it may cool in the first day after that.
    pub drop: Worked<TemperatureDifference>,
    /// How long its forms stay at least.
    pub removal: Worked<Duration>,
    /// When it lives through one freeze; nothing where its strength is not known.
    pub freeze_proof: Option<Result<Duration, Unanswered>>,
}

/// What a pour has become at an age.
#[derive(Debug, Clone)]
pub struct Age {
    /// The age on the clock.
    pub after: Duration,
    /// Maturity as the temperature-time factor of ASTM C1074, in kelvin hours.
    pub maturity: Worked<f64>,
    /// Equivalent age and strength, by each form that covers the cement.
    pub grown: Vec<Grown>,
}

/// Strength by one form.
#[derive(Debug, Clone)]
pub struct Grown {
    /// The form.
    pub form: Form,
    /// The equivalent age.
    pub age: Worked<f64>,
    /// The part of the strength at 28 days.
    pub part: Worked<Ratio>,
    /// The strength, where the mix says that at 28 days.
    pub strength: Option<Stress>,
}

/// What is done to young concrete.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Act {
    /// Its forms come off.
    Strip,
    /// It is loaded.
    Load,
    /// Ground is filled in against it.
    Backfill,
}

impl Act {
    /// The clause that says it.
    #[must_use]
    pub const fn clause(self) -> &'static str {
        match self {
            Act::Strip => "strip",
            Act::Load => "load",
            Act::Backfill => "backfill",
        }
    }
}

/// When something may be done to it.
#[derive(Debug, Clone)]
pub struct Readiness {
    /// What.
    pub act: Act,
    /// Where that is written.
    pub at: Span,
    /// When it is meant to be done.
    pub planned: Option<Duration>,
    /// The strength asked for: said, or usual.
    pub wanted: Strong,
    /// It was not said.
    pub usual: bool,
    /// The same as a part of that at 28 days; nothing where that is not known.
    pub part: Option<Ratio>,
    /// Since when there is that strength, by each form; empty where it is not known.
    pub strong: Vec<(Form, Result<Worked<Duration>, Unanswered>)>,
    /// Since when forms have stood the counted hours.
    pub counted: Option<Result<Worked<Duration>, Unanswered>>,
    /// How long they stay in cold weather.
    pub cold: Option<Worked<Duration>>,
    /// How long they stay on to keep it moist.
    pub forms_on: Option<Duration>,
    /// The latest of all these; nothing where one of them does not come within a year, or none is known.
    pub earliest: Option<Duration>,
}

impl Readiness {
    /// Since when all forms that cover the cement give that strength; none where one of them does not in a year.
    #[must_use]
    pub fn strong_after(&self) -> Option<Duration> {
        let mut latest = None;
        for (_, time) in &self.strong {
            let time = time.as_ref().ok()?.value;
            latest = Some(latest.map_or(time, |known: Duration| known.max(time)));
        }
        latest
    }

    /// What it waits for never comes in the weather the file says: the counted hours or the strength.
    #[must_use]
    pub fn is_never(&self) -> bool {
        let known = !self.strong.is_empty() || self.counted.is_some();
        known && self.earliest.is_none()
    }

    /// It is done before it may be, or before it ever may.
    #[must_use]
    pub fn is_soon(&self) -> bool {
        match (self.planned, self.earliest) {
            (Some(planned), Some(earliest)) => planned.seconds() + HAIR < earliest.seconds(),
            (Some(_), None) => self.is_never(),
            (None, _) => false,
        }
    }
}

/// How long concrete is kept moist, and how long it should be.
#[derive(Debug, Clone)]
pub struct Moist {
    /// The longest time something keeps it moist, and what does; the clause, and where it is written.
    pub planned: Option<(Duration, &'static str, Span)>,
    /// What each rule asks for that has a row for the cement, in hours that count.
    pub rules: Vec<Worked<Duration>>,
    /// Since when the rule that is read has been kept: the first of them, on the clock; nothing without weather.
    pub until: Option<Result<Worked<Duration>, Unanswered>>,
}

impl Moist {
    /// What is asked for, in hours that count.
    #[must_use]
    pub fn wanted(&self) -> Option<Duration> {
        self.rules.first().map(|rule| rule.value)
    }

    /// It is kept moist for less than that.
    #[must_use]
    pub fn is_short(&self) -> bool {
        let planned = self.planned.map_or(Duration::ZERO, |(planned, ..)| planned);
        match (&self.until, self.wanted()) {
            (Some(Ok(until)), _) => planned.seconds() + HAIR < until.value.seconds(),
            (Some(Err(_)), _) => true,
            (None, Some(wanted)) => planned.seconds() + HAIR < wanted.seconds(),
            (None, None) => false,
        }
    }
}

/// All cures of a job; `poured` tells how long after the job's start each pour is.
#[must_use]
pub fn cures(
    job: &Job,
    standing: &Standing,
    sections: &Sections,
    poured: &dyn Fn(BlockId) -> Duration,
    facts: &Facts,
) -> Vec<Cured> {
    let (weathers, _) = Weathers::of(job);
    let one = |cure: &Thing<Cure>| cured(job, standing, sections, &weathers, cure, poured(cure.say.of.value.0), facts);
    job.cures.iter().filter_map(one).collect()
}

/// What comes of a cure whose pour is so long after the job's start; none if its pour or mix could not be read. Concrete
/// and air are as warm as they are recorded to have been.
#[must_use]
pub fn cured(
    job: &Job,
    standing: &Standing,
    sections: &Sections,
    weathers: &Weathers,
    cure: &Thing<Cure>,
    start: Duration,
    facts: &Facts,
) -> Option<Cured> {
    let system = job.system();
    let pour = job.pour(cure.say.of.value.0)?;
    let mix = job.mix(pour.say.mix.0)?;
    let cement = cement(&mix.say, system);
    let strength = mix.say.strength.map(|strength| strength.0);
    let thick = pour.say.fill.iter().filter_map(|section| thinnest(job, standing, sections, section.value.0)).min();
    let weather = weathers.at(start);
    let recorded = facts.pours.get(&pour.id);
    let concrete = recorded.and_then(|done| done.concrete);
    let air = recorded.and_then(|done| done.air);
    let fresh = match (concrete.or(cure.say.fresh), weather) {
        (Some(fresh), _) => Some((fresh.value, true)),
        (None, Some(weather)) => Some((weather.value.air.to, false)),
        (None, None) => None,
    };
    let warm = cure.say.warm.as_ref().map(|warm| &warm.value);
    let section = thick.and_then(|thick| Section::of(thick, system).ok());
    let warmth = warm.and_then(|warm| {
        let at = warm.at.or_else(|| section.map(|section| as_placed(section, system).value))?;
        Some(Warmth { at, lasts: warm.time.value.0 })
    });
    let course = Course {
        system,
        forms: forms(cement),
        strength,
        start,
        concrete: weathers.of_concrete(start, warmth),
        air: weathers.of_air(start, warmth),
    };
    let cold = thick
        .zip(section)
        .and_then(|(thick, section)| course.cold(job, weathers, thick, section, cement::quickness(cement)));
    let readies = [(Act::Strip, &cure.say.strip), (Act::Load, &cure.say.load), (Act::Backfill, &cure.say.backfill)];
    let readies: Vec<Readiness> = readies
        .into_iter()
        .filter_map(|(act, ready)| Some(course.ready(cure, act, ready.as_ref()?, cold.as_ref())))
        .collect();
    Some(Cured {
        cure: cure.id,
        pour: pour.id,
        cement,
        start,
        fresh,
        air,
        drying: dries(system, weather, fresh, air.map(|air| air.value)),
        is_hot: fresh.is_some_and(|(fresh, _)| fresh.deg_c() > HOTTEST.deg_c() + 1e-9),
        cold,
        warmth,
        readies,
        moist: course.moist(cure, cement),
        course,
        ages: OnceLock::new(),
    })
}

/// How long after a pour its forms stay where no cure says it: the usual time of side forms, of which only hours count that
/// are warm enough where the weather is known, and no less than the cure keeps them on. None if so many are never that warm.
#[must_use]
pub fn usual_strip(weathers: &Weathers, cure: Option<&Thing<Cure>>, poured: Duration) -> Option<Duration> {
    let counted = match weathers.of_air(poured, None) {
        Some(air) => earliest_strip(SIDE_FORMS.value, None, &air, poured).ok()?.value,
        None => SIDE_FORMS.value,
    };
    let kept_on = cure.and_then(|cure| cure.say.forms_on.as_ref()).map(|kept| kept.value.time.value.0);
    Some(counted.max(kept_on.unwrap_or(Duration::ZERO)))
}

/// Where no weather is said, what is loaded hardens at 20 degrees Celsius (68 °F): common practice, no source.
const UNTOLD: Temperature = Temperature::from_deg_c(20.0);

/// How long after a pour it may be loaded where no cure says it: when it has the part of its strength that is usual, by all forms
/// that cover its cement. None if it has not within a year.
#[must_use]
pub fn usual_load(job: &Job, weathers: &Weathers, pour: BlockId, poured: Duration) -> Option<Duration> {
    let cement = job.pour(pour).and_then(|pour| job.mix(pour.say.mix.0)).map(|mix| cement(&mix.say, job.system()));
    let warm = job.cures.iter().find(|cure| cure.say.of.value.0 == pour).and_then(|cure| cure.say.warm.as_ref());
    let warmth = warm.and_then(|warm| Some(Warmth { at: warm.value.at?, lasts: warm.value.time.value.0 }));
    let concrete = weathers.of_concrete(poured, warmth).unwrap_or(Temperatures::Constant(UNTOLD));
    let times = forms(cement.unwrap_or(usual_cement(job.system()))).into_iter().map(|form| {
        let time = time_to_part(form.gain(), BACKFILL_PART.value, form.ageing(), &concrete, poured);
        time.and_then(within_a_year).ok().map(|time| time.value)
    });
    times.reduce(|one, two| Some(one?.max(two?))).flatten()
}

/// The least measure of a section: across, or up and down.
fn thinnest(job: &Job, standing: &Standing, sections: &Sections, id: BlockId) -> Option<Length> {
    let (placed, section) = (sections.find(id)?, job.section(id)?);
    let across = placed.intervals.iter().map(|interval| {
        let (from, to) = depth(section, standing, interval.on);
        to - from
    });
    across.chain([placed.top - placed.bottom]).filter(|measure| *measure > Length::ZERO).min()
}

/// How fast a surface dries, by the formula of the job's units and by that with vapour pressures. Concrete whose
/// temperature is said dries most in the coldest air of the day; else it is as warm as the warmest air. Where the air was
/// measured when it was placed, that is the air.
fn dries(
    system: System,
    weather: Option<&Said<Weather>>,
    fresh: Option<(Temperature, bool)>,
    measured: Option<Temperature>,
) -> Vec<Result<Worked<Drying>, Unanswered>> {
    let (Some(weather), Some((fresh, said))) = (weather, fresh) else { return Vec::new() };
    let (Some(humidity), Some(wind)) = (weather.value.humidity, weather.value.wind) else { return Vec::new() };
    let Range { from, to } = weather.value.air;
    let air = measured.unwrap_or(if said { from } else { to });
    let air = Air { concrete: fresh, air, humidity, wind: wind.0 };
    let first = match system {
        System::Feet => DryingFormula::ByTemperature,
        System::Metric => DryingFormula::ByTemperatureMetric,
    };
    [first, DryingFormula::ByVapour].into_iter().map(|formula| drying(&air, formula)).collect()
}

/// What one pour hardens by.
#[derive(Debug, Clone)]
struct Course {
    system: System,
    forms: Vec<Form>,
    strength: Option<Stress>,
    start: Duration,
    concrete: Option<Temperatures>,
    air: Option<Temperatures>,
}

impl Course {
    /// Since when it has a part of its strength, by each form.
    fn strong(&self, part: Ratio) -> Vec<(Form, Result<Worked<Duration>, Unanswered>)> {
        let Some(concrete) = &self.concrete else { return Vec::new() };
        let time = |form: &Form| {
            let time = time_to_part(form.gain(), part, form.ageing(), concrete, self.start);
            (*form, time.and_then(within_a_year))
        };
        self.forms.iter().map(time).collect()
    }

    fn part(&self, wanted: Strong) -> Option<Ratio> {
        match wanted {
            Strong::Part(part) => Some(part),
            Strong::At(stress) => self.strength.map(|all| Ratio::from_fraction(stress.pa() / all.pa())),
        }
    }

    fn age(&self, after: Duration) -> Option<Age> {
        let concrete = self.concrete.as_ref()?;
        let grown = |form: &Form| {
            let age = aged(form.ageing(), concrete, self.start, after).ok()?;
            // What has not aged at all has no strength.
            let part = if age.value > 0.0 {
                form.gain().part_at(Duration::from_hours(age.value)).ok()?
            } else {
                form.gain().none_yet()
            };
            Some(Grown { form: *form, strength: self.strength.map(|all| all * part.value.fraction()), age, part })
        };
        Some(Age {
            after,
            maturity: aged(Ageing::TimesTemperature(DATUM), concrete, self.start, after).ok()?,
            grown: self.forms.iter().filter_map(grown).collect(),
        })
    }

    fn cold(&self, job: &Job, weathers: &Weathers, thick: Length, section: Section, cement: Cement) -> Option<Cold> {
        let system = self.system;
        // Under a roof it meets no weather; it carries nothing while it is protected.
        let category = match job.head.as_ref().and_then(|head| head.say.place) {
            Some(Surroundings::Indoors) => ServiceCategory::Sheltered,
            Some(Surroundings::Outdoors) | None => ServiceCategory::Exposed,
        };
        let (protection, removal) = (protection(category, cement).ok()?, removal(category, cement).ok()?);
        let lows = || weathers.between(self.start, self.start + protection.value).map(|said| said.value.air.from);
        let lowest = lows().reduce(|one, two| if two < one { two } else { one })?;
        let freeze = self.strength.map(|all| Ratio::from_fraction(freeze_proof(system).pa() / all.pa()));
        let freeze_proof = freeze.filter(|_| self.concrete.is_some()).map(|part| {
            let times = self.strong(part).into_iter().map(|(_, time)| time.map(|time| time.value));
            times.reduce(|one, two| Ok(one?.max(two?))).unwrap_or(Err(Unanswered::Nothing("part")))
        });
        Some(Cold {
            thick,
            is_cold: is_cold_weather(lows()) && lowest.deg_c() < COLD_BELOW.deg_c() - 1e-9,
            lowest,
            as_placed: as_placed(section, system),
            as_mixed: as_mixed(section, lowest, system),
            protection,
            drop: greatest_drop(section, system),
            removal,
            freeze_proof,
        })
    }

    fn ready(&self, cure: &Thing<Cure>, act: Act, said: &Said<Ready>, cold: Option<&Cold>) -> Readiness {
        let asked = said.value.strength.map(|strength| strength.value);
        let wanted = asked.unwrap_or(match act {
            Act::Strip => Strong::At(freeze_proof(self.system)),
            Act::Load | Act::Backfill => Strong::Part(BACKFILL_PART.value),
        });
        let part = self.part(wanted);
        let strong = part.map_or_else(Vec::new, |part| self.strong(part));
        let mut ready = Readiness {
            act,
            at: said.span,
            planned: said.value.after.map(|after| after.value.0),
            wanted,
            usual: asked.is_none(),
            part,
            strong,
            counted: None,
            cold: None,
            forms_on: None,
            earliest: None,
        };
        if act == Act::Strip {
            ready.counted = self.air.as_ref().map(|air| earliest_strip(SIDE_FORMS.value, None, air, self.start));
            ready.cold = cold.filter(|cold| cold.is_cold).map(|cold| cold.removal.clone());
            ready.forms_on = cure.say.forms_on.as_ref().map(|kept| kept.value.time.value.0);
        }
        ready.earliest = earliest(&ready);
        ready
    }

    fn moist(&self, cure: &Thing<Cure>, cement: CementKind) -> Moist {
        let say = &cure.say;
        let ways = [
            (say.wet.as_ref().map(|wet| wet.value.time.value.0), "wet"),
            (say.wrap.as_ref().map(|wrap| wrap.value.time.value.0), "wrap"),
            (say.forms_on.as_ref().map(|forms| forms.value.time.value.0), "forms-on"),
        ];
        let ways = ways.into_iter().filter_map(|(time, clause)| Some((time?, clause, cure.said(KindId::Cure, clause))));
        let planned = ways.reduce(|one, two| if two.0 > one.0 { two } else { one });
        let binder = cement::binder(cement);
        let rules: Vec<_> = [CureRule::Guide, CureRule::Aci308]
            .into_iter()
            .filter_map(|rule| moist_curing(binder, rule).ok())
            .collect();
        let until = rules.first().and_then(|rule| {
            let counted = Ageing::CountedFrom(COUNTS_FROM);
            // The same hours as those of forms: a mean of the day would count all of it or nothing.
            Some(until_aged(counted, self.air.as_ref()?, self.start, rule.value.hours()))
        });
        Moist { planned, rules, until }
    }
}

/// A time no plan waits for is none.
fn within_a_year(time: Worked<Duration>) -> Result<Worked<Duration>, Unanswered> {
    match time.value.days() <= days::AHEAD as f64 {
        true => Ok(time),
        false => Err(Unanswered::Outside("weather", "it takes more than a year")),
    }
}

/// The latest of all that something waits for.
fn earliest(ready: &Readiness) -> Option<Duration> {
    let mut all: Vec<Duration> = Vec::new();
    if let Some(counted) = &ready.counted {
        all.push(counted.as_ref().ok()?.value);
    }
    if !ready.strong.is_empty() {
        all.push(ready.strong_after()?);
    }
    all.extend(ready.cold.as_ref().map(|cold| cold.value));
    all.extend(ready.forms_on);
    all.into_iter().reduce(Duration::max)
}

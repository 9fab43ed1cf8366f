//! What the weather does to a pour and how it is cured: stripped or loaded before it may be, kept moist too short,
//! dried, too hot, too cold.
//!
//! Forms: ACI 347, hours of air at 50 degF (10 degC) or warmer. Strength: ACI 209R by the equivalent age of ASTM C1074,
//! and EN 1992-1-1 3.1.2. Moisture: Unified Facilities Guide Specification 03301A, ACI 308. Drying: ACI 305R. Heat: ACI
//! 301. Cold: ACI 306R. How sure each is stands in `standards`.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    curing::{Act, Cured, Readiness, WeatherTrouble, Weathers},
    job::{Job, Thing, rules::VALUE_MISSING},
    plan::{Care, Never, Reason},
    problem::{Arg, Problem, Rule},
    rule,
    scheduling::DAY,
    schema::{BlockId, Cure, KindId, Said, Strong, Weather},
    source::Span,
    standards::{
        curing::{COUNTS_FROM, SIDE_FORMS},
        weather::{DryingRisk, HOTTEST},
    },
    units::{Date, Drying, Duration, System, Temperature, show, whole_up},
    works::Works,
};

rule!(STRIP_SOON, "strip-soon", Warning, "forms that come off before the concrete can stand without them");
rule!(STRIP_UNSAID, "strip-unsaid", Warning, "forms that come off, and nothing that says when");
rule!(LOAD_SOON, "load-soon", Warning, "concrete that is loaded before it is strong enough");
rule!(WET_SHORT, "wet-short", Warning, "concrete kept moist for less time than its cement asks for");
rule!(
    WEATHER_DRY,
    "weather-dry",
    Warning,
    "air that dries fresh concrete faster than it may, and nothing that shields it"
);
rule!(WEATHER_HOT, "weather-hot", Warning, "concrete that goes in too hot");
rule!(WEATHER_COLD, "weather-cold", Warning, "concrete in cold weather that is not kept warm, or not for long enough");
rule!(WEATHER_ODD, "weather-odd", Error, "weather that begins on a day it cannot, or that no air has");
rule!(HUMIDITY_UNSAID, "humidity-unsaid", Warning, "a cure, and no telling how fast the concrete dries");
rule!(CURE_MISSING, "cure-missing", Warning, "a pour without a cure, where another has one");
rule!(CURED_TWICE, "cured-twice", Error, "a pour with two cures");
rule!(STRENGTH_UNSAID, "strength-unsaid", Warning, "a strength waited for, of a mix that does not say its own");

pub(super) static RULES: &[&Rule] = &[
    &STRIP_SOON,
    &STRIP_UNSAID,
    &LOAD_SOON,
    &WET_SHORT,
    &WEATHER_DRY,
    &WEATHER_HOT,
    &WEATHER_COLD,
    &WEATHER_ODD,
    &HUMIDITY_UNSAID,
    &CURE_MISSING,
    &CURED_TWICE,
    &STRENGTH_UNSAID,
];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    let (weathers, troubles) = Weathers::of(job);
    // A start or a weather that is written and cannot be read has been told.
    let told = |trouble: &WeatherTrouble| match trouble {
        WeatherTrouble::NoStart { .. } => job.unread("start"),
        WeatherTrouble::Gap { .. } => job.unread("weather"),
        _ => false,
    };
    problems.extend(troubles.into_iter().filter(|trouble| !told(trouble)).map(odd));
    pours(job, problems);
    strips(job, works, problems);
    props(job, works, problems);
    away(job, works, problems);
    let mut unsaid = false;
    for cured in &works.cures {
        let (Some(cure), Some(pour)) = (job.cure(cured.cure), job.pour(cured.pour)) else { continue };
        let case = Case { job, works, cure, pour: &pour.name, cured, weather: weathers.at(cured.start) };
        for ready in &cured.readies {
            problems.extend(case.nothing_said(ready));
            problems.extend(case.no_strength(ready));
            problems.extend(case.soon(ready));
            problems.extend(case.waits_in_vain(ready));
        }
        problems.extend(case.wet());
        problems.extend(case.dry());
        if !unsaid && let Some(problem) = case.unsaid() {
            problems.push(problem);
            unsaid = true;
        }
        // What is poured is held against its own temperature: `placed-hot`.
        if !works.facts.pours.contains_key(&cured.pour) {
            problems.extend(case.hot());
        }
        problems.extend(case.cold());
        problems.extend(case.fresh_cold());
    }
}

fn odd(trouble: WeatherTrouble) -> Problem {
    match trouble {
        WeatherTrouble::Undated { at, first } => {
            Problem::new(&WEATHER_ODD, at, "this weather does not say when it begins")
                .label(first, "this one is there already")
                .help("write the day, as in `from 2027-05-20`; only the first holds from the start")
        }
        WeatherTrouble::NoStart { at } => {
            Problem::new(&WEATHER_ODD, at, "weather begins on a day, and the job does not say on which day it starts")
                .help("write `start` and the day into the `job` block")
        }
        WeatherTrouble::BeforeStart { at, start } => {
            Problem::new(&WEATHER_ODD, at, "this weather begins before the job does, which starts on {0}")
                .arg(start.to_string())
                .help("write a day after {0}; the weather the job starts with needs no day")
        }
        WeatherTrouble::NotLater { at, than, before } => {
            Problem::new(&WEATHER_ODD, at, "this weather does not begin after the one before it, which begins on {0}")
                .arg(than.to_string())
                .label(before, "the one before it")
                .help("write the weather in the order of its days, each day once")
        }
        WeatherTrouble::Gap { at, start } => {
            Problem::new(&WEATHER_ODD, at, "no weather is said from the start of the job, {0}, until here")
                .arg(start.to_string())
                .help("write the weather it starts with before this one, without a day")
        }
        WeatherTrouble::HumidityLow { at, said } => {
            Problem::new(&WEATHER_ODD, at, "a humidity of {0}: no air that anybody works in is so dry")
                .arg(Arg::Text(show::percent(said).to_string()))
                .help(
                    "write it as a forecast gives it, in whole percents, as in `humidity 55%`; it is seldom under 10%",
                )
        }
        WeatherTrouble::Humidity { at } => Problem::new(&WEATHER_ODD, at, "humidity lies between 0% and 100%")
            .help("write how much of the water it could hold is in the air, as a forecast gives it"),
    }
}

/// Pours that are cured twice, or not where others are.
fn pours(job: &Job, problems: &mut Vec<Problem>) {
    let mut cured: BTreeMap<BlockId, Span> = BTreeMap::new();
    for cure in &job.cures {
        let of = cure.say.of;
        match cured.get(&of.value.0) {
            Some(first) => problems.push(
                Problem::new(&CURED_TWICE, of.span, "pour `{0}` is cured twice")
                    .arg(job.name(of.value.0))
                    .here("cured again here")
                    .label(*first, "cured here")
                    .help("write all that is done to it into one of the two"),
            ),
            None => {
                cured.insert(of.value.0, of.span);
            }
        }
    }
    // A cure that could not be read may be the one.
    if cured.is_empty() || job.broken.iter().any(|id| matches!(job.kind(*id), None | Some(KindId::Cure))) {
        return;
    }
    for pour in job.pours.iter().filter(|pour| !cured.contains_key(&pour.id)) {
        problems.push(
            Problem::new(&CURE_MISSING, pour.at, "no cure is `of {0}`")
                .arg(pour.name.as_str())
                .thing(pour.name.as_str())
                .help("write one, as in `cure keep-{0} { of {0}; wet daily for 7 days }`"),
        );
    }
}

/// Forms that are taken off by a step, of pours whose cure does not say when.
fn strips(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    // A cure that could not be read may say it.
    if job.broken.iter().any(|id| matches!(job.kind(*id), None | Some(KindId::Cure))) {
        return;
    }
    let mut told: BTreeSet<BlockId> = BTreeSet::new();
    for edge in &works.plan.edges {
        let Reason::Stripped { pour, .. } = edge.reason else { continue };
        let mut cures = job.cures.iter().filter(|cure| cure.say.of.value.0 == pour);
        let done = works.facts.steps.get(&edge.after).is_some_and(|step| step.done.is_some());
        if done || cures.clone().any(|cure| cure.say.strip.is_some()) || !told.insert(pour) {
            continue;
        }
        let Some(at) = job.at(edge.after) else { continue };
        let name = job.name(pour);
        let never = never(works, edge.after, pour);
        let problem = Problem::new(&STRIP_UNSAID, at, "`{0}` takes the forms of `{1}` off, and nothing says when")
            .arg(job.name(edge.after))
            .arg(name)
            .arg(time(SIDE_FORMS.value))
            .thing(name);
        problems.push(match cures.next() {
            _ if never => problem.help(
                "in this weather {2} no colder than {50 degF|10 degC} never come: keep it warm, and write into its cure \
                 when they come off, as in `warm for 7 days; strip after 7 days`",
            ),
            Some(cure) => problem.label(cure.at, "how it is kept").help(
                "write it here, as in `strip after 2 days`; {2} no colder than {50 degF|10 degC} are taken until then",
            ),
            None => problem.help(
                "write a cure for it, as in `cure keep { of {1}; wet daily for 7 days; strip after 2 days }`; {2} no \
                 colder than {50 degF|10 degC} are taken until then",
            ),
        });
    }
}

/// Props that are taken away from concrete, and holes drilled into it, that is never strong enough for it in this weather.
fn props(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    let mut told: BTreeSet<BlockId> = BTreeSet::new();
    for edge in &works.plan.edges {
        let (pour, thing, headline) = match edge.reason {
            Reason::Carried { pour, props } => (
                pour,
                props,
                "`{0}` takes `{1}` away; reckoned with this weather `{2}` is not ready to be loaded in a year",
            ),
            Reason::Hardened { pour, thing } => (
                pour,
                thing,
                "`{0}` drills `{1}`; reckoned with this weather `{2}` is not hard enough for that in a year",
            ),
            _ => continue,
        };
        let said = job.cures.iter().any(|cure| cure.say.of.value.0 == pour && cure.say.load.is_some());
        let never = never(works, edge.after, pour);
        let Some(at) = job.at(edge.after).filter(|_| never && !said && told.insert(pour)) else { continue };
        problems.push(
            Problem::new(&LOAD_SOON, at, headline)
            .arg(job.name(edge.after))
            .arg(job.name(thing))
            .arg(job.name(pour))
            .thing(job.name(pour))
            .help("keep it warm, as in `cure keep { of {2}; warm for 14 days; load after 14 days }`, or wait for warmer weather"),
        );
    }
}

/// Young concrete that is to be wetted on days on which nobody is there. Under a wrap it stays wet by itself.
fn away(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    let (Some(days), Some(hours)) = (&works.days, job.hours.first()) else { return };
    for daily in days.daily.iter().filter(|daily| matches!(daily.care, Care::Wet | Care::FormsOn)) {
        let Some(cure) = job.cure(daily.cure) else { continue };
        let wraps = days.daily.iter().filter(|other| other.cure == daily.cure && other.care == Care::Wrap);
        let wrapped: Vec<_> = wraps.map(|wrap| wrap.from..wrap.from + wrap.days).collect();
        let gone = |date: &Date| hours.say.away.0.iter().find(|away| (away.value.from..=away.value.to).contains(date));
        let bare = (daily.from..daily.from + daily.days).filter(|day| !wrapped.iter().any(|wrap| wrap.contains(day)));
        let alone: Vec<(Date, Span)> = bare
            .filter_map(|day| days.date(day * DAY))
            .filter_map(|date| gone(&date).map(|away| (date, away.span)))
            .collect();
        let (Some((first, at)), Some((last, _))) = (alone.first(), alone.last()) else { continue };
        let (clause, headline) = match daily.care {
            Care::Wet => ("wet", "`{0}` is to be wet from {1} to {2}, and on {3} of these days nobody is there"),
            _ => (
                "forms-on",
                "the forms of `{0}` are to be wet from {1} to {2}, and on {3} of these days nobody is there",
            ),
        };
        problems.push(
            Problem::new(&WET_SHORT, cure.said(KindId::Cure, clause), headline)
                .arg(job.name(cure.say.of.value.0))
                .arg(first.to_string())
                .arg(last.to_string())
                .arg(Arg::Count(i64::try_from(alone.len()).unwrap_or(i64::MAX)))
                .arg(time(Duration::from_days(daily.days as f64)))
                .label(*at, "everybody is away")
                .help("wrap it tight before you go and write so, as in `wrap for {4}`; pour on another day; or, where somebody comes to wet it, accept this with their name in the reason")
                .thing(cure.name.as_str()),
        );
    }
}

/// Whether a step waits for a pour that is never hard enough for it.
fn never(works: &Works, step: BlockId, pour: BlockId) -> bool {
    works.days.as_ref().is_some_and(|days| days.never.contains(&Never { step, pour }))
}

/// A time rounded up to what one writes: hours, from two days on days.
fn rounded_up(time: Duration) -> Duration {
    if time.hours() <= 48.0 {
        Duration::from_hours(whole_up(time.hours()) as f64)
    } else {
        Duration::from_days(whole_up(time.days()) as f64)
    }
}

/// Up to whole hours: more would be false.
fn up(time: Duration) -> Duration {
    Duration::from_hours(whole_up(time.hours()) as f64)
}

fn time(time: Duration) -> Arg {
    Arg::Text(show::time(time).to_string())
}

/// One cure.
struct Case<'c> {
    job: &'c Job,
    works: &'c Works,
    cure: &'c Thing<Cure>,
    pour: &'c str,
    cured: &'c Cured,
    weather: Option<&'c Said<Weather>>,
}

impl Case<'_> {
    fn system(&self) -> System {
        self.job.system()
    }

    fn degrees(&self, at: Temperature) -> Arg {
        Arg::Text(show::temperature(at, self.system()).to_string())
    }

    fn problem(&self, rule: &'static Rule, at: Span, headline: &'static str) -> Problem {
        Problem::new(rule, at, headline).arg(self.pour).thing(self.cure.name.as_str())
    }

    fn nothing_said(&self, ready: &Readiness) -> Option<Problem> {
        let clause = ready.act.clause();
        let said = self.cure.said(KindId::Cure, clause);
        (ready.planned.is_none() && ready.usual).then(|| {
            Problem::new(&VALUE_MISSING, said, "nothing stands after `{0}`")
                .arg(clause)
                .help("write when, as in `{0} after 3 days`, or at which strength, as in `{0} at 70%`")
        })
    }

    fn no_strength(&self, ready: &Readiness) -> Option<Problem> {
        let mix = self.job.pour(self.cured.pour).and_then(|pour| self.job.mix(pour.say.mix.0))?;
        let (Strong::At(wanted), None, false) = (ready.wanted, ready.part, ready.usual) else { return None };
        Some(
            self.problem(&STRENGTH_UNSAID, ready.at, "`{0}` is to have {1}, and mix `{2}` does not say its strength")
                .arg(show::stress(wanted, self.system()).to_string())
                .arg(mix.name.as_str())
                .label(mix.at, "this mix")
                .help("write `strength` and what the bag says into the mix, or a part of its strength here, as in `at 70%`"),
        )
    }

    /// The step that does it, where there is one.
    fn step(&self, act: Act) -> Option<BlockId> {
        let does = |reason: Reason| match reason {
            Reason::Stripped { pour, .. } => act == Act::Strip && pour == self.cured.pour,
            Reason::Loaded { pour, act: of, .. } => act == of && pour == self.cured.pour,
            _ => false,
        };
        self.works.plan.edges.iter().find(|edge| does(edge.reason)).map(|edge| edge.after)
    }

    /// It waits for a strength that never comes, and no time is written that could be too soon.
    fn waits_in_vain(&self, ready: &Readiness) -> Option<Problem> {
        if !ready.is_never() || ready.planned.is_some() || ready.usual {
            return None;
        }
        let rule = if ready.act == Act::Strip { &STRIP_SOON } else { &LOAD_SOON };
        let headline = match ready.act {
            Act::Strip => {
                "the forms of `{0}` come off when it is hard enough; reckoned with this weather it is not in a year"
            }
            Act::Load => "`{0}` is loaded when it is strong enough; reckoned with this weather it is not in a year",
            Act::Backfill => {
                "`{0}` is filled in against when it is strong enough; reckoned with this weather it is not in a year"
            }
        };
        Some(self.for_nothing(self.problem(rule, ready.at, headline).arg(self.reasons(ready)), ready.act).help(
            "{1}; keep it warm, as in `warm for 7 days`, or pour in warmer weather; until then no day is planned of what waits for it",
        ))
    }

    /// Shows the step that waits for what never comes.
    fn for_nothing(&self, problem: Problem, act: Act) -> Problem {
        match self.step(act).and_then(|step| self.job.at(step)) {
            Some(at) => problem.label(at, "this waits for it"),
            None => problem,
        }
    }

    fn soon(&self, ready: &Readiness) -> Option<Problem> {
        let planned = ready.planned.filter(|_| ready.is_soon())?;
        let rule = if ready.act == Act::Strip { &STRIP_SOON } else { &LOAD_SOON };
        let at = self.cure.said(KindId::Cure, ready.act.clause());
        let Some(earliest) = ready.earliest else {
            let headline = match ready.act {
                Act::Strip => {
                    "the forms of `{0}` come off after {1}; reckoned with this weather it is not ready for that in a year"
                }
                Act::Load => "`{0}` is loaded after {1}; reckoned with this weather it is not ready for that in a year",
                Act::Backfill => {
                    "`{0}` is filled in against after {1}; reckoned with this weather it is not ready for that in a year"
                }
            };
            let problem = self.problem(rule, at, headline).arg(time(planned)).arg(self.reasons(ready));
            return Some(self.for_nothing(problem, ready.act).help(
                "{2}; keep it warm, as in `warm for 7 days`, or wait for warmer weather; until then no day is planned of what waits for it",
            ));
        };
        let headline = match ready.act {
            Act::Strip => "the forms of `{0}` come off after {1}, and should stay for {2}",
            Act::Load => "`{0}` is loaded after {1}, and should not be for {2}",
            Act::Backfill => "`{0}` is filled in against after {1}, and should not be for {2}",
        };
        let wanted = rounded_up(earliest);
        let problem = self
            .problem(rule, at, headline)
            .arg(time(planned))
            .arg(time(wanted))
            .arg(self.reasons(ready))
            .help("write `after {2}`: {3}");
        let said = match ready.act {
            Act::Strip => &self.cure.say.strip,
            Act::Load => &self.cure.say.load,
            Act::Backfill => &self.cure.say.backfill,
        };
        let after = said.as_ref().and_then(|said| said.value.after);
        Some(match after {
            Some(after) => problem.fix(after.span, show::time(wanted).to_string()),
            None => problem,
        })
    }

    /// What something waits for, and since when that is there.
    fn reasons(&self, ready: &Readiness) -> String {
        let mut out: Vec<String> = Vec::new();
        if let Some(counted) = &ready.counted {
            let hours = show::time(SIDE_FORMS.value);
            let least = show::temperature(COUNTS_FROM, self.system());
            out.push(match counted {
                Ok(counted) => {
                    format!("{hours} of air at {least} or warmer have passed after {}", show::time(up(counted.value)))
                }
                Err(_) => format!("{hours} of air at {least} or warmer do not come together"),
            });
        }
        if !ready.strong.is_empty() {
            let wanted = match ready.wanted {
                Strong::At(stress) => show::stress(stress, self.system()).to_string(),
                Strong::Part(part) => format!("{} of its strength", show::percent(part)),
            };
            out.push(match ready.strong_after() {
                Some(strong) => format!("it has {wanted} after {}", show::time(up(strong))),
                None => format!("it never has {wanted}"),
            });
        }
        if let Some(cold) = &ready.cold {
            out.push(format!("in cold weather they stay {} at least", show::time(cold.value)));
        }
        if let Some(forms_on) = ready.forms_on {
            out.push(format!("`forms-on` keeps them on for {}", show::time(forms_on)));
        }
        out.join("; ")
    }

    fn wet(&self) -> Option<Problem> {
        let moist = &self.cured.moist;
        let wanted = moist.wanted().filter(|_| moist.is_short())?;
        let at = moist.planned.map_or(self.cure.at, |(.., at)| at);
        let headline = match moist.planned {
            Some(_) => "`{0}` is kept moist for {1}, and should be for {2}",
            None => "nothing keeps `{0}` moist, and it should be for {2}",
        };
        let until = match &moist.until {
            Some(Ok(until)) => rounded_up(until.value),
            Some(Err(_)) => {
                let planned = moist.planned.map_or(Duration::ZERO, |(planned, ..)| planned);
                return Some(
                    self.problem(
                        &WET_SHORT,
                        at,
                        "`{0}` should be moist for {2} that are not too cold, and this weather does not give as much in a year",
                    )
                    .arg(time(planned))
                    .arg(time(wanted))
                    .arg(self.degrees(COUNTS_FROM))
                    .help("only time counts at which it is at {3} or warmer: keep it warm, as in `warm for 7 days`"),
                );
            }
            None => rounded_up(wanted),
        };
        let problem = self
            .problem(&WET_SHORT, at, headline)
            .arg(time(moist.planned.map_or(Duration::ZERO, |(planned, ..)| planned)))
            .arg(time(until))
            .arg(time(wanted))
            .arg(self.degrees(COUNTS_FROM));
        let say = &self.cure.say;
        let said = match moist.planned.map(|(_, clause, _)| clause) {
            Some("wet") => say.wet.as_ref().map(|wet| wet.value.time),
            Some("wrap") => say.wrap.as_ref().map(|wrap| wrap.value.time),
            Some(_) => say.forms_on.as_ref().map(|forms| forms.value.time),
            None => None,
        };
        Some(match said {
            Some(said) => problem
                .help("write `for {2}`: its cement asks for {3} at {4} or warmer")
                .fix(said.span, show::time(until).to_string()),
            None => problem.help(
                "write `wet daily for {2}`, `wrap for {2}`, or `forms-on for {2}` where it is closed in on all sides",
            ),
        })
    }

    fn dry(&self) -> Option<Problem> {
        let rate = self.cured.drying.first()?.as_ref().ok()?.value;
        let weather = self.weather?;
        let is_high = DryingRisk::of(rate) == DryingRisk::High && self.cure.say.screen.is_none();
        is_high.then(|| {
            let limit = match self.system() {
                System::Feet => Drying::from_psf_h(0.2),
                System::Metric => Drying::from_kg_m2_h(1.0),
            };
            self.problem(&WEATHER_DRY, self.cure.at, "`{0}` dries at {1}, and from {2} on it cracks before it has set")
                .arg(show::drying(rate, self.system()).to_string())
                .arg(show::drying(limit, self.system()).to_string())
                .label(weather.span, "in this weather")
                .help("write what keeps sun and wind off it until it is covered: `screen \"boards to windward, sheet laid on as soon as it is struck off\"`; or pour when it is cooler, damper or calmer")
        })
    }

    fn unsaid(&self) -> Option<Problem> {
        // A clause that could not be read may say it.
        if self.job.head.is_none() || self.job.unread("weather") || !self.cured.drying.is_empty() {
            return None;
        }
        let Some(weather) = self.weather else {
            return Some(
                self.problem(
                    &HUMIDITY_UNSAID,
                    self.cure.at,
                    "`{0}` is cured, and the job does not say the weather: how fast it dries and hardens cannot be told",
                )
                .help("write it into the `job` block, as in `weather {52 degF to 66 degF, humidity 60%, wind 5 mph|11 degC to 19 degC, humidity 60%, wind 2 m/s}`"),
            );
        };
        let headline = match (weather.value.humidity, weather.value.wind) {
            (None, None) => "how fast `{0}` dries cannot be told: the weather has no humidity and no wind",
            (None, Some(_)) => "how fast `{0}` dries cannot be told: the weather has no humidity",
            (Some(_), _) => "how fast `{0}` dries cannot be told: the weather has no wind",
        };
        Some(self.problem(&HUMIDITY_UNSAID, weather.span, headline).label(self.cure.at, "this needs it").help(
            "add what is missing, as a forecast gives it: `humidity 60%, wind {5 mph|2 m/s}`; under a roof the wind may be `{0 mph|0 m/s}`",
        ))
    }

    fn hot(&self) -> Option<Problem> {
        let (fresh, said) = self.cured.fresh.filter(|_| self.cured.is_hot)?;
        let at = if said { self.cure.said(KindId::Cure, "fresh") } else { self.cure.at };
        let headline = match said {
            true => "`{0}` goes in at {1}, and {2} is the most",
            false => "`{0}` goes in as warm as the air, {1}, and {2} is the most",
        };
        let problem = self
            .problem(&WEATHER_HOT, at, headline)
            .arg(self.degrees(fresh))
            .arg(self.degrees(HOTTEST))
            .help("shade the bags, take cold water or ice for water, wet the forms, pour at dawn; then write what comes of it, as in `fresh {85 degF|29 degC}`");
        Some(match self.weather.filter(|_| !said) {
            Some(weather) => problem.label(weather.span, "in this weather"),
            None => problem,
        })
    }

    fn cold(&self) -> Option<Problem> {
        let cold = self.cured.cold.as_ref().filter(|cold| cold.is_cold)?;
        let (wanted, least) = (cold.protection.value, cold.as_placed.value);
        let label = |problem: Problem| match self.cold_weather() {
            Some(weather) => problem.label(weather.span, "in this weather"),
            None => problem,
        };
        let Some((warm, warmth)) = self.cure.say.warm.as_ref().zip(self.cured.warmth) else {
            return Some(label(
                self.problem(
                    &WEATHER_COLD,
                    self.cure.at,
                    "the air falls to {1} while `{0}` is young, and nothing keeps it warm",
                )
                .arg(self.degrees(cold.lowest))
                .arg(time(wanted))
                .arg(self.degrees(least))
                .help("keep it at {3} or warmer under blankets for {2}, and write so: `warm for {2}`; or wait for warmer weather. No concrete goes on frozen ground, ice or snow"),
            ));
        };
        if warmth.lasts.seconds() + 1.0 < wanted.seconds() {
            return Some(label(
                self.problem(
                    &WEATHER_COLD,
                    self.cure.said(KindId::Cure, "warm"),
                    "`{0}` is kept warm for {1}, and in cold weather it should be for {2}",
                )
                .arg(time(warmth.lasts))
                .arg(time(wanted))
                .help("write `for {2}`")
                .fix(warm.value.time.span, show::time(wanted).to_string()),
            ));
        }
        (warmth.at.deg_c() < least.deg_c() - 0.3).then(|| {
            self.problem(
                &WEATHER_COLD,
                self.cure.said(KindId::Cure, "warm"),
                "`{0}` is kept at {1}, and in cold weather it should be at {2} or warmer",
            )
            .arg(self.degrees(warmth.at))
            .arg(self.degrees(least))
            .help("write `at {2}`, and see that blankets or a heated tent hold it: put a thermometer under them")
        })
    }

    /// Too cold as it goes in.
    fn fresh_cold(&self) -> Option<Problem> {
        let cold = self.cured.cold.as_ref().filter(|cold| cold.is_cold)?;
        let (fresh, said) = self.cured.fresh?;
        let least = cold.as_placed.value;
        // The two editions of the rule are whole degrees of their own scale.
        (fresh.deg_c() < least.deg_c() - 0.3).then(|| {
            let (at, headline) = match said {
                true => {
                    (self.cure.said(KindId::Cure, "fresh"), "`{0}` goes in at {1}, and in cold weather it should at {2} or warmer")
                }
                false => (
                    self.cure.at,
                    "`{0}` goes in no warmer than the air, {1}, and in cold weather it should at {2} or warmer",
                ),
            };
            self.problem(&WEATHER_COLD, at, headline)
                .arg(self.degrees(fresh))
                .arg(self.degrees(least))
                .arg(self.degrees(cold.as_mixed.value))
                .help("mix it with warm water, never hot, so that it is at {3} in the mixer; keep bags and forms warm; then write what comes of it: `fresh {3}`")
        })
    }

    /// The weather that is too cold.
    fn cold_weather(&self) -> Option<&Said<Weather>> {
        let lowest = self.cured.cold.as_ref()?.lowest;
        let all = &self.job.head.as_ref()?.say.weather.0;
        all.iter().find(|weather| weather.value.air.from == lowest)
    }
}

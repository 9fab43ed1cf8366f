//! The worked numbers of weather and curing.

use super::{Act, Age, Cold, Cured, Grown, Readiness, Weathers, freeze_proof, mean, warm_share};
use crate::{
    job::{Job, Thing},
    ledger::{Entry, Figure, Input, Ledger, Usual},
    schema::{Cure, KindId, Mix, Strong},
    source::Span,
    standards::{
        PRACTICE, Worked,
        curing::{BACKFILL_PART, COUNTS_FROM, SIDE_FORMS},
    },
    units::{Duration, System},
};

/// Where the temperatures concrete is reckoned with come from.
pub(crate) const MEAN_OF_DAY: &str = "concrete as warm as the mean of the day: common practice, no source";
/// Where the hours that count come from.
pub(crate) const STRAIGHT_DAY: &str = "a day that warms and cools in straight lines: common practice, no source";
/// How hours that count are counted.
const COUNTED: &str = "until so many hours no colder than 50 degF (10 degC) have passed, the cold ones of a day first";
/// Where the temperature of the concrete comes from when it is not said.
pub(crate) const AS_AIR: &str = "as warm as the warmest air of the day: common practice, no source";
/// Where the strength for stripping comes from.
pub(crate) const STRIP_STRENGTH: &str = "from 500 psi (3.5 MPa) on it lives through one freeze (ACI 306R); that it is enough to take off side forms: common practice, no source";

/// The word an age goes by in the names of its numbers: `day-3`, `h-36`.
#[must_use]
pub fn label(after: Duration) -> String {
    // A cast ends at its limits.
    let minutes = after.minutes().round() as u64;
    match minutes {
        0 => format!("s-{}", after.seconds().round() as u64),
        minutes if minutes % (24 * 60) == 0 => format!("day-{}", minutes / (24 * 60)),
        minutes if minutes % 60 == 0 => format!("h-{}", minutes / 60),
        minutes => format!("min-{minutes}"),
    }
}

/// Enters the weather, and what each cure comes to.
pub fn enter(job: &Job, cures: &[Cured], ledger: &mut Ledger) {
    if !ledger.is_on() || cures.is_empty() {
        return;
    }
    let (weathers, _) = Weathers::of(job);
    enter_weather(&weathers, ledger);
    for cured in cures {
        let (Some(cure), Some(pour)) = (job.cure(cured.cure), job.pour(cured.pour)) else { continue };
        let Some(mix) = job.mix(pour.say.mix.0) else { continue };
        let mut weather = Vec::new();
        for number in weathers.numbers(cured.start) {
            weather.extend(ledger.number("T", &format!("job.weather-{number}.mean")));
        }
        let mut sheet = Sheet { system: job.system(), cure, mix, cured, weather, ledger };
        sheet.dries(&weathers);
        if let Some(cold) = &cured.cold {
            sheet.cold(cold);
        }
        for age in cured.ages() {
            sheet.age(age);
        }
        for ready in &cured.readies {
            sheet.ready(ready, &weathers);
        }
        sheet.moist(&weathers);
    }
}

fn enter_weather(weathers: &Weathers, ledger: &mut Ledger) {
    for (number, (_, weather)) in (1..).zip(weathers.each()) {
        let air = weather.value.air;
        let inputs = || {
            vec![
                Input::said("lowest", weather.span, Figure::Temperature(air.from)),
                Input::said("highest", weather.span, Figure::Temperature(air.to)),
            ]
        };
        ledger.enter(|| Entry {
            name: format!("job.weather-{number}.mean"),
            value: Figure::Temperature(mean(air)),
            formula: "(lowest + highest) / 2",
            source: MEAN_OF_DAY,
            inputs: inputs(),
        });
        let from = Input::given("T0", Figure::Temperature(COUNTS_FROM), "hours count from here on");
        ledger.enter(|| Entry {
            name: format!("job.weather-{number}.counted"),
            value: Figure::Ratio(warm_share(air)),
            formula: "what part of the day is no colder than T0",
            source: STRAIGHT_DAY,
            inputs: inputs().into_iter().chain([from]).collect(),
        });
    }
}

struct Sheet<'s> {
    system: System,
    cure: &'s Thing<Cure>,
    mix: &'s Thing<Mix>,
    cured: &'s Cured,
    /// The means of the days.
    weather: Vec<Input>,
    ledger: &'s mut Ledger,
}

impl Sheet<'_> {
    fn enter(
        &mut self,
        quantity: &str,
        value: Figure,
        formula: &'static str,
        source: &'static str,
        inputs: impl IntoIterator<Item = Input>,
    ) {
        let name = format!("{}.{quantity}", self.cure.name);
        self.ledger.enter(|| Entry { name, value, formula, source, inputs: inputs.into_iter().collect() });
    }

    fn number(&self, symbol: &'static str, quantity: &str) -> Option<Input> {
        self.ledger.number(symbol, &format!("{}.{quantity}", self.cure.name))
    }

    fn at(&self, clause: &str) -> Span {
        self.cure.said(KindId::Cure, clause)
    }

    /// What it is kept warm by, where that is written.
    fn warmth(&self) -> Option<Input> {
        let warmth = self.cured.warmth?;
        Some(Input::said("warm", self.at("warm"), Figure::Temperature(warmth.at)))
    }

    fn dries(&mut self, weathers: &Weathers) {
        let Some(weather) = weathers.at(self.cured.start) else { return };
        for (quantity, drying) in ["drying", "drying-by-pressure"].into_iter().zip(&self.cured.drying) {
            let Ok(drying) = drying else { continue };
            let mut inputs: Vec<Input> = drying.inputs().collect();
            let mut formula = drying.formula;
            // The formula gives pounds on a square foot; the paper is metric.
            if self.system == System::Metric && drying.part("e0").is_some() {
                formula = "0.44 * (e0 - ea) * (0.253 + 0.096 * V) * f";
                inputs.push(Input::given("f", Figure::Number(4.882_428), "kg/m2 in a lb/ft2"));
            }
            inputs.push(Input::typed("weather", weather.span));
            inputs.extend(self.cured.air.map(|air| Input::typed("record", air.span)));
            inputs.extend(self.cured.fresh.map(|(fresh, said)| {
                let value = Figure::Temperature(fresh);
                match said {
                    true => Input::said("fresh", self.at("fresh"), value),
                    false => Input::usual("fresh", Usual { clause: "cure.fresh", value, source: AS_AIR }),
                }
            }));
            self.enter(quantity, Figure::Drying(drying.value), formula, drying.source, inputs);
        }
    }

    fn cold(&mut self, cold: &Cold) {
        let thick = Input::given("thick", Figure::Length(cold.thick), "its least measure");
        let days = |worked: &Worked<Duration>| (Figure::Duration(worked.value), worked.formula, worked.source);
        let mut table = |quantity, (value, formula, source): (Figure, _, _), more: Vec<Input>| {
            self.enter(quantity, value, formula, source, [thick].into_iter().chain(more));
        };
        let placed = &cold.as_placed;
        table("as-placed", (Figure::Temperature(placed.value), placed.formula, placed.source), Vec::new());
        let mixed = &cold.as_mixed;
        let air = mixed.inputs().collect();
        table("as-mixed", (Figure::Temperature(mixed.value), mixed.formula, mixed.source), air);
        let drop = &cold.drop;
        table("drop", (Figure::Difference(drop.value), drop.formula, drop.source), Vec::new());
        let mix = vec![Input::typed("mix", self.mix.at)];
        for (quantity, worked) in [("protection", &cold.protection), ("cold-strip", &cold.removal)] {
            let (value, formula, source) = days(worked);
            self.enter(quantity, value, formula, source, mix.clone());
        }
        if let (Some(Ok(time)), Some(strength)) = (&cold.freeze_proof, self.mix.say.strength) {
            let at = self.mix.said(KindId::Mix, "strength");
            let inputs = vec![
                Input::given(
                    "freeze",
                    Figure::Stress(freeze_proof(self.system)),
                    "from here on it lives through one freeze: ACI 306R",
                ),
                Input::said("strength", at, Figure::Stress(strength.0)),
            ];
            let inputs: Vec<Input> = inputs.into_iter().chain(self.weather.clone()).chain(self.warmth()).collect();
            let formula = "when every form that covers the cement gives freeze of strength";
            self.enter("freeze-proof", Figure::Duration(*time), formula, "", inputs);
        }
    }

    fn age(&mut self, age: &Age) {
        let label = label(age.after);
        let hot: Vec<Input> = self.weather.clone().into_iter().chain(self.warmth()).collect();
        let (per, words) = match self.system {
            System::Feet => (1.8, "sum of (T - T0) * hours, nothing below T0, in degF and hours"),
            System::Metric => (1.0, "sum of (T - T0) * hours, nothing below T0, in degC and hours"),
        };
        let inputs: Vec<Input> = age.maturity.inputs().chain(hot.clone()).collect();
        let maturity = Figure::Number(age.maturity.value * per);
        self.enter(&format!("{label}.maturity"), maturity, words, age.maturity.source, inputs);
        for grown in &age.grown {
            self.grown(&label, grown, &hot);
        }
    }

    fn grown(&mut self, label: &str, grown: &Grown, hot: &[Input]) {
        let word = grown.form.word();
        let age = &grown.age;
        let inputs: Vec<Input> = age.inputs().chain(hot.iter().copied()).collect();
        let value = Figure::Duration(Duration::from_hours(age.value));
        self.enter(&format!("{label}.{word}-age"), value, age.formula, age.source, inputs);
        let part = &grown.part;
        let aged = self.number("age", &format!("{label}.{word}-age"));
        let inputs: Vec<Input> = part.inputs().chain(aged).collect();
        self.enter(&format!("{label}.{word}-part"), Figure::Ratio(part.value), part.formula, part.source, inputs);
        if let (Some(strength), Some(all)) = (grown.strength, self.mix.say.strength) {
            let all = Input::said("strength", self.mix.said(KindId::Mix, "strength"), Figure::Stress(all.0));
            let inputs: Vec<Input> =
                self.number("part", &format!("{label}.{word}-part")).into_iter().chain([all]).collect();
            self.enter(&format!("{label}.{word}"), Figure::Stress(strength), "part * strength", "", inputs);
        }
    }

    fn ready(&mut self, ready: &Readiness, weathers: &Weathers) {
        let act = ready.act.clause();
        let wanted = match ready.wanted {
            Strong::At(stress) => Figure::Stress(stress),
            Strong::Part(part) => Figure::Ratio(part),
        };
        let (clause, source) = match ready.act {
            Act::Strip => ("cure.strip at", STRIP_STRENGTH),
            Act::Load => ("cure.load at", BACKFILL_PART.source),
            Act::Backfill => ("cure.backfill at", BACKFILL_PART.source),
        };
        let asked = |symbol| match ready.usual {
            true => Input::usual(symbol, Usual { clause, value: wanted, source }),
            false => Input::said(symbol, ready.at, wanted),
        };
        let part = match (ready.wanted, ready.part, self.mix.say.strength) {
            (Strong::At(_), Some(part), Some(all)) => {
                let all = Input::said("strength", self.mix.said(KindId::Mix, "strength"), Figure::Stress(all.0));
                self.enter(
                    &format!("{act}-part"),
                    Figure::Ratio(part),
                    "wanted / strength",
                    "",
                    [asked("wanted"), all],
                );
                self.number("part", &format!("{act}-part"))
            }
            _ => Some(asked("part")),
        };
        let mut latest = Vec::new();
        if let Some(Ok(counted)) = &ready.counted {
            let value = Figure::Duration(SIDE_FORMS.value);
            let hours =
                Input::usual("hours", Usual { clause: "the hours side forms stay", value, source: SIDE_FORMS.source });
            let inputs = [hours].into_iter().chain(self.counts(weathers));
            self.enter(&format!("{act}-counted"), Figure::Duration(counted.value), COUNTED, counted.source, inputs);
            latest.extend(self.number("counted", &format!("{act}-counted")));
        }
        for (form, time) in &ready.strong {
            let Ok(time) = time else { continue };
            let rest = time.inputs().filter(|input| input.symbol != "part");
            let inputs: Vec<Input> =
                part.into_iter().chain(rest).chain(self.weather.clone()).chain(self.warmth()).collect();
            let quantity = format!("{act}-{}", form.word());
            self.enter(&quantity, Figure::Duration(time.value), time.formula, time.source, inputs);
            latest.extend(self.number(form.word(), &quantity));
        }
        if ready.cold.is_some() {
            latest.extend(self.number("cold", "cold-strip"));
        }
        latest.extend(ready.forms_on.map(|time| Input::said("forms-on", self.at("forms-on"), Figure::Duration(time))));
        if let Some(earliest) = ready.earliest.filter(|_| !latest.is_empty()) {
            self.enter(&format!("{act}-earliest"), Figure::Duration(earliest), "the latest of these", "", latest);
        }
    }

    /// What hours that count hang on: the share of each day that counts, and the warmth it is kept at.
    fn counts(&self, weathers: &Weathers) -> Vec<Input> {
        let numbers = weathers.numbers(self.cured.start);
        let shares = numbers.filter_map(|number| self.ledger.number("share", &format!("job.weather-{number}.counted")));
        shares.chain(self.warmth()).collect()
    }

    fn moist(&mut self, weathers: &Weathers) {
        let moist = &self.cured.moist;
        let Some(rule) = moist.rules.first() else { return };
        let mix = [Input::typed("mix", self.mix.at)];
        self.enter("moist-hours", Figure::Duration(rule.value), "table, by the cement of the mix", rule.source, mix);
        if let Some(Ok(until)) = &moist.until {
            let inputs: Vec<Input> =
                self.number("hours", "moist-hours").into_iter().chain(self.counts(weathers)).collect();
            self.enter("moist-until", Figure::Duration(until.value), COUNTED, PRACTICE, inputs);
        }
    }
}

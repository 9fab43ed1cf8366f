//! Weather and cure: what the weather does to each pour, how strong it is when, and what is done to it day by day.

use crate::{
    compile::Compiled,
    curing::{Act, Age, Cold, Cured, Readiness, Weathers, freeze_proof, label},
    job::{Job, Thing},
    reports::{BoxLine, Column, Paper, Part, Row, Rows, Table, Words, measures::Measures, words},
    schema::{CementKind, Cure, Said, Strong, Surroundings, Weather},
    standards::{
        curing::{COUNTS_FROM, SIDE_FORMS},
        weather::{COLD_BELOW, DryingRisk, HOTTEST},
    },
    units::{Duration, System, Temperature, show, whole_up},
};

/// Days that are written out; what goes on longer is told in one line.
const DAYS_AT_MOST: u64 = 35;

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    if compiled.works.cures.is_empty() {
        return;
    }
    let job = &compiled.job;
    paper.push(Part::Heading(2, Words::from("Weather and cure")));
    let start = job.head.as_ref().and_then(|head| head.say.start);
    let day = match start {
        Some(_) if compiled.works.days.is_some() => {
            "Each pour is reckoned on the day it is planned for, in the weather the file says.".to_owned()
        }
        Some(start) => format!(
            "No days are planned: each pour is reckoned as if it were on the day the job starts, {start}, in the weather the file says."
        ),
        None => "The file does not say when the job starts: every day is reckoned with the weather it says.".to_owned(),
    };
    paper.push(Part::Text(
        Words::from(day) + " Read the thermometer on the day, low and high: it goes before this paper.",
    ));
    let (weathers, _) = Weathers::of(job);
    for cured in &compiled.works.cures {
        let Some(cure) = job.cure(cured.cure) else { continue };
        one(compiled, cure, cured, weathers.at(cured.start), paper);
    }
    paper.push(Part::Caution(Words::from(
        "strengths by a formula are figures for planning: bags, water and weather vary. Nothing that can hurt someone is stripped from under, loaded or filled in against by this paper alone; local code, a tested cylinder and a licensed engineer go before it.",
    )));
}

fn one<'w>(
    compiled: &'w Compiled,
    cure: &'w Thing<Cure>,
    cured: &'w Cured,
    weather: Option<&Said<Weather>>,
    paper: &mut Paper<'w>,
) {
    let job = &compiled.job;
    paper.push(Part::Heading(3, Words::from(format!("{}: cure of {}", cure.name, job.name(cured.pour)))));
    paper.push(Part::Facts(facts(job, cure, cured, weather)));
    if !cured.ages().is_empty() {
        paper.push(Part::Table(ages(compiled, cured)));
    }
    paper.push(Part::Bullets(always(job, cured)));
    let boxes = days(job, cure, cured);
    if !boxes.is_empty() {
        paper.push(Part::Text(
            Words::default().strong("Day by day").plain(", day 1 begins when the last of it is placed:"),
        ));
        paper.push(Part::Boxes(boxes));
    }
}

fn facts(job: &Job, cure: &Thing<Cure>, cured: &Cured, weather: Option<&Said<Weather>>) -> Vec<(Words, Words)> {
    let system = job.system();
    let mut facts: Vec<(Words, Words)> = Vec::new();
    let mut fact = |label: &str, value: String| facts.push((Words::from(label), Words::from(value)));
    if let Some(weather) = weather {
        fact("Weather on the day of the pour", told(&weather.value, system));
    }
    if let Some((fresh, said)) = cured.fresh {
        let most = show::temperature(HOTTEST, system);
        let mut text = format!(
            "{}{}; {most} at the most",
            show::temperature(fresh, system),
            if said { "" } else { ", as warm as the warmest air" }
        );
        if let Some(cold) = cured.cold.as_ref().filter(|cold| cold.is_cold) {
            text.push_str(&format!(
                "; in this cold {} at least, and {} as it leaves the mixer",
                show::temperature(cold.as_placed.value, system),
                show::temperature(cold.as_mixed.value, system)
            ));
        }
        fact("Concrete goes in at", text);
    }
    if weather.is_some() {
        fact("Its surface dries at", drying(cure, cured, system));
    }
    if let Some(cold) = &cured.cold {
        fact("Cold", cold_in_words(cured, cold, system));
    }
    fact("Kept moist", moist(cure, cured));
    for ready in &cured.readies {
        let label = match ready.act {
            Act::Strip => "Forms come off",
            Act::Load => "Loaded",
            Act::Backfill => "Filled in against",
        };
        fact(label, readiness(ready, system));
    }
    facts
}

/// Up to whole hours: more would be false.
fn up(time: Duration) -> Duration {
    Duration::from_hours(whole_up(time.hours()) as f64)
}

/// To the nearest hour.
fn nearest(time: Duration) -> Duration {
    Duration::from_hours(time.hours().round())
}

fn told(weather: &Weather, system: System) -> String {
    let mut text =
        format!("{} to {}", show::temperature(weather.air.from, system), show::temperature(weather.air.to, system));
    if let Some(humidity) = weather.humidity {
        text.push_str(&format!(", humidity {}", show::percent(humidity)));
    }
    if let Some(wind) = weather.wind {
        text.push_str(&format!(", wind {}", show::speed(wind.0, system)));
    }
    text
}

fn drying(cure: &Thing<Cure>, cured: &Cured, system: System) -> String {
    let rates: Vec<_> = cured.drying.iter().filter_map(|drying| drying.as_ref().ok()).collect();
    let Some(first) = rates.first() else {
        return match cured.drying.is_empty() {
            true => "not told: the file says no humidity or no wind".to_owned(),
            false => "not told: the formulas end at 0 and 140 degF (-18 and 60 degC)".to_owned(),
        };
    };
    let shown: Vec<String> =
        rates.iter().map(|rate| format!("{} ({})", show::drying(rate.value, system), rate.source)).collect();
    let risk = match DryingRisk::of(first.value) {
        DryingRisk::Low => "little: the usual care",
        DryingRisk::Caution => {
            "fast for thin toppings and for mixes that bleed little: cover it as soon as it is struck off"
        }
        DryingRisk::High => "too fast: keep sun and wind off it, and cover it as soon as it is struck off",
    };
    let screen = cure.say.screen.as_ref().map_or_else(String::new, |screen| format!(". What does so: {}", screen.0));
    format!("{}. That is {risk}{screen}", shown.join(", "))
}

fn cold_in_words(cured: &Cured, cold: &Cold, system: System) -> String {
    let mut text = match cold.is_cold {
        true => format!(
            "cold weather, down to {}: kept at {} or warmer for {}, then it cools by no more than {} in 24 h",
            show::temperature(cold.lowest, system),
            show::temperature(cold.as_placed.value, system),
            show::time(cold.protection.value),
            show::temperature_difference(cold.drop.value, system)
        ),
        false => format!(
            "no cold weather in the first {}. If the air is to fall below {}, keep it at {} or warmer for so long",
            show::time(cold.protection.value),
            show::temperature(COLD_BELOW, system),
            show::temperature(cold.as_placed.value, system)
        ),
    };
    if let Some(warmth) = cured.warmth {
        text.push_str(&format!(
            ". Planned: {} or warmer for {}",
            show::temperature(warmth.at, system),
            show::time(warmth.lasts)
        ));
    }
    let freeze = show::stress(freeze_proof(system), system);
    match &cold.freeze_proof {
        Some(Ok(time)) => {
            text.push_str(&format!(". It lives through one freeze from {freeze} on, after {}", show::time(up(*time))))
        }
        Some(Err(_)) => {
            text.push_str(&format!(". It never comes to {freeze}, from which on it lives through one freeze"))
        }
        None => {}
    }
    text
}

fn moist(cure: &Thing<Cure>, cured: &Cured) -> String {
    let say = &cure.say;
    let mut ways: Vec<String> = Vec::new();
    if let Some(forms) = &say.forms_on {
        ways.push(format!("forms on and wet for {}", show::time(forms.value.time.value.0)));
    }
    if let Some(wet) = &say.wet {
        let how = words::wet(wet.value.daily.is_some());
        ways.push(format!("{how} for {}", show::time(wet.value.time.value.0)));
    }
    if let Some(wrap) = &say.wrap {
        ways.push(format!("wrapped for {}", show::time(wrap.value.time.value.0)));
    }
    let mut text = match ways.is_empty() {
        true => "the file says nothing".to_owned(),
        false => ways.join(", "),
    };
    let asked: Vec<String> =
        cured.moist.rules.iter().map(|rule| format!("{} ({})", show::time(rule.value), rule.source)).collect();
    if !asked.is_empty() {
        text.push_str(&format!(". Asked for, of time it is not too cold: {}", asked.join(", ")));
    }
    if let Some(Ok(until)) = &cured.moist.until {
        text.push_str(&format!("; in this weather that is {}", show::time(up(until.value))));
    }
    text
}

fn readiness(ready: &Readiness, system: System) -> String {
    let mut text = match ready.planned {
        Some(planned) => format!("after {}, as planned", show::time(planned)),
        None => "when it is ready".to_owned(),
    };
    text.push_str(&match ready.earliest {
        Some(earliest) => format!(". By the rules not before {}", show::time(up(earliest))),
        None if ready.is_never() => ". By the rules never in this weather".to_owned(),
        None => ". Since when it may is not known".to_owned(),
    });
    let mut why: Vec<String> = Vec::new();
    if let Some(Ok(counted)) = &ready.counted {
        why.push(format!(
            "{} of air at {} or warmer are over after {}",
            show::time(SIDE_FORMS.value),
            show::temperature(COUNTS_FROM, system),
            show::time(up(counted.value))
        ));
    }
    let wanted = match ready.wanted {
        Strong::At(stress) => show::stress(stress, system).to_string(),
        Strong::Part(part) => format!("{} of its strength", show::percent(part)),
    };
    for (form, time) in &ready.strong {
        why.push(match time {
            Ok(time) => format!("{wanted} after {} by {}", show::time(up(time.value)), form.standard()),
            Err(_) => format!("{wanted} never by {}", form.standard()),
        });
    }
    if let Some(cold) = &ready.cold {
        why.push(format!("{} in cold weather", show::time(cold.value)));
    }
    if let Some(forms_on) = ready.forms_on {
        why.push(format!("forms on for {}", show::time(forms_on)));
    }
    if !why.is_empty() {
        text.push_str(&format!(": {}", why.join("; ")));
    }
    text
}

fn always(job: &Job, cured: &Cured) -> Vec<Words> {
    let running = match cured.cement {
        CementKind::TypeIII | CementKind::ClassR => 7,
        _ => 14,
    };
    // Indoors it does not rain.
    let outside = job.head.as_ref().is_none_or(|head| head.say.place != Some(Surroundings::Indoors));
    let mut lines = Vec::new();
    if outside {
        lines.push(Words::from(format!(
            "Keep rain off it for 12 h, and running water for {running} days (Unified Facilities Guide Specification 03301A)."
        )));
    }
    if !cured.drying.is_empty() {
        let high = match job.system() {
            System::Feet => "20 in",
            System::Metric => "0.5 m",
        };
        lines.push(Words::from(format!(
            "The wind is meant {high} above the surface, and the formulas for drying are good to some 40% (seen in a paper of 2020): they tell a class, not a figure."
        )));
    }
    if cured.cold.as_ref().is_some_and(|cold| cold.is_cold) {
        lines.push(Words::from(
            "Nothing is placed on frozen ground, ice or snow. No calcium chloride where there is steel (common practice, no source).",
        ));
    }
    if cured.readies.iter().any(|ready| ready.act == Act::Strip) && cured.moist.planned.is_some() {
        lines.push(Words::from(
            "Bare faces are wet or wrapped as soon as their forms are off: curing does not end with stripping.",
        ));
    }
    lines
}

/// Maturity and strength by age.
fn ages<'w>(compiled: &'w Compiled, cured: &'w Cured) -> Table<'w> {
    let job = &compiled.job;
    let system = job.system();
    let measures = Measures(system);
    let name = job.name(cured.cure);
    let told = cured.ages().iter().any(|age| age.grown.iter().any(|grown| grown.strength.is_some()));
    let maturity = match system {
        System::Feet => "Maturity, degF h",
        System::Metric => "Maturity, degC h",
    };
    let mut columns = vec![Column::text("after", "After"), Column::count("maturity", maturity).number("maturity")];
    let has = |word: &str| cured.ages().iter().any(|age| age.grown.iter().any(|grown| grown.form.word() == word));
    let (aci, en) = (has("aci"), has("en"));
    let mut form = |age: &'static str, key: &'static str, part: &'static str, head: &str, reference: f64| {
        let reference = Temperature::from_deg_c(reference);
        columns.push(Column::text(age, format!("As old as at {}", show::temperature(reference, system))));
        columns.push(match told {
            true => measures.stresses(key, head).number(key),
            false => measures.ratios(part, head).number(part),
        });
    };
    if aci {
        form("aci_age", "aci", "aci-part", "ACI 209R", 23.0);
    }
    if en {
        form("en_age", "en", "en-part", "EN 1992-1-1", 20.0);
    }
    let caption = match told {
        true => format!("Strength of {} by age", job.name(cured.pour)),
        false => format!(
            "Strength of {} by age, as a part of that at 28 days, which the mix does not say",
            job.name(cured.pour)
        ),
    };
    let rows = Rows::formula(move |lines| {
        for age in cured.ages() {
            lines.item(|row| {
                row.of(format_args!("{name}.{}", label(age.after)));
                row.text(show::time(age.after));
                let per = if system == System::Feet { 1.8 } else { 1.0 };
                let value = age.maturity.value * per;
                row.figure(show::decimal(value, 0), value);
                for word in [(aci, "aci"), (en, "en")].into_iter().filter_map(|(is, word)| is.then_some(word)) {
                    grown(row, measures, age, word);
                }
            })?;
        }
        Ok(())
    });
    Table::new("strength", columns, rows).caption(caption)
}

fn grown(row: &mut Row, measures: Measures, age: &Age, word: &str) {
    let Some(grown) = age.grown.iter().find(|grown| grown.form.word() == word) else {
        row.empty().empty();
        return;
    };
    row.text(show::time(nearest(Duration::from_hours(grown.age.value))));
    match grown.strength {
        Some(strength) => measures.stress(row, strength),
        None => measures.ratio(row, grown.part.value),
    }
}

/// The days, with boxes to tick.
fn days(job: &Job, cure: &Thing<Cure>, cured: &Cured) -> Vec<BoxLine> {
    let system = job.system();
    let say = &cure.say;
    let until = |time: Option<Duration>| time.map_or(0, |time| whole_up(time.days()));
    let forms = until(say.forms_on.as_ref().map(|forms| forms.value.time.value.0));
    let wet = until(say.wet.as_ref().map(|wet| wet.value.time.value.0));
    let wrap = until(say.wrap.as_ref().map(|wrap| wrap.value.time.value.0));
    let warm = until(cured.warmth.map(|warmth| warmth.lasts));
    let daily = say.wet.as_ref().is_some_and(|wet| wet.value.daily.is_some());
    let last = forms.max(wet).max(wrap).max(warm);
    // What is done on a day, beyond keeping it.
    let mut acts: Vec<(u64, &Readiness)> = cured
        .readies
        .iter()
        .filter_map(|ready| Some(((ready.planned?.days().floor() as u64).saturating_add(1), ready)))
        .collect();
    acts.sort_by_key(|(day, _)| *day);
    let mut out = Vec::new();
    for day in 1..=last.min(DAYS_AT_MOST) {
        let mut does: Vec<String> = Vec::new();
        if day <= forms {
            does.push("forms on, their wood wet".to_owned());
        }
        if day <= wet {
            does.push(words::wet(daily).to_owned());
        }
        if day <= wrap {
            does.push("wrapped tight, wet under the wrap".to_owned());
        }
        if let Some(warmth) = cured.warmth.filter(|_| day <= warm) {
            does.push(format!("{} or warmer under the blankets", show::temperature(warmth.at, system)));
        }
        let mut line = BoxLine::new(
            Words::default().strong(format_args!("Day {day}")).plain(format_args!(": {}", does.join("; "))),
        );
        for (_, ready) in acts.iter().filter(|(on, _)| *on == day) {
            line = line.detail(act(ready));
        }
        if let Some(drop) = cured.cold.as_ref().filter(|cold| cold.is_cold && day > 1 && day - 1 == warm) {
            line = line.detail(format!(
                "the warmth ends: lift the blankets little by little, no more than {} cooler in 24 h",
                show::temperature_difference(drop.drop.value, system)
            ));
        }
        line = line.blank("Date");
        if daily && day <= wet {
            line = line.blank("morning").blank("evening");
        }
        out.push(line.blank("lowest").blank("highest"));
    }
    if last > DAYS_AT_MOST {
        out.push(BoxLine::new(format!("and so on until day {last}")).blank("Ended on"));
    }
    for (day, ready) in acts.iter().filter(|(on, _)| *on > last.min(DAYS_AT_MOST)) {
        let words = Words::default().strong(format_args!("Day {day}")).plain(format_args!(": {}", act(ready)));
        out.push(BoxLine::new(words).blank("Done on"));
    }
    out
}

fn act(ready: &Readiness) -> &'static str {
    match ready.act {
        Act::Strip => "forms may come off, if the rules above are kept; wet or wrap the bare faces at once",
        Act::Load => "it may be loaded, if the rules above are kept",
        Act::Backfill => "it may be filled in against, in layers, if the rules above are kept",
    }
}

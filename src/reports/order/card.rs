//! The card: what one must know before picking up a tool.

use std::collections::BTreeSet;

use crate::{
    checks::unlike_concrete,
    compile::Compiled,
    holes::Set,
    job::Job,
    reports::{
        BoxLine, Paper, Part, Words,
        order::{finding, numbered, told},
        words,
    },
    schema::{KindId, Surroundings},
    standards::anchors::COLDEST,
    units::show,
};

pub(super) fn add(compiled: &Compiled, paper: &mut Paper) {
    let job = &compiled.job;
    facts(job, paper);
    stop(compiled, paper);
    whom(job, paper);
    open_questions(job, paper);
    old_work(compiled, paper);
    accepted(compiled, paper);
    warnings(compiled, paper);
}

fn facts(job: &Job, paper: &mut Paper) {
    let Some(head) = &job.head else { return };
    let system = job.system();
    let say = &head.say;
    let mut facts: Vec<(Words, Words)> = Vec::new();
    let mut fact = |label: &str, value: String| facts.push((Words::from(label), Words::from(value)));
    if let Some(site) = &say.site {
        fact("Site", site.0.clone());
    }
    if let Some(start) = say.start {
        fact("Work begins", start.to_string());
    }
    if let Some(latest) = say.latest {
        fact("To be done by", latest.value.to_string());
    }
    if let Some(datum) = &say.datum {
        fact("Level 0 is", datum.0.clone());
    }
    if let Some(place) = say.place {
        fact(
            "The work is",
            match place {
                Surroundings::Indoors => "under a roof".to_owned(),
                Surroundings::Outdoors => "in the open".to_owned(),
            },
        );
    }
    if let Some(built) = say.built {
        fact("The building is of", built.0.to_string());
    }
    for weather in &say.weather.0 {
        let weather = &weather.value;
        let mut text =
            format!("{} to {}", show::temperature(weather.air.from, system), show::temperature(weather.air.to, system));
        if let Some(humidity) = weather.humidity {
            text.push_str(&format!(", humidity {}", show::percent(humidity)));
        }
        if let Some(wind) = weather.wind {
            text.push_str(&format!(", wind {}", show::speed(wind.0, system)));
        }
        match weather.from {
            Some(from) => fact(&format!("Weather reckoned with, from {}", from.value), text),
            None => fact("Weather reckoned with", text),
        }
    }
    paper.push(Part::Facts(facts));
}

/// What to stop for: general, and what this job's own work can run into.
fn stop(compiled: &Compiled, paper: &mut Paper) {
    let job = &compiled.job;
    let mut lines = vec![Words::from(if job.has(KindId::Wall) || job.has(KindId::Footing) {
        "The old wall or footing moves, cracks open, or soil runs out from under it: step back, prop nothing on your own, call the engineer."
    } else {
        "Soil beside or under the work slides, cracks open or washes out: step back, let nobody near, call the engineer."
    })];
    if job.has(KindId::Holes) {
        lines.push(Words::from(
            "A hole hits steel, a pipe, a cable or a void, or comes out at the back: stop drilling that hole, leave it empty, note its number, ask before moving it.",
        ));
    }
    if job.has(KindId::Remove) {
        lines.push(Words::from(
            "Under the broken slab there is water, a pipe, a cable, or no footing where one is drawn: stop and ask.",
        ));
    }
    if job.has(KindId::Pour) {
        lines.push(Words::from(
            "The form bulges, a brace slips or a stake lifts: stop placing, take concrete out from the top, mend the form first.",
        ));
        lines.push(Words::from(
            "The pour must stop in the middle: level the layer, leave it rough, note the level and the time, and ask before going on.",
        ));
    }
    if job.has(KindId::Look) {
        lines.push(Words::from("A hold point below is not signed: nothing that hides the work goes on."));
    }
    paper.push(Part::Heading(2, Words::from("Stop and ask if")));
    paper.push(Part::Bullets(lines));
}

/// Whom to ask, with room for the numbers.
fn whom(job: &Job, paper: &mut Paper) {
    let mut who: BTreeSet<String> =
        job.looks.iter().filter_map(|look| look.say.by.as_ref()).map(|by| by.0.clone()).collect();
    who.remove("engineer");
    paper.push(Part::Heading(2, Words::from("Whom to ask")));
    let mut blank = |label: String| paper.push(Part::Blank(Words::from(label)));
    blank("Engineer, telephone".to_owned());
    for name in who {
        let mut letters = name.chars();
        let capital: String =
            letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default();
        blank(format!("{capital}, telephone"));
    }
    blank("Emergency shut-offs (power, water, gas) are at".to_owned());
}

fn open_questions(job: &Job, paper: &mut Paper) {
    let open: Vec<Words> = job
        .asks
        .iter()
        .filter(|ask| ask.say.answered.is_none())
        .map(|ask| {
            let mut said = Words::default().strong(&ask.title);
            if let Some(before) = &ask.say.before {
                let names: Vec<&str> = before.iter().map(|step| job.name(step.value.0)).collect();
                said = said.plain(format_args!(" To be answered before: {}.", names.join(", ")));
            }
            if let Some(lead) = ask.say.lead {
                said = said.plain(format_args!(" An answer takes {}.", words::ahead(lead)));
            }
            said
        })
        .collect();
    if open.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("Questions still open")));
    paper.push(Part::Bullets(open));
}

/// What must be known of the old work before bars are set in it.
fn old_work(compiled: &Compiled, paper: &mut Paper) {
    let job = &compiled.job;
    let works = &compiled.works;
    let barred = works.sets.values().filter(|set| set.bar.is_some() && set.count > 0);
    let (concrete, other): (Vec<&Set>, Vec<&Set>) = barred.partition(|set| unlike_concrete(job, set).is_none());
    let mut lines: Vec<BoxLine> = Vec::new();
    if !concrete.is_empty() {
        lines.push(
            BoxLine::new("Is the concrete that bars are set in 21 days old or older? (ACI 318-19 17.2.2)")
                .blank("Looked at by"),
        );
        lines.push(
            BoxLine::new(format!(
                "Is it {} or warmer where and when bars are set? (default conditions of ACI 318-19 17.6.5.2.5; what is printed with the resin goes before them)",
                show::temperature(COLDEST, job.system())
            ))
            .blank("Measured"),
        );
    }
    for set in other {
        lines.push(
            BoxLine::new(format!(
                "Trial hole for {} in {}: drill one, set a bar with the same resin, pull it as the engineer tells, and write down what came of it.",
                job.name(set.id),
                unlike_concrete(job, set).unwrap_or("old work")
            ))
            .blank("Held")
            .blank("Seen by"),
        );
    }
    if lines.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("Before bars are set in old work")));
    paper.push(Part::Boxes(lines));
}

fn accepted(compiled: &Compiled, paper: &mut Paper) {
    if compiled.accepted.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("Accepted deviations")));
    let lines = compiled.accepted.iter().map(|accepted| {
        finding(compiled, &accepted.problem)
            .plain(". ")
            .strong("Accepted:")
            .plain(format_args!(" {}", accepted.accept.because))
    });
    let [errors, ..] = told(compiled);
    paper.push(Part::Findings(numbered(1 + errors.len(), lines)));
}

fn warnings(compiled: &Compiled, paper: &mut Paper) {
    let [errors, accepted, open] = told(compiled);
    if open.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("Warnings still open")));
    let lines = open.iter().map(|problem| finding(compiled, problem));
    paper.push(Part::Findings(numbered(1 + errors.len() + accepted.len(), lines)));
}

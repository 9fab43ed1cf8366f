//! The record: what was planned, what was done, the difference, and what nobody has written down yet.

mod blanks;
mod holes;
mod pours;
mod sizes;
mod steps;

use super::{Paper, Part, Words};
use crate::{compile::Compiled, plan::Days};

pub(super) use blanks::blanks;
pub(super) use holes::what;
pub(super) use sizes::{place as measured_at, what as measured};
pub(super) use steps::planned;

/// The record of a job.
#[must_use]
pub fn record(compiled: &Compiled) -> Paper<'_> {
    let title = match compiled.job.title.as_str() {
        "" => "untitled job",
        title => title,
    };
    let mut paper = Paper::new(format!("Record: {title}"));
    if compiled.has_errors() {
        paper.stamp = Some(Words::from("DRAFT: what the errors touch is left out, or wrong"));
    }
    paper.push(Part::Facts(totals(compiled)));
    findings(compiled, &mut paper);
    steps::add(compiled, &mut paper);
    holes::add(compiled, &mut paper);
    pours::add(compiled, &mut paper);
    sizes::add(compiled, &mut paper);
    blanks::add(compiled, &mut paper);
    notes(compiled, &mut paper);
    paper
}

/// How far it has come.
fn totals(compiled: &Compiled) -> Vec<(Words, Words)> {
    let (job, works) = (&compiled.job, &compiled.works);
    let facts = &works.facts;
    let of = |done: usize, all: usize| Words::from(format!("{done} of {all}"));
    let mut out = Vec::new();
    let mut fact = |label: &str, value: Words| out.push((Words::from(label), value));
    fact(
        "Recorded",
        Words::from(match facts.days {
            Some((first, last)) if first == last => format!("{first}"),
            Some((first, last)) => format!("from {first} to {last}"),
            None => "nothing yet".to_owned(),
        }),
    );
    if !job.steps.is_empty() {
        fact("Steps done", of(job.steps.iter().filter(|step| facts.done(step.id).is_some()).count(), job.steps.len()));
    }
    if !job.looks.is_empty() {
        fact(
            "Looks passed",
            of(job.looks.iter().filter(|look| facts.passed(look.id).is_some()).count(), job.looks.len()),
        );
    }
    if !job.pours.is_empty() {
        fact("Pours", of(job.pours.iter().filter(|pour| facts.pours.contains_key(&pour.id)).count(), job.pours.len()));
    }
    if let Some(ends) = works.planned_days.as_ref().or(works.days.as_ref()).and_then(Days::all_done) {
        fact("Planned to be done on", Words::from(ends.to_string()));
    }
    let now = works.days.as_ref().filter(|_| !facts.is_empty());
    if let Some(ends) = now.and_then(Days::all_done) {
        let all = job.steps.iter().all(|step| facts.done(step.id).is_some());
        fact(if all { "Done on" } else { "As it stands, done on" }, Words::from(ends.to_string()));
    }
    fact("Still blank", Words::from(blanks(compiled).len().to_string()));
    out
}

/// What the records bring up, and what was accepted of it.
fn findings(compiled: &Compiled, paper: &mut Paper) {
    let of_record = |rule: &str| crate::checks::of_records(rule);
    let open: Vec<Words> = compiled
        .problems
        .iter()
        .filter(|problem| of_record(problem.rule.name))
        .map(|problem| super::order::finding(compiled, problem))
        .collect();
    if !open.is_empty() {
        paper.push(Part::Heading(2, Words::from("To be looked at")));
        paper.push(Part::Bullets(open));
    }
    let accepted: Vec<Words> = compiled
        .accepted
        .iter()
        .filter(|accepted| of_record(accepted.problem.rule.name))
        .map(|accepted| {
            super::order::finding(compiled, &accepted.problem)
                .plain(". ")
                .strong("Accepted:")
                .plain(format_args!(" {}", accepted.accept.because))
        })
        .collect();
    if !accepted.is_empty() {
        paper.push(Part::Heading(2, Words::from("Accepted")));
        paper.push(Part::Bullets(accepted));
    }
}

fn notes(compiled: &Compiled, paper: &mut Paper) {
    let notes = &compiled.works.facts.notes;
    let job = &compiled.job;
    let mut lines: Vec<Words> = notes
        .iter()
        .map(|(day, text)| Words::default().strong(format_args!("{day}:")).plain(" ").plain(text))
        .collect();
    let said = job.notes.iter().filter_map(|note| Some((job.record(note.block)?.day?, note)));
    lines.extend(said.map(|(day, note)| {
        Words::default().strong(format_args!("{day}, {}:", note.clause)).plain(" ").plain(&note.text)
    }));
    if !lines.is_empty() {
        paper.push(Part::Heading(2, Words::from("Notes")));
        paper.push(Part::Bullets(lines));
    }
}

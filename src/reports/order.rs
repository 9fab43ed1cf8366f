//! The work order: the paper a job is built from, in the order it is used.
//!
//! Card, staying whole, buy list, what stands there and what is added, steps, hole sheet, bar list, forms, pour sheet,
//! weather and cure, hold points, as-done blanks, then the back pages.

mod back;
mod build;
mod buy;
mod card;
mod cure;
mod cuts;
mod days;
mod forms;
mod holes;
mod information;
mod inside;
mod pour;
mod site;
mod sources;
mod steel;
mod steps;
mod whole;

use std::{collections::BTreeSet, io};

use super::{FindingLine, Paper, Part, Picture, Words, print};
use crate::{
    compile::Compiled,
    drawings::{self, Flags, View},
    problem::{Level, Problem},
};

/// The work order of a job.
#[must_use]
pub fn order(compiled: &Compiled) -> Paper<'_> {
    let title = match compiled.job.title.as_str() {
        "" => "untitled job",
        title => title,
    };
    let mut paper = Paper::new(format!("Work order: {title}"));
    if compiled.has_errors() {
        paper.stamp = Some(Words::from("DRAFT: not to be built from"));
        errors(compiled, &mut paper);
    }
    card::add(compiled, &mut paper);
    whole::add(compiled, &mut paper);
    buy::add(compiled, &mut paper);
    build::add(compiled, &mut paper);
    site::add(compiled, &mut paper);
    steps::add(compiled, &mut paper);
    days::add(compiled, &mut paper);
    holes::add(compiled, &mut paper);
    steel::add(compiled, &mut paper);
    forms::add(compiled, &mut paper);
    pour::add(compiled, &mut paper);
    cure::add(compiled, &mut paper);
    steps::hold_points(compiled, &mut paper);
    back::as_done(compiled, &mut paper);
    back::add(compiled, &mut paper);
    sources::add(compiled, &mut paper);
    paper
}

/// The work order as a page that stands alone, its drawings beside the tables they belong to.
///
/// # Errors
/// The first error of `out`.
pub fn order_page(compiled: &Compiled, live: print::Live, out: &mut dyn io::Write) -> io::Result<()> {
    let mut paper = order(compiled);
    let mut left: Vec<drawings::Drawing> = drawings::all(&compiled.job, &compiled.works, &flags(compiled), &[]);
    let mut beside_them = lines(&paper)?;
    for part in &mut paper.parts {
        let Part::Findings(findings) = part else { continue };
        for one in findings {
            beside_them.insert(drawings::ids::finding(one.number));
            let flag = |drawing: &drawings::Drawing| {
                let at = drawing.flags().into_iter().find(|(number, _)| *number == one.number)?.1.to_owned();
                Some((at, drawing.title.clone()))
            };
            one.drawn = left.iter().find_map(flag);
        }
    }
    let picture = |drawing: &drawings::Drawing| picture(compiled, drawing, &beside_them);
    let mut parts = Vec::with_capacity(paper.parts.len() + left.len());
    for part in paper.parts {
        let heading = match &part {
            Part::Heading(2, words) => words.text().to_owned(),
            _ => String::new(),
        };
        parts.push(part);
        let (here, later) = left.into_iter().partition(|drawing| beside(drawing.view) == heading);
        left = later;
        let here: Vec<drawings::Drawing> = here;
        parts.extend(here.iter().map(&picture));
    }
    // A part without its heading has no table to stand beside; the picture is still wanted.
    if !left.is_empty() {
        parts.push(Part::Heading(2, Words::from("Drawings")));
        parts.extend(left.iter().map(&picture));
    }
    paper.parts = parts;
    print::page(&paper, &drawings::style(), live, out)
}

/// The heading a drawing stands under.
fn beside(view: View) -> &'static str {
    match view {
        View::Plan | View::Elevation | View::Corner => "What is added",
        View::Section | View::Form => "Forms",
        View::Bends | View::Cuts => "Bar list",
        View::Pour => "Pour sheet",
        View::Days => "Days",
    }
}

fn picture<'w>(compiled: &Compiled, drawing: &drawings::Drawing, page: &BTreeSet<String>) -> Part<'w> {
    Part::Picture(Picture {
        title: drawing.title.clone(),
        svg: drawings::svg(drawing, Some(page)),
        ids: drawing.ids().into_iter().map(str::to_owned).collect(),
        lying: drawing.lying,
        most: drawings::sheet(compiled.job.system(), drawing.lying).height.ceil() as u32,
    })
}

/// The ids of all lines of tables that tell of what is drawn.
fn lines(paper: &Paper) -> io::Result<BTreeSet<String>> {
    let mut out = BTreeSet::new();
    for table in paper.tables() {
        table.rows.each(&mut |row| {
            out.extend(row.drawn().map(drawings::ids::line));
            Ok(())
        })?;
    }
    Ok(out)
}

/// How many findings a paper shows before it only counts the rest.
const ERRORS_SHOWN: usize = 50;

/// The errors first: until they are mended nothing below may be built.
fn errors(compiled: &Compiled, paper: &mut Paper) {
    paper.push(Part::Heading(2, Words::from("To be mended in the file first")));
    paper.push(Part::Text(Words::from(
        "Nothing these findings touch is to be built from this paper: some of it is left out below, some stands as it is written.",
    )));
    let errors = compiled.problems.iter().filter(|problem| problem.rule.level == Level::Error);
    let lines: Vec<Words> = errors.map(|problem| finding(compiled, problem)).collect();
    let left = lines.len().saturating_sub(ERRORS_SHOWN);
    paper.push(Part::Findings(numbered(1, lines.into_iter().take(ERRORS_SHOWN))));
    if left > 0 {
        paper.push(Part::Text(Words::from(format!("And {left} more."))));
    }
}

/// Lines of findings, numbered from here on.
fn numbered(first: usize, lines: impl Iterator<Item = Words>) -> Vec<FindingLine> {
    (first..).zip(lines).map(|(number, words)| FindingLine { number, words, drawn: None }).collect()
}

/// The errors, acceptances and warnings a work order shows.
fn told(compiled: &Compiled) -> [Vec<&Problem>; 3] {
    let of = |level: Level| compiled.problems.iter().filter(move |problem| problem.rule.level == level);
    [
        of(Level::Error).take(ERRORS_SHOWN).collect(),
        compiled.accepted.iter().map(|accepted| &accepted.problem).collect(),
        of(Level::Warning).take(ERRORS_SHOWN).collect(),
    ]
}

/// What the drawings flag: the findings of the work order, under the numbers they have there.
#[must_use]
pub fn flags(compiled: &Compiled) -> Flags {
    let all = told(compiled).into_iter().zip(["error", "accepted", "warning"]);
    let all = all.flat_map(|(problems, word)| problems.into_iter().map(move |problem| (problem, word)));
    Flags::new(&compiled.job, &compiled.works, all)
}

/// A finding in one line: where, what, how to mend it.
pub(super) fn finding(compiled: &Compiled, problem: &crate::problem::Problem) -> Words {
    let system = compiled.job.system();
    let mut words = Words::default();
    if let Some(span) = problem.span() {
        let source = compiled.sources.get(span.source);
        let (line, _) = source.line_column(span.start);
        words = words.strong(format_args!("{}, line {line}:", source.name)).plain(" ");
    }
    words = words.plain(problem.says(system));
    if let Some(place) = &problem.place {
        words = words.plain(format_args!(" ({})", place.replace('\n', "; ")));
    }
    if let Some(help) = problem.helps(system) {
        let mut letters = help.chars();
        let first = letters.next().map(|letter| letter.to_ascii_uppercase());
        let help: String = first.into_iter().chain(letters).collect();
        words = words.plain(format_args!(". {help}"));
    }
    words
}

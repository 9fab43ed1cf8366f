//! As-done blanks, and the back pages: what was taken as usual, quantities in full, notes, sources.

use std::collections::BTreeSet;

use super::super::tally;
use crate::{
    compile::Compiled,
    concrete::USUAL_WASTE,
    holes,
    reports::{Column, Paper, Part, Row, Table, Weight, Words},
    schema::Show,
    steel::USUAL_ENDS,
    units::{Ratio, show},
};

/// What really happened, to be written down before it is forgotten.
pub(super) fn as_done(compiled: &Compiled, paper: &mut Paper) {
    paper.push(Part::Heading(2, Words::from("As done")));
    let mut blanks = vec!["Work begun on", "Work ended on"];
    if !compiled.works.sets.is_empty() {
        blanks.extend(["Holes drilled, left empty, moved (numbers)", "Resin cartridges used, and their lot"]);
    }
    if !compiled.works.mixings.is_empty() {
        blanks.extend(["Bags used", "Poured on, from, until", "Air temperature at the pour", "Forms off on"]);
    }
    blanks.push("What turned out different from this paper");
    for blank in blanks {
        paper.push(Part::Blank(Words::from(blank)));
    }
}

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    paper.push(Part::Heading(1, Words::from("Back pages")));
    usual(compiled, paper);
    paper.push(Part::Heading(2, Words::from("Quantities in full")));
    tally::quantities(compiled, paper);
    notes(compiled, paper);
    sources(compiled, paper);
}

/// Everything that was taken because nobody said otherwise.
pub(in crate::reports) fn usual_rows(compiled: &Compiled) -> Vec<(String, String, String)> {
    let job = &compiled.job;
    let works = &compiled.works;
    let system = job.system();
    let none = "no source";
    let mut rows: Vec<(String, String, String)> = Vec::new();
    let mut row = |what: String, taken: String, why: &str| rows.push((what, taken, why.to_owned()));
    if job.head.as_ref().is_none_or(|head| head.say.show.is_none()) {
        row("job: show".to_owned(), Show::Feet.word().to_owned(), "the language's own default");
    }
    for mixing in works.mixings.iter().filter(|mixing| mixing.usual_waste) {
        let taken = show::percent(Ratio::from_fraction(USUAL_WASTE)).to_string();
        row(format!("{}: waste", job.name(mixing.pour)), taken, "common practice for formed work, no source");
    }
    for fill in works.fills.iter().filter(|fill| fill.usual_waste) {
        let taken = show::percent(Ratio::from_fraction(holes::USUAL_WASTE)).to_string();
        row(format!("{}: waste", job.name(fill.resin)), taken, "common practice, no source");
    }
    for fill in works.fills.iter().filter(|fill| fill.no_bar) {
        row(
            format!("{}: filled", job.name(fill.holes)),
            "whole, no bar is set in them".to_owned(),
            "nothing is `in` them",
        );
    }
    for bars in works.bars.iter().filter(|bars| bars.usual_ends) {
        let taken = show::exact(USUAL_ENDS, system).to_string();
        row(format!("{}: ends", job.name(bars.id)), taken, "common practice for formed faces, no source");
    }
    for section in &job.sections {
        if section.say.base.is_none() {
            row(format!("{}: base", section.name), "soil".to_owned(), "the language's own default");
        }
        if section.say.side.is_none() {
            row(format!("{}: side", section.name), "form".to_owned(), "the language's own default");
        }
    }
    for holes in job.holes.iter().filter(|holes| holes.say.inset.is_none()) {
        row(format!("{}: inset", holes.name), "0".to_owned(), "the language's own default");
    }
    for bars in job.bars.iter().filter(|bars| bars.say.space.is_some() && bars.say.inset.is_none()) {
        row(format!("{}: inset", bars.name), "0".to_owned(), "the language's own default");
    }
    let square = job.walls.iter().flat_map(|wall| &wall.say.corners.0).any(|corner| corner.turning.is_none());
    let square_line = job.lines.iter().flat_map(|line| &line.say.corners.0).any(|corner| corner.turning.is_none());
    if square || square_line {
        row("corners: turning".to_owned(), "90 deg".to_owned(), "the language's own default");
    }
    for steel in job.steels.iter().filter(|steel| steel.usual) {
        let standard = steel.say.standard.as_ref().map_or(none, |standard| standard.0.as_str());
        let taken = format!(
            "{} across, {} inside of bends",
            show::exact(steel.say.diameter.0, system),
            show::exact(steel.say.bend.0, system)
        );
        row(format!("{}: from the library", steel.name), taken, standard);
    }
    for mix in job.mixes.iter().filter(|mix| mix.usual) {
        let bag = &mix.say.bag.value;
        let taken = format!("{} yields {}", show::mass(bag.weighs.0, system), show::volume(bag.yields.0, system));
        row(
            format!("{}: from the library", mix.name),
            taken,
            "published yield tables; the label on the bag goes before",
        );
    }
    rows
}

fn usual(compiled: &Compiled, paper: &mut Paper) {
    let rows = usual_rows(compiled);
    if rows.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("Taken as usual")));
    paper.push(Part::Text(Words::from(
        "What the file does not say and was taken all the same. Write it into the file to change it.",
    )));
    paper.push(Part::Table(usual_table(rows)));
}

pub(in crate::reports) fn usual_table(rows: Vec<(String, String, String)>) -> Table<'static> {
    let columns = vec![
        Column::text("what", "What"),
        Column::text("taken", "Taken"),
        Column::text("source", "Where it comes from"),
    ];
    let rows: Vec<Row> = rows
        .iter()
        .map(|(what, taken, source)| {
            Row::new(Weight::Item, |row| {
                row.text(what).text(taken).text(source);
            })
        })
        .collect();
    Table::new("usual", columns, rows)
}

/// Strings that end clauses and are printed nowhere else.
fn notes(compiled: &Compiled, paper: &mut Paper) {
    let job = &compiled.job;
    let lines: Vec<Words> = job
        .notes
        .iter()
        .filter(|note| job.step(note.block).is_none() && job.look(note.block).is_none())
        .map(|note| {
            Words::default()
                .strong(format_args!("{}, {}:", job.name(note.block), note.clause))
                .plain(" ")
                .plain(&note.text)
        })
        .collect();
    if !lines.is_empty() {
        paper.push(Part::Heading(2, Words::from("Notes in the file")));
        paper.push(Part::Bullets(lines));
    }
}

/// Where the figures come from: each source once.
fn sources(compiled: &Compiled, paper: &mut Paper) {
    let job = &compiled.job;
    let mut lines: BTreeSet<String> = BTreeSet::new();
    for steel in &job.steels {
        if let Some(standard) = &steel.say.standard {
            lines.insert(format!("Bar sizes and weights: {}", standard.0));
        }
    }
    let bends = compiled.works.bars.iter().flat_map(|bars| &bars.groups).any(|group| !group.shape.is_straight());
    if bends {
        lines.insert(
            "Least bends of bars: ACI 318-19 Table 25.3.1 (US and Canadian sizes), EN 1992-1-1 Table 8.1N (ISO sizes)"
                .to_owned(),
        );
        lines
            .insert("Cut lengths: the centre line of straights and arcs, nothing deducted by rule of thumb".to_owned());
    }
    if !compiled.works.fills.is_empty() {
        lines.insert("Resin: the ring between bore and nominal bar; no published allowance for waste".to_owned());
    }
    if !compiled.works.sets.is_empty() {
        lines.insert("What should be left behind a hole, 2 in or two bores: common practice, no source".to_owned());
    }
    lines.insert("Units: NIST Special Publication 811, Appendix B; NIST Handbook 44, Appendix C".to_owned());
    paper.push(Part::Heading(2, Words::from("Sources")));
    paper.push(Part::Bullets(lines.into_iter().map(Words::from).collect()));
}

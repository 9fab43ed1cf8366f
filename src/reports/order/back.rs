//! As-done blanks, and the back pages: what was taken as usual, quantities in full, notes.

use crate::{
    compile::Compiled,
    reports::{Paper, Part, Words, quantities},
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
    quantities::add(compiled, paper);
    super::inside::add(compiled, paper);
    super::information::add(compiled, paper);
    notes(compiled, paper);
}

fn usual(compiled: &Compiled, paper: &mut Paper) {
    let Some(table) = quantities::usual::table(compiled) else { return };
    paper.push(Part::Heading(2, Words::from("Taken as usual")));
    paper.push(Part::Text(Words::from(
        "What the file does not say and was taken all the same. Write it into the file to change it.",
    )));
    paper.push(Part::Table(table));
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

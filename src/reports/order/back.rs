//! As-done blanks, and the back pages: what was taken as usual, quantities in full, notes, sources.

use std::collections::BTreeSet;

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
    notes(compiled, paper);
    sources(compiled, paper);
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
        lines.insert(
            "Room for a drill's body, distances from what is kept clear and from cracks: common practice, no source"
                .to_owned(),
        );
        if compiled.works.sets.values().any(|set| set.bar.is_some()) {
            lines.insert(
                "Bars in drilled holes, without product data: 6 diameters to an edge (ACI 318-19 Table 17.9.2(b)) and from bar to bar (Table 17.9.2(a), from memory), 4 to 20 diameters deep (17.3.3)"
                    .to_owned(),
            );
        }
    }
    lines.insert("Units: NIST Special Publication 811, Appendix B; NIST Handbook 44, Appendix C".to_owned());
    paper.push(Part::Heading(2, Words::from("Sources")));
    paper.push(Part::Bullets(lines.into_iter().map(Words::from).collect()));
}

//! As-done blanks, and the back pages: what was taken as usual, quantities in full, notes.

use crate::{
    compile::Compiled,
    reports::{Paper, Part, Words, quantities, record},
    units::show,
};

/// What really happened, to be written down before it is forgotten; what is recorded already stands there.
pub(super) fn as_done(compiled: &Compiled, paper: &mut Paper) {
    paper.push(Part::Heading(2, Words::from("As done")));
    let known = known(compiled);
    if !known.is_empty() {
        let known = known.into_iter().map(|(label, value)| (Words::from(label), Words::from(value)));
        paper.push(Part::Facts(known.collect()));
        paper.push(Part::Text(Words::from(
            "From the records in the file; `batterboard record` prints all of them, and what is still blank.",
        )));
        paper.push(Part::Blank(Words::from("What turned out different from this paper")));
        return;
    }
    let mut blanks: Vec<Words> = ["Work begun on", "Work ended on"].map(Words::from).into();
    if !compiled.works.sets.is_empty() {
        let holes = ["Holes drilled, left empty, moved (numbers)", "Resin cartridges used, and their lot"];
        blanks.extend(holes.map(Words::from));
    }
    if !compiled.works.mixings.is_empty() {
        let pours = ["Bags used", "Poured on, from, until", "Air temperature at the pour", "Forms off on"];
        blanks.extend(pours.map(Words::from));
    }
    let poured = compiled.job.pours.iter().flat_map(|pour| &pour.say.fill).map(|section| section.value.0);
    for section in poured.filter(|section| compiled.works.sections.find(*section).is_some()) {
        blanks.push(Words::from(format!("{}: how thick, level of its top, where", compiled.job.name(section))));
    }
    blanks.push(Words::from("What turned out different from this paper"));
    for blank in blanks {
        paper.push(Part::Blank(blank));
    }
}

/// What is recorded, label and value.
fn known(compiled: &Compiled) -> Vec<(String, String)> {
    let (job, works) = (&compiled.job, &compiled.works);
    let facts = &works.facts;
    let system = job.system();
    let mut out = Vec::new();
    let Some((first, last)) = facts.days else { return out };
    out.push(("Work begun on".to_owned(), first.to_string()));
    out.push(("Last record of".to_owned(), last.to_string()));
    for set in works.sets.values() {
        let mine = works.holes_done.drilled.iter().filter(|one| one.set == set.id);
        let lines: Vec<String> =
            mine.map(|one| format!("{}: {}", one.hole.number, record::what(compiled, set, one))).collect();
        if !lines.is_empty() {
            out.push((format!("Holes of {} that are not as planned", job.name(set.id)), lines.join("; ")));
        }
    }
    for (id, used) in &facts.used {
        out.push((format!("Used of {}", job.name(*id)), used.count.to_string()));
    }
    for (id, pour) in &facts.pours {
        let mut said = vec![pour.on.day.to_string()];
        said.extend(
            pour.bags
                .map(|bags| crate::problem::count(usize::try_from(bags.value).unwrap_or(usize::MAX), "bag", "bags")),
        );
        said.extend(pour.air.map(|air| format!("air {}", show::temperature(air.value, system))));
        said.extend(pour.concrete.map(|concrete| format!("concrete {}", show::temperature(concrete.value, system))));
        out.push((format!("Poured: {}", job.name(*id)), said.join(", ")));
    }
    for mine in works.sizes.sizes.chunk_by(|one, other| one.section == other.section) {
        let lines: Vec<String> = mine
            .chunk_by(|one, other| one.number == other.number)
            .filter_map(|once| {
                let place = record::measured_at(compiled, once.first()?);
                let counts = once.iter().filter(|size| size.again.is_none());
                let said: Vec<String> = counts
                    .map(|size| format!("{} {}", record::measured(size.what), show::exact(size.measured.value, system)))
                    .collect();
                (!said.is_empty()).then(|| format!("{place}: {}", said.join(", ")))
            })
            .collect();
        if let Some(size) = mine.first() {
            out.push((format!("Measured: {}", job.name(size.section)), lines.join("; ")));
        }
    }
    out
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

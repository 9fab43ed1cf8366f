//! What changed between two versions of a job, as one would tell it to somebody who reviews the change.

mod places;
mod values;

use super::{Column, Paper, Part, Row, Table, Weight, Words};
use crate::{
    comparing::{Change, Comparison, Edit, Found, Group, State, Value, What},
    compile::Compiled,
    problem::{self, count},
    units::System,
};

pub(super) use values::{apart, shown, state, what};

/// What the two versions are called.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sides {
    /// The earlier one.
    pub before: String,
    /// The later one.
    pub after: String,
}

/// How many clauses of an edited block are told before the rest is only counted.
const CLAUSES_AT_MOST: usize = 12;

/// What changed.
#[must_use]
pub fn changes<'w>(comparison: &Comparison, sides: &Sides) -> Paper<'w> {
    let title = match comparison.after.job.title.as_str() {
        "" => "untitled job",
        title => title,
    };
    let mut paper = Paper::new(format!("What changes: {title}"));
    paper.push(Part::Text(Words::from(format!("{}, against {}.", sides.before, sides.after))));
    if comparison.is_empty() {
        paper.push(Part::Text(Words::from("Nothing that matters on site changed.")));
        return paper;
    }
    drafts(comparison, &mut paper);
    short(comparison, &mut paper);
    renamed(comparison, &mut paper);
    for group in [Group::Section, Group::Face, Group::Pour, Group::Site] {
        table(comparison, group, &mut paper);
    }
    table(comparison, Group::Holes, &mut paper);
    places::add(comparison, &mut paper);
    for group in [Group::Bars, Group::Bought, Group::Money] {
        table(comparison, group, &mut paper);
    }
    days(comparison, &mut paper);
    findings(comparison, &mut paper);
    for group in [Group::Acceptance, Group::Question] {
        table(comparison, group, &mut paper);
    }
    edits(comparison, &mut paper);
    paper
}

/// Which of the two has errors: what they touch is left out of that side.
fn drafts(comparison: &Comparison, paper: &mut Paper) {
    let says = match (comparison.before.has_errors(), comparison.after.has_errors()) {
        (false, false) => return,
        (true, false) => "The earlier version has errors: what they touch is missing there, and shows as new here.",
        (false, true) => "The later version has errors: what they touch is missing, and shows as gone here.",
        (true, true) => "Both versions have errors: what they touch is left out, and not compared.",
    };
    paper.push(Part::Caution(Words::from(says)));
}

fn short(comparison: &Comparison, paper: &mut Paper) {
    let system = comparison.after.job.system();
    let mut lines: Vec<Words> = Vec::new();
    for fact in comparison.of(Group::Whole).flat_map(|change| &change.facts) {
        let mut line = Words::new().strong(capital(values::what(fact.what))).plain(": ");
        line = line.plain(both(fact.before.as_ref(), fact.after.as_ref(), system));
        let by = apart(fact, system);
        if !by.is_empty() {
            line = line.plain(format_args!(" ({by})"));
        }
        lines.push(line);
    }
    let told = |found: &[Found], word: &str| -> Vec<String> {
        use crate::problem::Level::{Advice, Error, Warning};
        let number = |level| found.iter().filter(|found| found.rule.level == level).count();
        let all = [
            (Error, "error", "errors"),
            (Warning, "warning", "warnings"),
            (Advice, "piece of advice", "pieces of advice"),
        ];
        let some = all.into_iter().filter(|(level, ..)| number(*level) > 0);
        some.map(|(level, one, many)| format!("{} {word}", count(number(level), one, many))).collect()
    };
    let mut findings = told(&comparison.gained, "gained");
    findings.extend(told(&comparison.lost, "lost"));
    if !findings.is_empty() {
        lines.push(Words::new().strong("Findings").plain(format_args!(": {}", findings.join(", "))));
    }
    if lines.is_empty() && comparison.has_no_effect() {
        paper.push(Part::Text(Words::from(if comparison.edits.is_empty() {
            "Only names changed."
        } else {
            "No quantity, day or finding changed; what the file says otherwise stands at the end."
        })));
    }
    if !lines.is_empty() {
        paper.push(Part::Bullets(lines));
    }
}

fn renamed(comparison: &Comparison, paper: &mut Paper) {
    if comparison.renamed.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("Renamed, and else the same")));
    let line = |one: &crate::comparing::Renamed| {
        Words::from(format!("{} ", one.kind)).strong(&one.before).plain(" is now ").strong(&one.after)
    };
    paper.push(Part::Bullets(comparison.renamed.iter().map(line).collect()));
}

/// A table of what differs in a group.
fn table(comparison: &Comparison, group: Group, paper: &mut Paper) {
    let changes: Vec<&Change> = comparison.of(group).collect();
    if changes.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from(values::group(group))));
    let rows = changes.into_iter().flat_map(|change| rows(comparison, change)).collect::<Vec<Row>>();
    let columns = vec![
        Column::text("thing", "Of"),
        Column::text("what", "What"),
        Column::text("before", "Was"),
        Column::text("after", "Is"),
        Column::text("apart", "Change"),
    ];
    paper.push(Part::Table(Table::new("changes", columns, rows)));
}

fn rows(comparison: &Comparison, change: &Change) -> Vec<Row> {
    let (was, is) = (comparison.before.job.system(), comparison.after.job.system());
    let name = values::name(change);
    let one = |what: &str, before: &str, after: &str, apart: &str| {
        Row::new(Weight::Item, |row| {
            row.text(&name).text(what).text(before).text(after).text(apart);
        })
    };
    if change.state != State::Changed {
        let side = |value: &Option<Value>| value.is_some();
        let all = |system: System, pick: fn(&crate::comparing::Fact) -> Option<&Value>| {
            let facts = change.facts.iter().filter_map(|fact| {
                let shown = shown(pick(fact)?, system);
                Some(if alone(fact.what) { shown } else { format!("{} {shown}", what(fact.what)) })
            });
            facts.collect::<Vec<String>>().join("; ")
        };
        let gone = change.facts.iter().any(|fact| side(&fact.before));
        let (before, after) = if gone {
            (all(was, |fact| fact.before.as_ref()), String::new())
        } else {
            (String::new(), all(is, |fact| fact.after.as_ref()))
        };
        return vec![one(state(change.state), &before, &after, "")];
    }
    let facts = change.facts.iter();
    facts
        .map(|fact| {
            let before = fact.before.as_ref().map_or_else(|| "nothing".to_owned(), |value| shown(value, was));
            let after = fact.after.as_ref().map_or_else(|| "nothing".to_owned(), |value| shown(value, is));
            one(what(fact.what), &before, &after, &apart(fact, is))
        })
        .collect()
}

/// Whether a value needs no word before it.
fn alone(what: What) -> bool {
    matches!(what, What::Asks | What::Shapes | What::Lengths | What::Amount)
}

/// Steps that move to another day, come or go; the order of work.
fn days(comparison: &Comparison, paper: &mut Paper) {
    let day = |value: &Option<Value>| match value {
        Some(Value::When(day, _)) => Some(*day),
        _ => None,
    };
    let moves = |change: &&Change| {
        change.state != State::Changed
            || change.facts.iter().any(|fact| fact.what == What::People || day(&fact.before) != day(&fact.after))
    };
    let (told, within): (Vec<&Change>, Vec<&Change>) = comparison.of(Group::Step).partition(moves);
    if told.is_empty() && within.is_empty() && comparison.order.is_none() {
        return;
    }
    paper.push(Part::Heading(2, Words::from(values::group(Group::Step))));
    if let Some([before, after]) = &comparison.order {
        paper.push(Part::Text(Words::from(format!(
            "The order of work is another: it was {}; it is {}.",
            before.join(", "),
            after.join(", ")
        ))));
    }
    if !told.is_empty() {
        let columns = vec![
            Column::text("step", "Step"),
            Column::text("before", "Was"),
            Column::text("after", "Is"),
            Column::text("apart", "Change"),
        ];
        let rows: Vec<Row> = told.iter().map(|change| step(comparison, change)).collect();
        paper.push(Part::Table(Table::new("days", columns, rows)));
    }
    if !within.is_empty() {
        let all = count(within.len(), "step keeps its day and moves", "steps keep their day and move");
        paper.push(Part::Text(Words::from(format!("{all} by hours only."))));
    }
}

fn step(comparison: &Comparison, change: &Change) -> Row {
    let fact = |what| change.facts.iter().find(|fact| fact.what == what);
    let begins = fact(What::Begins).or_else(|| fact(What::Ends));
    let (was, is) = (comparison.before.job.system(), comparison.after.job.system());
    let end = if fact(What::Begins).is_none() && begins.is_some() { "ends " } else { "" };
    let shown = |value: Option<&Value>, system| value.map(|value| format!("{end}{}", shown(value, system)));
    let before = begins.and_then(|fact| shown(fact.before.as_ref(), was));
    let after = begins.and_then(|fact| shown(fact.after.as_ref(), is));
    let mut by = match change.state {
        State::Changed => begins.map_or_else(String::new, |fact| apart(fact, is)),
        other => state(other).to_owned(),
    };
    if let Some(people) = fact(What::People).filter(|_| change.state == State::Changed) {
        let both = both(people.before.as_ref(), people.after.as_ref(), is);
        by = [by, format!("people: {both}")].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("; ");
    }
    Row::new(Weight::Item, |row| {
        row.text(titled(comparison, &change.name))
            .text(before.unwrap_or_default())
            .text(after.unwrap_or_default())
            .text(by);
    })
}

/// A step by its title, its name behind it.
fn titled(comparison: &Comparison, name: &str) -> String {
    let title = |compiled: &Compiled| {
        let job = &compiled.job;
        let steps = job.steps.iter().map(|step| (&step.name, &step.title));
        let looks = job.looks.iter().map(|look| (&look.name, &look.title));
        let waits = job.waits.iter().map(|wait| (&wait.name, &wait.title));
        steps.chain(looks).chain(waits).find(|(of, _)| *of == name).map(|(_, title)| title.clone())
    };
    let title = title(comparison.after).or_else(|| title(comparison.before)).filter(|title| !title.is_empty());
    title.map_or_else(|| name.to_owned(), |title| format!("{title} ({name})"))
}

fn findings(comparison: &Comparison, paper: &mut Paper) {
    if comparison.gained.is_empty() && comparison.lost.is_empty() && comparison.reworded.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("Findings")));
    let mut lines = Vec::new();
    lines.extend(comparison.gained.iter().map(|found| finding("gained", found, true)));
    lines.extend(comparison.lost.iter().map(|found| finding("lost", found, false)));
    for one in &comparison.reworded {
        let before = &one.before.says;
        let line = finding("otherwise", &one.after, true);
        lines.push(if *before == one.after.says { line } else { line.plain(format_args!("; it was: {before}")) });
    }
    paper.push(Part::Bullets(lines));
}

fn finding(word: &str, found: &Found, now: bool) -> Words {
    let mut line = Words::new().strong(format_args!("{word}, {} {}", found.rule.level.word(), found.rule.name));
    line = line.plain(format_args!(": {}", found.says));
    if let Some(place) = &found.place {
        line = line.plain(format_args!(" ({place})"));
    }
    match &found.at {
        Some((file, number)) if now => line.plain(format_args!(", at line {number} of {file}")),
        _ => line,
    }
}

/// What was edited, in the words of the file.
fn edits(comparison: &Comparison, paper: &mut Paper) {
    if comparison.edits.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("What the file says otherwise")));
    paper.push(Part::Bullets(comparison.edits.iter().map(edit).collect()));
}

fn edit(edit: &Edit) -> Words {
    let name = [edit.kind.as_str(), edit.name.as_str()];
    let name = name.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" ");
    let line = Words::new().strong(name);
    if edit.reordered {
        return line.plain(": the same in another order");
    }
    let said = |all: &[String]| {
        let mut said: Vec<&str> = all.iter().take(CLAUSES_AT_MOST).map(String::as_str).collect();
        let more = format!("and {} more", all.len().saturating_sub(CLAUSES_AT_MOST));
        if all.len() > CLAUSES_AT_MOST {
            said.push(&more);
        }
        problem::and(&said).replace(" and `and ", ", `and ")
    };
    match (edit.state, edit.gone.is_empty(), edit.added.is_empty()) {
        (State::Added, _, true) => line.plain(": new"),
        (State::Gone, true, _) => line.plain(": gone"),
        (State::Added, ..) => line.plain(format_args!(": new, {}", said(&edit.added))),
        (State::Gone, ..) => line.plain(format_args!(": gone, it said {}", said(&edit.gone))),
        (State::Changed, true, _) => line.plain(format_args!(": says {} too", said(&edit.added))),
        (State::Changed, _, true) => line.plain(format_args!(": says {} no more", said(&edit.gone))),
        (State::Changed, false, false) => {
            line.plain(format_args!(": {} in place of {}", said(&edit.added), said(&edit.gone)))
        }
    }
}

/// "24 to 33"; one side alone as new or gone.
fn both(before: Option<&Value>, after: Option<&Value>, system: System) -> String {
    match (before, after) {
        (Some(before), Some(after)) => format!("{} → {}", shown(before, system), shown(after, system)),
        (None, Some(after)) => format!("{}, none before", shown(after, system)),
        (Some(before), None) => format!("none, {} before", shown(before, system)),
        (None, None) => String::new(),
    }
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map(|letter| letter.to_ascii_uppercase()).into_iter().chain(letters).collect()
}

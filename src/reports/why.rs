//! How a number came about: its formula, what it was made from down to what was typed, and where the rules come from.
//! A person with a calculator can follow it.

use std::collections::BTreeMap;

use super::{
    Column, Paper, Part, Rows, Table, Words,
    figures::{self, Letter},
    quantities::usual::MIX_SOURCE,
};
use crate::{
    compile::Compiled,
    ledger::{Entry, Figure, Input, Origin},
    schema::KindId,
    source::Span,
};

/// The numbers of a job: name, value, formula.
#[must_use]
pub fn numbers(compiled: &Compiled) -> Paper<'_> {
    let mut paper = Paper::new(format!("Worked numbers: {}", title(compiled)));
    stamp(compiled, &mut paper);
    let entries = compiled.works.ledger.entries();
    if entries.is_empty() {
        paper.push(Part::Text(Words::from("Nothing in this job is worked out.")));
        return paper;
    }
    let system = compiled.job.system();
    let columns =
        vec![Column::text("name", "Name"), Column::text("value", "Value"), Column::text("formula", "Formula")];
    let rows = Rows::formula(move |lines| {
        entries.iter().try_for_each(|entry| {
            lines.item(|row| {
                row.text(&entry.name).text(figures::shown(entry.value, system)).text(entry.formula);
            })
        })
    });
    paper.push(Part::Table(Table::new("numbers", columns, rows)));
    paper
}

/// How the number of this name came about; none if the job has no such number.
#[must_use]
pub fn why<'w>(compiled: &'w Compiled, name: &str) -> Option<Paper<'w>> {
    let ledger = &compiled.works.ledger;
    let tree = ledger.tree(ledger.id(name)?);
    let system = compiled.job.system();
    let mut paper = Paper::new(format!("Why {name} is {}", figures::shown(tree.first()?.value, system)));
    stamp(compiled, &mut paper);
    paper.push(Part::Text(Words::from(title(compiled))));
    let places: BTreeMap<&str, usize> = tree.iter().enumerate().map(|(at, entry)| (entry.name.as_str(), at)).collect();
    let behind = behind(compiled);
    for (at, entry) in tree.iter().enumerate() {
        paper.push(Part::Heading(2, Words::from(format!("{}: {}", entry.name, figures::both(entry.value, system)))));
        let mut facts = vec![(Words::from("Formula"), Words::from(entry.formula))];
        if let Some(text) = arithmetic(compiled, entry) {
            facts.push((Words::from("Here"), Words::from(text)));
        }
        if !entry.source.is_empty() {
            facts.push((Words::from("Source"), Words::from(entry.source)));
        }
        paper.push(Part::Facts(facts));
        let inputs = entry.inputs.iter().filter_map(|input| {
            let words = Words::new().strong(input.symbol).plain(": ");
            Some(match input.from {
                Origin::Worked(id) => {
                    let made = ledger.get(id)?;
                    let is_below = places.get(made.name.as_str()).is_some_and(|place| *place > at);
                    let shown = figures::both(made.value, system);
                    words.plain(format_args!("{shown}, {} {}", made.name, if is_below { "below" } else { "above" }))
                }
                Origin::Typed(span, value) => words + typed(compiled, span, value, behind.get(&span)),
                Origin::Usual(usual) => words.plain(format_args!(
                    "{}, taken as usual where {} is not written: {}",
                    figures::both(usual.value, system),
                    usual.clause,
                    usual.source
                )),
                Origin::Given(value, why) => words.plain(format_args!("{}, {why}", figures::both(value, system))),
            })
        });
        paper.push(Part::Bullets(inputs.collect()));
    }
    Some(paper)
}

fn title(compiled: &Compiled) -> &str {
    match compiled.job.title.as_str() {
        "" => "untitled job",
        title => title,
    }
}

fn stamp(compiled: &Compiled, paper: &mut Paper) {
    if compiled.has_errors() {
        paper.stamp = Some(Words::from("DRAFT: what the errors touch is left out, or wrong"));
    }
}

/// What was typed: its value, where it stands, the words themselves, and what stands behind it.
fn typed(compiled: &Compiled, span: Span, value: Option<Figure>, behind: Option<&&str>) -> Words {
    let mut words = Words::new();
    if let Some(value) = value {
        words = words.plain(format_args!("{}, ", figures::both(value, compiled.job.system())));
    }
    let source = compiled.sources.get(span.source);
    let (line, _) = source.line_column(span.start);
    words = words.plain(format_args!("{}:{line} says {}", source.name, compiled.sources.text(span)));
    match behind {
        Some(behind) => words.plain(format_args!(" ({behind})")),
        None => words,
    }
}

/// The sources that stand behind typed values: the standard of a bar size, and what the library's mixes rest on.
pub(super) fn behind(compiled: &Compiled) -> BTreeMap<Span, &str> {
    let job = &compiled.job;
    let mut out = BTreeMap::new();
    for steel in &job.steels {
        let Some(standard) = &steel.say.standard else { continue };
        for clause in ["diameter", "weight"] {
            out.insert(steel.said(KindId::Steel, clause), standard.0.as_str());
        }
    }
    for mix in job.mixes.iter().filter(|mix| mix.usual) {
        out.insert(mix.said(KindId::Mix, "bag"), MIX_SOURCE);
    }
    out
}

/// The formula of a number with values for its letters, and what it comes to; none where it is not arithmetic.
pub(super) fn arithmetic(compiled: &Compiled, entry: &Entry) -> Option<String> {
    let is_sum = entry.formula.contains("sum of");
    if !is_sum && !entry.formula.contains(['+', '*', '/', '^']) && !entry.formula.contains(" - ") {
        return None;
    }
    let system = compiled.job.system();
    let value = |input: &Input| match input.from {
        Origin::Worked(id) => compiled.works.ledger.get(id).map(|made| made.value),
        Origin::Typed(_, value) => value,
        Origin::Usual(usual) => Some(usual.value),
        Origin::Given(value, _) => Some(value),
    };
    let letters: Vec<Letter> =
        entry.inputs.iter().filter_map(|input| Some(Letter { symbol: input.symbol, value: value(input)? })).collect();
    // What is multiplied of lengths is shown in their own square and cubic units, so that nothing need be converted; so is
    // what comes of an area and a length, and a sum of small areas.
    let has_length = letters.iter().any(|letter| matches!(letter.value, Figure::Length(_)));
    let has_area = letters.iter().any(|letter| matches!(letter.value, Figure::Area(_)));
    let of_lengths = match entry.value {
        Figure::Area(area) => has_length || figures::is_small(area),
        Figure::Volume(_) => has_length,
        Figure::Ratio(_) | Figure::Length(_) => has_area,
        _ => false,
    };
    let full = |figure| figures::full(figure, system);
    let digits = |figure| if of_lengths { figures::of_lengths(figure, system) } else { full(figure) };
    let filled = figures::filled_in(entry.formula, &letters, &digits)?;
    let result = full(entry.value);
    Some(match figures::before_rounding(entry.value) {
        Some(before) if before != result => {
            let is_less = matches!(entry.value, Figure::Whole { count, of } if (count as f64) < of);
            format!("{filled} = {before}, {} to {result}", if is_less { "down" } else { "up" })
        }
        _ if of_lengths && digits(entry.value) != result => format!("{filled} = {} = {result}", digits(entry.value)),
        _ => format!("{filled} = {result}"),
    })
}

//! The worked numbers: of the tally all, of `why` one and what it is made from.

use std::io::{self, Write};

use schemars::JsonSchema;
use serde::Serialize;

use super::{SCHEMA_VERSION, Spot, rounded, spot, title, write};
use crate::{
    compile::Compiled,
    ledger::{Entry, Figure, Origin},
    reports::{figures, why::arithmetic},
};

#[derive(Serialize, JsonSchema)]
pub(super) struct WhyFile<'c> {
    schema_version: u32,
    jobs: Vec<JobWhy<'c>>,
}

#[derive(Serialize, JsonSchema)]
struct JobWhy<'c> {
    file: &'c str,
    title: &'c str,
    /// Something is left out because of errors.
    draft: bool,
    /// The number that was asked for; without it all are listed.
    #[serde(skip_serializing_if = "Option::is_none")]
    number: Option<&'c str>,
    numbers: Vec<Number<'c>>,
}

/// A worked number: its formula and what it was made from.
#[derive(Serialize, JsonSchema)]
pub(super) struct Number<'c> {
    name: &'c str,
    shown: String,
    /// In the contract's units; counts and parts have no unit.
    value: f64,
    #[serde(skip_serializing_if = "str::is_empty")]
    unit: &'static str,
    /// What a count was rounded up or down from.
    #[serde(skip_serializing_if = "Option::is_none")]
    rounded_from: Option<f64>,
    formula: &'static str,
    /// The formula with its letters replaced by their values.
    #[serde(skip_serializing_if = "Option::is_none")]
    arithmetic: Option<String>,
    #[serde(skip_serializing_if = "str::is_empty")]
    source: &'static str,
    inputs: Vec<NumberInput<'c>>,
}

#[derive(Serialize, JsonSchema)]
struct NumberInput<'c> {
    symbol: &'static str,
    #[serde(flatten)]
    from: NumberOrigin<'c>,
}

#[derive(Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
enum NumberOrigin<'c> {
    Worked(&'c str),
    Typed {
        at: Spot,
        text: &'c str,
        #[serde(flatten)]
        value: Option<Value>,
    },
    Usual {
        clause: &'static str,
        #[serde(flatten)]
        value: Value,
        source: &'static str,
    },
    Given {
        #[serde(flatten)]
        value: Value,
        why: &'static str,
    },
}

#[derive(Serialize, JsonSchema)]
pub(super) struct Value {
    pub(super) shown: String,
    pub(super) value: f64,
    #[serde(skip_serializing_if = "str::is_empty")]
    pub(super) unit: &'static str,
}

/// Writes a worked number of each job with all that it is made from, or all numbers if none is named. A job that has no
/// such number has an empty list.
///
/// # Errors
/// When `out` does.
pub fn why(jobs: &[(&str, &Compiled)], number: Option<&str>, out: &mut dyn Write) -> io::Result<()> {
    let jobs = jobs.iter().map(|(file, compiled)| job(file, compiled, number)).collect();
    write(&WhyFile { schema_version: SCHEMA_VERSION, jobs }, out)
}

/// A worked number of one job, as a part of a text of many.
///
/// # Errors
/// When it cannot be put into JSON.
pub fn why_part(file: &str, compiled: &Compiled, number: Option<&str>) -> io::Result<Vec<u8>> {
    Ok(serde_json::to_vec_pretty(&job(file, compiled, number))?)
}

fn job<'c>(file: &'c str, compiled: &'c Compiled, number: Option<&'c str>) -> JobWhy<'c> {
    let ledger = &compiled.works.ledger;
    let entries: Vec<&Entry> = match number {
        None => ledger.entries().iter().collect(),
        Some(name) => ledger.id(name).map(|root| ledger.tree(root)).unwrap_or_default(),
    };
    JobWhy {
        file,
        title: title(compiled),
        draft: compiled.has_errors(),
        number,
        numbers: entries.into_iter().map(|entry| of(compiled, entry)).collect(),
    }
}

/// All worked numbers of a job.
pub(super) fn all(compiled: &Compiled) -> Vec<Number<'_>> {
    compiled.works.ledger.entries().iter().map(|entry| of(compiled, entry)).collect()
}

fn of<'c>(compiled: &'c Compiled, entry: &'c Entry) -> Number<'c> {
    let system = compiled.job.system();
    let (amount, unit) = figures::plain(entry.value);
    let value = |figure: Figure| {
        let (value, unit) = figures::plain(figure);
        Value { shown: figures::shown(figure, system), value, unit }
    };
    let origin = |from: Origin| {
        Some(match from {
            Origin::Worked(id) => NumberOrigin::Worked(&compiled.works.ledger.get(id)?.name),
            Origin::Typed(span, figure) => NumberOrigin::Typed {
                at: spot(&compiled.sources, span, String::new()),
                text: compiled.sources.text(span),
                value: figure.map(value),
            },
            Origin::Usual(usual) => {
                NumberOrigin::Usual { clause: usual.clause, value: value(usual.value), source: usual.source }
            }
            Origin::Given(figure, why) => NumberOrigin::Given { value: value(figure), why },
        })
    };
    Number {
        name: &entry.name,
        shown: figures::shown(entry.value, system),
        value: amount,
        unit,
        rounded_from: match entry.value {
            Figure::Whole { of, .. } => Some(rounded(of, 12)),
            _ => None,
        },
        formula: entry.formula,
        arithmetic: arithmetic(compiled, entry),
        source: entry.source,
        inputs: entry
            .inputs
            .iter()
            .filter_map(|input| Some(NumberInput { symbol: input.symbol, from: origin(input.from)? }))
            .collect(),
    }
}

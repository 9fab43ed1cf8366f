//! What changed between two versions of a job.

use std::io::{self, Write};

use schemars::JsonSchema;
use serde::Serialize;

use super::{Measure, SCHEMA_VERSION, Units, write};
use crate::{
    comparing::{Apart, Change, Comparison, Drilled, Fact, Found, Group, Places, Value},
    holes::Level,
    ledger::Figure,
    reports::{
        changes::{self, Sides},
        figures,
    },
    units::System,
};

#[derive(Serialize, JsonSchema)]
pub(super) struct ChangesFile<'c> {
    schema_version: u32,
    before: &'c str,
    after: &'c str,
    title: &'c str,
    /// Nothing that matters on site changed.
    alike: bool,
    /// Something is left out of a version because of errors.
    drafts: Drafts,
    renamed: Vec<Rename<'c>>,
    changes: Vec<ChangeTally<'c>>,
    holes: Vec<PlacesTally<'c>>,
    /// The order of work of what both have, where it is another.
    #[serde(skip_serializing_if = "Option::is_none")]
    order: Option<Order<'c>>,
    findings_gained: Vec<FoundTally<'c>>,
    findings_lost: Vec<FoundTally<'c>>,
    findings_reworded: Vec<RewordedTally<'c>>,
    edits: Vec<EditTally<'c>>,
}

#[derive(Serialize, JsonSchema)]
struct Drafts {
    before: bool,
    after: bool,
}

#[derive(Serialize, JsonSchema)]
struct Rename<'c> {
    kind: &'c str,
    before: &'c str,
    after: &'c str,
}

/// A thing that differs.
#[derive(Serialize, JsonSchema)]
struct ChangeTally<'c> {
    /// `whole`, `section`, `face`, `pour`, `site`, `holes`, `bars`, `bought`, `money`, `step`, `acceptance`, `question`.
    group: &'static str,
    /// Its name; empty for the job as a whole.
    name: &'c str,
    /// `new`, `gone` or `changed`.
    state: &'static str,
    values: Vec<FactTally>,
}

#[derive(Serialize, JsonSchema)]
struct FactTally {
    what: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    before: Option<ValueTally>,
    #[serde(skip_serializing_if = "Option::is_none")]
    after: Option<ValueTally>,
    /// How far on the later one is, in the unit of the two; of days in seconds.
    #[serde(skip_serializing_if = "Option::is_none")]
    apart: Option<f64>,
}

/// As it is shown; as a plain number, where it is one, in the contract's units.
#[derive(Serialize, JsonSchema)]
struct ValueTally {
    shown: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    value: Option<f64>,
    #[serde(skip_serializing_if = "str::is_empty")]
    unit: &'static str,
}

/// What became of the holes of a set.
#[derive(Serialize, JsonSchema)]
struct PlacesTally<'c> {
    set: &'c str,
    added: Vec<DrilledTally<'c>>,
    gone: Vec<DrilledTally<'c>>,
    moved: Vec<MovedTally<'c>>,
    renumbered: Vec<NumbersTally>,
}

#[derive(Serialize, JsonSchema)]
struct DrilledTally<'c> {
    leg: &'c str,
    #[serde(flatten)]
    row: RowAt,
    first_number: u64,
    last_number: u64,
    first: Measure,
    last: Measure,
}

#[derive(Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
enum RowAt {
    Level(Measure),
    Offset(Measure),
}

#[derive(Serialize, JsonSchema)]
struct MovedTally<'c> {
    leg: &'c str,
    from: RowAt,
    to: RowAt,
    #[serde(flatten)]
    numbers: NumbersTally,
    farthest: Measure,
}

/// The first and the last number before and after.
#[derive(Serialize, JsonSchema)]
struct NumbersTally {
    before: [u64; 2],
    after: [u64; 2],
}

#[derive(Serialize, JsonSchema)]
struct Order<'c> {
    before: &'c [String],
    after: &'c [String],
}

#[derive(Serialize, JsonSchema)]
struct FoundTally<'c> {
    rule: &'static str,
    level: &'static str,
    message: &'c str,
    #[serde(skip_serializing_if = "Option::is_none")]
    thing: Option<&'c str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<&'c str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    file: Option<&'c str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    line: Option<u32>,
}

#[derive(Serialize, JsonSchema)]
struct RewordedTally<'c> {
    before: FoundTally<'c>,
    after: FoundTally<'c>,
}

/// A block that says something else, in the words of the file.
#[derive(Serialize, JsonSchema)]
struct EditTally<'c> {
    kind: &'c str,
    name: &'c str,
    state: &'static str,
    gone: &'c [String],
    added: &'c [String],
    reordered: bool,
}

/// Writes what changed.
///
/// # Errors
/// When `out` does.
pub fn changes(comparison: &Comparison, sides: &Sides, out: &mut dyn Write) -> io::Result<()> {
    let file = ChangesFile {
        schema_version: SCHEMA_VERSION,
        before: &sides.before,
        after: &sides.after,
        title: super::title(comparison.after),
        alike: comparison.is_empty(),
        drafts: Drafts { before: comparison.before.has_errors(), after: comparison.after.has_errors() },
        renamed: comparison
            .renamed
            .iter()
            .map(|one| Rename { kind: &one.kind, before: &one.before, after: &one.after })
            .collect(),
        changes: comparison.changes.iter().map(|change| of(comparison, change)).collect(),
        holes: comparison.places.iter().map(|set| places(set, Units(comparison.after.job.system()))).collect(),
        order: comparison.order.as_ref().map(|[before, after]| Order { before, after }),
        findings_gained: comparison.gained.iter().map(found).collect(),
        findings_lost: comparison.lost.iter().map(found).collect(),
        findings_reworded: comparison
            .reworded
            .iter()
            .map(|one| RewordedTally { before: found(&one.before), after: found(&one.after) })
            .collect(),
        edits: comparison
            .edits
            .iter()
            .map(|edit| EditTally {
                kind: &edit.kind,
                name: &edit.name,
                state: changes::state(edit.state),
                gone: &edit.gone,
                added: &edit.added,
                reordered: edit.reordered,
            })
            .collect(),
    };
    write(&file, out)
}

fn group(group: Group) -> &'static str {
    match group {
        Group::Whole => "whole",
        Group::Section => "section",
        Group::Face => "face",
        Group::Pour => "pour",
        Group::Site => "site",
        Group::Holes => "holes",
        Group::Bars => "bars",
        Group::Bought => "bought",
        Group::Money => "money",
        Group::Step => "step",
        Group::Acceptance => "acceptance",
        Group::Question => "question",
    }
}

fn of<'c>(comparison: &Comparison, change: &'c Change) -> ChangeTally<'c> {
    let (was, is) = (comparison.before.job.system(), comparison.after.job.system());
    let fact = |fact: &Fact| FactTally {
        what: changes::what(fact.what),
        before: fact.before.as_ref().map(|value| tally(value, was)),
        after: fact.after.as_ref().map(|value| tally(value, is)),
        apart: fact.apart().map(apart),
    };
    ChangeTally {
        group: group(change.group),
        name: &change.name,
        state: changes::state(change.state),
        values: change.facts.iter().map(fact).collect(),
    }
}

fn tally(value: &Value, system: System) -> ValueTally {
    let figure = match value {
        Value::Count(count) => Some(Figure::Count(*count)),
        Value::Length(length) | Value::Place(length) => Some(Figure::Length(*length)),
        Value::Cut(length) => Some(Figure::Cut(*length)),
        Value::Area(area) => Some(Figure::Area(*area)),
        Value::Volume(volume) => Some(Figure::Volume(*volume)),
        Value::Fluid(volume) => Some(Figure::Fluid(*volume)),
        Value::Mass(mass) => Some(Figure::Mass(*mass)),
        Value::Time(time) => Some(Figure::Duration(*time)),
        Value::Ratio(ratio) => Some(Figure::Ratio(*ratio)),
        Value::Money(_) | Value::When(..) | Value::Text(_) | Value::Shapes(_) | Value::Lengths(_) => None,
    };
    let (number, unit) = match (figure, value) {
        (Some(figure), _) => {
            let (number, unit) = figures::plain(figure);
            (Some(number), unit)
        }
        (None, Value::Money(money)) => (Some(money.amount.to_f64()), money.currency.code()),
        _ => (None, ""),
    };
    ValueTally { shown: changes::shown(value, system), value: number, unit }
}

fn apart(apart: Apart) -> f64 {
    match apart {
        Apart::Count(by) | Apart::Later(by) => by as f64,
        Apart::More(by) => figures::plain(by).0,
        Apart::Less(by) => -figures::plain(by).0,
        Apart::Money(by) => by.amount.to_f64(),
    }
}

fn places(places: &Places, units: Units) -> PlacesTally<'_> {
    let row = |level: Level| match level {
        Level::Height(level) => RowAt::Level(units.place(level)),
        Level::Offset(offset) => RowAt::Offset(units.place(offset)),
    };
    PlacesTally {
        set: &places.set,
        added: places.added.iter().map(|run| drilled(run, row(run.level), units)).collect(),
        gone: places.gone.iter().map(|run| drilled(run, row(run.level), units)).collect(),
        moved: places
            .moved
            .iter()
            .map(|run| MovedTally {
                leg: &run.leg,
                from: row(run.level.0),
                to: row(run.level.1),
                numbers: NumbersTally { before: run.before.into(), after: run.after.into() },
                farthest: units.length(run.farthest),
            })
            .collect(),
        renumbered: places
            .renumbered
            .iter()
            .map(|run| NumbersTally { before: run.before.into(), after: run.after.into() })
            .collect(),
    }
}

fn drilled(run: &Drilled, row: RowAt, units: Units) -> DrilledTally<'_> {
    let (first, last) = (units.place(run.stations.0), units.place(run.stations.1));
    DrilledTally { leg: &run.leg, row, first_number: run.numbers.0, last_number: run.numbers.1, first, last }
}

fn found(found: &Found) -> FoundTally<'_> {
    FoundTally {
        rule: found.rule.name,
        level: found.rule.level.word(),
        message: &found.says,
        thing: found.thing.as_deref(),
        place: found.place.as_deref(),
        file: found.at.as_ref().map(|(file, _)| file.as_str()),
        line: found.at.as_ref().map(|(_, line)| *line),
    }
}

//! The worked numbers of the steel in sections.

use super::ratio::{CutAt, Gap, Gross, Least, SteelIn, times};
use crate::{
    job::{Job, Thing},
    ledger::{Entry, Figure, Input, Ledger},
    schema::{KindId, Section},
    units::Area,
};

/// Enters `SECTION.steel.lengthwise`, `.upright` or `.across`, and under each `bars`, `spacing`, and where a rule asks
/// `asked` and `widest`.
pub fn enter_steel(job: &Job, all: &[SteelIn], ledger: &mut Ledger) {
    if !ledger.is_on() {
        return;
    }
    for steel in all {
        let Some(section) = job.section(steel.section) else { continue };
        let name = number_name(job, steel);
        bars(job, section, &name, &steel.least, ledger);
        ratio(job, section, &name, &steel.least, ledger);
        if let Some(gap) = &steel.widest {
            spacing(job, &name, gap, ledger);
        }
        let Some(asked) = &steel.asked else { continue };
        let said = Input::typed("steel", section.said(KindId::Section, "steel"));
        let (rule, apart) = (&asked.ratio, &asked.apart);
        ledger.enter(|| Entry {
            name: format!("{name}.asked"),
            value: Figure::Ratio(rule.value),
            formula: rule.formula,
            source: rule.source,
            inputs: rule.inputs().chain([said]).collect(),
        });
        ledger.enter(|| Entry {
            name: format!("{name}.widest"),
            value: Figure::Length(apart.value),
            formula: apart.formula,
            source: apart.source,
            inputs: apart.inputs().chain([said]).collect(),
        });
    }
}

/// How the names of its numbers begin: `low.steel.upright`.
#[must_use]
pub fn number_name(job: &Job, steel: &SteelIn) -> String {
    format!("{}.steel.{}", job.name(steel.section), steel.axis.word())
}

fn bars(job: &Job, section: &Thing<Section>, name: &str, least: &Least, ledger: &mut Ledger) {
    let mut inputs: Vec<Input> = Vec::new();
    for (id, _, count) in &least.bars {
        let Some(bars) = job.bars_of(*id) else { continue };
        let lies = ["rows", "space", "in"].into_iter().map(|clause| bars.said(KindId::Bars, clause));
        let at = lies.into_iter().find(|at| *at != bars.at).unwrap_or(bars.at);
        inputs.push(Input::said("part", at, Figure::Count(*count)));
    }
    let formula = match inputs.len() {
        0 | 1 => "bars the cut through the least steel goes through, lapped pieces once",
        _ => "sum of the parts, bars the cut through the least steel goes through, lapped pieces once",
    };
    inputs.push(cut(&least.at));
    inputs.push(Input::typed("section", section.said(KindId::Section, "along")));
    ledger.enter(|| Entry {
        name: format!("{name}.bars"),
        value: Figure::Count(least.count()),
        formula,
        source: "",
        inputs,
    });
}

fn cut(at: &CutAt) -> Input {
    let (figure, why) = match at {
        CutAt::Station(_, at) => (*at, "station of that cut, across the leg"),
        CutAt::Level(_, at) => (*at, "level of that cut"),
        CutAt::Offset(_, at) => (*at, "of that cut, out from the face"),
    };
    Input::given("place", Figure::Length(figure), why)
}

fn ratio(job: &Job, section: &Thing<Section>, name: &str, least: &Least, ledger: &mut Ledger) {
    let at = |clause| section.said(KindId::Section, clause);
    let thick = if section.say.offset.is_some() { at("offset") } else { at("thick") };
    let (formulas, mut inputs) = match least.gross {
        Gross::Across(width, height) => (
            ("bars * area / (width * height)", "steel / (width * height)"),
            vec![
                Input::said("width", thick, Figure::Length(width)),
                Input::said("height", at("height"), Figure::Length(height)),
            ],
        ),
        Gross::Level(plan) => (("bars * area / plan", "steel / plan"), vec![plan_input(section, plan, ledger)]),
        Gross::Along(plan, height, width) => (
            ("bars * area / (plan * height / width)", "steel / (plan * height / width)"),
            vec![
                plan_input(section, plan, ledger),
                Input::said("height", at("height"), Figure::Length(height)),
                Input::said("width", thick, Figure::Length(width)),
            ],
        ),
    };
    let formula = match least.bars.as_slice() {
        [] => {
            inputs.push(Input::given("steel", Figure::Area(Area::ZERO), "no bar runs this way there"));
            formulas.1
        }
        [(_, steel, _), others @ ..] if others.iter().all(|(_, other, _)| other.id == steel.id) => {
            inputs.extend(ledger.number("bars", &format!("{name}.bars")));
            inputs.push(match job.steel(steel.id) {
                Some(thing) => Input::said("area", thing.said(KindId::Steel, "area"), Figure::Area(steel.area)),
                None => Input::given("area", Figure::Area(steel.area), "tabulated area of one bar"),
            });
            formulas.0
        }
        several => {
            let why = "tabulated area of the bars of one block";
            let parts = several
                .iter()
                .map(|(_, steel, count)| Input::given("part", Figure::Area(times(steel.area, *count)), why));
            let inputs_of_area = parts.chain(ledger.number("bars", &format!("{name}.bars"))).collect();
            let id = ledger.enter(|| Entry {
                name: format!("{name}.area"),
                value: Figure::Area(least.steel()),
                formula: "sum of the parts",
                source: "",
                inputs: inputs_of_area,
            });
            inputs.extend(Input::worked("steel", id));
            formulas.1
        }
    };
    let value = Figure::Ratio(least.ratio());
    ledger.enter(|| Entry { name: name.to_owned(), value, formula, source: "", inputs });
}

/// The plan of a section, or of one of its parts.
fn plan_input(section: &Thing<Section>, plan: Area, ledger: &Ledger) -> Input {
    let name = format!("{}.plan", section.name);
    match ledger.find(&name).map(|entry| entry.value) {
        Some(Figure::Area(whole)) if whole == plan => ledger.number("plan", &name),
        _ => None,
    }
    .unwrap_or_else(|| Input::given("plan", Figure::Area(plan), "plan of this part of the section"))
}

fn spacing(job: &Job, name: &str, gap: &Gap, ledger: &mut Ledger) {
    let (Some(from), Some(to)) = (gap.from, gap.to) else { return };
    let (formula, mut inputs) = if from.on == to.on {
        let inputs = vec![
            Input::given("to", Figure::Length(to.at), "centre of the second"),
            Input::given("from", Figure::Length(from.at), "centre of the first of two neighbours"),
        ];
        ("to - from, the widest there is in any cut", inputs)
    } else {
        let why = "straight from one to the other, round a corner";
        ("far, the widest there is in any cut", vec![Input::given("far", Figure::Length(gap.far), why)])
    };
    for bar in [from, to] {
        if let Some(bars) = job.bars_of(bar.bars) {
            inputs.push(Input::typed("bars", bars.at));
        }
    }
    inputs.push(cut(&gap.cut));
    ledger.enter(|| Entry {
        name: format!("{name}.spacing"),
        value: Figure::Length(gap.far),
        formula,
        source: "",
        inputs,
    });
}

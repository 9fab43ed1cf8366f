//! The worked numbers of forms.

use super::{Formwork, Member, Sort};
use crate::{
    job::Job,
    ledger::{Entry, Figure, Input, Ledger},
    standards::{Part, forms::Limit},
    units::System,
};

/// The word of a member in the name of its numbers.
#[must_use]
pub const fn member_name(sort: Sort) -> &'static str {
    match sort {
        Sort::Sheathing => "sheathing",
        Sort::Bulkhead => "bulkhead",
        Sort::Stud => "studs",
        Sort::StudTop => "stud-tops",
        Sort::StudFoot => "stud-feet",
        Sort::StudBearing => "studs-bearing",
        Sort::Waler => "walers",
        Sort::Tie => "ties",
        Sort::Brace => "braces",
        Sort::Foot => "brace-feet",
        Sort::Kick => "kickers",
        Sort::KickBoard => "kicker-boards",
        Sort::Down => "held-down",
    }
}

/// What a limit is called on paper.
#[must_use]
pub const fn limit_word(limit: Limit) -> &'static str {
    match limit {
        Limit::Bending => "bending",
        Limit::Shear => "shear",
        Limit::RollingShear => "rolling shear",
        Limit::Sag | Limit::SagCap => "sag",
        Limit::Bearing => "bearing",
        Limit::Compression => "buckling",
        Limit::Hold => "hold",
    }
}

/// Enters what forms come to: `FORMS.SECTION.pressure`, `FORMS.SECTION.thrust`, `FORMS.SECTION.braces` where a least load along the top
/// asks more of them than the thrust, and of each member `FORMS.MEMBER.load`,
/// `.takes` and `.ratio`.
pub fn enter(job: &Job, all: &[Formwork], ledger: &mut Ledger) {
    if !ledger.is_on() {
        return;
    }
    let system = job.system();
    for forms in all {
        let block = job.name(forms.forms);
        for design in &forms.designs {
            let section = job.name(design.section);
            let pressure = &design.pressure;
            ledger.enter(|| Entry {
                name: format!("{block}.{section}.pressure"),
                value: Figure::Pressure(pressure.value.peak),
                formula: pressure_formula(pressure.formula, system),
                source: pressure.source,
                inputs: pressure.parts.iter().map(pressed).collect(),
            });
            let thrust = &design.thrust;
            ledger.enter(|| Entry {
                name: format!("{block}.{section}.thrust"),
                value: Figure::LineLoad(thrust.value.force),
                formula: thrust.formula,
                source: thrust.source,
                inputs: thrust.parts.iter().map(|part| input(part, system)).collect(),
            });
            if let Some(top) = &design.top {
                ledger.enter(|| Entry {
                    name: format!("{block}.{section}.braces"),
                    value: Figure::LineLoad(top.value),
                    formula: top.formula,
                    source: top.source,
                    inputs: top.parts.iter().map(|part| input(part, system)).collect(),
                });
            }
        }
        for member in &forms.members {
            enter_member(block, member, system, ledger);
        }
    }
}

/// A weight times a height is a mass on an area: pressure is its weight. CIRIA's is for kilonewtons and metres.
fn pressure_formula(formula: &'static str, system: System) -> &'static str {
    match (formula, system) {
        ("w * h", _) => "the weight of w over h, as of a liquid",
        (rule, System::Feet) if rule.starts_with('D') => {
            "by D * (C1 * R^0.5 + C2 * K * Hx^0.5), in kilonewtons and metres"
        }
        _ => formula,
    }
}

/// Pressures are told in the units of the rules.
fn pressed(part: &Part) -> Input {
    let value = match part.value {
        Figure::Stress(stress) => Figure::Pressure(stress),
        other => other,
    };
    Input::given(part.symbol, value, part.why)
}

fn enter_member(block: &str, member: &Member, system: System, ledger: &mut Ledger) {
    let name = |quantity: &str| format!("{block}.{}.{quantity}", member_name(member.sort));
    let check = &member.check;
    let load = ledger.enter(|| Entry {
        name: name("load"),
        value: check.load,
        formula: check.formula,
        source: check.source,
        inputs: check.parts.iter().map(|part| input(part, system)).collect(),
    });
    let takes = ledger.enter(|| Entry {
        name: name("takes"),
        value: check.capacity,
        formula: "as strong as it is reckoned",
        source: "strengths and factors as told in \"taken as usual\", or as the file says",
        inputs: vec![Input::given("strong", check.capacity, "with all factors")],
    });
    if check.ratio.is_finite() {
        ledger.enter(|| Entry {
            name: name("ratio"),
            value: Figure::Number(check.ratio),
            formula: "load / takes",
            source: "",
            inputs: [Input::worked("load", load), Input::worked("takes", takes)].into_iter().flatten().collect(),
        });
    }
}

/// A part of a check; moments of inertia are told in the units of the job.
fn input(part: &Part, system: System) -> Input {
    match (part.symbol, part.value, system) {
        ("I", Figure::Number(in4), System::Metric) => {
            Input::given("I", Figure::Number(in4 * 25.4_f64.powi(4)), "moment of inertia, mm4")
        }
        _ => Input::given(part.symbol, part.value, part.why),
    }
}

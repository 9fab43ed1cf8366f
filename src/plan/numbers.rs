//! The worked numbers of the order of work: how long a step takes that has so many pieces.

use super::{Amount, Lasts, Plan};
use crate::{
    job::Job,
    ledger::{Entry, Figure, Input, Ledger},
    schema::{BlockId, KindId, Measure},
    units::Duration,
};

/// Enters `STEP.time` for each step and look whose time is written for one piece.
pub fn enter(job: &Job, plan: &Plan, ledger: &mut Ledger) {
    if !ledger.is_on() {
        return;
    }
    for (id, lasts) in &plan.durations {
        if let Lasts::Per { one, measure, amount, all } = lasts {
            per(job, *id, (*one, *measure, *amount, *all), ledger);
        }
        let Lasts::Each { one, pieces, all } = lasts else { continue };
        let (things, takes): (Vec<BlockId>, _) = if let Some(step) = job.step(*id) {
            let things = step.say.work.0.iter().flat_map(|work| &work.things).map(|thing| thing.value);
            (things.collect(), step.said(KindId::Step, "takes"))
        } else if let Some(look) = job.look(*id) {
            let things = look.say.sees.iter().flatten().map(|thing| thing.value.0);
            (things.collect(), look.said(KindId::Look, "takes"))
        } else {
            continue;
        };
        let mut counted: Vec<BlockId> = Vec::new();
        for thing in things {
            if !counted.contains(&thing) {
                counted.push(thing);
            }
        }
        let parts = counted.iter().map(|thing| {
            let name = format!("{}.count", job.name(*thing));
            let one = || Input::given("part", Figure::Count(1), "it is one piece");
            ledger.number("part", &name).unwrap_or_else(one)
        });
        let parts: Vec<Input> = parts.collect();
        let name = job.name(*id);
        let count = ledger.enter(|| Entry {
            name: format!("{name}.count"),
            value: Figure::Count(*pieces),
            formula: "sum of the parts",
            source: "",
            inputs: parts,
        });
        ledger.enter(|| Entry {
            name: format!("{name}.time"),
            value: Figure::Duration(*all),
            formula: "each * pieces",
            source: "",
            inputs: [Input::said("each", takes, Figure::Duration(*one))]
                .into_iter()
                .chain(Input::worked("pieces", count))
                .collect(),
        });
    }
}

/// `STEP.time` where it is written for one of a measure.
fn per(
    job: &Job,
    id: BlockId,
    (one, measure, amount, all): (Duration, Measure, Amount, Duration),
    ledger: &mut Ledger,
) {
    let takes = match job.step(id) {
        Some(step) => step.said(KindId::Step, "takes"),
        None => {
            let Some(look) = job.look(id) else { return };
            look.said(KindId::Look, "takes")
        }
    };
    let figure = |amount: Amount| match amount {
        Amount::Length(length) => Figure::Length(length),
        Amount::Area(area) => Figure::Area(area),
        Amount::Volume(volume) => Figure::Volume(volume),
        Amount::Count(count) => Figure::Count(count),
    };
    ledger.enter(|| Entry {
        name: format!("{}.time", job.name(id)),
        value: Figure::Duration(all),
        formula: "each * amount / one",
        source: "",
        inputs: vec![
            Input::said("each", takes, Figure::Duration(one)),
            Input::given("amount", figure(amount), "of all it works on, as it is measured"),
            Input::given("one", figure(Amount::one(measure)), "the measure it is taken by"),
        ],
    });
}

//! The worked numbers of what was done.

use super::{planned_time, time_taken, waste_done};
use crate::{
    concrete::Mixing,
    facts::Facts,
    job::Job,
    ledger::{Entry, Figure, Input, Ledger},
    plan::Plan,
    schema::BlockId,
    units::Duration,
};

/// Enters `STEP.time.done` and `STEP.time.more`, `POUR.bags.done`, `POUR.bags.more` and `POUR.waste.done`, `THING.used` and
/// `BARS.left-out`.
pub fn enter(
    job: &Job,
    plan: &Plan,
    facts: &Facts,
    mixings: &[Mixing],
    sheet: &dyn Fn(BlockId) -> Option<Duration>,
    ledger: &mut Ledger,
) {
    if !ledger.is_on() || facts.is_empty() {
        return;
    }
    for step in &job.steps {
        let Some(time) = time_taken(job, facts, step.id) else { continue };
        let took = facts.steps.get(&step.id).map(|done| done.took.as_slice()).unwrap_or_default();
        let mut parts: Vec<Input> =
            took.iter().map(|took| Input::said("part", took.span, Figure::Duration(took.value))).collect();
        if parts.is_empty() {
            let poured = step.say.work.0.iter().flat_map(|work| &work.things).filter_map(|thing| {
                let hours = facts.pours.get(&thing.value)?.hours?;
                Some(Input::said("part", hours.span, Figure::Duration(hours.value.to.0 - hours.value.from.0)))
            });
            parts.extend(poured);
        }
        let name = format!("{}.time", step.name);
        let done = ledger.enter(|| Entry {
            name: format!("{name}.done"),
            value: Figure::Duration(time),
            formula: "sum of the parts",
            source: "",
            inputs: parts,
        });
        let Some(planned) = planned_time(job, plan, sheet, step.id) else { continue };
        let inputs = vec![
            Input::worked("done", done),
            Some(Input::given("planned", Figure::Duration(planned), "what the plan reckons with for this step")),
        ];
        ledger.enter(|| Entry {
            name: format!("{name}.more"),
            value: Figure::Number(minutes(time - planned)),
            formula: "by minutes: done - planned",
            source: "",
            inputs: inputs.into_iter().flatten().collect(),
        });
    }
    for mixing in mixings {
        let Some(bags) = facts.pours.get(&mixing.pour).and_then(|done| done.bags) else { continue };
        let name = job.name(mixing.pour);
        let done = ledger.enter(|| Entry {
            name: format!("{name}.bags.done"),
            value: Figure::Count(bags.value),
            formula: "as recorded",
            source: "",
            inputs: vec![Input::said("recorded", bags.span, Figure::Count(bags.value))],
        });
        let planned = ledger.number("planned", &format!("{name}.bags"));
        ledger.enter(|| Entry {
            name: format!("{name}.bags.more"),
            value: Figure::Number(bags.value as f64 - mixing.bags as f64),
            formula: "done - planned",
            source: "",
            inputs: Input::worked("done", done).into_iter().chain(planned).collect(),
        });
        let Some(waste) = waste_done(mixing, bags.value) else { continue };
        let placed = mixing.placed + mixing.patches;
        ledger.enter(|| Entry {
            name: format!("{name}.waste.done"),
            value: Figure::Ratio(waste),
            formula: "done * yields / placed - 1",
            source: "",
            inputs: Input::worked("done", done)
                .into_iter()
                .chain([
                    Input::given("yields", Figure::Volume(mixing.yields), "what one bag of the mix yields"),
                    Input::given(
                        "placed",
                        Figure::Volume(placed),
                        "what the form holds, and the broken places it fills",
                    ),
                ])
                .collect(),
        });
    }
    let used = facts.used.iter().map(|(id, used)| (id, "used", used));
    let left_out = facts.left_out.iter().map(|(id, used)| (id, "left-out", used));
    for (id, what, used) in used.chain(left_out) {
        let said = used.parts.iter().map(|part| part.value).sum::<u64>() == used.count;
        ledger.enter(|| Entry {
            name: format!("{}.{what}", job.name(*id)),
            value: Figure::Count(used.count),
            formula: if said { "sum of the parts" } else { "empty" },
            source: "",
            inputs: if said {
                used.parts.iter().map(|part| Input::said("part", part.span, Figure::Count(part.value))).collect()
            } else {
                vec![Input::given("empty", Figure::Count(used.count), "holes left empty, their bars with them")]
            },
        });
    }
}

/// Minutes, to the second.
fn minutes(time: Duration) -> f64 {
    time.seconds().round() / 60.0
}

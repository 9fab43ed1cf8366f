//! The worked numbers of what is taken away.

use super::Strip;
use crate::{
    concrete::{Standing, strip_plan},
    job::Job,
    ledger::{Entry, Figure, Input, Ledger},
    schema::KindId,
    units::Length,
};

/// Enters what the strips come to: `STRIP.area` and `STRIP.volume`.
pub fn enter(job: &Job, standing: &Standing, strips: &[Strip], ledger: &mut Ledger) {
    if !ledger.is_on() {
        return;
    }
    for strip in strips {
        let Some(thing) = job.remove(strip.id) else { continue };
        let Some(slab) = job.slab(thing.say.slab.0) else { continue };
        let at = |clause| thing.said(KindId::Remove, clause);
        let length: Length = standing.intervals(&strip.runs).iter().map(|part| part.end - part.start).sum();
        let (formula, inputs) = strip_plan(
            Input::said("length", at("along"), Figure::Length(length)),
            Input::said("width", at("out"), Figure::Length(strip.out)),
            strip.area - length * strip.out,
        );
        let area = ledger.enter(|| Entry {
            name: format!("{}.area", thing.name),
            value: Figure::Area(strip.area),
            formula,
            source: "",
            inputs,
        });
        ledger.enter(|| Entry {
            name: format!("{}.volume", thing.name),
            value: Figure::Volume(strip.volume),
            formula: "area * thick",
            source: "",
            inputs: Input::worked("area", area)
                .into_iter()
                .chain([Input::said("thick", slab.said(KindId::Slab, "thick"), Figure::Length(strip.thick))])
                .collect(),
        });
    }
}

//! The worked numbers of what is taken away.

use super::{Debris, Injection, Patch, Saw, Strip, debris::weighs};
use crate::{
    concrete::{Standing, strip_plan},
    job::Job,
    ledger::{Entry, Figure, Input, Ledger, Usual},
    schema::KindId,
    standards::{
        PRACTICE,
        mending::{PATCH_LOSS, RESIN_LOSS},
    },
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

/// Enters what is carted off: `STRIP.loose`, `STRIP.debris-weight`, `STRIP.trips`.
pub fn enter_debris(job: &Job, all: &[Debris], ledger: &mut Ledger) {
    for debris in all {
        let Some(thing) = job.remove(debris.strip) else { continue };
        let at = |clause| thing.said(KindId::Remove, clause);
        let name = |quantity: &str| format!("{}.{quantity}", thing.name);
        let volume = ledger.number("volume", &name("volume"));
        let value = Figure::Ratio(debris.bulks);
        let bulks = match thing.say.bulks {
            Some(_) => Input::said("bulks", at("bulks"), value),
            None => Input::usual("bulks", Usual { clause: "remove.bulks", value, source: PRACTICE }),
        };
        let loose = ledger.enter(|| Entry {
            name: name("loose"),
            value: Figure::Volume(debris.loose),
            formula: "volume * (1 + bulks)",
            source: "",
            inputs: volume.into_iter().chain([bulks]).collect(),
        });
        let density = Input::given("density", Figure::Density(weighs()), "old concrete: common practice, no source");
        ledger.enter(|| Entry {
            name: name("debris-weight"),
            value: Figure::Mass(debris.weight),
            formula: "volume * density",
            source: "",
            inputs: volume.into_iter().chain([density]).collect(),
        });
        let value = Figure::Volume(debris.carry);
        let carry = match thing.say.carry {
            Some(_) => Input::said("carry", at("carry"), value),
            None => Input::usual("carry", Usual { clause: "remove.carry", value, source: PRACTICE }),
        };
        let of = debris.loose.cubic_metres() / debris.carry.cubic_metres();
        ledger.enter(|| Entry {
            name: name("trips"),
            value: Figure::Whole { count: debris.trips, of },
            formula: "loose / carry, up to whole trips",
            source: "",
            inputs: Input::worked("loose", loose).into_iter().chain([carry]).collect(),
        });
    }
}

/// Enters the saw cuts: `CUT.length`, `CUT.passes`, `CUT.left`.
pub fn enter_saws(job: &Job, all: &[Saw], ledger: &mut Ledger) {
    for saw in all {
        let Some(thing) = job.cut(saw.id) else { continue };
        let at = |clause| thing.said(KindId::Cut, clause);
        let name = |quantity: &str| format!("{}.{quantity}", thing.name);
        let corners =
            "what the line is longer at corners: 2 out * tan(turn / 2) each; shorter where they turn towards you";
        ledger.enter(|| Entry {
            name: name("length"),
            value: Figure::Length(saw.length),
            formula: "face + corners + across * out",
            source: "plane geometry",
            inputs: vec![
                Input::said("face", at("along"), Figure::Length(saw.face)),
                Input::given("corners", Figure::Length(saw.corners), corners),
                Input::given("across", Figure::Count(saw.across.unsigned_abs()), "cuts across at the ends"),
                Input::said("out", at("out"), Figure::Length(saw.out)),
            ],
        });
        let deep = Input::said("deep", at("deep"), Figure::Length(saw.deep));
        let told = |symbol, value, usual: bool, clause| match usual {
            true => Input::usual(symbol, Usual { clause, value, source: PRACTICE }),
            false => Input::said(symbol, at("blade"), value),
        };
        let blade = thing.say.blade.as_ref();
        let no_pass = blade.is_none_or(|blade| blade.value.pass.is_none());
        ledger.enter(|| Entry {
            name: name("passes"),
            value: Figure::Whole { count: saw.passes, of: saw.deep.metres() / saw.pass.metres() },
            formula: "deep / pass, up to whole passes",
            source: "",
            inputs: vec![deep, told("pass", Figure::Length(saw.pass), no_pass, "cut.blade pass")],
        });
        ledger.enter(|| Entry {
            name: name("left"),
            value: Figure::Length(saw.left),
            formula: "sqrt(deep * (blade - deep))",
            source: "plane geometry",
            inputs: vec![deep, told("blade", Figure::Length(saw.blade), blade.is_none(), "cut.blade")],
        });
    }
}

/// Enters what mends the old work: `CRACK.resin`, `CRACK.resin-order`, `CRACK.ports`, `SPALL.area`, `SPALL.volume`.
pub fn enter_mending(job: &Job, injections: &[Injection], patches: &[Patch], ledger: &mut Ledger) {
    for one in injections {
        let Some(thing) = job.crack(one.crack) else { continue };
        let name = |quantity: &str| format!("{}.{quantity}", thing.name);
        let deep = if one.through { "it goes through: the thickness of the wall" } else { "as it is written" };
        let length = Input::said("length", thing.said(KindId::Crack, "height"), Figure::Length(one.length));
        let deep = Input::given("deep", Figure::Length(one.deep), deep);
        let count = Input::given("count", Figure::Count(one.count.unsigned_abs()), "places it is at");
        let gap = Input::said("gap", thing.said(KindId::Crack, "gap"), Figure::Length(one.gap));
        let net = ledger.enter(|| Entry {
            name: name("resin"),
            value: Figure::Fluid(one.net),
            formula: "count * length * deep * gap",
            source: "",
            inputs: vec![count, length, deep, gap],
        });
        let lost = Input::given("lost", Figure::Number(RESIN_LOSS.value), RESIN_LOSS.source);
        ledger.enter(|| Entry {
            name: name("resin-order"),
            value: Figure::Fluid(one.order),
            formula: "resin * lost",
            source: "",
            inputs: Input::worked("resin", net).into_iter().chain([lost]).collect(),
        });
        ledger.enter(|| Entry {
            name: name("ports"),
            value: Figure::Count(one.ports),
            formula: "for each place length / deep, up to a whole number, and one more",
            source: "ports not farther apart than the crack is deep: Texas Department of Transportation concrete repair manual, chapter 3, read",
            inputs: vec![count, length, deep],
        });
    }
    for patch in patches {
        let Some(thing) = job.spall(patch.spall) else { continue };
        let at = |clause| thing.said(KindId::Spall, clause);
        let height = thing.say.height.to - thing.say.height.from;
        let area = ledger.enter(|| Entry {
            name: format!("{}.area", thing.name),
            value: Figure::Area(patch.area),
            formula: "length * height",
            source: "",
            inputs: vec![
                Input::said("length", at("on"), Figure::Length(patch.length)),
                Input::said("height", at("height"), Figure::Length(height)),
            ],
        });
        let deep = Input::said("deep", at("deep"), Figure::Length(patch.deep));
        let rough =
            Input::given("rough", Figure::Number(PATCH_LOSS.value), "beyond area by depth: common practice, no source");
        ledger.enter(|| Entry {
            name: format!("{}.volume", thing.name),
            value: Figure::Volume(patch.volume),
            formula: "area * deep * rough",
            source: "",
            inputs: Input::worked("area", area).into_iter().chain([deep, rough]).collect(),
        });
    }
}

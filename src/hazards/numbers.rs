//! The worked numbers of what work does to people.

use super::{
    AtStep, Beside, Ends, Lifted, Load, OfDay, PAIL, Pit, USUAL_HANDS, USUAL_RATE, Used, lifts::usual_hands,
    usual_noise, usual_shaking,
};
use crate::{
    job::Job,
    ledger::{Entry, Figure, Input, Ledger, Usual},
    schema::{BlockId, KindId},
    sitework::weighs,
    standards::PRACTICE,
    units::{Acceleration, Duration, Sound},
};

/// Enters, for each step, `STEP.noise` and `STEP.shaking` with what they are made from, for each of its loads
/// `STEP.THING.load`, `.often`, `.limit` and `.lifting`, and of these the highest as `STEP.lifting`.
pub fn enter(job: &Job, beside: &Beside, all: &[AtStep], ledger: &mut Ledger) {
    if !ledger.is_on() {
        return;
    }
    for at in all {
        noise(job, at, ledger);
        shaking(job, at, ledger);
        let loads: Vec<Input> = at.lifted.iter().filter_map(|lifted| load(job, beside, at, lifted, ledger)).collect();
        let Some(highest) = at.lifted.iter().filter_map(|lifted| lifted.worked.value.index).reduce(f64::max) else {
            continue;
        };
        ledger.enter(|| Entry {
            name: format!("{}.lifting", job.name(at.step)),
            value: Figure::Number(highest),
            formula: "the highest of the parts",
            source: "",
            inputs: loads,
        });
    }
}

/// Enters `BARS.ends-up` and `BARS.ends-out`: how many ends stand free.
pub fn enter_ends(job: &Job, all: &[Ends], ledger: &mut Ledger) {
    for ends in all {
        let name = job.name(ends.bars);
        let (quantity, why) = if ends.up {
            ("ends-up", "ends that rise by more than 30 degrees, bar by bar")
        } else {
            ("ends-out", "ends that stand out of the wall, one a dowel")
        };
        let bars = ledger.number("bars", &format!("{name}.count"));
        let counted = Input::given("counted", Figure::Count(ends.count), why);
        ledger.enter(|| Entry {
            name: format!("{name}.{quantity}"),
            value: Figure::Count(ends.count),
            formula: "counted, end by end along the centre lines of the bars",
            source: "29 CFR 1926.701(b)",
            inputs: [counted].into_iter().chain(bars).collect(),
        });
    }
}

/// Enters `job.DATE.noise` and `job.DATE.shaking`: what the steps of a day come to together.
pub fn enter_days(all: &[OfDay], ledger: &mut Ledger) {
    for day in all {
        let name = |quantity: &str| format!("job.{}.{quantity}", day.date);
        if let Some(noise) = &day.noise {
            ledger.enter(|| Entry {
                name: name("noise"),
                value: Figure::Ratio(noise.value),
                formula: noise.formula,
                source: noise.source,
                inputs: noise.inputs().collect(),
            });
        }
        if let Some(shaking) = &day.shaking {
            let points = ledger.enter(|| Entry {
                name: name("shaking-points"),
                value: Figure::Number(shaking.value.points),
                formula: "sum of the parts",
                source: shaking.source,
                inputs: shaking.inputs().collect(),
            });
            ledger.enter(|| Entry {
                name: name("shaking"),
                value: Figure::Acceleration(Acceleration::from_m_s2(shaking.value.daily)),
                formula: "sqrt(points / 16): A(8)",
                source: shaking.source,
                inputs: Input::worked("points", points).into_iter().collect(),
            });
        }
    }
}

/// Enters `SECTION.dig`, `SECTION.dig-wide` and, where sides are sloped or held, `SECTION.dig-at-top`.
pub fn enter_pits(job: &Job, all: &[Pit], ledger: &mut Ledger) {
    for pit in all {
        let Some(section) = job.section(pit.section) else { continue };
        let height = section.said(KindId::Section, "height");
        let level = match (pit.ground, job.grounds.first()) {
            (Some(level), Some(ground)) => {
                Input::said("ground", ground.said(KindId::Ground, "inside"), Figure::Length(level))
            }
            _ => Input::said("ground", height, Figure::Length(pit.bottom + pit.depth)),
        };
        ledger.enter(|| Entry {
            name: format!("{}.dig", section.name),
            value: Figure::Length(pit.depth),
            formula: "ground - bottom",
            source: "",
            inputs: vec![level, Input::said("bottom", height, Figure::Length(pit.bottom))],
        });
        let clause = if section.say.offset.is_some() { "offset" } else { "thick" };
        let thick = Input::said("thick", section.said(KindId::Section, clause), Figure::Length(pit.thick));
        let forms = Input::given("forms", Figure::Length(pit.forms), "how far they reach out of it below the ground");
        ledger.enter(|| Entry {
            name: format!("{}.dig-wide", section.name),
            value: Figure::Length(pit.wide()),
            formula: "thick + forms",
            source: "",
            inputs: vec![thick, forms],
        });
        if let Some(worked) = &pit.at_top {
            ledger.enter(|| Entry {
                name: format!("{}.dig-at-top", section.name),
                value: Figure::Length(worked.value),
                formula: worked.formula,
                source: worked.source,
                inputs: worked.inputs().collect(),
            });
        }
    }
}

/// How long a step takes, as it is written or as it was worked out.
fn time(job: &Job, step: BlockId, ledger: &Ledger, time: Duration) -> Option<Input> {
    let name = format!("{}.time", job.name(step));
    let written = || Some(Input::said("time", job.step(step)?.said(KindId::Step, "takes"), Figure::Duration(time)));
    ledger.number("time", &name).or_else(written)
}

/// What a tool's clause says, or what is usual.
fn of_tool(job: &Job, used: &Used, symbol: &'static str, clause: &'static str, value: Figure, usual: bool) -> Input {
    const MEMORY: &str = "the sort of the tool, from memory: its own papers go before it";
    match used.tool.and_then(|tool| job.tool(tool)).filter(|_| !usual) {
        Some(tool) => Input::said(symbol, tool.said(KindId::Tool, clause), value),
        None => {
            let (clause, source) = match clause {
                "noise" => ("tool.noise", MEMORY),
                "shakes" => ("tool.shakes", MEMORY),
                _ => ("tool.runs", PRACTICE),
            };
            Input::usual(symbol, Usual { clause, value, source })
        }
    }
}

fn noise(job: &Job, at: &AtStep, ledger: &mut Ledger) {
    let Some(noise) = &at.noise else { return };
    let Some(used) = at.used.get(noise.used) else { return };
    let step = job.name(at.step);
    let typed = used.noise.or(usual_noise(used.sort).map(|(level, _)| level)).unwrap_or(noise.level);
    let off = used.muffs.unwrap_or(Sound::from_dba(0.0));
    let muffs = match used.muffs {
        Some(muffs) => of_tool(job, used, "muffs", "muffs", Figure::Sound(muffs), false),
        None => Input::given("muffs", Figure::Sound(off), "no ear protection is reckoned with"),
    };
    let level = ledger.enter(|| Entry {
        name: format!("{step}.noise-level"),
        value: Figure::Sound(noise.level),
        formula: "noise - muffs, not below 0",
        source: "",
        inputs: vec![of_tool(job, used, "noise", "noise", Figure::Sound(typed), used.usual_noise), muffs],
    });
    let permitted = ledger.enter(|| Entry {
        name: format!("{step}.noise-permitted"),
        value: Figure::Duration(noise.permitted),
        formula: "8 / 2^((level - 90) / 5), in hours",
        source: "29 CFR 1926.52, Table D-2",
        inputs: Input::worked("level", level).into_iter().collect(),
    });
    let (Some(dose), Some(all)) = (&noise.dose, at.time) else { return };
    let runs = of_tool(job, used, "runs", "runs", Figure::Ratio(used.runs), used.usual_runs);
    let inputs = time(job, at.step, ledger, all).into_iter().chain([runs]).chain(Input::worked("permitted", permitted));
    let inputs: Vec<Input> = inputs.collect();
    ledger.enter(|| Entry {
        name: format!("{step}.noise"),
        value: Figure::Ratio(dose.value),
        formula: "time * runs / permitted",
        source: dose.source,
        inputs,
    });
}

fn shaking(job: &Job, at: &AtStep, ledger: &mut Ledger) {
    let Some(shaking) = &at.shaking else { return };
    let (Some(used), Some(dose), Some(all)) = (at.used.get(shaking.used), &shaking.dose, at.time) else { return };
    let step = job.name(at.step);
    let value = Figure::Acceleration(shaking.shakes);
    let a = of_tool(job, used, "a", "shakes", value, used.usual_shakes || usual_shaking(used.sort).is_none());
    let runs = of_tool(job, used, "runs", "runs", Figure::Ratio(used.runs), used.usual_runs);
    let time = time(job, at.step, ledger, all);
    let inputs: Vec<Input> = [a].into_iter().chain(time).chain([runs]).collect();
    ledger.enter(|| Entry {
        name: format!("{step}.shaking"),
        value: Figure::Acceleration(Acceleration::from_m_s2(dose.value.daily)),
        formula: "a * sqrt(time * runs / 8), time in hours: A(8)",
        source: dose.source,
        inputs: inputs.clone(),
    });
    ledger.enter(|| Entry {
        name: format!("{step}.shaking-points"),
        value: Figure::Number(dose.value.points),
        formula: "2 * a^2 * time * runs, time in hours",
        source: dose.source,
        inputs,
    });
}

/// The numbers of one load; gives its index, where it has one.
fn load(job: &Job, beside: &Beside, at: &AtStep, lifted: &Lifted, ledger: &mut Ledger) -> Option<Input> {
    let thing = job.name(lifted.thing);
    let name = |quantity: &str| format!("{}.{thing}.{quantity}", job.name(at.step));
    let weighed = weighed(job, beside, lifted, thing, ledger);
    let weight = ledger.enter(|| Entry {
        name: name("load"),
        value: Figure::Mass(lifted.weight),
        formula: weighed.0,
        source: "",
        inputs: weighed.1,
    });
    let counted = match lifted.load {
        Load::Bag => Input::given("times", Figure::Count(lifted.times), "each bag of the step's pours once"),
        Load::Bucket | Load::Debris => ledger.number("times", &format!("{thing}.trips"))?,
        Load::Bar => Input::given("times", Figure::Count(lifted.times), "each bar the step places once"),
    };
    let over = match at.time {
        Some(all) => time(job, at.step, ledger, all),
        None => Some(Input::usual(
            "time",
            Usual { clause: "step.takes", value: Figure::Duration(lifted.over), source: USUAL_RATE.source },
        )),
    };
    let inputs: Vec<Input> = [counted].into_iter().chain(over).collect();
    ledger.enter(|| Entry {
        name: name("often"),
        value: Figure::Number(lifted.times as f64 / lifted.over.minutes()),
        formula: "times / time, in a minute",
        source: "",
        inputs,
    });
    let head = job.head.as_ref().filter(|head| head.say.lifts.is_some());
    let [from, to, out] = usual_hands(job.system());
    let hands = head.map_or_else(
        || {
            let usual = |symbol, value| {
                Input::usual(symbol, Usual { clause: "job.lifts", value: Figure::Length(value), source: USUAL_HANDS })
            };
            vec![usual("up", from), usual("down", to), usual("out", out)]
        },
        |head| vec![Input::typed("hands", head.said(KindId::Job, "lifts"))],
    );
    let limit = ledger.enter(|| Entry {
        name: name("limit"),
        value: Figure::Mass(lifted.worked.value.limit),
        formula: lifted.worked.formula,
        source: lifted.worked.source,
        inputs: lifted.worked.inputs().chain(hands).collect(),
    });
    let index = lifted.worked.value.index?;
    let index = ledger.enter(|| Entry {
        name: name("lifting"),
        value: Figure::Number(index),
        formula: "load / limit",
        source: "",
        inputs: Input::worked("load", weight).into_iter().chain(Input::worked("limit", limit)).collect(),
    });
    Input::worked("part", index)
}

/// What a load is made of.
fn weighed(job: &Job, beside: &Beside, lifted: &Lifted, thing: &str, ledger: &Ledger) -> (&'static str, Vec<Input>) {
    let pail = Input::given("bucket", Figure::Mass(PAIL.value), "an empty bucket: common practice, no source");
    let mut inputs = Vec::new();
    match lifted.load {
        Load::Bag => {
            let mix = job.mix(lifted.thing);
            inputs.extend(mix.map(|mix| Input::said("bag", mix.said(KindId::Mix, "bag"), Figure::Mass(lifted.bare))));
            ("bag", inputs)
        }
        Load::Bucket => {
            inputs.extend(ledger.number("concrete", &format!("{thing}.carry-weight")));
            inputs.push(pail);
            ("concrete + bucket", inputs)
        }
        Load::Debris => {
            inputs.push(Input::given("density", Figure::Density(weighs()), "old concrete: common practice, no source"));
            let debris = beside.debris.get(&lifted.thing);
            if let Some((debris, strip)) = debris.zip(job.remove(lifted.thing)) {
                let told = |symbol, clause: &'static str, usual: Option<&'static str>, value| match usual {
                    Some(clause) => Input::usual(symbol, Usual { clause, value, source: PRACTICE }),
                    None => Input::said(symbol, strip.said(KindId::Remove, clause), value),
                };
                let carry = strip.say.carry.is_none().then_some("remove.carry");
                let bulks = strip.say.bulks.is_none().then_some("remove.bulks");
                inputs.push(told("carry", "carry", carry, Figure::Volume(debris.carry)));
                inputs.push(told("bulks", "bulks", bulks, Figure::Ratio(debris.bulks)));
            }
            inputs.push(pail);
            ("density * carry / (1 + bulks) + bucket", inputs)
        }
        Load::Bar => {
            if let Some(made) = beside.bars.get(&lifted.thing)
                && let Some(steel) = job.steel(made.steel.id)
            {
                let weight = Figure::MassPerMetre(made.steel.per_metre);
                inputs.push(Input::said("weight", steel.said(KindId::Steel, "weight"), weight));
                let longest = made.groups.iter().map(|group| group.shape.cut).max().unwrap_or_default();
                inputs.push(Input::given("longest", Figure::Cut(longest), "the longest bar of them"));
            }
            ("weight * longest", inputs)
        }
    }
}

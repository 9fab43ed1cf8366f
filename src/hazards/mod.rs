//! What the work does to those who do it, step by step: dust, noise, shaking, loads, bar ends, holes in the ground, and
//! what is only told. It knows no words: it says what it finds as types.
//!
//! Rules for employers are given as the recognised control. A step is reckoned by itself, and what several of one day add up to
//! where their days are known.

mod day;
mod ends;
mod lifts;
mod numbers;
mod pits;
mod tools;

use std::collections::{BTreeMap, BTreeSet};

use foldhash::HashMap;

use crate::{
    concrete::Mixing,
    job::{Job, Thing},
    placing::Placing,
    plan::{Lasts, Plan},
    schema::{BlockId, Driven, KindId, Step, Surroundings, ToolSort},
    sitework::Debris,
    steel::BarsMade,
    units::{Duration, Temperature},
};

pub use day::{OfDay, by_day};
pub use ends::{Ends, ends};
pub use lifts::{Lifted, Load, PAIL, ROLLED, USUAL_HANDS, USUAL_RATE, usual_hands};
pub use numbers::{enter, enter_days, enter_ends, enter_pits};
pub use pits::{Pit, pits};
pub use tools::{Dust, DustRule, Noise, Shaking, Used, usual_noise, usual_shaking};

/// What can happen, in the order it is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Harm {
    /// Silica in the lungs.
    Dust,
    /// Pieces that fly, splashes in the eyes.
    Eyes,
    /// Loud tools.
    Noise,
    /// Tools that shake the hands.
    Shaking,
    /// Loads lifted by hand.
    Lifting,
    /// Wet concrete on the skin.
    Caustic,
    /// Ends of bars that stand free.
    BarEnds,
    /// Current in the wet.
    Current,
    /// Engines where air does not move.
    Monoxide,
    /// Resin on the skin and in the air.
    Resin,
    /// Props under load.
    Props,
    /// Forms that fall or give way.
    Forms,
    /// Old paint.
    Lead,
    /// Old flooring, insulation, boards.
    Asbestos,
}

/// Paint of before this year may hold lead: 40 CFR 745, from memory.
pub const LEAD_BEFORE: i64 = 1978;

/// Flooring, insulation and boards of before this year may hold asbestos: 29 CFR 1926.1101, from memory.
pub const ASBESTOS_BEFORE: i64 = 1981;

/// From here on heat is a hazard of its own: 80 degF, common practice, no source.
pub const HOT: Temperature = Temperature::from_deg_f(80.0);

/// What a step's work brings.
#[derive(Debug, Clone)]
pub struct AtStep {
    /// The step.
    pub step: BlockId,
    /// How long it takes, where that is said.
    pub time: Option<Duration>,
    /// All of it, once.
    pub harms: BTreeSet<Harm>,
    /// The tools it uses: those that are written, else the usual ones.
    pub used: Vec<Used>,
    /// What its work has to do with Table 1.
    pub dust: Vec<Dust>,
    /// What is lifted.
    pub lifted: Vec<Lifted>,
    /// Its loudest tool.
    pub noise: Option<Noise>,
    /// The tool that shakes most.
    pub shaking: Option<Shaking>,
}

impl AtStep {
    /// The load with the highest index; one that may not be lifted so often at all goes before all others.
    #[must_use]
    pub fn heaviest(&self) -> Option<&Lifted> {
        let index = |lifted: &Lifted| lifted.worked.value.index.unwrap_or(f64::INFINITY);
        self.lifted.iter().max_by(|one, other| index(one).total_cmp(&index(other)))
    }
}

/// What the steps are looked at with.
#[derive(Debug)]
pub struct Beside<'w> {
    /// The bars by block.
    bars: HashMap<BlockId, &'w BarsMade>,
    /// What is mixed, by pour.
    mixings: HashMap<BlockId, &'w Mixing>,
    /// How long pours last that are planned.
    pours: HashMap<BlockId, Duration>,
    /// What is carted off, by strip.
    debris: HashMap<BlockId, &'w Debris>,
    /// The order of work.
    plan: &'w Plan,
}

impl<'w> Beside<'w> {
    /// Of all that steps handle.
    #[must_use]
    pub fn new(
        bars: &'w [BarsMade],
        mixings: &'w [Mixing],
        placings: &'w [Placing],
        debris: &'w [Debris],
        plan: &'w Plan,
    ) -> Beside<'w> {
        Beside {
            pours: placings.iter().map(|placing| (placing.pour, placing.lasts())).collect(),
            bars: bars.iter().map(|made| (made.id, made)).collect(),
            mixings: mixings.iter().map(|mixing| (mixing.pour, mixing)).collect(),
            debris: debris.iter().map(|debris| (debris.strip, debris)).collect(),
            plan,
        }
    }
}

/// What each step brings, in the order of work; steps that bring nothing are left out.
#[must_use]
pub fn at_steps(job: &Job, beside: &Beside) -> Vec<AtStep> {
    let lasts: BTreeMap<BlockId, Lasts> = beside.plan.durations.iter().copied().collect();
    let steps = beside.plan.order.iter().filter_map(|id| {
        let step = job.step(*id)?;
        let time = match lasts.get(id) {
            Some(Lasts::For(time) | Lasts::Each { all: time, .. } | Lasts::Per { all: time, .. }) => Some(*time),
            Some(Lasts::Unsaid | Lasts::Uncounted { .. }) | None => planned(beside, step),
        };
        at_step(job, beside, step, time)
    });
    steps.collect()
}

/// How long a step's pours last by their plan; none if one of them has none, or it pours nothing.
fn planned(beside: &Beside, step: &Thing<Step>) -> Option<Duration> {
    let pours = step.say.work.0.iter().filter(|work| work.verb == "pour").flat_map(|work| &work.things);
    let times: Option<Vec<Duration>> = pours.map(|thing| beside.pours.get(&thing.value).copied()).collect();
    times.filter(|times| !times.is_empty()).map(|times| times.into_iter().sum())
}

/// Whether the work is in the open; none where the file does not say.
#[must_use]
pub fn outdoors(job: &Job) -> Option<bool> {
    let place = job.head.as_ref()?.say.place?;
    Some(place == Surroundings::Outdoors)
}

/// Whether the building is older than that; what is not said is not old.
#[must_use]
pub fn built_before(job: &Job, year: i64) -> bool {
    job.head.as_ref().and_then(|head| head.say.built).is_some_and(|built| built.0 < year)
}

fn at_step(job: &Job, beside: &Beside, step: &Thing<Step>, time: Option<Duration>) -> Option<AtStep> {
    let mut out = AtStep {
        step: step.id,
        time,
        harms: BTreeSet::new(),
        used: tools::used(job, step),
        dust: Vec::new(),
        lifted: lifts::lifted(job, beside, step, time),
        noise: None,
        shaking: None,
    };
    out.dust = tools::dust(job, &out.used, time);
    out.noise = tools::noise(&out.used, time);
    out.shaking = tools::shaking(&out.used, time);
    let harms = &mut out.harms;
    let mut brings = |harm: Harm, does: bool| {
        if does {
            harms.insert(harm);
        }
    };
    brings(Harm::Dust, !out.dust.is_empty());
    brings(Harm::Noise, out.noise.is_some());
    brings(Harm::Shaking, out.shaking.is_some());
    brings(Harm::Lifting, !out.lifted.is_empty());
    for used in &out.used {
        brings(Harm::Eyes, used.sort != ToolSort::Vibrator);
        // Hands are no machine.
        let machine = used.sort != ToolSort::HandTool;
        brings(Harm::Current, machine && matches!(used.power, None | Some(Driven::Cord)));
        let burns = matches!(used.sort, ToolSort::HandheldSaw | ToolSort::WalkSaw | ToolSort::Mixer);
        brings(Harm::Monoxide, used.power == Some(Driven::Engine) || used.power.is_none() && burns);
    }
    for work in &step.say.work.0 {
        for thing in &work.things {
            let id = thing.value;
            let painted = built_before(job, LEAD_BEFORE);
            let laid = built_before(job, ASBESTOS_BEFORE);
            match work.verb {
                "cut" | "remove" => brings(Harm::Asbestos, laid),
                "drill" => {
                    let wall = job.holes_of(id).is_some_and(|holes| job.wall(holes.say.into.value.block).is_some());
                    brings(Harm::Lead, painted && wall);
                }
                "prepare" => {
                    brings(Harm::Lead, painted);
                    brings(Harm::Eyes, true);
                }
                "patch" => {
                    brings(Harm::Lead, painted);
                    brings(Harm::Caustic, true);
                    brings(Harm::Eyes, true);
                }
                "inject" => {
                    brings(Harm::Resin, true);
                    brings(Harm::Eyes, true);
                }
                "set" | "strike" if job.kind(id) == Some(KindId::Support) => brings(Harm::Props, true),
                "set" => {
                    let holes =
                        job.bars_of(id).and_then(|bars| bars.say.holes).and_then(|set| job.holes_of(set.value.0));
                    brings(Harm::Resin, holes.is_some_and(|holes| holes.say.fill.is_some()));
                    brings(Harm::BarEnds, true);
                }
                "place" => brings(Harm::BarEnds, true),
                "form" | "strip" => brings(Harm::Forms, true),
                "pour" => {
                    brings(Harm::Forms, job.has(KindId::Forms));
                    brings(Harm::Caustic, true);
                    brings(Harm::Eyes, true);
                }
                _ => {}
            }
        }
    }
    (!out.harms.is_empty()).then_some(out)
}

//! Tools: which a step uses, how loud they are, how much they shake, and what Table 1 says of their dust.

use crate::{
    job::{Job, Thing},
    schema::{BlockId, Driven, DustKept, Step, ToolSort, ToolWork},
    standards::{
        Unanswered, Worked,
        hazards::{Dusty, Exchange, Respirator, SilicaRow, Vibration, noise_dose, permitted, silica, vibration},
    },
    units::{Acceleration, Duration, Ratio, Sound},
};

use super::outdoors;

/// A tool a step uses.
#[derive(Debug, Clone, PartialEq)]
pub struct Used {
    /// The tool that is written; none where the usual one is taken.
    pub tool: Option<BlockId>,
    /// What is done with it.
    pub verb: ToolWork,
    /// Its sort.
    pub sort: ToolSort,
    /// How loud it is; none where nobody remembers a figure.
    pub noise: Option<Sound>,
    /// The level is from memory.
    pub usual_noise: bool,
    /// What is taken off of it at the ear.
    pub muffs: Option<Sound>,
    /// How much it shakes; none where it is not held.
    pub shakes: Option<Acceleration>,
    /// The shaking is from memory.
    pub usual_shakes: bool,
    /// For how much of the time it runs.
    pub runs: Ratio,
    /// It was not said for how much.
    pub usual_runs: bool,
    /// What keeps its dust down.
    pub dust: Option<DustKept>,
    /// What drives it.
    pub power: Option<Driven>,
}

/// How loud a tool of this sort is, and within what: of 100 to 115 dBA for hammers and saws, 85 to 95 for vibrators, 80 to 90
/// for mixers, one figure each; from memory.
#[must_use]
pub fn usual_noise(sort: ToolSort) -> Option<(Sound, &'static str)> {
    let (level, within) = match sort {
        ToolSort::HandheldSaw | ToolSort::WalkSaw | ToolSort::Breaker | ToolSort::HammerDrill | ToolSort::Chipper => {
            (105.0, "100 to 115")
        }
        ToolSort::Grinder => (100.0, "95 to 105"),
        ToolSort::Mixer => (85.0, "80 to 90"),
        ToolSort::Vibrator => (90.0, "85 to 95"),
        ToolSort::HandTool => return None,
    };
    Some((Sound::from_dba(level), within))
}

/// How much a tool of this sort shakes, and within what, in m/s2; from memory. Tools that are not held have none.
#[must_use]
pub fn usual_shaking(sort: ToolSort) -> Option<(Acceleration, &'static str)> {
    let (shakes, within) = match sort {
        ToolSort::HandheldSaw => (5.0, "3 to 8"),
        ToolSort::WalkSaw => (4.0, "2 to 6"),
        ToolSort::Breaker => (12.0, "5 to 20"),
        ToolSort::HammerDrill => (10.0, "6 to 20"),
        ToolSort::Chipper => (15.0, "8 to 20"),
        ToolSort::Grinder => (6.0, "4 to 9"),
        ToolSort::Vibrator => (3.0, "1 to 5"),
        ToolSort::Mixer | ToolSort::HandTool => return None,
    };
    Some((Acceleration::from_m_s2(shakes), within))
}

/// The tools of a step, each once, in the order of its work: those that are written for it, else the usual one.
pub(super) fn used(job: &Job, step: &Thing<Step>) -> Vec<Used> {
    let mut out: Vec<Used> = Vec::new();
    let mut push = |used: Used| {
        if !out.iter().any(|one| (one.tool, one.verb, one.sort) == (used.tool, used.verb, used.sort)) {
            out.push(used);
        }
    };
    for work in &step.say.work.0 {
        let Some(verb) = does(work.verb) else { continue };
        let mut written = false;
        for tool in &job.tools {
            let say = &tool.say;
            if !say.work.iter().any(|one| one.value == verb) {
                continue;
            }
            written = true;
            let (noise, shakes) = (usual_noise(say.sort), usual_shaking(say.sort));
            push(Used {
                tool: Some(tool.id),
                verb,
                sort: say.sort,
                noise: say.noise.map(|noise| noise.0).or(noise.map(|(level, _)| level)),
                usual_noise: say.noise.is_none(),
                muffs: say.muffs.map(|muffs| muffs.0),
                shakes: say.shakes.map(|shakes| shakes.0).or(shakes.map(|(shakes, _)| shakes)),
                usual_shakes: say.shakes.is_none(),
                runs: say.runs.map_or(Ratio::from_fraction(1.0), |runs| runs.0),
                usual_runs: say.runs.is_none(),
                dust: say.dust,
                power: say.power,
            });
        }
        if written {
            continue;
        }
        for thing in &work.things {
            let sort = usual_sort(job, verb, thing.value);
            push(Used {
                tool: None,
                verb,
                sort,
                noise: usual_noise(sort).map(|(level, _)| level),
                usual_noise: true,
                muffs: None,
                shakes: usual_shaking(sort).map(|(shakes, _)| shakes),
                usual_shakes: true,
                runs: Ratio::from_fraction(1.0),
                usual_runs: true,
                dust: None,
                power: None,
            });
        }
    }
    out
}

fn does(verb: &str) -> Option<ToolWork> {
    [ToolWork::Cut, ToolWork::Remove, ToolWork::Drill, ToolWork::Prepare, ToolWork::Patch, ToolWork::Pour]
        .into_iter()
        .find(|work| work.word() == verb)
}

/// What is taken to the work when no tool is written: common practice, no source.
fn usual_sort(job: &Job, verb: ToolWork, thing: BlockId) -> ToolSort {
    match verb {
        ToolWork::Cut => ToolSort::HandheldSaw,
        ToolWork::Remove => ToolSort::Breaker,
        ToolWork::Drill => ToolSort::HammerDrill,
        ToolWork::Prepare if job.prepare(thing).is_some_and(|prepare| prepare.say.roughen.is_some()) => {
            ToolSort::Chipper
        }
        ToolWork::Pour if job.pour(thing).is_some_and(|pour| pour.say.mixer.is_some()) => ToolSort::Mixer,
        ToolWork::Prepare | ToolWork::Patch | ToolWork::Pour => ToolSort::HandTool,
    }
}

/// What the table says of work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DustRule {
    /// A row of it.
    Row {
        /// The row.
        row: &'static SilicaRow,
        /// What is breathed through, where the row's control is kept.
        mask: Respirator,
        /// It is written that the control is kept.
        kept: bool,
    },
    /// None: the row is for another control than the one that is written, or for another place.
    Misses(&'static SilicaRow),
    /// None at all.
    NoRow,
}

/// Dust of a step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dust {
    /// What is done.
    pub verb: ToolWork,
    /// What raises it.
    pub work: Dusty,
    /// What the table says.
    pub rule: DustRule,
}

/// What a step's tools have to do with Table 1. A step whose time is not said counts as longer than 4 hours, a place that is
/// not said as indoors.
pub(super) fn dust(job: &Job, used: &[Used], time: Option<Duration>) -> Vec<Dust> {
    let open = outdoors(job).unwrap_or(false);
    let shift = time.unwrap_or(Duration::from_hours(24.0));
    let mut out: Vec<Dust> = Vec::new();
    for used in used {
        // A brush and water raise no dust to speak of; a bag does, by hand and by drum.
        let work = match used.sort {
            ToolSort::HandheldSaw => Dusty::HandheldSaw,
            ToolSort::WalkSaw => Dusty::WalkBehindSaw,
            ToolSort::Breaker | ToolSort::Chipper => Dusty::Chipping,
            ToolSort::HammerDrill => Dusty::Drill,
            ToolSort::Grinder => Dusty::Grinder,
            ToolSort::Mixer => Dusty::MixingBags,
            ToolSort::HandTool if used.verb == ToolWork::Pour => Dusty::MixingBags,
            ToolSort::HandTool if used.verb == ToolWork::Prepare => continue,
            ToolSort::HandTool => Dusty::HandChisel,
            ToolSort::Vibrator => continue,
        };
        let rule = match silica(work, open, shift) {
            Ok((row, mask)) => match (controls(work, open), used.dust) {
                (_, None) => DustRule::Row { row, mask, kept: false },
                (fit, Some(kept)) if fit.contains(&kept) => DustRule::Row { row, mask, kept: true },
                (_, Some(_)) => DustRule::Misses(row),
            },
            Err(Unanswered::Outside(..) | Unanswered::Nothing(_)) => DustRule::NoRow,
        };
        let one = Dust { verb: used.verb, work, rule };
        if !out.contains(&one) {
            out.push(one);
        }
    }
    out
}

/// The controls a row of the table is for.
fn controls(work: Dusty, open: bool) -> &'static [DustKept] {
    match work {
        Dusty::StationarySaw | Dusty::HandheldSaw | Dusty::WalkBehindSaw => &[DustKept::Water],
        Dusty::Chipping => &[DustKept::Water, DustKept::Vacuum],
        Dusty::Grinder if open => &[DustKept::Water, DustKept::Vacuum],
        _ => &[DustKept::Vacuum],
    }
}

/// The noise of a step.
#[derive(Debug, Clone, PartialEq)]
pub struct Noise {
    /// Its loudest tool, in [`super::AtStep::used`].
    pub used: usize,
    /// The level at the ear, under what is worn.
    pub level: Sound,
    /// How long such a level may last in a day.
    pub permitted: Duration,
    /// For how long the tool runs, where the step's time is said.
    pub lasts: Option<Duration>,
    /// The day's dose of it alone: too much above 100%.
    pub dose: Option<Worked<Ratio>>,
}

/// The tool whose noise uses up most of the day, over the whole time it runs.
pub(super) fn noise(used: &[Used], time: Option<Duration>) -> Option<Noise> {
    let mut loudest: Option<(f64, Noise)> = None;
    for (at, tool) in used.iter().enumerate() {
        let Some(noise) = tool.noise else { continue };
        let off = tool.muffs.map_or(0.0, Sound::dba);
        // Nothing is quieter than nothing.
        let level = (noise.dba() - off).max(0.0);
        let Ok(permitted) = permitted(level, Exchange::Osha) else { continue };
        let lasts = time.map(|time| time * tool.runs.fraction());
        let dose = lasts.and_then(|lasts| noise_dose(&[(level, lasts)], Exchange::Osha).ok());
        let share = tool.runs.fraction() / permitted.hours();
        if loudest.as_ref().is_none_or(|(most, _)| share > *most) {
            loudest = Some((share, Noise { used: at, level: Sound::from_dba(level), permitted, lasts, dose }));
        }
    }
    loudest.map(|(_, noise)| noise)
}

/// The shaking of a step.
#[derive(Debug, Clone, PartialEq)]
pub struct Shaking {
    /// The tool that shakes most, in [`super::AtStep::used`].
    pub used: usize,
    /// How much.
    pub shakes: Acceleration,
    /// For how long it is held, where the step's time is said.
    pub held: Option<Duration>,
    /// The day's dose of it alone.
    pub dose: Option<Worked<Vibration>>,
}

/// The tool that shakes most over the whole time it runs.
pub(super) fn shaking(used: &[Used], time: Option<Duration>) -> Option<Shaking> {
    let mut most: Option<(f64, Shaking)> = None;
    for (at, tool) in used.iter().enumerate() {
        let Some(shakes) = tool.shakes else { continue };
        let held = time.map(|time| time * tool.runs.fraction());
        let dose = held.and_then(|held| vibration(&[(shakes.m_s2(), held)]).ok());
        let share = shakes.m_s2().powi(2) * tool.runs.fraction();
        if most.as_ref().is_none_or(|(before, _)| share > *before) {
            most = Some((share, Shaking { used: at, shakes, held, dose }));
        }
    }
    most.map(|(_, shaking)| shaking)
}

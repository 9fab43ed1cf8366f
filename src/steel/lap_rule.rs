//! The lap a published rule asks for, from what is known of the bars and the concrete round them.

use super::{round::Round, shape::Steel};
use crate::{
    job::Job,
    schema::{Bars, HookRule, LapRules},
    standards::{
        Basis, ConcreteWeight, Worked,
        basis::Spliced,
        development::{Coating, Straight, apart_in_a_lap},
    },
    units::{Length, Stress, System},
};

/// A lap, and where it comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lap {
    /// How long, rounded up to a whole inch or to 10 mm.
    pub length: Length,
    /// The units of the rule.
    pub system: System,
    /// The rule.
    pub source: &'static str,
    /// Yield strength that was taken.
    pub yields_at: Stress,
    /// Strength of the concrete that was taken: the least of the mixes; where none is said 2500 psi or 20 MPa, common
    /// practice, no source.
    pub strength: Stress,
}

/// How many of its diameters a bar is lapped by when no rule answers: common practice, no source.
pub const USUAL_LAP_DIAMETERS: i64 = 40;

/// Where the usual lap comes from.
pub(super) const USUAL_LAP: &str = "40 bar diameters: common practice, no source";

/// What laps are rounded up to, and how many of it: whole inches, or 10 mm.
pub(super) fn whole_steps(lap: Length, system: System) -> (Length, i64) {
    let step = match system {
        System::Feet => Length::INCH,
        System::Metric => Length::METRE / 100,
    };
    (step, (lap.nm() + step.nm() - 1).div_euclid(step.nm()))
}

/// The stress bars yield at: as the job says; else Grade 60 or B500, by the rule their size's hooks follow (common practice,
/// no source).
#[must_use]
pub fn yields_at(bars: &Bars, hooks: HookRule) -> Stress {
    match (bars.yields, hooks) {
        (Some(yields), _) => yields.0,
        (None, HookRule::Aci) => Stress::from_psi(60_000.0),
        (None, HookRule::En) => Stress::from_mpa(500.0),
    }
}

/// The rules laps are worked out by: those the job declares, which then answer alone; else those of the bar's size.
#[must_use]
pub fn lap_rules(job: &Job, hooks: HookRule) -> Basis {
    match (job.head.as_ref().and_then(|head| head.say.laps), hooks) {
        (Some(LapRules::Aci), _) | (None, HookRule::Aci) => Basis::Aci,
        (Some(LapRules::AciGeneral), _) => Basis::AciGeneral,
        (Some(LapRules::Irc), _) => Basis::Irc,
        (Some(LapRules::En), _) | (None, HookRule::En) => Basis::Ec2,
    }
}

/// How far bars that lap may lie clear of each other, and where that comes from: the lesser of a fifth of the lap and 6 in
/// (150 mm); by EN 1992-1-1 8.7.2 (from memory) the greater of four diameters and 50 mm, and farther if the lap is longer
/// by what is clear between them.
#[must_use]
pub fn apart(job: &Job, steel: &Steel, lap: Length, rule: &Lap) -> Apart {
    match lap_rules(job, steel.hooks) {
        Basis::Ec2 => Apart {
            most: (steel.diameter * 4).max(Length::MILLIMETRE * 50).max(lap - rule.length),
            source: "EN 1992-1-1 8.7.2, from memory",
            longer_than: Some(rule.length),
        },
        Basis::Aci | Basis::AciGeneral | Basis::Irc => {
            let worked = apart_in_a_lap(rule.length, rule.system);
            Apart { most: worked.value, source: worked.source, longer_than: None }
        }
    }
}

/// How far bars that lap may lie clear of each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Apart {
    /// So far at the most.
    pub most: Length,
    /// The standard and its clause, and how sure that is.
    pub source: &'static str,
    /// They may lie farther if the lap is longer than this by as much.
    pub longer_than: Option<Length>,
}

/// The lap for long bars of a block: all lapped at one place, in tension (ACI 318-19 25.5.2 class B, IRC Table R608.5.4(1), or
/// EN 1992-1-1 8.7.3), and how it was worked out, if a rule answers. What is not known of what is round them counts as
/// unfavourable.
#[must_use]
pub fn lap(job: &Job, bars: &Bars, steel: &Steel, round: &Round) -> (Lap, Option<Worked<Length>>) {
    let basis = lap_rules(job, steel.hooks);
    let yields_at = yields_at(bars, steel.hooks);
    let (system, least) = match basis {
        Basis::Ec2 => (System::Metric, Stress::from_mpa(20.0)),
        Basis::Aci | Basis::AciGeneral | Basis::Irc => (System::Feet, Stress::from_psi(2500.0)),
    };
    let strength = round.strength.unwrap_or(least);
    let bar = Straight {
        system,
        diameter: steel.diameter,
        fy: yields_at,
        fc: strength,
        weight: ConcreteWeight::Normal,
        coating: Coating::Bare,
        cover: round.cover,
        clear_spacing: round.clear,
        ties: false,
        ktr: Length::ZERO,
        fresh_below: round.fresh_below,
    };
    match basis.lap(&bar, Spliced::ALL) {
        Ok(worked) => {
            let (step, steps) = whole_steps(worked.value, system);
            (Lap { length: step * steps, system, source: worked.source, yields_at, strength }, Some(worked))
        }
        Err(_) => {
            let length = steel.diameter * USUAL_LAP_DIAMETERS;
            (Lap { length, system, source: USUAL_LAP, yields_at, strength }, None)
        }
    }
}

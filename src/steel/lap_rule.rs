//! The lap a published rule asks for, from what is known of the bars and the concrete round them.

use super::shape::Steel;
use crate::{
    job::Job,
    schema::{Bars, BlockId, HookRule, LapRules, RowLevel, Section, StretchPart},
    standards::{
        Basis, ConcreteWeight, Worked,
        basis::Spliced,
        development::{Coating, Straight},
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

/// The lap for long bars of a block: all lapped at one place, in tension (ACI 318-19 25.5.2 class B, IRC Table R608.5.4(1), or
/// EN 1992-1-1 8.7.3), and how it was worked out, if a rule answers. Cover and spacing are read off the rows and the sections they run along; what is not known counts as
/// unfavourable.
#[must_use]
pub fn lap(job: &Job, bars: &Bars, steel: &Steel) -> (Lap, Option<Worked<Length>>) {
    let basis = lap_rules(job, steel.hooks);
    let yields_at = yields_at(bars, steel.hooks);
    let (system, least) = match basis {
        Basis::Ec2 => (System::Metric, Stress::from_mpa(20.0)),
        Basis::Aci | Basis::AciGeneral | Basis::Irc => (System::Feet, Stress::from_psi(2500.0)),
    };
    let sections = run_along(job, bars);
    let strengths = sections
        .iter()
        .flat_map(|(section, _)| job.pours_of(*section))
        .filter_map(|pour| job.mix(pour.say.mix.0)?.say.strength)
        .map(|strength| strength.0);
    let strength = strengths.reduce(|one, other| if other < one { other } else { one }).unwrap_or(least);
    let (cover, fresh_below) = surround(bars, steel, &sections);
    let bar = Straight {
        system,
        diameter: steel.diameter,
        fy: yields_at,
        fc: strength,
        weight: ConcreteWeight::Normal,
        coating: Coating::Bare,
        cover,
        clear_spacing: spacing(bars) - steel.diameter,
        ties: false,
        ktr: Length::ZERO,
        fresh_below,
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

/// The sections a block's bars run along; of legs all that stand on their wall.
fn run_along<'j>(job: &'j Job, bars: &'j Bars) -> Vec<(BlockId, &'j Section)> {
    let mut out = Vec::new();
    for part in bars.along.iter().flat_map(|along| &along.0) {
        let wall = match part.value {
            StretchPart::All(block) => match job.section(block) {
                Some(section) => {
                    out.push((block, &section.say));
                    continue;
                }
                None => block,
            },
            StretchPart::Legs { from, .. } => from.wall,
        };
        let on_wall = |section: &Section| {
            section.along.0.iter().any(|part| match part.value {
                StretchPart::All(block) => block == wall,
                StretchPart::Legs { from, .. } => from.wall == wall,
            })
        };
        out.extend(
            job.sections.iter().filter(|section| on_wall(&section.say)).map(|section| (section.id, &section.say)),
        );
    }
    out
}

/// The least cover of the rows in these sections, and the most fresh concrete below one of them. No cover at all where
/// nothing is known.
fn surround(bars: &Bars, steel: &Steel, sections: &[(BlockId, &Section)]) -> (Length, Option<Length>) {
    let half = steel.diameter / 2;
    let offset = bars.offset.map_or(Length::ZERO, |offset| offset.value);
    let mut cover: Option<Length> = None;
    let mut below: Option<Length> = None;
    for (_, section) in sections {
        let (inner, outer) = match (&section.offset, &section.thick) {
            (Some(offset), _) => (offset.value.from, offset.value.to),
            (None, Some(thick)) => {
                let all = thick.value.on.0.iter().map(|on| on.value.0);
                (Length::ZERO, all.fold(thick.value.thick.0, Length::min))
            }
            (None, None) => continue,
        };
        if offset <= inner || offset >= outer {
            continue;
        }
        let (bottom, top) = (section.height.value.from, section.height.value.to);
        for height in bars.rows.iter().flat_map(|rows| rows.value.heights.iter().flatten()) {
            let level = match height.value {
                RowLevel::At(level) => level,
                RowLevel::Top(by) => top + by,
                RowLevel::Bottom(by) => bottom + by,
            };
            if level <= bottom || level >= top {
                continue;
            }
            let sides = [offset - inner, outer - offset, level - bottom, top - level];
            let least = sides.into_iter().fold(outer - inner, Length::min) - half;
            cover = Some(cover.map_or(least, |cover| cover.min(least)));
            below = Some(below.map_or(level - bottom, |below| below.max(level - bottom)));
        }
    }
    (cover.unwrap_or(Length::ZERO).max(Length::ZERO), below)
}

/// The least distance of two rows that are measured alike; a metre where there is one row.
fn spacing(bars: &Bars) -> Length {
    let mut levels: Vec<(u8, Length)> = bars
        .rows
        .iter()
        .flat_map(|rows| rows.value.heights.iter().flatten())
        .map(|height| match height.value {
            RowLevel::At(level) => (0, level),
            RowLevel::Top(by) => (1, by),
            RowLevel::Bottom(by) => (2, by),
        })
        .collect();
    levels.sort_unstable();
    let gaps = levels.windows(2).filter_map(|pair| match pair {
        [(one, low), (other, high)] if one == other => Some(*high - *low),
        _ => None,
    });
    gaps.min().unwrap_or(Length::METRE)
}

//! How near bars come to what is kept clear in or on the old face.
//!
//! A thing lies in the face, at its places or along its stretch, at its levels; as far around it as the job says nothing may
//! come, whichever way. One without a level is taken to be at every level of the concrete there. Of one that lies in a floor
//! or a top (`offset`) it is not said how deep, and cracks are only holes' business: neither is measured.

use std::collections::{BTreeMap, BTreeSet};

use super::clearance::{BarAt, JobPlace, NOISE, REACH, Scene, from_leg, job_place};
use crate::{
    concrete::{LegAt, Sections, Standing},
    geometry::{Patch, distance::Nearest, near_patches},
    holes::{Lies, Obstacle, Obstacles},
    job::Job,
    ledger::{Entry, Figure, Input, Ledger},
    schema::{BlockId, KindId},
    units::Length,
};

/// The bar of a block that comes nearest to a thing that is kept clear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KeptClear {
    /// The bar.
    pub bar: BarAt,
    /// The thing.
    pub thing: BlockId,
    /// From the bar's surface to the thing's middle.
    pub clear: Length,
    /// How far around it nothing may come.
    pub radius: Length,
    /// Where on the bar.
    pub at: JobPlace,
    /// Where on the thing, as seen from the same leg.
    pub to: JobPlace,
    /// How many bars of the block come too near.
    pub bars: u64,
}

impl KeptClear {
    /// How far it reaches into what is kept clear; less than nothing where it does not.
    #[must_use]
    pub fn into(&self) -> Length {
        self.radius - self.clear
    }
}

impl Scene {
    /// Bars of this wall against what is kept clear on it.
    pub(super) fn against_things(
        &self,
        wall: BlockId,
        standing: &Standing,
        sections: &Sections,
        obstacles: &Obstacles,
        out: &mut Vec<KeptClear>,
    ) {
        let here = sections.along(wall);
        let span = here.fold(None, |span: Option<(Length, Length)>, placed| {
            let (low, high) = span.unwrap_or((placed.bottom, placed.top));
            Some((low.min(placed.bottom), high.max(placed.top)))
        });
        let Some(span) = span else { return };
        let mut things: Vec<&Obstacle> = Vec::new();
        let mut patches: Vec<Patch> = Vec::new();
        for chain in standing.chains_of(wall) {
            let Some(legs) = standing.chains.get(chain).map(|chain| chain.legs.len()) else { continue };
            for leg in 0..legs {
                let (Ok(chain), Ok(leg)) = (u32::try_from(chain), u16::try_from(leg)) else { continue };
                for thing in obstacles.on(LegAt { chain, leg }) {
                    if let Some(patch) = patch(standing, thing, span) {
                        things.push(thing);
                        patches.push(patch);
                    }
                }
            }
        }
        let Some(widest) = things.iter().map(|thing| thing.radius).max() else { return };
        let thickest = self.bars.iter().map(|(_, radius)| *radius).fold(0.0, f64::max);
        let told = REACH.max(widest);
        let reach = told.nm() as f64 + thickest + NOISE;
        let mut least: BTreeMap<(BlockId, BlockId), (Length, BarAt, Nearest, Length)> = BTreeMap::new();
        let mut too_near: BTreeMap<(BlockId, BlockId), BTreeSet<u32>> = BTreeMap::new();
        near_patches(&self.segments, &patches, reach, |segment, patch, nearest| {
            let (Some((owner, bar, radius)), Some(thing)) = (self.bar(segment), things.get(patch as usize)) else {
                return;
            };
            let clear = Length::round_nm(nearest.distance - radius);
            if clear > told {
                return;
            }
            let key = (bar.bars, thing.thing);
            if clear < thing.radius {
                too_near.entry(key).or_default().insert(owner);
            }
            let kept = least.entry(key).or_insert((clear, bar, nearest, thing.radius));
            if (clear, bar) < (kept.0, kept.1) {
                *kept = (clear, bar, nearest, thing.radius);
            }
        });
        for ((bars, thing), (clear, bar, nearest, radius)) in least {
            let Some(at) = job_place(standing, bar.on, nearest.on_first) else { continue };
            let Some(to) = from_leg(standing, at.on, nearest.on_second) else { continue };
            let count = too_near.get(&(bars, thing)).map_or(0, |owners| owners.len() as u64);
            out.push(KeptClear { bar, thing, clear, radius, at, to, bars: count });
        }
    }
}

/// Where a thing lies in the face.
fn patch(standing: &Standing, thing: &Obstacle, span: (Length, Length)) -> Option<Patch> {
    let (bottom, top) = match thing.lies {
        _ if thing.crack => return None,
        Lies::Offsets(_) => return None,
        Lies::Heights(levels) => (levels.from, levels.to),
        Lies::Anywhere => span,
    };
    let frame = standing.chain(thing.on)?.run.frame(usize::from(thing.on.leg))?;
    // A place is as wide as can be told from nothing.
    let to = thing.to.max(thing.from + Length::from_nm(1));
    let at = |station: Length| frame.at(station.nm() as f64, 0.0);
    Some(Patch::Upright { from: at(thing.from), to: at(to), bottom, top })
}

/// The name of the number that tells how near: `rails.clear.bolts`.
#[must_use]
pub fn kept_clear_name(job: &Job, near: &KeptClear) -> String {
    format!("{}.clear.{}", job.name(near.bar.bars), job.name(near.thing))
}

/// Enters how near bars come to what is kept clear, and how far that is.
pub fn enter_kept_clear(job: &Job, all: &[KeptClear], ledger: &mut Ledger) {
    for near in all {
        let name = kept_clear_name(job, near);
        let (Some(bars), Some(clear)) =
            (job.bars_of(near.bar.bars), job.clears.iter().find(|clear| clear.id == near.thing))
        else {
            continue;
        };
        let Some(diameter) = super::steel(job, bars.say.size.0).map(|steel| steel.diameter) else { continue };
        let radius = Input::said("radius", clear.said(KindId::Clear, "radius"), Figure::Length(near.radius));
        ledger.enter(|| Entry {
            name: name.clone(),
            value: Figure::Length(near.clear),
            formula: "distance - diameter / 2",
            source: "plane geometry",
            inputs: vec![
                Input::given(
                    "distance",
                    Figure::Length(near.clear + diameter / 2),
                    "least distance of the centre line to the thing's middle, in the old face",
                ),
                Input::given("diameter", Figure::Length(diameter), "nominal diameter of the bar"),
                Input::typed("bars", bars.at),
                Input::typed("thing", clear.at),
            ],
        });
        ledger.enter(|| Entry {
            name: format!("{name}.wanted"),
            value: Figure::Length(near.radius),
            formula: "radius",
            source: "",
            inputs: vec![radius],
        });
    }
}

//! What lies in the floor before a form and is to be kept clear, right where the form is fixed to that floor.

use std::collections::BTreeMap;

use super::{Around, Hold, Panel, Profile, Use, standing};
use crate::{
    concrete::{LegAt, depth},
    geometry::{Bounds, BoxTree},
    job::Job,
    schema::{BlockId, Forms, StandsOn},
    units::Length,
};

/// What is kept clear along a floor, with what is kept clear around it. How deep it lies is not known: every fixing over it may hit
/// it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Laid {
    /// The thing.
    pub of: BlockId,
    /// Its stations.
    pub along: (Length, Length),
    /// From where to where out of the old face or the line it lies.
    pub out: (Length, Length),
}

/// Such things, leg by leg.
#[derive(Debug, Default)]
pub struct InFloor(BTreeMap<LegAt, (Vec<Laid>, BoxTree)>);

impl InFloor {
    /// Of all of them.
    pub fn new(all: impl Iterator<Item = (LegAt, Laid)>) -> InFloor {
        let mut by_leg: BTreeMap<LegAt, Vec<Laid>> = BTreeMap::new();
        for (on, laid) in all {
            by_leg.entry(on).or_default().push(laid);
        }
        let with_tree = |laid: Vec<Laid>| {
            let boxes: Vec<Bounds> = laid.iter().map(|laid| bounds(laid.along, laid.out)).collect();
            (laid, BoxTree::new(&boxes))
        };
        InFloor(by_leg.into_iter().map(|(on, laid)| (on, with_tree(laid))).collect())
    }

    /// Those that lie in a strip of the floor along a leg, over more of it than so much.
    fn within(&self, on: LegAt, along: (Length, Length), out: (Length, Length), more: Length) -> Vec<BlockId> {
        let Some((laid, tree)) = self.0.get(&on) else { return Vec::new() };
        let mut near = Vec::new();
        tree.touching(&bounds(along, out), &mut near);
        let near = near.iter().filter_map(|at| laid.get(*at as usize));
        let lies = near.filter(|laid| {
            let long = laid.along.1.min(along.1) - laid.along.0.max(along.0);
            long > more && laid.out.0 < out.1 && out.0 < laid.out.1
        });
        lies.map(|laid| laid.of).collect()
    }
}

fn bounds(along: (Length, Length), out: (Length, Length)) -> Bounds {
    let at = |along: Length, out: Length| [along.nm() as f64, out.nm() as f64, 0.0];
    Bounds::around([at(along.0, out.0), at(along.1, out.1)])
}

/// Whether something of a form is fixed to a floor.
#[must_use]
pub fn is_on_floor(forms: &Forms) -> bool {
    let kick = forms.kick.as_ref().is_some_and(|kick| kick.value.on == StandsOn::Floor);
    kick || forms.brace.as_ref().is_some_and(|brace| brace.value.on == StandsOn::Floor)
}

/// Where a form is fixed to a floor right over such a thing: at which level, over which, each once. What is shorter than the fixings
/// are apart, or only crosses their way, is passed by them.
pub(super) fn over(job: &Job, around: Around, forms: &Forms, panels: &[Panel]) -> Vec<(Hold, BlockId)> {
    let mut out: Vec<(Hold, BlockId)> = Vec::new();
    if around.laid.0.is_empty() || !is_on_floor(forms) {
        return out;
    }
    let profile = Profile::of(job, forms);
    let kick = forms.kick.as_ref().filter(|kick| kick.value.on == StandsOn::Floor);
    let brace = forms.brace.as_ref().map(|brace| &brace.value);
    let braced = brace.map(|brace| brace.space.value.0);
    let kicks = kick.map(|kick| kick.value.space.as_ref().map(|space| space.value.0).or(braced).unwrap_or_default());
    let foot = brace.filter(|brace| brace.on == StandsOn::Floor).map(|brace| brace.space.value.0);
    for panel in panels.iter().filter(|panel| panel.closes == Use::Face) {
        let found = around.sections.find(panel.section).zip(job.section(panel.section));
        let Some((placed, section)) = found else { continue };
        let outer = standing::outer(job, around, panel);
        let kick = kicks.map(|apart| (Hold::Kick, (profile.studs, profile.kicker), apart));
        let brace = foot.zip(panel.braced);
        let brace = brace.map(|(apart, (_, rises))| (Hold::Brace, profile.cleat(forms, rises), apart));
        for (hold, (near, far), apart) in kick.into_iter().chain(brace) {
            for interval in &placed.intervals {
                let face = depth(section, around.standing, interval.on);
                let strip = if outer { (face.1 + near, face.1 + far) } else { (face.0 - far, face.0 - near) };
                let things = around.laid.within(interval.on, (interval.start, interval.end), strip, apart);
                for over in things.into_iter().map(|thing| (hold, thing)) {
                    if !out.contains(&over) {
                        out.push(over);
                    }
                }
            }
        }
    }
    out
}

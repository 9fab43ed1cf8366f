//! How much there is of what a step works on, for times taken by a measure: `takes 6 min per ft`.

use super::Works;
use crate::{
    concrete::Class,
    geometry::Patch,
    job::Job,
    plan::Amount,
    schema::{BlockId, KindId, Measure},
    units::{Area, Length, Volume},
};

/// How much of a measure there is of a thing; none where it has none of that kind.
pub(super) fn amount(job: &Job, works: &Works, thing: BlockId, measure: Measure) -> Option<Amount> {
    match measure {
        Measure::Foot | Measure::Metre => length(job, works, thing).map(Amount::Length),
        Measure::SquareFoot | Measure::SquareMetre => area(job, works, thing).map(Amount::Area),
        Measure::CubicFoot | Measure::CubicMetre => volume(job, works, thing).map(Amount::Volume),
        Measure::Bag => {
            works.mixings.iter().find(|mixing| mixing.pour == thing).map(|mixing| Amount::Count(mixing.bags))
        }
        Measure::Batch => {
            let mixing = works.mixings.iter().find(|mixing| mixing.pour == thing)?;
            mixing.batches.map(Amount::Count)
        }
        Measure::Trip => {
            let poured = works.mixings.iter().find(|mixing| mixing.pour == thing).and_then(|mixing| mixing.trips);
            let carted = || works.debris.iter().find(|debris| debris.strip == thing).map(|debris| debris.trips);
            poured.or_else(carted).map(Amount::Count)
        }
    }
}

fn length(job: &Job, works: &Works, thing: BlockId) -> Option<Length> {
    match job.kind(thing)? {
        KindId::Cut => works.saws.iter().find(|saw| saw.id == thing).map(|saw| saw.length),
        KindId::Crack => works.injections.iter().find(|crack| crack.crack == thing).map(|crack| crack.length),
        KindId::Spall => works.patches.iter().find(|patch| patch.spall == thing).map(|patch| patch.length),
        KindId::Bars => works.bars.iter().find(|bars| bars.id == thing).map(|bars| bars.length),
        KindId::Holes => {
            let set = works.sets.get(&thing)?;
            Some(set.deep * i64::try_from(set.count).ok()?)
        }
        _ => None,
    }
}

fn area(job: &Job, works: &Works, thing: BlockId) -> Option<Area> {
    match job.kind(thing)? {
        KindId::Remove => works.strips.iter().find(|strip| strip.id == thing).map(|strip| strip.area),
        KindId::Spall => works.patches.iter().find(|patch| patch.spall == thing).map(|patch| patch.area),
        KindId::Forms => works.forms.iter().find(|forms| forms.forms == thing).map(crate::formwork::Formwork::area),
        KindId::Prepare => {
            let face = job.prepare(thing)?;
            // Of a joint, the side that is there first is made ready for the other.
            let joints = works.solids.readied.iter().filter(|one| one.face == thing);
            let joints = joints.filter(|one| one.joint.is_cast_against(one.pour, &works.turn));
            let joints: Area = joints.map(|one| one.joint.area).sum();
            if face.say.meets.is_some() {
                return Some(joints);
            }
            let mine = |section: BlockId| face.say.of.iter().any(|of| of.value.0 == section);
            let solids = works.solids.pours.iter().filter(|solid| solid.sections.iter().any(|(id, _)| mine(*id)));
            // The skin is only made for bars and forms; without it a pour that is prepared whole has its area all the same.
            let old = solids.map(|solid| {
                let whole = solid.sections.iter().all(|(id, _)| mine(*id));
                let skins = solid.skins.iter().filter(|skin| skin.class == Class::Old && mine(skin.section));
                match (whole, solid.skins.is_empty()) {
                    (true, _) => Some(solid.areas.of(Class::Old)),
                    (false, false) => Some(skins.map(|skin| upright(&skin.patch)).sum()),
                    (false, true) => None,
                }
            });
            Some(old.sum::<Option<Area>>()? + joints)
        }
        _ => None,
    }
}

fn upright(patch: &Patch) -> Area {
    match patch {
        Patch::Upright { from, to, bottom, top } => Length::round_nm(from.distance(*to)) * (*top - *bottom),
        Patch::Level { .. } => Area::ZERO,
    }
}

fn volume(job: &Job, works: &Works, thing: BlockId) -> Option<Volume> {
    match job.kind(thing)? {
        KindId::Remove => works.strips.iter().find(|strip| strip.id == thing).map(|strip| strip.volume),
        KindId::Spall => works.patches.iter().find(|patch| patch.spall == thing).map(|patch| patch.volume),
        KindId::Pour => works.mixings.iter().find(|mixing| mixing.pour == thing).map(|mixing| mixing.placed),
        _ => None,
    }
}

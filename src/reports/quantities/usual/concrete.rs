//! What is taken of mixes, of placing, of young concrete and of its curing.

use std::collections::BTreeSet;

use super::{OWN, Rows};
use crate::{
    compile::Compiled,
    concrete::USUAL_WASTE,
    curing::{self, AS_AIR, Act, DATUM, MEAN_OF_DAY, STRAIGHT_DAY, STRIP_STRENGTH},
    placing::Trip,
    schema::{BlockId, Strong},
    standards::{
        PRACTICE,
        curing::{BACKFILL_PART, HAND_LAYER, SIDE_FORMS, USUAL_KNITTING},
        handwork::{RODDING, SETTING, STIFFENING, TIPPING, TRIP, WALKING},
    },
    steel::usual_strength,
    units::{Ratio, show},
};

/// Waste of concrete.
pub(super) fn waste(compiled: &Compiled, rows: &mut Rows) {
    let (job, works) = (&compiled.job, &compiled.works);
    for mixing in works.mixings.iter().filter(|mixing| mixing.usual_waste) {
        let taken = show::percent(Ratio::from_fraction(USUAL_WASTE)).to_string();
        rows.add(format!("{}: waste", job.name(mixing.pour)), taken, "common practice for formed work, no source");
    }
}

/// What the days take of young concrete that something is done to: when it has set, and when it may be drilled.
pub(super) fn young(compiled: &Compiled, rows: &mut Rows) {
    let job = &compiled.job;
    let Some(days) = &compiled.works.days else { return };
    let mixes: BTreeSet<BlockId> = days.set.iter().filter_map(|pour| Some(job.pour(*pour)?.say.mix.0)).collect();
    for mix in mixes.into_iter().filter_map(|mix| job.mix(mix)).filter(|mix| mix.say.sets.is_none()) {
        let (time, at) = (SETTING.value.reference, SETTING.value.at);
        let taken =
            format!("{} at {}, longer when it is colder", show::time(time), show::temperature(at, job.system()));
        rows.add(format!("{}: sets", mix.name), taken, SETTING.source);
    }
    for pour in &days.drilled {
        let said = job.cures.iter().any(|cure| cure.say.of.value.0 == *pour && cure.say.load.is_some());
        let taken = match said {
            true => "when it may be loaded, as its cure says".to_owned(),
            false => format!("when it has {} of its strength", show::percent(BACKFILL_PART.value)),
        };
        rows.add(format!("{}: drilled", job.name(*pour)), taken, BACKFILL_PART.source);
    }
}

/// How the concrete is placed: crew, layers, trips, and how long it can be worked.
pub(super) fn placed(compiled: &Compiled, rows: &mut Rows) {
    let (job, works) = (&compiled.job, &compiled.works);
    let system = job.system();
    for placing in &works.placings {
        let name = job.name(placing.pour);
        let usual = placing.usual;
        if usual.crew {
            rows.add(format!("{name}: crew"), "1".to_owned(), OWN);
        }
        if usual.lift {
            rows.add(format!("{name}: lift"), show::exact(placing.lift, system).to_string(), HAND_LAYER.source);
        }
        if usual.carry {
            let taken = format!("{} at once", show::carried(placing.plan.crew.carry, system));
            rows.add(format!("{name}: carry"), taken, PRACTICE);
        }
        match placing.trip {
            Trip::Said(_) => {}
            Trip::Route(route, _) => {
                let (walking, tipping) = (show::speed(WALKING.value, system), show::time(TIPPING.value));
                let taken = format!("walked at {walking} along {}, and {tipping} to fill and tip it", job.name(route));
                rows.add(format!("{name}: a trip"), taken, PRACTICE);
            }
            Trip::Usual => rows.add(format!("{name}: a trip"), show::time(TRIP.value).to_string(), PRACTICE),
        }
        if usual.rod {
            rows.add(format!("{name}: rod"), format!("{} a batch", show::time(RODDING.value)), PRACTICE);
        }
        let mix = job.pour(placing.pour).map_or("", |pour| job.name(pour.say.mix.0));
        if placing.knits.is_usual() {
            let taken = format!(
                "{} at {}, never more than {}",
                show::time(USUAL_KNITTING.value.reference),
                show::temperature(USUAL_KNITTING.value.at, system),
                show::time(USUAL_KNITTING.value.most)
            );
            rows.add(format!("{mix}: knits"), taken, USUAL_KNITTING.source);
        }
        if placing.went.shortest_above_open.is_some() && placing.stiffens.is_usual() {
            let (time, at) = (STIFFENING.value.reference, STIFFENING.value.at);
            let taken = format!("{} at {}", show::time(time), show::temperature(at, system));
            rows.add(format!("{mix}: stiffens"), taken, STIFFENING.source);
        }
    }
}

/// Strength of what nobody said a strength of, new and old.
pub(super) fn strengths(compiled: &Compiled, rows: &mut Rows) {
    let (job, works) = (&compiled.job, &compiled.works);
    let system = job.system();
    let mut weak: Vec<&str> = Vec::new();
    for anchored in works.anchored.iter().filter(|anchored| anchored.usual_strength) {
        weak.extend(works.sets.get(&anchored.holes).map(|set| job.name(set.into.block)));
    }
    let of_mix = |pour| {
        let mix = job.pour(pour).and_then(|pour| job.mix(pour.say.mix.0))?;
        mix.say.strength.is_none().then_some(mix.name.as_str())
    };
    weak.extend(works.joints.iter().filter(|joint| !joint.surfaces.is_empty()).filter_map(|joint| of_mix(joint.pour)));
    weak.sort_unstable();
    weak.dedup();
    for block in weak {
        let taken = show::stress(usual_strength(system), system).to_string();
        rows.add(format!("{block}: strength"), taken, PRACTICE);
    }
}

/// What weather and curing take.
pub(super) fn cured(compiled: &Compiled, rows: &mut Rows) {
    let job = &compiled.job;
    let system = job.system();
    let cures = &compiled.works.cures;
    if cures.iter().any(|cured| !cured.ages().is_empty()) {
        rows.add(
            "weather: warmth of concrete".to_owned(),
            "half of the day's lowest and highest, or what it is kept at if that is more".to_owned(),
            MEAN_OF_DAY,
        );
        rows.add(
            "weather: maturity".to_owned(),
            format!("counts from {} on", show::temperature(DATUM, system)),
            "ASTM C1074 for Type I, seen in a secondary source",
        );
        rows.add(
            "weather: equivalent age".to_owned(),
            "5000 K at 23 degC beside ACI 209R; 4000 K at 20 degC beside EN 1992-1-1".to_owned(),
            "ASTM C1074, from memory; EN 1992-1-1 Annex B and Model Code, from memory",
        );
    }
    let mut mixes: Vec<&str> = Vec::new();
    for cured in cures {
        let name = job.name(cured.cure);
        if let Some((fresh, false)) = cured.fresh {
            rows.add(format!("{name}: fresh"), show::temperature(fresh, system).to_string(), AS_AIR);
        }
        let unsaid =
            job.cure(cured.cure).and_then(|cure| cure.say.warm.as_ref()).is_some_and(|warm| warm.value.at.is_none());
        if let Some(warmth) = cured.warmth.filter(|_| unsaid) {
            let taken = show::temperature(warmth.at, system).to_string();
            rows.add(format!("{name}: warm"), taken, "ACI 306R, by the least thickness, seen in a reproduction");
        }
        for ready in &cured.readies {
            if ready.act == Act::Strip && ready.counted.is_some() {
                let taken = format!("{} of air that is not too cold", show::time(SIDE_FORMS.value));
                rows.add(format!("{name}: side forms stay"), taken, SIDE_FORMS.source);
                rows.add(
                    format!("{name}: hours that count"),
                    "by a straight line from lowest to highest and back".to_owned(),
                    STRAIGHT_DAY,
                );
            }
            if ready.usual && ready.part.is_some() {
                let taken = match ready.wanted {
                    Strong::At(stress) => show::stress(stress, system).to_string(),
                    Strong::Part(part) => format!("{} of that at 28 days", show::percent(part)),
                };
                let source = if ready.act == Act::Strip { STRIP_STRENGTH } else { BACKFILL_PART.source };
                rows.add(format!("{name}: {} at", ready.act.clause()), taken, source);
            }
        }
        let mix = job.pour(cured.pour).and_then(|pour| job.mix(pour.say.mix.0));
        if let Some(mix) = mix.filter(|mix| mix.say.cement.is_none() && !mixes.contains(&mix.name.as_str())) {
            mixes.push(&mix.name);
            let taken = curing::usual_cement(system).word().to_owned();
            rows.add(format!("{}: cement", mix.name), taken, "common practice, no source; the bag goes before");
        }
    }
}

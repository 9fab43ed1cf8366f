//! What one finished job says.

use std::collections::{BTreeMap, BTreeSet};

use super::{Rate, Subject};
use crate::{
    job::Job,
    outcome::time_taken,
    schema::BlockId,
    steel,
    units::{Duration, Length, Volume},
    works::Works,
};

/// Cubic nanometres in a cubic millimetre.
const CUBIC_MM: i128 = 1_000_000_000_000_000_000;

/// What is summed over a job: so much, for so many, resting on so many things.
type Sums = BTreeMap<Subject, (i128, i128, u64)>;

/// The rates of one job, each with the things it rests on.
pub(super) fn seen(job: &Job, works: &Works) -> Vec<(Subject, (Rate, u64))> {
    let mut sums = Sums::new();
    times(job, works, &mut sums);
    batches(works, &mut sums);
    concrete(works, &mut sums);
    resin(job, works, &mut sums);
    blades(works, &mut sums);
    let rates = sums
        .into_iter()
        .filter_map(|(subject, (top, bottom, things))| Some((subject, (Rate::new(top, bottom)?, things))));
    rates.collect()
}

fn add(sums: &mut Sums, subject: Subject, top: i128, bottom: i128, things: u64) {
    let sum = sums.entry(subject).or_default();
    sum.0 = sum.0.saturating_add(top);
    sum.1 = sum.1.saturating_add(bottom);
    sum.2 = sum.2.saturating_add(things);
}

fn seconds(time: Duration) -> i128 {
    time.seconds().round() as i128
}

/// Steps that do one thing only, finished and with their time: what else a step does would be in its time.
fn times(job: &Job, works: &Works, sums: &mut Sums) {
    for step in &job.steps {
        let facts = &works.facts;
        let Some(time) = time_taken(job, facts, step.id).filter(|_| facts.done(step.id).is_some()) else { continue };
        let [verb] =
            step.say.work.0.iter().map(|work| work.verb).collect::<BTreeSet<_>>().into_iter().collect::<Vec<_>>()[..]
        else {
            continue;
        };
        let things: BTreeSet<BlockId> =
            step.say.work.0.iter().flat_map(|work| &work.things).map(|thing| thing.value).collect();
        let found = match verb {
            "drill" => drilled(works, &things),
            "set" | "place" => tied(job, works, &things, verb),
            _ => None,
        };
        if let Some((subject, count)) = found.filter(|(_, count)| *count > 0) {
            add(sums, subject, seconds(time), i128::from(count), count);
        }
    }
}

/// Holes of one width; one that was drilled anew counts twice.
fn drilled(works: &Works, things: &BTreeSet<BlockId>) -> Option<(Subject, u64)> {
    let sets: Option<Vec<_>> = things.iter().map(|thing| works.sets.get(thing)).collect();
    let sets = sets?;
    let widths: BTreeSet<Length> = sets.iter().map(|set| set.wide).collect();
    let wide = widths.first().filter(|_| widths.len() == 1)?;
    let anew = works.holes_done.drilled.iter().filter(|one| things.contains(&one.set));
    let anew = anew.filter(|one| one.fact.hit.is_some() && one.now.is_some()).count() as u64;
    Some((Subject::Drill(*wide), sets.iter().map(|set| set.count).sum::<u64>() + anew))
}

/// Bars, less those left out.
fn tied(job: &Job, works: &Works, things: &BTreeSet<BlockId>, verb: &str) -> Option<(Subject, u64)> {
    let made: Option<Vec<_>> = things.iter().map(|thing| steel::made(&works.bars, *thing)).collect();
    let made = made?;
    let sizes: BTreeSet<&str> = made.iter().map(|made| job.name(made.steel.id)).collect();
    let size = sizes.into_iter().collect::<Vec<_>>().join(", ");
    let left_out = things.iter().filter_map(|thing| works.facts.left_out.get(thing)).map(|used| used.count).sum();
    let count = made.iter().map(|made| made.count).sum::<u64>().saturating_sub(left_out);
    Some((if verb == "set" { Subject::Set(size) } else { Subject::Place(size) }, count))
}

/// Pours with their hours and bags.
fn batches(works: &Works, sums: &mut Sums) {
    for mixing in &works.mixings {
        let Some(done) = works.facts.pours.get(&mixing.pour) else { continue };
        let (Some(hours), Some(bags), Some(per)) = (done.hours, done.bags, mixing.per_batch) else { continue };
        let count = bags.value.div_ceil(per.max(1));
        add(sums, Subject::Batch(per), seconds(hours.value.to.0 - hours.value.from.0), i128::from(count), count);
    }
}

fn concrete(works: &Works, sums: &mut Sums) {
    for mixing in &works.mixings {
        let Some(bags) = works.facts.pours.get(&mixing.pour).and_then(|done| done.bags) else { continue };
        let placed = (mixing.placed + mixing.patches).nm3() / CUBIC_MM;
        let mixed = (mixing.yields.nm3() / CUBIC_MM).saturating_mul(i128::from(bags.value));
        add(sums, Subject::ConcreteWaste, mixed - placed, placed, bags.value);
    }
}

fn resin(job: &Job, works: &Works, sums: &mut Sums) {
    for (resin, used) in &works.facts.used {
        let Some(size) = job.resin(*resin).and_then(|resin| resin.say.cartridge.as_ref()).map(|one| one.holds.0) else {
            continue;
        };
        // What fills cracks comes of the same cartridges, and nobody measures how much.
        if works.injections.iter().any(|one| one.resin == *resin) {
            continue;
        }
        let fills = || works.fills.iter().filter(|fill| fill.resin == *resin);
        let net: Volume =
            fills().map(|fill| works.holes_done.resin.get(&fill.holes).copied().unwrap_or(fill.net)).sum();
        let purge: Volume = fills().map(|fill| fill.purge * i64::try_from(fill.nozzles).unwrap_or(0)).sum();
        let net = net.nm3() / CUBIC_MM;
        let took = (size.nm3() / CUBIC_MM).saturating_mul(i128::from(used.count)) - purge.nm3() / CUBIC_MM;
        add(sums, Subject::ResinWaste(job.name(*resin).to_owned()), took - net, net, used.count);
    }
}

fn blades(works: &Works, sums: &mut Sums) {
    for saw in &works.saws {
        let Some(used) = works.facts.used.get(&saw.id).filter(|used| used.count > 0) else { continue };
        let sawn =
            i128::from(saw.length.nm()).saturating_mul(i128::from(saw.deep.nm())) / i128::from(Length::INCH.nm());
        add(sums, Subject::Blade(saw.blade), sawn, i128::from(used.count), used.count);
    }
}

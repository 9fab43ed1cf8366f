//! What must be on site before a step begins.

use crate::{
    buying::bits_for,
    compile::Compiled,
    problem::count,
    schema::{BlockId, KindId},
    steel,
    units::show,
};

/// In words, one entry a thing.
pub(super) fn of(compiled: &Compiled, node: BlockId) -> Vec<String> {
    let job = &compiled.job;
    let Some(step) = job.step(node) else { return Vec::new() };
    let mut out: Vec<String> = Vec::new();
    for work in &step.say.work.0 {
        for thing in &work.things {
            out.extend(one(compiled, work.verb, thing.value));
        }
    }
    let used = compiled.works.at_steps.iter().find(|at| at.step == node);
    for tool in used.iter().flat_map(|at| &at.used) {
        out.extend(tool.tool.map(|tool| job.name(tool).to_owned()));
    }
    let hired = job.hires.iter().filter(|hire| hire.say.steps.iter().any(|step| step.value.0 == node));
    out.extend(hired.map(|hire| {
        let title = if hire.title.is_empty() { &hire.name } else { &hire.title };
        format!("hired: {title}")
    }));
    let mut seen = std::collections::BTreeSet::new();
    out.retain(|need| seen.insert(need.clone()));
    out
}

fn one(compiled: &Compiled, verb: &str, thing: BlockId) -> Vec<String> {
    let (job, works) = (&compiled.job, &compiled.works);
    let system = job.system();
    match (verb, job.kind(thing)) {
        ("drill", Some(KindId::Holes)) => works
            .sets
            .get(&thing)
            .map(|set| {
                let bits = match bits_for(job, set) {
                    1 => "a bit".to_owned(),
                    bits => format!("{bits} bits"),
                };
                format!("{bits} of {} for {}", show::exact(set.wide, system), many(set.count, "hole", "holes"))
            })
            .into_iter()
            .collect(),
        ("set", Some(KindId::Bars)) => {
            let set = job
                .bars_of(thing)
                .and_then(|bars| bars.say.holes.as_ref())
                .and_then(|holes| job.holes_of(holes.value.0));
            let named = set.and_then(|holes| holes.say.fill.as_ref()).map(|fill| resin(job.name(fill.0)));
            bars(compiled, thing).into_iter().chain(named).collect()
        }
        ("place", Some(KindId::Bars)) => bars(compiled, thing),
        ("pour", Some(KindId::Pour)) => {
            let Some(mixing) = works.mixings.iter().find(|mixing| mixing.pour == thing) else { return Vec::new() };
            let bags = format!("{} of {}", many(mixing.bags, "bag", "bags"), job.name(mixing.mix));
            let water = mixing.water.map(|(_, most)| {
                let all = most * i64::try_from(mixing.bags).unwrap_or(i64::MAX);
                format!("{} of water", show::water(all, system))
            });
            // What covers it is at hand before it comes.
            let cure = job.cures.iter().find(|cure| cure.say.of.value.0 == thing).map(|cure| &cure.say);
            let wrap = cure.filter(|cure| cure.wrap.is_some()).map(|_| "the sheet to wrap it in".to_owned());
            let warm = cure.filter(|cure| cure.warm.is_some());
            let warm = warm.map(|_| "covers to keep it warm, and a thermometer under them".to_owned());
            std::iter::once(bags).chain(water).chain(wrap).chain(warm).collect()
        }
        ("form", Some(KindId::Forms)) => {
            let Some(formed) = works.forms.iter().find(|formed| formed.forms == thing) else { return Vec::new() };
            let sheets = formed
                .sheets
                .as_ref()
                .map(|sheets| format!("{} of {}", many(sheets.count, "sheet", "sheets"), job.name(sheets.size)));
            let pieces: u64 = formed.parts.iter().map(|part| part.count).sum();
            let boards = (pieces > 0).then(|| many(pieces, "piece of board", "pieces of board"));
            sheets.into_iter().chain(boards).collect()
        }
        ("inject", Some(KindId::Crack)) => works
            .injections
            .iter()
            .filter(|crack| crack.crack == thing)
            .map(|crack| format!("{}, {}", resin(job.name(crack.resin)), many(crack.ports, "port", "ports")))
            .collect(),
        ("remove", Some(KindId::Remove)) => works
            .debris
            .iter()
            .filter(|debris| debris.strip == thing)
            .map(|debris| format!("room for {} of debris", show::volume(debris.loose, system)))
            .collect(),
        _ => Vec::new(),
    }
}

fn bars(compiled: &Compiled, thing: BlockId) -> Vec<String> {
    let made = steel::made(&compiled.works.bars, thing);
    let there = |count: u64| count.saturating_sub(compiled.works.left_out(thing));
    made.map(|made| format!("{} of {}", many(there(made.count), "bar", "bars"), compiled.job.name(thing)))
        .into_iter()
        .collect()
}

/// A resin by its name; one that is called just that needs no other word.
fn resin(name: &str) -> String {
    if name == "resin" { name.to_owned() } else { format!("resin {name}") }
}

fn many(number: u64, one: &str, several: &str) -> String {
    count(usize::try_from(number).unwrap_or(usize::MAX), one, several)
}

//! What nobody has written down yet.

use super::{holes, pours};
use crate::{
    compile::Compiled,
    curing::Act,
    outcome::time_taken,
    problem::count,
    reports::{BoxLine, Paper, Part, Words},
};

pub(super) fn add(compiled: &Compiled, paper: &mut Paper) {
    paper.push(Part::Heading(2, Words::from("Still blank")));
    let blanks = blanks(compiled);
    if blanks.is_empty() {
        paper.push(Part::Text(Words::from("Nothing: all that is asked for is written down.")));
        return;
    }
    paper.push(Part::Boxes(blanks.into_iter().map(|(what, clause)| BoxLine::new(what).detail(clause)).collect()));
}

/// What is blank, and the clause that would fill it.
pub(in crate::reports) fn blanks(compiled: &Compiled) -> Vec<(String, String)> {
    let (job, works) = (&compiled.job, &compiled.works);
    let facts = &works.facts;
    let mut out = Vec::new();
    for step in &job.steps {
        let name = &step.name;
        match (facts.done(step.id), time_taken(job, facts, step.id)) {
            (None, _) => out.push((format!("{}: done on, took", step.title), format!("done {name}, took …"))),
            (Some(_), None) => out.push((format!("{}: how long it took", step.title), format!("done {name}, took …"))),
            (Some(_), Some(_)) => {}
        }
    }
    for look in job.looks.iter().filter(|look| facts.passed(look.id).is_none()) {
        out.push((format!("{}: passed or refused", look.title), format!("looked {} by …, passed \"…\"", look.name)));
    }
    for set in works.sets.values() {
        let drilled = holes::is_drilled(compiled, set.id);
        let open = set.each().filter(|hole| !holes::is_known(compiled, set.id, hole.number, drilled)).count();
        if open > 0 {
            let (name, depth) = (job.name(set.id), "bore … by …");
            out.push((
                format!(
                    "{}: as planned, or what came of each",
                    count(open, &format!("hole of {name}"), &format!("holes of {name}"))
                ),
                format!("hole {name}.1 {depth}"),
            ));
        }
    }
    for made in works.bars.iter().filter(|made| made.count > 0) {
        if holes::handled(compiled, made.id, &["set", "place"]).is_none() {
            let name = job.name(made.id);
            out.push((format!("bars {name}: set or placed on, left out"), format!("short {name} by …")));
        }
    }
    for pour in &job.pours {
        let name = &pour.name;
        let Some(done) = facts.pours.get(&pour.id) else {
            let clause = format!("poured {name} from … to …, used … bags with …, air …, concrete …");
            out.push((format!("pour {name}: day, hours, bags, water, temperatures"), clause));
            continue;
        };
        let parts = [
            (done.hours.is_none(), "from when to when", "from … to …"),
            (done.bags.is_none(), "bags", "used … bags"),
            (done.water.is_none(), "water for a bag", "with …"),
            (done.air.is_none(), "how warm the air was", "air …"),
            (done.concrete.is_none(), "how warm the concrete was", "concrete …"),
        ];
        for (_, what, part) in parts.into_iter().filter(|(blank, ..)| *blank) {
            out.push((format!("pour {name}: {what}"), format!("poured {name} {part}")));
        }
    }
    // Sections that could not be placed are told of elsewhere.
    for section in job.pours.iter().filter(|pour| facts.pours.contains_key(&pour.id)).flat_map(|pour| &pour.say.fill) {
        let id = section.value.0;
        if works.sections.find(id).is_some() && !facts.sizes.contains_key(&id) {
            let name = job.name(id);
            out.push((
                format!("section {name}: how thick it came out, the level of its top"),
                format!("measured {name} at …, thick …, top …"),
            ));
        }
    }
    for cured in &works.cures {
        for ready in &cured.readies {
            let name = job.name(cured.pour);
            let (what, clause) = match ready.act {
                Act::Load => ("loaded on", "loaded"),
                Act::Backfill => ("filled in against on", "backfilled"),
                Act::Strip => continue,
            };
            if pours::last_done(compiled, cured.pour, ready.act).is_none() {
                out.push((format!("pour {name}: {what}"), format!("{clause} {name}")));
            }
        }
    }
    for order in works.resins.iter().filter(|order| !facts.used.contains_key(&order.resin)) {
        let name = job.name(order.resin);
        out.push((format!("{name}: cartridges used"), format!("used … cartridges of {name}")));
    }
    for saw in works.saws.iter().filter(|saw| !facts.used.contains_key(&saw.id)) {
        let name = job.name(saw.id);
        out.push((format!("{name}: blades worn"), format!("used … blades of {name}")));
    }
    out
}

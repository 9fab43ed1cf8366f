//! `cause-unasked`, `water-unasked`, `ground-odd` and `hangs-free`: what did the damage, where the water goes, ground over the
//! walls, and concrete over the ground.
//!
//! The ground falls 6 in over the first 10 ft away from a house, 5 %: IRC R401.3. That a repair over a cause that goes on does
//! not last: common practice, no source.

use crate::{
    job::{Job, Thing},
    problem::{Arg, Problem, Rule},
    rule,
    schema::{Base, Ground, KindId, Topic},
    units::show,
    works::Works,
};

rule!(CAUSE_UNASKED, "cause-unasked", Warning, "damage that is mended, and nobody asks where it came from");
rule!(WATER_UNASKED, "water-unasked", Warning, "ground that leads water to the wall, and nobody asks where it goes");

rule!(GROUND_ODD, "ground-odd", Warning, "ground outside that lies higher than every wall");
rule!(HANGS_FREE, "hangs-free", Error, "concrete that is to rest on soil or gravel, and lies over the ground there");

pub(super) static RULES: &[&Rule] = &[&CAUSE_UNASKED, &WATER_UNASKED, &GROUND_ODD, &HANGS_FREE];

/// How much the ground is to fall away: 6 in over 10 ft.
const FALL: f64 = 0.05;

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    problems.extend(free(job, works));
    if job.broken.iter().any(|id| matches!(job.kind(*id), None | Some(KindId::Ask))) {
        return;
    }
    let asked = |topic| job.asks.iter().any(|ask| ask.say.about == Some(topic));
    let cracks = job.cracks.iter().map(|crack| (crack.at, &crack.name));
    let spalls = job.spalls.iter().map(|spall| (spall.at, &spall.name));
    if let Some((at, name)) = cracks.chain(spalls).min().filter(|_| !job.steps.is_empty() && !asked(Topic::Cause)) {
        problems.push(
            Problem::new(&CAUSE_UNASKED, at, "nobody asks what made `{0}`")
                .arg(name.as_str())
                .thing(name)
                .help("write the question, and the answer when there is one: `ask cause \"What made the damage, and does it go on?\" { about cause }`"),
        );
    }
    problems.extend(job.grounds.iter().filter_map(|ground| buried(job, ground)));
    for ground in job.grounds.iter().filter(|_| !job.steps.is_empty() && !job.walls.is_empty()) {
        let Some(outside) = &ground.say.outside else { continue };
        let falls = outside.falls.map_or(0.0, |falls| falls.fraction());
        if falls < FALL - 1e-9 && !asked(Topic::Water) {
            problems.push(
                Problem::new(&WATER_UNASKED, ground.said(KindId::Ground, "outside"), match outside.falls {
                    Some(_) => "the ground falls {0} away from the wall, and 5% is wanted",
                    None => "it is not said how the ground falls away from the wall, and 5% is wanted",
                })
                    .arg(outside.falls.map_or_else(String::new, |falls| show::percent(falls).to_string()))
                    .thing("ground")
                    .help("write the question, and the answer when there is one: `ask water \"Where does the water go that comes to the wall?\" { about water }`"),
            );
        }
    }
}

/// Sections whose underside, or a part of it, lies on nothing: no slab, no other concrete, and the ground ends below it.
fn free<'w>(job: &'w Job, works: &'w Works) -> impl Iterator<Item = Problem> + 'w {
    works.solids.pours.iter().flat_map(|solid| &solid.hangs).filter_map(|hang| {
        let (section, placed) = (job.section(hang.section)?, works.sections.find(hang.section)?);
        let (at, thing) = (section.said(KindId::Section, "height"), section.name.as_str());
        let base = if section.say.base == Some(Base::Gravel) { "gravel" } else { "soil" };
        Some(
            Problem::new(
                &HANGS_FREE,
                at,
                "{0} of the underside of `{1}` hang over the ground: it is to rest on {2} at {3}, and the ground lies no higher than {4}",
            )
            .arg(Arg::Area(hang.area))
            .arg(thing)
            .arg(Arg::Word(base))
            .arg(placed.bottom)
            .arg(hang.ground)
            .thing(thing)
            .help("begin lower: the ground lies at {4}; or, where a form carries what hangs, write `base form`"),
        )
    })
}

/// Ground that lies over the tops of all walls.
fn buried(job: &Job, ground: &Thing<Ground>) -> Option<Problem> {
    let level = ground.say.outside.as_ref()?.level;
    let heights = job.walls.iter().flat_map(|wall| {
        let own = wall.say.legs.0.iter().filter_map(|leg| leg.height.map(|height| height.to));
        own.chain(wall.say.height.map(|height| height.to))
    });
    let top = heights.max().filter(|top| level > *top)?;
    Some(
        Problem::new(
            &GROUND_ODD,
            ground.said(KindId::Ground, "outside"),
            "the ground outside lies at {0}, and no wall is higher than {1}",
        )
        .arg(level)
        .arg(top)
        .thing("ground")
        .help("check the level: it is counted from the datum, as the walls are; below it, it is written with a minus"),
    )
}

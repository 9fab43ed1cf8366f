//! What is wrong with what stands there, in words.

use crate::{
    concrete::StandingTrouble,
    job::{Job, Thing, rules::CLAUSE_MISSING},
    problem::{Problem, Rule},
    rule,
    schema::{KindId, Wall},
    units::{Length, System},
    works::Works,
};

rule!(LEGS_MISSING, "legs-missing", Error, "a wall or line without a leg");
rule!(CORNER_MISSING, "corner-missing", Error, "two legs with no corner between them");
rule!(CORNER_LOOSE, "corner-loose", Error, "a corner that joins nothing");
rule!(CORNER_SHARP, "corner-sharp", Error, "a corner that turns by more than 135 degrees");
rule!(PLAN_OPEN, "plan-open", Error, "a closed plan that does not close");
rule!(LEG_BARE, "leg-bare", Error, "a leg whose thickness or height nobody says");
rule!(LEG_TWICE, "leg-twice", Error, "two legs of one name in one wall");
rule!(BEHIND_UNKNOWN, "behind-unknown", Error, "a far face of a leg that is not there");
rule!(STATION_OFF, "station-off", Error, "a station that is not on its leg");
rule!(WALL_ODD, "wall-odd", Warning, "an old wall thicker than foundation walls are");
rule!(STRETCH_SPLIT, "stretch-split", Error, "a stretch from one face of a wall to another");

pub(super) static RULES: &[&Rule] = &[
    &LEGS_MISSING,
    &CORNER_MISSING,
    &CORNER_LOOSE,
    &CORNER_SHARP,
    &PLAN_OPEN,
    &LEG_BARE,
    &LEG_TWICE,
    &BEHIND_UNKNOWN,
    &STATION_OFF,
    &STRETCH_SPLIT,
    &WALL_ODD,
];

/// Thicker walls stand under castles: common practice, no source.
fn thickest(system: System) -> Length {
    match system {
        System::Feet => Length::FOOT * 4,
        System::Metric => Length::MILLIMETRE * 1200,
    }
}

/// A wall in feet that is meant in inches, or in metres that is meant in decimetres.
fn odd(job: &Job, wall: &Thing<Wall>) -> Option<Problem> {
    let most = thickest(job.system());
    let own = wall.say.thick.map(|thick| thick.0);
    let legs = wall.say.legs.0.iter().filter_map(|leg| leg.thick).map(|thick| thick.0);
    let thick = own.into_iter().chain(legs).max().filter(|thick| *thick > most)?;
    let clause = if own == Some(thick) { "thick" } else { "leg" };
    let at = wall.said(KindId::Wall, clause);
    let problem = Problem::new(&WALL_ODD, at, "`{0}` is {1} thick, and old walls are seldom more than {2}")
        .arg(wall.name.as_str())
        .arg(thick)
        .arg(most)
        .thing(wall.name.as_str());
    let feet = thick.nm() / Length::FOOT.nm();
    let inches = Length::INCH * feet;
    let meant = clause == "thick" && Length::FOOT * feet == thick && inches <= most;
    Some(if meant {
        let meant = format!("thick {feet}\"");
        problem
            .arg(meant.as_str())
            .help("is `{3}` meant? if it is so thick, write so: `accept wall-odd on {0} because \"…\"`")
            .fix(at, meant)
    } else {
        problem.help(
            "measure again, and look at the unit; if it is so thick, write so: `accept wall-odd on {0} because \"…\"`",
        )
    })
}

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for trouble in &works.standing.troubles {
        problems.extend(word(job, trouble));
    }
    problems.extend(job.walls.iter().filter_map(|wall| odd(job, wall)));
    for thing in &works.obstacles.nowhere {
        let Some(at) = job.at(*thing) else { continue };
        problems.push(
            Problem::new(&CLAUSE_MISSING, at, "`{0}` has neither `on` nor `along`")
                .arg(job.name(*thing))
                .help("write where it is: `on old.back at {2'|600 mm}` for a place, `along old.back {1' to 9'|300 mm to 2700 mm}` for a stretch"),
        );
    }
}

fn word(job: &Job, trouble: &StandingTrouble) -> Option<Problem> {
    Some(match trouble {
        StandingTrouble::NoLegs { wall } => Problem::new(&LEGS_MISSING, job.at(*wall)?, "`{0}` has no leg")
            .arg(job.name(*wall))
            .help("write at least one, as in `leg back {10'|3 m}`"),
        StandingTrouble::CornerMissing { before, after } => {
            Problem::new(&CORNER_MISSING, *after, "it is not said how this leg meets the one before")
                .here("this leg")
                .label(*before, "the leg before")
                .help("write `corner outside`, `corner inside` or `corner straight` between the two")
        }
        StandingTrouble::CornerLoose { corner } => {
            Problem::new(&CORNER_LOOSE, *corner, "no leg stands before this corner")
                .help("write legs and corners in turn, from left to right: a leg, a corner, a leg")
        }
        StandingTrouble::TooSharp { corner, degrees } => {
            Problem::new(&CORNER_SHARP, *corner, "this corner turns by {0} degrees; up to 135 can be built round")
                .arg(crate::problem::Arg::Number(*degrees))
                .help("check the angle: it is how far the next leg turns away from straight on")
        }
        StandingTrouble::Open { wall, gap } => {
            Problem::new(&PLAN_OPEN, job.at(*wall)?, "the plan of `{0}` does not close: {1} are left between its ends")
                .arg(job.name(*wall))
                .arg(*gap)
                .help("check the lengths and angles, or take the corner after the last leg out")
        }
        StandingTrouble::LegBare { leg, name, lacks } => Problem::new(&LEG_BARE, *leg, "leg `{0}` has no `{1}`")
            .arg(name.as_str())
            .arg(*lacks)
            .help("write `{1}` in the wall's block for all legs, or in this leg's line"),
        StandingTrouble::LegTwice { first, second } => {
            Problem::new(&LEG_TWICE, *second, "this wall has two legs of one name")
                .here("the second")
                .label(*first, "the first")
                .help("give one of them another name")
        }
        StandingTrouble::BehindWhat { at, name } => {
            Problem::new(&BEHIND_UNKNOWN, *at, "no leg `{0}` is written above this one in its wall")
                .arg(name.as_str())
                .help("`behind` names the leg whose far face this is; write that leg first")
        }
        StandingTrouble::StationOff { at, leg, station, length } => {
            let headline = if *station < crate::units::Length::ZERO {
                "station {1} lies before leg `{0}` begins"
            } else {
                "station {1} lies past the end of leg `{0}`, which is {2} long"
            };
            Problem::new(&STATION_OFF, *at, headline)
                .arg(leg.as_str())
                .arg(*station)
                .arg(*length)
                .help("stations run from 0 to {2} on this leg, and start again at 0 on the next")
        }
        StandingTrouble::OtherFace { at } => {
            Problem::new(&STRETCH_SPLIT, *at, "this stretch runs from one face of the wall to another")
                .help("write one stretch for each face, with a comma between")
        }
    })
}

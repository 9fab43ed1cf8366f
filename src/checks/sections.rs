//! What is wrong with sections, voids and strips, in words.

use crate::{
    concrete::SectionTrouble,
    job::Job,
    problem::{Problem, Rule},
    rule,
    works::Works,
};

rule!(THICKNESS_MISSING, "thickness-missing", Error, "a section whose thickness nobody says");
rule!(INSIDE_FACE, "inside-face", Error, "new concrete inside the old face");
rule!(TWO_WALLS, "two-walls", Error, "one section along two walls");
rule!(LEG_TOO_SHORT, "leg-too-short", Error, "a leg shorter than its corners eat");
rule!(INTO_ITSELF, "into-itself", Error, "new concrete that runs into itself");
rule!(VOID_OUTSIDE, "void-outside", Error, "a void that does not lie in its section");
rule!(THICK_ELSEWHERE, "thick-elsewhere", Error, "a thickness on a leg the section does not run along");
rule!(STRIP_ELSEWHERE, "strip-elsewhere", Error, "a strip removed where its slab does not meet the face");
rule!(UNDER_SLAB, "under-slab", Warning, "new concrete under a slab that nobody breaks out");
rule!(IN_SLAB, "in-slab", Error, "new concrete where a slab lies that nobody breaks out");

pub(super) static RULES: &[&Rule] = &[
    &THICKNESS_MISSING,
    &INSIDE_FACE,
    &TWO_WALLS,
    &LEG_TOO_SHORT,
    &INTO_ITSELF,
    &VOID_OUTSIDE,
    &THICK_ELSEWHERE,
    &STRIP_ELSEWHERE,
    &IN_SLAB,
    &UNDER_SLAB,
];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for trouble in works.sections.troubles.iter().chain(&works.solids.troubles) {
        problems.extend(word(job, trouble));
    }
}

fn word(job: &Job, trouble: &SectionTrouble) -> Option<Problem> {
    Some(match trouble {
        SectionTrouble::NoThickness { section } => {
            Problem::new(&THICKNESS_MISSING, job.at(*section)?, "it is not said how thick `{0}` is")
                .arg(job.name(*section))
                .help("write `thick {8\"|200 mm}` for concrete against the face, or `offset {2\" to 10\"|50 mm to 250 mm}` for concrete off it")
        }
        SectionTrouble::InsideFace { at, offset } => {
            Problem::new(&INSIDE_FACE, *at, "{0} is inside the old face; offsets grow out of the face towards you")
                .arg(*offset)
                .help("write an offset of 0 or more")
        }
        SectionTrouble::TwoWalls { at } => Problem::new(&TWO_WALLS, *at, "this section runs along two walls")
            .help("write one section for each wall; a pour may fill both"),
        SectionTrouble::LegTooShort { at, leg, length, least } => Problem::new(
            &LEG_TOO_SHORT,
            *at,
            "leg `{0}` is too short for this: its corners eat {2} of it at this thickness",
        )
        .arg(leg.as_str())
        .arg(*length)
        .arg(*least)
        .help("on this leg the stretch must be at least {2} long, or the concrete thinner"),
        SectionTrouble::IntoItself { at } => {
            Problem::new(&INTO_ITSELF, *at, "this strip runs into itself round its corners")
                .help("make it thinner, or write it as two sections that meet")
        }
        SectionTrouble::VoidOutside { void, section } => {
            Problem::new(&VOID_OUTSIDE, job.at(*void)?, "`{0}` does not lie in section `{1}`")
                .arg(job.name(*void))
                .arg(job.name(*section))
                .label(job.at(*section)?, "the section")
                .help("check its stations, heights and offsets against the section's")
        }
        SectionTrouble::StripElsewhere { at, leg, slab } => {
            Problem::new(&STRIP_ELSEWHERE, *at, "on leg `{0}` the strip goes where slab `{1}` does not meet the face")
                .arg(leg.as_str())
                .arg(job.name(*slab))
                .label(job.at(*slab)?, "the slab")
                .help("let the strip run along what the slab is `against`, or let the slab meet more of the face")
        }
        SectionTrouble::InSlab { section, slab, under, out, strip } => {
            let rule = if *under { &UNDER_SLAB } else { &IN_SLAB };
            let (headline, help) = match (under, strip.is_some()) {
                (false, true) => (
                    "`{0}` reaches {1} out, and `{2}` is not broken out so far",
                    "write `out {1}` or more in `{3}`, or make `{0}` thinner",
                ),
                (false, false) => (
                    "`{0}` stands where slab `{2}` lies, and nobody breaks that out",
                    "break out a strip of it: `remove strip { in {2}; along …; out {1} }`; or let `{0}` begin on top of the slab",
                ),
                (true, true) => (
                    "`{0}` reaches {1} out under `{2}`, which is not broken out so far",
                    "write `out {1}` or more in `{3}`: what lies under a slab is not dug, filled and rodded from its edge; or say how it is, and accept this",
                ),
                (true, false) => (
                    "`{0}` lies under slab `{2}`, and nobody breaks that out",
                    "break out a strip of it: `remove strip { in {2}; along …; out {1} }`; or say how it is dug and filled, and accept this",
                ),
            };
            let (other, label) = strip.map_or((*slab, "the slab"), |strip| (strip, "it ends before that"));
            Problem::new(rule, job.at(*section)?, headline)
                .arg(job.name(*section))
                .arg(*out)
                .arg(job.name(*slab))
                .arg(strip.map_or("strip", |strip| job.name(strip)))
                .thing(job.name(*section))
                .label(job.at(other)?, label)
                .help(help)
        }
        SectionTrouble::ThickElsewhere { at, leg } => {
            Problem::new(&THICK_ELSEWHERE, *at, "this section does not run along leg `{0}`")
                .arg(leg.as_str())
                .help("take this thickness out, or let the section run there")
        }
    })
}

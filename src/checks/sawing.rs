//! `cut-too-deep`, `cut-past-slab` and `strip-unsawn`: what a blade reaches, how thick the slab is, and whether a strip is broken
//! out as far as it is sawn.
//!
//! Flange and guard take 2 in of a blade's radius: common practice, no source.

use crate::{
    job::{Job, Thing},
    problem::{Problem, Rule},
    rule,
    schema::{Cut, KindId, Remove},
    units::{Length, show},
    works::Works,
};

rule!(CUT_TOO_DEEP, "cut-too-deep", Error, "a saw cut deeper than its blade reaches");
rule!(CUT_PAST_SLAB, "cut-past-slab", Warning, "a saw cut deeper than the slab is thick");

rule!(STRIP_UNSAWN, "strip-unsawn", Warning, "a strip whose edge is not where its slab is sawn");

pub(super) static RULES: &[&Rule] = &[&CUT_TOO_DEEP, &CUT_PAST_SLAB, &STRIP_UNSAWN];

/// An edge so near to a cut is sawn: a cut has a width, and crumbs are knocked off (common practice, no source).
const BESIDE: Length = Length::INCH;

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for saw in &works.saws {
        let Some(cut) = job.cut(saw.id) else { continue };
        let at = cut.said(KindId::Cut, "deep");
        // A cut past the slab is told as that: it wants no larger blade.
        if saw.deep > saw.reach && job.slab(cut.say.slab.0).is_none_or(|slab| saw.deep <= slab.say.thick.0) {
            let blade = (saw.deep - saw.reach) * 2 + saw.blade;
            problems.push(
                Problem::new(&CUT_TOO_DEEP, at, "a blade of {0} reaches {1} deep, and this cut is {2}")
                    .arg(saw.blade)
                    .arg(saw.reach.max(Length::ZERO))
                    .arg(saw.deep)
                    .arg(blade)
                    .help(
                        "take a blade of {3} or larger and write it (`blade {3}`), or cut less deep and break the rest",
                    )
                    .thing(&cut.name)
                    .measure(saw.deep),
            );
        }
        let Some(slab) = job.slab(cut.say.slab.0) else { continue };
        let thick = slab.say.thick.0;
        if saw.deep > thick {
            problems.push(
                Problem::new(&CUT_PAST_SLAB, at, "`{0}` is {1} thick, and this cut is {2} deep")
                    .arg(slab.name.as_str())
                    .arg(thick)
                    .arg(saw.deep)
                    .help("write `deep {1}`: what lies under a slab is not sawn into unseen")
                    .fix(at, format!("deep {}", show::exact(thick, job.system())))
                    .thing(&cut.name)
                    .measure(saw.deep),
            );
        }
    }
    for strip in &job.removes {
        problems.extend(unsawn(job, strip));
    }
}

/// A strip beside cuts of the same slab, none of them where it ends.
fn unsawn(job: &Job, strip: &Thing<Remove>) -> Option<Problem> {
    let say = &strip.say;
    let along = |cut: &&Thing<Cut>| {
        let parts = || cut.say.along.0.iter();
        let meets = || say.along.0.iter().any(|part| parts().any(|other| part.value.meets(&other.value)));
        cut.say.slab.0 == say.slab.0 && meets()
    };
    let cuts: Vec<&Thing<Cut>> = job.cuts.iter().filter(along).collect();
    let off = |cut: &&Thing<Cut>| (cut.say.out.value.0 - say.out.value.0).abs();
    let nearest = cuts.into_iter().min_by_key(off).filter(|cut| off(cut) > BESIDE)?;
    Some(
        Problem::new(
            &STRIP_UNSAWN,
            strip.said(KindId::Remove, "out"),
            "`{0}` is broken out to {1}, and the slab is sawn at {2}",
        )
        .arg(strip.name.as_str())
        .arg(say.out.value.0)
        .arg(nearest.say.out.value.0)
        .label(nearest.said(KindId::Cut, "out"), "sawn here")
        .help("write one `out` for both; a slab breaks where it likes if it is not sawn where it is to end")
        .thing(&strip.name),
    )
}

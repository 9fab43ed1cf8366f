//! `cut-too-deep` and `cut-past-slab`: what a blade reaches, and how thick the slab is.
//!
//! Flange and guard take 2 in of a blade's radius: common practice, no source.

use crate::{
    job::Job,
    problem::{Problem, Rule},
    rule,
    schema::KindId,
    units::{Length, show},
    works::Works,
};

rule!(CUT_TOO_DEEP, "cut-too-deep", Error, "a saw cut deeper than its blade reaches");
rule!(CUT_PAST_SLAB, "cut-past-slab", Warning, "a saw cut deeper than the slab is thick");

pub(super) static RULES: &[&Rule] = &[&CUT_TOO_DEEP, &CUT_PAST_SLAB];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for saw in &works.saws {
        let Some(cut) = job.cut(saw.id) else { continue };
        let at = cut.said(KindId::Cut, "deep");
        if saw.deep > saw.reach {
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
}

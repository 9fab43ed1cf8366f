//! Which pour fills which section, and sections that share concrete.

use std::collections::{BTreeMap, BTreeSet};

use super::words;
use crate::{
    concrete::{MOST_BAGS, Unmixed},
    job::Job,
    problem::{Problem, Rule},
    rule,
    schema::BlockId,
    source::Span,
    works::Works,
};

rule!(NOT_POURED, "not-poured", Warning, "a section no pour fills");
rule!(POURED_TWICE, "poured-twice", Error, "a section two pours fill");
rule!(POUR_LARGE, "pour-large", Error, "a pour of more bags than anybody mixes");
rule!(SECTIONS_OVERLAP, "sections-overlap", Advice, "two sections that share concrete, counted once");

pub(super) static RULES: &[&Rule] = &[&NOT_POURED, &POURED_TWICE, &POUR_LARGE, &SECTIONS_OVERLAP];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    let mut filled: BTreeMap<BlockId, Span> = BTreeMap::new();
    // Where one section is filled twice and another not at all, the one was likely written for the other.
    let named: BTreeSet<BlockId> = job.pours.iter().flat_map(|pour| &pour.say.fill).map(|said| said.value.0).collect();
    let meant = words::only(job.sections.iter().filter(|section| !named.contains(&section.id)));
    let mut is_meant = false;
    for pour in &job.pours {
        for section in &pour.say.fill {
            match filled.get(&section.value.0) {
                Some(first) => {
                    let problem = Problem::new(&POURED_TWICE, section.span, "section `{0}` is filled twice")
                        .arg(job.name(section.value.0))
                        .here("filled again here")
                        .label(*first, "filled here");
                    problems.push(match meant.filter(|_| !is_meant) {
                        Some(meant) => {
                            is_meant = true;
                            problem
                                .arg(meant.name.as_str())
                                .help("is `{1}` meant in one of the two? no pour fills it")
                                .fix(section.span, meant.name.as_str())
                        }
                        None => problem
                            .help("keep it in one of the two; a section poured in two goes is written as two sections"),
                    });
                }
                None => {
                    filled.insert(section.value.0, section.span);
                }
            }
        }
    }
    // A pour that could not be read may be the one that fills it.
    let pour_broken = job.broken.iter().any(|id| job.kind(*id) == Some(crate::schema::KindId::Pour));
    if !pour_broken && !is_meant {
        for section in job.sections.iter().filter(|section| !filled.contains_key(&section.id)) {
            problems.push(
                Problem::new(&NOT_POURED, section.at, "no pour fills section `{0}`")
                    .arg(section.name.as_str())
                    .thing(section.name.as_str())
                    .help("name it in the `fill` clause of a pour; until then it is in no quantity"),
            );
        }
    }
    for (pour, unmixed) in &works.unmixed {
        let (Some(pour), Unmixed::Bags(bags)) = (job.pour(*pour), unmixed) else { continue };
        problems.push(
            Problem::new(&POUR_LARGE, pour.at, "`{0}` would take {1} bags; no more than {2} are worked out")
                .arg(pour.name.as_str())
                .arg(i64::try_from(*bags).unwrap_or(i64::MAX))
                .arg(i64::try_from(MOST_BAGS).unwrap_or(i64::MAX))
                .thing(pour.name.as_str())
                .help(
                    "check the units of what it fills, and its waste; so much concrete comes by truck, not out of bags",
                ),
        );
    }
    for shared in &works.solids.shared {
        let (Some(first), Some(second)) = (job.at(shared.first), job.at(shared.second)) else { continue };
        let pour = |section| works.solids.with(section).map(|(solid, _)| solid.pour);
        let (says, help) = if pour(shared.first) == pour(shared.second) {
            (
                "sections `{0}` and `{1}` share {2} of concrete, counted once",
                "if they should only touch, check where one ends and the other begins",
            )
        } else {
            (
                "sections `{0}` and `{1}` share {2} of concrete, and are cast in two pours: the bags of both count it",
                "no two pours fill one place: let the later begin where the earlier ends",
            )
        };
        problems.push(
            Problem::new(&SECTIONS_OVERLAP, second, says)
                .arg(job.name(shared.first))
                .arg(job.name(shared.second))
                .arg(shared.volume)
                .thing(job.name(shared.second))
                .label(first, "the other one")
                .help(help),
        );
    }
}

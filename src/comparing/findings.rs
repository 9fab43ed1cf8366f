//! Findings gained and lost. A finding is the same where its rule says the same of the same thing and place; one that says
//! something else of them is told as reworded.

use std::collections::{BTreeMap, VecDeque};

use super::Names;
use crate::{
    compile::Compiled,
    problem::{Problem, Rule},
    units::System,
};

/// A finding of one version.
#[derive(Debug, Clone)]
pub struct Found {
    /// Its rule.
    pub rule: &'static Rule,
    /// What is the case, in the units of its own version.
    pub says: String,
    /// The thing it is about.
    pub thing: Option<String>,
    /// The place on the job.
    pub place: Option<String>,
    /// The file and the line it points to.
    pub at: Option<(String, u32)>,
}

/// A finding both versions have, with other words or numbers.
#[derive(Debug, Clone)]
pub struct Reworded {
    /// As it was.
    pub before: Found,
    /// As it is.
    pub after: Found,
}

/// What one finding is told from another by.
type Key = (&'static str, Option<String>, Option<String>, String);

fn found(compiled: &Compiled, problem: &Problem, names: &Names) -> (Key, Found) {
    let thing = problem.thing.as_deref().map(|thing| names.of(thing));
    let at = problem.span().map(|span| {
        let source = compiled.sources.get(span.source);
        (source.name.clone(), source.line_column(span.start).0)
    });
    let place = problem.place.as_ref().map(|place| place.replace('\n', "; "));
    // In one system, so that showing other units changes no finding.
    let key = (problem.rule.name, thing.clone(), place.clone(), problem.says(System::Feet));
    (key, Found { rule: problem.rule, says: problem.says(compiled.job.system()), thing, place, at })
}

/// Takes out what both have by a key, and gives the pairs.
fn pairs<K: Ord + Clone>(
    before: &mut Vec<(Key, Found)>,
    after: &mut Vec<(Key, Found)>,
    key: impl Fn(&Key) -> K,
) -> Vec<(Found, Found)> {
    let mut waiting: BTreeMap<K, VecDeque<(Key, Found)>> = BTreeMap::new();
    for found in before.drain(..) {
        waiting.entry(key(&found.0)).or_default().push_back(found);
    }
    let mut out = Vec::new();
    let mut left = Vec::new();
    for found in after.drain(..) {
        match waiting.get_mut(&key(&found.0)).and_then(VecDeque::pop_front) {
            Some((_, was)) => out.push((was, found.1)),
            None => left.push(found),
        }
    }
    *before = waiting.into_values().flatten().collect();
    *after = left;
    before.sort_by(|one, other| one.0.cmp(&other.0));
    out
}

/// Findings that are new, those that are gone, and those that say something else; each by rule, thing and place.
pub(super) fn findings(before: &Compiled, after: &Compiled, names: &Names) -> (Vec<Found>, Vec<Found>, Vec<Reworded>) {
    let all = |compiled: &Compiled, names: &Names| {
        let mut all: Vec<(Key, Found)> =
            compiled.problems.iter().map(|problem| found(compiled, problem, names)).collect();
        all.sort_by(|one, other| one.0.cmp(&other.0));
        all
    };
    let (mut was, mut is) = (all(before, names), all(after, &Names::default()));
    pairs(&mut was, &mut is, Clone::clone);
    let mut reworded = pairs(&mut was, &mut is, |(rule, thing, place, _)| (*rule, thing.clone(), place.clone()));
    // Of one thing and rule, but elsewhere: only where a thing is named, or any two would do.
    let (mut was_named, was_bare): (Vec<_>, Vec<_>) = was.into_iter().partition(|(key, _)| key.1.is_some());
    let (mut is_named, is_bare): (Vec<_>, Vec<_>) = is.into_iter().partition(|(key, _)| key.1.is_some());
    reworded.extend(pairs(&mut was_named, &mut is_named, |(rule, thing, ..)| (*rule, thing.clone())));
    let rest = |named: Vec<(Key, Found)>, bare: Vec<(Key, Found)>| {
        let mut all: Vec<(Key, Found)> = named.into_iter().chain(bare).collect();
        all.sort_by(|(one, found), (other, also)| (found.rule.level, one).cmp(&(also.rule.level, other)));
        all.into_iter().map(|(_, found)| found).collect()
    };
    let reworded = reworded.into_iter().map(|(before, after)| Reworded { before, after }).collect();
    (rest(is_named, is_bare), rest(was_named, was_bare), reworded)
}

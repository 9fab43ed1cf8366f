//! One finding for a name nothing has, wherever it is used: it is one slip, most often where the thing is written.

use std::collections::BTreeMap;

use super::rules;
use crate::problem::{Arg, Label, Problem};

/// So many further places are shown, and no more.
const SHOWN: usize = 3;

/// What is said where a name is near enough to be the one that is meant; that one is the second argument.
pub(super) const MEANT: &str = "is `{1}` meant?";

/// Gathers findings of names nothing has into the first of each name; of one that is taken for two others, into the first for
/// each of these. Where a file that is included `lacks`, names may be its, and nothing is said of them.
pub(super) fn told_once(problems: &mut Vec<Problem>, lacks: bool) {
    if lacks {
        problems.retain(|problem| *problem.rule != rules::NAME_UNKNOWN);
        return;
    }
    // A slip that is mended otherwise, such as a missing blank, is one at each of its places.
    let counts = |problem: &Problem| problem.fix.is_none() || problem.help == Some(MEANT);
    // The first finding of each name and of what is meant by it, by its place.
    let mut firsts: BTreeMap<String, Vec<(Option<Arg>, usize)>> = BTreeMap::new();
    let mut more: BTreeMap<usize, usize> = BTreeMap::new();
    let mut kept: Vec<Problem> = Vec::with_capacity(problems.len());
    for problem in problems.drain(..) {
        let name = match problem.args.first() {
            Some(Arg::Text(name)) if *problem.rule == rules::NAME_UNKNOWN && counts(&problem) => name.clone(),
            _ => {
                kept.push(problem);
                continue;
            }
        };
        let meant = problem.args.get(1).filter(|_| problem.help == Some(MEANT)).cloned();
        let firsts = firsts.entry(name).or_default();
        let Some((_, first)) = firsts.iter().find(|(other, _)| meant.is_none() || *other == meant) else {
            firsts.push((meant, kept.len()));
            kept.push(problem);
            continue;
        };
        let count = more.entry(*first).or_default();
        *count += 1;
        if *count <= SHOWN
            && let (Some(first), Some(span)) = (kept.get_mut(*first), problem.span())
        {
            first.labels.push(Label { span, says: "used here too" });
        }
    }
    for (first, count) in more {
        let Some(first) = kept.get_mut(first) else { continue };
        first.headline = match (first.args.len(), count) {
            (_, 1) => "nothing here is called `{0}`, which is used twice",
            (1, _) => "nothing here is called `{0}`, which is used {1} times",
            (2, _) => "nothing here is called `{0}`, which is used {2} times",
            _ => "nothing here is called `{0}`, which is used {3} times",
        };
        first.args.truncate(3);
        first.args.push(Arg::from(count + 1));
        // Mended at one of its places, it stands at the others.
        first.fix = None;
    }
    *problems = kept;
}

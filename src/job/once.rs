//! One finding for a name nothing has, wherever it is used: it is one slip, most often where the thing is written.

use std::collections::BTreeMap;

use super::rules;
use crate::problem::{Arg, Label, Problem};

/// So many further places are shown, and no more.
const SHOWN: usize = 3;

/// Gathers findings of names nothing has, that nothing is near to, into the first of each name.
pub(super) fn told_once(problems: &mut Vec<Problem>) {
    let unknown = |problem: &Problem| *problem.rule == rules::NAME_UNKNOWN && problem.fix.is_none();
    let mut firsts: BTreeMap<String, usize> = BTreeMap::new();
    let mut more: BTreeMap<usize, usize> = BTreeMap::new();
    let mut kept: Vec<Problem> = Vec::with_capacity(problems.len());
    for problem in problems.drain(..) {
        let name = match problem.args.first() {
            Some(Arg::Text(name)) if unknown(&problem) => name.clone(),
            _ => {
                kept.push(problem);
                continue;
            }
        };
        let Some(first) = firsts.get(&name).copied() else {
            firsts.insert(name, kept.len());
            kept.push(problem);
            continue;
        };
        let count = more.entry(first).or_default();
        *count += 1;
        if *count <= SHOWN
            && let (Some(first), Some(span)) = (kept.get_mut(first), problem.span())
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
    }
    *problems = kept;
}

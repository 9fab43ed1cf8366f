//! What was edited, in the words of the file: blocks that are new, gone or say something else, and blocks that were only
//! renamed.

use std::collections::BTreeMap;

use foldhash::HashMap;

use super::State;
use crate::{
    job::{Phrase, Wording, wordings},
    language::Limits,
    source::Sources,
};

/// Kinds whose clauses follow each other: their order is part of what they say.
const IN_ORDER: [&str; 3] = ["wall", "line", "route"];

/// A block with another name that is else the same.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Renamed {
    /// The word of its kind.
    pub kind: String,
    /// Its name before.
    pub before: String,
    /// Its name now.
    pub after: String,
}

/// A block that says something else.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Edit {
    /// The word of its kind.
    pub kind: String,
    /// Its name; empty where it has none.
    pub name: String,
    /// What became of it.
    pub state: State,
    /// What it no longer says.
    pub gone: Vec<String>,
    /// What it says now.
    pub added: Vec<String>,
    /// It says the same, one after the other in another order.
    pub reordered: bool,
}

/// What a block is found by: its kind and name.
type Key = (String, String);

/// All a block says but its name: its kind, the rest of its head, its clauses.
type Saying = (String, Phrase, Vec<Phrase>);

/// Blocks that were renamed, by kind and name, and blocks that were edited, likewise. Acceptances are told elsewhere, and
/// what an `include` takes in is compared as if it stood in its place.
pub(super) fn edits(before: &Sources, after: &Sources, limits: &Limits) -> (Vec<Renamed>, Vec<Edit>) {
    let told = |wording: &Wording| wording.kind != "include" && wording.kind != "accept";
    let all = |sources| wordings(sources, limits).into_iter().filter(told).collect::<Vec<Wording>>();
    let (before, after) = (all(before), all(after));
    let renamed = renamed(&before, &after);
    let names: BTreeMap<String, String> =
        renamed.iter().map(|renamed| (renamed.before.clone(), renamed.after.clone())).collect();
    let by_key = |wordings: Vec<Wording>, names: &BTreeMap<String, String>| {
        let mut out: BTreeMap<Key, Vec<Wording>> = BTreeMap::new();
        for wording in wordings {
            let wording = called(&wording, names);
            out.entry((wording.kind.clone(), wording.name.clone())).or_default().push(wording);
        }
        out
    };
    let mut was = by_key(before, &names);
    let mut edits = Vec::new();
    for (key, mut is) in by_key(after, &BTreeMap::new()) {
        let mut was = was.remove(&key).unwrap_or_default();
        // Of several without a name, or with the same, those that say the same are the same.
        is.retain(|wording| match was.iter().position(|other| same(other, wording)) {
            Some(at) => {
                was.remove(at);
                false
            }
            None => true,
        });
        let mut was = was.into_iter();
        let mut is = is.into_iter();
        loop {
            match (was.next(), is.next()) {
                (None, None) => break,
                (before, after) => edits.push(edit(&key, before.as_ref(), after.as_ref())),
            }
        }
    }
    for (key, gone) in was {
        edits.extend(gone.iter().map(|wording| edit(&key, Some(wording), None)));
    }
    edits.sort_by(|one, other| (&one.kind, &one.name).cmp(&(&other.kind, &other.name)));
    (renamed, edits)
}

/// A block with the names of the later version.
fn called(wording: &Wording, names: &BTreeMap<String, String>) -> Wording {
    if names.is_empty() {
        return wording.clone();
    }
    Wording {
        kind: wording.kind.clone(),
        name: names.get(&wording.name).unwrap_or(&wording.name).clone(),
        head: wording.head.clone(),
        clauses: wording.clauses.iter().map(|clause| clause.renamed(names)).collect(),
    }
}

/// The blocks that were renamed. What one says may name another that was renamed: they are looked for until none is found.
fn renamed(before: &[Wording], after: &[Wording]) -> Vec<Renamed> {
    let keys = |all: &[Wording]| -> HashMap<Key, ()> {
        all.iter().map(|wording| ((wording.kind.clone(), wording.name.clone()), ())).collect()
    };
    let (was, is) = (keys(before), keys(after));
    let named = |wording: &&Wording| !wording.name.is_empty();
    let key = |wording: &Wording| (wording.kind.clone(), wording.name.clone());
    let gone: Vec<&Wording> = before.iter().filter(named).filter(|wording| !is.contains_key(&key(wording))).collect();
    let added: Vec<&Wording> = after.iter().filter(named).filter(|wording| !was.contains_key(&key(wording))).collect();
    let mut names: BTreeMap<String, String> = BTreeMap::new();
    let mut out: Vec<Renamed> = Vec::new();
    loop {
        // What a block says but its name, and who says it; those who say the same cannot be told apart.
        let mut said: HashMap<Saying, (Vec<&str>, Vec<&str>)> = HashMap::default();
        for wording in gone.iter().filter(|wording| !names.contains_key(&wording.name)) {
            let called = called(wording, &names);
            said.entry((called.kind, called.head, settled(&wording.kind, called.clauses)))
                .or_default()
                .0
                .push(&wording.name);
        }
        for wording in added.iter().filter(|wording| !out.iter().any(|one| one.after == wording.name)) {
            let clauses = settled(&wording.kind, wording.clauses.clone());
            said.entry((wording.kind.clone(), wording.head.clone(), clauses)).or_default().1.push(&wording.name);
        }
        let mut found: Vec<Renamed> = said
            .into_iter()
            .filter_map(|((kind, ..), (before, after))| match (before.as_slice(), after.as_slice()) {
                ([before], [after]) => Some(Renamed { kind, before: (*before).to_owned(), after: (*after).to_owned() }),
                _ => None,
            })
            .collect();
        if found.is_empty() {
            out.sort_by(|one, other| (&one.kind, &one.after).cmp(&(&other.kind, &other.after)));
            return out;
        }
        names.extend(found.iter().map(|one| (one.before.clone(), one.after.clone())));
        out.append(&mut found);
    }
}

/// Clauses in an order of their own, where their order says nothing; those that begin with one word keep theirs.
fn settled(kind: &str, mut clauses: Vec<Phrase>) -> Vec<Phrase> {
    if !IN_ORDER.contains(&kind) {
        clauses.sort_by(|one, other| one.first().cmp(other.first()));
    }
    clauses
}

fn same(one: &Wording, other: &Wording) -> bool {
    one.head == other.head && settled(&one.kind, one.clauses.clone()) == settled(&other.kind, other.clauses.clone())
}

/// What one block no longer says, and what it says now.
fn edit((kind, name): &Key, before: Option<&Wording>, after: Option<&Wording>) -> Edit {
    let said = |wording: Option<&Wording>| -> Vec<Phrase> {
        let head = wording.map(|wording| wording.head.clone()).filter(|head| !head.is_empty());
        head.into_iter().chain(wording.map(|wording| wording.clauses.clone()).unwrap_or_default()).collect()
    };
    let (was, is) = (said(before), said(after));
    let without = |all: &[Phrase], others: &[Phrase]| -> Vec<String> {
        let mut left: HashMap<&Phrase, usize> = HashMap::default();
        for other in others {
            *left.entry(other).or_default() += 1;
        }
        let mut out = Vec::new();
        for phrase in all {
            match left.get_mut(phrase).filter(|count| **count > 0) {
                Some(count) => *count -= 1,
                None => out.push(phrase.to_string()),
            }
        }
        out
    };
    let (gone, added) = (without(&was, &is), without(&is, &was));
    let state = match (before, after) {
        (None, _) => State::Added,
        (_, None) => State::Gone,
        _ => State::Changed,
    };
    let reordered = state == State::Changed && gone.is_empty() && added.is_empty();
    Edit { kind: kind.clone(), name: name.clone(), state, gone, added, reordered }
}

//! What a change to a job changes on site: two versions of it side by side, in the job's own terms.
//!
//! Things are matched by their names; a block that got another name and is else the same is a rename, and every mention of it
//! goes by the new name. What is edited and shows in no figure is told in the words of the file, so that two versions are
//! alike only where nothing but comments, blanks or the order of blocks differs.

mod edits;
mod facts;
mod findings;
mod money;
mod places;
mod value;

use std::collections::BTreeMap;

use foldhash::HashMap;

use crate::{compile::Compiled, language::Limits};

pub use edits::{Edit, Renamed};
pub use findings::{Found, Reworded};
pub use places::{Drilled, MovedHoles, NewNumbers, Places};
pub use value::{Apart, Value};

/// What sort of thing a change is about, in the order it is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Group {
    /// The job as a whole.
    Whole,
    /// Sections.
    Section,
    /// Faces of the new concrete, all pours together.
    Face,
    /// Pours.
    Pour,
    /// What is sawn, broken out, filled and patched.
    Site,
    /// Sets of holes.
    Holes,
    /// Bars.
    Bars,
    /// What is bought.
    Bought,
    /// Money.
    Money,
    /// Steps, looks, waits and questions, and their days.
    Step,
    /// Acceptances.
    Acceptance,
    /// Questions.
    Question,
}

/// What a value tells of its thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs)]
pub enum What {
    Concrete,
    Bags,
    Holes,
    Bars,
    BarsWeigh,
    Starts,
    Ends,
    Begins,
    People,
    Into,
    Size,
    Count,
    Shapes,
    Bore,
    Depth,
    Bottom,
    Top,
    Thick,
    Area,
    Volume,
    Waste,
    Mixed,
    Batches,
    Lasts,
    LongestWait,
    Resin,
    Packs,
    Lengths,
    Nozzles,
    Length,
    Weight,
    Amount,
    DownTo,
    Because,
    Asks,
    Answer,
}

/// A thing and its values, of one version.
#[derive(Debug, Clone, PartialEq)]
struct Thing {
    /// Its name, as the later version has it.
    name: String,
    /// Its values; each at most once.
    facts: Vec<(What, Value)>,
}

/// What became of a thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum State {
    /// Only the later version has it.
    Added,
    /// Only the earlier version has it.
    Gone,
    /// Both have it, and it differs.
    Changed,
}

/// A thing that is not the same in both versions.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// What sort of thing.
    pub group: Group,
    /// Its name; of what was renamed the new one.
    pub name: String,
    /// What became of it.
    pub state: State,
    /// Its values that differ; of what is added or gone all, on one side only.
    pub facts: Vec<Fact>,
}

/// A value that differs.
#[derive(Debug, Clone, PartialEq)]
pub struct Fact {
    /// What it tells.
    pub what: What,
    /// What it was, if there was one.
    pub before: Option<Value>,
    /// What it is, if there is one.
    pub after: Option<Value>,
}

impl Fact {
    /// How far the two lie apart, where both are there and are numbers.
    #[must_use]
    pub fn apart(&self) -> Option<Apart> {
        self.before.as_ref()?.apart(self.after.as_ref()?)
    }
}

/// All that differs between two versions of a job.
#[derive(Debug)]
pub struct Comparison<'c> {
    /// The earlier version.
    pub before: &'c Compiled,
    /// The later version.
    pub after: &'c Compiled,
    /// Blocks that have another name and are else the same.
    pub renamed: Vec<Renamed>,
    /// Things that differ, by group, then by name; steps by the time they begin.
    pub changes: Vec<Change>,
    /// Where holes are drilled that were not, and the other way round, by set.
    pub places: Vec<Places>,
    /// The steps and looks both have, in the order of each, where the two orders differ.
    pub order: Option<[Vec<String>; 2]>,
    /// Findings that are new.
    pub gained: Vec<Found>,
    /// Findings that are gone.
    pub lost: Vec<Found>,
    /// Findings that are still there, with other words or numbers.
    pub reworded: Vec<Reworded>,
    /// Blocks that say something else.
    pub edits: Vec<Edit>,
}

impl Comparison<'_> {
    /// Whether nothing that matters on site differs.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.renamed.is_empty() && self.edits.is_empty() && self.has_no_effect()
    }

    /// Whether no figure, day or finding differs, whatever was edited.
    #[must_use]
    pub fn has_no_effect(&self) -> bool {
        self.changes.is_empty()
            && self.places.is_empty()
            && self.order.is_none()
            && self.gained.is_empty()
            && self.lost.is_empty()
            && self.reworded.is_empty()
    }

    /// The changes of a group.
    pub fn of(&self, group: Group) -> impl Iterator<Item = &Change> {
        self.changes.iter().filter(move |change| change.group == group)
    }
}

/// Compares two versions of a job. Versions with errors are compared as far as they go.
#[must_use]
pub fn compare<'c>(before: &'c Compiled, after: &'c Compiled, limits: &Limits) -> Comparison<'c> {
    let (renamed, edits) = edits::edits(&before.sources, &after.sources, limits);
    let names: BTreeMap<String, String> =
        renamed.iter().map(|renamed| (renamed.before.clone(), renamed.after.clone())).collect();
    let names = Names(names);
    let plain = Names::default();
    let mut changes = Vec::new();
    for (group, things) in facts::GROUPS {
        changes.extend(differing(group, things(before, &names), things(after, &plain)));
    }
    let (gained, lost, reworded) = findings::findings(before, after, &names);
    Comparison {
        before,
        after,
        places: places::places(before, after, &names),
        order: order(before, after, &names),
        renamed,
        changes,
        gained,
        lost,
        reworded,
        edits,
    }
}

/// What names of the earlier version are called in the later one.
#[derive(Debug, Default)]
struct Names(BTreeMap<String, String>);

impl Names {
    fn of(&self, name: &str) -> String {
        self.0.get(name).map_or_else(|| name.to_owned(), Clone::clone)
    }
}

/// Matches things by name, those of one name in their order.
fn differing(group: Group, before: Vec<Thing>, after: Vec<Thing>) -> Vec<Change> {
    let mut waiting: HashMap<String, std::collections::VecDeque<Thing>> = HashMap::default();
    let mut order: Vec<String> = Vec::new();
    for thing in before {
        order.push(thing.name.clone());
        waiting.entry(thing.name.clone()).or_default().push_back(thing);
    }
    let mut out: Vec<Change> = Vec::new();
    for thing in after {
        let matched = waiting.get_mut(&thing.name).and_then(std::collections::VecDeque::pop_front);
        match matched {
            None => {
                out.push(Change { group, name: thing.name, state: State::Added, facts: one_side(thing.facts, false) })
            }
            Some(was) => {
                let facts = facts_apart(was.facts, thing.facts);
                if !facts.is_empty() {
                    out.push(Change { group, name: thing.name, state: State::Changed, facts });
                }
            }
        }
    }
    for name in order {
        if let Some(thing) = waiting.get_mut(&name).and_then(std::collections::VecDeque::pop_front) {
            out.push(Change { group, name, state: State::Gone, facts: one_side(thing.facts, true) });
        }
    }
    out.sort_by(|one, two| began(one).cmp(&began(two)).then_with(|| one.name.cmp(&two.name)));
    out
}

/// When a step begins: where it begins now, else where it did.
fn began(change: &Change) -> Option<(crate::units::Date, i64)> {
    let begins = change.facts.iter().filter(|_| change.group == Group::Step).find(|fact| fact.what == What::Begins)?;
    match begins.after.as_ref().or(begins.before.as_ref()) {
        Some(Value::When(day, second)) => Some((*day, *second)),
        _ => None,
    }
}

fn one_side(facts: Vec<(What, Value)>, gone: bool) -> Vec<Fact> {
    let side = |value| if gone { (Some(value), None) } else { (None, Some(value)) };
    let fact = |(what, value)| {
        let (before, after) = side(value);
        Fact { what, before, after }
    };
    facts.into_iter().map(fact).collect()
}

fn facts_apart(before: Vec<(What, Value)>, after: Vec<(What, Value)>) -> Vec<Fact> {
    let mut was: BTreeMap<What, Value> = before.into_iter().collect();
    let mut out: Vec<Fact> = Vec::new();
    for (what, value) in after {
        let before = was.remove(&what);
        if before.as_ref().is_none_or(|before| !before.same(&value)) {
            out.push(Fact { what, before, after: Some(value) });
        }
    }
    out.extend(was.into_iter().map(|(what, value)| Fact { what, before: Some(value), after: None }));
    out.sort_by_key(|fact| fact.what);
    out
}

/// The order of the steps and looks both have, where it differs.
fn order(before: &Compiled, after: &Compiled, names: &Names) -> Option<[Vec<String>; 2]> {
    let all = |compiled: &Compiled, names: &Names| -> Vec<String> {
        // Questions and waits run beside the work.
        let job = &compiled.job;
        let worked =
            compiled.works.plan.order.iter().filter(|node| job.step(**node).is_some() || job.look(**node).is_some());
        worked.map(|node| names.of(job.name(*node))).collect()
    };
    let [before, after] = [all(before, names), all(after, &Names::default())];
    let common = |of: &[String], other: &[String]| -> Vec<String> {
        let other: foldhash::HashSet<&String> = other.iter().collect();
        of.iter().filter(|name| other.contains(name)).cloned().collect()
    };
    let both = [common(&before, &after), common(&after, &before)];
    (both[0] != both[1]).then_some(both)
}

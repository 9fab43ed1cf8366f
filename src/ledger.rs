//! The ledger of worked numbers: each with its name, its formula, and what it was made from, down to the words that were
//! typed. It only grows; while a job is merely checked it is off and costs nothing.

use crate::{
    source::Span,
    units::{Angle, Area, Duration, Force, Length, Mass, Ratio, Stress, Temperature, Volume},
};

/// A worked number's place in the ledger.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct EntryId(u32);

/// A value, typed.
#[derive(Debug, Clone, Copy, PartialEq)]
#[allow(missing_docs)]
pub enum Figure {
    Length(Length),
    Area(Area),
    Volume(Volume),
    Mass(Mass),
    Force(Force),
    Stress(Stress),
    Duration(Duration),
    Temperature(Temperature),
    Angle(Angle),
    Ratio(Ratio),
    Count(u64),
    Number(f64),
}

/// What a number was made from: the letter or word it has in the formula, and what it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Input {
    /// Its letter or word in the formula.
    pub symbol: &'static str,
    /// What it is.
    pub from: Origin,
}

/// Where a part of a formula comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Origin {
    /// Another worked number.
    Worked(EntryId),
    /// Words that were typed, in the job, the shop file or the library.
    Typed(Span),
    /// What is taken when nothing is said: the number of the row in "taken as usual".
    Usual(Usual),
    /// A figure of the rule itself, or read off the shape of the work, and why it is this one.
    Given(Figure, &'static str),
}

impl Input {
    /// Another worked number, if the ledger is kept.
    #[must_use]
    pub fn worked(symbol: &'static str, entry: Option<EntryId>) -> Option<Input> {
        entry.map(|id| Input { symbol, from: Origin::Worked(id) })
    }

    /// Words that were typed.
    #[must_use]
    pub fn typed(symbol: &'static str, at: Span) -> Input {
        Input { symbol, from: Origin::Typed(at) }
    }

    /// A default.
    #[must_use]
    pub fn usual(symbol: &'static str, usual: Usual) -> Input {
        Input { symbol, from: Origin::Usual(usual) }
    }

    /// A figure of the rule itself, or of the shape of the work.
    #[must_use]
    pub fn given(symbol: &'static str, value: Figure, why: &'static str) -> Input {
        Input { symbol, from: Origin::Given(value, why) }
    }
}

/// A default: what is taken when the job does not say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Usual {
    /// The clause that would say it, as `pour.waste`.
    pub clause: &'static str,
    /// What is taken.
    pub value: Figure,
    /// Where the habit comes from.
    pub source: &'static str,
}

/// A worked number.
#[derive(Debug, Clone)]
pub struct Entry {
    /// Its name, as `wall.bags`.
    pub name: String,
    /// What it is.
    pub value: Figure,
    /// How it is made, in words and signs.
    pub formula: &'static str,
    /// Where the formula comes from, if from anywhere.
    pub source: &'static str,
    /// What it is made from.
    pub inputs: Vec<Input>,
}

/// All worked numbers, in the order they were worked out: what a number is made from stands before it.
#[derive(Debug, Default)]
pub struct Ledger {
    on: bool,
    entries: Vec<Entry>,
}

impl Ledger {
    /// A ledger that is kept, or one that is not.
    #[must_use]
    pub fn new(on: bool) -> Ledger {
        Ledger { on, entries: Vec::new() }
    }

    /// Enters a number; nothing happens while the ledger is off, and `make` is not called.
    pub fn enter(&mut self, make: impl FnOnce() -> Entry) -> Option<EntryId> {
        if !self.on {
            return None;
        }
        let id = EntryId(u32::try_from(self.entries.len()).unwrap_or(u32::MAX));
        self.entries.push(make());
        Some(id)
    }

    /// All entries.
    #[must_use]
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// One entry.
    #[must_use]
    pub fn get(&self, id: EntryId) -> Option<&Entry> {
        self.entries.get(id.0 as usize)
    }

    /// The entry of this name.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<&Entry> {
        self.entries.iter().find(|entry| entry.name == name)
    }
}

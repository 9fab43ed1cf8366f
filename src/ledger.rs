//! The ledger of worked numbers: each with its name, its formula, and what it was made from, down to the words that were
//! typed. It only grows; while a job is merely checked it is off and costs nothing.
//!
//! Names: `BLOCK.quantity` for what belongs to a block of the file (`wall.bags`), `BLOCK.LEG.ROW.quantity` for one row of
//! it, `STEP.THING.quantity` for what a step does with a thing (`cast.bagged.lifting`), `buy.ITEM.quantity` for the buy
//! list and `buy.ITEM.STOCK.quantity` for what of a stock is bought of it, `job.WHAT.quantity` for the job as a whole. No block can be called `job`, and no name holds a dot, so that they
//! never meet.

use foldhash::{HashMap, HashSet};

use crate::{
    source::Span,
    units::{
        Acceleration, Angle, Area, Density, Drying, Duration, Force, Length, LineLoad, Mass, Moment, Money, Ratio,
        Sound, Speed, Stress, Temperature, TemperatureDifference, Volume,
    },
};

/// A worked number's place in the ledger.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EntryId(u32);

/// A value, typed.
#[derive(Debug, Clone, Copy, PartialEq)]
#[allow(missing_docs)]
pub enum Figure {
    Length(Length),
    /// A length of steel, which papers round up to what it is cut to.
    Cut(Length),
    Area(Area),
    /// An area of steel, which papers tell in small units.
    SmallArea(Area),
    Volume(Volume),
    /// A volume of resin.
    Fluid(Volume),
    /// A volume of water, as it is poured out by a jug.
    Water(Volume),
    Mass(Mass),
    /// What one metre weighs.
    MassPerMetre(Mass),
    Density(Density),
    Force(Force),
    LineLoad(LineLoad),
    Moment(Moment),
    Stress(Stress),
    /// The pressure of fresh concrete, in the units of the rules for forms.
    Pressure(Stress),
    Speed(Speed),
    /// How fast fresh concrete rises.
    Rise(Speed),
    Acceleration(Acceleration),
    Sound(Sound),
    Drying(Drying),
    Duration(Duration),
    Temperature(Temperature),
    /// How far two temperatures are apart.
    Difference(TemperatureDifference),
    Angle(Angle),
    Ratio(Ratio),
    Money(Money),
    Count(u64),
    /// Whole things, and the number they were rounded up or down from.
    Whole {
        count: u64,
        of: f64,
    },
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
    /// Words that were typed, in the job, the shop file or the library, and the value taken from them, if it is one.
    Typed(Span, Option<Figure>),
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

    /// Words that were typed and are no value: names, a stretch.
    #[must_use]
    pub fn typed(symbol: &'static str, at: Span) -> Input {
        Input { symbol, from: Origin::Typed(at, None) }
    }

    /// A value that was typed: where, and what it comes to.
    #[must_use]
    pub fn said(symbol: &'static str, at: Span, value: Figure) -> Input {
        Input { symbol, from: Origin::Typed(at, Some(value)) }
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

impl Entry {
    /// The sources it rests on by itself: its formula's, and those of the habits it takes.
    pub fn sources(&self) -> impl Iterator<Item = &'static str> {
        let habits = self.inputs.iter().filter_map(|input| match input.from {
            Origin::Usual(usual) => Some(usual.source),
            Origin::Worked(_) | Origin::Typed(..) | Origin::Given(..) => None,
        });
        std::iter::once(self.source).chain(habits).filter(|source| !source.is_empty())
    }
}

/// All worked numbers, in the order they were worked out: what a number is made from stands before it.
#[derive(Debug, Default)]
pub struct Ledger {
    on: bool,
    entries: Vec<Entry>,
    names: HashMap<String, EntryId>,
}

impl Ledger {
    /// A ledger that is kept, or one that is not.
    #[must_use]
    pub fn new(on: bool) -> Ledger {
        Ledger { on, ..Ledger::default() }
    }

    /// Whether it is kept.
    #[must_use]
    pub fn is_on(&self) -> bool {
        self.on
    }

    /// Enters a number; nothing happens while the ledger is off, and `make` is not called.
    pub fn enter(&mut self, make: impl FnOnce() -> Entry) -> Option<EntryId> {
        if !self.on {
            return None;
        }
        let id = EntryId(u32::try_from(self.entries.len()).unwrap_or(u32::MAX));
        let entry = make();
        self.names.entry(entry.name.clone()).or_insert(id);
        self.entries.push(entry);
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

    /// The place of the entry of this name.
    #[must_use]
    pub fn id(&self, name: &str) -> Option<EntryId> {
        self.names.get(name).copied()
    }

    /// The entry of this name.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<&Entry> {
        self.get(self.id(name)?)
    }

    /// The number of this name as an input, if it was worked out.
    #[must_use]
    pub fn number(&self, symbol: &'static str, name: &str) -> Option<Input> {
        Input::worked(symbol, self.id(name))
    }

    /// A number and all numbers it is made from, each once: what is made stands before what it is made from, the inputs of
    /// one number in their order.
    #[must_use]
    pub fn tree(&self, root: EntryId) -> Vec<&Entry> {
        let mut out = Vec::new();
        let mut seen = HashSet::default();
        let mut waiting = vec![root];
        while let Some(id) = waiting.pop() {
            let Some(entry) = self.get(id).filter(|_| seen.insert(id)) else { continue };
            out.push(entry);
            waiting.extend(entry.inputs.iter().rev().filter_map(|input| match input.from {
                Origin::Worked(id) => Some(id),
                Origin::Typed(..) | Origin::Usual(_) | Origin::Given(..) => None,
            }));
        }
        out
    }
}

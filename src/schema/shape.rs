//! What a clause takes, described as data.

use std::sync::OnceLock;

use foldhash::HashMap;

use super::kinds::KINDS;
use crate::units::Dimension;

/// Which numbers are meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sign {
    /// Any.
    Any,
    /// Zero or more.
    NotNegative,
    /// More than zero.
    Positive,
}

/// What is written after a clause's or part's word.
#[derive(Debug, Clone, Copy)]
pub enum Shape {
    /// A measure with its unit, or an expression that gives one.
    Quantity(Dimension, Sign),
    /// A whole number.
    Count(Sign),
    /// "per ft", "per 100 ft": a unit alone stands for one of it.
    Per(Dimension),
    /// What a pack holds: a count, or a length, area, volume or weight above zero.
    Pack,
    /// `per trip`, or by a weight or a volume: "per ton", "per 5 yd3".
    PerLoad,
    /// A date, year-month-day.
    Date,
    /// A time of day.
    Clock,
    /// Days of the week: single ones, and `A to B`, with commas between.
    Days,
    /// A string.
    Text,
    /// A word of the writer's own.
    Word,
    /// Nothing: the word itself says it.
    Flag,
    /// One of a closed list of words.
    Choice(&'static [Choice]),
    /// The name of a block of one of these kinds.
    Name(&'static [KindId]),
    /// Several, with commas between.
    List(&'static Shape),
    /// `A to B`, the lower or earlier first.
    Range(&'static Shape),
    /// A new name, then a value.
    Named(&'static Shape),
    /// `A at B`: a value at a condition.
    At(&'static Shape, &'static Shape),
    /// One level, or `A to B`, the lower first.
    Levels,
    /// A value, then a word of a closed list.
    Then(&'static Shape, &'static Shape),
    /// Where something runs: legs, parts of legs, sections.
    Stretch,
    /// Places on legs.
    Spots,
    /// A leg, then a value.
    OnLeg(&'static Shape),
    /// What holes are drilled into.
    Target,
    /// `at most X`, `every X`, `at A, B, C`.
    Spacing,
    /// A level; or `top` or `bottom` with what is added or taken.
    RowLevel,
    /// An angle, perhaps a direction behind it.
    Hook,
    /// A stress, or a part of the strength at 28 days.
    Strength,
    /// A time, or a number of working days.
    Ahead,
    /// Directions with lengths: `up 18", right 8"`.
    Walk,
    /// A verb and the things it is done to.
    Work,
    /// One hole by its number: `pins.3`.
    Hole,
    /// Parts, each behind its own word; the first may stand without one.
    Parts(&'static [Field]),
}

/// One word of a closed list.
#[derive(Debug, Clone, Copy)]
pub struct Choice {
    /// The word.
    pub word: &'static str,
    /// What it means.
    pub says: &'static str,
}

/// How often a clause or part is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// Once.
    One,
    /// Once or not at all.
    Maybe,
    /// As often as wanted.
    Many,
}

/// A clause of a block, or a part of a clause.
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// Its word; several words are written with blanks; empty for the first part of a clause, `"` for a string at its end.
    pub word: &'static str,
    /// What it means.
    pub says: &'static str,
    /// An example, for clauses.
    pub example: &'static str,
    /// What it takes.
    pub shape: Shape,
    /// How often.
    pub need: Need,
}

/// A part by another name, where the table of a clause's parts is meant.
pub type Part = Field;

/// What stands between a kind's word and its brace.
#[derive(Debug, Clone, Copy)]
pub struct Head {
    /// A name.
    pub name: Option<Need>,
    /// A string.
    pub text: Option<Need>,
    /// What the string is.
    pub text_says: &'static str,
    /// A date stands there.
    pub dated: bool,
    /// How the line goes on, for kinds that have no block; empty for kinds that have one.
    pub line: &'static str,
}

/// Something that may be asked of a named block, as `NAME.property`.
#[derive(Debug, Clone, Copy)]
pub struct Property {
    /// Its word.
    pub word: &'static str,
    /// Its dimension.
    pub dimension: Dimension,
    /// What it is.
    pub says: &'static str,
    /// Asked of a leg (`old.back.length`), not of the block.
    pub of_leg: bool,
}

/// Whether a thing must be handled by a verb.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VerbNeed {
    /// Some step must do it.
    Must,
    /// A step may do it.
    May,
}

/// Something steps do to a thing of this kind.
#[derive(Debug, Clone, Copy)]
pub struct Verb {
    /// Its word.
    pub word: &'static str,
    /// Whether it must be done.
    pub need: VerbNeed,
    /// What it is, and for which things of the kind.
    pub says: &'static str,
}

/// A kind of block.
#[derive(Debug, Clone, Copy)]
pub struct Kind {
    /// Which one it is.
    pub id: KindId,
    /// Its word.
    pub word: &'static str,
    /// What it means.
    pub says: &'static str,
    /// Its head.
    pub head: Head,
    /// Its clauses.
    pub fields: &'static [Field],
    /// What may be asked of it.
    pub properties: &'static [Property],
    /// What steps do to it.
    pub verbs: &'static [Verb],
}

/// The kinds by number: an index into [`KINDS`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs)]
#[repr(u8)]
pub enum KindId {
    Job,
    Include,
    Let,
    Ask,
    Wall,
    Line,
    Footing,
    Ground,
    Slab,
    Clear,
    Crack,
    Spall,
    Cut,
    Remove,
    Prepare,
    Support,
    Route,
    Section,
    Void,
    Holes,
    Bars,
    Forms,
    Pour,
    Cure,
    Mix,
    Resin,
    Steel,
    Lumber,
    Stock,
    Wire,
    Tool,
    Goods,
    Supplier,
    Hire,
    Truck,
    Fee,
    Budget,
    Hours,
    Step,
    Look,
    Wait,
    Accept,
    Record,
}

impl KindId {
    /// The kind itself.
    #[must_use]
    pub fn kind(self) -> &'static Kind {
        &KINDS[self as usize]
    }

    /// Clauses of the kind of which only one of each pair may be written.
    #[must_use]
    pub fn excluded(self) -> &'static [(&'static str, &'static str)] {
        match self {
            KindId::Clear => &[("on", "along"), ("height", "offset")],
            KindId::Crack => &[("on", "along"), ("through", "deep")],
            KindId::Section => &[("thick", "offset")],
            KindId::Bars => &[("in", "along"), ("rows", "space")],
            KindId::Lumber => &[("size", "sheet")],
            _ => &[],
        }
    }

    /// The kind of this word.
    #[must_use]
    pub fn of(word: &str) -> Option<KindId> {
        KINDS.iter().find(|kind| kind.word == word).map(|kind| kind.id)
    }
}

impl Kind {
    /// The clause of this word.
    #[must_use]
    pub fn field(&self, word: &str) -> Option<usize> {
        self.fields.iter().position(|field| field.word == word)
    }
}

/// Words that link the parts of a clause, in any clause.
const LINKS: [&str; 12] =
    ["to", "at", "at most", "at least", "every", "by", "on", "per", "because", "down to", "min", "max"];

/// Why a word may not name a thing: it is a part word, a linking word or a property somewhere. `None` if it may.
#[must_use]
pub fn reserved(word: &str) -> Option<&'static str> {
    // Every name of every job is looked up.
    static WHY: OnceLock<HashMap<&str, &str>> = OnceLock::new();
    let why = WHY.get_or_init(|| {
        let parts = part_words().map(|word| (word, "it begins a part of a clause"));
        let properties = property_words().map(|word| (word, "it is a property that is asked of things"));
        let links = LINKS.into_iter().map(|word| (word, "it links the parts of a clause"));
        // Of several reasons the last is told.
        parts.chain(properties).chain(links).collect()
    });
    why.get(word).copied()
}

fn property_words() -> impl Iterator<Item = &'static str> {
    KINDS.iter().flat_map(|kind| kind.properties).map(|property| property.word)
}

fn part_words() -> impl Iterator<Item = &'static str> {
    let parts = KINDS.iter().flat_map(|kind| kind.fields).flat_map(|field| match field.shape {
        Shape::Parts(parts) => parts,
        _ => &[],
    });
    parts.map(|part| part.word)
}

/// Every word that may not name a thing, in order.
#[must_use]
pub fn reserved_words() -> Vec<&'static str> {
    let parts = part_words().filter(|word| !word.is_empty() && *word != "\"");
    let mut words: Vec<&str> =
        LINKS.into_iter().chain(property_words()).chain(parts).filter(|word| !word.contains(' ')).collect();
    words.sort_unstable();
    words.dedup();
    words
}

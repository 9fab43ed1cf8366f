//! From trees to a typed job: each block by the table of its kind, names, expressions, places, acceptances.
//!
//! `build` never stops at a mistake: what is broken is left out and named in `Job::broken`, everything else is there.
//! Nothing above this room sees a tree, save the formatter.

mod accept;
mod blocks;
mod desk;
mod expression;
mod meant;
mod misread;
mod once;
mod places;
mod property;
mod reader;
pub mod rules;
mod values;
mod wording;

use std::collections::BTreeSet;

use foldhash::HashMap;

use crate::{
    language::{Limits, Loaded},
    problem::Problem,
    schema::{
        Ask, Bars, BlockId, Budget, Clear, Crack, Cure, Cut, Fee, Footing, Forms, Goods, Ground, Hire, Holes, Hours,
        JobHead, KindId, Line, Look, Lumber, Mix, Parts, Pour, Prepare, Range, Record, Remove, Resin, Route, Said,
        Section, Show, Slab, Spall, Steel, Step, Stock, Stuff, Supplier, Support, Tool, Truck, Void, Wait, Wall,
        Weather, Wire,
    },
    source::{Sources, Span},
    units::{Date, System, Temperature},
};

pub use accept::Accept;
pub use blocks::Shelf;
use blocks::{Blocks, Entry};
use desk::Desk;
pub use wording::{Phrase, Wording, wordings};

/// One thing of the job: its number, name, title and what its block says.
#[derive(Debug)]
pub struct Thing<T> {
    /// Its number; things of one kind stand in the order they are written.
    pub id: BlockId,
    /// Its name; the kind's word where it has none.
    pub name: String,
    /// Its title, where the kind has one.
    pub title: String,
    /// Where its name (or head) stands.
    pub at: Span,
    /// The day in its head, where the kind has one.
    pub day: Option<Date>,
    /// It stands in the library.
    pub usual: bool,
    /// Where each clause's value stands: the clause's number in the kind's table, and the place.
    clauses: Box<[(u8, Span)]>,
    /// What its block says.
    pub say: T,
}

impl<T> Thing<T> {
    /// Where the value of this clause stands; the name's place if it is not written.
    #[must_use]
    pub fn said(&self, kind: KindId, clause: &str) -> Span {
        let field = kind.kind().field(clause).and_then(|field| u8::try_from(field).ok());
        self.clauses.iter().find(|(number, _)| Some(*number) == field).map_or(self.at, |(_, span)| *span)
    }
}

/// A string that ends a clause: the clause's note.
#[derive(Debug, Clone, PartialEq)]
pub struct Note {
    /// The block it stands in.
    pub block: BlockId,
    /// The clause's word.
    pub clause: String,
    /// The note.
    pub text: String,
    /// Where it stands.
    pub at: Span,
}

/// A typed job.
#[derive(Debug, Default)]
#[allow(missing_docs)]
pub struct Job {
    pub head: Option<Thing<JobHead>>,
    /// The job's title, even where something else in its block is broken.
    pub title: String,
    pub asks: Vec<Thing<Ask>>,
    pub walls: Vec<Thing<Wall>>,
    pub lines: Vec<Thing<Line>>,
    pub footings: Vec<Thing<Footing>>,
    pub grounds: Vec<Thing<Ground>>,
    pub slabs: Vec<Thing<Slab>>,
    pub clears: Vec<Thing<Clear>>,
    pub cracks: Vec<Thing<Crack>>,
    pub spalls: Vec<Thing<Spall>>,
    pub cuts: Vec<Thing<Cut>>,
    pub removes: Vec<Thing<Remove>>,
    pub prepares: Vec<Thing<Prepare>>,
    pub supports: Vec<Thing<Support>>,
    pub routes: Vec<Thing<Route>>,
    pub sections: Vec<Thing<Section>>,
    pub voids: Vec<Thing<Void>>,
    pub holes: Vec<Thing<Holes>>,
    pub bars: Vec<Thing<Bars>>,
    pub forms: Vec<Thing<Forms>>,
    pub pours: Vec<Thing<Pour>>,
    pub cures: Vec<Thing<Cure>>,
    pub mixes: Vec<Thing<Mix>>,
    pub resins: Vec<Thing<Resin>>,
    pub steels: Vec<Thing<Steel>>,
    pub lumber: Vec<Thing<Lumber>>,
    pub stocks: Vec<Thing<Stock>>,
    pub wires: Vec<Thing<Wire>>,
    pub tools: Vec<Thing<Tool>>,
    pub goods: Vec<Thing<Goods>>,
    pub suppliers: Vec<Thing<Supplier>>,
    pub hires: Vec<Thing<Hire>>,
    pub trucks: Vec<Thing<Truck>>,
    pub fees: Vec<Thing<Fee>>,
    pub budgets: Vec<Thing<Budget>>,
    /// The wire bars are tied with: the one the job names, or the library's.
    pub tie_wire: Option<BlockId>,
    pub hours: Vec<Thing<Hours>>,
    pub steps: Vec<Thing<Step>>,
    pub looks: Vec<Thing<Look>>,
    pub waits: Vec<Thing<Wait>>,
    pub records: Vec<Thing<Record>>,
    pub accepts: Vec<Accept>,
    pub notes: Vec<Note>,
    /// Things that could not be read; what depends on them is left out, silently.
    pub broken: BTreeSet<BlockId>,
    /// Something that is included could not be read: the job may lack any of its things.
    pub lacks: bool,
    /// The clauses of the `job` block that are written and could not be read.
    unread: Vec<&'static str>,
    /// The names of all blocks, for words; where these stand, and where the block begins.
    names: Vec<(String, Option<KindId>, Span, Span)>,
    /// The kinds that are written.
    kinds: BTreeSet<KindId>,
    /// Where each block stands in the list of its kind, by its number; more than any list holds for one that stands in none.
    places: Vec<u32>,
    /// Which stock there is of what, by its places in the list.
    stocked: HashMap<BlockId, Vec<usize>>,
    /// Which pours fill each section, by their places in the list.
    filled: HashMap<BlockId, Vec<usize>>,
}

/// The coldest and the warmest air of some weather, and where each is written.
pub fn air_of<'w>(weather: impl IntoIterator<Item = &'w Said<Weather>>) -> Option<Range<Said<Temperature>>> {
    let mut air: Option<Range<Said<Temperature>>> = None;
    for weather in weather {
        let Range { from, to } = weather.value.air;
        let (from, to) = (Said { value: from, span: weather.span }, Said { value: to, span: weather.span });
        let known = air.get_or_insert(Range { from, to });
        if from.value < known.from.value {
            known.from = from;
        }
        if to.value > known.to.value {
            known.to = to;
        }
    }
    air
}

impl Job {
    /// The units papers are printed in.
    #[must_use]
    pub fn system(&self) -> System {
        match self.head.as_ref().and_then(|head| head.say.show) {
            Some(Show::Metric) => System::Metric,
            Some(Show::Feet) | None => System::Feet,
        }
    }

    /// Whether this clause of the `job` block is written and could not be read: what hangs on it cannot be told.
    #[must_use]
    pub fn unread(&self, clause: &str) -> bool {
        self.unread.contains(&clause)
    }

    /// The coldest and the warmest air the job reckons with, over all its weather, and where each is written.
    #[must_use]
    pub fn air(&self) -> Option<Range<Said<Temperature>>> {
        air_of(&self.head.as_ref()?.say.weather.0)
    }

    /// The name of any block.
    #[must_use]
    pub fn name(&self, id: BlockId) -> &str {
        self.names.get(id.0 as usize).map_or("", |(name, ..)| name)
    }

    /// The kind of any block.
    #[must_use]
    pub fn kind(&self, id: BlockId) -> Option<KindId> {
        self.names.get(id.0 as usize).and_then(|(_, kind, ..)| *kind)
    }

    /// Whether a block of this kind is written, be it broken or not.
    #[must_use]
    pub fn has(&self, kind: KindId) -> bool {
        self.kinds.contains(&kind)
    }

    /// Where any block's name stands.
    #[must_use]
    pub fn at(&self, id: BlockId) -> Option<Span> {
        self.names.get(id.0 as usize).map(|(_, _, at, _)| *at)
    }

    /// The block of this name.
    #[must_use]
    pub fn named(&self, name: &str) -> Option<BlockId> {
        let at = self.names.iter().position(|(known, ..)| known == name)?;
        u32::try_from(at).ok().map(BlockId)
    }

    /// The block a place lies in: the last that begins before it in the same text.
    #[must_use]
    pub fn around(&self, place: Span) -> Option<BlockId> {
        let begun = |head: &Span| head.source == place.source && head.start <= place.start;
        let all = self.names.iter().enumerate().filter(|(_, (.., head))| begun(head));
        let (at, _) = all.max_by_key(|(_, (.., head))| head.start)?;
        u32::try_from(at).ok().map(BlockId)
    }

    /// The stock of a thing, as it is written.
    pub fn stock_of(&self, item: BlockId) -> impl Iterator<Item = &Thing<Stock>> {
        self.stocked.get(&item).into_iter().flatten().filter_map(|place| self.stocks.get(*place))
    }

    /// The pours that fill a section, as they are written.
    pub fn pours_of(&self, section: BlockId) -> impl Iterator<Item = &Thing<Pour>> {
        self.filled.get(&section).into_iter().flatten().filter_map(|place| self.pours.get(*place))
    }

    fn find<'j, T>(&self, list: &'j [Thing<T>], id: BlockId) -> Option<&'j Thing<T>> {
        let place = *self.places.get(id.0 as usize)?;
        list.get(place as usize).filter(|thing| thing.id == id)
    }
}

macro_rules! finders {
    ($( $find:ident $list:ident $ty:ident ),* $(,)?) => {
        impl Job { $(
            #[doc = concat!("The ", stringify!($find), " of this number, if it could be read.")]
            #[must_use]
            pub fn $find(&self, id: BlockId) -> Option<&Thing<$ty>> {
                self.find(&self.$list, id)
            }
        )* }
    };
}

finders! {
    ask asks Ask, wall walls Wall, line lines Line, footing footings Footing, slab slabs Slab, clear clears Clear,
    crack cracks Crack, spall spalls Spall, cut cuts Cut, remove removes Remove, prepare prepares Prepare,
    support supports Support,
    section sections Section, void voids Void, holes_of holes Holes, bars_of bars Bars,
    forms_of forms Forms, pour pours Pour, cure cures Cure, mix mixes Mix,
    resin resins Resin, steel steels Steel, lumber_of lumber Lumber, stock stocks Stock, wire wires Wire, tool tools Tool,
    goods_of goods Goods, supplier suppliers Supplier, hire hires Hire, fee fees Fee,
    step steps Step, look looks Look, wait waits Wait, record records Record,
}

/// The wire bars are tied with when nothing is said: No. 16 is what trade magazines call usual.
pub const USUAL_WIRE: &str = "wire-16";

/// Builds the job from its trees.
pub fn build(loaded: &Loaded, shelf: &Shelf, limits: &Limits, problems: &mut Vec<Problem>) -> Job {
    let blocks = Blocks::new(loaded, shelf, problems);
    let mut desk = Desk::new(blocks, limits, problems);
    let mut job = Job { lacks: loaded.lacks, ..Job::default() };
    let mut at = 0;
    // Library entries join at the end as they are used.
    while at < desk.blocks.entries.len() {
        let id = BlockId(u32::try_from(at).unwrap_or(u32::MAX));
        read_block(&mut desk, &mut job, id);
        at += 1;
        if at == desk.blocks.entries.len() && job.tie_wire.is_none() && !job.bars.is_empty() {
            let named = job.head.as_ref().and_then(|head| head.say.wire).map(|wire| wire.0);
            job.tie_wire = named.or_else(|| desk.blocks.find(USUAL_WIRE));
        }
    }
    for (place, stock) in job.stocks.iter().enumerate() {
        job.stocked.entry(stock.say.item.0).or_default().push(place);
    }
    for (place, pour) in job.pours.iter().enumerate() {
        for section in &pour.say.fill {
            job.filled.entry(section.value.0).or_default().push(place);
        }
    }
    accept::read(&mut desk, &mut job);
    hollow(&mut desk, &job);
    notes(&desk, &mut job);
    heads(&mut desk, &mut job);
    whole_jobs(&mut desk, &loaded.whole);
    once::told_once(desk.problems, loaded.lacks);
    job.names = (0..desk.blocks.entries.len())
        .map(|at| {
            let entry = desk.blocks.entries[at];
            let name = desk.blocks.name(BlockId(u32::try_from(at).unwrap_or(u32::MAX)));
            (name.to_owned(), entry.kind, entry.name.unwrap_or(entry.head), entry.head)
        })
        .collect();
    job.kinds = job.names.iter().filter_map(|(_, kind, ..)| *kind).collect();
    job
}

/// Puts the library's texts behind the job's own, so that findings and working can point into them.
pub fn shelve(sources: &mut Sources) -> Shelf {
    Shelf::new(sources)
}

fn read_block(desk: &mut Desk, job: &mut Job, id: BlockId) {
    let entry = desk.blocks.entry(id);
    let Some(kind) = entry.kind else {
        job.broken.insert(id);
        return;
    };
    macro_rules! take {
        ($list:ident, $ty:ident) => {
            match desk.parts(id).and_then(|parts| thing(desk, id, &entry, $ty::from_parts, parts)) {
                Some(thing) if !entry.again => {
                    job.places.resize(id.0 as usize, u32::MAX);
                    job.places.push(u32::try_from(job.$list.len()).unwrap_or(u32::MAX));
                    job.$list.push(thing);
                }
                // Nothing can name a thing whose name means another of its kind: what it would be without is told of its name.
                Some(_) | None => {
                    job.broken.insert(id);
                }
            }
        };
    }
    match kind {
        KindId::Job => {
            if job.title.is_empty() {
                job.title = blocks::title(&desk.blocks, &entry).map_or_else(String::new, |title| title.value);
            }
            // All its clauses can do without each other: what can be read of them holds, whatever is wrong with the others.
            let (parts, whole, unread) = desk.parts_left(id, kind.kind());
            if !whole {
                job.broken.insert(id);
            }
            if let Some(head) = thing(desk, id, &entry, JobHead::from_parts, parts)
                && job.head.is_none()
            {
                job.head = Some(head);
                job.unread = unread;
            }
        }
        KindId::Let => {
            if desk.let_value(id).is_err() {
                job.broken.insert(id);
            }
        }
        KindId::Include | KindId::Accept => {}
        KindId::Ask => take!(asks, Ask),
        KindId::Wall => take!(walls, Wall),
        KindId::Line => take!(lines, Line),
        KindId::Footing => take!(footings, Footing),
        KindId::Ground => take!(grounds, Ground),
        KindId::Slab => take!(slabs, Slab),
        KindId::Clear => take!(clears, Clear),
        KindId::Crack => take!(cracks, Crack),
        KindId::Spall => take!(spalls, Spall),
        KindId::Cut => take!(cuts, Cut),
        KindId::Remove => take!(removes, Remove),
        KindId::Prepare => take!(prepares, Prepare),
        KindId::Support => take!(supports, Support),
        KindId::Route => take!(routes, Route),
        KindId::Section => take!(sections, Section),
        KindId::Void => take!(voids, Void),
        KindId::Holes => take!(holes, Holes),
        KindId::Bars => take!(bars, Bars),
        KindId::Forms => take!(forms, Forms),
        KindId::Pour => take!(pours, Pour),
        KindId::Cure => take!(cures, Cure),
        KindId::Mix => take!(mixes, Mix),
        KindId::Resin => take!(resins, Resin),
        KindId::Steel => take!(steels, Steel),
        KindId::Lumber => take!(lumber, Lumber),
        KindId::Stock => take!(stocks, Stock),
        KindId::Wire => take!(wires, Wire),
        KindId::Tool => take!(tools, Tool),
        KindId::Goods => take!(goods, Goods),
        KindId::Supplier => take!(suppliers, Supplier),
        KindId::Hire => take!(hires, Hire),
        KindId::Truck => take!(trucks, Truck),
        KindId::Fee => take!(fees, Fee),
        KindId::Budget => take!(budgets, Budget),
        KindId::Hours => take!(hours, Hours),
        KindId::Step => take!(steps, Step),
        KindId::Look => take!(looks, Look),
        KindId::Wait => take!(waits, Wait),
        KindId::Record => take!(records, Record),
    }
}

fn thing<T>(desk: &Desk, id: BlockId, entry: &Entry, take: fn(Parts) -> Option<T>, parts: Parts) -> Option<Thing<T>> {
    let clauses = parts.places().collect();
    Some(Thing {
        id,
        clauses,
        name: desk.blocks.name(id).to_owned(),
        title: blocks::title(&desk.blocks, entry).map_or_else(String::new, |title| title.value),
        at: entry.name.or(entry.day.map(|day| day.span)).unwrap_or(entry.head),
        day: entry.day.map(|day| day.value),
        usual: id.0 as usize >= desk.blocks.own,
        say: take(parts)?,
    })
}

/// Only block has open cells.
fn hollow(desk: &mut Desk, job: &Job) {
    for wall in &job.walls {
        let Some(made) = wall.say.of.as_ref().filter(|made| made.hollow.is_some() && made.of == Stuff::Concrete) else {
            continue;
        };
        desk.say(
            Problem::new(
                &rules::CLAUSES_EXCLUDE,
                wall.said(KindId::Wall, "of"),
                "`{0}` and `hollow` cannot stand together",
            )
            .arg(made.of.word())
            .help("block with open cells is `of block, hollow`; for solid concrete take `hollow` out"),
        );
    }
}

/// Collects the strings that end clauses.
fn notes(desk: &Desk, job: &mut Job) {
    for at in 0..desk.blocks.own {
        let id = BlockId(u32::try_from(at).unwrap_or(u32::MAX));
        let entry = desk.blocks.entry(id);
        let Some(kind) = entry.kind else { continue };
        let (tree, clauses) = desk.blocks.clauses(&entry);
        let source = desk.blocks.sources.get(tree.source);
        for clause in clauses {
            if let Some(note) = reader::note(kind.kind(), tree, source, clause, id) {
                job.notes.push(note);
            }
        }
    }
}

/// There must be one job block, and something in the file at all.
fn heads(desk: &mut Desk, job: &mut Job) {
    let own = &desk.blocks.entries[..desk.blocks.own];
    let heads: Vec<Span> = own.iter().filter(|entry| entry.kind == Some(KindId::Job)).map(|entry| entry.head).collect();
    let start = Span { source: crate::source::SourceId(0), start: 0, end: 0 };
    match heads.as_slice() {
        [_] => {}
        [] if own.is_empty() => {
            if !desk.has_said(&crate::language::rules::NOT_TEXT) {
                desk.say(
                    Problem::new(&crate::language::rules::NOTHING_HERE, start, "there is no job in this file")
                        .help("`batterboard new` writes one to start from"),
                );
            }
        }
        // A `job` that is only misspelt has been said.
        [] if desk.blocks.misspelt("job") => {}
        // It may stand in the line that was not read.
        [] if desk.has_said(&crate::language::rules::LINE_TOO_LONG) => {}
        [] => desk.say(
            Problem::new(&rules::JOB_COUNT, start, "this file has no `job` block")
                .help("write `job \"what it is\" { }` at the top"),
        ),
        [first, second, ..] => desk.say(
            Problem::new(&rules::JOB_COUNT, *second, "there is a second `job` block")
                .here("the second one")
                .label(*first, "the first one")
                .help("one job is compiled at a time; keep one of the two"),
        ),
    }
    job.notes.sort_by_key(|note| note.at);
}

/// What is included is a part of this job, not another one.
fn whole_jobs(desk: &mut Desk, included: &[(Span, Span)]) {
    for (at, head) in included {
        let problem = Problem::new(&rules::JOB_COUNT, *at, "{0} is a whole job: it has a `job` block of its own")
            .arg(desk.blocks.sources.text(*at))
            .here("included here")
            .label(*head, "its `job` block")
            .help(
                "one job is compiled at a time: put what both need into a file without a `job` block, and include that",
            );
        desk.say(problem);
    }
}

/// "a section", "an ask".
pub(crate) fn article(kind: KindId) -> String {
    let word = kind.kind().word;
    let article = if word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
    match kind {
        KindId::Holes | KindId::Bars => format!("a row of {word}"),
        KindId::Steel => "a bar size".to_owned(),
        KindId::Lumber => "a board or sheet size".to_owned(),
        KindId::Ground | KindId::Budget | KindId::Goods => format!("a `{word}` entry"),
        KindId::Ask => "a question".to_owned(),
        _ => format!("{article} {word}"),
    }
}

/// "a section or a wall"; "something in the job" for any.
fn kinds_in_words(kinds: &[KindId]) -> String {
    let words: Vec<String> = kinds.iter().map(|kind| article(*kind)).collect();
    match words.as_slice() {
        [] => "something in the job".to_owned(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

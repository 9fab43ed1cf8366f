//! The index of all blocks: which kind each is, its name, its title; and the one pool of names.

use std::{
    cell::OnceCell,
    sync::{Mutex, OnceLock, PoisonError},
};

use foldhash::{HashMap, HashMapExt, HashSet};

use super::{misread::misread, rules};
use crate::{
    language::{self, Clause, Limits, Loaded, Tok, TokenKind, Tree},
    library,
    problem::{Problem, nearest, or},
    schema::{BlockId, KINDS, KindId, Need, Said, reserved},
    source::{Source, SourceId, Sources, Span},
    units::{self, Date, What},
};

/// One block of the job, its shop file or the library.
#[derive(Debug, Clone, Copy)]
pub(super) struct Entry {
    /// Its kind, if anyone knows it.
    pub kind: Option<KindId>,
    /// The tree it stands in, and which block of it.
    pub tree: u32,
    pub block: u32,
    /// The place of its name.
    pub name: Option<Span>,
    /// The place of its title.
    pub text: Option<Span>,
    /// The day in its head.
    pub day: Option<Said<Date>>,
    /// The place of its head.
    pub head: Span,
    /// Its head is broken: nothing can be read from it.
    pub broken: bool,
    /// Another of its kind has its name, and is what is meant by that everywhere.
    pub again: bool,
}

impl Entry {
    /// A block of which nothing has been read.
    fn unread(tree: u32, block: u32, head: Span) -> Entry {
        Entry { kind: None, tree, block, name: None, text: None, day: None, head, broken: true, again: false }
    }
}

/// All blocks and names. Library files join as they are needed.
pub(super) struct Blocks<'l> {
    pub sources: &'l Sources,
    trees: &'l [Tree],
    library: &'l Shelf,
    pub entries: Vec<Entry>,
    names: HashMap<&'l str, BlockId>,
    /// Names that were given to a thing of another kind before, and the kind of what has them too.
    namesakes: HashSet<(&'l str, KindId)>,
    /// Names the library does not have.
    missing: HashSet<&'l str>,
    /// Blocks of the job's own files: those after it are the library's.
    pub own: usize,
}

/// The library's texts, and room for the entries that are read from them: one tree a line, as names are used.
#[derive(Debug)]
pub struct Shelf {
    first: u32,
    lines: Box<[OnceCell<Tree>]>,
}

impl Shelf {
    /// Puts the library's texts behind the job's own.
    pub(super) fn new(sources: &mut Sources) -> Shelf {
        static LINES: OnceLock<usize> = OnceLock::new();
        let lines = *LINES.get_or_init(|| library::FILES.iter().map(|(_, text)| text.lines().count()).sum());
        let mut first = None;
        for (name, text) in library::FILES {
            let id = sources.add(Source::new(name, text));
            first.get_or_insert(id.0);
        }
        Shelf { first: first.unwrap_or(0), lines: (0..lines).map(|_| OnceCell::new()).collect() }
    }

    /// Reads one entry into the next free place; gives its place and its tree.
    fn take<'l>(&'l self, sources: &'l Sources, entry: &library::Entry) -> Option<(usize, &'l Tree)> {
        let free = self.lines.iter().position(|cell| cell.get().is_none())?;
        let id = SourceId(self.first + u32::try_from(entry.file).unwrap_or(0));
        let read = || Tree { source: id, ..parsed(sources.get(id), entry) };
        Some((free, self.lines.get(free)?.get_or_init(read)))
    }

    fn tree(&self, place: usize) -> Option<&Tree> {
        self.lines.get(place).and_then(OnceCell::get)
    }
}

/// The tree of an entry, read once for all jobs of a run: it is the same in every one, save for the text it is in.
fn parsed(source: &Source, entry: &library::Entry) -> Tree {
    static TREES: [OnceLock<Mutex<HashMap<usize, Tree>>>; library::FILES.len()] =
        [const { OnceLock::new() }; library::FILES.len()];
    let read = || language::parse_part(SourceId(0), source, entry.line.clone(), &Limits::default(), &mut Vec::new());
    let Some(trees) = TREES.get(entry.file) else { return read() };
    // A thread that ended badly leaves whole trees behind.
    let mut trees = trees.get_or_init(Mutex::default).lock().unwrap_or_else(PoisonError::into_inner);
    trees.entry(entry.line.start).or_insert_with(read).clone()
}

/// Takes back that the `}` of blocks without `{` close nothing; `ends` is where the last that belongs to each of them ends.
fn close(source: &Source, id: SourceId, ends: &HashSet<u32>, problems: &mut Vec<Problem>) {
    if ends.is_empty() {
        return;
    }
    problems.retain(|problem| {
        let stray =
            problem.span().filter(|span| problem.rule == &crate::language::rules::BRACE_STRAY && span.source == id);
        let before = stray.and_then(|brace| source.text.get(..brace.start as usize));
        let end = before.map(|text| text.trim_end_matches([';', ' ', '\t', '\r', '\n']).len());
        end.and_then(|end| u32::try_from(end).ok()).is_none_or(|end| !ends.contains(&end))
    });
}

impl<'l> Blocks<'l> {
    /// Indexes the heads of all blocks; what is wrong with a head becomes a finding.
    pub fn new(loaded: &'l Loaded, library: &'l Shelf, problems: &mut Vec<Problem>) -> Blocks<'l> {
        let count = loaded.trees.iter().map(|tree| tree.blocks.len()).sum();
        let mut blocks = Blocks {
            sources: &loaded.sources,
            trees: &loaded.trees,
            library,
            entries: Vec::with_capacity(count),
            names: HashMap::with_capacity(count),
            namesakes: HashSet::default(),
            missing: HashSet::default(),
            own: 0,
        };
        let mut words = Vec::new();
        for (at, tree) in loaded.trees.iter().enumerate() {
            blocks.index(u32::try_from(at).unwrap_or(u32::MAX), tree, &mut words, problems);
        }
        blocks.own = blocks.entries.len();
        blocks.look_alikes(problems);
        blocks
    }

    fn index(&mut self, at: u32, tree: &'l Tree, words: &mut Vec<Tok<'l>>, problems: &mut Vec<Problem>) {
        let source = self.sources.get(tree.source);
        // A block whose `{` is missing: its clauses stand where blocks begin, and its `}` closes nothing.
        let (mut unopened, mut ends) = (None::<KindId>, HashSet::default());
        for (number, block) in tree.blocks.iter().enumerate() {
            tree.words(source, &block.head, words);
            let head = tree.span_of(&block.head);
            let number = u32::try_from(number).unwrap_or(u32::MAX);
            let mut entry = Entry::unread(at, number, head);
            let clause = |kind: KindId| words.first().is_some_and(|first| kind.kind().field(first.text).is_some());
            if block.body.is_none() && unopened.is_some_and(clause) {
                // That has been said of the block above.
                ends.insert(head.end);
                self.entries.push(entry);
                continue;
            }
            let said = problems.len();
            read_head(words, block.body.is_some(), &mut entry, problems);
            let missing = |problem: &Problem| problem.rule == &rules::BLOCK_MISSING;
            let is_unopened = block.body.is_none() && problems[said..].iter().any(missing);
            unopened = entry.kind.filter(|_| is_unopened);
            if is_unopened {
                ends.insert(head.end);
            }
            let id = BlockId(u32::try_from(self.entries.len()).unwrap_or(u32::MAX));
            if let Some(span) = entry.name {
                entry.again = self.enter(id, span, entry.kind, problems);
            }
            self.entries.push(entry);
        }
        close(source, tree.source, &ends, problems);
    }

    /// Puts a name in the pool; whether another thing of the kind has it already.
    fn enter(&mut self, id: BlockId, span: Span, kind: Option<KindId>, problems: &mut Vec<Problem>) -> bool {
        let name = self.sources.text(span);
        if let Some(why) = reserved(name) {
            problems.push(
                Problem::new(&rules::NAME_RESERVED, span, "`{0}` cannot be a name: {1}")
                    .arg(name)
                    .arg(why)
                    .help("add a word to it, as in `{0}-1`"),
            );
        }
        if name.contains('.') {
            problems.push(
                Problem::new(&rules::NAME_RESERVED, span, "`{0}` cannot be a name: a dot asks for a property")
                    .arg(name)
                    .help("write a hyphen in place of the dot"),
            );
        }
        let first = self.names.get(name).copied();
        match first.and_then(|first| self.entries.get(first.0 as usize)) {
            Some(first) if kind.is_some() || first.kind.is_some() => {
                let alike = first.kind == kind;
                let first = first.name.unwrap_or(first.head);
                problems.push(
                    Problem::new(&rules::NAME_TWICE, span, "the name `{0}` is given twice")
                        .arg(name)
                        .here("given again here")
                        .label(first, "first given here")
                        .help("give one of the two another name; all names of a job share one pool"),
                );
                kind.is_some_and(|kind| alike || !self.namesakes.insert((name, kind)))
            }
            Some(_) => false,
            None => {
                self.names.insert(name, id);
                false
            }
        }
    }

    /// Another of the job's own blocks with this name, of one of these kinds: that a name is given twice is told where it is given.
    pub fn namesake(&self, name: &str, kinds: &[KindId]) -> Option<BlockId> {
        let fits = |entry: &Entry| {
            entry.kind.is_some_and(|kind| kinds.contains(&kind))
                && entry.name.is_some_and(|span| self.sources.text(span) == name)
        };
        let at = self.entries[..self.own].iter().position(fits)?;
        u32::try_from(at).ok().map(BlockId)
    }

    /// Whether a block of the job's own is of an unknown kind that is surely this one.
    pub fn misspelt(&self, kind: &str) -> bool {
        self.entries[..self.own].iter().filter(|entry| entry.kind.is_none()).any(|entry| {
            let tree = self.tree(entry);
            let first =
                tree.blocks.get(entry.block as usize).map(|block| self.sources.text(tree.span(block.head.start)));
            nearest(first.unwrap_or(""), [kind]).is_some()
        })
    }

    /// Names a reader would take for one another.
    fn look_alikes(&self, problems: &mut Vec<Problem>) {
        let mut seen: HashMap<String, Span> = HashMap::with_capacity(self.names.len());
        let mut spans: Vec<Span> = self.entries.iter().filter_map(|entry| entry.name).collect();
        spans.sort();
        for span in spans {
            let name = self.sources.text(span);
            // What a reader takes for the same: case, 0 and O, 1 and l and I, hyphens left out.
            let plain: String = name
                .chars()
                .filter(|letter| *letter != '-' && *letter != '_')
                .map(|letter| match letter.to_ascii_lowercase() {
                    'o' => '0',
                    'l' | 'i' => '1',
                    other => other,
                })
                .collect();
            match seen.get(&plain) {
                Some(first) if self.sources.text(*first) != name => problems.push(
                    Problem::new(&rules::NAMES_ALIKE, span, "the names `{0}` and `{1}` look alike")
                        .arg(self.sources.text(*first))
                        .arg(name)
                        .thing(name)
                        .here("this one")
                        .label(*first, "the other one")
                        .help("give one of them a name nobody can mistake for the other"),
                ),
                Some(_) => {}
                None => {
                    seen.insert(plain, span);
                }
            }
        }
    }

    /// The block of a name, in the job or else in the library.
    pub fn find(&mut self, name: &'l str) -> Option<BlockId> {
        if let Some(id) = self.names.get(name) {
            return Some(*id);
        }
        if self.missing.contains(name) {
            return None;
        }
        let taken = library::holding(name).and_then(|entry| self.library.take(self.sources, &entry));
        let Some((place, tree)) = taken else {
            self.missing.insert(name);
            return None;
        };
        let block = tree.blocks.first()?;
        let mut words = Vec::new();
        tree.words(self.sources.get(tree.source), &block.head, &mut words);
        let at = u32::try_from(self.trees.len() + place).unwrap_or(u32::MAX);
        let head = tree.span_of(&block.head);
        let mut entry = Entry::unread(at, 0, head);
        read_head(&words, block.body.is_some(), &mut entry, &mut Vec::new());
        let id = BlockId(u32::try_from(self.entries.len()).unwrap_or(u32::MAX));
        self.entries.push(entry);
        self.names.insert(name, id);
        Some(id)
    }

    pub fn entry(&self, id: BlockId) -> Entry {
        self.entries[(id.0 as usize).min(self.entries.len() - 1)]
    }

    /// The name of a block; its kind's word for one that has none.
    pub fn name(&self, id: BlockId) -> &'l str {
        let entry = self.entry(id);
        match entry.name {
            Some(span) => self.sources.text(span),
            None => entry.kind.map_or("", |kind| kind.kind().word),
        }
    }

    pub fn tree(&self, entry: &Entry) -> &'l Tree {
        let at = entry.tree as usize;
        let own = self.trees.get(at);
        // An entry's tree is kept when the entry is made; the first tree stands in for one that cannot be missing.
        own.or_else(|| self.library.tree(at.saturating_sub(self.trees.len()))).unwrap_or(&self.trees[0])
    }

    /// The clauses of a block.
    pub fn clauses(&self, entry: &Entry) -> (&'l Tree, &'l [Clause]) {
        let tree = self.tree(entry);
        let body = tree.blocks.get(entry.block as usize).and_then(|block| block.body.as_ref());
        let clauses = body.map_or(0..0, |body| body.clauses.start as usize..body.clauses.end as usize);
        (tree, tree.clauses.get(clauses).unwrap_or(&[]))
    }

    /// The names of blocks of the wanted kinds, as they are written, for suggestions.
    pub fn names_of(&self, wanted: impl Fn(KindId) -> bool) -> impl Iterator<Item = &'l str> {
        let sources = self.sources;
        let named = self.entries.iter().filter(move |entry| entry.kind.is_some_and(&wanted));
        named.filter_map(|entry| entry.name).map(move |name| sources.text(name))
    }
}

/// Reads a head: the kind's word, the name, the title.
fn read_head(words: &[Tok], has_block: bool, entry: &mut Entry, problems: &mut Vec<Problem>) {
    let Some((first, rest)) = words.split_first() else { return };
    if words.iter().any(|word| matches!(word.kind, TokenKind::Stray | TokenKind::OpenText)) {
        // The finding stands already; a name that can be told keeps its uses silent.
        entry.kind = KindId::of(first.text);
        entry.name = rest.first().filter(|word| word.kind == TokenKind::Word).map(|word| word.span);
        return;
    }
    let Some(kind) = KindId::of(first.text).filter(|_| first.kind == TokenKind::Word) else {
        entry.name = rest.first().filter(|word| word.kind == TokenKind::Word && has_block).map(|word| word.span);
        problems.push(unknown_kind(first, has_block));
        return;
    };
    entry.kind = Some(kind);
    let kind = kind.kind();
    if !kind.head.line.is_empty() {
        if kind.id == KindId::Include && !has_block {
            problems.extend(unread_include(first, rest));
        }
        // `let NAME = …` gives a name; the rest of such lines is read later.
        if kind.id == KindId::Let {
            entry.name = rest.first().filter(|word| word.kind == TokenKind::Word).map(|word| word.span);
        }
        entry.broken = has_block;
        if has_block {
            problems.push(
                Problem::new(&rules::BLOCK_MISSING, entry.head, "a `{0}` takes no block")
                    .arg(kind.word)
                    .arg(kind.head.line)
                    .help("write it on one line, as in `{1}`"),
            );
        }
        return;
    }
    entry.broken = false;
    let mut rest = rest;
    if let Some(need) = kind.head.name {
        match rest.split_first() {
            Some((name, others)) if name.kind == TokenKind::Word => {
                entry.name = Some(name.span);
                rest = others;
            }
            _ if need == Need::One => {
                entry.broken = true;
                problems.push(
                    Problem::new(&rules::NAME_MISSING, first.span, "this `{0}` has no name")
                        .arg(kind.word)
                        .here("the name comes after this word")
                        .help("write a name, as in `{0} one`"),
                );
            }
            _ => {}
        }
    }
    if kind.head.dated {
        match rest.split_first().map(|(day, others)| (day, others, date(day))) {
            Some((day, others, Some(date))) => {
                entry.day = Some(Said { value: date, span: day.span });
                rest = others;
            }
            Some((day, ..)) => {
                entry.broken = true;
                problems.push(no_date(kind, day));
                return;
            }
            None => {
                entry.broken = true;
                problems.push(
                    Problem::new(&rules::NAME_MISSING, first.span, "this `{0}` does not say of which day it is")
                        .arg(kind.word)
                        .here("the day comes after this word")
                        .help("write year-month-day, as in `{0} 2027-05-03`"),
                );
            }
        }
    }
    if let Some(need) = kind.head.text {
        match rest.split_first() {
            Some((text, others)) if text.kind == TokenKind::Text => {
                entry.text = Some(text.span);
                rest = others;
            }
            // More stands before the title: that is said below.
            Some((_, others)) if others.iter().any(|word| word.kind == TokenKind::Text) => {}
            _ if need == Need::One && !entry.broken => {
                entry.broken = true;
                problems.push(
                    Problem::new(&rules::NAME_MISSING, first.span, "this `{0}` does not say in words what it is")
                        .arg(kind.word)
                        .arg(kind.head.text_says)
                        .help("write {1} between quotes before the `{`"),
                );
            }
            _ => {}
        }
    }
    if let Some(extra) = rest.first() {
        if !entry.broken && !has_block && kind.field(extra.text).is_some() {
            problems.push(
                Problem::new(&rules::BLOCK_MISSING, extra.span, "this `{0}` has no block")
                    .arg(kind.word)
                    .arg(extra.text)
                    .here("`{` is wanted before this")
                    .help("write `{` before `{1}`, and `}` after the last clause")
                    .fix(Span { end: extra.span.start, ..extra.span }, "{ "),
            );
        } else if !entry.broken {
            let problem = Problem::new(&rules::HEAD_EXTRA, extra.span, "`{0}` does not belong in the head of `{1}`")
                .arg(extra.text)
                .arg(kind.word);
            problems.push(match (kind.head.name, extra.kind) {
                (_, TokenKind::Word) if kind.field(extra.text).is_some() => {
                    problem.help("`{0}` is a clause: write it into the block, between `{` and `}`")
                }
                (None, TokenKind::Word) => problem.help("`{1}` has no name; take it out"),
                (Some(_), TokenKind::Word) if kind.head.text.is_none() && (3..6).contains(&words.len()) => {
                    let names: Vec<&str> = words.iter().skip(1).map(|word| word.text).collect();
                    problem.arg(names.join("-")).arg(names[0]).help("a name is one word: write `{2}`, or `{3}` alone")
                }
                (_, TokenKind::Text) => problem.help("`{1}` has no title; write a comment behind `//` instead"),
                _ => problem.help("put it into the block, between `{` and `}`"),
            });
        }
        entry.broken = true;
    }
    if !has_block && !entry.broken {
        entry.broken = true;
        problems.push(
            Problem::new(&rules::BLOCK_MISSING, entry.head.after(), "this `{0}` has no block")
                .arg(kind.word)
                .here("`{` is wanted here")
                .help("write `{`, the clauses, and `}`"),
        );
    }
}

/// The day a token of a head says.
fn date(tok: &Tok) -> Option<Date> {
    let reading = (tok.kind == TokenKind::Number).then(|| units::number(tok.text))?.ok()?;
    match reading.what {
        What::Date(date) => Some(date),
        _ => None,
    }
}

/// What stands in a head where a day is wanted.
fn no_date(kind: &crate::schema::Kind, tok: &Tok) -> Problem {
    if tok.kind == TokenKind::Number
        && let Err(wrong) = units::number(tok.text)
    {
        return misread(tok, &wrong);
    }
    Problem::new(&rules::DATE_UNREADABLE, tok.span, "`{0}` is not a date")
        .arg(tok.text)
        .arg(kind.word)
        .help("write year-month-day, as in `{1} 2027-05-03`")
}

/// What keeps an `include` line from naming a file.
fn unread_include(first: &Tok, rest: &[Tok]) -> Option<Problem> {
    let example = "write the file's name between quotes, as in `include \"shop.job\"`";
    match rest {
        [file] if file.kind == TokenKind::Text => None,
        [] => Some(
            Problem::new(&rules::VALUE_MISSING, first.span, "nothing stands after `{0}`").arg(first.text).help(example),
        ),
        [file, extra, ..] if file.kind == TokenKind::Text => Some(
            Problem::new(&rules::VALUE_EXTRA, extra.span, "`{0}` does not belong here")
                .arg(extra.text)
                .help("include one file a line"),
        ),
        [file, ..] => {
            Some(Problem::new(&rules::VALUE_MISFIT, file.span, "`{0}` is not a string").arg(file.text).help(example))
        }
    }
}

fn unknown_kind(first: &Tok, has_block: bool) -> Problem {
    let known = KINDS.iter().map(|kind| kind.word);
    let problem =
        Problem::new(&rules::KIND_UNKNOWN, first.span, "there is no kind of block called `{0}`").arg(first.text);
    let owners: Vec<&str> =
        KINDS.iter().filter(|kind| kind.field(first.text).is_some()).map(|kind| kind.word).take(4).collect();
    if !has_block && !owners.is_empty() {
        return problem
            .arg(or(&owners))
            .help("`{0}` is a clause of {1}: it belongs inside a block; is a `}` above closing it too early?");
    }
    match nearest(first.text, known) {
        Some(near) => problem.arg(near).help("is `{1}` meant?").fix(first.span, near),
        None if !owners.is_empty() => problem
            .arg(or(&owners))
            .help("`{0}` is a clause of {1}: write it inside that block, without braces of its own"),
        None => problem.help("`batterboard reference` lists the kinds"),
    }
}

/// The text of a title.
pub(super) fn title(blocks: &Blocks, entry: &Entry) -> Option<Said<String>> {
    entry.text.map(|span| Said { value: language::unquote(blocks.sources.text(span)), span })
}

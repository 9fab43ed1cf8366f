//! Reading a job with all it includes: relative to the including file, inside the job's folder, each file once.

use std::ops::Range;

use foldhash::HashMap;

use super::{
    limits::Limits,
    rules,
    tree::{Tok, TokenKind, Tree, parse},
};
use crate::{
    problem::{Problem, nearest},
    source::{Files, Found, NotText, Source, SourceId, Sources, Span, Trouble, beside, decode, folder},
};

/// A job's texts and trees: the job file first, then what it includes in the order it is reached.
#[derive(Debug)]
pub struct Loaded {
    /// The texts.
    pub sources: Sources,
    /// One tree a text, less those of whole jobs that are included.
    pub trees: Vec<Tree>,
    /// Included files that hold a `job` block where there is one already: where each is included, and the head of its block.
    /// Nothing else of them is read.
    pub whole: Vec<(Span, Span)>,
    /// Something that is included could not be read: names may be its.
    pub lacks: bool,
}

/// Why the job file itself could not be had.
#[derive(Debug)]
pub enum Unread {
    /// It could not be read at all.
    Trouble(Trouble),
}

/// Reads a job file and all it includes.
///
/// # Errors
/// When the job file itself cannot be read; troubles with included files are findings.
pub fn load(files: &dyn Files, path: &str, limits: &Limits, problems: &mut Vec<Problem>) -> Result<Loaded, Unread> {
    let found = files.read(path, None).map_err(Unread::Trouble)?;
    Ok(load_found(files, found, limits, problems))
}

/// Reads all that a job file includes, when the file itself has been read.
pub fn load_found(files: &dyn Files, found: Found, limits: &Limits, problems: &mut Vec<Problem>) -> Loaded {
    Loader::new(files, limits, problems).run(found.name, found.key, found.bytes)
}

/// Reads a job given as a text, which includes nothing that `files` does not give.
pub fn load_text(files: &dyn Files, name: &str, text: &str, limits: &Limits, problems: &mut Vec<Problem>) -> Loaded {
    Loader::new(files, limits, problems).run(name.to_owned(), name.to_owned(), text.as_bytes().to_vec())
}

struct Loader<'l> {
    files: &'l dyn Files,
    limits: &'l Limits,
    problems: &'l mut Vec<Problem>,
    sources: Sources,
    trees: Vec<Tree>,
    /// Which files were read, by their key.
    known: HashMap<String, SourceId>,
    /// Which file a path leads to from a folder: a line written again does not read the file again.
    reached: HashMap<(String, String), (SourceId, String)>,
    /// The key of each text and who included it, where.
    from: Vec<(String, Option<Span>)>,
    deep_said: bool,
    /// There is a `job` block already.
    headed: bool,
    whole: Vec<(Span, Span)>,
    lacks: bool,
    /// How often it was looked what lies where something is not.
    looked: usize,
}

/// For so many files that are not there it is looked which are meant: beyond that nobody reads it.
const LOOKED: usize = 100;

/// An include still to be followed.
struct Wanted {
    path: String,
    at: Span,
}

impl<'l> Loader<'l> {
    fn new(files: &'l dyn Files, limits: &'l Limits, problems: &'l mut Vec<Problem>) -> Loader<'l> {
        Loader {
            files,
            limits,
            problems,
            sources: Sources::default(),
            trees: Vec::new(),
            known: HashMap::default(),
            reached: HashMap::default(),
            from: Vec::new(),
            deep_said: false,
            headed: false,
            whole: Vec::new(),
            lacks: false,
            looked: 0,
        }
    }

    fn run(mut self, name: String, key: String, bytes: Vec<u8>) -> Loaded {
        let mut waiting = Vec::new();
        self.add(name, key, bytes, None, &mut waiting);
        while let Some(wanted) = waiting.pop() {
            self.follow(&wanted, &mut waiting);
        }
        let lacks = self.lacks || !self.whole.is_empty();
        Loaded { sources: self.sources, trees: self.trees, whole: self.whole, lacks }
    }

    fn add(&mut self, name: String, key: String, bytes: Vec<u8>, by: Option<Span>, waiting: &mut Vec<Wanted>) {
        let (text, fault) = match decode(bytes) {
            Ok(text) => (text, None),
            Err(fault) => (String::new(), Some(fault)),
        };
        let id = self.sources.add(Source::new(name, text));
        self.known.insert(key.clone(), id);
        self.from.push((key, by));
        if let Some(fault) = fault {
            let here = by.unwrap_or(Span { source: id, start: 0, end: 0 });
            self.problems.push(not_text(&fault, here, &self.sources.get(id).name));
            self.lacks = true;
        }
        let mut problems = Vec::new();
        let tree = parse(id, self.sources.get(id), self.limits, &mut problems);
        let head = first_job(&tree, self.sources.get(id));
        if let (Some(by), Some(head)) = (by.filter(|_| self.headed), head) {
            self.whole.push((by, head));
            return;
        }
        self.headed |= head.is_some();
        self.problems.append(&mut problems);
        let before = waiting.len();
        self.includes(&tree, id, waiting);
        // Taken from the end, so that they are read in the order they are written.
        waiting[before..].reverse();
        self.trees.push(tree);
    }

    /// The `include "…"` lines of a tree.
    fn includes(&mut self, tree: &Tree, id: SourceId, waiting: &mut Vec<Wanted>) {
        let source = self.sources.get(id);
        let mut words: Vec<Tok> = Vec::new();
        for block in &tree.blocks {
            let first = tree.tokens.get(block.head.start as usize);
            let first = first.and_then(|token| source.text.get(token.start()..token.end()));
            if first != Some("include") {
                continue;
            }
            tree.words(source, &block.head, &mut words);
            match words[..] {
                [_, path] if path.kind == TokenKind::Text && block.body.is_none() => {
                    waiting.push(Wanted { path: unquote(path.text), at: path.span });
                }
                _ => self.lacks = true,
            }
        }
    }

    fn follow(&mut self, wanted: &Wanted, waiting: &mut Vec<Wanted>) {
        let chain = self.chain(wanted.at);
        if chain.len() > self.limits.chain || self.sources.len() > self.limits.includes {
            self.lacks = true;
            if !self.deep_said {
                self.deep_said = true;
                let (headline, limit) = if chain.len() > self.limits.chain {
                    ("includes go deeper than {0} files", self.limits.chain)
                } else {
                    ("more than {0} files are included", self.limits.includes)
                };
                self.problems.push(
                    Problem::new(&rules::INCLUDE_DEEP, wanted.at, headline)
                        .arg(limit)
                        .arg(self.show_chain(&chain, &wanted.path))
                        .here("not followed")
                        .help("include the file higher up, or put the parts in one file: {1}"),
                );
            }
            return;
        }
        let from = self.sources.get(wanted.at.source).name.clone();
        let way = (folder(&from).to_owned(), wanted.path.clone());
        if let Some((known, name)) = self.reached.get(&way) {
            let (known, name) = (*known, name.clone());
            self.met_again(known, &name, &chain, wanted.at);
            return;
        }
        match self.files.read(&wanted.path, Some(&from)) {
            Ok(found) => {
                let name = found.name.clone();
                let known = match self.known.get(&found.key).copied() {
                    Some(known) => {
                        self.met_again(known, &name, &chain, wanted.at);
                        Some(known)
                    }
                    None => {
                        let key = found.key.clone();
                        self.add(found.name, found.key, found.bytes, Some(wanted.at), waiting);
                        self.known.get(&key).copied()
                    }
                };
                if let Some(known) = known {
                    self.reached.insert(way, (known, name));
                }
            }
            Err(trouble) => {
                self.lacks = true;
                let near = match trouble {
                    Trouble::Missing { .. } => self.meant(wanted, &from, &chain),
                    _ => None,
                };
                self.problems.push(cannot_include(&trouble, wanted, near));
            }
        }
    }

    /// The file that is surely meant by the name of one that is not there.
    fn meant(&mut self, wanted: &Wanted, from: &str, chain: &[SourceId]) -> Option<String> {
        self.looked += 1;
        if self.looked > LOOKED {
            return None;
        }
        let mut there = self.files.there(&wanted.path, from);
        // What leads to this line is not what it means.
        there.retain(|path| {
            let name = beside(folder(from), path);
            chain.iter().all(|id| self.sources.get(*id).name != name)
        });
        let with_ending = format!("{}.job", wanted.path);
        let same = |path: &&String| path.eq_ignore_ascii_case(&wanted.path) || **path == with_ending;
        let exact = there.iter().filter(same).min().map(String::as_str);
        exact.or_else(|| nearest(&wanted.path, there.iter().map(String::as_str))).map(str::to_owned)
    }

    /// A file reached by two ways is read once; one that includes itself is a circle.
    fn met_again(&mut self, known: SourceId, name: &str, chain: &[SourceId], at: Span) {
        if !chain.contains(&known) {
            return;
        }
        let first = chain.iter().position(|id| *id == known).unwrap_or(0);
        let says = self.show_chain(chain.get(first..).unwrap_or(chain), name);
        self.problems.push(
            Problem::new(&rules::INCLUDE_CIRCLE, at, "files include each other in a circle: {0}")
                .arg(says)
                .here("this closes the circle")
                .help("take this line out, or put what both files need into a third one"),
        );
    }

    /// The files from the job file down to the one that holds this place.
    fn chain(&self, at: Span) -> Vec<SourceId> {
        let mut chain = vec![at.source];
        let mut by = self.from.get(at.source.0 as usize).and_then(|from| from.1);
        while let Some(span) = by {
            chain.push(span.source);
            by = self.from.get(span.source.0 as usize).and_then(|from| from.1);
        }
        chain.reverse();
        chain
    }

    fn show_chain(&self, chain: &[SourceId], last: &str) -> String {
        let mut names: Vec<&str> = chain.iter().map(|id| self.sources.get(*id).name.as_str()).collect();
        names.push(last);
        // A long chain is shown by its two ends.
        if names.len() > 8 {
            let left_out = names.len() - 7;
            let middle = format!("… {left_out} more …");
            let mut short: Vec<&str> = names[..3].to_vec();
            short.push(&middle);
            short.extend(&names[names.len() - 4..]);
            return short.join(" → ");
        }
        names.join(" → ")
    }
}

/// The head of the first `job` block of a tree.
fn first_job(tree: &Tree, source: &Source) -> Option<Span> {
    let is_job = |head: &Range<u32>| {
        let first = tree.tokens.get(head.start as usize);
        first.and_then(|token| source.text.get(token.start()..token.end())) == Some("job")
    };
    tree.blocks.iter().find(|block| is_job(&block.head)).map(|block| tree.span_of(&block.head))
}

/// The text of a string token, without its quotes and with `\"` and `\\` undone.
#[must_use]
pub fn unquote(token: &str) -> String {
    if let Some(body) = token.strip_prefix('“') {
        return body.strip_suffix('”').unwrap_or(body).to_owned();
    }
    let body = token.strip_prefix('"').unwrap_or(token);
    let body = body.strip_suffix('"').unwrap_or(body);
    if !body.contains('\\') {
        return body.to_owned();
    }
    let mut out = String::with_capacity(body.len());
    let mut letters = body.chars();
    while let Some(letter) = letters.next() {
        match letter {
            '\\' => match letters.next() {
                Some(quoted @ ('"' | '\\')) => out.push(quoted),
                Some(other) => {
                    out.push('\\');
                    out.push(other);
                }
                None => out.push('\\'),
            },
            other => out.push(other),
        }
    }
    out
}

fn cannot_include(trouble: &Trouble, wanted: &Wanted, near: Option<String>) -> Problem {
    let path = wanted.path.as_str();
    let missing = |headline| Problem::new(&rules::INCLUDE_MISSING, wanted.at, headline).arg(path);
    let outside = |headline| Problem::new(&rules::INCLUDE_OUTSIDE, wanted.at, headline).arg(path);
    match trouble {
        Trouble::Missing { looked } => {
            let problem = missing("the file `{0}` is not there").arg(looked.join(", ")).here("included here");
            match near {
                Some(near) => problem
                    .arg(near.as_str())
                    .help("is `{2}` meant? that lies where this was looked for")
                    .fix(wanted.at, format!("\"{near}\"")),
                None => problem.help("includes are looked for beside the file that names them; looked for: {1}"),
            }
        }
        Trouble::Outside { root } => outside("`{0}` lies outside the folder of the job")
            .arg(root.as_str())
            .help("keep included files under `{1}`, or name a wider folder with `--root`"),
        Trouble::NotRelative => outside("`{0}` is not a path beside this file")
            .help("write the path from this file's folder, as in `include \"shop.job\"`"),
        Trouble::NotAFile => missing("`{0}` is not a plain file").help("only plain files are read"),
        Trouble::TooLarge { limit } => {
            missing("`{0}` is larger than {1} bytes").arg(format!("{limit}")).help("check that this is a job file")
        }
        Trouble::Unreadable(reason) => missing("`{0}` cannot be read: {1}").arg(reason.as_str()),
        Trouble::BadName(_) => missing("`{0}` is not a name a file can have everywhere")
            .help("use letters, figures, hyphens and `/` in the names of included files"),
    }
}

fn not_text(fault: &NotText, here: Span, name: &str) -> Problem {
    let problem = |headline| Problem::new(&rules::NOT_TEXT, here, headline).arg(name);
    match fault {
        NotText::Utf16 { .. } => {
            problem("`{0}` is saved as UTF-16").help("save it as UTF-8; editors offer this when saving under a name")
        }
        NotText::Binary => problem("`{0}` is not a text file").help("a job is a plain text file, saved as UTF-8"),
        NotText::Utf8 { byte, line, looks_windows_1252 } => {
            let problem = problem("`{0}` is not UTF-8: byte {1}, in line {2}")
                .arg(i64::try_from(*byte).unwrap_or(i64::MAX))
                .arg(i64::try_from(*line).unwrap_or(i64::MAX));
            if *looks_windows_1252 {
                problem.help("it looks like Windows-1252; save it as UTF-8")
            } else {
                problem.help("save it as UTF-8")
            }
        }
    }
}

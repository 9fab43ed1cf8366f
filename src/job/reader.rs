//! Reads a block by the table of its kind, and a clause by its shape. One pass finds every mistake.

use super::{
    desk::{Desk, Read, Stop},
    meant::{afternoon, each_meant, idle_from, outwards},
    misread::run_on,
    rules,
};
use crate::{
    language::{self, Clause, Tok, TokenKind, Tree},
    problem::{Problem, nearest},
    schema::{BlockId, Field, KINDS, Kind, KindId, Need, Parts, Said, Shape, Sign, Value, takes},
    source::Span,
    units::{Dimension, Quantity},
};

/// A clause or part as it was written: its word and what follows.
#[derive(Clone, Copy)]
struct Written<'t, 'l> {
    field: usize,
    word: Span,
    toks: &'t [Tok<'l>],
}

/// So many clauses may stand on one line with no `;` between, and so many words of a clause may begin the next.
const RUN_TOGETHER: usize = 8;
const SUSPECTS: usize = 4;

/// Of so many kinds at most it is told that a clause belongs to them.
const OWNERS: usize = 3;

/// Which fields were written; no table has as many as 64.
#[derive(Default, Clone, Copy)]
struct Seen(u64);

impl Seen {
    fn has(&self, field: usize) -> bool {
        self.0 & 1 << field != 0
    }

    /// Whether this field was written before; it is now.
    fn again(&mut self, field: usize) -> bool {
        let before = self.has(field);
        self.0 |= 1 << field;
        before
    }
}

impl<'l> Desk<'l, '_> {
    /// Reads a block: the values of each field of its kind, or nothing if anything in it is broken.
    pub fn parts(&mut self, id: BlockId) -> Option<Parts> {
        let kind = self.blocks.entry(id).kind?.kind();
        let (parts, whole, _) = self.read_parts(id, kind);
        whole.then_some(parts)
    }

    /// Reads a block, and what can be read of it where something in it is broken: whether all was read, and the words of the
    /// clauses that were not. A word that is no clause may have been meant for any that is not written.
    pub fn parts_left(&mut self, id: BlockId, kind: &'static Kind) -> (Parts, bool, Vec<&'static str>) {
        let (parts, whole, unread) = self.read_parts(id, kind);
        let words = kind.fields.iter().enumerate().filter(|(field, _)| unread.has(*field));
        (parts, whole, words.map(|(_, field)| field.word).collect())
    }

    fn read_parts(&mut self, id: BlockId, kind: &'static Kind) -> (Parts, bool, Seen) {
        self.reading = Some(id);
        let entry = self.blocks.entry(id);
        let (tree, clauses) = self.blocks.clauses(&entry);
        let (mut unread, mut any) = (Seen::default(), entry.broken && clauses.is_empty());
        let mut whole = !entry.broken;
        let mut parts = Parts::with_capacity(clauses.len());
        let (mut seen, mut meant) = (Seen::default(), Seen::default());
        let mut toks = std::mem::take(&mut self.toks);
        let mut written = None;
        for clause in clauses {
            self.words(tree, clause, &mut toks);
            let mut rest = toks.as_slice();
            // Once, and again where the next clause begins on the line of the one before it.
            for _ in 0..RUN_TOGETHER {
                let Some(field) = self.known_clause(kind, rest) else {
                    whole = false;
                    let written = *written.get_or_insert_with(|| self.written(tree, clauses, kind));
                    // What it is likely to be is not missing as well.
                    match self.unknown_clause(kind, rest, written) {
                        Some(likely) => {
                            meant.again(likely);
                            unread.again(likely);
                        }
                        None => any = true,
                    }
                    break;
                };
                let word = rest[0].span;
                let described = &kind.fields[field];
                if seen.again(field) && described.need != Need::Many {
                    whole = false;
                    let before = self.first(tree, clauses, described.word).unwrap_or(word);
                    self.say(twice(described.word, word, before));
                    break;
                }
                let said = self.problems.len();
                if let Ok(value) = self.clause_value(described, rest) {
                    parts.add(field, value);
                    break;
                }
                whole = false;
                unread.again(field);
                if let Some(next) = self.run_together(kind, described, rest, said) {
                    rest = &rest[next..];
                    continue;
                }
                if let Some(problem) = self.price_by_measure(id, kind, described, rest) {
                    self.problems.truncate(said);
                    self.say(problem);
                }
                // A clause that stands in one that cannot be read is not missing as well.
                for later in rest[1..].iter().filter_map(|tok| self.known_clause(kind, std::slice::from_ref(tok))) {
                    meant.again(later);
                    unread.again(later);
                }
                break;
            }
        }
        self.toks = toks;
        for (one, other) in kind.id.excluded() {
            let both = [one, other].into_iter().all(|word| kind.field(word).is_some_and(|field| seen.has(field)));
            let place = |word| self.first(tree, clauses, word).filter(|_| both);
            if let Some((one_at, other_at)) = place(one).zip(place(other)) {
                whole = false;
                let (before, here) = (one_at.min(other_at), one_at.max(other_at));
                self.say(
                    Problem::new(&rules::CLAUSES_EXCLUDE, here, "`{0}` and `{1}` cannot stand together")
                        .arg(self.blocks.sources.text(before))
                        .arg(self.blocks.sources.text(here))
                        .here("`{1}` here")
                        .label(before, "`{0}` here")
                        .help("keep the one that is meant"),
                );
            }
        }
        if !entry.broken {
            for (field, described) in kind.fields.iter().enumerate() {
                if described.need == Need::One && !seen.has(field) && !meant.has(field) {
                    whole = false;
                    let head = entry.name.unwrap_or(entry.head);
                    self.say(
                        Problem::new(&rules::CLAUSE_MISSING, head, "`{0}` has no `{1}`")
                            .arg(self.blocks.name(id))
                            .arg(described.word)
                            .arg(described.says.trim().trim_end_matches('.'))
                            .arg(described.example)
                            .help("write it into the block, as in `{3}`"),
                    );
                }
            }
        }
        if any {
            for field in (0..kind.fields.len()).filter(|field| !seen.has(*field)) {
                unread.again(field);
            }
        }
        (parts, whole, unread)
    }

    /// Where the first clause of this word stands.
    fn first(&self, tree: &'l Tree, clauses: &[Clause], word: &str) -> Option<Span> {
        let source = self.blocks.sources.get(tree.source);
        let mut toks = Vec::new();
        clauses.iter().find_map(|clause| {
            tree.words(source, &clause.tokens, &mut toks);
            toks.first().filter(|first| first.is_word(word)).map(|first| first.span)
        })
    }

    /// The words of a clause.
    pub fn words(&self, tree: &'l Tree, clause: &Clause, into: &mut Vec<Tok<'l>>) {
        tree.words(self.blocks.sources.get(tree.source), &clause.tokens, into);
    }

    /// Which clauses of the kind stand in a block.
    fn written(&self, tree: &'l Tree, clauses: &[Clause], kind: &Kind) -> Seen {
        let (mut toks, mut written) = (Vec::new(), Seen::default());
        for clause in clauses {
            self.words(tree, clause, &mut toks);
            if let Some(field) = self.known_clause(kind, &toks) {
                written.again(field);
            }
        }
        written
    }

    /// Which clause of the kind begins here.
    fn known_clause(&self, kind: &Kind, toks: &[Tok<'l>]) -> Option<usize> {
        let first = toks.first().filter(|first| first.kind == TokenKind::Word)?;
        kind.field(first.text)
    }

    /// Says of a word that it is no clause of the kind, and tells which is meant, if that can be told. `written` are the
    /// clauses that stand in the block already.
    fn unknown_clause(&mut self, kind: &'static Kind, toks: &[Tok<'l>], written: Seen) -> Option<usize> {
        let first = toks.first().filter(|first| !matches!(first.kind, TokenKind::Stray | TokenKind::OpenText))?;
        let mut meant = None;
        let problem = Problem::new(&rules::CLAUSE_UNKNOWN, first.span, "`{1}` has no clause called `{0}`")
            .arg(first.text)
            .arg(kind.word);
        let open = |field: &usize| !written.has(*field) || kind.fields[*field].need == Need::Many;
        let all = || (0..kind.fields.len()).map(|field| (field, kind.fields[field].word));
        let near = nearest(first.text, all().filter(|(field, _)| open(field)).map(|(_, word)| word))
            .or_else(|| self.fitting(kind, toks, written))
            .or_else(|| nearest(first.text, all().map(|(_, word)| word)))
            .or_else(|| done_word(kind, first.text));
        let owners: Vec<&str> =
            KINDS.iter().filter(|other| other.field(first.text).is_some()).map(|other| other.word).collect();
        let problem = if let Some(near) = near {
            meant = kind.field(near);
            problem.arg(near).help("is `{2}` meant?").fix(first.span, near)
        } else if first.kind == TokenKind::Word && KindId::of(first.text).is_some() {
            problem.help("blocks do not stand inside blocks; is a `}` missing above?")
        } else if let Some(owner) = kind.fields.iter().find(
            |field| matches!(field.shape, Shape::Parts(parts) if parts.iter().any(|part| part.word == first.text)),
        ) {
            problem.arg(owner.word).help("it is a part of `{2}`: write it in that clause's line, after a comma")
        } else {
            let words: Vec<String> = kind.fields.iter().map(|field| format!("`{}`", field.word)).collect();
            let problem = problem.arg(words.join(", "));
            if (1..=OWNERS).contains(&owners.len()) {
                problem.arg(crate::problem::or(&owners)).help("it belongs to {3}; `{1}` has {2}")
            } else {
                problem.help("it has {2}")
            }
        };
        self.say(problem);
        meant
    }

    /// The one clause the block cannot do without that is not written, and takes what stands behind a word that is no clause:
    /// `on old.back 0 to 6'` for `along`.
    fn fitting(&mut self, kind: &'static Kind, toks: &[Tok<'l>], written: Seen) -> Option<&'static str> {
        let missing = kind.fields.iter().enumerate().filter(|(at, field)| field.need == Need::One && !written.has(*at));
        let mut fitting = None;
        for (_, field) in missing {
            if self.trial(|desk| desk.clause_value(field, toks)).0.is_ok() && fitting.replace(field.word).is_some() {
                return None;
            }
        }
        fitting
    }

    /// `along old.back 0 to 6' thick 8"`: a clause that cannot be read because the next begins in it. Says so in place of all
    /// that was said since, and gives where the next begins.
    fn run_together(&mut self, kind: &'static Kind, field: &Field, toks: &[Tok<'l>], since: usize) -> Option<usize> {
        if self.problems.len() <= since {
            return None;
        }
        let parts = match field.shape {
            Shape::Parts(parts) => parts,
            _ => &[],
        };
        let own = |tok: &Tok| parts.iter().any(|part| part.word.split(' ').any(|piece| tok.is_word(piece)));
        let begins = |at: &usize| self.known_clause(kind, &toks[*at..]).is_some() && !own(&toks[*at]);
        let suspects: Vec<usize> = (1..toks.len()).filter(begins).take(SUSPECTS).collect();
        for at in suspects {
            let comma = toks[at - 1].is_mark(",");
            let before = if comma { &toks[..at - 1] } else { &toks[..at] };
            let Some(last) = before.last().filter(|_| before.len() > 1 || matches!(field.shape, Shape::Flag)) else {
                continue;
            };
            let (read, said) = self.trial(|desk| desk.clause_value(field, before));
            // What can be mended in it by itself does not speak against it.
            if read.is_err() && (said.is_empty() || said.iter().any(|problem| problem.fix.is_none())) {
                continue;
            }
            let circles = self.problems.split_off(since).into_iter().filter(|problem| problem.rule == &rules::CIRCLE);
            self.problems.extend(circles.chain(said).collect::<Vec<_>>());
            let gap = Span { start: last.span.end, end: toks[at].span.start, ..last.span };
            self.say(
                Problem::new(&rules::VALUE_EXTRA, toks[at].span, "`{0}` begins a clause of its own")
                    .arg(toks[at].text)
                    .arg(if comma { "in place of the comma" } else { "before it" })
                    .help("write `;` {1}, or begin a new line with it")
                    .fix(gap, "; "),
            );
            return Some(at);
        }
        None
    }

    /// Reads what follows a clause's word, less a note at the end.
    fn clause_value(&mut self, field: &Field, toks: &[Tok<'l>]) -> Read<Said<Value>> {
        let word = toks[0];
        let mut rest = &toks[1..];
        if rest.iter().any(|tok| matches!(tok.kind, TokenKind::Stray | TokenKind::OpenText)) {
            return Err(Stop::Broken);
        }
        self.strings_end(&field.shape, rest)?;
        if let Some((last, before)) = rest.split_last()
            && last.kind == TokenKind::Text
            && !takes_text(&field.shape)
            && (!before.is_empty() || matches!(field.shape, Shape::Flag))
        {
            rest = before;
        }
        let whole = rest.last().map_or(word.span, |last| word.span.to(last.span));
        let value = self.read(&field.shape, rest, word.span)?;
        Ok(Said { value, span: rest.first().map_or(whole, |first| first.span.to(whole)) })
    }

    /// The value of one clause of a block, for a property; none if the clause is not written.
    pub fn clause(&mut self, id: BlockId, field: usize) -> Read<Option<Said<Value>>> {
        let entry = self.blocks.entry(id);
        let Some(kind) = entry.kind else { return Err(Stop::Broken) };
        let described = &kind.kind().fields[field];
        let (tree, clauses) = self.blocks.clauses(&entry);
        let mut toks = Vec::new();
        for clause in clauses {
            self.words(tree, clause, &mut toks);
            if toks.first().is_some_and(|first| first.is_word(described.word)) {
                return self.clause_value(described, &toks).map(Some);
            }
        }
        if entry.broken { Err(Stop::Broken) } else { Ok(None) }
    }

    /// The value of the clause at this number in its block, read as this field.
    pub fn clause_at(&mut self, id: BlockId, field: usize, clause: usize) -> Read<Said<Value>> {
        let entry = self.blocks.entry(id);
        let Some(kind) = entry.kind else { return Err(Stop::Broken) };
        let (tree, clauses) = self.blocks.clauses(&entry);
        let Some(clause) = clauses.get(clause) else { return Err(Stop::Broken) };
        let mut toks = Vec::new();
        self.words(tree, clause, &mut toks);
        self.clause_value(&kind.kind().fields[field], &toks)
    }

    /// After a string only a comma, a part's word or the end may come.
    fn strings_end(&mut self, shape: &Shape, toks: &[Tok<'l>]) -> Read<()> {
        let parts = match shape {
            Shape::Parts(parts) => *parts,
            _ => &[],
        };
        for pair in toks.windows(2) {
            let [string, after] = pair else { continue };
            let fits = after.is_mark(",") || parts.iter().any(|part| part.word.split(' ').next() == Some(after.text));
            if string.kind == TokenKind::Text && !fits {
                return self.fail(run_on(string, after));
            }
        }
        Ok(())
    }

    /// Reads tokens by a shape. `word` is the word they stand after.
    pub fn read(&mut self, shape: &Shape, toks: &[Tok<'l>], word: Span) -> Read<Value> {
        match shape {
            Shape::Quantity(dimension, sign) => self.quantity(*dimension, *sign, toks, word).map(Value::Quantity),
            Shape::Count(sign) => self.whole(*sign, toks, word),
            Shape::Per(dimension) => self.per(*dimension, toks, word),
            Shape::Pack => self.pack(toks, word),
            Shape::PerLoad => self.per_load(toks, word),
            Shape::Date => {
                let tok = self.one(toks, word, "a date, such as `2027-05-03`")?;
                self.date(tok)
            }
            Shape::Clock => {
                if let Some(problem) = self.half_day(toks) {
                    return self.fail(problem);
                }
                let tok = self.one(toks, word, "a time of day, such as `16:30`")?;
                self.clock(tok)
            }
            Shape::Days => self.days(toks, word),
            Shape::Text => {
                let tok = self.one(toks, word, "words between quotes")?;
                if tok.kind == TokenKind::Text {
                    return Ok(Value::Text(language::unquote(tok.text)));
                }
                let problem = Problem::new(&rules::VALUE_MISFIT, tok.span, "`{0}` is not a string").arg(tok.text);
                self.fail(if tok.kind == TokenKind::Word {
                    problem.help("put it between quotes: `\"{0}\"`").fix(tok.span, format!("\"{}\"", tok.text))
                } else {
                    problem.help("write words between quotes")
                })
            }
            Shape::Word => {
                let tok = self.one(toks, word, "a word")?;
                if tok.kind == TokenKind::Word {
                    return Ok(Value::Word(tok.text.to_owned()));
                }
                self.fail(
                    Problem::new(&rules::VALUE_MISFIT, tok.span, "`{0}` is not a word")
                        .arg(tok.text)
                        .help("write one word here, without quotes"),
                )
            }
            Shape::Flag => match toks.first() {
                None => Ok(Value::Flag),
                Some(extra) => self.fail(
                    Problem::new(&rules::VALUE_EXTRA, extra.span, "nothing belongs after `{0}`")
                        .arg(self.blocks.sources.text(word))
                        .help("the word alone says it"),
                ),
            },
            Shape::Choice(choices) => self.choice(choices, toks, word),
            Shape::Name(kinds) => {
                if let Some(problem) = self.name_apart(kinds, toks, word) {
                    return self.fail(problem);
                }
                let tok = self.one(toks, word, "a name")?;
                self.block_name(tok, kinds).map(Value::Block)
            }
            Shape::List(each) => self.list(each, toks, word),
            Shape::Range(each) => self.range(each, toks, word),
            Shape::Named(value) => self.named_value(value, toks, word),
            Shape::At(value, condition) => {
                let Some(at) = toks.iter().position(|tok| tok.is_word("at")) else {
                    return self.fail(
                        Problem::new(
                            &rules::VALUE_MISSING,
                            toks.last().map_or(word, |last| last.span.after()),
                            "the temperature this holds at is missing",
                        )
                        .help("write `at` and the temperature, as in `60 min at {70 degF|21 degC}`"),
                    );
                };
                let value = self.said(value, &toks[..at], word);
                let condition = self.said(condition, &toks[at + 1..], toks[at].span);
                Ok(Value::Many(vec![value?, condition?]))
            }
            Shape::Levels => self.levels(toks, word),
            Shape::Then(value, last) => {
                let Some((end, before)) = toks.split_last() else { return self.nothing(word, "a value and a word") };
                let value = self.said(value, before, word);
                let last = self.said(last, std::slice::from_ref(end), word);
                Ok(Value::Many(vec![value?, last?]))
            }
            Shape::Hook => self.hook(toks, word),
            Shape::Strength => self.either(Dimension::Stress, Dimension::Ratio, toks, word).map(Value::Quantity),
            Shape::Ahead => self.either(Dimension::Time, Dimension::WorkingTime, toks, word).map(Value::Quantity),
            Shape::RowLevel => self.row_level(toks, word),
            Shape::Stretch => self.stretch(toks, word).map(Value::Stretch),
            Shape::Spots => self.spots(toks, word).map(Value::Spots),
            Shape::OnLeg(value) => {
                let Some((leg, rest)) = toks.split_first() else { return self.nothing(word, "a leg and a value") };
                let at = self.leg(leg)?;
                let value = self.said(value, rest, leg.span)?;
                Ok(Value::Many(vec![Said { value: Value::Leg(at), span: leg.span }, value]))
            }
            Shape::Target => self.target(toks, word).map(Value::Target),
            Shape::Spacing => self.spacing(toks, word).map(Value::Spacing),
            Shape::Walk => self.walk(toks, word).map(Value::Walk),
            Shape::Work => self.work(toks, word).map(Value::Work),
            Shape::Hole => self.hole(toks, word).map(Value::Hole),
            Shape::Parts(fields) => self.parts_of(fields, toks, word).map(Value::Parts),
        }
    }

    pub fn said(&mut self, shape: &Shape, toks: &[Tok<'l>], word: Span) -> Read<Said<Value>> {
        let span = toks.first().zip(toks.last()).map_or(word, |(first, last)| first.span.to(last.span));
        self.read(shape, toks, word).map(|value| Said { value, span })
    }

    /// Nothing stands where something is wanted.
    pub fn nothing<T>(&mut self, word: Span, wanted: &'static str) -> Read<T> {
        self.fail(
            Problem::new(&rules::VALUE_MISSING, word, "nothing stands after `{0}`")
                .arg(self.blocks.sources.text(word))
                .arg(wanted)
                .help("write {1}"),
        )
    }

    /// The one token that is wanted.
    pub fn one<'t>(&mut self, toks: &'t [Tok<'l>], word: Span, wanted: &'static str) -> Read<&'t Tok<'l>> {
        match toks {
            [] => self.nothing(word, wanted),
            [one] => Ok(one),
            [first, extra, ..] if first.kind == TokenKind::Text => self.fail(run_on(first, extra)),
            [_, extra, ..] => {
                if let Some(problem) = self.misspelt_part(self.fields, &toks[1..], word) {
                    return self.fail(problem);
                }
                if let Some(problem) = self.part_without_word(extra) {
                    return self.fail(problem);
                }
                let words: Vec<&str> = self.fields.iter().map(|field| field.word).collect();
                let words: Vec<&str> = words.into_iter().filter(|word| !matches!(*word, "" | "\"")).collect();
                let problem = Problem::new(&rules::VALUE_EXTRA, extra.span, "`{0}` does not belong here")
                    .arg(extra.text)
                    .arg(self.blocks.sources.text(word))
                    .arg(wanted);
                self.fail(if words.is_empty() {
                    problem.help("`{1}` takes {2}; end the clause with `;` before what comes next")
                } else {
                    let problem = problem.arg(crate::problem::or(&words));
                    problem.help("`{1}` takes {2}, and then {3}; end the clause with `;` before what comes next")
                })
            }
        }
    }

    fn list(&mut self, each: &Shape, toks: &[Tok<'l>], word: Span) -> Read<Value> {
        if toks.is_empty() {
            return self.read(each, toks, word);
        }
        let mut values = Vec::new();
        let mut whole = true;
        let mut wait = None;
        let mut at = 0;
        for item in items(toks) {
            let place = at;
            at += item.len() + 1;
            if item.is_empty() {
                whole = false;
                self.say(empty_item(toks, place, word));
                continue;
            }
            if let Shape::Name(kinds) = each
                && self.commas_missing(item, kinds)
            {
                whole = false;
                continue;
            }
            match self.said(each, item, word) {
                Ok(value) => values.push(value),
                Err(Stop::Wait(node)) => _ = wait.get_or_insert(node),
                Err(Stop::Broken) => whole = false,
            }
        }
        if let Some(node) = wait {
            return Err(Stop::Wait(node));
        }
        if whole { Ok(Value::Many(values)) } else { Err(Stop::Broken) }
    }

    /// What is usual, or the other thing that may stand there; above nothing.
    fn either(&mut self, usual: Dimension, other: Dimension, toks: &[Tok<'l>], word: Span) -> Read<Quantity> {
        self.also = Some(other);
        let said = self.expression(toks, Some(usual), word);
        self.also = None;
        let is_other = said?.value.dimension() == other;
        self.quantity(if is_other { other } else { usual }, Sign::Positive, toks, word)
    }

    /// A length, or two with `to` between.
    fn levels(&mut self, toks: &[Tok<'l>], word: Span) -> Read<Value> {
        let each = Shape::Quantity(Dimension::Length, Sign::Any);
        if toks.iter().any(|tok| tok.is_word("to")) {
            return self.range(&each, toks, word);
        }
        self.said(&each, toks, word).map(|one| Value::Many(vec![one]))
    }

    fn range(&mut self, each: &Shape, toks: &[Tok<'l>], word: Span) -> Read<Value> {
        let Some(to) = toks.iter().position(|tok| tok.is_word("to")) else {
            if toks.is_empty() {
                return self.nothing(word, "two values with `to` between");
            }
            let span = toks[0].span.to(toks[toks.len() - 1].span);
            if let Some(problem) = self.dash_for_to(toks) {
                return self.fail(problem);
            }
            return self.fail(
                Problem::new(&rules::VALUE_MISSING, span.after(), "the other end of the range is missing")
                    .arg(self.blocks.sources.text(word))
                    .arg(self.blocks.sources.text(span))
                    .help("`{0}` takes two values: write `{0} {1} to …`"),
            );
        };
        if let Some(problem) = idle_from(toks) {
            return self.fail(problem);
        }
        let from = self.said(each, &toks[..to], word);
        let until = self.said(each, &toks[to + 1..], toks[to].span);
        let (from, until) = (from?, until?);
        if let (Value::Quantity(low), Value::Quantity(high)) = (&from.value, &until.value) {
            let backwards = low.amount().to_f64() > high.amount().to_f64();
            let nothing = low.dimension() == Dimension::Length && low.length() == high.length();
            if backwards || nothing {
                let span = from.span.to(until.span);
                let (one, two) = (self.blocks.sources.text(from.span), self.blocks.sources.text(until.span));
                let problem = Problem::new(
                    &rules::RANGE_BACKWARDS,
                    span,
                    if backwards { "the range ends before it begins" } else { "the range ends where it begins" },
                )
                .arg(one)
                .arg(two);
                let meant = match each {
                    Shape::Clock => afternoon(low, high),
                    _ => outwards(self.blocks.sources.text(word), one, two),
                };
                return self.fail(if let Some((meant, help)) = meant.filter(|_| backwards) {
                    problem.arg(meant.as_str()).help(help).fix(span, meant)
                } else if backwards && matches!(each, Shape::Clock) {
                    problem.help("write two times of one day, the earlier first; hours past midnight are not planned")
                } else if backwards {
                    problem
                        .help("write the lower or earlier one first: `{1} to {0}`")
                        .fix(span, format!("{two} to {one}"))
                } else {
                    problem.help("write two different values")
                });
            }
        }
        Ok(Value::Many(vec![from, until]))
    }

    fn named_value(&mut self, value: &Shape, toks: &[Tok<'l>], word: Span) -> Read<Value> {
        let Some((name, rest)) = toks.split_first() else { return self.nothing(word, "a name and a value") };
        if name.kind != TokenKind::Word {
            return self.fail(
                Problem::new(&rules::NAME_MISSING, name.span, "a name is wanted before `{0}`")
                    .arg(name.text)
                    .arg(self.blocks.sources.text(word))
                    .help("write a name first, as in `{1} back {0}`"),
            );
        }
        let value = self.said(value, rest, name.span)?;
        Ok(Value::Many(vec![Said { value: Value::Word(name.text.to_owned()), span: name.span }, value]))
    }

    /// Cuts a clause before each of its own part words and reads the parts.
    pub fn parts_of(&mut self, fields: &'static [Field], toks: &[Tok<'l>], word: Span) -> Read<Parts> {
        let all = cut(fields, toks, word);
        let mut parts = Parts::with_capacity(all.len());
        let mut whole = true;
        let mut seen = Seen::default();
        let mut wait = None;
        let around = self.fields;
        let mut unread = false;
        if let Some(lead) = all.first().filter(|lead| lead.toks.first().is_some_and(|first| first.span == toks[0].span))
            && let Some(problem) = self.meant_part(fields, &fields[lead.field], lead.toks, all.len() == 1, word)
        {
            return self.fail(problem);
        }
        for part in &all {
            let field = &fields[part.field];
            if seen.again(part.field) && field.need != Need::Many {
                whole = false;
                let before = all.iter().find(|other| other.field == part.field).map_or(part.word, |other| other.word);
                self.say(twice(field.word, part.word, before));
                continue;
            }
            if let Some(problem) = each_meant(fields, field, part.word, part.toks) {
                whole = false;
                self.say(problem);
                continue;
            }
            self.fields = if field.word.is_empty() { fields } else { &[] };
            match self.said(&field.shape, part.toks, part.word) {
                Ok(value) => parts.add(part.field, value),
                Err(Stop::Wait(node)) => _ = wait.get_or_insert(node),
                Err(Stop::Broken) => {
                    whole = false;
                    // Words that were left over may be a part in other words: that one is not missing as well.
                    unread |= part.toks.len() > 1;
                }
            }
        }
        self.fields = around;
        if let Some(node) = wait {
            return Err(Stop::Wait(node));
        }
        for (at, field) in fields.iter().enumerate() {
            if field.need != Need::One || seen.has(at) || unread {
                continue;
            }
            whole = false;
            let last = toks.last().map_or(word, |last| last.span).after();
            self.say(if field.word.is_empty() {
                Problem::new(&rules::VALUE_MISSING, word, "nothing stands after `{0}`")
                    .arg(self.blocks.sources.text(word))
                    .arg(field.says.trim())
                    .help("write {1}")
            } else {
                Problem::new(&rules::CLAUSE_MISSING, last, "`{0}` has no `{1}`")
                    .arg(self.blocks.sources.text(word))
                    .arg(field.word)
                    .arg(field.says.trim())
                    .arg(takes(&field.shape))
                    .here("`{1}` is wanted here")
                    .help("write `{1}` and {3}: {2}")
            });
        }
        if whole { Ok(parts) } else { Err(Stop::Broken) }
    }
}

/// A clause that says of something that it was done, by the word for doing it: `poured` for `pour`.
fn done_word(kind: &Kind, word: &str) -> Option<&'static str> {
    let is_done =
        |field: &&str| field.strip_suffix("ed").is_some_and(|stem| word.strip_suffix('e').unwrap_or(word) == stem);
    kind.fields.iter().map(|field| field.word).find(is_done)
}

fn takes_text(shape: &Shape) -> bool {
    match shape {
        Shape::Text => true,
        Shape::Parts(parts) => parts.iter().any(|part| part.word == "\""),
        _ => false,
    }
}

fn twice(word: &'static str, here: Span, before: Span) -> Problem {
    Problem::new(&rules::CLAUSE_TWICE, here, "`{0}` is written twice")
        .arg(word)
        .here("written again here")
        .label(before, "first written here")
        .help("keep one of the two")
}

/// Nothing stands between two commas of a list, or behind its last; `at` is where the item would stand.
pub(super) fn empty_item(toks: &[Tok], at: usize, word: Span) -> Problem {
    let before = at.checked_sub(1).and_then(|at| toks.get(at)).map(|tok| tok.span);
    let after = toks.get(at).map(|tok| tok.span);
    let span = match (before, after) {
        (Some(before), Some(after)) => before.to(after),
        (before, after) => before.or(after).unwrap_or(word),
    };
    Problem::new(&rules::VALUE_MISSING, span, "nothing stands between these commas of the list")
        .help("take one comma out, or write what belongs between")
}

/// The items of a list: what stands between its commas, those inside parentheses aside.
pub(super) fn items<'t, 'l>(toks: &'t [Tok<'l>]) -> impl Iterator<Item = &'t [Tok<'l>]> {
    let mut depth = 0_usize;
    toks.split(move |tok| {
        if tok.is_mark("(") {
            depth += 1;
        } else if tok.is_mark(")") {
            depth = depth.saturating_sub(1);
        }
        depth == 0 && tok.is_mark(",")
    })
}

/// The parts of a clause as they were written; what stands before the first part word belongs to the part without one.
fn cut<'t, 'l>(fields: &[Field], toks: &'t [Tok<'l>], word: Span) -> Vec<Written<'t, 'l>> {
    let mut out: Vec<Written<'t, 'l>> = Vec::new();
    // Where the part begins that is being gone through, and which it is: what stands at the head has no word.
    let (mut from, mut part) = (0, None);
    let mut end = |part: Option<(usize, Span)>, toks: &'t [Tok<'l>]| {
        let toks = trim(toks);
        match part {
            Some((field, word)) => out.push(Written { field, word, toks }),
            None if toks.is_empty() => {}
            // Without such a part, the first one is to say what is wanted.
            None => {
                let field = fields.iter().position(|field| field.word.is_empty()).unwrap_or(0);
                out.push(Written { field, word, toks });
            }
        }
    };
    let mut at = 0;
    while at < toks.len() {
        let found = fields.iter().enumerate().find_map(|(field, described)| {
            let length = matched(described.word, &toks[at..])?;
            Some((field, length))
        });
        let Some((field, length)) = found else {
            at += 1;
            continue;
        };
        end(part, &toks[from..at]);
        let text = fields[field].word == "\"";
        let span = toks[at].span.to(toks[at + length - 1].span);
        part = Some((field, if text { word } else { span }));
        from = if text { at } else { at + length };
        at += length;
    }
    end(part, &toks[from..]);
    out
}

/// How many tokens a part's word takes here, if it stands here.
fn matched(word: &str, toks: &[Tok]) -> Option<usize> {
    let first = toks.first()?;
    if word == "\"" {
        return (first.kind == TokenKind::Text).then_some(1);
    }
    // Most words differ in their first letter.
    if first.kind != TokenKind::Word || word.bytes().next()? != first.text.bytes().next()? {
        return None;
    }
    let mut length = 0;
    for piece in word.split(' ') {
        if !toks.get(length)?.is_word(piece) {
            return None;
        }
        length += 1;
    }
    Some(length)
}

fn trim<'t, 'l>(mut toks: &'t [Tok<'l>]) -> &'t [Tok<'l>] {
    while let Some((last, rest)) = toks.split_last() {
        if !last.is_mark(",") {
            break;
        }
        toks = rest;
    }
    toks
}

/// The string that ends a clause whose value is not itself a string.
pub(super) fn note(
    kind: &'static Kind,
    tree: &Tree,
    source: &crate::source::Source,
    clause: &Clause,
    block: BlockId,
) -> Option<super::Note> {
    // Most clauses have no string: look at the last token before anything else.
    let last = tree.tokens.get(clause.tokens.end.checked_sub(1)? as usize)?;
    if last.kind() != TokenKind::Text {
        return None;
    }
    let mut toks = Vec::new();
    tree.words(source, &clause.tokens, &mut toks);
    let (first, last) = toks.first().zip(toks.last())?;
    let field = kind.fields.get(kind.field(first.text)?)?;
    (!takes_text(&field.shape)).then(|| super::Note {
        block,
        clause: first.text.to_owned(),
        text: language::unquote(last.text),
        at: last.span,
    })
}

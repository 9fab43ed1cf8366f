//! The lossless tree: compact tokens, and the blocks and clauses found in them.

use std::ops::Range;

use super::{limits::Limits, rules, scan};
use crate::{
    problem::Problem,
    source::{Source, SourceId, Span},
};

/// What a token is, as far as its letters tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u8)]
pub enum TokenKind {
    /// `low`, `old.back`, `#4`, `2x4`.
    Word,
    /// A measure or plain number: `8"`, `12'-6 1/2"`, `8%`, `2027-05-03`.
    Number,
    /// A string with its quotes.
    Text,
    /// A string that is never closed.
    OpenText,
    /// One of `{ } ; , = + - * / ( )`.
    Mark,
    /// `// …`, to the line's end.
    Comment,
    /// A line end.
    Newline,
    /// A blank of an unusual kind, passed over after its finding.
    OddBlank,
    /// What belongs to no token.
    Stray,
}

const KINDS: [TokenKind; 9] = [
    TokenKind::Word,
    TokenKind::Number,
    TokenKind::Text,
    TokenKind::OpenText,
    TokenKind::Mark,
    TokenKind::Comment,
    TokenKind::Newline,
    TokenKind::OddBlank,
    TokenKind::Stray,
];

/// A token in eight bytes: where it starts, how long it is, what it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Token {
    start: u32,
    packed: u32,
}

impl Token {
    pub(super) fn new(start: usize, length: usize, kind: TokenKind) -> Token {
        let length = u32::try_from(length).unwrap_or(u32::MAX).min((1 << 24) - 1);
        Token { start: u32::try_from(start).unwrap_or(u32::MAX), packed: length << 8 | kind as u32 }
    }

    /// First byte.
    #[must_use]
    pub fn start(self) -> usize {
        self.start as usize
    }

    /// First byte after.
    #[must_use]
    pub fn end(self) -> usize {
        self.start() + (self.packed >> 8) as usize
    }

    /// What it is.
    #[must_use]
    pub fn kind(self) -> TokenKind {
        KINDS[(self.packed & 0xff) as usize % KINDS.len()]
    }

    /// Whether it says nothing: a line end, a comment, an odd blank.
    #[must_use]
    pub fn is_trivia(self) -> bool {
        matches!(self.kind(), TokenKind::Newline | TokenKind::Comment | TokenKind::OddBlank)
    }
}

/// A clause: a stretch of tokens, from its first word to its last token that says something.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clause {
    /// Its tokens, as indices; trivia may lie among them.
    pub tokens: Range<u32>,
}

/// The braces of a block and what stands between them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Body {
    /// The opening brace.
    pub open: u32,
    /// The closing brace, if there is one.
    pub close: Option<u32>,
    /// The clauses, as indices into [`Tree::clauses`].
    pub clauses: Range<u32>,
}

/// A head, and the block it opens if it opens one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Block {
    /// The tokens of the head, without the brace.
    pub head: Range<u32>,
    /// What follows in braces.
    pub body: Option<Body>,
}

/// A token with its letters and its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tok<'t> {
    /// What it is.
    pub kind: TokenKind,
    /// Its letters.
    pub text: &'t str,
    /// Its place.
    pub span: Span,
}

impl Tok<'_> {
    /// Whether it is this mark.
    #[must_use]
    pub fn is_mark(&self, mark: &str) -> bool {
        self.kind == TokenKind::Mark && self.text == mark
    }

    /// Whether it is this word.
    #[must_use]
    pub fn is_word(&self, word: &str) -> bool {
        self.kind == TokenKind::Word && self.text == word
    }
}

/// One text as tokens, blocks and clauses.
#[derive(Debug, Clone)]
pub struct Tree {
    /// The text it was read from.
    pub source: SourceId,
    /// Every token in order; between two of them lies only blank space.
    pub tokens: Vec<Token>,
    /// The blocks and lines of the file, in order.
    pub blocks: Vec<Block>,
    /// The clauses of all blocks, in order.
    pub clauses: Vec<Clause>,
}

impl Tree {
    /// The place of one token.
    #[must_use]
    pub fn span(&self, token: u32) -> Span {
        let token = self.tokens.get(token as usize).copied().unwrap_or(Token { start: 0, packed: 0 });
        self.place(token)
    }

    fn place(&self, token: Token) -> Span {
        Span { source: self.source, start: token.start, end: u32::try_from(token.end()).unwrap_or(u32::MAX) }
    }

    /// The place of a stretch of tokens.
    #[must_use]
    pub fn span_of(&self, tokens: &Range<u32>) -> Span {
        if tokens.is_empty() {
            return Span { end: self.span(tokens.start).start, ..self.span(tokens.start) };
        }
        self.span(tokens.start).to(self.span(tokens.end - 1))
    }

    /// The tokens of a stretch that say something, put into `into`.
    pub fn words<'t>(&self, source: &'t Source, tokens: &Range<u32>, into: &mut Vec<Tok<'t>>) {
        into.clear();
        let stretch = self.tokens.get(tokens.start as usize..tokens.end as usize).unwrap_or(&[]);
        for token in stretch {
            if !token.is_trivia() {
                let text = source.text.get(token.start()..token.end()).unwrap_or("");
                into.push(Tok { kind: token.kind(), text, span: self.place(*token) });
            }
        }
    }

    /// The text again, from the tokens and the blanks between them: equal to the source's, byte for byte.
    #[must_use]
    pub fn text(&self, source: &Source) -> String {
        let mut out = String::with_capacity(source.text.len());
        let mut at = 0;
        for token in &self.tokens {
            let gap = source.text.get(at..token.start()).unwrap_or("");
            out.extend(gap.chars().filter(|letter| matches!(letter, ' ' | '\t')));
            out.push_str(source.text.get(token.start()..token.end()).unwrap_or(""));
            at = token.end();
        }
        let gap = source.text.get(at..).unwrap_or("");
        out.extend(gap.chars().filter(|letter| matches!(letter, ' ' | '\t')));
        out
    }
}

/// Reads a text into its tree, with what is wrong in it as far as letters and braces tell. Never fails.
pub fn parse(id: SourceId, source: &Source, limits: &Limits, problems: &mut Vec<Problem>) -> Tree {
    parse_part(id, source, 0..source.text.len(), limits, problems)
}

/// Reads some lines of a text, as [`parse`] does all of it.
pub fn parse_part(
    id: SourceId,
    source: &Source,
    part: Range<usize>,
    limits: &Limits,
    problems: &mut Vec<Problem>,
) -> Tree {
    let tokens = scan::scan(id, source, part, limits, problems);
    let mut tree = Tree { source: id, tokens, blocks: Vec::new(), clauses: Vec::new() };
    Builder { tree: &mut tree, source, problems, open: None, comma: false, start: None, last: 0 }.run();
    tree
}

/// Matches braces and finds clauses in one pass over the tokens.
struct Builder<'b> {
    tree: &'b mut Tree,
    source: &'b Source,
    problems: &'b mut Vec<Problem>,
    /// The block whose body is open.
    open: Option<usize>,
    /// The last token that says something is a comma: the next line goes on.
    comma: bool,
    /// First token of the clause or head being gathered.
    start: Option<u32>,
    /// First token after it, so far.
    last: u32,
}

impl Builder<'_> {
    fn run(mut self) {
        for at in 0..self.tree.tokens.len() {
            let token = self.tree.tokens[at];
            let index = u32::try_from(at).unwrap_or(u32::MAX);
            match token.kind() {
                TokenKind::Comment | TokenKind::OddBlank => {}
                TokenKind::Newline => {
                    if !self.comma {
                        self.end();
                    }
                }
                TokenKind::Mark => match &self.source.text[token.start()..token.end()] {
                    "{" => self.open_brace(index),
                    "}" => self.close_brace(index),
                    ";" => self.end(),
                    mark => {
                        self.comma = mark == ",";
                        self.take(index);
                    }
                },
                TokenKind::Word | TokenKind::Number | TokenKind::Text | TokenKind::OpenText | TokenKind::Stray => {
                    self.comma = false;
                    self.check_comma(at);
                    self.take(index);
                }
            }
        }
        self.end();
        self.unclosed(None);
    }

    fn take(&mut self, index: u32) {
        self.start.get_or_insert(index);
        self.last = index + 1;
    }

    /// `1,5`: a comma with a figure glued to either side is never a list and never a decimal mark.
    fn check_comma(&mut self, at: usize) {
        let tokens = &self.tree.tokens;
        let glued = at >= 2
            && tokens[at].kind() == TokenKind::Number
            && tokens[at - 2].kind() == TokenKind::Number
            && tokens[at - 1].kind() == TokenKind::Mark
            && tokens[at - 2].end() == tokens[at - 1].start()
            && tokens[at - 1].end() == tokens[at].start();
        if !glued {
            return;
        }
        let (one, two) = (tokens[at - 2], tokens[at]);
        let text = |token: Token| self.source.text.get(token.start()..token.end()).unwrap_or("");
        let figures = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
        let (before, after) = (text(one), text(two));
        let comma = &self.source.text[tokens[at - 1].start()..tokens[at - 1].end()];
        if comma != ","
            || !before.ends_with(|last: char| last.is_ascii_digit())
            || !after.starts_with(|first: char| first.is_ascii_digit())
        {
            return;
        }
        let span = self.tree.place(one).to(self.tree.place(two));
        let mark = tokens[at - 1];
        let mut problem = Problem::new(&rules::DECIMAL_COMMA, span, "`{0},{1}` can be read in two ways")
            .arg(before)
            .arg(after)
            .help("write `{0}.{1}` for a number with decimals, or `{0}, {1}` for two values");
        if figures(before) && after.len() == 3 && figures(after) {
            problem =
                problem.help("write `{0}{1}` for thousands, `{0}.{1}` for decimals, or `{0}, {1}` for two values");
        }
        self.problems.push(problem);
        // Neither reading is taken: the clause is left out without a word more.
        self.tree.tokens[at - 1] = Token::new(mark.start(), 1, TokenKind::Stray);
    }

    /// Ends the clause, or the head without a block, that was being gathered.
    fn end(&mut self) {
        self.comma = false;
        let Some(start) = self.start.take() else { return };
        let tokens = start..self.last;
        match self.open {
            Some(_) => self.tree.clauses.push(Clause { tokens }),
            None => self.tree.blocks.push(Block { head: tokens, body: None }),
        }
    }

    fn open_brace(&mut self, index: u32) {
        self.comma = false;
        let head = match self.start.take() {
            Some(start) => start..self.last,
            // The head stands on the line before, without a block: the brace was put on a line of its own.
            None if self.open.is_none() && self.head_waits() => {
                let head = self.tree.blocks.pop().map_or(index..index, |block| block.head);
                let brace = self.tree.span(index);
                let gap = Span { start: self.tree.span_of(&head).end, ..brace };
                let between = self.source.text.get(gap.start as usize..brace.start as usize).unwrap_or("");
                let moved = format!(" {{{}", between.trim_end());
                self.problems.push(
                    Problem::new(&rules::BRACE_NEXT_LINE, self.tree.span(index), "`{` stands on a line of its own")
                        .here("this brace")
                        .label(self.tree.span_of(&head), "it belongs to this head")
                        .help("put `{` at the end of the head's line")
                        .fix(gap, moved),
                );
                head
            }
            None => {
                // A brace with no head: what it holds is read as a block nobody knows.
                index..index
            }
        };
        if self.open.is_some() {
            self.unclosed(Some(&head));
        }
        if head.is_empty() {
            self.problems.push(
                Problem::new(&rules::BRACE_STRAY, self.tree.span(index), "this `{` opens a block that has no head")
                    .help("write what it is before the brace, as in `section low {`"),
            );
        }
        let at = u32::try_from(self.tree.clauses.len()).unwrap_or(u32::MAX);
        self.open = Some(self.tree.blocks.len());
        self.tree.blocks.push(Block { head, body: Some(Body { open: index, close: None, clauses: at..at }) });
    }

    /// Whether the last thing read is a head whose block may still come.
    fn head_waits(&self) -> bool {
        self.tree.blocks.last().is_some_and(|block| block.body.is_none())
    }

    fn close_brace(&mut self, index: u32) {
        self.end();
        match self.open.take() {
            Some(block) => self.finish(block, Some(index)),
            None => self.problems.push(
                Problem::new(&rules::BRACE_STRAY, self.tree.span(index), "this `}` closes nothing")
                    .here("no block is open here")
                    .help("take it out, or look above for a block closed too early")
                    .fix(self.tree.span(index), ""),
            ),
        }
    }

    fn finish(&mut self, block: usize, close: Option<u32>) {
        let end = u32::try_from(self.tree.clauses.len()).unwrap_or(u32::MAX);
        if let Some(body) = self.tree.blocks.get_mut(block).and_then(|block| block.body.as_mut()) {
            body.close = close;
            body.clauses.end = end;
        }
    }

    /// Closes a block that was left open, where the next head (or the file's end) begins.
    fn unclosed(&mut self, next: Option<&Range<u32>>) {
        let Some(block) = self.open.take() else { return };
        self.finish(block, None);
        let Some(open) = self.tree.blocks[block].body.as_ref().map(|body| body.open) else { return };
        let mut problem =
            Problem::new(&rules::BLOCK_UNCLOSED, self.tree.span(open), "this block is opened and never closed")
                .here("opened here")
                .help("write `}` where it ends; blocks do not stand inside blocks");
        if let Some(next) = next {
            let start = self.tree.span_of(next);
            problem = problem.label(start, "the next block begins here").fix(Span { end: start.start, ..start }, "}\n");
        } else if let Some(last) = self.tree.tokens.last() {
            let close = if last.kind() == TokenKind::Newline { "}\n" } else { "\n}\n" };
            problem = problem.fix(self.tree.place(*last).after(), close);
        }
        self.problems.push(problem);
    }
}

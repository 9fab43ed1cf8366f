//! Text to tokens, line by line; their shapes are those of `grammar/job.pest`.

use std::ops::Range;

use super::{
    limits::Limits,
    rules, shapes,
    tree::{Token, TokenKind},
};
use crate::{
    problem::Problem,
    source::{Source, SourceId, Span},
};

/// No line is read that is longer than a token can be, whatever limit is set.
const LONGEST: usize = (1 << 24) - 1;

/// All tokens of a text (or of whole lines of it), newlines and comments included; what lies between two tokens is blank.
pub(super) fn scan(
    id: SourceId,
    source: &Source,
    part: Range<usize>,
    limits: &Limits,
    problems: &mut Vec<Problem>,
) -> Vec<Token> {
    let text = source.text.get(..part.end).unwrap_or(&source.text);
    let mut tokens = Vec::with_capacity(text.len().saturating_sub(part.start) / 4);
    let longest = limits.line.min(LONGEST);
    // Lines from `from` to `line` are fine and not yet read.
    let (mut from, mut line) = (part.start, part.start);
    while line < text.len() {
        let end = shapes::line_end(text, line);
        if end - line > longest {
            read(text, from..line, id, &mut tokens, limits, problems);
            too_long(text, line..end, longest, id, &mut tokens, problems);
            from = end;
        }
        // CR LF ends one line, and an empty one between them is short enough.
        line = end + 1;
    }
    read(text, from..text.len(), id, &mut tokens, limits, problems);
    tokens
}

/// A line nobody wrote by hand is passed over.
fn too_long(
    text: &str,
    line: Range<usize>,
    longest: usize,
    id: SourceId,
    tokens: &mut Vec<Token>,
    problems: &mut Vec<Problem>,
) {
    let span = span(id, line.start, (line.start + 40).min(line.end));
    let span = Span { end: floor(text, span.end as usize) as u32, ..span };
    problems.push(
        Problem::new(&rules::LINE_TOO_LONG, span, "this line is longer than {0} bytes")
            .arg(longest)
            .here("it starts here")
            .help("break the line after a comma, or check that this is a job file"),
    );
    let mut at = line.start;
    while at < line.end {
        let part = floor(text, (at + (1 << 23)).min(line.end));
        tokens.push(Token::new(at, part - at, TokenKind::Stray));
        at = part;
    }
}

fn floor(text: &str, mut at: usize) -> usize {
    at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

fn span(id: SourceId, start: usize, end: usize) -> Span {
    let small = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
    Span { source: id, start: small(start), end: small(end) }
}

/// Adds the tokens of a part of the whole text.
fn read(
    whole: &str,
    part: Range<usize>,
    id: SourceId,
    tokens: &mut Vec<Token>,
    limits: &Limits,
    problems: &mut Vec<Problem>,
) {
    let base = part.start;
    let mut keeper = Keeper { whole, to: part.end, id, tokens, limits, problems };
    let text = whole.get(part).unwrap_or("");
    shapes::tokens(text, &mut |kind, start, end| keeper.keep(base + start..base + end, kind) - base);
}

/// Keeps tokens one after the other, with the findings a token alone can give.
struct Keeper<'k> {
    whole: &'k str,
    /// Where the part that is read ends.
    to: usize,
    id: SourceId,
    tokens: &'k mut Vec<Token>,
    limits: &'k Limits,
    problems: &'k mut Vec<Problem>,
}

impl<'k> Keeper<'k> {
    fn push(&mut self, place: Range<usize>, kind: TokenKind) -> usize {
        self.tokens.push(Token::new(place.start, place.end - place.start, kind));
        place.end
    }

    fn span(&self, start: usize, end: usize) -> Span {
        span(self.id, start, end)
    }

    /// Adds one token, and says where to go on: behind it, or within where only its beginning was taken.
    fn keep(&mut self, place: Range<usize>, kind: TokenKind) -> usize {
        let (text, at) = (&self.whole[place.clone()], place.start);
        let here = self.span(at, place.end);
        if let Some(end) = self.foreign_comment(at) {
            return end;
        }
        match kind {
            TokenKind::Stray => return self.stray(place),
            TokenKind::OddBlank => {
                let code = text.chars().next().map_or(0, u32::from);
                self.problems.push(
                    Problem::new(&rules::ODD_CHARACTER, here, "a blank of an unusual kind stands here: {0}")
                        .arg(format!("U+{code:04X}"))
                        .here("not the blank of the space bar")
                        .help("put an ordinary blank in its place")
                        .fix(here, " "),
                );
            }
            TokenKind::OpenText | TokenKind::Text if self.inch_mark(at) => return at + 1,
            TokenKind::OpenText => {
                let kept = meant_inside(text);
                let inside = (kept == 1).then(|| inch_mark_inside(self.whole, at, self.id, self.tokens)).flatten();
                let end = self.span(at + kept, at + kept);
                let opened = self.span(at, at + kept);
                self.problems.push(inside.unwrap_or_else(|| {
                    Problem::new(&rules::STRING_UNCLOSED, opened, "this string is opened and never closed")
                        .here("opened here")
                        .help("close it with `\"` on the same line; an inch mark inside a string is written `\\\"`")
                        .fix(end, "\"")
                }));
                hidden(&text[..kept], opened, self.problems);
                return self.push(at..at + kept, kind);
            }
            // `"the 2" pipe" { height 4"`: the second string is none, its quote closes the first.
            TokenKind::Text
                if text.starts_with('"')
                    && !text[1..text.len() - 1].contains(['"', '\\'])
                    && self.touching(at).is_some_and(|last| last.kind() == TokenKind::Word) =>
            {
                if let Some(problem) = inch_mark_inside(self.whole, at, self.id, self.tokens) {
                    self.problems.push(problem);
                    return self.push(at..at + 1, TokenKind::OpenText);
                }
                hidden(text, here, self.problems);
            }
            TokenKind::Text | TokenKind::Comment => hidden(text, here, self.problems),
            TokenKind::Word if text.len() > self.limits.word => {
                self.problems.push(
                    Problem::new(&rules::WORD_TOO_LONG, here, "this word is longer than {0} bytes")
                        .arg(self.limits.word)
                        .help("give it a shorter name"),
                );
                return self.push(place, TokenKind::Stray);
            }
            TokenKind::Word | TokenKind::Number | TokenKind::Mark | TokenKind::Newline => {}
        }
        self.push(place, kind)
    }

    /// The token that ends where this one begins.
    fn touching(&self, at: usize) -> Option<Token> {
        self.tokens.last().copied().filter(|last| last.end() == at)
    }

    fn text(&self, token: Token) -> &'k str {
        self.whole.get(token.start()..token.end()).unwrap_or("")
    }

    /// What follows on the line, as far as anybody writes one.
    fn line(&self, at: usize) -> &'k str {
        let end = floor(self.whole, self.to.min(at + WINDOW));
        let text = self.whole.get(at..end).unwrap_or("");
        &text[..shapes::line_end(text, 0)]
    }

    /// Keeps what is no token; of a sign before a number only the sign, so that the rest is read as it is meant.
    fn stray(&mut self, place: Range<usize>) -> usize {
        let (text, at) = (&self.whole[place.clone()], place.start);
        let letter = text.chars().next().unwrap_or(' ');
        let sign = at..at + letter.len_utf8();
        let behind = self.whole.get(sign.end..).unwrap_or("");
        if let Some(end) = self.foreign_quotes(at) {
            return self.push(at..end, TokenKind::Stray);
        }
        if let Some(token) = self.touching(at)
            && letter == ':'
            && token.kind() == TokenKind::Word
        {
            let here = self.span(at, sign.end);
            self.problems.push(
                Problem::new(&rules::ODD_CHARACTER, here, "{0} does not belong here")
                    .arg("a colon behind a word")
                    .help("take it out; a blank is enough")
                    .fix(here, if behind.starts_with([' ', '\t', '\n', '\r']) { "" } else { " " }),
            );
            return self.push(sign, TokenKind::Stray);
        }
        if let Some((problem, end)) = self.degrees(at, letter, behind).or_else(|| self.point(&place, behind)) {
            self.problems.push(problem);
            return self.push(at..end, TokenKind::Stray);
        }
        let is_sign = !letter.is_alphanumeric() && letter != '.';
        if is_sign
            && self.touching(at).is_none_or(|last| last.kind() != TokenKind::Word)
            && behind.starts_with(|next: char| next.is_ascii_digit())
        {
            // One finding tells of the dashes of a whole clause.
            let told = self.problems.last().and_then(|last| last.fix.as_ref()).is_some_and(|fix| {
                fix.span.source == self.id && (fix.span.start as usize..fix.span.end as usize).contains(&at)
            });
            if !told {
                let problem = self
                    .dashes(at, letter)
                    .unwrap_or_else(|| stray(&text[..letter.len_utf8()], self.span(at, sign.end)));
                self.problems.push(problem);
            }
            return self.push(sign, TokenKind::Stray);
        }
        // `0 – 8'`: it stands for `to` as often as for a minus.
        let between = self.tokens.last().is_some_and(|last| {
            let gap = self.whole.get(last.end()..at).unwrap_or("\n");
            last.kind() == TokenKind::Number && gap.trim_matches([' ', '\t']).is_empty()
        });
        if LONG.contains(&letter) && text.len() == letter.len_utf8() && between {
            self.problems.push(
                Problem::new(&rules::ODD_CHARACTER, self.span(at, place.end), "{0} does not belong here")
                    .arg("a long dash between two numbers")
                    .help("write a plain `-` with a blank on both sides to take away, or `to` for a range"),
            );
            return self.push(place, TokenKind::Stray);
        }
        // `wändchen`: a word that runs into letters no name may have is one bad word.
        let start = match self.touching(at).filter(|last| last.kind() == TokenKind::Word) {
            Some(last) => {
                self.tokens.pop();
                last.start()
            }
            None => at,
        };
        let percent = (text == "%").then(|| loose_percent(self.whole, at, self.id)).flatten();
        self.problems.push(percent.unwrap_or_else(|| stray(text, self.span(start, place.end))));
        self.push(start..place.end, TokenKind::Stray)
    }

    /// `54°F`, `30°`: the sign behind a number is one of degrees. Gives the finding, and where the sign ends.
    fn degrees(&self, at: usize, letter: char, behind: &str) -> Option<(Problem, usize)> {
        let (unit, after) = match letter {
            '\u{2109}' => ("degF", behind),
            '\u{2103}' => ("degC", behind),
            '\u{b0}' | '\u{ba}' => match behind.trim_start_matches(' ') {
                rest if rest.starts_with(['F', 'f']) => ("degF", &rest[1..]),
                rest if rest.starts_with(['C', 'c']) => ("degC", &rest[1..]),
                _ => ("deg", behind),
            },
            _ => return None,
        };
        let runs_on = after.starts_with(|next: char| next.is_alphanumeric() || next == '_');
        let number = self.tokens.last().copied().filter(|last| last.kind() == TokenKind::Number)?;
        let blank = self.whole.get(number.end()..at)?;
        if runs_on || !blank.trim_matches([' ', '\t']).is_empty() {
            return None;
        }
        let end = self.whole.len() - after.len();
        let problem = Problem::new(&rules::ODD_CHARACTER, self.span(at, end), "{0} does not belong here")
            .arg("the sign of degrees")
            .arg(format!("{} {unit}", self.text(number)))
            .help("write `{1}`")
            .fix(self.span(number.end(), end), format!(" {unit}"));
        Some((problem, end))
    }

    /// A point that begins no number: a full stop, or `pins.#3`. Gives the finding, and where what is told of ends.
    fn point(&self, place: &Range<usize>, behind: &str) -> Option<(Problem, usize)> {
        let at = place.start;
        if !self.whole[at..].starts_with('.') || behind.starts_with(|next: char| next.is_ascii_digit()) {
            return None;
        }
        if let Some(barred) = behind.strip_prefix('#')
            && let Some(word) = self.touching(at).filter(|last| last.kind() == TokenKind::Word)
        {
            let figures = barred.bytes().take_while(u8::is_ascii_digit).count();
            if figures > 0 && !barred[figures..].starts_with(|next: char| next.is_alphanumeric()) {
                let (start, end) = (at + 1, at + 2 + figures);
                let problem = Problem::new(&rules::ODD_CHARACTER, self.span(start, end), "{0} does not belong here")
                    .arg("a `#` before a number")
                    .arg(format!("{}.{}", self.text(word), &barred[..figures]))
                    .help("write `{1}`")
                    .fix(self.span(start, start + 1), "");
                return Some((problem, end));
            }
        }
        let end = at + self.whole[at..place.end].bytes().take_while(|byte| *byte == b'.').count();
        let here = self.span(at, end);
        let problem = Problem::new(&rules::ODD_CHARACTER, here, "{0} does not belong here");
        Some((problem.arg("a full stop").help("take it out").fix(here, ""), end))
    }

    /// Long dashes before numbers: with the first, those behind it in its clause are told of and mended.
    fn dashes(&self, at: usize, letter: char) -> Option<Problem> {
        if !LONG.contains(&letter) {
            return None;
        }
        let line = self.line(at);
        let clause = line.find([';', '}']).into_iter().chain(line.find("//")).min().unwrap_or(line.len());
        let (mut mended, mut end) = (String::new(), 0);
        let mut before = ' ';
        for (offset, sign) in line[..clause].char_indices() {
            let is_figure = |next: char| next.is_ascii_digit();
            let after = offset + sign.len_utf8();
            if before == ' ' && LONG.contains(&sign) && line[after..].starts_with(is_figure) {
                mended.push_str(&line[end..offset]);
                mended.push('-');
                end = after;
            }
            // What stands in a string is left as it is.
            if sign == '"' && !is_figure(before) {
                break;
            }
            before = sign;
        }
        let signs = mended.chars().filter(|sign| *sign == '-').count();
        let problem =
            Problem::new(&rules::ODD_CHARACTER, self.span(at, at + letter.len_utf8()), "{0} does not belong here");
        Some(
            problem
                .arg(if signs > 1 { "a long dash, here and further on," } else { "a long dash" })
                .help(DASH)
                .fix(self.span(at, at + end), mended),
        )
    }

    /// `'x y'`, `„x“`: strings between other marks. Gives where one ends that begins here, and tells of it.
    fn foreign_quotes(&mut self, at: usize) -> Option<usize> {
        let line = self.line(at);
        let open = line.chars().next()?;
        let closing: &[char] = match open {
            '\'' => &['\''],
            '\u{2018}' | '\u{201a}' => &['\u{2019}', '\u{2018}'],
            '\u{201e}' => &['\u{201c}', '\u{201d}', '"'],
            '\u{ab}' => &['\u{bb}'],
            '\u{bb}' => &['\u{ab}', '\u{bb}'],
            '`' => &['`'],
            _ => return None,
        };
        if self.touching(at).is_some_and(|last| matches!(last.kind(), TokenKind::Word | TokenKind::Number)) {
            return None;
        }
        let rest = &line[open.len_utf8()..];
        let (length, close) = rest.char_indices().find(|(_, letter)| closing.contains(letter))?;
        let (inside, after) = (&rest[..length], &rest[length + close.len_utf8()..]);
        let ends = after.is_empty() || after.starts_with([' ', '\t', ',', ';', '{', '}']);
        if !ends || !inside.starts_with(char::is_alphanumeric) || inside.contains(['"', '\\']) {
            return None;
        }
        let end = at + open.len_utf8() + length + close.len_utf8();
        let here = self.span(at, end);
        self.problems.push(
            Problem::new(&rules::ODD_CHARACTER, here, "{0} does not belong here")
                .arg("a string between other marks")
                .help("strings are written between two `\"`")
                .fix(here, format!("\"{inside}\"")),
        );
        Some(end)
    }

    /// Whether a quote is the inch mark of a size that is read as something else: `2"x4"`, `12 "`, `low.top-4"`. The finding
    /// for it is told here, or, where the size is kept with it, by who knows what is wanted there.
    fn inch_mark(&mut self, at: usize) -> bool {
        let [.., before, last] = self.tokens[..] else { return false };
        if !self.whole[at..].starts_with('"') {
            return false;
        }
        let text = self.text(last);
        let next = self.whole.get(at + 1..).and_then(|rest| rest.chars().next()).unwrap_or('\n');
        let ends = matches!(next, ' ' | '\t' | '\r' | '\n' | ',' | ';' | '}' | ')');
        let gap = self.whole.get(last.end()..at).unwrap_or("\n");
        let is_digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
        if last.kind() == TokenKind::Word && gap.is_empty() {
            let is_size = before.kind() == TokenKind::Number && self.text(before).ends_with(['"', '\'']);
            let between = self.whole.get(before.end()..last.start()).unwrap_or("\n");
            if is_size
                && between.trim_matches([' ', '\t']).is_empty()
                && text.strip_prefix(['x', 'X']).is_some_and(is_digits)
            {
                self.tokens.pop();
                self.push(last.start()..at + 1, TokenKind::Word);
                return true;
            }
            let Some((level, less)) = text.rsplit_once('-') else { return false };
            if !(ends && less.split('/').all(is_digits)) {
                return false;
            }
            // A level with the hyphen in its word, or a name: who knows the names tells which.
            if !(level.contains('.') || matches!(level, "top" | "bottom")) {
                self.tokens.pop();
                self.push(last.start()..at + 1, TokenKind::Word);
                return true;
            }
            let apart = format!("{level} - {less}");
            let word = self.span(last.start(), last.end());
            self.problems.push(
                Problem::new(
                    &rules::ODD_CHARACTER,
                    self.span(last.start(), at + 1),
                    "`{0}` is read as one word, and its inch mark as a quote",
                )
                .arg(text)
                .arg(format!("{apart}\""))
                .help("a `-` inside a word is part of the word; to take away, write blanks on both sides: `{1}`")
                .fix(word, apart),
            );
            self.push(at..at + 1, TokenKind::Stray);
            return true;
        }
        let plain = last.kind() == TokenKind::Number && text.ends_with(|last: char| last.is_ascii_digit());
        if !(plain && ends && !gap.is_empty() && gap.trim_matches([' ', '\t']).is_empty()) {
            return false;
        }
        let problem = Problem::new(
            &rules::ODD_CHARACTER,
            self.span(last.start(), at + 1),
            "a blank stands between `{0}` and its inch mark",
        )
        .arg(text)
        .help("write `{0}\"`")
        .fix(self.span(last.end(), at), "");
        self.problems.push(problem);
        self.push(at..at + 1, TokenKind::Stray);
        true
    }

    /// A line that begins as comments do elsewhere: it is kept as one, and so are the lines up to a `*/`. Gives where it ends.
    fn foreign_comment(&mut self, at: usize) -> Option<usize> {
        if self.tokens.last().is_some_and(|last| last.kind() != TokenKind::Newline) {
            return None;
        }
        let rest = &self.whole[at..self.to];
        let sign = ["#", "--", "/*"].into_iter().find(|sign| rest.starts_with(sign))?;
        // `#4` is a bar.
        if sign == "#" && rest[1..].starts_with(|next: char| next.is_ascii_digit()) {
            return None;
        }
        let mut end = shapes::line_end(self.whole, at).min(self.to);
        if sign == "/*" {
            let mut last = end;
            for _ in 0..COMMENT_LINES {
                if let Some(close) = self.whole[at..last].find("*/") {
                    // What follows on the line is read.
                    let close = at + close + "*/".len();
                    end = if self.whole[close..last].trim().is_empty() { last } else { close };
                    break;
                }
                let next = last + 1;
                if next >= self.to {
                    break;
                }
                last = shapes::line_end(self.whole, next).min(self.to);
            }
        }
        let ends = self.whole[end..self.to].is_empty() || self.whole[end..].starts_with(['\n', '\r']);
        let text = &self.whole[at..end];
        let body = text[sign.len()..].trim_start_matches(['#', '-', '*']);
        let body = if sign == "/*" { body.split("*/").next().unwrap_or(body) } else { body };
        let lines: Vec<&str> = body.lines().map(|line| line.trim().trim_start_matches('*').trim()).collect();
        let written: Vec<String> =
            lines.iter().filter(|line| !line.is_empty()).map(|line| format!("// {line}")).collect();
        let here = self.span(at, at + sign.len());
        self.problems.push(
            Problem::new(&rules::ODD_CHARACTER, here, "`{0}` does not begin a comment")
                .arg(sign)
                .arg(written.first().map_or("//", String::as_str))
                .help("comments begin with `//`: write `{1}`")
                .fix(self.span(at, end), written.join("\n") + if ends { "" } else { "\n" }),
        );
        let mut line = at;
        while line < end {
            let to = shapes::line_end(self.whole, line).min(end);
            // Blanks before a comment lie between tokens, as everywhere.
            let from = to - self.whole[line..to].trim_start_matches([' ', '\t']).len();
            if to > from {
                self.push(from..to, TokenKind::Comment);
            }
            let newline = if self.whole[to..end].starts_with("\r\n") { 2 } else { 1 };
            if to < end {
                self.push(to..(to + newline).min(end), TokenKind::Newline);
            }
            line = to + newline;
        }
        Some(end)
    }
}

/// Dashes that word processors make of a minus.
const LONG: [char; 2] = ['\u{2013}', '\u{2014}'];

/// So many bytes behind a sign are looked at for what belongs to it.
const WINDOW: usize = 200;

/// How many lines are looked through for the end of a comment that is none here.
const COMMENT_LINES: usize = 40;

/// What to write for a long dash.
const DASH: &str =
    "write a plain `-`: right before its number, as in `{-4\"|-100 mm}`, or to take away with a blank on both sides";

/// How much of a string that is never closed was meant to be inside it: not the brace, the mark or the comment at its end.
fn meant_inside(text: &str) -> usize {
    let cut = [" {", "\t{", " //", "\t//"].iter().filter_map(|end| text.find(end)).min().unwrap_or(text.len());
    let kept = text[..cut].trim_end_matches(['{', '}', ';', ' ', '\t']).len();
    let quoted = text[kept..].contains(['"', '\u{201c}', '\u{201d}', '\u{2033}']);
    if kept == 0 || quoted { text.len() } else { kept }
}

/// How many tokens of its line are looked at for a string closed too early.
const LOOK_BACK: usize = 200;

/// `site "behind the 8" pipe, Heron Bank"`: the quote left over at the end means that an inch mark inside the string was
/// taken for its end.
fn inch_mark_inside(whole: &str, at: usize, id: SourceId, tokens: &[Token]) -> Option<Problem> {
    // On a line of more tokens than anybody writes it is not looked for.
    let seen = tokens.len().saturating_sub(LOOK_BACK);
    let newline = tokens.get(seen..)?.iter().rposition(|token| token.kind() == TokenKind::Newline);
    let line = newline.map(|at| seen + at + 1).or((seen == 0).then_some(0))?;
    let string = line + tokens.get(line..)?.iter().position(|token| token.kind() == TokenKind::Text)?;
    let (string, next) = (tokens.get(string)?, tokens.get(string + 1)?);
    let mark = span(
        id,
        string.end().checked_sub(1).filter(|mark| whole[..string.end()].get(*mark..) == Some("\""))?,
        string.end(),
    );
    Some(
        Problem::new(&rules::STRING_RUN_ON, span(id, next.start(), at + 1), "the string ends before the line does")
            .here("this follows the string and cannot")
            .label(mark, "it ends here")
            .help("write the quote inside as `\\\"`")
            .fix(mark, "\\\""),
    )
}

/// `70 %`: the sign stands right behind its number here.
fn loose_percent(whole: &str, at: usize, id: SourceId) -> Option<Problem> {
    let number = whole.get(..at)?.trim_end_matches([' ', '\t']);
    let first = number.rfind(|letter: char| !letter.is_ascii_digit() && letter != '.').map_or(0, |at| at + 1);
    let figures = number.get(first..).filter(|figures| figures.starts_with(|first: char| first.is_ascii_digit()))?;
    let blank = span(id, number.len(), at);
    Some(
        Problem::new(&rules::ODD_CHARACTER, span(id, first, at + 1), "a blank stands between `{0}` and its `%`")
            .arg(figures)
            .help("write `{0}%`")
            .fix(blank, ""),
    )
}

fn stray(text: &str, here: Span) -> Problem {
    let letter = text.chars().next().unwrap_or(' ');
    let problem = Problem::new(&rules::ODD_CHARACTER, here, "{0} does not belong here");
    match letter {
        '\u{d7}' => problem
            .arg("the sign `×`")
            .help("write `by` between two sizes, `x` in a name such as `2x4`, `*` to multiply"),
        '.' => problem.arg("a number that starts with its point").help("write a figure before the point, as in `0.5`"),
        '“' | '”' | '‘' | '’' | '\'' => problem.arg("this mark").help("strings are written between two `\"`"),
        '\u{2013}' | '\u{2014}' => {
            let problem = problem.arg("a long dash").help(DASH);
            if text.chars().count() == 1 { problem.fix(here, "-") } else { problem }
        }
        '+' => problem.arg("a plus sign").help("numbers without a sign count up; write the number alone"),
        '$' | '€' | '£' => problem
            .arg(format!("the sign `{letter}`"))
            .help("write the amount and the three letters of its currency, as in `6.80 USD`"),
        '0'..='9' => problem
            .arg("a number that runs into other signs")
            .help("write the number alone, with a blank before what follows it"),
        letter if letter.is_control() => problem
            .arg(format!("the control character U+{:04X}", u32::from(letter)))
            .help("take it out; it came in by copying or from a damaged file"),
        letter if letter.is_alphabetic() || letter.is_numeric() => problem
            .arg(format!("the letter `{letter}` (U+{:04X})", u32::from(letter)))
            .help("names and numbers are written with the letters a to z and the figures 0 to 9"),
        letter => problem
            .arg(format!("`{letter}` (U+{:04X})", u32::from(letter)))
            .help("take it out, or put it in a string or a comment"),
    }
}

/// Characters that change how the text is seen, not what it says.
fn hidden(text: &str, here: Span, problems: &mut Vec<Problem>) {
    if text.is_ascii() && !text.bytes().any(|byte| byte < b' ' && byte != b'\t') {
        return;
    }
    let unseen = |letter: char| {
        (letter.is_control() && letter != '\t')
            || matches!(u32::from(letter), 0x202a..=0x202e | 0x2066..=0x2069 | 0x200e | 0x200f | 0x061c | 0xfeff | 0x200b)
    };
    let Some((offset, letter)) = text.char_indices().find(|(_, letter)| unseen(*letter)) else { return };
    let start = here.start + u32::try_from(offset).unwrap_or(0);
    let place = Span { start, end: start + u32::try_from(letter.len_utf8()).unwrap_or(1), ..here };
    let end = text.rfind(unseen).map_or(offset, |at| at + text[at..].chars().next().map_or(0, char::len_utf8));
    let cleared: String = text[offset..end].chars().filter(|letter| !unseen(*letter)).collect();
    let more = text[offset..end].chars().filter(|letter| unseen(*letter)).count() > 1;
    problems.push(
        Problem::new(&rules::HIDDEN_CHARACTER, place, "a character that does not show stands here: {0}")
            .arg(format!("U+{:04X}", u32::from(letter)))
            .help(if more {
                "take it out, and the others behind it, so that the text says what it shows"
            } else {
                "take it out, so that the text says what it shows"
            })
            .fix(Span { end: here.start + u32::try_from(end).unwrap_or(0), ..place }, cleared),
    );
}

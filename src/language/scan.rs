//! Text to tokens, by the grammar in `grammar/job.pest`, in slices that end at a line.

use pest::Parser as _;

use super::{
    limits::Limits,
    rules,
    tree::{Token, TokenKind},
};
use crate::{
    problem::Problem,
    source::{Source, SourceId, Span},
};

/// Only this module sees pest's rules.
mod grammar {
    #![allow(missing_docs)]

    #[derive(pest_derive::Parser)]
    #[grammar = "../grammar/job.pest"]
    pub(super) struct JobGrammar;
}

use grammar::{JobGrammar, Rule};

/// Pest keeps two entries for every token of what it is given; slices keep that small.
const SLICE: usize = 64 * 1024;

/// No line is read that is longer than a token can be, whatever limit is set.
const LONGEST: usize = (1 << 24) - 1;

/// All tokens of a text, newlines and comments included; what lies between two tokens is blank.
pub(super) fn scan(id: SourceId, source: &Source, limits: &Limits, problems: &mut Vec<Problem>) -> Vec<Token> {
    let text = source.text.as_str();
    let mut tokens = Vec::with_capacity(text.len() / 4);
    let mut at = 0;
    let longest = limits.line.min(LONGEST);
    while at < text.len() {
        let end = slice_end(text, at, longest);
        match end {
            End::Line(end) => {
                read(&text[at..end], at, id, &mut tokens, limits, problems);
                at = end;
            }
            End::TooLong(end) => {
                let span = span(id, at, (at + 40).min(end));
                let span = Span { end: floor(text, span.end as usize) as u32, ..span };
                problems.push(
                    Problem::new(&rules::LINE_TOO_LONG, span, "this line is longer than {0} bytes")
                        .arg(longest)
                        .here("it starts here")
                        .help("break the line after a comma, or check that this is a job file"),
                );
                while at < end {
                    let part = floor(text, (at + (1 << 23)).min(end));
                    tokens.push(Token::new(at, part - at, TokenKind::Stray));
                    at = part;
                }
            }
        }
    }
    tokens
}

enum End {
    /// The slice ends after a line end, or at the text's end.
    Line(usize),
    /// A line that is too long ends here.
    TooLong(usize),
}

fn slice_end(text: &str, at: usize, longest: usize) -> End {
    let bytes = text.as_bytes();
    let far = (at + SLICE.min(longest.max(1))).min(bytes.len());
    if far == bytes.len() && far - at <= longest {
        return End::Line(far);
    }
    let ends = |byte: &u8| *byte == b'\n' || *byte == b'\r';
    // A lone CR ends a line too; CR and LF are never cut apart.
    let after = |end: usize| match bytes.get(end..) {
        Some([b'\r', b'\n', ..]) => end + 2,
        Some([_, ..]) => end + 1,
        _ => bytes.len(),
    };
    if let Some(back) = bytes[at..far].iter().rposition(ends) {
        return End::Line(after(at + back));
    }
    // One line longer than a slice: find its end.
    let end = bytes[far..].iter().position(ends).map_or(bytes.len(), |length| far + length);
    if end - at > longest {
        return End::TooLong(end);
    }
    End::Line(after(end))
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

fn read(slice: &str, base: usize, id: SourceId, tokens: &mut Vec<Token>, limits: &Limits, problems: &mut Vec<Problem>) {
    let Ok(pairs) = JobGrammar::parse(Rule::slice, slice) else {
        // The grammar accepts every text; were it ever to refuse one, the slice still stands in the tree as it is.
        tokens.push(Token::new(base, slice.len(), TokenKind::Stray));
        return;
    };
    for pair in pairs.flatten() {
        let kind = match pair.as_rule() {
            Rule::newline => TokenKind::Newline,
            Rule::comment => TokenKind::Comment,
            Rule::word | Rule::joined => TokenKind::Word,
            Rule::number => TokenKind::Number,
            Rule::text => TokenKind::Text,
            Rule::open_text => TokenKind::OpenText,
            Rule::mark => TokenKind::Mark,
            Rule::odd_blank => TokenKind::OddBlank,
            Rule::stray => TokenKind::Stray,
            Rule::slice
            | Rule::EOI
            | Rule::blank
            | Rule::tail
            | Rule::figure
            | Rule::gap
            | Rule::dash
            | Rule::glyph
            | Rule::foot
            | Rule::inch => continue,
        };
        let inside = pair.as_span();
        let (start, end) = (inside.start(), inside.end());
        keep(&slice[start..end], base + start, kind, id, tokens, limits, problems);
    }
}

/// Adds one token, with the findings a token alone can give.
fn keep(
    text: &str,
    at: usize,
    kind: TokenKind,
    id: SourceId,
    tokens: &mut Vec<Token>,
    limits: &Limits,
    problems: &mut Vec<Problem>,
) {
    let here = span(id, at, at + text.len());
    match kind {
        TokenKind::Stray => {
            // `wändchen`: a word that runs into letters no name may have is one bad word.
            let start = match tokens.last() {
                Some(last) if last.kind() == TokenKind::Word && last.end() == at => {
                    let start = last.start();
                    tokens.pop();
                    start
                }
                _ => at,
            };
            problems.push(stray(text, span(id, start, at + text.len())));
            tokens.push(Token::new(start, at + text.len() - start, kind));
            return;
        }
        TokenKind::OddBlank => {
            let code = text.chars().next().map_or(0, u32::from);
            problems.push(
                Problem::new(&rules::ODD_CHARACTER, here, "a blank of an unusual kind stands here: {0}")
                    .arg(format!("U+{code:04X}"))
                    .here("not the blank of the space bar")
                    .help("put an ordinary blank in its place")
                    .fix(here, " "),
            );
        }
        TokenKind::OpenText => {
            // The brace or mark that ends the line was surely not meant to be inside the string.
            let kept = text.trim_end_matches(['{', '}', ';', ' ', '\t']).len().max(1);
            problems.push(
                Problem::new(&rules::STRING_UNCLOSED, here, "this string is opened and never closed")
                    .here("opened here")
                    .help("close it with `\"` on the same line; an inch mark inside a string is written `\\\"`")
                    .fix(span(id, at + kept, at + kept), "\""),
            );
            tokens.push(Token::new(at, kept, kind));
            for (offset, letter) in text[kept..].char_indices() {
                if !matches!(letter, ' ' | '\t') {
                    tokens.push(Token::new(at + kept + offset, 1, TokenKind::Mark));
                }
            }
            hidden(text, here, problems);
            return;
        }
        TokenKind::Text | TokenKind::Comment => hidden(text, here, problems),
        TokenKind::Word if text.len() > limits.word => {
            problems.push(
                Problem::new(&rules::WORD_TOO_LONG, here, "this word is longer than {0} bytes")
                    .arg(limits.word)
                    .help("give it a shorter name"),
            );
            tokens.push(Token::new(at, text.len(), TokenKind::Stray));
            return;
        }
        TokenKind::Word | TokenKind::Number | TokenKind::Mark | TokenKind::Newline => {}
    }
    tokens.push(Token::new(at, text.len(), kind));
}

fn stray(text: &str, here: Span) -> Problem {
    let letter = text.chars().next().unwrap_or(' ');
    let problem = Problem::new(&rules::ODD_CHARACTER, here, "{0} does not belong here");
    match letter {
        '\u{d7}' => problem.arg("the sign `×`").help("write `x` in a size such as `2x4`, and `*` to multiply"),
        '.' => problem.arg("a number that starts with its point").help("write a figure before the point, as in `0.5`"),
        '“' | '”' | '‘' | '’' | '\'' => problem.arg("this mark").help("strings are written between two `\"`"),
        '\u{2013}' | '\u{2014}' => {
            problem.arg("a dash").help("write a plain `-`, with a blank on both sides to take away")
        }
        '+' => problem.arg("a plus sign").help("numbers without a sign count up; write the number alone"),
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
    let found = text.char_indices().find(|(_, letter)| {
        (letter.is_control() && *letter != '\t')
            || matches!(u32::from(*letter), 0x202a..=0x202e | 0x2066..=0x2069 | 0x200e | 0x200f | 0x061c | 0xfeff | 0x200b)
    });
    if let Some((offset, letter)) = found {
        let start = here.start + u32::try_from(offset).unwrap_or(0);
        let place = Span { start, end: start + u32::try_from(letter.len_utf8()).unwrap_or(1), ..here };
        problems.push(
            Problem::new(&rules::HIDDEN_CHARACTER, place, "a character that does not show stands here: {0}")
                .arg(format!("U+{:04X}", u32::from(letter)))
                .help("take it out, so that the text says what it shows")
                .fix(place, ""),
        );
    }
}

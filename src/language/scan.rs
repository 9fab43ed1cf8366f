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
    shapes::tokens(whole.get(part).unwrap_or(""), &mut |kind, start, end| {
        keep(whole, base + start..base + end, kind, id, tokens, limits, problems);
    });
}

/// Adds one token, with the findings a token alone can give.
fn keep(
    whole: &str,
    place: Range<usize>,
    kind: TokenKind,
    id: SourceId,
    tokens: &mut Vec<Token>,
    limits: &Limits,
    problems: &mut Vec<Problem>,
) {
    let (text, at) = (&whole[place.clone()], place.start);
    let here = span(id, at, place.end);
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
            let percent = (text == "%").then(|| loose_percent(whole, at, id)).flatten();
            problems.push(percent.unwrap_or_else(|| stray(text, span(id, start, at + text.len()))));
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
        TokenKind::OpenText | TokenKind::Text if crossed(whole, at, id, tokens).is_some() => {
            if let Some((problem, start)) = crossed(whole, at, id, tokens) {
                problems.push(problem);
                tokens.pop();
                tokens.push(Token::new(start, at + 1 - start, TokenKind::Stray));
                // The quote is gone from the rest, so this goes no deeper than there are such sizes in it.
                read(whole, at + 1..place.end, id, tokens, limits, problems);
            }
            return;
        }
        TokenKind::OpenText => {
            let kept = meant_inside(text);
            let inside = (kept == 1).then(|| inch_mark_inside(whole, at, id, tokens)).flatten();
            problems.push(inside.unwrap_or_else(|| {
                Problem::new(&rules::STRING_UNCLOSED, span(id, at, at + kept), "this string is opened and never closed")
                    .here("opened here")
                    .help("close it with `\"` on the same line; an inch mark inside a string is written `\\\"`")
                    .fix(span(id, at + kept, at + kept), "\"")
            }));
            tokens.push(Token::new(at, kept, kind));
            hidden(&text[..kept], span(id, at, at + kept), problems);
            // No quote is left in the rest, so this goes no deeper.
            if kept < text.len() {
                read(whole, at + kept..place.end, id, tokens, limits, problems);
            }
            return;
        }
        // `"the 2" pipe" { height 4"`: the second string is none, its quote closes the first.
        TokenKind::Text
            if text.starts_with('"')
                && !text[1..text.len() - 1].contains(['"', '\\'])
                && tokens.last().is_some_and(|last| last.kind() == TokenKind::Word && last.end() == at) =>
        {
            if let Some(problem) = inch_mark_inside(whole, at, id, tokens) {
                problems.push(problem);
                tokens.push(Token::new(at, 1, TokenKind::OpenText));
                // One quote is left in the rest, at its end, so this goes no deeper than once.
                read(whole, at + 1..place.end, id, tokens, limits, problems);
                return;
            }
            hidden(text, here, problems);
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

/// `5/8"x5"`: the mark behind the second size is no quote. Gives the finding, and where the sign between the sizes stands.
fn crossed(whole: &str, at: usize, id: SourceId, tokens: &[Token]) -> Option<(Problem, usize)> {
    let [.., size, cross] = tokens else { return None };
    let start = cross.start();
    let figures = whole.get(start..at)?.strip_prefix(['x', 'X'])?;
    let is_size = size.kind() == TokenKind::Number && whole.get(..size.end())?.ends_with(['"', '\'']);
    let between = whole.get(size.end()..start)?;
    let touch = cross.kind() == TokenKind::Word && cross.end() == at && between.trim_matches([' ', '\t']).is_empty();
    if !(is_size && touch && !figures.is_empty() && figures.bytes().all(|byte| byte.is_ascii_digit())) {
        return None;
    }
    let sign = span(id, start, start + 1);
    let problem = Problem::new(&rules::ODD_CHARACTER, sign, "{0} does not belong here")
        .arg("the sign `x`")
        .help("write `by` between two sizes, with a blank on both sides")
        .fix(sign, if between.is_empty() { " by " } else { "by " });
    Some((problem, start))
}

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
            let problem = problem.arg("a long dash").help(
                "write a plain `-`: right before its number, as in `{-4\"|-100 mm}`, or to take away with a blank on both sides",
            );
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

//! The shapes of tokens, by hand: what `grammar/job.pest` states, an order of magnitude faster.
//!
//! The grammar says what a token is; tests hold these functions to it on every job file there is and on texts of chance. Every
//! function takes a text and a place in it and gives the place behind its shape, or nothing where another shape stands there.

use super::tree::TokenKind;

/// Calls `found` with every token of a text: its kind, and from where to where it runs. What lies between is blank. It says
/// where to go on, which is inside the token where only its beginning was taken.
pub(super) fn tokens(text: &str, found: &mut dyn FnMut(TokenKind, usize, usize) -> usize) {
    let shapes = Shapes { text, bytes: text.as_bytes() };
    let mut at = 0;
    while let Some(byte) = shapes.byte(at) {
        if matches!(byte, b' ' | b'\t') {
            at += 1;
            continue;
        }
        let (kind, end) = shapes.token(at, byte);
        // Whatever is taken of a token, the text is gone through once.
        at = found(kind, at, end).max(at + 1);
    }
}

/// Where the line ends that goes on from there, its end not counted.
pub(super) fn line_end(text: &str, at: usize) -> usize {
    let rest = text.as_bytes().get(at..).unwrap_or(&[]);
    at + rest.iter().position(|byte| matches!(byte, b'\n' | b'\r')).unwrap_or(rest.len())
}

/// A text whose shapes are looked at.
#[derive(Clone, Copy)]
struct Shapes<'t> {
    text: &'t str,
    bytes: &'t [u8],
}

const fn is_letter(byte: u8) -> bool {
    byte.is_ascii_alphabetic() || byte == b'_'
}

const fn is_glyph(letter: char) -> bool {
    matches!(letter, '\u{bc}' | '\u{bd}' | '\u{be}' | '\u{2150}'..='\u{215e}')
}

const fn is_odd_blank(letter: char) -> bool {
    matches!(
        letter,
        '\u{a0}' | '\u{2000}'..='\u{200d}' | '\u{202f}' | '\u{205f}' | '\u{2060}' | '\u{3000}' | '\u{feff}' | '\u{ad}'
    )
}

impl Shapes<'_> {
    fn byte(self, at: usize) -> Option<u8> {
        self.bytes.get(at).copied()
    }

    fn is(self, at: usize, byte: u8) -> bool {
        self.byte(at) == Some(byte)
    }

    fn is_digit(self, at: usize) -> bool {
        self.byte(at).is_some_and(|byte| byte.is_ascii_digit())
    }

    /// The letter beyond ASCII that stands there, and where it ends.
    fn wide(self, at: usize) -> Option<(char, usize)> {
        if self.byte(at)?.is_ascii() {
            return None;
        }
        let letter = self.text.get(at..)?.chars().next()?;
        Some((letter, at + letter.len_utf8()))
    }

    fn token(self, at: usize, byte: u8) -> (TokenKind, usize) {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'#' => (TokenKind::Word, self.tails(at + 1)),
            b',' | b';' | b'{' | b'}' | b'(' | b')' | b'=' | b'*' | b'+' => (TokenKind::Mark, at + 1),
            b'\n' => (TokenKind::Newline, at + 1),
            b'\r' => (TokenKind::Newline, at + 1 + usize::from(self.is(at + 1, b'\n'))),
            b'/' if self.is(at + 1, b'/') => (TokenKind::Comment, line_end(self.text, at)),
            b'/' => (TokenKind::Mark, at + 1),
            b'-' => self.number(at).map_or((TokenKind::Mark, at + 1), |end| (TokenKind::Number, end)),
            b'"' => match self.text(at) {
                Some(end) => (TokenKind::Text, end),
                None => (TokenKind::OpenText, line_end(self.text, at)),
            },
            b'0'..=b'9' => self.figures(at).unwrap_or_else(|| (TokenKind::Stray, self.stray(at))),
            _ => self.rare(at),
        }
    }

    /// What begins with a letter beyond ASCII, or with no sign of the language.
    fn rare(self, at: usize) -> (TokenKind, usize) {
        if let Some((letter, end)) = self.wide(at) {
            match letter {
                '\u{2212}' => {
                    return self.number(at).map_or((TokenKind::Mark, end), |end| (TokenKind::Number, end));
                }
                '\u{201c}' => {
                    let line = line_end(self.text, at);
                    let close = self.text.get(end..line).and_then(|inside| inside.find('\u{201d}'));
                    return match close {
                        Some(close) => (TokenKind::Text, end + close + '\u{201d}'.len_utf8()),
                        None => (TokenKind::OpenText, line),
                    };
                }
                _ if is_odd_blank(letter) => {
                    let mut to = end;
                    while let Some((_, next)) = self.wide(to).filter(|(letter, _)| is_odd_blank(*letter)) {
                        to = next;
                    }
                    return (TokenKind::OddBlank, to);
                }
                _ => {
                    if let Some(figures) = self.figures(at) {
                        return figures;
                    }
                }
            }
        }
        (TokenKind::Stray, self.stray(at))
    }

    /// A number, or a name that begins with one.
    fn figures(self, at: usize) -> Option<(TokenKind, usize)> {
        if let Some(end) = self.number(at) {
            return Some((TokenKind::Number, end));
        }
        let end = self.figure(at)?;
        self.byte(end).is_some_and(is_letter).then(|| (TokenKind::Word, self.tails(end + 1)))
    }

    /// Letters, figures, and the signs a word may hold between them.
    fn tails(self, mut at: usize) -> usize {
        while let Some(byte) = self.byte(at) {
            if byte.is_ascii_alphanumeric() || byte == b'_' {
                at += 1;
            } else if matches!(byte, b'-' | b'.' | b'/')
                && self.byte(at + 1).is_some_and(|next| next.is_ascii_alphanumeric())
            {
                at += 2;
            } else {
                break;
            }
        }
        at
    }

    /// A string between straight quotes.
    fn text(self, at: usize) -> Option<usize> {
        let mut at = at + 1;
        loop {
            match self.byte(at)? {
                b'"' => return Some(at + 1),
                b'\n' | b'\r' => return None,
                // What is escaped may be longer than a byte: its first is not a sign that ends anything, nor are the others.
                b'\\' if matches!(self.byte(at + 1)?, b'\n' | b'\r') => return None,
                b'\\' => at += 2,
                _ => at += 1,
            }
        }
    }

    fn number(self, at: usize) -> Option<usize> {
        let from = match self.wide(at) {
            Some(('\u{2212}', end)) => end,
            _ => at + usize::from(self.is(at, b'-')),
        };
        let end = self.groups(self.figure(from)?);
        if let Some(end) = self.inch(end) {
            return Some(end);
        }
        (!self.byte(end).is_some_and(is_letter)).then_some(end)
    }

    /// What follows the first figures of a number.
    fn groups(self, mut at: usize) -> usize {
        while let Some(end) = self.dash(at).and_then(|end| self.figure(end)).or_else(|| self.gap(at)) {
            at = end;
        }
        at
    }

    fn figure(self, at: usize) -> Option<usize> {
        let mut at = if self.is_digit(at) { at + 1 } else { self.glyph(at)? };
        while let Some(byte) = self.byte(at) {
            at = match byte {
                b'0'..=b'9' | b'.' | b'%' => at + 1,
                b'\'' => self.whole(at + 1).unwrap_or(at + 1),
                b'/' if !self.is(at + 1, b'/') => at + 1,
                b':' if self.is_digit(at + 1) => at + 2,
                _ if byte.is_ascii() => break,
                _ => match self.wide(at) {
                    Some((letter, end)) if is_glyph(letter) || letter == '\u{2044}' => end,
                    Some(('\u{2032}' | '\u{2019}', end)) => self.whole(end).unwrap_or(end),
                    _ => break,
                },
            };
        }
        Some(at)
    }

    /// Where blanks end, one at least.
    fn blanks(self, at: usize) -> Option<usize> {
        let mut end = at;
        while self.is(end, b' ') {
            end += 1;
        }
        (end > at).then_some(end)
    }

    /// Where digits end, one at least.
    fn digits(self, at: usize) -> Option<usize> {
        let mut end = at;
        while self.is_digit(end) {
            end += 1;
        }
        (end > at).then_some(end)
    }

    /// A stroke and the digits under it.
    fn under(self, at: usize) -> Option<usize> {
        let stroke = match self.byte(at)? {
            b'/' => at + 1,
            _ => self.wide(at).filter(|(letter, _)| *letter == '\u{2044}')?.1,
        };
        self.digits(stroke)
    }

    fn whole(self, at: usize) -> Option<usize> {
        let end = self.digits(self.blanks(at)?)?;
        let next = self.blanks(end)?;
        let fraction = self.digits(next).and_then(|next| self.under(next)).or_else(|| self.glyph(next))?;
        self.inch(fraction).map(|_| end)
    }

    fn gap(self, at: usize) -> Option<usize> {
        let at = self.blanks(at)?;
        let counted = self
            .digits(at)
            .and_then(|end| self.under(end).or_else(|| self.glyph(end)).or_else(|| self.inch(end).map(|_| end)));
        let end = counted.or_else(|| self.glyph(at))?;
        (!self.byte(end).is_some_and(is_letter)).then_some(end)
    }

    fn dash(self, at: usize) -> Option<usize> {
        let end = match self.byte(at)? {
            b'-' => at + 1,
            _ => match self.wide(at)? {
                ('\u{2010}' | '\u{2011}' | '\u{2012}' | '\u{2013}' | '\u{2212}', end) => end,
                _ => return None,
            },
        };
        (self.is_digit(end) || self.glyph(end).is_some()).then_some(end)
    }

    fn glyph(self, at: usize) -> Option<usize> {
        self.wide(at).filter(|(letter, _)| is_glyph(*letter)).map(|(_, end)| end)
    }

    fn inch(self, at: usize) -> Option<usize> {
        if self.is(at, b'"') {
            return Some(at + 1);
        }
        self.wide(at).filter(|(letter, _)| matches!(letter, '\u{2033}' | '\u{201d}')).map(|(_, end)| end)
    }

    /// What is no token, to where it breaks off.
    fn stray(self, at: usize) -> usize {
        if let Some(end) = self.figure(at + usize::from(self.is(at, b'.'))) {
            let end = self.tight(self.groups(end));
            return match self.inch(end) {
                Some(after) if !self.byte(after).is_some_and(|byte| byte.is_ascii_alphanumeric() || byte == b'_') => {
                    after
                }
                _ => end,
            };
        }
        self.tight(self.wide(at).map_or(at + 1, |(_, end)| end))
    }

    fn tight(self, mut at: usize) -> usize {
        while let Some(byte) = self.byte(at) {
            at = match byte {
                b' ' | b'\t' | b'\n' | b'\r' | b',' | b';' | b'{' | b'}' | b'"' => break,
                b'/' if self.is(at + 1, b'/') => break,
                _ if byte.is_ascii() => at + 1,
                _ => match self.wide(at) {
                    Some((letter, end)) if !matches!(letter, '\u{a0}' | '\u{201c}') => end,
                    _ => break,
                },
            };
        }
        at
    }
}

#[cfg(test)]
mod tests {
    use std::{fs, path::Path};

    use pest::Parser as _;
    use proptest::{collection, prelude::*, sample};

    use super::*;

    mod grammar {
        #![allow(missing_docs)]

        #[derive(pest_derive::Parser)]
        #[grammar = "../grammar/job.pest"]
        pub(super) struct JobGrammar;
    }

    use grammar::{JobGrammar, Rule};

    type Tokens = Vec<(TokenKind, usize, usize)>;

    fn by_hand(text: &str) -> Tokens {
        let mut out = Vec::new();
        tokens(text, &mut |kind, start, end| {
            out.push((kind, start, end));
            end
        });
        out
    }

    fn by_grammar(text: &str) -> Tokens {
        let pairs = JobGrammar::parse(Rule::slice, text).expect("the grammar takes every text");
        let kind = |rule| {
            Some(match rule {
                Rule::newline => TokenKind::Newline,
                Rule::comment => TokenKind::Comment,
                Rule::word | Rule::joined => TokenKind::Word,
                Rule::number => TokenKind::Number,
                Rule::text => TokenKind::Text,
                Rule::open_text => TokenKind::OpenText,
                Rule::mark | Rule::sign => TokenKind::Mark,
                Rule::odd_blank => TokenKind::OddBlank,
                Rule::stray => TokenKind::Stray,
                _ => return None,
            })
        };
        let token = |pair: pest::iterators::Pair<Rule>| {
            let span = pair.as_span();
            Some((kind(pair.as_rule())?, span.start(), span.end()))
        };
        pairs.flatten().filter_map(token).collect()
    }

    fn job_files(folder: &Path, out: &mut Vec<String>) {
        for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
            let path = entry.path();
            if path.is_dir() {
                job_files(&path, out);
            } else if path.extension().is_some_and(|ending| ending == "job")
                && let Ok(text) = fs::read_to_string(&path)
            {
                out.push(text);
            }
        }
    }

    #[test]
    fn every_job_file_has_the_tokens_of_the_grammar() {
        let mut texts = Vec::new();
        for folder in ["src", "examples", "tests"] {
            job_files(&Path::new(env!("CARGO_MANIFEST_DIR")).join(folder), &mut texts);
        }
        assert!(texts.len() > 200, "{} files", texts.len());
        for text in texts {
            assert_eq!(by_hand(&text), by_grammar(&text), "{text}");
        }
    }

    /// What shapes are made of, and what they end at.
    const PARTS: [&str; 76] = [
        "a",
        "wall",
        "Z",
        "#4",
        "_",
        "slab-edge",
        "high.top",
        "ply-3/4",
        "2x4",
        "12mm",
        "10M",
        "x",
        "0",
        "1",
        "12",
        "007",
        "3/4",
        "1/2",
        ".",
        ",",
        ";",
        "{",
        "}",
        "(",
        ")",
        "=",
        "*",
        "+",
        "-",
        "/",
        "//",
        "'",
        "\"",
        "\\",
        "\\\"",
        "%",
        ":",
        " ",
        "  ",
        "\t",
        "\n",
        "\r",
        "\r\n",
        "12'-6 1/2\"",
        "12' 6\"",
        "12' 6 1/2\"",
        "2 1/2",
        "8%",
        "2027-05-03",
        "16:30",
        "1\u{2044}2",
        "\u{bd}",
        "\u{be}\u{2033}",
        "\u{2153}",
        "\u{2032}",
        "\u{2019}",
        "\u{2033}",
        "\u{201c}",
        "\u{201d}",
        "\u{2212}",
        "\u{2010}",
        "\u{2013}",
        "\u{2014}",
        "\u{d7}",
        "\u{a0}",
        "\u{feff}",
        "\u{200b}",
        "\u{e4}",
        "\u{1f9f1}",
        "\u{0}",
        "\u{7f}",
        "@",
        "\"a\"",
        "!",
        "\u{3000}",
        "\u{2044}",
    ];

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(20_000) })]

        #[test]
        fn shapes_of_chance_are_those_of_the_grammar(parts in collection::vec(sample::select(PARTS.to_vec()), 0..24)) {
            let text = parts.concat();
            prop_assert_eq!(by_hand(&text), by_grammar(&text), "{:?}", text);
        }

        #[test]
        fn any_text_has_the_tokens_of_the_grammar(text in "\\PC{0,60}") {
            prop_assert_eq!(by_hand(&text), by_grammar(&text), "{:?}", text);
        }
    }
}

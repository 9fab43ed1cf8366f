//! The characters a number is typed with, typographic ones included.

use std::ops::Range;

/// What a piece of the text is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Mark {
    Digits,
    Point,
    Slash,
    Hyphen,
    /// The minus sign proper, U+2212.
    Minus,
    /// A dash a word processor makes of a hyphen.
    Dash,
    Blank,
    Feet,
    Inch,
    Percent,
    Colon,
    Glyph(u8, u8),
}

/// A mark, or a run of digits or of blanks, and its bytes in the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Piece {
    pub mark: Mark,
    pub at: Range<usize>,
}

/// Cuts the text into pieces; a doubled feet mark is an inch mark. The error is the place of a character no number has.
pub(super) fn pieces(text: &str) -> Result<Vec<Piece>, Range<usize>> {
    let mut all: Vec<Piece> = Vec::new();
    for (start, c) in text.char_indices() {
        let at = start..start + c.len_utf8();
        let mark = match c {
            '0'..='9' => Mark::Digits,
            '.' => Mark::Point,
            '/' | '\u{2044}' => Mark::Slash,
            '-' => Mark::Hyphen,
            '\u{2212}' => Mark::Minus,
            '\u{2010}'..='\u{2013}' => Mark::Dash,
            ' ' | '\t' | '\u{a0}' | '\u{2009}' | '\u{202f}' => Mark::Blank,
            '\'' | '\u{2032}' | '\u{2019}' => Mark::Feet,
            '"' | '\u{2033}' | '\u{201d}' => Mark::Inch,
            '%' => Mark::Percent,
            ':' => Mark::Colon,
            _ => match glyph(c) {
                Some((over, under)) => Mark::Glyph(over, under),
                None => return Err(at),
            },
        };
        match all.last_mut() {
            Some(last) if last.mark == mark && matches!(mark, Mark::Digits | Mark::Blank) => last.at.end = at.end,
            Some(last) if last.mark == mark && mark == Mark::Feet => {
                *last = Piece { mark: Mark::Inch, at: last.at.start..at.end };
            }
            _ => all.push(Piece { mark, at }),
        }
    }
    Ok(all)
}

/// The fractions that are one character, Unicode 2150 to 215E and the three in Latin-1.
fn glyph(c: char) -> Option<(u8, u8)> {
    Some(match c {
        '½' => (1, 2),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅐' => (1, 7),
        '⅑' => (1, 9),
        '⅒' => (1, 10),
        _ => return None,
    })
}

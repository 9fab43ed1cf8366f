//! Text inside a Markdown block, escaped so that a reader of CommonMark or a forge's tables gives it back.
//!
//! After the CommonMark specification 0.31.2, sections 2.4 (backslash escapes), 4 (block starts) and 6.2 (emphasis).
//! A bare web address stays bare; a forge may turn it into a link that shows the same text.

use super::super::characters::{REPLACEMENT, collapsed, steers};
use crate::reports::Words;

/// Where a text stands, for that decides which signs mean something there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Place {
    /// At the start of a block: a paragraph, a list item, a quote.
    Block,
    /// The whole of a heading.
    Heading,
    /// After something else on its line, such as the bar of a table.
    Within,
}

/// Whether an ASCII sign means something to a reader of Markdown almost wherever it stands.
const fn special(sign: u8) -> bool {
    matches!(sign, b'\\' | b'`' | b'*' | b'_' | b'[' | b']' | b'<' | b'&' | b'|' | b'~' | b'$' | b'^')
}

/// A byte that cannot be written as it stands.
const STOP: u8 = 1;
/// A blank: two of them are worth one.
const BLANK: u8 = 2;

/// What each byte is: all of a paper goes through here byte by byte.
const BYTES: [u8; 256] = {
    let mut out = [0; 256];
    let mut byte = 0;
    while byte < 256 {
        let sign = byte as u8;
        out[byte] = match sign {
            b' ' => BLANK,
            b'!'..=b'~' if !special(sign) => 0,
            _ => STOP,
        };
        byte += 1;
    }
    out
};

/// Whether a text is printable ASCII with single blanks inside, and no sign in it means anything.
fn as_it_stands(text: &str) -> bool {
    let (mut found, mut before) = (0, BLANK);
    for byte in text.bytes() {
        let sign = BYTES[usize::from(byte)];
        found |= sign & (before | STOP);
        before = sign;
    }
    found == 0 && (before != BLANK || text.is_empty())
}

/// Appends a text that stands within a line.
pub(super) fn escape(text: &str, out: &mut String) {
    if as_it_stands(text) {
        out.push_str(text);
        return;
    }
    let mut characters = collapsed(text).peekable();
    while let Some(character) = characters.next() {
        put(character, characters.peek().copied(), out);
    }
}

/// Whether words can be written as they stand: no sign in them means anything, and what is strong lies between blanks.
pub(super) fn plain(words: &Words, place: Place) -> bool {
    let text = words.text();
    if !as_it_stands(text) {
        return false;
    }
    let fits = match place {
        Place::Block => text.starts_with(|first: char| first.is_ascii_alphabetic()),
        Place::Heading => text.starts_with(|first: char| first.is_ascii_alphabetic()) && !text.ends_with('#'),
        Place::Within => true,
    };
    let mut before: Option<(&str, bool)> = None;
    fits && words.runs().all(|(run, strong)| {
        let apart = match before.replace((run, strong)) {
            // The blank beside a strong run stands outside of it.
            Some((last, was_strong)) if was_strong != strong => {
                let (inside, outside) = if strong {
                    (run.as_bytes().first(), last.as_bytes().last())
                } else {
                    (last.as_bytes().last(), run.as_bytes().first())
                };
                outside == Some(&b' ') && inside != Some(&b' ')
            }
            _ => true,
        };
        apart && !run.is_empty()
    })
}

/// Appends words, with their strong runs between `**`.
pub(super) fn inline(words: &Words, place: Place, out: &mut String) {
    if plain(words, place) {
        let mut in_strong = false;
        for (run, strong) in words.runs() {
            if strong != in_strong {
                out.push_str("**");
            }
            in_strong = strong;
            out.push_str(run);
        }
        if in_strong {
            out.push_str("**");
        }
    } else {
        careful(words, place, out);
    }
}

/// Appends words sign by sign.
pub(super) fn careful(words: &Words, place: Place, out: &mut String) {
    let flat = flatten(words);
    let at = |index: usize| flat.get(index).copied();
    let strong = |index: usize| at(index).is_some_and(|(_, strong)| strong);
    let closers = match place {
        Place::Heading => flat.iter().rposition(|&(character, _)| character != '#').map_or(0, |last| last + 1),
        Place::Block | Place::Within => flat.len(),
    };
    let marker = (place != Place::Within).then(|| list_or_block_sign(&flat)).flatten();
    let mut before: Option<(char, bool)> = None;
    for (index, &(character, is_strong)) in flat.iter().enumerate() {
        let was_strong = before.is_some_and(|(_, strong)| strong);
        if is_strong != was_strong {
            out.push_str("**");
        }
        let next = at(index + 1).map(|(character, _)| character);
        let opens_after = !is_strong && strong(index + 1);
        let glued = |inner: Option<char>| inner.is_some_and(|inner| !inner.is_ascii_alphanumeric());
        let stuck = (opens_after && glued(next)) || (was_strong && !is_strong && glued(before.map(|(c, _)| c)));
        if stuck && character != ' ' && !character.is_ascii_punctuation() && !steers(character) {
            // `**` between a letter and a sign opens or closes nothing; between two signs it does, and a character
            // reference ends in one and starts with one.
            out.push_str(&format!("&#{};", u32::from(character)));
        } else if marker == Some(index) || index >= closers {
            out.push('\\');
            out.push(character);
        } else {
            put(character, next, out);
        }
        before = Some((character, is_strong));
    }
    if before.is_some_and(|(_, strong)| strong) {
        out.push_str("**");
    }
}

/// The characters, each with whether it is strong. White space is one blank, and strong only between strong characters:
/// `**` beside a blank inside would not open or close.
fn flatten(words: &Words) -> Vec<(char, bool)> {
    let mut flat: Vec<(char, bool)> = Vec::with_capacity(words.text().len());
    let mut blank = false;
    for (text, strong) in words.runs() {
        for character in text.chars() {
            if character.is_whitespace() {
                blank = true;
                continue;
            }
            if let Some(&(_, before)) = flat.last().filter(|_| blank) {
                flat.push((' ', before && strong));
            }
            blank = false;
            flat.push((character, strong));
        }
    }
    flat
}

/// Which character must be escaped lest the text start a heading, a list, a quote or a rule.
fn list_or_block_sign(flat: &[(char, bool)]) -> Option<usize> {
    let at = |index: usize| flat.get(index).map(|&(character, _)| character);
    match at(0)? {
        '+' | '-' => (!at(1).is_some_and(|next| next.is_ascii_digit())).then_some(0),
        '#' | '=' | '>' | ':' => Some(0),
        '0'..='9' => {
            let sign = flat.iter().position(|(character, _)| !character.is_ascii_digit())?;
            (matches!(at(sign)?, '.' | ')') && matches!(at(sign + 1), None | Some(' '))).then_some(sign)
        }
        _ => None,
    }
}

/// Appends one character, escaped where it could mean something. `&` means something before a letter, a digit or `#`.
fn put(character: char, next: Option<char>, out: &mut String) {
    if steers(character) {
        out.push(REPLACEMENT);
        return;
    }
    let escaped = match character {
        '&' => next.is_some_and(|next| next == '#' || next.is_ascii_alphanumeric()),
        _ => u8::try_from(character).is_ok_and(special),
    };
    if escaped {
        out.push('\\');
    }
    out.push(character);
}

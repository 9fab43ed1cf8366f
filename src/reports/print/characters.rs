//! Characters that must not reach a page as they are.

/// What stands in place of a character that cannot be printed.
pub(super) const REPLACEMENT: char = '\u{fffd}';

/// Whether a character steers the reader's screen instead of showing: control characters, line separators, and those
/// that turn the direction of text (property `Bidi_Control` of the Unicode Character Database).
pub(super) fn steers(character: char) -> bool {
    character.is_control()
        || matches!(character,
            '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// The characters of a text with white space worth one blank, none at either end.
pub(super) fn collapsed(text: &str) -> impl Iterator<Item = char> {
    text.split_whitespace().enumerate().flat_map(|(nth, word)| (nth > 0).then_some(' ').into_iter().chain(word.chars()))
}

/// Whether a text is printable ASCII with single blanks inside, as most are: it is then shown as it stands.
pub(super) fn tidy(text: &str) -> bool {
    let mut blank = true;
    let printable = text.bytes().all(|byte| {
        let twice = blank && byte == b' ';
        blank = byte == b' ';
        (b' '..0x7f).contains(&byte) && !twice
    });
    printable && !text.ends_with(' ')
}

/// Appends so many blanks.
pub(super) fn blanks(count: usize, line: &mut String) {
    const BLANKS: &str = "                                ";
    let mut left = count;
    while let Some(rest) = left.checked_sub(BLANKS.len()) {
        line.push_str(BLANKS);
        left = rest;
    }
    line.push_str(BLANKS.get(..left).unwrap_or_default());
}

/// The lines of a text, which end at LF, CRLF or a lone CR; a line end at the very end starts no line.
pub(super) fn lines(text: &str) -> impl Iterator<Item = &str> {
    let text = text.strip_suffix(['\n', '\r']).map_or(text, |rest| rest.strip_suffix('\r').unwrap_or(rest));
    text.split('\n').flat_map(|line| line.strip_suffix('\r').unwrap_or(line).split('\r'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn white_space_is_worth_one_blank() {
        assert_eq!(collapsed("\t a \r\n\u{a0}b\u{2028}c ").collect::<String>(), "a b c");
        assert_eq!(collapsed(" \n").count(), 0);
    }

    #[test]
    fn a_tidy_text_is_shown_as_it_stands() {
        for text in ["", "a", "a b, c"] {
            assert!(tidy(text), "{text:?}");
            assert_eq!(collapsed(text).collect::<String>(), text);
        }
        for text in [" ", " a", "a ", "a  b", "a\tb", "é", "\u{7f}"] {
            assert!(!tidy(text), "{text:?}");
        }
    }

    #[test]
    fn lines_end_at_any_line_end() {
        assert_eq!(lines("a\n\nb\r\nc\rd\r\n").collect::<Vec<_>>(), ["a", "", "b", "c", "d"]);
        assert_eq!(lines("").collect::<Vec<_>>(), [""]);
        assert_eq!(lines("a\n\n").collect::<Vec<_>>(), ["a", ""]);
    }

    #[test]
    fn what_steers_a_screen() {
        for character in ['\0', '\u{1b}', '\u{7f}', '\u{9b}', '\u{202e}', '\u{2066}', '\u{2029}'] {
            assert!(steers(character), "{character:?}");
        }
        for character in [' ', 'a', '½', '″', '\u{2025}', '\u{fffd}'] {
            assert!(!steers(character), "{character:?}");
        }
    }
}

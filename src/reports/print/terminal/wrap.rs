//! Breaking a text into lines of a width.

use unicode_width::UnicodeWidthChar;

/// The lines of a text whose white space is single blanks, none wider than `width` cells (and at least one character
/// each): broken at blanks, and within words that are wider. A text without words is one empty line.
pub(super) fn wrap(text: &str, width: usize) -> impl Iterator<Item = &str> {
    let mut rest = Some(text.trim_start_matches(' '));
    std::iter::from_fn(move || {
        let text = rest?;
        let (line, after) = first_line(text, width);
        let after = after.trim_start_matches(' ');
        rest = (!after.is_empty()).then_some(after);
        Some(line)
    })
}

/// The first line of a text, and what follows it.
fn first_line(text: &str, width: usize) -> (&str, &str) {
    let mut used = 0;
    let mut last_blank = None;
    for (at, character) in text.char_indices() {
        used += character.width().unwrap_or_default();
        if character == ' ' {
            last_blank = Some(at);
        }
        if used > width && at > 0 {
            let (line, after) = text.split_at(last_blank.filter(|blank| *blank > 0).unwrap_or(at));
            return (line.trim_end_matches(' '), after);
        }
    }
    (text.trim_end_matches(' '), "")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_break_at_blanks_or_within_long_words() {
        let lines = |text, width| wrap(text, width).collect::<Vec<_>>();
        assert_eq!(lines("the old wall", 8), ["the old", "wall"]);
        assert_eq!(lines("the old wall", 7), ["the old", "wall"]);
        assert_eq!(lines("the old wall", 6), ["the", "old", "wall"]);
        assert_eq!(lines("foundation", 4), ["foun", "dati", "on"]);
        assert_eq!(lines("a foundation", 4), ["a", "foun", "dati", "on"]);
        assert_eq!(lines("中中中", 4), ["中中", "中"]);
        assert_eq!(lines("中中", 0), ["中", "中"]);
        assert_eq!(lines("", 4), [""]);
    }
}

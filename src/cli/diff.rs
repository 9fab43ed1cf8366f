//! What the formatter changes in a text, as a unified diff.
//!
//! The formatter puts one line in the place of each and takes empty ones out, so the two texts are laid side by side in
//! one walk: a full line stands beside a full line, and an empty one of the old text beside an empty one or nothing.

use std::fmt::Write as _;

use crate::source::escaped;

/// Lines shown around a change.
const AROUND: usize = 3;

/// One line of the two texts.
enum Line<'t> {
    Same(&'t str),
    Old(&'t str),
    New(&'t str),
}

/// The diff from `old` to `new`, its formatted form; empty where they are the same. Control characters are escaped.
pub fn unified(name: &str, old: &str, new: &str) -> String {
    let lines = side_by_side(old, new);
    let mut out = String::new();
    let (mut old_line, mut new_line) = (1, 1);
    let mut at = 0;
    while at < lines.len() {
        let Some(change) = lines[at..].iter().position(Line::differs).map(|ahead| at + ahead) else { break };
        let start = change.saturating_sub(AROUND).max(at);
        old_line += lines[at..start].iter().filter(|line| line.is_old()).count();
        new_line += lines[at..start].iter().filter(|line| line.is_new()).count();
        let end = end_of_hunk(&lines, change);
        let hunk = &lines[start..end];
        let old_count = hunk.iter().filter(|line| line.is_old()).count();
        let new_count = hunk.iter().filter(|line| line.is_new()).count();
        if out.is_empty() {
            let name = escaped(name);
            let _ = writeln!(out, "--- {name}\n+++ {name} (formatted)");
        }
        let _ = writeln!(out, "@@ -{} +{} @@", range(old_line, old_count), range(new_line, new_count));
        for line in hunk {
            let (mark, text) = match line {
                Line::Same(text) => (' ', text),
                Line::Old(text) => ('-', text),
                Line::New(text) => ('+', text),
            };
            let _ = writeln!(out, "{mark}{}", shown(text));
        }
        old_line += old_count;
        new_line += new_count;
        at = end;
    }
    out
}

impl Line<'_> {
    fn differs(&self) -> bool {
        !matches!(self, Line::Same(_))
    }

    fn is_old(&self) -> bool {
        !matches!(self, Line::New(_))
    }

    fn is_new(&self) -> bool {
        !matches!(self, Line::Old(_))
    }
}

/// Both texts, line by line with their line ends. Of changed lines in a row the old ones come first.
fn side_by_side<'t>(old: &'t str, new: &'t str) -> Vec<Line<'t>> {
    let mut lines = Vec::new();
    let mut added = Vec::new();
    let mut new = new.split_inclusive('\n').peekable();
    for old in split(old) {
        let empty = old.trim().is_empty();
        let beside = new.next_if(|new| new.trim().is_empty() == empty);
        if beside == Some(old) {
            lines.append(&mut added);
            lines.push(Line::Same(old));
        } else {
            lines.push(Line::Old(old));
            added.extend(beside.map(Line::New));
        }
    }
    lines.append(&mut added);
    lines.extend(new.map(Line::New));
    lines
}

/// The lines of a text with their ends: LF, CRLF or a lone CR.
fn split(text: &str) -> impl Iterator<Item = &str> {
    let mut rest = text;
    std::iter::from_fn(move || {
        if rest.is_empty() {
            return None;
        }
        let bytes = rest.as_bytes();
        let end = bytes.iter().position(|byte| matches!(byte, b'\n' | b'\r')).map_or(rest.len(), |at| {
            if bytes.get(at) == Some(&b'\r') && bytes.get(at + 1) == Some(&b'\n') { at + 2 } else { at + 1 }
        });
        let (line, tail) = rest.split_at(end);
        rest = tail;
        Some(line)
    })
}

/// Where a hunk ends that begins with the change at `change`: changes closer together than their surroundings share it.
fn end_of_hunk(lines: &[Line], change: usize) -> usize {
    let mut last = change;
    for (at, line) in lines.iter().enumerate().skip(change) {
        if line.differs() {
            last = at;
        } else if at > last + 2 * AROUND {
            break;
        }
    }
    (last + 1 + AROUND).min(lines.len())
}

fn range(start: usize, count: usize) -> String {
    match count {
        // An empty range is named by the line before it.
        0 => format!("{},0", start.saturating_sub(1)),
        1 => format!("{start}"),
        _ => format!("{start},{count}"),
    }
}

fn shown(line: &str) -> String {
    match line.strip_suffix('\n') {
        Some(line) => line.split('\t').map(escaped).collect::<Vec<_>>().join("\t"),
        None => format!("{}\n\\ No newline at end of file", escaped(line)),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{
        language::{Limits, format},
        source::Source,
    };

    fn formatted(text: &str) -> (String, String) {
        let source = Source::new("a.job", text);
        let new = format(&source, &Limits::default());
        (source.text, new)
    }

    #[test]
    fn a_diff_shows_the_changed_lines_and_three_around() {
        let old = "// one\n\n\n\nwall old {\n  thick   8\"\n    height 0 to 2'\n}\n// a\n// b\n// c\n// d\n// e\n// f\n// g\n\
                   wall b { thick 8\" ;height 1' }\n// end";
        let (old, new) = formatted(old);
        insta::assert_snapshot!(unified("a.job", &old, &new));
        assert_eq!(unified("a.job", &new, &new), "");
    }

    #[test]
    fn row_68_a_diff_cannot_steer_a_terminal() {
        let (old, new) = formatted("// \u{1b}[2J  \r\n//\ta\n\n");
        let diff = unified("a\u{1b}.job", &old, &new);
        assert!(diff.chars().all(|c| !c.is_control() || matches!(c, '\n' | '\t')), "{diff:?}");
        assert!(diff.contains("\\u{1b}[2J"));
    }

    proptest! {
        /// Old and new text come back from the walk, whatever the text.
        #[test]
        fn nothing_is_lost_side_by_side(text in "([ \t{};,]|[a-c]|\"|//|\n|\r\n|\r|\n\n\n){0,60}") {
            let (old, new) = formatted(&text);
            let (mut was, mut is) = (String::new(), String::new());
            for line in side_by_side(&old, &new) {
                match line {
                    Line::Same(line) => { was.push_str(line); is.push_str(line); }
                    Line::Old(line) => was.push_str(line),
                    Line::New(line) => is.push_str(line),
                }
            }
            prop_assert_eq!(was, old.clone());
            prop_assert_eq!(is, new.clone());
            prop_assert_eq!(unified("a", &old, &new).is_empty(), old == new);
        }
    }
}

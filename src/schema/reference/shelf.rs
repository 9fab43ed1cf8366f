//! The library's files as tables: one for each run of entries, under the comment that stands before it.

use super::{Kind, Page, code};

/// One file. Its form is that of every library file: comments in paragraphs, and each entry on one line of its own.
pub(super) fn file(page: &mut Page, text: &str, kinds: &[Kind]) {
    let mut note: Vec<&str> = Vec::new();
    let mut entries: Vec<Entry> = Vec::new();
    for line in text.lines().chain([""]) {
        if let Some(comment) = line.strip_prefix("//") {
            flush(page, &mut entries, kinds);
            note.push(comment.trim());
            continue;
        }
        if !note.is_empty() {
            // A comment line with nothing on it parts two paragraphs.
            for paragraph in note.split(|line| line.is_empty()) {
                page.put(&paragraph.join(" "));
            }
            note.clear();
        }
        match entry(line) {
            Some(entry) => entries.push(entry),
            None => flush(page, &mut entries, kinds),
        }
    }
}

/// An entry as it is written: `KIND NAME "title" { CLAUSE; CLAUSE }`; the title may be left out.
struct Entry<'t> {
    kind: &'t str,
    name: &'t str,
    title: &'t str,
    clauses: Vec<(&'t str, &'t str)>,
}

fn entry(line: &str) -> Option<Entry<'_>> {
    let (head, body) = line.split_once('{')?;
    let (kind, name) = head.trim().split_once(' ')?;
    let (name, title) = name.split_once(' ').unwrap_or((name, ""));
    let clauses = body.trim().trim_end_matches('}').split(';');
    let clauses = clauses.filter_map(|clause| clause.trim().split_once(' ')).collect();
    Some(Entry { kind, name, title: title.trim_matches('"'), clauses })
}

fn flush(page: &mut Page, entries: &mut Vec<Entry>, kinds: &[Kind]) {
    let Some(first) = entries.first() else { return };
    let written = |word: &str| entries.iter().any(|entry| entry.clauses.iter().any(|(known, _)| *known == word));
    let kind = kinds.iter().find(|kind| kind.word == first.kind);
    let fields = kind.map_or(&[][..], |kind| kind.fields);
    let words: Vec<&str> = fields.iter().map(|field| field.word).filter(|word| written(word)).collect();
    let titled = entries.iter().any(|entry| !entry.title.is_empty());
    let title = titled.then_some("Which is");
    let heads: Vec<&str> = [first.kind].into_iter().chain(title).chain(words.iter().copied()).collect();
    let rows = entries.iter().map(|entry| {
        let value = |word: &str| {
            entry
                .clauses
                .iter()
                .find(|(known, _)| *known == word)
                .map_or_else(String::new, |(_, value)| (*value).to_owned())
        };
        let title = titled.then(|| entry.title.to_owned());
        [code(entry.name)].into_iter().chain(title).chain(words.iter().map(|word| value(word))).collect()
    });
    page.table(&heads, rows);
    entries.clear();
}

//! The standard library: bar sizes, lumber and sheets, bagged mixes, wire, goods, written in the language itself and compiled
//! in. A file of it is read only when a job uses a name that stands in it; what a job writes itself goes before.

use std::{ops::Range, sync::OnceLock};

use foldhash::HashMap;

/// The files, by the name shown in findings and working.
pub const FILES: [(&str, &str); 5] = [
    ("library/bars.job", include_str!("bars.job")),
    ("library/goods.job", include_str!("goods.job")),
    ("library/lumber.job", include_str!("lumber.job")),
    ("library/mixes.job", include_str!("mixes.job")),
    ("library/wire.job", include_str!("wire.job")),
];

/// Where an entry stands: its file, and the bytes of its line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// The file, by its place in [`FILES`].
    pub file: usize,
    /// The line, without its end.
    pub line: Range<usize>,
}

/// Where the entry of this name stands. Every entry is a line of its own that begins `KIND NAME {`; of two with one name the
/// first counts.
#[must_use]
pub fn holding(name: &str) -> Option<Entry> {
    static NAMES: OnceLock<HashMap<&'static str, Entry>> = OnceLock::new();
    NAMES.get_or_init(index).get(name).cloned()
}

fn index() -> HashMap<&'static str, Entry> {
    let mut out = HashMap::default();
    for (file, (_, text)) in FILES.iter().enumerate() {
        let mut start = 0;
        for line in text.split_inclusive('\n') {
            let at = start;
            start += line.len();
            if let Some(name) = line.split(' ').nth(1).filter(|_| !line.starts_with("//")) {
                out.entry(name).or_insert(Entry { file, line: at..at + line.trim_end().len() });
            }
        }
    }
    out
}

/// Every entry: the word of its kind, and its name.
pub fn entries() -> impl Iterator<Item = (&'static str, &'static str)> {
    FILES.iter().flat_map(|(_, text)| text.lines()).filter(|line| !line.starts_with("//")).filter_map(|line| {
        let mut words = line.split(' ');
        words.next().zip(words.next())
    })
}

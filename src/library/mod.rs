//! The standard library: bar sizes, lumber and sheets, bagged mixes, wire, written in the language itself and compiled
//! in. A file of it is read only when a job uses a name that stands in it; what a job writes itself goes before.

/// The files, by the name shown in findings and working.
pub const FILES: [(&str, &str); 4] = [
    ("library/bars.job", include_str!("bars.job")),
    ("library/lumber.job", include_str!("lumber.job")),
    ("library/mixes.job", include_str!("mixes.job")),
    ("library/wire.job", include_str!("wire.job")),
];

/// Which file an entry of this name stands in. Every entry is a line of its own that begins `KIND NAME {`.
#[must_use]
pub fn holding(name: &str) -> Option<usize> {
    let begins = |line: &str| !line.starts_with("//") && line.split(' ').nth(1) == Some(name);
    FILES.iter().position(|(_, text)| text.lines().any(begins))
}

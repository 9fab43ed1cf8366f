//! The texts a job is made of, and places in them; where they come from and how bytes become text.

mod decode;
mod files;

use std::sync::OnceLock;

pub use decode::{NotText, decode};
pub use files::{Files, Found, Shelf, Trouble, beside, escaped, folder, portable, reserved, way};

/// Which text a place is in: an index into [`Sources`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SourceId(pub u32);

/// A stretch of one text, in bytes; `end` is the first byte after it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// The text.
    pub source: SourceId,
    /// First byte.
    pub start: u32,
    /// First byte after.
    pub end: u32,
}

impl Span {
    /// The smallest span that holds both; `other` in another text is ignored.
    #[must_use]
    pub fn to(self, other: Span) -> Span {
        if self.source != other.source {
            return self;
        }
        Span { source: self.source, start: self.start.min(other.start), end: self.end.max(other.end) }
    }

    /// The empty place just after this one.
    #[must_use]
    pub fn after(self) -> Span {
        Span { start: self.end, ..self }
    }
}

/// One text: a job file, an included file, a file of the library, or standard input.
#[derive(Debug)]
pub struct Source {
    /// The name shown to people: a path with `/`, as it was reached.
    pub name: String,
    /// The text, without a byte order mark.
    pub text: String,
    lines: OnceLock<Vec<u32>>,
}

impl Source {
    /// A text under a name. A leading byte order mark is dropped: columns are counted without it.
    #[must_use]
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Source {
        let mut text: String = text.into();
        if text.starts_with('\u{feff}') {
            text.drain(..'\u{feff}'.len_utf8());
        }
        Source { name: name.into(), text, lines: OnceLock::new() }
    }

    /// Where each line starts, in bytes. Lines end at LF, CRLF or a lone CR.
    fn starts(&self) -> &[u32] {
        self.lines.get_or_init(|| {
            let bytes = self.text.as_bytes();
            let mut starts = vec![0];
            for at in 0..bytes.len() {
                if ends_line(bytes, at) {
                    starts.push(u32::try_from(at + 1).unwrap_or(u32::MAX));
                }
            }
            starts
        })
    }

    /// Line and column of a byte, both from 1; columns count characters.
    #[must_use]
    pub fn line_column(&self, byte: u32) -> (u32, u32) {
        let starts = self.starts();
        let line = starts.partition_point(|start| *start <= byte).saturating_sub(1);
        let start = starts.get(line).copied().unwrap_or(0) as usize;
        let mut end = (byte as usize).min(self.text.len());
        while !self.text.is_char_boundary(end) {
            end -= 1;
        }
        let column = self.text.get(start..end).map_or(0, |text| text.chars().count());
        (u32::try_from(line + 1).unwrap_or(u32::MAX), u32::try_from(column + 1).unwrap_or(u32::MAX))
    }
}

/// Whether a line ends with this byte: at LF, CRLF or a lone CR.
fn ends_line(bytes: &[u8], at: usize) -> bool {
    match bytes.get(at) {
        Some(b'\n') => true,
        Some(b'\r') => bytes.get(at + 1) != Some(&b'\n'),
        _ => false,
    }
}

/// All texts of one run, in the order they were read.
#[derive(Debug, Default)]
pub struct Sources(Vec<Source>);

impl Sources {
    /// Adds a text.
    pub fn add(&mut self, source: Source) -> SourceId {
        self.0.push(source);
        SourceId(u32::try_from(self.0.len() - 1).unwrap_or(u32::MAX))
    }

    /// The text of that number; an unknown number gives an empty one.
    #[must_use]
    pub fn get(&self, id: SourceId) -> &Source {
        static NOTHING: Source = Source { name: String::new(), text: String::new(), lines: OnceLock::new() };
        self.0.get(id.0 as usize).unwrap_or(&NOTHING)
    }

    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The words at a place.
    #[must_use]
    pub fn text(&self, span: Span) -> &str {
        self.get(span.source).text.get(span.start as usize..span.end as usize).unwrap_or("")
    }
}

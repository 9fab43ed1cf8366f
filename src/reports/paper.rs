//! The neutral paper: headings, text, boxes to tick, blanks to write on, and tables.

use std::{
    fmt::{self, Write as _},
    ops::{Add, AddAssign, Range},
};

use super::Table;

/// A report ready to be printed. `'w` is the life of the works its tables read their rows from.
pub struct Paper<'w> {
    /// The title, printed as the first heading.
    pub title: Words,
    /// A word stamped above the title, such as DRAFT.
    pub stamp: Option<Words>,
    /// What follows the title, in order.
    pub parts: Vec<Part<'w>>,
}

impl<'w> Paper<'w> {
    /// A paper with a title and nothing on it yet.
    #[must_use]
    pub fn new(title: impl Into<Words>) -> Paper<'w> {
        Paper { title: title.into(), stamp: None, parts: Vec::new() }
    }

    /// Adds a part at the end.
    pub fn push(&mut self, part: Part<'w>) {
        self.parts.push(part);
    }

    /// The tables, in order.
    pub fn tables(&self) -> impl Iterator<Item = &Table<'w>> {
        self.parts.iter().filter_map(|part| match part {
            Part::Table(table) => Some(table),
            _ => None,
        })
    }

    /// The first table of that name.
    #[must_use]
    pub fn table(&self, name: &str) -> Option<&Table<'w>> {
        self.tables().find(|table| table.name == name)
    }
}

/// One part of a paper.
pub enum Part<'w> {
    /// A heading; level 1 is the title's, 2 a section's, and so on to 6. Levels outside 1 to 6 print as the nearest.
    Heading(u8, Words),
    /// A paragraph.
    Text(Words),
    /// A bulleted list.
    Bullets(Vec<Words>),
    /// Findings, numbered; printers of text show them as bullets.
    Findings(Vec<FindingLine>),
    /// Boxes to tick with a pencil.
    Boxes(Vec<BoxLine>),
    /// Pairs of label and value, such as the figures on a card; labels carry no colon.
    Facts(Vec<(Words, Words)>),
    /// A line to write on, after its label; the label carries no colon.
    Blank(Words),
    /// A table.
    Table(Table<'w>),
    /// A warning, set off from the text around it; it carries no word "caution" of its own.
    Caution(Words),
    /// Text kept as it is, line by line, such as a quoted stretch of the job file.
    Code(String),
    /// A picture; printers of text leave it out.
    Picture(Picture),
}

/// A picture, drawn already.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Picture {
    /// What it is.
    pub title: String,
    /// It as SVG, to stand inside a page.
    pub svg: String,
    /// What can be linked to in it.
    pub ids: Vec<String>,
    /// It wants a sheet on its side.
    pub lying: bool,
    /// How high it may be on paper, in whole millimetres: as high as its sheet.
    pub most: u32,
}

/// A finding in one line.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct FindingLine {
    /// Its number on this paper: what its flag in a drawing shows.
    pub number: usize,
    /// What it says.
    pub words: Words,
    /// The id of what it speaks of in a drawing, and the title of that.
    pub drawn: Option<(String, String)>,
}

/// A box to tick, and what stands under it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct BoxLine {
    /// What is ticked.
    pub words: Words,
    /// It is done: ticked as it is printed.
    pub done: bool,
    /// Lines of detail under it.
    pub details: Vec<Words>,
    /// Labels of blanks to write on, all on one line under the details; labels carry no colon.
    pub blanks: Vec<Words>,
}

impl BoxLine {
    /// A box with nothing under it.
    #[must_use]
    pub fn new(words: impl Into<Words>) -> BoxLine {
        BoxLine { words: words.into(), ..BoxLine::default() }
    }

    /// Ticked, where it is done.
    #[must_use]
    pub fn ticked(self, done: bool) -> BoxLine {
        BoxLine { done, ..self }
    }

    /// With one more line of detail.
    #[must_use]
    pub fn detail(mut self, words: impl Into<Words>) -> BoxLine {
        self.details.push(words.into());
        self
    }

    /// With one more blank to write on.
    #[must_use]
    pub fn blank(mut self, label: impl Into<Words>) -> BoxLine {
        self.blanks.push(label.into());
        self
    }
}

/// Text of plain and strong runs. All of it is a user's text to a printer: it is escaped, never read as markup, and
/// white space in it is worth one blank.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Words {
    text: String,
    /// Byte ranges of `text` that are strong: in order, not empty, not touching.
    strong: Vec<Range<usize>>,
}

impl Words {
    /// No words.
    #[must_use]
    pub const fn new() -> Words {
        Words { text: String::new(), strong: Vec::new() }
    }

    /// With plain text added.
    #[must_use]
    pub fn plain(mut self, text: impl fmt::Display) -> Words {
        self.put(text);
        self
    }

    /// With strong text added.
    #[must_use]
    pub fn strong(mut self, text: impl fmt::Display) -> Words {
        let start = self.text.len();
        self.put(text);
        self.mark(start..self.text.len());
        self
    }

    /// All of it strong.
    #[must_use]
    pub fn all_strong(mut self) -> Words {
        self.strong.clear();
        self.mark(0..self.text.len());
        self
    }

    /// Adds words at the end.
    pub fn push(&mut self, words: impl Into<Words>) {
        let words = words.into();
        let shift = self.text.len();
        self.text.push_str(&words.text);
        for range in words.strong {
            self.mark(range.start + shift..range.end + shift);
        }
    }

    /// The text without its emphasis.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Whether there is no text at all.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.text.is_empty()
    }

    /// The runs in order, none of them empty; `true` beside the strong ones.
    pub fn runs(&self) -> impl Iterator<Item = (&str, bool)> {
        // Weak and strong runs by turns, a weak one first and last.
        (0..=2 * self.strong.len())
            .filter_map(|nth| {
                let (before, here) = (nth.div_ceil(2).checked_sub(1), self.strong.get(nth / 2));
                let range = match here {
                    Some(range) if nth % 2 == 1 => range.clone(),
                    _ => {
                        let from = before.and_then(|before| self.strong.get(before)).map_or(0, |range| range.end);
                        from..here.map_or(self.text.len(), |range| range.start)
                    }
                };
                Some((self.text.get(range)?, nth % 2 == 1))
            })
            .filter(|(text, _)| !text.is_empty())
    }

    fn put(&mut self, text: impl fmt::Display) {
        // Writing to a String fails only when `text` itself does; what it wrote until then is kept.
        let _ = write!(self.text, "{text}");
    }

    fn mark(&mut self, range: Range<usize>) {
        match self.strong.last_mut() {
            _ if range.is_empty() => {}
            Some(last) if last.end == range.start => last.end = range.end,
            _ => self.strong.push(range),
        }
    }
}

impl From<&str> for Words {
    fn from(text: &str) -> Words {
        Words::from(text.to_owned())
    }
}

impl From<String> for Words {
    fn from(text: String) -> Words {
        Words { text, strong: Vec::new() }
    }
}

impl From<fmt::Arguments<'_>> for Words {
    fn from(text: fmt::Arguments<'_>) -> Words {
        Words::new().plain(text)
    }
}

impl<W: Into<Words>> Add<W> for Words {
    type Output = Words;
    fn add(mut self, more: W) -> Words {
        self.push(more);
        self
    }
}

impl<W: Into<Words>> AddAssign<W> for Words {
    fn add_assign(&mut self, more: W) {
        self.push(more);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_keep_their_runs_in_order() {
        let mut words = Words::from("Mix ").strong("4").strong(" bags") + " at a time";
        words.push(Words::new().strong("!"));
        let runs: Vec<_> = words.runs().collect();
        assert_eq!(runs, [("Mix ", false), ("4 bags", true), (" at a time", false), ("!", true)]);
        assert_eq!(words.text(), "Mix 4 bags at a time!");
        let all = words.all_strong();
        assert_eq!(all.runs().collect::<Vec<_>>(), [("Mix 4 bags at a time!", true)]);
        assert_eq!(Words::new().runs().count(), 0);
    }
}

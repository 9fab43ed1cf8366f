//! Markdown: CommonMark with the pipe tables forges read, laid out to be read as source too.

mod inline;
#[cfg(test)]
mod judge;
mod table;

use std::io::{self, Write};

use super::characters::{REPLACEMENT, lines, steers};
use crate::reports::{BoxLine, Paper, Part, Words};
use inline::{Place, inline};

/// A box to tick. CommonMark has no tick boxes, and a forge's cannot be ticked on paper.
const TICK: &str = "☐";
/// A box that is ticked.
const TICKED: &str = "☑";
/// A blank after a label on a line of its own.
const LONG_BLANK: &str = "________________________";
/// A blank that shares its line.
const SHORT_BLANK: &str = "____________";

/// Prints a paper as Markdown.
///
/// All text is escaped: white space is worth one blank, control characters and those that turn the direction of text
/// become U+FFFD, and no text becomes a link, an image or HTML. Blanks to fill in are lines of `_`, boxes to tick are ☐, ticked ones ☑.
/// A paragraph or list item without words is left out.
/// Facts are a list of label and value. Tables of up to 200 rows are padded to straight columns, larger ones are not.
///
/// # Errors
/// The first error of `out`.
pub fn markdown(paper: &Paper, out: &mut dyn Write) -> io::Result<()> {
    let mut page = Page { out, line: String::new(), started: false, dash: false };
    if let Some(stamp) = &paper.stamp {
        page.paragraph("", &stamp.clone().all_strong())?;
    }
    page.heading(1, &paper.title)?;
    for part in &paper.parts {
        page.part(part)?;
    }
    Ok(())
}

/// A page being written.
struct Page<'o> {
    out: &'o mut dyn Write,
    /// The line in the making.
    line: String,
    started: bool,
    /// Whether the last block was a list of `-`.
    dash: bool,
}

impl Page<'_> {
    fn part(&mut self, part: &Part) -> io::Result<()> {
        match part {
            Part::Heading(level, words) => self.heading(*level, words),
            Part::Text(words) => self.paragraph("", words),
            Part::Caution(words) => self.paragraph("> ", &(Words::new().strong("Caution:") + " " + words.clone())),
            Part::Blank(label) => {
                self.block()?;
                self.blank(label, LONG_BLANK);
                self.end()
            }
            Part::Findings(items) => {
                let lines: Vec<Words> = items.iter().map(|one| one.words.clone()).collect();
                self.list(&lines, |page, bullet, words| page.item(bullet, words))
            }
            Part::Bullets(items) => self.list(items, |page, bullet, words| page.item(bullet, words)),
            Part::Facts(facts) => self.list(facts, |page, bullet, (label, value)| {
                let label = (label.clone() + ":").all_strong();
                page.item(bullet, &(label + " " + value.clone()))
            }),
            Part::Boxes(boxes) => self.list(boxes, Page::tick),
            Part::Table(table) => {
                if let Some(caption) = &table.caption {
                    self.paragraph("", &caption.clone().all_strong())?;
                }
                self.block()?;
                table::table(table, self.out)
            }
            Part::Code(text) => self.code(text),
            Part::Picture(_) => Ok(()),
        }
    }

    /// Parts blocks by an empty line.
    fn block(&mut self) -> io::Result<()> {
        if self.started {
            self.out.write_all(b"\n")?;
        }
        self.started = true;
        self.dash = false;
        Ok(())
    }

    /// Writes the line made.
    fn end(&mut self) -> io::Result<()> {
        let kept = self.line.trim_end_matches(' ').len();
        self.line.truncate(kept);
        self.line.push('\n');
        self.out.write_all(self.line.as_bytes())?;
        self.line.clear();
        Ok(())
    }

    fn heading(&mut self, level: u8, words: &Words) -> io::Result<()> {
        self.block()?;
        for _ in 0..level.clamp(1, 6) {
            self.line.push('#');
        }
        self.line.push(' ');
        inline(words, Place::Heading, &mut self.line);
        self.end()
    }

    fn paragraph(&mut self, lead: &str, words: &Words) -> io::Result<()> {
        self.line.push_str(lead);
        inline(words, Place::Block, &mut self.line);
        if self.line.len() == lead.len() {
            self.line.clear();
            return Ok(());
        }
        self.block()?;
        self.end()
    }

    /// A list in a block of its own. Two lists in a row take different bullets, else they would be one.
    fn list<T>(&mut self, items: &[T], item: impl Fn(&mut Self, &str, &T) -> io::Result<()>) -> io::Result<()> {
        if items.is_empty() {
            return Ok(());
        }
        let dash = !self.dash;
        self.block()?;
        self.dash = dash;
        items.iter().try_for_each(|each| item(self, if dash { "- " } else { "* " }, each))
    }

    /// One item of a list. Without words there is none: a lone `-` under a line of text would make that a heading.
    fn item(&mut self, bullet: &str, words: &Words) -> io::Result<()> {
        self.line.push_str(bullet);
        inline(words, Place::Block, &mut self.line);
        if self.line.len() == bullet.len() {
            self.line.clear();
            return Ok(());
        }
        self.end()
    }

    fn tick(&mut self, bullet: &str, line: &BoxLine) -> io::Result<()> {
        self.line.push_str(bullet);
        self.line.push_str(if line.done { TICKED } else { TICK });
        self.line.push(' ');
        inline(&line.words, Place::Within, &mut self.line);
        self.end()?;
        for detail in &line.details {
            self.item("  - ", detail)?;
        }
        if line.blanks.is_empty() {
            return Ok(());
        }
        self.line.push_str("  - ");
        for (nth, label) in line.blanks.iter().enumerate() {
            if nth > 0 {
                self.line.push(' ');
            }
            self.blank(label, SHORT_BLANK);
        }
        self.end()
    }

    /// A label and a blank. The blank stands between white space, where `_` is no emphasis; alone on its line it would
    /// be a rule, so there its first `_` is escaped.
    fn blank(&mut self, label: &Words, blank: &str) {
        let start = self.line.len();
        inline(label, Place::Block, &mut self.line);
        if self.line.len() > start {
            self.line.push_str(": ");
        } else {
            self.line.push('\\');
        }
        self.line.push_str(blank);
    }

    /// A fenced block, its fence longer than any run of backticks in the text.
    fn code(&mut self, text: &str) -> io::Result<()> {
        self.block()?;
        let longest = text.split(|character| character != '`').map(str::len).max().unwrap_or_default();
        let fence = "`".repeat(longest.saturating_add(1).max(3));
        writeln!(self.out, "{fence}text")?;
        for line in lines(text) {
            self.line.extend(line.chars().map(|c| if c != '\t' && steers(c) { REPLACEMENT } else { c }));
            self.line.push('\n');
            self.out.write_all(self.line.as_bytes())?;
            self.line.clear();
        }
        writeln!(self.out, "{fence}")
    }
}

//! Plain text for a terminal of a given width.

mod table;
mod wrap;

use std::io::{self, Write};

use unicode_width::UnicodeWidthStr;

use super::characters::{collapsed, lines, steers, tidy};
use crate::reports::{BoxLine, Paper, Part, Words};
use wrap::wrap;

/// Narrowest and widest screen that is laid out for, in character cells; other widths print as the nearest.
const WIDTHS: (u16, u16) = (20, 1_000);
/// Widest paragraph, in character cells: longer lines are hard to read.
const PROSE: usize = 100;
/// Widest label that values are lined up after.
const LABEL: usize = 24;
/// A blank after a label on a line of its own.
const LONG_BLANK: &str = "________________________";
/// A blank that shares its line.
const SHORT_BLANK: &str = "____________";

/// Prints a paper for a terminal `width` character cells wide; with `colour`, stamp, headings and cautions are coloured.
///
/// White space in text is worth one blank. Control characters and those that turn the direction of text are shown as
/// their code, `\u{1b}`, so that no text can steer the terminal. Emphasis is not shown.
///
/// # Errors
/// The first error of `out`.
pub fn terminal(paper: &Paper, width: u16, colour: bool, out: &mut dyn Write) -> io::Result<()> {
    let width = usize::from(width.clamp(WIDTHS.0, WIDTHS.1));
    let mut screen = Screen { out, width, prose: width.min(PROSE), colour, started: false };
    if let Some(stamp) = &paper.stamp {
        screen.gap()?;
        screen.coloured(Ink::Stamp, "", "", &shown(stamp))?;
    }
    screen.heading(1, &paper.title)?;
    for part in &paper.parts {
        screen.part(part)?;
    }
    Ok(())
}

/// What is coloured, and how.
#[derive(Clone, Copy)]
enum Ink {
    Stamp,
    Heading,
    Caution,
}

impl Ink {
    /// The parameters of "select graphic rendition" (ECMA-48, 8.3.117).
    fn sgr(self) -> &'static str {
        match self {
            Ink::Stamp => "1;7",
            Ink::Heading => "1",
            Ink::Caution => "1;33",
        }
    }
}

/// A screen being written.
struct Screen<'o> {
    out: &'o mut dyn Write,
    width: usize,
    prose: usize,
    colour: bool,
    started: bool,
}

impl Screen<'_> {
    fn part(&mut self, part: &Part) -> io::Result<()> {
        self.gap()?;
        match part {
            Part::Heading(level, words) => self.headline(*level, words),
            Part::Text(words) => self.hung("", "", &shown(words)),
            Part::Caution(words) => {
                let text = format!("Caution: {}", shown(words));
                self.coloured(Ink::Caution, "! ", "! ", &text)
            }
            Part::Blank(label) => self.hung("", "", &blank(label, LONG_BLANK)),
            Part::Findings(items) => items.iter().try_for_each(|one| self.hung("- ", "  ", &shown(&one.words))),
            Part::Bullets(items) => items.iter().try_for_each(|words| self.hung("- ", "  ", &shown(words))),
            Part::Boxes(boxes) => boxes.iter().try_for_each(|line| self.tick(line)),
            Part::Facts(facts) => self.facts(facts),
            Part::Code(text) => self.code(text),
            Part::Picture(_) => Ok(()),
            Part::Table(table) => {
                if let Some(caption) = &table.caption {
                    self.hung("", "", &shown(caption))?;
                }
                table::table(table, self.width, self.out)
            }
        }
    }

    /// Parts what follows from what stands above by an empty line.
    fn gap(&mut self) -> io::Result<()> {
        if self.started {
            self.out.write_all(b"\n")?;
        }
        self.started = true;
        Ok(())
    }

    fn heading(&mut self, level: u8, words: &Words) -> io::Result<()> {
        self.gap()?;
        self.headline(level, words)
    }

    /// A heading; those of the first two levels are underlined.
    fn headline(&mut self, level: u8, words: &Words) -> io::Result<()> {
        let text = shown(words);
        self.coloured(Ink::Heading, "", "", &text)?;
        let line = match level {
            0 | 1 => "═",
            2 => "─",
            _ => return Ok(()),
        };
        let width = wrap(&text, self.prose).map(UnicodeWidthStr::width).max().unwrap_or_default();
        writeln!(self.out, "{}", line.repeat(width))
    }

    /// Wrapped text, its first line after `first` and the others after `rest`, which is as wide.
    fn hung(&mut self, first: &str, rest: &str, text: &str) -> io::Result<()> {
        let room = self.prose.saturating_sub(first.width());
        for (nth, line) in wrap(text, room).enumerate() {
            let lead = if nth == 0 { first } else { rest };
            writeln!(self.out, "{}", format!("{lead}{line}").trim_end())?;
        }
        Ok(())
    }

    /// The same, coloured line by line where colour is wanted.
    fn coloured(&mut self, ink: Ink, first: &str, rest: &str, text: &str) -> io::Result<()> {
        if !self.colour {
            return self.hung(first, rest, text);
        }
        let room = self.prose.saturating_sub(first.width());
        for (nth, line) in wrap(text, room).enumerate() {
            let lead = if nth == 0 { first } else { rest };
            writeln!(self.out, "\x1b[{}m{lead}{line}\x1b[0m", ink.sgr())?;
        }
        Ok(())
    }

    fn tick(&mut self, line: &BoxLine) -> io::Result<()> {
        self.hung(if line.done { "☑ " } else { "☐ " }, "  ", &shown(&line.words))?;
        for detail in &line.details {
            self.hung("  - ", "    ", &shown(detail))?;
        }
        if line.blanks.is_empty() {
            return Ok(());
        }
        let blanks: Vec<String> = line.blanks.iter().map(|label| blank(label, SHORT_BLANK)).collect();
        let joined = blanks.join("  ");
        if joined.width() + 4 <= self.prose {
            return self.hung("  - ", "    ", &joined);
        }
        blanks.iter().try_for_each(|blank| self.hung("  - ", "    ", blank))
    }

    /// Labels in one column, values in another; after a label too wide for its column the value starts two blanks on.
    fn facts(&mut self, facts: &[(Words, Words)]) -> io::Result<()> {
        let most = LABEL.min(self.prose / 2);
        let labels: Vec<String> = facts.iter().map(|(label, _)| shown(label) + ":").collect();
        let column = labels.iter().map(|label| label.width()).filter(|width| *width <= most).max().unwrap_or_default();
        let rest = " ".repeat(column + 2);
        for (label, (_, value)) in labels.iter().zip(facts) {
            let value = shown(value);
            if label.width() <= column {
                let first = format!("{label}{}", " ".repeat(column + 2 - label.width()));
                self.hung(&first, &rest, &value)?;
            } else {
                self.hung("", "", label)?;
                self.hung(&rest, &rest, &value)?;
            }
        }
        Ok(())
    }

    fn code(&mut self, text: &str) -> io::Result<()> {
        for line in lines(text) {
            let mut kept = String::from("    ");
            for character in line.chars() {
                match character {
                    '\t' => kept.push_str("    "),
                    _ => put(character, &mut kept),
                }
            }
            writeln!(self.out, "{}", kept.trim_end())?;
        }
        Ok(())
    }
}

/// A label and a blank to write on.
fn blank(label: &Words, blank: &str) -> String {
    let label = shown(label);
    if label.is_empty() { blank.to_owned() } else { format!("{label}: {blank}") }
}

/// Words as they stand on the screen.
fn shown(words: &Words) -> String {
    let mut text = String::with_capacity(words.text().len());
    visible(words.text(), &mut text);
    text
}

/// Appends a text with nothing in it that steers the screen.
fn visible(text: &str, out: &mut String) {
    if tidy(text) {
        return out.push_str(text);
    }
    for character in collapsed(text) {
        put(character, out);
    }
}

fn put(character: char, out: &mut String) {
    if steers(character) {
        out.extend(character.escape_unicode());
    } else {
        out.push(character);
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::reports::{Column, Row, Rows, Table, Weight, print::sample::sample};

    fn print(paper: &Paper, width: u16, colour: bool) -> String {
        let mut out = Vec::new();
        terminal(paper, width, colour, &mut out).unwrap();
        String::from_utf8(out).unwrap()
    }

    fn snapshot(name: &str, text: &str) {
        insta::with_settings!({ prepend_module_to_snapshot => false, snapshot_path => "../snapshots" }, {
            insta::assert_snapshot!(name, text);
        });
    }

    #[test]
    fn a_page() {
        snapshot("sample.terminal-80", &print(&sample(), 80, false));
    }

    #[test]
    fn a_narrow_page() {
        snapshot("sample.terminal-40", &print(&sample(), 40, false));
    }

    #[test]
    fn colour_adds_nothing_but_colour() {
        let mut text = print(&sample(), 80, true);
        assert!(text.starts_with("\x1b[1;7mDRAFT\x1b[0m\n"));
        for sgr in ["\x1b[1;7m", "\x1b[1m", "\x1b[1;33m", "\x1b[0m"] {
            assert!(text.contains(sgr), "{sgr:?}");
            text = text.replace(sgr, "");
        }
        assert_eq!(text, print(&sample(), 80, false));
    }

    #[test]
    fn many_rows_look_like_few() {
        let table = |rows: i64| {
            let rows = Rows::formula(move |lines| {
                (0..rows).try_for_each(|n| lines.item(|row| _ = row.count(n).text("the same words in each row").tick()))
            });
            let columns = vec![Column::count("n", "No."), Column::text("words", "Words"), Column::mark("done", "Done")];
            let mut paper = Paper::new("Rows");
            paper.push(Part::Table(Table::new("rows", columns, rows)));
            paper
        };
        let most = i64::try_from(table::KEPT_ROWS).unwrap();
        let (few, many) = (print(&table(most), 80, false), print(&table(most + 1), 80, false));
        let more = many.strip_prefix(&few);
        assert_eq!(more, Some("2000  the same words in each row    ☐\n"), "{few:.400}\n{many:.400}");
        let narrow = print(&table(most + 1), 20, false);
        assert!(narrow.lines().all(|line| line.width() <= 20));
        let last: Vec<_> = narrow.lines().skip_while(|line| !line.starts_with("2000")).collect();
        assert_eq!(last, ["2000  the same    ☐", "      words in", "      each row"]);
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn no_text_steers_the_screen(
            text in any::<String>(),
            sharp in "[\u{1b}\u{9b}\r\n\t\u{7}\u{8}\u{7f}\u{202e}\u{2066}\\]0;a中 -]{0,40}",
            width in prop_oneof![Just(0), Just(1), Just(10_000), any::<u16>()],
            many in prop::bool::weighted(0.1),
        ) {
            let mut paper = Paper::new(text.as_str());
            paper.stamp = Some(sharp.as_str().into());
            let words = || Words::from(sharp.as_str()).strong(&text);
            paper.push(Part::Heading(2, words()));
            paper.push(Part::Text(words()));
            paper.push(Part::Caution(words()));
            paper.push(Part::Bullets(vec![words()]));
            paper.push(Part::Boxes(vec![BoxLine::new(words()).detail(words()).blank(words())]));
            paper.push(Part::Facts(vec![(words(), words()), ("a".into(), words())]));
            paper.push(Part::Code(sharp.clone()));
            paper.push(Part::Blank(words()));
            let rows = Rows::formula(|lines| {
                for _ in 0..if many { table::KEPT_ROWS + 1 } else { 2 } {
                    lines.item(|row| _ = row.text(&sharp).figure(&text, 1.0).tick())?;
                }
                Ok(())
            });
            let columns = vec![
                Column::text("a", &text), Column::figure("b", &sharp, "in"), Column::mark("c", "C"),
            ];
            paper.push(Part::Table(Table::new("t", columns, rows).caption(words())));
            let page = print(&paper, width, false);
            prop_assert!(!page.chars().any(|c| c != '\n' && steers(c)), "{page:?}");
            let most = usize::from(width.clamp(WIDTHS.0, WIDTHS.1));
            let mut quoted = page.lines().filter(|line| !line.starts_with("    "));
            prop_assert!(quoted.all(|line| line.width() <= most), "{most}\n{page}");
        }
    }

    #[test]
    fn a_table_without_columns_or_rows_prints() {
        let mut paper = Paper::new("Empty");
        paper.push(Part::Table(Table::new("none", Vec::new(), vec![Row::new(Weight::Item, |row| _ = row.tick())])));
        paper.push(Part::Table(Table::new("heads", vec![Column::text("a", "A")], Vec::new())));
        assert_eq!(print(&paper, 80, false), "Empty\n═════\n\n\nA\n─\n");
    }
}

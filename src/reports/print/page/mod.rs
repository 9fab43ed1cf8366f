//! A page of HTML that stands alone: no network, and no script needed to read it. The script it has remembers which boxes are
//! ticked, on that device alone.

mod look;
#[cfg(test)]
mod tests;

use std::{
    collections::{BTreeMap, BTreeSet},
    io::{self, Write},
};

use super::characters::{REPLACEMENT, collapsed, lines, steers};
use crate::{
    drawings::ids,
    reports::{Align, BoxLine, Cell, Column, Paper, Part, Picture, Table, Weight, Words, words::fingerprint},
    units::unit,
};

/// What a page is to do besides being read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Live {
    /// It is a file.
    #[default]
    No,
    /// It is served, and loads itself anew when the job changes.
    Reloads,
}

/// Prints a paper as a page. `style` is what its pictures want of the stylesheet.
///
/// All text is escaped; characters that steer a screen become U+FFFD. Headings of level 2, and of level 1 as such, make its contents. Heads of tables are
/// repeated on every printed page, rows, boxes and pictures are not cut.
///
/// # Errors
/// The first error of `out`.
pub fn page(paper: &Paper, style: &str, live: Live, out: &mut dyn Write) -> io::Result<()> {
    let pictures = paper.parts.iter().filter_map(|part| match part {
        Part::Picture(picture) => Some(&picture.ids),
        _ => None,
    });
    let mut page = Page {
        out,
        boxes: Vec::new(),
        labels: BTreeMap::new(),
        under: String::new(),
        heads: 0,
        drawn: pictures.flatten().map(String::as_str).collect(),
        lines: BTreeSet::new(),
    };
    page.head(paper, style, live)?;
    page.contents(paper)?;
    page.write("<main>\n")?;
    let mut open = false;
    for part in &paper.parts {
        if let Part::Heading(..=2, _) = part {
            if open {
                page.write("</section>\n")?;
            }
            open = true;
            page.heads += 1;
            page.write(&format!("<section aria-labelledby=\"part-{}\">\n", page.heads))?;
        }
        page.part(part)?;
    }
    if open {
        page.write("</section>\n")?;
    }
    page.write("</main>\n<script>\n")?;
    page.write(look::TICKS)?;
    if live == Live::Reloads {
        page.write(look::RELOAD)?;
    }
    page.write("</script>\n</body>\n</html>\n")
}

struct Page<'o, 'p> {
    out: &'o mut dyn Write,
    /// Ids of boxes so far: their words, and how often these came.
    boxes: Vec<(u64, u32)>,
    /// Labels of regions so far, and how often each came: no two may be alike.
    labels: BTreeMap<String, u32>,
    /// The heading boxes stand under.
    under: String,
    /// Headings that make contents so far.
    heads: usize,
    /// What can be linked to in the pictures.
    drawn: BTreeSet<&'p str>,
    /// What lines of tables have told of so far.
    lines: BTreeSet<String>,
}

impl Page<'_, '_> {
    fn write(&mut self, text: &str) -> io::Result<()> {
        self.out.write_all(text.as_bytes())
    }

    fn head(&mut self, paper: &Paper, style: &str, live: Live) -> io::Result<()> {
        let title = escaped(paper.title.text());
        let name = format!("{:016x}", fingerprint(paper.title.text()));
        let connect = if live == Live::Reloads { " connect-src 'self';" } else { "" };
        self.write("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n")?;
        self.write("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n")?;
        self.write(&format!(
            "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none';{connect} style-src 'unsafe-inline'; script-src 'unsafe-inline'\">\n"
        ))?;
        self.write("<meta name=\"color-scheme\" content=\"light dark\">\n")?;
        self.write(&format!("<title>{title}</title>\n<style>\n"))?;
        self.write(look::STYLE)?;
        // The title at the foot of each printed page, its letters as CSS writes any.
        self.write(&format!("@page {{ @bottom-left {{ content: \"{}\"; }} }}\n", in_css(paper.title.text())))?;
        if let Some(stamp) = &paper.stamp {
            let stamp = in_css(stamp.text());
            self.write(&format!("@page {{ @top-right {{ content: \"{stamp}\"; font-weight: bold; }} }}\n"))?;
        }
        self.write(style)?;
        self.write(&format!("</style>\n</head>\n<body data-page=\"{name}\">\n<header>\n"))?;
        if let Some(stamp) = &paper.stamp {
            self.write("<p class=\"stamp\">")?;
            self.words(stamp)?;
            self.write("</p>\n")?;
        }
        self.write("<h1>")?;
        self.words(&paper.title)?;
        self.write("</h1>\n</header>\n")
    }

    fn contents(&mut self, paper: &Paper) -> io::Result<()> {
        let heads = || {
            paper.parts.iter().filter_map(|part| match part {
                Part::Heading(..=2, words) => Some(words),
                _ => None,
            })
        };
        if heads().count() < 3 {
            return Ok(());
        }
        // Folded: what to stop for comes first, on a telephone too.
        self.write("<nav aria-label=\"Contents\">\n<details>\n<summary>Contents</summary>\n<ol>\n")?;
        for (number, words) in (1..).zip(heads()) {
            self.write(&format!("<li><a href=\"#part-{number}\">"))?;
            self.words(words)?;
            self.write("</a></li>\n")?;
        }
        self.write("</ol>\n</details>\n</nav>\n")
    }

    fn part(&mut self, part: &Part) -> io::Result<()> {
        match part {
            Part::Heading(level, words) => self.heading(*level, words),
            Part::Text(words) => self.line("p", "", words),
            Part::Caution(words) => {
                self.write("<p class=\"caution\"><strong>Caution:</strong> ")?;
                self.words(words)?;
                self.write("</p>\n")
            }
            Part::Blank(label) => {
                self.write("<p class=\"fill\">")?;
                self.words(label)?;
                self.write(": <span class=\"blank long\"></span></p>\n")
            }
            Part::Bullets(items) => {
                self.write("<ul>\n")?;
                for words in items.iter().filter(|words| !words.is_empty()) {
                    self.line("li", "", words)?;
                }
                self.write("</ul>\n")
            }
            Part::Findings(findings) => {
                self.write("<ul class=\"findings\">\n")?;
                for one in findings {
                    self.write(&format!("<li id=\"{}\">", ids::finding(one.number)))?;
                    self.words(&one.words)?;
                    if let Some((to, title)) = &one.drawn {
                        let (to, title) = (escaped(to), escaped(title));
                        self.write(&format!(" <a class=\"flag\" href=\"#{to}\">!{} in {title}</a>", one.number))?;
                    }
                    self.write("</li>\n")?;
                }
                self.write("</ul>\n")
            }
            Part::Facts(facts) => {
                self.write("<dl>\n")?;
                for (label, value) in facts {
                    self.write("<div><dt>")?;
                    self.words(label)?;
                    self.write("</dt><dd>")?;
                    self.words(value)?;
                    self.write("</dd></div>\n")?;
                }
                self.write("</dl>\n")
            }
            Part::Boxes(boxes) => {
                self.write("<ul class=\"boxes\">\n")?;
                for line in boxes {
                    self.tick(line)?;
                }
                self.write("</ul>\n")
            }
            Part::Table(table) => self.table(table),
            Part::Code(text) => {
                self.write("<pre tabindex=\"0\">")?;
                for line in lines(text) {
                    let plain: String =
                        line.chars().map(|c| if steers(c) && c != '\t' { REPLACEMENT } else { c }).collect();
                    self.write(&html(&plain))?;
                    self.write("\n")?;
                }
                self.write("</pre>\n")
            }
            Part::Picture(picture) => self.picture(picture),
        }
    }

    fn heading(&mut self, level: u8, words: &Words) -> io::Result<()> {
        words.text().clone_into(&mut self.under);
        let level = level.clamp(2, 6);
        if level == 2 {
            self.write(&format!("<h2 id=\"part-{}\">", self.heads))?;
        } else {
            self.write(&format!("<h{level}>"))?;
        }
        self.words(words)?;
        self.write(&format!("</h{level}>\n"))
    }

    fn line(&mut self, tag: &str, class: &str, words: &Words) -> io::Result<()> {
        if words.is_empty() {
            return Ok(());
        }
        let class = if class.is_empty() { String::new() } else { format!(" class=\"{class}\"") };
        self.write(&format!("<{tag}{class}>"))?;
        self.words(words)?;
        self.write(&format!("</{tag}>\n"))
    }

    /// The id of a box: of its words and the heading it stands under, so that a tick stays with its line when others come and
    /// go.
    fn id(&mut self, words: &str) -> String {
        let name = fingerprint(&format!("{}\n{words}", self.under));
        let nth = match self.boxes.iter_mut().find(|(known, _)| *known == name) {
            Some((_, nth)) => {
                *nth += 1;
                *nth
            }
            None => {
                self.boxes.push((name, 1));
                1
            }
        };
        format!("box-{name:016x}-{nth}")
    }

    /// A label no other region of the page has.
    fn label(&mut self, words: &str) -> String {
        let nth = self.labels.entry(words.to_owned()).or_insert(0);
        *nth += 1;
        if *nth == 1 { words.to_owned() } else { format!("{words}, {nth}") }
    }

    fn tick(&mut self, line: &BoxLine) -> io::Result<()> {
        let id = self.id(line.words.text());
        // What is recorded is not for the hand to change.
        let done = if line.done { " checked disabled" } else { "" };
        self.write(&format!("<li><label for=\"{id}\"><input type=\"checkbox\" id=\"{id}\"{done}> <span>"))?;
        self.words(&line.words)?;
        self.write("</span></label>\n")?;
        if !line.details.is_empty() {
            self.write("<ul>\n")?;
            for detail in line.details.iter().filter(|detail| !detail.is_empty()) {
                self.line("li", "", detail)?;
            }
            self.write("</ul>\n")?;
        }
        if !line.blanks.is_empty() {
            self.write("<p class=\"fill\">")?;
            for label in &line.blanks {
                self.write("<span>")?;
                self.words(label)?;
                self.write(": <span class=\"blank\"></span></span> ")?;
            }
            self.write("</p>\n")?;
        }
        self.write("</li>\n")
    }

    fn table(&mut self, table: &Table) -> io::Result<()> {
        let label = table.caption.as_ref().map_or(table.name, Words::text);
        let label = self.label(&format!("Table: {label}"));
        // Wider than a telephone it is moved sideways by itself: a region that the keyboard reaches.
        self.write(&format!(
            "<div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\"{}\">\n<table>\n",
            escaped(&label)
        ))?;
        if let Some(caption) = &table.caption {
            self.line("caption", "", caption)?;
        }
        self.write("<thead>\n<tr>")?;
        for column in &table.columns {
            self.write(&format!("<th scope=\"col\"{}>{}</th>", align(column), escaped(&column.head)))?;
        }
        self.write("</tr>\n</thead>\n<tbody>\n")?;
        let columns = table.columns.len();
        table.rows.each(&mut |row| {
            let class = match row.weight() {
                Weight::Item => "",
                Weight::Subtotal => " class=\"subtotal\"",
                Weight::Total => " class=\"total\"",
            };
            // The first line that tells of a drawn thing can be linked to from there.
            let drawn = row.drawn().filter(|id| self.drawn.contains(id)).map(escaped);
            let id = drawn.as_ref().filter(|id| self.lines.insert((*id).clone()));
            let id = id.map_or_else(String::new, |id| format!(" id=\"{}\"", ids::line(id)));
            let mut text = format!("<tr{class}{id}>");
            let mut said = String::new();
            for (at, (cell, column)) in row.cells(columns).zip(&table.columns).enumerate() {
                let (tag, scope) = if at == 0 && !matches!(cell, Cell::Tick | Cell::Blank | Cell::Empty) {
                    ("th", " scope=\"row\"")
                } else {
                    ("td", "")
                };
                text.push_str(&format!("<{tag}{scope}{}>", align(column)));
                let link = drawn.as_ref().filter(|_| at == 0);
                if let Some(id) = link {
                    text.push_str(&format!("<a href=\"#{id}\">"));
                }
                match cell {
                    Cell::Text(shown) | Cell::Figure { shown, .. } => {
                        said.push_str(shown);
                        said.push(' ');
                        if is_day(shown) {
                            text.push_str(&whole(shown));
                        } else {
                            text.push_str(&measured(shown));
                        }
                    }
                    Cell::Link { shown, to } => {
                        said.push_str(shown);
                        said.push(' ');
                        text.push_str(&format!("<a href=\"./{}\">{}</a>", way(to), escaped(shown)));
                    }
                    Cell::Count(count) => {
                        said.push_str(&format!("{count} "));
                        text.push_str(&count.to_string());
                    }
                    Cell::Blank => text.push_str("<span class=\"blank\"></span>"),
                    Cell::Tick => {
                        let id = self.id(&format!("{} {said}{}", table.name, column.key));
                        let label = escaped(&format!("{}: {}", column.head, said.trim()));
                        text.push_str(&format!("<input type=\"checkbox\" id=\"{id}\" aria-label=\"{label}\">"));
                    }
                    Cell::Empty => {}
                }
                text.push_str(if link.is_some() { "</a>" } else { "" });
                text.push_str(&format!("</{tag}>"));
            }
            text.push_str("</tr>\n");
            self.write(&text)
        })?;
        self.write("</tbody>\n</table>\n</div>\n")
    }

    fn picture(&mut self, picture: &Picture) -> io::Result<()> {
        let class = if picture.lying { "drawing lying" } else { "drawing" };
        let label = self.label(&format!("Drawing: {}", picture.title));
        self.write(&format!(
            "<figure class=\"{class}\" style=\"--most:{}mm\">\n<div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\"{}\">\n",
            picture.most,
            escaped(&label)
        ))?;
        self.write(&picture.svg)?;
        self.write("\n</div>\n</figure>\n")
    }

    fn words(&mut self, words: &Words) -> io::Result<()> {
        for (run, strong) in words.runs() {
            let text = spaced(run);
            if strong {
                self.write(&format!("<strong>{text}</strong>"))?;
            } else {
                self.write(&text)?;
            }
        }
        Ok(())
    }
}

/// Whether a cell is a day and perhaps a time, `Mon 2027-05-03 16:30`: it is not broken at its hyphens.
fn is_day(text: &str) -> bool {
    text.len() <= 20 && text.contains("-") && text.chars().filter(char::is_ascii_digit).count() >= 8
}

/// A text that is not broken.
fn whole(text: &str) -> String {
    format!("<span class=\"whole\">{}</span>", escaped(text))
}

/// A text with what is measured in it whole: `13'-4 1/4"` is not broken at its hyphen or before its fraction, nor `2720 mm`
/// before its unit.
fn measured(text: &str) -> String {
    let words: Vec<String> = collapsed(text).collect::<String>().split(' ').map(str::to_owned).collect();
    let mut out = String::new();
    let mut at = 0;
    while let Some(first) = words.get(at) {
        let mut end = at + 1;
        while let (Some(before), Some(next)) = (words.get(end - 1), words.get(end))
            && goes_on(before, next)
        {
            end += 1;
        }
        out.push_str(if at == 0 { "" } else { " " });
        if end > at + 1 || first.contains("'-") {
            out.push_str(&whole(&words.get(at..end).unwrap_or_default().join(" ")));
        } else {
            out.push_str(&escaped(first));
        }
        at = end;
    }
    out
}

/// Whether a word goes on what the one before it measures: with its fraction, or its unit.
fn goes_on(before: &str, next: &str) -> bool {
    let is_figures = |text: &str| text.ends_with(|c: char| c.is_ascii_digit());
    let is_number = is_figures(before) && before.starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '(');
    let next = next.trim_end_matches(['"', '\'', ',', ';', '.', ':', ')']);
    let is_fraction = next.split_once('/').is_some_and(|(over, under)| {
        [over, under].iter().all(|part| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit()))
    });
    is_number && (is_fraction || unit(next).is_some())
}

fn align(column: &Column) -> &'static str {
    match column.align {
        Align::Left => "",
        Align::Right => " class=\"right\"",
        Align::Centre => " class=\"centre\"",
    }
}

/// A text with white space worth one blank, nothing that steers, and no markup.
fn escaped(text: &str) -> String {
    let plain: String = collapsed(text).map(|c| if steers(c) { REPLACEMENT } else { c }).collect();
    html(&plain)
}

/// A run of words: as [`escaped`], and a blank at either end is kept.
fn spaced(text: &str) -> String {
    let blank = |c: Option<char>| if c.is_some_and(char::is_whitespace) { " " } else { "" };
    let inner = escaped(text);
    if inner.is_empty() {
        return blank(text.chars().next()).to_owned();
    }
    format!("{}{inner}{}", blank(text.chars().next()), blank(text.chars().next_back()))
}

fn html(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            letter => out.push(letter),
        }
    }
    out
}

/// A way to another file as a relative address: RFC 3986, what is not unreserved by its bytes.
fn way(to: &str) -> String {
    let mut out = String::new();
    for byte in to.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' | b'/' => out.push(char::from(byte)),
            byte => out.push_str(&format!("%{byte:02X}")),
        }
    }
    out
}

/// A text inside a CSS string: every letter that is not plain by its number.
fn in_css(text: &str) -> String {
    let mut out = String::new();
    for letter in collapsed(text).take(80) {
        match letter {
            'a'..='z' | 'A'..='Z' | '0'..='9' | ' ' => out.push(letter),
            letter if steers(letter) => {}
            letter => out.push_str(&format!("\\{:x} ", u32::from(letter))),
        }
    }
    out
}

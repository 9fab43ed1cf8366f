//! A finding as a person sees it: the headline, the lines it concerns with the places marked, the help.

use std::{
    fmt::{self, Write as _},
    sync::OnceLock,
};

use miette::{
    GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError, Severity, SourceCode, SourceSpan, SpanContents,
};
use textwrap::{WordSeparator, WordSplitter};

use super::{Label, Level, Problem};
use crate::{
    source::{Source, SourceId, Sources, Span},
    units::System,
};

/// How findings are drawn.
#[derive(Debug, Clone, Copy)]
pub struct View {
    /// With colour.
    pub colour: bool,
    /// Columns to a line.
    pub width: usize,
    /// Units of lengths in them.
    pub system: System,
}

/// A line longer than this is shown as a window around the place.
const LINE_WINDOW: usize = 160;

/// Draws findings over a set of texts.
#[derive(Debug)]
pub struct Viewer<'s> {
    sources: &'s Sources,
    view: View,
    /// What is shown of each text: made harmless once, where it has anything that steers a terminal.
    harmless: Vec<OnceLock<Option<String>>>,
}

impl<'s> Viewer<'s> {
    /// A viewer of findings in these texts.
    #[must_use]
    pub fn new(sources: &'s Sources, view: View) -> Viewer<'s> {
        Viewer { sources, view, harmless: (0..sources.len()).map(|_| OnceLock::new()).collect() }
    }

    /// Draws one finding.
    #[must_use]
    pub fn render(&self, problem: &Problem) -> String {
        let theme = if self.view.colour { GraphicalTheme::unicode() } else { GraphicalTheme::unicode_nocolor() };
        let handler = GraphicalReportHandler::new_themed(theme)
            .with_width(self.view.width)
            .with_links(false)
            .with_context_lines(0)
            // A name is not broken at its hyphen: `ply-3/4` is to be copied as it stands.
            .with_word_separator(WordSeparator::AsciiSpace)
            .with_word_splitter(WordSplitter::NoHyphenation);
        let report = Report::new(problem, self);
        let mut out = String::new();
        if handler.render_report(&mut out, &report).is_err() {
            // The graphical view cannot fail on clamped places; were it to, the words still come.
            let _ = writeln!(out, "{}: {}", problem.rule.level.word(), report.says);
        }
        // Each as part of the finding: drawn with it, the library would put a level of its own before them.
        for elsewhere in &report.related {
            let _ = handler.render_report(&mut out, elsewhere);
        }
        out
    }

    fn excerpt(&self, id: SourceId) -> Excerpt<'_> {
        let source = self.sources.get(id);
        let shown = self
            .harmless
            .get(id.0 as usize)
            .and_then(|cell| cell.get_or_init(|| must_change(&source.text).then(|| harmless(&source.text))).as_deref());
        Excerpt { source, text: shown.unwrap_or(&source.text) }
    }
}

/// Whether a character is not shown as itself: it could steer the terminal or turn the reading order round.
pub(super) fn hidden(letter: char) -> bool {
    letter.is_control()
        || matches!(u32::from(letter), 0x200b..=0x200f | 0x202a..=0x202e | 0x2060..=0x2069 | 0x061c | 0xfeff)
}

/// Whether a character of a text is replaced where the text is shown.
fn steers(letter: char) -> bool {
    hidden(letter) && !matches!(letter, '\t' | '\n' | '\r')
}

/// Whether a text is not shown as it is.
fn must_change(text: &str) -> bool {
    let bytes = text.as_bytes();
    let lone = |at: usize| bytes[at] == b'\r' && bytes.get(at + 1) != Some(&b'\n');
    text.chars().any(steers) || (0..bytes.len()).any(lone)
}

struct Report<'p> {
    problem: &'p Problem,
    says: String,
    code: String,
    help: Option<String>,
    labels: Vec<LabeledSpan>,
    related: Vec<Elsewhere<'p>>,
    text: Option<Excerpt<'p>>,
}

impl<'p> Report<'p> {
    fn new(problem: &'p Problem, viewer: &'p Viewer<'p>) -> Report<'p> {
        let (sources, system) = (viewer.sources, viewer.view.system);
        let home = problem.span().map(|span| span.source);
        let mut says = problem.says(system);
        if let Some(place) = &problem.place {
            let _ = write!(says, "\n{place}");
        }
        let label = |label: &Label, source: &Source| {
            let words = problem.label_says(label, system);
            let (start, end) = clamp(source, label.span);
            let (words, first) = ((!words.is_empty()).then_some(words), label == &problem.labels[0]);
            if first {
                LabeledSpan::new_primary_with_span(words, (start, end - start))
            } else {
                LabeledSpan::new(words, start, end - start)
            }
        };
        let mut labels = Vec::new();
        let mut drawn: Vec<Span> = Vec::new();
        let mut related: Vec<Elsewhere> = Vec::new();
        for one in &problem.labels {
            let source = sources.get(one.span.source);
            if Some(one.span.source) == home && !drawn.iter().any(|span| far_on(source, *span, one.span)) {
                labels.push(label(one, source));
                drawn.push(one.span);
            } else {
                related.push(Elsewhere {
                    says: format!("a further place of `{}` above", problem.rule.name),
                    label: label(one, source),
                    text: viewer.excerpt(one.span.source),
                });
            }
        }
        Report {
            problem,
            says,
            code: problem.rule.name.to_owned(),
            help: problem.helps(system),
            labels,
            related,
            text: home.map(|home| viewer.excerpt(home)),
        }
    }
}

/// Whether two places are far apart, yet on one line or on lines that nearly touch: drawn together they would bring all
/// that lies between them.
fn far_on(source: &Source, one: Span, other: Span) -> bool {
    let (from, to) = (one.start.min(other.start) as usize, one.start.max(other.start) as usize);
    let between = source.text.as_bytes().get(from..to.min(source.text.len())).unwrap_or(&[]);
    between.len() > 3 * LINE_WINDOW && between.iter().filter(|byte| matches!(byte, b'\n' | b'\r')).take(5).count() < 5
}

/// A place within its text and on the borders of characters.
fn clamp(source: &Source, span: Span) -> (usize, usize) {
    let text = &source.text;
    let mut start = (span.start as usize).min(text.len());
    while !text.is_char_boundary(start) {
        start -= 1;
    }
    let mut end = (span.end as usize).clamp(start, text.len());
    while !text.is_char_boundary(end) {
        end += 1;
    }
    // A place of many lines is shown by its first.
    if let Some(line) = text[start..end].find(['\n', '\r']) {
        end = start + line;
    }
    // And no further than the window.
    if end - start > LINE_WINDOW / 2 {
        end = start + LINE_WINDOW / 2;
        while !text.is_char_boundary(end) {
            end -= 1;
        }
    }
    // What is missing at the very end is shown under the last letter: there is no line end to point at.
    if start == end
        && end == text.len()
        && let Some(last) = text.chars().next_back().filter(|last| !matches!(last, '\n' | '\r'))
    {
        start -= last.len_utf8();
    }
    (start, end)
}

impl fmt::Debug for Report<'_> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.says)
    }
}

impl fmt::Display for Report<'_> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.says)
    }
}

impl std::error::Error for Report<'_> {}

impl miette::Diagnostic for Report<'_> {
    fn code<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Some(Box::new(format!("{}: {}", self.problem.rule.level.word(), self.code)))
    }

    fn severity(&self) -> Option<Severity> {
        Some(match self.problem.rule.level {
            Level::Error => Severity::Error,
            Level::Warning => Severity::Warning,
            Level::Advice => Severity::Advice,
        })
    }

    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        self.help.as_ref().map(|help| Box::new(help) as Box<dyn fmt::Display>)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.text.as_ref().map(|text| text as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(self.labels.iter().cloned()))
    }
}

/// A place in another file, or far on in the same line, that belongs to the finding.
struct Elsewhere<'p> {
    says: String,
    label: LabeledSpan,
    text: Excerpt<'p>,
}

impl fmt::Debug for Elsewhere<'_> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.says)
    }
}

impl fmt::Display for Elsewhere<'_> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.says)
    }
}

impl std::error::Error for Elsewhere<'_> {}

impl miette::Diagnostic for Elsewhere<'_> {
    fn severity(&self) -> Option<Severity> {
        Some(Severity::Advice)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(&self.text)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(std::iter::once(self.label.clone())))
    }
}

/// The lines of a text around a place, what steers a terminal made harmless, long lines cut to a window.
struct Excerpt<'p> {
    source: &'p Source,
    /// Its text as shown, byte for byte as long.
    text: &'p str,
}

impl SourceCode for Excerpt<'_> {
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        _before: usize,
        _after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let text = self.text;
        let bytes = text.as_bytes();
        let start = span.offset().min(text.len());
        let end = (span.offset() + span.len()).min(text.len());
        let is_end = |byte: &u8| *byte == b'\n' || *byte == b'\r';
        let mut from = bytes[..start].iter().rposition(is_end).map_or(0, |at| at + 1);
        let mut until = bytes[end..].iter().position(is_end).map_or(text.len(), |at| end + at);
        if start - from > LINE_WINDOW / 2 {
            from = start - LINE_WINDOW / 4;
            while !text.is_char_boundary(from) {
                from += 1;
            }
        }
        if until - end > LINE_WINDOW / 2 {
            until = end + LINE_WINDOW / 2;
            while !text.is_char_boundary(until) {
                until -= 1;
            }
        }
        // With the line end, so that a place just behind the last letter can be pointed at.
        if bytes[until..].starts_with(b"\r\n") {
            until += 2;
        } else if bytes[until..].starts_with(b"\n") {
            until += 1;
        }
        // The line of what is shown, the column of the place itself: that is what stands above the excerpt.
        let (line, _) = self.source.line_column(u32::try_from(from).unwrap_or(u32::MAX));
        let (_, column) = self.source.line_column(u32::try_from(start).unwrap_or(u32::MAX));
        Ok(Box::new(Lines {
            name: &self.source.name,
            data: &text[from..until],
            span: SourceSpan::new(from.into(), until - from),
            line: line.saturating_sub(1) as usize,
            column: column.saturating_sub(1) as usize,
        }))
    }
}

struct Lines<'a> {
    name: &'a str,
    data: &'a str,
    span: SourceSpan,
    line: usize,
    column: usize,
}

impl<'a> SpanContents<'a> for Lines<'a> {
    fn data(&self) -> &'a [u8] {
        self.data.as_bytes()
    }

    fn span(&self) -> &SourceSpan {
        &self.span
    }

    fn line(&self) -> usize {
        self.line
    }

    fn column(&self) -> usize {
        self.column
    }

    fn line_count(&self) -> usize {
        self.data.lines().count().max(1)
    }

    fn name(&self) -> Option<&str> {
        Some(self.name)
    }
}

/// The same text with whatever steers a terminal replaced by something of the same length, so that places stay true.
fn harmless(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut letters = text.chars().peekable();
    while let Some(letter) = letters.next() {
        if letter == '\r' && letters.peek() != Some(&'\n') {
            // A lone CR ends a line; on a terminal it would write over the line instead.
            out.push('\n');
            continue;
        }
        if !steers(letter) {
            out.push(letter);
            continue;
        }
        match letter.len_utf8() {
            1 => out.push('?'),
            2 => out.push('¿'),
            _ => out.push('\u{fffd}'),
        }
    }
    out
}

//! Findings as data: a rule of the catalogue, the places it concerns, the numbers, and where there is one a mend as a
//! text edit. A finding is put into words only when it is shown.

use std::fmt::{self, Write as _};

use crate::{
    source::Span,
    units::{Area, Length, System, Volume, show},
};

mod view;

pub use view::{View, Viewer};

/// How much a finding matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// It cannot be built, or not be computed, as written.
    Error,
    /// Against a published rule or a practice that matters here.
    Warning,
    /// Worth knowing.
    Advice,
}

impl Level {
    /// The word printed for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Level::Error => "error",
            Level::Warning => "warning",
            Level::Advice => "advice",
        }
    }
}

/// A row of the catalogue: what can be found, declared beside the code that finds it.
#[derive(Debug)]
pub struct Rule {
    /// A short phrase, such as `holes-meet`.
    pub name: &'static str,
    /// How much it matters.
    pub level: Level,
    /// One line for the catalogue.
    pub summary: &'static str,
    /// Its page: *What it finds / Why it matters / Example / Write instead / Source*.
    pub page: &'static str,
}

impl PartialEq for Rule {
    fn eq(&self, other: &Rule) -> bool {
        self.name == other.name
    }
}

/// Declares one rule, its page beside it in `pages/NAME.md`.
#[macro_export]
macro_rules! rule {
    ($(#[$about:meta])* $id:ident, $name:literal, $level:ident, $summary:literal) => {
        $(#[$about])*
        #[doc = $summary]
        pub static $id: $crate::problem::Rule = $crate::problem::Rule {
            name: $name,
            level: $crate::problem::Level::$level,
            summary: $summary,
            page: include_str!(concat!("pages/", $name, ".md")),
        };
    };
}

/// A value inside a finding, typed until it is shown.
#[derive(Debug, Clone, PartialEq)]
pub enum Arg {
    /// Words of the user's, or a name: shown as they are.
    Text(String),
    /// Words of ours.
    Word(&'static str),
    /// A count.
    Count(i64),
    /// A length, shown in full precision in the job's units.
    Length(Length),
    /// An area.
    Area(Area),
    /// A volume.
    Volume(Volume),
    /// A plain number.
    Number(f64),
}

impl From<&str> for Arg {
    fn from(text: &str) -> Arg {
        Arg::Text(text.to_owned())
    }
}

impl From<String> for Arg {
    fn from(text: String) -> Arg {
        Arg::Text(text)
    }
}

impl From<Length> for Arg {
    fn from(length: Length) -> Arg {
        Arg::Length(length)
    }
}

impl From<Volume> for Arg {
    fn from(volume: Volume) -> Arg {
        Arg::Volume(volume)
    }
}

impl From<i64> for Arg {
    fn from(count: i64) -> Arg {
        Arg::Count(count)
    }
}

impl From<usize> for Arg {
    fn from(count: usize) -> Arg {
        Arg::Count(i64::try_from(count).unwrap_or(i64::MAX))
    }
}

/// A place with what is to be said of it; `{0}` stands for the first argument.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// Where.
    pub span: Span,
    /// What is said there.
    pub says: &'static str,
}

/// One of the many things a block makes: a hole or a bar, by its number in the block.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct One {
    /// The name of the block.
    pub block: String,
    /// The number.
    pub number: u64,
    /// Where on it, if it is about one place of it.
    pub spot: Option<Spot>,
}

/// A place on a leg.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spot {
    /// The leg, as "old.back", where it is another than the one the thing stands on or begins on.
    pub leg: Option<String>,
    /// Along the leg.
    pub station: Length,
    /// How high.
    pub height: Length,
}

/// A mend: what to put in the place of what stands there.
#[derive(Debug, Clone, PartialEq)]
pub struct Fix {
    /// What is replaced (empty: something is put in).
    pub span: Span,
    /// By what.
    pub text: String,
}

/// A finding.
#[derive(Debug, Clone)]
pub struct Problem {
    /// The rule it comes under.
    pub rule: &'static Rule,
    /// What is the case; `{0}`, `{1}` … stand for the arguments.
    pub headline: &'static str,
    /// What to type.
    pub help: Option<&'static str>,
    /// The values in headline, labels and help.
    pub args: Vec<Arg>,
    /// The places: the first is where the finding points.
    pub labels: Vec<Label>,
    /// The place on the job, as in "rises 3, at 7'-4\" on old.back".
    pub place: Option<String>,
    /// Which of the things of a block it is about, where it is not all of them.
    pub ones: Vec<One>,
    /// The section it is about, where its thing stands at many: forms do.
    pub part: Option<String>,
    /// It is about the ends of that section.
    pub at_ends: bool,
    /// The mend, where the arithmetic or the spelling allows one.
    pub fix: Option<Fix>,
    /// The name of the thing it is about, for `accept`.
    pub thing: Option<String>,
    /// The number an acceptance pins.
    pub measure: Option<Length>,
}

impl Problem {
    /// A finding of a rule at a place.
    #[must_use]
    pub fn new(rule: &'static Rule, span: Span, headline: &'static str) -> Problem {
        Problem {
            rule,
            headline,
            help: None,
            args: Vec::new(),
            labels: vec![Label { span, says: "" }],
            place: None,
            ones: Vec::new(),
            part: None,
            at_ends: false,
            fix: None,
            thing: None,
            measure: None,
        }
    }

    /// With the next argument.
    #[must_use]
    pub fn arg(mut self, arg: impl Into<Arg>) -> Problem {
        self.args.push(arg.into());
        self
    }

    /// With words at the place it points to.
    #[must_use]
    pub fn here(mut self, says: &'static str) -> Problem {
        if let Some(label) = self.labels.first_mut() {
            label.says = says;
        }
        self
    }

    /// With a further place.
    #[must_use]
    pub fn label(mut self, span: Span, says: &'static str) -> Problem {
        self.labels.push(Label { span, says });
        self
    }

    /// With what to type.
    #[must_use]
    pub fn help(mut self, help: &'static str) -> Problem {
        self.help = Some(help);
        self
    }

    /// With a mend.
    #[must_use]
    pub fn fix(mut self, span: Span, text: impl Into<String>) -> Problem {
        self.fix = Some(Fix { span, text: text.into() });
        self
    }

    /// With the place on the job.
    #[must_use]
    pub fn place(mut self, place: impl Into<String>) -> Problem {
        self.place = Some(place.into());
        self
    }

    /// With one of the things of a block that it is about.
    #[must_use]
    pub fn one(mut self, block: impl Into<String>, number: u64) -> Problem {
        self.ones.push(One { block: block.into(), number, spot: None });
        self
    }

    /// With one of the things of a block, and the place of it that is meant.
    #[must_use]
    pub fn one_at(mut self, one: One) -> Problem {
        self.ones.push(one);
        self
    }

    /// With the section it is about.
    #[must_use]
    pub fn part(mut self, section: impl Into<String>) -> Problem {
        self.part = Some(section.into());
        self
    }

    /// With the section it is about, and its ends are meant.
    #[must_use]
    pub fn ends_of(mut self, section: impl Into<String>) -> Problem {
        self.at_ends = true;
        self.part(section)
    }

    /// With the thing it is about.
    #[must_use]
    pub fn thing(mut self, name: impl Into<String>) -> Problem {
        self.thing = Some(name.into());
        self
    }

    /// With the number an acceptance pins.
    #[must_use]
    pub fn measure(mut self, length: Length) -> Problem {
        self.measure = Some(length);
        self
    }

    /// Where it points.
    #[must_use]
    pub fn span(&self) -> Option<Span> {
        self.labels.first().map(|label| label.span)
    }

    /// The headline in words.
    #[must_use]
    pub fn says(&self, system: System) -> String {
        fill(self.headline, &self.args, system)
    }

    /// The help in words, with the mend where the help does not name it.
    #[must_use]
    pub fn helps(&self, system: System) -> Option<String> {
        self.help.map(|help| fill(help, &self.args, system))
    }

    /// The words at a label.
    #[must_use]
    pub fn label_says(&self, label: &Label, system: System) -> String {
        fill(label.says, &self.args, system)
    }
}

/// Puts the arguments into a sentence. `{0}` is an argument, `{6'|2 m}` what is written in feet and what in metric jobs; any
/// other brace stands for itself.
fn fill(sentence: &str, args: &[Arg], system: System) -> String {
    let mut out = String::with_capacity(sentence.len() + 16);
    let mut rest = sentence;
    while let Some(at) = rest.find('{') {
        out.push_str(&rest[..at]);
        let tail = &rest[at + 1..];
        let (inside, after) = tail.split_once('}').unwrap_or((tail, ""));
        rest = after;
        if let Some(arg) = inside.parse::<usize>().ok().and_then(|number| args.get(number)) {
            let _ = write!(out, "{}", Shown { arg, system });
        } else if let Some((feet, metric)) = inside.split_once('|').filter(|_| !inside.contains('{')) {
            out.push_str(if system == System::Feet { feet } else { metric });
        } else {
            out.push('{');
            rest = tail;
        }
    }
    out.push_str(rest);
    out
}

/// How much of the user's words a sentence quotes, in characters.
const TEXT_AT_MOST: usize = 400;

struct Shown<'a> {
    arg: &'a Arg,
    system: System,
}

impl fmt::Display for Shown<'_> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.arg {
            Arg::Text(text) => {
                // A word or number can be as long as a line may be: its beginning says enough.
                let cut = text.char_indices().nth(TEXT_AT_MOST).map_or(text.len(), |(at, _)| at);
                for letter in text[..cut].chars() {
                    if view::hidden(letter) {
                        write!(out, "U+{:04X}", u32::from(letter))?;
                    } else {
                        out.write_char(letter)?;
                    }
                }
                if cut < text.len() { out.write_str("…") } else { Ok(()) }
            }
            Arg::Word(word) => out.write_str(word),
            Arg::Count(count) => write!(out, "{count}"),
            Arg::Length(length) => write!(out, "{}", show::told(*length, self.system)),
            Arg::Area(area) => write!(out, "{}", show::area(*area, self.system)),
            Arg::Volume(volume) => write!(out, "{}", show::volume(*volume, self.system)),
            Arg::Number(number) => write!(out, "{}", show::decimal(*number, 3)),
        }
    }
}

/// Sorts findings by place (file, position), then level and rule, and drops the later of two that say the same of the
/// same place.
pub fn sort(problems: &mut Vec<Problem>) {
    problems.sort_by(|one, two| {
        let key = |problem: &Problem| (problem.span(), problem.rule.level, problem.rule.name);
        key(one).cmp(&key(two)).then_with(|| one.place.cmp(&two.place))
    });
    problems.dedup_by(|two, one| {
        one.rule == two.rule && one.span() == two.span() && one.place == two.place && one.args == two.args
    });
}

/// "a", "a or b", "a, b or c".
#[must_use]
pub fn or(words: &[&str]) -> String {
    join(words, "or")
}

/// "a", "a and b", "a, b and c".
#[must_use]
pub fn and(words: &[&str]) -> String {
    join(words, "and")
}

fn join(words: &[&str], link: &str) -> String {
    match words {
        [] => String::new(),
        [one] => format!("`{one}`"),
        [first @ .., last] => {
            let first: Vec<String> = first.iter().map(|word| format!("`{word}`")).collect();
            format!("{} {link} `{last}`", first.join(", "))
        }
    }
}

/// "1 hole", "2 holes".
#[must_use]
pub fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// The likeliest of the known words for a misspelt one, if one is near enough: one slip in words of up to four letters,
/// two in longer ones. Where none is, the one of which it is another form, as `sheathing` is of `sheath`: one of the two begins
/// with the other. Ties go to the first in alphabetical order, so that the same file gives the same words.
pub fn nearest<'w>(word: &str, known: impl IntoIterator<Item = &'w str>) -> Option<&'w str> {
    if word.len() > 64 {
        return None;
    }
    let within = if word.chars().count() <= 4 { 1 } else { 2 };
    let mut best: Option<(usize, &str)> = None;
    let mut form: Option<&str> = None;
    for candidate in known {
        let shorter = candidate.len().min(word.len());
        if shorter >= STEM
            && candidate.len() != word.len()
            && (candidate.starts_with(word) || word.starts_with(candidate))
            && form.is_none_or(|held| candidate < held)
        {
            form = Some(candidate);
        }
        // `spacing` and `spaced` of `space`.
        let stem = word.strip_suffix("ing").or_else(|| word.strip_suffix("ed"));
        if stem.is_some_and(|stem| stem.len() + 1 >= STEM && candidate.strip_suffix('e') == Some(stem)) {
            form = Some(candidate);
        }
        if candidate.len().abs_diff(word.len()) > within {
            continue;
        }
        let slips = strsim::osa_distance(word, candidate);
        if slips > within || slips == 0 {
            continue;
        }
        if best.is_none_or(|held| (slips, candidate) < held) {
            best = Some((slips, candidate));
        }
    }
    best.map(|(_, candidate)| candidate).or(form)
}

/// So many letters of a word say which it is, whatever its ending.
const STEM: usize = 5;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_take_arguments_and_the_units_of_the_job() {
        let says = |sentence, system| fill(sentence, &["low".into(), 3_usize.into()], system);
        let sentence = "`{0} to {6'|1.8 m}`, {1} of them";
        assert_eq!(says(sentence, System::Feet), "`low to 6'`, 3 of them");
        assert_eq!(says(sentence, System::Metric), "`low to 1.8 m`, 3 of them");
        // Braces of the language stay, also around those of a sentence.
        let block = "`prepare face { of {0}; roughen {1/4\"|6 mm} }`";
        assert_eq!(says(block, System::Metric), "`prepare face { of low; roughen 6 mm }`");
        for plain in ["{", "}", "{2}", "{low}", "a | b", "{ a { b }"] {
            assert_eq!(says(plain, System::Feet), plain);
        }
    }
}

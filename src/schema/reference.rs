//! The language reference, written from the tables: one chapter on the text in words of its own, then every kind with all
//! it takes, then what the library holds. Nothing a table says is said a second time here, so it cannot go stale.

mod index;
mod says;
mod shelf;

pub use says::takes;

use std::fmt::Write as _;

use super::shape::{Field, Head, Kind, KindId, Need, Shape, VerbNeed, reserved_words};
use crate::units::{Dimension, System, UNITS, Unit};

/// What the reference needs of the library: each file's name and text.
pub type Library<'l> = &'l [(&'l str, &'l str)];

/// One limit: its name, its value, what it bounds.
pub type Limit<'l> = (&'l str, u64, &'l str);

/// The job all examples of clauses stand in.
pub const BASE: &str = include_str!("base.job");

/// A whole job with the things that are needed less often.
pub const UNUSUAL: &str = include_str!("unusual.job");

const TEXT: &str = include_str!("reference/text.md");

/// The chapters on kinds, in the order they are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Chapter {
    Job,
    Standing,
    Away,
    New,
    Materials,
    Money,
    Order,
    Afterwards,
}

const CHAPTERS: [(Chapter, &str); 8] = [
    (Chapter::Job, "The job"),
    (Chapter::Standing, "What stands there"),
    (Chapter::Away, "What is taken away and made ready"),
    (Chapter::New, "What is new"),
    (Chapter::Materials, "Materials and tools"),
    (Chapter::Money, "Buying, hiring and money"),
    (Chapter::Order, "Order of work"),
    (Chapter::Afterwards, "Afterwards"),
];

/// Where a kind is explained.
fn chapter(kind: KindId) -> Chapter {
    match kind {
        KindId::Job | KindId::Include | KindId::Let | KindId::Ask => Chapter::Job,
        KindId::Wall
        | KindId::Line
        | KindId::Footing
        | KindId::Ground
        | KindId::Slab
        | KindId::Clear
        | KindId::Crack
        | KindId::Spall => Chapter::Standing,
        KindId::Cut | KindId::Remove | KindId::Prepare | KindId::Support | KindId::Route => Chapter::Away,
        KindId::Section | KindId::Void | KindId::Holes | KindId::Bars | KindId::Forms | KindId::Pour | KindId::Cure => {
            Chapter::New
        }
        KindId::Mix | KindId::Resin | KindId::Steel | KindId::Lumber | KindId::Wire | KindId::Tool => {
            Chapter::Materials
        }
        KindId::Stock
        | KindId::Goods
        | KindId::Supplier
        | KindId::Hire
        | KindId::Truck
        | KindId::Fee
        | KindId::Budget => Chapter::Money,
        KindId::Hours | KindId::Step | KindId::Look | KindId::Wait => Chapter::Order,
        KindId::Accept | KindId::Record => Chapter::Afterwards,
    }
}

/// The reference in Markdown (CommonMark with tables). The same tables give the same text.
#[must_use]
pub fn reference(kinds: &[Kind], library: Library, limits: &[Limit]) -> String {
    let mut page = Page::default();
    page.put("# The language of a job file");
    let text = TEXT.replace("@reserved@", &reserved_list()).replace("@units@", units().trim_end());
    let (before, after) = text.split_once("\n\n").unwrap_or((&text, ""));
    page.put(before);
    contents(&mut page, kinds);
    page.put(after.trim_end());
    page.put("## The job the examples stand in");
    page.put(
        "The example of each clause, further below, could be added to this job. It shows how the blocks name each other.",
    );
    page.fence("job", BASE);
    page.put("And one with things that are needed less often:");
    page.fence("job", UNUSUAL);
    page.put("## How the tables are read");
    page.put(HOW);
    for (chapter_id, title) in CHAPTERS {
        page.put(&format!("## {title}"));
        for kind in kinds.iter().filter(|kind| chapter(kind.id) == chapter_id) {
            kind_chapter(&mut page, kind);
        }
    }
    page.put("## What the library holds");
    page.put(
        "These entries come with the program. The notes say where the figures are from; the figures on your bag, bar tag or board go before \
         all of them, so write an entry of your own where they differ.",
    );
    for (_, text) in library {
        shelf::file(&mut page, text, kinds);
    }
    page.put("## Limits");
    page.put("What one file may ask of the program is limited. Each limit may be changed with `--limit NAME=NUMBER`.");
    let rows = limits.iter().map(|(name, value, bounds)| vec![code(name), value.to_string(), (*bounds).to_owned()]);
    page.table(&["Limit", "Usually", "Bounds"], rows);
    page.put("## Every word");
    index::words(&mut page, kinds);
    page.text
}

/// The chapters that explain a word, as they stand in the reference: a kind's own; of a clause, a part of one or a verb,
/// those of all kinds that have it. Empty if nothing has it.
#[must_use]
pub fn chapters_on(word: &str, kinds: &[Kind]) -> String {
    let has = |kind: &&Kind| {
        let in_field = |field: &Field| match field.shape {
            Shape::Parts(parts) => field.word == word || parts.iter().any(|part| part.word == word),
            _ => field.word == word,
        };
        kind.fields.iter().any(in_field) || kind.verbs.iter().any(|verb| verb.word == word)
    };
    let mut page = Page::default();
    match kinds.iter().find(|kind| kind.word == word) {
        Some(kind) => kind_chapter(&mut page, kind),
        None => kinds.iter().filter(has).for_each(|kind| kind_chapter(&mut page, kind)),
    }
    page.text
}

const HOW: &str = "\
*Needed* says whether a clause must be written: `must`, `may`, or `may, repeated` for one that may be written several times. A row that begins \
with `…` is a part of the clause above it: it is written behind that clause, on the same line. *Takes* says what comes behind the word. \
Where something may be left out, what is taken instead is said in the row; if nothing is said, nothing is taken.

Under *may be asked* stands what other blocks can ask of the thing. Under *steps* stands what a `step` can do to it with its `work` clause; what \
*must* be done has to be in some step, so that nothing is forgotten.";

fn contents(page: &mut Page, kinds: &[Kind]) {
    let mut lines = vec![
        "- **The text**: lines, names, numbers, units, places, rows".to_owned(),
        "- **The job the examples stand in**, and **how the tables are read**".to_owned(),
    ];
    for (chapter_id, title) in CHAPTERS {
        let words: Vec<String> =
            kinds.iter().filter(|kind| chapter(kind.id) == chapter_id).map(|kind| code(kind.word)).collect();
        lines.push(format!("- **{title}**: {}", words.join(", ")));
    }
    lines
        .push("- **What the library holds**, **limits**, and **every word** with the place it is explained".to_owned());
    page.put(&lines.join("\n"));
}

fn kind_chapter(page: &mut Page, kind: &Kind) {
    page.put(&format!("### `{}`", kind.word));
    page.put(&format!("{} {}", kind.says.trim(), written(kind)));
    if !kind.fields.is_empty() {
        let mut rows = Vec::new();
        for field in kind.fields {
            let word = code(field.word);
            rows.push(vec![word, need(field.need), says::takes(&field.shape), says::means(field), code(field.example)]);
            let Shape::Parts(parts) = field.shape else { continue };
            for part in parts.iter().filter(|part| !part.word.is_empty()) {
                let word =
                    if part.word == "\"" { "… `\"…\"`".to_owned() } else { format!("… {}", code(part.word)) };
                rows.push(vec![word, need(part.need), says::takes(&part.shape), says::means(part), String::new()]);
            }
        }
        page.table(&["Clause", "Needed", "Takes", "Means", "Example"], rows);
    }
    if !kind.properties.is_empty() {
        let rows = kind.properties.iter().map(|asked| {
            let leg = if asked.of_leg { "LEG." } else { "" };
            vec![code(&format!("NAME.{leg}{}", asked.word)), asked.dimension.name().to_owned(), asked.says.to_owned()]
        });
        page.table(&["May be asked", "Gives", "Which is"], rows);
    }
    if !kind.verbs.is_empty() {
        let rows = kind.verbs.iter().map(|verb| {
            let need = match verb.need {
                VerbNeed::Must => "must",
                VerbNeed::May => "may",
            };
            vec![code(&format!("{} NAME", verb.word)), need.to_owned(), verb.says.to_owned()]
        });
        page.table(&["Steps", "Needed", "Is to"], rows);
    }
    for field in kind.fields {
        choices(page, field.word, "", &field.shape);
        if let Shape::Parts(parts) = field.shape {
            for part in parts {
                choices(page, field.word, part.word, &part.shape);
            }
        }
    }
}

/// The words of a closed list, each with its meaning.
fn choices(page: &mut Page, clause: &str, part: &str, shape: &Shape) {
    let Shape::Choice(choices) = shape else { return };
    let says = choices.iter().map(|choice| format!("{}: {}", code(choice.word), lower(choice.says.trim())));
    let clause = if part.is_empty() { clause.to_owned() } else { format!("{clause} … {part}") };
    page.put(&format!("{} – {}.", code(&clause), says.collect::<Vec<_>>().join("; ")));
}

/// How the head of a kind is written, as a sentence.
fn written(kind: &Kind) -> String {
    let Head { name, text, text_says, dated, line } = kind.head;
    if !line.is_empty() {
        return format!("Written on one line, without a block: {}.", code(line));
    }
    let mut head = kind.word.to_owned();
    if name.is_some() {
        head.push_str(" NAME");
    }
    if dated {
        head.push_str(" DATE");
    }
    if text.is_some() {
        let _ = write!(head, " \"{text_says}\"");
    }
    head.push_str(" { … }");
    let left_out = if text == Some(Need::Maybe) { "; the string may be left out" } else { "" };
    format!("Written {}{left_out}.", code(&head))
}

fn need(need: Need) -> String {
    match need {
        Need::One => "must",
        Need::Maybe => "may",
        Need::Many => "may, repeated",
    }
    .to_owned()
}

fn reserved_list() -> String {
    reserved_words().iter().map(|word| code(word)).collect::<Vec<_>>().join(", ")
}

fn units() -> String {
    let mut page = Page::default();
    let measured =
        Dimension::ALL.into_iter().filter(|dimension| !matches!(dimension, Dimension::Number | Dimension::Money));
    let rows = measured.filter_map(|dimension| {
        let of = |system: Option<System>| {
            let units = crate::units::of_dimension(dimension).filter(|unit| unit.system == system);
            units.map(|unit| format!("{} {}", forms(unit), unit.meaning)).collect::<Vec<_>>().join(" · ")
        };
        let cells = [of(Some(System::Feet)), of(Some(System::Metric)), of(None)];
        let any = cells.iter().any(|cell| !cell.is_empty());
        any.then(|| [dimension.name().to_owned()].into_iter().chain(cells).collect())
    });
    page.table(&["For", "Feet and pounds", "Metric", "Either"], rows);
    let nouns: Vec<String> = UNITS.iter().filter(|unit| unit.is_noun()).map(forms).collect();
    page.put(&format!(
        "Things are counted with a noun behind the number, or with the number alone: {}.",
        nouns.join(", ")
    ));
    let money: Vec<String> = UNITS
        .iter()
        .filter(|unit| unit.is_currency())
        .map(|unit| format!("{} ({})", code(unit.word), unit.meaning))
        .collect();
    page.put(&format!(
        "Money is written with its code, as in {}: {}.",
        code(Dimension::Money.example()),
        money.join(", ")
    ));
    page.text
}

fn forms(unit: &Unit) -> String {
    let words: Vec<String> = unit.aliases.iter().rev().chain([&unit.word]).map(|word| code(word)).collect();
    words.join(" or ")
}

fn code(text: &str) -> String {
    if text.is_empty() { String::new() } else { format!("`{text}`") }
}

/// With a small first letter, for the middle of a sentence, save where a name in capitals begins it; without the full stop at
/// its end.
fn lower(text: &str) -> String {
    let text = text.trim_end_matches('.');
    let mut letters = text.chars();
    match letters.next() {
        Some(_) if text.chars().nth(1).is_some_and(char::is_uppercase) => text.to_owned(),
        Some(first) => first.to_lowercase().chain(letters).collect(),
        None => String::new(),
    }
}

/// Markdown, part by part with an empty line between.
#[derive(Default)]
struct Page {
    text: String,
}

impl Page {
    fn put(&mut self, part: &str) {
        if !self.text.is_empty() {
            self.text.push('\n');
        }
        self.text.push_str(part);
        self.text.push('\n');
    }

    fn fence(&mut self, language: &str, text: &str) {
        self.put(&format!("```{language}\n{}\n```", text.trim_end()));
    }

    fn table(&mut self, heads: &[&str], rows: impl IntoIterator<Item = Vec<String>>) {
        let mut lines = format!("| {} |\n|{}", heads.join(" | "), "---|".repeat(heads.len()));
        for row in rows {
            lines.push_str("\n|");
            for cell in row {
                // A bar would end the cell, even inside code.
                let _ = write!(lines, " {} |", cell.replace('|', "\\|"));
            }
        }
        self.put(&lines);
    }
}

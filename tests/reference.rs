//! The language reference holds for what the language does: every example is read, every property asked, every verb used.

use std::{collections::BTreeSet, ptr};

use batterboard::{
    compile::{Compiled, compile_text},
    job,
    language::{self, Limits},
    library,
    problem::Level,
    schema::{BASE, Field, KINDS, Kind, KindId, Need, Shape, UNUSUAL, reference, reserved, reserved_words},
    source::Shelf,
    units::System,
};
use pulldown_cmark::{CodeBlockKind, Event, Options, Parser, Tag, TagEnd};

const SHOP: &str = "mix shop-mix { bag 60 lb, yields 0.45 ft3 }\n";

fn compiled(text: &str) -> Compiled {
    let shelf = Shelf::new([("shop.job", SHOP)]);
    compile_text(&shelf, "base.job", text, &Limits::default())
}

/// What is wrong with how a text is written. An example stands on top of what the base holds already, so what the checks
/// say of the two together is not asked here.
fn misread(text: &str) -> Vec<String> {
    let compiled = compiled(text);
    let reading = || job::rules::ALL.iter().chain(language::rules::ALL);
    let errors = compiled.problems.iter().filter(|problem| problem.rule.level == Level::Error);
    let errors = errors.filter(|problem| reading().any(|rule| ptr::eq(*rule, problem.rule)));
    errors.map(|problem| format!("{}: {}", problem.rule.name, problem.says(System::Feet))).collect()
}

fn written() -> String {
    let limits: Vec<_> = Limits::default().each().collect();
    reference(KINDS, &library::FILES, &limits)
}

/// The base, and a block of this kind made of what it must have and these clauses.
fn with_block(kind: &Kind, name: &str, clauses: &[&str]) -> String {
    let has = |word: &str| clauses.iter().flat_map(|text| text.split(';')).any(|one| first_word(one) == word);
    // An example may bring what it goes with; nothing is written twice.
    let mut body: Vec<String> = clauses.iter().map(|text| (*text).to_owned()).collect();
    for field in kind.fields.iter().filter(|field| field.need == Need::One && !has(field.word)) {
        for one in field.example.split("; ") {
            let written =
                body.iter().flat_map(|text| text.split("; ")).any(|other| first_word(other) == first_word(one));
            if !written || one == field.example {
                body.push(one.to_owned());
            }
        }
    }
    let mut head = kind.word.to_owned();
    if kind.head.name.is_some() {
        head = format!("{head} {name}");
    }
    if kind.head.dated {
        head = format!("{head} 2027-05-10");
    }
    if kind.head.text.is_some() {
        head = format!("{head} \"a title\"");
    }
    let base = if kind.id == KindId::Job { without_job() } else { BASE.to_owned() };
    format!("{base}\n{head} {{\n    {}\n}}\n", body.join("\n    "))
}

fn without_job() -> String {
    let start = BASE.find("job \"").unwrap();
    let end = start + BASE[start..].find("\n}\n").unwrap() + 3;
    format!("{}{}", &BASE[..start], &BASE[end..])
}

fn first_word(clause: &str) -> &str {
    clause.split_whitespace().next().unwrap_or("")
}

#[test]
fn the_two_jobs_are_without_a_fault() {
    for text in [BASE, UNUSUAL] {
        let compiled = compiled(text);
        let said: Vec<String> = compiled.problems.iter().map(|problem| problem.says(System::Feet)).collect();
        assert!(!compiled.has_errors(), "{said:#?}");
        assert!(compiled.job.broken.is_empty());
        assert_eq!(language::format(compiled.sources.get(batterboard::source::SourceId(0)), &Limits::default()), text);
    }
}

#[test]
fn every_example_is_read() {
    let mut wrong = Vec::new();
    let (mut clauses, mut lines) = (0, 0);
    for kind in KINDS {
        if !kind.head.line.is_empty() {
            lines += 1;
            assert_eq!(first_word(kind.head.line), kind.word);
            let found = misread(&format!("{BASE}\n{}\n", kind.head.line));
            if !found.is_empty() {
                wrong.push(format!("{}: {found:#?}", kind.head.line));
            }
        }
        for field in kind.fields {
            clauses += 1;
            assert!(
                field.example.split(';').any(|one| first_word(one) == field.word),
                "the example of `{}` in `{}` does not show it",
                field.word,
                kind.word
            );
            let text = with_block(kind, "fresh", &[field.example]);
            let found = misread(&text);
            if !found.is_empty() {
                wrong.push(format!("{} {}: {found:#?}", kind.word, field.example));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(clauses, KINDS.iter().map(|kind| kind.fields.len()).sum::<usize>());
    assert_eq!(lines, KINDS.iter().filter(|kind| kind.fields.is_empty()).count());
    assert!(clauses > 90, "{clauses}");
    // Which of them were written is kept as bits of one number.
    let few = |fields: &[Field]| fields.len() < 64;
    assert!(KINDS.iter().all(|kind| few(kind.fields)
        && kind.fields.iter().all(|field| !matches!(field.shape, Shape::Parts(parts) if !few(parts)))));
}

#[test]
fn an_example_with_a_fault_would_be_seen() {
    let section = KindId::Section.kind();
    assert!(!misread(&with_block(section, "fresh", &["base sand"])).is_empty());
    assert!(!misread(&format!("{BASE}\nlet x = old.colour\n")).is_empty());
    assert!(!misread(&format!("{BASE}\nstep x \"y\" {{ work drill rails }}\n")).is_empty());
}

#[test]
fn every_word_of_a_closed_list_is_read() {
    let mut tried = 0;
    for kind in KINDS {
        for field in kind.fields {
            let Shape::Choice(choices) = field.shape else { continue };
            for choice in choices {
                tried += 1;
                let clause = format!("{} {}", field.word, choice.word);
                let found = misread(&with_block(kind, "fresh", &[&clause]));
                assert!(found.is_empty(), "{} {clause}: {found:#?}", kind.word);
            }
        }
    }
    assert!(tried >= 9, "{tried}");
}

/// The names of things of a kind: the base's own, and a fresh one with the clauses a property may need.
fn things(kind: &Kind) -> (String, Vec<String>) {
    let asked: Vec<&str> = kind
        .fields
        .iter()
        .filter(|field| field.need != Need::One && ["leg", "thick", "height"].contains(&field.word))
        .map(|field| field.example)
        .collect();
    let text = with_block(kind, "fresh", &asked);
    let own = BASE.lines().filter_map(|line| line.strip_prefix(kind.word)?.strip_prefix(' '));
    let own = own.map(|rest| rest.split(' ').next().unwrap().to_owned());
    (text, own.chain(["fresh".to_owned()]).collect())
}

#[test]
fn every_property_can_be_asked() {
    let mut count = 0;
    for kind in KINDS.iter().filter(|kind| !kind.properties.is_empty()) {
        let (text, names) = things(kind);
        for property in kind.properties {
            count += 1;
            let one = property.dimension.example().split(" or ").next().unwrap();
            for name in &names {
                // What is bought by the bag has no length to ask for.
                if (kind.id, name.as_str()) == (KindId::Stock, "bags") {
                    continue;
                }
                // The leg each of these has.
                let leg = match (property.of_leg, kind.id, name.as_str()) {
                    (false, ..) => "",
                    (true, KindId::Line, "edge") => "front.",
                    (true, KindId::Line, _) => "a.",
                    (true, ..) => "back.",
                };
                let line = format!("let asked = {name}.{leg}{} + {one}", property.word);
                let found = misread(&format!("{text}\n{line}\n"));
                assert!(found.is_empty(), "{line}: {found:#?}");
            }
        }
    }
    assert_eq!(count, KINDS.iter().map(|kind| kind.properties.len()).sum::<usize>());
    assert!(count > 25, "{count}");
}

#[test]
fn every_verb_can_be_used() {
    let mut count = 0;
    for kind in KINDS.iter().filter(|kind| !kind.verbs.is_empty()) {
        let (text, names) = things(kind);
        count += kind.verbs.len();
        for name in &names {
            let mut fitting = 0;
            for verb in kind.verbs {
                let line = format!("step fresh-step \"try it\" {{ work {} {name} }}", verb.word);
                let found = misread(&format!("{text}\n{line}\n"));
                // Dowels are set and all other bars are placed: of these two verbs one fits each.
                let other = kind.id == KindId::Bars && found.len() == 1 && found[0].starts_with("verb-misfit");
                assert!(found.is_empty() || other, "{line}: {found:#?}");
                fitting += usize::from(found.is_empty());
            }
            assert_eq!(fitting, if kind.id == KindId::Bars { 1 } else { kind.verbs.len() }, "{name}");
        }
    }
    assert_eq!(count, KINDS.iter().map(|kind| kind.verbs.len()).sum::<usize>());
    assert!(count > 7, "{count}");
}

#[test]
fn the_reserved_words_are_all_refused_as_names() {
    for word in reserved_words() {
        assert!(reserved(word).is_some(), "{word}");
    }
    for word in ["low", "drill", "section"] {
        assert!(reserved(word).is_none() && !reserved_words().contains(&word), "{word}");
    }
}

#[test]
fn the_reference_as_it_is_printed() {
    let text = written();
    assert_eq!(text, written());
    // Longer than this nobody reads it through; a new kind takes some twenty lines.
    assert!(text.lines().count() < 1500, "{} lines", text.lines().count());
    insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("reference", text);
    });
}

/// Tables with their heads and rows, code blocks with their language, and the code inside lines.
#[derive(Default)]
struct Read {
    tables: Vec<Vec<Vec<String>>>,
    fences: Vec<(String, String)>,
    code: BTreeSet<String>,
    headings: Vec<String>,
}

fn read(text: &str) -> Read {
    let mut read = Read::default();
    let mut fence: Option<String> = None;
    let mut cell: Option<String> = None;
    let mut heading = false;
    for event in Parser::new_ext(text, Options::ENABLE_TABLES) {
        match event {
            Event::Start(Tag::Table(_)) => read.tables.push(Vec::new()),
            Event::Start(Tag::TableHead | Tag::TableRow) => read.tables.last_mut().unwrap().push(Vec::new()),
            Event::Start(Tag::TableCell) => cell = Some(String::new()),
            Event::End(TagEnd::TableCell) => {
                read.tables.last_mut().unwrap().last_mut().unwrap().push(cell.take().unwrap());
            }
            Event::Start(Tag::CodeBlock(CodeBlockKind::Fenced(language))) => fence = Some(language.to_string()),
            Event::Start(Tag::Heading { .. }) => {
                heading = true;
                read.headings.push(String::new());
            }
            Event::End(TagEnd::Heading(_)) => heading = false,
            Event::End(TagEnd::CodeBlock) => fence = None,
            Event::Html(html) | Event::InlineHtml(html) => panic!("no HTML belongs here: {html}"),
            Event::Text(piece) => match (&fence, &mut cell) {
                (Some(language), _) => read.fences.push((language.clone(), piece.to_string())),
                (None, Some(cell)) => cell.push_str(&piece),
                (None, None) if heading => read.headings.last_mut().unwrap().push_str(&piece),
                (None, None) => {}
            },
            Event::Code(piece) => {
                read.code.insert(piece.to_string());
                if let Some(cell) = &mut cell {
                    cell.push_str(&piece);
                }
                if heading {
                    read.headings.last_mut().unwrap().push_str(&piece);
                }
            }
            _ => {}
        }
    }
    read
}

#[test]
fn the_tables_have_their_columns() {
    let text = written();
    let read = read(&text);
    let mut clause_rows = 0;
    for table in &read.tables {
        let heads = &table[0];
        assert!(table.len() > 1, "an empty table under {heads:?}");
        for row in table {
            assert_eq!(row.len(), heads.len(), "{row:?}");
        }
        if heads[0] == "Clause" {
            assert_eq!(heads[1..], ["Needed", "Takes", "Means", "Example"]);
            for row in &table[1..] {
                clause_rows += 1;
                assert!(row[..4].iter().all(|cell| !cell.is_empty()), "{row:?}");
                assert_eq!(row[4].is_empty(), row[0].starts_with('…'), "{row:?}");
            }
        }
    }
    // A pipe not escaped would break a row in two without leaving it uneven: count the rows as well.
    let parts = |shape: &Shape| match shape {
        Shape::Parts(parts) => parts.iter().filter(|part| !part.word.is_empty()).count(),
        _ => 0,
    };
    let wanted: usize = KINDS.iter().flat_map(|kind| kind.fields).map(|field| 1 + parts(&field.shape)).sum();
    assert_eq!(clause_rows, wanted);
    // A line that looks like a row and is none would be text.
    let rows: usize = read.tables.iter().map(|table| table.len() + 1).sum();
    assert_eq!(rows, text.lines().filter(|line| line.starts_with('|')).count());
}

#[test]
fn the_jobs_and_blocks_of_the_text_are_read() {
    let read = read(&written());
    let (mut jobs, mut blocks) = (0, 0);
    for (language, text) in &read.fences {
        let found = match language.as_str() {
            "job" => {
                jobs += 1;
                misread(text)
            }
            "block" => {
                blocks += 1;
                misread(&format!("{BASE}\n{text}"))
            }
            other => panic!("a fence of `{other}`"),
        };
        assert!(found.is_empty(), "{text}\n{found:#?}");
    }
    assert_eq!(jobs, 2);
    assert!(blocks >= 5, "{blocks}");
}

#[test]
fn the_ways_to_write_a_length_mean_what_the_text_says() {
    let read = read(&written());
    let table = read.tables.iter().find(|table| table[0] == ["Written", "The same as"]).unwrap();
    assert!(table.len() > 8);
    // A sign is taken off: a leg is longer than nothing.
    let length = |written: &str| {
        let (minus, plain) = written.strip_prefix('-').map_or((false, written), |rest| (true, rest));
        let job = compiled(&format!("job \"x\" {{ }}\nline l {{ leg a {plain} }}\n"));
        assert!(!job.has_errors(), "{written}");
        let leg = job.job.lines[0].say.legs.0[0].value.0;
        if minus { -leg } else { leg }
    };
    for row in &table[1..] {
        assert_eq!(length(&row[0]), length(&row[1]), "{row:?}");
    }
}

#[test]
fn the_ways_to_write_a_place_are_read() {
    let read = read(&written());
    for (head, clause) in [("Runs along", "along {}"), ("Means", "{}")] {
        let table = read.tables.iter().find(|table| table[0] == ["Written", head]).unwrap();
        for row in &table[1..] {
            let clause = clause.replace("{}", &row[0]);
            let found = misread(&with_block(KindId::Holes.kind(), "fresh", &[&clause]));
            assert!(found.is_empty(), "{clause}: {found:#?}");
        }
    }
}

#[test]
fn every_word_stands_in_the_reference() {
    let read = read(&written());
    let has = |word: &str| read.code.contains(word);
    let mut missing = BTreeSet::new();
    let mut look = |word: &'static str| {
        if !word.is_empty() && word != "\"" && !has(word) {
            missing.insert(word);
        }
    };
    for kind in KINDS {
        assert!(read.headings.iter().any(|heading| heading == kind.word), "no chapter on `{}`", kind.word);
        look(kind.word);
        let mut choices = |shape: &Shape| {
            if let Shape::Choice(choices) = shape {
                choices.iter().for_each(|choice| look(choice.word));
            }
        };
        for field in kind.fields {
            choices(&field.shape);
            if let Shape::Parts(parts) = field.shape {
                parts.iter().for_each(|part| choices(&part.shape));
            }
        }
        for field in kind.fields {
            look(field.word);
            if let Shape::Parts(parts) = field.shape {
                parts.iter().for_each(|part| look(part.word));
            }
        }
        kind.verbs.iter().for_each(|verb| look(verb.word));
        kind.properties.iter().for_each(|asked| look(asked.word));
    }
    for unit in batterboard::units::UNITS {
        look(unit.word);
        unit.aliases.iter().for_each(|word| look(word));
    }
    for kind in KINDS {
        for asked in kind.properties {
            let leg = if asked.of_leg { "LEG." } else { "" };
            assert!(has(&format!("NAME.{leg}{}", asked.word)), "{}.{}", kind.word, asked.word);
        }
        for verb in kind.verbs {
            assert!(has(&format!("{} NAME", verb.word)), "{}", verb.word);
        }
    }
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn the_library_is_shown_whole() {
    let read = read(&written());
    let mut entries = 0;
    for (file, text) in library::FILES {
        for line in text.lines().filter(|line| !line.is_empty() && !line.starts_with("//")) {
            entries += 1;
            let (head, body) = line.split_once(" { ").unwrap();
            let (kind, name) = head.split_once(' ').unwrap();
            let (name, title) = name.split_once(' ').unwrap_or((name, ""));
            let found = read.tables.iter().find_map(|table| {
                let row = table.iter().find(|row| row[0] == name)?;
                (table[0][0] == kind).then_some((&table[0], row))
            });
            let (heads, row) = found.unwrap_or_else(|| panic!("{file}: `{name}` is in no table"));
            let cells = heads.iter().zip(row).skip(1).filter(|(_, cell)| !cell.is_empty());
            let shown: BTreeSet<String> = cells.map(|(word, cell)| format!("{word} {cell}")).collect();
            let clauses = body.strip_suffix('}').unwrap().trim_end().split("; ").filter(|clause| !clause.is_empty());
            let title = (!title.is_empty()).then(|| format!("Which is {}", title.trim_matches('"')));
            let wanted: BTreeSet<String> = clauses.map(str::to_owned).chain(title).collect();
            assert_eq!(shown, wanted, "{file}: {name}");
        }
    }
    assert!(entries > 45, "{entries}");
}

#[test]
fn the_limits_are_shown_with_their_values() {
    let read = read(&written());
    let table = read.tables.iter().find(|table| table[0][0] == "Limit").unwrap();
    assert_eq!(table.len(), 1 + Limits::NAMES.len());
    for row in &table[1..] {
        // Setting a limit to the value shown changes nothing, so the value is that limit's own.
        let mut limits = Limits::default();
        assert!(limits.set(&row[0], row[1].parse().unwrap()));
        assert_eq!(limits, Limits::default());
    }
}

//! What holds for every text: reading keeps each byte and never fails, the formatter changes nothing but blanks, and
//! neither line ends nor the order of blocks change what is found.

use std::{collections::BTreeMap, fs, path::Path};

use batterboard::{
    compile::{Compiled, compile_text},
    job,
    language::{self, Limits, TokenKind},
    problem::{Level, View, Viewer},
    source::{Shelf, Source, SourceId},
    units::{self, MisreadKind, System},
};
use proptest::prelude::*;

/// The jobs of the examples and, where there are some, of the mistakes, with the texts beside them.
fn jobs() -> Vec<(String, String)> {
    let mut out = Vec::new();
    for folder in ["examples", "tests/mistakes"] {
        gather(Path::new(folder), &mut out);
    }
    out.sort();
    assert!(out.iter().any(|(name, _)| name.ends_with("boathouse.job")), "the examples are read");
    out
}

fn gather(folder: &Path, out: &mut Vec<(String, String)>) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries {
        let path = entry.unwrap().path();
        if path.is_dir() {
            gather(&path, out);
        } else if path.extension().is_some_and(|ending| ending == "job") {
            let bytes = fs::read(&path).unwrap();
            // A mistake may be a file that is no text.
            if let Ok(text) = String::from_utf8(bytes) {
                out.push((path.to_str().unwrap().replace('\\', "/"), text));
            }
        }
    }
}

fn shop() -> Shelf {
    let shop = fs::read("examples/boathouse/shop.job").unwrap();
    Shelf::new([("examples/boathouse/shop.job", shop.clone()), ("shop.job", shop)])
}

fn boathouse() -> String {
    fs::read_to_string("examples/boathouse/boathouse.job").unwrap()
}

/// Small pieces of the language, good and bad, for soup.
const VOCABULARY: &[&str] = &[
    "job",
    "include",
    "let",
    "ask",
    "wall",
    "line",
    "footing",
    "ground",
    "slab",
    "clear",
    "remove",
    "section",
    "void",
    "holes",
    "bars",
    "pour",
    "mix",
    "resin",
    "steel",
    "lumber",
    "wire",
    "step",
    "look",
    "wait",
    "accept",
    "low",
    "high",
    "old",
    "back",
    "side",
    "old.back",
    "old.side",
    "low.top",
    "high.length",
    "old.thick",
    "old.back.length",
    "pins",
    "#4",
    "2x4",
    "ply-3/4",
    "bagged",
    "leg",
    "corner",
    "outside",
    "thick",
    "height",
    "of",
    "concrete",
    "along",
    "at",
    "at most",
    "every",
    "to",
    "by",
    "on",
    "per",
    "rows",
    "inset",
    "space",
    "bore",
    "fill",
    "size",
    "in",
    "out",
    "offset",
    "from",
    "legs",
    "up",
    "right",
    "under",
    "against",
    "top",
    "base",
    "soil",
    "work",
    "drill",
    "place",
    "takes",
    "each",
    "after",
    "before",
    "because",
    "down to",
    "answered",
    "start",
    "show",
    "feet",
    "min",
    "max",
    "gap",
    "8\"",
    "12'-6 1/2\"",
    "6'",
    "5/8\"",
    "-4\"",
    "3 mm",
    "0",
    "1",
    "2",
    "12mm",
    "8%",
    "2027-05-03",
    "16:30",
    "80 lb",
    "4 h",
    "70 degF",
    "6 -1/2\"",
    "1,5",
    "1/0\"",
    "6½",
    "12′-6½″",
    "1e9",
    "\"a\"",
    "\"shop.job\"",
    "\"a \\\" b\"",
    "“a”",
    "\"",
    "“",
    "\\",
    "{",
    "}",
    ";",
    ",",
    "=",
    "+",
    "-",
    "*",
    "/",
    "(",
    ")",
    "−",
    "×",
    "–",
    "//",
    "// note",
    "\n",
    "\n",
    "\n",
    "\r\n",
    "\r",
    "\t",
    " ",
    "  ",
    "\u{a0}",
    "\u{feff}",
    "\u{202e}",
    "\0",
    "é",
    "🧱",
    "'",
    ".",
    "..",
];

/// A number for each call, the same in every run.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        // Xorshift of 64 bits.
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as usize % sides.max(1)
    }
}

fn source(text: &str) -> Source {
    Source::new("porch.job", text)
}

fn formatted(text: &str) -> String {
    language::format(&source(text), &Limits::default())
}

/// The tokens that say something, as they are written; line ends, comments and odd blanks aside.
fn tokens(text: &str) -> Vec<(TokenKind, String)> {
    let source = source(text);
    let tree = language::parse(SourceId(0), &source, &Limits::default(), &mut Vec::new());
    let said = tree.tokens.iter().filter(|token| !token.is_trivia());
    said.map(|token| (token.kind(), source.text[token.start()..token.end()].to_owned())).collect()
}

fn comments(text: &str) -> Vec<String> {
    let source = source(text);
    let tree = language::parse(SourceId(0), &source, &Limits::default(), &mut Vec::new());
    let comments = tree.tokens.iter().filter(|token| token.kind() == TokenKind::Comment);
    comments.map(|token| source.text[token.start()..token.end()].trim_end_matches([' ', '\t']).to_owned()).collect()
}

fn kept(text: &str) -> bool {
    let source = source(text);
    let tree = language::parse(SourceId(0), &source, &Limits::default(), &mut Vec::new());
    tree.text(&source) == source.text
}

fn compile(text: &str) -> Compiled {
    compile_text(&shop(), "examples/boathouse/porch.job", text, &Limits::default())
}

/// The findings of reading, with what they say, where they stand left out.
fn findings(compiled: &Compiled) -> BTreeMap<(&'static str, String), usize> {
    let reading = [language::rules::ALL, job::rules::ALL];
    let mut out = BTreeMap::new();
    for problem in &compiled.problems {
        if reading.iter().any(|all| all.contains(&problem.rule)) {
            *out.entry((problem.rule.name, format!("{:?}", problem.args))).or_default() += 1;
        }
    }
    out
}

/// The typed job with all places taken out of it: what it says, wherever it is written.
fn model(compiled: &Compiled) -> String {
    let shown = format!("{:?}", compiled.job);
    let mut out = String::with_capacity(shown.len());
    let mut rest = shown.as_str();
    while let Some(at) = rest.find("Span {") {
        out.push_str(&rest[..at]);
        rest = &rest[at..];
        rest = &rest[rest.find('}').map_or(rest.len(), |end| end + 1)..];
    }
    out.push_str(rest);
    // Which stock there is of what is a map in no order.
    let stocked = out.rfind("stocked: {").unwrap_or(out.len());
    out.truncate(stocked);
    out
}

/// Reads, builds, formats and draws a text: none of it may panic, and each of its promises is held.
fn take(text: &str, draw: usize) -> Compiled {
    assert!(kept(text), "bytes are lost of {text:?}");
    let once = formatted(text);
    assert_eq!(formatted(&once), once, "formatting again changes it: {text:?}");
    let compiled = compile(text);
    let viewer = Viewer::new(&compiled.sources, View { colour: false, width: 80, system: System::Feet });
    for problem in compiled.problems.iter().take(draw) {
        let shown = viewer.render(problem);
        assert!(shown.contains(problem.rule.name), "{shown}");
        if let Some(fix) = &problem.fix {
            let source = compiled.sources.get(fix.span.source);
            assert!(
                source.text.get(fix.span.start as usize..fix.span.end as usize).is_some(),
                "{}: {:?}",
                problem.rule.name,
                fix
            );
        }
    }
    let errors = compiled.problems.iter().any(|problem| problem.rule.level == Level::Error);
    assert!(errors || compiled.job.broken.is_empty(), "something is left out and nothing said: {text:?}");
    compiled
}

#[test]
fn every_prefix_of_every_job_is_read() {
    for (name, text) in jobs() {
        if text.len() > 10_000 {
            continue;
        }
        let ends = (0..=text.len()).filter(|end| text.is_char_boundary(*end));
        // Near a mistake every third letter counts; in the long examples fewer do.
        let step = if text.len() > 2_000 { 8 } else { 3 };
        for end in ends.step_by(step) {
            take(&text[..end], 2);
        }
        take(&text, usize::MAX);
        assert!(!name.is_empty());
    }
}

#[test]
fn single_bytes_changed_are_read() {
    let mut dice = Dice(0x0b0a_7470);
    for (_, text) in jobs() {
        let (rounds, mut bytes) = (if text.len() > 2_000 { 500 } else { 20 }, text.into_bytes());
        for _ in 0..rounds {
            let at = dice.roll(bytes.len());
            let Some(old) = bytes.get(at).copied() else { continue };
            bytes[at] = b" \n\r\t{}();,=+-*/\\\"'.0129azAZ#%:\0\x1b\x7f"[dice.roll(33)];
            if let Ok(text) = std::str::from_utf8(&bytes) {
                take(text, 2);
            }
            bytes[at] = old;
        }
    }
}

#[test]
fn tokens_dropped_doubled_and_swapped_are_read() {
    let mut dice = Dice(0x51a7_e5aa);
    for (_, text) in jobs() {
        let held = source(&text);
        let tree = language::parse(SourceId(0), &held, &Limits::default(), &mut Vec::new());
        let places: Vec<(usize, usize)> = tree.tokens.iter().map(|token| (token.start(), token.end())).collect();
        if places.len() < 2 {
            continue;
        }
        for _ in 0..if text.len() > 2_000 { 300 } else { 10 } {
            let (one, two) = (places[dice.roll(places.len())], places[dice.roll(places.len())]);
            let (one, two) = (one.min(two), one.max(two));
            let cut = |from: usize, to: usize| held.text.get(from..to).unwrap_or("");
            let end = held.text.len();
            let changed = match dice.roll(3) {
                0 => format!("{}{}", cut(0, one.0), cut(one.1, end)),
                1 => format!("{}{}{}", cut(0, one.1), cut(two.0, two.1), cut(one.1, end)),
                _ => format!(
                    "{}{}{}{}{}",
                    cut(0, one.0),
                    cut(two.0, two.1),
                    cut(one.1, two.0),
                    cut(one.0, one.1),
                    cut(two.1, end)
                ),
            };
            take(&changed, 2);
        }
    }
}

#[test]
fn soup_of_the_language_is_read() {
    let mut dice = Dice(0x5eed_50bb);
    let mut found = 0;
    for round in 0..20_000 {
        let mut text = String::new();
        if round % 2 == 0 {
            text.push_str("job \"Soup\" { }\nwall old { leg back 10'; corner outside; leg side 3' }\n");
        }
        for _ in 0..dice.roll(40) {
            text.push_str(VOCABULARY[dice.roll(VOCABULARY.len())]);
            if dice.roll(8) > 0 {
                text.push(' ');
            }
        }
        found += take(&text, 1).problems.len();
    }
    assert!(found > 20_000, "the soup holds mistakes: {found}");
}

/// Values given to each other at random: the circles found are the same in whatever order the lines stand.
#[test]
fn circles_do_not_depend_on_the_order_of_lines() {
    let mut dice = Dice(0xc1c1_e5aa);
    let mut circles = 0;
    for _ in 0..3_000 {
        let many = 2 + dice.roll(7);
        let mut lines: Vec<String> = (0..many)
            .map(|at| {
                let terms: Vec<String> = (0..1 + dice.roll(3))
                    .map(|_| match dice.roll(8) {
                        0 => "1".to_owned(),
                        1 => "nothing".to_owned(),
                        2 => "2 kg".to_owned(),
                        _ => format!("n{}", dice.roll(many)),
                    })
                    .collect();
                format!("let n{at} = {}", terms.join([" + ", " * "][dice.roll(2)]))
            })
            .collect();
        let count = |lines: &[String]| {
            let compiled = compile(&format!("job \"Circle\" {{ }}\n{}", lines.join("\n")));
            let mut names: Vec<String> =
                compiled.problems.iter().map(|problem| format!("{} {:?}", problem.rule.name, problem.args)).collect();
            names.sort();
            names
        };
        let first = count(&lines);
        circles += first.iter().filter(|name| name.starts_with("circle")).count();
        for _ in 0..3 {
            for at in (1..lines.len()).rev() {
                lines.swap(at, dice.roll(at + 1));
            }
            assert_eq!(count(&lines), first, "{}", lines.join("\n"));
        }
    }
    assert!(circles > 500, "{circles}");
}

#[test]
fn the_order_of_blocks_changes_no_finding() {
    let mut dice = Dice(0xb10c_0de5);
    let clean = boathouse();
    let wrong = clean
        .replace("thick 4\"", "thick 4")
        .replace("in pins; out", "in pinz; out")
        .replace("of concrete", "of concreet")
        .replace("high.top - 4\"", "high.top - low.depth")
        .replace("after drill", "after dril")
        .replace("bore 5/8\" by 6\"", "bore 5/8\" by width")
        + "\nlet width = breadth\nlet breadth = width\nbogus thing { }\n";
    for text in [clean, wrong] {
        let held = source(&text);
        let tree = language::parse(SourceId(0), &held, &Limits::default(), &mut Vec::new());
        let mut blocks: Vec<String> = tree
            .blocks
            .iter()
            .map(|block| {
                let from = tree.span_of(&block.head).start as usize;
                let close = block.body.as_ref().and_then(|body| body.close);
                let to = close.map_or(tree.span_of(&block.head).end, |close| tree.span(close).end) as usize;
                held.text[from..to].to_owned()
            })
            .collect();
        let first = compile(&text);
        let (found, things) = (findings(&first), first.job.broken.len());
        assert!(blocks.len() > 25);
        for _ in 0..60 {
            for at in (1..blocks.len()).rev() {
                blocks.swap(at, dice.roll(at + 1));
            }
            let shuffled = compile(&blocks.join("\n"));
            assert_eq!(findings(&shuffled), found, "{}", blocks.join("\n"));
            assert_eq!(shuffled.job.broken.len(), things);
        }
    }
}

#[test]
fn line_ends_and_a_byte_order_mark_change_nothing() {
    for (name, text) in jobs() {
        let unix = text.replace("\r\n", "\n").replace('\r', "\n");
        let plain = compile(&unix);
        let places = |compiled: &Compiled| -> Vec<(u32, u32)> {
            let spans = compiled.problems.iter().filter_map(|problem| problem.span());
            spans.map(|span| compiled.sources.get(span.source).line_column(span.start)).collect()
        };
        let mut others = vec![unix.replace('\n', "\r\n"), unix.replace('\n', "\r"), format!("\u{feff}{unix}")];
        others.push(unix.strip_suffix('\n').unwrap_or(&unix).to_owned());
        others.push(format!("{unix}\n"));
        for (number, other) in others.iter().enumerate() {
            let other = compile(other);
            assert_eq!(findings(&other), findings(&plain), "{name} {number}");
            assert_eq!(model(&other), model(&plain), "{name} {number}");
            if number < 3 {
                assert_eq!(places(&other), places(&plain), "{name} {number}");
            }
        }
    }
}

#[test]
fn formatting_changes_blanks_only() {
    for (name, text) in jobs() {
        let once = formatted(&text);
        assert_eq!(formatted(&once), once, "{name}");
        assert_eq!(comments(&once), comments(&text), "{name}");
        assert_eq!(tokens(&once), tokens(&text), "{name}");
        assert!(!once.contains('\r') && !once.starts_with('\u{feff}'), "{name}");
        let (before, after) = (compile(&text), compile(&once));
        assert_eq!(model(&after), model(&before), "{name}");
        assert_eq!(findings(&after), findings(&before), "{name}");
    }
    for (name, text) in jobs().iter().filter(|(name, _)| name.starts_with("examples")) {
        assert_eq!(&formatted(text), text, "{name} stands in its one form");
    }
}

/// A text made of the language's own pieces.
fn soup() -> impl Strategy<Value = String> {
    let piece = (0..VOCABULARY.len(), any::<bool>())
        .prop_map(|(at, apart)| format!("{}{}", VOCABULARY[at], if apart { " " } else { "" }));
    prop::collection::vec(piece, 0..60).prop_map(|pieces| pieces.concat())
}

/// A text of letters that matter to the scanner, and some that should not.
fn scribble() -> impl Strategy<Value = String> {
    let letters = "ab10 29./'\"\\{};,=+-*()#_%:\t\n\r½′″”“’−–⁄×\u{a0}\u{85}\u{2028}\u{feff}\u{200b}\0\u{7f}é漢🧱";
    let letters: Vec<char> = letters.chars().collect();
    prop::collection::vec(prop::sample::select(letters), 0..80).prop_map(|letters| letters.into_iter().collect())
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 3_000,
        failure_persistence: None,
        rng_seed: prop::test_runner::RngSeed::Fixed(0xb0a7),
        ..ProptestConfig::default()
    })]

    #[test]
    fn every_byte_is_kept(text in prop_oneof![any::<String>(), scribble(), soup()]) {
        prop_assert!(kept(&text));
    }

    #[test]
    fn formatting_twice_is_formatting_once(text in prop_oneof![scribble(), soup()]) {
        let once = formatted(&text);
        prop_assert_eq!(&formatted(&once), &once);
        prop_assert_eq!(tokens(&once), tokens(&text));
        prop_assert_eq!(comments(&once), comments(&text));
    }

    #[test]
    fn any_text_goes_all_the_way(text in prop_oneof![any::<String>(), scribble(), soup()]) {
        take(&text, 3);
    }

    #[test]
    fn formatting_changes_no_finding(text in soup()) {
        let (before, after) = (compile(&text), compile(&formatted(&text)));
        prop_assert_eq!(findings(&after), findings(&before));
        prop_assert_eq!(model(&after), model(&before));
    }

    #[test]
    fn lone_line_ends_change_no_finding(text in soup()) {
        let unix = text.replace("\r\n", "\n").replace('\r', "\n");
        let plain = compile(&unix);
        for ending in ["\r\n", "\r"] {
            let other = compile(&unix.replace('\n', ending));
            prop_assert_eq!(findings(&other), findings(&plain));
            prop_assert_eq!(model(&other), model(&plain));
        }
    }
}

/// What a length in a job comes to, in nanometres: through the grammar, the reader and the typed job.
fn through_a_job(value: &str) -> Option<i64> {
    let text = format!("job \"Measure\" {{ }}\nlet x = {value}\nwall old {{ leg back 10'; wood x }}");
    let compiled = compile(&text);
    compiled
        .job
        .walls
        .first()
        .filter(|_| findings(&compiled).is_empty())
        .and_then(|wall| wall.say.wood)
        .map(|wood| wood.nm())
}

#[test]
fn every_notation_of_the_trade_is_exact() {
    const INCH: i64 = 25_400_000;
    let sixty_fourths = |count: i64| count * INCH / 64;
    for (value, nm) in [
        ("8\"", 8 * INCH),
        ("6'", 72 * INCH),
        ("12'-6 1/2\"", 150 * INCH + INCH / 2),
        ("12' 6 1/2\"", 150 * INCH + INCH / 2),
        ("12'   6   1/2\"", 150 * INCH + INCH / 2),
        ("12' 6\"", 150 * INCH),
        ("12'6\"", 150 * INCH),
        ("12'-6\"", 150 * INCH),
        ("12'-0\"", 144 * INCH),
        ("12'-1/2\"", 144 * INCH + INCH / 2),
        ("12'-0 1/2\"", 144 * INCH + INCH / 2),
        ("12'-6.5\"", 150 * INCH + INCH / 2),
        ("6.5 in", 6 * INCH + INCH / 2),
        ("6 1/2 in", 6 * INCH + INCH / 2),
        ("12.5 ft", 150 * INCH),
        ("12.54 ft", 3_822_192_000),
        ("320 mm", 320_000_000),
        ("3.2 m", 3_200_000_000),
        ("2 1/2\"", 5 * INCH / 2),
        ("5/8\"", 5 * INCH / 8),
        ("1/64\"", sixty_fourths(1)),
        ("63/64\"", sixty_fourths(63)),
        ("3 1/32\"", 3 * INCH + sixty_fourths(2)),
        ("-3/4\"", -3 * INCH / 4),
        ("−3/4\"", -3 * INCH / 4),
        ("-12'-6 1/2\"", -150 * INCH - INCH / 2),
        ("12′-6½″", 150 * INCH + INCH / 2),
        ("12’-6½”", 150 * INCH + INCH / 2),
        ("12′–6 1⁄2″", 150 * INCH + INCH / 2),
        ("6 ½\"", 6 * INCH + INCH / 2),
        ("6⅞\"", 6 * INCH + 7 * INCH / 8),
        ("⅝\"", 5 * INCH / 8),
        ("6''", 6 * INCH),
        ("10\" - 4\"", 6 * INCH),
        ("10\" / 4", 5 * INCH / 2),
        ("3 * 1/3 ft", 12 * INCH),
        ("max(8\", 200 mm)", 8 * INCH),
        ("min(8\", 200 mm)", 200_000_000),
        ("(2' + 6\") / 2", 15 * INCH),
        ("0", 0),
    ] {
        if value != "0" {
            assert_eq!(through_a_job(value), Some(nm), "{value}");
        }
        let direct = format!("job \"Measure\" {{ }}\nwall old {{ leg back 10'; wood {value} }}");
        let compiled = compile(&direct);
        assert_eq!(compiled.job.walls[0].say.wood.map(|wood| wood.nm()), Some(nm), "{value}");
    }
    for under in [2, 4, 8, 16, 32, 64] {
        for over in 1..under {
            assert_eq!(through_a_job(&format!("7 {over}/{under}\"")), Some(7 * INCH + over * INCH / under));
        }
    }
}

#[test]
fn every_refusal_says_what_can_be_meant() {
    for (value, kind, instead) in [
        ("5'-14\"", MisreadKind::TwelveInches, Some("6'-2\"")),
        ("5'-12 1/2\"", MisreadKind::TwelveInches, Some("6'-0 1/2\"")),
        ("5'-6", MisreadKind::NoInchMark, Some("5'-6\"")),
        ("5'6", MisreadKind::NoInchMark, Some("5'-6\"")),
        ("5.5'-3\"", MisreadKind::BrokenFeet, None),
        ("5'-6'", MisreadKind::FeetTwice, Some("5'-6\"")),
        ("5-1/2\"", MisreadKind::HyphenBeforeFraction, Some("5 1/2\"")),
        ("5-6", MisreadKind::HyphenInside, None),
        ("6 9/8\"", MisreadKind::ImproperFraction, Some("7 1/8\"")),
        ("9/8\"", MisreadKind::ImproperFraction, Some("1 1/8\"")),
        ("6 1/3\"", MisreadKind::NotOnTape, None),
        ("6 1/0\"", MisreadKind::ZeroDenominator, None),
        ("5.\"", MisreadKind::TrailingPoint, Some("5\"")),
        ("1.2.3", MisreadKind::TwoPoints, None),
        ("2027-02-30", MisreadKind::NoSuchDate, None),
        ("25:00", MisreadKind::NoSuchTime, None),
        ("3/5/2027", MisreadKind::DateOrder, None),
        ("31/5/2027", MisreadKind::DateOrder, Some("2027-05-31")),
    ] {
        let misread = units::number(value).unwrap_err();
        assert_eq!((misread.kind, misread.instead.as_deref()), (kind, instead), "{value}");
        let compiled = compile(&format!("job \"Measure\" {{ }}\nlet x = {value}"));
        let [problem] = &compiled.problems[..] else { panic!("{value}: {:?}", findings(&compiled)) };
        assert!(
            ["number-unreadable", "date-unreadable"].contains(&problem.rule.name),
            "{value}: {}",
            problem.rule.name
        );
        if let Some(instead) = instead {
            let help = problem.helps(System::Feet).unwrap_or_default();
            assert!(help.contains(&format!("`{instead}`")), "{value}: {help}");
            assert_eq!(problem.fix.as_ref().map(|fix| fix.text.as_str()), Some(instead), "{value}");
        }
    }
    for (value, rule, readings) in [
        ("12' -6\"", "side-by-side", ["12' - 6\"", "12', -6\""]),
        ("6 -1/2\"", "side-by-side", ["6 - 1/2\"", "6, -1/2\""]),
        ("width -3\"", "side-by-side", ["width - 3\"", "width, -3\""]),
        ("1,5", "decimal-comma", ["1.5", "1, 5"]),
        ("1,000", "decimal-comma", ["1000", "1.000"]),
    ] {
        let compiled = compile(&format!("job \"Measure\" {{ }}\nlet width = 9\"\nlet x = {value}"));
        let [problem] = &compiled.problems[..] else { panic!("{value}: {:?}", findings(&compiled)) };
        assert_eq!(problem.rule.name, rule, "{value}");
        let help = problem.helps(System::Feet).unwrap_or_default();
        for reading in readings {
            assert!(help.contains(&format!("`{reading}`")), "{value}: {help}");
        }
    }
}

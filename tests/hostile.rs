//! Hostile and unlucky texts: what reading does with them, row by row of the catalogue of hostile inputs. Where the
//! language chose between two answers the choice stands beside its test. Shapes that would hang a reader whose work
//! grows with the square of its input are built large enough to show it.

use batterboard::{
    compile::{Compiled, compile, compile_text},
    job,
    language::{self, Limits},
    problem::{Level, Problem, View, Viewer},
    source::{Shelf, Trouble},
    units::System,
};
use unicode_width::UnicodeWidthStr as _;

/// A job with nothing in it.
const JOB: &str = "job \"Porch\" { }\n";

/// A wall to measure on.
const WALL: &str = "wall old { leg back 10'; corner outside; leg side 3'; thick 8\"; height -12\" to 26\" }\n";

fn read_within(text: &str, limits: &Limits) -> Compiled {
    compile_text(&Shelf::default(), "porch.job", text, limits)
}

fn read(text: &str) -> Compiled {
    read_within(text, &Limits::default())
}

fn read_bytes(bytes: impl Into<Vec<u8>>) -> Compiled {
    let shelf = Shelf::new([("porch.job", bytes)]);
    compile(&shelf, "porch.job", &Limits::default()).unwrap()
}

/// The findings of reading, those of later checks left out.
fn findings(compiled: &Compiled) -> Vec<&Problem> {
    let reading = [language::rules::ALL, job::rules::ALL];
    compiled.problems.iter().filter(|problem| reading.iter().any(|all| all.contains(&problem.rule))).collect()
}

fn names(compiled: &Compiled) -> Vec<&'static str> {
    findings(compiled).iter().map(|problem| problem.rule.name).collect()
}

fn rules(text: &str) -> Vec<&'static str> {
    names(&read(text))
}

/// The level of the wood on a wall, in nanometres, or what was found instead.
fn level(value: &str) -> Result<i64, Vec<&'static str>> {
    level_in(&format!("{JOB}wall old {{ leg back 10'; wood {value} }}\n"), &Limits::default())
}

fn level_in(text: &str, limits: &Limits) -> Result<i64, Vec<&'static str>> {
    let compiled = read_within(text, limits);
    let found = names(&compiled);
    match compiled.job.walls.first().and_then(|wall| wall.say.wood) {
        Some(length) if found.is_empty() => Ok(length.nm()),
        _ => Err(found),
    }
}

/// The first finding in words: headline and help.
fn words(text: &str) -> String {
    let compiled = read(text);
    let found = findings(&compiled);
    found.first().map_or_else(String::new, |problem| in_words(problem))
}

fn in_words(problem: &Problem) -> String {
    format!("{} / {}", problem.says(System::Feet), problem.helps(System::Feet).unwrap_or_default())
}

fn line_column(compiled: &Compiled, problem: &Problem) -> (u32, u32) {
    let span = problem.span().unwrap();
    compiled.sources.get(span.source).line_column(span.start)
}

/// All findings as a person sees them, of the first `most`.
fn drawn(compiled: &Compiled, width: usize, most: usize) -> Vec<String> {
    let viewer = Viewer::new(&compiled.sources, View { colour: false, width, system: System::Feet });
    compiled.problems.iter().take(most).map(|problem| viewer.render(problem)).collect()
}

#[test]
fn row_01_and_02_an_empty_file_holds_no_job() {
    for text in ["", " ", "\n", "\r\n\r\n", "\t \n\n", "// a thought\n", "// a thought", "\u{feff}", "\u{feff}\n"] {
        assert_eq!(rules(text), ["nothing-here"], "{text:?}");
    }
}

#[test]
fn row_03_byte_order_mark() {
    let plain = read(&format!("{JOB}let gap = 3"));
    let marked = read(&format!("\u{feff}{JOB}let gap = 3"));
    assert_eq!(names(&plain), names(&marked));
    let wrong = read("\u{feff}jbo \"Porch\" { }");
    assert_eq!(names(&wrong), ["kind-unknown"]);
    assert_eq!(line_column(&wrong, &wrong.problems[0]), (1, 1), "columns are counted without the mark");
    let middle = read(&format!("{JOB}let gap\u{feff} = 3"));
    assert_eq!(names(&middle), ["odd-character"]);
    assert!(in_words(&middle.problems[0]).contains("U+FEFF"));
}

#[test]
fn row_04_utf_16_is_one_finding() {
    for mark in ["", "\u{feff}"] {
        let text = format!("{mark}{}", format!("{JOB}{WALL}").repeat(200));
        let little: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
        let big: Vec<u8> = text.encode_utf16().flat_map(u16::to_be_bytes).collect();
        for bytes in [little, big] {
            let compiled = read_bytes(bytes);
            assert_eq!(names(&compiled), ["not-text"]);
            assert!(in_words(&compiled.problems[0]).contains("UTF-16"));
        }
    }
}

#[test]
fn row_05_and_06_bytes_that_are_not_utf_8_are_one_finding_with_byte_and_line() {
    for (bytes, byte, line) in [
        (&b"\xff"[..], 0, 1),
        (b"job \"a\" { }\n\xc0\xaf", 12, 2),
        (b"a\r\nb\rc \xed\xa0\x80", 7, 3),
        (b"job \"quarry \xe2\x80", 12, 1),
    ] {
        let compiled = read_bytes(bytes);
        assert_eq!(names(&compiled), ["not-text"], "{bytes:x?}");
        assert!(in_words(&compiled.problems[0]).contains(&format!("byte {byte}, in line {line}")));
    }
    let compiled = read_bytes(&b"job \"6\xbd wide\" { }"[..]);
    assert_eq!(names(&compiled), ["not-text"]);
    assert!(in_words(&compiled.problems[0]).contains("Windows-1252"));
}

#[test]
fn row_07_nul_bytes() {
    assert_eq!(rules(&format!("{JOB}let a\0b = 3")), ["odd-character"]);
    assert_eq!(rules("job \"Por\0ch\" { }"), ["hidden-character"]);
    assert_eq!(rules(&format!("{JOB}\0")), ["odd-character"]);
    assert_eq!(names(&read_bytes(vec![0; 1 << 20])), ["not-text"]);
    // A stretch of them is one finding.
    assert_eq!(rules(&format!("{JOB}\0\0\0\0")), ["odd-character"]);
    let compiled = read("job \"Por\0ch\" { bogus 3 }");
    for text in drawn(&compiled, 80, 9) {
        assert!(!text.contains('\0'), "{text}");
    }
}

#[test]
fn row_08_line_ends() {
    // A lone CR ends a line, as it does for editors that speak the language server protocol.
    let lines =
        ["job \"Porch\" {", "  start 2027-05-03", "}", "wall old { leg back 10' }", "let gap = \"", "bogus { }", ""];
    let unix = read(&lines.join("\n"));
    assert_eq!(names(&unix), ["string-unclosed", "kind-unknown"]);
    for ending in ["\r\n", "\r"] {
        let other = read(&lines.join(ending));
        assert_eq!(names(&unix), names(&other), "{ending:?}");
        for (one, two) in unix.problems.iter().zip(&other.problems) {
            assert_eq!(line_column(&unix, one), line_column(&other, two), "{ending:?}");
            assert_eq!(one.args, two.args);
        }
    }
}

#[test]
fn row_08_line_ends_after_a_long_line() {
    // Whatever a line's length, and whatever whole it is read in, its end stays one line end.
    for ending in ["\n", "\r\n", "\r"] {
        for extra in 0..4 {
            let long = format!("// {}", "x".repeat(64 * 1024 - 5 + extra));
            let text = format!("{long}{ending}{ending}{JOB}", JOB = JOB.trim_end());
            let compiled = read(&text);
            assert_eq!(names(&compiled), Vec::<&str>::new());
            let source = batterboard::source::Source::new("porch.job", text);
            let formatted = language::format(&source, &Limits::default());
            assert_eq!(formatted, format!("{long}\n\n{JOB}"));
        }
    }
}

#[test]
fn row_08_lone_carriage_returns_are_read_in_one_pass() {
    let text = format!("{JOB}{}", "let a = 1\r".repeat(200_000));
    let compiled = read(&text);
    assert_eq!(compiled.problems.len(), 199_999, "each repeated name is found");
}

#[test]
fn row_09_no_newline_at_the_end() {
    for text in [JOB.trim_end(), "job \"Porch\" { } // note", "job \"Porch\" { }\nlet gap = 3\""] {
        assert_eq!(rules(text), rules(&format!("{text}\n")), "{text:?}");
    }
}

#[test]
fn row_10_a_file_that_ends_inside_something_is_told_where_that_began() {
    for (text, rule, place) in [
        ("job \"Porch", "string-unclosed", (1, 5)),
        ("job \"Porch\" {", "block-unclosed", (1, 13)),
        ("job \"Porch\" {\n  site \"lake", "string-unclosed", (2, 8)),
        ("job \"Porch\" { }\nwall old { leg back", "block-unclosed", (2, 10)),
        ("job \"Porch\" { }\nlet a = (3", "value-misfit", (2, 9)),
        ("job \"Porch\" { }\nlet a = min(3", "value-misfit", (2, 12)),
    ] {
        let compiled = read(text);
        let found = findings(&compiled);
        let held = found.iter().find(|problem| problem.rule.name == rule);
        let held = held.unwrap_or_else(|| panic!("{text:?}: {:?}", names(&compiled)));
        assert_eq!(line_column(&compiled, held), place, "{text:?}");
    }
}

#[test]
fn row_11_separators_of_other_alphabets_end_no_line() {
    for letter in ['\u{2028}', '\u{2029}', '\u{85}', '\u{b}', '\u{c}'] {
        let compiled = read(&format!("{JOB}{letter}\nbogus {{ }}"));
        assert_eq!(names(&compiled), ["odd-character", "kind-unknown"], "{letter:?}");
        assert_eq!(line_column(&compiled, &compiled.problems[1]), (3, 1));
        assert_eq!(rules(&format!("// a{letter}b\n{JOB}")).len(), usize::from(letter.is_control()), "{letter:?}");
    }
}

#[test]
fn row_12_control_z_is_an_error_and_not_the_end() {
    assert_eq!(rules(&format!("{JOB}\u{1a}")), ["odd-character"]);
    assert_eq!(rules(&format!("{JOB}\u{1a}\nbogus {{ }}")), ["odd-character", "kind-unknown"]);
}

#[test]
fn row_13_a_binary_file_is_one_finding() {
    for bytes in [&b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR"[..], b"\x7fELF\x02\x01\x01\0", b"PK\x03\x04\x14\0"] {
        assert_eq!(names(&read_bytes(bytes)), ["not-text"]);
    }
    let shelf =
        Shelf::new([("porch.job", &b"include \"shop.job\"\njob \"Porch\" { }"[..]), ("shop.job", b"\x7fELF\0\0")]);
    let compiled = compile(&shelf, "porch.job", &Limits::default()).unwrap();
    assert_eq!(names(&compiled), ["not-text"], "and so is an included one");
}

#[test]
fn row_14_marks_that_turn_the_writing_round() {
    for code in [0x202a, 0x202e, 0x2066, 0x2069, 0x200e, 0x200f, 0x061c] {
        let mark = char::from_u32(code).unwrap();
        let named = format!("U+{code:04X}");
        for (text, rule, level) in [
            (format!("{JOB}// take {mark} out"), "hidden-character", Level::Warning),
            (format!("job \"Por{mark}ch\" {{ }}"), "hidden-character", Level::Warning),
            (format!("{JOB}let ga{mark}p = 3"), "odd-character", Level::Error),
        ] {
            let compiled = read(&text);
            assert_eq!(names(&compiled), [rule], "{text:?}");
            assert_eq!(compiled.problems[0].rule.level, level);
            assert!(in_words(&compiled.problems[0]).contains(&named), "{}", in_words(&compiled.problems[0]));
            assert!(drawn(&compiled, 80, 1).iter().all(|text| !text.contains(mark)));
        }
    }
}

#[test]
fn row_15_letters_of_other_alphabets_are_never_taken_for_latin_ones() {
    // Names have the letters a to z only, so the Cyrillic look-alike is an error; its uses stay silent or unknown.
    let compiled = read(&format!("{JOB}let g\u{430}p = 3\nlet b = gap + 1"));
    assert_eq!(names(&compiled), ["odd-character", "name-unknown"]);
    // Latin names that look alike are a warning and never equal.
    let compiled = read(&format!("{JOB}let low1 = 3\nlet lowl = 4\nlet b = lowl"));
    assert_eq!(names(&compiled), ["names-alike"]);
    assert_eq!(compiled.problems[0].rule.level, Level::Warning);
}

#[test]
fn row_16_blanks_no_keyboard_shows() {
    for code in [0xa0, 0x200b, 0x200c, 0x200d, 0x2060, 0xad, 0x2009, 0x3000] {
        let blank = char::from_u32(code).unwrap();
        let compiled = read(&format!("{JOB}let{blank}gap = 3"));
        assert_eq!(names(&compiled), ["odd-character"], "U+{code:04X}");
        let problem = &compiled.problems[0];
        assert!(in_words(problem).contains(&format!("U+{code:04X}")));
        assert_eq!(problem.fix.as_ref().unwrap().text, " ");
    }
    // Inside a number it is that one finding too, not a second one about what it tears apart.
    assert_eq!(level("2\u{a0}1/2\""), Err(vec!["odd-character"]));
}

#[test]
fn row_17_typographic_marks() {
    let exact = 12 * 304_800_000 + 6 * 25_400_000 + 12_700_000;
    for value in ["12'-6 1/2\"", "12′-6½″", "12’-6½”", "12'-6½\"", "12' 6 1/2\"", "12′–6 1⁄2″", "12'-6.5\""]
    {
        assert_eq!(level(value), Ok(exact), "{value}");
    }
    assert_eq!(level("6½\""), Ok(165_100_000), "never sixty-one halves, never six");
    assert_eq!(level("6 ½\""), Ok(165_100_000));
    assert_eq!(level("6½ in"), Ok(165_100_000));
    assert_eq!(level("−4\""), Ok(-101_600_000));
    assert_eq!(level("10\" − 4\""), Ok(152_400_000));
    // A dash is no minus: it is offered as one.
    assert!(level("–4\"").is_err() && level("10\" – 4\"").is_err());
    assert!(words(&format!("{JOB}let a = 10\" – 4\"")).contains("write a plain `-`"));
    assert!(words(&format!("{JOB}let a = 2 × 4\"")).contains("`*` to multiply"));
    assert_eq!(rules("job “Porch” { }"), Vec::<&str>::new());
}

#[test]
fn row_18_accents_stand_in_strings_only() {
    // Both forms of the letter are refused in names, so neither can be taken for the other.
    for name in ["caf\u{e9}", "cafe\u{301}"] {
        assert_eq!(rules(&format!("{JOB}let {name} = 3")), ["odd-character"]);
        assert_eq!(rules(&format!("job \"{name}\" {{ }}")), Vec::<&str>::new());
    }
}

#[test]
fn row_19_wide_letters_and_piles_of_marks() {
    let pile = format!("e{}", "\u{301}".repeat(1000));
    for text in ["🧱", "🇫🇮🇸🇪", "👩‍👩‍👧‍👦", "漢字", pile.as_str()] {
        let compiled = read(&format!("job \"{text}\" {{ }} bogus x {{ }}"));
        assert!(names(&compiled).contains(&"kind-unknown"), "{text}: {:?}", names(&compiled));
        assert_eq!(drawn(&compiled, 80, 9).len(), compiled.problems.len());
    }
    let compiled = read("job \"🧱漢 é\" { } bogus x { }");
    let shown = drawn(&compiled, 80, 1).remove(0);
    let lines: Vec<&str> = shown.lines().collect();
    let at = lines.iter().position(|line| line.contains("bogus x")).unwrap();
    let before = |line: &str, mark: char| line.find(mark).map(|at| line[..at].width());
    let underline = lines[at + 1].find(['─', '┬', '▲']).map(|mark| lines[at + 1][..mark].width());
    assert_eq!(
        before(lines[at], 'b').map(|_| lines[at][..lines[at].find("bogus").unwrap()].width()),
        underline,
        "{shown}"
    );
}

#[test]
fn row_20_unassigned_and_private_letters_may_stand_in_strings() {
    assert_eq!(rules("job \"\u{e000}\u{fffe}\u{ffff}\u{378}\u{fffd}\" { }"), Vec::<&str>::new());
    assert_eq!(rules(&format!("{JOB}let a\u{e000} = 3")), ["odd-character"]);
}

#[test]
fn row_21_and_68_control_characters_are_never_shown_raw() {
    let text =
        "job \"a\u{1b}]0;t\u{7}\u{1b}[2J\u{8}\u{7f}\u{9b}1m\" { bogus \u{1b}[31m }\nwall \u{1b} { leg \"\u{9d}x\" }";
    let compiled = read(text);
    assert!(names(&compiled).contains(&"hidden-character") && names(&compiled).contains(&"odd-character"));
    for (number, shown) in drawn(&compiled, 80, 99).iter().enumerate() {
        assert!(shown.chars().all(|letter| letter == '\n' || !letter.is_control()), "{number}: {shown:?}");
    }
    // A lone CR would write over the line on a terminal.
    let compiled = read("job \"Porch\" {\r  bogus 1\r  bogus 2\r}\rjob \"Two\" { }");
    assert!(!compiled.problems.is_empty());
    assert!(drawn(&compiled, 80, 99).iter().all(|shown| !shown.contains('\r')));
}

#[test]
fn row_22_a_line_beyond_the_limit() {
    let mut limits = Limits::default();
    assert!(limits.set("line", 100));
    for (length, found) in [(99, vec![]), (100, vec![]), (101, vec!["line-too-long"])] {
        for ending in ["", "\n", "\r\n", "\r"] {
            let text = format!("{JOB}// {}{ending}", "x".repeat(length - 3));
            assert_eq!(names(&read_within(&text, &limits)), found, "{length} {ending:?}");
        }
    }
    let one = format!("job \"{}", "x".repeat(10_000_000));
    let compiled = read(&one);
    assert_eq!(names(&compiled), ["line-too-long"]);
    assert!(drawn(&compiled, 80, 1)[0].len() < 4_000);
    let short: Vec<String> = std::iter::repeat_n("12345678 ".to_owned(), 1_200_000).collect();
    assert_eq!(rules(&short.concat()), ["line-too-long"]);
}

#[test]
fn row_22_a_limit_beyond_what_a_token_holds_is_not_taken() {
    let limits = Limits { line: usize::MAX, ..Limits::default() };
    let text = format!("{JOB}// {}", "x".repeat(1 << 24));
    let compiled = read_within(&text, &limits);
    assert_eq!(names(&compiled), ["line-too-long"]);
    let source = batterboard::source::Source::new("porch.job", text.as_str());
    let tree = language::parse(batterboard::source::SourceId(0), &source, &limits, &mut Vec::new());
    assert!(tree.text(&source) == text, "every byte is kept");
}

#[test]
fn row_22_findings_far_out_on_a_long_line_are_shown_through_a_window() {
    let filler: String = (0..20_000).map(|at| format!("let n{at} = 1; ")).collect();
    let compiled = read(&format!("{JOB}let first = 1; {filler} let first = 2; bogus"));
    assert_eq!(names(&compiled), ["name-twice", "kind-unknown"]);
    for shown in drawn(&compiled, 80, 9) {
        assert!(shown.len() < 4_000, "{} bytes", shown.len());
        assert!(shown.contains("first = ") || shown.contains("bogus"), "{shown}");
    }
}

#[test]
fn row_23_a_million_empty_lines() {
    let compiled = read(&format!("{}{JOB}bogus {{ }}", "\n".repeat(1_000_000)));
    assert_eq!(names(&compiled), ["kind-unknown"]);
    assert_eq!(line_column(&compiled, &compiled.problems[0]), (1_000_002, 1));
}

#[test]
fn row_24_words_beyond_the_limit() {
    for (length, found) in [(254, vec![]), (255, vec![]), (256, vec!["word-too-long"])] {
        assert_eq!(rules(&format!("{JOB}let {} = 3", "a".repeat(length))), found, "{length}");
    }
    let mut limits = Limits::default();
    assert!(limits.set("word", 5));
    assert_eq!(names(&read_within(&format!("{JOB}let abcde = 3"), &limits)), Vec::<&str>::new());
    assert_eq!(names(&read_within(&format!("{JOB}let abcdef = 3"), &limits)), ["word-too-long"]);
    assert_eq!(rules(&format!("{JOB}let {} = 3", "a".repeat(1_000_000))), ["word-too-long"]);
    // 100,000 names with one beginning.
    let stem = "n".repeat(200);
    let many: String = (0..100_000).map(|at| format!("let {stem}{at} = 1\n")).collect();
    assert_eq!(rules(&format!("{JOB}{many}")), Vec::<&str>::new());
}

#[test]
fn row_25_unclosed_strings() {
    let compiled = read(&format!("{JOB}{}", "let a = \"\n".repeat(100_000)));
    let unclosed = names(&compiled).iter().filter(|name| **name == "string-unclosed").count();
    assert_eq!(unclosed, 100_000, "each line is told once");
    assert_eq!(rules(&format!("{JOB}{}", "\"".repeat(100_001))).len(), 1);
    assert_eq!(rules(&format!("{JOB}{}", "“".repeat(100_000))), ["string-unclosed"]);
    assert_eq!(rules(&format!("{JOB}\"{}", "\\\"".repeat(100_000))), ["string-unclosed"]);
}

#[test]
fn row_26_tabs() {
    assert_eq!(rules("job \"Porch\"\t{\n\tstart\t2027-05-03\n}"), Vec::<&str>::new());
    // A number's own blanks are those of the space bar; a tab sets two numbers apart.
    assert_eq!(level("2\t1/2\""), Err(vec!["side-by-side"]));
    assert_eq!(level("10\"\t-\t4\""), Ok(152_400_000));
    let compiled = read("job \"Porch\" {\n\t\tbogus 3\n}");
    assert_eq!(line_column(&compiled, &compiled.problems[0]), (2, 3), "a tab is one column");
    let shown = drawn(&compiled, 80, 1).remove(0);
    let lines: Vec<&str> = shown.lines().collect();
    let at = lines.iter().position(|line| line.contains("bogus 3")).unwrap();
    let underline = lines[at + 1].find(['─', '┬', '▲']).map(|mark| lines[at + 1][..mark].width());
    assert_eq!(lines[at].find("bogus").map(|mark| lines[at][..mark].width()), underline, "{shown}");
    assert!(shown.contains("porch.job:2:3"), "{shown}");
}

#[test]
fn row_27_words_of_the_language_as_names() {
    // A name may equal a kind or a verb, or begin with a figure; not a part word, a linking word or a property.
    for name in ["section", "wall", "drill", "job", "2x4", "9a", "a_b", "a-b", "#5x"] {
        assert_eq!(rules(&format!("{JOB}let {name} = 3")), Vec::<&str>::new(), "{name}");
    }
    for name in ["to", "at", "per", "min", "by", "top", "length", "humidity", "a.b"] {
        assert_eq!(rules(&format!("{JOB}let {name} = 3")), ["name-reserved"], "{name}");
    }
    for name in ["-a", "-9", ".a", "9", "\"a\"", "=", "_a", "a-", "a."] {
        let found = rules(&format!("{JOB}let {name} = 3"));
        assert_eq!(found.len(), 1, "{name}: {found:?}");
    }
}

#[test]
fn row_28_comments() {
    assert_eq!(rules(&format!("{JOB}{}", "//".repeat(400_000))), Vec::<&str>::new());
    assert_eq!(rules("job \"a // b\" { }"), Vec::<&str>::new(), "no comment begins inside a string");
    assert_eq!(rules(&format!("// \"no string begins here {{\n{JOB}")), Vec::<&str>::new());
    assert_eq!(rules(&"//\n".repeat(300_000)), ["nothing-here"]);
    assert_eq!(rules(&format!("{JOB}let a = 6/// half\n")), Vec::<&str>::new(), "a 6 and a comment");
}

#[test]
fn row_29_large_numbers() {
    for number in ["2147483647", "2147483648", "9007199254740993", "999999999999999999"] {
        assert_eq!(rules(&format!("{JOB}let a = {number}")), Vec::<&str>::new(), "{number}");
        assert_eq!(level(&format!("{number} in")), Err(vec!["too-large"]));
        // Exact to the last figure: the difference of two large numbers is not lost.
        assert_eq!(level(&format!("({number} - {number} + 1) * 1 mm")), Ok(1_000_000));
    }
    // Numbers have up to 18 figures.
    for number in ["1000000000000000000", "9223372036854775807", "18446744073709551616"] {
        assert_eq!(rules(&format!("{JOB}let a = {number}")), ["too-large"], "{number}");
    }
    let huge = "9".repeat(1_000_000);
    assert_eq!(rules(&format!("{JOB}let a = {huge}")), ["too-large"]);
    assert_eq!(rules(&format!("{JOB}let a = 0.{huge}")), ["too-large"]);
    assert_eq!(rules(&format!("{JOB}let a = 1/{huge}")), ["too-large"]);
    let compiled = read(&format!("{JOB}let a = {huge}"));
    assert!(drawn(&compiled, 80, 1)[0].len() < 6_000, "the number is not printed whole");
}

#[test]
fn row_30_numbers_of_other_languages() {
    for number in ["1e308", "1e-308", "NaN", "inf", "0x10", "1_000"] {
        assert_eq!(rules(&format!("{JOB}let a = {number}")).len(), 1, "{number}");
        assert!(level(&format!("{number} mm")).is_err(), "{number}");
    }
    for number in ["1,000", "1,5", "1.000,5"] {
        let found = rules(&format!("{JOB}let a = {number}"));
        assert!(found.contains(&"decimal-comma"), "{number}: {found:?}");
    }
    for number in ["٣", "１２"] {
        assert_eq!(rules(&format!("{JOB}let a = {number}")), ["odd-character"], "{number}");
    }
    let said = words(&format!("{JOB}let a = 1,000"));
    assert!(said.contains("`1000`") && said.contains("`1.000`") && said.contains("`1, 000`"), "{said}");
    let said = words(&format!("{JOB}let a = 1,5"));
    assert!(said.contains("`1.5`") && said.contains("`1, 5`"), "{said}");
}

#[test]
fn row_31_signs_and_points() {
    assert_eq!(level("-0"), Ok(0));
    assert_eq!(level("-0\""), Ok(0));
    assert_eq!(level("0005\""), Ok(127_000_000), "leading noughts say nothing");
    assert_eq!(level("00'-0\""), Ok(0));
    for value in ["+5\"", "--5\"", "5-\"", ".5\"", "5.\"", "- 5\"", "5 -", "* 5\""] {
        let found = level(value);
        assert!(found.as_ref().is_err_and(|found| found.len() == 1), "{value}: {found:?}");
    }
}

#[test]
fn row_32_fractions() {
    for (value, rule) in [
        ("6 1/0\"", "number-unreadable"),
        ("1/4294967296\"", "number-unreadable"),
        ("6 1/3\"", "number-unreadable"),
        ("6 9/8\"", "number-unreadable"),
        ("9/8\"", "number-unreadable"),
        ("6 -1/2\"", "side-by-side"),
        ("1/3 in", "number-unreadable"),
    ] {
        assert_eq!(level(value), Err(vec![rule]), "{value}");
    }
    assert!(words(&format!("{JOB}let a = 6 9/8\"")).contains("`7 1/8\"`"));
    assert_eq!(level("1/3 ft"), Ok(101_600_000), "a third of a foot is four inches");
}

#[test]
fn row_33_feet_and_inches_that_have_two_readings() {
    for (value, instead) in [
        ("5'-14\"", "`6'-2\"`"),
        ("5' 6", "`5'-6\"`"),
        ("5'6", "`5'-6\"`"),
        ("5'-6'", "`5'-6\"`"),
        ("5-1/2\"", "`5 1/2\"`"),
    ] {
        let found = level(value);
        assert!(found.as_ref().is_err_and(|found| found.len() == 1), "{value}: {found:?}");
        if value != "5' 6" {
            let said = words(&format!("{JOB}let a = {value}"));
            assert!(said.contains(instead), "{value}: {said}");
        }
    }
    assert!(level("5-6").is_err());
    assert_eq!(level("5'-1/2\""), Ok(5 * 304_800_000 + 12_700_000), "a fraction alone after feet has one reading");
    // Both readings are shown where a sign could be either.
    let said = words(&format!("{JOB}let a = 12' -6\""));
    assert!(said.contains("`12' - 6\"`") && said.contains("`12', -6\"`"), "{said}");
    let said = words(&format!("{JOB}{WALL}let a = old.top -3\""));
    assert!(said.contains("`old.top - 3\"`") && said.contains("`old.top, -3\"`"), "{said}");
}

#[test]
fn row_34_units() {
    for (value, rule) in [
        ("3' 20 mm", "side-by-side"),
        ("3'-20 mm", "number-unreadable"),
        ("8", "unit-missing"),
        ("8 ft2", "dimension-wrong"),
        ("8 kg", "dimension-wrong"),
        ("8 in mm", "value-extra"),
        ("8\" mm", "unit-twice"),
        ("12mm", "unit-glued"),
        ("8 bogus", "unit-unknown"),
        ("8\" + 2 kg", "dimension-wrong"),
        ("8\" / 0", "divided-by-zero"),
    ] {
        assert_eq!(level(value), Err(vec![rule]), "{value}");
    }
    assert_eq!(level("3' + 20 mm"), Ok(934_400_000));
    assert!(
        words(&format!("{JOB}wall old {{ leg back 10'; wood 8 }}"))
            .contains("`8\"` for inches, `8'` for feet, or `8 mm`")
    );
}

#[test]
fn row_35_sums_are_exact_in_any_order() {
    assert_eq!(level("(1/3 + 1/3 + 1/3) * 1 mm"), Ok(1_000_000));
    assert_eq!(level("0.1 mm + 0.2 mm"), Ok(300_000));
    assert_eq!(level("1000 * 1/16\" - 62\""), Ok(12_700_000), "a multiple of a fraction of an inch");
    let terms = ["1/64\"", "1/3 ft", "0.1 mm", "1/7 * 1 m"];
    let mut sums = Vec::new();
    for a in 0..terms.len() {
        for b in 0..terms.len() {
            for c in 0..terms.len() {
                if a != b && b != c && a != c {
                    let d = 6 - a - b - c;
                    sums.push(level(&format!("{} + {} + {} + {}", terms[a], terms[b], terms[c], terms[d])));
                }
            }
        }
    }
    assert_eq!(sums.len(), 24);
    assert!(sums.iter().all(|sum| sum.is_ok() && sum == &sums[0]), "{sums:?}");
}

#[test]
fn row_36_products_that_are_too_large() {
    let large = "100000000000000000";
    assert_eq!(level(&format!("{large} * {large} * {large} * 1 mm")), Err(vec!["too-large"]));
    assert_eq!(level("1000 m"), Ok(1_000_000_000_000));
    assert_eq!(level("1000.000000001 m"), Err(vec!["too-large"]));
    assert_eq!(level("-1000.000000001 m"), Err(vec!["too-large"]));
    let mut doubled = format!("{JOB}let d0 = 2\n");
    for at in 1..40 {
        doubled.push_str(&format!("let d{at} = d{} * d{}\n", at - 1, at - 1));
    }
    let compiled = read(&format!("{doubled}wall old {{ leg back 10'; wood d39 * 1 mm }}"));
    assert_eq!(names(&compiled), ["too-large"], "said once, where it first is too large");
}

#[test]
fn row_38_counts() {
    let bags = |count: &str| {
        rules(&format!(
            "{JOB}{WALL}section low {{ along old.back; thick 8\"; height 0 to 12\" }}\nmix m {{ bag 80 lb, yields 0.6 ft3 }}\npour p {{ fill low; mix m; mixer {count} }}"
        ))
    };
    assert_eq!(bags("2 bags"), Vec::<&str>::new());
    assert_eq!(bags("1000000000 bags"), Vec::<&str>::new());
    assert_eq!(bags("1000000001 bags"), ["too-large"]);
    assert_eq!(bags("0"), ["sign-wrong"]);
    assert_eq!(bags("-1"), ["sign-wrong"]);
    assert_eq!(bags("1.5"), ["count-broken"]);
}

#[test]
fn row_39_blocks_do_not_nest_and_10_000_unclosed_ones_are_10_000_findings() {
    let compiled = read(&format!("{JOB}{}", "wall w {\n".repeat(10_000)));
    let unclosed = names(&compiled).iter().filter(|name| **name == "block-unclosed").count();
    assert_eq!(unclosed, 10_000);
    let compiled = read(&format!("{JOB}{}", "{".repeat(100_000)));
    assert!(compiled.problems.len() <= 200_001);
}

#[test]
fn row_39_parentheses_to_the_limit() {
    let nested = |depth: usize| format!("{}8\"{}", "(".repeat(depth), ")".repeat(depth));
    for (depth, found) in [(127, Ok(203_200_000)), (128, Ok(203_200_000)), (129, Err(vec!["nested-deep"]))] {
        assert_eq!(level(&nested(depth)), found, "{depth}");
    }
    let inside = |depth: usize| format!("{}8\"{}", "max(min(".repeat(depth), "))".repeat(depth));
    assert_eq!(level(&inside(64)), Ok(203_200_000));
    assert_eq!(level(&inside(65)), Err(vec!["nested-deep"]));
    let text = |depth: usize| format!("{JOB}wall old {{ leg back 10'; wood {} }}\n", nested(depth));
    let mut limits = Limits::default();
    assert!(limits.set("depth", 3));
    assert_eq!(level_in(&text(3), &limits), Ok(203_200_000));
    assert_eq!(level_in(&text(4), &limits), Err(vec!["nested-deep"]));
    // However far the limit is moved, the stack holds.
    let limits = Limits { depth: usize::MAX, ..Limits::default() };
    assert_eq!(level_in(&text(100_000), &limits), Ok(203_200_000));
    assert_eq!(level_in(&text(100_000).replace(") }", " }"), &limits), Err(vec!["value-misfit"]));
}

#[test]
fn row_39_and_85_128_levels_fit_a_stack_of_256_kib() {
    let work = || level(&format!("{}8\"{}", "(".repeat(128), ")".repeat(128)));
    let small = std::thread::Builder::new().stack_size(256 * 1024).spawn(work).unwrap();
    assert_eq!(small.join().unwrap(), Ok(203_200_000));
}

#[test]
fn row_40_parentheses_by_the_hundred_thousand() {
    let many = 100_000;
    assert_eq!(level(&"(".repeat(many)), Err(vec!["nested-deep"]));
    assert_eq!(level(&format!("{}{}", "(".repeat(many), ")".repeat(many))), Err(vec!["nested-deep"]));
    assert_eq!(level(&")".repeat(many)), Err(vec!["value-misfit"]));
    assert_eq!(level(&"-".repeat(many)), Err(vec!["value-misfit"]));
    assert_eq!(level(&format!("8\"{}", " + 0".repeat(many))), Ok(203_200_000));
    assert_eq!(level(&format!("8\"{}", " * 1".repeat(many))), Ok(203_200_000));
    assert_eq!(level(&format!("max(8\"{})", ", 0\"".repeat(many))), Ok(203_200_000));
    assert_eq!(rules(&format!("{JOB}{}", "}".repeat(many))).len(), many, "each closes nothing");
    assert!(read(&format!("{JOB}{}", "{}".repeat(many))).problems.len() >= many);
}

#[test]
fn row_41_bait_for_readers_that_go_back() {
    // A number that breaks off at its very end, with blanks inside from which it could be begun again.
    for piece in
        ["1 1/2-", "1'-1 1/2-", "½ ½-", "1-1-", "1.1 1/2-1 ½-", "1 2 3 ", "1 ", "a-", "1'", "1:", "1%", "\\\"", "\"\\"]
    {
        let long = format!("{}1x", piece.repeat(300_000 / piece.len()));
        let compiled = read(&format!("{JOB}let a = {long}"));
        assert!(!compiled.problems.is_empty(), "{piece}");
        let compiled = read(&format!("{JOB}{}\n", format!("{}1x\n", piece.repeat(20)).repeat(5_000)));
        assert!(!compiled.problems.is_empty(), "{piece}");
    }
    // Strings that may have been closed too early, all on one line.
    for piece in ["a\"b\" ", "a\"b\"", "“a”b ", "8\" a\" ", "\" \"a", "\\ "] {
        let compiled = read(&format!("{JOB}\"x\" {}\n", piece.repeat(300_000 / piece.len())));
        assert!(!compiled.problems.is_empty(), "{piece}");
    }
    // `12'-6x` is one bad word, said once.
    assert_eq!(level("12'-6x"), Err(vec!["odd-character"]));
    assert_eq!(level("12 1/2-6x"), Err(vec!["odd-character"]));
}

#[test]
fn row_42_100_000_sections() {
    let mut text = format!("{JOB}{WALL}");
    for at in 0..100_000 {
        text.push_str(&format!(
            "section s{at} {{ along old.back 0 to 6'; thick 8\"; height s{}.bottom to 12\" }}\n",
            (at + 1) % 100_000
        ));
    }
    let compiled = read(&text);
    assert_eq!(names(&compiled), ["circle"], "100,000 sections each on the bottom of the next");
    let compiled = read(&text.replace("s0.bottom", "-4\""));
    assert_eq!(names(&compiled), Vec::<&str>::new());
    assert_eq!(compiled.job.sections.len(), 100_000);
}

#[test]
fn row_42_10_000_legs_and_stretches_over_them() {
    let many = 10_000;
    let legs: String = (0..many).map(|at| format!("leg n{at} w{at}\n")).collect();
    let lets: String = (0..many).map(|at| format!("let w{at} = 1'\n")).collect();
    let places: Vec<String> = (0..many).map(|at| format!("old.n{at}")).collect();
    let text = format!(
        "{JOB}section low {{ along {}; thick low.length / 1000; height 0 to 1' }}\nwall old {{\n{legs}}}\n{lets}",
        places.join(", ")
    );
    let compiled = read(&text);
    assert_eq!(names(&compiled), Vec::<&str>::new());
    let thick = compiled.job.sections[0].say.thick.as_ref().unwrap().value.thick.0;
    assert_eq!(thick.nm(), many * 304_800);
    let wrong: Vec<String> = (0..many).map(|at| format!("old.m{at}")).collect();
    let compiled = read(&format!(
        "{JOB}section low {{ along {}; thick 8\"; height 0 to 1' }}\nwall old {{\n{legs}}}\n{lets}",
        wrong.join(", ")
    ));
    assert_eq!(names(&compiled).len(), many as usize);
    let longest = compiled.problems.iter().map(|problem| in_words(problem).len()).max().unwrap();
    assert!(longest < 1_000, "not all legs are listed each time: {longest}");
}

#[test]
fn row_43_duplicate_names() {
    let compiled = read(&format!("{JOB}let a = 1\nlet a = 2"));
    assert_eq!(names(&compiled), ["name-twice"]);
    assert_eq!(line_column(&compiled, &compiled.problems[0]), (3, 5));
    assert_eq!(compiled.problems[0].labels.len(), 2, "the first is shown");
    let compiled = read(&format!("{JOB}{}", "let a = 1\n".repeat(100_000)));
    assert_eq!(names(&compiled).len(), 99_999);
}

#[test]
fn row_44_one_clause_twice() {
    assert_eq!(rules(&format!("{JOB}wall old {{ leg back 10'; thick 8\"; thick 8\" }}")), ["clause-twice"]);
    assert_eq!(rules(&format!("{JOB}wall old {{ leg back 10', thick 8\", thick 9\" }}")), ["clause-twice"]);
    assert_eq!(rules("job \"a\" { }\njob \"b\" { }"), ["job-count"]);
    let many = format!("{JOB}wall old {{ leg back 10'\n{} }}", "thick 8\"\n".repeat(100_000));
    assert_eq!(rules(&many).len(), 99_999);
}

#[test]
fn row_45_unknown_words() {
    for (text, near) in [
        (format!("{JOB}seciton low {{ }}"), "`section`"),
        (format!("{JOB}wall old {{ leg back 10'; thikc 8\" }}"), "`thick`"),
        (format!("{JOB}let gap = 1\nlet b = gpa"), "`gap`"),
        ("job \"a\" { place indors }".to_owned(), "`indoors`"),
        (format!("{JOB}{WALL}let b = old.topp"), "`old.top`"),
        (format!("{JOB}{WALL}slab s {{ against old.bck; thick 4\"; top 0 }}"), "`old.back`"),
    ] {
        assert_eq!(rules(&text).len(), 1, "{text}: {:?}", rules(&text));
        assert!(words(&text).contains(near), "{}", words(&text));
    }
    // A kind nobody knows may be the job's: that there is none is not said as well.
    assert_eq!(rules("jbo \"Porch\" { }"), ["kind-unknown"]);
    // 30,000 unknown names among 30,000 known ones: not each is compared with each.
    let known: String = (0..30_000).map(|at| format!("let known{at} = 1\n")).collect();
    let unknown: String = (0..30_000).map(|at| format!("let wrong{at} = knwon{at}\n")).collect();
    assert_eq!(rules(&format!("{JOB}{known}{unknown}")).len(), 30_000);
    let long = "x".repeat(200);
    assert_eq!(rules(&format!("{JOB}let a = {long}\n{long} b {{ }}")).len(), 2);
}

#[test]
fn row_46_100_000_errors() {
    let compiled = read(&format!("{JOB}{}", "bogus x { thing 3 }\n".repeat(100_000)));
    assert_eq!(names(&compiled).len(), 100_000, "what is in a block nobody knows is not said as well");
    assert_eq!(drawn(&compiled, 80, 100).len(), 100);
    let compiled = read(&format!("{JOB}wall old {{\n{} }}", "bogus 3\n".repeat(100_000)));
    assert_eq!(names(&compiled).iter().filter(|name| **name == "clause-unknown").count(), 100_000);
}

#[test]
fn row_47_names_in_any_order_and_file() {
    assert_eq!(rules(&format!("{JOB}let b = a\nlet a = 1")), Vec::<&str>::new());
    assert_eq!(rules(&format!("{JOB}let b = a")), ["name-unknown"]);
    for (job, shop) in [("let b = a", "let a = 1"), ("let a = 1", "let b = a")] {
        let first = format!("include \"shop.job\"\n{JOB}{job}");
        let last = format!("{JOB}{job}\ninclude \"shop.job\"");
        for text in [first, last] {
            let shelf = Shelf::new([("shop.job", shop)]);
            let compiled = compile_text(&shelf, "porch.job", &text, &Limits::default());
            assert_eq!(names(&compiled), Vec::<&str>::new());
        }
    }
    // A definition that is broken is silent wherever it is used.
    assert_eq!(rules(&format!("{JOB}let a = 8 bogus\nlet b = a + 1\nlet c = b")), ["unit-unknown"]);
}

#[test]
fn row_48_and_50_values_in_a_circle() {
    assert_eq!(rules(&format!("{JOB}let a = a")), ["circle"]);
    assert_eq!(rules(&format!("{JOB}let a = b\nlet b = a")), ["circle"]);
    assert_eq!(rules(&format!("{JOB}let a = b\nlet b = a\nlet c = d\nlet d = c")), ["circle", "circle"], "two circles");
    let orders = [[0, 1, 2, 3], [3, 2, 1, 0], [1, 3, 0, 2], [2, 0, 3, 1]];
    let lines = ["let a = b + 1", "let b = c * 2", "let c = 0 - a", "let d = a + c"];
    for order in orders {
        let text: Vec<&str> = order.iter().map(|at| lines[*at]).collect();
        assert_eq!(rules(&format!("{JOB}{}", text.join("\n"))), ["circle"], "once, whatever the order");
    }
    let many = 100_000;
    let circle: Vec<String> = (0..many).map(|at| format!("let n{at} = n{}", (at + 1) % many)).collect();
    let compiled = read(&format!("{JOB}{}", circle.join("\n")));
    assert_eq!(names(&compiled), ["circle"]);
    let said = in_words(&compiled.problems[0]);
    assert!(said.contains("n0 → n1") && said.contains("more") && said.len() < 400, "{said}");
    let backwards: Vec<String> = circle.into_iter().rev().collect();
    assert_eq!(rules(&format!("{JOB}{}", backwards.join("\n"))), ["circle"]);
    // A deep chain each link of which is a small circle of its own.
    let text: String = (0..30_000).map(|at| format!("let a{at} = a{} + b{at}\nlet b{at} = b{at}\n", at + 1)).collect();
    assert_eq!(rules(&format!("{JOB}{text}let a30000 = 1")).len(), 30_000);
}

#[test]
fn row_49_long_chains_and_wide_sums() {
    let many = 100_000;
    let mut chain: Vec<String> = (1..many).map(|at| format!("let n{at} = n{} + 1", at - 1)).collect();
    chain.push("let n0 = 0".to_owned());
    for _ in 0..2 {
        let text = format!("{JOB}{}\nwall old {{ leg back 10'; wood n{} * 1 mm / 1000 }}", chain.join("\n"), many - 1);
        assert_eq!(level_in(&text, &Limits::default()), Ok(99_999_000));
        chain.reverse();
    }
    // One value made from many others that stand behind it: each is asked for once.
    let parts = 20_000;
    let sum: Vec<String> = (0..parts).map(|at| format!("n{at}")).collect();
    let lets: String = (0..parts).map(|at| format!("let n{at} = 1\n")).collect();
    for text in [
        format!("{JOB}let all = {}\n{lets}wall old {{ leg back 10'; wood all * 1 mm }}", sum.join(" + ")),
        format!("{JOB}{lets}let all = {}\nwall old {{ leg back 10'; wood all * 1 mm }}", sum.join(" + ")),
    ] {
        assert_eq!(level_in(&text, &Limits::default()), Ok(parts * 1_000_000));
    }
    let broken: String = (0..parts).map(|at| format!("let n{at} = bogus{at}\n")).collect();
    let all = format!("{JOB}let all = {}\n{broken}", sum.join(" + "));
    assert_eq!(rules(&all).len(), parts as usize);
    // One name nothing has is one slip, wherever it is used.
    let alike: String = (0..parts).map(|at| format!("let n{at} = bogus\n")).collect();
    assert_eq!(rules(&format!("{JOB}let all = {}\n{alike}", sum.join(" + "))), ["name-unknown"]);
}

#[test]
fn row_53_includes_in_a_circle_and_by_two_ways() {
    let run = |texts: &[(&str, &str)]| {
        let shelf = Shelf::new(texts.iter().copied());
        compile(&shelf, texts[0].0, &Limits::default()).unwrap()
    };
    let own = run(&[("a.job", "include \"a.job\"\njob \"Porch\" { }")]);
    assert_eq!(names(&own), ["include-circle"]);
    let three = run(&[
        ("a.job", "include \"b.job\"\njob \"Porch\" { }"),
        ("b.job", "include \"c.job\""),
        ("c.job", "include \"a.job\""),
    ]);
    assert_eq!(names(&three), ["include-circle"]);
    assert!(in_words(&three.problems[0]).contains("a.job → b.job → c.job → a.job"));
    let diamond = run(&[
        ("a.job", "include \"b.job\"\ninclude \"c.job\"\njob \"Porch\" { }"),
        ("b.job", "include \"d.job\""),
        ("c.job", "include \"d.job\""),
        ("d.job", "let gap = 1"),
    ]);
    assert_eq!(names(&diamond), Vec::<&str>::new(), "read once");
}

#[test]
fn row_53_a_file_included_100_000_times_is_read_once() {
    struct Counting(Shelf, std::cell::Cell<usize>);
    impl batterboard::source::Files for Counting {
        fn read(&self, wanted: &str, from: Option<&str>) -> Result<batterboard::source::Found, Trouble> {
            self.1.set(self.1.get() + 1);
            self.0.read(wanted, from)
        }

        fn there(&self, wanted: &str, from: &str) -> Vec<String> {
            self.0.there(wanted, from)
        }
    }
    let files = Counting(Shelf::new([("shop.job", "let gap = 1")]), std::cell::Cell::new(0));
    let text = format!("{JOB}{}", "include \"shop.job\"\n".repeat(100_000));
    let compiled = compile_text(&files, "porch.job", &text, &Limits::default());
    assert_eq!(names(&compiled), Vec::<&str>::new());
    assert_eq!(files.1.get(), 1);
}

/// A job that includes a file that includes a file, `length` deep.
fn chain(length: usize, limits: &Limits) -> Vec<&'static str> {
    let mut texts = vec![("n0.job".to_owned(), format!("include \"n1.job\"\n{JOB}"))];
    texts.extend((1..length).map(|at| (format!("n{at}.job"), format!("include \"n{}.job\"", at + 1))));
    texts.push((format!("n{length}.job"), "let last = 1".to_owned()));
    names(&compile(&Shelf::new(texts), "n0.job", limits).unwrap())
}

#[test]
fn row_53_chains_of_includes_to_the_limit() {
    let limits = Limits::default();
    for (length, found) in [(31, vec![]), (32, vec![]), (33, vec!["include-deep"])] {
        assert_eq!(chain(length, &limits), found, "{length}");
    }
    let mut limits = Limits::default();
    assert!(limits.set("chain", 2));
    assert_eq!(chain(2, &limits), Vec::<&str>::new());
    assert_eq!(chain(3, &limits), ["include-deep"]);
}

#[test]
fn row_53_counts_of_includes_to_the_limit() {
    let many = |count: usize, limits: &Limits| {
        let mut texts: Vec<(String, String)> =
            (0..count).map(|at| (format!("n{at}.job"), format!("let n{at} = 1"))).collect();
        let lines: String = (0..count).map(|at| format!("include \"n{at}.job\"\n")).collect();
        texts.push(("a.job".to_owned(), format!("{JOB}{lines}")));
        names(&compile(&Shelf::new(texts), "a.job", limits).unwrap())
    };
    let limits = Limits::default();
    for (count, found) in [(9_999, vec![]), (10_000, vec![]), (10_001, vec!["include-deep"])] {
        assert_eq!(many(count, &limits), found, "{count}");
    }
    let mut limits = Limits::default();
    assert!(limits.set("includes", 3));
    assert_eq!(many(3, &limits), Vec::<&str>::new());
    assert_eq!(many(4, &limits), ["include-deep"]);
}

#[test]
fn row_54_and_56_paths_that_lead_away() {
    for (path, rule) in [
        ("../../etc/passwd", "include-outside"),
        ("/etc/passwd", "include-outside"),
        ("~/a.job", "include-outside"),
        ("C:/a.job", "include-outside"),
        ("file:///etc/passwd", "include-outside"),
        ("http://quarry.example/a.job", "include-outside"),
        ("", "include-missing"),
        ("nowhere.job", "include-missing"),
        ("con", "include-missing"),
        ("shop/", "include-missing"),
    ] {
        assert_eq!(rules(&format!("{JOB}include \"{path}\"")), [rule], "{path}");
    }
    assert_eq!(rules(&format!("{JOB}include \"{}\"", "a".repeat(300))), ["include-missing"]);
    assert_eq!(rules(&format!("{JOB}include")).len(), 1);
    assert_eq!(rules(&format!("{JOB}include shop.job")).len(), 1);
    assert_eq!(rules(&format!("{JOB}include \"a.job\" {{ }}")).len(), 1);
    let shelf = Shelf::default();
    assert!(compile(&shelf, "nowhere.job", &Limits::default()).is_err());
}

#[test]
fn row_69_any_width_draws() {
    let compiled = read("job \"Porch\" { bogus 3 }\nlet a = b // \t漢字\nlet c = \"\nwall w {\n");
    for width in [0, 1, 2, 5, 40, 10_000, 70_000] {
        let shown = drawn(&compiled, width, 99);
        assert!(shown.len() >= 4 && shown.iter().all(|text| !text.is_empty()), "{width}");
    }
}

#[test]
fn limits_are_set_by_name() {
    for (name, _) in Limits::NAMES {
        let mut limits = Limits::default();
        assert!(limits.set(name, 1), "{name}");
        assert_ne!(limits, Limits::default(), "{name} changes something");
        assert!(limits.set(name, u64::MAX) && limits.set(name, 0), "{name}");
        let compiled = read_within(&format!("{JOB}include \"a.job\"\nlet a = ((1))\n{WALL}"), &limits);
        assert!(drawn(&compiled, 80, 99).len() == compiled.problems.len());
    }
    assert!(!Limits::default().set("bogus", 1));
}

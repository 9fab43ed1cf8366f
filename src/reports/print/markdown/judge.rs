//! Tests: a reader of CommonMark is the judge of what was printed.

use proptest::prelude::*;
use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};

use super::{
    super::sample::sample,
    inline::{Place, careful, inline, plain},
    markdown,
};
use crate::reports::{BoxLine, Column, Paper, Part, Row, Table, Weight, Words};

fn print(paper: &Paper) -> String {
    let mut out = Vec::new();
    markdown(paper, &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

/// The text a reader should get back: white space collapsed, what steers the screen replaced.
fn expected(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().collect();
    let steers = |c: char| {
        c.is_control()
            || "\u{61c}\u{200e}\u{200f}\u{202a}\u{202b}\u{202c}\u{202d}\u{202e}".contains(c)
            || ('\u{2066}'..='\u{2069}').contains(&c)
    };
    words.join(" ").chars().map(|c| if steers(c) { '\u{fffd}' } else { c }).collect()
}

/// What a reader finds: each block's kind and its text, `strong` marking the strong characters. Anything a printer
/// never means to write (a link, HTML, inline code, mathematics, a rule, emphasis of another kind) fails.
#[derive(Debug, Default)]
struct Found {
    blocks: Vec<(&'static str, String)>,
    strong: Vec<Vec<bool>>,
}

fn read(source: &str) -> Result<Found, TestCaseError> {
    let options = Options::ENABLE_TABLES
        | Options::ENABLE_STRIKETHROUGH
        | Options::ENABLE_TASKLISTS
        | Options::ENABLE_FOOTNOTES
        | Options::ENABLE_GFM
        | Options::ENABLE_MATH
        | Options::ENABLE_DEFINITION_LIST
        | Options::ENABLE_SUPERSCRIPT
        | Options::ENABLE_SUBSCRIPT
        | Options::ENABLE_WIKILINKS;
    let mut found = Found::default();
    let mut depth = 0;
    let open = |found: &mut Found, kind| {
        found.blocks.push((kind, String::new()));
        found.strong.push(Vec::new());
    };
    for event in Parser::new_ext(source, options) {
        match event {
            Event::Start(Tag::Heading { level, .. }) => {
                open(&mut found, ["h1", "h2", "h3", "h4", "h5", "h6"][level as usize - 1]);
            }
            Event::Start(Tag::Paragraph) => open(&mut found, "p"),
            Event::Start(Tag::Item) => open(&mut found, "li"),
            Event::Start(Tag::BlockQuote(None)) => open(&mut found, "quote"),
            Event::Start(Tag::List(None)) => open(&mut found, "list"),
            Event::Start(Tag::CodeBlock(_)) => open(&mut found, "code"),
            Event::Start(Tag::Table(_)) => open(&mut found, "table"),
            Event::Start(Tag::TableHead | Tag::TableRow) => open(&mut found, "row"),
            Event::Start(Tag::TableCell) => open(&mut found, "cell"),
            Event::Start(Tag::Strong) => depth += 1,
            Event::End(TagEnd::Strong) => depth -= 1,
            Event::Text(text) => {
                let (_, block) = found.blocks.last_mut().unwrap();
                block.push_str(&text);
                found.strong.last_mut().unwrap().extend(text.chars().map(|_| depth > 0));
            }
            Event::End(_) => {}
            other => return Err(TestCaseError::fail(format!("{other:?} in\n{source}"))),
        }
    }
    Ok(found)
}

/// Texts made of what means something in Markdown.
fn hostile() -> impl Strategy<Value = String> {
    let signs = "\\`*_[]<>&|~$^!#+-=:;.,()\"'{}/@?%";
    let piece = prop_oneof![
        4 => prop::sample::select(signs.chars().map(String::from).collect::<Vec<_>>()),
        2 => prop::sample::select(vec![" ", "  ", "\n", "\r\n", "\t", "\u{a0}", "\u{2028}", "\u{85}", "\n\n", "    "])
            .prop_map(String::from),
        2 => prop::sample::select(vec!["a", "b", "1", "23", "é", "中", "—", "“", "½", "Ⓐ", "x", "amp", "https://a.b"])
            .prop_map(String::from),
        1 => prop::sample::select(vec!["\0", "\x1b", "\x07", "\u{7f}", "\u{9b}", "\u{202e}", "\u{2066}", "\u{feff}"])
            .prop_map(String::from),
        1 => prop::sample::select(vec![
            "---", "===", "```", "~~~", "- ", "1. ", "1) ", "# ", "> ", "<b>", "<!--", "&lt;", "&#35;", "](x)", "[x]", "[^1]",
            "![", "**", "__", "| - |", "<a@b.c>", "<http://a>", "\\|", ": ", "$$", "[[a]]", "#", "##",
        ])
        .prop_map(String::from),
    ];
    prop_oneof![
        3 => prop::collection::vec(piece, 0..12).prop_map(|pieces| pieces.concat()),
        1 => any::<String>(),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2_000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_text_comes_back(texts in prop::collection::vec(hostile(), 8)) {
        let mut paper = Paper::new(texts[0].as_str());
        paper.push(Part::Text(texts[1].as_str().into()));
        paper.push(Part::Heading(3, texts[2].as_str().into()));
        paper.push(Part::Bullets(vec![texts[3].as_str().into(), texts[4].as_str().into()]));
        paper.push(Part::Boxes(vec![
            BoxLine::new(texts[5].as_str()).detail(texts[6].as_str()).blank(texts[7].as_str()).blank(texts[0].as_str()),
        ]));
        paper.push(Part::Caution(texts[6].as_str().into()));
        paper.push(Part::Facts(vec![(texts[7].as_str().into(), texts[1].as_str().into())]));
        paper.push(Part::Blank(texts[2].as_str().into()));
        let source = print(&paper);
        let found = read(&source)?;
        let e = |nth: usize| expected(&texts[nth]);
        let joined = |parts: &[&str]| expected(&parts.concat());
        let label = |nth: usize| if e(nth).is_empty() { String::new() } else { e(nth) + ": " };
        let all = [
            ("h1", e(0)),
            ("p", e(1)),
            ("h3", e(2)),
            ("list", String::new()),
            ("li", e(3)),
            ("li", e(4)),
            ("list", String::new()),
            ("li", joined(&["☐ ", &e(5)])),
            ("list", String::new()),
            ("li", e(6)),
            ("li", format!("{}____________ {}____________", label(7), label(0))),
            ("quote", String::new()),
            ("p", joined(&["Caution: ", &e(6)])),
            ("list", String::new()),
            ("li", joined(&[&texts[7], ": ", &texts[1]])),
            ("p", format!("{}________________________", label(2))),
        ];
        // What has no words is left out, and with it a list of nothing else.
        let bullets = !(e(3).is_empty() && e(4).is_empty());
        let all: Vec<_> = all
            .into_iter()
            .enumerate()
            .filter(|(nth, (kind, text))| !matches!(*kind, "p" | "li") && (*nth != 3 || bullets) || !text.is_empty())
            .map(|(_, block)| block)
            .collect();
        prop_assert_eq!(found.blocks, all, "{}", source);
    }

    #[test]
    fn strong_runs_come_back_strong(runs in prop::collection::vec((hostile(), any::<bool>()), 1..6)) {
        let mut words = Words::new();
        for (text, strong) in &runs {
            words = if *strong { words.strong(text) } else { words.plain(text) };
        }
        let mut paper = Paper::new("Title");
        paper.push(Part::Text(words.clone()));
        let source = print(&paper);
        let found = read(&source)?;
        let text = expected(words.text());
        let back = found.blocks.get(1).map(|(_, text)| text.clone()).unwrap_or_default();
        prop_assert_eq!(&back, &text, "{}", source);
        let marks: Vec<bool> = words
            .runs()
            .flat_map(|(text, strong)| text.chars().filter(|c| !c.is_whitespace()).map(move |_| strong))
            .collect();
        let found: Vec<bool> = back
            .chars()
            .zip(found.strong.get(1).cloned().unwrap_or_default())
            .filter(|(character, _)| *character != ' ')
            .map(|(_, strong)| strong)
            .collect();
        prop_assert_eq!(found, marks, "{}", source);
    }

    #[test]
    fn words_that_need_no_care_are_written_as_with_care(
        runs in prop::collection::vec(("[a-z]([a-z0-9 .:,#()-]{0,5}[a-z:.,)])? ?", any::<bool>()), 1..4),
        place in prop::sample::select(vec![Place::Block, Place::Heading, Place::Within]),
    ) {
        let mut words = Words::new();
        for (text, strong) in &runs {
            words = if *strong { words.strong(text) } else { words.plain(text) };
        }
        let (mut quick, mut slow) = (String::new(), String::new());
        inline(&words, place, &mut quick);
        careful(&words, place, &mut slow);
        if plain(&words, place) {
            prop_assert_eq!(quick, slow);
        }
    }

    #[test]
    fn tables_keep_their_columns(
        cells in prop::collection::vec(prop::collection::vec(hostile(), 3), 1..4),
        heads in prop::collection::vec(hostile(), 3),
        bold in any::<bool>(),
        many in any::<bool>(),
    ) {
        let weight = if bold { Weight::Total } else { Weight::Item };
        let mut rows: Vec<Row> = cells
            .iter()
            .map(|cells| Row::new(weight, |row| _ = row.text(&cells[0]).figure(&cells[1], 1.0).text(&cells[2])))
            .collect();
        let filler = if many { 200 } else { 0 };
        rows.extend((0..filler).map(|n| Row::new(weight, |row| _ = row.count(n - 100).blank().tick())));
        let columns = vec![
            Column::text("a", &heads[0]),
            Column::figure("b", &heads[1], "in"),
            Column::mark("c", &heads[2]),
        ];
        let mut paper = Paper::new("Title");
        paper.push(Part::Table(Table::new("t", columns, rows)));
        let source = print(&paper);
        let found = read(&source)?;
        let mut all = vec![("h1", "Title".to_owned()), ("table", String::new()), ("row", String::new())];
        all.extend(heads.iter().map(|head| ("cell", expected(head))));
        for row in &cells {
            all.push(("row", String::new()));
            all.extend(row.iter().map(|cell| ("cell", expected(cell))));
        }
        for n in 0..filler {
            all.push(("row", String::new()));
            all.extend([("cell", (n - 100).to_string()), ("cell", "________".into()), ("cell", "☐".into())]);
        }
        prop_assert_eq!(found.blocks, all, "{}", source);
    }

    #[test]
    fn code_comes_back_line_by_line(text in hostile()) {
        let mut paper = Paper::new("Title");
        paper.push(Part::Code(text.clone()));
        let found = read(&print(&paper))?;
        let text = text.replace("\r\n", "\n").replace('\r', "\n");
        let steers = |c: char| c != '\n' && c != '\t' && (expected(&c.to_string()) == "\u{fffd}" || "\u{85}\u{2028}\u{2029}".contains(c));
        let text: String = text.chars().map(|c| if steers(c) { '\u{fffd}' } else { c }).collect();
        let text = format!("{}\n", text.strip_suffix('\n').unwrap_or(&text));
        prop_assert_eq!(found.blocks.last().cloned(), Some(("code", text)));
    }
}

#[test]
fn a_page() {
    insta::with_settings!({ prepend_module_to_snapshot => false, snapshot_path => "../snapshots" }, {
        insta::assert_snapshot!("sample.md", print(&sample()));
    });
}

#[test]
fn the_samples_tables_have_their_columns() {
    let found = read(&print(&sample())).unwrap();
    assert_eq!(found.blocks.iter().filter(|(kind, _)| *kind == "table").count(), 2);
    assert_eq!(found.blocks.iter().filter(|(kind, _)| *kind == "cell").count(), 6 * 5 + 3 * 3);
}

#[test]
fn a_label_and_its_value_need_no_care() {
    let fact = Words::new().strong("Label:") + " 12 bags, dry";
    for (words, needs) in [(fact, false), (Words::from("1 bag"), true), (Words::new().strong("a") + "b", true)] {
        assert_eq!(plain(&words, Place::Block), !needs, "{}", words.text());
    }
}

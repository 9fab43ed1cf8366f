//! Pages: what stands on them, and what hostile words may not do.

use std::collections::BTreeSet;

use super::*;
use crate::reports::{Row, print::sample::sample};

fn printed(paper: &Paper, live: Live) -> String {
    let mut out = Vec::new();
    page(paper, "", live, &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

#[test]
fn a_page_reads_like_its_paper() {
    let text = printed(&sample(), Live::No);
    let (_, body) = text.split_once("</style>").unwrap();
    let (body, _) = body.split_once("<script>").unwrap();
    insta::with_settings!({ snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("sample.html", body);
    });
}

#[test]
fn words_stay_words() {
    const SHARP: &str = "</title></style><script>alert(1)</script> \" onload=\"x ' & <!-- \u{202e}\u{1b}[31m ]]> `";
    let mut paper = Paper::new(SHARP);
    paper.stamp = Some(Words::new().strong(SHARP));
    paper.push(Part::Heading(2, SHARP.into()));
    paper.push(Part::Text(SHARP.into()));
    paper.push(Part::Caution(SHARP.into()));
    paper.push(Part::Blank(SHARP.into()));
    paper.push(Part::Bullets(vec![SHARP.into()]));
    paper.push(Part::Facts(vec![(SHARP.into(), SHARP.into())]));
    paper.push(Part::Boxes(vec![BoxLine::new(SHARP).detail(SHARP).blank(SHARP)]));
    paper.push(Part::Code(SHARP.into()));
    let rows = vec![Row::new(Weight::Item, |row| _ = row.text(SHARP).tick())];
    let columns = vec![Column::text("a", SHARP), Column::mark("b", SHARP)];
    paper.push(Part::Table(Table::new("t", columns, rows).caption(SHARP)));
    paper.push(Part::Picture(Picture { title: SHARP.into(), svg: "<svg></svg>".into(), ..Picture::default() }));
    let text = printed(&paper, Live::No);
    for (sort, count) in [("<script", 1), ("</script", 1), ("<style", 1), ("</style", 1), ("<title", 1), ("<!--", 0)] {
        assert_eq!(text.matches(sort).count(), count, "{sort}");
    }
    assert!(!text.contains(['\u{202e}', '\u{1b}']) && !text.contains("onload=\"x"));
    assert!(text.matches("&lt;script&gt;alert(1)&lt;/script&gt;").count() >= 12);
}

#[test]
fn every_box_has_a_name_that_stays_when_others_come_and_go() {
    let paper = |lines: &[&str]| {
        let mut paper = Paper::new("Boxes");
        paper.push(Part::Heading(2, "One".into()));
        paper.push(Part::Boxes(lines.iter().map(|line| BoxLine::new(*line)).collect()));
        printed(&paper, Live::No)
    };
    let ids = |text: &str| -> Vec<String> {
        let all = text.split("type=\"checkbox\" id=\"").skip(1);
        all.map(|rest| rest.split('"').next().unwrap().to_owned()).collect()
    };
    let (one, two) = (ids(&paper(&["a", "b", "b"])), ids(&paper(&["new", "a", "b"])));
    assert_eq!(one.iter().collect::<BTreeSet<_>>().len(), 3);
    assert_eq!(one[..2], two[1..]);
}

#[test]
fn only_a_served_page_asks_for_anything() {
    let (file, served) = (printed(&sample(), Live::No), printed(&sample(), Live::Reloads));
    assert!(
        file.contains("default-src 'none'; style-src")
            && !file.contains("EventSource")
            && !file.contains("connect-src")
    );
    assert!(served.contains("connect-src 'self'") && served.contains("new EventSource(\"/events\")"));
    for text in [file, served] {
        assert!(!text.contains("http://") && !text.contains("https://") && !text.contains(" src="));
    }
}

#[test]
fn what_is_measured_is_not_broken() {
    let kept = |text: &str| -> Vec<String> {
        let out = measured(text);
        let inner =
            out.split("<span class=\"whole\">").skip(1).map(|rest| rest.split("</span>").next().unwrap().to_owned());
        assert_eq!(out.replace("<span class=\"whole\">", "").replace("</span>", ""), escaped(text));
        inner.collect()
    };
    assert_eq!(kept("13'-4 1/4\""), ["13'-4 1/4&quot;"]);
    assert_eq!(kept("front at 60 mm, 2720 mm; 3 rows"), ["60 mm,", "2720 mm;"]);
    assert_eq!(
        kept("up 4 3/4\", right 5'-0\""),
        ["4 3/4&quot;,", "5&#39;-0&quot;"].map(|one| one.replace("&#39;", "'"))
    );
    assert_eq!(kept("bed-plate of row 3"), [""; 0]);
    assert_eq!(kept("  <b> 2 ft3  "), ["2 ft3"]);
}

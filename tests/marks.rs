//! Where marks, bars, covers and boxes stand in the drawings, read back from their SVG.

use batterboard::{
    compile::{Compiled, compile},
    drawings::{self, Drawing, View},
    language::Limits,
    reports::flags,
    source::Shelf,
    units::Length,
};
use roxmltree::{Document, Node};

fn written(text: &str) -> Compiled {
    let files = vec![("a.job".to_owned(), text.to_owned())];
    compile(&Shelf::new(files), "a.job", &Limits::default()).unwrap()
}

fn drawn(compiled: &Compiled, view: View) -> Vec<Drawing> {
    drawings::drawings(&compiled.job, &compiled.works, &flags(compiled), view, &[])
}

/// The drawing of this id, and its SVG.
fn one(drawn: &[Drawing], id: &str) -> (Drawing, String) {
    let ids: Vec<&str> = drawn.iter().map(|drawing| drawing.id.as_str()).collect();
    let found = drawn.iter().find(|drawing| drawing.id == id).unwrap_or_else(|| panic!("no {id} in {ids:?}"));
    (found.clone(), drawings::svg(found, None))
}

fn with<'d>(document: &'d Document, attribute: &str) -> Vec<(String, Node<'d, 'd>)> {
    document.descendants().filter_map(|node| Some((node.attribute(attribute)?.to_owned(), node))).collect()
}

fn says(document: &Document) -> Vec<String> {
    let texts = document.descendants().filter(|node| node.has_tag_name("text"));
    texts.map(|node| node.text().unwrap_or_default().to_owned()).collect()
}

const STEPPED: &str = r#"job "Stepped bottom" { place outdoors; datum "yard" }
wall old { leg a 10'; thick 8"; height -12" to 30"; of concrete }
section up { along old.a 0 to 5'; thick 8"; height -4" to 12" }
section down { along old.a 5' to 10'; thick 8"; height -10" to 12"; side earth }
bars rails { size #4; along up, down; rows height bottom + 4"; offset 4"; lap 32" }
pour all { fill up, down; mix bag-80-lb }
"#;

/// A flag stands where its finding speaks of: at the step, 5'-2 1/4" along, not at the end of the bar that is too near it.
#[test]
fn a_flag_of_a_bar_stands_at_the_place_that_is_told() {
    let compiled = written(STEPPED);
    let told = compiled.problems.iter().find(|problem| problem.rule.name == "cover-short").unwrap();
    assert!(told.place.as_deref().unwrap().contains("at 5'-2 1/4\" on old.a"), "{told:?}");
    let (drawing, svg) = one(&drawn(&compiled, View::Elevation), "elevation-old-a");
    let at = drawing.model.unwrap().at(62.25 * 25.4e6, -6.0 * 25.4e6);
    let document = Document::parse(&svg).unwrap();
    let flags = with(&document, "data-flag");
    assert_eq!(flags.len(), 1);
    let text = flags[0].1.descendants().find(|node| node.has_tag_name("text")).unwrap();
    let place = |name: &str| text.attribute(name).unwrap().parse::<f64>().unwrap();
    let far = (place("x") - at.x).hypot(place("y") - at.y);
    assert!(far < 8.0, "{far} mm from {at:?}");
}

/// A bar that begins on one leg and comes too near on another has its flag on the other.
#[test]
fn a_flag_of_a_bar_stands_on_the_leg_that_is_told() {
    let text = r#"job "Round" { place outdoors; datum "yard" }
wall old { leg a 6'; corner outside; leg b 8'; thick 8"; height -12" to 30"; of concrete }
section up { along old.a 0 to old.b 4'; thick 8"; height -12" to 12" }
section down { along old.b 4' to 8'; thick 8"; height -4" to 12" }
bars rails { size #4; along old.a 0 to old.b 8'; rows height -1 1/2"; offset 4" }
pour all { fill up, down; mix bag-80-lb }
"#;
    let compiled = written(text);
    let told = compiled.problems.iter().find(|problem| problem.rule.name == "cover-short").unwrap();
    assert!(told.place.as_deref().unwrap().contains("on old.b"), "{told:?}");
    let all = drawn(&compiled, View::Elevation);
    let (a, b) = (one(&all, "elevation-old-a").0, one(&all, "elevation-old-b").0);
    assert!(a.flags().is_empty(), "{:?}", a.flags());
    let at: Vec<&str> = b.flags().into_iter().map(|(_, at)| at).collect();
    assert_eq!(at, ["bar-rails-1-on-old-b"]);
    assert!(b.ids().contains(&"bar-rails-1-on-old-b"));
}

/// What is found of a form before one section is flagged there, and on no other leg.
#[test]
fn a_flag_of_a_form_stands_before_the_section_that_is_told() {
    let text = r#"job "Two legs" { place outdoors; datum "yard" }
wall old { leg a 6'; corner outside; leg b 6'; thick 8"; height -12" to 40"; of concrete }
section low { along old.a 0 to 5'; thick 8"; height 0 to 8" }
section high { along old.b 1' to 6'; thick 8"; height 0 to 30" }
forms box { against low, high; sheath ply-3/4; studs 2x4, space at most 12"; brace 2x4, space at most 30", on floor, holds 300 lbf; kick 2x4, on bank; down 900 lbf, space at most 30" }
pour all { fill low, high; mix bag-80-lb }
"#;
    let compiled = written(text);
    let foot = compiled.problems.iter().filter(|problem| problem.rule.name == "form-foot");
    assert_eq!(foot.map(|problem| problem.part.as_deref()).collect::<Vec<_>>(), [Some("high")]);
    let all = drawn(&compiled, View::Form);
    let at = |id: &str| -> Vec<String> { one(&all, id).0.flags().into_iter().map(|(_, at)| at.to_owned()).collect() };
    assert_eq!(at("form-old-a"), Vec::<String>::new());
    let flagged = at("form-old-b");
    assert!(!flagged.is_empty() && flagged.iter().all(|at| at == "forms-box-before-high"), "{flagged:?}");
    assert!(one(&all, "form-old-b").0.ids().contains(&"forms-box-before-high"));
}

/// The least cover over the ground is measured at the step; where the wall is cut the bar has another, and that is drawn.
#[test]
fn covers_are_those_of_the_bars_that_are_cut() {
    let compiled = written(STEPPED);
    let (_, svg) = one(&drawn(&compiled, View::Section), "section-old-a-1");
    let document = Document::parse(&svg).unwrap();
    let mut covers: Vec<i64> = with(&document, "data-cover").iter().map(|(value, _)| value.parse().unwrap()).collect();
    covers.sort_unstable();
    // To the form and the ground 4" less half a bar, to the top 12" less that.
    let inches = |count: i64| Length::INCH.nm() * count - Length::INCH.nm() / 4;
    assert_eq!(covers, [inches(4), inches(4), inches(12)]);
}

/// Every row of dowels in a top is drawn in its holes.
#[test]
fn each_row_of_upright_dowels_is_in_the_section() {
    let text = r#"job "Posts in two rows" { place outdoors; datum "floor" }
line run { leg a 6' }
section pad { along run.a; thick 5'; height -8" to 0; base gravel }
holes bolts { into pad.top; along pad; rows offset 12", 48"; inset 12"; space at most 24"; bore 3/4" by 5"; fill glue }
bars posts { size #5; in bolts; out 5" }
resin glue { cartridge 22 fl-oz }
pour all { fill pad; mix bag-80-lb }
"#;
    let (_, svg) = one(&drawn(&written(text), View::Section), "section-run-a-1");
    let document = Document::parse(&svg).unwrap();
    assert_eq!(with(&document, "data-hole").len(), 2);
    assert_eq!(with(&document, "data-bar").len(), 2);
}

const EMPTY: &str = r#"job "Garden wall" { place outdoors; datum "peg" }
line run { leg east 12' }
section w { along run.east; offset 6" to 14"; height 0 to 24" }
void pipe { in w; on run.east 2' to 2'-6"; height 2" to 8" }
void pocket { in w; on run.east 6' to 6'-8"; height 16" to 24"; offset 6" to 11" }
void niche { in w; on run.east 9' to 9'-8"; height 16" to 24"; offset 10" to 14" }
forms box { against w; sheath ply-3/4; studs 2x4, space at most 12"; brace 2x4, space at most 30", on stakes, holds 900 lbf; kick 2x4, on bank; down 900 lbf, space at most 30" }
pour all { fill w; mix bag-80-lb }
"#;

/// What opens on the inner side alone is dashed as one stands outside, and named with its depth; what goes through is not.
#[test]
fn voids_are_drawn_from_the_side_they_open_to() {
    let (_, svg) = one(&drawn(&written(EMPTY), View::Elevation), "elevation-run-east");
    let document = Document::parse(&svg).unwrap();
    let hidden = |id: &str| -> Vec<bool> {
        let group = document.descendants().find(|node| node.attribute("id") == Some(id)).unwrap();
        let paths = group.descendants().filter(|node| node.has_tag_name("path"));
        paths.map(|path| path.attribute("class").unwrap().contains("hidden")).collect()
    };
    assert_eq!(hidden("void-pocket"), [true; 3]);
    assert_eq!(hidden("void-niche"), [false; 3]);
    assert_eq!(hidden("void-pipe"), [false; 3]);
    let all = says(&document);
    for name in ["pocket, 5\" deep from the inner side", "niche, 4\" deep", "pipe"] {
        assert!(all.iter().any(|text| text == name), "no {name} in {all:?}");
    }
}

/// A box stands against the form of the side it opens to.
#[test]
fn boxes_are_drawn_on_the_forms_they_are_nailed_to() {
    let drawn = drawn(&written(EMPTY), View::Form);
    let boxes = |id: &str| -> Vec<String> {
        let (_, svg) = one(&drawn, id);
        let document = Document::parse(&svg).unwrap();
        assert!(says(&document).iter().any(|text| text.starts_with("box pipe, 8\" deep")));
        with(&document, "data-box").into_iter().map(|(name, _)| name).collect()
    };
    assert_eq!(boxes("form-run-east"), ["pipe", "niche"]);
    assert_eq!(boxes("form-run-east-inner"), ["pipe", "pocket"]);
}

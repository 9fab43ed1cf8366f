//! Forms where faces of them end: boards round corners, what stands in a corner of the form, floors that are not there, old walls that
//! end below a tie, boards that are ripped; and what drawings show of it.

use batterboard::{
    compile::Compiled,
    drawings::{self, Drawing, View},
    formwork::{PartSort, Unheld, Use, boards_high, studs},
    units::Length,
};
use roxmltree::{Document, Node};

use super::{compiled, fine, found};

const USUAL: &str = "studs 2x4, space at most 12\"; brace 2x4, space at most 2', angle 30 deg, on floor, holds 900 lbf; \
                     kick 2x4, on bank; down 900 lbf, space at most 2'";

fn cornered(turn: &str, forms: &str) -> Compiled {
    fine(&format!(
        "wall old {{ leg a 4'; corner {turn}; leg b 4'; thick 8\"; height -12\" to 30\"; of concrete }}
section s {{ along old; thick 6\"; height 0 to 16\" }}
forms box {{ against s; sheath ply-3/4; {forms} }}
pour p {{ fill s; mix bag-80-lb }}"
    ))
}

/// Lengths of one sort of piece in inches, the shortest first.
fn pieces(job: &Compiled, sort: PartSort) -> Vec<f64> {
    let parts = job.works.forms[0].parts.iter().filter(|part| part.sort == sort);
    let mut out: Vec<f64> =
        parts.flat_map(|part| vec![part.length.inches(); usize::try_from(part.count).unwrap()]).collect();
    out.sort_by(f64::total_cmp);
    out
}

fn drawn(job: &Compiled, view: View) -> Vec<Drawing> {
    let flags = batterboard::reports::flags(job);
    drawings::all(&job.job, &job.works, &flags, &[]).into_iter().filter(|drawing| drawing.view == view).collect()
}

/// How wide what has this title is drawn, in inches of the work, in order.
fn widths(drawings: &[Drawing], title: &str) -> Vec<f64> {
    let mut out = Vec::new();
    for drawing in drawings {
        let svg = drawings::svg(drawing, None);
        let document = Document::parse(&svg).unwrap();
        let is = |node: &Node| node.children().any(|child| child.has_tag_name("title") && child.text() == Some(title));
        for node in document.descendants().filter(is) {
            let paths = node.descendants().filter(|node| node.has_tag_name("path"));
            let spots = paths.flat_map(|path| path.attribute("d").unwrap_or("").split(['M', 'L', 'Z']));
            let across: Vec<f64> = spots.filter_map(|spot| spot.split_once(' ')?.0.parse().ok()).collect();
            let span = across.iter().fold((f64::MAX, f64::MIN), |all, x| (all.0.min(*x), all.1.max(*x)));
            out.push((span.1 - span.0) / drawing.model.unwrap().per_mm / 25.4);
        }
    }
    out.sort_by(f64::total_cmp);
    out
}

#[test]
fn boards_along_a_form_close_its_corners_and_are_drawn_as_they_are_sawn() {
    // Faces of 54 in round an outside corner. Past a bulkhead boards reach by a sheet of 3/4 in and a cleat of 1 1/2 in. Round the
    // corner one runs to the outer side of the other's, 3/4 + 3 1/2 + 3 1/2 in off for walers and 3/4 + 3 1/2 + 1 1/2 in for
    // kickers; the other up to it.
    let outside = cornered("outside", USUAL);
    assert_eq!(pieces(&outside, PartSort::Waler), [54.0 + 2.25 + 4.25, 54.0 + 2.25 + 7.75]);
    assert_eq!(pieces(&outside, PartSort::Kick), [54.0 + 2.25 + 4.25, 54.0 + 2.25 + 5.75]);
    // Faces of 42 in round an inside corner: one ends at the other's studs, the other at its boards.
    let inside = cornered("inside", USUAL);
    assert_eq!(pieces(&inside, PartSort::Waler), [42.0 + 2.25 - 7.75, 42.0 + 2.25 - 4.25]);
    assert_eq!(pieces(&inside, PartSort::Kick), [42.0 + 2.25 - 5.75, 42.0 + 2.25 - 4.25]);
    for job in [&outside, &inside] {
        let drawings = drawn(job, View::Form);
        for (title, sort) in [("waler of box", PartSort::Waler), ("kicker of box", PartSort::Kick)] {
            let (drawn, sawn) = (widths(&drawings, title), pieces(job, sort));
            assert_eq!(drawn.len(), sawn.len(), "{title}");
            assert!(drawn.iter().zip(&sawn).all(|(drawn, sawn)| (drawn - sawn).abs() < 0.02), "{drawn:?} {sawn:?}");
        }
    }
}

#[test]
fn nothing_stands_in_the_other_form_of_an_inside_corner() {
    let job = cornered("inside", USUAL);
    let faces: Vec<_> = job.works.forms[0].panels.iter().filter(|panel| panel.closes == Use::Face).collect();
    let thick = Length::INCH * 3 / 2;
    let ends = |studs: &[Length]| (studs[0].inches(), studs[studs.len() - 1].inches());
    let mut middles: Vec<(f64, f64)> = faces.iter().map(|panel| ends(&studs(panel, Length::FOOT, thick))).collect();
    middles.sort_by(|a, b| a.0.total_cmp(&b.0));
    // Half a stud from the free ends; in the corner behind the other's sheet, and behind its studs.
    assert_eq!(middles, [(0.75, 42.0 - 4.25 - 0.75), (0.75 + 0.75, 42.0 - 0.75)]);
    let mut braces: Vec<(f64, f64)> = faces.iter().map(|panel| ends(&panel.braces(Length::FOOT * 2))).collect();
    braces.sort_by(|a, b| a.0.total_cmp(&b.0));
    // A waler of 3 1/2 in and half a brace farther.
    assert_eq!(braces, [(0.0, 42.0 - 8.5), (8.5, 42.0)]);
}

/// The reasons why the only form is not held.
fn unheld(text: &str) -> Vec<Unheld> {
    compiled(text).works.forms[0].unheld.iter().map(|(_, why)| *why).collect()
}

#[test]
fn a_floor_that_is_not_there_holds_nothing() {
    let text = |around: &str, bottom: &str, kick: &str, forms: &str| {
        format!(
            "wall old {{ leg a 8'; thick 8\"; height -24\" to 60\"; of concrete }}
{around}
section s {{ along old; thick 6\"; height {bottom} to 24\" }}
forms box {{ against s; sheath ply-3/4; studs 2x4, space at most 12\"; down 900 lbf, space at most 2'; kick 2x4, {kick}; {forms} }}
pour p {{ fill s; mix bag-80-lb }}"
        )
    };
    let (floor, bank) = ("on floor, holds 900 lbf, space at most 2'", "on bank");
    let braced = |on: &str| format!("brace 2x4, space at most 2', angle 30 deg, {on}, holds 900 lbf");
    let slab = "slab floor { against old; thick 4\"; top 0 }";
    let told = |around: &str, bottom: &str, kick: &str, on: &str| unheld(&text(around, bottom, kick, &braced(on)));
    // Where nothing is told of it, a floor is believed, and a slab is one.
    for around in ["", slab, "ground { inside -8\" }\nslab floor { against old; thick 4\"; top 0 }"] {
        assert_eq!(told(around, "0", floor, "on floor"), [], "{around}");
    }
    let ground = "ground { inside 0 }";
    use batterboard::formwork::Hold;
    assert_eq!(told(ground, "0", floor, "on stakes"), [Unheld::NoFloor(Hold::Kick)]);
    assert_eq!(told(ground, "0", bank, "on floor"), [Unheld::NoFloor(Hold::Brace)]);
    // On a footing that stands out there is room for both.
    let footing = format!("{ground}\nfooting foot {{ under old; thick 8\"; out 20\" }}");
    assert_eq!(told(&footing, "0", floor, "on floor"), []);
    // A foot 10 in above the slab: no kicker of 3 1/2 in reaches down to it. At 3 in it does.
    let high = Length::INCH * 10;
    assert_eq!(told(slab, "10\"", floor, "on stakes"), [Unheld::OverFloor(high, Length::ZERO)]);
    assert_eq!(told(slab, "3\"", floor, "on stakes"), []);
    assert!(found(&text(ground, "0", floor, &braced("on stakes"))).contains(&"form-unheld"));
}

#[test]
fn what_stands_on_stakes_is_not_told_to_be_fixed_to_a_floor() {
    let help = |on: &str| {
        let job = compiled(&format!(
            "wall old {{ leg a 8'; thick 8\"; height -24\" to 60\"; of concrete }}
section s {{ along old; thick 6\"; height 0 to 48\" }}
forms box {{ against s; sheath ply-3/4; studs 2x4, space at most 6\"; down 900 lbf, space at most 2'; kick 2x4, {on}, holds 20 lbf; brace 2x6, space at most 6\", angle 45 deg, on bank }}
pour p {{ fill s; mix bag-80-lb }}"
        ));
        let told = job.problems.iter().find(|problem| problem.rule.name == "form-foot").unwrap();
        told.helps(batterboard::units::System::Feet).unwrap()
    };
    assert!(help("on floor").contains("on floor"));
    let stakes = help("on stakes");
    assert!(stakes.contains("on stakes") && !stakes.contains("on floor"), "{stakes}");
}

#[test]
fn ties_go_into_an_old_wall_only_where_it_stands() {
    let text = |row: &str, against: &str| {
        format!(
            "wall old {{ leg a 8'; thick 8\"; height 0 to 24\"; of concrete }}
{against}
forms box {{ against s; sheath ply-3/4; studs 2x4, space at most 12\"; walers 2x4, double; kick 2x4, on bank; ties rows {row}, space at most 2', holds 4000 lbf }}
pour p {{ fill s; mix bag-80-lb }}"
        )
    };
    let before = "section s { along old; thick 6\"; height 0 to 48\" }";
    let wall = (Length::ZERO, Length::INCH * 24);
    assert_eq!(unheld(&text("18\"", before)), []);
    // Above it the concrete has a form behind it too, and they go through both, each at its own level.
    let through = compiled(&text("18\", 30\"", before));
    assert_eq!(through.works.forms[0].unheld, []);
    let mut rows: Vec<(f64, f64)> = through.works.forms[0]
        .ties
        .iter()
        .map(|row| (through.works.forms[0].panels[row.panel].bottom.inches(), row.level.inches()))
        .collect();
    rows.sort_by(|a, b| a.partial_cmp(b).unwrap());
    assert_eq!(rows, [(0.0, 18.0), (0.0, 30.0), (24.0, 30.0)]);
    // A hole needs its own width below the top.
    assert_eq!(unheld(&text("24\"", before)), [Unheld::OffWall(Length::INCH * 24, wall)]);
    assert!(found(&text("24\"", before)).contains(&"form-unheld"));
}

#[test]
fn members_closer_than_they_are_thick_are_told() {
    let of = |studs: &str, braces: &str| {
        let text = format!(
            "wall old {{ leg a 8'; thick 8\"; height -24\" to 60\"; of concrete }}
section s {{ along old; thick 6\"; height 0 to 12\" }}
forms box {{ against s; sheath ply-3/4; studs 2x4, space at most {studs}; kick 2x4, on bank; down 900 lbf, space at most 2'; brace 2x4, space at most {braces}, angle 30 deg, on bank }}
pour p {{ fill s; mix bag-80-lb }}"
        );
        found(&text).into_iter().filter(|name| *name == "form-size").count()
    };
    assert_eq!((of("2\"", "2'"), of("1 1/2\"", "2'"), of("12\"", "1\""), of("1\"", "1\"")), (0, 1, 1, 2));
}

#[test]
fn the_top_board_of_the_sheathing_is_ripped_and_that_is_said() {
    let job = |high: &str| {
        fine(&format!(
            "wall old {{ leg a 8'; thick 8\"; height -24\" to 60\"; of concrete }}
section s {{ along old; thick 6\"; height 0 to {high} }}
forms box {{ against s; sheath 2x8; {USUAL} }}
pour p {{ fill s; mix bag-80-lb }}"
        ))
    };
    let high = |job: &Compiled| {
        let panel = job.works.forms[0].panels.iter().find(|panel| panel.closes == Use::Face).unwrap();
        boards_high(&job.job, &job.job.forms[0].say, panel).unwrap()
    };
    let notes = |job: &Compiled| {
        let svg = drawings::svg(&drawn(job, View::Form)[0], None);
        let document = Document::parse(&svg).unwrap();
        let words: Vec<&str> = document.descendants().filter_map(|node| node.text()).collect();
        words.join(" ").contains("rip the top board to 5 1/2\"")
    };
    // Three boards of 7 1/4 in are 21 3/4 in.
    let ripped = job("20\"");
    assert_eq!(high(&ripped), (3, Some(Length::INCH * 11 / 2)));
    assert!(notes(&ripped));
    let whole = job("21 3/4\"");
    assert_eq!((high(&whole), notes(&whole)), ((3, None), false));
}

#[test]
fn stakes_are_drawn_where_they_are_driven() {
    let job = |on: &str| {
        fine(&format!(
            "line edge {{ leg a 8' }}
section s {{ along edge; thick 6\"; height 0 to 12\" }}
forms box {{ against s; sheath ply-3/4; studs 2x4, space at most 12\"; kick 2x4, {on}, holds 900 lbf, space at most 2'; down 900 lbf, space at most 2'; brace 2x4, space at most 2', angle 30 deg, {on}, holds 900 lbf }}
pour p {{ fill s; mix bag-80-lb }}"
        ))
    };
    let count = |job: &Compiled, view: View, title: &str| {
        let all = drawn(job, view).iter().map(|drawing| drawings::svg(drawing, None)).collect::<String>();
        all.matches(title).count()
    };
    let (stakes, floor) = (job("on stakes"), job("on floor"));
    // A kicker and a brace on either side of the cut.
    assert_eq!(
        (count(&stakes, View::Section, "<title>stake</title>"), count(&floor, View::Section, "<title>stake</title>")),
        (4, 0)
    );
    // 8 ft by 2 ft, both ends, on both faces.
    let kicked = "<title>stake of the kicker: ";
    assert_eq!((count(&stakes, View::Form, kicked), count(&floor, View::Form, kicked)), (10, 0));
    // The braces have as many.
    assert_eq!(stakes.works.forms[0].stakes, 20);
}

#[test]
fn metric_boards_of_the_library_measure_what_their_name_says() {
    let names: Vec<&str> = batterboard::library::entries()
        .filter(|(kind, name)| *kind == "lumber" && name.split_once('x').is_some_and(|(thick, _)| thick.len() > 1))
        .map(|(_, name)| name)
        .collect();
    assert!(names.contains(&"50x100") && names.len() > 10, "{names:?}");
    for name in names {
        let job = compiled(&format!(
            "job \"Case\" {{ show metric }}
wall old {{ leg a 2 m; thick 200 mm; height -300 mm to 900 mm }}
section s {{ along old; thick 150 mm; height 0 to 300 mm }}
forms box {{ against s; sheath ply-15; studs {name}, space at most 300 mm; kick {name}, on bank; brace {name}, space at most 600 mm, on bank; down 4 kN, space at most 600 mm }}
pour p {{ fill s; mix bag-25-kg }}"
        ));
        let size = job.job.lumber_of(job.job.forms[0].say.studs.value.size.0).unwrap().say.size.clone().unwrap();
        let millimetres = |length: Length| length.nm() / 1_000_000;
        assert_eq!(format!("{}x{}", millimetres(size.thick.0), millimetres(size.wide.0)), name);
    }
}

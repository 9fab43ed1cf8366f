//! Forms where faces of them end: boards round corners, what stands in a corner of the form, floors that are not there, old walls that
//! end below a tie, boards that are ripped; and what drawings show of it.

use batterboard::{
    compile::Compiled,
    drawings::{self, Drawing, View},
    formwork::{FaceSide, PartSort, Unheld, Use, boards_high, studs},
    reports::{order, print},
    schema::StandsOn,
    units::{Length, System},
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
    assert_eq!(told(ground, "0", floor, "on stakes"), [Unheld::NoFloor(Hold::Kick, FaceSide::Each)]);
    assert_eq!(told(ground, "0", bank, "on floor"), [Unheld::NoFloor(Hold::Brace, FaceSide::Each)]);
    // On a footing that stands out there is room for both.
    let footing = format!("{ground}\nfooting foot {{ under old; thick 8\"; out 20\" }}");
    assert_eq!(told(&footing, "0", floor, "on floor"), []);
    // A foot 10 in above the slab: no kicker of 3 1/2 in reaches down to it. At 3 in it does.
    let high = Length::INCH * 10;
    assert_eq!(told(slab, "10\"", floor, "on bank"), [Unheld::OverFloor(StandsOn::Floor, high, Length::ZERO)]);
    assert_eq!(told(slab, "3\"", floor, "on bank"), []);
    assert!(matches!(told(slab, "3\"", floor, "on stakes")[..], [Unheld::Staked(Hold::Brace, ..)]));
    assert!(found(&text(ground, "0", floor, &braced("on stakes"))).contains(&"form-unheld"));
}

#[test]
fn stakes_are_not_driven_into_concrete() {
    use batterboard::formwork::Hold;
    // The footing reaches 12 in past the wall on it: the form and its kicker are 5 3/4 in deep, a stake 1.6 in behind; braces that
    // meet at 22 in come down 22 in farther out, past its edge.
    let text = |footing: &str, pours: &str, kick: &str, brace: &str| {
        format!(
            "wall old {{ leg a 8'; thick 10\"; height -20\" to 36\"; of concrete }}
ground {{ inside -10\" }}
section base {{ along old; thick {footing}; height -20\" to -10\"; side earth }}
section s {{ along old; thick 8\"; height -10\" to 20\" }}
forms box {{ against s; sheath ply-3/4; studs 2x4, space at most 10\"; down 900 lbf, space at most 18\"; \
kick 2x4, {kick}, holds 900 lbf, space at most 2'; brace 2x4, space at most 2', {brace}, holds 900 lbf }}
{pours}"
        )
    };
    let one = "pour p {{ fill base; mix bag-80-lb }}\npour q {{ fill s; mix bag-80-lb }}"
        .replace("{{", "{")
        .replace("}}", "}");
    let staked = |why: &Unheld| match why {
        Unheld::Staked(hold, ..) => Some(*hold),
        _ => None,
    };
    let told = |text: &str| unheld(text).iter().filter_map(staked).collect::<Vec<Hold>>();
    assert_eq!(told(&text("20\"", &one, "on stakes", "on stakes")), [Hold::Kick]);
    assert_eq!(told(&text("4'", &one, "on stakes", "on stakes")), [Hold::Kick, Hold::Brace]);
    assert_eq!(told(&text("13\"", &one, "on stakes", "on stakes")), []);
    assert_eq!(unheld(&text("20\"", &one, "on floor", "on stakes")), []);
    // What is cast with it, or later, is not there to stop a stake.
    let together = "pour p { fill base, s; mix bag-80-lb }";
    assert_eq!(told(&text("20\"", together, "on stakes", "on stakes")), []);
    let later = "pour p { fill base; mix bag-80-lb }\npour q { fill s; mix bag-80-lb }\nstep b \"s\" { work pour q }\n\
step c \"base\" { work pour p; after b }";
    assert_eq!(told(&text("20\"", later, "on stakes", "on stakes")), []);
    // The mend is what the help says.
    let shown = compiled(&text("20\"", &one, "on stakes", "on stakes"));
    let told = shown.problems.iter().find(|problem| problem.rule.name == "form-unheld").unwrap();
    assert!(told.helps(System::Feet).unwrap().contains("write `on floor`"));
    assert!(told.says(System::Feet).contains("`base` lies under them"));
}

#[test]
fn feet_of_braces_reach_as_far_as_they_are_drawn() {
    // Braces at 45 deg meet a form of 20 in at 15 in: they begin 3/4 + 3 1/2 + 3 1/2 in out, their upper edge comes down
    // 15 + 1.5 / 2 * sqrt 2 = 16.06 in farther, and the cleat ends 3 in behind that: 26.81 in.
    let text = |thick: &str, brace: &str| {
        format!(
            "wall old {{ leg a 8'; thick 8\"; height -12\" to 60\"; of concrete }}
ground {{ inside -8\" }}
section pad {{ along old; thick {thick}; height -8\" to 0; side earth }}
section s {{ along old; thick 6\"; height 0 to 20\" }}
forms box {{ against s; sheath ply-3/4; studs 2x4, space at most 12\"; walers 2x4, double; down 900 lbf, space at most 2'; \
kick 2x4, on floor, holds 900 lbf; brace 2x4, space at most 2', {brace}, holds 900 lbf }}
pour p {{ fill pad; mix bag-80-lb }}
pour q {{ fill s; mix bag-80-lb }}"
        )
    };
    let edges = |text: &str| {
        let found = unheld(text).into_iter().filter_map(|why| match why {
            Unheld::PastEdge(_, _, reach, past) => Some(((reach.inches() * 100.0).round() / 100.0, past.inches())),
            _ => None,
        });
        found.collect::<Vec<(f64, f64)>>()
    };
    assert_eq!(edges(&text("33\"", "on floor")), []);
    assert_eq!(edges(&text("32\"", "on floor")), [(26.81, 26.0)]);
    assert!(found(&text("32\"", "on floor")).contains(&"form-unheld"));
    // On the pad it rises 15 in; past its edge from the ground.
    let rises = |past: &str| {
        compiled(&text(past, "on stakes")).works.forms[0].panels.iter().find_map(|panel| panel.braced).unwrap().1
    };
    assert_eq!((rises("33\""), rises("32\"")), (Length::INCH * 15, Length::INCH * 23));
}

#[test]
fn a_slab_before_a_line_is_no_floor_behind_it() {
    use batterboard::formwork::Hold;
    let text = |slab: &str| {
        format!(
            "line run {{ leg a 14' }}
ground {{ outside 18\"; inside -5\" }}
{slab}
section kerb {{ along run; offset 0 to 10\"; height 0 to 18\" }}
forms box {{ against kerb; sheath ply-3/4; studs 2x4, space at most 12\"; down 900 lbf, space at most 2'; \
kick 2x4, on floor, holds 900 lbf; brace 2x4, space at most 3', on floor, holds 900 lbf }}
pour p {{ fill kerb; mix bag-80-lb }}"
        )
    };
    let slab = "slab yard { against run; thick 5\"; top 0 }";
    let job = compiled(&text(slab));
    let forms = &job.works.forms[0];
    assert_eq!(forms.panels.iter().filter(|panel| panel.closes == Use::Face).count(), 2);
    let whys: Vec<Unheld> = forms.unheld.iter().map(|(_, why)| *why).collect();
    assert_eq!(whys, [Unheld::NoFloor(Hold::Kick, FaceSide::Inner), Unheld::NoFloor(Hold::Brace, FaceSide::Inner)]);
}

#[test]
fn a_kicker_touches_the_bank_it_stands_against() {
    // The strip ends so far out; the concrete 8 in, the form with its kicker 5 3/4 in.
    let job = |out: &str| {
        compiled(&format!(
            "wall old {{ leg a 8'; thick 8\"; height -12\" to 60\"; of concrete }}
slab floor {{ against old; thick 4\"; top 0 }}
remove strip {{ in floor; along old; out {out} }}
section s {{ along old; thick 8\"; height -4\" to 20\" }}
forms box {{ against s; sheath ply-3/4; {USUAL} }}
pour p {{ fill s; mix bag-80-lb }}"
        ))
    };
    let gaps = |out: &str| {
        let forms = &job(out).works.forms[0];
        let far = forms.unheld.iter().find_map(|(_, why)| match why {
            Unheld::FarBank(_, gap, _) => Some(gap.inches()),
            _ => None,
        });
        (far, forms.wedged.first().map(|(_, gap)| gap.inches()))
    };
    assert_eq!(gaps("24\""), (Some(10.25), None));
    assert_eq!(gaps("15 1/4\""), (None, Some(1.5)));
    assert_eq!(gaps("13 3/4\""), (None, None));
    // Broken out as the help says it is near enough.
    let told = job("24\"");
    let told = told.problems.iter().find(|problem| problem.rule.name == "form-unheld").unwrap();
    assert!(
        told.helps(System::Feet).unwrap().contains("break out the slab 14\" from"),
        "{:?}",
        told.helps(System::Feet)
    );
    assert_eq!(gaps("14\""), (None, Some(0.25)));
    let mut out = Vec::new();
    print::markdown(&order(&job("14\"")), &mut out).unwrap();
    let text = String::from_utf8(out).unwrap();
    assert!(text.contains("Wedges between kicker and edge of the slab"), "{text}");
}

#[test]
fn walers_do_not_lie_in_each_other() {
    let text = |rows: &str, double: &str, kick: &str| {
        format!(
            "wall old {{ leg a 8'; thick 8\"; height -12\" to 60\"; of concrete }}
section s {{ along old; thick 8\"; height 0 to 24\" }}
forms box {{ against s; sheath ply-3/4; studs 2x4, space at most 12\"; walers 2x4{double}; ties rows {rows}, space at most 2', holds 900 lbf; \
{kick}brace 2x4, space at most 2', angle 30 deg, on stakes, holds 900 lbf; down 900 lbf, space at most 2' }}
pour p {{ fill s; mix bag-80-lb }}"
        )
    };
    let told = |rows: &str, double: &str, kick: &str| {
        let job = compiled(&text(rows, double, kick));
        let problems = job.problems.iter().filter(|problem| problem.rule.name == "form-size");
        problems.map(|problem| problem.helps(System::Feet).unwrap()).collect::<Vec<_>>()
    };
    // Two boards of 1 1/2 in with 1.2 in between them are 4.2 in high, one alone 1 1/2 in.
    assert_eq!(told("4\", 4 1/2\"", ", double", "").len(), 1);
    assert_eq!(told("4\", 8 1/4\"", ", double", ""), Vec::<String>::new());
    assert_eq!(told("4\", 8 1/8\"", ", double", "").len(), 1);
    assert_eq!(told("4\", 5 1/2\"", "", ""), Vec::<String>::new());
    // A kicker of 3 1/2 in, and half of a waler over it.
    let kick = "kick 2x4, on stakes, holds 900 lbf; ";
    assert_eq!(told("4 1/4\"", "", kick), Vec::<String>::new());
    let told = told("4\"", "", kick);
    assert!(told.len() == 1 && told[0].contains("4 1/4\""), "{told:?}");
    // Braces meet it at three quarters of 24 in.
    assert_eq!(
        unheld(&text("4\", 18\"", "", "")),
        [Unheld::Order(batterboard::formwork::Hold::Tie(1), batterboard::formwork::Hold::Brace, Length::INCH * 18)]
    );
}

#[test]
fn the_saw_takes_its_cut_of_sheets_too() {
    // Strips of 30 and 18 in are as wide as a sheet, and nothing is left for the cut between them.
    let sheets = |low: &str, stock: &str| {
        let job = compiled(&format!(
            "wall old {{ leg a 14'; thick 8\"; height -12\" to 60\"; of concrete }}
{stock}
section high {{ along old.a 0 to 7'; thick 8\"; height 0 to 30\" }}
section low {{ along old.a 7' to 14'; thick 8\"; height 0 to {low} }}
forms box {{ against high, low; sheath ply-3/4; {USUAL} }}
pour p {{ fill high, low; mix bag-80-lb }}"
        ));
        let sheets = job.works.forms[0].sheets.clone().unwrap();
        let full = sheets
            .lines
            .iter()
            .filter(|line| line.pieces.iter().filter(|(long, ..)| long.inches() > 80.0).count() == 2);
        (full.count(), sheets.kerf.inches())
    };
    assert_eq!(sheets("18\"", ""), (0, 0.125));
    assert_eq!(sheets("17 7/8\"", ""), (1, 0.125));
    assert_eq!(sheets("17 7/8\"", "stock ply { for ply-3/4; price 60 USD; kerf 3/16\" }"), (0, 0.1875));
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
        told.helps(System::Feet).unwrap()
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

#[test]
fn forms_are_not_fixed_over_what_is_kept_clear_in_a_floor() {
    use batterboard::formwork::Hold;
    // Studs end 4 1/4 in out of the face at 8 in, the kicker 1 1/2 in behind: from 12 1/4 to 13 3/4 in out of the old wall. Braces of
    // 45 deg begin another 3 1/2 in behind the studs, at 15 3/4 in, and meet the form 15 in up: their upper edge comes down 16.06 in
    // farther, and the cleat lies from 31.81 to 34.81 in out.
    let job = |clear: &str| {
        compiled(&format!(
            "wall old {{ leg a 8'; thick 8\"; height -12\" to 60\"; of concrete }}
slab floor {{ against old; thick 4\"; top 0 }}
clear hose {{ {clear} }}
section s {{ along old; thick 8\"; height 0 to 20\" }}
forms box {{ against s; sheath ply-3/4; studs 2x4, space at most 12\"; down 900 lbf, space at most 2'; \
kick 2x4, on floor, holds 900 lbf, space at most 2'; brace 2x4, space at most 2', on floor, holds 900 lbf }}
pour p {{ fill s; mix bag-80-lb }}"
        ))
    };
    let over = |clear: &str| job(clear).works.forms[0].over.iter().map(|(hold, _)| *hold).collect::<Vec<_>>();
    assert_eq!(over("along old.a; offset 13\"; radius 1/2\""), [Hold::Kick]);
    assert_eq!(over("along old.a; offset 15\"; radius 1 1/2\""), [Hold::Kick]);
    assert_eq!(over("along old.a; offset 15\"; radius 1 1/4\""), []);
    assert_eq!(over("along old.a; offset 33\"; radius 1/2\""), [Hold::Brace]);
    assert_eq!(over("along old.a; offset 35 1/4\"; radius 1/2\""), [Hold::Brace]);
    assert_eq!(over("along old.a; offset 36\"; radius 1/2\""), []);
    // What crosses the way of the kicker, is shorter than the fixings are apart or lies in the face is passed.
    assert_eq!(over("on old.a at 4'; offset 0 to 36\"; radius 1/2\""), []);
    assert_eq!(over("along old.a 3' to 5'; offset 13\"; radius 1/2\""), []);
    assert_eq!(over("along old.a 3' to 5' 1\"; offset 13\"; radius 1/2\""), [Hold::Kick]);
    assert_eq!(over("along old.a; height 13\"; radius 1/2\""), []);
    let told = job("along old.a; offset 13\"; radius 1/2\"");
    let told = told.problems.iter().find(|problem| problem.rule.name == "tie-hits").unwrap();
    assert!(told.says(System::Feet).contains("fixed to the floor over what is kept clear round `hose`"));
}

#[test]
fn boxes_of_voids_are_sawn_and_listed() {
    let job = |void: &str, sheath: &str| {
        compiled(&format!(
            "wall old {{ leg a 8'; thick 8\"; height -12\" to 60\"; of concrete }}
section s {{ along old; thick 8\"; height 0 to 24\" }}
{void}
forms box {{ against s; sheath {sheath}; {USUAL} }}
pour p {{ fill s; mix bag-80-lb }}
step build \"Build the forms\" {{ work form box }}"
        ))
    };
    let inches = |length: Length| length.inches();
    let boxes = |job: &Compiled| {
        let boards = job.works.forms[0].boxes.iter().flat_map(|one| &one.boards);
        boards.map(|(long, short, count)| (inches(*long), inches(*short), *count)).collect::<Vec<_>>()
    };
    let sleeve = "void gap { in s; on old.a 2' to 3'; height 6\" to 16\" }";
    // Two sides between a bottom and a top of 3/4 in, through all of the concrete.
    let through = job(sleeve, "ply-3/4");
    assert_eq!(boxes(&through), [(8.5, 8.0, 2), (12.0, 8.0, 2)]);
    // Open over the top of the concrete; and a pocket in the face, with a back of its own.
    assert_eq!(
        boxes(&job("void gap { in s; on old.a 2' to 3'; height 16\" to 24\" }", "ply-3/4")),
        [(8.0, 7.25, 2), (12.0, 8.0, 1)]
    );
    assert_eq!(
        boxes(&job("void gap { in s; on old.a 2' to 3'; offset 3\" to 8\"; height 6\" to 16\" }", "ply-3/4")),
        [(8.5, 4.25, 2), (12.0, 4.25, 2), (12.0, 10.0, 1)]
    );
    let sawn = |job: &Compiled| {
        let sheets = job.works.forms[0].sheets.clone().unwrap();
        let pieces =
            sheets.lines.into_iter().flat_map(|line| line.pieces.into_iter().map(move |one| (line.times, one)));
        pieces.map(|(times, (long, high, count))| (inches(long), inches(high), times * count)).collect::<Vec<_>>()
    };
    assert!(
        sawn(&through).contains(&(8.5, 8.0, 2)) && sawn(&through).contains(&(12.0, 8.0, 2)),
        "{:?}",
        sawn(&through)
    );
    // Of boards 7 1/4 in wide each side takes two.
    let boards = |void: &str| {
        let job = job(void, "1x8");
        pieces(&job, PartSort::Sheathing).iter().filter(|long| **long < 13.0).count()
    };
    assert_eq!(boards(sleeve) - boards(""), 8);
    let mut out = Vec::new();
    print::markdown(&order(&through), &mut out).unwrap();
    let text = String::from_utf8(out).unwrap();
    let says = "gap: 12\" long, 10\" high, 8\" deep outside, of 2 x 8 1/2\" by 8\", 2 x 12\" by 8\"";
    assert!(text.contains(&format!("Boxes that keep voids empty:** {says}")), "{text}");
    assert!(text.contains(&format!("- box {says}")), "{text}");
    // Round a corner its size is told, and its boards are not.
    let corner = compiled(&format!(
        "wall old {{ leg a 8'; corner inside; leg b 8'; thick 8\"; height -12\" to 60\"; of concrete }}
section s {{ along old; thick 8\"; height 0 to 24\" }}
void gap {{ in s; on old.a 7' to old.b 2'; height 6\" to 16\" }}
forms box {{ against s; sheath ply-3/4; {USUAL} }}
pour p {{ fill s; mix bag-80-lb }}"
    ));
    assert!(corner.works.forms[0].boxes.len() == 2 && boxes(&corner).is_empty());
}

#[test]
fn kickers_high_over_the_ground_stand_on_nothing() {
    let text = |foot: &str, around: &str, on: &str| {
        format!(
            "job \"Two lifts\" {{ show metric }}
wall old {{ leg north 3 m; thick 300 mm; height -300 mm to 1900 mm; of concrete }}
{around}
section low {{ along old.north; thick 200 mm; height 0 to {foot} }}
section high {{ along old.north; thick 200 mm; height {foot} to 800 mm }}
forms upper {{ against high; sheath ply-18; studs 50x100, space at most 300 mm; brace 50x100, space at most 700 mm, on stakes, holds 2500 N; kick 50x100, {on}; down 1500 N, space at most 700 mm }}
pour a {{ fill low; mix bag-25-kg }}
pour b {{ fill high; mix bag-25-kg }}"
        )
    };
    let mm = |count: i64| Length::from_nm(count * 1_000_000);
    let told = |foot: &str, around: &str, on: &str| unheld(&text(foot, around, on));
    let (ground, stakes, bank) = ("ground { inside 0 }", "on stakes, holds 2 kN", "on bank");
    let over = |on, foot: i64| [Unheld::OverFloor(on, mm(foot), Length::ZERO)];
    assert_eq!(told("400 mm", ground, stakes), over(StandsOn::Stakes, 400));
    assert_eq!(told("400 mm", ground, bank), over(StandsOn::Bank, 400));
    // A stake stands out by 12 in (304.8 mm), 100 of them for the kicker; a bank reaches up to the kicker.
    assert_eq!(told("200 mm", ground, stakes), []);
    assert_eq!(told("210 mm", ground, stakes), over(StandsOn::Stakes, 210));
    assert_eq!(told("100 mm", ground, bank), []);
    assert_eq!(told("120 mm", ground, bank), over(StandsOn::Bank, 120));
    // Where nobody says how high the ground lies, it may be there; and the edge of a slab is a bank.
    assert_eq!(told("400 mm", "", stakes), []);
    let slab = "ground { inside 0 }\nslab deck { against old.north; thick 600 mm; top 600 mm }\nremove strip { in deck; along old.north; out 500 mm }";
    assert!(!told("400 mm", slab, bank).iter().any(|why| matches!(why, Unheld::OverFloor(..))));
}

#[test]
fn a_form_wants_its_room_before_the_old_wall() {
    let text = |offset: &str, below: &str| {
        format!(
            "wall old {{ leg yard 12'; thick 8\"; height -12\" to 60\"; of concrete }}
ground {{ inside 0 }}
{below}
section apart {{ along old.yard 2' to 6'; {offset}; height 0 to 24\" }}
forms box {{ against apart; sheath ply-3/4; {} }}
pour p {{ fill apart; mix bag-80-lb }}",
            USUAL.replace("on floor, holds 900 lbf", "on stakes, holds 900 lbf")
        )
    };
    let narrow = |offset: &str| {
        let job = compiled(&text(offset, ""));
        let says = job.problems.iter().find(|problem| problem.rule.name == "form-tight");
        says.map(|problem| (problem.says(System::Feet), problem.helps(System::Feet).unwrap_or_default()))
    };
    let (says, help) = narrow("offset 2\" to 10\"").unwrap();
    assert!(says.contains("are 2\"") && says.contains("takes 5 3/4\""), "{says}");
    assert!(help.contains("`offset 6\" to 14\"`") && help.contains("`thick 10\"`"), "{help}");
    assert_eq!(narrow("offset 6\" to 14\""), None);
    assert_eq!(narrow("thick 10\""), None);
    // A footing of its own that ends in the gap: past it stands the old wall, and no ground.
    let below = "section pad { along old.yard 2' to 6'; offset 1\" to 30\"; height -8\" to 0 }\npour q { fill pad; mix bag-80-lb }";
    let on_floor = text("offset 2\" to 10\"", below).replace("kick 2x4, on bank", "kick 2x4, on floor, holds 900 lbf");
    assert_eq!(unheld(&on_floor), []);
    let wide = on_floor.replace("offset 2\" to 10\"", "offset 24\" to 32\"").replace("offset 1\"", "offset 22\"");
    assert!(unheld(&wide).iter().any(|why| matches!(why, Unheld::PastEdge(..))), "{:?}", unheld(&wide));
}

#[test]
fn braces_pass_each_other_in_a_corner_of_the_form() {
    let job = |space: &str| {
        fine(&format!(
            "job \"Inside corner\" {{ show metric }}
wall old {{ leg north 2 m; corner inside; leg east 2 m; thick 300 mm; height -300 mm to 1900 mm; of concrete }}
ground {{ inside 0 }}
section low {{ along old.north 500 mm to old.east 1500 mm; thick 200 mm; height 0 to 500 mm }}
forms shell {{ against low; sheath ply-18; studs 50x100, space at most 300 mm; brace 50x100, space at most {space}, angle 45 deg, on stakes, holds 2500 N; kick 50x100, on stakes, holds 2 kN; down 1500 N, space at most {space} }}
pour a {{ fill low; mix bag-25-kg }}"
        ))
    };
    let wide = job("700 mm");
    let made = &wide.works.forms[0];
    let faces: Vec<_> = made.panels.iter().filter(|panel| panel.closes == Use::Face).collect();
    let mm = |count: i64| Length::from_nm(count * 1_000_000);
    // How far from the corner the outermost of both stand: 218 mm of boards and half a brace, and one moved on by as many steps as
    // bring it 71 mm under the other where they cross, and half a brace to either side.
    let mut off: Vec<Length> = faces
        .iter()
        .flat_map(|panel| {
            let places = panel.braces(mm(700));
            let corner = if panel.reach.brace.to < Length::ZERO { places.last() } else { places.first() };
            corner.map(|at| if panel.reach.brace.to < Length::ZERO { panel.width - *at } else { *at })
        })
        .collect();
    off.sort_unstable();
    assert_eq!(off, [mm(243), mm(368)]);
    assert!(made.crossings.is_empty());
    // They are drawn where they stand, and as many are sawn.
    let braces: usize = faces.iter().map(|panel| panel.braces(mm(700)).len()).sum();
    assert_eq!(pieces(&wide, PartSort::Brace).len(), braces);
    let svg: String = drawn(&wide, View::Form).iter().map(|drawing| drawings::svg(drawing, None)).collect();
    let stations = svg.matches("data-brace=\"").count();
    assert_eq!(stations, braces);
    // So narrow that their walers would stick out too far past them: that is told.
    let narrow = job("400 mm");
    assert_eq!(narrow.works.forms[0].crossings.len(), 1);
    assert!(narrow.problems.iter().any(|problem| problem.rule.name == "form-tight"));
}

#[test]
fn a_bulkhead_that_does_not_hold_says_what_a_builder_does_about_it() {
    let told = |sheath: &str| {
        let job = compiled(&format!(
            "line edge {{ leg a 12' }}
section s {{ along edge.a; offset 0 to 4'; height 0 to 16\"; base soil }}
forms box {{ against s; sheath {sheath}; studs 2x4, space at most 24\"; kick 2x4, on stakes, space at most 3'; brace 2x4, space at most 3', on stakes }}
pour p {{ fill s; mix bag-80-lb }}"
        ));
        let ends = job.problems.iter().find(|problem| problem.at_ends).unwrap();
        assert_eq!(ends.rule.name, "form-sheath");
        ends.helps(System::Feet).unwrap_or_default()
    };
    let board = told("1x8");
    assert!(!board.contains("sheet") && board.contains("the end is 4' wide"), "{board}");
    // 2 ft of such boards hold no more than these between studs.
    assert!(board.contains("studs between its cleats"), "{board}");
    assert!(told("ply-3/4").contains("studs between its cleats"));
}

#[test]
fn what_is_found_of_a_bulkhead_is_flagged_at_the_ends() {
    let job = compiled(
        "wall old { leg a 10'; thick 8\"; height -12\" to 60\"; of concrete }
section s { along old.a 1' to 9'; thick 20\"; height 0 to 30\" }
forms box { against s; sheath ply-1/2; studs 2x4, space at most 12\"; brace 2x4, space at most 2', angle 30 deg, on floor, holds 900 lbf; kick 2x4, on bank; down 900 lbf, space at most 2' }
pour p { fill s; mix bag-80-lb }",
    );
    assert!(job.problems.iter().any(|problem| problem.at_ends), "the end holds");
    let drawing = drawn(&job, View::Form).remove(0);
    let svg = drawings::svg(&drawing, None);
    let document = Document::parse(&svg).unwrap();
    let ends: Vec<&str> =
        drawing.flags().into_iter().map(|(_, at)| at).filter(|at| *at == "forms-box-ends-s").collect();
    assert_eq!(ends.len(), 2);
    assert!(document.descendants().any(|node| node.attribute("id") == Some("forms-box-ends-s")));
}

#[test]
fn behind_a_lower_old_wall_the_ground_is_that_outside() {
    let text = |thick: &str, outside: &str, angle: u32, kick: &str| {
        format!(
            "wall old {{ leg yard 16'; thick {thick}; height -24\" to 26\"; of concrete }}
ground {{ inside -4\"; {outside} }}
section high {{ along old.yard 2' to 8'; offset 0 to 8\"; height 0 to 40\" }}
forms box {{ against high; sheath ply-3/4; studs 2x4, space at most 12\"; brace 2x4, space at most 30\", angle {angle} deg, on stakes, holds 900 lbf; kick 2x4, on {kick}, holds 300 lbf }}
pour p {{ fill high; mix bag-80-lb }}"
        )
    };
    let longest = |text: &str| pieces(&compiled(text), PartSort::Brace).last().copied().unwrap();
    // The form stands 14 in high on the old wall; braces meet it at three quarters, 10 in, of it.
    let over = |floor: f64| (36.0 - floor) * 2_f64.sqrt();
    let level = longest(&text("8\"", "outside -12\"", 45, "stakes"));
    assert!((level - over(-12.0)).abs() < 0.1, "{level}, not {}", over(-12.0));
    // One rises as far as it goes out: 48 in of it, 40 beyond the wall, over ground that falls by 1 in 10.
    let sloped = longest(&text("8\"", "outside -12\", falls 10%", 45, "stakes"));
    let out = (36.0 + 12.0 - 0.8) / 0.9;
    assert!((sloped - out * 2_f64.sqrt()).abs() < 0.1, "{sloped}, not {}", out * 2_f64.sqrt());
    // No stake goes into the top of an old wall: neither of the kicker nor, where it is so thick, of the braces.
    let staked = |text: &str| unheld(text).into_iter().filter(|why| matches!(why, Unheld::Staked(..))).count();
    assert_eq!(staked(&text("8\"", "outside -12\"", 45, "stakes")), 1);
    assert_eq!(staked(&text("24\"", "outside -12\"", 45, "stakes")), 2);
    // A kicker fixed to its top stands on it.
    assert!(!unheld(&text("8\"", "outside -12\"", 45, "floor")).iter().any(|why| matches!(why, Unheld::OverFloor(..))));
}

//! Whether bars can be brought in, in orders and places of which that can be seen by eye.

use batterboard::{compile::compile_text, language::Limits, source::Shelf, units::System};

use super::compiled;

/// Who cannot get past whom: the block, the one in its way, how many bars.
fn blocked(walls: &str, bars: &str, order: &[&str]) -> Vec<(String, String, u64)> {
    let steps: String = order
        .iter()
        .enumerate()
        .map(|(at, bars)| {
            let after = if at > 0 { format!("; after s{}", at - 1) } else { String::new() };
            format!(
                "step s{at} \"Place {bars}\" {{ work {} {bars}{after} }}\n",
                if *bars == "pegs" { "set" } else { "place" }
            )
        })
        .collect();
    let job = compiled(&format!("{walls}\n{bars}\n{steps}"));
    assert!(job.works.bars.len() >= order.len(), "{:?}", job.problems);
    let found = job.works.ways_in.blocked.iter();
    found.map(|one| (job.job.name(one.bar.bars).to_owned(), job.job.name(one.by.bars).to_owned(), one.bars)).collect()
}

const WALL: &str = "wall old { leg a 10'; thick 12\"; height -12\" to 60\" }";
const PINS: &str = "holes pins { into old; along old; rows height 10\"; inset 12\"; space every 2'; bore 5/8\" by 6\" }
bars pegs { size #4; in pins; out 5\" }";

fn one(name: &str, by: &str, bars: u64) -> Vec<(String, String, u64)> {
    vec![(name.to_owned(), by.to_owned(), bars)]
}

#[test]
fn a_dowel_goes_straight_out_of_its_hole() {
    let rails = |height: &str| format!("{PINS}\nbars rails {{ size #4; along old; rows height {height}; offset 6\" }}");
    // A rail in front of the dowels, half an inch off their ends.
    assert_eq!(blocked(WALL, &rails("10\""), &["rails", "pegs"]), one("pegs", "rails", 5));
    assert_eq!(blocked(WALL, &rails("10\""), &["pegs", "rails"]), []);
    // 1/2 in higher the two just pass: the radii are 1/2 in together.
    assert_eq!(blocked(WALL, &rails("10 1/2\""), &["rails", "pegs"]), []);
    assert_eq!(blocked(WALL, &rails("10 3/8\""), &["rails", "pegs"]), one("pegs", "rails", 5));
}

#[test]
fn a_tie_does_not_go_over_bars_that_are_in_it() {
    let cage = "bars rails { size #4; along old; rows height 3\", 17\"; offset 6\" }
bars ties { size #3; along old; space every 2'; inset 6\"; from offset 3\", height 1\"; legs up 18\", out 6\", down 18\", in 6\", hook 135 deg }";
    assert_eq!(blocked(WALL, cage, &["rails", "ties"]), one("ties", "rails", 5));
    // The other way round the long bars are pushed through from the end.
    assert_eq!(blocked(WALL, cage, &["ties", "rails"]), []);
    // Between two legs that come towards you that is not so: there is no room beside them.
    let nook =
        "wall old { leg l 6'; corner inside; leg a 10'; corner inside; leg r 6'; thick 12\"; height -12\" to 60\" }";
    let inside = cage.replace("along old", "along old.a");
    assert_eq!(blocked(nook, &inside, &["ties", "rails"]), one("rails", "ties", 2));
    // Where only one side is closed they come from the other, whichever it is.
    for open in [
        "wall old { leg a 10'; corner inside; leg r 6'; thick 12\"; height -12\" to 60\" }",
        "wall old { leg l 6'; corner inside; leg a 10'; thick 12\"; height -12\" to 60\" }",
        "wall old { leg l 6'; corner outside; leg a 10'; corner inside; leg r 6'; thick 12\"; height -12\" to 60\" }",
    ] {
        assert_eq!(blocked(open, &inside, &["ties", "rails"]), []);
    }
    // An open stirrup is hung from above, or slipped in from in front.
    let hung = "bars rails { size #4; along old; rows height 15\"; offset 6\" }
bars ties { size #3; along old; space every 2'; from offset 3\", height 1\"; legs up 18\", out 6\", down 18\" }";
    assert_eq!(blocked(WALL, hung, &["rails", "ties"]), []);
}

#[test]
fn what_is_placed_in_one_step_is_not_in_its_own_way() {
    let cage = "bars rails { size #4; along old; rows height 3\", 17\"; offset 6\" }
bars ties { size #3; along old; space every 2'; inset 6\"; from offset 3\", height 1\"; legs up 18\", out 6\", down 18\", in 6\", hook 135 deg }";
    let job = compiled(&format!("{WALL}\n{cage}\nstep cage \"Tie\" {{ work place rails, ties }}"));
    assert!(job.works.ways_in.blocked.is_empty());
    let job = compiled(&format!("{WALL}\n{cage}"));
    assert!(job.works.ways_in.blocked.is_empty());
}

#[test]
fn what_was_not_tried_is_said() {
    let text = std::fs::read_to_string("tests/mistakes/bar-cannot-go-in.job").unwrap();
    let told = |pairs: u64| {
        let mut limits = Limits::default();
        assert!(limits.set("pairs", pairs));
        let job = compile_text(&Shelf::default(), "case.job", &text, &limits);
        let said = job.problems.iter().map(|problem| problem.says(System::Feet));
        said.filter(|says| says.contains("it was tried whether they go in")).count()
    };
    assert_eq!(told(Limits::default().pairs), 0);
    // With fewer, either these looks or the pairs that are near each other run out first; of both one is told.
    assert!((1..100).any(|few| told(few * 8) == 1));
}

//! What is buried by which pour, and the edges that follow from it.

use super::{SITE, clean, counted, hidden, none, order, pairs, rails, site};
use crate::{
    concrete::Solids,
    plan::{Reason, buried::buried, plan},
};

#[test]
fn bars_are_buried_where_they_lie() {
    let job = site(
        &[
            rails("in-low", "low", "-6\""),
            rails("in-high", "high", "6\""),
            rails("by-legs", "old.back 0 to 5'", "6\""),
            rails("by-wall", "old", "-6\", 6\""),
            rails("joint", "old.back", "0"),
            rails("round", "old.back 9' to old.side 1'", "6\""),
            rails("on-side", "old.side", "6\""),
        ]
        .concat(),
    );
    assert_eq!(
        hidden(&job, &plan(&job, &counted(&none), &Solids::default(), 1_000_000)),
        [
            "by-legs two",
            "by-wall one",
            "by-wall three",
            "by-wall two",
            "in-high two",
            "in-low one",
            "joint one",
            "joint two",
            "on-side three",
            "round three",
            "round two",
        ]
    );
}

#[test]
fn stretches_that_only_touch_have_nothing_in_common() {
    let text = SITE.replace("section high { along old.back;", "section high { along old.back 2' to 5';");
    let bars = [
        rails("left", "old.back 0 to 2'", "6\""),
        rails("right", "old.back 5' to 10'", "6\""),
        rails("over", "old.back 4' to 6'", "6\""),
    ];
    let job = clean(&format!("{text}{}", bars.concat()));
    assert_eq!(hidden(&job, &plan(&job, &counted(&none), &Solids::default(), 1_000_000)), ["over two"]);
}

#[test]
fn bent_bars_are_buried_by_all_they_reach_into() {
    let job = site(
        r#"
bars starters { size #4; along old.back; space at most 12"; from offset 4", height -8"; legs up 18" }
bars short { size #4; along old.back; space at most 12"; from offset 4", height -10"; legs up 6" }
step do "x" { work place starters, short }
"#,
    );
    assert_eq!(
        hidden(&job, &plan(&job, &counted(&none), &Solids::default(), 1_000_000)),
        ["short one", "starters one", "starters two"]
    );
}

#[test]
fn dowels_go_by_their_holes_and_strips_by_the_slab() {
    let job = site(
        r#"
holes pins { into old; along old.back; rows height 6"; space at most 14"; bore 5/8" by 6" }
bars pegs { size #4; in pins; out 5" }
remove strip { in floor; along old.back; out 10" }
step peg "x" { work set pegs }
step drill "x" { work drill pins }
step scan "x" { work scan floor, old }
step break "x" { work remove strip }
"#,
    );
    let plan = plan(&job, &counted(&none), &Solids::default(), 1_000_000);
    // The section that stands on the floor does not stand where the strip was; the one that reaches through it does.
    assert_eq!(hidden(&job, &plan), ["pegs two", "pins two", "strip one"]);
    assert_eq!(pairs(&job, &plan, |reason| matches!(reason, Reason::Scanned { .. })), ["scan break", "scan drill"]);
    assert_eq!(pairs(&job, &plan, |reason| matches!(reason, Reason::Drilled { .. })), ["drill peg"]);
    assert_eq!(order(&job), "cast-three scan drill peg cast-two break cast-one");
}

#[test]
fn holes_in_new_concrete_wait_for_it() {
    let job = site(
        r#"
holes pins { into low.top; along low; rows offset 4"; space at most 14"; bore 5/8" by 6" }
holes more { into low.top; along old.back; rows offset 4"; space at most 14"; bore 5/8" by 6" }
bars pegs { size #4; in more; out 5" }
step drill "x" { work drill pins, more }
step peg "x" { work set pegs }
"#,
    );
    let plan = plan(&job, &counted(&none), &Solids::default(), 1_000_000);
    assert_eq!(pairs(&job, &plan, |reason| matches!(reason, Reason::Hardened { .. })), ["cast-one drill"]);
    assert_eq!(hidden(&job, &plan), ["more two", "pegs two"]);
    assert!(plan.circles.is_empty() && plan.undone.is_empty());
    assert_eq!(order(&job), "cast-one cast-three drill peg cast-two");
}

#[test]
fn a_section_that_runs_along_another_stands_where_that_stands() {
    let text = SITE.replace("section high { along old.back;", "section high { along low;");
    let job = clean(&format!("{text}{}{}", rails("by-legs", "old.back 0 to 5'", "6\""), rails("named", "low", "-6\"")));
    assert_eq!(hidden(&job, &plan(&job, &counted(&none), &Solids::default(), 1_000_000)), ["by-legs two", "named one"]);
}

#[test]
fn thirty_thousand_blocks_are_no_trouble() {
    use std::fmt::Write;
    let mut text = String::from(
        "job \"x\" { }\nmix m { bag 80 lb, yields 0.60 ft3 }\nwall old { leg back 500' 10\"; thick 8\"; height 0 to 30\"; of concrete }\n",
    );
    for at in 0..6000 {
        let (from, to) = (at, at + 1);
        writeln!(text, "section s{at} {{ along old.back {from}\" to {to}\"; thick 8\"; height 0 to 20\" }}").unwrap();
        writeln!(text, "pour p{at} {{ fill s{at}; mix m }}").unwrap();
        writeln!(text, "bars b{at} {{ size #4; along old.back {from}\" to {to} 1/2\"; rows height 6\"; offset 4\" }}")
            .unwrap();
        writeln!(text, "step c{at} \"x\" {{ work pour p{at} }}\nstep d{at} \"x\" {{ work place b{at} }}").unwrap();
    }
    let job = clean(&text);
    let plan = plan(&job, &counted(&none), &Solids::default(), 1_000_000);
    // Each row lies in its own section and half of the next.
    assert_eq!(plan.edges.len(), 2 * 6000 - 1);
    assert_eq!(plan.order.len(), 12_000);
    assert!(plan.cut.is_none() && plan.circles.is_empty() && plan.unhandled.is_empty());
}

#[test]
fn pairs_past_the_limit_are_left_out_with_their_thing() {
    let job = site(&[rails("all", "old", "-6\", 6\""), rails("in-low", "low", "-6\"")].concat());
    let pairs = |limit| {
        let buried = buried(&job, limit);
        (buried.pairs.len(), buried.cut.map(|id| job.name(id)))
    };
    assert_eq!(pairs(4), (4, None));
    assert_eq!(pairs(3), (3, Some("in-low")));
    assert_eq!(pairs(2), (0, Some("all")));
}

//! Long bars: rows that follow the steps.

use batterboard::{compile::Compiled, steel::Place};

use super::{fine, found, near};

/// Level, leg and station of begin and end, cut length; in inches.
type Bar = (f64, (u16, f64), (u16, f64), f64);

/// Each long bar of a block.
fn bars(job: &Compiled, name: &str) -> Vec<Bar> {
    let made = job.works.bars.iter().find(|made| job.job.name(made.id) == name).expect("bars of this name");
    let each = made.groups.iter().map(|group| match &group.place {
        Place::Long { level, from, to, .. } => {
            let place =
                |(on, station): (batterboard::concrete::LegAt, batterboard::units::Length)| (on.leg, station.inches());
            (level.inches(), place(*from), place(*to), group.shape.cut.inches())
        }
        _ => panic!("not a long bar"),
    });
    each.collect()
}

fn stepped(sections: &str, bars: &str) -> Compiled {
    fine(&format!("line edge {{ leg a 10' }}\n{sections}\nbars b {{ size #4; offset 4\"; lap 20\"; {bars} }}"))
}

#[test]
fn under_the_tops_the_lower_bar_goes_on_into_the_higher_section() {
    let job = stepped(
        "section low { along edge.a 0 to 4'; thick 8\"; height 0 to 12\" }
section high { along edge.a 4' to 10'; thick 8\"; height 0 to 20\" }",
        "along low, high; rows height 6\", top - 3\"",
    );
    // The absolute row runs through; the relative one steps from 9 in to 17 in at 48 in: the higher begins 2 in past the step,
    // and the lower goes on 20 in beside it.
    assert_eq!(
        bars(&job, "b"),
        [(6.0, (0, 2.0), (0, 118.0), 116.0), (9.0, (0, 2.0), (0, 70.0), 68.0), (17.0, (0, 50.0), (0, 118.0), 68.0),]
    );
}

#[test]
fn over_the_bottoms_the_higher_bar_goes_on_into_the_deeper_section() {
    let sections = "section low { along edge.a 0 to 4'; thick 8\"; height -12\" to 0 }
section high { along edge.a 4' to 10'; thick 8\"; height -6\" to 8\" }";
    let job = stepped(sections, "along low, high; rows height bottom + 3\"");
    assert_eq!(bars(&job, "b"), [(-9.0, (0, 2.0), (0, 46.0), 44.0), (-3.0, (0, 26.0), (0, 118.0), 92.0)]);
    // Where its level is not in the other's concrete, neither goes on.
    let job = stepped(sections, "along low, high; rows height bottom + 9\"");
    assert_eq!(bars(&job, "b"), [(-3.0, (0, 2.0), (0, 46.0), 44.0), (3.0, (0, 50.0), (0, 118.0), 68.0)]);
}

#[test]
fn stacked_sections_count_as_high_as_the_topmost() {
    let sections = "section base { along edge.a 0 to 10'; thick 8\"; height 0 to 8\" }
section cap { along edge.a 2' to 6'; thick 8\"; height 8\" to 16\" }
section apron { along edge.a 7' to 8'; offset 12\" to 20\"; height 0 to 30\" }";
    // Of the apron, which does not reach in to the bar, nothing is seen.
    let job = stepped(sections, "along base, cap, apron; rows height top - 3\"");
    assert_eq!(
        bars(&job, "b"),
        [(5.0, (0, 2.0), (0, 46.0), 44.0), (13.0, (0, 26.0), (0, 70.0), 44.0), (5.0, (0, 50.0), (0, 118.0), 68.0),]
    );
    let job = stepped(sections, "along edge.a 0 to 4'; rows height top - 3\"");
    assert_eq!(bars(&job, "b"), [(5.0, (0, 2.0), (0, 46.0), 44.0), (13.0, (0, 26.0), (0, 46.0), 20.0)]);
}

#[test]
fn a_step_at_a_corner_is_passed_round_the_corner() {
    let text = |one: &str, two: &str, corner: &str| {
        format!(
            "wall old {{ leg a 48\"; corner {corner}; leg b 60\"; thick 8\"; height -12\" to 40\" }}
section one {{ along old.a; thick 8\"; height 0 to {one} }}
section two {{ along old.b; thick 8\"; height 0 to {two} }}
bars b {{ size #4; along one, two; rows height top - 3\"; offset 4\"; lap 20\" }}
pour p {{ fill one, two; mix bag-80-lb }}"
        )
    };
    // A bend of 90 degrees at a centre-line radius of 1.75 in takes (2 - pi / 2) · 1.75 off.
    let bend = (2.0 - std::f64::consts::FRAC_PI_2) * 1.75;
    let job = fine(&text("12\"", "20\"", "outside"));
    let found = bars(&job, "b");
    assert_eq!((found[0].0, found[0].1, found[0].2), (9.0, (0, 2.0), (1, 22.0)));
    near(found[0].3, (46.0 + 4.0) + (4.0 + 22.0) - bend, 1e-6);
    assert_eq!(found[1], (17.0, (1, 2.0), (1, 58.0), 56.0));
    // The other way round: the bar on the second leg goes back round the corner on to the first.
    let job = fine(&text("20\"", "12\"", "outside"));
    let found = bars(&job, "b");
    assert_eq!(found[0], (17.0, (0, 2.0), (0, 46.0), 44.0));
    assert_eq!((found[1].0, found[1].1, found[1].2), (9.0, (0, 26.0), (1, 58.0)));
    near(found[1].3, (22.0 + 4.0) + (4.0 + 58.0) - bend, 1e-6);
    // Equal tops make one run, round the corner.
    let job = fine(&text("12\"", "12\"", "inside"));
    let found = bars(&job, "b");
    assert_eq!((found.len(), found[0].0, found[0].1, found[0].2), (1, 9.0, (0, 2.0), (1, 58.0)));
    near(found[0].3, (46.0 - 4.0) + (58.0 - 4.0) - bend, 1e-6);
}

#[test]
fn rows_on_several_walls_follow_each_wall() {
    let job = fine(
        "line left { leg a 6' }\nline right { leg a 8' }
section one { along left; thick 8\"; height 0 to 12\" }
section two { along right; thick 8\"; height 0 to 16\" }
bars b { size #4; along one, two; rows height top - 4\"; offset 4\" }",
    );
    let found: Vec<(f64, f64)> = bars(&job, "b").iter().map(|bar| (bar.0, bar.3)).collect();
    assert_eq!(found, [(8.0, 68.0), (12.0, 92.0)]);
}

#[test]
fn what_a_row_cannot_follow_is_said() {
    let row = |rows: &str| {
        format!("line edge {{ leg a 20' }}\nbars b {{ size #4; along edge; rows height {rows}; offset 4\" }}")
    };
    assert_eq!(found(&row("top - 3\"")), ["row-outside"]);
    assert_eq!(found(&row("top -3\"")), ["side-by-side"]);
    assert_eq!(found(&row("top - 3")), ["dimension-wrong"]);
    assert_eq!(found(&row("top 3\"")), ["side-by-side"]);
    assert_eq!(found(&row("4\"")), [""; 0]);
}

//! Edges, backs, the drill's room and how far holes may go, worked out by hand on plain walls.

use batterboard::{
    compile::Compiled,
    holes::{Rim, Shift},
    units::Length,
};

use super::{compiled, found, near};

const WALL: &str = "wall old { leg back 10'; corner outside; leg side 5'; thick 8\"; height -12\" to 26\" }\n";

/// One set of holes with #4 bars, by what its clauses say beyond those all of them have.
fn set(wall: &str, rules: &str) -> Compiled {
    compiled(&format!(
        "{wall}holes h {{ into old; bore 5/8\" by 6\"; {rules} }}\nbars pegs {{ size #4; in h; out 5\" }}"
    ))
}

#[track_caller]
fn edge(job: &Compiled, inches: f64, rim: Rim) {
    let edge = job.works.around.values().next().unwrap().edge.unwrap();
    near(edge.apart.inches(), inches, 1e-6);
    assert_eq!(edge.rim, rim);
}

#[test]
fn the_nearest_edge_is_found_in_space() {
    edge(&set(WALL, "along old.back 0 to 9'; rows height 24\"; inset 12\"; space at most 14\""), 2.0, Rim::Top);
    edge(&set(WALL, "along old.back 0 to 9'; rows height -10\"; inset 12\"; space at most 14\""), 2.0, Rim::Bottom);
    edge(
        &set(WALL, "along old.back; rows height 6\"; inset 2 1/2\", at corners 12\"; space at most 14\""),
        2.5,
        Rim::End,
    );
    // Round the corner stands the face of the other leg.
    edge(&set(WALL, "along old.back; rows height 6\"; inset 12\", at corners 2\"; space at most 14\""), 2.0, Rim::Face);
    // On a footing a wall goes on below.
    let footed = format!("{WALL}footing foot {{ under old; thick 8\"; out 0 }}\n");
    edge(&set(&footed, "along old.back 0 to 9'; rows height -10\"; inset 12\"; space at most 14\""), 12.0, Rim::End);
    // A hole that leans up 30 degrees comes 3 in higher.
    let leaning = "along old.back 0 to 9'; rows height 20\"; inset 12\"; space at most 14\"; tilt 30 deg up";
    edge(&set(WALL, leaning), 3.0, Rim::Top);
    // One that leans towards the corner comes nearer to the other face: 12 in less 6 sin 30.
    let aside = "along old.back; rows height 6\"; inset 12\"; space at most 14\"; tilt 30 deg right";
    edge(&set(WALL, aside), 9.0, Rim::Face);
}

#[test]
fn a_slanting_corner_is_measured_square_to_its_face() {
    let wall =
        "wall old { leg back 10'; corner outside, turning 60 deg; leg side 5'; thick 8\"; height -12\" to 40\" }\n";
    // The other face leaves the corner at 60 degrees: square to it from the mouth one would come out before the corner,
    // so that the corner itself is nearest, 4 in away.
    let job = set(wall, "along old.back; rows height 14\"; inset 12\", at corners 4\"; space at most 14\"");
    let edge = job.works.around.values().next().unwrap().edge.unwrap();
    assert_eq!(edge.rim, Rim::Face);
    near(edge.apart.inches(), 4.0, 1e-6);
}

#[test]
fn an_inside_corner_is_no_edge() {
    let wall = "wall old { leg back 10'; corner inside; leg side 5'; thick 12\"; height -12\" to 40\" }\n";
    let job = set(
        wall,
        "along old.back; rows height 14\"; inset 12\", at corners 5\"; space at most 14\"; drill 6\", wide 3\"",
    );
    edge(&job, 12.0, Rim::End);
    assert!(job.works.around.values().next().unwrap().tight.is_none());
    // With 1 in to the other leg's face a drill 3 in wide does not stand.
    let tight = set(
        wall,
        "along old.back; rows height 14\"; inset 12\", at corners 1\"; space at most 14\"; drill 6\", wide 3\"",
    );
    let found = tight.works.around.values().next().unwrap().tight.unwrap();
    near(found.hole.station.inches(), 119.0, 1e-9);
    // An outside corner leaves all the room there is.
    let outside = set(WALL, "along old.back; rows height 14\"; inset 12\", at corners 1\"; space at most 14\"");
    assert!(outside.works.around.values().next().unwrap().tight.is_none());
}

#[test]
fn a_leaning_hole_has_more_behind_it() {
    let back = |rules: &str| {
        let rules = format!("along old.back 0 to 9'; rows height 6\"; inset 12\"; space at most 14\"; {rules}");
        set(WALL, &rules).works.around.values().next().unwrap().back.unwrap()
    };
    let square = back("");
    assert_eq!((square.left, square.thick), (Length::INCH * 2, Length::INCH * 8));
    let cos = 30_f64.to_radians().cos();
    let leaning = back("tilt 30 deg down");
    near(leaning.left.inches(), 8.0 - 6.0 * cos, 1e-6);
    near(leaning.thick.inches(), 8.0 / cos, 1e-6);
}

#[test]
fn holes_near_the_outside_corner_go_into_the_other_leg() {
    // In the last 8 in of the leg there is no back: the axis runs along inside the other leg.
    let job = compiled(&format!(
        "{WALL}holes h {{ into old; along old.back; rows height 6\"; space at 9'-8\"; bore 5/8\" by 30\" }}"
    ));
    assert!(job.works.around.values().next().unwrap().back.is_none_or(|back| back.left > Length::ZERO));
    let out = compiled(&format!(
        "{WALL}holes h {{ into old; along old.back; rows height 6\"; space at 9'; bore 5/8\" by 30\" }}"
    ));
    let back = out.works.around.values().next().unwrap().back.unwrap();
    assert_eq!((back.left, back.thick), (Length::INCH * -22, Length::INCH * 8));
}

#[test]
fn every_way_of_turning_the_job_gives_the_same() {
    let wall = |turn: &str| {
        format!(
            "wall old {{ leg a 3'; corner outside, turning {turn}; leg back 10'; corner outside; leg side 5'; thick 8\"; height -12\" to 26\" }}\n"
        )
    };
    let rules = "along old.back; rows height 6\"; inset 16\", at end 2 1/4\"; space at most 14\"; tilt 20 deg down";
    let square = set(&wall("90 deg"), rules).works.around.values().next().copied().unwrap();
    for turn in ["90 deg", "61.5 deg", "17 deg"] {
        let turned = set(&wall(turn), rules).works.around.values().next().copied().unwrap();
        near(turned.edge.unwrap().apart.inches(), square.edge.unwrap().apart.inches(), 1e-6);
        near(turned.back.unwrap().left.inches(), square.back.unwrap().left.inches(), 1e-6);
    }
}

#[test]
fn holes_close_are_those_of_two_rows_and_of_one() {
    let two = "along old.back 0 to 9'; rows height 4\", 6 1/2\"; inset 12\"; space at most 14\"";
    let job = set(WALL, two);
    assert_eq!(job.works.close.len(), 1);
    let close = job.works.close[0];
    assert_eq!((close.apart.inches(), close.wanted.inches(), close.pairs), (2.5, 3.0, Some(7)));
    // 84 in in gaps of 2.8 in.
    let row = set(WALL, "along old.back 0 to 9'; rows height 4\"; inset 12\"; space at most 2.8\"");
    assert_eq!(row.works.close[0].pairs, None);
    assert!(
        set(WALL, "along old.back 0 to 9'; rows height 4\", 7\"; inset 12\"; space at most 14\"")
            .works
            .close
            .is_empty()
    );
}

/// How far the hole at this place of the first row may go.
fn shift(job: &Compiled, at: u64) -> (f64, f64) {
    let set = job.works.sets.values().next().unwrap();
    let Shift { left, right } = set.shifts(&job.job, &job.works.standing, &job.works.obstacles, &set.rows[0]).at(at);
    (left.inches(), right.inches())
}

#[test]
fn a_hole_may_go_as_far_as_no_rule_breaks() {
    // Gaps of 13.75 in where 14 are allowed.
    let even = set(WALL, "along old.back; rows height 6\"; inset 5\"; space at most 14\"");
    // The first and the last keep to their insets, and come towards their neighbour by half a gap.
    assert_eq!(shift(&even, 0), (0.0, 6.875));
    assert_eq!(shift(&even, 3), (0.25, 0.25));
    // Towards the corner, where holes of the other leg may be, nothing.
    assert_eq!(shift(&even, 8), (6.875, 0.0));
    // Steps have no widest gap: half of one.
    let steps = set(WALL, "along old.back; rows height 6\"; inset 12\"; space every 12\"");
    assert_eq!(shift(&steps, 3), (6.0, 6.0));
    // A bolt 8 in to the right: 8 less 2, 1 and half a bore.
    let bolt = format!("{WALL}clear bolt {{ on old.back at 56\"; height 6\"; radius 2\" }}\n");
    let steps = set(&bolt, "along old.back; rows height 6\"; inset 12\"; space every 12\"; avoid bolt by 1\"");
    assert_eq!(shift(&steps, 3), (6.0, 4.6875));
    // A row 2 in above, half a gap along: bars 3 in apart in space are the square root of 5 apart along.
    let staggered = set(WALL, "along old.back; rows height 6\", 8\", staggered; inset 12\"; space every 6\"");
    let (left, right) = shift(&staggered, 3);
    near(left, 3.0 - 5_f64.sqrt(), 1e-6);
    near(right, 3.0 - 5_f64.sqrt(), 1e-6);
}

#[test]
fn what_is_near_a_hole_is_told_once_a_thing() {
    let wall = "wall old { leg back 10'; thick 10\"; height -12\" to 26\" }\n";
    let with = |things: &str| {
        found(&format!(
            "{wall}{things}\nholes h {{ into old; along old; rows height 4\", 10\"; inset 6\"; space at most 18\"; bore 5/8\" by 6\" }}"
        ))
    };
    assert_eq!(with("clear pipe { along old.back 1' to 9'; height 7\"; radius 1\" }"), [""; 0]);
    assert_eq!(with("clear pipe { along old.back 1' to 9'; height 7\"; radius 2\" }"), ["hole-near"]);
    assert_eq!(with("clear pipe { along old.back 1' to 9'; height 7\"; radius 2.7\" }"), ["hole-hits"]);
    assert_eq!(with("clear pipe { on old.back at 15'; radius 1\" }"), ["station-off"]);
    assert_eq!(with("clear pipe { radius 1\" }"), ["clause-missing"]);
}

//! Rows of holes R1 to R7, corners, resin. A row takes n = ceil(clear / most) equal gaps.

use batterboard::{
    compile::{Compiled, compile_text},
    holes::Level,
    language::Limits,
    source::Shelf,
    units::Length,
};

use super::{compiled, fine, found, near};

/// The stations of all holes of the only set, leg by leg and row by row, in inches.
fn rows(job: &Compiled) -> Vec<Vec<f64>> {
    let set = job.works.sets.values().next().unwrap();
    set.rows.iter().map(|row| (0..row.places.count()).map(|at| row.places.at(at).inches()).collect()).collect()
}

/// A wall of one leg and one row of holes along it.
fn one_row(length: &str, rules: &str) -> Compiled {
    fine(&format!(
        "wall old {{ leg a {length}; thick 12\"; height -12\" to 40\" }}
holes h {{ into old; along old; rows height 4\"; {rules}; bore 5/8\" by 6\" }}"
    ))
}

#[track_caller]
fn stations(job: &Compiled, wanted: &[f64]) {
    let found = rows(job);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].len(), wanted.len(), "{found:?}");
    for (found, wanted) in found[0].iter().zip(wanted) {
        near(*found, *wanted, 1e-7);
    }
}

#[test]
fn r1_to_r5_equal_gaps() {
    let r1 = one_row("120\"", "inset 5\"; space at most 14\"");
    stations(&r1, &[5.0, 18.75, 32.5, 46.25, 60.0, 73.75, 87.5, 101.25, 115.0]);
    stations(&one_row("36\"", "inset 5\"; space at most 14\""), &[5.0, 18.0, 31.0]);
    // 56 / 14 is exactly 4 gaps.
    stations(&one_row("70\"", "inset 7\"; space at most 14\""), &[7.0, 21.0, 35.0, 49.0, 63.0]);
    // 2200 / 220 is exactly 10 gaps.
    let r4: Vec<f64> = (0..11).map(|k| (100.0 + 220.0 * f64::from(k)) / 25.4).collect();
    stations(&one_row("2400 mm", "inset 100 mm; space at most 220 mm"), &r4);
    // Nothing is left between the insets: one station.
    stations(&one_row("30\"", "inset 15\"; space at most 12\""), &[15.0]);
    assert_eq!(
        found(
            "wall old { leg a 30\"; thick 12\"; height 0 to 40\" }\nholes h { into old; along old; rows height 4\"; inset 16\"; space at most 12\"; bore 5/8\" by 6\" }"
        ),
        ["insets-cross"]
    );
}

/// The lead job: two sections round one corner, holes of two legs into one wall.
fn corner(inset: &str) -> String {
    format!(
        "wall old {{ leg back 10'; corner outside; leg side 3'; thick 8\"; height -12\" to 26\" }}
section low {{ along old.back 0 to 6'; thick 8\"; height -4\" to 12\" }}
section high {{ along old.back 6' to old.side 3'; thick 8\"; height -4\" to 20\" }}
holes h {{ into old; along low, high; rows height 4\", 9\"; inset {inset}; space at most 14\"; bore 5/8\" by 6\"; fill r }}
bars d {{ size #4; in h; out 5 1/2\" }}
resin r {{ cartridge 22 fl-oz }}"
    )
}

#[test]
fn r6_and_r7_two_legs_with_another_inset_at_the_corner() {
    let job = fine(&corner("5\", at corners 9\""));
    let back: Vec<f64> = (0..9).map(|k| 5.0 + 13.25 * f64::from(k)).collect();
    let side = vec![9.0, 20.0, 31.0];
    assert_eq!(rows(&job), [back.clone(), back, side.clone(), side]);
    let set = job.works.sets.values().next().unwrap();
    assert_eq!(set.count, 24);
    let numbers: Vec<u64> = set.each().map(|hole| hole.number).collect();
    assert_eq!(numbers, (1..=24).collect::<Vec<_>>());
}

#[test]
fn holes_of_two_legs_pass_at_18_and_cross_at_115_and_5() {
    let passing = fine(&corner("5\", at corners 9\""));
    assert!(passing.works.meetings.is_empty());
    // 111 and 9, both 6 in deep: the axes are the square root of 18 apart.
    let set = passing.works.sets.values().next().unwrap();
    let holes: Vec<_> = set.each().collect();
    let (last, first) = (holes[8], holes[18]);
    assert_eq!((last.station.inches(), first.station.inches()), (111.0, 9.0));
    let segment = |hole| set.segment(hole, &passing.works.standing).unwrap();
    let nearest = batterboard::geometry::distance::nearest(&segment(&last), &segment(&first));
    near(nearest.distance / Length::INCH.nm() as f64, 18f64.sqrt(), 1e-9);
    let job = compiled(&corner("5\""));
    let crossing = &job.works.meetings;
    assert_eq!(crossing.len(), 2, "one at each level");
    for meeting in crossing {
        assert_eq!((meeting.first.1.station.inches(), meeting.second.1.station.inches()), (115.0, 5.0));
        assert_eq!(meeting.apart, Length::ZERO);
    }
    assert_eq!(found(&corner("5\"")), ["holes-meet", "holes-meet"]);
}

#[test]
fn of_a_wall_with_too_many_holes_that_meet_just_that_is_told() {
    let rules = |pairs: u64| {
        let text = format!("job \"Case\" {{ show feet }}\n{}", corner("5\""));
        let job =
            compile_text(&Shelf::default(), "case.job", &text, &Limits { pairs: pairs * 100, ..Limits::default() });
        let rules = job.problems.iter().map(|problem| problem.rule.name);
        rules.filter(|rule| ["holes-meet", "pairs-too-many"].contains(rule)).collect::<Vec<_>>()
    };
    assert_eq!(rules(2), ["holes-meet", "holes-meet"]);
    assert_eq!(rules(1), ["pairs-too-many"]);
}

#[test]
fn holes_of_two_walls_are_not_compared() {
    let wall = |name: &str| {
        format!(
            "wall {name} {{ leg a 10'; thick 8\"; height -12\" to 26\" }}
holes in-{name} {{ into {name}; along {name}; rows height 4\"; space at 2'; bore 5/8\" by 6\" }}
holes again-{name} {{ into {name}; along {name}; rows height 4 1/4\"; space at 2'; bore 5/8\" by 6\" }}\n"
        )
    };
    let job = compiled(&format!("{}{}", wall("one"), wall("two")));
    assert_eq!(job.works.meetings.len(), 2);
    for meeting in &job.works.meetings {
        assert_ne!(meeting.first.0, meeting.second.0);
        assert_eq!(meeting.apart.inches(), 0.25);
        assert_eq!(meeting.reach.inches(), 0.625);
    }
}

#[test]
fn a_step_lists_and_staggered_rows() {
    // `every` steps from the first and may stop short: 5, 17, … 113 of 115.
    stations(
        &one_row("120\"", "inset 5\"; space every 12\""),
        &[5.0, 17.0, 29.0, 41.0, 53.0, 65.0, 77.0, 89.0, 101.0, 113.0],
    );
    stations(&one_row("120\"", "space at 1', 4', 7'-6\""), &[12.0, 48.0, 90.0]);
    let staggered = fine(
        "wall old { leg a 60\"; thick 12\"; height -12\" to 40\" }
holes h { into old; along old; rows height 4\", 9\", 14\", staggered; inset 6\"; space at most 12\"; bore 5/8\" by 6\" }",
    );
    let (whole, half) = (vec![6.0, 18.0, 30.0, 42.0, 54.0], vec![12.0, 24.0, 36.0, 48.0]);
    assert_eq!(rows(&staggered), [whole.clone(), half, whole]);
}

#[test]
fn a_listed_place_on_no_stretch_is_said_for_holes_and_bars_alike() {
    let text = |what: &str| {
        format!(
            "wall old {{ leg a 10'; thick 12\"; height -12\" to 40\" }}\nsection s {{ along old.a 0 to 6'; thick 8\"; height 0 to 20\" }}\n{what}"
        )
    };
    let holes =
        |at: &str| text(&format!("holes h {{ into old; along s; rows height 4\"; space at {at}; bore 5/8\" by 6\" }}"));
    let bars = |at: &str| {
        text(&format!("bars b {{ size #4; along s; space at {at}; from offset 4\", height 1\"; legs up 18\" }}"))
    };
    assert_eq!(found(&holes("2', 7'")), ["place-off"]);
    assert_eq!(found(&bars("2', 7'")), ["place-off"]);
    assert_eq!(found(&bars("2', 6'")), [""; 0]);
    let job = fine(&bars("2', 6'"));
    assert_eq!(job.works.bars[0].count, 2);
}

#[test]
fn holes_in_floors_and_tops_go_down() {
    let job = fine(
        "wall old { leg a 10'; thick 12\"; height -12\" to 40\" }
slab floor { against old; thick 8\"; top 1\" }
section s { along old; thick 12\"; height 1\" to 20\" }
holes a { into floor.top; along old; rows offset 14\", 20\"; space at 1'; bore 1/2\" by 3\" }
holes b { into s.top; along s; rows offset 6\"; inset 6\"; space at most 36\"; bore 1/2\" by 6\" }
holes c { into old.top; along old; rows offset 0; space at 9'; bore 1/2\" by 6\" }
pour p { fill s; mix bag-80-lb }",
    );
    let sets: Vec<_> = job.works.sets.values().collect();
    assert_eq!(sets.iter().map(|set| set.count).collect::<Vec<_>>(), [2, 4, 1]);
    let inch = Length::INCH.nm() as f64;
    for (set, top, deep) in [(sets[0], 1.0, 3.0), (sets[1], 20.0, 6.0), (sets[2], 40.0, 6.0)] {
        for hole in set.each() {
            let segment = set.segment(&hole, &job.works.standing).unwrap();
            near(segment.from[2] / inch, top, 1e-9);
            near(segment.to[2] / inch, top - deep, 1e-9);
            assert_eq!(segment.from[..2], segment.to[..2]);
            assert!(matches!(hole.level, Level::Offset(_)));
        }
    }
}

/// The resin of the only set: one hole, and all.
fn resin(bore: &str, by: &str, size: &str, count: u32) -> (f64, f64, f64) {
    let job = fine(&format!(
        "wall old {{ leg a 50 m; thick 2'; height -12\" to 40\" }}
holes h {{ into old; along old.a 0 to {}\"; rows height 4\"; space every 4\"; bore {bore} by {by}; fill r }}
bars d {{ size {size}; in h; out 5\" }}
resin r {{ cartridge 22 fl-oz }}",
        (count - 1) * 4
    ));
    assert_eq!(job.works.sets.values().next().unwrap().count, u64::from(count));
    let fill = job.works.fills[0];
    let inches = |volume: batterboard::units::Volume| volume.cubic_inches();
    (inches(fill.each), inches(fill.net), inches(fill.wanted))
}

/// Millilitres of a cubic inch.
const ML: f64 = 16.387064;

#[test]
fn resin_of_known_holes() {
    // A1, ADH-1 and ADH-2: pi / 4 (0.625^2 - 0.500^2) 6 in3; nominal diameters of ASTM A615.
    let (each, net, wanted) = resin("5/8\"", "6\"", "#4", 24);
    near(each, 0.662680, 5e-7);
    near(net, 15.904313, 5e-6);
    near(net * ML, 260.625, 5e-4);
    near(net / 231.0 * 128.0, 8.812779, 5e-6);
    near(wanted * ML, 325.8, 0.05);
    // A2.
    let (each, net, _) = resin("3/4\"", "9\"", "#5", 10);
    near(each, 1.214913, 5e-7);
    near(net, 12.149127, 1e-6);
    // ADH-3.
    let (_, net, _) = resin("3/4\"", "8\"", "#5", 18);
    near(net, 19.439, 5e-4);
    near(net * ML, 318.5, 0.06);
    // A3 and ADH-4: a 12 mm bar of ISO 6935-2.
    let (each, net, _) = resin("16 mm", "150 mm", "12mm", 12);
    near(each * ML, 13.194689, 5e-6);
    near(net * ML, 158.336, 5e-4);
}

/// Row 76 of the catalogue of unlucky inputs: everything near everything. Of thousands of holes that meet, three pairs are told.
#[test]
fn row_76_thousands_of_holes_that_meet_are_told_thrice() {
    let text = "wall old { leg back 900'; thick 8\"; height 0 to 24\" }\n\
        holes pins { into old; along old.back; rows height 6\", 6 1/4\"; space at most 3/4\"; bore 5/8\" by 5\" }\n";
    assert_eq!(found(text), ["holes-meet"; 3]);
    let counted = compiled(text).works.sets.values().map(|set| set.count).sum::<u64>();
    assert_eq!(counted, 2 * (900 * 12 * 4 / 3 + 1));
}

/// A wall of 120 in with a row at level 4 in, gaps of 13.75 in, and what is in the way.
fn in_the_way(things: &str, rules: &str) -> Compiled {
    fine(&format!(
        "wall old {{ leg a 120\"; thick 12\"; height -12\" to 40\" }}
{things}
holes h {{ into old; along old; rows height 4\"; inset 5\"; {rules}; bore 5/8\" by 6\" }}"
    ))
}

#[test]
fn a_bolt_moves_its_hole_by_the_chord() {
    // Radius 2, `by` 3, half a bore 5/16: 5.3125 in around a bolt 2 in higher; its chord is 4.921668 in.
    let half = (5.3125_f64 * 5.3125 - 4.0).sqrt();
    let bolt = "clear bolt { on old.a at 58\"; height 6\"; radius 2\" }";
    let job = in_the_way(bolt, "space at most 18\"; avoid bolt by 3\"");
    // 110 / 18 is 7 gaps of 15.714286 in: the hole at 52.142857 moves little, that at 67.857143 not at all.
    let gap = 110.0 / 7.0;
    let even: Vec<f64> = (0..8).map(|k| 5.0 + gap * f64::from(k)).collect();
    stations(&job, &even);
    let bolt = "clear bolt { on old.a at 54\"; height 6\"; radius 2\" }";
    let job = in_the_way(bolt, "space at most 18\"; avoid bolt by 3\"");
    let mut moved = even.clone();
    moved[3] = 54.0 - half;
    moved[2] = moved[3].min(moved[2]);
    let found = rows(&job);
    near(found[0][3], moved[3], 1e-7);
    // The gap to the right of it would be wider than 18: the next hole comes after it.
    near(found[0][4], (moved[3] + 18.0).min(even[4]), 1e-7);
    let set = job.works.sets.values().next().unwrap();
    let places = &set.rows[0].places;
    near(places.moved(3).unwrap().inches(), moved[3] - even[3], 1e-7);
    assert_eq!(places.moved(0), Some(Length::ZERO));
    // At another level nothing is in the way.
    let bolt = "clear bolt { on old.a at 54\"; height 12\"; radius 2\" }";
    stations(&in_the_way(bolt, "space at most 18\"; avoid bolt by 3\""), &even);
}

#[test]
fn pipes_and_cracks_are_kept_away_from_too() {
    // A pipe that runs up the whole wall at 32 in: 1 + 2 + 5/16.
    let pipe = "clear pipe { on old.a at 32\"; radius 1\" }";
    let job = in_the_way(pipe, "space at most 18\"; avoid pipe by 2\"");
    assert!(rows(&job)[0].iter().all(|at| (at - 32.0).abs() >= 3.3125 - 1e-9));
    assert_eq!(rows(&job)[0].len(), 8);
    // One that runs along it 3 in lower is in nobody's way; half an inch nearer it takes its whole stretch.
    let along = |level: &str| format!("clear pipe {{ along old.a 30\" to 40\"; height {level}; radius 1\" }}");
    let clear = in_the_way(&along("1/2\""), "space at most 18\"; avoid pipe by 2\"");
    near(rows(&clear)[0][2], 5.0 + 220.0 / 7.0, 1e-7);
    let near_by = in_the_way(&along("3\""), "space at most 18\"; avoid pipe by 2\"");
    assert!(rows(&near_by)[0].iter().all(|at| *at < 30.0 || *at > 40.0));
    let crack = "crack split { on old.a at 52\"; height 0 to 20\"; gap 1/16\" }";
    let job = in_the_way(crack, "space at most 18\"; avoid split by 3\"");
    assert!(rows(&job)[0].iter().all(|at| (at - 52.0).abs() >= 3.34375 - 1e-9));
}

#[test]
fn numbers_and_counts_stay_when_holes_move() {
    let bolts = "clear bolts { on old.a at 19\", 60\"; height 4\"; radius 1\" }";
    let job = in_the_way(bolts, "space at most 14\"; avoid bolts by 2\"");
    let set = job.works.sets.values().next().unwrap();
    assert_eq!(set.each().map(|hole| hole.number).collect::<Vec<_>>(), (1..=set.count).collect::<Vec<_>>());
    let found = rows(&job);
    assert!(found[0].windows(2).all(|pair| pair[1] - pair[0] <= 14.0 + 1e-6 && pair[1] - pair[0] >= 1.875 - 1e-6));
    assert_eq!((found[0][0], *found[0].last().unwrap()), (5.0, 115.0));
}

#[test]
fn leaning_holes_go_where_their_axis_goes() {
    let job = fine(
        "wall old { leg a 120\"; thick 12\"; height -12\" to 40\" }
holes h { into old; along old; rows height 4\"; inset 5\"; space at most 14\"; bore 5/8\" by 6\"; tilt 30 deg down }
slab floor { against old; thick 8\"; top 1\" }
holes g { into floor; along old; rows offset 14\"; inset 5\"; space at most 40\"; bore 5/8\" by 4\"; tilt 30 deg out }",
    );
    let inch = Length::INCH.nm() as f64;
    let ends = |at: usize| {
        let set = job.works.sets.values().nth(at).unwrap();
        let segment = set.segment(&set.each().next().unwrap(), &job.works.standing).unwrap();
        [0, 1, 2].map(|axis: usize| (segment.to[axis] - segment.from[axis]) / inch)
    };
    let [x, y, z] = ends(0);
    near(x, 0.0, 1e-9);
    near(y, 6.0 * 0.75_f64.sqrt(), 1e-7);
    near(z, -3.0, 1e-7);
    let [x, y, z] = ends(1);
    near(x, 0.0, 1e-9);
    near(y, -2.0, 1e-7);
    near(z, -4.0 * 0.75_f64.sqrt(), 1e-7);
}

#[test]
fn what_is_said_of_holes_that_meet_at_a_corner_keeps_them_apart() {
    // Turned by 120 degrees the wall is 60 degrees wide at its corner: 6 in deep at 8 in from it they cross well before its middle,
    // and 6 / tan 30 is 10.4 in, more for half of both bores.
    let job = |turning: &str, corner: &str| {
        compiled(&format!(
            "wall old {{ leg back 12'; corner outside, turning {turning} deg; leg side 10'; thick 12\"; height -12\" to 26\" }}
holes pins {{ into old; along old.back, old.side; rows height 6\"; inset 6\", at corners {corner}; space at most 18\"; bore 5/8\" by 6\" }}"
        ))
    };
    for (turning, corner, wanted) in [("120", "8\"", Some("11 1/2\"")), ("90", "5\"", None), ("60", "3\"", None)] {
        let met = job(turning, corner);
        let problem = met.problems.iter().find(|problem| problem.rule.name == "holes-meet").unwrap();
        let help = problem.helps(met.job.system()).unwrap();
        let (_, rest) = help.split_once("`at corners ").unwrap();
        let (far, _) = rest.split_once('`').unwrap();
        assert!(wanted.is_none_or(|wanted| wanted == far), "{help}");
        let mended = job(turning, far);
        assert!(mended.problems.iter().all(|problem| problem.rule.name != "holes-meet"), "{turning}: {help}");
    }
}

/// What holes round a corner from a thing are told.
fn round_the_corner(clear: &str, holes: &str) -> Option<String> {
    let job = compiled(&format!(
        "wall old {{ leg a 8'; corner {holes_turn}; leg b 6'; thick 8\"; height -12\" to 40\" }}
slab floor {{ against old.a, old.b; thick 6\"; top 0 }}
clear thing {{ {clear} }}
holes h {{ {holes}; bore 5/8\" by 6\" }}",
        holes_turn = if holes.contains("floor") { "inside" } else { "outside" },
    ));
    let hits: Vec<_> = job.problems.iter().filter(|problem| problem.rule.name == "hole-hits").collect();
    assert!(hits.len() < 2);
    hits.first().map(|problem| problem.helps(job.job.system()).unwrap())
}

#[test]
fn what_is_kept_clear_on_one_leg_is_in_the_way_of_holes_from_the_other() {
    // Along a, 14 in out: from b it lies at 14 in, from b's face to the middle of the room.
    let floor = "into floor; along old.b; rows offset 3\"; inset 14\"; space every 12\"";
    let help = round_the_corner("along old.a 0 to 8'; offset 14\"; radius 1\"", floor).unwrap();
    assert!(help.contains("another leg"), "{help}");
    // 1 in and half a bore from it is as near as may be.
    let beside =
        |inset: &str| round_the_corner("along old.a 0 to 8'; offset 14\"; radius 1\"", &floor.replace("14\"", inset));
    assert!(beside("15 1/4\"").is_some());
    assert!(beside("15 3/8\"").is_none());
    // A pipe that goes into a square, 3 in before the corner; from b a hole at 3 in runs through it.
    let face = "into old; along old.b; rows height 10\"; inset 3\"; space every 12\"";
    assert!(round_the_corner("on old.a at 7'-9\"; height 10\"; radius 1\"", face).is_some());
    assert!(round_the_corner("on old.a at 7'-9\"; height 14\"; radius 1\"", face).is_none());
    assert!(round_the_corner("on old.a at 7'-3\"; height 10\"; radius 1\"", face).is_none());
}

#[test]
fn a_dowel_in_a_void_is_told_and_a_row_of_studs_in_none_is_not() {
    let job = |void: &str| {
        found(&format!(
            "wall old {{ leg back 6'; thick 10\"; height 0 to 30\"; of concrete }}
section skirt {{ along old.back; thick 8\"; height 0 to 20\"; base form }}
void vent {{ in skirt; on old.back {void}; height 6\" to 14\" }}
holes pins {{ into old; along skirt; rows height 10\"; inset 12\"; space at most 12\"; bore 5/8\" by 6\"; fill glue }}
bars pegs {{ size #4; in pins; out 5\" }}
resin glue {{ cartridge 22 fl-oz }}
mix m {{ bag 80 lb, yields 0.60 ft3 }}
pour all {{ fill skirt; mix m }}"
        ))
    };
    let outside = |names: Vec<&str>| names.into_iter().filter(|name| *name == "bar-outside").count();
    assert_eq!(outside(job("2'-6\" to 3'-6\"")), 1);
    assert_eq!(outside(job("2'-2\" to 2'-10\"")), 0);
}

#[test]
fn bars_that_are_there_first_stand_in_the_way_of_the_drill() {
    let job = |at: &str, first: &str, then: &str| {
        let job = super::compiled(&format!(
            "wall old {{ leg back 8'; thick 10\"; height -20\" to 36\"; of concrete }}
section base {{ along old.back 1' to 7'; thick 14\"; height -20\" to -10\"; side earth }}
section w {{ along old.back 1' to 7'; thick 8\"; height -10\" to 20\" }}
holes pins {{ into old; along w; rows height 0; space at 20\", 34\", 48\"; bore 5/8\" by 6\"; fill g }}
bars pegs {{ size #4; in pins; out 5\" }}
bars starters {{ size #4; along base; space at {at}; from offset 4\", height -16\"; legs up 30\" }}
resin g {{ cartridge 10 fl-oz }}
step one \"One\" {{ work {first} }}
step two \"Two\" {{ work {then}; after one }}
step three \"Three\" {{ work set pegs; after two }}"
        ));
        let told = job.problems.iter().filter(|problem| problem.rule.name == "drill-room");
        told.map(|problem| problem.says(batterboard::units::System::Feet)).collect::<Vec<String>>()
    };
    let beside = "21\", 35\"";
    let told = job(beside, "place starters", "drill pins");
    // 4 in out from the face; 6 in of bit and a body of 14 in.
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].contains("before 2 holes") && told[0].contains("leaves 4\"") && told[0].contains("want 20\""));
    assert_eq!(job(beside, "drill pins", "place starters"), Vec::<String>::new());
    // Half the body and half the bar, and a little more.
    assert_eq!(job("22 3/8\", 36 3/8\"", "place starters", "drill pins"), Vec::<String>::new());
}

#[test]
fn a_row_that_could_not_keep_away_is_told_alone() {
    let told = super::found(
        "job \"avoid\" { place indoors }
wall house { leg long 10'; thick 10\"; height 0 to 30\"; of concrete }
section cheek { along house.long 1' to 9'; thick 8\"; height 0 to 30\" }
clear a \"vent\" { along house.long 3' to 4'; height 5\"; radius 0.1\" }
clear k \"pipe\" { along house.long 6'-6\" to 7'; height 5\"; radius 0.1\" }
holes pins { into house; along cheek; rows height 5\"; inset 8\"; space at most 16\"; avoid a by 2\"; avoid k by 2\"; bore 5/8\" by 6\" }
bars pegs { size #4; in pins; out 5\" }",
    );
    assert!(told.contains(&"avoid-fails") && !told.contains(&"bar-in-clear"), "{told:?}");
}

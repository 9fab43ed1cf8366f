//! Solids S1 to S11. Computed once with an independent program (a general-purpose polygon library for the plan areas, layer
//! by layer); S1 by hand too: (72 · 8) · 16 + (48 · 8 + 36 · 8 + 64) · 24 = 26 880 in3.

use batterboard::{compile::Compiled, concrete::Class};

use super::{compiled, fine, found, near, only};

const MIX: &str = "mix m { bag 80 lb, yields 0.60 ft3 }\n";

/// Checks a case: volume in ft3, then the areas against the old face, formed, underneath and on top in ft2.
#[track_caller]
fn case(legs: &str, sections: &str, names: &str, wanted: [f64; 5]) {
    let text = format!(
        "wall old {{ {legs}; thick 8\"; height -40\" to 60\" }}\n{sections}\npour all {{ fill {names}; mix m }}\n{MIX}"
    );
    agrees(&text, wanted, [0.3048f64.powi(3), 0.3048 * 0.3048]);
}

/// Compares the only pour with a case; `units` are cubic metres and square metres of the case's units.
#[track_caller]
fn agrees(text: &str, [volume, old, formed, under, top]: [f64; 5], [cubic, square]: [f64; 2]) {
    let job = fine(text);
    let solid = only(&job);
    // All digits the table shows.
    near(solid.volume.cubic_metres() / cubic, volume, 6e-10);
    let of = |class| solid.areas.of(class).square_metres() / square;
    near(of(Class::Old), old, 1e-7);
    near(solid.areas.forms().square_metres() / square, formed, 1e-7);
    near(solid.areas.undersides().square_metres() / square, under, 1e-7);
    near(of(Class::Top), top, 1e-7);
    for class in [Class::SlabEdge, Class::Joint, Class::Earth, Class::Void, Class::OnSlab, Class::OnOld, Class::Soffit]
    {
        near(of(class), 0.0, 0.0);
    }
}

const S1: &str = "section low { along old.a 0 to 72\"; thick 8\"; height -4\" to 12\" }
section high { along old.a 72\" to old.b 36\"; thick 8\"; height -4\" to 20\" }";

#[test]
fn s1_round_an_outside_corner_stepped() {
    let wanted = [15.555555556, 22.0, 27.333333333, 9.111111111, 9.111111111];
    case("leg a 120\"; corner outside; leg b 36\"", S1, "low, high", wanted);
    let job = fine(&format!(
        "wall old {{ leg a 10'; corner outside; leg b 3'; thick 8\"; height -12\" to 26\" }}\n{S1}\npour all {{ fill low, high; mix m }}\n{MIX}"
    ));
    // By hand: 26 880 in3.
    near(only(&job).volume.cubic_inches(), 26_880.0, 1e-6);
}

#[test]
fn s2_on_a_line_with_nothing_behind_it() {
    let text = format!(
        "line edge {{ leg a 240\" }}\nsection s {{ along edge; thick 6\"; height 0 to 10\" }}\npour all {{ fill s; mix m }}\n{MIX}"
    );
    let wanted = [8.333333333, 0.0, 16.666666667 + 17.5, 10.0, 10.0];
    agrees(&text, wanted, [0.3048f64.powi(3), 0.3048 * 0.3048]);
    case(
        "leg a 240\"",
        "section s { along old; thick 6\"; height 0 to 10\" }",
        "s",
        [8.333333333, 16.666666667, 17.5, 10.0, 10.0],
    );
}

#[test]
fn s3_to_s5_corners_inside_and_slanting() {
    case(
        "leg a 96\"; corner inside; leg b 48\"",
        "section s { along old; thick 8\"; height 0 to 24\" }",
        "s",
        [15.111111111, 24.0, 24.0, 7.555555556, 7.555555556],
    );
    case(
        "leg a 90\"; corner outside, turning 60 deg; leg b 70\"",
        "section s { along old; thick 9\"; height -6\" to 15\" }",
        "s",
        [18.068329171, 23.333333333, 27.473877790, 10.324759526, 10.324759526],
    );
    case(
        "leg a 90\"; corner inside, turning 45 deg; leg b 70\"",
        "section s { along old; thick 9\"; height -6\" to 15\" }",
        "s",
        [17.092258525, 23.333333333, 24.871022732, 9.767004871, 9.767004871],
    );
}

#[test]
fn s6_and_s7_a_wall_on_a_footing_and_in_it() {
    let legs = "leg a 120\"; corner outside; leg b 84\"";
    let wanted = [34.546296296, 51.0, 58.777777778, 21.194444444, 21.194444444];
    for start in ["0", "-2\""] {
        let sections = format!(
            "section foot {{ along old; thick 14\"; height -8\" to 0 }}\nsection wall {{ along old; thick 6\"; height {start} to 28\" }}"
        );
        case(legs, &sections, "foot, wall", wanted);
    }
}

#[test]
fn s7_says_what_the_two_share() {
    let text = format!(
        "wall old {{ leg a 120\"; corner outside; leg b 84\"; thick 8\"; height -40\" to 60\" }}
section foot {{ along old; thick 14\"; height -8\" to 0 }}
section wall {{ along old; thick 6\"; height -2\" to 28\" }}
pour all {{ fill foot, wall; mix m }}
{MIX}"
    );
    assert_eq!(found(&text), ["sections-overlap"]);
    // By hand: (120 + 84) · 6 + 36 in2 of plan, 2 in high.
    near(compiled(&text).works.solids.shared[0].volume.cubic_inches(), (204.0 * 6.0 + 36.0) * 2.0, 1e-6);
}

#[test]
fn s8_and_s9_thicknesses_by_leg_and_two_corners() {
    case(
        "leg a 100\"; corner outside; leg b 50\"",
        "section s { along old; thick 6\", on old.b 10\"; height 0 to 18\" }",
        "s",
        [12.083333333, 18.75, 22.75, 8.055555556, 8.055555556],
    );
    case(
        "leg a 60\"; corner outside; leg b 30\"; corner outside; leg c 60\"",
        "section s { along old.a 12\" to old.c 48\"; thick 5\"; height 0 to 30\" }",
        "s",
        [11.805555556, 26.25, 32.5, 4.722222222, 4.722222222],
    );
}

#[test]
fn s10_in_millimetres() {
    let text = "job \"Case\" { show metric }
wall old { leg a 3000 mm; corner outside; leg b 1200 mm; thick 200 mm; height -400 mm to 900 mm }
section low { along old.a 0 to 1800 mm; thick 180 mm; height -150 mm to 300 mm }
section high { along old.a 1800 mm to old.b 1200 mm; thick 180 mm; height -150 mm to 520 mm }
pour all { fill low, high; mix m }
mix m { bag 25 kg, yields 11.7 L }";
    agrees(text, [0.456948, 2.418, 2.9004, 0.7884, 0.7884], [1.0, 1.0]);
}

#[test]
fn s11_steps_up_under_and_on_top() {
    let sections = "section one { along old.a 0 to 48\"; thick 8\"; height -4\" to 12\" }
section two { along old.a 48\" to 96\"; thick 8\"; height 4\" to 20\" }
section three { along old.a 96\" to 144\"; thick 8\"; height 12\" to 28\" }";
    case("leg a 144\"", sections, "one, two, three", [10.666666667, 16.0, 19.555555556, 8.0, 8.0]);
}

#[test]
fn a_strip_off_the_wall_and_earth_beside_it() {
    // By hand: 60 in long, from 2 to 10 in off the face, 12 in high.
    let text = |side: &str| {
        format!(
            "wall old {{ leg a 60\"; thick 8\"; height -40\" to 60\" }}
section s {{ along old; offset 2\" to 10\"; height -12\" to 0; base gravel; side {side} }}
pour all {{ fill s; mix m }}
{MIX}"
        )
    };
    let in2 = 0.0254 * 0.0254;
    let formed = fine(&text("form"));
    let solid = only(&formed);
    near(solid.volume.cubic_inches(), 60.0 * 8.0 * 12.0, 1e-6);
    near(solid.areas.of(Class::Old).square_metres(), 0.0, 0.0);
    near(solid.areas.of(Class::Formed).square_metres() / in2, 2.0 * 60.0 * 12.0, 1e-6);
    near(solid.areas.of(Class::End).square_metres() / in2, 2.0 * 8.0 * 12.0, 1e-6);
    let earth = fine(&text("earth"));
    let solid = only(&earth);
    near(solid.areas.of(Class::Earth).square_metres() / in2, 60.0 * 12.0, 1e-6);
    near(solid.areas.of(Class::Formed).square_metres() / in2, 60.0 * 12.0, 1e-6);
}

#[test]
fn where_a_slab_is_broken_out_two_pours_still_meet() {
    // By hand: a footing of 14 in under the slab and a wall of 8 in on it, 9 ft long. The joint lies just where the slab's
    // underside was; the strip is wide enough for both.
    let text = |slab: &str| {
        format!(
            "wall old {{ leg a 9'; thick 10\"; height -18\" to 30\" }}
slab floor {{ against old.a; thick {slab}; top 0 }}
remove strip {{ in floor; along old.a; out 16\" }}
section foot {{ along old.a; thick 14\"; height -12\" to -4\" }}
section stem {{ along old.a; thick 8\"; height -4\" to 16\" }}
pour one {{ fill foot; mix m }}
pour two {{ fill stem; mix m }}
bars ups {{ size #4; along foot; space at most 18\"; inset 6\"; from offset 4\", height -8\"; legs up 20\" }}
{MIX}"
        )
    };
    for slab in ["3\"", "4\"", "5\""] {
        let job = fine(&text(slab));
        let joint = |at: usize| job.works.solids.pours[at].areas.of(Class::Joint).square_metres() / (0.0254 * 0.0254);
        near(joint(0), 108.0 * 8.0, 1e-6);
        near(joint(1), 108.0 * 8.0, 1e-6);
        assert!(job.works.clearances.outside.is_empty(), "{slab}: the bars go through the joint");
    }
}

#[test]
fn all_round_a_closed_plan_the_closing_corner_is_filled() {
    // By hand: (112 · 88 − 96 · 72) in2 of plan, 10 in high.
    let text = format!(
        "wall hut {{ leg a 8'; corner outside; leg b 6'; corner outside; leg c 8'; corner outside; leg d 6'; corner outside
    thick 8\"; height -12\" to 26\" }}
section ring {{ along hut; thick 8\"; height 0 to 10\" }}
pour all {{ fill ring; mix m }}
{MIX}"
    );
    let job = fine(&text);
    let solid = only(&job);
    near(solid.volume.cubic_inches(), (112.0 * 88.0 - 96.0 * 72.0) * 10.0, 1e-6);
    let in2 = 0.0254 * 0.0254;
    near(solid.areas.of(Class::Old).square_metres() / in2, 2.0 * (96.0 + 72.0) * 10.0, 1e-6);
    near(solid.areas.of(Class::Formed).square_metres() / in2, 2.0 * (112.0 + 88.0) * 10.0, 1e-6);
    near(solid.areas.of(Class::End).square_metres(), 0.0, 0.0);
}

#[test]
fn the_far_face_of_a_wall_is_a_face_of_its_own() {
    // Concrete on the far face: 4 ft of it, 6 in thick, 20 in high, all against the old wall.
    let text = format!(
        "wall old {{ leg near 10'; corner outside; leg gable 8\"; corner outside; leg back 10', behind near; thick 8\"; height -12\" to 26\" }}
section s {{ along old.back 2' to 6'; thick 6\"; height 0 to 20\" }}
pour all {{ fill s; mix m }}
{MIX}"
    );
    let job = fine(&text);
    let in2 = 0.0254 * 0.0254;
    near(only(&job).volume.cubic_inches(), 48.0 * 6.0 * 20.0, 1e-6);
    near(only(&job).areas.of(Class::Old).square_metres() / in2, 48.0 * 20.0, 1e-6);
}

#[test]
fn a_lower_leg_leaves_the_rest_to_a_form() {
    // The second leg is 10 in high only: above it there is nothing to cast against.
    let text = format!(
        "wall old {{ leg a 4', height 0 to 24\"; corner straight; leg b 4', thick 12\", height 0 to 10\"; thick 8\" }}
section s {{ along old; thick 6\"; height 0 to 20\" }}
pour all {{ fill s; mix m }}
{MIX}"
    );
    let job = fine(&text);
    let in2 = 0.0254 * 0.0254;
    near(only(&job).areas.of(Class::Old).square_metres() / in2, 48.0 * 20.0 + 48.0 * 10.0, 1e-6);
    near(only(&job).areas.of(Class::Formed).square_metres() / in2, 96.0 * 20.0 + 48.0 * 10.0, 1e-6);
}

/// On a closed plan the last leg and the first go round the closing corner, in whatever order they are named: by hand, 6 ft
/// and 3 ft of strip 6 in thick and the square of the corner, 4.75 ft2; the bar at 3 in has arcs of 1 3/4 in at that corner.
#[test]
fn a_stretch_goes_round_the_corner_that_closes_the_plan() {
    for along in ["hut.d, hut.a 0 to 3'", "hut.a 0 to 3', hut.d"] {
        let job = fine(&format!(
            "wall hut {{ leg a 8'; corner outside; leg b 6'; corner outside; leg c 8'; corner outside; leg d 6'; corner outside; thick 8\"; height -12\" to 26\" }}\n\
             section one {{ along {along}; thick 6\"; height 0 to 12\" }}\n\
             bars rail {{ size #4; along one; rows height 6\"; offset 3\"; ends 2\" }}\n\
             mix m {{ bag 80 lb, yields 0.60 ft3 }}\npour p {{ fill one; mix m }}\n"
        ));
        assert!((job.works.solids.pours[0].volume.cubic_feet() - 4.75).abs() < 1e-9, "{along}");
        let rail = &job.works.bars[0];
        assert_eq!((rail.groups.len(), rail.count), (1, 1));
        // 9 ft less 2 in at each end, 3 in further out on both sides of the corner, less 2 R - R pi / 2.
        let radius = 1.75;
        let cut = 108.0 - 4.0 + 6.0 - 2.0 * radius + radius * std::f64::consts::FRAC_PI_2;
        assert!((rail.length.inches() - cut).abs() < 1e-6, "{} {cut}", rail.length.inches());
    }
}

/// Of an underside on soil what lies over neither concrete nor ground hangs, whichever pour the concrete below belongs to.
#[test]
fn what_hangs_over_the_ground_is_told_and_what_a_form_carries_is_not() {
    let beam = |base: &str, ground: &str, pours: &str| {
        compiled(&format!(
            "wall old {{ leg back 12'; thick 8\"; height -12\" to 60\"; of concrete }}
{ground}
section pier {{ along old.back 0 to 1'; thick 8\"; height 0 to 24\" }}
section beam {{ along old.back 0 to 12'; thick 8\"; height 24\" to 36\"; base {base} }}
{pours}"
        ))
    };
    let apart = "pour a { fill pier; mix bag-80-lb }\npour b { fill beam; mix bag-80-lb }";
    let hangs = |job: &Compiled| -> Vec<f64> {
        let told = job.problems.iter().filter(|problem| problem.rule.name == "hangs-free").count();
        let hangs: Vec<f64> =
            job.works.solids.pours.iter().flat_map(|pour| &pour.hangs).map(|hang| hang.area.square_feet()).collect();
        assert_eq!(told, hangs.len());
        hangs
    };
    // 11 ft of 8 in, in one pour or in two.
    let gap = 11.0 * 8.0 / 12.0;
    for pours in [apart, "pour a { fill pier, beam; mix bag-80-lb }"] {
        let told = hangs(&beam("soil", "ground { inside 0 }", pours));
        assert_eq!(told.len(), 1, "{pours}");
        near(told[0], gap, 1e-9);
    }
    // Where a form carries it, it lies over one; where the ground reaches up to it, or nothing is said of it, on that.
    let formed = beam("form", "ground { inside 0 }", apart);
    assert!(hangs(&formed).is_empty());
    near(formed.works.solids.pours[1].areas.of(Class::Soffit).square_feet(), gap, 1e-9);
    assert!(hangs(&beam("soil", "ground { inside 24\" }", apart)).is_empty());
    assert!(hangs(&beam("soil", "", apart)).is_empty());
    // Before an old wall the ground inside counts, however high it lies behind.
    assert_eq!(hangs(&beam("soil", "ground { inside 0; outside 40\" }", apart)).len(), 1);
    // Gravel is filled up by a foot, and no more.
    assert!(hangs(&beam("gravel", "ground { inside 12\" }", apart)).is_empty());
    assert_eq!(hangs(&beam("gravel", "ground { inside 11\" }", apart)).len(), 1);
}

/// A wider section on a narrower one hangs by what it stands out, unless the edge of the form below carries that.
#[test]
fn a_wider_section_hangs_over_a_narrower_one() {
    let told = |wide: &str| {
        found(&format!(
            "job \"Shelf\" {{ show metric }}
wall old {{ leg north 3 m; thick 300 mm; height -300 mm to 1900 mm; of concrete }}
ground {{ inside 0 }}
section low {{ along old.north; thick 180 mm; height 0 to 500 mm }}
section high {{ along old.north; thick {wide}; height 500 mm to 900 mm }}
pour a {{ fill low; mix bag-25-kg }}
pour b {{ fill high; mix bag-25-kg }}"
        ))
        .contains(&"hangs-free")
    };
    assert!(told("300 mm") && told("210 mm"));
    assert!(!told("180 mm") && !told("200 mm"));
}

//! Bars: sizes against the published tables, weights, cut lengths of bent bars.

use batterboard::{
    compile::Compiled,
    steel::{Steel, steel},
    units::Mass,
};

use super::{compiled, fine, found, near};

/// ASTM A615/A615M nominal dimensions: diameter in, area in2, weight lb/ft, and kg/m as the metric columns print it.
const A615: [(&str, f64, f64, f64, f64); 9] = [
    ("#3", 0.375, 0.11, 0.376, 0.560),
    ("#4", 0.500, 0.20, 0.668, 0.994),
    ("#5", 0.625, 0.31, 1.043, 1.552),
    ("#6", 0.750, 0.44, 1.502, 2.235),
    ("#7", 0.875, 0.60, 2.044, 3.042),
    ("#8", 1.000, 0.79, 2.670, 3.973),
    ("#9", 1.128, 1.00, 3.400, 5.060),
    ("#10", 1.270, 1.27, 4.303, 6.404),
    ("#11", 1.410, 1.56, 5.313, 7.907),
];

/// CSA G30.18: diameter mm, area mm2, kg/m.
const CSA: [(&str, f64, f64, f64); 6] = [
    ("10M", 11.3, 100.0, 0.785),
    ("15M", 16.0, 200.0, 1.570),
    ("20M", 19.5, 300.0, 2.355),
    ("25M", 25.2, 500.0, 3.925),
    ("30M", 29.9, 700.0, 5.495),
    ("35M", 35.7, 1000.0, 7.850),
];

/// ISO 6935-2, masses as reproduced with BS 4449: diameter mm, area mm2, kg/m.
const ISO: [(&str, f64, f64, f64); 9] = [
    ("6mm", 6.0, 28.3, 0.222),
    ("8mm", 8.0, 50.3, 0.395),
    ("10mm", 10.0, 78.5, 0.617),
    ("12mm", 12.0, 113.1, 0.888),
    ("14mm", 14.0, 153.9, 1.208),
    ("16mm", 16.0, 201.1, 1.579),
    ("20mm", 20.0, 314.2, 2.466),
    ("25mm", 25.0, 490.9, 3.854),
    ("32mm", 32.0, 804.2, 6.313),
];

/// Every size of the tables as the library has it, by name.
fn library() -> Vec<(String, Steel)> {
    let names = A615.iter().map(|row| row.0).chain(CSA.iter().chain(&ISO).map(|row| row.0));
    let bars: String = names
        .enumerate()
        .map(|(at, name)| format!("bars b{at} {{ size {name}; along s; rows height 10\"; offset 6\" }}\n"))
        .collect();
    let job =
        fine(&format!("line edge {{ leg a 20' }}\nsection s {{ along edge; thick 12\"; height 0 to 20\" }}\n{bars}"));
    job.job.steels.iter().map(|entry| (entry.name.clone(), steel(&job.job, entry.id).unwrap())).collect()
}

#[test]
fn sizes_agree_with_the_published_tables() {
    let library = library();
    let of = |name: &str| library.iter().find(|(known, _)| known == name).unwrap().1;
    for (name, diameter, area, pounds, kilograms) in A615 {
        let steel = of(name);
        near(steel.diameter.inches(), diameter, 1e-9);
        near(steel.area.square_metres() / (0.0254 * 0.0254), area, 1e-9);
        let per_metre = steel.per_metre.kg();
        near(per_metre, pounds * 1.488164, 1e-5);
        near(per_metre, kilograms, 5.01e-4);
    }
    for (name, diameter, area, kilograms) in CSA.into_iter().chain(ISO) {
        let steel = of(name);
        near(steel.diameter.metres() * 1000.0, diameter, 1e-9);
        near(steel.area.square_metres() * 1e6, area, 1e-6);
        near(steel.per_metre.kg(), kilograms, 1e-9);
    }
    assert_eq!(library.len(), A615.len() + CSA.len() + ISO.len());
}

#[test]
fn the_rounded_area_of_a_number_4_is_not_corrected() {
    // BAR-7: 0.20 in2 as tabulated; the circle has 0.1963.
    let four = library().into_iter().find(|(name, _)| name == "#4").unwrap().1;
    let square = 0.0254 * 0.0254;
    near(four.area.square_metres() / square, 0.20, 1e-9);
    let circle = std::f64::consts::PI / 4.0 * four.diameter.inches().powi(2);
    near(circle, 0.1963, 5e-5);
}

/// So many straight bars of a size and length, side by side.
fn straight(size: &str, length: &str, count: u32) -> Compiled {
    fine(&format!(
        "line edge {{ leg a 200' }}
section s {{ along edge; thick 8\"; height 0 to 20\" }}
bars b {{ size {size}; along edge.a 0 to {}\"; space every 3\"; from offset 4\", height 1\"; legs out {length} }}
pour p {{ fill s; mix bag-80-lb }}",
        ((count - 1) * 3).max(1)
    ))
}

fn weight(size: &str, length: &str, count: u32) -> Mass {
    let job = straight(size, length, count);
    assert_eq!(job.works.bars[0].count, u64::from(count));
    job.works.bars[0].weight
}

#[test]
fn weights_of_known_bars() {
    let pounds = |mass: Mass| mass.kg() / 0.45359237;
    near(pounds(weight("#4", "20'", 10)), 133.60, 5e-3);
    near(pounds(weight("#5", "40'", 7)), 292.04, 5e-3);
    // BAR-3 and BAR-4: a metre of it.
    near(weight("#5", "1 m", 1).kg(), 1.552, 5e-4);
    near(weight("#9", "1 m", 1).kg(), 5.060, 5e-4);
    near(weight("16mm", "12 m", 10).kg(), 189.48, 5e-3);
    near(weight("15M", "6 m", 20).kg(), 188.4, 5e-3);
}

/// The cut length of a bar of these legs, in inches.
fn cut(size: &str, legs: &str) -> f64 {
    let job = fine(&format!(
        "line edge {{ leg a 20' }}
section s {{ along edge; thick 8\"; height 0 to 20\" }}
bars b {{ size {size}; along s; space at 2'; from offset 4\", height 1\"; legs {legs} }}
pour p {{ fill s; mix bag-80-lb }}"
    ));
    job.works.bars[0].groups[0].shape.cut.inches()
}

#[test]
fn cut_lengths_of_bent_bars() {
    // Straights and arcs along the centre line, least inside diameters of ACI 318-19 Table 25.3.1.
    near(cut("#4", "up 10\", right 24\""), 32.7489, 5e-5); // BND-1
    near(cut("#4", "up 6\", right 18\""), 22.7489, 5e-5); // BND-2
    near(cut("#5", "up 8\", right 36\""), 42.4361, 5e-5); // BND-3
    near(cut("#4", "up 24\", out 8\", down 24\""), 53.4978, 5e-5); // BND-4
    near(cut("#4", "up 30\", right 8\""), 36.7489, 5e-5); // BND-6: 30 + 8 - 1.2511
    near(cut("#4", "right 24 1/4\", up 12 1/2\", right 24 1/4\""), 58.4978, 5e-5); // BND-12
    // Inside diameter 4 d (EN 1992-1-1 Table 8.1N).
    near(cut("12mm", "up 250 mm, right 600 mm") * 25.4, 825.12, 5e-3); // BND-13
    near(cut("12mm", "up 500 mm, right 200 mm, down 500 mm") * 25.4, 1150.25, 5e-3); // BND-14
    near(cut("20mm", "up 600 mm, right 350 mm, down 600 mm, bend 140 mm") * 25.4, 1441.33, 5e-3); // BND-15
    near(cut("#4", "up 36\""), 36.0, 1e-9);
    // Legs that go straight on are one; the order of the legs does not matter.
    near(cut("#4", "up 4\", up 6\", right 24\""), 32.7489, 5e-5);
    near(cut("#4", "right 24\", up 10\""), 32.7489, 5e-5);
}

#[test]
fn a_long_bar_goes_round_its_corners() {
    // By hand: at 4 in off the face the legs are 124 and 40 in from end to corner, less 2 in at each end; a bend of 90
    // degrees at a centre-line radius of 1.75 in takes (2 - pi / 2) · 1.75 off.
    let job = fine(
        "wall old { leg a 120\"; corner outside; leg b 36\"; thick 8\"; height -12\" to 26\" }
section s { along old; thick 8\"; height 0 to 20\" }
bars b { size #4; along s; rows height 4\"; offset 4\" }
pour p { fill s; mix bag-80-lb }",
    );
    let shape = &job.works.bars[0].groups[0].shape;
    near(shape.cut.inches(), 122.0 + 38.0 - (2.0 - std::f64::consts::FRAC_PI_2) * 1.75, 1e-6);
    // Out to out, half a diameter past the centre line at the corner.
    let legs: Vec<f64> = shape.legs.iter().map(|leg| leg.inches()).collect();
    near(legs[0], 122.25, 1e-6);
    near(legs[1], 38.25, 1e-6);
}

#[test]
fn what_cannot_be_bent_or_set_is_said() {
    let bar = |size: &str, legs: &str| {
        format!(
            "line edge {{ leg a 20' }}\nsection s {{ along edge; thick 8\"; height 0 to 20\" }}
bars b {{ size {size}; along s; space at 2'; from offset 4\", height 1\"; legs {legs} }}"
        )
    };
    assert_eq!(found(&bar("#4", "up 1\", right 24\"")), ["leg-bends"]);
    assert_eq!(found(&bar("#4", "up 24\", down 24\"")), ["bend-back"]);
    assert_eq!(found(&bar("#4", "up 24\", out 8\", bend 2\"")), ["bend-tight"]);
    assert_eq!(found(&bar("#4", "up 24\", out 8\", bend 4\"")), [""; 0]);
    let dowel = |size: &str| {
        format!(
            "wall old {{ leg a 10'; thick 12\"; height 0 to 26\" }}
holes h {{ into old; along old; rows height 4\"; space at 2'; bore 5/8\" by 6\" }}
bars d {{ size {size}; in h; out 5\" }}"
        )
    };
    assert_eq!(found(&dowel("#4")), [""; 0]);
    // 11/16 in over the ribs.
    assert_eq!(found(&dowel("#5")), ["bar-too-thick"]);
}

/// A misspelt size is suggested from the library, although nothing of it has been read yet.
#[test]
fn a_misspelt_size_of_the_library_is_suggested() {
    for (wrong, meant) in [("#44", "#4"), ("15N", "15M"), ("12nm", "12mm")] {
        let job = compiled(&format!(
            "line pad {{ leg edge 6' }}\nbars rails {{ size {wrong}; along pad; rows height 6\"; offset 4\" }}\n"
        ));
        let unknown = job.problems.iter().find(|problem| problem.rule.name == "name-unknown").unwrap();
        assert_eq!(unknown.fix.as_ref().map(|fix| fix.text.as_str()), Some(meant), "{wrong}");
    }
}

#[test]
fn a_tie_too_narrow_for_its_hooks_is_told_how_wide_would_do() {
    let job = |wide: &str| {
        compiled(&format!(
            "line run {{ leg a 8' }}
section s {{ along run.a; thick 20\"; height 0 to 40\" }}
bars t {{ size #3; along s; space at most 18\"; inset 4\"; from offset 4\", height 4\"; legs up 30\", out {wide}, down 30\", in {wide}, hook 135 deg }}"
        ))
    };
    let narrow = job("4\"");
    let problem = narrow.problems.iter().find(|problem| problem.rule.name == "bar-crosses-itself").unwrap();
    let help = problem.helps(narrow.job.system()).unwrap();
    let (_, rest) = help.split_once("`out ").unwrap();
    let (wide, _) = rest.split_once('`').unwrap();
    assert!(help.contains(&format!("`in {wide}`")), "{help}");
    assert!(job(wide).problems.iter().all(|problem| problem.rule.name != "bar-crosses-itself"), "{help}");
}

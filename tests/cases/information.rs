//! Information for an engineer, through the language: worked values of ACI 318-19 17.6 and 22.9, computed outside of the
//! program, and by hand where the figures are small.

use batterboard::{
    compile::Compiled,
    ledger::Figure,
    reports,
    steel::{Governs, Uncovered},
    units::Stress,
};

use super::{fine, near};

/// A wall with holes at these stations, dowels in them, and one pour against it.
fn job(head: &str, wall: &str, holes: &str, size: &str) -> Compiled {
    fine(&format!(
        "job \"Case\" {{ show feet; {head} }}
wall old {{ leg a 40'; thick 24\"; height -20' to 20'; {wall} }}
section s {{ along old.a 18' to 21'; thick 12\"; height 0 to 12\" }}
holes pins {{ into old; along old.a 18' to 21'; {holes}; fill glue }}
bars pegs {{ size {size}; in pins; out 8\" }}
resin glue {{ cartridge 22 fl-oz }}
mix bagged {{ bag 80 lb, yields 0.60 ft3; strength 4000 psi }}
pour p {{ fill s; mix bagged }}"
    ))
}

const OLD: &str = "of concrete, strength 2500 psi";
const ONE: &str = "rows height 6\"; space at 19'; bore 5/8\" by 6\"";

#[track_caller]
fn force(job: &Compiled, name: &str) -> f64 {
    match job.works.ledger.find(name).unwrap_or_else(|| panic!("no {name}")).value {
        Figure::Force(force) => force.lbf(),
        other => panic!("{other:?}"),
    }
}

#[track_caller]
fn inches(job: &Compiled, name: &str) -> f64 {
    match job.works.ledger.find(name).unwrap_or_else(|| panic!("no {name}")).value {
        Figure::Length(length) => length.inches(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn one_bar_far_from_everything() {
    // ANC-1: #4, 6 in deep, outdoors, 2500 psi, cracked.
    let one = job("", OLD, ONE, "#4");
    near(force(&one, "pins.bond-of-one"), 1884.96, 0.01);
    near(force(&one, "pins.bond"), 1884.96, 0.01);
    near(force(&one, "pins.breakout-of-one"), 12_492.4, 0.1);
    near(force(&one, "pins.breakout"), 12_492.4, 0.1);
    near(force(&one, "pins.bars-yield"), 12_000.0, 1e-6);
    near(force(&one, "pins.least"), 1884.96, 0.01);
    let anchored = &one.works.anchored[0];
    assert_eq!(anchored.least.unwrap().0, Governs::Bond);
    assert!(anchored.uncovered.is_empty() && anchored.spacing.is_none());
    // 12 000 lb over 200 psi times pi times half an inch.
    near(inches(&one, "pins.embedment-to-yield"), 38.197, 1e-3);
    // #4 in 2500 psi, wide apart: 60 000 / (25 * 50) / 2 = 24 in; a quarter of that.
    near(inches(&one, "pins.development"), 24.0, 1e-6);
    near(anchored.developed.unwrap(), 0.25, 1e-9);
}

#[test]
fn indoors_above_the_ground_the_bond_is_stronger() {
    // ANC-2.
    let dry = job("place indoors", &format!("{OLD} }}\nground {{ outside 0"), ONE, "#4");
    near(force(&dry, "pins.bond-of-one"), 2827.4, 0.05);
    near(inches(&dry, "pins.embedment-to-yield"), 25.465, 1e-3);
    let below = job("place indoors", &format!("{OLD} }}\nground {{ outside 12\""), ONE, "#4");
    near(force(&below, "pins.bond-of-one"), 1884.96, 0.01);
    let unknown = job("place indoors", OLD, ONE, "#4");
    near(force(&unknown, "pins.bond-of-one"), 1884.96, 0.01);
}

#[test]
fn a_thicker_bar_in_stronger_concrete() {
    // ANC-3.
    let five = job("", "of concrete, strength 3000 psi", "rows height 6\"; space at 19'; bore 3/4\" by 8\"", "#5");
    near(force(&five, "pins.bond-of-one"), 3141.6, 0.05);
    near(force(&five, "pins.breakout-of-one"), 21_069.0, 1.0);
}

#[test]
fn edges_and_neighbours_take_from_the_strength() {
    let top = |height: &str| {
        fine(&format!(
            "wall old {{ leg a 40'; thick 24\"; height -20' to {height}; {OLD} }}
section s {{ along old.a 18' to 21'; thick 12\"; height -6\" to 12\" }}
holes pins {{ into old; along old.a; rows height 0; space at 19'; bore 5/8\" by 6\" }}
bars pegs {{ size #4; in pins; out 8\" }}
pour p {{ fill s; mix bag-80-lb }}"
        ))
    };
    // ANC-5: an edge at 4 in.
    let four = top("4\"");
    near(force(&four, "pins.bond"), 1884.96, 0.01);
    near(force(&four, "pins.breakout"), 7518.6, 0.5);
    near(inches(&four, "pins.edge"), 4.0, 1e-6);
    // ANC-6: an edge at 3 in.
    near(force(&top("3\""), "pins.bond"), 1567.6, 0.1);
    // ANC-7: two bars 6 in apart.
    let two = job("", OLD, "rows height 6\"; space at 19', 19'-6\"; bore 5/8\" by 6\"", "#4");
    near(force(&two, "pins.bond"), 3356.2, 0.1);
    near(inches(&two, "pins.spacing"), 6.0, 1e-9);
    near(force(&two, "pins.bars-yield"), 24_000.0, 1e-6);
}

#[test]
fn the_ends_of_legs_are_edges_where_the_concrete_ends() {
    let corner = |way: &str| {
        fine(&format!(
            "wall old {{ leg a 20'; corner {way}; leg b 20'; thick 24\"; height -20' to 20'; {OLD} }}
section s {{ along old.b 0 to 4'; thick 12\"; height 0 to 12\" }}
holes pins {{ into old; along old.b 0 to 4'; rows height 6\"; space at 3\"; bore 5/8\" by 6\" }}
bars pegs {{ size #4; in pins; out 8\" }}
pour p {{ fill s; mix bag-80-lb }}"
        ))
    };
    // Outside the other leg's face is 3 in away, as in ANC-6; inside the concrete goes on.
    near(force(&corner("outside"), "pins.bond"), 1567.6, 0.1);
    near(force(&corner("inside"), "pins.bond"), 1884.96, 0.01);
}

#[test]
fn legs_are_groups_of_their_own() {
    let both = fine(&format!(
        "wall old {{ leg a 20'; corner outside; leg b 20'; thick 24\"; height -20' to 20'; {OLD} }}
section s {{ along old; thick 12\"; height 0 to 12\" }}
holes pins {{ into old; along old.a 10' to 12', old.b 10' to 12'; rows height 6\"; space at 10'-6\", 11'; bore 5/8\" by 6\" }}
bars pegs {{ size #4; in pins; out 8\" }}
pour p {{ fill s; mix bag-80-lb }}"
    ));
    near(force(&both, "pins.bond.a"), 3356.2, 0.1);
    near(force(&both, "pins.bond"), 2.0 * 3356.2, 0.2);
}

#[test]
fn metric_figures_are_those_of_the_metric_edition() {
    // ANC-8: 12.7 mm, 150 mm deep.
    let text = "job \"Case\" { show metric }
wall old { leg a 12 m; thick 600 mm; height -6 m to 6 m; of concrete, strength 17.5 MPa }
section s { along old.a 5 m to 7 m; thick 300 mm; height 0 to 300 mm }
holes pins { into old; along s; rows height 150 mm; space at 6 m; bore 16 mm by 150 mm }
bars pegs { size #4; in pins; out 200 mm }
pour p { fill s; mix bag-80-lb }";
    let metric = fine(text);
    near(force(&metric, "pins.bond-of-one") * 4.448_221_615 / 1e3, 8.379, 5e-4);
    near(force(&metric, "pins.breakout-of-one") * 4.448_221_615 / 1e3, 53.80, 5e-3);
}

#[test]
fn what_the_rules_do_not_cover_has_no_figure() {
    // ANC-9: deeper than 20 diameters.
    let deep = job("", OLD, "rows height 6\"; space at 19'; bore 5/8\" by 10 1/2\"", "#4");
    let anchored = &deep.works.anchored[0];
    assert!(anchored.bond_of_one.is_none() && anchored.bond.is_none() && anchored.least.is_none());
    assert!(matches!(anchored.uncovered[..], [Uncovered::Rule(_)]), "{:?}", anchored.uncovered);
    assert!(deep.works.ledger.find("pins.bond").is_none() && deep.works.ledger.find("pins.breakout").is_some());
    let weak = job("", "of concrete, strength 2000 psi", ONE, "#4");
    assert!(weak.works.anchored[0].bond.is_none() && weak.works.anchored[0].breakout.is_some());
    let cold = job("weather 40 degF to 60 degF", OLD, ONE, "#4");
    assert!(cold.works.anchored[0].bond_of_one.is_none());
    let brick = job("", "of brick", ONE, "#4");
    assert_eq!(brick.works.anchored[0].uncovered, [Uncovered::Material("brick")]);
    assert!(brick.works.ledger.find("pins.breakout").is_none());
    assert_eq!(brick.works.joints[0].material, Some("brick"));
    let leaning = job("", OLD, &format!("{ONE}; tilt 10 deg down"), "#4");
    assert_eq!(leaning.works.anchored[0].uncovered, [Uncovered::Leans]);
    assert!(leaning.works.anchored[0].bond_of_one.is_some());
    assert!(leaning.works.joints[0].leaning && leaning.works.joints[0].surfaces.is_empty());
}

#[test]
fn a_strength_nobody_says_is_taken_as_usual_and_printed_as_such() {
    let usual = job("", "of concrete", ONE, "#4");
    assert_eq!(usual.works.anchored[0].strength, Some(Stress::from_psi(2500.0)));
    assert!(usual.works.anchored[0].usual_strength);
    let mut out = Vec::new();
    let order = reports::order(&usual);
    reports::print::markdown(&order, &mut out).unwrap();
    let text = String::from_utf8(out).unwrap();
    assert!(text.contains("old: strength"), "{text}");
    assert!(text.contains("Information for a licensed engineer"));
    let said = job("", OLD, ONE, "#4");
    assert!(!said.works.anchored[0].usual_strength);
}

#[test]
fn shear_friction_over_a_joint() {
    // SFR-1 and 2: four #4 through 12 by 36 in, 2500 psi against 4000 psi.
    let four = job(
        "",
        OLD,
        "rows height 6\"; inset 4 1/2\"; space at 18'-4 1/2\", 19'-1 1/2\", 19'-10 1/2\", 20'-7 1/2\"; bore 5/8\" by 6\"",
        "#4",
    );
    let joint = &four.works.joints[0];
    near(joint.contact.square_feet(), 3.0, 1e-9);
    assert_eq!((joint.dowels, joint.surfaces.len()), (4, 2));
    near(force(&four, "p.joint.old.rough.nominal"), 48_000.0, 1e-3);
    near(force(&four, "p.joint.old.rough.limit"), 216_000.0, 1e-3);
    near(force(&four, "p.joint.old.plain.nominal"), 28_800.0, 1e-3);
    // 9 in apart bars do not take from each other's bond: four times 1884.96 lb, times 1.0 and 0.6.
    near(force(&four, "p.joint.old.held"), 4.0 * 1884.96, 0.05);
    near(force(&four, "p.joint.old.rough.held"), 4.0 * 1884.96, 0.05);
    near(force(&four, "p.joint.old.plain.held"), 0.6 * 4.0 * 1884.96, 0.05);
}

#[test]
fn dowels_count_for_the_pour_they_go_into() {
    let two = fine(&format!(
        "wall old {{ leg a 20'; thick 24\"; height -20' to 20'; {OLD} }}
section left {{ along old.a 0 to 10'; thick 12\"; height 0 to 12\" }}
section right {{ along old.a 10' to 20'; thick 12\"; height 0 to 12\" }}
holes pins {{ into old; along old.a; rows height 6\"; inset 12\"; space every 12\"; bore 5/8\" by 6\" }}
bars pegs {{ size #4; in pins; out 8\" }}
pour one {{ fill left; mix bag-80-lb }}
pour two {{ fill right; mix bag-80-lb }}"
    ));
    let dowels: Vec<u64> = two.works.joints.iter().map(|joint| joint.dowels).collect();
    // 19 holes; the tenth stands just where the pours meet.
    assert_eq!(dowels.iter().sum::<u64>(), 19);
    assert!(dowels.contains(&9) && dowels.contains(&10), "{dowels:?}");
}

#[test]
fn holes_that_came_out_otherwise_are_worked_out_as_they_were_drilled() {
    // Four bars of 1884.96 lb at 6 in: one hole is left empty, one is 5 in deep, and the shallowest counts for all.
    let text = |holes: &str, records: &str| {
        super::compiled(&format!(
            "wall old {{ leg a 40'; thick 24\"; height -20' to 20'; {OLD} }}
section s {{ along old.a 18' to 21'; thick 12\"; height 0 to 12\" }}
holes pins {{ into old; along old.a 18' to 21'; rows height 6\"; inset 4 1/2\"; {holes} }}
bars pegs {{ size #4; in pins; out 8\" }}
mix bagged {{ bag 80 lb, yields 0.60 ft3; strength 4000 psi }}
pour p {{ fill s; mix bagged }}
{records}"
        ))
    };
    let four = "space at 18'-4 1/2\", 19'-1 1/2\", 19'-10 1/2\", 20'-7 1/2\"; bore 5/8\" by 6\"";
    let records = "record 2027-05-10 { hole pins.2 bore 5/8\" by 5\"; hole pins.4 abandoned }";
    let done = text(four, records);
    near(force(&done, "pins.bond"), 4.0 * 1884.96, 0.05);
    near(force(&done, "pins.as-drilled.bond-of-one"), 1884.96 * 5.0 / 6.0, 0.01);
    near(force(&done, "pins.as-drilled.bars-yield"), 36_000.0, 1e-6);
    // The same figures as of three holes planned so.
    let three = text("space at 18'-4 1/2\", 19'-1 1/2\", 19'-10 1/2\"; bore 5/8\" by 5\"", "");
    for of in ["bond", "breakout", "least", "bars-yield"] {
        let (done, planned) = (force(&done, &format!("pins.as-drilled.{of}")), force(&three, &format!("pins.{of}")));
        near(done, planned, 1e-6);
    }
    assert_eq!(done.works.joints, three.works.joints);
    assert_eq!(done.works.joints[0].dowels, 3);
    // A hole that was moved is where it is now, and one that is as planned changes nothing.
    let moved = text(four, "record 2027-05-10 { hole pins.2 moved left 2\" }");
    let there = text(&four.replace("19'-1 1/2", "18'-11 1/2"), "");
    near(force(&moved, "pins.as-drilled.breakout"), force(&there, "pins.breakout"), 1e-6);
    let same = text(four, "record 2027-05-10 { hole pins.2 bore 5/8\" by 6\" }");
    assert!(same.works.anchored.iter().all(|anchored| !anchored.as_drilled));
}

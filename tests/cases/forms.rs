//! Forms through the language: pressure, statics, members, lists.

use batterboard::{
    formwork::{Formwork, Hold, PartSort, Sort, Use},
    ledger::Figure,
    standards::pressure::Decided,
    units::{Exact, Length, System},
};
use proptest::prelude::*;

use super::{compiled, fine, found, near};

/// A wall with forms; height in inches, these clauses in the forms and the pour, this weather.
fn wall(high: u32, weather: &str, forms: &str, pour: &str) -> String {
    format!(
        "job \"Ferry steps\" {{ show feet; weather {weather} }}
wall old {{ leg a 12'; thick 8\"; height -12\" to 140\" }}
section s {{ along old.a; thick 8\"; height 0 to {high}\" }}
forms front {{ against s; sheath ply-3/4; {forms} }}
pour p {{ fill s; mix bag-80-lb; {pour} }}"
    )
}

const USUAL: &str = "studs 2x4, space at most 12\"; brace 2x4, space at most 2', angle 30 deg, on floor, holds 900 lbf; \
                     kick 2x4, on bank; down 900 lbf, space at most 2'";

fn formed(text: &str) -> Formwork {
    fine(text).works.forms[0].clone()
}

#[test]
fn a_low_form_by_hand() {
    // 24 in of concrete at 150 lb/ft3: 300 lb/ft2 at the foot, 300 lb a foot of wall at 8 in. Held at the foot and at 18 in
    // (three quarters): 300 · 8 / 18 = 133.3 above, 166.7 below. A brace every 2 ft at 30 deg: 266.7 level, 307.9 along it,
    // 154.0 up; it is 36 in long.
    let formed = formed(&wall(24, "60 degF to 70 degF", USUAL, ""));
    let design = &formed.designs[0];
    near(design.pressure.value.peak.psf(), 300.0, 1e-6);
    assert_eq!(design.pressure.value.decided, Decided::FullHead);
    near(design.thrust.value.force.plf(), 300.0, 1e-6);
    assert_eq!(design.thrust.value.arm, Length::INCH * 8);
    let levels: Vec<(Hold, f64)> = design.levels.iter().map(|level| (level.hold, level.share.plf())).collect();
    assert_eq!(levels.iter().map(|(hold, _)| *hold).collect::<Vec<_>>(), [Hold::Kick, Hold::Brace]);
    near(levels[0].1, 166.667, 1e-3);
    near(levels[1].1, 133.333, 1e-3);
    let load = |sort: Sort| match formed.members.iter().find(|member| member.sort == sort).unwrap().check.load {
        Figure::Force(force) => force.lbf(),
        other => panic!("{other:?}"),
    };
    near(load(Sort::Foot), 266.667, 1e-2);
    near(load(Sort::Brace), 307.92, 1e-2);
    near(load(Sort::Down), 153.96, 1e-2);
    let brace = formed.parts.iter().find(|part| part.length == Length::INCH * 36).unwrap();
    assert_eq!(brace.count, 7, "12 ft by 2 ft, both ends");
}

#[test]
fn a_wide_end_is_held_like_a_face() {
    // A pad of 12 ft by 6 ft, 6 in high, along nothing: one long face in front, two ends and the back.
    let pad = |out: &str| {
        formed(&format!(
            "line edge {{ leg a 12' }}
section s {{ along edge.a; offset 0 to {out}; height 0 to 6\"; base soil }}
forms box {{ against s; sheath ply-3/4; studs 2x4, space at most 16\"; kick 2x4, on stakes, space at most 3'; \
             brace 2x4, space at most 3', on stakes }}
pour p {{ fill s; mix bag-80-lb }}"
        ))
    };
    let count = |formed: &Formwork, closes: Use| formed.panels.iter().filter(|panel| panel.closes == closes).count();
    let sheathed = |formed: &Formwork| formed.members.iter().any(|member| member.sort == Sort::Bulkhead);
    let studs = |formed: &Formwork| {
        let studs = formed.parts.iter().filter(|part| part.sort == PartSort::Stud);
        studs.map(|part| part.count).sum::<u64>()
    };
    let wide = pad("6'");
    assert_eq!((count(&wide, Use::Face), count(&wide, Use::Bulkhead), sheathed(&wide)), (4, 0, false));
    // 12 ft and 6 ft at 16 in: 10 and 6 studs, each twice.
    assert_eq!(studs(&wide), 32);
    // Two gaps of 16 in are 32 in: that is still closed between two cleats.
    let narrow = pad("32\"");
    assert_eq!((count(&narrow, Use::Face), count(&narrow, Use::Bulkhead), sheathed(&narrow)), (2, 2, true));
    assert_eq!(studs(&narrow), 20);
}

#[test]
fn sheathing_as_a_textbook_has_it() {
    // Form plywood of Class I, 3/4 in, L/360, on studs 24 in apart over two spans or more: 120 lb/ft2 (119.4 by the formulas),
    // at 16 in 370; from a textbook on formwork after the panel makers' guide. The highest wall that holds by that.
    let holds = |inches: u32, studs: &str| {
        let text = wall(inches, "60 degF to 70 degF", &USUAL.replace("at most 12\"", &format!("at most {studs}")), "");
        // Three spans, as the textbook has them.
        let text = text.replace("leg a 12'", if studs == "16\"" { "leg a 4'" } else { "leg a 6'" });
        formed(&text).members.iter().find(|member| member.sort == Sort::Sheathing).unwrap().check.holds()
    };
    // 12.5 lb/ft2 an inch. At 24 in a cap of 1/16 in comes before a 360th of the span: 112 lb/ft2.
    assert!(holds(8, "24\"") && !holds(9, "24\""));
    assert!(holds(29, "16\"") && !holds(30, "16\""));
}

#[test]
fn low_pours_are_liquids_and_high_ones_are_not() {
    let planned = "mixer 2 bags, takes 5 min; carry 3 gal, takes 2 min; lift 12\"";
    let of = |high: u32, weather: &str, pour: &str| formed(&wall(high, weather, USUAL, pour)).designs[0].pressure.value;
    // 600 lb/ft2 is the head of 4 ft: up to there the least of the rule is never above the head.
    for high in [12, 24, 36, 48] {
        let pressure = of(high, "60 degF to 70 degF", planned);
        assert_eq!(pressure.decided, Decided::FullHead);
        near(pressure.peak.psf(), 150.0 * f64::from(high) / 12.0, 1e-6);
    }
    // 8 ft high, slowly: the least of 600 lb/ft2. Without a planned pour, or without weather, a liquid.
    let slow = of(96, "60 degF to 70 degF", planned);
    assert_eq!(slow.decided, Decided::Least);
    near(slow.peak.psf(), 600.0, 1e-6);
    near(of(96, "60 degF to 70 degF", "").peak.psf(), 1200.0, 1e-6);
    let text = wall(96, "X", USUAL, planned).replace("; weather X", "");
    near(formed(&text).designs[0].pressure.value.peak.psf(), 1200.0, 1e-6);
}

#[test]
fn a_lid_lets_the_whole_head_press() {
    let text = |lid: &str| {
        format!(
            "job \"Ferry steps\" {{ show feet }}
wall old {{ leg a 12'; thick 8\"; height -12\" to 60\" }}
section low {{ along old.a 0 to 6'; thick 8\"; height 0 to 12\" }}
section high {{ along old.a 6' to 12'; thick 8\"; height 0 to 36\" }}
forms front {{ against low, high; sheath ply-3/4; {USUAL} }}
pour p {{ fill low, high; mix bag-80-lb; {lid} }}"
        )
    };
    let low = |lid| formed(&text(lid)).designs[0].pressure.value.peak.psf();
    near(low(""), 150.0, 1e-6);
    near(low("lid low"), 450.0, 1e-6);
}

#[test]
fn faces_are_whole_whatever_lies_before_them() {
    // A slab outside divides nothing once its strip is out; round a corner there are two faces, and ends of 8 in.
    let text = "job \"Ferry steps\" { show feet }
wall old { leg a 10'; corner outside; leg b 4'; thick 8\"; height -12\" to 60\" }
slab floor { against old.a, old.b; thick 4\"; top 8\" }
remove strip { in floor; along old.a, old.b; out 20\" }
section s { along old; thick 8\"; height 0 to 24\" }
forms front { against s; sheath ply-3/4; studs 2x4, space at most 12\" }
pour p { fill s; mix bag-80-lb }";
    let formed = formed(text);
    let faces: Vec<(Use, i64, i64)> = formed
        .panels
        .iter()
        .map(|panel| (panel.closes, panel.width.nm() / Length::INCH.nm(), panel.height().nm() / Length::INCH.nm()))
        .collect();
    let long: Vec<_> = faces.iter().filter(|(closes, ..)| *closes == Use::Face).map(|(_, w, h)| (*w, *h)).collect();
    assert_eq!(long, [(128, 24), (56, 24)]);
    let ends: Vec<_> = faces.iter().filter(|(closes, ..)| *closes == Use::Bulkhead).map(|(_, w, h)| (*w, *h)).collect();
    assert_eq!(ends, [(8, 24), (8, 24)]);
    // Studs: 128 in and 56 in at 12 in: 12 and 6; cleats: two an end.
    let studs: u64 = formed.parts.iter().map(|part| part.count).sum();
    assert_eq!(studs, 12 + 6 + 4);
}

#[test]
fn boards_and_sheets_are_bought_whole() {
    let job = fine(&wall(24, "60 degF to 70 degF", USUAL, ""));
    let formed = &job.works.forms[0];
    let sheets = formed.sheets.as_ref().unwrap();
    // 12 ft and two ends of 8 in: a strip of 8 ft, one of 4 ft and the ends. A sheet of 4 by 8 ft holds two strips of 23 in; of
    // 2 ft it holds one, for the saw takes its cut.
    assert_eq!(sheets.count, 2);
    let lower = fine(&wall(23, "60 degF to 70 degF", USUAL, ""));
    assert_eq!(lower.works.forms[0].sheets.as_ref().unwrap().count, 1);
    let plan = &job.works.boards[0];
    let wanted: i64 = plan.pieces.iter().map(|(length, count)| length.nm() * *count as i64).sum();
    let cut: i64 = plan
        .cuts
        .iter()
        .flat_map(|cut| cut.pieces.iter().map(move |(length, count)| length.nm() * (*count * cut.times) as i64))
        .sum();
    assert_eq!(cut, wanted);
    // Boards at hand go first, and only their length is used.
    let own = wall(24, "60 degF to 70 degF", USUAL, "") + "\nstock long { for 2x4; length 20'; price 9 USD }";
    assert!(fine(&own).works.boards[0].bought().iter().all(|(length, _)| *length == Length::FOOT * 20));
}

#[test]
fn braces_rise_from_what_they_stand_on() {
    // Met at 18 in above the foot, at 30 deg: 36 in where they stand as low as the form. Its foot 8 in below a floor: a rise of
    // 10 in, 20 in long. A floor above where they meet it is none to stand on.
    let longest = |more: &str| {
        let text = wall(24, "60 degF to 70 degF", USUAL, "").replace("height 0 to 24\"", "height -8\" to 16\"") + more;
        let formed = formed(&text);
        let braces = formed.parts.iter().filter(|part| part.sort == PartSort::Brace);
        braces.map(|part| part.length).max().unwrap()
    };
    let slab = |top: &str| {
        format!(
            "\nslab floor {{ against old.a; thick 4\"; top {top} }}\nremove strip {{ in floor; along old.a; out 2' }}"
        )
    };
    assert_eq!(longest(""), Length::INCH * 36);
    assert_eq!(longest("\nground { inside 0 }"), Length::INCH * 20);
    assert_eq!(longest(&slab("0")), Length::INCH * 20);
    assert_eq!(longest(&slab("-4\"")), Length::INCH * 28);
    assert_eq!(longest(&slab("12\"")), Length::INCH * 36);
    // The foot lies 8 in + 10 in / tan 30 deg = 25 in out: in a strip of 4 ft there is no floor.
    assert_eq!(longest(&slab("0").replace("out 2'", "out 4'")), Length::INCH * 36);
    // A curb on a pad: in front the pad reaches 46 in past it, and carries a brace that rises 18 in: from 3/4 + 3 1/2 + 3 1/2 in off it
    // reaches 31.2 in to its middle, 1.5 to its edge and 3 in with its cleat, 43.4 in in all; behind it are but 24 in of pad, and
    // the brace rises from the ground 6 in lower.
    let text = format!(
        "line run {{ leg a 8' }}
ground {{ outside -6\"; inside -6\" }}
section pad {{ along run; thick 78\"; height -6\" to 0; side earth }}
section curb {{ along run; offset 2' to 32\"; height 0 to 24\" }}
forms box {{ against curb; sheath ply-3/4; {USUAL} }}
pour one {{ fill pad; mix bag-80-lb }}
pour two {{ fill curb; mix bag-80-lb }}"
    );
    let formed = formed(&text);
    let braces = formed.parts.iter().filter(|part| part.sort == PartSort::Brace);
    let lengths: Vec<Length> = braces.map(|part| part.length).collect();
    assert_eq!(lengths, [Length::INCH * 36, Length::INCH * 48]);
    // Ground that falls away by a tenth on the outer side: the brace from 18 in above it at 30 deg comes down to it after
    // 18 / (tan 30 deg - 0.1) = 37.7 in, where it has come 3.77 in lower, and is 21.77 / sin 30 deg = 43.54 in long.
    let text = format!(
        "line run {{ leg a 8' }}
ground {{ outside 0, falls 10%; inside 0 }}
section curb {{ along run; thick 8\"; height 0 to 24\" }}
forms box {{ against curb; sheath ply-3/4; {USUAL} }}
pour two {{ fill curb; mix bag-80-lb }}"
    );
    let formed = self::formed(&text);
    let braces = formed.parts.iter().filter(|part| part.sort == PartSort::Brace);
    let lengths: Vec<Length> = braces.map(|part| part.length).collect();
    assert_eq!(lengths, [Length::INCH * 36, Length::from_nm(Length::INCH.nm() * 697 / 16)]);
}

#[test]
fn sheets_are_joined_on_studs_and_close_their_corners() {
    // 3 m with studs 375 mm apart: a sheet of 2500 mm is sawn at 2250, and 750 follow. Along 2 m it is whole; round the
    // corner of the concrete one of both is longer by its 18 mm.
    let text = "job \"Ferry steps\" { show metric }
wall old { leg a 3 m; corner outside; leg b 2 m; thick 200 mm; height -300 mm to 3000 mm }
section s { along old.a, old.b; thick 200 mm; height 0 to 600 mm }
forms front { against s; sheath ply-18; studs 2x4, space at most 400 mm; brace 2x4, space at most 600 mm, angle 30 deg, on floor, holds 4 kN; kick 2x4, on bank; down 4 kN, space at most 600 mm }
pour p { fill s; mix bag-25-kg }";
    let formed = formed(text);
    let mut pieces: Vec<i64> = formed
        .sheets
        .iter()
        .flat_map(|sheets| &sheets.lines)
        .flat_map(|line| {
            line.pieces.iter().flat_map(|(long, _, count)| vec![long.nm() / 1_000_000; (*count * line.times) as usize])
        })
        .collect();
    pieces.sort_unstable();
    // The faces are 3200 and 2200 long: eight bays of 400, six of 366.7. 2400 and 800 follow each other, and two ends of 200. Past
    // each end the sheets reach by 18 mm and a cleat of 38.1 mm, up to the millimetre.
    assert_eq!(pieces, [200, 200, 818, 2200 + 57, 2400 + 57]);
}

#[test]
fn what_is_not_held_is_told() {
    let weather = "60 degF to 70 degF";
    let one = |forms: &str| found(&wall(24, weather, forms, ""));
    assert_eq!(one(USUAL), Vec::<&str>::new());
    assert_eq!(one(&USUAL.replace("kick 2x4, on bank; ", "")), ["form-unheld"]);
    assert_eq!(one(&USUAL.replace(", holds 900 lbf", "")), ["form-unheld"]);
    assert_eq!(one(&USUAL.replace("angle 30 deg", "angle 30 deg, height 30\"")), ["form-unheld"]);
    // Below a third of its height the foot would be pulled.
    assert!(one(&USUAL.replace("angle 30 deg", "angle 30 deg, height 6\"")).contains(&"form-unheld"));
    assert!(one(&USUAL.replace("angle 30 deg", "angle 89 deg")).contains(&"form-unheld"));
    // A stake of which nothing is said holds 100 lbf.
    assert!(one(&USUAL.replace("on floor, holds 900 lbf", "on stakes")).contains(&"form-foot"));
    for (from, to) in [("12\"", "0\""), ("2x4, space", "2x5, space"), ("angle 30 deg", "angle 0 deg")] {
        assert!(!one(&USUAL.replacen(from, to, 1)).is_empty(), "{to}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Colder, faster, wider apart never press or load less; no pressure is above the full head, the least of the rule included;
    /// what holds the form holds all of the thrust.
    #[test]
    fn nothing_moves_the_wrong_way(
        high in 8_u32..130, cold in 25_u32..80, metric in any::<bool>(), takes in 1_u32..12, lift in 6_u32..13,
        studs in 6_u32..24, height in 40_u32..100,
    ) {
        let text = |cold: u32, takes: u32, studs: u32| {
            let rule = if metric { "; pressure ciria" } else { "" };
            let forms = USUAL.replace("at most 12\"", &format!("at most {studs}\"")).replace(
                "angle 30 deg", &format!("angle 30 deg, height {}\"", (high * height / 100).max(1)));
            wall(high, &format!("{cold} degF to 90 degF"), &(forms + rule),
                &format!("mixer 2 bags, takes {takes} min; carry 3 gal, takes 1 min; rod 1 min; crew 3; lift {lift}\""))
        };
        let one = |cold, takes, studs| compiled(&text(cold, takes, studs)).works.forms[0].clone();
        let base = one(cold, takes, studs);
        let design = &base.designs[0];
        let peak = |formed: &Formwork| formed.designs[0].pressure.value.peak.psf();
        prop_assert!(peak(&base) <= 150.0 * f64::from(high) / 12.0 + 1e-6);
        prop_assert!(peak(&one(cold.saturating_sub(10), takes, studs)) >= peak(&base) - 1e-9);
        prop_assert!(peak(&one(cold, takes + 2, studs)) <= peak(&base) + 1e-9);
        if !design.levels.is_empty() {
            let held: f64 = design.levels.iter().map(|level| level.share.plf()).sum();
            prop_assert!((held - design.thrust.value.force.plf()).abs() < 1e-6 * held.abs().max(1.0));
        }
        let ratio = |formed: &Formwork, sort: Sort| {
            formed.members.iter().find(|member| member.sort == sort).map_or(0.0, |member| member.check.ratio)
        };
        // What presses more loads every member more; only the kicker is eased where more presses above the brace than below it.
        let (colder, slower) = (one(cold.saturating_sub(10), takes, studs), one(cold, takes + 2, studs));
        for sort in [Sort::Sheathing, Sort::Stud, Sort::StudTop, Sort::Waler, Sort::Brace, Sort::Foot, Sort::Down] {
            prop_assert!(ratio(&colder, sort) >= ratio(&base, sort) * (1.0 - 1e-9), "colder, {sort:?}");
            prop_assert!(ratio(&slower, sort) <= ratio(&base, sort) * (1.0 + 1e-9), "slower, {sort:?}");
        }
        let wider = one(cold, takes, studs + 2);
        for sort in [Sort::Stud, Sort::StudTop] {
            prop_assert!(ratio(&wider, sort) >= ratio(&base, sort) - 1e-9);
        }
        // Studs so far apart that fewer spans are left carry more, not less.
        prop_assert!(ratio(&wider, Sort::Sheathing) >= ratio(&base, Sort::Sheathing) * 0.75);
    }
}

#[test]
fn undersides_over_a_form_are_told_and_not_worked_out() {
    let text = "job \"Ferry steps\" { show feet }
wall old { leg a 10'; thick 8\"; height -12\" to 60\" }
section shelf { along old.a; thick 24\"; height 30\" to 38\"; base form }
forms front { against shelf; sheath ply-3/4; studs 2x4, space at most 12\"; brace 2x4, space at most 2', on bank; kick 2x4, on bank; down 900 lbf, space at most 2' }
pour p { fill shelf; mix bag-80-lb }";
    near(formed(text).soffits.square_feet(), 20.0, 1e-9);
}

#[test]
fn priced_boards_are_bought_for_the_least_money() {
    // A short board that is dearer than a long one is never taken, though it would leave less over.
    let text = wall(24, "60 degF to 70 degF", USUAL, "")
        + "\nstock short { for 2x4; length 8'; price 11 USD }\nstock long { for 2x4; length 16'; price 10 USD }";
    let job = fine(&text);
    let plan = &job.works.boards[0];
    assert!(plan.bought().iter().all(|(length, _)| *length == Length::FOOT * 16), "{:?}", plan.bought());
    let count: u64 = plan.bought().iter().map(|(_, count)| count).sum();
    assert_eq!(plan.cost.unwrap().amount, Exact::whole(i128::from(count) * 10));
}

#[test]
fn a_void_is_a_box_within_the_form() {
    // The form of a wall of 8 ft by 36 in stays whole whatever is left empty in it: through it, in its top, at its end.
    let text = |voids: &str| {
        format!(
            "line run {{ leg a 8' }}
section s {{ along run; thick 8\"; height 0 to 36\" }}
forms box {{ against s; sheath ply-3/4; {USUAL} }}
pour p {{ fill s; mix bag-80-lb }}
{voids}"
        )
    };
    let whole = formed(&text(""));
    assert_eq!(whole.panels.len(), 4);
    for voids in [
        "void gap { in s; on run.a 4' to 4'-6\"; height 14\" to 20\" }",
        "void notch { in s; on run.a 3' to 4'; height 32\" to 36\" }",
        "void pocket { in s; on run.a 7'-4\" to 8'; height 12\" to 22\" }",
    ] {
        let formed = formed(&text(voids));
        assert_eq!(formed.panels, whole.panels, "{voids}");
        let pieces = |formed: &Formwork| -> Vec<_> {
            formed.parts.iter().map(|part| (part.sort, part.length, part.count)).collect()
        };
        assert_eq!(pieces(&formed), pieces(&whole), "{voids}");
        assert_eq!(formed.members, whole.members, "{voids}");
    }
}

#[test]
fn where_another_pour_comes_later_a_form_holds_the_first() {
    let text = |steps: &str| {
        format!(
            "line run {{ leg a 8' }}
section left {{ along run.a 0 to 4'; thick 12\"; height 0 to 24\" }}
section right {{ along run.a 4' to 8'; thick 12\"; height 0 to 24\" }}
forms box {{ against left, right; sheath ply-3/4; {USUAL} }}
pour one {{ fill left; mix bag-80-lb }}
pour two {{ fill right; mix bag-80-lb }}
{steps}"
        )
    };
    // Three ends are closed: one of each pour, and at 4 ft that of the one that comes first.
    let at_joint = |steps: &str| {
        let formed = formed(&text(steps));
        let ends = formed.panels.iter().filter(|panel| panel.closes == Use::Bulkhead);
        let ends: Vec<_> = ends.filter(|panel| panel.ends().iter().all(|end| (end.x - 1.2192e9).abs() < 1.0)).collect();
        assert_eq!(formed.panels.iter().filter(|panel| panel.closes == Use::Bulkhead).count(), 3);
        assert_eq!(ends.len(), 1);
        (ends[0].pour, ends[0].width)
    };
    let job = fine(&text("")).job;
    let (one, two) = (job.pours[0].id, job.pours[1].id);
    assert_eq!(at_joint(""), (one, Length::FOOT));
    let after = "step cast-two \"Cast\" { work pour two }\nstep cast-one \"Cast\" { work pour one; after cast-two }";
    let text_of = text(after);
    let compiled = compiled(&text_of);
    assert!(compiled.works.forms[0].panels.iter().any(|panel| {
        panel.closes == Use::Bulkhead
            && panel.pour == two
            && panel.ends().iter().all(|end| (end.x - 1.2192e9).abs() < 1.0)
    }));
    // A step beside which a wall is poured later is closed over its whole width.
    let formed = formed(&format!(
        "line run {{ leg a 8' }}
section low {{ along run.a 0 to 4'; thick 20\"; height 0 to 10\" }}
section high {{ along run.a 4' to 8'; thick 20\"; height 0 to 18\" }}
section stem {{ along run.a 0 to 4'; offset 6\" to 14\"; height 10\" to 36\" }}
forms box {{ against low, high; sheath ply-3/4; {USUAL} }}
pour foot {{ fill low, high; mix bag-80-lb }}
pour wall {{ fill stem; mix bag-80-lb }}"
    ));
    let risers = formed.panels.iter().filter(|panel| panel.closes == Use::Bulkhead && panel.bottom > Length::ZERO);
    assert_eq!(
        risers.map(|panel| (panel.width, panel.height())).collect::<Vec<_>>(),
        [(Length::INCH * 20, Length::INCH * 8)]
    );
}

#[test]
fn braces_that_stand_in_a_strip_want_their_room_in_it() {
    // A footing of 12 in, cast in a strip from -16 in to the floor: braced at 12 in above its foot, below the floor, at 30 deg.
    // The form is 3/4 + 3 1/2 + 1 1/2 in deep, and the brace reaches 12 / tan 30 deg = 20.8 in farther: 26 9/16 in all.
    let text = |out: &str| {
        format!(
            "job \"Salt store at Eel Weir\" {{ show feet }}
wall old {{ leg n 9'; thick 10\"; height -20\" to 40\" }}
ground {{ outside -2\"; inside 0 }}
slab floor {{ against old.n; thick 4\"; top 0 }}
cut edge {{ in floor; along old.n; out {out}; deep 4\" }}
remove strip {{ in floor; along old.n; out {out} }}
section base {{ along old.n; thick 12\"; height -16\" to 0 }}
forms box {{ against base; sheath ply-3/4; {USUAL} }}
pour p {{ fill base; mix bag-80-lb }}"
        )
    };
    let tight = |out: &str| {
        let compiled = compiled(&text(out));
        let tight = compiled.works.forms[0].tight.first().copied();
        tight.map(|tight| (tight.room, tight.takes, tight.braced))
    };
    let takes = Length::from_nm(Length::INCH.nm() * 425 / 16);
    assert_eq!(tight("20\""), Some((Length::INCH * 8, takes, true)));
    assert_eq!(tight("38\""), Some((Length::INCH * 26, takes, true)));
    assert_eq!(tight("39\""), None);
    assert!(found(&text("20\"")).contains(&"form-tight"));
}

#[test]
fn a_strip_too_narrow_for_two_sections_is_told_once_for_the_deeper() {
    // The form wants 4 1/4 in out of the concrete, the kicker against the slab 1 1/2 in more.
    let job = |out: &str| {
        compiled(&format!(
            "wall old {{ leg a 10'; thick 8\"; height -12\" to 60\"; of concrete }}
slab floor {{ against old; thick 4\"; top 0 }}
remove strip {{ in floor; along old.a; out {out} }}
section low {{ along old.a 0 to 5'; thick 8\"; height -4\" to 12\" }}
section high {{ along old.a 5' to 10'; thick 10\"; height -4\" to 24\" }}
forms box {{ against low, high; sheath ply-3/4; studs 2x4, space at most 12\"; down 900 lbf, space at most 2'; \
kick 2x4, on bank; brace 2x4, space at most 2', on floor, holds 900 lbf }}
pour p {{ fill low, high; mix bag-80-lb }}"
        ))
    };
    let told = |out: &str| {
        let job = job(out);
        let mine = job.problems.iter().filter(|problem| problem.rule.name == "form-tight");
        mine.map(|problem| (problem.says(System::Feet), problem.helps(System::Feet).unwrap())).collect::<Vec<_>>()
    };
    let narrow = told("11\"");
    assert!(narrow.len() == 1 && narrow[0].0.contains("`high`"), "{narrow:?}");
    // The mend does for both.
    assert!(narrow[0].1.contains("`out 16\"`"), "{narrow:?}");
    assert_eq!(told("16\""), []);
}

#[test]
fn ties_keep_away_from_what_is_kept_clear_in_the_old_wall() {
    let job = |clear: &str, rows: &str| {
        compiled(&format!(
            "wall old {{ leg a 6'; thick 10\"; height -12\" to 30\"; of concrete }}
clear pipe {{ {clear}; radius 2\" }}
section s {{ along old.a; thick 6\"; height 0 to 20\"; base gravel }}
forms box {{ against s; sheath ply-3/4; studs 2x4, space at most 12\"; ties rows {rows}, space at most 2', holds 1500 lbf; \
kick 2x4, on stakes, holds 1500 lbf, space at most 30\" }}
pour p {{ fill s; mix bag-80-lb }}"
        ))
    };
    let told =
        |job: &batterboard::compile::Compiled| job.problems.iter().any(|problem| problem.rule.name == "tie-hits");
    let row = |job: &batterboard::compile::Compiled, at: usize| job.works.forms[0].ties[at].clone();
    // Across the way of the row it stands beside: 2 in, and 10 mm for half of the tie.
    let beside = job("on old.a at 8\"; height 10\"", "4\", 10\"");
    let near = row(&beside, 1).at.iter().map(|at| (at.inches() - 8.0).abs()).fold(f64::INFINITY, f64::min);
    assert!(near >= 2.0 + 10.0 / 25.4 && !told(&beside), "{near}");
    let without = job("on old.a at 8\"; height 25\"", "4\", 10\"");
    let free = row(&without, 1).at.iter().map(|at| (at.inches() - 8.0).abs()).fold(f64::INFINITY, f64::min);
    assert!(free < near, "where nothing is in the way one stands nearer: {free} {near}");
    // Along the row there is no place.
    let along = job("along old.a 0 to 6'; height 10\"", "4\", 10\"");
    assert!(told(&along));
    assert_eq!(row(&along, 1).into.len(), 1);
    assert!(row(&along, 0).into.is_empty());
    assert!(!told(&job("along old.a 0 to 6'; height 10\"", "4\", 14\"")));
}

#[test]
fn a_form_hangs_only_where_fresh_concrete_is_under_its_foot() {
    // A pad with a lower part along its outer side: flush with it the form stands on the ground before both, set back on wet concrete.
    let hung = |outer: &str| {
        found(&format!(
            "job \"Yard\" {{ show feet; place outdoors }}
wall barn {{ leg back 8'; thick 10\"; height -20\" to 40\"; of concrete }}
ground {{ outside -6\" }}
section pad {{ along barn.back; thick 5'; height -6\" to 0; base gravel }}
section edge {{ along barn.back; offset 4' to {outer}; height -14\" to -6\"; side earth }}
forms rim {{ against pad; sheath ply-3/4; {USUAL} }}
pour p {{ fill pad, edge; mix bag-80-lb }}"
        ))
        .contains(&"form-hung")
    };
    assert!(!hung("5'"));
    assert!(hung("6'"));
}

#[test]
fn boards_of_the_sheathing_close_corners_and_ends_like_sheets() {
    let job = |turn: &str| {
        let job = compiled(&format!(
            "wall old {{ leg a 4'; corner {turn}; leg b 4'; thick 8\"; height -12\" to 30\"; of concrete }}
section s {{ along old; thick 6\"; height 0 to 7\" }}
forms box {{ against s; sheath 2x8; {USUAL} }}
pour p {{ fill s; mix bag-80-lb }}"
        ));
        let parts = job.works.forms[0].parts.iter().filter(|part| part.sort == PartSort::Sheathing);
        let mut out: Vec<f64> = parts.flat_map(|part| vec![part.length.inches(); part.count as usize]).collect();
        out.sort_by(f64::total_cmp);
        out
    };
    // Two bulkheads of 6 in. The faces are 4'-6" round an outside corner; each reaches 1 1/2 in past its bulkhead and a cleat of
    // 1 1/2 in, one of them 1 1/2 in past the other.
    assert_eq!(job("outside"), [6.0, 6.0, 57.0, 58.5]);
    // Round an inside corner they are 3'-6"; one ends before the other's boards.
    assert_eq!(job("inside"), [6.0, 6.0, 43.5, 45.0]);
}

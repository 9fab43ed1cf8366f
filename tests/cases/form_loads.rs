//! What presses on forms and what their members feel of it, by hand: concrete stacked on a section, columns, binders, cold mixes, studs
//! under their lowest level, kickers between their fixings, studs crushed on walers, the least load along the top.

use batterboard::{
    compile::Compiled,
    formwork::{Design, Formwork, Member, PartSort, Sort},
    ledger::Figure,
    reports,
    units::System,
};

use super::{compiled, fine, found, near};

fn design<'c>(job: &'c Compiled, section: &str) -> &'c Design {
    let designs = job.works.forms.iter().flat_map(|forms| &forms.designs);
    designs.clone().find(|design| job.job.name(design.section) == section).unwrap()
}

fn peak(job: &Compiled, section: &str) -> f64 {
    design(job, section).pressure.value.peak.psf()
}

fn of(forms: &Formwork, sort: Sort) -> Option<&Member> {
    forms.members.iter().find(|member| member.sort == sort)
}

#[track_caller]
fn moment(figure: Figure) -> f64 {
    match figure {
        Figure::Moment(moment) => moment.newton_metres() / 1.355_817_948,
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_the_same_pour_stacks_on_a_section_presses_on_its_form() {
    // 150 lb/ft3 over 54 in: 675 lb/ft2 at the foot, and over 36 in 450 at 18 in, where the upper form begins. The lower form, 18 in
    // high, feels (675 + 450) / 2 · 1.5 = 843.75 lb a foot.
    let text = |low: &str, high: &str, pours: &str| {
        format!(
            "wall old {{ leg back 8'; thick 12\"; height -12\" to 9'; of concrete }}
section low {{ along {low}; height 0 to 18\"; base gravel }}
section high {{ along {high}; height 18\" to 54\" }}
forms f {{ against low; sheath ply-3/4; studs 2x4, space at most 12\"; ties rows 4\", 14\", space at most 2', holds 300 lbf }}
forms g {{ against high; sheath ply-3/4; studs 2x4, space at most 8\"; ties rows 22\", 44\", space at most 1', holds 4000 lbf }}
{pours}"
        )
    };
    let one = "pour p { fill low, high; mix bag-80-lb }";
    let two = "pour p { fill low; mix bag-80-lb }\npour q { fill high; mix bag-80-lb }";
    let stacked = fine(&text("old; thick 8\"", "old; thick 8\"", one));
    near(peak(&stacked, "low"), 675.0, 1e-6);
    near(peak(&stacked, "high"), 450.0, 1e-6);
    near(design(&stacked, "low").thrust.value.force.plf(), 843.75, 1e-6);
    // Over a part of its length or of its thickness the highest of it counts.
    near(peak(&fine(&text("old; thick 8\"", "old.back 0 to 3'; thick 8\"", one)), "low"), 675.0, 1e-6);
    near(peak(&fine(&text("old; thick 24\"", "old; thick 8\"", one)), "low"), 675.0, 1e-6);
    // What is poured another time, or stands beside it, does not: 18 in are 225.
    near(peak(&fine(&text("old; thick 8\"", "old; thick 8\"", two)), "low"), 225.0, 1e-6);
    near(peak(&fine(&text("old.back 0 to 5'; thick 8\"", "old.back 5' to 8'; thick 8\"", one)), "low"), 225.0, 1e-6);
    let told = order(&stacked);
    assert!(told.contains("on a form of 18\" with more of the pour on it"), "{told}");
}

fn order(job: &Compiled) -> String {
    let mut out = Vec::new();
    reports::print::markdown(&reports::order(job), &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

/// A wall 9 in thick and so many inches high, with these forms.
fn tied(high: u32, head: &str, forms: &str, pour: &str) -> Compiled {
    fine(&format!(
        "job \"Ferry steps\" {{ show feet; place outdoors; {head} }}
wall old {{ leg back 8'; thick 12\"; height -12\" to 9'; of concrete }}
section w {{ along old; thick 9\"; height 0 to {high}\"; base gravel }}
forms f {{ against w; sheath ply-3/4; {forms} }}
mix m {{ bag 80 lb, yields 0.60 ft3; strength 4000 psi }}
pour p {{ fill w; mix m; {pour} }}"
    ))
}

const TIED: &str = "walers 2x4, double; studs 2x4, space at most";

#[test]
fn studs_stick_out_below_the_lowest_level() {
    // 5 ft of concrete, the lowest tie at 19 in: 512.5 lb/ft2 there, 750 at the foot, on strips of 8 in:
    // 2/3 · (512.5 · 1.5833^2 / 2 + 237.5 · 1.5833^2 / 3) = 560.6 lbf ft.
    let rows = "ties rows 19\", 40\", space at most 12\", holds 4000 lbf";
    let hangs = tied(60, "", &format!("{TIED} 8\"; {rows}"), "");
    let foot = of(&hangs.works.forms[0], Sort::StudFoot).unwrap();
    near(moment(foot.check.load), 560.6, 0.1);
    // Spruce-pine-fir of No. 2: 875 psi by 1.5 for its size and 1.25 for the days of a pour, 0.85 for wet wood, 1.15 where studs
    // share, on 3.0625 in3: 409 lbf ft (NDS factors, as told in "taken as usual").
    near(moment(foot.check.capacity), 409.3, 0.5);
    assert!(hangs.problems.iter().any(|problem| problem.says(System::Feet).contains("feet of the studs at `w`")));
    // A kicker holds the foot.
    let held = tied(60, "", &format!("{TIED} 8\"; {rows}; kick 2x4, on bank"), "");
    assert!(of(&held.works.forms[0], Sort::StudFoot).is_none());
    // 8 ft, slowly, by the least of the rule: 600 lb/ft2 from 4 ft below the top. The lowest tie at 5 ft: 450 there, growing for
    // another foot: 450 · 25 / 2 + 150 · (25 / 2 - 1 / 6) = 7475 lbf ft on a strip of 1 ft.
    let slow = tied(
        96,
        "weather 60 degF to 70 degF",
        &format!("{TIED} 12\"; ties rows 60\", 80\", space at most 12\", holds 4000 lbf"),
        "mixer 2 bags, takes 5 min; carry 3 gal, takes 2 min; lift 12\"",
    );
    near(peak(&slow, "w"), 600.0, 1e-6);
    near(moment(of(&slow.works.forms[0], Sort::StudFoot).unwrap().check.load), 7475.0, 0.5);
}

#[test]
fn a_kicker_bends_between_its_fixings() {
    // 30 in of concrete: 468.75 lb a foot, 10 in up. Braces at 18 in hold 260.4, the kicker 208.3. Four bays of 4 ft:
    // 3 / 28 · 208.3 · 16 = 357.1 lbf ft. A 2x4 stands on its edge and bends flat: 875 psi by 1.5, 0.85, 1.25 and 1.1 for lying flat,
    // on 1.3125 in3: 167.8 lbf ft.
    let text = |kick: &str| {
        format!(
            "wall old {{ leg back 16'; thick 12\"; height -12\" to 8'; of concrete }}
section w {{ along old; thick 8\"; height 0 to 30\" }}
forms f {{ against w; sheath ply-3/4; studs 2x4, space at most 8\"; walers 2x4, double; {kick}; \
             brace 2x4, space at most 4', angle 40 deg, height 18\", on floor, holds 1100 lbf; down 1000 lbf, space at most 4' }}
pour p {{ fill w; mix bag-80-lb }}"
        )
    };
    let fixed = fine(&text("kick 2x4, on floor, holds 900 lbf, space at most 4'"));
    let kick = of(&fixed.works.forms[0], Sort::KickBoard).unwrap();
    near(moment(kick.check.load), 357.14, 0.05);
    near(moment(kick.check.capacity), 167.8, 0.2);
    let told = found(&text("kick 2x4, on floor, holds 900 lbf, space at most 4'"));
    assert!(told.contains(&"form-waler"), "{told:?}");
    // A bank bears all of it; fixings 2 ft apart bend it a quarter as much.
    assert!(of(&fine(&text("kick 2x4, on bank")).works.forms[0], Sort::KickBoard).is_none());
    let near_fixings = text("kick 2x4, on floor, holds 900 lbf, space at most 2'");
    assert!(of(&fine(&near_fixings).works.forms[0], Sort::KickBoard).unwrap().check.holds());
}

#[test]
fn studs_are_crushed_where_walers_hold_them() {
    // 4 ft of concrete: 1200 lb a foot, 16 in up. Ties at 15 and 37 in: 1200 · 21 / 22 = 1145.5 at the lower. Studs at 10 in:
    // 954.5 lbf on 1 1/2 by 1 1/2 in are 424.2 psi, on two boards half of it. Across the grain spruce-pine-fir takes 425 psi, wet 0.67 of
    // it: 284.75 (NDS, as told in "taken as usual").
    let of_walers = |walers: &str| {
        let rows = "studs 2x4, space at most 10\"; ties rows 15\", 37\", space at most 12\", holds 4000 lbf";
        let job = tied(48, "", &format!("{walers}; {rows}"), "");
        let bears = of(&job.works.forms[0], Sort::StudBearing).unwrap().check.clone();
        match (bears.load, bears.capacity) {
            (Figure::Stress(load), Figure::Stress(takes)) => (load.psi(), takes.psi(), bears.holds()),
            other => panic!("{other:?}"),
        }
    };
    let (load, takes, holds) = of_walers("walers 2x4");
    near(load, 424.24, 0.01);
    near(takes, 284.75, 0.01);
    assert!(!holds);
    let (load, _, holds) = of_walers("walers 2x4, double");
    near(load, 212.12, 0.01);
    assert!(holds);
}

const FAST: &str = "mixer 3 bags, takes 4 min; carry 3 gal, takes 1 min; rod 1 min; lift 12\"; crew 4";

#[track_caller]
fn part(design: &Design, symbol: &str) -> f64 {
    match design.pressure.part(symbol) {
        Some(Figure::Number(number)) => number,
        other => panic!("{symbol}: {other:?} in {:?}", design.pressure),
    }
}

#[test]
fn the_cement_of_the_mix_is_in_its_pressure() {
    // ACI 347R-14: 1.0 for Types I to III, 1.2 for others and blends, 1.4 for rich ones. CIRIA Report 108: 0.30, 0.45, 0.60, and
    // sulfate-resisting cement as ordinary.
    let of = |cement: &str, rule: &str, symbol: &str| {
        let forms = format!("{TIED} 8\"; ties rows 8\", 40\", space at most 12\", holds 4000 lbf; pressure {rule}");
        let text = "weather 50 degF to 65 degF";
        let mut job = format!(
            "job \"Ferry steps\" {{ show feet; place outdoors; {text} }}
wall old {{ leg back 8'; thick 12\"; height -12\" to 11'; of concrete }}
section w {{ along old; thick 12\"; height 0 to 10'; base gravel }}
forms f {{ against w; sheath ply-3/4; {forms} }}
mix m {{ bag 80 lb, yields 0.60 ft3; strength 4000 psi{cement} }}
pour p {{ fill w; mix m; {FAST} }}"
        );
        job.push('\n');
        let job = fine(&job);
        part(design(&job, "w"), symbol)
    };
    for (cement, aci, ciria) in [
        ("", 1.0, 0.30),
        ("; cement type-iii", 1.0, 0.30),
        ("; cement type-v", 1.2, 0.30),
        ("; cement blended", 1.2, 0.45),
        ("; cement some-ash", 1.2, 0.45),
        ("; cement class-s", 1.2, 0.45),
        ("; cement much-ash", 1.4, 0.60),
    ] {
        near(of(cement, "aci", "Cc"), aci, 1e-9);
        near(of(cement, "ciria", "C2"), ciria, 1e-9);
    }
}

#[test]
fn a_post_is_a_column() {
    // CIRIA Report 108: C1 is 1.5 where both sides in plan are up to 2 m, else 1.0.
    let text = |long: &str, more: &str| {
        format!(
            "job \"Ferry steps\" {{ show metric; place outdoors; weather 12 degC to 22 degC }}
line edge {{ leg front 4 m }}
section post {{ along edge.front 0 to {long}; thick 400 mm; height 0 to 3 m; base gravel }}
{more}
forms box {{ against post; sheath ply-18; studs 50x100, space at most 200 mm; pressure ciria }}
mix m {{ bag 25 kg, yields 11.7 L; strength 30 MPa }}
pour p {{ fill post{}; mix m; mixer 1 bag, takes 20 min; carry 12 L, takes 1 min; lift 300 mm }}",
            if more.is_empty() { "" } else { ", next" }
        )
    };
    let c1 = |long: &str, more: &str| part(design(&fine(&text(long, more)), "post"), "C1");
    near(c1("600 mm", ""), 1.5, 1e-9);
    near(c1("2 m", ""), 1.5, 1e-9);
    near(c1("2.1 m", ""), 1.0, 1e-9);
    // As high a piece right beside it makes a wall of both; a low one does not.
    let next = |high: &str| {
        format!("section next {{ along edge.front 600 mm to 2600 mm; thick 400 mm; height 0 to {high}; base gravel }}")
    };
    near(c1("600 mm", &next("3 m")), 1.0, 1e-9);
    near(c1("600 mm", &next("300 mm")), 1.5, 1e-9);
}

#[test]
fn colder_concrete_than_the_air_presses_as_it_goes_in() {
    // The coldest air is 80 degF, the concrete goes in at 55: the lesser counts, and a warmer one changes nothing.
    let warmth = |cure: &str| {
        let job = fine(&format!(
            "job \"Ferry steps\" {{ show feet; place outdoors; weather 80 degF to 100 degF }}
wall old {{ leg back 8'; thick 12\"; height -12\" to 9'; of concrete }}
section w {{ along old; thick 8\"; height 0 to 8'; base gravel }}
forms f {{ against w; sheath ply-3/4; {TIED} 8\"; ties rows 8\", 40\", space at most 12\", holds 4000 lbf }}
pour p {{ fill w; mix bag-80-lb; {FAST} }}
{cure}"
        ));
        part(design(&job, "w"), "T")
    };
    near(warmth(""), 80.0, 1e-6);
    near(warmth("cure k { of p; fresh 55 degF }"), 55.0, 1e-6);
    near(warmth("cure k { of p; fresh 90 degF }"), 80.0, 1e-6);
}

#[test]
fn braces_hold_a_push_along_the_top_of_a_low_form() {
    // 15 in of concrete with braces at 11 in (three quarters, to the inch below): 117.2 · 5 / 11 = 53.3 lb a foot of its thrust. The
    // least of wall forms, 100 lb a foot along the top, asks 100 · 15 / 11 = 136.4: 545.5 lbf every 4 ft.
    let text = |more: &str| {
        format!(
            "wall old {{ leg back 12'; thick 12\"; height -12\" to 8'; of concrete }}
section w {{ along old; thick 8\"; height 0 to 15\"; base gravel }}
forms f {{ against w; sheath ply-3/4; studs 2x4, space at most 8\"; walers 2x4, double; kick 2x4, on bank; {more}\
             brace 2x4, space at most 4', angle 30 deg, on stakes, holds 300 lbf; down 400 lbf, space at most 4' }}
pour p {{ fill w; mix bag-80-lb }}"
        )
    };
    let job = fine(&text(""));
    near(design(&job, "w").top.as_ref().unwrap().value.plf(), 136.36, 0.01);
    match of(&job.works.forms[0], Sort::Foot).unwrap().check.load {
        Figure::Force(force) => near(force.lbf(), 545.45, 0.05),
        other => panic!("{other:?}"),
    }
    assert!(found(&text("")).contains(&"form-foot"));
    assert!(order(&job).contains("against wind and a push along its top the braces are reckoned with 136 lbf/ft"));
    // Ties into the old wall hold the top too.
    let tied = fine(&text("ties rows 6\", space at most 2', holds 900 lbf; "));
    assert!(design(&tied, "w").top.is_none());
}

#[test]
fn a_side_cast_against_earth_ends_where_the_ground_does() {
    let text = |ground: &str, top: &str, more: &str| {
        format!(
            "line pad {{ leg left 4' }}
{ground}
section block {{ along pad; thick 3'; height -12\" to {top}; side earth }}
{more}
pour all {{ fill block; mix bag-80-lb }}"
        )
    };
    let told = |text: &str| {
        let job = compiled(text);
        let told: Vec<String> = job
            .problems
            .iter()
            .filter(|problem| problem.rule.name == "form-missing")
            .map(|problem| problem.says(System::Feet))
            .collect();
        told
    };
    let inside = "ground { inside 0 }";
    assert_eq!(
        told(&text(inside, "12\"", "")),
        [
            "the top 12\" of the outer face of `block` stand above the ground, which lies at 0\", and `side earth` gives them no form"
        ]
    );
    assert!(told(&text(inside, "0", "")).is_empty());
    // Where the file does not tell the ground of that side nothing is known of it.
    assert!(told(&text("", "12\"", "")).is_empty());
    assert!(told(&text("ground { outside 0 }", "12\"", "")).is_empty());
    // A slab whose edge lies before it closes it.
    assert!(told(&text(inside, "4\"", "slab yard { against pad; thick 4\"; top 4\" }")).is_empty());
}

#[test]
fn a_void_where_no_forms_stand_is_kept_empty_by_a_box_of_its_own() {
    let text = |forms: &str| {
        format!(
            "wall old {{ leg a 8'; thick 8\"; height -48\" to 20\"; of concrete }}
section low {{ along old.a; thick 9\"; height 0 to 24\" }}
void pipe {{ in low; on old.a 4' to 4'-10\"; height 8\" to 18\" }}
{forms}
pour p {{ fill low; mix bag-80-lb }}"
        )
    };
    let says = "No forms are written there: a box as large outside keeps it empty";
    assert!(order(&fine(&text(""))).contains(says));
    let forms = "forms box { against low; sheath ply-3/4; studs 2x4, space at most 12\" }";
    assert!(!order(&fine(&text(forms))).contains(says));
}

#[test]
fn what_is_not_held_on_one_side_names_it() {
    // A kerb on the rim of a slab: a floor within, the ground outside.
    let text = |on: &str| {
        format!(
            "line rim {{ leg left 18' }}
slab floor {{ against rim; thick 5\"; top 0 }}
ground {{ outside -4\"; inside 0 }}
section kerb {{ along rim; thick 6\"; height 0 to 8\" }}
forms box {{ against kerb; sheath ply-3/4; studs 2x4, space at most 24\"; down 200 lbf, space at most 4'; \
             kick 2x4, {on}, holds 300 lbf; brace 2x4, space at most 4', {on}, holds 300 lbf }}
pour p {{ fill kerb; mix bag-80-lb }}"
        )
    };
    let told = |on: &str| {
        let job = compiled(&text(on));
        let told = job.problems.iter().filter(|problem| problem.rule.name == "form-unheld");
        told.map(|problem| problem.says(System::Feet)).collect::<Vec<String>>()
    };
    assert_eq!(
        told("on floor"),
        [
            "the kicker of `kerb` is fixed to a floor, and on the inner side there is only ground",
            "the feet of the braces of `kerb` are fixed to a floor, and on the inner side there is only ground",
        ]
    );
    assert_eq!(
        told("on stakes"),
        [
            "the stakes of the kicker of `kerb` stand on concrete on the outer side: `floor` lies under them",
            "the stakes of the braces of `kerb` stand on concrete on the outer side: `floor` lies under them",
        ]
    );
}

#[test]
fn what_is_longer_than_a_board_is_joined_where_something_carries_it() {
    // 20 ft of form and boards of 12 ft. Past each end the walers reach a sheet's thickness and a cleat: 3/4 + 1 1/2 in. Braces stand
    // at 0, 30, … 240 in. The first waler ends on the farthest brace it reaches, at 120 in, and is 122 1/4 in long, as is what is left.
    // The one beside it ends a brace earlier, at 90 in: 92 1/4 in; the next reaches to 210 in, and 32 1/4 are left.
    let text = "wall old { leg back 20'; thick 12\"; height -12\" to 8'; of concrete }
section w { along old; thick 8\"; height 0 to 24\"; base gravel }
forms f { against w; sheath ply-3/4; studs 2x4, space at most 12\"; walers 2x4, double; kick 2x4, on bank; \
          brace 2x4, space at most 30\", angle 30 deg, on bank; down 300 lbf, space at most 30\" }
stock s { for 2x4; length 12'; price 6 USD }
pour p { fill w; mix bag-80-lb }";
    let job = fine(text);
    let forms = &job.works.forms[0];
    let walers = forms.parts.iter().filter(|part| part.sort == PartSort::Waler);
    let mut lengths: Vec<f64> =
        walers.flat_map(|part| vec![part.length.inches(); usize::try_from(part.count).unwrap()]).collect();
    lengths.sort_by(f64::total_cmp);
    assert_eq!(lengths.iter().sum::<f64>(), 2.0 * 244.5);
    assert_eq!(lengths, [32.25, 92.25, 120.0, 122.25, 122.25]);
    // Along a bank a kicker is joined on a stud: of those 12 in apart it reaches the one at 132 in.
    let kick: Vec<f64> =
        forms.parts.iter().filter(|part| part.sort == PartSort::Kick).map(|part| part.length.inches()).collect();
    assert_eq!(kick, [110.25, 134.25]);
    assert!(order(&job).contains("walers of f, joined on the middle of a brace"), "{}", order(&job));
    // Boards as long as the form are not joined.
    let long = fine(&text.replace("length 12'", "length 21'"));
    assert!(long.works.forms[0].joined.is_empty());
    assert!(!order(&long).contains("Longer than any board"));
}

//! What a finding says to write removes it, and brings no other in its place.

use batterboard::{
    problem::Problem,
    reports::{order, print},
    units::System,
};

use super::{compiled, found};

/// The one finding of a rule.
fn one(text: &str, rule: &str) -> Problem {
    let compiled = compiled(text);
    let all: Vec<&Problem> = compiled.problems.iter().filter(|problem| problem.rule.name == rule).collect();
    assert_eq!(all.len(), 1, "{rule}: {:#?}", compiled.problems);
    all[0].clone()
}

fn helps(problem: &Problem) -> String {
    problem.helps(System::Feet).unwrap()
}

fn changed(text: &str, from: &str, to: &str) -> String {
    assert_eq!(text.matches(from).count(), 1, "{from}");
    text.replace(from, to)
}

/// What stands between these two in the help.
fn between(problem: &Problem, before: &str, after: &str) -> String {
    let helps = helps(problem);
    let rest = helps.split_once(before).unwrap_or_else(|| panic!("no {before} in {helps}")).1;
    rest.split_once(after).unwrap().0.to_owned()
}

const KICKED: &str = r#"wall old { leg a 6'; thick 10"; height -12" to 30"; of concrete }
section s { along old.a; thick 6"; height 0 to 20"; base gravel }
forms box { against s; sheath ply-3/4; studs 2x4, space at most 12"; ties rows 4", 10", space at most 2', holds 1500 lbf; kick 2x4, on stakes, holds 1500 lbf }
pour all { fill s; mix bag-80-lb }"#;

#[test]
fn a_kicker_without_a_spacing_is_asked_for_that() {
    let told = one(KICKED, "form-unheld");
    assert_eq!(told.says(System::Feet), "nobody says how far apart the fixings of the kicker of `s` stand");
    let space = between(&told, "as in `", "`");
    let mended = changed(KICKED, "on stakes, holds 1500 lbf", &format!("on stakes, holds 1500 lbf, {space}"));
    assert!(!found(&mended).contains(&"form-unheld"), "{:?}", found(&mended));
}

const LOADED: &str = r#"wall old { leg a 8'; thick 8"; height -12" to 36"; of concrete }
section s { along old.a; thick 8"; height -12" to 24"; base gravel }
forms box { against s; sheath ply-3/4; studs 2x4, space at most 12"; brace 2x4, space at most 30", on stakes, holds 600 lbf; kick 2x4, on stakes, holds 500 lbf; down 400 lbf, space at most 30" }
pour all { fill s; mix bag-80-lb }"#;

/// Each load that is named holds, whatever was written before.
#[test]
fn fixings_are_told_a_load_that_would_do() {
    let compiled = compiled(LOADED);
    let mut text = LOADED.to_owned();
    let mut seen = 0;
    for problem in &compiled.problems {
        let (from, word) = match (problem.rule.name, problem.says(System::Feet)) {
            ("form-foot", says) if says.contains("brace feet") => ("on stakes, holds 600 lbf", "on stakes, holds"),
            ("form-foot", _) => ("on stakes, holds 500 lbf", "on stakes, holds"),
            ("form-lift", _) => ("down 400 lbf", "down"),
            _ => continue,
        };
        let load = between(problem, if word == "down" { "`down " } else { "holds " }, "`");
        text = changed(&text, from, &format!("{word} {load}"));
        seen += 1;
    }
    assert_eq!(seen, 3);
    assert!(!found(&text).iter().any(|rule| rule.starts_with("form-")), "{text}: {:?}", found(&text));
}

const HOOPS: &str = r#"wall pier { leg n 16"; corner outside; leg e 20"; corner outside; leg s 16"; corner outside; leg w 20"; corner outside; thick 8"; height 0 to 36"; of concrete }
section jacket { along pier; thick 6"; height 0 to 30"; base gravel }
bars hoops { size #3; along jacket; rows height 22"; offset 3 7/8" }
mix m { bag 80 lb, yields 0.60 ft3; strength 4000 psi }
pour p { fill jacket; mix m }"#;

/// A ring too small for the lap that is asked: neither finding sends to the other, and a closed tie round it has neither.
#[test]
fn a_ring_too_small_for_its_lap_is_not_sent_round() {
    let none = one(HOOPS, "no-room-for-lap");
    assert!(!helps(&none).contains("shorter `lap`"), "{}", helps(&none));
    let short = one(&changed(HOOPS, "7/8\" }", "7/8\"; lap 12\" }"), "lap-short");
    assert!(!helps(&short).contains("`lap 25\"`") && short.fix.is_none(), "{}", helps(&short));
    for told in [&none, &short] {
        assert!(helps(told).contains("a closed tie round it (`legs …, hook 135 deg`)"), "{}", helps(told));
    }
    let tie = "along pier.n; space at 8\"; from offset 3 7/8\", height 22\"; legs left 12\", in 28\", right 24\", out 28\", left 12\", hook 135 deg";
    let tied = found(&changed(HOOPS, "along jacket; rows height 22\"; offset 3 7/8\"", tie));
    assert!(!tied.contains(&"no-room-for-lap") && !tied.contains(&"lap-short"), "{tied:?}");
    // Where the ring is long enough, the lap that is asked is still named.
    let wide = HOOPS.replace("16\"", "4'").replace("20\"", "5'");
    let short = one(&changed(&wide, "7/8\" }", "7/8\"; lap 12\" }"), "lap-short");
    assert!(short.fix.is_some(), "{}", helps(&short));
}

const FLOOR: &str = r#"wall old { leg a 8'; corner inside; leg b 6'; thick 8"; height -12" to 40"; of concrete }
slab floor { against old.a, old.b; thick 5"; top 0 }
clear tube "heating tube" { along old.a 0 to 8'; offset 14"; radius 1" }
section curb { along old.a 0 to old.b 6'; thick 18"; height 0 to 12"; exposure dry }
holes anchors { into floor; along curb; rows offset 3"; inset 12", at corners 20"; space at most 18"; bore 5/8" by 3"; drill 3", wide 2"; fill glue }
bars pins { size #4; in anchors; out 8" }
resin glue { cartridge 10 fl-oz }
pour p { fill curb; mix bag-80-lb }"#;

#[test]
fn a_row_too_near_the_wall_in_a_floor_is_sent_out() {
    assert!(!found(FLOOR).contains(&"hole-edge"), "{:?}", found(FLOOR));
    let near = changed(FLOOR, "rows offset 3\"", "rows offset 1\"");
    let told = one(&near, "hole-edge");
    assert!(told.says(System::Feet).starts_with("the edge of the slab at the wall is 1\""), "{told:?}");
    let out = between(&told, "further out: ", " from the wall");
    assert_eq!(out, "3\"");
    assert!(!found(&changed(&near, "rows offset 1\"", &format!("rows offset {out}"))).contains(&"hole-edge"));
}

/// A tube along a row: no hole is moved past it, only the row can be.
#[test]
fn a_row_along_a_tube_is_moved_itself() {
    let along = changed(FLOOR, "rows offset 3\"", "rows offset 14\"");
    let told = one(&along, "hole-hits");
    assert!(!helps(&told).contains("avoid"), "{}", helps(&told));
    let pair = between(&told, "in `rows`; ", " out from the face");
    let both: Vec<&str> = pair.split(" or ").collect();
    assert_eq!(both.len(), 2, "{pair}");
    for offset in both {
        let rules = found(&changed(&along, "rows offset 14\"", &format!("rows offset {offset}")));
        assert!(!rules.contains(&"hole-hits") && !rules.contains(&"hole-near"), "{offset}: {rules:?}");
    }
    // A pipe that crosses the row is gone round.
    let across = changed(&along, "along old.a 0 to 8'; offset 14\"", "on old.a at 4'; offset 14\"");
    assert!(compiled(&across).problems.iter().all(|problem| {
        problem.rule.name != "hole-hits" || problem.helps(System::Feet).unwrap().contains("write `avoid tube by")
    }));
}

/// Two long bars side by side in one place are laid apart at once by as much as is asked between them.
#[test]
fn bars_side_by_side_are_spaced_at_once() {
    let text = r#"wall old { leg a 8'; thick 8"; height -12" to 30"; of concrete }
section s { along old.a; thick 10"; height 0 to 12"; exposure dry }
bars one { size #4; along s; rows height 6"; offset 3" }
bars two { size #4; along s; rows height 6"; offset 3 1/4" }
pour p { fill s; mix bag-80-lb }"#;
    let told = one(text, "bars-clash");
    let mend = between(&told, "`", "`");
    assert_eq!(told.fix.as_ref().unwrap().text, mend);
    let rules = found(&changed(text, "offset 3 1/4\"", &mend));
    assert!(!rules.contains(&"bars-clash") && !rules.contains(&"bars-close"), "{mend}: {rules:?}");
}

/// One wrong word, one finding.
#[test]
fn a_section_that_cannot_be_read_makes_no_lid_wrong() {
    let text = r#"wall old { leg a 8'; thick 8"; height -12" to 30"; of concrete }
section low { along old.a 0 to 4'; thick 8"; height -6" to 12" }
section high { along old.b 4' to 8'; thick 8"; height -6" to 20" }
pour p { fill low, high; mix bag-80-lb; lid LID }"#;
    for lid in ["low", "high", "low, high"] {
        let rules = found(&text.replace("LID", lid));
        assert_eq!(rules, ["leg-unknown"], "lid {lid}");
    }
}

/// A lap too long for two steps is told once, by the lap that does for both.
#[test]
fn a_lap_too_long_for_two_steps_is_told_once() {
    let text = r#"wall old { leg a 16'; thick 8"; height -24" to 40"; of concrete }
section up { along old.a 0 to 6'; thick 8"; height -4" to 16" }
section down { along old.a 6' to 11'; thick 8"; height -10" to 12" }
section last { along old.a 11' to 16'; thick 8"; height -16" to 10" }
bars rails { size #4; along up, down, last; rows height bottom + 4", top - 4"; offset 4"; lap 8' }
pour p { fill up, down, last; mix bag-80-lb }"#;
    let told = one(text, "lap-short");
    let lap = between(&told, "`lap ", "`");
    let rules = found(&changed(text, "lap 8'", &format!("lap {lap}")));
    assert!(!rules.contains(&"lap-short"), "{lap}: {rules:?}");
}

/// Holes of two legs that meet behind a corner are sent as far from it as the bars in them want to be from each other.
#[test]
fn holes_that_meet_are_sent_as_far_as_their_bars_want() {
    let text = r#"job "Mill" { show metric }
wall old { leg river 2400 mm; corner outside, turning 120 deg; leg gable 1500 mm; thick 400 mm; height -800 mm to 1600 mm; of concrete }
section s { along old.river 0 mm to old.gable 1500 mm; thick 200 mm; height -600 mm to 100 mm }
holes pins { into old; along s; rows height -450 mm, -200 mm; inset 150 mm, at corners 250 mm; space at most 400 mm; bore 16 mm by 150 mm }
bars pegs { size 12mm; in pins; out 105 mm }
pour p { fill s; mix bag-80-lb }"#;
    let far = |text: &str, rule: &str| {
        let compiled = compiled(text);
        let told = compiled.problems.iter().find(|problem| problem.rule.name == rule).unwrap();
        let helps = told.helps(System::Metric).unwrap();
        helps.split_once("`at corners ").unwrap().1.split_once('`').unwrap().0.to_owned()
    };
    let wide = far(text, "holes-meet");
    let rules = found(&changed(text, "at corners 250 mm", &format!("at corners {wide}")));
    assert!(!rules.contains(&"holes-meet") && !rules.contains(&"holes-close"), "{wide}: {rules:?}");
    // Where they only come near, the same is said.
    let near = changed(text, "at corners 250 mm", "at corners 280 mm");
    assert!(found(&near).contains(&"holes-close"), "{:?}", found(&near));
    assert_eq!(far(&near, "holes-close"), wide);
}

/// A hole beside one that was left empty is not told to be left empty too.
#[test]
fn a_hole_beside_an_empty_one_keeps_its_bar() {
    let text = r#"job "Barn" { show feet; start 2027-10-04 }
wall old { leg back 10'; thick 10"; height -24" to 30"; of concrete }
section s { along old.back; thick 8"; height -12" to 6" }
holes pins { into old; along s; rows height -6"; inset 6"; space at most 16"; bore 5/8" by 6" }
bars pegs { size #4; in pins; out 4" }
pour p { fill s; mix bag-80-lb }
step drill "Drill" { work drill pins }
record 2027-10-04 { hole pins.3 bore 5/8" by 6", moved right 1", hit 2" "steel" }"#;
    let told = one(text, "drilled-near");
    assert!(told.says(System::Feet).contains("which is empty"), "{told:?}");
    assert!(!helps(&told).contains("leave one"), "{}", helps(&told));
    assert!(helps(&told).starts_with("fill the empty hole"), "{}", helps(&told));
}

/// Cleats are nailed to an old wall where one stands there.
#[test]
fn cleats_are_nailed_to_an_old_wall_where_there_is_one() {
    let order_of = |text: &str| {
        let mut out = Vec::new();
        print::markdown(&order(&compiled(text)), &mut out).unwrap();
        String::from_utf8(out).unwrap()
    };
    let cleats = |text: &str| {
        let order = order_of(text);
        order.lines().find(|line| line.contains("cleats on both sides")).unwrap().to_owned()
    };
    assert!(cleats(LOADED).ends_with("nailed to the form, and at the old wall to something that is fixed there."));
    let free =
        LOADED.replace("wall old { leg a 8'; thick 8\"; height -12\" to 36\"; of concrete }", "line old { leg a 8' }");
    assert!(cleats(&free).ends_with("cleats on both sides nailed to the form."), "{}", cleats(&free));
}

/// A wall round an inside corner with a pipe's opening and two niches; the long bars at this offset, uprights 5 1/2 in out.
fn with_voids(offset: &str) -> String {
    format!(
        "job \"Void dowels\" {{ show feet; place outdoors }}
wall old {{ leg a 10'; corner inside; leg b 6'; thick 10\"; height -12\" to 40\"; of concrete }}
section low {{ along old.a 0 to 5'; thick 8\"; height -12\" to 10\"; exposure weather }}
section high {{ along old.a 5' to old.b 6'; thick 8\", on old.b 10\"; height -12\" to 24\"; exposure weather }}
void vent {{ in low; on old.a 2' to 3'; height -2\" to 4\" }}
void niche {{ in high; on old.a 7' to 7'-10\"; height 4\" to 12\"; offset 0 to 4\" }}
void slot {{ in high; on old.b 3' to 3'-8\"; height 14\" to 24\"; offset 5\" to 10\" }}
holes pins {{ into old; along low, high; rows height 0, 8\"; inset 6\", at corners 14\"; space at most 16\"; bore 5/8\" by 6\" }}
bars pegs {{ size #4; in pins; out 5\" }}
bars rails {{ size #4; along low, high; rows height -8\", 6\", top - 3\"; offset {offset}; ends 3\" }}
bars up {{ size #4; along high; space at most 16\"; inset 8\", at corners 14\"; from offset 5 1/2\", height -9\"; legs up 30\" }}
mix m {{ bag 80 lb, yields 0.60 ft3 }}
pour p {{ fill low, high; mix m }}"
    )
}

#[test]
fn each_void_that_dowels_stand_in_is_named() {
    let job = compiled(&with_voids("4 1/4\""));
    let outside = job.problems.iter().filter(|problem| problem.rule.name == "bar-outside");
    let pegs = outside.filter(|problem| problem.says(System::Feet).contains("`pegs`"));
    let helps: Vec<String> = pegs.filter_map(|problem| problem.helps(System::Feet)).collect();
    assert_eq!(helps.len(), 2, "{helps:?}");
    assert!(helps.iter().any(|help| help.contains("the void `vent`")), "{helps:?}");
    assert!(helps.iter().any(|help| help.contains("the void `niche`")), "{helps:?}");
}

#[test]
fn a_run_whose_offset_no_concrete_holds_is_not_sent_elsewhere() {
    let job = |offset: &str, high: &str| {
        format!(
            "wall old {{ leg back 8'; thick 8\"; height -12\" to 6'; of concrete }}
section low {{ along old.back 0 to 4'; thick 8\"; height 0 to 24\"; base gravel }}
section high {{ along old.back 4' to 8'; thick {high}; height 0 to 24\"; base gravel }}
bars rails {{ size #4; along low, high; rows height 6\"; offset {offset} }}
mix m {{ bag 80 lb, yields 0.60 ft3 }}\npour p {{ fill low, high; mix m }}"
        )
    };
    let nowhere = one(&job("8\"", "8\""), "bar-outside");
    assert!(helps(&nowhere).contains("here it lies from 0\" to 8\""), "{}", helps(&nowhere));
    let thinner = one(&job("8\"", "12\""), "bar-outside");
    assert!(helps(&thinner).contains("thinner or lower than elsewhere"), "{}", helps(&thinner));
}

#[test]
fn a_mend_of_cover_leads_into_no_void_and_into_no_bar() {
    let mends = |text: &str, rule: &str| -> Vec<String> {
        let job = compiled(text);
        let mine = job.problems.iter().filter(|problem| problem.rule.name == rule);
        mine.filter_map(|problem| problem.fix.as_ref()).map(|fix| fix.text.clone()).collect()
    };
    let moves = |text: &str| -> Vec<String> {
        mends(text, "cover-short").into_iter().filter(|text| text.starts_with("offset")).collect()
    };
    // The niche wants them at 5 3/4 in: there they would run into the slot, and into the uprights.
    let text = with_voids("4 1/4\"");
    let rules: Vec<&str> = compiled(&text).problems.iter().map(|problem| problem.rule.name).collect();
    assert!(rules.contains(&"cover-short"), "{rules:?}");
    assert_eq!(moves(&text), [""; 0]);
    let without = |words: &[&str]| {
        let kept = text.lines().filter(|line| !words.iter().any(|word| line.starts_with(word)));
        kept.collect::<Vec<_>>().join("\n")
    };
    // With neither it is offered; either of the two alone forbids it.
    assert_eq!(moves(&without(&["void slot", "bars up"])), ["offset 5 3/4\""]);
    assert_eq!(moves(&without(&["void slot"])), [""; 0]);
    assert_eq!(moves(&without(&["bars up"])), [""; 0]);
}

#[test]
fn a_key_is_not_told_as_left_empty() {
    let told = |more: &str, fill: &str| {
        let job = compiled(&format!(
            "job \"Key\" {{ show feet; place outdoors }}
line run {{ leg a 8' }}
section foot {{ along run; offset 0 to 16\"; height -24\" to -16\"; base soil }}
void key {{ in foot; on run.a 0 to 8'; height -18\" to -16\"; offset 6\" to 10\" }}
{more}
mix m {{ bag 80 lb, yields 0.60 ft3 }}
pour one {{ fill foot; mix m }}
pour two {{ fill {fill}; mix m }}"
        ));
        let mut out = Vec::new();
        print::markdown(&order(&job), &mut out).unwrap();
        let out = String::from_utf8(out).unwrap();
        out.lines().find(|line| line.contains(", key:**")).unwrap().to_owned()
    };
    let stem = "section stem { along run; offset 4\" to 12\"; height -16\" to 8\" }";
    let runs_in = told(stem, "stem");
    assert!(
        runs_in.starts_with("**Boxed out, key:**") && runs_in.contains("the concrete of stem runs in"),
        "{runs_in}"
    );
    // What it says to write makes it a part of the figures.
    let plug = format!("{stem}\nsection plug {{ along run; offset 6\" to 10\"; height -18\" to -16\" }}");
    let filled = told(&plug, "stem, plug");
    assert!(
        filled.starts_with("**Boxed out, then filled, key:**") && filled.contains("until plug is cast"),
        "{filled}"
    );
    // A wall beside it leaves it empty.
    let beside = told("section stem { along run; offset 10\" to 16\"; height -16\" to 8\" }", "stem");
    assert!(beside.starts_with("**Left empty, key:**"), "{beside}");
}

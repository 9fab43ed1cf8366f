//! Sections as they were measured: what is planned at a place, what is off there, what is left over the steel.

use batterboard::{
    compile::Compiled,
    concrete::{Planned, planned_at},
    schema::{BlockId, LegRef},
    units::Length,
};

use super::{compiled, fine, found};

/// A wall with two legs, a section thicker on the second, with a notch in its top and one in its bottom.
const RING: &str = "job \"Net loft\" { start 2027-05-03; show feet }
wall old { leg back 10'; corner outside; leg side 6'; thick 8\"; height -12\" to 40\" }
section ring { along old.back 2' to old.side 4'; thick 8\", on old.side 10\"; height 0 to 24\" }
section low { along old.back 0 to 2'; thick 8\"; height 0 to 12\" }
void notch { in ring; on old.back 4' to 5'; height 18\" to 24\" }
void drain { in ring; on old.side 1' to 2'; height 0 to 4\" }
void pocket { in ring; on old.back 7' to 8'; height 18\" to 24\"; offset 4\" to 8\" }
void gap { in ring; on old.side 3' to 3'-6\"; height 0 to 24\" }
";

fn id(job: &Compiled, name: &str) -> BlockId {
    (0..1000).map(BlockId).find(|id| job.job.name(*id) == name).unwrap()
}

/// Thickness, tops and bottoms in inches, at a leg (0 or 1) and a station in inches.
fn at(job: &Compiled, section: &str, place: Option<(u16, i64)>) -> Option<[Vec<i64>; 3]> {
    let works = &job.works;
    let placed = works.sections.find(id(job, section)).unwrap();
    let leg = |leg| works.standing.place(LegRef { wall: id(job, "old"), leg }).unwrap();
    let place = place.map(|(on, station)| (leg(on), Length::INCH * station));
    let found = planned_at(&job.job, &works.standing, &works.sections, placed, place)?;
    let inches = |all: Vec<Planned>| all.iter().map(|one| one.value.nm() / Length::INCH.nm()).collect();
    Some([found.thick, found.top, found.bottom].map(inches))
}

#[test]
fn a_section_is_what_its_leg_and_its_voids_say() {
    let job = fine(RING);
    let at = |place| at(&job, "ring", place);
    let plain = |thick: i64| Some([vec![thick], vec![24], vec![0]]);
    assert_eq!(at(Some((0, 36))), plain(8));
    assert_eq!(at(Some((1, 30))), plain(10));
    assert_eq!(at(Some((1, 40))), None, "in the gap nothing is there");
    assert_eq!(at(Some((1, 42))), plain(10), "at its end something is");
    // The corner is the end of one leg and the beginning of the other.
    assert_eq!(at(Some((0, 120))), Some([vec![8, 10], vec![24], vec![0]]));
    assert_eq!(at(Some((1, 0))), at(Some((0, 120))));
    // In the notch it is lower, at its end either may be meant; a pocket leaves some of the top.
    assert_eq!(at(Some((0, 54))), Some([vec![8], vec![18], vec![0]]));
    assert_eq!(at(Some((0, 60))), Some([vec![8], vec![24, 18], vec![0]]));
    assert_eq!(at(Some((0, 90))), plain(8));
    assert_eq!(at(Some((1, 18))), Some([vec![10], vec![24], vec![4]]));
    assert_eq!(at(Some((1, 12))), Some([vec![10], vec![24], vec![0, 4]]));
}

#[test]
fn where_no_place_is_said_all_there_is_may_be_meant_and_beside_its_ends_nothing() {
    let job = fine(RING);
    assert_eq!(at(&job, "ring", None), Some([vec![8, 10], vec![24, 18], vec![0, 4]]));
    assert_eq!(at(&job, "low", None), Some([vec![8], vec![12], vec![0]]));
    // Where two sections meet, each has its own end.
    assert_eq!(at(&job, "ring", Some((0, 24))), Some([vec![8], vec![24], vec![0]]));
    assert_eq!(at(&job, "low", Some((0, 24))), Some([vec![8], vec![12], vec![0]]));
    for (section, leg, station) in [("ring", 0, 23), ("ring", 1, 49), ("ring", 1, -1), ("low", 0, 25), ("low", 1, 6)] {
        assert_eq!(at(&job, section, Some((leg, station))), None, "{section} {leg} {station}");
    }
}

/// The measures of `ring`, each with what it was held against, in sixteenths of an inch, and whether it is off.
fn held(record: &str) -> Vec<(&'static str, i64, bool)> {
    let job = compiled(&format!("{RING}{record}"));
    let sixteenths = |length: Length| length.nm() / (Length::INCH.nm() / 16);
    let sizes = &job.works.sizes.sizes;
    sizes.iter().map(|size| (size.what.clause(), sixteenths(size.planned.value), size.is_off())).collect()
}

#[test]
fn just_at_a_step_the_nearer_is_meant() {
    let measured = |text: &str| held(&format!("record 2027-06-02 {{ measured ring at old.back {text} }}"));
    // Up to 12 in thick: 3/8 in more, 1/4 in less. From 8 to 10 in the middle is 9 in; it is off either way.
    assert_eq!(measured("10', thick 8 3/8\""), [("thick", 8 * 16, false)]);
    assert_eq!(measured("10', thick 9 3/4\""), [("thick", 10 * 16, false)]);
    assert_eq!(measured("10', thick 9 11/16\""), [("thick", 10 * 16, true)]);
    assert_eq!(measured("9'-11\", thick 9 3/4\""), [("thick", 8 * 16, true)]);
    // Tops half an inch.
    assert_eq!(measured("5', top 18 1/2\""), [("top", 18 * 16, false)]);
    assert_eq!(measured("5', top 23 1/2\""), [("top", 24 * 16, false)]);
    assert_eq!(measured("4'-6\", top 23 1/2\""), [("top", 18 * 16, true)]);
    assert_eq!(measured("3', leans 1\", bottom 3/4\""), [("bottom", 0, false), ("leans", 0, false)]);
    assert_eq!(measured("3', leans 1 1/16\", bottom -13/16\""), [("bottom", 0, true), ("leans", 0, true)]);
}

#[test]
fn what_was_measured_again_at_the_same_place_counts() {
    let low = "record 2027-06-02 { measured ring at old.back 3', thick 8\", top 23\" }\n";
    assert_eq!(held(low), [("thick", 128, false), ("top", 384, true)]);
    let packed = "record 2027-06-09 { measured ring at old.back 3', top 23 3/4\" \"packed up\" }\n";
    let all = [("thick", 128, false), ("top", 384, false), ("top", 384, false)];
    assert_eq!(held(&format!("{low}{packed}")), all);
    assert_eq!(held(&format!("{packed}{low}")), all, "records may stand in any order");
    // Beside it, it is another measure; on one day one of the two is not true.
    let beside = packed.replace("3',", "3'-1\",");
    assert_eq!(held(&format!("{low}{beside}"))[1], ("top", 384, true));
    let twice = format!("{RING}{low}{}", packed.replace("06-09", "06-02"));
    assert_eq!(found(&twice), ["top-off", "record-twice"]);
    // Without a place nobody knows that it is the same.
    let anywhere = "record 2027-06-02 { measured low top 11\" }\nrecord 2027-06-03 { measured low top 12\" }\n";
    assert_eq!(held(anywhere), [("top", 192, true), ("top", 192, false)]);
}

#[test]
fn measured_as_planned_nothing_is_off_wherever_it_is() {
    let job = fine(RING);
    let mut asked = 0;
    for (leg, name, end) in [(0, "back", 120), (1, "side", 72)] {
        for station in 0..=end {
            let Some([thick, top, bottom]) = at(&job, "ring", Some((leg, station))) else { continue };
            for ((thick, top), bottom) in thick.iter().zip(top.iter().cycle()).zip(bottom.iter().cycle()) {
                let record = format!(
                    "record 2027-06-02 {{ measured ring at old.{name} {station}\", thick {thick}\", top {top}\", bottom {bottom}\", leans 0 }}"
                );
                let held = held(&record);
                assert_eq!(held.iter().map(|one| one.1).collect::<Vec<_>>(), [thick * 16, top * 16, bottom * 16, 0]);
                assert!(held.iter().all(|one| !one.2), "{record}");
                asked += 1;
            }
        }
    }
    assert!(asked > 140, "{asked}");
}

/// Rails 5 1/2 in off the old face, in a wall of 8 in: 2 1/4 in of cover.
fn cover(rest: &str) -> Vec<String> {
    let job = compiled(&format!(
        "job \"Net loft\" {{ start 2027-05-03; show feet }}
wall old {{ leg back 10'; thick 8\"; height -12\" to 40\"; of concrete }}
section low {{ along old.back; thick 8\"; height 0 to 20\"; exposure weather }}
mix bagged {{ bag 80 lb, yields 0.60 ft3; stone 1/2\" }}
pour all {{ fill low; mix bagged }}
bars rails {{ size #4; along low; rows height 8\"; offset 5 1/2\" }}
record 2027-06-02 {{ measured low at old.back 3', {rest} }}"
    ));
    let of_rule = job.problems.iter().filter(|problem| problem.rule.name == "cover-lost");
    of_rule.map(|problem| problem.says(job.job.system())).collect()
}

/// Each help says how its finding is let pass; written so, it is.
#[test]
fn what_the_help_says_to_accept_is_accepted() {
    let names = ["size-off", "top-off", "lean-off", "cover-lost"];
    let texts = names.map(|name| std::fs::read_to_string(format!("tests/mistakes/{name}.job")).unwrap());
    let metric = texts.clone().map(|text| text.replace("show feet", "show metric"));
    let mut asked = 0;
    for text in texts.into_iter().chain(metric) {
        let job = compiled(&text);
        for problem in job.problems.iter().filter(|problem| names.contains(&problem.rule.name)) {
            let help = problem.helps(job.job.system()).unwrap();
            let line = help.split('`').find(|part| part.starts_with("accept ")).unwrap();
            let says = |job: &Compiled| {
                let open = job.problems.iter().filter(|one| one.rule == problem.rule);
                open.map(|one| one.says(job.job.system())).collect::<Vec<_>>()
            };
            let mended = compiled(&format!("{text}\n{line}\n"));
            let said = problem.says(job.job.system());
            assert!(says(&job).contains(&said) && !says(&mended).contains(&said), "{line}: {:?}", says(&mended));
            assert!(!mended.problems.iter().any(|one| one.rule.name.starts_with("accept-")), "{line}");
            asked += 1;
        }
    }
    assert!(asked >= 20, "{asked}");
}

#[test]
fn what_is_missing_is_missing_from_the_cover() {
    // Faces to the weather want 1 1/2 in over a #4: ACI 318-19 Table 20.5.1.3.1.
    assert!(cover("thick 7 1/4\"").is_empty(), "1 1/2 in are left");
    assert_eq!(
        cover("thick 7 3/16\""),
        ["1 7/16\" of cover is left over `rails` at the form; 1 1/2\" is wanted there"]
    );
    assert_eq!(cover("thick 5 3/4\""), ["nothing is left over `rails` at the form; 1 1/2\" of cover is wanted there"]);
    // 20 in less 8 in and half a bar are 11 3/4 in under the top, 7 3/4 in over the bottom, where the ground wants 3 in.
    assert_eq!(cover("top 9 1/2\""), ["1 1/4\" of cover is left over `rails` at the top; 1 1/2\" is wanted there"]);
    assert_eq!(
        cover("bottom 5\""),
        ["2 3/4\" of cover is left over `rails` at the ground under it; 3\" is wanted there"]
    );
    for more in ["thick 12\"", "top 30\"", "bottom -6\"", "leans 4\""] {
        assert!(cover(more).is_empty(), "{more}");
    }
}

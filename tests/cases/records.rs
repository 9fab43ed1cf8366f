//! What really happened, laid over the plan: figures worked by hand.

use batterboard::{
    buying::Line,
    compile::{Compiled, compile_text},
    drawings::{self, Flags},
    language::Limits,
    learning::{Subject, lessons},
    ledger::Figure,
    reports::{self, Paper, print},
    source::Shelf,
    units::{Length, System},
};

use super::{compiled, found};

const DAY: i64 = 86_400;

/// A wall of 10 ft, holes at 6 in and then every 13 1/2 in: 9 of them, 5 in deep, with #4 bars.
fn holes(record: &str) -> Compiled {
    compiled(&format!(
        "job \"Reed Point\" {{ start 2027-05-03; show feet }}
wall old {{ leg back 10'; thick 8\"; height -12\" to 40\" }}
section low {{ along old.back; thick 8\"; height 0 to 20\" }}
holes pins {{ into old; along low; rows height 6\"; inset 6\"; space at most 14\"; bore 5/8\" by 5\"; fill glue }}
bars pegs {{ size #4; in pins; out 5\" }}
resin glue {{ cartridge 22 fl-oz }}
{record}"
    ))
}

fn says(job: &Compiled, rule: &str) -> Vec<String> {
    let problems = job.problems.iter().filter(|problem| problem.rule.name == rule);
    problems.map(|problem| problem.says(job.job.system())).collect()
}

fn inches(sixteenths: i64) -> Length {
    Length::from_nm(Length::INCH.nm() * sixteenths / 16)
}

#[test]
fn a_shallow_hole_keeps_its_number_and_takes_less_resin() {
    let plan = holes("");
    let job = holes("record 2027-05-10 { hole pins.3 bore 5/8\" by 4\" }");
    let done = &job.works.holes_done;
    assert_eq!(done.drilled.len(), 1);
    let one = &done.drilled[0];
    assert_eq!((one.hole.number, one.deep, one.hole.station), (3, inches(64), inches(33 * 16)));
    // pi / 4 (0.625^2 - 0.5^2) in2 is 0.110447 in2; eight holes of 5 in and one of 4 in are 44 in: 4.8597 in3.
    let resin = done.resin.values().next().unwrap().cubic_inches();
    assert!((resin - 44.0 * 0.110_446_6).abs() < 1e-4, "{resin}");
    assert_eq!(job.works.fills[0].net, plan.works.fills[0].net, "the plan stays the plan");
    assert_eq!(says(&job, "hole-shallow"), ["hole 3 is 4\" deep, 5\" was planned; its bar goes in 1\" less"]);
    // Four diameters of a #4 are 2 in.
    let short = holes("record 2027-05-10 { hole pins.3 by 1 1/2\" }");
    assert!(
        says(&short, "hole-shallow")[0].ends_with("the rules for its bar begin at 2\""),
        "{:?}",
        says(&short, "hole-shallow")
    );
    // Drilled deeper on a later day it is as deep as it is now; on the same day one of the two is not true.
    let later = "record 2027-05-11 { hole pins.3 by 5\" }\nrecord 2027-05-10 { hole pins.3 by 4\" }";
    assert!(says(&holes(later), "hole-shallow").is_empty());
    assert_eq!(says(&holes(&later.replace("11 {", "10 {")), "record-twice").len(), 1);
}

#[test]
fn a_lost_hole_leaves_a_gap_and_says_where_another_may_go() {
    let job = holes("record 2027-05-10 { hole pins.4 hit 2\" }");
    // One lost hole is one finding, and it tells of the gap.
    assert!(says(&job, "row-gap").is_empty());
    let lost = job.problems.iter().find(|problem| problem.rule.name == "hole-lost").unwrap();
    assert_eq!(
        lost.label_says(&lost.labels[0], job.job.system()),
        "from hole 3 to hole 5 there are 27\" now; 14\" is the most"
    );
    let beside = job.works.holes_done.drilled[0].beside.unwrap();
    // Three widths of 5/8 in are 1 7/8 in, up to a quarter of an inch: 2 in. To the right the gap before it would be 15 1/2 in, to
    // the left that after it.
    assert_eq!((beside.least, beside.place), (inches(32), None));
    // Drilled anew 1/2 in further the two bores of 5/8 in run into each other.
    let near = holes("record 2027-05-10 { hole pins.4 hit 2\", moved right 1/2\" }");
    assert!(says(&near, "hole-lost").is_empty());
    assert_eq!(says(&near, "drilled-near"), ["hole 4 runs into pins.4: their axes come within 1/2\""]);
    assert!(says(&near, "row-gap").is_empty(), "13 1/2 in and half an inch are 14 in");
    // The first hole has room beside it: the next is 13 1/2 in away.
    let first = holes("record 2027-05-10 { hole pins.1 abandoned }");
    assert!(first.works.holes_done.drilled[0].beside.unwrap().place.is_some());
}

#[test]
fn a_hole_through_the_wall_and_one_near_its_top_are_told() {
    assert_eq!(
        says(&holes("record 2027-05-10 { hole pins.3 by 8\" }"), "drilled-through"),
        ["hole 3 came out at the back"]
    );
    let thin = holes("record 2027-05-10 { hole pins.3 by 6 1/2\" }");
    assert_eq!(says(&thin, "drilled-through"), ["1 1/2\" of the old work is left behind hole 3; 2\" is usual"]);
    // Level 6 in, top of the wall 40 in: 32 in further up 2 in are left, and six diameters are 3 in.
    let high = holes("record 2027-05-10 { hole pins.3 moved up 32\" }");
    assert_eq!(says(&high, "drilled-near"), ["hole 3 is 2\" from an edge of the work; 3\" is the least"]);
    assert_eq!(says(&holes("record 2027-05-10 { hole pins.3 moved in 1\" }"), "moved-way").len(), 1);
    assert_eq!(says(&holes("record 2027-05-10 { hole pins.10 by 5\" }"), "hole-unknown").len(), 1);
}

/// A job with a look and a pour, forms off after three days.
fn days(record: &str) -> Compiled {
    let text = format!(
        "job \"Reed Point\" {{ start 2027-05-03; show feet; weather 52 degF to 66 degF, humidity 60%, wind 5 mph }}
wall old {{ leg back 10'; thick 8\"; height -12\" to 40\" }}
section low {{ along old.back 0 to 6'; thick 8\"; height 0 to 20\" }}
mix bagged {{ bag 80 lb, yields 0.50 ft3; strength 4000 psi }}
pour fill {{ fill low; mix bagged; waste 8% }}
cure keep {{ of fill; wrap for 14 days; strip after 3 days; load after 14 days }}
forms face {{ against low; sheath ply-3/4; studs 2x4, space at most 12\"; brace 2x4, space at most 24\", angle 30 deg, on bank; kick 2x4, on bank; down 500 lbf, space at most 24\" }}
step form \"Build the forms\" {{ work form face; takes 3 h }}
look seen \"The inspector looks\" {{ sees face; before cast; by inspector }}
step cast \"Mix and place\" {{ work pour fill; takes 3 h }}
step strip \"Take the forms off\" {{ work strip face; takes 1 h }}
{record}"
    );
    compile_text(&Shelf::default(), "x.job", &text, &Limits::default())
}

fn start(job: &Compiled, name: &str) -> i64 {
    let days = job.works.days.as_ref().unwrap();
    days.done.iter().find(|dated| job.job.name(dated.node) == name).unwrap().placed.start
}

#[test]
fn a_pour_on_its_real_day_moves_what_comes_after_it() {
    let poured =
        "record 2027-05-10 { looked seen passed; poured fill from 9:00 to 12:00, used 15 bags, concrete 61 degF }";
    let job = days(poured);
    assert_eq!(start(&job, "cast"), 7 * DAY + 9 * 3600);
    // Three days after noon of the 10th is noon of the 13th, a Thursday.
    assert_eq!(start(&job, "strip"), 10 * DAY + 12 * 3600);
    assert_eq!(job.works.cures[0].start.hours(), 7.0 * 24.0 + 12.0);
    assert!((job.works.cures[0].fresh.unwrap().0.deg_f() - 61.0).abs() < 1e-9);
    assert_eq!(job.works.planned_days.as_ref().map(|days| days.start.to_string()), Some("2027-05-03".to_owned()));
    // 6 ft by 8 in by 20 in are 6 2/3 ft3; 15 bags of 0.5 ft3 are 7.5 ft3: an eighth more.
    let batterboard::ledger::Figure::Ratio(waste) = job.works.ledger.find("fill.waste.done").unwrap().value else {
        panic!()
    };
    assert!((waste.fraction() - 0.125).abs() < 1e-9, "{waste:?}");
    // 24 h at 50 degF: off on the 11th at the earliest.
    let strip = |day: &str| says(&days(&format!("{poured}\nrecord {day} {{ done strip }}")), "strip-early").len();
    assert_eq!((strip("2027-05-10"), strip("2027-05-11")), (1, 0));
}

#[test]
fn work_past_a_look_is_told_and_a_refused_look_holds_it() {
    let missed = |record: &str| says(&days(record), "look-missed");
    assert_eq!(
        missed("record 2027-05-10 { poured fill }"),
        ["`cast` went on on 2027-05-10, and nothing says that `seen` was passed"]
    );
    assert_eq!(missed("record 2027-05-10 { poured fill }\nrecord 2027-05-12 { looked seen passed }").len(), 1);
    assert!(missed("record 2027-05-10 { poured fill }\nrecord 2027-05-09 { looked seen passed }").is_empty());
    let asked = |answer: &str| {
        let ask = format!("ask water \"Where does it go?\" {{ before cast; {answer} }}\n");
        says(&days(&(ask + "record 2027-05-10 { looked seen passed; poured fill; done cast }")), "ask-passed")
    };
    assert_eq!(asked(""), ["`cast` went on on 2027-05-10, and nobody has answered `water`"]);
    let late = ["`cast` went on on 2027-05-10, and `water` was answered on 2027-05-11 only"];
    assert_eq!(asked("answered 2027-05-11 \"down the drain\""), late);
    assert!(asked("answered 2027-05-10 \"down the drain\"").is_empty());
    // A step is finished once a day, too.
    let twice = |took: &str| {
        says(&days(&format!("record 2027-05-04 {{ done form, took 2 h; done form{took} }}")), "record-twice")
    };
    assert_eq!((twice(", took 3 h").len(), twice(", took 2 h").len(), twice("").len()), (1, 0, 0));
    let refused = days("record 2027-05-10 { looked seen refused \"a tie is missing\" }");
    assert_eq!(says(&refused, "look-refused").len(), 1);
    assert!(start(&refused, "cast") > start(&refused, "seen") && start(&refused, "seen") >= 8 * DAY);
    let order = days("record 2027-05-12 { done form }\nrecord 2027-05-10 { looked seen passed; poured fill }");
    assert_eq!(says(&order, "record-order").len(), 1);
}

#[test]
fn the_order_of_records_changes_nothing() {
    let (one, two) = (
        "record 2027-05-10 { hole pins.3 by 4\"; hole pins.7 abandoned }",
        "record 2027-05-11 { hole pins.3 by 4 1/2\" }",
    );
    let (forth, back) = (holes(&format!("{one}\n{two}")), holes(&format!("{two}\n{one}")));
    let depths =
        |job: &Compiled| job.works.holes_done.drilled.iter().map(|one| (one.hole, one.deep)).collect::<Vec<_>>();
    assert_eq!(depths(&forth), depths(&back));
    assert_eq!(says(&forth, "hole-shallow"), says(&back, "hole-shallow"));
}

#[test]
fn finished_jobs_teach_their_median() {
    let job = |minutes: u32, bags: u32| {
        days(&format!(
            "record 2027-05-10 {{ looked seen passed; poured fill from 9:00 to 12:00, used {bags} bags }}
holes pins {{ into old; along old.back; rows height 30\"; inset 6\"; space at most 14\"; bore 5/8\" by 5\" }}
step drill \"Drill\" {{ work drill pins }}
record 2027-05-05 {{ done drill, took {minutes} min }}"
        ))
    };
    // 9 holes in 54, 63 and 90 minutes: 6, 7 and 10 minutes each.
    let jobs = [job(54, 14), job(90, 16), job(63, 15)];
    let given: Vec<_> = jobs.iter().map(|job| (&job.job, &job.works)).collect();
    let all = lessons(&given);
    let drill = all.iter().find(|lesson| matches!(lesson.subject, Subject::Drill(_))).unwrap();
    assert_eq!(drill.range.map(|rate| rate.value()), [360.0, 420.0, 600.0]);
    assert_eq!((drill.things, drill.is_enough(), drill.median().up(1, 60)), (27, true, 7));
    // 7, 7.5 and 8 ft3 into 6 2/3 ft3: 5%, 12.5% and 20% more.
    let waste = all.iter().find(|lesson| lesson.subject == Subject::ConcreteWaste).unwrap();
    assert!((waste.median().value() - 0.125).abs() < 1e-6);
    assert_eq!(waste.median().up(100, 1), 13);
    // Two jobs: halfway, and no habit yet.
    let two = lessons(&given[..2]);
    let drill = two.iter().find(|lesson| matches!(lesson.subject, Subject::Drill(_))).unwrap();
    assert_eq!((drill.median().value(), drill.is_enough()), (480.0, false));
}

#[test]
fn a_record_that_says_nothing_readable_is_told() {
    let rules =
        |record: &str| found(&format!("wall old {{ leg back 10'; thick 8\"; height -12\" to 40\" }}\n{record}"));
    for record in [
        "record { note \"x\" }",
        "record soon { note \"x\" }",
        "record 2027-02-30 { note \"x\" }",
        "record 2027-05-10 extra { note \"x\" }",
    ] {
        assert!(!rules(record).is_empty(), "{record}");
    }
    for record in [
        "hole pins by 5\"",
        "hole pins.0 by 5\"",
        "hole old.3 by 5\"",
        "used 0 of glue",
        "done old",
        "poured fill used 3 lb",
    ] {
        let job = holes(&format!("record 2027-05-10 {{ {record} }}"));
        assert!(!job.job.broken.is_empty(), "{record}");
    }
}

/// Two sections on each other, each with a pour of its own, seen in between.
fn two_pours(records: &str) -> Compiled {
    compiled(&format!(
        "job \"Reed Point\" {{ start 2027-05-03; show feet }}
wall old {{ leg back 10'; thick 8\"; height -12\" to 40\" }}
section low {{ along old.back; thick 8\"; height 0 to 20\" }}
section high {{ along old.back; thick 8\"; height 20\" to 30\" }}
bars rails {{ size #4; along low; rows height 4\", 12\"; offset 4\" }}
pour first {{ fill low; mix bag-80-lb }}
pour second {{ fill high; mix bag-80-lb }}
step tie \"Tie\" {{ work place rails }}
look seen \"The inspector looks\" {{ sees rails; before cast }}
step cast \"Pour\" {{ work pour first }}
step cast-on \"Pour on\" {{ work pour second; after cast }}
{records}"
    ))
}

#[test]
fn a_refused_look_is_told_as_refused() {
    let refused =
        "record 2027-05-10 { looked seen by inspector, refused \"tie row 2\" }\nrecord 2027-05-10 { poured first }";
    let job = two_pours(refused);
    assert_eq!(
        says(&job, "look-missed"),
        ["`cast` went on on 2027-05-10, and `seen` was refused on 2027-05-10 (inspector: tie row 2)"]
    );
    let missed = job.problems.iter().find(|problem| problem.rule.name == "look-missed").unwrap();
    assert_eq!(missed.labels.len(), 2, "where it was refused too");
    assert!(missed.helps(job.job.system()).unwrap().contains("the record of the day it is seen again"));
    // What it says to write is taken: seen again, it is only late.
    let again = two_pours(&format!("{refused}\nrecord 2027-05-12 {{ looked seen passed }}"));
    assert!(says(&again, "record-twice").is_empty());
    assert_eq!(says(&again, "look-missed"), ["`cast` went on on 2027-05-10, and `seen` was passed on 2027-05-12 only"]);
    // Both on one day contradict each other: nothing else hangs on it.
    let both = two_pours(&format!("{refused}\nrecord 2027-05-10 {{ looked seen passed }}"));
    assert_eq!((says(&both, "record-twice").len(), says(&both, "look-missed").len()), (1, 0));
}

#[test]
fn what_a_lost_hole_met_stays_in_its_record() {
    let job = holes("record 2027-05-10 { hole pins.1 hit 2\" }");
    let lost = job.problems.iter().find(|problem| problem.rule.name == "hole-lost").unwrap();
    let help = lost.helps(job.job.system()).unwrap();
    let (_, rest) = help.split_once("write `").unwrap();
    let (written, _) = rest.split_once('`').unwrap();
    assert!(written.starts_with("hole pins.1 hit 2\", moved "), "{help}");
    let mended = holes(&format!("record 2027-05-10 {{ {written} }}"));
    assert!(says(&mended, "hole-lost").is_empty());
    let done = &mended.works.holes_done.drilled[0];
    assert_eq!((done.fact.hit, done.now.is_some()), (Some(inches(32)), true));
}

#[test]
fn no_more_bars_are_missing_than_there_are() {
    let job = two_pours("record 2027-05-10 { short rails by 4; short rails by 5 }");
    assert_eq!(says(&job, "bars-short"), ["`rails` has 2 bars; 9 of them cannot be missing"]);
    let left_out = job.works.facts.left_out.values().next().unwrap();
    assert_eq!((left_out.count, left_out.parts.iter().map(|part| part.value).sum::<u64>()), (2, 2));
    let few = two_pours("record 2027-05-10 { short rails by 1 }");
    assert_eq!(few.works.facts.left_out.values().next().unwrap().count, 1);
    assert!(few.works.facts.too_many.is_empty());
}

#[test]
fn a_bar_goes_with_its_hole() {
    let left_out = |record: &str| {
        let job = holes(&format!("record 2027-05-10 {{ hole pins.4 abandoned; hole pins.5 hit 2\"{record} }}"));
        let count = job.works.facts.left_out.values().next().map(|used| used.count);
        assert_eq!(job.works.ledger.find("pegs.left-out").map(|entry| entry.value), count.map(Figure::Count));
        (count.unwrap(), says(&job, "bars-short"))
    };
    // Nothing is set in a hole that is left empty, whether somebody counts it or not.
    assert_eq!(left_out(""), (2, Vec::new()));
    assert_eq!(left_out("; short pegs by 1"), (2, Vec::new()));
    assert_eq!(left_out("; short pegs by 2"), (2, Vec::new()));
    assert_eq!(left_out("; short pegs by 3"), (3, vec!["3 of the 9 bars of `pegs` are left out".to_owned()]));
    // Learned from nine holes, of which two are empty: seven bars.
    let job = holes(
        "step drill \"Drill\" { work drill pins }\nstep set \"Set\" { work set pegs }
record 2027-05-10 { hole pins.4 abandoned; hole pins.5 hit 2\"; done set, took 35 min }",
    );
    let lesson = lessons(&[(&job.job, &job.works)])
        .into_iter()
        .find(|lesson| matches!(lesson.subject, Subject::Set(_)))
        .unwrap();
    assert_eq!(lesson.things, 7);
}

#[test]
fn a_record_of_a_wrong_year_is_told_as_that_alone() {
    let found = |day: &str| {
        let job = two_pours(&format!(
            "ask lines \"Lines?\" {{ about lines; answered 2027-05-04 \"none\"; before tie }}
record 2027-05-10 {{ looked seen passed; done tie }}\nrecord {day} {{ poured first; measured low thick 8\" }}"
        ));
        let mine = job.problems.iter().map(|problem| problem.rule.name);
        mine.filter(|name| !["no-steps", "not-scanned", "lines-unasked"].contains(name)).collect::<Vec<_>>()
    };
    let right = found("2027-05-12");
    let wrong = found("2026-05-12");
    assert_eq!(wrong.iter().filter(|name| !right.contains(name)).copied().collect::<Vec<_>>(), ["record-early"]);
}

#[test]
fn a_look_without_a_verdict_is_told_once() {
    let job = two_pours("record 2027-05-10 { looked seen by inspector \"go on\" }\nrecord 2027-05-11 { poured first }");
    assert_eq!(says(&job, "verdict-missing").len(), 1);
    assert!(says(&job, "look-missed").is_empty(), "{:?}", says(&job, "look-missed"));
}

#[test]
fn a_hole_that_is_moved_out_of_the_wall_is_not_in_it() {
    // Level 6 in and 60 in further up, the wall's top is 40 in.
    let job = holes("record 2027-05-10 { hole pins.4 moved up 60\" }");
    assert_eq!(says(&job, "moved-way"), ["hole 4 is not in `old` any more: moved so it lies 26\" past the edge"]);
    assert!(says(&job, "drilled-near").is_empty());
    // A place is told where the hole is now: 6 in and three gaps of 13 1/2 in, and 3 in.
    let moved = holes("record 2027-05-10 { hole pins.4 moved right 3\" }");
    let gap = moved.problems.iter().find(|problem| problem.rule.name == "row-gap").unwrap();
    assert!(gap.place.as_ref().unwrap().contains("hole 4 of pins, at 4'-1 1/2\" on old.back"), "{:?}", gap.place);
}

#[test]
fn records_that_contradict_each_other_are_told() {
    let twice = two_pours("record 2027-05-10 { done cast }\nrecord 2027-05-11 { poured first }");
    assert_eq!(
        says(&twice, "record-twice"),
        ["`cast` is recorded as done on 2027-05-10, and `first`, which it pours, on 2027-05-11"]
    );
    assert!(says(&two_pours("record 2027-05-11 { done cast; poured first }"), "record-twice").is_empty());
    // What came on another day is a pour of its own.
    let cut_short =
        two_pours("record 2027-05-11 { poured first used 9 bags }\nrecord 2027-05-12 { poured first used 4 bags }");
    let twice = cut_short.problems.iter().find(|problem| problem.rule.name == "record-twice").unwrap();
    let help = twice.helps(System::Feet).unwrap();
    assert!(help.contains("a pour of its own") && help.contains("`prepare`"), "{help}");
    let early = two_pours("record 2027-05-10 { measured low top 20\" }\nrecord 2027-05-12 { poured first }");
    assert_eq!(
        says(&early, "record-order"),
        ["`low` was measured on 2027-05-10, and `first`, which fills it, is recorded on 2027-05-12"]
    );
    assert!(says(&two_pours("record 2027-05-12 { measured low top 20\"; poured first }"), "record-order").is_empty());
    let over = |from: &str| {
        two_pours(&format!(
            "record 2027-05-12 {{ poured first from 9:00 to 11:00; poured second from {from} to 14:00 }}"
        ))
    };
    assert_eq!(
        says(&over("10:00"), "record-order"),
        ["`second` was begun at 10:00, and `first`, which must come first, was finished at 11:00 of that day"]
    );
    assert!(says(&over("11:00"), "record-order").is_empty());
}

/// A paper as text.
fn paper(paper: &Paper) -> String {
    let mut out = Vec::new();
    print::markdown(paper, &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

#[test]
fn papers_leave_out_what_is_left_empty_and_show_what_was_moved_where_it_is() {
    // Holes at 6", 19 1/2", 33", 46 1/2" …: the second is given up, the third 2" further right.
    let text = "step drill \"Drill\" { work drill pins; takes 5 min each }
step peg \"Set\" { work set pegs; takes 10 min each }
record 2027-05-03 { done drill; hole pins.2 hit 2\", abandoned; hole pins.3 hit 2\", moved right 2\" }";
    let job = holes(text);
    let plan = holes(&text[..text.find("record").unwrap()]);
    let set = job.works.sets.values().next().unwrap();
    let as_is = job.works.holes_done.set(set.id).unwrap();
    let places: Vec<(u64, Length)> = as_is.each().map(|hole| (hole.number, hole.station)).take(3).collect();
    assert_eq!(places, [(1, inches(96)), (3, inches(35 * 16)), (4, inches(744))], "numbers stay");
    assert_eq!((set.count, as_is.count, job.works.fills[0].net), (9, 8, plan.works.fills[0].net));
    let (order, tally) = (paper(&reports::order(&job)), paper(&reports::tally(&job)));
    let sheet = &order[order.find("**Holes pins.").unwrap()..];
    let row = |number: &str| -> Vec<&str> {
        let rows = sheet.lines().map(|line| line.split('|').map(str::trim).collect::<Vec<_>>());
        rows.into_iter().find(|row| row.get(1) == Some(&number)).unwrap()
    };
    assert_eq!(
        row("3")[4..10],
        ["2'-11\"", "6\"", "", "", "5\"", "met steel or a void at 2\", drilled anew right 2\""],
        "where it is now, and no room told from where it was"
    );
    assert_eq!(row("2")[8..10], ["", "met steel or a void at 2\", left empty"]);
    let filling = &order[order.find("**Filling pins**").unwrap()..];
    let numbers: Vec<&str> = filling.lines().filter_map(|line| line.split('|').nth(1)).map(str::trim).collect();
    assert!(numbers.contains(&"1") && numbers.contains(&"3") && !numbers.contains(&"2"), "{numbers:?}");
    for says in [
        "set: pegs (8 of 9: 1 left out, as recorded)",
        "takes about 10 min each, 1 h 20 min for 8",
        "none in hole 2, which is left empty, as recorded",
        "in the 8 holes as they are",
    ] {
        assert!(order.contains(says), "no `{says}` in\n{order}");
    }
    let recorded = &tally[tally.find("Holes as recorded").unwrap()..];
    let of_pins: Vec<&str> =
        recorded.lines().find(|line| line.starts_with("| pins")).unwrap().split('|').map(str::trim).collect();
    assert_eq!(of_pins[2..5], ["9", "1", "glue"]);
    // Nine bars take 90 minutes, eight 80.
    let lasts = |days: &Option<batterboard::plan::Days>| {
        let days = days.as_ref().unwrap();
        days.done.iter().find(|dated| job.job.name(dated.node) == "peg").map(|dated| dated.worked)
    };
    assert_eq!((lasts(&job.works.days), lasts(&plan.works.days)), (Some(4800), Some(5400)));
    assert_eq!(lasts(&job.works.planned_days), Some(5400));
    // The drawing of the leg names the hole that moved at its new station, and rings the empty one with a dashed line.
    let drawn = drawings::all(&job.job, &job.works, &Flags::default(), &[]);
    let elevation = drawn.iter().find(|drawing| drawing.id.starts_with("elevation")).unwrap();
    let svg = drawings::svg(elevation, None);
    assert!(svg.contains("Dashed ring: a hole that is left empty, as recorded."), "{svg}");
    let titles: Vec<&str> = svg.split("<title>").filter(|title| title.starts_with("pins ")).collect();
    let title =
        |number: &str| titles.iter().find(|title| title.starts_with(number)).and_then(|title| title.split('<').next());
    assert_eq!(title("pins 3:"), Some("pins 3: station 2&#39;-11&quot;, level 6&quot;"));
}

#[test]
fn of_a_step_that_was_begun_the_rest_is_planned() {
    let lasts = |job: &Compiled| {
        let days = job.works.days.as_ref().unwrap();
        let form = days.done.iter().find(|dated| job.job.name(dated.node) == "form").unwrap();
        (form.placed.finish - form.placed.start, form.begun, form.worked)
    };
    let hour = 3600;
    assert_eq!(lasts(&days("")), (3 * hour, 0, 3 * hour));
    let begun = days("record 2027-05-03 { worked form, took 2 h }");
    assert_eq!(lasts(&begun), (hour, 2 * hour, 3 * hour));
    assert!(paper(&reports::day_plan(&begun)).contains("2 h of it are done, as recorded; this is the rest"));
    // It took as long as was planned and is not finished: something is left of it.
    let (rest, ..) = lasts(&days("record 2027-05-03 { worked form, took 4 h }"));
    assert_eq!(rest, 15 * 60);
    // Finished it has no rest.
    let done = days("record 2027-05-03 { worked form, took 2 h }\nrecord 2027-05-04 { done form, took 2 h }");
    assert_eq!(lasts(&done).1, 0);
}

#[test]
fn bags_that_were_used_are_bought() {
    let job = |record: &str| {
        two_pours(&format!(
            "stock bags {{ for bag-80-lb; unit 1 bag; price 5 USD }}\nbudget {{ contingency 0% }}\n{record}"
        ))
    };
    let bought = |job: &Compiled| {
        let lines = job.works.buying.iter();
        lines.filter_map(|line| if let Line::Bags { count, .. } = line { Some(*count) } else { None }).sum::<u64>()
    };
    let plan = job("");
    let bags = |name: &str| plan.works.mixings.iter().find(|one| plan.job.name(one.pour) == name).unwrap().bags;
    assert_eq!(bought(&plan), bags("first") + bags("second"));
    let more = bags("first") + 12;
    let done = job(&format!("record 2027-05-05 {{ done tie; poured first from 9:00 to 12:00, used {more} bags }}"));
    assert_eq!(bought(&done), more + bags("second"));
    // Of what is recorded without bags, those that were planned count.
    assert_eq!(bought(&job("record 2027-05-05 { done tie; poured first from 9:00 to 12:00 }")), bought(&plan));
    let numbers = done.works.ledger.entries();
    let packs = numbers.iter().find(|entry| entry.name == "buy.bag-80-lb.packs").unwrap();
    assert_eq!(packs.value, Figure::Count(more + bags("second")));
}

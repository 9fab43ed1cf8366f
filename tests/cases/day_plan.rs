//! The day plan: times by a measure, looks with hours of their own, weeks away, last days; the calendar read by another
//! program.

use std::collections::BTreeSet;

use batterboard::{
    compile::{Compiled, compile_text},
    language::Limits,
    plan::{Care, Lasts},
    reports,
    source::Shelf,
};
use icalendar::parser::{read_calendar, unfold};

use super::{boathouse, fine, found, when};

const DAY: i64 = 86_400;

fn ics(job: &Compiled) -> String {
    let mut out = Vec::new();
    reports::calendar(job, &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

fn lasts(job: &Compiled, name: &str) -> Lasts {
    let durations = &job.works.plan.durations;
    durations.iter().find(|(node, _)| job.job.name(*node) == name).unwrap().1
}

/// A toe, and a pad that is cast on it two days later.
fn toe(toe: &str) -> Compiled {
    fine(&format!(
        "job \"Buried curb\" {{ start 2027-08-02 }}
line run {{ leg a 6' }}
section toe {{ along run.a; {toe}; height -18\" to -8\"; side earth }}
section pad {{ along run.a; thick 12\"; height -8\" to 0; side earth }}
mix sack {{ bag 60 lb, yields 0.45 ft3; strength 4000 psi }}
pour first {{ fill toe; mix sack }}
pour second {{ fill pad; mix sack }}
prepare toe-top {{ of pad; meets toe; wet 12 h }}
cure keep-first {{ of first; wet daily for 7 days }}
cure keep-second {{ of second; wet daily for 7 days }}
step one \"Cast the toe\" {{ work pour first; takes 1 h }}
step wash \"Wash its top\" {{ work prepare toe-top; takes 30 min; after one }}
step two \"Cast the pad\" {{ work pour second; takes 1 h; after wash; not-before 2027-08-05 }}"
    ))
}

#[test]
fn care_ends_where_other_concrete_covers_all_of_it() {
    let days = |job: &Compiled, cure: &str| {
        let days = job.works.days.as_ref().unwrap();
        let daily = days.daily.iter().find(|daily| job.job.name(daily.cure) == cure).unwrap();
        (daily.from, daily.days)
    };
    // Cast on the first day, covered on the fourth: the two mornings between.
    let job = toe("thick 12\"");
    assert_eq!((days(&job, "keep-first"), days(&job, "keep-second")), ((1, 2), (4, 7)));
    // What stands out past the pad is cared for to the end.
    assert_eq!(days(&toe("thick 18\""), "keep-first"), (1, 7));
}

#[test]
fn faces_are_wetted_while_one_is_there() {
    let soaks = |begins: &str| {
        let job = fine(&format!(
            "job \"Wet by night\" {{ start 2027-08-02 }}
hours day {{ work mon to fri, from 8:00 to 16:00 }}
wall old {{ leg back 6'; thick 8\"; height -12\" to 30\"; of concrete }}
section new {{ along old.back; thick 8\"; height 0 to 8\" }}
mix sack {{ bag 60 lb, yields 0.45 ft3 }}
pour cast {{ fill new; mix sack }}
prepare face {{ of new; roughen 1/4\"; wet 12 h }}
step wash \"Roughen and wash\" {{ work prepare face; takes 1 h }}
step form \"Other work\" {{ takes {begins}; after wash }}
step fill \"Cast it\" {{ work pour cast; after form; takes 2 h }}"
        ));
        job.works.days.as_ref().unwrap().soaks.iter().map(|soak| (soak.from, soak.until)).collect::<Vec<_>>()
    };
    let at = |day: i64, hour: i64| day * DAY + hour * 3600;
    // Cast on Tuesday from 13:00 on: wet from 1:00 on, when nobody is there; they go home on Monday at 16:00.
    assert_eq!(soaks("12 h"), [(at(0, 16), at(1, 13))]);
    // From 8:00 on Tuesday on it is wet since Monday, 20:00: washed at 9:00, and wetted at 16:00.
    assert_eq!(soaks("7 h"), [(at(0, 16), at(1, 8))]);
    // An evening later it is wetted on that evening.
    assert_eq!(soaks("15 h"), [(at(1, 16), at(2, 8))]);
    // Wetted on Friday it would be dry on Sunday: someone comes by then.
    assert_eq!(soaks("39 h"), [(at(6, 20), at(7, 8))]);
}

#[test]
fn times_by_a_measure_come_from_what_is_measured() {
    let minutes = |from: &str, to: &str, step: &str| match lasts(&boathouse(from, to), step) {
        Lasts::Per { all, .. } => all.minutes(),
        other => panic!("{to}: {other:?}"),
    };
    // 14 in out from the face, round the outside corner: 10 ft + 14 in and 3 ft + 14 in of cut, 15 ft 4 in.
    let sawn = minutes("slab-edge; takes 2 h", "slab-edge; takes 6 min, per ft", "saw");
    assert!((sawn - 92.0).abs() < 1e-6, "{sawn}");
    // 24 holes of 6 in are 12 ft of bore.
    let drilled = minutes("takes 6 min each", "takes 12 min, per ft", "drill");
    assert!((drilled - 144.0).abs() < 1e-6, "{drilled}");
    // Against old concrete 22.000 ft2, as everywhere.
    let face = minutes("takes 5 h", "takes 10 min, per ft2", "face");
    assert!((face - 220.0).abs() < 1e-6, "{face}");
    // 28 bags.
    let cast = minutes("{ work pour wall }", "{ work pour wall; takes 7 min, per bag }", "cast");
    assert!((cast - 196.0).abs() < 1e-6, "{cast}");
    // 14 in wide and 4 in thick: 13 ft along the face, and the square at the outside corner, less nothing.
    let broken = minutes("slab-strip; takes 4 h", "slab-strip; takes 30 min, per ft3", "break");
    let cubic_feet = (13.0 * 14.0 / 12.0 + (14.0_f64 / 12.0).powi(2)) * 4.0 / 12.0;
    assert!((broken - 30.0 * cubic_feet).abs() < 1e-6, "{broken}");
    // What has no bags takes no time, and that is told.
    let told = boathouse("takes 6 min each", "takes 6 min, per bag");
    assert!(matches!(lasts(&told, "drill"), Lasts::Uncounted { .. }));
    assert!(told.problems.iter().any(|problem| problem.rule.name == "time-uncounted"));
}

#[test]
fn a_look_comes_in_its_own_hours_and_nobody_is_there_in_a_week_away() {
    let usual = boathouse("", "");
    let seen = "notice 2 days }";
    let own = boathouse(seen, "notice 2 days; comes fri, from 10:00 to 12:00 }");
    let (from, to) = when(&own, "seen");
    assert_eq!((from.rem_euclid(DAY), to - from), (10 * 3600, 1800));
    // 2027-05-03 is a Monday, day 0: Fridays are 4, 11, 18 …
    assert_eq!(from.div_euclid(DAY).rem_euclid(7), 4);
    assert!(from >= when(&usual, "seen").0);
    // A week away moves all that comes after it, and no work lies in it.
    let away = boathouse("off 2027-05-15", "away 2027-05-10 to 2027-05-16");
    let days = away.works.days.as_ref().unwrap();
    for dated in &days.done {
        for (from, to) in &dated.placed.pieces {
            assert!(*to <= 7 * DAY || *from >= 14 * DAY, "{} lies in the week away", away.job.name(dated.node));
        }
    }
    assert!(when(&away, "cast").0 > when(&usual, "cast").0);
    assert_eq!(
        found("hours week { work mon to fri, from 8:00 to 16:00; away 2027-07-16 to 2027-07-05 }"),
        ["away-backwards"]
    );
}

#[test]
fn last_days_are_held() {
    let names = |job: &Compiled| job.problems.iter().map(|problem| problem.rule.name).collect::<BTreeSet<_>>();
    let usual = boathouse("", "");
    let ends = usual.works.days.as_ref().unwrap();
    let last = ends.date(ends.ends - 1).unwrap();
    let day = |text: &str| names(&boathouse("show feet\n", &format!("show feet\n    latest {text}\n")));
    assert!(!day(&last.to_string()).contains("done-late"), "on its last day it is not late");
    assert!(day(&last.plus_days(-1).unwrap().to_string()).contains("done-late"));
    let look = |text: &str| names(&boathouse("notice 2 days }", &format!("notice 2 days; latest {text} }}")));
    assert!(look("2027-05-05").contains("look-too-late"));
    assert!(!look("2027-06-30").contains("look-too-late"));
}

#[test]
fn what_loads_concrete_waits_until_it_may() {
    let text = |verb: &str| {
        format!(
            "work strip front; after cast; takes 90 min }}\nstep fill \"Fill in\" {{ work {verb} keep; takes 2 h }}"
        )
    };
    let load = boathouse("work strip front; after cast; takes 90 min }", &text("load"));
    // `load after 14 days`, at 70% of the strength: both are waited for.
    assert!(when(&load, "fill").0 - when(&load, "cast").1 >= 14 * DAY);
    assert!(!found("job \"X\" { show feet }\nstep fill \"Fill\" { work backfill nothing }").is_empty());
}

#[test]
fn nothing_is_begun_for_a_few_minutes_at_the_end_of_a_shift() {
    for from in ["takes 2 h }", "takes 125 min }", "takes 118 min }"] {
        let job = boathouse("slab-edge; takes 2 h }", &format!("slab-edge; {from}"));
        for dated in &job.works.days.as_ref().unwrap().done {
            if let [(from, to), _, ..] = dated.placed.pieces.as_slice() {
                assert!(to - from >= 15 * 60, "{}: {} s", job.job.name(dated.node), to - from);
            }
        }
    }
}

#[test]
fn young_concrete_is_cared_for_day_after_day() {
    let job = boathouse("wet daily for 7 days", "wet daily for 5 days; warm at 50 degF, for 60 h");
    let days = job.works.days.as_ref().unwrap();
    let poured = when(&job, "cast").1.div_euclid(DAY);
    let wet = days.daily.iter().find(|daily| daily.care == Care::Wet).unwrap();
    let warm = days.daily.iter().find(|daily| daily.care == Care::Warm).unwrap();
    assert_eq!((wet.from, wet.days), (poured + 1, 5));
    assert_eq!((warm.from, warm.days), (poured + 1, 3), "60 h touch three days");
}

#[test]
fn another_program_reads_the_calendar() {
    let job = boathouse("", "");
    let text = ics(&job);
    assert_eq!(text, ics(&boathouse("", "")), "same file, same bytes");
    // RFC 5545 3.1: lines end in CRLF and have at most 75 octets.
    assert!(text.ends_with("\r\n") && !text.replace("\r\n", "").contains(['\r', '\n']));
    assert!(text.split("\r\n").all(|line| line.len() <= 75), "a line is too long");
    let unfolded = unfold(&text);
    let read = read_calendar(&unfolded).unwrap();
    let days = job.works.days.as_ref().unwrap();
    let of = |name: &str| read.components.iter().filter(move |component| component.name == name).collect::<Vec<_>>();
    let value = |component: &icalendar::parser::Component, name: &str| {
        component.find_prop(name).map(|property| property.val.to_string())
    };
    // One event a piece of work, a look or a wait; one task a question, a call, a face to be wetted, a care.
    let pieces: usize = days
        .done
        .iter()
        .map(|dated| match job.job.name(dated.node) {
            "locate" => 0,
            _ => dated.placed.pieces.len().max(1),
        })
        .sum();
    assert_eq!(of("VEVENT").len(), pieces);
    assert_eq!(of("VTODO").len(), 1 + 1 + days.soaks.len() + days.daily.len());
    let mut names = BTreeSet::new();
    for component in &read.components {
        let uid = value(component, "UID").unwrap();
        assert!(uid.ends_with(".batterboard") && names.insert(uid.clone()), "{uid}");
        assert_eq!(value(component, "DTSTAMP").unwrap(), "20270503T000000Z");
        assert!(!value(component, "SUMMARY").unwrap().is_empty());
    }
    // The pour, to the second.
    let cast = of("VEVENT").into_iter().find(|event| value(event, "UID").unwrap().starts_with("cast-1@")).unwrap();
    let (from, to) = when(&job, "cast");
    let shown = |time: i64| {
        let date = days.date(time).unwrap().to_string().replace('-', "");
        let of_day = time.rem_euclid(DAY);
        format!("{date}T{:02}{:02}{:02}", of_day / 3600, of_day / 60 % 60, of_day % 60)
    };
    assert_eq!((value(cast, "DTSTART").unwrap(), value(cast, "DTEND").unwrap()), (shown(from), shown(to)));
    let care = of("VTODO").into_iter().find(|task| value(task, "UID").unwrap().starts_with("keep-wet@")).unwrap();
    assert_eq!(value(care, "RRULE").unwrap(), "FREQ=DAILY;COUNT=7");
}

#[test]
fn hostile_words_stay_words_in_a_calendar_and_names_stay_when_days_move() {
    let title = "Saw; the, edge \\\\ and 🧱 END:VEVENT ".repeat(4);
    let job = boathouse("Saw the slab edge", title.trim());
    let text = ics(&job);
    assert!(text.split("\r\n").all(|line| line.len() <= 75));
    let unfolded = unfold(&text);
    let read = read_calendar(&unfolded).unwrap();
    let saw = read
        .components
        .iter()
        .find(|component| component.find_prop("UID").unwrap().val.to_string().starts_with("saw-1@"))
        .unwrap();
    let summary = saw.find_prop("SUMMARY").unwrap().val.to_string();
    let plain = summary.replace("\\;", ";").replace("\\,", ",").replace("\\\\", "\\");
    assert_eq!(plain, job.job.steps.iter().find(|step| step.name == "saw").unwrap().title);
    // Another start moves the days and keeps the names.
    let uids = |job: &Compiled| -> BTreeSet<String> {
        ics(job).split("\r\n").filter(|line| line.starts_with("UID:")).map(str::to_owned).collect()
    };
    let later = boathouse("start 2027-05-03", "start 2027-05-10");
    let (one, two) = (uids(&boathouse("", "")), uids(&later));
    assert!(one.intersection(&two).count() * 10 >= one.len() * 9, "{one:?} {two:?}");
}

#[test]
fn a_job_without_days_says_why_and_is_a_calendar_all_the_same() {
    let job = compile_text(
        &Shelf::default(),
        "x.job",
        "job \"Pump house\" { show feet }\nstep a \"Tidy up\" { takes 2 h }\n",
        &Limits::default(),
    );
    let paper = reports::day_plan(&job);
    assert!(
        paper
            .parts
            .iter()
            .any(|part| matches!(part, reports::Part::Caution(words) if words.text().contains("start 2027-05-03")))
    );
    let text = ics(&job);
    assert_eq!(read_calendar(&unfold(&text)).unwrap().components.len(), 1);
}

#[test]
fn lines_of_care_say_what_is_done() {
    let job = boathouse(
        "wet daily for 7 days; strip",
        "forms-on for 3 days; wrap for 7 days; warm at 55 degF, for 3 days; strip",
    );
    let mut out = Vec::new();
    reports::print::markdown(&reports::day_plan(&job), &mut out).unwrap();
    let said = String::from_utf8(out).unwrap();
    let care = |word: &str| said.lines().filter(|line| line.trim_start().starts_with(&format!("{word} keep"))).count();
    assert_eq!(["forms", "wrap", "warm", "wet"].map(care), [1, 1, 1, 0], "{said}");
}

#[test]
fn a_step_has_as_many_people_as_its_pour() {
    let cast = "step cast \"Mix, place and rod the concrete\" { work pour wall";
    let with = |crew: &str, people: &str| {
        let text = std::fs::read_to_string("examples/boathouse/boathouse.job").unwrap();
        let text = text.replace("    crew 1\n", &format!("    {crew}\n")).replace(cast, &format!("{cast}{people}"));
        let shop = std::fs::read("examples/boathouse/shop.job").unwrap();
        let job = compile_text(&Shelf::new([("shop.job", shop)]), "x.job", &text, &Limits::default());
        let mine = job.problems.iter().filter(|problem| problem.rule.name == "people-few");
        mine.map(|problem| problem.says(job.job.system())).collect::<Vec<_>>()
    };
    assert_eq!(with("crew 2", "; people 1"), ["`cast` is done by one, and `wall` is poured by 2"]);
    assert!(with("crew 2", "; people 2").is_empty());
    // Of more people one looks on; who is not said at all is the pour's crew.
    assert!(with("crew 1", "; people 2").is_empty());
    assert!(with("", "; people 1").is_empty());
}

/// Where nothing says how many are there, one is; who else pours must come from somewhere.
#[test]
fn a_pour_of_two_is_told_where_nobody_says_that_two_are_there() {
    let text = std::fs::read_to_string("src/cli/new.job").unwrap();
    let with = |changes: &[(&str, &str)]| {
        let text = changes.iter().fold(text.replace("    lift 8\"", "    crew 2; lift 8\""), |text, (from, to)| {
            assert!(text.contains(from), "{from}");
            text.replace(from, to)
        });
        let job = compile_text(&Shelf::default(), "new.job", &text, &Limits::default());
        let found: Vec<_> =
            job.problems.iter().map(|one| format!("{}: {}", one.rule.name, one.says(job.job.system()))).collect();
        let people = job.works.days.as_ref().map(|days| {
            days.done.iter().find(|dated| job.job.name(dated.node) == "cast").map_or(0, |dated| dated.people)
        });
        (found, people)
    };
    let few = "people-few: `cast` needs 2 people, and nothing says that more than one is there";
    let none: Vec<String> = Vec::new();
    assert_eq!(with(&[]), (vec![few.to_owned()], Some(2)));
    let hours = "hours week { work mon to fri, from 16:00 to 20:00; work sat, from 8:00 to 17:00 }";
    assert_eq!(with(&[(hours, "")]).0, [few]);
    assert_eq!(with(&[(hours, &hours.replace(" }", "; crew 2 }"))]), (none.clone(), Some(2)));
    assert_eq!(with(&[("work pour all }", "work pour all; people 2 }")]), (none.clone(), Some(2)));
    // Without days there is no plan of one, and what is done needs nobody.
    assert_eq!(with(&[("    start 2027-06-07", "    ")]), (none.clone(), None));
    let record = "record 2027-06-12 { poured all from 9:00 to 11:00 }\nhours week {";
    let done = with(&[("hours week {", record)]).0;
    assert!(!done.iter().any(|one| one.starts_with("people-few")), "{done:?}");
}

#[test]
fn nobody_is_called_for_a_look_that_was_passed() {
    let calls = |record: &str| {
        let job = boathouse("step strip \"Take", &format!("{record}\nstep strip \"Take"));
        assert!(!job.has_errors(), "{record}");
        ics(&job).contains("UID:seen-call@")
    };
    assert!(calls(""));
    assert!(calls("record 2027-05-20 { looked seen, by inspector, refused \"two ties are missing\" }"));
    assert!(!calls("record 2027-05-20 { looked seen, by inspector, passed \"go on\" }"));
}

#[test]
fn papers_name_the_last_day_that_is_said() {
    let paper = |head: &str, step: &str| {
        let job = super::compiled(&format!(
            "job \"Latest\" {{ start 2027-05-10{head} }}
wall old {{ leg back 8'; thick 8\"; height -12\" to 6'; of concrete }}
section new {{ along old.back; thick 8\"; height -4\" to 12\" }}
pour cast {{ fill new; mix bag-60-lb }}
step clean \"Clean\" {{ takes 1 h{step} }}
step castit \"Cast\" {{ work pour cast; takes 2 h }}
step sweep \"Sweep\" {{ takes 30 h }}"
        ));
        let print = |paper: &reports::Paper| {
            let mut out = Vec::new();
            reports::print::markdown(paper, &mut out).unwrap();
            String::from_utf8(out).unwrap()
        };
        let order = print(&reports::order(&job));
        (order, print(&reports::day_plan(&job)))
    };
    let (order, days) = paper("; latest 2027-06-30", "; latest 2027-05-11");
    assert!(order.contains("2027-06-30"), "{order}");
    // 33.5 h by hand in shifts of 8 h: done on the fifth day, Friday 2027-05-14, 47 days before.
    assert!(days.contains("All is done on 2027-05-14. The last day said is 2027-06-30, 47 days later."), "{days}");
    assert!(days.contains("9:00, by 2027-05-11"), "{days}");
    assert!(!paper("", "").1.contains("last day"));
}

//! The days of a job, through the language.

use batterboard::{
    compile::{Compiled, compile_text},
    language::Limits,
    source::Shelf,
};

use super::{boathouse, compiled, found, when};

const DAY: i64 = 86_400;

#[test]
fn the_pour_comes_after_the_look_and_the_forms_stay_until_it_has_hardened() {
    let job = boathouse("", "");
    let (seen, cast, strip) = (when(&job, "seen"), when(&job, "cast"), when(&job, "strip"));
    assert!(seen.0 >= when(&job, "cage").1 && seen.0 >= 2 * DAY, "told two days ahead");
    assert!(cast.0 >= when(&job, "form").1 && when(&job, "form").0 >= seen.1);
    // In one go: from 16:30 to 20:00 there are 3 h 30 min, and it lasts 3 h 28 min.
    assert_eq!(cast.1 - cast.0, job.works.placings[0].went.lasts as i64);
    assert!(strip.0 - cast.1 >= 3 * DAY, "strip after 3 days");
    // A question with a lead of three days holds the saw up.
    assert!(when(&job, "saw").0 >= 3 * DAY);
    // Loud work ends at 19:00, on Saturdays it begins at 9:00.
    for name in ["saw", "break", "drill", "face"] {
        let dated = job.works.days.as_ref().unwrap();
        let dated = dated.done.iter().find(|dated| job.job.name(dated.node) == name).unwrap();
        let inside = |(from, to): &(i64, i64)| from.rem_euclid(DAY) >= 9 * 3600 && (to - 1).rem_euclid(DAY) < 19 * 3600;
        assert!(dated.placed.pieces.iter().all(inside), "{name}");
    }
}

#[test]
fn a_wait_that_is_over_ran_from_what_it_comes_after() {
    // Set on Wednesday until 16:00, tied a week later: 72 h of waiting end on Saturday at 16:00, whoever was there.
    let job = |lasts: &str| {
        let text = format!(
            "job \"Mill\" {{ show feet; start 2027-05-03 }}
step set \"Set\" {{ takes 2 h }}\nwait rest \"Let it harden\" {{ takes {lasts}; after set; before tie }}
step tie \"Tie\" {{ takes 2 h }}
record 2027-05-05 {{ done set }}\nrecord 2027-05-12 {{ done tie }}\n"
        );
        when(&compiled(&text), "rest")
    };
    let hours = |day: i64, hour: i64| day * DAY + hour * 3600;
    assert_eq!(job("72 h"), (hours(2, 16), hours(5, 16)));
    // What takes longer than there was time for was over when work went on.
    assert_eq!(job("20 days"), (hours(2, 16), hours(9, 16)));
}

#[test]
fn it_moves_when_start_weather_or_hours_change() {
    let usual = boathouse("", "");
    // A week later all is a week later, save what lay about the day off.
    let later = boathouse("start 2027-05-03", "start 2027-05-17");
    assert_eq!(later.works.days.as_ref().unwrap().start.to_string(), "2027-05-17");
    assert!(when(&later, "strip").0 <= when(&usual, "strip").0);
    // A day off that is none.
    let worked = boathouse("off 2027-05-15", "off 2027-06-15");
    assert!(when(&worked, "cast").0 < when(&usual, "cast").0);
    // Longer evenings.
    let longer = boathouse("from 16:30 to 20:00", "from 14:00 to 21:00");
    assert!(when(&longer, "strip").1 < when(&usual, "strip").1);
    // Cold: forms stay on longer than is written.
    let cold = boathouse("weather 52 degF to 66 degF", "weather 33 degF to 51 degF");
    let stays = |job: &Compiled| when(job, "strip").0 - when(job, "cast").1;
    assert!(stays(&cold) > stays(&usual) + DAY, "{} {}", stays(&cold), stays(&usual));
    // So cold that no hour counts: no day is named on which they come off, and all before has its day.
    let never = boathouse("weather 52 degF to 66 degF", "weather 33 degF to 41 degF");
    let days = never.works.days.as_ref().unwrap();
    assert!(days.done.iter().all(|dated| never.job.name(dated.node) != "strip"));
    assert!(days.never.iter().any(|one| never.job.name(one.step) == "strip"));
    assert!(when(&never, "cast").0 > 0);
    assert!(never.problems.iter().any(|problem| problem.rule.name == "strip-soon"));
}

#[test]
fn forms_stay_for_a_day_of_warm_hours_where_nobody_says_for_how_long() {
    let strips = |weather: &str, cure: &str| {
        let job = compiled(&format!(
            "job \"Case\" {{ show feet; start 2027-05-03; {weather} }}
wall old {{ leg a 10'; thick 8\"; height -12\" to 40\" }}
section new {{ along old.a 0 to 6'; thick 8\"; height 0 to 20\" }}
mix bagged {{ bag 80 lb, yields 0.60 ft3; strength 4000 psi }}
pour all {{ fill new; mix bagged }}
{cure}
forms box {{ against new; sheath ply-3/4; studs 2x4, space at most 12\"; kick 2x4, on bank; brace 2x4, space at most 24\", on bank }}
hours usual {{ work mon to sun from 0:00 to 24:00 }}
step build \"Build\" {{ work form box; takes 2 h }}
step cast \"Cast\" {{ work pour all; takes 2 h }}
step strip \"Strip\" {{ work strip box; takes 1 h }}"
        ));
        let unsaid = job.problems.iter().any(|problem| problem.rule.name == "strip-unsaid");
        let strip = job.job.steps.iter().find(|step| step.name == "strip").unwrap().id;
        let has_day = job.works.days.as_ref().is_some_and(|days| days.of(strip).is_some());
        let stays = has_day.then(|| when(&job, "strip").0 - when(&job, "cast").1);
        (stays, unsaid)
    };
    assert_eq!(strips("", ""), (Some(DAY), true));
    let mild = "weather 52 degF to 66 degF, humidity 60%, wind 0 mph";
    assert_eq!(strips(mild, ""), (Some(DAY), true));
    assert_eq!(strips(mild, "cure keep { of all; forms-on for 3 days }"), (Some(3 * DAY), true));
    // Half of the hours are too cold to count: the other half takes two days or so.
    let (stays, _) = strips("weather 42 degF to 58 degF, humidity 60%, wind 0 mph", "");
    assert!((DAY + DAY / 3..=2 * DAY).contains(&stays.unwrap()), "{stays:?}");
    assert_eq!(strips("weather 33 degF to 41 degF, humidity 60%, wind 0 mph", ""), (None, true));
    assert!(!strips(mild, "cure keep { of all; wet daily for 7 days; strip after 2 days }").1);
}

#[test]
fn a_face_is_soaked_before_the_pour() {
    let text = |wet: &str, answer: &str| {
        format!(
            "job \"Ferry steps\" {{ start 2027-05-03; show feet }}
wall old {{ leg a 12'; thick 8\"; height -12\" to 60\" }}
section s {{ along old.a; thick 8\"; height 0 to 24\" }}
prepare face {{ of s; {wet} }}
pour p {{ fill s; mix bag-80-lb }}
ask may \"May it be done?\" {{ before wash; {answer} }}
step wash \"Wash it\" {{ work prepare face; takes 3 h }}
step cast \"Mix and place\" {{ work pour p; takes 3 h }}"
        )
    };
    let of = |wet: &str, answer: &str| compile_text(&Shelf::default(), "x.job", &text(wet, answer), &Limits::default());
    // Without it, it is poured the same day; 12 h after eleven o'clock it is night.
    let given = "answered 2027-04-20 \"yes\"";
    assert_eq!(when(&of("", given), "cast").0, 11 * 3600);
    let wet = of("wet 12 h", given);
    assert_eq!(when(&wet, "cast").0, DAY + 8 * 3600);
    let soaks = &wet.works.days.as_ref().unwrap().soaks;
    // Wet from 20:00 on: whoever goes home at 16:00 sees to it then.
    assert_eq!(soaks.iter().map(|soak| (soak.from, soak.until)).collect::<Vec<_>>(), [(16 * 3600, DAY + 8 * 3600)]);
    assert_eq!(when(&of("wet 1 h", given), "cast").0, 12 * 3600);
    // Nothing is done before the day an answer is given.
    assert_eq!(when(&of("", "answered 2027-05-05 \"yes\""), "wash").0, 2 * DAY + 8 * 3600);
}

#[test]
fn steps_wait_for_their_day_and_for_people() {
    let text = |more: &str, hours: &str| {
        format!(
            "job \"Ferry steps\" {{ start 2027-05-03; show feet }}
wall old {{ leg a 12'; thick 8\"; height -12\" to 60\" }}
section s {{ along old.a; thick 8\"; height 0 to 24\" }}
pour p {{ fill s; mix bag-80-lb }}
hours week {{ work mon to fri, from 8:00 to 12:00; {hours} }}
step tidy \"Tidy up\" {{ takes 3 h; {more} }}
step cast \"Mix and place\" {{ work pour p; takes 3 h }}"
        )
    };
    let of = |more: &str, hours: &str| compile_text(&Shelf::default(), "x.job", &text(more, hours), &Limits::default());
    // 2027-05-03 is a Monday. One person: one after the other; the pour is not cut at noon.
    let one = of("", "");
    assert_eq!(when(&one, "tidy"), (8 * 3600, 11 * 3600));
    assert_eq!(when(&one, "cast"), (DAY + 8 * 3600, DAY + 11 * 3600));
    // Two people: both at once.
    assert_eq!(when(&of("", "crew 2"), "cast").0, 8 * 3600);
    assert_eq!(when(&of("people 2", "crew 2"), "cast").0, DAY + 8 * 3600);
    // Not before the Wednesday; on the Saturday beside.
    assert_eq!(when(&of("not-before 2027-05-05", ""), "tidy").0, 2 * DAY + 8 * 3600);
    let also = of("not-before 2027-05-08", "also 2027-05-08, from 10:00 to 14:00");
    assert_eq!(when(&also, "tidy").0, 5 * DAY + 10 * 3600);
    assert_eq!(found(&text("whole; takes-not 1", "")).len(), 1, "a clause that is none");
    for (more, hours) in
        [("", "off 2027-02-30"), ("", "loud 9:00 to 8:00"), ("", "work xyz, from 8:00 to 9:00"), ("people 0", "")]
    {
        assert!(!found(&text(more, hours)).is_empty(), "{more} {hours}");
    }
}

#[test]
fn one_person_is_there() {
    let job = compiled(
        "job \"Ferry steps\" { start 2027-05-03; show feet }
hours week { work mon to fri, from 8:00 to 16:00; crew 1 }
step tidy \"Tidy up\" { takes 3 h; people 2 }",
    );
    let few = job.problems.iter().find(|problem| problem.rule.name == "people-few").unwrap();
    assert_eq!(few.says(job.job.system()), "`tidy` needs 2 people, and one is there");
}

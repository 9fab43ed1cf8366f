//! Young concrete on the days: what it gains in frost, when it has set, when it is drilled, how long the end of a batch lies
//! open, which hours keep it moist. Check values: our own arithmetic from the published formulas named beside them.

use batterboard::{
    compile::Compiled,
    curing::{Act, Form},
    problem::Level,
    reports,
    units::System,
};

use super::{compiled, fine, near, when};

const HOUR: i64 = 3600;

fn order(job: &Compiled) -> String {
    let mut out = Vec::new();
    reports::print::markdown(&reports::order(job), &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

fn days(job: &Compiled) -> String {
    let mut out = Vec::new();
    reports::print::markdown(&reports::day_plan(job), &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

/// What the findings of a rule say, and what they advise.
fn told(job: &Compiled, rule: &str) -> Vec<String> {
    let mine = job.problems.iter().filter(|problem| problem.rule.name == rule);
    mine.map(|problem| problem.says(System::Feet)).collect()
}

/// A pad in this weather, cared for in this way, with these steps.
fn pad(weather: &str, cure: &str, steps: &str) -> Compiled {
    fine(&format!(
        "job \"Pad\" {{ show metric; start 2028-01-31; place outdoors; {weather} }}
line edge {{ leg front 2500 mm }}
section pad {{ along edge; thick 1600 mm; height -300 mm to 0; base gravel; side earth }}
mix m {{ bag 25 kg, yields 11.7 L; strength 30 MPa; cement class-n; knits 60 min at 21 degC }}
pour p {{ fill pad; mix m; mixer 4 bags, takes 6 min; carry 10 L, takes 1 min; lift 100 mm; crew 3 }}
cure k {{ of p; fresh 16 degC; {cure} }}
hours h {{ work mon to fri, from 8:00 to 18:00; crew 3 }}
step cast \"Cast\" {{ work pour p; people 3 }}
{steps}"
    ))
}

#[test]
fn nothing_hardens_at_the_datum_or_colder() {
    // Warm for a day at 13 degC, then for ever between -8 and 3 degC, whose mean is under 0 degC: ASTM C1074 has its datum there, and
    // EN 1992-1-1 Annex B (B.10) begins there. What one warm day gives is all: exp(13.65 - 4000 / 286) = 0.7146 days by EN, and
    // exp(-5000 * (1 / 286.15 - 1 / 296.15)) = 0.5543 days by C1074.
    let job = pad(
        "weather -8 degC to 3 degC",
        "wrap for 10 days; warm at 13 degC, for 1 day; load at 60%",
        "step ld \"Load\" { work load k; takes 1 h }",
    );
    let cured = &job.works.cures[0];
    let age = |days: f64| cured.ages().iter().find(|age| age.after.days() == days).unwrap();
    for (form, en) in [(0.5543, false), (0.7146, true)] {
        for days in [1.0, 7.0, 28.0] {
            let grown = age(days).grown.iter().find(|grown| matches!(grown.form, Form::Ec2(_)) == en).unwrap();
            near(grown.age.value / 24.0, form, 1e-3);
        }
    }
    // 0.554 / (4 + 0.85 * 0.554) = 12% by ACI 209R: never 60%.
    let load = cured.readies.iter().find(|ready| ready.act == Act::Load).unwrap();
    assert!(load.is_never() && load.earliest.is_none());
    assert!(order(&job).contains("By the rules never in this weather"), "{}", order(&job));
    // In mild weather it is.
    let mild = pad("weather 8 degC to 18 degC", "wrap for 20 days; load at 60%", "");
    assert!(!mild.works.cures[0].readies[0].is_never());
}

#[test]
fn what_is_never_hard_enough_is_told_at_its_clause_and_all_else_has_its_day() {
    let text = |cure: &str| {
        pad(
            "weather 8 degC to 18 degC; weather -8 degC to -2 degC, from 2028-02-01",
            cure,
            "step dig \"Dig\" { takes 30 h; before cast }
step ld \"Load\" { work load k; takes 1 h }
step tidy \"Tidy\" { takes 1 h; after ld }",
        )
    };
    let job = text("wrap for 10 days; load at 60%");
    let findings = told(&job, "load-soon");
    assert_eq!(findings, ["`p` is loaded when it is strong enough; reckoned with this weather it is not in a year"]);
    // Thirty hours in days of ten: cast on the fourth, whose weather counts, not that of the first.
    assert_eq!(when(&job, "cast").0, 3 * 86_400 + 8 * HOUR);
    near(job.works.cures[0].start.days().floor(), 3.0, 1e-9);
    let planned = job.works.days.as_ref().unwrap();
    let without: Vec<&str> = planned.undated.iter().map(|node| job.job.name(*node)).collect();
    assert_eq!((without.len(), planned.all_done()), (2, None), "{without:?}");
    let paper = days(&job);
    assert!(paper.contains("No day is planned of ld, nor of what comes after: tidy"), "{paper}");
    assert!(paper.contains("What has a day is done on 2028-02-03"), "{paper}");
    // Kept warm it is ready, and all has its day.
    let warm = text("wrap for 30 days; warm at 15 degC, for 30 days; load at 60%");
    assert_eq!(told(&warm, "load-soon"), [""; 0]);
    assert!(warm.works.days.as_ref().unwrap().all_done().is_some());
}

/// A pad that is drilled from above.
fn drilled(more: &str) -> Compiled {
    fine(&format!(
        "job \"Post base\" {{ show feet; start 2028-02-28; place outdoors; weather 60 degF to 76 degF }}
line edge {{ leg front 3' }}
section pad {{ along edge; thick 2'; height -8\" to 0; base gravel; side earth }}
mix m {{ bag 60 lb, yields 0.45 ft3; strength 4000 psi }}
pour p {{ fill pad; mix m; mixer 2 bags, takes 5 min; carry 3 gal, takes 2 min; lift 8\" }}
holes base {{ into pad.top; along pad; rows offset 6\", 18\"; inset 8\"; space at most 20\"; bore 5/8\" by 5\" }}
step cast \"Cast\" {{ work pour p }}
step mark \"Mark\" {{ work mark base; takes 10 min }}
step drill \"Drill\" {{ work drill base; takes 8 min each }}
{more}"
    ))
}

#[test]
fn new_concrete_is_drilled_when_it_is_hard_as_said_or_as_is_usual() {
    // At 68 degF (20 degC) always: 70% by ACI 209R for Type I is at 4 * 0.7 / (1 - 0.85 * 0.7) = 6.914 days of 23 degC (C1074), or
    // 6.914 / exp(-5000 * (1 / 293.15 - 1 / 296.15)) = 8.217 days; common practice asks for 70%.
    let job = drilled("");
    let cast = when(&job, "cast").1;
    let rested = (when(&job, "drill").0 - cast) as f64 / 86_400.0;
    assert!((8.217..=11.0).contains(&rested), "{rested}");
    // It is marked as soon as it has set: the 6 h at 70 degF that are usual are 6 * exp(5000 * (1 / 288.706 - 1 / 294.15)) = 8.27 h
    // at 60 degF, the coldest of the day.
    let marked = (when(&job, "mark").0 - cast) as f64 / 3600.0;
    assert!((8.26..=24.0).contains(&marked), "{marked}");
    let usual = order(&job);
    assert!(usual.contains("p: drilled") && usual.contains("when it has 70% of its strength"), "{usual}");
    assert!(usual.contains("m: sets") && usual.contains("6 h at 70 degF, longer when it is colder"), "{usual}");
    // What is written goes before: a wait between, or when it may be loaded.
    let waits = drilled("wait ripen \"Ripen\" { takes 3 days; after cast; before mark }");
    let rested = (when(&waits, "drill").0 - when(&waits, "cast").1) as f64 / 86_400.0;
    assert!((3.0..4.0).contains(&rested), "{rested}");
    let loaded = drilled("cure k { of p; wet daily for 7 days; load after 14 days }");
    let rested = (when(&loaded, "drill").0 - when(&loaded, "cast").1) as f64 / 86_400.0;
    assert!((14.0..17.0).contains(&rested), "{rested}");
    assert!(order(&loaded).contains("when it may be loaded, as its cure says"));
}

#[test]
fn concrete_sets_later_in_the_cold() {
    let stem = |weather: &str, cure: &str| {
        let job = fine(&format!(
            "job \"Stem\" {{ show feet; start 2028-03-01; place outdoors; weather {weather} }}
line edge {{ leg front 4' }}
section low {{ along edge; thick 12\"; height 0 to 12\"; base gravel; side earth }}
section high {{ along edge; thick 12\"; height 12\" to 24\" }}
mix m {{ bag 60 lb, yields 0.45 ft3; strength 4000 psi; sets 4 h at 70 degF }}
pour p1 {{ fill low; mix m; mixer 2 bags, takes 5 min }}
pour p2 {{ fill high; mix m; mixer 2 bags, takes 5 min }}
prepare seat {{ of high; meets low; roughen 1/4\" }}
cure k {{ of p1; wrap for 7 days; {cure} }}
hours h {{ work mon to sun, from 0:00 to 24:00 }}
step cast1 \"Cast\" {{ work pour p1 }}
step rub \"Roughen\" {{ work prepare seat; takes 30 min }}
step cast2 \"Cast\" {{ work pour p2 }}"
        ));
        (when(&job, "rub").0 - when(&job, "cast1").1) as f64 / 3600.0
    };
    // The law of knitting, 4 h * exp(5000 * (1 / T - 1 / Tr)): at 40 degF T = 277.594 K, Tr = 294.261 K, 4 * 2.7735 = 11.09 h; kept at
    // 55 degF, T = 285.928 K, 4 * 1.6407 = 6.56 h.
    near(stem("40 degF to 44 degF", ""), 11.09, 0.02);
    near(stem("40 degF to 44 degF", "warm at 55 degF, for 7 days"), 6.56, 0.02);
    near(stem("70 degF to 80 degF", ""), 4.0, 0.02);
}

#[test]
fn the_end_of_a_batch_that_lies_over_a_rest_is_a_cold_joint() {
    let pour = |rest: &str| {
        fine(&format!(
            "job \"Pad\" {{ show feet; start 2027-06-07; weather 60 degF to 70 degF }}
line edge {{ leg a 10' }}
section pad {{ along edge; thick 6'; height -6\" to 0; base gravel; side earth }}
mix m {{ bag 80 lb, yields 0.60 ft3; strength 4000 psi; knits 60 min at 70 degF }}
pour p {{ fill pad; mix m; mixer 2 bags, takes 5 min; carry 3 gal, takes 1 min; lift 6\"; crew 3; {rest} }}
hours h {{ work mon to fri, from 8:00 to 17:00; crew 3 }}
step cast \"Cast\" {{ work pour p; people 3 }}"
        ))
    };
    let job = pour("break 2 h, after 1 h");
    let went = &job.works.placings[0].went;
    let front = went.longest_front.unwrap();
    // A single layer: what waits is the end of a batch, from its last concrete until after the rest.
    assert_eq!(went.longest, None);
    let (lies, comes) = (&went.batches[front.batch as usize - 1], &went.batches[front.batch as usize]);
    assert!((lies.placed_from..=lies.placed_to).contains(&front.placed), "{front:?} {lies:?}");
    assert!((comes.placed_from..=comes.placed_to).contains(&front.comes), "{front:?} {comes:?}");
    assert!(front.lasts() >= 2 * 3600, "{front:?}");
    let says = told(&job, "cold-joint");
    assert!(says.len() == 1 && says[0].contains("until the next is laid against it"), "{says:?}");
    assert!(job.works.placings[0].would_do.no_rest);
    assert!(order(&job).contains("Longest wait within a layer"), "{}", order(&job));
    assert_eq!(told(&pour("break 30 min, after 1 h"), "cold-joint"), [""; 0]);
    assert_eq!(told(&pour(""), "cold-joint"), [""; 0]);
}

#[test]
fn hours_that_keep_it_moist_are_those_that_count_for_forms() {
    // From 40 to 60 degF a day has half of its hours at 50 degF or more: 7 days of them are 14. From 40 to 59 degF it is 9 / 19: 14.8.
    // There is no step between.
    let until = |high: u32| {
        let job = fine(&format!(
            "job \"Pad\" {{ show feet; start 2028-01-31; weather 40 degF to {high} degF }}
line edge {{ leg front 8' }}
section pad {{ along edge; thick 4'; height -12\" to 0; base gravel; side earth }}
mix m {{ bag 80 lb, yields 0.60 ft3; strength 4000 psi; cement type-i }}
pour p {{ fill pad; mix m }}
cure k {{ of p; fresh 60 degF; wrap for 10 days }}"
        ));
        job.works.cures[0].moist.until.as_ref().unwrap().as_ref().unwrap().value.days()
    };
    near(until(60), 14.0, 1e-6);
    // Fourteen days give 14 * 9 / 19 = 6.632; of the fifteenth its cold 10 / 19 pass first, and then 0.368 are left.
    near(until(59), 14.0 + 10.0 / 19.0 + (7.0 - 14.0 * 9.0 / 19.0), 1e-6);
}

#[test]
fn a_longer_day_that_is_written_helps_and_too_early_does_not() {
    let job = |also: &str| {
        compiled(&format!(
            "job \"Pad\" {{ show feet; start 2028-02-25; weather 50 degF to 64 degF }}
line edge {{ leg front 3' }}
section pad {{ along edge; thick 2'; height -6\" to 0; base gravel; side earth }}
pour p {{ fill pad; mix bag-60-lb }}
hours h {{ work mon to fri, from 17:00 to 20:00; {also} }}
step dig \"Dig\" {{ takes 5 h }}
step cast \"Cast\" {{ work pour p; takes 5 h; after dig }}"
        ))
    };
    assert_eq!(told(&job(""), "day-too-long").len(), 1);
    let longer = job("also 2028-03-04, from 8:00 to 20:00");
    assert_eq!(told(&longer, "day-too-long"), [""; 0]);
    assert_eq!(when(&longer, "cast"), (8 * 86_400 + 8 * HOUR, 8 * 86_400 + 13 * HOUR));
    // Of the first Saturday, five hours and a half, digging takes two, and three and a half are left.
    assert_eq!(told(&job("also 2028-02-26, from 8:00 to 13:30"), "day-too-long").len(), 1);
}

#[test]
fn washing_by_hand_is_no_loud_work_and_roughening_is() {
    let wash = |roughen: &str| {
        let job = fine(&format!(
            "job \"Wash\" {{ show feet; start 2027-06-07; place indoors }}
wall old {{ leg a 6'; thick 12\"; height -12\" to 6'; of concrete, strength 3000 psi }}
section w {{ along old; thick 8\"; height 0 to 20\"; base gravel }}
prepare face {{ of w; {roughen} }}
pour p {{ fill w; mix bag-60-lb }}
hours h {{ work mon to fri, from 15:00 to 21:00; loud 8:00 to 18:00 }}
step wash \"Wash\" {{ work prepare face; takes 5 h }}
step cast \"Cast\" {{ work pour p; takes 1 h }}"
        ));
        when(&job, "wash")
    };
    // From 15:00 to 20:00; only until 18:00 where it is hammered, and the rest on the next day.
    assert_eq!(wash("wet 1 h"), (15 * HOUR, 20 * HOUR));
    assert_eq!(wash("roughen 1/4\""), (15 * HOUR, 86_400 + 17 * HOUR));
}

#[test]
fn who_refused_is_called_again_and_not_expected_before() {
    let job = |record: &str| {
        fine(&format!(
            "job \"Look\" {{ show feet; start 2027-06-07; place indoors }}
wall old {{ leg a 6'; thick 12\"; height -12\" to 6'; of concrete, strength 3000 psi }}
section w {{ along old; thick 8\"; height 0 to 20\"; base gravel }}
bars rails {{ size #4; along w; rows height 6\"; offset 4\" }}
pour p {{ fill w; mix bag-60-lb }}
step cage \"Tie\" {{ work place rails; takes 1 h }}
look seen \"Look\" {{ sees rails; by inspector; notice 5 days }}
step cast \"Cast\" {{ work pour p; takes 1 h; after seen }}
record 2027-06-14 {{ done cage, took 60 min }}
{record}"
        ))
    };
    // Called on the 7th they may come on the 15th. Refused on the 15th, called on the 16th: five days later is Monday the 21st.
    assert_eq!(when(&job(""), "seen").0, 8 * 86_400 + 8 * HOUR);
    let refused = job("record 2027-06-15 { looked seen by inspector, refused \"ties are missing\" }");
    assert_eq!(when(&refused, "seen").0, 14 * 86_400 + 8 * HOUR);
}

#[test]
fn wet_concrete_nobody_is_there_for_is_told_and_a_wrap_helps() {
    let gone = |cure: &str| {
        let job = fine(&format!(
            "job \"Gone\" {{ show feet; start 2027-06-11; weather 55 degF to 70 degF }}
line row {{ leg a 4' }}
section pad {{ along row; thick 2'; height -8\" to 0; side earth }}
pour p {{ fill pad; mix bag-80-lb; mixer 1 bag, takes 5 min; lift 8\" }}
cure k {{ of p; {cure} }}
hours h {{ work mon to fri, from 8:00 to 16:00; away 2027-06-14 to 2027-06-25; crew 1 }}
step cast \"Pour\" {{ work pour p }}"
        ));
        told(&job, "wet-short")
    };
    // Poured on Friday the 11th, wet for seven days, the 12th to the 18th: away on the last five.
    assert_eq!(
        gone("wet daily for 7 days"),
        ["`p` is to be wet from 2027-06-14 to 2027-06-18, and on 5 of these days nobody is there"]
    );
    assert_eq!(gone("wrap for 7 days"), [""; 0]);
    assert_eq!(gone("wet daily for 7 days; wrap for 7 days"), [""; 0]);
}

#[test]
fn one_face_one_time_it_is_soaked_and_one_way_to_say_how_it_is_kept_wet() {
    let job = fine(
        "job \"Two\" { show feet; start 2027-06-07; weather 55 degF to 70 degF }
wall old { leg a 7'; thick 12\"; height -12\" to 7'; of concrete, strength 3000 psi }
section w1 { along old; thick 10\"; height 0 to 30\" }
section w2 { along old; thick 10\"; height 30\" to 5' }
prepare face { of w1, w2; roughen 1/4\"; wet 12 h }
prepare seat { of w2; meets w1; roughen 1/4\"; wet 6 h }
mix m { bag 80 lb, yields 0.60 ft3; strength 4000 psi }
pour p1 { fill w1; mix m }
pour p2 { fill w2; mix m }
cure k1 { of p1; wet for 7 days; load after 20 days; backfill after 15 days }
step wash \"Face\" { work prepare face; takes 3 h }
step cast1 \"Cast\" { work pour p1; takes 2 h }
step rub \"Rub\" { work prepare seat; takes 1 h }
step cast2 \"Cast\" { work pour p2; takes 2 h; not-before 2027-06-20 }",
    );
    let paper = order(&job);
    assert_eq!(paper.matches("cleaned and kept wet for 6 h").count(), 2, "{paper}");
    assert!(!paper.contains("cleaned and kept wet for 12 h"));
    assert!(paper.contains("wet all day and night for 7 days"), "{paper}");
    assert!(days(&job).contains("wet all day and night (day 1 of 7)"), "{}", days(&job));
    assert!(paper.find("**Day 16**").unwrap() < paper.find("**Day 21**").unwrap(), "in the order of the days");
}

#[test]
fn the_order_ticks_what_is_recorded() {
    let job = fine(
        "job \"Wall\" { show feet; start 2027-05-03 }
wall old { leg back 10'; thick 8\"; height -12\" to 40\"; of concrete, strength 3000 psi }
section low { along old.back; thick 8\"; height 0 to 20\" }
holes pins { into old; along low; rows height 6\"; inset 6\"; space at most 14\"; bore 5/8\" by 5\" }
bars pegs { size #4; in pins; out 2\" }
ask lines \"Cables?\" { about lines; before drill; answered 2027-04-20 \"none\" }
ask water \"Drain?\" { about water }
step drill \"Drill\" { work drill pins; takes 5 min each }
step peg \"Set\" { work set pegs; takes 3 min each }
look seen \"Look\" { sees pegs; after peg }
step tidy \"Tidy\" { takes 1 h; after seen }
record 2027-05-10 { hole pins.3 bore 5/8\" by 4\"; done drill; done peg }
record 2027-05-11 { looked seen, passed }",
    );
    assert!(job.problems.iter().all(|problem| problem.rule.level != Level::Error));
    let paper = order(&job);
    for ticked in ["☑ **Drill** (drill)", "☑ **Set** (peg)", "☑ **HOLD: Look** (seen)", "☑ **ASK: Cables?** (lines)"]
    {
        assert!(paper.contains(ticked), "{ticked}\n{paper}");
    }
    for open in ["☐ **Tidy** (tidy)", "☐ **ASK: Drain?** (water)"] {
        assert!(paper.contains(open), "{open}\n{paper}");
    }
    assert!(paper.contains("done on 2027-05-10, as recorded") && paper.contains("passed on 2027-05-11, as recorded"));
    let sheet = &paper[paper.find("**Holes pins.").unwrap()..];
    let row = |number: &str| -> Vec<&str> {
        let rows = sheet.lines().map(|line| line.split('|').map(str::trim).collect::<Vec<_>>());
        rows.into_iter().find(|row| row.get(1) == Some(&number)).unwrap()
    };
    assert_eq!(row("2")[8..10], ["5\"", "as planned, 2027-05-10"]);
    assert_eq!(row("3")[8], "4\"");
    // A bar that is set stands out an inch more: five inches of concrete, less one, in front of its end at 3" of 8".
    let help = job.problems.iter().find(|problem| problem.rule.name == "hole-shallow").unwrap();
    assert!(help.helps(System::Feet).unwrap().contains("with 5\" of concrete in front of it: cut 1\" off its end"));
}

//! What comes in turn by itself where pours meet and forms are in the way, and what is told where it is written otherwise.

use batterboard::{compile::Compiled, plan::Lasts};

use super::compiled;

const HEAD: &str = r#"
wall old { leg back 10'; thick 10"; height -24" to 30"; of concrete }
mix shop { bag 80 lb, yields 0.60 ft3; sets 6 h at 70 degF, 9 h at 50 degF }
"#;

fn forms(name: &str, against: &str) -> String {
    format!(
        "forms {name} {{ against {against}; sheath ply-3/4; studs 2x4, space at most 12\"; \
         brace 2x4, space at most 30\", angle 30 deg, on bank; kick 2x4, on bank; down 500 lbf, space at most 24\" }}\n"
    )
}

/// The steps in their order.
fn order(job: &Compiled) -> Vec<&str> {
    job.works.plan.order.iter().map(|step| job.job.name(*step)).collect()
}

fn told(job: &Compiled) -> Vec<String> {
    let early = job.problems.iter().filter(|problem| problem.rule.name == "step-early");
    early.map(|problem| problem.says(job.job.system())).collect()
}

fn halves(steps: &str) -> Compiled {
    compiled(&format!(
        r#"{HEAD}
section left {{ along old.back 0 to 5'; thick 8"; height -12" to 6"; base gravel }}
section right {{ along old.back 5' to 10'; thick 8"; height -12" to 6"; base gravel }}
{}{}
pour one {{ fill left; mix shop }}
pour two {{ fill right; mix shop }}
prepare face {{ of left; roughen 1/4" }}
prepare joint {{ of right; roughen 1/4" }}
{steps}"#,
        forms("f", "left"),
        forms("g", "right"),
    ))
}

#[test]
fn the_bulkhead_of_the_first_half_is_gone_before_the_second_is_cast_against_its_end() {
    let job = halves(
        r#"
step wash "Wash the left" { work prepare face }
step wash2 "Wash the right" { work prepare joint; takes 6 min per ft2 }
step form "Form the left" { work form f }
step form2 "Form the right" { work form g }
step cast "Cast the left" { work pour one }
step cast2 "Cast the right" { work pour two }
step strip "Strip the left" { work strip f }
step strip2 "Strip the right" { work strip g }
"#,
    );
    assert_eq!(order(&job), ["wash", "form", "cast", "strip", "wash2", "form2", "cast2", "strip2"]);
    assert_eq!(told(&job), [""; 0]);
    // The old face behind the right half, 5 ft by 1.5 ft, and the end of the left one, 8 in by 1.5 ft.
    let wash = job.works.plan.durations.iter().find(|(step, _)| job.job.name(*step) == "wash2").unwrap();
    let Lasts::Per { all, .. } = wash.1 else { panic!("{wash:?}") };
    super::near(all.minutes(), 6.0 * (7.5 + 1.0), 1e-9);
}

#[test]
fn one_step_that_strips_both_halves_gives_way_and_is_told_of() {
    let job = halves(
        r#"
step wash "Wash" { work prepare face, joint }
step form "Form" { work form f, g }
step cast "Cast the left" { work pour one }
step cast2 "Cast the right" { work pour two; after cast }
step strip "Strip" { work strip f, g }
"#,
    );
    assert_eq!(order(&job), ["wash", "form", "cast", "cast2", "strip"]);
    assert_eq!(
        told(&job),
        [
            "`wash` makes a joint ready before `cast` brings the concrete for it",
            "`cast2` comes before `strip` takes the bulkhead out of its way",
        ]
    );
}

#[test]
fn forms_that_hold_both_halves_and_one_washing_of_both_ask_for_nothing() {
    let job = compiled(&format!(
        r#"{HEAD}
section left {{ along old.back 0 to 5'; thick 8"; height -12" to 6"; base gravel }}
section right {{ along old.back 5' to 10'; thick 8"; height -12" to 6"; base gravel }}
{}
pour one {{ fill left; mix shop }}
pour two {{ fill right; mix shop }}
prepare face {{ of left, right; roughen 1/4" }}
step wash "Wash" {{ work prepare face }}
step form "Form" {{ work form f }}
step cast "Cast the left" {{ work pour one }}
step cast2 "Cast the right" {{ work pour two }}
step strip "Strip" {{ work strip f }}
"#,
        forms("f", "left, right"),
    ));
    assert_eq!(order(&job), ["wash", "form", "cast", "cast2", "strip"]);
    assert_eq!(told(&job), [""; 0]);
}

const STEM: &str = r#"
line run { leg a 6' }
mix shop { bag 80 lb, yields 0.60 ft3; sets 6 h at 70 degF, 9 h at 50 degF }
section foot { along run.a; thick 20"; height -10" to 0; side earth }
section stem { along run.a; offset 6" to 14"; height 0 to 20" }
pour below { fill foot; mix shop }
pour above { fill stem; mix shop }
prepare joint { of stem; roughen 1/4"; wet 12 h }
"#;

#[test]
fn what_stands_on_a_pour_comes_after_it_and_its_joint_between_when_it_has_set() {
    let job = compiled(&format!(
        r#"job "Stem" {{ show feet; start 2027-06-07 }}
{STEM}
step wash "Roughen the joint" {{ work prepare joint; takes 1 h }}
step high "Cast the stem" {{ work pour above; takes 1 h }}
step low "Cast the footing" {{ work pour below; takes 1 h }}
"#
    ));
    assert_eq!(order(&job), ["low", "wash", "high"]);
    assert_eq!(told(&job), [""; 0]);
    let days = job.works.days.as_ref().unwrap();
    let at = |step: &str| &days.done.iter().find(|dated| job.job.name(dated.node) == step).unwrap().placed;
    // The longest time the mix is said to take.
    assert!(at("wash").start - at("low").finish >= 9 * 3600, "{:?} {:?}", at("low"), at("wash"));
}

#[test]
fn a_footing_written_after_its_wall_is_told_of() {
    let job = compiled(&format!(
        r#"{STEM}
step wash "Roughen the joint" {{ work prepare joint; before high }}
step high "Cast the stem" {{ work pour above; before low }}
step low "Cast the footing" {{ work pour below }}
"#
    ));
    assert_eq!(order(&job), ["wash", "high", "low"]);
    // With `before low` gone, the joint waits for the footing too: one clause, one finding.
    assert_eq!(told(&job), ["`high` comes before `low`, on whose concrete it stands"]);
    let early = job.problems.iter().find(|problem| problem.rule.name == "step-early").unwrap();
    assert_eq!(job.sources.text(early.labels[0].span), "low");
}

#[test]
fn earth_is_filled_in_when_the_forms_are_out() {
    let job = |written: &str| {
        compiled(&format!(
            r#"job "Earth" {{ show feet; start 2027-10-04; weather 55 degF to 65 degF }}
{HEAD}
section left {{ along old.back 0 to 10'; thick 8"; height -12" to 6"; base gravel }}
{}
pour one {{ fill left; mix shop }}
cure keep {{ of one; forms-on for 20 days; strip after 20 days; backfill after 14 days }}
step form "Form" {{ work form f; takes 2 h }}
step cast "Cast" {{ work pour one; takes 2 h }}
step earth "Backfill" {{ work backfill keep; takes 4 h{written} }}
step strip "Strip" {{ work strip f; takes 1 h }}
"#,
            forms("f", "left"),
        ))
    };
    let by_itself = job("");
    assert_eq!(order(&by_itself), ["form", "cast", "strip", "earth"]);
    let days = by_itself.works.days.as_ref().unwrap();
    let at = |step: &str| &days.done.iter().find(|dated| by_itself.job.name(dated.node) == step).unwrap().placed;
    assert!(at("earth").start >= at("strip").finish);
    assert_eq!(told(&by_itself), [""; 0]);
    let written = job("; before strip");
    assert_eq!(order(&written), ["form", "cast", "earth", "strip"]);
    assert_eq!(told(&written), ["`earth` fills in the earth before `strip` takes the forms out"]);
}

/// A footing and its wall with bars and forms, and these steps on a day.
fn wall(steps: &str) -> Compiled {
    compiled(&format!(
        r#"job "Stem" {{ show feet; start 2027-06-07; place outdoors; weather 55 degF to 72 degF }}
line run {{ leg a 8' }}
ground {{ outside 0; inside 0 }}
mix shop {{ bag 80 lb, yields 0.60 ft3; sets 4 h at 70 degF }}
section foot {{ along run; offset 0 to 20"; height -20" to -8"; side earth }}
section stem {{ along run; offset 6" to 14"; height -8" to 16" }}
bars starters {{ size #4; along foot; space at most 16"; inset 6"; from offset 10 1/2", height -15 3/4"; legs up 26" }}
bars rails {{ size #4; along stem; rows height 0, 10"; offset 10"; ends 3" }}
{}
pour below {{ fill foot; mix shop }}
pour above {{ fill stem; mix shop }}
prepare joint {{ of stem; meets foot; roughen 1/4" }}
cure keep {{ of above; wet daily for 7 days; backfill after 14 days }}
hours days {{ work mon to fri, from 8:00 to 17:00; crew 4 }}
{steps}"#,
        forms("box", "stem"),
    ))
}

#[test]
fn bars_and_forms_wait_for_the_concrete_they_stand_on_until_it_has_set_and_forms_for_bars_written_first() {
    let job = wall(
        r#"
step rail "Rails" { work place rails; takes 2 h }
step form "Form" { work form box; takes 4 h }
step wash "Wash the joint" { work prepare joint; takes 1 h }
step start "Starters" { work place starters; takes 2 h }
step low "Cast the footing" { work pour below; takes 2 h }
step high "Cast the stem" { work pour above; takes 2 h }
step strip "Strip" { work strip box; takes 1 h }
step earth "Fill" { work backfill keep; takes 1 h }
"#,
    );
    assert_eq!(told(&job), [""; 0]);
    let days = job.works.days.as_ref().unwrap();
    let at = |step: &str| &days.done.iter().find(|dated| job.job.name(dated.node) == step).unwrap().placed;
    let set = at("low").finish + 4 * 3600;
    assert!(at("start").finish <= at("low").start);
    for step in ["rail", "form", "wash"] {
        assert!(at(step).start >= set, "{step} {:?} {set}", at(step));
    }
    assert!(at("form").start >= at("rail").finish);
    // The list is read from top to bottom as the days go.
    let starts: Vec<i64> = order(&job).into_iter().map(|step| at(step).start).collect();
    assert!(starts.is_sorted(), "{starts:?}");
}

#[test]
fn forms_may_stand_before_their_bars_where_it_is_written_so_and_bars_on_nothing_are_told_of() {
    let job = wall(
        r#"
step start "Starters" { work place starters }
step low "Cast the footing" { work pour below }
step wash "Wash the joint" { work prepare joint }
step form "Form" { work form box; before rail }
step rail "Rails" { work place rails; before late }
step late "Sweep" { before low }
step high "Cast the stem" { work pour above }
step strip "Strip" { work strip box }
step earth "Fill" { work backfill keep }
"#,
    );
    assert_eq!(
        told(&job),
        ["`rail` places bars before `low` brings the concrete they stand on"],
        "forms and joint come before them, through the same clause"
    );
    let early = job.problems.iter().find(|problem| problem.rule.name == "step-early").unwrap();
    assert_eq!(job.sources.text(early.labels[0].span), "late");
}

#[test]
fn records_of_bars_do_not_show_that_what_they_ought_to_wait_for_was_done() {
    let steps = r#"
step start "Starters" { work place starters; takes 2 h }
step low "Cast the footing" { work pour below; takes 2 h }
step rail "Rails" { work place rails; takes 2 h }
step form "Form" { work form box; takes 4 h }
step wash "Wash the joint" { work prepare joint; takes 1 h }
step high "Cast the stem" { work pour above; takes 2 h }
record 2027-06-08 { done rail }
"#;
    let job = wall(steps);
    let days = job.works.days.as_ref().unwrap();
    let past = |step: &str| days.done.iter().find(|dated| job.job.name(dated.node) == step).unwrap().past.is_some();
    assert!(past("rail"));
    assert!(!past("low") && !past("start"));
}

#[test]
fn forms_nobody_takes_off_are_told_of_where_earth_comes_against_them() {
    let missed = |strip: &str| -> Vec<String> {
        let job = wall(&format!(
            r#"
step start "Starters" {{ work place starters, rails }}
step low "Cast the footing" {{ work pour below }}
step wash "Wash the joint" {{ work prepare joint }}
step form "Form" {{ work form box }}
step high "Cast the stem" {{ work pour above }}
{strip}
step earth "Fill" {{ work backfill keep }}
"#
        ));
        let missed = job.problems.iter().filter(|problem| problem.rule.name == "not-in-steps");
        missed.map(|problem| problem.says(job.job.system())).collect()
    };
    assert_eq!(missed(""), ["no step has `work strip box`"]);
    assert_eq!(missed(r#"step strip "Strip" { work strip box }"#), [""; 0]);
}

#[test]
fn a_block_that_says_what_its_sections_meet_is_for_that_joint_alone() {
    let area = |meets: &str| {
        let job = compiled(&format!(
            r#"{HEAD}
section left {{ along old.back 0 to 5'; thick 8"; height -12" to 6"; base gravel }}
section right {{ along old.back 5' to 10'; thick 8"; height -12" to 6"; base gravel }}
pour one {{ fill left; mix shop }}
pour two {{ fill right; mix shop }}
prepare face {{ of left, right; roughen 1/4" }}
prepare joint {{ of right; {meets}roughen 1/4" }}
step wash "Wash the face" {{ work prepare face; takes 6 min per ft2 }}
step cast "Cast the left" {{ work pour one }}
step wash2 "Wash the joint" {{ work prepare joint; takes 6 min per ft2; after cast }}
step cast2 "Cast the right" {{ work pour two }}
"#
        ));
        ["wash", "wash2"].map(|name| {
            let wash = job.works.plan.durations.iter().find(|(step, _)| job.job.name(*step) == name).unwrap();
            let Lasts::Per { all, .. } = wash.1 else { panic!("{wash:?}") };
            all.minutes() / 6.0
        })
    };
    // Both halves, 10 ft by 1.5 ft; the end of the left one, 8 in by 1.5 ft.
    let [face, joint] = area("meets left; ");
    super::near(face, 15.0, 1e-9);
    super::near(joint, 1.0, 1e-9);
    // Without the word it makes the old face behind its section ready too.
    let [face, both] = area("");
    super::near(face, 15.0, 1e-9);
    super::near(both, 8.5, 1e-9);
}

#[test]
fn bars_that_lie_outside_their_section_force_no_step() {
    let job = |height: &str| {
        super::found(&format!(
            "job \"two\" {{ show metric; start 2027-04-19 }}
line edge {{ leg front 2400 mm }}
ground {{ inside 0 }}
section pad {{ along edge.front; thick 1200 mm; height -200 mm to 50 mm; base gravel; side earth }}
section stem {{ along edge.front; offset 500 mm to 700 mm; height 50 mm to 550 mm }}
bars starters {{ size 12mm; along stem; space at most 250 mm; inset 100 mm; from offset 600 mm, height {height}; legs up 400 mm }}
mix sack {{ bag 25 kg, yields 12 L }}
pour p1 {{ fill pad; mix sack }}
pour p2 {{ fill stem; mix sack }}
step cage \"Place\" {{ work place starters }}
step cast-1 \"Cast\" {{ work pour p1; after cage }}
step cast-2 \"Cast\" {{ work pour p2; after cast-1 }}"
        ))
    };
    // Where they stand on the pad, they are placed too early.
    assert!(job("100 mm").contains(&"step-early"));
    let outside = job("-95 mm");
    assert!(outside.contains(&"row-outside") && !outside.contains(&"step-early"), "{outside:?}");
}

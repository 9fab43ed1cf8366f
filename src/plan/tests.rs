//! Jobs from text: what waits for what, what is buried, missed, done twice.

mod burial;
mod graph;

use proptest::prelude::*;

use super::{Counted, Edge, Lasts, Plan, Reason, before, days::first_after, plan};
use crate::{
    concrete::Solids,
    job::{self, Job},
    language::{self, Limits},
    problem::{Level, Problem},
    scheduling::DAY,
    schema::{Ahead, BlockId},
    source::Shelf,
    units::{Date, Duration, WorkingDays},
};

/// A job and what was found while reading it.
fn read(texts: &Shelf, text: &str) -> (Job, Vec<Problem>) {
    let (limits, mut problems) = (Limits::default(), Vec::new());
    let mut loaded = language::load_text(texts, "a.job", text, &limits, &mut problems);
    let shelf = job::shelve(&mut loaded.sources);
    let job = job::build(&loaded, &shelf, &limits, &mut problems);
    (job, problems)
}

fn clean(text: &str) -> Job {
    let (job, problems) = read(&Shelf::default(), text);
    let errors: Vec<_> = problems.iter().filter(|problem| problem.rule.level == Level::Error).collect();
    assert!(errors.is_empty(), "{errors:#?}");
    job
}

fn none(_: BlockId) -> Option<u64> {
    None
}

fn counted(pieces: &dyn Fn(BlockId) -> Option<u64>) -> Counted<'_> {
    Counted { pieces, amount: &|_, _| None, misplaced: &|_| false }
}

fn names(job: &Job, ids: impl IntoIterator<Item = BlockId>) -> Vec<&str> {
    ids.into_iter().map(|id| job.name(id)).collect()
}

fn order(job: &Job) -> String {
    names(job, plan(job, &counted(&none), &Solids::default(), 1_000_000).order).join(" ")
}

/// `before after` by names, of the edges for which a reason is picked.
fn pairs(job: &Job, plan: &Plan, pick: impl Fn(Reason) -> bool) -> Vec<String> {
    let picked = plan.edges.iter().filter(|edge| pick(edge.reason));
    let mut pairs: Vec<String> =
        picked.map(|edge| format!("{} {}", job.name(edge.before), job.name(edge.after))).collect();
    pairs.sort();
    pairs.dedup();
    pairs
}

fn hidden(job: &Job, plan: &Plan) -> Vec<String> {
    let mut hidden: Vec<String> = plan
        .edges
        .iter()
        .filter_map(|edge| match edge.reason {
            Reason::Hides { thing, cover } => Some(format!("{} {}", job.name(thing), job.name(cover))),
            _ => None,
        })
        .collect();
    hidden.sort();
    hidden.dedup();
    hidden
}

/// Two sections one on the other along `back`, one beside them on `side`, each poured by itself.
const SITE: &str = r#"
job "wall" { }
wall old { leg back 10'; corner outside; leg side 3'; thick 8"; height -12" to 30"; of concrete }
slab floor { against old.back, old.side; thick 4"; top 0 }
section low  { along old.back; thick 8"; height -12" to 0 }
section high { along old.back; thick 8"; height 0 to 20" }
section far  { along old.side; thick 8"; height 0 to 20" }
pour one   { fill low; mix bagged }
pour two   { fill high; mix bagged }
pour three { fill far; mix bagged }
mix bagged { bag 80 lb, yields 0.60 ft3 }
step cast-one   "one" { work pour one }
step cast-two   "two" { work pour two }
step cast-three "three" { work pour three }
"#;

fn site(more: &str) -> Job {
    clean(&format!("{SITE}{more}"))
}

fn rails(name: &str, along: &str, height: &str) -> String {
    format!(
        "bars {name} {{ size #4; along {along}; rows height {height}; offset 4\" }}\nstep do-{name} \"x\" {{ work place {name} }}\n"
    )
}

#[test]
fn the_boathouse_is_built_in_its_order() {
    let shop = include_str!("../../examples/boathouse/shop.job");
    let (job, problems) =
        read(&Shelf::new([("shop.job", shop)]), include_str!("../../examples/boathouse/boathouse.job"));
    assert!(problems.iter().all(|problem| problem.rule.level != Level::Error), "{problems:#?}");
    let count = |id: BlockId| (job.name(id) == "pins").then_some(24);
    let plan = plan(&job, &counted(&count), &Solids::default(), 1_000_000);
    let wanted = "permit locate toe cause water flooring paint mark scan saw break drill mend peg harden face cage seen form cast strip";
    assert_eq!(names(&job, plan.order.iter().copied()).join(" "), wanted);
    assert!(plan.circles.is_empty() && plan.undone.is_empty() && plan.cut.is_none() && !plan.no_steps);
    assert!(plan.unhandled.is_empty() && plan.misfits.is_empty() && plan.doubles.is_empty());
    assert_eq!(
        pairs(&job, &plan, |reason| !reason.is_written() && reason.is_sure()),
        [
            "break cage",
            "break cast",
            "break face",
            "break form",
            "cage cast",
            "cage seen",
            "cast strip",
            "drill cast",
            "drill form",
            "drill peg",
            "drill seen",
            "face cast",
            "face form",
            "form cast",
            "mark cast",
            "mark drill",
            "mend cast",
            "mend form",
            "peg cast",
            "peg seen",
            "saw break",
            "saw cast",
            "scan break",
            "scan cast",
            "scan drill",
            "scan saw",
            "seen cast",
        ]
    );
    // One reaches the face before the bars and the forms stand in front of it.
    assert_eq!(
        pairs(&job, &plan, |reason| !reason.is_sure()),
        [
            "cage form",
            "drill cage",
            "drill form",
            "face cage",
            "face form",
            "mend cage",
            "mend form",
            "peg cage",
            "peg form"
        ]
    );
    assert_eq!(
        hidden(&job, &plan),
        [
            "crown wall",
            "old-face front",
            "old-face wall",
            "pegs wall",
            "pins front",
            "pins wall",
            "rails wall",
            "rises wall",
            "slab-edge wall",
            "slab-strip wall",
            "split front",
            "split wall"
        ]
    );
    // `locate` is not answered, `permit` is.
    assert_eq!(
        pairs(&job, &plan, |reason| reason == Reason::Before),
        ["face cage", "harden cage", "locate saw", "scan saw"]
    );
    let lasts = |name: &str| plan.durations.iter().find(|(id, _)| job.name(*id) == name).unwrap().1;
    assert!(matches!(lasts("drill"), Lasts::Each { pieces: 24, all, .. } if (all.minutes() - 144.0).abs() < 1e-9));
    assert!(matches!(lasts("peg"), Lasts::Uncounted { one, measure: None } if (one.minutes() - 4.0).abs() < 1e-9));
    assert!(matches!(lasts("harden"), Lasts::For(time) if (time.hours() - 24.0).abs() < 1e-9));
    assert_eq!(lasts("cast"), Lasts::Unsaid);
}

#[test]
fn a_look_at_a_pour_or_a_section_comes_after_it() {
    let job = site("look a \"x\" { sees one }\nlook b \"x\" { sees far; before a }\n");
    let plan = plan(&job, &counted(&none), &Solids::default(), 1_000_000);
    assert_eq!(pairs(&job, &plan, |reason| matches!(reason, Reason::Made { .. })), ["cast-one a", "cast-three b"]);
    assert!(hidden(&job, &plan).is_empty());
    assert_eq!(order(&job), "cast-one cast-two cast-three b a");
}

#[test]
fn what_is_written_after_the_pour_is_undone() {
    let job = site(&format!(
        "{}{}look seen \"x\" {{ sees up; after cast-three }}\nstep last \"x\" {{ after cast-two; before do-up }}\n",
        rails("up", "high", "6\""),
        rails("on-side", "far", "6\""),
    ));
    let late = plan(&job, &counted(&none), &Solids::default(), 1_000_000);
    assert!(late.circles.is_empty(), "{:?}", late.circles);
    let [undone] = late.undone.as_slice() else { panic!("{:?}", late.undone) };
    assert_eq!(names(&job, [undone.late, undone.cover]), ["do-up", "cast-two"]);
    assert_eq!(names(&job, undone.things.iter().map(|(thing, _)| *thing)), ["up"]);
    assert_eq!(names(&job, undone.circle.nodes()), ["cast-two", "last", "do-up"]);
    assert!(undone.circle.least);
    // What can be ordered stands first, then the rest as written.
    assert_eq!(names(&job, late.order), ["cast-one", "do-on-side", "cast-three", "cast-two", "do-up", "seen", "last"]);

    let job = site(&format!("{}look seen \"x\" {{ sees up; after cast-two }}\n", rails("up", "high", "6\"")));
    let late = plan(&job, &counted(&none), &Solids::default(), 1_000_000);
    assert_eq!(names(&job, late.undone.iter().map(|undone| undone.late)), ["seen"]);
}

#[test]
fn working_days_pass_over_weekends() {
    let day = |year, month, day| Date::new(year, month, day).unwrap();
    let (monday, friday) = (day(2027, 5, 3), day(2027, 5, 7));
    let working = |days| Ahead::Working(WorkingDays::from_working_days(days));
    let ten = 10 * 3600;
    assert_eq!(before(monday, 2 * DAY + ten, working(2.0)), ten);
    assert_eq!(before(monday, 7 * DAY + ten, working(2.0)), 3 * DAY + ten);
    assert_eq!(before(monday, 7 * DAY + ten, Ahead::Time(Duration::from_days(2.0))), 5 * DAY + ten);
    // Half a day counts as one, and on a Saturday nobody counts.
    assert_eq!(before(monday, 5 * DAY, working(0.5)), 4 * DAY);
    // Five whole days are over as Saturday begins.
    assert_eq!(first_after(monday, working(5.0)), 5 * DAY);
    assert_eq!(first_after(friday, working(2.0)), 4 * DAY);
    assert_eq!(first_after(monday, working(1e9)) / DAY / 7, 14_640 / 5 - 1);
    assert_eq!(first_after(monday, Ahead::Time(Duration::from_days(5.0))), 5 * DAY);
}

/// A slab in front of a wall with a strip to break out, one section in the gap and one that stands on the slab.
const DUG: &str = r#"
job "x" { }
wall old { leg back 10'; thick 8"; height -30" to 26" }
slab floor { against old.back; thick 4"; top 0 }
remove strip { in floor; along old.back 0 to 6'; out 16" }
section pit { along old.back 0 to 6'; thick 8"; height -14" to 0 }
section ledge { along old.back 6' to 9'; thick 3'; height 0 to 12" }
prepare face { of pit, ledge; roughen 1/4" }
holes lower { into old; along pit; rows height -8"; inset 5"; space at most 14"; bore 5/8" by 5" }
holes upper { into old; along ledge; rows height 8"; inset 5"; space at most 14"; bore 5/8" by 5" }
pour cast { fill pit, ledge; mix bag-80-lb }
forms front { against pit; sheath ply-3/4; studs 2x4, space at most 12" }
forms round { against ledge; sheath ply-3/4; studs 2x4, space at most 12" }
step form "x" { work form front; work form round }
step drill-up "x" { work drill upper }
step drill-low "x" { work drill lower }
step rough "x" { work prepare face }
step break "x" { work remove strip }
step fill "x" { work pour cast }
"#;

#[test]
fn what_lies_under_a_slab_waits_until_the_strip_is_out() {
    let job = clean(DUG);
    let plan = plan(&job, &counted(&none), &Solids::default(), 1_000_000);
    assert_eq!(
        pairs(&job, &plan, |reason| matches!(reason, Reason::Bared { .. })),
        ["break drill-low", "break form", "break rough"]
    );
}

#[test]
fn the_old_face_is_worked_on_before_forms_stand_in_front_of_it() {
    let job = clean(DUG);
    let plan = plan(&job, &counted(&none), &Solids::default(), 1_000_000);
    let hidden = hidden(&job, &plan);
    // Over the forms of what is wider than high one reaches the old face.
    assert_eq!(hidden.iter().filter(|pair| !pair.ends_with("cast")).collect::<Vec<_>>(), ["face front", "lower front"]);
    assert_eq!(order(&job), "drill-up break drill-low rough form fill");
    let late = clean(&DUG.replace("work form round }", "work form round; before drill-low }"));
    let late = super::plan(&late, &counted(&none), &Solids::default(), 1_000_000);
    assert_eq!((late.circles.len(), late.undone.len()), (0, 1));
}

#[test]
fn plain_circles_stay_circles() {
    let job = clean(
        r#"
job "x" { }
step a "x" { after b }
step b "x" { after a }
step c "x" { after c }
step d "x" { after c }
wait w "x" { takes 1 h; before v }
wait v "x" { takes 1 h; before u }
look u "x" { before w }
step free "x" { }
"#,
    );
    let plan = plan(&job, &counted(&none), &Solids::default(), 1_000_000);
    assert!(plan.undone.is_empty());
    let circles: Vec<_> = plan.circles.iter().map(|circle| names(&job, circle.nodes()).join(" ")).collect();
    assert_eq!(circles, ["a b", "c", "w v u"]);
    assert_eq!(names(&job, plan.order), ["free", "a", "b", "c", "d", "w", "v", "u"]);

    // Two edges that stand there by themselves: a look cannot see both the bars and the concrete over them.
    let job = site(&format!("{}look both \"x\" {{ sees up, two }}\n", rails("up", "high", "6\"")));
    let both = super::plan(&job, &counted(&none), &Solids::default(), 1_000_000);
    assert!(both.undone.is_empty());
    assert_eq!(names(&job, both.circles[0].nodes()), ["cast-two", "both"]);
    assert!(both.circles[0].edges.iter().all(|edge| !edge.reason.is_written()));
}

#[test]
fn asks_hold_up_until_they_are_answered() {
    let text = |answered: &str| {
        clean(&format!(
            "job \"x\" {{ }}\nstep a \"x\" {{ after may }}\nstep b \"x\" {{ }}\nask may \"x\" {{ before b; {answered} }}\n"
        ))
    };
    let (open, closed) = (text(""), text("answered 2027-04-12"));
    assert_eq!(order(&open), "may a b");
    assert_eq!(order(&closed), "a b may");
    assert!(plan(&closed, &counted(&none), &Solids::default(), 1_000_000).edges.is_empty());
}

#[test]
fn everything_is_handled_once_by_the_right_verb() {
    let job = site(
        r#"
holes pins { into old; along old.back; rows height 6"; space at most 14"; bore 5/8" by 6" }
bars pegs { size #4; in pins; out 5" }
bars up { size #4; along high; rows height 6"; offset 4" }
bars down { size #4; along low; rows height -6"; offset 4" }
remove strip { in floor; along old.back; out 10" }
step wrong "x" { work place pegs; work place down }
step again "x" { work place down; work scan floor; work scan floor }
"#,
    );
    let plan = plan(&job, &counted(&none), &Solids::default(), 1_000_000);
    let missed: Vec<_> = plan.unhandled.iter().map(|missed| (job.name(missed.thing), missed.verb)).collect();
    assert_eq!(missed, [("pins", "drill"), ("up", "place"), ("strip", "remove")]);
    let misfits: Vec<_> =
        plan.misfits.iter().map(|misfit| (job.name(misfit.thing), misfit.verb, misfit.wanted)).collect();
    assert_eq!(misfits, [("pegs", "place", "set")]);
    let doubles: Vec<_> = plan
        .doubles
        .iter()
        .map(|double| (job.name(double.thing), double.verb, job.name(double.first.0), job.name(double.again.0)))
        .collect();
    assert_eq!(doubles, [("floor", "scan", "again", "again"), ("down", "place", "wrong", "again")]);
}

#[test]
fn what_is_broken_is_no_echo() {
    let (job, problems) = read(
        &Shelf::default(),
        &format!(
            "{SITE}{}step peg \"x\" {{ work set nobody }}\nholes pins {{ into old }}\n",
            "bars up { size #4; along high; rows height 6\"; offset 4\" }\nstep a \"x\" { after peg }\n"
        ),
    );
    assert!(!problems.is_empty());
    let plan = plan(&job, &counted(&none), &Solids::default(), 1_000_000);
    assert!(plan.unhandled.is_empty(), "the broken step may place them");
    assert!(plan.edges.is_empty() && plan.circles.is_empty());
    assert!(!plan.no_steps);
    let bare = clean("job \"x\" { }\n");
    assert!(super::plan(&bare, &counted(&none), &Solids::default(), 1_000_000).no_steps);
}

#[test]
fn one_step_may_do_it_all() {
    let job = site(
        &format!("{}step all \"x\" {{ work pour one; work place x }}\n", rails("x", "low", "-6\""))
            .replace("step do-x \"x\" { work place x }", ""),
    );
    let plan = plan(&job, &counted(&none), &Solids::default(), 1_000_000);
    assert_eq!(pairs(&job, &plan, |_| true), ["all cast-one"]);
}

#[test]
fn too_many_edges_are_cut_and_said() {
    use std::fmt::Write;
    let mut text = String::from(SITE);
    text.push_str("bars up { size #4; along high; rows height 6\"; offset 4\" }\n");
    for at in 0..1100 {
        writeln!(text, "step p{at} \"x\" {{ work place up }}\nstep c{at} \"x\" {{ work pour two }}").unwrap();
    }
    let job = clean(&text);
    let plan = plan(&job, &counted(&none), &Solids::default(), 1_000_000);
    assert_eq!(plan.edges.len(), 1_000_000);
    assert_eq!(plan.cut.map(|id| job.name(id)), Some("up"));
    assert_eq!(plan.order.len(), 2203);
}

/// Jobs of bare steps, written in the given order, with the given `after` and `before`.
fn steps(written: &[usize], edges: &[(usize, usize, bool)]) -> String {
    let mut text = String::from("job \"x\" { }\n");
    for step in written {
        let list = |word: &str, of: Vec<usize>| {
            let names: Vec<String> = of.iter().map(|other| format!("s{other}")).collect();
            if names.is_empty() { String::new() } else { format!("{word} {}; ", names.join(", ")) }
        };
        let after = edges.iter().filter(|edge| edge.2 && edge.1 == *step).map(|edge| edge.0).collect();
        let before = edges.iter().filter(|edge| !edge.2 && edge.0 == *step).map(|edge| edge.1).collect();
        text.push_str(&format!("step s{step} \"x\" {{ {}{} }}\n", list("after", after), list("before", before)));
    }
    text
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn random_jobs_are_ordered_as_written(
        written in Just((0..9_usize).collect::<Vec<_>>()).prop_shuffle(),
        edges in prop::collection::vec((0..9_usize, 0..9_usize, any::<bool>()), 0..14),
    ) {
        let job = clean(&steps(&written, &edges));
        let plan = plan(&job, &counted(&none), &Solids::default(), 1_000_000);
        prop_assert_eq!(plan.edges.len(), edges.len());
        let mut sorted = names(&job, plan.order.iter().copied());
        // Slowly: always the first written step all of whose edges come from steps already taken.
        let mut slow: Vec<usize> = Vec::new();
        while let Some(next) = written.iter().find(|step| {
            !slow.contains(step) && edges.iter().all(|edge| edge.1 != **step || slow.contains(&edge.0))
        }) {
            slow.push(*next);
        }
        prop_assert_eq!(slow.len() == 9, plan.circles.is_empty());
        slow.extend(written.iter().filter(|step| !slow.contains(step)).copied().collect::<Vec<_>>());
        let slow: Vec<String> = slow.iter().map(|step| format!("s{step}")).collect();
        prop_assert_eq!(&sorted, &slow);
        sorted.sort_unstable();
        sorted.dedup();
        prop_assert_eq!(sorted.len(), 9);
        for circle in &plan.circles {
            let next = |at: usize| -> &Edge { &circle.edges[(at + 1) % circle.edges.len()] };
            for (at, edge) in circle.edges.iter().enumerate() {
                prop_assert_eq!(edge.after, next(at).before);
                prop_assert!(plan.edges.contains(edge));
            }
        }
        // Hash maps made anew have another seed.
        let again = super::plan(&job, &counted(&none), &Solids::default(), 1_000_000);
        prop_assert_eq!((again.order, again.edges, again.circles), (plan.order, plan.edges, plan.circles));
    }
}

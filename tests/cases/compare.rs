//! Two versions of a job side by side: what is told, what is not, and what must hold whichever way round they are.

use batterboard::{
    comparing::{Comparison, Group, State, compare},
    compile::{Compiled, compile_text},
    language::Limits,
    reports::{Sides, changes, json, print},
    source::Shelf,
};
use proptest::prelude::*;

/// An example: the job's text and what it includes.
fn example(name: &str) -> (String, Shelf) {
    let read = |file: &str| std::fs::read_to_string(format!("examples/{name}/{file}"));
    let shop = read("shop.job").ok().map(|text| ("shop.job".to_owned(), text.into_bytes()));
    (read(&format!("{name}.job")).unwrap(), Shelf::new(shop))
}

fn boathouse(edits: &[(&str, &str)]) -> Compiled {
    let (mut text, shelf) = example("boathouse");
    for (from, to) in edits {
        assert!(text.contains(from), "the boathouse has no `{from}` any more");
        text = text.replacen(from, to, 1);
    }
    compile_text(&shelf, "boathouse.job", &text, &Limits::default())
}

fn markdown(comparison: &Comparison) -> String {
    let sides = Sides { before: "boathouse.job at main".into(), after: "boathouse.job now".into() };
    let mut out = Vec::new();
    print::markdown(&changes(comparison, &sides), &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

/// What one would do to a job in a week: each of these shows somewhere.
const EDITS: [(&str, &str); 8] = [
    ("rows height 4\", 9\"", "rows height 4\", 9\", 15\""),
    ("section low { along old.back 0 to 6'; thick 8\"", "section low { along old.back 0 to 6'; thick 10\""),
    ("start 2027-05-03", "start 2027-05-10"),
    ("bore 5/8\" by 6\"", "bore 5/8\" by 6 3/4\""),
    ("forms front {", "accept back-thin on pins because \"The engineer has seen it\"\n\nforms front {"),
    ("before saw; lead 7 days; answered 2027-04-20 \"none, laboratory\"", "before saw; lead 7 days"),
    (
        "ask locate \"Are there cables, pipes or heating tubes in the slab or the wall?\" { about lines; lead 3 days; before saw }",
        "ask locate \"Are there cables, pipes or heating tubes in the slab or the wall?\" { about lines; answered 2027-04-25 \"none\" }",
    ),
    (
        "step strip \"Take the forms off\" { work strip front; after cast; takes 90 min }",
        "step strip \"Take the forms off\" { work strip front; after cast; takes 90 min }\nstep sweep \"Sweep the floor\" { after strip; takes 30 min }",
    ),
];

#[test]
fn a_change_is_told_as_one_would_tell_it() {
    let (before, after) = (boathouse(&[]), boathouse(&EDITS));
    let comparison = compare(&before, &after, &Limits::default());
    insta::with_settings!({ snapshot_path => "../snapshots" }, {
        insta::assert_snapshot!("compare-boathouse", markdown(&comparison));
    });
    let state = |group, name: &str| comparison.of(group).find(|change| change.name == name).map(|change| change.state);
    assert_eq!(state(Group::Step, "sweep"), Some(State::Added));
    assert_eq!(state(Group::Acceptance, "back-thin on pins"), Some(State::Added));
    assert_eq!(state(Group::Question, "flooring"), Some(State::Changed));
    assert_eq!(state(Group::Section, "low"), Some(State::Changed));
    assert_eq!(state(Group::Section, "high"), None);
}

/// A new row in the middle: the holes of the other rows stay where they are, some under other numbers.
#[test]
fn holes_are_told_by_where_they_are() {
    let (before, after) = (boathouse(&[]), boathouse(&EDITS[..1]));
    let comparison = compare(&before, &after, &Limits::default());
    let [pins] = comparison.places.as_slice() else { panic!("{:?}", comparison.places) };
    let numbers = |runs: &[batterboard::comparing::Drilled]| runs.iter().map(|run| run.numbers).collect::<Vec<_>>();
    // 24 holes before, 31 after: the third row of each leg is new, and those of the side come after more.
    assert_eq!((numbers(&pins.added), numbers(&pins.gone)), (vec![(19, 22), (29, 31)], vec![]));
    assert!(pins.moved.is_empty());
    assert_eq!(pins.renumbered.iter().map(|run| (run.before, run.after)).collect::<Vec<_>>(), [((19, 24), (23, 28))]);
    // A row that is set higher has moved, and nothing came or went.
    let after = boathouse(&[("rows height 4\", 9\"", "rows height 4\", 8 1/2\"")]);
    let comparison = compare(&before, &after, &Limits::default());
    let [pins] = comparison.places.as_slice() else { panic!("{:?}", comparison.places) };
    assert!(pins.added.is_empty() && pins.gone.is_empty() && pins.renumbered.is_empty(), "{pins:?}");
    assert_eq!(pins.moved.iter().map(|run| run.before).collect::<Vec<_>>(), [(10, 18), (22, 24)]);
}

#[test]
fn a_rename_is_told_as_one_and_nothing_else_is() {
    let (text, shelf) = example("boathouse");
    let before = boathouse(&[]);
    // A bar and the wall it stands on; both names stand in many other blocks.
    let renamed: String = text
        .split_inclusive(|letter: char| !letter.is_ascii_alphanumeric() && letter != '-')
        .map(|piece| {
            let (word, rest) = piece.split_at(piece.trim_end_matches(|c: char| !c.is_ascii_alphanumeric()).len());
            match word {
                "pins" => format!("anchors{rest}"),
                "low" => format!("left{rest}"),
                _ => piece.to_owned(),
            }
        })
        .collect();
    let after = compile_text(&shelf, "boathouse.job", &renamed, &Limits::default());
    assert!(!after.has_errors());
    let comparison = compare(&before, &after, &Limits::default());
    let names: Vec<(&str, &str)> =
        comparison.renamed.iter().map(|one| (one.before.as_str(), one.after.as_str())).collect();
    assert_eq!(names, [("pins", "anchors"), ("low", "left")]);
    assert!(comparison.has_no_effect() && comparison.edits.is_empty(), "{}", markdown(&comparison));
    assert!(!comparison.is_empty());
}

#[test]
fn what_shows_in_no_figure_is_told_in_the_words_of_the_file() {
    let before = boathouse(&[]);
    let after =
        boathouse(&[("wet daily for 7 days", "wet daily for 8 days"), ("\"Set the dowels\"", "\"Set all dowels\"")]);
    let comparison = compare(&before, &after, &Limits::default());
    let told: Vec<(&str, &str, &[String], &[String])> = comparison
        .edits
        .iter()
        .map(|edit| (edit.kind.as_str(), edit.name.as_str(), edit.gone.as_slice(), edit.added.as_slice()))
        .collect();
    let said = |text: &str| vec![text.to_owned()];
    assert_eq!(
        told,
        [
            ("cure", "keep", said("wet daily for 7 days").as_slice(), said("wet daily for 8 days").as_slice()),
            ("step", "peg", said("\"Set the dowels\"").as_slice(), said("\"Set all dowels\"").as_slice()),
        ]
    );
    assert!(!comparison.is_empty());
}

/// Both with errors, each with its own: compared as far as they go, and said so.
#[test]
fn versions_with_errors_are_compared_as_far_as_they_go() {
    let before = boathouse(&[("thick 8\"\n", "thick 8\n")]);
    let after =
        boathouse(&[("mix bagged\n    mixer", "mix baged\n    mixer"), ("rows height 4\", 9\"", "rows height 4\"")]);
    assert!(before.has_errors() && after.has_errors());
    let comparison = compare(&before, &after, &Limits::default());
    let told = markdown(&comparison);
    assert!(told.contains("Both versions have errors"), "{told}");
    let rules = |found: &[batterboard::comparing::Found]| found.iter().map(|found| found.rule.name).collect::<Vec<_>>();
    assert!(rules(&comparison.gained).contains(&"name-unknown"), "{told}");
    assert!(rules(&comparison.lost).contains(&"unit-missing"), "{told}");
}

/// A job's blocks: pieces of its text with braces that match, each with what stands behind it on its line.
fn blocks(text: &str) -> Vec<String> {
    let mut out = vec![String::new()];
    let mut depth = 0_i32;
    for line in text.lines() {
        let said = line.split("//").next().unwrap_or("");
        depth += said.matches('{').count() as i32 - said.matches('}').count() as i32;
        if let Some(last) = out.last_mut() {
            last.push_str(line);
            last.push('\n');
        }
        if depth == 0 {
            out.push(String::new());
        }
    }
    out
}

/// The order of these is the order of work.
fn is_work(block: &str) -> bool {
    ["step ", "look ", "wait ", "ask "].iter().any(|kind| block.trim_start().starts_with(kind))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// A job in another order, with other comments and blanks, is the same job; only steps are told by their order.
    #[test]
    fn a_job_is_like_itself_in_any_order(which in 0..5_usize, keys in prop::collection::vec(any::<u16>(), 120)) {
        let name = ["boathouse", "cellar", "gate", "pier", "sluice"][which];
        let (text, shelf) = example(name);
        let all = blocks(&text);
        let mut work = all.iter().filter(|block| is_work(block));
        let mut shuffled: Vec<(u16, &String)> = keys.iter().cycle().copied().zip(&all).collect();
        shuffled.sort_by_key(|(key, _)| *key);
        let turned: String = shuffled
            .into_iter()
            .map(|(key, block)| {
                let block = if is_work(block) { work.next().unwrap_or(block) } else { block };
                format!("// {key}\n{}\n\n", block.replace(" { ", "   {  "))
            })
            .collect();
        let compile = |text: &str| compile_text(&shelf, &format!("{name}.job"), text, &Limits::default());
        let (before, after) = (compile(&text), compile(&turned));
        let comparison = compare(&before, &after, &Limits::default());
        prop_assert!(comparison.is_empty(), "{}", markdown(&comparison));
        prop_assert!(markdown(&comparison).contains("Nothing that matters on site changed."));
    }

    /// Whatever is edited: the other way round, what was gained is lost, and every figure changes places.
    #[test]
    fn the_other_way_round_gained_and_lost_change_places(picked in prop::sample::subsequence(EDITS.to_vec(), 0..=8)) {
        let (one, other) = (boathouse(&[]), boathouse(&picked));
        let there = compare(&one, &other, &Limits::default());
        let back = compare(&other, &one, &Limits::default());
        prop_assert_eq!(there.is_empty(), picked.is_empty());
        let says = |found: &[batterboard::comparing::Found]| found.iter().map(|found| found.says.clone()).collect::<Vec<_>>();
        prop_assert_eq!(says(&there.gained), says(&back.lost));
        prop_assert_eq!(says(&there.lost), says(&back.gained));
        let turned = |state| match state {
            State::Added => State::Gone,
            State::Gone => State::Added,
            State::Changed => State::Changed,
        };
        let told = |comparison: &Comparison, turn: bool| {
            let mut all: Vec<_> = comparison
                .changes
                .iter()
                .map(|change| {
                    let facts: Vec<_> = change
                        .facts
                        .iter()
                        .map(|fact| {
                            let (before, after) = (format!("{:?}", fact.before), format!("{:?}", fact.after));
                            if turn { (fact.what, after, before) } else { (fact.what, before, after) }
                        })
                        .collect();
                    let state = if turn { turned(change.state) } else { change.state };
                    (change.group, change.name.clone(), state, facts)
                })
                .collect();
            all.sort();
            all
        };
        prop_assert_eq!(told(&there, false), told(&back, true));
        for (there, back) in there.places.iter().zip(&back.places) {
            prop_assert_eq!((&there.added, &there.gone), (&back.gone, &back.added));
            prop_assert_eq!(there.moved.len(), back.moved.len());
        }
        prop_assert_eq!(there.places.len(), back.places.len());
    }
}

/// The JSON has the same, with raw figures.
#[test]
fn the_json_has_raw_figures() {
    let (before, after) = (boathouse(&[]), boathouse(&EDITS));
    let comparison = compare(&before, &after, &Limits::default());
    let mut out = Vec::new();
    json::changes(&comparison, &Sides { before: "a".into(), after: "b".into() }, &mut out).unwrap();
    let file: serde_json::Value = serde_json::from_slice(&out).unwrap();
    assert_eq!((&file["schema_version"], &file["alike"]), (&1.into(), &false.into()));
    let whole = &file["changes"][0];
    assert_eq!(whole["group"], "whole");
    let holes = whole["values"].as_array().unwrap().iter().find(|value| value["what"] == "holes").unwrap();
    assert_eq!((&holes["before"]["value"], &holes["after"]["value"]), (&24.0.into(), &31.0.into()));
    assert_eq!(holes["apart"], 7.0);
    assert_eq!(file["holes"][0]["renumbered"][0]["after"], serde_json::json!([23, 28]));
}

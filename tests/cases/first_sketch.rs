//! The boathouse as it was first sketched: dowels that run into a long bar, a long bar that lies inside the hooks, and holes
//! that meet inside the corner. Each of the clashes is found; as it is built now, none is left.

use batterboard::{
    compile::{Compiled, compile},
    language::Limits,
    source::Shelf,
    units::System,
};

fn boathouse(changes: &[(&str, &str)]) -> Compiled {
    let read = |name: &str| std::fs::read_to_string(format!("examples/boathouse/{name}")).unwrap();
    let mut text = read("boathouse.job");
    for (now, first) in changes {
        assert_eq!(text.matches(now).count(), 1, "{now}");
        text = text.replace(now, first);
    }
    let files = [("boathouse.job", text), ("shop.job", read("shop.job"))];
    let files = files.map(|(name, text)| (name.to_owned(), text.into_bytes()));
    compile(&Shelf::new(files), "boathouse.job", &Limits::default()).unwrap()
}

/// Rule and words of what is found.
fn found(job: &Compiled) -> Vec<(&'static str, String)> {
    job.problems.iter().map(|problem| (problem.rule.name, problem.says(System::Feet))).collect()
}

#[test]
fn every_clash_of_the_first_sketch_is_found() {
    assert!(found(&boathouse(&[])).is_empty());
    let all = found(&boathouse(&[
        // Long bars at the level of the dowels, and within their reach.
        ("rows height 3 1/2\", 9 1/2\"; offset 4 1/2\"", "rows height 4\", 9\"; offset 4 1/2\""),
        // The top bar where the bent ones turn over.
        ("rows height top - 4 1/2\"; offset 4 1/2\"", "rows height top - 3\"; offset 4\""),
        // Holes of both legs as near to the corner as to the ends.
        ("    inset 5\", at corners 9\"", "    inset 5\""),
    ]));
    let count = |rule: &str, words: &[&str]| {
        all.iter().filter(|(name, says)| *name == rule && words.iter().all(|word| says.contains(word))).count()
    };
    assert_eq!(count("bars-clash", &["pegs", "rails"]), 1, "{all:#?}");
    assert_eq!(count("bars-clash", &["crown", "rises"]), 1, "{all:#?}");
    // One pair of holes on each of the two levels.
    assert_eq!(count("holes-meet", &[]), 2, "{all:#?}");
    // With the dowels at the corner the bars beside them there clash too; nothing else is found.
    assert!(all.iter().all(|(rule, _)| ["bars-clash", "holes-meet"].contains(rule)), "{all:#?}");
}

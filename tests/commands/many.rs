//! Many jobs in one run: folders, papers where their jobs lie, what all come to together.

use std::fs;

use batterboard::{compile, language::Limits, reports::json, source::Shelf};

use super::Yard;

/// A yard of jobs: two boathouses and what they include, a fine job, one that is broken, and what is no job.
fn yard() -> Yard {
    let yard = Yard::with_jobs();
    for folder in ["jobs", "jobs/lake", "jobs/hill", "jobs/.kept"] {
        fs::create_dir(yard.path().join(folder)).unwrap();
    }
    for file in ["boathouse.job", "shop.job"] {
        let text = fs::read_to_string(format!("examples/boathouse/{file}")).unwrap();
        for folder in ["jobs/lake", "jobs/hill", "jobs/.kept"] {
            yard.put(&format!("{folder}/{file}"), &text);
        }
    }
    yard.put("jobs/fine.job", yard.get("fine.job"));
    yard
}

#[test]
fn a_folder_stands_for_the_jobs_in_it() {
    let yard = yard();
    let ran = yard.run(&["check", "jobs"]);
    let said = "jobs/fine.job: fine\njobs/hill/boathouse.job: fine\njobs/lake/boathouse.job: fine\n";
    assert_eq!((ran.quietly(), ran.out.as_str()), (Some(0), said));
    // A broken one stops no other, and the worst exit wins.
    yard.put("jobs/hill/broken.job", yard.get("broken.job"));
    yard.put("jobs/bytes.job", b"\xff\xfe\x00job");
    let ran = yard.run(&["check", "jobs", "gone.job"]);
    assert_eq!(ran.exit, Some(2));
    assert!(ran.out.contains("\njobs/hill/broken.job: ") && ran.out.ends_with("jobs/lake/boathouse.job: fine\n"));
    assert!(ran.err.contains("`gone.job` is not there"), "{}", ran.err);
    assert_eq!(yard.run(&["check", "jobs"]).exit, Some(1));
    for _ in 0..3 {
        assert_eq!(yard.run(&["check", "jobs", "gone.job"]), ran);
    }
    let json = yard.run(&["check", "jobs", "--format", "json"]);
    let file: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    assert_eq!(file["jobs"].as_array().unwrap().len(), 5);
    // A folder without a job.
    fs::create_dir(yard.path().join("empty")).unwrap();
    let ran = yard.run(&["check", "empty"]);
    assert_eq!((ran.exit, ran.out.as_str()), (Some(2), ""));
    assert!(ran.err.contains("there is no job in the folder `empty`"), "{}", ran.err);
    yard.put("empty/shop.job", "resin r { cartridge 22 fl-oz }\n");
    assert!(yard.run(&["check", "empty"]).err.contains("none of these files holds a `job` block"));
}

#[test]
fn papers_lie_where_their_jobs_do_and_a_page_leads_to_them() {
    let yard = yard();
    yard.put("jobs/hill/broken.job", yard.get("broken.job").replace("Broken", "Bro|ken [x](y) #1"));
    fs::create_dir(yard.path().join("jobs/a b")).unwrap();
    yard.put("jobs/a b/(c).job", yard.get("warned.job"));
    let ran = yard.run(&["order", "jobs", "-o", "papers", "-q"]);
    assert_eq!(ran.exit, Some(1), "{}", ran.err);
    assert_eq!(yard.names("papers"), ["a b", "fine.order.md", "hill", "index.md", "lake"]);
    assert_eq!(yard.names("papers/hill"), ["boathouse.order.md", "broken.order.md"]);
    let alone = yard.run(&["order", "jobs/lake/boathouse.job"]).out;
    assert_eq!(yard.get("papers/lake/boathouse.order.md"), alone);
    let index = yard.get("papers/index.md");
    insta::with_settings!({ snapshot_path => "../snapshots" }, {
        insta::assert_snapshot!("index-of-jobs", index);
    });
    // Every link leads to a paper, read as a reader of Markdown reads it.
    let options = pulldown_cmark::Options::ENABLE_TABLES;
    let mut links = Vec::new();
    for event in pulldown_cmark::Parser::new_ext(&index, options) {
        if let pulldown_cmark::Event::Start(pulldown_cmark::Tag::Link { dest_url, .. }) = event {
            links.push(dest_url.replace("%20", " ").replace("%28", "(").replace("%29", ")"));
        }
    }
    assert_eq!(links.len(), 5, "{index}");
    assert!(links.iter().all(|link| yard.path().join("papers").join(link).is_file()), "{links:?}");
    // Again: nothing changed. Two folders with one name in them: nothing is written.
    let again = yard.run(&["order", "jobs", "-o", "papers"]);
    assert!(
        again.err.lines().filter(|line| line.starts_with("papers/")).all(|line| line.ends_with(": unchanged")),
        "{}",
        again.err
    );
    let twice = yard.run(&["order", "jobs/hill", "jobs/lake", "-o", "both"]);
    assert_eq!(twice.exit, Some(2));
    assert!(twice.err.contains("two jobs would both be written to `both/boathouse.order.md`"), "{}", twice.err);
    // Beside the jobs themselves no job is written over.
    let before = yard.get("jobs/fine.job");
    assert_eq!(yard.run(&["order", "jobs", "-o", "jobs", "-q"]).exit, Some(1));
    assert_eq!((yard.get("jobs/fine.job"), yard.get("jobs/fine.order.md")), (before, yard.get("papers/fine.order.md")));
}

/// 16 fl-oz of resin a boathouse, in cartridges of 22: one each, but three for four of them.
#[test]
fn like_things_are_added_up_before_packs_are_rounded() {
    let yard = Yard::new();
    for file in ["boathouse.job", "shop.job"] {
        yard.put(file, fs::read(format!("examples/boathouse/{file}")).unwrap());
    }
    let four = ["tally", "boathouse.job", "boathouse.job", "boathouse.job", "boathouse.job", "--format", "json"];
    let ran = yard.run(&four);
    let file: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    let packs = |buy: &serde_json::Value, name: &str| {
        let line = buy.as_array().unwrap().iter().find(|line| line["item"].as_str() == Some(name));
        line.unwrap()["packs"].as_u64().unwrap()
    };
    assert_eq!(packs(&file["jobs"][0]["buy"], "resin"), 1);
    let together = &file["together"];
    assert_eq!(packs(&together["buy"], "resin, cartridges"), 3);
    assert_eq!(packs(&together["buy"], "bagged, bags"), 4 * 28);
    // Wire for all of them comes off one coil, and weighs as much.
    let wire = together["buy"].as_array().unwrap().iter().find(|line| line["item"] == "wire-16, coils").unwrap();
    assert_eq!((&wire["packs"], &wire["weight"]["shown"]), (&1.into(), &"3.0 lb".into()));
    assert_eq!((&together["jobs"], &together["holes"]), (&4.into(), &96.into()));
    // Written one after the other, the text is what it is when all is written at once.
    let read = |name: &str| (name.to_owned(), fs::read(yard.path().join(name)).unwrap());
    let shelf = Shelf::new([read("boathouse.job"), read("shop.job")]);
    let job = compile::compile(&shelf, "boathouse.job", &Limits::default()).unwrap();
    let mut whole = Vec::new();
    json::tally(&[("boathouse.job", &job); 4], &mut whole).unwrap();
    assert_eq!(ran.out, String::from_utf8(whole).unwrap());
    let one = yard.run(&["tally", "boathouse.job", "--format", "json"]);
    assert!(!one.out.contains("\"together\""));
    // Another bag under the same name is another thing.
    fs::create_dir(yard.path().join("other")).unwrap();
    yard.put("other/boathouse.job", yard.get("boathouse.job"));
    yard.put(
        "other/shop.job",
        yard.get("shop.job").replace("bag 80 lb, yields 0.60 ft3", "bag 60 lb, yields 0.45 ft3"),
    );
    let text = yard.run(&["tally", "boathouse.job", "other/boathouse.job"]).out;
    let together = text.split("Together: 2 jobs").nth(1).unwrap();
    assert_eq!(together.lines().filter(|line| line.contains("bagged, bags")).count(), 2, "{together}");
}

/// Nothing but the papers where nobody watches: no bar, no escape codes.
#[test]
fn no_bar_is_drawn_where_nobody_watches() {
    let yard = Yard::with_jobs();
    fs::create_dir(yard.path().join("many")).unwrap();
    for number in 0..40 {
        yard.put(&format!("many/{number:02}.job"), yard.get("fine.job"));
    }
    let ran = yard.run(&["check", "many"]);
    assert_eq!(ran.quietly(), Some(0));
    let lines: Vec<String> = (0..40).map(|number| format!("many/{number:02}.job: fine\n")).collect();
    assert_eq!(ran.out, lines.concat());
}

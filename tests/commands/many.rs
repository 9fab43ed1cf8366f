//! Many jobs in one run: folders, papers where their jobs lie, what all come to together.

use std::fs;

use batterboard::{
    compile,
    gathering::{Gathered, share},
    language::Limits,
    reports::{json, print, record},
    source::Shelf,
};

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

/// A job that buys from a shop of its own file: bags and chairs by the pack, with prices or without.
fn bought(title: &str, long: &str, shop: &str) -> String {
    format!(
        "job \"{title}\" {{ site \"Quarry Lane\"; datum \"floor\"; place outdoors }}
wall old {{ leg back 20'; thick 8\"; height -2' to 2'; of concrete }}
section strip {{ along old.back 0 to {long}; thick 6\"; height -10\" to 6\"; base gravel }}
bars rails {{ size #4; along strip; rows height -6\", 2\"; offset 3\" }}
pour all {{ fill strip; mix bag-80-lb; mixer 1 bags }}
{shop}
"
    )
}

/// One trip to the shop for several jobs: 6 chairs of each come out of one pack of 25, two prices stay two lines, what has no
/// price is in no sum, and what lies at hand is taken off once although both jobs tell of it.
#[test]
fn one_list_for_the_shop_tells_what_goods_of_all_jobs_cost() {
    let yard = Yard::new();
    fs::create_dir(yard.path().join("jobs")).unwrap();
    let shop = "stock sacks { for bag-80-lb; price 7.10 USD }
stock feet { for chairs; unit 25; price 9 USD }
stock feet-left { for side-spacers; unit 10; on-hand 1 }";
    yard.put("jobs/one.job", bought("One", "6'", shop));
    yard.put("jobs/two.job", bought("Two", "9'", shop));
    yard.put("jobs/dear.job", bought("Dear", "6'", "stock sacks { for bag-80-lb; price 7.90 USD }"));
    yard.put("jobs/bare.job", bought("Bare", "6'", ""));
    let json = |arguments: &[&str]| -> serde_json::Value {
        let ran = yard.run(&[arguments, &["--format", "json"]].concat());
        assert_eq!(ran.exit, Some(0), "{}", ran.err);
        serde_json::from_str(&ran.out).unwrap()
    };
    let file = json(&["buy", "jobs"]);
    let together = &file["together"];
    let lines = |name: &str| -> Vec<&serde_json::Value> {
        together["buy"].as_array().unwrap().iter().filter(|line| line["item"] == name).collect()
    };
    // 6' by 1'-4" by 6" are 4 ft3, with the usual 5% 4.2, of 0.60 ft3 a bag 7 bags; 9' are 6.3 ft3, 11 bags.
    let bags: Vec<(u64, Option<&str>, Option<&str>)> = lines("bag-80-lb, bags")
        .iter()
        .map(|line| {
            (line["packs"].as_u64().unwrap(), line["price"]["amount"].as_str(), line["cost"]["amount"].as_str())
        })
        .collect();
    assert_eq!(bags, [(7, None, None), (18, Some("7.10"), Some("127.80")), (7, Some("7.90"), Some("55.30"))]);
    let chairs = lines("chairs");
    let packs: Vec<(u64, Option<&str>)> =
        chairs.iter().map(|line| (line["packs"].as_u64().unwrap(), line["cost"]["amount"].as_str())).collect();
    assert_eq!(packs.iter().find(|(_, cost)| cost.is_some()), Some(&(1, Some("9.00"))), "{chairs:?}");
    // 127.80, 55.30 and 9.00: nothing that is not priced is in it.
    assert_eq!(together["costs"], serde_json::json!([{ "amount": "192.10", "currency": "USD" }]));
    let unpriced = together["buy"].as_array().unwrap().iter().filter(|line| line.get("cost").is_none());
    let unpriced = unpriced.filter(|line| line["packs"] != 0).count();
    assert_eq!(together["not_priced"], unpriced, "{together}");
    // The same list stands in the tally, behind both on the screen, and in the index of papers; programs get it in any way.
    assert_eq!(&json(&["tally", "jobs"])["together"], together);
    let list = |text: &str| text.split("To buy, all jobs together").nth(1).unwrap_or_default().to_owned();
    let screen = list(&yard.run(&["buy", "jobs"]).out);
    assert!(screen.contains("127.80") && screen.contains("192.10") && screen.contains("Not priced, and in no sum"));
    assert_eq!(list(&yard.run(&["tally", "jobs"]).out), screen);
    let markdown = list(&yard.run(&["buy", "jobs", "--format", "markdown"]).out);
    let names = ["jobs/bare.job", "jobs/dear.job", "jobs/one.job", "jobs/two.job"];
    assert_eq!(
        yard.run(&[&["buy"][..], &names, &["-o", "named/", "--format", "markdown", "-q"]].concat()).exit,
        Some(0)
    );
    assert_eq!(yard.names("named"), ["bare.buy.md", "buy.index.md", "dear.buy.md", "one.buy.md", "two.buy.md"]);
    assert_eq!(list(&yard.get("named/buy.index.md")), markdown);
    assert_eq!(yard.run(&["buy", "jobs", "-o", "papers/", "--format", "csv", "-q"]).exit, Some(0));
    let index = yard.get("papers/buy.index.csv");
    let line = index.lines().find(|line| line.contains("127.8")).unwrap();
    assert!(line.starts_with("\"bag-80-lb, bags\",18,") && line.contains(",7.1,127.8,2,"), "{line}");
    // One table alone goes to a program, which wants no index; and on the screen tables of several jobs would run together.
    assert_eq!(yard.run(&["buy", "jobs", "-o", "alone/", "--format", "csv", "--table", "buy", "-q"]).exit, Some(0));
    assert_eq!(yard.names("alone"), ["bare.buy.csv", "dear.buy.csv", "one.buy.csv", "two.buy.csv"]);
    for command in ["buy", "tally", "record", "days"] {
        let ran = yard.run(&[command, "jobs", "--format", "csv"]);
        assert_eq!((ran.exit, ran.out.as_str()), (Some(2), ""), "{command}");
        assert!(ran.err.contains("write `-o papers/`"), "{command}: {}", ran.err);
    }
}

/// Of one job the list for all jobs is its own: packs, costs and what lies at hand.
#[test]
fn the_list_of_one_job_is_its_own() {
    let mut priced = 0;
    for (folder, file) in [("boathouse", "boathouse.job"), ("icehouse", "icehouse.job"), ("pier", "pier.job")] {
        let mut files = Vec::new();
        for entry in fs::read_dir(format!("examples/{folder}")).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|end| end == "job") {
                files.push((path.file_name().unwrap().to_string_lossy().into_owned(), fs::read(&path).unwrap()));
            }
        }
        let job = compile::check(&Shelf::new(files), file, &Limits::default()).unwrap();
        let mut gathered = Gathered::default();
        gathered.add(&share(&job));
        let purchases = &job.works.bill.purchases;
        let packs = |packs: Option<u64>| packs.unwrap_or(0);
        let own: u64 = purchases.iter().map(|purchase| packs(purchase.packs)).sum();
        let together: u64 = gathered.needs.values().map(|need| packs(need.packs())).sum();
        assert_eq!(together, own, "{file}");
        let own = purchases.iter().filter_map(|purchase| purchase.cost).reduce(|sum, cost| sum.plus(cost).unwrap());
        assert_eq!(gathered.costs(), own.into_iter().collect::<Vec<_>>(), "{file}");
        priced += gathered.costs().len();
    }
    assert!(priced >= 2, "{priced}");
}

/// A price in a second currency is in no sum of the job, nor in one of all jobs; and a piece at hand is the same thing whether a
/// stock tells of it or nothing does.
#[test]
fn what_a_job_does_not_count_no_list_counts() {
    let yard = Yard::new();
    let shop = "stock sacks { for bag-80-lb; price 7.10 USD }\nstock feet { for chairs; unit 25; price 9 EUR }";
    yard.put("two.job", bought("Two currencies", "6'", shop));
    yard.put("hand.job", bought("At hand", "6'", "stock left { for chairs; on-hand 2 }"));
    yard.put("bare.job", bought("Bare", "6'", ""));
    let together = |names: &[&str]| -> serde_json::Value {
        let ran = yard.run(&[&["buy"], names, &["--format", "json"]].concat());
        serde_json::from_str::<serde_json::Value>(&ran.out).unwrap()["together"].clone()
    };
    let two = together(&["two.job", "bare.job"]);
    assert_eq!(two["costs"], serde_json::json!([{ "amount": "49.70", "currency": "USD" }]));
    let chairs = |together: &serde_json::Value| -> Vec<(u64, u64)> {
        let lines = together["buy"].as_array().unwrap().iter().filter(|line| line["item"] == "chairs");
        lines.map(|line| (line["packs"].as_u64().unwrap(), line["at_hand"].as_u64().unwrap_or(0))).collect()
    };
    let [(each, 0)] = chairs(&together(&["bare.job", "bare.job"]))[..] else { panic!("one line of chairs") };
    assert_eq!(chairs(&together(&["hand.job", "bare.job"])), [(each - 2, 2)]);
}

/// The record is printed of a job that is worked in full, whatever its format: a mere check has no plan beside what was done.
#[test]
fn the_record_on_the_screen_is_that_of_the_whole_job() {
    let read = |name: &str| (name.to_owned(), fs::read(format!("examples/dairy/{name}")).unwrap());
    let files = [read("dairy.job"), read("shop.job")];
    let yard = Yard::new();
    files.iter().for_each(|(name, bytes)| yard.put(name, bytes));
    let job = compile::compile(&Shelf::new(files), "dairy.job", &Limits::default()).unwrap();
    let mut whole = Vec::new();
    print::markdown(&record(&job), &mut whole).unwrap();
    assert_eq!(yard.run(&["record", "dairy.job", "--format", "markdown"]).out, String::from_utf8(whole).unwrap());
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

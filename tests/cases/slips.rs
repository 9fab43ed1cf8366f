//! Slips of the hand in a job that is in order: each is told once, and what it says to write does away with it.

use batterboard::{
    compile::{Compiled, compile_text},
    language::Limits,
    source::Shelf,
    units::System,
};

const WEATHER: &str = "weather 52 degF to 66 degF, humidity 60%, wind 5 mph";

fn rules(job: &Compiled) -> Vec<&'static str> {
    job.problems.iter().map(|problem| problem.rule.name).collect()
}

/// The boathouse with a change in it.
fn with(from: &str, to: &str) -> String {
    let text = std::fs::read_to_string("examples/boathouse/boathouse.job").unwrap();
    assert_eq!(text.matches(from).count(), 1, "{from}");
    text.replace(from, to)
}

/// A boathouse of this text; in its shop the evenings begin as is said here.
fn job(text: &str, evening: &str) -> Compiled {
    let shop = std::fs::read_to_string("examples/boathouse/shop.job").unwrap();
    let shelf = Shelf::new([("shop.job", shop.replace("from 16:30 to", evening))]);
    compile_text(&shelf, "boathouse.job", text, &Limits::default())
}

/// What is found of a slip beyond what is found without it, the help of the first, and what is found once its mend is made.
fn told(from: &str, right: &str, wrong: &str) -> (Vec<&'static str>, String, Option<Vec<&'static str>>) {
    const EVENING: &str = "from 16:30 to";
    let before = rules(&job(&with(from, right), EVENING));
    let new = |found: Vec<&'static str>| found.into_iter().filter(|name| !before.contains(name)).collect::<Vec<_>>();
    let text = with(from, wrong);
    let slipped = job(&text, EVENING);
    let first = slipped.problems.iter().find(|problem| !before.contains(&problem.rule.name));
    let help = first.and_then(|problem| problem.helps(System::Feet)).unwrap_or_default();
    let mended = first.and_then(|problem| problem.fix.as_ref()).map(|fix| {
        let mut text = text.clone();
        text.replace_range(fix.span.start as usize..fix.span.end as usize, &fix.text);
        new(rules(&job(&text, EVENING)))
    });
    (new(rules(&slipped)), help, mended)
}

#[test]
fn a_slip_is_told_once() {
    let resin = "after peg; before cage; takes 24 h";
    assert_eq!(told(resin, resin, "after peg; before cage").0, ["clause-missing"]);
    let crown = "rows height top - 4 1/2\"; offset";
    assert_eq!(told(crown, crown, "rows height top-4 1/2\"; offset").0, ["name-unknown"]);
    let later = format!("{WEATHER}\n    weather 50 degF to 60 degF, humidity 60%, wind 5 mph, from 2027-05-20");
    assert_eq!(told(WEATHER, &later, &later.replacen("60%", "0.6", 1)).0, ["unit-missing"]);
    // By day it is poured earlier, in the cold. With hours that cannot be read nobody knows when, and nobody says so.
    let text =
        with(WEATHER, &format!("weather 30 degF to 45 degF, humidity 60%, wind 5 mph\n    {WEATHER}, from 2027-05-18"))
            .replace("place indoors", "place outdoors");
    let (right, wrong) = (rules(&job(&text, "from 16:30 to")), rules(&job(&text, "from 16 to")));
    let usual = rules(&job(&text, "from 9:00 to"));
    assert!(!right.contains(&"strip-soon") && usual.contains(&"strip-soon"), "{right:?} {usual:?}");
    assert_eq!(wrong.into_iter().filter(|name| !right.contains(name)).collect::<Vec<_>>(), ["value-misfit"]);
}

#[test]
fn what_is_meant_is_offered() {
    let humid = |percent: &str| WEATHER.replace("60%", percent);
    for (from, right, wrong, rule, help) in [
        ("height top - 4 1/2\"", "height top - 4 1/2\"", "height top-4 1/2\"", "name-unknown", "`top - 4`"),
        (WEATHER, WEATHER, humid("0.6").as_str(), "unit-missing", "write `60%`"),
        (WEATHER, WEATHER, humid("0.55").as_str(), "unit-missing", "write `55%`"),
        ("bore 5/8\" by 6\"", "bore 5/8\" by 6\"", "bore 5/8\" by 6\"; bit last 60'", "clause-unknown", "`lasts`"),
        ("strip after 3 days", "strip after 3 days", "strip in 3 days", "clause-unknown", "`after`"),
        (
            "inset 5\", at corners 9\"",
            "inset 5\", at corners 9\"",
            "inset 5\", corners 9\"",
            "clause-unknown",
            "`at corners`",
        ),
        ("size #4; in pins", "size #4; in pins", "size 4; in pins", "value-misfit", "`#4`"),
        ("price 32 USD per trip", "price 32 USD per trip", "price 32 USD each trip", "value-extra", "`per trip`"),
        (
            "clear bolts",
            "hire drum { for cast; price 55 USD per day }\nclear bolts",
            "hire drum { for cast; price 55 USD a day }\nclear bolts",
            "value-extra",
            "`per day`",
        ),
        (
            "clear bolts",
            "hire drum { for cast; price 9 USD per h }\nclear bolts",
            "hire drum { for cast; price 9 USD per hour }\nclear bolts",
            "unit-unknown",
            "`h`",
        ),
        (
            "clear bolts",
            "record 2027-05-20 { poured wall from 9:00 to 12:00 }\nclear bolts",
            "record 2027-05-20 { pour wall from 9:00 to 12:00 }\nclear bolts",
            "clause-unknown",
            "`poured`",
        ),
        ("bore 5/8\" by 6\"", "bore 5/8\" by 6\"", "bore 5/8\" x 6\"", "unit-unknown", "`by`"),
        ("bore 5/8\" by 6\"", "bore 5/8\" by 6\"", "bore 5/8\" x6\"", "unit-unknown", "`by`"),
        ("bore 5/8\" by 6\"", "bore 5/8\" by 6\"", "bore 5/8\"x6\"", "unit-unknown", "`by`"),
        ("sheath ply-3/4", "sheath ply-3/4", "sheath ply 3/4\"", "name-unknown", "`ply-3/4`"),
        (
            "clear bolts",
            "record 2027-05-20 { used 2 of resin }\nclear bolts",
            "record 2027-05-20 { used 2 resin }\nclear bolts",
            "value-extra",
            "`2 of resin`",
        ),
    ] {
        let (rules, says, mended) = told(from, right, wrong);
        assert_eq!(rules.first(), Some(&rule), "{wrong}: {rules:?}");
        assert!(says.contains(help), "{wrong}: {says}");
        assert_eq!(mended, Some(Vec::new()), "{wrong}");
    }
}

#[test]
fn air_is_never_so_dry() {
    assert_eq!(told(WEATHER, WEATHER, &WEATHER.replace("60%", "0.55%")).0, ["weather-odd"]);
    assert!(told(WEATHER, WEATHER, &WEATHER.replace("60%", "12%")).0.iter().all(|name| *name != "weather-odd"));
}

#[test]
fn a_time_of_day_is_offered_as_it_is_written() {
    for (wrong, meant) in
        [("4 pm", "16:00"), ("4:30pm", "16:30"), ("12 am", "0:00"), ("12:15 PM", "12:15"), ("16", "16:00")]
    {
        let compiled = compile_text(
            &Shelf::default(),
            "t.job",
            &format!("job \"Shed\" {{ show feet }}\nhours week {{ work mon to fri, from {wrong} to 20:00 }}\n"),
            &Limits::default(),
        );
        let problem = compiled.problems.iter().find(|problem| problem.rule.name == "value-misfit").unwrap();
        assert_eq!(problem.fix.as_ref().map(|fix| fix.text.as_str()), Some(meant), "{wrong}");
        assert_eq!(rules(&compiled).iter().filter(|name| name.starts_with("value")).count(), 1, "{wrong}");
    }
    for wrong in ["25", "13 pm", "4:75 pm", "noon", "0 am"] {
        let text = format!("job \"Shed\" {{ show feet }}\nhours week {{ work mon to fri, from {wrong} to 20:00 }}\n");
        let compiled = compile_text(&Shelf::default(), "t.job", &text, &Limits::default());
        assert!(compiled.has_errors() && compiled.problems.iter().all(|problem| problem.fix.is_none()), "{wrong}");
    }
}

/// Several sizes behind each other, strings after them: each mark is told, and nothing of the line is lost.
#[test]
fn a_sign_between_sizes_opens_no_string() {
    let text =
        "job \"Shed\" { show feet }\nlet a = 5/8\"x5\"; let b = 3\"x4\" // as planned\nask q \"Is it 5\\\"x6\\\"?\"\n";
    let compiled = compile_text(&Shelf::default(), "t.job", text, &Limits::default());
    let signs: Vec<&str> = rules(&compiled).into_iter().filter(|name| *name == "unit-unknown").collect();
    assert_eq!(signs.len(), 2, "{:?}", rules(&compiled));
    assert!(!rules(&compiled).contains(&"string-unclosed"), "{:?}", rules(&compiled));
}

#[test]
fn a_name_nothing_has_is_told_once() {
    let wrong = with("holes pins {", "holes dowel-holes {");
    let found = job(&wrong, "from 16:30 to");
    let named: Vec<String> = found
        .problems
        .iter()
        .filter(|problem| problem.rule.name == "name-unknown")
        .map(|problem| format!("{} {}", problem.says(System::Feet), problem.labels.len()))
        .collect();
    let uses = wrong.matches("pins").count();
    assert_eq!(named.len(), 1, "{named:?}");
    assert!(uses > 4 && named[0].ends_with(" times 4"), "{uses} {named:?}");
}

/// A job to start from, with a change in it.
fn started(from: &str, to: &str) -> Compiled {
    let text = std::fs::read_to_string("src/cli/new.job").unwrap();
    assert!(text.contains(from), "{from}");
    compile_text(&Shelf::default(), "new.job", &text.replacen(from, to, 1), &Limits::default())
}

#[test]
fn a_name_that_is_nearly_one_is_told_once_with_its_uses() {
    let found = started("section new {", "section n_ew {");
    let [problem] = found.problems.as_slice() else { panic!("{:?}", rules(&found)) };
    assert_eq!(problem.says(System::Feet), "nothing here is called `new`, which is used 5 times");
    assert_eq!(problem.helps(System::Feet).as_deref(), Some("is `n_ew` meant?"));
    assert_eq!((problem.labels.len(), problem.fix.is_none()), (4, true));
    // A single use is mended where it stands.
    let found = started("    avoid pipe by", "    avoid pip by");
    assert_eq!(rules(&found), ["name-unknown"]);
    assert_eq!(found.problems[0].fix.as_ref().map(|fix| fix.text.as_str()), Some("pipe"));
}

/// A block that was copied and not renamed is told of its name alone, whatever it is.
#[test]
fn a_copied_block_is_told_once() {
    let text = std::fs::read_to_string("src/cli/new.job").unwrap();
    let lines: Vec<&str> = text.lines().collect();
    let mut copied = 0;
    for (at, line) in lines.iter().enumerate() {
        let mut words = line.split_whitespace();
        let (kind, name) = (words.next().unwrap_or(""), words.next().unwrap_or(""));
        let is_block = line.starts_with(|first: char| first.is_ascii_lowercase()) && line.contains('{');
        if !is_block || kind == "job" || name == "{" {
            continue;
        }
        let open = |line: &&str| line.matches('{').count() != line.matches('}').count();
        let end = if open(line) { at + lines[at..].iter().position(|line| *line == "}").unwrap() } else { at };
        let text = format!("{text}\n{}\n", lines[at..=end].join("\n"));
        let found = compile_text(&Shelf::default(), "new.job", &text, &Limits::default());
        assert_eq!(rules(&found), ["name-twice"], "{kind} {name}");
        copied += 1;
    }
    assert!(copied > 20, "{copied}");
    // Of three that are called alike, two of a kind are one too many.
    let twice = "let new = 4\"\nsection new { along old.back 4' to 5'; thick 8\"; height 0 to 4\" }\n";
    assert_eq!(rules(&started("// The forms:", &format!("{twice}// The forms:"))), ["name-twice", "name-twice"]);
}

/// What stands on something that cannot be read is not said to stand on nothing.
#[test]
fn what_a_broken_thing_would_do_is_not_missed() {
    for head in ["slab floor {", "remove slab-strip {", "step saw \"Saw the slab edge\" {"] {
        assert_eq!(told(head, head, &format!("{head} wide 4\";")).0, ["clause-unknown"], "{head}");
    }
    let apron = |text: &str| {
        let job = std::fs::read_to_string("examples/sluice/sluice.job").unwrap();
        assert!(job.contains("slab apron {"));
        rules(&compile_text(&Shelf::default(), "s.job", &job.replace("slab apron {", text), &Limits::default()))
    };
    assert_eq!(apron("slab apron { wide 4\";"), ["clause-unknown"]);
}

#[test]
fn what_was_accepted_may_come_back_when_errors_are_mended() {
    let accept = "accept back-thin on pins because \"Agreed\"\n// The forms:";
    let deep = |text: &str| text.replace("// The forms:", accept).replace("by 5\"", "by 7 1/2\"");
    let text = deep(&std::fs::read_to_string("src/cli/new.job").unwrap());
    let found = |text: &str| compile_text(&Shelf::default(), "new.job", text, &Limits::default());
    assert_eq!((rules(&found(&text)), found(&text).accepted.len()), (Vec::new(), 1));
    // The wall cannot be read, so that nobody knows how thick it is behind the holes.
    let broken = found(&text.replacen("    thick 8\"\n", "    thick 8\n", 1));
    assert_eq!((rules(&broken), broken.accepted.len()), (vec!["unit-missing"], 0));
    let idle = text.replacen("by 7 1/2\"", "by 5\"", 1);
    assert_eq!(rules(&found(&idle)), ["accept-idle"]);
}

#[test]
fn a_file_that_is_not_there_is_told_alone_and_the_one_that_is_meant_is_offered() {
    let shop = std::fs::read_to_string("examples/boathouse/shop.job").unwrap();
    let shelf = Shelf::new([("shop.job", shop)]);
    let found = |line: &str| {
        let text = with("include \"shop.job\"", line);
        compile_text(&shelf, "boathouse.job", &text, &Limits::default())
    };
    for wrong in ["Shop.job", "shop", "shpo.job", "SHOP.JOB"] {
        let found = found(&format!("include \"{wrong}\""));
        assert_eq!(rules(&found), ["include-missing"], "{wrong}");
        assert!(found.problems[0].helps(System::Feet).unwrap().starts_with("is `shop.job` meant?"), "{wrong}");
        assert_eq!(found.problems[0].fix.as_ref().map(|fix| fix.text.as_str()), Some("\"shop.job\""), "{wrong}");
    }
    let gone = found("include \"prices-2027.job\"");
    assert_eq!((rules(&gone), gone.problems[0].fix.is_none()), (vec!["include-missing"], true));
    assert_eq!(rules(&found("include shop.job")), ["value-misfit"]);
}

#[test]
fn a_whole_job_that_is_included_is_told_once() {
    let other = std::fs::read_to_string("src/cli/new.job").unwrap();
    let shop = std::fs::read_to_string("examples/boathouse/shop.job").unwrap();
    let found = |files: &[(&str, &str)], text: &str| {
        let shelf = Shelf::new(files.iter().map(|(name, text)| (*name, *text)));
        compile_text(&shelf, "boathouse.job", text, &Limits::default())
    };
    let text = with("include \"shop.job\"", "include \"shop.job\"\ninclude \"shed.job\"");
    let both = found(&[("shop.job", &shop), ("shed.job", &other)], &text);
    assert_eq!(rules(&both), ["job-count"]);
    let problem = &both.problems[0];
    assert_eq!(problem.says(System::Feet), "\"shed.job\" is a whole job: it has a `job` block of its own");
    assert_eq!(problem.labels.len(), 2);
    // A head that is included where there is none is the job's.
    let head = "job \"Boathouse\" { show feet }\n";
    assert_eq!(rules(&found(&[("head.job", head)], "include \"head.job\"\n")), Vec::<&str>::new());
    let heads = found(&[("head.job", head), ("two.job", head)], "include \"head.job\"\ninclude \"two.job\"\n");
    assert_eq!(rules(&heads), ["job-count"]);
}

#[test]
fn a_unit_that_is_missing_in_a_let_is_told_there() {
    let text = "let skin = 8\nlet share = 0.08\nlet both = 4 + 4\njob \"Shed\" { show feet }
wall old { leg back 10'; thick skin; height -12\" to 26\" }
section low { along old.back 0 to 6'; thick skin; height -4\" to 12\" }
pour one { fill low; mix bag-60-lb; waste share }\n";
    let found = |text: &str| compile_text(&Shelf::default(), "t.job", text, &Limits::default());
    let job = found(text);
    let units: Vec<_> = job.problems.iter().filter(|problem| problem.rule.name == "unit-missing").collect();
    let said = |at: usize| {
        let problem = units[at];
        let places: Vec<&str> = problem.labels.iter().map(|label| job.sources.text(label.span)).collect();
        (problem.says(System::Feet), problem.helps(System::Feet).unwrap(), places)
    };
    assert_eq!(units.len(), 2, "{:?}", rules(&job));
    assert_eq!(
        said(0),
        (
            "`8` has no unit".to_owned(),
            "write `8\"` for inches, `8'` for feet, or `8 mm`".to_owned(),
            vec!["8", "skin"]
        )
    );
    assert_eq!(said(1), ("`0.08` has no unit".to_owned(), "write `8%`".to_owned(), vec!["0.08", "share"]));
    let mended = text.replace("= 8\n", "= 8\"\n").replace("0.08", "8%");
    assert!(!found(&mended).has_errors(), "{:?}", rules(&found(&mended)));
    // What is reckoned has no one place where a unit is missing.
    let job = found(&mended.replacen("thick skin", "thick both", 1));
    let problem = job.problems.iter().find(|problem| problem.rule.name == "unit-missing").unwrap();
    let help = problem.helps(System::Feet).unwrap();
    assert!(help.starts_with("the value of `both` is a number alone"), "{help}");
}

/// Holes that cannot be where they are written make no circle of the steps.
#[test]
fn holes_that_cannot_be_there_make_no_circle() {
    let text = std::fs::read_to_string("src/cli/new.job").unwrap();
    let found = |text: &str| rules(&compile_text(&Shelf::default(), "new.job", text, &Limits::default()));
    assert_eq!(found(&text), Vec::<&str>::new());
    let wrong = text.replacen("    into old\n", "    into new\n", 1);
    assert_ne!(wrong, text);
    assert_eq!(found(&wrong), ["off-the-wall"]);
}

//! The catalogue from outside: every rule has its page and its mistake file, raises where it should and nowhere else.
//!
//! A mistake file is `tests/mistakes/NAME.job`; what it includes stands in `tests/mistakes/NAME/`. Its first line may be
//! `// also: OTHER`, for a second rule that cannot be kept out, or `// limit: NAME=NUMBER`, as with `--limit`.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::Path,
};

use batterboard::{
    checks,
    compile::{Compiled, compile},
    language::{self, Limits},
    problem::{Level, Problem, Rule, View, Viewer},
    source::{Shelf, Source, SourceId, Span},
    units::System,
};

const HEADINGS: [&str; 4] = ["## What it finds", "## Why it matters", "## Example", "## Write instead"];
const SOURCE: &str = "## Source";

fn catalogue() -> Vec<&'static Rule> {
    checks::rules()
}

/// What is also said of a job that is not finished. Pages and mistake files are excerpts: they may leave the pours, the
/// steps, the scan and the questions out, and these findings with them; so may the text a mend leaves, which reads more of a job than before.
const UNFINISHED: [&str; 4] = ["not-poured", "no-steps", "not-scanned", "lines-unasked"];

/// Rules whose mistake does not go into a page as text: each with the files that make it, at the limits of every day.
fn cannot_stand_in_a_page(name: &str) -> Option<Vec<(&'static str, Vec<u8>)>> {
    let job = "job \"Boathouse\" { show feet }\n";
    let with = |text: &str| (MAIN, format!("{text}{job}").into_bytes());
    let limits = Limits::default();
    Some(match name {
        "not-text" => vec![(MAIN, [b"// caf\xe9\n".as_slice(), job.as_bytes()].concat())],
        "line-too-long" => vec![with(&format!("// {}\n", "-".repeat(limits.line)))],
        "word-too-long" => vec![with(&format!("let {} = 6'\n", "reach-".repeat(limits.word / 6) + "reach"))],
        "nested-deep" => {
            let (open, close) = ("(".repeat(limits.depth + 1), ")".repeat(limits.depth + 1));
            vec![with(&format!("let reach = {open}6'{close}\n"))]
        }
        "waits-too-many" => {
            let mut text = String::from(
                "wall old { leg back 10'; thick 8\"; height -12\" to 26\" }\nholes pins { into old; along old.back; rows height 6\"; inset 6\"; space at most 16\"; bore 5/8\" by 5\" }\n",
            );
            for at in 0..1001 {
                text +=
                    &format!("step m{at} \"Mark\" {{ work mark pins }}\nstep d{at} \"Drill\" {{ work drill pins }}\n");
            }
            vec![with(&text)]
        }
        "pairs-too-many" => vec![with(&format!(
            "wall old {{ leg back 10'; thick 8\"; height -12\" to 26\" }}\nbars rails {{ size #4; along old.back; rows height {}4\"; offset 4\" }}\n",
            "4\", ".repeat(6_500)
        ))],
        "include-circle" => vec![with("include \"shop.job\"\n"), ("shop.job", b"include \"shop.job\"\n".to_vec())],
        "include-deep" => {
            let mut files = vec![with("include \"1.job\"\n")];
            for depth in 1..=limits.chain {
                let name: &'static str = format!("{depth}.job").leak();
                files.push((name, format!("include \"{}.job\"\n", depth + 1).into_bytes()));
            }
            files
        }
        _ => return None,
    })
}

const MAIN: &str = "page.job";

fn compiled(shelf: &Shelf, path: &str, limits: &Limits) -> Compiled {
    compile(shelf, path, limits).unwrap()
}

/// A mistake file with what its first line says of it.
struct Mistake {
    name: String,
    text: Vec<u8>,
    also: BTreeSet<String>,
    limits: Limits,
    beside: Vec<(String, Vec<u8>)>,
}

impl Mistake {
    fn read(path: &Path) -> Mistake {
        let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
        let text = fs::read(path).unwrap();
        let words = String::from_utf8_lossy(&text).into_owned();
        let first = words.lines().next().unwrap_or("");
        let mut limits = Limits::default();
        if let Some((limit, value)) = first.strip_prefix("// limit: ").and_then(|rest| rest.split_once('=')) {
            assert!(limits.set(limit, value.parse().unwrap()), "{name}: no limit called `{limit}`");
        }
        let also = first.strip_prefix("// also: ").map(|rest| rest.split(", ").map(str::to_owned).collect());
        let mut beside = Vec::new();
        let folder = path.with_extension("");
        if folder.is_dir() {
            for entry in fs::read_dir(&folder).unwrap() {
                let path = entry.unwrap().path();
                beside.push((format!("{name}/{}", path.file_name().unwrap().display()), fs::read(&path).unwrap()));
            }
        }
        Mistake { name, text, also: also.unwrap_or_default(), limits, beside }
    }

    fn file(&self) -> String {
        format!("{}.job", self.name)
    }

    /// The files, with one of them changed.
    fn shelf(&self, changed: Option<(&str, &str)>) -> Shelf {
        let own = (self.file(), self.text.clone());
        let files = self.beside.iter().cloned().chain([own]);
        Shelf::new(files.map(|(name, bytes)| match changed {
            Some((file, text)) if file == name => (name, text.as_bytes().to_vec()),
            _ => (name, bytes),
        }))
    }

    fn compile(&self) -> Compiled {
        compiled(&self.shelf(None), &self.file(), &self.limits)
    }
}

fn mistakes() -> Vec<Mistake> {
    let mut paths: Vec<_> = fs::read_dir("tests/mistakes").unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.is_file());
    paths.sort();
    paths.iter().map(|path| Mistake::read(path)).collect()
}

#[test]
fn every_rule_has_a_name_a_page_and_a_mistake_and_nothing_is_left_over() {
    let mut seen = BTreeSet::new();
    for rule in catalogue() {
        let name = rule.name;
        assert!(seen.insert(name), "two rules are called `{name}`");
        let plain = name.split('-').all(|word| !word.is_empty() && word.bytes().all(|byte| byte.is_ascii_lowercase()));
        assert!(plain, "`{name}` is not lower-case words with hyphens");
        assert!(!rule.summary.is_empty() && !rule.summary.ends_with('.'), "{name}: {}", rule.summary);
        let headings: Vec<&str> = rule.page.lines().filter(|line| line.starts_with('#')).collect();
        let title = format!("# {name}");
        let wanted: Vec<&str> = [title.as_str()].into_iter().chain(HEADINGS).chain([SOURCE]).collect();
        assert_eq!(headings, wanted, "the page of `{name}`");
    }
    let of_files: BTreeSet<String> = mistakes().into_iter().map(|mistake| mistake.name).collect();
    let of_rules: BTreeSet<String> = seen.iter().map(|name| (*name).to_owned()).collect();
    assert_eq!(of_files, of_rules, "mistake files and rules");
    let mut of_pages = BTreeSet::new();
    for room in ["language", "job", "checks"] {
        let pages = fs::read_dir(Path::new("src").join(room).join("pages")).unwrap();
        of_pages.extend(pages.map(|page| page.unwrap().path().file_stem().unwrap().to_str().unwrap().to_owned()));
    }
    assert_eq!(of_pages, of_rules, "pages and rules");
}

#[test]
fn pages_have_something_to_say() {
    for rule in catalogue() {
        for (heading, body) in sections(rule.page) {
            assert!(body.split_whitespace().count() >= 4, "`{heading}` of `{}` says nothing", rule.name);
        }
        let text = rule.page;
        assert!(text.lines().all(|line| line.chars().count() <= 120), "a line of `{}` is too long", rule.name);
        for word in ["invalid", " I ", "TODO"] {
            assert!(!text.contains(word), "the page of `{}` says `{word}`", rule.name);
        }
    }
}

#[test]
fn mistakes_raise_their_rule_and_read_like_pages() {
    let mut wrong = Vec::new();
    insta::with_settings!({
        snapshot_path => "snapshots/mistakes",
        prepend_module_to_snapshot => false,
        omit_expression => true,
    }, {
        for mistake in mistakes() {
            let compiled = mistake.compile();
            let mut raised: BTreeSet<&str> = compiled.problems.iter().map(|problem| problem.rule.name).collect();
            let own = raised.remove(mistake.name.as_str());
            raised.retain(|name| !UNFINISHED.contains(name));
            if !own {
                wrong.push(format!("{}: not raised", mistake.name));
            }
            if raised.iter().map(|name| (*name).to_owned()).collect::<BTreeSet<_>>() != mistake.also {
                wrong.push(format!("{}: also raises {raised:?}", mistake.name));
            }
            insta::assert_snapshot!(mistake.name.as_str(), page(&mistake, &compiled));
        }
    });
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// The text, what stands beside it, then the findings as they are drawn.
fn page(mistake: &Mistake, compiled: &Compiled) -> String {
    let mut out = String::from_utf8_lossy(&mistake.text).into_owned();
    let beside: BTreeMap<&str, &[u8]> =
        mistake.beside.iter().map(|(name, text)| (name.as_str(), text.as_slice())).collect();
    for (name, text) in beside {
        out.push_str(&format!("\n──── {name}\n\n{}", String::from_utf8_lossy(text)));
    }
    out.push_str("\n────────────────────────────────────────────────────────────────────────────────\n");
    let view = View { colour: false, width: 80, system: compiled.job.system() };
    let viewer = Viewer::new(&compiled.sources, view);
    for problem in &compiled.problems {
        if problem.rule.name != mistake.name && UNFINISHED.contains(&problem.rule.name) {
            continue;
        }
        out.push('\n');
        out.push_str(&viewer.render(problem));
        if let Some(fix) = &problem.fix {
            let was = compiled.sources.text(fix.span);
            out.push_str(&format!("  edit: {was:?} → {:?}\n", fix.text));
        }
    }
    out
}

/// What our own sentences say in feet they say in metric units too, `{6'|2 m}`.
#[test]
fn help_speaks_in_the_units_of_the_job() {
    let mut either = 0;
    for mistake in mistakes() {
        for problem in &mistake.compile().problems {
            let mut plain = String::new();
            let mut rest = problem.help.unwrap_or_default();
            while let Some((before, after)) = rest.split_once('{') {
                plain.push_str(before);
                let (inside, behind) = after.split_once('}').unwrap_or((after, ""));
                let both = inside.contains('|') && !inside.contains('{');
                either += usize::from(both);
                rest = if both || inside.parse::<usize>().is_ok() { behind } else { after };
            }
            plain.push_str(rest);
            let bytes = plain.as_bytes();
            let marked = bytes.windows(2).any(|pair| pair[0].is_ascii_digit() && matches!(pair[1], b'\'' | b'"'));
            let words: Vec<&str> = plain.split([' ', '`', ',', ';', '.', ')']).collect();
            let unit = |pair: &[&str]| {
                let number = pair[0].starts_with(|first: char| first.is_ascii_digit());
                number && matches!(pair[1], "in" | "ft" | "lb" | "lbf" | "gal" | "degF" | "mph" | "psi")
            };
            assert!(!marked && !words.windows(2).any(unit), "{}: {plain}", mistake.name);
        }
    }
    assert!(either > 10, "only {either} sentences have both");
}

#[test]
fn a_mend_removes_its_finding() {
    let mut mended = 0;
    for mistake in mistakes() {
        let before = mistake.compile();
        for problem in &before.problems {
            let Some(fix) = &problem.fix else { continue };
            let source = before.sources.get(fix.span.source);
            let mut text = source.text.clone();
            text.replace_range(fix.span.start as usize..fix.span.end as usize, &fix.text);
            let after = compiled(&mistake.shelf(Some((&source.name, &text))), &mistake.file(), &mistake.limits);
            let says = |all: &[Problem]| {
                all.iter().map(|one| (one.rule.name, one.says(before.job.system()))).collect::<Vec<_>>()
            };
            let mut left = says(&before.problems);
            let at = left.iter().position(|one| *one == (problem.rule.name, problem.says(before.job.system())));
            left.remove(at.unwrap());
            let mut now = says(&after.problems);
            now.retain(|one| !UNFINISHED.contains(&one.0));
            assert!(
                now.len() <= left.len() && now.iter().all(|one| left.contains(one)),
                "{}: putting {:?} for {:?} leaves {now:?}",
                mistake.name,
                fix.text,
                before.sources.text(fix.span)
            );
            mended += 1;
        }
    }
    assert!(mended > 20, "only {mended} findings have a mend");
}

#[test]
fn examples_of_pages_do_what_the_page_says() {
    let limits = Limits::default();
    let mut wrong = Vec::new();
    for rule in catalogue() {
        let name = rule.name;
        let sections = sections(rule.page);
        let example = sections.iter().find(|(heading, _)| *heading == "## Example").and_then(|(_, body)| fenced(body));
        let instead =
            sections.iter().find(|(heading, _)| *heading == "## Write instead").and_then(|(_, body)| fenced(body));
        let (Some((kind, example)), Some((_, instead))) = (example, instead) else {
            wrong.push(format!("{name}: an example is missing"));
            continue;
        };
        let files = match (kind, cannot_stand_in_a_page(name)) {
            ("text", Some(files)) => files,
            ("job", None) => vec![(MAIN, example.into_bytes())],
            (kind, built) => {
                wrong.push(format!("{name}: ```{kind}, built in the test: {}", built.is_some()));
                continue;
            }
        };
        let found = compiled(&Shelf::new(files), MAIN, &limits);
        let own = found.problems.iter().any(|problem| problem.rule == rule);
        // So many waits only come of steps that do one thing over and over.
        let unavoidable = |problem: &Problem| name == "waits-too-many" && problem.rule.name == "done-twice";
        let only = found
            .problems
            .iter()
            .all(|problem| problem.rule == rule || UNFINISHED.contains(&problem.rule.name) || unavoidable(problem));
        if !own || !only {
            wrong.push(format!("{name}: the example gives {}", says(&found)));
        }
        let shop = ("shop.job", b"resin resin { cartridge 22 fl-oz }\n".to_vec());
        let mended = compiled(&Shelf::new([(MAIN, instead.into_bytes()), shop]), MAIN, &limits);
        if mended.problems.iter().any(|problem| problem.rule == rule || problem.rule.level == Level::Error) {
            wrong.push(format!("{name}: what is to be written instead gives {}", says(&mended)));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

fn says(compiled: &Compiled) -> String {
    let system = compiled.job.system();
    let lines =
        compiled.problems.iter().map(|problem| format!("\n    {}: {}", problem.rule.name, problem.says(system)));
    lines.collect()
}

/// The parts of a page by their headings.
fn sections(page: &str) -> Vec<(&str, String)> {
    let mut out: Vec<(&str, String)> = Vec::new();
    for line in page.lines() {
        if line.starts_with("## ") {
            out.push((line, String::new()));
        } else if let Some((_, body)) = out.last_mut() {
            body.push_str(line);
            body.push('\n');
        }
    }
    out
}

/// The first fenced block of a part, with the word behind its fence.
fn fenced(body: &str) -> Option<(&str, String)> {
    let mut lines = body.lines();
    let kind = lines.find_map(|line| line.strip_prefix("```"))?;
    let text: Vec<&str> = lines.take_while(|line| *line != "```").collect();
    Some((kind, text.join("\n") + "\n"))
}

#[test]
fn what_is_said_in_other_words_is_not_missing_as_well() {
    let text = "job \"Shed\" { show feet }\n\
        wall old { leg back 9'; thick 8\"; height -12\" to 26\" }\n\
        section low { along old.back; thick 6\"; height -4\" to 12\"; base soil }\n\
        forms face { against low; sheathing ply-3/4; studs 2x4 every 16\" }\n";
    let compiled = compiled(&Shelf::new([(MAIN, text)]), MAIN, &Limits::default());
    let errors = compiled.problems.iter().filter(|problem| problem.rule.level == Level::Error);
    let found: Vec<(&str, &str)> = errors
        .map(|problem| (problem.rule.name, problem.span().map_or("", |span| compiled.sources.text(span))))
        .collect();
    assert_eq!(found, [("clause-unknown", "sheathing"), ("value-extra", "every")]);
    let helps: Vec<String> = compiled.problems.iter().filter_map(|problem| problem.helps(System::Feet)).collect();
    let told = |text: &str| helps.iter().any(|help| help.contains(text));
    assert!(told("is `sheath` meant?") && told("and then `space at most`"), "{helps:?}");
}

#[test]
fn ten_mistakes_ten_findings() {
    let text = include_str!("ten-mistakes.job");
    let compiled = compiled(&Shelf::new([(MAIN, text)]), MAIN, &Limits::default());
    let under = |span: Option<Span>| span.map_or("", |span| compiled.sources.text(span));
    let found: Vec<(&str, &str)> =
        compiled.problems.iter().map(|problem| (problem.rule.name, under(problem.span()))).collect();
    assert_eq!(
        found,
        [
            ("choice-unknown", "imperial"),
            ("unit-missing", "8"),
            ("name-unknown", "raech"),
            ("clause-unknown", "heigth"),
            ("range-backwards", "20\" to 12\""),
            ("clause-missing", ""),
            ("unit-unknown", "inches"),
            ("side-by-side", "low.top -4\""),
            ("string-run-on", "pipe\""),
            ("verb-unknown", "dril"),
        ]
    );
}

#[test]
fn one_slip_gives_one_finding() {
    let rest = "\nwall old { leg back 10'; thick 8\"; height 0 to 24\" }\n";
    for (slip, rule, under) in [
        // A misspelt `job` is not also a job that is missing.
        ("jbo \"Boathouse\" { show feet }", "kind-unknown", "jbo"),
        ("job \"Boathouse { show feet }", "string-unclosed", "\"Boathouse"),
        ("job \"Boathouse\" { show feet", "block-unclosed", "{"),
        ("job \"the 8\" wall\" { show feet }", "string-run-on", "wall\""),
        // What uses a name whose own block is broken stays silent.
        ("job \"Boathouse\" { }\nlet reach = 6\nlet far = reach + 2\"", "dimension-wrong", "reach + 2\""),
        ("job \"Boathouse\" { }\nlet reach = 6 foott\nlet far = reach + 2\"\nlet more = far", "unit-unknown", "foott"),
        ("job \"Boathouse\" { }\nsectoin low { }\nlet far = low.top", "kind-unknown", "sectoin"),
    ] {
        let compiled = compiled(&Shelf::new([(MAIN, format!("{slip}{rest}"))]), MAIN, &Limits::default());
        let found: Vec<(&str, &str)> = compiled
            .problems
            .iter()
            .map(|problem| (problem.rule.name, problem.span().map_or("", |span| compiled.sources.text(span))))
            .collect();
        assert_eq!(found, [(rule, under)], "{slip}");
    }
}

#[test]
fn every_prefix_of_a_mistake_is_kept_whole() {
    for mistake in mistakes() {
        let Ok(text) = String::from_utf8(mistake.text.clone()) else { continue };
        let ends = text.char_indices().map(|(at, _)| at).filter(|at| at % 3 == 0);
        for end in ends {
            let mut problems = Vec::new();
            let (id, source) = (SourceId(0), Source::new("prefix.job", &text[..end]));
            let tree = language::parse(id, &source, &mistake.limits, &mut problems);
            assert_eq!(tree.text(&source), source.text, "{} up to byte {end}", mistake.name);
            compiled(&mistake.shelf(Some((&mistake.file(), &text[..end]))), &mistake.file(), &mistake.limits);
        }
    }
}

#[test]
fn a_job_without_mistakes_has_no_findings() {
    let folder = Path::new("examples/boathouse");
    let read = |name: &str| (name.to_owned(), fs::read(folder.join(name)).unwrap());
    let shelf = Shelf::new([read("boathouse.job"), read("shop.job")]);
    let compiled = compiled(&shelf, "boathouse.job", &Limits::default());
    assert!(compiled.problems.is_empty(), "{}", says(&compiled));
}

/// A clause of the `job` block that cannot be read costs no more than itself: the others hold, and what hangs on it is not told.
#[test]
fn a_bad_clause_of_the_job_block_leaves_the_others() {
    let rest = "\nwall old { leg back 10'; thick 8\"; height -12\" to 60\" }
section low { along old.back; thick 8\"; height 0 to 24\" }
pour cast { fill low; mix bag-80-lb; mixer 1 bag, takes 10 min; carry 2 gal, takes 2 min; lift 8\"; crew 2 }
cure keep { of cast; wet for 7 days; strip after 3 days }
forms front {
    against low
    sheath ply-3/4
    studs 2x4, space at most 30\"
    brace 2x4, space at most 3', angle 30 deg, on floor, holds 600 lbf
    kick 2x4, on bank
    down 300 lbf, space at most 3'
}
step cast-it \"Mix, place and rod\" { work pour cast }\n";
    let read = |head: &str| {
        let compiled = compiled(&Shelf::new([(MAIN, format!("{head}{rest}"))]), MAIN, &Limits::default());
        let errors = compiled.problems.iter().filter(|problem| problem.rule.level == Level::Error);
        let errors: Vec<&str> = errors.map(|problem| problem.rule.name).collect();
        let rules: BTreeSet<&str> = compiled.problems.iter().map(|problem| problem.rule.name).collect();
        (compiled.job.system(), compiled.job.air().is_some(), errors.join(" "), rules)
    };
    let weather = "weather 90 degF to 95 degF, humidity 60%, wind 5 mph";
    let (_, _, errors, whole) = read(&format!("job \"Shed\" {{ show metric; start 2027-05-03; {weather} }}"));
    assert_eq!(errors, "");
    assert!(whole.contains("cold-joint") && whole.contains("form-sheath"), "{whole:?}");
    let (system, air, errors, rules) = read(&format!("job \"Shed\" {{ show metric; start 2027-02-30; {weather} }}"));
    assert_eq!((system, air, errors.as_str()), (System::Metric, true, "date-unreadable"));
    assert!(rules.contains("cold-joint"), "the weather can be read: {rules:?}");
    let (system, air, errors, rules) =
        read("job \"Shed\" { show metric; start 2027-05-03; weather 90 degF to 95 degF, wind 5 kmh }");
    assert_eq!((system, air, errors.as_str()), (System::Metric, false, "unit-unknown"));
    for hangs in ["cold-joint", "form-sheath", "humidity-unsaid"] {
        assert!(!rules.contains(hangs), "{hangs} hangs on the weather: {rules:?}");
    }
    // A word that may have been meant for the weather.
    let (.., errors, rules) = read("job \"Shed\" { start 2027-05-03; climate 90 degF to 95 degF }");
    assert_eq!(errors, "clause-unknown");
    assert!(!rules.contains("cold-joint"), "{rules:?}");
}

/// A slip that makes several things fit no more is told once, with what was likely meant.
#[test]
fn a_slip_in_a_name_or_a_brace_is_told_once() {
    let job = "job \"Shed\" { show feet }
wall old { leg back 10'; thick 8\"; height -12\" to 60\" }
section low { along old.back; thick 8\"; height 0 to 12\" }
section high { along old.back; thick 8\"; height 12\" to 24\" }
prepare face { of low, high; roughen 1/4\" }
forms below { against low; sheath ply-3/4; studs 2x4, space at most 12\"; kick 2x4, on bank; brace 2x4, space at most 3', angle 30 deg, on floor, holds 600 lbf; down 300 lbf, space at most 3' }
forms above { against high; sheath ply-3/4; studs 2x4, space at most 12\"; kick 2x4, on bank; brace 2x4, space at most 3', angle 30 deg, on floor, holds 600 lbf; down 300 lbf, space at most 3' }
pour first { fill low; mix bag-80-lb }
pour second { fill high; mix bag-80-lb }
step rough \"Roughen\" { work prepare face }
step form-a \"Form\" { work form below }
step cast-a \"Cast\" { work pour first; after form-a }
step bare-a \"Strip\" { work strip below }
step form-b \"Form\" { work form above; after bare-a }
step cast-b \"Cast\" { work pour second; after form-b }
step bare-b \"Strip\" { work strip above }
";
    let told = |text: &str| {
        let compiled = compiled(&Shelf::new([(MAIN, text.to_owned())]), MAIN, &Limits::default());
        let all = compiled
            .problems
            .iter()
            .filter(|problem| !["strip-unsaid", "cure-missing", "joint-not-ready"].contains(&problem.rule.name));
        all.map(|problem| (problem.rule.name, problem.fix.as_ref().map(|fix| fix.text.clone()).unwrap_or_default()))
            .collect::<Vec<_>>()
    };
    assert_eq!(told(job), []);
    let high = || "high".to_owned();
    assert_eq!(told(&job.replace("fill high", "fill low")), [("poured-twice", high())]);
    assert_eq!(told(&job.replace("against high", "against low")), [("formed-twice", high())]);
    let open = [("block-missing", "{ ".to_owned())];
    assert_eq!(told(&job.replace("section high {", "section high")), open);
    let many = job
        .replace("pour second {", "pour second\n")
        .replace("; mix bag-80-lb }\nstep rough", "\nmix bag-80-lb\n}\nstep rough");
    assert_eq!(told(&many).iter().map(|(rule, _)| *rule).collect::<Vec<_>>(), ["block-missing"], "{many}");
    // A brace that closes nothing stays one where no block above wants it.
    assert_eq!(told(&format!("{job}}}\n")), [("brace-stray", String::new())]);
}

/// A second place far on is drawn as part of its finding, without a level of its own.
#[test]
fn a_further_place_belongs_to_its_finding() {
    let far = format!("\nwall old {{ leg back 10'; thick 8\"; {}height -12\" to 26\"; thick 9\" }}\n", " ".repeat(600));
    let compiled =
        compiled(&Shelf::new([(MAIN, format!("job \"Shed\" {{ show feet }}{far}"))]), MAIN, &Limits::default());
    let view = View { colour: false, width: 80, system: System::Feet };
    let twice = compiled.problems.iter().find(|problem| problem.rule.name == "clause-twice").unwrap();
    let drawn = Viewer::new(&compiled.sources, view).render(twice);
    assert!(!drawn.contains("Advice"), "{drawn}");
    assert!(drawn.contains("a further place of `clause-twice` above"), "{drawn}");
    assert_eq!(drawn.matches("first written here").count(), 1, "{drawn}");
}

#[test]
fn a_name_given_twice_is_offered_once_and_one_question_does_for_all() {
    let text = "job \"Shed\" { show feet }
wall old { leg back 10'; thick 8\"; height -12\" to 26\" }
holes pins { into old; along old.back; rows height 6\"; inset 6\"; space at most 16\"; bore 5/8\" by 5\" }
holes more { into old; along old.back; rows height 12\"; inset 6\"; space at most 16\"; bore 5/8\" by 5\" }
step a \"Drill\" { work drill pins }
step b \"Drill\" { work drill more }
section low { along old.back; thick 8\"; height 0 to 20\" }
section low { along old.back; thick 8\"; height 20\" to 24\" }
pour p { fill wharf; mix bag-80-lb }
";
    let compiled = compiled(&Shelf::new([(MAIN, text)]), MAIN, &Limits::default());
    let helps = |rule: &str| {
        let mine = compiled.problems.iter().filter(|problem| problem.rule.name == rule);
        mine.filter_map(|problem| problem.helps(System::Feet)).collect::<Vec<_>>()
    };
    let names = helps("name-unknown");
    assert_eq!(names.len(), 1);
    assert_eq!(names[0].matches("`low`").count(), 1, "{names:?}");
    let lines = helps("lines-unasked");
    assert_eq!(lines.len(), 2);
    assert!(lines[0].contains("`ask lines-there \"") && lines[0].contains("before a, b }`"), "{lines:?}");
    assert!(!lines[1].contains("lines-there"), "{lines:?}");
}

//! Every example checks clean, stands in the formatter's form, and prints: each report through each printer is held as a
//! snapshot, and what the Markdown says is read back by a Markdown reader.

use std::{
    fs, io,
    path::{Path, PathBuf},
};

use batterboard::{
    compile::{Compiled, compile},
    language::{self, Limits},
    problem::Level,
    reports::{self, Paper, print},
    source::{Shelf, Source},
};
use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};

/// An example: its name, its folder's files, and what it comes to.
struct Example {
    name: String,
    files: Vec<(String, String)>,
    compiled: Compiled,
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("examples")
}

/// Each folder of `examples` holds one job of the folder's name, and what it includes.
fn examples() -> Vec<Example> {
    let mut folders: Vec<PathBuf> = fs::read_dir(folder()).unwrap().map(|entry| entry.unwrap().path()).collect();
    folders.retain(|path| path.is_dir());
    folders.sort();
    folders.iter().map(|path| example(path)).collect()
}

fn example(folder: &Path) -> Example {
    let name = folder.file_name().unwrap().to_str().unwrap().to_owned();
    let mut files: Vec<(String, String)> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "job"))
        .map(|path| (path.file_name().unwrap().to_str().unwrap().to_owned(), fs::read_to_string(&path).unwrap()))
        .collect();
    files.sort();
    let shelf = Shelf::new(files.clone());
    let compiled = compile(&shelf, &format!("{name}.job"), &Limits::default()).unwrap();
    Example { name, files, compiled }
}

#[test]
fn there_are_examples_of_each_sort() {
    let names: Vec<String> = examples().into_iter().map(|example| example.name).collect();
    assert_eq!(names, ["boathouse", "cellar", "dairy", "gate", "icehouse", "pad", "pier", "sluice"]);
}

#[test]
fn every_example_checks_clean() {
    for example in examples() {
        let job = &example.compiled;
        let said: Vec<String> = job
            .problems
            .iter()
            .map(|problem| format!("{}: {}", problem.rule.name, problem.says(job.job.system())))
            .collect();
        assert!(said.is_empty(), "{}: {said:#?}", example.name);
        assert!(job.job.broken.is_empty(), "{}", example.name);
        assert!(!job.works.plan.no_steps, "{} has no steps", example.name);
        for accepted in &job.accepted {
            assert_eq!(accepted.problem.rule.level, Level::Warning, "{}", example.name);
        }
    }
}

#[test]
fn every_file_is_in_the_formatters_form() {
    for example in examples() {
        for (name, text) in &example.files {
            let source = Source::new(name.as_str(), text.as_str());
            assert_eq!(&language::format(&source, &Limits::default()), text, "{}/{name}", example.name);
            let comments = text.lines().filter(|line| line.contains("// ")).count();
            assert!(comments > 0, "{}/{name} explains nothing", example.name);
        }
    }
}

fn printed(print: impl FnOnce(&mut dyn io::Write) -> io::Result<()>) -> String {
    let mut out = Vec::new();
    print(&mut out).unwrap();
    String::from_utf8(out).unwrap()
}

/// One file a report and printer: the ending of the snapshot's name and the text.
fn papers(compiled: &Compiled) -> Vec<(&'static str, String)> {
    let (order, tally, days) = (reports::order(compiled), reports::tally(compiled), reports::day_plan(compiled));
    let buy = reports::buy(compiled);
    let markdown = |paper: &Paper| printed(|out| print::markdown(paper, out));
    let terminal = |paper: &Paper| printed(|out| print::terminal(paper, 100, false, out));
    let job = [("example.job", compiled)];
    vec![
        ("findings.json", printed(|out| reports::json::findings(&job, out))),
        ("tally.json", printed(|out| reports::json::tally(&job, out))),
        ("order.md", markdown(&order)),
        ("order.txt", terminal(&order)),
        ("tally.md", markdown(&tally)),
        ("tally.txt", terminal(&tally)),
        ("days.md", markdown(&days)),
        ("days.txt", terminal(&days)),
        ("days.ics", printed(|out| reports::calendar(compiled, out)).replace('\r', "")),
        ("numbers.txt", terminal(&reports::numbers(compiled))),
        ("tally.csv", printed(|out| print::csv_all(&tally, out))),
        ("buy.md", markdown(&buy)),
        ("buy.txt", terminal(&buy)),
        ("buy.csv", printed(|out| print::csv_all(&buy, out))),
        ("buy.json", printed(|out| reports::json::buying(&job, out))),
    ]
}

#[test]
fn every_paper_of_every_example_is_as_it_was_read() {
    for example in examples() {
        for (ending, text) in papers(&example.compiled) {
            // All worked numbers in JSON are held once; `numbers.txt` holds those of every example.
            let text = match text.split_once("\n      \"numbers\": [") {
                Some((before, _)) if ending == "tally.json" && example.name != "boathouse" => format!("{before} …\n"),
                _ => text,
            };
            insta::with_settings!({ snapshot_path => "snapshots/examples", prepend_module_to_snapshot => false, omit_expression => true }, {
                insta::assert_snapshot!(format!("{}-{ending}", example.name), text);
            });
        }
    }
}

/// The boathouse as it was built: a second file with records, which takes in the plan.
fn as_done() -> Compiled {
    let read = |name: &str| (name.to_owned(), fs::read(folder().join("boathouse").join(name)).unwrap());
    let shelf = Shelf::new([read("as-done.job"), read("boathouse.job"), read("shop.job")]);
    compile(&shelf, "as-done.job", &Limits::default()).unwrap()
}

#[test]
fn the_record_of_the_boathouse_is_as_it_was_read() {
    let job = as_done();
    assert!(job.problems.is_empty(), "{:#?}", job.problems);
    let (record, order) = (reports::record(&job), reports::order(&job));
    let named = [("as-done.job", &job)];
    let texts = [
        ("record.txt", printed(|out| print::terminal(&record, 100, false, out))),
        ("record.md", printed(|out| print::markdown(&record, out))),
        ("record.csv", printed(|out| print::csv_all(&record, out))),
        ("record.json", printed(|out| reports::json::record(&named, out))),
        ("order.md", printed(|out| print::markdown(&order, out))),
    ];
    for (ending, text) in texts {
        // Of the order only what records fill in.
        let text = match text.split_once("## Days") {
            Some((_, days)) if ending == "order.md" => {
                let days = days.split("\n## ").next().unwrap_or("");
                let done = text.split_once("## As done").and_then(|(_, done)| done.split("\n# ").next()).unwrap_or("");
                format!("{days}\n…\n{done}")
            }
            _ => text,
        };
        insta::with_settings!({ snapshot_path => "snapshots/examples", prepend_module_to_snapshot => false, omit_expression => true }, {
            insta::assert_snapshot!(format!("as-done-{ending}"), text);
        });
    }
}

#[test]
fn what_the_finished_jobs_teach_is_as_it_was_read() {
    let files: Vec<PathBuf> =
        fs::read_dir(folder().join("dairy")).unwrap().map(|entry| entry.unwrap().path()).collect();
    let read = |path: &PathBuf| (path.file_name().unwrap().to_str().unwrap().to_owned(), fs::read(path).unwrap());
    let shelf = Shelf::new(files.iter().map(read));
    let jobs = ["dairy.job", "smithy.job", "wheel-house.job"]
        .map(|name| (name, compile(&shelf, name, &Limits::default()).unwrap()));
    let named: Vec<(&str, &Compiled)> = jobs.iter().map(|(name, job)| (*name, job)).collect();
    for (name, job) in &named {
        assert!(job.problems.iter().all(|problem| problem.rule.level == Level::Advice), "{name}: {:#?}", job.problems);
    }
    let texts = [
        ("txt", printed(|out| print::terminal(&reports::learn(&named), 100, false, out))),
        ("json", printed(|out| reports::json::learn(&named, out))),
        ("two.txt", printed(|out| print::terminal(&reports::learn(&named[..2]), 100, false, out))),
    ];
    for (ending, text) in texts {
        insta::with_settings!({ snapshot_path => "snapshots/examples", prepend_module_to_snapshot => false, omit_expression => true }, {
            insta::assert_snapshot!(format!("dairy-lessons.{ending}"), text);
        });
    }
}

/// A table as a Markdown reader sees it: cells in the head, then in each row.
#[derive(Debug, Default)]
struct Seen {
    head: usize,
    rows: Vec<usize>,
}

/// The tables of a Markdown text, and whatever HTML was found in it.
fn read_back(text: &str) -> (Vec<Seen>, Vec<String>) {
    let (mut tables, mut html) = (Vec::new(), Vec::new());
    let mut cells = 0;
    for event in Parser::new_ext(text, Options::ENABLE_TABLES) {
        match event {
            Event::Start(Tag::Table(columns)) => {
                tables.push(Seen::default());
                assert!(!columns.is_empty());
            }
            Event::Start(Tag::TableHead | Tag::TableRow) => cells = 0,
            Event::Start(Tag::TableCell) => cells += 1,
            Event::End(TagEnd::TableHead) => tables.last_mut().unwrap().head = cells,
            Event::End(TagEnd::TableRow) => tables.last_mut().unwrap().rows.push(cells),
            Event::Html(text) | Event::InlineHtml(text) => html.push(text.into_string()),
            _ => {}
        }
    }
    (tables, html)
}

/// How many bars stand in a table row, those behind a stroke left out. A Markdown reader pads short rows and cuts long
/// ones, so that the cells it gives do not tell.
fn bars(line: &str) -> usize {
    let mut count = 0;
    let mut escaped = false;
    for letter in line.chars() {
        match letter {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '|' => count += 1,
            _ => {}
        }
    }
    count
}

#[test]
fn the_markdown_of_every_paper_is_read_back_whole() {
    for example in examples() {
        let job = &example.compiled;
        for (paper, least) in [(reports::order(job), 4), (reports::tally(job), 4), (reports::buy(job), 2)] {
            let text = printed(|out| print::markdown(&paper, out));
            let (tables, html) = read_back(&text);
            assert!(html.is_empty(), "{}: {html:?}", example.name);
            let wanted: Vec<usize> = paper.tables().map(|table| table.columns.len()).collect();
            assert!(wanted.len() >= least, "{}: {wanted:?}", example.name);
            assert_eq!(tables.iter().map(|table| table.head).collect::<Vec<_>>(), wanted, "{}", example.name);
            let mut lines = text.lines().filter(|line| line.starts_with('|'));
            for (table, columns) in tables.iter().zip(&wanted) {
                assert!(!table.rows.is_empty(), "{}: a table without rows", example.name);
                assert!(table.rows.iter().all(|cells| cells == columns), "{}: {table:?}", example.name);
                // The head, the rule under it, the rows.
                for line in lines.by_ref().take(table.rows.len() + 2) {
                    assert_eq!(bars(line), columns + 1, "{}: {line}", example.name);
                }
            }
            assert_eq!(lines.next(), None);
        }
    }
}

#[test]
fn a_broken_table_would_be_seen() {
    let (tables, html) = read_back("| a | b |\n| - | - |\n| 1 |\n\nx <b>y</b>\n");
    assert_eq!(tables.len(), 1);
    assert_eq!(html, ["<b>", "</b>"]);
    assert_eq!(bars("| 1 |"), 2);
    assert_eq!(bars(r"| 1 \| 2 |"), 2);
}

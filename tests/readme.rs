//! The README is held to what it shows: its jobs check clean, its commands run.

use std::{fs, process::Command};

use batterboard::{
    compile::compile_text,
    language::{Limits, format},
    source::{Shelf, SourceId},
};

fn blocks(language: &str) -> Vec<String> {
    let text = fs::read_to_string("README.md").unwrap();
    let mut out = Vec::new();
    let mut held: Option<(String, usize)> = None;
    for line in text.lines() {
        let bare = line.trim_start();
        match &mut held {
            None if bare.starts_with("```") && bare.trim_start_matches('`') == language => {
                held = Some((String::new(), line.len() - bare.len()));
            }
            None => {}
            Some(_) if bare == "```" => out.extend(held.take().map(|(text, _)| text)),
            Some((text, indent)) => {
                text.push_str(line.get(*indent..).unwrap_or(bare));
                text.push('\n');
            }
        }
    }
    out
}

#[test]
fn jobs_of_the_readme_check_clean() {
    let jobs = blocks("job");
    assert!(!jobs.is_empty(), "the README shows no job any more");
    for job in jobs {
        let compiled = compile_text(&Shelf::default(), "readme.job", &job, &Limits::default());
        let said: Vec<String> = compiled.problems.iter().map(|problem| problem.says(compiled.job.system())).collect();
        assert!(said.is_empty(), "{job}\n{said:#?}");
        let source = compiled.sources.get(SourceId(0));
        assert_eq!(format(source, &Limits::default()), job, "in the one form, as the README asks of a job");
    }
}

#[test]
fn commands_of_the_readme_run() {
    let folder = tempfile::tempdir().unwrap();
    let job = blocks("job").remove(0);
    let mut ran = 0;
    for line in blocks("console").iter().flat_map(|block| block.lines().map(str::to_owned).collect::<Vec<_>>()) {
        // Only the program's own commands: cargo, git and echo are somebody else's.
        let words: Vec<&str> = match line.strip_prefix("batterboard ") {
            Some(rest) => rest.split_whitespace().collect(),
            None => continue,
        };
        fs::write(folder.path().join("wall.job"), &job).unwrap();
        let output =
            Command::new(env!("CARGO_BIN_EXE_batterboard")).args(&words).current_dir(&folder).output().unwrap();
        assert!(output.status.success(), "{line}\n{}", String::from_utf8_lossy(&output.stderr));
        ran += 1;
    }
    assert!(ran >= 3, "the README shows fewer commands than it did: {ran}");
    let main = Command::new(env!("CARGO_BIN_EXE_batterboard"))
        .args(["order", "examples/boathouse/boathouse.job"])
        .output()
        .unwrap();
    assert!(main.status.success());
    assert!(String::from_utf8_lossy(&main.stdout).starts_with("# Work order: Boathouse rear wall"));
}

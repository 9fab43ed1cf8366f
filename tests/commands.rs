//! The commands as a person meets them: the program itself, run in folders of its own.

mod compare;
mod hostile;
mod many;
mod watch;

use std::{
    fs,
    io::Write as _,
    path::Path,
    process::{Command, Output, Stdio},
};

use tempfile::TempDir;

/// What the program answered.
#[derive(Debug, PartialEq, Eq)]
struct Ran {
    exit: Option<i32>,
    out: String,
    err: String,
}

impl Ran {
    fn of(output: Output) -> Ran {
        let text = |bytes| String::from_utf8(bytes).expect("what is printed is UTF-8");
        let ran = Ran { exit: output.status.code(), out: text(output.stdout), err: text(output.stderr) };
        assert!(!ran.err.contains("panicked"), "{}", ran.err);
        ran
    }

    /// The exit, with nothing said on stderr.
    fn quietly(&self) -> Option<i32> {
        assert_eq!(self.err, "");
        self.exit
    }
}

/// A folder with jobs in it.
struct Yard(TempDir);

impl Yard {
    fn new() -> Yard {
        Yard(TempDir::new().unwrap())
    }

    /// A folder with one of each: `fine.job`, `warned.job`, `broken.job`, each with a title of its own.
    fn with_jobs() -> Yard {
        let yard = Yard::new();
        let fine = template();
        let titled = |title: &str| fine.replace("Potting shed, back wall", title);
        let warned = titled("Warned").replace("bore 5/8\" by 5\"", "bore 5/8\" by 7 1/2\"");
        let broken = titled("Broken").replace("height -12\" to 30\"", "height -12\" to 30");
        assert!(warned.contains("7 1/2\"  //") && broken.contains("to 30  //"), "the template has changed");
        yard.put("fine.job", titled("Fine"));
        yard.put("warned.job", warned);
        yard.put("broken.job", broken);
        yard
    }

    fn path(&self) -> &Path {
        self.0.path()
    }

    fn put(&self, name: &str, content: impl AsRef<[u8]>) {
        fs::write(self.path().join(name), content).unwrap();
    }

    fn get(&self, name: &str) -> String {
        fs::read_to_string(self.path().join(name)).unwrap()
    }

    /// The names in a folder, sorted.
    fn names(&self, folder: &str) -> Vec<String> {
        let entries = fs::read_dir(self.path().join(folder)).unwrap();
        let mut names: Vec<String> =
            entries.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }

    fn command(&self) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_batterboard"));
        command.current_dir(self.path()).stdin(Stdio::null());
        for variable in ["NO_COLOR", "CLICOLOR_FORCE", "FORCE_COLOR", "COLUMNS"] {
            command.env_remove(variable);
        }
        command
    }

    fn run(&self, arguments: &[&str]) -> Ran {
        Ran::of(self.command().args(arguments).output().unwrap())
    }

    fn run_with(&self, arguments: &[&str], input: &str) -> Ran {
        let mut child = self
            .command()
            .args(arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
        Ran::of(child.wait_with_output().unwrap())
    }

    /// A shell line, for what only a shell can set up; `$B` is the program.
    #[cfg(unix)]
    fn shell(&self, line: &str) -> Ran {
        let mut shell = Command::new("sh");
        shell.args(["-c", line]).current_dir(self.path()).env("B", env!("CARGO_BIN_EXE_batterboard"));
        Ran::of(shell.stdin(Stdio::null()).output().unwrap())
    }
}

fn template() -> String {
    Yard::new().run(&["new"]).out
}

#[test]
fn help_is_for_builders() {
    let yard = Yard::new();
    for command in [
        "",
        "check",
        "watch",
        "order",
        "draw",
        "days",
        "tally",
        "buy",
        "record",
        "learn",
        "why",
        "compare",
        "fmt",
        "explain",
        "reference",
        "new",
    ] {
        let name = if command.is_empty() { "batterboard" } else { command };
        let arguments: Vec<&str> = [command, "--help"].into_iter().filter(|word| !word.is_empty()).collect();
        let ran = yard.run(&arguments);
        assert_eq!(ran.quietly(), Some(0));
        assert!(ran.out.lines().all(|line| line.chars().count() <= 100), "{name}");
        insta::assert_snapshot!(format!("help-{name}"), ran.out);
    }
    let short = yard.run(&["check", "-h"]);
    assert_eq!(short, yard.run(&["check", "--help"]));
    assert_eq!(short, yard.run(&["help", "check"]));
    let narrow = yard.run(&["check", "--help", "--width", "60"]);
    assert_eq!(narrow.exit, Some(0));
}

#[test]
fn version() {
    let ran = Yard::new().run(&["--version"]);
    assert_eq!((ran.quietly(), ran.out), (Some(0), format!("batterboard {}\n", env!("CARGO_PKG_VERSION"))));
}

#[test]
fn check_answers_by_its_exit() {
    let yard = Yard::with_jobs();
    let fine = yard.run(&["check", "fine.job"]);
    assert_eq!((fine.quietly(), fine.out.as_str()), (Some(0), "fine.job: fine\n"));
    let warned = yard.run(&["check", "warned.job"]);
    assert_eq!(warned.quietly(), Some(0));
    assert!(warned.out.starts_with("warning: back-thin\n") && warned.out.ends_with("\nwarned.job: 1 warning\n"));
    let strict = yard.run(&["check", "warned.job", "--strict"]);
    assert_eq!((strict.quietly(), &strict.out), (Some(1), &warned.out));
    let broken = yard.run(&["check", "broken.job"]);
    assert_eq!(broken.quietly(), Some(1));
    assert!(broken.out.contains("`30` has no unit") && broken.out.contains("\nbroken.job: "), "{}", broken.out);
    let missing = yard.run(&["check", "fime.job"]);
    assert_eq!((missing.exit, missing.out.as_str()), (Some(2), ""));
    let said = "error: `fime.job` is not there; looked for it in this folder, where there is `fine.job`\n";
    assert_eq!(missing.err, said);
}

#[test]
fn check_goes_on_past_a_job_that_cannot_be_read_and_the_worst_exit_wins() {
    let yard = Yard::with_jobs();
    let ran = yard.run(&["check", "broken.job", "gone.job", "there/gone.job", "fine"]);
    assert_eq!(ran.exit, Some(2));
    let ran = yard.run(&["check", "gone.job", "broken.job", "fine.job"]);
    assert_eq!(ran.exit, Some(2));
    assert!(ran.out.contains("\nbroken.job: ") && ran.out.ends_with("\nfine.job: fine\n"), "{}", ran.out);
    assert_eq!(yard.run(&["check", "fine.job", "broken.job"]).exit, Some(1));
    let places = yard.run(&["check", "there/gone.job", "fine"]).err;
    assert!(places.contains("the folder `there` does not exist"), "{places}");
    assert!(places.contains("where there is `fine.job`"), "{places}");
}

#[test]
fn check_counts_what_was_accepted() {
    let yard = Yard::with_jobs();
    let accepted = yard.get("warned.job") + "\naccept back-thin on pins because \"Nobody is behind the wall\"\n";
    yard.put("warned.job", accepted);
    let ran = yard.run(&["check", "--strict", "warned.job"]);
    assert_eq!((ran.quietly(), ran.out.as_str()), (Some(0), "warned.job: fine, 1 accepted\n"));
}

#[test]
fn check_shows_no_more_findings_than_asked_for() {
    let yard = Yard::with_jobs();
    let all = yard.run(&["check", "broken.job"]).out;
    let count = all.lines().filter(|line| line.starts_with("error: ")).count();
    assert!(count >= 1);
    let none = yard.run(&["check", "broken.job", "--limit", "shown=0"]);
    assert!(none.out.starts_with(&format!("and {count} more; `--limit shown={count}` shows all {count}\n")));
    assert_eq!(none.exit, Some(1));
    assert_eq!(yard.run(&["check", "broken.job", "--limit", &format!("shown={count}")]).out, all);
    let parts = yard.run(&["check", "fine.job", "--limit", "parts=3", "--limit", "line=9999"]);
    assert!(parts.out.contains("parts-too-many"), "{}", parts.out);
    let unknown = yard.run(&["check", "fine.job", "--limit", "bars=3"]);
    assert_eq!(unknown.exit, Some(2));
    assert!(unknown.err.contains("\n  shown     findings shown in words"), "{}", unknown.err);
}

#[test]
fn quiet_leaves_out_advice_and_the_closing_line() {
    let yard = Yard::with_jobs();
    let overlap = yard
        .get("fine.job")
        .replace(
            "holes pins {",
            "section more { along old.back 3' to 4'-2\"; thick 8\"; \
        height -8\" to 12\"; base soil }\nholes pins {",
        )
        .replace("fill new\n", "fill new, more\n")
        .replace("against new\n", "against new, more\n")
        .replace("{ of new;", "{ of new, more;");
    yard.put("advised.job", overlap);
    let ran = yard.run(&["check", "advised.job"]);
    assert_eq!(ran.quietly(), Some(0));
    assert!(ran.out.starts_with("advice: sections-overlap\n"), "{}", ran.out);
    assert!(ran.out.ends_with("\nadvised.job: fine, 1 piece of advice\n"), "{}", ran.out);
    let quiet = yard.run(&["check", "-q", "advised.job"]);
    assert_eq!((quiet.quietly(), quiet.out.as_str()), (Some(0), ""));
    // Beside a paper there is no advice anyway.
    assert_eq!(yard.run(&["order", "advised.job"]).quietly(), Some(0));
}

#[test]
fn check_prints_json_for_programs() {
    let yard = Yard::with_jobs();
    let ran = yard.run(&["check", "--format", "json", "fine.job", "broken.job"]);
    assert_eq!(ran.quietly(), Some(1));
    assert!(serde_json::from_str::<serde_json::Value>(&ran.out).unwrap().is_object());
    let ran = yard.run(&["check", "--format", "json", "gone.job"]);
    assert_eq!(ran.exit, Some(2));
    assert!(serde_json::from_str::<serde_json::Value>(&ran.out).is_ok());
}

#[test]
fn standard_input_is_a_job_too() {
    let yard = Yard::with_jobs();
    let fine = yard.get("fine.job");
    let ran = yard.run_with(&["check", "-"], &fine);
    assert_eq!((ran.quietly(), ran.out.as_str()), (Some(0), "<standard input>: fine\n"));
    fs::create_dir(yard.path().join("jobs")).unwrap();
    yard.put(
        "jobs/shop.job",
        "mix bagged { bag 80 lb, yields 0.60 ft3; strength 4000 psi; knits 60 min at 70 degF }\n",
    );
    let including = format!("include \"shop.job\"\n{}", fine.replace("mix bag-60-lb", "mix bagged"));
    let ran = yard.run_with(&["check", "-", "--stdin-name", "jobs/new.job"], &including);
    assert_eq!((ran.quietly(), ran.out.as_str()), (Some(0), "jobs/new.job: fine\n"));
    assert_eq!(yard.run_with(&["check", "-"], &including).exit, Some(1));
    let nowhere = yard.run_with(&["check", "-", "--stdin-name", "gone/new.job"], &fine);
    assert_eq!(nowhere.exit, Some(2));
    assert!(nowhere.err.contains("the folder `gone` does not exist"), "{}", nowhere.err);
    let twice = yard.run_with(&["check", "-", "-"], &fine);
    assert_eq!(twice.exit, Some(2));
    assert!(twice.err.contains("already read"), "{}", twice.err);
}

#[test]
fn root_widens_what_may_be_included() {
    let yard = Yard::with_jobs();
    fs::create_dir(yard.path().join("jobs")).unwrap();
    yard.put("shop.job", "mix bagged { bag 80 lb, yields 0.60 ft3 }\n");
    let including = yard.get("fine.job").replace("mix bag-60-lb", "mix bagged");
    yard.put("jobs/a.job", format!("include \"../shop.job\"\n{including}"));
    let outside = yard.run(&["check", "jobs/a.job"]);
    assert_eq!(outside.exit, Some(1));
    assert!(outside.out.contains("include-outside"), "{}", outside.out);
    assert_eq!(yard.run(&["check", "jobs/a.job", "--root", "."]).exit, Some(0));
    for wrong in ["nowhere", "shop.job"] {
        let ran = yard.run(&["check", "jobs/a.job", "--root", wrong]);
        assert_eq!((ran.exit, ran.out.as_str()), (Some(2), ""));
        assert!(ran.err.contains(wrong), "{}", ran.err);
    }
}

#[test]
fn papers_go_to_stdout_and_findings_to_stderr() {
    let yard = Yard::with_jobs();
    for command in ["order", "tally"] {
        let fine = yard.run(&[command, "fine.job"]);
        assert_eq!(fine.quietly(), Some(0));
        assert!(fine.out.contains("Fine"), "{}", fine.out);
        let broken = yard.run(&[command, "broken.job"]);
        assert_eq!(broken.exit, Some(1));
        assert!(broken.out.contains("Broken"), "a draft is printed all the same: {}", broken.out);
        assert!(broken.err.contains("`30` has no unit") && broken.err.contains("\nbroken.job: "), "{}", broken.err);
        let warned = yard.run(&[command, "--strict", "warned.job"]);
        assert_eq!(warned.exit, Some(1));
        assert!(warned.err.starts_with("warning: back-thin\n"), "{}", warned.err);
        let quiet = yard.run(&[command, "--quiet", "warned.job"]);
        assert_eq!(quiet.exit, Some(0));
        assert!(quiet.err.contains("back-thin") && !quiet.err.contains("1 warning"), "{}", quiet.err);
        let several = yard.run(&[command, "fine.job", "gone.job", "warned.job"]);
        assert_eq!(several.exit, Some(2));
        let (first, second) = (several.out.find("Fine"), several.out.find("Warned"));
        assert!(first.is_some() && first < second, "{}", several.out);
    }
}

#[test]
fn each_format_is_printed() {
    let yard = Yard::with_jobs();
    let out = |arguments: &[&str]| {
        let ran = yard.run(arguments);
        assert_eq!(ran.quietly(), Some(0), "{arguments:?}");
        ran.out
    };
    assert!(out(&["order", "fine.job"]).starts_with("# Work order: Fine"));
    assert_eq!(out(&["order", "fine.job"]), out(&["order", "fine.job", "--format", "markdown"]));
    assert!(out(&["order", "fine.job", "--format", "text"]).starts_with("Work order: Fine\n════"));
    assert_eq!(out(&["tally", "fine.job"]), out(&["tally", "fine.job", "--format", "text"]));
    assert!(out(&["tally", "fine.job", "--format", "markdown"]).starts_with("# "));
    assert!(!out(&["tally", "fine.job", "--format", "csv"]).contains("# Tally: Fine"));
    let json = out(&["tally", "fine.job", "fine.job", "--format", "json"]);
    assert!(serde_json::from_str::<serde_json::Value>(&json).unwrap().is_object());
    for wrong in [
        &["tally", "fine.job", "--table", "holes"][..],
        &["tally", "fine.job", "warned.job", "--format", "csv"],
        &["order", "fine.job", "--format", "csv"],
        &["check", "fine.job", "--format", "markdown"],
    ] {
        let ran = yard.run(wrong);
        assert_eq!((ran.exit, ran.out.as_str()), (Some(2), ""), "{wrong:?}");
        assert_eq!(ran.err.lines().next().map(|line| line.starts_with("error: ")), Some(true), "{}", ran.err);
    }
}

#[test]
fn a_draft_warns_of_work_that_could_not_be_read() {
    let yard = Yard::with_jobs();
    let fine = yard.run(&["order", "fine.job"]).out;
    let unread = yard.get("fine.job").replace("bore 5/8\" by 5\"", "bore 5/8 by 5\"").replace("waste 8%", "waste 8");
    yard.put("unread.job", unread);
    let draft = yard.run(&["order", "unread.job"]);
    assert_eq!(draft.exit, Some(1));
    assert!(draft.out.contains("has no unit. Write "), "{}", draft.out);
    assert!(!draft.out.contains("Hole sheet") && !draft.out.contains("Pour sheet"), "{}", draft.out);
    for danger in ["A hole hits steel", "The form bulges", "silica scars the lungs", "ground-fault", "burns like lye"] {
        assert!(fine.contains(danger) && draft.out.contains(danger), "{danger}: {}", draft.out);
    }
    // An acceptance on the wrong thing is told where the finding is.
    yard.put("beside.job", yard.get("warned.job") + "\naccept back-thin on dowels because \"Seen\"\n");
    let beside = yard.run(&["check", "beside.job"]).out;
    assert!(beside.contains("there is one on `pins`; is that meant?"), "{beside}");
}

#[test]
fn one_table_is_picked_by_its_name_and_an_unknown_name_lists_them() {
    let yard = Yard::with_jobs();
    let all = yard.run(&["tally", "fine.job", "--format", "csv"]);
    assert_eq!(all.quietly(), Some(0));
    let unknown = yard.run(&["tally", "fine.job", "--format", "csv", "--table", "no such"]);
    assert_eq!((unknown.exit, unknown.out.as_str()), (Some(2), ""));
    let list = unknown.err.strip_prefix("error: the tally of `fine.job` has no table `no such`: ").unwrap();
    let names: Vec<&str> = list.split('`').skip(1).step_by(2).collect();
    // Every table there is, and no other, is in the whole.
    let mut length = 0;
    for name in &names {
        let one = yard.run(&["tally", "fine.job", "--format", "csv", "--table", name]);
        assert_eq!(one.quietly(), Some(0), "{name}");
        assert!(!one.out.is_empty() && all.out.contains(&format!("{name}\r\n{}", one.out)), "{name}: {}", all.out);
        length += name.len() + 2 + one.out.len() + 2;
    }
    assert_eq!(length.saturating_sub(2), all.out.len(), "{names:?}");
}

#[test]
fn why_shows_a_number_or_lists_them() {
    let yard = Yard::with_jobs();
    let list = yard.run(&["why", "fine.job"]);
    assert_eq!(list.quietly(), Some(0));
    assert!(list.out.starts_with("Worked numbers: Fine\n═") && list.out.contains("\nall.bags "), "{}", list.out);
    let bags = yard.run(&["why", "all.bags", "fine.job"]);
    assert_eq!(bags.quietly(), Some(0));
    assert!(bags.out.starts_with("Why all.bags is ") && bags.out.contains("fine.job:"), "{}", bags.out);
    let from_stdin = yard.run_with(&["why", "all.bags", "-"], &yard.get("fine.job"));
    assert_eq!(from_stdin.out.replace("<standard input>", "fine.job"), bags.out);
    assert!(yard.run_with(&["why", "-"], &yard.get("fine.job")).out.starts_with("Worked numbers"));
    let markdown = yard.run(&["why", "all.bags", "fine.job", "--format", "markdown"]);
    assert!(markdown.out.starts_with("# Why all.bags is "), "{}", markdown.out);
    let json = yard.run(&["why", "all.bags", "fine.job", "warned.job", "--format", "json"]);
    let json: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    assert_eq!(json["jobs"].as_array().map(Vec::len), Some(2));
    assert_eq!(yard.run(&["why", "all.bags", "fine.job", "-o", "bags.txt"]).err, "bags.txt: written\n");
    assert_eq!(yard.get("bags.txt"), bags.out);
    // A draft is asked too, as far as it goes.
    let broken = yard.run(&["why", "broken.job"]);
    assert_eq!(broken.exit, Some(1));
    assert!(broken.out.contains("DRAFT"), "{}", broken.out);
}

#[test]
fn why_answers_a_wrong_name_with_the_near_ones() {
    let yard = Yard::with_jobs();
    let near = yard.run(&["why", "all.bag", "fine.job"]);
    assert_eq!((near.exit, near.out.as_str()), (Some(2), ""));
    assert!(near.err.contains("`all.bags` is meant?") && near.err.contains("`all.mixed`"), "{}", near.err);
    let block = yard.run(&["why", "all", "fine.job"]);
    assert_eq!(block.exit, Some(2));
    assert!(block.err.contains("there is `all.volume`") && !block.err.contains("meant"), "{}", block.err);
    let elsewhere = yard.run(&["why", "nothing.bags", "fine.job"]);
    assert!(elsewhere.err.contains("there is `all.bags`"), "{}", elsewhere.err);
    let bare = yard.run(&["why", "all.bags"]);
    assert_eq!((bare.exit, bare.out.as_str()), (Some(2), ""));
    assert!(bare.err.contains("no job file is named") && bare.err.contains("why all.bags shed.job"), "{}", bare.err);
    assert_eq!(yard.run(&["why"]).exit, Some(2));
    // One job that lacks it does not keep the others from answering.
    yard.put("bare.job", "job \"Bare\" { show feet }\n");
    let two = yard.run(&["why", "all.bags", "bare.job", "fine.job"]);
    assert_eq!(two.exit, Some(2));
    assert!(two.out.starts_with("Why all.bags is ") && two.err.contains("no number of `bare.job`"), "{}", two.err);
}

#[test]
fn numbers_of_the_boathouse_show_their_working() {
    let yard = Yard::new();
    for file in ["boathouse.job", "shop.job"] {
        let from = format!("{}/examples/boathouse/{file}", env!("CARGO_MANIFEST_DIR"));
        fs::copy(from, yard.path().join(file)).unwrap();
    }
    for name in ["wall.bags", "rises.cut", "pins.count", "pins.resin"] {
        let ran = yard.run(&["why", name, "boathouse.job"]);
        assert_eq!(ran.quietly(), Some(0));
        insta::assert_snapshot!(format!("why-{name}"), ran.out);
    }
}

#[test]
fn laps_and_covers_show_their_working() {
    let yard = Yard::new();
    let from = format!("{}/examples/sluice/sluice.job", env!("CARGO_MANIFEST_DIR"));
    fs::copy(from, yard.path().join("sluice.job")).unwrap();
    for name in ["base-rails.lap", "base-rails.cover.base.formed.wanted"] {
        let ran = yard.run(&["why", name, "sluice.job"]);
        assert_eq!(ran.quietly(), Some(0));
        insta::assert_snapshot!(format!("why-{name}"), ran.out);
    }
}

#[test]
fn papers_go_to_a_file_or_a_folder() {
    let yard = Yard::with_jobs();
    let shown = yard.run(&["order", "fine.job"]).out;
    let ran = yard.run(&["order", "fine.job", "-o", "paper.md"]);
    assert_eq!((ran.exit, ran.out.as_str(), ran.err.as_str()), (Some(0), "", "paper.md: written\n"));
    assert_eq!(yard.get("paper.md"), shown);
    assert_eq!(yard.run(&["order", "fine.job", "-o", "paper.md"]).err, "paper.md: unchanged\n");
    assert_eq!(yard.run(&["order", "fine.job", "-o", "-"]).out, shown);
    // Into a folder that is made, and into one that is there.
    assert_eq!(yard.run(&["order", "fine.job", "-q", "-o", "papers/"]).quietly(), Some(0));
    assert_eq!(yard.run(&["tally", "fine.job", "-q", "-o", "papers"]).quietly(), Some(0));
    assert_eq!(yard.run(&["order", "fine.job", "broken.job", "-o", "papers"]).exit, Some(1));
    for (format, ending) in [("markdown", "md"), ("csv", "csv"), ("json", "json")] {
        let ran = yard.run(&["tally", "fine.job", "-o", "papers", "--format", format]);
        assert_eq!(ran.err, format!("papers/fine.tally.{ending}: written\n"));
    }
    let all = ["broken.order.md", "fine.order.md"];
    let tallies = ["fine.tally.csv", "fine.tally.json", "fine.tally.md", "fine.tally.txt", "index.md"];
    let all = [&all[..], &tallies].concat();
    assert_eq!(yard.names("papers"), all);
    assert_eq!(yard.get("papers/fine.order.md"), shown);
    // A job without a title is known by its file.
    yard.put("bare.job", "wall old { leg back 10'; thick 8\"; height 0 to 2' }\n");
    assert_eq!(yard.run(&["order", "bare.job", "-o", "papers"]).exit, Some(1));
    assert!(yard.names("papers").contains(&"bare.order.md".into()));
    // Several jobs need a folder; JSON is one text whatever it holds.
    let ran = yard.run(&["order", "fine.job", "warned.job", "-o", "two.md"]);
    assert_eq!(ran.exit, Some(2));
    assert!(ran.err.contains("write `two.md/`") && !yard.path().join("two.md").exists(), "{}", ran.err);
    assert_eq!(yard.run(&["tally", "fine.job", "broken.job", "--format", "json", "-o", "two.json"]).exit, Some(1));
    assert!(yard.path().join("two.json").is_file());
}

#[test]
fn fmt_rewrites_only_what_changes() {
    let yard = Yard::with_jobs();
    let untidy = "wall   old {\n  leg back 10' ;thick 8\"\n}\n";
    let tidy = "wall old {\n    leg back 10'; thick 8\"\n}\n";
    yard.put("untidy.job", untidy);
    let before = fs::metadata(yard.path().join("fine.job")).unwrap().modified().unwrap();
    let check = yard.run(&["fmt", "--check", "fine.job", "untidy.job"]);
    assert_eq!((check.quietly(), check.out.as_str()), (Some(1), "untidy.job\n"));
    let diff = yard.run(&["fmt", "--diff", "fine.job", "untidy.job"]);
    assert_eq!(diff.quietly(), Some(0));
    insta::assert_snapshot!("fmt-diff", diff.out);
    assert_eq!(yard.run(&["fmt", "--diff", "--check", "untidy.job"]).exit, Some(1));
    assert_eq!(yard.get("untidy.job"), untidy);
    let ran = yard.run(&["fmt", "fine.job", "untidy.job"]);
    assert_eq!((ran.exit, ran.out.as_str(), ran.err.as_str()), (Some(0), "", "untidy.job: formatted\n"));
    assert_eq!(yard.get("untidy.job"), tidy);
    assert_eq!(fs::metadata(yard.path().join("fine.job")).unwrap().modified().unwrap(), before);
    assert_eq!(yard.run(&["fmt", "--check", "fine.job", "untidy.job"]).quietly(), Some(0));
    let ran = yard.run_with(&["fmt", "-"], untidy);
    assert_eq!((ran.quietly(), ran.out.as_str()), (Some(0), tidy));
    let ran = yard.run_with(&["fmt", "--check", "-", "--stdin-name", "a.job"], untidy);
    assert_eq!((ran.quietly(), ran.out.as_str()), (Some(1), "a.job\n"));
    assert_eq!(yard.run(&["fmt", "gone.job", "fine.job"]).exit, Some(2));
}

#[test]
fn fmt_leaves_lines_it_cannot_read_and_says_how_many() {
    let yard = Yard::new();
    yard.put("half.job", "wall   old {\n  site \"open\n}\nlet a = 1,5\n");
    let ran = yard.run(&["fmt", "half.job"]);
    assert_eq!(ran.exit, Some(0));
    let note = "half.job: 2 lines that cannot be read are left as written; `batterboard check` says why\n";
    assert_eq!(ran.err, format!("half.job: formatted\n{note}"));
    assert_eq!(yard.get("half.job"), "wall old {\n  site \"open\n}\nlet a = 1,5\n");
    assert_eq!(yard.run(&["fmt", "half.job"]).err, note);
    assert_eq!(yard.run(&["fmt", "-q", "half.job"]).err, "");
}

#[test]
fn explain_prints_a_page_or_the_list() {
    let yard = Yard::new();
    let page = yard.run(&["explain", "holes-meet"]);
    assert_eq!(page.quietly(), Some(0));
    assert!(page.out.contains("holes-meet\n═") && !page.out.contains("## "), "{}", page.out);
    let markdown = yard.run(&["explain", "holes-meet", "--format", "markdown"]);
    assert_eq!(markdown.out, fs::read_to_string("src/checks/pages/holes-meet.md").unwrap());
    let list = yard.run(&["explain"]);
    assert_eq!(list.quietly(), Some(0));
    let (error, warning) = (list.out.find("\n  holes-meet "), list.out.find("\n  back-thin "));
    assert!(list.out.starts_with("Errors: ") && error.is_some() && error < warning, "{}", list.out);
    assert!(yard.run(&["explain", "--format", "markdown"]).out.contains("\n- `back-thin`: "));
    let near = yard.run(&["explain", "holes-met"]);
    assert_eq!((near.exit, near.out.as_str()), (Some(2), ""));
    assert!(near.err.contains("`holes-meet` is meant?"), "{}", near.err);
    assert!(!yard.run(&["explain", "nothing-like-it"]).err.contains("meant"));
}

#[test]
fn reference_is_printed_or_written() {
    let yard = Yard::new();
    let shown = yard.run(&["reference"]);
    assert_eq!(shown.quietly(), Some(0));
    assert_eq!(yard.run(&["reference", "-o", "language.md"]).exit, Some(0));
    assert_eq!(yard.get("language.md"), shown.out);
    assert_eq!(yard.run(&["reference", "-o", "."]).exit, Some(0));
    assert_eq!(yard.get("reference.md"), shown.out);
    assert_eq!(yard.run(&["reference", "-o", "gone/"]).exit, Some(2));
}

#[test]
fn chapters_of_the_reference_are_printed_alone() {
    let yard = Yard::new();
    let whole = yard.run(&["reference"]).out;
    let lumber = yard.run(&["reference", "lumber"]);
    assert_eq!(lumber.quietly(), Some(0));
    assert!(lumber.out.starts_with("### `lumber`\n") && whole.contains(&lumber.out));
    // A clause, a part of one, a verb: all that have it, each chapter once.
    for (word, kinds) in
        [("rows", &["### `holes`", "### `bars`"][..]), ("lap", &["### `bars`"]), ("drill", &["### `holes`"])]
    {
        let shown = yard.run(&["reference", word]).out;
        for kind in kinds {
            assert_eq!(shown.matches(&format!("{kind}\n")).count(), 1, "{word}: {shown}");
        }
    }
    let both = yard.run(&["reference", "lumber", "wire", "lumber"]).out;
    assert_eq!(both.matches("### ").count(), 2);
    let unknown = yard.run(&["reference", "lumbre"]);
    assert_eq!((unknown.exit, unknown.out.as_str()), (Some(2), ""));
    assert!(unknown.err.contains("`lumber` is meant?"), "{}", unknown.err);
    assert_eq!(yard.run(&["reference", "lumber", "--format", "json-schema"]).exit, Some(2));
}

#[test]
fn new_writes_a_job_that_is_fine_and_never_over_another() {
    let yard = Yard::new();
    let ran = yard.run(&["new", "shed.job"]);
    let next = "shed.job: written; next: batterboard check shed.job\n";
    assert_eq!((ran.exit, ran.out.as_str(), ran.err.as_str()), (Some(0), "", next));
    let job = yard.get("shed.job");
    assert_eq!(job, yard.run(&["new"]).out);
    assert_eq!(job, yard.run(&["new", "-"]).out);
    let check = yard.run(&["check", "--strict", "shed.job"]);
    assert_eq!((check.quietly(), check.out.as_str()), (Some(0), "shed.job: fine\n"));
    assert_eq!(yard.run(&["fmt", "--check", "shed.job"]).quietly(), Some(0));
    yard.put("mine.job", "// mine\n");
    fs::create_dir(yard.path().join("folder")).unwrap();
    for there in [&["new", "mine.job"][..], &["new", "-o", "mine.job"], &["new", "folder"], &["new", "folder/"]] {
        let ran = yard.run(there);
        assert_eq!(ran.exit, Some(2), "{there:?}");
        assert!(ran.err.contains("is there already"), "{}", ran.err);
    }
    assert_eq!(yard.get("mine.job"), "// mine\n");
    assert!(yard.names("folder").is_empty());
    assert_eq!(yard.run(&["new", "gone/a.job"]).exit, Some(2));
    assert_eq!(yard.run(&["new", ""]).exit, Some(2));
}

#[test]
fn the_boathouse_is_fine_and_in_its_one_form() {
    let yard = Yard::new();
    let job = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/boathouse/boathouse.job");
    let ran = yard.run(&["check", "--strict", job]);
    assert_eq!(ran.quietly(), Some(0), "{}", ran.out);
    let shop = job.replace("boathouse.job", "shop.job");
    let ran = yard.run(&["fmt", "--check", job, &shop]);
    assert_eq!((ran.quietly(), ran.out.as_str()), (Some(0), ""));
}

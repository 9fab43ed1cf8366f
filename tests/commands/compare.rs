//! `compare`, with files and with revisions of a git repository.

use std::{fs, path::Path, process::Command};

use super::{Ran, Yard};

/// A repository of its own: nobody's settings, nobody's name.
fn git(yard: &Yard, arguments: &[&str]) -> String {
    let output = command(yard).args(arguments).output().unwrap();
    assert!(output.status.success(), "git {arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

fn command(yard: &Yard) -> Command {
    let mut command = Command::new("git");
    command.current_dir(yard.path());
    for (name, value) in [
        ("GIT_CONFIG_GLOBAL", "/dev/null"),
        ("GIT_CONFIG_NOSYSTEM", "1"),
        ("GIT_AUTHOR_NAME", "Shed"),
        ("GIT_AUTHOR_EMAIL", "shed@quarry.example"),
        ("GIT_COMMITTER_NAME", "Shed"),
        ("GIT_COMMITTER_EMAIL", "shed@quarry.example"),
    ] {
        command.env(name, value);
    }
    command
}

/// A yard with the boathouse in `jobs/`, what it includes beside it, and one commit.
fn repository() -> Yard {
    let yard = Yard::new();
    git(&yard, &["init", "-q", "-b", "main"]);
    fs::create_dir(yard.path().join("jobs")).unwrap();
    for file in ["boathouse.job", "shop.job"] {
        yard.put(&format!("jobs/{file}"), fs::read(format!("examples/boathouse/{file}")).unwrap());
    }
    commit(&yard);
    yard
}

fn commit(yard: &Yard) {
    git(yard, &["add", "."]);
    git(yard, &["commit", "-q", "-m", "jobs"]);
}

fn edit(yard: &Yard, file: &str, from: &str, to: &str) {
    let text = yard.get(file);
    assert!(text.contains(from), "{file} has no `{from}`");
    yard.put(file, text.replace(from, to));
}

#[test]
fn compare_answers_by_its_exit() {
    let yard = Yard::with_jobs();
    let alike = yard.run(&["compare", "fine.job", "fine.job"]);
    assert_eq!(alike.quietly(), Some(0));
    assert!(alike.out.contains("Nothing that matters on site changed."));
    let different = yard.run(&["compare", "fine.job", "warned.job"]);
    assert_eq!(different.quietly(), Some(1));
    assert!(different.out.contains("gained, warning back-thin"), "{}", different.out);
    let broken = yard.run(&["compare", "fine.job", "broken.job", "--format", "markdown"]);
    assert_eq!(broken.quietly(), Some(1));
    assert!(broken.out.contains("The later version has errors"), "{}", broken.out);
    let quiet = yard.run(&["compare", "fine.job", "warned.job", "-q"]);
    assert_eq!((quiet.quietly(), quiet.out.as_str()), (Some(1), ""));
    let gone = yard.run(&["compare", "fine.job", "gone.job"]);
    assert_eq!(
        (gone.exit, gone.err.as_str()),
        (Some(2), "error: `gone.job` is not there; looked for it in this folder, where there is `fine.job`\n").clone()
    );
    for (arguments, says) in [
        (vec!["compare", "fine.job"], "name a second one, or `--since REVISION`"),
        (vec!["compare", "fine.job", "warned.job", "broken.job"], "two jobs are compared at a time"),
        (vec!["compare", "fine.job", "warned.job", "--since", "HEAD"], "with `--since` one job is named"),
        (vec!["compare", "-", "--since", "HEAD"], "standard input has no revisions"),
    ] {
        let ran = yard.run(&arguments);
        assert_eq!(ran.exit, Some(2), "{arguments:?}");
        assert!(ran.err.contains(says) && ran.out.is_empty(), "{}", ran.err);
    }
    // A paper is never written over a job.
    let over = yard.run(&["compare", "fine.job", "warned.job", "-o", "fine.job"]);
    assert_eq!(over.exit, Some(2));
    assert!(yard.get("fine.job").contains("job \"Fine\""));
}

#[test]
fn since_a_revision_the_file_and_what_it_includes_are_as_they_were() {
    let yard = repository();
    let since = |revision: &str| yard.run(&["compare", "jobs/boathouse.job", "--since", revision]);
    assert_eq!(since("HEAD").quietly(), Some(0));
    // What changes lies in the included file alone.
    edit(&yard, "jobs/shop.job", "yields 0.60 ft3", "yields 0.45 ft3");
    let ran = since("HEAD");
    assert_eq!(ran.quietly(), Some(1));
    assert!(ran.out.contains("jobs/boathouse.job at HEAD, against jobs/boathouse.job now."), "{}", ran.out);
    assert!(ran.out.contains("Bags: 28 → 38 (+10)"), "{}", ran.out);
    // The index and the files are as they were.
    assert_eq!(git(&yard, &["status", "--porcelain"]), " M jobs/shop.job\n");
    commit(&yard);
    assert_eq!(since("main").quietly(), Some(0));
    assert!(since("main~1").out.contains("28 → 38"));
    // From another folder, and with the way there written otherwise.
    let from = |folder: &str, file: &str| {
        Ran::of(
            yard.command()
                .current_dir(yard.path().join(folder))
                .args(["compare", file, "--since", "HEAD~1"])
                .output()
                .unwrap(),
        )
    };
    assert!(from("jobs", "boathouse.job").out.contains("28 → 38"));
    assert!(from("jobs", "./../jobs/boathouse.job").out.contains("28 → 38"));
    // Included from outside of its folder, but inside of the repository.
    fs::rename(yard.path().join("jobs/shop.job"), yard.path().join("shop.job")).unwrap();
    edit(&yard, "jobs/boathouse.job", "include \"shop.job\"", "include \"../shop.job\"");
    assert_eq!(since("HEAD").quietly(), Some(0));
    commit(&yard);
    assert_eq!(since("HEAD").quietly(), Some(0));
    assert!(since("HEAD~2").out.contains("28 → 38"));
}

/// Words for everything that can be wrong with a revision; nothing of what is typed reaches git as an option.
#[test]
fn what_cannot_be_read_is_told() {
    let yard = repository();
    yard.put("jobs/new.job", "job \"New\" { show feet }\n");
    let cases: [(&[&str], &str); 7] = [
        (
            &["jobs/boathouse.job", "--since", "nowhere"],
            "the repository of `jobs/boathouse.job` has no revision `nowhere`",
        ),
        (&["jobs/boathouse.job", "--since", "--output=x"], "`--output=x` is no revision"),
        (&["jobs/boathouse.job", "--since=-p"], "`-p` is no revision"),
        (&["jobs/boathouse.job", "--since", ""], "is no revision"),
        (&["jobs/boathouse.job", "--since", "HEAD:jobs"], "has no revision `HEAD:jobs`"),
        (&["jobs/new.job", "--since", "HEAD"], "`jobs/new.job` is not there at `HEAD`"),
        (&["jobs/boathouse.job", "--since", "HEAD\n--all"], r"`HEAD\n--all` is no revision"),
    ];
    for (arguments, says) in cases {
        let ran = yard.run(&[&["compare"], arguments].concat());
        assert_eq!((ran.exit, ran.out.as_str()), (Some(2), ""), "{arguments:?}");
        assert!(ran.err.starts_with("error: ") && ran.err.contains(says), "{arguments:?}: {}", ran.err);
    }
    assert!(!yard.path().join("x").exists());
    let alone = Yard::with_jobs();
    let ran = alone.run(&["compare", "fine.job", "--since", "HEAD"]);
    assert_eq!(ran.exit, Some(2));
    assert!(ran.err.contains("`fine.job` is not under version control"), "{}", ran.err);
    let ran = Ran::of(
        yard.command().args(["compare", "jobs/boathouse.job", "--since", "HEAD"]).env("PATH", "").output().unwrap(),
    );
    assert_eq!(ran.exit, Some(2));
    assert!(ran.err.contains("the program `git` is not there"), "{}", ran.err);
}

/// A link in the repository is followed inside of it, and nowhere else.
#[cfg(unix)]
#[test]
fn links_at_a_revision_stay_in_the_repository() {
    let yard = repository();
    std::os::unix::fs::symlink("boathouse.job", yard.path().join("jobs/linked.job")).unwrap();
    std::os::unix::fs::symlink("/etc/hostname", yard.path().join("jobs/away.job")).unwrap();
    yard.put("jobs/reaches.job", "include \"away.job\"\njob \"Reaches\" { show feet }\n");
    commit(&yard);
    let linked = yard.run(&["compare", "jobs/linked.job", "--since", "HEAD"]);
    assert_eq!(linked.quietly(), Some(0), "{}", linked.out);
    let away = yard.run(&["compare", "jobs/away.job", "--since", "HEAD"]);
    assert_eq!(away.exit, Some(2));
    let reaches = yard.run(&["compare", "jobs/reaches.job", "--since", "HEAD"]);
    let host = fs::read_to_string("/etc/hostname").unwrap_or_default();
    assert!(host.trim().is_empty() || !reaches.out.contains(host.trim()));
    // The way out as it is written.
    let inner = Yard::new();
    fs::create_dir(inner.path().join("in")).unwrap();
    inner.put("out.job", "wall old { leg back 3'; thick 8\"; height 0 to 1' }\n");
    inner.put("in/a.job", "include \"../out.job\"\njob \"A\" { show feet }\n");
    let run = |arguments: &[&str]| {
        assert!(command(&inner).current_dir(inner.path().join("in")).args(arguments).status().unwrap().success())
    };
    run(&["init", "-q", "-b", "main"]);
    run(&["add", "."]);
    run(&["commit", "-q", "-m", "jobs"]);
    inner.put("in/a.job", "job \"A\" { show feet }\n");
    let ran = inner.run(&["compare", "in/a.job", "--since", "HEAD"]);
    assert!(ran.out.contains("lost, error include-outside"), "{}", ran.out);
}

/// The words between fences of this sort in the page about git.
fn fenced(sort: &str) -> String {
    let page = fs::read_to_string("docs/git.md").unwrap();
    let start = page.find(&format!("```{sort}\n")).unwrap() + sort.len() + 4;
    page[start..].split("```").next().unwrap().to_owned()
}

/// The diff driver of the page, as it stands there.
#[cfg(unix)]
#[test]
fn git_diff_shows_quantities_as_the_page_says() {
    let yard = Yard::new();
    git(&yard, &["init", "-q", "-b", "main"]);
    for file in ["boathouse.job", "shop.job"] {
        yard.put(file, fs::read(format!("examples/boathouse/{file}")).unwrap());
    }
    yard.put(".gitattributes", fenced("gitattributes"));
    let shell = Command::new("sh").args(["-e", "-c", &fenced("sh")]).current_dir(yard.path()).status().unwrap();
    assert!(shell.success());
    commit(&yard);
    edit(&yard, "boathouse.job", "rows height 4\", 9\"", "rows height 4\", 9\", 15\"");
    let program = Path::new(env!("CARGO_BIN_EXE_batterboard")).parent().unwrap();
    let path = std::env::join_paths(
        std::iter::once(program.to_path_buf()).chain(std::env::split_paths(&std::env::var_os("PATH").unwrap())),
    );
    let diff = |arguments: &[&str]| {
        let output = command(&yard).env("PATH", path.as_ref().unwrap()).arg("diff").args(arguments).output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).unwrap()
    };
    let tallies = diff(&[]);
    let line = |sign: char, count: &str| {
        tallies.lines().any(|line| line.starts_with(sign) && line.contains("| pins ") && line.contains(count))
    };
    assert!(line('-', "| 24 ") || line('-', " 24 |"), "{tallies}");
    assert!(line('+', "| 31 ") || line('+', " 31 |"), "{tallies}");
    assert!(tallies.lines().any(|line| line.starts_with("@@") && line.contains("# ")), "{tallies}");
    let lines = diff(&["--no-textconv", "-U0"]);
    assert!(lines.lines().any(|line| line.starts_with("@@") && line.contains("holes pins {")), "{lines}");
    // A version that does not compile is still shown.
    edit(&yard, "boathouse.job", "thick 8\"", "thick 8");
    assert!(diff(&[]).contains("DRAFT"));
}

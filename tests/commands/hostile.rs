//! The commands under hostile and unlucky circumstances; the rows are those of our catalogue of such inputs.

use std::{
    fs,
    io::{Read as _, Write as _},
    process::{Command, Stdio},
    time::{Duration, Instant},
};

use pulldown_cmark::{Event, Parser};

use super::{Ran, Yard};

#[test]
fn row_22_a_huge_line_is_refused_and_not_printed() {
    let yard = Yard::new();
    yard.put("long.job", [b"wall old { leg ".to_vec(), vec![b'x'; 10_000_000]].concat());
    let ran = yard.run(&["check", "long.job"]);
    assert_eq!(ran.exit, Some(1));
    assert!(ran.out.contains("line-too-long") && ran.out.len() < 10_000, "{} bytes", ran.out.len());
}

#[test]
fn row_54_includes_stay_in_the_folder_and_nothing_outside_is_quoted() {
    let yard = Yard::new();
    fs::create_dir(yard.path().join("jobs")).unwrap();
    yard.put("secret.job", "secret words\n");
    for path in ["../secret.job", "/etc/passwd", "~/a.job", "C:\\\\a.job", "file:///etc/passwd", "http://a.example/b"] {
        yard.put("jobs/a.job", format!("include \"{path}\"\njob \"A\" {{}}\n"));
        let ran = yard.run(&["check", "jobs/a.job"]);
        assert_eq!(ran.exit, Some(1), "{path}");
        assert!(ran.out.contains("include-outside"), "{path}: {}", ran.out);
        assert!(!ran.out.contains("secret words") && !ran.out.contains("root:"), "{path}: {}", ran.out);
    }
}

#[cfg(unix)]
#[test]
fn row_55_only_regular_files_are_read() {
    use std::os::unix::fs::symlink;
    let yard = Yard::with_jobs();
    fs::create_dir(yard.path().join("jobs")).unwrap();
    symlink("../fine.job", yard.path().join("jobs/outside.job")).unwrap();
    symlink("loop.job", yard.path().join("jobs/loop.job")).unwrap();
    assert_eq!(yard.shell("mkfifo jobs/pipe.job").exit, Some(0));
    for name in ["outside.job", "loop.job", "pipe.job"] {
        yard.put("jobs/a.job", format!("include \"{name}\"\njob \"A\" {{}}\n"));
        let ran = yard.run(&["check", "jobs/a.job"]);
        assert_eq!(ran.exit, Some(1), "{name}");
        assert!(ran.out.contains("error: include-"), "{name}: {}", ran.out);
    }
    // Of a folder only regular files and what leads to one.
    let ran = yard.run(&["check", "jobs"]);
    assert!(ran.out.ends_with("\njobs/a.job: 1 error\njobs/outside.job: fine\n"), "{}", ran.out);
    for folder in ["jobs", "."] {
        assert_eq!(yard.run(&["fmt", folder]).exit, Some(2), "{folder}");
    }
    for path in ["jobs/pipe.job", "jobs/loop.job", "/dev/zero", "/dev/stdin", "/proc/self/mem"] {
        let ran = yard.run(&["check", path]);
        assert_eq!((ran.exit, ran.out.as_str()), (Some(2), ""), "{path}");
        assert!(ran.err.contains(&format!("`{path}`")), "{}", ran.err);
        assert_eq!(yard.run(&["fmt", path]).exit, Some(2), "{path}");
    }
    // A job may be a link; it is the root that is held to.
    assert_eq!(yard.run(&["check", "jobs/outside.job"]).exit, Some(0));
}

#[cfg(unix)]
#[test]
fn row_56_odd_names_are_read_or_shown_escaped() {
    use std::{ffi::OsStr, os::unix::ffi::OsStrExt as _};
    let yard = Yard::with_jobs();
    let fine = yard.get("fine.job");
    for name in ["-q.job", "a\nb.job", "con", "aux.txt", "dot.", "½ 🧱.job", "esc\u{1b}[2J.job", "--help"] {
        yard.put(name, &fine);
        let ran = yard.run(&["check", "--", name]);
        assert_eq!(ran.quietly(), Some(0), "{name:?}");
        let only_line = ran.out.strip_suffix('\n').unwrap();
        assert!(!only_line.contains(char::is_control), "{only_line:?}");
    }
    let long = "n".repeat(255);
    yard.put(&long, &fine);
    assert_eq!(yard.run(&["check", &long]).exit, Some(0));
    for too_long in ["n".repeat(256), "n/".repeat(4096)] {
        assert_eq!(yard.run(&["check", &too_long]).exit, Some(2));
    }
    let raw = OsStr::from_bytes(b"\xff.job");
    fs::write(yard.path().join(raw), &fine).unwrap();
    let ran = Ran::of(yard.command().arg("check").arg(raw).output().unwrap());
    assert_eq!((ran.exit, ran.out.as_str()), (Some(2), ""));
    assert!(ran.err.contains("`\\xff.job`"), "{}", ran.err);
    let paper = OsStr::from_bytes(b"\xff.md");
    let ran = Ran::of(yard.command().args(["order", "fine.job", "-o"]).arg(paper).output().unwrap());
    assert_eq!((ran.exit, ran.err.as_str()), (Some(0), "\\xff.md: written\n"));
}

#[test]
fn row_58_and_60_no_title_is_markup() {
    let yard = Yard::with_jobs();
    let fine = yard.get("fine.job");
    let titles = ["<script>alert(1)</script>", "a | b ` c * d _ e", "# 1. - x", "[x](javascript:a)", "&amp; <!-- x"];
    for title in titles {
        yard.put("a.job", fine.replace("\"Fine\"", &format!("\"{title}\"")));
        for command in [&["order", "a.job"][..], &["tally", "a.job", "--format", "markdown"]] {
            let paper = yard.run(command).out;
            let mut heading = String::new();
            let mut done = false;
            for event in Parser::new(&paper) {
                match event {
                    Event::Html(_) | Event::InlineHtml(_) => panic!("{title} is markup: {paper}"),
                    Event::Start(pulldown_cmark::Tag::Link { .. }) => panic!("{title} is a link: {paper}"),
                    Event::Text(text) if !done => heading.push_str(&text),
                    Event::End(pulldown_cmark::TagEnd::Heading(_)) => done = true,
                    _ => {}
                }
            }
            assert!(heading.contains(title), "{title}: {heading}");
        }
    }
}

#[test]
fn row_63_titles_cannot_leave_the_folder_and_two_of_one_name_write_nothing() {
    let yard = Yard::with_jobs();
    let fine = yard.get("fine.job");
    let long = "a".repeat(300);
    for (number, title) in ["../x", "/etc/y", "con", &long, "🧱 wall"].iter().enumerate() {
        yard.put(&format!("{number}.job"), fine.replace("\"Fine\"", &format!("\"{title}\"")));
    }
    let ran = yard.run(&["order", "-o", "out/", "0.job", "1.job", "2.job", "3.job", "4.job"]);
    assert_eq!(ran.exit, Some(0));
    let long = format!("{}.order.md", &long[..60]);
    assert_eq!(
        yard.names("out"),
        [&long, "etc-y.order.md", "index.md", "job-con.order.md", "wall.order.md", "x.order.md"]
    );
    yard.put("same.job", fine.replace("\"Fine\"", "\"FINE!\""));
    let ran = yard.run(&["order", "-o", "none/", "0.job", "fine.job", "same.job"]);
    assert_eq!(ran.exit, Some(2));
    assert!(ran.err.contains("`fine.job` and `same.job`") && !yard.path().join("none").exists(), "{}", ran.err);
}

#[test]
fn row_64_what_cannot_be_written_is_named_and_the_old_paper_kept() {
    let yard = Yard::with_jobs();
    yard.put("file", "not a folder\n");
    for (to, said) in [
        ("gone/a.md", "the folder `gone` does not exist"),
        ("gone/deeper/", "does not exist"),
        ("file/", "is not a folder"),
        ("file/a.md", "`file` is not a folder"),
    ] {
        for command in ["order", "tally"] {
            let ran = yard.run(&[command, "fine.job", "-o", to]);
            assert_eq!((ran.exit, ran.out.as_str()), (Some(2), ""), "{to}");
            assert!(ran.err.contains(said), "{to}: {}", ran.err);
        }
    }
    assert_eq!(yard.get("file"), "not a folder\n");
    assert_eq!(yard.run(&["order", "fine.job", "warned.job", "-o", "file/"]).exit, Some(2));
}

#[cfg(target_os = "linux")]
#[test]
fn row_64_and_66_a_full_disk_is_trouble_in_one_line() {
    let yard = Yard::with_jobs();
    let ran = yard.run(&["order", "fine.job", "-o", "/dev/full"]);
    assert_eq!((ran.exit, ran.err.as_str()), (Some(2), "error: `/dev/full` cannot be written: the disk is full\n"));
    let line = "error: standard output cannot be written: the disk is full\n";
    for arguments in
        ["check fine.job", "order fine.job", "tally fine.job", "explain", "explain back-thin", "new", "--help", "fmt -"]
    {
        let ran = yard.shell(&format!("\"$B\" {arguments} <fine.job >/dev/full"));
        assert_eq!((ran.exit, ran.err.as_str()), (Some(2), line), "{arguments}");
    }
    // Complaints that nobody can read change nothing else.
    let ran = yard.shell("\"$B\" order broken.job 2>/dev/full");
    assert_eq!(ran.exit, Some(1));
    assert!(ran.out.contains("Broken"));
}

#[cfg(unix)]
#[test]
fn row_65_no_input_is_written_over_under_any_name() {
    let yard = Yard::with_jobs();
    let fine = yard.get("fine.job");
    yard.put("shop.job", "mix bagged { bag 80 lb, yields 0.60 ft3 }\n");
    yard.put("a.job", format!("include \"shop.job\"\n{}", fine.replace("mix bag-60-lb", "mix bagged")));
    let before = (yard.get("a.job"), yard.get("shop.job"));
    assert_eq!(yard.shell("ln -s a.job link; ln shop.job hard; ln -s nowhere dangling; mkdir folder").exit, Some(0));
    for to in ["a.job", "./a.job", "shop.job", "link", "hard"] {
        let ran = yard.run(&["order", "a.job", "-o", to]);
        assert_eq!(ran.exit, Some(2), "{to}");
        assert!(ran.err.contains("one of the files that were read"), "{}", ran.err);
    }
    let ran = yard.shell("\"$B\" order - -o a.job <a.job");
    assert_eq!(ran.exit, Some(2), "a redirected file is an input too");
    assert_eq!((yard.get("a.job"), yard.get("shop.job")), before);
    assert_eq!(yard.run(&["order", "a.job", "-o", "dangling"]).exit, Some(2));
    // A job that stands where its own paper would go.
    yard.put("folder/fine.order.md", &fine);
    let ran = yard.run(&["order", "folder/fine.order.md", "-o", "folder"]);
    assert_eq!(ran.exit, Some(2));
    assert_eq!(yard.get("folder/fine.order.md"), fine);
}

#[test]
fn row_65_no_paper_is_written_over_a_job_that_was_not_read() {
    let yard = Yard::with_jobs();
    let other = yard.get("warned.job");
    let runs: [&[&str]; 10] = [
        &["order", "fine.job"],
        &["order", "fine.job", "--format", "html"],
        &["tally", "fine.job"],
        &["buy", "fine.job"],
        &["days", "fine.job"],
        &["record", "fine.job"],
        &["learn", "fine.job"],
        &["draw", "fine.job", "--view", "plan"],
        &["compare", "fine.job", "broken.job"],
        &["reference"],
    ];
    for arguments in runs {
        let ran = yard.run(&[arguments, ["-o", "warned.job"].as_slice()].concat());
        assert_eq!(ran.exit, Some(2), "{arguments:?}: {}", ran.err);
        let says = "error: `warned.job` cannot be written: it is a job file; \
                    give the paper a name that does not end in `.job`\n";
        assert!(ran.err.ends_with(says), "{arguments:?}: {}", ran.err);
        assert_eq!(yard.get("warned.job"), other, "{arguments:?}");
    }
    // What is no job yet is nobody's loss.
    assert_eq!(yard.run(&["tally", "fine.job", "-q", "-o", "new.job"]).exit, Some(0));
    #[cfg(unix)]
    {
        assert_eq!(yard.shell("ln -s warned.job paper.md").exit, Some(0));
        assert_eq!(yard.run(&["tally", "fine.job", "-q", "-o", "paper.md"]).exit, Some(2));
        assert_eq!(yard.get("warned.job"), other, "through a link");
    }
}

#[cfg(unix)]
#[test]
fn row_66_a_reader_that_goes_away_is_fine() {
    let yard = Yard::with_jobs();
    let many = ["broken.job"; 400];
    let mut child =
        yard.command().arg("check").args(many).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let mut first = [0; 10];
    let mut out = child.stdout.take().unwrap();
    out.read_exact(&mut first).unwrap();
    drop(out);
    let ran = Ran::of(child.wait_with_output().unwrap());
    assert_eq!((ran.exit, ran.err.as_str()), (Some(1), ""), "the exit still tells of the errors");
    for arguments in ["check fine.job", "order fine.job", "explain", "new", "order fine.job -o /dev/stdout"] {
        let ran = yard.shell(&format!("{{ \"$B\" {arguments}; echo $? >exit; }} | true; sleep 0.1"));
        assert_eq!((ran.exit, ran.err.as_str(), yard.get("exit").as_str()), (Some(0), "", "0\n"), "{arguments}");
        let ran = yard.shell(&format!("\"$B\" {arguments} >&-"));
        assert_eq!((ran.exit, ran.err.as_str()), (Some(0), ""), "{arguments}");
    }
}

#[test]
fn row_67_the_same_bytes_anywhere() {
    let (one, other) = (Yard::with_jobs(), Yard::with_jobs());
    for arguments in [
        &["check", "fine.job", "warned.job", "broken.job"][..],
        &["check", "--format", "json", "fine.job", "broken.job"],
        &["order", "broken.job"],
        &["tally", "warned.job", "--format", "csv"],
        &["tally", "warned.job"],
        &["explain"],
        &["reference"],
        &["--help"],
    ] {
        let here = one.run(arguments);
        let mut there = other.command();
        there.args(arguments).env("TZ", "Asia/Kathmandu").env("LANG", "tr_TR.UTF-8").env("LC_ALL", "tr_TR.UTF-8");
        there.env("HOME", "/nonexistent").env("TERM", "dumb").env("RUST_BACKTRACE", "1").env("TMPDIR", "/nonexistent");
        assert_eq!(Ran::of(there.output().unwrap()), here, "{arguments:?}");
    }
    // In whatever order the jobs are named, each one's paper is the same; and files do not ask for the screen's width.
    assert_eq!(one.run(&["order", "fine.job", "warned.job", "--format", "text", "-o", "out/"]).exit, Some(0));
    let mut turned = other.command();
    turned.args(["order", "warned.job", "fine.job", "--format", "text", "-o", "out/"]).env("COLUMNS", "50");
    assert_eq!(turned.output().unwrap().status.code(), Some(0));
    for paper in ["fine.order.txt", "warned.order.txt"] {
        assert_eq!(one.get(&format!("out/{paper}")), other.get(&format!("out/{paper}")));
    }
}

#[test]
fn row_68_nothing_in_a_file_or_argument_steers_the_terminal() {
    let yard = Yard::with_jobs();
    let hostile = "\u{1b}]0;title\u{7}\u{1b}[2J\u{8}\u{7f}\u{9b}31m\u{202e}";
    let job = yard.get("broken.job").replace("\"Broken\"", &format!("\"{hostile}\""));
    yard.put("a.job", job.replace("to 30  //", &format!("to 30  // {hostile}")));
    for arguments in [
        &["check", "a.job"][..],
        &["order", "a.job"],
        &["order", "a.job", "--format", "text"],
        &["tally", "a.job"],
        &["fmt", "--diff", "a.job"],
        &["check", hostile],
        &["explain", hostile],
        &[hostile],
        &["check", "--format", hostile, "a.job"],
        &["check", "a.job", "--root", hostile],
        &["tally", "a.job", "--format", "csv", "--table", hostile],
        &["order", "fine.job", "-o", &format!("{hostile}/x")],
    ] {
        let ran = yard.run(arguments);
        for text in [&ran.out, &ran.err] {
            let steers = |c: char| (c.is_control() && !matches!(c, '\n' | '\t')) || c == '\u{202e}';
            assert!(!text.contains(steers), "{arguments:?}: {text:?}");
        }
    }
    let coloured = yard.run(&["check", "a.job", "--color", "always"]).out;
    assert!(coloured.contains("\u{1b}[31m") && !coloured.contains("\u{1b}]0") && !coloured.contains("\u{1b}[2J"));
}

#[test]
fn row_69_colour_and_width_are_asked_for() {
    let yard = Yard::with_jobs();
    let check = |variables: &[(&str, &str)], arguments: &[&str]| {
        let ran = Ran::of(
            yard.command()
                .arg("check")
                .arg("broken.job")
                .args(arguments)
                .envs(variables.iter().copied())
                .output()
                .unwrap(),
        );
        assert_eq!(ran.exit, Some(1));
        ran.out
    };
    let plain = check(&[], &[]);
    assert!(!plain.contains('\u{1b}'));
    assert!(check(&[], &["--color", "always"]).contains('\u{1b}'));
    assert!(check(&[("NO_COLOR", "1")], &["--color=always"]).contains('\u{1b}'));
    assert!(check(&[("FORCE_COLOR", "1")], &[]).contains('\u{1b}'));
    assert_eq!(check(&[("NO_COLOR", "1"), ("FORCE_COLOR", "1")], &[]), plain);
    assert_eq!(check(&[("FORCE_COLOR", "1")], &["--color", "never"]), plain);
    assert_eq!(check(&[("COLUMNS", "100")], &[]), plain);
    let narrow = check(&[], &["--width", "40"]);
    assert_ne!(narrow, plain);
    for (width, same) in [("0", "40"), ("1", "40"), ("99999999999999999999999", "200")] {
        assert_eq!(check(&[], &["--width", width]), check(&[], &["--width", same]));
    }
    assert_eq!(check(&[("COLUMNS", "1")], &[]), narrow);
    // Help and complaints too.
    assert!(yard.run(&["--help", "--color", "always"]).out.contains('\u{1b}'));
    assert!(yard.run(&["--bogus", "--color=always"]).err.starts_with("\u{1b}[1;31merror"));
    assert!(!yard.run(&["--help"]).out.contains('\u{1b}'));
}

#[cfg(unix)]
#[test]
fn row_81_the_formatter_keeps_mode_and_link_and_refuses_what_is_no_text() {
    use std::os::unix::fs::{PermissionsExt as _, symlink};
    let yard = Yard::new();
    let (untidy, tidy) = ("let  a = 1\"\n", "let a = 1\"\n");
    yard.put("a.job", untidy);
    fs::set_permissions(yard.path().join("a.job"), fs::Permissions::from_mode(0o640)).unwrap();
    symlink("a.job", yard.path().join("link.job")).unwrap();
    assert_eq!(yard.run(&["fmt", "link.job"]).exit, Some(0));
    assert_eq!(yard.get("a.job"), tidy);
    assert_eq!(fs::metadata(yard.path().join("a.job")).unwrap().permissions().mode() & 0o777, 0o640);
    assert!(fs::symlink_metadata(yard.path().join("link.job")).unwrap().is_symlink());
    for (name, content) in [("crlf", "let a = 1\"\r\n"), ("bom", "\u{feff}let a = 1\"\n"), ("end", "let a = 1\"")] {
        yard.put(name, content);
        assert_eq!(yard.run(&["fmt", "--check", name]).exit, Some(1), "{name}");
        assert_eq!(yard.run(&["fmt", name]).exit, Some(0), "{name}");
        assert_eq!(yard.get(name), tidy, "{name}");
        assert_eq!(yard.run(&["fmt", "--check", name]).quietly(), Some(0), "{name}");
    }
    for content in [&b"let a = \xff\n"[..], b"\x89PNG\r\n\x1a\n", b"\xff\xfel\0e\0t\0"] {
        yard.put("odd.job", content);
        let ran = yard.run(&["fmt", "odd.job", "a.job"]);
        assert_eq!(ran.exit, Some(2));
        assert!(ran.err.contains("`odd.job` is"), "{}", ran.err);
        assert_eq!(fs::read(yard.path().join("odd.job")).unwrap(), content);
    }
}

#[test]
fn row_82_a_killed_formatter_leaves_every_file_old_or_new() {
    let yard = Yard::new();
    let old = "let  a = 1\"\n".repeat(200);
    let new = "let a = 1\"\n".repeat(200);
    let names: Vec<String> = (0..300).map(|number| format!("{number}.job")).collect();
    for name in &names {
        yard.put(name, &old);
    }
    let mut child = yard.command().arg("fmt").args(&names).stderr(Stdio::piped()).spawn().unwrap();
    // Once it has begun.
    child.stderr.take().unwrap().read_exact(&mut [0; 200]).unwrap();
    child.kill().unwrap();
    child.wait().unwrap();
    let now: Vec<String> = names.iter().map(|name| yard.get(name)).collect();
    assert!(now.iter().all(|text| *text == old || *text == new));
    assert!(now.contains(&new), "it was killed before it began");
}

#[test]
fn row_83_odd_arguments_are_wrong_use_with_a_hint() {
    let yard = Yard::with_jobs();
    for arguments in [
        &["chekc", "fine.job"][..],
        &["check"],
        &["check", "--bogus", "fine.job"],
        &["check", "--strict", "--strict", "fine.job"],
        &["check", "--format", "xml", "fine.job"],
        &["check", "--limit", "shown", "fine.job"],
        &["check", "--width", "x", "fine.job"],
        &["order", "fine.job", "-o", ""],
        &["order", "fine.job", "-o"],
        &["new", "a.job", "b.job"],
        &["new", "a.job", "-o", "b.job"],
        &["explain", "a", "b"],
        &["--color", "red", "check", "fine.job"],
        &["--", "check"],
        &["check", "--strict=5", "fine.job"],
        &[""],
    ] {
        let ran = yard.run(arguments);
        assert_eq!((ran.exit, ran.out.as_str()), (Some(2), ""), "{arguments:?}");
        let lines: Vec<&str> = ran.err.lines().collect();
        assert!(
            lines[0].starts_with("error: ") && lines[lines.len() - 1].ends_with("says what there is"),
            "{}",
            ran.err
        );
        assert!(!ran.err.contains("invalid") && !ran.err.contains("Usage"), "{}", ran.err);
    }
    let nothing = yard.run(&[]);
    assert_eq!((nothing.exit, nothing.out.as_str()), (Some(2), ""));
    assert_eq!(nothing.err, yard.run(&["--help"]).out);
    let empty = yard.run(&["check", "", "fine.job"]);
    assert_eq!((empty.exit, empty.out.as_str()), (Some(2), "fine.job: fine\n"));
    assert_eq!(empty.err, "error: the name of a job file is empty\n");
    assert_eq!(yard.run(&["check", "*.job"]).exit, Some(2));
    assert_eq!(yard.run(&["check", "http://quarry.example/a.job"]).exit, Some(2));
    assert_eq!(yard.run(&["check", "{}%s%n"]).exit, Some(2));
}

#[cfg(unix)]
#[test]
fn row_83_arguments_that_are_not_utf_8() {
    use std::{ffi::OsStr, os::unix::ffi::OsStrExt as _};
    let yard = Yard::with_jobs();
    let odd = OsStr::from_bytes(b"\xff\xfe");
    for before in
        [&[][..], &["check"], &["explain"], &["check", "--limit"], &["--color"], &["new"], &["check", "--root"]]
    {
        let ran = Ran::of(yard.command().args(before).arg(odd).output().unwrap());
        // As a name of a file that is to be made it is as good as any other.
        let expected = if before == ["new"] { Some(0) } else { Some(2) };
        assert_eq!(ran.exit, expected, "{before:?}: {}", ran.err);
    }
}

#[test]
fn row_84_standard_input_may_be_empty_slow_or_endless() {
    let yard = Yard::with_jobs();
    let empty = yard.run(&["check", "-"]);
    assert_eq!(empty.exit, Some(1));
    assert!(empty.out.contains("nothing-here"), "{}", empty.out);
    let fine = yard.get("fine.job");
    let mut child = yard.command().args(["check", "-"]).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
    let mut input = child.stdin.take().unwrap();
    for part in fine.as_bytes().chunks(fine.len() / 10) {
        input.write_all(part).unwrap();
        std::thread::sleep(Duration::from_millis(5));
    }
    drop(input);
    assert_eq!(child.wait_with_output().unwrap().status.code(), Some(0));
    #[cfg(unix)]
    {
        let ran = yard.shell("head -c 80000000 /dev/zero | \"$B\" check -");
        assert_eq!(ran.exit, Some(2));
        assert!(ran.err.contains("larger than 64 MiB"), "{}", ran.err);
        let ran = yard.shell("\"$B\" order fine.job -o paper.md <&- 2>&-");
        assert_eq!(ran.exit, Some(0));
        assert!(yard.get("paper.md").starts_with("# Work order: Fine"));
    }
}

#[cfg(target_os = "linux")]
#[test]
fn row_85_poor_surroundings() {
    let yard = Yard::with_jobs();
    let expected = yard.run(&["check", "fine.job", "warned.job"]).out;
    for limits in
        ["ulimit -s 256", "ulimit -n 16", "ulimit -v 200000", "umask 077", "unset HOME PATH LANG; export TERM="]
    {
        let ran = yard.shell(&format!("{limits}; \"$B\" check fine.job warned.job"));
        assert_eq!((ran.exit, ran.out.as_str(), ran.err.as_str()), (Some(0), expected.as_str(), ""), "{limits}");
    }
    let deep = |levels| {
        let (open, close) = ("(".repeat(levels), ")".repeat(levels));
        yard.put("deep.job", yard.get("fine.job").replace("thick 8\"\n", &format!("thick {open}8\"{close}\n")));
    };
    deep(128);
    assert_eq!(yard.shell("ulimit -s 256; \"$B\" check deep.job").out, "deep.job: fine\n");
    deep(129);
    assert!(yard.shell("ulimit -s 256; \"$B\" check deep.job").out.contains("nested-deep"));
    deep(10_000);
    let ran = yard.run(&["check", "deep.job", "--limit", "depth=10000"]);
    assert_eq!((ran.quietly(), ran.out.as_str()), (Some(0), "deep.job: fine\n"));
}

#[cfg(unix)]
#[test]
fn row_86_a_signal_stops_the_run_at_once() {
    use std::os::unix::process::ExitStatusExt as _;
    let yard = Yard::new();
    for (signal, number) in [("INT", 2), ("TERM", 15)] {
        // A shell in the background passes on that it ignores SIGINT: `env` takes that back.
        let mut command = Command::new("env");
        command.arg("--default-signal=INT,TERM").arg(env!("CARGO_BIN_EXE_batterboard")).current_dir(yard.path());
        let mut child = command.args(["order", "-", "-o", "a.md"]).stdin(Stdio::piped()).spawn().unwrap();
        std::thread::sleep(Duration::from_millis(50));
        let started = Instant::now();
        yard.shell(&format!("kill -{signal} {}", child.id()));
        assert_eq!(child.wait().unwrap().signal(), Some(number));
        assert!(started.elapsed() < Duration::from_secs(2));
    }
    assert!(yard.names(".").is_empty());
}

#[test]
fn row_87_two_runs_at_once_in_one_folder() {
    let yard = Yard::with_jobs();
    let expected = yard.run(&["order", "fine.job"]).out;
    for _ in 0..10 {
        let runs: Vec<_> = (0..4)
            .map(|_| {
                let mut command = yard.command();
                command.args(["order", "fine.job", "warned.job", "-q", "-o", "out/"]);
                command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap()
            })
            .collect();
        for run in runs {
            let ran = Ran::of(run.wait_with_output().unwrap());
            assert_eq!(ran.exit, Some(0), "{}", ran.err);
        }
        assert_eq!(yard.names("out"), ["fine.order.md", "index.md", "warned.order.md"]);
        assert_eq!(yard.get("out/fine.order.md"), expected);
        fs::remove_dir_all(yard.path().join("out")).unwrap();
    }
}

#[cfg(unix)]
#[test]
fn row_94_many_files_with_few_open_at_once() {
    let yard = Yard::with_jobs();
    let fine = yard.get("fine.job");
    for number in 0..300 {
        yard.put(&format!("many-{number}.job"), fine.replace("\"Fine\"", &format!("\"Job {number}\"")));
    }
    let ran = yard.shell("ulimit -n 16; \"$B\" order many-*.job -q -o out/ && \"$B\" fmt --check many-*.job");
    assert_eq!((ran.quietly(), ran.out.as_str()), (Some(0), ""));
    // The papers, and the page that leads to them.
    assert_eq!(yard.names("out").len(), 301);
}

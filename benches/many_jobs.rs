//! Prints how long the program takes over many jobs: `cargo bench --bench many_jobs`.
//!
//! 2,000 small jobs in one folder, ten blocks each, and one job of 2,000 includes of one block each. Beside the time stands
//! how many runs of a program that only prints a word it is worth, taken by turns with it: that travels to other machines,
//! and a busy one slows both.

use std::{
    fs,
    io::{self, Write},
    path::Path,
    process::{Command, Stdio},
    time::Instant,
};

/// How often each is measured; the least counts.
const TIMES: usize = 9;

/// How many jobs, and how many includes.
const MANY: usize = 2_000;

/// The argument that makes this the program that only prints a word.
const WORD: &str = "--word";

/// So many of its runs are one measurement.
const WORDS: u32 = 20;

fn main() -> io::Result<()> {
    if std::env::args().any(|argument| argument == WORD) {
        return writeln!(io::stdout(), "a word");
    }
    let yard = tempfile::TempDir::new()?;
    let (jobs, parts) = (yard.path().join("jobs"), yard.path().join("parts"));
    fs::create_dir(&jobs)?;
    fs::create_dir(&parts)?;
    let mut whole = String::from("job \"Of many parts\" { show feet }\n");
    for number in 0..MANY {
        fs::write(jobs.join(format!("{number:04}.job")), small(number))?;
        fs::write(
            parts.join(format!("{number:04}.part")),
            format!("line run-{number} {{ leg face {}' }}\n", 3 + number % 7),
        )?;
        whole.push_str(&format!("include \"{number:04}.part\"\n"));
    }
    fs::write(parts.join("whole.job"), whole)?;
    let mut out = io::stdout().lock();
    for (what, arguments) in [
        ("check, jobs", ["check", "jobs"]),
        ("tally, jobs", ["tally", "jobs"]),
        ("check, includes", ["check", "parts/whole.job"]),
    ] {
        let (mut least, mut word) = (f64::INFINITY, f64::INFINITY);
        for _ in 0..TIMES {
            word = word.min(words()?);
            least = least.min(run(yard.path(), &arguments)?);
        }
        writeln!(
            out,
            "{what:<16} {MANY:>6} {:>8.1} ms {:>8.4} ms each {:>6.0} words of {:.2} ms",
            least * 1e3,
            least * 1e3 / MANY as f64,
            least / word,
            word * 1e3
        )?;
    }
    Ok(())
}

/// How long the program that only prints a word takes.
fn words() -> io::Result<f64> {
    let begun = Instant::now();
    for _ in 0..WORDS {
        Command::new(std::env::current_exe()?).arg(WORD).stdout(Stdio::null()).status()?;
    }
    Ok(begun.elapsed().as_secs_f64() / f64::from(WORDS))
}

fn run(yard: &Path, arguments: &[&str]) -> io::Result<f64> {
    let mut command = Command::new(env!("CARGO_BIN_EXE_batterboard"));
    command.args(arguments).current_dir(yard).stdout(Stdio::null()).stderr(Stdio::null());
    let begun = Instant::now();
    let status = command.status()?;
    let lasts = begun.elapsed().as_secs_f64();
    // Jobs without errors, or none of this is worth measuring.
    if status.success() { Ok(lasts) } else { Err(io::Error::other(format!("{arguments:?} ends with {status}"))) }
}

/// A small job without findings: a strip of concrete in front of a wall.
fn small(number: usize) -> String {
    format!(
        "job \"Strip {number}\" {{ show feet; start 2027-05-03; weather 52 degF to 66 degF, humidity 60%, wind 5 mph }}\n\
        wall old {{ leg back {long}'; thick 8\"; height -12\" to 24\" }}\n\
        line front {{ leg edge {long}' }}\n\
        ask water \"Where does the water go?\" {{ about water; answered 2027-04-12 \"into the drain\" }}\n\
        section strip {{ along front.edge; thick 10\"; height 0 to 12\"; base soil }}\n\
        bars rails {{ size #4; along strip; rows height 4\", 8\"; offset 5\" }}\n\
        pour lot {{ fill strip; mix bag-80-lb; waste 8% }}\n\
        cure keep {{ of lot; wet daily for 7 days }}\n\
        step tie \"Tie the bars\" {{ work place rails }}\n\
        step cast \"Pour\" {{ work pour lot; after tie }}\n",
        long = 6 + number % 9
    )
}

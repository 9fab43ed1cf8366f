//! Where papers go: the screen, a file, or a folder with one file a job.

use std::{
    ffi::OsString,
    fs,
    io::{self, ErrorKind, Write},
    path::{Path, PathBuf},
};

use clap::Args;

use super::{
    arguments::{Judging, Reading},
    batch,
    disk::{reason, shown},
    findings::{self, Closing, Showing},
    folders::Jobs,
    jobs::{self, Reader},
    screen::{Exit, Out, Screen},
    slug::{self, Slug},
    write::{Outcome, Refusal, put_paper},
};
use crate::{
    compile::Compiled,
    problem::Level,
    reports::{Paper, print},
};

/// Where a paper goes.
#[derive(Debug, Args)]
pub struct Output {
    /// Write to this file or into this folder, instead of showing it
    #[arg(long, short, value_name = "FILE|FOLDER")]
    pub output: Option<PathBuf>,
}

impl Output {
    /// Whether it is only shown.
    pub fn is_screen(&self) -> bool {
        self.path().is_none()
    }

    /// Whether it is a folder: one that is there, or a name that ends like one.
    pub fn is_folder(&self) -> bool {
        self.path().is_some_and(|path| {
            let last = path.as_os_str().as_encoded_bytes().last();
            last.is_some_and(|last| std::path::is_separator((*last).into())) || path.is_dir()
        })
    }

    /// The file or folder it is written to.
    pub fn path(&self) -> Option<&Path> {
        self.output.as_deref().filter(|path| *path != Path::new("-"))
    }
}

/// How a paper is laid out.
#[derive(Debug, Clone, Copy)]
pub struct Layout {
    /// Columns to a line.
    pub width: u16,
    /// With colour.
    pub colour: bool,
}

/// A paper that can be printed of any job.
pub trait Press {
    /// What it is called in the names of files: `order`.
    fn word(&self) -> &'static str;

    /// What its format is called there, without the dot: `md`.
    fn suffix(&self) -> &'static str;

    /// The end of its file's name, without the first dot: `order.md`.
    fn ending(&self) -> String {
        format!("{}.{}", self.word(), self.suffix())
    }

    /// Why it cannot be printed of this job.
    fn refuses(&self, job: &Compiled) -> Option<String>;

    /// Whether it needs the worked numbers: their ledger costs time and memory.
    fn needs_numbers(&self) -> bool {
        true
    }

    /// Whether the papers of several jobs are one text on the screen.
    fn one_text(&self) -> bool;

    /// Prints the paper of a job, or of several where they are one text.
    ///
    /// # Errors
    /// The first error of `out`.
    fn print(&self, jobs: &[(&str, &Compiled)], layout: Layout, out: &mut dyn Write) -> io::Result<()>;

    /// Whether one paper is made of all jobs, so that all of them are held until it is printed.
    fn of_all(&self) -> bool {
        false
    }

    /// What one job adds, where the papers of several jobs are one text.
    ///
    /// # Errors
    /// When it cannot be written.
    fn part(&self, name: &str, job: &Compiled) -> io::Result<Vec<u8>>;

    /// Whether what several jobs come to together stands behind them.
    fn adds_up(&self) -> bool {
        false
    }

    /// The name of the page that leads to the papers of many jobs; none where they are for programs.
    fn index(&self) -> Option<String> {
        None
    }

    /// Prints a paper about several jobs in the same format.
    ///
    /// # Errors
    /// The first error of `out`.
    fn page(&self, paper: &Paper, layout: Layout, out: &mut dyn Write) -> io::Result<()> {
        print::terminal(paper, layout.width, layout.colour, out)
    }
}

/// What a run does with its papers.
pub(super) enum Target<'o> {
    /// They are shown.
    Screen,
    /// They go into this file.
    File(&'o Path),
    /// They go into this folder.
    Folder(&'o Path),
}

/// One run of a command that prints papers.
pub struct Run<'r> {
    /// What is read.
    pub reading: &'r Reading,
    /// How it is judged.
    pub judging: &'r Judging,
    /// Where the papers go.
    pub output: &'r Output,
    /// What is printed.
    pub press: &'r (dyn Press + Sync),
    /// The screen.
    pub screen: &'r Screen,
}

impl Run<'_> {
    /// Reads the jobs, shows their errors and warnings on stderr, and prints their papers.
    pub fn run(&self) -> Exit {
        let jobs = Jobs::of(&self.reading.files);
        let many = jobs.named.len() != 1 || jobs.in_folders();
        let target = match self.target(many, jobs.in_folders()) {
            Ok(target) => target,
            Err(what) => {
                self.screen.complain(&what);
                return Exit::Trouble;
            }
        };
        if many && !self.press.of_all() {
            return batch::run(self, &jobs, target);
        }
        let Some(reader) = Reader::new(self.reading, self.judging.root.as_deref(), self.screen) else {
            return Exit::Trouble;
        };
        match target {
            Target::Screen if self.press.one_text() => self.as_one(&reader, &jobs, None),
            Target::Screen => self.to_screen(&reader),
            Target::File(path) if self.press.one_text() => self.as_one(&reader, &jobs, Some(path)),
            Target::File(path) => self.to_file(&reader, |_| Ok(path.into())),
            Target::Folder(folder) => self.to_file(&reader, |job| {
                ready(folder)?;
                Ok(slug::file_in(folder, &Slug::of(&title(job)), &self.press.ending()))
            }),
        }
    }

    fn target(&self, many: bool, in_folders: bool) -> Result<Target<'_>, String> {
        let Some(path) = self.output.path() else {
            return Ok(Target::Screen);
        };
        // The papers of a folder go into one, be it there already or not.
        let mirrored = in_folders && !self.press.one_text() && !path.exists();
        if self.output.is_folder() || mirrored {
            return Ok(Target::Folder(path));
        }
        if many && !self.press.one_text() {
            let name = shown(path);
            return Err(format!(
                "several jobs need a folder to go to, and `{name}` is none; for a new one write `{name}/`"
            ));
        }
        Ok(Target::File(path))
    }

    fn to_screen(&self, reader: &Reader) -> Exit {
        let mut out = Out::stdout();
        let mut exit = Exit::Fine;
        let mut printed = Ok(());
        for file in &self.reading.files {
            let Some(job) = self.job(reader, file, &mut exit) else { continue };
            printed = self.press.print(&[(jobs::name(&job), &job)], self.on_screen(), &mut out);
            left(job);
        }
        exit.worst(out.finish(printed, &mut io::stderr()))
    }

    fn as_one(&self, reader: &Reader, jobs: &Jobs, path: Option<&Path>) -> Exit {
        let mut exit = Exit::Fine;
        for trouble in &jobs.troubles {
            self.screen.complain(trouble);
            exit = Exit::Trouble;
        }
        let mut read: Vec<Compiled> = Vec::with_capacity(jobs.named.len());
        for named in &jobs.named {
            match reader.one_of_many(named, self.press.needs_numbers()) {
                Ok(job) => read.extend(job.and_then(|job| self.told(reader, job, &mut exit))),
                Err(why) => {
                    self.screen.complain(&why);
                    exit = Exit::Trouble;
                }
            }
        }
        let jobs = read;
        let named: Vec<(&str, &Compiled)> = jobs.iter().map(|job| (jobs::name(job), job)).collect();
        let exit = exit.worst(match path {
            None => {
                let mut out = Out::stdout();
                let printed = self.press.print(&named, self.on_screen(), &mut out);
                out.finish(printed, &mut io::stderr())
            }
            // A file that would hold no job at all is not written.
            Some(_) if named.is_empty() => Exit::Trouble,
            Some(path) => write(path, &reader.inputs(), self.judging.quiet, self.screen, &mut |out| {
                self.press.print(&named, self.in_file(), out)
            }),
        });
        left(jobs);
        exit
    }

    /// The only job's paper goes to the file straight from the works.
    fn to_file(&self, reader: &Reader, path: impl Fn(&Compiled) -> io::Result<PathBuf>) -> Exit {
        let mut exit = Exit::Fine;
        for file in &self.reading.files {
            let Some(job) = self.job(reader, file, &mut exit) else { continue };
            let path = match path(&job) {
                Ok(path) => path,
                Err(error) => {
                    let given = self.output.path().unwrap_or(Path::new(""));
                    exit = exit.worst(cannot_write(given, &error, self.screen));
                    continue;
                }
            };
            let mut content = |out: &mut dyn Write| self.press.print(&[(jobs::name(&job), &job)], self.in_file(), out);
            exit = exit.worst(write(&path, &reader.inputs(), self.judging.quiet, self.screen, &mut content));
            left(job);
        }
        exit
    }

    /// A job with its errors and warnings shown on stderr; nothing if there can be no paper of it.
    fn job(&self, reader: &Reader, file: &OsString, exit: &mut Exit) -> Option<Compiled> {
        let read = if self.press.needs_numbers() { reader.compile(file) } else { reader.check(file) };
        let Some(job) = read else {
            *exit = Exit::Trouble;
            return None;
        };
        self.told(reader, job, exit)
    }

    /// Shows the errors and warnings of a job on stderr; nothing if there can be no paper of it.
    fn told(&self, reader: &Reader, job: Compiled, exit: &mut Exit) -> Option<Compiled> {
        *exit = exit.worst(findings::exit(&job, self.judging.strict));
        let showing = Showing {
            colour: self.screen.stderr_colour,
            width: self.screen.width,
            mildest: Level::Warning,
            most: reader.limits().shown,
            closing: if self.judging.quiet { Closing::Never } else { Closing::AfterFindings },
        };
        // Standard error gone is no reason to keep the paper back.
        let _ = findings::show(&job, &showing, &mut io::BufWriter::new(io::stderr().lock()));
        if let Some(why) = self.press.refuses(&job) {
            self.screen.complain(&why);
            *exit = Exit::Trouble;
            return None;
        }
        Some(job)
    }

    pub(super) fn on_screen(&self) -> Layout {
        Layout { width: columns(self.screen.width), colour: self.screen.stdout_colour }
    }

    pub(super) fn in_file(&self) -> Layout {
        Layout { width: columns(self.screen.file_width), colour: self.screen.file_colour }
    }
}

/// Leaves what a run has made to the system, which takes all memory back at once when the program ends.
fn left<T>(made: T) {
    std::mem::forget(made);
}

fn columns(width: usize) -> u16 {
    u16::try_from(width).unwrap_or(u16::MAX)
}

/// The title of a job; the name of its file where it has none.
pub(super) fn title(job: &Compiled) -> String {
    let titled = Some(job.job.title.as_str()).filter(|title| !title.trim().is_empty());
    let name = jobs::name(job);
    let file = name.rsplit('/').next().unwrap_or(name);
    titled.unwrap_or_else(|| file.strip_suffix(".job").unwrap_or(file)).to_owned()
}

/// Makes the folder if it is not there. The one it lies in must be.
pub fn ready(folder: &Path) -> io::Result<()> {
    match fs::create_dir(folder) {
        Err(error) if error.kind() == ErrorKind::AlreadyExists => Ok(()),
        Err(error) if error.kind() == ErrorKind::NotFound => {
            Err(Refusal::NoFolder(super::disk::parent(folder).into()).into())
        }
        made => made,
    }
}

/// Writes a text to a file and says so, or shows it where no file is named.
pub fn deliver(path: Option<&Path>, screen: &Screen, text: &str) -> Exit {
    match path {
        None => {
            let mut out = Out::stdout();
            let printed = out.write_all(text.as_bytes());
            out.finish(printed, &mut io::stderr())
        }
        Some(path) => write(path, &[], false, screen, &mut |out| out.write_all(text.as_bytes())),
    }
}

/// Writes a paper to a file and says so, or shows it where no file is named.
pub fn give(
    path: Option<&Path>,
    inputs: &[PathBuf],
    quiet: bool,
    screen: &Screen,
    content: &mut dyn FnMut(&mut dyn Write) -> io::Result<()>,
) -> Exit {
    match path {
        None => {
            let mut out = Out::stdout();
            let printed = content(&mut out);
            out.finish(printed, &mut io::stderr())
        }
        Some(path) => write(path, inputs, quiet, screen, content),
    }
}

/// Writes a paper to a file and says so.
pub fn write(
    path: &Path,
    inputs: &[PathBuf],
    quiet: bool,
    screen: &Screen,
    content: &mut dyn FnMut(&mut dyn Write) -> io::Result<()>,
) -> Exit {
    let done = match put_paper(path, inputs, content) {
        Ok(Outcome::Written) => "written",
        Ok(Outcome::Unchanged) => "unchanged",
        Err(error) => return cannot_write(path, &error, screen),
    };
    // A device or a pipe is somebody else's, who knows.
    if !quiet && path.is_file() {
        screen.tell(&format!("{}: {done}\n", shown(path)));
    }
    Exit::Fine
}

/// Says why a file is not written. A reader that has gone away had what it wanted.
pub fn cannot_write(path: &Path, error: &io::Error, screen: &Screen) -> Exit {
    if error.kind() == ErrorKind::BrokenPipe {
        return Exit::Fine;
    }
    let why = Refusal::of(error).map_or_else(|| reason(error), ToString::to_string);
    screen.complain(&format!("`{}` cannot be written: {why}", shown(path)));
    Exit::Trouble
}

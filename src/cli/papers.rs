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
    disk::{reason, shown},
    findings::{self, Closing, Showing},
    jobs::{self, Reader},
    screen::{Exit, Out, Screen},
    slug::{self, Slug},
    write::{Outcome, Refusal, put},
};
use crate::{compile::Compiled, problem::Level};

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
    /// The end of its file's name, without the first dot: `order.md`.
    fn ending(&self) -> &'static str;

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
}

/// What a run does with its papers.
enum Target<'o> {
    Screen,
    File(&'o Path),
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
    pub press: &'r dyn Press,
    /// The screen.
    pub screen: &'r Screen,
}

impl Run<'_> {
    /// Reads the jobs, shows their errors and warnings on stderr, and prints their papers.
    pub fn run(&self) -> Exit {
        let target = match self.target() {
            Ok(target) => target,
            Err(what) => {
                self.screen.complain(&what);
                return Exit::Trouble;
            }
        };
        let Some(reader) = Reader::new(self.reading, self.judging.root.as_deref(), self.screen) else {
            return Exit::Trouble;
        };
        match target {
            Target::Screen if self.press.one_text() => self.as_one(&reader, None),
            Target::Screen => self.to_screen(&reader),
            Target::File(path) if self.press.one_text() => self.as_one(&reader, Some(path)),
            Target::File(path) => self.to_file(&reader, |_| Ok(path.into())),
            Target::Folder(folder) if self.reading.files.len() == 1 => self.to_file(&reader, |job| {
                ready(folder)?;
                Ok(slug::file_in(folder, &Slug::of(&title(job)), self.press.ending()))
            }),
            Target::Folder(folder) => self.to_folder(&reader, folder),
        }
    }

    fn target(&self) -> Result<Target<'_>, String> {
        let Some(path) = self.output.path() else {
            return Ok(Target::Screen);
        };
        if self.output.is_folder() {
            return Ok(Target::Folder(path));
        }
        if self.reading.files.len() > 1 && !self.press.one_text() {
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
        let mut first = true;
        for file in &self.reading.files {
            let Some(job) = self.job(reader, file, &mut exit) else { continue };
            if !first {
                printed = out.write_all(b"\n");
            }
            first = false;
            printed = printed
                .and_then(|()| self.press.print(&[(jobs::name(&job), &job)], self.on_screen(), &mut out))
                .and_then(|()| out.flush());
            if printed.is_err() {
                break;
            }
        }
        exit.worst(out.finish(printed, &mut io::stderr()))
    }

    fn as_one(&self, reader: &Reader, path: Option<&Path>) -> Exit {
        let mut exit = Exit::Fine;
        let jobs: Vec<Compiled> =
            self.reading.files.iter().filter_map(|file| self.job(reader, file, &mut exit)).collect();
        let named: Vec<(&str, &Compiled)> = jobs.iter().map(|job| (jobs::name(job), job)).collect();
        exit.worst(match path {
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
        })
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
        }
        exit
    }

    /// Nothing is written before all jobs are read and every file has a name of its own.
    fn to_folder(&self, reader: &Reader, folder: &Path) -> Exit {
        struct Printed {
            job: String,
            title: String,
            paper: Vec<u8>,
        }
        let mut exit = Exit::Fine;
        let mut all = Vec::new();
        for file in &self.reading.files {
            let Some(job) = self.job(reader, file, &mut exit) else { continue };
            let mut paper = Vec::new();
            if let Err(error) = self.press.print(&[(jobs::name(&job), &job)], self.in_file(), &mut paper) {
                self.screen.complain(&format!(
                    "the paper of `{}` cannot be printed: {}",
                    jobs::name(&job),
                    reason(&error)
                ));
                exit = Exit::Trouble;
                continue;
            }
            all.push(Printed { job: jobs::name(&job).to_owned(), title: title(&job), paper });
        }
        let slugs = match slug::slugs(all.iter().map(|printed| printed.title.as_str())) {
            Ok(slugs) => slugs,
            Err(clash) => {
                let name = |at: usize| all.get(at).map_or("", |printed| printed.job.as_str());
                self.screen.complain(&format!(
                    "`{}` and `{}` would both be written to `{}`; give the jobs different titles; nothing was written",
                    name(clash.first),
                    name(clash.second),
                    shown(&slug::file_in(folder, &clash.slug, self.press.ending()))
                ));
                return Exit::Trouble;
            }
        };
        if all.is_empty() {
            return exit;
        }
        if let Err(error) = ready(folder) {
            return cannot_write(folder, &error, self.screen);
        }
        let inputs = reader.inputs();
        for (printed, slug) in all.iter().zip(&slugs) {
            let path = slug::file_in(folder, slug, self.press.ending());
            let mut content = |out: &mut dyn Write| out.write_all(&printed.paper);
            exit = exit.worst(write(&path, &inputs, self.judging.quiet, self.screen, &mut content));
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

    fn on_screen(&self) -> Layout {
        Layout { width: columns(self.screen.width), colour: self.screen.stdout_colour }
    }

    fn in_file(&self) -> Layout {
        Layout { width: columns(self.screen.file_width), colour: self.screen.file_colour }
    }
}

fn columns(width: usize) -> u16 {
    u16::try_from(width).unwrap_or(u16::MAX)
}

/// The title of a job; the name of its file where it has none.
fn title(job: &Compiled) -> String {
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

/// Writes a file and says so.
pub fn write(
    path: &Path,
    inputs: &[PathBuf],
    quiet: bool,
    screen: &Screen,
    content: &mut dyn FnMut(&mut dyn Write) -> io::Result<()>,
) -> Exit {
    let done = match put(path, inputs, content) {
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

//! `compare`: tells what a change to a job changes on site.

use std::{
    ffi::{OsStr, OsString},
    io::{self, Write},
    path::{Path, PathBuf},
};

use clap::{Args, ValueEnum};

use super::{
    TEMPLATE,
    arguments::Reading,
    git::Revision,
    jobs::Reader,
    papers::{Output, give},
    screen::{Exit, Screen},
};
use crate::{
    comparing::{Comparison, compare},
    compile::{self, Compiled},
    language::Unread,
    reports::{Sides, changes, json, print},
    source::{Trouble, escaped},
};

/// Tell what changed between two versions of a job
#[derive(Debug, Args)]
#[command(help_template = TEMPLATE, before_help = "\
Not which lines differ, but what differs on site: concrete, holes by their numbers, bars, what is bought, days, \
findings, acceptances, questions. Things are matched by their names; what was only renamed is told so. Comments \
and the order of blocks do not count, save the order of steps.")]
#[command(after_help = "\
Examples:
  batterboard compare before.job after.job              compare two files
  batterboard compare shed.job --since HEAD             with the last commit
  batterboard compare shed.job --since main --format markdown   to paste into a merge request

With `--since` the file and all it includes are read as they were at that revision, through the git program; nothing \
is written or fetched. A job with errors is compared as far as it goes.

Exit: 0 nothing that matters on site changed; 1 something did; 2 something could not be read or written.")]
pub struct Compare {
    #[command(flatten)]
    reading: Reading,
    /// Compare the job with what it was at this revision of its git repository
    #[arg(long, value_name = "REVISION", allow_hyphen_values = true)]
    since: Option<OsString>,
    #[command(flatten)]
    output: Output,
    /// Print it as text, laid out for the screen, as markdown, or as json (for programs)
    #[arg(long, value_name = "FORMAT", hide_possible_values = true, default_value = "text")]
    format: Format,
    /// The folder included files must lie in, if not the job's own folder or its repository
    #[arg(long, value_name = "FOLDER", display_order = 80)]
    root: Option<PathBuf>,
    /// Print nothing: only the exit tells whether something changed
    #[arg(long, short)]
    quiet: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// Laid out for the screen
    Text,
    /// For any Markdown reader
    Markdown,
    /// For programs
    Json,
}

impl Compare {
    /// Compares.
    pub fn run(&self, screen: &Screen) -> Exit {
        let (before, after) = match (self.reading.files.as_slice(), &self.since) {
            ([before, after], None) => (before, after),
            ([file], Some(_)) => (file, file),
            ([_], None) => {
                screen.complain(
                    "one job alone has nothing to be compared with: name a second one, or `--since REVISION`",
                );
                return Exit::Trouble;
            }
            (_, Some(_)) => {
                screen.complain("with `--since` one job is named: it is compared with itself at that revision");
                return Exit::Trouble;
            }
            _ => {
                screen.complain("two jobs are compared at a time");
                return Exit::Trouble;
            }
        };
        let Some(reader) = Reader::new(&self.reading, self.root.as_deref(), screen) else { return Exit::Trouble };
        let was = match &self.since {
            Some(revision) => self.at(revision, before, &reader, screen),
            None => reader.check(before),
        };
        let (Some(was), Some(is)) = (was, reader.check(after)) else { return Exit::Trouble };
        let comparison = compare(&was, &is, reader.limits());
        let sides = self.sides(&was, &is);
        let exit = if comparison.is_empty() { Exit::Fine } else { Exit::Findings };
        if self.quiet && self.output.is_screen() {
            return exit;
        }
        let path = self.output.path().map(|path| match self.output.is_folder() {
            true => path.join("changes").with_extension(self.ending()),
            false => path.to_path_buf(),
        });
        let (width, colour) = match path {
            Some(_) => (screen.file_width, screen.file_colour),
            None => (screen.width, screen.stdout_colour),
        };
        let width = u16::try_from(width).unwrap_or(u16::MAX);
        let mut content = |out: &mut dyn Write| self.print(&comparison, &sides, (width, colour), out);
        exit.worst(give(path.as_deref(), &reader.inputs(), self.quiet, screen, &mut content))
    }

    fn ending(&self) -> &'static str {
        match self.format {
            Format::Text => "txt",
            Format::Markdown => "md",
            Format::Json => "json",
        }
    }

    /// What the two versions are called.
    fn sides(&self, was: &Compiled, is: &Compiled) -> Sides {
        let name = |compiled: &Compiled| super::jobs::name(compiled).to_owned();
        match &self.since {
            Some(revision) => {
                let revision = escaped(&revision.to_string_lossy());
                Sides { before: format!("{} at {revision}", name(was)), after: format!("{} now", name(is)) }
            }
            None => Sides { before: name(was), after: name(is) },
        }
    }

    /// The job as it was at a revision; nothing, and a complaint, if that cannot be read.
    fn at(&self, revision: &OsStr, file: &OsStr, reader: &Reader, screen: &Screen) -> Option<Compiled> {
        let told = escaped(&revision.to_string_lossy());
        if file == "-" {
            screen.complain("standard input has no revisions: name a file for `--since`");
            return None;
        }
        let read = Revision::new(Path::new(file), revision, self.root.as_deref()).and_then(|files| {
            compile::check(&files, "", reader.limits()).map_err(|Unread::Trouble(trouble)| {
                let name = super::disk::shown(Path::new(file));
                match trouble {
                    Trouble::Missing { .. } => format!("`{name}` is not there at `{told}`"),
                    Trouble::NotAFile => format!("`{name}` is not a plain file at `{told}`"),
                    Trouble::TooLarge { .. } => format!("`{name}` is too large to be a job at `{told}`"),
                    Trouble::Unreadable(why) => format!("`{name}` cannot be read at `{told}`: {why}"),
                    Trouble::Outside { .. } | Trouble::NotRelative | Trouble::BadName(_) => {
                        format!("`{name}` cannot be read at `{told}`")
                    }
                }
            })
        });
        read.map_err(|why| screen.complain(&why)).ok()
    }

    fn print(
        &self,
        comparison: &Comparison,
        sides: &Sides,
        (width, colour): (u16, bool),
        out: &mut dyn Write,
    ) -> io::Result<()> {
        match self.format {
            Format::Json => json::changes(comparison, sides, out),
            Format::Markdown => print::markdown(&changes(comparison, sides), out),
            Format::Text => print::terminal(&changes(comparison, sides), width, colour, out),
        }
    }
}

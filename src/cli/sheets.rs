//! Papers that are mostly tables, as several commands print them: for the screen, for Markdown readers, for spreadsheets and,
//! where there is such a text, for programs.

use std::{
    io::{self, Write},
    path::Path,
};

use clap::ValueEnum;

use super::{
    arguments::{Judging, Reading},
    jobs,
    papers::{Layout, Output, Press, Run},
    screen::{Exit, Screen},
};
use crate::{
    compile::Compiled,
    problem,
    reports::{Paper, print},
    source::escaped,
};

/// How a paper of tables is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// Laid out for the screen
    Text,
    /// For printing through any Markdown reader
    Markdown,
    /// For a spreadsheet
    Csv,
    /// For programs
    Json,
}

impl Format {
    /// What it is called in the names of files.
    pub fn suffix(self) -> &'static str {
        match self {
            Format::Text => "txt",
            Format::Markdown => "md",
            Format::Csv => "csv",
            Format::Json => "json",
        }
    }
}

/// Writes jobs as one text for programs.
type Texts = fn(&[(&str, &Compiled)], &mut dyn Write) -> io::Result<()>;

/// What one job adds to that text.
type Part = fn(&str, &Compiled) -> io::Result<Vec<u8>>;

/// What a command prints of a job.
pub struct Sheets<'s> {
    /// The command's word, which stands in the names of files.
    pub word: &'static str,
    /// What the paper is called in a complaint.
    pub called: &'static str,
    /// How it is printed.
    pub format: Format,
    /// The only table that is wanted, if it is one.
    pub table: Option<&'s str>,
    /// The paper of a job.
    pub paper: fn(&Compiled) -> Paper<'_>,
    /// The text for programs, of all jobs and of one.
    pub json: (Texts, Part),
    /// Whether it needs the worked numbers.
    pub numbers: fn(Format) -> bool,
    /// What several jobs come to together stands behind them.
    pub adds_up: bool,
}

impl Sheets<'_> {
    /// Prints the papers.
    pub fn run(&self, reading: &Reading, judging: &Judging, output: &Output, screen: &Screen) -> Exit {
        if self.table.is_some() && self.format != Format::Csv {
            screen.complain("one table alone is printed only as CSV; write `--format csv` with `--table`");
            return Exit::Trouble;
        }
        if self.format == Format::Csv && several(reading) && output.is_screen() {
            screen.complain("the CSV of several jobs needs a folder to go to; write `-o papers/`");
            return Exit::Trouble;
        }
        Run { reading, judging, output, press: self, screen }.run()
    }
}

/// Whether several jobs may be read: several files, or a folder.
pub fn several(reading: &Reading) -> bool {
    reading.files.len() > 1 || reading.files.iter().any(|file| Path::new(file).is_dir())
}

impl Press for Sheets<'_> {
    fn word(&self) -> &'static str {
        self.word
    }

    fn suffix(&self) -> &'static str {
        self.format.suffix()
    }

    fn refuses(&self, job: &Compiled) -> Option<String> {
        let wanted = self.table?;
        let paper = (self.paper)(job);
        if paper.table(wanted).is_some() {
            return None;
        }
        let names: Vec<&str> = paper.tables().map(|table| table.name).collect();
        let there = match names.as_slice() {
            [] => "it has no tables".into(),
            names => format!("there is {}", problem::and(names)),
        };
        Some(format!("the {} of `{}` has no table `{}`: {there}", self.called, jobs::name(job), escaped(wanted)))
    }

    fn needs_numbers(&self) -> bool {
        (self.numbers)(self.format)
    }

    fn one_text(&self) -> bool {
        self.format == Format::Json
    }

    fn print(&self, jobs: &[(&str, &Compiled)], layout: Layout, out: &mut dyn Write) -> io::Result<()> {
        if self.one_text() {
            return self.json.0(jobs, out);
        }
        jobs.iter().try_for_each(|(_, job)| self.page(&(self.paper)(job), layout, out))
    }

    fn part(&self, name: &str, job: &Compiled) -> io::Result<Vec<u8>> {
        self.json.1(name, job)
    }

    fn adds_up(&self) -> bool {
        self.adds_up
    }

    fn index(&self) -> Option<String> {
        // One table alone is asked for by a program, which has no use for a page that leads to others.
        let is_read = self.adds_up && self.table.is_none() && !self.one_text();
        is_read.then(|| format!("{}.index.{}", self.word, self.suffix()))
    }

    fn page(&self, paper: &Paper, layout: Layout, out: &mut dyn Write) -> io::Result<()> {
        match (self.format, self.table) {
            (Format::Csv, Some(name)) => paper.table(name).map_or(Ok(()), |table| print::csv(table, out)),
            (Format::Csv, None) => print::csv_all(paper, out),
            (Format::Markdown, _) => print::markdown(paper, out),
            (Format::Text | Format::Json, _) => print::terminal(paper, layout.width, layout.colour, out),
        }
    }
}

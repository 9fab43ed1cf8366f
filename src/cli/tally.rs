//! `tally`: prints all quantities of a job.

use std::{
    io::{self, Write},
    path::Path,
};

use clap::{Args, ValueEnum};

use super::{
    TEMPLATE,
    arguments::{Judging, Reading},
    jobs,
    papers::{Layout, Output, Press, Run},
    screen::{Exit, Screen},
};
use crate::{
    compile::Compiled,
    problem,
    reports::{Paper, json, print, tally},
    source::escaped,
};

/// Print the tally: all quantities of a job
#[derive(Debug, Args)]
#[command(help_template = TEMPLATE, before_help = "\
Concrete, bags, water, holes, resin and steel, as tables. For a spreadsheet there is CSV, all tables or one of \
them, with plain numbers; for other programs there is JSON.")]
#[command(after_help = "\
Examples:
  batterboard tally shed.job                                show all quantities
  batterboard tally shed.job --format csv -o shed.csv       all tables, for a spreadsheet
  batterboard tally shed.job --format csv --table holes     one table only
  batterboard tally jobs/*.job -o papers/                   one file a job, named by its title
  batterboard tally jobs                                    all jobs of a folder, then one buy list

Of several jobs each is told, then what they come to together; like things are added up before packs are rounded. A \
folder stands for every file under it whose name ends in .job and that holds a `job` block; what is only included by \
others is no job. Links to folders and names that begin with a dot are passed over.

A file is written whole or not at all, and a job file is never written over.

Exit: 0 fine; 1 at least one error in a job; 2 something could not be read or written.")]
pub struct Tally {
    #[command(flatten)]
    reading: Reading,
    #[command(flatten)]
    output: Output,
    /// Print it as text, markdown, csv (for a spreadsheet) or json (for programs)
    #[arg(long, value_name = "FORMAT", hide_possible_values = true, default_value = "text")]
    format: Format,
    /// With `--format csv`, only the table of this name
    #[arg(long, value_name = "NAME")]
    table: Option<String>,
    #[command(flatten)]
    judging: Judging,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// Laid out for the screen
    Text,
    /// For printing through any Markdown reader
    Markdown,
    /// For a spreadsheet
    Csv,
    /// For programs
    Json,
}

impl Tally {
    /// Prints the tallies.
    pub fn run(&self, screen: &Screen) -> Exit {
        if self.table.is_some() && self.format != Format::Csv {
            screen.complain("one table alone is printed only as CSV; write `--format csv` with `--table`");
            return Exit::Trouble;
        }
        let several = self.reading.files.len() > 1 || self.reading.files.iter().any(|file| Path::new(file).is_dir());
        if self.format == Format::Csv && several && self.output.is_screen() {
            screen.complain("the CSV of several jobs needs a folder to go to; write `-o papers/`");
            return Exit::Trouble;
        }
        Run { reading: &self.reading, judging: &self.judging, output: &self.output, press: self, screen }.run()
    }
}

impl Press for Tally {
    fn ending(&self) -> &'static str {
        match self.format {
            Format::Text => "tally.txt",
            Format::Markdown => "tally.md",
            Format::Csv => "tally.csv",
            Format::Json => "tally.json",
        }
    }

    fn refuses(&self, job: &Compiled) -> Option<String> {
        let wanted = self.table.as_deref()?;
        let paper = tally(job);
        if paper.table(wanted).is_some() {
            return None;
        }
        let names: Vec<&str> = paper.tables().map(|table| table.name).collect();
        let there = match names.as_slice() {
            [] => "it has no tables".into(),
            names => format!("there is {}", problem::and(names)),
        };
        Some(format!("the tally of `{}` has no table `{}`: {there}", jobs::name(job), escaped(wanted)))
    }

    fn needs_numbers(&self) -> bool {
        self.format == Format::Json
    }

    fn one_text(&self) -> bool {
        self.format == Format::Json
    }

    fn print(&self, jobs: &[(&str, &Compiled)], layout: Layout, out: &mut dyn Write) -> io::Result<()> {
        if self.format == Format::Json {
            return json::tally(jobs, out);
        }
        for (_, job) in jobs {
            let paper = tally(job);
            match (self.format, self.table.as_deref()) {
                (Format::Csv, Some(name)) => paper.table(name).map_or(Ok(()), |table| print::csv(table, out))?,
                (Format::Csv, None) => print::csv_all(&paper, out)?,
                (Format::Markdown, _) => print::markdown(&paper, out)?,
                (Format::Text | Format::Json, _) => print::terminal(&paper, layout.width, layout.colour, out)?,
            }
        }
        Ok(())
    }

    fn part(&self, name: &str, job: &Compiled) -> io::Result<Vec<u8>> {
        json::tally_part(name, job)
    }

    fn adds_up(&self) -> bool {
        true
    }

    fn index(&self) -> Option<&'static str> {
        match self.format {
            Format::Text => Some("index.txt"),
            Format::Markdown => Some("index.md"),
            Format::Csv | Format::Json => None,
        }
    }

    fn page(&self, paper: &Paper, layout: Layout, out: &mut dyn Write) -> io::Result<()> {
        match self.format {
            Format::Markdown => print::markdown(paper, out),
            _ => print::terminal(paper, layout.width, layout.colour, out),
        }
    }
}

//! `record`: prints what was planned, what was done, and what is still blank.

use std::io::{self, Write};

use clap::{Args, ValueEnum};

use super::{
    TEMPLATE,
    arguments::{Judging, Reading},
    papers::{Layout, Output, Press, Run},
    screen::{Exit, Screen},
};
use crate::{
    compile::Compiled,
    reports::{json, print, record},
};

/// Print the record: what was planned, what was done, and what is still blank
#[derive(Debug, Args)]
#[command(help_template = TEMPLATE, before_help = "\
What the `record` blocks of a job say is laid over its plan: every step, look, hole, bar and pour with what was planned and \
what came of it, and what nobody has written down yet.")]
#[command(after_help = "\
Examples:
  batterboard record shed.job                           show the record
  batterboard record shed.job --format csv -o shed.csv  all its tables, for a spreadsheet
  batterboard record shed.job --format json             for other programs

A file is written whole or not at all, and a job file is never written over.

Exit: 0 fine; 1 at least one error in a job; 2 something could not be read or written.")]
pub struct Record {
    #[command(flatten)]
    reading: Reading,
    #[command(flatten)]
    output: Output,
    /// Print it as text, markdown, csv (for a spreadsheet) or json (for programs)
    #[arg(long, value_name = "FORMAT", hide_possible_values = true, default_value = "text")]
    format: Format,
    #[command(flatten)]
    judging: Judging,
}

/// How it is printed.
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

impl Record {
    /// Prints the records.
    pub fn run(&self, screen: &Screen) -> Exit {
        if self.format == Format::Csv && self.reading.files.len() > 1 && self.output.is_screen() {
            screen.complain("the CSV of several jobs needs a folder to go to; write `-o papers/`");
            return Exit::Trouble;
        }
        let (reading, judging, output) = (&self.reading, &self.judging, &self.output);
        Run { reading, judging, output, press: &self.format, screen }.run()
    }
}

impl Press for Format {
    fn ending(&self) -> &'static str {
        match self {
            Format::Text => "record.txt",
            Format::Markdown => "record.md",
            Format::Csv => "record.csv",
            Format::Json => "record.json",
        }
    }

    fn refuses(&self, _: &Compiled) -> Option<String> {
        None
    }

    fn one_text(&self) -> bool {
        *self == Format::Json
    }

    fn print(&self, jobs: &[(&str, &Compiled)], layout: Layout, out: &mut dyn Write) -> io::Result<()> {
        if *self == Format::Json {
            return json::record(jobs, out);
        }
        for (_, job) in jobs {
            let paper = record(job);
            match self {
                Format::Csv => print::csv_all(&paper, out)?,
                Format::Markdown => print::markdown(&paper, out)?,
                Format::Text | Format::Json => print::terminal(&paper, layout.width, layout.colour, out)?,
            }
        }
        Ok(())
    }

    fn part(&self, name: &str, job: &Compiled) -> io::Result<Vec<u8>> {
        json::record_part(name, job)
    }
}

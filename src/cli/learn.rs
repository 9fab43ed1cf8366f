//! `learn`: prints what finished jobs teach.

use std::io::{self, Write};

use clap::Args;

use super::{
    TEMPLATE,
    arguments::{Judging, Reading},
    papers::{Layout, Output, Press, Run},
    screen::{Exit, Screen},
    sheets::Format,
};
use crate::{
    compile::Compiled,
    reports::{json, learn, print},
};

/// Learn from finished jobs: minutes for a hole, a bar, a batch; waste; how long blades last
#[derive(Debug, Args)]
#[command(help_template = TEMPLATE, before_help = "\
From what is recorded in several jobs come the least, the middle and the most of each figure, with what they rest on, and clauses \
to paste into your own files. Fewer than three jobs are told and not made a habit of.")]
#[command(after_help = "\
Examples:
  batterboard learn done/*.job                     show what they teach
  batterboard learn done/*.job --format json       for other programs

Jobs with errors are left out, and named.

Exit: 0 fine; 1 at least one error in a job; 2 something could not be read or written.")]
pub struct Learn {
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

impl Learn {
    /// Prints what they teach.
    pub fn run(&self, screen: &Screen) -> Exit {
        let (reading, judging, output) = (&self.reading, &self.judging, &self.output);
        Run { reading, judging, output, press: self, screen }.run()
    }
}

impl Press for Learn {
    fn word(&self) -> &'static str {
        "lessons"
    }

    fn suffix(&self) -> &'static str {
        self.format.suffix()
    }

    fn refuses(&self, _: &Compiled) -> Option<String> {
        None
    }

    fn needs_numbers(&self) -> bool {
        false
    }

    fn one_text(&self) -> bool {
        true
    }

    fn of_all(&self) -> bool {
        true
    }

    /// Nothing is learned of one job alone.
    fn part(&self, name: &str, job: &Compiled) -> io::Result<Vec<u8>> {
        let mut part = Vec::new();
        json::learn(&[(name, job)], &mut part)?;
        Ok(part)
    }

    fn print(&self, jobs: &[(&str, &Compiled)], layout: Layout, out: &mut dyn Write) -> io::Result<()> {
        if self.format == Format::Json {
            return json::learn(jobs, out);
        }
        let paper = learn(jobs);
        match self.format {
            Format::Csv => print::csv_all(&paper, out),
            Format::Markdown => print::markdown(&paper, out),
            Format::Text | Format::Json => print::terminal(&paper, layout.width, layout.colour, out),
        }
    }
}

//! `days`: prints the day plan.

use std::io::{self, Write};

use clap::{Args, ValueEnum};

use super::{
    TEMPLATE,
    arguments::{Judging, Reading},
    papers::{Layout, Output, Press, Run},
    screen::{Exit, Screen},
    sheets::several,
};
use crate::{
    compile::Compiled,
    reports::{calendar, day_plan, print},
};

/// Print the day plan: what is done on each day, and what must be there
#[derive(Debug, Args)]
#[command(help_template = TEMPLATE, before_help = "\
Bars of the whole job, whom to ask and to call by when, each day with its steps, hours and looks, what must be \
on site, the care of young concrete. As a calendar file it goes into any calendar program.")]
#[command(after_help = "\
Examples:
  batterboard days shed.job                                  show the day plan
  batterboard days shed.job --format markdown -o days.md     write it to a file
  batterboard days shed.job --format calendar -o shed.ics    for a calendar program

A job that does not say when it starts has no days: write `start 2027-05-03` in `job`.
A file is written whole or not at all, and a job file is never written over.

Exit: 0 fine; 1 at least one error in a job; 2 something could not be read or written.")]
pub struct DayPlan {
    #[command(flatten)]
    reading: Reading,
    #[command(flatten)]
    output: Output,
    /// Print it as text, markdown, csv (for a spreadsheet) or calendar (iCalendar, RFC 5545)
    #[arg(long, value_name = "FORMAT", hide_possible_values = true, default_value = "text")]
    format: Format,
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
    /// For a calendar program
    Calendar,
}

impl DayPlan {
    /// Prints the day plans.
    pub fn run(&self, screen: &Screen) -> Exit {
        let alone = matches!(self.format, Format::Csv | Format::Calendar);
        if alone && several(&self.reading) && self.output.is_screen() {
            screen.complain("several jobs in this format need a folder to go to; write `-o papers/`");
            return Exit::Trouble;
        }
        let (reading, judging, output) = (&self.reading, &self.judging, &self.output);
        Run { reading, judging, output, press: &self.format, screen }.run()
    }
}

impl Press for Format {
    fn word(&self) -> &'static str {
        "days"
    }

    fn suffix(&self) -> &'static str {
        match self {
            Format::Text => "txt",
            Format::Markdown => "md",
            Format::Csv => "csv",
            Format::Calendar => "ics",
        }
    }

    fn refuses(&self, _: &Compiled) -> Option<String> {
        None
    }

    fn one_text(&self) -> bool {
        false
    }

    fn print(&self, jobs: &[(&str, &Compiled)], layout: Layout, out: &mut dyn Write) -> io::Result<()> {
        for (_, job) in jobs {
            match self {
                Format::Text => print::terminal(&day_plan(job), layout.width, layout.colour, out)?,
                Format::Markdown => print::markdown(&day_plan(job), out)?,
                Format::Csv => print::csv_all(&day_plan(job), out)?,
                Format::Calendar => calendar(job, out)?,
            }
        }
        Ok(())
    }

    fn part(&self, _: &str, job: &Compiled) -> io::Result<Vec<u8>> {
        let mut part = Vec::new();
        calendar(job, &mut part)?;
        Ok(part)
    }
}

//! `buy`: prints what is bought, hired and paid, and what it costs.

use std::io::{self, Write};

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
    reports::{buy, json, print},
    source::escaped,
};

/// Print what to buy, hire and pay for a job, and what it costs
#[derive(Debug, Args)]
#[command(help_template = TEMPLATE, before_help = "\
Everything in whole packs, what is hired for which days, fees and deliveries; what it costs by line, by stage and by \
supplier where prices are written; trips of the truck, and what is left over. What has no price is named and counted in no sum.")]
#[command(after_help = "\
Examples:
  batterboard buy shed.job                                show all of it
  batterboard buy shed.job --format csv -o shed.csv       all tables, for a spreadsheet
  batterboard buy shed.job --format csv --table stages    one table only
  batterboard buy jobs/*.job -o papers/                   one file a job, named by its title

A file is written whole or not at all, and a job file is never written over.

Exit: 0 fine; 1 at least one error in a job; 2 something could not be read or written.")]
pub struct Buy {
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

impl Buy {
    /// Prints the tallies.
    pub fn run(&self, screen: &Screen) -> Exit {
        if self.table.is_some() && self.format != Format::Csv {
            screen.complain("one table alone is printed only as CSV; write `--format csv` with `--table`");
            return Exit::Trouble;
        }
        if self.format == Format::Csv && self.reading.files.len() > 1 && self.output.is_screen() {
            screen.complain("the CSV of several jobs needs a folder to go to; write `-o papers/`");
            return Exit::Trouble;
        }
        Run { reading: &self.reading, judging: &self.judging, output: &self.output, press: self, screen }.run()
    }
}

impl Press for Buy {
    fn ending(&self) -> &'static str {
        match self.format {
            Format::Text => "buy.txt",
            Format::Markdown => "buy.md",
            Format::Csv => "buy.csv",
            Format::Json => "buy.json",
        }
    }

    fn refuses(&self, job: &Compiled) -> Option<String> {
        let wanted = self.table.as_deref()?;
        let paper = buy(job);
        if paper.table(wanted).is_some() {
            return None;
        }
        let names: Vec<&str> = paper.tables().map(|table| table.name).collect();
        let there = match names.as_slice() {
            [] => "it has no tables".into(),
            names => format!("there is {}", problem::and(names)),
        };
        Some(format!("the bill of `{}` has no table `{}`: {there}", jobs::name(job), escaped(wanted)))
    }

    fn needs_numbers(&self) -> bool {
        false
    }

    fn one_text(&self) -> bool {
        self.format == Format::Json
    }

    fn print(&self, jobs: &[(&str, &Compiled)], layout: Layout, out: &mut dyn Write) -> io::Result<()> {
        if self.format == Format::Json {
            return json::buying(jobs, out);
        }
        for (_, job) in jobs {
            let paper = buy(job);
            match (self.format, self.table.as_deref()) {
                (Format::Csv, Some(name)) => paper.table(name).map_or(Ok(()), |table| print::csv(table, out))?,
                (Format::Csv, None) => print::csv_all(&paper, out)?,
                (Format::Markdown, _) => print::markdown(&paper, out)?,
                (Format::Text | Format::Json, _) => print::terminal(&paper, layout.width, layout.colour, out)?,
            }
        }
        Ok(())
    }
}

//! `order`: prints the work order.

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
    reports::{
        Paper, json, order, order_page,
        print::{self, Live},
    },
};

/// Print the work order: the paper a job is built from
#[derive(Debug, Args)]
#[command(help_template = TEMPLATE, before_help = "\
It follows the order the work is done in, with boxes to tick and blanks to fill. A job with errors is printed \
too, marked as a draft; its errors and warnings come on the screen beside it.")]
#[command(after_help = "\
Examples:
  batterboard order shed.job                   show the work order
  batterboard order shed.job -o shed.md        write it to a file
  batterboard order jobs/*.job -o papers/      one file a job, named by its title, and an index
  batterboard order shed.job --format html -o shed.html   a page for the site, with drawings
  batterboard order jobs -o papers/            all jobs of a folder, where they lie in it, and an index
  batterboard order shed.job --format text     laid out for the screen

A folder stands for every file under it whose name ends in .job and that holds a `job` block; what is only included \
by others is no job. Links to folders and names that begin with a dot are passed over.

A file is written whole or not at all, and a job file is never written over.

Exit: 0 fine; 1 at least one error in a job; 2 something could not be read or written.")]
pub struct Order {
    #[command(flatten)]
    reading: Reading,
    #[command(flatten)]
    output: Output,
    /// Print it as markdown, for any Markdown reader, as html, one page with drawings that needs no network, as text, laid
    /// out for the screen, or as json, for programs
    #[arg(long, value_name = "FORMAT", hide_possible_values = true, default_value = "markdown")]
    format: Format,
    #[command(flatten)]
    judging: Judging,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For printing through any Markdown reader
    Markdown,
    /// Laid out for the screen
    Text,
    /// One page for a browser, with drawings
    Html,
    /// For programs: steps, days, pours, forms, curing
    Json,
}

impl Order {
    /// Prints the work orders.
    pub fn run(&self, screen: &Screen) -> Exit {
        let (reading, judging, output) = (&self.reading, &self.judging, &self.output);
        Run { reading, judging, output, press: &self.format, screen }.run()
    }
}

impl Press for Format {
    fn word(&self) -> &'static str {
        "order"
    }

    fn suffix(&self) -> &'static str {
        match self {
            Format::Markdown => "md",
            Format::Text => "txt",
            Format::Html => "html",
            Format::Json => "json",
        }
    }

    fn refuses(&self, _: &Compiled) -> Option<String> {
        None
    }

    fn needs_numbers(&self) -> bool {
        *self != Format::Json
    }

    fn one_text(&self) -> bool {
        *self == Format::Json
    }

    fn print(&self, jobs: &[(&str, &Compiled)], layout: Layout, out: &mut dyn Write) -> io::Result<()> {
        if *self == Format::Json {
            return json::order(jobs, out);
        }
        for (_, job) in jobs {
            match self {
                Format::Markdown => print::markdown(&order(job), out)?,
                Format::Html => order_page(job, Live::No, out)?,
                Format::Text | Format::Json => print::terminal(&order(job), layout.width, layout.colour, out)?,
            }
        }
        Ok(())
    }

    fn part(&self, name: &str, job: &Compiled) -> io::Result<Vec<u8>> {
        json::order_part(name, job)
    }

    fn index(&self) -> Option<String> {
        (!self.one_text()).then(|| format!("index.{}", self.suffix()))
    }

    fn page(&self, paper: &Paper, layout: Layout, out: &mut dyn Write) -> io::Result<()> {
        match self {
            Format::Markdown => print::markdown(paper, out),
            Format::Html => print::page(paper, "", Live::No, out),
            Format::Text | Format::Json => print::terminal(paper, layout.width, layout.colour, out),
        }
    }
}

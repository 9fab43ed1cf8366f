//! `check`: says what cannot be built as written.

use std::{
    ffi::OsString,
    io::{self, Write as _},
};

use clap::{Args, ValueEnum};

use super::{
    TEMPLATE,
    arguments::{Judging, Reading},
    findings::{self, Closing, Showing},
    jobs::{self, Reader},
    screen::{Exit, Out, Screen},
};
use crate::{compile::Compiled, problem::Level, reports::json};

/// Check jobs and say what cannot be built as written
#[derive(Debug, Args)]
#[command(help_template = TEMPLATE, before_help = "\
Every finding shows its place in the file and on the wall, both numbers, and what to type instead. \
`batterboard explain NAME` says more about any of them.")]
#[command(after_help = "\
Examples:
  batterboard check shed.job                 check one job
  batterboard check jobs/*.job --strict      check many; warnings count as errors
  batterboard check - < shed.job             check what comes in on standard input
  batterboard check shed.job --format json   findings for other programs

Exit: 0 fine; 1 at least one error; 2 a job could not be read.")]
pub struct Check {
    #[command(flatten)]
    reading: Reading,
    #[command(flatten)]
    judging: Judging,
    /// Print findings as text or json
    #[arg(long, value_name = "FORMAT", hide_possible_values = true, default_value = "text")]
    format: Format,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For people
    Text,
    /// For programs
    Json,
}

impl Check {
    /// Checks the jobs.
    pub fn run(&self, screen: &Screen) -> Exit {
        let Some(reader) = Reader::new(&self.reading, self.judging.root.as_deref(), screen) else {
            return Exit::Trouble;
        };
        let mut out = Out::stdout();
        let mut exit = Exit::Fine;
        let printed = match self.format {
            Format::Text => self.text(&reader, screen, &mut out, &mut exit),
            Format::Json => self.json(&reader, &mut out, &mut exit),
        };
        exit.worst(out.finish(printed, &mut io::stderr()))
    }

    fn text(&self, reader: &Reader, screen: &Screen, out: &mut Out, exit: &mut Exit) -> io::Result<()> {
        let showing = Showing {
            colour: screen.stdout_colour,
            width: screen.width,
            mildest: if self.judging.quiet { Level::Warning } else { Level::Advice },
            most: reader.limits().shown,
            closing: if self.judging.quiet { Closing::Never } else { Closing::Always },
        };
        for file in &self.reading.files {
            if let Some(compiled) = self.job(reader, file, exit) {
                findings::show(&compiled, &showing, out)?;
                // Before anything about the next job can come on stderr.
                out.flush()?;
            }
        }
        Ok(())
    }

    fn json(&self, reader: &Reader, out: &mut Out, exit: &mut Exit) -> io::Result<()> {
        let mut jobs = Vec::new();
        for file in &self.reading.files {
            if let Some(mut compiled) = self.job(reader, file, exit) {
                if self.judging.quiet {
                    compiled.problems.retain(|problem| problem.rule.level != Level::Advice);
                }
                jobs.push(compiled);
            }
        }
        let named: Vec<(&str, &Compiled)> = jobs.iter().map(|job| (jobs::name(job), job)).collect();
        json::findings(&named, out)
    }

    fn job(&self, reader: &Reader, file: &OsString, exit: &mut Exit) -> Option<Compiled> {
        let compiled = reader.check(file);
        let one = compiled.as_ref().map_or(Exit::Trouble, |compiled| findings::exit(compiled, self.judging.strict));
        *exit = exit.worst(one);
        compiled
    }
}

//! `record`: prints what was planned, what was done, and what is still blank.

use clap::Args;

use super::{
    TEMPLATE,
    arguments::{Judging, Reading},
    papers::Output,
    screen::{Exit, Screen},
    sheets::{Format, Sheets},
};
use crate::reports::{json, record};

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

impl Record {
    /// Prints the records.
    pub fn run(&self, screen: &Screen) -> Exit {
        let sheets = Sheets {
            word: "record",
            called: "record",
            format: self.format,
            table: None,
            paper: record,
            json: (json::record, json::record_part),
            // What was planned stands beside what was done only where the job is worked in full.
            numbers: |_| true,
            adds_up: false,
        };
        sheets.run(&self.reading, &self.judging, &self.output, screen)
    }
}

//! `tally`: prints all quantities of a job.

use clap::Args;

use super::{
    TEMPLATE,
    arguments::{Judging, Reading},
    papers::Output,
    screen::{Exit, Screen},
    sheets::{Format, Sheets},
};
use crate::reports::{json, tally};

/// Print the tally: all quantities of a job
#[derive(Debug, Args)]
#[command(help_template = TEMPLATE, before_help = "\
Concrete, bags, water, holes, resin and steel, as tables. For a spreadsheet there is CSV, all tables or one of \
them, with plain numbers; for other programs there is JSON.")]
#[command(after_help = "\
Examples:
  batterboard tally shed.job                                show all quantities
  batterboard tally shed.job --format csv -o shed.csv       all tables, for a spreadsheet
  batterboard tally shed.job --format csv --table hole-sets one table only
  batterboard tally jobs/*.job -o papers/                   one file a job, named by its title, and an index
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

impl Tally {
    /// Prints the tallies.
    pub fn run(&self, screen: &Screen) -> Exit {
        let sheets = Sheets {
            word: "tally",
            called: "tally",
            format: self.format,
            table: self.table.as_deref(),
            paper: tally,
            json: (json::tally, json::tally_part),
            numbers: |format| format == Format::Json,
            adds_up: true,
        };
        sheets.run(&self.reading, &self.judging, &self.output, screen)
    }
}

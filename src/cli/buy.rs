//! `buy`: prints what is bought, hired and paid, and what it costs.

use clap::Args;

use super::{
    TEMPLATE,
    arguments::{Judging, Reading},
    papers::Output,
    screen::{Exit, Screen},
    sheets::{Format, Sheets},
};
use crate::reports::{buy, json};

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
  batterboard buy jobs/*.job -o papers/                   one file a job, named by its title, and an index
  batterboard buy jobs                                    all jobs of a folder, then one list for the shop

Of several jobs each is told, then what they come to together; like things are added up before packs are rounded, at \
their price where one is written. A folder stands for every file under it whose name ends in .job and that holds a `job` \
block; what is only included by others is no job. Links to folders and names that begin with a dot are passed over.

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

impl Buy {
    /// Prints the bills.
    pub fn run(&self, screen: &Screen) -> Exit {
        let sheets = Sheets {
            word: "buy",
            called: "bill",
            format: self.format,
            table: self.table.as_deref(),
            paper: buy,
            json: (json::buying, json::buying_part),
            numbers: |_| false,
            adds_up: true,
        };
        sheets.run(&self.reading, &self.judging, &self.output, screen)
    }
}

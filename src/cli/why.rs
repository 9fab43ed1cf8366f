//! `why`: shows how a number came about.

use std::{
    ffi::{OsStr, OsString},
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
    ledger::Ledger,
    problem::{self, nearest},
    reports::{json, numbers, print, why},
    source::escaped,
};

/// Show how a number came about, or list all numbers of a job
#[derive(Debug, Args)]
#[command(
    help_template = TEMPLATE,
    override_usage = "batterboard why [OPTIONS] [NAME] <JOB>...",
    before_help = "\
Every number on the papers has a name: wall.bags for the bags of the pour `wall`. It is shown with its formula, \
the values in it, the line each was typed in, and the source of the rule; numbers it is made from follow. A first \
word that is not `-`, does not end in `.job` and has no `/` is a name.",
    after_help = "\
Examples:
  batterboard why shed.job                          list all numbers
  batterboard why wall.bags shed.job                show how one came about
  batterboard why total shed.job                    show what the job costs, line by line
  batterboard why wall.bags shed.job --format json  the same, for programs

Exit: 0 fine; 1 at least one error in a job; 2 something could not be read or written, or no number has this name."
)]
pub struct Why {
    #[command(flatten)]
    reading: Reading,
    #[command(flatten)]
    output: Output,
    /// Print it as text, markdown or json (for programs)
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
    /// For programs
    Json,
}

/// How many names an unknown one is answered with.
const NEAR_AT_MOST: usize = 12;

impl Why {
    /// Shows the number, or lists them.
    pub fn run(self, screen: &Screen) -> Exit {
        let Why { mut reading, output, format, judging } = self;
        let number = match (reading.files.first().filter(|first| is_name(first)), reading.files.len()) {
            (Some(name), 1) if !Path::new(name).exists() => {
                let name = name.to_string_lossy();
                screen.complain(&format!(
                    "no job file is named; write it behind the name, as in `batterboard why {} shed.job`",
                    escaped(&name)
                ));
                return Exit::Trouble;
            }
            (None, _) | (Some(_), 1) => None,
            (Some(_), _) => Some(reading.files.remove(0).to_string_lossy().into_owned()),
        };
        // The total is asked for most, and no other number goes by one word.
        let number = number.map(|number| if number == "total" { "buy.total".to_owned() } else { number });
        let press = Asked { number, format };
        Run { reading: &reading, judging: &judging, output: &output, press: &press, screen }.run()
    }
}

/// Whether a first word is the name of a number, not of a job file.
fn is_name(word: &OsString) -> bool {
    let is_job = Path::new(word).extension() == Some(OsStr::new("job"));
    word != "-" && !is_job && !word.is_empty() && !word.to_string_lossy().contains(std::path::is_separator)
}

/// What is asked for.
struct Asked {
    number: Option<String>,
    format: Format,
}

impl Press for Asked {
    fn word(&self) -> &'static str {
        "why"
    }

    fn suffix(&self) -> &'static str {
        match self.format {
            Format::Text => "txt",
            Format::Markdown => "md",
            Format::Json => "json",
        }
    }

    fn refuses(&self, job: &Compiled) -> Option<String> {
        let name = self.number.as_deref()?;
        let ledger = &job.works.ledger;
        match ledger.id(name) {
            Some(_) => None,
            None => Some(unknown(name, ledger, jobs::name(job))),
        }
    }

    fn one_text(&self) -> bool {
        self.format == Format::Json
    }

    fn print(&self, jobs: &[(&str, &Compiled)], layout: Layout, out: &mut dyn Write) -> io::Result<()> {
        if self.format == Format::Json {
            return json::why(jobs, self.number.as_deref(), out);
        }
        for (_, job) in jobs {
            let paper = match &self.number {
                None => Some(numbers(job)),
                Some(name) => why(job, name),
            };
            let Some(paper) = paper else { continue };
            match self.format {
                Format::Markdown => print::markdown(&paper, out)?,
                Format::Text | Format::Json => print::terminal(&paper, layout.width, layout.colour, out)?,
            }
        }
        Ok(())
    }

    fn part(&self, name: &str, job: &Compiled) -> io::Result<Vec<u8>> {
        json::why_part(name, job, self.number.as_deref())
    }
}

/// That no number has this name, the one that is meant, and those of the same block or quantity.
fn unknown(name: &str, ledger: &Ledger, file: &str) -> String {
    let names = || ledger.entries().iter().map(|entry| entry.name.as_str());
    let meant = nearest(name, names()).map_or_else(String::new, |near| format!("; `{near}` is meant?"));
    let block = name.split('.').next().unwrap_or(name);
    let quantity = name.rsplit_once('.').map_or("", |(_, quantity)| quantity);
    let of_block = |other: &str| other.split('.').next() == Some(block);
    let of_quantity = |other: &str| other.rsplit_once('.').is_some_and(|(_, other)| other == quantity);
    let mut near: Vec<&str> = names().filter(|other| of_block(other)).collect();
    if near.is_empty() {
        near = names().filter(|other| of_quantity(other)).collect();
    }
    let more = near.len().saturating_sub(NEAR_AT_MOST);
    near.truncate(NEAR_AT_MOST);
    let there = match (near.as_slice(), more) {
        ([], _) => String::new(),
        (near, 0) => format!("\nthere is {}", problem::and(near)),
        (near, more) => {
            let near: Vec<String> = near.iter().map(|name| format!("`{name}`")).collect();
            format!("\nthere is {} and {more} more", near.join(", "))
        }
    };
    format!(
        "no number of `{file}` is called `{}`{meant}{there}\n`batterboard why {file}` lists them all",
        escaped(name)
    )
}

//! `new`: writes a job to start from.

use std::path::{Path, PathBuf};

use clap::Args;

use super::{
    TEMPLATE,
    disk::shown,
    papers::{cannot_write, deliver},
    screen::{Exit, Screen},
    write::put_new,
};

/// Write a job to start from, every line of it explained
#[derive(Debug, Args)]
#[command(help_template = TEMPLATE, before_help = "\
It is a small job that can be built as it stands. Change it line by line into yours, and check it as you go. \
A file that is there already is never written over.")]
#[command(after_help = "\
Examples:
  batterboard new shed.job     write it to a new file
  batterboard new              only show it

Exit: 0 fine; 2 the file is there already or cannot be written.")]
pub struct New {
    /// The file to make; without it, or with `-`, the job is only shown
    #[arg(value_name = "FILE")]
    file: Option<PathBuf>,
    /// The same as naming the file
    #[arg(long, short, value_name = "FILE", conflicts_with = "file")]
    output: Option<PathBuf>,
}

/// The job that is written.
const JOB: &str = include_str!("new.job");

impl New {
    /// Writes it.
    pub fn run(&self, screen: &Screen) -> Exit {
        let Some(path) = self.file.as_deref().or(self.output.as_deref()).filter(|path| *path != Path::new("-")) else {
            return deliver(None, screen, JOB);
        };
        match put_new(path, JOB) {
            Ok(()) => {
                let name = shown(path);
                screen.tell(&format!("{name}: written; next: batterboard check {name}\n"));
                Exit::Fine
            }
            Err(error) => cannot_write(path, &error, screen),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        compile::compile_text,
        language::{self, Limits},
        source::{Shelf, Source},
    };

    #[test]
    fn the_starting_job_has_no_findings_and_is_in_its_one_form() {
        let limits = Limits::default();
        let compiled = compile_text(&Shelf::default(), "new.job", JOB, &limits);
        let said: Vec<_> =
            compiled.problems.iter().map(|one| (one.rule.name, one.says(compiled.job.system()))).collect();
        assert!(said.is_empty(), "{said:#?}");
        assert!(compiled.accepted.is_empty());
        assert_eq!(language::format(&Source::new("new.job", JOB), &limits), JOB);
    }
}

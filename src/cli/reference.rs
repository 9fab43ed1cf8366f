//! `reference`: prints the reference of the language.

use clap::Args;

use super::{
    TEMPLATE,
    papers::{Output, deliver},
    screen::{Exit, Screen},
};
use crate::{
    library,
    schema::{KINDS, reference},
};

/// Print the reference of the language: every kind of block and every clause
#[derive(Debug, Args)]
#[command(help_template = TEMPLATE)]
#[command(after_help = "\
Examples:
  batterboard reference | less           read it page by page
  batterboard reference -o reference.md  keep it as a file (Markdown)")]
pub struct Reference {
    #[command(flatten)]
    output: Output,
}

impl Reference {
    /// Prints it.
    pub fn run(&self, screen: &Screen) -> Exit {
        deliver(self.output.path(), screen, &reference(KINDS, &library::FILES))
    }
}

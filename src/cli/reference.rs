//! `reference`: prints the reference of the language.

use clap::Args;

use super::{
    TEMPLATE,
    papers::{Output, deliver},
    screen::{Exit, Screen},
};
use crate::{
    language::Limits,
    library,
    schema::{KINDS, reference},
};

/// Print the reference of the language: every kind of block and every clause
#[derive(Debug, Args)]
#[command(help_template = TEMPLATE)]
#[command(after_help = "\
Examples:
  batterboard reference | less           read it page by page
  batterboard reference -o reference.md  keep it as a file (Markdown)

Exit: 0 fine; 2 the file cannot be written.")]
pub struct Reference {
    #[command(flatten)]
    output: Output,
}

impl Reference {
    /// Prints it.
    pub fn run(&self, screen: &Screen) -> Exit {
        let path = self.output.path().map(|path| match self.output.is_folder() {
            true => path.join("reference.md"),
            false => path.to_path_buf(),
        });
        deliver(
            path.as_deref(),
            screen,
            &reference(KINDS, &library::FILES, &Limits::default().each().collect::<Vec<_>>()),
        )
    }
}

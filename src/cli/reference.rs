//! `reference`: prints the reference of the language.

use clap::{Args, ValueEnum};

use super::{
    TEMPLATE,
    papers::{Output, deliver},
    screen::{Exit, Screen},
};
use crate::{
    language::Limits,
    library,
    reports::json,
    schema::{KINDS, reference},
};

/// Print the reference of the language: every kind of block and every clause
#[derive(Debug, Args)]
#[command(help_template = TEMPLATE)]
#[command(after_help = "\
Examples:
  batterboard reference | less           read it page by page
  batterboard reference -o reference.md  keep it as a file (Markdown)
  batterboard reference --format json-schema -o schema.json   what the JSON of all commands holds

Exit: 0 fine; 2 the file cannot be written.")]
pub struct Reference {
    #[command(flatten)]
    output: Output,
    /// Print the language as markdown, or as json-schema what the JSON of all commands holds
    #[arg(long, value_name = "FORMAT", hide_possible_values = true, default_value = "markdown")]
    format: Format,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// The language, for any Markdown reader
    Markdown,
    /// The JSON of all commands, for programs
    JsonSchema,
}

impl Reference {
    /// Prints it.
    pub fn run(&self, screen: &Screen) -> Exit {
        let (file, text) = match self.format {
            Format::Markdown => {
                let limits = Limits::default().each().collect::<Vec<_>>();
                ("reference.md", reference(KINDS, &library::FILES, &limits))
            }
            Format::JsonSchema => ("schema.json", format!("{:#}\n", json::schema())),
        };
        let path = self.output.path().map(|path| match self.output.is_folder() {
            true => path.join(file),
            false => path.to_path_buf(),
        });
        deliver(path.as_deref(), screen, &text)
    }
}

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
    problem::nearest,
    reports::json,
    schema::{KINDS, chapters_on, reference},
    source::escaped,
};

/// Print the reference of the language: every kind of block and every clause
#[derive(Debug, Args)]
#[command(help_template = TEMPLATE)]
#[command(after_help = "\
Examples:
  batterboard reference | less           read it page by page
  batterboard reference holes lumber     the chapters on these words alone
  batterboard reference -o reference.md  keep it as a file (Markdown)
  batterboard reference --format json-schema -o schema.json   what the JSON of all commands holds

Exit: 0 fine; 2 no block or clause is called so, or the file cannot be written.")]
pub struct Reference {
    /// Kinds of block, clauses or verbs of steps; without one, the whole reference is printed
    #[arg(value_name = "WORD")]
    words: Vec<String>,
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
            Format::Markdown if !self.words.is_empty() => {
                let mut chapters: Vec<String> = Vec::new();
                for word in &self.words {
                    let found = chapters_on(word, KINDS);
                    if found.is_empty() {
                        screen.complain(&unknown(word));
                        return Exit::Trouble;
                    }
                    if !chapters.contains(&found) {
                        chapters.push(found);
                    }
                }
                ("reference.md", chapters.join("\n"))
            }
            Format::Markdown => {
                let limits = Limits::default().each().collect::<Vec<_>>();
                ("reference.md", reference(KINDS, &library::FILES, &limits))
            }
            Format::JsonSchema if !self.words.is_empty() => {
                screen.complain("the JSON of all commands is described as a whole: leave the words out");
                return Exit::Trouble;
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

fn unknown(word: &str) -> String {
    let words = KINDS.iter().flat_map(|kind| {
        let clauses = kind.fields.iter().map(|field| field.word);
        clauses.chain(kind.verbs.iter().map(|verb| verb.word)).chain([kind.word])
    });
    let meant = nearest(word, words).map_or_else(String::new, |near| format!("; `{near}` is meant?"));
    format!("no block, clause or verb is called `{}`{meant}\n`batterboard reference` has them all", escaped(word))
}

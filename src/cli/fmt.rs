//! `fmt`: puts job files into their one form.

use std::{
    io::{self, Write as _},
    path::Path,
};

use clap::Args;

use super::{
    TEMPLATE,
    arguments::Reading,
    diff,
    disk::shown,
    jobs::Reader,
    papers::cannot_write,
    screen::{Exit, Out, Screen},
    write::{Outcome, put},
};
use crate::{
    language::form,
    problem::count,
    source::{NotText, Source, decode},
};

/// Put job files into their one form: blanks, indents, empty lines
#[derive(Debug, Args)]
#[command(help_template = TEMPLATE, before_help = "\
What a file says never changes, and every comment is kept. A file that is in its form already is not touched. \
Lines that cannot be read are left as they are.")]
#[command(after_help = "\
Examples:
  batterboard fmt shed.job             rewrite the file
  batterboard fmt --diff shed.job      show what would change, and write nothing
  batterboard fmt --check jobs/*.job   name the files that would change, and write nothing
  batterboard fmt - < shed.job         standard input, formatted, to standard output

Exit: 0 fine; 1 with --check, a file would change; 2 a file could not be read or written.")]
pub struct Fmt {
    #[command(flatten)]
    reading: Reading,
    /// Write nothing; name the files that would change, and exit with 1 if there are any
    #[arg(long)]
    check: bool,
    /// Write nothing; show what would change
    #[arg(long)]
    diff: bool,
    /// No notes
    #[arg(long, short)]
    quiet: bool,
}

impl Fmt {
    /// Formats the files.
    pub fn run(&self, screen: &Screen) -> Exit {
        let Some(reader) = Reader::new(&self.reading, None, screen) else {
            return Exit::Trouble;
        };
        let mut out = Out::stdout();
        let mut exit = Exit::Fine;
        let mut printed = Ok(());
        for file in &self.reading.files {
            let Some(found) = reader.bytes(file) else {
                exit = Exit::Trouble;
                continue;
            };
            let name = found.name;
            // The mark is dropped when the bytes become text, and dropping it is a change.
            let marked = found.bytes.starts_with("\u{feff}".as_bytes());
            let text = match decode(found.bytes) {
                Ok(text) => text,
                Err(fault) => {
                    screen.complain(&not_text(&name, &fault));
                    exit = Exit::Trouble;
                    continue;
                }
            };
            let source = Source::new(name.as_str(), text);
            let new = form(&source, reader.limits());
            let changes = marked || new.text != source.text;
            let done = if self.check || self.diff {
                if self.check && changes {
                    exit = exit.worst(Exit::Findings);
                }
                self.tell_change(&source, &new.text, changes, &mut out)
            } else if file == "-" {
                out.write_all(new.text.as_bytes())
            } else {
                if changes {
                    exit = exit.worst(self.rewrite(Path::new(file), &new.text, screen));
                }
                Ok(())
            };
            printed = done.and_then(|()| out.flush());
            if printed.is_err() {
                break;
            }
            if new.left > 0 && !self.quiet {
                let lines = count(new.left, "line that cannot be read is", "lines that cannot be read are");
                screen.tell(&format!("{name}: {lines} left as written; `batterboard check` says why\n"));
            }
        }
        exit.worst(out.finish(printed, &mut io::stderr()))
    }

    fn tell_change(&self, source: &Source, new: &str, changes: bool, out: &mut Out) -> io::Result<()> {
        if self.diff {
            return out.write_all(diff::unified(&source.name, &source.text, new).as_bytes());
        }
        if changes { writeln!(out, "{}", source.name) } else { Ok(()) }
    }

    fn rewrite(&self, path: &Path, new: &str, screen: &Screen) -> Exit {
        match put(path, &[], &mut |out| out.write_all(new.as_bytes())) {
            Ok(Outcome::Written) if !self.quiet => {
                screen.tell(&format!("{}: formatted\n", shown(path)));
                Exit::Fine
            }
            Ok(_) => Exit::Fine,
            Err(error) => cannot_write(path, &error, screen),
        }
    }
}

fn not_text(name: &str, fault: &NotText) -> String {
    match fault {
        NotText::Utf16 { .. } => format!("`{name}` is saved as UTF-16; save it as UTF-8"),
        NotText::Binary => format!("`{name}` is not a text file"),
        NotText::Utf8 { line, .. } => format!("`{name}` is not UTF-8: see line {line}; save it as UTF-8"),
    }
}

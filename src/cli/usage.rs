//! What is wrong with the arguments, in our own words: the parser's speak of "invalid values".

use std::error::Error as _;

use clap::error::{ContextKind, ContextValue, Error, ErrorKind};

use super::screen::{Exit, Screen};
use crate::{
    problem::{and, or},
    source::escaped,
};

/// Says what is wrong with the arguments of a command (empty: none was named).
pub fn complain(error: &Error, command: &str, screen: &Screen) -> Exit {
    match words(error) {
        // Arguments may hold anything; what they hold is shown, not done.
        Some(words) => {
            let lines: Vec<String> = words.split('\n').map(escaped).collect();
            let blank = if command.is_empty() { "" } else { " " };
            let lines = lines.join("\n");
            screen.complain(&format!("{lines}\n`batterboard{blank}{command} --help` says what there is"));
        }
        // Help where a command is missing, and what no option of ours brings about.
        None => {
            let text = error.render();
            let (plain, coloured) = (text.to_string(), text.ansi().to_string());
            screen.tell(if screen.stderr_colour { &coloured } else { &plain });
        }
    }
    Exit::Trouble
}

fn words(error: &Error) -> Option<String> {
    let said = |kind| strings(error.get(kind));
    let first = |kind| said(kind).into_iter().next().unwrap_or_default();
    let option = bare(&first(ContextKind::InvalidArg));
    let value = first(ContextKind::InvalidValue);
    let what = match error.kind() {
        ErrorKind::InvalidValue => {
            let known = said(ContextKind::ValidValue);
            let known: Vec<&str> = known.iter().map(String::as_str).collect();
            let choice = if known.is_empty() { String::new() } else { format!("; write {}", or(&known)) };
            if value.is_empty() {
                format!("`{option}` needs a value{choice}")
            } else {
                format!("`{option}` does not take `{value}`{choice}")
            }
        }
        ErrorKind::ValueValidation => {
            let why = error.source().map_or_else(String::new, ToString::to_string);
            format!("`{option}` does not take `{value}`: {why}")
        }
        ErrorKind::UnknownArgument if !option.starts_with('-') => format!("`{option}` is one too many here"),
        ErrorKind::UnknownArgument => {
            let meant = meant(&said(ContextKind::SuggestedArg));
            format!("there is no option `{option}` here{meant}")
        }
        ErrorKind::InvalidSubcommand => {
            let meant = meant(&said(ContextKind::SuggestedSubcommand));
            format!("there is no command `{}`{meant}", first(ContextKind::InvalidSubcommand))
        }
        ErrorKind::MissingRequiredArgument if option.contains("JOB") => {
            "no job file is named; `-` stands for standard input".into()
        }
        ErrorKind::ArgumentConflict => {
            let others = said(ContextKind::PriorArg);
            match others.first().map(|other| bare(other)) {
                Some(other) if other != option => format!("{} cannot stand together", and(&[other.as_str(), &option])),
                _ => format!("`{option}` is written twice"),
            }
        }
        ErrorKind::TooManyValues => format!("`{option}` takes no value"),
        ErrorKind::InvalidUtf8 => "an argument holds bytes that are not UTF-8 text".into(),
        _ => return None,
    };
    Some(what)
}

fn meant(suggested: &[String]) -> String {
    suggested.first().map_or_else(String::new, |near| format!("; `{near}` is meant?"))
}

/// An option without the stand-in for its value: `--format` for `--format <FORMAT>`.
fn bare(option: &str) -> String {
    option.split(" <").next().unwrap_or(option).to_owned()
}

fn strings(value: Option<&ContextValue>) -> Vec<String> {
    match value {
        Some(ContextValue::String(one)) => vec![one.clone()],
        Some(ContextValue::Strings(all)) => all.clone(),
        Some(ContextValue::StyledStr(one)) => vec![one.to_string()],
        Some(ContextValue::StyledStrs(all)) => all.iter().map(ToString::to_string).collect(),
        _ => Vec::new(),
    }
}

//! The options that several commands share.

use std::{ffi::OsString, path::PathBuf};

use clap::Args;

use crate::language::Limits;

/// Which files are read.
#[derive(Debug, Args)]
pub struct Reading {
    /// The job files; `-` reads one from standard input
    #[arg(value_name = "JOB", required = true)]
    pub files: Vec<OsString>,
    /// The file `-` stands for: its name is shown, and includes are looked for beside it
    #[arg(long, value_name = "NAME", display_order = 80)]
    pub stdin_name: Option<PathBuf>,
    /// Change a limit, such as shown=500; can be given again, and an unknown name lists them all
    #[arg(long, value_name = "NAME=NUMBER", value_parser = limit, display_order = 90)]
    pub limit: Vec<Limit>,
}

impl Reading {
    /// The limits with what was asked for.
    pub fn limits(&self) -> Limits {
        let mut limits = Limits::default();
        for Limit { name, number } in &self.limit {
            limits.set(name, *number);
        }
        limits
    }
}

/// How jobs are judged.
#[derive(Debug, Args)]
pub struct Judging {
    /// The folder included files must lie in, if not the job's own folder or its repository
    #[arg(long, value_name = "FOLDER", display_order = 80)]
    pub root: Option<PathBuf>,
    /// Treat warnings like errors: exit with 1
    #[arg(long)]
    pub strict: bool,
    /// No advice, no closing line, no notes
    #[arg(long, short)]
    pub quiet: bool,
}

/// One limit that is to be changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Limit {
    name: String,
    number: u64,
}

/// Reads `NAME=NUMBER`.
fn limit(given: &str) -> Result<Limit, String> {
    let Some((name, number)) = given.split_once('=') else {
        return Err("write the limit as NAME=NUMBER, such as shown=500".into());
    };
    if !Limits::default().set(name, 1) {
        let known: Vec<String> = Limits::NAMES.iter().map(|(name, what)| format!("\n  {name:<9} {what}")).collect();
        return Err(format!("there is no limit of this name; there are{}", known.concat()));
    }
    if number.is_empty() || !number.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err("the limit is a whole number, such as 500".into());
    }
    // More digits than fit are more than any limit needs.
    Ok(Limit { name: name.into(), number: number.parse().unwrap_or(u64::MAX) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_limit_is_a_name_and_a_number() {
        let read = |given| limit(given).map(|limit| (limit.name, limit.number));
        assert_eq!(read("shown=5"), Ok(("shown".into(), 5)));
        assert_eq!(read("parts=99999999999999999999999"), Ok(("parts".into(), u64::MAX)));
        for wrong in
            ["", "shown", "shown=", "shown=-1", "shown=+1", "shown=1.5", "shown=٣", "=5", "Shown=5", "shown =5"]
        {
            assert!(read(wrong).is_err(), "{wrong:?}");
        }
        let unknown = read("bars=5").unwrap_err();
        assert!(Limits::NAMES.iter().all(|(name, what)| unknown.contains(name) && unknown.contains(what)), "{unknown}");
    }
}

//! JSON: a contract of its own structs, with a `schema_version`.

use std::io::{self, Write};

use crate::compile::Compiled;

/// The version of the contract. It rises when a field changes its meaning or goes; new fields do not raise it.
pub const SCHEMA_VERSION: u32 = 1;

/// Writes the findings of jobs (shown name and job).
///
/// # Errors
/// When `out` does.
pub fn findings(jobs: &[(&str, &Compiled)], out: &mut dyn Write) -> io::Result<()> {
    let _ = jobs;
    out.write_all(b"{}\n")
}

/// Writes the quantities of jobs.
///
/// # Errors
/// When `out` does.
pub fn tally(jobs: &[(&str, &Compiled)], out: &mut dyn Write) -> io::Result<()> {
    let _ = jobs;
    out.write_all(b"{}\n")
}

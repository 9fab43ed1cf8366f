//! The commands: the only room that touches disk, terminal and arguments.

pub mod disk;
pub mod screen;
pub mod slug;
pub mod write;

use std::{ffi::OsString, process::ExitCode};

/// Runs the program on the given arguments (the first is the program's own name).
pub fn main(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let _ = arguments.into_iter().count();
    ExitCode::SUCCESS
}

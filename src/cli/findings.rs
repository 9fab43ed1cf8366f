//! What was found in a job, as people read it: each finding drawn, then one line that closes the list.

use std::io::{self, Write};

use super::{jobs, screen::Exit};
use crate::{
    compile::Compiled,
    problem::{Level, Problem, View, Viewer, count},
};

/// What is shown of the findings.
#[derive(Debug, Clone, Copy)]
pub struct Showing {
    /// With colour.
    pub colour: bool,
    /// Columns to a line.
    pub width: usize,
    /// The mildest findings that are shown.
    pub mildest: Level,
    /// The most that are shown in full.
    pub most: usize,
    /// When a line closes the list.
    pub closing: Closing,
}

/// When a line closes the list of findings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Closing {
    /// Always.
    Always,
    /// When there is something in the list.
    AfterFindings,
    /// Never.
    Never,
}

/// Shows the findings of a job, in the order of their places.
///
/// # Errors
/// The first error of `out`.
pub fn show(compiled: &Compiled, showing: &Showing, out: &mut dyn Write) -> io::Result<()> {
    let view = View { colour: showing.colour, width: showing.width, system: compiled.job.system() };
    let viewer = Viewer::new(&compiled.sources, view);
    let wanted = |problem: &&Problem| problem.rule.level <= showing.mildest;
    let all = compiled.problems.iter().filter(wanted).count();
    for problem in compiled.problems.iter().filter(wanted).take(showing.most) {
        let drawn = viewer.render(problem);
        writeln!(out, "{}\n", drawn.trim_matches('\n'))?;
    }
    let rest = all.saturating_sub(showing.most);
    if rest > 0 {
        writeln!(out, "and {rest} more; `--limit shown={all}` shows all {all}")?;
    }
    let closes = match showing.closing {
        Closing::Always => true,
        Closing::AfterFindings => all > 0,
        Closing::Never => false,
    };
    if closes {
        writeln!(out, "{}", closing(compiled, showing.mildest))?;
    }
    Ok(())
}

/// How the job did, in a line: "boathouse.job: 2 errors, 1 warning, 1 accepted".
fn closing(compiled: &Compiled, mildest: Level) -> String {
    let number = |level| compiled.problems.iter().filter(|problem| problem.rule.level == level).count();
    let (errors, warnings, advice) = (number(Level::Error), number(Level::Warning), number(Level::Advice));
    let mut parts = Vec::new();
    if errors == 0 && warnings == 0 {
        parts.push("fine".to_owned());
    }
    if errors > 0 {
        parts.push(count(errors, "error", "errors"));
    }
    if warnings > 0 {
        parts.push(count(warnings, "warning", "warnings"));
    }
    if advice > 0 && mildest == Level::Advice {
        parts.push(count(advice, "piece of advice", "pieces of advice"));
    }
    if !compiled.accepted.is_empty() {
        parts.push(format!("{} accepted", compiled.accepted.len()));
    }
    format!("{}: {}", jobs::name(compiled), parts.join(", "))
}

/// The exit a job's findings call for.
pub fn exit(compiled: &Compiled, strict: bool) -> Exit {
    let gravest = if strict { Level::Warning } else { Level::Error };
    if compiled.problems.iter().any(|problem| problem.rule.level <= gravest) { Exit::Findings } else { Exit::Fine }
}

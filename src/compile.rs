//! The whole way from files to findings and works, for commands, editors and tests alike.

use crate::{
    checks::{self, Accepted},
    facts::facts,
    job::{self, Job},
    language::{self, Limits, Loaded, Unread},
    problem::{self, Level, Problem},
    source::{Files, Found, Sources},
    works::{Works, works},
};

/// A job read, built and checked.
#[derive(Debug)]
pub struct Compiled {
    /// The texts, the library's behind the job's own.
    pub sources: Sources,
    /// The typed job.
    pub job: Job,
    /// What it comes to.
    pub works: Works,
    /// All findings, sorted by place; those that were accepted are not among them.
    pub problems: Vec<Problem>,
    /// Warnings that were accepted, with the reasons.
    pub accepted: Vec<Accepted>,
}

impl Compiled {
    /// Whether anything cannot be built, or not be computed, as written.
    #[must_use]
    pub fn has_errors(&self) -> bool {
        self.problems.iter().any(|problem| problem.rule.level == Level::Error)
    }
}

/// Compiles the job at a path.
///
/// # Errors
/// When the job file itself cannot be read.
pub fn compile(files: &dyn Files, path: &str, limits: &Limits) -> Result<Compiled, Unread> {
    let mut problems = Vec::new();
    let loaded = language::load(files, path, limits, &mut problems)?;
    Ok(finish(loaded, limits, problems, true))
}

/// Compiles the job at a path for its findings alone: the ledger of worked numbers is not kept.
///
/// # Errors
/// When the job file itself cannot be read.
pub fn check(files: &dyn Files, path: &str, limits: &Limits) -> Result<Compiled, Unread> {
    let mut problems = Vec::new();
    let loaded = language::load(files, path, limits, &mut problems)?;
    Ok(finish(loaded, limits, problems, false))
}

/// Compiles a job whose file has been read; the ledger of worked numbers is kept if `keep` says so.
#[must_use]
pub fn found(files: &dyn Files, found: Found, limits: &Limits, keep: bool) -> Compiled {
    let mut problems = Vec::new();
    let loaded = language::load_found(files, found, limits, &mut problems);
    finish(loaded, limits, problems, keep)
}

/// Compiles a job given as a text.
#[must_use]
pub fn compile_text(files: &dyn Files, name: &str, text: &str, limits: &Limits) -> Compiled {
    let mut problems = Vec::new();
    let loaded = language::load_text(files, name, text, limits, &mut problems);
    finish(loaded, limits, problems, true)
}

fn finish(mut loaded: Loaded, limits: &Limits, mut problems: Vec<Problem>, keep: bool) -> Compiled {
    let shelf = job::shelve(&mut loaded.sources);
    let job = job::build(&loaded, &shelf, limits, &mut problems);
    // Nothing above the job looks at a tree, and of a large job the trees are the larger part.
    let Loaded { sources, trees, .. } = loaded;
    drop((trees, shelf));
    let works = works(&job, &facts(&job), limits, keep);
    checks::check(&job, &works, &mut problems);
    let accepted = checks::accepted(&job, &mut problems);
    problem::sort(&mut problems);
    Compiled { sources, job, works, problems, accepted }
}

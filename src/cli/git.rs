//! Job files as they were at a revision, through the `git` program: read only, without a shell, without the network.
//!
//! Includes are looked for at the same revision, beside the file that includes them, and only inside the repository or what
//! `--root` names.

use std::{
    cell::RefCell,
    collections::BTreeMap,
    ffi::OsStr,
    io::{self, BufRead, BufReader, ErrorKind, Read, Write},
    path::Path,
    process::{Child, ChildStdin, ChildStdout, Command, Stdio},
};

use super::disk::{LIMIT, parent, reason, shown};
use crate::source::{self, Files, Found, Trouble, beside, escaped};

/// The files of a repository at one revision.
pub struct Revision {
    /// Where the job lies in the repository, with `/`.
    job: String,
    /// The name the job is shown under.
    name: String,
    /// The folder of the repository includes stay in; empty for all of it.
    root: String,
    asked: RefCell<Asked>,
    /// Where each text that was read lies in the repository, by shown name.
    places: RefCell<BTreeMap<String, String>>,
}

/// A running `git cat-file`, which is asked for one file after the other.
struct Asked {
    child: Child,
    to: Option<ChildStdin>,
    from: BufReader<ChildStdout>,
    /// The commit.
    commit: String,
}

impl Drop for Asked {
    fn drop(&mut self) {
        // With nothing more to ask it ends by itself; it is not left behind as a dead process.
        drop(self.to.take());
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Revision {
    /// The files at a revision of the repository `job` lies in, with includes kept inside `root`, if one is named.
    ///
    /// # Errors
    /// A sentence on why the revision cannot be read.
    pub fn new(job: &Path, revision: &OsStr, root: Option<&Path>) -> Result<Revision, String> {
        let wanted = revision.to_str().map(escaped).ok_or("the revision is not UTF-8 text")?;
        let revision = revision.to_str().unwrap_or("");
        if revision.is_empty() || revision.starts_with('-') || revision.contains(|c: char| c.is_control()) {
            return Err(format!("`{wanted}` is no revision: name a commit, a branch or a tag, such as HEAD~1"));
        }
        let folder = parent(job);
        let file = job.file_name().and_then(OsStr::to_str);
        let file = file.ok_or_else(|| format!("`{}` is not a name git can be asked for", shown(job)))?;
        let prefix = ask(folder, &["rev-parse", "--show-prefix"])?;
        let prefix = prefix.ok_or_else(|| {
            format!("`{}` is not under version control: its folder is in no git repository", shown(job))
        })?;
        let within = format!("{revision}^{{commit}}");
        let commit = ask(folder, &["rev-parse", "--verify", "--quiet", "--end-of-options", &within])?;
        let commit = commit.ok_or_else(|| format!("the repository of `{}` has no revision `{wanted}`", shown(job)))?;
        let root = match root {
            None => String::new(),
            Some(root) => ask(root, &["rev-parse", "--show-prefix"])?
                .ok_or_else(|| format!("the folder `{}` of `--root` is in no git repository", shown(root)))?,
        };
        // A link in the name of a file is followed as far as it stays in the repository.
        let mut command = git(folder);
        command.args(["cat-file", "--batch", "--follow-symlinks"]).stdin(Stdio::piped()).stdout(Stdio::piped());
        let mut child = command.spawn().map_err(|error| missing(&error))?;
        let (to, from) = (child.stdin.take(), child.stdout.take());
        let from = BufReader::new(from.ok_or("git cannot be asked for files")?);
        Ok(Revision {
            job: format!("{prefix}{file}"),
            name: shown(job).trim_start_matches("./").to_owned(),
            root: root.trim_end_matches('/').to_owned(),
            asked: RefCell::new(Asked { child, to, from, commit }),
            places: RefCell::default(),
        })
    }

    fn file(&self, path: &str, name: String) -> Result<Found, Trouble> {
        let bytes = self.asked.borrow_mut().file(path, &name)?;
        self.places.borrow_mut().insert(name.clone(), path.to_owned());
        Ok(Found { name, key: path.to_owned(), bytes })
    }
}

impl Asked {
    fn file(&mut self, path: &str, name: &str) -> Result<Vec<u8>, Trouble> {
        let lost = |error: &io::Error| Trouble::Unreadable(format!("git does not answer: {}", reason(error)));
        // The question is one line: a name that is more than one cannot be asked for.
        if path.contains('\n') {
            return Err(Trouble::BadName(escaped(path)));
        }
        let to = self.to.as_mut().ok_or_else(|| Trouble::Unreadable("git does not answer".into()))?;
        writeln!(to, "{}:{path}", self.commit).and_then(|()| to.flush()).map_err(|error| lost(&error))?;
        let mut head = Vec::new();
        self.from.read_until(b'\n', &mut head).map_err(|error| lost(&error))?;
        let head = String::from_utf8_lossy(&head).trim_end().to_owned();
        let missing = || Trouble::Missing { looked: vec![name.to_owned()] };
        // "HASH blob SIZE", or words for what is not there.
        let mut words = head.split(' ');
        let (kind, size) = match (words.next(), words.next(), words.next(), words.next()) {
            (Some(_), Some(kind @ ("blob" | "tree" | "commit" | "tag")), Some(size), None) => {
                (kind, size.parse::<u64>().ok())
            }
            // What a link outside of the repository leads to is told on a line of its own.
            (Some("dangling" | "symlink" | "loop" | "notdir"), Some(size), None, None) => {
                self.skip(size.parse().unwrap_or(0)).map_err(|error| lost(&error))?;
                return Err(if head.starts_with("symlink") { Trouble::NotAFile } else { missing() });
            }
            (None | Some(""), ..) => return Err(Trouble::Unreadable("git does not answer".into())),
            _ => return Err(missing()),
        };
        let size = size.ok_or_else(|| Trouble::Unreadable("git does not answer".into()))?;
        if kind != "blob" || size > LIMIT {
            self.skip(size).map_err(|error| lost(&error))?;
            return Err(if kind == "blob" { Trouble::TooLarge { limit: LIMIT } } else { Trouble::NotAFile });
        }
        let mut bytes = Vec::new();
        self.from.by_ref().take(size).read_to_end(&mut bytes).map_err(|error| lost(&error))?;
        self.skip(0).map_err(|error| lost(&error))?;
        Ok(bytes)
    }

    /// Passes over so many bytes and the line end behind them.
    fn skip(&mut self, bytes: u64) -> io::Result<()> {
        io::copy(&mut self.from.by_ref().take(bytes.saturating_add(1)), &mut io::sink()).map(|_| ())
    }
}

impl Files for Revision {
    fn read(&self, wanted: &str, from: Option<&str>) -> Result<Found, Trouble> {
        let Some(from) = from else { return self.file(&self.job, self.name.clone()) };
        source::portable(wanted)?;
        let place = self.places.borrow().get(from).cloned();
        let place = place.ok_or_else(|| Trouble::Unreadable("the including text is not in the repository".into()))?;
        let path = beside(source::folder(&place), wanted);
        let inside = self.root.is_empty() || path.strip_prefix(&self.root).is_some_and(|rest| rest.starts_with('/'));
        if path.split('/').next() == Some("..") || !inside {
            let root = if self.root.is_empty() { ".".to_owned() } else { escaped(&self.root) };
            return Err(Trouble::Outside { root });
        }
        self.file(&path, escaped(&beside(source::folder(from), wanted)))
    }

    /// Nobody mends an earlier version: what else lay there is not asked.
    fn there(&self, _: &str, _: &str) -> Vec<String> {
        Vec::new()
    }
}

/// `git` in a folder: it locks nothing, asks nobody, fetches nothing.
fn git(folder: &Path) -> Command {
    let mut command = Command::new("git");
    command.arg("-C").arg(folder).args(["--no-pager", "--no-optional-locks"]);
    command.env("GIT_NO_LAZY_FETCH", "1").env("GIT_TERMINAL_PROMPT", "0").env("LC_ALL", "C");
    command.stdin(Stdio::null()).stderr(Stdio::null());
    command
}

/// The one line git answers; nothing where it refuses.
fn ask(folder: &Path, arguments: &[&str]) -> Result<Option<String>, String> {
    let output = git(folder).args(arguments).output().map_err(|error| missing(&error))?;
    if !output.status.success() {
        return Ok(None);
    }
    let text = String::from_utf8(output.stdout).map_err(|_| "git answers with a name that is not UTF-8 text")?;
    Ok(Some(text.trim_end_matches(['\n', '\r']).to_owned()))
}

fn missing(error: &io::Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "the program `git` is not there: without it no revision can be read".to_owned(),
        _ => format!("the program `git` cannot be started: {}", reason(error)),
    }
}

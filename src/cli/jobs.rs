//! Reading jobs from the command line, and saying why one cannot be read.

use std::{
    ffi::OsStr,
    fs,
    path::{Path, PathBuf},
};

use super::{
    arguments::Reading,
    disk::{self, Disk, parent, shown},
    folders::{Named, holds_job},
    screen::Screen,
};
use crate::{
    compile::{self, Compiled},
    language::{Limits, Unread},
    problem::nearest,
    source::{Files as _, Found, SourceId, Trouble},
};

/// What is said before a job is read that somebody types.
const TYPED: &str = "reading a job from the keyboard: type it, then press Ctrl-D\n";

/// Reads the jobs of one run.
pub struct Reader<'s> {
    disk: Disk,
    limits: Limits,
    screen: &'s Screen,
}

impl<'s> Reader<'s> {
    /// A reader, with includes kept inside `root`; nothing, and a complaint, if that cannot be.
    pub fn new(reading: &Reading, root: Option<&Path>, screen: &'s Screen) -> Option<Reader<'s>> {
        Reader::open(reading, root, screen).map_err(|why| screen.complain(&why)).ok()
    }

    /// A reader, with includes kept inside `root`.
    ///
    /// # Errors
    /// A sentence on why that cannot be.
    pub fn open(reading: &Reading, root: Option<&Path>, screen: &'s Screen) -> Result<Reader<'s>, String> {
        let disk = Disk::new(root).map_err(|trouble| {
            let root = root.map_or_else(String::new, shown);
            match trouble {
                Trouble::Missing { .. } => format!("the folder `{root}` of `--root` does not exist"),
                Trouble::Unreadable(reason) => format!("`{root}` cannot be the folder of `--root`: {reason}"),
                _ => format!("`{root}` cannot be the folder of `--root`"),
            }
        })?;
        let disk = match &reading.stdin_name {
            Some(name) => disk.with_input_path(name),
            None => disk,
        };
        Ok(Reader { disk, limits: reading.limits(), screen })
    }

    /// One of many jobs, with its worked numbers if `keep` says so; nothing for a file of a folder that holds no job. What is
    /// wrong with it is said by whoever asks, in its turn.
    ///
    /// # Errors
    /// A sentence on why it cannot be read.
    pub fn one_of_many(&self, named: &Named, keep: bool) -> Result<Option<Compiled>, String> {
        let read = disk::argument(&named.given).and_then(|path| {
            if disk::waits_for_typing(path) {
                self.screen.tell(TYPED);
            }
            self.disk.read(path, None)
        });
        let found = read.map_err(|trouble| words(&named.given, &trouble))?;
        let counts = named.within.is_none() || holds_job(&found.bytes);
        Ok(counts.then(|| compile::found(&self.disk, found, &self.limits, keep)))
    }

    /// The files read since this was last asked, links followed.
    pub fn take_inputs(&self) -> Vec<PathBuf> {
        self.disk.take_inputs()
    }

    /// The limits of the run.
    pub fn limits(&self) -> &Limits {
        &self.limits
    }

    /// All files read so far, links followed.
    pub fn inputs(&self) -> Vec<PathBuf> {
        self.disk.inputs()
    }

    /// The job in a file, compiled; nothing, and a complaint, if the file cannot be read.
    pub fn compile(&self, given: &OsStr) -> Option<Compiled> {
        self.read_with(given, |path| {
            compile::compile(&self.disk, path, &self.limits).map_err(|Unread::Trouble(trouble)| trouble)
        })
    }

    /// The job in a file without its worked numbers; nothing, and a complaint, if the file cannot be read.
    pub fn check(&self, given: &OsStr) -> Option<Compiled> {
        self.read_with(given, |path| {
            compile::check(&self.disk, path, &self.limits).map_err(|Unread::Trouble(trouble)| trouble)
        })
    }

    /// What is in a file; nothing, and a complaint, if it cannot be read.
    pub fn bytes(&self, given: &OsStr) -> Option<Found> {
        self.read_with(given, |path| self.disk.read(path, None))
    }

    fn read_with<T>(&self, given: &OsStr, read: impl Fn(&str) -> Result<T, Trouble>) -> Option<T> {
        let done = disk::argument(given).and_then(|path| {
            if disk::waits_for_typing(path) {
                self.screen.tell(TYPED);
            }
            read(path)
        });
        done.map_err(|trouble| self.screen.complain(&words(given, &trouble))).ok()
    }
}

/// The name a job is shown under.
pub fn name(compiled: &Compiled) -> &str {
    &compiled.sources.get(SourceId(0)).name
}

/// Why a job cannot be read.
fn words(given: &OsStr, trouble: &Trouble) -> String {
    let path = Path::new(given);
    let name = shown(path);
    match trouble {
        Trouble::Missing { looked } if given == "-" => {
            format!(
                "standard input has no place to look for includes: the folder `{}` does not exist",
                looked.join(", ")
            )
        }
        Trouble::Missing { .. } => missing(path, &name),
        Trouble::NotAFile if path.is_dir() => format!("`{name}` is a folder: name the job file in it"),
        Trouble::NotAFile => {
            format!("`{name}` is not a plain file: only plain files are read, and `-` for standard input")
        }
        Trouble::TooLarge { limit } => {
            format!("`{name}` is larger than {} MiB: it cannot be a job", limit.div_euclid(1024 * 1024))
        }
        Trouble::Unreadable(reason) => format!("`{name}` cannot be read: {reason}"),
        Trouble::BadName(_) if given.is_empty() => "the name of a job file is empty".into(),
        Trouble::BadName(_) => format!("`{name}` cannot be read: the name is not one a job file can have"),
        Trouble::Outside { .. } | Trouble::NotRelative => format!("`{name}` cannot be read"),
    }
}

/// That nothing is there, where it was looked for, and what is there instead.
fn missing(path: &Path, name: &str) -> String {
    let folder = parent(path);
    if !folder.is_dir() {
        return format!("`{name}` is not there: the folder `{}` does not exist", shown(folder));
    }
    let place = if folder == Path::new(".") { "this folder".into() } else { format!("the folder `{}`", shown(folder)) };
    let wanted = path.file_name().unwrap_or_default().to_string_lossy();
    let there: Vec<String> = fs::read_dir(folder)
        .into_iter()
        .flatten()
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(|name| name.ends_with(".job"))
        .collect();
    let with_ending = format!("{wanted}.job");
    let near = if there.contains(&with_ending) {
        Some(with_ending.as_str())
    } else {
        nearest(&wanted, there.iter().map(String::as_str))
    };
    match near {
        Some(near) => {
            let near = path.with_file_name(near);
            format!("`{name}` is not there; looked for it in {place}, where there is `{}`", shown(&near))
        }
        None => format!("`{name}` is not there; looked for it in {place}"),
    }
}

//! Job files on disk: reads regular files only, and includes only from inside the folder the job may draw on.
//!
//! A file's includes are looked for in the folder it was reached in, so a job that is a link finds what lies beside the
//! link. Links are followed before a path is compared with the root, and a file outside it is not opened.

use std::{
    cell::{OnceCell, RefCell},
    collections::BTreeMap,
    ffi::OsStr,
    fs::{self, File, Metadata},
    io::{self, ErrorKind, IsTerminal, Read},
    path::{Component, MAIN_SEPARATOR, Path, PathBuf},
    rc::Rc,
};

use crate::source::{self, Files, Found, Trouble, beside, escaped};

/// The longest file that is read, in bytes, unless [`Disk::limited`] says otherwise.
pub const LIMIT: u64 = 64 * 1024 * 1024;

/// The name under which standard input is shown.
pub const STANDARD_INPUT: &str = "<standard input>";

/// The disk, for one job and what it includes.
pub struct Disk {
    root: Option<Root>,
    limit: u64,
    input: RefCell<Option<Box<dyn Read>>>,
    /// Where standard input is said to lie, and under which name.
    input_path: Option<PathBuf>,
    /// All files that were read, links followed.
    inputs: RefCell<Vec<PathBuf>>,
    /// Where each text that was read lies, by shown name.
    places: RefCell<BTreeMap<String, Place>>,
    /// The folder that was looked up last: the next file mostly lies beside the one before.
    last: RefCell<Option<Rc<Folder>>>,
}

/// A folder as it was asked for, and what the disk says of it.
struct Folder {
    asked: PathBuf,
    /// Links followed.
    path: PathBuf,
    /// The nearest folder from here upwards that holds `.git`, else this one.
    tree: OnceCell<PathBuf>,
}

impl Folder {
    fn tree(&self) -> &Path {
        self.tree.get_or_init(|| {
            let holds_git = |above: &&Path| above.join(".git").symlink_metadata().is_ok();
            self.path.ancestors().find(holds_git).unwrap_or(&self.path).to_path_buf()
        })
    }
}

/// The folder that includes must stay in.
#[derive(Clone)]
struct Root {
    /// Links followed.
    path: PathBuf,
    shown: String,
}

/// Where a text lies: its folder, links followed, and the job that led to it.
#[derive(Clone)]
struct Place {
    folder: PathBuf,
    job: Rc<Job>,
}

/// The folder of a job, as it is and as it was given, and the root of its includes.
struct Job {
    folder: PathBuf,
    shown: String,
    root: Root,
}

impl Disk {
    /// The disk, with includes kept inside `root`; without it, inside the nearest folder around the job that holds
    /// `.git`, else the job's own.
    ///
    /// # Errors
    /// The root is not there, is not a folder, or cannot be reached.
    pub fn new(root: Option<&Path>) -> Result<Disk, Trouble> {
        let root = match root {
            None => None,
            Some(given) => {
                let shown = shown(given);
                let path = canonical(given, &shown)?;
                if !path.is_dir() {
                    return Err(Trouble::Unreadable("not a folder".into()));
                }
                Some(Root { path, shown })
            }
        };
        let input: Box<dyn Read> = Box::new(io::stdin());
        Ok(Disk {
            root,
            limit: LIMIT,
            input: RefCell::new(Some(input)),
            input_path: None,
            inputs: RefCell::default(),
            places: RefCell::default(),
            last: RefCell::default(),
        })
    }

    /// The same disk with another longest file, in bytes.
    #[must_use]
    pub fn limited(self, limit: u64) -> Disk {
        Disk { limit, ..self }
    }

    /// The same disk with `input` in place of standard input.
    #[must_use]
    pub fn with_input(self, input: impl Read + 'static) -> Disk {
        Disk { input: RefCell::new(Some(Box::new(input))), ..self }
    }

    /// The same disk, with standard input shown as if it were the file at `path`; what it includes is looked for
    /// beside that.
    #[must_use]
    pub fn with_input_path(self, path: impl Into<PathBuf>) -> Disk {
        Disk { input_path: Some(path.into()), ..self }
    }

    /// All files that were read so far, links followed: none of them may be written over.
    #[must_use]
    pub fn inputs(&self) -> Vec<PathBuf> {
        self.inputs.borrow().clone()
    }

    /// The files that were read since this was last asked; where they lie is forgotten with them, so that a run over many jobs
    /// keeps nothing of each.
    pub fn take_inputs(&self) -> Vec<PathBuf> {
        self.places.borrow_mut().clear();
        self.inputs.take()
    }

    fn standard_input(&self) -> Result<Found, Trouble> {
        let Some(input) = self.input.take() else {
            return Err(Trouble::Unreadable("standard input was already read".into()));
        };
        let bytes = self.capped(input, 0)?;
        // What a shell redirects from a file is that file; elsewhere the name leads to nothing, and that is fine too.
        self.inputs.borrow_mut().push("/dev/stdin".into());
        let name = self.input_path.as_deref().map_or_else(|| STANDARD_INPUT.into(), shown);
        let beside = self.input_path.as_deref().map_or(Path::new("."), parent);
        let folder = self.folder(beside, &shown(beside))?;
        self.remember_job(&name, &folder);
        Ok(Found { key: name.clone(), name, bytes })
    }

    fn job(&self, wanted: &str) -> Result<Found, Trouble> {
        if wanted.is_empty() {
            return Err(Trouble::BadName(String::new()));
        }
        let written = slashed(wanted);
        let mut bare = written.as_str();
        while let Some(rest) = bare.strip_prefix("./") {
            bare = rest.trim_start_matches('/');
        }
        let name = escaped(bare);
        let path = Path::new(wanted);
        let (folder, real, metadata) = match self.plain(path, &name) {
            Some(plain) => plain,
            None => {
                // Before links are followed: a pipe behind /dev/stdin has no path to follow to.
                let metadata = fs::metadata(path).map_err(|error| trouble(&error, &name))?;
                if !metadata.is_file() || path.file_name().is_none() {
                    return Err(Trouble::NotAFile);
                }
                let real = canonical(path, &name)?;
                let metadata = fs::symlink_metadata(&real).map_err(|error| trouble(&error, &name))?;
                (self.folder(parent(path), &name)?, real, metadata)
            }
        };
        let bytes = self.contents(&real, &metadata, &name)?;
        self.remember_job(&name, &folder);
        Ok(Found { name, key: key(&real), bytes })
    }

    /// A folder with links followed; the one asked for last is not looked up again.
    fn folder(&self, asked: &Path, name: &str) -> Result<Rc<Folder>, Trouble> {
        let known = self.last.borrow().as_ref().filter(|last| last.asked == asked).map(Rc::clone);
        if let Some(known) = known {
            return Ok(known);
        }
        let path = canonical(asked, name)?;
        let folder = Rc::new(Folder { asked: asked.into(), path, tree: OnceCell::new() });
        self.last.replace(Some(Rc::clone(&folder)));
        Ok(folder)
    }

    /// The folder of a file, its path and what it is, if it lies in that folder as a plain file: then no link is left to follow.
    fn plain(&self, path: &Path, name: &str) -> Option<(Rc<Folder>, PathBuf, Metadata)> {
        let file = path.file_name()?;
        // `shed.job/` and `shed.job/.` name no file.
        if !path.as_os_str().as_encoded_bytes().ends_with(file.as_encoded_bytes()) {
            return None;
        }
        let folder = self.folder(parent(path), name).ok()?;
        let real = folder.path.join(file);
        let metadata = fs::symlink_metadata(&real).ok()?;
        metadata.is_file().then_some((folder, real, metadata))
    }

    fn remember_job(&self, name: &str, folder: &Folder) {
        let shown = source::folder(name).to_owned();
        let root = self.root.clone().unwrap_or_else(|| {
            let path = folder.tree().to_path_buf();
            let up = folder.path.components().count().saturating_sub(path.components().count());
            let climbed = beside(&shown, &"../".repeat(up));
            Root { path, shown: if climbed.is_empty() { ".".into() } else { climbed } }
        });
        let folder = folder.path.clone();
        let job = Rc::new(Job { folder: folder.clone(), shown, root });
        self.places.borrow_mut().insert(name.into(), Place { folder, job });
    }

    fn include(&self, wanted: &str, from: &str) -> Result<Found, Trouble> {
        source::portable(wanted)?;
        let Some(Place { folder, job }) = self.places.borrow().get(from).cloned() else {
            return Err(Trouble::Unreadable("the including text is not on the disk".into()));
        };
        let outside = || Trouble::Outside { root: job.root.shown.clone() };
        // A path that climbs out as it is written is refused without asking the disk what is there.
        let climbs = lexical(&folder, wanted);
        if !climbs.starts_with(&job.root.path) {
            return Err(outside());
        }
        let looked = self.name(&job, &climbs).unwrap_or_else(|| escaped(wanted));
        let path = folder.join(wanted);
        let (folder, real, plain) = match self.plain(&path, &looked) {
            Some((folder, real, metadata)) => (folder, real, Some(metadata)),
            None => (self.folder(parent(&path), &looked)?, canonical(&path, &looked)?, None),
        };
        let folder = folder.path.clone();
        if !real.starts_with(&job.root.path) || !folder.starts_with(&job.root.path) {
            return Err(outside());
        }
        let reached = path.file_name().map_or_else(|| real.clone(), |file| folder.join(file));
        let name = self.name(&job, &reached).ok_or_else(|| Trouble::BadName(shown(&reached)))?;
        let metadata = match plain {
            Some(metadata) => metadata,
            None => fs::symlink_metadata(&real).map_err(|error| trouble(&error, &name))?,
        };
        let bytes = self.contents(&real, &metadata, &name)?;
        self.places.borrow_mut().insert(name.clone(), Place { folder, job });
        Ok(Found { name, key: key(&real), bytes })
    }

    /// The shown name of a file: the way to it from the job's folder, after that folder as it was given.
    fn name(&self, job: &Job, file: &Path) -> Option<String> {
        let (mut base, mut way) = (job.folder.components().peekable(), file.components().peekable());
        while base.peek().is_some() && base.peek() == way.peek() {
            base.next();
            way.next();
        }
        let mut names = vec![".."; base.count()];
        for component in way {
            names.push(component.as_os_str().to_str()?);
        }
        let way = names.join("/");
        let name = escaped(&beside(&job.shown, &way));
        let folder = file.parent();
        let taken = self.places.borrow().get(&name).is_some_and(|place| Some(place.folder.as_path()) != folder);
        // A linked folder in the job's own path can give two files one short name: the long one tells them apart.
        Some(if taken { escaped(&format!("{}/{way}", job.shown)) } else { name })
    }

    /// What is in a file whose links have been followed, and which was found to be `before`.
    fn contents(&self, real: &Path, before: &Metadata, name: &str) -> Result<Vec<u8>, Trouble> {
        let refuse = |metadata: &Metadata| match metadata {
            metadata if !metadata.is_file() => Err(Trouble::NotAFile),
            metadata if metadata.len() > self.limit => Err(Trouble::TooLarge { limit: self.limit }),
            _ => Ok(()),
        };
        refuse(before)?;
        let file = File::open(real).map_err(|error| trouble(&error, name))?;
        let opened = file.metadata().map_err(|error| trouble(&error, name))?;
        refuse(&opened)?;
        if !same_file(before, &opened) {
            return Err(Trouble::Unreadable("changed while being read".into()));
        }
        self.inputs.borrow_mut().push(real.into());
        self.capped(file, opened.len())
    }

    /// Everything in `input`, up to the limit: the length it is thought to have may be wrong by now.
    fn capped(&self, input: impl Read, length: u64) -> Result<Vec<u8>, Trouble> {
        // With room to spare: without it the end of the file is looked for with small reads.
        let mut bytes = Vec::with_capacity(usize::try_from(length.min(self.limit)).unwrap_or(0).saturating_add(64));
        let read = input.take(self.limit.saturating_add(1)).read_to_end(&mut bytes);
        read.map_err(|error| Trouble::Unreadable(reason(&error)))?;
        if bytes.len() as u64 > self.limit {
            return Err(Trouble::TooLarge { limit: self.limit });
        }
        Ok(bytes)
    }
}

impl Files for Disk {
    fn read(&self, wanted: &str, from: Option<&str>) -> Result<Found, Trouble> {
        match from {
            Some(from) => self.include(wanted, from),
            None if wanted == "-" => self.standard_input(),
            None => self.job(wanted),
        }
    }

    fn there(&self, wanted: &str, from: &str) -> Vec<String> {
        let place = self.places.borrow().get(from).cloned();
        let way = source::way(wanted);
        let folder = place.and_then(|Place { folder, job }| {
            let inside = |path: &PathBuf| path.starts_with(&job.root.path);
            // As for the file itself: what climbs out as it is written is refused without asking the disk.
            Some(lexical(&folder, way)).filter(inside)?;
            fs::canonicalize(folder.join(way)).ok().filter(inside)
        });
        let entries = folder.and_then(|folder| fs::read_dir(folder).ok()).into_iter().flatten();
        let names = entries.filter_map(|entry| entry.ok()?.file_name().into_string().ok());
        names.filter(|name| name.ends_with(".job")).map(|name| format!("{way}{name}")).collect()
    }
}

/// A job's path from the command line, as [`Files::read`] takes it.
///
/// # Errors
/// [`Trouble::BadName`] when it is not UTF-8.
pub fn argument(given: &OsStr) -> Result<&str, Trouble> {
    given.to_str().ok_or_else(|| Trouble::BadName(shown(Path::new(given))))
}

/// Whether reading this job means waiting for someone to type it.
#[must_use]
pub fn waits_for_typing(wanted: &str) -> bool {
    wanted == "-" && io::stdin().is_terminal()
}

/// A path as people read it: with `/`, control characters and bytes that are not UTF-8 escaped.
#[must_use]
pub fn shown(path: &Path) -> String {
    let mut text = String::new();
    for chunk in path.as_os_str().as_encoded_bytes().utf8_chunks() {
        text.push_str(&escaped(&slashed(chunk.valid())));
        for byte in chunk.invalid() {
            text.push_str(&format!("\\x{byte:02x}"));
        }
    }
    text
}

/// A path with `/` between its names, whatever the system puts there.
fn slashed(path: &str) -> String {
    if MAIN_SEPARATOR == '/' { path.into() } else { path.replace(MAIN_SEPARATOR, "/") }
}

/// The folder a path lies in; the current one for a bare name.
pub(super) fn parent(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// Whether two descriptions are of one file.
#[cfg(unix)]
pub(super) fn same_file(one: &Metadata, other: &Metadata) -> bool {
    use std::os::unix::fs::MetadataExt;
    (one.dev(), one.ino()) == (other.dev(), other.ino())
}

/// Whether two descriptions can be of one file: without file numbers, its length and time.
#[cfg(not(unix))]
pub(super) fn same_file(one: &Metadata, other: &Metadata) -> bool {
    one.len() == other.len()
        && one.modified().ok() == other.modified().ok()
        && one.created().ok() == other.created().ok()
}

/// The path with links followed.
fn canonical(path: &Path, name: &str) -> Result<PathBuf, Trouble> {
    fs::canonicalize(path).map_err(|error| trouble(&error, name))
}

/// Where `wanted` leads by its names alone.
fn lexical(folder: &Path, wanted: &str) -> PathBuf {
    let mut path = folder.to_path_buf();
    for component in Path::new(wanted).components() {
        match component {
            Component::ParentDir => {
                path.pop();
            }
            Component::Normal(name) => path.push(name),
            _ => {}
        }
    }
    path
}

/// A path as a key: names that are not UTF-8 are escaped, and stay different.
fn key(path: &Path) -> String {
    path.to_str().map_or_else(|| format!("{path:?}"), Into::into)
}

fn trouble(error: &io::Error, name: &str) -> Trouble {
    match error.kind() {
        ErrorKind::NotFound | ErrorKind::NotADirectory => Trouble::Missing { looked: vec![name.into()] },
        ErrorKind::InvalidFilename | ErrorKind::InvalidInput => Trouble::BadName(name.into()),
        _ => Trouble::Unreadable(reason(error)),
    }
}

/// Why the system refused, in words that do not change with the system or its language where there are such.
pub(super) fn reason(error: &io::Error) -> String {
    match error.kind() {
        ErrorKind::PermissionDenied => "no permission".into(),
        ErrorKind::StorageFull => "the disk is full".into(),
        ErrorKind::ReadOnlyFilesystem => "the disk is read-only".into(),
        _ => escaped(&error.to_string()),
    }
}

#[cfg(test)]
mod tests;

//! Writing a paper: whole or not at all, never over an input, and not when nothing changed.

use std::{
    error::Error,
    fmt,
    fs::{self, File, FileType, Metadata},
    io::{self, BufReader, BufWriter, ErrorKind, Read, Seek, Write},
    path::{Path, PathBuf},
};

use tempfile::{Builder, NamedTempFile};

use super::disk::{parent, reason, same_file, shown};

/// What became of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// It holds the new content.
    Written,
    /// It held the same content already, and was not touched.
    Unchanged,
}

/// Why a path is not written to, as the inner error of the [`io::Error`] from [`put`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refusal {
    /// It is one of the files that were read.
    Input,
    /// It is a job file, and what is written is no job.
    Job,
    /// It is there already, and was to be new.
    There,
    /// It is a folder.
    Folder,
    /// It is a device, a socket: neither a regular file nor a pipe.
    NotAFile,
    /// It is a link, and nothing is where it leads.
    LinkToNothing,
    /// It is marked as not to be written to.
    Protected,
    /// The folder it would lie in does not exist.
    NoFolder(PathBuf),
    /// What it would lie in is not a folder.
    NotAFolder(PathBuf),
    /// The folder takes no new file.
    Closed {
        /// The folder.
        folder: PathBuf,
        /// A few words why.
        reason: String,
    },
}

impl Refusal {
    /// The refusal inside an error, if it is one.
    #[must_use]
    pub fn of(error: &io::Error) -> Option<&Refusal> {
        error.get_ref().and_then(|inner| inner.downcast_ref())
    }
}

impl From<Refusal> for io::Error {
    fn from(refusal: Refusal) -> io::Error {
        let kind = match refusal {
            Refusal::NoFolder(_) | Refusal::LinkToNothing => ErrorKind::NotFound,
            Refusal::NotAFolder(_) => ErrorKind::NotADirectory,
            Refusal::Folder => ErrorKind::IsADirectory,
            Refusal::There => ErrorKind::AlreadyExists,
            Refusal::Input | Refusal::Job | Refusal::NotAFile => ErrorKind::InvalidInput,
            Refusal::Protected | Refusal::Closed { .. } => ErrorKind::PermissionDenied,
        };
        io::Error::new(kind, refusal)
    }
}

impl Error for Refusal {}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Refusal::Input => f.write_str("it is one of the files that were read"),
            Refusal::Job => f.write_str("it is a job file; give the paper a name that does not end in `.job`"),
            Refusal::There => f.write_str("it is there already"),
            Refusal::Folder => f.write_str("it is a folder"),
            Refusal::NotAFile => f.write_str("it is not a regular file"),
            Refusal::LinkToNothing => f.write_str("it is a link to a file that does not exist"),
            Refusal::Protected => f.write_str("it is write-protected"),
            Refusal::NoFolder(folder) => write!(f, "the folder `{}` does not exist", shown(folder)),
            Refusal::NotAFolder(folder) => write!(f, "`{}` is not a folder", shown(folder)),
            Refusal::Closed { folder, reason } => {
                write!(f, "the folder `{}` takes no new file: {reason}", shown(folder))
            }
        }
    }
}

/// Writes `content` to `path`, or leaves what was there as it was. `inputs` are the files that were read, links
/// followed; none of them is overwritten under any name.
///
/// The content goes to a new file beside the old one, which takes its place only when all of it is on the disk. A link
/// stays a link, and what it leads to is replaced; the mode stays, and the owner where the system lets it. `/dev/stdout`,
/// `/dev/null`, `/dev/full` and pipes are written to as they are.
///
/// # Errors
/// A [`Refusal`], or what `content` or the system answered.
pub fn put(
    path: &Path,
    inputs: &[PathBuf],
    content: &mut dyn FnMut(&mut dyn Write) -> io::Result<()>,
) -> io::Result<Outcome> {
    put_unless(path, &|target, old| refuses_input(inputs, target, old), content)
}

/// Writes a paper as [`put`] does, and over no job file either, read or not: that would be a job lost.
///
/// # Errors
/// As for [`put`].
pub fn put_paper(
    path: &Path,
    inputs: &[PathBuf],
    content: &mut dyn FnMut(&mut dyn Write) -> io::Result<()>,
) -> io::Result<Outcome> {
    let is_job = |path: &Path| path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("job"));
    let refuses = |target: &Path, old: &Metadata| {
        let job = (is_job(path) || is_job(target)).then_some(Refusal::Job);
        refuses_input(inputs, target, old).or(job)
    };
    put_unless(path, &refuses, content)
}

/// That a file, links followed, is one of those that were read.
fn refuses_input(inputs: &[PathBuf], target: &Path, old: &Metadata) -> Option<Refusal> {
    let is_it = |input: &PathBuf| *input == target || fs::metadata(input).is_ok_and(|input| same_file(&input, old));
    inputs.iter().any(is_it).then_some(Refusal::Input)
}

/// Writes `content` to `path` unless `refuses` answers why the file that is there, links followed, is kept.
fn put_unless(
    path: &Path,
    refuses: &dyn Fn(&Path, &Metadata) -> Option<Refusal>,
    content: &mut dyn FnMut(&mut dyn Write) -> io::Result<()>,
) -> io::Result<Outcome> {
    if path == Path::new("/dev/stdout") {
        return straight(io::stdout().lock(), content);
    }
    let Some(old) = existing(path)? else {
        let folder = folder_for(path)?;
        let name = path.file_name().ok_or(Refusal::Folder)?;
        let mut new = beside(&folder)?;
        fill(&mut new, content)?;
        return replace(new, &folder.join(name));
    };
    if old.is_dir() {
        return Err(Refusal::Folder.into());
    }
    if is_pipe(old.file_type()) || path == Path::new("/dev/null") || path == Path::new("/dev/full") {
        return straight(File::options().write(true).open(path)?, content);
    }
    if !old.is_file() {
        return Err(Refusal::NotAFile.into());
    }
    let target = fs::canonicalize(path)?;
    if let Some(refusal) = refuses(&target, &old) {
        return Err(refusal.into());
    }
    if old.permissions().readonly() {
        return Err(Refusal::Protected.into());
    }
    let mut new = beside(parent(&target))?;
    fill(&mut new, content)?;
    if same_content(new.as_file_mut(), &old, &target)? {
        return Ok(Outcome::Unchanged);
    }
    take_after(new.as_file(), &old)?;
    replace(new, &target)
}

/// Writes `content` to a file that is not there yet, whole or not at all. Whatever is there stays as it is, a link that
/// leads nowhere too.
///
/// # Errors
/// A [`Refusal`], or what the system answered.
pub fn put_new(path: &Path, content: &str) -> io::Result<()> {
    if existing(path)?.is_some() {
        return Err(Refusal::There.into());
    }
    let folder = folder_for(path)?;
    let name = path.file_name().ok_or(Refusal::Folder)?;
    let mut new = beside(&folder)?;
    new.write_all(content.as_bytes())?;
    new.as_file().sync_all()?;
    new.persist_noclobber(folder.join(name)).map(drop).map_err(|error| match error.error.kind() {
        ErrorKind::AlreadyExists => Refusal::There.into(),
        _ => error.error,
    })
}

/// What is at a path, links followed; nothing, if a file can be made there.
fn existing(path: &Path) -> io::Result<Option<Metadata>> {
    match fs::metadata(path) {
        Ok(metadata) => Ok(Some(metadata)),
        Err(error) if matches!(error.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => {
            // Another run may have put a file there since the first look: that is no link.
            if fs::symlink_metadata(path).is_ok_and(|there| there.is_symlink()) {
                return Err(Refusal::LinkToNothing.into());
            }
            Ok(None)
        }
        Err(error) => Err(error),
    }
}

/// The folder a new file lies in, links followed.
fn folder_for(path: &Path) -> io::Result<PathBuf> {
    let ends_as_folder =
        path.as_os_str().as_encoded_bytes().last().is_some_and(|last| std::path::is_separator((*last).into()));
    let folder = if ends_as_folder { path } else { parent(path) };
    match fs::metadata(folder) {
        Ok(metadata) if metadata.is_dir() => fs::canonicalize(folder),
        Ok(_) => Err(Refusal::NotAFolder(folder.into()).into()),
        Err(error) if error.kind() == ErrorKind::NotFound => Err(Refusal::NoFolder(folder.into()).into()),
        Err(error) if error.kind() == ErrorKind::NotADirectory => Err(Refusal::NotAFolder(folder.into()).into()),
        Err(error) => Err(error),
    }
}

/// A new file in a folder, under a name nobody waits for; it vanishes unless it is given its own.
fn beside(folder: &Path) -> io::Result<NamedTempFile> {
    let mut builder = Builder::new();
    builder.prefix(".batterboard-").suffix(".tmp");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666)); // the system takes the umask off
    }
    builder.tempfile_in(folder).map_err(|error| match error.kind() {
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => {
            Refusal::Closed { folder: folder.into(), reason: reason(&error.kind().into()) }.into()
        }
        // Without the name of the file nobody knows of.
        kind => error.raw_os_error().map_or_else(|| kind.into(), io::Error::from_raw_os_error),
    })
}

fn fill(new: &mut NamedTempFile, content: &mut dyn FnMut(&mut dyn Write) -> io::Result<()>) -> io::Result<()> {
    let mut buffered = BufWriter::new(new.as_file_mut());
    content(&mut buffered)?;
    buffered.flush()
}

fn replace(new: NamedTempFile, target: &Path) -> io::Result<Outcome> {
    new.as_file().sync_all()?;
    new.persist(target).map_err(|error| error.error)?;
    Ok(Outcome::Written)
}

fn straight(to: impl Write, content: &mut dyn FnMut(&mut dyn Write) -> io::Result<()>) -> io::Result<Outcome> {
    let mut buffered = BufWriter::new(to);
    content(&mut buffered)?;
    buffered.flush()?;
    Ok(Outcome::Written)
}

/// Whether the file already holds what the new one does. One that cannot be read counts as different.
fn same_content(new: &mut File, old: &Metadata, target: &Path) -> io::Result<bool> {
    if new.metadata()?.len() != old.len() {
        return Ok(false);
    }
    let Ok(old) = File::open(target) else {
        return Ok(false);
    };
    new.rewind()?;
    let mut old = BufReader::new(old).bytes();
    for byte in BufReader::new(new).bytes() {
        let byte = byte?;
        if old.next().transpose().unwrap_or(None) != Some(byte) {
            return Ok(false);
        }
    }
    Ok(old.next().is_none())
}

/// Gives the new file the mode of the old one, and its owner and group where the system lets it.
#[cfg(unix)]
fn take_after(new: &File, old: &Metadata) -> io::Result<()> {
    use std::os::unix::fs::{MetadataExt, PermissionsExt, fchown};
    let made = new.metadata()?;
    let mut mode = old.mode() & 0o777;
    if (made.uid(), made.gid()) != (old.uid(), old.gid())
        && fchown(new, Some(old.uid()), Some(old.gid())).is_err()
        && fchown(new, None, Some(old.gid())).is_err()
    {
        mode &= 0o707; // another group must not come into what this one was let into
    }
    new.set_permissions(fs::Permissions::from_mode(mode))
}

#[cfg(not(unix))]
fn take_after(_: &File, _: &Metadata) -> io::Result<()> {
    Ok(())
}

#[cfg(unix)]
fn is_pipe(kind: FileType) -> bool {
    std::os::unix::fs::FileTypeExt::is_fifo(&kind)
}

#[cfg(not(unix))]
fn is_pipe(_: FileType) -> bool {
    false
}

#[cfg(test)]
mod tests;

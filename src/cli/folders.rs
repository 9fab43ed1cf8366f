//! Folders as arguments: every job file under one is meant.

use std::{
    ffi::{OsStr, OsString},
    fs,
    path::{Path, PathBuf},
};

use super::disk::{reason, shown};

/// A job that is to be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    /// Its path, as it is given or reached from the folder that is given.
    pub given: OsString,
    /// The way to it from that folder. A file found in a folder counts only if it holds a `job` block: others are there to be
    /// included.
    pub within: Option<PathBuf>,
}

/// The jobs of a run.
#[derive(Debug, Default)]
pub struct Jobs {
    /// All of them, in the order they are named, those of a folder by their paths.
    pub named: Vec<Named>,
    /// What could not be looked into.
    pub troubles: Vec<String>,
}

impl Jobs {
    /// The jobs that arguments name: files as they are, of a folder every file under it whose name ends in `.job`. Names that
    /// begin with a dot are passed over, and folders that are links, so that no way leads round in a circle.
    #[must_use]
    pub fn of(arguments: &[OsString]) -> Jobs {
        let mut jobs = Jobs::default();
        for given in arguments {
            let path = Path::new(given);
            if given != "-" && path.is_dir() {
                jobs.folder(path);
            } else {
                jobs.named.push(Named { given: given.clone(), within: None });
            }
        }
        jobs
    }

    /// Whether a folder was named.
    #[must_use]
    pub fn in_folders(&self) -> bool {
        self.named.iter().any(|named| named.within.is_some())
    }

    fn folder(&mut self, root: &Path) {
        let mut found: Vec<PathBuf> = Vec::new();
        let mut waiting = vec![PathBuf::new()];
        while let Some(within) = waiting.pop() {
            let folder = root.join(&within);
            let entries = match fs::read_dir(&folder) {
                Ok(entries) => entries,
                Err(error) => {
                    self.troubles.push(format!(
                        "the folder `{}` cannot be looked into: {}",
                        shown(&folder),
                        reason(&error)
                    ));
                    continue;
                }
            };
            for entry in entries.flatten() {
                let name = entry.file_name();
                let Ok(kind) = entry.file_type() else { continue };
                if name.as_encoded_bytes().starts_with(b".") {
                    continue;
                }
                let way = within.join(&name);
                let is_job = way.extension() == Some(OsStr::new("job"));
                if kind.is_dir() {
                    waiting.push(way);
                } else if is_job && (kind.is_file() || (kind.is_symlink() && root.join(&way).is_file())) {
                    found.push(way);
                }
            }
        }
        if found.is_empty() && self.troubles.is_empty() {
            self.troubles
                .push(format!("there is no job in the folder `{}`: no file under it ends in `.job`", shown(root)));
        }
        found.sort();
        let named = found.into_iter().map(|way| Named { given: root.join(&way).into(), within: Some(way) });
        self.named.extend(named);
    }
}

/// Whether a text holds a `job` block: a line that begins with the word. What is no text counts as one, so that it is told.
#[must_use]
pub fn holds_job(bytes: &[u8]) -> bool {
    if std::str::from_utf8(bytes).is_err() || bytes.contains(&0) {
        return true;
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    bytes.split(|byte| matches!(byte, b'\n' | b'\r')).any(|line| {
        let line = line.trim_ascii_start();
        line.strip_prefix(b"job")
            .is_some_and(|rest| matches!(rest.first(), None | Some(b' ' | b'\t' | b'"' | b'{' | b'/')))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_job_is_told_by_its_block() {
        for text in
            ["job \"A\" { }", "// shed\n  job { }\n", "\u{feff}job \"A\" {", "wall a {\r\n}\rjob\t\"A\"", "a\0b"]
        {
            assert!(holds_job(text.as_bytes()), "{text:?}");
        }
        assert!(holds_job(b"\xff\xfejob"));
        for text in
            ["", "mix bagged { }\n// job \"A\" { }\n", "jobs \"A\" {", "let job-1 = 3", "job-2 { }", "wall job {"]
        {
            assert!(!holds_job(text.as_bytes()), "{text:?}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn a_folder_is_walked_in_order_and_never_round() {
        let yard = tempfile::TempDir::new().unwrap();
        let put = |name: &str| {
            let path = yard.path().join(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, "").unwrap();
        };
        ["b.job", "a/z.job", "a/a.job", "a-b/c.job", ".git/x.job", "a/.y.job", "notes.txt"].into_iter().for_each(put);
        std::os::unix::fs::symlink("..", yard.path().join("a/round")).unwrap();
        std::os::unix::fs::symlink("../b.job", yard.path().join("a/link.job")).unwrap();
        std::os::unix::fs::symlink("nowhere", yard.path().join("a/dead.job")).unwrap();
        let jobs = Jobs::of(&[yard.path().into(), "alone.job".into()]);
        let ways: Vec<_> = jobs.named.iter().map(|named| named.within.as_deref().and_then(Path::to_str)).collect();
        let some = ["a/a.job", "a/link.job", "a/z.job", "a-b/c.job", "b.job"].map(Some);
        assert_eq!(ways, [&some[..], &[None]].concat());
        assert!(jobs.troubles.is_empty() && jobs.in_folders());
        let empty = tempfile::TempDir::new().unwrap();
        assert_eq!(Jobs::of(&[empty.path().into()]).troubles.len(), 1);
    }
}

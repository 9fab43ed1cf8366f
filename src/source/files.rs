//! Where texts come from, and what paths in a job may look like.

use std::collections::BTreeMap;

/// Where texts are read from: the disk, or a [`Shelf`] in memory.
pub trait Files {
    /// Reads one text. `wanted` is the path as it stands in an `include`, and `from` the shown name of the text
    /// that includes it; without `from`, `wanted` is the job as it was given.
    ///
    /// # Errors
    /// What kept the text from being read.
    fn read(&self, wanted: &str, from: Option<&str>) -> Result<Found, Trouble>;

    /// The job files that lie where an include was looked for and not found, each as it would be written in the place of
    /// `wanted`; none where nobody can tell.
    fn there(&self, wanted: &str, from: &str) -> Vec<String>;
}

/// A text that was found, not yet decoded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// The name shown to people: a path with `/`, beginning as the job was given, control characters escaped.
    pub name: String,
    /// What the text is: two names of one file have one key.
    pub key: String,
    /// What is in it.
    pub bytes: Vec<u8>,
}

/// Why a text was not read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Trouble {
    /// Nothing is there.
    Missing {
        /// The places looked at, as shown names.
        looked: Vec<String>,
    },
    /// It lies outside the folder that includes must stay in; it was not opened.
    Outside {
        /// That folder, as shown.
        root: String,
    },
    /// A folder, a device, a pipe: anything but a regular file.
    NotAFile,
    /// Longer than what is read.
    TooLarge {
        /// The most that is read, in bytes.
        limit: u64,
    },
    /// The system refused; a few words why.
    Unreadable(String),
    /// An include that is an absolute path, begins with `~` or a drive letter, or is an address.
    NotRelative,
    /// A name that cannot be used, or not on every system; shown with what is wrong in it escaped.
    BadName(String),
}

/// Texts in memory, by name: what the disk is to the program, for everything that is tested without one.
#[derive(Debug, Clone, Default)]
pub struct Shelf(BTreeMap<String, Vec<u8>>);

impl Shelf {
    /// A shelf of these texts; names are relative paths with `/`.
    pub fn new<N: Into<String>, B: Into<Vec<u8>>>(texts: impl IntoIterator<Item = (N, B)>) -> Shelf {
        Shelf(texts.into_iter().map(|(name, bytes)| (name.into(), bytes.into())).collect())
    }
}

impl Files for Shelf {
    fn read(&self, wanted: &str, from: Option<&str>) -> Result<Found, Trouble> {
        if from.is_some() {
            portable(wanted)?;
        }
        let name = beside(from.map_or("", folder), wanted);
        if name.split('/').next() == Some("..") {
            return Err(Trouble::Outside { root: ".".into() });
        }
        match self.0.get(&name) {
            Some(bytes) => Ok(Found { key: name.clone(), name, bytes: bytes.clone() }),
            None => Err(Trouble::Missing { looked: vec![name] }),
        }
    }

    fn there(&self, wanted: &str, from: &str) -> Vec<String> {
        let before = way(wanted);
        let at = beside(folder(from), before);
        let lie = self.0.keys().filter(|name| folder(name) == at && name.ends_with(".job"));
        lie.filter_map(|name| name.rsplit('/').next()).map(|file| format!("{before}{file}")).collect()
    }
}

/// Whether an include may be written so: relative, and with names every system can hold, because a job that reads on
/// one machine has to read on the next.
///
/// # Errors
/// [`Trouble::NotRelative`], [`Trouble::BadName`], or [`Trouble::NotAFile`] for a path that can only be a folder.
pub fn portable(wanted: &str) -> Result<(), Trouble> {
    let bad = || Err(Trouble::BadName(escaped(wanted)));
    let (scheme, rest) = wanted.split_once(':').unwrap_or(("", ""));
    let drive = scheme.len() == 1 && scheme.starts_with(|letter: char| letter.is_ascii_alphabetic());
    if wanted.starts_with(['/', '\\', '~']) || drive || (!scheme.is_empty() && rest.starts_with('/')) {
        return Err(Trouble::NotRelative);
    }
    if wanted.is_empty() || wanted.contains(|c: char| c.is_control() || r#"\:*?"<>|"#.contains(c)) {
        return bad();
    }
    for name in wanted.split('/').filter(|name| !matches!(*name, "" | "." | "..")) {
        if name.len() > 255 || name.ends_with(['.', ' ']) || reserved(name) {
            return bad();
        }
    }
    match wanted.rsplit('/').next() {
        None | Some("" | "." | "..") => Err(Trouble::NotAFile),
        Some(_) => Ok(()),
    }
}

/// Whether a file name stands for a device on Windows, whatever follows its first dot: `con`, `aux.txt`, `LPT1`.
/// Source: Microsoft Learn, "Naming Files, Paths, and Namespaces".
#[must_use]
pub fn reserved(name: &str) -> bool {
    let stem = name.split('.').next().unwrap_or(name).trim_end_matches(' ').to_ascii_lowercase();
    match stem.as_str() {
        "con" | "prn" | "aux" | "nul" => true,
        port => port.strip_prefix("com").or_else(|| port.strip_prefix("lpt")).is_some_and(|number| {
            match number.as_bytes() {
                [digit] => digit.is_ascii_digit(),
                _ => matches!(number, "¹" | "²" | "³"),
            }
        }),
    }
}

/// What stands before the name of the file in a path, its last `/` included.
#[must_use]
pub fn way(path: &str) -> &str {
    path.rfind('/').and_then(|at| path.get(..=at)).unwrap_or("")
}

/// The folder part of a shown name; empty for a bare name.
#[must_use]
pub fn folder(name: &str) -> &str {
    match name.rfind('/') {
        Some(0) => "/",
        Some(at) => name.get(..at).unwrap_or(""),
        None => "",
    }
}

/// `path` as it is reached from `folder`, both with `/`: each `..` of the path takes off a name where one stands
/// before it. A path that climbs out of a relative folder begins with `..`.
#[must_use]
pub fn beside(folder: &str, path: &str) -> String {
    let kept = |name: &&str| !matches!(*name, "" | ".");
    let mut names: Vec<&str> = folder.split('/').filter(kept).collect();
    let absolute = folder.starts_with('/') || (names.is_empty() && path.starts_with('/'));
    for name in path.split('/').filter(kept) {
        match (name, names.last()) {
            ("..", Some(last)) if *last != ".." => {
                names.pop();
            }
            ("..", None) if absolute => {}
            _ => names.push(name),
        }
    }
    format!("{}{}", if absolute { "/" } else { "" }, names.join("/"))
}

/// A name or a line fit for a terminal: control characters, marks that turn the direction of writing, and characters
/// without width are written as `\n` or `\u{1b}`.
#[must_use]
pub fn escaped(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for c in text.chars() {
        let unseen = matches!(c, '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}');
        if c.is_control() || unseen {
            shown.extend(c.escape_default());
        } else {
            shown.push(c);
        }
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn row_54_includes_are_relative_paths() {
        for wanted in [
            "/etc/passwd",
            "~",
            "~/a.job",
            "~quarry/a.job",
            "C:\\a.job",
            "c:a.job",
            "C:/a.job",
            "\\\\server\\share",
            "\\a.job",
            "file:///etc/passwd",
            "http://quarry.example/a.job",
            "file:/a.job",
            "//server/share/a.job",
        ] {
            assert_eq!(portable(wanted), Err(Trouble::NotRelative), "{wanted}");
        }
        for wanted in [
            "a.job",
            "../a.job",
            "./shop/a b.job",
            "½.job",
            "-a.job",
            "-",
            ".shop.job",
            "a//b.job",
            "console.job",
            "com.job",
        ] {
            assert_eq!(portable(wanted), Ok(()), "{wanted}");
        }
    }

    #[test]
    fn row_56_names_that_not_every_system_can_hold_are_bad() {
        for wanted in [
            "",
            "a\nb.job",
            "CON",
            "aux.txt",
            "shop/nul.job",
            "Lpt9",
            "com¹.job",
            "a.",
            "a ",
            "a./b.job",
            "shop\\a.job",
            "ab:c",
            "what?.job",
            "\u{1b}[2J.job",
        ] {
            assert_eq!(portable(wanted), Err(Trouble::BadName(escaped(wanted))), "{wanted:?}");
        }
        assert_eq!(portable(&"a".repeat(255)), Ok(()));
        assert_eq!(portable(&"a".repeat(256)), Err(Trouble::BadName("a".repeat(256))));
        for wanted in ["shop/", ".", "..", "shop/.."] {
            assert_eq!(portable(wanted), Err(Trouble::NotAFile), "{wanted}");
        }
    }

    #[test]
    fn row_68_names_are_shown_escaped() {
        assert_eq!(
            escaped("a\u{1b}]0;t\u{7}\r\n\u{9b}\u{202e}\u{200b}é½"),
            r"a\u{1b}]0;t\u{7}\r\n\u{9b}\u{202e}\u{200b}é½"
        );
    }

    #[test]
    fn paths_are_joined_by_their_names() {
        for (folder, path, expected) in [
            ("", "a.job", "a.job"),
            ("", "./a.job", "a.job"),
            ("jobs", "../shop/a.job", "shop/a.job"),
            ("jobs", "../../a.job", "../a.job"),
            ("..", "../a.job", "../../a.job"),
            ("/jobs", "../../a.job", "/a.job"),
            ("/", "a.job", "/a.job"),
            ("", "/a.job", "/a.job"),
            ("a/..", "b", "a/../b"),
        ] {
            assert_eq!(beside(folder, path), expected, "{folder} {path}");
        }
        assert_eq!((folder("a/b/c.job"), folder("c.job"), folder("/c.job")), ("a/b", "", "/"));
    }

    #[test]
    fn a_shelf_answers_like_a_disk() {
        let shelf = Shelf::new([("jobs/porch.job", "p"), ("shop.job", "s")]);
        let found = |name: &str, text: &str| Ok(Found { name: name.into(), key: name.into(), bytes: text.into() });
        assert_eq!(shelf.read("./jobs/porch.job", None), found("jobs/porch.job", "p"));
        assert_eq!(shelf.read("../shop.job", Some("jobs/porch.job")), found("shop.job", "s"));
        assert_eq!(
            shelf.read("shop.job", Some("jobs/porch.job")),
            Err(Trouble::Missing { looked: vec!["jobs/shop.job".into()] })
        );
        assert_eq!(shelf.read("../../a.job", Some("jobs/porch.job")), Err(Trouble::Outside { root: ".".into() }));
        assert_eq!(shelf.read("/shop.job", Some("jobs/porch.job")), Err(Trouble::NotRelative));
        assert_eq!(Shelf::default().read("a.job", None), Err(Trouble::Missing { looked: vec!["a.job".into()] }));
        assert_eq!(shelf.there("./porsh.job", "jobs/shed.job"), ["./porch.job"]);
        assert_eq!(shelf.there("../Shop.job", "jobs/porch.job"), ["../shop.job"]);
        assert_eq!(shelf.there("yard/shop.job", "jobs/porch.job"), [""; 0]);
    }
}

//! File names made from the titles of jobs: the same on every system, and never a way out of the output folder.

use std::{
    collections::BTreeMap,
    fmt,
    path::{Path, PathBuf},
};

use crate::source::reserved;

/// The most characters in a [`Slug`].
pub const LONGEST: usize = 60;

/// A file name without its ending: ASCII lower case letters, digits and hyphens, one to [`LONGEST`] of them.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Slug(String);

impl Slug {
    /// The name for a title. Apostrophes vanish, anything else that is not an ASCII letter or digit becomes a hyphen
    /// between words. A name that is empty or stands for a device on some systems gets `job-` before it.
    #[must_use]
    pub fn of(title: &str) -> Slug {
        let mut slug = String::new();
        let mut gap = false;
        for c in title.chars() {
            if matches!(c, '\'' | '’') {
                continue;
            }
            if !c.is_ascii_alphanumeric() {
                gap = true;
                continue;
            }
            let hyphen = gap && !slug.is_empty();
            if slug.len() + usize::from(hyphen) >= LONGEST {
                break;
            }
            if hyphen {
                slug.push('-');
            }
            gap = false;
            slug.push(c.to_ascii_lowercase());
        }
        if slug.is_empty() {
            slug.push_str("job-untitled");
        } else if reserved(&slug) {
            slug.insert_str(0, "job-");
        }
        Slug(slug)
    }

    /// The name.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Slug {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Two titles that give one file name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clash {
    /// The name both would have.
    pub slug: Slug,
    /// Which title had it first, from 0.
    pub first: usize,
    /// Which wanted it again, from 0.
    pub second: usize,
}

/// The names for all jobs of a run, to be made before anything is written.
///
/// # Errors
/// The first two titles that would overwrite each other. Names hold no capitals, so this also holds where the case of
/// a file name does not count.
pub fn slugs<'t>(titles: impl IntoIterator<Item = &'t str>) -> Result<Vec<Slug>, Clash> {
    let mut seen: BTreeMap<Slug, usize> = BTreeMap::new();
    let mut slugs = Vec::new();
    for (second, title) in titles.into_iter().enumerate() {
        let slug = Slug::of(title);
        if let Some(first) = seen.insert(slug.clone(), second) {
            return Err(Clash { slug, first, second });
        }
        slugs.push(slug);
    }
    Ok(slugs)
}

/// The path of one paper in the output folder; `ending` without its dot.
#[must_use]
pub fn file_in(folder: &Path, slug: &Slug, ending: &str) -> PathBuf {
    folder.join(format!("{slug}.{ending}"))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn row_63_titles_become_names() {
        let long = "a".repeat(300);
        let words = "ab ".repeat(100);
        for (title, expected) in [
            ("Porch slab, Quarry Lane", "porch-slab-quarry-lane"),
            ("The boathouse's 2nd footing", "the-boathouses-2nd-footing"),
            ("  --Steps--  ", "steps"),
            ("../x", "x"),
            ("/etc/x", "etc-x"),
            ("C:\\x", "c-x"),
            ("a\nb\u{1b}[2J", "a-b-2j"),
            ("6½″ café", "6-caf"),
            ("", "job-untitled"),
            (".", "job-untitled"),
            ("..", "job-untitled"),
            ("🧱", "job-untitled"),
            ("con", "job-con"),
            ("NUL", "job-nul"),
            ("Aux.", "job-aux"),
            ("prn", "job-prn"),
            ("COM1", "job-com1"),
            ("lpt9", "job-lpt9"),
            ("com", "com"),
            ("com10", "com10"),
            ("con.txt", "con-txt"),
            (&long, &long[..60]),
            (&words, &words.replace(' ', "-")[..59]),
            (&format!("{} b", "a".repeat(58)), &format!("{}-b", "a".repeat(58))),
            (&format!("{} b", "a".repeat(59)), &"a".repeat(59)),
            (&format!("{}b", "a".repeat(59)), &format!("{}b", "a".repeat(59))),
        ] {
            assert_eq!(Slug::of(title).as_str(), expected, "{title:?}");
        }
    }

    #[test]
    fn row_63_two_jobs_with_one_name_clash_before_anything_is_written() {
        let clash = slugs(["Porch", "Steps", "PORCH!"]).unwrap_err();
        assert_eq!((clash.slug.as_str(), clash.first, clash.second), ("porch", 0, 2));
        assert!(slugs(["", "🧱"]).is_err());
        let names = slugs(["Porch", "Steps"]).unwrap();
        assert_eq!(names.iter().map(Slug::as_str).collect::<Vec<_>>(), ["porch", "steps"]);
    }

    proptest! {
        #[test]
        fn row_63_no_title_leaves_the_output_folder(title in any::<String>()) {
            let slug = Slug::of(&title);
            let name = slug.as_str();
            prop_assert!((1..=LONGEST).contains(&name.len()));
            prop_assert!(name.bytes().all(|byte| matches!(byte, b'a'..=b'z' | b'0'..=b'9' | b'-')));
            prop_assert!(!name.starts_with('-') && !name.ends_with('-') && !reserved(name));
            let path = file_in(Path::new("out"), &slug, "html");
            prop_assert_eq!(path.parent(), Some(Path::new("out")));
            prop_assert_eq!(Slug::of(name), slug);
        }
    }
}

//! The texts a job is made of, and places in them; where they come from and how bytes become text.

use std::{cell::OnceCell, collections::BTreeMap};

/// Which text a place is in: an index into [`Sources`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SourceId(pub u32);

/// A stretch of one text, in bytes; `end` is the first byte after it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// The text.
    pub source: SourceId,
    /// First byte.
    pub start: u32,
    /// First byte after.
    pub end: u32,
}

impl Span {
    /// The smallest span that holds both; `other` in another text is ignored.
    #[must_use]
    pub fn to(self, other: Span) -> Span {
        if self.source != other.source {
            return self;
        }
        Span { source: self.source, start: self.start.min(other.start), end: self.end.max(other.end) }
    }

    /// The empty place just after this one.
    #[must_use]
    pub fn after(self) -> Span {
        Span { start: self.end, ..self }
    }
}

/// One text: a job file, an included file, a file of the library, or standard input.
#[derive(Debug)]
pub struct Source {
    /// The name shown to people: a path with `/`, as it was reached.
    pub name: String,
    /// The text, without a byte order mark.
    pub text: String,
    lines: OnceCell<Vec<u32>>,
}

impl Source {
    /// A text under a name. A leading byte order mark is dropped: columns are counted without it.
    #[must_use]
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Source {
        let mut text: String = text.into();
        if text.starts_with('\u{feff}') {
            text.drain(..'\u{feff}'.len_utf8());
        }
        Source { name: name.into(), text, lines: OnceCell::new() }
    }

    /// Where each line starts, in bytes. Lines end at LF, CRLF or a lone CR.
    fn starts(&self) -> &[u32] {
        self.lines.get_or_init(|| {
            let bytes = self.text.as_bytes();
            let mut starts = vec![0];
            for at in 0..bytes.len() {
                if ends_line(bytes, at) {
                    starts.push(u32::try_from(at + 1).unwrap_or(u32::MAX));
                }
            }
            starts
        })
    }

    /// Line and column of a byte, both from 1; columns count characters.
    #[must_use]
    pub fn line_column(&self, byte: u32) -> (u32, u32) {
        let starts = self.starts();
        let line = starts.partition_point(|start| *start <= byte).saturating_sub(1);
        let start = starts.get(line).copied().unwrap_or(0) as usize;
        let mut end = (byte as usize).min(self.text.len());
        while !self.text.is_char_boundary(end) {
            end -= 1;
        }
        let column = self.text.get(start..end).map_or(0, |text| text.chars().count());
        (u32::try_from(line + 1).unwrap_or(u32::MAX), u32::try_from(column + 1).unwrap_or(u32::MAX))
    }
}

/// Whether a line ends with this byte: at LF, CRLF or a lone CR.
fn ends_line(bytes: &[u8], at: usize) -> bool {
    match bytes.get(at) {
        Some(b'\n') => true,
        Some(b'\r') => bytes.get(at + 1) != Some(&b'\n'),
        _ => false,
    }
}

/// All texts of one run, in the order they were read.
#[derive(Debug, Default)]
pub struct Sources(Vec<Source>);

impl Sources {
    /// Adds a text.
    pub fn add(&mut self, source: Source) -> SourceId {
        self.0.push(source);
        SourceId(u32::try_from(self.0.len() - 1).unwrap_or(u32::MAX))
    }

    /// The text of that number; an unknown number gives the first.
    #[must_use]
    pub fn get(&self, id: SourceId) -> &Source {
        &self.0[(id.0 as usize).min(self.0.len() - 1)]
    }

    /// The words at a place.
    #[must_use]
    pub fn text(&self, span: Span) -> &str {
        self.get(span.source).text.get(span.start as usize..span.end as usize).unwrap_or("")
    }
}

/// Where texts are read from: the disk, or a [`Shelf`] in memory.
pub trait Files {
    /// Reads one text. `wanted` is the path as it stands in an `include`, and `from` the shown name of the text
    /// that includes it; without `from`, `wanted` is the job as it was given.
    ///
    /// # Errors
    /// What kept the text from being read.
    fn read(&self, wanted: &str, from: Option<&str>) -> Result<Found, Trouble>;
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

/// Why bytes are not a text of this language.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotText {
    /// UTF-16, with or without a byte order mark.
    Utf16 {
        /// The low byte of each pair comes first.
        little: bool,
    },
    /// A picture, an archive, a program: not a text at all.
    Binary,
    /// A text, but not in UTF-8.
    Utf8 {
        /// The first byte that is not UTF-8, from 0.
        byte: usize,
        /// Its line, from 1.
        line: usize,
        /// The bytes there are what Windows-1252 writes for `½`, `°`, curly quotes or an accented letter.
        looks_windows_1252: bool,
    },
}

/// How much of a file is looked at to tell a text from anything else, in bytes.
const HEAD: usize = 8 * 1024;

/// First bytes of files that are often given by mistake: PNG, ELF, zip (also spreadsheets and word processing), PDF,
/// gzip, JPEG, GIF, and the older office formats. From memory.
const MAGIC: [&[u8]; 9] = [
    b"\x89PNG",
    b"\x7fELF",
    b"PK\x03\x04",
    b"PK\x05\x06",
    b"%PDF-",
    b"\x1f\x8b",
    b"\xff\xd8\xff",
    b"GIF8",
    b"\xd0\xcf\x11\xe0",
];

/// The text in a file. A lone NUL or control character in an otherwise good text is left for the language to report.
///
/// # Errors
/// What the bytes are instead: one answer for the whole file.
pub fn decode(bytes: Vec<u8>) -> Result<String, NotText> {
    let head = bytes.get(..HEAD).unwrap_or(&bytes);
    if MAGIC.iter().any(|magic| head.starts_with(magic)) {
        return Err(NotText::Binary);
    }
    if let Some(little) = utf16(head) {
        return Err(NotText::Utf16 { little });
    }
    let controls = head.iter().filter(|byte| matches!(byte, 0..=8 | 0x0e..=0x1f | 0x7f)).count();
    if controls >= 8 && controls * 20 > head.len() {
        return Err(NotText::Binary);
    }
    String::from_utf8(bytes).map_err(|error| {
        let byte = error.utf8_error().valid_up_to();
        let bytes = error.as_bytes();
        let line = 1 + (0..byte).filter(|at| ends_line(bytes, *at)).count();
        NotText::Utf8 { byte, line, looks_windows_1252: looks_windows_1252(bytes, byte) }
    })
}

/// Whether these are the first bytes of UTF-16, and then whether the low byte comes first. Without a byte order mark
/// it shows by the zero bytes: half or more of the high bytes are zero, and hardly any of the low ones.
fn utf16(head: &[u8]) -> Option<bool> {
    match head {
        [0xff, 0xfe, ..] => return Some(true),
        [0xfe, 0xff, ..] => return Some(false),
        _ => {}
    }
    let zeros = |first: usize| head.iter().skip(first).step_by(2).filter(|byte| **byte == 0).count();
    let (pairs, even, odd) = (head.len() / 2, zeros(0), zeros(1));
    let carries = |high: usize, low: usize| high >= 2 && high * 2 >= pairs && low * 10 <= high;
    if carries(odd, even) {
        return Some(true);
    }
    carries(even, odd).then_some(false)
}

/// Whether the bad byte at `at`, with the other bytes beyond ASCII that touch it, is what Windows-1252 writes for a
/// sign usual in measures and notes, or for one accented letter in a word.
fn looks_windows_1252(bytes: &[u8], at: usize) -> bool {
    let (before, from) = bytes.split_at_checked(at).unwrap_or((bytes, &[]));
    let length = from.iter().take(4).take_while(|byte| !byte.is_ascii()).count();
    let (run, after) = from.split_at_checked(length).unwrap_or((from, &[]));
    let ascii_before = before.last().is_none_or(u8::is_ascii);
    // euro, ellipsis, quotes, bullet, dashes, trade mark, no-break space, pound, section, degree, plus-minus, squared,
    // cubed, acute, micro, middle dot, quarter, half, three quarters
    let sign = |byte: &u8| matches!(byte, 0x80 | 0x85 | 0x91..=0x97 | 0x99 | 0xa0 | 0xa3 | 0xa7 | 0xb0..=0xb5 | 0xb7 | 0xbc..=0xbe);
    match run {
        // These also begin a character of UTF-8, so a file cut in the middle of one must not look like them.
        [0xd7 | 0xd8 | 0xe0..=0xf6 | 0xf8..=0xfc] => ascii_before && after.first().is_some_and(u8::is_ascii),
        [_] | [_, _] | [_, _, _] => ascii_before && run.iter().all(sign),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn utf8(byte: usize, line: usize, looks_windows_1252: bool) -> NotText {
        NotText::Utf8 { byte, line, looks_windows_1252 }
    }

    fn pairs(text: &str, bytes: fn(u16) -> [u8; 2]) -> Vec<u8> {
        text.encode_utf16().flat_map(bytes).collect()
    }

    #[test]
    fn row_3_a_byte_order_mark_stays_for_the_source_to_drop() {
        let text = decode(b"\xef\xbb\xbfjob".to_vec()).unwrap();
        let source = Source::new("a.job", text);
        assert_eq!(source.text, "job");
        assert_eq!(source.line_column(1), (1, 2));
    }

    #[test]
    fn row_4_utf_16_is_recognised_with_and_without_its_mark() {
        for text in ["job \"Porch\"\n", "\u{feff}job \"Porch\"\n", "ab"] {
            assert_eq!(decode(pairs(text, u16::to_le_bytes)), Err(NotText::Utf16 { little: true }), "{text:?}");
            assert_eq!(decode(pairs(text, u16::to_be_bytes)), Err(NotText::Utf16 { little: false }), "{text:?}");
        }
        let long = "length 12 ft ½ — ″\n".repeat(2000);
        assert_eq!(decode(pairs(&long, u16::to_le_bytes)), Err(NotText::Utf16 { little: true }));
    }

    #[test]
    fn row_5_bytes_that_are_not_utf_8_are_placed() {
        let cases: [(&[u8], NotText); 7] = [
            (b"a\xff", utf8(1, 1, false)),
            (b"a\nb\r\nc\rd\xff", utf8(8, 4, false)),
            (b"a \xc0\xaf", utf8(2, 1, false)),
            (b"a \xed\xa0\x80 b", utf8(2, 1, false)),
            (b"quote \xe2\x80", utf8(6, 1, false)),
            (b"quote \xe2", utf8(6, 1, false)),
            (b"\xef\xbb\xbf\xff", utf8(3, 1, false)),
        ];
        for (bytes, expected) in cases {
            assert_eq!(decode(bytes.to_vec()), Err(expected), "{bytes:x?}");
        }
    }

    #[test]
    fn row_6_windows_1252_is_guessed_from_its_usual_signs() {
        for bytes in [
            &b"width 6\xbd in"[..],
            b"6\xbd",
            b"at 90\xb0 to",
            b"\x93Porch\x94",
            b"lane\x92s",
            b"6\xbd\x94 deep",
            b"caf\xe9 wall",
            b"2 \xd7 4",
        ] {
            let Err(NotText::Utf8 { looks_windows_1252, .. }) = decode(bytes.to_vec()) else {
                panic!("{bytes:x?} is not UTF-8");
            };
            assert!(looks_windows_1252, "{bytes:x?}");
        }
        assert!(decode("6½ at 90° “Porch” café".into()).is_ok());
    }

    #[test]
    fn row_7_lone_zero_bytes_are_left_to_the_language_and_a_file_of_them_is_not_text() {
        for text in ["job \"a\0b\"\nwall\0\n", "\0", "a\0\n", "ends\0"] {
            assert_eq!(decode(text.into()).as_deref(), Ok(text));
        }
        assert_eq!(decode(vec![0; 1 << 20]), Err(NotText::Binary));
    }

    #[test]
    fn row_8_and_9_line_ends_are_kept_as_they_are() {
        for text in ["", "a\r\nb\rc\n", "no end"] {
            assert_eq!(decode(text.into()).as_deref(), Ok(text));
        }
    }

    #[test]
    fn row_10_a_file_cut_inside_a_character_is_placed_at_that_character() {
        let whole = "wall 6½ “x” 🧱";
        for end in 0..=whole.len() {
            let cut = whole.as_bytes()[..end].to_vec();
            match whole.get(..end) {
                Some(text) => assert_eq!(decode(cut).as_deref(), Ok(text)),
                None => {
                    let byte = (0..end).rev().find(|at| whole.is_char_boundary(*at)).unwrap();
                    assert_eq!(decode(cut), Err(utf8(byte, 1, false)));
                }
            }
        }
    }

    #[test]
    fn row_11_12_and_68_odd_controls_in_a_text_do_not_make_it_binary() {
        for text in
            ["wall\u{b}\u{c}\u{85}\u{2028}\n", "job\n\u{1a}", "note \"\u{1b}]0;title\u{7}\u{1b}[2J\u{8}\u{7f}\"\n"]
        {
            assert_eq!(decode(text.into()).as_deref(), Ok(text));
        }
    }

    #[test]
    fn row_13_a_binary_file_is_one_finding() {
        let noise: Vec<u8> = (0..50_000u32).map(|n| (n.wrapping_mul(2_654_435_761) >> 13) as u8).collect();
        for bytes in [
            &b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR"[..],
            b"\x7fELF\x02\x01\x01\0",
            b"PK\x03\x04\x14\0",
            b"\x1f\x8b\x08",
            &noise,
        ] {
            assert_eq!(decode(bytes.to_vec()), Err(NotText::Binary));
        }
    }

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
    }
}

//! Bytes to text, or what the bytes are instead.

use super::ends_line;

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
    use crate::source::Source;

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
}

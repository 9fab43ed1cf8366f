//! CSV after RFC 4180, for spreadsheets: only the tables of a paper, and of those only the items.

use std::{
    fmt::Write as _,
    io::{self, Write},
};

use super::characters::{REPLACEMENT, steers};
use crate::reports::{Cell, Paper, Table, Weight};

/// Prints one table as CSV: a row of heads, then a row for each item. Subtotals and totals are left out, for a
/// spreadsheet makes its own, and adds up a column without counting them twice.
///
/// Heads are the columns' keys, with the unit where there is one: `cut_length_in`. Figures are plain numbers in that
/// unit. Boxes, blanks and figures that are no finite number are empty. Lines end in CRLF. Text is kept as it is, but
/// control characters other than tab and line ends, and those that turn the direction of text, become U+FFFD; and text
/// a spreadsheet would run as a formula (its first sign is `=`, `+`, `-` or `@`) gets a `'` in front.
///
/// # Errors
/// The first error of `out`.
pub fn csv(table: &Table, out: &mut dyn Write) -> io::Result<()> {
    let columns = table.columns.len();
    if columns == 0 {
        return Ok(());
    }
    let (mut text, mut line) = (String::new(), String::new());
    for column in &table.columns {
        text.clear();
        text.push_str(column.key);
        if let Some(unit) = column.unit {
            text.push('_');
            text.push_str(unit);
        }
        field(neutral(&text, &mut String::new()), &mut line);
    }
    record(&mut line, out)?;
    table.rows.each(&mut |row| {
        if row.weight() != Weight::Item {
            return Ok(());
        }
        for cell in row.cells(columns) {
            match cell {
                Cell::Text(words) | Cell::Link { shown: words, .. } => {
                    text.clear();
                    field(neutral(words, &mut text), &mut line);
                }
                Cell::Count(count) => _ = write!(line, "{count},"),
                // Adding zero takes the sign off a negative zero.
                Cell::Figure { raw, .. } if raw.is_finite() => _ = write!(line, "{},", raw + 0.0),
                Cell::Figure { .. } | Cell::Blank | Cell::Tick | Cell::Empty => line.push(','),
            }
        }
        record(&mut line, out)
    })
}

/// Prints all tables of a paper one after another, each under a row with its name, parted by an empty line.
///
/// # Errors
/// The first error of `out`.
pub fn csv_all(paper: &Paper, out: &mut dyn Write) -> io::Result<()> {
    let (mut text, mut line) = (String::new(), String::new());
    for (nth, table) in paper.tables().enumerate() {
        if nth > 0 {
            out.write_all(b"\r\n")?;
        }
        text.clear();
        field(neutral(table.name, &mut text), &mut line);
        record(&mut line, out)?;
        csv(table, out)?;
    }
    Ok(())
}

/// Appends a field and a comma; the field stands in quotes where a comma, a quote, a line end or an outer blank in it
/// asks for them.
fn field(text: &str, line: &mut String) {
    let quoted = text.bytes().any(|byte| matches!(byte, b',' | b'"' | b'\r' | b'\n'))
        || text.starts_with(' ')
        || text.ends_with(' ');
    if quoted {
        line.push('"');
        for (nth, piece) in text.split('"').enumerate() {
            line.push_str(if nth > 0 { "\"\"" } else { "" });
            line.push_str(piece);
        }
        line.push('"');
    } else {
        line.push_str(text);
    }
    line.push(',');
}

/// Writes the fields appended as one record. A lone empty field is quoted, else its line would be no record at all.
fn record(line: &mut String, out: &mut dyn Write) -> io::Result<()> {
    if line == "," {
        line.insert_str(0, "\"\"");
    }
    line.pop();
    line.push_str("\r\n");
    out.write_all(line.as_bytes())?;
    line.clear();
    Ok(())
}

/// A text as it stands in a cell: itself, or made in `made` if something in it must not stand.
///
/// Spreadsheets run a text as a formula when its first sign is `=`, `+`, `-` or `@`, half or full width, and some drop
/// white space before it; a leading tab or line end can part such a text from its quote. Such texts get a `'` in
/// front (OWASP, "CSV Injection").
fn neutral<'t>(text: &'t str, made: &'t mut String) -> &'t str {
    let unsafe_character = |c: char| steers(c) && !matches!(c, '\t' | '\n' | '\r' | '\u{2028}' | '\u{2029}');
    let runs = text.starts_with(['\t', '\r', '\n'])
        || text.trim_start().starts_with(['=', '+', '-', '@', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}']);
    if !runs && (text.bytes().all(|byte| (b' '..0x7f).contains(&byte)) || !text.contains(unsafe_character)) {
        return text;
    }
    if runs {
        made.push('\'');
    }
    made.extend(text.chars().map(|c| if unsafe_character(c) { REPLACEMENT } else { c }));
    made
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::reports::{Column, Row, print::sample::sample};

    fn print(table: &Table) -> String {
        let mut out = Vec::new();
        csv(table, &mut out).unwrap();
        String::from_utf8(out).unwrap()
    }

    fn read(text: &str) -> Vec<Vec<String>> {
        let mut reader = ::csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
        reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect()
    }

    #[test]
    fn a_page() {
        let mut out = Vec::new();
        csv_all(&sample(), &mut out).unwrap();
        // A snapshot file has no CR; that each line ends in CRLF is asserted here.
        let text = String::from_utf8(out).unwrap();
        assert_eq!(text.matches("\r\n").count(), text.matches('\n').count());
        assert_eq!(text.matches("\r\n").count(), text.matches('\r').count());
        insta::with_settings!({ prepend_module_to_snapshot => false }, {
            insta::assert_snapshot!("sample.csv", text.replace("\r\n", "\n"));
        });
    }

    #[test]
    fn what_a_spreadsheet_would_run_gets_a_mark() {
        for text in ["=1+1", "+1", "-1", "@x", "\t=1", "\rx", "\nx", " =1", "\u{a0}=1", "＝1", "＋1", "－1", "＠x"]
        {
            assert_eq!(neutral(text, &mut String::new()), format!("'{text}"));
        }
        for text in ["", "1-2", "007", "a=1", "'", "× 2", "a\r\nb", "12345678901234567890"] {
            assert_eq!(neutral(text, &mut String::new()), text);
        }
        assert_eq!(neutral("=\u{1b}[2J\u{202e}é", &mut String::new()), "'=\u{fffd}[2J\u{fffd}é");
    }

    #[test]
    fn numbers_stay_numbers() {
        let row = Row::new(Weight::Item, |row| {
            row.count(-3).figure("0 in", -0.0).figure("1/64", 0.015625).figure("?", f64::NAN).figure("-", -2.5);
        });
        let columns = ["a", "b", "c", "d", "e"].map(|key| Column::figure(key, "", "in")).to_vec();
        assert_eq!(print(&Table::new("t", columns, vec![row])), "a_in,b_in,c_in,d_in,e_in\r\n-3,0,0.015625,,-2.5\r\n");
    }

    #[test]
    fn an_empty_row_is_a_record() {
        let rows = || vec![Row::default(), Row::new(Weight::Item, |row| _ = row.text(" a "))];
        assert_eq!(print(&Table::new("t", vec![Column::text("n", "")], rows())), "n\r\n\"\"\r\n\" a \"\r\n");
        let two = vec![Column::text("n", ""), Column::mark("m", "")];
        assert_eq!(print(&Table::new("t", two, rows())), "n,m\r\n,\r\n\" a \",\r\n");
    }

    #[test]
    fn totals_are_left_out() {
        let weights = [Weight::Item, Weight::Subtotal, Weight::Item, Weight::Total];
        let rows: Vec<Row> = (1..).zip(weights).map(|(n, weight)| Row::new(weight, |row| _ = row.count(n))).collect();
        assert_eq!(print(&Table::new("t", vec![Column::count("n", "")], rows)), "n\r\n1\r\n3\r\n");
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn a_reader_gets_everything_back(
            cells in prop::collection::vec(("[-=+@,\"'\r\n\t a1é＝\u{1b}]{0,8}", any::<f64>(), any::<i64>(), any::<String>()), 0..5)
        ) {
            let rows: Vec<Row> = cells
                .iter()
                .map(|(a, b, c, d)| Row::new(Weight::Item, |row| _ = row.text(a).figure("shown", *b).count(*c).text(d)))
                .collect();
            let columns = vec![
                Column::text("a", "A"), Column::figure("b", "B", "mm"), Column::count("c", "C"), Column::text("d", "D"),
            ];
            let back = read(&print(&Table::new("t", columns, rows)));
            prop_assert_eq!(&back[0], &["a", "b_mm", "c", "d"]);
            prop_assert_eq!(back.len(), cells.len() + 1);
            for ((a, b, c, d), row) in cells.iter().zip(&back[1..]) {
                for (text, field) in [(a, &row[0]), (d, &row[3])] {
                    let kept = field.strip_prefix('\'').filter(|_| !text.starts_with('\'')).unwrap_or(field);
                    prop_assert_eq!(kept.chars().count(), text.chars().count());
                    prop_assert!(kept.chars().zip(text.chars()).all(|(k, t)| k == t || (k == REPLACEMENT && steers(t))));
                    prop_assert!(!field.trim_start().starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠']));
                    prop_assert!(!field.starts_with(['\t', '\r', '\n']));
                }
                match b.is_finite() {
                    true => prop_assert_eq!(row[1].parse::<f64>().unwrap(), *b),
                    false => prop_assert_eq!(&row[1], ""),
                }
                prop_assert_eq!(row[2].parse::<i64>().unwrap(), *c);
            }
        }
    }
}

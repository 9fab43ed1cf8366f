//! Pipe tables, written row by row.

use std::{
    fmt::Write as _,
    io::{self, Write},
};

use unicode_width::UnicodeWidthStr;

use super::{TICK, inline::escape};
use crate::reports::{Align, Cell, Row, Table, Weight};

/// A blank to fill in within a table.
const BLANK: &str = "________";
/// Most rows a table may have to be padded.
const PADDED_ROWS: usize = 200;
/// Widest column that is padded, in character cells; a longer text sticks out.
const PADDED_WIDTH: usize = 60;

/// Prints the table without its caption; nothing if it has no column.
pub(super) fn table(table: &Table, out: &mut dyn Write) -> io::Result<()> {
    if table.columns.is_empty() {
        return Ok(());
    }
    let heads = head(table);
    let mut grid =
        Grid { aligns: table.columns.iter().map(|column| column.align).collect(), widths: None, cell: String::new() };
    grid.widths = measure(table, &heads)?;
    let mut line = String::new();
    grid.line(&heads, &mut line);
    grid.rule(&mut line);
    out.write_all(line.as_bytes())?;
    table.rows.each(&mut |row| {
        line.clear();
        grid.line(row, &mut line);
        out.write_all(line.as_bytes())
    })
}

/// The heads, as a row.
fn head(table: &Table) -> Row {
    Row::new(Weight::Item, |row| {
        for column in &table.columns {
            row.text(&column.head);
        }
    })
}

/// The widths of the columns, unless there are too many rows for padding.
fn measure(table: &Table, heads: &Row) -> io::Result<Option<Vec<usize>>> {
    let columns = table.columns.len();
    let mut widths = vec![3; columns];
    let mut text = String::new();
    let mut widen = |row: &Row| {
        for (width, cell) in widths.iter_mut().zip(row.cells(columns)) {
            text.clear();
            put(cell, row.weight(), &mut text);
            *width = (*width).max(text.width().min(PADDED_WIDTH));
        }
    };
    widen(heads);
    let mut rows = 0;
    let end = table.rows.each(&mut |row| {
        rows += 1;
        if rows > PADDED_ROWS {
            // Enough seen: any error ends the formula early.
            return Err(io::ErrorKind::Other.into());
        }
        widen(row);
        Ok(())
    });
    if rows > PADDED_ROWS { Ok(None) } else { end.map(|()| Some(widths)) }
}

/// How the columns stand.
struct Grid {
    aligns: Vec<Align>,
    /// Widths to pad to, if any.
    widths: Option<Vec<usize>>,
    /// The cell in the making.
    cell: String,
}

impl Grid {
    fn line(&mut self, row: &Row, line: &mut String) {
        line.push('|');
        let Grid { aligns, widths, cell } = self;
        match widths {
            None => {
                for each in row.cells(aligns.len()) {
                    line.push(' ');
                    put(each, row.weight(), line);
                    line.push_str(" |");
                }
            }
            Some(widths) => {
                for ((each, width), align) in row.cells(aligns.len()).zip(widths).zip(aligns) {
                    cell.clear();
                    put(each, row.weight(), cell);
                    let spare = width.saturating_sub(cell.width());
                    let left = match align {
                        Align::Left => 0,
                        Align::Right => spare,
                        Align::Centre => spare / 2,
                    };
                    line.extend(std::iter::repeat_n(' ', left + 1));
                    line.push_str(cell);
                    line.extend(std::iter::repeat_n(' ', spare - left + 1));
                    line.push('|');
                }
            }
        }
        line.push('\n');
    }

    /// The row of dashes under the heads, which says how the columns are aligned.
    fn rule(&self, line: &mut String) {
        line.push('|');
        for (nth, align) in self.aligns.iter().enumerate() {
            let width = self.widths.as_ref().and_then(|widths| widths.get(nth)).copied().unwrap_or(3);
            let (start, end) = match align {
                Align::Left => ("", ""),
                Align::Right => ("", ":"),
                Align::Centre => (":", ":"),
            };
            line.push(' ');
            line.push_str(start);
            line.extend(std::iter::repeat_n('-', width.saturating_sub(start.len() + end.len()).max(1)));
            line.push_str(end);
            line.push_str(" |");
        }
        line.push('\n');
    }
}

/// Appends a way to another file as RFC 3986 has it: what is no unreserved sign is written by its bytes, so that nothing in a
/// name ends the link or begins another.
fn way(to: &str, out: &mut String) {
    for byte in to.bytes() {
        if byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'.' | b'_' | b'~' | b'/') {
            out.push(char::from(byte));
        } else {
            let _ = write!(out, "%{byte:02X}");
        }
    }
}

/// Appends one cell; totals are strong.
fn put(cell: Cell, weight: Weight, out: &mut String) {
    let start = out.len();
    match cell {
        Cell::Text(text) | Cell::Figure { shown: text, .. } => escape(text, out),
        Cell::Link { shown, to } => {
            out.push('[');
            escape(shown, out);
            out.push_str("](");
            way(to, out);
            out.push(')');
        }
        Cell::Count(count) => _ = write!(out, "{count}"),
        Cell::Blank => return out.push_str(BLANK),
        Cell::Tick => return out.push_str(TICK),
        Cell::Empty => return,
    }
    if weight != Weight::Item && out.len() > start {
        out.insert_str(start, "**");
        out.push_str("**");
    }
}

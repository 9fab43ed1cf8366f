//! Pipe tables, written row by row.

use std::{
    fmt::Write as _,
    io::{self, Write},
};

use unicode_width::UnicodeWidthStr;

use super::{super::characters::blanks, TICK, inline::escape};
use crate::reports::{Align, Cell, Row, Table, Weight};

/// A blank to fill in within a table.
const BLANK: &str = "________";
/// Most rows a table may have to be padded.
const PADDED_ROWS: usize = 200;
/// Widest column that is padded, in character cells; a longer text sticks out.
const PADDED_WIDTH: usize = 60;

/// Prints the table without its caption; nothing if it has no column. Its rows are made once: they wait for the widths of
/// their columns, until there are too many of them for padding.
pub(super) fn table(table: &Table, out: &mut dyn Write) -> io::Result<()> {
    if table.columns.is_empty() {
        return Ok(());
    }
    let aligns: Vec<Align> = table.columns.iter().map(|column| column.align).collect();
    let mut grid = Some(Grid::new(&aligns, &head(table)));
    let mut line = String::new();
    table.rows.each(&mut |row| {
        if let Some(waiting) = grid.take_if(|grid| grid.rows() == PADDED_ROWS) {
            waiting.write(&aligns, false, out)?;
        }
        match &mut grid {
            Some(grid) => grid.add(row),
            None => {
                line.clear();
                plain(row, aligns.len(), &mut line);
                out.write_all(line.as_bytes())?;
            }
        }
        Ok(())
    })?;
    grid.map_or(Ok(()), |grid| grid.write(&aligns, true, out))
}

/// The heads, as a row.
fn head(table: &Table) -> Row {
    Row::new(Weight::Item, |row| {
        for column in &table.columns {
            row.text(&column.head);
        }
    })
}

/// Rows that wait to be printed, their cells one behind the other.
struct Grid {
    text: String,
    /// Where each cell ends in the text, and how wide it is.
    cells: Vec<(usize, usize)>,
    widths: Vec<usize>,
}

impl Grid {
    fn new(aligns: &[Align], heads: &Row) -> Grid {
        let mut grid = Grid { text: String::new(), cells: Vec::new(), widths: vec![3; aligns.len()] };
        grid.add(heads);
        grid
    }

    /// How many there are below the heads.
    fn rows(&self) -> usize {
        self.cells.len() / self.widths.len() - 1
    }

    fn add(&mut self, row: &Row) {
        let columns = self.widths.len();
        for (widest, cell) in self.widths.iter_mut().zip(row.cells(columns)) {
            let start = self.text.len();
            put(cell, row.weight(), &mut self.text);
            // No sign in a cell steers the screen: in ASCII each is one character cell wide.
            let cell = &self.text[start..];
            let width = if cell.is_ascii() { cell.len() } else { cell.width() };
            self.cells.push((self.text.len(), width));
            *widest = (*widest).max(width.min(PADDED_WIDTH));
        }
    }

    /// Writes the heads, the line below them and the rows, with straight columns or without.
    fn write(&self, aligns: &[Align], padded: bool, out: &mut dyn Write) -> io::Result<()> {
        let mut line = String::new();
        let mut start = 0;
        for (nth, row) in self.cells.chunks(self.widths.len()).enumerate() {
            line.clear();
            line.push('|');
            for ((&(end, width), &widest), align) in row.iter().zip(&self.widths).zip(aligns) {
                let spare = if padded { widest.saturating_sub(width) } else { 0 };
                let left = match align {
                    Align::Left => 0,
                    Align::Right => spare,
                    Align::Centre => spare / 2,
                };
                blanks(left + 1, &mut line);
                line.push_str(&self.text[start..end]);
                blanks(spare - left + 1, &mut line);
                line.push('|');
                start = end;
            }
            line.push('\n');
            if nth == 0 {
                self.rule(aligns, padded, &mut line);
            }
            out.write_all(line.as_bytes())?;
        }
        Ok(())
    }

    /// The row of dashes under the heads, which says how the columns are aligned.
    fn rule(&self, aligns: &[Align], padded: bool, line: &mut String) {
        line.push('|');
        for (align, width) in aligns.iter().zip(&self.widths) {
            let width = if padded { *width } else { 3 };
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

/// Appends a row without padding.
fn plain(row: &Row, columns: usize, line: &mut String) {
    line.push('|');
    for cell in row.cells(columns) {
        line.push(' ');
        put(cell, row.weight(), line);
        line.push_str(" |");
    }
    line.push('\n');
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

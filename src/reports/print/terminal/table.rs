//! Tables on a screen. Small ones are arranged by what is in all their cells; large ones stream, their columns measured
//! in a first pass, so that no row is kept.

use std::{
    fmt::Write as _,
    io::{self, Write},
};

use comfy_table::{CellAlignment, ContentArrangement, LineStyle, TableStyle};
use unicode_width::UnicodeWidthStr;

use super::{super::characters::blanks, visible, wrap::wrap};
use crate::reports::{Align, Cell, Column, Table};

/// Most rows of a table that is kept whole to be arranged.
pub(super) const KEPT_ROWS: usize = 2_000;
/// Cells between columns.
const GAP: usize = 2;
/// A blank to fill in.
const BLANK: &str = "________";
/// A box to tick.
const TICK: &str = "☐";
/// The line under the heads; nothing else is drawn.
const RULE: char = '─';

/// Prints the table without its caption; nothing if it has no column.
pub(super) fn table(table: &Table, width: usize, out: &mut dyn Write) -> io::Result<()> {
    if table.columns.is_empty() {
        return Ok(());
    }
    match look(table)? {
        Seen::Few(rows) => arranged(table, rows, width, out),
        Seen::Many(widths) => streamed(table, &fit(widths, width), out),
    }
}

/// What a first look at the rows brings.
enum Seen {
    /// The texts of all.
    Few(Vec<Vec<String>>),
    /// They are many: how wide the widest text of each column is.
    Many(Vec<usize>),
}

fn look(table: &Table) -> io::Result<Seen> {
    let columns = table.columns.len();
    let mut widths: Vec<usize> = heads(table).iter().map(|head| wide(head).max(1)).collect();
    let mut kept = Some(Vec::new());
    let mut text = String::new();
    table.rows.each(&mut |row| {
        if let Some(rows) = &mut kept {
            if rows.len() < KEPT_ROWS {
                rows.push(row.cells(columns).map(shown).collect::<Vec<String>>());
                return Ok(());
            }
            for cells in rows {
                widen(&mut widths, cells.iter().map(|cell| wide(cell)));
            }
            kept = None;
        }
        let cells = row.cells(columns).map(|cell| {
            text.clear();
            put(cell, &mut text);
            wide(&text)
        });
        widen(&mut widths, cells);
        Ok(())
    })?;
    Ok(kept.map_or(Seen::Many(widths), Seen::Few))
}

fn widen(widths: &mut [usize], cells: impl Iterator<Item = usize>) {
    for (width, cell) in widths.iter_mut().zip(cells) {
        *width = (*width).max(cell);
    }
}

/// How many character cells a text takes: nothing in it steers the screen, so that in ASCII each sign takes one.
fn wide(text: &str) -> usize {
    if text.is_ascii() { text.len() } else { text.width() }
}

/// Prints rows that are at hand.
fn arranged(table: &Table, rows: Vec<Vec<String>>, width: usize, out: &mut dyn Write) -> io::Result<()> {
    let mut grid = comfy_table::Table::new();
    grid.load_style(TableStyle::new().header_separator(LineStyle::none().fill(RULE)));
    grid.set_content_arrangement(ContentArrangement::Dynamic);
    grid.set_width(u16::try_from(width).unwrap_or(u16::MAX));
    grid.set_header(heads(table));
    grid.add_rows(rows);
    let last = table.columns.len().saturating_sub(1);
    for (nth, (column, of)) in grid.column_iter_mut().zip(&table.columns).enumerate() {
        column.set_padding((0, if nth == last { 0 } else { GAP as u16 }));
        column.set_cell_alignment(match of.align {
            Align::Left => CellAlignment::Left,
            Align::Right => CellAlignment::Right,
            Align::Centre => CellAlignment::Center,
        });
    }
    grid.lines().try_for_each(|line| writeln!(out, "{}", line.trim_end()))
}

/// Prints rows one by one.
fn streamed(table: &Table, widths: &[usize], out: &mut dyn Write) -> io::Result<()> {
    let mut cells = heads(table);
    let mut line = String::new();
    broken(&cells, widths, &table.columns, &mut line, out)?;
    let ruled = widths.iter().sum::<usize>() + GAP * (widths.len().saturating_sub(1));
    writeln!(out, "{}", String::from(RULE).repeat(ruled))?;
    table.rows.each(&mut |row| {
        for (cell, kept) in row.cells(cells.len()).zip(&mut cells) {
            kept.clear();
            put(cell, kept);
        }
        broken(&cells, widths, &table.columns, &mut line, out)
    })
}

/// Narrows the widest columns alike until all fit between the edges, but none to nothing.
fn fit(widths: Vec<usize>, width: usize) -> Vec<usize> {
    let room = width.saturating_sub(GAP * widths.len().saturating_sub(1));
    let wanted = |most: usize| widths.iter().map(|each| *each.min(&most)).fold(0, usize::saturating_add);
    // The widest limit that fits, found by halving: a wider limit never wants less room.
    let (mut fits, mut over) = (1, width.saturating_add(1));
    while over - fits > 1 {
        let middle = usize::midpoint(fits, over);
        if wanted(middle) <= room { fits = middle } else { over = middle }
    }
    widths.iter().map(|each| *each.min(&fits)).collect()
}

/// Writes one row, its cells broken into as many lines as they need.
fn broken(
    cells: &[String],
    widths: &[usize],
    columns: &[Column],
    line: &mut String,
    out: &mut dyn Write,
) -> io::Result<()> {
    // Most rows need one line.
    if cells.iter().zip(widths).all(|(cell, width)| wide(cell) <= *width) {
        for ((cell, width), column) in cells.iter().zip(widths).zip(columns) {
            piece(cell, *width, column.align, line);
        }
        return ended(line, out);
    }
    let mut pieces: Vec<_> = cells.iter().zip(widths).map(|(cell, width)| wrap(cell, *width).fuse()).collect();
    for nth in 0.. {
        let mut some = false;
        for ((pieces, width), column) in pieces.iter_mut().zip(widths).zip(columns) {
            let next = pieces.next();
            some |= next.is_some();
            piece(next.unwrap_or_default(), *width, column.align, line);
        }
        if !some && nth > 0 {
            break;
        }
        ended(line, out)?;
    }
    line.clear();
    Ok(())
}

/// Appends a piece of a cell, and the gap to the next.
fn piece(piece: &str, width: usize, align: Align, line: &mut String) {
    let spare = width.saturating_sub(wide(piece));
    let left = match align {
        Align::Left => 0,
        Align::Right => spare,
        Align::Centre => spare.div_ceil(2),
    };
    blanks(left, line);
    line.push_str(piece);
    blanks(spare - left + GAP, line);
}

/// Writes a line without the blanks at its end, and empties it.
fn ended(line: &mut String, out: &mut dyn Write) -> io::Result<()> {
    let end = line.trim_end().len();
    line.truncate(end);
    line.push('\n');
    let written = out.write_all(line.as_bytes());
    line.clear();
    written
}

fn heads(table: &Table) -> Vec<String> {
    table.columns.iter().map(|column| shown(Cell::Text(&column.head))).collect()
}

fn shown(cell: Cell) -> String {
    let mut text = String::new();
    put(cell, &mut text);
    text
}

/// Appends one cell.
fn put(cell: Cell, out: &mut String) {
    match cell {
        Cell::Text(text) | Cell::Link { shown: text, .. } | Cell::Figure { shown: text, .. } => visible(text, out),
        Cell::Count(count) => _ = write!(out, "{count}"),
        Cell::Blank => out.push_str(BLANK),
        Cell::Tick => out.push_str(TICK),
        Cell::Empty => {}
    }
}

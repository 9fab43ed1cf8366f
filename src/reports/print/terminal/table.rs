//! Tables on a screen. Small ones are arranged by what is in all their cells; large ones stream, their columns measured
//! in a first pass, so that no row is kept.

use std::{
    fmt::Write as _,
    io::{self, Write},
    iter::repeat_n,
};

use comfy_table::{CellAlignment, ContentArrangement, LineStyle, TableStyle};
use unicode_width::UnicodeWidthStr;

use super::{visible, wrap::wrap};
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
    match keep(table)? {
        Some(rows) => arranged(table, rows, width, out),
        None => streamed(table, width, out),
    }
}

/// The texts of all rows, unless they are many.
fn keep(table: &Table) -> io::Result<Option<Vec<Vec<String>>>> {
    let mut kept = Vec::new();
    let mut many = false;
    let end = table.rows.each(&mut |row| {
        if kept.len() == KEPT_ROWS {
            many = true;
            // Enough seen: any error ends the formula early.
            return Err(io::ErrorKind::Other.into());
        }
        kept.push(row.cells(table.columns.len()).map(shown).collect());
        Ok(())
    });
    if many { Ok(None) } else { end.map(|()| Some(kept)) }
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
fn streamed(table: &Table, width: usize, out: &mut dyn Write) -> io::Result<()> {
    let widths = fit(measure(table)?, width);
    let mut cells = heads(table);
    broken(&cells, &widths, &table.columns, out)?;
    let ruled = widths.iter().sum::<usize>() + GAP * (widths.len().saturating_sub(1));
    writeln!(out, "{}", String::from(RULE).repeat(ruled))?;
    table.rows.each(&mut |row| {
        for (cell, kept) in row.cells(cells.len()).zip(&mut cells) {
            kept.clear();
            put(cell, kept);
        }
        broken(&cells, &widths, &table.columns, out)
    })
}

/// The width of the widest text of each column.
fn measure(table: &Table) -> io::Result<Vec<usize>> {
    let mut widths: Vec<usize> = heads(table).iter().map(|head| head.width().max(1)).collect();
    let mut text = String::new();
    table.rows.each(&mut |row| {
        for (width, cell) in widths.iter_mut().zip(row.cells(table.columns.len())) {
            text.clear();
            put(cell, &mut text);
            *width = (*width).max(text.width());
        }
        Ok(())
    })?;
    Ok(widths)
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
fn broken(cells: &[String], widths: &[usize], columns: &[Column], out: &mut dyn Write) -> io::Result<()> {
    let mut pieces: Vec<_> = cells.iter().zip(widths).map(|(cell, width)| wrap(cell, *width).fuse()).collect();
    let mut line = String::new();
    for nth in 0.. {
        let mut some = false;
        line.clear();
        for ((pieces, width), column) in pieces.iter_mut().zip(widths).zip(columns) {
            let piece = pieces.next();
            some |= piece.is_some();
            let piece = piece.unwrap_or_default();
            let spare = width.saturating_sub(piece.width());
            let left = match column.align {
                Align::Left => 0,
                Align::Right => spare,
                Align::Centre => spare.div_ceil(2),
            };
            line.extend(repeat_n(' ', left));
            line.push_str(piece);
            line.extend(repeat_n(' ', spare - left + GAP));
        }
        if !some && nth > 0 {
            break;
        }
        writeln!(out, "{}", line.trim_end())?;
    }
    Ok(())
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

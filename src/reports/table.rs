//! Tables: columns that people and programs know by different names, and rows that are formulas.

use std::{
    fmt::{self, Write as _},
    io,
    ops::Range,
};

use super::Words;

/// A table. Its rows are made anew each time it is printed.
pub struct Table<'w> {
    /// A stable name to select it by, such as `holes`.
    pub name: &'static str,
    /// A line above the table.
    pub caption: Option<Words>,
    /// The columns, left to right.
    pub columns: Vec<Column>,
    /// The rows.
    pub rows: Rows<'w>,
}

impl<'w> Table<'w> {
    /// A table without caption.
    #[must_use]
    pub fn new(name: &'static str, columns: Vec<Column>, rows: impl Into<Rows<'w>>) -> Table<'w> {
        Table { name, caption: None, columns, rows: rows.into() }
    }

    /// With a line above it.
    #[must_use]
    pub fn caption(mut self, caption: impl Into<Words>) -> Table<'w> {
        self.caption = Some(caption.into());
        self
    }
}

/// One column of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// The name programs know it by: lower case, words joined by `_`, without unit.
    pub key: &'static str,
    /// The head people read.
    pub head: String,
    /// The unit of the raw figures, where the cells are figures: `in`, `mm`, `lb`.
    pub unit: Option<&'static str>,
    /// Where the cells stand.
    pub align: Align,
    /// What its figures are.
    pub figures: Figures,
}

/// What the figures of a column are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Figures {
    /// It has none.
    #[default]
    None,
    /// As they were written in the file, or running numbers: nothing is worked out.
    Written,
    /// Worked numbers: what follows the row's own name ([`Row::of`]) in the name of each, as `bags` in `wall.bags`; empty
    /// where the row's name is the number's.
    Worked(&'static str),
}

impl Column {
    /// A column of text, aligned left.
    #[must_use]
    pub fn text(key: &'static str, head: impl Into<String>) -> Column {
        Column { key, head: head.into(), unit: None, align: Align::Left, figures: Figures::None }
    }

    /// A column of counts, aligned right.
    #[must_use]
    pub fn count(key: &'static str, head: impl Into<String>) -> Column {
        Column { key, head: head.into(), unit: None, align: Align::Right, figures: Figures::None }
    }

    /// A column of figures, aligned right, whose raw numbers are in `unit`.
    #[must_use]
    pub fn figure(key: &'static str, head: impl Into<String>, unit: &'static str) -> Column {
        Column { key, head: head.into(), unit: Some(unit), align: Align::Right, figures: Figures::None }
    }

    /// A column of boxes to tick or other marks, centred.
    #[must_use]
    pub fn mark(key: &'static str, head: impl Into<String>) -> Column {
        Column { key, head: head.into(), unit: None, align: Align::Centre, figures: Figures::None }
    }

    /// With figures that are written in the file, or running numbers.
    #[must_use]
    pub fn written(self) -> Column {
        Column { figures: Figures::Written, ..self }
    }

    /// With figures that are worked numbers, by the last part of their names.
    #[must_use]
    pub fn number(self, quantity: &'static str) -> Column {
        Column { figures: Figures::Worked(quantity), ..self }
    }
}

/// Where cells stand in their column.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Align {
    /// At the left, for text.
    #[default]
    Left,
    /// At the right, for numbers.
    Right,
    /// In the middle, for marks.
    Centre,
}

/// The rows of a table: a formula that makes the same rows each time it is asked, or rows already made.
///
/// A printer may ask twice, once to measure and once to print.
pub struct Rows<'w>(Formula<'w>);

type Formula<'w> = Box<dyn Fn(&mut Lines<'_>) -> io::Result<()> + 'w>;

impl<'w> Rows<'w> {
    /// Rows made by a formula. It hands each row to the [`Lines`] and passes on the errors it gets from there.
    ///
    /// ```
    /// use batterboard::reports::{Column, Rows, Table};
    ///
    /// let depths = vec![("A1", 6.0), ("A2", 5.5)];
    /// let rows = Rows::formula(|lines| {
    ///     for (hole, depth) in &depths {
    ///         lines.item(|row| {
    ///             row.text(hole).figure(format_args!("{depth} in"), *depth);
    ///         })?;
    ///     }
    ///     Ok(())
    /// });
    /// let table = Table::new("holes", vec![Column::text("hole", "Hole"), Column::figure("depth", "Depth", "in")], rows);
    /// assert_eq!(table.columns.len(), 2);
    /// ```
    #[must_use]
    pub fn formula(formula: impl Fn(&mut Lines<'_>) -> io::Result<()> + 'w) -> Rows<'w> {
        Rows(Box::new(formula))
    }

    /// Hands each row to `print`, until it fails.
    ///
    /// # Errors
    /// The first error of `print`.
    pub fn each(&self, print: &mut dyn FnMut(&Row) -> io::Result<()>) -> io::Result<()> {
        (self.0)(&mut Lines { row: Row::default(), print })
    }
}

impl From<Vec<Row>> for Rows<'_> {
    fn from(rows: Vec<Row>) -> Self {
        Rows::formula(move |lines| rows.iter().try_for_each(|row| lines.print(row)))
    }
}

/// Where a formula puts its rows. One row buffer serves them all.
pub struct Lines<'p> {
    row: Row,
    print: &'p mut dyn FnMut(&Row) -> io::Result<()>,
}

impl Lines<'_> {
    /// An ordinary row, filled by `fill` from the left.
    ///
    /// # Errors
    /// What the printer meets; pass it on.
    pub fn item(&mut self, fill: impl FnOnce(&mut Row)) -> io::Result<()> {
        self.line(Weight::Item, fill)
    }

    /// A subtotal of the items above it.
    ///
    /// # Errors
    /// What the printer meets; pass it on.
    pub fn subtotal(&mut self, fill: impl FnOnce(&mut Row)) -> io::Result<()> {
        self.line(Weight::Subtotal, fill)
    }

    /// A total of the table.
    ///
    /// # Errors
    /// What the printer meets; pass it on.
    pub fn total(&mut self, fill: impl FnOnce(&mut Row)) -> io::Result<()> {
        self.line(Weight::Total, fill)
    }

    /// A row already made.
    ///
    /// # Errors
    /// What the printer meets; pass it on.
    pub fn print(&mut self, row: &Row) -> io::Result<()> {
        (self.print)(row)
    }

    fn line(&mut self, weight: Weight, fill: impl FnOnce(&mut Row)) -> io::Result<()> {
        self.row.clear(weight);
        fill(&mut self.row);
        (self.print)(&self.row)
    }
}

/// What a row stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Weight {
    /// One thing.
    #[default]
    Item,
    /// The sum of some items.
    Subtotal,
    /// The sum of all.
    Total,
}

/// One row, filled from the left. A short row ends in empty cells; cells past the last column are not printed.
///
/// All its text lies in one buffer, so that a row filled again and again takes no memory.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Row {
    weight: Weight,
    text: String,
    cells: Vec<Kept>,
    of: Range<usize>,
    drawn: Range<usize>,
}

/// A cell as a row keeps it: the ends of its text in the row's buffer.
#[derive(Debug, Clone, PartialEq)]
enum Kept {
    Text(Range<usize>),
    Link(Range<usize>, Range<usize>),
    Count(i64),
    Figure(Range<usize>, f64),
    Blank,
    Tick,
    Empty,
}

/// One cell, as a printer reads it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cell<'r> {
    /// Text, to be escaped.
    Text(&'r str),
    /// Text that leads to another paper.
    Link {
        /// As shown, to be escaped.
        shown: &'r str,
        /// The way from this paper to the other, with `/`.
        to: &'r str,
    },
    /// A whole number.
    Count(i64),
    /// A figure: as people read it, rounded and with its unit, and as a number in the column's unit for programs.
    Figure {
        /// As shown.
        shown: &'r str,
        /// The number, in the unit of its column.
        raw: f64,
    },
    /// To be filled in by hand.
    Blank,
    /// A box to tick.
    Tick,
    /// Nothing.
    Empty,
}

impl Row {
    /// A row already filled: `Row::new(Weight::Item, |row| { row.text("A1").count(4); })`.
    #[must_use]
    pub fn new(weight: Weight, fill: impl FnOnce(&mut Row)) -> Row {
        let mut row = Row { weight, ..Row::default() };
        fill(&mut row);
        row
    }

    /// Adds a cell of text.
    pub fn text(&mut self, text: impl fmt::Display) -> &mut Row {
        let range = self.keep(text);
        self.cell(Kept::Text(range))
    }

    /// Adds text that leads to another paper: the way from this one to it, with `/`.
    pub fn link(&mut self, text: impl fmt::Display, to: impl fmt::Display) -> &mut Row {
        let (shown, to) = (self.keep(text), self.keep(to));
        self.cell(Kept::Link(shown, to))
    }

    /// Adds a whole number.
    pub fn count(&mut self, count: i64) -> &mut Row {
        self.cell(Kept::Count(count))
    }

    /// Adds a figure: as people read it, and as a number in the column's unit.
    pub fn figure(&mut self, shown: impl fmt::Display, raw: f64) -> &mut Row {
        let range = self.keep(shown);
        self.cell(Kept::Figure(range, raw))
    }

    /// Adds a cell to be filled in by hand.
    pub fn blank(&mut self) -> &mut Row {
        self.cell(Kept::Blank)
    }

    /// Adds a box to tick.
    pub fn tick(&mut self) -> &mut Row {
        self.cell(Kept::Tick)
    }

    /// Adds a cell with nothing in it.
    pub fn empty(&mut self) -> &mut Row {
        self.cell(Kept::Empty)
    }

    /// Says what its worked numbers belong to: how their names begin, as `wall`. It is not printed.
    pub fn of(&mut self, name: impl fmt::Display) -> &mut Row {
        self.of = self.keep(name);
        self
    }

    /// Says what it tells of, where that is drawn: the id of it in a drawing. A page leads from one to the other.
    pub fn draws(&mut self, id: impl fmt::Display) -> &mut Row {
        self.drawn = self.keep(id);
        self
    }

    /// The id of what it tells of in a drawing.
    #[must_use]
    pub fn drawn(&self) -> Option<&str> {
        self.text.get(self.drawn.clone()).filter(|id| !id.is_empty())
    }

    /// The name of its worked number in this column, if it has one there.
    #[must_use]
    pub fn number(&self, column: &Column) -> Option<String> {
        let Figures::Worked(quantity) = column.figures else { return None };
        let of = self.text.get(self.of.clone()).filter(|of| !of.is_empty())?;
        Some(if quantity.is_empty() { of.to_owned() } else { format!("{of}.{quantity}") })
    }

    /// What the row stands for.
    #[must_use]
    pub fn weight(&self) -> Weight {
        self.weight
    }

    /// The cells for that many columns.
    pub fn cells(&self, columns: usize) -> impl Iterator<Item = Cell<'_>> {
        let shown = |range: &Range<usize>| self.text.get(range.clone()).unwrap_or_default();
        let made = self.cells.iter().map(move |kept| match kept {
            Kept::Text(range) => Cell::Text(shown(range)),
            Kept::Link(range, to) => Cell::Link { shown: shown(range), to: shown(to) },
            Kept::Count(count) => Cell::Count(*count),
            Kept::Figure(range, raw) => Cell::Figure { shown: shown(range), raw: *raw },
            Kept::Blank => Cell::Blank,
            Kept::Tick => Cell::Tick,
            Kept::Empty => Cell::Empty,
        });
        made.chain(std::iter::repeat(Cell::Empty)).take(columns)
    }

    fn clear(&mut self, weight: Weight) {
        self.weight = weight;
        self.text.clear();
        self.cells.clear();
        self.of = 0..0;
        self.drawn = 0..0;
    }

    fn keep(&mut self, text: impl fmt::Display) -> Range<usize> {
        let start = self.text.len();
        // Writing to a String fails only when `text` itself does; what it wrote until then is kept.
        let _ = write!(self.text, "{text}");
        start..self.text.len()
    }

    fn cell(&mut self, kept: Kept) -> &mut Row {
        self.cells.push(kept);
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_row_ends_in_empty_cells_and_a_long_one_at_the_last_column() {
        let row = Row::new(Weight::Total, |row| {
            row.text("A1").figure("6 in", 6.0).count(-2);
        });
        assert_eq!(row.cells(2).collect::<Vec<_>>(), [Cell::Text("A1"), Cell::Figure { shown: "6 in", raw: 6.0 }]);
        assert_eq!(row.cells(4).last(), Some(Cell::Empty));
    }

    #[test]
    fn a_formula_gives_its_rows_again_and_stops_at_an_error() {
        let rows = Rows::formula(|lines| (0..5).try_for_each(|n| lines.item(|row| _ = row.count(n))));
        for _ in 0..2 {
            let mut seen = Vec::new();
            let end = rows.each(&mut |row| {
                seen.extend(row.cells(1).map(|cell| format!("{cell:?}")));
                if seen.len() == 3 { Err(io::ErrorKind::BrokenPipe.into()) } else { Ok(()) }
            });
            assert_eq!(end.map_err(|error| error.kind()), Err(io::ErrorKind::BrokenPipe));
            assert_eq!(seen, ["Count(0)", "Count(1)", "Count(2)"]);
        }
    }
}

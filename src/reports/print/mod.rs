//! The printers, one a file; each prints any [`Paper`](super::Paper) to a writer and keeps no row.
//!
//! A printer writes line by line: hand it a `BufWriter`.

mod characters;
mod csv;
mod markdown;
mod page;
#[cfg(test)]
mod sample;
mod terminal;

pub use csv::{csv, csv_all};
pub use markdown::markdown;
pub use page::{Live, page};
pub use terminal::terminal;

#[cfg(test)]
mod tests {
    use std::{
        cell::Cell,
        io::{self, ErrorKind, Write},
    };

    use super::*;
    use crate::reports::{Column, Paper, Part, Rows, Table};

    /// A pipe whose reader leaves after some bytes.
    struct Pipe(usize);

    impl Write for Pipe {
        fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
            self.0 = self.0.checked_sub(bytes.len()).ok_or(ErrorKind::BrokenPipe)?;
            Ok(bytes.len())
        }

        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn rows_stream_and_stop_when_the_reader_leaves() {
        type Print = fn(&Paper, &mut dyn Write) -> io::Result<()>;
        // A terminal measures all rows before it prints the first; Markdown measures 201.
        let printers: [(&str, Print, u32); 5] = [
            ("markdown", markdown, 2_000),
            ("csv", |paper, out| paper.table("rows").map_or(Ok(()), |table| csv(table, out)), 2_000),
            ("csv_all", csv_all, 2_000),
            ("page", |paper, out| page(paper, "", Live::No, out), 2_000),
            ("terminal", |paper, out| terminal(paper, 80, false, out), 105_000),
        ];
        for (name, print, most) in printers {
            let made = Cell::new(0);
            let mut paper = Paper::new("Rows");
            let rows = Rows::formula(|lines| {
                (0..100_000).try_for_each(|n| {
                    made.set(made.get() + 1);
                    lines.item(|row| _ = row.count(n).text("words"))
                })
            });
            paper.push(Part::Table(Table::new("rows", vec![Column::count("n", "N"), Column::text("w", "W")], rows)));
            let end = print(&paper, &mut Pipe(10_000));
            assert_eq!(end.map_err(|error| error.kind()), Err(ErrorKind::BrokenPipe), "{name}");
            assert!((50..most).contains(&made.get()), "{name} made {} rows", made.get());
        }
    }
}

//! How often bars are tied, the wire it takes, chairs and spacers.

use super::count;
use crate::{
    compile::Compiled,
    reports::{Column, Row, Rows, Table, measures::Measures},
    steel::{Held, PourTies},
    units::Length,
};

/// The table; none if nothing is tied or held.
pub(in crate::reports) fn table(compiled: &Compiled) -> Option<Table<'_>> {
    let tying = &compiled.works.tying;
    if tying.pours.is_empty() {
        return None;
    }
    let measures = Measures(compiled.job.system());
    let columns = vec![
        Column::text("pour", "Pour"),
        Column::count("crossings", "Crossings").number("crossings"),
        Column::count("ties", "Ties").number("ties"),
        measures.lengths("wire", "Wire").number("wire"),
        measures.masses("weight", "Wire weighs").number("wire-weight"),
        Column::count("chairs", "Chairs").number("chairs"),
        Column::count("spacers", "Side spacers").number("spacers"),
    ];
    let wire = move |row: &mut Row, ties: u64, length: Length| {
        if ties == 0 {
            row.empty().empty();
            return;
        }
        measures.length(row, length);
        match &tying.wire {
            Some(wire) => measures.mass(row, wire.per_metre * length.metres()),
            None => _ = row.empty(),
        }
    };
    let total = |held: &[Held]| held.iter().map(Held::total).sum::<u64>();
    let rows = Rows::formula(move |lines| {
        for pour in &tying.pours {
            lines.item(|row| {
                let name = compiled.job.name(pour.pour);
                row.of(name).text(name);
                some(row, pour.crossings());
                some(row, pour.ties());
                wire(row, pour.ties(), pour.wire());
                some(row, total(&pour.chairs));
                some(row, total(&pour.spacers));
            })?;
        }
        if tying.pours.len() > 1 {
            lines.total(|row| {
                let all = |of: fn(&PourTies) -> u64| tying.pours.iter().map(of).sum::<u64>();
                row.of("job.ties").text("All");
                some(row, all(PourTies::crossings));
                some(row, all(PourTies::ties));
                wire(row, all(PourTies::ties), tying.pours.iter().map(PourTies::wire).sum());
                some(row, tying.pours.iter().map(|pour| total(&pour.chairs)).sum());
                some(row, tying.pours.iter().map(|pour| total(&pour.spacers)).sum());
            })?;
        }
        Ok(())
    });
    Some(Table::new("tying", columns, rows))
}

/// A count, or nothing where there are none.
fn some(row: &mut Row, number: u64) {
    if number == 0 {
        row.empty();
    } else {
        row.count(count(number));
    }
}

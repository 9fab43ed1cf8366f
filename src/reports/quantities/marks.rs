//! The bars by mark.

use std::collections::BTreeMap;

use crate::{
    compile::Compiled,
    reports::{Column, Rows, Table, measures::Measures, words},
    steel::{BarsMade, Shape},
};

/// The bars by mark, for the order and the tally alike.
pub(in crate::reports) fn table(compiled: &Compiled) -> Table<'_> {
    let system = compiled.job.system();
    let measures = Measures(system);
    let columns = vec![
        Column::count("mark", "Mark").written(),
        Column::text("size", "Size"),
        Column::count("pieces", "Pieces").number("count"),
        measures.lengths("cut", "Cut").number("cut"),
        Column::text("legs", "Legs, out to out"),
        measures.lengths("inside", "Bend, inside").written(),
        measures.masses("weight", "Weight").number("weight"),
        Column::mark("cut_done", "Cut"),
        Column::mark("bent_done", "Bent"),
    ];
    Table::new(
        "bars",
        columns,
        Rows::formula(move |lines| {
            let mut all: BTreeMap<u32, (&BarsMade, &Shape, u64)> = BTreeMap::new();
            for made in &compiled.works.bars {
                for group in &made.groups {
                    all.entry(group.mark).or_insert((made, &group.shape, 0)).2 += group.count;
                }
            }
            for (mark, (made, shape, count)) in all {
                let pieces = i64::try_from(count).unwrap_or(i64::MAX);
                lines.item(|row| {
                    row.of(format_args!("job.mark.{mark}"));
                    row.count(i64::from(mark)).text(compiled.job.name(made.steel.id)).count(pieces);
                    measures.cut(row, shape.cut);
                    row.text(words::legs(shape, system));
                    if shape.is_straight() {
                        row.empty();
                    } else {
                        measures.length(row, shape.inside);
                    }
                    measures.mass(row, made.steel.weight(shape.cut * pieces));
                    row.tick();
                    if shape.is_straight() {
                        row.empty();
                    } else {
                        row.tick();
                    }
                })?;
            }
            Ok(())
        }),
    )
}

//! The bars by mark.

use std::collections::BTreeMap;

use crate::{
    compile::Compiled,
    drawings::ids,
    reports::{Column, Rows, Table, measures::Measures, words},
    steel::{BarsMade, Shape},
    units::show,
};

/// How each bent bar is bent: what stays straight and what each bend takes, along the centre line, in the order they come;
/// none if no bar is bent.
pub(in crate::reports) fn bends(compiled: &Compiled) -> Option<Table<'_>> {
    let system = compiled.job.system();
    let measures = Measures(system);
    let mut all: BTreeMap<u32, &Shape> = BTreeMap::new();
    for group in compiled.works.bars.iter().flat_map(|made| &made.groups) {
        if !group.shape.is_straight() {
            all.entry(group.mark).or_insert(&group.shape);
        }
    }
    if all.is_empty() {
        return None;
    }
    let columns = vec![
        Column::count("mark", "Mark").written(),
        Column::text("straights", "Straight parts, one after the other"),
        Column::text("arcs", "Bends between them, along the middle of the bar"),
        measures.lengths("inside", "Inside of bends").written(),
        measures.lengths("cut", "Together").number("cut"),
    ];
    let rows = Rows::formula(move |lines| {
        for (mark, shape) in &all {
            lines.item(|row| {
                row.of(format_args!("job.mark.{mark}")).draws(ids::mark(*mark)).count(i64::from(*mark));
                let straights: Vec<String> =
                    shape.straights().into_iter().map(|part| show::bend(part, system).to_string()).collect();
                row.text(straights.join(", "));
                let arcs: Vec<String> = shape
                    .arcs()
                    .into_iter()
                    .map(|arc| format!("{} deg {}", show::decimal(arc.turn, 1), show::bend(arc.length, system)))
                    .collect();
                row.text(arcs.join(", "));
                measures.length(row, shape.inside);
                measures.cut(row, shape.cut);
            })?;
        }
        Ok(())
    });
    Some(Table::new("bends", columns, rows))
}

/// The bars by mark, for the order and the tally alike.
pub(in crate::reports) fn table(compiled: &Compiled) -> Table<'_> {
    let system = compiled.job.system();
    let measures = Measures(system);
    let columns = vec![
        Column::count("mark", "Mark").written(),
        Column::text("size", "Size"),
        Column::count("pieces", "Pieces").number("count"),
        measures.lengths("cut", "Cut").number("cut"),
        Column::text("shape", "Shape"),
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
                    row.of(format_args!("job.mark.{mark}")).draws(ids::mark(mark));
                    row.count(i64::from(mark)).text(compiled.job.name(made.steel.id)).count(pieces);
                    measures.cut(row, shape.cut);
                    row.text(words::shape(shape));
                    if shape.is_straight() {
                        row.empty();
                    } else {
                        row.text(words::legs(shape, system));
                    }
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

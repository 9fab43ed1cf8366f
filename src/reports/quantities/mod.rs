//! The tables of quantities that the order and the tally share.

pub(super) mod buy;
pub(super) mod marks;
pub(super) mod sections;
mod stock;
pub(super) mod tying;
pub(super) mod usual;

use super::{Column, Paper, Part, Row, Rows, Table, Weight, Words, measures::Measures, words};
use crate::{
    compile::Compiled,
    concrete::classes_in_order,
    units::{Area, Volume, show},
};

/// The quantities in full, for the tally and the back pages of the order.
pub(in crate::reports) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    if !compiled.works.solids.pours.is_empty() {
        paper.push(Part::Heading(3, Words::from("Concrete")));
        paper.push(Part::Table(pours(compiled)));
        paper.push(Part::Table(sections::table(compiled)));
        paper.push(Part::Heading(3, Words::from("Faces of the new concrete")));
        paper.push(Part::Table(faces(compiled)));
    }
    if !compiled.works.strips.is_empty() {
        paper.push(Part::Heading(3, Words::from("Broken out")));
        paper.push(Part::Table(strips(compiled)));
    }
    if !compiled.works.sets.is_empty() {
        paper.push(Part::Heading(3, Words::from("Holes")));
        paper.push(Part::Table(holes(compiled)));
        if !compiled.works.holes_done.drilled.is_empty() {
            paper.push(Part::Table(
                holes_done(compiled).caption("Holes as recorded; all else here is what was planned"),
            ));
        }
    }
    if !compiled.works.bars.is_empty() {
        paper.push(Part::Heading(3, Words::from("Bars")));
        paper.push(Part::Table(bars(compiled)));
        paper.push(Part::Table(marks::table(compiled)));
    }
    if let Some(stock) = stock::table(compiled) {
        paper.push(Part::Heading(3, Words::from("Stock")));
        paper.push(Part::Table(stock));
    }
}

fn count(number: u64) -> i64 {
    i64::try_from(number).unwrap_or(i64::MAX)
}

fn pours(compiled: &Compiled) -> Table<'_> {
    let measures = Measures(compiled.job.system());
    let columns = vec![
        Column::text("pour", "Pour"),
        Column::text("mix", "Mix"),
        measures.volumes("placed", "In the form").number("volume"),
        Column::text("waste", "Waste"),
        measures.volumes("mixed", "To be mixed").number("mixed"),
        Column::count("bags", "Bags").number("bags"),
        measures.masses("weight", "Bags weigh").number("bags-weight"),
        Column::count("batches", "Batches").number("batches"),
        Column::count("trips", "Trips").number("trips"),
    ];
    Table::new(
        "pours",
        columns,
        Rows::formula(move |lines| {
            let works = &compiled.works;
            let mut mixings = works.mixings.iter().peekable();
            for solid in &works.solids.pours {
                let mixing = mixings.next_if(|mixing| mixing.pour == solid.pour);
                lines.item(|row| {
                    row.of(compiled.job.name(solid.pour)).text(compiled.job.name(solid.pour));
                    match mixing {
                        Some(mixing) => {
                            row.text(compiled.job.name(mixing.mix));
                            measures.volume(row, solid.volume);
                            row.text(show::percent(mixing.waste));
                            measures.volume(row, mixing.wanted);
                            row.count(count(mixing.bags));
                            measures.mass(row, mixing.weight);
                            optional(row, mixing.batches);
                            optional(row, mixing.trips);
                        }
                        None => {
                            row.empty();
                            measures.volume(row, solid.volume);
                            row.empty().empty().empty().empty().empty().empty();
                        }
                    }
                })?;
            }
            if works.solids.pours.len() > 1 {
                lines.total(|row| {
                    row.of("job.pours").text("All").empty();
                    measures.volume(row, works.solids.total);
                    row.empty();
                    measures.volume(row, works.mixings.iter().map(|mixing| mixing.wanted).sum::<Volume>());
                    row.count(count(works.mixings.iter().map(|mixing| mixing.bags).sum()));
                    measures.mass(
                        row,
                        works.mixings.iter().fold(crate::units::Mass::from_kg(0.0), |sum, mixing| sum + mixing.weight),
                    );
                    row.empty().empty();
                })?;
            }
            Ok(())
        }),
    )
}

fn optional(row: &mut Row, number: Option<u64>) {
    match number {
        Some(number) => row.count(count(number)),
        None => row.empty(),
    };
}

fn faces(compiled: &Compiled) -> Table<'_> {
    let measures = Measures(compiled.job.system());
    let columns = vec![Column::text("face", "Face"), measures.areas("area", "Area").number("")];
    let works = &compiled.works;
    let of = move |class| works.solids.pours.iter().map(|pour| pour.areas.of(class)).sum::<Area>();
    let mut rows: Vec<Row> = Vec::new();
    for class in classes_in_order() {
        let area = of(class);
        if area > Area::ZERO {
            rows.push(Row::new(Weight::Item, |row| {
                row.of(format_args!("job.faces.{}", class.word())).text(words::class(class));
                measures.area(row, area);
            }));
        }
    }
    let forms: Area = works.solids.pours.iter().map(|pour| pour.areas.forms()).sum();
    rows.push(Row::new(Weight::Total, |row| {
        row.of("job.faces.forms").text("to be formed, upright");
        measures.area(row, forms);
    }));
    Table::new("faces", columns, rows)
}

fn strips(compiled: &Compiled) -> Table<'_> {
    let measures = Measures(compiled.job.system());
    let columns = vec![
        Column::text("strip", "Strip"),
        measures.areas("area", "Area").number("area"),
        measures.lengths("thick", "Thick").written(),
        measures.volumes("volume", "As it lies").number("volume"),
    ];
    Table::new(
        "strips",
        columns,
        Rows::formula(move |lines| {
            for strip in &compiled.works.strips {
                lines.item(|row| {
                    row.of(compiled.job.name(strip.id)).text(compiled.job.name(strip.id));
                    measures.area(row, strip.area);
                    measures.length(row, strip.thick);
                    measures.volume(row, strip.volume);
                })?;
            }
            Ok(())
        }),
    )
}

fn holes(compiled: &Compiled) -> Table<'_> {
    let measures = Measures(compiled.job.system());
    let columns = vec![
        Column::text("set", "Holes"),
        Column::text("into", "Into"),
        Column::count("count", "Count").number("count"),
        measures.lengths("bore", "Bore").number("bore"),
        measures.lengths("depth", "Depth").number("depth"),
        Column::text("resin", "Resin"),
        measures.fluids("net", "Without waste").number("resin-net"),
        measures.fluids("wanted", "With waste").number("resin"),
        measures.fluids("order", "With nozzles' loss").number("resin-order"),
        Column::count("nozzles", "Nozzles").number("nozzles"),
        Column::count("cartridges", "Cartridges").number("cartridges"),
    ];
    Table::new(
        "hole-sets",
        columns,
        Rows::formula(move |lines| {
            let works = &compiled.works;
            let mut fills = works.fills.iter().peekable();
            for set in works.sets.values() {
                let fill = fills.next_if(|fill| fill.holes == set.id);
                lines.item(|row| {
                    row.of(compiled.job.name(set.id))
                        .text(compiled.job.name(set.id))
                        .text(words::target(&compiled.job, set.into))
                        .count(count(set.count));
                    measures.length(row, set.wide);
                    measures.length(row, set.deep);
                    match fill {
                        Some(fill) => {
                            row.text(compiled.job.name(fill.resin));
                            measures.fluid(row, fill.net);
                            measures.fluid(row, fill.wanted);
                            measures.fluid(row, fill.order);
                            row.count(count(fill.nozzles));
                            let size = compiled.job.resin(fill.resin).and_then(|resin| resin.say.cartridge.as_ref());
                            optional(row, size.map(|size| fill.cartridges(size.holds.0)));
                        }
                        None => {
                            row.empty().empty().empty().empty().empty().empty();
                        }
                    }
                })?;
            }
            Ok(())
        }),
    )
}

/// Of the blocks with holes that are not as planned: how many are left empty, and what fills the others.
fn holes_done(compiled: &Compiled) -> Table<'_> {
    let measures = Measures(compiled.job.system());
    let columns = vec![
        Column::text("set", "Holes"),
        Column::count("count", "Count").number("count"),
        Column::count("left-empty", "Left empty").number("left-empty"),
        Column::text("resin", "Resin"),
        measures.fluids("net", "Without waste").number("resin.done"),
    ];
    Table::new(
        "hole-sets-recorded",
        columns,
        Rows::formula(move |lines| {
            let (works, job) = (&compiled.works, &compiled.job);
            let done = &works.holes_done;
            for set in works.sets.values().filter(|set| !done.of(set.id).is_empty()) {
                let fill = works.fills.iter().find(|fill| fill.holes == set.id);
                let lost = done.lost(set.id);
                lines.item(|row| {
                    row.of(job.name(set.id)).text(job.name(set.id)).count(count(set.count));
                    optional(row, Some(lost).filter(|lost| *lost > 0));
                    match fill.and_then(|fill| Some((fill.resin, *done.resin.get(&set.id)?))) {
                        Some((resin, net)) => {
                            row.text(job.name(resin));
                            measures.fluid(row, net);
                        }
                        None => _ = row.empty().empty(),
                    }
                })?;
            }
            Ok(())
        }),
    )
}

fn bars(compiled: &Compiled) -> Table<'_> {
    let measures = Measures(compiled.job.system());
    let mut columns = vec![
        Column::text("set", "Bars"),
        Column::text("size", "Size"),
        Column::count("pieces", "Pieces").number("count"),
        measures.lengths("length", "Length in all").number("length"),
        measures.masses("weight", "Weight").number("weight"),
    ];
    let left_out = compiled.works.bars.iter().any(|made| compiled.works.left_out(made.id) > 0);
    if left_out {
        columns.push(Column::count("left-out", "Left out, as recorded").number("left-out"));
    }
    Table::new(
        "bar-sets",
        columns,
        Rows::formula(move |lines| {
            for made in &compiled.works.bars {
                lines.item(|row| {
                    row.of(compiled.job.name(made.id))
                        .text(compiled.job.name(made.id))
                        .text(compiled.job.name(made.steel.id))
                        .count(count(made.count));
                    measures.cut(row, made.length);
                    measures.mass(row, made.weight);
                    if left_out {
                        optional(row, Some(compiled.works.left_out(made.id)).filter(|out| *out > 0));
                    }
                })?;
            }
            if compiled.works.bars.len() > 1 {
                lines.total(|row| {
                    let all = &compiled.works.bars;
                    row.of("job.bars").text("All").empty().count(count(all.iter().map(|bars| bars.count).sum()));
                    measures.cut(row, all.iter().map(|bars| bars.length).sum());
                    measures
                        .mass(row, all.iter().fold(crate::units::Mass::from_kg(0.0), |sum, bars| sum + bars.weight));
                })?;
            }
            Ok(())
        }),
    )
}

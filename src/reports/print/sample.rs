//! One paper with every kind of part on it, for the printers' tests.

use crate::reports::{BoxLine, Column, Paper, Part, Row, Rows, Table, Weight, Words};

/// A page of a work order in an invented place.
pub(super) fn sample() -> Paper<'static> {
    let mut paper = Paper::new("Work order: wall at the boathouse, Quarry Lane");
    paper.stamp = Some("DRAFT".into());
    paper.push(Part::Text(
        Words::from("Two lifts of concrete against the old footing, ").strong("by hand").plain(", 12 ft long."),
    ));
    paper.push(Part::Facts(vec![
        ("Pour".into(), "1.2 yd³ in 54 batches".into()),
        ("Bags".into(), "54 of 80 lb; 3 of them spare".into()),
        ("Bars".into(), "#4, 96 ft in all".into()),
    ]));
    paper.push(Part::Caution(
        "silica dust. Wet the hole or pull the dust off at the bit, and wear the mask the label asks for.".into(),
    ));
    paper.push(Part::Heading(2, "Drill the holes".into()));
    let depths = [("A1", "A", "1' 0\"", 6.0), ("A2", "A", "2' 0\"", 6.0), ("B1", "B|C", "3' 0\"", 5.5)];
    let rows = Rows::formula(move |lines| {
        for (hole, row, station, depth) in depths {
            lines.item(|line| {
                line.text(hole).text(row).text(station).figure(format_args!("{depth} in"), depth).blank().tick();
            })?;
        }
        lines.total(|line| {
            let sum = depths.iter().map(|(.., depth)| depth).sum();
            line.text("Total").empty().text("3 holes").figure(format_args!("{sum} in"), sum);
        })
    });
    let columns = vec![
        Column::text("hole", "Hole"),
        Column::text("row", "Row"),
        Column::text("station", "Station"),
        Column::figure("depth", "Depth", "in"),
        Column::text("measured", "Measured"),
        Column::mark("clean", "Clean"),
    ];
    paper.push(Part::Table(Table::new("holes", columns, rows).caption("Holes, by station from the corner")));
    paper.push(Part::Boxes(vec![
        BoxLine::new("Blow, brush and blow each hole.")
            .detail("Until no dust comes back: *twice* is the least.")
            .blank("Start")
            .blank("Finish"),
        BoxLine::new("Set the bars; turn them as they go in."),
    ]));
    paper.push(Part::Heading(3, "If it rains".into()));
    paper.push(Part::Bullets(vec![
        "1. Cover the form; a note with a number at its start stays a note.".into(),
        "Keep the bags dry & off the ground (<4 in is too low).".into(),
    ]));
    paper.push(Part::Code("pour wall {\n\tlifts 2\n}\n".into()));
    let packs = vec![
        Row::new(Weight::Item, |row| _ = row.text("=Mix, \"80 lb\"").count(54).figure("$6.25", 6.25)),
        Row::new(Weight::Item, |row| _ = row.text("Tie wire").count(1).empty()),
    ];
    let columns =
        vec![Column::text("item", "Item"), Column::count("packs", "Packs"), Column::figure("price", "Price", "usd")];
    paper.push(Part::Table(Table::new("packs", columns, packs)));
    paper.push(Part::Blank("Checked by".into()));
    paper
}

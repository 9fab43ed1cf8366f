//! The buy list: whole packs, no prices yet.

use crate::{
    buying::{FormStuff, Line, Support},
    compile::Compiled,
    reports::{Column, Rows, Table, measures::Measures},
    units::{Volume, show},
};

/// The table, for the order and the tally alike.
pub(in crate::reports) fn table(compiled: &Compiled) -> Table<'_> {
    let measures = Measures(compiled.job.system());
    let columns = vec![
        Column::text("item", "Item"),
        Column::count("packs", "Packs").number("packs"),
        Column::text("what", "What it comes to"),
        measures.masses("weight", "Weight").number("weight"),
        Column::mark("got", "Got"),
    ];
    Table::new(
        "buy",
        columns,
        Rows::formula(move |lines| {
            for line in &compiled.works.buying {
                lines.item(|row| {
                    let job = &compiled.job;
                    let system = job.system();
                    match line {
                        Line::Bags { mix, count, weight } => {
                            let yields = job.mix(*mix).map_or(Volume::ZERO, |mix| mix.say.bag.value.yields.0);
                            let bag = job.mix(*mix).map(|mix| mix.say.bag.value.weighs.0);
                            row.of(format_args!("buy.{}", job.name(*mix)))
                                .text(format_args!("{}, bags", job.name(*mix)))
                                .count(i64::try_from(*count).unwrap_or(i64::MAX));
                            match bag {
                                Some(bag) => row.text(format_args!(
                                    "{} each, {} of concrete in all",
                                    show::mass(bag, system),
                                    show::volume(yields * i64::try_from(*count).unwrap_or(i64::MAX), system)
                                )),
                                None => row.empty(),
                            };
                            measures.mass(row, *weight);
                        }
                        Line::Resin { resin, volume, cartridges, nozzles, packed } => {
                            row.of(format_args!("buy.{}", job.name(*resin)));
                            row.text(format_args!("{}, cartridges", job.name(*resin)));
                            match cartridges {
                                Some(count) => row.count(i64::try_from(*count).unwrap_or(i64::MAX)),
                                None => row.blank(),
                            };
                            let with = match packed {
                                Some(packed) if packed >= nozzles => ", all of them in the packs".to_owned(),
                                Some(packed) => format!(", {packed} of them in the packs"),
                                None => String::new(),
                            };
                            let wanted = show::fluid(*volume, system);
                            if *nozzles == 0 {
                                row.text(format_args!("{wanted} with what is lost")).empty();
                            } else {
                                let used = usize::try_from(*nozzles).unwrap_or(usize::MAX);
                                let used = crate::problem::count(used, "nozzle", "nozzles");
                                row.text(format_args!(
                                    "{wanted} with waste and what nozzles take; {used} used up{with}"
                                ))
                                .empty();
                            }
                        }
                        Line::Bars { steel, bought, pieces, length, longest, weight } => {
                            row.of(format_args!("buy.{}", job.name(*steel)));
                            row.text(format_args!("{} bar", job.name(*steel)));
                            let packs = bought.as_ref().map(|all| all.iter().map(|(_, count)| count).sum::<u64>());
                            match packs {
                                Some(count) => row.count(i64::try_from(count).unwrap_or(i64::MAX)),
                                None => row.blank(),
                            };
                            let from: Vec<String> = bought
                                .iter()
                                .flatten()
                                .map(|(stock, count)| format!("{count} of {}", show::exact(*stock, system)))
                                .collect();
                            let from =
                                if from.is_empty() { String::new() } else { format!("{} for ", from.join(", ")) };
                            row.text(format_args!(
                                "{from}{pieces} pieces, {} in all, longest {}",
                                show::cut(*length, system),
                                show::cut(*longest, system)
                            ));
                            measures.mass(row, *weight);
                        }
                        Line::Wire { wire, coils, coil, length, weight } => {
                            row.of(format_args!("buy.{}", job.name(*wire)))
                                .text(format_args!("{}, coils", job.name(*wire)))
                                .count(i64::try_from(*coils).unwrap_or(i64::MAX))
                                .text(format_args!(
                                    "{} each; the ties take {}",
                                    show::mass(*coil, system),
                                    show::exact(*length, system)
                                ));
                            measures.mass(row, *weight);
                        }
                        Line::Forms { sort, count, lengths } => {
                            let what = match sort {
                                FormStuff::Boards(size) => format!("{}, boards", job.name(*size)),
                                FormStuff::Sheets(size) => format!("{}, sheets", job.name(*size)),
                                FormStuff::Nails8 => "8d common nails".to_owned(),
                                FormStuff::Nails16 => "16d nails, duplex where they come out again".to_owned(),
                                FormStuff::Stakes => "stakes".to_owned(),
                            };
                            let lengths: Vec<String> = lengths
                                .iter()
                                .map(|(length, count)| format!("{count} of {}", show::exact(*length, system)))
                                .collect();
                            row.of(format_args!("buy.{}", sort.item(job)))
                                .text(what)
                                .count(i64::try_from(*count).unwrap_or(i64::MAX))
                                .text(if lengths.is_empty() { "for the forms".to_owned() } else { lengths.join(", ") })
                                .empty();
                        }
                        Line::Supports { sort, count } => {
                            let (item, what) = match sort {
                                Support::Chair => ("chairs", "under the lowest long bars"),
                                Support::Spacer => ("side spacers", "between long bars and forms"),
                            };
                            row.of(format_args!("buy.{}", sort.item()))
                                .text(item)
                                .count(i64::try_from(*count).unwrap_or(i64::MAX))
                                .text(what)
                                .empty();
                        }
                    }
                    row.tick();
                })?;
            }
            Ok(())
        }),
    )
}

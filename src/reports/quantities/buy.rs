//! The buy list: whole packs, and what they cost where prices are written.

use crate::{
    buying::{FormStuff, Line, Purchase, Sundry, Support, purchase_name},
    compile::Compiled,
    gathering::{Item, item},
    reports::{Column, Row, Rows, Table, measures::Measures, words},
    schema::{BlockId, Pack},
    units::{Money, System, Volume, show},
};

/// The table, for the order, the tally and the bill alike.
pub(in crate::reports) fn table(compiled: &Compiled) -> Table<'_> {
    let (job, bill) = (&compiled.job, &compiled.works.bill);
    let measures = Measures(job.system());
    let sellers = !job.suppliers.is_empty();
    let mut columns = vec![
        Column::text("item", "Item"),
        Column::count("packs", "Packs").number("packs"),
        Column::text("what", "What it comes to"),
        measures.masses("weight", "Weight").number("weight"),
    ];
    if let Some(currency) = bill.currency {
        columns.push(Column::figure("each", "Each", currency.code()).written());
        columns.push(Column::figure("cost", "Cost", currency.code()).number("cost"));
    }
    if sellers {
        columns.push(Column::text("from", "From"));
    }
    columns.push(Column::mark("got", "Got"));
    let priced = bill.currency.is_some();
    Table::new(
        "buy",
        columns,
        Rows::formula(move |out| {
            for (at, line) in compiled.works.buying.iter().enumerate() {
                let stocked = || bill.of_line(at).iter().filter(|one| one.stock.is_some());
                if stocked().next().is_none() {
                    out.item(|row| {
                        whole(compiled, line, measures, row);
                        if priced {
                            row.empty().text(if line.packs() == Some(0) { "at hand" } else { "not priced" });
                        }
                        if sellers {
                            row.empty();
                        }
                        row.tick();
                    })?;
                }
                for purchase in stocked() {
                    out.item(|row| {
                        one(compiled, line, purchase, measures, row);
                        if priced {
                            money(row, purchase.price);
                            match purchase.cost {
                                Some(cost) => money(row, Some(cost)),
                                None if purchase.packs == Some(0) => _ = row.text("at hand"),
                                None => _ = row.text("not priced"),
                            }
                        }
                        if sellers {
                            row.text(purchase.from.map_or("", |from| job.name(from)));
                        }
                        row.tick();
                    })?;
                }
            }
            Ok(())
        }),
    )
}

/// An amount of money, or nothing.
pub(in crate::reports) fn money(row: &mut Row, money: Option<Money>) {
    match money {
        Some(money) => {
            let shown = show::money(money).to_string();
            row.figure(shown.split(' ').next().unwrap_or_default(), money.amount.to_f64())
        }
        None => row.empty(),
    };
}

/// A line of which no stock is written.
fn whole(compiled: &Compiled, line: &Line, measures: Measures, row: &mut Row) {
    row.of(format_args!("buy.{}", line.item(&compiled.job))).text(label(compiled, line));
    match line.packs() {
        Some(count) => row.count(i64::try_from(count).unwrap_or(i64::MAX)),
        None if matches!(line, Line::Goods { amount: Some(_), .. } | Line::Own { .. }) => row.empty(),
        None => row.blank(),
    };
    row.text(what(compiled, line, false));
    match line {
        Line::Bags { weight, .. } | Line::Bars { weight, .. } | Line::Wire { weight, .. } => {
            measures.mass(row, *weight)
        }
        _ => _ = row.empty(),
    }
}

/// Packs of one stock.
fn one(compiled: &Compiled, line: &Line, purchase: &Purchase, measures: Measures, row: &mut Row) {
    let job = &compiled.job;
    let system = job.system();
    if let Some(name) = purchase_name(job, &compiled.works.buying, purchase) {
        row.of(name);
    }
    row.text(label(compiled, line));
    match purchase.packs {
        Some(count) => row.count(i64::try_from(count).unwrap_or(i64::MAX)),
        None => row.blank(),
    };
    let pack = match (purchase.holds, purchase.long) {
        (Some((Pack::Count(1), ..)), _) => None,
        (Some((pack, ..)), _) => Some(format!("packs of {}", words::pack(pack, system))),
        (None, Some(long)) => Some(format!("{} long", show::exact(long, system))),
        (None, None) => None,
    };
    let more = if purchase.packs == Some(0) { "" } else { " more" };
    let hand = (purchase.at_hand > 0).then(|| format!("{}{more} at hand", purchase.at_hand));
    let wanted = match purchase.holds {
        Some((Pack::Count(1), ..)) | None => None,
        Some((Pack::Count(_), _, need)) => Some(format!("{need} wanted")),
        Some(_) => None,
    };
    let words = pack.into_iter().chain(wanted).chain(hand).chain([what(compiled, line, true)]);
    let words: Vec<String> = words.filter(|words| !words.is_empty()).collect();
    row.text(words.join("; "));
    match (purchase.weighs, purchase.packs) {
        (Some(weighs), Some(packs)) if packs > 0 => measures.mass(row, weighs * packs as f64),
        _ => _ = row.empty(),
    }
}

/// What a line is called.
pub(in crate::reports) fn label(compiled: &Compiled, line: &Line) -> String {
    called(&item(&compiled.job, line))
}

/// What a thing is called on a buy list.
pub(in crate::reports) fn called(item: &Item) -> String {
    match item {
        Item::Bags { mix, .. } => format!("{mix}, bags"),
        Item::Resin { resin, .. } => format!("{resin}, cartridges"),
        Item::Bars { size, .. } => format!("{size} bar"),
        Item::Wire { wire, .. } => format!("{wire}, coils"),
        Item::Chairs => "chairs".to_owned(),
        Item::Spacers => "side spacers".to_owned(),
        Item::Boards(size) => format!("{size}, boards"),
        Item::Sheets(size) => format!("{size}, sheets"),
        Item::Nails8 => "8d common nails".to_owned(),
        Item::Nails16 => "16d nails, duplex where they come out again".to_owned(),
        Item::Stakes => "stakes".to_owned(),
        Item::Reckoned(sort) => match sort {
            Sundry::FormTies => "form ties",
            Sundry::HoldDowns => "hold-downs",
            Sundry::Nozzles => "mixing nozzles",
            Sundry::Blades => "saw blades",
            Sundry::Bits => "drill bits",
            Sundry::Props => "props",
            Sundry::Wrap => "sheet to wrap concrete in",
            Sundry::Blankets => "blankets",
            Sundry::Respirators => "half masks",
            Sundry::Goggles => "eye protection",
            Sundry::Muffs => "hearing protection",
            Sundry::WorkGloves => "work gloves, pairs",
            Sundry::RubberGloves => "waterproof gloves, pairs",
            Sundry::BarCaps => "caps for bar ends",
        }
        .to_owned(),
        Item::Own(name) => name.clone(),
    }
}

/// What a line comes to, in words; `by_stock` where each length that is bought has a row of its own.
fn what(compiled: &Compiled, line: &Line, by_stock: bool) -> String {
    let job = &compiled.job;
    let system = job.system();
    match line {
        Line::Bags { mix, count, .. } => job.mix(*mix).map_or_else(String::new, |mix| {
            let (bag, yields) = (mix.say.bag.value.weighs.0, mix.say.bag.value.yields.0);
            let all: Volume = yields * i64::try_from(*count).unwrap_or(i64::MAX);
            format!("{} each, {} of concrete in all", show::mass(bag, system), show::volume(all, system))
        }),
        Line::Resin { volume, nozzles, packed, .. } => {
            let with = match packed {
                Some(packed) if packed >= nozzles => ", all of them in the packs".to_owned(),
                Some(packed) => format!(", {packed} of them in the packs"),
                None => String::new(),
            };
            let wanted = show::fluid(*volume, system);
            if *nozzles == 0 {
                return format!("{wanted} with what is lost");
            }
            let used = usize::try_from(*nozzles).unwrap_or(usize::MAX);
            let used = crate::problem::count(used, "nozzle", "nozzles");
            format!("{wanted} with waste and what nozzles take; {used} used up{with}")
        }
        Line::Bars { bought, pieces, length, .. } if by_stock && bought.iter().flatten().nth(1).is_some() => {
            format!("with the other lengths for {pieces} pieces, {} in all", show::cut(*length, system))
        }
        Line::Bars { bought, pieces, length, longest, .. } => {
            let from: Vec<String> = bought
                .iter()
                .flatten()
                .filter(|_| !by_stock)
                .map(|(stock, count)| format!("{count} of {}", show::exact(*stock, system)))
                .collect();
            let from = if from.is_empty() { String::new() } else { format!("{} for ", from.join(", ")) };
            format!(
                "{from}{pieces} pieces, {} in all, longest {}",
                show::cut(*length, system),
                show::cut(*longest, system)
            )
        }
        Line::Wire { coil, length, .. } => {
            format!("{} each; the ties take {}", show::mass(*coil, system), show::exact(*length, system))
        }
        Line::Forms { sort: FormStuff::Boards(_), .. } if by_stock => String::new(),
        Line::Forms { lengths, .. } => {
            let lengths: Vec<String> =
                lengths.iter().map(|(length, count)| format!("{count} of {}", show::exact(*length, system))).collect();
            if lengths.is_empty() { "for the forms".to_owned() } else { lengths.join(", ") }
        }
        Line::Supports { sort, .. } => match sort {
            Support::Chair => "under the lowest long bars".to_owned(),
            Support::Spacer => "between long bars and forms".to_owned(),
        },
        Line::Goods { sort, amount, by } => goods(compiled, *sort, *amount, by, system),
        Line::Own { goods, amount } => {
            let steps = job.goods_of(*goods).and_then(|goods| goods.say.steps.as_ref());
            let names: Vec<&str> = steps.into_iter().flatten().map(|step| job.name(step.value.0)).collect();
            let much = (!matches!(amount, Pack::Count(_))).then(|| words::pack(*amount, system));
            let of = (!names.is_empty()).then(|| format!("for {}", names.join(", ")));
            much.into_iter().chain(of).collect::<Vec<_>>().join(" ")
        }
    }
}

/// What goods are for, and what is known of them.
fn goods(compiled: &Compiled, sort: Sundry, amount: Option<Pack>, by: &[BlockId], system: System) -> String {
    let job = &compiled.job;
    let names = || by.iter().map(|id| job.name(*id)).collect::<Vec<_>>().join(", ");
    let works = &compiled.works;
    let sizes = |mut sizes: Vec<crate::units::Length>| {
        sizes.sort_unstable();
        sizes.dedup();
        sizes.iter().map(|size| show::exact(*size, system).to_string()).collect::<Vec<_>>().join(", ")
    };
    match sort {
        Sundry::Blades => {
            let unsaid = works.saws.iter().any(|saw| saw.blades.is_none());
            let how = if unsaid { "; how long one lasts is not said" } else { "" };
            format!("{} across, for {}{how}", sizes(works.saws.iter().map(|saw| saw.blade).collect()), names())
        }
        Sundry::Bits => {
            let sets = || works.sets.values();
            let unsaid = sets().any(|set| job.holes_of(set.id).is_some_and(|holes| holes.say.bit.is_none()));
            let how = if unsaid { "; how long one lasts is not said" } else { "" };
            format!("{}, for {}{how}", sizes(sets().map(|set| set.wide).collect()), names())
        }
        Sundry::Wrap | Sundry::Blankets => {
            let area = amount.map_or_else(String::new, |amount| words::pack(amount, system));
            format!("{area} of top and formed faces, laps and edges not counted, for {}", names())
        }
        Sundry::Nozzles => format!("beyond those in the packs of {}", names()),
        Sundry::BarCaps => format!("one on each free end of {}", names()),
        Sundry::FormTies | Sundry::HoldDowns => format!("for {}, of the sort whose load was tested", names()),
        _ => format!("for {}", names()),
    }
}

//! The bill: what is bought, hired and paid, by line, by stage and by supplier; what is fetched in how many trips, and what is
//! left over. What has no price is named, and no total counts it.

use super::{
    Column, Paper, Part, Row, Rows, Table, Weight, Words,
    measures::Measures,
    quantities::{self, buy::money},
    words,
};
use crate::{
    buying::{Bill, Of, Share},
    compile::Compiled,
    schema::{DaysKept, KindId, PerLoad},
    units::{Currency, show},
};

/// The bill of a job.
#[must_use]
pub fn buy(compiled: &Compiled) -> Paper<'_> {
    let title = match compiled.job.title.as_str() {
        "" => "untitled job",
        title => title,
    };
    let mut paper = Paper::new(format!("Buying: {title}"));
    if compiled.has_errors() {
        paper.stamp = Some(Words::from("DRAFT: what the errors touch is left out, or wrong"));
    }
    let bill = &compiled.works.bill;
    if compiled.works.buying.is_empty() && bill.posts.is_empty() {
        paper.push(Part::Text(Words::from("Nothing in this job is bought, hired or paid.")));
        return paper;
    }
    if let Some(words) = total_in_words(compiled, "It comes to") {
        paper.push(Part::Text(words));
    }
    if !compiled.works.buying.is_empty() {
        paper.push(Part::Heading(2, Words::from("To buy")));
        paper.push(Part::Table(quantities::buy::table(compiled)));
    }
    if !bill.hires.is_empty() {
        paper.push(Part::Heading(2, Words::from("Hired")));
        paper.push(Part::Table(hired(compiled)));
        paper.push(Part::Bullets(pledges(compiled)));
    }
    let paid = |post: &&crate::buying::Post| !matches!(post.of, Of::Purchase(_) | Of::Hire(_));
    if bill.posts.iter().any(|post| paid(&post)) {
        paper.push(Part::Heading(2, Words::from("Fees and deliveries")));
        paper.push(Part::Table(fees(compiled)));
    }
    if let Some(currency) = bill.currency {
        paper.push(Part::Heading(2, Words::from("What it costs, by stage")));
        paper.push(Part::Text(Words::from(
            "Each line stands at the first step that needs it: by then it is there and paid. A line is rounded once to the smallest coin, half away from zero.",
        )));
        paper.push(Part::Table(shares(compiled, "stages", "Stage", &bill.stages, currency)));
        paper.push(Part::Heading(2, Words::from("By supplier")));
        paper.push(Part::Table(shares(compiled, "suppliers", "Supplier", &bill.suppliers, currency)));
        split(compiled, bill, &mut paper);
        not_priced(compiled, bill, &mut paper);
        if bill.purchases.iter().any(|purchase| !purchase.proven) {
            paper.push(Part::Text(Words::from(
                "Of some packs there were more ways to put them together than were tried: a cheaper one may have been missed.",
            )));
        }
    }
    fetch(compiled, bill, &mut paper);
    if !bill.left.is_empty() {
        paper.push(Part::Heading(2, Words::from("Left over")));
        paper.push(Part::Table(left(compiled)));
    }
    paper
}

/// The total with what it does not count; nothing where nothing has a price.
pub(super) fn total_in_words(compiled: &Compiled, begins: &str) -> Option<Words> {
    let bill = &compiled.works.bill;
    let total = bill.total?;
    let budget = compiled.job.budgets.first().map(|budget| &budget.say);
    let mut with = Vec::new();
    if let (Some((_, tax)), Some(rate)) = (bill.tax, budget.and_then(|budget| budget.tax)) {
        with.push(format!("{} of tax at {}", show::money(tax), percent(rate)));
    }
    if let (Some(put_by), Some(rate)) = (bill.contingency, budget.and_then(|budget| budget.contingency)) {
        with.push(format!("{} put by for what nobody thought of, {}", show::money(put_by), percent(rate)));
    }
    let mut words = Words::from(format!("{begins} ")).strong(show::money(total));
    if !with.is_empty() {
        words += format!(", with {}", with.join(" and "));
    }
    words += match bill.unpriced {
        0 => ".".to_owned(),
        count => {
            let lines = crate::problem::count(count, "line", "lines");
            let verb = if count == 1 { "is" } else { "are" };
            format!(". {lines} {verb} not priced and not in it.")
        }
    };
    Some(words)
}

fn percent(rate: crate::schema::Percent) -> String {
    show::percent_said(crate::units::Ratio::from_fraction(rate.0.to_f64())).to_string()
}

fn hired(compiled: &Compiled) -> Table<'_> {
    let (job, bill) = (&compiled.job, &compiled.works.bill);
    let mut columns = vec![
        Column::text("hire", "What"),
        Column::text("for", "For"),
        Column::text("from_to", "From, to"),
        Column::count("days", "Days").number("days"),
        Column::text("rate", "Paid"),
    ];
    columns.extend(bill.currency.map(|currency| Column::figure("cost", "Cost", currency.code()).number("cost")));
    let rows = Rows::formula(move |out| {
        for hired in &bill.hires {
            let Some(hire) = job.hire(hired.hire) else { continue };
            out.item(|row| {
                let steps: Vec<&str> = hire.say.steps.iter().map(|step| job.name(step.value.0)).collect();
                let name = if hire.title.is_empty() { &hire.name } else { &hire.title };
                row.of(&hire.name);
                match hire.say.count {
                    Some(count) => row.text(format_args!("{} x {name}", count.0)),
                    None => row.text(name),
                };
                row.text(steps.join(", "));
                let date = |day: i64| {
                    let days = compiled.works.days.as_ref()?;
                    days.start.plus_days(day).map(|date| date.to_string())
                };
                match hired.span.filter(|_| !hired.said).and_then(|(first, last)| date(first).zip(date(last))) {
                    Some((first, last)) if first == last => row.text(first),
                    Some((first, last)) => row.text(format_args!("{first} to {last}")),
                    None if hired.said => row.text("as written"),
                    None => row.text("no days are planned"),
                };
                match hired.days {
                    Some(days) => row.count(i64::try_from(days).unwrap_or(i64::MAX)),
                    None => row.empty(),
                };
                let taken: Vec<String> = hired
                    .taken
                    .iter()
                    .filter_map(|taken| {
                        let rate = &hire.say.rates.0.get(taken.rate)?.value;
                        let price = show::money(rate.price.0);
                        Some(match rate.per {
                            Some(per) => format!("{} x {price} per {}", taken.times, words::per(per.0)),
                            None => format!("{price} once"),
                        })
                    })
                    .collect();
                row.text(taken.join(", "));
                if bill.currency.is_some() {
                    match hired.cost {
                        Some(cost) => money(row, Some(cost)),
                        None => _ = row.text("not priced"),
                    }
                }
            })?;
        }
        Ok(())
    });
    Table::new("hired", columns, rows)
}

/// How the days were counted, and what comes back.
fn pledges(compiled: &Compiled) -> Vec<Words> {
    let job = &compiled.job;
    let mut out = vec![Words::from(
        "Days are those of the plan: from the first day of its steps to the last, or each day it is used where `days used` is written; hours are those its steps are worked, so ask whether more are counted.",
    )];
    for hired in &compiled.works.bill.hires {
        let Some(hire) = job.hire(hired.hire) else { continue };
        if let Some(deposit) = hire.say.deposit {
            out.push(Words::from(format!(
                "{}: {} is left as a deposit and comes back; it is not in the total.",
                hire.name,
                show::money(deposit.0)
            )));
        }
        if hire.say.days == Some(DaysKept::Used) {
            out.push(Words::from(format!("{}: it goes back between the days it is used.", hire.name)));
        }
    }
    out
}

fn fees(compiled: &Compiled) -> Table<'_> {
    let (job, bill) = (&compiled.job, &compiled.works.bill);
    let system = job.system();
    let mut columns = vec![Column::text("what", "What"), Column::text("how", "How it is reckoned")];
    columns.extend(bill.currency.map(|currency| Column::figure("cost", "Cost", currency.code()).number("")));
    let rows = Rows::formula(move |out| {
        for post in &bill.posts {
            let (name, what, how) = match post.of {
                Of::Purchase(_) | Of::Hire(_) => continue,
                Of::Delivery(supplier) => {
                    let title = job.supplier(supplier).map_or("", |supplier| supplier.title.as_str());
                    let of = if title.is_empty() { job.name(supplier) } else { title };
                    (format!("{}.delivery", job.name(supplier)), format!("delivery: {of}"), "once".to_owned())
                }
                Of::HireDelivery(at) => {
                    let Some(hired) = bill.hires.get(at) else { continue };
                    let name = job.name(hired.hire);
                    let price = job.hire(hired.hire).and_then(|hire| hire.say.delivery);
                    let how = match price.filter(|_| hired.brought > 1) {
                        Some(price) => {
                            format!("{} x {}, each time it is hired anew", hired.brought, show::money(price.0))
                        }
                        None => "once".to_owned(),
                    };
                    (format!("{name}.delivery"), format!("bringing and fetching: {name}"), how)
                }
                Of::Fee(at) => {
                    let Some(paid) = bill.paid.get(at) else { continue };
                    let Some(fee) = job.fee(paid.fee) else { continue };
                    let price = show::money(fee.say.rate.price.0);
                    let rubble = paid.rubble.as_ref();
                    let how = match (fee.say.rate.per, rubble) {
                        (Some(PerLoad::Trip), Some(rubble)) => match rubble.trips {
                            Some(trips) => {
                                format!("{trips} x {price}, {} of rubble", show::mass(rubble.weight, system))
                            }
                            None => format!("{price} for each trip; no `truck` is written"),
                        },
                        (Some(PerLoad::Mass(mass)), Some(rubble)) => {
                            format!(
                                "{price} for {}, {} of rubble",
                                show::mass(mass, system),
                                show::mass(rubble.weight, system)
                            )
                        }
                        (Some(PerLoad::Volume(room)), Some(rubble)) => format!(
                            "{price} for {}, {} of rubble as it is broken",
                            show::volume(room, system),
                            show::volume(rubble.loose, system)
                        ),
                        _ => "once".to_owned(),
                    };
                    let title = if fee.title.is_empty() { &fee.name } else { &fee.title };
                    (format!("{}.cost", fee.name), title.clone(), how)
                }
            };
            out.item(|row| {
                row.of(name).text(what).text(how);
                if bill.currency.is_some() {
                    match post.cost {
                        Some(cost) => money(row, Some(cost)),
                        None => _ = row.text("not priced"),
                    }
                }
            })?;
        }
        Ok(())
    });
    Table::new("fees", columns, rows)
}

/// The bill by stage or by supplier, down to the total.
fn shares<'w>(
    compiled: &'w Compiled,
    name: &'static str,
    head: &'static str,
    shares: &'w [Share],
    currency: Currency,
) -> Table<'w> {
    let (job, bill) = (&compiled.job, &compiled.works.bill);
    let columns = vec![
        Column::text("of", head),
        Column::figure("cost", "Cost", currency.code()).number(""),
        Column::text("not_priced", "Not priced"),
    ];
    let mut rows: Vec<Row> = Vec::new();
    for share in shares {
        rows.push(Row::new(Weight::Item, |row| {
            match share.of {
                Some(id) => row.of(format_args!("{}.cost", job.name(id))).text(called(compiled, id)),
                None if name == "stages" => row.of("job.no-step.cost").text("no step"),
                None => row.of("job.no-supplier.cost").text("no supplier named"),
            };
            if share.posts.is_empty() {
                row.empty();
            } else {
                money(row, Some(share.cost));
            }
            if share.unpriced > 0 {
                row.text(crate::problem::count(share.unpriced, "line", "lines"));
            }
        }));
    }
    if bill.total != bill.sum {
        rows.push(Row::new(Weight::Subtotal, |row| {
            row.of("buy.sum").text("together");
            money(row, bill.sum);
        }));
    }
    if let Some((_, tax)) = bill.tax {
        rows.push(Row::new(Weight::Item, |row| {
            row.of("buy.tax").text("tax");
            money(row, Some(tax));
        }));
    }
    if let Some(put_by) = bill.contingency {
        rows.push(Row::new(Weight::Item, |row| {
            row.of("buy.contingency").text("contingency");
            money(row, Some(put_by));
        }));
    }
    if bill.posts.iter().any(|post| post.cost.is_some()) {
        rows.push(Row::new(Weight::Total, |row| {
            row.of("buy.total").text("total");
            money(row, bill.total);
            if bill.unpriced > 0 {
                row.text(format_args!("{}, not counted", crate::problem::count(bill.unpriced, "line", "lines")));
            }
        }));
    }
    Table::new(name, columns, rows)
}

/// A block by its title and name.
fn called(compiled: &Compiled, id: crate::schema::BlockId) -> String {
    let job = &compiled.job;
    let name = job.name(id);
    let title = match job.kind(id) {
        Some(KindId::Step) => job.step(id).map(|step| step.title.as_str()),
        Some(KindId::Look) => job.look(id).map(|look| look.title.as_str()),
        Some(KindId::Wait) => job.wait(id).map(|wait| wait.title.as_str()),
        Some(KindId::Ask) => job.ask(id).map(|ask| ask.title.as_str()),
        Some(KindId::Supplier) => job.supplier(id).map(|supplier| supplier.title.as_str()),
        _ => None,
    };
    match title.filter(|title| !title.is_empty()) {
        Some(title) => format!("{name}: {title}"),
        None => name.to_owned(),
    }
}

fn split(compiled: &Compiled, bill: &Bill, paper: &mut Paper) {
    let Some(split) = &bill.split else { return };
    let job = &compiled.job;
    let from: Vec<&str> = split.weighed.iter().filter(|id| split.from.contains(id)).map(|id| job.name(*id)).collect();
    let mut text = match from.as_slice() {
        [] => "Nothing is bought from a supplier: stock without one is cheaper.".to_owned(),
        [one] => format!("All is bought from {one}."),
        all => format!("It is bought from {}.", crate::problem::and(all).replace('`', "")),
    };
    if split.proven {
        text.push_str(&format!(
            " No other choice of suppliers costs less, deliveries with it: all {} were reckoned.",
            split.tried
        ));
    } else {
        text.push_str(
            " There are too many suppliers to reckon every choice: each thing is bought where it is cheapest.",
        );
    }
    paper.push(Part::Text(Words::from(text)));
    if let Some(currency) = bill.currency {
        let alone = split.alone.iter().filter_map(|(id, cost)| {
            let money = crate::buying::rounded(*cost, currency)?;
            Some(Words::from(format!("{} alone: {}", job.name(*id), show::money(money))))
        });
        let whole = crate::buying::rounded(split.cost, currency);
        let whole = whole.map(|cost| Words::from(format!("as it is bought: {}", show::money(cost))));
        paper.push(Part::Bullets(alone.chain(whole).collect()));
    }
}

fn not_priced(compiled: &Compiled, bill: &Bill, paper: &mut Paper) {
    let job = &compiled.job;
    let names = bill.posts.iter().filter(|post| post.cost.is_none()).filter_map(|post| {
        Some(match post.of {
            Of::Purchase(at) => {
                let line = compiled.works.buying.get(bill.purchases.get(at)?.line)?;
                quantities::buy::label(compiled, line)
            }
            Of::Hire(at) => job.name(bill.hires.get(at)?.hire).to_owned(),
            Of::HireDelivery(at) => format!("bringing {}", job.name(bill.hires.get(at)?.hire)),
            Of::Delivery(supplier) => format!("delivery: {}", job.name(supplier)),
            Of::Fee(at) => job.name(bill.paid.get(at)?.fee).to_owned(),
        })
    });
    let mut names: Vec<String> = names.collect();
    names.dedup();
    if !names.is_empty() {
        paper.push(Part::Text(Words::new().strong("Not priced, and in no sum: ").plain(names.join("; ")).plain(".")));
    }
}

fn fetch<'w>(compiled: &'w Compiled, bill: &'w Bill, paper: &mut Paper<'w>) {
    let job = &compiled.job;
    let Some(truck) = job.trucks.first() else { return };
    if bill.loads.fetched.is_empty() {
        return;
    }
    let measures = Measures(job.system());
    paper.push(Part::Heading(2, Words::from("To fetch")));
    let columns = vec![
        Column::text("from", "From"),
        measures.masses("weight", "Weight").number("weight"),
        Column::count("trips", "Trips").number("trips"),
    ];
    let rows = Rows::formula(move |out| {
        for fetched in &bill.loads.fetched {
            out.item(|row| {
                let from = fetched.from.map_or("no-supplier", |from| job.name(from));
                row.of(format_args!("{}.{from}", truck.name));
                row.text(fetched.from.map_or("no supplier named", |from| job.name(from)));
                measures.mass(row, fetched.weight);
                row.count(i64::try_from(fetched.trips).unwrap_or(i64::MAX));
            })?;
        }
        Ok(())
    });
    paper.push(Part::Table(Table::new("trips", columns, rows)));
    let mut text = format!(
        "{} takes {} at once. Whole packs are loaded as they are listed; what a supplier delivers is not fetched.",
        truck.name,
        show::mass(truck.say.carries.0, job.system())
    );
    let unknown: Vec<String> = bill
        .loads
        .unknown
        .iter()
        .filter_map(|at| Some(quantities::buy::label(compiled, compiled.works.buying.get(*at)?)))
        .collect();
    if !unknown.is_empty() {
        text.push_str(&format!(" The weight of these is not known and not in it: {}.", unknown.join("; ")));
    }
    paper.push(Part::Text(Words::from(text)));
}

fn left(compiled: &Compiled) -> Table<'_> {
    let columns = vec![Column::text("item", "Of"), Column::text("left", "Left over")];
    let rows = Rows::formula(move |out| {
        for (at, left) in &compiled.works.bill.left {
            let Some(line) = compiled.works.buying.get(*at) else { continue };
            out.item(|row| {
                row.text(quantities::buy::label(compiled, line)).text(words::left(left, compiled.job.system()));
            })?;
        }
        Ok(())
    });
    Table::new("left", columns, rows)
}

//! Buying and money: prices of two currencies, stock that does not fit what it is of, prices of a hire that cannot stand together,
//! what is written once, and pieces the truck does not take.
//!
//! What goes into a truck is measured by whoever writes it; no source.

use crate::{
    buying::{self, Line, Misfit},
    job::{Job, Thing},
    problem::{Problem, Rule},
    rule,
    schema::{BlockId, KindId},
    source::Span,
    units::{Length, show},
    works::Works,
};

rule!(TWO_CURRENCIES, "two-currencies", Error, "prices in two currencies");
rule!(STOCK_UNCUT, "stock-uncut", Error, "bars or boards in stock without the length they are cut from");
rule!(UNIT_MISFIT, "unit-misfit", Error, "a pack that does not measure what it is of");
rule!(RATES_UNCLEAR, "rates-unclear", Error, "prices of a hire that cannot stand together");
rule!(MONEY_TWICE, "money-twice", Error, "a budget or a truck that is written twice");
rule!(TOO_LONG_FOR_TRUCK, "too-long-for-truck", Warning, "something bought that is longer than the truck takes");

pub(super) static RULES: &[&Rule] =
    &[&TWO_CURRENCIES, &STOCK_UNCUT, &UNIT_MISFIT, &RATES_UNCLEAR, &MONEY_TWICE, &TOO_LONG_FOR_TRUCK];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    currencies(job, problems);
    for misfit in &works.bill.misfits {
        problems.extend(told(job, *misfit));
    }
    for hire in &job.hires {
        let once = hire.say.rates.0.iter().find(|rate| rate.value.per.is_none());
        let other = once.and_then(|once| hire.say.rates.0.iter().find(|rate| rate.span != once.span));
        if let (Some(once), Some(other)) = (once, other) {
            problems.push(
                Problem::new(&RATES_UNCLEAR, once.span, "one price of `{0}` is paid once, and there is another")
                    .arg(hire.name.as_str())
                    .here("paid once: nothing says for how long")
                    .label(other.span, "another price")
                    .help("write the time it is for, as in `55 USD per day`, or keep one price"),
            );
        }
    }
    twice(&job.budgets, "budget", problems);
    twice(&job.trucks, "truck", problems);
    too_long(job, works, problems);
}

fn currencies(job: &Job, problems: &mut Vec<Problem>) {
    let prices = buying::prices(job);
    let Some((first, at)) = prices.first() else { return };
    // One finding: whoever mends one price looks at the others.
    if let Some((other, there)) = prices.iter().find(|(price, _)| price.currency != first.currency) {
        problems.push(
            Problem::new(&TWO_CURRENCIES, *there, "prices in {0} and in {1}")
                .arg(first.currency.code())
                .arg(other.currency.code())
                .here("in {1} here")
                .label(*at, "in {0} here")
                .help("write all prices in one currency; until then those in {1} count as not priced"),
        );
    }
}

fn told(job: &Job, misfit: Misfit) -> Option<Problem> {
    Some(match misfit {
        Misfit::NoLength { stock, unit: Some(at) } => {
            let stock = job.stock(stock)?;
            Problem::new(&STOCK_UNCUT, at, "`{0}` is cut, and sold by the piece: a pack says nothing")
                .arg(stock.name.as_str())
                .help("take `unit` out, and write what one piece costs")
        }
        Misfit::NoLength { stock, unit: None } => {
            let stock = job.stock(stock)?;
            Problem::new(&STOCK_UNCUT, stock.at, "how long the pieces of `{0}` are is not said")
                .arg(stock.name.as_str())
                .arg(job.name(stock.say.item.0))
                .help("write `length` and how long each {1} is, as in `length {20'|6 m}`")
        }
        Misfit::Unit { stock, at, wanted, example } => {
            let stock = job.stock(stock)?;
            Problem::new(&UNIT_MISFIT, at, "`{1}` is measured by {2}; a pack of `{0}` is not")
                .arg(stock.name.as_str())
                .arg(job.name(stock.say.item.0))
                .arg(wanted)
                .arg(example)
                .help("write what one pack holds, as in `{3}`")
        }
    })
}

fn twice<T>(all: &[Thing<T>], what: &'static str, problems: &mut Vec<Problem>) {
    if let [first, second, ..] = all {
        problems.push(
            Problem::new(&MONEY_TWICE, second.at, "a `{0}` is written twice")
                .arg(what)
                .here("again here")
                .label(first.at, "here already")
                .help("keep one of the two"),
        );
    }
}

/// Of each thing the longest that is bought.
fn too_long(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    let Some(truck) = job.trucks.first() else { return };
    let bill = &works.bill;
    let mut said: Option<usize> = None;
    for (at, long, longest) in &bill.loads.long {
        let Some(purchase) = bill.purchases.get(*at) else { continue };
        let Some(line) = works.buying.get(purchase.line) else { continue };
        let Some(item) = line.block(job).filter(|_| said != Some(purchase.line)) else { continue };
        said = Some(purchase.line);
        // What cannot be read may say how long it is bought, or who brings it.
        let says = |id: &BlockId| match job.kind(*id) {
            None | Some(KindId::Stock) => purchase.stock.is_none(),
            Some(KindId::Supplier) => purchase.from.is_none(),
            Some(KindId::Truck) => true,
            Some(_) => false,
        };
        if job.broken.iter().any(says) {
            continue;
        }
        let stock = purchase.stock.and_then(|id| job.stock(id));
        let truck_at = truck.said(KindId::Truck, "longest");
        let place = stock.map_or(truck_at, |stock| stock.said(KindId::Stock, "length"));
        let mut problem = Problem::new(&TOO_LONG_FOR_TRUCK, place, "{0} is bought {1} long, and `{2}` takes {3}")
            .arg(job.name(item))
            .arg(*long)
            .arg(truck.name.as_str())
            .arg(*longest)
            .thing(job.name(item))
            .measure(*long);
        if stock.is_some() {
            problem = problem.label(truck_at, "the truck takes this");
        }
        // With several lengths in stock another long one may take its place.
        let only = job.stock_of(item).count() == 1;
        let cut = stock.filter(|stock| only && stock.say.length.is_some());
        problem = match (cut, piece(works, line)) {
            (Some(stock), Some(piece)) if piece <= *longest => {
                let text = format!("length {}", show::exact(*longest, job.system()));
                problem
                    .help("have it cut to {3} where it is bought, buy shorter ones, or have it delivered (`supplier` with `delivery`)")
                    .fix(length_at(stock), text)
            }
            _ => problem.help("write a `stock` of pieces that go in, have it delivered (`supplier` with `delivery`), or measure the truck again"),
        };
        problems.push(problem);
    }
}

fn length_at(stock: &Thing<crate::schema::Stock>) -> Span {
    stock.said(KindId::Stock, "length")
}

/// The longest piece that is cut out of a line; none where it is not cut.
fn piece(works: &Works, line: &Line) -> Option<Length> {
    match line {
        Line::Bars { longest, .. } => Some(*longest),
        Line::Forms { sort: buying::FormStuff::Boards(size), .. } => {
            let plan = works.boards.iter().find(|plan| plan.size == *size)?;
            plan.pieces.iter().map(|(length, _)| *length).max()
        }
        _ => None,
    }
}

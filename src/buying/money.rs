//! The worked numbers of the bill: `buy.ITEM.STOCK.packs`, `buy.ITEM.cost`, `HIRE.days`, `HIRE.cost`, `FEE.cost`, `STEP.cost`,
//! `SUPPLIER.cost`, `TRUCK.trips`, `buy.total`.

use super::{Bill, Line, Of, Post, Purchase, Share, loads::Rubble, numbers::figure};
use crate::{
    job::Job,
    ledger::{Entry, Figure, Input, Ledger},
    schema::{KindId, Pack, PerLoad},
    units::{Area, Length, Mass, Money, Volume},
};

/// Enters the bill.
pub fn enter_money(job: &Job, lines: &[Line], bill: &Bill, ledger: &mut Ledger) {
    if !ledger.is_on() {
        return;
    }
    for (at, line) in lines.iter().enumerate() {
        bought(job, line, bill.of_line(at), ledger);
    }
    deliveries(job, bill, ledger);
    hired(job, bill, ledger);
    paid(job, bill, ledger);
    fetched(job, bill, ledger);
    let name_of = |post: &Post| post_name(job, lines, bill, post);
    let sums = |shares: &[Share], of_nobody: &'static str, ledger: &mut Ledger| {
        for share in shares {
            let name = share.of.map_or_else(|| of_nobody.to_owned(), |id| format!("{}.cost", job.name(id)));
            let parts = share.posts.iter().filter_map(|at| bill.posts.get(*at));
            let parts: Vec<Input> = parts.filter_map(|post| ledger.number("part", &name_of(post)?)).collect();
            if !parts.is_empty() {
                put(ledger, name, Figure::Money(share.cost), "sum of the parts", parts);
            }
        }
    };
    sums(&bill.stages, "job.no-step.cost", ledger);
    sums(&bill.suppliers, "job.no-supplier.cost", ledger);
    total(job, lines, bill, ledger);
}

/// The name of the number behind a line of the bill.
pub(crate) fn post_name(job: &Job, lines: &[Line], bill: &Bill, post: &Post) -> Option<String> {
    Some(match post.of {
        Of::Purchase(at) => {
            let purchase = bill.purchases.get(at)?;
            format!("{}.cost", purchase_name(job, lines, purchase)?)
        }
        Of::Delivery(supplier) => format!("{}.delivery", job.name(supplier)),
        Of::Hire(at) => format!("{}.cost", job.name(bill.hires.get(at)?.hire)),
        Of::HireDelivery(at) => format!("{}.delivery", job.name(bill.hires.get(at)?.hire)),
        Of::Fee(at) => format!("{}.cost", job.name(bill.paid.get(at)?.fee)),
    })
}

/// How the numbers of a purchase begin: `buy.ITEM.STOCK`, or `buy.ITEM` where no stock is written.
pub(crate) fn purchase_name(job: &Job, lines: &[Line], purchase: &Purchase) -> Option<String> {
    let item = lines.get(purchase.line)?.item(job);
    Some(match purchase.stock {
        Some(stock) => format!("buy.{item}.{}", job.name(stock)),
        None => format!("buy.{item}"),
    })
}

fn put(ledger: &mut Ledger, name: String, value: Figure, formula: &'static str, inputs: Vec<Input>) {
    ledger.enter(|| Entry { name, value, formula, source: "", inputs });
}

/// An amount in whole units of its measure as a number.
fn measured(pack: Pack, amount: i128) -> Option<Figure> {
    figure(match pack {
        Pack::Count(_) => Pack::Count(i64::try_from(amount).ok()?),
        Pack::Length(_) => Pack::Length(Length::from_nm(i64::try_from(amount).ok()?)),
        Pack::Area(_) => Pack::Area(Area::from_nm2(amount)),
        Pack::Volume(_) => Pack::Volume(Volume::from_nm3(amount)),
        Pack::Mass(_) => Pack::Mass(Mass::from_kg(amount as f64 / 1e9)),
    })
}

/// What is bought of a line: packs of each stock, what they cost, and all of it.
fn bought(job: &Job, line: &Line, purchases: &[Purchase], ledger: &mut Ledger) {
    let item = line.item(job);
    let mut all: Option<(Money, Vec<Input>)> = None;
    for purchase in purchases {
        let Some(stock) = purchase.stock.and_then(|id| job.stock(id)) else { continue };
        let name = |quantity: &str| format!("buy.{item}.{}.{quantity}", stock.name);
        let Some(packs) = purchase.packs else { continue };
        match purchase.holds {
            Some((pack, holds, need)) => {
                let (Some(wanted), Some(one)) = (measured(pack, need), measured(pack, holds)) else { continue };
                let whole = ledger.number("wanted", &format!("buy.{item}.packs"));
                let whole = whole.filter(|_| matches!(pack, Pack::Count(_)));
                let mut inputs = vec![whole.unwrap_or(Input::given(
                    "wanted",
                    wanted,
                    "what the line wants, in the measure of the pack",
                ))];
                inputs.push(match stock.say.unit {
                    Some(unit) => Input::said("unit", unit.span, one),
                    None => Input::given("unit", one, "one to the pack where no `unit` is written"),
                });
                let formula = if !purchase.alone {
                    "by the whole packs that hold what is wanted at the least cost, with other packs beside these"
                } else if stock.say.on_hand.is_some() {
                    let at = stock.said(KindId::Stock, "on-hand");
                    inputs.push(Input::said("at_hand", at, Figure::Count(purchase.at_hand)));
                    "wanted / unit - at_hand, up to whole packs"
                } else {
                    "wanted / unit, up to whole packs"
                };
                let of = need as f64 / holds as f64 - purchase.at_hand as f64;
                let value = if purchase.alone && crate::units::whole_up(of) == packs {
                    Figure::Whole { count: packs, of }
                } else {
                    Figure::Count(packs)
                };
                put(ledger, name("packs"), value, formula, inputs);
            }
            None => {
                let all = ledger.number("plan", &format!("buy.{item}.packs"));
                let said = Input::typed("stock", stock.at);
                let inputs = all.into_iter().chain([said]).collect();
                put(ledger, name("packs"), Figure::Count(packs), "by the cutting plan: pieces of this stock", inputs);
            }
        }
        if let Some(weighs) = purchase.weighs
            && packs > 0
        {
            let why = "what one weighs: said, or known of the thing";
            let inputs = ledger.number("packs", &name("packs")).into_iter();
            let inputs = inputs.chain([Input::given("one", Figure::Mass(weighs), why)]).collect();
            put(ledger, name("weight"), Figure::Mass(weighs * packs as f64), "packs * one", inputs);
        }
        let (Some(price), Some(cost)) = (purchase.price, purchase.cost) else { continue };
        let Some(said) = stock.say.price else { continue };
        let inputs = ledger.number("packs", &name("packs")).into_iter();
        let inputs = inputs.chain([Input::said("price", said.span, Figure::Money(price))]).collect();
        put(ledger, name("cost"), Figure::Money(cost), "packs * price, rounded to the smallest coin", inputs);
        let part = ledger.number("part", &name("cost"));
        all = match all {
            Some((sum, parts)) => sum.plus(cost).map(|sum| (sum, parts.into_iter().chain(part).collect())),
            None => Some((cost, part.into_iter().collect())),
        };
    }
    let whole = purchases.iter().all(|one| one.cost.is_some() || one.packs == Some(0));
    if let Some((sum, parts)) = all.filter(|_| whole) {
        put(ledger, format!("buy.{item}.cost"), Figure::Money(sum), "sum of the parts", parts);
    }
}

/// What is paid for bringing things, by suppliers and with what is hired.
fn deliveries(job: &Job, bill: &Bill, ledger: &mut Ledger) {
    for post in &bill.posts {
        let Some(cost) = post.cost else { continue };
        let (name, at, said, brought) = match post.of {
            Of::Delivery(supplier) => {
                let Some(supplier) = job.supplier(supplier) else { continue };
                (&supplier.name, supplier.said(KindId::Supplier, "delivery"), supplier.say.delivery.map(|it| it.0), 1)
            }
            Of::HireDelivery(at) => {
                let Some(hired) = bill.hires.get(at) else { continue };
                let Some(hire) = job.hire(hired.hire) else { continue };
                let said = hire.say.delivery.map(|it| it.0);
                (&hire.name, hire.said(KindId::Hire, "delivery"), said, hired.brought)
            }
            Of::Purchase(_) | Of::Hire(_) | Of::Fee(_) => continue,
        };
        let Some(said) = said else { continue };
        let mut inputs = vec![Input::said("delivery", at, Figure::Money(said))];
        let formula = if brought > 1 {
            let why = "by the plan: once, and again after each day without it";
            inputs.push(Input::given("times", Figure::Count(brought), why));
            "times * delivery"
        } else {
            "delivery"
        };
        put(ledger, format!("{name}.delivery"), Figure::Money(cost), formula, inputs);
    }
}

fn hired(job: &Job, bill: &Bill, ledger: &mut Ledger) {
    for hired in &bill.hires {
        let Some(hire) = job.hire(hired.hire) else { continue };
        let name = |quantity: &str| format!("{}.{quantity}", hire.name);
        if let Some(days) = hired.days {
            let (formula, inputs) = if let Some(kept) = hire.say.kept {
                let said = Input::said("kept", hire.said(KindId::Hire, "kept"), Figure::Duration(kept.0));
                ("by what is written, up to whole days", vec![said])
            } else {
                let steps = Input::typed("for", hire.said(KindId::Hire, "for"));
                let formula = match hire.say.days {
                    Some(crate::schema::DaysKept::Used) => "by the plan: days on which one of its steps is done",
                    _ => "by the plan: from the first day of its steps to the last",
                };
                (formula, vec![steps])
            };
            put(ledger, name("days"), Figure::Count(days), formula, inputs);
        }
        let mut parts = Vec::new();
        for taken in &hired.taken {
            let Some(rate) = hire.say.rates.0.get(taken.rate) else { continue };
            let price = rate.value.price.0;
            let part = format!("{}.rate.{}", hire.name, taken.rate + 1);
            let times = crate::units::Exact::whole(i128::from(taken.times) * i128::from(hired.count));
            let Some(cost) = price.times(times) else { continue };
            let why = match rate.value.per {
                Some(_) => "begun times, each counting whole, of the prices that come to the least",
                None => "paid once",
            };
            let mut inputs = vec![
                Input::given("times", Figure::Count(taken.times), why),
                Input::said("price", rate.span, Figure::Money(price)),
            ];
            let formula = if let Some(count) = hire.say.count {
                let count = u64::try_from(count.0).unwrap_or(1);
                inputs.push(Input::said("pieces", hire.said(KindId::Hire, "count"), Figure::Count(count)));
                "times * price * pieces"
            } else {
                "times * price"
            };
            if rate.value.per.is_some() {
                inputs.extend(ledger.number("days", &name("days")));
            }
            put(ledger, part.clone(), Figure::Money(cost), formula, inputs);
            parts.extend(ledger.number("part", &part));
        }
        if let (Some(cost), false) = (hired.cost, parts.is_empty()) {
            put(ledger, name("cost"), Figure::Money(cost), "sum of the parts, rounded to the smallest coin", parts);
        }
    }
}

fn paid(job: &Job, bill: &Bill, ledger: &mut Ledger) {
    for paid in &bill.paid {
        let (Some(fee), Some(cost)) = (job.fee(paid.fee), paid.cost) else { continue };
        let price = Input::said("price", fee.said(KindId::Fee, "price"), Figure::Money(fee.say.rate.price.0));
        let (formula, inputs) = match (fee.say.rate.per, &paid.rubble) {
            (Some(per), Some(rubble)) => {
                let (load, of, unit) = match per {
                    PerLoad::Trip => {
                        trips(job, &fee.name, rubble, ledger);
                        ("trips", Figure::Count(rubble.trips.unwrap_or(0)), None)
                    }
                    PerLoad::Mass(mass) => ("rubble", Figure::Mass(rubble.weight), Some(Figure::Mass(mass))),
                    PerLoad::Volume(room) => ("rubble", Figure::Volume(rubble.loose), Some(Figure::Volume(room))),
                };
                let worked = ledger.number("trips", &format!("{}.trips", fee.name));
                let why = "what is carted off of these strips, as broken";
                let mut inputs = vec![worked.unwrap_or(Input::given(load, of, why))];
                inputs.extend(unit.map(|unit| Input::given("unit", unit, "what the price is for")));
                inputs.push(price);
                let formula = match unit {
                    Some(_) => "rubble / unit * price, rounded to the smallest coin",
                    None => "trips * price, rounded to the smallest coin",
                };
                (formula, inputs)
            }
            _ => ("price, rounded to the smallest coin", vec![price]),
        };
        put(ledger, format!("{}.cost", fee.name), Figure::Money(cost), formula, inputs);
    }
}

/// How often the truck goes to the dump for a fee.
fn trips(job: &Job, name: &str, rubble: &Rubble, ledger: &mut Ledger) {
    let (Some(truck), Some(count)) = (job.trucks.first(), rubble.trips) else { return };
    let weight = Input::given("rubble", Figure::Mass(rubble.weight), "weight of what is carted off");
    let mut inputs =
        vec![weight, Input::said("carries", truck.said(KindId::Truck, "carries"), Figure::Mass(truck.say.carries.0))];
    let of = rubble.weight.kg() / truck.say.carries.0.kg();
    let (value, formula) = if let Some(holds) = truck.say.holds {
        let said = truck.said(KindId::Truck, "holds");
        inputs.push(Input::given("room", Figure::Volume(rubble.loose), "what it takes broken"));
        inputs.push(Input::said("holds", said, Figure::Volume(holds.0)));
        (Figure::Count(count), "by weight and by room, whichever is more, up to whole trips")
    } else {
        (Figure::Whole { count, of }, "rubble / carries, up to whole trips")
    };
    put(ledger, format!("{name}.trips"), value, formula, inputs);
}

fn fetched(job: &Job, bill: &Bill, ledger: &mut Ledger) {
    let Some(truck) = job.trucks.first() else { return };
    let carries = || Input::said("carries", truck.said(KindId::Truck, "carries"), Figure::Mass(truck.say.carries.0));
    for fetched in &bill.loads.fetched {
        let of = fetched.from.map_or("no-supplier", |from| job.name(from));
        let name = |quantity: &str| format!("{}.{of}.{quantity}", truck.name);
        let given = |mass: Mass| Input::given("part", Figure::Mass(mass), "packs bought, each with its weight");
        let parts: Vec<Input> = fetched.loaded.iter().map(|(_, mass)| given(*mass)).collect();
        let parts = if parts.is_empty() { vec![given(Mass::ZERO)] } else { parts };
        put(ledger, name("weight"), Figure::Mass(fetched.weight), "sum of the parts", parts);
        let weight = ledger.number("load", &name("weight"));
        let inputs = weight.into_iter().chain([carries()]).collect();
        let formula = "by loading whole packs as they are listed; a new trip where the next does not fit";
        put(ledger, name("trips"), Figure::Count(fetched.trips), formula, inputs);
    }
}

fn total(job: &Job, lines: &[Line], bill: &Bill, ledger: &mut Ledger) {
    let (Some(sum), Some(total)) = (bill.sum, bill.total) else { return };
    let mut parts: Vec<Input> = Vec::new();
    for post in bill.posts.iter().filter(|post| post.cost.is_some()) {
        parts.extend(post_name(job, lines, bill, post).and_then(|name| ledger.number("part", &name)));
    }
    if parts.is_empty() {
        return;
    }
    put(ledger, "buy.sum".to_owned(), Figure::Money(sum), "sum of the parts", parts);
    let mut parts: Vec<Input> = ledger.number("part", "buy.sum").into_iter().collect();
    let budget = job.budgets.first();
    let rate = |word: &'static str, rate: crate::schema::Percent| {
        let at = budget.map(|budget| budget.said(KindId::Budget, word));
        at.map(|at| Input::said("rate", at, Figure::Ratio(crate::units::Ratio::from_fraction(rate.0.to_f64()))))
    };
    if let (Some((taxed, tax)), Some(said)) = (bill.tax, budget.and_then(|budget| budget.say.tax)) {
        let inputs = [Input::given("taxed", Figure::Money(taxed), "the priced lines that are taxed")];
        let inputs = inputs.into_iter().chain(rate("tax", said)).collect();
        put(ledger, "buy.tax".to_owned(), Figure::Money(tax), "taxed * rate, rounded to the smallest coin", inputs);
        parts.extend(ledger.number("part", "buy.tax"));
    }
    if let (Some(put_by), Some(said)) = (bill.contingency, budget.and_then(|budget| budget.say.contingency)) {
        let before = bill.tax.map_or(Some(sum), |(_, tax)| sum.plus(tax)).unwrap_or(sum);
        let inputs = [Input::given("all", Figure::Money(before), "the sum, with tax")];
        let inputs = inputs.into_iter().chain(rate("contingency", said)).collect();
        let formula = "all * rate, rounded to the smallest coin";
        put(ledger, "buy.contingency".to_owned(), Figure::Money(put_by), formula, inputs);
        parts.extend(ledger.number("part", "buy.contingency"));
    }
    put(ledger, "buy.total".to_owned(), Figure::Money(total), "sum of the parts", parts);
}

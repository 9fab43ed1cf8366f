//! Pours, what was used up, and when young concrete was stripped and loaded.

use crate::{
    checks::day_after,
    compile::Compiled,
    concrete::Mixing,
    curing::Act,
    facts::On,
    outcome::{act_done, waste_done},
    reports::{Column, Paper, Part, Row, Table, Weight, Words, measures::Measures},
    schema::BlockId,
    units::show,
};

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    let works = &compiled.works;
    let measures = Measures(compiled.job.system());
    if !works.mixings.is_empty() {
        paper.push(Part::Heading(2, Words::from("Pours")));
        let columns = vec![
            Column::text("pour", "Pour"),
            Column::text("day", "Poured on"),
            Column::text("hours", "From, until"),
            Column::count("planned_bags", "Bags planned").number("bags"),
            Column::count("bags", "Bags used").number("bags.done"),
            Column::count("more_bags", "More").number("bags.more"),
            measures.ratios("planned_waste", "Waste planned").written(),
            measures.ratios("waste", "Waste").number("waste.done"),
        ];
        let rows: Vec<Row> = works.mixings.iter().map(|mixing| pour(compiled, mixing)).collect();
        paper.push(Part::Table(Table::new("pours_done", columns, rows)));
        let columns = vec![
            Column::text("pour", "Pour"),
            Column::text("planned_water", "Water for a bag, planned"),
            Column::text("water", "Water for a bag"),
            Column::text("air", "Air"),
            Column::text("planned_concrete", "Concrete, planned"),
            Column::text("concrete", "Concrete"),
        ];
        let rows: Vec<Row> = works.mixings.iter().map(|mixing| conditions(compiled, mixing)).collect();
        paper.push(Part::Table(Table::new("pour_conditions", columns, rows)));
    }
    young(compiled, paper);
    used(compiled, paper);
}

fn pour(compiled: &Compiled, mixing: &Mixing) -> Row {
    let done = compiled.works.facts.pours.get(&mixing.pour);
    let name = compiled.job.name(mixing.pour);
    Row::new(Weight::Item, |row| {
        row.of(name).text(name);
        match done {
            Some(done) => row.text(done.on.day),
            None => row.blank(),
        };
        match done.and_then(|done| done.hours) {
            Some(hours) => {
                let clock = |time: crate::schema::Clock| {
                    let minutes = time.0.minutes().round() as i64;
                    format!("{}:{:02}", minutes / 60, minutes % 60)
                };
                row.text(format_args!("{} to {}", clock(hours.value.from), clock(hours.value.to)))
            }
            None => row.blank(),
        };
        let count = |number: u64| i64::try_from(number).unwrap_or(i64::MAX);
        row.count(count(mixing.bags));
        let bags = done.and_then(|done| done.bags);
        match bags {
            Some(bags) => row.count(count(bags.value)).count(count(bags.value) - count(mixing.bags)),
            None => row.blank().empty(),
        };
        row.figure(show::percent(mixing.waste), mixing.waste.percent());
        match bags.and_then(|bags| waste_done(mixing, bags.value)) {
            Some(waste) => row.figure(show::percent(waste), waste.percent()),
            None => row.empty(),
        };
    })
}

fn conditions(compiled: &Compiled, mixing: &Mixing) -> Row {
    let (job, works) = (&compiled.job, &compiled.works);
    let system = job.system();
    let done = works.facts.pours.get(&mixing.pour);
    Row::new(Weight::Item, |row| {
        row.text(job.name(mixing.pour));
        match mixing.water {
            Some((from, to)) => {
                row.text(format_args!("{} to {}", show::water(from, system), show::water_at_most(to, system)))
            }
            None => row.text("not said"),
        };
        match done.and_then(|done| done.water) {
            Some(water) => row.text(show::water(water.value, system)),
            None => row.blank(),
        };
        match done.and_then(|done| done.air) {
            Some(air) => row.text(show::temperature(air.value, system)),
            None => row.blank(),
        };
        let planned = job.cures.iter().find(|cure| cure.say.of.value.0 == mixing.pour).and_then(|cure| cure.say.fresh);
        match planned {
            Some(fresh) => row.text(show::temperature(fresh.value, system)),
            None => row.text("as the air"),
        };
        match done.and_then(|done| done.concrete) {
            Some(concrete) => row.text(show::temperature(concrete.value, system)),
            None => row.blank(),
        };
    })
}

/// When forms came off and loads came on, against the earliest.
fn young<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    let works = &compiled.works;
    let mut rows = Vec::new();
    for cured in &works.cures {
        for ready in &cured.readies {
            let poured = works.facts.pours.get(&cured.pour);
            let day = |time: crate::units::Duration| {
                let until = poured?.hours.map_or(crate::units::Duration::from_hours(12.0), |hours| hours.value.to.0);
                day_after(poured?.on.day, until + time)
            };
            // Up to the hour, as everywhere: sooner is too soon.
            let up = |time: crate::units::Duration| {
                crate::units::Duration::from_hours(crate::units::whole_up(time.hours()) as f64)
            };
            let said = |time: Option<crate::units::Duration>| match time.map(up) {
                Some(time) => match day(time) {
                    Some(day) => format!("{day}, {} after the pour", show::time(time)),
                    None => format!("{} after the pour", show::time(time)),
                },
                None => String::new(),
            };
            rows.push(Row::new(Weight::Item, |row| {
                row.text(compiled.job.name(cured.pour)).text(ready.act.clause());
                row.text(said(ready.planned)).text(said(ready.earliest));
                match last_done(compiled, cured.pour, ready.act) {
                    Some(on) => row.text(on.day),
                    None => row.blank(),
                };
            }));
        }
    }
    if rows.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("Young concrete")));
    let columns = vec![
        Column::text("pour", "Pour"),
        Column::text("act", "What"),
        Column::text("planned", "Planned"),
        Column::text("earliest", "Earliest, in the weather the file says"),
        Column::text("done", "Done on"),
    ];
    paper.push(Part::Table(Table::new("young_done", columns, rows)));
}

/// The last day a pour was stripped, loaded or filled in against.
pub(super) fn last_done(compiled: &Compiled, pour: BlockId, act: Act) -> Option<On> {
    act_done(&compiled.works.plan, &compiled.works.facts, pour, act).into_iter().last()
}

fn used<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    let (job, works) = (&compiled.job, &compiled.works);
    let mut rows = Vec::new();
    let count = |number: u64| i64::try_from(number).unwrap_or(i64::MAX);
    let mut line = |id: BlockId, planned: Option<String>| {
        let used = works.facts.used.get(&id);
        rows.push(Row::new(Weight::Item, |row| {
            row.of(job.name(id)).text(job.name(id)).text(planned.unwrap_or_else(|| "not reckoned".to_owned()));
            match used {
                Some(used) => row.count(count(used.count)),
                None => row.blank(),
            };
        }));
    };
    for order in &works.resins {
        line(
            order.resin,
            order.cartridges.map(|cartridges| {
                crate::problem::count(usize::try_from(cartridges).unwrap_or(usize::MAX), "cartridge", "cartridges")
            }),
        );
    }
    let resins: Vec<BlockId> = works.resins.iter().map(|order| order.resin).collect();
    for id in works.facts.used.keys().filter(|id| !resins.contains(id)) {
        let blades = works.saws.iter().find(|saw| saw.id == *id).and_then(|saw| saw.blades);
        line(*id, blades.map(|blades| format!("{} blades", show::decimal(blades, 1))));
    }
    if rows.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("Used up")));
    let columns = vec![
        Column::text("what", "What"),
        Column::text("planned", "Planned"),
        Column::count("used", "Used").number("used"),
    ];
    paper.push(Part::Table(Table::new("used_up", columns, rows)));
}

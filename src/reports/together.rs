//! What several jobs come to together, and the page that leads to the papers of each.

use super::{
    Column, Paper, Part, Row, Rows, Table, Words,
    measures::Measures,
    quantities::buy::{called, money},
    words,
};
use crate::{
    gathering::{Gathered, Item, Need, Share, from_milligrams},
    problem::count,
    schema::Pack,
    units::{Money, System, Volume, show},
};

/// One job on the page that leads to all of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Indexed {
    /// The job's file, as it is shown.
    pub file: String,
    /// Where its paper lies, from the page, with `/`; none where none was written.
    pub paper: Option<String>,
    /// What it comes to; none where it could not be read.
    pub share: Option<Share>,
}

/// The totals and the one buy list of several jobs.
#[must_use]
pub fn together(gathered: &Gathered) -> Paper<'_> {
    let mut paper = Paper::new(format!("Together: {}", count(gathered.jobs, "job", "jobs")));
    add(gathered, &mut paper);
    paper
}

/// The page that leads to the papers of several jobs, with their totals and the one buy list.
#[must_use]
pub fn index<'w>(jobs: &'w [Indexed], gathered: &'w Gathered) -> Paper<'w> {
    let mut paper = Paper::new(format!("Jobs: {}", jobs.len()));
    let columns = vec![
        Column::text("job", "Job"),
        Column::text("site", "Site"),
        Column::text("starts", "Starts"),
        Column::text("ends", "Ends"),
        Column::count("days", "Days"),
        Column::count("bags", "Bags"),
        Column::text("weight", "Weighs"),
        Column::text("findings", "Findings"),
        Column::text("file", "File"),
    ];
    let rows = Rows::formula(move |lines| jobs.iter().try_for_each(|job| lines.item(|row| indexed(row, job))));
    paper.push(Part::Table(Table::new("jobs", columns, rows)));
    paper.push(Part::Heading(2, Words::from("All of them together")));
    add(gathered, &mut paper);
    paper
}

fn indexed(row: &mut Row, job: &Indexed) {
    let Some(share) = &job.share else {
        row.text(&job.file).empty().empty().empty().empty().empty().empty().text("not read").text(&job.file);
        return;
    };
    let title = if share.title.trim().is_empty() { &job.file } else { &share.title };
    match &job.paper {
        Some(paper) => row.link(title, paper),
        None => row.text(title),
    };
    row.text(&share.site);
    match share.days {
        Some((starts, ends)) => row.text(starts).text(ends).count(starts.days_until(ends) + 1),
        None => row.empty().empty().empty(),
    };
    row.count(whole(share.bags)).text(show::mass(share.weight, share.system)).text(findings(share.findings));
    row.text(&job.file);
}

/// "2 errors, 1 warning".
#[must_use]
pub fn findings([errors, warnings, advice]: [usize; 3]) -> String {
    let all = [
        (errors, count(errors, "error", "errors")),
        (warnings, count(warnings, "warning", "warnings")),
        (advice, count(advice, "piece of advice", "pieces of advice")),
    ];
    let some: Vec<String> = all.into_iter().filter(|(number, _)| *number > 0).map(|(_, words)| words).collect();
    if some.is_empty() { "none".to_owned() } else { some.join(", ") }
}

fn whole(number: u64) -> i64 {
    i64::try_from(number).unwrap_or(i64::MAX)
}

fn add<'w>(gathered: &'w Gathered, paper: &mut Paper<'w>) {
    let system = gathered.system.unwrap_or(System::Feet);
    if gathered.drafts > 0 {
        let drafts = count(gathered.drafts, "job has errors", "jobs have errors");
        paper.push(Part::Caution(Words::from(format!("{drafts}: what they touch is missing here"))));
    }
    let fact = |label: &str, value: String| (Words::from(label), Words::from(value));
    paper.push(Part::Facts(vec![
        fact("Concrete", show::volume(gathered.concrete, system).to_string()),
        fact("Bags", gathered.bags.to_string()),
        fact("Holes", gathered.holes.to_string()),
        fact("Bars", gathered.bars.to_string()),
        fact("Findings", findings(gathered.findings)),
    ]));
    if gathered.needs.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("To buy, all jobs together")));
    paper.push(Part::Text(Words::from(
        "Like things from one seller at one price are added up before packs are rounded. Bags stay whole for each pour, bars and boards for each job's cutting \
         plan. What is worn goes from job to job: as much of it as the job that wants most. What lies at hand is taken off once.",
    )));
    paper.push(Part::Table(buy(gathered, system)));
    if gathered.costs().is_empty() {
        return;
    }
    let mut names: Vec<String> = gathered.unpriced().map(|(ware, _)| called(&ware.item)).collect();
    names.dedup();
    if !names.is_empty() {
        paper.push(Part::Text(Words::new().strong("Not priced, and in no sum: ").plain(names.join("; ")).plain(".")));
    }
    paper.push(Part::Text(Words::from(
        "These are goods alone: what is hired, fees, deliveries, tax and what is put by stand in the bill of each job.",
    )));
}

fn buy(gathered: &Gathered, system: System) -> Table<'_> {
    let measures = Measures(system);
    let costs = gathered.costs();
    let sellers = gathered.needs.keys().any(|ware| ware.from.is_some());
    let mut columns = vec![
        Column::text("item", "Item"),
        Column::count("packs", "Packs"),
        Column::text("what", "What it comes to"),
        measures.masses("weight", "Weight"),
    ];
    match costs.as_slice() {
        [] => {}
        [one] => {
            let code = one.currency.code();
            columns.extend([Column::figure("each", "Each", code), Column::figure("cost", "Cost", code)]);
        }
        // Amounts of several currencies stand with their codes, and no column of them can be added up.
        _ => columns.extend([Column::count("each", "Each"), Column::count("cost", "Cost")]),
    }
    if sellers {
        columns.push(Column::text("from", "From"));
    }
    columns.extend([Column::count("jobs", "For jobs"), Column::mark("got", "Got")]);
    let amount = |row: &mut Row, costs: &[Money], amount: Money| match costs {
        [_] => money(row, Some(amount)),
        _ => _ = row.text(show::money(amount)),
    };
    Table::new(
        "buy-together",
        columns,
        Rows::formula(move |lines| {
            for (ware, need) in &gathered.needs {
                lines.item(|row| {
                    row.text(called(&ware.item));
                    match need.packs() {
                        Some(packs) => row.count(whole(packs)),
                        None if need.amount.is_some() => row.empty(),
                        None => row.blank(),
                    };
                    row.text(comes_to(&ware.item, need));
                    match need.weighs() {
                        Some(weight) => measures.mass(row, weight),
                        None => _ = row.empty(),
                    }
                    if !costs.is_empty() {
                        match ware.price {
                            Some(price) => amount(row, &costs, price),
                            None => _ = row.empty(),
                        }
                        match ware.costs(need) {
                            _ if need.packs() == Some(0) => _ = row.text("at hand"),
                            Some(cost) => amount(row, &costs, cost),
                            None => _ = row.text("not priced"),
                        }
                    }
                    if sellers {
                        row.text(ware.from.as_deref().unwrap_or_default());
                    }
                    row.count(i64::try_from(need.jobs).unwrap_or(i64::MAX)).tick();
                })?;
            }
            lines.total(|row| {
                let weights = gathered.needs.values().filter_map(Need::weighs);
                row.text("All that has a weight").empty().empty();
                measures.mass(row, weights.fold(crate::units::Mass::from_kg(0.0), |sum, weight| sum + weight));
            })?;
            for cost in &costs {
                lines.total(|row| {
                    row.text("All that has a price").empty();
                    match gathered.unpriced().count() {
                        0 => row.empty(),
                        count => {
                            row.text(format_args!("{} not counted", crate::problem::count(count, "line", "lines")))
                        }
                    };
                    row.empty().empty();
                    amount(row, &costs, *cost);
                })?;
            }
            Ok(())
        }),
    )
}

fn comes_to(item: &Item, need: &Need) -> String {
    let system = need.system;
    let mut parts = Vec::new();
    match item {
        Item::Bags { weighs, yields, .. } => {
            let each = from_milligrams(*weighs);
            parts.push(format!("{} each", show::mass(each, system)));
            if let Some(packs) = need.packs().filter(|_| need.pack.is_none()) {
                let bags = whole(packs.saturating_add(need.at_hand()));
                parts.push(format!("{} of concrete in all", show::volume(*yields * bags, system)));
            }
        }
        Item::Resin { holds, .. } => {
            if let Some(holds) = holds {
                parts.push(format!("{} each", show::fluid(*holds, system)));
            }
            if need.volume > Volume::ZERO {
                parts.push(format!("{} with what is lost", show::fluid(need.volume, system)));
            }
            if need.nozzles > 0 {
                let used = usize::try_from(need.nozzles).unwrap_or(usize::MAX);
                parts.push(format!("{} used up", count(used, "nozzle", "nozzles")));
            }
        }
        Item::Wire { coil, .. } => {
            let each = from_milligrams(*coil);
            parts.push(format!("{} each", show::mass(each, system)));
        }
        _ => {}
    }
    parts.extend(need.pack.map(|pack| format!("packs of {}", words::pack(pack, system))));
    parts.extend(
        need.amount.filter(|amount| !matches!(amount, Pack::Count(_))).map(|amount| words::pack(amount, system)),
    );
    let lengths = need.lengths.iter().rev();
    let lengths: Vec<String> =
        lengths.map(|(length, count)| format!("{count} of {}", show::exact(*length, system))).collect();
    parts.extend((!lengths.is_empty()).then(|| lengths.join(", ")));
    if need.at_hand() > 0 {
        let more = if need.packs() == Some(0) { "" } else { " more" };
        parts.push(format!("{}{more} at hand", need.at_hand()));
    }
    parts.join(", ")
}

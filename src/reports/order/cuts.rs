//! What is cut from which bar.

use crate::{
    compile::Compiled,
    cutting::Proof,
    reports::{Column, Paper, Part, Row, Rows, Table, Words},
    steel::{BarsMade, CutPlan},
    units::{Length, System, show, show::Shown},
    yard::Source,
};

/// The cutting plans of all sizes.
pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    if compiled.works.cuts.is_empty() {
        return;
    }
    let system = compiled.job.system();
    paper.push(Part::Heading(3, Words::from("What is cut from what")));
    for plan in &compiled.works.cuts {
        let size = compiled.job.name(plan.steel);
        paper.push(Part::Table(table(compiled, plan).caption(format!("Cutting {size}"))));
        let bought = plan.bought().map(|(_, count)| count).sum();
        let mut text = match bought {
            0 => format!("No {size} to buy: what there is is enough"),
            _ => format!("{} of {size} to buy", crate::problem::count(to_usize(bought), "bar", "bars")),
        };
        if let Some(cost) = plan.cost {
            text.push_str(&format!(", {}", show::money(cost)));
        }
        text.push_str(". ");
        text.push_str(&sure(plan, system));
        if let Some(first_fit) = plan.first_fit {
            let used: u64 = plan.cuts.iter().map(|cut| cut.times).sum();
            if first_fit > used {
                text.push_str(&format!(
                    " Cut as they come, longest first, they would take {}.",
                    crate::problem::count(to_usize(first_fit), "bar", "bars")
                ));
            }
        }
        let lapped = |made: &&BarsMade| made.steel.id == plan.steel && !made.rows.is_empty();
        if compiled.works.bars.iter().any(|made| lapped(&made)) {
            text.push_str(" Where long bars are lapped was chosen with the plan: of the ways tried, none takes less.");
        }
        if plan.kerf > Length::ZERO {
            text.push_str(&format!(" Each cut takes {}.", show::told(plan.kerf, system)));
        }
        paper.push(Part::Text(Words::from(text)));
    }
}

/// Why no plan is cheaper, in words that can be checked.
fn sure(plan: &CutPlan, system: System) -> String {
    match &plan.proof {
        Proof::Material => {
            "No plan takes less: together the pieces and the cuts between them are too long for less stock.".to_owned()
        }
        Proof::Search => "No plan takes less: every way to do with less was tried.".to_owned(),
        Proof::Certificate(certificate) => {
            let worth: Vec<String> = plan
                .pieces
                .iter()
                .zip(&certificate.worth)
                .filter(|(_, worth)| **worth > 0)
                .map(|((mark, (_, count)), worth)| format!("{count} of mark {mark} at {worth}"))
                .collect();
            let fullest: Vec<String> = plan
                .sources
                .iter()
                .zip(&certificate.fullest)
                .filter(|(_, fullest)| **fullest > 0)
                .map(|(source, fullest)| format!("{fullest} in a bar of {}", show::exact(source.length, system)))
                .collect();
            format!(
                "No plan takes less. To check: count {}; no bar holds more than {}.",
                worth.join(", "),
                fullest.join(", ")
            )
        }
        Proof::NotProven => format!(
            "The best plan found; it may be dearer than the best there is by {} in a hundred at most.",
            show::decimal((plan.cost_units - plan.bound) as f64 * 100.0 / (plan.bound.max(1)) as f64, 2)
        ),
    }
}

fn to_usize(count: u64) -> usize {
    usize::try_from(count).unwrap_or(usize::MAX)
}

fn table<'w>(compiled: &'w Compiled, plan: &'w CutPlan) -> Table<'w> {
    let system = compiled.job.system();
    let columns = vec![
        Column::text("bars", "Bars"),
        Column::text("stock", "Each from"),
        Column::text("pieces", "Cut, in this order"),
        Column::text("left", "Left of each"),
        Column::mark("cut_done", "Cut"),
    ];
    let rows = Rows::formula(move |lines| {
        for cut in &plan.cuts {
            let Some(source) = plan.sources.get(cut.source) else { continue };
            let pieces: Vec<String> = cut
                .pieces
                .iter()
                .map(|(mark, count)| {
                    let length = plan.pieces.get(mark).map_or(Length::ZERO, |(length, _)| *length);
                    format!("{count} x mark {mark} ({})", show::cut(length, system))
                })
                .collect();
            let left = show::exact(cut.left, system);
            lines
                .item(|row| fill(row, cut.times, source, &pieces, (cut.left > Length::ZERO).then_some(left), system))?;
        }
        Ok(())
    });
    Table::new("cutting", columns, rows)
}

/// A line of a cutting plan: how many alike, from what, the pieces in their order, what is left of each, a box.
pub(super) fn fill(row: &mut Row, times: u64, source: &Source, pieces: &[String], left: Option<Shown>, system: System) {
    let hand = if source.at_hand { ", at hand" } else { "" };
    row.text(times).text(format_args!("{}{hand}", show::exact(source.length, system))).text(pieces.join(", "));
    match left {
        Some(left) => row.text(left),
        None => row.text("nothing"),
    };
    row.tick();
}

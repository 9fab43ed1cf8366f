//! The pour sheet: what is mixed, batch by batch, with room for what really went in.

use super::holes::at_temperatures;
use crate::{
    compile::Compiled,
    concrete::{CEMENT_IN_A_BAG, Mixing, PourSolid, too_wet},
    reports::{Column, Paper, Part, Rows, Table, Words, words},
    units::{Length, Ratio, show},
};

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    if compiled.works.mixings.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("Pour sheet")));
    for mixing in &compiled.works.mixings {
        let Some(solid) = compiled.works.solids.pours.iter().find(|solid| solid.pour == mixing.pour) else { continue };
        one(compiled, mixing, solid, paper);
    }
}

fn one<'w>(compiled: &'w Compiled, mixing: &'w Mixing, solid: &'w PourSolid, paper: &mut Paper<'w>) {
    let job = &compiled.job;
    let system = job.system();
    let name = job.name(mixing.pour);
    paper.push(Part::Heading(3, Words::from(format!("{name}: {} bags of {}", mixing.bags, job.name(mixing.mix)))));
    let mut facts: Vec<(Words, Words)> = Vec::new();
    let mut fact = |label: &str, value: String| facts.push((Words::from(label), Words::from(value)));
    fact("Fills", words::names(job, solid.sections.iter().map(|(id, _)| *id)));
    fact(
        "Concrete",
        format!(
            "{} in the form, {} with {} waste",
            show::volume(mixing.placed, system),
            show::volume(mixing.wanted, system),
            show::percent(mixing.waste)
        ),
    );
    fact("Bags weigh", format!("{} in all", show::mass(mixing.weight, system)));
    if let Some((start, most)) = mixing.water {
        fact(
            "Water for one bag",
            format!("{} to start with, never past {}", show::water(start, system), show::water(most, system)),
        );
    }
    if let Some(wet) = job.mix(mixing.mix).and_then(|mix| too_wet(&mix.say, system)) {
        let lost: Vec<String> = wet
            .lost
            .iter()
            .map(|lost| {
                format!("{} ({})", show::percent(Ratio::from_percent(-lost.value.percent().round())), lost.source)
            })
            .collect();
        let share = show::percent(Ratio::from_fraction(CEMENT_IN_A_BAG));
        fact(
            &format!("{} more water in a bag costs of its strength", show::water(wet.more, system)),
            format!("{}; with {share} of the bag cement: common practice, no source", lost.join(", ")),
        );
    }
    if let Some(mix) = job.mix(mixing.mix) {
        if let Some(strength) = mix.say.strength {
            fact("Strength, as the bag says", show::stress(strength.0, system).to_string());
        }
        if let Some(stone) = mix.say.stone {
            fact("Largest stones", show::exact(stone.0, system).to_string());
        }
        if let Some(knits) = &mix.say.knits {
            fact("A layer knits with the next for", at_temperatures(knits, system));
        }
        if let Some(sets) = &mix.say.sets {
            fact("Sets in", at_temperatures(sets, system));
        }
    }
    if let (Some(carry), Some(trips)) = (mixing.carry, mixing.trips) {
        let weight = mixing
            .carry_weight
            .map_or_else(String::new, |weight| format!(", {} of concrete in each", show::mass(weight, system)));
        fact("Carried", format!("{trips} trips of {}{weight}", show::carried(carry, system)));
    }
    let levels = lifts(compiled, solid);
    if !levels.is_empty() {
        let shown: Vec<String> = levels.iter().map(|level| show::place(*level, system).to_string()).collect();
        fact("Layers, each over the whole length first, end at level", shown.join(", "));
    }
    paper.push(Part::Facts(facts));
    if mixing.per_batch.is_some() {
        paper.push(Part::Table(batches(compiled, mixing).caption(format!("Batches of {name}"))));
    }
    paper.push(Part::Blank(Words::from("If the pour stops: at level, at what time")));
}

/// The levels the layers of a pour end at.
fn lifts(compiled: &Compiled, solid: &PourSolid) -> Vec<Length> {
    let lift = compiled.job.pour(solid.pour).and_then(|pour| pour.say.lift);
    let Some(lift) = lift.map(|lift| lift.0) else { return Vec::new() };
    let mut levels = Vec::new();
    let mut level = solid.bottom + lift;
    while level < solid.top && levels.len() < 100 {
        levels.push(level);
        level += lift;
    }
    levels.push(solid.top);
    levels
}

fn batches<'w>(compiled: &'w Compiled, mixing: &'w Mixing) -> Table<'w> {
    let system = compiled.job.system();
    let mut columns = vec![
        Column::count("batch", "Batch").written(),
        Column::count("bags", "Bags").number("bags"),
        Column::count("so_far", "Bags so far").written(),
        Column::text("water_start", "Water to start"),
        Column::text("water_most", "Never past"),
    ];
    if mixing.carry.is_some() {
        columns.push(Column::count("trips", "Trips").number("trips"));
    }
    columns.extend([
        Column::text("clock", "Clock"),
        Column::text("water_in", "Water put in"),
        Column::text("level", "Reached level"),
    ]);
    Table::new(
        "batches",
        columns,
        Rows::formula(move |lines| {
            let name = compiled.job.name(mixing.pour);
            let first = mixing.each_batch().next().map(|batch| batch.bags);
            for batch in mixing.each_batch() {
                let count = |number: u64| i64::try_from(number).unwrap_or(i64::MAX);
                lines.item(|row| {
                    let which = if Some(batch.bags) == first { "batch" } else { "last-batch" };
                    row.of(format_args!("{name}.{which}"));
                    row.count(count(batch.number)).count(count(batch.bags)).count(count(batch.so_far));
                    match mixing.water {
                        Some((start, most)) => {
                            row.text(show::water(start * count(batch.bags), system))
                                .text(show::water(most * count(batch.bags), system));
                        }
                        None => {
                            row.text("as the bag says").text("as the bag says");
                        }
                    }
                    if let Some(trips) = mixing.trips_of(batch) {
                        row.count(count(trips));
                    }
                    row.blank().blank().blank();
                })?;
            }
            Ok(())
        }),
    )
}

//! The pour sheet: what is mixed, batch by batch, with room for what really went in.

use std::collections::BTreeMap;

use super::holes::at_temperatures;
use crate::{
    compile::Compiled,
    concrete::{CEMENT_IN_A_BAG, Class, Mixing, PourSolid, filled_to, over, too_wet},
    drawings::ids,
    placing::{Placing, seconds},
    pouring::{self, Spot, whole_seconds},
    reports::{Column, Paper, Part, Rows, Table, Words, words},
    schema::{BlockId, PutIn},
    standards::pressure::{USUAL_DENSITY, head},
    units::{Area, Duration, Length, Ratio, System, Volume, show},
};

pub(super) fn add<'w>(compiled: &'w Compiled, paper: &mut Paper<'w>) {
    if compiled.works.mixings.is_empty() {
        return;
    }
    paper.push(Part::Heading(2, Words::from("Pour sheet")));
    for mixing in &compiled.works.mixings {
        let Some(solid) = compiled.works.solids.of(mixing.pour) else { continue };
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
            format!("{} to start with, never past {}", show::water(start, system), show::water_at_most(most, system)),
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
            .map_or_else(String::new, |weight| format!(", {} of concrete in a full one", show::mass(weight, system)));
        let each = if mixing.walked.is_empty() { "" } else { ", each to one place of one layer" };
        fact("Carried", format!("{trips} trips of up to {}{weight}{each}", show::carried(carry, system)));
    }
    let levels = lifts(compiled, solid);
    if !levels.is_empty() {
        let shown: Vec<String> = levels.iter().map(|level| show::place(*level, system).to_string()).collect();
        fact("Layers, each over the whole length first, end at level", shown.join(", "));
    }
    let placing = compiled.works.placings.iter().find(|placing| placing.pour == mixing.pour);
    if let Some(placing) = placing {
        going(compiled, placing, &mut fact);
    }
    if let Some(stones) = compiled.works.stones.iter().find(|stones| stones.pour == mixing.pour) {
        fact("Largest stones that get everywhere", show::exact(stones.most.value, system).to_string());
    }
    let joint = solid.areas.of(Class::Joint);
    if joint > Area::ZERO {
        let area = show::area(joint, system);
        let wet = show::time(kept_wet(compiled, solid));
        fact(
            "Joint with another pour",
            format!(
                "{area}. What is there first is roughened, cleaned and kept wet for {wet}, its surface dry when the second comes on it"
            ),
        );
    }
    paper.push(Part::Facts(facts));
    if mixing.per_batch.is_some() {
        let planned = placing.is_some();
        let at_the_mixer = if planned { ", at the mixer" } else { "" };
        let caption = format!("Batches of {name}{at_the_mixer}");
        paper.push(Part::Table(batches(compiled, mixing, planned).caption(caption)));
    }
    if let Some(placing) = placing {
        paper.push(Part::Table(places(compiled, placing).caption(format!("Batches of {name}, at the form"))));
        stop(compiled, placing, paper);
    }
    paper.push(Part::Blank(Words::from("If the pour stops: at level, at what time")));
}

/// How the pour goes, minute by minute.
fn going(compiled: &Compiled, placing: &Placing, fact: &mut impl FnMut(&str, String)) {
    let job = &compiled.job;
    let system = job.system();
    let people = placing.plan.crew.people;
    let who = if people == 1 { "1 person".to_owned() } else { format!("{people} people, one at the mixer") };
    fact(
        "Lasts",
        format!(
            "{} with {who}, without setting up and cleaning; times below count from when the first batch is begun",
            show::time(placing.lasts())
        ),
    );
    let at = show::temperature(placing.knits.at, system);
    let holds = show::time(placing.knits.time);
    let section = |spot| placing.site(spot).map_or("", |site| job.name(site.section));
    if let Some(wait) = placing.went.longest {
        let (lying, layer) = (section(wait.lying), wait.lying.lift + 1);
        fact(
            "Longest wait of a layer",
            format!("{}, layer {layer} of {lying}; at {at} it knits for {holds}", show::time(seconds(wait.lasts))),
        );
    }
    if let Some(front) = placing.went.longest_front.filter(|front| front.lasts() > 0) {
        fact(
            "Longest wait within a layer",
            format!(
                "{}, the end of batch {} in layer {} of {} until the next is laid against it",
                show::time(seconds(front.lasts())),
                front.batch,
                front.spot.lift + 1,
                section(front.spot)
            ),
        );
    }
    if let Some(wait) = placing.went.shortest_above_open {
        let at = show::temperature(placing.stiffens.at, system);
        fact(
            "Shortest wait above an open top",
            format!(
                "{}, above {}; at {at} it holds after {}",
                show::time(seconds(wait.lasts)),
                section(wait.lying),
                show::time(placing.stiffens.time)
            ),
        );
    }
    let lids = job.pour(placing.pour).and_then(|pour| pour.say.lids.as_deref()).unwrap_or_default();
    let lids: Vec<String> = lids
        .iter()
        .filter_map(|lid| {
            let top = compiled.works.sections.find(lid.value.0)?.top;
            // Only what is poured with it pushes while it is fresh.
            let highest = compiled.works.solids.of(placing.pour)?.top;
            let lifts = show::pressure(head(USUAL_DENSITY, highest - top), system);
            Some(format!(
                "{} at level {}, pushed up with as much as {lifts}",
                job.name(lid.value.0),
                show::place(top, system)
            ))
        })
        .collect();
    if !lids.is_empty() {
        fact(
            "Lids",
            format!("{}: a board over the top, held down, before concrete stands higher beside it", lids.join(", ")),
        );
    }
    let over =
        job.pour(placing.pour).and_then(|pour| over(job, &compiled.works.standing, &compiled.works.sections, pour));
    if let Some(over) = over {
        let (way, takes) = match over.by.0 {
            PutIn::Bucket => ("buckets are tipped in", "a bucket"),
            PutIn::Chute => ("led in by a chute", "a chute"),
            PutIn::Scoop => ("scooped in by hand", "a scoop"),
        };
        fact(
            "Room over the form",
            format!(
                "{} under the wood of {}: {way}; {takes} takes {} ({})",
                show::exact(over.room.max(Length::ZERO), system),
                job.name(over.wall),
                show::exact(over.wants.value, system),
                over.wants.source
            ),
        );
    }
    if let Some(rise) = placing.rise() {
        fact("Rises at most", show::rise(rise, system).to_string());
    }
}

/// Where the pour may stop, if it must.
fn stop<'w>(compiled: &'w Compiled, placing: &Placing, paper: &mut Paper<'w>) {
    let system = compiled.job.system();
    let ends: Vec<(bool, String)> = placing
        .went
        .lifts
        .iter()
        .zip(&placing.sites)
        .enumerate()
        .rev()
        .skip(1)
        .filter_map(|(lift, (_, sites))| {
            let last =
                placing.went.batches.iter().rfind(|batch| batch.portions.iter().any(|part| part.spot.lift == lift))?;
            let top = sites.iter().map(|site| site.top).max()?;
            let level = show::place(top, system);
            // A batch that ends a layer may begin the next one.
            let goes_on = last.portions.iter().any(|part| part.spot.lift > lift);
            let when = if goes_on { "within" } else { "after" };
            Some((goes_on, format!("{when} batch {} (level {level})", last.number)))
        })
        .collect();
    let where_to = if ends.is_empty() {
        "There is one layer only: set a bulkhead across it.".to_owned()
    } else {
        let rest =
            if ends.iter().any(|(goes_on, _)| *goes_on) { ", and throw away what is left of the batch" } else { "" };
        let ends: Vec<String> = ends.into_iter().rev().map(|(_, end)| end).collect();
        format!("Stop only where a layer is done{rest}: {}.", ends.join(", "))
    };
    paper.push(Part::Text(Words::from(format!(
        "If the pour must stop: {where_to} Roughen the top while it is soft, cover it and keep it wet. What comes on it later is a new pour on a joint: cleaned, wetted, and an engineer asked where bars do not cross it.",
    ))));
}

/// A time from the start as hours and minutes: `1:05`.
fn clock(time: u64) -> String {
    let minutes = (time + 30) / 60;
    format!("{}:{:02}", minutes / 60, minutes % 60)
}

/// Where a batch goes: sections, and up to which station each layer reaches with it.
fn goes(compiled: &Compiled, placing: &Placing, done: &mut BTreeMap<Spot, Volume>, batch: &pouring::Batch) -> String {
    let job = &compiled.job;
    let system = job.system();
    let mut out: Vec<String> = Vec::new();
    let mut layer = None;
    for part in &batch.portions {
        let sum = done.entry(part.spot).or_default();
        *sum += part.volume;
        let Some(site) = placing.site(part.spot) else { continue };
        let whole = placing.whole(part.spot);
        let mut text = String::new();
        if layer != Some(part.spot.lift) {
            layer = Some(part.spot.lift);
            text = format!("layer {}: ", part.spot.lift + 1);
        }
        text.push_str(job.name(site.section));
        if *sum >= whole {
            text.push_str(" to its end");
        } else {
            let part = sum.cubic_metres() / whole.cubic_metres();
            let (works, section) = (&compiled.works, job.section(site.section));
            let reached = section
                .zip(works.sections.find(site.section))
                .and_then(|(section, placed)| filled_to(section, &works.standing, placed, part));
            let Some((leg, reach)) = reached else { continue };
            let to = match system {
                System::Feet => Length::from_nm(nearest(reach.nm(), Length::INCH.nm())),
                System::Metric => Length::from_nm(nearest(reach.nm(), 10_000_000)),
            };
            let leg = words::leg(job, &works.standing, leg);
            text.push_str(&format!(" to {leg} {}", show::place(to, system)));
        }
        out.push(text);
    }
    out.join(", ")
}

/// The nearest whole number of steps, half up.
fn nearest(of: i64, step: i64) -> i64 {
    (of + step / 2).div_euclid(step) * step
}

/// The levels the layers of a pour end at.
fn lifts(compiled: &Compiled, solid: &PourSolid) -> Vec<Length> {
    let said = compiled.job.pour(solid.pour).and_then(|pour| pour.say.lift).map(|lift| lift.0);
    let planned = compiled.works.placings.iter().find(|placing| placing.pour == solid.pour).map(|placing| placing.lift);
    let Some(lift) = said.or(planned) else { return Vec::new() };
    let mut levels = Vec::new();
    let mut level = solid.bottom + lift;
    while level < solid.top && levels.len() < 100 {
        levels.push(level);
        level += lift;
    }
    levels.push(solid.top);
    levels
}

/// How long the concrete at the joints of this pour is kept wet: as the file says it of the faces made ready there, that is those
/// that name both sides, or else those of the side that comes later; 12 h where it says nothing.
fn kept_wet(compiled: &Compiled, solid: &PourSolid) -> Duration {
    let (job, turn) = (&compiled.job, &compiled.works.turn);
    let filled = |pour: BlockId| {
        let fill = job.pour(pour).into_iter().flat_map(|pour| &pour.say.fill);
        fill.map(|section| section.value.0).collect::<Vec<BlockId>>()
    };
    let longest = |one: Duration, two: Duration| if two.seconds() > one.seconds() { two } else { one };
    let own = filled(solid.pour);
    let mut others: Vec<BlockId> = solid.joints.iter().map(|joint| joint.other).collect();
    others.sort_unstable();
    others.dedup();
    let said = others.into_iter().filter_map(|other| {
        let theirs = filled(other);
        let later = if turn.get(&other) > turn.get(&solid.pour) { &theirs } else { &own };
        let faces = |of: &[BlockId], meets: Option<&[BlockId]>| {
            let faces = job.prepares.iter().filter(|face| {
                let say = &face.say;
                let mut met = say.meets.iter().flatten();
                say.of.iter().any(|section| of.contains(&section.value.0))
                    && meets.map_or(say.meets.is_none(), |meets| met.any(|section| meets.contains(&section.value.0)))
            });
            faces.filter_map(|face| Some(face.say.wet.as_ref()?.0)).reduce(longest)
        };
        let both = [faces(&own, Some(&theirs)), faces(&theirs, Some(&own))].into_iter().flatten().reduce(longest);
        both.or_else(|| faces(later, None))
    });
    said.reduce(longest).unwrap_or(Duration::from_hours(12.0))
}

/// What goes into the mixer. Where the pour is planned minute by minute, where it goes stands in a table of its own: one stands
/// at the mixer, the other at the form.
fn batches<'w>(compiled: &'w Compiled, mixing: &'w Mixing, planned: bool) -> Table<'w> {
    let system = compiled.job.system();
    let mut columns = vec![
        Column::count("batch", "Batch").written(),
        Column::count("bags", "Bags").number("bags"),
        Column::count("so_far", "Bags so far").written(),
        Column::text("water_start", "Water to start"),
        Column::text("water_most", "Never past"),
    ];
    if mixing.carry.is_some() {
        let trips = Column::count("trips", "Trips");
        columns.push(if mixing.walked.is_empty() { trips.number("trips") } else { trips.written() });
    }
    columns.extend([Column::text("clock", "Clock"), Column::text("water_in", "Water put in")]);
    if !planned {
        columns.push(Column::text("level", "Reached level"));
    }
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
                                .text(show::water_at_most(most * count(batch.bags), system));
                        }
                        None => {
                            row.text("as the bag says").text("as the bag says");
                        }
                    }
                    if let Some(trips) = mixing.trips_of(batch) {
                        row.count(count(trips));
                    }
                    row.blank().blank();
                    if !planned {
                        row.blank();
                    }
                })?;
            }
            Ok(())
        }),
    )
}

/// Where each batch goes, and until when it is to be covered; times count from when the first batch is begun.
fn places<'w>(compiled: &'w Compiled, placing: &'w Placing) -> Table<'w> {
    let system = compiled.job.system();
    let columns = vec![
        Column::count("batch", "Batch").written(),
        Column::text("begin", "Begin at"),
        Column::text("where", "Where to, from the left"),
        Column::text("fill_to", "Up to level"),
        Column::text("cover_by", "Knits until"),
        Column::text("level", "Reached level"),
    ];
    Table::new(
        "places",
        columns,
        Rows::formula(move |lines| {
            let mut done = BTreeMap::new();
            for batch in &placing.went.batches {
                lines.item(|row| {
                    let first = batch.portions.first().map_or(batch.placed_from, |part| part.from);
                    let last = batch.portions.last().and_then(|part| placing.site(part.spot));
                    if let Some(part) = batch.portions.first() {
                        row.draws(ids::layer(compiled.job.name(placing.pour), part.spot.lift + 1));
                    }
                    row.count(i64::try_from(batch.number).unwrap_or(i64::MAX));
                    row.text(clock(batch.begun)).text(goes(compiled, placing, &mut done, batch));
                    match last {
                        Some(site) => row.text(show::place(site.top, system)),
                        None => row.blank(),
                    };
                    row.text(clock(first + whole_seconds(placing.knits.time))).blank();
                })?;
            }
            Ok(())
        }),
    )
}

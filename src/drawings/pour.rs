//! A pour layer by layer: which batches go where, the wall rolled out flat.

use super::{
    Drawing, Of, View,
    canvas::Canvas,
    ids,
    labels::Room,
    lettering::{self, SMALL},
    levels::Levels,
    scene::{Anchor, Dash, Fill, Group, Ink, Item, Spot, Text, Weight, stroke},
    seen::nm,
    sheet::{self, Model, Scale, scale_for},
};
use crate::{
    concrete::LegAt,
    placing::{Filled, Placing, Site, layered},
    pouring,
    schema::BlockId,
    units::show,
};

/// Between walls that are drawn beside each other, in nanometres.
const APART: f64 = 400e6;
/// Beside the right end, for letters that have no room in their places.
const TAGS: f64 = 4.0;

/// One drawing for each pour: with its batches where these are planned, else with what each layer takes.
pub fn draw(of: &Of) -> Vec<Drawing> {
    let works = of.works;
    let planned = |pour| works.placings.iter().find(|placing| placing.pour == pour);
    let all = works.solids.pours.iter().filter_map(|solid| match planned(solid.pour) {
        Some(placing) => one(of, &with_batches(of, placing)),
        None => {
            let mixing = works.mixings.iter().find(|mixing| mixing.pour == solid.pour);
            let layers = layered(of.job, &works.sections, solid, mixing)?;
            one(of, &with_volumes(of, solid.pour, &layers))
        }
    });
    all.collect()
}

/// A pour as it is drawn.
struct Laid {
    pour: BlockId,
    layers: Vec<Vec<Part>>,
    title: String,
    under: &'static str,
    notes: Vec<String>,
    description: String,
}

/// A part of a section in a layer.
struct Part {
    site: Site,
    /// What is written in it.
    says: String,
    /// The same in words.
    words: String,
    batches: Option<String>,
}

fn with_batches(of: &Of, placing: &Placing) -> Laid {
    let layer = |(lift, sites): (usize, &Vec<Site>)| -> Vec<Part> {
        let part = |(place, site): (usize, &Site)| {
            let spot = pouring::Spot { lift, place };
            let here = |batch: &&pouring::Batch| batch.portions.iter().any(|part| part.spot == spot);
            let numbers: Vec<u64> = placing.went.batches.iter().filter(here).map(|batch| batch.number).collect();
            let says = figures(&numbers);
            Part { site: *site, words: format!("batches {says}"), batches: Some(says.clone()), says }
        };
        sites.iter().enumerate().map(part).collect()
    };
    Laid {
        pour: placing.pour,
        layers: placing.sites.iter().enumerate().map(layer).collect(),
        title: format!("Pour {}: layers and batches", of.name(placing.pour)),
        under: "Lowest layer first, all along, before the next; the figures are batch numbers.",
        notes: Vec::new(),
        description: format!(
            "{} in {}; each layer is laid over the whole pour before the next one. The pour table says the same in figures.",
            crate::problem::count(placing.went.batches.len(), "batch", "batches"),
            crate::problem::count(placing.sites.len(), "layer", "layers")
        ),
    }
}

fn with_volumes(of: &Of, pour: BlockId, layers: &[Vec<Filled>]) -> Laid {
    let part = |filled: &Filled| {
        let mut says = show::volume(filled.volume, of.system).to_string();
        if let Some(bags) = filled.bags {
            says.push_str(&format!(", {} bags", show::decimal(bags, 1)));
        }
        Part { site: filled.site, words: says.clone(), says, batches: None }
    };
    let mut notes = Vec::new();
    if of.job.pour(pour).is_some_and(|pour| pour.say.lift.is_none()) {
        notes.push(
            "How high a layer may be is not said (`lift`): all of it is drawn as one, and is not to be filled so."
                .into(),
        );
    }
    notes.push(
        "Which batch goes where is not known: the pour does not say how long a batch takes (`mixer ... takes`).".into(),
    );
    Laid {
        pour,
        layers: layers.iter().map(|layer| layer.iter().map(part).collect()).collect(),
        title: format!("Pour {}: layers", of.name(pour)),
        under: "Lowest layer first, all along, before the next; in each what it takes in the form, and bags with their waste.",
        notes,
        description: format!(
            "{}; each layer is laid over the whole pour before the next one. Batches are not planned.",
            crate::problem::count(layers.len(), "layer", "layers")
        ),
    }
}

/// A part of a section in a layer, rolled out.
struct Block<'l> {
    from: f64,
    to: f64,
    part: &'l Part,
    lift: usize,
}

fn one(of: &Of, laid: &Laid) -> Option<Drawing> {
    let standing = &of.works.standing;
    // Chains in the order they are met, each rolled out to the right of the one before.
    let mut begins: Vec<(u32, f64)> = Vec::new();
    let mut end = 0.0;
    let mut blocks: Vec<Block> = Vec::new();
    let mut corners: Vec<(f64, String)> = Vec::new();
    for (lift, parts) in laid.layers.iter().enumerate() {
        for part in parts {
            let Some(placed) = of.works.sections.find(part.site.section) else { continue };
            for interval in standing.intervals(&placed.runs) {
                let chain = standing.chain(interval.on)?;
                let begin = match begins.iter().find(|(at, _)| *at == interval.on.chain) {
                    Some((_, begin)) => *begin,
                    None => {
                        let begin = end;
                        begins.push((interval.on.chain, begin));
                        let mut corner = begin;
                        for leg in 0..chain.legs.len() {
                            let at = LegAt { chain: interval.on.chain, leg: u16::try_from(leg).unwrap_or(u16::MAX) };
                            corners.push((corner, of.leg(at)));
                            corner += nm(chain.run.length(leg));
                        }
                        end += nm(chain.run.total()) + APART;
                        begin
                    }
                };
                let leg = usize::from(interval.on.leg);
                let from = begin + nm(chain.run.distance(leg, interval.start));
                let to = begin + nm(chain.run.distance(leg, interval.end));
                match blocks.last_mut() {
                    // One section round a corner is one place.
                    Some(last) if last.part.site == part.site && last.to == from && last.lift == lift => last.to = to,
                    _ => blocks.push(Block { from, to, part, lift }),
                }
            }
        }
    }
    let across = blocks.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |span: (f64, f64), block| {
        (span.0.min(block.from), span.1.max(block.to))
    });
    let up = blocks.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |span: (f64, f64), block| {
        (span.0.min(nm(block.part.site.bottom)), span.1.max(nm(block.part.site.top)))
    });
    if across.0 >= across.1 || up.0 >= up.1 {
        return None;
    }
    let mut levels = Levels::default();
    for (lift, parts) in laid.layers.iter().enumerate() {
        for Part { site, .. } in parts {
            let highest = parts.iter().all(|other| other.site.top <= site.top);
            let section = if highest { String::new() } else { format!(", {}", of.name(site.section)) };
            levels.add(nm(site.top), format!("layer {}{section}", lift + 1), Ink::Main);
        }
        if lift == 0 {
            for Part { site, .. } in parts {
                levels.add(nm(site.bottom), "bottom".into(), Ink::Main);
            }
        }
    }
    let beside = levels.room(of);
    let work = ((across.1 - across.0) * 1e-6, (up.1 - up.0) * 1e-6);
    let (upright, lying) = (sheet::upright(of.system), sheet::lying(of.system));
    let fit = |sheet: sheet::Sheet| {
        scale_for(work, (sheet.width - beside.0 - beside.1 - 8.0 - TAGS, sheet.height - 60.0), of.smaller)
    };
    let (small, large) = (fit(upright), fit(lying));
    let (sheet, is_lying, scale) =
        if small <= 20 || small <= large { (upright, false, small) } else { (lying, true, large) };
    let mut canvas = Canvas::default();
    let has_wall = begins.iter().any(|(chain, _)| standing.heights(LegAt { chain: *chain, leg: 0 }).is_some());
    let rolled = if has_wall {
        "The wall rolled out flat, seen from the front."
    } else {
        "The line rolled out flat, seen from before it."
    };
    let under = format!("{}. {rolled} {}", of.title(), laid.under);
    let top = canvas.head(of.flags, sheet.width, &laid.title, &under) + 6.0;
    let per_mm = 1.0 / f64::from(scale);
    let left = beside.0 + 2.0;
    let model =
        Model { origin: Spot::new(left - across.0 * 1e-6 * per_mm, top + up.1 * 1e-6 * per_mm), per_mm, turned: false };
    let floor = model.at(0.0, up.0).y;
    let right = model.at(across.1, 0.0).x;
    let mut notes: Vec<String> = laid.notes.clone();
    notes.extend(levels.draw(of, &mut canvas, &model, (left, right + TAGS, sheet.width), (top - 3.0, floor + 3.0)));
    canvas.labels.within = Some((Spot::new(left - 4.0, top - 6.0), Spot::new(right + TAGS, floor + 3.0)));
    let keys = draw_blocks(of, &mut canvas, &model, of.job.name(laid.pour), &blocks);
    let id = of.id("pour", laid.pour);
    canvas.thing(&id, model.at(across.0, up.1), 1.0);
    let flags = canvas.flags(of.flags);
    canvas.labels.within = None;
    for (at, leg) in corners.iter().filter(|(at, _)| *at >= across.0 && *at < across.1) {
        let line = vec![model.at(*at, up.1), Spot::new(model.at(*at, up.0).x, floor + 2.5)];
        if *at > across.0 {
            canvas.back(Item::line(line, stroke(Weight::Thin, Dash::Hidden, Ink::Main)));
        }
        let text = Text {
            at: Spot::new(model.at(*at, 0.0).x + 0.8, floor + 2.0 + SMALL),
            anchor: Anchor::Start,
            angle: 0.0,
            size: SMALL,
            bold: false,
            ink: Ink::Soft,
            says: format!("leg {leg}"),
        };
        if canvas.labels.is_free(&lettering::room(&text)) {
            canvas.text(text);
        }
    }
    let mut y = floor + 8.5;
    y += canvas.key(y, sheet.width, &keys);
    y += canvas.scale_bar(y, 6.0, &Scale::new(scale, of.system)) + 1.5;
    if let Some(datum) = of.datum() {
        notes.insert(0, format!("Level 0 (filled triangle): {datum}."));
    }
    notes.extend(flags);
    y += canvas.notes(y, sheet.width, &notes);
    Some(Drawing {
        id,
        view: View::Pour,
        title: laid.title.clone(),
        description: laid.description.clone(),
        width: sheet.width,
        height: y + 1.5,
        lying: is_lying,
        model: Some(model),
        items: canvas.items(),
    })
}

/// Draws the places of all layers with their batches; gives those whose batches have no room in them, with the letter that
/// stands there.
fn draw_blocks(of: &Of, canvas: &mut Canvas, model: &Model, pour: &str, blocks: &[Block]) -> Vec<(String, String)> {
    let mut keys: Vec<(String, String)> = Vec::new();
    let mut beside: Vec<((Spot, Spot), String)> = Vec::new();
    let mut before = None;
    for (at, block) in blocks.iter().enumerate() {
        let first = before != Some(block.lift);
        before = Some(block.lift);
        let id = first.then(|| ids::layer(pour, block.lift + 1));
        let (a, b) = (model.at(block.from, nm(block.part.site.top)), model.at(block.to, nm(block.part.site.bottom)));
        let fill = if block.lift % 2 == 0 { Fill::Light(Ink::Soft) } else { Fill::Paper };
        let (site, says) = (block.part.site, block.part.says.clone());
        let mut data = vec![("layer", (block.lift + 1).to_string())];
        data.extend(block.part.batches.clone().map(|batches| ("batches", batches)));
        canvas.lowest(Item::Group(Group {
            title: Some(format!(
                "layer {}, {}: {}, filled up to {}",
                block.lift + 1,
                of.name(site.section),
                block.part.words,
                of.place(site.top)
            )),
            data,
            to: id.as_deref().map(ids::line),
            id,
            items: vec![Item::rectangle(a, b, stroke(Weight::Medium, Dash::Solid, Ink::Main), Some(fill))],
        }));
        let tag = of.tag(&keys);
        let later = blocks.get(at + 1..).unwrap_or_default();
        if written(canvas, model, (block, later), &says) {
            continue;
        }
        if !written(canvas, model, (block, later), &tag) {
            beside.push(((a, b), tag.clone()));
        }
        keys.push((tag, format!("layer {}, {}: {says}", block.lift + 1, of.name(site.section))));
    }
    // A letter that has no room in its own place stands beside all of them: on another it would name that.
    for block in blocks {
        canvas.labels.take(room_of(model, block));
    }
    for ((a, b), tag) in beside {
        let middle = (a.y + b.y) / 2.0;
        let ends = [(Spot::new(b.x, middle), false), (Spot::new(a.x, middle), true)];
        if !ends.into_iter().any(|end| canvas.label_beside(end, 1.2, Ink::Main, &tag)) {
            canvas.label(Spot::new((a.x + b.x) / 2.0, middle), 1.2, SMALL, Ink::Main, &tag);
        }
    }
    keys
}

fn room_of(model: &Model, block: &Block) -> Room {
    let (top, bottom) = (nm(block.part.site.top), nm(block.part.site.bottom));
    Room::upright(model.at(block.from, top), model.at(block.to, bottom))
}

/// Writes words in a place, where none of those laid over it covers them; false where they have no room.
fn written(canvas: &mut Canvas, model: &Model, (block, later): (&Block, &[Block]), says: &str) -> bool {
    let (a, b) = room_of(model, block).bounds();
    if lettering::width(says, SMALL, false) > b.x - a.x - 1.0 || b.y - a.y < SMALL * lettering::CAPITAL + 0.7 {
        return false;
    }
    let covers: Vec<Room> = later.iter().map(|other| room_of(model, other)).collect();
    let texts = [0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9].map(|share| Text {
        at: lettering::centred(Spot::new(a.x + (b.x - a.x) * share, (a.y + b.y) / 2.0), SMALL, 0.0),
        anchor: Anchor::Middle,
        angle: 0.0,
        size: SMALL,
        bold: false,
        ink: Ink::Main,
        says: says.to_owned(),
    });
    let fits = |text: &Text| {
        let (letters, (low, high)) = (lettering::letters(text, 0.1), lettering::room(text).bounds());
        let inside = a.x + 0.5 <= low.x && high.x <= b.x - 0.5;
        inside && canvas.labels.is_free(&lettering::room(text)) && !covers.iter().any(|cover| cover.meets(&letters))
    };
    let Some(text) = texts.into_iter().find(fits) else { return false };
    canvas.text(text);
    true
}

/// "1-3, 5".
fn figures(numbers: &[u64]) -> String {
    let mut runs: Vec<(u64, u64)> = Vec::new();
    for number in numbers {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == *number => *last = *number,
            _ => runs.push((*number, *number)),
        }
    }
    let words: Vec<String> =
        runs.iter().map(|(from, to)| if from == to { from.to_string() } else { format!("{from}-{to}") }).collect();
    words.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn batches_in_a_row_are_told_as_one() {
        assert_eq!(figures(&[1, 2, 3, 5, 7, 8]), "1-3, 5, 7-8");
    }
}

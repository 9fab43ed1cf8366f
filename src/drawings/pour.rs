//! A pour layer by layer: which batches go where, the wall rolled out flat.

use super::{
    Drawing, Of, View,
    canvas::{Canvas, letters},
    ids,
    lettering::{self, SMALL},
    levels::Levels,
    scene::{Anchor, Dash, Fill, Group, Ink, Item, Spot, Text, Weight, stroke},
    seen::nm,
    sheet::{self, Model, Scale, scale_for},
};
use crate::{
    placing::{Placing, Site},
    pouring,
};

/// Between walls that are drawn beside each other, in nanometres.
const APART: f64 = 400e6;

/// One drawing for each pour that is planned.
pub fn draw(of: &Of) -> Vec<Drawing> {
    of.works.placings.iter().filter_map(|placing| one(of, placing)).collect()
}

/// A part of a section in a layer, rolled out.
struct Block {
    from: f64,
    to: f64,
    site: Site,
    batches: Vec<u64>,
    lift: usize,
}

fn one(of: &Of, placing: &Placing) -> Option<Drawing> {
    let standing = &of.works.standing;
    // Chains in the order they are met, each rolled out to the right of the one before.
    let mut begins: Vec<(u32, f64)> = Vec::new();
    let mut end = 0.0;
    let mut blocks: Vec<Block> = Vec::new();
    let mut corners: Vec<(f64, String)> = Vec::new();
    for (lift, sites) in placing.sites.iter().enumerate() {
        for (place, site) in sites.iter().enumerate() {
            let Some(placed) = of.works.sections.find(site.section) else { continue };
            let spot = pouring::Spot { lift, place };
            let mut batches: Vec<u64> = Vec::new();
            for batch in &placing.went.batches {
                if batch.portions.iter().any(|part| part.spot == spot) {
                    batches.push(batch.number);
                }
            }
            for interval in standing.intervals(&placed.runs) {
                let chain = standing.chain(interval.on)?;
                let begin = match begins.iter().find(|(at, _)| *at == interval.on.chain) {
                    Some((_, begin)) => *begin,
                    None => {
                        let begin = end;
                        begins.push((interval.on.chain, begin));
                        let mut corner = begin;
                        for leg in 0..chain.legs.len() {
                            let at = crate::concrete::LegAt {
                                chain: interval.on.chain,
                                leg: u16::try_from(leg).unwrap_or(u16::MAX),
                            };
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
                    Some(last) if last.site == *site && last.to == from && last.lift == lift => last.to = to,
                    _ => blocks.push(Block { from, to, site: *site, batches: batches.clone(), lift }),
                }
            }
        }
    }
    let across = blocks.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |span: (f64, f64), block| {
        (span.0.min(block.from), span.1.max(block.to))
    });
    let up = blocks.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |span: (f64, f64), block| {
        (span.0.min(nm(block.site.bottom)), span.1.max(nm(block.site.top)))
    });
    if across.0 >= across.1 || up.0 >= up.1 {
        return None;
    }
    let mut levels = Levels::default();
    for (lift, sites) in placing.sites.iter().enumerate() {
        for site in sites {
            let highest = sites.iter().all(|other| other.top <= site.top);
            let section = if highest { String::new() } else { format!(", {}", of.name(site.section)) };
            levels.add(nm(site.top), format!("layer {}{section}", lift + 1), Ink::Main);
        }
        if lift == 0 {
            for site in sites {
                levels.add(nm(site.bottom), "bottom".into(), Ink::Main);
            }
        }
    }
    let beside = levels.room(of);
    let work = ((across.1 - across.0) * 1e-6, (up.1 - up.0) * 1e-6);
    let (upright, lying) = (sheet::upright(of.system), sheet::lying(of.system));
    let fit = |sheet: sheet::Sheet| scale_for(work, (sheet.width - beside.0 - beside.1 - 8.0, sheet.height - 60.0));
    let (small, large) = (fit(upright), fit(lying));
    let (sheet, is_lying, scale) =
        if small <= 20 || small <= large { (upright, false, small) } else { (lying, true, large) };
    let mut canvas = Canvas::default();
    let name = of.name(placing.pour);
    let title = format!("Pour {name}: layers and batches");
    let under = format!(
        "{}. The wall rolled out flat, seen from the front. Lowest layer first, all along, before the next; the figures are batch numbers.",
        of.title()
    );
    let top = canvas.head(sheet.width, &title, &under) + 6.0;
    let per_mm = 1.0 / f64::from(scale);
    let left = beside.0 + 2.0;
    let model = Model { origin: Spot::new(left - across.0 * 1e-6 * per_mm, top + up.1 * 1e-6 * per_mm), per_mm };
    let floor = model.at(0.0, up.0).y;
    let right = model.at(across.1, 0.0).x;
    let mut notes: Vec<String> = Vec::new();
    notes.extend(levels.draw(of, &mut canvas, &model, (left, right, sheet.width), (top - 3.0, floor + 3.0)));
    let keys = draw_blocks(of, &mut canvas, &model, of.job.name(placing.pour), &blocks);
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
    y += canvas.notes(y, sheet.width, &notes);
    Some(Drawing {
        id: format!("pour-{}", of.job.name(placing.pour)),
        view: View::Pour,
        title,
        description: format!(
            "{} in {}; each layer is laid over the whole pour before the next one. The pour table says the same in figures.",
            crate::problem::count(placing.went.batches.len(), "batch", "batches"),
            crate::problem::count(placing.sites.len(), "layer", "layers")
        ),
        width: sheet.width,
        height: y + 1.5,
        lying: is_lying,
        model: Some(model),
        items: canvas.items(),
    })
}

/// Draws the places of all layers with their batches; gives those whose batches have no room in them, with the letter that
/// stands there.
fn draw_blocks(
    of: &Of,
    canvas: &mut Canvas,
    model: &Model,
    pour: &str,
    blocks: &[Block],
) -> Vec<(String, String)> {
    let mut keys: Vec<(String, String)> = Vec::new();
    let mut before = None;
    for block in blocks {
        let first = before != Some(block.lift);
        before = Some(block.lift);
        let id = first.then(|| ids::layer(pour, block.lift + 1));
        let (a, b) = (model.at(block.from, nm(block.site.top)), model.at(block.to, nm(block.site.bottom)));
        let fill = if block.lift % 2 == 0 { Fill::Light(Ink::Soft) } else { Fill::Paper };
        let says = figures(&block.batches);
        canvas.lowest(Item::Group(Group {
            title: Some(format!(
                "layer {}, {}: batches {says}, filled up to {}",
                block.lift + 1,
                of.name(block.site.section),
                of.place(block.site.top)
            )),
            data: vec![("layer", (block.lift + 1).to_string()), ("batches", says.clone())],
            to: id.as_deref().map(ids::line),
            id,
            items: vec![Item::rectangle(a, b, stroke(Weight::Medium, Dash::Solid, Ink::Main), Some(fill))],
        }));
        let middle = Spot::new((a.x + b.x) / 2.0, (a.y + b.y) / 2.0);
        let room = (b.x - a.x - 1.0, b.y - a.y);
        let wide = lettering::width(&says, SMALL, false);
        let text = |says: String| Text {
            at: lettering::centred(middle, SMALL, 0.0),
            anchor: Anchor::Middle,
            angle: 0.0,
            size: SMALL,
            bold: false,
            ink: Ink::Main,
            says,
        };
        let whole = text(says.clone());
        if wide <= room.0 && room.1 >= SMALL * 0.8 && canvas.labels.is_free(&lettering::room(&whole)) {
            canvas.text(whole);
        } else {
            let tag = letters(keys.len());
            let short = text(tag.clone());
            if canvas.labels.is_free(&lettering::room(&short)) {
                canvas.text(short);
            }
            let section = of.name(block.site.section);
            keys.push((tag, format!("layer {}, {section}: {says}", block.lift + 1)));
        }
    }
    keys
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

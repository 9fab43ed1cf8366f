//! The cutting plan: every bar that is bought or lies at hand, to scale, with what is cut from it in order.

use super::{
    Drawing, Of, View,
    canvas::Canvas,
    lettering::{self, NAME, SMALL},
    scene::{Anchor, Dash, Fill, Group, Ink, Item, Spot, Text, Weight, stroke},
    sheet,
};
use crate::{
    steel::{Cut, CutPlan},
    units::{Length, show},
};

/// A bar as it is drawn is this high.
const BAR: f64 = 6.2;
/// From a bar to the next.
const STEP: f64 = 10.2;

/// The cutting plan; none of a job without bars that are cut.
pub fn draw(of: &Of) -> Vec<Drawing> {
    let longest = of
        .works
        .cuts
        .iter()
        .flat_map(|plan| plan.cuts.iter().filter_map(|cut| plan.sources.get(cut.source)))
        .map(|source| source.length)
        .max();
    let Some(longest) = longest.filter(|length| *length > Length::ZERO) else { return Vec::new() };
    let sheet = sheet::upright(of.system);
    let mut canvas = Canvas::default();
    let under =
        format!("{}. Every bar is cut from its left end, in this order; the figure in a ring is the mark.", of.title());
    let mut y = canvas.head(of.flags, sheet.width, "Bars, as they are cut", &under) + 3.0;
    let left = 27.0;
    let per_nm = (sheet.width - left - 1.0) / longest.nm() as f64;
    let mut notes = Vec::new();
    for plan in &of.works.cuts {
        let says = format!("{} bars", of.name(plan.steel));
        canvas.write(Spot::new(0.0, y + 4.0), Anchor::Start, NAME, Ink::Main, &says);
        y += 7.0;
        for (number, cut) in plan.cuts.iter().enumerate() {
            if y + STEP > sheet.height - 12.0 {
                let rest = plan.cuts.len() - number;
                notes.push(format!(
                    "{} of {} more: see the table.",
                    crate::problem::count(rest, "pattern", "patterns"),
                    of.name(plan.steel)
                ));
                break;
            }
            bar(of, &mut canvas, plan, cut, (left, y, per_nm));
            y += STEP;
        }
        let lengths: Vec<(String, String)> = plan
            .pieces
            .iter()
            .map(|(mark, (length, count))| {
                let pieces = crate::problem::count(usize::try_from(*count).unwrap_or(usize::MAX), "piece", "pieces");
                (format!("mark {mark}"), format!("{}, {pieces}", show::cut(*length, of.system)))
            })
            .collect();
        y += canvas.key(y, sheet.width, &lengths) + 3.0;
    }
    y += canvas.notes(y, sheet.width, &notes);
    let described: Vec<String> = of
        .works
        .cuts
        .iter()
        .map(|plan| {
            let bars: u64 = plan.cuts.iter().map(|cut| cut.times).sum();
            format!("{bars} of {}", of.name(plan.steel))
        })
        .collect();
    vec![Drawing {
        id: "cuts".into(),
        view: View::Cuts,
        title: "Bars, as they are cut".into(),
        description: format!(
            "Bars that are cut: {}. The cutting table says the same in figures.",
            described.join(", ")
        ),
        width: sheet.width,
        height: y + 1.5,
        lying: false,
        model: None,
        items: canvas.items(),
    }]
}

fn bar(of: &Of, canvas: &mut Canvas, plan: &CutPlan, cut: &Cut, (left, y, per_nm): (f64, f64, f64)) {
    let Some(source) = plan.sources.get(cut.source) else { return };
    let long = |length: Length| length.nm() as f64 * per_nm;
    let thin = stroke(Weight::Thin, Dash::Solid, Ink::Main);
    let centred = |x: f64| lettering::centred(Spot::new(x, y + BAR / 2.0), SMALL, 0.0);
    let write =
        |canvas: &mut Canvas, x: f64, anchor: Anchor, ink: Ink, says: String, data: Vec<(&'static str, String)>| {
            let text = Text { at: centred(x), anchor, angle: 0.0, size: SMALL, bold: false, ink, says };
            canvas.text_of(text, data);
        };
    write(
        canvas,
        left - 2.0,
        Anchor::End,
        Ink::Main,
        format!("{} of {}", cut.times, show::place(source.length, of.system)),
        Vec::new(),
    );
    let mut x = left;
    for (mark, count) in &cut.pieces {
        let Some((length, _)) = plan.pieces.get(mark) else { continue };
        for _ in 0..*count {
            let wide = long(*length);
            let item = Item::rectangle(
                Spot::new(x, y),
                Spot::new(x + wide, y + BAR),
                stroke(Weight::Medium, Dash::Solid, Ink::Steel),
                Some(Fill::Light(Ink::Steel)),
            );
            canvas.back(Item::Group(Group {
                title: Some(format!("mark {mark}, {}", show::cut(*length, of.system))),
                data: vec![("piece", mark.to_string())],
                items: vec![item],
                ..Group::default()
            }));
            let ringed = 2.5;
            let figure = show::cut(*length, of.system).to_string();
            let full = lettering::width(&figure, SMALL, false) + 2.0 * ringed + 3.0;
            let ring = |canvas: &mut Canvas, at: f64| {
                let at = Spot::new(at, y + BAR / 2.0);
                canvas.front(Item::Circle { at, radius: ringed, stroke: thin, fill: Some(Fill::Paper) });
            };
            if full <= wide {
                ring(canvas, x + 0.6 + ringed);
                let of_mark = vec![("piece-of", mark.to_string())];
                write(canvas, x + 0.6 + ringed, Anchor::Middle, Ink::Steel, mark.to_string(), Vec::new());
                write(canvas, x + 1.6 + 2.0 * ringed, Anchor::Start, Ink::Main, figure, of_mark);
            } else if wide >= 2.0 * ringed + 0.4 {
                ring(canvas, x + wide / 2.0);
                write(canvas, x + wide / 2.0, Anchor::Middle, Ink::Steel, mark.to_string(), Vec::new());
            }
            x += wide + long(plan.kerf);
        }
    }
    let end = left + long(source.length);
    if end - x > 0.3 {
        canvas.back(Item::rectangle(
            Spot::new(x, y),
            Spot::new(end, y + BAR),
            stroke(Weight::Thin, Dash::Hidden, Ink::Soft),
            None,
        ));
        let figure = show::place(cut.left, of.system).to_string();
        let says = [format!("{figure} left"), figure];
        if let Some(says) = says.into_iter().find(|says| lettering::width(says, SMALL, false) + 1.5 <= end - x) {
            write(canvas, (x + end) / 2.0, Anchor::Middle, Ink::Soft, says, Vec::new());
        }
    }
}

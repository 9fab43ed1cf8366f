//! What is left empty, as it is seen from before the wall: what does not open there is hidden, and dashed.

use super::Elevation;
use crate::drawings::{
    canvas::Canvas,
    lettering::SMALL,
    scene::{Dash, Fill, Group, Ink, Item, Spot, Weight, stroke},
    seen::{Opens, Seen, Span},
    sheet::Model,
};

impl Elevation<'_> {
    /// What the marks of voids mean.
    pub(super) fn legend_of_voids(&self) -> &'static str {
        let hidden =
            |hidden: bool| self.seen.voids.iter().any(|(id, ..)| self.seen.opens(self.of, *id).outer != hidden);
        match (hidden(false), hidden(true)) {
            (false, false) => "",
            (true, false) => " Crossed out: left empty.",
            (false, true) => " Crossed out and dashed: left empty behind this face.",
            (true, true) => " Crossed out: left empty; dashed: behind this face.",
        }
    }

    pub(super) fn draw_voids(&self, canvas: &mut Canvas, model: &Model) {
        for (id, along, levels) in &self.seen.voids {
            let (a, b) = (model.at(along.0, levels.1), model.at(along.1, levels.0));
            let shows = |seen: &Seen| seen.voids.iter().any(|(other, ..)| other == id);
            let first = self.seen.voids.iter().find(|(other, ..)| other == id).is_some_and(|(_, at, _)| at == along);
            let place = Spot::new((a.x + b.x) / 2.0, a.y);
            let named = if first { self.id(canvas, ("void", *id), shows, place) } else { None };
            canvas.avoid(&[a, Spot::new(b.x, a.y), b, Spot::new(a.x, b.y), a]);
            let items = crossed(a, b, self.seen.opens(self.of, *id).outer, Ink::Main);
            canvas.under(Item::Group(Group {
                id: named,
                title: Some(format!("left empty: {}", self.of.name(*id))),
                items,
                ..Group::default()
            }));
        }
    }

    pub(super) fn name_voids(&self, canvas: &mut Canvas, model: &Model) {
        for (id, along, levels) in &self.seen.voids {
            let at = model.at((along.0 + along.1) / 2.0, levels.0 + (levels.1 - levels.0) * 0.2);
            let opens = self.seen.opens(self.of, *id);
            let stands_free = self.of.works.standing.heights(self.seen.on).is_none();
            let back = if stands_free { "the inner side" } else { "the old face" };
            let says = opens.named(self.of.name(*id), &self.of.place(opens.deep), back);
            if !canvas.name(at, model.long(along.1 - along.0), Ink::Main, &says) {
                beside(canvas, model, (*along, *levels), &says);
            }
        }
    }
}

/// A label beside a box.
pub(in crate::drawings) fn beside(canvas: &mut Canvas, model: &Model, (along, levels): (Span, Span), says: &str) {
    let at = model.at((along.0 + along.1) / 2.0, (levels.0 + levels.1) / 2.0);
    let half = model.long((along.1 - along.0).max(levels.1 - levels.0)) / 2.0;
    canvas.label(at, half + 0.8, SMALL, Ink::Main, says);
}

/// A void or the box that keeps it empty, crossed out: dashed where something lies before it.
pub(in crate::drawings) fn crossed(a: Spot, b: Spot, in_sight: bool, ink: Ink) -> Vec<Item> {
    let (dash, fill) = if in_sight { (Dash::Solid, Some(Fill::Paper)) } else { (Dash::Hidden, None) };
    let thin = stroke(Weight::Thin, dash, ink);
    vec![
        Item::rectangle(a, b, stroke(Weight::Medium, dash, ink), fill),
        Item::line(vec![a, b], thin),
        Item::line(vec![Spot::new(a.x, b.y), Spot::new(b.x, a.y)], thin),
    ]
}

impl Opens {
    /// "pocket, 5\" deep from the inner side": what goes all the way through is named alone.
    fn named(self, name: String, deep: &str, back: &str) -> String {
        match (self.outer, self.inner) {
            (true, true) => name,
            (true, false) => format!("{name}, {deep} deep"),
            (false, true) => format!("{name}, {deep} deep from {back}"),
            (false, false) => format!("{name}, inside"),
        }
    }
}

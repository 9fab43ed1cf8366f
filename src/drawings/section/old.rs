//! What was there: the ground on either side, the old wall, its footings and slabs.

use super::{Cut, nm, wood::FormSeen};
use crate::{
    drawings::{
        canvas::Canvas,
        scene::{Dash, Fill, Group, Ink, Item, Spot, Weight, stroke},
        sheet::Model,
    },
    units::Length,
};

/// The ground on one side of the concrete.
struct GroundSeen {
    /// Its level where it meets the concrete, or the old wall.
    level: f64,
    /// How much it falls for each length away from there.
    falls: f64,
    /// How far out it meets it.
    from: f64,
    /// Which way it goes on from there: 1 outwards, -1 inwards.
    way: f64,
    /// How far out it ends again; none where it goes on.
    to: Option<f64>,
    word: &'static str,
}

impl GroundSeen {
    /// Its level so far out.
    fn at(&self, out: f64) -> f64 {
        self.level - (out - self.from).abs() * self.falls
    }
}

impl Cut<'_, '_, '_> {
    /// The ground on the outer side (1) or on the inner (-1), if the file tells of it.
    fn ground(&self, way: f64) -> Option<GroundSeen> {
        let seen = self.cut.seen;
        let grounds = &self.of.job.grounds;
        let (level, falls, word) = if self.is_outside(way) {
            let outside = grounds.iter().find_map(|ground| ground.say.outside.as_ref())?;
            (nm(outside.level), outside.falls.map_or(0.0, |falls| falls.fraction()), "outside")
        } else {
            (nm(grounds.iter().find_map(|ground| ground.say.inside)?), 0.0, "inside")
        };
        // It ends at what stands in it.
        let sections = self.cut.sections().filter(|section| section.levels.0 < level && level <= section.levels.1);
        let from = match seen.thick {
            Some(thick) if way < 0.0 => -nm(thick),
            // How far behind the face such a wall ends is not known.
            None if way < 0.0 && seen.wall.is_some() => return None,
            _ if way < 0.0 => sections.map(|section| section.depth.0).reduce(f64::min).unwrap_or(0.0),
            _ => sections.map(|section| section.depth.1).reduce(f64::max).unwrap_or(0.0),
        };
        Some(GroundSeen { level, falls, from, way, to: None, word })
    }

    /// All of the ground: on both sides, and between an old wall and what stands free before it.
    fn grounds(&self) -> Vec<GroundSeen> {
        let mut out: Vec<GroundSeen> = [-1.0, 1.0].into_iter().filter_map(|way| self.ground(way)).collect();
        if let Some(before) = self.ground(1.0).filter(|_| self.cut.seen.wall.is_some()) {
            let level = before.level;
            let sections = self.cut.sections().filter(|section| section.levels.0 < level && level <= section.levels.1);
            let from = sections.map(|section| section.depth.0).reduce(f64::min).filter(|from| *from > 0.0);
            out.extend(from.map(|from| GroundSeen { from, way: -1.0, to: Some(0.0), ..before }));
        }
        out
    }

    /// Whether what the file calls outside lies on that side: behind an old wall, and outside of what a line goes round.
    fn is_outside(&self, way: f64) -> bool {
        let seen = self.cut.seen;
        let goes_round = seen.wall.is_none() && self.of.works.standing.goes_round(seen.on);
        (way > 0.0) == goes_round
    }

    pub(super) fn draw_old(
        &self,
        canvas: &mut Canvas,
        model: &Model,
        forms: &[FormSeen],
        (left, right): (f64, f64),
        lowest: f64,
    ) {
        let (of, seen) = (self.of, self.cut.seen);
        let line = stroke(Weight::Medium, Dash::Solid, Ink::Main);
        let outer = seen.thick.map_or(0.0, |thick| -nm(thick));
        let band = 3.2 / model.per_mm * 1e6;
        let below = |from: f64, to: f64, level: f64| {
            Item::rectangle(model.at(from, level), model.at(to, level - band), None, Some(Fill::Ground))
        };
        for ground in self.grounds() {
            let way = ground.way;
            let end = ground.to.unwrap_or(if way < 0.0 { left } else { right });
            // Before a wall a slab lies on it.
            if (way > 0.0 || ground.to.is_some()) && !seen.slabs.is_empty() {
                continue;
            }
            // Where a form stands in it, it is dug away.
            let backs = forms.iter().filter(|form| form.way == way && form.levels.0 < ground.level);
            let from =
                backs.map(|form| self.back(form)).fold(ground.from, |from, back| way * (way * from).max(way * back));
            let (a, b) = (model.at(from, ground.at(from)), model.at(end, ground.at(end)));
            let lower = |spot: Spot| Spot::new(spot.x, spot.y + 3.2);
            canvas.lowest(Item::area(vec![a, b, lower(b), lower(a)], None, Some(Fill::Ground)));
            canvas.under(Item::Group(Group {
                title: Some(format!("the ground {}", ground.word)),
                data: vec![("ground", Length::round_nm(ground.level).nm().to_string())],
                items: vec![Item::line(vec![a, b], line)],
                ..Group::default()
            }));
            canvas.avoid(&[a, b]);
        }
        if let Some((bottom, top)) = seen.wall {
            let (a, b) = (model.at(outer, nm(top)), model.at(0.0, nm(bottom)));
            canvas.avoid(&[a, Spot::new(b.x, a.y), b, Spot::new(a.x, b.y), a]);
            canvas.lowest(Item::Group(Group {
                title: Some("the old wall, cut".into()),
                items: vec![Item::rectangle(a, b, line, Some(Fill::OldCut))],
                ..Group::default()
            }));
        }
        for (id, levels, out) in &seen.footings {
            let (a, b) = (model.at(outer - out, levels.1), model.at(*out, levels.0));
            canvas.lowest(Item::Group(Group {
                title: Some(format!("old footing {}, cut", of.name(*id))),
                items: vec![Item::rectangle(a, b, line, Some(Fill::OldCut))],
                ..Group::default()
            }));
        }
        for slab in &seen.slabs {
            let out = self.cut.removed(slab);
            let from = out.unwrap_or(0.0);
            let mut items = vec![Item::rectangle(
                model.at(from, slab.levels.1),
                model.at(right, slab.levels.0),
                line,
                Some(Fill::OldCut),
            )];
            if from > 0.0 {
                items.push(Item::rectangle(
                    model.at(0.0, slab.levels.1),
                    model.at(from, slab.levels.0),
                    stroke(Weight::Thin, Dash::Hidden, Ink::Main),
                    None,
                ));
            }
            canvas.lowest(below(from, right, slab.levels.0));
            canvas.lowest(Item::Group(Group {
                title: Some(format!("slab {}, cut; dashed where it is broken out", of.name(slab.id))),
                items,
                ..Group::default()
            }));
        }
        for section in self.cut.sections() {
            // What lies on the old footing or on another section lies on no ground.
            let on_other = self.cut.seen.sections.iter().any(|other| other.levels.1 == section.levels.0);
            let on_footing =
                seen.footings.iter().any(|(_, levels, out)| levels.1 == section.levels.0 && *out >= section.depth.1);
            if !on_other && !on_footing && section.levels.0 - band >= lowest - band {
                canvas.lowest(below(section.depth.0.max(0.0), section.depth.1, section.levels.0));
            }
        }
    }
}

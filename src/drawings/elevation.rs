//! Elevations: each leg as one sees it who stands before the wall, the new concrete transparent.
//!
//! Stations are read from a tape hooked at the left end of the leg. Levels are written twice: from the datum, and down from
//! the top of the old wall where that is still free when the work is done.

mod voids;

use std::collections::BTreeMap;

use super::{
    Drawing, Of, View,
    canvas::Canvas,
    facing::{BEYOND, Facing, Row},
    ids,
    labels::Room,
    lettering::SMALL,
    levels::Levels,
    scene::{Dash, Fill, Group, Ink, Item, Spot, Weight, stroke},
    seen::{self, BarSeen, Seen, nm},
    sheet::Model,
    svg::shown,
};
use crate::{
    holes::{Hole, Level, Lies, Set},
    schema::BlockId,
    steel::Place,
    units::Length,
};

pub(super) use voids::{beside, crossed};

/// The elevations of all legs.
pub fn draw(of: &Of) -> Vec<Drawing> {
    let legs = seen::legs(of);
    legs.iter().enumerate().map(|(at, seen)| Elevation::new(of, seen, legs.get(..at).unwrap_or(&[])).draw()).collect()
}

/// Rows of holes with the same stations: these, which rows of which block, and the holes of the first.
type Alike<'s> = (Vec<Length>, Vec<(BlockId, u16)>, Vec<(&'s Set, Hole)>);

struct Elevation<'e> {
    of: &'e Of<'e>,
    seen: &'e Seen<'e>,
    /// The legs before it: what they show has its id there.
    before: &'e [Seen<'e>],
    levels: Levels,
    rows: Vec<Row>,
    across: (f64, f64),
    up: (f64, f64),
}

impl<'e> Elevation<'e> {
    fn new(of: &'e Of<'e>, seen: &'e Seen<'e>, before: &'e [Seen<'e>]) -> Elevation<'e> {
        let whole: (f64, f64) = (0.0, nm(seen.length));
        let across = seen
            .sections
            .iter()
            .map(|section| section.outer)
            .chain(seen.slabs.iter().flat_map(|slab| &slab.removed).map(|strip| strip.gone))
            .fold(whole, |span, at| (span.0.min(at.0), span.1.max(at.1)));
        let highest = seen.sections.iter().map(|section| section.levels.1).fold(f64::NEG_INFINITY, f64::max);
        let stays = seen.wall.map(|(_, top)| nm(top)).filter(|top| *top > highest);
        let mut out = Elevation {
            of,
            seen,
            before,
            levels: Levels::down_from(stays),
            rows: Vec::new(),
            across,
            up: seen.levels(),
        };
        out.find_levels();
        out.find_rows();
        out
    }

    fn level(&mut self, level: f64, name: String, ink: Ink) {
        self.levels.add(level, name, ink);
    }

    fn find_levels(&mut self) {
        let of = self.of;
        if let Some((bottom, top)) = self.seen.wall {
            self.level(nm(top), "top of old wall".into(), Ink::Main);
            self.level(nm(bottom), "foot of old wall".into(), Ink::Main);
        }
        for section in &self.seen.sections {
            self.level(section.levels.1, format!("top of {}", of.name(section.id)), Ink::Main);
            self.level(section.levels.0, format!("bottom of {}", of.name(section.id)), Ink::Main);
        }
        for (id, _, levels) in &self.seen.voids {
            self.level(levels.1, format!("top of {}", of.name(*id)), Ink::Main);
            self.level(levels.0, format!("bottom of {}", of.name(*id)), Ink::Main);
        }
        for slab in &self.seen.slabs {
            self.level(slab.levels.1, format!("top of {}", of.name(slab.id)), Ink::Main);
        }
        for (id, _, levels) in &self.seen.spalls {
            self.level(levels.1, format!("top of {}", of.name(*id)), Ink::Clear);
            self.level(levels.0, format!("bottom of {}", of.name(*id)), Ink::Clear);
        }
        for (set, hole) in &self.seen.holes {
            if let (Level::Height(level), true) = (hole.level, seen::into_face(set)) {
                self.level(nm(level), format!("{}, row {}", of.name(set.id), hole.row), Ink::Hole);
            }
        }
        for bar in &self.seen.bars {
            if let Place::Long { level, .. } = bar.group.place {
                self.level(nm(level), format!("{}, mark {}", of.name(bar.made.id), bar.group.mark), Ink::Steel);
            }
        }
        for crack in of.works.obstacles.on(self.seen.on) {
            if let Lies::Heights(levels) = crack.lies {
                for level in [levels.from, levels.to] {
                    self.level(nm(level), of.name(crack.thing), Ink::Clear);
                }
            }
        }
    }

    fn find_rows(&mut self) {
        let of = self.of;
        // Rows of holes with the same stations share a line.
        let mut holes: Vec<Alike> = Vec::new();
        let mut by_row: BTreeMap<(BlockId, u16), Vec<(&Set, Hole)>> = BTreeMap::new();
        for (set, hole) in &self.seen.holes {
            by_row.entry((set.id, hole.row)).or_default().push((set, *hole));
        }
        for (row, all) in by_row {
            let stations: Vec<Length> = all.iter().map(|(_, hole)| hole.station).collect();
            match holes.iter_mut().find(|(others, rows, _)| *others == stations && rows[0].0 == row.0) {
                Some((_, rows, _)) => rows.push(row),
                None => holes.push((stations, vec![row], all)),
            }
        }
        for (stations, rows, all) in holes {
            let numbers: Vec<String> = rows.iter().map(|(_, row)| row.to_string()).collect();
            let set = rows.first().map_or_else(String::new, |(id, _)| of.name(*id));
            let word = if numbers.len() == 1 { "row" } else { "rows" };
            let stations = stations.into_iter().zip(&all).map(|(at, (set, hole))| {
                (at, vec![("station-of", format!("{} {}", of.job.name(set.id), hole.number))])
            });
            let title = format!("{set}, {word} {}", numbers.join(" "));
            self.rows.push(Row { title, stations: stations.collect(), ink: Ink::Hole });
        }
        let mut sides: BTreeMap<BlockId, Vec<Length>> = BTreeMap::new();
        for bar in &self.seen.bars {
            if matches!(bar.group.place, Place::Side(_)) {
                sides.entry(bar.made.id).or_default().push(bar.line.station);
            }
        }
        for (id, mut stations) in sides {
            stations.sort_unstable();
            stations.dedup();
            let mark = self.seen.bars.iter().find(|bar| bar.made.id == id).map_or(0, |bar| bar.group.mark);
            let stations =
                stations.into_iter().map(|at| (at, vec![("station-of-bar", of.job.name(id).to_owned())])).collect();
            self.rows.push(Row { title: format!("{}, mark {mark}", of.name(id)), stations, ink: Ink::Steel });
        }
        let mut kept: Vec<Length> =
            of.works.obstacles.on(self.seen.on).iter().flat_map(|thing| [thing.from, thing.to]).collect();
        kept.sort_unstable();
        kept.dedup();
        if !kept.is_empty() {
            let stations = kept.into_iter().map(|at| (at, Vec::new())).collect();
            self.rows.push(Row { title: "keep clear of".into(), stations, ink: Ink::Clear });
        }
        let broken = self.seen.spalls.iter().flat_map(|(_, along, _)| [along.0, along.1]);
        let mut broken: Vec<Length> = broken.map(Length::round_nm).collect();
        broken.sort_unstable();
        broken.dedup();
        if !broken.is_empty() {
            let stations = broken.into_iter().map(|at| (at, Vec::new())).collect();
            self.rows.push(Row { title: "broken away".into(), stations, ink: Ink::Clear });
        }
        let sections = self
            .seen
            .sections
            .iter()
            .flat_map(|section| [section.face.0, section.face.1, section.outer.0, section.outer.1]);
        let voids = self.seen.voids.iter().flat_map(|(_, along, _)| [along.0, along.1]);
        let mut edges: Vec<Length> =
            [0.0, nm(self.seen.length)].into_iter().chain(sections).chain(voids).map(Length::round_nm).collect();
        edges.sort_unstable();
        edges.dedup();
        let stations = edges.into_iter().map(|at| (at, Vec::new())).collect();
        self.rows.push(Row { title: "edges".into(), stations, ink: Ink::Main });
    }

    fn draw(mut self) -> Drawing {
        let of = self.of;
        let before = if self.seen.wall.is_some() { "before the face" } else { "before the line" };
        let mut under = format!("{}. Stand {before}: stations run from the left.", of.title());
        if self.levels.stays.is_some() {
            under.push_str(" Levels on the left are from the datum; figures on the right are measured down from the top of the old wall.");
        }
        under.push_str(self.legend_of_voids());
        if self.seen.empty.iter().any(|(set, _)| seen::into_face(set)) {
            under.push_str(" Dashed ring: a hole that is left empty, as recorded.");
        }
        if !self.seen.spalls.is_empty() {
            under.push_str(" Jagged all round: broken away.");
        }
        let title = format!("Elevation of {}", of.leg(self.seen.on));
        let levels = std::mem::take(&mut self.levels);
        let mut facing = Facing::new(of, levels, &self.rows, (self.across, self.up, false), (title, &under));
        let (model, canvas) = (facing.model, &mut facing.canvas);
        self.draw_old(canvas, &model);
        self.draw_new(canvas, &model);
        self.draw_broken(canvas, &model);
        let unnumbered = self.draw_holes(canvas, &model);
        self.draw_bars(canvas, &model);
        self.draw_kept_clear(canvas, &model, &mut facing.notes);
        self.write_names(canvas, &model, &mut facing.notes);
        if unnumbered > 0 {
            facing.notes.push(format!(
                "{unnumbered} holes lie too near each other for their numbers: count on from the left; the hole sheet has every one."
            ));
        }
        facing.end(of, format!("elevation-{}", of.leg_id(self.seen.on)), View::Elevation, self.describe())
    }

    fn describe(&self) -> String {
        let of = self.of;
        let sections: Vec<String> = self
            .seen
            .sections
            .iter()
            .map(|section| {
                format!(
                    "section {} from station {} to {}, level {} to {}",
                    of.name(section.id),
                    of.place(Length::round_nm(section.face.0)),
                    of.place(Length::round_nm(section.face.1)),
                    of.place(Length::round_nm(section.levels.0)),
                    of.place(Length::round_nm(section.levels.1))
                )
            })
            .collect();
        format!(
            "Leg {}, {} long, seen from the front: {}; {} and {}. Every station and level stands in the hole sheet and the bar list.",
            of.leg(self.seen.on),
            of.place(self.seen.length),
            if sections.is_empty() { "no new concrete".to_owned() } else { sections.join("; ") },
            crate::problem::count(self.seen.holes.len(), "hole", "holes"),
            crate::problem::count(self.seen.bars.len(), "bar", "bars"),
        )
    }

    /// The id of a thing, in the first elevation that shows it; a flag for it would stand at this place.
    fn id(
        &self,
        canvas: &mut Canvas,
        (word, thing): (&str, BlockId),
        shows: impl Fn(&Seen) -> bool,
        at: Spot,
    ) -> Option<String> {
        if self.before.iter().any(shows) {
            return None;
        }
        let id = self.of.id(word, thing);
        canvas.thing(&id, at, 2.2);
        Some(id)
    }

    fn draw_old(&self, canvas: &mut Canvas, model: &Model) {
        let of = self.of;
        let ends = (0.0, nm(self.seen.length));
        if let Some((bottom, top)) = self.seen.wall {
            let (a, b) = (model.at(ends.0, nm(top)), model.at(ends.1, nm(bottom)));
            canvas.avoid(&[a, Spot::new(b.x, a.y), b, Spot::new(a.x, b.y), a]);
            let chain = |seen: &Seen| of.works.standing.chain(seen.on).map(|chain| chain.wall);
            let wall = chain(self.seen);
            let free = self.seen.sections.iter().map(|section| section.levels.1).fold(nm(bottom), f64::max);
            let at = model.at(ends.1 * 0.12, (nm(top) + free.min(nm(top))) / 2.0);
            let id = wall.and_then(|id| self.id(canvas, ("wall", id), |seen| chain(seen) == wall, at));
            canvas.lowest(Item::Group(Group {
                id,
                title: Some("the old wall".into()),
                items: vec![Item::rectangle(a, b, stroke(Weight::Medium, Dash::Solid, Ink::Main), Some(Fill::OldSeen))],
                ..Group::default()
            }));
        }
        for (id, levels, _) in &self.seen.footings {
            let (a, b) = (model.at(ends.0, levels.1), model.at(ends.1, levels.0));
            let shows = |seen: &Seen| seen.footings.iter().any(|(other, ..)| other == id);
            let at = Spot::new(a.x + (b.x - a.x) * 0.12, (a.y + b.y) / 2.0);
            let named = self.id(canvas, ("footing", *id), shows, at);
            canvas.lowest(Item::Group(Group {
                id: named,
                title: Some(format!("old footing {}", of.name(*id))),
                items: vec![Item::rectangle(a, b, stroke(Weight::Medium, Dash::Hidden, Ink::Main), None)],
                ..Group::default()
            }));
        }
        for slab in &self.seen.slabs {
            self.draw_slab(canvas, model, slab);
        }
    }

    /// A slab is cut before the face; where a strip of it is broken out only its ghost is left.
    fn draw_slab(&self, canvas: &mut Canvas, model: &Model, slab: &seen::SlabSeen) {
        let whole = nm(self.seen.length);
        let beyond = BEYOND / model.per_mm * 1e6;
        let mut gone: Vec<(f64, f64)> = slab.removed.iter().map(|strip| strip.gone).collect();
        gone.sort_by(|a, b| a.0.total_cmp(&b.0));
        // The slab goes on past the leg, and past a strip of it that goes round a corner.
        let low = gone.iter().map(|span| span.0).fold(slab.along.0, f64::min);
        let high = gone.iter().map(|span| span.1).fold(slab.along.1, f64::max);
        let mut at = low - if slab.along.0 <= 0.0 { beyond } else { 0.0 };
        let end = high + if slab.along.1 >= whole { beyond } else { 0.0 };
        let mut items = Vec::new();
        let piece = |from: f64, to: f64, left: bool| {
            let (a, b) = (model.at(from, slab.levels.1), model.at(to, slab.levels.0));
            let dash = if left { Dash::Solid } else { Dash::Hidden };
            let fill = left.then_some(Fill::OldCut);
            Item::rectangle(a, b, stroke(Weight::Medium, dash, Ink::Main), fill)
        };
        for (from, to) in gone {
            if from > at {
                items.push(piece(at, from, true));
            }
            if to > at {
                items.push(piece(from.max(at), to.min(end), false));
                at = to;
            }
        }
        if at < end {
            items.push(piece(at, end, true));
        }
        let title = Some(format!("slab {}, dashed where it is broken out", self.of.name(slab.id)));
        let shows = |seen: &Seen| seen.slabs.iter().any(|other| other.id == slab.id);
        let first = self.seen.slabs.iter().find(|other| other.id == slab.id).is_some_and(|first| first == slab);
        let place = model.at(slab.along.0 + (slab.along.1 - slab.along.0) * 0.12, slab.levels.1);
        let id = if first { self.id(canvas, ("slab", slab.id), shows, place) } else { None };
        canvas.under(Item::Group(Group { id, title, items, ..Group::default() }));
    }

    fn draw_new(&self, canvas: &mut Canvas, model: &Model) {
        let of = self.of;
        for section in &self.seen.sections {
            let (a, b) = (model.at(section.outer.0, section.levels.1), model.at(section.outer.1, section.levels.0));
            let mut items =
                vec![Item::rectangle(a, b, stroke(Weight::Bold, Dash::Solid, Ink::Main), Some(Fill::NewSeen))];
            // The old corner is hidden behind what goes round it; in an inside corner what is new goes on to the corner, as
            // part of the other leg's.
            let ends = [(section.face.0, section.outer.0, -1.0), (section.face.1, section.outer.1, 1.0)];
            for (face, outer, way) in ends {
                if (face - outer).abs() > 1.0 {
                    let (top, foot) = (section.levels.1, section.levels.0);
                    let mut line = vec![model.at(face, top), model.at(face, foot)];
                    if (face - outer) * way > 0.0 {
                        line.insert(0, model.at(outer, top));
                        line.push(model.at(outer, foot));
                    }
                    canvas.avoid(&line);
                    items.push(Item::line(line, stroke(Weight::Thin, Dash::Hidden, Ink::Main)));
                }
            }
            let shows = |seen: &Seen| seen.sections.iter().any(|other| other.id == section.id);
            let first = self.seen.sections.iter().find(|other| other.id == section.id) == Some(section);
            let place = Spot::new(a.x + (b.x - a.x) * 0.2, a.y);
            let id = if first { self.id(canvas, ("body", section.id), shows, place) } else { None };
            canvas.lowest(Item::Group(Group {
                id,
                title: Some(format!("new concrete, section {}", of.name(section.id))),
                data: vec![("section", of.job.name(section.id).to_owned())],
                items,
                ..Group::default()
            }));
            let corners = [a, Spot::new(b.x, a.y), b, Spot::new(a.x, b.y), a];
            canvas.outline(&corners);
        }
        self.draw_voids(canvas, model);
    }

    /// Broken places of the old face, seen through what is new.
    fn draw_broken(&self, canvas: &mut Canvas, model: &Model) {
        let of = self.of;
        for (at, (id, along, levels)) in self.seen.spalls.iter().enumerate() {
            let (a, b) = (model.at(along.0, levels.1), model.at(along.1, levels.0));
            let corners = [a, Spot::new(b.x, a.y), b, Spot::new(a.x, b.y), a];
            canvas.outline(&corners);
            let edge = |pair: &[Spot]| match pair {
                // Each edge ends where the next begins.
                [from, to] => jagged(*from, *to).split_last().map_or_else(Vec::new, |(_, edge)| edge.to_vec()),
                _ => Vec::new(),
            };
            let points: Vec<Spot> = corners.windows(2).flat_map(edge).collect();
            let shows = |seen: &Seen| seen.spalls.iter().any(|(other, ..)| other == id);
            let first = self.seen.spalls.iter().position(|(other, ..)| other == id) == Some(at);
            let place = Spot::new((a.x + b.x) / 2.0, a.y);
            let named = if first { self.id(canvas, ("spall", *id), shows, place) } else { None };
            canvas.under(Item::Group(Group {
                id: named,
                title: Some(format!("broken away: {}", of.name(*id))),
                data: vec![("spall", of.job.name(*id).to_owned())],
                items: vec![Item::area(
                    points,
                    stroke(Weight::Medium, Dash::Solid, Ink::Clear),
                    Some(Fill::Light(Ink::Clear)),
                )],
                ..Group::default()
            }));
        }
    }

    /// Draws the holes with their numbers; gives how many have none.
    fn draw_holes(&self, canvas: &mut Canvas, model: &Model) -> usize {
        let of = self.of;
        let mut places = Vec::with_capacity(self.seen.holes.len());
        let there = self.seen.holes.iter().map(|one| (one, Dash::Solid));
        for ((set, hole), dash) in there.chain(self.seen.empty.iter().map(|one| (one, Dash::Hidden))) {
            let name = of.job.name(set.id);
            let data = vec![("hole", format!("{name} {}", hole.number))];
            let title = format!("{} {}: station {}", of.name(set.id), hole.number, of.place(hole.station));
            if let (Level::Height(level), true) = (hole.level, seen::into_face(set)) {
                let at = model.at(nm(hole.station), nm(level));
                let radius = model.length(set.wide) / 2.0;
                let thin = stroke(Weight::Thin, Dash::Solid, Ink::Hole);
                let arm = radius.max(0.8) + 0.8;
                let cross = |x: f64, y: f64| {
                    Item::line(vec![Spot::new(at.x - x, at.y - y), Spot::new(at.x + x, at.y + y)], thin)
                };
                let items = vec![
                    Item::Circle {
                        at,
                        radius: radius.max(0.8),
                        stroke: stroke(Weight::Medium, dash, Ink::Hole),
                        fill: Some(Fill::Paper),
                    },
                    cross(arm, 0.0),
                    cross(0.0, arm),
                ];
                let title = Some(format!("{title}, level {}", of.place(level)));
                let id = ids::hole(name, hole.number);
                let to = Some(ids::line(&id));
                let keep = radius.max(0.8) + 0.5;
                canvas.thing(&id, at, keep);
                canvas.front(Item::Group(Group { id: Some(id), title, to, data, items }));
                canvas
                    .labels
                    .take(Room::upright(Spot::new(at.x - keep, at.y - keep), Spot::new(at.x + keep, at.y + keep)));
                places.push((at, keep, hole.number));
            } else if let Some(segment) = set.segment(hole, &of.works.standing) {
                // Drilled from above: seen through the concrete.
                let (from, to) = (segment.from[2], segment.to[2]);
                let station = nm(hole.station);
                let line = vec![model.at(station, from), model.at(station, to)];
                let items = vec![Item::line(line, stroke(Weight::Medium, Dash::Hidden, Ink::Hole))];
                canvas.front(Item::Group(Group { title: Some(title), data, items, ..Group::default() }));
                // The plan has the numbers of these.
            }
        }
        for bar in &self.seen.bars {
            for chain in &bar.chains {
                let points: Vec<Spot> = chain.iter().map(|[along, _, up]| model.at(*along, *up)).collect();
                canvas.avoid(&points);
            }
        }
        let all = places.len();
        // Where most would find no room every fifth is written, which is enough to count by.
        let tight = all > 400;
        let every = if tight { 5 } else { 1 };
        let mut written = 0;
        for (at, keep, number) in places {
            if number % every == 0 || number == 1 {
                written += usize::from(canvas.number(at, keep, Ink::Hole, &number.to_string()));
            }
        }
        all - written
    }

    fn draw_bars(&self, canvas: &mut Canvas, model: &Model) {
        for bar in &self.seen.bars {
            let Some(mut group) = bar_item(self.of, bar, chains(model, bar, &bar.chains, 0)) else { continue };
            // A long bar has its id where it begins.
            let (name, number) = (self.of.job.name(bar.made.id), bar.made.counted(bar.group_at, bar.line.number));
            let begins = bar.line.on == self.seen.on;
            let own = ids::bar(name, number);
            group.to = begins.then(|| ids::line(&own));
            let id = if begins { own } else { ids::bar_on(name, number, &self.of.leg_id(self.seen.on)) };
            let flags = self.of.flags.of(&id);
            if let Some([along, _, up]) = bar.chains.first().and_then(|chain| chain.last())
                && (begins || !flags.is_empty())
            {
                canvas.thing(&id, model.at(*along, *up), 1.2);
                for flag in flags {
                    if let Some((station, height)) = self.of.flags.spot(&id, *flag) {
                        canvas.spot(&id, *flag, model.at(nm(station), nm(height)));
                    }
                }
                group.id = Some(id);
            }
            canvas.front(Item::Group(group));
        }
    }

    fn draw_kept_clear(&self, canvas: &mut Canvas, model: &Model, notes: &mut Vec<String>) {
        let of = self.of;
        let line = stroke(Weight::Thin, Dash::Axis, Ink::Clear);
        let firm = stroke(Weight::Medium, Dash::Solid, Ink::Clear);
        let (mut named, mut seen_already): (Vec<BlockId>, Vec<BlockId>) = (Vec::new(), Vec::new());
        for thing in of.works.obstacles.on(self.seen.on) {
            let levels = match thing.lies {
                Lies::Heights(levels) => (nm(levels.from), nm(levels.to)),
                Lies::Anywhere => self.up,
                // It lies in a floor before the face: the plan shows it.
                Lies::Offsets(_) => continue,
            };
            let (a, b) = (model.at(nm(thing.from), levels.0), model.at(nm(thing.to), levels.1));
            let mut items = Vec::new();
            if thing.crack {
                items.push(Item::line(jagged(a, b), firm));
            } else {
                let radius = model.length(thing.radius);
                items.push(Item::area(rounded(a, b, radius), line, Some(Fill::Light(Ink::Clear))));
                let arm = 1.2;
                let middle = Spot::new((a.x + b.x) / 2.0, (a.y + b.y) / 2.0);
                if a == b {
                    items.push(Item::line(vec![Spot::new(a.x - arm, a.y), Spot::new(a.x + arm, a.y)], firm));
                    items.push(Item::line(vec![Spot::new(a.x, a.y - arm), Spot::new(a.x, a.y + arm)], firm));
                } else {
                    items.push(Item::line(vec![a, b], firm));
                }
                canvas.labels.take(Room::upright(
                    Spot::new(middle.x - arm, middle.y - arm),
                    Spot::new(middle.x + arm, middle.y + arm),
                ));
            }
            let name = of.name(thing.thing);
            let shows = |seen: &Seen| of.works.obstacles.on(seen.on).iter().any(|other| other.thing == thing.thing);
            let word = if thing.crack { "crack" } else { "clear" };
            let id = if seen_already.contains(&thing.thing) {
                None
            } else {
                seen_already.push(thing.thing);
                self.id(canvas, (word, thing.thing), shows, Spot::new((a.x + b.x) / 2.0, (a.y + b.y) / 2.0))
            };
            canvas.front(Item::Group(Group {
                id,
                title: Some(format!("keep clear: {name}")),
                data: vec![("clear", of.job.name(thing.thing).to_owned())],
                items,
                ..Group::default()
            }));
            canvas.avoid(&[a, b]);
            if named.contains(&thing.thing) && self.of.works.obstacles.on(self.seen.on).len() > 6 {
                continue;
            }
            named.push(thing.thing);
            let middle = Spot::new((a.x + b.x) / 2.0, (a.y + b.y) / 2.0);
            let says = if thing.crack { format!("crack {name}") } else { name.clone() };
            let keep = if thing.crack { 1.0 } else { model.length(thing.radius).clamp(1.5, 6.0) };
            if !canvas.label(middle, keep, SMALL, Ink::Clear, &says) {
                notes.push(format!("Not named for want of room: {says} at station {}.", of.place(thing.from)));
            }
        }
        let titled: Vec<String> = of
            .job
            .clears
            .iter()
            .filter(|clear| named.contains(&clear.id))
            .filter(|clear| !clear.title.trim().is_empty())
            .map(|clear| format!("{}: {}", of.name(clear.id), shown(&clear.title)))
            .collect();
        if !titled.is_empty() {
            notes.push(format!("Keep clear of {}.", titled.join("; ")));
        }
    }

    fn write_names(&self, canvas: &mut Canvas, model: &Model, notes: &mut Vec<String>) {
        let of = self.of;
        // Slabs are thin: they have less choice than what stands on them.
        for slab in &self.seen.slabs {
            let level = (slab.levels.0 + slab.levels.1) / 2.0;
            // What is left of it is named there, or else what is gone.
            let mut breaks = vec![slab.along.0, slab.along.1];
            breaks.extend(slab.removed.iter().flat_map(|strip| [strip.along.0, strip.along.1]));
            breaks.sort_by(f64::total_cmp);
            let middles = breaks.windows(2).filter(|pair| pair[0] < pair[1]).map(|pair| (pair[0] + pair[1]) / 2.0);
            let shares = [0.5, 0.42, 0.58, 0.35, 0.65, 0.28, 0.72, 0.2, 0.8, 0.1];
            let stations: Vec<f64> = middles
                .chain(shares.map(|share| slab.along.0 + (slab.along.1 - slab.along.0) * share))
                .filter(|at| (slab.along.0..=slab.along.1).contains(at))
                .collect();
            let is_gone = |at: &f64| slab.removed.iter().any(|strip| strip.along.0 <= *at && *at <= strip.along.1);
            let spots = |gone: bool| {
                let here = stations.iter().filter(move |at| is_gone(at) == gone);
                here.map(|at| model.at(*at, level)).collect::<Vec<Spot>>()
            };
            let name = of.name(slab.id);
            if !canvas.name_at(spots(false), 70.0, Ink::Soft, &format!("slab {name}")) {
                canvas.name_at(spots(true), 70.0, Ink::Soft, &format!("slab {name} broken out"));
            }
        }
        // No section is named where it has a void.
        let is_void = |spot: &Spot| {
            self.seen.voids.iter().any(|(_, along, levels)| {
                let (a, b) = (model.at(along.0, levels.1), model.at(along.1, levels.0));
                (a.x..=b.x).contains(&spot.x) && (a.y..=b.y).contains(&spot.y)
            })
        };
        for section in &self.seen.sections {
            let (a, b) = (model.at(section.outer.0, section.levels.1), model.at(section.outer.1, section.levels.0));
            let name = of.name(section.id);
            let shares = [0.5, 0.3, 0.7, 0.2, 0.8, 0.12, 0.9, 0.4, 0.6];
            let spots = shares.iter().flat_map(|x| shares.iter().map(move |y| (*x, *y)));
            let spots = spots.map(|(x, y)| Spot::new(a.x + (b.x - a.x) * x, a.y + (b.y - a.y) * y));
            canvas.name_at(spots.filter(|spot| !is_void(spot)), b.x - a.x, Ink::Main, &name);
        }
        if let Some((bottom, top)) = self.seen.wall {
            let highest = self.seen.sections.iter().map(|section| section.levels.1).fold(nm(bottom), f64::max);
            let middle = (highest + nm(top)) / 2.0;
            let wall = of.works.standing.leg_ref(self.seen.on).map_or_else(String::new, |leg| of.name(leg.wall));
            // Of one wall its name says nothing.
            let says = if of.job.walls.len() == 1 { "old wall".to_owned() } else { format!("old wall {wall}") };
            let spots = [0.5, 0.35, 0.65, 0.2, 0.8, 0.1].map(|share| model.at(nm(self.seen.length) * share, middle));
            canvas.name_at(spots, 60.0, Ink::Soft, &says);
        }
        self.name_voids(canvas, model);
        for (id, along, levels) in &self.seen.spalls {
            let at = model.at((along.0 + along.1) / 2.0, (levels.0 + levels.1) / 2.0);
            let deep = of.job.spall(*id).map(|spall| of.place(spall.say.deep.0));
            let says = deep.map_or_else(|| of.name(*id), |deep| format!("{}, {deep} deep", of.name(*id)));
            if !canvas.name(at, model.long(along.1 - along.0), Ink::Clear, &says)
                && !canvas.label(at, 1.0, SMALL, Ink::Clear, &says)
            {
                notes.push(format!("Not named for want of room: {says}."));
            }
        }
        for (id, levels, _) in &self.seen.footings {
            let at = model.at(nm(self.seen.length) * 0.5, (levels.0 + levels.1) / 2.0);
            canvas.name(at, 60.0, Ink::Soft, &format!("footing {}", of.name(*id)));
        }
    }
}

/// Chains of a bar as they are seen: a dot where one is seen end-on. `up` is which of station, offset and level runs up the
/// sheet with the station across (0: the level), or the level up with the offset across (1).
pub fn chains(model: &Model, bar: &BarSeen, chains: &[Vec<[f64; 3]>], up: usize) -> Vec<Item> {
    let spot = |[along, out, level]: &[f64; 3]| match up {
        0 => model.at(*along, *level),
        _ => model.at(*out, *level),
    };
    let mut items = Vec::new();
    for chain in chains {
        let points: Vec<Spot> = chain.iter().map(spot).collect();
        let Some((first, rest)) = points.split_first() else { continue };
        if rest.iter().all(|point| point.distance(*first) < 0.05) {
            let radius = model.length(bar.made.steel.diameter).max(0.9) / 2.0;
            let at = rest.last().copied().unwrap_or(*first);
            items.push(Item::Circle { at, radius, stroke: None, fill: Some(Fill::Full(Ink::Steel)) });
        } else {
            items.push(Item::line(points, stroke(Weight::Bold, Dash::Solid, Ink::Steel)));
        }
    }
    items
}

/// A bar with what is drawn of it; none where nothing is.
pub fn bar_item(of: &Of, bar: &BarSeen, items: Vec<Item>) -> Option<Group> {
    if items.is_empty() {
        return None;
    }
    let name = of.job.name(bar.made.id);
    Some(Group {
        title: Some(format!("{} {}, mark {}", of.name(bar.made.id), bar.line.number, bar.group.mark)),
        data: vec![
            ("bar", name.to_owned()),
            ("group", bar.group_at.to_string()),
            ("number", bar.line.number.to_string()),
        ],
        items,
        ..Group::default()
    })
}

/// A crack: a jagged line from place to place.
pub fn jagged(a: Spot, b: Spot) -> Vec<Spot> {
    let length = a.distance(b).max(0.1);
    let along = ((b.x - a.x) / length, (b.y - a.y) / length);
    let teeth = (length / 1.6).clamp(2.0, 400.0) as u32;
    let inner = (1..teeth).map(|tooth| {
        let aside = [0.7, -0.5, 0.4, -0.8][tooth as usize % 4];
        a.moved(along, length * f64::from(tooth) / f64::from(teeth), aside)
    });
    std::iter::once(a).chain(inner).chain([b]).collect()
}

/// The line round everything within a radius of a line or a place.
fn rounded(a: Spot, b: Spot, radius: f64) -> Vec<Spot> {
    let length = a.distance(b);
    let along = if length > 0.0 { ((b.x - a.x) / length, (b.y - a.y) / length) } else { (1.0, 0.0) };
    let steps = 16;
    let half = |centre: Spot, turned: f64| {
        (0..=steps).map(move |step| {
            let angle = turned + std::f64::consts::PI * (f64::from(step) / f64::from(steps) - 0.5);
            centre.moved(along, radius * angle.cos(), radius * angle.sin())
        })
    };
    half(b, 0.0).chain(half(a, std::f64::consts::PI)).collect()
}

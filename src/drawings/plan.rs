//! The plan: everything from above, the old face and what stands before it, with bars and holes as they lie.

use super::{
    Drawing, Of, View,
    canvas::Canvas,
    dimension::{Mark, Running, between, between_close, reach, upright},
    ids,
    lettering::{self, SMALL},
    scene::{Dash, Fill, Group, Ink, Item, Spot, Weight, stroke},
    seen::{self, SectionSeen, Seen, nm},
    sheet::{self, Model, Scale, scale_for},
};
use crate::{
    concrete::{OldPart, PlacedVoid},
    geometry::{Frame, Outline, Point},
    holes::{Axis, Lies},
    schema::BlockId,
    units::Length,
};

/// Room round the plan for its dimensions.
const ROUND: f64 = 30.0;
/// From the concrete to the line of its dimensions: figures and names that have no room in it stand there.
const BEFORE: f64 = 8.0;

/// The plan; none of a job without legs that get something new.
pub fn draw(of: &Of) -> Vec<Drawing> {
    let legs = seen::legs(of);
    if legs.is_empty() { Vec::new() } else { vec![Plan { of, legs: &legs }.draw()] }
}

struct Plan<'p, 'w> {
    of: &'p Of<'w>,
    legs: &'p [Seen<'w>],
}

impl Plan<'_, '_> {
    fn frame(&self, seen: &Seen) -> Option<Frame> {
        self.of.works.standing.chain(seen.on)?.run.frame(usize::from(seen.on.leg))
    }

    /// The old work round the walls that get something new: outline, what it is.
    fn old(&self) -> Vec<(Outline, OldPart)> {
        let standing = &self.of.works.standing;
        let mut walls: Vec<_> =
            self.legs.iter().filter_map(|seen| standing.chain(seen.on)).map(|chain| chain.wall).collect();
        walls.sort_unstable();
        walls.dedup();
        let parts = walls.iter().flat_map(|wall| standing.old(self.of.job, *wall, &[]));
        let mut out: Vec<(Outline, OldPart)> = parts.map(|part| (part.outline, part.tag)).collect();
        // Footings lie under walls.
        out.sort_by_key(|(_, part)| *part == OldPart::Wall);
        out
    }

    fn draw(&self) -> Drawing {
        let of = self.of;
        let old = self.old();
        let sections: Vec<&Outline> = of.works.sections.placed.iter().flat_map(|placed| &placed.outlines).collect();
        let strips: Vec<(BlockId, Outline)> = of
            .works
            .strips
            .iter()
            .flat_map(|strip| {
                let outlines = strip.runs.iter().filter_map(|piece| seen::outline(of, piece, strip.out));
                outlines.map(|outline| (strip.id, outline))
            })
            .collect();
        let broken = strips.iter().map(|(_, outline)| outline);
        let outlines = || old.iter().map(|(outline, _)| outline).chain(sections.iter().copied()).chain(broken.clone());
        let (mut low, mut high) =
            (Point::new(f64::INFINITY, f64::INFINITY), Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY));
        for (from, _, _) in outlines().flat_map(Outline::edges) {
            low = Point::new(low.x.min(from.x), low.y.min(from.y));
            high = Point::new(high.x.max(from.x), high.y.max(from.y));
        }
        if low.x > high.x {
            (low, high) = (Point::default(), Point::new(1e9, 1e9));
        }
        let work = ((high.x - low.x) * 1e-6, (high.y - low.y) * 1e-6);
        let (upright, lying) = (sheet::upright(of.system), sheet::lying(of.system));
        let fit = |sheet: sheet::Sheet| {
            scale_for(work, (sheet.width - 2.0 * ROUND, sheet.height - 2.0 * ROUND - 40.0), of.smaller)
        };
        let (small, large) = (fit(upright), fit(lying));
        let (sheet, is_lying, scale) =
            if small <= 16 || small <= large { (upright, false, small) } else { (lying, true, large) };
        let mut canvas = Canvas::default();
        let under = format!("{}. From above; you stand at the lower edge. {}", of.title(), self.legend(&old, &strips));
        let top = canvas.head(of.flags, sheet.width, "Plan", &under) + ROUND;
        let per_mm = 1.0 / f64::from(scale);
        let wide = work.0 * per_mm;
        let model = Model {
            origin: Spot::new((sheet.width - wide) / 2.0 - low.x * 1e-6 * per_mm, top + high.y * 1e-6 * per_mm),
            per_mm,
            turned: false,
        };
        let bottom = model.at(0.0, low.y).y;
        self.draw_areas(&mut canvas, &model, &old, &strips);
        let mut notes: Vec<String> = Vec::new();
        for seen in self.legs {
            self.draw_dimensions(&mut canvas, &model, seen, &mut notes);
        }
        self.draw_holes(&mut canvas, &model);
        self.draw_bars(&mut canvas, &model);
        self.draw_kept_clear(&mut canvas, &model);
        canvas.labels.within = Some((Spot::new(0.0, top - ROUND + 2.0), Spot::new(sheet.width, bottom + ROUND)));
        let crowded = self.write_names(&mut canvas, &model);
        let flags = canvas.flags(of.flags);
        canvas.labels.within = None;
        if !crowded.is_empty() {
            notes.push(format!("Not named for want of room: {}.", crowded.join(", ")));
        }
        notes.extend(self.voids());
        notes.extend(flags);
        let mut y = bottom + ROUND + 2.0;
        y += canvas.scale_bar(y, 6.0, &Scale::new(scale, of.system)) + 1.5;
        y += canvas.notes(y, sheet.width, &notes);
        Drawing {
            id: "plan".into(),
            view: View::Plan,
            title: "Plan".into(),
            description: self.describe(),
            width: sheet.width,
            height: y + 1.5,
            lying: is_lying,
            model: Some(model),
            items: canvas.items(),
        }
    }

    /// What fills and dashes mean, of those there are.
    fn legend(&self, old: &[(Outline, OldPart)], strips: &[(BlockId, Outline)]) -> String {
        let hatched = if old.is_empty() { "New" } else { "Old concrete is hatched, new" };
        let is_hidden = old.iter().any(|(_, part)| *part != OldPart::Wall)
            || self.of.works.sets.values().any(|set| set.axis == Axis::Face)
            || self.of.works.sections.voids.iter().any(|void| !self.is_open(void));
        let crossed = if self.of.works.sections.voids.iter().any(|void| self.is_open(void)) {
            "; crossed out: left empty"
        } else {
            ""
        };
        let dashed = match (is_hidden, strips.is_empty()) {
            (true, true) => "; dashed: hidden",
            (true, false) => "; dashed: hidden, or taken away",
            (false, true) => "",
            (false, false) => "; dashed: taken away",
        };
        format!("{hatched} concrete has grains{crossed}{dashed}.")
    }

    fn describe(&self) -> String {
        let of = self.of;
        let legs: Vec<String> =
            self.legs.iter().map(|seen| format!("leg {}, {} long", of.leg(seen.on), of.place(seen.length))).collect();
        let sections: Vec<String> = of.works.sections.placed.iter().map(|placed| of.name(placed.id)).collect();
        format!("The work from above: {}. New concrete: {}.", legs.join("; "), sections.join(", "))
    }

    fn draw_areas(
        &self,
        canvas: &mut Canvas,
        model: &Model,
        old: &[(Outline, OldPart)],
        strips: &[(BlockId, Outline)],
    ) {
        let of = self.of;
        let chains = |outline: &Outline| -> Vec<Vec<Spot>> {
            let rings = outline.rings.iter();
            rings.map(|ring| ring.iter().map(|edge| model.at(edge.from.x, edge.from.y)).collect()).collect()
        };
        let area =
            |outline: &Outline, stroke, fill| Item::Lines { chains: chains(outline), closed: true, stroke, fill };
        for (outline, part) in old {
            let (title, stroke, fill) = match part {
                OldPart::Wall => ("the old wall", stroke(Weight::Medium, Dash::Solid, Ink::Main), Some(Fill::OldCut)),
                _ => ("the old footing", stroke(Weight::Thin, Dash::Hidden, Ink::Main), None),
            };
            let items = vec![area(outline, stroke, fill)];
            canvas.lowest(Item::Group(Group { title: Some(title.into()), items, ..Group::default() }));
        }
        let mut before = None;
        for (strip, outline) in strips {
            for mut chain in chains(outline) {
                chain.extend(chain.first().copied());
                canvas.avoid(&chain);
            }
            let items = vec![area(outline, stroke(Weight::Medium, Dash::Hidden, Ink::Soft), None)];
            let title = Some("slab that is broken out".to_owned());
            let id = (before != Some(strip)).then(|| of.id("strip", *strip));
            before = Some(strip);
            if let (Some(id), Some((at, ..))) = (&id, outline.edges().next()) {
                canvas.thing(id, model.at(at.x, at.y), 1.0);
            }
            canvas.under(Item::Group(Group { id, title, items, ..Group::default() }));
        }
        for placed in &of.works.sections.placed {
            let bold = stroke(Weight::Bold, Dash::Solid, Ink::Main);
            let items = placed.outlines.iter().map(|outline| area(outline, bold, Some(Fill::NewCut))).collect();
            canvas.under(Item::Group(Group {
                title: Some(format!("new concrete, section {}", of.name(placed.id))),
                data: vec![("section", of.job.name(placed.id).to_owned())],
                items,
                ..Group::default()
            }));
            for chain in placed.outlines.iter().flat_map(&chains) {
                canvas.outline(&chain);
            }
        }
        for void in &of.works.sections.voids {
            let open = self.is_open(void);
            let mut items = Vec::new();
            for outline in &void.outlines {
                // Seen from above it is empty; what lies deeper is hidden.
                let (dash, fill) = if open { (Dash::Solid, Some(Fill::Paper)) } else { (Dash::Hidden, None) };
                items.push(area(outline, stroke(Weight::Medium, dash, Ink::Main), fill));
                let thin = stroke(Weight::Thin, Dash::Solid, Ink::Main);
                for chain in chains(outline) {
                    canvas.outline(&chain);
                    if let ([a, b, c, d], true) = (chain.as_slice(), open) {
                        items.extend([Item::line(vec![*a, *c], thin), Item::line(vec![*b, *d], thin)]);
                    }
                }
            }
            canvas.under(Item::Group(Group {
                title: Some(format!("left empty: {}", of.name(void.id))),
                data: vec![("void", of.job.name(void.id).to_owned())],
                items,
                ..Group::default()
            }));
        }
    }

    /// Whether a void is seen from above: it goes up to the top of its section.
    fn is_open(&self, void: &PlacedVoid) -> bool {
        self.of.works.sections.find(void.section).is_some_and(|placed| void.top >= placed.top)
    }

    /// How far out of the face lies what is left empty, where the file says it: stations say nothing of that.
    fn voids(&self) -> impl Iterator<Item = String> {
        let of = self.of;
        of.job.voids.iter().filter_map(|void| {
            let offset = void.say.offset.as_ref()?.value;
            Some(format!(
                "Left empty, {}: from {} to {} out of the face.",
                of.name(void.id),
                of.place(offset.from),
                of.place(offset.to)
            ))
        })
    }

    /// Stations along a leg, read from its left end: before the work, or behind the wall where the next leg comes forward.
    fn draw_dimensions(&self, canvas: &mut Canvas, model: &Model, seen: &Seen, notes: &mut Vec<String>) {
        let of = self.of;
        let Some(frame) = self.frame(seen) else { return };
        let Some(chain) = of.works.standing.chain(seen.on) else { return };
        let leg = usize::from(seen.on.leg);
        let inside = |turn: Option<f64>| turn.is_some_and(|turn| turn < -0.5);
        let behind = inside(chain.run.turn_before(leg)) || inside(chain.run.turn_after(leg));
        let deepest = seen.sections.iter().map(|section| section.depth.1).fold(0.0, f64::max);
        let mut stations: Vec<Length> = vec![Length::ZERO, seen.length];
        stations
            .extend(seen.sections.iter().flat_map(|section| [section.face.0, section.face.1]).map(Length::round_nm));
        stations.extend(seen.voids.iter().flat_map(|(_, along, _)| [along.0, along.1]).map(Length::round_nm));
        stations.sort_unstable();
        stations.dedup();
        let out = frame.outward();
        let (offset, away) = if behind {
            let wall = seen.thick.map_or(0.0, nm) + seen.footings.iter().map(|footing| footing.2).fold(0.0, f64::max);
            (-wall - BEFORE / model.per_mm * 1e6, (-out.x, out.y))
        } else {
            let strips = seen.slabs.iter().flat_map(|slab| &slab.removed).map(|gone| gone.out);
            let strip = strips.chain(seen.footings.iter().map(|footing| footing.2)).fold(deepest, f64::max);
            (strip + BEFORE / model.per_mm * 1e6, (out.x, -out.y))
        };
        let from = frame.at(0.0, offset);
        let marks: Vec<Mark> = stations
            .iter()
            .map(|at| Mark { at: model.length(*at), says: of.place(*at), of: vec![("station", at.nm().to_string())] })
            .collect();
        let running = Running {
            from: model.at(from.x, from.y),
            along: (frame.along.x, -frame.along.y),
            away,
            back: vec![3.0; marks.len()],
            slack: 0.0,
            ink: Ink::Main,
            hook: true,
            marks,
        };
        // Where two legs' figures would run into each other the second line goes farther out.
        let deep = reach(&running.marks, running.slack);
        let end = running.from.moved(running.along, model.length(seen.length), 0.0);
        let side = (running.away.0 * deep, running.away.1 * deep);
        let room = super::labels::Room([
            running.from,
            end,
            Spot::new(end.x + side.0, end.y + side.1),
            Spot::new(running.from.x + side.0, running.from.y + side.1),
        ]);
        let free = canvas.labels.is_free(&room);
        if !free || !running.draw(canvas) {
            notes.push(format!("Not every station of {} has room here: its elevation has them all.", of.leg(seen.on)));
        }
    }

    fn draw_holes(&self, canvas: &mut Canvas, model: &Model) {
        let of = self.of;
        for set in of.sets() {
            let name = of.job.name(set.id);
            let there = set.each().map(|hole| (hole, Dash::Solid));
            for (hole, dash) in there.chain(of.left_empty(set.id).map(|hole| (hole, Dash::Hidden))) {
                let Some(segment) = set.segment(&hole, &of.works.standing) else { continue };
                let (from, to) = (model.at(segment.from[0], segment.from[1]), model.at(segment.to[0], segment.to[1]));
                let title = Some(format!("{} {}", of.name(set.id), hole.number));
                let data = vec![("hole", format!("{name} {}", hole.number))];
                match set.axis {
                    Axis::Face => {
                        let line = vec![from, to];
                        canvas.avoid(&line);
                        let items = vec![Item::line(line, stroke(Weight::Medium, Dash::Hidden, Ink::Hole))];
                        canvas.front(Item::Group(Group { title, data, items, ..Group::default() }));
                    }
                    Axis::Down(_) => {
                        let radius = (model.length(set.wide) / 2.0).max(0.8);
                        let medium = stroke(Weight::Medium, dash, Ink::Hole);
                        let items = vec![Item::Circle { at: from, radius, stroke: medium, fill: Some(Fill::Paper) }];
                        // No elevation shows these by their numbers: the link leads here.
                        let id = ids::hole(name, hole.number);
                        let to = Some(ids::line(&id));
                        canvas.thing(&id, from, radius + 0.4);
                        canvas.front(Item::Group(Group { id: Some(id), title, to, data, items }));
                        if set.count <= 200 {
                            canvas.label(from, radius + 0.4, SMALL, Ink::Hole, &hole.number.to_string());
                        }
                    }
                }
            }
        }
    }

    fn draw_bars(&self, canvas: &mut Canvas, model: &Model) {
        let of = self.of;
        for made in &of.works.bars {
            for (group_at, group) in made.groups.iter().enumerate() {
                let set = match group.place {
                    crate::steel::Place::Holes(set) => of.set(set),
                    _ => None,
                };
                for line in crate::steel::lines(made, group, set, &of.works.standing) {
                    let segments = line.walk.segments(200_000.0);
                    let mut points: Vec<Spot> = Vec::with_capacity(segments.len() + 1);
                    points.extend(segments.first().map(|segment| model.at(segment.from[0], segment.from[1])));
                    points.extend(segments.iter().map(|segment| model.at(segment.to[0], segment.to[1])));
                    let Some(first) = points.first().copied() else { continue };
                    let upright = points.iter().all(|point| point.distance(first) < 0.05);
                    canvas.avoid(&points);
                    let item = if upright {
                        let radius = (model.length(made.steel.diameter) / 2.0).max(0.6);
                        canvas.avoid(&[first.moved((1.0, 0.0), -radius, 0.0), first.moved((1.0, 0.0), radius, 0.0)]);
                        Item::Circle { at: first, radius, stroke: None, fill: Some(Fill::Full(Ink::Steel)) }
                    } else {
                        Item::line(points, stroke(Weight::Medium, Dash::Solid, Ink::Steel))
                    };
                    let data = vec![
                        ("bar", of.job.name(made.id).to_owned()),
                        ("group", group_at.to_string()),
                        ("number", line.number.to_string()),
                    ];
                    let title = Some(format!("{} {}, mark {}", of.name(made.id), line.number, group.mark));
                    canvas.front(Item::Group(Group { title, data, items: vec![item], ..Group::default() }));
                }
            }
        }
    }

    fn draw_kept_clear(&self, canvas: &mut Canvas, model: &Model) {
        let of = self.of;
        let line = stroke(Weight::Medium, Dash::Solid, Ink::Clear);
        let mut known: Vec<BlockId> = Vec::new();
        for seen in self.legs {
            let Some(frame) = self.frame(seen) else { continue };
            for thing in of.works.obstacles.on(seen.on) {
                let offset = match thing.lies {
                    Lies::Offsets(levels) => (nm(levels.from) + nm(levels.to)) / 2.0,
                    Lies::Heights(_) | Lies::Anywhere => 0.0,
                };
                let (a, b) = (frame.at(nm(thing.from), offset), frame.at(nm(thing.to), offset));
                let (a, b) = (model.at(a.x, a.y), model.at(b.x, b.y));
                let name = of.name(thing.thing);
                let mut items = Vec::new();
                if thing.crack && a == b {
                    let deep = frame.at(nm(thing.from), -seen.thick.map_or(100e6, nm));
                    items.push(Item::line(super::elevation::jagged(a, model.at(deep.x, deep.y)), line));
                } else if a == b {
                    let radius = model.length(thing.radius).max(1.0);
                    let axis = stroke(Weight::Thin, Dash::Axis, Ink::Clear);
                    items.push(Item::Circle { at: a, radius, stroke: axis, fill: Some(Fill::Light(Ink::Clear)) });
                } else {
                    items.push(Item::line(vec![a, b], line));
                }
                // What lies in the face has its id in an elevation.
                let here = matches!(thing.lies, Lies::Offsets(_)) && !known.contains(&thing.thing);
                let id = here.then(|| of.id("clear", thing.thing));
                if let Some(id) = &id {
                    known.push(thing.thing);
                    canvas.thing(id, Spot::new((a.x + b.x) / 2.0, (a.y + b.y) / 2.0), 1.5);
                }
                canvas.front(Item::Group(Group {
                    id,
                    title: Some(format!("keep clear: {name}")),
                    data: vec![("clear", of.job.name(thing.thing).to_owned())],
                    items,
                    ..Group::default()
                }));
            }
        }
    }

    /// Names of legs, sections, bars and what is kept clear; gives those without room. What has no room on its own ground is
    /// named beside all concrete, with a line that leads in: on what is not its own it would name that.
    fn write_names(&self, canvas: &mut Canvas, model: &Model) -> Vec<String> {
        let mut left_over: Vec<(Spot, Ink, String)> = Vec::new();
        for seen in self.legs {
            let Some(frame) = self.frame(seen) else { continue };
            let spot = |station: f64, offset: f64| on_sheet(model, frame, station, offset);
            self.name_leg(canvas, model, (seen, frame), &mut left_over);
            let mut named = Vec::new();
            for thing in self.of.works.obstacles.on(seen.on) {
                if named.contains(&thing.thing) {
                    continue;
                }
                named.push(thing.thing);
                let name = self.of.name(thing.thing);
                let middle = (nm(thing.from) + nm(thing.to)) / 2.0;
                let offset = match thing.lies {
                    Lies::Offsets(levels) => nm(levels.from),
                    Lies::Heights(_) | Lies::Anywhere => 0.0,
                };
                if !canvas.label(spot(middle, offset), 2.0, SMALL, Ink::Clear, &name) {
                    left_over.push((spot(middle, offset), Ink::Clear, name));
                }
            }
        }
        let take = |canvas: &mut Canvas, frame: Frame, along: seen::Span, deep: seen::Span| {
            let corner = |station: f64, offset: f64| on_sheet(model, frame, station, offset);
            canvas.labels.take(super::labels::Room([
                corner(along.0, deep.0),
                corner(along.1, deep.0),
                corner(along.1, deep.1),
                corner(along.0, deep.1),
            ]));
        };
        for seen in self.legs {
            if let (Some(frame), Some(thick)) = (self.frame(seen), seen.thick) {
                take(canvas, frame, (0.0, nm(seen.length)), (-nm(thick), 0.0));
            }
        }
        for seen in self.legs {
            if let Some(frame) = self.frame(seen) {
                self.name_sections(canvas, model, (seen, frame), &mut left_over);
            }
        }
        for seen in self.legs {
            let Some(frame) = self.frame(seen) else { continue };
            for section in &seen.sections {
                take(canvas, frame, section.outer, section.depth);
            }
        }
        left_over.extend(self.bars_to_name(model));
        left_over.retain(|(at, ink, says)| !canvas.label(*at, 2.0, SMALL, *ink, says));
        left_over
            .into_iter()
            .map(|(_, _, says)| says)
            .filter(|says| lettering::width(says, SMALL, false) > 0.0)
            .collect()
    }

    /// How thick the old wall of a leg is, and the name of the leg: close behind its face, or behind all that stands on a line.
    fn name_leg(
        &self,
        canvas: &mut Canvas,
        model: &Model,
        (seen, frame): (&Seen, Frame),
        left_over: &mut Vec<(Spot, Ink, String)>,
    ) {
        let of = self.of;
        let spot = |station: f64, offset: f64| on_sheet(model, frame, station, offset);
        let (whole, thick) = (nm(seen.length), seen.thick.map_or(0.0, nm));
        // A thickness as long as a wall is one of its other legs.
        if thick > 0.0 && thick * 2.0 < whole {
            let says = of.place(Length::round_nm(thick));
            let data = vec![("thick", Length::round_nm(thick).nm().to_string())];
            between(canvas, (spot(whole * 0.72, 0.0), spot(whole * 0.72, -thick)), 0.0, &says, data);
        }
        // What is too narrow across the sheet is named along itself.
        let (turned, _) = upright((frame.along.x, -frame.along.y));
        let says = format!("leg {}", of.leg(seen.on));
        let out = frame.outward();
        let half = lettering::width(&says, lettering::NAME, false) / 2.0 + 1.4;
        let innermost = seen.sections.iter().map(|section| section.depth.0).fold(0.0, f64::min);
        let behind = |across: f64| {
            let off = (out.x.abs() * across + out.y.abs() * 3.4) / model.per_mm * 1e6;
            if seen.wall.is_some() { -off.min(thick / 2.0) } else { innermost - off }
        };
        let shares = [0.4, 0.55, 0.3, 0.65, 0.2, 0.75];
        let level = shares.map(|share| spot(whole * share, behind(half)));
        let along = shares.map(|share| spot(whole * share, behind(3.4)));
        if !canvas.name_off(level, 0.0, Ink::Main, &says) && !canvas.name_off(along, turned, Ink::Main, &says) {
            left_over.push((spot(whole * 0.5, -thick), Ink::Main, says));
        }
    }

    /// How thick the sections of a leg are, and their names: each where nothing of another lies over it, or else anywhere in it
    /// where no bar runs through the letters.
    fn name_sections(
        &self,
        canvas: &mut Canvas,
        model: &Model,
        (seen, frame): (&Seen, Frame),
        left_over: &mut Vec<(Spot, Ink, String)>,
    ) {
        let of = self.of;
        let spot = |station: f64, offset: f64| on_sheet(model, frame, station, offset);
        let (turned, _) = upright((frame.along.x, -frame.along.y));
        for (number, section) in seen.sections.iter().enumerate() {
            // Lines of what lies under each other do not lie on each other.
            let share = 0.1 + 0.12 * (number % 3) as f64;
            // At an inside corner the other leg's part lies over it as far as that is thick.
            let (from, to) = (section.face.0.max(section.outer.0), section.face.1.min(section.outer.1));
            let says = of.place(Length::round_nm(section.depth.1 - section.depth.0));
            let data = vec![("thick", Length::round_nm(section.depth.1 - section.depth.0).nm().to_string())];
            let ends = |share: f64| {
                let station = from + (to - from) * share;
                (spot(station, section.depth.0), spot(station, section.depth.1))
            };
            let shares = [share, share + 0.06, share + 0.12, share + 0.4, share + 0.5];
            if !shares.into_iter().any(|share| between_close(canvas, ends(share), &says, data.clone())) {
                between(canvas, ends(share), 0.0, &says, data);
            }
        }
        for section in &seen.sections {
            let name = of.name(section.id);
            let at = |share: f64, offset: f64| spot(section.face.0 + (section.face.1 - section.face.0) * share, offset);
            let bands = free_bands(section, &seen.sections);
            let widest = bands.first().copied().unwrap_or(section.depth);
            let middles: Vec<f64> = bands.iter().chain([&section.depth]).map(|band| (band.0 + band.1) / 2.0).collect();
            let spots = |offsets: &[f64]| -> Vec<Spot> {
                let shares = [0.5, 0.35, 0.65, 0.25, 0.75, 0.15, 0.85];
                offsets.iter().flat_map(|offset| shares.map(|share| at(share, *offset))).collect()
            };
            if !canvas.name_clear(spots(&middles), [0.0, turned], Ink::Main, &name) {
                left_over.push((at(0.5, (widest.0 + widest.1) / 2.0), Ink::Main, name));
            }
        }
    }

    /// The bars, each named at one of its ends.
    fn bars_to_name(&self, model: &Model) -> Vec<(Spot, Ink, String)> {
        let (mut named, mut out) = (Vec::new(), Vec::new());
        for seen in self.legs {
            let Some(frame) = self.frame(seen) else { continue };
            for bar in &seen.bars {
                if named.contains(&bar.made.id) {
                    continue;
                }
                named.push(bar.made.id);
                let says = format!("{}, mark {}", self.of.name(bar.made.id), bar.group.mark);
                let Some([station, offset, _]) = bar.chains.first().and_then(|chain| chain.last()) else { continue };
                out.push((on_sheet(model, frame, *station, *offset), Ink::Steel, says));
            }
        }
        out
    }
}

/// Where something lies on the sheet that lies so far along a leg and out of it.
fn on_sheet(model: &Model, frame: Frame, station: f64, offset: f64) -> Spot {
    let at = frame.at(station, offset);
    model.at(at.x, at.y)
}

/// The parts across a section over which no higher one of these lies, the widest first.
fn free_bands(section: &SectionSeen, all: &[SectionSeen]) -> Vec<seen::Span> {
    let over = |other: &&SectionSeen| {
        let beside = other.face.1 <= section.face.0 || section.face.1 <= other.face.0;
        other.levels.1 > section.levels.1 && !beside
    };
    let mut covered: Vec<seen::Span> = all.iter().filter(over).map(|other| other.depth).collect();
    covered.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut out = Vec::new();
    let mut from = section.depth.0;
    for (low, high) in covered.into_iter().chain([(section.depth.1, section.depth.1)]) {
        if low.min(section.depth.1) > from {
            out.push((from, low.min(section.depth.1)));
        }
        from = from.max(high);
    }
    out.sort_by(|a: &seen::Span, b| (b.1 - b.0).total_cmp(&(a.1 - a.0)));
    out
}

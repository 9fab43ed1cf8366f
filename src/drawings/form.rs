//! Forms as one stands before them: sheathing with its joints, studs, walers, kickers, and where ties and braces go. Ties are
//! drilled from this drawing, so it runs on the same tape as the elevation, and shows what holes lie behind.

use super::{
    Drawing, Of, View,
    canvas::Canvas,
    elevation::{beside, crossed},
    facing::{Facing, Row},
    ids,
    labels::Room,
    levels::Levels,
    scene::{Dash, Fill, Group, Ink, Item, Spot, Weight, stroke},
    seen::{self, Seen, nm},
    sheet::Model,
};
use crate::{
    formwork::{self, Design, Formwork, Hold, Panel, Past, TieRow, Use},
    geometry::Side,
    holes::{Hole, Level, Set},
    schema::{BlockId, Forms, LumberName, StandsOn},
    units::{Length, System},
};

/// Ends within this of each other are at one place, in nanometres.
const NEAR: f64 = 1_000_000.0;

/// One drawing for each leg with a form before it, and one for the inner side where concrete that stands free has a form there.
pub fn draw(of: &Of) -> Vec<Drawing> {
    let legs = seen::legs(of);
    let mut known: Vec<String> = Vec::new();
    let sides = legs.iter().flat_map(|seen| [(seen, Side::Outer), (seen, Side::Inner)]);
    sides.filter_map(|(seen, side)| Before::new(of, seen, side)?.draw(&mut known)).collect()
}

/// A face of a form on a leg.
struct Faced<'w> {
    made: &'w Formwork,
    say: &'w Forms,
    panel: &'w Panel,
    /// Its place among those of the form.
    at: usize,
    /// How hard it is pressed and what holds it, if that is known.
    design: Option<&'w Design>,
    /// The station of its left end, as one stands before it.
    left: Length,
    side: Side,
    system: System,
}

/// All forms on one side of what stands on a leg.
struct Before<'b, 'w> {
    of: &'b Of<'w>,
    seen: &'b Seen<'w>,
    side: Side,
    faces: Vec<Faced<'w>>,
    /// Bulkheads, by what findings call them, with their stations and levels.
    ends: Vec<(String, f64, (f64, f64))>,
}

impl Faced<'_> {
    /// The station of what stands so far from its left end: of the inner side stations run the other way.
    fn station(&self, at: Length) -> Length {
        if self.side == Side::Inner { self.left - at } else { self.left + at }
    }

    /// From where to where it goes, as stations.
    fn span(&self) -> (Length, Length) {
        let right = self.station(self.panel.width);
        (self.left.min(right), self.left.max(right))
    }

    /// From where to where it goes, and what stands along it.
    fn spans(&self) -> Vec<(Length, Length)> {
        let reach = &self.panel.reach;
        let mut out = vec![self.span(), self.reaching(reach.sheath)];
        out.extend(self.holds().into_iter().map(|(hold, _)| self.reaching(self.boards(hold))));
        out
    }

    /// How far the boards of a level reach past its ends.
    fn boards(&self, hold: Hold) -> Past {
        let reach = &self.panel.reach;
        if hold == Hold::Kick { reach.kicker } else { reach.waler }
    }

    /// From where to where something goes that reaches so far past its ends, as stations.
    fn reaching(&self, past: Past) -> (Length, Length) {
        let (from, to) = past.along(self.panel.width);
        let (from, to) = (self.station(from), self.station(to));
        (from.min(to), from.max(to))
    }

    /// The rows of ties before it.
    fn ties(&self) -> impl Iterator<Item = &TieRow> {
        self.made.ties.iter().filter(|row| row.panel == self.at)
    }

    /// Where what holds a level stands along it.
    fn places(&self, hold: Hold) -> Vec<Length> {
        let along = match hold {
            Hold::Kick => Vec::new(),
            Hold::Tie(number) => {
                self.ties().filter(|row| row.row == number).flat_map(|row| row.at.iter().copied()).collect()
            }
            Hold::Brace => {
                let brace = self.say.brace.as_ref();
                brace.map_or_else(Vec::new, |brace| self.panel.braces(brace.value.space.value.0))
            }
        };
        along.into_iter().map(|at| self.station(at)).collect()
    }

    /// Where stakes hold its kicker.
    fn stakes(&self) -> Vec<Length> {
        let Some(kick) = self.say.kick.as_ref().filter(|kick| kick.value.on == StandsOn::Stakes) else {
            return Vec::new();
        };
        if !self.holds().iter().any(|(hold, _)| *hold == Hold::Kick) {
            return Vec::new();
        }
        let space = kick.value.space.as_ref().map(|space| space.value.0);
        let space = space.or(self.say.brace.as_ref().map(|brace| brace.value.space.value.0));
        let along = space.map_or_else(Vec::new, |space| self.panel.braces(space));
        along.into_iter().map(|at| self.station(at)).collect()
    }

    fn holds(&self) -> Vec<(Hold, Length)> {
        let holds = self.design.map_or_else(Vec::new, |design| design.holds(self.panel, self.system));
        holds.into_iter().map(|(hold, height)| (hold, self.panel.bottom + height)).collect()
    }
}

impl<'b, 'w> Before<'b, 'w> {
    fn new(of: &'b Of<'w>, seen: &'b Seen<'w>, side: Side) -> Option<Before<'b, 'w>> {
        let frame = of.works.standing.chain(seen.on)?.run.frame(usize::from(seen.on.leg))?;
        let mut out = Before { of, seen, side, faces: Vec::new(), ends: Vec::new() };
        for made in &of.works.forms {
            let Some(forms) = of.job.forms_of(made.forms) else { continue };
            for (at, panel) in made.panels.iter().enumerate() {
                let [a, b] = panel.ends().map(|end| frame.local(end));
                if panel.closes == Use::Face
                    && seen.sections.iter().any(|section| section.has_form(panel, (a, b), side))
                {
                    let design = made.designs.iter().find(|design| design.section == panel.section);
                    let left = Length::round_nm(a.0);
                    out.faces.push(Faced { made, say: &forms.say, panel, at, design, left, side, system: of.system });
                } else if panel.closes == Use::Bulkhead
                    && (a.0 - b.0).abs() < NEAR
                    && seen.sections.iter().any(|section| {
                        section.id == panel.section && a.1.max(b.1) < section.depth.1 + NEAR && a.1.min(b.1) > -NEAR
                    })
                {
                    let id = ids::form_ends(of.job.name(made.forms), of.job.name(panel.section));
                    out.ends.push((id, a.0, (nm(panel.bottom), nm(panel.top))));
                }
            }
        }
        out.faces.sort_by_key(|face| (face.span().0, face.panel.bottom));
        (!out.faces.is_empty()).then_some(out)
    }

    fn lumber(&self, name: LumberName) -> Option<(f64, f64)> {
        let say = &self.of.job.lumber_of(name.0)?.say;
        say.size.as_ref().map(|size| (nm(size.thick.0), nm(size.wide.0)))
    }

    /// The middles of the studs of a face.
    fn studs(&self, face: &Faced) -> Vec<Length> {
        let studs = &face.say.studs.value;
        let size = self.of.job.lumber_of(studs.size.0).and_then(|lumber| lumber.say.size.as_ref());
        let thick = size.map_or(Length::ZERO, |size| size.thick.0);
        formwork::studs(face.panel, studs.space.value.0, thick).into_iter().map(|at| face.station(at)).collect()
    }

    fn levels(&self) -> Levels {
        let of = self.of;
        let mut out = Levels::default();
        if let Some((_, top)) = self.wall() {
            out.add(nm(top), "top of old wall".into(), Ink::Main);
            let highest = self.faces.iter().map(|face| nm(face.panel.top)).fold(f64::NEG_INFINITY, f64::max);
            out.stays = Some(nm(top)).filter(|top| *top > highest);
        }
        for (id, _, levels) in self.boxes() {
            out.add(levels.1, format!("top of {}", of.name(id)), Ink::Main);
            out.add(levels.0, format!("bottom of {}", of.name(id)), Ink::Main);
        }
        for face in &self.faces {
            let section = of.name(face.panel.section);
            out.add(nm(face.panel.top), format!("top of {section}"), Ink::Main);
            out.add(nm(face.panel.bottom), "foot of the form".into(), Ink::Main);
            for (hold, level) in face.holds() {
                match hold {
                    Hold::Kick => {}
                    Hold::Tie(row) => out.add(nm(level), format!("ties, row {}", row + 1), Ink::Wood),
                    Hold::Brace => out.add(nm(level), "braces".into(), Ink::Wood),
                }
            }
        }
        out
    }

    fn rows(&self) -> Vec<Row> {
        let mut out = Vec::new();
        let mut row = |title: &str, mut all: Vec<Length>, ink: Ink| {
            all.sort_unstable();
            all.dedup_by_key(|at| self.of.place(*at));
            if !all.is_empty() {
                let stations = all.into_iter().map(|at| (at, vec![("station", at.nm().to_string())])).collect();
                out.push(Row { title: title.to_owned(), stations, ink });
            }
        };
        let of = |wanted: fn(Hold) -> bool| {
            let places = |face: &Faced| -> Vec<Length> {
                let holds = face.holds().into_iter().map(|(hold, _)| hold).filter(|hold| wanted(*hold));
                holds.flat_map(|hold| face.places(hold)).collect()
            };
            self.faces.iter().flat_map(places).collect::<Vec<Length>>()
        };
        row("ties", of(|hold| matches!(hold, Hold::Tie(_))), Ink::Wood);
        row("braces", of(|hold| hold == Hold::Brace), Ink::Wood);
        row("stakes of kickers", self.faces.iter().flat_map(Faced::stakes).collect(), Ink::Wood);
        row("studs, middle", self.faces.iter().flat_map(|face| self.studs(face)).collect(), Ink::Wood);
        let mut edges = vec![Length::ZERO, self.seen.length];
        edges.extend(self.faces.iter().map(Faced::span).flat_map(|span| [span.0, span.1]));
        row("edges", edges, Ink::Main);
        let sides = self.boxes().flat_map(|(_, along, _)| [along.0, along.1].map(Length::round_nm));
        row("boxes", sides.collect(), Ink::Main);
        out
    }

    fn draw(&self, known: &mut Vec<String>) -> Option<Drawing> {
        let (of, seen) = (self.of, self.seen);
        let across =
            self.faces.iter().flat_map(Faced::spans).fold((0.0, nm(seen.length)), |whole: (f64, f64), span| {
                (whole.0.min(nm(span.0)), whole.1.max(nm(span.1)))
            });
        let walls = self.wall().map(|(bottom, top)| (nm(bottom), nm(top)));
        let faces = self.faces.iter().map(|face| (nm(face.panel.bottom), nm(face.panel.top)));
        let up = walls
            .into_iter()
            .chain(faces)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |span, at| (span.0.min(at.0), span.1.max(at.1)));
        if across.0 >= across.1 || up.0 >= up.1 {
            return None;
        }
        let inner = self.side == Side::Inner;
        let under = format!("{}. {}", of.title(), self.legend());
        let title = format!("Form on {}{}", of.leg(seen.on), if inner { self.back() } else { "" });
        let mut facing = Facing::new(of, self.levels(), &self.rows(), (across, up, inner), (title, &under));
        let (model, canvas) = (facing.model, &mut facing.canvas);
        if let Some((bottom, top)) = self.wall() {
            let (a, b) = (model.at(0.0, nm(top)), model.at(nm(seen.length), nm(bottom)));
            let line = stroke(Weight::Thin, Dash::Solid, Ink::Main);
            canvas.lowest(Item::Group(Group {
                title: Some("the old wall".into()),
                items: vec![Item::rectangle(a, b, line, Some(Fill::OldSeen))],
                ..Group::default()
            }));
        }
        for face in &self.faces {
            let id = of.id("forms", face.made.forms);
            let first = !known.contains(&id);
            if first {
                known.push(id.clone());
            }
            let before = ids::form_before(of.job.name(face.made.forms), of.job.name(face.panel.section));
            let first_before = !known.contains(&before);
            if first_before {
                known.push(before.clone());
            }
            self.draw_face(canvas, &model, face, (first.then_some(id), first_before.then_some(before)));
        }
        self.draw_behind(canvas, &model, up, known);
        self.draw_boxes(canvas, &model);
        self.name(canvas, &model, &mut facing.notes);
        facing.notes.extend(self.notes());
        let id = format!("form-{}{}", of.leg_id(seen.on), if inner { "-inner" } else { "" });
        Some(facing.end(of, id, View::Form, self.describe()))
    }

    /// What the title says of the other side: that towards the old wall, or behind a line.
    fn back(&self) -> &'static str {
        if self.seen.wall.is_some() { ", inner side" } else { ", from behind" }
    }

    /// The old wall, where it is seen: it stands behind the back of who looks at the inner side.
    fn wall(&self) -> Option<(Length, Length)> {
        self.seen.wall.filter(|_| self.side == Side::Outer)
    }

    /// Where to stand, and what the marks are.
    fn legend(&self) -> String {
        let mut out = match self.side {
            Side::Inner => {
                if self.seen.wall.is_some() {
                    let base = self.seen.base();
                    format!(
                        "Stand before the form on the inner side, with {base} behind you: stations run from the right"
                    )
                } else {
                    "Stand behind the line, before the form there: stations run from the right".to_owned()
                }
            }
            _ => "Stand before the form: stations run from the left".to_owned(),
        };
        out.push_str(", on the tape of the elevation.");
        let holds =
            |wanted: fn(Hold) -> bool| self.faces.iter().any(|face| face.holds().iter().any(|(hold, _)| wanted(*hold)));
        if holds(|hold| matches!(hold, Hold::Tie(_))) {
            out.push_str(" Ringed cross: a tie");
            out.push_str(if self.seen.wall.is_some() { " into the old wall." } else { "." });
        }
        if holds(|hold| hold == Hold::Brace) {
            out.push_str(" Filled square: a brace.");
        }
        if self.boxes().next().is_some() {
            out.push_str(" Crossed out and dashed: a box behind, for what is left empty.");
        }
        if self.holes().next().is_some() {
            out.push_str(" Thin rings: holes behind.");
        }
        out
    }

    /// The voids whose boxes stand against the form on this side, or within the concrete behind it where they stand against
    /// none: which, along, levels.
    fn boxes(&self) -> impl Iterator<Item = (BlockId, seen::Span, seen::Span)> {
        self.seen.voids.iter().copied().filter(|(id, along, levels)| {
            let opens = self.seen.opens(self.of, *id);
            let here = match self.side {
                Side::Inner => opens.inner,
                _ => opens.outer || !opens.inner,
            };
            let section = self.of.job.void(*id).map(|void| void.say.section.value.0);
            here && self.faces.iter().any(|face| {
                let span = face.span();
                Some(face.panel.section) == section
                    && along.0 < nm(span.1)
                    && nm(span.0) < along.1
                    && levels.0 < nm(face.panel.top)
                    && nm(face.panel.bottom) < levels.1
            })
        })
    }

    /// Boxes for what is left empty, behind the sheathing.
    fn draw_boxes(&self, canvas: &mut Canvas, model: &Model) {
        let of = self.of;
        for (id, along, levels) in self.boxes() {
            let (a, b) = (model.at(along.0, levels.1), model.at(along.1, levels.0));
            canvas.back(Item::Group(Group {
                title: Some(format!("box for {}, behind the form", of.name(id))),
                data: vec![("box", of.job.name(id).to_owned())],
                items: crossed(a, b, false, Ink::Main),
                ..Group::default()
            }));
            canvas.avoid(&[a, Spot::new(b.x, a.y), b, Spot::new(a.x, b.y), a]);
            let says = format!("box {}, {} deep", of.name(id), of.place(self.seen.opens(of, id).deep));
            beside(canvas, model, (along, levels), &says);
        }
    }

    /// The holes that lie behind the form: none of them do behind the inner side.
    fn holes(&self) -> impl Iterator<Item = (&'w Set, Hole, Length)> {
        let all = self.seen.holes.iter().filter(|(set, _)| self.side == Side::Outer && seen::into_face(set));
        all.filter_map(|(set, hole)| match hole.level {
            Level::Height(level) => Some((*set, *hole, level)),
            Level::Offset(_) => None,
        })
    }

    fn describe(&self) -> String {
        let of = self.of;
        let faces: Vec<String> = self
            .faces
            .iter()
            .map(|face| {
                format!(
                    "before {} from station {} to {}, level {} to {}",
                    of.name(face.panel.section),
                    of.place(face.span().0),
                    of.place(face.span().1),
                    of.place(face.panel.bottom),
                    of.place(face.panel.top)
                )
            })
            .collect();
        let side = match (self.side, self.seen.wall) {
            (Side::Inner, Some(_)) => " on the inner side",
            (Side::Inner, None) => " behind the line",
            _ => "",
        };
        format!("The form as one stands before it{side}: {}.", faces.join("; "))
    }

    fn draw_face(
        &self,
        canvas: &mut Canvas,
        model: &Model,
        face: &Faced,
        (id, before): (Option<String>, Option<String>),
    ) {
        let of = self.of;
        let (from, to) = face.reaching(face.panel.reach.sheath);
        let (from, to) = (nm(from), nm(to));
        let (foot, top) = (nm(face.panel.bottom), nm(face.panel.top));
        let medium = stroke(Weight::Medium, Dash::Solid, Ink::Wood);
        let thin = stroke(Weight::Thin, Dash::Solid, Ink::Wood);
        let wood = Some(Fill::Light(Ink::Wood));
        let (a, b) = (model.at(from, top), model.at(to, foot));
        let mut items = vec![Item::rectangle(a, b, medium, wood)];
        items.extend(self.joints(face).into_iter().map(|[(x, y), (other_x, other_y)]| {
            let station = |x: f64| nm(face.station(Length::round_nm(x)));
            Item::line(vec![model.at(station(x), foot + y), model.at(station(other_x), foot + other_y)], thin)
        }));
        canvas.outline(&[a, Spot::new(b.x, a.y), b, Spot::new(a.x, b.y), a]);
        let thick = self.lumber(face.say.studs.value.size).map_or(0.0, |size| size.0);
        for middle in self.studs(face).into_iter().map(nm) {
            let (low, high) = (model.at(middle - thick / 2.0, foot), model.at(middle + thick / 2.0, top));
            items.push(Item::rectangle(low, high, thin, wood));
        }
        for id in id.iter().chain(&before) {
            canvas.thing(id, Spot::new(a.x + (b.x - a.x) * 0.3, a.y), 2.2);
        }
        if before.is_some() {
            items = vec![Item::Group(Group { id: before, items, ..Group::default() })];
        }
        canvas.under(Item::Group(Group {
            id,
            title: Some(format!("form {} before {}", of.name(face.made.forms), of.name(face.panel.section))),
            data: vec![("form", of.job.name(face.made.forms).to_owned())],
            items,
            ..Group::default()
        }));
        for (hold, level) in face.holds() {
            self.draw_hold(canvas, model, face, (hold, nm(level)));
        }
    }

    /// Joints of the sheathing from the lower left corner of the face: of sheets laid in strips, or of boards upon each other.
    fn joints(&self, face: &Faced) -> Vec<[(f64, f64); 2]> {
        let height = nm(face.panel.height());
        let Some(say) = self.of.job.lumber_of(face.say.sheath.value.0).map(|lumber| &lumber.say) else {
            return Vec::new();
        };
        let wide = match (&say.sheet, &say.size) {
            (Some(sheet), _) => nm(sheet.wide.0.min(sheet.long.0)),
            (None, Some(size)) => nm(size.wide.0),
            (None, None) => return Vec::new(),
        };
        let steps = |whole: f64, step: f64| {
            let count = if step > 0.0 { ((whole - NEAR) / step).floor().clamp(0.0, 200.0) as u32 } else { 0 };
            (1..=count).map(move |at| f64::from(at) * step)
        };
        let upright = formwork::sheathing(self.of.job, face.say, face.panel);
        let (Some(from), Some(to)) = (upright.first().copied().map(nm), upright.last().copied().map(nm)) else {
            return Vec::new();
        };
        let joints = upright.iter().skip(1).take(upright.len().saturating_sub(2));
        let joints = joints.map(|x| [(nm(*x), 0.0), (nm(*x), height)]);
        joints.chain(steps(height, wide).map(|y| [(from, y), (to, y)])).collect()
    }

    fn draw_hold(&self, canvas: &mut Canvas, model: &Model, face: &Faced, (hold, level): (Hold, f64)) {
        let of = self.of;
        let (from, to) = face.reaching(face.boards(hold));
        let (from, to) = (nm(from), nm(to));
        let medium = stroke(Weight::Medium, Dash::Solid, Ink::Wood);
        let band = |low: f64, high: f64| {
            let fill = Some(Fill::Paper);
            Item::rectangle(model.at(from, high), model.at(to, low), medium, fill)
        };
        let say = face.say;
        let mut items = Vec::new();
        let waler = self.lumber(LumberName(formwork::waler_size(say)));
        match hold {
            Hold::Kick => {
                if let Some(size) = say.kick.as_ref().and_then(|kick| self.lumber(kick.value.size)) {
                    items.push(band(level, level + size.1));
                }
            }
            Hold::Tie(_) | Hold::Brace => {
                if let Some((thick, _)) = waler {
                    items.extend(
                        formwork::waler_boards(say, level, thick).into_iter().map(|(low, high)| band(low, high)),
                    );
                }
            }
        }
        let title = |what: &str| format!("{what} of {}", of.name(face.made.forms));
        let name = if hold == Hold::Kick { "kicker" } else { "waler" };
        canvas.back(Item::Group(Group { title: Some(title(name)), items, ..Group::default() }));
        if hold == Hold::Kick {
            let full = Some(Fill::Full(Ink::Wood));
            let stakes = face.stakes().into_iter().map(|station| {
                let at = model.at(nm(station), level);
                let ends = [(-0.9, -2.4), (0.9, -2.4), (0.0, 3.4)];
                let chain = ends.iter().map(|(x, y)| Spot::new(at.x + x, at.y + y)).collect();
                Item::Group(Group {
                    title: Some(format!("stake of the kicker: station {}", of.place(station))),
                    items: vec![Item::area(chain, medium, full)],
                    ..Group::default()
                })
            });
            stakes.for_each(|stake| canvas.front(stake));
        }
        for station in face.places(hold) {
            let at = model.at(nm(station), level);
            let bold = stroke(Weight::Medium, Dash::Solid, Ink::Main);
            let (name, items) = match hold {
                Hold::Kick => continue,
                Hold::Tie(_) => {
                    let cross = |x: f64, y: f64| {
                        Item::line(vec![Spot::new(at.x - x, at.y - y), Spot::new(at.x + x, at.y + y)], bold)
                    };
                    let ring = Item::Circle { at, radius: 1.1, stroke: bold, fill: Some(Fill::Paper) };
                    ("tie", vec![ring, cross(1.8, 0.0), cross(0.0, 1.8)])
                }
                Hold::Brace => {
                    let (a, b) = (Spot::new(at.x - 1.1, at.y - 1.1), Spot::new(at.x + 1.1, at.y + 1.1));
                    ("brace", vec![Item::rectangle(a, b, bold, Some(Fill::Full(Ink::Main)))])
                }
            };
            canvas.labels.take(Room::upright(Spot::new(at.x - 1.8, at.y - 1.8), Spot::new(at.x + 1.8, at.y + 1.8)));
            canvas.front(Item::Group(Group {
                title: Some(format!("{}: station {}", title(name), of.place(station))),
                data: vec![(name, station.nm().to_string()), ("high", Length::round_nm(level).nm().to_string())],
                items,
                ..Group::default()
            }));
        }
    }

    /// Bulkheads as lines, as far as the view goes down and up, and the holes that lie behind the form.
    fn draw_behind(&self, canvas: &mut Canvas, model: &Model, up: (f64, f64), known: &mut Vec<String>) {
        let of = self.of;
        let new: Vec<&String> = self.ends.iter().map(|(id, ..)| id).filter(|id| !known.contains(id)).collect();
        for (id, station, levels) in &self.ends {
            let (foot, top) = (levels.0.max(up.0), levels.1.min(up.1));
            if foot >= top {
                continue;
            }
            let line = vec![model.at(*station, foot), model.at(*station, top)];
            if new.contains(&id) {
                canvas.thing(id, model.at(*station, top), 2.2);
            }
            let is_first = !known.contains(id);
            if is_first {
                known.push(id.clone());
            }
            canvas.back(Item::Group(Group {
                id: is_first.then(|| id.clone()),
                title: Some("bulkhead".into()),
                items: vec![Item::line(line, stroke(Weight::Bold, Dash::Solid, Ink::Wood))],
                ..Group::default()
            }));
        }
        for (set, hole, level) in self.holes() {
            let at = model.at(nm(hole.station), nm(level));
            let radius = (model.length(set.wide) / 2.0).max(0.8);
            let line = stroke(Weight::Thin, Dash::Solid, Ink::Hole);
            let (a, b) = (Spot::new(at.x - radius, at.y - radius), Spot::new(at.x + radius, at.y + radius));
            canvas.labels.take(Room::upright(a, b));
            canvas.front(Item::Group(Group {
                title: Some(format!("{} {}, behind the form", of.name(set.id), hole.number)),
                items: vec![Item::Circle { at, radius, stroke: line, fill: None }],
                ..Group::default()
            }));
        }
    }

    fn name(&self, canvas: &mut Canvas, model: &Model, notes: &mut Vec<String>) {
        let of = self.of;
        for face in &self.faces {
            let (a, b) = (
                model.at(nm(face.left), nm(face.panel.top)),
                model.at(nm(face.station(face.panel.width)), nm(face.panel.bottom)),
            );
            let says = of.name(face.panel.section);
            let shares = [0.5, 0.42, 0.58, 0.3, 0.7, 0.2, 0.8];
            let spots = shares.iter().flat_map(|x| shares.iter().map(move |y| (*x, *y)));
            let spots = spots.map(|(x, y)| Spot::new(a.x + (b.x - a.x) * x, a.y + (b.y - a.y) * y));
            if !canvas.name_at(spots, b.x - a.x, Ink::Wood, &says) {
                notes.push(format!("Not named for want of room: {says} at station {}.", of.place(face.span().0)));
            }
        }
    }

    /// What the wood is, and how the places were found.
    fn notes(&self) -> Vec<String> {
        let of = self.of;
        let mut out: Vec<String> = Vec::new();
        let mut told = Vec::new();
        for face in &self.faces {
            if told.contains(&face.made.forms) {
                continue;
            }
            told.push(face.made.forms);
            let say = face.say;
            let name = |name: LumberName| of.name(name.0);
            let studs = &say.studs.value;
            let mut words = vec![
                format!("sheathing {}", name(say.sheath.value)),
                format!("studs {}, every {} at most", name(studs.size), of.place(studs.space.value.0)),
            ];
            if face.holds().iter().any(|(hold, _)| *hold != Hold::Kick) {
                let double = say.walers.as_ref().is_some_and(|walers| walers.value.double.is_some());
                let each = if double { ", two at each level" } else { "" };
                words.push(format!("walers {}{each}", of.name(formwork::waler_size(say))));
            }
            if let Some(ties) = &say.ties {
                words.push(format!("ties every {} at most", of.place(ties.value.space.value.0)));
            }
            if let Some(brace) = &say.brace {
                let most = of.place(brace.value.space.value.0);
                words.push(format!("braces {}, every {most} at most", name(brace.value.size)));
            }
            if let Some(kick) = &say.kick {
                words.push(format!("kicker {}", name(kick.value.size)));
            }
            out.push(format!("Form {}: {}.", of.name(face.made.forms), words.join("; ")));
        }
        let mut ripped: Vec<String> = Vec::new();
        for face in &self.faces {
            let Some((_, Some(top))) = formwork::boards_high(of.job, face.say, face.panel) else { continue };
            let says = format!("before {} rip the top board to {}", of.name(face.panel.section), of.place(top));
            if !ripped.contains(&says) {
                ripped.push(says);
            }
        }
        if !ripped.is_empty() {
            out.push(format!("Boards of the sheathing: {}.", ripped.join("; ")));
        }
        if self.faces.iter().any(|face| !face.stakes().is_empty()) {
            out.push("Filled triangles: stakes that hold the kicker.".to_owned());
        }
        out.extend(self.notes_of_ties());
        out
    }

    /// How the places of ties were found, and where there was no room for them.
    fn notes_of_ties(&self) -> Vec<String> {
        let of = self.of;
        let rows = || self.faces.iter().flat_map(|face| face.ties().map(move |row| (face, row)));
        let mut out = Vec::new();
        if rows().any(|(_, row)| row.is_clear) {
            out.push("Ties stand beside studs and joints of sheets, clear of holes and of bars that cross their rows, and no farther apart than that spacing.".to_owned());
        }
        for (face, row) in rows().filter(|(_, row)| !row.is_clear) {
            let section = of.name(face.panel.section);
            out.push(format!(
                "No room was found for row {} of the ties before {section}, from station {}: they stand in the middle of equal shares. One that meets a stud, a hole or a bar is moved beside it, no farther from its neighbours than that spacing.",
                row.row + 1,
                of.place(face.span().0)
            ));
        }
        let mut told: Vec<(usize, Vec<BlockId>)> = Vec::new();
        for (_, row) in rows().filter(|(_, row)| !row.bars_along.is_empty()) {
            if told.contains(&(row.row, row.bars_along.clone())) {
                continue;
            }
            told.push((row.row, row.bars_along.clone()));
            let bars: Vec<String> = row.bars_along.iter().map(|bars| of.name(*bars)).collect();
            out.push(format!(
                "At the level of row {} of the ties, {}, bars lie along the wall ({}): each tie passes just over or under them.",
                row.row + 1,
                of.place(row.level),
                bars.join(", ")
            ));
        }
        out
    }
}

//! The work from a corner: parallel lines stay parallel, the new concrete is transparent, and bars and holes show in it.

use super::{
    Drawing, Of, View,
    canvas::Canvas,
    lettering::SMALL,
    scene::{Dash, Fill, Group, Ink, Item, Spot, Weight, stroke},
    seen::{self, Seen, nm},
    sheet::{self, Scale, scale_for},
    slant::{Prism, Slant, between},
};
use crate::{
    concrete::OldPart,
    geometry::Outline,
    steel::{Place, lines},
    units::Length,
};

/// Chords leave the arcs of bends by no more than this, in nanometres.
const ARC: f64 = 200_000.0;
/// How far beside the face, in degrees, where only one side is to be seen.
const BESIDE: f64 = 32.0;

/// The view; none of a job without sections.
pub fn draw(of: &Of) -> Vec<Drawing> {
    let legs = seen::legs(of);
    if of.works.sections.placed.is_empty() || legs.is_empty() {
        return Vec::new();
    }
    vec![Corner::new(of, &legs).draw(&legs)]
}

struct Corner<'c, 'w> {
    of: &'c Of<'w>,
    slant: Slant,
}

/// Whether two places are one, but for rounding.
fn meets(one: [f64; 3], other: [f64; 3]) -> bool {
    one.iter().zip(other).all(|(a, b)| (a - b).abs() < 1.0)
}

/// Lines on the sheet, by whether bodies hide them.
#[derive(Default)]
struct Lines {
    shown: Vec<Vec<Spot>>,
    hidden: Vec<Vec<Spot>>,
}

impl Lines {
    /// What is hidden dashed, under what is seen.
    fn items(&self, (shown, hidden): (Weight, Weight), ink: Ink) -> Vec<Item> {
        let sorts = [(&self.hidden, hidden, Dash::Hidden), (&self.shown, shown, Dash::Solid)];
        let some = sorts.into_iter().filter(|(chains, ..)| !chains.is_empty());
        some.map(|(chains, weight, dash)| Item::Lines {
            chains: chains.clone(),
            closed: false,
            stroke: stroke(weight, dash, ink),
            fill: None,
        })
        .collect()
    }
}

impl<'c, 'w> Corner<'c, 'w> {
    /// Looks from where most faces are seen, and all of them slantwise.
    fn new(of: &'c Of<'w>, legs: &[Seen]) -> Corner<'c, 'w> {
        let normals: Vec<(f64, f64)> = legs
            .iter()
            .filter_map(|seen| of.works.standing.chain(seen.on)?.run.frame(usize::from(seen.on.leg)))
            .map(|frame| (frame.outward().x, frame.outward().y))
            .collect();
        let sum = normals.iter().fold((0.0, 0.0), |sum, normal| (sum.0 + normal.0, sum.1 + normal.1));
        let length = f64::hypot(sum.0, sum.1);
        let first = normals.first().copied().unwrap_or((0.0, -1.0));
        let middle = if length > 0.3 { (sum.0 / length, sum.1 / length) } else { first };
        let slant = |way: (f64, f64)| {
            normals.iter().all(|normal| {
                let share = normal.0 * way.0 + normal.1 * way.1;
                (0.2..0.95).contains(&share)
            })
        };
        let turned = |degrees: f64| {
            let (sin, cos) = degrees.to_radians().sin_cos();
            (middle.0 * cos - middle.1 * sin, middle.0 * sin + middle.1 * cos)
        };
        let tried = [0.0, BESIDE, -BESIDE].into_iter().map(turned).find(|way| slant(*way));
        Corner { of, slant: Slant { towards: tried.unwrap_or_else(|| turned(BESIDE)) } }
    }

    fn draw(&self, legs: &[Seen]) -> Drawing {
        let of = self.of;
        let standing = &of.works.standing;
        let mut walls: Vec<_> =
            legs.iter().filter_map(|seen| standing.chain(seen.on)).map(|chain| chain.wall).collect();
        walls.sort_unstable();
        walls.dedup();
        let parts: Vec<_> = walls.iter().flat_map(|wall| standing.old(of.job, *wall, &[])).collect();
        // Parts of one height that meet are one body, and no seam shows.
        let mut old: Vec<(bool, Length, Length, Vec<Outline>)> = Vec::new();
        for part in parts {
            let is_wall = part.tag == OldPart::Wall;
            match old.iter_mut().find(|body| (body.0, body.1, body.2) == (is_wall, part.bottom, part.top)) {
                Some(body) => body.3.push(part.outline),
                None => old.push((is_wall, part.bottom, part.top, vec![part.outline])),
            }
        }
        let old: Vec<(bool, Outline, f64, f64)> = old
            .into_iter()
            .flat_map(|(is_wall, bottom, top, outlines)| {
                let united = Outline::united(&outlines).into_iter();
                united.map(move |outline| (is_wall, outline, nm(bottom), nm(top)))
            })
            .collect();
        let placed = &of.works.sections.placed;
        let mut span = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
        let olds = old.iter().map(|(_, outline, bottom, top)| (outline, *bottom, *top));
        let news = placed
            .iter()
            .flat_map(|section| section.outlines.iter().map(|outline| (outline, nm(section.bottom), nm(section.top))));
        for (outline, bottom, top) in olds.clone().chain(news.clone()) {
            for (from, _, _) in outline.edges() {
                for level in [bottom, top] {
                    let (x, y) = self.slant.project([from.x, from.y, level]);
                    span = [span[0].min(x), span[1].min(y), span[2].max(x), span[3].max(y)];
                }
            }
        }
        let work = ((span[2] - span[0]) * 1e-6, (span[3] - span[1]) * 1e-6);
        let sheet = sheet::upright(of.system);
        let scale = scale_for(work, (sheet.width - 24.0, 150.0), of.smaller);
        let per_mm = 1.0 / f64::from(scale);
        let mut canvas = Canvas::default();
        let under = format!(
            "{}. The new concrete is drawn transparent. {}Not to be measured: lines along the {} are shortened.",
            of.title(),
            if of.works.sections.voids.is_empty() { "" } else { "White in it: left empty. " },
            if old.is_empty() { "legs" } else { "wall" }
        );
        let top = canvas.head(of.flags, sheet.width, "The work from a corner", &under) + 10.0;
        let left = (sheet.width - work.0 * per_mm) / 2.0;
        let on = |right: f64, up: f64| {
            Spot::new(left + (right - span[0]) * 1e-6 * per_mm, top + (span[3] - up) * 1e-6 * per_mm)
        };
        let at = |place: [f64; 3]| {
            let (right, up) = self.slant.project(place);
            on(right, up)
        };
        let bottom = top + work.1 * per_mm;
        let prism = |(outline, bottom, top)| Prism { outline, bottom, top };
        let opaque: Vec<Prism> = olds.map(prism).collect();
        // What is new is looked through: it hides the edges of what is new, and nothing old.
        let every: Vec<Prism> = opaque.iter().copied().chain(news.map(prism)).collect();
        let areas = |body: &Prism, fill: Fill| -> Vec<Item> {
            let part = |part: Outline| Item::Lines {
                chains: part
                    .rings
                    .iter()
                    .map(|ring| ring.iter().map(|edge| on(edge.from.x, edge.from.y)).collect())
                    .collect(),
                closed: true,
                stroke: None,
                fill: Some(fill),
            };
            self.slant.seen(body, &opaque).into_iter().map(part).collect()
        };
        // Of every face only what no old body stands before is there, so the order of areas is of no weight; edges lie over
        // all areas of their own sort.
        for ((is_wall, ..), body) in old.iter().zip(&opaque) {
            let title = if *is_wall { "the old wall" } else { "the old footing" };
            let items = areas(body, Fill::OldSeen);
            canvas.lowest(Item::Group(Group { title: Some(title.into()), items, ..Group::default() }));
        }
        for body in &opaque {
            let lines = self.lines(body.edges(), &at, &opaque);
            lines.items((Weight::Medium, Weight::Thin), Ink::Main).into_iter().for_each(|item| canvas.lowest(item));
            lines.shown.iter().for_each(|line| canvas.avoid(line));
        }
        for section in placed {
            let bodies = section.outlines.iter().map(|outline| prism((outline, nm(section.bottom), nm(section.top))));
            canvas.under(Item::Group(Group {
                title: Some(format!("new concrete, section {}", of.name(section.id))),
                data: vec![("section", of.job.name(section.id).to_owned())],
                items: bodies.flat_map(|body| areas(&body, Fill::NewSeen)).collect(),
                ..Group::default()
            }));
        }
        for body in &every[opaque.len()..] {
            let lines = self.lines(body.edges(), &at, &every);
            lines.items((Weight::Bold, Weight::Thin), Ink::Main).into_iter().for_each(|item| canvas.under(item));
            lines.shown.iter().for_each(|line| canvas.avoid(line));
        }
        for void in &of.works.sections.voids {
            let bodies: Vec<Prism> =
                void.outlines.iter().map(|outline| prism((outline, nm(void.bottom), nm(void.top)))).collect();
            let mut items: Vec<Item> = bodies.iter().flat_map(|body| areas(body, Fill::Paper)).collect();
            let past: Vec<Prism> = opaque.iter().chain(&bodies).copied().collect();
            for body in &bodies {
                let lines = self.lines(body.edges(), &at, &past);
                items.extend(lines.items((Weight::Medium, Weight::Thin), Ink::Main));
                lines.shown.iter().for_each(|line| canvas.avoid(line));
            }
            canvas.under(Item::Group(Group {
                title: Some(format!("left empty: {}", of.name(void.id))),
                data: vec![("void", of.job.name(void.id).to_owned())],
                items,
                ..Group::default()
            }));
        }
        self.draw_steel(&mut canvas, &at, per_mm, &opaque);
        canvas.labels.within = Some((Spot::new(0.0, top - 9.0), Spot::new(sheet.width, bottom + 9.0)));
        let crowded = self.write_names(&mut canvas, legs, &at);
        canvas.labels.within = None;
        let mut y = bottom + 10.0;
        let mut notes = Vec::new();
        if !crowded.is_empty() {
            notes.push(format!("Not named for want of room: {}.", crowded.join(", ")));
        }
        let mut scale = Scale::new(scale, of.system);
        scale.name = "upright and across the view; shorter along".into();
        y += canvas.scale_bar(y, 6.0, &scale) + 1.5;
        y += canvas.notes(y, sheet.width, &notes);
        let sections: Vec<String> = placed.iter().map(|section| of.name(section.id)).collect();
        Drawing {
            id: "corner".into(),
            view: View::Corner,
            title: "The work from a corner".into(),
            description: format!(
                "{}, seen slantwise from above: {}. Bars and holes show through.",
                if old.is_empty() { "The new concrete" } else { "The old wall with the new concrete before it" },
                sections.join(", ")
            ),
            width: sheet.width,
            height: y + 1.5,
            lying: false,
            model: None,
            items: canvas.items(),
        }
    }

    /// Lines in space as they are seen past these bodies.
    fn lines(
        &self,
        all: impl IntoIterator<Item = [[f64; 3]; 2]>,
        at: &dyn Fn([f64; 3]) -> Spot,
        past: &[Prism],
    ) -> Lines {
        let mut out = Lines::default();
        let mut last: Option<(bool, [f64; 3])> = None;
        for [from, to] in all {
            for (begin, end, is_hidden) in self.slant.pieces([from, to], past) {
                let (begin, end) = (between(from, to, begin), between(from, to, end));
                let chains = if is_hidden { &mut out.hidden } else { &mut out.shown };
                let goes_on = last.is_some_and(|(hidden, end)| hidden == is_hidden && meets(end, begin));
                match chains.last_mut().filter(|_| goes_on) {
                    Some(chain) => chain.push(at(end)),
                    None => chains.push(vec![at(begin), at(end)]),
                }
                last = Some((is_hidden, end));
            }
        }
        out
    }

    fn draw_steel(&self, canvas: &mut Canvas, at: &dyn Fn([f64; 3]) -> Spot, per_mm: f64, opaque: &[Prism]) {
        let of = self.of;
        for set in of.sets() {
            for hole in set.each() {
                let Some(segment) = set.segment(&hole, &of.works.standing) else { continue };
                let (from, to) = (at(segment.from), at(segment.to));
                let radius = (set.wide.nm() as f64 * 1e-6 * per_mm / 2.0).max(0.6);
                // A mouth on the far side of an old body is a thin ring.
                let is_hidden = opaque.iter().any(|body| self.slant.hides(body, segment.from));
                let weight = if is_hidden { Weight::Thin } else { Weight::Medium };
                let ring = stroke(weight, Dash::Solid, Ink::Hole);
                let fill = Some(Fill::Paper).filter(|_| !is_hidden);
                canvas.back(Item::Group(Group {
                    title: Some(format!("{} {}", of.name(set.id), hole.number)),
                    data: vec![("hole", format!("{} {}", of.job.name(set.id), hole.number))],
                    items: vec![
                        Item::line(vec![from, to], stroke(weight, Dash::Hidden, Ink::Hole)),
                        Item::Circle { at: from, radius, stroke: ring, fill },
                    ],
                    ..Group::default()
                }));
            }
        }
        for made in &of.works.bars {
            for (group_at, group) in made.groups.iter().enumerate() {
                let set = match group.place {
                    Place::Holes(set) => of.set(set),
                    _ => None,
                };
                for line in lines(made, group, set, &of.works.standing) {
                    let mut parts: Vec<[[f64; 3]; 2]> =
                        line.walk.segments(ARC).iter().map(|segment| [segment.from, segment.to]).collect();
                    // Of a dowel only what stands out of its hole.
                    if matches!(group.place, Place::Holes(_))
                        && let Some(set) = set
                        && let [[bottom, end]] = parts.as_mut_slice()
                    {
                        let share = set.deep.nm() as f64 / (group.shape.cut.nm() as f64).max(1.0);
                        *bottom = between(*bottom, *end, share);
                    }
                    let lines = self.lines(parts, at, opaque);
                    lines.shown.iter().for_each(|line| canvas.avoid(line));
                    canvas.back(Item::Group(Group {
                        title: Some(format!("{} {}, mark {}", of.name(made.id), line.number, group.mark)),
                        data: vec![
                            ("bar", of.job.name(made.id).to_owned()),
                            ("group", group_at.to_string()),
                            ("number", line.number.to_string()),
                        ],
                        items: lines.items((Weight::Bold, Weight::Medium), Ink::Steel),
                        ..Group::default()
                    }));
                }
            }
        }
    }

    /// Names of sections, legs, sets of holes and blocks of bars; gives those without room.
    fn write_names(&self, canvas: &mut Canvas, legs: &[Seen], at: &dyn Fn([f64; 3]) -> Spot) -> Vec<String> {
        let of = self.of;
        let mut crowded = Vec::new();
        let mut label = |canvas: &mut Canvas, spot: Spot, ink: Ink, says: String| {
            if !canvas.label(spot, 2.2, SMALL, ink, &says) {
                crowded.push(says);
            }
        };
        let frame = |seen: &Seen| of.works.standing.chain(seen.on)?.run.frame(usize::from(seen.on.leg));
        let (mut named, mut marks) = (Vec::new(), Vec::new());
        for seen in legs {
            let Some(frame) = frame(seen) else { continue };
            let place = |[station, offset, level]: [f64; 3]| {
                let spot = frame.at(station, offset);
                at([spot.x, spot.y, level])
            };
            for section in &seen.sections {
                if named.contains(&section.id) {
                    continue;
                }
                named.push(section.id);
                let middle = (section.face.0 + section.face.1) / 2.0;
                let out = (section.depth.0 + section.depth.1) / 2.0;
                label(canvas, place([middle, out, section.levels.1]), Ink::Main, of.name(section.id));
            }
            for (id, along, levels) in &seen.voids {
                if !named.contains(id) {
                    named.push(*id);
                    let out = seen.sections.iter().map(|section| section.depth.1).fold(0.0, f64::max);
                    let middle = [(along.0 + along.1) / 2.0, out, (levels.0 + levels.1) / 2.0];
                    label(canvas, place(middle), Ink::Main, of.name(*id));
                }
            }
            if let Some((_, top)) = seen.wall {
                let middle = nm(seen.length) * 0.5;
                let back = -(seen.thick.map_or(0.0, nm) / 2.0).min(100e6);
                label(canvas, place([middle, back, nm(top)]), Ink::Main, format!("leg {}", of.leg(seen.on)));
            }
            for (set, hole) in &seen.holes {
                if named.contains(&set.id) {
                    continue;
                }
                named.push(set.id);
                if let Some(segment) = set.segment(hole, &of.works.standing) {
                    let says = format!("{} 1 to {}", of.name(set.id), set.count);
                    label(canvas, at(segment.from), Ink::Hole, says);
                }
            }
            for bar in &seen.bars {
                if marks.contains(&bar.group.mark) {
                    continue;
                }
                marks.push(bar.group.mark);
                let alone =
                    of.works.bars.iter().all(|made| {
                        made.id == bar.made.id || made.groups.iter().all(|group| group.mark != bar.group.mark)
                    });
                if let Some(end) = bar.chains.first().and_then(|chain| chain.last()) {
                    let says = if alone {
                        format!("{}, mark {}", of.name(bar.made.id), bar.group.mark)
                    } else {
                        format!("mark {}", bar.group.mark)
                    };
                    label(canvas, place(*end), Ink::Steel, says);
                }
            }
        }
        crowded
    }
}

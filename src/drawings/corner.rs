//! The work from a corner: parallel lines stay parallel, the new concrete is transparent, and bars and holes show in it.

use super::{
    Drawing, Of, View,
    canvas::Canvas,
    lettering::SMALL,
    scene::{Dash, Fill, Group, Ink, Item, Spot, Weight, stroke},
    seen::{self, Seen, nm},
    sheet::{self, Scale, scale_for},
};
use crate::{
    concrete::OldPart,
    geometry::{Outline, Point},
    steel::{Place, lines},
};

/// How far above the level one looks from, in degrees.
const ABOVE: f64 = 28.0;
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
    /// Towards the viewer, in plan; a unit vector.
    towards: (f64, f64),
}

/// An upright prism.
struct Prism<'p> {
    outline: &'p Outline,
    bottom: f64,
    top: f64,
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
        Corner { of, towards: tried.unwrap_or_else(|| turned(BESIDE)) }
    }

    /// To the right and up as it is seen, in nanometres.
    fn project(&self, x: f64, y: f64, height: f64) -> (f64, f64) {
        let (sin, cos) = ABOVE.to_radians().sin_cos();
        let right = -x * self.towards.1 + y * self.towards.0;
        let near = x * self.towards.0 + y * self.towards.1;
        (right, height * cos - near * sin)
    }

    fn draw(&self, legs: &[Seen]) -> Drawing {
        let of = self.of;
        let standing = &of.works.standing;
        let mut walls: Vec<_> =
            legs.iter().filter_map(|seen| standing.chain(seen.on)).map(|chain| chain.wall).collect();
        walls.sort_unstable();
        walls.dedup();
        let old: Vec<_> = walls.iter().flat_map(|wall| standing.old(of.job, *wall, &[])).collect();
        let placed = &of.works.sections.placed;
        let mut span = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
        let olds = old.iter().map(|part| (&part.outline, nm(part.bottom), nm(part.top)));
        let news = placed
            .iter()
            .flat_map(|section| section.outlines.iter().map(|outline| (outline, nm(section.bottom), nm(section.top))));
        for (outline, bottom, top) in olds.clone().chain(news.clone()) {
            for (from, _, _) in outline.edges() {
                for level in [bottom, top] {
                    let (x, y) = self.project(from.x, from.y, level);
                    span = [span[0].min(x), span[1].min(y), span[2].max(x), span[3].max(y)];
                }
            }
        }
        let work = ((span[2] - span[0]) * 1e-6, (span[3] - span[1]) * 1e-6);
        let sheet = sheet::upright(of.system);
        let scale = scale_for(work, (sheet.width - 24.0, 150.0));
        let per_mm = 1.0 / f64::from(scale);
        let mut canvas = Canvas::default();
        let under = format!(
            "{}. The new concrete is drawn transparent. Not to be measured: lines along the wall are shortened.",
            of.title()
        );
        let top = canvas.head(sheet.width, "The work from a corner", &under) + 10.0;
        let left = (sheet.width - work.0 * per_mm) / 2.0;
        let at = |x: f64, y: f64, height: f64| {
            let (right, up) = self.project(x, y, height);
            Spot::new(left + (right - span[0]) * 1e-6 * per_mm, top + (span[3] - up) * 1e-6 * per_mm)
        };
        let bottom = top + work.1 * per_mm;
        for (part, (outline, low, high)) in old.iter().zip(olds) {
            let is_wall = part.tag == OldPart::Wall;
            let title = if is_wall { "the old wall" } else { "the old footing" };
            let items =
                self.prism(&Prism { outline, bottom: low, top: high }, &at, (Weight::Medium, Some(Fill::OldSeen)));
            canvas.lowest(Item::Group(Group { title: Some(title.into()), items, ..Group::default() }));
        }
        self.draw_steel(&mut canvas, &at, per_mm);
        for section in placed {
            let mut items = Vec::new();
            for outline in &section.outlines {
                let prism = Prism { outline, bottom: nm(section.bottom), top: nm(section.top) };
                items.extend(self.prism(&prism, &at, (Weight::Bold, Some(Fill::NewSeen))));
            }
            canvas.under(Item::Group(Group {
                title: Some(format!("new concrete, section {}", of.name(section.id))),
                data: vec![("section", of.job.name(section.id).to_owned())],
                items,
                ..Group::default()
            }));
        }
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
                "The old wall with the new concrete before it, seen slantwise from above: {}. Bars and holes show through.",
                sections.join(", ")
            ),
            width: sheet.width,
            height: y + 1.5,
            lying: false,
            model: None,
            items: canvas.items(),
        }
    }

    /// The faces one sees, and the edges: those behind are dashed.
    fn prism(
        &self,
        prism: &Prism,
        at: &dyn Fn(f64, f64, f64) -> Spot,
        (weight, fill): (Weight, Option<Fill>),
    ) -> Vec<Item> {
        let mut items = Vec::new();
        let (mut hidden, mut shown): (Vec<Vec<Spot>>, Vec<Vec<Spot>>) = (Vec::new(), Vec::new());
        let mut faces = Vec::new();
        for ring in &prism.outline.rings {
            let points: Vec<Point> = ring.iter().map(|edge| edge.from).collect();
            let count = points.len();
            // Rings run round the inside on their left: the outside is to the right of every edge.
            let seen: Vec<bool> = (0..count)
                .map(|edge| {
                    let (a, b) = (points[edge], points[(edge + 1) % count]);
                    (b.y - a.y) * self.towards.0 - (b.x - a.x) * self.towards.1 > 0.0
                })
                .collect();
            for edge in 0..count {
                let (a, b) = (points[edge], points[(edge + 1) % count]);
                let low = vec![at(a.x, a.y, prism.bottom), at(b.x, b.y, prism.bottom)];
                let before = seen[(edge + count - 1) % count];
                let upright = vec![at(a.x, a.y, prism.bottom), at(a.x, a.y, prism.top)];
                shown.push(vec![at(a.x, a.y, prism.top), at(b.x, b.y, prism.top)]);
                if seen[edge] {
                    shown.push(low.clone())
                } else {
                    hidden.push(low.clone())
                }
                if seen[edge] || before {
                    shown.push(upright)
                } else {
                    hidden.push(upright)
                }
                if seen[edge] {
                    faces.push(vec![low[0], low[1], at(b.x, b.y, prism.top), at(a.x, a.y, prism.top)]);
                }
            }
        }
        let tops = prism
            .outline
            .rings
            .iter()
            .map(|ring| ring.iter().map(|edge| at(edge.from.x, edge.from.y, prism.top)).collect::<Vec<Spot>>());
        items.push(Item::Lines { chains: tops.collect(), closed: true, stroke: None, fill });
        items.extend(faces.into_iter().map(|face| Item::area(face, None, fill)));
        let dashed = stroke(Weight::Thin, Dash::Hidden, Ink::Main);
        items.push(Item::Lines { chains: hidden, closed: false, stroke: dashed, fill: None });
        items.push(Item::Lines {
            chains: shown,
            closed: false,
            stroke: stroke(weight, Dash::Solid, Ink::Main),
            fill: None,
        });
        items
    }

    fn draw_steel(&self, canvas: &mut Canvas, at: &dyn Fn(f64, f64, f64) -> Spot, per_mm: f64) {
        let of = self.of;
        for set in of.works.sets.values() {
            for hole in set.each() {
                let Some(segment) = set.segment(&hole, &of.works.standing) else { continue };
                let spot = |[x, y, z]: [f64; 3]| at(x, y, z);
                let (from, to) = (spot(segment.from), spot(segment.to));
                let radius = (set.wide.nm() as f64 * 1e-6 * per_mm / 2.0).max(0.6);
                let medium = stroke(Weight::Medium, Dash::Solid, Ink::Hole);
                canvas.back(Item::Group(Group {
                    title: Some(format!("{} {}", of.name(set.id), hole.number)),
                    data: vec![("hole", format!("{} {}", of.job.name(set.id), hole.number))],
                    items: vec![
                        Item::line(vec![from, to], stroke(Weight::Medium, Dash::Hidden, Ink::Hole)),
                        Item::Circle { at: from, radius, stroke: medium, fill: Some(Fill::Paper) },
                    ],
                    ..Group::default()
                }));
            }
        }
        for made in &of.works.bars {
            for (group_at, group) in made.groups.iter().enumerate() {
                let set = match group.place {
                    Place::Holes(set) => of.works.sets.get(&set),
                    _ => None,
                };
                for line in lines(made, group, set, &of.works.standing) {
                    let mut points: Vec<Spot> = Vec::new();
                    for segment in line.walk.segments(200_000.0) {
                        if points.is_empty() {
                            points.push(at(segment.from[0], segment.from[1], segment.from[2]));
                        }
                        points.push(at(segment.to[0], segment.to[1], segment.to[2]));
                    }
                    // Of a dowel only what stands out of its hole.
                    if matches!(group.place, Place::Holes(_))
                        && let Some(set) = set
                        && let [bottom, end] = points.as_slice()
                    {
                        let share = set.deep.nm() as f64 / (group.shape.cut.nm() as f64).max(1.0);
                        let mouth =
                            Spot::new(bottom.x + (end.x - bottom.x) * share, bottom.y + (end.y - bottom.y) * share);
                        points = vec![mouth, *end];
                    }
                    canvas.back(Item::Group(Group {
                        title: Some(format!("{} {}, mark {}", of.name(made.id), line.number, group.mark)),
                        data: vec![
                            ("bar", of.job.name(made.id).to_owned()),
                            ("group", group_at.to_string()),
                            ("number", line.number.to_string()),
                        ],
                        items: vec![Item::line(points, stroke(Weight::Bold, Dash::Solid, Ink::Steel))],
                        ..Group::default()
                    }));
                }
            }
        }
    }

    /// Names of sections, legs, sets of holes and blocks of bars; gives those without room.
    fn write_names(&self, canvas: &mut Canvas, legs: &[Seen], at: &dyn Fn(f64, f64, f64) -> Spot) -> Vec<String> {
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
                at(spot.x, spot.y, level)
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
                    let [x, y, z] = segment.from;
                    let says = format!("{} 1 to {}", of.name(set.id), set.count);
                    label(canvas, at(x, y, z), Ink::Hole, says);
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

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

impl Prism<'_> {
    /// Its edges: round its foot, round its top, and those that stand.
    fn edges(&self) -> impl Iterator<Item = [[f64; 3]; 2]> + '_ {
        let (low, high) = (self.bottom, self.top);
        self.outline.edges().flat_map(move |(a, b, _)| {
            [
                [[a.x, a.y, low], [b.x, b.y, low]],
                [[a.x, a.y, high], [b.x, b.y, high]],
                [[a.x, a.y, low], [a.x, a.y, high]],
            ]
        })
    }
}

/// The place so far on from one to another.
fn between(from: [f64; 3], to: [f64; 3], share: f64) -> [f64; 3] {
    let [x, y, z] = from;
    [x + (to[0] - x) * share, y + (to[1] - y) * share, z + (to[2] - z) * share]
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
        let prism = |(outline, bottom, top)| Prism { outline, bottom, top };
        let opaque: Vec<Prism> = olds.map(prism).collect();
        // What is new is looked through: it hides the edges of what is new, and nothing old.
        let every: Vec<Prism> =
            old.iter().map(|part| (&part.outline, nm(part.bottom), nm(part.top))).chain(news).map(prism).collect();
        for (part, body) in old.iter().zip(&opaque) {
            let is_wall = part.tag == OldPart::Wall;
            let title = if is_wall { "the old wall" } else { "the old footing" };
            let items = self.prism(&mut canvas, body, &at, (Weight::Medium, Some(Fill::OldSeen)), &opaque);
            canvas.lowest(Item::Group(Group { title: Some(title.into()), items, ..Group::default() }));
        }
        self.draw_steel(&mut canvas, &at, per_mm);
        for section in placed {
            let mut items = Vec::new();
            for outline in &section.outlines {
                let body = Prism { outline, bottom: nm(section.bottom), top: nm(section.top) };
                items.extend(self.prism(&mut canvas, &body, &at, (Weight::Bold, Some(Fill::NewSeen)), &every));
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

    /// The faces one sees, and the edges: those that these bodies hide are dashed.
    fn prism(
        &self,
        canvas: &mut Canvas,
        prism: &Prism,
        at: &dyn Fn(f64, f64, f64) -> Spot,
        (weight, fill): (Weight, Option<Fill>),
        bodies: &[Prism],
    ) -> Vec<Item> {
        let mut items = Vec::new();
        let mut faces = Vec::new();
        for ring in &prism.outline.rings {
            let points: Vec<Point> = ring.iter().map(|edge| edge.from).collect();
            let count = points.len();
            for edge in 0..count {
                let (a, b) = (points[edge], points[(edge + 1) % count]);
                // Rings run round the inside on their left: the outside is to the right of every edge.
                if (b.y - a.y) * self.towards.0 - (b.x - a.x) * self.towards.1 > 0.0 {
                    let corners = [(a, prism.bottom), (b, prism.bottom), (b, prism.top), (a, prism.top)];
                    faces.push(corners.map(|(at_point, level)| at(at_point.x, at_point.y, level)).to_vec());
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
        let (mut hidden, mut shown): (Vec<Vec<Spot>>, Vec<Vec<Spot>>) = (Vec::new(), Vec::new());
        for [from, to] in prism.edges() {
            let spot = |share: f64| {
                let [x, y, z] = between(from, to, share);
                at(x, y, z)
            };
            for (begin, end, is_hidden) in self.pieces([from, to], bodies) {
                let line = vec![spot(begin), spot(end)];
                if is_hidden {
                    hidden.push(line);
                } else {
                    canvas.avoid(&line);
                    shown.push(line);
                }
            }
        }
        for (chains, stroke) in
            [(hidden, stroke(Weight::Thin, Dash::Hidden, Ink::Main)), (shown, stroke(weight, Dash::Solid, Ink::Main))]
        {
            if !chains.is_empty() {
                items.push(Item::Lines { chains, closed: false, stroke, fill: None });
            }
        }
        items
    }

    /// The pieces of an edge that are seen and those that bodies hide, by their shares of it. An edge changes only where it
    /// crosses another edge as it is seen.
    fn pieces(&self, [from, to]: [[f64; 3]; 2], bodies: &[Prism]) -> Vec<(f64, f64, bool)> {
        let seen = |[x, y, z]: [f64; 3]| self.project(x, y, z);
        let (a, b) = (seen(from), seen(to));
        let along = (b.0 - a.0, b.1 - a.1);
        let mut cuts = vec![0.0, 1.0];
        for [c, d] in bodies.iter().flat_map(Prism::edges) {
            let (c, d) = (seen(c), seen(d));
            let across = (d.0 - c.0, d.1 - c.1);
            let turn = along.0 * across.1 - along.1 * across.0;
            if turn.abs() < 1.0 {
                continue;
            }
            let off = (c.0 - a.0, c.1 - a.1);
            let share = (off.0 * across.1 - off.1 * across.0) / turn;
            let on_other = (off.0 * along.1 - off.1 * along.0) / turn;
            if (1e-6..=1.0 - 1e-6).contains(&share) && (-1e-6..=1.0 + 1e-6).contains(&on_other) {
                cuts.push(share);
            }
        }
        cuts.sort_by(f64::total_cmp);
        let mut out: Vec<(f64, f64, bool)> = Vec::new();
        for pair in cuts.windows(2) {
            let &[begin, end] = pair else { continue };
            if end - begin < 1e-6 {
                continue;
            }
            let middle = between(from, to, (begin + end) / 2.0);
            let is_hidden = bodies.iter().any(|body| self.hides(body, middle));
            match out.last_mut() {
                Some(last) if last.2 == is_hidden => last.1 = end,
                _ => out.push((begin, end, is_hidden)),
            }
        }
        out
    }

    /// Whether a body lies between a place and the viewer: the way there runs through it for more than a hair's breadth.
    fn hides(&self, body: &Prism, [x, y, z]: [f64; 3]) -> bool {
        const HAIR: f64 = 20_000.0;
        let rise = ABOVE.to_radians().tan();
        let (low, high) = ((body.bottom - z) / rise, (body.top - z) / rise);
        let (low, high) = (low.max(0.0), high);
        if high - low < HAIR {
            return false;
        }
        // Where the way crosses the outline in plan; inside between every second pair.
        let (tx, ty) = self.towards;
        let mut crossed: Vec<f64> = Vec::new();
        for (a, b, _) in body.outline.edges() {
            let (side_a, side_b) = ((a.x - x) * ty - (a.y - y) * tx, (b.x - x) * ty - (b.y - y) * tx);
            if (side_a > 0.0) != (side_b > 0.0) {
                let share = side_a / (side_a - side_b);
                let (cx, cy) = (a.x + (b.x - a.x) * share - x, a.y + (b.y - a.y) * share - y);
                crossed.push(cx * tx + cy * ty);
            }
        }
        crossed.sort_by(f64::total_cmp);
        crossed.chunks(2).any(|pair| match pair {
            [enters, leaves] => leaves.min(high) - enters.max(low) > HAIR,
            _ => false,
        })
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
                    canvas.avoid(&points);
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

#[cfg(test)]
mod tests {
    use super::*;

    /// A wall of two metres, seen from before and above, and a block behind its left half.
    #[test]
    fn what_is_behind_another_body_is_hidden_just_so_far() {
        let (job, works, flags) =
            (crate::job::Job::default(), crate::works::Works::default(), super::super::Flags::default());
        let of = Of { job: &job, works: &works, flags: &flags, system: crate::units::System::Metric };
        let corner = Corner { of: &of, towards: (0.0, -1.0) };
        let square = |from: (f64, f64), to: (f64, f64)| {
            let point = |x: f64, y: f64| Point::new(x * 1e9, y * 1e9);
            Outline::polygon(&[point(from.0, from.1), point(to.0, from.1), point(to.0, to.1), point(from.0, to.1)])
        };
        let (wall, block) = (square((0.0, 0.0), (2.0, 0.2)), square((-1.0, 1.0), (1.0, 1.5)));
        let bodies =
            [Prism { outline: &wall, bottom: 0.0, top: 2e9 }, Prism { outline: &block, bottom: 0.0, top: 0.5e9 }];
        // The lower front edge of the block: free left of the wall, hidden behind it.
        let pieces = corner.pieces([[-1e9, 1e9, 0.0], [1e9, 1e9, 0.0]], &bodies);
        assert_eq!(pieces.len(), 2, "{pieces:?}");
        assert!(!pieces[0].2 && pieces[1].2 && (pieces[0].1 - 0.5).abs() < 1e-9, "{pieces:?}");
        // The wall's own: its foot before is seen, its foot behind is not, its top is.
        let foot = |y: f64, z: f64| corner.pieces([[0.0, y, z], [2e9, y, z]], &bodies);
        assert_eq!(foot(0.0, 0.0), [(0.0, 1.0, false)]);
        assert_eq!(foot(0.2e9, 0.0), [(0.0, 1.0, true)]);
        assert_eq!(foot(0.2e9, 2e9), [(0.0, 1.0, false)]);
    }
}

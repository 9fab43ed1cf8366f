//! Cross-sections: what a cut across the wall shows, with what lies just behind it; the form that stands before it, and the
//! cover over the steel.

mod alike;
mod covers;
mod old;
mod station;
mod wood;
mod words;

pub use self::station::{AtFault, Station, station};
use self::{
    alike::{Alike, BarCut, Runs, looks, nicest},
    wood::STAKE,
};
use super::{
    Drawing, Of, View,
    canvas::Canvas,
    elevation::{bar_item, chains},
    labels::Room,
    lettering::{self, SMALL},
    scene::{Dash, Fill, Group, Ink, Item, Spot, Weight, stroke},
    seen::{self, nm},
    sheet::{self, Model, Scale, scale_for},
};
use crate::{
    geometry::{Frame, Point},
    holes::{Hole, Set},
    units::Length,
};

/// The cross-sections at these stations, or at one of each stretch that looks alike.
pub fn draw(of: &Of, stations: &[Station]) -> Vec<Drawing> {
    let legs = seen::legs(of);
    let mut cuts: Vec<Alike> = Vec::new();
    for seen in &legs {
        if seen.sections.is_empty() {
            continue;
        }
        let mut breaks: Vec<f64> = vec![0.0, nm(seen.length)];
        breaks.extend(seen.sections.iter().flat_map(|section| [section.face.0, section.face.1]));
        breaks.extend(seen.voids.iter().flat_map(|(_, along, _)| [along.0, along.1]));
        breaks.extend(seen.slabs.iter().flat_map(|slab| &slab.removed).flat_map(|gone| [gone.along.0, gone.along.1]));
        breaks.sort_by(f64::total_cmp);
        breaks.dedup();
        let runs = Runs::new(of, seen);
        runs.split(&mut breaks);
        for pair in breaks.windows(2) {
            let &[from, to] = pair else { continue };
            let middle = (from + to) / 2.0;
            let here = stations.iter().filter(|at| at.on == seen.on && nm(at.at) >= from && nm(at.at) <= to);
            if !stations.is_empty() {
                // A station on a border is cut in the stretch before it alone.
                cuts.extend(here.filter(|at| nm(at.at) > from || from == 0.0).map(|at| Alike {
                    seen,
                    from,
                    to,
                    at: nm(at.at),
                    also: Vec::new(),
                    but: runs.but((from, to)),
                }));
            } else if seen.sections.iter().any(|section| section.face.0 <= middle && middle <= section.face.1) {
                let but = runs.but((from, to));
                cuts.push(Alike { seen, from, to, at: nicest(seen, from, to), also: Vec::new(), but });
            }
        }
    }
    let mut kept: Vec<Alike> = Vec::new();
    for cut in cuts {
        let alike = if stations.is_empty() { kept.iter_mut().find(|other| looks(other) == looks(&cut)) } else { None };
        let stretch = |cut: &Alike| {
            let (from, to) = (Length::round_nm(cut.from), Length::round_nm(cut.to));
            format!("{} {} to {}", of.leg(cut.seen.on), of.place(from), of.place(to))
        };
        match alike {
            Some(other) => {
                other.also.push(stretch(&cut));
                other.but.extend(cut.but);
            }
            None => {
                let also = vec![stretch(&cut)];
                kept.push(Alike { also, ..cut });
            }
        }
    }
    let mut out: Vec<Drawing> = Vec::new();
    for cut in kept {
        let mut drawing = Cut { of, cut: &cut }.draw();
        // Cuts of one leg are counted from its left end.
        let number = 1 + out.iter().filter(|other| other.id.starts_with(&format!("{}-", drawing.id))).count();
        drawing.id = format!("{}-{number}", drawing.id);
        out.push(drawing);
    }
    out
}

struct Cut<'c, 's, 'w> {
    of: &'c Of<'w>,
    cut: &'c Alike<'s, 'w>,
}

impl Cut<'_, '_, '_> {
    fn draw(&self) -> Drawing {
        let (of, cut) = (self.of, self.cut);
        let forms = self.forms();
        let holes = cut.holes();
        let outermost = cut.sections().map(|section| section.depth.1).fold(0.0, f64::max);
        let removed = cut.seen.slabs.iter().filter_map(|slab| cut.removed(slab)).fold(0.0, f64::max);
        let slab_end = if cut.seen.slabs.is_empty() { 0.0 } else { removed.max(outermost) + 150e6 };
        let reaches = forms.iter().map(|form| self.form_reach(form));
        let right = reaches.clone().fold(outermost + 100e6, f64::max).max(slab_end);
        let footing = cut.seen.footings.iter().map(|(_, _, out)| *out).fold(0.0, f64::max);
        let deepest = holes.iter().map(|(set, _)| nm(set.deep)).fold(0.0, f64::max);
        let left = match cut.seen.thick {
            Some(thick) => -nm(thick) - footing - 120e6,
            None => -100e6_f64.max(deepest),
        };
        let left = reaches.fold(left, f64::min);
        let bars = cut.bars();
        // Where nothing old stands, what is cut and the bars in it are all there is to see.
        let mut up = if cut.seen.wall.is_some() {
            cut.seen.levels()
        } else {
            let sections = cut.sections().map(|section| section.levels);
            let ends = bars.iter().flat_map(|bar| bar.across.iter().flatten()).map(|at| (at[2], at[2]));
            let slabs = cut.seen.slabs.iter().map(|slab| slab.levels);
            let all = sections.chain(ends).chain(slabs);
            all.fold((f64::INFINITY, f64::NEG_INFINITY), |span, at| (span.0.min(at.0), span.1.max(at.1)))
        };
        for ground in &of.job.grounds {
            let levels = ground.say.outside.iter().map(|outside| outside.level).chain(ground.say.inside);
            for level in levels.map(nm) {
                up = (up.0.min(level), up.1.max(level));
            }
        }
        for tip in forms.iter().flat_map(|form| self.stakes(form)).map(|(_, level)| level - STAKE.1) {
            up.0 = up.0.min(tip);
        }
        let levels = self.levels(&holes);
        let beside = levels.room(of);
        let sheet = sheet::upright(of.system);
        let room_left = beside.0.max(lettering::width(&self.measured_from(), SMALL, false) + 3.0) + 2.0;
        let room_right = (beside.1 + 2.0).min(sheet.width * 0.36);
        let work = ((right - left) * 1e-6, (up.1 - up.0) * 1e-6);
        let scale = scale_for(work, (sheet.width - room_left - room_right, 130.0), of.smaller);
        let mut canvas = Canvas::default();
        let name = format!("{} {}", of.leg(cut.seen.on), of.place(Length::round_nm(cut.at)));
        let title = format!("Section at {name}");
        let seen = if cut.seen.wall.is_some() {
            "Seen with the wall's left end behind you: what stands there on the left, what is new on the right."
        } else {
            "Seen with the line's left end behind you: what lies behind the line on the left, what stands before it on the right."
        };
        let down = if levels.stays.is_some() {
            " Figures on the right are measured down from the top of the old wall."
        } else {
            ""
        };
        let under = format!("{}. {seen}{down} The same over {}{}.", of.title(), cut.also.join("; "), self.but());
        let top = canvas.head(of.flags, sheet.width, &title, &under) + 6.0;
        let model = Model {
            origin: Spot::new(room_left - left * 1e-6 / f64::from(scale), top + up.1 * 1e-6 / f64::from(scale)),
            per_mm: 1.0 / f64::from(scale),
            turned: false,
        };
        let floor = model.at(0.0, up.0).y + 4.0;
        let (begins, ends) = (room_left, model.at(right, 0.0).x);
        let mut notes: Vec<String> = levels.datum(of).into_iter().collect();
        notes.extend(levels.draw(of, &mut canvas, &model, (begins, ends, sheet.width), (top - 3.0, floor)));
        self.draw_old(&mut canvas, &model, &forms, (left, right), up.0);
        for form in &forms {
            self.draw_form(&mut canvas, &model, form);
        }
        self.draw_new(&mut canvas, &model);
        self.draw_holes(&mut canvas, &model, &holes);
        self.draw_bars(&mut canvas, &model, &bars);
        canvas.labels.within = Some((Spot::new(begins - 1.0, top - 5.0), Spot::new(ends + 6.0, floor + 2.0)));
        self.draw_covers(&mut canvas, &model, &bars, &mut notes);
        let keys = self.name_all(&mut canvas, &model, &forms, &bars, &mut notes);
        canvas.labels.within = None;
        let mut y = floor + 5.0;
        y = self.draw_offsets(&mut canvas, &model, &bars, &holes, (begins, y), &mut notes) + 2.0;
        y += canvas.key(y, sheet.width, &keys);
        y += canvas.scale_bar(y, 6.0, &Scale::new(scale, of.system)) + 1.5;
        if bars.iter().any(|bar| !bar.across.is_empty()) {
            notes.push("Dowels, holes and upright bars are those nearest to the cut.".into());
        }
        if !forms.is_empty() {
            notes.push("Forms as they are worked out; what holds them is the builder's to try.".into());
        }
        y += canvas.notes(y, sheet.width, &notes);
        Drawing {
            id: format!("section-{}", of.leg_id(cut.seen.on)),
            view: View::Section,
            title,
            description: self.describe(&bars),
            width: sheet.width,
            height: y + 1.5,
            lying: false,
            model: Some(model),
            items: canvas.items(),
        }
    }

    fn measured_from(&self) -> String {
        format!("from {}", self.cut.seen.base())
    }

    fn draw_new(&self, canvas: &mut Canvas, model: &Model) {
        let of = self.of;
        for section in self.cut.sections() {
            let (a, b) = (model.at(section.depth.0, section.levels.1), model.at(section.depth.1, section.levels.0));
            canvas.under(Item::Group(Group {
                title: Some(format!("new concrete, section {}, cut", of.name(section.id))),
                data: vec![("section", of.job.name(section.id).to_owned())],
                items: vec![Item::rectangle(a, b, stroke(Weight::Bold, Dash::Solid, Ink::Main), Some(Fill::NewCut))],
                ..Group::default()
            }));
            canvas.outline(&[a, Spot::new(b.x, a.y), b, Spot::new(a.x, b.y), a]);
        }
        for (id, levels) in self.cut.voids() {
            for section in
                self.cut.sections().filter(|section| section.levels.0 < levels.1 && levels.0 < section.levels.1)
            {
                let offset = of.job.void(id).and_then(|void| void.say.offset.as_ref());
                let (from, to) = offset.map_or(section.depth, |offset| (nm(offset.value.from), nm(offset.value.to)));
                let (a, b) = (model.at(from, levels.1), model.at(to, levels.0));
                let line = stroke(Weight::Medium, Dash::Solid, Ink::Main);
                canvas.under(Item::rectangle(a, b, line, Some(Fill::Paper)));
            }
        }
    }

    fn draw_holes(&self, canvas: &mut Canvas, model: &Model, holes: &[(&Set, Hole)]) {
        let Some(frame) = self.frame() else { return };
        for (set, hole) in holes {
            let Some(segment) = set.segment(hole, &self.of.works.standing) else { continue };
            let spot = |at: [f64; 3]| model.at(frame.local(Point::new(at[0], at[1])).1, at[2]);
            let (from, to) = (spot(segment.from), spot(segment.to));
            let length = from.distance(to).max(1e-9);
            let along = ((to.x - from.x) / length, (to.y - from.y) / length);
            let half = model.length(set.wide) / 2.0;
            let points = vec![
                from.moved(along, 0.0, -half),
                to.moved(along, 0.0, -half),
                to.moved(along, 0.0, half),
                from.moved(along, 0.0, half),
            ];
            canvas.back(Item::Group(Group {
                title: Some(format!("{} {}", self.of.name(set.id), hole.number)),
                data: vec![("hole", format!("{} {}", self.of.job.name(set.id), hole.number))],
                items: vec![Item::area(points, stroke(Weight::Medium, Dash::Solid, Ink::Hole), Some(Fill::Paper))],
                ..Group::default()
            }));
            canvas.avoid(&[from, to]);
        }
    }

    fn frame(&self) -> Option<Frame> {
        let on = self.cut.seen.on;
        self.of.works.standing.chain(on)?.run.frame(usize::from(on.leg))
    }

    fn draw_bars(&self, canvas: &mut Canvas, model: &Model, bars: &[BarCut]) {
        for cut in bars {
            let radius = (model.length(cut.bar.made.steel.diameter) / 2.0).max(0.7);
            let dots = cut.through.iter().map(|(out, level)| model.at(*out, *level));
            let mut items = chains(model, cut.bar, &cut.across, 1);
            items.extend(dots.clone().map(|at| Item::Circle {
                at,
                radius,
                stroke: None,
                fill: Some(Fill::Full(Ink::Steel)),
            }));
            if let Some(group) = bar_item(self.of, cut.bar, items) {
                canvas.front(Item::Group(group));
            }
            for at in dots {
                canvas.labels.take(Room::upright(
                    Spot::new(at.x - radius, at.y - radius),
                    Spot::new(at.x + radius, at.y + radius),
                ));
            }
            for chain in &cut.across {
                let points: Vec<Spot> = chain.iter().map(|[_, out, level]| model.at(*out, *level)).collect();
                canvas.avoid(&points);
            }
        }
    }
}

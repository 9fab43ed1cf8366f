//! The words of a section: what it shows, what everything is called, how high and how far out it lies.

use super::{
    Cut,
    alike::{BarCut, But},
    nm,
    wood::FormSeen,
};
use crate::{
    drawings::{
        canvas::Canvas,
        dimension::{Mark, Running, reach},
        lettering::{self, SMALL},
        levels::Levels,
        scene::{Anchor, Ink, Spot, Text},
        seen,
        sheet::Model,
    },
    formwork::{Hold, USUAL_ANGLE, waler_size},
    holes::{Hole, Level, Set},
    problem,
    schema::{BlockId, LumberName},
    steel::Place,
    units::{Length, show},
};

impl Cut<'_, '_, '_> {
    pub(super) fn describe(&self, bars: &[BarCut]) -> String {
        let (of, base) = (self.of, self.cut.seen.base());
        let sections: Vec<String> = self
            .cut
            .sections()
            .map(|section| {
                format!(
                    "{} reaches from {} to {} out of {base} and from level {} to {}",
                    of.name(section.id),
                    of.place(Length::round_nm(section.depth.0)),
                    of.place(Length::round_nm(section.depth.1)),
                    of.place(Length::round_nm(section.levels.0)),
                    of.place(Length::round_nm(section.levels.1))
                )
            })
            .collect();
        let cut = if self.cut.seen.wall.is_some() { "the wall" } else { base };
        format!("A cut across {cut}: {}; {}.", sections.join("; "), problem::count(bars.len(), "bar", "bars"))
    }

    /// What is not the same all along where the cut holds, though one cut shows it.
    pub(super) fn but(&self) -> String {
        let bars = self.cut.but.iter().filter_map(|but| match but {
            But::Ends(bars) => Some(self.of.name(*bars)),
            But::Laps => None,
        });
        let bars: Vec<String> = bars.collect();
        let laps = if self.cut.but.contains(&But::Laps) { ", but for laps" } else { "" };
        if bars.is_empty() {
            return laps.to_owned();
        }
        let and = if laps.is_empty() { ", but for" } else { " and" };
        format!("{laps}{and} where bars of {} begin and end", bars.join(", "))
    }

    pub(super) fn levels(&self, holes: &[(&Set, Hole)]) -> Levels {
        let (of, seen) = (self.of, self.cut.seen);
        let mut out = Levels::default();
        let highest = self.cut.sections().map(|section| section.levels.1).fold(f64::NEG_INFINITY, f64::max);
        if let Some((bottom, top)) = seen.wall {
            out.stays = Some(nm(top)).filter(|top| *top > highest);
            out.add(nm(top), "top of old wall".into(), Ink::Main);
            out.add(nm(bottom), "foot of old wall".into(), Ink::Main);
        }
        for section in self.cut.sections() {
            out.add(section.levels.1, format!("top of {}", of.name(section.id)), Ink::Main);
            out.add(section.levels.0, format!("bottom of {}", of.name(section.id)), Ink::Main);
        }
        for slab in &seen.slabs {
            out.add(slab.levels.1, format!("top of {}", of.name(slab.id)), Ink::Main);
        }
        for (set, hole) in holes {
            if let (Level::Height(level), true) = (hole.level, seen::into_face(set)) {
                out.add(nm(level), format!("{}, row {}", of.name(set.id), hole.row), Ink::Hole);
            }
        }
        for BarCut { bar, .. } in self.cut.bars() {
            if let Place::Long { level, .. } = bar.group.place {
                out.add(nm(level), format!("{}, mark {}", of.name(bar.made.id), bar.group.mark), Ink::Steel);
            }
        }
        out
    }

    /// Names everything; gives the letters that stand for words.
    pub(super) fn name_all(
        &self,
        canvas: &mut Canvas,
        model: &Model,
        forms: &[FormSeen],
        bars: &[BarCut],
        notes: &mut Vec<String>,
    ) -> Vec<(String, String)> {
        let (of, seen) = (self.of, self.cut.seen);
        let mut missing: Vec<String> = Vec::new();
        let mut keys: Vec<(String, String)> = Vec::new();
        let reach = self.cut.sections().map(|section| section.depth);
        let reach =
            reach.fold((f64::INFINITY, f64::NEG_INFINITY), |all, depth| (all.0.min(depth.0), all.1.max(depth.1)));
        let middle = model.at((reach.0 + reach.1) / 2.0, 0.0).x;
        let mut label = |canvas: &mut Canvas, at: Spot, ink: Ink, says: String| {
            // Names of the form are long: what has no room on its own side gets a letter, and the words stand below.
            let placed = if ink == Ink::Wood {
                canvas.label_beside((at, at.x < middle), 1.6, ink, &says)
            } else {
                canvas.label(at, 1.6, SMALL, ink, &says)
            };
            if !placed {
                // What is said once has one letter, wherever it stands.
                let known = keys.iter().find(|(_, other)| *other == says).map(|(tag, _)| tag.clone());
                let tag = known.clone().unwrap_or_else(|| of.tag(&keys));
                if canvas.label(at, 1.6, SMALL, ink, &tag) {
                    if known.is_none() {
                        keys.push((tag, says));
                    }
                } else {
                    missing.push(says);
                }
            }
        };
        for section in self.cut.sections() {
            let (a, b) = (model.at(section.depth.0, section.levels.1), model.at(section.depth.1, section.levels.0));
            let shares = [0.5, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9];
            let spots = shares.iter().flat_map(|x| shares.map(|y| (*x, y)));
            let spots = spots.map(|(x, y)| Spot::new(a.x + (b.x - a.x) * x, a.y + (b.y - a.y) * y));
            // Not where it has a void.
            let voids: Vec<_> = self.cut.voids().map(|(_, levels)| levels).collect();
            let is_void = |spot: &Spot| {
                voids.iter().any(|levels| (model.at(0.0, levels.1).y..=model.at(0.0, levels.0).y).contains(&spot.y))
            };
            if !canvas.name_inside(spots.filter(|spot| !is_void(spot)), b.x - a.x, Ink::Main, &of.name(section.id)) {
                let at = Spot::new((a.x + b.x) / 2.0, (a.y + b.y) / 2.0);
                label(canvas, at, Ink::Main, of.name(section.id));
            }
        }
        if let (Some((bottom, top)), Some(thick)) = (seen.wall, seen.thick) {
            let highest = self.cut.sections().map(|section| section.levels.1).fold(nm(bottom), f64::max);
            let middle = if highest < nm(top) { (highest + nm(top)) / 2.0 } else { (nm(bottom) + nm(top)) / 2.0 };
            let at = model.at(-nm(thick) / 2.0, middle);
            if !canvas.name(at, model.length(thick), Ink::Main, "old wall") {
                label(canvas, at, Ink::Main, "old wall".into());
            }
        }
        for (id, levels, _) in &seen.footings {
            let at = model.at(-seen.thick.map_or(0.0, nm) / 2.0, (levels.0 + levels.1) / 2.0);
            label(canvas, at, Ink::Main, format!("footing {}", of.name(*id)));
        }
        for slab in &seen.slabs {
            let from = self.cut.removed(slab).unwrap_or(0.0);
            let at = model.at(from + 90e6, (slab.levels.0 + slab.levels.1) / 2.0);
            label(canvas, at, Ink::Main, format!("slab {}", of.name(slab.id)));
        }
        let mut named: Vec<BlockId> = Vec::new();
        for BarCut { bar, through, across } in bars {
            if named.contains(&bar.made.id) || matches!(bar.group.place, Place::Long { .. }) {
                continue;
            }
            named.push(bar.made.id);
            let points = across.iter().flatten().map(|[_, out, level]| (*out, *level));
            let outermost = points.chain(through.iter().copied()).max_by(|a, b| (a.0 + a.1).total_cmp(&(b.0 + b.1)));
            if let Some((out, level)) = outermost {
                let says = format!("{}, mark {}", of.name(bar.made.id), bar.group.mark);
                label(canvas, model.at(out, level), Ink::Steel, says);
            }
        }
        for form in forms {
            let same = |other: &FormSeen| (other.id, other.levels, other.way) == (form.id, form.levels, 1.0);
            if form.way < 0.0 && forms.iter().any(same) {
                continue;
            }
            let (foot, top) = form.levels;
            let Some((sheath, _)) = self.lumber(form.say.sheath.value) else { continue };
            let stud = self.lumber(form.say.studs.value.size).map_or(0.0, |size| size.1);
            let name = |name: LumberName| of.name(name.0);
            let at = model.at(form.off(sheath / 2.0), top);
            label(canvas, at, Ink::Wood, format!("sheathing {}", name(form.say.sheath.value)));
            let studs = &form.say.studs.value;
            let says = format!("studs {}, every {} at most", name(studs.size), of.place(studs.space.value.0));
            label(canvas, model.at(form.off(sheath + stud), foot + (top - foot) * 0.85), Ink::Wood, says);
            let back = form.off(sheath + stud);
            let held = form.holds.iter().find(|(hold, _)| *hold != Hold::Kick);
            if let (Some((thick, wide)), Some((_, height))) = (self.waler(form), held) {
                let at = model.at(back + form.way * wide, foot + height + thick / 2.0);
                label(canvas, at, Ink::Wood, format!("waler {}", of.name(waler_size(form.say))));
            }
            for (hold, height) in &form.holds {
                let level = foot + height;
                let (at, says) = match hold {
                    Hold::Kick => {
                        let Some(kick) = &form.say.kick else { continue };
                        (model.at(back + form.way * 60e6, level), format!("kicker {}", name(kick.value.size)))
                    }
                    Hold::Tie(0) => {
                        let into = if seen.wall.is_some() { "tie into the old wall" } else { "tie" };
                        (model.at(back + form.way * 40e6, level), into.to_owned())
                    }
                    Hold::Tie(_) => continue,
                    Hold::Brace => {
                        let Some(brace) = &form.say.brace else { continue };
                        let angle = brace.value.angle.as_ref().map_or(USUAL_ANGLE, |angle| angle.value.0);
                        let Some(seen) = self.brace(form) else { continue };
                        let says = format!(
                            "brace {}, {}, every {} at most",
                            name(brace.value.size),
                            show::angle(angle),
                            of.place(brace.value.space.value.0)
                        );
                        (model.at(seen.from + form.way * seen.run * 0.5, (level + seen.floor) / 2.0), says)
                    }
                };
                label(canvas, at, Ink::Wood, says);
            }
        }
        if !missing.is_empty() {
            notes.push(format!("Not named for want of room: {}.", missing.join("; ")));
        }
        keys
    }

    /// How far everything lies out of the old face, or off the line.
    pub(super) fn draw_offsets(
        &self,
        canvas: &mut Canvas,
        model: &Model,
        bars: &[BarCut],
        holes: &[(&Set, Hole)],
        (left, y): (f64, f64),
        notes: &mut Vec<String>,
    ) -> f64 {
        let of = self.of;
        let mut offsets: Vec<Length> = vec![Length::ZERO];
        for section in self.cut.sections() {
            offsets.extend([section.depth.0, section.depth.1].map(Length::round_nm));
        }
        if let Some(thick) = self.cut.seen.thick {
            offsets.push(-thick);
        }
        for (set, hole) in holes {
            if let Level::Offset(offset) = hole.level {
                offsets.push(offset);
            } else if set.tilt.is_none() {
                offsets.push(-set.deep);
            }
        }
        for BarCut { bar, .. } in bars {
            match (&bar.group.place, bar.group.from) {
                (Place::Holes(_), _) => {
                    let ends = bar.chains.iter().filter_map(|chain| chain.last());
                    offsets.extend(ends.map(|[_, out, _]| Length::round_nm(*out)));
                }
                (_, Some((offset, _))) => offsets.push(offset),
                (_, None) => {}
            }
        }
        for slab in &self.cut.seen.slabs {
            offsets.extend(self.cut.removed(slab).map(Length::round_nm));
        }
        offsets.sort_unstable();
        offsets.dedup_by_key(|offset| of.place(*offset));
        let marks: Vec<Mark> = offsets
            .iter()
            .map(|offset| Mark {
                at: model.length(*offset),
                says: of.place(offset.abs()),
                of: vec![("offset", offset.nm().to_string())],
            })
            .collect();
        let running = Running {
            from: Spot::new(model.at(0.0, 0.0).x, y),
            along: (1.0, 0.0),
            away: (0.0, 1.0),
            back: vec![2.2; marks.len()],
            slack: 6.0,
            ink: Ink::Main,
            hook: false,
            marks,
        };
        let deep = reach(&running.marks, running.slack);
        if !running.draw(canvas) {
            notes.push(format!("Not every distance {} has room here: the tables have them all.", self.measured_from()));
        }
        canvas.text(Text {
            at: lettering::centred(Spot::new(left - 3.0, y), SMALL, 0.0),
            anchor: Anchor::End,
            angle: 0.0,
            size: SMALL,
            bold: false,
            ink: Ink::Main,
            says: self.measured_from(),
        });
        y + deep
    }
}

//! The form that stands before the concrete where it is cut, and what holds it.

use super::{Cut, nm};
use crate::{
    drawings::{
        canvas::Canvas,
        scene::{Dash, Fill, Group, Ink, Item, Spot, Weight, stroke},
        sheet::Model,
    },
    formwork::{Hold, Lean, Profile, STAKE_THICK, USUAL_ANGLE, Use, tie_depth, waler_boards, waler_size},
    geometry::Side,
    schema::{BlockId, Forms, LumberName, StandsOn},
};

/// A stake as it is drawn, in nanometres: how thick, how far into the ground, how far out of it.
pub(super) const STAKE: (f64, f64, f64) = (STAKE_THICK.nm() as f64, 220e6, 120e6);

/// A form before a section.
pub(super) struct FormSeen<'f> {
    pub(super) id: BlockId,
    pub(super) say: &'f Forms,
    /// Its foot and the top of the concrete behind it.
    pub(super) levels: (f64, f64),
    /// What holds it, and how high above its foot.
    pub(super) holds: Vec<(Hold, f64)>,
    /// How far out the face of the concrete lies that it stands against.
    pub(super) out: f64,
    /// Which way it reaches from there: 1 on the outer side, -1 on the inner.
    pub(super) way: f64,
    /// How far its braces rise.
    pub(super) rises: Option<f64>,
}

impl FormSeen<'_> {
    /// How far out lies what is so far off the concrete.
    pub(super) fn off(&self, thick: f64) -> f64 {
        self.out + self.way * thick
    }
}

/// A brace: its middle line goes down from a level at the waler to the floor.
pub(super) struct BraceSeen {
    /// How far out it begins.
    pub(super) from: f64,
    pub(super) level: f64,
    pub(super) floor: f64,
    /// How far its edges are above and below its middle line.
    pub(super) half: f64,
    /// How far off its beginning its middle line meets the floor, its upper edge, and its lower.
    pub(super) run: f64,
    pub(super) upper: f64,
    pub(super) lower: f64,
    /// How far off it the cleat behind its foot ends.
    pub(super) cleat: f64,
    pub(super) thick: f64,
}

impl Cut<'_, '_, '_> {
    pub(super) fn lumber(&self, name: LumberName) -> Option<(f64, f64)> {
        let say = &self.of.job.lumber_of(name.0)?.say;
        let board = say.size.as_ref().map(|size| (nm(size.thick.0), nm(size.wide.0)));
        board.or_else(|| say.sheet.as_ref().map(|sheet| (nm(sheet.thick.0), nm(sheet.wide.0))))
    }

    /// What stands against the concrete where it is cut, on either side of it.
    pub(super) fn forms(&self) -> Vec<FormSeen<'_>> {
        let mut out = Vec::new();
        let Some(frame) = self.frame() else { return out };
        for section in self.cut.sections() {
            for made in &self.of.works.forms {
                let Some(forms) = self.of.job.forms_of(made.forms) else { continue };
                let Some(design) = made.designs.iter().find(|design| design.section == section.id) else { continue };
                for panel in made.panels.iter().filter(|panel| panel.closes == Use::Face) {
                    let [a, b] = panel.ends().map(|end| frame.local(end));
                    if self.cut.at < a.0.min(b.0) || a.0.max(b.0) < self.cut.at {
                        continue;
                    }
                    for (side, way, off) in [(Side::Outer, 1.0, section.depth.1), (Side::Inner, -1.0, section.depth.0)]
                    {
                        if section.has_form(panel, (a, b), side) {
                            out.push(FormSeen {
                                id: forms.id,
                                say: &forms.say,
                                levels: (nm(panel.bottom), nm(panel.top)),
                                holds: design
                                    .holds(panel, self.of.system)
                                    .into_iter()
                                    .map(|(hold, height)| (hold, nm(height)))
                                    .collect(),
                                out: off,
                                way,
                                rises: panel.braced.map(|(_, rises)| nm(rises)),
                            });
                        }
                    }
                }
            }
        }
        out
    }

    /// How far out the back of its studs lies.
    pub(super) fn back(&self, form: &FormSeen) -> f64 {
        form.off(nm(Profile::of(self.of.job, form.say).studs))
    }

    /// How far out of the face a form and its braces reach.
    pub(super) fn form_reach(&self, form: &FormSeen) -> f64 {
        let sheath = self.lumber(form.say.sheath.value).map_or(0.0, |size| size.0);
        let stud = self.lumber(form.say.studs.value.size).map_or(0.0, |size| size.1);
        let (waler, brace) = (self.waler(form), self.brace(form));
        let deep = sheath + stud + waler.map_or(0.0, |(_, wide)| wide);
        form.off(deep + brace.map_or(320e6, |brace| brace.cleat + STAKE.0 + 30e6))
    }

    /// How thick and how wide the walers are that lie along the studs at ties and braces; none where nothing of that holds.
    pub(super) fn waler(&self, form: &FormSeen) -> Option<(f64, f64)> {
        form.holds.iter().find(|(hold, _)| *hold != Hold::Kick)?;
        self.lumber(LumberName(waler_size(form.say)))
    }

    /// Where stakes stand behind the kicker and the feet of the braces of a form: how far out, and the level they are driven in from.
    pub(super) fn stakes(&self, form: &FormSeen) -> Vec<(f64, f64)> {
        let mut out = Vec::new();
        let on =
            |hold: Hold| form.holds.iter().find(|(held, _)| *held == hold).map(|(_, height)| form.levels.0 + height);
        let kick = form.say.kick.as_ref().filter(|kick| kick.value.on == StandsOn::Stakes);
        if let Some((level, size)) = on(Hold::Kick).zip(kick.and_then(|kick| self.lumber(kick.value.size))) {
            out.push((self.back(form) + form.way * size.0, level));
        }
        let stands = form.say.brace.as_ref().is_some_and(|brace| brace.value.on == StandsOn::Stakes);
        if let Some(brace) = self.brace(form).filter(|_| stands) {
            out.push((brace.from + form.way * brace.cleat, brace.floor));
        }
        out
    }

    /// The brace of a form: sawn plumb at the waler it meets, at the level it holds, and level at its foot.
    pub(super) fn brace(&self, form: &FormSeen) -> Option<BraceSeen> {
        let say = &form.say.brace.as_ref()?.value;
        let level = form.levels.0 + form.holds.iter().find(|(hold, _)| *hold == Hold::Brace)?.1;
        let angle = say.angle.as_ref().map_or(USUAL_ANGLE, |angle| angle.value.0);
        let (thick, rises) = (self.lumber(say.size)?.0, form.rises?);
        let from = form.off(nm(Profile::of(self.of.job, form.say).walers));
        let Lean { half, run, upper, lower, cleat } = Lean::new(rises, thick, angle);
        let floor = level - rises;
        (run > 0.0).then_some(BraceSeen { from, level, floor, half, run, upper, lower, cleat, thick })
    }

    pub(super) fn draw_form(&self, canvas: &mut Canvas, model: &Model, form: &FormSeen) {
        let thin = stroke(Weight::Medium, Dash::Solid, Ink::Wood);
        let (foot, top) = form.levels;
        let wood = Some(Fill::Light(Ink::Wood));
        let mut items: Vec<Item> = Vec::new();
        let board = |from: f64, to: f64, low: f64, high: f64| {
            Item::rectangle(model.at(from, high), model.at(to, low), thin, wood)
        };
        let Some((sheath, _)) = self.lumber(form.say.sheath.value) else { return };
        let stud = self.lumber(form.say.studs.value.size).map_or(0.0, |size| size.1);
        let (front, back) = (form.off(sheath), form.off(sheath + stud));
        items.push(board(form.out, front, foot, top));
        items.push(board(front, back, foot, top));
        let waler = self.waler(form);
        // Gives how far out they end.
        let walers = |items: &mut Vec<Item>, level: f64| {
            let Some((thick, wide)) = waler else { return back };
            let end = back + form.way * wide;
            let boards = waler_boards(form.say, level, thick).into_iter();
            items.push(Item::Group(Group {
                title: Some("waler".into()),
                items: boards.map(|(low, high)| board(back, end, low, high)).collect(),
                ..Group::default()
            }));
            end
        };
        // A stake behind what it holds, driven in from a level: how deep it goes is not known, and it is drawn short.
        let stake = |from: f64, level: f64| {
            let (to, tip) = (from + form.way * STAKE.0, level - STAKE.1);
            let at = |off: f64, level: f64| model.at(off, level);
            let high = level + STAKE.2;
            let chain = vec![
                at(from, high),
                at(to, high),
                at(to, tip + STAKE.0),
                at((from + to) / 2.0, tip),
                at(from, tip + STAKE.0),
            ];
            Item::Group(Group {
                title: Some("stake".into()),
                items: vec![Item::area(chain, thin, wood)],
                ..Group::default()
            })
        };
        let mut rods = Vec::new();
        for (hold, height) in &form.holds {
            let level = foot + height;
            match hold {
                Hold::Kick => {
                    if let Some(size) = form.say.kick.as_ref().and_then(|kick| self.lumber(kick.value.size)) {
                        items.push(board(back, back + form.way * size.0, level, level + size.1));
                    }
                }
                Hold::Tie(_) => {
                    let end = walers(&mut items, level);
                    let into = self.cut.seen.thick.map_or(0.0, |thick| -nm(tie_depth(thick)));
                    rods.push(vec![model.at(into, level), model.at(end + form.way * 25e6, level)]);
                    rods.push(vec![model.at(end, level - 22e6), model.at(end, level + 22e6)]);
                }
                Hold::Brace => {
                    walers(&mut items, level);
                    let Some(brace) = self.brace(form) else { continue };
                    let at = |off: f64, level: f64| model.at(brace.from + form.way * off, level);
                    let ends = [brace.level + brace.half, (brace.level - brace.half).max(brace.floor)];
                    let foot = at(brace.upper, brace.floor);
                    let edges = vec![at(0.0, ends[0]), foot, at(brace.lower, brace.floor), at(0.0, ends[1])];
                    items.push(Item::Group(Group {
                        title: Some("brace".into()),
                        items: vec![Item::area(edges, thin, wood)],
                        ..Group::default()
                    }));
                    // The cleat its foot stands against.
                    let cleat = (at(brace.cleat, brace.floor + brace.thick), foot);
                    items.push(Item::rectangle(cleat.0, cleat.1, thin, wood));
                    canvas.avoid(&[at(0.0, brace.level), at(brace.run, brace.floor)]);
                }
            }
        }
        items.extend(self.stakes(form).into_iter().map(|(from, level)| stake(from, level)));
        // Letters lie on no edge of the wood where they need not.
        for item in items.iter().flat_map(|item| match item {
            Item::Group(group) => group.items.as_slice(),
            other => std::slice::from_ref(other),
        }) {
            if let Item::Lines { chains, .. } = item {
                for chain in chains {
                    canvas.avoid(&chain.iter().chain(chain.first()).copied().collect::<Vec<Spot>>());
                }
            }
        }
        items.extend(rods.into_iter().map(|rod| Item::line(rod, stroke(Weight::Bold, Dash::Solid, Ink::Wood))));
        canvas.back(Item::Group(Group {
            title: Some(format!("form {}", self.of.name(form.id))),
            items,
            ..Group::default()
        }));
    }
}

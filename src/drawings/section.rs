//! Cross-sections: what a cut across the wall shows, with what lies just behind it; the form that stands before it, and the
//! cover over the steel.

mod covers;

use super::{
    Drawing, Flags, Of, View,
    canvas::{Canvas, letters},
    dimension::{Mark, Running, reach},
    elevation::bar_item,
    labels::Room,
    lettering::{self, SMALL},
    levels::Levels,
    scene::{Anchor, Dash, Fill, Group, Ink, Item, Spot, Text, Weight, stroke},
    seen::{self, BarSeen, SectionSeen, Seen, nm},
    sheet::{self, Model, Scale, scale_for},
};
use crate::{
    concrete::LegAt,
    formwork::{Hold, USUAL_ANGLE, Use, tie_depth, waler_size},
    geometry::Side,
    holes::{Hole, Set},
    job::Job,
    schema::{BlockId, Forms, LumberName, StandsOn},
    steel::Place,
    units::{Length, What, number, show, unit},
    works::Works,
};

/// A place a cross-section is cut at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Station {
    /// The leg.
    pub on: LegAt,
    /// The station on it.
    pub at: Length,
}

/// Why a text names no station.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum AtFault {
    /// There is no such leg; those there are.
    Leg(Vec<String>),
    /// The job has several legs, and none is named; those there are.
    WhichLeg(Vec<String>),
    /// It is no length.
    NoLength,
    /// The leg is only so long, in the job's own units.
    TooFar(String),
}

/// Reads a station as it is said: `old.back 3'-6"`, `back 3'-6"`, or `3'-6"` where there is one leg.
///
/// # Errors
/// An [`AtFault`] where no place is meant.
pub fn station(job: &Job, works: &Works, text: &str) -> Result<Station, AtFault> {
    let none = Flags::default();
    let of = Of { job, works, flags: &none, system: job.system() };
    let legs: Vec<LegAt> = seen::legs(&of).iter().map(|seen| seen.on).collect();
    let names = || legs.iter().map(|leg| of.leg(*leg)).collect::<Vec<String>>();
    let text = text.trim();
    let begins_with_letter = text.chars().next().is_some_and(|first| first.is_ascii_alphabetic());
    let (on, rest) = if begins_with_letter {
        let (word, rest) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
        let standing = &works.standing;
        let is_named = |leg: &&LegAt| {
            let wall = standing.leg_ref(**leg).map_or("", |leg| job.name(leg.wall));
            let name = standing.leg_name(**leg);
            word == name || word.split_once('.') == Some((wall, name))
        };
        let on = legs.iter().find(is_named).copied().ok_or_else(|| AtFault::Leg(names()))?;
        (on, rest)
    } else {
        match legs.as_slice() {
            [one] => (*one, text),
            _ => return Err(AtFault::WhichLeg(names())),
        }
    };
    let at = length(rest.trim()).ok_or(AtFault::NoLength)?;
    let whole = works.standing.length(on);
    if at < Length::ZERO || at > whole {
        return Err(AtFault::TooFar(of.place(whole)));
    }
    Ok(Station { on, at })
}

/// A length as it is written in a job file: units are never guessed.
fn length(text: &str) -> Option<Length> {
    let digits = text.trim_end_matches(|c: char| c.is_ascii_alphabetic()).trim_end();
    let word = text.get(digits.len()..)?.trim();
    let nanometres = match (number(digits).ok()?.what, word) {
        (What::Length(nanometres), "") => nanometres,
        (What::Plain(count), word) => {
            let unit = unit(word).filter(|unit| unit.dimension == crate::units::Dimension::Length)?;
            count.times(unit.factor())?
        }
        _ => return None,
    };
    i64::try_from(nanometres.to_nearest_i128()).ok().map(Length::from_nm)
}

/// A stretch of a leg that looks alike all along, and where it is cut.
struct Alike<'s, 'w> {
    seen: &'s Seen<'w>,
    from: f64,
    to: f64,
    at: f64,
    also: Vec<String>,
}

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
        breaks.extend(seen.slabs.iter().flat_map(|slab| slab.removed.iter().flat_map(|(span, _)| [span.0, span.1])));
        breaks.sort_by(f64::total_cmp);
        breaks.dedup();
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
                }));
            } else if seen.sections.iter().any(|section| section.face.0 <= middle && middle <= section.face.1) {
                cuts.push(Alike { seen, from, to, at: nicest(seen, from, to), also: Vec::new() });
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
            Some(other) => other.also.push(stretch(&cut)),
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

/// The station within a stretch that shows most: at the hole nearest to its middle, or the bar, or the middle itself.
fn nicest(seen: &Seen, from: f64, to: f64) -> f64 {
    let middle = (from + to) / 2.0;
    let holes = seen.holes.iter().map(|(_, hole)| nm(hole.station));
    let sides = seen.bars.iter().filter(|bar| matches!(bar.group.place, Place::Side(_)));
    let nearest = |all: &mut dyn Iterator<Item = f64>| {
        all.filter(|at| from <= *at && *at <= to).min_by(|a, b| (a - middle).abs().total_cmp(&(b - middle).abs()))
    };
    nearest(&mut holes.into_iter()).or_else(|| nearest(&mut sides.map(|bar| nm(bar.line.station)))).unwrap_or(middle)
}

/// What makes two cuts look different.
type Looks = (Vec<(BlockId, [i64; 4])>, Vec<(BlockId, [i64; 2])>, Vec<Option<i64>>, Vec<BlockId>, [Option<Length>; 3]);

fn looks(cut: &Alike) -> Looks {
    let seen = cut.seen;
    let whole = |at: f64| at.round() as i64;
    let sections = cut
        .sections()
        .map(|section| (section.id, [section.levels.0, section.levels.1, section.depth.0, section.depth.1].map(whole)));
    let voids = cut.voids().map(|(id, levels)| (id, [whole(levels.0), whole(levels.1)]));
    let slabs = seen.slabs.iter().map(|slab| cut.removed(slab).map(whole));
    let mut bars: Vec<BlockId> = cut.bars().iter().map(|bar| bar.made.id).collect();
    bars.sort_unstable();
    bars.dedup();
    (
        sections.collect(),
        voids.collect(),
        slabs.collect(),
        bars,
        [seen.wall.map(|wall| wall.0), seen.wall.map(|wall| wall.1), seen.thick],
    )
}

impl<'w> Alike<'_, 'w> {
    fn sections(&self) -> impl Iterator<Item = &SectionSeen> {
        self.seen.sections.iter().filter(|section| section.face.0 <= self.at && self.at <= section.face.1).filter(
            |section| section.face.0 <= (self.from + self.to) / 2.0 && (self.from + self.to) / 2.0 <= section.face.1,
        )
    }

    fn voids(&self) -> impl Iterator<Item = (BlockId, seen::Span)> {
        let middle = (self.from + self.to) / 2.0;
        let here = self.seen.voids.iter().filter(move |(_, along, _)| along.0 <= middle && middle <= along.1);
        here.map(|(id, _, levels)| (*id, *levels))
    }

    /// How far out a slab is broken out here.
    fn removed(&self, slab: &seen::SlabSeen) -> Option<f64> {
        let middle = (self.from + self.to) / 2.0;
        slab.removed.iter().find(|(span, _)| span.0 <= middle && middle <= span.1).map(|(_, out)| *out)
    }

    /// The bars that are cut or lie nearest within this stretch: each long one that comes through, of the others one a row.
    fn bars(&self) -> Vec<&BarSeen<'w>> {
        let mut out: Vec<&BarSeen> = Vec::new();
        let mut nearest: std::collections::BTreeMap<(BlockId, [i64; 2]), &BarSeen> = std::collections::BTreeMap::new();
        for bar in &self.seen.bars {
            let station = nm(bar.line.station);
            let row = match &bar.group.place {
                Place::Long { .. } => {
                    let comes_through = bar.chains.iter().any(|chain| crossing(chain, self.at).is_some());
                    if comes_through {
                        out.push(bar);
                    }
                    continue;
                }
                Place::Side(_) => [0; 2],
                // Rows of holes in a face differ in level, rows in a top or a floor in how far out they are: to a tenth of a
                // millimetre, as what is turned is not exact.
                Place::Holes(_) => {
                    let foot = bar.chains.first().and_then(|chain| chain.first());
                    foot.map_or([0; 2], |[_, out, level]| [out, level].map(|at| (at / 1e5).round() as i64))
                }
            };
            if station < self.from || station > self.to {
                continue;
            }
            let best = nearest.entry((bar.made.id, row)).or_insert(bar);
            if (station - self.at).abs() < (nm(best.line.station) - self.at).abs() {
                *best = bar;
            }
        }
        out.extend(nearest.into_values());
        out
    }

    /// Of each row of holes the one nearest to the cut.
    fn holes(&self) -> Vec<(&'w Set, Hole)> {
        let mut nearest: std::collections::BTreeMap<(BlockId, u16), (&'w Set, Hole)> =
            std::collections::BTreeMap::new();
        for (set, hole) in &self.seen.holes {
            let station = nm(hole.station);
            if station < self.from || station > self.to {
                continue;
            }
            let best = nearest.entry((set.id, hole.row)).or_insert((*set, *hole));
            if (station - self.at).abs() < (nm(best.1.station) - self.at).abs() {
                *best = (*set, *hole);
            }
        }
        nearest.into_values().collect()
    }
}

/// Where a chain comes through a station: its offset and its level there.
fn crossing(chain: &[[f64; 3]], station: f64) -> Option<(f64, f64)> {
    chain.windows(2).find_map(|pair| {
        let &[a, b] = pair else { return None };
        let (low, high) = (a[0].min(b[0]), a[0].max(b[0]));
        if station < low || station > high || high - low < 1.0 {
            return None;
        }
        let share = (station - a[0]) / (b[0] - a[0]);
        Some((a[1] + (b[1] - a[1]) * share, a[2] + (b[2] - a[2]) * share))
    })
}

/// A stake as it is drawn, in nanometres: how thick, how far into the ground, how far out of it.
const STAKE: (f64, f64, f64) = (40e6, 220e6, 120e6);

/// A form before a section.
struct FormSeen<'f> {
    id: BlockId,
    say: &'f Forms,
    /// Its foot and the top of the concrete behind it.
    levels: (f64, f64),
    /// What holds it, and how high above its foot.
    holds: Vec<(Hold, f64)>,
    /// How far out the face of the concrete lies that it stands against.
    out: f64,
    /// Which way it reaches from there: 1 on the outer side, -1 on the inner.
    way: f64,
    /// How far its braces rise.
    rises: Option<f64>,
}

impl FormSeen<'_> {
    /// How far out lies what is so far off the concrete.
    fn off(&self, thick: f64) -> f64 {
        self.out + self.way * thick
    }
}

/// A brace: its middle line goes down from a level at the waler to the floor.
struct BraceSeen {
    /// How far out it begins.
    from: f64,
    level: f64,
    floor: f64,
    /// How far its edges are above and below its middle line.
    half: f64,
    /// How far off its beginning its middle line meets the floor, its upper edge, and its lower.
    run: f64,
    upper: f64,
    lower: f64,
    thick: f64,
}

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

struct Cut<'c, 's, 'w> {
    of: &'c Of<'w>,
    cut: &'c Alike<'s, 'w>,
}

impl Cut<'_, '_, '_> {
    fn lumber(&self, name: LumberName) -> Option<(f64, f64)> {
        let say = &self.of.job.lumber_of(name.0)?.say;
        let board = say.size.as_ref().map(|size| (nm(size.thick.0), nm(size.wide.0)));
        board.or_else(|| say.sheet.as_ref().map(|sheet| (nm(sheet.thick.0), nm(sheet.wide.0))))
    }

    /// What stands against the concrete where it is cut, on either side of it.
    fn forms(&self) -> Vec<FormSeen<'_>> {
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

    /// How far out the back of its studs lies.
    fn back(&self, form: &FormSeen) -> f64 {
        let sheath = self.lumber(form.say.sheath.value).map_or(0.0, |size| size.0);
        let stud = self.lumber(form.say.studs.value.size).map_or(0.0, |size| size.1);
        form.off(sheath + stud)
    }

    /// How far out of the face a form and its braces reach.
    fn form_reach(&self, form: &FormSeen) -> f64 {
        let sheath = self.lumber(form.say.sheath.value).map_or(0.0, |size| size.0);
        let stud = self.lumber(form.say.studs.value.size).map_or(0.0, |size| size.1);
        let (waler, brace) = (self.waler(form), self.brace(form));
        let deep = sheath + stud + waler.map_or(0.0, |(_, wide)| wide);
        form.off(deep + brace.map_or(320e6, |brace| brace.upper + 2.0 * brace.thick + STAKE.0 + 30e6))
    }

    /// How thick and how wide the walers are that lie along the studs at ties and braces; none where nothing of that holds.
    fn waler(&self, form: &FormSeen) -> Option<(f64, f64)> {
        form.holds.iter().find(|(hold, _)| *hold != Hold::Kick)?;
        self.lumber(LumberName(waler_size(form.say)))
    }

    /// Where stakes stand behind the kicker and the feet of the braces of a form: how far out, and the level they are driven in from.
    fn stakes(&self, form: &FormSeen) -> Vec<(f64, f64)> {
        let mut out = Vec::new();
        let on =
            |hold: Hold| form.holds.iter().find(|(held, _)| *held == hold).map(|(_, height)| form.levels.0 + height);
        let kick = form.say.kick.as_ref().filter(|kick| kick.value.on == StandsOn::Stakes);
        if let Some((level, size)) = on(Hold::Kick).zip(kick.and_then(|kick| self.lumber(kick.value.size))) {
            out.push((self.back(form) + form.way * size.0, level));
        }
        let stands = form.say.brace.as_ref().is_some_and(|brace| brace.value.on == StandsOn::Stakes);
        if let Some(brace) = self.brace(form).filter(|_| stands) {
            out.push((brace.from + form.way * (brace.upper + 2.0 * brace.thick), brace.floor));
        }
        out
    }

    /// The brace of a form: sawn plumb at the waler it meets, at the level it holds, and level at its foot.
    fn brace(&self, form: &FormSeen) -> Option<BraceSeen> {
        let say = &form.say.brace.as_ref()?.value;
        let level = form.levels.0 + form.holds.iter().find(|(hold, _)| *hold == Hold::Brace)?.1;
        let angle = say.angle.as_ref().map_or(USUAL_ANGLE, |angle| angle.value.0).degrees().to_radians();
        let (steep, thick) = (angle.tan().max(0.1), self.lumber(say.size)?.0);
        let from = self.back(form) + form.way * self.waler(form).map_or(0.0, |(_, wide)| wide);
        let run = form.rises? / steep;
        if run <= 0.0 {
            return None;
        }
        let (floor, half) = (level - run * steep, thick / 2.0 * (1.0 + steep * steep).sqrt());
        let (upper, lower) = (run + half / steep, (run - half / steep).max(0.0));
        Some(BraceSeen { from, level, floor, half, run, upper, lower, thick })
    }

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
            let stand = bars.iter().filter(|bar| !matches!(bar.group.place, Place::Long { .. }));
            let ends = stand.flat_map(|bar| bar.chains.iter().flatten()).map(|at| (at[2], at[2]));
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
        let scale = scale_for(work, (sheet.width - room_left - room_right, 130.0));
        let mut canvas = Canvas::default();
        let name = format!("{} {}", of.leg(cut.seen.on), of.place(Length::round_nm(cut.at)));
        let title = format!("Section at {name}");
        let seen = if cut.seen.wall.is_some() {
            "Seen with the wall's left end behind you: what stands there on the left, what is new on the right."
        } else {
            "Seen with the line's left end behind you: its inner side on the left, its outer side on the right."
        };
        let under = format!("{}. {seen} The same over {}.", of.title(), cut.also.join("; "));
        let top = canvas.head(sheet.width, &title, &under) + 6.0;
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
        if bars.iter().any(|bar| !matches!(bar.group.place, Place::Long { .. })) {
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

    fn describe(&self, bars: &[&BarSeen]) -> String {
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
        format!("A cut across {cut}: {}; {}.", sections.join("; "), crate::problem::count(bars.len(), "bar", "bars"))
    }

    fn levels(&self, holes: &[(&Set, Hole)]) -> Levels {
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
            if let (crate::holes::Level::Height(level), true) = (hole.level, seen::into_face(set)) {
                out.add(nm(level), format!("{}, row {}", of.name(set.id), hole.row), Ink::Hole);
            }
        }
        for bar in self.cut.bars() {
            if let Place::Long { level, .. } = bar.group.place {
                out.add(nm(level), format!("{}, mark {}", of.name(bar.made.id), bar.group.mark), Ink::Steel);
            }
        }
        out
    }

    fn draw_old(&self, canvas: &mut Canvas, model: &Model, forms: &[FormSeen], (left, right): (f64, f64), lowest: f64) {
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
            let spot = |at: [f64; 3]| model.at(frame.local(crate::geometry::Point::new(at[0], at[1])).1, at[2]);
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

    fn frame(&self) -> Option<crate::geometry::Frame> {
        let on = self.cut.seen.on;
        self.of.works.standing.chain(on)?.run.frame(usize::from(on.leg))
    }

    fn draw_bars(&self, canvas: &mut Canvas, model: &Model, bars: &[&BarSeen]) {
        for bar in bars {
            if let Place::Long { .. } = bar.group.place {
                let through = bar.chains.iter().find_map(|chain| crossing(chain, self.cut.at));
                let Some((out, level)) = through else { continue };
                let at = model.at(out, level);
                let radius = (model.length(bar.made.steel.diameter) / 2.0).max(0.7);
                canvas.front(Item::Group(Group {
                    title: Some(format!("{}, mark {}", self.of.name(bar.made.id), bar.group.mark)),
                    data: vec![
                        ("bar", self.of.job.name(bar.made.id).to_owned()),
                        ("group", bar.group_at.to_string()),
                        ("number", bar.line.number.to_string()),
                    ],
                    items: vec![Item::Circle { at, radius, stroke: None, fill: Some(Fill::Full(Ink::Steel)) }],
                    ..Group::default()
                }));
                canvas.labels.take(Room::upright(
                    Spot::new(at.x - radius, at.y - radius),
                    Spot::new(at.x + radius, at.y + radius),
                ));
            } else if let Some(group) = bar_item(self.of, model, bar, 1) {
                canvas.front(Item::Group(group));
                for chain in &bar.chains {
                    let points: Vec<Spot> = chain.iter().map(|[_, out, level]| model.at(*out, *level)).collect();
                    canvas.avoid(&points);
                }
            }
        }
    }

    fn draw_form(&self, canvas: &mut Canvas, model: &Model, form: &FormSeen) {
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
            let boards = seen::walers(form.say, level, thick).into_iter();
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
                    let cleat = (at(brace.upper + 2.0 * brace.thick, brace.floor + brace.thick), foot);
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

    /// Names everything; gives the letters that stand for words.
    fn name_all(
        &self,
        canvas: &mut Canvas,
        model: &Model,
        forms: &[FormSeen],
        bars: &[&BarSeen],
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
                let tag = known.clone().unwrap_or_else(|| letters(keys.len()));
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
        for bar in bars {
            if named.contains(&bar.made.id) || matches!(bar.group.place, Place::Long { .. }) {
                continue;
            }
            named.push(bar.made.id);
            let points = bar.chains.iter().flatten();
            let outermost = points.max_by(|a, b| (a[1] + a[2]).total_cmp(&(b[1] + b[2])));
            if let Some([_, out, level]) = outermost {
                let says = format!("{}, mark {}", of.name(bar.made.id), bar.group.mark);
                label(canvas, model.at(*out, *level), Ink::Steel, says);
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
    fn draw_offsets(
        &self,
        canvas: &mut Canvas,
        model: &Model,
        bars: &[&BarSeen],
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
            if let crate::holes::Level::Offset(offset) = hole.level {
                offsets.push(offset);
            } else if set.tilt.is_none() {
                offsets.push(-set.deep);
            }
        }
        for bar in bars {
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

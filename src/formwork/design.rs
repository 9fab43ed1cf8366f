//! How hard the concrete presses, what holds the form, and whether every member does.

use super::{Around, Formwork, Panel, Trouble, Use, profile, sheets, standing};
use crate::{
    job::{Job, Thing},
    ledger::Figure,
    schema::{BlockId, Forms, LumberName, Pressure, StandsOn},
    standards::{
        Part, Unanswered, Worked,
        forms::{
            self, BOARD, Brace, BraceForces, Checked, Factors, Framing, Grain, Limit, Member as Beam, PANEL_STRESSES,
            PANELS, Panel as Sheet, Rectangle, STAKE, Spans, Stiffness, beam, column, held, one_sided, sheathing,
            weakest,
        },
        pressure::{self, Chemistry, CiriaPour, Element, Envelope, Placing, USUAL_DENSITY, aci, ciria, shares, thrust},
    },
    units::{Angle, Force, Length, LineLoad, Moment, Stress, System},
};

/// How far a form may sag: a 360th of its span, and 1/16 in; as textbooks on forms have it.
pub const SAG: Stiffness = Stiffness { part_of_span: 360.0, cap: Some(Length::from_nm(1_587_500)) };

/// How far below its own thickness a sheet may count as the next one of the table: 1/64 in, so that 18 mm is 23/32 in.
const NEAR: Length = Length::from_nm(396_875);

/// Taken where a brace does not say how steep it is.
pub const USUAL_ANGLE: Angle = Angle::from_degrees(45.0);

/// What the sheathing is.
#[derive(Debug, Clone, Copy)]
pub(super) enum Sheathing {
    Sheet { panel: Sheet },
    Board(Rectangle),
}

/// The sizes of all members, from the library or the job.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sizes {
    pub sheathing: Sheathing,
    pub stud: Rectangle,
    pub waler: Rectangle,
    pub brace: Option<Rectangle>,
    pub kick: Option<Rectangle>,
}

impl Sizes {
    pub fn of(job: &Job, forms: &Forms, troubles: &mut Vec<Trouble>) -> Option<Sizes> {
        let mut board = |name: LumberName, clause: &'static str| {
            let size = job.lumber_of(name.0)?.say.size.as_ref().map(|size| Rectangle::one(size.thick.0, size.wide.0));
            if size.is_none() {
                troubles.push(Trouble::NotA { clause, board: true });
            }
            size
        };
        let stud = board(forms.studs.value.size, "studs");
        let brace = forms.brace.as_ref().map(|brace| board(brace.value.size, "brace"));
        let waler = forms.walers.as_ref().map(|walers| {
            let size = board(walers.value.size, "walers")?;
            Some(if walers.value.double.is_some() { size.times(2) } else { size })
        });
        let kick = forms.kick.as_ref().map(|kick| board(kick.value.size, "kick"));
        if brace == Some(None) || waler == Some(None) || kick == Some(None) {
            return None;
        }
        let (stud, brace) = (stud?, brace.flatten());
        let spaces =
            forms.brace.as_ref().zip(brace).map(|(say, size)| ("brace", say.value.space.value.0, size.breadth));
        for (clause, space, thick) in
            spaces.into_iter().chain([("studs", forms.studs.value.space.value.0, stud.breadth)])
        {
            if space <= thick {
                troubles.push(Trouble::Close { clause, thick, space });
            }
        }
        let waler = waler.flatten().or(brace).unwrap_or(stud);
        let say = &job.lumber_of(forms.sheath.value.0)?.say;
        let sheathing = match (&say.sheet, &say.size) {
            (Some(sheet), _) => {
                let thick = sheet.thick.0;
                let rows = PANELS.iter().filter(|row| row.grade == PANEL_STRESSES[0].0);
                let thicknesses = rows.map(|row| Length::INCH * row.thirty_seconds / 32);
                let Some(row) = thicknesses.filter(|row| *row <= thick + NEAR).max() else {
                    troubles.push(Trouble::ThinSheet);
                    return None;
                };
                Sheathing::Sheet { panel: forms::panel(PANEL_STRESSES[0].0, row, Grain::Across)? }
            }
            (None, Some(size)) => Sheathing::Board(Rectangle::one(size.thick.0, size.wide.0)),
            (None, None) => return None,
        };
        Some(Sizes { sheathing, stud, waler, brace, kick: kick.flatten() })
    }
}

impl Sizes {
    /// How far the form reaches out of the concrete: sheathing, studs, and walers or kickers where there are any.
    pub fn deep(&self, walers: bool) -> Length {
        let sheath = match self.sheathing {
            Sheathing::Sheet { panel } => panel.thickness,
            Sheathing::Board(board) => board.breadth,
        };
        let walers = if walers { self.waler.depth } else { Length::ZERO };
        let kick = self.kick.map_or(Length::ZERO, |kick| kick.breadth);
        sheath + self.stud.depth + walers.max(kick)
    }
}

/// What holds a form at a level.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hold {
    /// A kicker along its foot.
    Kick,
    /// A row of ties into the old wall; which, from 0.
    Tie(usize),
    /// Braces.
    Brace,
}

/// A level that holds a form.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    /// What holds it.
    pub hold: Hold,
    /// How high above the foot.
    pub height: Length,
    /// What it holds of the thrust, for each length of wall.
    pub share: LineLoad,
}

/// A section's form.
#[derive(Debug, Clone, PartialEq)]
pub struct Design {
    /// The section.
    pub section: BlockId,
    /// The face it is reckoned at.
    pub panel: Panel,
    /// The level the fresh concrete stands up to: higher than the section where a lid closes its top.
    pub head: Length,
    /// The pressure.
    pub pressure: Worked<Envelope>,
    /// All of it, for each length of wall.
    pub thrust: Worked<pressure::Thrust>,
    /// What holds it, from below.
    pub levels: Vec<Level>,
}

impl Design {
    /// What holds a face of the section, and how high above its foot: on a face that begins higher or ends lower than the one that
    /// is reckoned ties keep their own level, where the face stands there, and braces meet it no higher than it reaches.
    #[must_use]
    pub fn holds(&self, panel: &Panel, system: System) -> Vec<(Hold, Length)> {
        let higher = panel.bottom - self.panel.bottom;
        let held = self.levels.iter().filter_map(|level| {
            let height = match level.hold {
                Hold::Kick => Length::ZERO,
                Hold::Tie(_) => level.height - higher,
                Hold::Brace if level.height > panel.height() => usual_height(panel, system),
                Hold::Brace => level.height,
            };
            (Length::ZERO <= height && height <= panel.height()).then_some((level.hold, height))
        });
        held.collect()
    }
}

/// Why a form is not held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unheld {
    /// Fewer than two levels hold it.
    OneLevel,
    /// A level lies below the foot or above the concrete.
    Outside(Hold),
    /// These two lie at one level.
    Order(Hold, Hold, Length),
    /// The form is pulled in there.
    Pulled(Hold),
    /// Nobody says what one of them takes.
    Unsaid(Hold),
    /// Nobody says how far apart the fixings of this level stand.
    Unspaced(Hold),
    /// A brace too slender, or too steep.
    Slender,
    /// Its fixings go into a floor, and before the form there is only ground.
    NoFloor(Hold),
    /// The fixings at this level lie so far out of the face, and the concrete below ends so far out of it, before they do.
    PastEdge(Hold, BlockId, Length, Length),
    /// Stakes hold this level, and this concrete or slab lies under them.
    Staked(Hold, BlockId),
    /// A kicker stands against the edge of this slab, and so much lies between them; the edge would have to lie so far out.
    FarBank(BlockId, Length, Length),
    /// A kicker that stands on this, and the foot of the form is so far above what lies before it that it does not reach: the levels
    /// of both.
    OverFloor(StandsOn, Length, Length),
    /// Ties at this level go into an old wall that stands from one level to another.
    OffWall(Length, (Length, Length)),
}

/// A member of a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sort {
    /// Sheathing between studs.
    Sheathing,
    /// Sheathing of a bulkhead between its two cleats.
    Bulkhead,
    /// A stud between two levels.
    Stud,
    /// A stud above the highest level.
    StudTop,
    /// A waler.
    Waler,
    /// A tie into the old wall.
    Tie,
    /// A brace.
    Brace,
    /// What a brace stands against.
    Foot,
    /// What a kicker stands against.
    Kick,
    /// What keeps the form down.
    Down,
}

/// A member where it is nearest to failing.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    /// Which.
    pub sort: Sort,
    /// The section.
    pub section: BlockId,
    /// The check.
    pub check: Checked,
    /// The widest spacing that would do, of what the member's own clause spaces.
    pub widest: Option<Length>,
}

pub(super) fn design(job: &Job, around: Around, forms: &Thing<Forms>, sizes: &Sizes, out: &mut Formwork) {
    let mut members: Vec<Member> = Vec::new();
    for section in &forms.say.against {
        let faces = out.panels.iter().filter(|panel| panel.section == section.value.0);
        // A wide end is held as the long face is: that one is reckoned, an end alone only where there is no other.
        let long = faces.clone().filter(|panel| panel.closes == Use::Face);
        let Some(panel) = long.min_by_key(|panel| (panel.is_end, panel.bottom)) else { continue };
        let panel = *panel;
        let head = head(job, around, &panel);
        let Some(mut pressure) = pressure(job, around, &forms.say, &panel, head) else { continue };
        pressure.value = pressure.value.on_form(panel.height());
        let (levels, heights) = levels(&forms.say, &panel, job.system());
        let mut designed = Design {
            section: panel.section,
            panel,
            head,
            thrust: thrust(&pressure.value),
            pressure,
            levels: Vec::new(),
        };
        match held_at(&designed.pressure.value, &panel, &levels, &heights) {
            Ok(levels) => designed.levels = levels,
            Err(unheld) => out.unheld.push((panel.section, unheld)),
        }
        let bulkheads: Vec<Panel> = faces.filter(|panel| panel.closes == Use::Bulkhead).copied().collect();
        let bays = sheets::fewest_bays(job, &forms.say, &panel);
        let mut checks = Checks { forms: &forms.say, bays, sizes, wood: &out.wood.0.value, members: &mut members };
        let rise = |height| standing::rise(job, around, &forms.say, &panel, height);
        if let Err(unheld) = checks.all(&designed, &bulkheads, rise) {
            out.unheld.push((panel.section, unheld));
        }
        // Each side of what stands free has its own ground before it.
        let sides = out.panels.iter().filter(|one| one.section == panel.section && one.closes == Use::Face);
        let mut told: Vec<Unheld> = Vec::new();
        for side in sides.clone().filter(|side| !side.is_end || panel.is_end) {
            for why in standing::unfixed(job, around, &forms.say, side) {
                if !told.contains(&why) {
                    told.push(why);
                }
            }
        }
        match sides.clone().find_map(|side| standing::bank(job, around, &forms.say, side)) {
            Some((_, gap, _)) if standing::is_wedged(gap) => out.wedged.push((panel.section, gap)),
            Some((slab, gap, out_to)) => told.push(Unheld::FarBank(slab, gap, out_to)),
            None => {}
        }
        out.unheld.extend(told.into_iter().map(|why| (panel.section, why)));
        out.designs.push(designed);
    }
    overlaps(job, &forms.say, out);
    for panel in out.panels.iter_mut().filter(|panel| panel.closes == Use::Face) {
        let design = out.designs.iter().find(|design| design.section == panel.section);
        let holds = design.map_or_else(Vec::new, |design| design.holds(panel, job.system()));
        panel.braced = holds
            .into_iter()
            .find(|(hold, _)| *hold == Hold::Brace)
            .map(|(_, height)| (panel.bottom + height, standing::rise(job, around, &forms.say, panel, height)));
    }
    members.sort_by(|one, other| (one.sort).cmp(&other.sort).then(other.check.ratio.total_cmp(&one.check.ratio)));
    members.dedup_by_key(|member| member.sort);
    out.members = members;
}

/// Boards of two levels of one face that lie in each other, once for each two.
fn overlaps(job: &Job, forms: &Forms, out: &mut Formwork) {
    let mut told: Vec<(Hold, Hold)> = Vec::new();
    for panel in out.panels.iter().filter(|panel| panel.closes == Use::Face) {
        let Some(design) = out.designs.iter().find(|design| design.section == panel.section) else { continue };
        let mut levels = design.holds(panel, job.system());
        levels.sort_by_key(|(hold, height)| (*height, *hold));
        for two in levels.windows(2) {
            let [(lower, low), (higher, high)] = *two else { continue };
            // Where nobody says how high braces meet a low form, they are set over its kicker as well as may be.
            if (lower, higher) == (Hold::Kick, Hold::Brace)
                && forms.brace.as_ref().is_some_and(|one| one.value.height.is_none())
            {
                continue;
            }
            let least = profile::band(job, forms, lower).1 - profile::band(job, forms, higher).0;
            if high - low < least && !told.contains(&(lower, higher)) {
                told.push((lower, higher));
                let (lower, higher) = ((lower, panel.bottom + low), (higher, panel.bottom + high));
                out.troubles.push(Trouble::Overlap { section: panel.section, lower, higher, least });
            }
        }
    }
}

/// The level fresh concrete stands up to: a lid keeps it in below the top of the pour.
fn head(job: &Job, around: Around, panel: &Panel) -> Length {
    let lids = job.pour(panel.pour).and_then(|pour| pour.say.lids.as_deref()).unwrap_or_default();
    let solid = around.solids.of(panel.pour);
    let top = around.sections.find(panel.section).map_or(panel.top, |placed| placed.top).max(panel.top);
    match solid {
        Some(solid) if lids.iter().any(|lid| lid.value.0 == panel.section) => solid.top.max(top),
        _ => top,
    }
}

fn pressure(job: &Job, around: Around, forms: &Forms, panel: &Panel, head: Length) -> Option<Worked<Envelope>> {
    let height = head - panel.bottom;
    let liquid = |why: &'static str| Worked {
        value: Envelope::liquid(USUAL_DENSITY, height),
        formula: "w * h",
        source: "hydrostatics: as a liquid",
        parts: vec![Part::density("w", USUAL_DENSITY, "weight of the fresh concrete"), Part::length("h", height, why)],
    };
    let rate = around.rise.get(&panel.pour).copied();
    let (Some(rate), Some(temperature)) = (rate, around.coldest) else {
        return Some(liquid(if rate.is_none() {
            "height of fresh concrete; how fast it rises is not planned"
        } else {
            "height of fresh concrete; no temperature is known"
        }));
    };
    let worked = match forms.pressure {
        Some(Pressure::Ciria) => ciria(&CiriaPour {
            element: Element::Wall,
            density: USUAL_DENSITY,
            form: height,
            height,
            rate,
            temperature,
            chemistry: Chemistry::Ordinary,
        }),
        Some(Pressure::Aci) | None => aci(&pressure::Pour {
            system: job.system(),
            element: Element::Wall,
            density: USUAL_DENSITY,
            height,
            rate,
            temperature,
            chemistry: Chemistry::Ordinary,
            slump: Length::INCH * 4,
            placing: Placing::default(),
        }),
    };
    // What a rule does not cover is a liquid.
    Some(worked.unwrap_or_else(|_| liquid("height of fresh concrete; outside what the rule covers")))
}

/// What holds a form, from below, and how high above its foot each level lies.
fn levels(forms: &Forms, panel: &Panel, system: System) -> (Vec<Hold>, Vec<Length>) {
    let mut out: Vec<(Length, Hold)> = Vec::new();
    if forms.kick.is_some() {
        out.push((Length::ZERO, Hold::Kick));
    }
    if let Some(ties) = &forms.ties {
        out.extend((0..).zip(&ties.value.rows).map(|(at, row)| (row.value - panel.bottom, Hold::Tie(at))));
    }
    if forms.brace.is_some() {
        out.push((brace_height(forms, panel, system), Hold::Brace));
    }
    out.sort();
    (out.iter().map(|(_, hold)| *hold).collect(), out.iter().map(|(height, _)| *height).collect())
}

/// How high above its foot braces meet a form.
pub(super) fn brace_height(forms: &Forms, panel: &Panel, system: System) -> Length {
    let said = forms.brace.as_ref().and_then(|brace| brace.value.height);
    said.map_or(usual_height(panel, system), |height| height.value.0)
}

/// Taken where a brace does not say how high it meets the form: three quarters of its height, to the inch or the 25 mm below.
#[must_use]
fn usual_height(panel: &Panel, system: System) -> Length {
    let step = match system {
        System::Feet => Length::INCH.nm(),
        System::Metric => 25_000_000,
    };
    let half = Length::from_nm(panel.height().nm() / 2);
    Length::from_nm((panel.height().nm() * 3 / 4).div_euclid(step) * step).max(half)
}

fn held_at(pressure: &Envelope, panel: &Panel, holds: &[Hold], heights: &[Length]) -> Result<Vec<Level>, Unheld> {
    let form = panel.height();
    let ([first, .., _], [_, second, ..]) = (holds, holds) else { return Err(Unheld::OneLevel) };
    for (hold, height) in holds.iter().zip(heights) {
        if *height < Length::ZERO || *height > form {
            return Err(Unheld::Outside(*hold));
        }
    }
    // They are in order, so that only equal ones are refused.
    let equal = || holds.windows(2).zip(heights.windows(2)).find(|(_, heights)| heights[0] == heights[1]);
    let shares = shares(pressure, heights).map_err(|_| match equal() {
        Some((holds, heights)) => Unheld::Order(holds[0], holds[1], panel.bottom + heights[0]),
        None => Unheld::Order(*first, *second, panel.bottom),
    })?;
    let level =
        |((hold, height), share): ((&Hold, &Length), &LineLoad)| Level { hold: *hold, height: *height, share: *share };
    Ok(holds.iter().zip(heights).zip(&shares).map(level).collect())
}

struct Checks<'c> {
    forms: &'c Forms,
    /// How many bays a piece of the sheathing spans at least.
    bays: u64,
    sizes: &'c Sizes,
    wood: &'c forms::Timber,
    members: &'c mut Vec<Member>,
}

impl Checks<'_> {
    fn push(&mut self, sort: Sort, section: BlockId, check: Checked, widest: Option<Length>) {
        self.members.push(Member { sort, section, check, widest });
    }

    fn all(&mut self, design: &Design, bulkheads: &[Panel], rises: impl Fn(Length) -> Length) -> Result<(), Unheld> {
        self.sheathing(design, bulkheads);
        if design.levels.is_empty() {
            return Ok(());
        }
        self.studs(design);
        let braces = self.forms.brace.as_ref().map(|brace| brace.value.space.value.0);
        let mut unheld = None;
        for level in &design.levels {
            if level.share < LineLoad::ZERO {
                unheld = unheld.or(Some(Unheld::Pulled(level.hold)));
                continue;
            }
            let done = match level.hold {
                Hold::Kick => self.kick(design, level),
                Hold::Tie(_) => self.tie(design, level),
                Hold::Brace => self.brace(design, level, braces, rises(level.height)),
            };
            unheld = unheld.or(done.err());
        }
        unheld.map_or(Ok(()), Err)
    }

    fn sheathing(&mut self, design: &Design, bulkheads: &[Panel]) {
        let p = design.pressure.value.peak;
        let spacing = self.forms.studs.value.space.value.0;
        let bays = self.bays;
        let sizes = self.sizes;
        let wide = |spans, spacing| sheath(sizes, spans, spacing, p);
        if let Some(check) = worst(wide(Spans::of(bays), spacing)) {
            let widest = check.widest;
            self.push(Sort::Sheathing, design.section, check, widest);
        }
        let of_ends = |end: &Panel| worst(wide(Spans::One, end.width));
        for check in bulkheads.iter().filter_map(of_ends) {
            self.push(Sort::Bulkhead, design.section, check, None);
        }
    }

    fn factors(&self, studs: bool) -> Factors {
        Factors { wet: true, repeated: studs, ..Factors::default() }
    }

    fn studs(&mut self, design: &Design) {
        let spacing = self.forms.studs.value.space.value.0;
        let Ok(wood) = self.wood.adjusted(self.sizes.stud, &self.factors(true)) else { return };
        let load = design.pressure.value.peak * spacing;
        let gaps = design.levels.windows(2).filter_map(|pair| match pair {
            [low, high] => Some(high.height - low.height),
            _ => None,
        });
        let Some(span) = gaps.max() else { return };
        let spans = match design.levels.len() {
            0..=2 => Spans::One,
            3 => Spans::Two,
            _ => Spans::Three,
        };
        let member = Beam { section: self.sizes.stud, wood: wood.beam, spans, span, load, stiffness: SAG };
        if let Some(check) = worst(beam(&member)) {
            let widest = check.widest_strip(spacing);
            self.push(Sort::Stud, design.section, check, widest);
        }
        let Some(top) = design.levels.last() else { return };
        let above = design.panel.height() - top.height;
        if above > Length::ZERO {
            // An even load as strong as at the level itself: more than there is.
            let pressure = design.pressure.value.at(design.head - design.panel.bottom - top.height);
            let w = pressure * spacing;
            let moment = Moment::from_newton_metres(w.n_m() * above.metres().powi(2) / 2.0);
            let takes = Moment::from_newton_metres(wood.beam.bending.pa() * self.sizes.stud.modulus().cubic_metres());
            let check = Checked {
                limit: Limit::Bending,
                load: Figure::Moment(moment),
                capacity: Figure::Moment(takes),
                ratio: moment / takes,
                widest: None,
                formula: "w * L^2 / 2",
                source: "statics of a beam that sticks out",
                parts: vec![
                    Part::line_load("w", w, "pressure at the highest level, on the strip of a stud"),
                    Part::length("L", above, "how far the stud stands above it"),
                ],
            };
            let widest = check.widest_strip(spacing);
            self.push(Sort::StudTop, design.section, check, widest);
        }
    }

    /// A waler over braces or ties.
    fn waler(&mut self, design: &Design, share: LineLoad, spacing: Length) {
        if share <= LineLoad::ZERO {
            return;
        }
        let Ok(wood) = self.wood.adjusted(self.sizes.waler, &self.factors(false)) else { return };
        let bays = design.panel.width.nm().div_euclid(spacing.nm().max(1)).unsigned_abs().max(1);
        let span = spacing.min(design.panel.width);
        let member = Beam {
            section: self.sizes.waler,
            wood: wood.beam,
            spans: Spans::of(bays),
            span,
            load: share,
            stiffness: SAG,
        };
        if let Some(check) = worst(beam(&member)) {
            let widest = check.widest;
            self.push(Sort::Waler, design.section, check, widest);
        }
    }

    fn hold(&mut self, sort: Sort, design: &Design, share: LineLoad, spacing: Length, takes: Force) {
        if let Ok(check) = held(share, spacing, takes) {
            let widest = check.widest;
            self.push(sort, design.section, check, widest);
        }
    }

    fn kick(&mut self, design: &Design, level: &Level) -> Result<(), Unheld> {
        let Some(kick) = &self.forms.kick else { return Ok(()) };
        let spacing = kick.value.space.as_ref().map(|space| space.value.0);
        let spacing = spacing.or(self.forms.brace.as_ref().map(|brace| brace.value.space.value.0));
        match takes(kick.value.on, kick.value.holds.map(|holds| holds.0)) {
            Some(Takes::All) => Ok(()),
            Some(Takes::Each(force)) => {
                let Some(spacing) = spacing else { return Err(Unheld::Unspaced(level.hold)) };
                self.hold(Sort::Kick, design, level.share, spacing, force);
                Ok(())
            }
            None => Err(Unheld::Unsaid(level.hold)),
        }
    }

    fn tie(&mut self, design: &Design, level: &Level) -> Result<(), Unheld> {
        let Some(ties) = &self.forms.ties else { return Ok(()) };
        let spacing = ties.value.space.value.0;
        self.waler(design, level.share, spacing);
        let Some(holds) = ties.value.holds else { return Err(Unheld::Unsaid(level.hold)) };
        self.hold(Sort::Tie, design, level.share, spacing, holds.0);
        Ok(())
    }

    fn brace(&mut self, design: &Design, level: &Level, spacing: Option<Length>, rise: Length) -> Result<(), Unheld> {
        let (Some(say), Some(spacing), Some(size)) = (&self.forms.brace, spacing, self.sizes.brace) else {
            return Ok(());
        };
        self.waler(design, level.share, spacing);
        let angle = say.value.angle.map_or(USUAL_ANGLE, |angle| angle.value.0);
        let brace = Brace { share: level.share, spacing, angle };
        let Ok(forces) = one_sided(&brace) else { return Err(Unheld::Slender) };
        let BraceForces { axial, uplift, .. } = forces.value;
        let length = brace_length(rise, angle).ok_or(Unheld::Slender)?;
        if axial > Force::ZERO {
            let wood = self.wood.adjusted(size, &self.factors(false)).map_err(|_: Unanswered| Unheld::Slender)?;
            let check = column(axial, length, size, &wood, spacing).map_err(|_| Unheld::Slender)?;
            let widest = check.widest;
            self.push(Sort::Brace, design.section, check, widest);
        }
        let mut unheld = None;
        match takes(say.value.on, say.value.holds.map(|holds| holds.0)) {
            Some(Takes::All) => {}
            Some(Takes::Each(force)) => self.hold(Sort::Foot, design, level.share, spacing, force),
            None => unheld = Some(Unheld::Unsaid(Hold::Brace)),
        }
        // What lifts the form, for each length of wall.
        let lift = LineLoad::from_n_m(uplift.newtons() / spacing.metres());
        if let Some(down) = &self.forms.down {
            self.hold(Sort::Down, design, lift, down.value.space.value.0, down.value.holds.0);
        } else if uplift > Force::ZERO {
            let check = Checked {
                limit: Limit::Hold,
                load: Figure::Force(uplift),
                capacity: Figure::Force(Force::ZERO),
                ratio: f64::INFINITY,
                widest: None,
                formula: "H * tan a",
                source: "statics",
                parts: vec![
                    Part::force("H", forces.value.level, "level push of a brace"),
                    Part { symbol: "a", value: Figure::Angle(angle), why: "how steep it is" },
                ],
            };
            self.push(Sort::Down, design.section, check, None);
        }
        unheld.map_or(Ok(()), Err)
    }
}

/// What the sheathing of a form comes to under a pressure, over so many spans between studs.
fn sheath(sizes: &Sizes, spans: Spans, spacing: Length, p: Stress) -> Result<Vec<Checked>, Unanswered> {
    match sizes.sheathing {
        Sheathing::Sheet { panel } => {
            let is_thick = sizes.stud.breadth >= Framing::FourInch.width();
            let framing = if is_thick { Framing::FourInch } else { Framing::TwoInch };
            sheathing(&panel, &PANEL_STRESSES[0].1.value, spans, framing, spacing, p, &SAG)
        }
        Sheathing::Board(board) => beam(&Beam {
            section: Rectangle::one(Length::FOOT, board.breadth),
            wood: BOARD.value,
            spans,
            span: spacing,
            load: p * Length::FOOT,
            stiffness: SAG,
        }),
    }
}

/// What would hold the widest bulkhead of a section.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct EndSheath {
    /// How wide it is.
    pub width: Length,
    /// How far apart its sheathing may be held.
    pub widest: Length,
    /// The sheathing is of boards.
    pub board: bool,
    /// The thinnest sheet there is that would do without more.
    pub thicker: Option<BlockId>,
}

/// What would hold the widest bulkhead of a section; nothing where no spacing would.
#[must_use]
pub fn end_sheath(job: &Job, forms: &Forms, formed: &Formwork, section: BlockId) -> Option<EndSheath> {
    let design = formed.designs.iter().find(|design| design.section == section)?;
    let ends = formed.panels.iter().filter(|panel| panel.section == section && panel.closes == Use::Bulkhead);
    let width = ends.map(|panel| panel.width).max()?;
    let p = design.pressure.value.peak;
    let check = |sheath_of: &Forms| {
        let sizes = Sizes::of(job, sheath_of, &mut Vec::new())?;
        worst(sheath(&sizes, Spans::One, width, p))
    };
    let own = job.lumber_of(forms.sheath.value.0)?.say.sheet.as_ref();
    // Rather of the size of those that are there, which are sold in the same place.
    let sheets = job.lumber.iter().filter_map(|lumber| {
        let (sheet, own) = (lumber.say.sheet.as_ref()?, own?);
        Some(((sheet.wide.0, sheet.long.0) != (own.wide.0, own.long.0), sheet.thick.0, lumber.id))
    });
    let holds = |sheet: BlockId| {
        let mut other = forms.clone();
        other.sheath.value.0 = sheet;
        check(&other).is_some_and(|check| check.ratio <= 1.0)
    };
    let thicker = sheets.filter(|(.., sheet)| holds(*sheet)).min().map(|(.., sheet)| sheet);
    Some(EndSheath { width, widest: check(forms)?.widest?, board: own.is_none(), thicker })
}

/// What a fixing takes.
enum Takes {
    /// It bears against what does not move.
    All,
    /// So much, each.
    Each(Force),
}

fn takes(on: StandsOn, holds: Option<Force>) -> Option<Takes> {
    match (on, holds) {
        (StandsOn::Bank, None) => Some(Takes::All),
        (_, Some(force)) => Some(Takes::Each(force)),
        (StandsOn::Stakes, None) => Some(Takes::Each(STAKE.value)),
        (StandsOn::Floor, None) => None,
    }
}

/// How long a brace is that rises so far; none for one that lies level.
#[must_use]
pub(super) fn brace_length(rise: Length, angle: Angle) -> Option<Length> {
    let sine = angle.radians().sin();
    (sine > 0.05).then(|| Length::round_nm(rise.nm() as f64 / sine))
}

/// The check that is nearest to failing, with the widest spacing at which none fails.
fn worst(checks: Result<Vec<Checked>, Unanswered>) -> Option<Checked> {
    let checks = checks.ok()?;
    let widest = checks.iter().map(|check| check.widest).min().flatten();
    Some(Checked { widest, ..weakest(&checks)?.clone() })
}

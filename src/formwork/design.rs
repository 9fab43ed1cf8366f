//! How hard the concrete presses, what holds the form, and whether every member does.

use super::{Around, Formwork, Panel, Trouble, Use, pressing, profile, sheets, standing};
use crate::{
    job::{Job, Thing},
    ledger::Figure,
    schema::{BlockId, Forms, LumberName, StandsOn, Surroundings},
    standards::{
        Part, Unanswered, Worked,
        forms::{
            self, BOARD, Brace, BraceForces, Checked, Factors, Framing, Grain, LEAST_WIND, Limit, Member as Beam,
            PANEL_STRESSES, PANELS, Panel as Sheet, Rectangle, STAKE, Spans, Stiffness, beam, bearing, column, held,
            least_at, one_sided, sheathing, weakest,
        },
        pressure::{self, Envelope, shares, thrust},
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
    /// The level the fresh concrete stands up to: higher than the section where a lid closes its top, or the same pour stacks more on it.
    pub head: Length,
    /// The pressure.
    pub pressure: Worked<Envelope>,
    /// All of it, for each length of wall.
    pub thrust: Worked<pressure::Thrust>,
    /// What holds it, from below.
    pub levels: Vec<Level>,
    /// What the least load along the top asks of the braces, where that is more than what they hold of the thrust.
    pub top: Option<Worked<LineLoad>>,
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

/// Before which faces of a section that has two something is found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FaceSide {
    /// Before each that there is.
    Each,
    /// Before the outer one alone.
    Outer,
    /// Before the inner one alone.
    Inner,
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
    NoFloor(Hold, FaceSide),
    /// The fixings at this level lie so far out of the face, and the concrete below ends so far out of it, before they do.
    PastEdge(Hold, BlockId, Length, Length),
    /// Stakes hold this level, and this concrete or slab lies under them.
    Staked(Hold, BlockId, FaceSide),
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
    /// A stud below the lowest level, where no kicker holds its foot.
    StudFoot,
    /// Studs and walers or kickers crushed where they bear on each other.
    StudBearing,
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
    /// A kicker between its fixings.
    KickBoard,
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
        let head = pressing::head(job, around, &panel);
        let mut pressure = pressing::pressure(job, around, &forms.say, &panel, head);
        pressure.value = pressure.value.on_form(panel.height());
        let (levels, heights) = levels(&forms.say, &panel, job.system());
        let mut designed = Design {
            section: panel.section,
            panel,
            head,
            thrust: thrust(&pressure.value),
            pressure,
            levels: Vec::new(),
            top: None,
        };
        match held_at(&designed.pressure.value, &panel, &levels, &heights) {
            Ok(levels) => {
                designed.top = least(job, &panel, &levels);
                designed.levels = levels;
            }
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
        let held = sides.clone().filter(|side| !side.is_end || panel.is_end);
        let by_side: Vec<(bool, Vec<Unheld>)> = held
            .map(|side| (standing::outer(job, around, side), standing::unfixed(job, around, &forms.say, side)))
            .collect();
        let mut told = on_sides(&by_side);
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

/// What is found before the faces of a section, each once; where before the others nothing of it is found, with the side it stands on.
fn on_sides(by_side: &[(bool, Vec<Unheld>)]) -> Vec<Unheld> {
    let mut out: Vec<Unheld> = Vec::new();
    for why in by_side.iter().flat_map(|(_, found)| found) {
        let mut with = by_side.iter().filter(|(_, found)| found.contains(why)).map(|(outer, _)| *outer);
        let mut without = by_side.iter().filter(|(_, found)| !found.contains(why)).map(|(outer, _)| *outer);
        let outer = with.next().unwrap_or(true);
        let one = with.all(|other| other == outer) && without.any(|other| other != outer);
        let before = match (one, outer) {
            (false, _) => FaceSide::Each,
            (true, true) => FaceSide::Outer,
            (true, false) => FaceSide::Inner,
        };
        let why = match *why {
            Unheld::NoFloor(hold, _) => Unheld::NoFloor(hold, before),
            Unheld::Staked(hold, thing, _) => Unheld::Staked(hold, thing, before),
            other => other,
        };
        if !out.contains(&why) {
            out.push(why);
        }
    }
    out
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

/// What the least load along the top asks of braces, where that is more than their share of the thrust. Ties hold a form to the old
/// wall at its top as at any level: beside them braces have no more to do.
fn least(job: &Job, panel: &Panel, levels: &[Level]) -> Option<Worked<LineLoad>> {
    if levels.iter().any(|level| matches!(level.hold, Hold::Tie(_))) {
        return None;
    }
    let level = levels.iter().find(|level| level.hold == Hold::Brace)?;
    let indoors = job.head.as_ref().is_some_and(|head| head.say.place == Some(Surroundings::Indoors));
    let wind = if indoors { Stress::ZERO } else { LEAST_WIND };
    let least = least_at(panel.height(), level.height, wind).ok()?;
    (LineLoad::ZERO <= level.share && level.share < least.value).then_some(least)
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
        let takes = Moment::from_newton_metres(wood.beam.bending.pa() * self.sizes.stud.modulus().cubic_metres());
        let sticks_out = |moment: f64, formula, parts| {
            let moment = Moment::from_newton_metres(moment);
            Checked {
                limit: Limit::Bending,
                load: Figure::Moment(moment),
                capacity: Figure::Moment(takes),
                ratio: moment / takes,
                widest: None,
                formula,
                source: "statics of a beam that sticks out",
                parts,
            }
        };
        let [Some(lowest), Some(top)] = [design.levels.first(), design.levels.last()] else { return };
        let pressure = &design.pressure.value;
        let above = design.panel.height() - top.height;
        let over = design.head - design.panel.bottom;
        if above > Length::ZERO {
            // An even load as strong as at the level itself: more than there is.
            let w = pressure.at(over - top.height) * spacing;
            let parts = vec![
                Part::line_load("w", w, "pressure at the highest level, on the strip of a stud"),
                Part::length("L", above, "how far the stud stands above it"),
            ];
            let check = sticks_out(w.n_m() * above.metres().powi(2) / 2.0, "w * L^2 / 2", parts);
            let widest = check.widest_strip(spacing);
            self.push(Sort::StudTop, design.section, check, widest);
        }
        let below = lowest.height;
        if below > Length::ZERO {
            // Down from the lowest level the pressure still grows for a while, and is even from there on.
            let grows = (pressure.full_head_to() - (over - below)).max(Length::ZERO).min(below);
            let [upper, lower] = [over - below, over].map(|depth| pressure.at(depth) * spacing);
            let (l, a) = (below.metres(), grows.metres());
            let moment = upper.n_m() * l * l / 2.0 + (lower - upper).n_m() * (l * l / 2.0 - a * a / 6.0);
            let parts = vec![
                Part::line_load("w1", upper, "pressure at the lowest level, on the strip of a stud"),
                Part::line_load("w2", lower, "the same at the foot"),
                Part::length("L", below, "how far the stud reaches below it"),
                Part::length("a", grows, "as far as that the pressure grows below it"),
            ];
            let check = sticks_out(moment, "w1 * L^2 / 2 + (w2 - w1) * (L^2 / 2 - a^2 / 6)", parts);
            let widest = check.widest_strip(spacing);
            self.push(Sort::StudFoot, design.section, check, widest);
        }
        self.crushed(design, spacing, wood.bearing);
    }

    /// Studs where they bear on walers, and on a kicker that stands on its edge: of each level what is nearest to being crushed.
    fn crushed(&mut self, design: &Design, spacing: Length, takes: Stress) {
        for level in design.levels.iter().filter(|level| level.share > LineLoad::ZERO) {
            let wide = match (level.hold, self.sizes.kick) {
                (Hold::Kick, Some(kick)) => kick.depth,
                (Hold::Kick, None) => continue,
                (Hold::Tie(_) | Hold::Brace, _) => self.sizes.waler.whole_breadth(),
            };
            let area = self.sizes.stud.breadth * wide;
            if let Ok(check) = bearing(level.share * spacing, area, takes, spacing) {
                let widest = check.widest;
                self.push(Sort::StudBearing, design.section, check, widest);
            }
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
                if kick.value.on != StandsOn::Bank {
                    self.kicker(design, level.share, spacing);
                }
                Ok(())
            }
            None => Err(Unheld::Unsaid(level.hold)),
        }
    }

    /// A kicker between its fixings: it stands on its edge and bends the way it is thin. Its sag is not looked at: there the floor
    /// or the ground closes what opens, and no face shows it.
    fn kicker(&mut self, design: &Design, share: LineLoad, spacing: Length) {
        let Some(size) = self.sizes.kick else { return };
        let Ok(wood) = self.wood.adjusted(size, &Factors { flat: true, ..self.factors(false) }) else { return };
        let bays = design.panel.width.nm().div_euclid(spacing.nm().max(1)).unsigned_abs().max(1);
        let member = Beam {
            section: size.flat(),
            wood: wood.beam,
            spans: Spans::of(bays),
            span: spacing.min(design.panel.width),
            load: share,
            stiffness: SAG,
        };
        let strong = |checks: Vec<Checked>| {
            checks.into_iter().filter(|check| matches!(check.limit, Limit::Bending | Limit::Shear)).collect()
        };
        if let Some(check) = worst(beam(&member).map(strong)) {
            let widest = check.widest;
            self.push(Sort::KickBoard, design.section, check, widest);
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
        // A push along the top is over in a moment, and no face sets under it: walers are there for what the concrete does.
        self.waler(design, level.share, spacing);
        let share = design.top.as_ref().map_or(level.share, |top| top.value);
        let angle = say.value.angle.map_or(USUAL_ANGLE, |angle| angle.value.0);
        let brace = Brace { share, spacing, angle };
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
            Some(Takes::Each(force)) => self.hold(Sort::Foot, design, share, spacing, force),
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

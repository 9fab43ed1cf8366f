//! Forms: which faces of new concrete they stand against, how hard it presses on them, what holds them, whether that holds, and
//! what they are built from.
//!
//! A form on one side of a wall has nothing on the other side to pull against: all of the thrust goes through braces, kickers
//! and ties into the old wall. Between the levels that hold it the form is a simple beam (`standards::pressure::shares`).
//! Everything is reckoned at the face where the concrete stands highest above the foot of the form, for each section.

mod boxes;
mod corners;
mod design;
mod faces;
mod laid;
mod lumber;
mod numbers;
mod passing;
mod pressing;
mod profile;
mod sheets;
mod standing;
mod ties;

pub use boxes::BoxOut;
pub use corners::{Past, Reach};
pub use design::{Design, EndSheath, FaceSide, Hold, Level, Member, Sort, USUAL_ANGLE, Unheld, end_sheath};
pub use faces::{Panel, Use};
pub use laid::{InFloor, Laid, is_on_floor};
pub use lumber::{Boards, Cut, Joined, Part, PartSort, usual_lengths, waler_size};
pub use numbers::{enter, limit_word, member_name};
pub use passing::Crossing;
use profile::sheath_size;
pub use profile::{Lean, Profile, STAKE_THICK, waler_boards};
pub use sheets::{SheetLine, Sheets, boards_high, sheathing};
pub use ties::{Rod, TieRow, studs, tie_depth};

use std::collections::BTreeMap;

use crate::{
    concrete::{PlacedVoid, Sections, Skin, Solids, Standing, depth},
    cutting::{Problem, Solved},
    job::{Job, Thing},
    schema::{BlockId, Forms},
    standards::forms::{PANEL_STRESSES, SPECIES, Setting, Species, Timber},
    units::{Area, Length, Speed, Temperature},
    yard::Shops,
};

/// A block of forms, worked out.
#[derive(Debug, Clone)]
pub struct Formwork {
    /// The block.
    pub forms: BlockId,
    /// The faces it stands against.
    pub panels: Vec<Panel>,
    /// Undersides over a form: their shores are not worked out here.
    pub soffits: Area,
    /// How hard the concrete presses, and what holds it, by section.
    pub designs: Vec<Design>,
    /// The members, each where it is nearest to failing.
    pub members: Vec<Member>,
    /// Levels that cannot hold, and why.
    pub unheld: Vec<(BlockId, Unheld)>,
    /// Sections whose kicker is wedged against the edge of a slab, and over which gap.
    pub wedged: Vec<(BlockId, Length)>,
    /// What holds it, fixed to a floor over something that is to be kept clear there.
    pub over: Vec<(Hold, BlockId)>,
    /// Boxes that keep voids empty.
    pub boxes: Vec<BoxOut>,
    /// What it is built from.
    pub parts: Vec<Part>,
    /// Which of these are pieces of something longer than any board.
    pub joined: Vec<Joined>,
    /// Sheets, and what is sawn out of each.
    pub sheets: Option<Sheets>,
    /// Nails: of 8d and of 16d.
    pub nails: [u64; 2],
    /// Stakes.
    pub stakes: u64,
    /// Ties into the old wall, row by row: as many are bought as stand here.
    pub ties: Vec<TieRow>,
    /// The wood, and whether it is only what is usual.
    pub wood: (Setting<Timber>, bool),
    /// How far it reaches out of the concrete, studs and walers included; none where a size is wanting.
    pub deep: Option<Length>,
    /// The feet of its long faces: what a dig leaves room for.
    pub feet: Vec<Foot>,
    /// Sections with less room before them than that, because of a slab.
    pub tight: Vec<Tight>,
    /// Sections with an old wall behind them too near for that.
    pub narrow: Vec<Narrow>,
    /// Braces that run into each other in its corners.
    pub crossings: Vec<Crossing>,
    /// What is wrong with sizes.
    pub troubles: Vec<Trouble>,
}

/// The foot of a form along a long face of a section.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Foot {
    /// The section.
    pub section: BlockId,
    /// It stands at the section's outer face.
    pub outer: bool,
    /// The level it stands at.
    pub level: Length,
    /// How far it reaches out of the concrete there: its boards and what holds them along the foot.
    pub out: Length,
    /// The level its braces stand at, and how far out of the concrete they reach there; none without braces.
    pub braced: Option<(Length, Length)>,
}

/// A form that does not go in between new concrete and the edge of a slab.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tight {
    /// The section.
    pub section: BlockId,
    /// The slab.
    pub slab: BlockId,
    /// The strip that is broken out before it, the widest there is.
    pub strip: BlockId,
    /// The room between them.
    pub room: Length,
    /// What is wanted of it.
    pub takes: Length,
    /// The form itself has room; its braces have not.
    pub braced: bool,
    /// How far the strip must reach out from the old face.
    pub out: Length,
}

/// A form that does not go in between new concrete and the old wall behind it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Narrow {
    /// The section.
    pub section: BlockId,
    /// The old wall.
    pub wall: BlockId,
    /// From where to where out of the old face the section lies.
    pub offset: (Length, Length),
    /// How far the form reaches out of the concrete.
    pub takes: Length,
}

impl Formwork {
    /// All of the faces.
    #[must_use]
    pub fn area(&self) -> Area {
        self.panels.iter().map(|panel| panel.width * panel.height()).sum()
    }
}

/// What is wrong with a block of forms.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trouble {
    /// A section of it has no face that wants a form.
    NoFace {
        /// Its place in `against`.
        at: usize,
    },
    /// A board is wanted, and this is a sheet, or the other way round.
    NotA {
        /// The clause.
        clause: &'static str,
        /// A board is wanted, not a sheet.
        board: bool,
    },
    /// No strength is known of a sheet so thin.
    ThinSheet,
    /// Members closer to each other than they are thick.
    Close {
        /// The clause.
        clause: &'static str,
        /// How thick each is.
        thick: Length,
        /// How far apart they stand.
        space: Length,
    },
    /// The boards of two levels lie in each other.
    Overlap {
        /// The section.
        section: BlockId,
        /// The lower one, and its level.
        lower: (Hold, Length),
        /// The higher one, and its level.
        higher: (Hold, Length),
        /// How far apart they must be.
        least: Length,
    },
}

/// What is known from elsewhere.
#[derive(Clone, Copy)]
pub struct Around<'w> {
    /// The walls in plan.
    pub standing: &'w Standing,
    /// Sections in plan.
    pub sections: &'w Sections,
    /// The solids with their surfaces.
    pub solids: &'w Solids,
    /// The upright faces that want a form.
    pub formed: &'w [Skin],
    /// In which turn pours are made.
    pub turn: &'w BTreeMap<BlockId, usize>,
    /// The fastest rise of each pour, where it is planned.
    pub rise: &'w BTreeMap<BlockId, Speed>,
    /// What ties keep clear of.
    pub rods: &'w [Rod],
    /// What is kept clear in floors.
    pub laid: &'w InFloor,
    /// The coldest of the job's weather.
    pub coldest: Option<Temperature>,
}

/// Works out all forms, as they are written.
#[must_use]
pub fn forms(job: &Job, around: Around) -> Vec<Formwork> {
    let mut voids: BTreeMap<BlockId, Vec<&PlacedVoid>> = BTreeMap::new();
    for void in &around.sections.voids {
        voids.entry(void.section).or_default().push(void);
    }
    job.forms.iter().map(|forms| one(job, around, forms, &voids)).collect()
}

/// The boards of a job: which pieces are cut from which.
#[must_use]
pub fn boards(job: &Job, all: &[Formwork], shops: Shops, solved: &Solved) -> Vec<Boards> {
    lumber::boards(job, all, shops, solved)
}

/// What is to be cut of each size, to be solved ahead.
#[must_use]
pub fn problems(job: &Job, all: &[Formwork], shops: Shops) -> Vec<Problem> {
    lumber::problems(job, all, shops)
}

/// The boards of one size.
#[must_use]
pub fn boards_of(job: &Job, all: &[Formwork], size: BlockId, shops: Shops, solved: &Solved) -> Option<Boards> {
    lumber::boards_of(job, all, size, shops, solved)
}

/// The wood of a block of forms: spruce-pine-fir unless it says another.
#[must_use]
fn wood(forms: &Forms) -> (Setting<Timber>, bool) {
    use crate::schema::Wood;
    let species = match forms.wood {
        Some(Wood::DouglasFir) => Species::DouglasFirLarch,
        Some(Wood::HemFir) => Species::HemFir,
        Some(Wood::SouthernPine) => Species::SouthernPine,
        Some(Wood::Spruce) | None => Species::SprucePineFir,
    };
    let of = |wanted: Species| SPECIES.iter().find(|(species, _)| *species == wanted).map(|(_, wood)| *wood);
    // Every species stands in the table.
    let first = SPECIES[0].1;
    (of(species).unwrap_or(first), forms.wood.is_none())
}

/// What the panels take: those of Class I.
#[must_use]
pub fn usual_panels() -> &'static str {
    PANEL_STRESSES[0].1.name
}

fn one(job: &Job, around: Around, forms: &Thing<Forms>, voids: &BTreeMap<BlockId, Vec<&PlacedVoid>>) -> Formwork {
    let mut out = Formwork {
        forms: forms.id,
        panels: faces::panels(around, forms),
        soffits: faces::soffits(around.solids, forms),
        designs: Vec::new(),
        members: Vec::new(),
        unheld: Vec::new(),
        wedged: Vec::new(),
        over: Vec::new(),
        boxes: boxes::boxes(job, around, forms, voids),
        parts: Vec::new(),
        joined: Vec::new(),
        sheets: None,
        nails: [0, 0],
        stakes: 0,
        ties: Vec::new(),
        wood: wood(&forms.say),
        deep: None,
        feet: Vec::new(),
        tight: Vec::new(),
        narrow: Vec::new(),
        crossings: Vec::new(),
        troubles: Vec::new(),
    };
    for (at, section) in forms.say.against.iter().enumerate() {
        let poured = around.solids.with(section.value.0).is_some();
        if poured && !out.panels.iter().any(|panel| panel.section == section.value.0) {
            out.troubles.push(Trouble::NoFace { at });
        }
    }
    let Some(sizes) = design::Sizes::of(job, &forms.say, &mut out.troubles) else { return out };
    let deep = sizes.deep(forms.say.walers.is_some());
    out.deep = Some(deep);
    corners::reach(job, &forms.say, &sizes, &mut out.panels);
    design::design(job, around, forms, &sizes, &mut out);
    out.crossings = passing::pass(job, &forms.say, &mut out.panels);
    out.over = laid::over(job, around, &forms.say, &out.panels);
    out.tight = tight(job, around, forms, &out.panels, deep);
    out.narrow = narrow(job, around, &out.panels, deep);
    out.feet = standing::feet(job, around, &forms.say, &out.panels, deep);
    lumber::parts(job, forms, &sizes, &mut out);
    let (ties, off) = ties::ties(job, around, forms, &out);
    out.ties = ties;
    out.unheld.extend(off);
    out
}

/// Where a form goes down beside what is left of a slab, and there is not the room for it, or for the braces that stand there with it.
fn tight(job: &Job, around: Around, forms: &Thing<Forms>, panels: &[Panel], deep: Length) -> Vec<Tight> {
    let mut out: Vec<Tight> = Vec::new();
    for panel in panels.iter().filter(|panel| panel.closes == Use::Face) {
        let (Some(placed), Some(section)) = (around.sections.find(panel.section), job.section(panel.section)) else {
            continue;
        };
        for interval in &placed.intervals {
            let Some(leg) = around.standing.leg_ref(interval.on) else { continue };
            let (_, outer) = depth(section, around.standing, interval.on);
            for slab in job.slabs.iter().filter(|slab| slab.say.top > panel.bottom) {
                let strips = job.removes.iter().filter(|strip| strip.say.slab.0 == slab.id);
                let here = strips.filter(|strip| strip.say.along.0.iter().any(|part| part.value.names(leg)));
                let Some(strip) = here.max_by_key(|strip| strip.say.out.value.0) else { continue };
                let room = strip.say.out.value.0 - outer;
                let known = out.iter().any(|tight| (tight.section, tight.slab) == (panel.section, slab.id));
                let low = standing::reach(&forms.say, panel).filter(|(foot, _)| *foot < slab.say.top);
                let takes = low.map_or(deep, |(_, reach)| lumber::up(deep + reach, job.system()));
                // Without any room the concrete is cast against the slab, and no form stands there.
                if !known && room > Length::ZERO && room < takes {
                    let (section, slab, strip) = (panel.section, slab.id, strip.id);
                    out.push(Tight { section, slab, strip, room, takes, braced: room >= deep, out: outer + takes });
                }
            }
        }
    }
    out
}

/// Where a form goes down between new concrete and the old wall behind it, and there is not the room for it; of each section where
/// there is least.
fn narrow(job: &Job, around: Around, panels: &[Panel], deep: Length) -> Vec<Narrow> {
    let mut out: BTreeMap<BlockId, Narrow> = BTreeMap::new();
    for panel in panels.iter().filter(|panel| panel.closes == Use::Face && !panel.is_end) {
        let (Some(placed), Some(section)) = (around.sections.find(panel.section), job.section(panel.section)) else {
            continue;
        };
        if standing::outer(job, around, panel) {
            continue;
        }
        for interval in &placed.intervals {
            let stands = around.standing.heights(interval.on);
            let is_behind = stands.is_some_and(|(bottom, top)| bottom < panel.top && panel.bottom < top);
            let offset = depth(section, around.standing, interval.on);
            if is_behind && Length::ZERO < offset.0 && offset.0 < deep {
                let here = Narrow { section: section.id, wall: placed.wall, offset, takes: deep };
                let least = out.entry(section.id).or_insert(here);
                if here.offset < least.offset {
                    *least = here;
                }
            }
        }
    }
    out.into_values().collect()
}

/// A tidy spacing no wider than this: whole inches, or steps of 25 mm; none below one of them.
#[must_use]
pub fn tidy(widest: Length, system: crate::units::System) -> Option<Length> {
    let step = match system {
        crate::units::System::Feet => Length::INCH,
        crate::units::System::Metric => Length::from_nm(25_000_000),
    };
    let tidy = Length::from_nm(widest.nm().div_euclid(step.nm()) * step.nm());
    (tidy > Length::ZERO).then_some(tidy)
}

//! What forms are built from: pieces of board with their cutting plan, sheets with a layout, nails and stakes.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    Formwork, Use,
    design::{Hold, Sizes, USUAL_ANGLE, brace_length},
    sheets,
};
use crate::{
    cutting::{self, Problem, Proof, Solved},
    job::{Job, Thing},
    schema::{BlockId, Forms, StandsOn},
    standards::forms::{Nail, NailFactors, Nailed, USUAL_NAILS, lateral, nails_needed, studs_along},
    units::{Length, Money, System, whole_up},
    yard::{Shops, Source, Yard},
};

/// Along a stud, a nail every 8 in; common practice, no source.
const NAIL_EVERY: Length = Length::from_nm(8 * Length::INCH.nm());

/// What a piece of board is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum PartSort {
    /// A board of the sheathing.
    Sheathing,
    /// A stud.
    Stud,
    /// A cleat of a bulkhead.
    Cleat,
    /// A waler.
    Waler,
    /// A kicker.
    Kick,
    /// A brace.
    Brace,
}

/// Pieces of board that are alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Part {
    /// What they are.
    pub sort: PartSort,
    /// Their size.
    pub size: BlockId,
    /// How long each is, rounded up to what is sawn.
    pub length: Length,
    /// How many.
    pub count: u64,
}

/// Boards longer than what they are cut from, joined of several.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Joined {
    /// What they are.
    pub sort: PartSort,
    /// The joint lies on the middle of what carries them: a stud, a brace, a fixing; else it lies where the board ends.
    pub on_support: bool,
}

/// Boards cut alike.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cut {
    /// How many.
    pub times: u64,
    /// From which source.
    pub source: usize,
    /// Lengths, and how many of each, longest first.
    pub pieces: Vec<(Length, u64)>,
    /// What is left of each board.
    pub left: Length,
}

/// The cutting plan of one size of board.
#[derive(Debug, Clone, PartialEq)]
pub struct Boards {
    /// The size.
    pub size: BlockId,
    /// What it is cut from.
    pub sources: Vec<Source>,
    /// The pieces: how long, how many.
    pub pieces: Vec<(Length, u64)>,
    /// The boards; none where a piece is longer than any.
    pub cuts: Vec<Cut>,
    /// What they cost, where all stock has a price of one currency.
    pub cost: Option<Money>,
    /// Why nothing costs less; without prices, why nothing takes less length.
    pub proof: Proof,
    /// What a cut takes.
    pub kerf: Length,
}

impl Boards {
    /// How many boards of each source are bought, in the order of the sources; none that lie at hand.
    #[must_use]
    pub fn sources_bought(&self) -> Vec<(Source, u64)> {
        let bought = self.sources.iter().enumerate().filter(|(_, source)| !source.at_hand);
        let counted = bought.map(|(at, source)| {
            let count = self.cuts.iter().filter(|cut| cut.source == at).map(|cut| cut.times).sum();
            (*source, count)
        });
        counted.filter(|(_, count)| *count > 0).collect()
    }

    /// Boards to buy, by length, longest first.
    #[must_use]
    pub fn bought(&self) -> Vec<(Length, u64)> {
        let mut out: BTreeMap<Length, u64> = BTreeMap::new();
        for cut in &self.cuts {
            if let Some(source) = self.sources.get(cut.source).filter(|source| !source.at_hand) {
                *out.entry(source.length).or_default() += cut.times;
            }
        }
        out.into_iter().rev().collect()
    }
}

pub(super) fn parts(job: &Job, forms: &Thing<Forms>, sizes: &Sizes, out: &mut Formwork) {
    let say = &forms.say;
    let system = job.system();
    let mut all: BTreeMap<(PartSort, BlockId, Length), u64> = BTreeMap::new();
    let mut joined: BTreeSet<Joined> = BTreeSet::new();
    // What is longer than a board is made of several: each ends on the middle of the farthest of what carries it that it reaches, save
    // the outermost, beyond which nothing would hold the next. Of walers side by side the second ends one place before the first.
    let mut along_face = |sort, size: BlockId, (from, to): (Length, Length), on: &[Length], count: u64, turn: usize| {
        let longest = longest(job, size);
        let (mut start, mut turn) = (from, turn);
        while to - start > longest {
            let inner = on.get(1..on.len().saturating_sub(1)).unwrap_or_default();
            let reached: Vec<Length> =
                inner.iter().filter(|at| start < **at && **at - start <= longest).copied().collect();
            let end = reached.get(reached.len().saturating_sub(1 + turn)).copied();
            joined.insert(Joined { sort, on_support: end.is_some() });
            let end = end.unwrap_or(start + longest);
            *all.entry((sort, size, up(end - start, system).min(longest))).or_default() += count;
            (start, turn) = (end, 0);
        }
        if start < to {
            *all.entry((sort, size, up(to - start, system).min(longest))).or_default() += count;
        }
    };
    let spacing = say.studs.value.space.value.0;
    let along = |width: Length, spacing: Length| studs_along(width, spacing).map_or(0, |count| count.value);
    for panel in &out.panels {
        let (width, height) = (panel.width, panel.height());
        let studs = if panel.closes == Use::Face { along(panel.reach.studs.length(width), spacing) } else { 2 };
        let sort = if panel.closes == Use::Face { PartSort::Stud } else { PartSort::Cleat };
        let (of_studs, up_it) = (say.studs.value.size.0, (Length::ZERO, height));
        along_face(sort, of_studs, up_it, &[], studs, 0);
        let on_studs = panel.studs(spacing);
        let rows = match sheets::boards_high(job, say, panel) {
            None => 0,
            Some((rows, _)) => {
                let reach = panel.reach.sheath.along(width);
                // Every second board is joined on another stud.
                for (turn, count) in [(0, rows.div_ceil(2)), (1, rows / 2)] {
                    along_face(PartSort::Sheathing, say.sheath.value.0, reach, &on_studs, count, turn);
                }
                rows
            }
        };
        out.nails[0] += studs * (whole_up(height.nm() as f64 / NAIL_EVERY.nm() as f64) + 1).max(2 * rows);
        if panel.closes != Use::Face {
            out.nails[1] += bulkhead_nails(out, panel.section, width, sizes);
            continue;
        }
        let Some(design) = out.designs.iter().find(|design| design.section == panel.section) else { continue };
        let waler = panel.reach.waler.along(width);
        for (hold, _) in design.holds(panel, system) {
            match hold {
                Hold::Kick => {
                    let Some(kick) = &say.kick else { continue };
                    let spaced = kick.value.space.as_ref().map(|space| space.value.0);
                    let spaced = spaced.or(say.brace.as_ref().map(|brace| brace.value.space.value.0));
                    // Along a bank it is held everywhere.
                    let fixed = spaced.filter(|_| kick.value.on != StandsOn::Bank).map(|spaced| panel.braces(spaced));
                    let on = fixed.as_deref().unwrap_or(&on_studs);
                    along_face(PartSort::Kick, kick.value.size.0, panel.reach.kicker.along(width), on, 1, 0);
                    out.nails[1] += 2 * studs;
                    if let (StandsOn::Stakes, Some(spaced)) = (kick.value.on, spaced) {
                        out.stakes += along(panel.reach.brace.length(width), spaced);
                    }
                }
                Hold::Tie(_) => {
                    for turn in 0..sizes.waler.pieces {
                        along_face(PartSort::Waler, waler_size(say), waler, &on_studs, 1, turn as usize);
                    }
                    out.nails[1] += 2 * studs;
                }
                Hold::Brace => {
                    let Some(brace) = &say.brace else { continue };
                    let on_braces = panel.braces(brace.value.space.value.0);
                    for turn in 0..sizes.waler.pieces {
                        along_face(PartSort::Waler, waler_size(say), waler, &on_braces, 1, turn as usize);
                    }
                    let count = along(panel.reach.brace.length(width), brace.value.space.value.0);
                    let angle = brace.value.angle.map_or(USUAL_ANGLE, |angle| angle.value.0);
                    if let Some(length) = panel.braced.and_then(|(_, rise)| brace_length(rise, angle)) {
                        along_face(PartSort::Brace, brace.value.size.0, (Length::ZERO, length), &[], count, 0);
                    }
                    out.nails[1] += 2 * studs + 4 * count;
                    if brace.value.on == StandsOn::Stakes {
                        out.stakes += count;
                    }
                }
            }
        }
    }
    for (long, short, count) in out.boxes.iter().flat_map(|one| &one.boards) {
        let size = job.lumber_of(say.sheath.value.0).and_then(|size| size.say.size.as_ref());
        if let Some(wide) = size.map(|size| size.wide.0) {
            let rows = whole_up(short.nm() as f64 / wide.nm().max(1) as f64);
            along_face(PartSort::Sheathing, say.sheath.value.0, (Length::ZERO, *long), &[], rows * count, 0);
        }
    }
    out.joined = joined.into_iter().collect();
    out.parts = all.into_iter().map(|((sort, size, length), count)| Part { sort, size, length, count }).collect();
    out.sheets = sheets::sheets(job, say, &out.panels, &out.boxes);
}

/// The longest piece of a size that is bought or lies there.
pub(super) fn longest(job: &Job, size: BlockId) -> Length {
    yard(job, size, Shops::of(job)).map_or(Length::ZERO, |yard| yard.longest()).max(Length::INCH)
}

/// Walers are as the file says, else as the braces, else as the studs.
#[must_use]
pub fn waler_size(say: &Forms) -> BlockId {
    let walers = say.walers.as_ref().map(|walers| walers.value.size);
    walers.or(say.brace.as_ref().map(|brace| brace.value.size)).unwrap_or(say.studs.value.size).0
}

/// Nails through both ends of a bulkhead for what presses on it: 16d in single shear, half of the thrust at either side.
fn bulkhead_nails(out: &Formwork, section: BlockId, width: Length, sizes: &Sizes) -> u64 {
    let Some(design) = out.designs.iter().find(|design| design.section == section) else { return 4 };
    let half = design.thrust.value.force * width * 0.5;
    let nail: Nail = USUAL_NAILS[2].value;
    let gravity = out.wood.0.value.gravity;
    let one = lateral(&Nailed {
        nail,
        yield_psi: None,
        side: sizes.stud.breadth,
        side_gravity: gravity,
        main_gravity: gravity,
        factors: NailFactors { wet: true, ..NailFactors::default() },
    });
    let needed = one.ok().and_then(|one| nails_needed(half, one.value).ok()).map_or(2, |count| count.value);
    2 * needed.max(2)
}

/// Up to what is sawn: a sixteenth of an inch, or a millimetre.
pub(super) fn up(length: Length, system: System) -> Length {
    let step = match system {
        System::Feet => Length::INCH.nm() / 16,
        System::Metric => 1_000_000,
    };
    // A hair's breadth over is none.
    Length::from_nm((length.nm() + step - 1000).div_euclid(step) * step)
}

/// Usual lengths of boards: 8 to 16 ft by twos, or 2.4 to 4.8 m; common practice, no source.
#[must_use]
pub fn usual_lengths(system: System) -> [Length; 5] {
    match system {
        System::Feet => [8, 10, 12, 14, 16].map(|feet| Length::FOOT * feet),
        System::Metric => [2400, 3000, 3600, 4200, 4800].map(|mm| Length::from_nm(mm * 1_000_000)),
    }
}

/// A saw takes so much; common practice, no source.
const SAW: Length = Length::from_nm(Length::INCH.nm() / 8);

/// What boards of a size are cut from; a saw takes an eighth of an inch unless the stock says otherwise.
fn yard(job: &Job, size: BlockId, shops: Shops) -> Option<Yard> {
    Yard::new(job, size, &usual_lengths(job.system()), SAW, shops)
}

/// What a cut takes of a size: an eighth of an inch unless its stock says otherwise.
pub(super) fn kerf(job: &Job, size: BlockId) -> Length {
    yard(job, size, Shops::of(job)).map_or(SAW, |yard| yard.kerf())
}

/// The cutting plan of each size, over all forms of the job.
pub(super) fn boards(job: &Job, all: &[Formwork], shops: Shops, solved: &Solved) -> Vec<Boards> {
    let sizes = all.iter().flat_map(|forms| &forms.parts).map(|part| (job.name(part.size), part.size));
    let sizes: BTreeSet<(&str, BlockId)> = sizes.collect();
    sizes.into_iter().filter_map(|(_, size)| boards_of(job, all, size, shops, solved)).collect()
}

/// What is to be cut of each size, as a problem that can be solved elsewhere.
pub(super) fn problems(job: &Job, all: &[Formwork], shops: Shops) -> Vec<Problem> {
    let sizes: BTreeSet<BlockId> = all.iter().flat_map(|forms| &forms.parts).map(|part| part.size).collect();
    let problem = |size| Some(yard(job, size, shops)?.problem(pieces(all, size)));
    sizes.into_iter().filter_map(problem).collect()
}

/// The cutting plan of one size with these shops' stock.
pub(super) fn boards_of(job: &Job, all: &[Formwork], size: BlockId, shops: Shops, solved: &Solved) -> Option<Boards> {
    plan(job, size, pieces(all, size).collect(), shops, solved)
}

/// The boards of one size by their lengths, the longest first.
fn pieces(all: &[Formwork], size: BlockId) -> impl Iterator<Item = (Length, u64)> {
    let mut pieces: BTreeMap<std::cmp::Reverse<Length>, u64> = BTreeMap::new();
    for part in all.iter().flat_map(|forms| &forms.parts).filter(|part| part.size == size) {
        *pieces.entry(std::cmp::Reverse(part.length)).or_default() += part.count;
    }
    pieces.into_iter().map(|(length, count)| (length.0, count))
}

fn plan(job: &Job, size: BlockId, pieces: Vec<(Length, u64)>, shops: Shops, solved: &Solved) -> Option<Boards> {
    let yard = yard(job, size, shops)?;
    let plan = solved.plan(yard.problem(pieces.iter().copied())).ok()?;
    let cut = |bars: &cutting::Bars| Cut {
        times: bars.times,
        source: bars.stock,
        pieces: bars.pieces.iter().filter_map(|(kind, count)| Some((pieces.get(*kind)?.0, *count))).collect(),
        left: Length::from_nm(bars.leftover),
    };
    let cuts = plan.bars.iter().map(cut).collect();
    let cost = yard.cost(plan.cost);
    Some(Boards { size, sources: yard.sources().to_vec(), cuts, proof: plan.proof, kerf: yard.kerf(), cost, pieces })
}

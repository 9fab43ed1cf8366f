//! What holds bars in place until the concrete does: what they are tied to, and the bars that nothing holds.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    bars::{BarsMade, Group, Place, made},
    clearance::{Beside, Clearances, TIED},
    lines::{CHORD, lines},
    tying::{Filled, Tying},
};
use crate::{
    concrete::LegAt,
    job::Job,
    schema::{BlockId, Direction},
    units::Length,
};

/// The places in the order of work of the steps that place or set each block of bars, and that pour each pour; of several the first.
#[derive(Debug, Clone, Copy)]
pub struct Ranks<'r> {
    /// Of bars.
    pub placed: &'r BTreeMap<BlockId, usize>,
    /// Of pours.
    pub poured: &'r BTreeMap<BlockId, usize>,
}

/// Works out what holds bars until the concrete does: only what is there before the first of it comes to them.
pub fn hold(job: &Job, beside: Beside, all: &[BarsMade], clearances: &Clearances, ranks: Ranks, tying: &mut Tying) {
    if all.is_empty() || !clearances.crowded.is_empty() {
        return;
    }
    let cast = if ranks.poured.len() > 1 { cast(job, beside, all, ranks) } else { BTreeMap::new() };
    let in_time = |bar: (BlockId, u32), by: BlockId| match (cast.get(&bar), ranks.placed.get(&by)) {
        (Some(cast), Some(placed)) => placed < cast,
        // Where the order says nothing of one of them, all that is drawn holds.
        _ => true,
    };
    let by = TiedTo::new(all, clearances, &in_time);
    (tying.unheld, tying.tied_to) = (unheld(all, &by, &tying.carried), by.sideways(all));
}

/// The place in the order of work of the pour that comes first to each group of bars that do not run along a wall: at the first or
/// the last bar of its row, whichever is later.
fn cast(job: &Job, beside: Beside, all: &[BarsMade], ranks: Ranks) -> BTreeMap<(BlockId, u32), usize> {
    let filled = Filled::new(job, beside.sections, beside.solids);
    let mut out = BTreeMap::new();
    for made in all {
        let numbered = (0..).zip(&made.groups);
        for (number, group) in numbered.filter(|(_, group)| matches!(group.place, Place::Side(_))) {
            let mut bars = lines(made, group, None, beside.standing);
            let first = bars.next();
            let ends = first.into_iter().chain(bars.last());
            let casts = ends.filter_map(|line| {
                let wall = beside.standing.leg_ref(line.on)?.wall;
                let pieces = line.walk.segments(CHORD);
                let middles =
                    pieces.iter().map(|piece| [0, 1, 2].map(|at: usize| (piece.from[at] + piece.to[at]) / 2.0));
                middles.filter_map(|at| ranks.poured.get(&filled.pour(wall, at)?).copied()).min()
            });
            if let Some(cast) = casts.max() {
                out.insert((made.id, number), cast);
            }
        }
    }
    out
}

/// Bars of a block that nothing holds until the concrete does.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unheld {
    /// The block.
    pub bars: BlockId,
    /// The levels of those that run along the wall; none where all of the block are among them.
    pub levels: Vec<Length>,
    /// The legs on which those stand that do not run along it; none where all of the block are among them.
    pub legs: Vec<LegAt>,
    /// Some of them stand upright.
    pub upright: bool,
}

/// Which bars are tied to which, by block and group.
struct TiedTo(BTreeMap<(BlockId, u32), BTreeSet<BlockId>>);

impl TiedTo {
    /// `in_time` tells whether bars are there, of a block, when a group is cast.
    fn new(all: &[BarsMade], clearances: &Clearances, in_time: &dyn Fn((BlockId, u32), BlockId) -> bool) -> TiedTo {
        let mut to: BTreeMap<(BlockId, u32), BTreeSet<BlockId>> = BTreeMap::new();
        let mut tie = |bar: (BlockId, u32), by: BlockId| {
            if in_time(bar, by) {
                to.entry(bar).or_default().insert(by);
            }
        };
        for [one, other] in clearances.crossings.values().flatten().map(|crossing| crossing.bars) {
            tie((one.bars, one.group), other.bars);
            tie((other.bars, other.group), one.bars);
        }
        // A bar that stands beside one of another block is tied to it too, dowel or not: that is how they lap.
        let sideways = |bars: BlockId| made(all, bars).is_some_and(is_sideways);
        for near in clearances.parallel.iter().filter(|near| near.beside && near.clear <= LAPPED) {
            let (one, other) = (near.first.bars, near.second.bars);
            if one == other {
                continue;
            }
            // The nearest pair of two blocks is all that is known of them: they were written to stand beside each other.
            for (bars, to_block) in [(one, other), (other, one)].into_iter().filter(|(bars, _)| sideways(*bars)) {
                let groups = made(all, bars).map_or(0, |made| made.groups.len());
                for group in (0..).take(groups) {
                    tie((bars, group), to_block);
                }
            }
        }
        TiedTo(to)
    }

    fn is_tied(&self, bar: (BlockId, u32)) -> bool {
        self.0.contains_key(&bar)
    }

    /// What the blocks of bars that do not run along a wall are tied to.
    fn sideways(&self, all: &[BarsMade]) -> Vec<(BlockId, Vec<BlockId>)> {
        let mut out = Vec::new();
        for made in all.iter().filter(|made| is_sideways(made)) {
            let mine = self.0.range((made.id, 0)..=(made.id, u32::MAX)).flat_map(|(_, to)| to);
            let to: BTreeSet<BlockId> = mine.copied().filter(|to| *to != made.id).collect();
            if !to.is_empty() {
                out.push((made.id, to.into_iter().collect()));
            }
        }
        out
    }
}

/// Bars nearer than this are lapped: as far as ties reach.
const LAPPED: Length = Length::from_nm(TIED as i64);

fn is_sideways(made: &BarsMade) -> bool {
    made.groups.iter().any(|group| matches!(group.place, Place::Side(_)))
}

/// Whether more than half of a bar goes up or down.
fn is_upright(group: &Group) -> bool {
    let shape = &group.shape;
    let rises = |way: &Direction| matches!(way, Direction::Up | Direction::Down);
    let all = || shape.legs.iter().zip(&shape.directions);
    let up: Length = all().filter(|(_, way)| rises(way)).map(|(leg, _)| *leg).sum();
    up * 2 > all().map(|(leg, _)| *leg).sum()
}

/// Bars that nothing holds until the concrete does: they are tied to none, no chair stands under them, and they are lapped with none
/// of which that is true. Dowels are held by their holes.
fn unheld(all: &[BarsMade], by: &TiedTo, carried: &BTreeSet<(BlockId, u32)>) -> Vec<Unheld> {
    let mut out = Vec::new();
    for made in all {
        let held = |group: u32| by.is_tied((made.id, group)) || carried.contains(&(made.id, group));
        let mut holds: Vec<bool> = (0..).zip(&made.groups).map(|(number, _)| held(number)).collect();
        // What is lapped with a held piece is tied to it, from one end of a course to the other.
        let numbers = || 0..made.groups.len();
        for number in numbers().chain(numbers().rev()) {
            let with = made.groups.get(number).map_or(&[][..], |group| &group.lapped_with);
            if with.iter().any(|with| holds.get(*with as usize) == Some(&true)) {
                holds[number] = true;
            }
        }
        let (mut levels, mut legs, mut kept, mut upright) = (BTreeSet::new(), BTreeSet::new(), false, false);
        for (group, held) in made.groups.iter().zip(holds) {
            match &group.place {
                Place::Long { level, .. } => {
                    kept |= held;
                    levels.extend((!held).then_some(*level));
                }
                Place::Side(row) => {
                    kept |= held;
                    upright |= !held && is_upright(group);
                    legs.extend((!held).then_some(row.on));
                }
                Place::Holes(_) => {}
            }
        }
        if levels.is_empty() && legs.is_empty() {
            continue;
        }
        let (levels, legs) =
            if kept { (levels.into_iter().collect(), legs.into_iter().collect()) } else { Default::default() };
        out.push(Unheld { bars: made.id, levels, legs, upright });
    }
    out
}

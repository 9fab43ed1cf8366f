//! Bars as they would lie if a mend moved them: whether they would run into others, or into a void.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    bars::{BarsMade, Group, Place, made},
    clearance::{Clearances, GIVES},
    lines::{lines, pieces},
};
use crate::{
    concrete::{Class, Solids, Standing},
    geometry::{
        Patch,
        distance::{Segment, near_pairs_between},
        patches_about,
    },
    holes::Set,
    schema::BlockId,
    units::Length,
};

/// Chords leave the arcs of bends by no more than this, in nanometres.
const ARC: f64 = 200_000.0;

/// Bars that would be moved.
#[derive(Debug, Clone, Copy)]
pub struct Move {
    /// The block.
    pub bars: BlockId,
    /// One row of its long bars; none where all of the block move.
    pub row: Option<u16>,
    /// How far out of the wall.
    pub out: Length,
    /// How far up.
    pub up: Length,
    /// What is wanted between them and a void.
    pub cover: Length,
    /// What is wanted between them and bars that lie beside them.
    pub clear: Length,
}

impl Move {
    fn takes(&self, group: &Group) -> bool {
        match (self.row, &group.place) {
            (Some(wanted), Place::Long { row, .. }) => *row == wanted,
            (Some(_), _) => false,
            (None, _) => true,
        }
    }

    fn moved(&self, group: &Group) -> Group {
        let mut moved = group.clone();
        moved.from = group.from.map(|(offset, height)| (offset + self.out, height + self.up));
        if let Place::Long { level, .. } = &mut moved.place {
            *level += self.up;
        }
        moved
    }
}

/// Which of these moves would bring bars into others, or too near a void, where they are not now.
#[must_use]
pub fn meet(
    standing: &Standing,
    solids: &Solids,
    sets: &BTreeMap<BlockId, Set>,
    all: &[BarsMade],
    clearances: &Clearances,
    moves: &[Move],
) -> Vec<bool> {
    let mut out = vec![false; moves.len()];
    let mut mine: Vec<(usize, Segment)> = Vec::new();
    let radius = |bars: BlockId| made(all, bars).map_or(0.0, |made| made.steel.diameter.nm() as f64 / 2.0);
    for (at, one) in moves.iter().enumerate() {
        let Some(made) = made(all, one.bars) else { continue };
        for group in made.groups.iter().filter(|group| one.takes(group)) {
            let moved = one.moved(group);
            let walks = lines(made, &moved, None, standing).flat_map(|line| line.walk.segments(ARC));
            mine.extend(walks.map(|segment| (at, segment)));
        }
    }
    if mine.is_empty() {
        return out;
    }
    let segments: Vec<Segment> = mine.iter().map(|(_, segment)| *segment).collect();
    let of = |segment: u32| mine.get(segment as usize).and_then(|(at, _)| Some((*at, *moves.get(*at)?)));
    let reach = moves.iter().map(|one| one.cover.max(one.clear).nm() as f64 + radius(one.bars)).fold(0.0, f64::max);
    let voids: Vec<Patch> = solids
        .pours
        .iter()
        .flat_map(|pour| &pour.skins)
        .filter(|skin| skin.class == Class::Void)
        .map(|skin| skin.patch.clone())
        .collect();
    patches_about(&segments, &voids, reach, |segment, patch, _| {
        let (Some((at, one)), Some(void), Some(bar)) =
            (of(segment), voids.get(patch as usize), segments.get(segment as usize))
        else {
            return;
        };
        if void.nearest(bar).distance + NOISE < one.cover.nm() as f64 + radius(one.bars) {
            out[at] = true;
        }
    });
    // What stands there already: told as it is, and no reason to leave a bar where it is.
    let near = clearances.clashes.iter().chain(&clearances.parallel);
    let known: BTreeSet<(BlockId, BlockId)> =
        near.flat_map(|near| [(near.first.bars, near.second.bars), (near.second.bars, near.first.bars)]).collect();
    let mut others: Vec<(BlockId, Segment)> = Vec::new();
    for made in all {
        others.extend(pieces(made, sets, standing, ARC).map(|(_, segment)| (made.id, segment)));
    }
    let theirs: Vec<Segment> = others.iter().map(|(_, segment)| *segment).collect();
    let thickest = all.iter().map(|made| radius(made.id)).fold(0.0, f64::max);
    for pair in near_pairs_between(&segments, &theirs, reach + thickest) {
        let (Some((at, one)), Some((other, segment))) = (of(pair.first), others.get(pair.second as usize)) else {
            continue;
        };
        if *other == one.bars || known.contains(&(one.bars, *other)) {
            continue;
        }
        let Some(bar) = segments.get(pair.first as usize) else { continue };
        let clear = pair.nearest.distance - radius(one.bars) - radius(*other);
        let beside = super::clearance::abreast(bar, segment, &pair.nearest);
        let wanted = if beside { one.clear.nm() as f64 } else { -(GIVES.nm() as f64) };
        out[at] |= clear + NOISE < wanted;
    }
    out
}

/// Less than this is noise, in nanometres.
const NOISE: f64 = 1_000.0;

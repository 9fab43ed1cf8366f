//! Boxes that keep voids empty: nailed together of the sheathing, as large outside as the void, and open where it is.

use std::collections::BTreeMap;

use super::{Around, sheath_size};
use crate::{
    concrete::{PlacedVoid, depth},
    job::{Job, Thing},
    schema::{BlockId, Forms},
    units::Length,
};

/// A box that keeps a void empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoxOut {
    /// The void.
    pub void: BlockId,
    /// How long it is along the face, how high, and how deep into the concrete.
    pub outside: (Length, Length, Length),
    /// Its boards: the longer side, the shorter, how many. None where it goes round a corner, and is built as one sees fit.
    pub boards: Vec<(Length, Length, u64)>,
}

/// The boxes of a block of forms: of the voids in its sections.
pub(super) fn boxes(
    job: &Job,
    around: Around,
    forms: &Thing<Forms>,
    voids: &BTreeMap<BlockId, Vec<&PlacedVoid>>,
) -> Vec<BoxOut> {
    let mine = forms.say.against.iter().filter_map(|section| voids.get(&section.value.0));
    mine.flatten().flat_map(|void| of(job, around, forms, void)).collect()
}

fn of(job: &Job, around: Around, forms: &Thing<Forms>, void: &PlacedVoid) -> Vec<BoxOut> {
    let (Some(section), Some(placed)) = (job.section(void.section), around.sections.find(void.section)) else {
        return Vec::new();
    };
    let (bottom, top) = (void.bottom.max(placed.bottom), void.top.min(placed.top));
    let offset = job.void(void.id).and_then(|void| void.say.offset.as_ref()).map(|offset| offset.value);
    let thick = sheath_size(job, forms.say.sheath.value.0);
    let intervals = around.standing.intervals(&void.runs);
    let is_straight = intervals.len() == void.runs.len();
    let one = |(long, on)| {
        let (inner, outer) = depth(section, around.standing, on);
        let (from, to) = offset.map_or((inner, outer), |offset| (offset.from.max(inner), offset.to.min(outer)));
        let outside = (long, top - bottom, to - from);
        // Nothing closes it over the top or under the foot of the concrete, and where it opens on a face.
        let across = i64::from(top < placed.top) + i64::from(placed.bottom < bottom);
        let backs = i64::from(inner < from) + i64::from(to < outer);
        let (high, deep) = (outside.1 - thick * across, outside.2 - thick * backs);
        let board = |one: Length, other: Length, count: i64| (one.max(other), one.min(other), count.unsigned_abs());
        let boards = [board(high, deep, 2), board(long, deep, across), board(long, outside.1, backs)];
        let boards = boards.into_iter().filter(|(_, _, count)| *count > 0);
        let is_plain = is_straight && high > Length::ZERO && deep > Length::ZERO && thick * 2 < long;
        BoxOut { void: void.id, outside, boards: if is_plain { boards.collect() } else { Vec::new() } }
    };
    intervals.iter().map(|interval| (interval.end - interval.start, interval.on)).map(one).collect()
}

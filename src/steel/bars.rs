//! The bars of each block: how many, of what shape, where.

use std::collections::BTreeMap;

use super::{
    lap_rule::{Apart, Lap},
    long::LongRow,
    round::{LongBars, Round},
    shape::{Shape, Steel, steel},
};
use crate::{
    concrete::{LegAt, Sections, Standing},
    geometry::BendRefusal,
    holes::{Level, Row, RowTrouble, Set, Spaced, stretches},
    job::{Job, Thing},
    schema::{Bars, BlockId, Direction, KindId},
    source::Span,
    units::{Length, Mass},
};

/// Where the bars of a group are.
#[derive(Debug, Clone)]
pub enum Place {
    /// One in each of these holes.
    Holes(BlockId),
    /// One long bar: its row from 1, its level, where it begins and ends.
    Long {
        /// The row.
        row: u16,
        /// Its level.
        level: Length,
        /// Where it begins.
        from: (LegAt, Length),
        /// Where it ends.
        to: (LegAt, Length),
    },
    /// Side by side, at the places of a row.
    Side(Row),
}

/// Bars of one shape in one place.
#[derive(Debug, Clone)]
pub struct Group {
    /// Where.
    pub place: Place,
    /// Distance of its centre from the old face, and the level of its end, for bars that begin somewhere of their own; a
    /// long bar has its level twice, a dowel has neither.
    pub from: Option<(Length, Length)>,
    /// How many.
    pub count: u64,
    /// Of what shape.
    pub shape: Shape,
    /// The mark of the shape, from 1; set once all bars are known.
    pub mark: u32,
    /// The groups of the block, from 0, whose bar this long bar is lapped with.
    pub lapped_with: Vec<u32>,
}

/// From so many bars on, work that is done for each wall is shared among cores.
const MANY: u64 = 1_000;

/// Whether there are so many bars that the walls they stand on are looked at by several cores.
#[must_use]
pub fn is_heavy(all: &[BarsMade]) -> bool {
    all.iter().map(|made| made.count).fold(0, u64::saturating_add) > MANY
}

/// The bars of one block.
#[derive(Debug)]
pub struct BarsMade {
    /// The block.
    pub id: BlockId,
    /// Their size.
    pub steel: Steel,
    /// The bars.
    pub groups: Vec<Group>,
    /// How many in all.
    pub count: u64,
    /// Their length in all.
    pub length: Length,
    /// Their weight in all.
    pub weight: Mass,
    /// Long bars whose ends were not said.
    pub usual_ends: bool,
    /// How long the laps are, where bars lap.
    pub laps_by: Option<Length>,
    /// The lap that was taken because none was said.
    pub usual_lap: Option<Lap>,
    /// What is round them, where they are long bars.
    pub round: Round,
    /// The tails of hooks that were taken because none was said: the turn, the tail and whose rule it is.
    pub usual_tails: Vec<(f64, Length, &'static str)>,
    /// Long bars that are cut into lapped pieces.
    pub rows: Vec<LongRow>,
    /// How far apart the laps of neighbouring rows are to be.
    pub apart: Length,
    /// The groups, from 0, that begin in a lap with the piece before.
    pub laps: Vec<u32>,
}

impl BarsMade {
    /// The number of a bar counted through the block: long bars are one a group, others are so numbered already.
    #[must_use]
    pub fn counted(&self, group: usize, number: u64) -> u64 {
        match self.groups.get(group).map(|group| &group.place) {
            Some(Place::Long { .. }) => u64::try_from(group).unwrap_or(u64::MAX).saturating_add(1),
            _ => number,
        }
    }

    /// The number of the first bar of a group, counted through the block.
    #[must_use]
    pub fn first_of(&self, group: usize) -> u64 {
        let number = match self.groups.get(group).map(|group| &group.place) {
            Some(Place::Side(row)) => row.first_number,
            _ => 1,
        };
        self.counted(group, number)
    }
}

/// The bars of a block, among all of a job: these stand in the order they are written, which is that of their numbers.
#[must_use]
pub fn made(all: &[BarsMade], id: BlockId) -> Option<&BarsMade> {
    all.get(all.binary_search_by_key(&id, |made| made.id).ok()?)
}

/// What is wrong with bars.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs)]
pub enum BarTrouble {
    /// It cannot be told what sort of bars these are: this clause is missing.
    Lacks { bars: BlockId, clause: &'static str, goes_with: &'static str },
    /// A clause that does not go with the others.
    DoesNotGo { at: Span, clause: &'static str, with: &'static str },
    /// A dowel with bends.
    DowelBent { at: Span },
    /// A bar that does not go into its hole.
    TooThick { bars: BlockId, at: Span, over: Length, bore: Length },
    /// A leg too short for its bends.
    LegShort { at: Span, leg: usize, least: Length },
    /// A bend that turns back on itself.
    TurnsBack { at: Span },
    /// A bend tighter than the bar allows.
    BendTight { at: Span, inside: Length, least: Length },
    /// A hook of another angle than there are, or none along the leg it ends.
    HookUnclear { at: Span, turn: Option<f64> },
    /// The straight behind a hook is shorter than its rule asks.
    TailShort { at: Span, turn: f64, tail: Length, least: Length, source: &'static str },
    /// A leg between two bends with less straight than 4 diameters.
    LegStraight { at: Span, leg: usize, straight: Length, least: Length },
    /// A bar that runs through itself.
    CrossesItself {
        /// Where its legs are written.
        at: Span,
        /// Its ends come together.
        closed: bool,
        /// Of a closed tie with hooks: its narrow way, and how long the legs that way must be at least, up to a tidy figure; the
        /// length is none where nothing near does.
        hooked: Option<(Direction, Option<Length>)>,
    },
    /// Nothing is left of a long bar between its ends.
    NothingLeft { at: Span, length: Length, ends: Length },
    /// A row that follows the tops or bottoms of sections, where there are none.
    NothingToFollow { at: Span, along: Span },
    /// A bar that goes on past a step, where there is less room than its lap.
    LapShort { at: Span, lap: Length, room: Length },
    /// A bar that goes on past a step, where no other bar lies near enough to lap with.
    LapApart { at: Span, level: Length, apart: Option<Length>, may: Apart },
    /// The lap that is written is shorter than its rule asks.
    LapUnderRule { at: Span, lap: Length, rule: Lap, fits: bool },
    /// A long bar must be lapped and no lap fits, or none where pieces as long as this reach.
    NoRoomForLap { at: Span, lap: Length, most: Length, would_do: Option<Length>, asked: Length, ring: bool },
    /// A bar longer than what it can be cut from.
    TooLong { at: Span, cut: Length, stock: Length },
    /// Something with rows or spacing.
    Rows(RowTrouble),
}

/// Makes the bars of a block; none if it could not be told what they are. Of the ways to lap long bars those with the least
/// steel are taken, or those that were `chosen` for the rows of [`BarsMade::rows`].
#[expect(clippy::too_many_arguments, reason = "a bar hangs on all that stands before it")]
pub fn bars(
    job: &Job,
    standing: &mut Standing,
    sections: &Sections,
    sets: &BTreeMap<BlockId, Set>,
    long: &LongBars,
    bars: &Thing<Bars>,
    limit: u64,
    chosen: Option<&[usize]>,
    troubles: &mut Vec<BarTrouble>,
) -> Option<BarsMade> {
    let steel = steel(job, bars.say.size.0)?;
    let mut maker = Maker {
        job,
        standing,
        sections,
        bars,
        steel,
        limit,
        round: Round::default(),
        laps_by: None,
        usual_lap: None,
        usual_tails: Vec::new(),
        rows: Vec::new(),
        chosen,
        apart: Length::ZERO,
        laps: Vec::new(),
        troubles,
    };
    let groups = match (&bars.say.holes, &bars.say.along) {
        (Some(holes), _) => maker.dowels(sets.get(&holes.value.0)?)?,
        (None, Some(_)) if bars.say.rows.is_some() => maker.long(long)?,
        (None, Some(_)) => maker.side_by_side()?,
        (None, None) => {
            maker.lacks("along", "`in` for dowels, or `along` for others");
            return None;
        }
    };
    maker.too_long(&groups);
    let count = groups.iter().map(|group| group.count).sum();
    let length = groups.iter().map(|group| group.shape.cut * i64::try_from(group.count).unwrap_or(i64::MAX)).sum();
    let is_long = groups.iter().any(|group| matches!(group.place, Place::Long { .. }));
    Some(BarsMade {
        id: bars.id,
        steel,
        count,
        length,
        weight: steel.weight(length),
        usual_ends: is_long && bars.say.ends.is_none(),
        laps_by: maker.laps_by,
        usual_lap: maker.usual_lap,
        round: maker.round,
        usual_tails: maker.usual_tails,
        rows: maker.rows,
        apart: maker.apart,
        laps: maker.laps,
        groups,
    })
}

/// Gives marks: bars of one size and shape have one mark. Marks run by size, then from long to short, and do not depend on
/// the order anything is written in.
pub fn mark(job: &Job, all: &mut [BarsMade]) {
    let key = |steel: &Steel, shape: &Shape| {
        let bends: Vec<(Length, u64, usize)> = shape
            .legs
            .iter()
            .enumerate()
            .map(|(at, leg)| {
                let turn = shape.turns.get(at).map_or(0, |turn| (turn * 1000.0).round() as u64);
                (*leg, turn, shape.directions.get(at).map_or(0, |direction| *direction as usize + 1))
            })
            .collect();
        let hooks = shape
            .hooks
            .map(|hook| hook.map(|hook| ((hook.turn * 1000.0).round() as u64, hook.tail, hook.way as usize)));
        (steel.diameter, job.name(steel.id).to_owned(), std::cmp::Reverse(shape.cut), shape.inside, bends, hooks)
    };
    let mut marks: BTreeMap<_, u32> = BTreeMap::new();
    for made in all.iter() {
        for group in &made.groups {
            marks.entry(key(&made.steel, &group.shape)).or_insert(0);
        }
    }
    for (mark, number) in marks.values_mut().zip(1..) {
        *mark = number;
    }
    for made in all.iter_mut() {
        for group in &mut made.groups {
            group.mark = marks.get(&key(&made.steel, &group.shape)).copied().unwrap_or(0);
        }
    }
}

pub(super) struct Maker<'m> {
    pub(super) job: &'m Job,
    pub(super) standing: &'m mut Standing,
    pub(super) sections: &'m Sections,
    pub(super) bars: &'m Thing<Bars>,
    pub(super) steel: Steel,
    pub(super) limit: u64,
    /// What is round long bars.
    pub(super) round: Round,
    /// The lap, where one was wanted.
    pub(super) laps_by: Option<Length>,
    /// The lap that was taken, where one was wanted and none said.
    pub(super) usual_lap: Option<Lap>,
    /// The tails that were taken, where hooks were wanted and none said.
    pub(super) usual_tails: Vec<(f64, Length, &'static str)>,
    /// The rows that were cut into pieces.
    pub(super) rows: Vec<LongRow>,
    /// The layouts of the rows that have several, where they are chosen already.
    pub(super) chosen: Option<&'m [usize]>,
    /// How far apart the laps of neighbouring rows are to be.
    pub(super) apart: Length,
    /// The groups, from 0, that begin in a lap with the piece before.
    pub(super) laps: Vec<u32>,
    pub(super) troubles: &'m mut Vec<BarTrouble>,
}

impl Maker<'_> {
    pub(super) fn lacks(&mut self, clause: &'static str, goes_with: &'static str) {
        self.troubles.push(BarTrouble::Lacks { bars: self.bars.id, clause, goes_with });
    }

    pub(super) fn at(&self, clause: &str) -> Span {
        self.bars.said(KindId::Bars, clause)
    }

    /// Says which clauses were written that do not go with this sort of bars.
    pub(super) fn only(&mut self, with: &'static str, others: &[&'static str]) {
        for clause in others {
            let at = self.at(clause);
            if at != self.bars.at {
                self.troubles.push(BarTrouble::DoesNotGo { at, clause, with });
            }
        }
    }

    fn dowels(&mut self, set: &Set) -> Option<Vec<Group>> {
        if self.bars.say.legs.is_some() {
            self.troubles.push(BarTrouble::DowelBent { at: self.at("legs") });
            return None;
        }
        self.only("in", &["along", "rows", "offset", "ends", "lap", "pieces", "space", "inset", "from", "supports"]);
        let Some(out) = self.bars.say.out else {
            self.lacks("out", "`in`");
            return None;
        };
        if self.steel.over >= set.wide {
            let at = self.at("size");
            self.troubles.push(BarTrouble::TooThick { bars: self.bars.id, at, over: self.steel.over, bore: set.wide });
            return None;
        }
        let shape = Shape::straight(set.deep + out.value.0, &self.steel);
        Some(vec![Group {
            place: Place::Holes(set.id),
            from: None,
            count: set.count,
            shape,
            mark: 0,
            lapped_with: Vec::new(),
        }])
    }

    fn side_by_side(&mut self) -> Option<Vec<Group>> {
        self.only("space", &["out", "offset", "ends", "lap", "pieces", "supports"]);
        let say = &self.bars.say;
        let along = say.along.as_ref()?;
        let Some(space) = &say.space else {
            self.lacks("rows", "`along`: `rows` for long bars, or `space` for bars side by side");
            return None;
        };
        let Some(from) = &say.from else {
            self.lacks("from", "`space`");
            return None;
        };
        let Some(legs) = &say.legs else {
            self.lacks("legs", "`space`");
            return None;
        };
        let shape = self.bent(legs)?;
        let level = Level::Height(from.value.height);
        let pieces = stretches(self.job, self.standing, self.sections, along, level);
        let along_at = self.at("along");
        if pieces.is_empty() {
            self.troubles.push(BarTrouble::Rows(RowTrouble::Outside { at: from.span, level, along: along_at }));
            return None;
        }
        let inset_at = self.at("inset");
        let mut groups = Vec::new();
        let mut total: u64 = 0;
        let mut row_troubles = Vec::new();
        let by = Spaced {
            space: &space.value,
            inset: say.inset.as_ref(),
            wide: self.steel.diameter,
            space_at: self.at("space"),
            inset_at,
        };
        let mut spacer = by.row();
        for stretch in pieces {
            let Some(places) = spacer.places(self.standing, stretch, false, &mut row_troubles) else { continue };
            let count = places.count();
            total = total.saturating_add(count);
            if total > self.limit {
                row_troubles.push(RowTrouble::TooMany { at: by.space_at, count: total, limit: self.limit });
                self.troubles.extend(row_troubles.into_iter().map(BarTrouble::Rows));
                return None;
            }
            let row = Row { on: stretch.on, row: 1, level, stretch, places, first_number: total - count + 1 };
            groups.push(Group {
                place: Place::Side(row),
                from: Some((from.value.offset, from.value.height)),
                count,
                shape: shape.clone(),
                mark: 0,
                lapped_with: Vec::new(),
            });
        }
        spacer.finish(&mut row_troubles);
        self.troubles.extend(row_troubles.into_iter().map(BarTrouble::Rows));
        Some(groups)
    }

    pub(super) fn refused(&mut self, refusal: BendRefusal, at: Span) {
        self.troubles.push(match refusal {
            BendRefusal::LegTooShort { leg, least } => BarTrouble::LegShort { at, leg: leg + 1, least },
            BendRefusal::TurnTooSharp { .. } | BendRefusal::Empty | BendRefusal::NoBend => BarTrouble::TurnsBack { at },
        });
    }
}

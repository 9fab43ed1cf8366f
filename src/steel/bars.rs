//! The bars of each block: how many, of what shape, where.

use std::collections::BTreeMap;

use super::shape::{Shape, Steel, steel};
use crate::{
    concrete::{Interval, LegAt, Sections, Standing},
    geometry::BendRefusal,
    holes::{Level, Row, RowTrouble, Set, Spaced, stretches},
    job::{Job, Thing},
    schema::{Bars, BlockId, KindId},
    source::Span,
    units::{Length, Mass},
};

/// How far a long bar stops short of each end when nothing is said: common practice for formed faces, no source.
pub const USUAL_ENDS: Length = Length::from_nm(2 * Length::INCH.nm());

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
    /// Nothing is left of a long bar between its ends.
    NothingLeft { at: Span, length: Length, ends: Length },
    /// Something with rows or spacing.
    Rows(RowTrouble),
}

/// Makes the bars of a block; none if it could not be told what they are.
pub fn bars(
    job: &Job,
    standing: &mut Standing,
    sections: &Sections,
    sets: &BTreeMap<BlockId, Set>,
    bars: &Thing<Bars>,
    limit: u64,
    troubles: &mut Vec<BarTrouble>,
) -> Option<BarsMade> {
    let steel = steel(job, bars.say.size.0)?;
    let mut maker = Maker { job, standing, sections, bars, steel, limit, troubles };
    let groups = match (&bars.say.holes, &bars.say.along) {
        (Some(holes), _) => maker.dowels(sets.get(&holes.value.0)?)?,
        (None, Some(_)) if bars.say.rows.is_some() => maker.long()?,
        (None, Some(_)) => maker.side_by_side()?,
        (None, None) => {
            maker.lacks("along", "`in` for dowels, or `along` for others");
            return None;
        }
    };
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
        (steel.diameter, job.name(steel.id).to_owned(), std::cmp::Reverse(shape.cut), shape.inside, bends)
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

struct Maker<'m> {
    job: &'m Job,
    standing: &'m mut Standing,
    sections: &'m Sections,
    bars: &'m Thing<Bars>,
    steel: Steel,
    limit: u64,
    troubles: &'m mut Vec<BarTrouble>,
}

impl Maker<'_> {
    fn lacks(&mut self, clause: &'static str, goes_with: &'static str) {
        self.troubles.push(BarTrouble::Lacks { bars: self.bars.id, clause, goes_with });
    }

    fn at(&self, clause: &str) -> Span {
        self.bars.said(KindId::Bars, clause)
    }

    /// Says which clauses were written that do not go with this sort of bars.
    fn only(&mut self, with: &'static str, others: &[&'static str]) {
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
        self.only("in", &["along", "rows", "offset", "ends", "space", "inset", "from"]);
        let Some(out) = self.bars.say.out else {
            self.lacks("out", "`in`");
            return None;
        };
        if self.steel.over >= set.wide {
            let at = self.at("size");
            self.troubles.push(BarTrouble::TooThick { bars: self.bars.id, at, over: self.steel.over, bore: set.wide });
            return None;
        }
        let shape = Shape::straight(set.deep + out.value.0, self.steel.bend);
        Some(vec![Group { place: Place::Holes(set.id), from: None, count: set.count, shape, mark: 0 }])
    }

    fn long(&mut self) -> Option<Vec<Group>> {
        self.only("rows", &["out", "space", "inset", "from", "legs"]);
        let say = &self.bars.say;
        let Some(offset) = say.offset else {
            self.lacks("offset", "`rows`");
            return None;
        };
        let rows = say.rows.as_ref()?;
        let along = say.along.as_ref()?;
        let at = self.at("rows");
        let Some(heights) = rows.value.heights.as_ref().filter(|_| rows.value.offsets.is_none()) else {
            self.troubles.push(BarTrouble::Rows(RowTrouble::WrongMeasure { at, wants: "height" }));
            return None;
        };
        let ends = say.ends.map_or(USUAL_ENDS, |ends| ends.0);
        let along_at = self.at("along");
        let mut groups = Vec::new();
        for (number, height) in heights.iter().enumerate() {
            let level = Level::Height(height.value);
            let pieces = stretches(self.job, self.standing, self.sections, along, level);
            if pieces.is_empty() {
                self.troubles.push(BarTrouble::Rows(RowTrouble::Outside { at: height.span, level, along: along_at }));
                continue;
            }
            let row = u16::try_from(number + 1).unwrap_or(u16::MAX);
            for (first, last) in self.joined(&pieces) {
                let from = (first.on, first.start + ends);
                let to = (last.on, last.end - ends);
                if first.on == last.on && first.start <= last.start && from.1 >= to.1 {
                    let length = last.end - first.start;
                    self.troubles.push(BarTrouble::NothingLeft { at: along_at, length, ends });
                    continue;
                }
                let Some(chain) = self.standing.chain(first.on) else { continue };
                let shape = Shape::along(
                    &chain.run,
                    (from.0.leg as usize, from.1),
                    (to.0.leg as usize, to.1),
                    offset.value,
                    self.steel.bend,
                    &self.steel,
                );
                match shape {
                    Ok(shape) => {
                        let place = Place::Long { row, level: height.value, from, to };
                        let begins = Some((offset.value, height.value));
                        groups.push(Group { place, from: begins, count: 1, shape, mark: 0 });
                    }
                    Err(refusal) => self.refused(refusal, along_at),
                }
            }
        }
        Some(groups)
    }

    /// Joins intervals that meet at corners into runs from the first to the last; on a closed plan also round the closing
    /// corner, if the bars do not run all the way round.
    fn joined(&self, pieces: &[Interval]) -> Vec<(Interval, Interval)> {
        let follows = |last: &Interval, next: &Interval| {
            last.end == self.standing.length(last.on)
                && next.start == Length::ZERO
                && self.standing.next_leg(last.on) == Some(next.on)
        };
        let mut out: Vec<(Interval, Interval)> = Vec::new();
        for piece in pieces {
            match out.last_mut() {
                Some((_, last)) if last.on < piece.on && follows(last, piece) => *last = *piece,
                _ => out.push((*piece, *piece)),
            }
        }
        let mut at = 0;
        while at < out.len() {
            let chain = out[at].0.on.chain;
            let end = out[at..].iter().position(|(first, _)| first.on.chain != chain).map_or(out.len(), |to| at + to);
            if end - at > 1 && follows(&out[end - 1].1, &out[at].0) {
                out[end - 1].1 = out[at].1;
                out.remove(at);
                at = end - 1;
            } else {
                at = end;
            }
        }
        out
    }

    fn side_by_side(&mut self) -> Option<Vec<Group>> {
        self.only("space", &["out", "offset", "ends"]);
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
        let inside = match legs.value.bend {
            Some(bend) if bend.0 < self.steel.bend => {
                let at = legs.span;
                self.troubles.push(BarTrouble::BendTight { at, inside: bend.0, least: self.steel.bend });
                return None;
            }
            Some(bend) => bend.0,
            None => self.steel.bend,
        };
        let shape = match Shape::bent(&legs.value.walk, inside, &self.steel) {
            Ok(shape) => shape,
            Err(refusal) => {
                self.refused(refusal, legs.span);
                return None;
            }
        };
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
        let mut spacer = Spaced { space: &space.value, inset: say.inset.as_ref(), at: inset_at }.row();
        for stretch in pieces {
            let Some(places) = spacer.places(self.standing, stretch, false, &mut row_troubles) else { continue };
            let count = places.count();
            total = total.saturating_add(count);
            if total > self.limit {
                let at = self.at("space");
                row_troubles.push(RowTrouble::TooMany { at, count: total, limit: self.limit });
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
            });
        }
        spacer.finish(&mut row_troubles);
        self.troubles.extend(row_troubles.into_iter().map(BarTrouble::Rows));
        Some(groups)
    }

    fn refused(&mut self, refusal: BendRefusal, at: Span) {
        self.troubles.push(match refusal {
            BendRefusal::LegTooShort { leg, least } => BarTrouble::LegShort { at, leg: leg + 1, least },
            BendRefusal::TurnTooSharp { .. } | BendRefusal::Empty | BendRefusal::NoBend => BarTrouble::TurnsBack { at },
        });
    }
}

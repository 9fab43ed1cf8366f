//! The holes of a block as they are: without those that are left empty, those that were moved where they were moved to.

use super::{Drilled, HolesDone};
use crate::{
    holes::{
        layout::{Hole, Row, Set},
        places::Places,
    },
    schema::BlockId,
};

impl HolesDone {
    /// A block's holes as they are; none where all of them are where they were planned. Each keeps its number, so that some are
    /// missing where holes are left empty.
    #[must_use]
    pub fn set(&self, id: BlockId) -> Option<&Set> {
        self.sets.get(&id)
    }

    /// The holes of a block that are not as planned, by number.
    #[must_use]
    pub fn of(&self, set: BlockId) -> &[Drilled] {
        let from = self.drilled.partition_point(|one| one.set < set);
        let to = self.drilled.partition_point(|one| one.set <= set);
        self.drilled.get(from..to).unwrap_or_default()
    }

    /// How many holes of a block are left empty.
    #[must_use]
    pub fn lost(&self, set: BlockId) -> u64 {
        self.of(set).iter().filter(|one| one.now.is_none()).count() as u64
    }
}

/// A block's holes as they are; none where all are where they were planned. `mine` is sorted by number.
pub(super) fn as_is(set: &Set, mine: &[Drilled]) -> Option<Set> {
    let elsewhere = |one: &&Drilled| one.now != Some(one.hole);
    mine.iter().find(elsewhere)?;
    let mut rows = Vec::with_capacity(set.rows.len());
    for row in &set.rows {
        let end = row.first_number + row.places.count();
        let of_row = mine.partition_point(|one| one.hole.number < row.first_number);
        let of_row = mine.get(of_row..).unwrap_or_default().iter().take_while(|one| one.hole.number < end);
        let mut others = of_row.filter(elsewhere).peekable();
        if others.peek().is_none() {
            rows.push(row.clone());
            continue;
        }
        let mut next = row.first_number;
        for one in others {
            rows.extend(part(row, next, one.hole.number));
            rows.extend(one.now.map(|now| alone(row, now)));
            next = one.hole.number + 1;
        }
        rows.extend(part(row, next, end));
    }
    let count = rows.iter().map(|row| row.places.count()).sum();
    Some(Set { rows, count, ..set.clone() })
}

/// The holes of a row with these numbers; nothing where there are none.
fn part(row: &Row, from: u64, to: u64) -> Option<Row> {
    let places: Vec<_> = (from..to).map(|number| row.places.at(number - row.first_number)).collect();
    (!places.is_empty()).then(|| Row {
        places: Places::Listed(places.into_boxed_slice()),
        first_number: from,
        ..row.clone()
    })
}

/// A row of this one hole.
pub(super) fn alone(row: &Row, hole: Hole) -> Row {
    Row {
        level: hole.level,
        places: Places::Listed(Box::new([hole.station])),
        first_number: hole.number,
        ..row.clone()
    }
}

//! Where holes are drilled: which are new, gone, moved, and which only have another number.
//!
//! A hole is the same where it lies at the same station and level of the same leg. Of the others, those of one row (or of
//! rows that follow each other alike on one leg) are taken as moved, one after the other.

use std::collections::{BTreeMap, BTreeSet};

use super::Names;
use crate::{
    compile::Compiled,
    holes::{Level, Set},
    units::Length,
};

/// What became of the holes of a set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Places {
    /// The set, by its name in the later version.
    pub set: String,
    /// Holes that are new, by their new numbers.
    pub added: Vec<Drilled>,
    /// Holes that are gone, by their old numbers.
    pub gone: Vec<Drilled>,
    /// Holes that lie elsewhere.
    pub moved: Vec<MovedHoles>,
    /// Holes that stay and have another number.
    pub renumbered: Vec<NewNumbers>,
}

/// Holes of one row that follow each other by number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drilled {
    /// The leg.
    pub leg: String,
    /// The level or offset of the row.
    pub level: Level,
    /// The first and the last number.
    pub numbers: (u64, u64),
    /// The first and the last station.
    pub stations: (Length, Length),
}

/// Holes of one row that were moved, and follow each other by number before and after.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MovedHoles {
    /// The leg.
    pub leg: String,
    /// The level or offset of the row before and after.
    pub level: (Level, Level),
    /// The first and the last number before.
    pub before: (u64, u64),
    /// The first and the last number after.
    pub after: (u64, u64),
    /// The farthest any of them moved along the leg.
    pub farthest: Length,
}

/// Holes that follow each other by number before and after, and have not moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NewNumbers {
    /// The first and the last number before.
    pub before: (u64, u64),
    /// The first and the last number after.
    pub after: (u64, u64),
}

#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Hole {
    leg: String,
    level: Level,
    station: Length,
    number: u64,
}

/// What became of the holes of all sets both versions have.
pub(super) fn places(before: &Compiled, after: &Compiled, names: &Names) -> Vec<Places> {
    let was: BTreeMap<String, &Set> =
        before.works.sets.values().map(|set| (names.of(before.job.name(set.id)), set)).collect();
    let is: BTreeMap<String, &Set> =
        after.works.sets.values().map(|set| (after.job.name(set.id).to_owned(), set)).collect();
    let plain = Names::default();
    let both = is.iter().filter_map(|(name, set)| Some((name, *was.get(name)?, *set)));
    both.filter_map(|(name, was, is)| {
        let places = of_set(name, holes(before, was, names), holes(after, is, &plain));
        let told = [places.added.len(), places.gone.len(), places.moved.len(), places.renumbered.len()];
        (told.iter().sum::<usize>() > 0).then_some(places)
    })
    .collect()
}

fn holes(compiled: &Compiled, set: &Set, names: &Names) -> Vec<Hole> {
    let standing = &compiled.works.standing;
    let mut out = Vec::with_capacity(usize::try_from(set.count).unwrap_or(0));
    for row in &set.rows {
        let wall = standing.leg_ref(row.on).map_or_else(String::new, |leg| names.of(compiled.job.name(leg.wall)));
        let leg = format!("{wall}.{}", standing.leg_name(row.on));
        out.extend((0..row.places.count()).map(|at| Hole {
            leg: leg.clone(),
            level: row.level,
            station: row.places.at(at),
            number: row.first_number + at,
        }));
    }
    out
}

fn of_set(name: &str, was: Vec<Hole>, is: Vec<Hole>) -> Places {
    let mut out =
        Places { set: name.to_owned(), added: Vec::new(), gone: Vec::new(), moved: Vec::new(), renumbered: Vec::new() };
    if was == is {
        return out;
    }
    // Holes at one place more than once are told apart by their order.
    let at = |hole: Hole| ((hole.leg, hole.level, hole.station), hole.number);
    let mut stay: BTreeMap<(String, Level, Length), Vec<u64>> = BTreeMap::new();
    for (place, number) in was.into_iter().rev().map(at) {
        stay.entry(place).or_default().push(number);
    }
    let mut renumbered: Vec<(u64, u64)> = Vec::new();
    let mut new: Vec<Hole> = Vec::new();
    for hole in is {
        let place = (hole.leg.clone(), hole.level, hole.station);
        match stay.get_mut(&place).and_then(Vec::pop) {
            Some(number) if number == hole.number => {}
            Some(number) => renumbered.push((number, hole.number)),
            None => new.push(hole),
        }
    }
    let old = stay.into_iter().flat_map(|((leg, level, station), numbers)| {
        numbers.into_iter().map(move |number| Hole { leg: leg.clone(), level, station, number })
    });
    let (mut old, mut new) = (rows(old.collect()), rows(new));
    let mut moved: Vec<(Hole, Hole)> = Vec::new();
    let levels: Vec<(String, Level)> = old.keys().filter(|row| new.contains_key(*row)).cloned().collect();
    for row in levels {
        move_row(&mut old, &row, &mut new, &row, &mut moved);
    }
    // Rows that have another level: as many on a leg as before, each with as many holes.
    let legs: BTreeSet<String> = old.keys().map(|(leg, _)| leg.clone()).collect();
    for leg in legs {
        let of = |rows: &BTreeMap<(String, Level), Vec<Hole>>| -> Vec<((String, Level), usize)> {
            rows.iter().filter(|((on, _), _)| *on == leg).map(|(row, holes)| (row.clone(), holes.len())).collect()
        };
        let (before, after) = (of(&old), of(&new));
        let alike = before.iter().map(|(_, count)| count).eq(after.iter().map(|(_, count)| count));
        for ((before, _), (after, _)) in before.iter().zip(&after).filter(|_| alike) {
            move_row(&mut old, before, &mut new, after, &mut moved);
        }
    }
    out.renumbered = numbers(renumbered);
    out.added = runs(new);
    out.gone = runs(old);
    out.moved = moved_runs(moved);
    out
}

fn rows(holes: Vec<Hole>) -> BTreeMap<(String, Level), Vec<Hole>> {
    let mut out: BTreeMap<(String, Level), Vec<Hole>> = BTreeMap::new();
    for hole in holes {
        out.entry((hole.leg.clone(), hole.level)).or_default().push(hole);
    }
    for row in out.values_mut() {
        row.sort();
    }
    out
}

/// Takes the holes of a row as moved, one after the other; what is over stays behind.
fn move_row(
    old: &mut BTreeMap<(String, Level), Vec<Hole>>,
    from: &(String, Level),
    new: &mut BTreeMap<(String, Level), Vec<Hole>>,
    to: &(String, Level),
    moved: &mut Vec<(Hole, Hole)>,
) {
    let (Some(mut was), Some(mut is)) = (old.remove(from), new.remove(to)) else { return };
    let both = was.len().min(is.len());
    let (left, over) = (was.split_off(both), is.split_off(both));
    moved.extend(was.into_iter().zip(is));
    if !left.is_empty() {
        old.insert(from.clone(), left);
    }
    if !over.is_empty() {
        new.insert(to.clone(), over);
    }
}

fn runs(rows: BTreeMap<(String, Level), Vec<Hole>>) -> Vec<Drilled> {
    let mut all: Vec<Hole> = rows.into_values().flatten().collect();
    all.sort_by_key(|hole| hole.number);
    let mut out: Vec<Drilled> = Vec::new();
    for hole in all {
        match out
            .last_mut()
            .filter(|run| run.leg == hole.leg && run.level == hole.level && run.numbers.1 + 1 == hole.number)
        {
            Some(run) => (run.numbers.1, run.stations.1) = (hole.number, hole.station),
            None => out.push(Drilled {
                leg: hole.leg,
                level: hole.level,
                numbers: (hole.number, hole.number),
                stations: (hole.station, hole.station),
            }),
        }
    }
    out
}

fn moved_runs(mut moved: Vec<(Hole, Hole)>) -> Vec<MovedHoles> {
    moved.sort_by_key(|(was, is)| (was.number, is.number));
    let mut out: Vec<MovedHoles> = Vec::new();
    for (was, is) in moved {
        let far = (was.station - is.station).max(is.station - was.station);
        match out.last_mut().filter(|run| {
            run.leg == was.leg
                && run.level == (was.level, is.level)
                && run.before.1 + 1 == was.number
                && run.after.1 + 1 == is.number
        }) {
            Some(run) => {
                (run.before.1, run.after.1) = (was.number, is.number);
                run.farthest = run.farthest.max(far);
            }
            None => out.push(MovedHoles {
                leg: was.leg,
                level: (was.level, is.level),
                before: (was.number, was.number),
                after: (is.number, is.number),
                farthest: far,
            }),
        }
    }
    out
}

fn numbers(mut all: Vec<(u64, u64)>) -> Vec<NewNumbers> {
    all.sort_unstable();
    let mut out: Vec<NewNumbers> = Vec::new();
    for (was, is) in all {
        match out.last_mut().filter(|run| run.before.1 + 1 == was && run.after.1 + 1 == is) {
            Some(run) => (run.before.1, run.after.1) = (was, is),
            None => out.push(NewNumbers { before: (was, was), after: (is, is) }),
        }
    }
    out
}

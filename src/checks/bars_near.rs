//! `bars-clash` and `bars-close`: bars that run into each other, and bars the mix does not get between.
//!
//! Least clear distance: ACI 318-19 25.2.1 (seen in an explanation; the part of the aggregate from memory), EN 1992-1-1 8.2
//! for jobs in metric units. Crossing bars may touch: they are tied there. That bars may be laid 1/16 in into each other is
//! common practice, no source: bars are bent and tied by hand.

use super::{cover_short, words};
use crate::{
    job::{Job, Thing},
    problem::{Problem, Rule},
    rule,
    schema::{Bars, KindId},
    source::Span,
    steel::{self, BarAt, JobPlace, Near, clear_spacing, stone},
    units::{Length, show},
    works::Works,
};

rule!(BARS_CLASH, "bars-clash", Error, "bars that run into each other");
rule!(BARS_CLOSE, "bars-close", Warning, "bars side by side with too little between them");
rule!(PAIRS_TOO_MANY, "pairs-too-many", Warning, "so many bars or holes near each other that not all were compared");

pub(super) static RULES: &[&Rule] = &[&BARS_CLASH, &BARS_CLOSE, &PAIRS_TOO_MANY];

/// Less than this is noise.
const NOISE: Length = Length::from_nm(1_000);

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    let stone = stone(job);
    let clashes = &works.clearances.clashes;
    let mends: Vec<Option<Mend>> = clashes
        .iter()
        .map(|near| {
            away(job, works, near, apart(job, works, near, near.beside.then_some(stone))?).filter(|mend| mend.room)
        })
        .collect();
    // A mend that takes the bars into others, or into a void, only begins another one.
    let moves: Vec<steel::Move> = mends.iter().flatten().map(|mend| mend.moves).collect();
    let (standing, solids, sets) = (&works.standing, &works.solids, &works.sets);
    let mut meets = steel::meet(standing, solids, sets, &works.bars, &works.clearances, &moves).into_iter();
    for (near, mend) in clashes.iter().zip(mends) {
        let mend = mend.filter(|_| meets.next() == Some(false));
        problems.extend(clash(job, works, near, near.beside.then_some(stone), mend));
    }
    for near in &works.clearances.parallel {
        // What runs into each other is told as that.
        let clashes = works
            .clearances
            .clashes
            .iter()
            .any(|clash| (clash.first.bars, clash.second.bars) == (near.first.bars, near.second.bars));
        if !clashes {
            problems.extend(close(job, works, near, stone));
        }
    }
    let compared = "so many bars lie near each other along `{0}` that not all were compared";
    let bored = "so many holes lie near each other along `{0}` that not all were compared";
    for wall in &works.crowded {
        let Some(at) = job.at(*wall) else { continue };
        problems.push(
            Problem::new(&PAIRS_TOO_MANY, at, bored)
                .arg(job.name(*wall))
                .help("read the spacing of the holes again: they lie over each other by the thousand"),
        );
    }
    let tried = "so many bars stand along `{0}` that not of all it was tried whether they go in";
    let crowded = works.clearances.crowded.iter().map(|wall| (wall, compared));
    for (wall, headline) in crowded.chain(works.ways_in.crowded.iter().map(|wall| (wall, tried))) {
        let Some(at) = job.at(*wall) else { continue };
        problems.push(
            Problem::new(&PAIRS_TOO_MANY, at, headline)
                .arg(job.name(*wall))
                .help("read the spacing of the bars again: they lie over each other by the thousand"),
        );
    }
}

fn diameter(works: &Works, bar: &BarAt) -> Option<Length> {
    steel::made(&works.bars, bar.bars).map(|made| made.steel.diameter)
}

/// The two blocks, the one to be moved last: that which is written later.
fn two<'j>(job: &'j Job, near: &Near) -> Option<(&'j Thing<Bars>, &'j Thing<Bars>)> {
    Some((job.bars_of(near.first.bars)?, job.bars_of(near.second.bars)?))
}

/// The clause that says where bars lie.
fn said(bars: &Thing<Bars>) -> Span {
    let said = ["rows", "from", "in"].map(|clause| bars.said(KindId::Bars, clause));
    said.into_iter().find(|at| *at != bars.at).unwrap_or(bars.at)
}

/// What is asked between two bars that lie side by side.
fn asked(job: &Job, works: &Works, near: &Near, beside: Option<Length>) -> Option<Length> {
    let thicker = diameter(works, &near.first)?.max(diameter(works, &near.second)?);
    Some(clear_spacing(thicker, beside?, job.system())?.value)
}

/// How far apart the axes of two bars are to be: that, or that they touch.
fn apart(job: &Job, works: &Works, near: &Near, beside: Option<Length>) -> Option<Length> {
    let touch = (diameter(works, &near.first)? + diameter(works, &near.second)?) / 2;
    Some(touch + asked(job, works, near, beside).unwrap_or_default())
}

/// `beside` is the stone of the mix where the two lie side by side: such bars are to be spaced, others may touch.
fn clash(job: &Job, works: &Works, near: &Near, beside: Option<Length>, away: Option<Mend>) -> Option<Problem> {
    let (first, second) = two(job, near)?;
    let headline = match (first.id == second.id, near.pairs) {
        (false, 0 | 1) => "`{0}` and `{1}` run into each other",
        (false, _) => "`{0}` and `{1}` run into each other at {3} places",
        (true, 0 | 1) => "two bars of `{0}` run into each other",
        (true, _) => "bars of `{0}` run into each other at {3} places",
    };
    let asked = asked(job, works, near, beside);
    let mut problem = Problem::new(&BARS_CLASH, said(second), headline)
        .arg(first.name.as_str())
        .arg(second.name.as_str())
        .arg(Length::ZERO - near.clear)
        .arg(usize::try_from(near.pairs).unwrap_or(usize::MAX))
        .place(format!(
            "{} and {}",
            words::bar_name(job, works, &near.second),
            words::bar(job, works, &near.first, &near.at)
        ))
        .one_at(words::bar_at(job, works, &near.second, &near.to))
        .one_at(words::bar_at(job, works, &near.first, &near.at))
        .thing(second.name.as_str());
    if first.id != second.id {
        problem = problem.label(said(first), "these lie there already");
    }
    Some(match away {
        Some(mend) => {
            let problem = problem.arg(mend.text.as_str()).here("{2} into each other").fix(mend.span, mend.text);
            let problem = problem.arg(asked.unwrap_or_default());
            problem.help(match (asked.is_some(), mend.row) {
                (false, true) => "a row at {4} would pass; bars that cross may touch, and are tied there",
                (false, false) => "`{4}` would pass; bars that cross may touch, and are tied there",
                (true, true) => "a row at {4} would leave the {5} that is asked between bars side by side",
                (true, false) => "`{4}` would leave the {5} that is asked between bars side by side",
            })
        }
        None if asked.is_some() => problem.arg(asked.unwrap_or_default()).here("{2} into each other").help(
            "bars side by side want {4} between them: move one of the two along the wall, out or up by that much and {2} more",
        ),
        None => problem.here("{2} into each other").help(
            "move one of them along the wall with another `inset` or spacing, or out or up by that much; they may touch, to be tied",
        ),
    })
}

fn close(job: &Job, works: &Works, near: &Near, stone: Length) -> Option<Problem> {
    let (first, second) = two(job, near)?;
    let thicker = diameter(works, &near.first)?.max(diameter(works, &near.second)?);
    let asked = clear_spacing(thicker, stone, job.system())?;
    if near.clear + NOISE >= asked.value {
        return None;
    }
    let headline = match first.id == second.id {
        true => "bars of `{0}` lie {2} from each other; {3} clear is wanted",
        false => "`{0}` and `{1}` lie {2} from each other, side by side; {3} clear is wanted",
    };
    let wanted = (diameter(works, &near.first)? + diameter(works, &near.second)?) / 2 + asked.value;
    let mut problem = Problem::new(&BARS_CLOSE, said(second), headline)
        .arg(first.name.as_str())
        .arg(second.name.as_str())
        .arg(near.clear)
        .arg(asked.value)
        .place(format!(
            "{} and {}",
            words::bar_name(job, works, &near.second),
            words::bar(job, works, &near.first, &near.at)
        ))
        .one_at(words::bar_at(job, works, &near.second, &near.to))
        .one_at(words::bar_at(job, works, &near.first, &near.at))
        .thing(second.name.as_str())
        .measure(near.clear);
    if first.id != second.id {
        problem = problem.label(said(first), "these");
    }
    Some(match away(job, works, near, wanted) {
        Some(mend) => {
            let problem = problem.arg(mend.text.as_str()).fix(mend.span, mend.text);
            problem.help(match mend.row {
                true => "the mix must get between them: a row at {4} would leave room",
                false => "the mix must get between them: `{4}` would leave room",
            })
        }
        None => problem.help("the mix must get between them: lay one of them further off, or let the two cross"),
    })
}

/// A text edit that takes a long bar further off.
struct Mend {
    span: Span,
    text: String,
    /// It moves one row; else all rows of the block.
    row: bool,
    /// Which bars it moves, and where.
    moves: steel::Move,
    /// They keep their cover.
    room: bool,
}

/// The text edit that takes a long bar up, down, in or out until its axis is `wanted` from the other's. None where neither
/// bar is a long one, or where they lie beside each other along the wall.
fn away(job: &Job, works: &Works, near: &Near, wanted: Length) -> Option<Mend> {
    // The later block is moved if it can be.
    let both = [(&near.second, near.to, near.at), (&near.first, near.at, near.to)];
    let is_long = |bar: &BarAt| job.bars_of(bar.bars).is_some_and(|bars| bars.say.rows.is_some());
    let (bar, from, other): (&BarAt, JobPlace, JobPlace) = both.into_iter().find(|(bar, ..)| is_long(bar))?;
    let bars = job.bars_of(bar.bars)?;
    // Two bars of one row move together.
    let row = |bar: &BarAt| words::row_of(works, bar);
    if near.first.bars == near.second.bars && row(&near.first) == row(&near.second) {
        return None;
    }
    let [along, out, up] = [from.station - other.station, from.offset - other.offset, from.height - other.height]
        .map(|way| way.nm() as f64);
    let wanted = wanted.nm() as f64;
    let noise = NOISE.nm() as f64;
    if along.abs() > wanted / 2.0 {
        return None;
    }
    // How far it has to go one way when it already is so far the other; beside an arc the other way counts for nothing.
    let further = |now: f64, beside: f64| {
        let beside = if along.abs() > noise { 0.0 } else { beside };
        let apart = (wanted * wanted - beside * beside).max(0.0).sqrt();
        let by = show::cut_length(Length::round_nm(apart - now.abs()), job.system());
        if now < 0.0 { Length::ZERO - by } else { by }
    };
    let moves = |row, out, up| steel::Move { bars: bars.id, row, out, up, cover: Length::ZERO, clear: Length::ZERO };
    let room = |axis, by: Length| cover_short::room(works, bars.id, (axis, by > Length::ZERO), by.abs());
    if up.abs() > out.abs() || near.first.bars == near.second.bars {
        let by = further(up, out);
        let (span, text) = words::row_moved(job, works, bars, bar, by)?;
        return Some(Mend { span, text, row: true, moves: moves(row(bar), Length::ZERO, by), room: room(2, by) });
    }
    let offset = bars.say.offset.as_ref()?;
    let by = further(out, up);
    let text = format!("offset {}", show::exact(offset.value + by, job.system()));
    Some(Mend { span: offset.span, text, row: false, moves: moves(None, by, Length::ZERO), room: room(1, by) })
}

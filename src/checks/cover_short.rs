//! `cover-short`: steel too near a face of the concrete.
//!
//! Least covers: ACI 318-19 Table 20.5.1.3.1 (seen in reproductions); IRC R403.1.3.5.3 has the same figures for footings and
//! foundation walls. Against old concrete there is no face to the weather or the ground, and the rule for clear spacing
//! counts (ACI 318-19 25.2.1, EN 1992-1-1 8.2; that it counts there is common practice, no source).

use std::collections::BTreeMap;

use super::words;
use crate::{
    concrete::Class,
    job::{Job, Thing},
    problem::{Arg, Problem, Rule},
    rule,
    schema::{Bars, BlockId, KindId},
    source::Span,
    standards::cover::Exposure,
    steel::{self, Asks, Cover, Judged},
    units::{Length, show},
    works::Works,
};

rule!(COVER_SHORT, "cover-short", Warning, "steel too near a face of the concrete");

pub(super) static RULES: &[&Rule] = &[&COVER_SHORT];

/// Less than this is noise: covers are distances worked out in `f64`.
pub(super) const NOISE: Length = Length::from_nm(1_000);

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    // One finding for the bars of a block against faces of one class: the shortest.
    let mut worst: BTreeMap<(BlockId, Class), &Judged> = BTreeMap::new();
    for judged in &works.covers {
        // What comes out of the concrete is told as that.
        let out = works.clearances.outside.iter().any(|outside| outside.bar.bars == judged.cover.bar.bars);
        if judged.missing() > NOISE && !out {
            let kept = worst.entry((judged.cover.bar.bars, judged.cover.class)).or_insert(judged);
            if judged.missing() > kept.missing() {
                *kept = judged;
            }
        }
    }
    let mends: Vec<(&Judged, Option<Mend>)> = worst
        .into_values()
        .filter_map(|judged| Some((judged, mend(job, works, job.bars_of(judged.cover.bar.bars)?, judged))))
        .collect();
    // A mend that takes the bars into others, or into a void, only begins another one.
    let moves: Vec<steel::Move> = mends.iter().filter_map(|(_, mend)| mend.as_ref()?.moves).collect();
    let (standing, solids, sets) = (&works.standing, &works.solids, &works.sets);
    let mut meets = steel::meet(standing, solids, sets, &works.bars, &works.clearances, &moves).into_iter();
    for (judged, mend) in mends {
        let mend = mend.filter(|mend| mend.moves.is_none() || meets.next() == Some(false));
        problems.extend(short(job, works, judged, mend));
    }
}

/// A text edit that gives the cover.
struct Mend {
    span: Span,
    text: String,
    /// Which bars it moves, and where; none where it only lets them end earlier.
    moves: Option<steel::Move>,
}

fn short(job: &Job, works: &Works, judged: &Judged, mend: Option<Mend>) -> Option<Problem> {
    let bars = job.bars_of(judged.cover.bar.bars)?;
    let headline = match judged.asks {
        Asks::Spacing => "{0} between `{2}` and {3}; {1} is wanted there",
        Asks::Table(_) | Asks::Job => "{0} of cover over `{2}` at {3}; {1} is wanted there",
    };
    let section = job.section(judged.cover.section)?;
    let mut problem = Problem::new(&COVER_SHORT, at_fault(job, works, bars, judged), headline)
        .arg(judged.cover.clear)
        .arg(judged.wanted)
        .arg(bars.name.as_str())
        .arg(Arg::Word(face(judged.cover.class)))
        .place(words::bar(job, works, &judged.cover.bar, &judged.cover.at))
        .one_at(words::bar_at(job, works, &judged.cover.bar, &judged.cover.at))
        .thing(bars.name.as_str())
        .measure(judged.cover.clear);
    if judged.asks == Asks::Job {
        problem = problem.label(section.said(KindId::Section, "cover"), "wanted here");
    }
    // Without a mend, and with one.
    let help = match judged.asks {
        Asks::Job => ("the section asks for this much", "the section asks for this much: `{4}` would give it"),
        Asks::Table(Exposure::CastAgainstGround) => (
            "concrete cast against the ground wants more over its steel (ACI 318-19 Table 20.5.1.3.1)",
            "concrete cast against the ground wants more over its steel (ACI 318-19 Table 20.5.1.3.1): `{4}` would give it",
        ),
        Asks::Table(Exposure::WeatherOrGround) => (
            "faces that meet weather or ground want this much (ACI 318-19 Table 20.5.1.3.1); if they stay dry, write `exposure dry` in the section",
            "faces that meet weather or ground want this much (ACI 318-19 Table 20.5.1.3.1): `{4}` would give it; if they stay dry, write `exposure dry` in the section",
        ),
        Asks::Table(Exposure::Dry) => (
            "dry faces want this much (ACI 318-19 Table 20.5.1.3.1)",
            "dry faces want this much (ACI 318-19 Table 20.5.1.3.1): `{4}` would give it",
        ),
        Asks::Spacing => (
            "the mix must get in behind the bar: against old concrete the rule for clear spacing counts",
            "the mix must get in behind the bar: against old concrete the rule for clear spacing counts, and `{4}` would keep it",
        ),
    };
    Some(match mend {
        Some(Mend { span, text, .. }) => {
            let typed = text.trim_start_matches("; ").to_owned();
            problem.arg(typed).help(help.1).fix(span, text)
        }
        None => problem.help(help.0),
    })
}

/// What must change: a row's level where it lies too near above or below, else the clause that says where the bars lie.
fn at_fault(job: &Job, works: &Works, bars: &Thing<Bars>, judged: &Judged) -> Span {
    let row = || words::row_moved(job, works, bars, &judged.cover.bar, Length::ZERO).map(|(span, _)| span);
    match way(&judged.cover) {
        Some((2, _)) if bars.say.from.is_none() => row().unwrap_or_else(|| place_of(bars)),
        _ => place_of(bars),
    }
}

/// The clause that says where the bars lie.
pub(super) fn place_of(bars: &Thing<Bars>) -> Span {
    let said = ["offset", "from", "out"].into_iter().map(|clause| bars.said(KindId::Bars, clause));
    said.into_iter().find(|at| *at != bars.at).unwrap_or(bars.at)
}

/// Faces of a class, as one says it.
pub(super) const fn face(class: Class) -> &'static str {
    match class {
        Class::Old => "the old face",
        Class::SlabEdge => "the edge of the slab",
        Class::Joint => "the joint",
        Class::Earth => "the earth beside it",
        Class::Formed => "the form",
        Class::End => "the end",
        Class::Riser => "the riser",
        Class::Void => "the void",
        Class::Ground => "the ground under it",
        Class::OnSlab => "the slab under it",
        Class::OnOld => "the old work under it",
        Class::Soffit => "the underside",
        Class::Top => "the top",
    }
}

/// Which way a face lies from a bar, along the wall, out of it, or up; none if askew.
fn way(cover: &Cover) -> Option<(usize, bool)> {
    let (at, to) = (cover.at, cover.to);
    let ways = [to.station - at.station, to.offset - at.offset, to.height - at.height];
    let mut far = ways.iter().enumerate().filter(|(_, way)| way.nm().abs() > NOISE.nm());
    match (far.next(), far.next()) {
        (Some((axis, way)), None) => Some((axis, *way > Length::ZERO)),
        _ => None,
    }
}

/// Whether bars moved so far one way keep what is wanted from the faces on that side.
pub(super) fn room(works: &Works, bars: BlockId, (axis, ahead): (usize, bool), by: Length) -> bool {
    works.covers.iter().all(|other| {
        other.cover.bar.bars != bars
            || way(&other.cover).is_some_and(|(its, same)| its != axis || same != ahead)
            || Length::ZERO - other.missing() >= by
    })
}

/// A text edit that gives the cover, if the bars have room to be moved by so much: they must keep what is wanted from the
/// faces on the other side.
fn mend(job: &Job, works: &Works, bars: &Thing<Bars>, judged: &Judged) -> Option<Mend> {
    let by = show::cut_length(judged.missing(), job.system());
    let (axis, ahead) = way(&judged.cover)?;
    // Long bars that end earlier do so at both ends.
    if axis != 0 && !room(works, bars.id, (axis, !ahead), by) {
        return None;
    }
    let shown = |length: Length| show::exact(length, job.system()).to_string();
    let back = if ahead { Length::ZERO - by } else { by };
    let (out, up) = match axis {
        1 => (back, Length::ZERO),
        2 => (Length::ZERO, back),
        _ => {
            // Long bars end earlier; how far others stay from the end hangs on their insets and spacing.
            let offset = bars.say.offset.as_ref()?;
            bars.say.rows.as_ref()?;
            let ends = bars.say.ends.map_or(crate::steel::USUAL_ENDS, |ends| ends.0) + by;
            let said = bars.said(KindId::Bars, "ends");
            let (span, text) = if said == bars.at {
                (offset.span.after(), format!("; ends {}", shown(ends)))
            } else {
                (said, format!("ends {}", shown(ends)))
            };
            return Some(Mend { span, text, moves: None });
        }
    };
    let diameter = steel::made(&works.bars, bars.id)?.steel.diameter;
    let clear = steel::clear_spacing(diameter, steel::stone(job), job.system()).map_or(Length::ZERO, |it| it.value);
    let moves = |row| Some(steel::Move { bars: bars.id, row, out, up, cover: judged.wanted, clear });
    if let Some(from) = &bars.say.from {
        let (offset, height) = (from.value.offset + out, from.value.height + up);
        let text = format!("from offset {}, height {}", shown(offset), shown(height));
        return Some(Mend { span: from.span, text, moves: moves(None) });
    }
    if let Some(offset) = bars.say.offset.as_ref().filter(|_| out != Length::ZERO) {
        let text = format!("offset {}", shown(offset.value + out));
        return Some(Mend { span: offset.span, text, moves: moves(None) });
    }
    let (span, text) = words::row_moved(job, works, bars, &judged.cover.bar, up)?;
    let row = words::row_of(works, &judged.cover.bar);
    Some(Mend { span, text, moves: moves(row) })
}

//! `bar-in-clear`: bars within what is to be kept clear round a thing in the old face.
//!
//! What is kept clear is the job's own figure; the rest is geometry, in space.

use super::words;
use crate::{
    holes::RowTrouble,
    job::{Job, Thing},
    problem::{Problem, Rule},
    rule,
    schema::{Bars, KindId},
    source::Span,
    steel::{self, KeptClear},
    units::{Length, show},
    works::Works,
};

rule!(BAR_IN_CLEAR, "bar-in-clear", Warning, "bars within what is to be kept clear round a thing");

pub(super) static RULES: &[&Rule] = &[&BAR_IN_CLEAR];

/// Less than this is noise: distances are worked out in `f64`.
const NOISE: Length = Length::from_nm(1_000);

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for near in &works.clearances.kept_clear {
        if near.into() > NOISE && !failed(job, works, near) {
            problems.extend(told(job, works, near));
        }
    }
}

/// Bars in holes that could not keep away from the thing: that is told of the holes.
fn failed(job: &Job, works: &Works, near: &KeptClear) -> bool {
    let set = job.bars_of(near.bar.bars).and_then(|bars| bars.say.holes).and_then(|set| job.holes_of(set.value.0));
    set.is_some_and(|holes| {
        let mut avoided = holes.say.avoid.0.iter().flat_map(|avoid| &avoid.things);
        let fails = |(id, trouble): &(_, RowTrouble)| *id == holes.id && matches!(trouble, RowTrouble::AvoidFails(_));
        avoided.any(|thing| thing.value.0 == near.thing) && works.row_troubles.iter().any(fails)
    })
}

fn told(job: &Job, works: &Works, near: &KeptClear) -> Option<Problem> {
    let bars = job.bars_of(near.bar.bars)?;
    let headline = match (near.bars, near.clear <= Length::ZERO) {
        (0 | 1, true) => "`{0}` runs through `{1}`; {2} round it is to be kept clear",
        (_, true) => "`{0}` runs through `{1}`; {2} round it is to be kept clear, and {4} bars come nearer",
        (0 | 1, false) => "`{0}` comes within {3} of `{1}`; {2} round it is to be kept clear",
        (_, false) => "`{0}` comes within {3} of `{1}`; {2} round it is to be kept clear, and {4} bars come nearer",
    };
    let said = ["offset", "from", "in"].into_iter().map(|clause| bars.said(KindId::Bars, clause));
    let at = said.into_iter().find(|at| *at != bars.at).unwrap_or(bars.at);
    let mut problem = Problem::new(&BAR_IN_CLEAR, at, headline)
        .arg(bars.name.as_str())
        .arg(job.name(near.thing))
        .arg(near.radius)
        .arg(near.clear)
        .arg(usize::try_from(near.bars).unwrap_or(usize::MAX))
        .place(words::bar(job, works, &near.bar, &near.at))
        .one_at(words::bar_at(job, works, &near.bar, &near.at))
        .thing(bars.name.as_str())
        .measure(near.clear.max(Length::ZERO));
    if let Some(clear) = job.clears.iter().find(|clear| clear.id == near.thing) {
        problem = problem.label(clear.said(KindId::Clear, "radius"), "kept clear");
    }
    Some(match mend(job, works, bars, near) {
        Some((span, text)) => problem.arg(text.as_str()).help("`{5}` would keep clear of it").fix(span, text),
        None => problem.help(
            "move the bars out, up or along, or end them before it; if they may pass there, say a smaller `radius`",
        ),
    })
}

/// Long bars farther out from the face, if there is cover enough before them.
fn mend(job: &Job, works: &Works, bars: &Thing<Bars>, near: &KeptClear) -> Option<(Span, String)> {
    let offset = bars.say.offset.as_ref()?;
    let made = steel::made(&works.bars, bars.id)?;
    let wanted = (near.radius + made.steel.diameter / 2).nm() as f64;
    let [along, out, up] =
        [near.at.station - near.to.station, near.at.offset - near.to.offset, near.at.height - near.to.height]
            .map(|way| way.nm() as f64);
    if out < 0.0 {
        return None;
    }
    let beside = along.hypot(up);
    let apart = (wanted * wanted - beside * beside).max(0.0).sqrt();
    let by = show::cut_length(Length::round_nm(apart - out), job.system());
    let room = works.covers.iter().all(|judged| {
        let cover = &judged.cover;
        cover.bar.bars != bars.id || cover.to.offset <= cover.at.offset + NOISE || Length::ZERO - judged.missing() >= by
    });
    (room && by > Length::ZERO)
        .then(|| (offset.span, format!("offset {}", show::exact(offset.value + by, job.system()))))
}

//! What the plan says of a section at one place along it, or all along: thickness, top, bottom.
//!
//! A section has one top and one bottom, but where a void through it reaches them; it has another thickness on another leg
//! where it says so. Just where one ends and the other begins either may be meant: both are given.

use super::{
    sections::{Placed, PlacedVoid, Sections, depth},
    standing::{Interval, LegAt, Standing},
};
use crate::{
    job::{Job, Thing},
    schema::{KindId, Section},
    source::Span,
    units::Length,
};

/// A length the plan says, and where.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Planned {
    /// The thickness, or the level.
    pub value: Length,
    /// The clause it comes from.
    pub said: Span,
}

/// What may be meant of a section at a place: each value once, in the order they are met along the wall.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct PlannedAt {
    /// How thick it is, square to the old face.
    pub thick: Vec<Planned>,
    /// The level of its top.
    pub top: Vec<Planned>,
    /// The level of its bottom.
    pub bottom: Vec<Planned>,
}

/// What a section is at a leg and a station of it, or anywhere where no place is asked for. None where it is not: beside its
/// ends, on another wall, in a void as high as itself.
#[must_use]
pub fn planned_at(
    job: &Job,
    standing: &Standing,
    sections: &Sections,
    placed: &Placed,
    at: Option<(LegAt, Length)>,
) -> Option<PlannedAt> {
    let section = job.section(placed.id)?;
    let here: Vec<Interval> = touched(standing, &placed.intervals, at);
    let height = section.said(KindId::Section, "height");
    let own = |value| Planned { value, said: height };
    let mut out = PlannedAt::default();
    for interval in &here {
        let (inner, outer) = depth(section, standing, interval.on);
        add(&mut out.thick, Planned { value: outer - inner, said: thick_said(section, standing, interval.on) });
    }
    // What the section is beside the voids, and over and under them.
    let (mut top, mut bottom) = (true, true);
    for void in sections.voids.iter().filter(|void| void.section == placed.id) {
        let Some(inside) = cut(job, standing, section, void, at) else { continue };
        let said = |clause| job.void(void.id).map_or(section.at, |void| void.said(KindId::Void, clause));
        let (over, under) = (void.top < placed.top, void.bottom > placed.bottom);
        if inside && !over && !under {
            return None;
        }
        if !over {
            top &= !inside;
            if under {
                add(&mut out.top, Planned { value: void.bottom, said: said("height") });
            }
        }
        if !under {
            bottom &= !inside;
            if over {
                add(&mut out.bottom, Planned { value: void.top, said: said("height") });
            }
        }
    }
    if top {
        out.top.insert(0, own(placed.top));
    }
    if bottom {
        out.bottom.insert(0, own(placed.bottom));
    }
    (!here.is_empty()).then_some(out)
}

fn add(all: &mut Vec<Planned>, new: Planned) {
    if all.iter().all(|known| known.value != new.value) {
        all.push(new);
    }
}

/// The clause that says how thick it is on a leg.
fn thick_said(section: &Thing<Section>, standing: &Standing, on: LegAt) -> Span {
    let Some(thick) = &section.say.thick else { return section.said(KindId::Section, "offset") };
    let other = thick.value.on.0.iter().find(|other| standing.place(other.leg.value) == Some(on));
    other.map_or(thick.span, |other| other.leg.span)
}

/// The intervals a place lies on or at the end of; all of them where none is said. The end of a leg at a corner is the
/// beginning of the next.
fn touched(standing: &Standing, intervals: &[Interval], at: Option<(LegAt, Length)>) -> Vec<Interval> {
    let Some((leg, station)) = at else { return intervals.to_vec() };
    let follows = |before: LegAt, after: LegAt| standing.next_leg(before) == Some(after);
    let touches = |interval: &&Interval| {
        let on = interval.on == leg && (interval.start..=interval.end).contains(&station);
        let before =
            station == Length::ZERO && follows(interval.on, leg) && interval.end == standing.length(interval.on);
        let after = station == standing.length(leg) && follows(leg, interval.on) && interval.start == Length::ZERO;
        on || before || after
    };
    intervals.iter().filter(touches).copied().collect()
}

/// Whether a void goes through the section just at a place, or only ends there, or is somewhere along it where no place is
/// asked for; none where it is not there, or leaves some of the thickness.
fn cut(
    job: &Job,
    standing: &Standing,
    section: &Thing<Section>,
    void: &PlacedVoid,
    at: Option<(LegAt, Length)>,
) -> Option<bool> {
    let touched = touched(standing, &standing.intervals(&void.runs), at);
    let offset = job.void(void.id)?.say.offset;
    let through = |on: LegAt| {
        let (inner, outer) = depth(section, standing, on);
        offset.is_none_or(|offset| offset.value.from <= inner && offset.value.to >= outer)
    };
    if touched.is_empty() || !touched.iter().all(|interval| through(interval.on)) {
        return None;
    }
    let inside = |interval: &Interval| {
        at.is_some_and(|(leg, station)| interval.on == leg && interval.start < station && station < interval.end)
    };
    // At a corner it goes round both legs are touched.
    Some(at.is_some() && (touched.len() > 1 || touched.iter().any(inside)))
}

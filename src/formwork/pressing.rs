//! How hard fresh concrete presses on a form: how high it stands over its foot, what is in it, how warm, and whether it is a wall's
//! or a column's.

use super::{Around, Panel};
use crate::{
    concrete::{Interval, Placed, depth},
    curing::{cement, chemistry, usual_cement},
    geometry::Outline,
    job::Job,
    schema::{Forms, Pressure},
    standards::{
        Part, Worked,
        pressure::{self, CiriaPour, Element, Envelope, Placing, USUAL_DENSITY, aci, ciria},
    },
    units::{Length, Temperature},
};

/// What lies no farther apart in plan is one place: 1 mm, in nanometres.
const NEAR: f64 = 1_000_000.0;

/// The level fresh concrete stands up to over the foot of a panel: a lid keeps it in below the top of the pour, and what the same
/// pour stacks on any part of the section stands on it as a liquid.
pub(super) fn head(job: &Job, around: Around, panel: &Panel) -> Length {
    let lids = job.pour(panel.pour).and_then(|pour| pour.say.lids.as_deref()).unwrap_or_default();
    let Some(placed) = around.sections.find(panel.section) else { return panel.top };
    let stacked = stack(job, around, panel, placed).max(panel.top);
    match around.solids.of(panel.pour) {
        Some(solid) if lids.iter().any(|lid| lid.value.0 == panel.section) => solid.top.max(stacked),
        _ => stacked,
    }
}

/// The top of what a pour stacks over a section, on whichever part of its plan.
fn stack(job: &Job, around: Around, panel: &Panel, placed: &Placed) -> Length {
    let mut left: Vec<&Placed> = poured_along(around, panel, placed).filter(|other| other.top > placed.top).collect();
    let mut pile = vec![placed];
    loop {
        let on =
            |upper: &&Placed| pile.iter().any(|lower| upper.bottom <= lower.top && is_over(job, around, upper, lower));
        let Some(at) = left.iter().position(on) else { break };
        pile.push(left.swap_remove(at));
    }
    pile.iter().map(|one| one.top).max().unwrap_or(placed.top)
}

/// The other sections of a panel's pour along the same wall: plans of different walls have no place in common.
fn poured_along<'w>(around: Around<'w>, panel: &Panel, placed: &'w Placed) -> impl Iterator<Item = &'w Placed> {
    let pour = around.solids.of(panel.pour);
    let ids = pour.into_iter().flat_map(|solid| &solid.sections).map(|(section, _)| *section);
    ids.filter(|section| *section != placed.id)
        .filter_map(move |section| around.sections.find(section))
        .filter(|other| other.wall == placed.wall)
}

/// Whether two sections have some of their plan in common.
fn is_over(job: &Job, around: Around, one: &Placed, other: &Placed) -> bool {
    let out = |placed: &Placed, interval: &Interval| {
        job.section(placed.id).map(|section| depth(section, around.standing, interval.on))
    };
    one.intervals.iter().any(|here| {
        other.intervals.iter().filter(|there| here.shared(there).is_some()).any(|there| {
            let both = out(one, here).zip(out(other, there));
            both.is_some_and(|(one, other)| one.0 < other.1 && other.0 < one.1)
        })
    })
}

/// What the concrete of a pour is taken to be as warm as: the coldest air, or as it goes in where a cure says a colder one. Colder
/// concrete presses longer.
fn temperature(job: &Job, around: Around, panel: &Panel) -> Option<Temperature> {
    let cures = job.cures.iter().filter(|cure| cure.say.of.value.0 == panel.pour);
    let fresh = cures.filter_map(|cure| cure.say.fresh.as_ref()).map(|fresh| fresh.value);
    around.coldest.into_iter().chain(fresh).reduce(Temperature::min)
}

/// What a section is to a rule, for which a column is no longer than this in plan either way: what the same pour sets beside it over
/// all of its height is one with it. Where its pieces differ it is both.
fn elements(around: Around, panel: &Panel, longest: Length) -> Vec<Element> {
    let Some(placed) = around.sections.find(panel.section) else { return vec![Element::Wall] };
    let beside = poured_along(around, panel, placed)
        .filter(|other| other.bottom <= placed.bottom && other.top >= placed.top)
        .flat_map(|other| &other.outlines);
    let all: Vec<Outline> = placed.outlines.iter().chain(beside).cloned().collect();
    let frame = panel.frame();
    let is_own = |whole: &Outline| {
        let mut corners = placed.outlines.iter().flat_map(Outline::edges);
        corners.any(|(corner, ..)| whole.holds(corner, NEAR))
    };
    let mut out: Vec<Element> = Vec::new();
    for whole in Outline::united(&all).iter().filter(|whole| is_own(whole)) {
        let places: Vec<(f64, f64)> = whole.edges().map(|(corner, ..)| frame.local(corner)).collect();
        let extent = |of: fn(&(f64, f64)) -> f64| {
            let (least, most) =
                places.iter().map(of).fold((f64::MAX, f64::MIN), |(least, most), at| (at.min(least), at.max(most)));
            most - least
        };
        let is_short = extent(|at| at.0).max(extent(|at| at.1)) <= longest.nm() as f64 + NEAR;
        let element = if is_short { Element::Column } else { Element::Wall };
        if !out.contains(&element) {
            out.push(element);
        }
    }
    out
}

/// How hard the concrete of a panel presses, as high as it stands there.
pub(super) fn pressure(job: &Job, around: Around, forms: &Forms, panel: &Panel, head: Length) -> Worked<Envelope> {
    let height = head - panel.bottom;
    let liquid = |why: &'static str| Worked {
        value: Envelope::liquid(USUAL_DENSITY, height),
        formula: "w * h",
        source: "hydrostatics: as a liquid",
        parts: vec![Part::density("w", USUAL_DENSITY, "weight of the fresh concrete"), Part::length("h", height, why)],
    };
    let rate = around.rise.get(&panel.pour).copied();
    let (Some(rate), Some(temperature)) = (rate, temperature(job, around, panel)) else {
        return liquid(if rate.is_none() {
            "height of fresh concrete; how fast it rises is not planned"
        } else {
            "height of fresh concrete; no temperature is known"
        });
    };
    let system = job.system();
    let mix = job.pour(panel.pour).and_then(|pour| job.mix(pour.say.mix.0));
    let cement = mix.map_or(usual_cement(system), |mix| cement(&mix.say, system));
    let by_rule = |element: Element| match forms.pressure {
        Some(Pressure::Ciria) => ciria(&CiriaPour {
            element,
            density: USUAL_DENSITY,
            form: height,
            height,
            rate,
            temperature,
            chemistry: chemistry(cement, Pressure::Ciria),
        }),
        Some(Pressure::Aci) | None => aci(&pressure::Pour {
            system,
            element,
            density: USUAL_DENSITY,
            height,
            rate,
            temperature,
            chemistry: chemistry(cement, Pressure::Aci),
            slump: Length::INCH * 4,
            placing: Placing::default(),
        }),
    };
    let longest = match forms.pressure {
        Some(Pressure::Ciria) => pressure::CIRIA_COLUMN,
        Some(Pressure::Aci) | None => pressure::aci_column(system),
    };
    let worked = elements(around, panel, longest).into_iter().filter_map(|element| by_rule(element).ok());
    // What a rule does not cover is a liquid.
    worked
        .reduce(|one, other| if other.value.peak > one.value.peak { other } else { one })
        .unwrap_or_else(|| liquid("height of fresh concrete; outside what the rule covers"))
}

//! What the braces of a form stand on, and how far they rise from there.

use super::{
    Around, Hold, Panel,
    design::{USUAL_ANGLE, Unheld},
};
use crate::{
    concrete::{Placed, depth},
    geometry::Point,
    job::{Job, Thing},
    schema::{Forms, LumberName, Slab, StandsOn},
    units::{Angle, Length, Ratio},
};

/// What a brace stands on.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Floor {
    /// Its level at the face of the form.
    level: Length,
    /// How much it falls for each length away from there.
    falls: f64,
    /// It is earth: nothing is fixed to it.
    is_ground: bool,
}

/// How far a brace rises that meets a panel so high above its foot: from new concrete that reaches far enough past the panel, else
/// from the slab there where it is not broken out, else from the ground; where none of it is said, or lies below, from as low as the
/// form stands.
pub(super) fn rise(job: &Job, around: Around, forms: &Forms, panel: &Panel, height: Length) -> Length {
    let meets = panel.bottom + height;
    let angle = forms.brace.as_ref().and_then(|brace| brace.value.angle).map_or(USUAL_ANGLE, |angle| angle.value.0);
    let floor = floor(job, around, panel, meets, angle).filter(|floor| floor.level < meets);
    let Some(floor) = floor else { return height };
    // Where the ground falls away the brace goes down to it.
    Length::round_nm((meets - floor.level).nm() as f64 / (1.0 - floor.falls / steep(angle)).max(0.05))
}

/// The level of the foot of a panel's braces, and how far they reach out of the form; none without braces.
pub(super) fn reach(forms: &Forms, panel: &Panel) -> Option<(Length, Length)> {
    let (meets, rises) = panel.braced?;
    let angle = forms.brace.as_ref().and_then(|brace| brace.value.angle).map_or(USUAL_ANGLE, |angle| angle.value.0);
    Some((meets - rises, Length::round_nm(rises.nm() as f64 / steep(angle))))
}

/// How much a brace rises for each length it reaches out.
fn steep(angle: Angle) -> f64 {
    angle.radians().tan().abs().max(0.05)
}

/// What is fixed to a floor that is not there: what the file says of ground and slabs decides, and where it says nothing, or a strip of
/// a slab is broken out, a floor is believed.
pub(super) fn unfixed(job: &Job, around: Around, forms: &Forms, panel: &Panel) -> Vec<Unheld> {
    let mut out = Vec::new();
    if stands_on_footing(job, around, panel) {
        return out;
    }
    if let Some(kick) = forms.kick.as_ref().filter(|kick| kick.value.on == StandsOn::Floor) {
        let wide = |name: LumberName| job.lumber_of(name.0)?.say.size.as_ref().map(|size| size.wide.0);
        match floor(job, around, panel, panel.bottom, UPRIGHT) {
            Some(floor) if floor.is_ground => out.push(Unheld::NoFloor(Hold::Kick)),
            Some(floor) if wide(kick.value.size).is_some_and(|wide| panel.bottom - floor.level > wide) => {
                out.push(Unheld::OverFloor(panel.bottom, floor.level));
            }
            _ => {}
        }
    }
    if let Some(brace) = forms.brace.as_ref().filter(|brace| brace.value.on == StandsOn::Floor) {
        let angle = brace.value.angle.map_or(USUAL_ANGLE, |angle| angle.value.0);
        if floor(job, around, panel, panel.top, angle).is_some_and(|floor| floor.is_ground) {
            out.push(Unheld::NoFloor(Hold::Brace));
        }
    }
    out
}

/// A kicker stands right before the form.
const UPRIGHT: Angle = Angle::from_degrees(85.0);

/// Whether a footing under the old wall stands out past the concrete before it.
fn stands_on_footing(job: &Job, around: Around, panel: &Panel) -> bool {
    let Some(placed) = around.sections.find(panel.section) else { return false };
    let face = placed.intervals.first().zip(job.section(placed.id));
    let face = face.map_or(Length::ZERO, |(interval, section)| depth(section, around.standing, interval.on).1);
    job.footings.iter().any(|footing| footing.say.under.0 == placed.wall && footing.say.out.0 > face)
}

fn floor(job: &Job, around: Around, panel: &Panel, below: Length, angle: Angle) -> Option<Floor> {
    // How far in front of the concrete a foot lies at a level.
    let out = |level: Length| Length::round_nm((below - level).nm() as f64 / steep(angle));
    let standing = around.standing;
    let placed = around.sections.find(panel.section)?;
    let legs = || placed.intervals.iter().filter_map(|interval| standing.leg_ref(interval.on));
    let meets = |slab: &&Thing<Slab>| {
        let parts = &slab.say.against.0;
        legs().any(|leg| parts.iter().any(|part| part.value.names(leg)))
    };
    let outer = is_outer(job, around, placed, panel);
    let past = |other: &Placed| {
        let section = job.section(placed.id).zip(job.section(other.id));
        let on = placed.intervals.first().zip(section);
        on.is_some_and(|(interval, (section, other))| {
            let (own, its) = (depth(section, standing, interval.on), depth(other, standing, interval.on));
            let past = if outer { its.1 - own.1 } else { own.0 - its.0 };
            past >= out(around.sections.find(other.id).map_or(below, |placed| placed.top))
        })
    };
    let shares = |other: &&Placed| {
        other.intervals.iter().any(|one| placed.intervals.iter().any(|other| one.shared(other).is_some()))
    };
    let level = |level: Length| Floor { level, falls: 0.0, is_ground: false };
    let upon = around.sections.along(placed.wall).filter(|other| other.top <= panel.bottom).filter(shares);
    if let Some(top) = upon.filter(|other| past(other)).map(|other| other.top).max() {
        return Some(level(top));
    }
    let whole = |slab: &&Thing<Slab>| {
        let strips = job.removes.iter().filter(|strip| strip.say.slab.0 == slab.id);
        let here = strips.filter(|strip| legs().any(|leg| strip.say.along.0.iter().any(|part| part.value.names(leg))));
        let face = placed.intervals.first().zip(job.section(placed.id));
        let face = face.map_or(Length::ZERO, |(interval, section)| depth(section, standing, interval.on).1);
        here.map(|strip| strip.say.out.value.0).max().is_none_or(|end| face + out(slab.say.top) >= end)
    };
    let slab = job.slabs.iter().filter(meets).filter(whole).map(|slab| slab.say.top).max();
    // In a strip that is broken out they stand as low as the form.
    if slab.is_none() && job.slabs.iter().any(|slab| meets(&slab)) {
        return None;
    }
    // Before an old wall one stands inside; before a line, on the side of the panel.
    let on = placed.intervals.first().map(|interval| interval.on);
    let is_outside = job.wall(placed.wall).is_none() && on.is_some_and(|on| outer == standing.goes_round(on));
    let grounds = job.grounds.iter();
    let ground = if is_outside {
        let outside = grounds.filter_map(|ground| ground.say.outside.as_ref()).max_by_key(|outside| outside.level);
        let falls = |falls: Option<Ratio>| falls.map_or(0.0, |falls| falls.fraction());
        outside.map(|said| Floor { level: said.level, falls: falls(said.falls), is_ground: true })
    } else {
        let inside = grounds.filter_map(|ground| ground.say.inside).max();
        inside.map(|level| Floor { level, falls: 0.0, is_ground: true })
    };
    slab.map(level).or(ground)
}

/// Whether a panel stands at the outer face of its section.
fn is_outer(job: &Job, around: Around, placed: &Placed, panel: &Panel) -> bool {
    let Some(section) = job.section(placed.id) else { return true };
    let [from, to] = panel.ends();
    let middle = Point::new(f64::midpoint(from.x, to.x), f64::midpoint(from.y, to.y));
    let far = placed.intervals.iter().filter_map(|interval| {
        let frame = around.standing.chain(interval.on)?.run.frame(usize::from(interval.on.leg))?;
        let (inner, outer) = depth(section, around.standing, interval.on);
        let (_, offset) = frame.local(middle);
        let off = |face: Length| (offset - face.nm() as f64).abs();
        Some((off(inner).min(off(outer)), off(outer) <= off(inner)))
    });
    far.min_by(|one, other| one.0.total_cmp(&other.0)).is_none_or(|(_, is_outer)| is_outer)
}

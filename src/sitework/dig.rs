//! What must not be dug or broken without an engineer: below the base of what stands there, and the slab that holds a
//! wall's foot.

use crate::{
    concrete::{Sections, Standing},
    job::Job,
    schema::BlockId,
    standards::hazards::digging::deepest_beside,
    units::Length,
};

/// New concrete whose bottom lies below the base of the old work it stands beside.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Dig {
    /// The section.
    pub section: BlockId,
    /// The old footing; the wall where it has none.
    pub old: BlockId,
    /// Its base.
    pub base: Length,
    /// The section's bottom.
    pub bottom: Length,
    /// How far the dig stays away from its outer edge.
    pub away: Length,
    /// It is deeper below the base than it is away from it: under 45 degrees nothing holds in firm soil. Else it is deeper
    /// than half of that, which is too much in sand or soft soil.
    pub under: bool,
}

/// The sections that are dug for below the base of the old work: within a line that falls 1 in 2 from its outer edge
/// (common practice, no source; 29 CFR 1926.651(i) forbids it without an engineer's word).
#[must_use]
pub fn digs(job: &Job, standing: &Standing, sections: &Sections) -> Vec<Dig> {
    let mut out = Vec::new();
    for placed in &sections.placed {
        let Some(section) = job.section(placed.id).filter(|_| job.wall(placed.wall).is_some()) else { continue };
        let footing = job.footings.iter().find(|footing| footing.say.under.0 == placed.wall);
        let walls = standing.intervals(&placed.runs);
        let Some(lowest) = walls.iter().filter_map(|part| Some(standing.heights(part.on)?.0)).max() else { continue };
        let (old, base, edge) = match footing {
            Some(footing) => (footing.id, lowest - footing.say.thick.0, footing.say.out.0),
            None => (placed.wall, lowest, Length::ZERO),
        };
        let from = section.say.offset.as_ref().map_or(Length::ZERO, |offset| offset.value.from);
        let away = (from - edge).max(Length::ZERO);
        let below = base - placed.bottom;
        let deeper = |firm| deepest_beside(away, firm).is_ok_and(|deepest| below > deepest.value);
        if below > Length::ZERO && deeper(false) {
            out.push(Dig { section: placed.id, old, base, bottom: placed.bottom, away, under: deeper(true) });
        }
    }
    out
}

/// A strip of slab that may hold the foot of the wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Propped {
    /// The strip.
    pub strip: BlockId,
    /// The wall's ground on its other side.
    pub ground: Length,
    /// The bottom of the slab.
    pub bottom: Length,
}

/// The strips that are broken out at the foot of a wall with ground against its other side.
#[must_use]
pub fn propped(job: &Job) -> Vec<Propped> {
    let outside = job.grounds.iter().filter_map(|ground| ground.say.outside.as_ref()).map(|outside| outside.level);
    let Some(ground) = outside.max() else { return Vec::new() };
    let strips = job.removes.iter().filter_map(|strip| {
        let slab = &job.slab(strip.say.slab.0)?.say;
        let bottom = slab.top - slab.thick.0;
        (ground > bottom).then_some(Propped { strip: strip.id, ground, bottom })
    });
    strips.collect()
}

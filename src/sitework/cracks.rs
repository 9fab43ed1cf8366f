//! Cracks that are filled with resin: how much, and through how many ports.

use crate::{
    concrete::Standing,
    job::{Job, Thing},
    schema::{BlockId, Crack},
    standards::mending::{RESIN_LOSS, crack_resin, ports},
    units::{Length, Volume},
};

/// A crack, and what fills it.
#[derive(Debug, Clone, PartialEq)]
pub struct Injection {
    /// The crack.
    pub crack: BlockId,
    /// The resin.
    pub resin: BlockId,
    /// How many cracks of this length there are.
    pub count: i64,
    /// How long each is.
    pub length: Length,
    /// How deep.
    pub deep: Length,
    /// How wide.
    pub gap: Length,
    /// What all of them hold.
    pub net: Volume,
    /// What is bought.
    pub order: Volume,
    /// Ports in all: not farther apart than the crack is deep.
    pub ports: u64,
    /// It goes through: its back is sealed too.
    pub through: bool,
}

/// All cracks that are filled and of which it is said how deep they are.
#[must_use]
pub fn injections(job: &Job, standing: &mut Standing) -> Vec<Injection> {
    job.cracks.iter().filter_map(|crack| injection(job, standing, crack)).collect()
}

fn injection(job: &Job, standing: &mut Standing, crack: &Thing<Crack>) -> Option<Injection> {
    let say = &crack.say;
    let resin = say.fill?.0;
    let (count, length, on) = match (&say.along, &say.on) {
        (Some(along), _) => {
            let runs = standing.resolve(job, along);
            let parts = standing.intervals(&runs);
            (1, parts.iter().map(|part| part.end - part.start).sum(), parts.first()?.on)
        }
        (None, Some(on)) => {
            let count = on.0.iter().map(|spot| spot.value.at.len()).sum::<usize>();
            let height = say.height.value;
            (i64::try_from(count).ok()?, height.to - height.from, standing.place(on.0.first()?.value.leg)?)
        }
        (None, None) => return None,
    };
    let deep = match (say.through, say.deep) {
        (Some(()), _) => standing.thickness(on)?,
        (None, Some(deep)) => deep.0,
        (None, None) => return None,
    };
    let gap = say.gap.0;
    let one = crack_resin(length, deep, gap, RESIN_LOSS.value).ok()?;
    let each = ports(length, deep).ok()?.value;
    Some(Injection {
        crack: crack.id,
        resin,
        count,
        length,
        deep,
        gap,
        net: length * deep * gap * count,
        order: one.value * count,
        ports: each.saturating_mul(count.unsigned_abs()),
        through: say.through.is_some(),
    })
}

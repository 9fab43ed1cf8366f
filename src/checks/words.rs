//! Places on the job in words.

use crate::{
    concrete::{LegAt, Standing},
    holes::{Hole, Level},
    job::Job,
    units::{System, show},
};

/// "old.back".
pub(super) fn leg(job: &Job, standing: &Standing, at: LegAt) -> String {
    let wall = standing.leg_ref(at).map_or("", |leg| job.name(leg.wall));
    format!("{wall}.{}", standing.leg_name(at))
}

/// "4\" up" or "5\" out".
pub(super) fn level(level: Level, system: System) -> String {
    match level {
        Level::Height(height) => format!("at level {}", show::place(height, system)),
        Level::Offset(offset) => format!("{} out from the face", show::place(offset, system)),
    }
}

/// "hole 3 of pins, at 2'-7 1/2\" on old.back, at level 4\"".
pub(super) fn hole(job: &Job, standing: &Standing, set: &str, hole: &Hole) -> String {
    let system = job.system();
    format!(
        "hole {} of {set}, at {} on {}, {}",
        hole.number,
        show::place(hole.station, system),
        leg(job, standing, hole.on),
        level(hole.level, system)
    )
}

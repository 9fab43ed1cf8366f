//! The room between new concrete and the wood over it, through which all of it has to go.

use super::{Sections, Standing, depth};
use crate::{
    job::{Job, Thing},
    schema::{BlockId, Pour, PutIn},
    standards::{
        forms::Setting,
        handwork::{BUCKET_ROOM, CHUTE_ROOM, SCOOP_ROOM},
    },
    units::Length,
};

/// The least room over the form of a pour.
#[derive(Debug, Clone, Copy)]
pub struct Over {
    /// The section that comes nearest to the wood.
    pub section: BlockId,
    /// The wall whose wood it is.
    pub wall: BlockId,
    /// From the top of the concrete up to the wood; below zero where it would stand in it.
    pub room: Length,
    /// How the concrete gets in, and whether that is only what is usual.
    pub by: (PutIn, bool),
    /// The room this takes.
    pub wants: Setting<Length>,
}

/// The room a way of putting concrete in takes.
#[must_use]
pub fn room_for(by: PutIn) -> Setting<Length> {
    match by {
        PutIn::Bucket => BUCKET_ROOM,
        PutIn::Chute => CHUTE_ROOM,
        PutIn::Scoop => SCOOP_ROOM,
    }
}

/// The room over a pour; none where no wall it stands at says where its wood begins, or where
/// it reaches out from under it.
#[must_use]
pub fn over(job: &Job, standing: &Standing, sections: &Sections, pour: &Thing<Pour>) -> Option<Over> {
    let said = pour.say.carry.as_ref().and_then(|carry| carry.by);
    let by = said.unwrap_or(PutIn::Bucket);
    let rooms = pour.say.fill.iter().filter_map(|section| {
        let placed = sections.find(section.value.0)?;
        let wall = job.wall(placed.wall)?;
        let said = job.section(placed.id)?;
        let deepest = placed.intervals.iter().map(|interval| depth(said, standing, interval.on).1).max()?;
        // What reaches out further than a bucket is wide is filled from in front of the wood.
        if deepest > BUCKET_ROOM.value {
            return None;
        }
        Some((wall.say.wood? - placed.top, placed.id, wall.id))
    });
    let (room, section, wall) = rooms.min_by_key(|(room, ..)| *room)?;
    Some(Over { section, wall, room, by: (by, said.is_none()), wants: room_for(by) })
}

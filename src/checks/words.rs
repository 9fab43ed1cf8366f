//! Places on the job in words.

use crate::{
    concrete::{LegAt, Standing},
    holes::{Hole, Level},
    job::{Job, Thing},
    problem::{One, Spot},
    schema::{Bars, RowLevel},
    source::Span,
    steel::{self, BarAt, JobPlace, Place},
    units::{Length, System, show},
    works::Works,
};

/// The one thing there is, if it is one.
pub(super) fn only<T>(mut all: impl Iterator<Item = T>) -> Option<T> {
    all.next().filter(|_| all.next().is_none())
}

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

/// "rises 3", "rails in row 2", "the dowel in hole 5 of pins".
pub(super) fn bar_name(job: &Job, works: &Works, bar: &BarAt) -> String {
    let name = job.name(bar.bars);
    let made = steel::made(&works.bars, bar.bars);
    match made.and_then(|made| made.groups.get(bar.group as usize)).map(|group| &group.place) {
        Some(Place::Long { row, .. }) => format!("{name} in row {row}"),
        Some(Place::Holes(holes)) => format!("{name} in hole {} of {}", bar.number, job.name(*holes)),
        Some(Place::Side(_)) | None => format!("{name} {}", bar.number),
    }
}

/// The number of a bar, counted through its block.
pub(super) fn counted(works: &Works, bar: &BarAt) -> u64 {
    let made = steel::made(&works.bars, bar.bars);
    made.map_or(bar.number, |made| made.counted(bar.group as usize, bar.number))
}

/// A bar, and the place of it that is meant: drawings put the flag there.
pub(super) fn bar_at(job: &Job, works: &Works, bar: &BarAt, at: &JobPlace) -> One {
    let leg = (at.on != bar.on).then(|| leg(job, &works.standing, at.on));
    let spot = Some(Spot { leg, station: at.station, height: at.height });
    One { block: job.name(bar.bars).to_owned(), number: counted(works, bar), spot }
}

/// "rises 3, at 7'-4\" on old.back, 4\" out, at level 19\"".
pub(super) fn bar(job: &Job, works: &Works, bar: &BarAt, at: &JobPlace) -> String {
    format!("{}, {}", bar_name(job, works, bar), place(job, works, at))
}

/// "7'-4\" on old.back".
pub(super) fn station(job: &Job, works: &Works, at: &JobPlace) -> String {
    format!("{} on {}", show::place(at.station, job.system()), leg(job, &works.standing, at.on))
}

/// "at 7'-4\" on old.back, 4\" out, at level 19\"".
pub(super) fn place(job: &Job, works: &Works, at: &JobPlace) -> String {
    let system = job.system();
    format!(
        "at {} on {}, {} out, at level {}",
        show::place(at.station, system),
        leg(job, &works.standing, at.on),
        show::place(at.offset, system),
        show::place(at.height, system)
    )
}

/// The row a long bar is in.
pub(super) fn row_of(works: &Works, bar: &BarAt) -> Option<u16> {
    match steel::made(&works.bars, bar.bars)?.groups.get(bar.group as usize)?.place {
        Place::Long { row, .. } => Some(row),
        _ => None,
    }
}

/// The text edit that moves the row a long bar is in up or down.
pub(super) fn row_moved(
    job: &Job,
    works: &Works,
    bars: &Thing<Bars>,
    bar: &BarAt,
    by: Length,
) -> Option<(Span, String)> {
    let row = row_of(works, bar)?;
    let said = bars.say.rows.as_ref()?.value.heights.as_ref()?.get(usize::from(row).checked_sub(1)?)?;
    let shown = |length: Length| show::exact(length, job.system());
    let from = |edge: &str, above: Length| match above.cmp(&Length::ZERO) {
        std::cmp::Ordering::Less => format!("{edge} - {}", shown(Length::ZERO - above)),
        std::cmp::Ordering::Equal => edge.to_owned(),
        std::cmp::Ordering::Greater => format!("{edge} + {}", shown(above)),
    };
    let text = match said.value {
        RowLevel::At(level) => shown(level + by).to_string(),
        RowLevel::Top(above) => from("top", above + by),
        RowLevel::Bottom(above) => from("bottom", above + by),
    };
    Some((said.span, text))
}

//! What really happened: the records of a job put together by what they are of, and what cannot be put together.
//!
//! A later day goes before an earlier one where both say something of the same hole: what was drilled deeper is as deep as it is
//! now. A section is measured at many places, each as often as wanted: all of it is kept. Everything else happens once; said
//! otherwise a second time it is a trouble, and the first by day, then by place, counts.
//! The order of blocks changes nothing.

mod read;

use std::collections::BTreeMap;

use crate::{
    schema::{BlockId, Clock, LegRef, Range, Said, WalkMove},
    source::Span,
    units::{Date, Duration, Length, Temperature, Volume},
};

pub use read::facts;

/// A day something was recorded on, and where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct On {
    /// The day.
    pub day: Date,
    /// Where it is written.
    pub at: Span,
}

/// What was recorded of a step.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct DoneStep {
    /// When it was finished.
    pub done: Option<On>,
    /// The first and the last day it was worked at.
    pub days: Option<(Date, Date)>,
    /// How long it took, day by day.
    pub took: Vec<Said<Duration>>,
}

impl DoneStep {
    /// How long it took in all; none where no time is written.
    #[must_use]
    pub fn time(&self) -> Option<Duration> {
        (!self.took.is_empty()).then(|| self.took.iter().map(|took| took.value).sum())
    }
}

/// What was recorded of a hole.
#[derive(Debug, Clone, PartialEq)]
pub struct DoneHole {
    /// The last day something is said of it.
    pub on: On,
    /// How wide it is, where that is said.
    pub wide: Option<Length>,
    /// How deep, where that is said.
    pub deep: Option<Length>,
    /// How it was moved: each way, how far.
    pub moved: Vec<WalkMove>,
    /// How deep steel or a void was met.
    pub hit: Option<Length>,
    /// It is left empty.
    pub abandoned: bool,
}

impl DoneHole {
    /// Nothing is set in it: it was given up, or met something and no other was drilled beside it.
    #[must_use]
    pub fn is_lost(&self) -> bool {
        self.abandoned || (self.hit.is_some() && self.moved.is_empty())
    }
}

/// What was recorded of a pour.
#[derive(Debug, Clone, PartialEq)]
pub struct DonePour {
    /// When.
    pub on: On,
    /// From the first batch to the last stroke.
    pub hours: Option<Said<Range<Clock>>>,
    /// Bags.
    pub bags: Option<Said<u64>>,
    /// Water for one bag.
    pub water: Option<Said<Volume>>,
    /// The air.
    pub air: Option<Said<Temperature>>,
    /// The concrete as it was placed.
    pub concrete: Option<Said<Temperature>>,
}

/// What was measured of a section, at one place of it.
#[derive(Debug, Clone, PartialEq)]
pub struct DoneSize {
    /// When.
    pub on: On,
    /// On which leg and at which station of it; none where that is not said.
    pub at: Option<Said<(LegRef, Length)>>,
    /// How thick it is.
    pub thick: Option<Said<Length>>,
    /// The level of its top.
    pub top: Option<Said<Length>>,
    /// The level of its bottom.
    pub bottom: Option<Said<Length>>,
    /// How far its face is out of plumb over its height.
    pub leans: Option<Said<Length>>,
    /// What is said of it.
    pub said: Option<String>,
}

impl DoneSize {
    /// What was measured, without where it is written: thickness, top, bottom, plumb.
    #[must_use]
    pub fn values(&self) -> [Option<Length>; 4] {
        [self.thick, self.top, self.bottom, self.leans].map(|said| said.map(|said| said.value))
    }

    /// The place, without where it is written.
    #[must_use]
    pub fn place(&self) -> Option<(LegRef, Length)> {
        self.at.map(|at| at.value)
    }

    /// Both say where they were measured, and it is the same place.
    #[must_use]
    pub fn is_beside(&self, other: &DoneSize) -> bool {
        self.place().is_some() && self.place() == other.place()
    }
}

/// What came of a look.
#[derive(Debug, Clone, PartialEq)]
pub struct DoneLook {
    /// When.
    pub on: On,
    /// Who looked, where that is said.
    pub by: Option<String>,
    /// Work may go on; else it must be seen again.
    pub passed: bool,
    /// What was said.
    pub said: Option<String>,
}

/// What was used up.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Used {
    /// How many in all.
    pub count: u64,
    /// Each time it is written.
    pub parts: Vec<Said<u64>>,
}

/// Something that cannot be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FactTrouble {
    /// The same thing is recorded otherwise.
    Otherwise {
        /// Of what.
        thing: BlockId,
        /// Which hole of it.
        number: Option<u64>,
        /// Here.
        at: Span,
        /// There already.
        first: Span,
    },
    /// A step that pours is done on a day its pour does not fit.
    PouredOtherwise {
        /// The step.
        step: BlockId,
        /// When it is done.
        done: On,
        /// What it pours.
        pour: BlockId,
        /// When that is poured.
        poured: On,
    },
    /// A look is neither passed nor refused, or both.
    NoVerdict {
        /// The look.
        look: BlockId,
        /// Where.
        at: Span,
    },
    /// A section was measured, and not what.
    NothingMeasured {
        /// The section.
        section: BlockId,
        /// Where.
        at: Span,
    },
    /// The day lies before the job's start.
    BeforeStart {
        /// The day.
        on: On,
        /// The job's start.
        start: Date,
    },
}

/// Everything that was recorded.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Facts {
    /// The first and the last day of any record.
    pub days: Option<(Date, Date)>,
    /// Steps.
    pub steps: BTreeMap<BlockId, DoneStep>,
    /// Holes by block and number.
    pub holes: BTreeMap<BlockId, BTreeMap<u64, DoneHole>>,
    /// Bars left out, by block.
    pub left_out: BTreeMap<BlockId, Used>,
    /// Of which bars more were said to be left out than there are, and how many.
    pub too_many: BTreeMap<BlockId, u64>,
    /// Pours.
    pub pours: BTreeMap<BlockId, DonePour>,
    /// What was measured of each section, in the order of the days; of one day by place.
    pub sizes: BTreeMap<BlockId, Vec<DoneSize>>,
    /// Looks, each as often as it was looked, in the order of the days.
    pub looks: BTreeMap<BlockId, Vec<DoneLook>>,
    /// What was used up, by what it is.
    pub used: BTreeMap<BlockId, Used>,
    /// Pours that were loaded.
    pub loaded: BTreeMap<BlockId, On>,
    /// Pours ground was filled in against.
    pub backfilled: BTreeMap<BlockId, On>,
    /// Notes, by day.
    pub notes: Vec<(Date, String)>,
    /// What cannot be.
    pub troubles: Vec<FactTrouble>,
}

/// The time of day things are taken at where none is written: noon.
const NOON: Duration = Duration::from_minutes(720.0);

impl Facts {
    /// Whether nothing was recorded.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.days.is_none()
    }

    /// With no more bars of each block left out than there are, and no fewer than `empty` says: the blocks of bars with how many
    /// of their holes are left empty.
    #[must_use]
    pub fn settled(
        &self,
        made: impl Fn(BlockId) -> Option<u64>,
        empty: impl IntoIterator<Item = (BlockId, u64)>,
    ) -> Facts {
        let mut facts = self.clone();
        for (bars, lost) in empty {
            let used = facts.left_out.entry(bars).or_default();
            used.count = used.count.max(lost);
        }
        for (bars, used) in &mut facts.left_out {
            let Some(made) = made(*bars).filter(|made| used.count > *made) else { continue };
            facts.too_many.insert(*bars, used.count);
            used.count = made;
            let mut left = made;
            for part in &mut used.parts {
                part.value = part.value.min(left);
                left -= part.value;
            }
        }
        facts
    }

    /// When a pour began and ended, after the start of the job; noon where no hours are written.
    #[must_use]
    pub fn poured(&self, pour: BlockId, start: Date) -> Option<Range<Duration>> {
        let done = self.pours.get(&pour)?;
        let day = Duration::from_days(start.days_until(done.on.day) as f64);
        let hours = done.hours.map_or((NOON, NOON), |hours| (hours.value.from.0, hours.value.to.0));
        Some(Range { from: day + hours.0, to: day + hours.1 })
    }

    /// The day a look was passed and not refused after that.
    #[must_use]
    pub fn passed(&self, look: BlockId) -> Option<On> {
        self.looks.get(&look)?.last().filter(|last| last.passed).map(|last| last.on)
    }

    /// The first day a look was passed on, whatever came after it.
    #[must_use]
    pub fn first_passed(&self, look: BlockId) -> Option<On> {
        self.looks.get(&look)?.iter().find(|one| one.passed).map(|one| one.on)
    }

    /// When a step was finished or a look passed.
    #[must_use]
    pub fn done(&self, node: BlockId) -> Option<On> {
        self.steps.get(&node).and_then(|step| step.done).or_else(|| self.passed(node))
    }
}

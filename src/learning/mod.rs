//! What finished jobs teach: minutes for a hole, a bar, a batch; waste of concrete and resin; how long a blade lasts. Rates are
//! fractions of whole numbers and are compared as such; nothing is rounded before it is shown.
//!
//! Each job gives one rate of a sort, over all it did of it: the median and the range are those of jobs. With fewer than
//! [`ENOUGH`] jobs a rate is told and nothing is made of it.

mod rate;
mod seen;

use std::collections::BTreeMap;

use crate::{job::Job, units::Length, works::Works};

pub use rate::Rate;

/// How many jobs a figure must rest on before it is one's own: fewer show what happened once (common sense, no source).
pub const ENOUGH: usize = 3;

/// What is learnt.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Subject {
    /// Seconds to drill and clean a hole of this width.
    Drill(Length),
    /// Seconds to set a dowel of this size.
    Set(String),
    /// Seconds to place and tie a bar of this size; of several sizes in one step, all of them.
    Place(String),
    /// Seconds for a batch, from the first bag to the last stroke, by the bags in it.
    Batch(u64),
    /// Concrete mixed beyond what the forms hold, as a part of it.
    ConcreteWaste,
    /// Resin beyond what the holes hold and nozzles take, as a part of what the holes hold.
    ResinWaste(String),
    /// How far a blade sawed at a depth of 1 in, in nanometres, by its diameter.
    Blade(Length),
}

/// What one job says of a subject.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// The job, by its place among those given.
    pub job: usize,
    /// The rate.
    pub rate: Rate,
    /// How many things it rests on: holes, bars, batches, bags, cartridges, blades.
    pub things: u64,
}

/// What all jobs together say of a subject.
#[derive(Debug, Clone, PartialEq)]
pub struct Lesson {
    /// Of what.
    pub subject: Subject,
    /// Job by job.
    pub seen: Vec<Seen>,
    /// The least, the middle one (of an even number the mean of the two) and the most.
    pub range: [Rate; 3],
    /// How many things it rests on.
    pub things: u64,
}

impl Lesson {
    /// It rests on enough jobs.
    #[must_use]
    pub fn is_enough(&self) -> bool {
        self.seen.len() >= ENOUGH
    }

    /// The middle rate.
    #[must_use]
    pub fn median(&self) -> Rate {
        self.range[1]
    }
}

/// What these jobs teach, in the order of [`Subject`].
#[must_use]
pub fn lessons(jobs: &[(&Job, &Works)]) -> Vec<Lesson> {
    let mut all: BTreeMap<Subject, Vec<Seen>> = BTreeMap::new();
    for (number, (job, works)) in jobs.iter().enumerate() {
        for (subject, (rate, things)) in seen::seen(job, works) {
            all.entry(subject).or_default().push(Seen { job: number, rate, things });
        }
    }
    all.into_iter()
        .filter_map(|(subject, seen)| {
            let mut rates: Vec<Rate> = seen.iter().map(|seen| seen.rate).collect();
            rates.sort();
            let middle = rates.len() / 2;
            let upper = *rates.get(middle)?;
            let median = if rates.len() % 2 == 1 { upper } else { upper.mean(*rates.get(middle.checked_sub(1)?)?) };
            let range = [*rates.first()?, median, *rates.last()?];
            let things = seen.iter().map(|seen| seen.things).sum();
            Some(Lesson { subject, seen, range, things })
        })
        .collect()
}

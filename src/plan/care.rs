//! What is done again and again beside the steps: care of young concrete day after day, old faces kept wet before a pour.

use super::days::{Days, FAR, Known, seconds};
use crate::{
    job::Job,
    scheduling::{Calendar, DAY},
    schema::{self, BlockId},
};

/// How young concrete is cared for, day after day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Care {
    /// It is wetted, or kept from drying.
    Wet,
    /// Its forms are kept on, and wet.
    FormsOn,
    /// It is wrapped tight, and wet under the wrap.
    Wrap,
    /// It is kept warm: covers, heat, and a thermometer that is read.
    Warm,
}

impl Care {
    /// In a word, for a line of its own beside others of the same cure.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Care::Wet => "wet",
            Care::FormsOn => "forms",
            Care::Wrap => "wrap",
            Care::Warm => "warm",
        }
    }
}

/// What is done again each day after a pour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Daily {
    /// The cure.
    pub cure: BlockId,
    /// What is done.
    pub care: Care,
    /// The first day, after the job's start.
    pub from: i64,
    /// How many days.
    pub days: i64,
}

/// An old face that is kept wet until the concrete comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Soak {
    /// The face made ready.
    pub face: BlockId,
    /// The step that pours against it.
    pub pour: BlockId,
    /// From when, in seconds after the job's start.
    pub from: i64,
    /// When the concrete comes.
    pub until: i64,
}

/// An old face that is to be soaked.
pub(super) struct Soaked {
    pub(super) face: BlockId,
    /// The step that makes it ready.
    pub(super) readied: BlockId,
    /// The step that pours against it.
    pub(super) pour: BlockId,
    /// How long it is wet between, in seconds.
    pub(super) lasts: i64,
}

/// Whether a step is nothing but care of fresh concrete, which follows the pour at once and may not slip.
pub(super) fn cares(job: &Job, node: BlockId) -> bool {
    let mut works = job.step(node).into_iter().flat_map(|step| &step.say.work.0).peekable();
    works.peek().is_some() && works.all(|work| matches!(work.verb, "wet" | "wrap"))
}

/// What is done again each day after each pour, until the day other pours cover the last of it.
pub(super) fn daily(job: &Job, days: &Days, known: &Known) -> Vec<Daily> {
    let mut out = Vec::new();
    for cure in &job.cures {
        let poured = days.done.iter().filter(|dated| pours(job, dated.node, cure.say.of.value.0));
        let Some(poured) = poured.map(|dated| dated.placed.finish).max() else { continue };
        let covers = (known.covers)(cure.say.of.value.0);
        let comes = |cover: &BlockId| {
            let pours = days.done.iter().filter(|dated| pours(job, dated.node, *cover));
            pours.map(|dated| dated.placed.start).max()
        };
        // One that no day is known of may never come.
        let covered: Option<Vec<i64>> = covers.iter().map(comes).collect();
        let covered = covered.and_then(|days| days.into_iter().max());
        let say = &cure.say;
        let wet = say.wet.as_ref().map(|wet| (Care::Wet, wet.value.time.value.0));
        let forms = say.forms_on.as_ref().map(|kept| (Care::FormsOn, kept.value.time.value.0));
        let wrap = say.wrap.as_ref().map(|wrap| (Care::Wrap, wrap.value.time.value.0));
        let warm = say.warm.as_ref().map(|warm| (Care::Warm, warm.value.time.value.0));
        for (care, lasts) in [wet, forms, wrap, warm].into_iter().flatten() {
            let count = (seconds(lasts) + DAY - 1).div_euclid(DAY).clamp(1, FAR);
            // The day of the pour is the pour's: care begins the next morning.
            let from = poured.div_euclid(DAY) + 1;
            let days = covered.map_or(count, |covered| count.min(covered.div_euclid(DAY) - from));
            if days > 0 {
                out.push(Daily { cure: cure.id, care, from, days });
            }
        }
    }
    out.sort_by_key(|daily| daily.from);
    out
}

/// Whether a step pours this.
pub(super) fn pours(job: &Job, node: BlockId, pour: BlockId) -> bool {
    let works = job.step(node).into_iter().flat_map(|step| &step.say.work.0);
    works.filter(|work| work.verb == "pour").flat_map(|work| &work.things).any(|thing| thing.value == pour)
}

/// The old faces that are to be kept wet before the pour, by the steps that make them ready and those that pour against them.
pub(super) fn soaked(job: &Job) -> impl Iterator<Item = Soaked> + '_ {
    let faces = job.prepares.iter().filter_map(|face| Some((face, seconds(face.say.wet?.0))));
    faces.flat_map(move |(face, lasts)| {
        let of = |section: BlockId| face.say.of.iter().any(|said| said.value.0 == section);
        let against =
            |pour: BlockId| job.pour(pour).is_some_and(|pour| pour.say.fill.iter().any(|filled| of(filled.value.0)));
        let doing = |verb: &str, does: &dyn Fn(BlockId) -> bool| -> Vec<BlockId> {
            let works = |step: &schema::Step| {
                let mut things = step.work.0.iter().filter(|work| work.verb == verb).flat_map(|work| &work.things);
                things.any(|thing| does(thing.value))
            };
            job.steps.iter().filter(|step| works(&step.say)).map(|step| step.id).collect()
        };
        let pours = doing("pour", &against);
        let readied = doing("prepare", &|thing| thing == face.id);
        let face = face.id;
        readied
            .into_iter()
            .flat_map(move |readied| pours.clone().into_iter().map(move |pour| Soaked { face, readied, pour, lasts }))
    })
}

/// A face that is wetted on the way home is still wet so long after that; common practice, no source. Over a free day someone comes.
const NIGHT: i64 = DAY / 2;

/// When old faces are kept wet: as long before each pour as is said, and from the end of the working hours before that where it is
/// in the night after them.
pub(super) fn soaks(job: &Job, days: &Days, hours: &Calendar) -> Vec<Soak> {
    let mut out: Vec<Soak> = Vec::new();
    for Soaked { face, readied, pour, lasts } in soaked(job) {
        let planned = days.of(pour).filter(|dated| dated.past.is_none());
        let Some(until) = planned.map(|dated| dated.placed.start) else { continue };
        let from = until - lasts;
        let ready = days.of(readied).map(|dated| dated.placed.finish).filter(|ready| *ready <= from);
        let there = hours.latest(from, 0, false).map_or(from, |(there, _)| there);
        let there = if from - there <= NIGHT { there } else { from };
        let from = ready.map_or(there, |ready| there.max(ready));
        let soak = Soak { face, pour, from, until };
        if !out.contains(&soak) {
            out.push(soak);
        }
    }
    out.sort_by_key(|soak| soak.from);
    out
}

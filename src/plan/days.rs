//! Which step is done on which day: the order of work laid on the hours that are worked.

use std::collections::BTreeSet;

use foldhash::{HashMap, HashSet};

use super::{
    Lasts, Plan, Reason,
    care::{Daily, Soak, cares, daily, soaked, soaks},
    hours::{LOOKS, LOUD_HOURS, WORK, calendars},
    past::Record,
    waits::is_settled,
};
use crate::{
    curing::Act,
    facts::{DoneStep, Facts},
    job::Job,
    scheduling::{Calendar, DAY, Link, Network, Placed, Task, Times, level, on_calendars},
    schema::{Ahead, BlockId, KindId, Said},
    source::Span,
    units::{Date, Duration, WorkingDays},
};

/// Work that is loud, whatever it is done to. A face is made ready by hammer only where it is roughened.
const LOUD: [&str; 3] = ["drill", "cut", "remove"];

/// A look takes half an hour where nothing is said: common practice, no source.
pub const USUAL_LOOK: Duration = Duration::from_minutes(30.0);

/// Less than a quarter of an hour at the end of a shift is tidied away, not begun: common practice, no source. In seconds.
const LEAST: i64 = 15 * 60;

/// How often the days are looked at anew, at most: each look may find the day of one pour more on which others hang.
const LOOKS_AT_DAYS: usize = 4;

/// How many days ahead or back a calendar may name single days.
pub(super) const FAR: i64 = 40 * 366;

/// The days of a job.
#[derive(Debug, Clone)]
pub struct Days {
    /// The day the job starts: day 0 of all times.
    pub start: Date,
    /// The hours that are worked; none where only usual ones are known.
    pub hours: Option<BlockId>,
    /// How many people are there.
    pub crew: u32,
    /// Steps, looks, waits and open questions, by the time they begin, then in the order of work.
    pub done: Vec<Dated>,
    /// When all is done, in seconds.
    pub ends: i64,
    /// What is done again each day.
    pub daily: Vec<Daily>,
    /// Old faces that are kept wet until the concrete comes.
    pub soaks: Vec<Soak>,
    /// What is done later than it is said to be.
    pub late: Vec<Late>,
    /// What waits for concrete that is never hard enough for it.
    pub never: Vec<Never>,
    /// That, and all that waits for it in turn: no day is known of these.
    pub undated: Vec<BlockId>,
    /// The pours that something drilled into them waits for as is usual, since nothing is written of it.
    pub drilled: Vec<BlockId>,
    /// The pours that something on them waits for until they have set.
    pub set: Vec<BlockId>,
}

/// A step that waits for concrete to harden that does not within a year, in the weather the file says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Never {
    /// The step.
    pub step: BlockId,
    /// The pour.
    pub pour: BlockId,
}

/// What is done later than it is said to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Late {
    /// The step or look; none for the whole job.
    pub node: Option<BlockId>,
    /// The last day it may be done.
    pub latest: Date,
    /// Where that is said.
    pub at: Span,
    /// The day it is done.
    pub done: Date,
}

/// A step, look, wait or question and its days.
#[derive(Debug, Clone)]
pub struct Dated {
    /// Which.
    pub node: BlockId,
    /// When it is done.
    pub placed: Placed,
    /// The earliest and latest it could be.
    pub times: Times,
    /// Its time is not said: it counts as none.
    pub unsaid: bool,
    /// How many people it takes.
    pub people: u32,
    /// Seconds it is worked at: of what is recorded, as long as it took, or else as was planned.
    pub worked: i64,
    /// Seconds of it that are recorded, where it is not finished: only the rest is laid on days.
    pub begun: i64,
    /// It is done: on the day it was recorded, or before something that was.
    pub past: Option<Past>,
}

/// How it is known that something is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Past {
    /// It was recorded.
    Recorded,
    /// Something that waits for it was recorded.
    Assumed,
}

/// Why there is no plan by days.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DayTrouble {
    /// A step that is not cut is longer than any shift.
    TooLong {
        /// The step.
        step: BlockId,
        /// How long, in seconds.
        lasts: i64,
        /// The longest shift it may use, in seconds.
        longest: i64,
    },
    /// More people are needed than are there.
    FewPeople {
        /// The step.
        step: BlockId,
        /// How many it needs.
        needs: u32,
        /// How many there are.
        crew: u32,
    },
    /// No hour is worked.
    NoHours,
    /// There is no room for all of it within ten years.
    NoRoom,
}

/// When something may be done to young concrete.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hardened {
    /// So long after the pour.
    After(Duration),
    /// Not within a year.
    Never,
    /// Nothing is said.
    Unsaid,
}

/// What is known from elsewhere.
pub struct Known<'k> {
    /// How long a pour lasts, and how many people it takes, where it is planned.
    pub pour: &'k dyn Fn(BlockId) -> Option<(Duration, u32)>,
    /// How long after a pour something may be done to it, if it is poured so long after the job's start.
    pub hard: &'k dyn Fn(BlockId, Act, Duration) -> Hardened,
    /// How long after a pour it bears what props carried, if it is poured so long after the job's start.
    pub bears: &'k dyn Fn(BlockId, Duration) -> Hardened,
    /// How long after a pour it has set, if it is poured so long after the job's start.
    pub sets: &'k dyn Fn(BlockId, Duration) -> Duration,
    /// The pours that cover all that is left open of a pour; none where some of it stays open.
    pub covers: &'k dyn Fn(BlockId) -> Vec<BlockId>,
    /// How many bars of a block are recorded as left out.
    pub left_out: &'k dyn Fn(BlockId) -> u64,
    /// What really happened.
    pub facts: &'k Facts,
}

impl Days {
    /// When something is done; none if it is not planned.
    #[must_use]
    pub fn of(&self, node: BlockId) -> Option<&Dated> {
        self.done.iter().find(|dated| dated.node == node)
    }

    /// All of a plan in the order it is done: each that has a day by its time, all others where they stand, right before the one
    /// that follows them.
    #[must_use]
    pub fn in_order(&self, plan: &Plan) -> Vec<BlockId> {
        let place: HashMap<BlockId, usize> =
            self.done.iter().enumerate().map(|(place, dated)| (dated.node, place)).collect();
        let mut before = self.done.len();
        let mut keyed: Vec<(usize, BlockId)> = Vec::with_capacity(plan.order.len());
        for node in plan.order.iter().rev() {
            before = place.get(node).copied().unwrap_or(before);
            keyed.push((before, *node));
        }
        keyed.reverse();
        keyed.sort_by_key(|(place, _)| *place);
        keyed.into_iter().map(|(_, node)| node).collect()
    }

    /// When all of it is done; none where some of it never is.
    #[must_use]
    pub fn all_done(&self) -> Option<Date> {
        self.date(self.ends).filter(|_| self.undated.is_empty())
    }

    /// The day of a time.
    #[must_use]
    pub fn date(&self, time: i64) -> Option<Date> {
        self.start.plus_days(time.div_euclid(DAY))
    }
}

/// Lays the order of work on days; nothing where the job does not say when it starts, has no steps, or its steps go round in
/// a circle.
#[must_use]
pub fn days(job: &Job, plan: &Plan, known: &Known) -> Option<Result<Days, Vec<DayTrouble>>> {
    let start = job.head.as_ref()?.say.start?;
    let whole = plan.circles.is_empty() && plan.undone.is_empty() && plan.cut.is_none();
    (whole && !job.steps.is_empty()).then(|| laid(job, plan, known, start))
}

fn laid(job: &Job, plan: &Plan, known: &Known, start: Date) -> Result<Days, Vec<DayTrouble>> {
    let hours = job.hours.first();
    let (calendars, comes) = calendars(job, start);
    let mut troubles = Vec::new();
    if calendars[0].longest_shift() == 0 {
        return Err(vec![DayTrouble::NoHours]);
    }
    let past = Record::new(job, plan, known.facts, start);
    // A question that work has gone on past holds nothing up any more.
    let open =
        |node: &BlockId| job.ask(*node).is_none_or(|ask| !is_settled(job, ask)) && !past.passed_by.contains(node);
    let nodes: Vec<BlockId> = plan.order.iter().copied().filter(open).collect();
    let number: HashMap<BlockId, u32> = (0..).zip(&nodes).map(|(number, node)| (*node, number)).collect();
    let lasting: HashMap<BlockId, Lasts> = plan.durations.iter().copied().collect();
    let said_crew = hours.and_then(|hours| hours.say.crew).map(|crew| u32::try_from(crew.value.0).unwrap_or(u32::MAX));
    let crew = said_crew.unwrap_or(1);
    let mut tasks: Vec<(Task, bool)> = Vec::with_capacity(nodes.len());
    let mut people: Vec<u32> = Vec::with_capacity(nodes.len());
    let mut worked: Vec<i64> = Vec::with_capacity(nodes.len());
    let mut begins: Vec<i64> = Vec::with_capacity(nodes.len());
    // Waits by what they come after, and when the last of that was recorded.
    let mut waits: HashMap<BlockId, Vec<BlockId>> = HashMap::default();
    for edge in plan.edges.iter().filter(|edge| job.wait(edge.after).is_some()) {
        waits.entry(edge.before).or_default().push(edge.after);
    }
    let mut after: HashMap<BlockId, i64> = HashMap::default();
    for node in &nodes {
        let lasts = lasting.get(node).map(|lasts| lasts.without(left_out(job, *node, known)));
        let (mut task, unsaid) = task(job, *node, lasts, known, start);
        // Where nothing is said of those who are there, helpers come for the step that asks for them.
        people.push(if said_crew.is_some() { task.people.min(crew) } else { task.people });
        let took = past.of(*node).and_then(|_| known.facts.steps.get(node)).and_then(DoneStep::time);
        // Of what was begun and is not finished the rest is planned; there is some, whatever was planned.
        let begun = known.facts.steps.get(node).filter(|_| past.of(*node).is_none() && !task.whole);
        let begun = begun.and_then(DoneStep::time).map_or(0, seconds);
        if begun > 0 {
            task.lasts = (task.lasts - begun).max(LEAST.min(task.lasts));
        }
        worked.push(took.map_or(begun + task.lasts, seconds));
        begins.push(begun);
        if let Some(how) = past.of(*node) {
            let mut done = past.task(job, *node, &calendars[0]);
            if job.wait(*node).is_some() {
                done = Record::wait(task.lasts, done, after.get(node).copied());
            }
            if how == Past::Recorded {
                let over = done.not_before + done.lasts;
                for wait in waits.get(node).into_iter().flatten() {
                    after.entry(*wait).and_modify(|last| *last = (*last).max(over)).or_insert(over);
                }
            }
            tasks.push((done, false));
            continue;
        }
        // Waits run on from what they come after, whatever day it is.
        if task.calendar.is_some() {
            task.not_before = task.not_before.max(past.goes_on);
        }
        if let Some(own) = comes.get(node) {
            task.calendar = Some(*own);
        }
        if task.people > crew {
            if said_crew.is_some() {
                troubles.push(DayTrouble::FewPeople { step: *node, needs: task.people, crew });
            }
            // Helpers who come for one step are not there for the others.
            task.people = crew;
        }
        let longest = task.calendar.and_then(|at| calendars.get(at as usize)).map(Calendar::longest_shift);
        if let Some(longest) = longest.filter(|longest| task.whole && task.lasts > *longest) {
            troubles.push(DayTrouble::TooLong { step: *node, lasts: task.lasts, longest });
        }
        tasks.push((task, unsaid));
    }
    if !troubles.is_empty() {
        return Err(troubles);
    }
    // How fast it hardens hangs on the day it is poured, and that on nothing that comes after it: the second look is right, or the
    // one after it where something that had no day is poured after all.
    let mut placed: Option<(Network, Vec<Placed>)> = None;
    let mut waits = Waits::default();
    for look in 0..LOOKS_AT_DAYS {
        let before = std::mem::take(&mut waits.undated);
        waits = links(job, plan, &number, placed.as_ref().map(|(_, placed)| placed.as_slice()), known, &past);
        let mut plain: Vec<Task> = tasks.iter().map(|(task, _)| *task).collect();
        for at in &waits.undated {
            plain[*at as usize] = Task::default();
        }
        placed = on_calendars(&plain, &waits.links, &calendars)
            .and_then(|network| Some((level(&plain, &waits.links, &calendars, &network, crew)?, network)))
            .map(|(placed, network)| (network, placed));
        if placed.is_none() || (look > 0 && before == waits.undated) {
            break;
        }
    }
    let Some((network, placed)) = placed else { return Err(no_room(&nodes, &tasks, &calendars)) };
    let ends = placed.iter().map(|task| task.finish).max().unwrap_or(0);
    let undated: BTreeSet<BlockId> = waits.undated.iter().filter_map(|at| nodes.get(*at as usize).copied()).collect();
    let mut done: Vec<Dated> = nodes
        .iter()
        .zip(placed)
        .zip(&network.times)
        .zip(&tasks)
        .zip(people.into_iter().zip(worked).zip(begins))
        .map(|((((node, placed), times), (_, unsaid)), ((people, worked), begun))| {
            let mut times = *times;
            if cares(job, *node) {
                (times.late_start, times.late_finish) = (placed.start, placed.finish);
            }
            Dated { node: *node, placed, times, unsaid: *unsaid, people, worked, begun, past: past.of(*node) }
        })
        .collect();
    done.retain(|dated| !undated.contains(&dated.node));
    done.sort_by_key(|dated| (dated.placed.start, dated.placed.finish));
    let mut days = Days {
        start,
        hours: hours.map(|hours| hours.id),
        crew,
        done,
        ends,
        daily: Vec::new(),
        soaks: Vec::new(),
        late: Vec::new(),
        never: waits.never.into_iter().collect(),
        undated: undated.into_iter().collect(),
        drilled: waits.drilled.into_iter().collect(),
        set: waits.set.into_iter().collect(),
    };
    days.daily = daily(job, &days, known);
    days.soaks = calendars.first().map_or_else(Vec::new, |hours| soaks(job, &days, hours));
    days.late = late(job, &days);
    Ok(days)
}

/// Why there is no room: steps that go only into a longer day than those of a week, which comes too early for them; or else
/// nothing that is known.
fn no_room(nodes: &[BlockId], tasks: &[(Task, bool)], calendars: &[Calendar]) -> Vec<DayTrouble> {
    let too_long = nodes.iter().zip(tasks).filter_map(|(step, (task, _))| {
        let longest = calendars.get(task.calendar? as usize)?.longest_of_week();
        let lasts = task.lasts;
        (task.whole && lasts > longest).then_some(DayTrouble::TooLong { step: *step, lasts, longest })
    });
    let too_long: Vec<DayTrouble> = too_long.collect();
    if too_long.is_empty() { vec![DayTrouble::NoRoom] } else { too_long }
}

/// How many of the bars a step sets or places are recorded as left out.
fn left_out(job: &Job, node: BlockId, known: &Known) -> u64 {
    let works = job.step(node).into_iter().flat_map(|step| &step.say.work.0);
    let sets = works.filter(|work| matches!(work.verb, "set" | "place"));
    sets.flat_map(|work| &work.things).map(|thing| (known.left_out)(thing.value)).sum()
}

/// The last day that is said for a step or a look.
#[must_use]
pub fn last_day(job: &Job, node: BlockId) -> Option<&Said<Date>> {
    match job.kind(node) {
        Some(KindId::Step) => job.step(node).and_then(|step| step.say.latest.as_ref()),
        Some(KindId::Look) => job.look(node).and_then(|look| look.say.latest.as_ref()),
        _ => None,
    }
}

/// What is done after the last day said for it; the job itself last.
fn late(job: &Job, days: &Days) -> Vec<Late> {
    let mut out = Vec::new();
    // What ends as a day begins ends with the day before.
    let day = |time: i64| days.date((time - 1).max(0));
    for dated in &days.done {
        if let (Some(latest), Some(done)) = (last_day(job, dated.node), day(dated.placed.finish))
            && latest.value < done
        {
            out.push(Late { node: Some(dated.node), latest: latest.value, at: latest.span, done });
        }
    }
    let latest = job.head.as_ref().and_then(|head| head.say.latest.as_ref());
    if let (Some(latest), Some(done)) = (latest, day(days.ends))
        && latest.value < done
    {
        out.push(Late { node: None, latest: latest.value, at: latest.span, done });
    }
    out
}

/// So long before a time of the plan.
#[must_use]
pub fn before(start: Date, time: i64, ahead: Ahead) -> i64 {
    match ahead {
        Ahead::Time(ahead) => time - seconds(ahead),
        Ahead::Working(days) => {
            let mut left = working(days);
            let mut day = time.div_euclid(DAY);
            while left > 0 {
                day -= 1;
                let weekday = (i64::try_from(start.weekday()).unwrap_or(0) + day).rem_euclid(7);
                left -= i64::from(weekday < 5);
            }
            day * DAY + time.rem_euclid(DAY)
        }
    }
}

/// The earliest time of which the start is so long before.
pub(super) fn first_after(start: Date, ahead: Ahead) -> i64 {
    match ahead {
        Ahead::Time(ahead) => seconds(ahead),
        Ahead::Working(days) => {
            // The later, the later it is told: the first day is found by halves.
            let weekends = working(days) / 5 * 2 + 4;
            let (mut first, mut last) = (0, working(days) + weekends);
            while first < last {
                let middle = first + (last - first) / 2;
                if before(start, middle * DAY, ahead) >= 0 { last = middle } else { first = middle + 1 }
            }
            first * DAY
        }
    }
}

/// Whole days, no more than anybody plans for.
fn working(days: WorkingDays) -> i64 {
    (days.working_days().ceil() as i64).clamp(0, FAR)
}

pub(super) fn seconds(time: Duration) -> i64 {
    // A float ends at the limits of a whole number.
    time.seconds().ceil().clamp(0.0, 4e9) as i64
}

fn task(job: &Job, node: BlockId, lasts: Option<Lasts>, known: &Known, start: Date) -> (Task, bool) {
    let said = match lasts {
        Some(Lasts::For(time) | Lasts::Each { all: time, .. } | Lasts::Per { all: time, .. }) => Some(time),
        Some(Lasts::Uncounted { .. } | Lasts::Unsaid) | None => None,
    };
    match job.kind(node) {
        Some(KindId::Step) => {
            let Some(step) = job.step(node) else { return (Task::default(), true) };
            let works = || step.say.work.0.iter();
            let things = || works().filter(|work| work.verb == "pour").flat_map(|work| &work.things);
            let poured: Vec<(Duration, u32)> = things().filter_map(|thing| (known.pour)(thing.value)).collect();
            let pours = things().next().is_some();
            let time = said.or_else(|| (!poured.is_empty()).then(|| poured.iter().map(|(time, _)| *time).sum()));
            let people = step.say.people.map(|people| u32::try_from(people.value.0).unwrap_or(u32::MAX));
            let people = people.unwrap_or_else(|| poured.iter().map(|(_, people)| *people).max().unwrap_or(1));
            // What is wetted day after day takes no hour of its own in the plan, unless the step says one.
            let wets = works().next().is_some() && works().all(|work| work.verb == "wet");
            let rough = |thing: BlockId| job.prepare(thing).is_some_and(|face| face.say.roughen.is_some());
            let loud = works().any(|work| {
                LOUD.contains(&work.verb)
                    || (work.verb == "prepare" && work.things.iter().any(|thing| rough(thing.value)))
            });
            let not_before = step.say.not_before.map_or(0, |day| start.days_until(day).clamp(0, FAR) * DAY);
            let task = Task {
                lasts: time.map_or(0, seconds),
                calendar: Some(if loud { LOUD_HOURS } else { WORK }),
                whole: pours || step.say.whole.is_some(),
                people,
                not_before,
                least: LEAST,
            };
            (task, time.is_none() && !wets)
        }
        Some(KindId::Look) => {
            // Who refused is called again when what they found is mended, not before they came: from the day after on.
            let refused = known.facts.looks.get(&node).and_then(|looks| looks.last()).filter(|last| !last.passed);
            let from = refused.map_or(0, |last| start.days_until(last.on.day).clamp(-1, FAR) + 1);
            let called = start.plus_days(from).unwrap_or(start);
            let notice = job.look(node).and_then(|look| look.say.notice);
            let notice = from * DAY + notice.map_or(0, |notice| first_after(called, notice));
            let lasts = seconds(said.unwrap_or(USUAL_LOOK));
            (Task { lasts, calendar: Some(LOOKS), whole: true, people: 0, not_before: notice, least: 0 }, false)
        }
        Some(KindId::Wait) => (Task { lasts: said.map_or(0, seconds), ..Task::default() }, false),
        Some(KindId::Ask) => {
            let ask = job.ask(node);
            let lead = ask.and_then(|ask| ask.say.lead).map(|lead| first_after(start, lead));
            // Nothing that hangs on an answer is done before the day it is given.
            let answered = ask.and_then(|ask| ask.say.answered.as_ref());
            let lead = answered.map(|answer| start.days_until(answer.on).clamp(0, FAR) * DAY).or(lead);
            // An answer is waited for day and night; what is only to be asked is asked when there is work.
            let calendar = lead.is_none().then_some(WORK);
            (Task { lasts: lead.unwrap_or(0), calendar, ..Task::default() }, lead.is_none())
        }
        _ => (Task::default(), true),
    }
}

/// What waits for what, and what waits in vain.
#[derive(Debug, Default)]
struct Waits {
    links: Vec<Link>,
    /// What waits for concrete that is never hard enough.
    never: BTreeSet<Never>,
    /// Its numbers, and those of all that waits for it in turn.
    undated: BTreeSet<u32>,
    /// Pours that are drilled when they are as hard as is usual for it.
    drilled: BTreeSet<BlockId>,
    /// Pours that have set before something is done on them.
    set: BTreeSet<BlockId>,
}

/// What waits for what: what is stripped, loaded or no longer propped for its pour to harden, a pour for the old face to be
/// soaked.
fn links(
    job: &Job,
    plan: &Plan,
    number: &HashMap<BlockId, u32>,
    placed: Option<&[Placed]>,
    known: &Known,
    past: &Record,
) -> Waits {
    let mut out = Waits { links: Vec::with_capacity(plan.edges.len()), ..Waits::default() };
    let mut ripened: HashMap<BlockId, HashSet<BlockId>> = HashMap::default();
    for edge in &plan.edges {
        let (Some(before), Some(after)) = (number.get(&edge.before), number.get(&edge.after)) else { continue };
        // What is done waits for nothing any more.
        if past.of(edge.after).is_some() {
            continue;
        }
        let poured = placed.and_then(|placed| placed.get(*before as usize)).map_or(0, |task| task.finish);
        let poured = Duration::from_seconds(poured as f64);
        // Who wrote a wait between the pour and the drilling said how long.
        let mut waited = || {
            let after = ripened.entry(edge.before).or_insert_with(|| after_a_wait(job, plan, edge.before));
            after.contains(&edge.after)
        };
        let hard = match edge.reason {
            Reason::Stripped { pour, .. } => Some((pour, (known.hard)(pour, Act::Strip, poured))),
            Reason::Loaded { pour, act, .. } => Some((pour, (known.hard)(pour, act, poured))),
            Reason::Carried { pour, .. } => Some((pour, (known.bears)(pour, poured))),
            Reason::Hardened { pour, thing } if does(job, edge.after, "drill", thing) && !waited() => {
                out.drilled.insert(pour);
                Some((pour, (known.bears)(pour, poured)))
            }
            _ => None,
        };
        let lag = match (hard, edge.reason) {
            (Some((_, Hardened::After(time))), _) => seconds(time),
            (Some((pour, Hardened::Never)), _) => {
                out.never.insert(Never { step: edge.after, pour });
                out.undated.insert(*after);
                0
            }
            // Nobody roughens, marks or builds on what is still soft.
            (None, Reason::Joined { pour, .. } | Reason::Borne { pour, .. } | Reason::Hardened { pour, .. }) => {
                out.set.insert(pour);
                seconds((known.sets)(pour, poured))
            }
            _ => 0,
        };
        out.links.push(Link { before: *before, after: *after, lag });
    }
    out.links.extend(soaked(job).filter(|soaked| past.of(soaked.pour).is_none()).filter_map(|soaked| {
        let (before, after) = (*number.get(&soaked.readied)?, *number.get(&soaked.pour)?);
        // What is poured before its face is made ready is told elsewhere.
        (before < after).then_some(Link { before, after, lag: soaked.lasts })
    }));
    if !out.undated.is_empty() {
        // Nodes are numbered in an order of work: one way through finds all that follows.
        out.links.sort_by_key(|link| link.before);
        for link in &out.links {
            if out.undated.contains(&link.before) {
                out.undated.insert(link.after);
            }
        }
        out.links.retain(|link| !out.undated.contains(&link.before) && !out.undated.contains(&link.after));
    }
    out
}

/// Whether a step does this to a thing.
fn does(job: &Job, step: BlockId, verb: &str, thing: BlockId) -> bool {
    let works = job.step(step).into_iter().flat_map(|step| &step.say.work.0);
    works.filter(|work| work.verb == verb).flat_map(|work| &work.things).any(|done| done.value == thing)
}

/// All that comes after a wait that comes after this, near or far.
fn after_a_wait(job: &Job, plan: &Plan, from: BlockId) -> HashSet<BlockId> {
    let mut next: HashMap<BlockId, Vec<BlockId>> = HashMap::default();
    for edge in &plan.edges {
        next.entry(edge.before).or_default().push(edge.after);
    }
    // Each is looked at once as reached at all, and once as reached after a wait.
    let mut seen: HashSet<(BlockId, bool)> = HashSet::default();
    let mut open = vec![(from, false)];
    while let Some((node, waited)) = open.pop() {
        for after in next.get(&node).into_iter().flatten() {
            let reached = (*after, waited || job.wait(*after).is_some());
            if seen.insert(reached) {
                open.push(reached);
            }
        }
    }
    seen.into_iter().filter(|(_, waited)| *waited).map(|(node, _)| node).collect()
}

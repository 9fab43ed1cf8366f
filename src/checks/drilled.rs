//! Holes as they were drilled, against what was planned: too shallow for their bars, out at the back, too near something, left
//! empty, gaps in their rows. What happened cannot be mended in the file, so all of it can be accepted, with the reason.
//!
//! Of each row of holes the worst of a sort is told, the others are counted. The limits are those of the plan: four diameters
//! of depth (ACI 318-19 17.3.3), six to an edge and from bar to bar (17.9.2), what stays behind a hole (common practice).

use super::words;
use crate::{
    concrete::depth,
    holes::{Axis, DoneTrouble, Drilled, Hole, Level, Near, RowGap, Set},
    job::{Job, Thing},
    problem::{Arg, Problem, Rule},
    rule,
    schema::{Bars, BlockId, Step},
    standards::anchors,
    units::{Length, show},
    works::Works,
};

rule!(HOLE_UNKNOWN, "hole-unknown", Error, "a record of a hole that is not there");
rule!(MOVED_WAY, "moved-way", Error, "a hole that was moved a way it cannot be");
rule!(HOLE_SHALLOW, "hole-shallow", Warning, "a hole that was drilled less deep than its bar was planned for");
rule!(DRILLED_THROUGH, "drilled-through", Warning, "a hole that came out at the back, or nearly");
rule!(DRILLED_NEAR, "drilled-near", Warning, "a hole that was drilled too near another, an edge or what it avoids");
rule!(HOLE_LOST, "hole-lost", Warning, "a hole that is left empty, with a bar planned in it");
rule!(ROW_GAP, "row-gap", Warning, "holes of a row left further apart than planned");

pub(super) static RULES: &[&Rule] =
    &[&HOLE_UNKNOWN, &MOVED_WAY, &HOLE_SHALLOW, &DRILLED_THROUGH, &DRILLED_NEAR, &HOLE_LOST, &ROW_GAP];

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    let done = &works.holes_done;
    problems.extend(done.troubles.iter().map(|trouble| cannot_be(job, *trouble)));
    for mine in done.drilled.chunk_by(|one, other| one.set == other.set) {
        let Some(set) = mine.first().and_then(|one| works.sets.get(&one.set)) else { continue };
        let case = Case { job, works, set, name: job.name(set.id), mine };
        problems.extend(case.off());
        problems.extend(case.shallow());
        problems.extend(case.through());
        problems.extend(case.near());
        problems.extend(case.lost());
        problems.extend(case.gap());
    }
}

fn cannot_be(job: &Job, trouble: DoneTrouble) -> Problem {
    match trouble {
        DoneTrouble::NotThere { set, number, count, at } => Problem::new(
            &HOLE_UNKNOWN,
            at,
            "`{0}` has no hole {1}; its holes are numbered from 1 to {2}",
        )
        .arg(job.name(set))
        .arg(whole(number))
        .arg(whole(count))
        .thing(job.name(set))
        .help("look the number up on the hole sheet; a hole nobody planned goes into a row of its own in the file"),
        DoneTrouble::WrongWay { face, at } => {
            let problem = Problem::new(&MOVED_WAY, at, "a hole cannot have been moved this way");
            problem.help(if face {
                "holes in a face are moved `left`, `right`, `up` or `down`"
            } else {
                "holes in a top or a floor are moved `left`, `right`, `out` or `in`"
            })
        }
    }
}

fn whole(number: u64) -> Arg {
    Arg::Count(i64::try_from(number).unwrap_or(i64::MAX))
}

/// One block of holes that has some not as planned.
struct Case<'c> {
    job: &'c Job,
    works: &'c Works,
    set: &'c Set,
    name: &'c str,
    mine: &'c [Drilled],
}

impl<'c> Case<'c> {
    /// Where a hole is now; of one that is left empty, where it was planned.
    fn place(&self, one: &Drilled) -> String {
        words::hole(self.job, &self.works.standing, self.name, &one.now.unwrap_or(one.hole))
    }

    /// Holes that are not in the work any more where they were moved to.
    fn off(&self) -> impl Iterator<Item = Problem> {
        self.mine.iter().filter_map(|one| {
            let (past, moved) = (self.past_edge(one)?, one.fact.moved.first()?);
            let problem = Problem::new(
                &MOVED_WAY,
                moved.span,
                "hole {0} is not in `{1}` any more: moved so it lies {2} past the edge",
            )
            .arg(whole(one.hole.number))
            .arg(self.job.name(self.set.into.block))
            .arg(past)
            .thing(self.name)
            .place(self.place(one))
            .one(self.name, one.hole.number);
            Some(problem.help("check how far and which way it was moved"))
        })
    }

    /// How far past an edge of the work a hole lies that was moved out of it.
    fn past_edge(&self, one: &Drilled) -> Option<Length> {
        let planned = self.works.around.get(&self.set.id).and_then(|around| around.edge).map(|edge| edge.apart);
        let apart = one.around?.edge?.apart;
        (!one.fact.moved.is_empty() && apart < Length::ZERO && planned.is_none_or(|planned| planned >= Length::ZERO))
            .then_some(Length::ZERO - apart)
    }

    /// The worst of them by a figure, and how many there are.
    fn worst<T: Copy>(
        &self,
        of: impl Fn(&Drilled) -> Option<T>,
        key: impl Fn(T) -> Length,
    ) -> Option<(&'c Drilled, T, usize)> {
        let all: Vec<(&Drilled, T)> = self.mine.iter().filter_map(|one| Some((one, of(one)?))).collect();
        let (one, figure) = all.iter().copied().min_by_key(|(one, figure)| (key(*figure), one.hole.number))?;
        Some((one, figure, all.len()))
    }

    /// With how many others there are; the others are argument 0.
    fn counted(&self, problem: Problem, others: usize) -> Problem {
        match others {
            0 => problem,
            1 => problem.here("and 1 other of this row of holes, less bad"),
            _ => problem.here("and {0} others of this row of holes, less bad"),
        }
    }

    fn shallow(&self) -> Option<Problem> {
        let bar = self.set.bar?;
        let of = |one: &Drilled| (one.now.is_some() && one.deep < self.set.deep).then_some(one.deep);
        let (one, deep, count) = self.worst(of, |deep| deep)?;
        let least = anchors::embedment_window(bar).map_or(Length::ZERO, |worked| worked.value.0);
        let less = self.set.deep - deep;
        let (headline, help) = if self.is_filled() {
            (
                if deep < least {
                    "hole {1} is {2} deep, {3} was planned; the rules for its bar begin at {4}"
                } else {
                    "hole {1} is {2} deep, {3} was planned; its bar goes in {5} less"
                },
                "its bar is set and, as it was cut, stands out {5} further{6}: cut {5} off its end before a form or concrete comes. Ask the engineer whether {2} holds, and write what was said: `accept hole-shallow on {7} because \"…\"`",
            )
        } else if deep < least {
            (
                "hole {1} is {2} deep, {3} was planned; the rules for its bar begin at {4}",
                "drill it deeper, {3} if it goes; else leave it empty and drill another beside it; a bar that stays in so short a hole is for the engineer to judge",
            )
        } else {
            (
                "hole {1} is {2} deep, {3} was planned; its bar goes in {5} less",
                "drill it to {3} if it goes, or ask the engineer whether {2} is enough and cut its bar {5} shorter: as it was cut it stands out {5} further{6}",
            )
        };
        let problem = Problem::new(&HOLE_SHALLOW, one.fact.on.at, headline)
            .arg(count - 1)
            .arg(whole(one.hole.number))
            .arg(deep)
            .arg(self.set.deep)
            .arg(least)
            .arg(less)
            .arg(self.in_front(one, less).unwrap_or_default())
            .arg(self.name)
            .thing(self.name)
            .measure(deep)
            .place(self.place(one))
            .one(self.name, one.hole.number)
            .help(help);
        Some(self.counted(problem, count - 1))
    }

    /// Whether it is recorded that bars were set in these holes.
    fn is_filled(&self) -> bool {
        let job = self.job;
        let set = |bars: &&Thing<Bars>| bars.say.holes.is_some_and(|holes| holes.value.0 == self.set.id);
        let Some(bars) = job.bars.iter().find(set) else { return false };
        let sets = |step: &&Thing<Step>| {
            let mut works = step.say.work.0.iter().filter(|work| work.verb == "set").flat_map(|work| &work.things);
            works.any(|thing| thing.value == bars.id)
        };
        job.steps.iter().filter(sets).any(|step| self.works.facts.done(step.id).is_some())
    }

    /// How much new concrete is left in front of a bar that stands out so much further.
    fn in_front(&self, one: &Drilled, less: Length) -> Option<String> {
        let (job, works) = (self.job, self.works);
        let (Axis::Face, Level::Height(level)) = (self.set.axis, one.hole.level) else { return None };
        let bars = job.bars.iter().find(|bars| bars.say.holes.is_some_and(|holes| holes.value.0 == self.set.id))?;
        let out = bars.say.out?.value.0 + less;
        let here = works.sections.placed.iter().find(|placed| {
            let on = |interval: &&crate::concrete::Interval| {
                interval.on == one.hole.on && (interval.start..=interval.end).contains(&one.hole.station)
            };
            (placed.bottom..=placed.top).contains(&level) && placed.intervals.iter().any(|interval| on(&interval))
        })?;
        let (_, outer) = depth(job.section(here.id)?, &works.standing, one.hole.on);
        let left = (outer - out).max(Length::ZERO);
        Some(format!(", with {} of concrete in front of it", show::exact(left, job.system())))
    }

    fn through(&self) -> Option<Problem> {
        let wanted = |one: &Drilled| anchors::behind(one.wide, self.job.system()).map_or(Length::ZERO, |it| it.value);
        let planned = self.works.around.get(&self.set.id).and_then(|around| around.back).map(|back| back.left);
        let of = |one: &Drilled| {
            let left = one.around?.back?.left;
            (left < wanted(one) && planned.is_none_or(|planned| left < planned)).then_some(left)
        };
        let (one, left, count) = self.worst(of, |left| left)?;
        let (headline, help) = if left <= Length::ZERO {
            (
                "hole {1} came out at the back",
                "leave it empty and close it from both sides before resin or concrete comes near; drill another beside it, less deep",
            )
        } else {
            (
                "{2} of the old work is left behind hole {1}; {3} is usual",
                "tap the back and look for cracks; if it rings hollow leave the hole empty and drill another beside it, less deep",
            )
        };
        let problem = Problem::new(&DRILLED_THROUGH, one.fact.on.at, headline)
            .arg(count - 1)
            .arg(whole(one.hole.number))
            .arg(left)
            .arg(wanted(one))
            .thing(self.name)
            .measure(left)
            .place(self.place(one))
            .one(self.name, one.hole.number)
            .help(help);
        Some(self.counted(problem, count - 1))
    }

    fn near(&self) -> Option<Problem> {
        let (one, what, count) = self.worst(|one| self.too_near(one), |what| what.left())?;
        let problem =
            Problem::new(&DRILLED_NEAR, one.fact.on.at, what.headline()).arg(count - 1).arg(whole(one.hole.number));
        let problem = match what {
            TooNear::Hole(near) => {
                let (other, hole) = near.other;
                problem
                    .arg(near.apart)
                    .arg(near.wanted)
                    .arg(format!("{}.{}", self.job.name(other), hole.number))
                    .measure(near.apart)
            }
            TooNear::Edge(apart, wanted) => problem.arg(apart).arg(wanted).measure(apart),
            TooNear::Thing(thing) => problem.arg(self.job.name(thing)),
        };
        let problem = problem.thing(self.name).place(self.place(one)).one(self.name, one.hole.number).help(what.help());
        Some(self.counted(problem, count - 1))
    }

    /// The worst a hole is too near, where it was not so planned.
    fn too_near(&self, one: &Drilled) -> Option<TooNear> {
        if self.past_edge(one).is_some() {
            return None;
        }
        let thing = one.in_the_way.map(TooNear::Thing);
        let hole = one.near.map(TooNear::Hole);
        let least = self.set.bar.and_then(|bar| anchors::least_edge(bar, Length::ZERO, Length::ZERO).ok());
        let planned = self.works.around.get(&self.set.id).and_then(|around| around.edge).map(|edge| edge.apart);
        let edge = one.around.and_then(|around| around.edge).zip(least).and_then(|(edge, least)| {
            let near = edge.apart < least.value && planned.is_none_or(|planned| edge.apart < planned);
            near.then_some(TooNear::Edge(edge.apart, least.value))
        });
        [thing, hole, edge].into_iter().flatten().min_by_key(TooNear::left)
    }

    fn lost(&self) -> Option<Problem> {
        self.set.bar?;
        let all: Vec<&Drilled> = self.mine.iter().filter(|one| one.now.is_none()).collect();
        let one = all.iter().copied().find(|one| one.beside.is_some_and(|beside| beside.place.is_some()));
        let one = one.or(all.first().copied())?;
        let least = one.beside.map_or(Length::ZERO, |beside| beside.least);
        let headline = match (all.len(), one.fact.hit) {
            (1, Some(_)) => "hole {1} met steel or a void at {5} and is left empty: one bar less of {2}",
            (1, None) => "hole {1} is left empty: one bar less of {2}",
            _ => "{0} holes are left empty, hole {1} among them: so many bars less of {2}",
        };
        let problem = Problem::new(&HOLE_LOST, one.fact.on.at, headline)
            .arg(all.len())
            .arg(whole(one.hole.number))
            .arg(whole(self.set.count))
            .arg(least)
            .arg(format!("{}.{}", self.name, one.hole.number));
        let problem = problem.arg(one.fact.hit.unwrap_or(Length::ZERO));
        let problem = match one.beside.and_then(|beside| beside.place) {
            Some((way, far)) => problem
                .arg(format!("{} {}", way.word(), show::exact(far, self.job.system())))
                .help(if one.fact.hit.is_some() {
                    "drill another beside it ({6}) and write `hole {4} hit {5}, moved {6}`; or ask the engineer whether it may be left out"
                } else {
                    "drill another beside it ({6}) and write `hole {4} moved {6}`; or ask the engineer whether it may be left out"
                }),
            None => problem
                .arg("")
                .help("no place in its row is {3} from it and clear of the others: ask the engineer where another may go, or whether it may be left out"),
        };
        let problem = match self.gaps().filter(|gap| self.opens(gap)).max_by_key(|gap| gap.gap) {
            Some(gap) => problem
                .here("from hole {7} to hole {8} there are {9} now; {10} is the most")
                .arg(whole(gap.from.number))
                .arg(whole(gap.to.number))
                .arg(gap.gap)
                .arg(gap.widest),
            None => problem,
        };
        let places: Vec<String> = all.iter().take(3).map(|one| self.place(one)).collect();
        let problem = problem.thing(self.name).place(places.join("\n"));
        Some(all.iter().take(3).fold(problem, |problem, one| problem.one(self.name, one.hole.number)))
    }

    fn gaps(&self) -> impl Iterator<Item = &'c RowGap> {
        self.works.holes_done.gaps.iter().filter(|gap| gap.set == self.set.id)
    }

    /// Whether a hole that is left empty opens this gap: then it is told with the hole.
    fn opens(&self, gap: &RowGap) -> bool {
        let between = |one: &&Drilled| gap.from.number < one.hole.number && one.hole.number < gap.to.number;
        self.set.bar.is_some() && self.mine.iter().filter(between).any(|one| one.now.is_none())
    }

    fn gap(&self) -> Option<Problem> {
        let all: Vec<_> = self.gaps().filter(|gap| !self.opens(gap)).collect();
        let gap = all.iter().max_by_key(|gap| (gap.gap, std::cmp::Reverse(gap.from.number)))?;
        let name = |hole: &Hole| {
            let now = self.works.holes_done.find(self.set.id, hole.number).and_then(|one| one.now).unwrap_or(*hole);
            words::hole(self.job, &self.works.standing, self.name, &now)
        };
        let problem = Problem::new(
            &ROW_GAP,
            gap.at,
            "from hole {1} to hole {2} of `{3}` there are {4} now; {5} is the most",
        )
        .arg(all.len() - 1)
        .arg(whole(gap.from.number))
        .arg(whole(gap.to.number))
        .arg(self.name)
        .arg(gap.gap)
        .arg(gap.widest)
        .thing(self.name)
        .place(format!("{}\n{}", name(&gap.from), name(&gap.to)))
        .one(self.name, gap.from.number)
        .one(self.name, gap.to.number)
        .help("drill a further hole between the two, in a row of holes of its own in the file; or ask the engineer");
        Some(match all.len() {
            1 => problem,
            2 => problem.here("and 1 other gap of this row of holes, less wide"),
            _ => problem.here("and {0} other gaps of this row of holes, less wide"),
        })
    }
}

/// What a hole is too near.
#[derive(Clone, Copy)]
enum TooNear {
    Thing(BlockId),
    Hole(Near),
    /// An edge: how near, and how far it should be.
    Edge(Length, Length),
}

impl TooNear {
    /// How much more room there is than wanted: less than nothing, and what is in the way before all.
    fn left(&self) -> Length {
        match self {
            TooNear::Thing(_) => Length::from_nm(i64::MIN / 4),
            TooNear::Hole(near) => near.apart - near.wanted,
            TooNear::Edge(apart, wanted) => *apart - *wanted,
        }
    }

    fn headline(&self) -> &'static str {
        match self {
            TooNear::Thing(_) => "hole {1} is now too near `{2}`, which it was to keep away from",
            TooNear::Hole(near) if near.apart < near.reach => "hole {1} runs into {4}: their axes come within {2}",
            TooNear::Hole(near) if near.empty => "hole {1} is {2} from {4}, which is empty; {3} is usual",
            TooNear::Hole(_) => "hole {1} is {2} from {4}; bars of this size want {3} from centre to centre",
            TooNear::Edge(..) => "hole {1} is {2} from an edge of the work; {3} is the least",
        }
    }

    fn help(&self) -> &'static str {
        match self {
            TooNear::Thing(_) => {
                "look whether it is harmed; if it is not, write why it may stay: `accept drilled-near on …`"
            }
            TooNear::Hole(near) if near.apart < near.reach => {
                "leave one of the two empty and write `abandoned` for it; fill both with resin together only if the engineer says so"
            }
            TooNear::Hole(near) if near.empty => {
                "fill the empty hole with resin before the bar beside it is set, and ask the engineer whether that bar may carry so near to it; or drill another, {3} from it or more"
            }
            TooNear::Hole(_) => {
                "leave one of the two empty, or ask the engineer what bars so near to each other may carry"
            }
            TooNear::Edge(..) => {
                "leave it empty and drill another further in, or ask the engineer what a bar so near the edge may carry"
            }
        }
    }
}

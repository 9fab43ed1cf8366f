//! The order of work: which step, look, wait and question comes before which, and why; what goes round in a circle, is
//! hidden before it is done, or is done by no step. It knows no calendar and no words: it says what it finds as types.

mod before;
mod buried;
mod care;
mod days;
mod done;
mod graph;
mod handled;
mod hours;
mod numbers;
mod past;
mod turn;
mod waits;
mod yielding;

#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use foldhash::HashMap;

use crate::{
    concrete::Solids,
    curing::Act,
    job::Job,
    schema::{BlockId, KindId, Measure, Takes},
    source::Span,
    units::{Area, Duration, Length, Volume},
};

pub use before::{Rest, Unscanned};
pub use care::{Care, Daily, Soak};
pub use days::{Dated, DayTrouble, Days, Hardened, Known, Late, Never, Past, USUAL_LOOK, before, days, last_day};
pub use done::{Done, DoneTrouble, done};
use graph::{Graph, Ring};
use handled::Handled;
pub use handled::{Double, Misfit, Unhandled};
pub use hours::usual_week;
pub use numbers::enter;
pub use yielding::Early;

/// Why one waits for the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reason {
    /// The later one says `after`.
    After,
    /// The earlier one says `before`.
    Before,
    /// The holes are marked, then drilled.
    Marked {
        /// The holes.
        holes: BlockId,
    },
    /// A place is scanned before one drills or breaks into it.
    Scanned {
        /// What is scanned: the holes themselves, or the wall or slab.
        place: BlockId,
        /// The holes drilled or the strip removed.
        thing: BlockId,
    },
    /// A slab is sawn before the strip is broken out of it.
    Sawn {
        /// The cut.
        cut: BlockId,
        /// The strip.
        strip: BlockId,
    },
    /// Props stand before anything is taken away.
    Propped {
        /// The props.
        props: BlockId,
        /// What is taken away.
        thing: BlockId,
    },
    /// Props stay until the concrete has hardened.
    Carried {
        /// The pour.
        pour: BlockId,
        /// The props.
        props: BlockId,
    },
    /// Holes are drilled before bars are set in them.
    Drilled {
        /// The holes.
        holes: BlockId,
        /// The bars.
        bars: BlockId,
    },
    /// Holes go into concrete that must be there.
    Hardened {
        /// The pour that makes it.
        pour: BlockId,
        /// The holes.
        thing: BlockId,
    },
    /// Concrete is there before it is kept wet.
    Cured {
        /// The pour.
        pour: BlockId,
        /// The cure.
        cure: BlockId,
    },
    /// A look comes after the work on what it sees.
    Made {
        /// What it sees; of a section, the pour that fills it.
        thing: BlockId,
    },
    /// Forms stand before the concrete comes.
    Formed {
        /// The forms.
        forms: BlockId,
        /// The pour.
        pour: BlockId,
    },
    /// Concrete is loaded, or filled in against, when it has hardened.
    Loaded {
        /// The pour.
        pour: BlockId,
        /// The cure.
        cure: BlockId,
        /// What is done to it.
        act: Act,
    },
    /// Forms are taken off when the concrete is there.
    Stripped {
        /// The pour.
        pour: BlockId,
        /// The forms.
        forms: BlockId,
    },
    /// What lies below a slab is reached when the strip over it is broken out.
    Bared {
        /// The strip.
        strip: BlockId,
        /// The holes, the face, the bars or the forms.
        thing: BlockId,
    },
    /// Concrete is there before what stands on it, or before the joint with it is made ready.
    Joined {
        /// The pour that is there.
        pour: BlockId,
        /// The pour that stands on it, or the face made ready.
        thing: BlockId,
    },
    /// Concrete is there before bars and forms of what stands on it.
    Borne {
        /// The pour that is there.
        pour: BlockId,
        /// The bars or the forms.
        thing: BlockId,
    },
    /// A thing is reached better before bars or forms stand in front of it.
    Reached {
        /// The thing.
        thing: BlockId,
        /// The bars or the forms.
        cover: BlockId,
    },
    /// Forms are gone before the place they take is needed.
    Cleared {
        /// The forms.
        forms: BlockId,
        /// The pour that goes on behind their bulkhead, the face made ready for it, or the cure whose side is filled in.
        thing: BlockId,
    },
    /// Work on a thing, and looks at it, come before the pour that hides it; work on the old face, before the forms that stand
    /// in front of it.
    Hides {
        /// The thing.
        thing: BlockId,
        /// The pour or the forms.
        cover: BlockId,
    },
}

impl Reason {
    /// Whether someone wrote it.
    #[must_use]
    pub fn is_written(self) -> bool {
        matches!(self, Reason::After | Reason::Before)
    }

    /// Whether what waits shows that what it waits for was done: bars and forms can stand where they ought not to stand yet.
    #[must_use]
    pub fn is_sure(self) -> bool {
        !matches!(self, Reason::Borne { .. } | Reason::Reached { .. })
    }
}

/// One waits for the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Edge {
    /// The step, look, wait or question that comes first.
    pub before: BlockId,
    /// The one that waits for it.
    pub after: BlockId,
    /// Why.
    pub reason: Reason,
    /// The name in the clause it comes from; where it stands there by itself, the thing's name in the earlier one's
    /// `work` or `sees`.
    pub at: Span,
}

/// Some wait for each other: each for the one before it, the first for the last.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Circle {
    /// Each edge goes on where the one before it ends; the first leaves the node that is written first.
    pub edges: Vec<Edge>,
    /// There is no shorter circle through any of those that wait for each other here; in very large tangles this is not
    /// always known.
    pub least: bool,
}

impl Circle {
    /// Those that wait for each other.
    pub fn nodes(&self) -> impl Iterator<Item = BlockId> {
        self.edges.iter().map(|edge| edge.before)
    }
}

/// The written order puts work or a look after the pour that hides what it is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Undone {
    /// The step or look that comes too late.
    pub late: BlockId,
    /// The step that pours, or builds the forms.
    pub cover: BlockId,
    /// The things it is late for: each with the pour or the forms that hide it.
    pub things: Vec<(BlockId, BlockId)>,
    /// The whole circle: one edge is the hiding, all others are written.
    pub circle: Circle,
}

/// How much of a measure there is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// So long.
    Length(Length),
    /// So wide.
    Area(Area),
    /// So much.
    Volume(Volume),
    /// So many.
    Count(u64),
}

impl Amount {
    /// One of a measure.
    #[must_use]
    pub fn one(measure: Measure) -> Amount {
        let (foot, metre) = (Length::INCH * 12, Length::from_nm(1_000_000_000));
        match measure {
            Measure::Foot => Amount::Length(foot),
            Measure::Metre => Amount::Length(metre),
            Measure::SquareFoot => Amount::Area(foot * foot),
            Measure::SquareMetre => Amount::Area(metre * metre),
            Measure::CubicFoot => Amount::Volume(foot * foot * foot),
            Measure::CubicMetre => Amount::Volume(metre * metre * metre),
            Measure::Bag | Measure::Batch | Measure::Trip => Amount::Count(1),
        }
    }

    /// Both together; none where they are not alike.
    #[must_use]
    pub fn plus(self, other: Amount) -> Option<Amount> {
        Some(match (self, other) {
            (Amount::Length(one), Amount::Length(two)) => Amount::Length(one + two),
            (Amount::Area(one), Amount::Area(two)) => Amount::Area(one + two),
            (Amount::Volume(one), Amount::Volume(two)) => Amount::Volume(one + two),
            (Amount::Count(one), Amount::Count(two)) => Amount::Count(one.checked_add(two)?),
            _ => return None,
        })
    }

    /// How many times one of a measure it is; none where they are not alike.
    #[must_use]
    pub fn times(self, measure: Measure) -> Option<f64> {
        Some(match (self, Amount::one(measure)) {
            (Amount::Length(all), Amount::Length(one)) => all.nm() as f64 / one.nm() as f64,
            (Amount::Area(all), Amount::Area(one)) => all.nm2() as f64 / one.nm2() as f64,
            (Amount::Volume(all), Amount::Volume(one)) => all.nm3() as f64 / one.nm3() as f64,
            (Amount::Count(all), Amount::Count(one)) => all as f64 / one as f64,
            _ => return None,
        })
    }
}

/// What is counted and measured elsewhere.
pub struct Counted<'c> {
    /// The holes or bars of a row; may give 1 for other things; none where it is not known.
    pub pieces: &'c dyn Fn(BlockId) -> Option<u64>,
    /// How much of a measure there is of a thing; none where it has none of that kind.
    pub amount: &'c dyn Fn(BlockId, Measure) -> Option<Amount>,
    /// Bars that are told to lie outside the sections they name: where these stand says nothing of when the bars are placed.
    pub misplaced: &'c dyn Fn(BlockId) -> bool,
}

/// How long a step, look or wait takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lasts {
    /// It is not said.
    Unsaid,
    /// As written.
    For(Duration),
    /// So long for each piece.
    Each {
        /// For one.
        one: Duration,
        /// How many there are.
        pieces: u64,
        /// In all.
        all: Duration,
    },
    /// So long for each of a measure.
    Per {
        /// For one.
        one: Duration,
        /// Of what.
        measure: Measure,
        /// How much there is.
        amount: Amount,
        /// In all.
        all: Duration,
    },
    /// So long for each piece or measure, but how many there are is not known.
    Uncounted {
        /// For one.
        one: Duration,
        /// Of what; none where it is pieces.
        measure: Option<Measure>,
    },
}

impl Lasts {
    /// How long it takes where so many pieces less are there.
    #[must_use]
    pub fn without(self, gone: u64) -> Lasts {
        match self {
            Lasts::Each { one, pieces, .. } => {
                let pieces = pieces.saturating_sub(gone);
                Lasts::Each { one, pieces, all: one * pieces as f64 }
            }
            other => other,
        }
    }
}

/// The order of work and what is wrong with it.
#[derive(Debug, Clone, Default)]
pub struct Plan {
    /// All steps, looks, waits and questions, each after what it waits for, otherwise by their days where there are any, or as
    /// written; those in or behind circles stand at the end, as written.
    pub order: Vec<BlockId>,
    /// What waits for what; the written ones first.
    pub edges: Vec<Edge>,
    /// One shortest circle for each set of nodes that wait for each other, by the first written; less those in `undone`.
    pub circles: Vec<Circle>,
    /// What is hidden before it is done.
    pub undone: Vec<Undone>,
    /// What should come in turn and is written otherwise.
    pub early: Vec<Early>,
    /// What no step does. Empty if a step could not be read, for it may do anything.
    pub unhandled: Vec<Unhandled>,
    /// Old work drilled or broken that no step scans.
    pub unscanned: Vec<Unscanned>,
    /// Steps that drill or break old work before anyone was asked about lines, and where they name it.
    pub unasked: Vec<(BlockId, Span)>,
    /// How long set bars rest before they are loaded; empty where steps go round in a circle.
    pub rests: Vec<Rest>,
    /// Bars that are handled by the wrong verb.
    pub misfits: Vec<Misfit>,
    /// What is done twice, of any verb.
    pub doubles: Vec<Double>,
    /// How long each step, look and wait takes, as written; questions have no entry.
    pub durations: Vec<(BlockId, Lasts)>,
    /// There is no step at all; `unhandled` then names everything.
    pub no_steps: bool,
    /// The thing at which there were more edges that follow by themselves than are followed: it and others may lack some.
    pub cut: Option<BlockId>,
}

/// Puts the work of a job in order. Of edges that follow by themselves, at most `most` are followed.
#[must_use]
pub fn plan(job: &Job, counted: &Counted, solids: &Solids, most: usize) -> Plan {
    let nodes = Nodes::new(job);
    let handled = Handled::new(job, &nodes);
    let mut waits = waits::waits(job, &nodes, &handled, most);
    let early = turn::in_turn(job, &nodes, &handled, solids, counted.misplaced, &mut waits);
    let graph = Graph::new(nodes.written.len(), &waits.arcs);
    let (order, stuck) = graph.order();
    let mut plan = Plan {
        order: order.iter().chain(&stuck).map(|node| nodes.block(*node)).collect(),
        unhandled: handled.unhandled(job, solids),
        misfits: handled.misfits(job, &nodes),
        doubles: handled.doubles(&nodes),
        unscanned: before::unscanned(job, &handled),
        unasked: before::unasked(job, &nodes, &handled, &waits.arcs),
        durations: nodes.all().filter_map(|(_, id)| Some((id, lasts(job, id, counted)?))).collect(),
        no_steps: job.steps.is_empty()
            && !job.broken.iter().any(|id| matches!(job.kind(*id), None | Some(KindId::Step))),
        cut: waits.cut,
        early,
        ..Plan::default()
    };
    for ring in graph.rings(&stuck) {
        match judge(&ring, &graph, &waits.arcs, &waits.edges) {
            Ok(undone) => plan.undone.push(undone),
            Err(circle) => plan.circles.push(circle),
        }
    }
    if stuck.is_empty() {
        plan.rests = before::rests(job, &nodes, &handled, &order, &waits.edges, most);
    }
    plan.edges = waits.edges;
    plan
}

/// The place of each pour among them, each after what its first step waits for; those that no step pours come last, as written.
#[must_use]
pub fn pours_in_turn(job: &Job, solids: &Solids, most: usize) -> BTreeMap<BlockId, usize> {
    let nodes = Nodes::new(job);
    let handled = Handled::new(job, &nodes);
    let mut waits = waits::waits(job, &nodes, &handled, most);
    turn::stack(&nodes, &handled, solids, &mut waits);
    turn::turn(job, &nodes, &handled, &waits)
}

/// Takes for each arc of a ring the plainest of its reasons, and tells what comes too late from a plain circle.
fn judge(ring: &Ring, graph: &Graph, arcs: &[graph::Arc], edges: &[Edge]) -> Result<Undone, Circle> {
    let mut circle = Circle { edges: Vec::with_capacity(ring.arcs.len()), least: ring.least };
    let mut hiding = Vec::new();
    let mut plain = false;
    for arc in &ring.arcs {
        let (before, after) = arcs[*arc as usize];
        let alike = || graph.between(before, after).map(|arc| edges[arc as usize]);
        let hides = |edge: &Edge| matches!(edge.reason, Reason::Hides { .. });
        let written = alike().find(|edge| edge.reason.is_written());
        let best = written.or_else(|| alike().find(hides)).unwrap_or(edges[*arc as usize]);
        match best.reason {
            Reason::After | Reason::Before => {}
            Reason::Hides { .. } => hiding.push((before, after)),
            _ => plain = true,
        }
        circle.edges.push(best);
    }
    let &[(before, after)] = hiding.as_slice() else { return Err(circle) };
    let late = circle.edges.iter().find(|edge| matches!(edge.reason, Reason::Hides { .. })).copied();
    let Some(late) = late.filter(|_| !plain) else { return Err(circle) };
    let mut things: Vec<_> = graph
        .between(before, after)
        .filter_map(|arc| match edges[arc as usize].reason {
            Reason::Hides { thing, cover } => Some((thing, cover)),
            _ => None,
        })
        .collect();
    things.sort_unstable();
    things.dedup();
    Ok(Undone { late: late.before, cover: late.after, things, circle })
}

fn lasts(job: &Job, id: BlockId, counted: &Counted) -> Option<Lasts> {
    let (takes, mut things): (Option<&Takes>, Vec<BlockId>) = if let Some(step) = job.step(id) {
        let works = step.say.work.0.iter().flat_map(|work| &work.things);
        (step.say.takes.as_ref(), works.map(|thing| thing.value).collect())
    } else if let Some(look) = job.look(id) {
        let seen = look.say.sees.iter().flatten();
        (look.say.takes.as_ref(), seen.map(|thing| thing.value.0).collect())
    } else {
        (Some(&job.wait(id)?.say.takes), Vec::new())
    };
    let Some(takes) = takes else { return Some(Lasts::Unsaid) };
    let one = takes.time.0;
    if takes.each.is_none() && takes.per.is_none() {
        return Some(Lasts::For(one));
    }
    // A thing that is handled twice by one step is still so many pieces.
    things.sort_unstable();
    things.dedup();
    if let Some(per) = &takes.per {
        let measure = per.value;
        let mut amounts = things.iter().map(|thing| (counted.amount)(*thing, measure));
        let first = amounts.next().flatten();
        let amount = first.and_then(|first| amounts.try_fold(first, |sum, amount| sum.plus(amount?)));
        return Some(match amount.and_then(|amount| Some((amount, amount.times(measure)?))) {
            Some((amount, times)) => Lasts::Per { one, measure, amount, all: one * times },
            None => Lasts::Uncounted { one, measure: Some(measure) },
        });
    }
    let count = things.iter().try_fold(0_u64, |sum, thing| sum.checked_add((counted.pieces)(*thing)?));
    Some(match count.filter(|_| !things.is_empty()) {
        Some(pieces) => Lasts::Each { one, pieces, all: one * pieces as f64 },
        None => Lasts::Uncounted { one, measure: None },
    })
}

/// The steps, looks, waits and questions, numbered in written order.
#[derive(Debug)]
struct Nodes {
    written: Vec<BlockId>,
    numbers: HashMap<BlockId, u32>,
}

impl Nodes {
    fn new(job: &Job) -> Nodes {
        let steps = job.steps.iter().map(|step| (step.at, step.id));
        let looks = job.looks.iter().map(|look| (look.at, look.id));
        let waits = job.waits.iter().map(|wait| (wait.at, wait.id));
        let asks = job.asks.iter().map(|ask| (ask.at, ask.id));
        let mut all: Vec<(Span, BlockId)> = steps.chain(looks).chain(waits).chain(asks).collect();
        all.sort_unstable();
        let numbers = (0..).zip(&all).map(|(number, (_, id))| (*id, number)).collect();
        Nodes { written: all.into_iter().map(|(_, id)| id).collect(), numbers }
    }

    fn all(&self) -> impl Iterator<Item = (u32, BlockId)> {
        (0..).zip(self.written.iter().copied())
    }

    fn node(&self, block: BlockId) -> Option<u32> {
        self.numbers.get(&block).copied()
    }

    fn block(&self, node: u32) -> BlockId {
        self.written[node as usize]
    }
}

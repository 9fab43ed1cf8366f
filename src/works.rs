//! Everything a job comes to: what stands there, the solids, holes, bars, resin, mixing, what is bought, the ledger.

mod amounts;

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    buying::{self, Bill, Line},
    concrete::{self, Mixing, PourSolid, Sections, Solids, Standing, Unmixed},
    cores,
    curing::{self, Cured},
    cutting::{Problem, Solved},
    facts::Facts,
    formwork::{self, Boards, Formwork},
    hazards::{self, AtStep, Ends, OfDay, Pit},
    holes::{self, Around, Close, Fill, HolesDone, Meeting, Obstacles, RowTrouble, Set},
    job::Job,
    language::Limits,
    ledger::Ledger,
    outcome::{self, Sizes},
    placing::{self, Placing},
    plan::{self, DayTrouble, Days, Done, Plan, plan},
    schema::{BlockId, Range},
    sitework::{self, Debris, Dig, Injection, Patch, Propped, Saw, Strip},
    standards::handwork,
    steel::{
        self, Anchored, BarTrouble, BarsMade, Clearances, CutPlan, JointShear, Judged, OnBar, SteelIn, Stones, Tying,
        WaysIn,
    },
    units::{Duration, Length, Volume},
    yard::Shops,
};

/// Everything a job comes to.
#[derive(Debug, Default)]
pub struct Works {
    /// Walls and lines in plan.
    pub standing: Standing,
    /// Sections and voids.
    pub sections: Sections,
    /// Solids by pour.
    pub solids: Solids,
    /// Which pour comes first, by the order of work; empty where none meets another.
    pub turn: BTreeMap<BlockId, usize>,
    /// Strips broken out.
    pub strips: Vec<Strip>,
    /// What is carted off of them.
    pub debris: Vec<Debris>,
    /// Saw cuts.
    pub saws: Vec<Saw>,
    /// Cracks that are filled.
    pub injections: Vec<Injection>,
    /// Broken places, and what fills them.
    pub patches: Vec<Patch>,
    /// Sections dug for below the base of the old work.
    pub digs: Vec<Dig>,
    /// Strips broken out at the foot of a wall that holds back ground.
    pub propped: Vec<Propped>,
    /// What holes keep away from.
    pub obstacles: Obstacles,
    /// Holes by block.
    pub sets: BTreeMap<BlockId, Set>,
    /// Holes that meet.
    pub meetings: Vec<Meeting>,
    /// Holes too near each other for the bars in them.
    pub close: Vec<Close>,
    /// Walls along which so many holes lie near each other that not all were compared.
    pub crowded: Vec<BlockId>,
    /// Edges, backs and the drill's room, by block of holes.
    pub around: BTreeMap<BlockId, Around>,
    /// Bars by block, in the order they are written.
    pub bars: Vec<BarsMade>,
    /// Holes drilled into new concrete that meet bars in it.
    pub on_bars: Vec<OnBar>,
    /// Bars that are there already where a drill stands before its hole.
    pub before_drills: Vec<steel::BeforeDrill>,
    /// How near bars come to faces and to each other.
    pub clearances: Clearances,
    /// Ties, wire and supports of bars.
    pub tying: Tying,
    /// What published formulas say of bars set in holes; not worked out for a mere check.
    pub anchored: Vec<Anchored>,
    /// What they say of the joints between new and old; not worked out for a mere check.
    pub joints: Vec<JointShear>,
    /// The covers of bars, and what they should be.
    pub covers: Vec<Judged>,
    /// How large the stones of each pour may be.
    pub stones: Vec<Stones>,
    /// How much steel runs through each section, which way; for a mere check of those alone that are to have some by a rule.
    pub steel_in: Vec<SteelIn>,
    /// Bars that cannot go in past those that are placed before them.
    pub ways_in: WaysIn,
    /// What is cut from what, by size.
    pub cuts: Vec<CutPlan>,
    /// Resin by block of holes.
    pub fills: Vec<Fill>,
    /// What is bought of each resin.
    pub resins: Vec<holes::Order>,
    /// Mixing by pour.
    pub mixings: Vec<Mixing>,
    /// Pours it is not worked out for, and why.
    pub unmixed: Vec<(BlockId, Unmixed)>,
    /// Pours planned minute by minute.
    pub placings: Vec<Placing>,
    /// Why a pour could not be planned.
    pub placing_troubles: Vec<(BlockId, placing::Trouble)>,
    /// How pours are cured, and what comes of it.
    pub cures: Vec<Cured>,
    /// Forms.
    pub forms: Vec<Formwork>,
    /// Which boards they are cut from.
    pub boards: Vec<Boards>,
    /// The buy list.
    pub buying: Vec<Line>,
    /// What all of it costs.
    pub bill: Bill,
    /// The order of work.
    pub plan: Plan,
    /// What each step does to those who do it.
    pub at_steps: Vec<AtStep>,
    /// Ends of bars that stand free.
    pub ends: Vec<Ends>,
    /// Days on which several steps are loud or shake, and what they come to together.
    pub day_doses: Vec<OfDay>,
    /// Digs for what is new.
    pub pits: Vec<Pit>,
    /// The days of it; none where the job does not say when it starts, or its steps go round in a circle.
    pub days: Option<Days>,
    /// The days as they were planned, where something was recorded; not worked out for a mere check.
    pub planned_days: Option<Days>,
    /// Why there is no plan by days.
    pub day_troubles: Vec<DayTrouble>,
    /// How many waits between steps were followed at most.
    pub waits: usize,
    /// What is wrong with rows of holes, by block.
    pub row_troubles: Vec<(BlockId, RowTrouble)>,
    /// What is wrong with bars, by block.
    pub bar_troubles: Vec<(BlockId, BarTrouble)>,
    /// What really happened.
    pub facts: Facts,
    /// Sections as they were measured.
    pub sizes: Sizes,
    /// The holes as they were drilled.
    pub holes_done: HolesDone,
    /// What came of the order of work.
    pub done: Done,
    /// The worked numbers; empty for a mere check.
    pub ledger: Ledger,
}

impl Works {
    /// How many bars of a block are recorded as left out; those of holes left empty among them.
    #[must_use]
    pub fn left_out(&self, bars: BlockId) -> u64 {
        self.facts.left_out.get(&bars).map_or(0, |used| used.count)
    }
}

/// From so many kinds of pieces on, cutting them takes longer than starting a thread for it.
const KINDS: usize = 4;

/// Works out a job, on the plan or with facts laid over it. The ledger is kept if `keep` says so.
#[must_use]
pub fn works(job: &Job, facts: &Facts, limits: &Limits, keep: bool) -> Works {
    let mut works = Works { standing: concrete::standing(job), ledger: Ledger::new(keep), ..Works::default() };
    works.sections = concrete::sections(job, &mut works.standing);
    works.solids = concrete::solids(job, &mut works.standing, &works.sections);
    if works.solids.pours.iter().any(|solid| !solid.joints.is_empty()) {
        works.turn = plan::pours_in_turn(job, &works.solids, limits.waits);
    }
    concrete::enter_solids(job, &works.sections, &works.solids, &mut works.ledger);
    works.strips = sitework::strips(&works.solids);
    works.debris = sitework::debris(job, &works.strips);
    works.saws = sitework::saws(job, &mut works.standing);
    works.injections = sitework::injections(job, &mut works.standing);
    works.patches = sitework::patches(job, &mut works.standing);
    works.digs = sitework::digs(job, &works.standing, &works.sections);
    works.propped = sitework::propped(job);
    sitework::enter(job, &works.standing, &works.strips, &mut works.ledger);
    sitework::enter_debris(job, &works.debris, &mut works.ledger);
    sitework::enter_saws(job, &works.saws, &mut works.ledger);
    sitework::enter_mending(job, &works.injections, &works.patches, &mut works.ledger);
    works.obstacles = holes::obstacles(job, &mut works.standing);
    lay_out_holes(job, limits, &mut works);
    // Each pair that meets is kept and told.
    let meetings = holes::meetings(&works.sets, &works.standing, limits.pairs / 100);
    (works.meetings, works.close, works.crowded) = (meetings.meet, meetings.close, meetings.crowded);
    works.around = holes::around(job, &works.standing, &works.sections, &works.sets);
    let (standing, sections, obstacles) = (&works.standing, &works.sections, &works.obstacles);
    works.holes_done = holes::as_done(job, standing, sections, obstacles, &works.sets, facts);
    holes::enter_done(job, &works.sets, &works.holes_done, &mut works.ledger);
    make_bars(job, limits, &mut works);
    works.on_bars = steel::drilled_into(job, &works.standing, &works.sets, &works.bars);
    let clearances = || steel::clearances(job, beside(&works), &works.bars, limits.pairs);
    let asked_alone = !works.ledger.is_on();
    let steel_in = || steel::steel_in(job, &works.standing, &works.sections, &works.sets, &works.bars, asked_alone);
    (works.clearances, works.steel_in) = cores::both(steel::is_heavy(&works.bars), clearances, steel_in);
    steel::enter_kept_clear(job, &works.clearances.kept_clear, &mut works.ledger);
    works.tying = steel::tying(job, &works.standing, &works.sections, &works.solids, &works.bars, &works.clearances);
    works.covers = steel::judge(job, &works.bars, &works.clearances, &mut works.ledger);
    steel::enter_steel(job, &works.steel_in, &mut works.ledger);
    let (standing, sections, solids) = (&works.standing, &works.sections, &works.solids);
    works.stones = steel::stones(job, standing, sections, solids, &works.clearances, &works.covers);
    steel::enter_stones(job, &works.stones, &mut works.ledger);
    // Where weather changes, resin and fresh concrete are judged by that of their days, which are known later.
    let by_day = job.head.as_ref().is_some_and(|head| head.say.weather.0.len() > 1);
    if !by_day {
        fill_holes(job, &mut works);
    }
    for solid in &works.solids.pours {
        let Some(pour) = job.pour(solid.pour) else { continue };
        match concrete::mixing(job, pour, solid, filled(&works.patches, pour.id)) {
            Ok(mixing) => works.mixings.push(mixing),
            Err(unmixed) => works.unmixed.push((pour.id, unmixed)),
        }
    }
    plan_pours(job, &mut works);
    for mixing in &works.mixings {
        let Some(solid) = works.solids.of(mixing.pour) else { continue };
        concrete::enter_mixing(job, mixing, solid.top - solid.bottom, &mut works.ledger);
    }
    concrete::enter_mixings(job, &works.mixings, &mut works.ledger);
    for placing in &works.placings {
        placing::enter(job, placing, &mut works.ledger);
        if !by_day {
            placing::enter_holds(job, placing, &mut works.ledger);
        }
    }
    build_forms(job, &mut works);
    let solved = Solved::default();
    // Which boards are cut from what is seldom a short question, and nothing hangs on it until things are bought.
    let boards = formwork::problems(job, &works.forms, Shops::of(job));
    let solve = || boards.iter().map(Problem::solve).collect::<Vec<_>>();
    let is_long = boards.iter().any(|problem| problem.pieces.len() >= KINDS);
    let (plans, ()) = cores::both(is_long, solve, || put_in_order(job, facts, limits, &mut works, &solved));
    solved.know(boards.into_iter().zip(plans));
    if by_day {
        fill_holes(job, &mut works);
        judge_pours(job, facts, &mut works);
    }
    works.boards = formwork::boards(job, &works.forms, Shops::of(job), &solved);
    buy(job, facts, &mut works, &solved);
    let (rank, poured) = (placed_in_order(job, &works.plan), poured_in_order(job, &works.plan));
    let ranks = steel::Ranks { placed: &rank, poured: &poured };
    let mut tying = std::mem::take(&mut works.tying);
    steel::hold(job, beside(&works), &works.bars, &works.clearances, ranks, &mut tying);
    works.tying = tying;
    let drilled = in_order(job, &works.plan, &|verb, _| verb == "drill");
    works.before_drills = steel::before_drills(job, &works.standing, &works.sets, &works.bars, &rank, &drilled);
    // A look at one way in costs as much as four pairs.
    works.ways_in = steel::ways_in(job, &works.standing, &works.sets, &works.bars, &rank, limits.pairs / 4);
    let sheet = |pour: BlockId| works.placings.iter().find(|placing| placing.pour == pour).map(Placing::lasts);
    // A bar that is set in a hole goes with it.
    let empty = works.bars.iter().filter_map(|made| {
        let holes = job.bars_of(made.id)?.say.holes?.value.0;
        Some((made.id, works.holes_done.lost(holes))).filter(|(_, lost)| *lost > 0)
    });
    let facts = &facts.settled(|bars| steel::made(&works.bars, bars).map(|made| made.count), empty);
    outcome::enter(job, &works.plan, facts, &works.mixings, &sheet, &mut works.ledger);
    works.sizes = outcome::sizes(job, &works.standing, &works.sections, facts, &mut works.ledger);
    works.facts = facts.clone();
    works
}

/// The order of work and its days, and what is cut and cured by them.
fn put_in_order(job: &Job, facts: &Facts, limits: &Limits, works: &mut Works, solved: &Solved) {
    steel::enter_tying(job, &works.tying, &mut works.ledger);
    if works.ledger.is_on() {
        inform(job, works);
    }
    works.cuts = steel::cut_plans(job, &works.bars, Shops::of(job), solved);
    let made: BTreeMap<BlockId, u64> = works.bars.iter().map(|bars| (bars.id, bars.count)).collect();
    let count = |thing| works.sets.get(&thing).map(|set| set.count).or_else(|| made.get(&thing).copied());
    let amount = |thing, measure| amounts::amount(job, works, thing, measure);
    let outside = |trouble: &BarTrouble| {
        matches!(trouble, BarTrouble::Rows(RowTrouble::Outside { .. }) | BarTrouble::NothingToFollow { .. })
    };
    let misplaced: BTreeSet<BlockId> =
        works.bar_troubles.iter().filter(|(_, trouble)| outside(trouble)).map(|(bars, _)| *bars).collect();
    let misplaced = |bars| misplaced.contains(&bars);
    let counted = plan::Counted { pieces: &count, amount: &amount, misplaced: &misplaced };
    works.plan = plan(job, &counted, &works.solids, limits.waits);
    plan::enter(job, &works.plan, &mut works.ledger);
    works.waits = limits.waits;
    works.done = plan::done(job, &works.plan, facts);
    plan_days(job, facts, works);
    if let Some(days) = &works.days {
        works.plan.order = days.in_order(&works.plan);
    }
    look_after(job, works);
    let poured = |pour| poured_at(job, facts, works.days.as_ref(), pour).unwrap_or(Duration::ZERO);
    works.cures = curing::cures(job, &works.standing, &works.sections, &poured, facts);
    curing::enter(job, &works.cures, &mut works.ledger);
}

/// The place in the order of work of the step that sets or places each block of bars; of several the first.
fn placed_in_order(job: &Job, plan: &Plan) -> BTreeMap<BlockId, usize> {
    in_order(job, plan, &|_, thing| job.bars_of(thing).is_some())
}

/// The same of the step that pours each pour.
fn poured_in_order(job: &Job, plan: &Plan) -> BTreeMap<BlockId, usize> {
    in_order(job, plan, &|verb, _| verb == "pour")
}

fn in_order(job: &Job, plan: &Plan, is_meant: &dyn Fn(&str, BlockId) -> bool) -> BTreeMap<BlockId, usize> {
    let mut rank = BTreeMap::new();
    for (place, step) in plan.order.iter().enumerate() {
        let works = job.step(*step).into_iter().flat_map(|step| &step.say.work.0);
        for (verb, thing) in works.flat_map(|work| work.things.iter().map(|thing| (work.verb, thing.value))) {
            if is_meant(verb, thing) {
                rank.entry(thing).or_insert(place);
            }
        }
    }
    rank
}

/// What a pour fills of broken places.
fn filled(patches: &[Patch], pour: BlockId) -> Volume {
    patches.iter().filter(|patch| patch.pour == Some(pour)).map(|patch| patch.volume).sum()
}

fn plan_pours(job: &Job, works: &mut Works) {
    for mixing in &mut works.mixings {
        let Some(solid) = works.solids.of(mixing.pour) else { continue };
        let patches = patches_of(job, &works.patches, mixing.pour);
        match placing::placing(job, &works.sections, solid, mixing, &patches) {
            Some(Ok(placing)) => {
                mixing.walk(placing.went.batches.iter().map(|batch| batch.loads).collect());
                works.placings.push(placing);
            }
            Some(Err(trouble)) => works.placing_troubles.push((mixing.pour, trouble)),
            None => {}
        }
    }
}

fn plan_days(job: &Job, facts: &Facts, works: &mut Works) {
    match laid_out(job, facts, works) {
        Some(Ok(days)) => works.days = Some(days),
        Some(Err(troubles)) => works.day_troubles = troubles,
        None => {}
    }
    if works.ledger.is_on() && !facts.is_empty() {
        works.planned_days = laid_out(job, &Facts::default(), works).and_then(Result::ok);
    }
}

fn laid_out(job: &Job, facts: &Facts, works: &Works) -> Option<Result<Days, Vec<DayTrouble>>> {
    let (weathers, _) = curing::Weathers::of(job);
    let pour = |pour: BlockId| {
        let placing = works.placings.iter().find(|placing| placing.pour == pour)?;
        Some((placing.lasts(), placing.plan.crew.people))
    };
    let hard = |pour: BlockId, act: curing::Act, start: Duration| {
        let cure = job.cures.iter().find(|cure| cure.say.of.value.0 == pour);
        let cured =
            cure.and_then(|cure| curing::cured(job, &works.standing, &works.sections, &weathers, cure, start, facts));
        let ready = cured.iter().flat_map(|cured| &cured.readies).find(|ready| ready.act == act);
        let unsaid = || match act {
            curing::Act::Strip => {
                curing::usual_strip(&weathers, cure, start).map_or(plan::Hardened::Never, plan::Hardened::After)
            }
            curing::Act::Load | curing::Act::Backfill => plan::Hardened::Unsaid,
        };
        match ready.map(|ready| (ready.planned, ready.earliest, ready.is_never())) {
            Some((_, _, true)) => plan::Hardened::Never,
            Some((planned, earliest, false)) => {
                let latest = planned.into_iter().chain(earliest).reduce(Duration::max);
                latest.map_or_else(unsaid, plan::Hardened::After)
            }
            None => unsaid(),
        }
    };
    // What props carried comes upon the concrete when they are gone.
    let bears = |pour: BlockId, start: Duration| match hard(pour, curing::Act::Load, start) {
        plan::Hardened::Unsaid => {
            curing::usual_load(job, &weathers, pour, start).map_or(plan::Hardened::Never, plan::Hardened::After)
        }
        known => known,
    };
    let left_out = |bars: BlockId| {
        let holes = job.bars_of(bars).and_then(|bars| bars.say.holes).filter(|_| !facts.is_empty());
        let lost = holes.map_or(0, |holes| works.holes_done.lost(holes.value.0));
        facts.left_out.get(&bars).map_or(0, |used| used.count).max(lost)
    };
    let covers = |pour: BlockId| {
        let formed =
            |section| works.forms.iter().any(|forms| forms.panels.iter().any(|panel| panel.section == section));
        let covered = |solid: &PourSolid| solid.covered_by(solid.sections.iter().any(|(section, _)| formed(*section)));
        works.solids.of(pour).map_or_else(Vec::new, covered)
    };
    let sets = |pour: BlockId, start: Duration| {
        let cure = job.cures.iter().find(|cure| cure.say.of.value.0 == pour);
        let warm = cure
            .and_then(|cure| curing::cured(job, &works.standing, &works.sections, &weathers, cure, start, facts))
            .and_then(|cured| cured.warmth);
        sets_in(job, &weathers, pour, start, warm)
    };
    let known = plan::Known {
        pour: &pour,
        hard: &hard,
        bears: &bears,
        sets: &sets,
        covers: &covers,
        left_out: &left_out,
        facts,
    };
    plan::days(job, &works.plan, &known)
}

/// How long a pour takes to set: at the coldest of the day it is poured on and the one after it, or as warm as it is kept.
fn sets_in(
    job: &Job,
    weathers: &curing::Weathers,
    pour: BlockId,
    start: Duration,
    warm: Option<curing::Warmth>,
) -> Duration {
    let lows = weathers.between(start, start + Duration::from_days(1.0)).map(|said| said.value.air.from);
    let coldest = lows.reduce(|one, two| if two < one { two } else { one });
    let at = coldest.map(|coldest| warm.map_or(coldest, |warm| coldest.max(warm.at)));
    let mix = job.pour(pour).and_then(|pour| job.mix(pour.say.mix.0));
    mix.map_or(handwork::SETTING.value.reference, |mix| placing::sets(&mix.say, at))
}

/// How long after the job's start a pour is done, as recorded or planned; none where nothing says it.
fn poured_at(job: &Job, facts: &Facts, days: Option<&Days>, pour: BlockId) -> Option<Duration> {
    let start = job.head.as_ref().and_then(|head| head.say.start);
    let recorded = start.and_then(|start| facts.poured(pour, start)).map(|hours| hours.to);
    recorded.or_else(|| poured(job, days, pour))
}

fn poured(job: &Job, days: Option<&Days>, pour: BlockId) -> Option<Duration> {
    let pours = |dated: &&plan::Dated| {
        let works = job.step(dated.node).into_iter().flat_map(|step| &step.say.work.0);
        works.filter(|work| work.verb == "pour").flat_map(|work| &work.things).any(|thing| thing.value == pour)
    };
    let dated = days.and_then(|days| days.done.iter().filter(pours).map(|dated| dated.placed.finish).max());
    dated.map(|finish| Duration::from_seconds(finish as f64))
}

/// Judges pours by the weather of their days, where these are known.
fn judge_pours(job: &Job, facts: &Facts, works: &mut Works) {
    let (weathers, _) = curing::Weathers::of(job);
    let days = works.days.as_ref();
    for placing in &mut works.placings {
        let air =
            poured_at(job, facts, days, placing.pour).and_then(|poured| weathers.at(poured)).map(|at| at.value.air);
        if let (Some(air), Some(solid)) = (air, works.solids.of(placing.pour)) {
            let patches = patches_of(job, &works.patches, placing.pour);
            placing::judge_by(job, &works.sections, solid, &patches, air, placing);
        }
        placing::enter_holds(job, placing, &mut works.ledger);
    }
}

/// The broken places a pour fills, each with its level.
fn patches_of(job: &Job, patches: &[Patch], pour: BlockId) -> Vec<(Length, Volume)> {
    let mine = patches.iter().filter(|patch| patch.pour == Some(pour));
    mine.filter_map(|patch| Some((job.spall(patch.spall)?.say.height.from, patch.volume))).collect()
}

/// What is bought, of whom, and what it costs. Where the cheapest split leaves a supplier out, what is cut is cut from the
/// others' stock.
fn buy(job: &Job, facts: &Facts, works: &mut Works, solved: &Solved) {
    let list = |works: &Works| {
        let around = buying::Around {
            mixings: &works.mixings,
            facts,
            bars: &works.bars,
            cuts: &works.cuts,
            tying: &works.tying,
            boards: &works.boards,
            saws: &works.saws,
            sets: &works.sets,
            resins: &works.resins,
            forms: &works.forms,
            pours: &works.solids.pours,
            placings: &works.placings,
            at_steps: &works.at_steps,
            ends: &works.ends,
        };
        buying::lines(job, &around)
    };
    works.buying = list(works);
    let split = buying::split(job, &works.buying, buying::CutOf { bars: &works.bars, forms: &works.forms, solved });
    if let Some(split) = &split {
        let shops = Shops::Among(&split.from);
        works.cuts = steel::cut_plans(job, &works.bars, shops, solved);
        works.boards = formwork::boards(job, &works.forms, shops, solved);
        works.buying = list(works);
    }
    let made = buying::Made {
        lines: &works.buying,
        bars: &works.bars,
        mixings: &works.mixings,
        facts,
        cuts: &works.cuts,
        boards: &works.boards,
        forms: &works.forms,
        debris: &works.debris,
        plan: &works.plan,
        days: works.days.as_ref(),
    };
    works.bill = buying::bill(job, &made, split);
    steel::enter_cuts(job, &works.cuts, &mut works.ledger);
    buying::enter(job, &works.buying, &works.mixings, facts, &works.fills, &works.bars, &mut works.ledger);
    buying::enter_money(job, &works.buying, &works.bill, &mut works.ledger);
}

fn build_forms(job: &Job, works: &mut Works) {
    if job.forms.is_empty() {
        return;
    }
    let later = |one: BlockId, other: BlockId| works.turn.get(&other) > works.turn.get(&one);
    let formed = concrete::formed(job, &mut works.standing, &works.sections, &works.solids, &later);
    let rise = works.placings.iter().filter_map(|placing| Some((placing.pour, placing.rise()?))).collect();
    let rods = rods(job, works);
    let laid = laid(job, works);
    let around = formwork::Around {
        standing: &works.standing,
        sections: &works.sections,
        solids: &works.solids,
        formed: &formed,
        turn: &works.turn,
        rise: &rise,
        rods: &rods,
        laid: &laid,
        coldest: job.air().map(|air| air.from.value),
    };
    works.forms = formwork::forms(job, around);
    formwork::enter(job, &works.forms, &mut works.ledger);
}

/// What the ties of forms keep clear of: holes, bars and things kept clear; nothing in a job without ties.
fn rods(job: &Job, works: &Works) -> Vec<formwork::Rod> {
    let mut out = Vec::new();
    if job.forms.iter().all(|forms| forms.say.ties.is_none()) {
        return out;
    }
    for clear in &job.clears {
        let things = works.obstacles.of(clear.id).iter().filter_map(|thing| {
            let (segment, tall) = thing.in_face(&works.standing)?;
            Some(formwork::Rod::thing(thing.thing, segment, thing.radius, tall))
        });
        out.extend(things);
    }
    for set in works.sets.values() {
        let segments = set.each().filter_map(|hole| set.segment(&hole, &works.standing));
        out.extend(segments.map(|segment| formwork::Rod::hole(set.id, segment, set.wide)));
    }
    for made in &works.bars {
        let pieces = steel::pieces(made, &works.sets, &works.standing, steel::CHORD);
        out.extend(pieces.map(|(_, segment)| formwork::Rod::bar(made.id, segment, made.steel.diameter)));
    }
    out
}

/// What bars lie in and beside.
fn beside(works: &Works) -> steel::Beside<'_> {
    steel::Beside {
        standing: &works.standing,
        sections: &works.sections,
        solids: &works.solids,
        sets: &works.sets,
        obstacles: &works.obstacles,
    }
}

/// What lies in the floors before forms that are fixed to them; nothing in a job without such forms.
fn laid(job: &Job, works: &Works) -> formwork::InFloor {
    if !job.forms.iter().any(|forms| formwork::is_on_floor(&forms.say)) {
        return formwork::InFloor::default();
    }
    let all = job.clears.iter().flat_map(|clear| works.obstacles.of(clear.id));
    formwork::InFloor::new(all.filter_map(|thing| {
        let holes::Lies::Offsets(offsets) = thing.lies else { return None };
        let out = (offsets.from - thing.radius, offsets.to + thing.radius);
        Some((thing.on, formwork::Laid { of: thing.thing, along: (thing.from, thing.to), out }))
    }))
}

fn lay_out_holes(job: &Job, limits: &Limits, works: &mut Works) {
    let mut left = limits.parts;
    let mut troubles = Vec::new();
    let bars = holes::bars_set(job);
    for holes in &job.holes {
        let bar = bars.get(&holes.id).copied();
        let (standing, sections, obstacles) = (&mut works.standing, &works.sections, &works.obstacles);
        let set = holes::lay_out(job, standing, sections, obstacles, holes, bar, left, &mut troubles);
        works.row_troubles.extend(troubles.drain(..).map(|trouble| (holes.id, trouble)));
        if let Some(set) = set {
            left = left.saturating_sub(set.count);
            holes::enter(job, &works.standing, &set, &mut works.ledger);
            works.sets.insert(holes.id, set);
        }
    }
}

fn make_bars(job: &Job, limits: &Limits, works: &mut Works) {
    let mut left = limits.parts;
    let mut troubles: BTreeMap<BlockId, Vec<BarTrouble>> = BTreeMap::new();
    let long = steel::LongBars::new(job, &works.standing, &works.sections);
    for bars in &job.bars {
        let found = troubles.entry(bars.id).or_default();
        let (standing, sections, sets) = (&mut works.standing, &works.sections, &works.sets);
        if let Some(made) = steel::bars(job, standing, sections, sets, &long, bars, left, None, found) {
            left = left.saturating_sub(made.count);
            works.bars.push(made);
        }
    }
    // What is bought hangs on all laps of a size at once: they are chosen when all bars are known.
    for (id, chosen) in steel::choose_laps(job, &works.bars) {
        let Some(bars) = job.bars_of(id) else { continue };
        // They stand in the order they are written.
        let at = works.bars.binary_search_by_key(&id, |made| made.id).ok();
        let Some(before) = at.and_then(|at| works.bars.get_mut(at)) else { continue };
        let (standing, sections, sets) = (&mut works.standing, &works.sections, &works.sets);
        let mut found = Vec::new();
        let limit = left.saturating_add(before.count);
        if let Some(made) = steel::bars(job, standing, sections, sets, &long, bars, limit, Some(&chosen), &mut found) {
            left = limit.saturating_sub(made.count);
            *before = made;
            troubles.insert(id, found);
        }
    }
    let found = job.bars.iter().filter_map(|bars| Some((bars.id, troubles.remove(&bars.id)?)));
    works.bar_troubles.extend(found.flat_map(|(id, all)| all.into_iter().map(move |trouble| (id, trouble))));
    steel::mark(job, &mut works.bars);
    steel::enter(job, &works.standing, &works.bars, &mut works.ledger);
}

/// What the work does to those who do it.
fn look_after(job: &Job, works: &mut Works) {
    let beside = hazards::Beside::new(&works.bars, &works.mixings, &works.placings, &works.debris, &works.plan);
    works.at_steps = hazards::at_steps(job, &beside);
    works.pits = hazards::pits(job, &works.standing, &works.sections, &works.solids, &works.forms);
    works.day_doses = works.days.as_ref().map_or_else(Vec::new, |days| hazards::by_day(days, &works.at_steps));
    works.ends = hazards::ends(job, &works.standing, &works.sections, &works.sets, &works.bars, &works.plan);
    if works.ledger.is_on() {
        hazards::enter(job, &beside, &works.at_steps, &mut works.ledger);
        hazards::enter_days(&works.day_doses, &mut works.ledger);
        hazards::enter_ends(job, &works.ends, &mut works.ledger);
        hazards::enter_pits(job, &works.pits, &mut works.ledger);
    }
}

/// Figures for an engineer: only papers show them.
fn inform(job: &Job, works: &mut Works) {
    works.anchored = steel::anchored(
        job,
        &works.standing,
        &works.sets,
        &works.around,
        &works.holes_done,
        &works.bars,
        &mut works.ledger,
    );
    works.joints = steel::joints(
        job,
        &works.standing,
        &works.sections,
        &works.solids,
        &works.sets,
        &works.holes_done,
        &works.bars,
        &works.anchored,
        &mut works.ledger,
    );
}

fn fill_holes(job: &Job, works: &mut Works) {
    // The size of the bars set in each block of holes.
    let mut set_in: BTreeMap<BlockId, steel::Steel> = BTreeMap::new();
    for made in &works.bars {
        for group in &made.groups {
            if let steel::Place::Holes(holes) = group.place {
                set_in.entry(holes).or_insert(made.steel);
            }
        }
    }
    let takes = holes::set_times(job);
    for holes in &job.holes {
        let Some(set) = works.sets.get(&holes.id) else { continue };
        let (bar, takes) = (set_in.get(&holes.id).map(|size| size.diameter), takes.get(&holes.id).copied());
        let when = set_on(job, works.days.as_ref(), holes.id);
        if let Some(fill) = holes::fill(job, holes, set, bar, takes, when) {
            works.fills.push(fill);
        }
    }
    works.resins = holes::orders(job, &works.fills, works.injections.iter().map(|one| (one.resin, one.order)));
    let sizes = set_in.into_iter().map(|(holes, size)| (holes, size.id)).collect();
    holes::enter_fills(job, &works.fills, &sizes, &mut works.ledger);
}

/// From when to when after the job's start the bars of a block of holes are set; none where no day is known.
fn set_on(job: &Job, days: Option<&Days>, holes: BlockId) -> Option<Range<Duration>> {
    let sets = |node: BlockId| {
        let works = job.step(node).into_iter().flat_map(|step| &step.say.work.0).filter(|work| work.verb == "set");
        let mut bars = works.flat_map(|work| &work.things).filter_map(|thing| job.bars_of(thing.value));
        bars.any(|bars| bars.say.holes.is_some_and(|set| set.value.0 == holes))
    };
    let placed = days?.done.iter().filter(|dated| sets(dated.node)).map(|dated| &dated.placed);
    let (from, to) = placed.fold((i64::MAX, i64::MIN), |all, one| (all.0.min(one.start), all.1.max(one.finish)));
    let time = |seconds: i64| Duration::from_seconds(seconds as f64);
    (from <= to).then(|| Range { from: time(from), to: time(to) })
}

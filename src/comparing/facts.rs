//! What a version comes to: the things of each group with their values.

use std::collections::BTreeMap;

use super::{Group, Names, Thing, Value, What, money};
use crate::{
    buying::Line,
    compile::Compiled,
    concrete::classes_in_order,
    job::Job,
    scheduling::DAY,
    schema::{BlockId, KindId, Pack},
    steel::{BarsMade, Shape},
    units::{Area, Duration, Length, Mass},
};

/// How the things of a group are found.
type Things = fn(&Compiled, &Names) -> Vec<Thing>;

/// All groups, in the order they are told.
pub(super) const GROUPS: [(Group, Things); 12] = [
    (Group::Whole, whole),
    (Group::Section, sections),
    (Group::Face, faces),
    (Group::Pour, pours),
    (Group::Site, site),
    (Group::Holes, holes),
    (Group::Bars, bars),
    (Group::Bought, bought),
    (Group::Money, costs),
    (Group::Step, steps),
    (Group::Acceptance, acceptances),
    (Group::Question, questions),
];

/// A thing of the job, by the name of its block.
fn named(job: &Job, names: &Names, id: BlockId, facts: Vec<(What, Value)>) -> Thing {
    Thing { name: names.of(job.name(id)), facts }
}

fn whole(compiled: &Compiled, _: &Names) -> Vec<Thing> {
    let works = &compiled.works;
    let mut facts = Vec::new();
    if !works.solids.pours.is_empty() {
        facts.push((What::Concrete, Value::Volume(works.solids.total)));
    }
    if !works.mixings.is_empty() {
        facts.push((What::Bags, Value::Count(works.mixings.iter().map(|mixing| mixing.bags).sum())));
    }
    if !works.sets.is_empty() {
        facts.push((What::Holes, Value::Count(works.sets.values().map(|set| set.count).sum())));
    }
    if !works.bars.is_empty() {
        facts.push((What::Bars, Value::Count(works.bars.iter().map(|bars| bars.count).sum())));
        let weight = works.bars.iter().fold(Mass::from_kg(0.0), |sum, bars| sum + bars.weight);
        facts.push((What::BarsWeigh, Value::Mass(weight)));
    }
    if let Some(days) = &works.days {
        facts.push((What::Starts, Value::When(days.start, 0)));
        let ends = days.all_done().map(|day| Value::When(day, days.ends.rem_euclid(DAY)));
        facts.extend(ends.map(|ends| (What::Ends, ends)));
    }
    vec![Thing { name: String::new(), facts }]
}

fn sections(compiled: &Compiled, names: &Names) -> Vec<Thing> {
    let works = &compiled.works;
    let poured: BTreeMap<BlockId, _> =
        works.solids.pours.iter().flat_map(|pour| pour.sections.iter().copied()).collect();
    let section = |placed: &crate::concrete::Placed| {
        let mut facts = vec![(What::Bottom, Value::Place(placed.bottom)), (What::Top, Value::Place(placed.top))];
        let length: Length = placed.intervals.iter().map(|part| part.end - part.start).sum();
        facts.push((What::Length, Value::Length(length)));
        facts.extend(poured.get(&placed.id).map(|volume| (What::Volume, Value::Volume(*volume))));
        named(&compiled.job, names, placed.id, facts)
    };
    works.sections.placed.iter().map(section).collect()
}

fn faces(compiled: &Compiled, _: &Names) -> Vec<Thing> {
    let area = |class| compiled.works.solids.pours.iter().map(|pour| pour.areas.of(class)).sum::<Area>();
    let faces = classes_in_order().into_iter().map(|class| (class, area(class))).filter(|(_, area)| *area > Area::ZERO);
    faces
        .map(|(class, area)| Thing { name: class.word().to_owned(), facts: vec![(What::Area, Value::Area(area))] })
        .collect()
}

fn pours(compiled: &Compiled, names: &Names) -> Vec<Thing> {
    let works = &compiled.works;
    let pour = |solid: &crate::concrete::PourSolid| {
        let mut facts = vec![(What::Volume, Value::Volume(solid.volume))];
        if let Some(mixing) = works.mixings.iter().find(|mixing| mixing.pour == solid.pour) {
            facts.push((What::Mixed, Value::Volume(mixing.wanted)));
            facts.push((What::Bags, Value::Count(mixing.bags)));
            facts.push((What::Waste, Value::Ratio(mixing.waste)));
            facts.extend(mixing.batches.map(|batches| (What::Batches, Value::Count(batches))));
        }
        if let Some(placing) = works.placings.iter().find(|placing| placing.pour == solid.pour) {
            facts.push((What::Lasts, Value::Time(placing.lasts())));
            let wait = placing.went.longest.map(|wait| Duration::from_seconds(wait.lasts as f64));
            facts.extend(wait.map(|wait| (What::LongestWait, Value::Time(wait))));
        }
        named(&compiled.job, names, solid.pour, facts)
    };
    works.solids.pours.iter().map(pour).collect()
}

fn site(compiled: &Compiled, names: &Names) -> Vec<Thing> {
    let (job, works) = (&compiled.job, &compiled.works);
    let mut out = Vec::new();
    for saw in &works.saws {
        let facts = vec![(What::Length, Value::Length(saw.length)), (What::Depth, Value::Length(saw.deep))];
        out.push(named(job, names, saw.id, facts));
    }
    for strip in &works.strips {
        let facts = vec![
            (What::Area, Value::Area(strip.area)),
            (What::Thick, Value::Length(strip.thick)),
            (What::Volume, Value::Volume(strip.volume)),
        ];
        out.push(named(job, names, strip.id, facts));
    }
    for crack in &works.injections {
        let facts = vec![
            (What::Length, Value::Length(crack.length)),
            (What::Resin, Value::Fluid(crack.order)),
            (What::Count, Value::Count(crack.ports)),
        ];
        out.push(named(job, names, crack.crack, facts));
    }
    for patch in &works.patches {
        let facts = vec![(What::Area, Value::Area(patch.area)), (What::Volume, Value::Volume(patch.volume))];
        out.push(named(job, names, patch.spall, facts));
    }
    out
}

fn holes(compiled: &Compiled, names: &Names) -> Vec<Thing> {
    let (job, works) = (&compiled.job, &compiled.works);
    let set = |set: &crate::holes::Set| {
        let into = names.of(job.name(set.into.block));
        let into = if set.into.top { format!("the top of {into}") } else { into };
        let mut facts = vec![
            (What::Into, Value::Text(into)),
            (What::Count, Value::Count(set.count)),
            (What::Bore, Value::Length(set.wide)),
            (What::Depth, Value::Length(set.deep)),
        ];
        if let Some(fill) = works.fills.iter().find(|fill| fill.holes == set.id) {
            facts.push((What::Resin, Value::Fluid(fill.wanted)));
        }
        named(job, names, set.id, facts)
    };
    works.sets.values().map(set).collect()
}

fn bars(compiled: &Compiled, names: &Names) -> Vec<Thing> {
    let job = &compiled.job;
    let set = |made: &BarsMade| {
        let facts = vec![
            (What::Size, Value::Text(names.of(job.name(made.steel.id)))),
            (What::Count, Value::Count(made.count)),
            (What::Length, Value::Cut(made.length)),
            (What::Weight, Value::Mass(made.weight)),
            (What::Shapes, Value::Shapes(shapes(made))),
        ];
        named(job, names, made.id, facts)
    };
    compiled.works.bars.iter().map(set).collect()
}

/// How many pieces there are of each shape, in the order of their marks.
fn shapes(made: &BarsMade) -> Vec<(u64, Shape)> {
    let mut out: Vec<(u64, Shape)> = Vec::new();
    let mut groups: Vec<_> = made.groups.iter().collect();
    groups.sort_by_key(|group| group.mark);
    for group in groups {
        match out.last_mut().filter(|(_, shape)| *shape == group.shape) {
            Some((count, _)) => *count += group.count,
            None => out.push((group.count, group.shape.clone())),
        }
    }
    out
}

fn bought(compiled: &Compiled, names: &Names) -> Vec<Thing> {
    let job = &compiled.job;
    let packs = |count: Option<u64>| count.map(|count| (What::Packs, Value::Count(count)));
    let line = |line: &Line| match line {
        Line::Bags { mix, count, weight } => {
            let facts = vec![(What::Packs, Value::Count(*count)), (What::Weight, Value::Mass(*weight))];
            named(job, names, *mix, facts)
        }
        Line::Resin { resin, volume, cartridges, nozzles, .. } => {
            let mut facts = vec![(What::Resin, Value::Fluid(*volume)), (What::Nozzles, Value::Count(*nozzles))];
            facts.extend(packs(*cartridges));
            named(job, names, *resin, facts)
        }
        Line::Bars { steel, bought, weight, .. } => {
            let mut facts = vec![(What::Weight, Value::Mass(*weight))];
            facts.extend(packs(bought.as_ref().map(|all| all.iter().map(|(_, count)| count).sum())));
            facts.extend(bought.as_ref().map(|all| (What::Lengths, Value::Lengths(all.clone()))));
            named(job, names, *steel, facts)
        }
        Line::Wire { wire, coils, length, weight, .. } => {
            let facts = vec![
                (What::Packs, Value::Count(*coils)),
                (What::Length, Value::Length(*length)),
                (What::Weight, Value::Mass(*weight)),
            ];
            named(job, names, *wire, facts)
        }
        Line::Supports { sort, count } => {
            Thing { name: sort.item().to_owned(), facts: vec![(What::Packs, Value::Count(*count))] }
        }
        Line::Forms { sort, count, lengths } => {
            let mut facts = vec![(What::Packs, Value::Count(*count))];
            if !lengths.is_empty() {
                facts.push((What::Lengths, Value::Lengths(lengths.clone())));
            }
            Thing { name: names.of(sort.item(job)), facts }
        }
        Line::Goods { sort, amount, .. } => {
            Thing { name: names.of(sort.item()), facts: amount.map(wanted).into_iter().collect() }
        }
        Line::Own { goods, amount } => named(job, names, *goods, vec![wanted(*amount)]),
    };
    compiled.works.buying.iter().map(line).collect()
}

/// How much of some goods is wanted.
fn wanted(pack: Pack) -> (What, Value) {
    match pack {
        Pack::Count(count) => (What::Packs, Value::Count(count.unsigned_abs())),
        Pack::Length(length) => (What::Length, Value::Length(length)),
        Pack::Area(area) => (What::Area, Value::Area(area)),
        Pack::Volume(volume) => (What::Volume, Value::Volume(volume)),
        Pack::Mass(mass) => (What::Weight, Value::Mass(mass)),
    }
}

fn costs(compiled: &Compiled, names: &Names) -> Vec<Thing> {
    let totals = money::totals(compiled).into_iter();
    totals.map(|(of, money)| Thing { name: names.of(&of), facts: vec![(What::Amount, Value::Money(money))] }).collect()
}

/// All that stands in the order of work; with its days, where there are any. A question is a thing of its own.
fn steps(compiled: &Compiled, names: &Names) -> Vec<Thing> {
    let (job, works) = (&compiled.job, &compiled.works);
    let step = |node: &BlockId| {
        if job.kind(*node) == Some(KindId::Ask) {
            return None;
        }
        let mut facts = Vec::new();
        let days = works.days.as_ref();
        if let Some((days, dated)) = days.and_then(|days| Some((days, days.of(*node)?))) {
            let when = |time: i64| days.date(time).map(|day| Value::When(day, time.rem_euclid(DAY)));
            facts.extend(when(dated.placed.start).map(|begins| (What::Begins, begins)));
            facts.extend(when(dated.placed.finish).map(|ends| (What::Ends, ends)));
            facts.push((What::People, Value::Count(u64::from(dated.people))));
        }
        Some(named(job, names, *node, facts))
    };
    works.plan.order.iter().filter_map(step).collect()
}

fn acceptances(compiled: &Compiled, names: &Names) -> Vec<Thing> {
    let mut all: Vec<Thing> = compiled
        .job
        .accepts
        .iter()
        .map(|accept| {
            let mut facts = vec![(What::Because, Value::Text(accept.because.clone()))];
            facts.extend(accept.down_to.map(|limit| (What::DownTo, Value::Length(limit))));
            Thing { name: format!("{} on {}", accept.rule, names.of(&accept.thing)), facts }
        })
        .collect();
    // Two of one name are told apart by their words, wherever they stand.
    all.sort_by_cached_key(|thing| (thing.name.clone(), format!("{:?}", thing.facts)));
    all
}

fn questions(compiled: &Compiled, names: &Names) -> Vec<Thing> {
    let ask = |ask: &crate::job::Thing<crate::schema::Ask>| {
        let mut facts = vec![(What::Asks, Value::Text(ask.title.clone()))];
        facts.extend(ask.say.answered.as_ref().map(|answer| {
            let said = answer.said.as_ref().map_or_else(String::new, |said| format!(": {}", said.0));
            (What::Answer, Value::Text(format!("{}{said}", answer.on)))
        }));
        named(&compiled.job, names, ask.id, facts)
    };
    compiled.job.asks.iter().map(ask).collect()
}

//! What several jobs come to together: how much concrete, how many holes and bars, and one buy list in which like things are
//! added up before packs are rounded.
//!
//! Of each job only its share is kept, so that a yard of jobs takes no more memory than its longest list. Things are alike
//! where their names are and what a pack of them holds: two mixes called `bagged` with bags of another weight stay two.

use std::collections::BTreeMap;

use crate::{
    buying::{FormStuff, Line, Support},
    compile::Compiled,
    job::Job,
    problem::Level,
    schema::{BlockId, Pack},
    units::{Date, Length, Mass, System, Volume, whole_up},
};

/// What one job adds.
#[derive(Debug, Clone, PartialEq)]
pub struct Share {
    /// The job's title.
    pub title: String,
    /// Where it is.
    pub site: String,
    /// The units its papers are in.
    pub system: System,
    /// Something is left out because of errors.
    pub draft: bool,
    /// Its first and its last day, where they are known.
    pub days: Option<(Date, Date)>,
    /// Errors, warnings and pieces of advice.
    pub findings: [usize; 3],
    /// Concrete in the forms.
    pub concrete: Volume,
    /// Bags.
    pub bags: u64,
    /// Holes.
    pub holes: u64,
    /// Bars.
    pub bars: u64,
    /// What all that is bought by the pack weighs.
    pub weight: Mass,
    /// What is bought.
    needs: Vec<(Item, Need)>,
}

/// Something bought, by all that makes it another thing. The order is that of the buy list.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Item {
    /// Bags of a mix: what one weighs in milligrams, and what it yields.
    Bags {
        /// The mix.
        mix: String,
        /// What a bag weighs, in milligrams.
        weighs: i64,
        /// What it yields.
        yields: Volume,
    },
    /// Resin, and what a cartridge of it holds, where that is known.
    Resin {
        /// The resin.
        resin: String,
        /// What a cartridge holds.
        holds: Option<Volume>,
    },
    /// Bars: their diameter and the name of their size.
    Bars {
        /// Nominal diameter.
        diameter: Length,
        /// The name of the size.
        size: String,
    },
    /// Wire, and what a coil weighs in milligrams.
    Wire {
        /// The wire.
        wire: String,
        /// What a coil weighs, in milligrams.
        coil: i64,
    },
    /// Chairs under bars.
    Chairs,
    /// Spacers between bars and forms.
    Spacers,
    /// Boards of a size.
    Boards(String),
    /// Sheets of a size.
    Sheets(String),
    /// Nails for sheathing: 8d common.
    Nails8,
    /// Nails for joints: 16d.
    Nails16,
    /// Stakes.
    Stakes,
    /// Goods by their name.
    Goods(String),
}

/// How much of it, before packs are rounded.
#[derive(Debug, Clone, PartialEq)]
pub struct Need {
    /// Whole packs the jobs count by themselves: bags of each pour, bars and boards of each cutting plan.
    packs: u64,
    /// Packs as a number, where they are rounded up only for all jobs together.
    open: Option<f64>,
    /// A count is not known of some of it.
    pub uncounted: bool,
    /// What is wanted of a fluid.
    pub volume: Volume,
    /// Packs by their length, and how many of each.
    pub lengths: BTreeMap<Length, u64>,
    /// What the jobs' own packs of it weigh, where that is known.
    weight: Option<Mass>,
    /// Nozzles used up.
    pub nozzles: u64,
    /// How many jobs want it.
    pub jobs: usize,
}

impl Need {
    fn of(packs: u64) -> Need {
        Need {
            packs,
            open: None,
            uncounted: false,
            volume: Volume::ZERO,
            lengths: BTreeMap::new(),
            weight: None,
            nozzles: 0,
            jobs: 1,
        }
    }

    /// Whole packs of all jobs; none where a part of it is not counted.
    #[must_use]
    pub fn packs(&self) -> Option<u64> {
        (!self.uncounted).then(|| self.packs.saturating_add(self.open.map_or(0, whole_up)))
    }

    /// What it weighs, where that is known: of what is rounded up for all jobs together, as many packs as are bought.
    #[must_use]
    pub fn weighs(&self, item: &Item) -> Option<Mass> {
        match item {
            Item::Wire { coil, .. } => Some(from_milligrams(*coil) * self.packs()? as f64),
            _ => self.weight,
        }
    }

    fn add(&mut self, other: &Need) {
        self.packs = self.packs.saturating_add(other.packs);
        self.open = match (self.open, other.open) {
            (Some(one), Some(other)) => Some(one + other),
            (one, other) => one.or(other),
        };
        self.uncounted |= other.uncounted;
        self.volume += other.volume;
        for (length, count) in &other.lengths {
            *self.lengths.entry(*length).or_default() += count;
        }
        self.weight = match (self.weight, other.weight) {
            (Some(one), Some(other)) => Some(one + other),
            (one, other) => one.or(other),
        };
        self.nozzles = self.nozzles.saturating_add(other.nozzles);
        self.jobs += other.jobs;
    }
}

/// What all jobs come to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Gathered {
    /// How many jobs.
    pub jobs: usize,
    /// How many of them have errors, so that something is missing here.
    pub drafts: usize,
    /// The units of the first of them.
    pub system: Option<System>,
    /// Errors, warnings and pieces of advice.
    pub findings: [usize; 3],
    /// Concrete in the forms.
    pub concrete: Volume,
    /// Bags.
    pub bags: u64,
    /// Holes.
    pub holes: u64,
    /// Bars.
    pub bars: u64,
    /// What is bought.
    pub needs: BTreeMap<Item, Need>,
}

impl Gathered {
    /// Adds a job. The order of jobs changes nothing but whose units are taken.
    pub fn add(&mut self, share: &Share) {
        self.jobs += 1;
        self.drafts += usize::from(share.draft);
        self.system.get_or_insert(share.system);
        for (sum, number) in self.findings.iter_mut().zip(share.findings) {
            *sum += number;
        }
        self.concrete += share.concrete;
        self.bags = self.bags.saturating_add(share.bags);
        self.holes = self.holes.saturating_add(share.holes);
        self.bars = self.bars.saturating_add(share.bars);
        for (item, need) in &share.needs {
            match self.needs.get_mut(item) {
                Some(sum) => sum.add(need),
                None => {
                    self.needs.insert(item.clone(), need.clone());
                }
            }
        }
    }
}

/// What a job adds.
#[must_use]
pub fn share(compiled: &Compiled) -> Share {
    let (job, works) = (&compiled.job, &compiled.works);
    let number = |level| compiled.problems.iter().filter(|problem| problem.rule.level == level).count();
    let needs: Vec<(Item, Need)> = works.buying.iter().map(|line| need(compiled, line)).collect();
    let site =
        job.head.as_ref().and_then(|head| head.say.site.as_ref()).map_or_else(String::new, |site| site.0.clone());
    Share {
        title: job.title.clone(),
        site,
        system: job.system(),
        draft: compiled.has_errors(),
        days: works.days.as_ref().and_then(|days| Some((days.start, days.date(days.ends)?))),
        findings: [number(Level::Error), number(Level::Warning), number(Level::Advice)],
        concrete: works.solids.total,
        bags: works.mixings.iter().map(|mixing| mixing.bags).sum(),
        holes: works.sets.values().map(|set| set.count).sum(),
        bars: works.bars.iter().map(|bars| bars.count).sum(),
        weight: needs.iter().filter_map(|(_, need)| need.weight).fold(Mass::from_kg(0.0), |sum, weight| sum + weight),
        needs,
    }
}

/// Whole milligrams: an exact number to tell packs apart by.
fn milligrams(mass: Mass) -> i64 {
    // A float ends at the limits of a whole number.
    (mass.kg() * 1e6).round() as i64
}

/// A weight told in whole milligrams.
#[must_use]
pub fn from_milligrams(milligrams: i64) -> Mass {
    Mass::from_kg(milligrams as f64 / 1e6)
}

fn need(compiled: &Compiled, line: &Line) -> (Item, Need) {
    let job = &compiled.job;
    match line {
        Line::Bags { mix, count, weight } => {
            let bag = job.mix(*mix).map(|mix| (mix.say.bag.value.weighs.0, mix.say.bag.value.yields.0));
            let (weighs, yields) = bag.map_or((0, Volume::ZERO), |(weighs, yields)| (milligrams(weighs), yields));
            let item = Item::Bags { mix: job.name(*mix).to_owned(), weighs, yields };
            (item, Need { weight: Some(*weight), ..Need::of(*count) })
        }
        Line::Resin { resin, volume, nozzles, .. } => {
            let holds = holds(job, *resin);
            let open = holds.map(|holds| volume.cubic_metres() / holds.cubic_metres());
            let item = Item::Resin { resin: job.name(*resin).to_owned(), holds };
            (item, Need { open, uncounted: open.is_none(), volume: *volume, nozzles: *nozzles, ..Need::of(0) })
        }
        Line::Bars { steel, bought, weight, .. } => {
            let diameter = crate::steel::steel(job, *steel).map_or(Length::ZERO, |steel| steel.diameter);
            let lengths: BTreeMap<Length, u64> = bought.iter().flatten().copied().collect();
            let need = Need {
                uncounted: bought.is_none(),
                weight: Some(*weight),
                ..Need::of(lengths.values().copied().sum())
            };
            (Item::Bars { diameter, size: job.name(*steel).to_owned() }, Need { lengths, ..need })
        }
        Line::Wire { wire, coils, coil, weight, .. } => {
            let exact = compiled.works.tying.wire.as_ref().map(crate::steel::TieWire::exact);
            let item = Item::Wire { wire: job.name(*wire).to_owned(), coil: milligrams(*coil) };
            let packs = if exact.is_some() { 0 } else { *coils };
            (item, Need { open: exact, weight: Some(*weight), ..Need::of(packs) })
        }
        Line::Supports { sort, count } => {
            let item = match sort {
                Support::Chair => Item::Chairs,
                Support::Spacer => Item::Spacers,
            };
            (item, Need::of(*count))
        }
        Line::Forms { sort, count, lengths } => {
            let item = match sort {
                FormStuff::Boards(size) => Item::Boards(job.name(*size).to_owned()),
                FormStuff::Sheets(size) => Item::Sheets(job.name(*size).to_owned()),
                FormStuff::Nails8 => Item::Nails8,
                FormStuff::Nails16 => Item::Nails16,
                FormStuff::Stakes => Item::Stakes,
            };
            (item, Need { lengths: lengths.iter().copied().collect(), ..Need::of(*count) })
        }
        Line::Goods { sort, amount, .. } => (Item::Goods(goods_name(sort.item())), wanted(*amount)),
        Line::Own { goods, amount } => (Item::Goods(job.name(*goods).to_owned()), wanted(Some(*amount))),
    }
}

/// The name of goods without the word the ledger puts before it.
fn goods_name(item: &str) -> String {
    item.strip_prefix("job.").unwrap_or(item).replace('-', " ")
}

/// Goods are counted by the piece, or told by weight; what is told by length, area or room has packs of its own in each job.
fn wanted(amount: Option<Pack>) -> Need {
    match amount {
        Some(Pack::Count(count)) => Need::of(count.unsigned_abs()),
        Some(Pack::Mass(mass)) => Need { weight: Some(mass), uncounted: true, ..Need::of(0) },
        Some(Pack::Volume(volume)) => Need { volume, uncounted: true, ..Need::of(0) },
        Some(Pack::Length(_) | Pack::Area(_)) | None => Need { uncounted: true, ..Need::of(0) },
    }
}

fn holds(job: &Job, resin: BlockId) -> Option<Volume> {
    Some(job.resin(resin)?.say.cartridge.as_ref()?.holds.0)
}

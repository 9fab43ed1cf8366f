//! What several jobs come to together: how much concrete, how many holes and bars, and one buy list in which like things are
//! added up before packs are rounded.
//!
//! Of each job only its share is kept, so that a yard of jobs takes no more memory than its longest list. Things are alike
//! where their names are, what a pack of them holds, what it costs and who sells it: two mixes called `bagged` with bags of
//! another weight, or at another price, stay two.

use std::collections::BTreeMap;

use crate::{
    buying::{self, FormStuff, Line, Purchase, Sundry, Support},
    compile::Compiled,
    job::Job,
    problem::Level,
    schema::{BlockId, Pack},
    units::{Currency, Date, Exact, Length, Mass, Money, System, Volume, whole_up},
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
    needs: Vec<(Ware, Need)>,
}

/// What is bought as one line: like things, in like packs, at one price, from one seller. The order is that of the buy list.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Ware {
    /// What it is.
    pub item: Item,
    /// What a pack of a stock holds: which measure, and how much in whole units of it.
    holds: Option<(u8, i128)>,
    /// What a pack costs, where that is written.
    pub price: Option<Money>,
    /// Who sells it, where that is written.
    pub from: Option<String>,
}

/// Something bought, by its name and all that makes it another thing.
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
    /// Goods the job reckons.
    Reckoned(Sundry),
    /// Goods someone wrote, by what they are called.
    Own(String),
}

/// How much of it, before packs are rounded.
#[derive(Debug, Clone, PartialEq)]
pub struct Need {
    /// Whole packs the jobs count by themselves: bars and boards of each cutting plan, packs of several sizes.
    whole: u64,
    /// Packs as a number, where they are rounded up only for all jobs together.
    part: Option<f64>,
    /// A count is not known of some of it.
    uncounted: bool,
    /// Packs that lie at hand, in the job that knows of most: jobs side by side may each mean the same ones.
    at_hand: u64,
    /// What a pack of a stock holds.
    pub pack: Option<Pack>,
    /// How much is wanted of what is not counted.
    pub amount: Option<Pack>,
    /// What is wanted of a fluid.
    pub volume: Volume,
    /// Packs by their length, and how many of each.
    pub lengths: BTreeMap<Length, u64>,
    /// What one pack weighs, where that is known and all weigh the same.
    each: Option<Mass>,
    /// What packs of several lengths weigh.
    weight: Option<Mass>,
    /// Nozzles used up.
    pub nozzles: u64,
    /// It is worn, and goes from job to job.
    worn: bool,
    /// How many jobs want it.
    pub jobs: usize,
    /// The units of the first job that wants it.
    pub system: System,
}

impl Need {
    fn gross(&self) -> Option<u64> {
        (!self.uncounted).then(|| self.whole.saturating_add(self.part.map_or(0, whole_up)))
    }

    /// Whole packs to buy for all jobs; none where a part of it is not counted.
    #[must_use]
    pub fn packs(&self) -> Option<u64> {
        Some(self.gross()?.saturating_sub(self.at_hand))
    }

    /// How many of the packs that are wanted lie at hand.
    #[must_use]
    pub fn at_hand(&self) -> u64 {
        self.gross().map_or(0, |gross| gross.min(self.at_hand))
    }

    /// What the packs to buy weigh, where that is known.
    #[must_use]
    pub fn weighs(&self) -> Option<Mass> {
        let packs = self.packs().filter(|packs| *packs > 0);
        self.weight.or_else(|| Some(self.each? * packs? as f64))
    }

    fn add(&mut self, other: &Need) {
        if self.worn && other.worn {
            self.whole = self.whole.max(other.whole);
            self.part = self.part.zip(other.part).map(|(one, other)| one.max(other)).or(self.part).or(other.part);
        } else {
            self.whole = self.whole.saturating_add(other.whole);
            self.part = sum(self.part, other.part, |one, other| one + other);
        }
        self.uncounted |= other.uncounted;
        self.at_hand = self.at_hand.max(other.at_hand);
        self.amount = sum(self.amount, other.amount, more);
        self.volume += other.volume;
        for (length, count) in &other.lengths {
            *self.lengths.entry(*length).or_default() += count;
        }
        self.weight = sum(self.weight, other.weight, |one, other| one + other);
        self.nozzles = self.nozzles.saturating_add(other.nozzles);
        self.jobs += other.jobs;
    }
}

fn sum<T>(one: Option<T>, other: Option<T>, add: impl FnOnce(T, T) -> T) -> Option<T> {
    match (one, other) {
        (Some(one), Some(other)) => Some(add(one, other)),
        (one, other) => one.or(other),
    }
}

/// Two amounts of one thing, which are of one measure.
fn more(one: Pack, other: Pack) -> Pack {
    match (one, other) {
        (Pack::Count(one), Pack::Count(other)) => Pack::Count(one.saturating_add(other)),
        (Pack::Length(one), Pack::Length(other)) => Pack::Length(one + other),
        (Pack::Area(one), Pack::Area(other)) => Pack::Area(one + other),
        (Pack::Volume(one), Pack::Volume(other)) => Pack::Volume(one + other),
        (Pack::Mass(one), Pack::Mass(other)) => Pack::Mass(one + other),
        (one, _) => one,
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
    pub needs: BTreeMap<Ware, Need>,
}

impl Ware {
    /// What so much of it costs, rounded once to the smallest coin; none where no price is written or a part is not counted.
    #[must_use]
    pub fn costs(&self, need: &Need) -> Option<Money> {
        let price = self.price?;
        buying::rounded(price.amount.times(Exact::whole(i128::from(need.packs()?)))?, price.currency)
    }
}

impl Gathered {
    /// What all that has a price costs, by currency.
    #[must_use]
    pub fn costs(&self) -> Vec<Money> {
        let mut sums: BTreeMap<Currency, Money> = BTreeMap::new();
        for cost in self.needs.iter().filter_map(|(ware, need)| ware.costs(need)) {
            let sum = sums.get(&cost.currency).map_or(Some(cost), |sum| sum.plus(cost));
            sums.extend(sum.map(|sum| (cost.currency, sum)));
        }
        sums.into_values().collect()
    }

    /// What has to be bought and has no price; it is in no sum.
    pub fn unpriced(&self) -> impl Iterator<Item = (&Ware, &Need)> {
        self.needs.iter().filter(|(ware, need)| ware.costs(need).is_none() && need.packs() != Some(0))
    }

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
        for (ware, need) in &share.needs {
            match self.needs.get_mut(ware) {
                Some(sum) => sum.add(need),
                None => {
                    self.needs.insert(ware.clone(), need.clone());
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
    let needs = needs(compiled);
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
        weight: needs.values().filter_map(Need::weighs).fold(Mass::from_kg(0.0), |sum, weight| sum + weight),
        needs: needs.into_iter().collect(),
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

/// What a job buys, like things together.
fn needs(compiled: &Compiled) -> BTreeMap<Ware, Need> {
    let mut needs: BTreeMap<Ware, Need> = BTreeMap::new();
    for (at, line) in compiled.works.buying.iter().enumerate() {
        for (nth, purchase) in compiled.works.bill.of_line(at).iter().enumerate() {
            let (ware, need) = need(compiled, line, purchase, nth == 0);
            match needs.get_mut(&ware) {
                Some(sum) => {
                    sum.add(&need);
                    // Two stocks of one line are still one job.
                    sum.jobs = 1;
                }
                None => _ = needs.insert(ware, need),
            }
        }
    }
    needs
}

/// One purchase of a line; what is told of the whole line stands with its first.
fn need(compiled: &Compiled, line: &Line, purchase: &Purchase, first: bool) -> (Ware, Need) {
    let job = &compiled.job;
    let stock = purchase.stock.and_then(|stock| job.stock(stock));
    let mut need = Need {
        whole: purchase.packs.unwrap_or(0).saturating_add(purchase.at_hand),
        part: None,
        uncounted: purchase.packs.is_none(),
        at_hand: stock.and_then(|stock| stock.say.on_hand).and_then(|count| u64::try_from(count.0).ok()).unwrap_or(0),
        pack: purchase.holds.map(|(pack, ..)| pack).filter(|pack| *pack != Pack::Count(1)),
        amount: None,
        volume: Volume::ZERO,
        lengths: BTreeMap::new(),
        each: purchase.weighs,
        weight: None,
        nozzles: 0,
        worn: false,
        jobs: 1,
        system: job.system(),
    };
    // Packs of several sizes were put together for this job; of one size they are rounded for all jobs.
    if let Some((_, holds, wanted)) = purchase.holds.filter(|_| purchase.alone) {
        need.part = exact(compiled, line, purchase).or_else(|| Some(wanted as f64 / holds as f64));
    } else if purchase.holds.is_none() {
        need.part = exact(compiled, line, purchase);
    }
    if need.part.is_some() {
        need.whole = 0;
        need.uncounted = false;
    }
    match line {
        Line::Resin { volume, nozzles, .. } if first => (need.volume, need.nozzles) = (*volume, *nozzles),
        Line::Bars { bought, weight, .. } if bought.is_none() => need.weight = Some(*weight),
        Line::Goods { sort, amount, .. } => {
            need.worn = sort.is_worn();
            need.amount = amount.filter(|_| first && need.uncounted);
        }
        Line::Own { amount, .. } => need.amount = Some(*amount).filter(|_| first && need.uncounted),
        _ => {}
    }
    if let (Line::Bars { .. } | Line::Forms { sort: FormStuff::Boards(_), .. }, Some(long), Some(packs)) =
        (line, purchase.long, purchase.packs)
    {
        need.lengths.insert(long, packs);
        need.weight = need.each.take().map(|each| each * packs as f64);
    }
    let measure = |pack| match pack {
        Pack::Count(_) => 0,
        Pack::Length(_) => 1,
        Pack::Area(_) => 2,
        Pack::Volume(_) => 3,
        Pack::Mass(_) => 4,
    };
    // A price in another currency than the job's is in no sum of the job either.
    let price = stock.and_then(|stock| stock.say.price).map(|price| price.value.0);
    let ware = Ware {
        item: item(job, line),
        // One piece is the same whether a stock says so or nothing does.
        holds: purchase.holds.filter(|_| need.pack.is_some()).map(|(pack, holds, _)| (measure(pack), holds)),
        price: price.filter(|price| Some(price.currency) == compiled.works.bill.currency),
        from: purchase.from.map(|from| job.name(from).to_owned()),
    };
    (ware, need)
}

/// Packs as a number, of what a job rounds for itself: cartridges and coils.
fn exact(compiled: &Compiled, line: &Line, purchase: &Purchase) -> Option<f64> {
    let each = match purchase.holds {
        None => 1.0,
        Some((Pack::Count(each), ..)) => each as f64,
        Some(_) => return None,
    };
    Some(match line {
        Line::Resin { resin, volume, .. } => {
            volume.cubic_metres() / holds(&compiled.job, *resin)?.cubic_metres() / each
        }
        Line::Wire { .. } => compiled.works.tying.wire.as_ref()?.exact() / each,
        _ => return None,
    })
}

/// What a line of a job's buy list is.
#[must_use]
pub fn item(job: &Job, line: &Line) -> Item {
    match line {
        Line::Bags { mix, .. } => {
            let bag = job.mix(*mix).map(|mix| (mix.say.bag.value.weighs.0, mix.say.bag.value.yields.0));
            let (weighs, yields) = bag.map_or((0, Volume::ZERO), |(weighs, yields)| (milligrams(weighs), yields));
            Item::Bags { mix: job.name(*mix).to_owned(), weighs, yields }
        }
        Line::Resin { resin, .. } => Item::Resin { resin: job.name(*resin).to_owned(), holds: holds(job, *resin) },
        Line::Bars { steel, .. } => {
            let diameter = crate::steel::steel(job, *steel).map_or(Length::ZERO, |steel| steel.diameter);
            Item::Bars { diameter, size: job.name(*steel).to_owned() }
        }
        Line::Wire { wire, coil, .. } => Item::Wire { wire: job.name(*wire).to_owned(), coil: milligrams(*coil) },
        Line::Supports { sort: Support::Chair, .. } => Item::Chairs,
        Line::Supports { sort: Support::Spacer, .. } => Item::Spacers,
        Line::Forms { sort, .. } => match sort {
            FormStuff::Boards(size) => Item::Boards(job.name(*size).to_owned()),
            FormStuff::Sheets(size) => Item::Sheets(job.name(*size).to_owned()),
            FormStuff::Nails8 => Item::Nails8,
            FormStuff::Nails16 => Item::Nails16,
            FormStuff::Stakes => Item::Stakes,
        },
        Line::Goods { sort, .. } => Item::Reckoned(*sort),
        Line::Own { goods, .. } => {
            Item::Own(job.goods_of(*goods).map_or_else(String::new, |goods| {
                if goods.title.is_empty() { &goods.name } else { &goods.title }.clone()
            }))
        }
    }
}

fn holds(job: &Job, resin: BlockId) -> Option<Volume> {
    Some(job.resin(resin)?.say.cartridge.as_ref()?.holds.0)
}

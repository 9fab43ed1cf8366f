//! The bill: everything that costs money, by line, by stage and by supplier, to the smallest coin.
//!
//! Each line is rounded once, half away from zero; all sums are sums of rounded lines, so that stages and suppliers come to the
//! total exactly. What has no price is counted, never summed.

use std::collections::BTreeMap;

use foldhash::HashMap;

use super::{
    Line, Purchase, Split,
    hires::{Hired, hires},
    left::{Left, Over, left_over},
    loads::{Loads, Rubble, loads, rubble},
    misfits::{Misfit, misfits},
    purchase::{currency, purchases, rounded},
};
use crate::{
    concrete::Mixing,
    facts::Facts,
    formwork::{Boards, Formwork},
    job::Job,
    plan::{Days, Plan},
    schema::{BlockId, PerLoad},
    sitework::Debris,
    steel::{BarsMade, CutPlan},
    units::{Currency, Exact, Money},
    yard::Shops,
};

/// What a fee comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct Paid {
    /// The fee.
    pub fee: BlockId,
    /// What of the rubble it is for; none where it is paid once.
    pub rubble: Option<Rubble>,
    /// How often the price is paid, a fraction by weight and room; none where it cannot be told.
    pub times: Option<Exact>,
    /// What it costs, rounded once.
    pub cost: Option<Money>,
}

/// What a line of the bill is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Of {
    /// Something bought, by its place among the purchases.
    Purchase(usize),
    /// Something hired.
    Hire(usize),
    /// Bringing and fetching what is hired.
    HireDelivery(usize),
    /// Bringing what a supplier sells.
    Delivery(BlockId),
    /// A fee.
    Fee(usize),
}

/// A line of the bill.
#[derive(Debug, Clone, PartialEq)]
pub struct Post {
    /// What it is for.
    pub of: Of,
    /// Who is paid; none where nobody is said.
    pub supplier: Option<BlockId>,
    /// The first step, look, wait or question that needs it: by then it is paid.
    pub stage: Option<BlockId>,
    /// What it costs; none where it is not priced.
    pub cost: Option<Money>,
    /// Tax is put on it, where there is a tax.
    pub taxed: bool,
}

/// The part of the bill that belongs to one stage or supplier.
#[derive(Debug, Clone, PartialEq)]
pub struct Share {
    /// Which; none for what belongs to none.
    pub of: Option<BlockId>,
    /// The priced lines of it, by their places.
    pub posts: Vec<usize>,
    /// Their sum.
    pub cost: Money,
    /// Lines of it that are not priced.
    pub unpriced: usize,
}

/// The bill.
#[derive(Debug, Clone, Default)]
pub struct Bill {
    /// The currency of the job's prices; none where nothing has one.
    pub currency: Option<Currency>,
    /// What is bought.
    pub purchases: Vec<Purchase>,
    /// What is hired.
    pub hires: Vec<Hired>,
    /// What is paid.
    pub paid: Vec<Paid>,
    /// All lines.
    pub posts: Vec<Post>,
    /// By stage, in the order of work.
    pub stages: Vec<Share>,
    /// By supplier, as they are written.
    pub suppliers: Vec<Share>,
    /// The sum of the priced lines.
    pub sum: Option<Money>,
    /// The sum of those that are taxed, and the tax.
    pub tax: Option<(Money, Money)>,
    /// What is put by.
    pub contingency: Option<Money>,
    /// All of it.
    pub total: Option<Money>,
    /// Lines that are not priced.
    pub unpriced: usize,
    /// Who is bought from, where the cheapest split was wanted.
    pub split: Option<Split>,
    /// What is fetched.
    pub loads: Loads,
    /// What is left over, by line.
    pub left: Vec<(usize, Left)>,
    /// Stock that does not fit what it is of.
    pub misfits: Vec<Misfit>,
}

impl Bill {
    /// What is bought of a line of the buy list.
    #[must_use]
    pub fn of_line(&self, line: usize) -> &[Purchase] {
        let from = self.purchases.partition_point(|one| one.line < line);
        let to = self.purchases.partition_point(|one| one.line <= line);
        self.purchases.get(from..to).unwrap_or_default()
    }
}

/// What the bill is made from.
pub struct Made<'w> {
    /// The buy list.
    pub lines: &'w [Line],
    /// Bars by block.
    pub bars: &'w [BarsMade],
    /// What is mixed.
    pub mixings: &'w [Mixing],
    /// What really happened.
    pub facts: &'w Facts,
    /// Cutting plans of bars.
    pub cuts: &'w [CutPlan],
    /// Those of boards.
    pub boards: &'w [Boards],
    /// Forms.
    pub forms: &'w [Formwork],
    /// What is carted off.
    pub debris: &'w [Debris],
    /// The order of work.
    pub plan: &'w Plan,
    /// Its days.
    pub days: Option<&'w Days>,
}

/// The bill of a job.
#[must_use]
pub fn bill(job: &Job, made: &Made, split: Option<Split>) -> Bill {
    let shops = match &split {
        Some(split) => Shops::Among(&split.from),
        None => Shops::of(job),
    };
    let mut bill = Bill {
        currency: currency(job),
        purchases: purchases(job, made.lines, made.cuts, made.boards, shops),
        misfits: misfits(job),
        ..Bill::default()
    };
    bill.hires = hires(job, made.days, bill.currency);
    bill.loads = loads(job, made.lines, &bill.purchases);
    bill.paid = job.fees.iter().map(|fee| paid(job, fee.id, made.debris, bill.currency)).collect();
    bill.left = left_over(
        job,
        &Over {
            lines: made.lines,
            purchases: &bill.purchases,
            mixings: made.mixings,
            facts: made.facts,
            cuts: made.cuts,
            boards: made.boards,
            forms: made.forms,
        },
    );
    bill.split = split;
    post(job, made, &mut bill);
    sum_up(job, made.plan, &mut bill);
    bill
}

/// What a fee comes to. Weights count to the milligram, room to the cubic nanometre.
fn paid(job: &Job, fee: BlockId, debris: &[Debris], currency: Option<Currency>) -> Paid {
    let mut out = Paid { fee, rubble: None, times: None, cost: None };
    let Some(say) = job.fee(fee).map(|fee| &fee.say) else { return out };
    out.times = match say.rate.per {
        None => Some(Exact::ONE),
        Some(per) => {
            let strips: Option<Vec<BlockId>> =
                say.of.as_ref().map(|all| all.iter().map(|strip| strip.value.0).collect());
            let rubble = rubble(job, debris, strips.as_deref());
            let milligrams = |kg: f64| (kg * 1e6).round() as i128;
            let times = match per {
                PerLoad::Trip => rubble.trips.map(|trips| Exact::whole(i128::from(trips))),
                PerLoad::Mass(mass) => Exact::new(milligrams(rubble.weight.kg()), milligrams(mass.kg())),
                PerLoad::Volume(room) => Exact::new(rubble.loose.nm3(), room.nm3()),
            };
            out.rubble = Some(rubble);
            times
        }
    };
    let price = say.rate.price.0;
    if Some(price.currency) == currency {
        out.cost = out.times.and_then(|times| rounded(price.amount.times(times)?, price.currency));
    }
    out
}

/// Which step handles what, by its place in the order of work; the first of several.
struct Stages<'j> {
    job: &'j Job,
    rank: HashMap<BlockId, usize>,
    doers: HashMap<(BlockId, &'static str), usize>,
    first_of: HashMap<BlockId, usize>,
    order: &'j [BlockId],
}

impl<'j> Stages<'j> {
    fn new(job: &'j Job, plan: &'j Plan) -> Stages<'j> {
        let rank = plan.order.iter().enumerate().map(|(place, id)| (*id, place)).collect();
        let (mut doers, mut first_of) = (HashMap::default(), HashMap::default());
        for (place, id) in plan.order.iter().enumerate() {
            let Some(step) = job.step(*id) else { continue };
            for work in &step.say.work.0 {
                for thing in &work.things {
                    doers.entry((thing.value, work.verb)).or_insert(place);
                    first_of.entry(thing.value).or_insert(place);
                }
            }
        }
        Stages { job, rank, doers, first_of, order: &plan.order }
    }

    fn node(&self, place: Option<usize>) -> Option<BlockId> {
        place.and_then(|place| self.order.get(place)).copied()
    }

    fn first(&self, things: impl Iterator<Item = (BlockId, &'static str)>) -> Option<usize> {
        things.filter_map(|key| self.doers.get(&key)).min().copied()
    }

    fn of_steps(&self, steps: impl Iterator<Item = BlockId>) -> Option<usize> {
        steps.filter_map(|step| self.rank.get(&step)).min().copied()
    }

    /// The first step that needs a line.
    fn of_line(&self, made: &Made, line: &Line) -> Option<usize> {
        let job = self.job;
        let bars = |wanted: &dyn Fn(&BarsMade) -> bool| {
            let mine: Vec<BlockId> = made.bars.iter().filter(|made| wanted(made)).map(|made| made.id).collect();
            self.first(mine.into_iter().flat_map(|id| [(id, "place"), (id, "set")]))
        };
        match line {
            Line::Bags { mix, .. } => {
                let pours = made.mixings.iter().filter(|mixing| mixing.mix == *mix);
                self.first(pours.map(|mixing| (mixing.pour, "pour")))
            }
            Line::Resin { resin, .. } => self.of_resin(*resin),
            Line::Bars { steel, .. } => bars(&|made| made.steel.id == *steel),
            Line::Wire { .. } | Line::Supports { .. } => {
                let placed = made.bars.iter().map(|made| (made.id, "place"));
                self.first(placed)
            }
            Line::Forms { .. } => self.first(job.forms.iter().map(|forms| (forms.id, "form"))),
            Line::Goods { by, .. } => {
                let each = by.iter().filter_map(|id| {
                    let of_resin = || self.of_resin(*id);
                    // What covers fresh concrete is there before it comes, whatever is done to it later.
                    let of_cure = job.cure(*id).and_then(|cure| self.doers.get(&(cure.say.of.value.0, "pour")));
                    let place = of_cure.or_else(|| self.rank.get(id)).or_else(|| self.drills(*id));
                    place.or_else(|| self.first_of.get(id)).copied().or_else(of_resin)
                });
                each.min()
            }
            Line::Own { goods, .. } => {
                let steps = job.goods_of(*goods).and_then(|goods| goods.say.steps.as_ref());
                self.of_steps(steps.into_iter().flatten().map(|step| step.value.0))
            }
        }
    }

    /// Bits are for drilling, not for marking.
    fn drills(&self, holes: BlockId) -> Option<&usize> {
        self.doers.get(&(holes, "drill"))
    }

    fn of_resin(&self, resin: BlockId) -> Option<usize> {
        let job = self.job;
        let filled =
            |holes: BlockId| job.holes_of(holes).and_then(|holes| holes.say.fill).is_some_and(|it| it.0 == resin);
        let set = job.bars.iter().filter(|bars| bars.say.holes.is_some_and(|holes| filled(holes.value.0)));
        let cracks = job.cracks.iter().filter(|crack| crack.say.fill.is_some_and(|fill| fill.0 == resin));
        self.first(set.map(|bars| (bars.id, "set")).chain(cracks.map(|crack| (crack.id, "inject"))))
    }
}

fn post(job: &Job, made: &Made, bill: &mut Bill) {
    let stages = Stages::new(job, made.plan);
    // A supplier that could not be read is none.
    let known = |from: Option<BlockId>| from.filter(|from| job.supplier(*from).is_some());
    let mut posts = Vec::new();
    let mut sold: BTreeMap<BlockId, Option<usize>> = BTreeMap::new();
    for (at, purchase) in bill.purchases.iter().enumerate() {
        // What lies at hand is not bought.
        if purchase.packs == Some(0) {
            continue;
        }
        // What of one line has no stock is one line, be it of several usual lengths.
        let before = at.checked_sub(1).and_then(|before| bill.purchases.get(before));
        if purchase.stock.is_none() && before.is_some_and(|one| one.line == purchase.line && one.stock.is_none()) {
            continue;
        }
        let place = made.lines.get(purchase.line).and_then(|line| stages.of_line(made, line));
        if let Some(from) = purchase.from {
            let first = sold.entry(from).or_insert(place);
            *first = [*first, place].into_iter().flatten().min();
        }
        posts.push(Post {
            of: Of::Purchase(at),
            supplier: known(purchase.from),
            stage: stages.node(place),
            cost: purchase.cost,
            taxed: true,
        });
    }
    for supplier in &job.suppliers {
        let (Some(place), Some(price)) = (sold.get(&supplier.id), supplier.say.delivery) else { continue };
        let cost = Some(price.0).filter(|price| Some(price.currency) == bill.currency);
        posts.push(Post {
            of: Of::Delivery(supplier.id),
            supplier: Some(supplier.id),
            stage: stages.node(*place),
            cost: cost.and_then(|cost| rounded(cost.amount, cost.currency)),
            taxed: true,
        });
    }
    for (at, hired) in bill.hires.iter().enumerate() {
        let Some(hire) = job.hire(hired.hire) else { continue };
        let supplier = known(hire.say.from.map(|from| from.0));
        let stage = stages.node(stages.of_steps(hire.say.steps.iter().map(|step| step.value.0)));
        posts.push(Post { of: Of::Hire(at), supplier, stage, cost: hired.cost, taxed: true });
        if let Some(price) = hire.say.delivery {
            let cost = Some(price.0).filter(|price| Some(price.currency) == bill.currency);
            let times = Exact::whole(i128::from(hired.brought));
            let cost = cost.and_then(|cost| rounded(cost.amount.times(times)?, cost.currency));
            posts.push(Post { of: Of::HireDelivery(at), supplier, stage, cost, taxed: true });
        }
    }
    for (at, paid) in bill.paid.iter().enumerate() {
        let Some(fee) = job.fee(paid.fee) else { continue };
        posts.push(Post {
            of: Of::Fee(at),
            supplier: known(fee.say.from.map(|from| from.0)),
            stage: fee.say.node.map(|node| node.0).filter(|node| stages.rank.contains_key(node)),
            cost: paid.cost,
            taxed: fee.say.untaxed.is_none(),
        });
    }
    bill.posts = posts;
}

fn sum_up(job: &Job, plan: &Plan, bill: &mut Bill) {
    let Some(currency) = bill.currency else { return };
    let zero = Money { amount: Exact::ZERO, currency };
    let sum = |posts: &mut dyn Iterator<Item = &Post>| {
        posts.filter_map(|post| post.cost).try_fold(zero, |sum, cost| sum.plus(cost))
    };
    let Some(all) = sum(&mut bill.posts.iter()) else { return };
    bill.unpriced = bill.posts.iter().filter(|post| post.cost.is_none()).count();
    let budget = job.budgets.first().map(|budget| &budget.say);
    if let Some(rate) = budget.and_then(|budget| budget.tax)
        && let Some(taxed) = sum(&mut bill.posts.iter().filter(|post| post.taxed))
    {
        let tax = taxed.amount.times(rate.0).and_then(|tax| rounded(tax, currency));
        bill.tax = tax.map(|tax| (taxed, tax));
    }
    let with_tax = bill.tax.map_or(Some(all), |(_, tax)| all.plus(tax));
    if let Some(rate) = budget.and_then(|budget| budget.contingency) {
        bill.contingency =
            with_tax.and_then(|sum| sum.amount.times(rate.0)).and_then(|amount| rounded(amount, currency));
    }
    bill.total = with_tax.and_then(|sum| bill.contingency.map_or(Some(sum), |put_by| sum.plus(put_by)));
    bill.sum = Some(all);
    let share = |of: Option<BlockId>, mine: Option<&Vec<usize>>| {
        let posts = || mine.into_iter().flatten().filter_map(|at| Some((*at, bill.posts.get(*at)?)));
        let share = Share {
            of,
            posts: posts().filter(|(_, post)| post.cost.is_some()).map(|(at, _)| at).collect(),
            cost: sum(&mut posts().map(|(_, post)| post))?,
            unpriced: posts().filter(|(_, post)| post.cost.is_none()).count(),
        };
        posts().next().is_some().then_some(share)
    };
    let by = |of: &dyn Fn(&Post) -> Option<BlockId>| {
        let mut out: HashMap<Option<BlockId>, Vec<usize>> = HashMap::default();
        for (at, post) in bill.posts.iter().enumerate() {
            out.entry(of(post)).or_default().push(at);
        }
        out
    };
    let (of_stage, of_supplier) = (by(&|post| post.stage), by(&|post| post.supplier));
    let stages = plan.order.iter().map(|node| Some(*node)).chain([None]);
    let by_stage = stages.filter_map(|node| share(node, of_stage.get(&node))).collect();
    let sellers = job.suppliers.iter().map(|supplier| Some(supplier.id)).chain([None]);
    let by_supplier = sellers.filter_map(|seller| share(seller, of_supplier.get(&seller))).collect();
    (bill.stages, bill.suppliers) = (by_stage, by_supplier);
}

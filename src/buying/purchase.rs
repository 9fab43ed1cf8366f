//! What is bought of each line of the list: whole packs of which stock, and what they cost.

use super::{Bought, FormStuff, Line, Support, packs};
use crate::{
    formwork::Boards,
    job::{Job, Thing},
    schema::{BlockId, KindId, Pack, Stock},
    source::Span,
    steel::CutPlan,
    units::{Area, Currency, Density, Exact, Length, Mass, Money, Volume},
    yard::{Shops, Source},
};

/// 8d common nails to the pound; from memory.
pub const NAILS_8D_PER_LB: f64 = 106.0;
/// 16d common nails to the pound; from memory.
pub const NAILS_16D_PER_LB: f64 = 49.0;
/// An amount that lies above whole packs by less than one part in so many is those packs.
const TOLERANCE: i128 = 1_000_000_000;

/// What boards and sheets weigh: 35 lb/ft3; common practice, no source.
#[must_use]
pub fn wood() -> Density {
    Density::from_pcf(35.0)
}

/// Packs of one stock, bought for one line.
#[derive(Debug, Clone, PartialEq)]
pub struct Purchase {
    /// The line of the buy list.
    pub line: usize,
    /// The stock they are of; none where nothing is written.
    pub stock: Option<BlockId>,
    /// How many are bought; none where it is not known.
    pub packs: Option<u64>,
    /// How many lie at hand and are used.
    pub at_hand: u64,
    /// What one holds, and what of that is wanted in all: in whole units of its measure.
    pub holds: Option<(Pack, i128, i128)>,
    /// It is the only pack there is: the count is a plain quotient.
    pub alone: bool,
    /// How long a piece is, where it has a length.
    pub long: Option<Length>,
    /// What one weighs, where it is known.
    pub weighs: Option<Mass>,
    /// What one costs.
    pub price: Option<Money>,
    /// What all of them cost, rounded once to the smallest coin, half away from zero.
    pub cost: Option<Money>,
    /// Who sells them.
    pub from: Option<BlockId>,
    /// No cheaper packs were missed.
    pub proven: bool,
}

/// A stock whose unit does not measure what it is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Misfit {
    /// Bars and boards need a length.
    NoLength {
        /// The stock.
        stock: BlockId,
        /// They are sold by the piece: a `unit` says nothing.
        unit: Option<Span>,
    },
    /// Another measure is wanted.
    Unit {
        /// The stock.
        stock: BlockId,
        /// Where its unit, or its name, stands.
        at: Span,
        /// What the thing is measured by.
        wanted: &'static str,
        /// What may be written.
        example: &'static str,
    },
}

/// To the smallest coin of the currency, half away from zero.
#[must_use]
pub fn rounded(amount: Exact, currency: Currency) -> Option<Money> {
    let coins = 10_i128.checked_pow(currency.decimals())?;
    let whole = amount.times(Exact::whole(coins))?.to_nearest_i128();
    Some(Money { amount: Exact::new(whole, coins)?, currency })
}

/// Every price of the job and where it stands, as they are written.
#[must_use]
pub fn prices(job: &Job) -> Vec<(Money, Span)> {
    let mut out = Vec::new();
    out.extend(job.stocks.iter().filter_map(|stock| stock.say.price).map(|price| (price.value.0, price.span)));
    for supplier in &job.suppliers {
        out.extend(supplier.say.delivery.map(|price| (price.0, supplier.said(KindId::Supplier, "delivery"))));
    }
    for hire in &job.hires {
        out.extend(hire.say.rates.0.iter().map(|rate| (rate.value.price.0, rate.span)));
        out.extend(hire.say.delivery.map(|price| (price.0, hire.said(KindId::Hire, "delivery"))));
        out.extend(hire.say.deposit.map(|price| (price.0, hire.said(KindId::Hire, "deposit"))));
    }
    out.extend(job.fees.iter().map(|fee| (fee.say.rate.price.0, fee.said(KindId::Fee, "price"))));
    out.sort_by_key(|(_, at)| *at);
    out
}

/// The currency of the job: that of its first price.
#[must_use]
pub fn currency(job: &Job) -> Option<Currency> {
    prices(job).first().map(|(price, _)| price.currency)
}

/// A pack of one stock.
#[derive(Debug, Clone, Copy)]
pub(super) struct Offered {
    pub stock: BlockId,
    pub holds: i128,
    pub pack: Pack,
    pub price: Option<Money>,
}

/// What is wanted of a line, the packs that can be bought for it, and what of it lies at hand: of which stock, how many.
pub(super) type Offers = (i128, Vec<Offered>, Vec<(BlockId, u64)>);

/// What a line wants and the packs of these shops that hold it, in one measure; what lies at hand is taken off first.
/// Nothing where no stock fits.
pub(super) fn offers(
    job: &Job,
    line: &Line,
    item: BlockId,
    shops: Shops,
    currency: Option<Currency>,
) -> Option<Offers> {
    let mut all: Vec<(&Thing<Stock>, Pack, i128, i128)> = Vec::new();
    for stock in shops.sell(job, item) {
        let pack = stock.say.unit.map_or(Pack::Count(1), |unit| unit.value);
        let (Some(need), Some(holds)) = (need(job, line, pack), amount(pack)) else { continue };
        all.push((stock, pack, holds, need - need / TOLERANCE));
    }
    // One measure for all: that of the first.
    let first = std::mem::discriminant(&all.first()?.1);
    all.retain(|(_, pack, ..)| std::mem::discriminant(pack) == first);
    let mut left = all.first()?.3;
    let mut at_hand = Vec::new();
    for (stock, _, holds, _) in &all {
        let Some(count) = stock.say.on_hand.and_then(|count| u64::try_from(count.0).ok()) else { continue };
        let wanted = if left > 0 { u64::try_from((left + holds - 1) / holds).unwrap_or(u64::MAX) } else { 0 };
        let used = count.min(wanted);
        left -= holds.saturating_mul(i128::from(used));
        if used > 0 {
            at_hand.push((stock.id, used));
        }
    }
    let price = |stock: &Thing<Stock>| {
        stock.say.price.map(|price| price.value.0).filter(|price| Some(price.currency) == currency)
    };
    let mut offers: Vec<Offered> = all
        .iter()
        .filter(|(stock, ..)| stock.say.on_hand.is_none() || stock.say.price.is_some())
        .map(|(stock, pack, holds, _)| Offered { stock: stock.id, holds: *holds, pack: *pack, price: price(stock) })
        .collect();
    if offers.iter().any(|offer| offer.price.is_some()) {
        offers.retain(|offer| offer.price.is_some());
    }
    Some((left.max(0), offers, at_hand))
}

/// A pack in whole units of its measure: pieces, nanometres and their powers, micrograms.
fn amount(pack: Pack) -> Option<i128> {
    let amount = match pack {
        Pack::Count(count) => i128::from(count),
        Pack::Length(length) => i128::from(length.nm()),
        Pack::Area(area) => area.nm2(),
        Pack::Volume(volume) => volume.nm3(),
        Pack::Mass(mass) => (mass.kg() * 1e9).round() as i128,
    };
    (amount > 0).then_some(amount)
}

/// What a line wants, in the measure of this pack; nothing where it cannot be told in it.
fn need(job: &Job, line: &Line, pack: Pack) -> Option<i128> {
    let count = |count: u64| Pack::Count(i64::try_from(count).unwrap_or(i64::MAX));
    let named = library_name(line).and_then(|name| super::goods::wanted(job, name));
    let in_measure = match (line, pack) {
        _ if named.is_some() => named?,
        (Line::Bags { weight, .. }, Pack::Mass(_)) => Pack::Mass(*weight),
        (Line::Bags { count: bags, .. }, _) => count(*bags),
        (Line::Resin { volume, .. }, Pack::Volume(_)) => Pack::Volume(*volume),
        (Line::Resin { cartridges, .. }, _) => count((*cartridges)?),
        (Line::Wire { length, .. }, Pack::Length(_)) => Pack::Length(*length),
        (Line::Wire { wire, length, .. }, Pack::Mass(_)) => {
            let weight = &job.wire(*wire)?.say.weight;
            Pack::Mass(weight.weight.0 * (length.metres() / weight.per.0.metres()))
        }
        (Line::Wire { coils, .. }, _) => count(*coils),
        (Line::Supports { count: held, .. }, _) => count(*held),
        (Line::Forms { sort: FormStuff::Nails8, count: nails, .. }, Pack::Mass(_)) => {
            Pack::Mass(Mass::from_lb(*nails as f64 / NAILS_8D_PER_LB))
        }
        (Line::Forms { sort: FormStuff::Nails16, count: nails, .. }, Pack::Mass(_)) => {
            Pack::Mass(Mass::from_lb(*nails as f64 / NAILS_16D_PER_LB))
        }
        (Line::Forms { count: stuff, .. }, _) => count(*stuff),
        (Line::Goods { amount, .. }, _) => (*amount)?,
        (Line::Own { amount, .. }, _) => *amount,
        (Line::Bars { .. }, _) => return None,
    };
    (std::mem::discriminant(&in_measure) == std::mem::discriminant(&pack)).then(|| amount(in_measure)).flatten()
}

/// What is bought of every line.
#[must_use]
pub fn purchases(job: &Job, lines: &[Line], cuts: &[CutPlan], boards: &[Boards], shops: Shops) -> Vec<Purchase> {
    let currency = currency(job);
    let mut out = Vec::new();
    for (at, line) in lines.iter().enumerate() {
        let item = line.block(job);
        let sources: Option<Vec<(Source, u64)>> = match line.bought() {
            Bought::Bars => {
                let plan = cuts.iter().find(|plan| Some(plan.steel) == item);
                plan.map(|plan| plan.bought().map(|(source, count)| (*source, count)).collect())
            }
            Bought::Boards => {
                let plan = boards.iter().find(|plan| Some(plan.size) == item);
                plan.map(Boards::sources_bought)
            }
            Bought::Packs => None,
        };
        match (line.bought(), sources) {
            (Bought::Packs, _) => packed(job, line, at, item, shops, currency, &mut out),
            (_, None) => out.push(bare(at, None, None)),
            (_, Some(sources)) => {
                let each = sources.into_iter().map(|(source, count)| piece(job, line, at, source, count, currency));
                out.extend(each);
            }
        }
    }
    out
}

fn bare(line: usize, packs: Option<u64>, weighs: Option<Mass>) -> Purchase {
    Purchase {
        line,
        stock: None,
        packs,
        at_hand: 0,
        holds: None,
        alone: true,
        long: None,
        weighs,
        price: None,
        cost: None,
        from: None,
        proven: true,
    }
}

fn cost(price: Option<Money>, packs: u64) -> Option<Money> {
    let price = price?;
    rounded(price.amount.times(Exact::whole(i128::from(packs)))?, price.currency)
}

/// Bars or boards of one source.
fn piece(job: &Job, line: &Line, at: usize, source: Source, count: u64, currency: Option<Currency>) -> Purchase {
    let stock = source.stock.and_then(|id| job.stock(id));
    let price = stock.and_then(|stock| stock.say.price).map(|price| price.value.0);
    let price = price.filter(|price| Some(price.currency) == currency);
    let known = match line {
        Line::Bars { steel, .. } => crate::steel::steel(job, *steel).map(|steel| steel.weight(source.length)),
        Line::Forms { sort: FormStuff::Boards(size), .. } => job
            .lumber_of(*size)
            .and_then(|lumber| lumber.say.size.as_ref())
            .map(|size| wood() * (size.thick.0 * size.wide.0 * source.length)),
        _ => None,
    };
    Purchase {
        stock: source.stock,
        long: Some(source.length),
        weighs: stock.and_then(|stock| stock.say.weighs).map(|weighs| weighs.0).or(known),
        price,
        cost: cost(price, count),
        from: stock.and_then(|stock| stock.say.from).map(|from| from.0),
        ..bare(at, Some(count), None)
    }
}

/// Whole packs that hold what a line wants.
fn packed(
    job: &Job,
    line: &Line,
    at: usize,
    item: Option<BlockId>,
    shops: Shops,
    currency: Option<Currency>,
    out: &mut Vec<Purchase>,
) {
    let offered = item.and_then(|item| offers(job, line, item, shops, currency));
    let Some((need, offers, at_hand)) = offered.filter(|(_, offers, at_hand)| offers.len() + at_hand.len() > 0) else {
        out.push(Purchase { long: long(job, line), ..bare(at, line.packs(), one_weighs(job, line)) });
        return;
    };
    let used = |stock: BlockId| at_hand.iter().find(|(id, _)| *id == stock).map_or(0, |(_, used)| *used);
    let cover = if offers.len() == 1 {
        offers.first().map(|offer| (vec![u64::try_from((need + offer.holds - 1) / offer.holds).unwrap_or(0)], true))
    } else {
        let priced: Option<Vec<packs::Offer>> =
            offers.iter().map(|offer| Some(packs::Offer { holds: offer.holds, price: offer.price?.amount })).collect();
        // Without prices the pack that is written first is taken.
        let first = || offers.first().map(|offer| u64::try_from((need + offer.holds - 1) / offer.holds).unwrap_or(0));
        match priced.and_then(|priced| packs::cover(need, &priced)) {
            Some(cover) => Some((cover.counts, cover.proven)),
            None => first()
                .map(|count| (std::iter::once(count).chain(std::iter::repeat(0)).take(offers.len()).collect(), true)),
        }
    };
    let (counts, proven) = cover.unwrap_or_default();
    let alone = offers.len() <= 1 && at_hand.iter().all(|(id, _)| offers.first().is_none_or(|one| one.stock == *id));
    let mut told: Vec<BlockId> = Vec::new();
    for (offer, count) in offers.iter().zip(&counts) {
        if *count == 0 && used(offer.stock) == 0 {
            continue;
        }
        told.push(offer.stock);
        let Some(stock) = job.stock(offer.stock) else { continue };
        let price = offer.price.filter(|_| *count > 0);
        out.push(Purchase {
            stock: Some(offer.stock),
            at_hand: used(offer.stock),
            holds: Some((offer.pack, offer.holds, need_of(job, line, offer.pack))),
            alone,
            long: long(job, line),
            price,
            cost: cost(price, *count),
            from: stock.say.from.map(|from| from.0),
            proven,
            ..bare(at, Some(*count), weighs(job, line, stock, offer.pack))
        });
    }
    for (id, used) in at_hand.iter().filter(|(id, _)| !told.contains(id)) {
        let Some(stock) = job.stock(*id) else { continue };
        let pack = stock.say.unit.map_or(Pack::Count(1), |unit| unit.value);
        out.push(Purchase {
            stock: Some(*id),
            at_hand: *used,
            holds: amount(pack).map(|holds| (pack, holds, need_of(job, line, pack))),
            alone,
            from: stock.say.from.map(|from| from.0),
            ..bare(at, Some(0), weighs(job, line, stock, pack))
        });
    }
}

fn need_of(job: &Job, line: &Line, pack: Pack) -> i128 {
    need(job, line, pack).unwrap_or(0)
}

fn long(job: &Job, line: &Line) -> Option<Length> {
    let Line::Forms { sort: FormStuff::Sheets(size), .. } = line else { return None };
    let sheet = job.lumber_of(*size)?.say.sheet.as_ref()?;
    Some(sheet.wide.0.max(sheet.long.0))
}

/// What one pack of a stock weighs.
fn weighs(job: &Job, line: &Line, stock: &Thing<Stock>, pack: Pack) -> Option<Mass> {
    if let Some(weighs) = stock.say.weighs {
        return Some(weighs.0);
    }
    match pack {
        Pack::Mass(mass) => Some(mass),
        Pack::Count(count) => one_weighs(job, line).map(|mass| mass * count as f64),
        Pack::Length(_) | Pack::Area(_) | Pack::Volume(_) => None,
    }
}

/// What one of a line weighs, where it is known: a bag, a coil, a nail, a sheet.
fn one_weighs(job: &Job, line: &Line) -> Option<Mass> {
    match line {
        Line::Bags { mix, .. } => job.mix(*mix).map(|mix| mix.say.bag.value.weighs.0),
        Line::Wire { coil, .. } => Some(*coil),
        Line::Forms { sort: FormStuff::Nails8, .. } => Some(Mass::from_lb(1.0 / NAILS_8D_PER_LB)),
        Line::Forms { sort: FormStuff::Nails16, .. } => Some(Mass::from_lb(1.0 / NAILS_16D_PER_LB)),
        Line::Forms { sort: FormStuff::Sheets(size), .. } => {
            let sheet = job.lumber_of(*size)?.say.sheet.as_ref()?;
            Some(wood() * (sheet.wide.0 * sheet.long.0 * sheet.thick.0))
        }
        _ => None,
    }
}

/// Stock whose unit or length does not fit what it is of.
#[must_use]
pub fn misfits(job: &Job) -> Vec<Misfit> {
    let mut out = Vec::new();
    for stock in &job.stocks {
        let item = stock.say.item.0;
        let is_cut = match job.kind(item) {
            Some(KindId::Steel) => true,
            Some(KindId::Lumber) => job.lumber_of(item).is_some_and(|size| size.say.size.is_some()),
            _ => false,
        };
        let unit = stock.say.unit;
        if is_cut {
            let whole = matches!(unit.map(|unit| unit.value), None | Some(Pack::Count(1)));
            if stock.say.length.is_none() || !whole {
                out.push(Misfit::NoLength {
                    stock: stock.id,
                    unit: unit.filter(|_| stock.say.length.is_some()).map(|unit| unit.span),
                });
            }
            continue;
        }
        let pack = unit.map_or(Pack::Count(1), |unit| unit.value);
        let at = unit.map_or(stock.at, |unit| unit.span);
        if let Some((wanted, example)) = wanted(job, item, pack) {
            out.push(Misfit::Unit { stock: stock.id, at, wanted, example });
        }
    }
    out
}

/// What a thing is measured by, and an example, where this pack is of another measure.
fn wanted(job: &Job, item: BlockId, pack: Pack) -> Option<(&'static str, &'static str)> {
    let count = matches!(pack, Pack::Count(_));
    let mass = matches!(pack, Pack::Mass(_));
    match job.kind(item)? {
        KindId::Mix => (!count && !mass).then_some(("the bag or by weight", "unit 1 bag")),
        KindId::Resin => {
            (!count && !matches!(pack, Pack::Volume(_))).then_some(("the cartridge or by volume", "unit 1"))
        }
        KindId::Wire => (!count && !mass && !matches!(pack, Pack::Length(_)))
            .then_some(("the coil, by length or by weight", "unit 1")),
        KindId::Lumber => (!count).then_some(("the sheet", "unit 1 sheet")),
        KindId::Goods => {
            let goods = job.goods_of(item)?;
            let said = goods.say.want.map(|want| want.value);
            let usual = match goods.name.as_str() {
                "wrap-sheet" | "blankets" => Pack::Area(Area::ZERO),
                "nails-8d" | "nails-16d" if mass && said.is_none() => return None,
                _ => Pack::Count(1),
            };
            let of = said.unwrap_or(usual);
            (std::mem::discriminant(&of) != std::mem::discriminant(&pack)).then_some(match of {
                Pack::Count(_) => ("the piece", "unit 1"),
                Pack::Length(_) => ("length", "unit 50 ft"),
                Pack::Area(_) => ("area", "unit 200 ft2"),
                Pack::Volume(_) => ("volume", "unit 1 gal"),
                Pack::Mass(_) => ("weight", "unit 5 lb"),
            })
        }
        _ => None,
    }
}

/// What is left over of a line.
#[derive(Debug, Clone, PartialEq)]
pub enum Left {
    /// So much of what is counted or measured.
    Much(Pack),
    /// Pieces: how long, and how many so long; longest first.
    Pieces(Vec<(Length, u64)>),
}

/// What is left over when all is built, by line; lines of which nothing is left, or it is not known, are left out.
#[must_use]
pub fn left_over(job: &Job, around: &Over) -> Vec<(usize, Left)> {
    let mut out = Vec::new();
    let mut rest = around.purchases;
    for (at, line) in around.lines.iter().enumerate() {
        // Purchases stand in the order of their lines.
        let (mine, others) = rest.split_at(rest.partition_point(|one| one.line <= at));
        rest = others;
        let mut had = 0_i128;
        let mut measured: Option<(Pack, i128)> = None;
        for purchase in mine {
            let Some((pack, holds, need)) = purchase.holds else { continue };
            had += holds * i128::from(purchase.packs.unwrap_or(0).saturating_add(purchase.at_hand));
            measured = Some((pack, need));
        }
        let over = measured.and_then(|(pack, need)| of_measure(pack, had - need));
        let left = match line {
            Line::Bags { mix, count, .. } => {
                let yields = job.mix(*mix).map_or(Volume::ZERO, |mix| mix.say.bag.value.yields.0);
                let mixed: Volume =
                    around.mixings.iter().filter(|mixing| mixing.mix == *mix).map(|mixing| mixing.wanted).sum();
                let made = yields * i64::try_from(*count).unwrap_or(i64::MAX);
                over.or_else(|| (made > mixed).then(|| Pack::Volume(made - mixed))).map(Left::Much)
            }
            Line::Resin { resin, volume, cartridges: Some(count), .. } => {
                let cartridge = job.resin(*resin).and_then(|resin| resin.say.cartridge.as_ref());
                let bought = cartridge.map(|one| one.holds.0 * i64::try_from(*count).unwrap_or(i64::MAX));
                over.or_else(|| bought.filter(|all| all > volume).map(|all| Pack::Volume(all - *volume)))
                    .map(Left::Much)
            }
            Line::Bars { steel, .. } => {
                let plan = around.cuts.iter().find(|plan| plan.steel == *steel);
                let all = plan.iter().flat_map(|plan| &plan.cuts).map(|cut| (cut.left, cut.times));
                pieces(all)
            }
            Line::Forms { sort: FormStuff::Boards(size), .. } => {
                let plan = around.boards.iter().find(|plan| plan.size == *size);
                pieces(plan.iter().flat_map(|plan| &plan.cuts).map(|cut| (cut.left, cut.times)))
            }
            Line::Forms { sort: FormStuff::Sheets(size), count, .. } => {
                let sheet = job.lumber_of(*size).and_then(|lumber| lumber.say.sheet.as_ref());
                let sawn =
                    around.forms.iter().filter_map(|forms| forms.sheets.as_ref()).filter(|one| one.size == *size);
                let used: Area = sawn
                    .flat_map(|sheets| &sheets.lines)
                    .flat_map(|line| {
                        line.pieces.iter().map(|(long, high, count)| {
                            let count = i64::try_from(count.saturating_mul(line.times)).unwrap_or(i64::MAX);
                            *long * count * *high
                        })
                    })
                    .sum();
                let count = i64::try_from(*count).unwrap_or(i64::MAX);
                let all = sheet.map(|sheet| sheet.wide.0 * count * sheet.long.0);
                all.filter(|all| *all > used).map(|all| Left::Much(Pack::Area(all - used)))
            }
            _ => over.map(Left::Much),
        };
        out.extend(left.map(|left| (at, left)));
    }
    out
}

/// What leftovers are told from.
pub struct Over<'w> {
    /// The buy list.
    pub lines: &'w [Line],
    /// What is bought for it.
    pub purchases: &'w [Purchase],
    /// What is mixed.
    pub mixings: &'w [crate::concrete::Mixing],
    /// Cutting plans of bars.
    pub cuts: &'w [CutPlan],
    /// Those of boards.
    pub boards: &'w [Boards],
    /// Forms, with their sheets.
    pub forms: &'w [crate::formwork::Formwork],
}

fn pieces(all: impl Iterator<Item = (Length, u64)>) -> Option<Left> {
    let mut sums: std::collections::BTreeMap<Length, u64> = std::collections::BTreeMap::new();
    for (left, times) in all.filter(|(left, times)| *left > Length::ZERO && *times > 0) {
        *sums.entry(left).or_default() += times;
    }
    (!sums.is_empty()).then(|| Left::Pieces(sums.into_iter().rev().collect()))
}

fn of_measure(pack: Pack, amount: i128) -> Option<Pack> {
    if amount <= 0 {
        return None;
    }
    Some(match pack {
        Pack::Count(_) => Pack::Count(i64::try_from(amount).unwrap_or(i64::MAX)),
        Pack::Length(_) => Pack::Length(Length::from_nm(i64::try_from(amount).unwrap_or(i64::MAX))),
        Pack::Area(_) => Pack::Area(Area::from_nm2(amount)),
        Pack::Volume(_) => Pack::Volume(Volume::from_nm3(amount)),
        Pack::Mass(_) => Pack::Mass(Mass::from_kg(amount as f64 / 1e9)),
    })
}

/// The library's name of what is counted, for `stock … for`.
pub(super) fn library_name(line: &Line) -> Option<&'static str> {
    match line {
        Line::Supports { sort: Support::Chair, .. } => Some("chairs"),
        Line::Supports { sort: Support::Spacer, .. } => Some("side-spacers"),
        Line::Forms { sort: FormStuff::Nails8, .. } => Some("nails-8d"),
        Line::Forms { sort: FormStuff::Nails16, .. } => Some("nails-16d"),
        Line::Forms { sort: FormStuff::Stakes, .. } => Some("stakes"),
        Line::Goods { sort, .. } => sort.item().strip_prefix("job."),
        _ => None,
    }
}

//! The worked numbers of the buy list: `buy.ITEM.quantity`.

use std::collections::BTreeSet;

use super::{FormStuff, Line, Sundry, Support, used};
use crate::{
    concrete::Mixing,
    facts::Facts,
    holes::Fill,
    job::{Job, Thing},
    ledger::{Entry, Figure, Input, Ledger, Usual},
    schema::{self, BlockId, KindId, Pack, Said},
    steel::{self, BarsMade},
    units::Mass,
};

/// Enters the lines of the buy list.
pub fn enter(
    job: &Job,
    lines: &[Line],
    mixings: &[Mixing],
    facts: &Facts,
    fills: &[Fill],
    bars: &[BarsMade],
    ledger: &mut Ledger,
) {
    if !ledger.is_on() {
        return;
    }
    for line in lines {
        match line {
            Line::Bags { mix, count, weight } => {
                let mine = || mixings.iter().filter(|mixing| mixing.mix == *mix);
                let pours: Vec<BlockId> =
                    mine().map(|mixing| mixing.pour).filter(|pour| used(facts, *pour).is_none()).collect();
                let done: Vec<Said<u64>> = mine().filter_map(|mixing| used(facts, mixing.pour)).collect();
                let mut item = Item { job, name: job.name(*mix), ledger };
                let Some(mix) = job.mix(*mix) else { continue };
                let said = |bags: &Said<u64>| Input::said("part", bags.span, Figure::Count(bags.value));
                item.sum_with("packs", Figure::Count(*count), &pours, "bags", done.iter().map(said));
                let weighs = |bags: &Said<u64>| {
                    let weight = mix.say.bag.value.weighs.0 * bags.value as f64;
                    Input::given(
                        "part",
                        Figure::Mass(weight),
                        "the bags that were used of a pour, each as its mix says",
                    )
                };
                item.sum_with("weight", Figure::Mass(*weight), &pours, "bags-weight", done.iter().map(weighs));
                let yields = mix.say.bag.value.yields.0;
                let made = yields * i64::try_from(*count).unwrap_or(i64::MAX);
                let said = Input::said("yields", mix.said(KindId::Mix, "bag"), Figure::Volume(yields));
                item.from("concrete", Figure::Volume(made), "bags * yields", ("bags", "packs"), said);
            }
            Line::Resin { resin, volume, cartridges, nozzles, .. } => {
                let holes: Vec<BlockId> =
                    fills.iter().filter(|fill| fill.resin == *resin).map(|fill| fill.holes).collect();
                let cracks = job.cracks.iter().filter(|crack| crack.say.fill.is_some_and(|fill| fill.0 == *resin));
                let filled: Vec<BlockId> = holes.iter().copied().chain(cracks.map(|crack| crack.id)).collect();
                let mut item = Item { job, name: job.name(*resin), ledger };
                item.sum("volume", Figure::Fluid(*volume), &filled, "resin-order");
                if !holes.is_empty() {
                    item.sum("nozzles", Figure::Count(*nozzles), &holes, "nozzles");
                }
                let Some(resin) = job.resin(*resin) else { continue };
                if let (Some(cartridge), Some(count)) = (&resin.say.cartridge, cartridges) {
                    let size = cartridge.holds.0;
                    let of = volume.cubic_metres() / size.cubic_metres();
                    let value = Figure::Whole { count: *count, of };
                    let at = resin.said(KindId::Resin, "cartridge");
                    let said = Input::said("cartridge", at, Figure::Fluid(size));
                    let formula = "volume / cartridge, up to whole cartridges";
                    item.from("packs", value, formula, ("volume", "volume"), said);
                }
            }
            Line::Bars { steel, bought, pieces, length, longest, weight } => {
                let made: Vec<&BarsMade> = bars.iter().filter(|made| made.steel.id == *steel).collect();
                let blocks: Vec<BlockId> = made.iter().map(|made| made.id).collect();
                let cuts: BTreeSet<String> = made
                    .iter()
                    .flat_map(|made| made.groups.iter().map(|group| steel::of_mark(job, made, "cut", group.mark)))
                    .collect();
                let mut item = Item { job, name: job.name(*steel), ledger };
                item.sum("count", Figure::Count(*pieces), &blocks, "count");
                item.sum("length", Figure::Cut(*length), &blocks, "length");
                let inputs = cuts.iter().filter_map(|name| item.ledger.number("part", name)).collect();
                item.enter("longest", Figure::Cut(*longest), "the longest of the parts", inputs);
                let Some(steel) = job.steel(*steel) else { continue };
                let per = Figure::MassPerMetre(steel.say.weight.weight.0 / steel.say.weight.per.0.metres());
                let said = Input::said("weight", steel.said(KindId::Steel, "weight"), per);
                let (formula, of) = match bought {
                    Some(_) => ("bought * weight", "bought"),
                    None => ("length * weight", "length"),
                };
                item.from("weight", Figure::Mass(*weight), formula, (of, of), said);
            }
            Line::Wire { wire, coils, coil, length, weight } => {
                let Some(thing) = job.wire(*wire) else { continue };
                let mut item = Item { job, name: &thing.name, ledger };
                let inputs = item.ledger.number("wire", "job.ties.wire").into_iter().collect();
                item.enter("length", Figure::Length(*length), "wire", inputs);
                let net = item.ledger.find("job.ties.wire-weight").map(|entry| entry.value);
                let of = match net {
                    Some(Figure::Mass(net)) => net.kg() / coil.kg(),
                    _ => 0.0,
                };
                let size = coil_of(thing, *coil);
                let net = item.ledger.number("weight", "job.ties.wire-weight");
                let inputs = net.into_iter().chain([size]).collect();
                let value = Figure::Whole { count: *coils, of };
                item.enter("packs", value, "weight / coil, up to whole coils", inputs);
                item.from("weight", Figure::Mass(*weight), "coils * coil", ("coils", "packs"), size);
            }
            Line::Supports { sort, count } => {
                let of = match sort {
                    Support::Chair => "job.ties.chairs",
                    Support::Spacer => "job.ties.spacers",
                };
                let named = super::purchase::library_name(line).and_then(|name| want(job, name));
                let inputs = named.or_else(|| ledger.number("count", of)).into_iter().collect();
                Item { job, name: sort.item(), ledger }.enter("packs", Figure::Count(*count), "count", inputs);
            }
            Line::Forms { sort, count, .. } => {
                let (formula, why) = match sort {
                    FormStuff::Boards(_) => ("count, of the cutting plan", "boards that the cutting plan buys"),
                    FormStuff::Sheets(_) => ("count, of the layout", "whole sheets of the layout"),
                    FormStuff::Nails8 => ("count", "one every 8 in along studs and cleats: common practice, no source"),
                    FormStuff::Nails16 => ("count", "two at each joint, more where a bulkhead asks for them"),
                    FormStuff::Stakes => ("count", "one at each foot"),
                };
                let named = super::purchase::library_name(line).and_then(|name| want(job, name));
                let inputs = vec![named.unwrap_or(Input::given("count", Figure::Count(*count), why))];
                Item { job, name: sort.item(job), ledger }.enter("packs", Figure::Count(*count), formula, inputs);
            }
            Line::Goods { sort, amount, .. } => {
                let Some(figure) = amount.and_then(figure) else { continue };
                let name = super::purchase::library_name(line);
                let given = Input::given("count", figure, reckoned(*sort));
                let inputs = vec![name.and_then(|name| want(job, name)).unwrap_or(given)];
                Item { job, name: sort.item(), ledger }.enter(quantity(figure), figure, "count", inputs);
            }
            Line::Own { goods, amount } => {
                let Some(figure) = figure(*amount) else { continue };
                let Some(goods) = job.goods_of(*goods) else { continue };
                let said = Input::said("want", goods.said(KindId::Goods, "want"), figure);
                Item { job, name: &goods.name, ledger }.enter(quantity(figure), figure, "want", vec![said]);
            }
        }
    }
}

/// What is wanted of goods of the library by whoever writes it.
fn want(job: &Job, name: &str) -> Option<Input> {
    let goods = job.goods.iter().find(|goods| goods.name == name)?;
    let figure = figure(goods.say.want?.value)?;
    Some(Input::said("count", goods.said(KindId::Goods, "want"), figure))
}

/// What the number of an amount is called: only what is counted is packs.
fn quantity(figure: Figure) -> &'static str {
    if matches!(figure, Figure::Count(_)) { "packs" } else { "wanted" }
}

/// An amount as a number.
pub(super) fn figure(amount: Pack) -> Option<Figure> {
    Some(match amount {
        Pack::Count(count) => Figure::Count(u64::try_from(count).ok()?),
        Pack::Length(length) => Figure::Length(length),
        Pack::Area(area) => Figure::Area(area),
        Pack::Volume(volume) => Figure::Volume(volume),
        Pack::Mass(mass) => Figure::Mass(mass),
    })
}

/// Why so many goods of a sort.
fn reckoned(sort: Sundry) -> &'static str {
    match sort {
        Sundry::FormTies => "rows of ties, so many along each face",
        Sundry::HoldDowns => "so many along each face",
        Sundry::Nozzles => "nozzles used up, less those in the packs",
        Sundry::Blades => "what the cuts wear by `lasts`, up to whole blades; one of each size where nothing is said",
        Sundry::Bits => "what the holes wear by `lasts`, up to whole bits; one of each width where nothing is said",
        Sundry::Props => "posts of all supports",
        Sundry::Wrap | Sundry::Blankets => "top and formed faces, without laps and edges",
        Sundry::BarCaps => "one on each free end",
        Sundry::Respirators | Sundry::Goggles | Sundry::Muffs | Sundry::WorkGloves | Sundry::RubberGloves => {
            "one for each who is there at once, at the step that needs most"
        }
    }
}

/// What a coil weighs: as it is said, or as is usual.
fn coil_of(wire: &Thing<schema::Wire>, coil: Mass) -> Input {
    match wire.say.coil {
        Some(_) => Input::said("coil", wire.said(KindId::Wire, "coil"), Figure::Mass(coil)),
        None => {
            let source = "coils of 3 to 4 lb are usual: a trade magazine";
            Input::usual("coil", Usual { clause: "wire.coil", value: Figure::Mass(coil), source })
        }
    }
}

/// One line of the list.
struct Item<'b> {
    job: &'b Job,
    name: &'b str,
    ledger: &'b mut Ledger,
}

impl Item<'_> {
    fn enter(&mut self, quantity: &str, value: Figure, formula: &'static str, inputs: Vec<Input>) {
        let name = format!("buy.{}.{quantity}", self.name);
        self.ledger.enter(|| Entry { name, value, formula, source: "", inputs });
    }

    /// The sum of a number of these blocks.
    fn sum(&mut self, quantity: &str, value: Figure, blocks: &[BlockId], of: &str) {
        self.sum_with(quantity, value, blocks, of, std::iter::empty());
    }

    fn sum_with(
        &mut self,
        quantity: &str,
        value: Figure,
        blocks: &[BlockId],
        of: &str,
        more: impl Iterator<Item = Input>,
    ) {
        let names = blocks.iter().map(|block| format!("{}.{of}", self.job.name(*block)));
        let inputs = names.filter_map(|name| self.ledger.number("part", &name)).chain(more).collect();
        self.enter(quantity, value, "sum of the parts", inputs);
    }

    /// Made of another number of the line, and of something that was typed. The other: its symbol, its quantity.
    fn from(&mut self, quantity: &str, value: Figure, formula: &'static str, other: (&'static str, &str), said: Input) {
        let other = self.ledger.number(other.0, &format!("buy.{}.{}", self.name, other.1));
        self.enter(quantity, value, formula, other.into_iter().chain([said]).collect());
    }
}

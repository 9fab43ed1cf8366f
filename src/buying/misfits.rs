//! Stock that does not fit what it is of: pieces without a length, packs of another measure.

use crate::{
    job::Job,
    schema::{BlockId, KindId, Pack},
    source::Span,
    units::Area,
};

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

//! What is left over when all is built.

use std::collections::BTreeMap;

use super::{FormStuff, Line, Purchase, used};
use crate::{
    concrete::Mixing,
    facts::Facts,
    formwork::{Boards, Formwork},
    job::Job,
    schema::Pack,
    steel::CutPlan,
    units::{Area, Length, Mass, Volume},
};

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
                let mixed = |mixing: &Mixing| match used(around.facts, mixing.pour) {
                    Some(bags) => yields * i64::try_from(bags.value).unwrap_or(i64::MAX),
                    None => mixing.wanted,
                };
                let mixed: Volume = around.mixings.iter().filter(|mixing| mixing.mix == *mix).map(mixed).sum();
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
    pub mixings: &'w [Mixing],
    /// What really happened.
    pub facts: &'w Facts,
    /// Cutting plans of bars.
    pub cuts: &'w [CutPlan],
    /// Those of boards.
    pub boards: &'w [Boards],
    /// Forms, with their sheets.
    pub forms: &'w [Formwork],
}

fn pieces(all: impl Iterator<Item = (Length, u64)>) -> Option<Left> {
    let mut sums: BTreeMap<Length, u64> = BTreeMap::new();
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

//! What is fetched with the truck, and what is carted off with it: weights and trips.

use foldhash::HashMap;

use super::{Line, Purchase};
use crate::{
    job::Job,
    schema::BlockId,
    sitework::Debris,
    units::{Length, Mass, Volume, whole_up},
};

/// What is fetched from one supplier, or from nobody said.
#[derive(Debug, Clone, PartialEq)]
pub struct Fetched {
    /// Who; none where nobody is said.
    pub from: Option<BlockId>,
    /// Its weight, as far as it is known.
    pub weight: Mass,
    /// Trips, whole packs loaded as they are listed.
    pub trips: u64,
    /// The weight of each purchase that is known, by its place in the list.
    pub loaded: Vec<(usize, Mass)>,
}

/// What is carted off.
#[derive(Debug, Clone, PartialEq)]
pub struct Rubble {
    /// The strips.
    pub strips: Vec<BlockId>,
    /// Its weight.
    pub weight: Mass,
    /// Its room, broken.
    pub loose: Volume,
    /// Trips with the truck; none without one.
    pub trips: Option<u64>,
}

/// What the truck does.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Loads {
    /// The truck.
    pub truck: Option<BlockId>,
    /// What is fetched, by supplier: those of the file in their order, then nobody said.
    pub fetched: Vec<Fetched>,
    /// Lines whose weight is not known.
    pub unknown: Vec<usize>,
    /// Pieces longer than the truck: place of the purchase, how long, how long the truck takes.
    pub long: Vec<(usize, Length, Length)>,
}

/// What is fetched. What a supplier delivers is not.
#[must_use]
pub fn loads(job: &Job, lines: &[Line], purchases: &[Purchase]) -> Loads {
    let Some(truck) = job.trucks.first() else { return Loads::default() };
    let carries = truck.say.carries.0;
    let mut out = Loads { truck: Some(truck.id), ..Loads::default() };
    let mut sold: HashMap<Option<BlockId>, Vec<(usize, &Purchase)>> = HashMap::default();
    for (at, purchase) in purchases.iter().enumerate() {
        sold.entry(purchase.from).or_default().push((at, purchase));
    }
    let sellers = job.suppliers.iter().filter(|supplier| supplier.say.delivery.is_none());
    for from in sellers.map(|supplier| Some(supplier.id)).chain([None]) {
        let mine = sold.remove(&from).unwrap_or_default();
        let mut fetched = Fetched { from, weight: Mass::ZERO, trips: 0, loaded: Vec::new() };
        let mut on = Mass::ZERO;
        for (at, purchase) in mine {
            if let (Some(long), Some(longest)) = (purchase.long, truck.say.longest)
                && long > longest.value.0
                && purchase.packs != Some(0)
            {
                out.long.push((at, long, longest.value.0));
            }
            let Some(packs) = purchase.packs.filter(|packs| *packs > 0) else {
                continue;
            };
            let Some(one) = purchase.weighs else {
                if out.unknown.last() != Some(&purchase.line) && lines.get(purchase.line).is_some() {
                    out.unknown.push(purchase.line);
                }
                continue;
            };
            fetched.weight += one * packs as f64;
            fetched.loaded.push((at, one * packs as f64));
            load(one, packs, carries, &mut on, &mut fetched.trips);
        }
        // Where no weight is known no trip can be told.
        if !fetched.loaded.is_empty() {
            out.fetched.push(fetched);
        }
    }
    out
}

/// Loads so many alike, one after the other; a new trip where the next does not fit. What is too heavy goes by itself.
fn load(one: Mass, packs: u64, carries: Mass, on: &mut Mass, trips: &mut u64) {
    if *trips == 0 {
        *trips = 1;
    }
    let fits =
        |room: Mass| if one > Mass::ZERO { (room.kg() / one.kg() + 1e-9).floor().max(0.0) as u64 } else { packs };
    let first = fits(carries - *on).min(packs);
    *on += one * first as f64;
    let left = packs - first;
    if left == 0 {
        return;
    }
    let each = fits(carries).max(1);
    let more = left.div_ceil(each);
    *trips += if *on == Mass::ZERO { more - 1 } else { more };
    *on = one * (left - (more - 1) * each) as f64;
}

/// What is carted off of these strips, of all if none is named.
#[must_use]
pub fn rubble(job: &Job, debris: &[Debris], strips: Option<&[BlockId]>) -> Rubble {
    let mine: Vec<&Debris> =
        debris.iter().filter(|debris| strips.is_none_or(|strips| strips.contains(&debris.strip))).collect();
    let weight: Mass = mine.iter().map(|debris| debris.weight).sum();
    let loose: Volume = mine.iter().map(|debris| debris.loose).sum();
    let trips = job.trucks.first().map(|truck| {
        let by_weight = whole_up(weight.kg() / truck.say.carries.0.kg());
        let by_room = truck.say.holds.map_or(0, |holds| whole_up(loose.cubic_metres() / holds.0.cubic_metres()));
        by_weight.max(by_room)
    });
    Rubble { strips: mine.iter().map(|debris| debris.strip).collect(), weight, loose, trips }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_packs_are_loaded_one_after_the_other() {
        // 28 bags of 80 lb on a truck for 1400 lb: 17 and 11.
        let (carries, mut on, mut trips) = (Mass::from_lb(1400.0), Mass::ZERO, 0);
        load(Mass::from_lb(80.0), 28, carries, &mut on, &mut trips);
        assert_eq!(trips, 2);
        assert!((on.lb() - 880.0).abs() < 1e-9);
        // 520 lb are free: six of 90 lb are one too many.
        load(Mass::from_lb(90.0), 6, carries, &mut on, &mut trips);
        assert_eq!(trips, 3);
        assert!((on.lb() - 90.0).abs() < 1e-9);
        // Too heavy for any trip: each goes by itself.
        let (mut on, mut trips) = (Mass::ZERO, 0);
        load(Mass::from_lb(2000.0), 3, carries, &mut on, &mut trips);
        assert_eq!(trips, 3);
    }
}

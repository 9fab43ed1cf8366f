//! Whole packs that hold an amount at the least cost: exact, by counting down from the cheapest by content. Knows contents and
//! prices only.

use crate::units::Exact;

/// A pack that can be bought.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Offer {
    /// What it holds, in the unit of what is wanted; above zero.
    pub holds: i128,
    /// What it costs; zero or more.
    pub price: Exact,
}

/// How many of each pack.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cover {
    /// The packs, in the order of the offers.
    pub counts: Vec<u64>,
    /// What they cost.
    pub cost: Exact,
    /// Nothing costs less; false where there were more ways than are tried.
    pub proven: bool,
}

/// How many steps are taken before the best so far is given.
const STEPS_AT_MOST: u32 = 20_000;

/// The cheapest packs that together hold at least so much; of equal ones those with most of what is cheapest by content.
/// Nothing where there is no offer, or a number is too large.
#[must_use]
pub fn cover(need: i128, offers: &[Offer]) -> Option<Cover> {
    let nothing = || Cover { counts: vec![0; offers.len()], cost: Exact::ZERO, proven: true };
    if need <= 0 {
        return Some(nothing());
    }
    let by_content = |offer: &Offer| offer.price.over(Exact::whole(offer.holds));
    let mut order = Vec::with_capacity(offers.len());
    for (at, offer) in offers.iter().enumerate().filter(|(_, offer)| offer.holds > 0) {
        order.push((by_content(offer)?, std::cmp::Reverse(offer.holds), at));
    }
    order.sort_unstable();
    let picked: Vec<(Exact, Offer, usize)> =
        order.into_iter().filter_map(|(unit, _, at)| Some((unit, *offers.get(at)?, at))).collect();
    if picked.is_empty() {
        return None;
    }
    let mut best: Option<(Exact, Vec<u64>)> = None;
    // Packs taken of each offer so far; what is still wanted, and what it costs until there.
    let mut taken: Vec<u64> = Vec::with_capacity(picked.len());
    let (mut left, mut cost) = (vec![need], vec![Exact::ZERO]);
    let mut steps = 0;
    loop {
        let (rest, paid) = (*left.last()?, *cost.last()?);
        steps += 1;
        let cut_short = steps > STEPS_AT_MOST && best.is_some();
        let go_on = if rest <= 0 {
            if best.as_ref().is_none_or(|(least, _)| paid < *least) {
                best = Some((paid, taken.clone()));
            }
            false
        } else if let (Some((unit, offer, _)), false) = (picked.get(taken.len()), cut_short) {
            // What is left costs at least what it costs by the cheapest content there is.
            let least = paid.plus(unit.times(Exact::whole(rest))?)?;
            let may_be_less = best.as_ref().is_none_or(|(known, _)| least < *known);
            if may_be_less {
                let whole = rest.checked_add(offer.holds - 1)? / offer.holds;
                push(&mut taken, &mut left, &mut cost, u64::try_from(whole).ok()?, offer)?;
            }
            may_be_less
        } else {
            false
        };
        if go_on {
            continue;
        }
        // One pack less of the last offer that has one to spare.
        loop {
            let Some(count) = taken.pop() else {
                let (least, counts) = best?;
                let mut out = vec![0; offers.len()];
                for (count, (_, _, at)) in counts.iter().zip(&picked) {
                    if let Some(slot) = out.get_mut(*at) {
                        *slot = *count;
                    }
                }
                return Some(Cover { counts: out, cost: least, proven: steps <= STEPS_AT_MOST });
            };
            left.pop();
            cost.pop();
            if count > 0 && steps <= STEPS_AT_MOST {
                let offer = picked.get(taken.len())?.1;
                push(&mut taken, &mut left, &mut cost, count - 1, &offer)?;
                break;
            }
        }
    }
}

fn push(taken: &mut Vec<u64>, left: &mut Vec<i128>, cost: &mut Vec<Exact>, count: u64, offer: &Offer) -> Option<()> {
    let (rest, paid) = (*left.last()?, *cost.last()?);
    left.push(rest.checked_sub(offer.holds.checked_mul(i128::from(count))?)?);
    cost.push(paid.plus(offer.price.times(Exact::whole(i128::from(count)))?)?);
    taken.push(count);
    Some(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn offer(holds: i128, cents: i128) -> Offer {
        Offer { holds, price: Exact::new(cents, 100).unwrap() }
    }

    #[test]
    fn a_large_pack_and_a_small_one_go_together() {
        // 130 wanted: a hundred at 8.00 and one box of 25 at 3.00 hold 125; two of 25 hold 150: 14.00. Two hundreds: 16.00.
        let cover = cover(130, &[offer(25, 300), offer(100, 800)]).unwrap();
        assert_eq!((cover.counts, cover.cost, cover.proven), (vec![2, 1], Exact::whole(14), true));
        assert_eq!(super::cover(130, &[]), None);
        assert_eq!(super::cover(0, &[]).unwrap().cost, Exact::ZERO);
    }

    /// All ways, by trying them.
    fn brute(need: i128, offers: &[Offer]) -> Exact {
        let mut best: Option<Exact> = None;
        let most: Vec<i128> = offers.iter().map(|offer| (need + offer.holds - 1) / offer.holds).collect();
        let mut counts = vec![0_i128; offers.len()];
        loop {
            let holds: i128 = counts.iter().zip(offers).map(|(count, offer)| count * offer.holds).sum();
            let cost = counts.iter().zip(offers).fold(Exact::ZERO, |sum, (count, offer)| {
                sum.plus(offer.price.times(Exact::whole(*count)).unwrap()).unwrap()
            });
            if holds >= need && best.is_none_or(|least| cost < least) {
                best = Some(cost);
            }
            let Some(at) = (0..counts.len()).find(|at| counts[*at] < most[*at]) else { return best.unwrap() };
            counts[at] += 1;
            counts[..at].fill(0);
        }
    }

    proptest! {
        #[test]
        fn nothing_costs_less(need in 1_i128..60, all in prop::collection::vec((1_i128..30, 1_i128..900), 1..4)) {
            let offers: Vec<Offer> = all.into_iter().map(|(holds, cents)| offer(holds, cents)).collect();
            let found = cover(need, &offers).unwrap();
            let holds: i128 = found.counts.iter().zip(&offers).map(|(count, offer)| i128::from(*count) * offer.holds).sum();
            prop_assert!(found.proven && holds >= need);
            prop_assert_eq!(found.cost, brute(need, &offers));
        }
    }
}

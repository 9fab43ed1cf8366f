//! What is hired: for which days, at which of its prices, and what that comes to.

use std::collections::BTreeSet;

use foldhash::HashMap;

use super::{packs, purchase};
use crate::{
    job::{Job, Thing},
    plan::{Dated, Days},
    scheduling::DAY,
    schema::{BlockId, DaysKept, Hire},
    units::{Currency, Exact, Money},
};

/// How often one of the prices is paid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Taken {
    /// Which, in the order they are written.
    pub rate: usize,
    /// How often, for one piece.
    pub times: u64,
}

/// Something hired.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hired {
    /// Which.
    pub hire: BlockId,
    /// Days that are paid; none where they are not known.
    pub days: Option<u64>,
    /// The days were written.
    pub said: bool,
    /// The first and the last day, counted from the job's start; none where no days are planned.
    pub span: Option<(i64, i64)>,
    /// How often it is brought and fetched: once, or anew after each time it went back.
    pub brought: u64,
    /// Seconds its steps are worked in.
    pub seconds: i64,
    /// How many of it.
    pub count: u64,
    /// The prices that are paid.
    pub taken: Vec<Taken>,
    /// What it costs, rounded once; none where it is not priced, or its days are not known.
    pub cost: Option<Money>,
}

/// All that is hired, as it is written.
#[must_use]
pub fn hires(job: &Job, days: Option<&Days>, currency: Option<Currency>) -> Vec<Hired> {
    if job.hires.is_empty() {
        return Vec::new();
    }
    let done = days.into_iter().flat_map(|days| &days.done).map(|dated| (dated.node, dated)).collect();
    job.hires.iter().map(|hire| hired(hire, &done, currency)).collect()
}

fn hired(hire: &Thing<Hire>, done: &HashMap<BlockId, &Dated>, currency: Option<Currency>) -> Hired {
    let say = &hire.say;
    let steps: BTreeSet<BlockId> = say.steps.iter().map(|step| step.value.0).collect();
    let planned = steps.iter().filter_map(|step| done.get(step));
    let mut used: BTreeSet<i64> = BTreeSet::new();
    let mut seconds = 0;
    let mut found = 0;
    for dated in planned {
        found += 1;
        let placed = &dated.placed;
        used.insert(placed.start.div_euclid(DAY));
        used.insert((placed.finish - 1).max(placed.start).div_euclid(DAY));
        seconds += dated.worked;
        for (from, to) in &placed.pieces {
            used.extend(from.div_euclid(DAY)..=(to - 1).max(*from).div_euclid(DAY));
        }
    }
    let span = (found == steps.len()).then(|| used.first().copied().zip(used.last().copied())).flatten();
    let of_plan = span.map(|(first, last)| match say.days {
        Some(DaysKept::Used) => u64::try_from(used.len()).unwrap_or(u64::MAX),
        Some(DaysKept::Through) | None => u64::try_from(last - first + 1).unwrap_or(0),
    });
    // What goes back overnight only stays: it is brought anew after a day without it.
    let gone_back = used.iter().zip(used.iter().skip(1)).filter(|(day, next)| **next > **day + 1).count() as u64;
    let returns = say.kept.is_none() && span.is_some() && matches!(say.days, Some(DaysKept::Used));
    let kept = say.kept.map(|kept| crate::units::whole_up(kept.0.seconds() / DAY as f64));
    let count = say.count.and_then(|count| u64::try_from(count.0).ok()).unwrap_or(1);
    let mut out = Hired {
        hire: hire.id,
        days: kept.or(of_plan),
        said: kept.is_some(),
        span,
        brought: if returns { gone_back + 1 } else { 1 },
        seconds: if kept.is_some() { say.kept.map_or(0, |kept| kept.0.seconds().ceil() as i64) } else { seconds },
        count,
        taken: Vec::new(),
        cost: None,
    };
    if let Some(currency) = currency
        && let Some((taken, cost)) = rates(say, &out, currency)
    {
        let cost = cost.times(Exact::whole(i128::from(count))).and_then(|cost| purchase::rounded(cost, currency));
        out.taken = taken;
        out.cost = cost;
    }
    out
}

/// The prices that come to the least: those for days or longer against the days, those for less than a day against the hours
/// that are worked, whichever is less; or the price that is paid once.
fn rates(say: &Hire, hired: &Hired, currency: Currency) -> Option<(Vec<Taken>, Exact)> {
    let rates = || say.rates.0.iter().map(|rate| &rate.value).enumerate();
    if rates().any(|(_, rate)| rate.price.0.currency != currency) {
        return None;
    }
    if let Some((at, once)) = rates().find(|(_, rate)| rate.per.is_none()) {
        return Some((vec![Taken { rate: at, times: 1 }], once.price.0.amount));
    }
    let of = |is_long: bool, need: i64| -> Option<(Vec<Taken>, Exact)> {
        let mut places = Vec::new();
        let mut offers = Vec::new();
        for (at, rate) in rates() {
            let holds = rate.per.map_or(0, |per| per.0.seconds().round() as i64);
            if holds > 0 && (holds >= DAY) == is_long {
                places.push(at);
                offers.push(packs::Offer { holds: i128::from(holds), price: rate.price.0.amount });
            }
        }
        let cover = packs::cover(i128::from(need), &offers).filter(|_| !offers.is_empty())?;
        let counts = places.into_iter().zip(cover.counts);
        let taken = counts.filter(|(_, times)| *times > 0).map(|(rate, times)| Taken { rate, times });
        Some((taken.collect(), cover.cost))
    };
    let days = hired.days.and_then(|days| i64::try_from(days).ok());
    let long = days.and_then(|days| of(true, days.saturating_mul(DAY)));
    let short = (hired.days.is_some() && hired.seconds > 0).then(|| of(false, hired.seconds)).flatten();
    match (long, short) {
        (Some(long), Some(short)) => Some(if short.1 < long.1 { short } else { long }),
        (long, short) => long.or(short),
    }
}

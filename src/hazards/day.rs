//! What the steps of one day come to together, for one who does all of them.

use std::collections::BTreeMap;

use foldhash::HashMap;

use super::AtStep;
use crate::{
    plan::{Dated, Days},
    scheduling::DAY,
    schema::BlockId,
    standards::{
        Worked,
        hazards::{Exchange, Vibration, noise_dose, vibration},
    },
    units::{Date, Duration, Ratio},
};

/// A day on which several steps are loud, or shake.
#[derive(Debug, Clone)]
pub struct OfDay {
    /// The day.
    pub date: Date,
    /// The steps, in the order they are begun.
    pub steps: Vec<BlockId>,
    /// The day's dose of noise.
    pub noise: Option<Worked<Ratio>>,
    /// The day's dose of shaking.
    pub shaking: Option<Worked<Vibration>>,
}

/// The days with more than one loud or shaking step whose time is known. Of a step that goes on over several days each has its part,
/// by the time it is worked at. What is done is not looked at again.
#[must_use]
pub fn by_day(days: &Days, all: &[AtStep]) -> Vec<OfDay> {
    let dated: HashMap<BlockId, &Dated> = days.done.iter().map(|dated| (dated.node, dated)).collect();
    let mut by_day: BTreeMap<i64, Vec<(i64, f64, &AtStep)>> = BTreeMap::new();
    for at in all.iter().filter(|at| at.noise.is_some() || at.shaking.is_some()) {
        let Some(dated) = dated.get(&at.step).filter(|dated| dated.past.is_none()) else { continue };
        let pieces = &dated.placed.pieces;
        let worked: i64 = pieces.iter().map(|(from, to)| to - from).sum();
        let mut parts: BTreeMap<i64, (i64, f64)> = BTreeMap::new();
        for (from, to) in pieces.iter().filter(|_| worked > 0) {
            let part = parts.entry(from.div_euclid(DAY)).or_insert((*from, 0.0));
            part.1 += (to - from) as f64 / worked as f64;
        }
        for (day, (from, part)) in parts {
            by_day.entry(day).or_default().push((from, part, at));
        }
    }
    let several = by_day.into_iter().filter(|(_, steps)| steps.len() > 1);
    several.filter_map(|(day, steps)| Some(of_day(days.date(day * DAY)?, steps))).collect()
}

fn of_day(date: Date, mut steps: Vec<(i64, f64, &AtStep)>) -> OfDay {
    steps.sort_by_key(|(from, ..)| *from);
    let noise: Vec<(f64, Duration)> = steps
        .iter()
        .filter_map(|(_, part, at)| at.noise.as_ref().and_then(|noise| Some((noise.level.dba(), noise.lasts? * *part))))
        .collect();
    let shaking: Vec<(f64, Duration)> = steps
        .iter()
        .filter_map(|(_, part, at)| {
            at.shaking.as_ref().and_then(|shaking| Some((shaking.shakes.m_s2(), shaking.held? * *part)))
        })
        .collect();
    OfDay {
        date,
        steps: steps.iter().map(|(_, _, at)| at.step).collect(),
        noise: noise_dose(&noise, Exchange::Osha).ok(),
        shaking: vibration(&shaking).ok(),
    }
}

//! A section's plan leg by leg, and how far along it the concrete reaches while it is filled from its left end.

use super::{
    sections::{Placed, depth},
    standing::{Interval, LegAt, Piece, Standing},
};
use crate::{
    job::Thing,
    schema::Section,
    units::{Area, Length},
};

/// A leg's part of a section in plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnLeg {
    /// From where to where.
    pub interval: Interval,
    /// How thick the section is there.
    pub thick: Length,
    /// All of it, with what it begins with round an outside corner, and without what the leg before has of it in an inside one.
    pub plan: Area,
}

impl OnLeg {
    /// Round an outside corner what stands before its start, in square metres; below 0 what the leg before has of it in an inside one.
    fn corner(&self) -> f64 {
        let long = self.interval.end - self.interval.start;
        self.plan.square_metres() - self.thick.metres() * long.metres()
    }
}

/// Where the concrete of one layer ends when so much of it, a part of 1, lies in a section, filled from its left end all over its
/// thickness: the leg and the station there. Of a section whose plan is known.
#[must_use]
pub fn filled_to(section: &Thing<Section>, standing: &Standing, placed: &Placed, part: f64) -> Option<(LegAt, Length)> {
    let all: Vec<OnLeg> = placed.runs.iter().flat_map(|run| on_legs(section, standing, run)).collect();
    let mut left = all.iter().map(|leg| leg.plan.square_metres()).sum::<f64>() * part.clamp(0.0, 1.0);
    let mut reached = all.first().map(|leg| (leg.interval.on, leg.interval.start))?;
    for leg in &all {
        if left < leg.plan.square_metres() {
            let straight = left - leg.corner();
            if straight <= 0.0 {
                return Some(reached);
            }
            let end = leg.interval.end - leg.interval.start;
            let far = Length::round_nm(straight / leg.thick.metres() * 1e9).min(end);
            return Some((leg.interval.on, leg.interval.start + far));
        }
        left -= leg.plan.square_metres();
        reached = (leg.interval.on, leg.interval.end);
    }
    Some(reached)
}

/// A section's plan along one run, leg by leg from the left.
#[must_use]
pub fn on_legs(section: &Thing<Section>, standing: &Standing, run: &Piece) -> Vec<OnLeg> {
    let ((first, start), _) = run;
    let mut before = Area::ZERO;
    let mut out: Vec<OnLeg> = Vec::new();
    for interval in standing.intervals(std::slice::from_ref(run)) {
        let at = |leg: usize| LegAt { chain: first.chain, leg: u16::try_from(leg).unwrap_or(u16::MAX) };
        let (inner, outer) = depth(section, standing, interval.on);
        let thick = outer - inner;
        let strip = standing.chain(interval.on).and_then(|chain| {
            let (from, to) = ((usize::from(first.leg), *start), (usize::from(interval.on.leg), interval.end));
            let inner = |leg: usize| depth(section, standing, at(leg)).0;
            let outer = |leg: usize| depth(section, standing, at(leg)).1;
            chain.run.strip(from, to, &inner, &outer).ok()
        });
        // What cannot be put into plan up to here is as long as it is thick there.
        let alone = || before + thick * (interval.end - interval.start);
        let until = strip.map_or_else(alone, |strip| strip.outline.area());
        if thick > Length::ZERO {
            out.push(OnLeg { interval, thick, plan: until - before });
        }
        before = until;
    }
    out
}

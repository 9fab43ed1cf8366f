//! What is round long bars: the rows of all blocks in the sections they run through, the concrete over, below and beside them,
//! and the bars next to them.

use std::collections::BTreeMap;

use foldhash::HashMap;

use super::shape::steel;
use crate::{
    concrete::{Interval, LegAt, Placed, Sections, Standing, depth},
    job::{Job, Thing},
    schema::{Bars, BlockId, RowLevel, Stretch, StretchPart},
    units::{Length, Stress},
};

/// A row of a block where it runs through a section on one leg.
#[derive(Debug, Clone, Copy)]
struct Lies {
    on: Interval,
    level: Length,
    offset: Length,
    diameter: Length,
    bars: BlockId,
    row: usize,
}

/// What lies at one level of a leg, by where it begins.
#[derive(Debug, Default)]
struct Shelf {
    /// The longest of them.
    longest: Length,
    lie: Vec<Lies>,
}

/// The long bars of a job, leg by leg and level by level.
#[derive(Debug, Default)]
pub struct LongBars {
    legs: HashMap<LegAt, BTreeMap<Length, Shelf>>,
    /// The lowest bottom of each pour that has bars in it: most pours have no other section below one.
    lowest: HashMap<BlockId, Length>,
}

/// What is round the long bars of a block, of all places the least favourable.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Round {
    /// From the face of a bar to the nearest face of its section; none where no section takes one in.
    pub cover: Length,
    /// Fresh concrete of its own pour below a bar.
    pub fresh_below: Option<Length>,
    /// Clear distance to the next bar along it, of the same block or another; a metre where none is near.
    pub clear: Length,
    /// The least strength of the mixes there, where one is said.
    pub strength: Option<Stress>,
}

/// Bars farther apart than this are not beside each other; no rule of laps looks so far.
const FAR: Length = Length::METRE;

impl LongBars {
    /// All of a job.
    #[must_use]
    pub fn new(job: &Job, standing: &Standing, sections: &Sections) -> LongBars {
        let mut out = LongBars::default();
        for bars in &job.bars {
            for (lies, placed) in runs(job, standing, sections, bars) {
                for pour in job.pours_of(placed.id) {
                    out.lowest.entry(pour.id).or_insert_with(|| {
                        let filled = pour.say.fill.iter().filter_map(|fill| sections.find(fill.value.0));
                        filled.map(|placed| placed.bottom).min().unwrap_or(placed.bottom)
                    });
                }
                let shelf = out.legs.entry(lies.on.on).or_default().entry(lies.level).or_default();
                shelf.longest = shelf.longest.max(lies.on.end - lies.on.start);
                shelf.lie.push(lies);
            }
        }
        for shelf in out.legs.values_mut().flat_map(BTreeMap::values_mut) {
            shelf.lie.sort_by_key(|lies| lies.on);
        }
        out
    }

    /// What is round the long bars of a block.
    #[must_use]
    pub fn round(&self, job: &Job, standing: &Standing, sections: &Sections, bars: &Thing<Bars>) -> Round {
        let mut cover: Option<Length> = None;
        let (mut fresh_below, mut strength, mut clear) = (None, None, FAR);
        for (lies, placed) in runs(job, standing, sections, bars) {
            let Some(section) = job.section(placed.id) else { continue };
            let (inner, outer) = depth(section, standing, lies.on.on);
            let sides = [lies.offset - inner, outer - lies.offset, lies.level - placed.bottom, placed.top - lies.level];
            let least = sides.into_iter().fold(outer - inner, Length::min) - lies.diameter / 2;
            cover = Some(cover.map_or(least, |cover| cover.min(least)));
            let foot = self.foot(job, standing, sections, placed, &lies);
            fresh_below = fresh_below.max(Some(lies.level - foot));
            let mixes = job.pours_of(placed.id).filter_map(|pour| job.mix(pour.say.mix.0)?.say.strength);
            for said in mixes.map(|strength| strength.0) {
                strength = Some(strength.map_or(said, |least| if said < least { said } else { least }));
            }
            clear = clear.min(self.beside(&lies, clear));
        }
        Round { cover: cover.unwrap_or_default().max(Length::ZERO), fresh_below, clear, strength }
    }

    /// How far a row is clear of the next one that runs beside it, where that is less than so far.
    fn beside(&self, own: &Lies, mut clear: Length) -> Length {
        let Some(levels) = self.legs.get(&own.on.on) else { return clear };
        // Bars are thinner than what this adds.
        let reach = FAR + own.diameter + FAR;
        for (level, shelf) in levels.range(own.level - reach..=own.level + reach) {
            let first = shelf.lie.partition_point(|lies| lies.on.start < own.on.start - shelf.longest);
            let near = shelf.lie.iter().skip(first).take_while(|lies| lies.on.start < own.on.end);
            for other in near.filter(|lies| (lies.bars, lies.row) != (own.bars, own.row)) {
                if other.on.shared(&own.on).is_none() {
                    continue;
                }
                clear =
                    clear.min(clear_of(*level - own.level, other.offset - own.offset, own.diameter + other.diameter));
            }
        }
        clear
    }

    /// How far a bar is clear of the nearest one that lies along so much of a leg, at another level or another distance from
    /// the old face: a metre where none is near.
    #[must_use]
    pub fn nearest(&self, on: Interval, level: Length, offset: Length, diameter: Length) -> Length {
        let mut clear = FAR;
        let Some(levels) = self.legs.get(&on.on) else { return clear };
        let reach = FAR + diameter + FAR;
        for (other_level, shelf) in levels.range(level - reach..=level + reach) {
            let first = shelf.lie.partition_point(|lies| lies.on.start < on.start - shelf.longest);
            let near = shelf.lie.iter().skip(first).take_while(|lies| lies.on.start < on.end);
            for other in near.filter(|lies| lies.on.shared(&on).is_some()) {
                clear = clear.min(clear_of(*other_level - level, other.offset - offset, diameter + other.diameter));
            }
        }
        clear
    }

    /// How low the fresh concrete reaches under a row: down through what the same pour fills below its section.
    fn foot(&self, job: &Job, standing: &Standing, sections: &Sections, placed: &Placed, lies: &Lies) -> Length {
        let mut lowest = placed.bottom;
        for pour in job.pours_of(placed.id) {
            if self.lowest.get(&pour.id).is_none_or(|lowest| *lowest >= placed.bottom) {
                continue;
            }
            let mut foot = placed.bottom;
            let under = |foot: Length| {
                let filled = pour.say.fill.iter().filter_map(|fill| sections.find(fill.value.0));
                let mut lower = filled.filter(|other| other.bottom < foot && foot <= other.top);
                lower.find(|other| {
                    let is_there = other.intervals.iter().any(|on| on.shared(&lies.on).is_some());
                    is_there
                        && job.section(other.id).is_some_and(|section| {
                            let (inner, outer) = depth(section, standing, lies.on.on);
                            inner < lies.offset && lies.offset < outer
                        })
                })
            };
            while let Some(other) = under(foot) {
                foot = other.bottom;
            }
            lowest = lowest.min(foot);
        }
        lowest
    }
}

/// How far two bars are clear of each other, so far up and out from centre to centre, of so much diameter together.
fn clear_of(up: Length, out: Length, diameters: Length) -> Length {
    let apart = Length::round_nm((up.nm() as f64).hypot(out.nm() as f64)) - diameters / 2;
    apart.max(Length::ZERO)
}

/// The rows of a block of long bars in the sections they run through, which take them in.
fn runs<'s>(job: &Job, standing: &Standing, sections: &'s Sections, bars: &Thing<Bars>) -> Vec<(Lies, &'s Placed)> {
    let mut out = Vec::new();
    let say = &bars.say;
    let (Some(along), Some(rows), Some(offset)) = (&say.along, &say.rows, say.offset) else { return out };
    let Some(steel) = steel(job, say.size.0) else { return out };
    let offset = offset.value;
    let mut through = |placed: &'s Placed, on: Interval| {
        let Some(section) = job.section(placed.id) else { return };
        let (inner, outer) = depth(section, standing, on.on);
        if offset <= inner || offset >= outer {
            return;
        }
        for (row, height) in rows.value.heights.iter().flatten().enumerate() {
            let level = match height.value {
                RowLevel::At(level) => level,
                RowLevel::Top(by) => placed.top + by,
                RowLevel::Bottom(by) => placed.bottom + by,
            };
            if placed.bottom < level && level < placed.top {
                out.push((Lies { on, level, offset, diameter: steel.diameter, bars: bars.id, row }, placed));
            }
        }
    };
    for part in &along.0 {
        if let StretchPart::All(block) = part.value
            && let Some(placed) = sections.find(block)
        {
            placed.intervals.iter().for_each(|on| through(placed, *on));
            continue;
        }
        let wall = match part.value {
            StretchPart::All(block) => block,
            StretchPart::Legs { from, .. } => from.wall,
        };
        // What is wrong with a stretch is told where the bars are made.
        let pieces = standing.pieces(job, &Stretch(vec![*part]), &mut Vec::new());
        let wanted = standing.intervals(&pieces);
        for placed in sections.along(wall) {
            for on in &placed.intervals {
                wanted.iter().filter_map(|wanted| wanted.shared(on)).for_each(|on| through(placed, on));
            }
        }
    }
    out
}

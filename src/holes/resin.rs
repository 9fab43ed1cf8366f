//! The resin that fills the room between a bar and its hole: how much, how many nozzles, how long it can be worked and how
//! long it takes to cure at the temperatures of the job.

use std::{collections::BTreeMap, f64::consts::PI};

use super::layout::Set;
use crate::{
    curing::Weathers,
    job::{Job, Thing, air_of},
    schema::{Above, Asked, BlockId, Curve, Holes, Range, Said, asked},
    units::{Duration, Length, Ratio, Temperature, Volume, whole_up},
};

/// Taken when a resin does not say its waste: common practice, no source (10 to 50 % are seen in use).
pub const USUAL_WASTE: f64 = 0.25;
/// Taken when a cartridge does not say what is lost with each nozzle: 1 US fluid ounce; common practice, no source.
pub const USUAL_PURGE: Volume = Volume::from_nm3(231 * 16_387_064_000_000_000_000_000 / 128);
/// Taken when no step says how long a hole takes to be filled and its bar set, in minutes: common practice, no source.
pub const USUAL_SET_MINUTES: f64 = 4.0;

/// The shortest time weather is asked for.
const MOMENT: Duration = Duration::from_minutes(1.0);

/// What fills the holes of one block.
#[derive(Debug, Clone, Copy)]
pub struct Fill {
    /// The holes.
    pub holes: BlockId,
    /// The resin.
    pub resin: BlockId,
    /// In one hole, bar in place, nothing wasted.
    pub each: Volume,
    /// In all of them, nothing wasted.
    pub net: Volume,
    /// The waste, as a part of it.
    pub waste: Ratio,
    /// The waste was not said.
    pub usual_waste: bool,
    /// With waste, before what is lost with nozzles.
    pub wanted: Volume,
    /// Lost with each nozzle.
    pub purge: Volume,
    /// That was not said.
    pub usual_purge: bool,
    /// Time to fill one hole and set its bar.
    pub takes: Duration,
    /// That was not said.
    pub usual_takes: bool,
    /// How long it can be worked on the warmest hour of the job; none if it cannot be told.
    pub works: Option<Asked>,
    /// Holes that are filled and set with one nozzle before it hardens; none if it cannot be told.
    pub per_nozzle: Option<u64>,
    /// Nozzles: one for each working time; one for each cartridge where that cannot be told.
    pub nozzles: u64,
    /// To be bought: with waste and what is lost with the nozzles.
    pub order: Volume,
    /// How long it cures on the coldest hour of the job; none if it cannot be told.
    pub cures: Option<Asked>,
    /// No bar is set in these holes: they are filled whole.
    pub no_bar: bool,
    /// The coldest and the warmest air it is reckoned with, and where each is written.
    pub air: Option<Range<Said<Temperature>>>,
    /// That is the air of the days it is set and cures on; else that of the whole job.
    pub by_day: bool,
}

impl Fill {
    /// Whole cartridges of this size.
    #[must_use]
    pub fn cartridges(&self, size: Volume) -> u64 {
        whole_up(self.order.cubic_metres() / size.cubic_metres())
    }

    /// How long the resin cures, where the job's temperatures lie between those given or are warmer, at the coldest.
    #[must_use]
    pub fn cure(&self) -> Option<Duration> {
        match self.cures? {
            Asked::Within(time) | Asked::Warmer(time) => Some(time),
            Asked::Colder(_) => None,
        }
    }
}

/// The room between a bar and its hole: pi / 4 (D^2 - d^2) L, with the bar's nominal diameter, which is that of a plain
/// bar of its weight (ASTM A615).
#[must_use]
pub fn annulus(bore: Length, bar: Length, depth: Length) -> Volume {
    let (bore, bar, depth) = (bore.metres(), bar.metres(), depth.metres());
    Volume::round_cubic_metres(PI / 4.0 * (bore * bore - bar * bar).max(0.0) * depth)
}

/// How long the steps say it takes to set one bar, by the holes the bars go into.
#[must_use]
pub fn set_times(job: &Job) -> BTreeMap<BlockId, Duration> {
    let mut times = BTreeMap::new();
    for step in &job.steps {
        let Some(takes) = step.say.takes.as_ref().filter(|takes| takes.each.is_some()) else { continue };
        for work in step.say.work.0.iter().filter(|work| work.verb == "set") {
            for thing in &work.things {
                if let Some(holes) = job.bars_of(thing.value).and_then(|bars| bars.say.holes) {
                    times.entry(holes.value.0).or_insert(takes.time.0);
                }
            }
        }
    }
    times
}

/// What fills a block's holes; none if it says no resin, or one that could not be read. `bar` is the nominal diameter of
/// the bars set in them, `takes` the time each takes, if a step says it, `when` from when to when after the job's start they are
/// set, if that is planned or recorded.
pub fn fill(
    job: &Job,
    holes: &Thing<Holes>,
    set: &Set,
    bar: Option<Length>,
    takes: Option<Duration>,
    when: Option<Range<Duration>>,
) -> Option<Fill> {
    let resin = job.resin(holes.say.fill?.0)?;
    let each = annulus(set.wide, bar.unwrap_or(Length::ZERO), set.deep);
    let net = each * i64::try_from(set.count).unwrap_or(i64::MAX);
    let said = resin.say.waste.map(|waste| waste.0);
    let waste = said.unwrap_or(Ratio::from_fraction(USUAL_WASTE));
    let wanted = Volume::round_cubic_metres(net.cubic_metres() * (1.0 + waste.fraction()));
    let ask = |curve: &Option<Vec<Curve<Above<Duration>, Temperature>>>, at: Option<Temperature>| {
        curve.as_ref().and_then(|curve| asked(curve, at?))
    };
    let (weathers, _) = Weathers::of(job);
    let setting = when.and_then(|when| air_of(weathers.between(when.from, when.to.max(when.from + MOMENT))));
    let works = ask(&resin.say.works, setting.or(job.air()).map(|air| air.to.value));
    // It cures on after the last bar is set, perhaps in other weather.
    let curing = setting.zip(when).map(|(air, when)| {
        let first = match ask(&resin.say.cures, Some(air.from.value)) {
            Some(Asked::Within(time) | Asked::Warmer(time)) => time,
            Some(Asked::Colder(_)) | None => Duration::ZERO,
        };
        let after = air_of(weathers.between(when.from, when.to.max(when.from + MOMENT) + first)).unwrap_or(air);
        Range { from: after.from, to: air.to }
    });
    let air = curing.or(job.air());
    let cures = ask(&resin.say.cures, air.map(|air| air.from.value));
    let one = takes.unwrap_or(Duration::from_minutes(USUAL_SET_MINUTES));
    let per_nozzle = match works {
        // Warmer than any temperature given it hardens sooner: nobody says how soon.
        Some(Asked::Within(time) | Asked::Colder(time)) => {
            Some(((time.seconds() / one.seconds() + 1e-9).floor().max(1.0) as u64).max(1))
        }
        Some(Asked::Warmer(_)) | None => None,
    };
    let cartridge = resin.say.cartridge.as_ref();
    let nozzles = match (per_nozzle, cartridge) {
        _ if set.count == 0 => 0,
        (Some(per), _) => set.count.div_ceil(per),
        (None, Some(cartridge)) => whole_up(wanted.cubic_metres() / cartridge.holds.0.cubic_metres()).max(1),
        (None, None) => 1,
    };
    let said_purge = cartridge.and_then(|cartridge| cartridge.purge).map(|purge| purge.0);
    let purge = said_purge.unwrap_or(USUAL_PURGE);
    let order = wanted + purge * i64::try_from(nozzles).unwrap_or(i64::MAX);
    Some(Fill {
        holes: holes.id,
        resin: resin.id,
        each,
        net,
        waste,
        usual_waste: said.is_none(),
        wanted,
        purge,
        usual_purge: said_purge.is_none(),
        takes: one,
        usual_takes: takes.is_none(),
        works,
        per_nozzle,
        nozzles,
        order,
        cures,
        no_bar: bar.is_none(),
        air,
        by_day: curing.is_some() && job.air() != air,
    })
}

/// What is bought of one resin, for all holes of the job.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Order {
    /// The resin.
    pub resin: BlockId,
    /// All of it: with waste and what is lost with nozzles.
    pub volume: Volume,
    /// Whole cartridges, if their size is known.
    pub cartridges: Option<u64>,
    /// Nozzles that are used up.
    pub nozzles: u64,
    /// Nozzles that come with the cartridges, if it is said.
    pub packed: Option<u64>,
}

/// What is bought of each resin: for holes, and what else is filled with it.
#[must_use]
pub fn orders(job: &Job, fills: &[Fill], others: impl Iterator<Item = (BlockId, Volume)>) -> Vec<Order> {
    let mut sums: BTreeMap<(&str, BlockId), (Volume, u64)> = BTreeMap::new();
    for (resin, volume) in others {
        sums.entry((job.name(resin), resin)).or_default().0 += volume;
    }
    for fill in fills {
        let sum = sums.entry((job.name(fill.resin), fill.resin)).or_default();
        sum.0 += fill.order;
        sum.1 += fill.nozzles;
    }
    let each = sums.into_iter().map(|((_, id), (volume, nozzles))| {
        let cartridge = job.resin(id).and_then(|resin| resin.say.cartridge.as_ref());
        let cartridges = cartridge.map(|cartridge| whole_up(volume.cubic_metres() / cartridge.holds.0.cubic_metres()));
        let with_each = cartridge.and_then(|cartridge| cartridge.nozzles).and_then(|with| u64::try_from(with.0).ok());
        let packed = with_each.zip(cartridges).map(|(with, count)| with.saturating_mul(count));
        Order { resin: id, volume, cartridges, nozzles, packed }
    });
    each.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_usual_purge_is_a_fluid_ounce() {
        assert!((USUAL_PURGE.cubic_inches() - 231.0 / 128.0).abs() < 1e-12);
    }
}

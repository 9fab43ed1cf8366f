//! From the volume of a pour to bags, water, batches and trips.

use crate::{
    job::{Job, Thing},
    schema::{BlockId, Mix, Pour},
    standards::{
        Worked,
        mixing::{StrengthByWater, change, water_cement},
    },
    units::{Density, Mass, Ratio, System, Volume, whole_up},
};

use super::pours::PourSolid;

/// Taken when a pour does not say its waste: common practice for formed work, no source.
pub const USUAL_WASTE: f64 = 0.05;

/// Water at 20 degrees Celsius: 998.2 kg/m3 (handbook value).
pub const WATER_KG_M3: f64 = 998.2;

/// How much of a bag is cement, which is seldom printed: 15 to 20 % is usual; common practice, no source.
pub const CEMENT_IN_A_BAG: f64 = 0.175;

/// What a little too much water does to strength.
#[derive(Debug, Clone, PartialEq)]
pub struct TooWet {
    /// How much more than there should be at first goes into each bag: a quart, or a litre.
    pub more: Volume,
    /// What is lost, by each published form that covers it; less than nothing.
    pub lost: Vec<Worked<Ratio>>,
}

/// What a quart or a litre more water in each bag costs; nothing where the mix says no water, or no form covers it.
#[must_use]
pub fn too_wet(mix: &Mix, system: System) -> Option<TooWet> {
    let start = mix.water.as_ref()?.from.0;
    let more = match system {
        System::Feet => Volume::round_cubic_metres(0.946_352_946e-3),
        System::Metric => Volume::round_cubic_metres(1e-3),
    };
    let cement = mix.bag.value.weighs.0 * CEMENT_IN_A_BAG;
    let ratio = |water: Volume| water_cement(Density::from_kg_m3(WATER_KG_M3) * water, cement);
    let (meant, wet) = (ratio(start).ok()?.value, ratio(start + more).ok()?.value);
    let forms = [StrengthByWater::Pca, StrengthByWater::AbramsTextbook];
    let lost: Vec<_> = forms.into_iter().filter_map(|form| change(form, meant, wet).ok()).collect();
    (!lost.is_empty()).then_some(TooWet { more, lost })
}

/// A pour of more bags than this is not worked out: nobody mixes a hundred cubic metres and more from bags (common practice,
/// no source), and each batch would have its line on the paper.
pub const MOST_BAGS: u64 = 10_000;

/// Why it is not worked out what it takes to mix a pour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unmixed {
    /// Its mix could not be read.
    NoMix,
    /// It takes so many bags, more than [`MOST_BAGS`].
    Bags(u64),
}

/// A batch: how many bags go into it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Batch {
    /// Its number, from 1.
    pub number: u64,
    /// Bags in it.
    pub bags: u64,
    /// Bags mixed after it, it included.
    pub so_far: u64,
}

/// What it takes to mix a pour.
#[derive(Debug, Clone)]
pub struct Mixing {
    /// The pour.
    pub pour: BlockId,
    /// The mix.
    pub mix: BlockId,
    /// Concrete in the form.
    pub placed: Volume,
    /// What it fills of broken places in the old surface.
    pub patches: Volume,
    /// Waste, as a part of it.
    pub waste: Ratio,
    /// The waste was not said.
    pub usual_waste: bool,
    /// Concrete to be mixed, waste with it.
    pub wanted: Volume,
    /// Whole bags.
    pub bags: u64,
    /// What one bag yields.
    pub yields: Volume,
    /// Weight of all bags.
    pub weight: Mass,
    /// Water for one bag, to start with and never past.
    pub water: Option<(Volume, Volume)>,
    /// Bags to a batch, if it is said.
    pub per_batch: Option<u64>,
    /// Batches, if it is said how many bags go into one.
    pub batches: Option<u64>,
    /// What is carried at once, if it is said.
    pub carry: Option<Volume>,
    /// Trips with it.
    pub trips: Option<u64>,
    /// Trips of each batch, where the pour is planned minute by minute; empty where it is not.
    pub walked: Vec<u64>,
    /// Weight of one full carry of fresh concrete.
    pub carry_weight: Option<Mass>,
}

impl Mixing {
    /// The batches one after the other: full ones first, the rest last.
    pub fn each_batch(&self) -> impl Iterator<Item = Batch> + '_ {
        let per = self.per_batch.unwrap_or(self.bags).max(1);
        (0..self.bags.div_ceil(per)).map(move |at| {
            let so_far = ((at + 1) * per).min(self.bags);
            Batch { number: at + 1, bags: so_far - at * per, so_far }
        })
    }

    /// Takes over the trips of a plan: a load goes to one place, so a batch that goes to two may take one more.
    pub fn walk(&mut self, trips: Vec<u64>) {
        if self.carry.is_some() {
            self.trips = Some(trips.iter().sum());
            self.walked = trips;
        }
    }

    /// Trips one batch takes.
    #[must_use]
    pub fn trips_of(&self, batch: Batch) -> Option<u64> {
        let carry = self.carry?;
        if !self.walked.is_empty() {
            return usize::try_from(batch.number - 1).ok().and_then(|at| self.walked.get(at)).copied();
        }
        Some(whole_up(batch.bags as f64 * self.yields.cubic_metres() / carry.cubic_metres()))
    }
}

/// Works out what it takes to mix a pour that also fills `patches` of the old surface.
///
/// # Errors
///
/// [`Unmixed`] if its mix could not be read, or it takes far too many bags.
pub fn mixing(job: &Job, pour: &Thing<Pour>, solid: &PourSolid, patches: Volume) -> Result<Mixing, Unmixed> {
    let mix = job.mix(pour.say.mix.0).ok_or(Unmixed::NoMix)?;
    let yields = mix.say.bag.value.yields.0;
    let said = pour.say.waste.map(|waste| waste.0);
    let waste = said.unwrap_or(Ratio::from_fraction(USUAL_WASTE));
    let wanted = (solid.volume + patches).cubic_metres() * (1.0 + waste.fraction());
    let bags = whole_up(wanted / yields.cubic_metres());
    if bags > MOST_BAGS {
        return Err(Unmixed::Bags(bags));
    }
    let water = mix.say.water.map(|range| (range.from.0, range.to.0));
    let per_batch = pour.say.mixer.as_ref().and_then(|mixer| u64::try_from(mixer.value.bags.0).ok());
    let carry = pour.say.carry.as_ref().map(|carry| carry.carry.0);
    let mut out = Mixing {
        pour: pour.id,
        mix: mix.id,
        placed: solid.volume,
        patches,
        waste,
        usual_waste: said.is_none(),
        wanted: Volume::round_cubic_metres(wanted),
        bags,
        yields,
        weight: mix.say.bag.value.weighs.0 * bags as f64,
        water,
        per_batch,
        batches: per_batch.map(|per| bags.div_ceil(per.max(1))),
        carry,
        trips: None,
        walked: Vec::new(),
        carry_weight: carry.map(|carry| fresh(&mix.say) * carry),
    };
    if carry.is_some() {
        out.trips = Some(out.each_batch().filter_map(|batch| out.trips_of(batch)).sum());
    }
    Ok(out)
}

/// What fresh concrete of a mix weighs: a bag and its water over what they yield. Without a stated water the usual 145 lb
/// per ft3 of plain concrete (common practice).
fn fresh(mix: &Mix) -> Density {
    match mix.water {
        Some(water) => {
            let water = Density::from_kg_m3(WATER_KG_M3) * water.from.0;
            (mix.bag.value.weighs.0 + water) / mix.bag.value.yields.0
        }
        None => Density::from_pcf(145.0),
    }
}

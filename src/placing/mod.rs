//! A pour planned minute by minute: which section is laid in which layer with which batch, how long every layer lies until
//! fresh concrete comes on it, and whether it still knits then. Only pours whose mixer says how long a batch takes are planned.
//!
//! Layers are level and go over the whole pour, the sections in the order the pour names them, what stands under another
//! first. Their volumes are those of the solid, to the last cubic nanometre.

mod layers;
mod numbers;
mod times;

pub use layers::{Filled, LAYERS_AT_MOST, Site, layered};
pub use numbers::{enter, enter_holds};
pub use times::{Holds, Way, sets};

use std::cmp::Reverse;

use crate::{
    concrete::{Mixing, PourSolid, Sections},
    job::{Job, Thing},
    pouring::{Break, Crew, Front, Lift, Plan, Pour, Refusal, Spot, Wait, round_trip, whole_seconds},
    schema::{self, BlockId, Range},
    standards::handwork::{RODDING, TIPPING, TRIP, WALKING, carried, layer},
    units::{Duration, Length, Speed, Temperature, Volume},
};

/// The lowest layer that is tried where a pour takes too long: 4 in, or 100 mm.
const LOWEST: [Length; 2] = [Length::from_nm(4 * Length::INCH.nm()), Length::from_nm(100_000_000)];

/// The most people that are tried beside those who are there.
const MORE_PEOPLE: u32 = 3;

/// Where the time of a trip comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Trip {
    /// The pour says it.
    Said(Duration),
    /// Worked out from a way in.
    Route(BlockId, Length),
    /// Nobody says it.
    Usual,
}

/// What a pour takes that it does not say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Usual {
    /// The carry.
    pub carry: bool,
    /// How long a batch is rodded.
    pub rod: bool,
    /// The height of a layer.
    pub lift: bool,
    /// The crew.
    pub crew: bool,
}

/// What would keep every layer fresh enough, if anything does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct WouldDo {
    /// This many people.
    pub people: Option<u32>,
    /// Layers of this height.
    pub lift: Option<Length>,
    /// No rests, or somebody who goes on while others rest.
    pub no_rest: bool,
}

/// A pour, planned.
#[derive(Debug, Clone)]
pub struct Placing {
    /// The pour.
    pub pour: BlockId,
    /// What was planned with.
    pub plan: Plan,
    /// How it goes.
    pub went: Pour,
    /// What each place of each layer is.
    pub sites: Vec<Vec<Site>>,
    /// The height of a layer.
    pub lift: Length,
    /// Time of a trip, and where it comes from.
    pub trip: Trip,
    /// What was taken as usual.
    pub usual: Usual,
    /// How long a layer knits, at the warmest of the day it is poured on, where that is known, else of the job, or as warm as its
    /// concrete goes in.
    pub knits: Holds,
    /// How long an open top needs until it holds, at the coldest of the day.
    pub stiffens: Holds,
    /// What would do; nothing is looked for where every layer is covered in time.
    pub would_do: WouldDo,
}

impl Placing {
    /// How long it lasts.
    #[must_use]
    pub fn lasts(&self) -> Duration {
        seconds(self.went.lasts)
    }

    /// The longest wait of a layer, if it is longer than the mix knits.
    #[must_use]
    pub fn cold(&self) -> Option<Wait> {
        self.went.longest.filter(|wait| seconds(wait.lasts) > self.knits.time)
    }

    /// The longest wait of the end of a batch within its layer, if it is longer than the mix knits.
    #[must_use]
    pub fn cold_front(&self) -> Option<Front> {
        self.went.longest_front.filter(|front| seconds(front.lasts()) > self.knits.time)
    }

    /// The shortest wait above an open top, if it is too short.
    #[must_use]
    pub fn boils(&self) -> Option<Wait> {
        self.went.shortest_above_open.filter(|wait| seconds(wait.lasts) < self.stiffens.time)
    }

    /// The fastest rise of any layer.
    #[must_use]
    pub fn rise(&self) -> Option<Speed> {
        self.went.fastest_rise()
    }

    /// All that is mixed for a place, its share of the waste with it.
    #[must_use]
    pub fn whole(&self, spot: Spot) -> Volume {
        let portions = self.went.batches.iter().flat_map(|batch| &batch.portions);
        portions.filter(|part| part.spot == spot).map(|part| part.volume).sum()
    }

    /// What a place is.
    #[must_use]
    pub fn site(&self, spot: Spot) -> Option<&Site> {
        self.sites.get(spot.lift)?.get(spot.place)
    }
}

/// Why a pour is not planned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Trouble {
    /// More layers than are looked at.
    TooManyLayers,
    /// The plan cannot be carried out.
    Refused(Refusal),
}

/// A time in seconds.
#[must_use]
pub fn seconds(time: u64) -> Duration {
    Duration::from_seconds(time as f64)
}

/// Plans a pour; none where its mixer does not say how long a batch takes. `patches` are the broken places it fills, each
/// with its level.
pub fn placing(
    job: &Job,
    sections: &Sections,
    solid: &PourSolid,
    mixing: &Mixing,
    patches: &[(Length, Volume)],
) -> Option<Result<Placing, Trouble>> {
    let pour = job.pour(solid.pour)?;
    let mixes = pour.say.mixer.as_ref()?.value.takes?.0;
    let mix = job.mix(pour.say.mix.0)?;
    Some(planned(job, sections, solid, mixing, patches, (pour, &mix.say, mixes)))
}

fn planned(
    job: &Job,
    sections: &Sections,
    solid: &PourSolid,
    mixing: &Mixing,
    patches: &[(Length, Volume)],
    (pour, mix, mixes): (&Thing<schema::Pour>, &schema::Mix, Duration),
) -> Result<Placing, Trouble> {
    let system = job.system();
    let say = &pour.say;
    let lift = say.lift.map_or(layer(system), |lift| lift.0);
    let (trip, takes) = trip(job, &pour.say);
    let people = say.crew.map_or(1, |crew| u32::try_from(crew.0).unwrap_or(u32::MAX));
    let carry = say.carry.as_ref().map_or(carried(system).value, |carry| carry.carry.0);
    let bags = i64::try_from(mixing.per_batch.unwrap_or(1)).unwrap_or(i64::MAX);
    let rest = |rest: &schema::Rest| Break { due: whole_seconds(rest.after.0), lasts: whole_seconds(rest.lasts.0) };
    let plan = Plan {
        lifts: Vec::new(),
        batch: mixing.yields * bags,
        mixing: whole_seconds(mixes),
        rodding: whole_seconds(say.rod.map_or(RODDING.value, |rod| rod.0)),
        waste: mixing.waste,
        crew: Crew { people, carry },
        breaks: say.breaks.0.iter().map(rest).collect(),
    };
    let layers = layers::Layers::new(sections, solid, pour, patches, takes);
    let laid = |lift: Length| -> Result<(Vec<Lift>, Vec<Vec<Site>>), Trouble> {
        layers.cut(lift).ok_or(Trouble::TooManyLayers)
    };
    let (lifts, sites) = laid(lift)?;
    let plan = Plan { lifts, ..plan };
    let went = plan.pour().map_err(Trouble::Refused)?;
    let air = job.air().map(|air| Range { from: air.from.value, to: air.to.value });
    let (knits, stiffens) = holds(job, pour, mix, air);
    let mut out = Placing {
        pour: pour.id,
        plan,
        went,
        sites,
        lift,
        trip,
        usual: Usual {
            carry: say.carry.is_none(),
            rod: say.rod.is_none(),
            lift: say.lift.is_none(),
            crew: say.crew.is_none(),
        },
        knits,
        stiffens,
        would_do: WouldDo::default(),
    };
    out.would_do = would_do(job, &layers, &out);
    Ok(out)
}

/// Judges a planned pour by the air of the day it is poured on: how long its layers knit and its open tops need, and what would do.
pub fn judge_by(
    job: &Job,
    sections: &Sections,
    solid: &PourSolid,
    patches: &[(Length, Volume)],
    air: Range<Temperature>,
    placing: &mut Placing,
) {
    let Some(pour) = job.pour(placing.pour) else { return };
    let Some(mix) = job.mix(pour.say.mix.0) else { return };
    (placing.knits, placing.stiffens) = holds(job, pour, &mix.say, Some(air));
    let (_, takes) = trip(job, &pour.say);
    placing.would_do = would_do(job, &layers::Layers::new(sections, solid, pour, patches, takes), placing);
}

/// How long a layer knits, and an open top needs until it holds.
fn holds(job: &Job, pour: &Thing<schema::Pour>, mix: &schema::Mix, air: Option<Range<Temperature>>) -> (Holds, Holds) {
    let air = air.unwrap_or(Range { from: times::ROOM, to: times::ROOM });
    // Concrete that goes in warmer than the air is stiff sooner.
    let fresh =
        job.cures.iter().filter(|cure| cure.say.of.value.0 == pour.id).filter_map(|cure| cure.say.fresh.as_ref());
    let warm = fresh.map(|fresh| fresh.value).fold(air.to, |warm, fresh| if fresh > warm { fresh } else { warm });
    (times::knits(mix, warm), times::stiffens(mix, air.from))
}

/// More people or lower layers that would keep every layer fresh; nothing is looked for where they are.
fn would_do(job: &Job, layers: &layers::Layers, placing: &Placing) -> WouldDo {
    let mut out = WouldDo::default();
    if placing.cold().is_none() && placing.cold_front().is_none() {
        return out;
    }
    let knits = placing.knits.time;
    let fresh = |plan: &Plan| {
        plan.pour().is_ok_and(|went| {
            went.longest.is_none_or(|wait| seconds(wait.lasts) <= knits)
                && went.longest_front.is_none_or(|front| seconds(front.lasts()) <= knits)
        })
    };
    out.no_rest = !placing.plan.breaks.is_empty() && fresh(&Plan { breaks: Vec::new(), ..placing.plan.clone() });
    let crew = placing.plan.crew;
    let more = (1..=MORE_PEOPLE).filter_map(|more| crew.people.checked_add(more));
    out.people =
        more.into_iter().find(|people| fresh(&Plan { crew: Crew { people: *people, ..crew }, ..placing.plan.clone() }));
    let step = layers::tidy(job.system());
    let mut lower = Length::from_nm((placing.lift.nm() - 1).div_euclid(step.nm()).saturating_mul(step.nm()));
    while lower >= LOWEST[usize::from(job.system() == crate::units::System::Metric)] {
        if let Some((lifts, _)) = layers.cut(lower)
            && fresh(&Plan { lifts, ..placing.plan.clone() })
        {
            out.lift = Some(lower);
            break;
        }
        lower = lower - step;
    }
    out
}

/// How long a trip takes, and where that comes from.
fn trip(job: &Job, pour: &schema::Pour) -> (Trip, u64) {
    if let Some(takes) = pour.carry.as_ref().and_then(|carry| carry.takes) {
        return (Trip::Said(takes.0), whole_seconds(takes.0));
    }
    // Of several ways the longest: no pour says which is its own, and the order they are written in decides nothing.
    let routes = job.routes.iter().map(|route| (route.say.far.0, Reverse(route.name.as_str()), route.id));
    if let Some((far, _, route)) = routes.max()
        && let Some(takes) = round_trip(far, WALKING.value, TIPPING.value)
    {
        return (Trip::Route(route, far), takes);
    }
    (Trip::Usual, whole_seconds(TRIP.value))
}

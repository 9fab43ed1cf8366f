//! What is bought beside concrete, resin and steel: what tools wear down, what holds forms, what keeps new concrete moist and
//! warm, and gear for those who do the work.

use std::collections::BTreeMap;

use crate::{
    concrete::{Class, Mixing, PourSolid},
    facts::Facts,
    formwork::{Boards, Formwork, Use},
    hazards::{AtStep, DustRule, Ends, Harm},
    holes::{Order, Set},
    job::Job,
    placing::Placing,
    schema::{BlockId, Pack},
    sitework::Saw,
    standards::{forms::studs_along, hazards::Respirator},
    steel::{BarsMade, CutPlan, Tying},
    units::{Area, Length, Sound, whole_up},
};

use super::Line;

/// From this level on ears are protected: the action level of 29 CFR 1910.95(c) in dBA.
const LOUD: Sound = Sound::from_dba(85.0);

/// Goods of the library.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sundry {
    /// Ties of forms into the old wall.
    FormTies,
    /// What keeps forms from rising.
    HoldDowns,
    /// Nozzles beyond those in the packs.
    Nozzles,
    /// Blades.
    Blades,
    /// Bits.
    Bits,
    /// Posts of supports.
    Props,
    /// Sheet that wraps new concrete.
    Wrap,
    /// Blankets that keep it warm.
    Blankets,
    /// Half masks.
    Respirators,
    /// Eye protection.
    Goggles,
    /// Hearing protection.
    Muffs,
    /// Gloves against edges and bars.
    WorkGloves,
    /// Waterproof gloves.
    RubberGloves,
    /// Caps on bar ends.
    BarCaps,
}

impl Sundry {
    /// The name of its item in the ledger: no block can be called `job`.
    #[must_use]
    pub fn item(self) -> &'static str {
        match self {
            Sundry::FormTies => "job.form-ties",
            Sundry::HoldDowns => "job.hold-downs",
            Sundry::Nozzles => "job.mixing-nozzles",
            Sundry::Blades => "job.saw-blades",
            Sundry::Bits => "job.drill-bits",
            Sundry::Props => "job.props",
            Sundry::Wrap => "job.wrap-sheet",
            Sundry::Blankets => "job.blankets",
            Sundry::Respirators => "job.respirators",
            Sundry::Goggles => "job.goggles",
            Sundry::Muffs => "job.ear-muffs",
            Sundry::WorkGloves => "job.work-gloves",
            Sundry::RubberGloves => "job.rubber-gloves",
            Sundry::BarCaps => "job.bar-caps",
        }
    }

    /// Whether it is worn: it goes with who wears it from job to job.
    #[must_use]
    pub fn is_worn(self) -> bool {
        (Sundry::Respirators..=Sundry::RubberGloves).contains(&self)
    }

    /// Whether it is worn or put on bars, so that nobody is hurt.
    #[must_use]
    pub fn is_gear(self) -> bool {
        self >= Sundry::Respirators
    }
}

/// What the list is made from.
pub struct Around<'w> {
    /// Saw cuts.
    pub saws: &'w [Saw],
    /// Holes by block.
    pub sets: &'w BTreeMap<BlockId, Set>,
    /// What is mixed.
    pub mixings: &'w [Mixing],
    /// What really happened.
    pub facts: &'w Facts,
    /// What is bought of each resin.
    pub resins: &'w [Order],
    /// Bars by block.
    pub bars: &'w [BarsMade],
    /// Cutting plans of bars.
    pub cuts: &'w [CutPlan],
    /// Ties, wire and supports of bars.
    pub tying: &'w Tying,
    /// Cutting plans of boards.
    pub boards: &'w [Boards],
    /// Forms.
    pub forms: &'w [Formwork],
    /// The solids.
    pub pours: &'w [PourSolid],
    /// Pours planned minute by minute.
    pub placings: &'w [Placing],
    /// What each step does to those who do it.
    pub at_steps: &'w [AtStep],
    /// Free ends of bars.
    pub ends: &'w [Ends],
}

fn whole(count: u64) -> Pack {
    Pack::Count(i64::try_from(count).unwrap_or(i64::MAX))
}

/// Lines for all goods, those of the library first, then those that are written.
pub(super) fn lines(job: &Job, around: &Around) -> Vec<Line> {
    let mut out = Vec::new();
    let mut add = |sort: Sundry, amount: Option<Pack>, by: Vec<BlockId>| {
        let some = !matches!(amount, Some(Pack::Count(0) | Pack::Area(Area::ZERO)));
        if some && !by.is_empty() {
            let name = sort.item().trim_start_matches("job.");
            out.push(Line::Goods { sort, amount: wanted(job, name).or(amount), by });
        }
    };
    for (sort, count) in [Sundry::FormTies, Sundry::HoldDowns].into_iter().zip(fixings(job, around.forms)) {
        add(sort, Some(whole(count)), around.forms.iter().map(|forms| forms.forms).collect());
    }
    let missing = |order: &Order| order.nozzles.saturating_sub(order.packed.unwrap_or(0));
    let nozzles = around.resins.iter().map(missing).sum();
    let short = around.resins.iter().filter(|order| missing(order) > 0);
    add(Sundry::Nozzles, Some(whole(nozzles)), short.map(|order| order.resin).collect());
    let cuts: Vec<BlockId> = around.saws.iter().map(|saw| saw.id).collect();
    add(Sundry::Blades, Some(whole(blades(around.saws))), cuts);
    add(Sundry::Bits, Some(whole(bits(job, around.sets))), around.sets.keys().copied().collect());
    let supports: Vec<BlockId> = job.supports.iter().map(|support| support.id).collect();
    let posts: Option<i64> = job.supports.iter().map(|support| support.say.posts.map(|posts| posts.0)).sum();
    add(Sundry::Props, posts.map(Pack::Count), supports);
    for (sort, is_kept) in [(Sundry::Wrap, false), (Sundry::Blankets, true)] {
        let kept = |cure: &&crate::job::Thing<crate::schema::Cure>| {
            if is_kept { cure.say.warm.is_some() } else { cure.say.wrap.is_some() }
        };
        let cures: Vec<_> = job.cures.iter().filter(kept).collect();
        let area = cures.iter().map(|cure| bare(around.pours, cure.say.of.value.0)).sum();
        add(sort, Some(Pack::Area(area)), cures.iter().map(|cure| cure.id).collect());
    }
    for sort in [Sundry::Respirators, Sundry::Goggles, Sundry::Muffs, Sundry::WorkGloves, Sundry::RubberGloves] {
        let steps: Vec<&AtStep> = around.at_steps.iter().filter(|at| asks(at, sort)).collect();
        let most = steps.iter().map(|at| people(job, around.placings, at.step)).max().unwrap_or(0);
        add(sort, Some(whole(most)), steps.iter().map(|at| at.step).collect());
    }
    let ends: u64 = around.ends.iter().map(|ends| ends.count).sum();
    add(Sundry::BarCaps, Some(whole(ends)), around.ends.iter().map(|ends| ends.bars).collect());
    let own = job.goods.iter().filter(|goods| !goods.usual && super::sundry(&goods.name).is_none());
    out.extend(own.filter_map(|goods| Some(Line::Own { goods: goods.id, amount: goods.say.want?.value })));
    out
}

/// How much of these goods someone writes that they want.
pub(super) fn wanted(job: &Job, name: &str) -> Option<Pack> {
    job.goods.iter().find(|goods| goods.name == name).and_then(|goods| goods.say.want).map(|want| want.value)
}

/// Ties into the wall, and what holds forms down: so many along each face.
fn fixings(job: &Job, forms: &[Formwork]) -> [u64; 2] {
    let (mut ties, mut downs) = (0, 0);
    let along = |width: Length, space: Length| studs_along(width, space).map_or(0, |count| count.value);
    for one in forms {
        ties += one.ties.iter().map(|row| row.at.len() as u64).sum::<u64>();
        let Some(say) = job.forms_of(one.forms).map(|forms| &forms.say) else { continue };
        for panel in one.panels.iter().filter(|panel| panel.closes == Use::Face) {
            if let Some(down) = &say.down {
                downs += along(panel.width, down.value.space.value.0);
            }
        }
    }
    [ties, downs]
}

/// Whole blades: by what they wear where it is said how long one lasts, and one for each other size.
fn blades(saws: &[Saw]) -> u64 {
    let mut sizes: BTreeMap<Length, f64> = BTreeMap::new();
    for saw in saws {
        *sizes.entry(saw.blade).or_default() += saw.blades.unwrap_or(0.0);
    }
    sizes.values().map(|worn| whole_up(*worn).max(1)).sum()
}

/// Whole bits: one for each width of hole, more where it is said how long one lasts.
fn bits(job: &Job, sets: &BTreeMap<BlockId, Set>) -> u64 {
    let mut sizes: BTreeMap<Length, f64> = BTreeMap::new();
    for set in sets.values().filter(|set| set.count > 0) {
        *sizes.entry(set.wide).or_default() += worn(job, set);
    }
    sizes.values().map(|worn| whole_up(*worn).max(1)).sum()
}

/// How many bits the holes of a block wear; none where it is not said how long one lasts.
fn worn(job: &Job, set: &Set) -> f64 {
    let lasts = job.holes_of(set.id).and_then(|holes| holes.say.bit.as_ref()).map(|bit| bit.lasts.0);
    lasts.map_or(0.0, |lasts| set.deep.metres() * set.count as f64 / lasts.metres())
}

/// Whole bits that are there before the holes of a block are drilled.
#[must_use]
pub fn bits_for(job: &Job, set: &Set) -> u64 {
    whole_up(worn(job, set)).max(1)
}

/// What of a pour lies open once its forms are off.
fn bare(pours: &[PourSolid], pour: BlockId) -> Area {
    let pours = pours.iter().filter(|solid| solid.pour == pour);
    pours.map(|solid| solid.areas.of(Class::Top) + solid.areas.forms()).sum()
}

/// How many people do a step.
fn people(job: &Job, placings: &[Placing], step: BlockId) -> u64 {
    let Some(step) = job.step(step) else { return 1 };
    let said = step.say.people.and_then(|people| u64::try_from(people.value.0).ok());
    let poured = step.say.work.0.iter().filter(|work| work.verb == "pour").flat_map(|work| &work.things);
    let crew = poured.filter_map(|thing| placings.iter().find(|placing| placing.pour == thing.value));
    said.or_else(|| crew.map(|placing| u64::from(placing.plan.crew.people)).max()).unwrap_or(1)
}

/// Whether a step asks for this gear.
fn asks(at: &AtStep, sort: Sundry) -> bool {
    let has = |harms: &[Harm]| harms.iter().any(|harm| at.harms.contains(harm));
    match sort {
        Sundry::Respirators => at.dust.iter().any(|dust| match dust.rule {
            DustRule::Row { mask, .. } => mask != Respirator::None,
            DustRule::Misses(_) | DustRule::NoRow => true,
        }),
        Sundry::Goggles => has(&[Harm::Eyes]),
        Sundry::Muffs => at.used.iter().any(|used| used.noise.is_some_and(|noise| noise >= LOUD)),
        Sundry::WorkGloves => has(&[Harm::Shaking, Harm::BarEnds, Harm::Forms]),
        Sundry::RubberGloves => has(&[Harm::Caustic, Harm::Resin]),
        _ => false,
    }
}

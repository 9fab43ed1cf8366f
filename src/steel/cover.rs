//! What cover each bar should have, beside what it has.

use super::{
    bars::{BarsMade, made},
    clearance::{Clearances, Cover},
};
use crate::{
    concrete::Class,
    job::{Job, Thing},
    ledger::{Entry, Figure, Input, Ledger},
    schema::{self, KindId, Section, Surroundings},
    standards::{
        Worked,
        cover::{Exposure, Member, aci_cover},
        spacing::{Lie, aci_clear, en_clear},
    },
    units::{Length, System},
};

/// Who asks for a cover.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asks {
    /// The job itself.
    Job,
    /// The table of covers, for a face of this exposure.
    Table(Exposure),
    /// The rule for clear spacing: the face is against old concrete.
    Spacing,
}

/// A cover, and what it should be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judged {
    /// What there is.
    pub cover: Cover,
    /// What there should be.
    pub wanted: Length,
    /// Who asks for it.
    pub asks: Asks,
    /// The standard and its clause; nothing where the job asks.
    pub source: &'static str,
}

impl Judged {
    /// How much is missing; less than nothing where there is more than wanted.
    #[must_use]
    pub fn missing(&self) -> Length {
        self.wanted - self.cover.clear
    }
}

/// What the formed and open faces of a section meet: as it says, or from where the work is. Under a roof and above the ground
/// they are dry.
#[must_use]
pub fn exposure(job: &Job, section: &Thing<Section>) -> Exposure {
    match section.say.exposure {
        Some(schema::Exposure::Dry) => return Exposure::Dry,
        Some(schema::Exposure::Weather | schema::Exposure::Ground) => return Exposure::WeatherOrGround,
        None => {}
    }
    let indoors = job.head.as_ref().and_then(|head| head.say.place) == Some(Surroundings::Indoors);
    let bottom = section.say.height.value.from;
    let buried = job.grounds.iter().filter_map(|ground| ground.say.inside).any(|level| level > bottom);
    if indoors && !buried { Exposure::Dry } else { Exposure::WeatherOrGround }
}

/// What each cover should be; those to other pours are not asked for. Enters them in the ledger.
pub fn judge(job: &Job, all: &[BarsMade], clearances: &Clearances, ledger: &mut Ledger) -> Vec<Judged> {
    let mut out = Vec::with_capacity(clearances.covers.len());
    let stone = stone(job);
    for cover in &clearances.covers {
        let (Some(made), Some(section)) = (made(all, cover.bar.bars), job.section(cover.section)) else {
            continue;
        };
        let said = section.say.cover.as_ref();
        let system = job.system();
        let diameter = made.steel.diameter;
        let table = |exposure| {
            let worked = aci_cover(exposure, Member::Wall, diameter, system).ok()?;
            Some((Asks::Table(exposure), worked))
        };
        let own = |length: Length| {
            Some((Asks::Job, Worked { value: length, formula: "as the job says", source: "", parts: Vec::new() }))
        };
        let asked = match cover.class {
            Class::Joint => None,
            Class::Ground | Class::Earth => match said.and_then(|said| said.ground) {
                Some(ground) => own(ground.0),
                None => table(Exposure::CastAgainstGround),
            },
            Class::Old | Class::SlabEdge | Class::OnSlab | Class::OnOld => {
                clear_spacing(diameter, stone, system).map(|worked| (Asks::Spacing, worked))
            }
            Class::Formed | Class::End | Class::Riser | Class::Void | Class::Soffit | Class::Top => match said {
                Some(said) => own(said.faces.0),
                None => table(exposure(job, section)),
            },
        };
        let Some((asks, worked)) = asked else { continue };
        let judged = Judged { cover: *cover, wanted: worked.value, asks, source: worked.source };
        enter(job, section, diameter, &judged, &worked, ledger);
        out.push(judged);
    }
    out
}

/// The clear distance parallel bars should have: by the rules of the job's units.
#[must_use]
pub fn clear_spacing(diameter: Length, stone: Length, system: System) -> Option<Worked<Length>> {
    match system {
        System::Feet => aci_clear(Lie::Layer, diameter, stone, system),
        System::Metric => en_clear(diameter, stone),
    }
    .ok()
}

/// The largest stones of any mix that is poured; nothing where no mix says.
#[must_use]
pub fn stone(job: &Job) -> Length {
    let poured = job.pours.iter().filter_map(|pour| job.mix(pour.say.mix.0)?.say.stone);
    poured.map(|stone| stone.0).max().unwrap_or_default()
}

/// The name of the number a cover is: `rails.cover.low.top`.
#[must_use]
pub fn cover_name(job: &Job, cover: &Cover) -> String {
    format!("{}.cover.{}.{}", job.name(cover.bar.bars), job.name(cover.section), word(cover.class))
}

/// The word a class of faces has in the name of a number.
const fn word(class: Class) -> &'static str {
    match class {
        Class::Old => "old",
        Class::SlabEdge => "slab-edge",
        Class::Joint => "joint",
        Class::Earth => "earth",
        Class::Formed => "formed",
        Class::End => "end",
        Class::Riser => "riser",
        Class::Void => "void",
        Class::Ground => "ground",
        Class::OnSlab => "on-slab",
        Class::OnOld => "on-old",
        Class::Soffit => "soffit",
        Class::Top => "top",
    }
}

fn enter(
    job: &Job,
    section: &Thing<Section>,
    diameter: Length,
    judged: &Judged,
    worked: &Worked<Length>,
    ledger: &mut Ledger,
) {
    let Some(bars) = job.bars_of(judged.cover.bar.bars) else { return };
    let name = cover_name(job, &judged.cover);
    ledger.enter(|| Entry {
        name: name.clone(),
        value: Figure::Length(judged.cover.clear),
        formula: "distance - diameter / 2",
        source: "plane geometry",
        inputs: [
            Input::given(
                "distance",
                Figure::Length(judged.cover.clear + diameter / 2),
                "least distance of the centre line to a face of this sort",
            ),
            Input::given("diameter", Figure::Length(diameter), "nominal diameter of the bar"),
        ]
        .into_iter()
        .chain(places(bars))
        .chain([Input::typed("section height", section.said(KindId::Section, "height"))])
        .collect(),
    });
    ledger.enter(|| Entry {
        name: format!("{name}.wanted"),
        value: Figure::Length(judged.wanted),
        formula: worked.formula,
        source: worked.source,
        inputs: match judged.asks {
            Asks::Job => vec![Input::typed("cover", section.said(KindId::Section, "cover"))],
            Asks::Table(_) | Asks::Spacing => worked.inputs().collect(),
        },
    });
}

/// The clauses that say where bars lie.
fn places(bars: &Thing<schema::Bars>) -> impl Iterator<Item = Input> + '_ {
    ["in", "out", "rows", "offset", "ends", "from", "legs", "inset"].into_iter().filter_map(|clause| {
        let at = bars.said(KindId::Bars, clause);
        (at != bars.at).then(|| Input::typed(clause, at))
    })
}

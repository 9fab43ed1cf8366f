//! When forms come off and how long concrete is kept wet.

use super::{Ageing, Gain, Part, Setting, Temperatures, Unanswered, Worked, age::until_aged, gain::time_to_part};
use crate::{
    ledger::Figure,
    standards::PRACTICE,
    units::{Duration, Length, Ratio, Temperature},
};

/// Hours count for stripping and curing while it is no colder than this: 50 degrees Fahrenheit (10 degrees Celsius), ACI 347
/// (seen in a trade journal), for curing common practice.
pub const COUNTS_FROM: Temperature = Temperature::from_deg_c(10.0);

/// How long side forms stay when nobody says: a day of counted hours; the published least is 12.
pub const SIDE_FORMS: Setting<Duration> = Setting {
    name: "side forms stay",
    value: Duration::from_hours(24.0),
    source: "ACI 347 gives 12 hours, seen in a trade journal; a day where damage is possible, common practice",
};

/// What part of its strength a wall has before it is backfilled or loaded: common practice, no source.
pub const BACKFILL_PART: Setting<Ratio> =
    Setting { name: "strength before backfill", value: Ratio::from_fraction(0.7), source: PRACTICE };

/// What the forms hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Formed {
    /// Sides of walls, columns and beams.
    Sides,
    /// The underside of a beam of this span.
    BeamSoffit(Length),
    /// The underside of a slab of this span.
    SlabSoffit(Length),
}

/// How long forms stay when no strength is specified, in hours counted from [`COUNTS_FROM`] on: ACI 347 (seen in a trade
/// journal, save the names of the loads). `live_over_dead` is for soffits: more live than dead load.
#[must_use]
pub fn strip_time(forms: Formed, live_over_dead: bool) -> Worked<Duration> {
    let by_span = |span: Length, [short, middle, long]: [f64; 3]| {
        Duration::from_days(if span < Length::FOOT * 10 {
            short
        } else if span <= Length::FOOT * 20 {
            middle
        } else {
            long
        })
    };
    let value = match (forms, live_over_dead) {
        (Formed::Sides, _) => Duration::from_hours(12.0),
        (Formed::BeamSoffit(span), false) => by_span(span, [7.0, 14.0, 21.0]),
        (Formed::BeamSoffit(span), true) => by_span(span, [4.0, 7.0, 14.0]),
        (Formed::SlabSoffit(span), false) => by_span(span, [4.0, 7.0, 10.0]),
        (Formed::SlabSoffit(span), true) => by_span(span, [3.0, 4.0, 7.0]),
    };
    let parts = match forms {
        Formed::Sides => Vec::new(),
        Formed::BeamSoffit(span) | Formed::SlabSoffit(span) => {
            vec![Part::length("span", span, "clear span of the soffit")]
        }
    };
    Worked { value, formula: "table, by element and span", source: "ACI 347, seen in a trade journal", parts }
}

/// When forms may come off, after a start: counted hours, and a strength where one is wanted; the later of the two.
///
/// # Errors
///
/// Those of [`until_aged`] and [`time_to_part`].
pub fn earliest_strip(
    hours: Duration,
    strength: Option<(Gain, Ratio, Ageing)>,
    temperatures: &Temperatures,
    start: Duration,
) -> Result<Worked<Duration>, Unanswered> {
    let counted = until_aged(Ageing::CountedFrom(COUNTS_FROM), temperatures, start, hours.hours())?;
    let by_hours = Part::duration("hours", counted.value, "until so many hours no colder than 50 degF have passed");
    let Some((gain, part, ageing)) = strength else {
        return Ok(Worked { parts: vec![by_hours], formula: "hours", ..counted });
    };
    let strong = time_to_part(gain, part, ageing, temperatures, start)?;
    Ok(Worked {
        value: counted.value.max(strong.value),
        formula: "greater of hours and strong",
        source: strong.source,
        parts: vec![
            by_hours,
            Part::duration("strong", strong.value, "until it is strong enough"),
            Part { symbol: "part", value: Figure::Ratio(part), why: "wanted of the strength at 28 days" },
        ],
    })
}

/// The binder, as the rules of curing tell it apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Binder {
    /// Type I.
    TypeI,
    /// Type II.
    TypeII,
    /// Type III.
    TypeIII,
    /// Type IV or V.
    TypeIVOrV,
    /// Blended cements IS and IP, or with silica fume.
    Blended,
    /// Up to 25% fly ash or slag.
    SomeAsh,
    /// More than 25% fly ash or slag.
    MuchAsh,
}

/// Whose rule of curing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CureRule {
    /// ACI 308, from memory.
    Aci308,
    /// Unified Facilities Guide Specification 03301A, seen.
    Guide,
}

/// How long concrete is kept wet; only hours no colder than [`COUNTS_FROM`] count.
///
/// # Errors
///
/// [`Unanswered`] where the rule has no row for the binder.
pub fn moist_curing(binder: Binder, rule: CureRule) -> Result<Worked<Duration>, Unanswered> {
    let days = match (rule, binder) {
        (_, Binder::TypeIII) => 3.0,
        (_, Binder::TypeI) | (CureRule::Guide, Binder::Blended) => 7.0,
        (CureRule::Aci308, Binder::TypeII) => 10.0,
        (CureRule::Aci308, Binder::TypeIVOrV) | (CureRule::Guide, Binder::TypeII | Binder::SomeAsh) => 14.0,
        (CureRule::Guide, Binder::MuchAsh) => 21.0,
        (CureRule::Guide, Binder::TypeIVOrV)
        | (CureRule::Aci308, Binder::Blended | Binder::SomeAsh | Binder::MuchAsh) => {
            return Err(Unanswered::Outside("binder", "the rule has no row for it"));
        }
    };
    let source = match rule {
        CureRule::Aci308 => "ACI 308, from memory",
        CureRule::Guide => "Unified Facilities Guide Specification 03301A",
    };
    Ok(Worked { value: Duration::from_days(days), formula: "table, by binder", source, parts: Vec::new() })
}

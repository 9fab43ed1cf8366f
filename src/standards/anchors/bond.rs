//! The bond of an adhesive anchor: ACI 318-19 17.6.5 (formulas and defaults seen in a digest of the SI edition, the
//! constant of 1100 psi in the code text of 2014).

use std::f64::consts::PI;

use super::{Edges, Failure, Group, Part, Unanswered, Worked, critical_edge, embedment_window, phi, projected};
use crate::{
    ledger::Figure,
    standards::{ConcreteWeight, some_length, some_stress, times},
    units::{Area, Duration, Force, Length, Stress, System, Temperature},
};

/// What is left of the bond for tension that stays: 0.4, ACI 318-19 Table 17.6.5.2.5 (seen in a digest). The check of
/// [`sustained_limit`] comes on top of it.
pub const SUSTAINED: f64 = 0.4;

/// Where the anchor serves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Service {
    /// Outdoors, or below grade: dry to fully saturated, concrete up to 175 degrees Fahrenheit (79 degrees Celsius).
    Outdoor,
    /// Indoors: dry when it is set, concrete up to 110 degrees Fahrenheit (43 degrees Celsius).
    Indoor,
}

/// How the hole is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Drilling {
    /// With a hammer or a rock drill.
    Hammer,
    /// With a core drill.
    Core,
}

/// What the default bond stresses hang on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// Where it serves.
    pub service: Service,
    /// The adhesive is qualified by ACI 355.4.
    pub qualified: bool,
    /// How the hole is made.
    pub drilling: Drilling,
    /// The concrete is dry when the anchor is set.
    pub dry: bool,
    /// Specified strength of the concrete.
    pub fc: Stress,
    /// Its age when the anchor is set.
    pub age: Duration,
    /// Its temperature then.
    pub temperature: Temperature,
}

/// The least age of concrete when an adhesive anchor is set: 21 days, ACI 318-19 17.2.2 (seen in a digest).
pub const LEAST_AGE: Duration = Duration::from_days(21.0);

/// The coldest concrete the default bond stresses allow: 50 degrees Fahrenheit (10 degrees Celsius), Table 17.6.5.2.5 (seen
/// in a digest).
pub const COLDEST: Temperature = Temperature::from_deg_c(10.0);

/// A condition that does not hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Unmet {
    /// The adhesive is not qualified by ACI 355.4.
    NotQualified,
    /// The hole is cored: its wall is smooth.
    Cored,
    /// An indoor anchor is set in damp concrete.
    Damp,
    /// The concrete is weaker than this.
    Weak(Stress),
    /// It is younger than this.
    Young(Duration),
    /// It is colder than this.
    Cold(Temperature),
}

/// The conditions of the default bond stresses that do not hold: ACI 318-19 17.2.2 and Table 17.6.5.2.5 (seen in a digest).
#[must_use]
pub fn unmet(conditions: &Conditions, system: System) -> Vec<Unmet> {
    let weakest = match system {
        System::Feet => Stress::from_psi(2500.0),
        System::Metric => Stress::from_mpa(17.0),
    };
    // A hair's breadth for figures that come from another unit. What is no number meets nothing.
    let strong = conditions.fc >= weakest * (1.0 - 1e-9);
    let old = conditions.age >= LEAST_AGE * (1.0 - 1e-9);
    let warm = conditions.temperature.deg_c() >= COLDEST.deg_c() - 1e-9;
    [
        (!conditions.qualified).then_some(Unmet::NotQualified),
        (conditions.drilling == Drilling::Core).then_some(Unmet::Cored),
        (conditions.service == Service::Indoor && !conditions.dry).then_some(Unmet::Damp),
        (!strong).then_some(Unmet::Weak(weakest)),
        (!old).then_some(Unmet::Young(LEAST_AGE)),
        (!warm).then_some(Unmet::Cold(COLDEST)),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Characteristic bond stresses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BondStresses {
    /// In cracked concrete.
    pub cracked: Stress,
    /// In uncracked concrete; it also decides how far the bond reaches.
    pub uncracked: Stress,
}

impl BondStresses {
    /// What is left under an earthquake in Seismic Design Categories C to F: 0.8 cracked, 0.4 uncracked; Table 17.6.5.2.5
    /// (seen in a digest).
    #[must_use]
    pub fn in_earthquakes(self) -> BondStresses {
        BondStresses { cracked: self.cracked * 0.8, uncracked: self.uncracked * 0.4 }
    }

    /// What is left under tension that stays: [`SUSTAINED`] of both.
    #[must_use]
    pub fn sustained(self) -> BondStresses {
        BondStresses { cracked: self.cracked * SUSTAINED, uncracked: self.uncracked * SUSTAINED }
    }
}

/// The default bond stresses: ACI 318-19 Table 17.6.5.2.5 (MPa seen in a digest; 200, 300 and 1000 psi on a student's
/// page, 650 psi from memory). They hang on [`unmet`] being empty.
#[must_use]
pub const fn default_bond(service: Service, system: System) -> BondStresses {
    match (service, system) {
        (Service::Outdoor, System::Feet) => {
            BondStresses { cracked: Stress::from_psi(200.0), uncracked: Stress::from_psi(650.0) }
        }
        (Service::Outdoor, System::Metric) => {
            BondStresses { cracked: Stress::from_mpa(1.4), uncracked: Stress::from_mpa(4.5) }
        }
        (Service::Indoor, System::Feet) => {
            BondStresses { cracked: Stress::from_psi(300.0), uncracked: Stress::from_psi(1000.0) }
        }
        (Service::Indoor, System::Metric) => {
            BondStresses { cracked: Stress::from_mpa(2.1), uncracked: Stress::from_mpa(7.0) }
        }
    }
}

/// How far the bond of an anchor reaches to each side, cNa = 10 da sqrt(tau_uncr / 1100 psi) or 7.6 MPa: ACI 318-19 Eq.
/// 17.6.5.1.2b (seen in a digest and in the code text of 2014). Of two anchors closer than twice that, each takes from the
/// other.
///
/// # Errors
///
/// [`Unanswered`] for no bar and no stress.
pub fn reach(diameter: Length, bond: &BondStresses, system: System) -> Result<Worked<Length>, Unanswered> {
    let da = some_length("da", diameter)?;
    let tau = some_stress("tau_uncr", bond.uncracked)?;
    let unit = match system {
        System::Feet => Stress::from_psi(1100.0),
        System::Metric => Stress::from_mpa(7.6),
    };
    Ok(Worked {
        value: times(da, 10.0 * (tau / unit).sqrt()),
        formula: "10 * da * sqrt(tau_uncr / c)",
        source: "ACI 318-19 Eq. 17.6.5.1.2b, seen in a digest",
        parts: vec![
            Part::length("da", da, "nominal diameter of the bar"),
            Part::stress("tau_uncr", tau, "bond stress in uncracked concrete"),
            Part::stress("c", unit, "constant of the formula"),
        ],
    })
}

/// The bond of one anchor far from edges and neighbours, Nba = lambda_a tau pi da hef: ACI 318-19 Eq. 17.6.5.2.1 (seen in a
/// digest). In lightweight concrete lambda_a is 0.6 lambda.
///
/// # Errors
///
/// [`Unanswered`] for figures that are none and for an embedment the model does not cover (4 to 20 diameters).
pub fn bond_of_one(
    diameter: Length,
    embedment: Length,
    bond: &BondStresses,
    cracked: bool,
    weight: ConcreteWeight,
) -> Result<Worked<Force>, Unanswered> {
    let da = some_length("da", diameter)?;
    let hef = some_length("hef", embedment)?;
    let (least, most) = embedment_window(da)?.value;
    if !(least..=most).contains(&hef) {
        return Err(Unanswered::Outside("hef", "the bond model covers 4 to 20 diameters (17.3.3)"));
    }
    let (tau, why) = if cracked {
        (some_stress("tau", bond.cracked)?, "bond stress in cracked concrete")
    } else {
        (some_stress("tau", bond.uncracked)?, "bond stress in uncracked concrete")
    };
    let (lambda, light) = match weight {
        ConcreteWeight::Normal => (1.0, "normalweight concrete"),
        ConcreteWeight::Light => (0.6 * weight.lambda(), "0.6 lambda, lightweight concrete"),
    };
    let newtons = lambda * tau.pa() * PI * da.metres() * hef.metres();
    Ok(Worked {
        value: Force::from_newtons(newtons),
        formula: "lambda_a * tau * pi * da * hef",
        source: "ACI 318-19 Eq. 17.6.5.2.1, seen in a digest",
        parts: vec![
            Part::number("lambda_a", lambda, light),
            Part::stress("tau", tau, why),
            Part::length("da", da, "nominal diameter of the bar"),
            Part::length("hef", hef, "embedment"),
        ],
    })
}

/// The bond of one or several anchors near edges and each other, ANa / ANa0 psi_ec psi_ed psi_cp Nba: ACI 318-19 Eq.
/// 17.6.5.1.1a and b (seen in a digest).
///
/// # Errors
///
/// [`Unanswered`] where there is no anchor or one outside of the concrete, and as in [`bond_of_one`].
pub fn bond_of_group(group: &Group, bond: &BondStresses) -> Result<Worked<Force>, Unanswered> {
    if group.places.is_empty() {
        return Err(Unanswered::Nothing("n"));
    }
    if !group.inside() {
        return Err(Unanswered::Outside("ca", "anchors stand inside the edges of the concrete"));
    }
    let one = bond_of_one(group.diameter, group.embedment, bond, group.cracked, group.weight)?.value;
    let c_na = reach(group.diameter, bond, group.system)?.value;
    let alone = projected(&[(Length::ZERO, Length::ZERO)], c_na, &Edges::NONE);
    let together = projected(group.places, c_na, &group.edges);
    let near = group.nearest_edge();
    let eccentric = off_middle(group.eccentricity, c_na, "1 / (1 + e'N / cNa)")?;
    let edge = edge_factor(near, c_na, "0.7 + 0.3 ca,min / cNa, not above 1");
    let splitting = splitting_factor(group, near, c_na);
    let factors = parted(eccentric) * parted(edge) * parted(splitting);
    Ok(Worked {
        value: one * (share(together, alone) * factors),
        formula: "ANa / ANa0 * psi_ec * psi_ed * psi_cp * Nba",
        source: "ACI 318-19 17.6.5.1, seen in a digest",
        parts: vec![
            Part::area("ANa", together, "area the anchors lay hold of, cut off at edges, overlaps once"),
            Part::area("ANa0", alone, "(2 cNa)^2, the area of one anchor alone"),
            eccentric,
            edge,
            splitting,
            Part::force("Nba", one, "bond of one anchor alone"),
        ],
    })
}

pub(super) fn share(part: Area, whole: Area) -> f64 {
    if whole > Area::ZERO { part.nm2() as f64 / whole.nm2() as f64 } else { 0.0 }
}

pub(super) fn parted(part: Part) -> f64 {
    match part.value {
        Figure::Number(number) => number,
        _ => 1.0,
    }
}

pub(super) fn off_middle(off: Length, reach: Length, why: &'static str) -> Result<Part, Unanswered> {
    if off < Length::ZERO {
        return Err(Unanswered::Nothing("e'N"));
    }
    Ok(Part::number("psi_ec", 1.0 / (1.0 + off.nm() as f64 / reach.nm().max(1) as f64), why))
}

pub(super) fn edge_factor(near: Option<Length>, reach: Length, why: &'static str) -> Part {
    match near {
        Some(near) if near < reach => Part::number("psi_ed", 0.7 + 0.3 * near.nm() as f64 / reach.nm() as f64, why),
        _ => Part::number("psi_ed", 1.0, "edges far enough away"),
    }
}

/// For uncracked concrete without reinforcement against splitting.
pub(super) fn splitting_factor(group: &Group, near: Option<Length>, reach: Length) -> Part {
    let critical = critical_edge(group.embedment);
    match near {
        Some(near) if !group.cracked && near < critical => {
            let part = near.max(reach).nm() as f64 / critical.nm() as f64;
            Part::number("psi_cp", part.min(1.0), "uncracked concrete, an edge closer than 2 hef")
        }
        _ if group.cracked => Part::number("psi_cp", 1.0, "cracked concrete"),
        _ => Part::number("psi_cp", 1.0, "edges far enough away"),
    }
}

/// The most tension that may stay on an anchor, 0.55 phi Nba with the bond stress for tension that stays: ACI 318-19 17.5.2.2
/// (seen in a digest). No supplementary reinforcement is counted.
#[must_use]
pub fn sustained_limit(bond_of_one: Force, category: super::Category) -> Worked<Force> {
    let phi = phi(Failure::ConcreteInTension, false, category);
    Worked {
        value: bond_of_one * (0.55 * phi),
        formula: "0.55 * phi * Nba",
        source: "ACI 318-19 17.5.2.2, seen in a digest",
        parts: vec![
            Part::number("phi", phi, "bond, without supplementary reinforcement"),
            Part::force("Nba", bond_of_one, "bond of one anchor alone, its stress times 0.4 for the default stresses"),
        ],
    }
}

/// The embedment at which the bond alone would make the bar yield, As fy / (tau pi da): plain mechanics. A bar set less deep
/// is a tie across the joint and no lap.
///
/// # Errors
///
/// [`Unanswered`] for figures that are none.
pub fn embedment_to_yield(area: Area, fy: Stress, diameter: Length, tau: Stress) -> Result<Worked<Length>, Unanswered> {
    let (da, fy, tau) = (some_length("da", diameter)?, some_stress("fy", fy)?, some_stress("tau", tau)?);
    if area <= Area::ZERO {
        return Err(Unanswered::Nothing("As"));
    }
    let metres = (fy * area).newtons() / (tau.pa() * PI * da.metres());
    Ok(Worked {
        value: Length::round_nm(metres * 1e9),
        formula: "As * fy / (tau * pi * da)",
        source: "",
        parts: vec![
            Part::area("As", area, "tabulated area of the bar"),
            Part::stress("fy", fy, "yield strength of the bar"),
            Part::stress("tau", tau, "bond stress"),
            Part::length("da", da, "nominal diameter of the bar"),
        ],
    })
}

#[cfg(test)]
mod tests;

//! Bars set into drilled holes with adhesive, taken as anchors: ACI 318-19 Chapter 17.
//!
//! The strengths are advice with the Code's default bond stresses. They certify nothing: the adhesive must be qualified by
//! ACI 355.4 and set by its printed instructions, which go before every figure here, and a licensed professional designs
//! structural anchorage. A short bar in a hole is a tie across the joint, not a lap: see [`embedment_to_yield`].

mod bond;
mod breakout;
mod group;
mod holes;

pub use bond::{
    BondStresses, COLDEST, Conditions, Drilling, LEAST_AGE, SUSTAINED, Service, Unmet, bond_of_group, bond_of_one,
    default_bond, embedment_to_yield, reach, sustained_limit, unmet,
};
pub use breakout::{breakout, breakout_of_one};
pub use group::{Edges, Group, projected};
pub use holes::{behind, cement_grout_hole, left_behind, resin_grout_hole, usual_hole};

use super::{Part, Unanswered, Worked, mils, mm, some_length, some_stress};
use crate::units::{Area, Force, Length, Stress, System};

/// The shallowest and the deepest embedment the bond model covers: 4 and 20 diameters, ACI 318-19 17.3.3 (seen in a
/// digest).
///
/// # Errors
///
/// [`Unanswered`] for no bar.
pub fn embedment_window(diameter: Length) -> Result<Worked<(Length, Length)>, Unanswered> {
    let da = some_length("da", diameter)?;
    Ok(Worked {
        value: (da * 4, da * 20),
        formula: "4 da to 20 da",
        source: "ACI 318-19 17.3.3, seen in a digest",
        parts: vec![Part::length("da", da, "nominal diameter of the bar")],
    })
}

/// Least distance from centre to centre: 6 diameters, ACI 318-19 Table 17.9.2(a) (from memory for adhesive anchors; seen in
/// a digest for others).
///
/// # Errors
///
/// [`Unanswered`] for no bar.
pub fn least_spacing(diameter: Length) -> Result<Worked<Length>, Unanswered> {
    let da = some_length("da", diameter)?;
    Ok(Worked {
        value: da * 6,
        formula: "6 da",
        source: "ACI 318-19 Table 17.9.2(a), from memory",
        parts: vec![Part::length("da", da, "nominal diameter of the bar")],
    })
}

/// Least distance from the centre of a bar to an edge, without a product's own figure: the greatest of the cover the bar
/// needs, twice the largest aggregate and 6 diameters, ACI 318-19 17.9.2 (seen in a digest). Cover runs to the face of
/// the bar, so half the bar is added to it.
///
/// # Errors
///
/// [`Unanswered`] for no bar.
pub fn least_edge(diameter: Length, cover: Length, aggregate: Length) -> Result<Worked<Length>, Unanswered> {
    let da = some_length("da", diameter)?;
    Ok(Worked {
        value: (da * 6).max(cover + da / 2).max(aggregate * 2),
        formula: "greatest of 6 da, cover + da / 2 and 2 dagg",
        source: "ACI 318-19 17.9.2 and Table 17.9.2(b), seen in a digest",
        parts: vec![
            Part::length("da", da, "nominal diameter of the bar"),
            Part::length("cover", cover, "specified cover of the bar"),
            Part::length("dagg", aggregate, "largest aggregate"),
        ],
    })
}

/// The edge distance that keeps uncracked concrete from splitting, without test data: twice the embedment, ACI 318-19 17.9.5
/// (seen in a digest).
#[must_use]
pub fn critical_edge(embedment: Length) -> Length {
    embedment * 2
}

/// The strength of concrete that counts for a post-installed anchor at most: 8000 psi (55 MPa), ACI 318-19 17.3.1 (seen in a
/// digest).
#[must_use]
pub const fn greatest_strength(system: System) -> Stress {
    match system {
        System::Feet => Stress::from_psi(8000.0),
        System::Metric => Stress::from_mpa(55.0),
    }
}

/// Strength of one bar in tension, Ase futa, futa not above 1.9 fy and 125 000 psi (860 MPa): ACI 318-19 17.6.1 (seen in a
/// digest). The least tensile strength of ASTM A615 Grade 60 is 80 000 psi (550 MPa).
///
/// # Errors
///
/// [`Unanswered`] for no area and no strength.
pub fn steel_in_tension(area: Area, fy: Stress, futa: Stress, system: System) -> Result<Worked<Force>, Unanswered> {
    if area <= Area::ZERO {
        return Err(Unanswered::Nothing("Ase"));
    }
    let fy = some_stress("fy", fy)?;
    let most = match system {
        System::Feet => Stress::from_psi(125_000.0),
        System::Metric => Stress::from_mpa(860.0),
    };
    let counted = some_stress("futa", futa)?.min(fy * 1.9).min(most);
    Ok(Worked {
        value: counted * area,
        formula: "Ase * futa",
        source: "ACI 318-19 17.6.1, seen in a digest",
        parts: vec![
            Part::area("Ase", area, "tabulated area of the bar"),
            Part::stress("futa", counted, "tensile strength, not above 1.9 fy and 125 000 psi (860 MPa)"),
        ],
    })
}

/// How an anchor gives way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Failure {
    /// Ductile steel in tension.
    SteelInTension,
    /// Ductile steel in shear.
    SteelInShear,
    /// Concrete breaks out, or the bond gives way, in tension.
    ConcreteInTension,
    /// Concrete gives way in shear.
    ConcreteInShear,
}

/// How sensitive an anchor is to how it is set: the category of its qualification.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Category {
    One,
    Two,
    Three,
}

/// Strength reduction factor: ACI 318-19 Tables 17.5.3(a) to (c) (seen in a digest). `held` says that supplementary
/// reinforcement ties the breaking piece to the member.
#[must_use]
pub const fn phi(failure: Failure, held: bool, category: Category) -> f64 {
    match (failure, held, category) {
        (Failure::SteelInTension, _, _) => 0.75,
        (Failure::SteelInShear, _, _) => 0.65,
        (Failure::ConcreteInShear, true, _) => 0.75,
        (Failure::ConcreteInShear, false, _) => 0.70,
        (Failure::ConcreteInTension, true, Category::One) => 0.75,
        (Failure::ConcreteInTension, true, Category::Two) | (Failure::ConcreteInTension, false, Category::One) => 0.65,
        (Failure::ConcreteInTension, true, Category::Three) | (Failure::ConcreteInTension, false, Category::Two) => {
            0.55
        }
        (Failure::ConcreteInTension, false, Category::Three) => 0.45,
    }
}

/// Whether an anchor holds under tension and shear together, from the parts of its strength that each takes: where one is
/// at most 0.2 the other counts alone, else their sum may be 1.2; ACI 318-19 17.8 (seen in a digest).
#[must_use]
pub fn holds_together(tension: f64, shear: f64) -> bool {
    let each = (0.0..=1.0).contains(&tension) && (0.0..=1.0).contains(&shear);
    each && (tension <= 0.2 || shear <= 0.2 || tension + shear <= 1.2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::tests::{area_of, inches, no, printed};

    #[test]
    fn limits_by_bar_of_aci_318_17_3_3_and_17_9_2() {
        // Computed from the multiples, inches: #3 to #11.
        for (at, (least, most, apart)) in [
            (1.5, 7.5, 2.25),
            (2.0, 10.0, 3.0),
            (2.5, 12.5, 3.75),
            (3.0, 15.0, 4.5),
            (3.5, 17.5, 5.25),
            (4.0, 20.0, 6.0),
            (4.51, 22.56, 6.77),
            (5.08, 25.4, 7.62),
            (5.64, 28.2, 8.46),
        ]
        .into_iter()
        .enumerate()
        {
            let window = embedment_window(no(at + 3)).unwrap().value;
            printed(window.0.inches(), least, 2);
            printed(window.1.inches(), most, 2);
            printed(least_spacing(no(at + 3)).unwrap().value.inches(), apart, 2);
        }
        assert!(embedment_window(Length::ZERO).is_err() && least_spacing(Length::ZERO).is_err());
    }

    #[test]
    fn anc_9_and_10_number_four_too_deep_and_too_close() {
        let (least, most) = embedment_window(no(4)).unwrap().value;
        assert!(!(least..=most).contains(&inches(10.5)));
        assert!((least..=most).contains(&inches(6.0)));
        assert!(inches(2.5) < least_spacing(no(4)).unwrap().value);
    }

    #[test]
    fn edge_distances_run_to_the_centre() {
        let edge = |cover, aggregate| least_edge(no(4), inches(cover), inches(aggregate)).unwrap().value;
        assert_eq!(edge(0.75, 0.75), inches(3.0));
        // 3 in of cover to the face of a #4 is 3 1/4 in to its centre.
        assert_eq!(edge(3.0, 0.75), inches(3.25));
        assert_eq!(edge(0.75, 2.0), inches(4.0));
        assert_eq!(critical_edge(inches(6.0)), inches(12.0));
    }

    #[test]
    fn steel_counts_up_to_1_9_times_its_yield() {
        let at = |fy, futa| {
            let (fy, futa) = (Stress::from_psi(fy), Stress::from_psi(futa));
            steel_in_tension(area_of(4), fy, futa, System::Feet).unwrap().value.lbf()
        };
        printed(at(60_000.0, 80_000.0), 16_000.0, 0);
        printed(at(40_000.0, 80_000.0), 15_200.0, 0);
        printed(at(100_000.0, 150_000.0), 25_000.0, 0);
        assert!(steel_in_tension(Area::ZERO, Stress::ZERO, Stress::ZERO, System::Feet).is_err());
        assert_eq!(greatest_strength(System::Metric), Stress::from_mpa(55.0));
    }

    #[test]
    fn strength_reduction_of_aci_318_table_17_5_3() {
        let all = [Category::One, Category::Two, Category::Three];
        assert_eq!(all.map(|category| phi(Failure::ConcreteInTension, true, category)), [0.75, 0.65, 0.55]);
        assert_eq!(all.map(|category| phi(Failure::ConcreteInTension, false, category)), [0.65, 0.55, 0.45]);
        assert_eq!(all.map(|category| phi(Failure::SteelInTension, false, category)), [0.75; 3]);
        assert_eq!(all.map(|category| phi(Failure::SteelInShear, true, category)), [0.65; 3]);
        assert_eq!([true, false].map(|held| phi(Failure::ConcreteInShear, held, Category::One)), [0.75, 0.70]);
    }

    #[test]
    fn tension_and_shear_together() {
        assert!(holds_together(0.2, 1.0) && holds_together(1.0, 0.1) && holds_together(0.6, 0.6));
        assert!(!holds_together(0.7, 0.6) && !holds_together(1.1, 0.0) && !holds_together(f64::NAN, 0.1));
    }
}

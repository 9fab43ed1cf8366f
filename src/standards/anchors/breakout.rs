//! The concrete that breaks out with a post-installed anchor in tension: ACI 318-19 17.6.2 (seen in a digest of the SI
//! edition; 17 of the inch-pound edition from memory).

use super::{
    Edges, Group, Part, Unanswered, Worked,
    bond::{edge_factor, off_middle, parted, share, splitting_factor},
    greatest_strength, projected,
};
use crate::{
    standards::{ConcreteWeight, in_edition, of_edition, some_length, some_stress},
    units::{Force, Length, Stress, System},
};

/// Breakout of one anchor far from edges and neighbours, Nb = kc lambda_a sqrt(f'c) hef^1.5, kc 17 (psi, in) or 7 (MPa,
/// mm): ACI 318-19 Eq. 17.6.2.2.1. In lightweight concrete lambda_a is 0.8 lambda. Not more than 8000 psi (55 MPa) count.
///
/// # Errors
///
/// [`Unanswered`] for figures that are none.
pub fn breakout_of_one(
    embedment: Length,
    fc: Stress,
    weight: ConcreteWeight,
    system: System,
) -> Result<Worked<Force>, Unanswered> {
    let hef = some_length("hef", embedment)?;
    let fc = some_stress("f'c", fc)?.min(greatest_strength(system));
    let root = in_edition(system, fc).sqrt();
    let (kc, depth) = match system {
        System::Feet => (17.0, hef.inches()),
        System::Metric => (7.0, hef.metres() * 1e3),
    };
    let (lambda, why) = match weight {
        ConcreteWeight::Normal => (1.0, "normalweight concrete"),
        ConcreteWeight::Light => (0.8 * weight.lambda(), "0.8 lambda, lightweight concrete"),
    };
    let number = kc * lambda * root * depth.powf(1.5);
    let value = match system {
        System::Feet => Force::from_lbf(number),
        System::Metric => Force::from_newtons(number),
    };
    let source = match system {
        System::Feet => "ACI 318-19 Eq. 17.6.2.2.1, kc in psi from memory",
        System::Metric => "ACI 318M-19 Eq. 17.6.2.2.1, seen in a digest",
    };
    Ok(Worked {
        value,
        formula: "kc * lambda_a * sqrt(f'c) * hef^1.5",
        source,
        parts: vec![
            Part::number("kc", kc, "post-installed anchors"),
            Part::number("lambda_a", lambda, why),
            Part::stress(
                "sqrt(f'c)",
                of_edition(system, root),
                "square root of the strength, of which not all may count",
            ),
            Part::length("hef", hef, "embedment"),
        ],
    })
}

/// Breakout of one or several anchors near edges and each other, ANc / ANc0 psi_ec psi_ed psi_c psi_cp Nb: ACI 318-19 Eq.
/// 17.6.2.1a and b. Each reaches 1.5 hef. That three near edges shorten the embedment that counts (17.6.2.1.2) is left
/// out, on the safe side.
///
/// # Errors
///
/// [`Unanswered`] where there is no anchor or one outside of the concrete, and as in [`breakout_of_one`].
pub fn breakout(group: &Group) -> Result<Worked<Force>, Unanswered> {
    if group.places.is_empty() {
        return Err(Unanswered::Nothing("n"));
    }
    if !group.inside() {
        return Err(Unanswered::Outside("ca", "anchors stand inside the edges of the concrete"));
    }
    let one = breakout_of_one(group.embedment, group.fc, group.weight, group.system)?.value;
    let reach = group.embedment * 3 / 2;
    let alone = projected(&[(Length::ZERO, Length::ZERO)], reach, &Edges::NONE);
    let together = projected(group.places, reach, &group.edges);
    let near = group.nearest_edge();
    let eccentric = off_middle(group.eccentricity, reach, "1 / (1 + e'N / (1.5 hef))")?;
    let edge = edge_factor(near, reach, "0.7 + 0.3 ca,min / (1.5 hef), not above 1");
    let whole = if group.cracked {
        Part::number("psi_c", 1.0, "cracked concrete")
    } else {
        Part::number("psi_c", 1.4, "uncracked concrete, post-installed anchors")
    };
    let splitting = splitting_factor(group, near, reach);
    let factors = parted(eccentric) * parted(edge) * parted(whole) * parted(splitting);
    Ok(Worked {
        value: one * (share(together, alone) * factors),
        formula: "ANc / ANc0 * psi_ec * psi_ed * psi_c * psi_cp * Nb",
        source: "ACI 318-19 17.6.2.1, seen in a digest",
        parts: vec![
            Part::area("ANc", together, "area the anchors lay hold of, cut off at edges, overlaps once"),
            Part::area("ANc0", alone, "9 hef^2, the area of one anchor alone"),
            eccentric,
            edge,
            whole,
            splitting,
            Part::force("Nb", one, "breakout of one anchor alone"),
        ],
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        ledger::Figure,
        standards::{
            anchors::{Service, bond_of_group, default_bond},
            mm,
            tests::{inches, no, printed, square_inches},
        },
    };
    use proptest::prelude::*;

    const ALONE: [(Length, Length); 1] = [(Length::ZERO, Length::ZERO)];

    fn one(hef: f64, psi: f64) -> f64 {
        let worked = breakout_of_one(inches(hef), Stress::from_psi(psi), ConcreteWeight::Normal, System::Feet);
        worked.unwrap().value.lbf()
    }

    fn number_four(edges: Edges) -> Group<'static> {
        Group {
            system: System::Feet,
            places: &ALONE,
            edges,
            diameter: no(4),
            embedment: inches(6.0),
            fc: Stress::from_psi(2500.0),
            weight: ConcreteWeight::Normal,
            cracked: true,
            eccentricity: Length::ZERO,
        }
    }

    #[test]
    fn anc_1_3_and_8_one_anchor_alone() {
        printed(one(6.0, 2500.0), 12_492.4, 1);
        printed(one(8.0, 3000.0), 21_069.0, 0);
        let metric = breakout_of_one(mm(150), Stress::from_mpa(17.5), ConcreteWeight::Normal, System::Metric);
        printed(metric.unwrap().value.kn(), 53.80, 2);
        let group = breakout(&number_four(Edges::NONE)).unwrap();
        assert_eq!(group.part("ANc0"), Some(Figure::Area(inches(18.0) * inches(18.0))));
        printed(group.value.lbf(), 12_492.4, 1);
    }

    #[test]
    fn anc_5_an_edge_at_4_in_and_the_bond_governs() {
        let group = number_four(Edges { left: Some(-inches(4.0)), ..Edges::NONE });
        let worked = breakout(&group).unwrap();
        let Some(Figure::Area(area)) = worked.part("ANc") else { panic!() };
        printed(square_inches(area), 234.0, 6);
        let Some(Figure::Number(edge)) = worked.part("psi_ed") else { panic!() };
        printed(edge, 0.8333, 4);
        printed(worked.value.lbf(), 7518.6, 1);
        let bond = bond_of_group(&group, &default_bond(Service::Outdoor, System::Feet)).unwrap().value;
        assert!(bond < worked.value);
    }

    #[test]
    fn strength_counts_to_8000_psi() {
        printed(one(6.0, 8000.0), one(6.0, 12_000.0), 9);
        assert!(one(6.0, 8000.0) > one(6.0, 7000.0));
        let light = breakout_of_one(inches(6.0), Stress::from_psi(2500.0), ConcreteWeight::Light, System::Feet);
        printed(light.unwrap().value.lbf(), 12_492.4 * 0.6, 0);
    }

    #[test]
    fn uncracked_concrete_far_from_edges_holds_more_and_near_them_less() {
        let whole = Group { cracked: false, ..number_four(Edges::NONE) };
        printed(breakout(&whole).unwrap().value.lbf(), 12_492.4 * 1.4, 0);
        let near = Group { edges: Edges { top: Some(inches(4.0)), ..Edges::NONE }, ..whole };
        printed(breakout(&near).unwrap().value.lbf(), 7518.6 * 1.4 * 9.0 / 12.0, 0);
        assert_eq!(breakout(&Group { places: &[], ..whole }), Err(Unanswered::Nothing("n")));
        assert!(breakout(&Group { edges: Edges { top: Some(Length::ZERO), ..Edges::NONE }, ..whole }).is_err());
    }

    proptest! {
        #[test]
        fn deeper_and_stronger_hold_more(hef in 50_i64..250, mpa in 17.0..50.0_f64, feet: bool) {
            let system = if feet { System::Feet } else { System::Metric };
            let of = |hef, mpa| {
                breakout_of_one(mm(hef), Stress::from_mpa(mpa), ConcreteWeight::Normal, system).unwrap().value
            };
            prop_assert!(of(hef + 1, mpa) > of(hef, mpa));
            prop_assert!(of(hef, mpa + 1.0) > of(hef, mpa));
        }
    }
}

//! Checks against published worked examples, and what always holds.

use proptest::prelude::*;

use super::*;
use crate::standards::tests::{inches, printed};
use crate::units::{LineLoad, System};

fn us(height_ft: f64, rate: f64, deg_f: f64) -> Pour {
    Pour {
        system: System::Feet,
        element: Element::Wall,
        density: Density::from_pcf(150.0),
        height: inches(height_ft * 12.0),
        rate: Speed::from_m_s(rate * 0.3048 / 3600.0),
        temperature: Temperature::from_deg_f(deg_f),
        chemistry: Chemistry::Ordinary,
        slump: Length::INCH * 4,
        placing: Placing::Shallow,
    }
}

fn si(height: f64, rate: f64, deg_c: f64) -> Pour {
    Pour {
        system: System::Metric,
        density: Density::from_kg_m3(2400.0),
        height: Length::round_nm(height * 1e9),
        rate: Speed::from_m_s(rate / 3600.0),
        temperature: Temperature::from_deg_c(deg_c),
        ..us(1.0, 1.0, 70.0)
    }
}

fn psf(pour: &Pour) -> f64 {
    aci(pour).unwrap().value.peak.psf()
}

fn kpa(pour: &Pour) -> f64 {
    aci(pour).unwrap().value.peak.kpa()
}

#[test]
fn published_walls() {
    // Formwork for Concrete Structures, 4th ed., pp. 135 to 139: 825; Example 9-1: 713. University of Florida, course on
    // temporary structures, wall forms: 1042. University of Washington, CM 420, wall form after ACI SP-4: 600.
    printed(psf(&us(12.0, 6.0, 80.0)), 825.0, 0);
    printed(psf(&us(15.0, 10.0, 80.0)), 1042.5, 1);
    let least = aci(&us(14.0, 3.0, 60.0)).unwrap();
    printed(least.value.peak.psf(), 600.0, 0);
    printed(psf(&us(12.0, 5.0, 80.0)), 712.5, 1);
    printed(psf(&us(12.0, 5.0, 80.0)), 713.0, 0);
}

#[test]
fn each_limit_by_hand() {
    // Our own arithmetic from the equations of ACI 347R-14.
    let low = aci(&us(3.0, 2.0, 70.0)).unwrap();
    printed(low.value.peak.psf(), 450.0, 6);
    assert_eq!(low.value.decided, Decided::FullHead);
    let middling = aci(&us(6.0, 4.0, 60.0)).unwrap();
    printed(middling.value.peak.psf(), 750.0, 6);
    assert_eq!(middling.value.decided, Decided::Rate);
    printed(psf(&us(16.0, 5.0, 60.0)), 1106.7, 1);
    assert_eq!(aci(&us(14.0, 0.0, 60.0)).unwrap().value.decided, Decided::Least);
}

#[test]
fn the_si_equations_by_hand() {
    // Our own arithmetic from the SI equations of ACI 347R-14.
    printed(kpa(&si(2.5, 1.0, 20.0)), 30.0, 6);
    assert_eq!(aci(&si(2.5, 1.0, 20.0)).unwrap().value.decided, Decided::Least);
    printed(kpa(&si(3.0, 2.0, 15.0)), 55.07, 2);
    printed(kpa(&si(5.0, 3.0, 20.0)), 57.15, 2);
    printed(head(Density::from_kg_m3(2400.0), Length::METRE * 3).kpa(), 70.6, 1);
    // What the formula alone gives at 1 m an hour and 20 degrees is below the least pressure.
    printed(7.2 + 785.0 / 37.8, 27.97, 2);
}

#[test]
fn the_army_example_and_the_least_pressure_of_today() {
    // US Army Engineer School, subcourse EN5466, Example 1: 40 by 2 ft in plan, 6 yd3 an hour, 70 degF; the chart reads 400.
    let yards = Volume::round_cubic_metres(6.0 * 27.0 * 0.028_316_846_592);
    let plan = (Length::FOOT * 40) * (Length::FOOT * 2);
    let rate = rate_of_rise(yards, Duration::from_hours(1.0), plan).unwrap().value;
    printed(feet_an_hour(rate), 2.025, 4);
    printed(150.0 + 9000.0 * feet_an_hour(rate) / 70.0, 410.0, 0);
    printed(psf(&Pour { rate, ..us(10.0, 0.0, 70.0) }), 600.0, 6);
}

#[test]
fn weights_and_pressures_in_both_systems() {
    // NIST SP 811 (2008), Appendix B.
    printed(Density::from_pcf(145.0).kg_m3(), 2322.7, 1);
    printed(Density::from_pcf(150.0).kg_m3(), 2402.8, 1);
    printed(Stress::from_psf(600.0).kpa(), 28.728, 3);
    printed(head(Density::from_pcf(150.0), Length::FOOT).psf(), 150.0, 9);
}

#[test]
fn low_pours_are_liquids_at_any_rate_and_temperature() {
    for (rate, deg_f) in [(0.1, 90.0), (7.0, 50.0), (14.9, 40.0), (30.0, 70.0)] {
        printed(psf(&us(4.0, rate, deg_f)), 600.0, 6);
        printed(psf(&us(2.0, rate, deg_f)), 300.0, 6);
    }
}

#[test]
fn factors_of_weight_and_chemistry() {
    let weight = |pcf| number_of(weight_factor(Density::from_pcf(pcf), System::Feet));
    printed(weight(100.0), 0.845, 3);
    printed(weight(60.0), 0.8, 9);
    printed(weight(145.0), 1.0, 9);
    printed(weight(290.0), 2.0, 9);
    let metric = |kg| number_of(weight_factor(Density::from_kg_m3(kg), System::Metric));
    printed(metric(1856.0), 0.9, 9);
    printed(metric(2402.8), 1.0, 9);
    printed(metric(4640.0), 2.0, 9);
    printed(psf(&Pour { chemistry: Chemistry::OrdinaryRetarded, ..us(12.0, 6.0, 80.0) }), 990.0, 6);
    printed(psf(&Pour { chemistry: Chemistry::RichBlendRetarded, ..us(12.0, 6.0, 80.0) }), 1237.5, 6);
    // The least pressure takes the factor of weight, and never that of chemistry.
    let light = Pour { density: Density::from_pcf(100.0), ..us(14.0, 0.5, 80.0) };
    printed(psf(&Pour { chemistry: Chemistry::BlendRetarded, ..light }), 600.0 * 0.844_827_586, 3);
}

#[test]
fn the_limits_of_the_equations() {
    // ACI 347-04, as a note in Concrete Construction tells the change: 7 and 15 ft an hour, 14 ft, slump of 7 in.
    let second = |rate: f64| 150.0 + (43_400.0 + 2800.0 * rate) / 80.0;
    printed(psf(&us(14.0, 6.9, 80.0)), 150.0 + 9000.0 * 6.9 / 80.0, 6);
    printed(psf(&us(14.01, 6.9, 80.0)), second(6.9), 6);
    printed(psf(&us(14.0, 7.5, 80.0)), second(7.5), 6);
    printed(psf(&us(14.0, 15.0, 80.0)), second(15.0), 6);
    printed(psf(&us(14.0, 15.1, 80.0)), 2100.0, 6);
    let tall = us(14.0, 6.0, 80.0);
    printed(psf(&Pour { slump: Length::INCH * 7, ..tall }), 825.0, 6);
    printed(psf(&Pour { slump: Length::INCH * 7 + mm(1), ..tall }), 2100.0, 6);
    // In SI 2.1 and 4.5 m an hour and 4.2 m.
    let second = |rate: f64| 7.2 + (1156.0 + 244.0 * rate) / 37.8;
    printed(kpa(&si(4.2, 2.0, 20.0)), 7.2 + 785.0 * 2.0 / 37.8, 6);
    printed(kpa(&si(4.21, 2.0, 20.0)), second(2.0), 6);
    printed(kpa(&si(4.2, 2.2, 20.0)), second(2.2), 6);
    printed(kpa(&si(4.2, 4.6, 20.0)), head(Density::from_kg_m3(2400.0), Length::round_nm(4.2e9)).kpa(), 6);
}

#[test]
fn what_makes_a_liquid_of_it() {
    let tall = us(12.0, 5.0, 80.0);
    for pour in [
        Pour { slump: Length::INCH * 8, ..tall },
        Pour { placing: Placing::Deep, ..tall },
        Pour { placing: Placing::Outside, ..tall },
        Pour { placing: Placing::FromBelow, ..tall },
        us(12.0, 15.1, 80.0),
        us(12.0, 5.0, 39.0),
    ] {
        printed(psf(&pour), 1800.0, 6);
    }
    // Columns keep the first equation above 14 ft.
    printed(psf(&Pour { element: Element::Column, ..us(16.0, 5.0, 60.0) }), 900.0, 6);
    // And above 7 ft an hour, by our own arithmetic: 150 + 9000 · 10 / 70, where a wall has 150 + (43400 + 28000) / 70.
    printed(psf(&Pour { element: Element::Column, ..us(16.0, 10.0, 70.0) }), 1435.714, 3);
    printed(psf(&us(16.0, 10.0, 70.0)), 1170.0, 6);
    let err = aci(&Pour { density: Density::from_pcf(0.0), ..tall });
    assert_eq!(err, Err(Unanswered::Nothing("w")));
    assert_eq!(aci(&us(12.0, f64::NAN, 80.0)), Err(Unanswered::Nothing("R")));
    assert_eq!(aci(&us(12.0, 5.0, f64::NAN)), Err(Unanswered::Nothing("T")));
    assert_eq!(aci(&us(0.0, 5.0, 70.0)), Err(Unanswered::Nothing("h")));
}

fn by_ciria(form: f64, height: f64, rate: f64, deg_c: f64) -> CiriaPour {
    CiriaPour {
        element: Element::Wall,
        density: Density::from_kg_m3(25_000.0 / GRAVITY),
        form: Length::round_nm(form * 1e9),
        height: Length::round_nm(height * 1e9),
        rate: Speed::from_m_s(rate / 3600.0),
        temperature: Temperature::from_deg_c(deg_c),
        chemistry: Chemistry::Ordinary,
    }
}

#[test]
fn ciria_worked() {
    // CIRIA Report 108 as a secondary source works a column: K 1.60, 86.82 kN/m2, hydrostatic down to 3.47 m.
    let column = CiriaPour {
        element: Element::Column,
        chemistry: Chemistry::OrdinaryRetarded,
        ..by_ciria(9.05, 9.05, 1.0, 12.5)
    };
    let worked = ciria(&column).unwrap();
    printed(number_of(*worked.parts.iter().find(|part| part.symbol == "K").unwrap()), 1.60, 2);
    printed(worked.value.peak.kpa(), 86.82, 2);
    printed(worked.value.full_head_to().metres(), 3.47, 2);
    // From here on our own arithmetic from its formula.
    let wall = ciria(&by_ciria(3.0, 3.0, 2.0, 10.0)).unwrap();
    printed(number_of(*wall.parts.iter().find(|part| part.symbol == "K").unwrap()), 1.917, 3);
    printed(wall.value.peak.kpa(), 53.46, 2);
    printed(ciria(&by_ciria(2.5, 2.5, 1.0, 20.0)).unwrap().value.peak.kpa(), 34.19, 2);
    printed(ciria(&by_ciria(1.0, 1.0, 1.0, 15.0)).unwrap().value.peak.kpa(), 25.0, 6);
    // Faster than the form is high: no root of less than nothing.
    printed(ciria(&by_ciria(1.0, 1.0, 4.0, 15.0)).unwrap().value.peak.kpa(), 25.0, 6);
    assert!(ciria(&by_ciria(1.0, 2.0, 1.0, 15.0)).is_err());
}

#[test]
fn thrust_of_a_liquid() {
    // Statics: half of w h^2, a third of h up.
    for (feet, plf, turning) in [(3, 675.0, 675.0), (4, 1200.0, 1600.0)] {
        let found = thrust(&Envelope::liquid(Density::from_pcf(150.0), Length::FOOT * feet)).value;
        printed(found.force.plf(), plf, 6);
        printed((found.overturning * Length::FOOT).lbf_ft(), turning, 6);
        assert_eq!(found.arm, Length::FOOT * feet / 3);
    }
    let metric = thrust(&Envelope::liquid(Density::from_kg_m3(2320.0), mm(900))).value;
    printed(metric.force.n_m() / 1000.0, 9.21, 2);
    // 3 in of lean over 3 ft.
    printed(lean_uplift(Density::from_pcf(150.0), Length::INCH * 3, Length::FOOT * 3).unwrap().value.plf(), 56.25, 6);
}

#[test]
fn thrust_of_a_capped_pressure() {
    // 825 lb/ft2 on 12 ft: liquid down to 5.5 ft, then constant over 6.5 ft.
    let found = aci(&us(12.0, 6.0, 80.0)).unwrap().value;
    printed(found.full_head_to().inches(), 66.0, 6);
    let thrust = thrust(&found).value;
    printed(thrust.force.plf(), 825.0 * (12.0 - 2.75), 6);
    let about_foot = 825.0 * 6.5 * 3.25 + 825.0 * 5.5 / 2.0 * (6.5 + 5.5 / 3.0);
    printed((thrust.overturning * Length::FOOT).lbf_ft(), about_foot, 5);
}

#[test]
fn shares_of_a_one_sided_form() {
    // Statics: 2025 lb on 3 ft of a form 3 ft high, held at its foot and 2 ft up.
    let liquid = Envelope::liquid(Density::from_pcf(150.0), Length::FOOT * 3);
    let found = shares(&liquid, &[Length::ZERO, Length::FOOT * 2]).unwrap();
    let at_3_ft = |share: &LineLoad| (*share * (Length::FOOT * 3)).lbf();
    assert_eq!(found.len(), 2);
    printed(at_3_ft(&found[0]), 1012.5, 6);
    printed(at_3_ft(&found[1]), 1012.5, 6);
    // Held below where the thrust acts, the foot is pulled in.
    let low = shares(&liquid, &[Length::ZERO, inches(6.0)]).unwrap();
    assert!(low[0] < LineLoad::ZERO);
    assert!(shares(&liquid, &[Length::FOOT]).is_err());
    assert!(shares(&liquid, &[Length::FOOT, Length::FOOT]).is_err());
    assert!(shares(&liquid, &[Length::FOOT * 2, Length::FOOT]).is_err());
    assert!(shares(&liquid, &[Length::ZERO, Length::FOOT * 4]).is_err());
}

fn number_of(part: Part) -> f64 {
    match part.value {
        crate::ledger::Figure::Number(number) => number,
        other => panic!("{other:?}"),
    }
}

fn any_pour() -> impl Strategy<Value = Pour> {
    (any::<bool>(), 0.2..8.0_f64, 0.0..6.0_f64, 0.0..40.0_f64, 1200.0..3200.0_f64, 0_usize..6, any::<bool>()).prop_map(
        |(feet, height, rate, deg_c, density, chemistry, wall)| Pour {
            system: if feet { System::Feet } else { System::Metric },
            element: if wall { Element::Wall } else { Element::Column },
            density: Density::from_kg_m3(density),
            chemistry: CHEMISTRIES[chemistry],
            ..si(height, rate, deg_c)
        },
    )
}

const CHEMISTRIES: [Chemistry; 6] = [
    Chemistry::Ordinary,
    Chemistry::OrdinaryRetarded,
    Chemistry::Blend,
    Chemistry::BlendRetarded,
    Chemistry::RichBlend,
    Chemistry::RichBlendRetarded,
];

fn any_ciria() -> impl Strategy<Value = CiriaPour> {
    (0.2..8.0_f64, 0.0..3.0_f64, 0.0..9.0_f64, 0.0..40.0_f64, 0_usize..6, any::<bool>()).prop_map(
        |(height, above, rate, deg_c, chemistry, wall)| CiriaPour {
            element: if wall { Element::Wall } else { Element::Column },
            chemistry: CHEMISTRIES[chemistry],
            ..by_ciria(height + above, height, rate, deg_c)
        },
    )
}

/// By hand: 450 lbf/ft2 at the foot and 300 a foot above it.
#[test]
fn a_form_under_a_lid_is_pressed_over_its_own_height_alone() {
    let pounds = |load: LineLoad| load.n_m() / 14.593_902_937;
    let density = Density::from_kg_m3(150.0 * 16.018_463_374);
    let pressure = Envelope::liquid(density, Length::FOOT * 3).on_form(Length::FOOT);
    let whole = thrust(&pressure);
    assert!((pounds(whole.value.force) - 375.0).abs() < 0.1, "{}", pounds(whole.value.force));
    let held = shares(&pressure, &[Length::ZERO, Length::INCH * 9]).unwrap();
    assert!((pounds(held[1]) - 700.0 / 3.0).abs() < 0.1 && (pounds(held[0]) - 425.0 / 3.0).abs() < 0.1, "{held:?}");
    assert!(shares(&pressure, &[Length::ZERO, Length::INCH * 13]).is_err());
    // Where the pressure no longer grows, it is the same all over the form.
    let even = Envelope { peak: pressure.peak / 2.0, ..pressure };
    assert!((pounds(thrust(&even).value.force) - 225.0).abs() < 0.1);
    assert_eq!(thrust(&even).formula, "p * f");
}

proptest! {
    #[test]
    fn faster_or_colder_never_presses_less(pour in any_pour(), more in 0.0..3.0_f64, colder in 0.0..20.0_f64) {
        let here = aci(&pour).unwrap().value.peak;
        let faster = Pour { rate: Speed::from_m_s(pour.rate.m_s() + more / 3600.0), ..pour };
        prop_assert!(aci(&faster).unwrap().value.peak >= here);
        let cold = Pour { temperature: Temperature::from_deg_c(pour.temperature.deg_c() - colder), ..pour };
        prop_assert!(aci(&cold).unwrap().value.peak >= here);
        // Nor does more concrete over the foot, or a retarder.
        let higher = Pour { height: pour.height + Length::round_nm(more * 1e9), ..pour };
        prop_assert!(aci(&higher).unwrap().value.peak >= here);
        prop_assert!(thrust(&aci(&higher).unwrap().value).value.force >= thrust(&aci(&pour).unwrap().value).value.force);
        let retarded = |of: Chemistry| CHEMISTRIES[CHEMISTRIES.iter().position(|one| *one == of).unwrap() | 1];
        let retarded = Pour { chemistry: retarded(pour.chemistry), ..pour };
        prop_assert!(aci(&retarded).unwrap().value.peak >= here);
    }

    #[test]
    fn never_above_the_full_head_nor_below_the_least(pour in any_pour()) {
        let found = aci(&pour).unwrap().value;
        let whole = head(pour.density, pour.height);
        prop_assert!(found.peak <= whole);
        let least = match pour.system {
            System::Feet => Stress::from_psf(600.0 * 0.8),
            System::Metric => Stress::from_kpa(30.0 * 0.8),
        };
        prop_assert!(found.peak >= least.min(whole));
        prop_assert!(found.full_head_to() <= pour.height);
        prop_assert!(found.at(pour.height) <= found.peak && found.at(-Length::FOOT) == Stress::ZERO);
    }

    #[test]
    fn ciria_goes_the_right_way(pour in any_ciria(), more in 0.0..3.0_f64, colder in 0.0..20.0_f64) {
        let here = ciria(&pour).unwrap().value.peak;
        prop_assert!(here <= head(pour.density, pour.height));
        let faster = CiriaPour { rate: Speed::from_m_s(pour.rate.m_s() + more / 3600.0), ..pour };
        prop_assert!(ciria(&faster).unwrap().value.peak >= here * (1.0 - 1e-12));
        let cold = CiriaPour { temperature: Temperature::from_deg_c(pour.temperature.deg_c() - colder), ..pour };
        prop_assert!(ciria(&cold).unwrap().value.peak >= here);
        let found = ciria(&pour).unwrap().value;
        prop_assert!(found.full_head_to() <= pour.height && found.at(pour.height) <= here);
    }

    #[test]
    fn shares_hold_the_thrust_and_its_moment(
        pour in any_pour(),
        part in 1_i64..=10,
        cuts in prop::collection::btree_set(0_i64..1000, 2..6),
    ) {
        let whole = aci(&pour).unwrap().value;
        let form = Length::from_nm(pour.height.nm() / 10 * part);
        let pressure = whole.on_form(form);
        let levels: Vec<Length> = cuts.iter().map(|cut| Length::from_nm(form.nm() / 1000 * cut)).collect();
        // What stands above a form under a lid presses elsewhere.
        prop_assert!(thrust(&pressure).value.force <= thrust(&whole).value.force * (1.0 + 1e-9));
        let whole = thrust(&pressure).value;
        let held = shares(&pressure, &levels).unwrap();
        let sum: LineLoad = held.iter().copied().sum();
        prop_assert!((sum / whole.force - 1.0).abs() < 1e-9);
        let turning: f64 = held.iter().zip(&levels).map(|(share, level)| (*share * *level).newtons()).sum();
        prop_assert!((turning / whole.overturning.newtons() - 1.0).abs() < 1e-9);
    }
}

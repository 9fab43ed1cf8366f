use super::*;
use crate::{
    standards::{
        anchors::Category,
        mm,
        tests::{area_of, inches, no, printed, square_inches},
    },
    units::TemperatureDifference,
};
use proptest::prelude::*;

const FEET: System = System::Feet;
const ALONE: [(Length, Length); 1] = [(Length::ZERO, Length::ZERO)];

fn outdoor() -> BondStresses {
    default_bond(Service::Outdoor, FEET)
}

fn one(size: usize, hef: f64, bond: &BondStresses) -> f64 {
    bond_of_one(no(size), inches(hef), bond, true, ConcreteWeight::Normal).unwrap().value.lbf()
}

/// #4, 6 in deep, in cracked concrete of 2500 psi.
fn number_four(places: &[(Length, Length)], edges: Edges) -> Group<'_> {
    Group {
        system: FEET,
        places,
        edges,
        diameter: no(4),
        embedment: inches(6.0),
        fc: Stress::from_psi(2500.0),
        weight: ConcreteWeight::Normal,
        cracked: true,
        eccentricity: Length::ZERO,
    }
}

fn left(distance: f64) -> Edges {
    Edges { left: Some(-inches(distance)), ..Edges::NONE }
}

fn figure(worked: &Worked<Force>, symbol: &str) -> f64 {
    match worked.part(symbol) {
        Some(Figure::Number(number)) => number,
        Some(Figure::Area(area)) => square_inches(area),
        other => panic!("{symbol}: {other:?}"),
    }
}

#[test]
fn anc_1_number_four_outdoors() {
    printed(one(4, 6.0, &outdoor()), 1884.96, 2);
    printed(reach(no(4), &outdoor(), FEET).unwrap().value.inches(), 3.8435, 4);
    let group = bond_of_group(&number_four(&ALONE, Edges::NONE), &outdoor()).unwrap();
    printed(figure(&group, "ANa0"), 59.09, 2);
    printed(group.value.lbf(), 1884.96, 2);
}

#[test]
fn anc_2_indoors() {
    let indoor = default_bond(Service::Indoor, FEET);
    printed(one(4, 6.0, &indoor), 2827.4, 1);
    printed(reach(no(4), &indoor, FEET).unwrap().value.inches(), 4.7673, 4);
}

#[test]
fn anc_3_and_4_number_five_and_tension_that_stays() {
    printed(one(5, 8.0, &outdoor()), 3141.6, 1);
    printed(reach(no(5), &outdoor(), FEET).unwrap().value.inches(), 4.8044, 4);
    printed(one(5, 8.0, &outdoor().sustained()), 1256.6, 1);
    // Two checks, one on top of the other.
    let limit = sustained_limit(Force::from_lbf(1256.6), Category::One).value;
    printed(limit.lbf(), 1256.6 * 0.55 * 0.65, 6);
}

#[test]
fn anc_5_an_edge_beyond_the_reach_takes_nothing() {
    let group = bond_of_group(&number_four(&ALONE, left(4.0)), &outdoor()).unwrap();
    printed(group.value.lbf(), 1884.96, 2);
}

#[test]
fn anc_6_an_edge_at_3_in() {
    let group = bond_of_group(&number_four(&ALONE, left(3.0)), &outdoor()).unwrap();
    printed(figure(&group, "ANa"), 52.607, 3);
    printed(figure(&group, "ANa") / figure(&group, "ANa0"), 0.8903, 4);
    printed(figure(&group, "psi_ed"), 0.9342, 4);
    printed(group.value.lbf(), 1567.6, 1);
}

#[test]
fn anc_7_two_at_6_in() {
    let places = [ALONE[0], (inches(6.0), Length::ZERO)];
    let group = bond_of_group(&number_four(&places, Edges::NONE), &outdoor()).unwrap();
    printed(figure(&group, "ANa") / figure(&group, "ANa0"), 1.7805, 4);
    printed(group.value.lbf(), 3356.2, 1);
}

#[test]
fn anc_8_in_si() {
    let bond = default_bond(Service::Outdoor, System::Metric);
    let da = no(4);
    let force = bond_of_one(da, mm(150), &bond, true, ConcreteWeight::Normal).unwrap().value;
    printed(force.kn(), 8.379, 3);
    printed(reach(da, &bond, System::Metric).unwrap().value.metres() * 1e3, 97.7, 1);
}

#[test]
fn anc_9_deeper_than_20_diameters_is_not_covered() {
    let at = |hef| bond_of_one(no(4), inches(hef), &outdoor(), true, ConcreteWeight::Normal);
    assert!(matches!(at(10.5), Err(Unanswered::Outside("hef", _))));
    assert!(matches!(at(1.9), Err(Unanswered::Outside("hef", _))));
    assert!(at(10.0).is_ok() && at(2.0).is_ok());
}

#[test]
fn an_epoxied_dowel_is_no_lap() {
    let deep = |tau| {
        let fy = Stress::from_psi(60_000.0);
        embedment_to_yield(area_of(4), fy, no(4), Stress::from_psi(tau)).unwrap().value.inches()
    };
    printed(deep(200.0), 38.0, 0);
    printed(deep(200.0) / 0.5, 76.0, 0);
    printed(deep(300.0), 25.5, 1);
    assert!(deep(200.0) > embedment_window(no(4)).unwrap().value.1.inches());
    assert!(embedment_to_yield(Area::ZERO, Stress::ZERO, no(4), Stress::ZERO).is_err());
}

fn good() -> Conditions {
    Conditions {
        service: Service::Indoor,
        qualified: true,
        drilling: Drilling::Hammer,
        dry: true,
        fc: Stress::from_psi(2500.0),
        age: Duration::from_days(21.0),
        temperature: Temperature::from_deg_f(50.0),
    }
}

#[test]
fn the_defaults_are_conditional() {
    assert_eq!(unmet(&good(), FEET), []);
    assert_eq!(unmet(&Conditions { dry: false, service: Service::Outdoor, ..good() }, FEET), []);
    let cold = good().temperature - TemperatureDifference::from_deg_f(1.0);
    let bad = Conditions {
        qualified: false,
        drilling: Drilling::Core,
        dry: false,
        fc: Stress::from_psi(2499.0),
        age: Duration::from_days(20.9),
        temperature: cold,
        ..good()
    };
    let weakest = Stress::from_psi(2500.0);
    assert_eq!(
        unmet(&bad, FEET),
        [
            Unmet::NotQualified,
            Unmet::Cored,
            Unmet::Damp,
            Unmet::Weak(weakest),
            Unmet::Young(LEAST_AGE),
            Unmet::Cold(COLDEST),
        ]
    );
    assert_eq!(unmet(&Conditions { fc: Stress::from_mpa(17.0), ..good() }, System::Metric), []);
    let nameless = Conditions { age: Duration::from_days(f64::NAN), ..good() };
    assert_eq!(unmet(&nameless, FEET), [Unmet::Young(LEAST_AGE)]);
}

#[test]
fn earthquakes_take_most_of_the_uncracked_bond() {
    let left = outdoor().in_earthquakes();
    printed(left.cracked.psi(), 160.0, 9);
    printed(left.uncracked.psi(), 260.0, 9);
}

#[test]
fn uncracked_concrete_splits_near_edges() {
    let whole = Group { cracked: false, ..number_four(&ALONE, Edges::NONE) };
    printed(bond_of_group(&whole, &outdoor()).unwrap().value.lbf(), 1884.96 * 3.25, 1);
    let near = bond_of_group(&Group { edges: left(4.0), ..whole }, &outdoor()).unwrap();
    printed(figure(&near, "psi_cp"), 4.0 / 12.0, 6);
    // Closer than the reach, the reach counts.
    let nearer = bond_of_group(&Group { edges: left(3.0), ..whole }, &outdoor()).unwrap();
    printed(figure(&nearer, "psi_cp"), 3.8435 / 12.0, 4);
}

#[test]
fn off_the_middle_and_light() {
    let off = Group { eccentricity: inches(1.0), ..number_four(&ALONE, Edges::NONE) };
    printed(figure(&bond_of_group(&off, &outdoor()).unwrap(), "psi_ec"), 1.0 / (1.0 + 1.0 / 3.8435), 4);
    let light = bond_of_one(no(4), inches(6.0), &outdoor(), true, ConcreteWeight::Light).unwrap();
    printed(light.value.lbf(), 1884.96 * 0.45, 1);
}

#[test]
fn what_is_no_group_is_refused() {
    assert_eq!(bond_of_group(&number_four(&[], Edges::NONE), &outdoor()), Err(Unanswered::Nothing("n")));
    let on_edge = bond_of_group(&number_four(&ALONE, left(0.0)), &outdoor());
    assert!(matches!(on_edge, Err(Unanswered::Outside("ca", _))));
    let off = Group { eccentricity: -inches(1.0), ..number_four(&ALONE, Edges::NONE) };
    assert_eq!(bond_of_group(&off, &outdoor()), Err(Unanswered::Nothing("e'N")));
    let none = BondStresses { cracked: Stress::ZERO, uncracked: Stress::ZERO };
    assert_eq!(bond_of_group(&number_four(&ALONE, Edges::NONE), &none), Err(Unanswered::Nothing("tau")));
}

proptest! {
    #[test]
    fn neighbours_and_edges_only_take(
        xs in prop::collection::vec(1_i64..1000, 1..6), edge in 1_i64..200, cracked: bool,
    ) {
        let places: Vec<_> = xs.iter().map(|x| (mm(*x), Length::ZERO)).collect();
        let free = Group { cracked, ..number_four(&places, Edges::NONE) };
        let edged = Group { edges: Edges { bottom: Some(-mm(edge)), ..Edges::NONE }, ..free };
        let single = Group { places: &ALONE, ..free };
        let of = |group: &Group| bond_of_group(group, &outdoor()).unwrap().value;
        prop_assert!(of(&edged) <= of(&free));
        prop_assert!(of(&free) <= of(&single) * (places.len() as f64 * (1.0 + 1e-12)));
        prop_assert!(of(&single) <= of(&free) * (1.0 + 1e-12));
        let nearer = Group { edges: Edges { bottom: Some(-mm(edge) / 2 - Length::from_nm(1)), ..Edges::NONE }, ..free };
        prop_assert!(of(&nearer) <= of(&edged));
    }
}

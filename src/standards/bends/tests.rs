use super::*;
use crate::standards::tests::{inches, no, printed};
use proptest::prelude::*;

const FEET: System = System::Feet;

#[test]
fn inside_diameters_are_those_of_aci_318_tables_25_3() {
    // In inches; computed from the tables' multiples.
    let main = [2.250, 3.000, 3.750, 4.500, 5.250, 6.000, 9.024, 10.160, 11.280];
    for (at, expected) in main.into_iter().enumerate() {
        let found = aci_inside_diameter(Role::Main, no(at + 3)).unwrap();
        assert_eq!(found.value, inches(expected), "#{}", at + 3);
    }
    for (at, expected) in [1.5, 2.0, 2.5, 4.5, 5.25, 6.0].into_iter().enumerate() {
        assert_eq!(aci_inside_diameter(Role::Tie, no(at + 3)).unwrap().value, inches(expected), "#{}", at + 3);
        // ACI 315-99 Table 1 prints the same finished diameters for ties.
        assert_eq!(aci_finished_diameter(Role::Tie, no(at + 3)), Some(inches(expected)));
    }
    assert_eq!(aci_inside_diameter(Role::Tie, no(9)), Err(Unanswered::Outside("db", TIE_SIZES)));
    assert_eq!(aci_inside_diameter(Role::Main, Size::No14.diameter()).unwrap().value, Size::No14.diameter() * 10);
    assert_eq!(aci_inside_diameter(Role::Main, Length::ZERO), Err(Unanswered::Nothing("db")));
    assert!(aci_inside_diameter(Role::Main, mm(70)).is_err());
}

#[test]
fn thick_bars_spring_back_further_than_their_least_diameter() {
    for size in 9..=11 {
        let finished = aci_finished_diameter(Role::Main, no(size)).unwrap();
        assert!(finished > aci_inside_diameter(Role::Main, no(size)).unwrap().value);
    }
    assert_eq!(aci_finished_diameter(Role::Tie, no(9)), None);
    assert_eq!(aci_finished_diameter(Role::Main, mm(12)), None);
}

#[test]
fn floors_of_tails_govern_thin_bars_only() {
    let tail = |role, turn, size| aci_tail(role, turn, no(size), FEET).unwrap().value;
    // 180 degrees: 4 db is 1.5, 2.0 and 2.5 in for #3 to #5.
    assert_eq!([3, 4, 5, 6].map(|size| tail(Role::Main, Turn::Back, size)), [2.5, 2.5, 2.5, 3.0].map(inches));
    assert_eq!([3, 4, 5].map(|size| tail(Role::Tie, Turn::Past, size)), [3.0, 3.0, 3.75].map(inches));
    assert_eq!(tail(Role::Tie, Turn::Square, 3), inches(3.0));
    assert_eq!(tail(Role::Tie, Turn::Square, 6), inches(9.0));
    assert_eq!(tail(Role::Tie, Turn::Past, 6), inches(4.5));
    assert_eq!(tail(Role::Main, Turn::Square, 4), inches(6.0));
    let metric = |role, turn| aci_tail(role, turn, mm(10), System::Metric).unwrap().value;
    assert_eq!(metric(Role::Main, Turn::Back), mm(65));
    assert_eq!(metric(Role::Tie, Turn::Past), mm(75));
    assert!(aci_tail(Role::Main, Turn::Past, no(4), FEET).is_err());
    assert!(aci_tail(Role::Tie, Turn::Square, no(9), FEET).is_err());
}

#[test]
fn the_room_hooks_take() {
    // Inches, computed from the least dimensions of ACI 318-19 Table 25.3.1: leg of a 90 degree hook and overall
    // width of a 180 degree hook.
    let table = [
        (6.000, 3.000),
        (8.000, 4.000),
        (10.000, 5.000),
        (12.000, 6.000),
        (14.000, 7.000),
        (16.000, 8.000),
        (19.176, 11.280),
        (21.590, 12.700),
        (23.970, 14.100),
    ];
    for (at, (leg, width)) in table.into_iter().enumerate() {
        let square = Hook::aci(Role::Main, Turn::Square, no(at + 3), FEET).unwrap();
        assert_eq!(square.square_leg(), inches(leg));
        let back = Hook::aci(Role::Main, Turn::Back, no(at + 3), FEET).unwrap();
        assert_eq!(back.width_of_return(), inches(width));
        if at < 6 {
            assert_eq!(square.square_leg(), no(at + 3) * 16);
        }
    }
    // Table 25.3.2: leg of a 90 degree hook, reach of the tail of a 135 degree hook.
    let ties = [(4.125, 2.72), (4.500, 2.91), (5.625, 3.64), (12.000, 4.59), (14.000, 5.36), (16.000, 6.12)];
    for (at, (leg, reach)) in ties.into_iter().enumerate() {
        let square = Hook::aci(Role::Tie, Turn::Square, no(at + 3), FEET).unwrap();
        assert_eq!(square.square_leg(), inches(leg));
        let past = Hook::aci(Role::Tie, Turn::Past, no(at + 3), FEET).unwrap();
        printed(past.reach_of_past().inches(), reach, 2);
    }
}

#[test]
fn the_reach_of_ties_is_dimension_h_of_aci_315_99_table_1() {
    // With an extension of 6 db; the table is rounded to a quarter or a half of an inch, upwards for #3.
    let rows = [(2.19, 2.5), (2.91, 3.0), (3.64, 3.75), (4.59, 4.5), (5.36, 5.25), (6.12, 6.0)];
    for (at, (exact, table)) in rows.into_iter().enumerate() {
        let db = no(at + 3);
        let inside = aci_inside_diameter(Role::Tie, db).unwrap().value;
        let reach = Hook { diameter: db, inside, tail: db * 6 }.reach_of_past().inches();
        printed(reach, exact, 2);
        assert!((reach - table).abs() < 0.32, "{reach} {table}");
    }
}

#[test]
fn a_hook_of_number_four_does_not_fit_across_an_8_in_wall() {
    let hook = Hook::aci(Role::Main, Turn::Square, no(4), FEET).unwrap();
    let free = inches(8.0 - 1.5 - 0.75);
    assert_eq!(free, inches(5.75));
    assert!(hook.square_leg() > free);
    assert!(Hook::aci(Role::Main, Turn::Back, no(4), FEET).unwrap().width_of_return() < free);
}

#[test]
fn bs_8666_table_2_and_en_table_8_1n() {
    for d in [6, 8, 10, 12, 16, 20, 25, 32, 40] {
        let row = bs_scheduled(mm(d)).unwrap();
        let mandrel = en_mandrel(mm(d)).unwrap().value;
        // The former is the mandrel of EN; the radius is half of it, and half a millimetre is dropped at 25 mm.
        assert_eq!(row.former, mandrel);
        assert!((row.former - row.radius * 2).nm() <= mm(1).nm());
        // The projection holds the bend and its straight.
        for (straight, projection) in [(5, row.projection), (10, row.projection_links)] {
            assert!(projection >= row.radius + mm(d) + mm(d * straight), "{d} {straight}");
        }
    }
    assert_eq!(bs_scheduled(mm(14)), None);
    assert_eq!(bs_scheduled(no(4)), None);
}

#[test]
fn overall_across_two_bends_as_a_page_on_bs_8666_prints_it() {
    for (d, overall) in [(6, 60), (8, 80), (10, 100), (12, 120), (16, 160), (20, 260), (25, 325), (32, 416)] {
        assert_eq!(bs_across_two_bends(mm(d)).unwrap().value, mm(overall));
        // Two bends of the least radius with 4 d between them just have room.
        let row = bs_scheduled(mm(d)).unwrap();
        let bends = (row.radius + mm(d)) * 2;
        assert!(bends + bs_straight_between(mm(d)).unwrap().value <= mm(overall));
    }
}

proptest! {
    #[test]
    fn thicker_bars_never_bend_tighter(a in 1_i64..57_000_000, b in 1_i64..57_000_000) {
        let (thin, thick) = (Length::from_nm(a.min(b)), Length::from_nm(a.max(b)));
        for role in [Role::Main, Role::Tie] {
            let at = |bar| aci_inside_diameter(role, bar).map(|worked| worked.value);
            if let (Ok(one), Ok(other)) = (at(thin), at(thick)) {
                prop_assert!(one <= other);
            }
        }
        prop_assert!(en_mandrel(thin).unwrap().value <= en_mandrel(thick).unwrap().value);
    }
}

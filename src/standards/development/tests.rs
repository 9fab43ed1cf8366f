use super::*;
use crate::{
    ledger::Figure,
    standards::tests::{inches, no, printed},
    units::Ratio,
};
use proptest::prelude::*;

/// A bare bar in ordinary concrete, far from faces and neighbours, not level.
fn bar(size: usize, fc: f64, fy: f64) -> Straight {
    Straight {
        system: System::Feet,
        diameter: no(size),
        fy: Stress::from_psi(fy),
        fc: Stress::from_psi(fc),
        weight: ConcreteWeight::Normal,
        coating: Coating::Bare,
        cover: Length::INCH * 6,
        clear_spacing: Length::INCH * 12,
        ties: false,
        ktr: Length::ZERO,
        fresh_below: None,
    }
}

fn formula(bar: &Straight) -> f64 {
    formula_length(bar, Method::Simplified).unwrap().value.inches()
}

fn lap_b(bar: &Straight) -> f64 {
    lap(bar, Method::Simplified, Class::B).unwrap().value.inches()
}

fn general(bar: &Straight) -> f64 {
    formula_length(bar, Method::General).unwrap().value.inches()
}

const STRENGTHS: [f64; 4] = [2500.0, 3000.0, 4000.0, 5000.0];

/// Computed from the formula of ACI 318-19 Table 25.4.2.3 (CRSI Technical Note ETN-D-1-15 for the coefficients), inches:
/// #3 to #11; the formula's length at 2500, 3000, 4000, 5000 psi, then 1.3 times as much.
const GRADE_60_TABLE: [[f64; 8]; 9] = [
    [18.00, 16.43, 14.23, 12.73, 23.40, 21.36, 18.50, 16.55],
    [24.00, 21.91, 18.97, 16.97, 31.20, 28.48, 24.67, 22.06],
    [30.00, 27.39, 23.72, 21.21, 39.00, 35.60, 30.83, 27.58],
    [36.00, 32.86, 28.46, 25.46, 46.80, 42.72, 37.00, 33.09],
    [52.50, 47.93, 41.50, 37.12, 68.25, 62.30, 53.96, 48.26],
    [60.00, 54.77, 47.43, 42.43, 78.00, 71.20, 61.66, 55.15],
    [67.68, 61.78, 53.51, 47.86, 87.98, 80.32, 69.56, 62.21],
    [76.20, 69.56, 60.24, 53.88, 99.06, 90.43, 78.31, 70.05],
    [84.60, 77.23, 66.88, 59.82, 109.98, 100.40, 86.95, 77.77],
];

const GRADE_40_TABLE: [[f64; 8]; 9] = [
    [12.00, 10.95, 9.49, 8.49, 15.60, 14.24, 12.33, 11.03],
    [16.00, 14.61, 12.65, 11.31, 20.80, 18.99, 16.44, 14.71],
    [20.00, 18.26, 15.81, 14.14, 26.00, 23.73, 20.55, 18.38],
    [24.00, 21.91, 18.97, 16.97, 31.20, 28.48, 24.67, 22.06],
    [35.00, 31.95, 27.67, 24.75, 45.50, 41.54, 35.97, 32.17],
    [40.00, 36.51, 31.62, 28.28, 52.00, 47.47, 41.11, 36.77],
    [45.12, 41.19, 35.67, 31.90, 58.66, 53.55, 46.37, 41.48],
    [50.80, 46.37, 40.16, 35.92, 66.04, 60.29, 52.21, 46.70],
    [56.40, 51.49, 44.59, 39.88, 73.32, 66.93, 57.96, 51.85],
];

#[test]
fn the_whole_table_of_development_lengths_and_laps() {
    for (fy, table) in [(60_000.0, GRADE_60_TABLE), (40_000.0, GRADE_40_TABLE)] {
        for (at, row) in table.into_iter().enumerate() {
            for (column, fc) in STRENGTHS.into_iter().enumerate() {
                let bar = bar(at + 3, fc, fy);
                printed(formula(&bar), row[column], 2);
                printed(lap_b(&bar), row[column + 4].max(12.0), 2);
                let floored = straight(&bar, Method::Simplified).unwrap().value.inches();
                printed(floored, row[column].max(12.0), 2);
            }
        }
    }
}

/// Computed from ACI 318-19 25.4.3.1, inches, Grade 60, #3 to #11: at 2500, 3000 and 4000 psi with psi_r 1.6 and psi_o
/// 1.25, then 1.6 and 1.0, then both 1.0.
const HOOKS: [[f64; 9]; 9] = [
    [7.68, 7.32, 6.87, 6.15, 6.00, 6.00, 6.00, 6.00, 6.00],
    [11.83, 11.27, 10.57, 9.46, 9.01, 8.46, 6.00, 6.00, 6.00],
    [16.53, 15.75, 14.77, 13.22, 12.60, 11.82, 8.27, 7.87, 7.39],
    [21.73, 20.70, 19.42, 17.38, 16.56, 15.54, 10.86, 10.35, 9.71],
    [27.38, 26.08, 24.47, 21.91, 20.87, 19.58, 13.69, 13.04, 12.24],
    [33.45, 31.87, 29.90, 26.76, 25.49, 23.92, 16.73, 15.93, 14.95],
    [40.08, 38.18, 35.82, 32.06, 30.54, 28.65, 20.04, 19.09, 17.91],
    [47.88, 45.61, 42.79, 38.30, 36.49, 34.23, 23.94, 22.80, 21.40],
    [56.01, 53.36, 50.06, 44.81, 42.68, 40.05, 28.01, 26.68, 25.03],
];

fn hook(size: usize, fc: f64) -> Hooked {
    Hooked {
        system: System::Feet,
        diameter: no(size),
        fy: Stress::from_psi(60_000.0),
        fc: Stress::from_psi(fc),
        weight: ConcreteWeight::Normal,
        coating: Coating::Bare,
        spacing: no(size) * 6,
        confined: false,
        side_cover: no(size) * 6,
        in_column_core: false,
    }
}

#[test]
fn the_whole_table_of_hooks() {
    for (at, row) in HOOKS.into_iter().enumerate() {
        for (column, fc) in [2500.0, 3000.0, 4000.0].into_iter().enumerate() {
            let wide = hook(at + 3, fc);
            let close = Hooked { spacing: wide.diameter * 5, ..wide };
            let both = Hooked { side_cover: wide.diameter * 5, ..close };
            for (bar, expected) in [(both, row[column]), (close, row[column + 3]), (wide, row[column + 6])] {
                printed(hooked(&bar).unwrap().value.inches(), expected, 2);
            }
        }
    }
}

fn worked_sheet() -> Straight {
    Straight {
        system: System::Metric,
        diameter: mm(12),
        fy: Stress::from_mpa(420.0),
        fc: Stress::from_mpa(40.0),
        cover: mm(100),
        clear_spacing: mm(200),
        ..bar(4, 3000.0, 60_000.0)
    }
}

#[test]
fn dev_1_to_3_a_published_worked_sheet_on_aci_318_19() {
    let bar = worked_sheet();
    let ld = formula_length(&bar, Method::Simplified).unwrap().value;
    printed(ld.metres() * 1e3, 379.5, 1);
    printed(ld.metres() / 0.012, 31.62, 2);
    printed(lap(&bar, Method::Simplified, Class::B).unwrap().value.metres() * 1e3, 493.3, 1);
    let hook = Hooked {
        system: System::Metric,
        diameter: bar.diameter,
        fy: bar.fy,
        fc: bar.fc,
        weight: bar.weight,
        coating: bar.coating,
        spacing: mm(50),
        confined: false,
        side_cover: mm(50),
        in_column_core: false,
    };
    let hooked = hooked(&hook).unwrap();
    printed(hooked.value.metres() * 1e3, 235.5, 1);
    let Some(Figure::Number(psi_c)) = hooked.part("psi_c") else { panic!() };
    printed(psi_c, 0.98095, 5);
    // 30 db for 12 mm at 420 MPa, in whole diameters.
    let compression = compression_lap(mm(40), bar.fy, bar.fc, System::Metric);
    assert!(compression.is_err());
    let compression = compression_lap(mm(25), bar.fy, bar.fc, System::Metric).unwrap().value;
    printed(compression.metres() / 0.025, 29.82, 2);
}

#[test]
fn dev_4_to_7_simplified() {
    let four = bar(4, 3000.0, 60_000.0);
    printed(formula(&four), 21.91, 2);
    printed(lap_b(&four), 28.48, 2);
    printed(formula(&bar(7, 4000.0, 60_000.0)), 41.50, 2);
    printed(lap_b(&bar(7, 4000.0, 60_000.0)), 53.96, 2);
    // Other cases, and a top bar.
    let top = Straight { clear_spacing: no(4), fresh_below: Some(inches(12.1)), ..bar(4, 2500.0, 60_000.0) };
    printed(formula(&top), 46.80, 2);
    printed(lap_b(&top), 60.84, 2);
    // The order of the floor: 12 in are not multiplied by 1.3.
    let three = bar(3, 3000.0, 40_000.0);
    assert_eq!(straight(&three, Method::Simplified).unwrap().value, inches(12.0));
    printed(lap_b(&three), 14.24, 2);
}

#[test]
fn dev_8_to_11_general() {
    let at = |size, fc, cover| Straight { cover: inches(cover), ..bar(size, fc, 60_000.0) };
    printed(general(&at(4, 3000.0, 1.5)), 13.145, 3);
    printed(general(&at(5, 3000.0, 0.75)), 24.164, 3);
    printed(general(&at(8, 4000.0, 1.5)), 35.576, 3);
    let top = Straight { fresh_below: Some(inches(30.0)), ..at(6, 2500.0, 1.5) };
    printed(general(&top), 28.080, 3);
}

#[test]
fn cb_runs_to_the_centre_of_the_bar_and_to_half_the_spacing_of_centres() {
    let cb = |cover, clear| {
        let bar = Straight { cover: inches(cover), clear_spacing: inches(clear), ..bar(8, 4000.0, 60_000.0) };
        formula_length(&bar, Method::General).unwrap().part("cb")
    };
    assert_eq!(cb(0.75, 11.0), Some(Figure::Length(inches(1.25))));
    assert_eq!(cb(6.0, 2.0), Some(Figure::Length(inches(1.5))));
}

#[test]
fn a_level_bar_is_a_top_bar_above_12_in_only_and_an_upright_one_never() {
    let at = |below: Option<f64>| formula(&Straight { fresh_below: below.map(inches), ..bar(4, 2500.0, 60_000.0) });
    printed(at(None), 24.0, 6);
    printed(at(Some(12.0)), 24.0, 6);
    printed(at(Some(12.001)), 31.2, 6);
}

#[test]
fn the_size_factor_is_in_the_general_equation_only() {
    let four = bar(4, 3000.0, 60_000.0);
    let simplified = formula_length(&four, Method::Simplified).unwrap();
    assert_eq!(simplified.part("psi_s"), None);
    let general = formula_length(&four, Method::General).unwrap();
    assert_eq!(general.part("psi_s"), Some(Figure::Number(0.8)));
}

#[test]
fn rows_of_the_simplified_table() {
    let four = bar(4, 2500.0, 60_000.0);
    let at = |cover: f64, clear: f64, ties| {
        formula(&Straight { cover: inches(cover), clear_spacing: inches(clear), ties, ..four })
    };
    printed(at(0.5, 1.0, false), 24.0, 6);
    printed(at(0.5, 0.5, true), 24.0, 6);
    // Ties are never taken for granted.
    printed(at(0.5, 0.999, false), 36.0, 6);
    printed(at(0.499, 12.0, true), 36.0, 6);
    printed(formula(&Straight { cover: Length::ZERO, ..bar(7, 2500.0, 60_000.0) }), 52.5 * 1.5, 6);
}

#[test]
fn factors_of_steel_and_coating() {
    let bare = bar(4, 2500.0, 60_000.0);
    let coated = Straight { coating: Coating::Epoxy, ..bare };
    printed(formula(&coated), 24.0 * 1.2, 6);
    let thin = Straight { cover: inches(1.49), ..coated };
    printed(formula(&thin), 24.0 * 1.5, 6);
    // 1.3 times 1.5 would be 1.95.
    printed(formula(&Straight { fresh_below: Some(inches(20.0)), ..thin }), 24.0 * 1.7, 6);
    printed(formula(&Straight { weight: ConcreteWeight::Light, ..bare }), 32.0, 6);
    let graded = |fy: Stress| formula(&Straight { fy, ..bare });
    printed(graded(Stress::from_psi(80_000.0)), 32.0 * 1.15, 6);
    printed(graded(Stress::from_psi(100_000.0)), 40.0 * 1.3, 6);
    // Grade 420 is Grade 60, with a hair more strength.
    printed(graded(Stress::from_mpa(420.0)), 24.0 * 420.0 / 413.685_4, 3);
    let too_strong = Straight { fy: Stress::from_psi(101_000.0), ..bare };
    assert!(matches!(formula_length(&too_strong, Method::General), Err(Unanswered::Outside("fy", _))));
    let close = Straight { fy: Stress::from_psi(80_000.0), clear_spacing: inches(5.0), ..bare };
    assert!(matches!(formula_length(&close, Method::General), Err(Unanswered::Outside("Ktr", _))));
    assert!(formula_length(&Straight { ktr: inches(0.25), ..close }, Method::General).is_ok());
}

#[test]
fn the_square_root_is_capped() {
    let at = |fc| formula(&bar(9, fc, 60_000.0));
    printed(at(10_000.0), at(14_000.0), 9);
    assert!(at(9_000.0) > at(10_000.0));
    let metric = Straight { fc: Stress::from_mpa(90.0), ..worked_sheet() };
    let root = formula_length(&metric, Method::Simplified).unwrap().part("sqrt(f'c)");
    assert_eq!(root, Some(Figure::Stress(Stress::from_mpa(8.3))));
}

#[test]
fn classes_of_laps() {
    let half = Ratio::from_percent(50.0);
    assert_eq!(Class::of(2.0, half), Class::A);
    assert_eq!(Class::of(1.99, half), Class::B);
    assert_eq!(Class::of(3.0, Ratio::from_percent(51.0)), Class::B);
    assert_eq!(Class::of(f64::NAN, half), Class::B);
    let a = lap(&bar(4, 3000.0, 60_000.0), Method::Simplified, Class::A).unwrap();
    printed(a.value.inches(), 21.91, 2);
    let thick = Straight { diameter: Size::No14.diameter(), ..bar(11, 3000.0, 60_000.0) };
    assert!(formula_length(&thick, Method::Simplified).is_ok());
    assert!(matches!(lap(&thick, Method::Simplified, Class::B), Err(Unanswered::Outside("db", _))));
}

#[test]
fn laps_of_two_sizes_and_laps_that_do_not_touch() {
    assert_eq!(lap_of_two_sizes(inches(27.4), inches(28.5)).value, inches(28.5));
    assert_eq!(lap_of_two_sizes(inches(30.0), inches(28.5)).value, inches(30.0));
    assert_eq!(apart_in_a_lap(inches(24.0), System::Feet).value, inches(4.8));
    assert_eq!(apart_in_a_lap(inches(48.0), System::Feet).value, inches(6.0));
    assert_eq!(apart_in_a_lap(mm(900), System::Metric).value, mm(150));
}

#[test]
fn laps_in_compression() {
    let at = |size, fc: f64, fy: f64| {
        compression_lap(no(size), Stress::from_psi(fy), Stress::from_psi(fc), System::Feet)
            .map(|lap| lap.value.inches())
    };
    printed(at(6, 3000.0, 60_000.0).unwrap(), 22.5, 6);
    printed(at(6, 2999.0, 60_000.0).unwrap(), 30.0, 6);
    printed(at(3, 4000.0, 40_000.0).unwrap(), 12.0, 6);
    assert!(at(6, 3000.0, 75_000.0).is_err());
}

#[test]
fn a_hook_does_not_fit_a_thin_footing() {
    // #4 at 2500 psi, hooks wide apart, side cover thin; 8 in of footing less 3 in below.
    let bar = Hooked { side_cover: Length::INCH, ..hook(4, 2500.0) };
    let needed = hooked(&bar).unwrap().value;
    printed(needed.inches(), 7.4, 1);
    assert!(needed > inches(5.0));
}

#[test]
fn conditions_of_hooks() {
    let bar = Hooked { spacing: no(6) * 2, side_cover: inches(2.5), ..hook(6, 3000.0) };
    let factor = |bar: &Hooked, symbol| hooked(bar).unwrap().part(symbol).unwrap();
    assert_eq!(factor(&bar, "psi_r"), Figure::Number(1.6));
    assert_eq!(factor(&Hooked { confined: true, ..bar }, "psi_r"), Figure::Number(1.0));
    assert_eq!(factor(&bar, "psi_o"), Figure::Number(1.25));
    assert_eq!(factor(&Hooked { in_column_core: true, ..bar }, "psi_o"), Figure::Number(1.0));
    let thick = Hooked { diameter: Size::No14.diameter(), confined: true, in_column_core: true, ..bar };
    assert_eq!((factor(&thick, "psi_r"), factor(&thick, "psi_o")), (Figure::Number(1.6), Figure::Number(1.25)));
    assert_eq!(factor(&hook(4, 6000.0), "psi_c"), Figure::Number(1.0));
    let coated = Hooked { coating: Coating::Epoxy, ..hook(8, 3000.0) };
    printed(hooked(&coated).unwrap().value.inches(), 15.93 * 1.2, 1);
}

#[test]
fn figures_that_are_none_are_refused() {
    let good = bar(4, 3000.0, 60_000.0);
    for (bad, symbol) in [
        (Straight { diameter: Length::ZERO, ..good }, "db"),
        (Straight { fy: Stress::ZERO, ..good }, "fy"),
        (Straight { fc: Stress::from_psi(f64::NAN), ..good }, "f'c"),
        (Straight { cover: -Length::INCH, ..good }, "cover"),
        (Straight { ktr: -Length::INCH, ..good }, "Ktr"),
        (Straight { clear_spacing: -Length::INCH, ..good }, "spacing"),
    ] {
        for method in [Method::Simplified, Method::General] {
            assert_eq!(formula_length(&bad, method), Err(Unanswered::Nothing(symbol)));
        }
    }
    assert_eq!(hooked(&Hooked { fc: Stress::ZERO, ..hook(4, 3000.0) }), Err(Unanswered::Nothing("f'c")));
}

fn any_bar() -> impl Strategy<Value = Straight> {
    let shape = (6.0..35.0_f64, 280.0..690.0_f64, 15.0..90.0_f64, 0.0..100.0_f64, 120.0..300.0_f64);
    (shape, any::<(bool, bool, bool, bool)>(), prop::option::of(0.0..2000.0_f64)).prop_map(
        |((db, fy, fc, cover, clear), (feet, light, epoxy, ties), below)| Straight {
            system: if feet { System::Feet } else { System::Metric },
            diameter: Length::round_nm(db * 1e6),
            fy: Stress::from_mpa(fy),
            fc: Stress::from_mpa(fc),
            weight: if light { ConcreteWeight::Light } else { ConcreteWeight::Normal },
            coating: if epoxy { Coating::Epoxy } else { Coating::Bare },
            cover: Length::round_nm(cover * 1e6),
            clear_spacing: Length::round_nm(clear * 1e6),
            ties,
            ktr: Length::round_nm(db * 5e5) + Length::from_nm(1),
            fresh_below: below.map(|below| Length::round_nm(below * 1e6)),
        },
    )
}

proptest! {
    #[test]
    fn weaker_concrete_stronger_steel_and_thicker_bars_run_further(bar in any_bar()) {
        for method in [Method::Simplified, Method::General] {
            let length = |bar: &Straight| formula_length(bar, method).map(|worked| worked.value);
            let here = length(&bar).unwrap();
            let weaker = Straight { fc: bar.fc * 0.9, ..bar };
            let softer = Straight { fy: bar.fy * 0.9, ..bar };
            let deeper = Straight { cover: bar.cover + mm(10), ..bar };
            let upright = Straight { fresh_below: None, ..bar };
            prop_assert!(here > Length::ZERO);
            prop_assert!(length(&weaker).unwrap() >= here);
            for shorter in [softer, deeper, upright] {
                prop_assert!(length(&shorter).unwrap() <= here);
            }
            if let Ok(thicker) = length(&Straight { diameter: times(bar.diameter, 1.1), ktr: mm(20), ..bar }) {
                let same = length(&Straight { ktr: mm(20), ..bar }).unwrap();
                prop_assert!(thicker >= same, "{thicker:?} {same:?}");
            }
        }
    }

    #[test]
    fn laps_are_no_shorter_than_what_they_join(bar in any_bar()) {
        for method in [Method::Simplified, Method::General] {
            let ld = straight(&bar, method).unwrap().value;
            if let (Ok(a), Ok(b)) = (lap(&bar, method, Class::A), lap(&bar, method, Class::B)) {
                prop_assert_eq!(a.value, ld);
                prop_assert!(b.value >= a.value && b.value >= least_length(bar.system));
            }
        }
    }

    #[test]
    fn the_general_equation_is_never_below_its_cap(bar in any_bar()) {
        let found = formula_length(&bar, Method::General).unwrap().value;
        let far = Straight { cover: mm(1000), clear_spacing: mm(3000), ..bar };
        prop_assert!(found >= formula_length(&far, Method::General).unwrap().value);
    }
}

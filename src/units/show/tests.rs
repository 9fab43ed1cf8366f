//! What is written for which quantity, and that it reads the same.

use super::*;
use crate::units::{What, number, of_dimension, unit};
use System::{Feet, Metric};
use proptest::prelude::*;

/// A length as it would be typed.
fn len(text: &str) -> Length {
    Quantity::read(&number(text).unwrap()).unwrap().length().unwrap()
}

#[test]
fn positions() {
    for (text, shown) in [
        ("9'-3 1/4\"", "9'-3 1/4\""),
        ("5 1/2\"", "5 1/2\""),
        ("6'", "6'-0\""),
        ("12\"", "1'-0\""),
        ("0", "0\""),
        ("-4\"", "-4\""),
        ("-16\"", "-1'-4\""),
        ("3/4\"", "3/4\""),
        ("12 1/2\"", "1'-0 1/2\""),
        ("1/32\"", "1/16\""),
        ("-1/32\"", "-1/16\""),
        ("-1/64\"", "0\""),
        ("11 63/64\"", "1'-0\""),
        ("-11 63/64\"", "-1'-0\""),
    ] {
        let length = if text == "0" { Length::ZERO } else { len(text) };
        assert_eq!(place(length, Feet).to_string(), shown, "{text}");
    }
    assert_eq!(place(len("8'"), Metric).to_string(), "2438 mm");
    assert_eq!(place(Length::from_nm(-499_999), Metric).to_string(), "0 mm");
    assert_eq!(place(Length::from_nm(-500_000), Metric).to_string(), "-1 mm");
}

#[test]
fn steel_and_boards() {
    assert_eq!(cut(len("36.75\""), Feet).to_string(), "3'-0 3/4\"");
    assert_eq!(cut(len("36.75\"") + Length::from_nm(900), Feet).to_string(), "3'-0 3/4\"");
    assert_eq!(cut(len("36.751\""), Feet).to_string(), "3'-1\"");
    assert_eq!(cut(Length::ZERO, Feet).to_string(), "0\"");
    assert_eq!(cut(Length::MILLIMETRE * 931, Metric).to_string(), "935 mm");
    assert_eq!(cut(Length::MILLIMETRE * 930, Metric).to_string(), "930 mm");
    assert_eq!(bend(len("8 3/8\""), Feet).to_string(), "8 1/2\"");
    assert_eq!(bend(len("8 5/16\""), Feet).to_string(), "8 1/4\"");
    assert_eq!(bend(Length::MILLIMETRE * 212, Metric).to_string(), "210 mm");
    assert_eq!(board(len("3'-1/16\""), Feet).to_string(), "3'-0 1/8\"");
    assert_eq!(cut_length(Length::from_nm(i64::MAX), Feet).nm(), i64::MAX);
}

#[test]
fn lengths_for_themselves() {
    for (text, shown) in [
        ("1 3/4\"", "1 3/4\""),
        ("30\"", "30\""),
        ("4'", "4'"),
        ("9'-6\"", "9'-6\""),
        ("4'-0 1/2\"", "4'-0 1/2\""),
        ("1/64\"", "1/64\""),
        ("4.2426\"", "4.2426\""),
        ("6.1\"", "6.1\""),
        ("-2\"", "-2\""),
        ("0\"", "0\""),
    ] {
        assert_eq!(exact(len(text), Feet).to_string(), shown);
    }
    assert_eq!(exact(Length::from_nm(107_763_123), Feet).to_string(), "4.2426\"");
    assert_eq!(exact(Length::from_nm(107_763_123), Metric).to_string(), "107.76 mm");
    for (nm, shown) in
        [(107_763_123, "4 1/4\""), (75_608_180, "2 63/64\""), (-8_628_380, "-11/32\""), (50_000, "0.002\"")]
    {
        assert_eq!(told(Length::from_nm(nm), Feet).to_string(), shown);
    }
    assert_eq!(told(len("0.375\""), Feet).to_string(), "3/8\"");
    assert_eq!(told(len("2.35\""), Feet).to_string(), "2.35\"");
    assert_eq!(told(Length::from_nm(107_763_123), Metric).to_string(), "107.8 mm");
    assert_eq!(exact(len("1/16\""), Metric).to_string(), "1.5875 mm");
    assert_eq!(exact(Length::MILLIMETRE * 320, Metric).to_string(), "320 mm");
    assert_eq!(exact(Length::from_nm(-1), Feet).to_string(), "0\"");
}

#[test]
fn areas_and_volumes() {
    let (foot, metre) = (Length::FOOT, Length::METRE);
    assert_eq!(area(foot * 5 * (foot * 5), Feet).to_string(), "25.00 ft2");
    assert_eq!(area(metre * metre, Metric).to_string(), "1.000 m2");
    assert_eq!(area(Area::from_nm2(i128::MIN), Feet).to_string().len(), "-1831000000000000000000.00 ft2".len());
    assert_eq!(small_area(Length::INCH * Length::INCH, Metric).to_string(), "645 mm2");
    let cubic_foot = foot * foot * foot;
    assert_eq!(volume(cubic_foot * 12, Feet).to_string(), "12.00 ft3");
    assert_eq!(volume(cubic_foot, Metric).to_string(), "0.028 m3");
    assert_eq!(yards(cubic_foot * 27).to_string(), "1.00 yd3");
    assert_eq!(small_volume(cubic_foot, Feet).to_string(), "1728.0 in3");
    assert_eq!(small_volume(cubic_foot, Metric).to_string(), "28316.8 mL");
    let cartridge = Quantity::of(Exact::whole(22), unit("fl-oz").unwrap()).unwrap().volume().unwrap();
    assert_eq!(fluid(cartridge, Feet).to_string(), "22.0 fl-oz");
    assert_eq!(fluid(cartridge, Metric).to_string(), "650.6 mL");
    assert_eq!(water(cubic_foot, Feet).to_string(), "29.9 qt");
    assert_eq!(carried(cubic_foot, Feet).to_string(), "7.5 gal");
    assert_eq!(water(cubic_foot, Metric).to_string(), "28.3 L");
}

#[test]
fn everything_else() {
    let all = [
        (mass(Mass::from_lb(1400.4), Feet), "1400 lb"),
        (mass(Mass::from_lb(9.54), Feet), "9.5 lb"),
        (mass(Mass::from_lb(9.96), Feet), "10 lb"),
        (mass(Mass::from_kg(36.3), Metric), "36 kg"),
        (force(Force::from_lbf(600.0), Metric), "2.67 kN"),
        (stress(Stress::from_psi(4000.0), Feet), "4000 psi"),
        (stress(Stress::from_psi(4000.0), Metric), "27.6 MPa"),
        (pressure(Stress::from_psf(300.0), Feet), "300 psf"),
        (pressure(Stress::from_psf(300.0), Metric), "14.4 kPa"),
        (density(Density::from_pcf(145.0), Metric), "2323 kg/m3"),
        (temperature(Temperature::from_deg_f(52.0), Feet), "52 degF"),
        (temperature(Temperature::from_deg_f(52.0), Metric), "11 degC"),
        (temperature(Temperature::from_deg_c(-0.2), Metric), "0 degC"),
        (temperature_difference(TemperatureDifference::from_deg_f(20.0), Metric), "11 degC"),
        (speed(Speed::from_mph(5.0), Metric), "8 kph"),
        (percent(Ratio::from_percent(8.0)), "8%"),
        (percent(Ratio::from_fraction(0.125)), "12.5%"),
        (angle(Angle::from_degrees(45.0)), "45 deg"),
        (decimal(2.5, 3), "2.5"),
        (decimal(-0.0004, 3), "0"),
        (decimal(100.0, 2), "100"),
        (decimal(f64::NAN, 2), "not known"),
        (exact_decimal(Exact::from_text("2/3").unwrap(), 3), "0.667"),
        (exact_decimal(Exact::from_text("-5/2").unwrap(), 0), "-3"),
        (clock(990), "16:30"),
        (clock(480), "8:00"),
        (working_days(WorkingDays::from_working_days(1.0)), "1 working day"),
        (working_days(WorkingDays::from_working_days(2.5)), "2.5 working days"),
    ];
    for (shown, text) in all {
        assert_eq!(shown.to_string(), text);
    }
}

#[test]
fn every_dimension_can_be_shown() {
    let two = |dimension| Quantity::of(Exact::whole(2), of_dimension(dimension).next().unwrap()).unwrap();
    let shown = |dimension| quantity(&two(dimension), Feet).to_string();
    let all = Dimension::ALL.into_iter().filter(|d| *d != Dimension::Date).map(shown).collect::<Vec<_>>();
    let expected = [
        "2",
        "2\"",
        "2.00 in2",
        "2.0 in3",
        "0.1 lb",
        "2 lbf",
        "2 psi",
        "2 pcf",
        "2 degF",
        "2 degF",
        "2 s",
        "2 working days",
        "2 mph",
        "2 m/s2",
        "2 dB",
        "2 deg",
        "2%",
        "2.00 USD",
    ];
    assert_eq!(all, expected);
    let far = Quantity::of(Exact::whole(1001), unit("m").unwrap()).unwrap();
    assert_eq!(quantity(&far, Metric).to_string(), "not known");
}

#[test]
fn times() {
    for (seconds, shown) in [
        (0.0, "0 s"),
        (45.0, "45 s"),
        (60.0, "1 min"),
        (90.0, "90 s"),
        (2400.0, "40 min"),
        (9000.0, "2 h 30 min"),
        (86_400.0, "24 h"),
        (3600.0 * 47.999, "2 days"),
        (86_400.0 * 3.0, "3 days"),
        (86_400.0 * 3.0 + 4.0 * 3600.0, "3 days 4 h"),
        (-2400.0, "-40 min"),
        (-0.1, "0 s"),
        (f64::INFINITY, "not known"),
    ] {
        assert_eq!(time(Duration::from_seconds(seconds)).to_string(), shown, "{seconds}");
    }
}

#[test]
fn limits_are_not_passed_by_rounding() {
    let litres = |volume: f64| Volume::from_nm3((volume * 1e24) as i128);
    assert_eq!(water_at_most(litres(2.86), Metric).to_string(), "2.8 L");
    assert_eq!(water_at_most(litres(2.8), Metric).to_string(), "2.8 L");
    // 3.85 L are 4.068 qt of 0.946353 L (NIST Handbook 44, Appendix C).
    assert_eq!(water_at_most(litres(3.85), Feet).to_string(), "4.0 qt");
    assert_eq!(mass_at_most(Mass::from_lb(25.67), Feet).to_string(), "25 lb");
    assert_eq!(mass_at_most(Mass::from_lb(34.0), Feet).to_string(), "34 lb");
    assert_eq!(mass_at_most(Mass::from_lb(9.98), Feet).to_string(), "9.9 lb");
    assert_eq!(mass_at_most(Mass::from_kg(23.0), Metric).to_string(), "23 kg");
    let minutes = Duration::from_minutes;
    assert_eq!(time_within(minutes(17.5)).to_string(), "17 min");
    assert_eq!(time_at_least(minutes(17.5)).to_string(), "18 min");
    for exact in [time_within(minutes(18.0)), time_at_least(minutes(18.0))] {
        assert_eq!(exact.to_string(), "18 min");
    }
    // From two days on by the hour.
    let days = minutes(48.0 * 60.0 + 70.0);
    assert_eq!(
        (time_within(days).to_string().as_str(), time_at_least(days).to_string().as_str()),
        ("2 days 1 h", "2 days 2 h")
    );
    assert_eq!(percent_said(Ratio::from_percent(7.25)).to_string(), "7.25%");
    assert_eq!(percent_said(Ratio::from_percent(8.0)).to_string(), "8%");
}

#[test]
fn amounts_of_money() {
    for (text, word, shown) in [
        ("6.8", "USD", "6.80 USD"),
        ("1/3", "EUR", "0.33 EUR"),
        ("-0.005", "CAD", "-0.01 CAD"),
        ("850", "JPY", "850 JPY"),
    ] {
        let quantity = Quantity::of(Exact::from_text(text).unwrap(), unit(word).unwrap()).unwrap();
        assert_eq!(money(quantity.money().unwrap()).to_string(), shown);
    }
}

/// What a shown length says when it is read again.
fn read_back(text: &str) -> Length {
    let (digits, word) = text.split_once(" mm").map_or((text, None), |(digits, _)| (digits, unit("mm")));
    let reading = number(digits).unwrap();
    match (reading.what, word) {
        (What::Plain(value), Some(mm)) => Quantity::of(value, mm).unwrap().length().unwrap(),
        (What::Length(_), None) => Quantity::read(&reading).unwrap().length().unwrap(),
        other => panic!("{text} reads as {other:?}"),
    }
}

proptest! {
    #[test]
    fn what_exact_shows_reads_the_same(sixty_fourths in -2_500_000_i64..2_500_000) {
        let length = Length::from_nm(396_875 * sixty_fourths);
        prop_assert_eq!(read_back(&exact(length, Feet).to_string()), length);
    }

    #[test]
    fn what_exact_shows_in_millimetres_reads_the_same(tenths_of_micrometres in -1_000_000_000_i64..1_000_000_000) {
        let length = Length::from_nm(100 * tenths_of_micrometres);
        prop_assert_eq!(read_back(&exact(length, Metric).to_string()), length);
    }

    #[test]
    fn what_is_shown_is_as_near_as_it_says(nm in -900_000_000_000_i64..900_000_000_000) {
        let length = Length::from_nm(nm);
        for (shown, within) in [
            (place(length, Feet), 793_750),
            (board(length, Feet), 1_587_500),
            (bend(length, Feet), 3_175_000),
            (place(length, Metric), 500_000),
            (bend(length, Metric), 2_500_000),
            (exact(length, Feet), 1_270),
            (exact(length, Metric), 5_000),
        ] {
            let off = (read_back(&shown.to_string()) - length).nm().abs();
            prop_assert!(off <= within, "{shown} is {off} nm off");
        }
        for system in [Feet, Metric] {
            let over = (read_back(&cut(length, system).to_string()) - length).nm();
            prop_assert!(over >= -1000 && over < steel_step(system).nm());
        }
    }

    #[test]
    fn any_number_is_shown(bits: u64, nm: i64, wide: i128, places in 0_u32..100) {
        let float = f64::from_bits(bits);
        let texts = [
            decimal(float, places).to_string(),
            time(Duration::from_seconds(float)).to_string(),
            mass(Mass::from_kg(float), Feet).to_string(),
            place(Length::from_nm(nm), Feet).to_string(),
            cut(Length::from_nm(nm), Metric).to_string(),
            exact(Length::from_nm(nm), Feet).to_string(),
            volume(Volume::from_nm3(wide), Feet).to_string(),
            exact_decimal(Exact::whole(wide), places).to_string(),
        ];
        for text in texts {
            prop_assert!(!text.starts_with("-0 ") && text != "-0" && !text.starts_with("-0\""), "{text}");
        }
    }
}

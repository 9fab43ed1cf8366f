//! The table of sums, products and quotients, and the laws they keep.

use super::*;
use crate::units::{number, two_words, unit};
use proptest::prelude::*;

/// `8`, `8 ft`, `8"`, `8%`.
fn q(text: &str) -> Quantity {
    let (digits, word) = text.rsplit_once(' ').unwrap_or((text, ""));
    match unit(word) {
        Some(unit) => Quantity::of(Exact::from_text(digits).unwrap(), unit).unwrap(),
        None => Quantity::read(&number(text).unwrap()).unwrap(),
    }
}

#[test]
fn like_adds_to_like() {
    assert_eq!(q("6'").plus(q("18 in")).unwrap(), q("7'-6\""));
    assert_eq!(q("1 ft3").minus(q("728 in3")).unwrap(), q("1000 in3"));
    assert_eq!(q("8%").plus(q("2%")).unwrap(), q("10%"));
    assert_eq!(q("6.80 USD").plus(q("0.20 USD")).unwrap(), q("7 USD"));
    assert_eq!(q("100").plus(q("8%")), Err(Misfit::Unlike(Dimension::Number, Dimension::Ratio)));
    assert_eq!(q("6'").plus(q("6")), Err(Misfit::Unlike(Dimension::Length, Dimension::Number)));
    let (usd, eur) = (Currency::from_code("USD").unwrap(), Currency::from_code("EUR").unwrap());
    assert_eq!(q("6 USD").plus(q("6 EUR")), Err(Misfit::Currencies(usd, eur)));
    assert_eq!(q("6 USD").over(q("6 EUR")), Err(Misfit::Currencies(usd, eur)));
}

#[test]
fn products_and_quotients() {
    assert_eq!(q("2 ft").times(q("3 ft")).unwrap(), q("6 ft2"));
    assert_eq!(q("2 ft").times(q("3 ft2")).unwrap(), q("6 ft3"));
    assert_eq!(q("3 ft2").times(q("2 ft")).unwrap(), q("6 ft3"));
    assert_eq!(q("6 ft3").over(q("3 ft2")).unwrap(), q("2 ft"));
    assert_eq!(q("6 ft3").over(q("3 ft")).unwrap(), q("2 ft2"));
    assert_eq!(q("6 ft2").over(q("3 ft")).unwrap(), q("2 ft"));
    assert_eq!(q("10'").over(q("3'")).unwrap(), q("10/3"));
    assert_eq!(q("10'").over(q("3")).unwrap().times(q("3")).unwrap(), q("10'"));
    assert_eq!(q("10'").times(q("8%")).unwrap(), q("9.6\""));
    assert_eq!(q("8%").times(q("100")).unwrap(), q("8"));
    assert_eq!(q("6.80 USD").times(q("3")).unwrap(), q("20.40 USD"));
    assert_eq!(q("20.40 USD").over(q("6.80 USD")).unwrap(), q("3"));
    assert_eq!(q("2 ft2").times(q("2 ft2")), Err(Misfit::NoProduct(Dimension::Area, Dimension::Area)));
    assert_eq!(q("2").over(q("2 ft")), Err(Misfit::NoQuotient(Dimension::Number, Dimension::Length)));
    assert_eq!(q("2 ft").over(q("0")), Err(Misfit::ByZero));
    assert_eq!(q("2 lb").over(q("0 lb")), Err(Misfit::ByZero));
    let density = q("145 lb").over(q("1 ft3")).unwrap().density().unwrap();
    assert!((density.pcf() - 145.0).abs() < 1e-11);
    let stress = q("600 lbf").over(q("1 ft2")).unwrap().stress().unwrap();
    assert!((stress.psf() - 600.0).abs() < 1e-10);
    let mass = q("2 ft3").times(q("145 pcf")).unwrap().mass().unwrap();
    assert!((mass.lb() - 290.0).abs() < 1e-11);
}

#[test]
fn temperatures_are_points() {
    let difference = q("66 degF").minus(q("52 degF")).unwrap();
    assert!((difference.temperature_difference().unwrap().deg_f() - 14.0).abs() < 1e-12);
    let back = q("52 degF").plus(difference).unwrap().temperature().unwrap();
    assert!((back.deg_f() - 66.0).abs() < 1e-12);
    assert!(q("52 degF").plus(q("66 degF")).is_err());
    assert!(q("52 degF").negated().is_err());
    assert!(q("2").times(q("52 degF")).is_err());
    assert_eq!(q("52 degF").max(q("66 degF")).unwrap(), q("66 degF"));
}

#[test]
fn clock_days_and_working_days_are_unlike() {
    let working = Quantity::of(Exact::whole(2), two_words("working", "days").unwrap()).unwrap();
    assert_eq!(q("2 days").plus(working), Err(Misfit::Unlike(Dimension::Time, Dimension::WorkingTime)));
    assert_eq!(working.working_days(), Some(WorkingDays::from_working_days(2.0)));
    assert_eq!(q("1 days").duration(), Some(Duration::from_hours(24.0)));
}

#[test]
fn typed_once_and_rounded_once() {
    assert_eq!(q("8\"").length(), Some(Length::INCH * 8));
    assert_eq!(q("10'").over(q("3")).unwrap().length(), Some(Length::from_nm(1_016_000_000)));
    assert_eq!(q("1 m").over(q("3")).unwrap().length(), Some(Length::from_nm(333_333_333)));
    assert_eq!(q("1000 m").length(), Some(Length::LIMIT));
    assert_eq!(q("1000.001 m").length(), None);
    assert_eq!(q("-1001 m").length(), None);
    assert_eq!(q("8\"").mass(), None);
    assert_eq!(q("3 bags").count(), Some(3));
    assert_eq!(q("3.5").count(), None);
    assert_eq!(q("1 yd3").volume(), Some(Length::FOOT * 3 * (Length::FOOT * 3) * (Length::FOOT * 3)));
    assert_eq!(q("8%").ratio(), Some(Ratio::from_fraction(0.08)));
    assert_eq!(q("6.80 USD").money().unwrap().currency.code(), "USD");
    assert_eq!(q("4000 psi").stress(), Some(Stress::from_psi(4000.0)));
}

#[test]
fn too_large_never_wraps() {
    let long = q("999999999999999999 m");
    let area = long.times(long);
    assert_eq!(area, Err(Misfit::TooLarge));
    let heavy = Quantity::from(Mass::from_kg(f64::MAX));
    assert_eq!(heavy.times(q("2")), Err(Misfit::TooLarge));
    assert_eq!(heavy.plus(heavy), Err(Misfit::TooLarge));
}

fn any_quantity() -> impl Strategy<Value = Quantity> {
    let words = ["in", "ft2", "m3", "lb", "psi", "degC", "min", "%", "USD", "bags", "pcf", "lbf"];
    (-10_000_i64..10_000, 0..words.len())
        .prop_map(move |(n, i)| Quantity::of(Exact::from(n), unit(words[i]).unwrap()).unwrap())
}

proptest! {
    #[test]
    fn order_never_matters(a in any_quantity(), b in any_quantity()) {
        prop_assert_eq!(a.plus(b).ok(), b.plus(a).ok());
        prop_assert_eq!(a.times(b).ok(), b.times(a).ok());
        prop_assert_eq!(a.min(b).ok(), b.min(a).ok());
    }

    #[test]
    fn lengths_sum_alike_in_any_order(mut nm in prop::collection::vec(-1_000_000_000_i64..1_000_000_000, 1..20)) {
        let sum = |all: &[i64]| all.iter().map(|n| Quantity::from(Length::from_nm(*n))).try_fold(q("0\""), Quantity::plus);
        let one = sum(&nm);
        nm.reverse();
        prop_assert_eq!(one, sum(&nm));
    }

    #[test]
    fn what_is_added_can_be_taken_away(a in any_quantity(), b in any_quantity()) {
        if let Ok(sum) = a.plus(b) && sum.dimension() == a.dimension() {
            let back = sum.minus(b).unwrap();
            let (was, is) = (a.amount().to_f64(), back.amount().to_f64());
            prop_assert!((was - is).abs() <= 1e-9 * was.abs().max(b.amount().to_f64().abs()));
            if let (Amount::Exact(_), Amount::Exact(_)) = (a.amount(), b.amount()) {
                prop_assert_eq!(back, a);
            }
        }
    }
}

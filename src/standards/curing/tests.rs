//! Checks against our own arithmetic from published formulas, and what always holds.

use proptest::prelude::*;

use super::*;
use crate::{
    standards::tests::printed,
    units::{Duration, Length, Ratio, Temperature},
};

const C: fn(f64) -> Temperature = Temperature::from_deg_c;
const F: fn(f64) -> Temperature = Temperature::from_deg_f;

fn hours(hours: f64) -> Duration {
    Duration::from_hours(hours)
}

fn spells(spells: &[(f64, Temperature)]) -> Temperatures {
    Temperatures::Spells(
        spells.iter().map(|(lasts, temperature)| Spell { lasts: hours(*lasts), temperature: *temperature }).collect(),
    )
}

#[test]
fn rates_of_ageing() {
    // Our own arithmetic from ASTM C1074 (q of 5000 K, and 33.5 kJ/mol over R) and from the form of EN 13670.
    let ea = Ageing::Arrhenius { q: 33_500.0 / 8.314, reference: C(20.0) };
    for (at, european, c1074, low) in [
        (5.0, 0.3986, 0.3354, 0.4765),
        (10.0, 0.5475, 0.4606, 0.6154),
        (15.0, 0.7438, 0.6258, 0.7878),
        (20.0, 1.0, 0.8413, 1.0),
        (25.0, 1.3311, 1.1199, 1.2592),
        (30.0, 1.7553, 1.4768, 1.5737),
        (35.0, 2.2939, 1.9299, 1.9524),
    ] {
        printed(EUROPEAN.rate(C(at)), european, 4);
        printed(C1074.rate(C(at)), c1074, 4);
        printed(ea.rate(C(at)), low, 4);
    }
    for (at, expected) in [(5.0, 0.4778), (10.0, 0.6161), (20.0, 0.9981), (30.0, 1.5662)] {
        printed(MODEL_CODE.rate(C(at)), expected, 4);
    }
}

#[test]
fn four_days() {
    // Our own arithmetic from the sums of ASTM C1074.
    let four = spells(&[20.0, 15.0, 10.0, 5.0].map(|at| (24.0, C(at))));
    let ea = Ageing::Arrhenius { q: 33_500.0 / 8.314, reference: C(20.0) };
    for (ageing, expected, places) in [
        (Ageing::TimesTemperature(C(0.0)), 1200.0, 6),
        (Ageing::TimesTemperature(C(-10.0)), 2160.0, 6),
        (EUROPEAN, 64.56, 2),
        (C1074, 54.31, 2),
        (ea, 69.11, 2),
    ] {
        let found = aged(ageing, &four, Duration::ZERO, hours(96.0)).unwrap().value;
        printed(found, expected, places);
        printed(until_aged(ageing, &four, Duration::ZERO, found).unwrap().value.hours(), 96.0, 6);
    }
    // Below the datum nothing is taken away.
    let frost = spells(&[(24.0, C(20.0)), (24.0, C(-10.0))]);
    printed(aged(Ageing::TimesTemperature(C(0.0)), &frost, Duration::ZERO, hours(48.0)).unwrap().value, 480.0, 6);
    // Nor is any age gained: EN 1992-1-1 Annex B, (B.10), is for 0 to 80 degrees Celsius, and 0 is the datum of ASTM C1074.
    for ageing in [EUROPEAN, C1074, MODEL_CODE] {
        let warm = aged(ageing, &frost, Duration::ZERO, hours(24.0)).unwrap().value;
        printed(aged(ageing, &frost, Duration::ZERO, hours(48.0)).unwrap().value, warm, 6);
        assert!(ageing.rate(C(0.0)) == 0.0 && ageing.rate(C(0.1)) > 0.0);
    }
    // A start inside a spell.
    printed(aged(Ageing::TimesTemperature(C(0.0)), &four, hours(36.0), hours(24.0)).unwrap().value, 12.0 * 25.0, 6);
    assert!(aged(EUROPEAN, &four, hours(90.0), hours(7.0)).is_err());
    assert!(until_aged(EUROPEAN, &four, Duration::ZERO, 65.0).is_err());
}

#[test]
fn strength_by_age() {
    // ACI 209R and EN 1992-1-1 3.1.2(6), by our own arithmetic.
    let days = [1.0, 2.0, 3.0, 7.0, 14.0, 28.0];
    for (gain, expected, places) in [
        (Gain::TYPE_I, [0.206, 0.351, 0.458, 0.7035, 0.8805, 1.0072], [3, 3, 3, 4, 4, 4]),
        (Gain::TYPE_III, [0.311, 0.483, 0.593, 0.8009, 0.9223, 0.9979], [3, 3, 3, 4, 4, 4]),
        (Gain::CLASS_R, [0.4239, 0.5779, 0.6630, 0.8187, 0.9205, 1.0], [4; 6]),
        (Gain::CLASS_N, [0.3420, 0.5039, 0.5982, 0.7788, 0.9016, 1.0], [4; 6]),
        (Gain::CLASS_S, [0.1958, 0.3528, 0.4580, 0.6839, 0.8544, 1.0], [4; 6]),
    ] {
        for ((day, expected), places) in days.into_iter().zip(expected).zip(places) {
            let found = gain.part_at(Duration::from_days(day)).unwrap().value;
            printed(found.fraction(), expected, places);
            printed(gain.age_of(found).unwrap().value.days(), day, 6);
        }
    }
    assert!(Gain::TYPE_I.age_of(Ratio::from_fraction(1.2)).is_err());
    assert!(Gain::CLASS_R.age_of(Ratio::from_fraction(1.3)).is_err());
    assert!(Gain::TYPE_I.part_at(Duration::ZERO).is_err());
}

#[test]
fn days_to_a_strength() {
    // ACI 209R for Type I, 3500 psi at 28 days, by ASTM C1074 at 23 degC: our own arithmetic.
    let freeze = Ratio::from_fraction(500.0 / 3500.0);
    let days = |part, at| {
        let temperatures = Temperatures::Constant(C(at));
        time_to_part(Gain::TYPE_I, part, C1074, &temperatures, Duration::ZERO).unwrap().value.days()
    };
    for (at, to_500, to_70) in [(20.0, 0.77, 8.2), (10.0, 1.41, 15.0), (5.0, 1.94, 20.6)] {
        printed(days(freeze, at), to_500, 2);
        printed(days(Ratio::from_fraction(0.7), at), to_70, 1);
    }
    let constant = Temperatures::Constant(C(20.0));
    let wrong = Ageing::TimesTemperature(C(0.0));
    assert!(time_to_part(Gain::TYPE_I, freeze, wrong, &constant, Duration::ZERO).is_err());
}

#[test]
fn counted_hours() {
    // ACI 347R, stripping times as Concrete Construction answers quote them; the count by hand: nights of 8 h at 38 degF, days of 16 h at 58; poured at 16:00 of a day that begins at 06:00.
    let weather = spells(&[(16.0, F(58.0)), (8.0, F(38.0)), (16.0, F(58.0)), (8.0, F(38.0)), (16.0, F(58.0))]);
    let found = earliest_strip(hours(12.0), None, &weather, hours(10.0)).unwrap().value;
    // 12:00 of the next day.
    printed(found.hours(), 20.0, 9);
    let strong = Some((Gain::TYPE_I, Ratio::from_fraction(0.2), C1074));
    assert!(earliest_strip(hours(12.0), strong, &weather, hours(10.0)).unwrap().value > found);
    let cold = Temperatures::Constant(F(45.0));
    assert!(earliest_strip(hours(12.0), None, &cold, Duration::ZERO).is_err());
    printed(strip_time(Formed::Sides, false).value.hours(), 12.0, 9);
    let days = |forms, live| strip_time(forms, live).value.days();
    let spans = [Length::FOOT * 9, Length::FOOT * 20, Length::FOOT * 21];
    assert_eq!(spans.map(|span| days(Formed::BeamSoffit(span), false)), [7.0, 14.0, 21.0]);
    assert_eq!(spans.map(|span| days(Formed::BeamSoffit(span), true)), [4.0, 7.0, 14.0]);
    assert_eq!(spans.map(|span| days(Formed::SlabSoffit(span), false)), [4.0, 7.0, 10.0]);
    assert_eq!(spans.map(|span| days(Formed::SlabSoffit(span), true)), [3.0, 4.0, 7.0]);
}

#[test]
fn days_of_moist_curing() {
    // Unified Facilities Guide Specification 03301A.
    let days = |binder| moist_curing(binder, CureRule::Guide).map(|worked| worked.value.days());
    for (binder, expected) in [
        (Binder::TypeIII, 3.0),
        (Binder::TypeI, 7.0),
        (Binder::Blended, 7.0),
        (Binder::TypeII, 14.0),
        (Binder::SomeAsh, 14.0),
        (Binder::MuchAsh, 21.0),
    ] {
        assert_eq!(days(binder), Ok(expected));
    }
    assert!(days(Binder::TypeIVOrV).is_err());
}

#[test]
fn how_long_a_layer_knits() {
    // Engineering judgement, no source: our own arithmetic from an hour at 21 degC and 5000 K.
    let model = USUAL_KNITTING.value;
    let minutes = |at| still_knits(&model, C(at)).unwrap().value.minutes();
    for (at, factor, expected) in [(15.0, 1.425, 85.5), (30.0, 0.604, 36.2), (35.0, 0.462, 27.7)] {
        printed(minutes(at), expected, 1);
        printed(minutes(at) / 60.0, factor, 3);
    }
    printed(minutes(10.0), 90.0, 9);
    let free = Knitting { most: Duration::from_minutes(1000.0), ..model };
    printed(still_knits(&free, C(10.0)).unwrap().value.minutes(), 116.1, 1);
    printed(still_knits(&free, C(10.0)).unwrap().value.minutes() / 60.0, 1.935, 3);
    assert!(still_knits(&Knitting { q: 0.0, ..model }, C(10.0)).is_err());
    assert!(still_knits(&model, C(-300.0)).is_err());
}

proptest! {
    /// Forms never come off sooner for more hours, for more strength, or in colder weather.
    #[test]
    fn forms_never_come_off_sooner_for_more(
        days in prop::collection::vec((1.0..48.0_f64, -15.0..40.0_f64), 4..16), start in 0.0..40.0_f64, asked in 1.0..96.0_f64,
        more in 0.0..24.0_f64, part in 0.05..0.6_f64, stronger in 0.0..0.3_f64, colder in 0.0..20.0_f64,
    ) {
        let weather = |less: f64| spells(&days.iter().map(|(lasts, at)| (*lasts, C(at - less))).collect::<Vec<_>>());
        let strength = |part: f64| Some((Gain::TYPE_I, Ratio::from_fraction(part), C1074));
        let off = |asked: f64, strength, less: f64| {
            earliest_strip(hours(asked), strength, &weather(less), hours(start)).map(|found| found.value.seconds())
        };
        let soon = off(asked, strength(part), 0.0);
        let later = [
            off(asked + more, strength(part), 0.0),
            off(asked, strength(part + stronger), 0.0),
            off(asked, strength(part), colder),
        ];
        for later in later.into_iter().flatten() {
            prop_assert!(soon.is_ok_and(|soon| soon <= later + 1e-3), "{soon:?} {later}");
        }
        // Without a strength it is no later, and never sooner than the hours themselves.
        if let (Ok(soon), Ok(by_hours)) = (soon, off(asked, None, 0.0)) {
            prop_assert!(by_hours <= soon && by_hours >= asked * 3600.0 - 1e-3);
        }
    }

    /// Warmer never knits longer, and nothing longer than the cap.
    #[test]
    fn warmer_never_knits_longer(at in -5.0..45.0_f64, warmer in 0.0..20.0_f64) {
        let model = USUAL_KNITTING.value;
        let here = still_knits(&model, C(at)).unwrap().value;
        prop_assert!(still_knits(&model, C(at + warmer)).unwrap().value <= here);
        prop_assert!(here <= model.most && here > Duration::ZERO);
    }

    #[test]
    fn colder_never_hardens_sooner(
        days in prop::collection::vec((1.0..48.0_f64, -15.0..40.0_f64), 1..12), start in 0.0..100.0_f64, colder in 0.0..20.0_f64, age in 1.0..200.0_f64,
    ) {
        let warm: Vec<(f64, Temperature)> = days.iter().map(|(lasts, at)| (*lasts, C(*at))).collect();
        let cold: Vec<(f64, Temperature)> = days.iter().map(|(lasts, at)| (*lasts, C(at - colder))).collect();
        for ageing in [EUROPEAN, MODEL_CODE, Ageing::TimesTemperature(C(0.0)), Ageing::CountedFrom(COUNTS_FROM)] {
            let until = |of: &[(f64, Temperature)]| until_aged(ageing, &spells(of), hours(start), age);
            if let Ok(late) = until(&cold) {
                let soon = until(&warm).unwrap();
                prop_assert!(soon.value.seconds() <= late.value.seconds() + 1e-3);
                let there = aged(ageing, &spells(&cold), hours(start), late.value).unwrap().value;
                prop_assert!((there - age).abs() < 1e-6 * age.max(1.0));
            }
        }
        let knit = |at: f64| still_knits(&USUAL_KNITTING.value, C(at)).unwrap().value;
        prop_assert!(knit(20.0 - colder) >= knit(20.0));
    }
}

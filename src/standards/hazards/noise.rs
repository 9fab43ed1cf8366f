//! Noise: 29 CFR 1926.52 and the recommendation of NIOSH.

use super::{Part, Unanswered, Worked};
use crate::units::{Duration, Ratio};

/// How the time allowed shrinks with the level.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Exchange {
    /// 8 hours at 90 dBA, half of it for each 5 dB more: 29 CFR 1926.52, Table D-2.
    Osha,
    /// 8 hours at 85 dBA, half of it for each 3 dB more: NIOSH (from memory).
    Niosh,
}

/// How long a level, in dBA, may last in a day.
///
/// # Errors
///
/// [`Unanswered`] for a level outside of 0 to 160 dBA.
pub fn permitted(level: f64, exchange: Exchange) -> Result<Duration, Unanswered> {
    if !(0.0..=160.0).contains(&level) {
        return Err(Unanswered::Outside("level", "0 to 160 dBA"));
    }
    let (at, halves) = match exchange {
        Exchange::Osha => (90.0, 5.0),
        Exchange::Niosh => (85.0, 3.0),
    };
    Ok(Duration::from_hours(8.0 / ((level - at) / halves).exp2()))
}

/// The dose of a day: the sum of times over the times permitted. It is too much above 100%.
///
/// # Errors
///
/// [`Unanswered`] for no noise at all, for a time less than nothing, and those of [`permitted`].
pub fn noise_dose(day: &[(f64, Duration)], exchange: Exchange) -> Result<Worked<Ratio>, Unanswered> {
    if day.is_empty() {
        return Err(Unanswered::Nothing("noise"));
    }
    let mut parts = Vec::with_capacity(day.len());
    let mut dose = 0.0;
    for (level, lasts) in day {
        if !(*lasts >= Duration::ZERO && lasts.seconds().is_finite()) {
            return Err(Unanswered::Nothing("time"));
        }
        let share = *lasts / permitted(*level, exchange)?;
        dose += share;
        parts.push(Part::ratio("part", Ratio::from_fraction(share), "time over the time permitted at this level"));
    }
    let source = match exchange {
        Exchange::Osha => "29 CFR 1926.52(d)(2), Table D-2",
        Exchange::Niosh => "NIOSH recommended exposure limit, from memory",
    };
    Ok(Worked { value: Ratio::from_fraction(dose), formula: "sum of the parts", source, parts })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::tests::printed;

    #[test]
    fn table_d_2() {
        // 29 CFR 1926.52, Table D-2.
        for (level, hours) in [
            (90.0, 8.0),
            (92.0, 6.0),
            (95.0, 4.0),
            (97.0, 3.0),
            (100.0, 2.0),
            (102.0, 1.5),
            (105.0, 1.0),
            (110.0, 0.5),
            (115.0, 0.25),
        ] {
            // The table rounds what the formula gives: 6.06 h to 6.
            let found = permitted(level, Exchange::Osha).unwrap().hours();
            assert!((found / hours - 1.0).abs() < 0.0125, "{level} {found}");
        }
        printed(permitted(92.0, Exchange::Osha).unwrap().hours(), 6.06, 2);
        printed(permitted(88.0, Exchange::Niosh).unwrap().hours(), 4.0, 9);
    }

    #[test]
    fn doses() {
        // 29 CFR 1926.52(d)(2) works the first day to 0.938; the second is our own arithmetic.
        let minutes = Duration::from_minutes;
        let of = |day: &[(f64, Duration)]| noise_dose(day, Exchange::Osha).unwrap().value.fraction();
        printed(of(&[(110.0, minutes(15.0)), (100.0, minutes(30.0)), (90.0, minutes(90.0))]), 0.9375, 9);
        printed(of(&[(110.0, minutes(15.0)), (100.0, minutes(30.0)), (90.0, minutes(90.0))]), 0.938, 3);
        printed(of(&[(105.0, minutes(20.0)), (100.0, minutes(60.0)), (90.0, minutes(240.0))]), 1.333, 3);
        assert!(noise_dose(&[], Exchange::Osha).is_err());
        assert!(noise_dose(&[(f64::NAN, minutes(1.0))], Exchange::Osha).is_err());
        assert!(noise_dose(&[(90.0, minutes(-1.0))], Exchange::Osha).is_err());
    }
}

//! Times that are given at temperatures, asked at another.

use super::value::{Above, Curve};
use crate::units::{Duration, Temperature};

/// A time given by temperature, asked at one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Asked {
    /// Between the temperatures that are given, in a straight line between the two next to it.
    Within(Duration),
    /// Colder than the coldest that is given; the time at that one.
    Colder(Duration),
    /// Warmer than the warmest that is given; the time at that one.
    Warmer(Duration),
}

/// Asks a curve at a temperature; none if it has no point.
#[must_use]
pub fn asked(curve: &[Curve<Above<Duration>, Temperature>], at: Temperature) -> Option<Asked> {
    let mut points: Vec<(f64, Duration)> = curve.iter().map(|point| (point.at.deg_c(), point.value.0)).collect();
    points.sort_by(|one, other| one.0.total_cmp(&other.0));
    let (coldest, warmest) = (points.first()?, points.last()?);
    let at = at.deg_c();
    // What two ways of writing one temperature differ by is no difference.
    const SAME: f64 = 1e-9;
    if at < coldest.0 - SAME {
        return Some(Asked::Colder(coldest.1));
    }
    if at > warmest.0 + SAME {
        return Some(Asked::Warmer(warmest.1));
    }
    let (low, high) =
        points.iter().zip(points.iter().skip(1)).find(|(_, high)| at <= high.0).unwrap_or((warmest, warmest));
    let share = if high.0 > low.0 { ((at - low.0) / (high.0 - low.0)).clamp(0.0, 1.0) } else { 0.0 };
    let seconds = low.1.seconds() + (high.1.seconds() - low.1.seconds()) * share;
    Some(Asked::Within(Duration::from_seconds(seconds)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn point(minutes: f64, deg_f: f64) -> Curve<Above<Duration>, Temperature> {
        Curve { value: Above(Duration::from_minutes(minutes)), at: Temperature::from_deg_f(deg_f) }
    }

    #[test]
    fn a_curve_is_asked_between_its_points_and_never_beyond() {
        // Worked by hand: 66 degF is four fifths of the way from 50 to 70, 40 - 0.8 * 25 = 20 min.
        let curve = [point(15.0, 70.0), point(40.0, 50.0)];
        let at = |deg_f: f64| asked(&curve, Temperature::from_deg_f(deg_f));
        let Some(Asked::Within(time)) = at(66.0) else { panic!("{:?}", at(66.0)) };
        assert!((time.minutes() - 20.0).abs() < 1e-9);
        for (deg_f, minutes) in [(70.0, 15.0), (50.0, 40.0)] {
            let Some(Asked::Within(time)) = at(deg_f) else { panic!("{:?}", at(deg_f)) };
            assert!((time.minutes() - minutes).abs() < 1e-9);
        }
        assert_eq!(at(49.0), Some(Asked::Colder(Duration::from_minutes(40.0))));
        assert_eq!(at(71.0), Some(Asked::Warmer(Duration::from_minutes(15.0))));
        assert_eq!(asked(&[], Temperature::from_deg_f(60.0)), None);
        // Points in any order, and a single one.
        assert_eq!(
            asked(&[point(6.0, 70.0)], Temperature::from_deg_f(70.0)),
            Some(Asked::Within(Duration::from_minutes(6.0)))
        );
    }
}

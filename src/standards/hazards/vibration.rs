//! Vibration of hand and arm: ISO 5349-1 and Directive 2002/44/EC. The United States have no limit of law (from memory).

use super::{Part, Unanswered, Worked, some_number};
use crate::units::Duration;

/// The daily action value, in metres per second squared: Directive 2002/44/EC.
pub const ACTION: f64 = 2.5;

/// The daily limit value, in metres per second squared: Directive 2002/44/EC.
pub const LIMIT: f64 = 5.0;

/// A day's vibration.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vibration {
    /// A(8), in metres per second squared.
    pub daily: f64,
    /// In points: 100 at the action value, 400 at the limit.
    pub points: f64,
}

/// The dose of a day, from the vector sum of each tool's acceleration in metres per second squared and how long it is
/// held: squares add up, never the accelerations.
///
/// # Errors
///
/// [`Unanswered`] for no tool at all, and for accelerations and times less than nothing.
pub fn vibration(day: &[(f64, Duration)]) -> Result<Worked<Vibration>, Unanswered> {
    if day.is_empty() {
        return Err(Unanswered::Nothing("a"));
    }
    let mut parts = Vec::with_capacity(day.len());
    let mut points = 0.0;
    for (acceleration, held) in day {
        if !(*acceleration >= 0.0 && acceleration.is_finite()) {
            return Err(Unanswered::Nothing("a"));
        }
        if !(*held >= Duration::ZERO && held.seconds().is_finite()) {
            return Err(Unanswered::Nothing("T"));
        }
        let share = 2.0 * acceleration * acceleration * held.hours();
        points += share;
        parts.push(Part::number("part", share, "points of one tool, 2 * a^2 * T with T in hours"));
    }
    Ok(Worked {
        value: Vibration { daily: (points / 16.0).sqrt(), points },
        formula: "sum of the parts, in points; A(8) is the root of a sixteenth of them",
        source: "ISO 5349-1 and Directive 2002/44/EC",
        parts,
    })
}

/// How long a tool is held until it alone reaches a daily value.
///
/// # Errors
///
/// [`Unanswered`] for no acceleration or value.
pub fn until(acceleration: f64, value: f64) -> Result<Duration, Unanswered> {
    let a = some_number("a", acceleration)?;
    let value = some_number("value", value)?;
    Ok(Duration::from_hours(8.0 * (value / a).powi(2)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::tests::printed;

    #[test]
    fn doses() {
        // Directive 2002/44/EC, daily values and points as a trade body tells them; mixed days by our own arithmetic.
        let hours = Duration::from_hours;
        let of = |day: &[(f64, Duration)]| vibration(day).unwrap().value;
        printed(of(&[(5.0, hours(2.0))]).daily, 2.50, 9);
        printed(of(&[(5.0, hours(8.0))]).daily, 5.00, 9);
        printed(of(&[(2.5, hours(8.0))]).points, 100.0, 9);
        printed(of(&[(5.0, hours(8.0))]).points, 400.0, 9);
        let worked = vibration(&[(15.0, hours(0.5)), (5.0, hours(1.0))]).unwrap();
        printed(worked.value.daily, 4.146, 3);
        printed(worked.value.points, 275.0, 9);
        let Some(crate::ledger::Figure::Number(first)) = worked.part("part") else { panic!() };
        printed(first, 225.0, 9);
        printed(until(15.0, ACTION).unwrap().minutes(), 13.3, 1);
        printed(until(15.0, LIMIT).unwrap().minutes(), 53.3, 1);
        assert!(vibration(&[]).is_err());
        assert!(vibration(&[(-1.0, hours(1.0))]).is_err());
        assert!(until(0.0, LIMIT).is_err());
    }
}

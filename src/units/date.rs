//! Days of the calendar, without a clock or a time zone.

use std::fmt;

/// A day of the Gregorian calendar from 1900 to 9999, written as ISO 8601 has it: `2027-05-03`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date(jiff::civil::Date);

impl Date {
    /// The day of that year, month and day of the month, if there is one.
    #[must_use]
    pub fn new(year: i16, month: i8, day: i8) -> Option<Date> {
        jiff::civil::Date::new(year, month, day).ok().and_then(Date::from_civil)
    }

    /// From a civil date, if it lies in 1900 to 9999.
    #[must_use]
    pub fn from_civil(day: jiff::civil::Date) -> Option<Date> {
        (1900..=9999).contains(&day.year()).then_some(Date(day))
    }

    /// As a civil date.
    #[must_use]
    pub const fn civil(self) -> jiff::civil::Date {
        self.0
    }

    /// The day of the week, 0 for Monday to 6 for Sunday.
    #[must_use]
    pub fn weekday(self) -> usize {
        usize::try_from(self.0.weekday().to_monday_zero_offset()).unwrap_or(0)
    }

    /// So many days later, or earlier for a number below zero; `None` outside 1900 to 9999.
    #[must_use]
    pub fn plus_days(self, days: i64) -> Option<Date> {
        // Longer than the calendar goes, and shorter than what a span may hold.
        if days.unsigned_abs() > 3_000_000 {
            return None;
        }
        self.0.checked_add(jiff::Span::new().try_days(days).ok()?).ok().and_then(Date::from_civil)
    }

    /// The days from this one to another: 1 from today to tomorrow.
    #[must_use]
    pub fn days_until(self, other: Date) -> i64 {
        self.0.duration_until(other.0).as_secs() / 86_400
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.0.year(), self.0.month(), self.0.day())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_days_that_exist() {
        assert!(Date::new(2028, 2, 29).is_some());
        assert!(Date::new(2027, 2, 29).is_none());
        assert!(Date::new(1900, 2, 29).is_none());
        assert!(Date::new(1899, 12, 31).is_none());
        assert!(Date::new(2027, 13, 1).is_none());
        assert_eq!(Date::new(2027, 5, 3).unwrap().to_string(), "2027-05-03");
    }

    #[test]
    fn counts_days() {
        let day = Date::new(2027, 5, 3).unwrap();
        assert_eq!(day.weekday(), 0); // a Monday, by the 400-year rule of the Gregorian calendar
        assert_eq!(day.plus_days(365), Date::new(2028, 5, 2));
        assert_eq!(day.days_until(Date::new(2028, 5, 3).unwrap()), 366);
        assert_eq!(Date::new(9999, 12, 31).unwrap().plus_days(1), None);
        assert_eq!(day.plus_days(i64::MAX), None);
        assert_eq!(day.plus_days(i64::MIN), None);
    }
}

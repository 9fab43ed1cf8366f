//! Numbers, units and strings that cannot be read as they are written, in words.

use super::rules;
use crate::{
    language::{Tok, TokenKind},
    problem::{Problem, Rule},
    source::Span,
    units::{self, Dimension, MisreadKind, Unit},
};

pub(super) fn too_large(span: Span) -> Problem {
    Problem::new(&rules::TOO_LARGE, span, "this is larger than anything that is computed with here")
        .help("check the figures and the unit; lengths go up to 1 km")
}

pub(super) fn unit_twice(tok: &Tok, span: Span, word: &str) -> Problem {
    let problem =
        Problem::new(&rules::UNIT_TWICE, tok.span.to(span), "`{0}` has its unit already; `{1}` is a second one")
            .arg(tok.text)
            .arg(word);
    let same = matches!((tok.text.chars().next_back(), word), (Some('"'), "in") | (Some('\''), "ft"));
    if same {
        problem.help("take `{1}` out").fix(Span { start: tok.span.end, ..span }, "")
    } else {
        problem.help("take one of the two out")
    }
}

/// What follows a string and cannot.
pub(super) fn run_on(string: &Tok, extra: &Tok) -> Problem {
    let problem = Problem::new(&crate::language::rules::STRING_RUN_ON, extra.span, "`{0}` follows a string and cannot")
        .arg(extra.text)
        .here("the string has ended before this");
    let inches = string.text.trim_end_matches('"').ends_with(|last: char| last.is_ascii_digit());
    if inches {
        problem.help("an inch mark inside a string is written `\\\"`")
    } else {
        problem.help("put all the words between the two `\"`, or end the clause with `;` before it")
    }
}

/// `thick = 8"`.
pub(super) fn equals_sign(tok: &Tok) -> Problem {
    Problem::new(&rules::VALUE_EXTRA, tok.span, "`=` does not belong here")
        .help("take it out; a blank is enough")
        .fix(tok.span, "")
}

/// Units as they are spoken, with the way they are written.
const SPOKEN: [(&str, &[&str]); 22] = [
    ("in", &["inch", "inches"]),
    ("ft", &["foot", "feet"]),
    ("yd", &["yard", "yards", "yds"]),
    ("mm", &["millimetre", "millimetres", "millimeter", "millimeters"]),
    ("m", &["metre", "metres", "meter", "meters"]),
    ("ft2", &["sqft", "sf"]),
    ("ft3", &["cuft", "cf"]),
    ("yd3", &["cuyd", "cy"]),
    ("gal", &["gallon", "gallons"]),
    ("qt", &["quart", "quarts"]),
    ("L", &["litre", "litres", "liter", "liters"]),
    ("lb", &["lbs", "pound", "pounds"]),
    ("kg", &["kilo", "kilos", "kgs"]),
    ("s", &["sec", "secs", "second", "seconds"]),
    ("min", &["mins", "minute", "minutes"]),
    ("h", &["hr", "hrs", "hour", "hours"]),
    ("days", &["d"]),
    ("weeks", &["w", "wk", "wks"]),
    ("deg", &["degree", "degrees"]),
    ("degF", &["F"]),
    ("degC", &["C"]),
    ("kph", &["kmh", "km/h"]),
];

/// The unit that is surely meant by a word which is none: one of the dimension wanted, as it is spoken or in other case.
pub(super) fn spoken_unit(word: &str, wanted: Option<Dimension>) -> Option<&'static str> {
    let fits = |unit: &Unit| wanted.is_none_or(|wanted| unit.dimension == wanted);
    let plain = word.to_ascii_lowercase();
    let spoken = SPOKEN.iter().find(|(_, forms)| forms.iter().any(|form| *form == word || *form == plain));
    match spoken {
        Some((meant, _)) => units::unit(meant).filter(|unit| fits(unit)).map(|_| *meant),
        None => units::of_dimension(wanted?).map(|unit| unit.word).find(|known| known.eq_ignore_ascii_case(word)),
    }
}

/// `business days`, `workdays`: where they stand, and how they are written.
pub(super) fn working_days(first: &Tok, next: Option<&Tok>) -> Option<(Span, &'static str)> {
    let plain = first.text.to_ascii_lowercase();
    match plain.as_str() {
        "workday" => return Some((first.span, "working day")),
        "workdays" | "weekdays" => return Some((first.span, "working days")),
        "business" | "work" | "bank" | "banking" | "office" | "week" => {}
        _ => return None,
    }
    let days = next.filter(|next| matches!(next.text, "day" | "days"))?;
    Some((first.span.to(days.span), if days.text == "day" { "working day" } else { "working days" }))
}

/// `fl oz`: a unit whose stroke is left out.
pub(super) fn unit_in_two(first: &Tok, next: Option<&Tok>) -> Option<(Span, &'static str)> {
    let second = next.filter(|next| next.kind == TokenKind::Word)?;
    let unit = units::unit(&format!("{}-{}", first.text, second.text))?;
    Some((first.span.to(second.span), unit.word))
}

/// `12mm` where a length is wanted: the number and the unit belong apart.
pub(super) fn glued(tok: &Tok) -> Option<Problem> {
    let figures = tok.text.find(|letter: char| letter.is_ascii_alphabetic())?;
    let (number, unit) = tok.text.split_at(figures);
    if !number.starts_with(|first: char| first.is_ascii_digit()) {
        return None;
    }
    let problem = Problem::new(&rules::UNIT_GLUED, tok.span, "`{0}` is read as a name, not as a number").arg(tok.text);
    // `1h30min`
    let minutes = unit.find(|letter: char| letter.is_ascii_digit()).and_then(|at| {
        let (hours, rest) = unit.split_at(at);
        let end = rest.find(|letter: char| letter.is_ascii_alphabetic())?;
        let (figures, minutes) = rest.split_at(end);
        in_minutes([number, hours, figures, minutes])
    });
    if let Some(minutes) = minutes {
        return Some(problem.arg(minutes.as_str()).help(MINUTES_HELP).fix(tok.span, minutes));
    }
    let meant = units::unit(unit).map(|known| known.word).or_else(|| spoken_unit(unit, None));
    let apart = format!("{number} {}", meant.unwrap_or(unit));
    Some(if meant.is_some() && units::number(number).is_ok() {
        problem.arg(apart.clone()).help("write a blank before the unit: `{1}`").fix(tok.span, apart)
    } else {
        problem.help("write the number alone, with a blank before its unit")
    })
}

/// What to write for hours and minutes; the time in minutes is the second argument.
pub(super) const MINUTES_HELP: &str = "a time is one number and its unit: write `{1}`";

/// `1 h 30 min` as `90 min`: number, unit, number, unit.
pub(super) fn in_minutes([hours, hour, minutes, minute]: [&str; 4]) -> Option<String> {
    let is = |word: &str, unit: &str| word == unit || spoken_unit(word, None) == Some(unit);
    if !is(hour, "h") || !is(minute, "min") {
        return None;
    }
    let all = hours.parse::<u32>().ok()?.checked_mul(60)?.checked_add(minutes.parse().ok()?)?;
    Some(format!("{all} min"))
}

pub(super) fn misread(tok: &Tok, misread: &units::Misread) -> Problem {
    let rule: &'static Rule = match misread.kind {
        MisreadKind::TooLarge => &rules::TOO_LARGE,
        MisreadKind::NoSuchDate | MisreadKind::DateOrder => &rules::DATE_UNREADABLE,
        _ => &rules::NUMBER_UNREADABLE,
    };
    let start = tok.span.start + u32::try_from(misread.at.start).unwrap_or(0);
    let end = tok.span.start + u32::try_from(misread.at.end).unwrap_or(0);
    let span = if start < end { Span { start, end: end.min(tok.span.end), ..tok.span } } else { tok.span };
    let (headline, help) = match misread.kind {
        MisreadKind::ZeroDenominator => ("`{0}` divides by zero", "write a number from 2 to 64 below the line"),
        MisreadKind::NotOnTape => (
            "`{0}` is not on a tape measure",
            "fractions of an inch have 2, 4, 8, 16, 32 or 64 below the line; or write decimals",
        ),
        MisreadKind::ImproperFraction => ("the fraction in `{0}` is one or more", "write the whole inches before it"),
        MisreadKind::TwelveInches => ("`{0}` has twelve inches or more after the feet", "carry them over to the feet"),
        MisreadKind::NoInchMark => ("the inches in `{0}` have no mark", "end them with `\"`"),
        MisreadKind::BrokenFeet => ("`{0}` has broken feet before its inches", "write whole feet, then inches"),
        MisreadKind::FeetTwice => ("`{0}` has the feet mark twice", "end inches with `\"`"),
        MisreadKind::HyphenBeforeFraction => ("`{0}` can be read in two ways", "write a blank before the fraction"),
        MisreadKind::SignInside => {
            ("`{0}` can be read in two ways", "write a blank on both sides of a minus, or a comma between two values")
        }
        MisreadKind::HyphenInside => ("`{0}` is neither a number nor a date", "write `A to B` for a range"),
        MisreadKind::DashForMinus => ("`{0}` begins with a long dash", "write a plain `-`"),
        MisreadKind::TrailingPoint => {
            ("nothing follows the point in `{0}`", "take the point out, or write its decimals")
        }
        MisreadKind::LeadingPoint => ("nothing stands before the point in `{0}`", "write a 0 before the point"),
        MisreadKind::TwoPoints => ("`{0}` has two points", "write one point, before the decimals"),
        MisreadKind::TooLarge => (
            "`{0}` is larger than anything that is computed with here",
            "check the figures and the unit; lengths go up to 1 km",
        ),
        MisreadKind::NoSuchDate => {
            ("the day `{0}` is not in the calendar", "check month and day; dates run from 1900-01-01 to 9999-12-31")
        }
        MisreadKind::DateOrder => ("`{0}` is not written as a date", "write year-month-day, as in `2027-05-03`"),
        MisreadKind::NoSuchTime => ("`{0}` is not a time of day", "write hours and minutes, as in `16:30`"),
        MisreadKind::NotANumber => ("`{0}` is not a number that can be read", "write it as in `6 1/2\"` or `6.5 in`"),
    };
    let problem = Problem::new(rule, span, headline).arg(tok.text);
    match &misread.instead {
        Some(instead) => problem.arg(instead.as_str()).help("write `{1}`").fix(tok.span, instead.as_str()),
        None if misread.kind == MisreadKind::DateOrder
            && let Some((month_first, day_first)) = units::either_day(tok.text) =>
        {
            let problem = problem.arg(month_first.to_string()).arg(day_first.to_string());
            problem.help("write year-month-day: `{1}` if the month stands first, `{2}` if the day does")
        }
        None => problem.help(help),
    }
}

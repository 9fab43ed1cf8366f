//! Reads one number as it is typed: feet and inches, fractions, percent, dates, clock times.
//!
//! A text has one reading or none. What could be meant in two ways is refused, and where only one writing can have
//! been meant it is offered.

mod tape;
#[cfg(test)]
mod tests;

use std::ops::Range;

use super::marks::{Mark, Piece, pieces};
use super::{DIGITS_AT_MOST, Date, Exact, Length};
use tape::mixed;

/// What a number's text says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reading {
    /// The value, its sign in it.
    pub what: What,
    /// Whether a sign was written, as in `-0`.
    pub signed: bool,
    /// The number below the line of the fraction, if one was written: with an inch word behind the number it has to be
    /// one that is [`on_a_tape`].
    pub denominator: Option<i128>,
}

/// The kinds of value a number's text can have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// A number without a mark; a unit may follow it.
    Plain(Exact),
    /// A length in feet and inches, in nanometres.
    Length(Exact),
    /// A percentage as a plain number: 8% is 2/25.
    Percent(Exact),
    /// A day.
    Date(Date),
    /// A time of day, in minutes after midnight: 0 to 1440.
    Clock(u16),
}

/// Why a text is not a number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misread {
    /// What is the matter.
    pub kind: MisreadKind,
    /// The bytes of the text it is about.
    pub at: Range<usize>,
    /// What to write in place of the whole text, where only one thing can have been meant.
    pub instead: Option<String>,
}

/// What can be the matter with a number's text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MisreadKind {
    /// A fraction over zero.
    ZeroDenominator,
    /// A fraction of an inch that no tape shows: the number below the line is not 2, 4, 8, 16, 32 or 64.
    NotOnTape,
    /// A fraction of one or more: `6 9/8"`, `9/8"`.
    ImproperFraction,
    /// Twelve inches or more after feet: `5'-14"`.
    TwelveInches,
    /// Inches without their mark after feet: `5'-6`.
    NoInchMark,
    /// Feet with a fraction or decimals, and inches behind: `5.5'-3"`.
    BrokenFeet,
    /// The feet mark twice: `5'-6'`.
    FeetTwice,
    /// A hyphen before a fraction, where a blank is wanted: `5-1/2"`.
    HyphenBeforeFraction,
    /// A sign inside a number, which could also be a subtraction: `6 -1/2"`.
    SignInside,
    /// A hyphen between two numbers without marks: `5-6`.
    HyphenInside,
    /// A long dash where a minus sign is wanted.
    DashForMinus,
    /// A point with no digits after it.
    TrailingPoint,
    /// A point with no digits before it.
    LeadingPoint,
    /// More than one decimal point.
    TwoPoints,
    /// More digits than are read, or a length beyond a kilometre.
    TooLarge,
    /// A day the calendar does not have, or one outside 1900 to 9999.
    NoSuchDate,
    /// A date not written year, month, day with hyphens and all its digits.
    DateOrder,
    /// A time of day the clock does not have.
    NoSuchTime,
    /// Anything else that is not a number.
    NotANumber,
}

/// Whether a fraction of an inch with this number below the line is on a tape: 2 to 64 by doubling.
#[must_use]
pub const fn on_a_tape(denominator: i128) -> bool {
    matches!(denominator, 2 | 4 | 8 | 16 | 32 | 64)
}

/// Reads the text of one number, without the unit word behind it.
///
/// # Errors
/// A [`Misread`] that tells what is the matter with the text.
pub fn number(text: &str) -> Result<Reading, Misread> {
    short(text).map_or_else(|| read(text, true), Ok)
}

/// The two days a text may mean where both its first numbers can be a month: month first, then day first.
#[must_use]
pub fn either_day(text: &str) -> Option<(Date, Date)> {
    let numbers: Vec<i16> = text.split(['/', '-', '.']).map(|number| number.parse().ok()).collect::<Option<_>>()?;
    let [one, other, year] = numbers[..] else { return None };
    let day = |month: i16, day: i16| Date::new(year, i8::try_from(month).ok()?, i8::try_from(day).ok()?);
    day(one, other).zip(day(other, one)).filter(|(first, second)| first != second)
}

/// The reading of whole digits with no mark or one behind them, as most numbers are; nothing for any other text. It says what
/// reading piece by piece says, in a tenth of the work.
fn short(text: &str) -> Option<Reading> {
    let (signed, body) = text.strip_prefix('-').map_or((false, text), |body| (true, body));
    let length = body.bytes().take_while(u8::is_ascii_digit).count();
    if !(1..=DIGITS_AT_MOST).contains(&length) {
        return None;
    }
    let (digits, mark) = body.split_at_checked(length)?;
    let number: i64 = digits.parse().ok()?;
    let number = if signed { -number } else { number };
    let length = |unit: i64| number.checked_mul(unit).filter(|nm| nm.abs() <= Length::LIMIT.nm()).map(Exact::from);
    let what = match mark {
        "" => What::Plain(Exact::from(number)),
        "%" => What::Percent(Exact::new(i128::from(number), 100)?),
        "\"" => What::Length(length(Length::INCH.nm())?),
        "'" => What::Length(length(12 * Length::INCH.nm())?),
        _ => return None,
    };
    Some(Reading { what, signed, denominator: None })
}

/// Reads a text; `offers` says whether a misread looks for what to write instead, which is a reading of its own.
fn read(text: &str, offers: bool) -> Result<Reading, Misread> {
    let pieces = pieces(text).map_err(|at| Misread { kind: MisreadKind::NotANumber, at, instead: None })?;
    let (signed, body) = match pieces.as_slice() {
        [first, rest @ ..] if matches!(first.mark, Mark::Hyphen | Mark::Minus | Mark::Dash) => (true, rest),
        all => (false, all),
    };
    let reader = Reader { text, signed, offers, pieces: body };
    match pieces.first() {
        Some(first) if first.mark == Mark::Dash => {
            let instead = reader.offer(reader.rest_from(0).to_owned());
            reader.misread(MisreadKind::DashForMinus, first.at.clone(), instead)
        }
        _ => reader.date_or_clock().unwrap_or_else(|| reader.measure()),
    }
}

/// A number without a mark, as it was written: whole or decimal digits, a fraction, or a whole number and a fraction.
struct Written {
    /// The digits before the fraction, with their decimals; zero where there are none.
    base: Exact,
    base_at: Range<usize>,
    decimals: bool,
    fraction: Option<Fraction>,
}

struct Fraction {
    over: i128,
    under: i128,
    at: Range<usize>,
}

impl Written {
    fn at(&self) -> Range<usize> {
        self.base_at.start..self.fraction.as_ref().map_or(self.base_at.end, |f| f.at.end)
    }

    fn value(&self) -> Option<Exact> {
        match &self.fraction {
            Some(f) => self.base.plus(Exact::new(f.over, f.under)?),
            None => Some(self.base),
        }
    }
}

struct Reader<'a> {
    text: &'a str,
    signed: bool,
    offers: bool,
    pieces: &'a [Piece],
}

impl<'a> Reader<'a> {
    fn mark(&self, i: usize) -> Option<Mark> {
        self.pieces.get(i).map(|p| p.mark)
    }

    fn text_at(&self, i: usize) -> &'a str {
        self.pieces.get(i).and_then(|p| self.text.get(p.at.clone())).unwrap_or("")
    }

    /// The bytes of the piece, or the end of the text.
    fn place(&self, i: usize) -> Range<usize> {
        self.pieces.get(i).map_or(self.text.len()..self.text.len(), |p| p.at.clone())
    }

    fn misread<T>(&self, kind: MisreadKind, at: Range<usize>, instead: Option<String>) -> Result<T, Misread> {
        let minus = if self.signed { "-" } else { "" };
        Err(Misread { kind, at, instead: instead.map(|body| format!("{minus}{body}")) })
    }

    /// A text to write instead, its sign left off, if it can be read.
    fn offer(&self, written: String) -> Option<String> {
        (self.offers && read(&written, false).is_ok_and(|reading| !reading.signed)).then_some(written)
    }

    fn reading(
        &self,
        what: impl Fn(Exact) -> What,
        value: Option<Exact>,
        denominator: Option<i128>,
    ) -> Result<Reading, Misread> {
        let value = if self.signed { value.and_then(Exact::negated) } else { value };
        match value {
            Some(value) => Ok(Reading { what: what(value), signed: self.signed, denominator }),
            None => self.misread(MisreadKind::TooLarge, 0..self.text.len(), None),
        }
    }

    /// What the digits at piece `i` say, if there are any and not too many.
    fn digits(&self, i: usize) -> Result<i128, Misread> {
        let digits = self.text_at(i);
        if digits.len() > DIGITS_AT_MOST {
            return self.misread(MisreadKind::TooLarge, self.place(i), None);
        }
        match digits.parse() {
            Ok(n) if self.mark(i) == Some(Mark::Digits) => Ok(n),
            _ => self.misread(MisreadKind::NotANumber, self.place(i), None),
        }
    }

    /// Three groups of digits are a date, two with a colon a time of day; anything else is not for this.
    fn date_or_clock(&self) -> Option<Result<Reading, Misread>> {
        use Mark::{Colon, Dash, Digits, Hyphen, Minus, Point, Slash};
        let whole = 0..self.text.len();
        match *self.pieces {
            [
                Piece { mark: Digits, .. },
                Piece { mark: a, .. },
                Piece { mark: Digits, .. },
                Piece { mark: b, .. },
                Piece { mark: Digits, .. },
            ] if a == b && (matches!(a, Hyphen | Dash | Minus | Slash) || a == Point && self.has_year()) => {
                Some(self.date(a == Hyphen))
            }
            _ if self.pieces.iter().any(|p| p.mark == Colon) => Some(match *self.pieces {
                [Piece { mark: Digits, .. }, Piece { mark: Colon, .. }, Piece { mark: Digits, .. }]
                    if !self.signed && self.text_at(0).len() <= 2 && self.text_at(2).len() == 2 =>
                {
                    self.clock()
                }
                _ => self.misread(MisreadKind::NoSuchTime, whole, None),
            }),
            _ => None,
        }
    }

    /// Three groups of digits with points between are a day only where one end is a year.
    fn has_year(&self) -> bool {
        [0, 4].into_iter().any(|i| self.text_at(i).len() == 4)
    }

    fn clock(&self) -> Result<Reading, Misread> {
        let (hour, minute) = (self.digits(0)?, self.digits(2)?);
        match u16::try_from(60 * hour + minute) {
            Ok(minutes) if minute < 60 && minutes <= 1440 => {
                Ok(Reading { what: What::Clock(minutes), signed: false, denominator: None })
            }
            _ => self.misread(MisreadKind::NoSuchTime, 0..self.text.len(), None),
        }
    }

    fn date(&self, hyphens: bool) -> Result<Reading, Misread> {
        let whole = 0..self.text.len();
        let (a, b, c) = (self.digits(0)?, self.digits(2)?, self.digits(4)?);
        let day =
            |y: i128, m: i128, d: i128| Date::new(i16::try_from(y).ok()?, i8::try_from(m).ok()?, i8::try_from(d).ok()?);
        let lengths = (self.text_at(0).len(), self.text_at(2).len(), self.text_at(4).len());
        if hyphens && lengths == (4, 2, 2) && !self.signed {
            return match day(a, b, c) {
                Some(date) => Ok(Reading { what: What::Date(date), signed: false, denominator: None }),
                None => self.misread(MisreadKind::NoSuchDate, whole, None),
            };
        }
        // Month first and day first are both in use: only where one of them is no day is the other offered.
        let meant = match lengths {
            (4, ..) => day(a, b, c),
            (_, _, 4) => match (day(c, a, b), day(c, b, a)) {
                (Some(one), Some(other)) if one != other => None,
                (one, other) => one.or(other),
            },
            _ => None,
        };
        let instead = meant.filter(|_| !self.signed).map(|date| date.to_string());
        self.misread(MisreadKind::DateOrder, whole, instead)
    }

    fn measure(&self) -> Result<Reading, Misread> {
        let (first, next) = self.amount(0)?;
        match self.mark(next) {
            None => self.plain(&first),
            Some(Mark::Percent) => self.percent(&first, next),
            Some(Mark::Inch) => self.inches(None, &first, next),
            Some(Mark::Feet) => self.feet(&first, next),
            Some(Mark::Blank) if self.mark(next + 1) == Some(Mark::Percent) => self.percent(&first, next + 1),
            Some(Mark::Point) => self.misread(MisreadKind::TwoPoints, self.place(next), None),
            Some(_) => self.stray(&first, next),
        }
    }

    /// The number from piece `i` on, and the piece after it.
    fn amount(&self, i: usize) -> Result<(Written, usize), Misread> {
        let start = self.place(i).start;
        match self.mark(i) {
            at if matches!(at, Some(Mark::Glyph(..))) || self.mark(i + 1) == Some(Mark::Slash) => {
                let (fraction, next) = self.fraction(i)?;
                let base_at = start..start;
                return Ok((Written { base: Exact::ZERO, base_at, decimals: false, fraction: Some(fraction) }, next));
            }
            Some(Mark::Digits) => {}
            Some(Mark::Point) if self.mark(i + 1) == Some(Mark::Digits) => {
                let instead = self.offer(format!("{}0{}", self.before(i), self.rest_from(i)));
                return self.misread(MisreadKind::LeadingPoint, self.place(i), instead);
            }
            _ => return self.misread(MisreadKind::NotANumber, self.place(i), None),
        }
        let mut base = Exact::whole(self.digits(i)?);
        let (mut next, mut end, mut decimals) = (i + 1, self.place(i).end, false);
        if self.mark(next) == Some(Mark::Point) {
            if self.mark(next + 1) != Some(Mark::Digits) {
                return self.trailing_point(next);
            }
            end = self.place(next + 1).end;
            match self.text.get(start..end).and_then(Exact::from_text) {
                Some(value) => base = value,
                None => return self.misread(MisreadKind::TooLarge, start..end, None),
            }
            (next, decimals) = (next + 2, true);
        }
        let fraction_at = match (self.mark(next), self.mark(next + 1), self.mark(next + 2)) {
            _ if decimals => None,
            (Some(Mark::Glyph(..)), ..) => Some(next),
            (Some(Mark::Blank), Some(Mark::Glyph(..)), _) => Some(next + 1),
            (Some(Mark::Blank), Some(Mark::Digits), Some(Mark::Slash)) => Some(next + 1),
            _ => None,
        };
        let fraction = match fraction_at {
            Some(at) => {
                let (fraction, after) = self.fraction(at)?;
                next = after;
                Some(fraction)
            }
            None => None,
        };
        Ok((Written { base, base_at: start..end, decimals, fraction }, next))
    }

    /// The glyph or the digits over digits at piece `i`, and the piece after them.
    fn fraction(&self, i: usize) -> Result<(Fraction, usize), Misread> {
        if let Some(Mark::Glyph(over, under)) = self.mark(i) {
            return Ok((Fraction { over: over.into(), under: under.into(), at: self.place(i) }, i + 1));
        }
        let fraction = Fraction {
            over: self.digits(i)?,
            under: self.digits(i + 2)?,
            at: self.place(i).start..self.place(i + 2).end,
        };
        if fraction.under == 0 {
            return self.misread(MisreadKind::ZeroDenominator, self.place(i + 2), None);
        }
        Ok((fraction, i + 3))
    }

    /// The text between the sign and piece `i`.
    fn before(&self, i: usize) -> &'a str {
        self.text.get(self.place(0).start..self.place(i).start).unwrap_or("")
    }

    fn rest_from(&self, i: usize) -> &'a str {
        self.text.get(self.place(i).start..).unwrap_or("")
    }

    fn trailing_point<T>(&self, point: usize) -> Result<T, Misread> {
        let instead = self.offer(format!("{}{}", self.before(point), self.rest_from(point + 1)));
        self.misread(MisreadKind::TrailingPoint, self.place(point), instead)
    }

    fn plain(&self, amount: &Written) -> Result<Reading, Misread> {
        self.proper(amount, "")?;
        self.reading(What::Plain, amount.value(), amount.fraction.as_ref().map(|f| f.under))
    }

    fn percent(&self, amount: &Written, mark: usize) -> Result<Reading, Misread> {
        self.ends_after(mark)?;
        self.proper(amount, "%")?;
        let value = amount.value().and_then(|v| v.over(Exact::whole(100)));
        self.reading(What::Percent, value, amount.fraction.as_ref().map(|f| f.under))
    }

    fn ends_after(&self, i: usize) -> Result<(), Misread> {
        match self.pieces.get(i + 1) {
            None => Ok(()),
            Some(more) => self.misread(MisreadKind::NotANumber, more.at.start..self.text.len(), None),
        }
    }

    /// Refuses a fraction of one or more behind a whole number.
    fn proper(&self, amount: &Written, ending: &str) -> Result<(), Misread> {
        match &amount.fraction {
            Some(f) if f.over >= f.under && !amount.base_at.is_empty() => {
                let instead = amount.value().map(|v| format!("{}{ending}", mixed(v)));
                self.misread(MisreadKind::ImproperFraction, f.at.clone(), instead)
            }
            _ => Ok(()),
        }
    }

    /// Something behind a number that does not belong there; `at` is its first piece.
    fn stray(&self, before: &Written, at: usize) -> Result<Reading, Misread> {
        use Mark::{Blank, Dash, Digits, Glyph, Hyphen, Minus, Slash};
        let fraction_at = |i: usize| {
            matches!(self.mark(i), Some(Glyph(..)))
                || (self.mark(i) == Some(Digits) && self.mark(i + 1) == Some(Slash) && self.mark(i + 2) == Some(Digits))
        };
        let plain = !before.decimals && before.fraction.is_none();
        match (self.mark(at), self.mark(at + 1)) {
            (Some(Hyphen | Dash), _) if plain && fraction_at(at + 1) => {
                let instead = self.offer(format!("{} {}", self.before(at), self.rest_from(at + 1)));
                self.misread(MisreadKind::HyphenBeforeFraction, self.place(at), instead)
            }
            (Some(Blank), Some(Hyphen | Dash | Minus)) => {
                self.misread(MisreadKind::SignInside, self.place(at + 1), None)
            }
            (Some(Minus), _) => self.misread(MisreadKind::SignInside, self.place(at), None),
            (Some(Hyphen | Dash), Some(Digits)) => self.misread(MisreadKind::HyphenInside, self.place(at), None),
            _ => self.misread(MisreadKind::NotANumber, self.place(at).start..self.text.len(), None),
        }
    }
}

//! Feet and inches, as a tape shows them and the trade writes them.

use std::ops::Range;

use super::{Mark, Misread, MisreadKind, Reader, Reading, What, Written, on_a_tape};
use crate::units::{Exact, Length};

impl Reader<'_> {
    /// Inches, alone or behind whole feet; `mark` is the inch mark's piece.
    pub(super) fn inches(&self, feet: Option<i128>, amount: &Written, mark: usize) -> Result<Reading, Misread> {
        self.ends_after(mark)?;
        let value = amount.value();
        if let Some(f) = &amount.fraction
            && (f.over >= f.under || !on_a_tape(f.under))
        {
            let instead = value.and_then(|inches| match feet {
                Some(feet) => feet_and_inches(feet, inches),
                None => Some(format!("{}\"", mixed(inches))),
            });
            let kind = if f.over >= f.under { MisreadKind::ImproperFraction } else { MisreadKind::NotOnTape };
            return self.misread(kind, f.at.clone(), instead.and_then(|written| self.offer(written)));
        }
        if let (Some(feet), Some(inches)) = (feet, value)
            && inches >= Exact::whole(12)
        {
            let instead = self.carried(feet, amount).and_then(|written| self.offer(written));
            return self.misread(MisreadKind::TwelveInches, amount.at(), instead);
        }
        let feet = Exact::whole(feet.unwrap_or(0)).times(Exact::whole(12));
        self.length(feet.and_then(|f| f.plus(value?)), amount)
    }

    /// Feet and inches written anew where the inches are twelve or more, decimals kept as decimals.
    fn carried(&self, feet: i128, amount: &Written) -> Option<String> {
        if !amount.decimals {
            return feet_and_inches(feet, amount.value()?);
        }
        let whole = amount.base.numerator() / amount.base.denominator();
        let (_, decimals) = self.text.get(amount.base_at.clone())?.split_once('.')?;
        Some(format!("{}'-{}.{decimals}\"", feet + whole / 12, whole % 12))
    }

    /// A length in inches as a reading in nanometres.
    fn length(&self, inches: Option<Exact>, amount: &Written) -> Result<Reading, Misread> {
        let nm = inches.and_then(|v| v.times(Exact::from(Length::INCH.nm())));
        if nm.is_some_and(|v| v > Exact::from(Length::LIMIT.nm())) {
            return self.misread(MisreadKind::TooLarge, 0..self.text.len(), None);
        }
        self.reading(What::Length, nm, amount.fraction.as_ref().map(|f| f.under))
    }

    /// Feet, and whatever stands behind their mark.
    pub(super) fn feet(&self, feet: &Written, mark: usize) -> Result<Reading, Misread> {
        use Mark::{Blank, Dash, Digits, Glyph, Hyphen, Inch, Minus, Percent};
        let Some(after) = self.mark(mark + 1) else {
            self.proper(feet, "'")?;
            return self.length(feet.value().and_then(|v| v.times(Exact::whole(12))), feet);
        };
        let start = match (after, self.mark(mark + 2)) {
            (Digits | Glyph(..) | Mark::Point, _) => mark + 1,
            (Hyphen | Dash | Blank, Some(Digits | Glyph(..) | Mark::Point)) => mark + 2,
            (Minus, _) | (Blank, Some(Hyphen | Dash | Minus)) => {
                return self.misread(MisreadKind::SignInside, self.place(mark + 1), None);
            }
            _ => return self.misread(MisreadKind::NotANumber, self.place(mark + 1), None),
        };
        let (inches, next) = self.amount(start)?;
        if feet.decimals || feet.fraction.is_some() {
            return self.misread(MisreadKind::BrokenFeet, feet.at(), None);
        }
        let whole_feet = feet.base.numerator();
        match self.mark(next) {
            Some(Inch) => self.inches(Some(whole_feet), &inches, next),
            None => self.unmarked(whole_feet, &inches, MisreadKind::NoInchMark, inches.at()),
            Some(Mark::Feet) if self.mark(next + 1).is_none() => {
                self.unmarked(whole_feet, &inches, MisreadKind::FeetTwice, self.place(next))
            }
            Some(Percent) => self.misread(MisreadKind::NotANumber, self.place(next), None),
            Some(Mark::Point) => self.misread(MisreadKind::TwoPoints, self.place(next), None),
            Some(_) => self.stray(&inches, next),
        }
    }

    /// Inches behind feet whose mark is missing or wrong; offered with their mark where that can be read.
    fn unmarked(&self, feet: i128, inches: &Written, kind: MisreadKind, at: Range<usize>) -> Result<Reading, Misread> {
        let written = self.text.get(inches.at()).map(|inches| format!("{feet}'-{inches}\""));
        self.misread(kind, at, written.and_then(|written| self.offer(written)))
    }
}

/// A number of zero or more as a whole number and a proper fraction: `7 1/8`, `1/2`, `3`.
pub(super) fn mixed(value: Exact) -> String {
    let (whole, over, under) =
        (value.numerator() / value.denominator(), value.numerator() % value.denominator(), value.denominator());
    match (whole, over) {
        (_, 0) => whole.to_string(),
        (0, _) => format!("{over}/{under}"),
        _ => format!("{whole} {over}/{under}"),
    }
}

/// Feet and inches with whole feet carried over; the inches are written even where they are none: `6'-0 1/8"`.
fn feet_and_inches(feet: i128, inches: Exact) -> Option<String> {
    let carried = inches.numerator() / inches.denominator() / 12;
    let left = inches.minus(Exact::whole(12 * carried))?;
    let none = if left < Exact::ONE && !left.is_zero() { "0 " } else { "" };
    Some(format!("{}'-{none}{}\"", feet + carried, mixed(left)))
}

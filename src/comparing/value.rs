//! What two versions are compared by: typed, and shown by whoever prints it.

use crate::{
    ledger::Figure,
    steel::Shape,
    units::{Area, Date, Duration, Length, Mass, Money, Ratio, Volume},
};

/// One value of a thing.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// So many.
    Count(u64),
    /// A length in full.
    Length(Length),
    /// A set-out place or level.
    Place(Length),
    /// A length of steel, which papers round up to what it is cut to.
    Cut(Length),
    /// An area.
    Area(Area),
    /// A volume of concrete.
    Volume(Volume),
    /// A volume of resin.
    Fluid(Volume),
    /// A weight.
    Mass(Mass),
    /// How long something lasts.
    Time(Duration),
    /// A part of a whole.
    Ratio(Ratio),
    /// Money.
    Money(Money),
    /// A day, and the second of it.
    When(Date, i64),
    /// Words of the file, or a name in it.
    Text(String),
    /// Pieces of steel: how many of which shape.
    Shapes(Vec<(u64, Shape)>),
    /// Packs by their length: how long, how many; longest first.
    Lengths(Vec<(Length, u64)>),
}

/// How far two values lie apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Apart {
    /// So many more.
    Count(i64),
    /// So much more.
    More(Figure),
    /// So much less.
    Less(Figure),
    /// So much more money, or less.
    Money(Money),
    /// So many seconds later, or earlier for a number below zero.
    Later(i64),
}

/// What floating sums of one job may differ by in two orders of adding.
const DUST: f64 = 1e-9;

fn alike(one: f64, other: f64) -> bool {
    (one - other).abs() <= DUST * one.abs().max(other.abs()).max(1.0)
}

impl Value {
    /// Whether two values are the same on site.
    #[must_use]
    pub fn same(&self, other: &Value) -> bool {
        match (self, other) {
            (Value::Mass(one), Value::Mass(other)) => alike(one.kg(), other.kg()),
            (Value::Time(one), Value::Time(other)) => alike(one.seconds(), other.seconds()),
            (Value::Ratio(one), Value::Ratio(other)) => alike(one.fraction(), other.fraction()),
            // How many of one shape there are is told by the count.
            (Value::Shapes(one), Value::Shapes(other)) => match (one.as_slice(), other.as_slice()) {
                ([(_, one)], [(_, other)]) => one == other,
                (one, other) => one == other,
            },
            _ => self == other,
        }
    }

    /// How far on `after` is; nothing where that is no number.
    #[must_use]
    pub fn apart(&self, after: &Value) -> Option<Apart> {
        let less = |less: bool, figure| if less { Apart::Less(figure) } else { Apart::More(figure) };
        let length = |one: Length, other: Length, figure: fn(Length) -> Figure| {
            let (low, high) = (one.min(other), one.max(other));
            less(other < one, figure(high - low))
        };
        Some(match (self, after) {
            (Value::Count(one), Value::Count(other)) => {
                let by = i64::try_from(one.abs_diff(*other)).unwrap_or(i64::MAX);
                Apart::Count(if other < one { -by } else { by })
            }
            (Value::Length(one), Value::Length(other)) | (Value::Place(one), Value::Place(other)) => {
                length(*one, *other, Figure::Length)
            }
            (Value::Cut(one), Value::Cut(other)) => length(*one, *other, Figure::Cut),
            (Value::Area(one), Value::Area(other)) => {
                less(other < one, Figure::Area((*one).max(*other) - (*one).min(*other)))
            }
            (Value::Volume(one), Value::Volume(other)) => {
                less(other < one, Figure::Volume((*one).max(*other) - (*one).min(*other)))
            }
            (Value::Fluid(one), Value::Fluid(other)) => {
                less(other < one, Figure::Fluid((*one).max(*other) - (*one).min(*other)))
            }
            (Value::Mass(one), Value::Mass(other)) => {
                less(other.kg() < one.kg(), Figure::Mass(Mass::from_kg((one.kg() - other.kg()).abs())))
            }
            (Value::Time(one), Value::Time(other)) => {
                let by = Duration::from_seconds((one.seconds() - other.seconds()).abs());
                less(other.seconds() < one.seconds(), Figure::Duration(by))
            }
            (Value::Money(one), Value::Money(other)) => {
                Apart::Money(other.plus(Money { amount: one.amount.negated()?, ..*one })?)
            }
            (Value::When(one, from), Value::When(other, to)) => {
                Apart::Later(one.days_until(*other) * crate::scheduling::DAY + to - from)
            }
            _ => return None,
        })
    }
}

//! What was read, and how the typed structs of the kinds take it.

use super::kinds::Section;
use super::shape::{Need, Shape, Sign};
use super::words::Direction;
use crate::{
    source::Span,
    units::{
        Acceleration, Amount, Angle, Area, Date, Dimension, Duration, Exact, Force, Length, Mass, Money, Quantity,
        Ratio, Sound, Speed, Stress, Temperature, Volume, WorkingDays,
    },
};

/// A named block, by number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BlockId(pub u32);

/// A value and the place it was typed at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Said<T> {
    /// The value.
    pub value: T,
    /// Where it was typed.
    pub span: Span,
}

impl<T> Said<T> {
    /// The same place with another value.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Said<U> {
        Said { value: change(self.value), span: self.span }
    }
}

/// The values of each field of a block or clause, in the order of its table.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Parts(Vec<(u8, Said<Value>)>);

impl Parts {
    /// None yet, with room for so many.
    #[must_use]
    pub fn with_capacity(count: usize) -> Parts {
        Parts(Vec::with_capacity(count))
    }

    /// Adds a value of a field, by the field's number in its table.
    pub fn add(&mut self, field: usize, value: Said<Value>) {
        self.0.push((u8::try_from(field).unwrap_or(u8::MAX), value));
    }

    /// The fields written and where their values stand, by the fields' numbers; values of one field as they are written.
    pub fn places(&self) -> impl Iterator<Item = (u8, Span)> {
        self.0.iter().map(|(field, value)| (*field, value.span))
    }

    /// For taking the values of one field after another, in the order of the table.
    #[must_use]
    pub fn in_order(mut self) -> InOrder {
        // Stable: values of one field stay as they are written.
        self.0.sort_by_key(|(field, _)| *field);
        InOrder { left: self.0.into_iter().peekable(), field: 0 }
    }
}

/// The values of a block or clause, one field after another.
#[derive(Debug)]
pub struct InOrder {
    left: std::iter::Peekable<std::vec::IntoIter<(u8, Said<Value>)>>,
    field: u8,
}

impl InOrder {
    /// Takes the values of the next field.
    pub fn slot<S: Slot>(&mut self) -> Option<S> {
        let field = self.field;
        self.field += 1;
        S::slot(std::iter::from_fn(|| self.left.next_if(|(of, _)| *of == field).map(|(_, value)| value)))
    }
}

/// What was read, before a typed struct takes it.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs)]
pub enum Value {
    Quantity(Quantity),
    Count(i64),
    Date(Date),
    Text(String),
    Word(String),
    Flag,
    Choice(usize),
    Block(BlockId),
    Leg(LegRef),
    Many(Vec<Said<Value>>),
    Stretch(Stretch),
    Spots(Spots),
    Target(Target),
    Spacing(Spacing),
    Walk(Walk),
    Work(Work),
    Hole(HoleRef),
    Parts(Parts),
}

/// A leg of a wall or line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LegRef {
    /// The wall or line.
    pub wall: BlockId,
    /// Which leg, in the order they are written.
    pub leg: u16,
}

/// One piece of a stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StretchPart {
    /// All of a section, wall or line.
    All(BlockId),
    /// From a station on one leg to a station on the same or a later one; none means the leg's end.
    Legs {
        /// Where it begins.
        from: LegRef,
        /// The station it begins at.
        start: Option<Length>,
        /// Where it ends.
        to: LegRef,
        /// The station it ends at.
        end: Option<Length>,
    },
}

impl StretchPart {
    /// Whether it names this leg, or all of its wall.
    #[must_use]
    pub fn names(&self, leg: LegRef) -> bool {
        match *self {
            StretchPart::All(block) => block == leg.wall,
            StretchPart::Legs { from, to, .. } => from.wall == leg.wall && (from.leg..=to.leg).contains(&leg.leg),
        }
    }

    /// Whether there is a leg that both name.
    #[must_use]
    pub fn meets(&self, other: &StretchPart) -> bool {
        match (*self, *other) {
            (StretchPart::All(one), StretchPart::All(other)) => one == other,
            (StretchPart::All(wall), StretchPart::Legs { from, .. })
            | (StretchPart::Legs { from, .. }, StretchPart::All(wall)) => from.wall == wall,
            (StretchPart::Legs { from, to, .. }, other) => {
                let last = LegRef { leg: to.leg, ..from };
                other.names(from)
                    || other.names(last)
                    || matches!(other, StretchPart::Legs { from: first, .. } if self.names(first))
            }
        }
    }
}

/// Where something runs.
#[derive(Debug, Clone, PartialEq)]
pub struct Stretch(pub Vec<Said<StretchPart>>);

/// Places on one leg.
#[derive(Debug, Clone, PartialEq)]
pub struct Spot {
    /// The leg.
    pub leg: LegRef,
    /// The stations on it.
    pub at: Vec<Said<Length>>,
}

/// Places on legs.
#[derive(Debug, Clone, PartialEq)]
pub struct Spots(pub Vec<Said<Spot>>);

/// What holes are drilled into: a wall's face, one leg of it, a slab, or the top of something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Target {
    /// The wall, line, slab, footing or section.
    pub block: BlockId,
    /// One leg of it.
    pub leg: Option<u16>,
    /// Into its top, downwards.
    pub top: bool,
}

/// The level of a row of long bars.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RowLevel {
    /// This level.
    At(Length),
    /// So much above the section's own top (below it, if less than nothing).
    Top(Length),
    /// So much above the section's own bottom.
    Bottom(Length),
}

impl RowLevel {
    /// The words a level may be measured from, in the order of their numbers.
    pub const FROM: [&'static str; 2] = ["top", "bottom"];
}

impl Take for RowLevel {
    const SHAPE: Shape = Shape::RowLevel;
    fn take(said: Said<Value>) -> Option<Self> {
        let Value::Many(values) = said.value else { return Length::take(said).map(RowLevel::At) };
        let mut values = values.into_iter();
        let Value::Choice(from) = values.next()?.value else { return None };
        let by = Length::take(values.next()?)?;
        Some(if from == 0 { RowLevel::Top(by) } else { RowLevel::Bottom(by) })
    }
}

/// A hook at the end of a bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hook {
    /// How far it turns.
    pub turn: Angle,
    /// Which way, where that is said.
    pub way: Option<Direction>,
}

impl Take for Hook {
    const SHAPE: Shape = Shape::Hook;
    fn take(said: Said<Value>) -> Option<Self> {
        let Value::Many(values) = said.value else { return None };
        let mut values = values.into_iter();
        let turn = Angle::take(values.next()?)?;
        let way = match values.next() {
            Some(way) => Some(Direction::take(way)?),
            None => None,
        };
        Some(Hook { turn, way })
    }
}

/// A strength: as such, or as a part of that at 28 days.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Strong {
    /// So much.
    At(Stress),
    /// So much of what it has at 28 days.
    Part(Ratio),
}

impl Take for Strong {
    const SHAPE: Shape = Shape::Strength;
    fn take(said: Said<Value>) -> Option<Self> {
        let Value::Quantity(quantity) = said.value else { return None };
        quantity.stress().map(Strong::At).or_else(|| quantity.ratio().map(Strong::Part))
    }
}

/// How long ahead somebody is told, or how long an answer takes: as time runs, or in days that offices work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ahead {
    /// Nights and weekends count.
    Time(Duration),
    /// Monday to Friday alone count.
    Working(WorkingDays),
}

impl Take for Ahead {
    const SHAPE: Shape = Shape::Ahead;
    fn take(said: Said<Value>) -> Option<Self> {
        let Value::Quantity(quantity) = said.value else { return None };
        quantity.duration().map(Ahead::Time).or_else(|| quantity.working_days().map(Ahead::Working))
    }
}

impl Section {
    /// From where to where it stands out of the old face; where its legs differ in thickness, by the thickness that `of` picks
    /// of two. Nothing where it says neither offset nor thickness.
    #[must_use]
    pub fn outs(&self, of: fn(Length, Length) -> Length) -> Option<(Length, Length)> {
        match (&self.offset, &self.thick) {
            (Some(offset), _) => Some((offset.value.from, offset.value.to)),
            (None, Some(thick)) => {
                let others = thick.value.on.0.iter().map(|on| on.value.0);
                Some((Length::ZERO, others.fold(thick.value.thick.0, of)))
            }
            (None, None) => None,
        }
    }
}

/// How things are spaced along a stretch.
#[derive(Debug, Clone, PartialEq)]
pub enum Spacing {
    /// Equal gaps, none larger.
    AtMost(Said<Length>),
    /// This gap, from the first.
    Every(Said<Length>),
    /// These stations.
    At(Vec<Said<Length>>),
}

/// One move of a walk.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WalkMove {
    /// Where to.
    pub direction: Direction,
    /// How far, out to out.
    pub length: Length,
    /// Where it was typed.
    pub span: Span,
}

/// The legs of a bent bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Walk(pub Vec<WalkMove>);

/// What a step does to what.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    /// The verb.
    pub verb: &'static str,
    /// The things.
    pub things: Vec<Said<BlockId>>,
}

/// One hole of a block.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct HoleRef {
    /// The block.
    pub holes: BlockId,
    /// Its number in it, from 1.
    pub number: u64,
}

impl Take for HoleRef {
    const SHAPE: Shape = Shape::Hole;
    fn take(said: Said<Value>) -> Option<Self> {
        match said.value {
            Value::Hole(hole) => Some(hole),
            _ => None,
        }
    }
}

/// A type that takes what its shape reads.
pub trait Take: Sized {
    /// What is wanted.
    const SHAPE: Shape;
    /// Takes it; none if it is of another shape.
    fn take(said: Said<Value>) -> Option<Self>;
}

/// A field of a block or clause: one value, perhaps one, or many.
pub trait Slot: Sized {
    /// What is wanted each time.
    const SHAPE: Shape;
    /// How often.
    const NEED: Need;
    /// Takes all that was written.
    fn slot(values: impl Iterator<Item = Said<Value>>) -> Option<Self>;
}

impl<V: Take> Slot for V {
    const SHAPE: Shape = V::SHAPE;
    const NEED: Need = Need::One;
    fn slot(mut values: impl Iterator<Item = Said<Value>>) -> Option<Self> {
        values.next().and_then(V::take)
    }
}

impl<V: Take> Slot for Option<V> {
    const SHAPE: Shape = V::SHAPE;
    const NEED: Need = Need::Maybe;
    fn slot(mut values: impl Iterator<Item = Said<Value>>) -> Option<Self> {
        match values.next() {
            Some(value) => V::take(value).map(Some),
            None => Some(None),
        }
    }
}

/// Written as often as wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct Many<V>(pub Vec<V>);

impl<V: Take> Slot for Many<V> {
    const SHAPE: Shape = V::SHAPE;
    const NEED: Need = Need::Many;
    fn slot(values: impl Iterator<Item = Said<Value>>) -> Option<Self> {
        values.map(V::take).collect::<Option<Vec<V>>>().map(Many)
    }
}

/// A quantity that is more than zero.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Above<T>(pub T);

/// A quantity that is zero or more.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Unsigned<T>(pub T);

macro_rules! quantities {
    ($( $ty:ident $dimension:ident $getter:ident ),* $(,)?) => { $(
        impl Take for $ty {
            const SHAPE: Shape = Shape::Quantity(Dimension::$dimension, Sign::Any);
            fn take(said: Said<Value>) -> Option<Self> {
                let Value::Quantity(quantity) = said.value else { return None };
                quantity.$getter()
            }
        }
        impl Take for Above<$ty> {
            const SHAPE: Shape = Shape::Quantity(Dimension::$dimension, Sign::Positive);
            fn take(said: Said<Value>) -> Option<Self> { $ty::take(said).map(Above) }
        }
        impl Take for Unsigned<$ty> {
            const SHAPE: Shape = Shape::Quantity(Dimension::$dimension, Sign::NotNegative);
            fn take(said: Said<Value>) -> Option<Self> { $ty::take(said).map(Unsigned) }
        }
    )* };
}

quantities! {
    Length Length length,
    Area Area area,
    Volume Volume volume,
    Mass Mass mass,
    Stress Stress stress,
    Force Force force,
    Temperature Temperature temperature,
    Duration Time duration,
    Speed Speed speed,
    Acceleration Acceleration acceleration,
    Sound Sound sound,
    Angle Angle angle,
    Ratio Ratio ratio,
    Money Money money,
}

impl Take for Above<i64> {
    const SHAPE: Shape = Shape::Count(Sign::Positive);
    fn take(said: Said<Value>) -> Option<Self> {
        match said.value {
            Value::Count(count) => Some(Above(count)),
            _ => None,
        }
    }
}

impl Take for Date {
    const SHAPE: Shape = Shape::Date;
    fn take(said: Said<Value>) -> Option<Self> {
        match said.value {
            Value::Date(date) => Some(date),
            _ => None,
        }
    }
}

/// A string of the writer's.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Text(pub String);

impl Take for Text {
    const SHAPE: Shape = Shape::Text;
    fn take(said: Said<Value>) -> Option<Self> {
        match said.value {
            Value::Text(text) => Some(Text(text)),
            _ => None,
        }
    }
}

/// A word of the writer's.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Word(pub String);

impl Take for Word {
    const SHAPE: Shape = Shape::Word;
    fn take(said: Said<Value>) -> Option<Self> {
        match said.value {
            Value::Word(word) => Some(Word(word)),
            _ => None,
        }
    }
}

impl Take for () {
    const SHAPE: Shape = Shape::Flag;
    fn take(said: Said<Value>) -> Option<Self> {
        (said.value == Value::Flag).then_some(())
    }
}

impl<V: Take> Take for Said<V> {
    const SHAPE: Shape = V::SHAPE;
    fn take(said: Said<Value>) -> Option<Self> {
        let span = said.span;
        V::take(said).map(|value| Said { value, span })
    }
}

impl<V: Take> Take for Vec<V> {
    const SHAPE: Shape = Shape::List(&V::SHAPE);
    fn take(said: Said<Value>) -> Option<Self> {
        match said.value {
            Value::Many(values) => values.into_iter().map(V::take).collect(),
            _ => None,
        }
    }
}

/// `A to B`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range<V> {
    /// The lower or earlier end.
    pub from: V,
    /// The upper or later end.
    pub to: V,
}

impl<V: Take> Take for Range<V> {
    const SHAPE: Shape = Shape::Range(&V::SHAPE);
    fn take(said: Said<Value>) -> Option<Self> {
        let Value::Many(values) = said.value else { return None };
        let mut values = values.into_iter();
        Some(Range { from: V::take(values.next()?)?, to: V::take(values.next()?)? })
    }
}

/// One level, or from one to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Levels {
    /// The lower.
    pub from: Length,
    /// The upper; the same where there is one.
    pub to: Length,
}

impl Take for Levels {
    const SHAPE: Shape = Shape::Levels;
    fn take(said: Said<Value>) -> Option<Self> {
        let Value::Many(values) = said.value else { return None };
        let mut values = values.into_iter();
        let from = Length::take(values.next()?)?;
        let to = match values.next() {
            Some(value) => Length::take(value)?,
            None => from,
        };
        Some(Levels { from, to })
    }
}

/// A value, then a word of a closed list, as in `15 deg down`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Then<V, W> {
    /// The value.
    pub value: V,
    /// The word.
    pub word: W,
}

impl<V: Take, W: Take> Take for Then<V, W> {
    const SHAPE: Shape = Shape::Then(&V::SHAPE, &W::SHAPE);
    fn take(said: Said<Value>) -> Option<Self> {
        let Value::Many(values) = said.value else { return None };
        let mut values = values.into_iter();
        Some(Then { value: V::take(values.next()?)?, word: W::take(values.next()?)? })
    }
}

/// A new name with a value.
#[derive(Debug, Clone, PartialEq)]
pub struct Named<V> {
    /// The name.
    pub name: Said<String>,
    /// The value.
    pub value: V,
}

impl<V: Take> Take for Named<V> {
    const SHAPE: Shape = Shape::Named(&V::SHAPE);
    fn take(said: Said<Value>) -> Option<Self> {
        let Value::Many(values) = said.value else { return None };
        let mut values = values.into_iter();
        let name = values.next()?;
        let Value::Word(word) = name.value else { return None };
        Some(Named { name: Said { value: word, span: name.span }, value: V::take(values.next()?)? })
    }
}

/// A value on one leg.
#[derive(Debug, Clone, PartialEq)]
pub struct OnLeg<V> {
    /// The leg.
    pub leg: Said<LegRef>,
    /// The value.
    pub value: V,
}

impl<V: Take> Take for OnLeg<V> {
    const SHAPE: Shape = Shape::OnLeg(&V::SHAPE);
    fn take(said: Said<Value>) -> Option<Self> {
        let Value::Many(values) = said.value else { return None };
        let mut values = values.into_iter();
        let leg = values.next()?;
        let Value::Leg(at) = leg.value else { return None };
        Some(OnLeg { leg: Said { value: at, span: leg.span }, value: V::take(values.next()?)? })
    }
}

/// A time of day, counted from midnight.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Clock(pub Duration);

impl Take for Clock {
    const SHAPE: Shape = Shape::Clock;
    fn take(said: Said<Value>) -> Option<Self> {
        let Value::Quantity(quantity) = said.value else { return None };
        quantity.duration().map(Clock)
    }
}

/// Days of the week, 0 for Monday, each once, in order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Days(pub Vec<usize>);

impl Take for Days {
    const SHAPE: Shape = Shape::Days;
    fn take(said: Said<Value>) -> Option<Self> {
        let Value::Many(values) = said.value else { return None };
        let days = values.into_iter().map(|day| match day.value {
            Value::Choice(day) => Some(day),
            _ => None,
        });
        let mut days: Vec<usize> = days.collect::<Option<_>>()?;
        days.sort_unstable();
        days.dedup();
        Some(Days(days))
    }
}

/// A value at a condition, as in `60 min at 70 degF`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Curve<V, C> {
    /// The value.
    pub value: V,
    /// The condition it holds at.
    pub at: C,
}

impl<V: Take, C: Take> Take for Curve<V, C> {
    const SHAPE: Shape = Shape::At(&V::SHAPE, &C::SHAPE);
    fn take(said: Said<Value>) -> Option<Self> {
        let Value::Many(values) = said.value else { return None };
        let mut values = values.into_iter();
        Some(Curve { value: V::take(values.next()?)?, at: C::take(values.next()?)? })
    }
}

macro_rules! whole {
    ($( $ty:ident ),*) => { $(
        impl Take for $ty {
            const SHAPE: Shape = Shape::$ty;
            fn take(said: Said<Value>) -> Option<Self> {
                match said.value {
                    Value::$ty(value) => Some(value),
                    _ => None,
                }
            }
        }
    )* };
}

whole! { Stretch, Spots, Target, Spacing, Walk, Work }

/// Declares a type for "the name of a block of one of these kinds".
macro_rules! names {
    ($( $(#[doc = $says:literal])+ $Name:ident [$( $kind:ident ),+] ),* $(,)?) => { $(
        $(#[doc = $says])+
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub struct $Name(pub BlockId);
        impl Take for $Name {
            const SHAPE: Shape = Shape::Name(&[$( KindId::$kind ),+]);
            fn take(said: Said<Value>) -> Option<Self> {
                match said.value {
                    Value::Block(id) => Some($Name(id)),
                    _ => None,
                }
            }
        }
    )* };
}
pub(super) use names;

/// "per ft": what one is taken by.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Per(pub Length);

impl Take for Per {
    const SHAPE: Shape = Shape::Per(Dimension::Length);
    fn take(said: Said<Value>) -> Option<Self> {
        Length::take(said).map(Per)
    }
}

/// "per day": the time a price is for.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct PerTime(pub Duration);

impl Take for PerTime {
    const SHAPE: Shape = Shape::Per(Dimension::Time);
    fn take(said: Said<Value>) -> Option<Self> {
        Duration::take(said).map(PerTime)
    }
}

/// "per trip", "per ton", "per 5 yd3": what of the rubble a price is for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PerLoad {
    /// A trip of the truck.
    Trip,
    /// So much weight.
    Mass(Mass),
    /// So much room, broken.
    Volume(Volume),
}

impl PerLoad {
    /// The word for a trip.
    pub const TRIP: &'static str = "trip";
}

impl Take for PerLoad {
    const SHAPE: Shape = Shape::PerLoad;
    fn take(said: Said<Value>) -> Option<Self> {
        match said.value {
            Value::Flag => Some(PerLoad::Trip),
            Value::Quantity(quantity) => {
                quantity.mass().map(PerLoad::Mass).or_else(|| quantity.volume().map(PerLoad::Volume))
            }
            _ => None,
        }
    }
}

/// What a pack holds, or how much of something is wanted; above zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pack {
    /// So many.
    Count(i64),
    /// So long.
    Length(Length),
    /// So large.
    Area(Area),
    /// So much room.
    Volume(Volume),
    /// So heavy.
    Mass(Mass),
}

impl Take for Pack {
    const SHAPE: Shape = Shape::Pack;
    fn take(said: Said<Value>) -> Option<Self> {
        match said.value {
            Value::Count(count) => Some(Pack::Count(count)),
            Value::Quantity(quantity) => quantity
                .length()
                .map(Pack::Length)
                .or_else(|| quantity.area().map(Pack::Area))
                .or_else(|| quantity.volume().map(Pack::Volume))
                .or_else(|| quantity.mass().map(Pack::Mass)),
            _ => None,
        }
    }
}

/// A percentage of money, exact: 8% is 0.08.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Percent(pub Exact);

impl Take for Percent {
    const SHAPE: Shape = Shape::Quantity(Dimension::Ratio, Sign::NotNegative);
    fn take(said: Said<Value>) -> Option<Self> {
        let Value::Quantity(quantity) = said.value else { return None };
        match quantity.amount() {
            Amount::Exact(part) => Some(Percent(part)),
            Amount::Float(_) => None,
        }
    }
}

//! The kinds of block and their clauses.

use super::{
    shape::{Field, Head, Kind, KindId, Need, Property, Shape, Verb, VerbNeed},
    value::{
        Above, Ahead, BlockId, Clock, Curve, Days, HoleRef, Hook, Levels, Many, Named, OnLeg, Pack, Parts, Per,
        PerLoad, PerTime, Percent, Range, RowLevel, Said, Slot, Spacing, Spots, Stretch, Strong, Take, Target, Text,
        Then, Unsigned, Value, Walk, Word, Work, names,
    },
    words::{
        Base, CastSide, CementKind, DaysKept, Direction, Driven, DustKept, Exposure, HookRule, LapRules, Measure,
        Pressure, PutIn, Show, StandsOn, Stuff, Surroundings, TiesAt, ToolSort, ToolWork, Topic, Wanted, Way, Wood,
    },
};
use crate::units::{
    Acceleration, Angle, Area, Date, Dimension, Duration, Force, Length, Mass, Money, Ratio, Sound, Speed, Stress,
    Temperature, Volume,
};

/// One declaration for a block's clauses and for a clause's parts: both are words with values behind them.
macro_rules! parts {
    ($( $(#[doc = $says:literal])+ $Name:ident { $( $(#[doc = $fsays:literal])+ $word:literal $field:ident : $ty:ty $(= $example:literal)? ),* $(,)? } )*) => { $(
        $(#[doc = $says])+
        #[derive(Debug, Clone)]
        pub struct $Name { $( $(#[doc = $fsays])+ pub $field: $ty, )* }

        impl $Name {
            /// Its words and what each takes.
            pub const FIELDS: &'static [Field] = &[ $( Field {
                word: $word,
                says: concat!($($fsays),+),
                example: concat!("" $(, $example)?),
                shape: <$ty as Slot>::SHAPE,
                need: <$ty as Slot>::NEED,
            } ),* ];

            /// Takes what was read for each field, in the order of the table.
            #[must_use]
            pub fn from_parts(parts: Parts) -> Option<Self> {
                #[allow(unused_mut, unused_variables)]
                let mut parts = parts.in_order();
                $( let $field = parts.slot::<$ty>()?; )*
                Some($Name { $($field),* })
            }
        }

        impl Take for $Name {
            const SHAPE: Shape = Shape::Parts(Self::FIELDS);
            fn take(said: Said<Value>) -> Option<Self> {
                match said.value {
                    Value::Parts(parts) => Self::from_parts(parts),
                    _ => None,
                }
            }
        }
    )* };
}

names! {
    /// The name of a wall.
    WallName [Wall],
    /// The name of a slab.
    SlabName [Slab],
    /// The name of a section.
    SectionName [Section],
    /// The name of a row of holes.
    HolesName [Holes],
    /// The name of a thing that holes keep away from.
    ObstacleName [Clear, Crack],
    /// The name of a bar size.
    SteelName [Steel],
    /// The name of a board or sheet size.
    LumberName [Lumber],
    /// The name of what stock is of.
    StockedName [Steel, Lumber, Mix, Resin, Wire, Goods],
    /// The name of someone who sells.
    SupplierName [Supplier],
    /// The name of a step.
    DoneName [Step],
    /// The name of a strip that is broken out.
    StripName [Remove],
    /// The name of a mix.
    MixName [Mix],
    /// The name of a resin.
    ResinName [Resin],
    /// The name of a tie wire.
    WireName [Wire],
    /// The name of a pour.
    PourName [Pour],
    /// The name of a step, a look, a wait or a question.
    StepName [Step, Look, Wait, Ask],
    /// The name of a step, a look or a wait.
    LaterName [Step, Look, Wait],
    /// The name of a step.
    /// The name of a look.
    LookName [Look],
    /// The name of bars.
    BarsName [Bars],
    /// The name of what is used up.
    UsedName [Resin, Cut, Wire, Steel, Lumber],
    /// The name of a thing that is made or taken away.
    ThingName [Holes, Bars, Crack, Spall, Cut, Remove, Prepare, Forms, Pour, Cure, Section],
}

parts! {
    /// The weather to reckon with.
    Weather {
        /// lowest and highest of the day
        "" air: Range<Temperature>,
        /// of the air
        "humidity" humidity: Option<Ratio>,
        /// its speed
        "wind" wind: Option<Unsigned<Speed>>,
        /// the day it begins and the weather before it ends; without it, it holds from the job's start
        "from" from: Option<Said<Date>>,
    }
    /// Where the hands are when a load is lifted.
    Lifts {
        /// above the floor, where it is taken up and where it is set down
        "" hands: Range<Unsigned<Length>>,
        /// from the ankles out to the hands; 12 in (300 mm) unless said
        "out by" out_by: Option<Above<Length>>,
    }
    /// An answer.
    Answered {
        /// the day it was given
        "" on: Date,
        /// what was said
        "\"" said: Option<Text>,
    }
    /// A leg of a wall, named and measured along its face.
    WallLeg {
        /// its name and its length along the face
        "" leg: Named<Above<Length>>,
        /// where it differs from the wall's
        "thick" thick: Option<Above<Length>>,
        /// where it differs from the wall's
        "height" height: Option<Range<Length>>,
        /// the leg whose far face this is
        "behind" behind: Option<Said<Word>>,
    }
    /// How one leg meets the next.
    Corner {
        /// which way the next leg turns
        "" way: Said<Way>,
        /// by how much; 90 deg unless said
        "turning" turning: Option<Above<Angle>>,
    }
    /// What a wall is made of.
    Made {
        /// the material
        "" of: Stuff,
        /// block with open cells
        "hollow" hollow: Option<()>,
        /// its compressive strength
        "strength" strength: Option<Above<Stress>>,
        /// the strength is a guess, not a test
        "assumed" assumed: Option<()>,
        /// it is loose: nothing may be tied into it
        "loose" loose: Option<Said<()>>,
    }
    /// The ground outside.
    Outside {
        /// its level at the wall
        "" level: Length,
        /// how much it falls away from the wall
        "falls" falls: Option<Ratio>,
    }
    /// A thickness, perhaps another on some legs.
    Thick {
        /// square to the old face
        "" thick: Above<Length>,
        /// a leg with another thickness, and that thickness
        "on" on: Many<OnLeg<Above<Length>>>,
    }
    /// How much concrete lies over the steel.
    CoverWanted {
        /// over all faces that are formed or left open
        "" faces: Above<Length>,
        /// over those cast against the ground; what the code asks for unless said
        "ground" ground: Option<Above<Length>>,
    }
    /// The levels of rows.
    Rows {
        /// levels of the rows on a face
        "height" heights: Option<Vec<Said<Length>>>,
        /// distances of the rows from the face, in a top or a floor
        "offset" offsets: Option<Vec<Said<Length>>>,
        /// every second row half a gap further on
        "staggered" staggered: Option<()>,
    }
    /// The levels of long bars.
    BarRows {
        /// levels; `top - 3"` and `bottom + 3"` follow the section's own top or bottom, step by step
        "height" heights: Option<Vec<Said<RowLevel>>>,
        /// distances from the face are written with `offset`, a clause of its own
        "offset" offsets: Option<Vec<Said<Length>>>,
    }
    /// How far the first and last of a row stay from the ends of the stretch.
    Inset {
        /// from both ends
        "" both: Option<Said<Unsigned<Length>>>,
        /// from an end at a corner
        "at corners" at_corners: Option<Said<Unsigned<Length>>>,
        /// from the first end
        "at start" at_start: Option<Said<Unsigned<Length>>>,
        /// from the last end
        "at end" at_end: Option<Said<Unsigned<Length>>>,
    }
    /// A hole's size.
    Bore {
        /// its width
        "" wide: Above<Length>,
        /// its depth
        "by" deep: Said<Above<Length>>,
    }
    /// What holes are moved away from.
    Avoid {
        /// the things
        "" things: Vec<Said<ObstacleName>>,
        /// how much stays between the bore and what is kept clear
        "by" by: Said<Unsigned<Length>>,
    }
    /// The drill's body, without its bit.
    Drill {
        /// its length
        "" long: Above<Length>,
        /// its width
        "wide" wide: Option<Above<Length>>,
    }
    /// The blade of a saw.
    Blade {
        /// its diameter
        "" across: Above<Length>,
        /// how deep one pass goes; 1 in unless said
        "pass" pass: Option<Above<Length>>,
        /// how much it saws before it is worn, at a depth of 1 in
        "lasts" lasts: Option<Above<Length>>,
    }
    /// A hatch or window that all must go through.
    Hatch {
        /// the smaller side
        "" low: Above<Length>,
        /// the larger side
        "by" wide: Above<Length>,
    }
    /// Studs of a form.
    Studs {
        /// their size
        "" size: LumberName,
        /// centre to centre
        "space at most" space: Said<Above<Length>>,
    }
    /// What lies along the studs at each level that holds them.
    Walers {
        /// their size
        "" size: LumberName,
        /// two side by side
        "double" double: Option<()>,
    }
    /// Ties into the old wall.
    FormTies {
        /// their levels
        "rows" rows: Vec<Said<Length>>,
        /// along the wall
        "space at most" space: Said<Above<Length>>,
        /// what one has been tested to hold
        "holds" holds: Option<Above<Force>>,
    }
    /// Braces.
    BraceOf {
        /// their size
        "" size: LumberName,
        /// along the wall
        "space at most" space: Said<Above<Length>>,
        /// how steep, from the level; 45 deg unless said
        "angle" angle: Option<Said<Above<Angle>>>,
        /// how high above the foot of the form they meet it; three quarters of its height unless said
        "height" height: Option<Said<Above<Length>>>,
        /// what their feet stand against
        "on" on: StandsOn,
        /// what the fixing of one foot has been tested to hold
        "holds" holds: Option<Above<Force>>,
    }
    /// The kicker along the foot of a form.
    Kick {
        /// its size
        "" size: LumberName,
        /// what it stands against
        "on" on: StandsOn,
        /// what one fixing has been tested to hold
        "holds" holds: Option<Above<Force>>,
        /// from fixing to fixing; that of the braces unless said
        "space at most" space: Option<Said<Above<Length>>>,
    }
    /// What keeps a form from rising.
    HeldDown {
        /// what one has been tested to hold
        "" holds: Above<Force>,
        /// along the wall
        "space at most" space: Said<Above<Length>>,
    }
    /// A cartridge of resin.
    Cartridge {
        /// what it holds
        "" holds: Above<Volume>,
        /// squeezed out and thrown away with each new nozzle; 1 fl-oz unless said
        "purge" purge: Option<Unsigned<Volume>>,
        /// how many nozzles come with it
        "nozzles" nozzles: Option<Above<i64>>,
    }
    /// How long pieces may be.
    Pieces {
        /// the longest
        "at most" most: Above<Length>,
    }
    /// Where a bent bar begins: the end of the bar.
    From {
        /// from the old face to the bar's centre
        "offset" offset: Length,
        /// level of the bar's end
        "height" height: Length,
    }
    /// The legs of a bent bar.
    Legs {
        /// directions and lengths, out to out
        "" walk: Walk,
        /// inside diameter of the bends, if larger than the least
        "bend" bend: Option<Above<Length>>,
        /// a hook at the beginning alone; it turns to the inside of the next bend unless a direction is said
        "hook at start" hook_at_start: Option<Said<Hook>>,
        /// a hook at the end alone; it turns to the inside of the bend before unless a direction is said
        "hook at end" hook_at_end: Option<Said<Hook>>,
        /// hooks at both ends, as of a closed tie
        "hook" hooks: Option<Said<Hook>>,
        /// the straight behind the bend of each hook; the least of the bar's rule unless said
        "tail" tail: Option<Said<Above<Length>>>,
    }
    /// How long something is kept up, counted from the pour.
    Kept {
        /// how long, from the pour on
        "for" time: Said<Above<Duration>>,
    }
    /// How long concrete is kept wet, and how.
    Wetted {
        /// how long, from the pour on
        "for" time: Said<Above<Duration>>,
        /// it is wetted morning and evening; without it, it never dries
        "daily" daily: Option<()>,
    }
    /// How long concrete is kept warm.
    Warmed {
        /// how long, from the pour on
        "for" time: Said<Above<Duration>>,
        /// how warm at least; what ACI 306R asks for by its thickness unless said
        "at" at: Option<Temperature>,
    }
    /// When something is done to young concrete: the later of a time and a strength.
    Ready {
        /// how long after the pour
        "after" after: Option<Said<Above<Duration>>>,
        /// the strength it must have by then
        "at" strength: Option<Said<Strong>>,
    }
    /// A bag.
    Bag {
        /// what it weighs
        "" weighs: Above<Mass>,
        /// concrete made of one bag
        "yields" yields: Above<Volume>,
    }
    /// The mixer.
    Mixer {
        /// bags in one batch
        "" bags: Above<i64>,
        /// from opening the bags to mixed; written, the pour is planned minute by minute
        "takes" takes: Option<Above<Duration>>,
        /// the concrete it mixes at most at once
        "holds" holds: Option<Above<Volume>>,
    }
    /// What is carried at once.
    Carry {
        /// how much
        "" carry: Above<Volume>,
        /// from the mixer there, tipped out and back
        "takes" takes: Option<Above<Duration>>,
        /// how it gets into the form; tipped from buckets unless said
        "by" by: Option<PutIn>,
    }
    /// A rest.
    Rest {
        /// how long it is
        "" lasts: Above<Duration>,
        /// how long after the first batch is begun it is due; taken when what is mixed is placed
        "after" after: Above<Duration>,
    }
    /// Weight by length.
    Weight {
        /// what it weighs
        "" weight: Above<Mass>,
        /// the length that weighs this
        "per" per: Per,
    }
    /// A cross-section.
    Size {
        /// the smaller side
        "" thick: Above<Length>,
        /// the larger side
        "by" wide: Above<Length>,
    }
    /// A sheet.
    Sheet {
        /// one side
        "" wide: Above<Length>,
        /// the other side
        "by" long: Above<Length>,
        /// how thick
        "thick" thick: Above<Length>,
    }
    /// A drill bit.
    Bit {
        /// how much it drills before it is worn, all depths together
        "lasts" lasts: Above<Length>,
    }
    /// What something hired costs.
    HireRate {
        /// the price
        "" price: Above<Money>,
        /// the time it is for, begun times counting whole; without it the price is paid once
        "per" per: Option<PerTime>,
    }
    /// What is paid.
    FeeRate {
        /// the price
        "" price: Above<Money>,
        /// what it is for: `trip`, or a weight or a volume of what is carted off; without it the price is paid once
        "per" per: Option<PerLoad>,
    }
    /// Hours of some days.
    Shift {
        /// the days
        "" days: Days,
        /// from when to when
        "from" hours: Range<Clock>,
    }
    /// Hours of one day that is unlike its week.
    ShiftOn {
        /// the day
        "" on: Date,
        /// from when to when
        "from" hours: Range<Clock>,
    }
    /// How long a step takes.
    Takes {
        /// how long it takes
        "" time: Above<Duration>,
        /// the time is for one piece, not for all
        "each" each: Option<()>,
        /// the time is for one of this measure of what is worked on
        "per" per: Option<Said<Measure>>,
    }
    /// A step that was worked at.
    DoneStep {
        /// which
        "" step: Said<DoneName>,
        /// how long, of all who worked the hours on the clock
        "took" took: Option<Said<Above<Duration>>>,
    }
    /// Holes that came out otherwise than planned, or just as planned.
    DoneHole {
        /// which
        "" holes: Vec<Said<HoleRef>>,
        /// how wide
        "bore" wide: Option<Above<Length>>,
        /// how deep, along the axis
        "by" deep: Option<Above<Length>>,
        /// how far from where it was planned
        "moved" moved: Option<Said<Walk>>,
        /// how deep steel or a void was met: the hole is left empty there; with `moved` another was drilled beside it
        "hit" hit: Option<Said<Above<Length>>>,
        /// it is left empty
        "abandoned" abandoned: Option<()>,
    }
    /// Bars that were left out.
    LeftOut {
        /// which
        "" bars: Said<BarsName>,
        /// how many of them are not there
        "by" count: Said<Above<i64>>,
    }
    /// A pour as it was.
    DonePour {
        /// which
        "" pour: Said<PourName>,
        /// from the first batch to the last stroke
        "from" hours: Option<Said<Range<Clock>>>,
        /// bags that went into the mixer
        "used" bags: Option<Said<Above<i64>>>,
        /// water for one bag
        "with" water: Option<Said<Above<Volume>>>,
        /// the air
        "air" air: Option<Said<Temperature>>,
        /// the concrete as it was placed
        "concrete" concrete: Option<Said<Temperature>>,
    }
    /// What came of a look.
    DoneLook {
        /// which
        "" look: Said<LookName>,
        /// who looked
        "by" by: Option<Word>,
        /// work may go on
        "passed" passed: Option<()>,
        /// it must be seen again before work goes on
        "refused" refused: Option<()>,
        /// what was said
        "\"" said: Option<Text>,
    }
    /// A section as it was measured.
    DoneSize {
        /// which
        "" section: Said<SectionName>,
        /// where along it: a leg and a station; it may be left out where the section is alike all along
        "at" at: Option<Said<OnLeg<Said<Length>>>>,
        /// how thick it is, square to the old face
        "thick" thick: Option<Said<Above<Length>>>,
        /// level of its top
        "top" top: Option<Said<Length>>,
        /// level of its bottom
        "bottom" bottom: Option<Said<Length>>,
        /// how far its face is out of plumb over its height
        "leans" leans: Option<Said<Unsigned<Length>>>,
        /// what is to be said of it
        "\"" said: Option<Text>,
    }
    /// What was used up.
    UsedUp {
        /// how many: cartridges, blades of a saw cut, coils, bars, boards
        "" count: Above<i64>,
        /// of what
        "of" what: Said<UsedName>,
    }
}

macro_rules! kinds {
    ($( $(#[doc = $says:literal])+ $word:literal $Id:ident $Name:ident ($head:expr) {
            $( $(#[doc = $fsays:literal])+ $fword:literal $field:ident : $ty:ty = $example:literal ),* $(,)?
        }
        asks [$( $pword:literal $pdim:ident $psays:literal $pleg:literal ),* $(,)?]
        done [$( $vword:literal $vneed:ident $vsays:literal ),* $(,)?]
    )*) => {
        parts! { $( $(#[doc = $says])+ $Name { $( $(#[doc = $fsays])+ $fword $field : $ty = $example ),* } )* }

        /// Every kind, in the order of [`KindId`].
        pub static KINDS: &[Kind] = &[ $( Kind {
            id: KindId::$Id,
            word: $word,
            says: concat!($($says),+),
            head: $head,
            fields: $Name::FIELDS,
            properties: &[$( Property { word: $pword, dimension: Dimension::$pdim, says: $psays, of_leg: $pleg } ),*],
            verbs: &[$( Verb { word: $vword, need: VerbNeed::$vneed, says: $vsays } ),*],
        } ),* ];
    };
}

const NAMED: Head = Head { name: Some(Need::One), text: None, text_says: "", dated: false, line: "" };
const DATED: Head = Head { name: None, text: None, text_says: "", dated: true, line: "" };
const UNNAMED: Head = Head { name: None, text: None, text_says: "", dated: false, line: "" };

const fn titled(name: Option<Need>, text: Need, text_says: &'static str) -> Head {
    Head { name, text: Some(text), text_says, dated: false, line: "" }
}

const fn line(line: &'static str) -> Head {
    Head { name: None, text: None, text_says: "", dated: false, line }
}

kinds! {
    /// The job itself, written once.
    "job" Job JobHead (titled(None, Need::One, "the job's title")) {
        /// Where the work is.
        "site" site: Option<Text> = r#"site "Quarry Lane boathouse, lake side""#,
        /// The day work begins.
        "start" start: Option<Date> = "start 2027-05-03",
        /// All is done by the end of this day.
        "latest" latest: Option<Said<Date>> = "latest 2027-07-31",
        /// The units papers are printed in; `feet` unless said.
        "show" show: Option<Show> = "show metric",
        /// What level 0 is.
        "datum" datum: Option<Text> = r#"datum "top of the floor slab""#,
        /// Whether the work is under a roof.
        "place" place: Option<Surroundings> = "place indoors",
        /// The year the building was built; old paint and flooring call for care.
        "built" built: Option<Above<i64>> = "built 1931",
        /// The rules laps are worked out by: those of the bars' sizes unless said.
        "laps" laps: Option<LapRules> = "laps irc",
        /// The wire bars are tied with; `wire-16` unless said.
        "wire" wire: Option<WireName> = "wire wire-14",
        /// The weather to reckon with. A further one says the day it begins.
        "weather" weather: Many<Said<Weather>> = "weather 52 degF to 66 degF, humidity 60%, wind 5 mph",
        /// How high the hands are where loads are taken up and set down, for the lifting index: from 10 in to 40 in (250 mm to 1000 mm) unless said.
        "lifts" lifts: Option<Lifts> = "lifts 20\" to 40\", out by 10\"",
    } asks [] done []

    /// Takes in another file, looked for beside this one. What it holds counts as if it were written here.
    "include" Include IncludeLine (line(r#"include "shop.job""#)) {} asks [] done []

    /// Gives a value a name: from then on the name may stand wherever the value may.
    "let" Let LetLine (line("let gap = 1/2\"")) {} asks [] done []

    /// A question someone else must answer before work goes on.
    "ask" Ask Ask (titled(Some(Need::One), Need::One, "the question")) {
        /// How long an answer takes.
        "lead" lead: Option<Ahead> = "lead 10 days",
        /// The steps that wait for the answer.
        "before" before: Option<Vec<Said<LaterName>>> = "before drill",
        /// The answer, and the day it was given.
        "answered" answered: Option<Answered> = r#"answered 2027-04-12 "no, repair""#,
        /// What it is about, where a check looks for such a question.
        "about" about: Option<Topic> = "about lines",
    } asks [] done []

    /// An old wall, seen from in front of its face, where you stand to build against it: legs from left to right, a corner between
    /// each two; stations count from the left end of each leg. A corner after the last leg closes the plan.
    "wall" Wall Wall (NAMED) {
        /// A leg, the next one further right. The far face of another leg is written `behind` that leg.
        "leg" legs: Many<WallLeg> = "leg back 10'",
        /// How the leg before meets the leg after.
        "corner" corners: Many<Corner> = "leg one 9'; corner outside; leg two 3'",
        /// Thickness of the wall; legs may differ.
        "thick" thick: Option<Above<Length>> = "thick 8\"",
        /// Bottom and top, as levels; legs may differ.
        "height" height: Option<Range<Length>> = "height -12\" to 26\"",
        /// What it is made of, and how strong.
        "of" of: Option<Made> = "of concrete, strength 2500 psi, assumed",
        /// Level of the lowest wood on it.
        "wood" wood: Option<Length> = "wood 26\"",
    } asks [
        "thick" Length "its thickness" false,
        "bottom" Length "level of its bottom" false,
        "top" Length "level of its top" false,
        "length" Length "the leg's length along the face" true,
        "thick" Length "the leg's thickness" true,
        "bottom" Length "level of the leg's bottom" true,
        "top" Length "level of the leg's top" true,
    ] done [
        "scan" May "look for steel, cables and pipes in it",
    ]

    /// A run with nothing behind it: the left edge of a pad, a curb, a footing of its own.
    "line" Line Line (NAMED) {
        /// A leg, the next one further right.
        "leg" legs: Many<Named<Above<Length>>> = "leg a 4'",
        /// How the leg before meets the leg after.
        "corner" corners: Many<Corner> = "leg one 9'; corner inside, turning 45 deg; leg two 3'",
    } asks [
        "length" Length "the leg's length" true,
    ] done []

    /// The old footing under a wall.
    "footing" Footing Footing (NAMED) {
        /// The wall it carries; its top is the wall's bottom.
        "under" under: WallName = "under old",
        /// From its top to its bottom.
        "thick" thick: Above<Length> = "thick 8\"",
        /// How far it stands out past the wall's faces.
        "out" out: Unsigned<Length> = "out 0",
    } asks [
        "thick" Length "from its top to its bottom" false,
        "bottom" Length "level of its bottom" false,
        "top" Length "level of its top" false,
    ] done []

    /// The ground on both sides of the wall. Inside is where you stand before its face and build, be that in a cellar or in the
    /// open; outside is behind it. Of a post or a ring, a wall whose plan closes with its faces outward, the ground round it is
    /// inside too. Of a line that closes, inside is within it.
    "ground" Ground Ground (UNNAMED) {
        /// Level of the ground behind the wall, where it meets it, and how it falls away.
        "outside" outside: Option<Outside> = "outside 14\", falls 2%",
        /// Level of the ground before the wall, where you stand.
        "inside" inside: Option<Length> = "inside -4\"",
    } asks [] done []

    /// A floor slab that meets the old face.
    "slab" Slab Slab (NAMED) {
        /// The legs it meets.
        "against" against: Stretch = "against old.back, old.side",
        /// From its top to its bottom.
        "thick" thick: Above<Length> = "thick 4\"",
        /// Level of its top.
        "top" top: Length = "top 0",
    } asks [
        "thick" Length "from its top to its bottom" false,
        "bottom" Length "level of its bottom" false,
        "top" Length "level of its top" false,
    ] done [
        "scan" May "look for steel, cables and pipes in it",
    ]

    /// Something in or on the old work that is kept clear: anchor bolts, vents, pipes, old bars. It is written at places
    /// (`on`) or along a stretch (`along`).
    "clear" Clear Clear (titled(Some(Need::One), Need::Maybe, "what it is")) {
        /// At which places of the face.
        "on" on: Option<Spots> = "on old.back at 2', 6', 9'-6\"; radius 2\"",
        /// Along which stretch, for what runs in or on the wall.
        "along" along: Option<Stretch> = "along old.back 1' to 9'; height 4\"; radius 1\"",
        /// At what level, or from which level to which; at every level unless said.
        "height" height: Option<Levels> = "on old.back at 8'; height 0 to 20\"; radius 2\"",
        /// For what lies in a floor or a top: how far out of the face, or from where to where.
        "offset" offset: Option<Levels> = "along old.back 1' to 9'; offset 14\"; radius 1\"",
        /// How far around it nothing may come.
        "radius" radius: Above<Length> = "on old.back at 8'; radius 2\"",
    } asks [] done []

    /// A crack in the old work.
    "crack" Crack Crack (NAMED) {
        /// At which places of the face, for one that runs up and down.
        "on" on: Option<Spots> = "on old.back at 8'",
        /// Along which stretch, for one that runs along the wall.
        "along" along: Option<Stretch> = "along old.back 1' to 9'; height 10\"",
        /// At what level, or from which level to which.
        "height" height: Said<Levels> = "on old.back at 8'; height 4\" to 22\"",
        /// How wide it stands open.
        "gap" gap: Above<Length> = "gap 1/16\"",
        /// It goes through to the other side.
        "through" through: Option<()> = "through",
        /// How deep it goes, where it does not go through.
        "deep" deep: Option<Above<Length>> = "deep 3\"",
        /// The resin it is filled with.
        "fill" fill: Option<ResinName> = "fill resin",
    } asks [] done [
        "inject" May "seal it and fill it with resin",
    ]

    /// A place where the old surface has broken away.
    "spall" Spall Spall (NAMED) {
        /// Where, along the face.
        "on" on: Stretch = "on old.back 2' to 3'",
        /// Bottom and top, as levels.
        "height" height: Range<Length> = "height 0 to 8\"",
        /// How deep it is on average.
        "deep" deep: Above<Length> = "deep 1\"",
        /// The pour that fills it; without one it is patched by hand.
        "with" with: Option<PourName> = "with fill-up",
    } asks [] done [
        "patch" May "square its edges, clean, wet and patch it",
    ]

    /// A saw cut in a slab, along the old face.
    "cut" Cut Cut (NAMED) {
        /// The slab it is sawn into.
        "in" slab: SlabName = "in floor",
        /// Along which legs.
        "along" along: Stretch = "along old.back, old.side",
        /// How far out from the old face.
        "out" out: Said<Above<Length>> = "out 10\"",
        /// How deep.
        "deep" deep: Said<Above<Length>> = "deep 4\"",
        /// The saw's blade; 14 in across unless said.
        "blade" blade: Option<Said<Blade>> = "blade 14\", pass 1\", lasts 400'",
        /// It is sawn across to the old face at both ends too.
        "ends" ends: Option<()> = "ends",
    } asks [] done [
        "cut" Must "saw it",
    ]

    /// A strip of a slab that is broken out and carted off.
    "remove" Remove Remove (NAMED) {
        /// The slab it is taken out of.
        "in" slab: SlabName = "in floor",
        /// Along which legs.
        "along" along: Stretch = "along old.back, old.side",
        /// How far out from the old face.
        "out" out: Said<Above<Length>> = "out 10\"",
        /// How much more room it takes when it is broken: 50% more unless said.
        "bulks" bulks: Option<Unsigned<Ratio>> = "bulks 60%",
        /// What is carted off at once, broken; 3 gal (11 L) unless said.
        "carry" carry: Option<Above<Volume>> = "carry 4 gal",
    } asks [] done [
        "remove" Must "break it out and cart it off",
    ]

    /// Old faces and joints made ready, so that new concrete holds on to them.
    "prepare" Prepare Prepare (NAMED) {
        /// The sections that stand against them.
        "of" of: Vec<Said<SectionName>> = "of low, high",
        /// The sections of an earlier pour they are cast against: then only the joint with these is made ready, and the old wall
        /// behind is left to a `prepare` of its own.
        "meets" meets: Option<Vec<Said<SectionName>>> = "of high; meets low",
        /// How deep the roughness is; without it the face is only cleaned.
        "roughen" roughen: Option<Above<Length>> = "roughen 1/4\"",
        /// How long it is kept wet before the pour; its surface is dry again when concrete comes on it.
        "wet" wet: Option<Above<Duration>> = "wet 12 h",
    } asks [] done [
        "prepare" Must "roughen, wash and wet them",
    ]

    /// Props that carry something while its support is away.
    "support" Support Support (NAMED) {
        /// What they carry, in words.
        "carries" carries: Text = r#"carries "the beam over the door""#,
        /// How many posts.
        "posts" posts: Option<Above<i64>> = "posts 2",
        /// Who says what load they take.
        "by" by: Option<Text> = r#"by "engineer's letter""#,
    } asks [] done [
        "set" Must "set the props (before anything is taken away)",
        "strike" Must "take the props away (after the last pour)",
    ]

    /// The way in: how far all is carried, and what it must pass.
    "route" Route Route (NAMED) {
        /// How far one way.
        "far" far: Above<Length> = "far 60'",
        /// The smallest opening on the way.
        "hatch" hatch: Option<Hatch> = "hatch 30\" by 6'",
        /// The longest thing that gets round the corners.
        "longest" longest: Option<Above<Length>> = "longest 12'",
    } asks [] done []

    /// New concrete along the old face.
    "section" Section Section (NAMED) {
        /// Where it runs; it may go round corners.
        "along" along: Stretch = "along old.back 6' to old.side 3'",
        /// How thick it is, from the old face outwards; legs may differ. Either this or `offset` is written.
        "thick" thick: Option<Said<Thick>> = "thick 8\", on old.side 10\"",
        /// Bottom and top, as levels.
        "height" height: Said<Range<Length>> = "height -4\" to 20\"",
        /// Where it stands off the old face: from and to, measured out of the face. Either this or `thick` is written.
        "offset" offset: Option<Said<Range<Length>>> = "offset 2\" to 10\"",
        /// What it rests on; `soil` unless said.
        "base" base: Option<Base> = "base soil",
        /// What its outer side is cast against; `form` unless said.
        "side" side: Option<CastSide> = "side earth",
        /// What its faces meet later on; from `place` and `ground` unless said.
        "exposure" exposure: Option<Exposure> = "exposure weather",
        /// The cover wanted over its steel, where it is to be other than the code's least.
        "cover" cover: Option<CoverWanted> = "cover 2\", ground 3\"",
        /// Steel a rule asks for here, if one does; without it the papers state what there is.
        "steel" steel: Option<Wanted> = "steel wall",
    } asks [
        "thick" Length "its thickness, or the first it has" false,
        "bottom" Length "level of its bottom" false,
        "top" Length "level of its top" false,
        "length" Length "its length along the old face" false,
        "start" Length "station it starts at, on its first leg" false,
        "end" Length "station it ends at, on its last leg" false,
    ] done []

    /// A part of a section left empty: a vent, a beam pocket, a pipe's way.
    "void" Void Void (NAMED) {
        /// The section it is in.
        "in" section: Said<SectionName> = "in low",
        /// Where, along the face.
        "on" on: Stretch = "on old.back 2' to 3'",
        /// Bottom and top, as levels.
        "height" height: Said<Range<Length>> = "height 0 to 6\"",
        /// From and to, measured out of the face; through the whole thickness unless said.
        "offset" offset: Option<Said<Range<Length>>> = "offset 0 to 3\"",
    } asks [
        "bottom" Length "level of its bottom" false,
        "top" Length "level of its top" false,
    ] done []

    /// Holes drilled in rows.
    "holes" Holes Holes (NAMED) {
        /// What they are drilled into: a wall, a leg of it, a slab, or the top of something.
        "into" into: Said<Target> = "into old",
        /// Along which sections or legs.
        "along" along: Stretch = "along low, high",
        /// The rows: `height` for holes in a face, `offset` for holes in a top or a floor.
        "rows" rows: Rows = "rows height 4\", 9\", staggered",
        /// How far the first and last of a row stay from the ends of the stretch; 0 unless said.
        "inset" inset: Option<Inset> = "inset 5\", at corners 9\"",
        /// How they are spaced.
        "space" space: Spacing = "space at most 14\"",
        /// Width and depth of each hole.
        "bore" bore: Bore = "bore 5/8\" by 6\"",
        /// What they are moved away from, along the wall.
        "avoid" avoid: Many<Avoid> = "avoid bolt by 3\"",
        /// How their axis leans from square to the surface, and which way they go; square unless said.
        "tilt" tilt: Option<Said<Then<Above<Angle>, Direction>>> = "tilt 15 deg down",
        /// The drill's body, which needs room before the mouth: 14 in long and 4 in wide unless said.
        "drill" drill: Option<Drill> = "drill 12\", wide 3\"",
        /// How much one bit drills before it is worn; one bit for each width of hole unless said.
        "bit" bit: Option<Bit> = "bit lasts 60'",
        /// The resin they are filled with.
        "fill" fill: Option<ResinName> = "fill resin",
    } asks [
        "depth" Length "the depth of each hole" false,
        "bore" Length "the width of each hole" false,
    ] done [
        "scan" May "look for steel, cables and pipes where they go",
        "mark" May "mark their centres",
        "drill" Must "drill and clean them",
    ]

    /// Reinforcing bars, of one of three sorts: dowels in holes (`in`, `out`), long bars (`along`, `rows`, `offset`), or bars
    /// that stand side by side (`along`, `space`, `from`, `legs`).
    "bars" Bars Bars (NAMED) {
        /// The bar's size.
        "size" size: SteelName = "size #4",
        /// The stress the steel yields at; 60000 psi (Grade 60) or 500 MPa (B500), by the size's hooks, unless said.
        "yield" yields: Option<Above<Stress>> = "along low, high; rows height 4\"; offset 5\"; yield 40000 psi",
        /// The holes they are set into; one bar a hole.
        "in" holes: Option<Said<HolesName>> = "in pins; out 5 1/2\"",
        /// How far a dowel stands out of its hole.
        "out" out: Option<Said<Above<Length>>> = "in pins; out 5 1/2\"",
        /// Along which sections or legs they run, or stand side by side.
        "along" along: Option<Stretch> = "along low, high; rows height 4\", 9\"; offset 5\"",
        /// Levels of long bars: absolute ones run through, relative ones follow the steps.
        "rows" rows: Option<Said<BarRows>> = "along low, high; rows height 4\", top - 3\"; offset 5\"",
        /// From the old face to the centre of a long bar.
        "offset" offset: Option<Said<Length>> = "along low, high; rows height 4\", 9\"; offset 5\"",
        /// How far a long bar stops short of each end; 2 in unless said.
        "ends" ends: Option<Unsigned<Length>> = "along low, high; rows height 4\", 9\"; offset 5\"; ends 3\"",
        /// How far a long bar runs beside the next one, and past a step into the higher section; what the bar's rule asks for unless said.
        "lap" lap: Option<Said<Above<Length>>> = "along low, high; rows height top - 4\"; offset 5\"; lap 24\"",
        /// How long the pieces of a long bar may be; as long as the longest stock unless said.
        "pieces" pieces: Option<Said<Pieces>> = "along low, high; rows height 4\"; offset 5\"; pieces at most 6'",
        /// How bars that stand side by side are spaced.
        "space" space: Option<Said<Spacing>> = "along high; space at most 12\"; from offset 5\", height 0; legs up 18\"",
        /// How far the first and last stay from the ends of the stretch; 0 unless said.
        "inset" inset: Option<Inset> = "along high; space at most 12\"; inset 4\", at end 12\"; from offset 5\", height 0; legs up 18\"",
        /// Where the end of a bar that stands side by side with others lies.
        "from" from: Option<Said<From>> = "along high; space at most 12\"; from offset 5\", height 0; legs up 18\"",
        /// The legs of each bar, out to out; one leg is a straight bar. A leg that ends in a hook is measured to the outside of the hook.
        "legs" legs: Option<Said<Legs>> = "along high; space at most 12\"; from offset 2\", height 0; legs up 12\", out 6\", down 12\", in 6\", hook 135 deg",
        /// Which of the places where they cross other bars are tied: `every` one, or with `second` all at the rim and every second one inside; every one unless said.
        "ties" ties: Option<TiesAt> = "along low, high; rows height 4\", 9\"; offset 5\"; ties second",
        /// How far apart chairs stand under a long bar, and spacers between it and a form; 3 ft, or 1 m for sizes whose hooks follow EN, unless said.
        "supports" supports: Option<Above<Length>> = "along low, high; rows height 4\"; offset 5\"; supports 2'",
    } asks [] done [
        "set" May "set dowels in their holes (dowels need this one)",
        "place" May "place and tie bars (all others need this one)",
    ]

    /// Forms against the faces of sections, all that stand free: faces, ends, steps.
    "forms" Forms Forms (NAMED) {
        /// The sections they stand against.
        "against" against: Vec<Said<SectionName>> = "against low, high",
        /// A sheet or board that the concrete presses on.
        "sheath" sheath: Said<LumberName> = "sheath ply-3/4",
        /// Studs behind it.
        "studs" studs: Said<Studs> = "studs 2x4, space at most 12\"",
        /// Walers along the studs; as the braces unless said.
        "walers" walers: Option<Said<Walers>> = "walers 2x4, double",
        /// Ties into the old wall, with the load the user has tested one to.
        "ties" ties: Option<Said<FormTies>> = "ties rows 8\", space at most 2', holds 600 lbf",
        /// Braces behind them.
        "brace" brace: Option<Said<BraceOf>> = "brace 2x4, space at most 3', angle 45 deg, on floor, holds 400 lbf",
        /// A kicker along the foot.
        "kick" kick: Option<Said<Kick>> = "kick 2x4, on bank",
        /// What keeps them down where leaning braces lift them.
        "down" down: Option<Said<HeldDown>> = "down 300 lbf, space at most 3'",
        /// The rule pressure is reckoned by; `aci` unless said.
        "pressure" pressure: Option<Pressure> = "pressure ciria",
        /// The wood; `spruce` unless said.
        "wood" wood: Option<Wood> = "wood douglas-fir",
    } asks [] done [
        "form" Must "build and brace them",
        "strip" May "take them off",
    ]

    /// Concrete placed in one go.
    "pour" Pour Pour (NAMED) {
        /// The sections it fills.
        "fill" fill: Vec<Said<SectionName>> = "fill low, high",
        /// What it is mixed from.
        "mix" mix: MixName = "mix bagged",
        /// What goes into the mixer at once, and how long a batch takes.
        "mixer" mixer: Option<Said<Mixer>> = "mixer 2 bags, takes 5 min, holds 1.5 ft3",
        /// What is carried at once, and how long a trip takes; from the way in or 2 min unless said.
        "carry" carry: Option<Carry> = "carry 3 gal, takes 2 min, by bucket",
        /// How long one full batch is rodded; 3 min unless said.
        "rod" rod: Option<Unsigned<Duration>> = "mixer 2 bags, takes 5 min; rod 4 min",
        /// How high each layer is laid; 8 in or 200 mm unless said.
        "lift" lift: Option<Above<Length>> = "lift 8\"",
        /// How many people; 1 unless said. From two on one mixes while the others carry and place.
        "crew" crew: Option<Above<i64>> = "mixer 2 bags, takes 5 min; crew 2",
        /// Rests.
        "break" breaks: Many<Rest> = "mixer 2 bags, takes 5 min; break 15 min, after 2 h",
        /// Sections whose open top is closed with a board before concrete is laid higher beside it or on it.
        "lid" lids: Option<Vec<Said<SectionName>>> = "mixer 2 bags, takes 5 min; lid low",
        /// What is spilt, stuck or over: 5% unless said.
        "waste" waste: Option<Unsigned<Ratio>> = "waste 8%",
    } asks [] done [
        "pour" Must "mix, place and rod it",
    ]

    /// How a pour is kept until it is strong: moist and warm; when its forms come off, and when it is loaded.
    "cure" Cure Cure (NAMED) {
        /// The pour.
        "of" of: Said<PourName> = "of fill-up",
        /// How warm the concrete goes in, be it into the coldest air of the day; as warm as the warmest, and into that, unless said.
        "fresh" fresh: Option<Said<Temperature>> = "fresh 65 degF",
        /// What keeps sun and wind off its surface until it is covered.
        "screen" screen: Option<Text> = r#"screen "boards to windward, sheet laid on as soon as it is struck off""#,
        /// It is kept wet.
        "wet" wet: Option<Said<Wetted>> = "wet daily for 7 days",
        /// It is wrapped tight, and wet under the wrap.
        "wrap" wrap: Option<Said<Kept>> = "wrap for 7 days",
        /// Its forms stay on, and are kept wet.
        "forms-on" forms_on: Option<Said<Kept>> = "forms-on for 7 days",
        /// It is kept warm under blankets, or in a tent that is heated.
        "warm" warm: Option<Said<Warmed>> = "warm at 55 degF, for 3 days",
        /// When its forms come off; with 500 psi (3.5 MPa) unless a strength is said.
        "strip" strip: Option<Said<Ready>> = "strip after 3 days, at 600 psi",
        /// When it is loaded; with 70% of its strength unless one is said.
        "load" load: Option<Said<Ready>> = "load after 14 days, at 80%",
        /// When ground is filled in against it; with 70% of its strength unless one is said.
        "backfill" backfill: Option<Said<Ready>> = "backfill after 14 days",
    } asks [] done [
        "wet" May "keep it wet, day after day",
        "wrap" May "wrap it",
        "load" May "put load on it (when it may be loaded)",
        "backfill" May "fill ground in against it (when that may be done)",
    ]

    /// A bagged concrete mix.
    "mix" Mix Mix (NAMED) {
        /// What a bag weighs and how much concrete it makes.
        "bag" bag: Said<Bag> = "bag 80 lb, yields 0.60 ft3",
        /// Water for one bag: to start with, and never past.
        "water" water: Option<Range<Above<Volume>>> = "water 2.8 L to 3.8 L",
        /// Compressive strength at 28 days.
        "strength" strength: Option<Above<Stress>> = "strength 4000 psi",
        /// The cement in it; `type-i`, in metric jobs `class-n`, unless said.
        "cement" cement: Option<CementKind> = "cement type-iii",
        /// The largest stones in it.
        "stone" stone: Option<Above<Length>> = "stone 1/2\"",
        /// How long a layer stays soft enough to knit with the next.
        "knits" knits: Option<Vec<Curve<Above<Duration>, Temperature>>> = "knits 60 min at 70 degF",
        /// How long an open top needs until it no longer rises when concrete is laid higher beside it.
        "stiffens" stiffens: Option<Vec<Curve<Above<Duration>, Temperature>>> = "stiffens 30 min at 70 degF",
        /// How long it takes to set.
        "sets" sets: Option<Vec<Curve<Above<Duration>, Temperature>>> = "sets 4 h at 70 degF",
    } asks [] done []

    /// A resin that holds bars in holes.
    "resin" Resin Resin (NAMED) {
        /// What a cartridge holds, what is lost with each nozzle, and the nozzles that come with it.
        "cartridge" cartridge: Option<Cartridge> = "cartridge 22 fl-oz, purge 1 fl-oz, nozzles 2",
        /// What is squeezed out, spilt or over: 25% unless said.
        "waste" waste: Option<Unsigned<Ratio>> = "waste 25%",
        /// How long it can be worked, by temperature.
        "works" works: Option<Vec<Curve<Above<Duration>, Temperature>>> = "works 15 min at 70 degF, 40 min at 50 degF",
        /// How long until it may be loaded, by temperature.
        "cures" cures: Option<Vec<Curve<Above<Duration>, Temperature>>> = "cures 6 h at 70 degF, 24 h at 50 degF",
    } asks [] done []

    /// A bar size.
    "steel" Steel Steel (NAMED) {
        /// The standard it is made to.
        "standard" standard: Option<Text> = r#"standard "ASTM A615""#,
        /// Nominal diameter.
        "diameter" diameter: Above<Length> = "diameter 1/2\"",
        /// Nominal area.
        "area" area: Above<Area> = "area 0.20 in2",
        /// Nominal weight.
        "weight" weight: Weight = "weight 0.668 lb, per ft",
        /// Diameter over the ribs.
        "over" over: Option<Above<Length>> = "over 9/16\"",
        /// Least inside diameter of a bend.
        "bend" bend: Above<Length> = "bend 3\"",
        /// Least inside diameter of the bends of a tie (a bar that closes on itself, or has hooks of 135 deg at both ends); that of `bend` unless said.
        "tie-bend" tie_bend: Option<Above<Length>> = "tie-bend 2\"",
        /// Whose rules its hooks and bends follow; `aci` unless said.
        "hooks" hooks: Option<HookRule> = "hooks en",
    } asks [
        "diameter" Length "its nominal diameter" false,
    ] done []

    /// A lumber or sheet size.
    "lumber" Lumber Lumber (NAMED) {
        /// Cross-section of a board, as it really measures.
        "size" size: Option<Size> = "size 1 1/2\" by 3 1/2\"",
        /// A sheet, as it really measures.
        "sheet" sheet: Option<Sheet> = "sheet 4' by 8', thick 3/4\"",
    } asks [] done []

    /// What is sold or lies at hand of one thing. A thing may have several: by length, by pack, by shop.
    "stock" Stock Stock (NAMED) {
        /// What it is of: a size of bar, board or sheet, a mix, a resin, a wire, or goods.
        "for" item: StockedName = "for #4; length 20'",
        /// Of bars and boards, which must say it: how long each piece is.
        "length" length: Option<Above<Length>> = "for #4; length 20'",
        /// What one pack holds: so many, or a length, area, volume or weight; one bag, cartridge, coil, sheet or piece unless said.
        "unit" unit: Option<Said<Pack>> = "for bagged; unit 1 bag",
        /// What one piece or pack costs.
        "price" price: Option<Said<Above<Money>>> = "for #4; length 20'; price 11.40 USD",
        /// How many lie at hand and are not bought; of bars and boards without a price, there are no more.
        "on-hand" on_hand: Option<Above<i64>> = "for #4; length 20'; on-hand 3",
        /// Of bars and boards: what one cut takes; nothing of bars, 1/8 in of boards, unless said.
        "kerf" kerf: Option<Unsigned<Length>> = "for #4; length 20'; kerf 1/8\"",
        /// What one piece or pack weighs; what is known of the thing unless said.
        "weighs" weighs: Option<Above<Mass>> = "for bagged; weighs 80 lb",
        /// Who sells it.
        "from" from: Option<SupplierName> = "for bagged; from yard",
    } asks [
        "length" Length "how long each piece is" false,
    ] done []

    /// Tie wire.
    "wire" Wire Wire (NAMED) {
        /// Its diameter.
        "diameter" diameter: Above<Length> = "diameter 1/16\"",
        /// Its weight.
        "weight" weight: Weight = "weight 1.044 lb, per 100 ft",
        /// What a coil of it weighs; 3 lb unless said.
        "coil" coil: Option<Above<Mass>> = "coil 3 1/2 lb",
    } asks [
        "diameter" Length "its diameter" false,
    ] done []

    /// A tool, with the figures of its own papers: what it does to ears, hands and lungs is reckoned with them. Without one the
    /// usual tool of the work is taken.
    "tool" Tool Tool (titled(Some(Need::One), Need::Maybe, "what it is")) {
        /// What sort of tool it is.
        "is" sort: ToolSort = "is handheld-saw",
        /// The work it is used for, in every step that does it.
        "for" work: Vec<Said<ToolWork>> = "for cut",
        /// What keeps its dust down.
        "dust" dust: Option<DustKept> = "dust water",
        /// What drives it.
        "power" power: Option<Driven> = "power cord",
        /// How loud it is at the ear; for its sort, from memory, unless said.
        "noise" noise: Option<Above<Sound>> = "noise 98 dB",
        /// What muffs or plugs take off of that, as they are worn; nothing unless said.
        "muffs" muffs: Option<Above<Sound>> = "muffs 20 dB",
        /// How much it shakes the hands, all directions together; for its sort, from memory, unless said.
        "shakes" shakes: Option<Above<Acceleration>> = "shakes 4.5 m/s2",
        /// For how much of a step's time it runs; all of it unless said.
        "runs" runs: Option<Above<Ratio>> = "runs 60%",
    } asks [] done []

    /// Something else that is bought: what the job does not reckon by itself, or, by a name of the library, what it reckons.
    "goods" Goods Goods (titled(Some(Need::One), Need::Maybe, "what it is")) {
        /// How much of it, in pieces or in a length, area, volume or weight; of the library's goods as the job reckons unless said.
        "want" want: Option<Said<Pack>> = "want 2",
        /// The steps it is for.
        "for" steps: Option<Vec<Said<DoneName>>> = "want 2; for drill",
    } asks [] done []

    /// Someone who sells.
    "supplier" Supplier Supplier (titled(Some(Need::One), Need::Maybe, "who it is")) {
        /// What bringing it costs, once for all that is bought there; without it, it is fetched.
        "delivery" delivery: Option<Unsigned<Money>> = "delivery 45 USD",
    } asks [] done []

    /// A tool that is hired, for the days on which its steps are done.
    "hire" Hire Hire (titled(Some(Need::One), Need::Maybe, "what it is")) {
        /// The steps it is for.
        "for" steps: Vec<Said<DoneName>> = "for drill",
        /// What it costs. Of several prices those are taken that come to the least.
        "price" rates: Many<Said<HireRate>> = "for drill; price 55 USD per day; price 180 USD per week",
        /// Which days are paid; `through` unless said.
        "days" days: Option<DaysKept> = "for drill; days used",
        /// How long it is kept, where that is not to be taken from the days of its steps.
        "kept" kept: Option<Above<Duration>> = "for drill; kept 2 days",
        /// How many of it; 1 unless said.
        "count" count: Option<Above<i64>> = "for drill; count 2",
        /// What is left as a pledge and comes back: it is told, not counted.
        "deposit" deposit: Option<Above<Money>> = "for drill; deposit 200 USD",
        /// What bringing and fetching it costs.
        "delivery" delivery: Option<Above<Money>> = "for drill; delivery 30 USD",
        /// Who hires it out.
        "from" from: Option<SupplierName> = "for drill; from yard",
    } asks [] done []

    /// What fetches and carts off, written once.
    "truck" Truck Truck (titled(Some(Need::One), Need::Maybe, "what it is")) {
        /// The weight it takes at once.
        "carries" carries: Above<Mass> = "carries 1400 lb",
        /// The longest thing that goes in.
        "longest" longest: Option<Said<Above<Length>>> = "longest 12'",
        /// The room it has for rubble.
        "holds" holds: Option<Above<Volume>> = "holds 1 yd3",
    } asks [] done []

    /// What is paid that is neither bought nor hired: a permit, the dump, a test.
    "fee" Fee Fee (titled(Some(Need::One), Need::Maybe, "what is paid")) {
        /// What it costs.
        "price" rate: FeeRate = "price 45 USD per trip",
        /// The step, look, wait or question it belongs to.
        "for" node: Option<StepName> = "price 120 USD; for permit",
        /// The strips whose rubble is meant; all of them unless said.
        "of" of: Option<Vec<Said<StripName>>> = "price 45 USD per trip; of strip",
        /// Who is paid.
        "from" from: Option<SupplierName> = "price 45 USD; from yard",
        /// No tax is put on it.
        "untaxed" untaxed: Option<()> = "price 45 USD; untaxed",
    } asks [] done []

    /// How money is reckoned, written once.
    "budget" Budget Budget (UNNAMED) {
        /// Where several sell a thing, all of them are weighed together, deliveries with them, and the cheapest split is taken. Without it what is written first is bought: there alone the order of blocks counts.
        "cheapest" cheapest: Option<()> = "cheapest",
        /// What is put by for what nobody thought of, as a part of everything else.
        "contingency" contingency: Option<Percent> = "contingency 10%",
        /// A tax on everything that is bought, hired, delivered or paid, save fees that say `untaxed`.
        "tax" tax: Option<Percent> = "tax 8%",
    } asks [] done []

    /// The hours that are worked, written once; without it Monday to Friday from 8:00 to 16:00 is taken.
    "hours" Hours Hours (NAMED) {
        /// Hours of some days of every week.
        "work" shifts: Many<Shift> = "work mon to fri, from 16:30 to 20:00",
        /// Days nothing is done on.
        "off" off: Many<Vec<Said<Date>>> = "off 2027-05-06, 2027-05-17",
        /// Weeks nothing is done in, from the first day to the last.
        "away" away: Many<Said<Range<Date>>> = "away 2027-07-05 to 2027-07-16",
        /// Hours of one day beside those of its week.
        "also" also: Many<ShiftOn> = "also 2027-05-16, from 9:00 to 12:00",
        /// When it may be loud: outside of these hours nothing is drilled, sawn, broken or roughened.
        "loud" loud: Option<Said<Range<Clock>>> = "loud 9:00 to 19:00",
        /// How many people are there; 1 unless said.
        "crew" crew: Option<Said<Above<i64>>> = "crew 2",
    } asks [] done []

    /// A piece of work.
    "step" Step Step (titled(Some(Need::One), Need::One, "what is done, in words")) {
        /// What it does to what.
        "work" work: Many<Work> = "work mark pins",
        /// What must be done before it.
        "after" after: Option<Vec<Said<StepName>>> = "after mark",
        /// What must wait for it.
        "before" before: Option<Vec<Said<LaterName>>> = "before cast",
        /// The time to plan with.
        "takes" takes: Option<Takes> = "takes 6 min each",
        /// How many people it needs; 1 unless said. A pour needs its own crew.
        "people" people: Option<Said<Above<i64>>> = "people 2",
        /// Not before this day.
        "not-before" not_before: Option<Date> = "not-before 2027-05-10",
        /// Done by the end of this day.
        "latest" latest: Option<Said<Date>> = "latest 2027-06-30",
        /// It is not cut by the end of a day.
        "whole" whole: Option<()> = "whole",
    } asks [] done []

    /// A hold point: work stops until someone has looked.
    "look" Look Look (titled(Some(Need::One), Need::One, "what is looked at, in words")) {
        /// What must be seen before it is hidden.
        "sees" sees: Option<Vec<Said<ThingName>>> = "sees pins, pegs",
        /// What must be done before it.
        "after" after: Option<Vec<Said<StepName>>> = "after mark",
        /// What must wait for it.
        "before" before: Option<Vec<Said<LaterName>>> = "before cast",
        /// Who looks.
        "by" by: Option<Word> = "by inspector",
        /// How long ahead they must be told.
        "notice" notice: Option<Ahead> = "notice 2 working days",
        /// When they come; Monday to Friday from 8:00 to 16:00 unless said.
        "comes" comes: Many<Shift> = "comes mon to thu, from 9:00 to 12:00",
        /// Seen by the end of this day.
        "latest" latest: Option<Said<Date>> = "latest 2027-06-30",
        /// The time to plan with.
        "takes" takes: Option<Takes> = "takes 30 min",
    } asks [] done []

    /// A time that must pass.
    "wait" Wait Wait (titled(Some(Need::One), Need::One, "what is waited for, in words")) {
        /// The time, which runs day and night.
        "takes" takes: Takes = "takes 24 h",
        /// What must be done before it begins.
        "after" after: Option<Vec<Said<StepName>>> = "after mark",
        /// What must wait for it.
        "before" before: Option<Vec<Said<LaterName>>> = "before cast",
    } asks [] done []

    /// Lets a warning on one thing pass, with the reason; it is then printed as accepted. `down to` and its value may be left
    /// out.
    "accept" Accept AcceptLine (line(r#"accept back-thin on pins down to 1 1/2" because "Agreed with the engineer""#)) {} asks [] done []

    /// What really happened on a day. It is laid over the plan: what was drilled or poured otherwise is checked again with it.
    /// A day may have several.
    "record" Record Record (DATED) {
        /// A step that was finished on this day.
        "done" done: Many<Said<DoneStep>> = "done drill, took 160 min",
        /// A step that was worked at and not finished.
        "worked" worked: Many<Said<DoneStep>> = "worked drill, took 90 min",
        /// Holes that came out otherwise: their depth, their place, what they met.
        "hole" holes: Many<Said<DoneHole>> = "hole pins.3 bore 5/8\" by 5\"",
        /// Bars that were left out, those whose holes are left empty among them.
        "short" short: Many<Said<LeftOut>> = "short rails by 1 \"no room beside the pipe\"",
        /// A pour: its hours, bags, water and temperatures.
        "poured" poured: Many<Said<DonePour>> = "poured fill-up from 9:00 to 12:30, used 29 bags with 3 L, air 58 degF, concrete 61 degF",
        /// A section as it was measured: its thickness, the levels of its top and bottom, how far its face is out of plumb.
        "measured" measured: Many<Said<DoneSize>> = "measured high at old.back 8', thick 8 1/8\", top 19 3/4\" \"beside the bolt\"",
        /// What came of a look.
        "looked" looked: Many<Said<DoneLook>> = "looked seen by inspector, passed \"go on\"",
        /// What was used up.
        "used" used: Many<Said<UsedUp>> = "used 3 cartridges of resin",
        /// A pour that was loaded.
        "loaded" loaded: Many<Said<PourName>> = "loaded fill-up",
        /// A pour ground was filled in against.
        "backfilled" backfilled: Many<Said<PourName>> = "backfilled fill-up",
        /// What else is worth keeping.
        "note" notes: Many<Said<Text>> = "note \"hit a stone at 5 in\"",
    } asks [] done []
}

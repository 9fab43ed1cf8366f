//! The closed lists of words.

use super::{
    shape::{Choice, Shape},
    value::{Said, Take, Value},
};

macro_rules! words {
    ($( $(#[doc = $about:literal])+ $Name:ident { $( $(#[doc = $says:literal])+ $word:literal $Variant:ident ),* $(,)? } )*) => { $(
        $(#[doc = $about])+
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $Name { $( $(#[doc = $says])+ $Variant ),* }

        impl $Name {
            /// Its words, in order.
            pub const CHOICES: &'static [Choice] = &[ $( Choice { word: $word, says: concat!($($says),+) } ),* ];

            /// The word it is written with.
            #[must_use]
            pub fn word(self) -> &'static str {
                Self::CHOICES[self as usize].word
            }
        }

        impl Take for $Name {
            const SHAPE: Shape = Shape::Choice(Self::CHOICES);
            fn take(said: Said<Value>) -> Option<Self> {
                let Value::Choice(at) = said.value else { return None };
                [$( $Name::$Variant ),*].get(at).copied()
            }
        }
    )* };
}

words! {
    /// The units papers are printed in.
    Show {
        /// Feet and inches, pounds, degrees Fahrenheit.
        "feet" Feet,
        /// Millimetres, kilograms, degrees Celsius.
        "metric" Metric,
    }

    /// Where the work is done.
    Surroundings {
        /// Under a roof.
        "indoors" Indoors,
        /// In the open.
        "outdoors" Outdoors,
    }

    /// How one leg of a wall meets the next, as you stand in front of it.
    Way {
        /// The next leg turns away from you.
        "outside" Outside,
        /// The next leg turns towards you.
        "inside" Inside,
        /// The next leg goes straight on.
        "straight" Straight,
    }

    /// What old work is made of.
    Stuff {
        /// Solid concrete.
        "concrete" Concrete,
        /// Concrete block.
        "block" Block,
        /// Brick.
        "brick" Brick,
        /// Stones in mortar.
        "rubble" Rubble,
    }

    /// The rule pressure on forms is reckoned by.
    Pressure {
        /// ACI 347R-14.
        "aci" Aci,
        /// CIRIA Report 108.
        "ciria" Ciria,
    }

    /// What the foot of a brace or kicker stands against.
    StandsOn {
        /// A cleat fixed on a slab or floor.
        "floor" Floor,
        /// Stakes in firm ground.
        "stakes" Stakes,
        /// The edge of a slab, a trench wall or old work that does not move.
        "bank" Bank,
    }

    /// What a time is taken by.
    Measure {
        /// A foot of length: of a saw cut, of bores, of bars, of a crack.
        "ft" Foot,
        /// A metre of length.
        "m" Metre,
        /// A square foot: of a face, a form, a strip.
        "ft2" SquareFoot,
        /// A square metre.
        "m2" SquareMetre,
        /// A cubic foot: of concrete, of what is broken out.
        "ft3" CubicFoot,
        /// A cubic metre.
        "m3" CubicMetre,
        /// A bag mixed.
        "bag" Bag,
        /// A batch mixed.
        "batch" Batch,
        /// A bucket or barrow carried.
        "trip" Trip,
    }

    /// How concrete is put into a form.
    PutIn {
        /// Buckets are tipped over the edge of the form.
        "bucket" Bucket,
        /// It slides in over a board or a trough.
        "chute" Chute,
        /// It is scooped in by hand.
        "scoop" Scoop,
    }

    /// A day of the week.
    Weekday {
        /// Monday.
        "mon" Monday,
        /// Tuesday.
        "tue" Tuesday,
        /// Wednesday.
        "wed" Wednesday,
        /// Thursday.
        "thu" Thursday,
        /// Friday.
        "fri" Friday,
        /// Saturday.
        "sat" Saturday,
        /// Sunday.
        "sun" Sunday,
    }

    /// The wood forms are built from, No. 2.
    Wood {
        /// Spruce-pine-fir.
        "spruce" Spruce,
        /// Douglas fir-larch.
        "douglas-fir" DouglasFir,
        /// Hem-fir.
        "hem-fir" HemFir,
        /// Southern pine.
        "southern-pine" SouthernPine,
    }

    /// What a question is about, where a check looks for it.
    Topic {
        /// Cables, pipes and heating tubes in what is drilled, sawn or broken.
        "lines" Lines,
        /// Whether the slab holds the foot of the wall, and what does while it is away.
        "toe" Toe,
        /// What did the damage, and whether it goes on.
        "cause" Cause,
        /// Where the water goes that comes to the wall.
        "water" Water,
        /// Whether old paint holds lead.
        "lead" Lead,
        /// Whether old flooring, insulation or boards hold asbestos.
        "asbestos" Asbestos,
    }

    /// Sorts of tools.
    ToolSort {
        /// A power saw held in the hands, any blade.
        "handheld-saw" HandheldSaw,
        /// A saw that is walked behind.
        "walk-saw" WalkSaw,
        /// A jackhammer or breaker.
        "breaker" Breaker,
        /// A rotary hammer or impact drill.
        "hammer-drill" HammerDrill,
        /// A handheld chipping hammer.
        "chipper" Chipper,
        /// A handheld grinder.
        "grinder" Grinder,
        /// Hammer, chisel, brush: no machine.
        "hand-tool" HandTool,
        /// A concrete mixer.
        "mixer" Mixer,
        /// A poker that shakes fresh concrete down.
        "vibrator" Vibrator,
    }

    /// Work tools are used for: what steps do with them.
    ToolWork {
        /// Sawing.
        "cut" Cut,
        /// Breaking out.
        "remove" Remove,
        /// Drilling.
        "drill" Drill,
        /// Making old faces ready.
        "prepare" Prepare,
        /// Patching.
        "patch" Patch,
        /// Mixing and placing.
        "pour" Pour,
    }

    /// What keeps dust down at a tool.
    DustKept {
        /// Water at the blade or point, fed by the tool itself.
        "water" Water,
        /// A shroud and a dust collector.
        "vacuum" Vacuum,
        /// Nothing.
        "dry" Dry,
    }

    /// What drives a tool.
    Driven {
        /// Current, by a cord.
        "cord" Cord,
        /// A battery.
        "battery" Battery,
        /// An engine of its own, or a generator beside it.
        "engine" Engine,
        /// Compressed air.
        "air" Air,
    }

    /// What new concrete rests on.
    Base {
        /// Undisturbed soil.
        "soil" Soil,
        /// Compacted gravel.
        "gravel" Gravel,
        /// A form under it, taken out afterwards.
        "form" Form,
    }

    /// What the outer side of new concrete is cast against.
    CastSide {
        /// A form.
        "form" Form,
        /// The side of a trench.
        "earth" Earth,
    }

    /// What the faces of new concrete meet once the forms are off.
    Exposure {
        /// Neither weather nor ground.
        "dry" Dry,
        /// Rain, snow, frost.
        "weather" Weather,
        /// Ground filled in against them.
        "ground" Ground,
    }

    /// Steel a rule asks for, where one does.
    Wanted {
        /// Against cracks from shrinkage and temperature, as in a slab: ACI 318-19 24.4.
        "shrinkage" Shrinkage,
        /// As in a wall that carries: ACI 318-19 11.6 and 11.7.
        "wall" Wall,
    }

    /// The rules laps and developed lengths are worked out by.
    LapRules {
        /// ACI 318-19, Table 25.4.2.3.
        "aci" Aci,
        /// ACI 318-19, Equation 25.4.2.4a.
        "aci-general" AciGeneral,
        /// IRC, Table R608.5.4(1).
        "irc" Irc,
        /// EN 1992-1-1, 8.4 and 8.7.
        "en" En,
    }

    /// The cement of a mix, as standards tell cements apart.
    CementKind {
        /// ASTM C150 Type I.
        "type-i" TypeI,
        /// ASTM C150 Type II.
        "type-ii" TypeII,
        /// ASTM C150 Type III: strong early.
        "type-iii" TypeIII,
        /// ASTM C150 Type IV: slow.
        "type-iv" TypeIV,
        /// ASTM C150 Type V.
        "type-v" TypeV,
        /// Blended: ASTM C595 IS or IP, or with silica fume.
        "blended" Blended,
        /// With up to 25% of fly ash or slag.
        "some-ash" SomeAsh,
        /// With more than 25% of fly ash or slag.
        "much-ash" MuchAsh,
        /// EN 1992-1-1 class R: strong early.
        "class-r" ClassR,
        /// EN 1992-1-1 class N.
        "class-n" ClassN,
        /// EN 1992-1-1 class S: slow.
        "class-s" ClassS,
    }

    /// Which crossings of bars are tied.
    TiesAt {
        /// Every one.
        "every" Every,
        /// All at the rim, and every second one inside.
        "second" Second,
    }

    /// Whose rules hooks and bends follow.
    HookRule {
        /// ACI 318-19 Tables 25.3.1 and 25.3.2.
        "aci" Aci,
        /// EN 1992-1-1 Figures 8.1 and 8.5, and 4 diameters of straight between two bends as in BS 8666.
        "en" En,
    }

    /// A direction, as seen from in front of the wall.
    Direction {
        /// Upwards.
        "up" Up,
        /// Downwards.
        "down" Down,
        /// Away from the old face, towards you.
        "out" Out,
        /// Towards the old face.
        "in" In,
        /// To your left.
        "left" Left,
        /// To your right.
        "right" Right,
    }
}

impl Direction {
    /// The direction straight back.
    #[must_use]
    pub fn opposite(self) -> Direction {
        match self {
            Direction::Up => Direction::Down,
            Direction::Down => Direction::Up,
            Direction::Out => Direction::In,
            Direction::In => Direction::Out,
            Direction::Left => Direction::Right,
            Direction::Right => Direction::Left,
        }
    }
}

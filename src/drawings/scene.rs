//! What a drawing is made of: lines, areas, circles and texts on a sheet, in millimetres, x to the right and y down.

/// A place on the sheet, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Spot {
    /// To the right.
    pub x: f64,
    /// Down.
    pub y: f64,
}

impl Spot {
    /// The place at these coordinates.
    #[must_use]
    pub const fn new(x: f64, y: f64) -> Spot {
        Spot { x, y }
    }

    /// So far on in a direction, and so far aside of it: `aside` grows clockwise of the direction on the sheet.
    #[must_use]
    pub fn moved(self, (x, y): (f64, f64), on: f64, aside: f64) -> Spot {
        Spot { x: self.x + x * on - y * aside, y: self.y + y * on + x * aside }
    }

    /// The distance to another.
    #[must_use]
    pub fn distance(self, other: Spot) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }
}

/// The three weights of line, each twice the one before (as ISO 128 steps them).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// 0.18 mm: dimensions, leaders, hatches.
    Thin,
    /// 0.35 mm: what stands there already, forms.
    Medium,
    /// 0.7 mm: the outline of what is new, and bars.
    Bold,
}

/// How a line is broken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dash {
    /// Not at all.
    Solid,
    /// What is hidden, or taken away.
    Hidden,
    /// Axes, and what is kept clear.
    Axis,
}

/// What a line or a letter is of; a printer gives it its shade. No meaning hangs on the shade alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// Outlines and words.
    Main,
    /// Dimension lines, leaders, what lies in the background.
    Soft,
    /// Steel.
    Steel,
    /// Holes.
    Hole,
    /// What is kept clear, cracks.
    Clear,
    /// Forms.
    Wood,
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stroke {
    /// How heavy.
    pub weight: Weight,
    /// How it is broken.
    pub dash: Dash,
    /// What it is of.
    pub ink: Ink,
}

/// What an area is filled with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fill {
    /// Old concrete that is cut: slanting lines.
    OldCut,
    /// New concrete that is cut: grains and dots.
    NewCut,
    /// Ground that is cut.
    Ground,
    /// Old concrete that is looked at.
    OldSeen,
    /// New concrete that is looked at, and looked through.
    NewSeen,
    /// The paper itself.
    Paper,
    /// A full area of this ink.
    Full(Ink),
    /// A light area of this ink.
    Light(Ink),
}

/// Which end of a text stands at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// A text on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// Where its line of writing is anchored.
    pub at: Spot,
    /// Which end of it stands there.
    pub anchor: Anchor,
    /// Turned clockwise by so many degrees.
    pub angle: f64,
    /// The size of its font in millimetres.
    pub size: f64,
    /// In heavy letters.
    pub bold: bool,
    /// What it is of.
    pub ink: Ink,
    /// What it says.
    pub says: String,
}

/// Things that belong together, with what they are called.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Group {
    /// A name nothing else on the page has, to link to.
    pub id: Option<String>,
    /// What it is, in words.
    pub title: Option<String>,
    /// The id of what it leads to, on a page that has that.
    pub to: Option<String>,
    /// What it is, for programs: names without `data-`, and values.
    pub data: Vec<(&'static str, String)>,
    /// What is in it.
    pub items: Vec<Item>,
}

/// A piece of a drawing.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// Straight lines from place to place, in one or several chains.
    Lines {
        /// The chains.
        chains: Vec<Vec<Spot>>,
        /// Each returns to its first place.
        closed: bool,
        /// How they are drawn, if they are.
        stroke: Option<Stroke>,
        /// What is in them, if anything is.
        fill: Option<Fill>,
    },
    /// A circle.
    Circle {
        /// Its middle.
        at: Spot,
        /// Its radius.
        radius: f64,
        /// How it is drawn, if it is.
        stroke: Option<Stroke>,
        /// What is in it, if anything is.
        fill: Option<Fill>,
    },
    /// A text.
    Text(Text),
    /// Things that belong together.
    Group(Group),
}

/// A line.
#[must_use]
pub fn stroke(weight: Weight, dash: Dash, ink: Ink) -> Option<Stroke> {
    Some(Stroke { weight, dash, ink })
}

impl Item {
    /// One chain of straight lines.
    #[must_use]
    pub fn line(points: Vec<Spot>, stroke: Option<Stroke>) -> Item {
        Item::Lines { chains: vec![points], closed: false, stroke, fill: None }
    }

    /// An area round these places.
    #[must_use]
    pub fn area(points: Vec<Spot>, stroke: Option<Stroke>, fill: Option<Fill>) -> Item {
        Item::Lines { chains: vec![points], closed: true, stroke, fill }
    }

    /// The rectangle between two corners.
    #[must_use]
    pub fn rectangle(a: Spot, b: Spot, stroke: Option<Stroke>, fill: Option<Fill>) -> Item {
        Item::area(vec![a, Spot::new(b.x, a.y), b, Spot::new(a.x, b.y)], stroke, fill)
    }
}

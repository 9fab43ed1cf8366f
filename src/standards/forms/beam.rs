//! Beams over equal spans under an even load, and the sections of what they are made of.

use crate::units::{Area, Length, Volume};

/// Over how many equal spans a member runs in one piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Spans {
    /// One.
    One,
    /// Two.
    Two,
    /// Three.
    Three,
    /// Four.
    Four,
    /// Five.
    Five,
    /// Six or more.
    More,
    /// "Three or more", as textbooks on forms have it: the coefficients of three spans. Four spans bend 7% more.
    Textbook,
}

/// What an even load does to a beam over equal spans: exact, by the equation of three moments.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coefficients {
    /// Greatest moment over `w * L^2`.
    pub moment: f64,
    /// Greatest shear over `w * L`.
    pub shear: f64,
    /// Greatest reaction of an inner support over `w * L`; of the ends, where there is none.
    pub inner: f64,
    /// Reaction of an end over `w * L`.
    pub end: f64,
    /// `w * L^4` over `E * I` times the greatest sag.
    pub sag: f64,
}

impl Spans {
    /// So many; none counts as one.
    #[must_use]
    pub const fn of(count: u64) -> Spans {
        match count {
            0 | 1 => Spans::One,
            2 => Spans::Two,
            3 => Spans::Three,
            4 => Spans::Four,
            5 => Spans::Five,
            _ => Spans::More,
        }
    }

    /// Its coefficients.
    #[must_use]
    pub const fn coefficients(self) -> Coefficients {
        let (moment, shear, inner, end, sag) = match self {
            Spans::One => (0.125, 0.5, 0.5, 0.5, 76.8),
            Spans::Two => (0.125, 0.625, 1.25, 0.375, 184.634_29),
            Spans::Three => (0.1, 0.6, 1.1, 0.4, 145.275_29),
            Spans::Four => (3.0 / 28.0, 17.0 / 28.0, 8.0 / 7.0, 11.0 / 28.0, 154.8),
            Spans::Five => (2.0 / 19.0, 23.0 / 38.0, 43.0 / 38.0, 15.0 / 38.0, 152.2),
            // Of six spans; more differ in the fourth figure.
            Spans::More => (11.0 / 104.0, 63.0 / 104.0, 59.0 / 52.0, 41.0 / 104.0, 152.9),
            Spans::Textbook => (0.1, 0.6, 1.1, 0.4, 145.25),
        };
        Coefficients { moment, shear, inner, end, sag }
    }
}

/// A moment of inertia, held in metres to the fourth.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Inertia(f64);

const INCH_4: f64 = 0.025_4 * 0.025_4 * 0.025_4 * 0.025_4;

impl Inertia {
    /// From inches to the fourth.
    #[must_use]
    pub const fn from_in4(in4: f64) -> Inertia {
        Inertia(in4 * INCH_4)
    }

    /// In inches to the fourth.
    #[must_use]
    pub const fn in4(self) -> f64 {
        self.0 / INCH_4
    }

    /// From metres to the fourth.
    #[must_use]
    pub const fn from_m4(m4: f64) -> Inertia {
        Inertia(m4)
    }

    /// In metres to the fourth.
    #[must_use]
    pub const fn m4(self) -> f64 {
        self.0
    }
}

/// Rectangular pieces side by side, of their true size: a 2x4 is 1 1/2 by 3 1/2 in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rectangle {
    /// Across the load, of one piece.
    pub breadth: Length,
    /// Along the load.
    pub depth: Length,
    /// How many side by side.
    pub pieces: u32,
}

impl Rectangle {
    /// One piece.
    #[must_use]
    pub const fn one(breadth: Length, depth: Length) -> Rectangle {
        Rectangle { breadth, depth, pieces: 1 }
    }

    /// So many side by side.
    #[must_use]
    pub const fn times(self, pieces: u32) -> Rectangle {
        Rectangle { pieces, ..self }
    }

    /// The same piece laid flat.
    #[must_use]
    pub const fn flat(self) -> Rectangle {
        Rectangle { breadth: self.depth, depth: self.breadth, ..self }
    }

    /// All pieces' breadth.
    #[must_use]
    pub fn whole_breadth(&self) -> Length {
        self.breadth * i64::from(self.pieces)
    }

    /// Area of the section.
    #[must_use]
    pub fn area(&self) -> Area {
        self.whole_breadth() * self.depth
    }

    /// Section modulus, `b d^2 / 6`.
    #[must_use]
    pub fn modulus(&self) -> Volume {
        Volume::from_nm3((self.area() * self.depth).nm3() / 6)
    }

    /// Moment of inertia, `b d^3 / 12`.
    #[must_use]
    pub fn inertia(&self) -> Inertia {
        Inertia(self.whole_breadth().metres() * self.depth.metres().powi(3) / 12.0)
    }
}

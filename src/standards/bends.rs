//! How tightly bars may be bent, and how far a hook goes on behind its bend.
//!
//! The ACI tables give inside *diameters*; BS 8666 gives inside *radii*. Angles are turns: a 90 degree hook is an L, a
//! 180 degree hook comes back.

mod european;

pub use european::{Scheduled, bs_across_two_bends, bs_scheduled, bs_straight_between, en_mandrel};

use super::{Part, Size, Unanswered, Worked, edition, mils, mm, some_length};
use crate::units::{Length, System};

/// What a bent bar does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// A main bar, whose hook develops it in tension.
    Main,
    /// A stirrup, tie or hoop.
    Tie,
}

/// How far a standard hook turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Turn {
    /// 90 degrees.
    Square,
    /// 135 degrees.
    Past,
    /// 180 degrees.
    Back,
}

impl Turn {
    /// In degrees.
    #[must_use]
    pub const fn degrees(self) -> f64 {
        match self {
            Turn::Square => 90.0,
            Turn::Past => 135.0,
            Turn::Back => 180.0,
        }
    }
}

/// Ties are bent from bars up to #8: the tables end there.
const TIE_SIZES: &str = "ties are tabulated up to #8";

/// The least inside bend diameter: ACI 318-19 Table 25.3.1 for main bars (seen in a reproduction of the SI edition) and
/// Table 25.3.2 for ties (seen in the 2011 edition, where it is 7.2).
///
/// # Errors
///
/// [`Unanswered`] for bars thicker than the tables know.
pub fn aci_inside_diameter(role: Role, diameter: Length) -> Result<Worked<Length>, Unanswered> {
    let size = Size::of(some_length("db", diameter)?).map(Size::number);
    let (times, why, source) = match (role, size) {
        (Role::Main, Some(3..=8)) => (6, "main bars up to #8", TABLE_25_3_1),
        (Role::Main, Some(9..=11)) => (8, "main bars #9 to #11", TABLE_25_3_1),
        (Role::Main, Some(_)) => (10, "main bars #14 and #18", TABLE_25_3_1),
        (Role::Main, None) => return Err(Unanswered::Outside("db", "bars are tabulated up to #18")),
        (Role::Tie, Some(3..=5)) => (4, "ties up to #5", TABLE_25_3_2),
        (Role::Tie, Some(6..=8)) => (6, "ties #6 to #8", TABLE_25_3_2),
        (Role::Tie, _) => return Err(Unanswered::Outside("db", TIE_SIZES)),
    };
    Ok(multiple("n * db", times, diameter, why, source))
}

const TABLE_25_3_1: &str = "ACI 318-19 Table 25.3.1, seen in a reproduction";
const TABLE_25_3_2: &str = "ACI 318-19 Table 25.3.2, seen in a reproduction of the 2011 edition";

/// The least straight extension behind the bend of a standard hook: ACI 318-19 Table 25.3.1 for main bars (seen in a
/// reproduction; 90 and 180 degrees only) and Table 25.3.2 for ties (multiples seen in the 2011 edition; the 3 in (75 mm)
/// floor and the 180 degree row from memory). More is allowed and adds no anchorage.
///
/// # Errors
///
/// [`Unanswered`] for bars thicker than the tables know and for a main bar's hook of 135 degrees.
pub fn aci_tail(role: Role, turn: Turn, diameter: Length, system: System) -> Result<Worked<Length>, Unanswered> {
    let size = Size::of(some_length("db", diameter)?).map(Size::number);
    let half = Some((edition(system, mils(2500), mm(65)), "the table's least for a hook of 180 degrees"));
    let three = Some((edition(system, mils(3000), mm(75)), "the table's least for ties, from memory"));
    let (times, floor, source) = match (role, turn, size) {
        (_, _, None) => return Err(Unanswered::Outside("db", "bars are tabulated up to #18")),
        (Role::Main, Turn::Square, _) => (12, None, TABLE_25_3_1),
        (Role::Main, Turn::Back, _) => (4, half, TABLE_25_3_1),
        (Role::Main, Turn::Past, _) => {
            return Err(Unanswered::Outside("turn", "hooks of main bars turn by 90 or 180 degrees"));
        }
        (Role::Tie, _, Some(9..)) => return Err(Unanswered::Outside("db", TIE_SIZES)),
        (Role::Tie, Turn::Square, Some(6..)) => (12, None, TABLE_25_3_2),
        (Role::Tie, Turn::Square | Turn::Past, _) => (6, three, TAIL_OF_TIES),
        (Role::Tie, Turn::Back, _) => (4, half, "ACI 318-19 Table 25.3.2, from memory"),
    };
    let tail = multiple("n * db", times, diameter, "by role, size and turn", source);
    let Some((least, why)) = floor else { return Ok(tail) };
    let mut parts = tail.parts;
    parts.push(Part::length("least", least, why));
    Ok(Worked { value: tail.value.max(least), formula: "greater of n * db and least", source, parts })
}

const TAIL_OF_TIES: &str = "ACI 318-19 Table 25.3.2, multiples seen in the 2011 edition, floor of 3 in from memory";

fn multiple(
    formula: &'static str,
    times: i64,
    diameter: Length,
    why: &'static str,
    source: &'static str,
) -> Worked<Length> {
    let parts = vec![Part::number("n", times as f64, why), Part::length("db", diameter, "nominal diameter of the bar")];
    Worked { value: diameter * times, formula, source, parts }
}

/// The inside diameter bars come out with once they have sprung back: ACI 315-99 Table 1 (ties #3 to #8 seen in a
/// reproduction; main bars #3 to #11 from memory). `None` for other bars.
#[must_use]
pub fn aci_finished_diameter(role: Role, diameter: Length) -> Option<Length> {
    Some(mils(match (role, Size::named(diameter)?) {
        (Role::Tie, Size::No3) => 1500,
        (Role::Tie, Size::No4) => 2000,
        (Role::Tie, Size::No5) => 2500,
        (Role::Main, Size::No3) => 2250,
        (Role::Main, Size::No4) => 3000,
        (Role::Main, Size::No5) => 3750,
        (_, Size::No6) => 4500,
        (_, Size::No7) => 5250,
        (_, Size::No8) => 6000,
        (Role::Main, Size::No9) => 9500,
        (Role::Main, Size::No10) => 10_750,
        (Role::Main, Size::No11) => 12_000,
        (Role::Tie, Size::No9 | Size::No10 | Size::No11) | (_, Size::No14 | Size::No18) => return None,
    }))
}

/// A hook as it is bent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hook {
    /// Nominal diameter of the bar.
    pub diameter: Length,
    /// Inside diameter of the bend.
    pub inside: Length,
    /// The straight behind the bend.
    pub tail: Length,
}

impl Hook {
    /// The least hook of ACI 318-19 Tables 25.3.1 and 25.3.2: see [`aci_inside_diameter`] and [`aci_tail`].
    ///
    /// # Errors
    ///
    /// Theirs.
    pub fn aci(role: Role, turn: Turn, diameter: Length, system: System) -> Result<Hook, Unanswered> {
        let inside = aci_inside_diameter(role, diameter)?.value;
        let tail = aci_tail(role, turn, diameter, system)?.value;
        Ok(Hook { diameter, inside, tail })
    }

    /// Inside radius.
    #[must_use]
    pub fn inside_radius(self) -> Length {
        self.inside / 2
    }

    /// The room a 90 degree hook takes along its tail, out to out: r + d + tail (plane geometry).
    #[must_use]
    pub fn square_leg(self) -> Length {
        self.inside_radius() + self.diameter + self.tail
    }

    /// The room a 180 degree hook takes across, out to out: D + 2 d (plane geometry).
    #[must_use]
    pub fn width_of_return(self) -> Length {
        self.inside + self.diameter * 2
    }

    /// How far the tail of a 135 degree hook reaches along its leg, from the outer tangent of the bend: (r + d) +
    /// (tail - r) cos 45 (plane geometry; dimension H of ACI 315-99 Table 1).
    #[must_use]
    pub fn reach_of_past(self) -> Length {
        let along = (self.tail - self.inside_radius()).nm() as f64 * std::f64::consts::FRAC_1_SQRT_2;
        self.inside_radius() + self.diameter + Length::round_nm(along)
    }
}

/// How many times as long as high the slope of an offset bent bar must at least be: 1 in 6, ACI 318-19 10.7.4.1 for
/// column bars (from memory); used for any crank as advice.
pub const CRANK_RUN: i64 = 6;

#[cfg(test)]
mod tests;

//! Hooks at the ends of bars: which way they turn, how long the straight behind the bend must be, and when a bar is a tie.

use super::shape::Steel;
use crate::{
    schema::{Direction, HookRule},
    standards::bends::{Role, Turn, aci_tail},
    units::{Length, System},
};

/// A hook at one end of a bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hook {
    /// How far it turns, in degrees: 90, 135 or 180.
    pub turn: f64,
    /// The straight behind the bend.
    pub tail: Length,
    /// Which way it turns.
    pub way: Direction,
}

/// The hooks that can be made.
pub const TURNS: [f64; 3] = [90.0, 135.0, 180.0];

/// The least straight behind a hook's bend, and where it comes from.
///
/// ACI 318-19 Table 25.3.1 for main bars, Table 25.3.2 for ties. A hook of 135 degrees on a main bar has no row and is held to
/// that of ties; ties of bars above #8 have none either and are held to main bars. EN 1992-1-1 Figure 8.1 for main bars (5 d;
/// so in BS 8666 Table 2), Figure 8.5 for ties (10 d or 70 mm for 90 degrees, else 5 d or 50 mm), from memory.
#[must_use]
pub fn least_tail(steel: &Steel, tie: bool, turn: f64) -> (Length, &'static str) {
    let d = steel.diameter;
    let turn = match turn {
        turn if turn < 112.5 => Turn::Square,
        turn if turn < 157.5 => Turn::Past,
        _ => Turn::Back,
    };
    let mm = |count: i64| Length::METRE * count / 1000;
    match steel.hooks {
        HookRule::Aci => {
            let asked = |role, turn| aci_tail(role, turn, d, System::Feet).map(|tail| (tail.value, tail.source));
            let first = if tie { Role::Tie } else { Role::Main };
            let found =
                asked(first, turn).or_else(|_| asked(Role::Tie, turn)).or_else(|_| asked(Role::Main, Turn::Square));
            found.unwrap_or((d * 12, "12 bar diameters: common practice, no source"))
        }
        HookRule::En if !tie && turn != Turn::Past => (d * 5, "EN 1992-1-1 Figure 8.1, from memory"),
        HookRule::En if turn == Turn::Square => ((d * 10).max(mm(70)), "EN 1992-1-1 Figure 8.5, from memory"),
        HookRule::En => ((d * 5).max(mm(50)), "EN 1992-1-1 Figure 8.5, from memory"),
    }
}

/// A direction as a vector: along the wall, out of it, up.
#[must_use]
pub fn vector(direction: Direction) -> [f64; 3] {
    match direction {
        Direction::Right => [1.0, 0.0, 0.0],
        Direction::Left => [-1.0, 0.0, 0.0],
        Direction::Out => [0.0, 1.0, 0.0],
        Direction::In => [0.0, -1.0, 0.0],
        Direction::Up => [0.0, 0.0, 1.0],
        Direction::Down => [0.0, 0.0, -1.0],
    }
}

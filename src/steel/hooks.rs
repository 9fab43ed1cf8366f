//! Hooks at the ends of bars: which way they turn, how long the straight behind the bend must be, and when a bar is a tie.

use super::shape::Steel;
use crate::{
    schema::{Direction, HookRule},
    units::Length,
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
/// ACI 318-19 Table 25.3.1 for main bars (12 d, and for 180 degrees 4 d or 2 1/2 in), Table 25.3.2 for ties (6 d or 3 in,
/// 12 d for 90 degrees of bars above #5, for 180 degrees 4 d or 2 1/2 in; the figures in inches are from memory). A hook of
/// 135 degrees on a main bar, which has no row, is held to that of ties. EN 1992-1-1 Figure 8.1 for main bars (5 d; so in
/// BS 8666 Table 2), Figure 8.5 for ties (10 d or 70 mm for 90 degrees, else 5 d or 50 mm), from memory.
#[must_use]
pub fn least_tail(steel: &Steel, tie: bool, turn: f64) -> (Length, &'static str) {
    let d = steel.diameter;
    let square = turn < 112.5;
    let back = turn > 157.5;
    let sixteenths = |count: i64| Length::INCH * count / 16;
    let mm = |count: i64| Length::METRE * count / 1000;
    // #5 is 5/8 in, 15M is 16 mm.
    let thin = d <= mm(16);
    match (steel.hooks, tie || (!square && !back)) {
        (HookRule::Aci, false) if square => (d * 12, "ACI 318-19 Table 25.3.1"),
        (HookRule::Aci, false) => ((d * 4).max(sixteenths(40)), "ACI 318-19 Table 25.3.1"),
        (HookRule::Aci, true) if back => ((d * 4).max(sixteenths(40)), "ACI 318-19 Table 25.3.2, from memory"),
        (HookRule::Aci, true) if square && !thin => (d * 12, "ACI 318-19 Table 25.3.2"),
        (HookRule::Aci, true) => ((d * 6).max(sixteenths(48)), "ACI 318-19 Table 25.3.2, 3 in from memory"),
        (HookRule::En, false) => (d * 5, "EN 1992-1-1 Figure 8.1, from memory"),
        (HookRule::En, true) if square => ((d * 10).max(mm(70)), "EN 1992-1-1 Figure 8.5, from memory"),
        (HookRule::En, true) => ((d * 5).max(mm(50)), "EN 1992-1-1 Figure 8.5, from memory"),
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

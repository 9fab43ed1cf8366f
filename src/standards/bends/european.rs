//! Bends by EN 1992-1-1 and BS 8666.

use super::multiple;
use crate::{
    standards::{Unanswered, Worked, mm, sizes::whole_millimetres, some_length},
    units::Length,
};

/// The least mandrel diameter (the inside diameter of a bend): EN 1992-1-1 Table 8.1N, 4 bar diameters up to 16 mm, 7
/// above (seen in a reproduction).
///
/// # Errors
///
/// [`Unanswered`] for no bar.
pub fn en_mandrel(diameter: Length) -> Result<Worked<Length>, Unanswered> {
    let (times, why) = thin(some_length("db", diameter)?, 4, 7);
    Ok(multiple("n * db", times, diameter, why, "EN 1992-1-1 Table 8.1N, seen in a reproduction"))
}

fn thin(diameter: Length, up_to_16: i64, above: i64) -> (i64, &'static str) {
    if diameter <= mm(16) { (up_to_16, "bars up to 16 mm") } else { (above, "bars above 16 mm") }
}

/// A row of BS 8666 Table 2, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Scheduled {
    /// Least scheduling radius (inside radius).
    pub radius: Length,
    /// Diameter of the former.
    pub former: Length,
    /// Least end projection where the bend turns by less than 150 degrees: measured from the outside of the bend, with
    /// a straight of 5 diameters.
    pub projection: Length,
    /// Least end projection of links, whose bends turn by 150 degrees or more: with a straight of 10 diameters.
    pub projection_links: Length,
}

/// BS 8666 Table 2 by bar diameter: least scheduling radius, former and end projections (seen in reproductions). `None`
/// for diameters it does not list.
#[must_use]
pub fn bs_scheduled(diameter: Length) -> Option<Scheduled> {
    let (radius, former, projection, links) = match whole_millimetres(diameter)? {
        6 => (12, 24, 110, 110),
        8 => (16, 32, 115, 115),
        10 => (20, 40, 120, 130),
        12 => (24, 48, 125, 160),
        16 => (32, 64, 130, 210),
        20 => (70, 140, 190, 290),
        25 => (87, 175, 240, 365),
        32 => (112, 224, 305, 465),
        40 => (140, 280, 380, 580),
        _ => return None,
    };
    Some(Scheduled { radius: mm(radius), former: mm(former), projection: mm(projection), projection_links: mm(links) })
}

/// The least straight between two bends: 4 bar diameters, BS 8666 (seen on secondary pages).
///
/// # Errors
///
/// [`Unanswered`] for no bar.
pub fn bs_straight_between(diameter: Length) -> Result<Worked<Length>, Unanswered> {
    let why = "straight between two bends";
    Ok(multiple("n * db", 4, some_length("db", diameter)?, why, "BS 8666, seen on secondary pages"))
}

/// The least overall dimension across two bends: 10 bar diameters up to 16 mm, 13 above, BS 8666 Figure 6 (seen on a
/// secondary page).
///
/// # Errors
///
/// [`Unanswered`] for no bar.
pub fn bs_across_two_bends(diameter: Length) -> Result<Worked<Length>, Unanswered> {
    let (times, why) = thin(some_length("db", diameter)?, 10, 13);
    Ok(multiple("n * db", times, diameter, why, "BS 8666 Figure 6, seen on a secondary page"))
}

//! What all of the pressure comes to, and where it is held: statics.

use super::{Envelope, Part, Unanswered, Worked, head, some_length};
use crate::units::{Area, Density, Force, Length, LineLoad};

/// The thrust on a form, for each length of wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thrust {
    /// How much.
    pub force: LineLoad,
    /// How far above the foot it acts.
    pub arm: Length,
    /// What would turn the form over its foot: moment for each length, in newton metres a metre.
    pub overturning: Force,
}

/// The thrust of a form and where it acts. An old wall behind a one-sided form gets the same thrust on its face.
#[must_use]
pub fn thrust(pressure: &Envelope) -> Worked<Thrust> {
    let (height, top) = (pressure.height, pressure.form.min(pressure.height));
    let force = force_between(pressure, Length::ZERO, top);
    let about_foot = moment_between(pressure, Length::ZERO, top);
    let (h1, over) = (pressure.full_head_to(), height - top);
    let mut parts = vec![Part::stress("p", pressure.peak, "greatest pressure")];
    let formula = if over > Length::ZERO && over >= h1 {
        parts.push(Part::length("f", top, "height of the form, over which it is the same"));
        "p * f"
    } else {
        parts.push(Part::length("h", height, "height of fresh concrete"));
        parts.push(Part::length("h1", h1, "down to where it grows like that of a liquid"));
        if over > Length::ZERO {
            parts.push(Part::length("u", over, "of the fresh concrete stands above the form"));
            "p * (h - h1 / 2 - u * u / h1 / 2)"
        } else {
            "p * (h - h1 / 2)"
        }
    };
    let arm = if force > 0.0 { Length::round_nm(about_foot / force * 1e9) } else { Length::ZERO };
    Worked {
        value: Thrust { force: LineLoad::from_n_m(force), arm, overturning: Force::from_newtons(about_foot) },
        formula,
        source: "statics",
        parts,
    }
}

/// What each of several levels holds of the thrust, for each length of wall: braces, ties into the old wall, and the foot.
///
/// `levels` are heights above the foot of the form, rising; the foot is 0. Between two levels the form is a simple beam,
/// over the uppermost and under the lowest it sticks out. The shares add up to the thrust, and their moments to its
/// moment. A share below zero means that the form is pushed back there and lifts off.
///
/// # Errors
///
/// [`Unanswered`] for fewer than two levels, which cannot hold thrust and overturning both, for levels that do not rise,
/// and for levels outside of the form.
pub fn shares(pressure: &Envelope, levels: &[Length]) -> Result<Vec<LineLoad>, Unanswered> {
    const FEW: &str = "one level alone does not hold the thrust and what would turn the form over";
    const ORDER: &str = "levels rise from one to the next";
    const BEYOND: &str = "levels lie between the foot of the form and the top of what it holds";
    let top = pressure.form.min(pressure.height);
    if levels.len() < 2 {
        return Err(Unanswered::Outside("levels", FEW));
    }
    if levels.iter().any(|level| *level < Length::ZERO || *level > top) {
        return Err(Unanswered::Outside("levels", BEYOND));
    }
    let mut out = vec![0.0; levels.len()];
    let bays = levels.len() - 1;
    for (bay, pair) in levels.windows(2).enumerate() {
        let &[lower, upper] = pair else { continue };
        if upper <= lower {
            return Err(Unanswered::Outside("levels", ORDER));
        }
        let from = if bay == 0 { Length::ZERO } else { lower };
        let to = if bay + 1 == bays { top } else { upper };
        let force = force_between(pressure, from, to);
        let about_lower = moment_between(pressure, from, to) - force * lower.metres();
        let on_upper = about_lower / (upper - lower).metres();
        for (at, share) in [(bay, force - on_upper), (bay + 1, on_upper)] {
            if let Some(sum) = out.get_mut(at) {
                *sum += share;
            }
        }
    }
    Ok(out.into_iter().map(LineLoad::from_n_m).collect())
}

/// The force between two heights above the foot, in newtons a metre.
fn force_between(pressure: &Envelope, from: Length, to: Length) -> f64 {
    pieces(pressure, from, to).iter().map(|piece| piece.force()).sum()
}

/// Its moment about the foot, in newton metres a metre.
fn moment_between(pressure: &Envelope, from: Length, to: Length) -> f64 {
    pieces(pressure, from, to).iter().map(Piece::moment).sum()
}

/// Pressure in a straight line from one height to another, in metres and pascals.
struct Piece {
    low: f64,
    high: f64,
    at_low: f64,
    at_high: f64,
}

impl Piece {
    fn force(&self) -> f64 {
        (self.high - self.low) * (self.at_low + self.at_high) / 2.0
    }

    fn moment(&self) -> f64 {
        let length = self.high - self.low;
        self.force() * self.low + length * length * (self.at_low + 2.0 * self.at_high) / 6.0
    }
}

/// The pressure between two heights: below and above where it stops growing.
fn pieces(pressure: &Envelope, from: Length, to: Length) -> [Piece; 2] {
    let bend = (pressure.height - pressure.full_head_to()).max(from).min(to);
    let piece = |low: Length, high: Length| Piece {
        low: low.metres(),
        high: high.metres(),
        at_low: pressure.at(pressure.height - low).pa(),
        at_high: pressure.at(pressure.height - high).pa(),
    };
    [piece(from, bend), piece(bend, to)]
}

/// The uplift on a face whose top leans in by so much over its height: the weight of the prism above the face up to the
/// free surface, for each length of wall.
///
/// # Errors
///
/// [`Unanswered`] for no weight or height and for a lean less than nothing.
pub fn lean_uplift(density: Density, lean: Length, height: Length) -> Result<Worked<LineLoad>, Unanswered> {
    super::some_density(density)?;
    let h = some_length("h", height)?;
    if lean < Length::ZERO {
        return Err(Unanswered::Nothing("lean"));
    }
    let area = Area::from_nm2((lean * h).nm2() / 2);
    Ok(Worked {
        value: LineLoad::from_n_m(head(density, Length::METRE).pa() * area.square_metres()),
        formula: "w * lean * h / 2",
        source: "statics",
        parts: vec![
            Part::density("w", density, "weight of the fresh concrete"),
            Part::length("lean", lean, "how far the top leans in"),
            Part::length("h", h, "height of the face"),
        ],
    })
}

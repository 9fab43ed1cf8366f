//! Nails in wood: withdrawal and lateral load by the NDS.

use super::{Part, Setting, Unanswered, Worked, some_length, some_number};
use crate::{
    standards::mils,
    units::{Force, Length, LineLoad, whole_up},
};

/// A nail.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nail {
    /// Diameter of its shank.
    pub diameter: Length,
    /// How much of it holds: from under the head that bears to the point.
    pub length: Length,
}

const fn nail(name: &'static str, diameter: i64, length: i64, source: &'static str) -> Setting<Nail> {
    Setting { name, value: Nail { diameter: mils(diameter), length: mils(length) }, source }
}

const COMMON: &str = "common nails, seen in a textbook on formwork";
const DUPLEX: &str = "duplex nails hold from under the lower head, from memory";

/// Nails forms are made with.
pub const USUAL_NAILS: [Setting<Nail>; 6] = [
    nail("8d common", 131, 2500, COMMON),
    nail("10d common", 148, 3000, COMMON),
    nail("16d common", 162, 3500, COMMON),
    nail("20d common", 192, 4000, COMMON),
    nail("8d duplex", 131, 2250, DUPLEX),
    nail("16d duplex", 162, 3000, DUPLEX),
];

/// What a nail's load is multiplied by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct NailFactors {
    /// How long the load stays.
    pub duration: super::LoadDuration,
    /// Wet in service.
    pub wet: bool,
    /// Driven at a slant through the end of the piece.
    pub toenailed: bool,
    /// Driven into the end of the grain.
    pub end_grain: bool,
}

impl NailFactors {
    fn parts(&self, withdrawal: bool) -> [Part; 4] {
        let choose = |said: bool, factor: f64| if said { factor } else { 1.0 };
        let wet = if withdrawal { 0.25 } else { 0.7 };
        let slant = if withdrawal { 0.67 } else { 0.83 };
        let end = if withdrawal { 0.0 } else { 0.67 };
        [
            Part::number("CD", self.duration.factor(), "how long the load stays"),
            Part::number("CM", choose(self.wet, wet), "wet or dry, from memory"),
            Part::number("Ctn", choose(self.toenailed, slant), "driven at a slant or not, from memory"),
            Part::number("Ceg", choose(self.end_grain, end), "into end grain or side grain, end grain from memory"),
        ]
    }
}

fn product(parts: &[Part]) -> f64 {
    let factor = |part: &Part| match part.value {
        crate::ledger::Figure::Number(number) => number,
        _ => 1.0,
    };
    parts.iter().map(factor).product()
}

/// The withdrawal of a nail for each length driven into side grain: `1380 G^2.5 D` pounds an inch, with its factors; nothing
/// in end grain. NDS 12.2 (formula from memory; it reproduces a table seen in a textbook on formwork).
///
/// # Errors
///
/// [`Unanswered`] for no gravity or diameter.
pub fn withdrawal(gravity: f64, diameter: Length, factors: &NailFactors) -> Result<Worked<LineLoad>, Unanswered> {
    let g = some_number("G", gravity)?;
    let d = some_length("D", diameter)?;
    let factors = factors.parts(true);
    let pounds_an_inch = 1380.0 * g.powf(2.5) * d.inches() * product(&factors);
    let mut parts = vec![
        Part::number("G", g, "specific gravity of the wood"),
        Part::number("D", d.inches(), "diameter of the nail, in"),
    ];
    parts.extend(factors);
    Ok(Worked {
        value: LineLoad::from_plf(pounds_an_inch * 12.0),
        formula: "1380 * G^2.5 * D * CD * CM * Ctn * Ceg, lbf an inch",
        source: "NDS 12.2, from memory; reproduces a table seen in a textbook on formwork",
        parts,
    })
}

/// A nail through a side piece into a main piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nailed {
    /// The nail.
    pub nail: Nail,
    /// Bending yield strength of the nail in psi; none takes that of its diameter, from memory.
    pub yield_psi: Option<f64>,
    /// Thickness of the side piece.
    pub side: Length,
    /// Specific gravity of the side piece.
    pub side_gravity: f64,
    /// Specific gravity of the main piece.
    pub main_gravity: f64,
    /// What it is multiplied by.
    pub factors: NailFactors,
}

/// What one nail takes across its length, in single shear between wood and wood: the lowest of the yield modes of the NDS
/// (equations seen in a course notebook). Less than 10 diameters in the main piece count in part, less than 6 not at all.
///
/// # Errors
///
/// [`Unanswered`] for no size or gravity, for nails of 1/4 in or more, and for a nail that does not reach 6 diameters.
pub fn lateral(nailed: &Nailed) -> Result<Worked<Force>, Unanswered> {
    let d = some_length("D", nailed.nail.diameter)?.inches();
    let ls = some_length("ls", nailed.side)?.inches();
    let (gs, gm) = (some_number("Gs", nailed.side_gravity)?, some_number("Gm", nailed.main_gravity)?);
    if d >= 0.25 {
        return Err(Unanswered::Outside("D", "nails are covered below 1/4 in"));
    }
    let driven = (nailed.nail.length - nailed.side).inches();
    if driven < 6.0 * d * (1.0 - 1e-9) {
        return Err(Unanswered::Outside("p", "a nail reaches 6 diameters into the main piece at least"));
    }
    let fyb = match nailed.yield_psi {
        Some(psi) => some_number("Fyb", psi)?,
        // From memory.
        None if d <= 0.142 => 100_000.0,
        None if d <= 0.177 => 90_000.0,
        None => 80_000.0,
    };
    let depth = (driven / (10.0 * d)).min(1.0);
    let (mode, single) = yielding(d, ls, driven, gs, gm, fyb);
    let factors = nailed.factors.parts(false);
    let mut parts = vec![
        Part::force("Z", Force::from_lbf(single), mode),
        Part::number("Cd", depth, "driven depth over 10 diameters, at most 1"),
    ];
    parts.extend(factors);
    Ok(Worked {
        value: Force::from_lbf(single * depth * product(&factors)),
        formula: "Z * Cd * CD * CM * Ctn * Ceg",
        source: "NDS 12.3 yield modes, seen in a course notebook; factors of wet, slant and end grain from memory",
        parts,
    })
}

/// The lowest yield mode and its load in pounds.
fn yielding(d: f64, ls: f64, lm: f64, gs: f64, gm: f64, fyb: f64) -> (&'static str, f64) {
    let bearing = |gravity: f64| 16_600.0 * gravity.powf(1.84);
    let (fes, fem) = (bearing(gs), bearing(gm));
    let (re, rt) = (fem / fes, lm / ls);
    let rd = if d <= 0.17 { 2.2 } else { 10.0 * d + 0.5 };
    let k1 = ((re + 2.0 * re * re * (1.0 + rt + rt * rt) + rt * rt * re.powi(3)).sqrt() - re * (1.0 + rt)) / (1.0 + re);
    let k2 = -1.0 + (2.0 * (1.0 + re) + 2.0 * fyb * (1.0 + 2.0 * re) * d * d / (3.0 * fem * lm * lm)).sqrt();
    let k3 = -1.0 + (2.0 * (1.0 + re) / re + 2.0 * fyb * (2.0 + re) * d * d / (3.0 * fem * ls * ls)).sqrt();
    [
        ("one nail, mode Im", d * lm * fem / rd),
        ("one nail, mode Is", d * ls * fes / rd),
        ("one nail, mode II", k1 * d * ls * fes / rd),
        ("one nail, mode IIIm", k2 * d * lm * fem / ((1.0 + 2.0 * re) * rd)),
        ("one nail, mode IIIs", k3 * d * ls * fem / ((2.0 + re) * rd)),
        ("one nail, mode IV", d * d / rd * (2.0 * fem * fyb / (3.0 * (1.0 + re))).sqrt()),
    ]
    .into_iter()
    .reduce(|low, mode| if mode.1 < low.1 { mode } else { low })
    .unwrap_or(("", 0.0))
}

/// How many nails a load wants.
///
/// # Errors
///
/// [`Unanswered`] for no load or nothing that one nail takes.
pub fn nails_needed(load: Force, each: Force) -> Result<Worked<u64>, Unanswered> {
    some_number("load", load.newtons())?;
    some_number("each", each.newtons())?;
    Ok(Worked {
        value: whole_up(load / each),
        formula: "load / each, up to whole nails",
        source: "",
        parts: vec![
            Part::force("load", load, "what the joint carries"),
            Part::force("each", each, "what one nail takes"),
        ],
    })
}

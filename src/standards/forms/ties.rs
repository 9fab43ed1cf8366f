//! Ties: what comes on one, and what wire takes.

use super::{Checked, Figure, Limit, Part, Setting, Unanswered, some_length, some_number, some_stress, widest};
use crate::units::{Force, Length, Stress};

/// What the breaking load of a form tie is divided by: 2.0, ACI 347R-14 Table 2.4 (from memory; the row was seen). The Army's
/// own procedure divides by nothing.
pub const TIE_FACTOR: f64 = 2.0;

/// A steel wire of a gauge, twice round.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wire {
    /// Steel wire gauge.
    pub gauge: u8,
    /// Breaking load of two strands.
    pub breaking: Force,
}

const fn wire(gauge: u8, lbf: f64, source: &'static str) -> Setting<Wire> {
    Setting { name: "double strand of annealed wire", value: Wire { gauge, breaking: Force::from_lbf(lbf) }, source }
}

const ARMY: &str = "US Army Engineer School, subcourse EN5151, Table 5: least breaking load";
const DERIVED: &str = "derived: the strength of the Army's wires on the area of this one, its diameter from memory";

/// Breaking loads of annealed wire; 16 gauge ties bars and is no form tie.
pub const WIRES: [Setting<Wire>; 6] = [
    wire(8, 1700.0, ARMY),
    wire(9, 1420.0, ARMY),
    wire(10, 1170.0, ARMY),
    wire(11, 930.0, ARMY),
    wire(12, 717.0, DERIVED),
    wire(14, 412.0, DERIVED),
];

/// What may come on something that breaks at a load.
///
/// # Errors
///
/// [`Unanswered`] for no load, and for a factor below 1.
pub fn working_load(breaking: Force, factor: f64) -> Result<Force, Unanswered> {
    some_number("breaking", breaking.newtons())?;
    if factor >= 1.0 && factor.is_finite() {
        Ok(breaking / factor)
    } else {
        Err(Unanswered::Outside("factor", "the factor of safety is 1 at least"))
    }
}

/// A tie that carries a rectangle of form: pressure times its two spacings, against what may come on it. The widest spacing
/// is that of `along`.
///
/// # Errors
///
/// [`Unanswered`] where a pressure, spacing or capacity is none.
pub fn tie_load(pressure: Stress, along: Length, across: Length, capacity: Force) -> Result<Checked, Unanswered> {
    let p = some_stress("p", pressure)?;
    let (s, rows) = (some_length("s", along)?, some_length("rows", across)?);
    some_number("capacity", capacity.newtons())?;
    let load = |spacing: Length| p * rows * spacing;
    Ok(Checked {
        limit: Limit::Hold,
        load: Figure::Force(load(s)),
        capacity: Figure::Force(capacity),
        ratio: load(s) / capacity,
        widest: widest(|spacing| load(spacing) / capacity),
        formula: "p * s * rows",
        source: "statics",
        parts: vec![
            Part::stress("p", p, "pressure where the tie sits"),
            Part::length("s", s, "spacing of the ties along the waler"),
            Part::length("rows", rows, "strip of form the waler carries"),
        ],
    })
}

//! How large the largest stone may be.

use super::{Part, Unanswered, Worked, some_length};
use crate::units::Length;

/// What a stone must get through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Room {
    /// The narrowest between the sides of forms.
    pub between_forms: Length,
    /// Depth of a slab.
    pub slab: Option<Length>,
    /// The least clear between bars, or between bars and dowels.
    pub between_bars: Option<Length>,
    /// The least cover of bars to a form.
    pub cover: Option<Length>,
}

/// The largest aggregate: a fifth between forms, a third of a slab's depth, three quarters of the clear between bars, ACI
/// 318-19 26.4.2.1 (from memory); and three quarters of the cover (common practice, no source).
///
/// # Errors
///
/// [`Unanswered`] for a room that is none.
pub fn largest_aggregate(room: &Room) -> Result<Worked<Length>, Unanswered> {
    let mut parts = vec![Part::length(
        "forms",
        some_length("forms", room.between_forms)? / 5,
        "a fifth of the narrowest between forms",
    )];
    for (symbol, clear, over, under, why) in [
        ("slab", room.slab, 1, 3, "a third of the slab's depth"),
        ("bars", room.between_bars, 3, 4, "three quarters of the clear between bars"),
        ("cover", room.cover, 3, 4, "three quarters of the cover, common practice"),
    ] {
        if let Some(clear) = clear {
            parts.push(Part::length(symbol, some_length(symbol, clear)? * over / under, why));
        }
    }
    let lengths = parts.iter().filter_map(|part| match part.value {
        crate::ledger::Figure::Length(length) => Some(length),
        _ => None,
    });
    Ok(Worked {
        value: lengths.min().unwrap_or(Length::ZERO),
        formula: "least of the parts",
        source: "ACI 318-19 26.4.2.1, from memory",
        parts,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::tests::inches;

    #[test]
    fn the_narrowest_decides() {
        let wall = Room { between_forms: inches(8.0), slab: None, between_bars: None, cover: None };
        let of = |room: Room| largest_aggregate(&room).unwrap().value;
        assert_eq!(of(wall), inches(1.6));
        assert_eq!(of(Room { between_bars: Some(inches(1.0)), ..wall }), inches(0.75));
        assert_eq!(of(Room { slab: Some(inches(3.0)), ..wall }), inches(1.0));
        assert_eq!(of(Room { cover: Some(inches(1.5)), ..wall }), inches(1.125));
        assert!(largest_aggregate(&Room { cover: Some(Length::ZERO), ..wall }).is_err());
        assert!(largest_aggregate(&Room { between_forms: Length::ZERO, ..wall }).is_err());
    }
}

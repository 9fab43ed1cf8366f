//! Footings that step down a slope.
//!
//! The IRC says when a footing steps and gives no measures for the steps; the ratios of riser to tread that are sometimes
//! printed under its number do not stand in it.

use super::{Part, Unanswered, Worked, mm, some_length};
use crate::units::Length;

/// The flattest slope that a bottom may have without steps, as run per rise: 10, IRC R403.1.5 (text seen).
pub const RUN_PER_RISE: i64 = 10;

/// Whether the bottom of a footing that drops so far over so long must be stepped: it may slope by one in ten and no more.
/// IRC R403.1.5 (text seen; the same in the New York City building code, 1809.2). Exact.
///
/// # Errors
///
/// [`Unanswered`] for no run.
pub fn must_step(drop: Length, run: Length) -> Result<Worked<bool>, Unanswered> {
    let run = some_length("run", run)?;
    Ok(Worked {
        value: i128::from(drop.abs().nm()) * i128::from(RUN_PER_RISE) > i128::from(run.nm()),
        formula: "drop * 10 > run",
        source: "IRC R403.1.5, text seen",
        parts: vec![
            Part::length("drop", drop.abs(), "from the higher end of the bottom to the lower"),
            Part::length("run", run, "level distance between them"),
        ],
    })
}

/// How far the upper footing runs over the lower at a step: the greatest of twice the step, the thickness and 300 mm;
/// Approved Document A (England and Wales), seen on a secondary page.
///
/// # Errors
///
/// [`Unanswered`] for no step or thickness.
pub fn overlap(step: Length, thickness: Length) -> Result<Worked<Length>, Unanswered> {
    let (step, thickness) = (some_length("step", step)?, some_length("t", thickness)?);
    Ok(Worked {
        value: (step * 2).max(thickness).max(mm(300)),
        formula: "greatest of 2 * step, t and 300 mm",
        source: "Approved Document A, seen on a secondary page",
        parts: vec![
            Part::length("step", step, "height of the step"),
            Part::length("t", thickness, "thickness of the footing"),
        ],
    })
}

/// Whether a step is low enough: no higher than the footing is thick; Approved Document A (England and Wales), seen on a
/// secondary page.
#[must_use]
pub fn step_fits(step: Length, thickness: Length) -> bool {
    step <= thickness
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::tests::inches;

    #[test]
    fn stp_1_and_2_slopes_up_to_one_in_ten() {
        let steps = |drop, run| must_step(drop, run).unwrap().value;
        assert!(steps(inches(7.0), inches(60.0)));
        assert!(!steps(inches(6.0), inches(60.0)));
        assert!(steps(inches(6.0) + Length::from_nm(1), inches(60.0)));
        assert!(steps(-inches(7.0), inches(60.0)));
        assert!(steps(Length::from_nm(i64::MIN), Length::METRE));
        assert_eq!(must_step(inches(1.0), Length::ZERO), Err(Unanswered::Nothing("run")));
    }

    #[test]
    fn stp_3_overlap_of_approved_document_a() {
        assert_eq!(overlap(mm(200), mm(225)).unwrap().value, mm(400));
        assert!(step_fits(mm(200), mm(225)) && step_fits(mm(225), mm(225)) && !step_fits(mm(226), mm(225)));
        assert_eq!(overlap(mm(100), mm(350)).unwrap().value, mm(350));
        assert_eq!(overlap(mm(100), mm(150)).unwrap().value, mm(300));
        assert!(overlap(Length::ZERO, mm(150)).is_err());
    }
}

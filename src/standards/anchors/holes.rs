//! What hole a bar wants, and what stays behind it.

use super::{Part, Unanswered, Worked, mils, mm, some_length};
use crate::{
    standards::PRACTICE,
    standards::{Size, edition, sizes::whole_millimetres},
    units::{Length, System},
};

/// The hole usually drilled for a bar set with adhesive (common practice, no source): 1/8 in more than the bar up to #8, a
/// quarter or so above; for millimetre bars the next usual bit. `None` for other bars.
#[must_use]
pub fn usual_hole(diameter: Length) -> Option<Worked<Length>> {
    let of_inches = Size::named(diameter).and_then(|size| {
        Some(mils(match size {
            Size::No3 => 500,
            Size::No4 => 625,
            Size::No5 => 750,
            Size::No6 => 875,
            Size::No7 => 1000,
            Size::No8 => 1125,
            Size::No9 => 1375,
            Size::No10 => 1500,
            Size::No11 => 1750,
            Size::No14 | Size::No18 => return None,
        }))
    });
    let hole = of_inches.or_else(|| {
        Some(mm(match whole_millimetres(diameter)? {
            8 => 12,
            10 => 14,
            12 => 16,
            16 => 20,
            20 => 25,
            25 => 32,
            32 => 40,
            _ => return None,
        }))
    })?;
    Some(Worked {
        value: hole,
        formula: "table, by bar",
        source: PRACTICE,
        parts: vec![Part::length("db", diameter, "nominal diameter of the bar")],
    })
}

/// The least hole for a bar set with resin grout: 1/16 in more than the bar, Ohio DOT Item 510.03 (seen).
///
/// # Errors
///
/// [`Unanswered`] for no bar.
pub fn resin_grout_hole(diameter: Length) -> Result<Worked<Length>, Unanswered> {
    wider(diameter, Length::INCH / 16, "resin grout")
}

/// The least hole for a bar set with cement grout: 1/2 in more than the bar, Ohio DOT Item 510.03 (seen).
///
/// # Errors
///
/// [`Unanswered`] for no bar.
pub fn cement_grout_hole(diameter: Length) -> Result<Worked<Length>, Unanswered> {
    wider(diameter, Length::INCH / 2, "cement grout")
}

fn wider(diameter: Length, by: Length, why: &'static str) -> Result<Worked<Length>, Unanswered> {
    let db = some_length("db", diameter)?;
    Ok(Worked {
        value: db + by,
        formula: "db + c",
        source: "Ohio DOT Item 510.03, seen",
        parts: vec![Part::length("db", db, "nominal diameter of the bar"), Part::length("c", by, why)],
    })
}

/// The least concrete that stays behind a hole: the greater of 2 in (50 mm) and two hole diameters (common practice, no
/// source; the Code gives no figure for adhesive anchors).
///
/// # Errors
///
/// [`Unanswered`] for no hole.
pub fn behind(hole: Length, system: System) -> Result<Worked<Length>, Unanswered> {
    let dh = some_length("dh", hole)?;
    let least = edition(system, mils(2000), mm(50));
    Ok(Worked {
        value: (dh * 2).max(least),
        formula: "greater of 2 dh and least",
        source: PRACTICE,
        parts: vec![Part::length("dh", dh, "diameter of the hole"), Part::length("least", least, "behind any hole")],
    })
}

/// The concrete that stays behind a hole this deep; less than nothing where it comes out.
#[must_use]
pub fn left_behind(member: Length, depth: Length) -> Length {
    member - depth
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::tests::{inches, no};

    #[test]
    fn usual_holes() {
        for (at, eighths) in [4, 5, 6, 7, 8, 9, 11, 12, 14].into_iter().enumerate() {
            assert_eq!(usual_hole(no(at + 3)).unwrap().value, Length::INCH * eighths / 8);
        }
        for (bar, hole) in [(8, 12), (10, 14), (12, 16), (16, 20), (20, 25), (25, 32), (32, 40)] {
            assert_eq!(usual_hole(mm(bar)).unwrap().value, mm(hole));
        }
        assert_eq!(usual_hole(mm(14)), None);
        assert_eq!(usual_hole(Length::from_nm(11_300_000)), None);
        assert_eq!(usual_hole(Size::No14.diameter()), None);
    }

    #[test]
    fn every_usual_hole_is_wide_enough_for_resin_and_none_for_cement_grout() {
        for size in 3..=11 {
            let hole = usual_hole(no(size)).unwrap().value;
            assert!(hole >= resin_grout_hole(no(size)).unwrap().value);
            assert!(hole < cement_grout_hole(no(size)).unwrap().value);
        }
        assert!(cement_grout_hole(Length::ZERO).is_err());
    }

    #[test]
    fn an_8_in_wall_takes_a_hole_of_6_in() {
        let least = behind(inches(0.625), System::Feet).unwrap().value;
        assert_eq!(least, inches(2.0));
        assert!(left_behind(inches(8.0), inches(6.0)) >= least);
        assert!(left_behind(inches(8.0), inches(6.5)) < least);
        assert!(left_behind(inches(8.0), inches(9.0)) < Length::ZERO);
        assert_eq!(behind(inches(1.125), System::Feet).unwrap().value, inches(2.25));
        assert_eq!(behind(mm(16), System::Metric).unwrap().value, mm(50));
        assert!(behind(Length::ZERO, System::Feet).is_err());
    }
}

//! How much concrete lies between steel and the face, and how far both may be off when placed.
//!
//! Cover runs to the *outermost* steel: to the tie where ties go round a bar. A face cast against an old wall is no face
//! of the weather or the ground; there the clear spacing of [`super::spacing`] counts (common practice, no source).

use super::{Part, Size, Unanswered, Worked, edition, mils, mm, some_length};
use crate::units::{Length, System};

/// What a face of concrete meets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Exposure {
    /// Cast against ground and in contact with it for good, formed on no side: a footing in its trench.
    CastAgainstGround,
    /// Formed, and exposed to weather or in contact with ground.
    WeatherOrGround,
    /// Formed, and neither exposed to weather nor in contact with ground.
    Dry,
}

/// What sort of member it is; it matters in dry places only.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Member {
    /// A slab, a joist or a wall.
    Wall,
    /// A beam, a column, a pedestal or a tension tie.
    Beam,
}

/// Least specified cover of cast-in-place, nonprestressed concrete: ACI 318-19 Table 20.5.1.3.1 (SI and inch values seen
/// in reproductions).
///
/// # Errors
///
/// [`Unanswered`] for no bar and above #18.
pub fn aci_cover(
    exposure: Exposure,
    member: Member,
    diameter: Length,
    system: System,
) -> Result<Worked<Length>, Unanswered> {
    let size =
        Size::of(some_length("db", diameter)?).ok_or(Unanswered::Outside("db", "bars are tabulated up to #18"))?;
    let (inch, metric, why) = match (exposure, member, size.number()) {
        (Exposure::CastAgainstGround, _, _) => (3000, 75, "cast against ground and in contact with it for good"),
        (Exposure::WeatherOrGround, _, 6..) => (2000, 50, "weather or ground, bars #6 and larger"),
        (Exposure::WeatherOrGround, _, _) => (1500, 40, "weather or ground, bars #5 and smaller"),
        (Exposure::Dry, Member::Beam, _) => (1500, 40, "dry; beam, column, pedestal or tension tie"),
        (Exposure::Dry, Member::Wall, 14..) => (1500, 40, "dry; slab, joist or wall, bars #14 and #18"),
        (Exposure::Dry, Member::Wall, _) => (750, 20, "dry; slab, joist or wall, bars #11 and smaller"),
    };
    Ok(Worked {
        value: edition(system, mils(inch), mm(metric)),
        formula: "table, by exposure, member and size",
        source: "ACI 318-19 Table 20.5.1.3.1, seen in reproductions",
        parts: vec![Part::length("db", diameter, why)],
    })
}

/// Least cover of footings and foundation walls: IRC R403.1.3.5.3 (seen in a transcription, which files it under
/// R403.1.3.5.1). Forms that stay in place count as dry.
///
/// # Errors
///
/// [`Unanswered`] for no bar and above #18.
pub fn irc_cover(exposure: Exposure, forms_stay: bool, diameter: Length) -> Result<Worked<Length>, Unanswered> {
    let size =
        Size::of(some_length("db", diameter)?).ok_or(Unanswered::Outside("db", "bars are tabulated up to #18"))?;
    let (value, why) = match (exposure, forms_stay, size.number()) {
        (Exposure::CastAgainstGround, _, _) => (3000, "cast against earth"),
        (_, true, _) => (750, "forms that stay in place"),
        (Exposure::WeatherOrGround, _, 6..) => (2000, "removable forms, earth or weather, bars #6 and larger"),
        (Exposure::WeatherOrGround, _, _) => (1500, "removable forms, earth or weather, bars #5 and smaller"),
        (Exposure::Dry, _, _) => (750, "removable forms, neither earth nor weather"),
    };
    Ok(Worked {
        value: mils(value),
        formula: "table, by exposure, forms and size",
        source: "IRC R403.1.3.5.3, seen in a transcription",
        parts: vec![Part::length("db", diameter, why)],
    })
}

/// Least cover of bundled bars: the lesser of the diameter of one bar of their area and 2 in (50 mm), but 3 in (75 mm)
/// cast against ground; ACI 318-19 20.5.1.3.5 (rule seen in a digest, clause number from memory). It counts beside the
/// cover of a single bar.
#[must_use]
pub fn bundle_cover(exposure: Exposure, of_one_bar: Length, system: System) -> Worked<Length> {
    let source = "ACI 318-19 20.5.1.3.5, rule seen in a digest";
    if exposure == Exposure::CastAgainstGround {
        let least = edition(system, mils(3000), mm(75));
        let parts = vec![Part::length("least", least, "bundles cast against ground")];
        return Worked { value: least, formula: "least", source, parts };
    }
    let most = edition(system, mils(2000), mm(50));
    Worked {
        value: of_one_bar.min(most),
        formula: "lesser of d and most",
        source,
        parts: vec![
            Part::length("d", of_one_bar, "diameter of one bar of the bundle's area"),
            Part::length("most", most, "bundles need no more"),
        ],
    }
}

/// The cover a bar outside of another has, when the centre of the inner one lies so far from the face.
#[must_use]
pub fn outside_of(centre_to_face: Length, inner: Length, outer: Length) -> Length {
    centre_to_face - inner / 2 - outer
}

/// How far steel may be off when it is placed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tolerance {
    /// On the effective depth, either way.
    pub depth: Length,
    /// How much cover may be lacking.
    pub cover: Length,
}

/// Placing tolerances: ACI 318-19 Table 26.6.2.1(a) (from memory): 3/8 in (10 mm) on an effective depth up to 8 in (200
/// mm), 1/2 in (13 mm) above; on cover as much, but no more than a third of it, and 1/4 in (6 mm) at formed soffits.
#[must_use]
pub fn tolerance(effective_depth: Length, cover: Length, soffit: bool, system: System) -> Worked<Tolerance> {
    let shallow = effective_depth <= edition(system, mils(8000), mm(200));
    let (depth, why) = if shallow {
        (edition(system, mils(375), mm(10)), "effective depth up to 8 in (200 mm)")
    } else {
        (edition(system, mils(500), mm(13)), "effective depth above 8 in (200 mm)")
    };
    let third = Length::from_nm(cover.nm().max(0) / 3);
    let mut parts = vec![
        Part::length("t", depth, why),
        Part::length("cover", cover, "specified cover, of which a third may be lacking at most"),
    ];
    let mut lacking = depth.min(third);
    if soffit {
        let most = edition(system, mils(250), mm(6));
        parts.push(Part::length("s", most, "formed soffits"));
        lacking = lacking.min(most);
    }
    Worked {
        value: Tolerance { depth, cover: lacking },
        formula: "depth +- t, cover - least of t, cover / 3 and, at soffits, s",
        source: "ACI 318-19 Table 26.6.2.1(a), from memory",
        parts,
    }
}

/// What a bend or an end of a bar is, for its place along the bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// At the end of a bracket or corbel.
    Bracket,
    /// At any other end of a member.
    MemberEnd,
    /// Elsewhere.
    Within,
}

/// How far bends and ends may be off along the bar, either way: ACI 318-19 Table 26.6.2.1(b) (from memory): 1/2, 1 and 2 in
/// (13, 25, 50 mm).
#[must_use]
pub const fn end_tolerance(end: End, system: System) -> Length {
    match end {
        End::Bracket => edition(system, mils(500), mm(13)),
        End::MemberEnd => edition(system, mils(1000), mm(25)),
        End::Within => edition(system, mils(2000), mm(50)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::tests::{inches, no};
    use proptest::prelude::*;

    fn aci(exposure: Exposure, member: Member, size: usize) -> Length {
        aci_cover(exposure, member, no(size), System::Feet).unwrap().value
    }

    #[test]
    fn cov_1_a_footing_in_its_trench() {
        for size in 3..=11 {
            assert_eq!(aci(Exposure::CastAgainstGround, Member::Wall, size), inches(3.0));
            // It stays 3 in whatever forms stand elsewhere.
            for stay in [false, true] {
                let irc = irc_cover(Exposure::CastAgainstGround, stay, no(size)).unwrap();
                assert_eq!(irc.value, inches(3.0));
            }
        }
    }

    #[test]
    fn cov_2_a_formed_stem_wall_below_grade() {
        assert_eq!(aci(Exposure::WeatherOrGround, Member::Wall, 5), inches(1.5));
        assert_eq!(aci(Exposure::WeatherOrGround, Member::Wall, 6), inches(2.0));
        let irc = |size, stay| irc_cover(Exposure::WeatherOrGround, stay, no(size)).unwrap().value;
        assert_eq!((irc(5, false), irc(6, false), irc(6, true)), (inches(1.5), inches(2.0), inches(0.75)));
    }

    #[test]
    fn cov_3_an_interior_curb() {
        assert_eq!(aci(Exposure::Dry, Member::Wall, 4), inches(0.75));
        assert_eq!(aci(Exposure::Dry, Member::Beam, 4), inches(1.5));
        assert_eq!(irc_cover(Exposure::Dry, false, no(4)).unwrap().value, inches(0.75));
        let thick = aci_cover(Exposure::Dry, Member::Wall, Size::No14.diameter(), System::Feet).unwrap();
        assert_eq!(thick.value, inches(1.5));
    }

    #[test]
    fn cov_4_an_8_in_wall_with_one_curtain() {
        // The upright #4 in the middle, the level #4 outside of it: cover is that of the outer bar.
        let cover = outside_of(inches(4.0), no(4), no(4));
        assert_eq!(cover, inches(3.25));
        assert!(cover < outside_of(inches(4.0), no(4), Length::ZERO));
    }

    #[test]
    fn the_si_edition_of_aci_318_table_20_5_1_3_1() {
        let metric = |exposure, member, d| aci_cover(exposure, member, mm(d), System::Metric).unwrap().value;
        assert_eq!(metric(Exposure::CastAgainstGround, Member::Beam, 16), mm(75));
        assert_eq!(metric(Exposure::WeatherOrGround, Member::Wall, 20), mm(50));
        assert_eq!(metric(Exposure::WeatherOrGround, Member::Wall, 16), mm(40));
        assert_eq!(metric(Exposure::Dry, Member::Wall, 32), mm(20));
        assert_eq!(metric(Exposure::Dry, Member::Beam, 12), mm(40));
        assert!(aci_cover(Exposure::Dry, Member::Wall, mm(70), System::Metric).is_err());
        assert!(irc_cover(Exposure::Dry, false, Length::ZERO).is_err());
    }

    #[test]
    fn bundles() {
        let at = |exposure, d| bundle_cover(exposure, inches(d), System::Feet).value;
        assert_eq!(at(Exposure::WeatherOrGround, 1.4), inches(1.4));
        assert_eq!(at(Exposure::WeatherOrGround, 2.4), inches(2.0));
        assert_eq!(at(Exposure::CastAgainstGround, 1.4), inches(3.0));
    }

    #[test]
    fn tol_1_thin_cover_may_lack_a_third_of_it() {
        let at = |depth, cover, soffit| tolerance(inches(depth), inches(cover), soffit, System::Feet).value;
        assert_eq!(at(6.0, 0.75, false), Tolerance { depth: inches(0.375), cover: inches(0.25) });
        assert_eq!(at(8.0, 3.0, false), Tolerance { depth: inches(0.375), cover: inches(0.375) });
        assert_eq!(at(8.1, 3.0, false), Tolerance { depth: inches(0.5), cover: inches(0.5) });
        assert_eq!(at(8.1, 3.0, true).cover, inches(0.25));
        assert_eq!(at(8.1, -1.0, false).cover, Length::ZERO);
        assert_eq!(end_tolerance(End::MemberEnd, System::Feet), inches(1.0));
        assert_eq!(end_tolerance(End::Within, System::Metric), mm(50));
    }

    proptest! {
        #[test]
        fn wetter_faces_and_thicker_bars_never_need_less(a in 1_i64..57_000_000, b in 1_i64..57_000_000, feet: bool) {
            let system = if feet { System::Feet } else { System::Metric };
            let (thin, thick) = (Length::from_nm(a.min(b)), Length::from_nm(a.max(b)));
            for member in [Member::Wall, Member::Beam] {
                let at = |exposure, bar| aci_cover(exposure, member, bar, system).unwrap().value;
                for exposure in [Exposure::CastAgainstGround, Exposure::WeatherOrGround, Exposure::Dry] {
                    prop_assert!(at(exposure, thin) <= at(exposure, thick));
                }
                prop_assert!(at(Exposure::CastAgainstGround, thick) >= at(Exposure::WeatherOrGround, thick));
                prop_assert!(at(Exposure::WeatherOrGround, thick) >= at(Exposure::Dry, thick));
            }
        }
    }
}

//! Shear across a joint between old and new concrete: ACI 318-19 22.9.

use super::{ConcreteWeight, Part, Unanswered, Worked, in_edition, of_edition, some_stress};
use crate::units::{Angle, Area, Force, Stress, System};

/// The strength reduction factor of shear: 0.75 (seen on a mirrored page).
pub const PHI: f64 = 0.75;

/// What the new concrete is cast on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Surface {
    /// Nothing: both sides are one pour.
    Monolithic,
    /// Hardened concrete, clean, free of laitance, roughened on purpose to about 1/4 in (6 mm) full amplitude. Roughening
    /// is work: whoever counts on it must order it.
    Roughened,
    /// Hardened concrete, clean, free of laitance, not roughened.
    Plain,
    /// As-rolled steel, clean, with studs or welded bars.
    Steel,
}

impl Surface {
    /// The coefficient of friction before lambda, Table 22.9.4.2 (seen on a mirrored page).
    #[must_use]
    pub const fn coefficient(self) -> f64 {
        match self {
            Surface::Monolithic => 1.4,
            Surface::Roughened => 1.0,
            Surface::Plain => 0.6,
            Surface::Steel => 0.7,
        }
    }

    const fn why(self) -> &'static str {
        match self {
            Surface::Monolithic => "one pour",
            Surface::Roughened => "hardened concrete, clean, roughened to 1/4 in (6 mm) full amplitude",
            Surface::Plain => "hardened concrete, clean, not roughened",
            Surface::Steel => "as-rolled steel, clean, with studs or welded bars",
        }
    }
}

/// A joint and the bars through it. The bars must be able to yield on *both* sides of it (22.9.5.1, from memory); what a
/// short dowel in resin cannot give must come off `steel` before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joint {
    /// Whose constants: psi or MPa.
    pub system: System,
    /// The surface.
    pub surface: Surface,
    /// Weight of the concrete.
    pub weight: ConcreteWeight,
    /// Area of contact.
    pub contact: Area,
    /// Area of all bars through it.
    pub steel: Area,
    /// Their yield strength; above 60 000 psi (420 MPa) that much counts.
    pub fy: Stress,
    /// Strength of the old concrete.
    pub old: Stress,
    /// Strength of the new concrete.
    pub new: Stress,
    /// Net compression across the joint that never goes away (22.9.4.5).
    pub compression: Force,
}

/// The yield strength that counts at most: 60 000 psi (420 MPa), ACI 318-19 22.9 (seen on a mirrored page).
#[must_use]
pub const fn greatest_yield(system: System) -> Stress {
    match system {
        System::Feet => Stress::from_psi(60_000.0),
        System::Metric => Stress::from_mpa(420.0),
    }
}

impl Joint {
    fn check(&self) -> Result<(), Unanswered> {
        some_stress("fy", self.fy)?;
        some_stress("f'c", self.old)?;
        some_stress("f'c", self.new)?;
        if self.contact <= Area::ZERO {
            return Err(Unanswered::Nothing("Ac"));
        }
        if self.steel < Area::ZERO {
            return Err(Unanswered::Nothing("Avf"));
        }
        if self.compression >= Force::ZERO { Ok(()) } else { Err(Unanswered::Nothing("N")) }
    }

    /// Friction of bars square to the joint, mu (Avf fy + N), before any limit: 22.9.4.2 and 22.9.4.5 (seen on a mirrored
    /// page and in a digest).
    ///
    /// # Errors
    ///
    /// [`Unanswered`] for figures that are none.
    pub fn friction(&self) -> Result<Worked<Force>, Unanswered> {
        self.check()?;
        let mu = self.surface.coefficient() * self.weight.lambda();
        let fy = self.fy.min(greatest_yield(self.system));
        Ok(Worked {
            value: (fy * self.steel + self.compression) * mu,
            formula: "mu * lambda * (Avf * fy + N)",
            source: "ACI 318-19 22.9.4.2, seen on a mirrored page",
            parts: vec![
                Part::number("mu", self.surface.coefficient(), self.surface.why()),
                self.weight.part(),
                Part::area("Avf", self.steel, "bars through the joint, able to yield on both sides"),
                Part::stress("fy", fy, "yield strength, of which 60 000 psi (420 MPa) count at most"),
                Part::force("N", self.compression, "compression across the joint that never goes away"),
            ],
        })
    }

    /// The most the concrete of the joint can take, Table 22.9.4.4 (SI figures seen in a worked sheet; 480, 0.08, 1600 and
    /// 800 psi from memory), with the weaker of the two concretes (seen on a mirrored page).
    ///
    /// # Errors
    ///
    /// [`Unanswered`] for figures that are none.
    pub fn limit(&self) -> Result<Worked<Force>, Unanswered> {
        self.check()?;
        let fc = self.old.min(self.new);
        let f = in_edition(self.system, fc);
        let sound =
            matches!(self.surface, Surface::Monolithic | Surface::Roughened) && self.weight == ConcreteWeight::Normal;
        let (stress, formula) = match (sound, self.system) {
            (true, System::Feet) => {
                ((0.2 * f).min(480.0 + 0.08 * f).min(1600.0), "least of 0.2 f'c, 480 psi + 0.08 f'c and 1600 psi, * Ac")
            }
            (true, System::Metric) => {
                ((0.2 * f).min(3.3 + 0.08 * f).min(11.0), "least of 0.2 f'c, 3.3 MPa + 0.08 f'c and 11 MPa, * Ac")
            }
            (false, System::Feet) => ((0.2 * f).min(800.0), "lesser of 0.2 f'c and 800 psi, * Ac"),
            (false, System::Metric) => ((0.2 * f).min(5.5), "lesser of 0.2 f'c and 5.5 MPa, * Ac"),
        };
        let source = match self.system {
            System::Feet => "ACI 318-19 Table 22.9.4.4, psi figures from memory",
            System::Metric => "ACI 318M-19 Table 22.9.4.4, seen in a worked sheet",
        };
        Ok(Worked {
            value: of_edition(self.system, stress) * self.contact,
            formula,
            source,
            parts: vec![
                Part::stress("f'c", fc, "the weaker of the two concretes"),
                Part::area("Ac", self.contact, "area of contact"),
            ],
        })
    }

    /// Nominal shear strength of the joint: the lesser of [`Joint::friction`] and [`Joint::limit`].
    ///
    /// # Errors
    ///
    /// Theirs.
    pub fn nominal(&self) -> Result<Worked<Force>, Unanswered> {
        let (friction, limit) = (self.friction()?.value, self.limit()?.value);
        Ok(Worked {
            value: friction.min(limit),
            formula: "lesser of friction and limit",
            source: "ACI 318-19 22.9.4, seen on a mirrored page",
            parts: vec![
                Part::force("friction", friction, "what the bars hold together"),
                Part::force("limit", limit, "what the concrete can take"),
            ],
        })
    }

    /// Design shear strength: 0.75 of [`Joint::nominal`].
    ///
    /// # Errors
    ///
    /// Its own.
    pub fn design(&self) -> Result<Worked<Force>, Unanswered> {
        let nominal = self.nominal()?.value;
        Ok(Worked {
            value: nominal * PHI,
            formula: "phi * Vn",
            source: "ACI 318-19 22.9, phi of shear seen on a mirrored page",
            parts: vec![Part::number("phi", PHI, "shear"), Part::force("Vn", nominal, "nominal strength of the joint")],
        })
    }
}

/// Friction of bars that cross at an angle to the joint and that the shear pulls on, Avf fy (mu sin a + cos a); bars that
/// the shear presses give nothing. ACI 318-19 22.9.4.3 (seen on a mirrored page).
///
/// # Errors
///
/// [`Unanswered`] for figures that are none and for angles that are not between 0 and 90 degrees.
pub fn inclined(joint: &Joint, angle: Angle, pulled: bool) -> Result<Worked<Force>, Unanswered> {
    joint.check()?;
    let degrees = angle.degrees();
    if !(degrees > 0.0 && degrees <= 90.0) {
        return Err(Unanswered::Outside("a", "between 0 and 90 degrees"));
    }
    let mu = joint.surface.coefficient() * joint.weight.lambda();
    let fy = joint.fy.min(greatest_yield(joint.system));
    let (sin, cos) = angle.radians().sin_cos();
    let (part, why) =
        if pulled { (mu * sin + cos, "bars pulled by the shear") } else { (0.0, "bars pressed by the shear") };
    Ok(Worked {
        value: fy * joint.steel * part,
        formula: "Avf * fy * (mu * sin a + cos a)",
        source: "ACI 318-19 22.9.4.3, seen on a mirrored page",
        parts: vec![
            Part::area("Avf", joint.steel, why),
            Part::stress("fy", fy, "yield strength, of which 60 000 psi (420 MPa) count at most"),
            Part::number("mu", mu, joint.surface.why()),
            Part { symbol: "a", value: crate::ledger::Figure::Angle(angle), why: "between bars and joint" },
        ],
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        standards::tests::{area_of, inches, printed},
        units::Length,
    };
    use proptest::prelude::*;

    fn square(times: i128, area: Area) -> Area {
        Area::from_nm2(area.nm2() * times)
    }

    /// Four #4 through 12 by 36 in, 2500 psi against 4000 psi.
    fn joint(surface: Surface) -> Joint {
        Joint {
            system: System::Feet,
            surface,
            weight: ConcreteWeight::Normal,
            contact: inches(12.0) * inches(36.0),
            steel: square(4, area_of(4)),
            fy: Stress::from_psi(60_000.0),
            old: Stress::from_psi(2500.0),
            new: Stress::from_psi(4000.0),
            compression: Force::ZERO,
        }
    }

    #[test]
    fn sfr_1_roughened() {
        let joint = joint(Surface::Roughened);
        printed(joint.nominal().unwrap().value.lbf(), 48_000.0, 0);
        // 0.2 f'c of the weaker concrete.
        printed(joint.limit().unwrap().value.lbf(), 216_000.0, 0);
        printed(joint.design().unwrap().value.lbf(), 36_000.0, 0);
        let turned = Joint { old: joint.new, new: joint.old, ..joint };
        assert_eq!(turned.limit().unwrap().value, joint.limit().unwrap().value);
    }

    #[test]
    fn sfr_2_not_roughened() {
        printed(joint(Surface::Plain).nominal().unwrap().value.lbf(), 28_800.0, 0);
        printed(joint(Surface::Plain).design().unwrap().value.lbf(), 21_600.0, 0);
    }

    #[test]
    fn sfr_3_a_published_worked_sheet_in_si() {
        // One metre of a joint 250 mm high.
        let joint = Joint {
            system: System::Metric,
            surface: Surface::Plain,
            weight: ConcreteWeight::Normal,
            contact: Length::METRE * Length::from_nm(250_000_000),
            steel: Area::from_nm2(2_093_300_000_000_000),
            fy: Stress::from_mpa(420.0),
            old: Stress::from_mpa(40.0),
            new: Stress::from_mpa(40.0),
            compression: Force::ZERO,
        };
        printed(joint.design().unwrap().value.kn(), 395.6, 1);
        printed((joint.limit().unwrap().value * PHI).kn(), 1031.25, 1);
        let weak = Joint { old: Stress::from_mpa(10.0), ..joint };
        printed((weak.limit().unwrap().value * PHI).kn() * 4.0, 1500.0, 1);
    }

    #[test]
    fn sfr_4_one_bar_a_foot() {
        let joint = Joint {
            contact: inches(12.0) * inches(12.0),
            steel: area_of(5),
            old: Stress::from_psi(5000.0),
            new: Stress::from_psi(5000.0),
            ..joint(Surface::Roughened)
        };
        printed(joint.design().unwrap().value.lbf(), 13_950.0, 0);
        printed((joint.limit().unwrap().value * PHI).lbf(), 95_040.0, 0);
    }

    #[test]
    fn every_row_of_the_limit() {
        // Stress over the contact, in the edition's own unit: 0.2 f'c first, the middle term, then the round figure.
        let psi = |surface, fc| {
            let fc = Stress::from_psi(fc);
            let joint = Joint { old: fc, new: fc, ..joint(surface) };
            (joint.limit().unwrap().value / joint.contact).psi()
        };
        for (fc, expected) in [(2500.0, 500.0), (5000.0, 880.0), (15_000.0, 1600.0)] {
            printed(psi(Surface::Roughened, fc), expected, 6);
            printed(psi(Surface::Monolithic, fc), expected, 6);
        }
        for (fc, expected) in [(2500.0, 500.0), (5000.0, 800.0)] {
            printed(psi(Surface::Plain, fc), expected, 6);
            printed(psi(Surface::Steel, fc), expected, 6);
        }
        let mpa = |surface, fc| {
            let fc = Stress::from_mpa(fc);
            let joint = Joint { system: System::Metric, old: fc, new: fc, ..joint(surface) };
            (joint.limit().unwrap().value / joint.contact).mpa()
        };
        for (fc, expected) in [(20.0, 4.0), (40.0, 6.5), (100.0, 11.0)] {
            printed(mpa(Surface::Roughened, fc), expected, 6);
        }
        for (fc, expected) in [(20.0, 4.0), (40.0, 5.5)] {
            printed(mpa(Surface::Plain, fc), expected, 6);
        }
        // Lightweight concrete takes the lower row, however rough.
        let fc = Stress::from_psi(5000.0);
        let light = Joint { weight: ConcreteWeight::Light, old: fc, new: fc, ..joint(Surface::Roughened) };
        printed((light.limit().unwrap().value / light.contact).psi(), 800.0, 6);
    }

    #[test]
    fn strong_steel_counts_to_60_000_psi_and_lightweight_concrete_for_less() {
        let strong = Joint { fy: Stress::from_psi(80_000.0), ..joint(Surface::Roughened) };
        printed(strong.nominal().unwrap().value.lbf(), 48_000.0, 0);
        let light = Joint { weight: ConcreteWeight::Light, ..joint(Surface::Roughened) };
        printed(light.friction().unwrap().value.lbf(), 36_000.0, 0);
        // 0.2 f'c of 2500 psi is below 800 psi.
        printed(light.limit().unwrap().value.lbf(), 216_000.0, 0);
        let pressed = Joint { compression: Force::from_lbf(10_000.0), ..joint(Surface::Plain) };
        printed(pressed.friction().unwrap().value.lbf(), 34_800.0, 0);
        let much = Joint { steel: square(1000, area_of(4)), ..joint(Surface::Monolithic) };
        printed(much.nominal().unwrap().value.lbf(), 216_000.0, 0);
    }

    #[test]
    fn bars_at_an_angle() {
        let at = |degrees, pulled| {
            inclined(&joint(Surface::Plain), Angle::from_degrees(degrees), pulled).map(|worked| worked.value.lbf())
        };
        printed(at(90.0, true).unwrap(), 28_800.0, 0);
        printed(at(45.0, true).unwrap(), 48_000.0 * 1.6 * std::f64::consts::FRAC_1_SQRT_2, 0);
        printed(at(45.0, false).unwrap(), 0.0, 0);
        assert!(at(0.0, true).is_err() && at(91.0, true).is_err() && at(f64::NAN, true).is_err());
    }

    #[test]
    fn figures_that_are_none_are_refused() {
        let good = joint(Surface::Plain);
        for (bad, symbol) in [
            (Joint { contact: Area::ZERO, ..good }, "Ac"),
            (Joint { steel: Area::from_nm2(-1), ..good }, "Avf"),
            (Joint { compression: Force::from_lbf(-1.0), ..good }, "N"),
            (Joint { new: Stress::ZERO, ..good }, "f'c"),
            (Joint { fy: Stress::from_psi(f64::NAN), ..good }, "fy"),
        ] {
            assert_eq!(bad.nominal(), Err(Unanswered::Nothing(symbol)));
        }
        assert_eq!(Joint { steel: Area::ZERO, ..good }.nominal().unwrap().value, Force::ZERO);
    }

    proptest! {
        #[test]
        fn rougher_is_stronger_and_nothing_passes_the_limit(
            steel in 0_i128..100, fc in 15.0..60.0_f64, feet: bool, light: bool,
        ) {
            let of = |surface| Joint {
                system: if feet { System::Feet } else { System::Metric },
                weight: if light { ConcreteWeight::Light } else { ConcreteWeight::Normal },
                steel: square(steel, area_of(5)),
                old: Stress::from_mpa(fc),
                ..joint(surface)
            };
            let nominal = |surface| of(surface).nominal().unwrap().value;
            prop_assert!(nominal(Surface::Plain) <= nominal(Surface::Roughened));
            prop_assert!(nominal(Surface::Roughened) <= nominal(Surface::Monolithic));
            prop_assert!(nominal(Surface::Roughened) <= of(Surface::Roughened).limit().unwrap().value);
        }

        #[test]
        fn the_two_editions_agree_within_a_hundredth(fc in 15.0..60.0_f64, rough: bool) {
            let surface = if rough { Surface::Roughened } else { Surface::Plain };
            let of = |system| Joint { system, old: Stress::from_mpa(fc), new: Stress::from_mpa(fc), ..joint(surface) };
            let (feet, metric) = (of(System::Feet).limit().unwrap().value, of(System::Metric).limit().unwrap().value);
            prop_assert!((feet / metric - 1.0).abs() < 0.01);
        }
    }
}

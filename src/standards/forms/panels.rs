//! Form-grade plywood: sections of a strip one foot wide, and what they take.
//!
//! The sections are those of US plywood of grade "B-B concrete form", as a textbook on formwork reprints them from the panel
//! makers' guide (seen). They are no full thicknesses: only plies along the span count.

use super::{Inertia, Setting};
use crate::units::{Area, Length, Stress, Volume};

/// The grade of a panel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum PanelGrade {
    /// Class I.
    ClassI,
    /// Class II.
    ClassII,
    /// Structural I.
    StructuralI,
}

/// How the grain of the face runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grain {
    /// Across the supports: the strong way.
    Across,
    /// Along the supports: the weak way.
    Along,
}

impl Grain {
    /// The factor of sag by shear: 120 across, 60 along the supports (from memory; 120 reproduces the printed table).
    #[must_use]
    pub const fn shear_factor(self) -> f64 {
        match self {
            Grain::Across => 120.0,
            Grain::Along => 60.0,
        }
    }
}

/// A strip of a panel one foot wide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Panel {
    /// Its thickness.
    pub thickness: Length,
    /// How its grain runs.
    pub grain: Grain,
    /// Moment of inertia.
    pub inertia: Inertia,
    /// Section modulus.
    pub modulus: Volume,
    /// Rolling shear constant, Ib/Q.
    pub shear_constant: Area,
}

impl Panel {
    /// From inches to the fourth, cubic inches and square inches a foot of width, as tables print them.
    #[must_use]
    pub fn per_foot(thickness: Length, grain: Grain, in4: f64, in3: f64, in2: f64) -> Panel {
        // Tables print thousandths.
        let thousandths = |number: f64| (number * 1000.0).round() as i128;
        let inch = i128::from(Length::INCH.nm());
        Panel {
            thickness,
            grain,
            inertia: Inertia::from_in4(in4),
            modulus: Volume::from_nm3(inch * inch * inch / 1000 * thousandths(in3)),
            shear_constant: Area::from_nm2(inch * inch / 1000 * thousandths(in2)),
        }
    }
}

/// A row of the table: grade, thickness in 32nds of an inch, and I, S, Ib/Q with the grain across and along the supports.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanelRow {
    /// The grade.
    pub grade: PanelGrade,
    /// Thickness in 32nds of an inch.
    pub thirty_seconds: i64,
    /// With the grain across the supports: in4, in3 and in2 a foot.
    pub across: [f64; 3],
    /// With the grain along the supports.
    pub along: [f64; 3],
}

const fn row(grade: PanelGrade, thirty_seconds: i64, across: [f64; 3], along: [f64; 3]) -> PanelRow {
    PanelRow { grade, thirty_seconds, across, along }
}

/// The table.
#[rustfmt::skip]
pub const PANELS: [PanelRow; 21] = [
    row(PanelGrade::ClassI, 15, [0.066, 0.244, 4.743], [0.018, 0.107, 2.419]),
    row(PanelGrade::ClassI, 16, [0.077, 0.268, 5.153], [0.024, 0.13, 2.739]),
    row(PanelGrade::ClassI, 19, [0.115, 0.335, 5.438], [0.029, 0.146, 2.834]),
    row(PanelGrade::ClassI, 20, [0.13, 0.358, 5.717], [0.038, 0.175, 3.094]),
    row(PanelGrade::ClassI, 23, [0.18, 0.43, 7.009], [0.072, 0.247, 3.798]),
    row(PanelGrade::ClassI, 24, [0.199, 0.455, 7.187], [0.092, 0.306, 4.063]),
    row(PanelGrade::ClassI, 28, [0.296, 0.584, 8.555], [0.151, 0.422, 6.028]),
    row(PanelGrade::ClassI, 32, [0.427, 0.737, 9.374], [0.27, 0.634, 7.014]),
    row(PanelGrade::ClassI, 36, [0.554, 0.849, 10.43], [0.398, 0.799, 8.419]),
    row(PanelGrade::ClassII, 15, [0.063, 0.243, 4.499], [0.015, 0.138, 2.434]),
    row(PanelGrade::ClassII, 16, [0.075, 0.267, 4.891], [0.02, 0.167, 2.727]),
    row(PanelGrade::ClassII, 19, [0.115, 0.334, 5.326], [0.025, 0.188, 2.812]),
    row(PanelGrade::ClassII, 20, [0.13, 0.357, 5.593], [0.032, 0.225, 3.074]),
    row(PanelGrade::ClassII, 23, [0.18, 0.43, 6.504], [0.06, 0.317, 3.781]),
    row(PanelGrade::ClassII, 24, [0.198, 0.454, 6.631], [0.075, 0.392, 4.049]),
    row(PanelGrade::StructuralI, 15, [0.067, 0.246, 4.503], [0.021, 0.147, 2.405]),
    row(PanelGrade::StructuralI, 16, [0.078, 0.271, 4.908], [0.029, 0.178, 2.725]),
    row(PanelGrade::StructuralI, 19, [0.116, 0.338, 5.018], [0.034, 0.199, 2.811]),
    row(PanelGrade::StructuralI, 20, [0.131, 0.361, 5.258], [0.045, 0.238, 3.073]),
    row(PanelGrade::StructuralI, 23, [0.183, 0.439, 6.109], [0.085, 0.338, 3.78]),
    row(PanelGrade::StructuralI, 24, [0.202, 0.464, 6.189], [0.108, 0.418, 4.047]),
];

/// A panel of the table; none for a thickness it does not hold.
#[must_use]
pub fn panel(grade: PanelGrade, thickness: Length, grain: Grain) -> Option<Panel> {
    let found = PANELS.iter().find(|row| row.grade == grade && Length::INCH * row.thirty_seconds == thickness * 32)?;
    let [in4, in3, in2] = match grain {
        Grain::Across => found.across,
        Grain::Along => found.along,
    };
    Some(Panel::per_foot(thickness, grain, in4, in3, in2))
}

/// What a panel takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanelStress {
    /// Bending.
    pub bending: Stress,
    /// Rolling shear.
    pub rolling_shear: Stress,
    /// Modulus of elasticity for sag by bending.
    pub modulus: Stress,
    /// The lower one that goes with sag by shear.
    pub modulus_with_shear: Stress,
}

impl PanelStress {
    /// From psi.
    #[must_use]
    pub const fn psi(bending: f64, rolling_shear: f64, modulus: f64, modulus_with_shear: f64) -> PanelStress {
        PanelStress {
            bending: Stress::from_psi(bending),
            rolling_shear: Stress::from_psi(rolling_shear),
            modulus: Stress::from_psi(modulus),
            modulus_with_shear: Stress::from_psi(modulus_with_shear),
        }
    }
}

/// What form-grade panels take, wet and for the time of a pour: no factor comes on top (from memory). Class I was seen in a
/// textbook on formwork, the others are from memory.
pub const PANEL_STRESSES: [(PanelGrade, Setting<PanelStress>); 3] = [
    (
        PanelGrade::ClassI,
        Setting {
            name: "form plywood, Class I",
            value: PanelStress::psi(1930.0, 72.0, 1_650_000.0, 1_500_000.0),
            source: "panel makers' guide, seen in a textbook on formwork",
        },
    ),
    (
        PanelGrade::ClassII,
        Setting {
            name: "form plywood, Class II",
            value: PanelStress::psi(1330.0, 72.0, 1_430_000.0, 1_300_000.0),
            source: "panel makers' guide, from memory",
        },
    ),
    (
        PanelGrade::StructuralI,
        Setting {
            name: "form plywood, Structural I",
            value: PanelStress::psi(1930.0, 102.0, 1_650_000.0, 1_500_000.0),
            source: "panel makers' guide, from memory",
        },
    ),
];

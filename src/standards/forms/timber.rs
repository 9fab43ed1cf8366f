//! Sawn timber: true sizes, reference strengths and the factors of the NDS.

use super::{Part, Rectangle, Setting, Unanswered, Worked, some_length, some_stress};
use crate::{
    standards::mils,
    units::{Length, Stress, gaps},
};

/// Nominal sizes and true sizes of surfaced lumber, thousandths of an inch, breadth and depth on edge: NDS Supplement Table
/// 1A/1B, 2-inch sizes seen in a secondary table.
pub const S4S: [(&str, Rectangle); 11] = [
    ("1x4", Rectangle::one(mils(750), mils(3500))),
    ("1x6", Rectangle::one(mils(750), mils(5500))),
    ("1x8", Rectangle::one(mils(750), mils(7250))),
    ("1x10", Rectangle::one(mils(750), mils(9250))),
    ("1x12", Rectangle::one(mils(750), mils(11_250))),
    ("2x4", Rectangle::one(mils(1500), mils(3500))),
    ("2x6", Rectangle::one(mils(1500), mils(5500))),
    ("2x8", Rectangle::one(mils(1500), mils(7250))),
    ("2x10", Rectangle::one(mils(1500), mils(9250))),
    ("2x12", Rectangle::one(mils(1500), mils(11_250))),
    ("4x4", Rectangle::one(mils(3500), mils(3500))),
];

/// Reference strengths of a wood, before any factor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Timber {
    /// Bending.
    pub bending: Stress,
    /// Tension along the grain.
    pub tension: Stress,
    /// Shear along the grain.
    pub shear: Stress,
    /// Bearing across the grain.
    pub bearing: Stress,
    /// Compression along the grain.
    pub compression: Stress,
    /// Modulus of elasticity.
    pub modulus: Stress,
    /// The lower one for buckling.
    pub least_modulus: Stress,
    /// Specific gravity.
    pub gravity: f64,
    /// The bending and compression given hold for this size already: no factor of size.
    pub sized: bool,
}

/// A species and grade.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Species {
    /// Douglas fir-larch No. 2.
    DouglasFirLarch,
    /// Spruce-pine-fir No. 2.
    SprucePineFir,
    /// Hem-fir No. 2.
    HemFir,
    /// Southern pine No. 2, 2x4, design values of 2013 and later.
    SouthernPine,
}

const fn timber(psi: [f64; 7], gravity: f64, sized: bool) -> Timber {
    let [bending, tension, shear, bearing, compression, modulus, least_modulus] = psi;
    Timber {
        bending: Stress::from_psi(bending),
        tension: Stress::from_psi(tension),
        shear: Stress::from_psi(shear),
        bearing: Stress::from_psi(bearing),
        compression: Stress::from_psi(compression),
        modulus: Stress::from_psi(modulus),
        least_modulus: Stress::from_psi(least_modulus),
        gravity,
        sized,
    }
}

/// Reference strengths of No. 2 lumber 2 to 4 in thick.
pub const SPECIES: [(Species, Setting<Timber>); 4] = [
    (
        Species::DouglasFirLarch,
        Setting {
            name: "Douglas fir-larch No. 2",
            value: timber([900.0, 575.0, 180.0, 625.0, 1350.0, 1.6e6, 580_000.0], 0.50, false),
            source: "NDS Supplement, seen in a course notebook; tension reproduced from a printed ratio",
        },
    ),
    (
        Species::SprucePineFir,
        Setting {
            name: "spruce-pine-fir No. 2",
            value: timber([875.0, 450.0, 135.0, 425.0, 1150.0, 1.4e6, 510_000.0], 0.42, false),
            source: "NDS Supplement, from memory",
        },
    ),
    (
        Species::HemFir,
        Setting {
            name: "hem-fir No. 2",
            value: timber([850.0, 525.0, 150.0, 405.0, 1300.0, 1.3e6, 470_000.0], 0.43, false),
            source: "NDS Supplement, from memory",
        },
    ),
    (
        Species::SouthernPine,
        Setting {
            name: "southern pine No. 2, 2x4",
            value: timber([1100.0, 675.0, 175.0, 565.0, 1450.0, 1.4e6, 510_000.0], 0.55, true),
            source: "NDS Supplement of 2013 and later, from memory",
        },
    ),
];

/// How long the load stays: NDS 2.3.2 (seen in a textbook on formwork).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LoadDuration {
    /// Always there.
    Permanent,
    /// Ten years, and forms that are used again and again.
    TenYears,
    /// Two months.
    TwoMonths,
    /// Seven days: the load of a pour.
    #[default]
    SevenDays,
    /// Wind or earthquake.
    Wind,
    /// A blow.
    Impact,
}

impl LoadDuration {
    /// The factor C_D.
    #[must_use]
    pub const fn factor(self) -> f64 {
        match self {
            LoadDuration::Permanent => 0.9,
            LoadDuration::TenYears => 1.0,
            LoadDuration::TwoMonths => 1.15,
            LoadDuration::SevenDays => 1.25,
            LoadDuration::Wind => 1.6,
            LoadDuration::Impact => 2.0,
        }
    }
}

/// What the factors hang on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Factors {
    /// How long the load stays.
    pub duration: LoadDuration,
    /// Moisture over 19%: fresh concrete on a form.
    pub wet: bool,
    /// Three members or more, at most 24 in apart, joined by sheathing: studs, never walers.
    pub repeated: bool,
    /// Laid flat.
    pub flat: bool,
}

/// What a beam takes, with all factors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BeamStress {
    /// Bending.
    pub bending: Stress,
    /// Shear along the grain.
    pub shear: Stress,
    /// Modulus of elasticity.
    pub modulus: Stress,
}

/// Strengths with all factors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Adjusted {
    /// As a beam.
    pub beam: BeamStress,
    /// Bearing across the grain.
    pub bearing: Stress,
    /// Compression along the grain, short of buckling.
    pub compression: Stress,
    /// The lower one for buckling.
    pub least_modulus: Stress,
}

impl Timber {
    /// The bending strength with its factors. The edge in compression is taken as held by the sheathing.
    ///
    /// # Errors
    ///
    /// [`Unanswered`] for no strength or size.
    pub fn bending(&self, size: Rectangle, factors: &Factors) -> Result<Worked<Stress>, Unanswered> {
        some_stress("Fb", self.bending)?;
        let wide = some_length("d", size.breadth.max(size.depth))?;
        let sized = if self.sized { 1.0 } else { size_in_bending(wide) };
        let strong = self.bending.psi() * sized > 1150.0;
        let (wet, of_wet) = match (factors.wet, strong) {
            (true, true) => (0.85, "moisture over 19%"),
            (true, false) => (1.0, "moisture over 19%, but Fb * CF up to 1150 psi"),
            (false, _) => (1.0, "dry"),
        };
        let repeated = if factors.repeated { 1.15 } else { 1.0 };
        let flat = if factors.flat { flat_use(wide) } else { 1.0 };
        let duration = factors.duration.factor();
        Ok(Worked {
            value: self.bending * (duration * wet * sized * repeated * flat),
            formula: "Fb * CD * CM * CF * Cr * Cfu",
            source: "NDS 4.3; CD, CM, CF and Cr seen in textbooks on formwork, Cfu from memory",
            parts: vec![
                Part::stress("Fb", self.bending, "reference bending strength"),
                Part::number("CD", duration, "how long the load stays"),
                Part::number("CM", wet, of_wet),
                Part::number(
                    "CF",
                    sized,
                    if self.sized { "the strength is for this size" } else { "size, on its width" },
                ),
                Part::number("Cr", repeated, "1.15 for three members or more up to 24 in apart"),
                Part::number("Cfu", flat, "more where it lies flat, from memory"),
            ],
        })
    }

    /// All strengths with their factors.
    ///
    /// # Errors
    ///
    /// [`Unanswered`] for no strength or size.
    pub fn adjusted(&self, size: Rectangle, factors: &Factors) -> Result<Adjusted, Unanswered> {
        let wide = some_length("d", size.breadth.max(size.depth))?;
        let duration = factors.duration.factor();
        let wet = |factor: f64| if factors.wet { factor } else { 1.0 };
        let sized = if self.sized { 1.0 } else { size_in_compression(wide) };
        let strong = self.compression.psi() * sized > 750.0;
        Ok(Adjusted {
            beam: BeamStress {
                bending: self.bending(size, factors)?.value,
                shear: some_stress("Fv", self.shear)? * (duration * wet(0.97)),
                modulus: some_stress("E", self.modulus)? * wet(0.9),
            },
            bearing: some_stress("Fc across", self.bearing)? * wet(0.67),
            compression: some_stress("Fc", self.compression)?
                * (duration * sized * wet(if strong { 0.80 } else { 1.0 })),
            least_modulus: some_stress("Emin", self.least_modulus)? * wet(0.9),
        })
    }
}

/// C_F of bending for lumber 2 to 3 in thick, by its nominal width (seen in a textbook on formwork).
fn size_in_bending(width: Length) -> f64 {
    by_width(width, [1.5, 1.4, 1.3, 1.2, 1.1, 1.0, 0.9])
}

/// C_F of compression along the grain.
fn size_in_compression(width: Length) -> f64 {
    by_width(width, [1.15, 1.1, 1.1, 1.05, 1.0, 1.0, 0.9])
}

/// C_fu, from memory.
fn flat_use(width: Length) -> f64 {
    by_width(width, [1.1, 1.1, 1.15, 1.15, 1.2, 1.2, 1.2])
}

/// By nominal widths up to 4, 5, 6, 8, 10, 12 in and more: true sizes lie up to 3/4 in below.
fn by_width(width: Length, [four, five, six, eight, ten, twelve, more]: [f64; 7]) -> f64 {
    match width.nm() / (Length::INCH.nm() / 100) {
        ..=400 => four,
        401..=500 => five,
        501..=600 => six,
        601..=800 => eight,
        801..=1000 => ten,
        1001..=1200 => twelve,
        _ => more,
    }
}

/// A 3/4-in board as sheathing, wet and for the time of a pour: 960 psi of bending follows from an Army example, shear and
/// modulus are common practice, no source.
pub const BOARD: Setting<BeamStress> = Setting {
    name: "3/4 in board",
    value: BeamStress {
        bending: Stress::from_psi(960.0),
        shear: Stress::from_psi(135.0),
        modulus: Stress::from_psi(1.2e6),
    },
    source: "bending worked back from a US Army example; shear and modulus common practice, no source",
};

/// Spacings that divide a panel of 96 in, thousandths of an inch: seen in a course notebook.
pub const MODULES: [i64; 8] = [6000, 8000, 12_000, 16_000, 19_200, 24_000, 32_000, 48_000];

/// The widest spacing of [`MODULES`] that is no more than the span allowed; none below 6 in.
#[must_use]
pub fn module_below(allowed: Length) -> Option<Length> {
    MODULES.into_iter().map(mils).rfind(|module| *module <= allowed)
}

/// How many studs stand along a form: one at each end, and between them no more than the spacing apart.
///
/// # Errors
///
/// [`Unanswered`] for no length or spacing.
pub fn studs_along(length: Length, spacing: Length) -> Result<Worked<u64>, Unanswered> {
    let l = some_length("l", length)?;
    let s = some_length("s", spacing)?;
    let between = gaps(l, s).ok_or(Unanswered::Outside("l", "longer than can be counted"))?;
    Ok(Worked {
        value: between.saturating_add(1),
        formula: "l / s + 1, up to whole studs",
        source: "US Army Engineer School, subcourse EN5151",
        parts: vec![Part::length("l", l, "length of the form"), Part::length("s", s, "spacing of the studs")],
    })
}

//! Figures of a report in the job's units: what is shown, and the raw number for spreadsheets in the unit of its column.

use super::{Column, Row};
use crate::units::{Area, Force, Length, Mass, Ratio, Stress, System, Volume, show};

/// The units a report is written in.
#[derive(Debug, Clone, Copy)]
pub(super) struct Measures(pub System);

impl Measures {
    fn pick(self, feet: &'static str, metric: &'static str) -> &'static str {
        match self.0 {
            System::Feet => feet,
            System::Metric => metric,
        }
    }

    /// A column of lengths.
    pub fn lengths(self, key: &'static str, head: &str) -> Column {
        Column::figure(key, head, self.pick("in", "mm"))
    }

    /// A column of areas.
    pub fn areas(self, key: &'static str, head: &str) -> Column {
        Column::figure(key, head, self.pick("ft2", "m2"))
    }

    /// A column of volumes of concrete.
    pub fn volumes(self, key: &'static str, head: &str) -> Column {
        Column::figure(key, head, self.pick("ft3", "m3"))
    }

    /// A column of small volumes: resin.
    pub fn fluids(self, key: &'static str, head: &str) -> Column {
        Column::figure(key, head, self.pick("fl-oz", "mL"))
    }

    /// A column of weights.
    pub fn masses(self, key: &'static str, head: &str) -> Column {
        Column::figure(key, head, self.pick("lb", "kg"))
    }

    /// A column of parts of a whole, in hundredths.
    pub fn ratios(self, key: &'static str, head: &str) -> Column {
        Column::figure(key, head, "%")
    }

    /// A column of areas of steel.
    pub fn small_areas(self, key: &'static str, head: &str) -> Column {
        Column::figure(key, head, self.pick("in2", "mm2"))
    }

    /// A column of forces.
    pub fn forces(self, key: &'static str, head: &str) -> Column {
        Column::figure(key, head, self.pick("lbf", "kN"))
    }

    /// A column of strengths.
    pub fn stresses(self, key: &'static str, head: &str) -> Column {
        Column::figure(key, head, self.pick("psi", "MPa"))
    }

    fn raw_length(self, length: Length) -> f64 {
        match self.0 {
            System::Feet => rounded(length.inches(), 6),
            System::Metric => rounded(length.metres() * 1000.0, 6),
        }
    }

    /// A set-out position.
    pub fn place(self, row: &mut Row, length: Length) {
        row.figure(show::place(length, self.0), self.raw_length(length));
    }

    /// A cut length, shown rounded up.
    pub fn cut(self, row: &mut Row, length: Length) {
        row.figure(show::cut(length, self.0), self.raw_length(length));
    }

    /// A length in full.
    pub fn length(self, row: &mut Row, length: Length) {
        row.figure(show::exact(length, self.0), self.raw_length(length));
    }

    /// An area.
    pub fn area(self, row: &mut Row, area: Area) {
        let raw = match self.0 {
            System::Feet => area.square_feet(),
            System::Metric => area.square_metres(),
        };
        row.figure(show::area(area, self.0), rounded(raw, 6));
    }

    /// A part of a whole.
    pub fn ratio(self, row: &mut Row, ratio: Ratio) {
        row.figure(show::percent(ratio), rounded(ratio.percent(), 6));
    }

    /// A volume of concrete.
    pub fn volume(self, row: &mut Row, volume: Volume) {
        let raw = match self.0 {
            System::Feet => volume.cubic_feet(),
            System::Metric => volume.cubic_metres(),
        };
        row.figure(show::volume(volume, self.0), rounded(raw, 6));
    }

    /// A volume of resin.
    pub fn fluid(self, row: &mut Row, volume: Volume) {
        // 1 US fl oz is 1.8046875 in3 (NIST Handbook 44, Appendix C).
        let raw = match self.0 {
            System::Feet => volume.cubic_inches() / 1.804_687_5,
            System::Metric => volume.cubic_metres() * 1e6,
        };
        row.figure(show::fluid(volume, self.0), rounded(raw, 4));
    }

    /// An area of steel.
    pub fn small_area(self, row: &mut Row, area: Area) {
        let raw = match self.0 {
            System::Feet => area.square_feet() * 144.0,
            System::Metric => area.square_metres() * 1e6,
        };
        row.figure(show::small_area(area, self.0), rounded(raw, 6));
    }

    /// A force.
    pub fn force(self, row: &mut Row, force: Force) {
        let raw = match self.0 {
            System::Feet => force.lbf(),
            System::Metric => force.kn(),
        };
        row.figure(show::force(force, self.0), rounded(raw, 6));
    }

    /// A strength.
    pub fn stress(self, row: &mut Row, stress: Stress) {
        let raw = match self.0 {
            System::Feet => stress.psi(),
            System::Metric => stress.mpa(),
        };
        row.figure(show::stress(stress, self.0), rounded(raw, 6));
    }

    /// A weight.
    pub fn mass(self, row: &mut Row, mass: Mass) {
        row.figure(show::mass(mass, self.0), rounded(self.mass_of(mass), 3));
    }

    /// The most that may be lifted: never rounded up where it is shown.
    pub fn mass_at_most(self, row: &mut Row, mass: Mass) {
        row.figure(show::mass_at_most(mass, self.0), rounded(self.mass_of(mass), 3));
    }

    fn mass_of(self, mass: Mass) -> f64 {
        match self.0 {
            System::Feet => mass.lb(),
            System::Metric => mass.kg(),
        }
    }
}

/// To so many decimals, half away from zero: raw figures go into spreadsheets without the dust of binary fractions.
pub(super) fn rounded(number: f64, decimals: i32) -> f64 {
    let scale = 10_f64.powi(decimals);
    let scaled = number * scale;
    if scaled.is_finite() && scaled.abs() < 9e15 { scaled.round() / scale } else { number }
}

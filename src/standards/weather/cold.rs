//! Hot and cold weather: ACI 301, 305.1 and 306R.

use super::{Length, Part, Unanswered, Worked, edition, mils};
use crate::{
    standards::{mm, some_length},
    units::{Duration, Stress, System, Temperature, TemperatureDifference},
};

/// The hottest concrete may be as it leaves the mixer: 95 degrees Fahrenheit (35 degrees Celsius), ACI 301-20 and ACI
/// 305.1-14 (seen in secondary sources).
pub const HOTTEST: Temperature = Temperature::from_deg_c(35.0);

/// Air below this, or expected below it while the concrete is protected, is cold weather: 40 degrees Fahrenheit, ACI
/// 306R-16 (from memory).
pub const COLD_BELOW: Temperature = Temperature::from_deg_f(40.0);

/// From this strength on concrete lives through one freeze: 500 psi (3.5 MPa), ACI 306R (seen).
pub const FREEZE_PROOF: Stress = Stress::from_psi(500.0);

/// Whether any of the temperatures expected makes it cold weather.
#[must_use]
pub fn is_cold_weather(expected: impl IntoIterator<Item = Temperature>) -> bool {
    expected.into_iter().any(|air| air < COLD_BELOW)
}

/// How thick the thinnest part is, as the table of ACI 306R tells it apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Section {
    /// Below 12 in (300 mm).
    Thin,
    /// Below 36 in (900 mm).
    Medium,
    /// Up to 72 in (1800 mm).
    Thick,
    /// More.
    Mass,
}

impl Section {
    /// Of a thickness.
    ///
    /// # Errors
    ///
    /// [`Unanswered`] for no thickness.
    pub fn of(thickness: Length, system: System) -> Result<Section, Unanswered> {
        let thickness = some_length("thickness", thickness)?;
        let at = |inches, metric| edition(system, mils(inches), mm(metric));
        Ok(if thickness < at(12_000, 300) {
            Section::Thin
        } else if thickness < at(36_000, 900) {
            Section::Medium
        } else if thickness <= at(72_000, 1800) {
            Section::Thick
        } else {
            Section::Mass
        })
    }

    const fn column<T: Copy>(self, [thin, medium, thick, mass]: [T; 4]) -> T {
        match self {
            Section::Thin => thin,
            Section::Medium => medium,
            Section::Thick => thick,
            Section::Mass => mass,
        }
    }

    const fn source(self) -> &'static str {
        match self {
            Section::Thin | Section::Medium => "ACI 306R, table of temperatures, seen in a reproduction",
            Section::Thick | Section::Mass => "ACI 306R, table of temperatures, sections over 36 in from memory",
        }
    }
}

fn temperature(section: Section, system: System, feet: [f64; 4], metric: [f64; 4]) -> Temperature {
    match system {
        System::Feet => Temperature::from_deg_f(section.column(feet)),
        System::Metric => Temperature::from_deg_c(section.column(metric)),
    }
}

/// The coldest the concrete may be as placed and while it is protected.
#[must_use]
pub fn as_placed(section: Section, system: System) -> Worked<Temperature> {
    let value = temperature(section, system, [55.0, 50.0, 45.0, 40.0], [13.0, 10.0, 7.0, 5.0]);
    Worked { value, formula: "table, by the least thickness", source: section.source(), parts: Vec::new() }
}

/// The coldest it may be as mixed, by the air. 30 and 0 degrees Fahrenheit divide the table (-1 and -18 degrees Celsius).
#[must_use]
pub fn as_mixed(section: Section, air: Temperature, system: System) -> Worked<Temperature> {
    let value = if air.deg_f() >= 30.0 {
        temperature(section, system, [60.0, 55.0, 50.0, 45.0], [16.0, 13.0, 10.0, 7.0])
    } else if air.deg_f() >= 0.0 {
        temperature(section, system, [65.0, 60.0, 55.0, 50.0], [18.0, 16.0, 13.0, 10.0])
    } else {
        temperature(section, system, [70.0, 65.0, 60.0, 55.0], [21.0, 18.0, 16.0, 13.0])
    };
    Worked {
        value,
        formula: "table, by the least thickness and the air",
        source: section.source(),
        parts: vec![Part::temperature("air", air, "temperature of the air")],
    }
}

/// How much it may cool in the first 24 hours after protection.
#[must_use]
pub fn greatest_drop(section: Section, system: System) -> Worked<TemperatureDifference> {
    let value = match system {
        System::Feet => TemperatureDifference::from_deg_f(section.column([50.0, 40.0, 30.0, 20.0])),
        System::Metric => TemperatureDifference::from_kelvins(section.column([28.0, 22.0, 17.0, 11.0])),
    };
    Worked { value, formula: "table, by the least thickness", source: section.source(), parts: Vec::new() }
}

/// What the concrete must bear while it is young: ACI 306R.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ServiceCategory {
    /// No load, not exposed.
    Sheltered,
    /// No load, exposed to freezing.
    Exposed,
    /// Part of its load, exposed.
    PartlyLoaded,
    /// All of its load: only a test of strength tells.
    Loaded,
}

/// How fast the cement is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cement {
    /// Type I or II.
    Ordinary,
    /// Type III; or 100 lb/yd3 more cement, or an accelerator (from memory).
    Fast,
}

const PROTECTION: &str = "ACI 306R, protection periods, seen in a reproduction";

/// How long it is kept from freezing.
///
/// # Errors
///
/// [`Unanswered`] for concrete that bears all of its load.
pub fn protection(category: ServiceCategory, cement: Cement) -> Result<Worked<Duration>, Unanswered> {
    let (ordinary, fast) = match category {
        ServiceCategory::Sheltered => (2.0, 1.0),
        ServiceCategory::Exposed | ServiceCategory::PartlyLoaded => (3.0, 2.0),
        ServiceCategory::Loaded => return Err(BY_TEST),
    };
    Ok(days(cement, ordinary, fast))
}

/// When its forms may safely come off in cold weather.
///
/// # Errors
///
/// [`Unanswered`] for concrete that bears all of its load.
pub fn removal(category: ServiceCategory, cement: Cement) -> Result<Worked<Duration>, Unanswered> {
    let (ordinary, fast) = match category {
        ServiceCategory::Sheltered => (2.0, 1.0),
        ServiceCategory::Exposed => (3.0, 2.0),
        ServiceCategory::PartlyLoaded => (6.0, 4.0),
        ServiceCategory::Loaded => return Err(BY_TEST),
    };
    Ok(days(cement, ordinary, fast))
}

const BY_TEST: Unanswered = Unanswered::Outside("load", "under its full load only a test of strength tells");

fn days(cement: Cement, ordinary: f64, fast: f64) -> Worked<Duration> {
    let value = Duration::from_days(match cement {
        Cement::Ordinary => ordinary,
        Cement::Fast => fast,
    });
    Worked { value, formula: "table, by service and cement", source: PROTECTION, parts: Vec::new() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::tests::{inches, printed};

    #[test]
    fn temperatures_by_thickness() {
        // ACI 306R, table of temperatures, first two columns as Masonry and Concrete (2004), Fig. 3-37, reprints them.
        let section = |thickness| Section::of(inches(thickness), System::Feet).unwrap();
        assert_eq!(
            [8.0, 12.0, 36.0, 72.0, 73.0].map(section),
            [Section::Thin, Section::Medium, Section::Thick, Section::Thick, Section::Mass]
        );
        let air = Temperature::from_deg_f;
        for (thickness, placed, above, middle, below, drop) in
            [(8.0, 55.0, 60.0, 65.0, 70.0, 50.0), (20.0, 50.0, 55.0, 60.0, 65.0, 40.0)]
        {
            let of = section(thickness);
            printed(as_placed(of, System::Feet).value.deg_f(), placed, 6);
            printed(as_mixed(of, air(35.0), System::Feet).value.deg_f(), above, 6);
            printed(as_mixed(of, air(29.0), System::Feet).value.deg_f(), middle, 6);
            printed(as_mixed(of, air(-1.0), System::Feet).value.deg_f(), below, 6);
            // A difference is no point on the scale: 50 degF of drop are 28 K, not 10 degC.
            printed(greatest_drop(of, System::Feet).value.deg_f(), drop, 6);
            printed(greatest_drop(of, System::Feet).value.kelvins(), drop / 1.8, 6);
        }
        for (of, placed, above, middle, below, drop) in
            [(Section::Thin, 13.0, 16.0, 18.0, 21.0, 28.0), (Section::Medium, 10.0, 13.0, 16.0, 18.0, 22.0)]
        {
            let air = Temperature::from_deg_c;
            printed(as_placed(of, System::Metric).value.deg_c(), placed, 9);
            printed(as_mixed(of, air(-1.0), System::Metric).value.deg_c(), above, 9);
            printed(as_mixed(of, air(-2.0), System::Metric).value.deg_c(), middle, 9);
            printed(as_mixed(of, air(-19.0), System::Metric).value.deg_c(), below, 9);
            printed(greatest_drop(of, System::Metric).value.kelvins(), drop, 9);
        }
        assert!(Section::of(Length::ZERO, System::Feet).is_err());
    }

    #[test]
    fn protection_and_removal() {
        // ACI 306R as Masonry and Concrete (2004), Fig. 3-38, reprints it.
        let days = |worked: Result<Worked<Duration>, Unanswered>| worked.map(|worked| worked.value.days());
        for (category, kept, off) in [
            (ServiceCategory::Sheltered, [2.0, 1.0], [2.0, 1.0]),
            (ServiceCategory::Exposed, [3.0, 2.0], [3.0, 2.0]),
            (ServiceCategory::PartlyLoaded, [3.0, 2.0], [6.0, 4.0]),
        ] {
            for (cement, kept, off) in [(Cement::Ordinary, kept[0], off[0]), (Cement::Fast, kept[1], off[1])] {
                assert_eq!(days(protection(category, cement)), Ok(kept));
                assert_eq!(days(removal(category, cement)), Ok(off));
            }
        }
        assert!(protection(ServiceCategory::Loaded, Cement::Fast).is_err());
        assert!(removal(ServiceCategory::Loaded, Cement::Fast).is_err());
        assert!(is_cold_weather([50.0, 39.9].map(Temperature::from_deg_f)));
        assert!(!is_cold_weather([50.0, 40.0].map(Temperature::from_deg_f)));
        // ACI 301-20 and ACI 305.1-14: 95 degF, 35 degC.
        printed(HOTTEST.deg_f(), 95.0, 9);
        printed(HOTTEST.deg_c(), 35.0, 9);
    }
}

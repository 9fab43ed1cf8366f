//! What the residential codes say about bars: tables for #4 to #6 that need no computation, and the dowels of stem walls.

use super::{Part, Size, Unanswered, Worked, mils, some_length, some_stress};
use crate::units::{Length, Stress};

/// A column of IRC Table R608.5.4(1).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Entry {
    /// Lap splice in tension.
    Lap,
    /// Straight bar developed in tension.
    Straight,
    /// Standard hook of 90 or 180 degrees with at least 2 1/2 in of side cover and, for 90 degrees, at least 2 in of cover
    /// on its tail.
    HookCovered,
    /// Standard hook with less cover than that.
    Hook,
}

/// IRC Table R608.5.4(1), inches: #4, #5, #6 of Grade 40, then of Grade 60. Seen as adopted in the Los Angeles
/// Residential Code; it is also the lap rule of concrete foundation walls (R404.1.3.3.7.5).
const fn row(entry: Entry) -> [[i64; 3]; 2] {
    match entry {
        Entry::Lap => [[20, 25, 30], [30, 38, 45]],
        Entry::Straight => [[15, 19, 23], [23, 28, 34]],
        Entry::HookCovered => [[6, 7, 8], [9, 11, 13]],
        Entry::Hook => [[8, 10, 12], [12, 15, 18]],
    }
}

/// An entry of IRC Table R608.5.4(1) (seen as adopted in the Los Angeles Residential Code): #4, #5 and #6 of Grade 40 (280
/// MPa) and Grade 60 (420 MPa), and nothing else.
///
/// # Errors
///
/// [`Unanswered::Outside`] for what is not tabulated.
pub fn irc(entry: Entry, diameter: Length, fy: Stress) -> Result<Worked<Length>, Unanswered> {
    let size = Size::named(some_length("db", diameter)?);
    some_stress("fy", fy)?;
    let [forty, sixty] = row(entry);
    // 280 and 420 MPa are the metric names of 40 000 and 60 000 psi.
    let of_grade = |psi: f64, mpa: f64| (Stress::from_psi(psi * 0.9999)..=Stress::from_mpa(mpa * 1.0001)).contains(&fy);
    let (row, why) = if of_grade(40_000.0, 280.0) {
        (forty, "row of Grade 40")
    } else if of_grade(60_000.0, 420.0) {
        (sixty, "row of Grade 60")
    } else {
        return Err(Unanswered::Outside("fy", "not tabulated: Grade 40 and Grade 60 are"));
    };
    let [four, five, six] = row;
    let inches = match size {
        Some(Size::No4) => four,
        Some(Size::No5) => five,
        Some(Size::No6) => six,
        _ => return Err(Unanswered::Outside("db", "not tabulated: #4, #5 and #6 are")),
    };
    Ok(Worked {
        value: Length::INCH * inches,
        formula: "table, by size, grade and use",
        source: "IRC Table R608.5.4(1), seen as adopted in the Los Angeles Residential Code",
        parts: vec![Part::length("db", diameter, "nominal diameter of the bar"), Part::stress("fy", fy, why)],
    })
}

/// The least lap of level bars in a wall: 24 in, ACI 332 8.2.7 (seen as quoted in a discussion).
pub const WALL_LAP: Length = mils(24_000);

/// The least lap of level bars that go round a corner of a wall: 30 bar diameters, ACI 332 8.2.7 (seen as quoted in a
/// discussion).
///
/// # Errors
///
/// [`Unanswered`] for no bar.
pub fn wall_corner_lap(diameter: Length) -> Result<Worked<Length>, Unanswered> {
    Ok(Worked {
        value: some_length("db", diameter)? * 30,
        formula: "n * db",
        source: "ACI 332 8.2.7, seen as quoted in a discussion",
        parts: vec![
            Part::number("n", 30.0, "bars that go round a corner"),
            Part::length("db", diameter, "nominal diameter of the bar"),
        ],
    })
}

/// How many level bars a wall of this height has at least: one within the top 24 in and one within the bottom 24 in,
/// three above 6 ft, four above 8 ft; ACI 332 8.2.7 (seen as quoted in a discussion).
#[must_use]
pub fn wall_bars(height: Length) -> Worked<u64> {
    let (value, why) = if height > Length::FOOT * 8 {
        (4, "higher than 8 ft")
    } else if height > Length::FOOT * 6 {
        (3, "higher than 6 ft")
    } else {
        (2, "up to 6 ft: one near the top, one near the bottom")
    };
    Worked {
        value,
        formula: "by height",
        source: "ACI 332 8.2.7, seen as quoted in a discussion",
        parts: vec![Part::length("height", height, why)],
    }
}

/// How close to the top and to the bottom of a wall its first and last level bars lie: 24 in, ACI 332 8.2.7 (seen as
/// quoted in a discussion).
pub const WALL_BAR_FROM_END: Length = mils(24_000);

/// The upright dowels between a footing and a stem wall that is poured later, in Seismic Design Categories D0, D1 and D2
/// only.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StemDowels {
    /// The thinnest bar.
    pub size: Size,
    /// The farthest from one to the next.
    pub at_most: Length,
    /// How far they reach into the stem wall at least. They have a standard hook in the footing.
    pub projection: Length,
}

/// IRC R403.1.3.1 (seen in a transcription): #4 at 4 ft, 14 in into the stem wall.
pub const STEM_DOWELS: StemDowels = StemDowels { size: Size::No4, at_most: mils(48_000), projection: mils(14_000) };

impl StemDowels {
    /// Whether dowels like these are enough.
    #[must_use]
    pub fn met_by(&self, diameter: Length, spacing: Length, projection: Length) -> bool {
        Size::of(diameter).is_some_and(|size| size >= self.size)
            && spacing <= self.at_most
            && projection >= self.projection
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::{
        mm,
        tests::{inches, no},
    };

    const GRADE_60: Stress = Stress::from_psi(60_000.0);
    const ENTRIES: [Entry; 4] = [Entry::Lap, Entry::Straight, Entry::HookCovered, Entry::Hook];

    fn entry(entry: Entry, size: usize, fy: f64) -> i64 {
        let found = irc(entry, no(size), Stress::from_psi(fy)).unwrap().value;
        found.nm() / Length::INCH.nm()
    }

    #[test]
    fn dev_12_irc_table_r608_5_4_1() {
        assert_eq!(ENTRIES.map(|column| entry(column, 5, 60_000.0)), [38, 28, 11, 15]);
        let whole = ENTRIES.map(|column| [4, 5, 6].map(|size| [40_000.0, 60_000.0].map(|fy| entry(column, size, fy))));
        assert_eq!(
            whole,
            [
                [[20, 30], [25, 38], [30, 45]],
                [[15, 23], [19, 28], [23, 34]],
                [[6, 9], [7, 11], [8, 13]],
                [[8, 12], [10, 15], [12, 18]],
            ]
        );
    }

    #[test]
    fn the_table_has_a_pattern() {
        // Laps are fy in ksi times the diameter to the inch, and 1.3 times what is developed.
        for size in 4..=6 {
            for fy in [40_000.0, 60_000.0] {
                let lap = (fy / 1000.0 * no(size).inches()).round() as i64;
                assert_eq!(entry(Entry::Lap, size, fy), lap);
                let developed = (fy / 1000.0 * no(size).inches() / 1.3).floor() as i64;
                assert_eq!(entry(Entry::Straight, size, fy), developed);
            }
        }
    }

    #[test]
    fn outside_the_table_there_is_no_answer() {
        for diameter in [no(3), no(7), mm(12), mm(16), Length::from_nm(11_300_000)] {
            assert!(matches!(irc(Entry::Lap, diameter, GRADE_60), Err(Unanswered::Outside("db", _))));
        }
        for mpa in [250.0, 300.0, 400.0, 500.0] {
            let fy = Stress::from_mpa(mpa);
            assert!(matches!(irc(Entry::Lap, no(4), fy), Err(Unanswered::Outside("fy", _))), "{mpa}");
        }
        assert_eq!(irc(Entry::Lap, no(4), Stress::from_mpa(420.0)).unwrap().value, inches(30.0));
        assert_eq!(irc(Entry::Lap, no(4), Stress::from_mpa(280.0)).unwrap().value, inches(20.0));
        assert_eq!(irc(Entry::Lap, Length::ZERO, GRADE_60), Err(Unanswered::Nothing("db")));
    }

    #[test]
    fn level_bars_of_walls_by_aci_332() {
        assert_eq!([5, 6, 7, 8, 9].map(|feet| wall_bars(Length::FOOT * feet).value), [2, 2, 3, 3, 4]);
        assert_eq!(wall_corner_lap(no(4)).unwrap().value, inches(15.0));
    }

    #[test]
    fn irc_1_dowels_of_a_stem_wall_18_in_high() {
        let spacing = Length::FOOT * 4;
        assert!(STEM_DOWELS.met_by(no(4), spacing, inches(14.0)));
        assert!(!STEM_DOWELS.met_by(no(4), spacing, inches(12.0)));
        assert!(!STEM_DOWELS.met_by(no(4), spacing + Length::INCH, inches(14.0)));
        assert!(!STEM_DOWELS.met_by(no(3), spacing, inches(14.0)));
    }
}

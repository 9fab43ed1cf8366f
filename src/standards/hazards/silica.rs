//! Silica dust: Table 1 of 29 CFR 1926.1153. Its rows say which control goes with a tool, and what is breathed through.

use super::Unanswered;
use crate::units::Duration;

/// What is breathed through.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Respirator {
    /// Nothing more.
    None,
    /// A respirator with an assigned protection factor of 10.
    Factor10,
    /// One of 25.
    Factor25,
}

/// Work that raises dust.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Dusty {
    /// Stationary masonry saw, water on the blade.
    StationarySaw,
    /// Handheld power saw, any blade, water on the blade.
    HandheldSaw,
    /// Handheld saw for fibre cement, blade up to 8 in, dust collection.
    FibreCementSaw,
    /// Walk-behind saw, water on the blade.
    WalkBehindSaw,
    /// Handheld or stand drill, impact and rotary hammer too, shroud and dust collector.
    Drill,
    /// Dowel drilling rig, shroud and dust collector.
    DowelRig,
    /// Jackhammer or handheld chipping tool, water at the point or shroud and collector.
    Chipping,
    /// Handheld grinder on mortar, shroud and dust collector.
    MortarGrinder,
    /// Other handheld grinding, water outdoors or shroud and collector.
    Grinder,
    /// Mixing or emptying bags of dry concrete.
    MixingBags,
    /// Sweeping dry.
    DrySweeping,
    /// Blowing holes out with compressed air.
    BlowingHoles,
    /// Sawing with a dry blade.
    DrySaw,
    /// Hammer and chisel.
    HandChisel,
}

/// A row of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SilicaRow {
    /// The work.
    pub work: Dusty,
    /// Number of the row.
    pub row: &'static str,
    /// Its control.
    pub control: &'static str,
    /// Outdoors, up to 4 hours a shift and over.
    pub outdoors: [Respirator; 2],
    /// Indoors or in an enclosed place; none where the row is for outdoors only.
    pub indoors: Option<[Respirator; 2]>,
    /// How sure it is.
    pub source: &'static str,
}

const NO: Respirator = Respirator::None;
const TEN: Respirator = Respirator::Factor10;
const SEEN: &str = "29 CFR 1926.1153 Table 1";
const SECOND: &str = "29 CFR 1926.1153 Table 1, seen in a secondary source";

/// The rows that concern this work.
pub const SILICA_ROWS: [SilicaRow; 9] = [
    SilicaRow {
        work: Dusty::StationarySaw,
        row: "(i)",
        control: "water fed to the blade by the saw",
        outdoors: [NO, NO],
        indoors: Some([NO, NO]),
        source: SEEN,
    },
    SilicaRow {
        work: Dusty::HandheldSaw,
        row: "(ii)",
        control: "water fed to the blade by the saw",
        outdoors: [NO, TEN],
        indoors: Some([TEN, TEN]),
        source: SEEN,
    },
    SilicaRow {
        work: Dusty::FibreCementSaw,
        row: "(iii)",
        control: "dust collection, outdoors only",
        outdoors: [NO, NO],
        indoors: None,
        source: SEEN,
    },
    SilicaRow {
        work: Dusty::WalkBehindSaw,
        row: "(iv)",
        control: "water fed to the blade by the saw",
        outdoors: [NO, NO],
        indoors: Some([TEN, TEN]),
        source: SEEN,
    },
    SilicaRow {
        work: Dusty::Drill,
        row: "(vii)",
        control: "shroud and dust collector; holes cleaned with a HEPA vacuum",
        outdoors: [NO, NO],
        indoors: Some([NO, NO]),
        source: SECOND,
    },
    SilicaRow {
        work: Dusty::DowelRig,
        row: "(viii)",
        control: "shroud and dust collector, outdoors only",
        outdoors: [TEN, TEN],
        indoors: None,
        source: SECOND,
    },
    SilicaRow {
        work: Dusty::Chipping,
        row: "(x)",
        control: "water at the point of impact, or shroud and dust collector",
        outdoors: [NO, TEN],
        indoors: Some([TEN, TEN]),
        source: SECOND,
    },
    SilicaRow {
        work: Dusty::MortarGrinder,
        row: "(xi)",
        control: "shroud and dust collector",
        outdoors: [TEN, Respirator::Factor25],
        indoors: Some([TEN, Respirator::Factor25]),
        source: SECOND,
    },
    SilicaRow {
        work: Dusty::Grinder,
        row: "(xii)",
        control: "shroud and dust collector, or water outdoors",
        outdoors: [NO, NO],
        indoors: Some([NO, TEN]),
        source: "29 CFR 1926.1153 Table 1, from memory",
    },
];

/// The row of the work, and what is breathed through there for so long a shift.
///
/// # Errors
///
/// [`Unanswered`] for work that is not in Table 1, mixing bags and dry sweeping among it, and for a place its row is not for.
pub fn silica(work: Dusty, outdoors: bool, a_shift: Duration) -> Result<(&'static SilicaRow, Respirator), Unanswered> {
    const NOT_IN_TABLE: &str = "not in Table 1: the exposure is assessed or kept down otherwise, 1926.1153(d)";
    let row = SILICA_ROWS.iter().find(|row| row.work == work).ok_or(Unanswered::Outside("work", NOT_IN_TABLE))?;
    let [short, long] = if outdoors {
        row.outdoors
    } else {
        row.indoors.ok_or(Unanswered::Outside("place", "the row is for work outdoors only"))?
    };
    // What is no number of hours is taken as long.
    Ok((row, if a_shift <= Duration::from_hours(4.0) { short } else { long }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_of_table_1() {
        // 29 CFR 1926.1153, Table 1.
        let of = |work, outdoors, hours| silica(work, outdoors, Duration::from_hours(hours)).map(|found| found.1);
        for (work, outdoors, short, long) in [
            (Dusty::StationarySaw, true, NO, NO),
            (Dusty::HandheldSaw, true, NO, TEN),
            (Dusty::HandheldSaw, false, TEN, TEN),
            (Dusty::FibreCementSaw, true, NO, NO),
            (Dusty::WalkBehindSaw, true, NO, NO),
            (Dusty::WalkBehindSaw, false, TEN, TEN),
            (Dusty::Drill, false, NO, NO),
            (Dusty::DowelRig, true, TEN, TEN),
            (Dusty::Chipping, true, NO, TEN),
            (Dusty::Chipping, false, TEN, TEN),
            (Dusty::MortarGrinder, false, TEN, Respirator::Factor25),
        ] {
            assert_eq!(of(work, outdoors, 4.0), Ok(short), "{work:?}");
            assert_eq!(of(work, outdoors, 4.1), Ok(long), "{work:?}");
        }
        for work in [Dusty::MixingBags, Dusty::DrySweeping, Dusty::BlowingHoles, Dusty::DrySaw, Dusty::HandChisel] {
            assert!(of(work, true, 1.0).is_err(), "{work:?}");
        }
        assert!(of(Dusty::DowelRig, false, 1.0).is_err());
        assert_eq!(of(Dusty::HandheldSaw, true, f64::NAN), Ok(TEN));
    }
}

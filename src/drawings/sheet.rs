//! The paper: how large it is, and how large the work is drawn on it.

use super::scene::Spot;
use crate::units::{Length, System, show};

/// The margins of a sheet, in millimetres: what printers leave, and a thumb.
const MARGIN: f64 = 12.0;

/// Room for a drawing on a sheet of paper, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sheet {
    /// Across.
    pub width: f64,
    /// Down.
    pub height: f64,
}

/// An upright sheet: Letter for a job in feet, A4 for a metric one.
#[must_use]
pub fn upright(system: System) -> Sheet {
    let (width, height) = match system {
        System::Feet => (215.9, 279.4),
        System::Metric => (210.0, 297.0),
    };
    // The page has a head and a foot of its own.
    Sheet { width: width - 2.0 * MARGIN, height: height - 2.0 * MARGIN - 8.0 }
}

/// The same sheet laid on its side.
#[must_use]
pub fn lying(system: System) -> Sheet {
    let Sheet { width, height } = upright(system);
    Sheet { width: height, height: width - 8.0 }
}

/// The sheet of a drawing.
#[must_use]
pub fn of(system: System, is_lying: bool) -> Sheet {
    if is_lying { lying(system) } else { upright(system) }
}

/// What a heading over a drawing takes of its page.
pub const HEADING: f64 = 22.0;

/// How often a drawing is smaller than the work: what rulers and tapes are marked for, largest first.
const SCALES: [u32; 22] = [1, 2, 4, 5, 8, 10, 12, 15, 16, 20, 24, 25, 30, 32, 40, 48, 50, 64, 75, 80, 96, 100];

/// The largest scale at which so much of the work, in millimetres, has room; or one so many steps smaller.
#[must_use]
pub fn scale_for(work: (f64, f64), room: (f64, f64), smaller: usize) -> u32 {
    const LAST: u32 = 100_000_000;
    let fits = |scale: &u32| work.0 <= room.0 * f64::from(*scale) && work.1 <= room.1 * f64::from(*scale);
    let beyond = std::iter::successors(Some(200), |scale: &u32| Some(scale * 2).filter(|scale| *scale <= LAST));
    SCALES.into_iter().chain(beyond).filter(fits).nth(smaller).unwrap_or(LAST)
}

/// The way from the work to the sheet: x along the leg from its left end, or east in plan, y up or north.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Model {
    /// Where the work's own 0, 0 lies on the sheet.
    pub origin: Spot,
    /// Millimetres of the sheet to a millimetre of the work.
    pub per_mm: f64,
    /// Seen from the other side: stations run to the left.
    pub turned: bool,
}

impl Model {
    /// The place on the sheet of a place in the work, in nanometres to the right and up.
    #[must_use]
    pub fn at(&self, x: f64, y: f64) -> Spot {
        let right = if self.turned { -x } else { x };
        Spot::new(self.origin.x + right * 1e-6 * self.per_mm, self.origin.y - y * 1e-6 * self.per_mm)
    }

    /// A length of the work, in nanometres, on the sheet.
    #[must_use]
    pub fn long(&self, nm: f64) -> f64 {
        nm * 1e-6 * self.per_mm
    }

    /// A length of the work on the sheet.
    #[must_use]
    pub fn length(&self, length: Length) -> f64 {
        self.long(length.nm() as f64)
    }
}

/// A scale bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Scale {
    /// How many parts.
    pub parts: u32,
    /// How long each is on the sheet.
    pub part: f64,
    /// After which part which figure stands.
    pub figures: Vec<(u32, String)>,
    /// "1:20".
    pub name: String,
}

impl Scale {
    /// The bar of a scale.
    #[must_use]
    pub fn new(scale: u32, system: System) -> Scale {
        const FEET: [i64; 12] = [1, 2, 3, 6, 12, 24, 60, 120, 240, 600, 1200, 6000];
        const METRIC: [i64; 12] = [10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 50_000, 100_000];
        let unit = match system {
            System::Feet => Length::INCH,
            System::Metric => Length::MILLIMETRE,
        };
        let steps = match system {
            System::Feet => FEET,
            System::Metric => METRIC,
        };
        let on_sheet = |count: i64| (unit * count).nm() as f64 * 1e-6 / f64::from(scale);
        // A part is as long as a figure is wide.
        let step = steps.into_iter().find(|count| on_sheet(*count) >= 8.0).unwrap_or(steps[11]);
        let parts = 4;
        let figures = [0, 2, 4].map(|part| (part, figure(unit * step * i64::from(part), system))).to_vec();
        Scale { parts, part: on_sheet(step), figures, name: format!("scale 1:{scale}, printed at full size") }
    }
}

fn figure(length: Length, system: System) -> String {
    show::place(length, system).to_string()
}

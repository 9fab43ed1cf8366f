//! Which bar size a rule means: the US designations by diameter.

use super::{mils, mm};
use crate::units::Length;

/// A bar as the US standards number it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Size {
    No3,
    No4,
    No5,
    No6,
    No7,
    No8,
    No9,
    No10,
    No11,
    No14,
    No18,
}

/// A bar this much thicker than a size still counts as that size: a quarter of a millimetre, so that the soft metric
/// names (19.1 mm for #6) and 16 mm, 25 mm and their like meet the size they stand for. A convention of this program.
pub const SAME_SIZE: Length = Length::from_nm(250_000);

/// How far a nominal diameter rounded to a tenth of a millimetre may lie from the one in inches.
const ROUNDED: Length = Length::from_nm(60_000);

impl Size {
    /// Every size, thinnest first.
    pub const ALL: [Size; 11] = [
        Size::No3,
        Size::No4,
        Size::No5,
        Size::No6,
        Size::No7,
        Size::No8,
        Size::No9,
        Size::No10,
        Size::No11,
        Size::No14,
        Size::No18,
    ];

    /// The number in its name.
    #[must_use]
    pub const fn number(self) -> u8 {
        match self {
            Size::No3 => 3,
            Size::No4 => 4,
            Size::No5 => 5,
            Size::No6 => 6,
            Size::No7 => 7,
            Size::No8 => 8,
            Size::No9 => 9,
            Size::No10 => 10,
            Size::No11 => 11,
            Size::No14 => 14,
            Size::No18 => 18,
        }
    }

    /// Nominal diameter: ASTM A615/A615M (seen in reproductions; #14 and #18 from memory).
    #[must_use]
    pub const fn diameter(self) -> Length {
        mils(match self {
            Size::No3 => 375,
            Size::No4 => 500,
            Size::No5 => 625,
            Size::No6 => 750,
            Size::No7 => 875,
            Size::No8 => 1000,
            Size::No9 => 1128,
            Size::No10 => 1270,
            Size::No11 => 1410,
            Size::No14 => 1693,
            Size::No18 => 2257,
        })
    }

    /// The size a bar of this diameter counts as: the thinnest that is no thinner than it, within [`SAME_SIZE`]. So a
    /// bar between two sizes takes the rules of the thicker one, which are the stricter. `None` above #18 and for no bar.
    #[must_use]
    pub fn of(diameter: Length) -> Option<Size> {
        if diameter <= Length::ZERO {
            return None;
        }
        Size::ALL.into_iter().find(|size| diameter <= size.diameter() + SAME_SIZE)
    }

    /// The size this bar is by name, in inches or soft metric; `None` for a bar of another catalogue, as 12 mm or 10M.
    #[must_use]
    pub fn named(diameter: Length) -> Option<Size> {
        Size::ALL.into_iter().find(|size| (size.diameter() - diameter).abs() <= ROUNDED)
    }
}

/// What a rounded millimetre bar is called in the European catalogue; `None` for any other diameter.
pub(super) fn whole_millimetres(diameter: Length) -> Option<i64> {
    let whole = diameter.nm() / 1_000_000;
    (mm(whole) == diameter).then_some(whole)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::tests::{A615, no};

    #[test]
    fn every_us_bar_is_its_own_size() {
        for (at, (_, thousandths, _)) in A615.iter().enumerate() {
            assert_eq!(Size::of(mils(*thousandths)), Some(Size::ALL[at]));
            assert_eq!(Size::named(mils(*thousandths)), Some(Size::ALL[at]));
        }
        // Soft metric diameters of ASTM A615M.
        for (at, tenths) in [95, 127, 159, 191, 222, 254, 287, 323, 358].into_iter().enumerate() {
            let bar = Length::from_nm(tenths * 100_000);
            assert_eq!((Size::of(bar), Size::named(bar)), (Some(Size::ALL[at]), Some(Size::ALL[at])), "{tenths}");
        }
    }

    #[test]
    fn bars_of_other_catalogues_take_the_rules_of_the_next_size_up() {
        for (tenths, size) in [
            (60, Size::No3),
            (100, Size::No4),
            (113, Size::No4),
            (120, Size::No4),
            (160, Size::No5),
            (195, Size::No7),
            (200, Size::No7),
            (250, Size::No8),
            (252, Size::No8),
            (299, Size::No10),
            (320, Size::No10),
            (357, Size::No11),
            (400, Size::No14),
        ] {
            assert_eq!(Size::of(Length::from_nm(tenths * 100_000)), Some(size), "{tenths}");
        }
        assert_eq!(Size::of(mm(60)), None);
        assert_eq!(Size::of(Length::ZERO), None);
    }

    #[test]
    fn number_four_is_neither_12_mm_nor_10m() {
        assert_eq!(Size::named(no(4)), Some(Size::No4));
        assert_eq!(Size::named(mm(12)), None);
        assert_eq!(Size::named(Length::from_nm(11_300_000)), None);
        assert_eq!(Size::named(mm(16)), None);
        assert_eq!((whole_millimetres(mm(12)), whole_millimetres(no(4))), (Some(12), None));
    }
}

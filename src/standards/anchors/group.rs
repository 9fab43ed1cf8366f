//! Anchors side by side in one face, and the area they can lay hold of: the union of a square round each, cut off at the
//! edges of the concrete. Exact, in whole nanometres.

use crate::units::{Area, Length, Stress, System};

use super::super::ConcreteWeight;

/// Where the concrete of a face ends, in the same coordinates as the anchors; `None` where it is far.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Edges {
    /// At the side of small first coordinates.
    pub left: Option<Length>,
    /// At the side of large ones.
    pub right: Option<Length>,
    /// At the side of small second coordinates.
    pub bottom: Option<Length>,
    /// At the side of large ones.
    pub top: Option<Length>,
}

impl Edges {
    /// No edge near.
    pub const NONE: Edges = Edges { left: None, right: None, bottom: None, top: None };

    fn holds(&self, (x, y): (Length, Length)) -> bool {
        self.left.is_none_or(|left| left < x)
            && self.right.is_none_or(|right| x < right)
            && self.bottom.is_none_or(|bottom| bottom < y)
            && self.top.is_none_or(|top| y < top)
    }

    /// From a place to the nearest edge.
    fn distance(&self, (x, y): (Length, Length)) -> Option<Length> {
        let to = [
            self.left.map(|left| x - left),
            self.right.map(|right| right - x),
            self.bottom.map(|bottom| y - bottom),
            self.top.map(|top| top - y),
        ];
        to.into_iter().flatten().min()
    }
}

/// Equal anchors in one face that carry one tension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Group<'a> {
    /// Whose constants: psi and inches, or MPa and millimetres.
    pub system: System,
    /// Their centres in the face.
    pub places: &'a [(Length, Length)],
    /// Where the concrete ends.
    pub edges: Edges,
    /// Nominal diameter.
    pub diameter: Length,
    /// Embedment.
    pub embedment: Length,
    /// Specified strength of the concrete.
    pub fc: Stress,
    /// Its weight.
    pub weight: ConcreteWeight,
    /// The concrete may be cracked where they stand: take it so unless an analysis says otherwise.
    pub cracked: bool,
    /// How far the tension lies off the middle of the group.
    pub eccentricity: Length,
}

impl Group<'_> {
    /// The least distance of any of them to any edge; `None` where no edge is near.
    #[must_use]
    pub fn nearest_edge(&self) -> Option<Length> {
        self.places.iter().filter_map(|place| self.edges.distance(*place)).min()
    }

    /// Every anchor stands in the concrete.
    pub(super) fn inside(&self) -> bool {
        self.places.iter().all(|place| self.edges.holds(*place))
    }
}

/// The area of the squares that reach `reach` to all four sides of each place, counted once where they overlap and cut off
/// at the edges: the projected area of ACI 318-19 Fig. R17.6.2.1 and R17.6.5.1 for rows and grids (from memory).
#[must_use]
pub fn projected(places: &[(Length, Length)], reach: Length, edges: &Edges) -> Area {
    let cut = |low: i64, high: i64, least: Option<Length>, most: Option<Length>| {
        (low.max(least.map_or(i64::MIN, Length::nm)), high.min(most.map_or(i64::MAX, Length::nm)))
    };
    let mut squares: Vec<[i64; 4]> = places
        .iter()
        .map(|(x, y)| {
            let (left, right) = cut((*x - reach).nm(), (*x + reach).nm(), edges.left, edges.right);
            let (bottom, top) = cut((*y - reach).nm(), (*y + reach).nm(), edges.bottom, edges.top);
            [left, right, bottom, top]
        })
        .filter(|[left, right, bottom, top]| left < right && bottom < top)
        .collect();
    squares.sort_unstable();
    let mut stops: Vec<i64> = squares.iter().flat_map(|[left, right, ..]| [*left, *right]).collect();
    stops.sort_unstable();
    stops.dedup();
    // Squares are equal before they are cut, so those that reach into a slab stand together in the order of left sides.
    let mut area: i128 = 0;
    let mut first = 0;
    for slab in stops.windows(2) {
        let &[from, to] = slab else { continue };
        while squares.get(first).is_some_and(|[_, right, ..]| *right <= from) {
            first += 1;
        }
        let here = squares.iter().skip(first).take_while(|[left, ..]| *left <= from);
        let mut spans: Vec<(i64, i64)> =
            here.filter(|[_, right, ..]| *right > from).map(|[_, _, bottom, top]| (*bottom, *top)).collect();
        spans.sort_unstable();
        let (mut covered, mut up_to) = (0_i128, i64::MIN);
        for (bottom, top) in spans {
            let from = bottom.max(up_to);
            covered += i128::from(top) - i128::from(from.min(top));
            up_to = up_to.max(top);
        }
        let width = i128::from(to) - i128::from(from);
        area = area.saturating_add(covered.saturating_mul(width));
    }
    Area::from_nm2(area)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::mm;
    use proptest::prelude::*;

    fn at(x: i64, y: i64) -> (Length, Length) {
        (mm(x), mm(y))
    }

    fn square_mm(places: &[(Length, Length)], reach: i64, edges: Edges) -> i128 {
        projected(places, mm(reach), &edges).nm2() / 1_000_000_000_000
    }

    #[test]
    fn squares_overlap_and_end_at_edges() {
        assert_eq!(square_mm(&[at(0, 0)], 50, Edges::NONE), 10_000);
        assert_eq!(square_mm(&[at(0, 0), at(60, 0)], 50, Edges::NONE), 16_000);
        assert_eq!(square_mm(&[at(0, 0), at(500, 0)], 50, Edges::NONE), 20_000);
        assert_eq!(square_mm(&[at(0, 0), at(60, 60)], 50, Edges::NONE), 20_000 - 40 * 40);
        let corner = Edges { left: Some(mm(-20)), top: Some(mm(30)), ..Edges::NONE };
        assert_eq!(square_mm(&[at(0, 0)], 50, corner), 70 * 80);
        let four = Edges { left: Some(mm(-20)), right: Some(mm(10)), bottom: Some(mm(-40)), top: Some(mm(30)) };
        assert_eq!(square_mm(&[at(0, 0)], 50, four), 30 * 70);
        // A grid closer than its reach is one rectangle.
        let grid: Vec<_> = (0..4).flat_map(|i| (0..3).map(move |j| at(i * 80, j * 60))).collect();
        assert_eq!(square_mm(&grid, 50, Edges::NONE), (3 * 80 + 100) * (2 * 60 + 100));
        assert_eq!(square_mm(&[], 50, Edges::NONE), 0);
        assert_eq!(square_mm(&[at(0, 0)], 0, Edges::NONE), 0);
        let outside = Edges { left: Some(mm(100)), ..Edges::NONE };
        assert_eq!(square_mm(&[at(0, 0)], 50, outside), 0);
    }

    #[test]
    fn ends_of_the_range_do_no_harm() {
        let far = Length::from_nm(i64::MAX);
        let area = projected(&[(far, far), (-far, -far), (Length::ZERO, far)], far, &Edges::NONE);
        assert!(area > Area::ZERO);
    }

    proptest! {
        #[test]
        fn counted_square_by_square_it_is_the_same(
            places in prop::collection::vec((0_i64..30, 0_i64..30), 0..8),
            reach in 1_i64..8, left in 0_i64..10, top in 20_i64..30,
        ) {
            let edges = Edges { left: Some(mm(left)), top: Some(mm(top)), ..Edges::NONE };
            let points: Vec<_> = places.iter().map(|(x, y)| at(*x, *y)).collect();
            let counted = (-10..50)
                .flat_map(|i| (-10..50).map(move |j| (i, j)))
                .filter(|(i, j)| *i >= left && *j < top)
                .filter(|(i, j)| {
                    places.iter().any(|(x, y)| {
                        (x - reach..x + reach).contains(i) && (y - reach..y + reach).contains(j)
                    })
                })
                .count();
            prop_assert_eq!(square_mm(&points, reach, edges), counted as i128);
        }
    }
}

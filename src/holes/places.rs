//! How places are spaced along a stretch.

use super::layout::RowTrouble;
use crate::{
    concrete::{Interval, Standing},
    schema::{Inset, Said, Spacing},
    source::Span,
    units::{Length, gaps},
};

/// Places in a row: the first, and equal gaps after it; or places that were listed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Places {
    /// `first + k * over / gaps`, for k from 0; halves when staggered.
    Even {
        /// The first place, before any stagger.
        first: Length,
        /// The length the gaps share.
        over: Length,
        /// How many gaps share it.
        gaps: u64,
        /// How many places.
        count: u64,
        /// Half a gap further on.
        staggered: bool,
    },
    /// As listed.
    Listed(Box<[Length]>),
    /// Moved out of the way of something.
    Moved {
        /// Where they are.
        at: Box<[Length]>,
        /// The nearest nominal place of each.
        from: Box<[Length]>,
    },
}

impl Places {
    /// How many places.
    #[must_use]
    pub fn count(&self) -> u64 {
        match self {
            Places::Even { count, .. } => *count,
            Places::Listed(all) | Places::Moved { at: all, .. } => all.len() as u64,
        }
    }

    /// The place of this number, from 0: exact, rounded once to whole nanometres.
    #[must_use]
    pub fn at(&self, number: u64) -> Length {
        match self {
            Places::Even { first, over, gaps, staggered, .. } => {
                let half = i128::from(*staggered);
                let twice = i128::from(over.nm()) * (2 * i128::from(number) + half);
                let under = 2 * i128::from((*gaps).max(1));
                let rounded = (2 * twice + under).div_euclid(2 * under);
                *first + Length::from_nm(i64::try_from(rounded).unwrap_or(i64::MAX))
            }
            Places::Listed(all) | Places::Moved { at: all, .. } => listed_at(all, number),
        }
    }

    /// How far the place of this number was moved to the right, if its row was moved out of the way of something.
    #[must_use]
    pub fn moved(&self, number: u64) -> Option<Length> {
        match self {
            Places::Moved { at, from } => Some(listed_at(at, number) - listed_at(from, number)),
            Places::Even { .. } | Places::Listed(_) => None,
        }
    }

    /// The number of the first place that is not before this station.
    #[must_use]
    pub fn first_from(&self, station: Length) -> u64 {
        let (mut low, mut high) = (0, self.count());
        while low < high {
            let middle = low + (high - low) / 2;
            if self.at(middle) < station {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
        low
    }

    /// The gap between two neighbours, to the nearest nanometre; none for a list, a single place or a row that was moved.
    #[must_use]
    pub fn gap(&self) -> Option<Length> {
        match self {
            Places::Even { over, gaps, count, .. } if *count > 1 => Some(*over / i64::try_from(*gaps).ok()?),
            _ => None,
        }
    }
}

fn listed_at(all: &[Length], number: u64) -> Length {
    usize::try_from(number).ok().and_then(|at| all.get(at)).copied().unwrap_or_default()
}

/// How one block's places are spaced.
#[derive(Debug, Clone, Copy)]
pub struct Spaced<'j> {
    /// The spacing.
    pub space: &'j Spacing,
    /// The insets.
    pub inset: Option<&'j Inset>,
    /// How wide what stands at a place is, along the row.
    pub wide: Length,
    /// Where the spacing stands, for findings.
    pub space_at: Span,
    /// Where the insets stand, for findings.
    pub inset_at: Span,
}

impl<'j> Spaced<'j> {
    /// The spacing of one row, stretch by stretch.
    pub fn row(self) -> Spacer<'j> {
        Spacer { by: self, used: vec![false; listed(self.space).len()] }
    }
}

/// Spaces one row, and knows which of its listed places no stretch took.
#[derive(Debug)]
pub struct Spacer<'j> {
    by: Spaced<'j>,
    used: Vec<bool>,
}

impl Spacer<'_> {
    /// The places of the row on one stretch; none if there are none, with a trouble if that is a fault.
    pub fn places(
        &mut self,
        standing: &Standing,
        stretch: Interval,
        staggered: bool,
        troubles: &mut Vec<RowTrouble>,
    ) -> Option<Places> {
        let Spacing::At(stations) = self.by.space else {
            return spaced(standing, stretch, self.by, staggered, troubles);
        };
        let mut on = Vec::new();
        for (station, used) in stations.iter().zip(&mut self.used) {
            if (stretch.start..=stretch.end).contains(&station.value) {
                *used = true;
                on.push(station.value);
            }
        }
        // Holes are numbered by station, whatever order the list is in.
        on.sort_unstable();
        (!on.is_empty()).then(|| Places::Listed(on.into()))
    }

    /// Says which of the listed places are on no stretch of the row.
    pub fn finish(self, troubles: &mut Vec<RowTrouble>) {
        for (station, _) in listed(self.by.space).iter().zip(&self.used).filter(|(_, used)| !**used) {
            troubles.push(RowTrouble::PlaceOff { at: station.span, station: station.value });
        }
    }
}

/// Places on one stretch, reckoned from its ends. None, with a trouble, if the insets cross or what stands at one place
/// reaches into the next.
///
/// `at most X` takes the least number of equal gaps none of which is larger, `every X` steps from the first.
fn spaced(
    standing: &Standing,
    stretch: Interval,
    by: Spaced,
    staggered: bool,
    troubles: &mut Vec<RowTrouble>,
) -> Option<Places> {
    let (before, after) = insets(standing, stretch, by.inset);
    let (first, last) = (stretch.start + before, stretch.end - after);
    if first > last {
        troubles.push(RowTrouble::InsetsCross {
            at: by.inset_at,
            leg: standing.leg_name(stretch.on).to_owned(),
            length: stretch.end - stretch.start,
            insets: before + after,
        });
        return None;
    }
    let clear = last - first;
    let (over, count_of_gaps) = match by.space {
        Spacing::AtMost(most) => (clear, gaps(clear, most.value)?),
        Spacing::Every(gap) => {
            let whole = u64::try_from(clear.nm().checked_div(gap.value.nm())?).ok()?;
            (gap.value * i64::try_from(whole).ok()?, whole)
        }
        Spacing::At(_) => return None,
    };
    let gap = i64::try_from(count_of_gaps).ok().filter(|gaps| *gaps > 0).map(|gaps| over / gaps);
    if let Some(gap) = gap.filter(|gap| *gap < by.wide) {
        // One slip, told once; and nothing is made of it, for there may be a great many.
        let at = by.space_at;
        if !troubles.iter().any(|told| matches!(told, RowTrouble::Crowded { at: there, .. } if *there == at)) {
            troubles.push(RowTrouble::Crowded { at, gap, wide: by.wide });
        }
        return None;
    }
    let staggered = staggered && count_of_gaps > 0;
    let count = if staggered { count_of_gaps } else { count_of_gaps + 1 };
    Some(Places::Even { first, over, gaps: count_of_gaps, count, staggered })
}

/// How far the first and the last place stay from the ends of a stretch.
pub(super) fn insets(standing: &Standing, stretch: Interval, inset: Option<&Inset>) -> (Length, Length) {
    let Some(inset) = inset else { return (Length::ZERO, Length::ZERO) };
    let both = inset.both.map(|both| both.value.0);
    let corner = |end: bool| {
        let at_end = if end { stretch.end == standing.length(stretch.on) } else { stretch.start == Length::ZERO };
        (at_end && standing.at_corner(stretch.on, end)).then(|| inset.at_corners.map(|corner| corner.value.0)).flatten()
    };
    let side = |end: bool, own: Option<Length>| corner(end).or(own).or(both).unwrap_or(Length::ZERO);
    (side(false, inset.at_start.map(|start| start.value.0)), side(true, inset.at_end.map(|end| end.value.0)))
}

fn listed(space: &Spacing) -> &[Said<Length>] {
    match space {
        Spacing::At(stations) => stations,
        Spacing::AtMost(_) | Spacing::Every(_) => &[],
    }
}

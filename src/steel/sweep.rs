//! A cut that is moved through a piece of concrete, square to the bars that run one way: how many bars it goes through, where
//! they are fewest, and where two neighbours in it are farthest apart.

use std::collections::BTreeMap;

use crate::{
    concrete::LegAt,
    geometry::Point,
    units::{Area, Length},
};

/// Stretches shorter than this, in nanometres, are noise between two parts of one bar.
const NOISE: i64 = 1_000;

/// A straight part of a bar, as the cut meets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Part {
    /// Parts that count as one bar where the cut goes through several: those of one bar, and bars lapped with each other.
    pub key: u32,
    /// Which bars it is of, in the order of the blocks.
    pub of: u32,
    /// Where the cut meets it first.
    pub from: Length,
    /// Where the cut leaves it.
    pub to: Length,
    /// Where it lies across the cut.
    pub at: Length,
    /// The same as it is measured on its own leg.
    pub place: Length,
    /// The leg it stands on.
    pub on: LegAt,
    /// Its place in plan.
    pub plan: Point,
    /// The area of its steel.
    pub area: Area,
}

/// What the cut is moved through, and which way it is measured across.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Through {
    /// From where to where it is moved; one place, where both are the same.
    pub span: (Length, Length),
    /// From one edge of the concrete to the other, across.
    pub edges: (Length, Length),
    /// It comes back to where it began: there are no edges.
    pub ring: bool,
}

/// The bars in one cut.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct CutThrough {
    /// Where.
    pub at: Length,
    /// The parts it goes through, one a bar, from one edge to the other.
    pub parts: Vec<Part>,
}

/// Two neighbours in a cut, or an edge and the bar nearest to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Apart {
    /// Where the cut is.
    pub at: Length,
    /// From centre to centre, or from the edge to the centre.
    pub far: Length,
    /// The first; none for the edge.
    pub from: Option<Part>,
    /// The second; none for the edge.
    pub to: Option<Part>,
}

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Swept {
    /// The cut through the least steel.
    pub least: CutThrough,
    /// The neighbours that are farthest apart.
    pub widest: Option<Apart>,
    /// The edge that is farthest from any bar.
    pub bare: Option<Apart>,
}

/// Moves the cut through.
pub(super) fn sweep(parts: &[Part], through: Through) -> Swept {
    let (first, last) = through.span;
    let mut events: Vec<(Length, bool, usize)> =
        parts.iter().enumerate().flat_map(|(at, part)| [(part.from, true, at), (part.to, false, at)]).collect();
    events.sort_unstable();
    let mut now = Now::default();
    let mut least: Option<(Area, Length)> = None;
    let mut widest: Option<(Length, Length)> = None;
    let mut bare: Option<(Length, Length)> = None;
    let mut look = |now: &Now, from: Length, to: Length| {
        let inside = (from.max(first), to.min(last));
        let meets = if first == last { from <= first && first < to } else { (inside.1 - inside.0).nm() > NOISE };
        if !meets {
            return;
        }
        let at = inside.0 + (inside.1 - inside.0) / 2;
        if least.is_none_or(|(area, _)| now.steel < area) {
            least = Some((now.steel, at));
        }
        if let Some((gap, _)) = now.gaps.last_key_value()
            && widest.is_none_or(|(known, _)| *gap > known)
        {
            widest = Some((*gap, at));
        }
        if let Some(edge) = now.edge(through)
            && bare.is_none_or(|(known, _)| edge > known)
        {
            bare = Some((edge, at));
        }
    };
    let far = Length::LIMIT * 4;
    let mut from = Length::ZERO - far;
    for (at, begins, part) in events {
        if at > from {
            look(&now, from, at);
            from = at;
        }
        if let Some(part) = parts.get(part) {
            if begins { now.add(part) } else { now.remove(part) }
        }
    }
    look(&now, from, far);
    let middle = first + (last - first) / 2;
    let least = cut(parts, least.map_or(middle, |(_, at)| at));
    let pair = |(far, at): (Length, Length)| {
        let cut = cut(parts, at);
        cut.parts.windows(2).find_map(|pair| match pair {
            [one, other] if apart(one, other) == far => Some(Apart { at, far, from: Some(*one), to: Some(*other) }),
            _ => None,
        })
    };
    let edge = |(far, at): (Length, Length)| {
        let cut = cut(parts, at);
        let (low, high) = (cut.parts.first()?, cut.parts.last()?);
        Some(if low.at - through.edges.0 == far {
            Apart { at, far, from: None, to: Some(*low) }
        } else {
            Apart { at, far, from: Some(*high), to: None }
        })
    };
    Swept { least, widest: widest.and_then(pair), bare: bare.and_then(edge) }
}

/// The bars a cut at this place goes through.
fn cut(parts: &[Part], at: Length) -> CutThrough {
    let mut by_key: BTreeMap<u32, Part> = BTreeMap::new();
    for part in parts.iter().filter(|part| part.from <= at && at < part.to) {
        by_key.entry(part.key).or_insert(*part);
    }
    let mut parts: Vec<Part> = by_key.into_values().collect();
    parts.sort_by_key(|part| (part.at, part.key));
    CutThrough { at, parts }
}

/// From centre to centre: along the leg, or straight across a corner.
fn apart(one: &Part, other: &Part) -> Length {
    if one.on == other.on { other.at - one.at } else { Length::round_nm(one.plan.distance(other.plan)) }
}

/// The bars the cut goes through now.
#[derive(Default)]
struct Now {
    steel: Area,
    /// How many parts of each bar.
    bars: BTreeMap<u32, u32>,
    /// Where they are, each with the parts that are there.
    places: BTreeMap<(Length, u32), (u32, Part)>,
    /// How many pairs of neighbours are so far apart.
    gaps: BTreeMap<Length, u32>,
}

impl Now {
    fn add(&mut self, part: &Part) {
        let count = self.bars.entry(part.key).or_insert(0);
        *count += 1;
        if *count == 1 {
            self.steel = Area::from_nm2(self.steel.nm2().saturating_add(part.area.nm2()));
        }
        let key = (part.at, part.key);
        if let Some((count, _)) = self.places.get_mut(&key) {
            *count += 1;
            return;
        }
        let (before, after) = self.neighbours(key);
        if let (Some(before), Some(after)) = (before, after) {
            self.gap_less(apart(&before, &after));
        }
        let gaps = [before.map(|before| apart(&before, part)), after.map(|after| apart(part, &after))];
        for gap in gaps.into_iter().flatten() {
            *self.gaps.entry(gap).or_insert(0) += 1;
        }
        self.places.insert(key, (1, *part));
    }

    fn remove(&mut self, part: &Part) {
        if let Some(count) = self.bars.get_mut(&part.key) {
            *count -= 1;
            if *count == 0 {
                self.bars.remove(&part.key);
                self.steel = Area::from_nm2(self.steel.nm2().saturating_sub(part.area.nm2()));
            }
        }
        let key = (part.at, part.key);
        let Some((count, own)) = self.places.get_mut(&key) else { return };
        let own = *own;
        *count -= 1;
        if *count > 0 {
            return;
        }
        self.places.remove(&key);
        let (before, after) = self.neighbours(key);
        if let Some(before) = before {
            self.gap_less(apart(&before, &own));
        }
        if let Some(after) = after {
            self.gap_less(apart(&own, &after));
        }
        if let (Some(before), Some(after)) = (before, after) {
            *self.gaps.entry(apart(&before, &after)).or_insert(0) += 1;
        }
    }

    fn neighbours(&self, key: (Length, u32)) -> (Option<Part>, Option<Part>) {
        let before = self.places.range(..key).next_back().map(|(_, (_, part))| *part);
        let after = self.places.range(key..).find(|(at, _)| **at != key).map(|(_, (_, part))| *part);
        (before, after)
    }

    fn gap_less(&mut self, gap: Length) {
        if let Some(count) = self.gaps.get_mut(&gap) {
            *count -= 1;
            if *count == 0 {
                self.gaps.remove(&gap);
            }
        }
    }

    /// How far the edge is from the bar nearest to it, where it is farther than the other edge from its own.
    fn edge(&self, through: Through) -> Option<Length> {
        let ((low, _), _) = self.places.first_key_value()?;
        let ((high, _), _) = self.places.last_key_value()?;
        (!through.ring).then(|| (*low - through.edges.0).max(through.edges.1 - *high))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const ON: LegAt = LegAt { chain: 0, leg: 0 };

    fn part(key: u32, from: i64, to: i64, at: i64) -> Part {
        let [from, to, at] = [from, to, at].map(|length| Length::MILLIMETRE * length);
        Part { key, of: 0, from, to, at, place: at, on: ON, plan: Point::new(0.0, 0.0), area: Area::from_nm2(100) }
    }

    fn through(from: i64, to: i64, low: i64, high: i64) -> Through {
        let mm = |length| Length::MILLIMETRE * length;
        Through { span: (mm(from), mm(to)), edges: (mm(low), mm(high)), ring: false }
    }

    fn mm(length: Length) -> f64 {
        length.metres() * 1e3
    }

    #[test]
    fn lapped_bars_count_once_and_a_gap_between_two_is_found() {
        let parts = [part(0, 0, 600, 50), part(0, 500, 1000, 50), part(1, 0, 450, 150), part(1, 470, 1000, 150)];
        let swept = sweep(&parts, through(100, 900, 0, 200));
        assert_eq!(swept.least.parts.len(), 1);
        assert_eq!(mm(swept.least.at), 460.0);
        // Where the second row is broken the first alone remains, 150 from the far edge.
        assert_eq!(mm(swept.bare.unwrap().far), 150.0);
        assert_eq!(mm(swept.widest.unwrap().far), 100.0);
        // Moved through no more than the lap, nothing is missing.
        let lap = sweep(&parts, through(510, 590, 0, 200));
        assert_eq!((lap.least.parts.len(), mm(lap.bare.unwrap().far)), (2, 50.0));
    }

    #[test]
    fn no_bar_at_all() {
        let swept = sweep(&[], through(100, 900, 0, 200));
        assert!(swept.least.parts.is_empty() && swept.widest.is_none() && swept.bare.is_none());
        let place = sweep(&[part(0, 0, 100, 50)], through(100, 100, 0, 200));
        assert!(place.least.parts.is_empty(), "it ends where the cut is");
    }

    proptest! {
        #[test]
        fn the_moved_cut_finds_what_cuts_everywhere_find(
            all in prop::collection::vec((0_u32..6, 0_i64..40, 1_i64..30, 0_i64..20), 0..12),
            from in 0_i64..30, length in 0_i64..30,
        ) {
            let parts: Vec<Part> =
                all.iter().map(|(key, from, long, at)| part(*key, *from, from + long, *at)).collect();
            let over = through(from, from + length, 0, 20);
            let swept = sweep(&parts, over);
            // Whole millimetres bound every stretch: their halves are in the middle of each.
            let halves: Vec<Length> = match length {
                0 => vec![over.span.0],
                _ => (0..length).map(|mm| over.span.0 + Length::MILLIMETRE * mm + Length::MILLIMETRE / 2).collect(),
            };
            let least = halves.iter().map(|at| cut(&parts, *at).parts.len()).min().unwrap();
            prop_assert_eq!(swept.least.parts.len(), least);
        }
    }
}

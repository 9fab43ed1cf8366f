//! Moves the holes of a row out of the way of what they must keep away from: the row as a whole, never hole by hole.
//!
//! Fewest holes first, then the least sum of the distances of all holes to their nearest nominal place. The ends stay,
//! or move inwards by the least that is enough. Gaps are never above the widest nor below the least there may be.
//!
//! In a best row each hole stands at a nominal place or at the edge of what is kept clear, or a chain of narrowest and
//! widest gaps away from one that does: else it could be moved one way or the other at no cost until it did. Those
//! places are the candidates, and one pass over them in their order finds the best row. Chains are followed for
//! [`CHAIN`] gaps, and mixed of both sorts for [`MIXED`]: exact for rows up to that, and sound for all.
//! All in whole nanometres.

use std::collections::VecDeque;

/// How many gaps a chain of one sort of gap is followed.
const CHAIN: i64 = 24;
/// How many gaps a chain of both sorts is followed.
const MIXED: i64 = 6;
/// How many candidates there may be: where very much is in the way, shorter chains are followed.
const CANDIDATES: usize = 2_000_000;

/// What a row is to hold to, in nanometres.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wanted<'w> {
    /// The places it would have, ascending.
    pub nominal: &'w [i64],
    /// No gap may be wider.
    pub widest: i64,
    /// No gap may be narrower.
    pub least: i64,
    /// Open intervals no hole may lie in, ascending and apart (they may touch).
    pub barriers: &'w [(i64, i64)],
}

/// Open intervals put together, ascending; two that only touch leave the place between them.
pub(super) fn united(mut barriers: Vec<(i64, i64)>) -> Vec<(i64, i64)> {
    barriers.retain(|(from, to)| from < to);
    barriers.sort_unstable();
    let mut out: Vec<(i64, i64)> = Vec::with_capacity(barriers.len());
    for (from, to) in barriers {
        match out.last_mut() {
            Some(last) if from < last.1 => last.1 = last.1.max(to),
            _ => out.push((from, to)),
        }
    }
    out
}

impl Wanted<'_> {
    /// The interval a place lies in.
    fn barrier(&self, at: i64) -> Option<(i64, i64)> {
        let before = self.barriers.partition_point(|(from, _)| *from < at);
        before.checked_sub(1).and_then(|last| self.barriers.get(last)).copied().filter(|(_, to)| at < *to)
    }

    /// How far a place is from the nearest nominal one.
    fn moved(&self, at: i64) -> i64 {
        nearest(self.nominal, at).map_or(0, |nominal| (at - nominal).abs())
    }

    /// The best row.
    ///
    /// # Errors
    /// The interval that cannot be bridged.
    pub fn row(&self) -> Result<Vec<i64>, (i64, i64)> {
        let (Some(first), Some(last)) = (self.nominal.first().copied(), self.nominal.last().copied()) else {
            return Ok(Vec::new());
        };
        let (mut start, mut end) = (first, last);
        while let Some((_, to)) = self.barrier(start) {
            start = to;
        }
        while let Some((from, _)) = self.barrier(end) {
            end = from;
        }
        if start > last || end < first || start > end {
            return Err(self.barrier(first).or_else(|| self.barrier(last)).unwrap_or((first, last)));
        }
        if end - start < self.least {
            // There is room for one hole only.
            return Ok(vec![if self.moved(end) < self.moved(start) { end } else { start }]);
        }
        let inside = self.barriers.iter().find(|(from, to)| to - from > self.widest && *from >= start && *to <= end);
        if let Some(barrier) = inside {
            return Err(*barrier);
        }
        let places = self.candidates(start, end);
        self.walk(&places)
    }

    /// All places a hole of a best row may have, ascending.
    fn candidates(&self, start: i64, end: i64) -> Vec<i64> {
        let reach = self.widest.saturating_mul(CHAIN);
        let near = |at: i64| {
            let next = self.barriers.partition_point(|(_, to)| to.saturating_add(reach) < at);
            self.barriers.get(next).is_some_and(|(from, _)| from.saturating_sub(reach) <= at)
        };
        let mut anchors: Vec<i64> = self.nominal.iter().copied().filter(|at| near(*at)).collect();
        anchors.extend(self.barriers.iter().flat_map(|(from, to)| [*from, *to]));
        anchors.extend([start, end]);
        anchors.sort_unstable();
        anchors.dedup();
        let mut longest = CHAIN;
        let mut chains = self.chains(longest);
        while longest > 1 && anchors.len().saturating_mul(chains.len()) > CANDIDATES {
            longest /= 2;
            chains = self.chains(longest);
        }
        let mut places: Vec<i64> = self.nominal.to_vec();
        places.extend(&anchors);
        for anchor in anchors.iter().filter(|at| (start..=end).contains(*at)) {
            for chain in &chains {
                places.push(anchor.saturating_sub(*chain));
                places.push(anchor.saturating_add(*chain));
            }
        }
        places.retain(|at| (start..=end).contains(at) && self.barrier(*at).is_none());
        places.sort_unstable();
        places.dedup();
        places
    }

    /// The lengths of chains of up to so many gaps.
    fn chains(&self, longest: i64) -> Vec<i64> {
        let mut chains: Vec<i64> = Vec::new();
        for gaps in 1..=longest {
            for wide in 0..=gaps {
                if gaps <= MIXED || wide == 0 || wide == gaps {
                    let narrow = self.least.saturating_mul(gaps - wide);
                    chains.push(self.widest.saturating_mul(wide).saturating_add(narrow));
                }
            }
        }
        chains.sort_unstable();
        chains.dedup();
        chains
    }

    /// The best way from the first candidate to the last: fewest holes, then least movement; of two alike, the one that
    /// keeps further left.
    fn walk(&self, places: &[i64]) -> Result<Vec<i64>, (i64, i64)> {
        // Holes so far, movement so far, and the place before; none for places no row comes to.
        let mut best: Vec<Option<(u64, i128, usize)>> = Vec::with_capacity(places.len());
        let mut window: VecDeque<usize> = VecDeque::new();
        let mut entering = 0;
        for (at, place) in places.iter().enumerate() {
            let cost = i128::from(self.moved(*place));
            if at == 0 {
                best.push(Some((1, cost, 0)));
                continue;
            }
            let worth = |best: &[Option<(u64, i128, usize)>], at: usize| {
                best.get(at).copied().flatten().map(|(holes, cost, _)| (holes, cost))
            };
            while let Some(next) = places.get(entering).filter(|next| **next <= place - self.least) {
                let (_, new) = (next, worth(&best, entering));
                if let Some(new) = new {
                    while window.back().is_some_and(|last| worth(&best, *last).is_some_and(|last| last > new)) {
                        window.pop_back();
                    }
                    window.push_back(entering);
                }
                entering += 1;
            }
            while window.front().is_some_and(|first| places.get(*first).is_none_or(|it| *it < place - self.widest)) {
                window.pop_front();
            }
            let from = window.front().and_then(|from| worth(&best, *from).map(|worth| (*from, worth)));
            best.push(from.map(|(from, (holes, so_far))| (holes + 1, so_far + cost, from)));
        }
        let Some(Some(_)) = best.last() else {
            let reached = best.iter().rposition(Option::is_some).and_then(|at| places.get(at)).copied().unwrap_or(0);
            let next = self.barriers.iter().find(|(from, _)| *from >= reached).or(self.barriers.last());
            return Err(next.copied().unwrap_or_default());
        };
        let mut row = Vec::new();
        let mut at = best.len().saturating_sub(1);
        while let (Some(place), Some(Some((_, _, from)))) = (places.get(at), best.get(at)) {
            row.push(*place);
            if at == 0 {
                break;
            }
            at = *from;
        }
        row.reverse();
        Ok(row)
    }
}

/// The nominal place nearest to this one; of two alike the left one.
pub(super) fn nearest(nominal: &[i64], at: i64) -> Option<i64> {
    let after = nominal.partition_point(|place| *place < at);
    let right = nominal.get(after).copied();
    let left = after.checked_sub(1).and_then(|before| nominal.get(before)).copied();
    match (left, right) {
        (Some(left), Some(right)) => Some(if at - left <= right - at { left } else { right }),
        (one, other) => one.or(other),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn evenly(first: i64, gap: i64, count: i64) -> Vec<i64> {
        (0..count).map(|at| first + at * gap).collect()
    }

    fn cost(wanted: &Wanted, row: &[i64]) -> (usize, i64) {
        (row.len(), row.iter().map(|at| wanted.moved(*at)).sum())
    }

    #[track_caller]
    fn holds(wanted: &Wanted, row: &[i64]) {
        assert!(row.iter().all(|at| wanted.barrier(*at).is_none()), "{row:?} in {wanted:?}");
        for pair in row.windows(2) {
            let gap = pair[1] - pair[0];
            assert!(gap <= wanted.widest && gap >= wanted.least, "{row:?} in {wanted:?}");
        }
    }

    /// The best row by trying every whole place, whatever the candidates are.
    fn by_trying(wanted: &Wanted) -> Option<(usize, i64)> {
        let (first, last) = (*wanted.nominal.first()?, *wanted.nominal.last()?);
        let open: Vec<i64> = (first..=last).filter(|at| wanted.barrier(*at).is_none()).collect();
        let (start, end) = (*open.first()?, *open.last()?);
        if end - start < wanted.least {
            return Some((1, wanted.moved(start).min(wanted.moved(end))));
        }
        let mut best: Option<(usize, i64)> = None;
        let mut rows = vec![vec![start]];
        while let Some(row) = rows.pop() {
            let at = *row.last().unwrap();
            if at == end {
                let found = cost(wanted, &row);
                if best.is_none_or(|best| found < best) {
                    best = Some(found);
                }
                continue;
            }
            if best.is_some_and(|best| row.len() >= best.0) {
                continue;
            }
            for next in open.iter().filter(|next| **next - at >= wanted.least && **next - at <= wanted.widest) {
                let mut longer = row.clone();
                longer.push(*next);
                rows.push(longer);
            }
        }
        best
    }

    #[test]
    fn one_bolt_moves_its_hole_and_those_that_must_follow() {
        // Gaps of 13 where 14 are allowed: a hole that moves 3 takes its neighbour with it by 2, and that one its own by 1.
        let nominal = evenly(0, 13, 8);
        let wanted = Wanted { nominal: &nominal, widest: 14, least: 3, barriers: &[(36, 42)] };
        let row = wanted.row().unwrap();
        assert_eq!(row, [0, 13, 26, 36, 50, 64, 78, 91]);
        assert_eq!(cost(&wanted, &row), (8, 6));
        // An end that may not stay moves inwards.
        let wanted = Wanted { barriers: &[(-4, 5)], ..wanted };
        assert_eq!(wanted.row().unwrap()[0], 5);
    }

    #[test]
    fn what_is_too_wide_is_named() {
        let nominal = evenly(0, 10, 5);
        let wanted = Wanted { nominal: &nominal, widest: 10, least: 3, barriers: &[(12, 23)] };
        assert_eq!(wanted.row(), Err((12, 23)));
        let wanted = Wanted { barriers: &[(-1, 41)], ..wanted };
        assert_eq!(wanted.row(), Err((-1, 41)));
    }

    #[test]
    fn a_row_of_exact_steps_gets_one_hole_more() {
        let nominal = evenly(0, 12, 6);
        let wanted = Wanted { nominal: &nominal, widest: 12, least: 2, barriers: &[(34, 38)] };
        let row = wanted.row().unwrap();
        holds(&wanted, &row);
        assert_eq!(cost(&wanted, &row), (7, 4));
    }

    #[test]
    fn a_long_row_costs_time_in_its_length_only() {
        let nominal = evenly(0, 1000, 200_000);
        let barriers: Vec<(i64, i64)> = (1..40).map(|at| (at * 5_000_000 - 100, at * 5_000_000 + 300)).collect();
        let wanted = Wanted { nominal: &nominal, widest: 1010, least: 200, barriers: &barriers };
        let row = wanted.row().unwrap();
        holds(&wanted, &row);
        assert_eq!(row.len(), 200_000);
    }

    /// A small row: even gaps, a widest gap no less than they are, a least gap no more, and some barriers.
    fn rows() -> impl Strategy<Value = (Vec<i64>, i64, i64, Vec<(i64, i64)>)> {
        (3_i64..9, 2_i64..6, 0_i64..4, prop::collection::vec((-4_i64..36, 1_i64..7), 0..4)).prop_flat_map(
            |(gap, count, more, barriers)| {
                let barriers = united(barriers.into_iter().map(|(from, wide)| (from, from + wide)).collect());
                (1..=gap).prop_map(move |least| (evenly(0, gap, count), gap + more, least, barriers.clone()))
            },
        )
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 600, ..ProptestConfig::default() })]

        #[test]
        fn no_row_is_better((nominal, widest, least, barriers) in rows()) {
            let wanted = Wanted { nominal: &nominal, widest, least, barriers: &barriers };
            match wanted.row() {
                Ok(row) => {
                    holds(&wanted, &row);
                    prop_assert_eq!(Some(cost(&wanted, &row)), by_trying(&wanted), "{:?}", row);
                }
                Err(_) => prop_assert_eq!(by_trying(&wanted), None),
            }
        }

        #[test]
        fn the_mirror_costs_the_same((nominal, widest, least, barriers) in rows()) {
            let last = *nominal.last().unwrap();
            let wanted = Wanted { nominal: &nominal, widest, least, barriers: &barriers };
            let turned: Vec<(i64, i64)> = barriers.iter().rev().map(|(from, to)| (last - to, last - from)).collect();
            let mirror = Wanted { barriers: &turned, ..wanted };
            let seen = |wanted: &Wanted| wanted.row().ok().map(|row| cost(wanted, &row));
            prop_assert_eq!(seen(&wanted), seen(&mirror));
        }

        #[test]
        fn the_order_of_barriers_does_not_matter(mut all in prop::collection::vec((-4_i64..36, 1_i64..7), 0..5)) {
            let put = |all: &[(i64, i64)]| united(all.iter().map(|(from, wide)| (*from, from + wide)).collect());
            let before = put(&all);
            all.reverse();
            prop_assert_eq!(before, put(&all));
        }
    }
}

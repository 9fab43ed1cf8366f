//! Where labels go: no two of them over each other, and over lines only where there is no other room.

use super::{
    lettering::{self, CAPITAL},
    scene::{Anchor, Ink, Spot, Text},
};

/// The room something takes: four corners, in order round it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room(pub [Spot; 4]);

/// Rooms that overlap by no more than this do not: what rounding leaves.
const TOUCHES: f64 = 1e-6;

impl Room {
    /// The upright rectangle between two corners.
    #[must_use]
    pub fn upright(a: Spot, b: Spot) -> Room {
        Room([a, Spot::new(b.x, a.y), b, Spot::new(a.x, b.y)])
    }

    /// Whether two rooms overlap. Rooms are rectangles at any angle: they do not if a line along an edge of one keeps
    /// them apart.
    #[must_use]
    pub fn meets(&self, other: &Room) -> bool {
        let apart = |one: &Room, two: &Room| {
            (0..2).any(|at| {
                let (x, y) = (one.0[at + 1].x - one.0[at].x, one.0[at + 1].y - one.0[at].y);
                let length = x.hypot(y);
                if length == 0.0 {
                    return false;
                }
                let span = |room: &Room| {
                    room.0
                        .iter()
                        .map(|spot| (spot.x * x + spot.y * y) / length)
                        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)))
                };
                let ((low, high), (other_low, other_high)) = (span(one), span(two));
                high <= other_low + TOUCHES || other_high <= low + TOUCHES
            })
        };
        !apart(self, other) && !apart(other, self)
    }

    /// Whether all of it lies on one side of a line: a room as thin as a line has no edge across to tell by.
    fn is_beside(&self, from: Spot, to: Spot) -> bool {
        let (x, y) = (to.x - from.x, to.y - from.y);
        let length = x.hypot(y);
        if length == 0.0 {
            return false;
        }
        let off = self.0.map(|spot| (x * (spot.y - from.y) - y * (spot.x - from.x)) / length);
        off.iter().all(|off| *off >= -TOUCHES) || off.iter().all(|off| *off <= TOUCHES)
    }

    /// The upright box round it: least and greatest.
    #[must_use]
    pub fn bounds(&self) -> (Spot, Spot) {
        let (mut low, mut high) = (self.0[0], self.0[0]);
        for spot in &self.0 {
            low = Spot::new(low.x.min(spot.x), low.y.min(spot.y));
            high = Spot::new(high.x.max(spot.x), high.y.max(spot.y));
        }
        (low, high)
    }
}

/// How far from its thing a label is tried at first, and each time after.
const STEP: f64 = 1.4;
/// How often it is tried farther off.
const STEPS: u32 = 18;
/// From this far on a line leads from the label to its thing.
const LED: f64 = 3.4;
/// Labels in one line stay this far from each other.
const APART: f64 = 0.9;
/// To lie on an outline is so much worse than to lie on another line.
const OUTLINE: usize = 20;
/// The side of a square of the grid rooms are found by.
const SQUARE: f64 = 12.0;

/// The rooms that are taken.
#[derive(Debug, Default)]
pub struct Labels {
    /// Labels, and what no label may lie on.
    taken: Vec<Room>,
    /// Lines, and how much worse than a thin one it is to lie on each.
    crossed: Vec<(Spot, Spot, usize)>,
    grid: foldhash::HashMap<(i64, i64), Vec<u32>>,
    line_grid: foldhash::HashMap<(i64, i64), Vec<u32>>,
    /// Labels must lie in here.
    pub within: Option<(Spot, Spot)>,
}

fn squares((low, high): (Spot, Spot)) -> impl Iterator<Item = (i64, i64)> {
    let square = |at: f64| (at / SQUARE).floor().clamp(-1e4, 1e4) as i64;
    let (across, down) = ((square(low.x), square(high.x)), (square(low.y), square(high.y)));
    (across.0..=across.1).flat_map(move |x| (down.0..=down.1).map(move |y| (x, y)))
}

/// The squares a line runs through, column by column: those of the box round a long slanting line would be too many.
fn squares_along(from: Spot, to: Spot) -> impl Iterator<Item = (i64, i64)> {
    let (from, to) = if from.x <= to.x { (from, to) } else { (to, from) };
    let columns = squares((Spot::new(from.x, 0.0), Spot::new(to.x, 0.0))).map(|(column, _)| column);
    let steep = (to.y - from.y) / (to.x - from.x).max(f64::MIN_POSITIVE);
    columns.flat_map(move |column| {
        // Where the line is at the sides of the column.
        let at = |x: f64| {
            let y = from.y + (x.clamp(from.x, to.x) - from.x) * steep;
            y.clamp(from.y.min(to.y), from.y.max(to.y))
        };
        let left = column as f64 * SQUARE;
        let ends = if to.x - from.x < SQUARE { (from.y, to.y) } else { (at(left), at(left + SQUARE)) };
        let box_of = (Spot::new(left, ends.0.min(ends.1)), Spot::new(left, ends.0.max(ends.1)));
        squares(box_of)
    })
}

impl Labels {
    /// Takes a room.
    pub fn take(&mut self, room: Room) {
        let number = u32::try_from(self.taken.len()).unwrap_or(u32::MAX);
        for square in squares(room.bounds()) {
            self.grid.entry(square).or_default().push(number);
        }
        self.taken.push(room);
    }

    /// Knows of a line that labels had better not cross.
    pub fn line(&mut self, from: Spot, to: Spot) {
        self.known(from, to, 1);
    }

    /// Knows of a line of an outline: labels lie on it only where there is no other room at all near by.
    pub fn outline(&mut self, from: Spot, to: Spot) {
        self.known(from, to, OUTLINE);
    }

    fn known(&mut self, from: Spot, to: Spot, weight: usize) {
        let number = u32::try_from(self.crossed.len()).unwrap_or(u32::MAX);
        for square in squares_along(from, to) {
            self.line_grid.entry(square).or_default().push(number);
        }
        self.crossed.push((from, to, weight));
    }

    /// Whether a room is free of others.
    #[must_use]
    pub fn is_free(&self, room: &Room) -> bool {
        if let Some((low, high)) = self.within
            && room.0.iter().any(|spot| spot.x < low.x || spot.y < low.y || spot.x > high.x || spot.y > high.y)
        {
            return false;
        }
        !squares(room.bounds()).any(|square| {
            let near = self.grid.get(&square).into_iter().flatten();
            near.filter_map(|number| self.taken.get(*number as usize)).any(|taken| taken.meets(room))
        })
    }

    /// How much lines cross these letters: thin ones count once, outlines more.
    #[must_use]
    pub fn lines_over(&self, text: &Text) -> usize {
        let (thin, bold) = (lettering::letters(text, 0.1), lettering::letters(text, 0.4));
        let room = &bold;
        let mut found: Vec<u32> = squares(room.bounds())
            .flat_map(|square| self.line_grid.get(&square).into_iter().flatten().copied())
            .collect();
        found.sort_unstable();
        found.dedup();
        let lines = found.iter().filter_map(|number| self.crossed.get(*number as usize));
        lines
            .filter(|(from, to, weight)| {
                let letters = if *weight < OUTLINE { &thin } else { &bold };
                Room([*from, *to, *to, *from]).meets(letters) && !letters.is_beside(*from, *to)
            })
            .map(|(_, _, weight)| weight)
            .sum()
    }

    /// Whether these letters lie on no outline.
    #[must_use]
    pub fn is_off_outlines(&self, text: &Text) -> bool {
        self.lines_over(text) < OUTLINE
    }

    /// Places a label as near to its thing as there is room: beside it, over it, under it, then farther off with a line
    /// that leads there. `keep` is how far it stays from the middle of its thing. None where there is no room.
    pub fn place(
        &mut self,
        thing: Spot,
        keep: f64,
        says: &str,
        size: f64,
        ink: Ink,
    ) -> Option<(Text, Option<[Spot; 2]>)> {
        let found = self.find(thing, keep, says, size, ink, (STEPS, STEP), &[0, 1, 2, 3, 4, 5, 6, 7]);
        self.apart(found)
    }

    /// The same to the right of a thing only, or to its left only.
    pub fn beside(
        &mut self,
        (thing, left): (Spot, bool),
        keep: f64,
        says: &str,
        size: f64,
        ink: Ink,
    ) -> Option<(Text, Option<[Spot; 2]>)> {
        let sides = if left { [1, 3, 7] } else { [0, 2, 6] };
        let found = self.find(thing, keep, says, size, ink, (STEPS, STEP), &sides);
        self.apart(found)
    }

    /// Takes some room before and behind a label too: two in one line would be read as one.
    fn apart(&mut self, found: Option<(Text, Option<[Spot; 2]>)>) -> Option<(Text, Option<[Spot; 2]>)> {
        if let Some((text, _)) = &found {
            let (low, high) = lettering::room(text).bounds();
            self.take(Room::upright(Spot::new(low.x - APART, low.y), Spot::new(high.x + APART, high.y)));
        }
        found
    }

    /// The same for one of many alike, whose label must not be taken for its neighbour's: near by and over it if that can
    /// be, never led there.
    pub fn number(&mut self, thing: Spot, keep: f64, says: &str, size: f64, ink: Ink) -> Option<Text> {
        self.find(thing, keep, says, size, ink, (4, STEP / 2.0), &[0, 1, 4, 6, 7, 2, 3]).map(|(text, _)| text)
    }

    /// A flag near a thing: the middle of its text, the box round it, and the foot of its pole beside the box. None where
    /// there is no room.
    pub fn flag(&mut self, thing: Spot, keep: f64, says: &str, size: f64, ink: Ink) -> Option<(Text, Room, Spot)> {
        // A blank on either side is the room between the figures and the box.
        let (text, _) =
            self.find(thing, keep, &format!(" {says} "), size, ink, (2 * STEPS, STEP), &[0, 1, 2, 3, 4, 5, 6, 7])?;
        let (low, high) = lettering::room(&text).bounds();
        let middle = Spot::new((low.x + high.x) / 2.0, (low.y + high.y) / 2.0);
        let foot = Spot::new(text.at.x, middle.y);
        self.line(thing, foot);
        let at = lettering::centred(middle, size, 0.0);
        let text = Text { at, anchor: Anchor::Middle, bold: true, says: says.to_owned(), ..text };
        Some((text, Room::upright(low, high), foot))
    }

    #[expect(clippy::too_many_arguments, reason = "what is written, where, and how far off")]
    fn find(
        &mut self,
        thing: Spot,
        keep: f64,
        says: &str,
        size: f64,
        ink: Ink,
        (steps, stride): (u32, f64),
        sides: &[usize],
    ) -> Option<(Text, Option<[Spot; 2]>)> {
        let half = size * CAPITAL / 2.0;
        let mut best: Option<(usize, Text, f64)> = None;
        for step in 0..steps {
            let off = keep + stride * f64::from(step);
            let slant = off * std::f64::consts::FRAC_1_SQRT_2;
            let places = [
                (slant, -slant - half, Anchor::Start),
                (-slant, -slant - half, Anchor::End),
                (slant, slant + half, Anchor::Start),
                (-slant, slant + half, Anchor::End),
                (0.0, -off - half, Anchor::Middle),
                (0.0, off + half, Anchor::Middle),
                (off, 0.0, Anchor::Start),
                (-off, 0.0, Anchor::End),
            ];
            for (x, y, anchor) in sides.iter().filter_map(|side| places.get(*side).copied()) {
                let at = Spot::new(thing.x + x, thing.y + y + half);
                let text = Text { at, anchor, angle: 0.0, size, bold: false, ink, says: says.to_owned() };
                let room = lettering::room(&text);
                if !self.is_free(&room) {
                    continue;
                }
                // A step farther off costs as much as half a line under the letters.
                let cost = 2 * self.lines_over(&text) + step as usize;
                if best.as_ref().is_none_or(|(least, ..)| cost < *least) {
                    best = Some((cost, text, off));
                }
            }
            if best.as_ref().is_some_and(|(least, ..)| *least <= step as usize + 1) {
                break;
            }
        }
        let (_, text, off) = best?;
        let room = lettering::room(&text);
        self.take(room);
        let leader = (off > keep + LED).then(|| {
            let end = Spot::new(text.at.x, text.at.y - half);
            self.line(thing, end);
            [thing, end]
        });
        Some((text, leader))
    }
}

/// Places along a line, moved as little as can be so that neighbours are `gap` apart and all lie between two ends; `wanted`
/// runs upwards. Least squares: neighbours that push each other are moved together. None where there is no room for all.
#[must_use]
pub fn spread(wanted: &[f64], gap: f64, (low, high): (f64, f64)) -> Option<Vec<f64>> {
    let count = wanted.len();
    if count == 0 {
        return Some(Vec::new());
    }
    let room = high - low - gap * (count - 1) as f64;
    if room < -TOUCHES {
        return None;
    }
    // With the gaps taken off, places need only not run backwards: pools of adjacent violators.
    let mut pools: Vec<(f64, usize)> = Vec::with_capacity(count);
    for (number, at) in wanted.iter().enumerate() {
        let mut pool = (at - gap * number as f64, 1);
        while let Some(before) = pools.last().copied().filter(|before| before.0 > pool.0) {
            pools.pop();
            let both = before.1 + pool.1;
            pool = ((before.0 * before.1 as f64 + pool.0 * pool.1 as f64) / both as f64, both);
        }
        pools.push(pool);
    }
    let bound = |at: f64| at.clamp(low, low + room.max(0.0));
    let flat = pools.into_iter().flat_map(|(at, count)| std::iter::repeat_n(bound(at), count));
    Some(flat.enumerate().map(|(number, at)| at + gap * number as f64).collect())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn turned_rooms_meet_where_they_do() {
        let square = Room::upright(Spot::new(0.0, 0.0), Spot::new(2.0, 2.0));
        // A diamond whose box overlaps the square, and which itself does not.
        let diamond = |x: f64| {
            Room([Spot::new(x, 3.0), Spot::new(x + 2.0, 1.0), Spot::new(x + 4.0, 3.0), Spot::new(x + 2.0, 5.0)])
        };
        assert!(!square.meets(&diamond(1.2)));
        assert!(square.meets(&diamond(0.5)));
        assert!(!square.meets(&Room::upright(Spot::new(2.0, 0.0), Spot::new(3.0, 2.0))));
    }

    #[test]
    fn crowded_places_move_apart_and_no_farther() {
        assert_eq!(spread(&[0.0, 10.0], 4.0, (0.0, 20.0)), Some(vec![0.0, 10.0]));
        assert_eq!(spread(&[5.0, 5.0], 4.0, (0.0, 20.0)), Some(vec![3.0, 7.0]));
        assert_eq!(spread(&[0.0, 0.0], 4.0, (0.0, 20.0)), Some(vec![0.0, 4.0]));
        assert_eq!(spread(&[1.0, 2.0, 3.0], 4.0, (0.0, 7.0)), None);
    }

    #[test]
    fn labels_in_one_line_are_not_read_as_one() {
        let mut labels = Labels::default();
        let (first, _) = labels.beside((Spot::new(0.0, 0.0), true), 1.6, "up-1, mark 6", 3.1, Ink::Main).unwrap();
        let (second, _) = labels.beside((Spot::new(-3.1, 0.0), false), 1.6, "sheathing", 3.1, Ink::Main).unwrap();
        let (low, high) = lettering::room(&first).bounds();
        let wider = Room::upright(Spot::new(low.x - APART, low.y), Spot::new(high.x + APART, high.y));
        assert!(!wider.meets(&lettering::room(&second)), "{first:?} {second:?}");
    }

    /// A kilometre at full size, aslant: the squares it runs through, not those of the box round it.
    #[test]
    fn a_long_slanting_line_is_known_where_it_runs() {
        let mut labels = Labels::default();
        for (x, y) in [(1e6, 6e5), (-1e6, 6e5), (6e5, 1e6), (3.0, 1e6), (1e6, 0.0)] {
            labels.line(Spot::new(0.0, 0.0), Spot::new(x, y));
        }
        assert!(labels.line_grid.len() < 200_000, "{}", labels.line_grid.len());
        let text = |x: f64, y: f64| {
            let at = Spot::new(x, y);
            Text { at, anchor: Anchor::Middle, angle: 0.0, size: 3.1, bold: false, ink: Ink::Main, says: "low".into() }
        };
        assert_eq!(labels.lines_over(&text(500.0, 301.0)), 1);
        assert_eq!(labels.lines_over(&text(-500.0, 301.0)), 1);
        assert_eq!(labels.lines_over(&text(300.0, 501.0)), 1);
        assert_eq!(labels.lines_over(&text(500.0, 250.0)), 0);
        // Within the box round a short one, and beside it.
        let mut labels = Labels::default();
        labels.line(Spot::new(0.0, 0.0), Spot::new(20.0, 10.0));
        assert_eq!(labels.lines_over(&text(14.0, 2.0)), 0);
        assert_eq!(labels.lines_over(&text(10.0, 6.0)), 1);
    }

    proptest! {
        #[test]
        fn spread_places_keep_their_gap_and_their_ends(
            mut wanted in proptest::collection::vec(0.0_f64..100.0, 1..30), gap in 0.5_f64..3.0,
        ) {
            wanted.sort_by(f64::total_cmp);
            let spread = spread(&wanted, gap, (0.0, 100.0)).unwrap();
            prop_assert!(spread.windows(2).all(|pair| pair[1] - pair[0] >= gap - 1e-9));
            prop_assert!(spread.iter().all(|at| (-1e-9..=100.0 + 1e-9).contains(at)));
        }

        #[test]
        fn placed_labels_never_overlap(spots in proptest::collection::vec((0.0_f64..60.0, 0.0_f64..60.0), 1..40)) {
            let mut labels = Labels::default();
            let mut rooms: Vec<Room> = Vec::new();
            for (number, (x, y)) in spots.into_iter().enumerate() {
                let placed = labels.place(Spot::new(x, y), 1.0, &format!("{number}"), 3.1, Ink::Main);
                if let Some((text, _)) = placed {
                    let room = lettering::room(&text);
                    prop_assert!(rooms.iter().all(|other| !other.meets(&room)));
                    rooms.push(room);
                }
            }
            prop_assert!(!rooms.is_empty());
        }
    }
}

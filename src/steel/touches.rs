//! Where bars touch so that they can be tied: from parts of bars that are near each other to crossings, each once, and which
//! of them lie at the rim of what is tied.

use std::collections::BTreeMap;

use super::clearance::BarAt;
use crate::schema::BlockId;

/// So many places where parts of bars touch are looked at along one wall, and no more.
pub(super) const MOST: usize = 500_000;

/// Crossings of the same bars nearer to each other than this, in nanometres, are one: pieces that are lapped lie beside each
/// other, and are drawn on one line.
const ONE_PLACE: f64 = 25.4e6;

/// Two bars cross each other at no more places than this: further ones are not compared.
const LOOKED_BACK: usize = 64;

/// Two parts of bars within reach of a tie.
#[derive(Debug, Clone, Copy)]
pub(super) struct Touch {
    /// The bars, by their numbers along the wall.
    pub bars: [u32; 2],
    /// Which straight or chord of each, counted through.
    pub parts: [u32; 2],
    /// How far along each, in nanometres.
    pub along: [f64; 2],
    /// The place between them.
    pub at: [f64; 3],
    /// They are parallel, and one is a dowel; else they cross.
    pub beside: bool,
    /// One of them goes up.
    pub upright: bool,
}

/// Two bars that are tied to each other: they cross, or one is a dowel that stands beside the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crossing {
    /// The bars.
    pub bars: [BarAt; 2],
    /// Where, in plan space.
    pub at: [f64; 3],
    /// They are parallel, and one is a dowel; else they cross.
    pub beside: bool,
    /// One of them goes up there.
    pub upright: bool,
    /// It is the first or the last along one of the two; lapped pieces count as one bar.
    pub rim: bool,
}

/// A bar, or the course of lapped pieces it is one of: its block, the first group, its number.
type Tied = (BlockId, u32, u64);

/// A crossing that may still be one with another.
struct Draft {
    touch: Touch,
    bars: [BarAt; 2],
    lines: [Tied; 2],
}

impl Draft {
    /// How far along one of its lines it lies: the piece, and how far along that.
    fn order(&self, of: usize) -> (u32, f64) {
        (self.bars[of].group, self.touch.along[of])
    }
}

/// The crossings of one wall. `courses` knows the first group of the course a piece belongs to, where that is another.
pub(super) fn crossings(
    mut touches: Vec<Touch>,
    bars: &[(BarAt, f64)],
    courses: &BTreeMap<(BlockId, u32), u32>,
) -> Vec<Crossing> {
    let named = |touch: &Touch| {
        let [one, two] = touch.bars.map(|bar| bars.get(bar as usize).map(|(bar, _)| *bar));
        Some([one?, two?])
    };
    let line = |bar: &BarAt| -> Tied {
        let course = courses.get(&(bar.bars, bar.group)).copied().unwrap_or(bar.group);
        (bar.bars, course, bar.number)
    };
    touches.sort_unstable_by_key(|touch| (touch.bars, touch.beside, touch.parts));
    let mut drafts: Vec<Draft> = Vec::with_capacity(touches.len());
    let mut last: Option<Touch> = None;
    for touch in touches {
        // In a bend one bar touches several chords of the other that follow each other.
        let goes_on = last.is_some_and(|last| {
            let next = |of: usize| touch.parts[of].abs_diff(last.parts[of]) <= 1;
            last.bars == touch.bars && last.beside == touch.beside && next(0) && next(1)
        });
        last = Some(touch);
        if goes_on {
            continue;
        }
        let Some(mut bars) = named(&touch) else { continue };
        let mut touch = touch;
        let mut lines = [line(&bars[0]), line(&bars[1])];
        if lines[1] < lines[0] {
            bars.swap(0, 1);
            lines.swap(0, 1);
            touch.along.swap(0, 1);
        }
        drafts.push(Draft { touch, bars, lines });
    }
    let by_place = |one: &Draft, two: &Draft| {
        let key = |draft: &Draft| (draft.lines, draft.touch.beside);
        let place = |draft: &Draft, of: usize| draft.order(of);
        let (a, b) = (place(one, 0), place(two, 0));
        let (c, d) = (place(one, 1), place(two, 1));
        let first = a.0.cmp(&b.0).then(a.1.total_cmp(&b.1));
        key(one).cmp(&key(two)).then(first).then(c.0.cmp(&d.0)).then(c.1.total_cmp(&d.1))
    };
    drafts.sort_by(by_place);
    let drafts = each_once(drafts);
    let mut ends: BTreeMap<Tied, [(u32, f64); 2]> = BTreeMap::new();
    for draft in drafts.iter().filter(|draft| !draft.touch.beside) {
        for of in 0..2 {
            let order = draft.order(of);
            let found = ends.entry(draft.lines[of]).or_insert([order; 2]);
            if before(order, found[0]) {
                found[0] = order;
            }
            if before(found[1], order) {
                found[1] = order;
            }
        }
    }
    let at_end = |draft: &Draft| {
        (0..2).any(|of| {
            let (piece, along) = draft.order(of);
            let near = |end: &(u32, f64)| end.0 == piece && (end.1 - along).abs() < ONE_PLACE;
            ends.get(&draft.lines[of]).is_some_and(|found| found.iter().any(near))
        })
    };
    drafts
        .iter()
        .map(|draft| Crossing {
            bars: draft.bars,
            at: draft.touch.at,
            beside: draft.touch.beside,
            upright: draft.touch.upright,
            rim: at_end(draft),
        })
        .collect()
}

/// Without what is another of the same bars at the same place. Drafts of the same bars stand together.
fn each_once(drafts: Vec<Draft>) -> Vec<Draft> {
    let mut kept: Vec<Draft> = Vec::with_capacity(drafts.len());
    for draft in drafts {
        let same = |other: &&Draft| other.lines == draft.lines && other.touch.beside == draft.touch.beside;
        let is_known = kept.iter().rev().take_while(same).take(LOOKED_BACK).any(|other| {
            let [[ax, ay, az], [bx, by, bz]] = [other.touch.at, draft.touch.at];
            (ax - bx).hypot(ay - by).hypot(az - bz) < ONE_PLACE
        });
        if !is_known {
            kept.push(draft);
        }
    }
    kept
}

fn before(one: (u32, f64), other: (u32, f64)) -> bool {
    one.0.cmp(&other.0).then(one.1.total_cmp(&other.1)).is_lt()
}

//! The faces forms stand against.

use super::{Around, Reach};
use crate::{
    concrete::{Class, Skin, Solids},
    geometry::{Frame, Patch, Point},
    job::Thing,
    schema::{BlockId, Forms},
    standards::forms::studs_along,
    units::{Area, Length},
};

/// What a face of a form closes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Use {
    /// The long face, and an end so wide that it is held like one.
    Face,
    /// An end, a step or the riser of a stepped bottom.
    Bulkhead,
}

/// More things than this are not placed along one face.
pub(super) const MOST: u64 = 10_000;

/// So many parts of so many of a length, to the nanometre.
fn share(whole: Length, at: u64, of: u64) -> i64 {
    let nanometres = i128::from(whole.nm()) * i128::from(at) / i128::from(of.max(1));
    i64::try_from(nanometres).unwrap_or(i64::MAX)
}

fn count(width: Length, spacing: Length) -> u64 {
    studs_along(width, spacing).map_or(0, |count| count.value).min(MOST)
}

/// Places between two others, one at each of them, the rest evenly between, no more than this apart.
fn spread((from, to): (Length, Length), spacing: Length) -> Vec<Length> {
    let count = count(to - from, spacing);
    let gaps = count.saturating_sub(1).max(1);
    (0..count).map(|at| from + Length::from_nm(share(to - from, at, gaps))).collect()
}

/// A rectangle of form.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Panel {
    /// The section it closes.
    pub section: BlockId,
    /// The pour that section belongs to.
    pub pour: BlockId,
    /// What it closes.
    pub closes: Use,
    /// How wide it is.
    pub width: Length,
    /// Its foot.
    pub bottom: Length,
    /// The top of the concrete behind it.
    pub top: Length,
    /// The level at which its braces meet it, and how far they rise to there from what they stand on; none where no brace holds it.
    pub braced: Option<(Length, Length)>,
    /// How far what stands along it reaches past its ends.
    pub reach: Reach,
    from: Point,
    to: Point,
    /// It closes an end.
    pub(super) is_end: bool,
}

impl Panel {
    /// How high it is.
    #[must_use]
    pub fn height(&self) -> Length {
        self.top - self.bottom
    }

    /// Its two ends in plan, on the face of the concrete.
    #[must_use]
    pub fn ends(&self) -> [Point; 2] {
        [self.from, self.to]
    }

    /// Its own frame: from its left end along it, offsets out from the concrete.
    #[must_use]
    pub fn frame(&self) -> Frame {
        let length = self.from.distance(self.to).max(1.0);
        let along = Point::new((self.to.x - self.from.x) / length, (self.to.y - self.from.y) / length);
        Frame { origin: self.from, along }
    }

    /// The sine and the cosine of the angle by which another panel turns to the left from this one.
    pub(super) fn turn(&self, other: &Panel) -> (f64, f64) {
        let way = |panel: &Panel| {
            let long = panel.from.distance(panel.to).max(1.0);
            ((panel.to.x - panel.from.x) / long, (panel.to.y - panel.from.y) / long)
        };
        let ((ax, ay), (bx, by)) = (way(self), way(other));
        (ax * by - ay * bx, ax * bx + ay * by)
    }

    /// Where studs stand along it, from its left end: one at each end, the others evenly between, no more than this apart.
    #[must_use]
    pub fn studs(&self, spacing: Length) -> Vec<Length> {
        spread(self.reach.studs.along(self.width), spacing)
    }

    /// Where braces meet it, and stakes hold a kicker.
    #[must_use]
    pub fn braces(&self, spacing: Length) -> Vec<Length> {
        spread(self.reach.brace.along(self.width), spacing)
    }

    /// Where as many things stand that each carry a share of it: in the middle of equal shares of what lies between two
    /// places along it.
    #[must_use]
    pub fn middles(&self, spacing: Length, (from, to): (Length, Length)) -> Vec<Length> {
        let count = count(self.width, spacing);
        (0..count).map(|at| from + Length::from_nm(share(to - from, 2 * at + 1, 2 * count))).collect()
    }

    /// The same face goes on: side by side, at the same levels, in one line.
    fn goes_on(&self, other: &Panel) -> bool {
        const NEAR: f64 = 1_000_000.0;
        let alike = (self.section, self.closes, self.is_end, self.bottom, self.top)
            == (other.section, other.closes, other.is_end, other.bottom, other.top);
        let meets = self.to.distance(other.from) < NEAR;
        alike && meets && {
            let whole = self.from.distance(other.to);
            (whole - self.from.distance(self.to) - other.from.distance(other.to)).abs() < NEAR
        }
    }
}

/// The undersides of a block of forms that lie over a form.
pub(super) fn soffits(solids: &Solids, forms: &Thing<Forms>) -> Area {
    let skins = solids.pours.iter().flat_map(|solid| &solid.skins).filter(|skin| skin.class == Class::Soffit);
    let mine = skins.filter(|skin| forms.say.against.iter().any(|section| section.value.0 == skin.section));
    mine.filter_map(|skin| match &skin.patch {
        Patch::Level { plan, .. } => Some(plan.area()),
        Patch::Upright { .. } => None,
    })
    .sum()
}

/// The upright faces of a block of forms that are formed.
pub(super) fn panels(around: Around, forms: &Thing<Forms>) -> Vec<Panel> {
    let mut out: Vec<Panel> = Vec::new();
    let mine = |skin: &&Skin| forms.say.against.iter().any(|section| section.value.0 == skin.section);
    for skin in around.formed.iter().filter(mine) {
        let Patch::Upright { from, to, bottom, top } = skin.patch else { continue };
        let Some((solid, _)) = around.solids.with(skin.section) else { continue };
        let width = Length::round_nm(from.distance(to));
        if width <= Length::ZERO || top <= bottom {
            continue;
        }
        out.push(Panel {
            section: skin.section,
            pour: solid.pour,
            closes: if skin.class == Class::Formed { Use::Face } else { Use::Bulkhead },
            width,
            bottom,
            top,
            braced: None,
            reach: Reach::default(),
            from,
            to,
            is_end: skin.class == Class::End,
        });
    }
    let mut out = join(out);
    for end in out.iter_mut().filter(|panel| panel.is_end && is_wide(panel.width, forms)) {
        end.closes = Use::Face;
    }
    out
}

/// Whether an end is too wide for a bulkhead between two cleats: wider than two gaps of studs (common practice, no source).
/// Where ties go through, the wall is thin, and its ends have nothing to be tied to.
fn is_wide(width: Length, forms: &Thing<Forms>) -> bool {
    forms.say.ties.is_none() && width > forms.say.studs.value.space.value.0 * 2
}

/// Makes one of faces that stand on each other, and then of those that go on in a line: what lay around them divided them.
fn join(all: Vec<Panel>) -> Vec<Panel> {
    in_line(upon(in_line(all)))
}

fn upon(mut all: Vec<Panel>) -> Vec<Panel> {
    const NEAR: f64 = 1_000_000.0;
    let mut out: Vec<Panel> = Vec::with_capacity(all.len());
    all.sort_by_key(|panel| panel.bottom);
    for panel in all {
        let below = out.iter_mut().find(|below| {
            (below.section, below.closes, below.is_end) == (panel.section, panel.closes, panel.is_end)
                && below.top == panel.bottom
                && below.from.distance(panel.from) < NEAR
                && below.to.distance(panel.to) < NEAR
        });
        match below {
            Some(below) => below.top = panel.top,
            None => out.push(panel),
        }
    }
    out
}

fn in_line(mut all: Vec<Panel>) -> Vec<Panel> {
    let mut out: Vec<Panel> = Vec::with_capacity(all.len());
    while !all.is_empty() {
        let mut panel = all.remove(0);
        loop {
            if let Some(at) = all.iter().position(|other| panel.goes_on(other)) {
                panel.to = all.remove(at).to;
            } else if let Some(at) = all.iter().position(|other| other.goes_on(&panel)) {
                panel.from = all.remove(at).from;
            } else {
                break;
            }
        }
        panel.width = Length::round_nm(panel.from.distance(panel.to));
        out.push(panel);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn things_stand_no_farther_apart_than_they_may_and_shares_are_equal() {
        let foot = Length::FOOT;
        let panel = Panel {
            section: BlockId(0),
            pour: BlockId(0),
            closes: Use::Face,
            width: foot * 10,
            bottom: Length::ZERO,
            top: foot,
            braced: None,
            reach: Reach::default(),
            from: Point::default(),
            to: Point::new(3.048e9, 0.0),
            is_end: false,
        };
        let (studs, ties) = (panel.studs(foot * 3), panel.middles(foot * 3, (Length::ZERO, foot * 10)));
        assert_eq!(studs, [Length::ZERO, foot * 5 / 2, foot * 5, foot * 15 / 2, foot * 10]);
        assert_eq!(ties, [foot, foot * 3, foot * 5, foot * 7, foot * 9]);
        assert!(panel.studs(Length::ZERO).is_empty());
    }
}

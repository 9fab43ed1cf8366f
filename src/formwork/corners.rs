//! What stands along a face where it ends: who closes a corner of the concrete, who gives way in a corner of the form, and how far
//! sheathing and boards reach past an end that a bulkhead closes.

use super::{
    Panel, Use,
    design::{Sheathing, Sizes},
    lumber,
    sheets::{joints, long_side},
};
use crate::{geometry::Point, job::Job, schema::Forms, units::Length};

/// Ends of panels nearer to each other than this, in nanometres, meet.
const NEAR: f64 = 1_000_000.0;

/// Corners that turn by less than this, as the sine of the angle, are none.
const STRAIGHT: f64 = 0.1;

/// Corners that turn so sharply that boards would reach farther past them than so many times what they are cleared by are
/// not closed by boards.
const SHARP: f64 = 3.0;

/// How far something reaches past the two ends of a face, from left to right; less than nothing where something stands in its way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Past {
    /// Past its left end.
    pub from: Length,
    /// Past its right end.
    pub to: Length,
}

impl Past {
    /// From where to where it goes along a face so wide: all of it where nothing would be left.
    #[must_use]
    pub fn along(self, width: Length) -> (Length, Length) {
        let (from, to) = (Length::ZERO - self.from, width + self.to);
        if from < to { (from, to) } else { (Length::ZERO, width) }
    }

    /// How long it is along a face so wide.
    #[must_use]
    pub fn length(self, width: Length) -> Length {
        let (from, to) = self.along(width);
        to - from
    }
}

/// How far what stands along a face reaches past its ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Reach {
    /// The sheathing.
    pub sheath: Past,
    /// The studs, the first and the last with all of their thickness.
    pub studs: Past,
    /// Kickers, which lie flat against the studs.
    pub kicker: Past,
    /// Walers.
    pub waler: Past,
    /// The middles of braces, and of what kickers are fixed to.
    pub brace: Past,
}

/// Tells every panel how far what stands along it reaches.
///
/// Where two faces meet at a corner of the concrete, the boards of the one that ends there run to the outer side of the other's, and
/// those of the other up to them; in a corner of the form the ones that end there run up to the other form's studs, and the
/// other's up to them. Past an end with a bulkhead they run as far as the sheathing.
pub(super) fn reach(job: &Job, forms: &Forms, sizes: &Sizes, panels: &mut [Panel]) {
    let thick = sheath_thickness(job, forms, sizes);
    let behind = thick + sizes.stud.depth;
    let cleat = thick + sizes.stud.breadth;
    let kick = sizes.kick.map_or(Length::ZERO, |kick| kick.breadth);
    let waler = if forms.brace.is_some() || forms.ties.is_some() { sizes.waler.depth } else { Length::ZERO };
    let deepest = behind + kick.max(waler) + sizes.brace.map_or(Length::ZERO, |brace| brace.breadth / 2);
    let all = &*panels;
    let mut out: Vec<Reach> = vec![Reach::default(); all.len()];
    for (at, one) in all.iter().enumerate().filter(|(_, panel)| is_face(panel)) {
        let [start, corner] = one.ends();
        if is_closed(all, one, start, 1) {
            let reach = &mut out[at];
            for past in [&mut reach.sheath, &mut reach.kicker, &mut reach.waler] {
                past.from = cleat;
            }
        }
        if is_closed(all, one, corner, 0) {
            let reach = &mut out[at];
            for past in [&mut reach.sheath, &mut reach.kicker, &mut reach.waler] {
                past.to = cleat;
            }
        }
        let Some((after, other)) = next(all, at) else { continue };
        let (sine, cosine) = one.turn(other);
        // How far past the corner two lines meet that lie one length off the faces.
        let share = (sine.abs() / (1.0 + cosine).max(1e-9)).min(SHARP);
        let off = |length: Length| Length::round_nm(length.nm() as f64 * share);
        if sine > STRAIGHT {
            (out[at].kicker.to, out[after].kicker.from) = (off(behind + kick), off(behind));
            (out[at].waler.to, out[after].waler.from) = (off(behind + waler), off(behind));
        } else if sine < -STRAIGHT {
            let back = |length: Length| Length::ZERO - off(length);
            (out[at].studs.to, out[after].studs.from) = (back(behind), back(thick));
            (out[at].kicker.to, out[after].kicker.from) = (back(behind), back(behind + kick));
            (out[at].waler.to, out[after].waler.from) = (back(behind), back(behind + waler));
            (out[at].brace.to, out[after].brace.from) = (back(deepest), back(deepest));
        }
    }
    for (panel, reach) in panels.iter_mut().zip(out) {
        panel.reach = reach;
    }
    sheathe(job, forms, thick, panels);
}

/// How thick the sheathing is as it is bought.
fn sheath_thickness(job: &Job, forms: &Forms, sizes: &Sizes) -> Length {
    match sizes.sheathing {
        Sheathing::Board(board) => board.breadth,
        Sheathing::Sheet { panel } => {
            let sheet = job.lumber_of(forms.sheath.value.0).and_then(|size| size.say.sheet.as_ref());
            sheet.map_or(panel.thickness, |sheet| sheet.thick.0)
        }
    }
}

/// At a corner of the concrete the sheathing of one face reaches past the other's by its thickness, so that the corner is closed; in
/// a corner of the form that of one ends before the other's. Of the two it is the one whose sheets do for it.
fn sheathe(job: &Job, forms: &Forms, thick: Length, panels: &mut [Panel]) {
    let spacing = forms.studs.value.space.value.0;
    let size = forms.sheath.value.0;
    let sheet = job.lumber_of(size).and_then(|size| size.say.sheet.as_ref());
    let long = sheet.map_or_else(|| lumber::longest(job, size), long_side);
    let sheets = |panel: &Panel, past: Past| joints(panel, past, spacing, long).len();
    for at in 0..panels.len() {
        let one = panels[at];
        let Some((after, other)) = next(panels, at).filter(|_| is_face(&one)) else { continue };
        let other = *other;
        let (sine, _) = one.turn(&other);
        if sine > STRAIGHT {
            let to = Past { to: thick, ..one.reach.sheath };
            let from = Past { from: thick, ..other.reach.sheath };
            let costs = sheets(&one, to) > sheets(&one, one.reach.sheath);
            if costs && sheets(&other, from) == sheets(&other, other.reach.sheath) {
                panels[after].reach.sheath = from;
            } else {
                panels[at].reach.sheath = to;
            }
        } else if sine < -STRAIGHT {
            panels[at].reach.sheath.to = Length::ZERO - thick;
        }
    }
}

fn is_face(panel: &Panel) -> bool {
    panel.closes == Use::Face
}

/// Whether a panel meets one at this end of that, at some level.
fn meets(one: &Panel, panel: &Panel, at: Point, end: usize) -> bool {
    panel.bottom < one.top && one.bottom < panel.top && panel.ends()[end].distance(at) < NEAR
}

/// The face after which the form turns in, in a corner of its own: where it stands among the others.
pub(super) fn turns_in(panels: &[Panel], at: usize) -> Option<usize> {
    let one = panels.get(at).filter(|panel| is_face(panel))?;
    let (after, other) = next(panels, at)?;
    (one.turn(other).0 < -STRAIGHT).then_some(after)
}

/// The face that begins where one ends.
fn next(panels: &[Panel], at: usize) -> Option<(usize, &Panel)> {
    let one = panels.get(at)?;
    let [_, corner] = one.ends();
    let mut others = panels.iter().enumerate().filter(|(other, _)| *other != at);
    others.find(|(_, panel)| is_face(panel) && meets(one, panel, corner, 0))
}

/// Whether a bulkhead closes this end of a face. At a step the lower face goes on in line: there is no room beside the higher one's
/// end.
fn is_closed(panels: &[Panel], one: &Panel, at: Point, end: usize) -> bool {
    let goes_on = || {
        panels.iter().any(|panel| is_face(panel) && meets(one, panel, at, end) && one.turn(panel).0.abs() <= STRAIGHT)
    };
    panels.iter().any(|panel| panel.is_end && !is_face(panel) && meets(one, panel, at, end)) && !goes_on()
}

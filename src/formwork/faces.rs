//! The faces forms stand against.

use crate::{
    concrete::{Class, Solids},
    geometry::{Patch, Point},
    job::Thing,
    schema::{BlockId, Forms},
    units::{Area, Length},
};

/// What a face of a form closes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Use {
    /// The long face.
    Face,
    /// An end, a step or the riser of a stepped bottom.
    Bulkhead,
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
    from: Point,
    to: Point,
}

impl Panel {
    /// How high it is.
    #[must_use]
    pub fn height(&self) -> Length {
        self.top - self.bottom
    }

    /// The same face goes on: side by side, at the same levels, in one line.
    fn goes_on(&self, other: &Panel) -> bool {
        const NEAR: f64 = 1_000_000.0;
        let alike = (self.section, self.closes, self.bottom, self.top)
            == (other.section, other.closes, other.bottom, other.top);
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
pub(super) fn panels(solids: &Solids, forms: &Thing<Forms>) -> Vec<Panel> {
    let mut out: Vec<Panel> = Vec::new();
    for solid in &solids.pours {
        for skin in &solid.skins {
            if !forms.say.against.iter().any(|section| section.value.0 == skin.section) {
                continue;
            }
            let closes = match skin.class {
                Class::Formed => Use::Face,
                Class::End | Class::Riser => Use::Bulkhead,
                _ => continue,
            };
            let Patch::Upright { from, to, bottom, top } = &skin.patch else { continue };
            let (from, to, bottom, top) = (*from, *to, *bottom, *top);
            let width = Length::round_nm(from.distance(to));
            if width <= Length::ZERO || top <= bottom {
                continue;
            }
            out.push(Panel { section: skin.section, pour: solid.pour, closes, width, bottom, top, from, to });
        }
    }
    join(out)
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
            (below.section, below.closes) == (panel.section, panel.closes)
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

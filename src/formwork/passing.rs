//! Braces in a corner of the form, where those of both faces reach over the same ground.
//!
//! Where they run into each other, the outermost of one face stands farther from the corner: there it passes under or over the
//! others, or behind their feet.

use super::{
    Lean, Panel, Profile, STAKE_THICK, corners,
    profile::{angle, steep},
    tidy,
};
use crate::{
    job::Job,
    schema::{BlockId, Forms, StandsOn},
    units::Length,
};

/// Walers and kickers stick out past the outermost brace by no more than so much of the spacing: so it carries no more than its
/// neighbours, and no more bends there than between two of three spans. Statics of a beam that sticks out.
const STICKS_OUT: f64 = 0.4;

/// Braces of two faces that run into each other in a corner of the form, and cannot be moved clear.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Crossing {
    /// The sections, from left to right.
    pub sections: (BlockId, BlockId),
    /// How far from the corner the outermost brace stands at most, so that its walers do not stick out too far past it.
    pub most: Length,
    /// How far from it the outermost of one face would have to stand to pass the others; none where it passes them nowhere.
    pub wants: Option<Length>,
}

/// Moves the outermost braces in corners of the form clear of each other, by as little as may be; tells where that is too far.
pub(super) fn pass(job: &Job, forms: &Forms, panels: &mut [Panel]) -> Vec<Crossing> {
    let mut out = Vec::new();
    let (Some(leaning), Some(step)) = (Leaning::new(job, forms), tidy(Length::INCH, job.system())) else { return out };
    for at in 0..panels.len() {
        let Some(after) = corners::turns_in(panels, at) else { continue };
        let (one, other) = (panels[at], panels[after]);
        if !leaning.cross(&one, &other) {
            continue;
        }
        let farthest = leaning.reach(&one).max(leaning.reach(&other)) + step;
        let moves = (1..=farthest.nm() / step.nm()).flat_map(|count| [(true, step * count), (false, step * count)]);
        let mut passing = moves.filter_map(|(is_first, by)| {
            let (mut one, mut other) = (one, other);
            let past = if is_first { &mut one.reach.brace.to } else { &mut other.reach.brace.from };
            *past = *past - by;
            let (moved, waler) = if is_first { (one, one.reach.waler.to) } else { (other, other.reach.waler.from) };
            let off = Length::ZERO - if is_first { moved.reach.brace.to } else { moved.reach.brace.from };
            let left = moved.width + moved.reach.brace.from + moved.reach.brace.to;
            let is_free = left > leaning.profile.brace && !leaning.cross(&one, &other);
            is_free.then_some((if is_first { at } else { after }, moved, off, off + waler))
        });
        let sticks_out = leaning.sticks_out();
        match passing.next() {
            Some((which, moved, _, sticks)) if sticks <= sticks_out => panels[which] = moved,
            found => out.push(Crossing {
                sections: (one.section, other.section),
                most: (sticks_out - one.reach.waler.to).max(Length::ZERO - one.reach.brace.to),
                wants: found.map(|(_, _, off, _)| off),
            }),
        }
    }
    out
}

/// The braces of a form in space.
struct Leaning<'f> {
    forms: &'f Forms,
    profile: Profile,
    spacing: Length,
    /// How much they rise for each length they reach out.
    steep: f64,
    /// What stands behind their feet.
    stake: Length,
}

impl<'f> Leaning<'f> {
    fn new(job: &Job, forms: &'f Forms) -> Option<Leaning<'f>> {
        let brace = &forms.brace.as_ref()?.value;
        let stake = if brace.on == StandsOn::Stakes { STAKE_THICK } else { Length::ZERO };
        let (profile, spacing) = (Profile::of(job, forms), brace.space.value.0);
        Some(Leaning { forms, profile, spacing, steep: steep(angle(forms)), stake })
    }

    /// How far out of the concrete those of a face reach; not at all where none hold it.
    fn reach(&self, panel: &Panel) -> Length {
        panel.braced.map_or(Length::ZERO, |(_, rises)| self.profile.foot(self.forms, rises).1 + self.stake)
    }

    /// How far walers and the kicker may stick out past an outermost brace, which also says where the kicker is fixed.
    fn sticks_out(&self) -> Length {
        let kick = self.forms.kick.as_ref().and_then(|kick| kick.value.space.as_ref()).map(|space| space.value.0);
        let spacing = kick.map_or(self.spacing, |kick| kick.min(self.spacing));
        Length::round_nm(spacing.nm() as f64 * STICKS_OUT)
    }

    /// Whether a brace of one face runs into one of the next.
    fn cross(&self, one: &Panel, other: &Panel) -> bool {
        let (Some((meets, rises)), Some((other_meets, other_rises))) = (one.braced, other.braced) else { return false };
        let (out, other_out) = (self.reach(one), self.reach(other));
        let thick = self.profile.brace.nm() as f64;
        let half = Lean::new(rises.nm() as f64, thick, angle(self.forms)).half;
        // Where two cross, each is higher at one of its sides than at the other.
        let apart = 2.0 * half + thick * self.steep;
        let near = (out.max(other_out) + self.profile.brace).nm() as f64;
        let (frame, beside) = (one.frame(), other.frame());
        let braces = |panel: &Panel| panel.braces(self.spacing).into_iter().map(|at| at.nm() as f64);
        let mine: Vec<f64> = braces(one).filter(|at| one.width.nm() as f64 - at <= near).collect();
        let its: Vec<f64> = braces(other).take_while(|at| *at <= near).collect();
        mine.iter().any(|station| {
            // Along the line of a brace both coordinates before the other face change evenly.
            let (start, end) = (beside.local(frame.at(*station, 0.0)), beside.local(frame.at(*station, near)));
            its.iter().any(|at| {
                let share = (at - start.0) / (end.0 - start.0);
                let (off, other_off) = (share * near, start.1 + (end.1 - start.1) * share);
                let within = |off: f64, out: Length| {
                    self.profile.walers.nm() as f64 - thick / 2.0 < off && off < out.nm() as f64 + thick / 2.0
                };
                let high = |off: f64, meets: Length, rises: Length| {
                    let falls = (off - self.profile.walers.nm() as f64) * self.steep;
                    meets.nm() as f64 - falls.min(rises.nm() as f64)
                };
                within(off, out)
                    && within(other_off, other_out)
                    && (high(off, meets, rises) - high(other_off, other_meets, other_rises)).abs() < apart - 1.0
            })
        })
    }
}

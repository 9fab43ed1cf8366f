//! Bent bars: from the legs that are written to a shape that can be bent, and what speaks against it.

use super::{
    bars::{BarTrouble, Maker},
    hooks::{Hook, TURNS, least_tail},
    lines::corners,
    shape::{Shape, is_closed, legs},
};
use crate::{
    geometry::distance::{Segment, nearest},
    schema::{self, Direction, HookRule, Legs, Said},
    source::Span,
    units::{Length, System},
};

/// Straight between two bends: 4 diameters, BS 8666.
const STRAIGHT_BETWEEN: i64 = 4;

/// By so many steps a tie is widened at most, to say how wide would do.
const WIDER: i64 = 120;

/// A bar may run into itself by this, where it is bent aside: 1/16 in, common practice, no source.
const GIVES: Length = Length::from_nm(Length::INCH.nm() / 16);

impl Maker<'_> {
    /// The shape of bars whose legs are written.
    pub(super) fn bent(&mut self, said: &Said<Legs>) -> Option<Shape> {
        let written = &said.value;
        let walk = legs(&written.walk);
        let closed = is_closed(&walk);
        let asked = [written.hook_at_start.or(written.hooks), written.hook_at_end.or(written.hooks)];
        let first = walk.first().map(|(direction, _)| *direction)?;
        let last = walk.last().map(|(direction, _)| *direction)?;
        // Hooks turn to the inside of the bend next to them.
        let inner = [
            walk.get(1).map(|(direction, _)| *direction),
            walk.len().checked_sub(2).and_then(|at| walk.get(at)).map(|(direction, _)| direction.opposite()),
        ];
        let mut hooks = [None; 2];
        let mut whole = true;
        for ((slot, asked), (along, inner)) in hooks.iter_mut().zip(asked).zip([first, last].into_iter().zip(inner)) {
            let Some(asked) = asked else { continue };
            match self.hook(asked, along, inner) {
                Some((turn, way)) => *slot = Some(Hook { turn, tail: Length::ZERO, way }),
                None => whole = false,
            }
        }
        if !whole {
            return None;
        }
        let tie = Shape::is_tie(&hooks, closed);
        for hook in hooks.iter_mut().flatten() {
            hook.tail = self.tail(written.tail, tie, hook.turn);
        }
        let least = if tie { self.steel.tie_bend } else { self.steel.bend };
        let inside = match written.bend {
            Some(bend) if bend.0 < least => {
                self.troubles.push(BarTrouble::BendTight { at: said.span, inside: bend.0, least });
                return None;
            }
            Some(bend) => bend.0,
            None => least,
        };
        match Shape::bent(&walk, hooks, inside, &self.steel) {
            Ok(shape) => {
                self.straight_between(&shape, said.span);
                if crosses_itself(&shape) {
                    let hooked = (closed && hooks.iter().all(Option::is_some))
                        .then(|| self.wide_enough(&walk, hooks, inside))
                        .flatten();
                    self.troubles.push(BarTrouble::CrossesItself { at: said.span, closed, hooked });
                    return None;
                }
                Some(shape)
            }
            Err(refusal) => {
                self.refused(refusal, said.span);
                None
            }
        }
    }

    /// The narrow way of a tie that runs through itself, and how long its legs that way must be so that it does not.
    fn wide_enough(
        &self,
        walk: &[(Direction, Length)],
        hooks: [Option<Hook>; 2],
        inside: Length,
    ) -> Option<(Direction, Option<Length>)> {
        let (narrow, short) = *walk.iter().min_by_key(|(_, length)| *length)?;
        let step = match self.job.system() {
            System::Feet => Length::INCH / 4,
            System::Metric => Length::MILLIMETRE * 5,
        };
        let first = short.nm().div_euclid(step.nm()) + 1;
        let wide = (first..first + WIDER).map(|at| step * at).find(|wide| {
            let along = |way: Direction| way == narrow || way == narrow.opposite();
            let wider: Vec<_> =
                walk.iter().map(|(way, long)| (*way, if along(*way) { *wide } else { *long })).collect();
            Shape::bent(&wider, hooks, inside, &self.steel).is_ok_and(|shape| !crosses_itself(&shape))
        });
        Some((narrow, wide))
    }

    /// The turn of a hook and which way it goes.
    fn hook(
        &mut self,
        asked: Said<schema::Hook>,
        along: Direction,
        inner: Option<Direction>,
    ) -> Option<(f64, Direction)> {
        let degrees = asked.value.turn.degrees();
        let Some(turn) = TURNS.into_iter().find(|turn| (turn - degrees).abs() < 0.5) else {
            self.troubles.push(BarTrouble::HookUnclear { at: asked.span, turn: Some(degrees) });
            return None;
        };
        match asked.value.way.or(inner).filter(|way| *way != along && *way != along.opposite()) {
            Some(way) => Some((turn, way)),
            None => {
                self.troubles.push(BarTrouble::HookUnclear { at: asked.span, turn: None });
                None
            }
        }
    }

    /// The straight behind a hook's bend: as it is said, or the least of the rule.
    fn tail(&mut self, said: Option<Said<schema::Above<Length>>>, tie: bool, turn: f64) -> Length {
        let (least, source) = least_tail(&self.steel, tie, turn);
        let Some(said) = said else {
            if !self.usual_tails.iter().any(|(known, ..)| *known == turn) {
                self.usual_tails.push((turn, least, source));
            }
            return least;
        };
        let tail = said.value.0;
        if tail < least {
            let short = BarTrouble::TailShort { at: said.span, turn, tail, least, source };
            if !self.troubles.contains(&short) {
                self.troubles.push(short);
            }
        }
        tail
    }

    /// Says where two bends are too near each other for the machine: BS 8666.
    pub(super) fn straight_between(&mut self, shape: &Shape, at: Span) {
        if self.steel.hooks == HookRule::En
            && let Some((leg, straight)) = shape.short_between(STRAIGHT_BETWEEN)
        {
            let least = self.steel.diameter * STRAIGHT_BETWEEN;
            self.troubles.push(BarTrouble::LegStraight { at, leg, straight, least });
        }
    }
}

/// Whether a bar whose legs were written runs through itself. The two ends of a tie lie beside each other in its corner:
/// they do not count.
fn crosses_itself(shape: &Shape) -> bool {
    let corners = corners(shape, [0.0; 3]);
    let parts: Vec<Segment> = corners
        .windows(2)
        .filter_map(|pair| match pair {
            [from, to] => Some(Segment { from: *from, to: *to }),
            _ => None,
        })
        .collect();
    let of_hook = |hook: Option<Hook>| hook.map_or(0, |hook| if hook.turn > 90.5 { 2 } else { 1 });
    let [start, end] = shape.hooks.map(of_hook);
    let least = (shape.diameter - GIVES).nm() as f64;
    let tie = shape.closed && start > 0 && end > 0;
    for (one, first) in parts.iter().enumerate() {
        for (two, second) in parts.iter().enumerate().skip(one + 2) {
            let lie_beside = tie && one <= start && two + 1 + end >= parts.len();
            if !lie_beside && nearest(first, second).distance < least {
                return true;
            }
        }
    }
    false
}

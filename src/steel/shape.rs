//! The shape of a bar: its legs out to out, its bends, its exact cut length.

use super::hooks::{Hook, vector};
use crate::{
    geometry::{BendRefusal, Run, hook_addition, out_to_out_length},
    job::Job,
    schema::{BlockId, Direction, HookRule, Walk},
    units::{Area, Length, Mass},
};

/// A bar size as it is reckoned with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steel {
    /// Its entry.
    pub id: BlockId,
    /// Nominal diameter.
    pub diameter: Length,
    /// Nominal area.
    pub area: Area,
    /// Weight per metre.
    pub per_metre: Mass,
    /// Diameter over the ribs; the nominal one where it is not known.
    pub over: Length,
    /// Least inside diameter of a bend.
    pub bend: Length,
    /// Least inside diameter of a bend of a tie.
    pub tie_bend: Length,
    /// Whose rules its hooks and bends follow.
    pub hooks: HookRule,
}

/// The bar size of this number, if it could be read.
#[must_use]
pub fn steel(job: &Job, id: BlockId) -> Option<Steel> {
    let say = &job.steel(id)?.say;
    Some(Steel {
        id,
        diameter: say.diameter.0,
        area: say.area.0,
        per_metre: say.weight.weight.0 / say.weight.per.0.metres(),
        over: say.over.map_or(say.diameter.0, |over| over.0),
        bend: say.bend.0,
        tie_bend: say.tie_bend.unwrap_or(say.bend).0,
        hooks: say.hooks.unwrap_or(HookRule::Aci),
    })
}

impl Steel {
    /// The weight of a length of it.
    #[must_use]
    pub fn weight(&self, length: Length) -> Mass {
        self.per_metre * length.metres()
    }
}

/// The shape of a bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    /// Its legs, out to out; a leg that ends in a hook is measured to the outer tangent of the hook.
    pub legs: Vec<Length>,
    /// The turn between each two legs, in degrees.
    pub turns: Vec<f64>,
    /// Where each leg goes, for bars whose legs were written as directions; empty for others.
    pub directions: Vec<Direction>,
    /// The hooks at its beginning and at its end.
    pub hooks: [Option<Hook>; 2],
    /// Its legs come back to where they began.
    pub closed: bool,
    /// Nominal diameter.
    pub diameter: Length,
    /// Inside diameter of the bends.
    pub inside: Length,
    /// Exact cut length, along the centre line.
    pub cut: Length,
}

/// One arc of a bar's centre line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arc {
    /// How far it turns, in degrees.
    pub turn: f64,
    /// Its length along the centre line.
    pub length: Length,
}

/// The hooks a block asks for: at the beginning and at the end, each with its angle, tail and direction.
pub type Hooks = [Option<Hook>; 2];

impl Shape {
    /// A straight bar.
    #[must_use]
    pub fn straight(length: Length, steel: &Steel) -> Shape {
        Shape {
            legs: vec![length],
            turns: Vec::new(),
            directions: Vec::new(),
            hooks: [None; 2],
            closed: false,
            diameter: steel.diameter,
            inside: steel.bend,
            cut: length,
        }
    }

    /// A bent bar whose legs were written as directions.
    ///
    /// # Errors
    /// A [`BendRefusal`] where it cannot be bent so.
    pub fn bent(
        walk: &[(Direction, Length)],
        hooks: Hooks,
        inside: Length,
        steel: &Steel,
    ) -> Result<Shape, BendRefusal> {
        let turns: Vec<f64> = walk.windows(2).map(|pair| turn(pair[0].0, pair[1].0)).collect();
        let legs: Vec<Length> = walk.iter().map(|(_, length)| *length).collect();
        let (radius, diameter) = (inside / 2, steel.diameter);
        let mut cut = out_to_out_length(&legs, &turns, radius, diameter)?;
        for hook in hooks.iter().flatten() {
            cut += hook_addition(hook.turn, hook.tail, radius, diameter)?;
        }
        let directions = walk.iter().map(|(direction, _)| *direction).collect();
        let shape = Shape { legs, turns, directions, hooks, closed: is_closed(walk), diameter, inside, cut };
        // A hook's bend uses up its leg too.
        for (leg, straight) in shape.leg_straights().enumerate() {
            if straight < -Length::from_nm(1) {
                let least = shape.legs.get(leg).copied().unwrap_or_default() - straight;
                return Err(BendRefusal::LegTooShort { leg, least });
            }
        }
        Ok(shape)
    }

    /// Whether it is bent as a tie: it closes on itself and is hooked at both ends, or has hooks of 135 degrees at both.
    #[must_use]
    pub fn is_tie(hooks: &Hooks, closed: bool) -> bool {
        let [Some(one), Some(other)] = hooks else { return false };
        let past = |hook: &Hook| (hook.turn - 135.0).abs() < 0.5;
        closed || (past(one) && past(other))
    }

    /// What is straight of each leg, between the tangent points of its bends.
    pub fn leg_straights(&self) -> impl Iterator<Item = Length> + '_ {
        let outer = (self.inside / 2 + self.diameter).nm() as f64;
        let last = self.legs.len().saturating_sub(1);
        self.legs.iter().enumerate().map(move |(at, leg)| {
            let bend = |turn: Option<&f64>| turn.map_or(0.0, |turn| outer * (turn.to_radians() / 2.0).tan());
            let hook = |here: bool, end: usize| {
                if here && self.hooks.get(end).is_some_and(Option::is_some) { outer } else { 0.0 }
            };
            let before = at.checked_sub(1).and_then(|before| self.turns.get(before));
            let eaten = bend(before) + bend(self.turns.get(at)) + hook(at == 0, 0) + hook(at == last, 1);
            *leg - Length::round_nm(eaten)
        })
    }

    /// All straight parts from one end to the other, the tails of hooks with them.
    #[must_use]
    pub fn straights(&self) -> Vec<Length> {
        let [start, end] = self.hooks;
        let tail = |hook: Option<Hook>| hook.map(|hook| hook.tail);
        tail(start).into_iter().chain(self.leg_straights()).chain(tail(end)).collect()
    }

    /// All arcs from one end to the other, those of hooks with them.
    #[must_use]
    pub fn arcs(&self) -> Vec<Arc> {
        let radius = self.inside.nm() as f64 / 2.0 + self.diameter.nm() as f64 / 2.0;
        let [start, end] = self.hooks;
        let turn = |hook: Option<Hook>| hook.map(|hook| hook.turn);
        let turns = turn(start).into_iter().chain(self.turns.iter().copied()).chain(turn(end));
        turns.map(|turn| Arc { turn, length: Length::round_nm(radius * turn.to_radians()) }).collect()
    }

    /// Whether some leg between two bends has less straight than so many diameters: which, from 1, and how much it has.
    #[must_use]
    pub fn short_between(&self, diameters: i64) -> Option<(usize, Length)> {
        let last = self.legs.len().saturating_sub(1);
        let bends = |at: usize| {
            let before = at > 0 || self.hooks.first().is_some_and(Option::is_some);
            before && (at < last || self.hooks.last().is_some_and(Option::is_some))
        };
        let mut legs = self.leg_straights().enumerate();
        legs.find(|(at, straight)| bends(*at) && *straight + Length::from_nm(1) < self.diameter * diameters)
            .map(|(at, straight)| (at + 1, straight))
    }

    /// A long bar that follows a run at an offset, bent round its corners.
    ///
    /// # Errors
    /// A [`BendRefusal`] where a leg is too short for its bends.
    pub fn along(
        run: &Run,
        from: (usize, Length),
        to: (usize, Length),
        offset: Length,
        inside: Length,
        steel: &Steel,
    ) -> Result<Shape, BendRefusal> {
        let radius = inside / 2 + steel.diameter / 2;
        let cut = crate::geometry::path_round_corners(run, from, to, offset, radius)?;
        let count = run.legs().len().max(1);
        let steps = if (from.0, from.1) < (to.0, to.1) { to.0 - from.0 } else { count - from.0 + to.0 };
        let half = steel.diameter.nm() as f64 / 2.0;
        let offset = offset.nm() as f64;
        let (mut legs, mut turns) = (Vec::new(), Vec::new());
        let (mut pending, mut apex_before) = (0.0, 0.0);
        for step in 0..=steps {
            let leg = (from.0 + step) % count;
            let start = if step == 0 { from.1.nm() as f64 } else { 0.0 };
            let end = if step == steps { to.1.nm() as f64 } else { run.length(leg).nm() as f64 };
            let degrees = if step == steps { 0.0 } else { run.turn_after(leg).unwrap_or(0.0) };
            let tangent = (degrees.to_radians() / 2.0).tan();
            pending += end - start + offset * tangent;
            if degrees.abs() < 0.5 {
                if step == steps {
                    legs.push(Length::round_nm(pending + apex_before));
                }
                continue;
            }
            // Out to out: to the outside apex, half a diameter past the centre line's corner on each side.
            let apex = half * tangent.abs();
            legs.push(Length::round_nm(pending + apex_before + apex));
            turns.push(degrees.abs());
            pending = offset * tangent;
            apex_before = apex;
        }
        let diameter = steel.diameter;
        Ok(Shape { legs, turns, directions: Vec::new(), hooks: [None; 2], closed: false, diameter, inside, cut })
    }

    /// Whether it has no bends.
    #[must_use]
    pub fn is_straight(&self) -> bool {
        self.turns.is_empty() && self.hooks.iter().all(Option::is_none)
    }
}

/// The moves of a walk, those that go straight on as one leg.
#[must_use]
pub fn legs(walk: &Walk) -> Vec<(Direction, Length)> {
    let mut legs: Vec<(Direction, Length)> = Vec::new();
    for step in &walk.0 {
        match legs.last_mut() {
            Some((direction, length)) if *direction == step.direction => *length += step.length,
            _ => legs.push((step.direction, step.length)),
        }
    }
    legs
}

/// Whether the legs, out to out, come back to where they began.
#[must_use]
pub fn is_closed(legs: &[(Direction, Length)]) -> bool {
    let mut at = [0_i64; 3];
    for (direction, length) in legs {
        for (sum, part) in at.iter_mut().zip(vector(*direction)) {
            *sum = sum.saturating_add(length.nm().saturating_mul(part as i64));
        }
    }
    legs.len() > 2 && at == [0; 3]
}

/// The turn from one direction to another, in degrees.
fn turn(from: Direction, to: Direction) -> f64 {
    let axis = |direction: Direction| match direction {
        Direction::Up | Direction::Down => 0,
        Direction::Out | Direction::In => 1,
        Direction::Left | Direction::Right => 2,
    };
    match (from == to, axis(from) == axis(to)) {
        (true, _) => 0.0,
        (false, true) => 180.0,
        (false, false) => 90.0,
    }
}

//! The shape of a bar: its legs out to out, its bends, its exact cut length.

use crate::{
    geometry::{BendRefusal, Run, out_to_out_length},
    job::Job,
    schema::{BlockId, Direction, Walk},
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
    /// Its legs, out to out.
    pub legs: Vec<Length>,
    /// The turn between each two legs, in degrees.
    pub turns: Vec<f64>,
    /// Where each leg goes, for bars whose legs were written as directions; empty for others.
    pub directions: Vec<Direction>,
    /// Inside diameter of the bends.
    pub inside: Length,
    /// Exact cut length, along the centre line.
    pub cut: Length,
}

impl Shape {
    /// A straight bar.
    #[must_use]
    pub fn straight(length: Length, inside: Length) -> Shape {
        Shape { legs: vec![length], turns: Vec::new(), directions: Vec::new(), inside, cut: length }
    }

    /// A bent bar whose legs were written as directions.
    ///
    /// # Errors
    /// A [`BendRefusal`] where it cannot be bent so.
    pub fn bent(walk: &Walk, inside: Length, steel: &Steel) -> Result<Shape, BendRefusal> {
        // Moves that go straight on are one leg.
        let mut legs: Vec<(Direction, Length)> = Vec::new();
        for step in &walk.0 {
            match legs.last_mut() {
                Some((direction, length)) if *direction == step.direction => *length += step.length,
                _ => legs.push((step.direction, step.length)),
            }
        }
        let turns: Vec<f64> = legs.windows(2).map(|pair| turn(pair[0].0, pair[1].0)).collect();
        let lengths: Vec<Length> = legs.iter().map(|(_, length)| *length).collect();
        let cut = out_to_out_length(&lengths, &turns, inside / 2, steel.diameter)?;
        let directions = legs.iter().map(|(direction, _)| *direction).collect();
        Ok(Shape { legs: lengths, turns, directions, inside, cut })
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
        Ok(Shape { legs, turns, directions: Vec::new(), inside, cut })
    }

    /// Whether it has no bends.
    #[must_use]
    pub fn is_straight(&self) -> bool {
        self.turns.is_empty()
    }
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

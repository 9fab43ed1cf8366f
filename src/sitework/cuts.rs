//! Saw cuts: how long, in how many passes, and what a round blade leaves.

use crate::{
    concrete::{Piece, Standing},
    job::Job,
    schema::BlockId,
    units::{Length, whole_up},
};

/// The blade when none is said: 14 in; common practice, no source.
pub const USUAL_BLADE: Length = Length::from_nm(14 * Length::INCH.nm());
/// How deep one pass goes when it is not said: 1 in; common practice, no source.
pub const PASS: Length = Length::INCH;
/// What flange and guard take of a blade's radius: 2 in; common practice, no source.
const GUARD: Length = Length::from_nm(2 * Length::INCH.nm());

/// A saw cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Saw {
    /// The cut.
    pub id: BlockId,
    /// Where it runs.
    pub runs: Vec<Piece>,
    /// Along the old face.
    pub face: Length,
    /// What it is longer than that at corners, since it runs outside of them; less than nothing where they turn towards you.
    pub corners: Length,
    /// Cuts across, from the old face outwards, one at each end.
    pub across: i64,
    /// How far out it runs.
    pub out: Length,
    /// All of it.
    pub length: Length,
    /// How deep.
    pub deep: Length,
    /// The blade.
    pub blade: Length,
    /// One pass.
    pub pass: Length,
    /// How many passes.
    pub passes: u64,
    /// How deep the blade reaches.
    pub reach: Length,
    /// How much of each end a round blade leaves at the full depth.
    pub left: Length,
    /// How many blades are worn, where it is said how long one lasts.
    pub blades: Option<f64>,
}

/// All cuts, as they are written.
#[must_use]
pub fn saws(job: &Job, standing: &mut Standing) -> Vec<Saw> {
    let mut out = Vec::with_capacity(job.cuts.len());
    for cut in &job.cuts {
        let say = &cut.say;
        let runs = standing.resolve(job, &say.along);
        let (mut face, mut corners) = (Length::ZERO, 0.0);
        let by = say.out.value.0;
        let mut open = 0;
        for piece in &runs {
            let legs = standing.intervals(&[*piece]);
            let along: Length = legs.iter().map(|part| part.end - part.start).sum();
            face += along;
            // All the way round a closed plan there is a corner more, and no end.
            let round = legs
                .first()
                .and_then(|part| standing.chain(part.on))
                .is_some_and(|chain| chain.run.closed() && chain.run.total() == along);
            open += i64::from(!round);
            for part in legs.iter().take(legs.len().saturating_sub(usize::from(!round))) {
                let turn = standing.chain(part.on).and_then(|chain| chain.run.turn_after(usize::from(part.on.leg)));
                corners += 2.0 * by.nm() as f64 * (turn.unwrap_or(0.0).to_radians() / 2.0).tan();
            }
        }
        let corners = Length::round_nm(corners);
        let across = if say.ends.is_some() { 2 * open } else { 0 };
        let blade = say.blade.as_ref().map(|blade| &blade.value);
        let across_blade = blade.map_or(USUAL_BLADE, |blade| blade.across.0);
        let pass = blade.and_then(|blade| blade.pass).map_or(PASS, |pass| pass.0);
        let deep = say.deep.value.0;
        let length = face + corners + by * across;
        out.push(Saw {
            id: cut.id,
            runs,
            face,
            corners,
            across,
            out: by,
            length,
            deep,
            blade: across_blade,
            pass,
            passes: whole_up(deep.metres() / pass.metres()),
            reach: across_blade / 2 - GUARD,
            left: left(across_blade, deep),
            blades: blade.and_then(|blade| blade.lasts).map(|lasts| length.metres() * deep.inches() / lasts.0.metres()),
        });
    }
    out
}

/// Half the chord of a blade at a depth: so far before the end of a cut its bottom is not reached. Plane geometry.
fn left(blade: Length, deep: Length) -> Length {
    let (blade, deep) = (blade.nm() as f64, deep.nm() as f64);
    Length::round_nm((deep * (blade - deep)).max(0.0).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_round_blade_leaves_half_its_chord() {
        // By hand: 3-4-5, a blade of radius 5 in, 2 in deep, reaches sqrt(25 - 9) = 4 in to both sides.
        assert_eq!(left(Length::INCH * 10, Length::INCH * 2), Length::INCH * 4);
        assert_eq!(left(Length::INCH * 10, Length::INCH * 5), Length::INCH * 5);
        assert_eq!(left(Length::INCH * 10, Length::INCH * 20), Length::ZERO);
    }
}

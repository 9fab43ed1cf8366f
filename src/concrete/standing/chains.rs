//! Legs and corners, in the order they are written, put together into chains in plan.

use super::{Chain, LegAt, Standing, StandingTrouble};
use crate::{
    geometry::{Leg, Point, Run, SHARPEST},
    job::{Job, Thing},
    schema::{BlockId, Corner, Said, Way},
    source::Span,
    units::Length,
};

/// Puts all walls and lines into plan.
#[must_use]
pub fn standing(job: &Job) -> Standing {
    let mut standing = Standing::default();
    for wall in &job.walls {
        let legs: Vec<LegIn> = wall
            .say
            .legs
            .0
            .iter()
            .map(|leg| LegIn {
                name: &leg.leg.name,
                length: leg.leg.value.0,
                behind: leg.behind.as_ref().map(|behind| (behind.value.0.as_str(), behind.span)),
            })
            .collect();
        for (number, leg) in wall.say.legs.0.iter().enumerate() {
            let key = (wall.id, u16::try_from(number).unwrap_or(u16::MAX));
            let thick = leg.thick.or(wall.say.thick).map(|thick| thick.0);
            let height = leg.height.or(wall.say.height).map(|height| (height.from, height.to));
            // A far face has the thickness and height of the leg it is behind, unless it says otherwise.
            let front = leg
                .behind
                .as_ref()
                .and_then(|behind| wall.say.legs.0.iter().find(|other| other.leg.name.value == behind.value.0));
            let thick = thick.or_else(|| front.and_then(|front| front.thick).map(|thick| thick.0));
            let height = height.or_else(|| front.and_then(|front| front.height).map(|range| (range.from, range.to)));
            let bare =
                |lacks| StandingTrouble::LegBare { leg: leg.leg.name.span, name: leg.leg.name.value.clone(), lacks };
            match thick {
                Some(thick) => {
                    standing.thick.insert(key, thick);
                }
                None => standing.troubles.push(bare("thick")),
            }
            match height {
                Some(height) => {
                    standing.heights.insert(key, height);
                }
                None => standing.troubles.push(bare("height")),
            }
        }
        place(&mut standing, wall, &legs, &wall.say.corners.0);
    }
    for line in &job.lines {
        let legs: Vec<LegIn> =
            line.say.legs.0.iter().map(|leg| LegIn { name: &leg.name, length: leg.value.0, behind: None }).collect();
        place(&mut standing, line, &legs, &line.say.corners.0);
    }
    standing
}

/// A leg as it is written.
struct LegIn<'j> {
    name: &'j Said<String>,
    length: Length,
    behind: Option<(&'j str, Span)>,
}

/// A leg or a corner, by where it stands.
enum Written<'j> {
    Leg(usize),
    Corner(&'j Corner, Span),
}

fn place<T>(standing: &mut Standing, wall: &Thing<T>, legs: &[LegIn], corners: &[Corner]) {
    let start = standing.chains.len();
    for (second, leg) in legs.iter().enumerate() {
        if let Some(first) = legs[..second].iter().find(|other| other.name.value == leg.name.value) {
            standing.troubles.push(StandingTrouble::LegTwice { first: first.name.span, second: leg.name.span });
        }
    }
    let mut written: Vec<(Span, Written)> =
        legs.iter().enumerate().map(|(at, leg)| (leg.name.span, Written::Leg(at))).collect();
    written.extend(corners.iter().map(|corner| (corner.way.span, Written::Corner(corner, corner.way.span))));
    written.sort_by_key(|(span, _)| *span);
    if legs.is_empty() {
        standing.troubles.push(StandingTrouble::NoLegs { wall: wall.id });
        standing.of_wall.insert(wall.id, start..start);
        return;
    }
    let mut draft = Draft::default();
    let mut corner_before: Option<Span> = None;
    for (span, what) in &written {
        match what {
            Written::Leg(at) => {
                let leg = &legs[*at];
                match leg.behind {
                    Some((front, front_at)) => {
                        draft.finish(standing, wall.id, corner_before.take().map(|_| Closing::IfItCloses));
                        draft = Draft { behind: Some((front.to_owned(), front_at)), ..Draft::default() };
                    }
                    None => {
                        if let Some(before) = draft.last
                            && corner_before.is_none()
                        {
                            standing.troubles.push(StandingTrouble::CornerMissing { before, after: *span });
                            draft.turns.push(0.0);
                        }
                    }
                }
                corner_before = None;
                draft.legs.push(Leg { length: leg.length });
                draft.numbers.push(u16::try_from(*at).unwrap_or(u16::MAX));
                draft.names.push(leg.name.value.clone());
                draft.last = Some(*span);
            }
            Written::Corner(corner, at) => {
                if draft.last.is_none() || corner_before.is_some() {
                    standing.troubles.push(StandingTrouble::CornerLoose { corner: *at });
                    continue;
                }
                let degrees = corner.turning.map_or(90.0, |turning| turning.0.degrees());
                if degrees > SHARPEST {
                    standing.troubles.push(StandingTrouble::TooSharp { corner: *at, degrees });
                }
                draft.turns.push(match corner.way.value {
                    Way::Outside => degrees,
                    Way::Inside => -degrees,
                    Way::Straight => 0.0,
                });
                corner_before = Some(*at);
            }
        }
    }
    draft.finish(standing, wall.id, corner_before.map(|_| Closing::Must));
    standing.of_wall.insert(wall.id, start..standing.chains.len());
}

/// What a corner after the last leg of a chain means.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Closing {
    /// The plan closes here.
    Must,
    /// A far face follows: the corner closes the plan, or is the one between the last leg and the far face.
    IfItCloses,
}

/// A chain being put together.
#[derive(Default)]
struct Draft {
    legs: Vec<Leg>,
    numbers: Vec<u16>,
    names: Vec<String>,
    turns: Vec<f64>,
    last: Option<Span>,
    behind: Option<(String, Span)>,
}

impl Draft {
    fn finish(&mut self, standing: &mut Standing, wall: BlockId, closing: Option<Closing>) {
        let mut draft = std::mem::take(self);
        if draft.legs.is_empty() {
            return;
        }
        let (mut origin, mut heading) = (Point::new(0.0, 0.0), 0.0);
        let mut far = false;
        if let Some((front, at)) = draft.behind {
            far = true;
            // Chains of this wall so far stand at the end of the list.
            let known = (0..).map_while(|number| standing.names.get(&(wall, number)).map(|name| (number, name)));
            let found = { known }.find(|(_, name)| **name == front).map(|(number, _)| (wall, number));
            let placed = found.and_then(|key| {
                let at = standing.places.get(&key)?;
                let thick = standing.thick.get(&key)?;
                standing.chain(*at)?.run.far(at.leg as usize, *thick)
            });
            match placed {
                Some((point, turned)) => (origin, heading) = (point, turned),
                None => standing.troubles.push(StandingTrouble::BehindWhat { at, name: front }),
            }
        }
        let closed = closing.is_some();
        let mut run = Run::new(origin, heading, draft.legs.clone(), draft.turns.clone(), closed);
        // What a tape can measure: a plan that closes to 1/16 in is closed.
        let gap = Length::round_nm(run.gap());
        if closed && gap > Length::from_nm(Length::INCH.nm() / 16) {
            if closing == Some(Closing::IfItCloses) {
                draft.turns.pop();
                run = Run::new(origin, heading, draft.legs, draft.turns, false);
            } else {
                standing.troubles.push(StandingTrouble::Open { wall, gap });
            }
        }
        let chain = u32::try_from(standing.chains.len()).unwrap_or(u32::MAX);
        for (leg, (number, name)) in draft.numbers.iter().zip(&draft.names).enumerate() {
            let at = LegAt { chain, leg: u16::try_from(leg).unwrap_or(u16::MAX) };
            standing.places.insert((wall, *number), at);
            standing.names.insert((wall, *number), name.clone());
        }
        standing.chains.push(Chain { wall, run, legs: draft.numbers, far });
    }
}

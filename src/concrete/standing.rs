//! What stands there: walls and lines as runs in plan, the old solids they make, and stretches resolved on them.

use std::collections::HashMap;

use crate::{
    geometry::{Leg, Old, Outline, Point, Refusal, Run, SHARPEST},
    job::{Job, Thing},
    schema::{BlockId, Corner, LegRef, Said, Stretch, StretchPart, Way},
    source::Span,
    units::Length,
};

/// Legs of one wall or line that follow each other from left to right. A wall has one for its front and one for each
/// far face.
#[derive(Debug)]
pub struct Chain {
    /// The wall or line.
    pub wall: BlockId,
    /// The legs in plan.
    pub run: Run,
    /// Which leg of the wall each leg of the run is.
    pub legs: Vec<u16>,
    /// It is the far face of another chain: it makes no solid of its own.
    pub far: bool,
}

/// A leg of a chain.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LegAt {
    /// Which chain, in [`Standing::chains`].
    pub chain: u32,
    /// Which leg of its run.
    pub leg: u16,
}

/// Where something runs along one chain: from a station on a leg to a station on the same or a later one. On a closed plan
/// one that ends before it begins goes round the closing corner.
pub type Piece = ((LegAt, Length), (LegAt, Length));

/// An unbroken length on one leg.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Interval {
    /// The leg.
    pub on: LegAt,
    /// Where it begins.
    pub start: Length,
    /// Where it ends.
    pub end: Length,
}

/// What an old solid is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum OldPart {
    /// Taken away: nothing stands here, whatever else is said.
    Removed,
    /// A wall.
    Wall,
    /// A footing.
    Footing,
    /// A slab.
    Slab,
    /// Concrete of another pour.
    New,
}

/// What is wrong with what stands there.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs)]
pub enum StandingTrouble {
    /// A wall or line has no legs.
    NoLegs { wall: BlockId },
    /// Two legs with no corner between.
    CornerMissing { before: Span, after: Span },
    /// A corner that joins nothing.
    CornerLoose { corner: Span },
    /// A corner of more than 135 degrees.
    TooSharp { corner: Span, degrees: f64 },
    /// The closed plan does not close.
    Open { wall: BlockId, gap: Length },
    /// A leg has no thickness, or no height, of its own and the wall has none.
    LegBare { leg: Span, name: String, lacks: &'static str },
    /// Two legs of one name.
    LegTwice { first: Span, second: Span },
    /// A leg is behind a leg the wall does not have, or behind itself.
    BehindWhat { at: Span, name: String },
    /// A station that is not on the leg.
    StationOff { at: Span, leg: String, station: Length, length: Length },
    /// A stretch from one face of a wall to another.
    OtherFace { at: Span },
}

/// All walls and lines of a job in plan.
#[derive(Debug, Default)]
pub struct Standing {
    /// The chains, those of one wall together.
    pub chains: Vec<Chain>,
    /// Where each leg of each wall is.
    places: HashMap<(BlockId, u16), LegAt>,
    /// Thickness of each leg of a wall.
    thick: HashMap<(BlockId, u16), Length>,
    /// Bottom and top of each leg of a wall.
    heights: HashMap<(BlockId, u16), (Length, Length)>,
    /// The names of the legs.
    names: HashMap<(BlockId, u16), String>,
    /// The chains of each wall.
    of_wall: HashMap<BlockId, std::ops::Range<usize>>,
    /// What is wrong.
    pub troubles: Vec<StandingTrouble>,
}

impl Standing {
    /// Where a leg of a wall is.
    #[must_use]
    pub fn place(&self, leg: LegRef) -> Option<LegAt> {
        self.places.get(&(leg.wall, leg.leg)).copied()
    }

    /// The chain of a leg.
    #[must_use]
    pub fn chain(&self, at: LegAt) -> Option<&Chain> {
        self.chains.get(at.chain as usize)
    }

    /// Which leg of which wall this is.
    #[must_use]
    pub fn leg_ref(&self, at: LegAt) -> Option<LegRef> {
        let chain = self.chain(at)?;
        Some(LegRef { wall: chain.wall, leg: *chain.legs.get(at.leg as usize)? })
    }

    /// The length of a leg.
    #[must_use]
    pub fn length(&self, at: LegAt) -> Length {
        self.chain(at).map_or(Length::ZERO, |chain| chain.run.length(at.leg as usize))
    }

    /// The thickness of the old wall at a leg; none for a line.
    #[must_use]
    pub fn thickness(&self, at: LegAt) -> Option<Length> {
        let leg = self.leg_ref(at)?;
        self.thick.get(&(leg.wall, leg.leg)).copied()
    }

    /// Bottom and top of the old wall at a leg; none for a line.
    #[must_use]
    pub fn heights(&self, at: LegAt) -> Option<(Length, Length)> {
        let leg = self.leg_ref(at)?;
        self.heights.get(&(leg.wall, leg.leg)).copied()
    }

    /// The leg's own name.
    #[must_use]
    pub fn leg_name(&self, at: LegAt) -> &str {
        self.leg_ref(at).and_then(|leg| self.names.get(&(leg.wall, leg.leg))).map_or("", String::as_str)
    }

    /// The chains of a wall or line.
    #[must_use]
    pub fn chains_of(&self, wall: BlockId) -> std::ops::Range<usize> {
        self.of_wall.get(&wall).cloned().unwrap_or(0..0)
    }

    /// Whether a leg's end (or start) is at a corner, where the face turns.
    #[must_use]
    pub fn at_corner(&self, at: LegAt, end: bool) -> bool {
        let turn = self.chain(at).and_then(|chain| {
            if end { chain.run.turn_after(at.leg as usize) } else { chain.run.turn_before(at.leg as usize) }
        });
        turn.is_some_and(|turn| turn.abs() > 0.5)
    }

    /// The leg after this one in its chain (round the closing corner, if the plan is closed).
    #[must_use]
    pub fn next_leg(&self, at: LegAt) -> Option<LegAt> {
        let chain = self.chain(at)?;
        let count = u16::try_from(chain.legs.len()).unwrap_or(u16::MAX);
        if at.leg + 1 < count {
            Some(LegAt { leg: at.leg + 1, ..at })
        } else if chain.run.closed() && count > 1 {
            Some(LegAt { leg: 0, ..at })
        } else {
            None
        }
    }

    /// A stretch as unbroken pieces along chains: start and end as leg and station. Troubles are kept.
    pub fn resolve(&mut self, job: &Job, stretch: &Stretch) -> Vec<Piece> {
        let mut out = Vec::with_capacity(stretch.0.len());
        for part in &stretch.0 {
            self.resolve_part(job, part, &mut out);
        }
        self.join(&mut out);
        out
    }

    /// Pieces that follow each other go on as one, in whatever order they are written: `old.back, old.side` goes round the
    /// corner, and on a closed plan the last leg and the first go round the closing one.
    fn join(&self, pieces: &mut Vec<Piece>) {
        pieces.sort_unstable();
        let follows = |(last, end): (LegAt, Length), (first, start): (LegAt, Length)| {
            (last == first && end == start)
                || (start == Length::ZERO && end == self.length(last) && self.next_leg(last) == Some(first))
        };
        let mut joined: Vec<Piece> = Vec::with_capacity(pieces.len());
        for piece in pieces.drain(..) {
            match joined.last_mut() {
                Some(last) if follows(last.1, piece.0) => last.1 = piece.1,
                _ => joined.push(piece),
            }
        }
        // The first piece of a chain may go on from its last.
        let mut at = 0;
        while at < joined.len() {
            let chain = joined[at].0.0.chain;
            let end = joined[at..].iter().position(|piece| piece.0.0.chain != chain).map_or(joined.len(), |to| at + to);
            if end - at > 1 && follows(joined[end - 1].1, joined[at].0) {
                joined[end - 1].1 = joined[at].1;
                joined.remove(at);
                at = end - 1;
            } else {
                at = end;
            }
        }
        *pieces = joined;
    }

    fn resolve_part(&mut self, job: &Job, part: &Said<StretchPart>, out: &mut Vec<Piece>) {
        match part.value {
            StretchPart::All(block) => {
                if let Some(section) = job.section(block) {
                    // A section's stretch names legs only, so this goes no deeper.
                    for part in &section.say.along.0 {
                        if !matches!(part.value, StretchPart::All(inner) if job.section(inner).is_some()) {
                            self.resolve_part(job, part, out);
                        }
                    }
                    return;
                }
                for at in self.chains_of(block) {
                    let Some(chain) = self.chains.get(at) else { continue };
                    let chain_at = u32::try_from(at).unwrap_or(u32::MAX);
                    let Some(last) = chain.legs.len().checked_sub(1) else { continue };
                    let leg = |leg: usize| LegAt { chain: chain_at, leg: u16::try_from(leg).unwrap_or(u16::MAX) };
                    out.push(((leg(0), Length::ZERO), (leg(last), chain.run.length(last))));
                }
            }
            StretchPart::Legs { from, start, to, end } => {
                let (Some(first), Some(last)) = (self.place(from), self.place(to)) else { return };
                if first.chain != last.chain || last.leg < first.leg {
                    self.troubles.push(StandingTrouble::OtherFace { at: part.span });
                    return;
                }
                let start = start.unwrap_or(Length::ZERO);
                let end = end.unwrap_or_else(|| self.length(last));
                if self.on_leg(first, start, part.span) && self.on_leg(last, end, part.span) {
                    out.push(((first, start), (last, end)));
                }
            }
        }
    }

    /// Whether a station is on its leg; a trouble if not.
    pub fn on_leg(&mut self, at: LegAt, station: Length, span: Span) -> bool {
        let length = self.length(at);
        if station >= Length::ZERO && station <= length {
            return true;
        }
        let leg = self.leg_name(at).to_owned();
        self.troubles.push(StandingTrouble::StationOff { at: span, leg, station, length });
        false
    }

    /// A stretch as intervals on single legs.
    #[must_use]
    pub fn intervals(&self, pieces: &[Piece]) -> Vec<Interval> {
        let mut out = Vec::with_capacity(pieces.len());
        for ((first, start), (last, end)) in pieces {
            let count = self.chain(*first).map_or(0, |chain| u16::try_from(chain.legs.len()).unwrap_or(u16::MAX));
            // A piece that ends before it begins goes round the closing corner.
            let legs = if (first.leg, *start) < (last.leg, *end) {
                last.leg - first.leg + 1
            } else {
                count - first.leg + last.leg + 1
            };
            for step in 0..legs {
                let on = LegAt { chain: first.chain, leg: (first.leg + step) % count.max(1) };
                let from = if step == 0 { *start } else { Length::ZERO };
                let until = if step + 1 == legs { *end } else { self.length(on) };
                if from < until {
                    out.push(Interval { on, start: from, end: until });
                }
            }
        }
        out
    }
}

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

/// How far a slab is taken to reach out from the wall: beyond anything built by hand.
const SLAB_REACH: Length = Length::from_nm(30 * Length::METRE.nm());

impl Standing {
    /// The old solids around a wall, what is taken away first.
    #[must_use]
    pub fn old(&self, job: &Job, wall: BlockId, removed: &[(Outline, Length, Length)]) -> Vec<Old<OldPart>> {
        let mut out: Vec<Old<OldPart>> = removed
            .iter()
            .map(|(outline, bottom, top)| Old {
                outline: outline.clone(),
                bottom: *bottom,
                top: *top,
                tag: OldPart::Removed,
            })
            .collect();
        for at in self.chains_of(wall) {
            let Some(chain) = self.chains.get(at).filter(|chain| !chain.far) else { continue };
            let chain_at = u32::try_from(at).unwrap_or(u32::MAX);
            self.wall_parts(chain_at, chain, &mut out);
            for footing in job.footings.iter().filter(|footing| footing.say.under.0 == wall) {
                let (thick, by) = (footing.say.thick.0, footing.say.out.0);
                for (outline, bottom, _) in self.wall_outlines(chain_at, chain, by) {
                    out.push(Old { outline, bottom: bottom - thick, top: bottom, tag: OldPart::Footing });
                }
            }
        }
        out
    }

    fn wall_parts(&self, at: u32, chain: &Chain, out: &mut Vec<Old<OldPart>>) {
        for (outline, bottom, top) in self.wall_outlines(at, chain, Length::ZERO) {
            out.push(Old { outline, bottom, top, tag: OldPart::Wall });
        }
    }

    /// The outlines of the old wall with their heights, widened on both sides: one for legs of one height that follow each
    /// other, so that corners are filled.
    fn wall_outlines(&self, at: u32, chain: &Chain, widened: Length) -> Vec<(Outline, Length, Length)> {
        let count = chain.legs.len();
        let leg_at = |leg: usize| LegAt { chain: at, leg: u16::try_from(leg).unwrap_or(u16::MAX) };
        let mut out = Vec::new();
        let mut first = 0;
        while first < count {
            let Some((bottom, top)) = self.heights(leg_at(first)) else {
                first += 1;
                continue;
            };
            let mut last = first;
            while last + 1 < count && self.heights(leg_at(last + 1)) == Some((bottom, top)) {
                last += 1;
            }
            let inner = |leg: usize| -self.thickness(leg_at(leg)).unwrap_or(Length::ZERO) - widened;
            let outer = |_: usize| widened;
            let strip = |from: usize, to: usize| {
                chain.run.strip((from, Length::ZERO), (to, chain.run.length(to)), &inner, &outer)
            };
            match strip(first, last) {
                Ok(strip) => out.push((strip.outline, bottom, top)),
                // Legs too short for their corners at this thickness: each stands for itself.
                Err(Refusal::LegTooShort { .. } | Refusal::TurnTooSharp { .. } | Refusal::CrossesItself { .. }) => {
                    out.extend(
                        (first..=last).filter_map(|leg| strip(leg, leg).ok()).map(|strip| (strip.outline, bottom, top)),
                    );
                    // What stands out in front goes round corners all the same.
                    if widened > Length::ZERO
                        && let Ok(apron) = chain.run.strip(
                            (first, Length::ZERO),
                            (last, chain.run.length(last)),
                            &|_| Length::ZERO,
                            &outer,
                        )
                    {
                        out.push((apron.outline, bottom, top));
                    }
                }
                Err(Refusal::Empty { .. } | Refusal::NoSuchLeg { .. }) => {}
            }
            first = last + 1;
        }
        out
    }

    /// The plan of a slab along intervals: one rectangle a leg, which reaches past corners that turn away.
    #[must_use]
    pub fn slab_outlines(&self, intervals: &[Interval]) -> Vec<Outline> {
        intervals
            .iter()
            .filter_map(|interval| {
                let chain = self.chain(interval.on)?;
                let frame = chain.run.frame(interval.on.leg as usize)?;
                let turns_away = |turn: Option<f64>| turn.is_some_and(|turn| turn > 0.5);
                let whole = self.length(interval.on);
                let mut from = interval.start.nm() as f64;
                let mut to = interval.end.nm() as f64;
                let reach = SLAB_REACH.nm() as f64;
                if interval.start == Length::ZERO && turns_away(chain.run.turn_before(interval.on.leg as usize)) {
                    from -= reach;
                }
                if interval.end == whole && turns_away(chain.run.turn_after(interval.on.leg as usize)) {
                    to += reach;
                }
                Some(Outline::polygon(&[
                    frame.at(from, 0.0),
                    frame.at(from, reach),
                    frame.at(to, reach),
                    frame.at(to, 0.0),
                ]))
            })
            .collect()
    }
}

//! What stands there: walls and lines as runs in plan, the old solids they make, and stretches resolved on them.

mod chains;
mod old;

use foldhash::HashMap;

use crate::{
    geometry::Run,
    job::Job,
    schema::{BlockId, LegRef, Said, Stretch, StretchPart},
    source::Span,
    units::Length,
};

pub use chains::standing;

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

impl Interval {
    /// What two of them have in common, if that is more than a point.
    #[must_use]
    pub fn shared(&self, other: &Interval) -> Option<Interval> {
        let both = Interval { on: self.on, start: self.start.max(other.start), end: self.end.min(other.end) };
        (self.on == other.on && both.start < both.end).then_some(both)
    }
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
    /// Concrete of this other pour.
    New(BlockId),
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

    /// Whether the chain of a leg closes, and turns away from what stands out from it: then that goes round the outside of it.
    #[must_use]
    pub fn goes_round(&self, at: LegAt) -> bool {
        let turns_away = |run: &Run| (0..run.legs().len()).filter_map(|leg| run.turn_after(leg)).sum::<f64>() > 0.0;
        self.chain(at).is_some_and(|chain| chain.run.closed() && turns_away(&chain.run))
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
        let mut troubles = Vec::new();
        let out = self.pieces(job, stretch, &mut troubles);
        self.troubles.extend(troubles);
        out
    }

    /// The same for those who only look: troubles go to `troubles`.
    pub fn pieces(&self, job: &Job, stretch: &Stretch, troubles: &mut Vec<StandingTrouble>) -> Vec<Piece> {
        let mut out = Vec::with_capacity(stretch.0.len());
        for part in &stretch.0 {
            self.resolve_part(job, part, &mut out, troubles);
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

    fn resolve_part(
        &self,
        job: &Job,
        part: &Said<StretchPart>,
        out: &mut Vec<Piece>,
        troubles: &mut Vec<StandingTrouble>,
    ) {
        match part.value {
            StretchPart::All(block) => {
                if let Some(section) = job.section(block) {
                    // A section's stretch names legs only, so this goes no deeper.
                    for part in &section.say.along.0 {
                        if !matches!(part.value, StretchPart::All(inner) if job.section(inner).is_some()) {
                            self.resolve_part(job, part, out, troubles);
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
                    troubles.push(StandingTrouble::OtherFace { at: part.span });
                    return;
                }
                let start = start.unwrap_or(Length::ZERO);
                let end = end.unwrap_or_else(|| self.length(last));
                let off = self.off_leg(first, start, part.span).or_else(|| self.off_leg(last, end, part.span));
                match off {
                    Some(trouble) => troubles.push(trouble),
                    None => out.push(((first, start), (last, end))),
                }
            }
        }
    }

    /// Whether a station is on its leg; a trouble if not.
    pub fn on_leg(&mut self, at: LegAt, station: Length, span: Span) -> bool {
        let off = self.off_leg(at, station, span);
        let on = off.is_none();
        self.troubles.extend(off);
        on
    }

    fn off_leg(&self, at: LegAt, station: Length, span: Span) -> Option<StandingTrouble> {
        let length = self.length(at);
        let on = station >= Length::ZERO && station <= length;
        let leg = || self.leg_name(at).to_owned();
        (!on).then(|| StandingTrouble::StationOff { at: span, leg: leg(), station, length })
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

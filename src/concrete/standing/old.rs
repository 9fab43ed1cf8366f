//! The old solids around a wall: the wall itself, its footing, the slabs against it.

use super::{Chain, Interval, LegAt, OldPart, Standing};
use crate::{
    geometry::{Old, Outline, Refusal},
    job::Job,
    schema::BlockId,
    units::Length,
};

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

//! From the sections of a pour to level layers, each with its places in the order they are laid.

use std::collections::BTreeMap;

use crate::{
    concrete::{Mixing, Placed, PourSolid, Sections, pour_faces},
    geometry::{FaceKind, Old, Piece, solid},
    job::{Job, Thing},
    pouring::{Lift, Place, Spot},
    schema::{BlockId, Pour},
    units::{Length, System, Volume},
};

/// The most layers that are looked at.
pub const LAYERS_AT_MOST: i64 = 1000;

/// How high fresh concrete may stand above an open top beside it: 4 in; common practice, no source.
const BORNE: Length = Length::from_nm(4 * Length::INCH.nm());

/// What a place of a layer is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Site {
    /// The section.
    pub section: BlockId,
    /// Its level there.
    pub bottom: Length,
    /// The level it is filled to.
    pub top: Length,
}

/// How the layers of lower heights are stepped when others are tried: 1 in, or 25 mm.
pub(super) fn tidy(system: System) -> Length {
    match system {
        System::Feet => Length::INCH,
        System::Metric => Length::from_nm(25_000_000),
    }
}

/// A pour before it is cut into layers.
pub(super) struct Layers<'s> {
    sections: &'s Sections,
    mine: Vec<&'s Placed>,
    /// Volume of the solid.
    volume: Volume,
    bottom: Length,
    top: Length,
    patches: &'s [(Length, Volume)],
    trip: u64,
    /// Pairs of places in `mine`: what of the second lies over or under the first in plan, and what stands beside it.
    over: Vec<Vec<usize>>,
    beside: Vec<Vec<usize>>,
    /// Which have a top that is open and stays without a lid.
    open: Vec<bool>,
}

/// A section within one layer.
struct Slice {
    section: usize,
    bottom: Length,
    top: Length,
    volume: Volume,
}

/// A part of a section in a layer of a pour whose batches are not planned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Filled {
    /// What and where it is.
    pub site: Site,
    /// How much of the solid.
    pub volume: Volume,
    /// How many bags make it, with its share of the waste; none where nothing is mixed in bags.
    pub bags: Option<f64>,
}

/// The layers of a pour whose batches are not planned: of the height it says, or else all of it as one. None of a pour that is
/// broken or has too many.
#[must_use]
pub fn layered(job: &Job, sections: &Sections, solid: &PourSolid, mixing: Option<&Mixing>) -> Option<Vec<Vec<Filled>>> {
    let pour = job.pour(solid.pour)?;
    let lift = pour.say.lift.map_or(solid.top - solid.bottom, |lift| lift.0);
    let (lifts, sites) = Layers::new(sections, solid, pour, &[], 0).cut(lift)?;
    let bags = |volume: Volume| {
        let mixing = mixing.filter(|mixing| mixing.placed > Volume::ZERO)?;
        let share = volume.cubic_metres() / mixing.placed.cubic_metres();
        Some(mixing.wanted.cubic_metres() * share / mixing.yields.cubic_metres())
    };
    let layer = |(lift, sites): (Lift, Vec<Site>)| {
        let places = lift.places.into_iter().zip(sites);
        places.map(|(place, site)| Filled { site, volume: place.volume, bags: bags(place.volume) }).collect()
    };
    Some(lifts.into_iter().zip(sites).map(layer).collect())
}

impl<'s> Layers<'s> {
    pub(super) fn new(
        sections: &'s Sections,
        solid: &PourSolid,
        pour: &Thing<Pour>,
        patches: &'s [(Length, Volume)],
        trip: u64,
    ) -> Layers<'s> {
        let filled = |id: BlockId| solid.sections.iter().any(|(section, _)| *section == id);
        let mine: Vec<&Placed> =
            pour.say.fill.iter().filter(|id| filled(id.value.0)).filter_map(|id| sections.find(id.value.0)).collect();
        let (mut over, mut beside) = (vec![Vec::new(); mine.len()], vec![Vec::new(); mine.len()]);
        for (at, one) in mine.iter().enumerate() {
            for (other_at, other) in mine.iter().enumerate().skip(at + 1) {
                let (lies_over, stands_beside) = meet(one, other);
                // What two sections share belongs to the first: the rest of the other stands beside it, and not on it.
                let shares = lies_over && one.bottom < other.top && other.bottom < one.top;
                let (lies_over, stands_beside) = (lies_over && !shares, stands_beside || shares);
                for (found, list) in [(lies_over, &mut over), (stands_beside, &mut beside)] {
                    if found {
                        list[at].push(other_at);
                        list[other_at].push(at);
                    }
                }
            }
        }
        let lids = pour.say.lids.as_deref().unwrap_or_default();
        let mut open = vec![false; mine.len()];
        for (_, wall) in by_wall(&mine) {
            let placed: Vec<&Placed> = wall.iter().filter_map(|at| mine.get(*at).copied()).collect();
            for face in pour_faces(&placed, std::iter::empty(), &sections.voids, &[], false).faces {
                let Some((at, placed)) = wall.get(face.piece as usize).zip(placed.get(face.piece as usize)) else {
                    continue;
                };
                let is_top = matches!(face.kind, FaceKind::Top { height } if height == placed.top);
                if is_top && !lids.iter().any(|lid| lid.value.0 == placed.id) {
                    open[*at] = true;
                }
            }
        }
        let (bottom, top) = (solid.bottom, solid.top);
        Layers { sections, mine, volume: solid.volume, bottom, top, patches, trip, over, beside, open }
    }

    /// The layers of this height; none if they are too many.
    pub(super) fn cut(&self, lift: Length) -> Option<(Vec<Lift>, Vec<Vec<Site>>)> {
        let high = self.top - self.bottom;
        if lift <= Length::ZERO || high.nm() / lift.nm() >= LAYERS_AT_MOST {
            return None;
        }
        let mut slices: Vec<Vec<Slice>> = Vec::new();
        let mut level = self.bottom;
        while level < self.top {
            let up_to = (level + lift).min(self.top);
            slices.push(self.slice(level, up_to));
            level = up_to;
        }
        self.settle(&mut slices, lift);
        let mut lifts = Vec::with_capacity(slices.len());
        let mut sites = Vec::with_capacity(slices.len());
        for (at, layer) in slices.iter().enumerate() {
            let places = layer.iter().enumerate().map(|(place, slice)| Place {
                volume: slice.volume,
                trip: self.trip,
                on: self.on(&slices, Spot { lift: at, place }, slice),
                pushes_up: self.pushes_up(&slices, Spot { lift: at, place }, slice),
            });
            let lowest = layer.iter().map(|slice| slice.bottom).min().unwrap_or(self.bottom);
            let highest = layer.iter().map(|slice| slice.top).max().unwrap_or(lowest);
            lifts.push(Lift { height: highest - lowest, hold: 0, places: places.collect() });
            let of = |slice: &Slice| {
                let section = self.mine.get(slice.section)?;
                Some(Site { section: section.id, bottom: slice.bottom, top: slice.top })
            };
            sites.push(layer.iter().filter_map(of).collect());
        }
        Some((lifts, sites))
    }

    /// What lies between two levels, in the order it is laid: from below, else as the pour names it.
    fn slice(&self, from: Length, to: Length) -> Vec<Slice> {
        let mut out = Vec::new();
        let mut cut: Vec<(usize, Placed)> = Vec::new();
        for (at, placed) in self.mine.iter().enumerate() {
            let (bottom, top) = (placed.bottom.max(from), placed.top.min(to));
            if bottom < top {
                let (runs, intervals) = (Vec::new(), Vec::new());
                let outlines = placed.outlines.clone();
                cut.push((at, Placed { id: placed.id, wall: placed.wall, runs, intervals, outlines, bottom, top }));
            }
        }
        let all: Vec<&Placed> = cut.iter().map(|(_, placed)| placed).collect();
        for (_, wall) in by_wall(&all) {
            let placed: Vec<&Placed> = wall.iter().filter_map(|at| all.get(*at).copied()).collect();
            let made = pour_faces(&placed, std::iter::empty(), &self.sections.voids, &[], false);
            for (at, volume) in wall.iter().zip(made.pieces) {
                if let Some((section, placed)) = cut.get(*at)
                    && volume > Volume::ZERO
                {
                    out.push(Slice { section: *section, bottom: placed.bottom, top: placed.top, volume });
                }
            }
        }
        out.sort_by_key(|slice| (slice.bottom, slice.section));
        out
    }

    /// Adds what fills broken places to the layer it lies in, and what rounding of oblique plans left to the last place.
    fn settle(&self, slices: &mut Vec<Vec<Slice>>, lift: Length) {
        slices.retain(|layer| !layer.is_empty());
        let cut: Volume = slices.iter().flatten().map(|slice| slice.volume).sum();
        let left = self.volume - cut;
        if let Some(last) = slices.last_mut().and_then(|layer| layer.last_mut())
            && last.volume + left > Volume::ZERO
        {
            last.volume += left;
        }
        for (level, volume) in self.patches {
            let at = (*level - self.bottom).nm().max(0) / lift.nm();
            let at = usize::try_from(at).unwrap_or(usize::MAX).min(slices.len().saturating_sub(1));
            if let Some(first) = slices.get_mut(at).and_then(|layer| layer.first_mut()) {
                first.volume += *volume;
            }
        }
    }

    /// What a place comes on or against.
    fn on(&self, slices: &[Vec<Slice>], spot: Spot, slice: &Slice) -> Vec<Spot> {
        let over = self.over.get(slice.section).map(Vec::as_slice).unwrap_or_default();
        let beside = self.beside.get(slice.section).map(Vec::as_slice).unwrap_or_default();
        let mut out = Vec::new();
        for (lift, layer) in slices.iter().enumerate().take(spot.lift + 1).skip(spot.lift.saturating_sub(1)) {
            for (place, other) in layer.iter().enumerate() {
                let at = Spot { lift, place };
                if at >= spot {
                    break;
                }
                let stands_on =
                    other.top == slice.bottom && (other.section == slice.section || over.contains(&other.section));
                let stands_against = other.bottom < slice.top
                    && other.top > slice.bottom
                    && (beside.contains(&other.section) || over.contains(&other.section));
                if stands_on || stands_against {
                    out.push(at);
                }
            }
        }
        out
    }

    /// The open tops a place pushes up: beside it or under it, and lower by more than a fresh top bears.
    fn pushes_up(&self, slices: &[Vec<Slice>], spot: Spot, slice: &Slice) -> Vec<Spot> {
        let over = self.over.get(slice.section).map(Vec::as_slice).unwrap_or_default();
        let beside = self.beside.get(slice.section).map(Vec::as_slice).unwrap_or_default();
        let lower = over.iter().chain(beside).filter(|other| self.open.get(**other) == Some(&true));
        let mut out = Vec::new();
        for other in lower {
            let Some(top) = self.mine.get(*other).map(|placed| placed.top) else { continue };
            if slice.top - top <= BORNE {
                continue;
            }
            let mut before = slices.iter().enumerate().take(spot.lift + 1).flat_map(|(lift, layer)| {
                layer.iter().enumerate().map(move |(place, slice)| (Spot { lift, place }, slice))
            });
            let last = before.rfind(|(at, here)| *at < spot && here.section == *other && here.top == top);
            out.extend(last.map(|(at, _)| at));
        }
        out.sort_unstable();
        out.dedup();
        out
    }
}

/// Places in the list, by the wall the section runs along.
fn by_wall(all: &[&Placed]) -> BTreeMap<BlockId, Vec<usize>> {
    let mut out: BTreeMap<BlockId, Vec<usize>> = BTreeMap::new();
    for (at, placed) in all.iter().enumerate() {
        out.entry(placed.wall).or_default().push(at);
    }
    out
}

/// Whether two sections lie over each other in plan, and whether they stand side by side at once.
fn meet(one: &Placed, other: &Placed) -> (bool, bool) {
    if one.wall != other.wall {
        return (false, false);
    }
    let near = one.outlines.iter().any(|outline| {
        let bounds = outline.bounds().grown(Length::INCH.nm() as f64);
        other.outlines.iter().any(|other| bounds.touches(&other.bounds()))
    });
    if !near {
        return (false, false);
    }
    // Both as high as an inch: only the plans matter.
    let piece = |outline: &crate::geometry::Outline, id| Piece {
        outline: outline.clone(),
        bottom: Length::ZERO,
        top: Length::INCH,
        id,
    };
    let first: Vec<Piece> = one.outlines.iter().map(|outline| piece(outline, 0)).collect();
    let both: Vec<Piece> =
        first.iter().cloned().chain(other.outlines.iter().map(|outline| piece(outline, 1))).collect();
    let over = solid::<()>(&both, &[], &[], false).overlap.iter().any(|(first, second, _)| first != second);
    let around: Vec<Old<()>> = other
        .outlines
        .iter()
        .map(|outline| Old { outline: outline.clone(), bottom: Length::ZERO, top: Length::INCH, tag: () })
        .collect();
    let beside = solid(&first, &[], &around, false).faces.iter().any(|face| face.behind.is_some());
    (over, beside && !over)
}

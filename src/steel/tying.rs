//! How often the bars of each pour are tied, the wire it takes, and what holds bars off the ground and the forms.
//!
//! Crossings are counted from where the bars lie. A chair stands under the lowest long bars of a section that rests on the
//! ground, on a slab or on old concrete; a spacer stands between a form and the long bars next to it, where they are within
//! its reach. Both are counted along the bars. All of it holds bars in place and adds nothing to strength: common practice, no source.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    bars::{BarsMade, Group, Place},
    clearance::{BarAt, Clearances},
    holding::Unheld,
    shape::Shape,
};
use crate::{
    concrete::{Class, LegAt, Placed, Sections, Solids, Standing},
    geometry::{Bounds, Point},
    job::Job,
    schema::{BlockId, HookRule, KindId, TiesAt},
    standards::ties::{OF_A_DOWEL, Twist, in_a_lap, wire_of_a_tie},
    units::{Length, Mass, System, whole_up},
};

/// What a coil of wire weighs when nothing is said: 3 lb. A trade magazine calls 3 to 4 lb usual.
pub const USUAL_COIL: Mass = Mass::from_kg(3.0 * 0.453_592_37);

/// Long bars no higher than this over the lowest, or no further back than this behind the outermost, are of one layer with it.
const LAYER: Length = Length::from_nm(10_000_000);

/// No spacer reaches further from a form to a bar: common practice, no source.
const SPACED: Length = Length::from_nm(6 * 25_400_000);

/// How far apart chairs and spacers along a long bar are when nothing is said: 3 ft, or 1 m for sizes whose hooks follow
/// EN 1992-1-1; common practice, no source.
#[must_use]
pub fn usual_supports(hooks: HookRule) -> Length {
    match hooks {
        HookRule::Aci => Length::FOOT * 3,
        HookRule::En => Length::METRE,
    }
}

/// Ties that take the same length of wire.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TieSort {
    /// The wire of one.
    pub each: Length,
    /// Crossings that are tied whatever the pattern: of bars that are tied at every crossing, of closed ties, and at the rim.
    pub always: u64,
    /// Crossings of which every second is tied.
    pub inside: u64,
    /// Ties in laps.
    pub in_laps: u64,
    /// Dowels that stand beside a bar.
    pub dowels: u64,
}

impl TieSort {
    /// How many ties.
    #[must_use]
    pub fn ties(&self) -> u64 {
        self.always + self.inside.div_ceil(2) + self.in_laps + self.dowels * OF_A_DOWEL
    }

    /// Their wire.
    #[must_use]
    pub fn wire(&self) -> Length {
        self.each * i64::try_from(self.ties()).unwrap_or(i64::MAX)
    }
}

/// Laps of one block's bars in one pour.
#[derive(Debug, Clone, PartialEq)]
pub struct LapTies {
    /// The block.
    pub bars: BlockId,
    /// How many laps.
    pub laps: u64,
    /// Ties of one.
    pub each: u64,
    /// The wire of one tie.
    pub wire: Length,
}

/// Chairs or spacers along bars of one block that are as long as each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    /// The block.
    pub bars: BlockId,
    /// How much of each bar is held.
    pub length: Length,
    /// How far apart they are.
    pub spacing: Length,
    /// How many sides of bars are held.
    pub count: u64,
}

impl Held {
    /// Spacings in the length and one more: what [`Held::each`] is rounded up from.
    #[must_use]
    pub fn exact(&self) -> f64 {
        self.length.metres() / self.spacing.metres() + 1.0
    }

    /// How many each bar has.
    #[must_use]
    pub fn each(&self) -> u64 {
        whole_up(self.exact())
    }

    /// How many in all.
    #[must_use]
    pub fn total(&self) -> u64 {
        self.each().saturating_mul(self.count)
    }
}

/// The ties and supports of one pour.
#[derive(Debug, Clone, PartialEq)]
pub struct PourTies {
    /// The pour.
    pub pour: BlockId,
    /// The ties, by the wire of one.
    pub sorts: Vec<TieSort>,
    /// The laps among them.
    pub laps: Vec<LapTies>,
    /// Chairs under the lowest long bars.
    pub chairs: Vec<Held>,
    /// Spacers between long bars and forms.
    pub spacers: Vec<Held>,
}

impl PourTies {
    /// Places where bars cross within reach of a tie.
    #[must_use]
    pub fn crossings(&self) -> u64 {
        self.sorts.iter().map(|sort| sort.always + sort.inside).sum()
    }

    /// All ties.
    #[must_use]
    pub fn ties(&self) -> u64 {
        self.sorts.iter().map(TieSort::ties).sum()
    }

    /// All wire.
    #[must_use]
    pub fn wire(&self) -> Length {
        self.sorts.iter().map(TieSort::wire).sum()
    }
}

/// The wire of a job.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TieWire {
    /// The wire.
    pub wire: BlockId,
    /// Its weight per metre.
    pub per_metre: Mass,
    /// How much of it.
    pub length: Length,
    /// What a coil weighs.
    pub coil: Mass,
    /// Nobody said what a coil weighs.
    pub usual_coil: bool,
}

impl TieWire {
    /// What so much of it weighs.
    #[must_use]
    pub fn weight(&self) -> Mass {
        self.per_metre * self.length.metres()
    }

    /// Coils, before they are rounded up.
    #[must_use]
    pub fn exact(&self) -> f64 {
        self.weight().kg() / self.coil.kg()
    }

    /// Whole coils.
    #[must_use]
    pub fn coils(&self) -> u64 {
        whole_up(self.exact())
    }
}

/// Ties, wire and supports of a job.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tying {
    /// By pour, in the order they are written; pours with nothing to tie or to hold are not among them.
    pub pours: Vec<PourTies>,
    /// The wire, if anything is tied and the wire is known.
    pub wire: Option<TieWire>,
    /// Walls with so much steel that crossings along them were not counted.
    pub uncounted: Vec<BlockId>,
    /// Bars that stand on chairs: those under the lowest row alone.
    pub(super) carried: BTreeSet<(BlockId, u32)>,
    /// Bars that no other bar which is there in time goes past within reach of a tie, and no chairs carry.
    pub unheld: Vec<Unheld>,
    /// What the blocks of bars that do not run along a wall are tied to, both in the order they are written.
    pub tied_to: Vec<(BlockId, Vec<BlockId>)>,
}

/// Counts ties, wire and supports. Bars that lie in no pour have none. What holds bars hangs on the order of work: [`super::hold`].
#[must_use]
pub fn tying(
    job: &Job,
    standing: &Standing,
    sections: &Sections,
    solids: &Solids,
    all: &[BarsMade],
    clearances: &Clearances,
) -> Tying {
    if all.is_empty() {
        return Tying::default();
    }
    let mut counter = Counter {
        job,
        standing,
        made: all.iter().map(|made| (made.id, made)).collect(),
        filled: Filled::new(job, sections, solids),
        pours: BTreeMap::new(),
        carried: BTreeSet::new(),
    };
    counter.crossings(clearances);
    counter.laps();
    counter.supports(solids);
    let pours: Vec<PourTies> =
        job.pours.iter().filter_map(|pour| counter.pours.remove(&pour.id)).map(Sums::finish).collect();
    let wire = job.tie_wire.and_then(|id| {
        let say = &job.wire(id)?.say;
        let length: Length = pours.iter().map(PourTies::wire).sum();
        (length > Length::ZERO).then(|| TieWire {
            wire: id,
            per_metre: say.weight.weight.0 / say.weight.per.0.metres(),
            length,
            coil: say.coil.map_or(USUAL_COIL, |coil| coil.0),
            usual_coil: say.coil.is_none(),
        })
    });
    Tying { pours, wire, uncounted: clearances.crowded.clone(), carried: counter.carried, ..Tying::default() }
}

/// What a pour's ties are summed in.
struct Sums {
    pour: BlockId,
    sorts: BTreeMap<Length, TieSort>,
    laps: BTreeMap<BlockId, LapTies>,
    chairs: BTreeMap<(BlockId, Length), Held>,
    spacers: BTreeMap<(BlockId, Length), Held>,
}

impl Sums {
    fn sort(&mut self, each: Length) -> &mut TieSort {
        self.sorts.entry(each).or_insert_with(|| TieSort { each, ..TieSort::default() })
    }

    fn finish(self) -> PourTies {
        PourTies {
            pour: self.pour,
            sorts: self.sorts.into_values().collect(),
            laps: self.laps.into_values().collect(),
            chairs: self.chairs.into_values().collect(),
            spacers: self.spacers.into_values().collect(),
        }
    }
}

/// The sections that are poured: where they are, and by which pour.
pub(super) struct Filled<'f> {
    of_wall: BTreeMap<BlockId, Vec<(&'f Placed, BlockId, Bounds)>>,
    /// By leg: from and to, and which section.
    of_leg: BTreeMap<LegAt, Vec<(Length, Length, &'f Placed, BlockId)>>,
}

impl<'f> Filled<'f> {
    pub(super) fn new(job: &Job, sections: &'f Sections, solids: &Solids) -> Filled<'f> {
        let mut of_wall: BTreeMap<BlockId, Vec<(&Placed, BlockId, Bounds)>> = BTreeMap::new();
        let mut of_leg: BTreeMap<LegAt, Vec<(Length, Length, &Placed, BlockId)>> = BTreeMap::new();
        for pour in &solids.pours {
            for placed in pour.sections.iter().filter_map(|(section, _)| sections.find(*section)) {
                let mut bounds = Bounds::EMPTY;
                for (from, _, _) in placed.outlines.iter().flat_map(|outline| outline.edges()) {
                    for height in [placed.bottom, placed.top] {
                        bounds.take_in([from.x, from.y, height.nm() as f64]);
                    }
                }
                of_wall.entry(placed.wall).or_default().push((placed, pour.pour, bounds));
                for interval in &placed.intervals {
                    let along = (interval.start, interval.end, placed, pour.pour);
                    of_leg.entry(interval.on).or_default().push(along);
                }
            }
        }
        // What lies just between two pours is counted with the first by name.
        for here in of_wall.values_mut() {
            here.sort_by_key(|(placed, pour, _)| (job.name(*pour), job.name(placed.id)));
        }
        Filled { of_wall, of_leg }
    }

    /// The pour a place lies in.
    pub(super) fn pour(&self, wall: BlockId, at: [f64; 3]) -> Option<BlockId> {
        let mut here = Bounds::EMPTY;
        here.take_in(at);
        let point = Point::new(at[0], at[1]);
        let mut all = self.of_wall.get(&wall)?.iter();
        let holds = |(placed, _, bounds): &&(&Placed, BlockId, Bounds)| {
            bounds.touches(&here) && placed.outlines.iter().any(|outline| outline.contains(point))
        };
        all.find(holds).map(|(_, pour, _)| *pour)
    }
}

struct Counter<'c> {
    job: &'c Job,
    standing: &'c Standing,
    made: BTreeMap<BlockId, &'c BarsMade>,
    filled: Filled<'c>,
    pours: BTreeMap<BlockId, Sums>,
    /// Bars that stand on chairs.
    carried: BTreeSet<(BlockId, u32)>,
}

/// A part of a long bar within a section.
struct Stay {
    section: BlockId,
    pour: BlockId,
    level: Length,
    offset: Length,
    bar: (BlockId, u32),
    length: Length,
}

impl<'c> Counter<'c> {
    fn sums(&mut self, pour: BlockId) -> &mut Sums {
        self.pours.entry(pour).or_insert_with(|| Sums {
            pour,
            sorts: BTreeMap::new(),
            laps: BTreeMap::new(),
            chairs: BTreeMap::new(),
            spacers: BTreeMap::new(),
        })
    }

    fn group(&self, bar: &BarAt) -> Option<(&'c BarsMade, &'c Group)> {
        let made = *self.made.get(&bar.bars)?;
        Some((made, made.groups.get(bar.group as usize)?))
    }

    fn crossings(&mut self, clearances: &Clearances) {
        let mut beside: BTreeSet<(BlockId, u64)> = BTreeSet::new();
        for (wall, crossings) in &clearances.crossings {
            for crossing in crossings {
                let [one, two] = &crossing.bars;
                let (Some(first), Some(second)) = (self.group(one), self.group(two)) else { continue };
                let dowel = [(one, first), (two, second)].into_iter().find_map(|(bar, (_, group))| {
                    matches!(group.place, Place::Holes(_)).then_some((bar.bars, bar.number))
                });
                if crossing.beside && !dowel.is_some_and(|dowel| beside.insert(dowel)) {
                    continue;
                }
                let Some(pour) = self.filled.pour(*wall, crossing.at) else { continue };
                let twist = if crossing.upright && !crossing.beside { Twist::Wrap } else { Twist::Snap };
                let each = each(twist, [first.0, second.0]);
                let always = crossing.rim || [first.1, second.1].into_iter().any(is_tie) || self.every([one, two]);
                let sort = self.sums(pour).sort(each);
                match (crossing.beside, always) {
                    (true, _) => sort.dowels += 1,
                    (false, true) => sort.always += 1,
                    (false, false) => sort.inside += 1,
                }
            }
        }
    }

    /// Whether every crossing of these bars is tied.
    fn every(&self, bars: [&BarAt; 2]) -> bool {
        let said = bars.map(|bar| self.job.bars_of(bar.bars).and_then(|bars| bars.say.ties));
        said.contains(&Some(TiesAt::Every)) || !said.contains(&Some(TiesAt::Second))
    }

    fn laps(&mut self) {
        for (id, made) in self.made.clone() {
            let Some(lap) = made.laps_by else { continue };
            let (ties, wire) = (in_a_lap(lap).value, each(Twist::Snap, [made; 2]));
            for group in made.laps.iter().filter_map(|at| made.groups.get(*at as usize)) {
                let Place::Long { level, from, .. } = group.place else { continue };
                let Some(chain) = self.standing.chain(from.0) else { continue };
                let offset = group.from.map_or(Length::ZERO, |(offset, _)| offset);
                let Some(at) = chain.run.point(from.0.leg as usize, from.1, offset) else { continue };
                let Some(pour) = self.filled.pour(chain.wall, [at.x, at.y, level.nm() as f64]) else { continue };
                let sums = self.sums(pour);
                sums.sort(wire).in_laps += ties;
                sums.laps.entry(id).or_insert(LapTies { bars: id, laps: 0, each: ties, wire }).laps += 1;
            }
        }
    }

    fn supports(&mut self, solids: &Solids) {
        let stays = self.stays();
        let on = |class: &Class| matches!(class, Class::Ground | Class::OnSlab | Class::OnOld);
        let rests = solids.pours.iter().flat_map(|pour| &pour.rests);
        let rests: BTreeSet<BlockId> = rests.filter(|(_, class)| on(class)).map(|(section, _)| *section).collect();
        let skins = solids.pours.iter().flat_map(|pour| &pour.skins).filter(|skin| skin.class == Class::Formed);
        let formed: BTreeMap<BlockId, BlockId> = skins.map(|skin| (skin.section, skin.wall)).collect();
        // The lowest and the outermost long bars of each section, and those next to its other side.
        let mut ends: BTreeMap<BlockId, (Length, Length, Length)> = BTreeMap::new();
        for stay in &stays {
            let end = ends.entry(stay.section).or_insert((stay.level, stay.offset, stay.offset));
            *end = (end.0.min(stay.level), end.1.max(stay.offset), end.2.min(stay.offset));
        }
        let mut under: BTreeMap<(BlockId, (BlockId, u32)), Length> = BTreeMap::new();
        let mut outside: BTreeMap<(BlockId, (BlockId, u32), bool), Length> = BTreeMap::new();
        for stay in &stays {
            let Some((lowest, outermost, innermost)) = ends.get(&stay.section).copied() else { continue };
            if rests.contains(&stay.section) && stay.level <= lowest + LAYER {
                *under.entry((stay.pour, stay.bar)).or_default() += stay.length;
            }
            let Some(wall) = formed.get(&stay.section) else { continue };
            let sides = self.job.section(stay.section).and_then(|section| section.say.outs(Length::min));
            let (back, front) = sides.unwrap_or((stay.offset, stay.offset));
            if stay.offset >= outermost - LAYER && front - stay.offset <= SPACED {
                *outside.entry((stay.pour, stay.bar, false)).or_default() += stay.length;
            }
            // Nothing stands behind a line: both sides have forms.
            let inner = stay.offset <= innermost + LAYER && stay.offset - back <= SPACED;
            if self.job.kind(*wall) == Some(KindId::Line) && inner {
                *outside.entry((stay.pour, stay.bar, true)).or_default() += stay.length;
            }
        }
        for ((pour, bar), length) in under {
            self.carried.insert(bar);
            self.hold(pour, bar, length, |sums| &mut sums.chairs);
        }
        for ((pour, bar, _), length) in outside {
            self.hold(pour, bar, length, |sums| &mut sums.spacers);
        }
    }

    fn hold(
        &mut self,
        pour: BlockId,
        (bars, _): (BlockId, u32),
        length: Length,
        into: impl Fn(&mut Sums) -> &mut BTreeMap<(BlockId, Length), Held>,
    ) {
        let Some(made) = self.made.get(&bars) else { return };
        let said = self.job.bars_of(bars).and_then(|bars| bars.say.supports);
        let spacing = said.map_or(usual_supports(made.steel.hooks), |said| said.0);
        let held = into(self.sums(pour)).entry((bars, length));
        held.or_insert(Held { bars, length, spacing, count: 0 }).count += 1;
    }

    /// How much of each long bar lies in which section, measured along the old face; the parts of a bar that lies in
    /// concrete all along make up its own length.
    fn stays(&self) -> Vec<Stay> {
        let mut out = Vec::new();
        for made in self.made.values() {
            for (number, group) in (0..).zip(&made.groups) {
                let (Place::Long { level, from, to, .. }, Some((offset, _))) = (&group.place, group.from) else {
                    continue;
                };
                let parts = self.standing.intervals(&[(*from, *to)]);
                let whole: Length = parts.iter().map(|part| part.end - part.start).sum();
                let first = out.len();
                for part in parts {
                    let Some(chain) = self.standing.chain(part.on) else { continue };
                    for (start, end, placed, pour) in self.filled.of_leg.get(&part.on).into_iter().flatten() {
                        let (start, end) = (part.start.max(*start), part.end.min(*end));
                        if start >= end || *level <= placed.bottom || *level >= placed.top {
                            continue;
                        }
                        let middle = chain.run.point(part.on.leg as usize, start + (end - start) / 2, offset);
                        let holds = |at: Point| placed.outlines.iter().any(|outline| outline.contains(at));
                        if middle.is_some_and(holds) {
                            let bar = (made.id, number);
                            let length = end - start;
                            out.push(Stay { section: placed.id, pour: *pour, level: *level, offset, bar, length });
                        }
                    }
                }
                // Corners make a bar longer or shorter than the face: of one that is in concrete all along, none is lost.
                let own = out.get_mut(first..).unwrap_or_default();
                let along: Length = own.iter().map(|stay: &Stay| stay.length).sum();
                if let (true, Some(longest)) = (along == whole, own.iter_mut().max_by_key(|stay| stay.length)) {
                    longest.length = (longest.length + group.shape.cut - whole).max(Length::ZERO);
                }
            }
        }
        out
    }
}

/// The wire of one tie round bars of these two blocks, by the thicker.
fn each(twist: Twist, made: [&BarsMade; 2]) -> Length {
    let [one, two] = made.map(|made| made.steel);
    let thicker = if two.diameter > one.diameter { two } else { one };
    let system = match thicker.hooks {
        HookRule::Aci => System::Feet,
        HookRule::En => System::Metric,
    };
    wire_of_a_tie(twist, thicker.diameter, system)
}

fn is_tie(group: &Group) -> bool {
    Shape::is_tie(&group.shape.hooks, group.shape.closed)
}

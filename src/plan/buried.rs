//! Which pour hides which thing.
//!
//! A pour hides the holes, bars, cuts and removed strips, cracks and spalls that lie where its sections stand, and the faces made
//! ready for them:
//!
//! - a thing written along a section by name lies in that section, one written along legs in every section whose run
//!   has a stretch in common with it, and in every section that runs along such a section;
//! - where the level or the distance from the old face of both is known, they must meet too: a row of bars above a
//!   footing is not hidden by the footing's pour;
//! - a dowel lies where its holes are;
//! - holes drilled into new concrete are not hidden by the pour that makes it.
//!
//! Runs are looked up in one sorted list per wall, so that the time follows the number of pairs that are found.

use std::{borrow::Cow, collections::BTreeMap};

use foldhash::HashMap;

use crate::{
    job::{Job, Thing},
    schema::{
        BarRows, Bars, BlockId, Crack, Cut, Direction, From, Holes, KindId, Legs, Prepare, Remove, RowLevel, Rows,
        Said, Section, Spall, Stretch, StretchPart,
    },
    units::Length,
};

/// Sections looked at for each pair that may be found, before the search is given up.
const LOOKS_PER_PAIR: usize = 16;

/// Half of what a single station counts as.
const HAIR: Length = Length::from_nm(1000);

/// The pairs of a thing and a pour that hides it.
#[derive(Debug, Default)]
pub(super) struct Buried {
    /// Sorted by thing.
    pub pairs: Vec<(BlockId, BlockId)>,
    /// Each thing with the sections it lies in or behind, sorted by thing.
    pub lies: Vec<(BlockId, BlockId)>,
    /// The thing at which there were too many; its pairs and those of later things are missing.
    pub cut: Option<BlockId>,
}

/// A station on a leg of one wall, in an order that runs through all its legs.
type Station = (u16, i64);

/// A piece of a wall's or line's face.
#[derive(Debug, Clone, Copy)]
struct Run {
    wall: BlockId,
    from: Station,
    to: Station,
}

fn run(part: StretchPart) -> Result<Run, BlockId> {
    match part {
        StretchPart::All(block) => Err(block),
        StretchPart::Legs { from, start, to, end } => Ok(Run {
            wall: from.wall,
            from: (from.leg, start.map_or(i64::MIN, Length::nm)),
            to: (to.leg, end.map_or(i64::MAX, Length::nm)),
        }),
    }
}

fn whole(wall: BlockId) -> Run {
    Run { wall, from: (0, i64::MIN), to: (u16::MAX, i64::MAX) }
}

/// The runs of sections along one wall, sorted by where they begin.
#[derive(Debug, Default)]
struct Face {
    runs: Vec<(Station, Station, usize)>,
    /// The latest end among the runs below each node of a binary tree whose leaves are `runs`.
    latest: Vec<Station>,
}

impl Face {
    fn sort(&mut self) {
        self.runs.sort_unstable();
        let leaves = self.runs.len().next_power_of_two();
        self.latest = vec![(0, i64::MIN); 2 * leaves];
        for (at, run) in self.runs.iter().enumerate() {
            self.latest[leaves + at] = run.1;
        }
        for node in (1..leaves).rev() {
            self.latest[node] = self.latest[2 * node].max(self.latest[2 * node + 1]);
        }
    }

    /// The sections with a run that has more than a point in common with this one.
    fn meet(&self, wanted: Run, found: &mut Vec<usize>) {
        let before = self.runs.partition_point(|run| run.0 < wanted.to);
        let leaves = self.latest.len() / 2;
        let mut nodes = vec![1];
        while let Some(node) = nodes.pop() {
            // The leftmost leaf below the node; where it lies past the last run that may meet, so does all the rest.
            let depth = leaves.ilog2() - usize::ilog2(node);
            let left = (node << depth) - leaves;
            if left >= before || self.latest[node] <= wanted.from {
                continue;
            }
            if node >= leaves {
                found.push(self.runs[left].2);
            } else {
                nodes.extend([2 * node + 1, 2 * node]);
            }
        }
    }
}

/// From and to.
pub(super) type Extent = (Length, Length);

/// Where a thing lies, as far as that is known; an empty list says nothing.
#[derive(Debug, Default)]
struct Lie {
    levels: Vec<Extent>,
    outs: Vec<Extent>,
    /// To touch is not to meet.
    open: bool,
}

impl Lie {
    fn meets(&self, section: &Section) -> bool {
        self.any(&self.levels, levels(section)) && section.outs(Length::max).is_none_or(|out| self.any(&self.outs, out))
    }

    fn any(&self, extents: &[Extent], other: Extent) -> bool {
        extents.is_empty()
            || extents.iter().any(|one| {
                if self.open { one.0 < other.1 && other.0 < one.1 } else { one.0 <= other.1 && other.0 <= one.1 }
            })
    }
}

/// The levels of a section.
pub(super) fn levels(section: &Section) -> Extent {
    (section.height.value.from, section.height.value.to)
}

/// Finds the pairs, at most `limit` of them.
pub(super) fn buried(job: &Job, limit: usize) -> Buried {
    let mut sites = Sites::new(job, limit);
    let mut things: Vec<(BlockId, Option<Site>)> = Vec::new();
    things.extend(job.removes.iter().map(|thing| (thing.id, Some(of_remove(job, thing)))));
    things.extend(job.cuts.iter().map(|thing| (thing.id, Some(of_cut(job, thing)))));
    things.extend(job.cracks.iter().filter_map(|thing| Some((thing.id, Some(of_crack(thing)?)))));
    things.extend(job.spalls.iter().map(|thing| (thing.id, Some(of_spall(thing)))));
    things.extend(job.prepares.iter().map(|thing| (thing.id, Some(of_prepare(thing)))));
    things.extend(job.holes.iter().map(|thing| (thing.id, Some(of_holes(job, thing)))));
    things.extend(job.bars.iter().map(|thing| (thing.id, of_bars(job, thing))));
    things.sort_by_key(|(thing, _)| *thing);
    let mut buried = Buried::default();
    for (thing, site) in things {
        let Some(site) = site else { continue };
        if !sites.over(thing, &site, &mut buried) {
            buried.cut = Some(thing);
            break;
        }
    }
    buried
}

/// Where a thing runs, how it lies there, and the new concrete it is drilled into.
struct Site<'j> {
    along: Cow<'j, Stretch>,
    lie: Lie,
    into: Option<BlockId>,
}

fn of_remove<'j>(job: &'j Job, thing: &'j Thing<Remove>) -> Site<'j> {
    Site {
        along: Cow::Borrowed(&thing.say.along),
        lie: in_slab(job, thing.say.slab.0, thing.say.out.value.0),
        into: None,
    }
}

fn of_cut<'j>(job: &'j Job, thing: &'j Thing<Cut>) -> Site<'j> {
    Site {
        along: Cow::Borrowed(&thing.say.along),
        lie: in_slab(job, thing.say.slab.0, thing.say.out.value.0),
        into: None,
    }
}

/// What lies in a slab, up to a distance out of the face.
fn in_slab(job: &Job, slab: BlockId, out: Length) -> Lie {
    let slab = job.slab(slab).map(|slab| &slab.say);
    let levels = slab.map(|slab| (down(slab.top, slab.thick.0), slab.top)).into_iter().collect();
    Lie { levels, outs: vec![(Length::ZERO, out)], open: true }
}

/// A crack in the face: along its stretch, or at each of its places.
fn of_crack<'j>(thing: &'j Thing<Crack>) -> Option<Site<'j>> {
    let say = &thing.say;
    let (from, to) = (say.height.value.from, say.height.value.to);
    let lie = Lie { levels: vec![(from, to)], outs: vec![(Length::ZERO, Length::ZERO)], open: false };
    let along = match (&say.along, &say.on) {
        (Some(along), _) => Cow::Borrowed(along),
        (None, Some(on)) => {
            let spots = on.0.iter().flat_map(|spot| spot.value.at.iter().map(move |at| (spot, at)));
            let parts = spots.map(|(spot, at)| {
                // A station alone has no length: a hair to both sides, so that it meets what runs past it.
                let (start, end) = (Some(down(at.value, HAIR)), Some(up(at.value, HAIR)));
                let leg = spot.value.leg;
                Said { value: StretchPart::Legs { from: leg, start, to: leg, end }, span: at.span }
            });
            Cow::Owned(Stretch(parts.collect()))
        }
        (None, None) => return None,
    };
    Some(Site { along, lie, into: None })
}

fn of_spall(thing: &Thing<Spall>) -> Site<'_> {
    let height = thing.say.height;
    let lie = Lie { levels: vec![(height.from, height.to)], outs: vec![(Length::ZERO, Length::ZERO)], open: false };
    Site { along: Cow::Borrowed(&thing.say.on), lie, into: None }
}

/// The faces behind sections, which are named.
fn of_prepare(thing: &Thing<Prepare>) -> Site<'_> {
    let parts = thing.say.of.iter().map(|name| Said { value: StretchPart::All(name.value.0), span: name.span });
    Site { along: Cow::Owned(Stretch(parts.collect())), lie: Lie::default(), into: None }
}

fn of_holes<'j>(job: &'j Job, thing: &'j Thing<Holes>) -> Site<'j> {
    let target = thing.say.into.value;
    let mut lie = in_rows(&thing.say.rows);
    if target.top {
        let slab = job.slab(target.block).map(|slab| slab.say.top);
        let section = job.section(target.block).map(|section| section.say.height.value.to);
        lie.levels = slab.or(section).map(|top| (top, top)).into_iter().collect();
    }
    let into = (job.kind(target.block) == Some(KindId::Section)).then_some(target.block);
    Site { along: Cow::Borrowed(&thing.say.along), lie, into }
}

fn of_bars<'j>(job: &'j Job, thing: &'j Thing<Bars>) -> Option<Site<'j>> {
    let bars = &thing.say;
    if let Some(holes) = &bars.holes {
        return job.holes_of(holes.value.0).map(|holes| of_holes(job, holes));
    }
    let mut lie = bars.rows.as_ref().map(|rows| in_bar_rows(&rows.value)).unwrap_or_default();
    if let (Some(from), Some(legs)) = (&bars.from, &bars.legs) {
        lie = of_walk(&from.value, &legs.value);
    } else if let Some(offset) = &bars.offset {
        lie.outs = vec![(offset.value, offset.value)];
    }
    Some(Site { along: Cow::Borrowed(bars.along.as_ref()?), lie, into: None })
}

fn in_rows(rows: &Rows) -> Lie {
    let points =
        |list: &Option<Vec<Said<Length>>>| list.iter().flatten().map(|said| (said.value, said.value)).collect();
    Lie { levels: points(&rows.heights), outs: points(&rows.offsets), open: false }
}

/// A row that follows the sections' tops or bottoms lies in every section it runs along.
fn in_bar_rows(rows: &BarRows) -> Lie {
    let level = |said: &Said<RowLevel>| match said.value {
        RowLevel::At(level) => Some((level, level)),
        RowLevel::Top(_) | RowLevel::Bottom(_) => None,
    };
    let levels: Option<Vec<_>> = rows.heights.iter().flatten().map(level).collect();
    Lie { levels: levels.unwrap_or_default(), ..Lie::default() }
}

/// All that the legs of a bent bar sweep, from its end on.
fn of_walk(from: &From, legs: &Legs) -> Lie {
    let (mut level, mut out) = (from.height, from.offset);
    let (mut levels, mut outs) = ((level, level), (out, out));
    for step in &legs.walk.0 {
        match step.direction {
            Direction::Up => level = up(level, step.length),
            Direction::Down => level = down(level, step.length),
            Direction::Out => out = up(out, step.length),
            Direction::In => out = down(out, step.length),
            Direction::Left | Direction::Right => {}
        }
        levels = (levels.0.min(level), levels.1.max(level));
        outs = (outs.0.min(out), outs.1.max(out));
    }
    Lie { levels: vec![levels], outs: vec![outs], open: false }
}

fn up(from: Length, by: Length) -> Length {
    Length::from_nm(from.nm().saturating_add(by.nm()))
}

fn down(from: Length, by: Length) -> Length {
    Length::from_nm(from.nm().saturating_sub(by.nm()))
}

/// The sections of a job, by place and by name.
struct Sites<'j> {
    job: &'j Job,
    number: HashMap<BlockId, usize>,
    /// The pours that fill each section.
    pours: Vec<Vec<BlockId>>,
    /// The sections that run along each section.
    beside: Vec<Vec<usize>>,
    faces: BTreeMap<BlockId, Face>,
    /// The thing that each section was last looked at for.
    seen: Vec<Option<BlockId>>,
    pairs_left: usize,
    looks_left: usize,
}

impl<'j> Sites<'j> {
    fn new(job: &'j Job, limit: usize) -> Sites<'j> {
        let number: HashMap<BlockId, usize> =
            job.sections.iter().enumerate().map(|(at, section)| (section.id, at)).collect();
        let mut sites = Sites {
            job,
            pours: pours_by_section(job, &number),
            beside: vec![Vec::new(); job.sections.len()],
            faces: BTreeMap::new(),
            seen: vec![None; job.sections.len()],
            pairs_left: limit,
            looks_left: limit.saturating_mul(LOOKS_PER_PAIR),
            number,
        };
        for (at, section) in job.sections.iter().enumerate() {
            for part in &section.say.along.0 {
                let run = match run(part.value) {
                    Ok(run) => run,
                    Err(block) => match sites.number.get(&block) {
                        Some(other) => {
                            sites.beside[*other].push(at);
                            continue;
                        }
                        None => whole(block),
                    },
                };
                sites.faces.entry(run.wall).or_default().runs.push((run.from, run.to, at));
            }
        }
        sites.faces.values_mut().for_each(Face::sort);
        sites
    }

    /// Adds the sections a thing lies in, and the pours over it; false if they are too many.
    fn over(&mut self, thing: BlockId, site: &Site, buried: &mut Buried) -> bool {
        let mut found = Vec::new();
        let mut named = Vec::new();
        for part in &site.along.0 {
            let run = match run(part.value) {
                Ok(run) => run,
                Err(block) => match self.number.get(&block) {
                    Some(section) => {
                        named.push(*section);
                        continue;
                    }
                    None => whole(block),
                },
            };
            if let Some(face) = self.faces.get(&run.wall) {
                face.meet(run, &mut found);
            }
        }
        let mut over: Vec<BlockId> = Vec::new();
        // Sections met by place lead on to those beside them; sections named mean themselves.
        while let Some(section) = found.pop() {
            if self.seen[section] != Some(thing) {
                found.extend(&self.beside[section]);
            }
            if !self.look(thing, section, site, &mut over, &mut buried.lies) {
                return false;
            }
        }
        for section in named {
            if !self.look(thing, section, site, &mut over, &mut buried.lies) {
                return false;
            }
        }
        if let Some(into) = site.into.and_then(|into| self.number.get(&into)) {
            over.retain(|pour| !self.pours[*into].contains(pour));
        }
        over.sort_unstable();
        over.dedup();
        let Some(left) = self.pairs_left.checked_sub(over.len()) else { return false };
        self.pairs_left = left;
        buried.pairs.extend(over.into_iter().map(|pour| (thing, pour)));
        true
    }

    fn look(
        &mut self,
        thing: BlockId,
        section: usize,
        site: &Site,
        over: &mut Vec<BlockId>,
        lies: &mut Vec<(BlockId, BlockId)>,
    ) -> bool {
        let Some(left) = self.looks_left.checked_sub(1) else { return false };
        self.looks_left = left;
        if self.seen[section].replace(thing) != Some(thing) && site.lie.meets(&self.job.sections[section].say) {
            over.extend(&self.pours[section]);
            lies.push((thing, self.job.sections[section].id));
        }
        true
    }
}

/// The pours that fill each section, by the section's number.
fn pours_by_section(job: &Job, number: &HashMap<BlockId, usize>) -> Vec<Vec<BlockId>> {
    let mut pours = vec![Vec::new(); job.sections.len()];
    for pour in &job.pours {
        for section in &pour.say.fill {
            if let Some(at) = number.get(&section.value.0)
                && pours[*at].last() != Some(&pour.id)
            {
                pours[*at].push(pour.id);
            }
        }
    }
    pours
}

//! The solid of each pour, with every face classed by what lies behind it ([`super::classes`]).

use std::collections::{BTreeMap, BTreeSet, hash_map::Entry};

use foldhash::HashMap;

use super::{
    classes::{Areas, Class, OnGround},
    hanging::{Grounds, Under},
    readied::{Readied, readied},
    sections::{Placed, PlacedVoid, SectionTrouble, Sections, depth, outlines},
    standing::{Interval, OldPart, Piece as Reach, Standing},
};
use crate::{
    cores,
    geometry::{Face, FaceKind, Old, Outline, Patch, Piece, Void, solid},
    job::Job,
    schema::{BlockId, KindId},
    units::{Area, Length, Volume},
};

/// From so many walls on they are shared among the cores: starting a thread takes as long as some dozen of them.
const MANY: usize = 100;

/// The solid of one pour.
#[derive(Debug, Clone)]
pub struct PourSolid {
    /// The pour.
    pub pour: BlockId,
    /// Its volume; what two of its sections share counts once.
    pub volume: Volume,
    /// The volume of each of its sections.
    pub sections: Vec<(BlockId, Volume)>,
    /// What each of its sections rests on, by section; one that rests on sections of its own pour alone is not among them.
    pub rests: Vec<(BlockId, Class)>,
    /// What of the underside of a section is to lie on soil or gravel and lies over all ground there, by section.
    pub hangs: Vec<Hang>,
    /// Its faces by class.
    pub areas: Areas,
    /// Where it meets other pours, by section.
    pub joints: Vec<Joint>,
    /// Its lowest level.
    pub bottom: Length,
    /// Its highest level.
    pub top: Length,
    /// Its surface in space; empty in a job without bars and forms, which then have nothing to lie in or stand against.
    pub skins: Vec<Skin>,
}

/// Where a section meets concrete of another pour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Joint {
    /// The section.
    pub section: BlockId,
    /// The other pour.
    pub other: BlockId,
    /// How it lies to the other.
    pub meets: Meets,
    /// How much of its surface.
    pub area: Area,
}

/// What of the underside of a section lies over neither concrete nor ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hang {
    /// The section.
    pub section: BlockId,
    /// How much of it.
    pub area: Area,
    /// The highest ground there.
    pub ground: Length,
}

/// How a section lies to the concrete of another pour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Meets {
    /// It stands on it.
    On,
    /// It lies beside it.
    Beside,
    /// It lies under it.
    Under,
}

impl PourSolid {
    /// The pours that meet it, where they and what stood there before leave none of it open; else none. What would want a form and
    /// has none is cast against the ground.
    #[must_use]
    pub fn covered_by(&self, is_formed: bool) -> Vec<BlockId> {
        use Class::{End, Formed, Riser, Soffit, Top, Void};
        let open = if is_formed { &[Top, Formed, End, Riser, Void, Soffit][..] } else { &[Top] };
        let is_open = open.iter().any(|class| self.areas.of(*class) > Area::ZERO);
        let mut others: Vec<BlockId> = self.joints.iter().map(|joint| joint.other).filter(|_| !is_open).collect();
        others.sort_unstable();
        others.dedup();
        others
    }
}

impl Joint {
    /// Whether its other side is there first: what a section of this pour stands on, or lies beside and is poured before it.
    #[must_use]
    pub fn is_cast_against(&self, pour: BlockId, turn: &BTreeMap<BlockId, usize>) -> bool {
        match self.meets {
            Meets::On => true,
            Meets::Beside => turn.get(&self.other) < turn.get(&pour),
            Meets::Under => false,
        }
    }

    fn join(joints: &mut Vec<Joint>, new: Joint) {
        let key = |joint: &Joint| (joint.section, joint.other, joint.meets);
        match joints.binary_search_by_key(&key(&new), key) {
            Ok(at) => joints[at].area += new.area,
            Err(at) => joints.insert(at, new),
        }
    }
}

impl PourSolid {
    /// Takes in what the same pour fills along another wall.
    fn join(&mut self, other: PourSolid) {
        self.volume += other.volume;
        self.sections.extend(other.sections);
        self.rests.extend(other.rests);
        self.rests.sort_unstable();
        self.rests.dedup();
        self.hangs.extend(other.hangs);
        self.areas.join(other.areas);
        other.joints.into_iter().for_each(|joint| Joint::join(&mut self.joints, joint));
        self.bottom = self.bottom.min(other.bottom);
        self.top = self.top.max(other.top);
        self.skins.extend(other.skins);
    }
}

/// A part of a pour's surface.
#[derive(Debug, Clone)]
pub struct Skin {
    /// The section it belongs to.
    pub section: BlockId,
    /// The wall or line whose plan it lies in.
    pub wall: BlockId,
    /// What it is against.
    pub class: Class,
    /// Where it is.
    pub patch: Patch,
}

/// Two sections that share concrete.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Shared {
    /// The one written first.
    pub first: BlockId,
    /// The other.
    pub second: BlockId,
    /// What they share.
    pub volume: Volume,
}

/// A strip of slab that is removed.
#[derive(Debug)]
pub struct Removed {
    /// The strip.
    pub id: BlockId,
    /// Where it runs.
    pub runs: Vec<Reach>,
    /// How far it reaches out from the old face.
    pub out: Length,
    /// Its plan area.
    pub area: Area,
    /// The thickness of the slab.
    pub thick: Length,
}

/// The solids of all pours.
#[derive(Debug, Default)]
pub struct Solids {
    /// One a pour, in the order they are written.
    pub pours: Vec<PourSolid>,
    /// Sections that share concrete.
    pub shared: Vec<Shared>,
    /// What is wrong with strips that are removed.
    pub troubles: Vec<SectionTrouble>,
    /// The strips that are removed.
    pub removed: Vec<Removed>,
    /// All concrete, each place counted once.
    pub total: Volume,
    /// The joints that are made ready.
    pub readied: Vec<Readied>,
    /// The pour that fills each section first.
    filled: HashMap<BlockId, BlockId>,
}

impl Solids {
    /// The solid of this pour. They stand in the order of the pours' numbers.
    #[must_use]
    pub fn of(&self, pour: BlockId) -> Option<&PourSolid> {
        let at = self.pours.binary_search_by_key(&pour, |solid| solid.pour).ok()?;
        self.pours.get(at)
    }

    /// The solid this section is a part of, and how much of it that is; nothing where no pour fills it.
    #[must_use]
    pub fn with(&self, section: BlockId) -> Option<(&PourSolid, Volume)> {
        let solid = self.of(*self.filled.get(&section)?)?;
        let (_, volume) = solid.sections.iter().find(|(id, _)| *id == section)?;
        Some((solid, *volume))
    }
}

/// Makes the solids of all pours. Sections no pour fills make none.
pub fn solids(job: &Job, standing: &mut Standing, sections: &Sections) -> Solids {
    let mut out = Solids::default();
    let removed = removed(job, standing, &mut out);
    in_slabs(job, standing, sections, &mut out);
    let slabs = slabs(job, standing);
    let grounds = Grounds::new(job);
    let skins = !job.bars.is_empty() || !job.forms.is_empty();
    // Which pour fills each section first.
    let mut filled: HashMap<BlockId, BlockId> = HashMap::default();
    for pour in &job.pours {
        for section in &pour.say.fill {
            filled.entry(section.value.0).or_insert(pour.id);
        }
    }
    let mut by_wall: BTreeMap<BlockId, Vec<&Placed>> = BTreeMap::new();
    for placed in &sections.placed {
        if filled.contains_key(&placed.id) {
            by_wall.entry(placed.wall).or_default().push(placed);
        }
    }
    let by_wall: Vec<(BlockId, Vec<&Placed>)> = by_wall.into_iter().collect();
    let (standing, filled_by) = (&*standing, &filled);
    let along = |(wall, all): &(BlockId, Vec<&Placed>)| {
        let old = surroundings(job, standing, *wall, &removed, &slabs);
        Along::new(job, *wall, all, (filled_by, &sections.voids), (&old, &grounds), skins)
    };
    let mut pours: HashMap<BlockId, PourSolid> = HashMap::default();
    for along in cores::each(&by_wall, by_wall.len() > MANY, along) {
        for solid in along.pours {
            match pours.entry(solid.pour) {
                Entry::Occupied(mut entry) => entry.get_mut().join(solid),
                Entry::Vacant(entry) => _ = entry.insert(solid),
            }
        }
        out.shared.extend(along.shared);
    }
    let across: Volume = out
        .shared
        .iter()
        .filter(|shared| filled.get(&shared.first) != filled.get(&shared.second))
        .map(|shared| shared.volume)
        .sum();
    out.pours = job.pours.iter().filter_map(|pour| pours.remove(&pour.id)).collect();
    out.total = out.pours.iter().map(|pour| pour.volume).sum::<Volume>() - across;
    out.shared.sort();
    out.filled = filled;
    out.readied = readied(job, &out);
    out
}

/// What is poured along one wall.
struct Along {
    pours: Vec<PourSolid>,
    shared: Vec<Shared>,
}

impl Along {
    fn new(
        job: &Job,
        wall: BlockId,
        all: &[&Placed],
        (filled, voids): (&HashMap<BlockId, BlockId>, &[PlacedVoid]),
        (old, grounds): (&[Old<OldPart>], &Grounds),
        skins: bool,
    ) -> Along {
        let mut out = Along { pours: Vec::new(), shared: Vec::new() };
        let mut found = Vec::new();
        for pour in pours_in_order(all, filled) {
            let mine: Vec<&Placed> =
                all.iter().copied().filter(|placed| filled.get(&placed.id) == Some(&pour)).collect();
            let others = all.iter().filter_map(|placed| Some((*placed, *filled.get(&placed.id)?)));
            let others = others.filter(|(_, other)| *other != pour);
            let under = Under::new(job, grounds, wall, &mine);
            let made = pour_faces(&mine, others, voids, old, skins || under.is_some());
            let ground = OnGround::new(job, &mine);
            let mut sum = PourSolid {
                pour,
                volume: made.volume,
                sections: Vec::new(),
                rests: Vec::new(),
                hangs: Vec::new(),
                areas: Areas::default(),
                joints: Vec::new(),
                bottom: Length::from_nm(i64::MAX),
                top: Length::from_nm(i64::MIN),
                skins: Vec::new(),
            };
            for (placed, volume) in mine.iter().zip(&made.pieces) {
                sum.sections.push((placed.id, *volume));
                sum.bottom = sum.bottom.min(placed.bottom);
                sum.top = sum.top.max(placed.top);
            }
            let mut plans = made.plans.into_iter().peekable();
            let mut hangs: BTreeMap<BlockId, Area> = BTreeMap::new();
            for (at, face) in (0..).zip(&made.faces) {
                let Some(placed) = mine.get(face.piece as usize) else { continue };
                let Some(section) = job.section(placed.id) else { continue };
                let class = ground.class(placed.id, face, section, &mut found);
                sum.areas.add(class, face.area);
                if let Some(OldPart::New(other)) = face.behind {
                    let meets = match face.kind {
                        FaceKind::Under { .. } => Meets::On,
                        FaceKind::Upright { .. } => Meets::Beside,
                        FaceKind::Top { .. } => Meets::Under,
                    };
                    Joint::join(&mut sum.joints, Joint { section: placed.id, other, meets, area: face.area });
                }
                let mut skin = |patch| sum.skins.push(Skin { section: placed.id, wall, class, patch });
                match face.kind {
                    FaceKind::Upright { from, to, bottom, top } if skins => {
                        skin(Patch::Upright { from, to, bottom, top });
                    }
                    FaceKind::Upright { .. } => {}
                    FaceKind::Top { height } | FaceKind::Under { height } => {
                        while let Some((_, plan)) = plans.next_if(|(face, _)| *face == at) {
                            if let Some(area) = under.and_then(|under| under.hangs(section, class, height, &plan)) {
                                *hangs.entry(placed.id).or_default() += area;
                            }
                            if skins {
                                skin(Patch::Level { plan, height });
                            }
                        }
                    }
                }
                if matches!(face.kind, FaceKind::Under { .. }) && class != Class::Void {
                    sum.rests.push((placed.id, class));
                }
            }
            sum.rests.sort_unstable();
            sum.rests.dedup();
            let over = under.map(|under| under.ground);
            sum.hangs =
                hangs.into_iter().filter_map(|(section, area)| Some(Hang { section, area, ground: over? })).collect();
            for (first, second, volume) in &made.overlap {
                if let (Some(first), Some(second)) = (mine.get(*first as usize), mine.get(*second as usize)) {
                    out.shared.push(Shared { first: first.id, second: second.id, volume: *volume });
                }
            }
            out.pours.push(sum);
        }
        shared_between_pours(all, filled, &mut out.shared);
        out
    }
}

/// The upright faces that want a form: voids are boxes within it, and do not divide it; and where another pour comes later (of two
/// pours, `later` says whether the second does), a form holds the first until it is hard.
#[must_use]
pub fn formed(
    job: &Job,
    standing: &mut Standing,
    sections: &Sections,
    solids: &Solids,
    later: &dyn Fn(BlockId, BlockId) -> bool,
) -> Vec<Skin> {
    let is_formed = |class: Class| matches!(class, Class::Formed | Class::End | Class::Riser);
    let with_void: BTreeSet<BlockId> = sections.voids.iter().map(|void| void.section).collect();
    let mut around: Option<(Vec<Prism>, Vec<Prism>)> = None;
    let mut found = Vec::new();
    let mut out = Vec::new();
    for solid in &solids.pours {
        let has_void = solid.sections.iter().any(|(id, _)| with_void.contains(id));
        if !has_void && solid.areas.of(Class::Joint) == Area::ZERO {
            out.extend(solid.skins.iter().filter(|skin| is_formed(skin.class)).cloned());
            continue;
        }
        let (removed, slabs) =
            around.get_or_insert_with(|| (removed(job, standing, &mut Solids::default()), slabs(job, standing)));
        let walls: BTreeSet<BlockId> =
            solid.sections.iter().filter_map(|(id, _)| Some(sections.find(*id)?.wall)).collect();
        for wall in walls {
            let pour = |placed: &Placed| solids.filled.get(&placed.id).copied();
            let mine: Vec<&Placed> = sections.along(wall).filter(|placed| pour(placed) == Some(solid.pour)).collect();
            let there = sections.along(wall).filter_map(|placed| Some((placed, pour(placed)?)));
            let there = there.filter(|(_, other)| *other != solid.pour && !later(solid.pour, *other));
            let (old, ground) = (surroundings(job, standing, wall, removed, slabs), OnGround::new(job, &mine));
            for face in pour_faces(&mine, there, &[], &old, false).faces {
                let Some(placed) = mine.get(face.piece as usize) else { continue };
                let Some(section) = job.section(placed.id) else { continue };
                let class = ground.class(placed.id, &face, section, &mut found);
                if let FaceKind::Upright { from, to, bottom, top } = face.kind
                    && is_formed(class)
                {
                    out.push(Skin {
                        section: section.id,
                        wall,
                        class,
                        patch: Patch::Upright { from, to, bottom, top },
                    });
                }
            }
        }
    }
    out
}

fn pours_in_order(all: &[&Placed], filled: &HashMap<BlockId, BlockId>) -> Vec<BlockId> {
    let mut pours: Vec<BlockId> = all.iter().filter_map(|placed| filled.get(&placed.id).copied()).collect();
    pours.sort_unstable();
    pours.dedup();
    pours
}

/// What one section has of concrete another pour brings too.
fn shared_between_pours(all: &[&Placed], filled: &HashMap<BlockId, BlockId>, shared: &mut Vec<Shared>) {
    if pours_in_order(all, filled).len() < 2 {
        return;
    }
    let (pieces, owners) = pieces(all);
    let together = solid::<OldPart>(&pieces, &[], &[], false);
    for (first, second, volume) in together.overlap {
        let owner = |piece: u32| owners.get(piece as usize).and_then(|at| all.get(*at)).map(|placed| placed.id);
        if let (Some(first), Some(second)) = (owner(first), owner(second))
            && filled.get(&first) != filled.get(&second)
        {
            shared.push(Shared { first: first.min(second), second: first.max(second), volume });
        }
    }
}

/// Pieces of sections, and which section each belongs to. The piece's id is its own number.
fn pieces(placed: &[&Placed]) -> (Vec<Piece>, Vec<usize>) {
    let mut pieces = Vec::with_capacity(placed.len());
    let mut owners = Vec::with_capacity(placed.len());
    for (at, section) in placed.iter().enumerate() {
        for outline in &section.outlines {
            let id = u32::try_from(pieces.len()).unwrap_or(u32::MAX);
            pieces.push(Piece { outline: outline.clone(), bottom: section.bottom, top: section.top, id });
            owners.push(at);
        }
    }
    (pieces, owners)
}

/// A pour's part along one wall: its volume by section, its faces (a face's `piece` is the section's place in `mine`),
/// and which of its sections share concrete.
#[derive(Debug)]
pub struct Made {
    /// All of it.
    pub volume: Volume,
    /// Section by section.
    pub pieces: Vec<Volume>,
    /// The faces.
    pub faces: Vec<Face<OldPart>>,
    /// The plans of the level ones, by their places in `faces`, if they were asked for.
    pub plans: Vec<(u32, Outline)>,
    /// Places in `mine` of two sections, and what they share.
    pub overlap: Vec<(u32, u32, Volume)>,
}

/// Makes the part of a pour along one wall, less these voids; of `others`, each with its pour.
pub fn pour_faces<'p>(
    mine: &[&'p Placed],
    others: impl Iterator<Item = (&'p Placed, BlockId)>,
    voids: &[PlacedVoid],
    old: &[Old<OldPart>],
    plans: bool,
) -> Made {
    let (pieces, owners) = pieces(mine);
    let mine_of = |void: &&PlacedVoid| mine.iter().any(|placed| placed.id == void.section);
    let voids: Vec<Void> = voids
        .iter()
        .filter(mine_of)
        .flat_map(|void| {
            let (bottom, top) = (void.bottom, void.top);
            void.outlines.iter().map(move |outline| Void { outline: outline.clone(), bottom, top })
        })
        .collect();
    // What is new stands before all else: where a strip of slab was broken out it fills the room.
    let new = others.flat_map(|(placed, pour)| {
        placed.outlines.iter().map(move |outline| Old {
            outline: outline.clone(),
            bottom: placed.bottom,
            top: placed.top,
            tag: OldPart::New(pour),
        })
    });
    let around: Vec<Old<OldPart>> = new.chain(old.iter().cloned()).collect();
    let made = solid(&pieces, &voids, &around, plans);
    let owner = |piece: u32| owners.get(piece as usize).map_or(0, |at| u32::try_from(*at).unwrap_or(u32::MAX));
    let mut volumes = vec![Volume::ZERO; mine.len()];
    for (piece, volume) in made.pieces.iter().enumerate() {
        if let Some(sum) = owners.get(piece).and_then(|at| volumes.get_mut(*at)) {
            *sum += *volume;
        }
    }
    let faces = made.faces.into_iter().map(|face| Face { piece: owner(face.piece), ..face }).collect();
    let overlap = made
        .overlap
        .into_iter()
        .map(|(first, second, volume)| (owner(first), owner(second), volume))
        .filter(|(first, second, _)| first != second)
        .collect();
    Made { volume: made.volume, pieces: volumes, faces, plans: made.plans, overlap }
}

type Prism = (BlockId, Outline, Length, Length);

/// Strips of slabs that are removed: wall, outline, bottom, top.
fn removed(job: &Job, standing: &mut Standing, out: &mut Solids) -> Vec<Prism> {
    let mut all = Vec::new();
    for remove in &job.removes {
        let Some(slab) = job.slab(remove.say.slab.0) else { continue };
        let runs = standing.resolve(job, &remove.say.along);
        let at = remove.said(KindId::Remove, "along");
        let by = remove.say.out.value.0;
        let Some(outlines) = outlines(&runs, at, standing, &|_| Length::ZERO, &|_| by, &mut out.troubles) else {
            continue;
        };
        let meets = standing.resolve(job, &slab.say.against);
        let meets = standing.intervals(&meets);
        for strip in standing.intervals(&runs) {
            if !covered(strip, &meets) {
                let leg = standing.leg_name(strip.on).to_owned();
                out.troubles.push(SectionTrouble::StripElsewhere { at, leg, slab: slab.id });
            }
        }
        let (top, thick) = (slab.say.top, slab.say.thick.0);
        let mut area = Area::ZERO;
        for (outline, ((leg, _), _)) in outlines.into_iter().zip(&runs) {
            let Some(chain) = standing.chain(*leg) else { continue };
            area += outline.area();
            all.push((chain.wall, outline, top - thick, top));
        }
        out.removed.push(Removed { id: remove.id, runs, out: by, area, thick });
    }
    all
}

/// Sections that stand where a slab lies, or under it, and no strip of it is broken out as far as they reach.
fn in_slabs(job: &Job, standing: &mut Standing, sections: &Sections, out: &mut Solids) {
    for slab in &job.slabs {
        let top = slab.say.top;
        let bottom = top - slab.say.thick.0;
        let meets = standing.resolve(job, &slab.say.against);
        let meets = standing.intervals(&meets);
        let strips = job.removes.iter().filter(|strip| strip.say.slab.0 == slab.id).filter_map(|strip| {
            let removed = out.removed.iter().find(|removed| removed.id == strip.id)?;
            Some((strip.id, removed.out, standing.intervals(&removed.runs)))
        });
        let strips: Vec<(BlockId, Length, Vec<Interval>)> = strips.collect();
        let walls: BTreeSet<BlockId> =
            meets.iter().filter_map(|part| standing.chain(part.on)).map(|chain| chain.wall).collect();
        let along = walls.iter().flat_map(|wall| sections.along(*wall));
        for placed in along.filter(|placed| placed.bottom < top) {
            let Some(section) = job.section(placed.id) else { continue };
            let stands = |part: &Interval| -> Option<(Length, Option<BlockId>)> {
                let (_, outer) = depth(section, standing, part.on);
                let within = meets.iter().filter_map(|other| other.shared(part)).collect::<Vec<_>>();
                let wide: Vec<Interval> = strips
                    .iter()
                    .filter(|(_, out, _)| *out >= outer)
                    .flat_map(|(.., runs)| runs.iter().copied())
                    .collect();
                let left = within.into_iter().find(|part| !covered(*part, &wide))?;
                let narrow = strips.iter().find(|(.., runs)| runs.iter().any(|run| run.shared(&left).is_some()));
                Some((outer, narrow.map(|(strip, ..)| *strip)))
            };
            if let Some((reach, strip)) = placed.intervals.iter().find_map(stands) {
                let (section, slab) = (placed.id, slab.id);
                let under = placed.top <= bottom;
                out.troubles.push(SectionTrouble::InSlab { section, slab, under, out: reach, strip });
            }
        }
    }
}

/// Whether a stretch lies within others, which may overlap.
fn covered(stretch: Interval, by: &[Interval]) -> bool {
    let mut by: Vec<&Interval> = by.iter().filter(|other| other.on == stretch.on).collect();
    by.sort_unstable();
    let reached = by.iter().fold(stretch.start, |reached, other| match other.start <= reached {
        true => reached.max(other.end),
        false => reached,
    });
    reached >= stretch.end
}

/// The slabs: wall, outline, bottom, top.
fn slabs(job: &Job, standing: &mut Standing) -> Vec<Prism> {
    let mut all = Vec::new();
    for slab in &job.slabs {
        let runs = standing.resolve(job, &slab.say.against);
        let intervals = standing.intervals(&runs);
        let (top, thick) = (slab.say.top, slab.say.thick.0);
        for (outline, interval) in standing.slab_outlines(&intervals).into_iter().zip(&intervals) {
            let Some(chain) = standing.chain(interval.on) else { continue };
            all.push((chain.wall, outline, top - thick, top));
        }
    }
    all
}

/// Everything that stands around the new concrete of one wall, what is taken away first.
fn surroundings(
    job: &Job,
    standing: &Standing,
    wall: BlockId,
    removed: &[Prism],
    slabs: &[Prism],
) -> Vec<Old<OldPart>> {
    let taken: Vec<(Outline, Length, Length)> = removed
        .iter()
        .filter(|(of, ..)| *of == wall)
        .map(|(_, outline, bottom, top)| (outline.clone(), *bottom, *top))
        .collect();
    let mut old = standing.old(job, wall, &taken);
    old.extend(slabs.iter().filter(|(of, ..)| *of == wall).map(|(_, outline, bottom, top)| Old {
        outline: outline.clone(),
        bottom: *bottom,
        top: *top,
        tag: OldPart::Slab,
    }));
    old
}

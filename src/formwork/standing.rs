//! What a form and its braces stand on: how far braces rise from there, and what is not there to be fixed to, or to drive a stake into.

use super::{
    Around, Foot, Hold, Panel, Profile, STAKE_THICK, Use,
    design::{FaceSide, Unheld, brace_height},
    lumber::up,
    profile::{angle, steep},
};
use crate::{
    concrete::{Placed, depth},
    geometry::Point,
    job::{Job, Thing},
    schema::{BlockId, Forms, Slab, StandsOn},
    units::{Length, Ratio},
};

/// A stake goes into the ground at least so far, and holds nothing higher over it than that; common practice, no source. Concrete
/// deeper than that is not in its way.
const DEEP: Length = Length::from_nm(12 * Length::INCH.nm());

/// Wedges bridge so much between a kicker and what it stands against; common practice, no source.
const WEDGED: Length = Length::from_nm(3 * Length::INCH.nm() / 2);

/// What something stands on.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Floor {
    /// Its level at the face of the form.
    level: Length,
    /// How much it falls for each length away from there.
    falls: f64,
    /// What it is.
    is: Is,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Is {
    /// New concrete of a pour that is hard by then, or a slab.
    Hard(BlockId),
    /// Concrete of the same pour.
    Fresh,
    /// Earth: nothing is fixed to it.
    Ground,
}

/// Something that wants its place before a form: at each level, how far out of the concrete new concrete there must reach to carry
/// it, and how near to the concrete a slab must begin.
struct Wants<'w> {
    concrete: &'w dyn Fn(Length) -> Length,
    slab: &'w dyn Fn(Length) -> Length,
}

/// A face of a section with what lies before it.
struct Before<'w> {
    job: &'w Job,
    around: Around<'w>,
    panel: &'w Panel,
    placed: &'w Placed,
    /// It stands at the outer face of its section.
    outer: bool,
}

/// How far a brace rises that meets a panel so high above its foot: from new concrete that reaches far enough past the panel, else
/// from the slab there where it is not broken out, else from the ground; where none of it is said, or lies below, from as low as the
/// form stands.
pub(super) fn rise(job: &Job, around: Around, forms: &Forms, panel: &Panel, height: Length) -> Length {
    let meets = panel.bottom + height;
    let floor = Before::new(job, around, panel).and_then(|before| before.under_braces(forms, meets));
    let Some(floor) = floor.filter(|floor| floor.level < meets) else { return height };
    // Where the ground falls away the brace goes down to it.
    Length::round_nm((meets - floor.level).nm() as f64 / (1.0 - floor.falls / steep(angle(forms))).max(0.05))
}

/// The level of the foot of a panel's braces, and how far they reach out of the form; none without braces.
pub(super) fn reach(forms: &Forms, panel: &Panel) -> Option<(Length, Length)> {
    let (meets, rises) = panel.braced?;
    Some((meets - rises, Length::round_nm(rises.nm() as f64 / steep(angle(forms)))))
}

/// The feet of the long faces of a form whose boards are so deep.
pub(super) fn feet(job: &Job, around: Around, forms: &Forms, panels: &[Panel], deep: Length) -> Vec<Foot> {
    let profile = Profile::of(job, forms);
    let stake = |on: StandsOn| if on == StandsOn::Stakes { STAKE_THICK } else { Length::ZERO };
    let kicker = forms.kick.as_ref().map_or(Length::ZERO, |kick| profile.kicker + stake(kick.value.on));
    let behind = forms.brace.as_ref().map_or(Length::ZERO, |brace| stake(brace.value.on));
    let faces = panels.iter().filter(|panel| panel.closes == Use::Face && !panel.is_end);
    let foot = |panel: &Panel| Foot {
        section: panel.section,
        outer: outer(job, around, panel),
        level: panel.bottom,
        out: deep.max(kicker),
        braced: panel
            .braced
            .map(|(meets, rises)| (meets - rises, up(profile.foot(forms, rises).1 + behind, job.system()))),
    };
    faces.map(foot).collect()
}

/// What is fixed to a floor that is not there, or driven into one that is: what the file says of ground and slabs decides, and where
/// it says nothing, or a strip of a slab is broken out, a floor is believed.
pub(super) fn unfixed(job: &Job, around: Around, forms: &Forms, panel: &Panel) -> Vec<Unheld> {
    let mut out = Vec::new();
    let Some(before) = Before::new(job, around, panel) else { return out };
    let profile = Profile::of(job, forms);
    let meets = panel.bottom + brace_height(forms, panel, job.system());
    if let Some(kick) = &forms.kick {
        match kick.value.on {
            StandsOn::Floor if !before.on_old_footing() => out.extend(before.kicker(forms, &profile)),
            StandsOn::Stakes => {
                let (near, far) = (profile.kicker, profile.kicker + STAKE_THICK);
                let floor = before.floor(&Wants { concrete: &|_| near, slab: &|_| far });
                out.extend(floor.and_then(|floor| before.over(forms, floor)));
                let near = floor.filter(|floor| floor.level <= panel.bottom && panel.bottom - floor.level < DEEP);
                out.extend(near.and_then(|floor| staked(floor, Hold::Kick)));
            }
            StandsOn::Bank if !before.on_old_footing() && !before.is_beside_slab(forms) => {
                let floor = before.floor(&Wants { concrete: &|_| profile.kicker, slab: &|_| profile.kicker });
                out.extend(floor.and_then(|floor| before.over(forms, floor)));
            }
            StandsOn::Floor | StandsOn::Bank => {}
        }
    }
    if let Some(brace) = &forms.brace {
        match brace.value.on {
            StandsOn::Floor if !before.on_old_footing() => {
                if before.under_braces(forms, meets).is_some_and(|floor| floor.is == Is::Ground) {
                    out.extend(before.on_ground(Hold::Brace, |level| profile.foot(forms, meets - level).1));
                }
            }
            StandsOn::Stakes => {
                let behind = |level: Length| profile.foot(forms, meets - level).1;
                let wants = Wants { concrete: &behind, slab: &|level| behind(level) + STAKE_THICK };
                out.extend(before.floor(&wants).and_then(|floor| staked(floor, Hold::Brace)));
            }
            StandsOn::Floor | StandsOn::Bank => {}
        }
    }
    out
}

fn staked(floor: Floor, hold: Hold) -> Option<Unheld> {
    match floor.is {
        Is::Hard(thing) => Some(Unheld::Staked(hold, thing, FaceSide::Each)),
        Is::Fresh | Is::Ground => None,
    }
}

/// How far the kicker of a panel lies from the edge of a slab it stands against (`on bank`), with the slab, and how far out the edge
/// would lie against the kicker: nothing where another bank may be there.
pub(super) fn bank(job: &Job, around: Around, forms: &Forms, panel: &Panel) -> Option<(BlockId, Length, Length)> {
    let kick = forms.kick.as_ref().filter(|kick| kick.value.on == StandsOn::Bank)?;
    let wide = job.lumber_of(kick.value.size.0)?.say.size.as_ref()?.wide.0;
    let before = Before::new(job, around, panel).filter(|before| before.outer)?;
    let face = before.face() + Profile::of(job, forms).kicker;
    let mut slabs = job.slabs.iter().filter(|slab| lies_beside(slab, panel, wide) && before.meets(slab));
    let (slab, end) = slabs.find_map(|slab| Some((slab.id, before.broken_out(slab)?)))?;
    (end > face).then_some((slab, end - face, face))
}

/// Whether a slab lies at the level of a kicker so wide: one deeper or higher has other edges beside it.
fn lies_beside(slab: &Thing<Slab>, panel: &Panel, wide: Length) -> bool {
    slab.say.top > panel.bottom && slab.say.top - slab.say.thick.0 < panel.bottom + wide
}

/// Whether wedges bridge what lies between a kicker and its bank.
pub(super) fn is_wedged(gap: Length) -> bool {
    gap <= WEDGED
}

impl<'w> Before<'w> {
    fn new(job: &'w Job, around: Around<'w>, panel: &'w Panel) -> Option<Before<'w>> {
        let placed = around.sections.find(panel.section)?;
        Some(Before { job, around, panel, placed, outer: is_outer(job, around, placed, panel) })
    }

    /// How far out of the old face or the line the face of the concrete lies.
    fn face(&self) -> Length {
        let face = self.placed.intervals.first().zip(self.job.section(self.placed.id));
        let face = face.map(|(interval, section)| depth(section, self.around.standing, interval.on));
        face.map_or(Length::ZERO, |(inner, outer)| if self.outer { outer } else { inner })
    }

    /// What carries the feet of braces that meet the panel at a level.
    fn under_braces(&self, forms: &Forms, meets: Length) -> Option<Floor> {
        let profile = Profile::of(self.job, forms);
        let foot = |level: Length| profile.foot(forms, meets - level);
        self.floor(&Wants { concrete: &|level| foot(level).1, slab: &|level| foot(level).0 })
    }

    /// Why a kicker is not fixed to a floor.
    fn kicker(&self, forms: &Forms, profile: &Profile) -> Option<Unheld> {
        let floor = self.floor(&Wants { concrete: &|_| profile.kicker, slab: &|_| profile.kicker })?;
        if floor.is == Is::Ground {
            return self.on_ground(Hold::Kick, |_| profile.kicker);
        }
        self.over(forms, floor)
    }

    /// A kicker too high over what lies before it for what it is fixed to: a floor or a bank reaches up to it, a stake stands out no
    /// farther than it goes in. What is poured with it is another question.
    fn over(&self, forms: &Forms, floor: Floor) -> Option<Unheld> {
        let kick = forms.kick.as_ref()?;
        let wide = self.job.lumber_of(kick.value.size.0)?.say.size.as_ref()?.wide.0;
        let (on, bottom) = (kick.value.on, self.panel.bottom);
        let reaches = match on {
            StandsOn::Stakes => (DEEP - wide).max(wide),
            StandsOn::Floor | StandsOn::Bank => wide,
        };
        let is_over = bottom - floor.level > reaches && (on == StandsOn::Floor || floor.is != Is::Fresh);
        is_over.then_some(Unheld::OverFloor(on, bottom, floor.level))
    }

    /// Whether a slab lies there with an edge to stand a kicker against.
    fn is_beside_slab(&self, forms: &Forms) -> bool {
        let size = forms.kick.as_ref().and_then(|kick| self.job.lumber_of(kick.value.size.0)?.say.size.as_ref());
        let wide = size.map_or(Length::ZERO, |size| size.wide.0);
        self.job.slabs.iter().any(|slab| lies_beside(slab, self.panel, wide) && self.meets(slab))
    }

    /// Whether a footing under the old wall stands out past the concrete before it.
    fn on_old_footing(&self) -> bool {
        let face = self.placed.intervals.first().zip(self.job.section(self.placed.id));
        let standing = self.around.standing;
        let face = face.map_or(Length::ZERO, |(interval, section)| depth(section, standing, interval.on).1);
        let is_above = self.placed.intervals.first().and_then(|interval| standing.heights(interval.on));
        if !self.outer && is_above.is_some_and(|(_, top)| top <= self.panel.bottom) {
            return false;
        }
        let mut footings = self.job.footings.iter();
        footings.any(|footing| footing.say.under.0 == self.placed.wall && footing.say.out.0 > face)
    }

    /// How far past the panel a section reaches.
    fn past(&self, other: &Placed) -> Option<Length> {
        let (own, its) = (self.job.section(self.placed.id)?, self.job.section(other.id)?);
        let on = self.placed.intervals.first()?.on;
        let (own, its) = (depth(own, self.around.standing, on), depth(its, self.around.standing, on));
        Some(if self.outer { its.1 - own.1 } else { own.0 - its.0 })
    }

    /// New concrete below the panel that is there when its form is built, or comes with the panel's own pour.
    fn below(&self) -> impl Iterator<Item = (&'w Placed, Is)> {
        let around = self.around;
        let shares = |other: &&Placed| {
            let own = &self.placed.intervals;
            other.intervals.iter().any(|one| own.iter().any(|other| one.shared(other).is_some()))
        };
        let lower = around.sections.along(self.placed.wall).filter(|other| other.top <= self.panel.bottom);
        lower.filter(shares).filter_map(|other| {
            let pour = around.solids.with(other.id).map(|(solid, _)| solid.pour);
            match pour {
                Some(pour) if pour == self.panel.pour => Some((other, Is::Fresh)),
                Some(pour) if around.turn.get(&pour) > around.turn.get(&self.panel.pour) => None,
                _ => Some((other, Is::Hard(other.id))),
            }
        })
    }

    /// Why what reaches so far at a level is not fixed to a floor where only ground lies so far out: concrete below reaches past the
    /// panel, and not as far, or there is none. Where an old wall stands past that concrete, and nearer, it is no ground that is there.
    fn on_ground(&self, hold: Hold, reach: impl Fn(Length) -> Length) -> Option<Unheld> {
        let short = self.below().filter_map(|(other, is)| {
            let (past, wanted) = (self.past(other)?, reach(other.top));
            let is_short = Length::ZERO < past && past < wanted && is != Is::Fresh;
            is_short.then_some((other, past, wanted))
        });
        match short.max_by_key(|(other, ..)| other.top) {
            Some((_, _, wanted)) if self.room().is_some_and(|room| room < wanted) => None,
            Some((other, past, wanted)) => Some(Unheld::PastEdge(hold, other.id, wanted, past)),
            None => Some(Unheld::NoFloor(hold, FaceSide::Each)),
        }
    }

    /// How far behind the panel the old wall stands, where it does.
    fn room(&self) -> Option<Length> {
        let on = self.placed.intervals.first()?.on;
        let (bottom, top) = self.around.standing.heights(on).filter(|_| !self.outer)?;
        (bottom < self.panel.top && self.panel.bottom < top).then(|| self.face())
    }

    /// Whether a slab meets the old face where the panel's section runs.
    fn meets(&self, slab: &Thing<Slab>) -> bool {
        let mut legs = self.placed.intervals.iter().filter_map(|interval| self.around.standing.leg_ref(interval.on));
        legs.any(|leg| slab.say.against.0.iter().any(|part| part.value.names(leg)))
    }

    /// How far out of the old face the slab is broken out there.
    fn broken_out(&self, slab: &Thing<Slab>) -> Option<Length> {
        let legs = || self.placed.intervals.iter().filter_map(|interval| self.around.standing.leg_ref(interval.on));
        let strips = self.job.removes.iter().filter(|strip| strip.say.slab.0 == slab.id);
        let here = strips.filter(|strip| legs().any(|leg| strip.say.along.0.iter().any(|part| part.value.names(leg))));
        here.map(|strip| strip.say.out.value.0).max()
    }

    /// The ground outside, which falls from the panel on.
    fn outside(&self) -> Option<Floor> {
        let grounds = self.job.grounds.iter();
        let outside = grounds.filter_map(|ground| ground.say.outside.as_ref()).max_by_key(|outside| outside.level);
        let falls = |falls: Option<Ratio>| falls.map_or(0.0, |falls| falls.fraction());
        outside.map(|said| Floor { level: said.level, falls: falls(said.falls), is: Is::Ground })
    }

    /// What lies there of an old wall no higher than the panel's foot, for what reaches back over it: its top, or the ground behind.
    /// Within, nothing where it does not reach so far back.
    fn behind(&self, wants: &Wants) -> Option<Option<Floor>> {
        let wall = self.placed.wall;
        let on = self.placed.intervals.first()?.on;
        let standing = self.around.standing;
        let (_, top) = standing.heights(on).filter(|(_, top)| !self.outer && *top <= self.panel.bottom)?;
        let thick = standing.thickness(on)?;
        let off = self.face() - (wants.slab)(top);
        if off >= Length::ZERO {
            return None;
        }
        if off >= -thick {
            return Some(Some(Floor { level: top, falls: 0.0, is: Is::Hard(wall) }));
        }
        // What is said is the level at the wall's far face; told is the one at the panel's.
        let ground = self.outside().map(|ground| {
            let over = (self.face() + thick).nm() as f64 * ground.falls;
            Floor { level: ground.level + Length::round_nm(over), ..ground }
        });
        Some(ground)
    }

    fn floor(&self, wants: &Wants) -> Option<Floor> {
        let (job, standing) = (self.job, self.around.standing);
        let level = |level: Length, is: Is| Floor { level, falls: 0.0, is };
        // What fills the gap up to an old wall carries all that stands in it.
        let wanted = |level: Length| {
            let wants = (wants.concrete)(level);
            self.room().map_or(wants, |room| room.min(wants))
        };
        let reaches = |other: &Placed| self.past(other).is_some_and(|past| past >= wanted(other.top));
        let upon = self.below().filter(|(other, _)| reaches(other)).max_by_key(|(other, _)| other.top);
        if let Some((other, is)) = upon {
            return Some(level(other.top, is));
        }
        if let Some(floor) = self.behind(wants) {
            return floor;
        }
        let is_line = job.wall(self.placed.wall).is_none();
        // How far out of the old face or the line its place lies.
        let off = |slab: &Thing<Slab>| {
            let wants = (wants.slab)(slab.say.top);
            if self.outer { self.face() + wants } else { self.face() - wants }
        };
        // A slab meets a line from the side sections stand out to: behind it there is none.
        let lies = |slab: &&Thing<Slab>| self.meets(slab) && (self.outer || !is_line || off(slab) >= Length::ZERO);
        let whole = |slab: &&Thing<Slab>| self.broken_out(slab).is_none_or(|end| off(slab) >= end);
        let slab = job.slabs.iter().filter(lies).filter(whole).max_by_key(|slab| slab.say.top);
        // In a strip that is broken out they stand as low as the form.
        if slab.is_none() && job.slabs.iter().any(|slab| lies(&slab)) {
            return None;
        }
        // Before an old wall one stands inside; before a line, on the side of the panel.
        let on = self.placed.intervals.first().map(|interval| interval.on);
        let is_outside = is_line && on.is_some_and(|on| self.outer == standing.goes_round(on));
        let ground = if is_outside {
            self.outside()
        } else {
            let inside = job.grounds.iter().filter_map(|ground| ground.say.inside).max();
            inside.map(|inside| level(inside, Is::Ground))
        };
        slab.map(|slab| level(slab.say.top, Is::Hard(slab.id))).or(ground)
    }
}

/// Whether a panel stands at the outer face of its section.
pub(super) fn outer(job: &Job, around: Around, panel: &Panel) -> bool {
    around.sections.find(panel.section).is_none_or(|placed| is_outer(job, around, placed, panel))
}

fn is_outer(job: &Job, around: Around, placed: &Placed, panel: &Panel) -> bool {
    let Some(section) = job.section(placed.id) else { return true };
    let [from, to] = panel.ends();
    let middle = Point::new(f64::midpoint(from.x, to.x), f64::midpoint(from.y, to.y));
    let far = placed.intervals.iter().filter_map(|interval| {
        let frame = around.standing.chain(interval.on)?.run.frame(usize::from(interval.on.leg))?;
        let (inner, outer) = depth(section, around.standing, interval.on);
        let (_, offset) = frame.local(middle);
        let off = |face: Length| (offset - face.nm() as f64).abs();
        Some((off(inner).min(off(outer)), off(outer) <= off(inner)))
    });
    far.min_by(|one, other| one.0.total_cmp(&other.0)).is_none_or(|(_, is_outer)| is_outer)
}

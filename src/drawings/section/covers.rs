//! The cover over the steel where it is cut: from the surface of a bar that is seen to the face beside it.

use super::{BarCut, Cut, nm};
use crate::{
    concrete::Class,
    drawings::{canvas::Canvas, dimension::between, scene::Spot, sheet::Model},
    schema::BlockId,
    steel::Cover,
    units::{Length, show},
};

/// What lies this near to each other lies in one plane across the wall, in nanometres.
const NEAR: f64 = 1_000_000.0;

/// A cover as it is drawn: from the middle of a bar to a face, as offsets and levels.
#[derive(Clone, Copy)]
struct Drawn {
    bars: BlockId,
    clear: Length,
    at: (f64, f64),
    to: (f64, f64),
}

impl Cut<'_, '_, '_> {
    /// The covers of the bars that are seen, from bar to face: of each class of faces the least there is where it is cut.
    pub(super) fn draw_covers(&self, canvas: &mut Canvas, model: &Model, bars: &[BarCut], notes: &mut Vec<String>) {
        let of = self.of;
        let mut covers: Vec<(Class, Drawn)> = of
            .works
            .clearances
            .covers
            .iter()
            .filter(|cover| {
                let cut = self.cut.sections().any(|section| section.id == cover.section);
                let in_plane =
                    !matches!(cover.class, Class::Old | Class::End | Class::Joint | Class::Void | Class::Riser);
                cut && in_plane && cover.at.on == self.cut.seen.on
            })
            .filter_map(|cover| Some((cover.class, self.in_plane(cover, bars).or_else(|| self.here(cover, bars))?)))
            .collect();
        covers.sort_by_key(|(class, drawn)| (drawn.clear, *class));
        let mut said: Vec<Class> = Vec::new();
        let mut left_over: Vec<String> = Vec::new();
        for (class, drawn) in covers {
            // Of each face the least.
            if said.contains(&class) {
                continue;
            }
            said.push(class);
            let shown = show::place(drawn.clear, of.system).to_string();
            let words = format!("{shown} of {} to {}", of.name(drawn.bars), face(class));
            let (bar, at_face) = (model.at(drawn.at.0, drawn.at.1), model.at(drawn.to.0, drawn.to.1));
            let length = bar.distance(at_face);
            let clear = model.length(drawn.clear);
            if length <= 0.0 || clear <= 0.0 {
                left_over.push(words);
                continue;
            }
            // From the surface of the bar to the face.
            let way = ((bar.x - at_face.x) / length, (bar.y - at_face.y) / length);
            let surface: Spot = at_face.moved(way, clear, 0.0);
            let data = vec![("cover", drawn.clear.nm().to_string())];
            if !between(canvas, (at_face, surface), 0.0, &shown, data) {
                left_over.push(words);
            } else {
                canvas.avoid(&[at_face, surface]);
            }
        }
        if !left_over.is_empty() {
            notes.push(format!("Least cover, for want of room there: {}.", left_over.join("; ")));
        }
    }

    /// The least cover of a block, where it is measured straight across the wall from a bar that is seen at its place.
    fn in_plane(&self, cover: &Cover, bars: &[BarCut]) -> Option<Drawn> {
        let at = (nm(cover.at.offset), nm(cover.at.height));
        let across = (nm(cover.at.station) - nm(cover.to.station)).abs() < NEAR;
        let is_there = |cut: &&BarCut| {
            // Its ends are drawn back by half its thickness.
            let near = nm(cut.bar.made.steel.diameter);
            let mut pieces = cut.across.iter().flat_map(|chain| chain.windows(2));
            let is_beside = |pair: &[[f64; 3]]| match pair {
                [a, b] => beside((a[1], a[2]), (b[1], b[2]), at) < near,
                _ => false,
            };
            cut.through.iter().any(|through| far(*through, at) < NEAR) || pieces.any(is_beside)
        };
        bars.iter().filter(|cut| cut.bar.made.id == cover.bar.bars).find(is_there).filter(|_| across)?;
        let to = (nm(cover.to.offset), nm(cover.to.height));
        Some(Drawn { bars: cover.bar.bars, clear: cover.clear, at, to })
    }

    /// Where the least is somewhere else along the wall, at a step or a corner, the long bars have another cover here: to the
    /// side of the section they are cut in.
    fn here(&self, cover: &Cover, bars: &[BarCut]) -> Option<Drawn> {
        let section = self.cut.sections().find(|section| section.id == cover.section)?;
        let (low, high) = section.levels;
        let inner = cover.to.offset < cover.at.offset;
        let is_covered = self.cut.sections().any(|other| {
            let meets = match cover.class {
                Class::Top => other.levels.0 == high,
                Class::Formed | Class::Earth => false,
                _ => other.levels.1 == low,
            };
            meets && other.depth.0 < section.depth.1 && section.depth.0 < other.depth.1
        });
        let long = bars.iter().filter(|cut| cut.bar.made.id == cover.bar.bars);
        let through = long.flat_map(|cut| cut.through.iter().map(move |at| (cut.bar, *at)));
        let within = through.filter(|(_, (out, level))| {
            (low..=high).contains(level) && (section.depth.0..=section.depth.1).contains(out)
        });
        let all = within.map(|(bar, (out, level))| {
            let to = match cover.class {
                Class::Top => (out, high),
                Class::Formed | Class::Earth => (if inner { section.depth.0 } else { section.depth.1 }, level),
                _ => (out, low),
            };
            let clear = Length::round_nm(far((out, level), to)) - bar.made.steel.diameter / 2;
            Drawn { bars: cover.bar.bars, clear, at: (out, level), to }
        });
        all.filter(|_| !is_covered).min_by_key(|drawn| drawn.clear)
    }
}

fn far(a: (f64, f64), b: (f64, f64)) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// How far a place lies from the line between two others.
fn beside(a: (f64, f64), b: (f64, f64), at: (f64, f64)) -> f64 {
    let way = (b.0 - a.0, b.1 - a.1);
    let length = way.0 * way.0 + way.1 * way.1;
    let share = if length > 0.0 { ((at.0 - a.0) * way.0 + (at.1 - a.1) * way.1) / length } else { 0.0 };
    let share = share.clamp(0.0, 1.0);
    far((a.0 + way.0 * share, a.1 + way.1 * share), at)
}

/// What a cover is measured to.
fn face(class: Class) -> &'static str {
    match class {
        Class::Old => "the old face",
        Class::SlabEdge => "the slab's edge",
        Class::Joint => "the joint",
        Class::Earth => "the earth",
        Class::Formed => "the form",
        Class::End => "the end",
        Class::Riser => "the riser",
        Class::Void => "the void",
        Class::Ground => "the ground below",
        Class::OnSlab => "the slab below",
        Class::OnOld => "the old work below",
        Class::Soffit => "the underside",
        Class::Top => "the top",
    }
}

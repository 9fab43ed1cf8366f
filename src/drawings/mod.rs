//! Drawings of what a job comes to: neutral scenes on a sheet in millimetres, and SVG of them.
//!
//! A drawing computes no quantity: sections, holes, bars, covers, batches and days are those of the works, and figures are
//! formatted by `units`. [`all`] makes every drawing of a job, [`svg`] writes one. Ids are made of names of the job and stay
//! the same while these do: `elevation-old-back`, and `hole-pins-3` for a hole in the one drawing that shows its number.

mod bends;
mod canvas;
mod corner;
mod cuts;
mod days;
mod dimension;
mod elevation;
mod facing;
mod flags;
mod form;
pub mod ids;
pub mod labels;
pub mod lettering;
mod levels;
mod plan;
mod pour;
pub mod scene;
mod section;
mod seen;
mod sheet;
mod slant;
mod svg;

pub use flags::{Flags, Told};
pub use section::{AtFault, Station, station};
pub use sheet::{Model, Sheet, of as sheet};
pub use svg::{style, svg};

use std::collections::BTreeSet;

use crate::{
    concrete::LegAt,
    holes::{Hole, Set},
    job::Job,
    schema::BlockId,
    units::{Length, System, show},
    works::Works,
};
use scene::{Group, Item};

/// What is looked at, and from where.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum View {
    /// From above.
    Plan,
    /// Facing the wall, leg by leg.
    Elevation,
    /// Cut across.
    Section,
    /// The form as one stands before it, leg by leg.
    Form,
    /// From a corner, the new concrete transparent.
    Corner,
    /// Every mark of bars, bent.
    Bends,
    /// What is cut from which bar.
    Cuts,
    /// Layers and batches.
    Pour,
    /// The order of work as bars over days.
    Days,
}

impl View {
    /// Every view, in the order they are drawn, with its name.
    pub const ALL: [(View, &'static str); 9] = [
        (View::Plan, "plan"),
        (View::Elevation, "elevation"),
        (View::Section, "section"),
        (View::Form, "form"),
        (View::Corner, "corner"),
        (View::Bends, "bends"),
        (View::Cuts, "cuts"),
        (View::Pour, "pour"),
        (View::Days, "days"),
    ];

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        View::ALL.iter().find(|(view, _)| *view == self).map_or("", |(_, name)| name)
    }
}

/// A drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// A name no other drawing of the job has: letters, figures, hyphens.
    pub id: String,
    /// Which view.
    pub view: View,
    /// Its title.
    pub title: String,
    /// What is to be seen, for those who cannot see it.
    pub description: String,
    /// Its width in millimetres: no wider than an upright sheet of Letter or A4 within its margins, or one on its side.
    pub width: f64,
    /// Its height in millimetres.
    pub height: f64,
    /// It wants a sheet on its side.
    pub lying: bool,
    /// The way from stations (or east) and levels (or north) of the work to the sheet, where the drawing is to scale.
    pub model: Option<Model>,
    /// What is drawn, the lowest first.
    pub items: Vec<Item>,
}

impl Drawing {
    /// What can be linked to in it.
    #[must_use]
    pub fn ids(&self) -> Vec<&str> {
        let inner = self.groups().filter_map(|group| group.id.as_deref());
        std::iter::once(self.id.as_str()).chain(inner).collect()
    }

    /// The numbers of findings with a flag in it, and the id of what each stands at.
    #[must_use]
    pub fn flags(&self) -> Vec<(usize, &str)> {
        let value = |group: &'_ Group, name: &str| -> Option<usize> {
            group.data.iter().find(|(known, _)| *known == name)?.1.parse().ok()
        };
        let at = |group: &'_ Group| group.data.iter().position(|(known, _)| *known == "at");
        self.groups()
            .filter_map(|group| Some((value(group, "flag")?, group.data.get(at(group)?)?.1.as_str())))
            .collect()
    }

    /// Whether it keeps to its sheet, where it is to scale: plans, sections and pours are the first under a heading.
    fn has_room(&self, job: &Job) -> bool {
        let heading = match self.view {
            View::Plan | View::Section | View::Pour => sheet::HEADING,
            _ => 0.0,
        };
        self.model.is_none() || self.height <= sheet::of(job.system(), self.lying).height - heading
    }

    fn groups(&self) -> impl Iterator<Item = &Group> {
        let mut out = Vec::new();
        let mut stack: Vec<&Item> = self.items.iter().collect();
        while let Some(item) = stack.pop() {
            if let Item::Group(group) = item {
                out.push(group);
                stack.extend(&group.items);
            }
        }
        out.into_iter()
    }
}

/// What drawings are made of.
#[derive(Clone, Copy)]
pub(crate) struct Of<'w> {
    /// The job.
    pub job: &'w Job,
    /// What it comes to.
    pub works: &'w Works,
    /// What findings speak of.
    pub flags: &'w Flags,
    /// The units of its papers.
    pub system: System,
    /// How many steps smaller than its room what is to scale is drawn.
    pub smaller: usize,
}

impl<'w> Of<'w> {
    /// The holes of a block as they are: what was recorded as moved stands where it is now, and no bar is set in what is left empty.
    pub fn set(&self, id: BlockId) -> Option<&'w Set> {
        self.works.holes_done.set(id).or_else(|| self.works.sets.get(&id))
    }

    /// All holes as they are, by block.
    pub fn sets(&self) -> impl Iterator<Item = &'w Set> {
        let of = *self;
        of.works.sets.keys().filter_map(move |id| of.set(*id))
    }

    /// The holes of a block that are left empty, as they were planned.
    pub fn left_empty(&self, set: BlockId) -> impl Iterator<Item = Hole> {
        self.works.holes_done.of(set).iter().filter(|one| one.now.is_none()).map(|one| one.hole)
    }

    /// A name of the job as it is shown.
    pub fn name(&self, id: BlockId) -> String {
        svg::shown(self.job.name(id))
    }

    /// "old.back"; the wall's name is left out where the job has one wall.
    pub fn leg(&self, at: LegAt) -> String {
        let standing = &self.works.standing;
        let leg = standing.leg_name(at);
        if self.job.walls.len() + self.job.lines.len() == 1 {
            return svg::shown(leg);
        }
        let wall = standing.leg_ref(at).map_or("", |leg| self.job.name(leg.wall));
        svg::shown(&format!("{wall}.{leg}"))
    }

    /// "old-back", for ids.
    pub fn leg_id(&self, at: LegAt) -> String {
        let standing = &self.works.standing;
        let wall = standing.leg_ref(at).map_or("", |leg| self.job.name(leg.wall));
        format!("{wall}-{}", standing.leg_name(at))
    }

    /// A set-out position.
    pub fn place(&self, length: Length) -> String {
        show::place(length, self.system).to_string()
    }

    /// The words of the datum.
    pub fn datum(&self) -> Option<String> {
        let head = self.job.head.as_ref()?;
        Some(svg::shown(&head.say.datum.as_ref()?.0))
    }

    /// The next letter of a key that has these: none that is a name in the job.
    pub fn tag(&self, keys: &[(String, String)]) -> String {
        let is_free = |tag: &String| keys.iter().all(|(known, _)| known != tag) && self.job.named(tag).is_none();
        (0..).map(canvas::letters).find(is_free).unwrap_or_default()
    }

    /// "Boathouse rear wall", or nothing.
    pub fn title(&self) -> String {
        svg::shown(self.job.title.trim())
    }
}

/// All drawings of a job, view by view, with flags where findings speak of what is drawn. A view of which there is nothing to
/// see makes none. No id is there twice, not even where a name is given twice.
#[must_use]
pub fn all(job: &Job, works: &Works, flags: &Flags, stations: &[Station]) -> Vec<Drawing> {
    let drawn = View::ALL.iter().flat_map(|(view, _)| drawings(job, works, flags, *view, stations));
    let mut out: Vec<Drawing> = drawn.collect();
    let mut known: BTreeSet<String> = BTreeSet::new();
    for drawing in &mut out {
        let name = drawing.id.clone();
        let mut number = 2;
        while !known.insert(drawing.id.clone()) {
            drawing.id = format!("{name}-{number}");
            number += 1;
        }
        let mut stack: Vec<&mut Item> = drawing.items.iter_mut().collect();
        while let Some(item) = stack.pop() {
            let Item::Group(group) = item else { continue };
            if group.id.as_ref().is_some_and(|id| !known.insert(id.clone())) {
                (group.id, group.to) = (None, None);
            }
            stack.extend(&mut group.items);
        }
    }
    out
}

/// The drawings of one view. Cross-sections are cut at `stations`; without any, at one station of each stretch that looks
/// alike.
#[must_use]
pub fn drawings(job: &Job, works: &Works, flags: &Flags, view: View, stations: &[Station]) -> Vec<Drawing> {
    let draw = |smaller| view_of(&Of { job, works, flags, system: job.system(), smaller }, view, stations);
    let mut out = draw(0);
    // How much stands under a drawing is known when it is drawn: what does not keep to its sheet is drawn smaller.
    for smaller in 1..=SMALLER {
        let high: Vec<usize> = (0..out.len()).filter(|at| out.get(*at).is_some_and(|one| !one.has_room(job))).collect();
        if high.is_empty() {
            break;
        }
        let again = draw(smaller);
        for (at, next) in again.into_iter().enumerate().filter(|(at, _)| high.contains(at)) {
            if let Some(drawing) = out.get_mut(at) {
                *drawing = next;
            }
        }
    }
    out
}

/// So many steps smaller a drawing is tried, that it keeps to its sheet.
const SMALLER: usize = 6;

fn view_of(of: &Of, view: View, stations: &[Station]) -> Vec<Drawing> {
    match view {
        View::Plan => plan::draw(of),
        View::Elevation => elevation::draw(of),
        View::Section => section::draw(of, stations),
        View::Form => form::draw(of),
        View::Corner => corner::draw(of),
        View::Bends => bends::draw(of),
        View::Cuts => cuts::draw(of),
        View::Pour => pour::draw(of),
        View::Days => days::draw(of),
    }
}

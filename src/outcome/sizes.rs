//! New concrete as it was measured, against what was planned there, and how far it may be off.

use crate::{
    concrete::{LegAt, Placed, Planned, PlannedAt, Sections, Standing, planned_at},
    facts::{DoneSize, Facts, On},
    job::Job,
    ledger::{Entry, Figure, Input, Ledger},
    schema::{BlockId, Said},
    source::Span,
    standards::{
        Worked,
        tolerances::{self, Tolerance},
    },
    units::{Date, Length},
};

/// What is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SizeOf {
    /// The thickness, square to the old face.
    Thick,
    /// The level of the top.
    Top,
    /// The level of the bottom.
    Bottom,
    /// How far the face is out of plumb.
    Plumb,
}

impl SizeOf {
    /// The word that measures it in a record.
    #[must_use]
    pub const fn clause(self) -> &'static str {
        match self {
            SizeOf::Thick => "thick",
            SizeOf::Top => "top",
            SizeOf::Bottom => "bottom",
            SizeOf::Plumb => "leans",
        }
    }

    /// What of it was measured, in one measurement.
    fn of(self, done: &DoneSize) -> Option<Said<Length>> {
        match self {
            SizeOf::Thick => done.thick,
            SizeOf::Top => done.top,
            SizeOf::Bottom => done.bottom,
            SizeOf::Plumb => done.leans,
        }
    }
}

/// One measured length.
#[derive(Debug, Clone, PartialEq)]
pub struct Size {
    /// The section.
    pub section: BlockId,
    /// Which measurement of the section it is part of, from 1, in the order of the days.
    pub number: usize,
    /// When.
    pub on: On,
    /// Where; none where it is alike all along.
    pub at: Option<(LegAt, Length)>,
    /// What.
    pub what: SizeOf,
    /// What was planned there, and where that is said. A face is planned plumb.
    pub planned: Planned,
    /// What was measured.
    pub measured: Said<Length>,
    /// How far it may be off.
    pub allowed: Worked<Tolerance>,
    /// What is said of it.
    pub said: Option<String>,
    /// The day the same was measured again at the same place: that counts.
    pub again: Option<Date>,
}

impl Size {
    /// How much more than planned it is; less than nothing where it is less.
    #[must_use]
    pub fn more(&self) -> Length {
        self.measured.value - self.planned.value
    }

    /// It is further off than allowed, and was not measured again since.
    #[must_use]
    pub fn is_off(&self) -> bool {
        self.again.is_none() && !self.allowed.value.holds(self.more())
    }

    /// The name its numbers begin with: `high.measured.1.thick`.
    #[must_use]
    pub fn name(&self, job: &Job) -> String {
        format!("{}.measured.{}.{}", job.name(self.section), self.number, self.what.clause())
    }
}

/// What was measured where nothing is to be held against it.
#[derive(Debug, Clone, PartialEq)]
pub enum SizeTrouble {
    /// The section is not there.
    Elsewhere {
        /// The section.
        section: BlockId,
        /// Where the place is written.
        at: Span,
    },
    /// A top below the section's own bottom, or a bottom above its top.
    Upside {
        /// The section.
        section: BlockId,
        /// The top, or the bottom.
        what: SizeOf,
        /// What was written.
        measured: Said<Length>,
        /// The level it cannot be beyond.
        other: Length,
    },
    /// No place is said, and the section is not alike all along.
    Unlike {
        /// The section.
        section: BlockId,
        /// What.
        what: SizeOf,
        /// What it is in its parts.
        planned: Vec<Planned>,
        /// Where the measure is written.
        at: Span,
    },
}

/// Everything that was measured.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Sizes {
    /// By section, in the order of the days.
    pub sizes: Vec<Size>,
    /// What nothing is to be held against.
    pub troubles: Vec<SizeTrouble>,
}

/// Holds what was measured against the plan, and enters it. What is measured of a section that could not be placed is left out.
pub fn sizes(job: &Job, standing: &Standing, sections: &Sections, facts: &Facts, ledger: &mut Ledger) -> Sizes {
    let mut out = Sizes::default();
    for (id, all) in &facts.sizes {
        let Some(placed) = sections.find(*id) else { continue };
        for (number, done) in (1..).zip(all) {
            let later = all.iter().filter(|other| other.on.day > done.on.day && other.is_beside(done));
            measured(job, standing, sections, placed, (number, done), &later.collect::<Vec<_>>(), &mut out);
        }
    }
    for size in &out.sizes {
        enter(job, size, ledger);
    }
    out
}

fn measured(
    job: &Job,
    standing: &Standing,
    sections: &Sections,
    placed: &Placed,
    (number, done): (usize, &DoneSize),
    later: &[&DoneSize],
    out: &mut Sizes,
) {
    let section = placed.id;
    let place = done.at.map(|at| (standing.place(at.value.0), at.value.1, at.span));
    let at = match place {
        // Its leg could not be placed: that is told there.
        Some((None, ..)) => return,
        Some((Some(leg), station, _)) => Some((leg, station)),
        None => None,
    };
    let Some(planned) = planned_at(job, standing, sections, placed, at) else {
        out.troubles.extend(place.map(|(_, _, at)| SizeTrouble::Elsewhere { section, at }));
        return;
    };
    let formed = job.section(section).is_some_and(|section| section.say.base == Some(crate::schema::Base::Form));
    let PlannedAt { thick, top, bottom } = planned;
    let plumb = vec![Planned { value: Length::ZERO, said: thick.first().map_or(done.on.at, |thick| thick.said) }];
    for (what, planned) in
        [(SizeOf::Thick, thick), (SizeOf::Top, top), (SizeOf::Bottom, bottom), (SizeOf::Plumb, plumb)]
    {
        let Some(measured) = what.of(done) else { continue };
        let beyond = match what {
            SizeOf::Top => Some(placed.bottom).filter(|bottom| measured.value <= *bottom),
            SizeOf::Bottom => Some(placed.top).filter(|top| measured.value >= *top),
            SizeOf::Thick | SizeOf::Plumb => None,
        };
        if let Some(other) = beyond {
            out.troubles.push(SizeTrouble::Upside { section, what, measured, other });
            continue;
        }
        if at.is_none() && planned.len() > 1 {
            out.troubles.push(SizeTrouble::Unlike { section, what, planned, at: measured.span });
            continue;
        }
        // Just where it changes either may be meant: what was measured is nearer to it.
        let Some(planned) = planned.into_iter().min_by_key(|one| (measured.value - one.value).abs()) else { continue };
        let allowed = match what {
            SizeOf::Thick => tolerances::thickness(planned.value),
            SizeOf::Top => Ok(tolerances::top()),
            SizeOf::Bottom => Ok(tolerances::underside(formed)),
            SizeOf::Plumb => tolerances::plumb(placed.top - placed.bottom),
        };
        let Ok(allowed) = allowed else { continue };
        let again = later.iter().find(|other| what.of(other).is_some()).map(|other| other.on.day);
        let said = done.said.clone();
        out.sizes.push(Size { section, number, on: done.on, at, what, planned, measured, allowed, said, again });
    }
}

/// Enters `high.measured.1.thick.done`, `.planned`, `.more`, and what is allowed: `.allowed.more` and `.allowed.less`.
fn enter(job: &Job, size: &Size, ledger: &mut Ledger) {
    if !ledger.is_on() {
        return;
    }
    let name = size.name(job);
    let done = ledger.enter(|| Entry {
        name: format!("{name}.done"),
        value: Figure::Length(size.measured.value),
        formula: "as recorded",
        source: "",
        inputs: vec![Input::said("recorded", size.measured.span, Figure::Length(size.measured.value))],
    });
    let planned = ledger.enter(|| Entry {
        name: format!("{name}.planned"),
        value: Figure::Length(size.planned.value),
        formula: "as planned there",
        source: "",
        inputs: vec![match size.what {
            SizeOf::Plumb => Input::given("plumb", Figure::Length(size.planned.value), "faces are planned plumb"),
            SizeOf::Thick | SizeOf::Top | SizeOf::Bottom => Input::typed("section", size.planned.said),
        }],
    });
    let inputs = [Input::worked("done", done), Input::worked("planned", planned)];
    ledger.enter(|| Entry {
        name: format!("{name}.more"),
        value: Figure::Length(size.more()),
        formula: "done - planned",
        source: "",
        inputs: inputs.into_iter().flatten().collect(),
    });
    let allowed = size.allowed.value;
    for (way, value) in [("more", allowed.more), ("less", allowed.less)] {
        // Out of plumb is never less.
        if value == Length::ZERO {
            continue;
        }
        ledger.enter(|| Entry {
            name: format!("{name}.allowed.{way}"),
            value: Figure::Length(value),
            formula: size.allowed.formula,
            source: size.allowed.source,
            inputs: size.allowed.inputs().collect(),
        });
    }
}

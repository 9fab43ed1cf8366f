//! The worked numbers of sections, pours and their faces.

use super::{
    classes::{Areas, Class, classes_in_order},
    pours::{PourSolid, Solids},
    sections::{Placed, Sections},
};
use crate::{
    job::{Job, Thing},
    ledger::{Entry, Figure, Input, Ledger},
    schema::{KindId, Section},
    units::{Area, Length, Volume},
};

impl Class {
    /// Its word in the names of numbers: `wall.faces.formed`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Class::Old => "old",
            Class::SlabEdge => "slab-edge",
            Class::Joint => "joint",
            Class::Earth => "earth",
            Class::Formed => "formed",
            Class::End => "ends",
            Class::Riser => "risers",
            Class::Void => "voids",
            Class::Ground => "ground",
            Class::OnSlab => "on-slab",
            Class::OnOld => "on-old",
            Class::Soffit => "soffit",
            Class::Top => "top",
        }
    }
}

/// The uprights that are formed, and the word all of them go under.
const FORMED: [Class; 3] = [Class::Formed, Class::End, Class::Riser];
const FORMS: &str = "forms";

/// Enters what the sections and pours come to: `SECTION.plan`, `SECTION.volume`, `POUR.volume`, `POUR.faces.CLASS`, and
/// the same of all pours together under `job`.
pub fn enter_solids(job: &Job, sections: &Sections, solids: &Solids, ledger: &mut Ledger) {
    if !ledger.is_on() {
        return;
    }
    for pour in &solids.pours {
        for (section, volume) in &pour.sections {
            if let (Some(section), Some(placed)) = (job.section(*section), sections.find(*section)) {
                enter_section(section, placed, sections, *volume, ledger);
            }
        }
        enter_pour(job, pour, ledger);
    }
    if solids.pours.is_empty() {
        return;
    }
    let names: Vec<&str> = solids.pours.iter().map(|pour| job.name(pour.pour)).collect();
    let parts: Volume = solids.pours.iter().map(|pour| pour.volume).sum();
    let inputs = names.iter().filter_map(|name| ledger.number("part", &format!("{name}.volume"))).collect();
    enter_sum("job.pours.volume".to_owned(), solids.total, parts, inputs, "what two pours both bring", ledger);
    let mut job_faces = Areas::default();
    for pour in &solids.pours {
        for class in classes_in_order() {
            job_faces.add(class, pour.areas.of(class));
        }
    }
    for class in classes_in_order().into_iter().filter(|class| job_faces.of(*class) > Area::ZERO) {
        let word = class.word();
        let inputs = names.iter().filter_map(|name| ledger.number("part", &format!("{name}.faces.{word}"))).collect();
        ledger.enter(|| Entry {
            name: format!("job.faces.{word}"),
            value: Figure::Area(job_faces.of(class)),
            formula: "sum of the parts",
            source: "",
            inputs,
        });
    }
    enter_forms("job", job_faces, ledger);
}

/// A sum of volumes, less what its parts share.
fn enter_sum(
    name: String,
    sum: Volume,
    parts: Volume,
    mut inputs: Vec<Input>,
    shared: &'static str,
    ledger: &mut Ledger,
) {
    let formula = if parts > sum {
        inputs.push(Input::given("shared", Figure::Volume(parts - sum), shared));
        "sum of the parts - shared"
    } else {
        "sum of the parts"
    };
    ledger.enter(|| Entry { name, value: Figure::Volume(sum), formula, source: "", inputs });
}

fn enter_pour(job: &Job, pour: &PourSolid, ledger: &mut Ledger) {
    let name = job.name(pour.pour);
    let parts: Volume = pour.sections.iter().map(|(_, volume)| *volume).sum();
    let inputs: Vec<Input> = pour
        .sections
        .iter()
        .filter_map(|(section, _)| ledger.number("part", &format!("{}.volume", job.name(*section))))
        .collect();
    let shared = "what two of its sections both take up counts once";
    enter_sum(format!("{name}.volume"), pour.volume, parts, inputs, shared, ledger);
    let Some(fill) = job.pour(pour.pour).map(|thing| thing.said(KindId::Pour, "fill")) else { return };
    for class in classes_in_order() {
        let area = pour.areas.of(class);
        if area > Area::ZERO {
            ledger.enter(|| Entry {
                name: format!("{name}.faces.{}", class.word()),
                value: Figure::Area(area),
                formula: "sum of the faces of this sort on these sections",
                source: "",
                inputs: vec![Input::typed("sections", fill)],
            });
        }
    }
    enter_forms(name, pour.areas, ledger);
}

fn enter_forms(whose: &str, areas: Areas, ledger: &mut Ledger) {
    let inputs: Vec<Input> = FORMED
        .into_iter()
        .filter_map(|class| ledger.number("part", &format!("{whose}.faces.{}", class.word())))
        .collect();
    if inputs.is_empty() {
        return;
    }
    ledger.enter(|| Entry {
        name: format!("{whose}.faces.{FORMS}"),
        value: Figure::Area(areas.forms()),
        formula: "sum of the parts",
        source: "",
        inputs,
    });
}

fn enter_section(section: &Thing<Section>, placed: &Placed, sections: &Sections, volume: Volume, ledger: &mut Ledger) {
    let at = |clause| section.said(KindId::Section, clause);
    let plan: Area = placed.outlines.iter().map(crate::geometry::Outline::area).sum();
    let length: Length = placed.intervals.iter().map(|part| part.end - part.start).sum();
    let along = Input::said("length", at("along"), Figure::Length(length));
    // One thickness throughout can be followed by hand; unlike ones meet in a way that is measured off the plan.
    let uniform = match (&section.say.offset, &section.say.thick) {
        (Some(offset), _) => Some(("offset", offset.value.to - offset.value.from)),
        (None, Some(thick)) if thick.value.on.0.is_empty() => Some(("thick", thick.value.thick.0)),
        (None, _) => None,
    };
    let (formula, inputs) = match uniform {
        Some((clause, thick)) => {
            strip_plan(along, Input::said("width", at(clause), Figure::Length(thick)), plan - length * thick)
        }
        None => ("area of the strip along the face, measured in plan", vec![along, Input::typed("thick", at("thick"))]),
    };
    let plan_id = ledger.enter(|| Entry {
        name: format!("{}.plan", section.name),
        value: Figure::Area(plan),
        formula,
        source: "",
        inputs,
    });
    let height = placed.top - placed.bottom;
    let full = plan * height;
    let mut inputs: Vec<Input> = Input::worked("plan", plan_id).into_iter().collect();
    inputs.push(Input::said("height", at("height"), Figure::Length(height)));
    // Corners of unlike sections are taken to whole nanometres, which may leave that much over.
    let left_out = full - volume;
    let is_dust = left_out.cubic_metres().abs() <= 1e-9 * full.cubic_metres();
    let formula = if is_dust && !sections.voids.iter().any(|void| void.section == section.id) {
        "plan * height"
    } else {
        let why = "voids in it, and what its own pieces take up twice";
        inputs.push(Input::given("empty", Figure::Volume(left_out), why));
        "plan * height - empty"
    };
    ledger.enter(|| Entry {
        name: format!("{}.volume", section.name),
        value: Figure::Volume(volume),
        formula,
        source: "",
        inputs,
    });
}

/// The plan of a strip of one thickness: its length along the face by its thickness, and what its mitres add or take.
#[must_use]
pub fn strip_plan(along: Input, width: Input, corners: Area) -> (&'static str, Vec<Input>) {
    let why = "mitres: for each corner between inner and outer offset, (outer^2 - inner^2) * tan(turn / 2)";
    let mut inputs = vec![along, width];
    let size = corners.square_metres();
    let formula = if size > 1e-9 {
        inputs.push(Input::given("corners", Figure::Area(corners), why));
        "length * width + corners"
    } else if size < -1e-9 {
        inputs.push(Input::given("corners", Figure::Area(Area::ZERO - corners), why));
        "length * width - corners"
    } else {
        "length * width"
    };
    (formula, inputs)
}

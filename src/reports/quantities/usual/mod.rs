//! Everything that was taken because nobody said otherwise.

mod concrete;
mod forms;
mod old;
mod steel;
mod work;

use crate::{
    compile::Compiled,
    concrete::Class,
    reports::{Column, Row, Table, Weight},
    schema::Show,
    units::{Length, System, show},
};

/// What the yields of the library's mixes rest on.
pub(in crate::reports) const MIX_SOURCE: &str = "published yield tables; the label on the bag goes before";

/// The source of what the language itself says where nobody does.
const OWN: &str = "the language's own default";

/// The rows so far: what, what was taken for it, and where that comes from.
#[derive(Default)]
struct Rows(Vec<(String, String, String)>);

impl Rows {
    fn add(&mut self, what: String, taken: String, why: &str) {
        self.0.push((what, taken, why.to_owned()));
    }

    /// Adds a row that several things ask for.
    fn once(&mut self, what: String, taken: String, why: &str) {
        if !self.0.iter().any(|(before, ..)| *before == what) {
            self.add(what, taken, why);
        }
    }
}

/// The table; none if nothing was.
pub(in crate::reports) fn table(compiled: &Compiled) -> Option<Table<'static>> {
    let rows = rows(compiled);
    if rows.0.is_empty() {
        return None;
    }
    let columns = vec![
        Column::text("what", "What"),
        Column::text("taken", "Taken"),
        Column::text("source", "Where it comes from"),
    ];
    let rows: Vec<Row> = rows
        .0
        .iter()
        .map(|(what, taken, source)| {
            Row::new(Weight::Item, |row| {
                row.text(what).text(taken).text(source);
            })
        })
        .collect();
    Some(Table::new("usual", columns, rows))
}

/// A length that is taken as usual: whole millimetres in metric, for it was thought of in inches.
fn usual(length: Length, system: System) -> show::Shown {
    match system {
        System::Feet => show::exact(length, system),
        System::Metric => show::place(length, system),
    }
}

/// All of it, in the order of the work.
fn rows(compiled: &Compiled) -> Rows {
    let mut all = Rows::default();
    let rows = &mut all;
    shown(compiled, rows);
    concrete::waste(compiled, rows);
    concrete::young(compiled, rows);
    concrete::placed(compiled, rows);
    work::days(compiled, rows);
    forms::forms(compiled, rows);
    old::resin(compiled, rows);
    old::mended(compiled, rows);
    work::tools_and_loads(compiled, rows);
    old::drilled(compiled, rows);
    steel::bars(compiled, rows);
    steel::ties(compiled, rows);
    concrete::strengths(compiled, rows);
    steel::stock(compiled, rows);
    concrete::cured(compiled, rows);
    unsaid(compiled, rows);
    library(compiled, rows);
    all
}

/// The units of the papers.
fn shown(compiled: &Compiled, rows: &mut Rows) {
    let job = &compiled.job;
    if job.head.as_ref().is_none_or(|head| head.say.show.is_none()) {
        rows.add("job: show".to_owned(), Show::Feet.word().to_owned(), OWN);
    }
}

/// What the language takes for clauses that were left out.
fn unsaid(compiled: &Compiled, rows: &mut Rows) {
    let (job, works) = (&compiled.job, &compiled.works);
    for section in &job.sections {
        // What stands on a slab, on old work or on another pour has no base.
        let pour = works.solids.with(section.id).map(|(pour, _)| pour);
        let on_ground = pour.is_none_or(|pour| pour.rests.contains(&(section.id, Class::Ground)));
        if section.say.base.is_none() && on_ground {
            rows.add(format!("{}: base", section.name), "soil".to_owned(), OWN);
        }
        if section.say.side.is_none() {
            rows.add(format!("{}: side", section.name), "form".to_owned(), OWN);
        }
    }
    for holes in job.holes.iter().filter(|holes| holes.say.inset.is_none()) {
        rows.add(format!("{}: inset", holes.name), "0".to_owned(), OWN);
    }
    for bars in job.bars.iter().filter(|bars| bars.say.space.is_some() && bars.say.inset.is_none()) {
        rows.add(format!("{}: inset", bars.name), "0".to_owned(), OWN);
    }
    let square = job.walls.iter().flat_map(|wall| &wall.say.corners.0).any(|corner| corner.turning.is_none());
    let square_line = job.lines.iter().flat_map(|line| &line.say.corners.0).any(|corner| corner.turning.is_none());
    if square || square_line {
        rows.add("corners: turning".to_owned(), "90 deg".to_owned(), OWN);
    }
}

/// Bars and mixes of the library that the job uses.
fn library(compiled: &Compiled, rows: &mut Rows) {
    let job = &compiled.job;
    let system = job.system();
    for steel in job.steels.iter().filter(|steel| steel.usual) {
        let standard = steel.say.standard.as_ref().map_or("no source", |standard| standard.0.as_str());
        let taken = format!(
            "{} across, bends {} across inside",
            show::exact(steel.say.diameter.0, system),
            show::exact(steel.say.bend.0, system)
        );
        rows.add(format!("{}: from the library", steel.name), taken, standard);
    }
    for mix in job.mixes.iter().filter(|mix| mix.usual) {
        let bag = &mix.say.bag.value;
        // A bag is too little of a cubic metre.
        let yields = match system {
            System::Feet => show::volume(bag.yields.0, system),
            System::Metric => show::water(bag.yields.0, system),
        };
        let taken = format!("{} yields {yields}", show::mass(bag.weighs.0, system));
        rows.add(format!("{}: from the library", mix.name), taken, MIX_SOURCE);
    }
}

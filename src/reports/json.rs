//! JSON: a contract of its own structs, with a `schema_version`.
//!
//! Fields are only ever added within one version. Lengths are given in millimetres and as they are shown; areas in square
//! metres, volumes in cubic metres, weights in kilograms. Nothing that is not a number is written as one.

mod changes;
mod cutting;
mod many;
mod money;
mod numbers;
mod order;
mod record;
mod schema;

use std::io::{self, Write};

use schemars::JsonSchema;
use serde::Serialize;

use super::measures::rounded;
use crate::{
    buying::{FormStuff, Line},
    compile::Compiled,
    concrete::classes_in_order,
    holes::{Level, Places},
    problem::{Fix, Problem},
    schema::Pack,
    source::{Sources, Span},
    steel::Place,
    units::{Area, Length, Mass, System, Volume, show},
};

pub use changes::changes;
pub use many::Jobs;
pub use money::{buy as buying, buy_part as buying_part};
pub use numbers::{why, why_part};
pub use order::{order, order_part};
pub use record::{learn, record, record_part};
pub use schema::schema;

/// The version of the contract. It rises when a field changes its meaning or goes; new fields do not raise it.
pub const SCHEMA_VERSION: u32 = 1;

#[derive(Serialize, JsonSchema)]
struct FindingsFile<'c> {
    schema_version: u32,
    jobs: Vec<JobFindings<'c>>,
}

#[derive(Serialize, JsonSchema)]
struct JobFindings<'c> {
    file: &'c str,
    title: &'c str,
    errors: usize,
    warnings: usize,
    findings: Vec<Finding>,
    accepted: Vec<Acceptance>,
}

#[derive(Serialize, JsonSchema)]
struct Finding {
    rule: &'static str,
    level: &'static str,
    message: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    help: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    thing: Option<String>,
    at: Vec<Spot>,
    #[serde(skip_serializing_if = "Option::is_none")]
    edit: Option<Edit>,
}

#[derive(Serialize, JsonSchema)]
struct Acceptance {
    because: String,
    finding: Finding,
}

/// A place: lines and columns from 1, columns in characters; bytes from 0.
#[derive(Serialize, JsonSchema)]
struct Spot {
    file: String,
    line: u32,
    column: u32,
    end_line: u32,
    end_column: u32,
    start_byte: u32,
    end_byte: u32,
    #[serde(skip_serializing_if = "String::is_empty")]
    says: String,
}

#[derive(Serialize, JsonSchema)]
struct Edit {
    at: Spot,
    text: String,
}

/// Writes the findings of jobs (shown name and job).
///
/// # Errors
/// When `out` does.
pub fn findings(jobs: &[(&str, &Compiled)], out: &mut dyn Write) -> io::Result<()> {
    let jobs = jobs.iter().map(|(file, compiled)| job_findings(file, compiled)).collect();
    write(&FindingsFile { schema_version: SCHEMA_VERSION, jobs }, out)
}

/// The findings of one job, as a part of a text of many.
///
/// # Errors
/// When it cannot be put into JSON.
pub fn findings_part(file: &str, compiled: &Compiled) -> io::Result<Vec<u8>> {
    Ok(serde_json::to_vec_pretty(&job_findings(file, compiled))?)
}

fn job_findings<'c>(file: &'c str, compiled: &'c Compiled) -> JobFindings<'c> {
    let counted = |level| compiled.problems.iter().filter(|problem| problem.rule.level == level).count();
    let accepted = compiled.accepted.iter().map(|accepted| Acceptance {
        because: accepted.accept.because.clone(),
        finding: finding(compiled, &accepted.problem),
    });
    JobFindings {
        file,
        title: title(compiled),
        errors: counted(crate::problem::Level::Error),
        warnings: counted(crate::problem::Level::Warning),
        findings: compiled.problems.iter().map(|problem| finding(compiled, problem)).collect(),
        accepted: accepted.collect(),
    }
}

fn title(compiled: &Compiled) -> &str {
    &compiled.job.title
}

fn finding(compiled: &Compiled, problem: &Problem) -> Finding {
    let system = compiled.job.system();
    let spots = problem
        .labels
        .iter()
        .map(|label| spot(&compiled.sources, label.span, problem.label_says(label, system)))
        .collect();
    Finding {
        rule: problem.rule.name,
        level: problem.rule.level.word(),
        message: problem.says(system),
        place: problem.place.clone(),
        help: problem.helps(system),
        thing: problem.thing.clone(),
        at: spots,
        edit: problem
            .fix
            .as_ref()
            .map(|Fix { span, text }| Edit { at: spot(&compiled.sources, *span, String::new()), text: text.clone() }),
    }
}

fn spot(sources: &Sources, span: Span, says: String) -> Spot {
    let source = sources.get(span.source);
    let (line, column) = source.line_column(span.start);
    let (end_line, end_column) = source.line_column(span.end);
    Spot {
        file: source.name.clone(),
        line,
        column,
        end_line,
        end_column,
        start_byte: span.start,
        end_byte: span.end,
        says,
    }
}

#[derive(Serialize, JsonSchema)]
struct TallyFile<'c> {
    schema_version: u32,
    jobs: Vec<JobTally<'c>>,
    /// Of several jobs: what they come to.
    #[serde(skip_serializing_if = "Option::is_none")]
    together: Option<many::Together>,
}

#[derive(Serialize, JsonSchema)]
struct JobTally<'c> {
    file: &'c str,
    title: &'c str,
    /// Something is left out because of errors.
    draft: bool,
    units: &'static str,
    concrete: Vec<PourTally<'c>>,
    sections: Vec<SectionTally<'c>>,
    faces: Vec<FaceTally>,
    broken_out: Vec<StripTally<'c>>,
    holes: Vec<HolesTally<'c>>,
    bars: Vec<BarsTally<'c>>,
    stock: Vec<StockTally<'c>>,
    cutting: Vec<cutting::PlanTally<'c>>,
    buy: Vec<BuyTally<'c>>,
    money: money::Money<'c>,
    numbers: Vec<numbers::Number<'c>>,
}

#[derive(Serialize, JsonSchema)]
struct Measure {
    mm: f64,
    shown: String,
}

#[derive(Serialize, JsonSchema)]
struct AreaMeasure {
    m2: f64,
    shown: String,
}

#[derive(Serialize, JsonSchema)]
struct VolumeMeasure {
    m3: f64,
    shown: String,
}

#[derive(Serialize, JsonSchema)]
struct MassMeasure {
    kg: f64,
    shown: String,
}

#[derive(Serialize, JsonSchema)]
struct PourTally<'c> {
    pour: &'c str,
    placed: VolumeMeasure,
    #[serde(skip_serializing_if = "Option::is_none")]
    mixing: Option<MixingTally<'c>>,
}

#[derive(Serialize, JsonSchema)]
struct MixingTally<'c> {
    mix: &'c str,
    waste: f64,
    mixed: VolumeMeasure,
    bags: u64,
    bags_weigh: MassMeasure,
    batches: Option<u64>,
    trips: Option<u64>,
}

#[derive(Serialize, JsonSchema)]
struct SectionTally<'c> {
    section: &'c str,
    pour: &'c str,
    volume: VolumeMeasure,
}

#[derive(Serialize, JsonSchema)]
struct FaceTally {
    face: &'static str,
    area: AreaMeasure,
}

#[derive(Serialize, JsonSchema)]
struct StripTally<'c> {
    strip: &'c str,
    area: AreaMeasure,
    thick: Measure,
    volume: VolumeMeasure,
}

#[derive(Serialize, JsonSchema)]
struct HolesTally<'c> {
    holes: &'c str,
    into: &'c str,
    count: u64,
    bore: Measure,
    depth: Measure,
    #[serde(skip_serializing_if = "Option::is_none")]
    fill: Option<FillTally<'c>>,
    rows: Vec<RowTally>,
}

#[derive(Serialize, JsonSchema)]
struct FillTally<'c> {
    resin: &'c str,
    net: VolumeMeasure,
    waste: f64,
    wanted: VolumeMeasure,
    order: VolumeMeasure,
    nozzles: u64,
}

/// A row as a formula: places are `first + k * gap`, or listed.
#[derive(Serialize, JsonSchema)]
struct RowTally {
    leg: String,
    row: u16,
    #[serde(skip_serializing_if = "Option::is_none")]
    level: Option<Measure>,
    #[serde(skip_serializing_if = "Option::is_none")]
    offset: Option<Measure>,
    first_number: u64,
    count: u64,
    first: Measure,
    last: Measure,
    #[serde(skip_serializing_if = "Option::is_none")]
    gap: Option<Measure>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    places: Vec<Measure>,
}

#[derive(Serialize, JsonSchema)]
struct BarsTally<'c> {
    bars: &'c str,
    size: &'c str,
    pieces: u64,
    length: Measure,
    weight: MassMeasure,
    groups: Vec<GroupTally>,
}

#[derive(Serialize, JsonSchema)]
struct GroupTally {
    mark: u32,
    pieces: u64,
    cut: Measure,
    legs: Vec<Measure>,
    turns_deg: Vec<f64>,
    bend_inside: Measure,
    sort: &'static str,
    shape: String,
    straights: Vec<Measure>,
    arcs: Vec<ArcTally>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    hooks: Vec<HookTally>,
    /// The groups of the same block, from 0, this bar is lapped with.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    lapped_with: Vec<u32>,
}

/// What bars are cut from.
#[derive(Serialize, JsonSchema)]
struct StockTally<'c> {
    stock: &'c str,
    of: &'c str,
    length: Measure,
    #[serde(skip_serializing_if = "Option::is_none")]
    price: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    on_hand: Option<i64>,
}

/// One bend of a bar, along its centre line.
#[derive(Serialize, JsonSchema)]
struct ArcTally {
    turn_deg: f64,
    length: Measure,
}

/// A hook at the start or the end of a bar.
#[derive(Serialize, JsonSchema)]
struct HookTally {
    at: &'static str,
    turn_deg: f64,
    tail: Measure,
    way: &'static str,
}

#[derive(Serialize, JsonSchema)]
struct BuyTally<'c> {
    item: &'c str,
    sort: &'static str,
    packs: Option<u64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pieces: Option<u64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    length: Option<Measure>,
    #[serde(skip_serializing_if = "Option::is_none")]
    longest: Option<Measure>,
    #[serde(skip_serializing_if = "Option::is_none")]
    area: Option<AreaMeasure>,
    #[serde(skip_serializing_if = "Option::is_none")]
    volume: Option<VolumeMeasure>,
    #[serde(skip_serializing_if = "Option::is_none")]
    nozzles: Option<u64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    weight: Option<MassMeasure>,
}

/// Writes the quantities of jobs.
///
/// # Errors
/// When `out` does.
pub fn tally(jobs: &[(&str, &Compiled)], out: &mut dyn Write) -> io::Result<()> {
    let together = many::of(jobs);
    let jobs = jobs.iter().map(|(file, compiled)| job_tally(file, compiled)).collect();
    write(&TallyFile { schema_version: SCHEMA_VERSION, jobs, together }, out)
}

/// The quantities of one job, as a part of a text of many.
///
/// # Errors
/// When it cannot be put into JSON.
pub fn tally_part(file: &str, compiled: &Compiled) -> io::Result<Vec<u8>> {
    Ok(serde_json::to_vec_pretty(&job_tally(file, compiled))?)
}

fn write<T: Serialize>(file: &T, out: &mut dyn Write) -> io::Result<()> {
    serde_json::to_writer_pretty(&mut *out, file).map_err(io::Error::from)?;
    out.write_all(b"\n")
}

/// Measures in the units of the contract, and as the job shows them.
#[derive(Clone, Copy)]
struct Units(System);

impl Units {
    /// The word of the system.
    fn word(self) -> &'static str {
        match self.0 {
            System::Feet => "feet",
            System::Metric => "metric",
        }
    }

    fn length(self, length: Length) -> Measure {
        Measure { mm: rounded(length.metres() * 1000.0, 6), shown: show::exact(length, self.0).to_string() }
    }

    fn place(self, length: Length) -> Measure {
        Measure { shown: show::place(length, self.0).to_string(), ..self.length(length) }
    }

    fn cut(self, length: Length) -> Measure {
        Measure { shown: show::cut(length, self.0).to_string(), ..self.length(length) }
    }

    fn area(self, area: Area) -> AreaMeasure {
        AreaMeasure { m2: rounded(area.square_metres(), 9), shown: show::area(area, self.0).to_string() }
    }

    fn volume(self, volume: Volume) -> VolumeMeasure {
        VolumeMeasure { m3: rounded(volume.cubic_metres(), 12), shown: show::volume(volume, self.0).to_string() }
    }

    fn fluid(self, volume: Volume) -> VolumeMeasure {
        VolumeMeasure { shown: show::fluid(volume, self.0).to_string(), ..self.volume(volume) }
    }

    /// An amount: as a length, an area, a volume or a weight; none of them for a count.
    fn amount(
        self,
        amount: Pack,
    ) -> (Option<Measure>, Option<AreaMeasure>, Option<VolumeMeasure>, Option<MassMeasure>) {
        match amount {
            Pack::Count(_) => (None, None, None, None),
            Pack::Length(length) => (Some(self.length(length)), None, None, None),
            Pack::Area(area) => (None, Some(self.area(area)), None, None),
            Pack::Volume(volume) => (None, None, Some(self.volume(volume)), None),
            Pack::Mass(mass) => (None, None, None, Some(self.mass(mass))),
        }
    }

    fn mass(self, mass: Mass) -> MassMeasure {
        MassMeasure { kg: rounded(mass.kg(), 6), shown: show::mass(mass, self.0).to_string() }
    }
}

fn job_tally<'c>(file: &'c str, compiled: &'c Compiled) -> JobTally<'c> {
    let units = Units(compiled.job.system());
    let works = &compiled.works;
    let name = |id| compiled.job.name(id);
    JobTally {
        file,
        title: title(compiled),
        draft: compiled.has_errors(),
        units: units.word(),
        concrete: concrete(compiled, units),
        sections: works
            .solids
            .pours
            .iter()
            .flat_map(|pour| pour.sections.iter().map(move |(section, volume)| (pour.pour, *section, *volume)))
            .map(|(pour, section, volume)| SectionTally {
                section: name(section),
                pour: name(pour),
                volume: units.volume(volume),
            })
            .collect(),
        faces: classes_in_order()
            .into_iter()
            .map(|class| (class, works.solids.pours.iter().map(|pour| pour.areas.of(class)).sum::<Area>()))
            .filter(|(_, area)| *area > Area::ZERO)
            .map(|(class, area)| FaceTally { face: super::words::class(class), area: units.area(area) })
            .collect(),
        broken_out: works
            .strips
            .iter()
            .map(|strip| StripTally {
                strip: name(strip.id),
                area: units.area(strip.area),
                thick: units.length(strip.thick),
                volume: units.volume(strip.volume),
            })
            .collect(),
        holes: holes(compiled, units),
        bars: bars(compiled, units),
        stock: compiled
            .job
            .stocks
            .iter()
            // Packs stand in `money`, with what is bought of them.
            .filter_map(|stock| {
                Some(StockTally {
                    stock: &stock.name,
                    of: compiled.job.name(stock.say.item.0),
                    length: units.length(stock.say.length?.0),
                    price: stock.say.price.map(|price| show::money(price.value.0).to_string()),
                    on_hand: stock.say.on_hand.map(|count| count.0),
                })
            })
            .collect(),
        cutting: cutting::all(compiled, units),
        buy: works.buying.iter().map(|line| buy(compiled, units, line)).collect(),
        money: money::of(compiled, units),
        numbers: numbers::all(compiled),
    }
}

fn concrete(compiled: &Compiled, units: Units) -> Vec<PourTally<'_>> {
    let works = &compiled.works;
    let mut mixings = works.mixings.iter().peekable();
    works
        .solids
        .pours
        .iter()
        .map(|solid| PourTally {
            pour: compiled.job.name(solid.pour),
            placed: units.volume(solid.volume),
            mixing: mixings.next_if(|mixing| mixing.pour == solid.pour).map(|mixing| MixingTally {
                mix: compiled.job.name(mixing.mix),
                waste: rounded(mixing.waste.fraction(), 9),
                mixed: units.volume(mixing.wanted),
                bags: mixing.bags,
                bags_weigh: units.mass(mixing.weight),
                batches: mixing.batches,
                trips: mixing.trips,
            }),
        })
        .collect()
}

fn holes(compiled: &Compiled, units: Units) -> Vec<HolesTally<'_>> {
    let works = &compiled.works;
    let mut fills = works.fills.iter().peekable();
    works
        .sets
        .values()
        .map(|set| HolesTally {
            holes: compiled.job.name(set.id),
            into: compiled.job.name(set.into.block),
            count: set.count,
            bore: units.length(set.wide),
            depth: units.length(set.deep),
            fill: fills.next_if(|fill| fill.holes == set.id).map(|fill| FillTally {
                resin: compiled.job.name(fill.resin),
                net: units.fluid(fill.net),
                waste: rounded(fill.waste.fraction(), 9),
                wanted: units.fluid(fill.wanted),
                order: units.fluid(fill.order),
                nozzles: fill.nozzles,
            }),
            rows: set
                .rows
                .iter()
                .map(|row| {
                    let (level, offset) = match row.level {
                        Level::Height(level) => (Some(units.place(level)), None),
                        Level::Offset(offset) => (None, Some(units.place(offset))),
                    };
                    let count = row.places.count();
                    RowTally {
                        leg: super::words::leg(&compiled.job, &works.standing, row.on),
                        row: row.row,
                        level,
                        offset,
                        first_number: row.first_number,
                        count,
                        first: units.place(row.places.at(0)),
                        last: units.place(row.places.at(count.saturating_sub(1))),
                        gap: row.places.gap().map(|gap| units.length(gap)),
                        places: match row.places {
                            Places::Even { .. } => Vec::new(),
                            _ => (0..count).map(|at| units.place(row.places.at(at))).collect(),
                        },
                    }
                })
                .collect(),
        })
        .collect()
}

fn bars(compiled: &Compiled, units: Units) -> Vec<BarsTally<'_>> {
    compiled
        .works
        .bars
        .iter()
        .map(|made| BarsTally {
            bars: compiled.job.name(made.id),
            size: compiled.job.name(made.steel.id),
            pieces: made.count,
            length: units.cut(made.length),
            weight: units.mass(made.weight),
            groups: made
                .groups
                .iter()
                .map(|group| GroupTally {
                    mark: group.mark,
                    pieces: group.count,
                    cut: units.cut(group.shape.cut),
                    legs: group.shape.legs.iter().map(|leg| units.length(*leg)).collect(),
                    turns_deg: group.shape.turns.iter().map(|turn| rounded(*turn, 6)).collect(),
                    bend_inside: units.length(group.shape.inside),
                    sort: match group.place {
                        Place::Holes(_) => "dowels",
                        Place::Long { .. } => "long",
                        Place::Side(_) => "side by side",
                    },
                    lapped_with: group.lapped_with.clone(),
                    shape: super::words::shape(&group.shape),
                    straights: group.shape.straights().into_iter().map(|part| units.length(part)).collect(),
                    arcs: group
                        .shape
                        .arcs()
                        .into_iter()
                        .map(|arc| ArcTally { turn_deg: rounded(arc.turn, 6), length: units.length(arc.length) })
                        .collect(),
                    hooks: ["start", "end"]
                        .into_iter()
                        .zip(group.shape.hooks)
                        .filter_map(|(at, hook)| {
                            let hook = hook?;
                            let tail = units.length(hook.tail);
                            Some(HookTally { at, turn_deg: rounded(hook.turn, 6), tail, way: hook.way.word() })
                        })
                        .collect(),
                })
                .collect(),
        })
        .collect()
}

fn buy<'c>(compiled: &'c Compiled, units: Units, line: &Line) -> BuyTally<'c> {
    let of_job = |item, sort, packs| BuyTally {
        item,
        sort,
        packs,
        pieces: None,
        length: None,
        longest: None,
        area: None,
        volume: None,
        nozzles: None,
        weight: None,
    };
    let bare = |item, sort, packs| of_job(compiled.job.name(item), sort, packs);
    match line {
        Line::Bags { mix, count, weight } => {
            BuyTally { weight: Some(units.mass(*weight)), ..bare(*mix, "bags", Some(*count)) }
        }
        Line::Resin { resin, volume, cartridges, nozzles, .. } => BuyTally {
            volume: Some(units.fluid(*volume)),
            nozzles: Some(*nozzles),
            ..bare(*resin, "cartridges", *cartridges)
        },
        Line::Bars { steel, bought, pieces, length, longest, weight } => BuyTally {
            pieces: Some(*pieces),
            length: Some(units.cut(*length)),
            longest: Some(units.cut(*longest)),
            weight: Some(units.mass(*weight)),
            ..bare(*steel, "bars", bought.as_ref().map(|all| all.iter().map(|(_, count)| count).sum()))
        },
        Line::Wire { wire, coils, length, weight, .. } => BuyTally {
            length: Some(units.length(*length)),
            weight: Some(units.mass(*weight)),
            ..bare(*wire, "coils", Some(*coils))
        },
        Line::Forms { sort, count, .. } => match sort {
            FormStuff::Boards(size) => bare(*size, "boards", Some(*count)),
            FormStuff::Sheets(size) => bare(*size, "sheets", Some(*count)),
            FormStuff::Nails8 | FormStuff::Nails16 | FormStuff::Stakes => {
                of_job(sort.item(&compiled.job), "forms", Some(*count))
            }
        },
        Line::Supports { sort, count } => of_job(sort.item(), "supports", Some(*count)),
        Line::Goods { sort, amount, .. } => {
            let (length, area, volume, weight) = amount.map_or((None, None, None, None), |amount| units.amount(amount));
            let goods = if sort.is_gear() { "gear" } else { "goods" };
            BuyTally { length, area, volume, weight, ..of_job(sort.item(), goods, line.packs()) }
        }
        Line::Own { goods, amount } => {
            let (length, area, volume, weight) = units.amount(*amount);
            BuyTally { length, area, volume, weight, ..bare(*goods, "goods", line.packs()) }
        }
    }
}

//! The work itself: steps with what they do to those who do them, days, pours, forms, curing.

use std::io::{self, Write};

use schemars::JsonSchema;
use serde::Serialize;

use super::{AreaMeasure, Measure, SCHEMA_VERSION, Units, VolumeMeasure, numbers::Value, rounded, title, write};
use crate::{
    compile::Compiled,
    curing::{Cured, Readiness},
    formwork::{Formwork, Hold, PartSort, limit_word, member_name},
    hazards::{AtStep, Harm, Load},
    ledger::Figure,
    placing::{Placing, seconds},
    plan::{Dated, Days, Lasts},
    reports::figures,
    scheduling::DAY,
    schema::{BlockId, KindId},
    units::{Duration, System, show},
};

/// The work of jobs.
#[derive(Serialize, JsonSchema)]
pub(super) struct OrderFile<'c> {
    schema_version: u32,
    jobs: Vec<JobOrder<'c>>,
}

#[derive(Serialize, JsonSchema)]
struct JobOrder<'c> {
    file: &'c str,
    title: &'c str,
    /// Something is left out because of errors.
    draft: bool,
    units: &'static str,
    /// Steps, looks, waits and questions in the order of work.
    steps: Vec<StepTally<'c>>,
    /// Where the job says when it starts.
    #[serde(skip_serializing_if = "Option::is_none")]
    days: Option<DaysTally<'c>>,
    pours: Vec<PlacingTally<'c>>,
    forms: Vec<FormsTally<'c>>,
    /// Boards of all forms, by size: what is sawn from what.
    boards: Vec<BoardsTally<'c>>,
    cures: Vec<CureTally<'c>>,
}

/// A step, look, wait or question.
#[derive(Serialize, JsonSchema)]
struct StepTally<'c> {
    name: &'c str,
    /// `step`, `look`, `wait` or `ask`.
    kind: &'static str,
    title: &'c str,
    /// How long it takes, where that is said or follows from what it handles.
    #[serde(skip_serializing_if = "Option::is_none")]
    lasts: Option<Value>,
    /// What must be done before it.
    after: Vec<&'c str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    hazards: Option<HazardsTally<'c>>,
}

/// What a step does to those who do it.
#[derive(Serialize, JsonSchema)]
struct HazardsTally<'c> {
    /// `dust`, `eyes`, `noise`, `shaking`, `lifting`, `caustic`, `bar ends`, `current`, `monoxide`, `resin`, `props`, `forms`,
    /// `lead`, `asbestos`.
    harms: Vec<&'static str>,
    /// Of the loudest tool.
    #[serde(skip_serializing_if = "Option::is_none")]
    noise: Option<NoiseTally>,
    /// Of the tool that shakes most.
    #[serde(skip_serializing_if = "Option::is_none")]
    shaking: Option<ShakingTally>,
    lifted: Vec<LiftedTally<'c>>,
}

#[derive(Serialize, JsonSchema)]
struct NoiseTally {
    /// At the ear, under what is worn.
    level: Value,
    /// How long such a level may last in a day.
    permitted: Value,
    /// The day's dose of it alone: too much above 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    dose: Option<f64>,
}

#[derive(Serialize, JsonSchema)]
struct ShakingTally {
    shakes: Value,
    /// In points: 100 at the action value, 400 at the limit.
    #[serde(skip_serializing_if = "Option::is_none")]
    points: Option<f64>,
}

#[derive(Serialize, JsonSchema)]
struct LiftedTally<'c> {
    /// `bag`, `bucket`, `debris` or `bar`.
    load: &'static str,
    of: &'c str,
    weight: Value,
    times: u64,
    limit: Value,
    /// Load over limit; none where the limit is nothing.
    #[serde(skip_serializing_if = "Option::is_none")]
    index: Option<f64>,
}

#[derive(Serialize, JsonSchema)]
struct DaysTally<'c> {
    start: String,
    ends: Moment,
    people: u32,
    /// The hours that are worked; without it those are only usual.
    #[serde(skip_serializing_if = "Option::is_none")]
    hours: Option<&'c str>,
    done: Vec<DatedTally<'c>>,
}

/// A moment in local time.
#[derive(Serialize, JsonSchema)]
struct Moment {
    /// ISO 8601: `2027-05-03`.
    date: String,
    /// The second of that day.
    second: i64,
}

#[derive(Serialize, JsonSchema)]
struct DatedTally<'c> {
    name: &'c str,
    start: Moment,
    end: Moment,
    people: u32,
    /// How long it may slip without the end slipping, in seconds.
    slack: i64,
    /// Its time is not said: it counts as none.
    unsaid: bool,
}

/// A pour minute by minute.
#[derive(Serialize, JsonSchema)]
struct PlacingTally<'c> {
    pour: &'c str,
    people: u32,
    lasts: Value,
    /// The longest any concrete lies until fresh concrete comes on it.
    #[serde(skip_serializing_if = "Option::is_none")]
    longest_wait: Option<Value>,
    /// How long the mix knits, at the warmest of the day, or as warm as it goes in.
    knits: Value,
    #[serde(skip_serializing_if = "Option::is_none")]
    fastest_rise: Option<Value>,
    batches: Vec<BatchTally>,
    lifts: Vec<LiftTally<'c>>,
}

/// A batch; times in seconds from the first batch on.
#[derive(Serialize, JsonSchema)]
struct BatchTally {
    number: u64,
    volume: VolumeMeasure,
    begun: u64,
    mixed: u64,
    placed_from: u64,
    placed_to: u64,
    loads: u64,
}

/// A layer of the whole pour; times in seconds from the first batch on.
#[derive(Serialize, JsonSchema)]
struct LiftTally<'c> {
    height: Measure,
    from: u64,
    to: u64,
    places: Vec<PlaceTally<'c>>,
}

#[derive(Serialize, JsonSchema)]
struct PlaceTally<'c> {
    section: &'c str,
    bottom: Measure,
    top: Measure,
    from: u64,
    to: u64,
    /// The longest any of it lies until it is covered.
    #[serde(skip_serializing_if = "Option::is_none")]
    lies: Option<u64>,
}

#[derive(Serialize, JsonSchema)]
struct FormsTally<'c> {
    forms: &'c str,
    area: AreaMeasure,
    /// What holds it, by section.
    sections: Vec<DesignTally<'c>>,
    members: Vec<MemberTally<'c>>,
    pieces: Vec<FormPiece<'c>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    sheets: Option<SheetsTally<'c>>,
    nails_8d: u64,
    nails_16d: u64,
    stakes: u64,
}

#[derive(Serialize, JsonSchema)]
struct DesignTally<'c> {
    section: &'c str,
    /// All of the thrust, for each length of wall.
    thrust: Value,
    /// What holds it, from below.
    levels: Vec<LevelTally>,
}

#[derive(Serialize, JsonSchema)]
struct LevelTally {
    /// `kick`, `tie` or `brace`.
    hold: &'static str,
    /// Above the foot.
    height: Measure,
    share: Value,
}

/// A member where it is nearest to failing.
#[derive(Serialize, JsonSchema)]
struct MemberTally<'c> {
    member: &'static str,
    section: &'c str,
    /// What it fails by first.
    limit: &'static str,
    load: Value,
    capacity: Value,
    /// Load over capacity: it holds up to 1; none where it takes nothing.
    #[serde(skip_serializing_if = "Option::is_none")]
    ratio: Option<f64>,
    holds: bool,
    /// The widest spacing that would just do.
    #[serde(skip_serializing_if = "Option::is_none")]
    widest: Option<Measure>,
}

#[derive(Serialize, JsonSchema)]
struct FormPiece<'c> {
    piece: &'static str,
    of: &'c str,
    length: Measure,
    count: u64,
}

#[derive(Serialize, JsonSchema)]
struct SheetsTally<'c> {
    of: &'c str,
    count: u64,
}

#[derive(Serialize, JsonSchema)]
struct BoardsTally<'c> {
    of: &'c str,
    /// How long, and how many so long.
    bought: Vec<CountedLength>,
    #[serde(skip_serializing_if = "Option::is_none")]
    cost: Option<String>,
}

#[derive(Serialize, JsonSchema)]
struct CountedLength {
    length: Measure,
    count: u64,
}

#[derive(Serialize, JsonSchema)]
struct CureTally<'c> {
    cure: &'c str,
    pour: &'c str,
    /// When it is taken to be poured, in seconds after the start of the job.
    poured_after: f64,
    is_hot: bool,
    is_cold: bool,
    /// How long it is kept moist.
    #[serde(skip_serializing_if = "Option::is_none")]
    moist: Option<Value>,
    /// How long it should be, in hours that count.
    #[serde(skip_serializing_if = "Option::is_none")]
    moist_wanted: Option<Value>,
    moist_short: bool,
    /// Strength at each age, the youngest first.
    ages: Vec<AgeTally>,
    /// When forms come off, when it is loaded, when ground is filled in.
    ready: Vec<ReadyTally>,
}

#[derive(Serialize, JsonSchema)]
struct AgeTally {
    after: Value,
    /// By each published form that covers the cement.
    grown: Vec<GrownTally>,
}

#[derive(Serialize, JsonSchema)]
struct GrownTally {
    form: &'static str,
    /// The part of the strength at 28 days.
    part: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    strength: Option<Value>,
}

#[derive(Serialize, JsonSchema)]
struct ReadyTally {
    /// `strip`, `load` or `backfill`.
    act: &'static str,
    /// When it is meant to be done, after the pour.
    #[serde(skip_serializing_if = "Option::is_none")]
    planned: Option<Value>,
    /// When it may be done, after the pour; none where that is not known or not within a year.
    #[serde(skip_serializing_if = "Option::is_none")]
    earliest: Option<Value>,
    is_soon: bool,
}

/// Writes the work of jobs.
///
/// # Errors
/// When `out` does.
pub fn order(jobs: &[(&str, &Compiled)], out: &mut dyn Write) -> io::Result<()> {
    let jobs = jobs.iter().map(|(file, compiled)| job(file, compiled)).collect();
    write(&OrderFile { schema_version: SCHEMA_VERSION, jobs }, out)
}

/// The work of one job, as a part of a text of many.
///
/// # Errors
/// When it cannot be put into JSON.
pub fn order_part(file: &str, compiled: &Compiled) -> io::Result<Vec<u8>> {
    Ok(serde_json::to_vec_pretty(&job(file, compiled))?)
}

fn job<'c>(file: &'c str, compiled: &'c Compiled) -> JobOrder<'c> {
    let works = &compiled.works;
    let units = Units(compiled.job.system());
    // What may not be dug is not told how to build: as on paper, there is no order of work.
    let dug = works.digs.iter().any(|dig| dig.under);
    JobOrder {
        file,
        title: title(compiled),
        draft: compiled.has_errors(),
        units: units.word(),
        steps: if dug { Vec::new() } else { works.plan.order.iter().map(|node| step(compiled, *node)).collect() },
        days: works.days.as_ref().filter(|_| !dug).map(|days| dates(compiled, days)),
        pours: works.placings.iter().map(|placing| pour(compiled, units, placing)).collect(),
        forms: works.forms.iter().map(|forms| formed(compiled, units, forms)).collect(),
        boards: works
            .boards
            .iter()
            .map(|boards| BoardsTally {
                of: compiled.job.name(boards.size),
                bought: boards
                    .bought()
                    .into_iter()
                    .map(|(length, count)| CountedLength { length: units.length(length), count })
                    .collect(),
                cost: boards.cost.map(|cost| show::money(cost).to_string()),
            })
            .collect(),
        cures: works.cures.iter().map(|cured| cure(compiled, cured)).collect(),
    }
}

fn value(figure: Figure, system: System) -> Value {
    let (value, unit) = figures::plain(figure);
    Value { shown: figures::shown(figure, system), value, unit }
}

fn time(time: Duration) -> Value {
    value(Figure::Duration(time), System::Feet)
}

fn step(compiled: &Compiled, node: BlockId) -> StepTally<'_> {
    let (job, works) = (&compiled.job, &compiled.works);
    let (kind, title) = match job.kind(node) {
        Some(KindId::Look) => ("look", job.look(node).map(|look| look.title.as_str())),
        Some(KindId::Wait) => ("wait", job.wait(node).map(|wait| wait.title.as_str())),
        Some(KindId::Ask) => ("ask", job.ask(node).map(|ask| ask.title.as_str())),
        _ => ("step", job.step(node).map(|step| step.title.as_str())),
    };
    let hazards = works.at_steps.iter().find(|at| at.step == node);
    let said = works.plan.durations.iter().find(|(of, _)| *of == node).and_then(|(_, lasts)| match lasts {
        Lasts::For(time) | Lasts::Each { all: time, .. } | Lasts::Per { all: time, .. } => Some(*time),
        Lasts::Unsaid | Lasts::Uncounted { .. } => None,
    });
    let mut after: Vec<&str> =
        works.plan.edges.iter().filter(|edge| edge.after == node).map(|edge| job.name(edge.before)).collect();
    after.sort_unstable();
    after.dedup();
    StepTally {
        name: job.name(node),
        kind,
        title: title.unwrap_or_default(),
        lasts: said.or_else(|| hazards.and_then(|at| at.time)).map(time),
        after,
        hazards: hazards.map(|at| harms(compiled, at)),
    }
}

fn harms<'c>(compiled: &'c Compiled, at: &AtStep) -> HazardsTally<'c> {
    let system = compiled.job.system();
    HazardsTally {
        harms: at.harms.iter().map(|harm| harm_word(*harm)).collect(),
        noise: at.noise.as_ref().map(|noise| NoiseTally {
            level: value(Figure::Sound(noise.level), system),
            permitted: time(noise.permitted),
            dose: noise.dose.as_ref().map(|dose| rounded(dose.value.fraction(), 6)),
        }),
        shaking: at.shaking.as_ref().map(|shaking| ShakingTally {
            shakes: value(Figure::Acceleration(shaking.shakes), system),
            points: shaking.dose.as_ref().map(|dose| rounded(dose.value.points, 3)),
        }),
        lifted: at
            .lifted
            .iter()
            .map(|lifted| LiftedTally {
                load: match lifted.load {
                    Load::Bag => "bag",
                    Load::Bucket => "bucket",
                    Load::Debris => "debris",
                    Load::Bar => "bar",
                },
                of: compiled.job.name(lifted.thing),
                weight: value(Figure::Mass(lifted.weight), system),
                times: lifted.times,
                limit: value(Figure::Mass(lifted.worked.value.limit), system),
                index: lifted.worked.value.index.map(|index| rounded(index, 6)),
            })
            .collect(),
    }
}

fn harm_word(harm: Harm) -> &'static str {
    match harm {
        Harm::Dust => "dust",
        Harm::Eyes => "eyes",
        Harm::Noise => "noise",
        Harm::Shaking => "shaking",
        Harm::Lifting => "lifting",
        Harm::Caustic => "caustic",
        Harm::BarEnds => "bar ends",
        Harm::Current => "current",
        Harm::Monoxide => "monoxide",
        Harm::Resin => "resin",
        Harm::Props => "props",
        Harm::Forms => "forms",
        Harm::Lead => "lead",
        Harm::Asbestos => "asbestos",
    }
}

fn dates<'c>(compiled: &'c Compiled, days: &'c Days) -> DaysTally<'c> {
    let moment = |at: i64| Moment {
        date: days.date(at).map_or_else(String::new, |date| date.to_string()),
        second: at.rem_euclid(DAY),
    };
    let dated = |dated: &Dated| DatedTally {
        name: compiled.job.name(dated.node),
        start: moment(dated.placed.start),
        end: moment(dated.placed.finish),
        people: dated.people,
        slack: (dated.times.late_start - dated.placed.start).max(0),
        unsaid: dated.unsaid,
    };
    DaysTally {
        start: days.start.to_string(),
        ends: moment(days.ends),
        people: days.crew,
        hours: days.hours.map(|hours| compiled.job.name(hours)),
        done: days.done.iter().map(dated).collect(),
    }
}

fn pour<'c>(compiled: &'c Compiled, units: Units, placing: &'c Placing) -> PlacingTally<'c> {
    let went = &placing.went;
    let lifts = went.lifts.iter().zip(&went.laid).zip(&placing.sites).map(|((lift, laid), sites)| LiftTally {
        height: units.length(lift.height),
        from: lift.from,
        to: lift.to,
        places: laid
            .iter()
            .zip(sites)
            .map(|(laid, site)| PlaceTally {
                section: compiled.job.name(site.section),
                bottom: units.place(site.bottom),
                top: units.place(site.top),
                from: laid.from,
                to: laid.to,
                lies: laid.longest,
            })
            .collect(),
    });
    PlacingTally {
        pour: compiled.job.name(placing.pour),
        people: placing.plan.crew.people,
        lasts: time(placing.lasts()),
        longest_wait: went.longest.map(|wait| time(seconds(wait.lasts))),
        knits: time(placing.knits.time),
        fastest_rise: placing.rise().map(|rise| value(Figure::Rise(rise), compiled.job.system())),
        batches: went
            .batches
            .iter()
            .map(|batch| BatchTally {
                number: batch.number,
                volume: units.volume(batch.volume),
                begun: batch.begun,
                mixed: batch.mixed,
                placed_from: batch.placed_from,
                placed_to: batch.placed_to,
                loads: batch.loads,
            })
            .collect(),
        lifts: lifts.collect(),
    }
}

fn formed<'c>(compiled: &'c Compiled, units: Units, forms: &'c Formwork) -> FormsTally<'c> {
    let (job, system) = (&compiled.job, compiled.job.system());
    let [nails_8d, nails_16d] = forms.nails;
    FormsTally {
        forms: job.name(forms.forms),
        area: units.area(forms.area()),
        sections: forms
            .designs
            .iter()
            .map(|design| DesignTally {
                section: job.name(design.section),
                thrust: value(Figure::LineLoad(design.thrust.value.force), system),
                levels: design
                    .levels
                    .iter()
                    .map(|level| LevelTally {
                        hold: match level.hold {
                            Hold::Kick => "kick",
                            Hold::Tie(_) => "tie",
                            Hold::Brace => "brace",
                        },
                        height: units.length(level.height),
                        share: value(Figure::LineLoad(level.share), system),
                    })
                    .collect(),
            })
            .collect(),
        members: forms
            .members
            .iter()
            .map(|member| MemberTally {
                member: member_name(member.sort),
                section: job.name(member.section),
                limit: limit_word(member.check.limit),
                load: value(member.check.load, system),
                capacity: value(member.check.capacity, system),
                ratio: Some(member.check.ratio).filter(|ratio| ratio.is_finite()).map(|ratio| rounded(ratio, 6)),
                holds: member.check.holds(),
                widest: member.widest.map(|widest| units.length(widest)),
            })
            .collect(),
        pieces: forms
            .parts
            .iter()
            .map(|part| FormPiece {
                piece: match part.sort {
                    PartSort::Sheathing => "sheathing",
                    PartSort::Stud => "stud",
                    PartSort::Cleat => "cleat",
                    PartSort::Waler => "waler",
                    PartSort::Kick => "kicker",
                    PartSort::Brace => "brace",
                },
                of: job.name(part.size),
                length: units.length(part.length),
                count: part.count,
            })
            .collect(),
        sheets: forms.sheets.as_ref().map(|sheets| SheetsTally { of: job.name(sheets.size), count: sheets.count }),
        nails_8d,
        nails_16d,
        stakes: forms.stakes,
    }
}

fn cure<'c>(compiled: &'c Compiled, cured: &Cured) -> CureTally<'c> {
    let (job, system) = (&compiled.job, compiled.job.system());
    CureTally {
        cure: job.name(cured.cure),
        pour: job.name(cured.pour),
        poured_after: rounded(cured.start.seconds(), 3),
        is_hot: cured.is_hot,
        is_cold: cured.cold.as_ref().is_some_and(|cold| cold.is_cold),
        moist: cured.moist.planned.map(|(planned, ..)| time(planned)),
        moist_wanted: cured.moist.wanted().map(time),
        moist_short: cured.moist.is_short(),
        ages: cured
            .ages()
            .iter()
            .map(|age| AgeTally {
                after: time(age.after),
                grown: age
                    .grown
                    .iter()
                    .map(|grown| GrownTally {
                        form: grown.form.standard(),
                        part: rounded(grown.part.value.fraction(), 9),
                        strength: grown.strength.map(|strength| value(Figure::Stress(strength), system)),
                    })
                    .collect(),
            })
            .collect(),
        ready: cured.readies.iter().map(ready).collect(),
    }
}

fn ready(ready: &Readiness) -> ReadyTally {
    ReadyTally {
        act: ready.act.clause(),
        planned: ready.planned.map(time),
        earliest: ready.earliest.map(time),
        is_soon: ready.is_soon(),
    }
}

//! `steel-little` and `steel-wide`: less steel than the rule asks for that a section names, and bars farther apart.
//!
//! Walls: ACI 318-19 Table 11.6.1 with 11.7.2.1 and 11.7.3.1; against shrinkage and temperature: ACI 318-19 24.4.3.2 and
//! 24.4.3.3 (all seen in a digest). Where a section names no rule nothing is told here: the work order states what there is.
//! That the edge of the concrete may be no farther from the nearest bar than two bars from each other is common practice, no
//! source.

use super::words;
use crate::{
    concrete::Placed,
    holes::Places,
    job::{Job, Thing},
    problem::{Problem, Rule},
    rule,
    schema::{Bars, KindId, RowLevel, Section, Spacing, Wanted},
    source::Span,
    steel::{self, Axis, CutAt, Gap, Place, SteelIn, WouldDo},
    units::{Length, System, gaps, show},
    works::Works,
};

rule!(STEEL_LITTLE, "steel-little", Warning, "less steel in a section than the rule it names asks for");
rule!(STEEL_WIDE, "steel-wide", Warning, "bars farther apart than the rule their section names allows");

pub(super) static RULES: &[&Rule] = &[&STEEL_LITTLE, &STEEL_WIDE];

/// Less than this is noise.
const NOISE: Length = Length::from_nm(1_000);

/// The most rows a mend writes out.
const ROWS: u64 = 24;

pub(super) fn check(job: &Job, works: &Works, problems: &mut Vec<Problem>) {
    for steel in &works.steel_in {
        let Some(section) = job.section(steel.section) else { continue };
        if steel.is_little() {
            problems.extend(little(job, works, section, steel));
        }
        let Some(asked) = &steel.asked else { continue };
        for gap in [steel.widest, steel.bare].into_iter().flatten() {
            if gap.far > asked.apart.value + NOISE {
                problems.push(wide(job, works, section, (steel, &gap), asked.apart.value));
            }
        }
    }
}

/// The clause that names the rule.
fn named(section: &Thing<Section>) -> Span {
    section.said(KindId::Section, "steel")
}

/// The clause that says how many bars there are.
fn lies(bars: &Thing<Bars>) -> Span {
    let said = ["rows", "space", "in"].into_iter().map(|clause| bars.said(KindId::Bars, clause));
    said.into_iter().find(|at| *at != bars.at).unwrap_or(bars.at)
}

/// "lengthwise", "upright", "across": how bars run.
const fn run(axis: Axis) -> &'static str {
    match axis {
        Axis::Lengthwise => "running lengthwise",
        Axis::Upright => "standing upright",
        Axis::Across => "running across",
    }
}

fn cut(job: &Job, works: &Works, at: CutAt) -> String {
    let (standing, system) = (&works.standing, job.system());
    match at {
        CutAt::Station(on, at) => {
            format!("cut across at {} on {}", show::place(at, system), words::leg(job, standing, on))
        }
        CutAt::Level(_, at) => format!("cut at level {}", show::place(at, system)),
        CutAt::Offset(_, at) => format!("cut {} out from the face", show::place(at, system)),
    }
}

fn little(job: &Job, works: &Works, section: &Thing<Section>, steel: &SteelIn) -> Option<Problem> {
    let asked = steel.asked.as_ref()?;
    let headline = match steel.least.count() {
        0 => "no steel {2} in `{0}`; {3} of its section is wanted",
        _ => "steel {2} in `{0}` comes to {1} of its section; {3} is wanted",
    };
    let mut problem = Problem::new(&STEEL_LITTLE, named(section), headline)
        .arg(section.name.as_str())
        .arg(show::percent(steel.least.ratio()).to_string())
        .arg(run(steel.axis))
        .arg(show::percent(asked.ratio.value).to_string())
        .here("asked for here")
        .place(match steel.least.leg {
            Some(leg) => {
                format!("{}, over {}", cut(job, works, steel.least.at), words::leg(job, &works.standing, leg))
            }
            None => cut(job, works, steel.least.at),
        })
        .thing(section.name.as_str());
    for (id, ..) in &steel.least.bars {
        problem = problem.label(lies(job.bars_of(*id)?), "what there is");
    }
    let Some(would) = steel.would_do() else {
        return Some(
            problem.help("write bars that run this way through it, or take out `steel` if no rule asks for any"),
        );
    };
    let problem = problem
        .arg(usize::try_from(would.count).unwrap_or(usize::MAX))
        .arg(job.name(would.steel.id))
        .arg(down(would.apart, job.system()));
    let rule = section.say.steel;
    Some(match mend(job, works, steel, would) {
        Some(mend) => {
            let problem = problem.arg(mend.shown.as_str()).fix(mend.span, mend.text);
            problem.help(match rule {
                Some(Wanted::Wall) => {
                    "{4} bars of `{5}`, no more than {6} apart, would do (ACI 318-19 Table 11.6.1): `{7}`"
                }
                _ => "{4} bars of `{5}`, no more than {6} apart, would do (ACI 318-19 24.4.3.2): `{7}`",
            })
        }
        None => problem.help(match rule {
            Some(Wanted::Wall) => "{4} bars of `{5}`, no more than {6} apart, would do (ACI 318-19 Table 11.6.1)",
            _ => "{4} bars of `{5}`, no more than {6} apart, would do (ACI 318-19 24.4.3.2)",
        }),
    })
}

fn wide(job: &Job, works: &Works, section: &Thing<Section>, (steel, gap): (&SteelIn, &Gap), most: Length) -> Problem {
    let headline = match (gap.from, gap.to, steel.axis, gap.cut) {
        (Some(_), Some(_), ..) => "bars {2} in `{0}` lie {1} from each other; {3} at most is wanted",
        (None, _, Axis::Lengthwise, _) if !steel.flat => {
            "the bottom of `{0}` is {1} from the lowest bar {2}; {3} at most is wanted"
        }
        (_, _, Axis::Lengthwise, _) if !steel.flat => {
            "the top of `{0}` is {1} from the highest bar {2}; {3} at most is wanted"
        }
        (None, _, Axis::Lengthwise, _) => {
            "the inner side of `{0}` is {1} from the nearest bar {2}; {3} at most is wanted"
        }
        (_, _, Axis::Lengthwise, _) => "the outer side of `{0}` is {1} from the nearest bar {2}; {3} at most is wanted",
        (None, ..) => "the left end of `{0}` is {1} from the first bar {2}; {3} at most is wanted",
        (..) => "the right end of `{0}` is {1} from the last bar {2}; {3} at most is wanted",
    };
    let mut problem = Problem::new(&STEEL_WIDE, named(section), headline)
        .arg(section.name.as_str())
        .arg(gap.far)
        .arg(run(steel.axis))
        .arg(most)
        .here("asked for here")
        .place(cut(job, works, gap.cut))
        .thing(section.name.as_str());
    let mut blocks: Vec<_> = [gap.from, gap.to].into_iter().flatten().map(|bar| bar.bars).collect();
    blocks.dedup();
    for bars in blocks.into_iter().filter_map(|id| job.bars_of(id)) {
        problem = problem.label(lies(bars), "these");
    }
    let between = gap.from.is_some() && gap.to.is_some();
    let mend = steel.would_do().filter(|_| between).and_then(|would| mend(job, works, steel, would));
    let is_wall = section.say.steel == Some(Wanted::Wall);
    match mend {
        Some(mend) => {
            let problem = problem.arg(mend.shown.as_str()).fix(mend.span, mend.text);
            problem.help(match is_wall {
                true => "no more than 3 times the thickness (ACI 318-19 11.7.2.1, 11.7.3.1): `{4}` would do",
                false => "no more than 5 times the thickness (ACI 318-19 24.4.3.3): `{4}` would do",
            })
        }
        None if between => problem.help("lay a further bar between them"),
        None => problem.help("lay a further bar there, no farther than {3} from the edge"),
    }
}

/// A text edit that gives steel enough.
struct Mend {
    span: Span,
    text: String,
    /// The whole clause, as it would read.
    shown: String,
}

/// The text edit for the only block of bars there is, where one clause says how many.
fn mend(job: &Job, works: &Works, steel: &SteelIn, would: WouldDo) -> Option<Mend> {
    let [(id, _, count)] = steel.least.bars.as_slice() else { return None };
    let bars = job.bars_of(*id)?;
    let placed = works.sections.find(steel.section)?;
    match steel.axis {
        Axis::Lengthwise => rows(job, bars, placed, steel, would),
        Axis::Upright | Axis::Across => spaced(job, works, bars, placed, (steel, *count), would),
    }
}

/// What lengths are rounded down to, so that they can be set out: 1/4 in or 5 mm.
const fn step(system: System) -> Length {
    match system {
        System::Feet => Length::from_nm(Length::INCH.nm() / 4),
        System::Metric => Length::from_nm(5 * Length::MILLIMETRE.nm()),
    }
}

fn down(length: Length, system: System) -> Length {
    let step = step(system);
    step * length.nm().div_euclid(step.nm())
}

/// Rows spread evenly between the lowest and the highest there is in the section; those in other sections stay.
fn rows(job: &Job, bars: &Thing<Bars>, placed: &Placed, steel: &SteelIn, would: WouldDo) -> Option<Mend> {
    let said = bars.say.rows.as_ref()?.value.heights.as_ref()?;
    let mut inside = Vec::new();
    let mut levels = Vec::new();
    for level in said {
        let RowLevel::At(at) = level.value else { return None };
        if placed.bottom < at && at < placed.top { inside.push(at) } else { levels.push(at) }
    }
    let (low, high) = (*inside.iter().min()?, *inside.iter().max()?);
    let most = steel.asked.as_ref()?.apart.value;
    let system = job.system();
    let spread = |count: u64| {
        let last = i64::try_from(count.checked_sub(1)?).ok()?;
        let level = |at: i64| match at {
            _ if at == last => high,
            _ => low + down(Length::round_nm((high - low).nm() as f64 * at as f64 / last.max(1) as f64), system),
        };
        let all: Vec<Length> = (0..=last).map(level).collect();
        let fits = all.windows(2).all(|pair| matches!(pair, [one, other] if *other - *one <= most && other > one));
        fits.then_some(all)
    };
    let all = (would.count.max(2)..=ROWS).find_map(spread)?;
    levels.extend(all);
    levels.sort_unstable();
    levels.dedup();
    let shown: Vec<String> = levels.iter().map(|level| show::exact(*level, system).to_string()).collect();
    let text = shown.join(", ");
    let span = said.first()?.span.to(said.last()?.span);
    Some(Mend { span, shown: format!("rows height {text}"), text })
}

/// Bars nearer each other, where they are spaced `at most` so far and lie in this section alone.
fn spaced(
    job: &Job,
    works: &Works,
    bars: &Thing<Bars>,
    placed: &Placed,
    (steel, count): (&SteelIn, u64),
    would: WouldDo,
) -> Option<Mend> {
    let Spacing::AtMost(now) = &bars.say.space.as_ref()?.value else { return None };
    if placed.runs.len() != 1 {
        return None;
    }
    let made = steel::made(&works.bars, bars.id)?;
    let mut over = Vec::new();
    let mut bars_now = 0;
    for group in &made.groups {
        let Place::Side(row) = &group.place else { return None };
        let holds = |interval: &crate::concrete::Interval| {
            interval.on == row.on && interval.start <= row.stretch.start && row.stretch.end <= interval.end
        };
        if !placed.intervals.iter().any(holds) {
            return None;
        }
        let Places::Even { over: length, .. } = &row.places else { return None };
        over.push(*length);
        bars_now += row.places.count();
    }
    // A tie counts twice: both its legs are cut.
    let cuts = count.checked_div(bars_now).filter(|cuts| *cuts > 0 && cuts * bars_now == count)?;
    let system = job.system();
    let enough = |most: Length| {
        let all: Option<u64> = over.iter().map(|length| Some(gaps(*length, most)? + 1)).sum();
        all.is_some_and(|all| all.saturating_mul(cuts) >= would.count)
    };
    let widest = down(would.apart.min(now.value).min(steel.asked.as_ref()?.apart.value), system);
    let least = would.steel.diameter * 4;
    let mut most = widest;
    while most > least && !enough(most) {
        most = most - step(system);
    }
    if most <= least || most >= now.value {
        return None;
    }
    let text = show::exact(most, system).to_string();
    Some(Mend { span: now.span, shown: format!("space at most {text}"), text })
}
